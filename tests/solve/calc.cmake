# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(calc calc quantity solve)
add_test(NAME calculators
  COMMAND python3 -B ${PROJECT_SOURCE_DIR}/tests/calculators.py $<TARGET_FILE:fitwright_cli>)
add_test(NAME fuzz COMMAND python3 -B ${PROJECT_SOURCE_DIR}/tests/fuzz.py $<TARGET_FILE:fitwright_cli> 10)
set_tests_properties(calculators fuzz PROPERTIES TIMEOUT 300)
