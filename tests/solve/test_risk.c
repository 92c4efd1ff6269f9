/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acceptance limits and risks, by the worked examples of JCGM 106:2012, closed forms, mpmath and
 * simulation. */
#include "check.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <string.h>

#include "fitwright/risk.h"

#define PI       3.14159265358979323846
#define NORMAL   INFINITY
#define OPEN     INFINITY
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

static struct fw_limits limits(double min, double max)
{
	return (struct fw_limits){min, max, NAN};
}

static struct fw_global_risk global(double mean, double sd, double u, struct fw_limits tolerance,
                                    struct fw_limits acceptance)
{
	struct fw_process process = {mean, sd};
	struct fw_global_risk risk;

	assert_ok(fw_risk_global(&risk, &process, u, &tolerance, &acceptance, &error));
	/* What is accepted is conforming or not, and what conforms is accepted or not. */
	assert_near(risk.accepted - risk.consumer, risk.conforming - risk.producer, 1e-13);
	return risk;
}

/* JCGM 106:2012, 9.5.3: resistors of 1500 ohm, tolerance 0.2, process with sd 0.12, u = 0.04, guard
 * bands of 0.02: R_C = 0.01, R_P = 0.07; 90 % conform. */
static void test_jcgm_106_resistors(void **state)
{
	struct fw_limits tolerance = limits(1499.8, 1500.2), acceptance;
	(void)state;

	/* 0.02 is r = 0.25 of U = 0.08. */
	assert_ok(fw_risk_guard(&acceptance, &tolerance, 0.04, 0.25, &error));
	assert_near(acceptance.min, 1499.82, 1e-9);
	assert_near(acceptance.max, 1500.18, 1e-9);
	struct fw_global_risk risk = global(1500.0, 0.12, 0.04, tolerance, acceptance);
	assert_near(risk.conforming, 0.90, 0.005);
	assert_near(risk.consumer, 0.01, 0.0005);
	assert_near(risk.producer, 0.07, 0.0015);
}

/* The same integrals worked out with mpmath (quad, 40 digits). */
static void test_against_mpmath(void **state)
{
	static const struct {
		double mean, sd, u, min, max, from, to, consumer, producer;
	} row[] = {
	    {1500, 0.12, 0.04, 1499.8, 1500.2, 1499.82, 1500.18, 0.00987829152177229316,
	     0.069026510461521376},
	    {0, 1, 0.1, -2, 2, -2, 2, 0.0038095510703932876, 0.00489202969705038335},
	    {0, 1, 0.25, -2, 2, -1.5, 1.5, 0.000194614774698748396, 0.100304446275207337},
	    {0.5, 1, 0.3, -OPEN, 1.5, -OPEN, 1.2, 0.00524688178786131697, 0.0978680636555341272},
	    {-1, 2, 0.001, -3, OPEN, -3, OPEN, 0.0000482510531466345, 0.0000482812994834186},
	    {0, 1, 3, -1, 1, -1, 1, 0.0726447726943573728, 0.507163898877292552},
	    {0, 1, 0.2, -6, 6, -5.6, 5.6, 1.45252622313718127e-11, 3.7950841940323033e-8},
	    {0, 1, 0.5, -3, 3, -4, 4, 0.00242130701819146846, 0.0000681303060659463845},
	    {2, 0.5, 1e-6, 0, 3, 0, 3, 4.31852311575243437e-8, 4.31854481920322028e-8},
	    {0, 1, 0.1, 20, OPEN, 20.2, OPEN, 1.23498139726971811e-90, 2.50630014487510218e-89},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_global_risk risk =
		    global(row[i].mean, row[i].sd, row[i].u, limits(row[i].min, row[i].max),
		           limits(row[i].from, row[i].to));
		assert_near(risk.consumer, row[i].consumer, 1e-9 * row[i].consumer);
		assert_near(risk.producer, row[i].producer, 1e-9 * row[i].producer);
	}
}

/* One limit at the process's mean, plain acceptance: both risks are a corner of the bivariate
 * normal of correlation sd/√(sd² + u²), 1/4 - asin(rho)/(2π) = atan(u/sd)/(2π) (Sheppard's
 * formula). */
