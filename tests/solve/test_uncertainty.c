/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Uncertainty that follows arithmetic, by published worked examples: JCGM 100:2008 (annexes G and
 * H), JCGM 101:2008, and the EURACHEM / CITAC guide QUAM:2012. */
#include "check.h"

#include <stdio.h>
#include <string.h>

#include "fitwright/measure.h"
#include "fitwright/quantity.h"
#include "fitwright/readings.h"

static struct fw_error error;

typedef struct fw_quantity quantity;

static quantity make(double value, const char *unit)
{
	quantity q = {0};

	assert_ok(fw_quantity_make(&q, value, fw_unit_find(unit, strlen(unit)), &error));
	return q;
}

/* With a standard uncertainty of a source of its own, counted in the same unit. */
static quantity uncertain(double value, const char *unit, double u, const char *source,
                          double freedom)
{
	quantity q = make(value, unit);
	double factor = fw_unit_find(unit, strlen(unit))->factor;

	assert_ok(fw_quantity_add_term(&q, fw_source_name(source), u * factor, freedom, &error));
	return q;
}

/* A plain number with a rectangle or a triangle of half-width a about it (JCGM 100:2008, 4.3.7 and
 * 4.4.6). */
static quantity rectangle(double value, double a, const char *source)
{
	return uncertain(value, "1", a / sqrt(3), source, INFINITY);
}

static quantity triangle(double value, double a, const char *source)
{
	return uncertain(value, "1", a / sqrt(6), source, INFINITY);
}

static quantity add(quantity a, quantity b)
{
	assert_ok(fw_quantity_add(&a, &a, &b, &error));
	return a;
}

static quantity sub(quantity a, quantity b)
{
	assert_ok(fw_quantity_sub(&a, &a, &b, &error));
	return a;
}

static quantity mul(quantity a, quantity b)
{
	assert_ok(fw_quantity_mul(&a, &a, &b, &error));
	return a;
}

static quantity divide(quantity a, quantity b)
{
	assert_ok(fw_quantity_div(&a, &a, &b, &error));
	return a;
}

static quantity scale(quantity a, double factor)
{
	assert_ok(fw_quantity_scale(&a, &a, factor, &error));
	return a;
}

/* The magnitude of what one source gives. */
static double share(const quantity *q, const char *source)
{
	for (size_t i = 0; i < q->count; i++)
		if (q->terms[i].source == fw_source_name(source))
			return fabs(q->terms[i].u);
	return 0.0;
}

/* G.4.1: y = b·x1·x2·x3 with relative u of 0.25, 0.57 and 0.82 % from 10, 5 and 15 readings: 1.03 %
 * with 19.0 effective degrees of freedom, t95 = 2.09, U = 2.2 %. */
static void test_gum_g_4_1(void **state)
{
	(void)state;
	quantity y = mul(mul(uncertain(40, "1", 0.10, "x1", 9), uncertain(7, "1", 0.0399, "x2", 4)),
	                 uncertain(0.25, "1", 0.00205, "x3", 14));
	struct fw_readings_budget b;

	assert_near(fw_quantity_u(&y) / y.value, 0.0103, 0.00005);
	assert_near(fw_quantity_freedom(&y), 19.0, 0.05);
	/* The same degrees of freedom by the solver's budget: twenty readings have 19. */
	struct fw_readings twenty = {.count = 20, .mean = 1, .sd = 0.0103 * sqrt(20)};
	assert_ok(fw_readings_budget(&b, &twenty, 0, 0, 0.95, &error));
	assert_near(b.coverage, 2.09, 0.005);
	assert_near(b.expanded, 0.022, 0.0005);
}

/* H.1, an end gauge compared with a standard of 50 mm:
 *
 *     l = ls + d - ls·(da·t + as·dt)
 *
 * Printed: u(d) 9.7 nm with 25.6 degrees of freedom; contributions of 25, 9.7, 2.9 and 16.6 nm; l =
 * 50.000 838 mm, u = 32 nm, 16.7 degrees of freedom, U99 = 2.92·32 = 93 nm. */
