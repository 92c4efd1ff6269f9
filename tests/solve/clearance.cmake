# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(stackup solve)
fitwright_test(stackup_draws solve)
target_sources(test_stackup_draws PRIVATE plain_sample.c)
fitwright_test(stackup_trials solve)
fitwright_test(thermal solve)
fitwright_test(clearance_calc calc quantity solve)