static void test_corner_of_bivariate_normal(void **state)
{
	(void)state;
	for (double u = 1e-7; u < 1e7; u *= 3.0) {
		struct fw_global_risk above = global(5.0, 2.0, u, limits(5.0, OPEN), limits(5.0, OPEN));
		struct fw_global_risk below = global(5.0, 2.0, u, limits(-OPEN, 5.0), limits(-OPEN, 5.0));
		double corner = atan(u / 2.0) / (2.0 * PI);
		assert_near(above.consumer, corner, 1e-9 * corner);
		assert_near(above.producer, corner, 1e-9 * corner);
		assert_near(below.consumer, corner, 1e-9 * corner);
		assert_near(below.producer, corner, 1e-9 * corner);
		assert_near(above.conforming, 0.5, 1e-15);
		assert_near(above.accepted, 0.5, 1e-15);
	}
}

/* Without uncertainty the risks are slices of the process itself. */
static void test_global_without_uncertainty(void **state)
{
	(void)state;
	struct fw_global_risk risk = global(0.0, 1.0, 0.0, limits(-1.0, 2.0), limits(-2.0, 1.0));
	double p1 = erfc(1.0 / sqrt(2.0)) / 2.0, p2 = erfc(2.0 / sqrt(2.0)) / 2.0;
	assert_near(risk.consumer, p1 - p2, 1e-14);
	assert_near(risk.producer, p1 - p2, 1e-14);
	risk = global(0.0, 1.0, 0.0, limits(-1.0, 2.0), limits(-1.0, 2.0));
	assert_near(risk.consumer, 0.0, 0.0);
	assert_near(risk.producer, 0.0, 0.0);
	/* A hair of uncertainty doesn't change that. */
	risk = global(0.0, 1.0, 1e-300, limits(-1.0, 2.0), limits(-2.0, 1.0));
	assert_near(risk.consumer, p1 - p2, 1e-14);
}

/* Items and measurements drawn and counted: a second route to the integrals. GSL's generator with a
 * fixed seed; five standard deviations of the count are allowed. */
static void test_against_simulation(void **state)
{
	static const struct {
		double mean, sd, u, min, max, from, to;
	} row[] = {{1500, 0.12, 0.04, 1499.8, 1500.2, 1499.82, 1500.18},
	           {0.3, 1, 0.5, -1, 1.5, -0.8, 1.7},
	           {0, 1, 0.2, -OPEN, 1, -OPEN, 0.7},
	           {2, 3, 4, -1, OPEN, 0, OPEN}};
	const int draws = 300000;
	gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		int consumer = 0, producer = 0;
		for (int k = 0; k < draws; k++) {
			double y = row[i].mean + gsl_ran_gaussian_ziggurat(rng, row[i].sd);
			double ym = y + gsl_ran_gaussian_ziggurat(rng, row[i].u);
			bool conforms = y >= row[i].min && y <= row[i].max;
			bool accepted = ym >= row[i].from && ym <= row[i].to;
			consumer += accepted && !conforms;
			producer += conforms && !accepted;
		}
		struct fw_global_risk risk =
		    global(row[i].mean, row[i].sd, row[i].u, limits(row[i].min, row[i].max),
		           limits(row[i].from, row[i].to));
		assert_near((double)consumer / draws, risk.consumer, 5.0 * sqrt(risk.consumer / draws));
		assert_near((double)producer / draws, risk.producer, 5.0 * sqrt(risk.producer / draws));
	}
	gsl_rng_free(rng);
}

/* A wider guard band takes from the consumer's risk and adds to the producer's. */
static void test_guard_trades_risks(void **state)
{
	struct fw_limits tolerance = limits(-2.0, 2.0), acceptance;
	double consumer = 1.0, producer = 0.0;
	(void)state;

	for (double r = -1.0; r <= 1.5; r += 0.125) {
		assert_ok(fw_risk_guard(&acceptance, &tolerance, 0.3, r, &error));
		struct fw_global_risk risk = global(0.2, 1.0, 0.3, tolerance, acceptance);
		assert_true(risk.consumer < consumer && risk.producer > producer);
		consumer = risk.consumer;
		producer = risk.producer;
	}
}

/* JCGM 106:2012, 7.6: C_m = T/(4u); 4 or more is u of T/16 or less. 7.7.5 with C_m = 1. 25 g6 with
 * u = 1 µm (13 µm of tolerance by ISO 286-2): 3.25. */
