/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#define CELL       double
#define CELL_FAR   INFINITY
#define CELL_DONE  (-INFINITY)
#define CELL_FLOOR (-INFINITY)
#define CELL_CORE  fw_assign_core_real
#define CELL_STEP  auction_step

/* Steps are powers of two, an eighth of the range down to a millionth: so whole costs stay exact.
 */
static double auction_step(double range, int k)
{
	int exponent = 0;

	if (range <= 0.0 || k > 6)
		return 0.0;
	(void)frexp(range, &exponent);
	return ldexp(1.0, exponent - 3 - 3 * k);
}

#include "solve/reuse/assign_core.h"
