/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <string.h>

#include "check.h"
#include "fitwright/press.h"

#define INCH     0.0254
#define MM       1e-3
#define MPA      1e6
#define PSI      6894.757293168361 /* NIST SP 811 */
#define PI       3.14159265358979323846
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static const struct fw_press_part steel = {.modulus = 207e9, .poisson = 0.292};
static const struct fw_press_part steel_inch = {.modulus = 30e6 * PSI, .poisson = 0.292};
static const struct fw_press_part iron_inch = {.modulus = 14.5e6 * PSI, .poisson = 0.211};

/* Bore of the shaft, joint, outside of the hub: diameters; `u` on the diameter. */
static struct fw_press joint(double bore, double diameter, double outer, double u,
                             struct fw_press_part hub, struct fw_press_part shaft)
{
	return (struct fw_press){.diameter = diameter,
	                         .hub_outer = outer,
	                         .shaft_bore = bore,
	                         .length = diameter,
	                         .interference = u,
	                         .smoothing = 0.8,
	                         .hub = hub,
	                         .shaft = shaft,
	                         .friction = fw_press_friction()};
}

static struct fw_press_fit solve(struct fw_press press)
{
	struct fw_press_fit fit;

	assert_ok(fw_press_fit(&fit, &press, &error));
	return fit;
}

/* Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th edition, instructor's solutions
 * 3-64 to 3-67: a solid steel shaft in a steel collar of twice its diameter; pressures at the
 * greatest and least interference of H7/s6 and H7/u6. Printed to three figures. */
static void test_textbook_fits(void **state)
{
	static const struct {
		double unit, stress, diameter, shaft, hole, pressure, half;
	} row[] = {
	    {MM, MPA, 40, 40.059, 40.000, 114.5, 0.05},  {MM, MPA, 40, 40.043, 40.025, 34.9, 0.05},
	    {MM, MPA, 40, 40.076, 40.000, 147.5, 0.05},  {MM, MPA, 40, 40.060, 40.025, 67.9, 0.05},
	    {INCH, PSI, 1.5, 1.5023, 1.5000, 17250, 50}, {INCH, PSI, 1.5, 1.5017, 1.5010, 5250, 50},
	    {INCH, PSI, 1.5, 1.5030, 1.5000, 22500, 50}, {INCH, PSI, 1.5, 1.5024, 1.5010, 10500, 50},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		double d = row[i].diameter * row[i].unit;
		double u = (row[i].shaft - row[i].hole) * row[i].unit;
		struct fw_press_part part = row[i].unit == MM ? steel : steel_inch;
		assert_near(solve(joint(0.0, d, 2.0 * d, u, part, part)).pressure / row[i].stress,
		            row[i].pressure, row[i].half);
	}
}

/* The same, 3-68 (steel on steel) and 3-69 (a hub of cast iron): pressure and both hoop stresses.
 */
static void test_textbook_stresses(void **state)
{
	struct fw_press_fit same =
	    solve(joint(0.0, 1.0 * INCH, 2.0 * INCH, 0.002 * INCH, steel_inch, steel_inch));
	struct fw_press_fit iron =
	    solve(joint(0.0, 1.0 * INCH, 2.0 * INCH, 0.002 * INCH, iron_inch, steel_inch));
	(void)state;

	assert_near(same.pressure / PSI, 22500, 1.0);
	assert_near(same.hub_hoop / PSI, 37500, 1.0);
	assert_near(same.shaft_hoop / PSI, -22500, 1.0);
	assert_near(iron.pressure / PSI, 13064, 1.0);
	assert_near(iron.hub_hoop / PSI, 21770, 5.0); /* printed to four figures */
	assert_near(iron.shaft_hoop / PSI, -13064, 1.0);
}

