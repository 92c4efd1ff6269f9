# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(calc calc quantity solve)
