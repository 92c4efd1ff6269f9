/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/thermal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "solve/clearance/kelvin.h"
#include "solve/quote.h"

#define WHO 160

/* Longest part or gap, m, as for shims: beyond it can only be a slip of units. */
#define LENGTH_MOST 1000.0

/* What a link does to the gap, and how that depends on the figures that carry an uncertainty. */
struct effect {
	double change;  /* m */
	double by_u;    /* change for one standard uncertainty of its coefficient, m */
	double by_rise; /* change for each kelvin, m/K */
};

static const char *who(const struct fw_thermal_link *link, size_t index, const char *what,
                       char buffer[WHO])
{
	char quoted[FW_QUOTE];

	if (link->name && *link->name)
		snprintf(buffer, WHO, "thermal: link %zu (%s): %s", index + 1, fw_quote(link->name, quoted),
		         what);
	else
		snprintf(buffer, WHO, "thermal: link %zu: %s", index + 1, what);
	return buffer;
}

/* Where in the table the link's material stands; the number of materials when it is none of them.
 */
static size_t place(const struct fw_material *material)
{
	size_t count = 0, at = 0;
	const struct fw_material *table = fw_materials(&count);

	while (at < count && &table[at] != material)
		at++;
	return at;
}

/* What is wrong with the link, or NULL. */
static const char *fault(const struct fw_thermal_link *link)
{
	size_t materials = 0;

	(void)fw_materials(&materials);
	if (!isfinite(link->coefficient))
		return "the coefficient of its place in the chain is not a finite number";
	if (link->coefficient == 0.0)
		return "the coefficient of its place in the chain is 0, so it takes no part; leave it out";
	if (!isfinite(link->length))
		return "the length is not a finite number";
	if (!(link->length > 0.0 && link->length <= LENGTH_MOST))
		return "the length must be above 0 and at most 1000 m; a part that closes the gap has a "
		       "coefficient of -1";
	if (!isfinite(link->rise_u) || link->rise_u < 0.0)
		return "the uncertainty of the temperature must be finite and not negative";
	if (link->material && place(link->material) == materials)
		return "its material is not from the table";
	if (link->material && (link->alpha != 0.0 || link->alpha_u != 0.0))
		return "give a material or a coefficient of expansion, not both";
	return NULL;
}

static int effect_of(struct effect *out, const struct fw_thermal_link *link, size_t index,
                     struct fw_error *err)
{
	char buffer[WHO];
	double alpha = link->alpha, u = link->alpha_u;
	const char *what = fault(link);

	if (what)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s", who(link, index, what, buffer));
	int rc = fw_kelvin_check(link->cold, who(link, index, "the cold temperature", buffer), err);
	if (rc == FW_OK)
		rc = fw_kelvin_check(link->hot, who(link, index, "the hot temperature", buffer), err);
	if (rc == FW_OK && link->material)
		rc = fw_material_alpha(&alpha, &u, link->material, link->cold, link->hot, err);
	if (rc == FW_OK)
		rc =
		    fw_alpha_check(alpha, u, who(link, index, "the coefficient of expansion", buffer), err);
	if (rc != FW_OK)
		return rc;

	double length = link->coefficient * link->length, rise = link->hot - link->cold;
	*out = (struct effect){length * alpha * rise, length * u * rise, length * alpha};
	return FW_OK;
}

static int start_check(const struct fw_thermal_start *start, struct fw_error *err)
{
	if (!start)
		return fw_fail(err, FW_ERR_ARGUMENT, "thermal: no cold gap given");
	if (!isfinite(start->gap) || fabs(start->gap) > LENGTH_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "thermal: the cold gap must be finite and at most 1000 m");
	if (!isfinite(start->gap_u) || start->gap_u < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "thermal: the uncertainty of the cold gap must be finite and not negative");
	if (!isfinite(start->rise_u) || start->rise_u < 0.0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "thermal: the uncertainty of the rise must be finite and not negative");
	return FW_OK;
}

/* Sums over the links; those of one material share its error, so that a steel shaft in a steel case
 * is not uncertain. */
struct sums {
	double change, by_rise;
	double variance;     /* of what is each link's own */
	double *by_material; /* change for one standard uncertainty of the material's coefficient */
};

static void take_in(struct sums *sums, const struct fw_thermal_link *link,
                    const struct effect *effect)
{
	double own = effect->by_rise * link->rise_u;

	sums->change += effect->change;
	sums->by_rise += effect->by_rise;
	sums->variance += own * own;
	if (link->material)
		sums->by_material[place(link->material)] += effect->by_u;
	else
		sums->variance += effect->by_u * effect->by_u;
}

static int add_up(struct sums *sums, const struct fw_thermal_link *link, size_t count,
                  struct fw_error *err)
{
	struct effect effect = {0};

	for (size_t i = 0; i < count; i++) {
		int rc = effect_of(&effect, &link[i], i, err);

		if (rc != FW_OK)
			return rc;
		take_in(sums, &link[i], &effect);
	}
	return FW_OK;
}

static int finish(struct fw_thermal *out, const struct sums *sums, size_t materials,
                  const struct fw_thermal_start *start, struct fw_error *err)
{
	double shared = sums->by_rise * start->rise_u;
	double variance = sums->variance + shared * shared;

	for (size_t i = 0; i < materials; i++)
		variance += sums->by_material[i] * sums->by_material[i];

	struct fw_thermal thermal = {.change = sums->change,
	                             .change_u = sqrt(variance),
	                             .hot = start->gap + sums->change,
	                             .hot_u = sqrt(variance + start->gap_u * start->gap_u)};
	if (!isfinite(thermal.hot) || !isfinite(thermal.hot_u))
		return fw_fail(err, FW_ERR_RANGE, "thermal: the gap is beyond all measure");
	*out = thermal;
	return FW_OK;
}

int fw_thermal_gap(struct fw_thermal *out, double *change, const struct fw_thermal_link *link,
                   size_t count, const struct fw_thermal_start *start, struct fw_error *err)
{
	size_t materials = 0;

	(void)fw_materials(&materials);
	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "thermal: no place for the result");
	if (!link || count == 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "thermal: there are no links");
	if (count > FW_THERMAL_LINKS)
		return fw_fail(err, FW_ERR_ARGUMENT, "thermal: %zu links are too many, at most %d", count,
		               FW_THERMAL_LINKS);

	int rc = start_check(start, err);
	if (rc != FW_OK)
		return rc;
	struct sums sums = {.by_material = (double *)calloc(materials, sizeof(double))};
	if (!sums.by_material)
		return fw_fail(err, FW_ERR_MEMORY, "thermal: out of memory");
	rc = add_up(&sums, link, count, err);
	if (rc == FW_OK)
		rc = finish(out, &sums, materials, start, err);
	free(sums.by_material);
	for (size_t i = 0; rc == FW_OK && change && i < count; i++) {
		struct effect effect = {0};

		(void)effect_of(&effect, &link[i], i, NULL); /* it was good a moment ago */
		change[i] = effect.change;
	}
	return rc;
}