static void test_capability(void **state)
{
	struct fw_limits g6 = limits(24.980e-3, 24.993e-3), unit = limits(0.0, 1.0);
	double index = 0.0;
	(void)state;

	assert_ok(fw_risk_capability(&index, &g6, 1e-6, &error));
	assert_near(index, 3.25, 1e-9);
	assert_ok(fw_risk_capability(&index, &unit, 1.0 / 16.0, &error));
	assert_near(index, 4.0, 1e-15);
	assert_ok(fw_risk_capability(&index, &unit, 0.25, &error));
	assert_near(index, 1.0, 1e-15);
}

/* JCGM 106:2012, 8.3.2: with w = U = 2u, a value on an acceptance limit has at most 2.3 % to be
 * non-conforming; ISO 14253-1's example is 25 g6 again: accepted from 24.982 to 24.991 mm. */
static void test_guard_of_two_u(void **state)
{
	struct fw_limits g6 = limits(24.980e-3, 24.993e-3), acceptance;
	struct fw_specific_risk risk;
	(void)state;

	assert_ok(fw_risk_guard(&acceptance, &g6, 1e-6, 1.0, &error));
	assert_near(acceptance.min, 24.982e-3, 1e-15);
	assert_near(acceptance.max, 24.991e-3, 1e-15);
	assert_ok(fw_risk_specific(&risk, 24.991e-3 - 1e-12, 1e-6, NORMAL, &g6, &acceptance, &error));
	assert_true(risk.accepted);
	assert_near(risk.consumer, 0.023, 0.0005);
	assert_near(risk.producer, 0.0, 0.0);
	assert_ok(fw_risk_specific(&risk, 24.992e-3, 1e-6, NORMAL, &g6, &acceptance, &error));
	assert_true(!risk.accepted);
	assert_near(risk.consumer, 0.0, 0.0);
	/* scipy 1.10 */
	assert_near(risk.producer, 0.841344746, 2e-9);
}

/* JCGM 106:2012, 7.4: viscosity 13.6 with u = 1.8 against 12.5 to 16.3 conforms with 0.66. */
static void test_specific_both_ways(void **state)
{
	struct fw_limits tolerance = limits(12.5, 16.3), strict = limits(14.0, 15.0);
	struct fw_specific_risk risk;
	(void)state;

	assert_ok(fw_risk_specific(&risk, 13.6, 1.8, NORMAL, &tolerance, &tolerance, &error));
	assert_true(risk.accepted);
	assert_near(risk.consumer, 0.34, 0.005);
	assert_ok(fw_risk_specific(&risk, 13.6, 1.8, NORMAL, &tolerance, &strict, &error));
	assert_true(!risk.accepted);
	assert_near(risk.producer, 0.66, 0.005);
	/* Sure measurements cost nothing, wrong limits do. */
	assert_ok(fw_risk_specific(&risk, 13.6, 0.0, NORMAL, &tolerance, &strict, &error));
	assert_near(risk.producer, 1.0, 0.0);
	assert_ok(fw_risk_specific(&risk, 12.0, 0.0, NORMAL, &strict, &tolerance, &error));
	assert_true(!risk.accepted);
	assert_near(risk.producer, 0.0, 0.0);
	/* A small risk isn't lost beside 1: 20u inside is erfc(20/√2)/2. */
	struct fw_limits one = limits(0.0, OPEN);
	assert_ok(fw_risk_specific(&risk, 20.0, 1.0, NORMAL, &one, &one, &error));
	assert_near(risk.consumer / (erfc(20.0 / sqrt(2.0)) / 2.0), 1.0, 1e-12);
}

/* JCGM 106:2012, 8.3.3: a limit of 100 km/h, u = 2 % of the value, 99.9 % sure: fined from 107
 * km/h. Guarded rejection is a guard band with r < 0. */
static void test_jcgm_106_speed(void **state)
{
	struct fw_limits tolerance = limits(-OPEN, 100.0), acceptance;
	double z = 3.0902, v = 100.0 / (1.0 - 0.02 * z), p = 0.0;
	(void)state;

	assert_ok(fw_risk_guard(&acceptance, &tolerance, 0.02 * v, -z / 2.0, &error));
	assert_near(acceptance.max, 107.0, 0.5);
	assert_near(acceptance.max, v, 1e-9);
	assert_true(isinf(acceptance.min));
	assert_ok(fw_conform_probability(&p, acceptance.max, 0.02 * v, NORMAL, &tolerance, &error));
	assert_near(p, 0.001, 1e-6);
}

