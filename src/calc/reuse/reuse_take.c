/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calc/reuse/reuse.h"

/* A shelf by steps ends a little beyond its last grade, as 0.05 mm isn't a sum of powers of two. */
#define STEP_SLACK 1e-6

const char *fw_bench_name(const struct fw_bench *bench, size_t place)
{
	return fw_calc_text(fw_calc_record(bench->in, "place", place), "name");
}

/* A figure of a record, else of the whole; NAN: neither. */
static double own_or_common(const struct fw_bench *b, const struct fw_calc_values *record,
                            const char *name)
{
	return fw_calc_given(record, name) ? fw_calc_value(record, name) : fw_calc_value(b->in, name);
}

/* The uncertainty typed with it, else that of the gauge; ± is k = 2. */
static double u_of(struct fw_bench *b, const struct fw_quantity *q, const char *gauge)
{
	double u = q->count > 0 ? fw_quantity_u(q) : fw_calc_value(b->in, gauge) / 2.0;

	b->exact = b->exact && u == 0.0;
	return u;
}

static int take_place(struct fw_bench *b, size_t i, struct fw_error *err)
{
	const struct fw_calc_values *record = fw_calc_record(b->in, "place", i);
	const struct fw_quantity *found = fw_calc_quantity(record, "found");
	const struct fw_quantity *was = fw_calc_quantity(record, "was");
	double min = own_or_common(b, record, "min"), max = own_or_common(b, record, "max");

	if (isnan(min) && isnan(max))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "place %zu: min and max are both missing: give at least one, here or for all", i + 1);
	b->place[i] =
	    (struct fw_place){.found = found->value,
	                      .u = u_of(b, found, "gauge"),
	                      .own = was ? b->reuse.parts : FW_PLACE_BARE,
	                      .factor = fw_calc_choice(b->in, "part") == 1 ? 2.0 : 1.0,
	                      .limits = {isnan(min) ? -INFINITY : min, isnan(max) ? INFINITY : max,
	                                 own_or_common(b, record, "aim")}};
	if (was) {
		b->owner[b->reuse.parts] = i;
		b->part[b->reuse.parts++] = (struct fw_part){was->value, u_of(b, was, "micrometer")};
	}
	return FW_OK;
}

static void take_spares(struct fw_bench *b)
{
	b->spares_from = b->reuse.parts;
	for (size_t k = 0; k < fw_calc_count(b->in, "spare"); k++) {
		const struct fw_quantity *size =
		    fw_calc_quantity(fw_calc_record(b->in, "spare", k), "size");
		b->owner[b->reuse.parts] = SIZE_MAX;
		b->part[b->reuse.parts++] = (struct fw_part){size->value, u_of(b, size, "micrometer")};
	}
}

static int take_grade(struct fw_grade *out, const struct fw_calc_values *record, size_t number,
                      struct fw_error *err)
{
	double count = fw_calc_value(record, "count");

	if (fw_calc_given(record, "count") && !(count >= 0.0 && count < FW_GRADE_ENDLESS))
		return fw_fail(err, FW_ERR_ARGUMENT, "shelf %zu: count: from 0 to four thousand million",
		               number);
	*out = (struct fw_grade){fw_calc_value(record, "size"),
	                         isnan(count) ? FW_GRADE_ENDLESS : (uint32_t)count};
	return FW_OK;
}

/* Grades from..to in steps, as many of each as wanted. */
static int count_steps(size_t *out, const struct fw_calc_values *in, struct fw_error *err)
{
	double from = fw_calc_value(in, "shelf-from"), to = fw_calc_value(in, "shelf-to");
	double step = fw_calc_value(in, "shelf-step");

	*out = 0;
	if (isnan(from) && isnan(to) && isnan(step))
		return FW_OK;
	if (isnan(from) || isnan(to) || isnan(step))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "shelf-from, shelf-to and shelf-step belong together: one is missing");
	if (to < from)
		return fw_fail(err, FW_ERR_ARGUMENT, "shelf-to is below shelf-from; are they swapped?");
	double steps = floor((to - from) / step + STEP_SLACK);
	if (!(steps < FW_REUSE_ITEMS))
		return fw_fail(err, FW_ERR_RANGE,
		               "shelf-step: more than %d grades from shelf-from to "
		               "shelf-to",
		               FW_REUSE_ITEMS);
	*out = (size_t)steps + 1;
	return FW_OK;
}

