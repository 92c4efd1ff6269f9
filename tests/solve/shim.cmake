# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(shim solve)
fitwright_test(shim_exact solve)
fitwright_test(shim_bench solve)