/* The same, 5-34(b) and 5-35: von Mises stresses, solid and hollow (its surface). */
static void test_textbook_von_mises(void **state)
{
	struct fw_press_fit solid =
	    solve(joint(0.0, 2.0 * INCH, 3.0 * INCH, 0.001 * INCH, steel_inch, steel_inch));
	struct fw_press_fit hollow = solve(joint(25 * MM, 50 * MM, 75 * MM, 0.02 * MM, steel, steel));
	(void)state;

	assert_near(solid.pressure / PSI, 4167, 1.0);
	assert_near(solid.shaft_mises / PSI, 4167, 1.0);
	assert_near(solid.hub_hoop / PSI, 10830, 6.0);
	assert_near(solid.hub_mises / PSI, 13410, 6.0);
	assert_near(hollow.pressure / MPA, 19.41, 0.005);
	assert_near(hollow.shaft_hoop / MPA, -32.35, 0.01); /* from p rounded to 19.41 there */
	assert_near(hollow.shaft_skin_mises / MPA, 28.20, 0.01);
	assert_near(hollow.hub_hoop / MPA, 50.47, 0.015);
	assert_near(hollow.hub_mises / MPA, 62.48, 0.02);
	/* In a hollow shaft the bore is worse than the surface. */
	assert_near(hollow.shaft_mises / hollow.pressure, 2.0 * 2500.0 / 1875.0, 1e-9);
}

/* Two materials, hollow shafts: von Mises at the bores of shaft and hub, MPa. The first by finite
 * elements (a commercial program), the rest by Lamé's equations, as quoted in the tests of an
 * open-source program that meshes press fits (test_plane_stress_press_fit_model.py). */
static void test_finite_elements(void **state)
{
	static const struct fw_press_part st = {.modulus = 210e9, .poisson = 0.3};
	static const struct fw_press_part al = {.modulus = 68.9e9, .poisson = 0.33};
	static const struct {
		double bore, joint, outer, u;
		bool steel_inside;
		double shaft, hub;
	} row[] = {{0.02, 0.03, 0.05, 0.0001, true, 257.6, 197.79},
	           {0.4, 0.5, 0.6, 0.0001, true, 10.53, 11.57},
	           {0.4, 0.5, 0.6, 0.0001, false, 12.46, 13.7},
	           {3.0, 5.0, 7.0, 0.002, true, 21.47, 25.32},
	           {3.0, 5.0, 7.0, 0.002, false, 29.65, 34.97}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_press_fit fit =
		    solve(joint(row[i].bore, row[i].joint, row[i].outer, row[i].u,
		                row[i].steel_inside ? al : st, row[i].steel_inside ? st : al));
		assert_near(fit.shaft_mises / MPA / row[i].shaft, 1.0, 0.002);
		assert_near(fit.hub_mises / MPA / row[i].hub, 1.0, 0.002);
	}
}

/* Published worked examples on the web, solid shaft, one steel of 210 GPa: d, D, length, U in mm,
 * friction; pressure and hub hoop in MPa, force in kN, torque in N·m. */
static void test_grip(void **state)
{
	static const struct {
		double d, outer, length, u, mu, pressure, hoop, force, torque;
	} row[] = {{100, 150, 50, 0.1, 0.15, 58.3, 151.7, NAN, 6870},
	           {50, 80, 40, 0.04, 0.12, 51.2, 117, 38.6, 965}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_press_part part = {.modulus = 210e9, .poisson = 0.3};
		struct fw_press press =
		    joint(0.0, row[i].d * MM, row[i].outer * MM, row[i].u * MM, part, part);
		press.length = row[i].length * MM;
		press.friction = (struct fw_press_range){0.05, row[i].mu, 0.3};
		struct fw_press_fit fit = solve(press);
		assert_near(fit.pressure / MPA, row[i].pressure, 0.06);
		assert_near(fit.hub_hoop / MPA, row[i].hoop, row[i].hoop > 120 ? 0.06 : 0.6);
		assert_near(fit.torque.usual, row[i].torque, 5.0);
		if (!isnan(row[i].force))
			assert_near(fit.force.usual / 1e3, row[i].force, 0.06);
		assert_near(fit.torque.low / fit.torque.usual, 0.05 / row[i].mu, 1e-12);
		assert_near(fit.torque.high / fit.torque.usual, 0.3 / row[i].mu, 1e-12);
	}
}

/* Radial displacement at the loaded face of a ring for a pressure of 1: u'' + u'/r - u/r² = 0 by
 * finite differences on `CELLS` cells, stress E/(1-v²)·(u' + v·u/r) on the faces (second order, one
 * cell beyond each face), solved by elimination. */
#define CELLS 4000

