# SPDX-License-Identifier: GPL-3.0-or-later
fitwright_test(assign solve)
fitwright_test(assign_first solve)
fitwright_test(assign_scipy solve)
fitwright_test(reuse solve)
foreach(test assign assign_first assign_scipy reuse)
  target_sources(test_${test} PRIVATE assign_proof.c)
endforeach()
fitwright_test(reuse_scipy solve)
