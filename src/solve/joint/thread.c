/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/joint.h"
#include "solve/joint/thread_parse.h"
#include "solve/quote.h"

#define MM   1e-3
#define INCH 0.0254
#define PI   3.14159265358979323846

void fw_skip_blanks(const char **at)
{
	while (**at == ' ' || **at == '\t')
		(*at)++;
}

bool fw_read_decimal(const char **at, double *out)
{
	const char *p = *at;
	double value = 0.0, scale = 1.0;
	int digits = 0;

	for (; fw_ascii_is_digit(*p); p++, digits++)
		value = value * 10.0 + (*p - '0');
	if (*p == '.' || *p == ',')
		for (p++; fw_ascii_is_digit(*p); p++, digits++) {
			value = value * 10.0 + (*p - '0');
			scale *= 10.0;
		}
	if (digits == 0 || digits > 9)
		return false;
	*at = p;
	*out = value / scale;
	return true;
}

static int fail_form(const char *text, const char *what, struct fw_error *err)
{
	char quoted[FW_QUOTE];

	return fw_fail(err, FW_ERR_INPUT,
	               "thread \"%s\": %s; write it as M8, M8x1, 1/4-20, 3/8-24 UNF or #10-32",
	               fw_quote(text, quoted), what);
}

/* ISO 68-1 and ISO 724 (d2, d3), ISO 898-1 (stress area of the mean of both), ASME B1.1 for inch.
 */
static int derive(struct fw_thread *out, const char *text, double diameter, double pitch, bool inch,
                  struct fw_error *err)
{
	if (!(diameter > 0.0 && diameter <= 1.0))
		return fail_form(text, "the diameter must be above zero and at most 1 m", err);
	if (!(pitch > 0.0 && pitch <= 0.3 * diameter))
		return fail_form(text, "no such pitch on so thin a bolt", err);

	struct fw_thread thread = {.diameter = diameter, .pitch = pitch, .inch = inch};
	thread.pitch_dia = diameter - 0.649519 * pitch;
	thread.minor_dia = diameter - 1.226869 * pitch;
	thread.inner_dia = diameter - 1.082532 * pitch;
	double mean = inch ? diameter - 0.9743 * pitch : (thread.pitch_dia + thread.minor_dia) / 2.0;
	thread.stress_area = PI / 4.0 * mean * mean;
	*out = thread;
	return FW_OK;
}

/* Past "x", "X", "*" or the multiplication sign. */
static bool skip_times(const char **at)
{
	if (strncmp(*at, "\xC3\x97", 2) == 0) {
		*at += 2;
		return true;
	}
	if (**at != 'x' && **at != 'X' && **at != '*')
		return false;
	(*at)++;
	return true;
}

static int parse_metric(struct fw_thread *out, const char *text, const char *at,
                        struct fw_error *err)
{
	double diameter = 0.0, pitch = 0.0;
	bool left_hand = false;

	fw_skip_blanks(&at);
	if (!fw_read_decimal(&at, &diameter))
		return fail_form(text, "no diameter after the M", err);
	bool apart = *at == ' ' || *at == '\t' || *at == '-' || *at == '\0';
	fw_skip_blanks(&at);
	if (skip_times(&at)) {
		fw_skip_blanks(&at);
		if (!fw_read_decimal(&at, &pitch))
			return fail_form(text, "no pitch after the x", err);
		apart = *at == ' ' || *at == '\t' || *at == '-' || *at == '\0';
	} else if (!apart) {
		return fail_form(text, "expected x and the pitch after the diameter", err);
	} else {
		pitch = fw_metric_coarse_pitch(diameter);
		if (pitch == 0.0)
			return fail_form(text, "there is no coarse pitch for this size, give the pitch", err);
	}
	if (!apart || !fw_read_thread_end(at, false, &left_hand))
		return fail_form(text, "something is left over that is neither -6g, -6H nor -LH", err);

	int rc = derive(out, text, diameter * MM, pitch * MM, false, err);
	if (rc == FW_OK)
		out->left_hand = left_hand;
	return rc;
}

