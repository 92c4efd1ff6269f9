/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/shim/stack.h"

/* Coefficients of the product over all sizes of (1 + x + ... + x^count): the x^k term counts the
 * stacks of k pieces. A double holds the largest (1031 over 8, 3e19) well enough. */
double fw_stack_count(const struct fw_shim *kit, size_t sizes, size_t most)
{
	double ways[FW_STACK_MOST + 1] = {1.0};

	for (size_t i = 0; i < sizes; i++) {
		size_t count = kit[i].count < most ? kit[i].count : most;
		for (size_t k = most; k > 0; k--)
			for (size_t n = 1; n <= count && n <= k; n++)
				ways[k] += ways[k - n];
	}

	double total = 0.0;
	for (size_t k = 0; k <= most; k++)
		total += ways[k];
	return total;
}
