/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/parse.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "quantity/text.h"

#define DIGITS_MOST 40

/* Digits and a power of ten, as typed. */
struct typed {
	char digits[DIGITS_MOST + 1]; /* without zeros in front */
	size_t count;
	size_t seen; /* digits typed, zeros in front included */
	int exponent;
	bool whole; /* neither decimal sign nor exponent: may begin a fraction */
};

static uint32_t peek(const char *at, const char *end)
{
	return at < end ? fw_utf8_next(&at, end) : 0;
}

static bool is_digit(uint32_t c)
{
	return c >= '0' && c <= '9';
}

static bool is_slash(uint32_t c)
{
	return c == '/' || c == 0x2044U || c == 0x2215U;
}

/* ½ and its like; false when `c` is none. */
static bool vulgar(uint32_t c, double *value)
{
	static const struct {
		uint32_t c;
		double over, under;
	} table[] = {
	    {0xBC, 1, 4},    {0xBD, 1, 2},   {0xBE, 3, 4},   {0x2150, 1, 7}, {0x2151, 1, 9},
	    {0x2152, 1, 10}, {0x2153, 1, 3}, {0x2154, 2, 3}, {0x2155, 1, 5}, {0x2156, 2, 5},
	    {0x2157, 3, 5},  {0x2158, 4, 5}, {0x2159, 1, 6}, {0x215A, 5, 6}, {0x215B, 1, 8},
	    {0x215C, 3, 8},  {0x215D, 5, 8}, {0x215E, 7, 8},
	};
	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
		if (table[i].c == c) {
			*value = table[i].over / table[i].under;
			return true;
		}
	}
	return false;
}

/* Takes the minus signs that keyboards and word processors make; returns -1 or 1. */
static int take_sign(const char **at, const char *end)
{
	const char *next = *at;

	if (*at == end)
		return 1;
	uint32_t c = fw_utf8_next(&next, end);
	bool minus = c == '-' || c == 0x2212U || c == 0x2013U;
	if (minus || c == '+')
		*at = next;
	return minus ? -1 : 1;
}

/* Takes a run of digits; false when there are more than anyone types. */
static bool take_digits(struct typed *t, const char **at, const char *end)
{
	for (; *at < end && is_digit((unsigned char)**at); (*at)++) {
		t->seen++;
		if (t->count == 0 && **at == '0')
			continue;
		if (t->count == DIGITS_MOST)
			return false;
		t->digits[t->count++] = **at;
	}
	t->digits[t->count] = '\0';
	return true;
}

/* The exponent, only when digits follow the e: "5e" is the number 5 and something else. */
static void take_exponent(struct typed *t, const char **at, const char *end)
{
	const char *next = *at;
	int exponent = 0;

	if (next == end || (*next != 'e' && *next != 'E'))
		return;
	next++;
	int sign = take_sign(&next, end);
	if (!is_digit(peek(next, end)))
		return;
	for (; next < end && is_digit((unsigned char)*next); next++)
		exponent = exponent < 10000 ? 10 * exponent + (*next - '0') : exponent;
	t->exponent += sign * exponent;
	t->whole = false;
	*at = next;
}

/* "1,234": a thousand to one reader, one and a bit to the next. "0,234" and "1234,567" are plain.
 */
static bool is_ambiguous(size_t before, size_t after, char first)
{
	return after == 3 && before >= 1 && before <= 3 && first != '0';
}

/* The fault lies in the number as a whole. */
static const char *from_start(const char **at, const char *start, const char *why)
{
	*at = start;
	return why;
}

/* Digits, a decimal sign and digits, each where typed; false when there are too many. */
static bool take_places(struct typed *t, bool *comma, const char **at, const char *end)
{
	t->whole = true;
	if (!take_digits(t, at, end))
		return false;
	size_t before = t->seen;
	char sign = '\0';
	if (*at < end)
		sign = **at;
	bool more = *at < end && is_digit(peek(*at + 1, end));
	*comma = sign == ',' && more;
	if (!*comma && !(sign == '.' && (before > 0 || more)))
		return true;
	(*at)++;
	t->whole = false;
	if (!take_digits(t, at, end))
		return false;
	t->exponent = -(int)(t->seen - before);
	return true;
}

