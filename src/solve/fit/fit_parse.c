/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/fit.h"
#include "solve/fit/fit_table.h"
#include "solve/quote.h"

#define MM 1e-3

static int fail_form(const char *text, const char *what, struct fw_error *err)
{
	char quoted[FW_QUOTE];

	return fw_fail(err, FW_ERR_INPUT,
	               "fit \"%s\": %s; write it as 25 H7/g6, H7/g6, 25 H7 or g6 (sizes in mm)",
	               fw_quote(text, quoted), what);
}

static void skip_blanks(const char **at)
{
	while (**at == ' ' || **at == '\t')
		(*at)++;
}

static bool skip_text(const char **at, const char *word)
{
	size_t length = strlen(word);

	if (strncmp(*at, word, length) != 0)
		return false;
	*at += length;
	return true;
}

static bool is_letter(char c)
{
	char lower = fw_ascii_lower(c);

	return lower >= 'a' && lower <= 'z';
}

/* A size without an exponent: in "25e8" the e is a class. */
static int parse_size(double *out, const char *text, const char **at, struct fw_error *err)
{
	const char *p = *at;
	double value = 0.0, scale = 1.0;
	int whole = 0, decimals = 0;

	for (; fw_ascii_is_digit(*p); p++, whole++)
		value = value * 10.0 + (*p - '0');
	if (*p == '.' || *p == ',') {
		bool comma = *p == ',', leading_zero = **at == '0';
		for (p++; fw_ascii_is_digit(*p); p++, decimals++) {
			value = value * 10.0 + (*p - '0');
			scale *= 10.0;
		}
		if (comma && decimals == 3 && whole >= 1 && whole <= 3 && !leading_zero)
			return fail_form(text, "the comma may part thousands, write a point", err);
		if (decimals == 0)
			return fail_form(text, "no digit after the decimal sign", err);
	}
	if (whole + decimals > 12)
		return fail_form(text, "the size has too many digits", err);
	*out = value / scale * MM;
	*at = p;
	return FW_OK;
}

static int parse_grade(int *out, const char *text, const char **at, struct fw_error *err)
{
	const char *p = *at;
	int value = 0, digits = 0;

	for (; fw_ascii_is_digit(*p) && digits < 3; p++, digits++)
		value = value * 10 + (*p - '0');
	if (digits == 0)
		return fail_form(text, "no grade after the letter", err);
	if (digits == 2 && **at == '0' && value == 1)
		value = FW_FIT_IT01;
	else if ((digits > 1 && **at == '0') || digits > 2 || value > FW_FIT_GRADE_MOST)
		return fail_form(text, "no such grade, there are 01, 0 and 1 to 18", err);
	*out = value;
	*at = p;
	return FW_OK;
}

static int parse_class(struct fw_fit_class *out, const char *text, const char **at,
                       struct fw_error *err)
{
	struct fw_fit_class part = {.letter = "", .grade = 0, .hole = false};
	char name[sizeof part.letter] = {0};
	const char *p = *at;
	size_t length = 0;

	for (; is_letter(*p); p++, length++) {
		if (length + 1 >= sizeof part.letter)
			return fail_form(text, "no such letter of a hole or shaft", err);
		part.letter[length] = *p;
		name[length] = fw_ascii_lower(*p);
	}
	if (length == 0)
		return fail_form(text, "expected a letter of a hole or shaft", err);
	part.hole = part.letter[0] != name[0];
	if (length == 2 && part.hole != (part.letter[1] != name[1]))
		return fail_form(text, "both letters are capitals (hole) or small (shaft)", err);
	if (!fw_fit_letter(name))
		return fail_form(text,
		                 "no such letter; there are a b c cd d e ef f fg g h js j k m n p r s "
		                 "t u v x y z za zb zc, capital for holes",
		                 err);

	int rc = parse_grade(&part.grade, text, &p, err);
	if (rc != FW_OK)
		return rc;
	*out = part;
	*at = p;
	return FW_OK;
}

static int check_text(const char *text, struct fw_error *err)
{
	if (strlen(text) > FW_FIT_TEXT)
		return fail_form(text, "that is too long", err);
	return FW_OK;
}

int fw_fit_class_parse(struct fw_fit_class *out, const char *text, struct fw_error *err)
{
	struct fw_fit_class part = {.hole = false};
	const char *at = text;

	if (!out || !text)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no text, or no place for the class");

	int rc = check_text(text, err);
	if (rc != FW_OK)
		return rc;
	skip_blanks(&at);
	rc = parse_class(&part, text, &at, err);
	if (rc != FW_OK)
		return rc;
	skip_blanks(&at);
	if (*at != '\0')
		return fail_form(text, "something is left over after the class", err);
	*out = part;
	return FW_OK;
}

/* The first class, and behind a stroke the second, which must be a shaft. */
static int parse_classes(struct fw_fit_text *fit, const char *text, const char **at,
                         struct fw_error *err)
{
	struct fw_fit_class first = {.hole = false};
	int rc = parse_class(&first, text, at, err);

	if (rc != FW_OK)
		return rc;
	skip_blanks(at);
	if (first.hole) {
		fit->hole = first;
		fit->has_hole = true;
	} else {
		fit->shaft = first;
		fit->has_shaft = true;
	}
	if (**at != '/')
		return FW_OK;
	if (!first.hole)
		return fail_form(text, "the hole (capital) comes before the shaft (small)", err);
	(*at)++;
	skip_blanks(at);
	rc = parse_class(&fit->shaft, text, at, err);
	if (rc != FW_OK)
		return rc;
	if (fit->shaft.hole)
		return fail_form(text, "both are holes (capitals); the shaft takes a small letter", err);
	fit->has_shaft = true;
	return FW_OK;
}

int fw_fit_parse(struct fw_fit_text *out, const char *text, struct fw_error *err)
{
	struct fw_fit_text fit = {.size = NAN};
	const char *at = text;

	if (!out || !text)
		return fw_fail(err, FW_ERR_ARGUMENT, "fit: no text, or no place for the fit");

	int rc = check_text(text, err);
	if (rc != FW_OK)
		return rc;
	skip_blanks(&at);
	bool sign = skip_text(&at, "\xC3\x98") || skip_text(&at, "\xE2\x8C\x80"); /* Ø, ⌀ */
	skip_blanks(&at);
	if (fw_ascii_is_digit(*at)) {
		rc = parse_size(&fit.size, text, &at, err);
		if (rc != FW_OK)
			return rc;
		skip_blanks(&at);
		/* "mm", unless it is the beginning of a class, which has a digit there. */
		if (skip_text(&at, "mm"))
			skip_blanks(&at);
	} else if (sign) {
		return fail_form(text, "expected a size after the diameter sign", err);
	}
	rc = parse_classes(&fit, text, &at, err);
	if (rc != FW_OK)
		return rc;
	skip_blanks(&at);
	if (*at != '\0')
		return fail_form(text, "something is left over at the end", err);
	*out = fit;
	return FW_OK;
}
