/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/joint/common.h"
#include "fitwright/strip.h"

static int put_equal(struct fw_calc_out *out, const struct fw_thread *thread, struct fw_error *err)
{
	const char *unit = fw_joint_length_unit(thread);
	double equal = 0.0;
	char a[FW_FIGURE];
	int rc = fw_engagement_equal(&equal, thread, err);

	if (rc != FW_OK)
		return rc;
	fw_calc_line(out, "in a part as strong as the bolt: Le = 2·As/(A of the bolt/Le) = %s",
	             fw_calc_in(equal, unit, a));
	fw_calc_put(out, "engagement-equal", "engagement in a part as strong as the bolt", equal,
	            fw_calc_symbol(unit));
	return FW_OK;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_thread thread;
	struct fw_strength strength;
	int rc = fw_joint_read_thread(&thread, in, err);

	if (rc == FW_OK)
		rc = fw_joint_read_strength(&strength, in, &thread, err);
	if (rc == FW_OK && !fw_calc_given(in, "parent") && !fw_calc_given(in, "parent-shear"))
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "parent is missing: the material the bolt is screwed into, or parent-shear, its "
		    "shear strength");
	if (rc == FW_OK)
		rc = fw_joint_put_strip(out, in, &thread, &strength, fw_calc_value(in, "preload"), err);
	return rc == FW_OK ? put_equal(out, &thread, err) : rc;
}

static const struct fw_calc_input inputs[] = {
    {"thread", FW_CALC_TEXT, NULL, FW_CALC_ANY, true, NULL, NULL, NULL,
     "the thread, such as M8, M10x1.25 or 3/8-16 UNC"},
    {"engagement", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "length of full threads engaged"},
    {"parent", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "material the bolt is screwed into"},
    {"parent-shear", FW_CALC_QUANTITY, "MPa", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "its shear strength, in place of parent"},
    {"class", FW_CALC_TEXT, NULL, FW_CALC_ANY, false, NULL, NULL, NULL,
     "property class of the bolt: 8.8, SAE 5"},
    {"preload", FW_CALC_QUANTITY, "kN", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "the highest preload it may see"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_strip = {
    .name = "strip",
    .summary = "what strips a thread, and how far in a bolt must go",
    .about = "The load that strips the thread of a bolt or of the part it is screwed into,\n"
             "with the worst limits of size of the usual tolerance classes, and the\n"
             "engagement at which the bolt breaks first. Areas are those of the geometry:\n"
             "threads share the load unevenly, so a margin of 1.25 is asked for. Inserts of\n"
             "wound wire are left out.\n" FW_PARENTS_ABOUT,
    .source = "ASME B1.1, appendix B, and FED-STD-H28/2; limits of size by ISO 965-1 or\n"
              "ASME B1.1; margin and strengths: common practice, no source",
    .example = "--thread M8 --engagement 12 --parent \"cast aluminium\" --class 8.8 --preload 15",
    .inputs = inputs,
    .run = run};
