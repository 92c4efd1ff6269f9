/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "fitwright/thermal.h"

#define COUNT(a)   (sizeof(a) / sizeof(a)[0])
#define MM         1e-3
#define INCH       0.0254
#define CELSIUS(t) ((t) + 273.15)
#define PPM        1e-6
#define ROOT_3     1.7320508075688772

/* A good thing with one field spoilt. */
#define REFUSE(refuse, thing, good, field, value, code, what)                                      \
	do {                                                                                           \
		(thing) = (good);                                                                          \
		(thing).field = (value);                                                                   \
		refuse(thing, code, what);                                                                 \
	} while (0)

static struct fw_error error;

static const struct fw_material *material(const char *name)
{
	const struct fw_material *out = NULL;

	assert_ok(fw_material_find(&out, name, &error));
	return out;
}

static struct fw_thermal_link link_of(double coefficient, double length, const char *name,
                                      double cold, double hot)
{
	return (struct fw_thermal_link){.coefficient = coefficient,
	                                .length = length,
	                                .material = name ? material(name) : NULL,
	                                .cold = CELSIUS(cold),
	                                .hot = CELSIUS(hot)};
}

static struct fw_thermal gap_of(const struct fw_thermal_link *link, size_t count, double gap,
                                double gap_u, double rise_u)
{
	struct fw_thermal_start start = {gap, gap_u, rise_u};
	struct fw_thermal out;

	assert_ok(fw_thermal_gap(&out, NULL, link, count, &start, &error));
	return out;
}

/* W. D. Callister, Materials Science and Engineering, table B.6, both columns (two reprints read).
 * The second column is the second route: the first is 1.8 times it within its rounding. */
static const struct {
	const char *material;
	double per_kelvin, per_fahrenheit;
} grade[] = {{"steel", 11.7, 6.5},
             {"steel", 11.3, 6.3},
             {"steel", 12.3, 6.8},
             {"stainless", 17.2, 9.6},
             {"stainless", 15.9, 8.8},
             {"stainless-hardenable", 10.8, 6.0},
             {"stainless-hardenable", 10.2, 5.7},
             {"stainless-hardenable", 11.0, 6.1},
             {"cast-iron", 11.4, 6.3},
             {"ductile-iron", 11.2, 6.2},
             {"ductile-iron", 10.6, 5.9},
             {"aluminium", 23.6, 13.1},
             {"aluminium", 22.9, 12.7},
             {"aluminium", 23.4, 13.0},
             {"cast-aluminium", 21.5, 11.9},
             {"magnesium", 26.0, 14.4},
             {"titanium", 8.6, 4.8},
             {"titanium", 9.4, 5.2},
             {"copper", 17.0, 9.4},
             {"brass", 19.9, 11.1},
             {"brass", 20.5, 11.4},
             {"bronze", 18.0, 10.0},
             /* A handbook's table of casting alloys: A132, 4032, F132; 319, 355, 360. */
             {"piston-aluminium", 19.0, 10.6},
             {"piston-aluminium", 19.4, 10.8},
             {"piston-aluminium", 20.7, 11.5},
             {"cast-aluminium", 21.5, 12.0},
             {"cast-aluminium", 22.0, 12.3},
             {"cast-aluminium", 21.0, 11.7}};

static void test_materials_against_callister(void **state)
{
	(void)state;

	for (size_t i = 0; i < COUNT(grade); i++) {
		const struct fw_material *m = material(grade[i].material);

		assert_near(grade[i].per_kelvin, 1.8 * grade[i].per_fahrenheit, 0.05 * 1.8 + 0.05 + 1e-9);
		assert_near(m->alpha, grade[i].per_kelvin * PPM, m->half + 1e-12);
	}
	size_t count = 0;
	const struct fw_material *table = fw_materials(&count);
	for (size_t i = 0; i < count; i++) {
		assert_true(table[i].half > 0.02 * table[i].alpha && table[i].half < 0.1 * table[i].alpha);
		assert_ptr_equal(material(table[i].name), &table[i]);
		assert_true(strlen(table[i].grades) > 0 && strlen(table[i].source) > 0);
	}
}

