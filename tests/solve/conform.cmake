# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(conform solve)
fitwright_test(risk solve)
fitwright_test(readings solve)
