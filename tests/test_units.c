/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of units against GNU units and printed factors, its spellings, and numbers as text. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "fitwright/quantity.h"

static const struct fw_unit *unit_of(const char *spelling)
{
	const struct fw_unit *unit = fw_unit_find(spelling, strlen(spelling));
	if (!unit)
		fail_msg("no unit \"%s\"", spelling);
	return unit;
}

static struct fw_quantity make(double value, const char *unit)
{
	struct fw_error error = {0};
	struct fw_quantity q = {0};
	assert_ok(fw_quantity_make(&q, value, unit_of(unit), &error));
	return q;
}

/* How GNU units writes each of our units, and SI's for it. */
static const struct {
	const char *symbol, *from, *to;
} gnu[] = {
    {"1", "1", "1"},
    {"%", "1 percent", "1"},
    {"mm", "1 mm", "m"},
    {"thou", "1|1000 inch", "m"},
    {"in", "1 inch", "m"},
    {"µm", "1 micron", "m"},
    {"cm", "1 cm", "m"},
    {"m", "1 m", "m"},
    {"ft", "1 ft", "m"},
    {"N·m", "1 N m", "N m"},
    {"lbf·ft", "1 lbf ft", "N m"},
    {"lbf·in", "1 lbf inch", "N m"},
    {"kgf·m", "1 kgf m", "N m"},
    {"kgf·cm", "1 kgf cm", "N m"},
    {"N·cm", "1 N cm", "N m"},
    {"ozf·in", "1 oz force inch", "N m"},
    {"N", "1 N", "N"},
    {"kN", "1 kN", "N"},
    {"lbf", "1 lbf", "N"},
    {"kgf", "1 kgf", "N"},
    {"kg", "1 kg", "kg"},
    {"g", "1 gram", "kg"},
    {"lb", "1 lb", "kg"},
    {"oz", "1 oz", "kg"},
    {"°C", "tempC(1)", "K"},
    {"°F", "tempF(1)", "K"},
    {"K", "1 K", "K"},
    {"Δ°F", "1 degF", "K"},
    {"°", "1 degree", "radian"},
    {"arcmin", "1 arcmin", "radian"},
    {"turn", "1 turn", "radian"},
    {"rad", "1 radian", "radian"},
    {"s", "1 s", "s"},
    {"min", "1 min", "s"},
    {"h", "1 hour", "s"},
    {"bar", "1 bar", "Pa"},
    {"psi", "1 psi", "Pa"},
    {"kPa", "1 kPa", "Pa"},
    {"GPa", "1 GPa", "Pa"},
    {"MPa", "1 MPa", "Pa"},
    {"kgf/cm²", "1 kgf/cm^2", "Pa"},
    {"inHg", "1 inHg", "Pa"},
    {"ksi", "1 ksi", "Pa"},
    {"Pa", "1 Pa", "Pa"},
    {"mm²", "1 mm^2", "m^2"},
    {"m²", "1 m^2", "m^2"},
    {"ml", "1 ml", "m^3"},
    {"cc", "1 cc", "m^3"},
    {"L", "1 liter", "m^3"},
    {"m³", "1 m^3", "m^3"},
    {"rpm", "1 rpm", "radian/s"},
    {"rad/s", "1 radian/s", "radian/s"},
    {"Hz", "1 Hz", "1/s"},
    {"kHz", "1 kHz", "1/s"},
    {"N/mm", "1 N/mm", "N/m"},
    {"N/m", "1 N/m", "N/m"},
};

static double gnu_units(const char *from, const char *to)
{
	char command[160];
	char answer[160] = "";

	snprintf(command, sizeof command, "units -t -1 -d 15 '%s' '%s' 2>&1", from, to);
	FILE *pipe = popen(command, "r");
	assert_non_null(pipe);
	char *line = fgets(answer, sizeof answer, pipe);
	int status = pclose(pipe);
	char *end = answer;
	double value = strtod(answer, &end);
	if (!line || status != 0 || end == answer)
		fail_msg("GNU units (Debian package units) said \"%s\" to: %s", answer, command);
	return value;
}