/* Ranges of families, millionths per °F, of the Materials Selector (Reinhold, reprinted): each must
 * overlap ours. And copper of JCGM 100:2008, 4.3.7: 16.52 ±0.40. */
static void test_materials_against_ranges(void **state)
{
	static const struct {
		const char *material;
		double low, high;
	} range[] = {{"steel", 6.3, 8.6},
	             {"stainless", 9.0, 10.2},
	             {"stainless-hardenable", 5.5, 6.5},
	             {"cast-iron", 6.0, 6.0},
	             {"ductile-iron", 6.6, 10.4},
	             {"aluminium", 11.7, 13.7},
	             {"cast-aluminium", 11.7, 13.7},
	             {"magnesium", 14, 16},
	             {"titanium", 4.9, 7.1},
	             {"copper", 7.7, 9.8},
	             {"brass", 10.0, 11.6},
	             {"bronze", 10.0, 10.3}};
	(void)state;

	for (size_t i = 0; i < COUNT(range); i++) {
		const struct fw_material *m = material(range[i].material);
		double low = (range[i].low - 0.05) * 1.8 * PPM, high = (range[i].high + 0.05) * 1.8 * PPM;

		if (m->alpha + m->half < low || m->alpha - m->half > high)
			fail_msg("%s: %g to %g", m->name, low, high);
	}
	assert_near(material("copper")->alpha, 16.52 * PPM, material("copper")->half);
}

/* Expansion from 20 °C by the Eurocodes' curves: carbon steel EN 1993-1-2:2005, 3.4.1.1; stainless
 * EN 1993-1-2:2005, annex C, and aluminium EN 1999-1-2:2007, 3.3.1.1 (both from memory). */
static double steel_curve(double t)
{
	return 1.2e-5 * t + 0.4e-8 * t * t - 2.416e-4;
}

static double stainless_curve(double t)
{
	return (16 + 4.79e-3 * t - 1.243e-6 * t * t) * (t - 20) * 1e-6;
}

static double aluminium_curve(double t)
{
	return 0.1e-7 * t * t + 22.5e-6 * t - 4.5e-4;
}

/* Ours must lie within the half width that goes with our u (√3·u) of them, over the whole range. */
static void test_materials_against_curves(void **state)
{
	static const struct {
		const char *material;
		double (*curve)(double);
	} row[] = {
	    {"steel", steel_curve}, {"stainless", stainless_curve}, {"aluminium", aluminium_curve}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		for (double hot = 40; hot <= 300; hot += 20) {
			double alpha = 0, u = 0;

			assert_ok(fw_material_alpha(&alpha, &u, material(row[i].material), CELSIUS(20),
			                            CELSIUS(hot), &error));
			assert_near(alpha, row[i].curve(hot) / (hot - 20), ROOT_3 * u);
		}
	}
	/* The drift counted covers both curves' slopes: twice the square term over the middle slope. */
	assert_true(FW_THERMAL_DRIFT >= 0.8e-8 / (1.2e-5 + 0.8e-8 * 60));
	assert_true(FW_THERMAL_DRIFT >= 0.2e-7 / (22.5e-6 + 0.2e-7 * 60));
}

/* Steel shaft in a case of 356 casting alloy, 100 mm between shoulders, 20 °C to 80 °C: by hand
 * 100·(21.5 - 11.7)·60/10⁶ = 0.0588 mm more end float. Grey iron, 250 mm, 65 K: 0.164125 mm. */
