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

static bool is_same(const struct fw_calc_result *a, const struct fw_calc_result *b)
{
	bool table =
	    (!a->table && !b->table) || (a->table && b->table && strcmp(a->table, b->table) == 0);

	return table && a->row == b->row && a->kind == b->kind && strcmp(a->name, b->name) == 0;
}

/* The same result in another run, or NULL: at its own place, else the nearest, as one that vanished
 * moves all behind it by one. */
static const struct fw_calc_result *same_result(const struct fw_calc_out *run, size_t index,
                                                const struct fw_calc_result *result)
{
	for (size_t d = 0; d <= index || index + d < run->count; d++) {
		if (index + d < run->count && is_same(&run->results[index + d], result))
			return &run->results[index + d];
		if (d <= index && index - d < run->count && is_same(&run->results[index - d], result))
			return &run->results[index - d];
	}
	return NULL;
}

/* What a result gathers besides its terms. */
struct extra {
	struct fw_term tie; /* the source that moves it most across a tie */
	uint64_t merged;    /* name of the merged tail; 0: there is none */
};

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

/* One name of many: of the same sources with the same parts it is the same. */
static uint64_t mix_name(uint64_t name, uint64_t source, double u)
{
	return fw_calc_mix(fw_calc_mix(name, &source, sizeof source), &u, sizeof u);
}

static void add_part(struct fw_quantity *q, struct extra *extra, uint64_t source, double u,
                     double freedom)
{
	struct fw_term *tail = &q->terms[FW_CALC_TERMS - 1];

	if (u == 0.0 || !isfinite(u))
		return;
	if (q->count < FW_CALC_TERMS) {
		q->terms[q->count++] = (struct fw_term){source, u, freedom};
		return;
	}
	if (extra->merged == 0)
		extra->merged = mix_name(fw_source_name("merged"), tail->source, tail->u);
	extra->merged = mix_name(extra->merged, source, u);
	merge(tail, u, freedom);
}

/* By how much a result stands still on one side, to be on a tie of several inputs: a greatest or a
 * least of them. */
#define TIE 0.25

/* One source's part in a number: half the difference, unless the result sits on a tie. */
static void add_number(struct fw_quantity *q, struct extra *extra, const struct source *source,
                       double up, double down)
{
	double rise = up - q->value, fall = q->value - down;
	double large = fmax(fabs(rise), fabs(fall)), small = fmin(fabs(rise), fabs(fall));

	if (rise * fall < 0) /* at its least or greatest: either move counts whole */
		add_part(q, extra, source->name, fabs(rise) > fabs(fall) ? rise : fall, source->freedom);
	else if (small > TIE * large)
		add_part(q, extra, source->name, (up - down) / 2, source->freedom);
	else if (large > fabs(extra->tie.u))
		extra->tie =
		    (struct fw_term){source->name, fabs(rise) > fabs(fall) ? rise : fall, source->freedom};
}

/* False where the move changes more than numbers. */
static bool add_parts(struct fw_calc_out *out, struct extra *extras, const struct source *source,
                      const struct fw_calc_out *up, const struct fw_calc_out *down)
{
	bool same = up->count == out->count && down->count == out->count;

	for (size_t i = 0; i < out->count; i++) {
		struct fw_calc_result *result = &out->results[i];
		const struct fw_calc_result *above = same_result(up, i, result);
		const struct fw_calc_result *below = same_result(down, i, result);
		if (!above || !below)
			same = false;
		else if (result->kind == FW_CALC_IS_QUANTITY || result->kind == FW_CALC_IS_NUMBER)
			add_number(&result->quantity, &extras[i], source, above->quantity.value,
			           below->quantity.value);
		else if (result->kind == FW_CALC_IS_FLAG)
			same = same && above->flag == result->flag && below->flag == result->flag;
		else
			same = same && strcmp(above->text, result->text) == 0 &&
			       strcmp(below->text, result->text) == 0;
	}
	return same;
}

/* One run with the source moved. */
static int run_moved(struct fw_calc_out **out, const struct fw_calculator *calculator,
                     struct fw_calc_values *values, const struct source *source, double by,
                     struct fw_error *err)
{
	values->broken = false;
	values->shift = (struct fw_calc_shift){source->name, by};
	int code = fw_calc_run(out, calculator, values, true, err);
	values->shift.by = 0.0;
	if (code == FW_OK && values->broken)
		code = fw_fail(err, FW_ERR_RANGE, "an input would change its sign");
	return code;
}

/* One source up and down. FW_ERR_RANGE: it can't be worked through, or not in full. */
static int move(struct fw_calc_out *out, struct extra *extras,
                const struct fw_calculator *calculator, struct fw_calc_values *values,
                const struct source *source, struct fw_error *err)
{
	struct fw_calc_out *up = NULL, *down = NULL;

	int code = run_moved(&up, calculator, values, source, 1.0, err);
	if (code == FW_OK)
		code = run_moved(&down, calculator, values, source, -1.0, err);
	if (code == FW_OK && !add_parts(out, extras, source, up, down))
		code = fw_fail(err, FW_ERR_RANGE, "another verdict, or other results");
	fw_calc_free(up);
	fw_calc_free(down);
	return code;
}

