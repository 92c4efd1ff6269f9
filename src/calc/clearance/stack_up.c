/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "calc/clearance/stack_up.h"

/* Parts drawn in all: a few seconds at most. */
#define WORK_MOST 1e9
#define THREADS   2

static int tolerance_of(struct fw_stackup_link *link, const struct fw_calc_values *record,
                        struct fw_error *err)
{
	bool both = fw_calc_given(record, "tolerance");
	bool upper = fw_calc_given(record, "upper"), lower = fw_calc_given(record, "lower");
	const struct fw_quantity *size = fw_calc_quantity(record, "size");

	link->u = fw_quantity_u(size);
	if (both && (upper || lower))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stack-up: %s: give a tolerance, or upper and lower, not both", link->name);
	if (link->u > 0.0 && (both || upper || lower))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "stack-up: %s: what is measured (±) has no tolerance besides", link->name);
	if (link->u > 0.0)
		link->shape = FW_STACKUP_MEASURED;
	if (both) {
		link->upper = fw_calc_value(record, "tolerance");
		link->lower = -link->upper;
	}
	if (upper)
		link->upper = fw_calc_value(record, "upper");
	if (lower)
		link->lower = fw_calc_value(record, "lower");
	return FW_OK;
}

static int link_of(struct fw_stackup_link *link, const struct fw_calc_values *record,
                   struct fw_error *err)
{
	*link =
	    (struct fw_stackup_link){.name = fw_calc_text(record, "name"),
	                             .nominal = fw_calc_value(record, "size"),
	                             .sigmas = fw_calc_value(record, "sigmas"),
	                             .shape = (enum fw_stackup_shape)fw_calc_choice(record, "shape")};
	int rc = fw_clearance_factor(&link->coefficient, record, err);
	return rc == FW_OK ? tolerance_of(link, record, err) : rc;
}

static int trials(struct fw_calc_out *out, const struct fw_stack_up *it,
                  const struct fw_calc_values *in, struct fw_error *err)
{
	double count = fw_calc_value(in, "trials"), seed = fw_calc_value(in, "seed");
	struct fw_stackup_sample sample;

	if (count == 0.0)
		return FW_OK;
	if (count < 0.0 || seed < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: trials and seed can't be negative");
	if (count * (double)it->count > WORK_MOST)
		return fw_fail(err, FW_ERR_RANGE,
		               "stack-up: too many trials for %zu links; at most %.0f (0: none)", it->count,
		               floor(WORK_MOST / (double)it->count));
	struct fw_stackup_run run = {(uint64_t)count, (uint64_t)seed, THREADS};
	int rc = fw_stackup_simulate(&sample, it->link, it->count, it->limited ? &it->limits : NULL,
	                             &run, err);
	if (rc == FW_OK)
		fw_stack_up_put_sample(out, it, &sample, seed);
	return rc;
}

static int work_out(struct fw_calc_out *out, const struct fw_calc_values *in,
                    struct fw_stack_up *it, struct fw_error *err)
{
	int rc = FW_OK;

	for (size_t i = 0; rc == FW_OK && i < it->count; i++)
		rc = link_of(&it->link[i], fw_calc_record(in, "link", i), err);
	if (rc == FW_OK)
		rc = fw_clearance_limits(&it->limits, &it->limited, in, err);
	if (rc == FW_OK)
		rc = fw_stackup_spread(&it->stackup, it->share, it->link, it->count, err);
	if (rc == FW_OK && it->limited)
		rc = fw_stackup_capability(&it->capability, &it->stackup, &it->limits, err);
	if (rc != FW_OK)
		return rc;
	fw_stack_up_put_spread(out, it);
	if (it->limited)
		fw_stack_up_put_capability(out, it);
	return trials(out, it, in, err);
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_stack_up it = {.count = fw_calc_count(in, "link"),
	                         .level = fw_calc_value(in, "level"),
	                         .unit = fw_calc_unit(fw_calc_record(in, "link", 0), "size")};
	int rc = FW_OK;

	it.link = (struct fw_stackup_link *)calloc(it.count, sizeof *it.link);
	it.share = (struct fw_stackup_share *)calloc(it.count, sizeof *it.share);
	if (!it.link || !it.share)
		rc = fw_fail(err, FW_ERR_MEMORY, "stack-up: out of memory");
	else
		rc = work_out(out, in, &it, err);
	free(it.link);
	free(it.share);
	return rc;
}

static const struct fw_calc_input fields[] = {
    {"name", FW_CALC_TEXT, NULL, FW_CALC_ANY, true, NULL, NULL, NULL, "what it is"},
    {"size", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, true, NULL, NULL, NULL,
     "nominal; or measured, with ± (k = 2) behind it"},
    {"tolerance", FW_CALC_QUANTITY, "mm", FW_CALC_NOT_NEGATIVE, false, NULL, NULL, NULL,
     "either way of the size"},
    {"upper", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, NULL, NULL, NULL,
     "or: upper deviation, with its sign"},
    {"lower", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, NULL, NULL, NULL,
     "or: lower deviation, with its sign"},
    {"factor", FW_CALC_NUMBER, NULL, FW_CALC_ANY, false, "1", NULL, NULL,
     "1 opens the gap, -1 closes it"},
    {"shape", FW_CALC_CHOICE, NULL, FW_CALC_ANY, false, "normal",
     "normal|uniform|triangular|arcsine", NULL, "how parts scatter in it"},
    {"sigmas", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, "3", NULL, NULL,
     "of a normal: in half the tolerance"},
    FW_INPUT_END};

static const struct fw_calc_input inputs[] = {
    {"link", FW_CALC_RECORDS, NULL, FW_CALC_ANY, true, NULL, NULL, fields,
     "a part in the chain around the gap"},
    {"min", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, NULL, NULL, NULL, "least gap"},
    {"max", FW_CALC_QUANTITY, "mm", FW_CALC_ANY, false, NULL, NULL, NULL, "most gap"},
    {"level", FW_CALC_NUMBER, NULL, FW_CALC_POSITIVE, false, "3", NULL, NULL,
     "standard deviations in the statistical range"},
    {"trials", FW_CALC_WHOLE, NULL, FW_CALC_ANY, false, "1000000", NULL, NULL,
     "chains put together at random; 0: none"},
    {"seed", FW_CALC_WHOLE, NULL, FW_CALC_ANY, false, "1", NULL, NULL,
     "of the random numbers: the same gives the same"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_stack_up = {
    .name = "stack-up",
    .summary = "what a gap comes to from the tolerances of its chain of parts",
    .about = "The gap is the sum of factor × size over the chain. Three answers: every part\n"
             "at its worst end; the spread, with the gap taken as normal; and trials, which\n"
             "need no such assumption and come with their standard errors. Parts are\n"
             "independent; one without a tolerance is taken as exact. A normal one is not\n"
             "cut off at its tolerance: parts sorted by a gauge are better called uniform.",
    .source = "JCGM 100:2008, 5.1.2 and 4.3; JCGM 101:2008, 5 to 7 (trials)",
    .example = "--link \"bore, size=40 mm, tolerance=0.1 mm\" --link \"spacer, size=25 mm, "
               "tolerance=0.05 mm, factor=-1\" --link \"ring, size=2 mm, tolerance=0.03 mm, "
               "factor=-1\" --link \"hub, size=10 mm, tolerance=0.05 mm, factor=-1\" --min 2.8 "
               "--max 3.2",
    .inputs = inputs,
    .plain = true,
    .costly = true,
    .run = run};