static void test_case_and_shaft(void **state)
{
	struct fw_thermal_link link[] = {link_of(1, 100 * MM, "cast-aluminium", 20, 80),
	                                 link_of(-1, 100 * MM, "steel", 20, 80)};
	struct fw_thermal t = gap_of(link, 2, 0.1 * MM, 0, 0);
	(void)state;

	assert_near(t.change, 0.0588 * MM, 1e-12);
	assert_near(t.hot, 0.1588 * MM, 1e-12);
	/* Half widths 1.0 and 0.8 and the drift over 10 K, by hand: 21.5·0.0085 and 11.7·0.0085. */
	double u = 0.1 * 60 * hypot(1.18275, 0.89945) / ROOT_3 * PPM;
	assert_near(t.change_u, u, 1e-12);
	t = gap_of(link, 2, 0.1 * MM, 0.003 * MM, 0);
	assert_near(t.hot_u, hypot(u, 0.003 * MM), 1e-12);
	/* 5 K of doubt about how hot it runs, in both alike: 0.00098 mm a kelvin. */
	t = gap_of(link, 2, 0.1 * MM, 0, 5);
	assert_near(t.change_u, hypot(u, 5 * 0.00098 * MM), 1e-12);
	/* Each for itself: the case 0.00215, the shaft 0.00117 mm a kelvin. */
	link[0].rise_u = link[1].rise_u = 5;
	t = gap_of(link, 2, 0.1 * MM, 0, 0);
	assert_near(t.change_u, hypot(u, 5 * hypot(0.00215, 0.00117) * MM), 1e-12);

	/* Cold start at -40 °C: the float closes by the same rule. */
	struct fw_thermal_link cold[] = {link_of(1, 100 * MM, "cast-aluminium", 20, -40),
	                                 link_of(-1, 100 * MM, "steel", 20, -40)};
	assert_near(gap_of(cold, 2, 0.05 * MM, 0, 0).hot, -0.0088 * MM, 1e-12);

	struct fw_thermal_link iron[] = {link_of(1, 250 * MM, "cast-aluminium", 20, 85),
	                                 link_of(-1, 250 * MM, "cast-iron", 20, 85)};
	assert_near(gap_of(iron, 2, 0, 0, 0).change, 0.164125 * MM, 1e-12);
}

/* Parts of one material share its error; a shaft hotter than its case is not saved by that. */
static void test_one_material(void **state)
{
	struct fw_thermal_link link[] = {link_of(1, 100 * MM, "steel", 20, 80),
	                                 link_of(-1, 60 * MM, "steel", 20, 80),
	                                 link_of(-1, 40 * MM, "steel", 20, 80)};
	double change[3] = {0};
	struct fw_thermal_start start = {0};
	struct fw_thermal t;
	(void)state;

	assert_ok(fw_thermal_gap(&t, change, link, 3, &start, &error));
	assert_near(t.change, 0, 1e-18);
	assert_near(t.change_u, 0, 1e-18);
	assert_near(change[0], 100 * 60 * 11.7e-6 * MM, 1e-15);
	assert_near(change[1] / change[2], 1.5, 1e-12);
	link[1].hot = link[2].hot = CELSIUS(120);
	t = gap_of(link, 3, 0, 0, 0);
	assert_near(t.change, -100 * 40 * 11.7e-6 * MM, 1e-15);
	assert_true(t.change_u > 100 * 40 * 0.8e-6 / ROOT_3 * MM);
	/* Coefficients typed in are each their own. */
	for (size_t i = 0; i < 3; i++) {
		link[i].material = NULL;
		link[i].alpha = 12 * PPM;
		link[i].alpha_u = 0.5 * PPM;
		link[i].hot = CELSIUS(80);
	}
	t = gap_of(link, 3, 0, 0, 0);
	assert_near(t.change_u, 60 * 0.5e-6 * sqrt(100 * 100 + 60 * 60 + 40 * 40) * MM, 1e-15);
}

/* JCGM 100:2008, H.1: end gauge of 50.000 623 mm, 11.5e-6/°C. Its temperature ±0.05 °C (rectangle):
 * 16.6 nm; its coefficient ±1e-6 at 0.1 °C from 20: 2.9 nm. */