static double face_displacement(double inner, double outer, double modulus, double poisson,
                                bool loaded_inside)
{
	static double low[CELLS + 3], mid[CELLS + 3], up[CELLS + 3], right[CELLS + 3];
	double h = (outer - inner) / CELLS, stiff = modulus / (1.0 - poisson * poisson);
	size_t last = CELLS + 2;

	for (size_t i = 1; i < last; i++) {
		double r = inner + h * ((double)i - 1.0);
		low[i] = 1.0 / (h * h) - 1.0 / (2.0 * h * r);
		mid[i] = -2.0 / (h * h) - 1.0 / (r * r);
		up[i] = 1.0 / (h * h) + 1.0 / (2.0 * h * r);
		right[i] = 0.0;
	}
	/* Face rows: -a·u[0] + b·u[1] + a·u[2] = load; u[2] and the last but two go by the next row. */
	double a = stiff / (2.0 * h), b = stiff * poisson / inner;
	double factor = a / up[1];
	low[0] = 0.0;
	mid[0] = -a - factor * low[1];
	up[0] = b - factor * mid[1];
	right[0] = loaded_inside ? -1.0 : 0.0;
	b = stiff * poisson / outer;
	factor = -a / low[last - 1];
	low[last] = b - factor * mid[last - 1];
	mid[last] = a - factor * up[last - 1];
	up[last] = 0.0;
	right[last] = loaded_inside ? 0.0 : -1.0;
	for (size_t i = 1; i <= last; i++) {
		double w = low[i] / mid[i - 1];
		mid[i] -= w * up[i - 1];
		right[i] -= w * right[i - 1];
	}
	right[last] /= mid[last];
	for (size_t i = last; i-- > 0;)
		right[i] = (right[i] - up[i] * right[i + 1]) / mid[i];
	return right[loaded_inside ? 1 : last - 1];
}

/* The differential equation of the thick cylinder itself, solved by finite differences. */
static void test_differential_equation(void **state)
{
	static const struct {
		double bore, d, outer, e_hub, v_hub, e_shaft, v_shaft;
	} row[] = {{20, 50, 80, 207e9, 0.29, 207e9, 0.29},
	           {10, 50, 60, 70e9, 0.33, 207e9, 0.29},
	           {40, 50, 200, 100e9, 0.21, 110e9, 0.34},
	           {49, 50, 51, 207e9, 0.29, 70e9, 0.33},
	           {5, 30, 45, 45e9, 0.35, 207e9, 0.0}};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		double u = 0.03 * MM, d = row[i].d * MM;
		struct fw_press_part hub = {.modulus = row[i].e_hub, .poisson = row[i].v_hub};
		struct fw_press_part shaft = {.modulus = row[i].e_shaft, .poisson = row[i].v_shaft};
		double opens =
		    face_displacement(d / 2.0, row[i].outer * MM / 2.0, hub.modulus, hub.poisson, true);
		double closes =
		    face_displacement(row[i].bore * MM / 2.0, d / 2.0, shaft.modulus, shaft.poisson, false);
		struct fw_press_fit fit =
		    solve(joint(row[i].bore * MM, d, row[i].outer * MM, u, hub, shaft));
		assert_true(opens > 0.0 && closes < 0.0);
		assert_near(fit.pressure * (opens - closes) / (u / 2.0), 1.0, 1e-4);
	}
}

/* A thin ring on a shaft that doesn't give: strain U/d, pressure 2·t·stress/d. */
static void test_thin_ring(void **state)
{
	struct fw_press_part ring = {.modulus = 207e9, .poisson = 0.3};
	struct fw_press_part rigid = {.modulus = 1e18, .poisson = 0.3};
	double d = 0.1, wall = 0.0001, u = 0.0001;
	struct fw_press_fit fit = solve(joint(0.0, d, d + 2.0 * wall, u, ring, rigid));
	(void)state;

	assert_near(fit.hub_hoop / (207e9 * u / d), 1.0, 0.003);
	assert_near(fit.pressure / (2.0 * wall * 207e9 * u / d / d), 1.0, 0.003);
}

/* Lamé: hoop and radial stress add up to the same everywhere in a part; Tresca is their difference;
 * the outside grows by its hoop strain. */
