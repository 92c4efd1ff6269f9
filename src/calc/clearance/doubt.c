/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/clearance/doubt.h"

#include <math.h>
#include <stdlib.h>

static bool make_room(struct fw_doubt *doubt)
{
	size_t room = doubt->room ? 2 * doubt->room : 16;
	struct fw_term *grown;

	if (doubt->lost || doubt->count < doubt->room)
		return !doubt->lost;
	grown = (struct fw_term *)realloc(doubt->list, room * sizeof *grown);
	if (!grown) {
		doubt->lost = true;
		return false;
	}
	doubt->list = grown;
	doubt->room = room;
	return true;
}

void fw_doubt_add(struct fw_doubt *doubt, const struct fw_calc_values *in, const char *name,
                  double by)
{
	const struct fw_quantity *q = fw_calc_quantity(in, name);

	for (size_t i = 0; q && i < q->count; i++) {
		if (!make_room(doubt))
			return;
		doubt->list[doubt->count] = q->terms[i];
		doubt->list[doubt->count++].u *= by;
	}
}

static int by_source(const void *a, const void *b)
{
	const struct fw_term *left = (const struct fw_term *)a, *right = (const struct fw_term *)b;

	return (left->source > right->source) - (left->source < right->source);
}

int fw_doubt_end(double *u, struct fw_doubt *doubt, struct fw_error *err)
{
	double sum = 0.0;
	bool lost = doubt->lost;

	if (doubt->count > 0)
		qsort(doubt->list, doubt->count, sizeof *doubt->list, by_source);
	for (size_t i = 0; i < doubt->count;) {
		uint64_t source = doubt->list[i].source;
		double same = 0.0;

		for (; i < doubt->count && doubt->list[i].source == source; i++)
			same += doubt->list[i].u;
		sum = hypot(sum, same);
	}
	free(doubt->list);
	*doubt = (struct fw_doubt){.list = NULL};
	if (lost)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	*u = sum;
	return FW_OK;
}
