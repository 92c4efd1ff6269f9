/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From what people type for a unit to the unit. */
#include <string.h>

#include "quantity/dimension.h"
#include "quantity/text.h"

/* Longer than any spelling; nothing that long is compared. */
#define SPELLING_MOST 64

/* What all kinds of dot, dash and space between two units become. */
#define SEPARATOR '.'

static const struct {
	uint32_t from, to;
} alike[] = {
    {0xB7, SEPARATOR}, {0x22C5, SEPARATOR}, {0x2219, SEPARATOR}, {0x2022, SEPARATOR},
    {0xD7, SEPARATOR}, {0x2010, SEPARATOR}, {0x2011, SEPARATOR}, {0x2013, SEPARATOR},
    {0xB5, 'u'},       {0x3BC, 'u'},        {0xB2, '2'},         {0xB3, '3'},
    {0xBA, 0xB0},      {0x2DA, 0xB0},       {0x2033, '"'},       {0x201C, '"'},
    {0x201D, '"'},     {0x2032, '\''},      {0x2019, '\''},      {0x2018, '\''},
    {0x212A, 'K'},     {0x2206, 0x394},     {0x2044, '/'},       {0x2215, '/'},
};

static uint32_t plain(uint32_t c)
{
	if (fw_text_is_space(c) || c == '*' || c == '-' || c == '_')
		return SEPARATOR;
	if (c < 0x80U)
		return c;
	for (size_t i = 0; i < sizeof alike / sizeof alike[0]; i++) {
		if (alike[i].from == c)
			return alike[i].to;
	}
	return c;
}

/* The next character that counts, 0 at the end; a run of separators is one, ^ is none. */
static uint32_t next(const char **at, const char *end)
{
	uint32_t c = 0;

	do {
		if (*at == end)
			return 0;
		c = plain(fw_utf8_next(at, end));
	} while (c == '^');
	while (c == SEPARATOR && *at < end) {
		const char *ahead = *at;
		if (plain(fw_utf8_next(&ahead, end)) != SEPARATOR)
			break;
		*at = ahead;
	}
	return c;
}

int fw_unit_match(const char *typed, const char *end, const char *spelling)
{
	const char *spelling_end = spelling + strlen(spelling);
	int alike_so_far = 2;
	uint32_t t = next(&typed, end);
	uint32_t s = next(&spelling, spelling_end);

	while (t != 0 || s != 0) {
		if (s == SEPARATOR && t != SEPARATOR) {
			s = next(&spelling, spelling_end);
			continue;
		}
		if (t != s) {
			if (fw_text_fold(t) != fw_text_fold(s))
				return 0;
			alike_so_far = 1;
		}
		t = next(&typed, end);
		s = next(&spelling, spelling_end);
	}
	return alike_so_far;
}

static int match_unit(const char *typed, const char *end, const struct fw_unit *unit)
{
	int best = fw_unit_match(typed, end, unit->symbol);

	for (const char *const *s = unit->spellings; *s && best < 2; s++) {
		int match = fw_unit_match(typed, end, *s);
		best = match > best ? match : best;
	}
	return best;
}

/* Spellings that mean one thing in one shop and another in the next. */
static const struct {
	const char *spelling, *why;
	int least; /* 2: only in this very case */
} refused[] = {
    {"mil", "a mil is 0.001 in to some and 1 mm to others; write thou or mm", 1},
    {"mils", "a mil is 0.001 in to some and 1 mm to others; write thou or mm", 1},
    {"tenth", "a tenth is 0.0001 in to some and 0.1 mm to others; write thou or mm", 1},
    {"tenths", "a tenth is 0.0001 in to some and 0.1 mm to others; write thou or mm", 1},
    {"mPa", "mPa is a thousandth of a pascal; write MPa for a million", 2},
};

static void trim(const char **at, const char **end)
{
	fw_text_skip_space(at, *end);
	*end = fw_text_trim_end(*at, *end);
	if (*end > *at + 1 && (*end)[-1] == '.') /* "3 in." */
		(*end)--;
}

const char *fw_unit_refusal(const char *text, size_t length)
{
	const char *end = text + length;

	trim(&text, &end);
	for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
		if (fw_unit_match(text, end, refused[i].spelling) >= refused[i].least)
			return refused[i].why;
	}
	return NULL;
}

/* Two characters of Unicode stand for a unit whole. */
static const char *one_character(const char *text, const char *end)
{
	static const char celsius[] = "℃";
	static const char fahrenheit[] = "℉";
	size_t length = (size_t)(end - text);

	if (length == strlen(celsius) && memcmp(text, celsius, length) == 0)
		return "°C";
	if (length == strlen(fahrenheit) && memcmp(text, fahrenheit, length) == 0)
		return "°F";
	return NULL;
}

/* As the symbol itself, which is what the program writes, and no other unit is spelled so. */
static const struct fw_unit *find_symbol(const struct fw_unit *units, size_t count,
                                         const char *text, size_t length)
{
	for (size_t i = 0; i < count; i++)
		if (strncmp(units[i].symbol, text, length) == 0 && units[i].symbol[length] == '\0')
			return &units[i];
	return NULL;
}

const struct fw_unit *fw_unit_find(const char *text, size_t length)
{
	size_t count;
	const struct fw_unit *units = fw_units(&count);
	const struct fw_unit *folded = NULL;
	bool twice = false;

	if (!text || length == 0 || length > SPELLING_MOST)
		return NULL;
	const struct fw_unit *symbol = find_symbol(units, count, text, length);
	if (symbol)
		return symbol;
	if (fw_unit_refusal(text, length))
		return NULL;
	const char *end = text + length;
	trim(&text, &end);
	const char *whole = one_character(text, end);
	if (whole) {
		text = whole;
		end = whole + strlen(whole);
	}
	if (text == end)
		return NULL;
	for (size_t i = 0; i < count; i++) {
		int match = match_unit(text, end, &units[i]);
		if (match == 2)
			return &units[i];
		if (match == 1) {
			twice = folded != NULL;
			folded = &units[i];
		}
	}
	return twice ? NULL : folded;
}

/* Words that the prompt makes clear. */
static const struct {
	const char *typed, *asked, *meant;
} in_context[] = {
    {"lb", "N", "lbf"},     {"lbs", "N", "lbf"},        {"pound", "N", "lbf"},
    {"pounds", "N", "lbf"}, {"kg", "N", "kgf"},         {"kgs", "N", "kgf"},
    {"kilo", "N", "kgf"},   {"kilos", "N", "kgf"},      {"'", "°", "arcmin"},
    {"min", "°", "arcmin"}, {"minutes", "°", "arcmin"},
};

const struct fw_unit *fw_unit_find_for(const char *text, size_t length, const struct fw_unit *asked)
{
	const struct fw_unit *unit = fw_unit_find(text, length);

	if (!unit || !asked || fw_dimension_equal(unit->dimension, asked->dimension))
		return unit;

	const char *end = text + length;
	trim(&text, &end);
	if (fw_unit_is_scale(asked) && strcmp(unit->symbol, "°") == 0)
		return asked;
	for (size_t i = 0; i < sizeof in_context / sizeof in_context[0]; i++) {
		const struct fw_unit *one = fw_unit_find(in_context[i].asked, strlen(in_context[i].asked));
		if (fw_dimension_equal(one->dimension, asked->dimension) &&
		    fw_unit_match(text, end, in_context[i].typed))
			return fw_unit_find(in_context[i].meant, strlen(in_context[i].meant));
	}
	return unit;
}
