/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a recorded text is that of a value at hand, without writing one out or reading the other:
 * what most of a replay consists of. */
#include "json.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* How deep it goes; nothing that is recorded is. */
#define DEPTH_MOST 64

/* Steps over `c`; false when something else stands there. */
static bool take(const char **at, char c)
{
	if (**at != c)
		return false;
	++*at;
	return true;
}

/* The letter behind a backslash, or 0 for a character that stands as it is. */
static char escaped(unsigned char c)
{
	static const char from[] = "\"\\\b\f\n\r\t", to[] = "\"\\bfnrt";
	const char *found = c < 0x20 || c == '"' || c == '\\' ? strchr(from, c) : NULL;

	if (!found)
		return '\0';
	return to[found - from];
}

/* Length of the run of characters that stand as they are. */
static size_t plain_run(const char *text, size_t length)
{
	size_t n = 0;

	while (n < length && (unsigned char)text[n] >= 0x20 && text[n] != '"' && text[n] != '\\')
		n++;
	return n;
}

/* Other characters below 0x20 are rare enough to be compared the long way. */
static bool reads_text(const char *text, size_t length, const char **at)
{
	if (!take(at, '"'))
		return false;
	while (length > 0) {
		size_t run = plain_run(text, length);
		char letter = '\0';
		if (run < length)
			letter = escaped((unsigned char)text[run]);
		if (strncmp(*at, text, run) != 0)
			return false;
		*at += run;
		text += run;
		length -= run;
		if (length == 0)
			break;
		if (!letter || !take(at, '\\') || !take(at, letter))
			return false;
		text++;
		length--;
	}
	return take(at, '"');
}

/* |value| = digits · 10^exponent, as written. */
struct written {
	uint64_t digits;
	int exponent;
	bool negative, real;
};

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool read_digits(struct written *out, const char **at, bool fraction)
{
	const char *from = *at;

	for (; is_digit(**at); ++*at) {
		if (out->digits > (UINT64_MAX - 9) / 10)
			return false;
		out->digits = 10 * out->digits + (uint64_t)(**at - '0');
		out->exponent -= fraction;
	}
	return *at > from;
}

static bool read_exponent(struct written *out, const char **at)
{
	int exponent = 0;
	bool negative = take(at, '-');

	if (!negative)
		(void)take(at, '+');
	if (!is_digit(**at))
		return false;
	for (; is_digit(**at) && exponent < 1000; ++*at)
		exponent = 10 * exponent + (**at - '0');
	out->exponent += negative ? -exponent : exponent;
	return !is_digit(**at);
}

static bool read_written(struct written *out, const char **at)
{
	*out = (struct written){.negative = take(at, '-')};
	if (!read_digits(out, at, false))
		return false;
	if (**at == '.') {
		++*at;
		out->real = true;
		if (!read_digits(out, at, true))
			return false;
	}
	if (**at == 'e' || **at == 'E') {
		++*at;
		out->real = true;
		return read_exponent(out, at);
	}
	return true;
}

/* Whether the decimal rounds to that double. Where more digits would be needed to be sure the
 * answer is no: then it is looked at the long way. */
static bool rounds_to(const struct written *number, double value)
{
#if LDBL_MANT_DIG >= 64
	/* Powers of ten up to 27 are exact in 64 bits, and so are the digits: the quotient or product
	 * is off by at most half a unit in its last place, some 1/2048 of the distance between two
	 * doubles. */
	static const long double ten[] = {1e0L,  1e1L,  1e2L,  1e3L,  1e4L,  1e5L,  1e6L,
	                                  1e7L,  1e8L,  1e9L,  1e10L, 1e11L, 1e12L, 1e13L,
	                                  1e14L, 1e15L, 1e16L, 1e17L, 1e18L, 1e19L, 1e20L,
	                                  1e21L, 1e22L, 1e23L, 1e24L, 1e25L, 1e26L, 1e27L};
	int power = number->exponent < 0 ? -number->exponent : number->exponent;

	if (power > 27 || (number->digits != 0 && !(fabs(value) >= DBL_MIN && fabs(value) < DBL_MAX)))
		return false;
	long double digits = (long double)number->digits;
	long double exact = number->exponent < 0 ? digits / ten[power] : digits * ten[power];
	double magnitude = (double)exact;
	double up = nextafter(magnitude, INFINITY), down = nextafter(magnitude, 0.0);
	long double away = exact - (long double)magnitude;
	long double half = 0.5L * (away < 0 ? (long double)magnitude - (long double)down
	                                    : (long double)up - (long double)magnitude);
	return fabs(value) == magnitude && (away < 0 ? -away : away) < 0.99L * half;
#else
	(void)number;
	(void)value;
	return false;
#endif
}

static bool reads_real(double value, const char **at)
{
	struct written number;

	if (!read_written(&number, at) || !number.real || number.negative != (signbit(value) != 0))
		return false;
	return number.digits == 0 ? value == 0.0 : rounds_to(&number, value);
}

static bool reads_integer(json_int_t value, const char **at)
{
	struct written number;
	uint64_t magnitude = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;

	return read_written(&number, at) && !number.real && number.digits == magnitude &&
	       number.negative == (value < 0);
}

static bool reads_word(const char *word, const char **at)
{
	size_t length = strlen(word);

	if (strncmp(*at, word, length) != 0)
		return false;
	*at += length;
	return true;
}

static bool reads(const json_t *json, const char **at, int depth);

static bool reads_object(const json_t *json, const char **at, int depth)
{
	json_t *object = (json_t *)json;
	bool first = true;

	if (!take(at, '{'))
		return false;
	for (void *i = json_object_iter(object); i; i = json_object_iter_next(object, i)) {
		const char *key = json_object_iter_key(i);
		if (!first && !take(at, ','))
			return false;
		first = false;
		if (!reads_text(key, strlen(key), at) || !take(at, ':') ||
		    !reads(json_object_iter_value(i), at, depth + 1))
			return false;
	}
	return take(at, '}');
}

static bool reads_array(const json_t *json, const char **at, int depth)
{
	if (!take(at, '['))
		return false;
	for (size_t i = 0; i < json_array_size(json); i++)
		if ((i > 0 && !take(at, ',')) || !reads(json_array_get(json, i), at, depth + 1))
			return false;
	return take(at, ']');
}

static bool reads(const json_t *json, const char **at, int depth)
{
	if (depth > DEPTH_MOST)
		return false;
	switch (json_typeof(json)) {
	case JSON_OBJECT:
		return reads_object(json, at, depth);
	case JSON_ARRAY:
		return reads_array(json, at, depth);
	case JSON_STRING:
		return reads_text(json_string_value(json), json_string_length(json), at);
	case JSON_INTEGER:
		return reads_integer(json_integer_value(json), at);
	case JSON_REAL:
		return reads_real(json_real_value(json), at);
	case JSON_TRUE:
		return reads_word("true", at);
	case JSON_FALSE:
		return reads_word("false", at);
	case JSON_NULL:
		return reads_word("null", at);
	}
	return false;
}

bool fw_json_reads(const json_t *json, const char *text)
{
	return text && json && reads(json, &text, 0) && *text == '\0';
}
