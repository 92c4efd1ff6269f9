# SPDX-License-Identifier: GPL-3.0-or-later
# One line a test program; the rooms it links show what it may touch.
fitwright_test(conform solve)
fitwright_test(circle solve)
