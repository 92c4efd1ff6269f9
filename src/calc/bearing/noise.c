/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "calc/bearing/common.h"
#include "calc/bearing/train.h"

static int show_gear(struct fw_calc_out *out, const struct fw_calc_values *in,
                     const struct fw_typed_train *train, struct fw_error *err)
{
	const char *gear = fw_calc_text(in, "gear");
	double speed = fw_calc_value(in, "speed");
	struct fw_train_case at = {.gear = train->train.gears ? FW_NEUTRAL : 0};
	int rc = gear ? fw_train_gear(&at, train, gear, err) : FW_OK;

	if (rc != FW_OK) {
		fw_error_prefix(err, "gear: ");
		return rc;
	}
	if (at.gear != FW_NEUTRAL)
		at.load = (enum fw_train_load)fw_calc_choice(in, "load");
	if ((rc = fw_train_show(out, train, &at, speed, err)) != FW_OK)
		return rc;
	return fw_calc_given(in, "frequency") ? fw_train_show_near(out, in, train, &at, speed, err)
	                                      : FW_OK;
}

static int work_out(struct fw_calc_out *out, const struct fw_calc_values *in,
                    struct fw_typed_train *train, struct fw_error *err)
{
	bool running = fw_calc_given(in, "speed"), heard = fw_calc_given(in, "heard");
	int rc = fw_train_take(train, in, err);

	if (rc != FW_OK)
		return rc;
	if (!running && !heard)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "speed or heard is missing: say how fast it runs, or where it is noisy");
	if (!running && (fw_calc_given(in, "gear") || fw_calc_given(in, "frequency")))
		return fw_fail(err, FW_ERR_ARGUMENT, "speed is missing: gear and frequency go with it");
	if (heard)
		rc = fw_train_show_suspects(out, in, train, err);
	return rc == FW_OK && running ? show_gear(out, in, train, err) : rc;
}

static int run(struct fw_calc_out *out, const struct fw_calc_values *in, struct fw_error *err)
{
	struct fw_typed_train *train = malloc(sizeof *train);
	int rc;

	if (!train)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	rc = work_out(out, in, train, err);
	free(train);
	return rc;
}

#define TEXT(input, needed, what)                                                                  \
	{                                                                                              \
		.name = (input), .kind = FW_CALC_TEXT, .required = (needed), .doc = (what)                 \
	}
#define TEETH(input, what)                                                                         \
	{                                                                                              \
		.name = (input), .kind = FW_CALC_WHOLE, .sign = FW_CALC_POSITIVE, .required = true,        \
		.doc = (what)                                                                              \
	}
#define YES(input, what)                                                                           \
	{                                                                                              \
		.name = (input), .kind = FW_CALC_CHOICE, .choices = "no|yes", .doc = (what)                \
	}
#define RECORDS(input, needed, its_fields, what)                                                   \
	{                                                                                              \
		.name = (input), .kind = FW_CALC_RECORDS, .required = (needed), .fields = (its_fields),    \
		.doc = (what)                                                                              \
	}

const struct fw_calc_input fw_shaft_fields[] = {TEXT("name", true, "its name"), FW_INPUT_END};

const struct fw_calc_input fw_pair_fields[] = {
    TEXT("name", true, "its name"),
    TEXT("a", true, "shaft or free gear that one gear turns with"),
    TEXT("b", true, "the same of the other"),
    TEETH("teeth-a", "teeth of the gear on a"),
    TEETH("teeth-b", "teeth of the gear on b"),
    TEXT("gears", false, "1st/2nd: where it is in mesh; else always"),
    YES("ring", "one is a ring gear: both turn the same way"),
    FW_INPUT_END};

const struct fw_calc_input fw_lock_fields[] = {
    TEXT("name", true, "its name"), TEXT("a", true, "what it locks"), TEXT("b", true, "to what"),
    TEXT("gears", true, "1st/2nd: where it is in"), FW_INPUT_END};