static void test_gum_h_1(void **state)
{
	(void)state;
	quantity kelvin = make(1, "K");
	quantity ls = uncertain(50.000623, "mm", 25e-6, "standard", 18);
	quantity d = uncertain(215e-6, "mm", 13e-6 / sqrt(5), "repeated observations", 24);
	quantity random = uncertain(0, "mm", 10e-6 / 2.57, "random effects of comparator", 5);
	quantity systematic = uncertain(0, "mm", 20e-6 / 3, "systematic effects of comparator", 8);
	quantity da = divide(uncertain(0, "1", 1e-6 / sqrt(3), "difference of expansion", 50), kelvin);
	quantity t = add(uncertain(-0.1, "K", 0.2, "mean temperature", INFINITY),
	                 uncertain(0, "K", 0.5 / sqrt(2), "cycling temperature", INFINITY));
	quantity as = divide(uncertain(11.5e-6, "1", 2e-6 / sqrt(3), "expansion", INFINITY), kelvin);
	quantity dt = uncertain(0, "K", 0.05 / sqrt(3), "difference of temperature", 2);

	d = add(add(d, random), systematic);
	assert_near(fw_quantity_u(&d), 9.7e-9, 0.05e-9);
	assert_near(fw_quantity_freedom(&d), 25.6, 0.05);

	quantity l = sub(add(ls, d), mul(ls, add(mul(da, t), mul(as, dt))));
	assert_near(l.value, 50.000838e-3, 0.5e-9);
	assert_near(share(&l, "standard"), 25e-9, 0.05e-9);
	assert_near(share(&l, "difference of expansion"), 2.9e-9, 0.05e-9);
	assert_near(share(&l, "difference of temperature"), 16.6e-9, 0.05e-9);
	/* to first order nothing comes from what multiplies a mean of zero */
	assert_near(share(&l, "mean temperature"), 0, 0);
	assert_near(share(&l, "expansion"), 0, 0);
	assert_near(fw_quantity_u(&l), 32e-9, 0.5e-9);
	assert_near(fw_quantity_u(&l) * fw_quantity_u(&l), 1002e-18, 1e-18); /* 1002 nm² */
	assert_near(fw_quantity_freedom(&l), 16.7, 0.05);
}

/* H.2: five sets of voltage, current and phase, read at once. */
enum { SETS = 5 };
static const double volts[SETS] = {5.007, 4.994, 5.005, 4.990, 4.999};
static const double amperes[SETS] = {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3};
static const double phases[SETS] = {1.0456, 1.0438, 1.0468, 1.0428, 1.0433};

static double covariance(const double *x, const double *y)
{
	double mx = 0, my = 0, sum = 0;

	for (int i = 0; i < SETS; i++) {
		mx += x[i] / SETS;
		my += y[i] / SETS;
	}
	for (int i = 0; i < SETS; i++)
		sum += (x[i] - mx) * (y[i] - my);
	return sum / (SETS * (SETS - 1));
}

/* value + Σ coefficient·(a source of its own with u = 1), any sign. */
static quantity with_sources(double value, const double coefficient[3])
{
	static const char *const names[] = {"first", "second", "third"};
	quantity q = make(value, "1");

	for (int i = 0; i < 3; i++)
		q = add(q, scale(uncertain(0, "1", 1, names[i], 4), coefficient[i]));
	return q;
}

/* Correlated means as sums of three sources of their own: the Cholesky factor of their covariances.
 */
static void correlated_means(quantity mean[3])
{
	const double *const series[] = {volts, amperes, phases};
	double factor[3][3] = {{0}};

	for (int i = 0; i < 3; i++) {
		double value = 0;
		for (int j = 0; j <= i; j++) {
			double rest = covariance(series[i], series[j]);
			for (int k = 0; k < j; k++)
				rest -= factor[i][k] * factor[j][k];
			factor[i][j] = i == j ? sqrt(rest) : rest / factor[j][j];
		}
		for (int k = 0; k < SETS; k++)
			value += series[i][k] / SETS;
		mean[i] = with_sources(value, factor[i]);
	}
}

static double correlation(const quantity *a, const quantity *b)
{
	double sum = 0;

	for (size_t i = 0; i < a->count; i++)
		for (size_t j = 0; j < b->count; j++)
			if (a->terms[i].source == b->terms[j].source)
				sum += a->terms[i].u * b->terms[j].u;
	return sum / (fw_quantity_u(a) * fw_quantity_u(b));
}

/* f(q) with its slope there, for a function that the room doesn't have. */
static quantity along(quantity q, double value, double slope)
{
	return add(make(value, "1"), scale(sub(q, make(q.value, "1")), slope));
}

/* H.2: R = 127.732 ± 0.071, X = 219.847 ± 0.295, Z = 254.260 ± 0.236 ohm,
 * correlated by -0.588, -0.485 and 0.993; means correlated by -0.36, 0.86 and -0.65. Neglecting
 * these gives u of 0.195, 0.201 and 0.204. */
