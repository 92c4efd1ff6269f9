/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>

#define CELL       int64_t
#define CELL_FAR   ((int64_t)1 << 60)
#define CELL_DONE  (-((int64_t)1 << 61))
#define CELL_FLOOR (-((int64_t)1 << 57))
#define CELL_CORE  fw_assign_core_whole
#define CELL_STEP  auction_step

/* An eighth of the range down to a millionth of it or 1. */
static int64_t auction_step(int64_t range, int k)
{
	if (range <= 0 || k > 6)
		return 0;
	return range >> (3 + 3 * k);
}

#include "solve/reuse/assign_core.h"
