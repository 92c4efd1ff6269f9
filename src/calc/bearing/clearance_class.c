/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc/bearing/common.h"
#include "fitwright/conform.h"

#define ENOUGH 0.95

/* One group against what was measured; `q` may be NULL. */
static int put_group(struct fw_calc_out *out, size_t group, const struct fw_clearance_range *range,
                     const struct fw_quantity *q, bool *fits, struct fw_error *err)
{
	const struct fw_unit *micron = fw_calc_symbol("µm");
	const char *name = fw_clearance_group_name((enum fw_clearance_group)group);
	struct fw_limits limits = {range->min, range->max, NAN};
	struct fw_conformity c = {.verdict = FW_OUTSIDE};
	int rc = FW_OK;

	if (isnan(range->min))
		return FW_OK;
	fw_calc_row(out, "groups", "Groups");
	fw_calc_put_text(out, "group", "group", name);
	fw_calc_put(out, "min", "least", range->min, micron);
	fw_calc_put(out, "max", "most", range->max, micron);
	if (q)
		rc = fw_conform(&c, q->value, fw_quantity_u(q), fw_quantity_freedom(q), &limits, ENOUGH,
		                err);
	if (rc == FW_OK && q) {
		fw_calc_put_text(out, "verdict", "measured", fw_verdict_name(c.verdict));
		fw_calc_put_number(out, "probability", "probability", c.probability);
	}
	fw_calc_row_end(out);
	*fits = q && c.verdict != FW_OUTSIDE;
	return rc;
}

static void show_fits(struct fw_calc_out *out, const struct fw_clearance_range *range,
                      const struct fw_quantity *q, const bool *fits)
{
	char text[3][FW_FIGURE];
	const struct fw_unit *micron = fw_calc_symbol("µm");
	bool any = false;

	for (size_t g = 0; g < FW_CLEARANCE_GROUPS; g++) {
		if (!fits[g])
			continue;
		any = true;
		fw_calc_line(out, "%s: %s to %s takes in %s",
		             fw_clearance_group_name((enum fw_clearance_group)g),
		             fw_calc_figure(range[g].min, micron, text[0], FW_FIGURE),
		             fw_calc_figure(range[g].max, micron, text[1], FW_FIGURE),
		             fw_calc_figure(q->value, micron, text[2], FW_FIGURE));
	}
	if (any)
		return;
	fw_calc_line(out, "no group takes in %s", fw_calc_figure(q->value, micron, text[0], FW_FIGURE));
	fw_calc_warn(out, "the clearance is in no group: worn, mounted, or measured under load");
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_clearance_range range[FW_CLEARANCE_GROUPS];
	const struct fw_quantity *q = fw_calc_quantity(in, "clearance");
	double bore = fw_calc_value(in, "bore");
	bool fits[FW_CLEARANCE_GROUPS] = {false};
	char text[FW_FIGURE], names[4 * FW_CLEARANCE_GROUPS] = "";
	int rc = fw_bearing_clearances(range, (enum fw_clearance_table)fw_calc_choice(in, "kind"), bore,
	                               err);

	if (rc != FW_OK)
		return rc;
	if (q && q->value >= bore)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "clearance: larger than the bore; it is counted in µm unless it says so");
	fw_calc_line(out, "row of the table for a bore of %s, unmounted and unloaded",
	             fw_calc_figure(bore, fw_calc_unit(in, "bore"), text, FW_FIGURE));
	for (size_t g = 0; g < FW_CLEARANCE_GROUPS; g++) {
		if ((rc = put_group(out, g, &range[g], q, &fits[g], err)) != FW_OK)
			return rc;
		if (fits[g])
			snprintf(names + strlen(names), sizeof names - strlen(names), "%s%s", *names ? " " : "",
			         fw_clearance_group_name((enum fw_clearance_group)g));
	}
	if (!q)
		return FW_OK;
	show_fits(out, range, q, fits);
	fw_calc_put_text(out, "fits", "fits group", *names ? names : "none");
	return FW_OK;
}

static const struct fw_calc_input inputs[] = {{.name = "bore",
                                               .kind = FW_CALC_QUANTITY,
                                               .unit = "mm",
                                               .sign = FW_CALC_POSITIVE,
                                               .required = true,
                                               .doc = "of the bearing"},
                                              {.name = "clearance",
                                               .kind = FW_CALC_QUANTITY,
                                               .unit = "µm",
                                               .sign = FW_CALC_NOT_NEGATIVE,
                                               .doc = "measured radial internal clearance"},
                                              {.name = "kind",
                                               .kind = FW_CALC_CHOICE,
                                               .choices = "deep-groove|cylindrical-roller",
                                               .fallback = "deep-groove",
                                               .doc = "of bearing, cylindrical bore"},
                                              FW_INPUT_END};

const struct fw_calculator fw_calculator_clearance_class = {
    .name = "clearance-class",
    .summary = "clearance groups that a bearing's radial clearance belongs to",
    .about = "Lists the groups C2 to C5 for a bore, and says which of them a clearance\n"
             "measured before mounting fits. Groups overlap: one bearing may fit two. A fit\n"
             "that grips takes clearance away, so measure before mounting.",
    .source = "ISO 5753-1 (read in reprints; C5 above 100 mm and all above 180 mm of deep groove "
              "bearings from memory)",
    .example = "--bore 30 --clearance '22 ± 2'",
    .inputs = inputs,
    .plain = true,
    .run = run};