static void test_end_gauge(void **state)
{
	struct fw_thermal_link link = {.coefficient = 1,
	                               .length = 50.000623 * MM,
	                               .alpha = 11.5 * PPM,
	                               .cold = CELSIUS(20),
	                               .hot = CELSIUS(20),
	                               .rise_u = 0.05 / ROOT_3};
	(void)state;

	assert_near(gap_of(&link, 1, 0, 0, 0).change_u, 16.6e-9, 0.05e-9);
	link.rise_u = 0;
	link.alpha_u = 1 * PPM / ROOT_3;
	link.hot = CELSIUS(19.9);
	assert_near(gap_of(&link, 1, 0, 0, 0).change_u, 2.9e-9, 0.05e-9);
}

static struct fw_thermal_pair pair_of(double diameter, double interference, double inner,
                                      double outer, double cold, double hot)
{
	return (struct fw_thermal_pair){.diameter = diameter,
	                                .interference = interference,
	                                .inner = inner * PPM,
	                                .outer = outer * PPM,
	                                .cold = CELSIUS(cold),
	                                .inner_hot = CELSIUS(hot),
	                                .outer_hot = CELSIUS(hot)};
}

/* A brass ring of 2.00 cm is 50 µm too small for a steel rod: both must warm by 313 K (R. D.
 * Knight, Physics for scientists and engineers, as answered in a forum; 19 and 11 millionths). From
 * -40 °C, to stay within the range. A steel ring on a brass shaft, 2.5000 and 2.5030 in, 13 and 19
 * millionths, comes loose at -179 °C only (a textbook exercise): beyond the range. */
static void test_fit_comes_loose(void **state)
{
	struct fw_thermal_pair pair = pair_of(20 * MM, 0.050 * MM, 11, 19, -40, 20);
	struct fw_thermal_fit fit;
	(void)state;

	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_near(fit.even, CELSIUS(-40) + 313, 0.6);
	pair.inner_hot = pair.outer_hot = fit.even;
	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_near(fit.hot, 0, 1e-12);
	pair = pair_of(2.5 * INCH, 0.003 * INCH, 19, 13, 20, 20);
	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_true(isnan(fit.even));
	assert_near(fit.hot, 0.003 * INCH, 1e-15);
}

/* A bearing of 62 mm in an aluminium housing, 0.012 mm tight at 20 °C, invented; by hand at 80 °C:
 * 12 - 62·60·(23.4 - 12)/1000 = -30.4 µm: loose; even at 20 + 12000/(62·11.4) = 36.98 °C. */
static void test_bearing_in_aluminium(void **state)
{
	struct fw_thermal_pair pair = pair_of(62 * MM, 0.012 * MM, 12, 23.4, 20, 80);
	struct fw_thermal_fit fit;
	(void)state;

	pair.inner_u = 0.3 * PPM;
	pair.outer_u = 0.4 * PPM;
	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_near(fit.hot, -0.030408 * MM, 1e-12);
	assert_near(fit.even, CELSIUS(36.98), 0.005);
	assert_near(fit.hot_u, 62 * 60 * 0.5e-6 * MM, 1e-12);
	pair.inner_hot = CELSIUS(100); /* the ring runs hotter: 62·20·12/1000 = 14.88 µm more */
	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_near(fit.hot, (-0.030408 + 0.01488) * MM, 1e-12);
	pair.outer = pair.inner;
	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_true(isnan(fit.even)); /* of one material: never */
	pair.interference = 0;
	assert_ok(fw_thermal_fit(&fit, &pair, &error));
	assert_near(fit.even, pair.cold, 0);
}

static struct fw_heated heat(struct fw_heating h)
{
	struct fw_heated out;

	assert_ok(fw_thermal_heat(&out, &h, &error));
	return out;
}