static void test_gum_h_2(void **state)
{
	(void)state;
	quantity mean[3];

	correlated_means(mean);
	assert_near(mean[0].value, 4.9990, 0.00005);
	assert_near(mean[1].value, 19.6610e-3, 0.00005e-3);
	assert_near(mean[2].value, 1.04446, 0.000005);
	assert_near(fw_quantity_u(&mean[0]), 0.0032, 0.00005);
	assert_near(fw_quantity_u(&mean[1]), 0.0095e-3, 0.00005e-3);
	assert_near(fw_quantity_u(&mean[2]), 0.00075, 0.000005);
	assert_near(correlation(&mean[0], &mean[1]), -0.36, 0.005);
	assert_near(correlation(&mean[0], &mean[2]), 0.86, 0.005);
	assert_near(correlation(&mean[1], &mean[2]), -0.65, 0.005);

	double phi = mean[2].value;
	quantity z = divide(mean[0], mean[1]);
	quantity r = mul(z, along(mean[2], cos(phi), -sin(phi)));
	quantity x = mul(z, along(mean[2], sin(phi), cos(phi)));
	assert_near(r.value, 127.732, 0.0005);
	assert_near(x.value, 219.847, 0.0005);
	assert_near(z.value, 254.260, 0.0005);
	assert_near(fw_quantity_u(&r), 0.071, 0.0005);
	assert_near(fw_quantity_u(&x), 0.295, 0.0007); /* 0.2956; the guide prints it cut */
	assert_near(fw_quantity_u(&z), 0.236, 0.0005);
	assert_near(correlation(&r, &x), -0.588, 0.0005);
	assert_near(correlation(&r, &z), -0.485, 0.0005);
	assert_near(correlation(&x, &z), 0.993, 0.0005);
	/* Z is the root of R² + X², with all its correlation. */
	quantity squares = add(mul(r, r), mul(x, x)), root;
	assert_ok(fw_quantity_sqrt(&root, &squares, &error));
	assert_near(root.value, 254.260, 0.0005);
	assert_near(fw_quantity_u(&root), 0.236, 0.0005);
}

static void test_gum_h_2_neglecting_correlation(void **state)
{
	(void)state;
	quantity v = uncertain(4.9990, "1", sqrt(covariance(volts, volts)), "v", 4);
	quantity i = uncertain(19.6610e-3, "1", sqrt(covariance(amperes, amperes)), "i", 4);
	quantity phi = uncertain(1.04446, "1", sqrt(covariance(phases, phases)), "phi", 4);
	quantity z = divide(v, i);
	quantity r = mul(z, along(phi, cos(phi.value), -sin(phi.value)));
	quantity x = mul(z, along(phi, sin(phi.value), cos(phi.value)));

	assert_near(fw_quantity_u(&r), 0.195, 0.0005);
	assert_near(fw_quantity_u(&x), 0.201, 0.0005);
	assert_near(fw_quantity_u(&z), 0.204, 0.0005);
	assert_near(correlation(&r, &x), 0.056, 0.0005);
	assert_near(correlation(&r, &z), 0.527, 0.0005);
	assert_near(correlation(&x, &z), 0.878, 0.0005);
}

/* H.2, second approach: each set worked out by itself, and the mean of the five taken, gives the same. */
static void test_gum_h_2_set_by_set(void **state)
{
	(void)state;
	quantity r[SETS], x[SETS], z[SETS], mean;

	for (int k = 0; k < SETS; k++) {
		double impedance = volts[k] / amperes[k];
		r[k] = make(impedance * cos(phases[k]), "1");
		x[k] = make(impedance * sin(phases[k]), "1");
		z[k] = make(impedance, "1");
	}
	assert_ok(fw_measure_combine(&mean, r, SETS, NULL, "r", &error));
	assert_near(mean.value, 127.732, 0.0005);
	assert_near(fw_quantity_u(&mean), 0.071, 0.0005);
	assert_near(fw_quantity_freedom(&mean), 4, 1e-9);
	assert_ok(fw_measure_combine(&mean, x, SETS, NULL, "x", &error));
	assert_near(mean.value, 219.847, 0.0005);
	assert_near(fw_quantity_u(&mean), 0.295, 0.0005);
	assert_ok(fw_measure_combine(&mean, z, SETS, NULL, "z", &error));
	assert_near(mean.value, 254.260, 0.0005);
	assert_near(fw_quantity_u(&mean), 0.236, 0.0005);
}

