# Writes the manual pages and completion scripts with the built program:
# cmake -D PROGRAM=... -D FOLDER=... -P this file
function(write_output_of file)
  execute_process(COMMAND ${PROGRAM} ${ARGN} OUTPUT_FILE ${FOLDER}/${file} COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(REMOVE_RECURSE ${FOLDER})
file(MAKE_DIRECTORY ${FOLDER}/man1)
execute_process(COMMAND ${PROGRAM} --words commands OUTPUT_VARIABLE commands COMMAND_ERROR_IS_FATAL ANY)
string(REGEX MATCHALL "[^\n]+" commands "${commands}")
write_output_of(man1/romanesca.1 --man)
foreach(command IN LISTS commands)
  write_output_of(man1/romanesca-${command}.1 --man ${command})
endforeach()
write_output_of(romanesca.bash --completion bash)
write_output_of(_romanesca --completion zsh)
write_output_of(romanesca.fish --completion fish)
