# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(conform solve)
fitwright_test(risk solve)
fitwright_test(control solve)
fitwright_test(readings solve)
fitwright_test(uncertainty solve quantity)
fitwright_test(conform_calc calc solve quantity)
# Random expressions against Debian's python3-uncertainties: its own Python has the package.
add_executable(expression expression.c)
target_link_libraries(expression PRIVATE fitwright_flags room_base room_quantity)
add_test(NAME expressions COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/expressions.py
  $<TARGET_FILE:expression>)
set_tests_properties(expressions PROPERTIES TIMEOUT 300)