/* JCGM 101:2008, 9.2: sums of four quantities of u = 1 have u = 2, and 10.1 when one has u = 10. */
static void test_jcgm_101_additive(void **state)
{
	(void)state;
	quantity sum = add(add(rectangle(0, sqrt(3), "a"), rectangle(0, sqrt(3), "b")),
	                   rectangle(0, sqrt(3), "c"));
	quantity even = add(sum, rectangle(0, sqrt(3), "d"));
	quantity uneven = add(sum, rectangle(0, 10 * sqrt(3), "d"));

	assert_near(fw_quantity_u(&even), 2.00, 1e-12);
	assert_near(fw_quantity_u(&uneven), 10.1, 0.05);
}

/* EURACHEM / CITAC guide QUAM:2012, example A1, a calibration standard: 1000·m·P/V. Figures without
 * the guide's own rounding as in the documentation of the open-source library GTC: 1002.7 mg/l, u =
 * 0.835199. */
static void test_quam_a1(void **state)
{
	(void)state;
	quantity p = rectangle(0.9999, 0.0001, "purity");
	quantity m = uncertain(100.28, "1", 0.05, "mass", INFINITY);
	quantity v = add(add(triangle(100, 0.1, "flask"), uncertain(0, "1", 0.02, "filling", INFINITY)),
	                 rectangle(0, 0.084, "temperature"));
	quantity c = divide(mul(scale(m, 1000), p), v);

	assert_near(c.value, 1002.7, 0.05);
	assert_near(fw_quantity_u(&c), 0.835199, 5e-7);
	assert_near(share(&c, "mass"), 0.49995, 5e-6);
	assert_near(share(&c, "temperature"), 0.486284, 5e-7);
	assert_near(share(&c, "flask"), 0.40935, 5e-6);
	assert_near(share(&c, "filling"), 0.20054, 5e-6);
	assert_near(share(&c, "purity"), 0.0578967, 5e-8);
}

/* Molar mass of C8H5O4K: an element counted eight times errs eight times alike. */
static quantity molar_mass(void)
{
	quantity carbon = rectangle(12.0107, 0.0008, "carbon");
	quantity hydrogen = rectangle(1.00794, 0.00007, "hydrogen");
	quantity oxygen = rectangle(15.9994, 0.0003, "oxygen");
	quantity potassium = rectangle(39.0983, 0.0001, "potassium");
	quantity sum = potassium;

	for (int i = 0; i < 8; i++)
		sum = add(sum, carbon);
	for (int i = 0; i < 5; i++)
		sum = add(sum, hydrogen);
	return add(sum, scale(oxygen, 4));
}

/* Mass by difference of two weighings, each with the balance's linearity. */
static quantity mass(void)
{
	return sub(add(make(0.3888, "1"), rectangle(0, 0.15e-3, "gross")),
	           rectangle(0, 0.15e-3, "tare"));
}

/* QUAM:2012, example A2, sodium hydroxide standardised; GTC: 0.102136159706 mol/l, u =
 * 0.000100500722124. */
static void test_quam_a2(void **state)
{
	(void)state;
	quantity volume = add(add(make(18.64, "1"), triangle(0, 0.03, "burette")),
	                      uncertain(0, "1", 0.006, "temperature", INFINITY));
	quantity top = mul(scale(mass(), 1000), rectangle(1, 0.0005, "purity"));
	quantity c = divide(mul(uncertain(1, "1", 0.0005, "repeatability", INFINITY), top),
	                    mul(molar_mass(), volume));

	assert_near(c.value, 0.102136159706, 1e-12);
	assert_near(fw_quantity_u(&c), 0.000100500722124, 5e-16);
	assert_near(share(&c, "burette"), 6.71088e-5, 5e-11);
	assert_near(share(&c, "carbon"), 1.84798e-6, 5e-12);
	assert_near(share(&c, "gross"), share(&c, "tare"), 1e-18);
}

/* QUAM:2012, example A3, an acid titrated; GTC: 0.10139 mol/l, u = 0.0001843; with the
 * repeatability of a mean of three 0.00016; 0.10132 and 0.0003096 when moreover the colour turns
 * 0.05 ± 0.03 ml late in both titrations. */
