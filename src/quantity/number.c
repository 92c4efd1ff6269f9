/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Numbers as text. printf() and strtod() put and want the locale's decimal sign, so both are used
 * only for digits and an exponent of ten; the decimal sign is set here.
 */
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/quantity.h"
#include "quantity/text.h"

/* |value| = 0.d1d2d3… · 10^point */
struct decimal {
	char digits[20]; /* without zeros at the end; "0" for zero */
	int point;
};

double fw_number_read(const char *digits, int exponent)
{
	char text[96];

	snprintf(text, sizeof text, "%.64se%d", digits, exponent);
	return strtod(text, NULL);
}

static void drop_zeros(struct decimal *d)
{
	size_t count = strlen(d->digits);
	while (count > 1 && d->digits[count - 1] == '0')
		d->digits[--count] = '\0';
}

static void split(double value, int figures, struct decimal *out)
{
	char text[48];
	size_t count = 0;
	const char *at = text;

	snprintf(text, sizeof text, "%.*e", figures - 1, fabs(value));
	for (; *at != 'e' && *at != '\0'; at++) {
		if (*at >= '0' && *at <= '9' && count < sizeof out->digits - 1)
			out->digits[count++] = *at;
	}
	out->digits[count] = '\0';
	out->point = *at == 'e' ? (int)strtol(at + 1, NULL, 10) + 1 : 1;
	drop_zeros(out);
}

/* The next greater decimal of as many digits. */
static void step_up(struct decimal *d)
{
	size_t i = strlen(d->digits);

	while (i > 0 && d->digits[i - 1] == '9')
		d->digits[--i] = '0';
	if (i > 0) {
		d->digits[i - 1]++;
	} else {
		d->digits[0] = '1';
		d->point++;
	}
	drop_zeros(d);
}

static bool reads_back(const struct decimal *d, double magnitude)
{
	return fw_number_read(d->digits, d->point - (int)strlen(d->digits)) == magnitude;
}

/* The nearest decimal of n digits can miss where the one above it does not: below a power of two
 * the doubles lie twice as close as above. */
static void shortest(double magnitude, struct decimal *out)
{
	/* Of a normal number the first 15 figures show any decimal that short (DBL_DIG). */
	for (int figures = magnitude >= DBL_MIN ? DBL_DIG : 1; figures < 17; figures++) {
		split(magnitude, figures, out);
		if (reads_back(out, magnitude))
			return;
		if (strlen(out->digits) == (size_t)figures) {
			step_up(out);
			if (reads_back(out, magnitude))
				return;
		}
	}
	split(magnitude, 17, out);
}

/* Lays the digits out as ECMAScript does (ECMA-262, Number::toString), but keeps the sign of -0. */
static const char *lay_out(const struct decimal *d, bool negative, char *buffer, size_t size)
{
	const char *sign = negative ? "-" : "";
	int count = (int)strlen(d->digits);
	int point = d->point;

	if (point > 21 || point < -5)
		snprintf(buffer, size, "%s%.1s%s%se%+d", sign, d->digits, count > 1 ? "." : "",
		         d->digits + 1, point - 1);
	else if (point <= 0)
		snprintf(buffer, size, "%s0.%.*s%s", sign, -point, "00000", d->digits);
	else if (point >= count)
		snprintf(buffer, size, "%s%s%.*s", sign, d->digits, point - count, "00000000000000000000");
	else
		snprintf(buffer, size, "%s%.*s.%s", sign, point, d->digits, d->digits + point);
	return buffer;
}

static const char *not_finite(double value, char *buffer, size_t size)
{
	snprintf(buffer, size, "%s", isnan(value) ? "nan" : value < 0 ? "-inf" : "inf");
	return buffer;
}

const char *fw_number_text(double value, char *buffer, size_t size)
{
	struct decimal d = {"0", 1};

	if (!isfinite(value))
		return not_finite(value, buffer, size);
	if (value != 0)
		shortest(fabs(value), &d);
	return lay_out(&d, signbit(value) != 0, buffer, size);
}

const char *fw_number_figures(double value, int figures, char *buffer, size_t size)
{
	struct decimal d = {"0", 1};

	if (!isfinite(value))
		return not_finite(value, buffer, size);
	if (value != 0)
		split(value, figures, &d);
	return lay_out(&d, value < 0, buffer, size);
}

/* Digits of the magnitude times 10^decimals, rounded to a whole number; false where it isn't
 * certain that printf() would round the same way. */
static bool fixed_digits(double magnitude, int decimals, char digits[48])
{
#if LDBL_MANT_DIG >= 64
	static const long double ten[] = {1e0L, 1e1L, 1e2L, 1e3L, 1e4L, 1e5L, 1e6L, 1e7L, 1e8L, 1e9L};
	char backward[24];
	int count = 0;

	if (decimals < 0 || decimals > 9 || !(magnitude < 1e9))
		return false;
	/* The product is off by no more than 2^-64 of itself. */
	long double scaled = (long double)magnitude * ten[decimals];
	uint64_t whole = (uint64_t)scaled;
	long double beyond = scaled - (long double)whole - 0.5L;
	if ((beyond < 0 ? -beyond : beyond) <= scaled * 0x1p-62L + 0x1p-62L)
		return false;
	for (whole += beyond > 0; whole > 0 || count <= decimals; whole /= 10)
		backward[count++] = (char)('0' + whole % 10);
	for (int i = 0; i < count; i++)
		digits[i] = backward[count - 1 - i];
	digits[count] = '\0';
	return true;
#else
	(void)magnitude;
	(void)decimals;
	(void)digits;
	return false;
#endif
}

static void print_digits(double magnitude, int decimals, char digits[48])
{
	char text[48];

	snprintf(text, sizeof text, "%.*f", decimals, magnitude);
	for (const char *at = text; *at != '\0'; at++)
		if (*at >= '0' && *at <= '9')
			*digits++ = *at;
	*digits = '\0';
}

const char *fw_number_fixed(double value, int decimals, char *buffer, size_t size)
{
	char digits[48], text[52], *at = text;

	if (!fixed_digits(fabs(value), decimals, digits))
		print_digits(fabs(value), decimals, digits);
	size_t count = strlen(digits), whole = count > (size_t)decimals ? count - (size_t)decimals : 0;
	if (value < 0 && digits[strspn(digits, "0")] != '\0')
		*at++ = '-';
	memcpy(at, digits, whole);
	at += whole;
	if (decimals > 0)
		*at++ = '.';
	memcpy(at, digits + whole, count - whole);
	size_t length = (size_t)(at - text) + count - whole;
	if (size > 0) {
		length = length < size ? length : size - 1;
		memcpy(buffer, text, length);
		buffer[length] = '\0';
	}
	return buffer;
}
