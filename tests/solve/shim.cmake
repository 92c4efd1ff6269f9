# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(shim solve)
fitwright_test(shim_calc calc quantity solve)
fitwright_test(shim_exact solve)
fitwright_test(shim_rules solve)
fitwright_test(turning solve)
fitwright_test(shim_study solve)
target_sources(test_shim_study PRIVATE ../bench/shim_study.c)
fitwright_test(together_exact solve)