/* The size of the inputs of one dimension: rounding of numbers so large is no uncertainty. */
static double largest_input(const struct fw_calc_values *values, struct fw_dimension dimension)
{
	double largest = 0;

	for (size_t i = 0; i < values->count; i++) {
		const struct fw_calc_slot *slot = &values->slots[i];
		for (size_t k = 0; slot->items && k < slot->count; k++)
			if (fw_dimension_equal(slot->items[k].unit->dimension, dimension))
				largest = fmax(largest, fabs(slot->items[k].value));
		for (size_t k = 0; slot->records && k < slot->count; k++)
			largest = fmax(largest, largest_input(slot->records[k], dimension));
	}
	return largest;
}

static int by_source(const void *a, const void *b)
{
	const struct fw_term *left = a, *right = b;
	return (left->source > right->source) - (left->source < right->source);
}

/* What is left of rounding goes; a merged tail gets a name of its own; terms are sorted. */
static void tidy(struct fw_calc_result *result, struct extra *extra, double scale)
{
	struct fw_quantity *q = &result->quantity;
	double least = fmax(1e-9 * fabs(q->value), 1e-13 * scale);
	size_t kept = 0;

	add_part(q, extra, extra->tie.source, extra->tie.u, extra->tie.freedom);
	if (extra->merged != 0)
		q->terms[FW_CALC_TERMS - 1].source = extra->merged;
	for (size_t i = 0; i < q->count; i++)
		if (fabs(q->terms[i].u) > least)
			q->terms[kept++] = q->terms[i];
	q->count = kept;
	qsort(q->terms, q->count, sizeof q->terms[0], by_source);
}

static void tidy_all(struct fw_calc_out *out, struct extra *extras,
                     const struct fw_calc_values *values)
{
	struct fw_dimension last = {0, 0, 0, 0, 0};
	double scale = largest_input(values, last);

	for (size_t i = 0; i < out->count; i++) {
		struct fw_calc_result *result = &out->results[i];
		if (result->kind != FW_CALC_IS_QUANTITY && result->kind != FW_CALC_IS_NUMBER)
			continue;
		if (!fw_dimension_equal(result->quantity.dimension, last)) {
			last = result->quantity.dimension;
			scale = largest_input(values, last);
		}
		tidy(result, &extras[i], scale);
	}
}

static int take_sources(struct sources *sources, const struct fw_calc_values *values,
                        struct fw_error *err)
{
	int code = collect(sources, values, err);

	sort_sources(sources);
	if (code == FW_OK && sources->count > FW_CALC_SOURCES)
		code = fw_fail(err, FW_ERR_ARGUMENT,
		               "%zu sources of uncertainty are more than %d; give fewer inputs with ±",
		               sources->count, FW_CALC_SOURCES);
	return code;
}

/* Where the first input stands that bears a source. False when none does. */
static bool name_input(char *buffer, size_t size, const struct fw_calc_values *values,
                       uint64_t source)
{
	for (size_t i = 0; i < values->count; i++) {
		const struct fw_calc_slot *slot = &values->slots[i];
		for (size_t k = 0; slot->items && k < slot->count; k++)
			for (size_t t = 0; t < slot->items[k].count; t++)
				if (slot->items[k].terms[t].source == source) {
					fw_calc_where(values, &values->inputs[i], buffer, size);
					return true;
				}
		for (size_t k = 0; slot->records && k < slot->count; k++)
			if (name_input(buffer, size, slot->records[k], source))
				return true;
	}
	return false;
}

int fw_calc_propagate(struct fw_calc_out *out, const struct fw_calculator *calculator,
                      struct fw_calc_values *values, struct fw_error *err)
{
	struct sources sources = {.list = NULL};
	struct extra *extras = calloc(out->count + 1, sizeof *extras);
	struct fw_error why = {0};
	bool left_out = false;
	char culprit[160] = "an input";

	int code =
	    extras ? take_sources(&sources, values, err) : fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (size_t i = 0; code == FW_OK && i < sources.count; i++) {
		int moved = move(out, extras, calculator, values, &sources.list[i], &why);
		if (moved != FW_OK && !left_out)
			name_input(culprit, sizeof culprit, values, sources.list[i].name);
		if (moved == FW_ERR_MEMORY)
			code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
		left_out = left_out || moved != FW_OK;
	}
	if (code == FW_OK && sources.count > 0)
		tidy_all(out, extras, values);
	free(sources.list);
	free(extras);
	if (left_out)
		fw_calc_warn(
		    out,
		    "%s is uncertain enough to change what comes out (%s); the uncertainties shown "
		    "may be too small",
		    culprit, why.text);
	return code;
}

/* Values given, in records too, and terms of uncertainty among them. */
static void count(const struct fw_calc_values *values, double *items, double *terms)
{
	for (size_t i = 0; i < values->count; i++) {
		const struct fw_calc_slot *slot = &values->slots[i];
		*items += (double)slot->count + 1;
		for (size_t k = 0; slot->items && k < slot->count; k++)
			*terms += (double)slot->items[k].count;
		for (size_t k = 0; slot->records && k < slot->count; k++)
			count(slot->records[k], items, terms);
	}
}

double fw_calc_effort(const struct fw_calculator *calculator, const struct fw_calc_values *values)
{
	double items = 0, terms = 0;

	count(values, &items, &terms);
	if (calculator->plain)
		return items;
	return items * (1 + 2 * fmin(terms, FW_CALC_SOURCES));
}