/* Source: GNU units 2.22, 15 figures. */
static void every_unit_agrees_with_gnu_units(void **state)
{
	(void)state;
	size_t count;
	const struct fw_unit *units = fw_units(&count);

	assert_int_equal(count, sizeof gnu / sizeof gnu[0]);
	for (size_t i = 0; i < count; i++) {
		assert_string_equal(units[i].symbol, gnu[i].symbol);
		double expected = gnu_units(gnu[i].from, gnu[i].to);
		struct fw_quantity q = make(1, units[i].symbol);
		assert_near(q.value, expected, 2e-14 * expected);
	}
	/* a second point on each scale, the first fixes only factor + offset */
	assert_near(make(212, "°F").value, gnu_units("tempF(212)", "K"), 1e-11);
	assert_near(make(-40, "°C").value, gnu_units("tempF(-40)", "K"), 1e-11);
}

/* Source: NIST Special Publication 811, appendix B.8, seven figures as printed; from memory. */
static void factors_agree_with_the_printed_table(void **state)
{
	(void)state;
	static const struct {
		const char *unit;
		double printed;
	} table[] = {
	    {"in", 2.54e-2},         {"ft", 3.048e-1},        {"lbf", 4.448222},
	    {"lbf·ft", 1.355818},    {"lbf·in", 1.129848e-1}, {"ozf·in", 7.061552e-3},
	    {"kgf", 9.80665},        {"kgf·m", 9.80665},      {"lb", 4.535924e-1},
	    {"oz", 2.834952e-2},     {"psi", 6.894757e3},     {"ksi", 6.894757e6},
	    {"kgf/cm²", 9.80665e4},  {"inHg", 3.386389e3},    {"°", 1.745329e-2},
	    {"arcmin", 2.908882e-4}, {"rpm", 1.047198e-1},    {"bar", 1e5},
	};
	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
		assert_near(unit_of(table[i].unit)->factor, table[i].printed, 5.0e-7 * table[i].printed);
	/* tF = 1.8 tC + 32 by definition: 68 °F is 20 °C, 212 °F is 100 °C, -40 is -40 */
	struct fw_quantity q = make(68, "°F");
	assert_near(fw_quantity_in(&q, unit_of("°C")), 20, 1e-10);
	q = make(212, "°F");
	assert_near(fw_quantity_in(&q, unit_of("°C")), 100, 1e-10);
	q = make(-40, "°C");
	assert_near(fw_quantity_in(&q, unit_of("°F")), -40, 1e-10);
	assert_true(isnan(fw_quantity_in(&q, unit_of("mm"))));
}

/* Each symbol and spelling leads to its own unit, and to no other but by case. */
static void every_spelling_leads_home(void **state)
{
	(void)state;
	size_t count;
	const struct fw_unit *units = fw_units(&count);

	for (size_t i = 0; i < count; i++) {
		assert_ptr_equal(unit_of(units[i].symbol), &units[i]);
		for (const char *const *s = units[i].spellings; *s; s++) {
			if (unit_of(*s) != &units[i])
				fail_msg("\"%s\" leads to %s, not %s", *s, unit_of(*s)->symbol, units[i].symbol);
		}
		double decade = log10(units[i].step);
		assert_near(decade, round(decade), 1e-9);
	}
}

