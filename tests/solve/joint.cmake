# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(circle solve)
fitwright_test(joint solve)
fitwright_test(thread solve)