/* A steel ring of 2.5000 in bore over a shaft of 2.5030 in at 20.0 °C, 13 millionths: 112.3 °C
 * (a textbook exercise worked out in public). */
static void test_ring_over_a_shaft(void **state)
{
	struct fw_heating h = {.bore = 2.5 * INCH,
	                       .interference = 0.003 * INCH,
	                       .alpha = 13 * PPM,
	                       .room = CELSIUS(20),
	                       .shaft = CELSIUS(20)};
	struct fw_heated out = heat(h);
	(void)state;

	assert_near(out.ring, CELSIUS(112.3), 0.05);
	assert_near(out.rise, 92.3, 0.05);
	assert_near(out.at_most, out.ring, 1e-9);

	/* Bearing of 70 mm, 0.036 mm tight, 0.050 mm to slip it on, 12 millionths (invented), by hand:
	 * 86/(70·0.012) = 102.38 K; with the coefficient 11 at least: 111.69 K. */
	h = (struct fw_heating){.bore = 70 * MM,
	                        .interference = 0.036 * MM,
	                        .clearance = 0.050 * MM,
	                        .alpha = 12 * PPM,
	                        .alpha_u = 0.5 * PPM,
	                        .room = CELSIUS(20),
	                        .shaft = CELSIUS(20)};
	out = heat(h);
	assert_near(out.gain, 0.086 * MM, 1e-15);
	assert_near(out.ring, CELSIUS(122.38), 0.005);
	assert_near(out.at_most, CELSIUS(131.69), 0.005);
	assert_true(out.ring > FW_BEARING_HOTTEST);

	/* The shaft from the freezer at -18 °C, 11.7: 70.036·11.7·38/1000 = 31.138 µm less. */
	h.shaft = CELSIUS(-18);
	h.shaft_alpha = 11.7 * PPM;
	out = heat(h);
	assert_near(out.gain, (0.086 - 0.031138) * MM, 1e-9);
	assert_near(out.rise, 54.862 / 0.84, 0.002);
	h.clearance = 0;
	h.interference = 0.010 * MM; /* now the cold does it all */
	assert_near(heat(h).rise, 0, 0);
	assert_near(heat(h).ring, CELSIUS(20), 0);
	/* A shaft still warm makes it harder. */
	h.shaft = CELSIUS(60);
	assert_true(heat(h).rise > 0.010 / 0.84);
}

static void test_heat_beyond_the_range(void **state)
{
	struct fw_heating h = {.bore = 20 * MM,
	                       .interference = 0.060 * MM,
	                       .alpha = 12 * PPM,
	                       .room = CELSIUS(20),
	                       .shaft = CELSIUS(20)};
	struct fw_heated out = {.rise = 7};
	(void)state;

	assert_near(heat(h).ring, CELSIUS(270), 1e-9);
	h.alpha_u = 1 * PPM; /* at 10: 320 °C */
	assert_true(isnan(heat(h).at_most));
	h.interference = 0.070 * MM;
	assert_code(fw_thermal_heat(&out, &h, &error), FW_ERR_RANGE);
	assert_contains(error.text, "312 °C");
	assert_near(out.rise, 7, 0);
}

static void refuse_link(struct fw_thermal_link link, int code, const char *what)
{
	struct fw_thermal_start start = {0};
	struct fw_thermal_link chain[2] = {link_of(1, 0.1, "steel", 20, 80), link};
	struct fw_thermal out = {.hot = 7};
	double change[2] = {7, 7};

	chain[1].name = "case";
	assert_code(fw_thermal_gap(&out, change, chain, 2, &start, &error), code);
	assert_contains(error.text, "link 2 (case)");
	assert_contains(error.text, what);
	assert_near(out.hot + change[0] + change[1], 21, 0);
}