/* One limit: the guard band is z·u of JCGM 106:2012, table 1, or t·u of JCGM 100:2008, table G.2.
 */
static void test_limits_for_risk_one_sided(void **state)
{
	static const struct {
		double risk, freedom, factor, half;
	} row[] = {{0.20, INFINITY, 0.84, 0.005},  {0.10, INFINITY, 1.28, 0.005},
	           {0.05, INFINITY, 1.64, 0.005},  {0.01, INFINITY, 2.33, 0.005},
	           {0.001, INFINITY, 3.09, 0.005}, {0.05, 5, 2.02, 0.005},
	           {0.025, 10, 2.23, 0.005},       {0.005, 16, 2.92, 0.005},
	           {0.025, 100, 1.984, 0.0005},    {0.5, 7, 0.0, 1e-9}};
	struct fw_limits below = limits(-OPEN, 10.0), above = limits(10.0, OPEN), acceptance;
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		assert_ok(fw_risk_limits(&acceptance, &below, 0.5, row[i].freedom, row[i].risk, &error));
		assert_near((10.0 - acceptance.max) / 0.5, row[i].factor, row[i].half);
		assert_true(isinf(acceptance.min));
		assert_ok(fw_risk_limits(&acceptance, &above, 0.5, row[i].freedom, row[i].risk, &error));
		assert_near((acceptance.min - 10.0) / 0.5, row[i].factor, row[i].half);
		assert_true(isinf(acceptance.max));
	}
	/* The printed one-sided 95 % limit of 25 g6 with u = 1 µm: 24.993 - 1.645 µm. */
	struct fw_limits g6 = limits(24.980e-3, 24.993e-3);
	assert_ok(fw_risk_limits(&acceptance, &g6, 1e-6, NORMAL, 0.05, &error));
	assert_near(acceptance.max, 24.991355e-3, 0.5e-9);
}

/* On the limits found, the risk is the one asked for, by the other function, whatever the width. */
static void test_limits_for_risk_two_sided(void **state)
{
	static const double freedom[] = {1.0, 2.5, 9.0, 99999.0, 1e5, 1e6, INFINITY};
	static const double risk[] = {1e-6, 1e-3, 0.023, 0.05, 0.3, 0.5};
	int found = 0, refused = 0;
	(void)state;

	for (size_t i = 0; i < COUNT(freedom); i++)
		for (size_t j = 0; j < COUNT(risk); j++)
			for (double u = 0.01; u < 4.0; u *= 2.0) {
				struct fw_limits tolerance = limits(7.0, 11.0), acceptance = {0};
				double p = 0.0;
				int rc = fw_risk_limits(&acceptance, &tolerance, u, freedom[i], risk[j], &error);
				if (rc != FW_OK) {
					assert_int_equal(rc, FW_ERR_RANGE);
					assert_ok(fw_conform_probability(&p, 9.0, u, freedom[i], &tolerance, &error));
					assert_true(1.0 - p > risk[j] * (1.0 - 1e-9));
					refused++;
					continue;
				}
				assert_ok(
				    fw_conform_probability(&p, acceptance.max, u, freedom[i], &tolerance, &error));
				assert_near(1.0 - p, risk[j], 1e-9 * risk[j] + 1e-13);
				assert_ok(
				    fw_conform_probability(&p, acceptance.min, u, freedom[i], &tolerance, &error));
				assert_near(1.0 - p, risk[j], 1e-9 * risk[j] + 1e-13);
				found++;
			}
	assert_true(found > 100 && refused > 50);
	/* C_m = 1, 95 %: only within 0.45 to 0.55 of the tolerance (JCGM 106:2012, 7.7.5). */
	struct fw_limits unit = limits(0.0, 1.0), acceptance;
	assert_ok(fw_risk_limits(&acceptance, &unit, 0.25, NORMAL, 0.05, &error));
	assert_near(acceptance.min, 0.45, 0.005);
	assert_near(acceptance.max, 0.55, 0.005);
	/* A sure measurement needs no guard. */
	assert_ok(fw_risk_limits(&acceptance, &unit, 0.0, NORMAL, 0.05, &error));
	assert_near(acceptance.min, 0.0, 0.0);
	assert_near(acceptance.max, 1.0, 0.0);
	assert_code(fw_risk_limits(&acceptance, &unit, 0.3, NORMAL, 0.05, &error), FW_ERR_RANGE);
	assert_contains(error.text, "9.5581 %"); /* 2·(1 - Phi(5/3)), tables of the normal: 0.0956 */
}

