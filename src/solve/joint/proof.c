/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/joint.h"
#include "solve/quote.h"
#include "solve/joint/thread_parse.h"

#define MM   1e-3
#define INCH 0.0254
#define MPA  1e6
#define KSI  6894757.293168361 /* 1000 lbf/in², NIST SP 811 */

/* One class over a span of diameters: above `over`, up to and including `to`. */
struct proof {
	const char *name;
	double over, to; /* mm, or inches for SAE */
	double stress;   /* MPa, or ksi for SAE */
};

/* ISO 898-1, table of mechanical properties; 5.6 from memory, the others agree with its proof
 * loads. */
static const struct proof iso[] = {
    {"4.6", 1.5, 39.0, 225.0},  {"4.8", 1.5, 39.0, 310.0}, {"5.6", 1.5, 39.0, 280.0},
    {"5.8", 1.5, 39.0, 380.0},  {"6.8", 1.5, 39.0, 440.0}, {"8.8", 1.5, 16.0, 580.0},
    {"8.8", 16.0, 39.0, 600.0}, {"9.8", 1.5, 16.0, 650.0}, {"10.9", 1.5, 39.0, 830.0},
    {"12.9", 1.5, 39.0, 970.0},
};

/* SAE J429, 1/4 to 1 1/2 in. */
static const struct proof sae[] = {
    {"1", 0.249, 1.5, 33.0},    {"2", 0.249, 0.75, 55.0}, {"2", 0.75, 1.5, 33.0},
    {"4", 0.249, 1.5, 65.0},    {"5", 0.249, 1.0, 85.0},  {"5", 1.0, 1.5, 74.0},
    {"5.2", 0.249, 1.0, 85.0},  {"7", 0.249, 1.5, 105.0}, {"8", 0.249, 1.5, 120.0},
    {"8.2", 0.249, 1.0, 120.0},
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
static int look_up(double *out, const struct proof *table, size_t count, const char *name,
                   double size, const char *written, struct fw_error *err)
{
	char quoted[FW_QUOTE];
	bool known = false;

	for (size_t i = 0; i < count; i++) {
		if (!same_name(name, table[i].name))
			continue;
		known = true;
		if (size > table[i].over + 1e-6 && size <= table[i].to + 1e-6) {
			*out = table[i].stress;
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

int fw_proof_stress(double *out, const char *property_class, double diameter, struct fw_error *err)
{
	if (!out || !property_class)
		return fw_fail(err, FW_ERR_ARGUMENT, "property class: no text, or no place for the result");
	if (!(isfinite(diameter) && diameter > 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "property class: the diameter must be finite and above zero");

	const char *name = property_class;
	double stress = 0.0;
	int rc = FW_OK;
	fw_skip_blanks(&name);
	if (skip_word(&name, "sae")) {
		skip_word(&name, "j429");
		skip_word(&name, "grade");
		rc = look_up(&stress, sae, sizeof sae / sizeof sae[0], name, diameter / INCH,
		             property_class, err);
		stress *= KSI;
	} else {
		rc = look_up(&stress, iso, sizeof iso / sizeof iso[0], name, diameter / MM, property_class,
		             err);
		stress *= MPA;
	}
	if (rc == FW_OK)
		*out = stress;
	return rc;
}
