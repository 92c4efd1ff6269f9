/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/propagate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calc/out.h"
#include "calc/values.h"

struct source {
	uint64_t name;
	double freedom;
};

struct sources {
	struct source *list;
	size_t count, room;
};

static int add_source(struct sources *sources, const struct fw_term *term, struct fw_error *err)
{
	if (sources->count == sources->room) {
		size_t room = sources->room ? 2 * sources->room : 32;
		struct source *grown = realloc(sources->list, room * sizeof *grown);
		if (!grown)
			return fw_fail(err, FW_ERR_MEMORY, "out of memory");
		sources->list = grown;
		sources->room = room;
	}
	sources->list[sources->count++] = (struct source){term->source, term->freedom};
	return FW_OK;
}

static int collect(struct sources *sources, const struct fw_calc_values *values,
                   struct fw_error *err)
{
	int code = FW_OK;

	for (size_t i = 0; i < values->count; i++) {
		const struct fw_calc_slot *slot = &values->slots[i];
		for (size_t k = 0; slot->items && k < slot->count; k++)
			for (size_t t = 0; code == FW_OK && t < slot->items[k].count; t++)
				code = add_source(sources, &slot->items[k].terms[t], err);
		for (size_t k = 0; code == FW_OK && slot->records && k < slot->count; k++)
			code = collect(sources, slot->records[k], err);
	}
	return code;
}

static int by_name(const void *a, const void *b)
{
	const struct source *left = a, *right = b;

	if (left->name != right->name)
		return left->name < right->name ? -1 : 1;
	return (left->freedom > right->freedom) - (left->freedom < right->freedom);
}

/* Sorted, each once, with the fewest degrees of freedom that any input gave it. */
static void sort_sources(struct sources *sources)
{
	size_t kept = 0;

	if (sources->count == 0)
		return;
	qsort(sources->list, sources->count, sizeof sources->list[0], by_name);
	for (size_t i = 1; i < sources->count; i++)
		if (sources->list[i].name != sources->list[kept].name)
			sources->list[++kept] = sources->list[i];
	sources->count = kept + 1;
}

static bool same_results(const struct fw_calc_out *a, const struct fw_calc_out *b)
{
	if (a->count != b->count)
		return false;
	for (size_t i = 0; i < a->count; i++)
		if (a->results[i].kind != b->results[i].kind || a->results[i].row != b->results[i].row ||
		    strcmp(a->results[i].name, b->results[i].name) != 0)
			return false;
	return true;
}

/* Everything behind the last place of its own is one source: root of the sum of squares, and the
 * degrees of freedom by Welch and Satterthwaite. */
static void merge(struct fw_term *into, double u, double freedom)
{
	double square = into->u * into->u, fourth = square * square / into->freedom;
	double added = u * u;

	fourth += added * added / freedom;
	square += added;
	into->u = sqrt(square);
	into->freedom = fourth > 0 ? square * square / fourth : INFINITY;
}

static void add_part(struct fw_quantity *q, const struct source *source, double u)
{
	if (u == 0.0 || !isfinite(u))
		return;
	if (q->count < FW_TERMS)
		q->terms[q->count++] = (struct fw_term){source->name, u, source->freedom};
	else
		merge(&q->terms[FW_TERMS - 1], u, source->freedom);
}

static void add_parts(struct fw_calc_out *out, const struct source *source,
                      const struct fw_calc_out *up, const struct fw_calc_out *down)
{
	for (size_t i = 0; i < out->count; i++) {
		struct fw_calc_result *result = &out->results[i];
		if (result->kind == FW_CALC_IS_QUANTITY || result->kind == FW_CALC_IS_NUMBER)
			add_part(&result->quantity, source,
			         (up->results[i].quantity.value - down->results[i].quantity.value) / 2);
	}
}

/* One source up and down. FW_ERR_RANGE: it can't be worked through. */
static int move(struct fw_calc_out *out, const struct fw_calculator *calculator,
                struct fw_calc_values *values, const struct source *source, struct fw_error *err)
{
	struct fw_calc_out *up = NULL, *down = NULL;

	values->shift = (struct fw_calc_shift){source->name, 1.0};
	int code = fw_calc_run(&up, calculator, values, true, err);
	values->shift.by = -1.0;
	if (code == FW_OK)
		code = fw_calc_run(&down, calculator, values, true, err);
	values->shift.by = 0.0;
	if (code == FW_OK && same_results(out, up) && same_results(out, down))
		add_parts(out, source, up, down);
	else if (code == FW_OK)
		code = fw_fail(err, FW_ERR_RANGE, "other results come out");
	fw_calc_free(up);
	fw_calc_free(down);
	return code;
}

int fw_calc_propagate(struct fw_calc_out *out, const struct fw_calculator *calculator,
                      struct fw_calc_values *values, struct fw_error *err)
{
	struct sources sources = {.list = NULL};
	struct fw_error why = {0};
	bool left_out = false;

	int code = collect(&sources, values, err);
	sort_sources(&sources);
	if (code == FW_OK && sources.count > FW_CALC_SOURCES)
		code = fw_fail(err, FW_ERR_ARGUMENT,
		               "%zu sources of uncertainty are more than %d; give fewer inputs with ±",
		               sources.count, FW_CALC_SOURCES);
	for (size_t i = 0; code == FW_OK && i < sources.count; i++) {
		int moved = move(out, calculator, values, &sources.list[i], &why);
		if (moved == FW_ERR_MEMORY)
			code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
		left_out = left_out || moved != FW_OK;
	}
	free(sources.list);
	if (left_out)
		fw_calc_warn(out,
		             "an input is uncertain enough to change what comes out (%s); the "
		             "uncertainties shown are too small",
		             why.text);
	return code;
}