static const char *take_decimal(struct typed *t, const char **at, const char *end)
{
	const char *start = *at;
	bool comma = false;

	if (!take_places(t, &comma, at, end))
		return from_start(at, start, "the number has too many digits");
	if (t->seen == 0)
		return "a number is missing";

	size_t after = (size_t)-t->exponent;
	if (comma && is_ambiguous(t->seen - after, after, *start))
		return from_start(at, start,
		                  "the comma may be a decimal sign or part thousands; write a point, or "
		                  "no comma");
	bool sign_again = !t->whole && *at < end && (**at == ',' || **at == '.');
	if (sign_again && is_digit(peek(*at + 1, end)))
		return from_start(at, start,
		                  "there is more than one decimal sign; write thousands without a sign");
	take_exponent(t, at, end);
	return NULL;
}

/* Takes a whole number of up to five digits; 0 when there is none. */
static double take_small(const char **at, const char *end)
{
	double value = 0;
	const char *start = *at;

	while (*at < end && is_digit((unsigned char)**at) && *at - start < 5)
		value = 10 * value + (*(*at)++ - '0');
	return value;
}

/* Takes "/16" and gives over/16. */
static const char *take_under(double over, double *value, const char **at, const char *end)
{
	(void)fw_utf8_next(at, end);
	double under = take_small(at, end);

	if (under == 0 || is_digit(peek(*at, end)))
		return "the lower part of the fraction can't be used";
	*value = over / under;
	return NULL;
}

/* After "1": " 3/8", "-3/8", "½", " ½". Leaves *at alone when no fraction follows. */
static const char *take_mixed(double *value, const char **at, const char *end)
{
	const char *next = *at;
	double part;

	fw_text_skip_space(&next, end);
	bool apart = next != *at;
	if (vulgar(peek(next, end), &part)) {
		(void)fw_utf8_next(&next, end);
		*value += part;
		*at = next;
		return NULL;
	}
	if (!apart && peek(next, end) == '-') {
		next++;
		apart = true;
	}
	if (!apart || !is_digit(peek(next, end)))
		return NULL;
	double over = take_small(&next, end);
	if (!is_slash(peek(next, end)))
		return NULL;
	*at = next;
	const char *why = take_under(over, &part, at, end);
	if (!why && part >= 1)
		return "the fraction behind the whole number is 1 or more";
	*value += part;
	return why;
}

/* What may follow a whole number. */
static const char *take_fraction(double *value, const char **at, const char *end)
{
	const char *next = *at;

	if (is_slash(peek(next, end))) {
		(void)fw_utf8_next(&next, end);
		if (!is_digit(peek(next, end)))
			return NULL; /* "5/s": the unit's affair */
		return take_under(*value, value, at, end);
	}
	return take_mixed(value, at, end);
}

const char *fw_parse_number(double *value, const char **at, const char *end)
{
	struct typed t = {.count = 0};
	int sign = take_sign(at, end);
	double magnitude;

	if (vulgar(peek(*at, end), &magnitude)) {
		(void)fw_utf8_next(at, end);
		*value = sign * magnitude;
		return NULL;
	}
	const char *why = take_decimal(&t, at, end);
	if (why)
		return why;
	magnitude = t.count > 0 ? fw_number_read(t.digits, t.exponent) : 0;
	if (isinf(magnitude) || (magnitude == 0 && t.count > 0))
		return magnitude == 0 ? "the number is too small" : "the number is too large";
	if (t.whole)
		why = take_fraction(&magnitude, at, end);
	*value = sign * magnitude;
	return why;
}