const struct fw_calc_input fw_train_bearing_fields[] = {
    TEXT("name", true, "its name"),
    TEXT("inner", true, "shaft its inner ring turns with"),
    {.name = "outer",
     .kind = FW_CALC_TEXT,
     .fallback = FW_NAME_CASE,
     .doc = "the same of its outer ring"},
    FW_GEOMETRY_INPUTS(false),
    FW_INPUT_END};

const struct fw_calc_input fw_heard_fields[] = {
    TEXT("gear", true, "a gear, neutral, or clutch-out"), YES("drive", "heard under drive"),
    YES("float", "heard without load"), YES("overrun", "heard on the overrun"), FW_INPUT_END};

static const struct fw_calc_input inputs[] = {
    RECORDS("shaft", true, fw_shaft_fields, "a shaft, or a gear that runs free on one"),
    RECORDS("pair", true, fw_pair_fields, "a pair of gears"),
    RECORDS("lock", false, fw_lock_fields, "what makes two turn as one in some gears"),
    RECORDS("bearing", false, fw_train_bearing_fields, "a bearing"),
    TEXT("input", true, "the shaft that is driven"),
    TEXT("output", true, "the shaft that drives"),
    TEXT("engine", false, "a shaft beyond the clutch, for a pilot bearing"),
    RECORDS("heard", false, fw_heard_fields, "where the noise is, and where not"),
    {.name = "speed",
     .kind = FW_CALC_QUANTITY,
     .unit = "rpm",
     .doc = "of the input, for speeds and frequencies"},
    TEXT("gear", false, "the gear chosen; neutral if not given"),
    {.name = "load",
     .kind = FW_CALC_CHOICE,
     .choices = "drive|float|overrun",
     .fallback = "drive",
     .doc = "how it is driven"},
    {.name = "frequency",
     .kind = FW_CALC_QUANTITY,
     .unit = "Hz",
     .sign = FW_CALC_POSITIVE,
     .doc = "of the noise: lists what is near it"},
    {.name = "within",
     .kind = FW_CALC_NUMBER,
     .sign = FW_CALC_POSITIVE,
     .fallback = "3 %",
     .doc = "how near, at most 50 %"},
    {.name = "harmonics", .kind = FW_CALC_WHOLE, .fallback = "3", .doc = "how many, 1 to 20"},
    FW_INPUT_END};

const struct fw_calculator fw_calculator_noise = {
    .name = "noise",
    .summary = "which part of a gearbox fits where a noise is heard",
    .about = "Describe the box: shafts and free gears, pairs with their teeth, what is locked\n"
             "in which gear, bearings. With a speed it says how fast each part turns in a\n"
             "gear, which teeth bear, and at what frequencies teeth and bearings sound. With\n"
             "the gears and loads in which a noise was heard or not (float: no torque;\n"
             "overrun: the wheels drive) it ranks the parts by how well they explain it, one\n"
             "part at fault. A part can only sound where it turns, and sounds most where it\n"
             "bears load. A free gear's force reaches a shaft's bearings through its own\n"
             "bearing on it. In neutral the output stands; with clutch-out the input too. The\n"
             "shares rest on round chances: they sort, they prove nothing. No planetary sets.",
    .source = "kinematics; chances of being heard: common practice, no source",
    .example = "--shaft input --shaft lay --shaft main --shaft gear2 --input input --output main "
               "--pair 'constant, a=input, b=lay, teeth-a=21, teeth-b=38' "
               "--pair 'second, a=lay, b=gear2, teeth-a=25, teeth-b=29' "
               "--lock 'dog, a=gear2, b=main, gears=2nd' --lock 'top, a=input, b=main, gears=top' "
               "--bearing 'lay rear, inner=lay, balls=9, dia=9.5, pitch=46.5' "
               "--bearing 'main rear, inner=main' "
               "--bearing 'needles, inner=main, outer=gear2' --bearing 'front, inner=input' "
               "--heard '2nd, drive=yes, float=no, overrun=yes' --heard 'top, drive=no' "
               "--speed 3800 --gear 2nd",
    .inputs = inputs,
    .plain = true,
    .run = run};