/* What is written on benches; common practice, no source. */
static void spellings_people_use(void **state)
{
	(void)state;
	static const struct {
		const char *typed, *symbol;
	} table[] = {
	    {"ft-lb", "lbf·ft"},
	    {"ft·lb", "lbf·ft"},
	    {"ftlb", "lbf·ft"},
	    {"lb-ft", "lbf·ft"},
	    {"lbf.ft", "lbf·ft"},
	    {"lbft", "lbf·ft"},
	    {"ft lbs", "lbf·ft"},
	    {"ft. lbs.", "lbf·ft"},
	    {"Ft-Lb", "lbf·ft"},
	    {"FTLB", "lbf·ft"},
	    {"in-lb", "lbf·in"},
	    {"in lbs", "lbf·in"},
	    {"in.lb", "lbf·in"},
	    {"Nm", "N·m"},
	    {"N.m", "N·m"},
	    {"N*m", "N·m"},
	    {"N m", "N·m"},
	    {"N⋅m", "N·m"},
	    {"nm", "N·m"},
	    {"NM", "N·m"},
	    {"kgm", "kgf·m"},
	    {"kg-m", "kgf·m"},
	    {"kgf.cm", "kgf·cm"},
	    {"mkg", "kgf·m"},
	    {"\"", "in"},
	    {"″", "in"},
	    {"”", "in"},
	    {"''", "in"},
	    {"inch", "in"},
	    {"INCHES", "in"},
	    {"in.", "in"},
	    {"thou", "thou"},
	    {"0.001in", "thou"},
	    {"0.001 in", "thou"},
	    {"micron", "µm"},
	    {"um", "µm"},
	    {"\xC2\xB5m", "µm"},
	    {"\xCE\xBCm", "µm"},
	    {"deg C", "°C"},
	    {"C", "°C"},
	    {"c", "°C"},
	    {"°c", "°C"},
	    {"ºC", "°C"},
	    {"˚C", "°C"},
	    {"℃", "°C"},
	    {"F", "°F"},
	    {"degF", "°F"},
	    {"℉", "°F"},
	    {"ΔC", "K"},
	    {"deg", "°"},
	    {"º", "°"},
	    {"N/mm2", "MPa"},
	    {"N/mm^2", "MPa"},
	    {"mpa", "MPa"},
	    {"PSI", "psi"},
	    {"lb/in2", "psi"},
	    {"kg/cm2", "kgf/cm²"},
	    {"kg/cm^2", "kgf/cm²"},
	    {"cm3", "cc"},
	    {"l", "L"},
	    {"mL", "ml"},
	    {"RPM", "rpm"},
	    {"hrs", "h"},
	    {" mm ", "mm"},
	    {"cNm", "N·cm"},
	    {"ozin", "ozf·in"},
	    {"in Hg", "inHg"},
	    {"percent", "%"},
	};
	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
		const struct fw_unit *unit = unit_of(table[i].typed);
		if (strcmp(unit->symbol, table[i].symbol) != 0)
			fail_msg("\"%s\" is %s, expected %s", table[i].typed, unit->symbol, table[i].symbol);
	}

	static const char *const none[] = {"mil",  "mils", "tenths", "mPa",  "",      " ", "·", "m-m",
	                                   "furl", "m m",  "--",     "mm2x", "\xFFm", ".", "2"};
	for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
		const struct fw_unit *unit = fw_unit_find(none[i], strlen(none[i]));
		if (unit)
			fail_msg("\"%s\" must not be taken for %s", none[i], unit->symbol);
	}
	assert_null(fw_unit_find(NULL, 0));
}

static void dimensions_have_names_and_si_units(void **state)
{
	(void)state;
	size_t count;
	const struct fw_unit *units = fw_units(&count);
	char name[48];

	for (size_t i = 0; i < count; i++) {
		const struct fw_unit *si = fw_unit_si(units[i].dimension);
		assert_non_null(si);
		assert_true(si->factor == 1.0 && si->offset == 0.0);
		assert_null(strchr(fw_dimension_name(units[i].dimension, name, sizeof name), '^'));
	}
	assert_string_equal(fw_unit_si(unit_of("°F")->dimension)->symbol, "K");
	assert_string_equal(fw_unit_si(unit_of("thou")->dimension)->symbol, "m");
	struct fw_dimension odd = {2, 1, 0, 0, 0};
	assert_null(fw_unit_si(odd));
	assert_string_equal(fw_dimension_name(odd, name, sizeof name), "m^2·kg");
	assert_string_equal(fw_dimension_name(unit_of("psi")->dimension, name, sizeof name),
	                    "pressure");
}

static double from_bits(uint64_t bits)
{
	double value;
	memcpy(&value, &bits, sizeof value);
	return value;
}