/* "#10": 0.060 in + 0.013 in a number, ASME B1.1. */
static bool read_number_size(const char **at, double *inches)
{
	double number = 0.0;

	(*at)++;
	if (!fw_read_decimal(at, &number))
		return false;
	if (number != floor(number) || number > 12.0 || number == 7.0 || number == 9.0 ||
	    number == 11.0)
		return false;
	*inches = 0.060 + 0.013 * number;
	return true;
}

/* "/16" after a numerator; false leaves `*at` where it was. */
static bool read_denominator(const char **at, double *denominator)
{
	const char *p = *at;

	if (*p++ != '/' || !fw_read_decimal(&p, denominator) || *denominator <= 0.0)
		return false;
	*at = p;
	return true;
}

/* "1/4", "0.25", "1", "1 1/8", "1-1/8": a whole number followed by a fraction takes that in. */
static bool read_inches(const char **at, double *inches)
{
	double whole = 0.0, top = 0.0, bottom = 0.0;

	if (**at == '#')
		return read_number_size(at, inches);
	if (!fw_read_decimal(at, &whole))
		return false;
	if (read_denominator(at, &bottom)) {
		*inches = whole / bottom;
		return true;
	}

	const char *rest = *at;
	*inches = whole;
	if (*rest == '-' || *rest == ' ') {
		rest++;
		if (fw_read_decimal(&rest, &top) && read_denominator(&rest, &bottom)) {
			*inches = whole + top / bottom;
			*at = rest;
		}
	}
	return true;
}

/* Past a series named after the threads per inch, which must be the one they belong to. */
static int skip_series(const char **at, const char *text, double inches, double tpi,
                       struct fw_error *err)
{
	static const char *const unchecked[] = {"uns", "un"};
	static const struct {
		const char *word;
		char which;
	} checked[] = {{"unef", 'E'}, {"unc", 'C'}, {"unf", 'F'}};

	for (size_t i = 0; i < sizeof checked / sizeof checked[0]; i++)
		if (fw_skip_thread_word(at, checked[i].word)) {
			if (fw_unified_tpi(inches, checked[i].which) != tpi)
				return fail_form(text, "the threads per inch are not those of the series named",
				                 err);
			return FW_OK;
		}
	for (size_t i = 0; i < sizeof unchecked / sizeof unchecked[0]; i++)
		if (fw_skip_thread_word(at, unchecked[i]))
			break;
	return FW_OK;
}

static int parse_inch(struct fw_thread *out, const char *text, const char *at, struct fw_error *err)
{
	double inches = 0.0, tpi = 0.0;
	bool left_hand = false;

	if (!read_inches(&at, &inches))
		return fail_form(text, "no size to be read", err);
	fw_skip_blanks(&at);
	if (*at == '"')
		at++;
	fw_skip_blanks(&at);
	if (*at != '-')
		return fail_form(text, "expected - and the threads per inch after the size", err);
	at++;
	fw_skip_blanks(&at);
	if (!fw_read_decimal(&at, &tpi) || tpi <= 0.0)
		return fail_form(text, "no threads per inch after the -", err);
	fw_skip_blanks(&at);

	int rc = skip_series(&at, text, inches, tpi, err);
	if (rc != FW_OK)
		return rc;
	if (!fw_read_thread_end(at, true, &left_hand))
		return fail_form(
		    text, "what stands at the end is not UNC, UNF, UNEF, UN, UNS, -2A, -2B or -LH", err);
	rc = derive(out, text, inches * INCH, INCH / tpi, true, err);
	if (rc == FW_OK)
		out->left_hand = left_hand;
	return rc;
}

int fw_thread_parse(struct fw_thread *out, const char *text, struct fw_error *err)
{
	if (!out || !text)
		return fw_fail(err, FW_ERR_ARGUMENT, "thread: no text, or no place for the result");

	const char *at = text;
	fw_skip_blanks(&at);
	if (*at == '\0')
		return fail_form(text, "nothing written", err);
	if (*at == 'M' || *at == 'm')
		return parse_metric(out, text, at + 1, err);
	return parse_inch(out, text, at, err);
}
