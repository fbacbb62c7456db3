# Writes FILE for ctest: a test for each suite of PROGRAM, so that the program starts once for all tests of the suite. Left
# out are the tests of the filter SLOW. ENVIRONMENT is set for each.
execute_process(COMMAND ${PROGRAM} --gtest_list_tests --gtest_filter=-${SLOW} OUTPUT_VARIABLE listed COMMAND_ERROR_IS_FATAL ANY)
string(REGEX MATCHALL "[A-Za-z0-9_]+\\.\n" suites "${listed}")
set(text "")
foreach(suite IN LISTS suites)
  string(REGEX REPLACE "\\.\n" "" suite "${suite}")
  string(APPEND text "add_test([=[${suite}]=] [=[${PROGRAM}]=] [=[--gtest_filter=${suite}.*-${SLOW}]=])\n"
                     "set_tests_properties([=[${suite}]=] PROPERTIES TIMEOUT 300 ENVIRONMENT [=[${ENVIRONMENT}]=])\n")
endforeach()
file(WRITE ${FILE} "${text}")