/* Source: RFC 8785, appendix B (but for -0, whose sign is kept here). */
static void numbers_as_in_rfc_8785(void **state)
{
	(void)state;
	static const struct {
		uint64_t bits;
		const char *text;
	} table[] = {
	    {0x0000000000000000, "0"},
	    {0x0000000000000001, "5e-324"},
	    {0x8000000000000001, "-5e-324"},
	    {0x7fefffffffffffff, "1.7976931348623157e+308"},
	    {0xffefffffffffffff, "-1.7976931348623157e+308"},
	    {0x4340000000000000, "9007199254740992"},
	    {0xc340000000000000, "-9007199254740992"},
	    {0x4430000000000000, "295147905179352830000"},
	    {0x44b52d02c7e14af5, "9.999999999999997e+22"},
	    {0x44b52d02c7e14af6, "1e+23"},
	    {0x44b52d02c7e14af7, "1.0000000000000001e+23"},
	    {0x444b1ae4d6e2ef4e, "999999999999999700000"},
	    {0x444b1ae4d6e2ef4f, "999999999999999900000"},
	    {0x444b1ae4d6e2ef50, "1e+21"},
	    {0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"},
	    {0x3eb0c6f7a0b5ed8d, "0.000001"},
	    {0x41b3de4355555553, "333333333.3333332"},
	    {0x41b3de4355555554, "333333333.33333325"},
	    {0x41b3de4355555555, "333333333.3333333"},
	    {0x41b3de4355555556, "333333333.3333334"},
	    {0x41b3de4355555557, "333333333.33333343"},
	    {0xbecbf647612f3696, "-0.0000033333333333333333"},
	    {0x43143ff3c1cb0959, "1424953923781206.2"},
	};
	char text[32];
	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
		assert_string_equal(fw_number_text(from_bits(table[i].bits), text, sizeof text),
		                    table[i].text);
	assert_string_equal(fw_number_text(-0.0, text, sizeof text), "-0");
	assert_string_equal(fw_number_text(NAN, text, sizeof text), "nan");
	assert_string_equal(fw_number_text(-INFINITY, text, sizeof text), "-inf");
}

/* splitmix64, public domain */
static uint64_t draw(uint64_t *seed)
{
	uint64_t z = *seed += 0x9E3779B97F4A7C15U;
	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
	return z ^ (z >> 31);
}

static int count_digits(const char *text)
{
	int zeros = 0;
	int count = 0;

	for (; *text != '\0' && *text != 'e'; text++) {
		if (*text < '0' || *text > '9' || (count == 0 && *text == '0'))
			continue;
		count++;
		zeros = *text == '0' ? zeros + 1 : 0;
	}
	return count - zeros;
}

/* Reads back as the same bits, and printf of one digit less does not. */
static void numbers_come_back_bit_for_bit(void **state)
{
	(void)state;
	uint64_t seed = 20240229;
	int done = 0;

	while (done < 20000) {
		double value = from_bits(draw(&seed));
		if (done % 4 == 0) /* shop sizes: 0 to 100 with a few decimals */
			value = (double)(draw(&seed) % 1000000) / 10000;
		if (done % 4 == 1) /* powers of two, where the gap between doubles changes */
			value = ldexp(1, (int)(draw(&seed) % 2000) - 1000);
		if (!isfinite(value))
			continue;
		char text[32];
		char shorter[48];
		fw_number_text(value, text, sizeof text);
		assert_true(strlen(text) < sizeof text - 1);
		double back = strtod(text, NULL);
		if (memcmp(&back, &value, sizeof value) != 0)
			fail_msg("%a is written %s", value, text);
		int digits = count_digits(text);
		snprintf(shorter, sizeof shorter, "%.*e", digits > 1 ? digits - 2 : 0, value);
		if (digits > 1 && strtod(shorter, NULL) == value)
			fail_msg("%s is not the shortest: %s", text, shorter);
		done++;
	}
	/* 2^-44 lies where the nearest 16 digits miss and the next do not: 17 are not needed */
	char text[32];
	assert_int_equal(count_digits(fw_number_text(ldexp(1, -44), text, sizeof text)), 16);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(every_unit_agrees_with_gnu_units),
	    cmocka_unit_test(factors_agree_with_the_printed_table),
	    cmocka_unit_test(every_spelling_leads_home),
	    cmocka_unit_test(spellings_people_use),
	    cmocka_unit_test(dimensions_have_names_and_si_units),
	    cmocka_unit_test(numbers_as_in_rfc_8785),
	    cmocka_unit_test(numbers_come_back_bit_for_bit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
