# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(fit solve)
fitwright_test(fit_table solve)
fitwright_test(bore solve)
fitwright_test(press solve)
fitwright_test(fit_calc calc quantity solve)