static void test_links_refused(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY};
	struct fw_thermal_link good = link_of(1, 0.1, NULL, 20, 80), link;
	struct fw_material fake = {"steel", "", 1e-5, 1e-6, ""};
	(void)state;

	good.alpha = 12 * PPM;
	for (size_t i = 0; i < COUNT(bad); i++) {
		REFUSE(refuse_link, link, good, coefficient, bad[i], FW_ERR_ARGUMENT,
		       "coefficient of its place");
		REFUSE(refuse_link, link, good, length, bad[i], FW_ERR_ARGUMENT, "length");
		REFUSE(refuse_link, link, good, alpha, bad[i], FW_ERR_ARGUMENT, "coefficient of expansion");
		REFUSE(refuse_link, link, good, alpha_u, bad[i], FW_ERR_ARGUMENT, "standard uncertainty");
		REFUSE(refuse_link, link, good, cold, bad[i], FW_ERR_ARGUMENT, "cold");
		REFUSE(refuse_link, link, good, hot, bad[i], FW_ERR_ARGUMENT, "hot");
		REFUSE(refuse_link, link, good, rise_u, bad[i], FW_ERR_ARGUMENT,
		       "uncertainty of the temperature");
	}
	REFUSE(refuse_link, link, good, coefficient, 0, FW_ERR_ARGUMENT, "takes no part");
	REFUSE(refuse_link, link, good, length, 0, FW_ERR_ARGUMENT, "above 0");
	REFUSE(refuse_link, link, good, length, -0.1, FW_ERR_ARGUMENT, "-1");
	REFUSE(refuse_link, link, good, alpha_u, -1e-7, FW_ERR_ARGUMENT, "negative");
	REFUSE(refuse_link, link, good, rise_u, -1, FW_ERR_ARGUMENT, "negative");
	REFUSE(refuse_link, link, good, alpha, 0, FW_ERR_RANGE, "check the unit");
	REFUSE(refuse_link, link, good, alpha, 11.7, FW_ERR_RANGE,
	       "check the unit"); /* millionths forgotten */
	REFUSE(refuse_link, link, good, alpha, -12 * PPM, FW_ERR_RANGE, "check the unit");
	REFUSE(refuse_link, link, good, hot, CELSIUS(301), FW_ERR_RANGE, "hot");
	REFUSE(refuse_link, link, good, cold, CELSIUS(-61), FW_ERR_RANGE, "cold");
	REFUSE(refuse_link, link, good, hot, 80, FW_ERR_RANGE, "hot"); /* degrees for kelvins */
	REFUSE(refuse_link, link, good, material, material("brass"), FW_ERR_ARGUMENT, "not both");
	REFUSE(refuse_link, link, good, material, &fake, FW_ERR_ARGUMENT, "not from the table");
}