static void refuse(struct fw_limits tolerance, double u, const char *says)
{
	struct fw_process process = {0.5, 1.0};
	struct fw_limits good = limits(0.0, 1.0), out = good;
	struct fw_global_risk risk;
	double index = 7.0;

	assert_code(fw_risk_capability(&index, &tolerance, u, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_code(fw_risk_guard(&out, &tolerance, u, 1.0, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_code(fw_risk_limits(&out, &tolerance, u, NORMAL, 0.05, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_code(fw_risk_global(&risk, &process, u, &tolerance, &good, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_near(index, 7.0, 0.0); /* untouched */
	assert_near(out.max, 1.0, 0.0);
}

static void test_bad_arguments(void **state)
{
	(void)state;
	refuse(limits(NAN, 1.0), 0.1, "min is not a number");
	refuse(limits(0.0, NAN), 0.1, "max is not a number");
	refuse(limits(1.0, 0.0), 0.1, "swapped");
	refuse(limits(1.0, 1.0), 0.1, "min is not below max");
	refuse(limits(-OPEN, OPEN), 0.1, "both sides are open");
	refuse(limits(0.0, 1.0), NAN, "uncertainty");
	refuse(limits(0.0, 1.0), INFINITY, "uncertainty");
	refuse(limits(0.0, 1.0), -0.1, "negative");
}

static void test_bad_guards(void **state)
{
	struct fw_limits tolerance = limits(0.0, 1.0), open = limits(0.0, OPEN), out;
	double index = 0.0;
	(void)state;

	assert_code(fw_risk_capability(&index, &open, 0.1, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "both limits");
	assert_code(fw_risk_capability(&index, &tolerance, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_risk_capability(&index, &tolerance, 1e-320, &error), FW_ERR_RANGE);
	assert_code(fw_risk_capability(NULL, &tolerance, 0.1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_risk_capability(&index, NULL, 0.1, &error), FW_ERR_ARGUMENT);

	assert_code(fw_risk_guard(&out, &tolerance, 0.1, NAN, &error), FW_ERR_ARGUMENT);
	assert_code(fw_risk_guard(&out, &tolerance, 0.1, INFINITY, &error), FW_ERR_ARGUMENT);
	assert_code(fw_risk_guard(&out, &tolerance, 0.25, 1.0, &error), FW_ERR_RANGE); /* meet */
	assert_contains(error.text, "nothing to accept");
	assert_code(fw_risk_guard(&out, &tolerance, 1.0, 1.0, &error), FW_ERR_RANGE); /* cross */
	assert_code(fw_risk_guard(&out, &open, 1e308, 1e10, &error), FW_ERR_RANGE);
	assert_code(fw_risk_guard(&out, &open, 1e308, -1e10, &error), FW_ERR_RANGE);
	assert_code(fw_risk_guard(NULL, &open, 1.0, 1.0, &error), FW_ERR_ARGUMENT);

	static const double bad_risk[] = {0.0, -0.05, 0.6, 1.0, 1e-7, NAN, INFINITY};
	static const double bad_freedom[] = {0.0, 0.99, -1.0, NAN};
	for (size_t i = 0; i < COUNT(bad_risk); i++) {
		assert_code(fw_risk_limits(&out, &open, 0.1, NORMAL, bad_risk[i], &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "1e-6 and 0.5");
	}
	for (size_t i = 0; i < COUNT(bad_freedom); i++) {
		assert_code(fw_risk_limits(&out, &open, 0.1, bad_freedom[i], 0.05, &error),
		            FW_ERR_ARGUMENT);
		assert_contains(error.text, "freedom");
	}
	assert_code(fw_risk_limits(&out, &open, 1e308, 1.0, 1e-6, &error), FW_ERR_RANGE);
	assert_code(fw_risk_limits(NULL, &open, 0.1, 1.0, 0.05, &error), FW_ERR_ARGUMENT);
	struct fw_limits widest = limits(-1.7e308, 1.7e308);
	assert_code(fw_risk_limits(&out, &widest, 1.0, NORMAL, 0.05, &error), FW_ERR_RANGE);
	assert_ok(fw_risk_limits(&out, &tolerance, 1e-320, NORMAL, 0.05, &error));
	assert_near(out.min, 0.0, 0.0);
}

static void test_bad_risks(void **state)
{
	struct fw_limits tolerance = limits(0.0, 1.0), crossed = limits(1.0, 0.0);
	struct fw_process process = {0.5, 1.0};
	struct fw_specific_risk one;
	struct fw_global_risk all;
	(void)state;

	assert_code(fw_risk_specific(&one, NAN, 0.1, NORMAL, &tolerance, &tolerance, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, "value");
	assert_code(fw_risk_specific(&one, 0.5, -1.0, NORMAL, &tolerance, &tolerance, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_risk_specific(&one, 0.5, 0.1, 0.0, &tolerance, &tolerance, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_risk_specific(&one, 0.5, 0.1, NORMAL, &tolerance, &crossed, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, "acceptance");
	assert_code(fw_risk_specific(NULL, 0.5, 0.1, NORMAL, &tolerance, &tolerance, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_risk_global(&all, &process, 0.1, &tolerance, &crossed, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "acceptance");
	assert_code(fw_risk_global(&all, NULL, 0.1, &tolerance, &tolerance, &error), FW_ERR_ARGUMENT);
	assert_code(fw_risk_global(NULL, &process, 0.1, &tolerance, &tolerance, &error),
	            FW_ERR_ARGUMENT);

	static const double bad[] = {0.0, -1.0, NAN, INFINITY};
	for (size_t i = 0; i < COUNT(bad); i++) {
		process = (struct fw_process){0.5, bad[i]};
		assert_code(fw_risk_global(&all, &process, 0.1, &tolerance, &tolerance, &error),
		            FW_ERR_ARGUMENT);
		assert_contains(error.text, "standard deviation");
	}
	process = (struct fw_process){NAN, 1.0};
	assert_code(fw_risk_global(&all, &process, 0.1, &tolerance, &tolerance, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, "mean");
	process = (struct fw_process){0.5, 1e-320};
	assert_code(fw_risk_global(&all, &process, 0.1, &tolerance, &tolerance, &error), FW_ERR_RANGE);
}

/* Whatever figures come, shares stay shares and no handler of GSL is reached. */
static void test_sweep_of_extremes(void **state)
{
	static const double size[] = {1e-300, 1e-160, 1e-9, 0.3, 1.0, 1e9, 1e160, 1e300};
	struct fw_limits open = limits(-OPEN, 1.0), both = limits(-1.0, 1.0);
	int worked = 0;
	(void)state;

	for (size_t i = 0; i < COUNT(size); i++)
		for (size_t j = 0; j < COUNT(size); j++)
			for (size_t k = 0; k < COUNT(size); k++) {
				struct fw_process process = {size[k] - 0.5, size[i]};
				const struct fw_limits *tolerance = (i + j + k) % 2 ? &open : &both;
				struct fw_global_risk r;
				int rc = fw_risk_global(&r, &process, size[j], tolerance, &both, &error);
				if (rc == FW_ERR_RANGE)
					continue;
				assert_int_equal(rc, FW_OK);
				const double shares[] = {r.consumer, r.producer, r.conforming, r.accepted};
				for (size_t n = 0; n < 4; n++)
					assert_true(shares[n] >= 0.0 && shares[n] <= 1.0 + 1e-12);
				assert_true(r.consumer <= r.accepted * (1.0 + 1e-9) + 1e-12);
				assert_true(r.producer <= r.conforming * (1.0 + 1e-9) + 1e-12);
				worked++;
			}
	assert_true(worked > 200);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_jcgm_106_resistors),
	    cmocka_unit_test(test_against_mpmath),
	    cmocka_unit_test(test_corner_of_bivariate_normal),
	    cmocka_unit_test(test_global_without_uncertainty),
	    cmocka_unit_test(test_against_simulation),
	    cmocka_unit_test(test_guard_trades_risks),
	    cmocka_unit_test(test_capability),
	    cmocka_unit_test(test_guard_of_two_u),
	    cmocka_unit_test(test_specific_both_ways),
	    cmocka_unit_test(test_jcgm_106_speed),
	    cmocka_unit_test(test_limits_for_risk_one_sided),
	    cmocka_unit_test(test_limits_for_risk_two_sided),
	    cmocka_unit_test(test_bad_arguments),
	    cmocka_unit_test(test_bad_guards),
	    cmocka_unit_test(test_bad_risks),
	    cmocka_unit_test(test_sweep_of_extremes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
