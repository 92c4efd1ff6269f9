# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(stackup solve)
fitwright_test(stackup_draws solve)
target_sources(test_stackup_draws PRIVATE plain_sample.c)
fitwright_test(stackup_trials solve)
fitwright_test(thermal solve)
fitwright_test(clearance_calc calc quantity solve)
# With a sanitizer the choice among clones comes too early and the program dies as it is loaded.
foreach(sanitizer address thread)
  add_test(NAME clones_${sanitizer} COMMAND ${CMAKE_C_COMPILER} -E -fsanitize=${sanitizer}
    -I${PROJECT_SOURCE_DIR}/src -I${PROJECT_SOURCE_DIR}/include
    ${PROJECT_SOURCE_DIR}/src/solve/clearance/sample.c)
  set_tests_properties(clones_${sanitizer} PROPERTIES FAIL_REGULAR_EXPRESSION "target_clones")
endforeach()