static void test_quam_a3(void **state)
{
	(void)state;
	double warm = 2.1e-4 * 4;
	quantity t2 = add(add(make(14.89, "1"), triangle(0, 0.03, "burette 2")),
	                  rectangle(0, 15 * warm, "temperature 2"));
	quantity t1 = add(add(make(18.64, "1"), triangle(0, 0.03, "burette 1")),
	                  rectangle(0, 19 * warm, "temperature 1"));
	quantity acid = add(add(make(15, "1"), triangle(0, 0.02, "pipette")),
	                    rectangle(0, 15 * warm, "temperature of acid"));
	quantity once = uncertain(1, "1", 0.001, "repeatability", INFINITY);
	quantity thrice = uncertain(1, "1", 0.001 / sqrt(3), "repeatability", INFINITY);
	quantity top = mul(scale(mass(), 1000), rectangle(1, 0.0005, "purity"));
	quantity c = mul(once, divide(mul(top, t2), mul(mul(molar_mass(), t1), acid)));

	assert_near(c.value, 0.10139, 5e-6);
	assert_near(fw_quantity_u(&c), 0.0001843, 0.0000001);
	assert_near(share(&c, "burette 2"), 8.33938e-5, 5e-11);

	c = mul(thrice, divide(mul(top, t2), mul(mul(molar_mass(), t1), acid)));
	assert_near(fw_quantity_u(&c), 0.00016, 0.000005);
	t1 = sub(t1, uncertain(0.05, "1", 0.03, "turn 1", INFINITY));
	t2 = sub(t2, uncertain(0.05, "1", 0.03, "turn 2", INFINITY));
	assert_near(fw_quantity_u(&t1), 0.033688, 0.000001);
	assert_near(fw_quantity_u(&t2), 0.033210, 0.000001);
	c = mul(thrice, divide(mul(top, t2), mul(mul(molar_mass(), t1), acid)));
	assert_near(c.value, 0.10132, 5e-6);
	assert_near(fw_quantity_u(&c), 0.0003096, 0.0000001);
}

/* JCGM 100:2008, 5.2.2, example (from memory): ten resistors calibrated against one standard err alike, so their
 * sum of 10 kΩ has 10·0.1 Ω = 1 Ω, not √10·0.1 = 0.32 Ω. */
static void test_gum_ten_resistors(void **state)
{
	(void)state;
	quantity alike = make(0, "1"), apart = make(0, "1");

	for (int i = 0; i < 10; i++) {
		char name[16];
		snprintf(name, sizeof name, "standard %d", i);
		alike = add(alike, uncertain(1000, "1", 0.1, "standard", INFINITY));
		apart = add(apart, uncertain(1000, "1", 0.1, name, INFINITY));
	}
	assert_near(fw_quantity_u(&alike), 1.0, 1e-12);
	assert_near(fw_quantity_u(&apart), 0.32, 0.005);
}

/* What cancels leaves nothing; what is too much is refused, not cut. */
static void test_edges(void **state)
{
	(void)state;
	quantity x = uncertain(3, "mm", 0.01, "gauge", 5), y = uncertain(2, "mm", 0.02, "other", 5);
	quantity nothing = sub(mul(x, y), mul(y, x)), one = divide(mul(x, y), mul(y, x));
	quantity many = make(0, "mm"), huge = uncertain(1, "1", 1e200, "huge", 1);

	assert_near(nothing.value, 0, 0);
	assert_int_equal(nothing.count, 0);
	assert_near(one.value, 1, 0);
	assert_int_equal(one.count, 0);
	for (int i = 0; i < FW_TERMS; i++) {
		char name[16];
		snprintf(name, sizeof name, "%d", i);
		many = add(many, uncertain(1, "mm", 0.1, name, 1));
	}
	assert_near(fw_quantity_u(&many), 0.1e-3 * sqrt(FW_TERMS), 1e-15);
	assert_near(fw_quantity_freedom(&many), FW_TERMS, 1e-9); /* equal shares add up */
	assert_code(fw_quantity_add(&many, &many, &x, &error), FW_ERR_RANGE);
	assert_contains(error.text, "sources");
	assert_int_equal(many.count, FW_TERMS); /* untouched */
	huge = scale(huge, 1e100);
	assert_near(fw_quantity_u(&huge), 1e300, 1e285); /* no square overflows */
	assert_code(fw_quantity_scale(&huge, &huge, 1e100, &error), FW_ERR_RANGE);
	assert_code(fw_quantity_mul(&huge, &huge, &huge, &error), FW_ERR_RANGE);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_gum_g_4_1),
	    cmocka_unit_test(test_gum_h_1),
	    cmocka_unit_test(test_gum_h_2),
	    cmocka_unit_test(test_gum_h_2_neglecting_correlation),
	    cmocka_unit_test(test_gum_h_2_set_by_set),
	    cmocka_unit_test(test_jcgm_101_additive),
	    cmocka_unit_test(test_quam_a1),
	    cmocka_unit_test(test_quam_a2),
	    cmocka_unit_test(test_quam_a3),
	    cmocka_unit_test(test_gum_ten_resistors),
	    cmocka_unit_test(test_edges),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
