/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/joint.h"
#include "solve/joint/thread_parse.h"
#include "solve/quote.h"

#define MM   1e-3
#define INCH 0.0254
#define MPA  1e6
#define KSI  6894757.293168361 /* 1000 lbf/in², NIST SP 811 */

/* One class over a span of diameters: above `over`, up to and including `to`. */
struct grade {
	const char *name;
	double over, to;             /* mm, or inches for SAE */
	struct fw_strength strength; /* MPa, or ksi for SAE: proof, yield, tensile */
};

/* ISO 898-1:2013, table 3, least values; of 4.8, 5.8 and 6.8 the yield is Rpf. */
static const struct grade iso[] = {
    {"4.6", 1.5, 39.0, {225, 240, 400}},   {"4.8", 1.5, 39.0, {310, 340, 420}},
    {"5.6", 1.5, 39.0, {280, 300, 500}},   {"5.8", 1.5, 39.0, {380, 420, 520}},
    {"6.8", 1.5, 39.0, {440, 480, 600}},   {"8.8", 1.5, 16.0, {580, 640, 800}},
    {"8.8", 16.0, 39.0, {600, 660, 830}},  {"9.8", 1.5, 16.0, {650, 720, 900}},
    {"10.9", 1.5, 39.0, {830, 940, 1040}}, {"12.9", 1.5, 39.0, {970, 1100, 1220}},
};

/* SAE J429, 1/4 to 1 1/2 in, as tabled by Shigley and Mischke. */
static const struct grade sae[] = {
    {"1", 0.249, 1.5, {33, 36, 60}},    {"2", 0.249, 0.75, {55, 57, 74}},
    {"2", 0.75, 1.5, {33, 36, 60}},     {"4", 0.249, 1.5, {65, 100, 115}},
    {"5", 0.249, 1.0, {85, 92, 120}},   {"5", 1.0, 1.5, {74, 81, 105}},
    {"5.2", 0.249, 1.0, {85, 92, 120}}, {"7", 0.249, 1.5, {105, 115, 133}},
    {"8", 0.249, 1.5, {120, 130, 150}}, {"8.2", 0.249, 1.0, {120, 130, 150}},
};

#define KNOWN                                                                                      \
	"known are 4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 9.8, 10.9, 12.9 (ISO 898-1) and SAE 1, 2, 4, 5, "     \
	"5.2, 7, 8, 8.2 (SAE J429)"

/* Past `word` (in small letters; `*at` in either case) and the blanks after it. */
static bool skip_word(const char **at, const char *word)
{
	const char *p = *at;

	for (; *word; word++, p++)
		if (fw_ascii_lower(*p) != *word)
			return false;
	fw_skip_blanks(&p);
	*at = p;
	return true;
}

static bool same_name(const char *text, const char *name)
{
	size_t length = strlen(name);

	if (strncmp(text, name, length) != 0)
		return false;
	text += length;
	fw_skip_blanks(&text);
	return *text == '\0';
}

/* The class as written goes into messages, `name` is what the table calls it. */
static int look_up(struct fw_strength *out, const struct grade *table, size_t count,
                   const char *name, double size, const char *written, struct fw_error *err)
{
	char quoted[FW_QUOTE];
	bool known = false;

	for (size_t i = 0; i < count; i++) {
		if (!same_name(name, table[i].name))
			continue;
		known = true;
		if (size > table[i].over + 1e-6 && size <= table[i].to + 1e-6) {
			*out = table[i].strength;
			return FW_OK;
		}
	}
	fw_quote(written, quoted);
	if (known)
		return fw_fail(err, FW_ERR_RANGE,
		               "property class \"%s\": the standard does not give it for this diameter",
		               quoted);
	return fw_fail(err, FW_ERR_INPUT, "property class \"%s\" is not known; " KNOWN, quoted);
}

static void scale(struct fw_strength *strength, double unit)
{
	strength->proof *= unit;
	strength->yield *= unit;
	strength->tensile *= unit;
}

int fw_class_strength(struct fw_strength *out, const char *property_class, double diameter,
                      struct fw_error *err)
{
	if (!out || !property_class)
		return fw_fail(err, FW_ERR_ARGUMENT, "property class: no text, or no place for the result");
	if (!(isfinite(diameter) && diameter > 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "property class: the diameter must be finite and above zero");

	const char *name = property_class;
	struct fw_strength strength = {0.0, 0.0, 0.0};
	int rc = FW_OK;
	fw_skip_blanks(&name);
	if (skip_word(&name, "sae")) {
		skip_word(&name, "j429");
		skip_word(&name, "grade");
		rc = look_up(&strength, sae, sizeof sae / sizeof sae[0], name, diameter / INCH,
		             property_class, err);
		scale(&strength, KSI);
	} else {
		rc = look_up(&strength, iso, sizeof iso / sizeof iso[0], name, diameter / MM,
		             property_class, err);
		scale(&strength, MPA);
	}
	if (rc == FW_OK)
		*out = strength;
	return rc;
}

int fw_proof_stress(double *out, const char *property_class, double diameter, struct fw_error *err)
{
	struct fw_strength strength = {0.0, 0.0, 0.0};

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "property class: no place for the result");
	int rc = fw_class_strength(&strength, property_class, diameter, err);
	if (rc == FW_OK)
		*out = strength.proof;
	return rc;
}
