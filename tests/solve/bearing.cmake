# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(bearing solve)
fitwright_test(bearing_calc calc quantity solve)
fitwright_test(bearing_clearance solve)
fitwright_test(bearing_sounds solve)
fitwright_test(bearing_tables solve)
fitwright_test(gear_ways solve)
fitwright_test(gears solve)
fitwright_test(noise solve)
