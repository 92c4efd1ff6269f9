# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(assign solve)
target_sources(test_assign PRIVATE assign_proof.c)
fitwright_test(assign_scipy solve)
target_sources(test_assign_scipy PRIVATE assign_proof.c)