static int take_shelf(struct fw_bench *b, struct fw_error *err)
{
	size_t listed = fw_calc_count(b->in, "shelf"), steps = 0;
	int rc = count_steps(&steps, b->in, err);

	if (rc != FW_OK)
		return rc;
	b->reuse.grades = listed + steps;
	b->grade = calloc(b->reuse.grades + 1, sizeof *b->grade);
	if (!b->grade)
		return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	for (size_t k = 0; k < listed && rc == FW_OK; k++)
		rc = take_grade(&b->grade[k], fw_calc_record(b->in, "shelf", k), k + 1, err);
	for (size_t k = 0; k < steps; k++)
		b->grade[listed + k] = (struct fw_grade){fw_calc_value(b->in, "shelf-from") +
		                                             (double)k * fw_calc_value(b->in, "shelf-step"),
		                                         FW_GRADE_ENDLESS};
	b->reuse.grade_u = fw_calc_value(b->in, "shelf-error") / 2.0;
	b->exact = b->exact && b->reuse.grade_u == 0.0;
	return rc;
}

struct named {
	const char *name;
	size_t place;
};

static int by_name(const void *a, const void *b)
{
	const struct named *x = a, *y = b;
	int order = strcmp(x->name, y->name);

	return order ? order : (x->place > y->place) - (x->place < y->place);
}

/* Two places of one name could not be told apart at the bench. */
static int check_names(const struct fw_bench *b, struct fw_error *err)
{
	struct named *list = malloc(b->reuse.places * sizeof *list);
	int rc = FW_OK;

	if (!list)
		return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	for (size_t i = 0; i < b->reuse.places; i++)
		list[i] = (struct named){fw_bench_name(b, i), i};
	qsort(list, b->reuse.places, sizeof *list, by_name);
	for (size_t i = 1; i < b->reuse.places && rc == FW_OK; i++) {
		if (strcmp(list[i - 1].name, list[i].name) == 0)
			rc = fw_fail(err, FW_ERR_ARGUMENT, "places %zu and %zu have one name",
			             list[i - 1].place + 1, list[i].place + 1);
	}
	free(list);
	return rc;
}

int fw_bench_take(struct fw_bench *out, const struct fw_calc_values *in, struct fw_error *err)
{
	size_t places = fw_calc_count(in, "place"), spares = fw_calc_count(in, "spare");
	struct fw_bench *b = out;
	int rc = FW_OK;

	*b = (struct fw_bench){
	    .in = in, .unit = fw_calc_unit(fw_calc_record(in, "place", 0), "found"), .exact = true};
	b->fine = fw_calc_fine(b->unit);
	b->place = calloc(places, sizeof *b->place);
	b->part = calloc(places + spares, sizeof *b->part);
	b->owner = calloc(places + spares, sizeof *b->owner);
	if (!b->place || !b->part || !b->owner) {
		fw_bench_free(b);
		return fw_fail(err, FW_ERR_MEMORY, "reuse: out of memory");
	}
	b->reuse.places = places;
	for (size_t i = 0; i < places && rc == FW_OK; i++)
		rc = take_place(b, i, err);
	if (rc == FW_OK) {
		take_spares(b);
		rc = take_shelf(b, err);
	}
	if (rc == FW_OK)
		rc = check_names(b, err);
	b->reuse.place = b->place;
	b->reuse.part = b->part;
	b->reuse.grade = b->grade;
	b->reuse.asked = fw_calc_value(in, "chance");
	if (rc != FW_OK)
		fw_bench_free(b);
	return rc;
}

void fw_bench_free(struct fw_bench *bench)
{
	free(bench->place);
	free(bench->part);
	free(bench->owner);
	free(bench->grade);
}
