# SPDX-License-Identifier: GPL-3.0-or-later
# One line a test program; the rooms it links show what it may touch.
fitwright_test(conform solve)
fitwright_test(circle solve)
fitwright_test(report report trail quantity)
fitwright_test(quantity quantity)
fitwright_test(trail trail)
fitwright_test(face face quantity)
target_sources(test_face PRIVATE fake_job.c)
fitwright_test(answers face quantity)
target_sources(test_answers PRIVATE fake_job.c)
fitwright_test(joint solve)