static void test_identities(void **state)
{
	struct fw_press_fit fit = solve(joint(20 * MM, 50 * MM, 80 * MM, 0.03 * MM, steel, steel));
	double outside = fit.hub_growth / (80 * MM) * 207e9; /* hoop there, radial is nil */
	double bore = fit.shaft_shrink / (20 * MM) * 207e9;
	(void)state;

	assert_near(outside, fit.hub_hoop - fit.pressure, 1e-6 * fit.pressure);
	assert_near(-bore, fit.shaft_hoop - fit.pressure, 1e-6 * fit.pressure);
	assert_near(fit.hub_tresca, fit.hub_hoop + fit.pressure, 1e-6 * fit.pressure);
	/* Equal materials: what the hub gives and the shaft gives is the interference. */
	double hub = (fit.hub_hoop + 0.292 * fit.pressure) / 207e9;
	double shaft = (fit.shaft_hoop + 0.292 * fit.pressure) / 207e9;
	assert_near((hub - shaft) * 50 * MM, 0.03 * MM, 1e-12);
	/* A tiny bore doubles the stress in its edge, whatever the pressure. */
	fit = solve(joint(0.001 * MM, 50 * MM, 80 * MM, 0.03 * MM, steel, steel));
	assert_near(fit.shaft_tresca / fit.pressure, 2.0, 1e-6);
}

/* Interference after smoothing and warming, by hand: 60 - 0.8·(6 + 4) = 52 µm; an aluminium hub
 * (23.6e-6, Callister, table B.6) and a steel shaft (11.7e-6), 50 mm, 80 K warmer, open by
 * 0.05·80·11.9e-6 = 47.6 µm. */
static void test_what_is_left(void **state)
{
	struct fw_press press = joint(0.0, 50 * MM, 80 * MM, 60e-6, steel, steel);
	struct fw_press_fit fit;
	(void)state;

	press.roughness = 10e-6;
	assert_near(solve(press).interference, 52e-6, 1e-15);
	press.smoothing = 0.4;
	assert_near(solve(press).interference, 56e-6, 1e-15);
	press.hub.expansion = 23.6e-6;
	press.shaft.expansion = 11.7e-6;
	press.smoothing = 0.8;
	press.warming = 80.0;
	fit = solve(press);
	assert_near(fit.interference, 4.4e-6, 1e-12);
	press.warming = 100.0;
	fit = solve(press);
	assert_near(fit.interference, -7.5e-6, 1e-12);
	assert_near(fit.pressure, 0.0, 0.0);
	assert_near(fit.torque.high, 0.0, 0.0);
	assert_near(fit.hub_hoop, 0.0, 0.0);
	press.warming = -20.0; /* cold: tighter */
	assert_near(solve(press).interference, (52.0 + 11.9) * 1e-6, 1e-12);
}

static void test_share_of_yield(void **state)
{
	struct fw_press press = joint(0.0, 50 * MM, 80 * MM, 60e-6, steel, steel);
	struct fw_press_fit fit = solve(press);
	(void)state;

	assert_true(isnan(fit.hub_share) && isnan(fit.shaft_share));
	press.hub.yield = fit.hub_tresca;
	press.shaft.yield = 2.0 * fit.pressure;
	fit = solve(press);
	assert_near(fit.hub_share, 1.0, 1e-12);
	assert_near(fit.shaft_share, 0.5, 1e-12);
	assert_true(fit.hub_mises < fit.hub_tresca);
}

