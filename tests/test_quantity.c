/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units against GNU units and printed tables; arithmetic of values and of uncertainty; text. */
#include <stdbool.h>
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

/* As make(), with a standard uncertainty counted in the same unit. */
static struct fw_quantity make_u(double value, const char *unit, double u, const char *source,
                                 double freedom)
{
	struct fw_error error = {0};
	struct fw_quantity q = make(value, unit);
	assert_ok(fw_quantity_add_term(&q, fw_source_name(source), u * unit_of(unit)->factor, freedom,
	                               &error));
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

static void making_refuses_what_is_no_number(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity q = make(7, "mm");

	assert_code(fw_quantity_make(&q, NAN, unit_of("mm"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, INFINITY, unit_of("mm"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, 1e308, unit_of("ksi"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, 5e-324, unit_of("mm"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, -273.16, unit_of("°C"), &error), FW_ERR_RANGE);
	assert_code(fw_quantity_make(&q, 1, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_quantity_add_term(&q, 1, NAN, 1, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_add_term(&q, 1, -1, 1, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_add_term(&q, 1, 1, 0, &error), FW_ERR_RANGE);
	assert_near(q.value, 0.007, 1e-18); /* untouched */
	assert_int_equal(q.count, 0);
}

static void arithmetic_keeps_dimensions(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity a = make(55, "thou");
	struct fw_quantity b = make(0.4, "mm");
	struct fw_quantity r;
	int order;

	assert_ok(fw_quantity_sub(&r, &a, &b, &error));
	assert_near(r.value, 55 * 25.4e-6 - 0.4e-3, 1e-18); /* 1 in = 25.4 mm, exact by definition */
	assert_string_equal(r.unit->symbol, "thou");
	assert_ok(fw_quantity_compare(&order, &a, &b, &error));
	assert_int_equal(order, 1);
	assert_ok(fw_quantity_compare(&order, &b, &b, &error));
	assert_int_equal(order, 0);

	struct fw_quantity force = make(200, "N");
	struct fw_quantity arm = make(250, "mm");
	assert_ok(fw_quantity_mul(&r, &force, &arm, &error));
	assert_near(r.value, 50, 1e-12); /* force times arm */
	assert_string_equal(r.unit->symbol, "N·m");
	assert_ok(fw_quantity_div(&r, &r, &arm, &error)); /* out may be an operand */
	assert_near(r.value, 200, 1e-12);
	assert_true(fw_dimension_equal(r.dimension, force.dimension));
	assert_ok(fw_quantity_div(&r, &arm, &b, &error));
	assert_string_equal(r.unit->symbol, "1");
	assert_ok(fw_quantity_scale(&r, &b, -2.5, &error));
	assert_near(r.value, -1e-3, 1e-18);
	struct fw_quantity share = make(50, "%");
	assert_ok(fw_quantity_mul(&r, &share, &b, &error));
	assert_string_equal(r.unit->symbol, "mm");
	assert_near(r.value, 0.2e-3, 1e-18);
}

static void errors_of_dimension_name_both_sides(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity a = make(55, "thou");
	struct fw_quantity b = make(3, "N·m");
	struct fw_quantity r = make(1, "m");
	int order;

	assert_code(fw_quantity_sub(&r, &a, &b, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "55.0 thou");
	assert_contains(error.text, "length");
	assert_contains(error.text, "3.00 N·m");
	assert_contains(error.text, "torque");
	assert_code(fw_quantity_add(&r, &b, &a, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_compare(&order, &a, &b, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "torque");
	/* a degree is no plain number */
	struct fw_quantity angle = make(90, "deg");
	struct fw_quantity plain = make(1.5, "1");
	assert_code(fw_quantity_add(&r, &angle, &plain, &error), FW_ERR_DIMENSION);

	struct fw_quantity zero = make(0, "mm");
	assert_code(fw_quantity_div(&r, &a, &zero, &error), FW_ERR_RANGE);
	struct fw_quantity huge = make(1e300, "m");
	assert_code(fw_quantity_mul(&r, &huge, &huge, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_scale(&r, &a, NAN, &error), FW_ERR_RANGE);
	struct fw_quantity power = make(1, "m");
	for (int i = 1; i < 9; i++)
		assert_ok(fw_quantity_mul(&power, &power, &a, &error));
	assert_code(fw_quantity_mul(&r, &power, &a, &error), FW_ERR_DIMENSION);
	assert_near(r.value, 1, 0); /* untouched */
}

/* A Celsius temperature is a point, its difference from another kelvins (SI brochure, 2.3.1). */
static void temperatures_are_points_or_differences(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity cold = make(20, "°C");
	struct fw_quantity hot = make(212, "°F");
	struct fw_quantity rise = make(60, "K");
	struct fw_quantity r;

	assert_ok(fw_quantity_sub(&r, &hot, &cold, &error));
	assert_near(r.value, 80, 1e-10);
	assert_string_equal(r.unit->symbol, "K");
	assert_ok(fw_quantity_add(&r, &cold, &rise, &error));
	assert_near(fw_quantity_in(&r, unit_of("°C")), 80, 1e-10);
	assert_string_equal(r.unit->symbol, "°C");
	assert_ok(fw_quantity_add(&r, &rise, &cold, &error));
	assert_string_equal(r.unit->symbol, "°C");
	struct fw_quantity step = make(18, "Δ°F"); /* 18 °F of difference are 10 K */
	assert_ok(fw_quantity_sub(&r, &cold, &step, &error));
	assert_near(fw_quantity_in(&r, unit_of("°C")), 10, 1e-10);

	assert_code(fw_quantity_add(&r, &cold, &hot, &error), FW_ERR_DIMENSION);
	assert_contains(error.text, "20.0 °C");
	assert_contains(error.text, "212.0 °F");
	assert_code(fw_quantity_sub(&r, &rise, &cold, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_scale(&r, &cold, 2, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_mul(&r, &cold, &rise, &error), FW_ERR_DIMENSION);
	assert_code(fw_quantity_div(&r, &rise, &hot, &error), FW_ERR_DIMENSION);
	struct fw_quantity freeze = make(300, "K");
	assert_code(fw_quantity_sub(&r, &cold, &freeze, &error), FW_ERR_RANGE);
}

/* JCGM 100:2008, 5.1.2 (independent) and 5.2.2, note 1 (fully correlated: u adds linearly). */
static void sources_are_kept_apart(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity x = make_u(10, "mm", 0.03, "a", INFINITY);
	struct fw_quantity y = make_u(4, "mm", 0.04, "b", INFINITY);
	struct fw_quantity z = make_u(7, "mm", 0.03, "a", INFINITY);
	struct fw_quantity r;

	assert_ok(fw_quantity_add(&r, &x, &y, &error));
	assert_near(fw_quantity_u(&r), 0.05e-3, 1e-16); /* 3, 4, 5 */
	assert_ok(fw_quantity_sub(&r, &x, &y, &error));
	assert_near(fw_quantity_u(&r), 0.05e-3, 1e-16);
	assert_ok(fw_quantity_add(&r, &x, &z, &error));
	assert_near(fw_quantity_u(&r), 0.06e-3, 1e-16);
	assert_ok(fw_quantity_sub(&r, &x, &z, &error));
	assert_near(fw_quantity_u(&r), 0, 0);
	assert_near(r.value, 3e-3, 1e-16);
	assert_ok(fw_quantity_mul(&r, &x, &x, &error)); /* u(x²) = 2 x u(x) */
	assert_near(fw_quantity_u(&r), 2 * 10e-3 * 0.03e-3, 1e-18);
	assert_ok(fw_quantity_scale(&r, &x, -3, &error));
	assert_near(fw_quantity_u(&r), 0.09e-3, 1e-16);
	assert_ok(fw_quantity_add(&r, &r, &x, &error)); /* -3x + x */
	assert_near(fw_quantity_u(&r), 0.06e-3, 1e-16);
}

static void a_quantity_less_itself_is_certain(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity x = make_u(0.41, "mm", 0.012, "a", 4);
	struct fw_quantity y = make_u(1.7, "N", 0.3, "b", 9);
	struct fw_quantity r;
	char text[64];

	assert_ok(fw_quantity_sub(&r, &x, &x, &error));
	assert_near(r.value, 0, 0);
	assert_near(fw_quantity_u(&r), 0, 0);
	assert_int_equal(r.count, 0);
	assert_near(fw_quantity_freedom(&r), INFINITY, 0);
	assert_string_equal(fw_quantity_text(&r, true, text, sizeof text), "0.000 mm");
	assert_ok(fw_quantity_div(&r, &x, &x, &error));
	assert_near(r.value, 1, 0);
	assert_near(fw_quantity_u(&r), 0, 0);
	assert_ok(fw_quantity_mul(&r, &x, &y, &error)); /* x · y / y is x, with y's part gone */
	assert_ok(fw_quantity_div(&r, &r, &y, &error));
	assert_near(fw_quantity_u(&r), 0.012e-3, 1e-17);
	assert_int_equal(r.count, 1);
}

static void too_many_sources_are_refused(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity q = make(1, "mm");

	for (uint64_t i = 0; i < FW_TERMS; i++)
		assert_ok(fw_quantity_add_term(&q, (i * 7919) % 1000, 1e-6, INFINITY, &error));
	assert_int_equal(q.count, FW_TERMS);
	for (size_t i = 1; i < q.count; i++)
		assert_true(q.terms[i - 1].source < q.terms[i].source);
	assert_code(fw_quantity_add_term(&q, 5000, 1e-6, INFINITY, &error), FW_ERR_RANGE);
	assert_ok(fw_quantity_add_term(&q, 0, 1e-6, INFINITY, &error)); /* one that is there already */
	assert_near(fw_quantity_u(&q), 1e-6 * sqrt(31 + 4), 1e-17);
}

/* JCGM 100:2008, G.4.1, example: y = b·x1·x2·x3, relative u 0.25 %, 0.57 %, 0.82 % from n = 10, 5,
 * 15 readings; printed u_c/y = 1.03 %, effective freedom 19.0. */
static void welch_satterthwaite_example_of_the_guide(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity y = make_u(3, "mm", 3 * 0.0025, "x1", 9);
	struct fw_quantity x2 = make_u(2, "N", 2 * 0.0057, "x2", 4);
	struct fw_quantity x3 = make_u(5, "1", 5 * 0.0082, "x3", 14);

	assert_ok(fw_quantity_mul(&y, &y, &x2, &error));
	assert_ok(fw_quantity_mul(&y, &y, &x3, &error));
	assert_near(fw_quantity_u(&y) / y.value, 0.0103, 0.00005);
	assert_near(fw_quantity_freedom(&y), 19.0, 0.05);
}

/* JCGM 100:2008, H.1, end gauge: l = lS + d - lS (δα·θ + αS·δθ). Printed: l = 50.000838 mm,
 * u_c = 32 nm (u_c² = 1002 nm²), effective freedom 16.7; of d alone 9.7 nm and 25.6.
 * Given for d: s_p = 13 nm of 24 degrees of freedom, 5 readings; 0.01 µm / 2.57; 0.02 µm / 3. */
static void end_gauge_of_the_guide(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_quantity standard = make_u(50.000623, "mm", 25e-6, "standard", 18);
	struct fw_quantity d = make_u(0.215, "µm", 0.013 / sqrt(5), "repeated readings", 24);
	struct fw_quantity one = make(1, "1");
	struct fw_quantity kelvin = make(1, "K");
	struct fw_quantity theta = make(-0.1, "K");
	struct fw_quantity delta_theta = make_u(0, "K", 0.05 / sqrt(3), "difference in temperature", 2);
	struct fw_quantity alpha = make(11.5e-6, "1");
	struct fw_quantity delta_alpha = make_u(0, "1", 1e-6 / sqrt(3), "difference in expansion", 50);
	struct fw_quantity l;
	struct fw_quantity part;

	assert_ok(
	    fw_quantity_add_term(&d, fw_source_name("comparator, random"), 0.01e-6 / 2.57, 5, &error));
	assert_ok(
	    fw_quantity_add_term(&d, fw_source_name("comparator, systematic"), 0.02e-6 / 3, 8, &error));
	assert_near(fw_quantity_u(&d), 9.7e-9, 0.05e-9);
	assert_near(fw_quantity_freedom(&d), 25.6, 0.05);

	assert_ok(fw_quantity_div(&one, &one, &kelvin, &error)); /* 1/K */
	assert_ok(fw_quantity_mul(&alpha, &alpha, &one, &error));
	assert_ok(fw_quantity_mul(&delta_alpha, &delta_alpha, &one, &error));
	assert_ok(fw_quantity_mul(&part, &delta_alpha, &theta, &error));
	assert_ok(fw_quantity_mul(&l, &alpha, &delta_theta, &error));
	assert_ok(fw_quantity_add(&part, &part, &l, &error));
	assert_ok(fw_quantity_mul(&part, &standard, &part, &error));
	assert_ok(fw_quantity_add(&l, &standard, &d, &error));
	assert_ok(fw_quantity_sub(&l, &l, &part, &error));

	assert_near(l.value, 50.000838e-3, 0.5e-9);
	assert_near(fw_quantity_u(&l) * fw_quantity_u(&l), 1002e-18, 0.5e-18);
	assert_near(fw_quantity_freedom(&l), 16.7, 0.05);
	assert_string_equal(l.unit->symbol, "mm");
}

static void text_is_rounded_to_the_step(void **state)
{
	(void)state;
	static const struct {
		double value;
		const char *unit, *text;
	} table[] = {
	    {0.4064, "mm", "0.406 mm"},    {16, "thou", "16.0 thou"},
	    {-0.0001, "mm", "0.000 mm"},   {-0.0, "mm", "0.000 mm"},
	    {-0.4, "mm", "-0.400 mm"},     {1.375, "in", "1.3750 in"},
	    {25, "lbf·ft", "25.0 lbf·ft"}, {-40, "°F", "-40.0 °F"},
	    {90, "deg", "90.00°"},         {15, "arcmin", "15.0 arcmin"},
	    {0.14, "1", "0.140"},          {12.5, "%", "12.5 %"},
	    {3000, "rpm", "3000 rpm"},     {9.9996, "mm", "10.000 mm"},
	    {1e300, "mm", "1e+300 mm"},    {-1.23456789e12, "Pa", "-1234570000000 Pa"},
	};
	char text[64];
	for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
		struct fw_quantity q = make(table[i].value, table[i].unit);
		assert_string_equal(fw_quantity_text(&q, false, text, sizeof text), table[i].text);
	}

	struct fw_quantity q = make_u(0.4064, "mm", 0.006, "a", INFINITY);
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "0.406 ± 0.012 mm");
	assert_string_equal(fw_quantity_text_in(&q, unit_of("thou"), true, text, sizeof text),
	                    "16.0 ± 0.5 thou");
	assert_string_equal(fw_quantity_text_in(&q, unit_of("N"), true, text, sizeof text),
	                    "0.406 ± 0.012 mm");
	q = make_u(0.4064, "mm", 1e-6, "a", INFINITY);
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "0.406 ± 0.001 mm");
	q = make_u(68, "°F", 0.9, "a", INFINITY);
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "68.0 ± 1.8 °F");
	q.unit = NULL;
	assert_string_equal(fw_quantity_text(&q, true, text, sizeof text), "293.1 ± 1.0 K");
}

static void text_fits_its_buffer(void **state)
{
	(void)state;
	struct fw_quantity q = {.value = -1.23456789e-300,
	                        .dimension = {-9, -9, -9, -9, -9},
	                        .count = 1,
	                        .terms = {{1, 1.23456789e300, 1}}};
	char text[128];
	char name[40];

	fw_quantity_text(&q, true, text, sizeof text);
	assert_true(strlen(text) < 64);
	assert_contains(text, "-1.23457e-300 ± 2.46914e+300 m^-9");
	fw_dimension_name(q.dimension, name, sizeof name);
	assert_string_equal(name, "m^-9·kg^-9·s^-9·K^-9·rad^-9");
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

/* Source: test vectors of FNV-1a, 64 bits (IETF draft-eastlake-fnv). */
static void source_names_are_fnv_1a(void **state)
{
	(void)state;
	assert_true(fw_source_name("") == 0xcbf29ce484222325U);
	assert_true(fw_source_name("a") == 0xaf63dc4c8601ec8cU);
	assert_true(fw_source_name("foobar") == 0x85944171f73967e8U);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(every_unit_agrees_with_gnu_units),
	    cmocka_unit_test(factors_agree_with_the_printed_table),
	    cmocka_unit_test(every_spelling_leads_home),
	    cmocka_unit_test(spellings_people_use),
	    cmocka_unit_test(dimensions_have_names_and_si_units),
	    cmocka_unit_test(making_refuses_what_is_no_number),
	    cmocka_unit_test(arithmetic_keeps_dimensions),
	    cmocka_unit_test(errors_of_dimension_name_both_sides),
	    cmocka_unit_test(temperatures_are_points_or_differences),
	    cmocka_unit_test(sources_are_kept_apart),
	    cmocka_unit_test(a_quantity_less_itself_is_certain),
	    cmocka_unit_test(too_many_sources_are_refused),
	    cmocka_unit_test(welch_satterthwaite_example_of_the_guide),
	    cmocka_unit_test(end_gauge_of_the_guide),
	    cmocka_unit_test(text_is_rounded_to_the_step),
	    cmocka_unit_test(text_fits_its_buffer),
	    cmocka_unit_test(numbers_as_in_rfc_8785),
	    cmocka_unit_test(numbers_come_back_bit_for_bit),
	    cmocka_unit_test(source_names_are_fnv_1a),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
