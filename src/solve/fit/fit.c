/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/fit.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "solve/fit/fit_table.h"
#include "solve/length_text.h"

#define MM 1e-3
#define UM 1e-6
/* A nanometre: 18 mm must not land in the next step because 18 * 0.001 isn't 0.018. */
#define HAIR_MM 1e-6

const char *fw_fit_kind_name(enum fw_fit_kind kind)
{
	switch (kind) {
	case FW_FIT_CLEARANCE:
		return "clearance";
	case FW_FIT_TRANSITION:
		return "transition";
	case FW_FIT_INTERFERENCE:
		break;
	}
	return "interference";
}

/* Where a size lies in the tables. */
struct place {
	double mm;
	int step, substep;
};

static int step_of(const double *ends, int count, double mm)
{
	for (int i = 0; i < count; i++)
		if (mm <= ends[i] + HAIR_MM)
			return i;
	return count - 1;
}

static int locate(struct place *out, double size, struct fw_error *err)
{
	char text[FW_LENGTH_TEXT];

	if (!isfinite(size))
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: the nominal size is not a finite number");
	if (size <= 0.0)
		return fw_fail(err, FW_ERR_RANGE, "fit: the nominal size must be above zero");
	if (size > FW_FIT_LARGEST + HAIR_MM * MM)
		return fw_fail(err, FW_ERR_RANGE,
		               "fit: a nominal size of %s is beyond 500 mm, where these tables end",
		               fw_length_text(size, text, sizeof text));
	out->mm = size / MM;
	out->step = step_of(fw_fit_steps, FW_FIT_STEPS, out->mm);
	out->substep = step_of(fw_fit_substeps, FW_FIT_SUBSTEPS, out->mm);
	return FW_OK;
}

static bool up_to(const struct place *at, double mm)
{
	return at->mm <= mm + HAIR_MM;
}

static int check_grade(const struct place *at, int grade, struct fw_error *err)
{
	if (grade < FW_FIT_IT01 || grade > FW_FIT_GRADE_MOST)
		return fw_fail(err, FW_ERR_RANGE, "fit: no such grade; there are IT01, IT0, IT1 … IT18");
	if (grade >= 14 && up_to(at, 1.0))
		return fw_fail(err, FW_ERR_RANGE,
		               "fit: IT%d is not defined for sizes up to 1 mm, only up to IT13", grade);
	return FW_OK;
}

int fw_fit_tolerance(double *out, double size, int grade, struct fw_error *err)
{
	struct place at = {0};

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no place for the tolerance");

	int rc = locate(&at, size, err);
	if (rc == FW_OK)
		rc = check_grade(&at, grade, err);
	if (rc == FW_OK)
		*out = fw_fit_table_it(at.step, grade) * UM;
	return rc;
}

/* One end of the zone: the upper deviation, or the lower, in µm. */
struct deviation {
	bool is_upper;
	double um;
};

static const char *grade_text(int grade, char text[4])
{
	static const char digits[] = "0123456789";
	int i = 0;

	if (grade < 0) {
		memcpy(text, "01", sizeof "01");
		return text;
	}
	if (grade >= 10)
		text[i++] = digits[grade / 10];
	text[i++] = digits[grade % 10];
	text[i] = '\0';
	return text;
}

static int undefined(const struct fw_fit_class *part, const char *why, struct fw_error *err)
{
	char grade[4];

	return fw_fail(err, FW_ERR_RANGE, "fit: %s%s is not defined here: %s", part->letter,
	               grade_text(part->grade, grade), why);
}

/* The magnitude printed for a letter that has one. */
static int printed(double *um, const struct place *at, const struct fw_fit_class *part,
                   const struct fw_fit_letter *letter, struct fw_error *err)
{
	const char *name = letter->name;

	if ((name[0] == 'a' || name[0] == 'b') && up_to(at, 1.0))
		return undefined(part, "a, b, A and B are not for sizes up to 1 mm", err);
	if (fw_fit_value(um, letter, at->step, at->substep))
		return FW_OK;
	switch (name[0]) {
	case 't':
		return undefined(part, "t and T begin above 24 mm", err);
	case 'v':
		return undefined(part, "v and V begin above 14 mm", err);
	case 'y':
		return undefined(part, "y and Y begin above 18 mm", err);
	default:
		return undefined(part, "cd, ef, fg, CD, EF and FG are given up to 10 mm", err);
	}
}

static int shaft_deviation(struct deviation *out, const struct place *at,
                           const struct fw_fit_class *part, const struct fw_fit_letter *letter,
                           struct fw_error *err)
{
	double um = 0.0;
	int rc;

	switch (letter->rule) {
	case FW_FIT_JS:
		*out = (struct deviation){true, fw_fit_table_it(at->step, part->grade) / 2.0};
		return FW_OK;
	case FW_FIT_J:
		if (!fw_fit_j_shaft(&um, at->step, part->grade))
			return undefined(part, "there are j5, j6 and j7, and j8 up to 3 mm", err);
		*out = (struct deviation){false, um};
		return FW_OK;
	case FW_FIT_K:
		if (part->grade >= 4 && part->grade <= 7)
			um = fw_fit_k_shaft(at->step);
		*out = (struct deviation){false, um};
		return FW_OK;
	case FW_FIT_ABOVE:
	case FW_FIT_BELOW:
		break;
	}
	rc = printed(&um, at, part, letter, err);
	if (rc == FW_OK)
		*out = letter->rule == FW_FIT_ABOVE ? (struct deviation){true, 0.0 - um}
		                                    : (struct deviation){false, um};
	return rc;
}