/* 50 mm, 60 µm tight, 50 µm to spare, steel of 11.7e-6: 110e-6/(11.7e-6·0.05) = 188 K. */
static void test_heating(void **state)
{
	double rise = 0.0;
	(void)state;

	assert_ok(fw_press_heating(&rise, 50 * MM, 60e-6, 50e-6, 11.7e-6, &error));
	assert_near(rise, 188.03, 0.01);
	assert_code(fw_press_heating(NULL, 0.05, 6e-5, 0.0, 1e-5, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_heating(&rise, 0.0, 6e-5, 0.0, 1e-5, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_heating(&rise, 0.05, NAN, 0.0, 1e-5, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_heating(&rise, 0.05, 6e-5, -1.0, 1e-5, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_heating(&rise, 0.05, 6e-5, 0.0, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_heating(&rise, 0.05, 6e-5, 0.0, 1e-320, &error), FW_ERR_RANGE);
	assert_ok(fw_press_heating(&rise, 0.05, 0.99e-3, 0.99e-3, 1e-5, &error));
	assert_code(fw_press_heating(&rise, 0.05, 1.01e-3, 0.0, 1e-5, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_heating(&rise, 0.05, 0.0, 1.01e-3, 1e-5, &error), FW_ERR_ARGUMENT);
}

static void refuse(const struct fw_press *press, const char *says)
{
	struct fw_press_fit fit = {.pressure = 42.0};

	assert_code(fw_press_fit(&fit, press, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_near(fit.pressure, 42.0, 0.0);
}

/* Each value of the struct set to what can't be, one at a time. */
static void test_bad_values(void **state)
{
	const double bad[] = {NAN, INFINITY, -INFINITY, -1.0};
	struct fw_press good = joint(20 * MM, 50 * MM, 80 * MM, 60e-6, steel, steel);
	struct fw_press p = good;
	struct {
		double *field;
		const char *says;
	} row[] = {{&p.diameter, "diameter"},
	           {&p.hub_outer, "outside of the hub"},
	           {&p.shaft_bore, "bore of the shaft"},
	           {&p.length, "length"},
	           {&p.roughness, "roughness"},
	           {&p.smoothing, "smoothed"},
	           {&p.hub.modulus, "modulus of the hub"},
	           {&p.hub.poisson, "Poisson's ratio of the hub"},
	           {&p.hub.yield, "yield stress of the hub"},
	           {&p.shaft.modulus, "modulus of the shaft"},
	           {&p.shaft.poisson, "Poisson's ratio of the shaft"},
	           {&p.shaft.yield, "yield stress of the shaft"},
	           {&p.friction.low, "friction"},
	           {&p.friction.usual, "friction"},
	           {&p.friction.high, "friction"}};
	(void)state;

	solve(good);
	for (size_t i = 0; i < COUNT(row); i++)
		for (size_t k = 0; k < COUNT(bad); k++) {
			p = good;
			*row[i].field = bad[k];
			refuse(&p, row[i].says);
		}
	p = good;
	p.interference = NAN;
	refuse(&p, "interference");
	p = good;
	p.warming = INFINITY;
	refuse(&p, "warming");
	p = good;
	p.hub.expansion = NAN;
	refuse(&p, "expansion of the hub");
	p = good;
	p.shaft.expansion = INFINITY;
	refuse(&p, "expansion of the shaft");
}

static void test_impossible_parts(void **state)
{
	struct fw_press good = joint(20 * MM, 50 * MM, 80 * MM, 60e-6, steel, steel);
	struct fw_press p = good;
	struct fw_press_fit fit;
	(void)state;

	p.hub_outer = 50 * MM;
	refuse(&p, "larger than the shaft");
	p.hub_outer = 40 * MM;
	refuse(&p, "larger than the shaft");
	p = good;
	p.shaft_bore = 50 * MM;
	refuse(&p, "smaller than the shaft");
	p.shaft_bore = 60 * MM;
	refuse(&p, "smaller than the shaft");
	p = good;
	p.hub.poisson = 0.5;
	refuse(&p, "Poisson");
	p = good;
	p.friction.usual = 0.3;
	refuse(&p, "friction");
	p = good;
	p.friction.high = 1.0;
	refuse(&p, "friction");
	p = good;
	p.interference = 60 * MM; /* µm typed as mm */
	assert_code(fw_press_fit(&fit, &p, &error), FW_ERR_RANGE);
	assert_contains(error.text, "unit");
	p = good;
	p.length = 1e308;
	assert_code(fw_press_fit(&fit, &p, &error), FW_ERR_RANGE);
	assert_code(fw_press_fit(&fit, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_press_fit(NULL, &good, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_textbook_fits),
	    cmocka_unit_test(test_textbook_stresses),
	    cmocka_unit_test(test_textbook_von_mises),
	    cmocka_unit_test(test_finite_elements),
	    cmocka_unit_test(test_grip),
	    cmocka_unit_test(test_differential_equation),
	    cmocka_unit_test(test_thin_ring),
	    cmocka_unit_test(test_identities),
	    cmocka_unit_test(test_what_is_left),
	    cmocka_unit_test(test_share_of_yield),
	    cmocka_unit_test(test_heating),
	    cmocka_unit_test(test_bad_values),
	    cmocka_unit_test(test_impossible_parts),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
