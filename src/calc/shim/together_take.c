/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/shim/together_take.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Finds the place or response of that name; SIZE_MAX and an error when there is none. */
static size_t find(const struct fw_calc_values *in, const char *list, const char *name,
                   const char *who, struct fw_error *err)
{
	for (size_t i = 0; i < fw_calc_count(in, list); i++)
		if (strcmp(fw_calc_text(fw_calc_record(in, list, i), "name"), name) == 0)
			return i;
	fw_fail(err, FW_ERR_ARGUMENT, "%s: there is no %s '%s'", who, list, name);
	return SIZE_MAX;
}

static int no_twins(const struct fw_calc_values *in, const char *list, struct fw_error *err)
{
	for (size_t i = 0; i < fw_calc_count(in, list); i++) {
		const char *name = fw_calc_text(fw_calc_record(in, list, i), "name");
		if (find(in, list, name, "", NULL) != i)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s: '%s' is there twice", list, name);
	}
	return FW_OK;
}

static int take_place(struct fw_calc_together *t, size_t j, struct fw_error *err)
{
	const struct fw_calc_values *record = fw_calc_record(t->in, "place", j);
	double least = fw_calc_value(record, "least");
	size_t most = 0;

	int rc = fw_calc_kit_most(&most, record, err);
	if (rc != FW_OK) {
		fw_error_prefix(err, "place %zu: ", j + 1);
		return rc;
	}
	if (!(least == 0.0 || least == 1.0))
		return fw_fail(err, FW_ERR_ARGUMENT, "place %zu: least: 0 or 1 shim", j + 1);
	t->place[j] = (struct fw_together_place){
	    .name = fw_calc_text(record, "name"), .most = most, .may_be_empty = least == 0.0};
	return FW_OK;
}

static int take_response(struct fw_calc_together *t, size_t i, struct fw_error *err)
{
	const struct fw_calc_values *record = fw_calc_record(t->in, "response", i);
	const struct fw_quantity *read = fw_calc_quantity(record, "read");
	struct fw_together_response *r = &t->response[i];

	r->name = fw_calc_text(record, "name");
	r->settle_u = fw_calc_value(t->in, "seating") / 2.0;
	t->unit[i] = fw_calc_unit(record, "read");
	t->reading[i] = (struct fw_together_reading){
	    true, read->value,
	    read->count > 0 ? fw_quantity_u(read) : fw_calc_value(t->in, "gauge") / 2.0};
	int rc = fw_calc_kit_limits(&r->limits, record, err);
	if (rc != FW_OK)
		fw_error_prefix(err, "response '%s': ", r->name);
	return rc;
}

static int take_move(struct fw_calc_together *t, size_t n, struct fw_error *err)
{
	const struct fw_calc_values *record = fw_calc_record(t->in, "moves", n);
	size_t i = find(t->in, "response", fw_calc_text(record, "response"), "moves", err);
	if (i == SIZE_MAX)
		return FW_ERR_ARGUMENT;
	size_t j = find(t->in, "place", fw_calc_text(record, "place"), "moves", err);
	if (j == SIZE_MAX)
		return FW_ERR_ARGUMENT;
	if (t->response[i].per[j] != 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "moves: '%s' with '%s' is there twice",
		               t->response[i].name, t->place[j].name);
	t->response[i].per[j] = fw_calc_value(record, "by");
	return FW_OK;
}

static int take_found(struct fw_calc_together *t, size_t n, struct fw_error *err)
{
	const struct fw_calc_values *record = fw_calc_record(t->in, "found", n);
	const struct fw_quantity *stack = fw_calc_quantity(record, "stack");
	size_t j = find(t->in, "place", fw_calc_text(record, "place"), "found", err);

	if (j == SIZE_MAX)
		return FW_ERR_ARGUMENT;
	if (t->found[j])
		return fw_fail(err, FW_ERR_ARGUMENT, "found: '%s' is there twice", t->place[j].name);
	t->found[j] = true;
	t->stack[j] = stack->value;
	t->stack_u[j] = fw_quantity_u(stack);
	return FW_OK;
}

/* A size that names a place goes nowhere else. */
static int take_fits(struct fw_calc_together *t, struct fw_error *err)
{
	size_t places = t->fit.places, sizes = t->kit.count;

	t->fits = calloc(places * sizes + 1, sizeof *t->fits);
	if (!t->fits)
		return fw_fail(err, FW_ERR_MEMORY, "kit: out of memory");
	for (size_t k = 0; k < sizes; k++) {
		const char *name = fw_calc_text(fw_calc_record(t->in, "kit", k), "place");
		size_t only = name ? find(t->in, "place", name, "kit", err) : 0;
		if (only == SIZE_MAX)
			return FW_ERR_ARGUMENT;
		for (size_t j = 0; j < places; j++)
			t->fits[j * sizes + k] = !name || j == only;
	}
	for (size_t j = 0; j < places; j++)
		t->place[j].fits = t->fits + j * sizes;
	return FW_OK;
}

int fw_calc_together_take(struct fw_calc_together *out, const struct fw_calc_values *in,
                          struct fw_error *err)
{
	size_t places = fw_calc_count(in, "place"), responses = fw_calc_count(in, "response");

	*out = (struct fw_calc_together){.in = in};
	if (places > FW_PLACES_MOST || responses > FW_RESPONSES_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "at most %d places and %d responses can be handled",
		               FW_PLACES_MOST, FW_RESPONSES_MOST);
	int rc = fw_calc_kit_take(&out->kit, in, err);
	out->fit = (struct fw_together){.kit = out->kit.shim,
	                                .sizes = out->kit.count,
	                                .place = out->place,
	                                .places = places,
	                                .response = out->response,
	                                .responses = responses,
	                                .near = fw_calc_flag(in, "fewest") ? INFINITY : 0.0};
	if (rc == FW_OK)
		rc = no_twins(in, "place", err);
	if (rc == FW_OK)
		rc = no_twins(in, "response", err);
	for (size_t j = 0; j < places && rc == FW_OK; j++)
		rc = take_place(out, j, err);
	for (size_t i = 0; i < responses && rc == FW_OK; i++)
		rc = take_response(out, i, err);
	for (size_t n = 0; n < fw_calc_count(in, "moves") && rc == FW_OK; n++)
		rc = take_move(out, n, err);
	for (size_t n = 0; n < fw_calc_count(in, "found") && rc == FW_OK; n++)
		rc = take_found(out, n, err);
	return rc == FW_OK ? take_fits(out, err) : rc;
}

void fw_calc_together_free(struct fw_calc_together *t)
{
	fw_calc_kit_free(&t->kit);
	free(t->fits);
	t->fits = NULL;
}