/* ES = -ei + Δ for the holes that need it: a hole of one grade coarser than its shaft then gives
 * the same fit as the hole-basis pair (H7/p6 and P7/h6). */
static int with_delta(struct deviation *out, const struct place *at,
                      const struct fw_fit_class *part, double um, int coarsest,
                      struct fw_error *err)
{
	double delta = 0.0;

	if (!up_to(at, 3.0) && part->grade <= coarsest) {
		if (part->grade < 3)
			return undefined(part, "over 3 mm this letter begins at IT3", err);
		delta = fw_fit_table_it(at->step, part->grade) - fw_fit_table_it(at->step, part->grade - 1);
	}
	*out = (struct deviation){true, delta - um};
	return FW_OK;
}

static int kmn_deviation(struct deviation *out, const struct place *at,
                         const struct fw_fit_class *part, double um, struct fw_error *err)
{
	char letter = part->letter[0];

	if (letter == 'K' && part->grade > 8 && !up_to(at, 3.0))
		return undefined(part, "over 3 mm K ends at IT8", err);
	if (letter == 'N' && part->grade > 8 && up_to(at, 1.0))
		return undefined(part, "N above IT8 is not for sizes up to 1 mm", err);
	if (letter == 'N' && part->grade > 8 && !up_to(at, 3.0)) {
		*out = (struct deviation){true, 0.0};
		return FW_OK;
	}
	if (letter == 'M' && part->grade == 6 && !up_to(at, 250.0) && up_to(at, 315.0)) {
		*out = (struct deviation){true, -9.0};
		return FW_OK;
	}
	return with_delta(out, at, part, um, 8, err);
}

static int hole_deviation(struct deviation *out, const struct place *at,
                          const struct fw_fit_class *part, const struct fw_fit_letter *letter,
                          struct fw_error *err)
{
	double um = 0.0;
	int rc;

	switch (letter->rule) {
	case FW_FIT_JS:
		*out = (struct deviation){true, fw_fit_table_it(at->step, part->grade) / 2.0};
		return FW_OK;
	case FW_FIT_J:
		if (!fw_fit_j_hole(&um, at->step, part->grade))
			return undefined(part, "there are J6, J7 and J8", err);
		*out = (struct deviation){true, um};
		return FW_OK;
	case FW_FIT_K:
		return kmn_deviation(out, at, part, fw_fit_k_shaft(at->step), err);
	case FW_FIT_ABOVE:
	case FW_FIT_BELOW:
		break;
	}
	rc = printed(&um, at, part, letter, err);
	if (rc != FW_OK)
		return rc;
	if (letter->rule == FW_FIT_ABOVE) {
		*out = (struct deviation){false, um};
		return FW_OK;
	}
	if (strcmp(letter->name, "m") == 0 || strcmp(letter->name, "n") == 0)
		return kmn_deviation(out, at, part, um, err);
	return with_delta(out, at, part, um, 7, err);
}

static const struct fw_fit_letter *letter_of(const struct fw_fit_class *part)
{
	char name[sizeof part->letter] = {0};

	for (size_t i = 0; i + 1 < sizeof name; i++)
		name[i] = fw_ascii_lower(part->letter[i]);
	return fw_fit_letter(name);
}

int fw_fit_zone(struct fw_fit_zone *out, double size, const struct fw_fit_class *part,
                struct fw_error *err)
{
	struct place at = {0};
	struct deviation d = {false, 0.0};

	if (!out || !part)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no class, or no place for its limits");

	const struct fw_fit_letter *letter = letter_of(part);
	if (!letter)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no such letter; read it by fw_fit_parse()");

	int rc = locate(&at, size, err);
	if (rc == FW_OK)
		rc = check_grade(&at, part->grade, err);
	if (rc == FW_OK)
		rc = part->hole ? hole_deviation(&d, &at, part, letter, err)
		                : shaft_deviation(&d, &at, part, letter, err);
	if (rc != FW_OK)
		return rc;

	double it = fw_fit_table_it(at.step, part->grade);
	double lower = d.is_upper ? d.um - it : d.um;
	double upper = d.is_upper ? d.um : d.um + it;
	struct fw_fit_zone zone = {.lower = lower * UM,
	                           .upper = upper * UM,
	                           .min = size + lower * UM,
	                           .max = size + upper * UM,
	                           .tolerance = it * UM};
	if (zone.min <= 0.0)
		return undefined(part, "its lower limit would not be above zero", err);
	*out = zone;
	return FW_OK;
}

int fw_fit_pair(struct fw_fit *out, double size, const struct fw_fit_class *hole,
                const struct fw_fit_class *shaft, struct fw_error *err)
{
	struct fw_fit fit = {.kind = FW_FIT_CLEARANCE};

	if (!out || !hole || !shaft)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: a class is missing, or the place for the fit");
	if (!hole->hole || shaft->hole)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: it takes a hole (capital) and a shaft (small)");

	int rc = fw_fit_zone(&fit.hole, size, hole, err);
	if (rc == FW_OK)
		rc = fw_fit_zone(&fit.shaft, size, shaft, err);
	if (rc != FW_OK)
		return rc;

	/* From the deviations in whole nanometres, so that 18 - 18 is 0 and not 3e-21. */
	fit.clearance_min = round((fit.hole.lower - fit.shaft.upper) * 1e9) / 1e9;
	fit.clearance_max = round((fit.hole.upper - fit.shaft.lower) * 1e9) / 1e9;
	fit.kind = fit.clearance_min >= 0.0   ? FW_FIT_CLEARANCE
	           : fit.clearance_max <= 0.0 ? FW_FIT_INTERFERENCE
	                                      : FW_FIT_TRANSITION;
	*out = fit;
	return FW_OK;
}
