# Writes FILE for ctest: a test for each suite of PROGRAM, so that the program starts once for all tests of the suite. Left
# out are the tests of the filter SLOW. ENVIRONMENT is set for each, and TIMEOUT in seconds.
execute_process(COMMAND ${PROGRAM} --gtest_list_tests --gtest_filter=-${SLOW} OUTPUT_VARIABLE listed COMMAND_ERROR_IS_FATAL ANY)
# A suite's line begins without a blank, ends its name with a point, and may have a comment; "Names/Suite." has parameters.
string(REGEX MATCHALL "\n[A-Za-z0-9_/]+\\." suites "\n${listed}")
set(text "")
foreach(suite IN LISTS suites)
  string(REGEX REPLACE "[\n.]" "" suite "${suite}")
  string(APPEND text "add_test([=[${suite}]=] [=[${PROGRAM}]=] [=[--gtest_filter=${suite}.*-${SLOW}]=])\n"
                     "set_tests_properties([=[${suite}]=] PROPERTIES TIMEOUT ${TIMEOUT} ENVIRONMENT [=[${ENVIRONMENT}]=])\n")
endforeach()
# A line that is neither of a suite nor of a test is one that this file does not know: its tests would not run.
string(REGEX MATCHALL "\n[^ \n][^\n]*" unindented "\n${listed}")
list(FILTER unindented EXCLUDE REGEX "Running main")
list(LENGTH unindented lines)
list(LENGTH suites known)
if(NOT lines EQUAL known)
  message(FATAL_ERROR "${PROGRAM} lists ${lines} suites, of which ${known} were understood")
endif()
file(WRITE ${FILE} "${text}")