static void test_chains_refused(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY, -1};
	struct fw_thermal_link link = link_of(1, 0.1, "steel", 20, 80);
	struct fw_thermal_start start = {0};
	struct fw_thermal out;
	(void)state;

	assert_code(fw_thermal_gap(&out, NULL, &link, 0, &start, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thermal_gap(&out, NULL, NULL, 1, &start, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thermal_gap(NULL, NULL, &link, 1, &start, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thermal_gap(&out, NULL, &link, 1, NULL, &error), FW_ERR_ARGUMENT);
	for (size_t i = 0; i < COUNT(bad); i++) {
		start = (struct fw_thermal_start){.gap = bad[i]};
		if (bad[i] != -1)
			assert_code(fw_thermal_gap(&out, NULL, &link, 1, &start, &error), FW_ERR_ARGUMENT);
		start = (struct fw_thermal_start){.gap_u = bad[i]};
		assert_code(fw_thermal_gap(&out, NULL, &link, 1, &start, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "cold gap");
		start = (struct fw_thermal_start){.rise_u = bad[i]};
		assert_code(fw_thermal_gap(&out, NULL, &link, 1, &start, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "rise");
	}
	start = (struct fw_thermal_start){0};
	link.coefficient = 1e308;
	link.length = 1000;
	link.hot = CELSIUS(300);
	assert_code(fw_thermal_gap(&out, NULL, &link, 1, &start, &error), FW_ERR_RANGE);
	assert_contains(error.text, "beyond all measure");

	const struct fw_material *m = NULL;
	double alpha = 0, u = 0;
	assert_code(fw_material_find(&m, "unobtainium", &error), FW_ERR_INPUT);
	assert_contains(error.text, "cast-aluminium");
	assert_contains(error.text, "bronze");
	assert_code(fw_material_find(&m, "", &error), FW_ERR_INPUT);
	assert_code(fw_material_find(&m, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_material_find(NULL, "steel", &error), FW_ERR_ARGUMENT);
	assert_code(fw_material_alpha(&alpha, &u, NULL, 290, 300, &error), FW_ERR_ARGUMENT);
	assert_code(fw_material_alpha(NULL, &u, material("steel"), 290, 300, &error), FW_ERR_ARGUMENT);
	assert_code(fw_material_alpha(&alpha, &u, material("steel"), 200, 300, &error), FW_ERR_RANGE);
	assert_code(fw_material_alpha(&alpha, &u, material("steel"), 290, 600, &error), FW_ERR_RANGE);
	assert_code(fw_material_alpha(&alpha, &u, material("steel"), NAN, 300, &error),
	            FW_ERR_ARGUMENT);
}

static void test_a_million_links(void **state)
{
	size_t count = FW_THERMAL_LINKS;
	struct fw_thermal_link *link =
	    (struct fw_thermal_link *)calloc(count + 1, sizeof(struct fw_thermal_link));
	struct fw_thermal_start start = {0};
	struct fw_thermal out;
	(void)state;

	assert_non_null(link);
	for (size_t i = 0; i <= count; i++)
		link[i] = link_of(1, 0.001, i % 2 ? "steel" : "brass", 20, 120);
	assert_ok(fw_thermal_gap(&out, NULL, link, count, &start, &error));
	assert_near(out.change, 500 * 100 * (11.7 + 19.9) * PPM, 1e-9);
	assert_code(fw_thermal_gap(&out, NULL, link, count + 1, &start, &error), FW_ERR_ARGUMENT);
	free(link);
}

static void refuse_pair(struct fw_thermal_pair pair, int code, const char *what)
{
	struct fw_thermal_fit out = {.hot = 7};

	assert_code(fw_thermal_fit(&out, &pair, &error), code);
	assert_contains(error.text, what);
	assert_near(out.hot, 7, 0);
}

static void refuse_heating(struct fw_heating heating, int code, const char *what)
{
	struct fw_heated out = {.rise = 7};

	assert_code(fw_thermal_heat(&out, &heating, &error), code);
	assert_contains(error.text, what);
	assert_near(out.rise, 7, 0);
}

static void test_fits_refused(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY};
	struct fw_thermal_pair good = pair_of(62 * MM, 0.012 * MM, 12, 23, 20, 80), pair;
	struct fw_heating ring = {.bore = 0.07,
	                          .interference = 3e-5,
	                          .alpha = 12 * PPM,
	                          .room = 293,
	                          .shaft = 270,
	                          .shaft_alpha = 12 * PPM},
	                  h;
	struct fw_thermal_fit fit;
	struct fw_heated heated;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		REFUSE(refuse_pair, pair, good, diameter, bad[i], FW_ERR_ARGUMENT, "diameter");
		REFUSE(refuse_pair, pair, good, interference, bad[i], FW_ERR_ARGUMENT, "interference");
		REFUSE(refuse_pair, pair, good, inner, bad[i], FW_ERR_ARGUMENT, "inner");
		REFUSE(refuse_pair, pair, good, outer, bad[i], FW_ERR_ARGUMENT, "outer");
		REFUSE(refuse_pair, pair, good, inner_u, bad[i], FW_ERR_ARGUMENT, "inner");
		REFUSE(refuse_pair, pair, good, outer_u, bad[i], FW_ERR_ARGUMENT, "outer");
		REFUSE(refuse_pair, pair, good, cold, bad[i], FW_ERR_ARGUMENT, "cold");
		REFUSE(refuse_pair, pair, good, inner_hot, bad[i], FW_ERR_ARGUMENT, "inner part's hot");
		REFUSE(refuse_pair, pair, good, outer_hot, bad[i], FW_ERR_ARGUMENT, "outer part's hot");

		REFUSE(refuse_heating, h, ring, bore, bad[i], FW_ERR_ARGUMENT, "bore");
		REFUSE(refuse_heating, h, ring, interference, bad[i], FW_ERR_ARGUMENT, "interference");
		REFUSE(refuse_heating, h, ring, clearance, bad[i], FW_ERR_ARGUMENT, "clearance");
		REFUSE(refuse_heating, h, ring, alpha, bad[i], FW_ERR_ARGUMENT, "ring's coefficient");
		REFUSE(refuse_heating, h, ring, alpha_u, bad[i], FW_ERR_ARGUMENT, "ring's coefficient");
		REFUSE(refuse_heating, h, ring, room, bad[i], FW_ERR_ARGUMENT, "measured at");
		REFUSE(refuse_heating, h, ring, shaft, bad[i], FW_ERR_ARGUMENT, "shaft's temperature");
		REFUSE(refuse_heating, h, ring, shaft_alpha, bad[i], FW_ERR_ARGUMENT,
		       "shaft's coefficient");
	}
	REFUSE(refuse_pair, pair, good, diameter, 0, FW_ERR_ARGUMENT, "diameter");
	REFUSE(refuse_pair, pair, good, interference, 0.07, FW_ERR_ARGUMENT, "less than the diameter");
	REFUSE(refuse_pair, pair, good, outer_hot, CELSIUS(400), FW_ERR_RANGE, "outer part's hot");
	REFUSE(refuse_pair, pair, good, inner, 12, FW_ERR_RANGE, "inner");
	REFUSE(refuse_heating, h, ring, bore, -0.07, FW_ERR_ARGUMENT, "bore");
	REFUSE(refuse_heating, h, ring, interference, 0, FW_ERR_ARGUMENT, "slips on cold");
	REFUSE(refuse_heating, h, ring, clearance, -1e-6, FW_ERR_ARGUMENT, "clearance");
	REFUSE(refuse_heating, h, ring, alpha_u, 6 * PPM, FW_ERR_RANGE, "too uncertain");
	REFUSE(refuse_heating, h, ring, shaft_alpha, 0, FW_ERR_RANGE, "shaft's coefficient");
	REFUSE(refuse_heating, h, ring, shaft, CELSIUS(-196), FW_ERR_RANGE, "shaft's temperature");
	assert_code(fw_thermal_fit(NULL, &good, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thermal_fit(&fit, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thermal_heat(NULL, &ring, &error), FW_ERR_ARGUMENT);
	assert_code(fw_thermal_heat(&heated, NULL, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_materials_against_callister),
	    cmocka_unit_test(test_materials_against_ranges),
	    cmocka_unit_test(test_materials_against_curves),
	    cmocka_unit_test(test_case_and_shaft),
	    cmocka_unit_test(test_one_material),
	    cmocka_unit_test(test_end_gauge),
	    cmocka_unit_test(test_fit_comes_loose),
	    cmocka_unit_test(test_bearing_in_aluminium),
	    cmocka_unit_test(test_ring_over_a_shaft),
	    cmocka_unit_test(test_heat_beyond_the_range),
	    cmocka_unit_test(test_links_refused),
	    cmocka_unit_test(test_chains_refused),
	    cmocka_unit_test(test_a_million_links),
	    cmocka_unit_test(test_fits_refused),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
