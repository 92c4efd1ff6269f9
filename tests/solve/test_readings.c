/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings: the univariate sets of the NIST StRD, the budget of JCGM 100:2008, Grubbs' test. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/readings.h"
#include "strd.h"

#define COUNT(a) (sizeof(a) / sizeof(a)[0])
#define DIGITS   5000
#define NUM_ACC  1001

static struct fw_error error;

static void certified(const double *x, size_t count, double mean, double sd, double lag1,
                      double mean_tolerance, double tolerance)
{
	struct fw_readings r;

	assert_ok(fw_readings_describe(&r, x, count, &error));
	assert_int_equal(r.count, count);
	assert_near(r.mean, mean, fabs(mean) * mean_tolerance);
	assert_near(r.sd, sd, sd * tolerance);
	assert_near(r.lag1, lag1, fabs(lag1) * tolerance);
}

/* Certified values of the NIST StRD, 15 figures (https://www.itl.nist.gov/div898/strd/). */
static void test_strd_observed(void **state)
{
	(void)state;
	certified(strd_lew, COUNT(strd_lew), -177.435000000000, 277.332168044316, -0.307304800605679,
	          1e-14, 1e-14);
	certified(strd_lottery, COUNT(strd_lottery), 518.958715596330, 291.699727470969,
	          -0.120948622967393, 1e-14, 1e-14);
	/* Seven figures typed, the last three scatter: 1e-12 is what doubles of them allow. */
	certified(strd_mavro, COUNT(strd_mavro), 2.00185600000000, 0.000429123454003053,
	          0.937989183438248, 1e-14, 1e-12);
	certified(strd_michelson, COUNT(strd_michelson), 299.852400000000, 0.0790105478190518,
	          0.535199668621283, 1e-14, 1e-12);
}

/* The digits of pi by Rabinowitz and Wagon's spigot; nines wait for the carry. */
static size_t pi_digits(double *out, size_t wanted)
{
	size_t length = wanted * 10 / 3 + 20, count = 0, nines = 0;
	long *a = malloc(length * sizeof *a);
	int held = -1;

	assert_non_null(a);
	for (size_t i = 0; i < length; i++)
		a[i] = 2;
	while (count < wanted) {
		long carry = 0;
		for (size_t i = length; i-- > 0;) {
			long x = 10 * a[i] + carry * (long)(i + 1);
			a[i] = i > 0 ? x % (2 * (long)i + 1) : x % 10;
			carry = i > 0 ? x / (2 * (long)i + 1) : x / 10;
		}
		if (carry == 9) {
			nines++;
			continue;
		}
		if (held >= 0 && count < wanted)
			out[count++] = held + (carry == 10);
		for (; nines > 0; nines--)
			if (count < wanted)
				out[count++] = carry == 10 ? 0 : 9;
		held = (int)(carry % 10);
	}
	free(a);
	return count;
}

/* StRD PiDigits: the first 5000 digits of pi, worked out here. The published file has a 3 for the
 * 957th digit, which is an 8 (after …77818577, before 05321712…), and its values are certified for
 * the file. */
static void test_strd_pi_digits(void **state)
{
	static const double start[] = {3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8, 9, 7, 9, 3};
	double *digits = malloc(DIGITS * sizeof *digits);
	(void)state;

	assert_non_null(digits);
	assert_int_equal(pi_digits(digits, DIGITS), DIGITS);
	assert_memory_equal(digits, start, sizeof start);
	assert_near(digits[956], 8, 0.0);
	digits[956] = 3;
	certified(digits, DIGITS, 4.53480000000000, 2.86733906028871, -0.00355099287237972, 1e-14,
	          1e-13);
	free(digits);
}

/* x0, then 500 pairs of x0 - 0.1 and x0 + 0.1, as StRD builds NumAcc2 to 4. */
static void num_acc(double x[NUM_ACC], double middle, double below, double above)
{
	x[0] = middle;
	for (size_t i = 1; i < NUM_ACC; i += 2) {
		x[i] = below;
		x[i + 1] = above;
	}
}

/* Certified: mean as built, sd 0.1, lag-1 -0.999. Doubles of 1000000.2 and 10000000.2 are off by up
 * to 1e-10 and 1e-9, so no more than 9 and 8 figures of 0.1 are in the data at all. */
static void test_strd_num_acc(void **state)
{
	static const double first[] = {10000001, 10000003, 10000002};
	double x[NUM_ACC];
	(void)state;

	certified(first, 3, 10000002, 1, -0.5, 0.0, 0.0);
	num_acc(x, 1.2, 1.1, 1.3);
	certified(x, NUM_ACC, 1.2, 0.1, -0.999, 1e-15, 1e-13);
	num_acc(x, 1000000.2, 1000000.1, 1000000.3);
	certified(x, NUM_ACC, 1000000.2, 0.1, -0.999, 1e-15, 1e-9);
	num_acc(x, 10000000.2, 10000000.1, 10000000.3);
	certified(x, NUM_ACC, 10000000.2, 0.1, -0.999, 1e-15, 1e-8);
}

/* Equal readings don't scatter, not even by rounding; one reading has no scatter at all. */
static void test_alike(void **state)
{
	double x[7] = {0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1};
	struct fw_readings r;
	(void)state;

	assert_ok(fw_readings_describe(&r, x, 7, &error));
	assert_near(r.mean, 0.1, 0.0);
	assert_near(r.sd, 0.0, 0.0);
	assert_true(isnan(r.lag1));
	assert_ok(fw_readings_describe(&r, x, 1, &error));
	assert_near(r.mean, 0.1, 0.0);
	assert_true(isnan(r.sd) && isnan(r.lag1));
}

/* JCGM 100:2008, 4.4.3 and table 1: twenty temperatures, mean 100.145, s 1.489, s/√20 0.333. */
static void test_budget_of_the_guide(void **state)
{
	static const double t[] = {96.90,  98.18,  98.25,  98.61,  99.03,  99.49,  99.56,
	                           99.74,  99.89,  100.07, 100.33, 100.42, 100.68, 100.95,
	                           101.11, 101.20, 101.57, 101.84, 102.36, 102.72};
	struct fw_readings r;
	struct fw_readings_budget b;
	(void)state;

	assert_ok(fw_readings_describe(&r, t, COUNT(t), &error));
	assert_near(r.mean, 100.145, 1e-12);
	assert_near(r.sd, 1.489, 0.0005);
	assert_ok(fw_readings_budget(&b, &r, 0.0, 0.0, 0.95, &error));
	assert_near(b.scatter, 0.333, 0.0005);
	assert_near(b.u, b.scatter, 1e-15);
	assert_near(b.freedom, 19.0, 1e-9);
	assert_near(b.coverage, 2.09, 0.005);                    /* table G.2 */
	assert_near(b.expanded, 2.093024 * 0.33291574720, 1e-6); /* scipy 1.10 */
}

/* JCGM 100:2008: 4.3.7 and F.2.2.1 for the rectangles, 5.1.5 for 12 and 8.7 µV that make 15; table
 * G.2 for the coverage factor. */
static void test_budget_with_gauge(void **state)
{
	/* Two readings ±12 about their mean: s/√2 = 12, one degree of freedom. */
	struct fw_readings r;
	struct fw_readings_budget b;
	static const double x[] = {928571.0 - 12.0, 928571.0 + 12.0};
	(void)state;

	assert_ok(fw_readings_describe(&r, x, 2, &error));
	assert_ok(fw_readings_budget(&b, &r, 0.0, 15.0, 0.95, &error));
	assert_near(b.scatter, 12.0, 1e-9);
	assert_near(b.error, 8.7, 0.05);
	assert_near(b.u, 14.8, 0.05);
	/* Equation G.2b by hand: (14.8/12)^4 */
	assert_near(b.freedom, pow(14.799 / 12.0, 4.0), 0.001);
	assert_ok(fw_readings_budget(&b, &r, 1.0, 0.0, 0.95, &error));
	assert_near(b.resolution, 0.29, 0.005);
	/* One reading: what the gauge tells is known outright, k is the normal's. */
	assert_ok(fw_readings_describe(&r, x, 1, &error));
	assert_ok(fw_readings_budget(&b, &r, 0.0, 15.0, 0.95, &error));
	assert_near(b.scatter, 0.0, 0.0);
	assert_true(isinf(b.freedom));
	assert_near(b.coverage, 1.960, 0.0005);
	assert_ok(fw_readings_budget(&b, &r, 0.0, 0.0, 0.99, &error));
	assert_near(b.u, 0.0, 0.0);
	assert_near(b.coverage, 2.576, 0.0005);
}

/* JCGM 100:2008, table G.2, at 95, 95.45 and 99 %. */
static void test_coverage_factors(void **state)
{
	static const struct {
		size_t freedom;
		double t95, t9545, t99;
	} row[] = {{1, 12.71, 13.97, 63.66}, {2, 4.30, 4.53, 9.92},  {3, 3.18, 3.31, 5.84},
	           {4, 2.78, 2.87, 4.60},    {5, 2.57, 2.65, 4.03},  {8, 2.31, 2.37, 3.36},
	           {10, 2.23, 2.28, 3.17},   {19, 2.09, 2.14, 2.86}, {30, 2.04, 2.09, 2.75},
	           {50, 2.01, 2.05, 2.68}};
	struct fw_readings_budget b;
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		struct fw_readings r = {.count = row[i].freedom + 1, .mean = 1.0, .sd = 1.0};
		assert_ok(fw_readings_budget(&b, &r, 0.0, 0.0, 0.95, &error));
		assert_near(b.coverage, row[i].t95, 0.005);
		assert_ok(fw_readings_budget(&b, &r, 0.0, 0.0, 0.9545, &error));
		assert_near(b.coverage, row[i].t9545, 0.005);
		assert_ok(fw_readings_budget(&b, &r, 0.0, 0.0, 0.99, &error));
		assert_near(b.coverage, row[i].t99, 0.005);
	}
}

/* NIST/SEMATECH e-Handbook, 1.3.5.17.1 (data of Tietjen and Moore 1972): 245.57 is an outlier, G =
 * 2.4687 against 2.032 at 5 %, one-sided. */
static void test_handbook_example(void **state)
{
	static const double x[] = {199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57};
	struct fw_grubbs g;
	(void)state;

	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.0, 0.05, FW_GRUBBS_HIGH, &error));
	assert_near(g.g, 2.4687, 0.0001);
	assert_near(g.critical, 2.032, 0.0005);
	assert_int_equal(g.index, 7);
	assert_true(g.outlying && !g.scale_step && g.chance < 0.05);
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.01, 0.05, FW_GRUBBS_EITHER, &error));
	assert_near(g.critical, 2.126, 0.0007); /* printed cut, not rounded: 2.1266 */
	assert_true(g.outlying);
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.0, 0.05, FW_GRUBBS_LOW, &error));
	assert_int_equal(g.index, 0);
	assert_true(!g.outlying && g.chance > 0.05);
	/* Without it nothing is left to object to. */
	assert_ok(fw_grubbs(&g, x, 7, 0.0, 0.05, FW_GRUBBS_EITHER, &error));
	assert_true(!g.outlying);
}

/* ASTM E178 (from memory; the data also in Tietjen and Moore 1972): fifteen residuals of the
 * semi-diameter of Venus, the least 2.57 deviations out against 2.41 at 5 % on one side, 2.55 on
 * either. */
static void test_venus(void **state)
{
	static const double x[] = {-1.40, -0.44, -0.30, -0.24, -0.22, -0.13, -0.05, 0.06,
	                           0.10,  0.18,  0.20,  0.39,  0.48,  0.63,  1.01};
	struct fw_grubbs g;
	(void)state;

	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.0, 0.05, FW_GRUBBS_EITHER, &error));
	assert_int_equal(g.index, 0);
	assert_near(g.g, 2.57, 0.005);
	assert_near(g.critical, 2.55, 0.005);
	assert_true(g.outlying);
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.0, 0.05, FW_GRUBBS_LOW, &error));
	assert_near(g.critical, 2.41, 0.005);
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.0, 0.01, FW_GRUBBS_EITHER, &error));
	assert_true(!g.outlying);
}

/* Table of one-sided critical values at 10, 5, 2.5 and 1 % in a text on Grubbs' test (after DIN
 * 32645 and DIN 38402), two decimals; the last two columns are those for either side at 5 and 2 %.
 * LibreTexts, Appendix 07 of the analytical references, prints those for either side at 5 and 1 %
 * to three (its 2.202 for n = 7 and 2.755 for n = 15 at 1 % are misprints, left out). */
static void test_printed_tables(void **state)
{
	static const struct {
		size_t n;
		double at10, at5, at25, at1; /* one side; 0: not printed here */
		double either5, either1;
	} row[] = {
	    {3, 1.15, 1.15, 1.15, 1.15, 1.155, 1.155},  {4, 1.42, 1.46, 1.48, 1.49, 1.481, 1.496},
	    {5, 1.60, 1.67, 1.71, 1.75, 1.715, 1.764},  {6, 1.73, 1.82, 1.89, 1.94, 1.887, 1.973},
	    {7, 1.83, 1.94, 2.02, 2.10, 0, 2.139},      {8, 1.91, 2.03, 2.13, 2.22, 2.126, 2.274},
	    {9, 1.98, 2.11, 2.21, 2.32, 2.215, 2.387},  {10, 2.03, 2.18, 2.29, 2.41, 2.290, 2.482},
	    {11, 2.09, 2.23, 2.36, 2.48, 2.355, 2.564}, {12, 2.13, 2.29, 2.41, 2.55, 2.412, 2.636},
	    {13, 2.17, 2.33, 2.46, 2.61, 2.462, 2.699}, {14, 2.21, 2.37, 2.51, 2.66, 2.507, 2.755},
	    {15, 2.25, 2.41, 2.55, 2.71, 2.549, 0},     {16, 2.28, 2.44, 2.59, 2.75, 0, 0},
	    {18, 2.34, 2.50, 2.65, 2.82, 0, 0},         {20, 2.38, 2.56, 2.71, 2.88, 0, 0},
	};
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		const struct {
			double printed, significance, half;
			enum fw_grubbs_side side;
		} column[] = {{row[i].at10, 0.10, 0.0075, FW_GRUBBS_HIGH},
		              {row[i].at5, 0.05, 0.0075, FW_GRUBBS_LOW},
		              {row[i].at25, 0.05, 0.0075, FW_GRUBBS_EITHER},
		              {row[i].at1, 0.01, 0.0075, FW_GRUBBS_HIGH},
		              {row[i].either5, 0.05, 0.001, FW_GRUBBS_EITHER},
		              {row[i].either1, 0.01, 0.001, FW_GRUBBS_EITHER}};
		for (size_t j = 0; j < COUNT(column); j++) {
			double critical = 0.0;
			if (column[j].printed == 0.0)
				continue;
			assert_ok(fw_grubbs_critical(&critical, row[i].n, column[j].significance,
			                             column[j].side, &error));
			assert_near(critical, column[j].printed, column[j].half);
		}
	}
}

/* The formula with Student's t of scipy 1.10 (stats.t.isf), four decimals and, for many readings,
 * beyond the printed tables; 1 % of 3 readings nearly reaches (n - 1)/√n, which nothing can pass.
 */
static void test_critical_by_scipy(void **state)
{
	static const struct {
		size_t n;
		double one5, either5, one1, either1;
	} row[] = {{3, 1.1531, 1.1543, 1.1546, 1.1547},  {7, 1.9381, 2.0200, 2.0973, 2.1391},
	           {15, 2.4090, 2.5483, 2.7049, 2.8061}, {25, 2.6629, 2.8217, 3.0086, 3.1353},
	           {30, 2.7451, 2.9085, 3.1029, 3.2361}, {50, 2.9570, 3.1282, 3.3366, 3.4825},
	           {100, 3.2095, 3.3841, 3.6002, 3.7540}};
	double critical = 0.0;
	(void)state;

	for (size_t i = 0; i < COUNT(row); i++) {
		assert_ok(fw_grubbs_critical(&critical, row[i].n, 0.05, FW_GRUBBS_HIGH, &error));
		assert_near(critical, row[i].one5, 0.00006);
		assert_ok(fw_grubbs_critical(&critical, row[i].n, 0.05, FW_GRUBBS_EITHER, &error));
		assert_near(critical, row[i].either5, 0.00006);
		assert_ok(fw_grubbs_critical(&critical, row[i].n, 0.01, FW_GRUBBS_LOW, &error));
		assert_near(critical, row[i].one1, 0.00006);
		assert_ok(fw_grubbs_critical(&critical, row[i].n, 0.01, FW_GRUBBS_EITHER, &error));
		assert_near(critical, row[i].either1, 0.00006);
	}
	static const struct {
		size_t n;
		double one5, either_least;
	} many[] = {{1000, 3.87685061425, 6.05421688269},
	            {100000, 4.89135809223, 6.80573122423},
	            {200000, 5.02616039117, 6.90517338611},
	            {1000000, 5.32668743309, 7.13041799541}};
	for (size_t i = 0; i < COUNT(many); i++) {
		assert_ok(fw_grubbs_critical(&critical, many[i].n, 0.05, FW_GRUBBS_HIGH, &error));
		assert_near(critical, many[i].one5, 1e-9);
		assert_ok(fw_grubbs_critical(&critical, many[i].n, 1e-6, FW_GRUBBS_EITHER, &error));
		assert_near(critical, many[i].either_least, 1e-9);
	}
}

/* It rises with the count and falls with the level, and never passes (n - 1)/√n, across the change
 * from Student's t to its expansion too. */
static void test_critical_sweep(void **state)
{
	static const double levels[] = {1e-6, 1e-4, 0.01, 0.05, 0.2, 0.5};
	(void)state;

	for (size_t i = 0; i < COUNT(levels); i++) {
		double last = 0.0, sure = 0.0;
		for (size_t n = 3; n <= FW_GRUBBS_READINGS; n += n < 200 ? 1 : n / 9) {
			double critical = 0.0, n1 = (double)n;
			assert_ok(fw_grubbs_critical(&critical, n, levels[i], FW_GRUBBS_EITHER, &error));
			assert_true(critical > last && critical < (n1 - 1.0) / sqrt(n1) + 1e-12);
			assert_ok(fw_grubbs_critical(&sure, n, levels[i], FW_GRUBBS_HIGH, &error));
			assert_true(sure <= critical);
			last = critical;
		}
		double below = 0.0, above = 0.0;
		assert_ok(fw_grubbs_critical(&below, 100001, levels[i], FW_GRUBBS_HIGH, &error));
		assert_ok(fw_grubbs_critical(&above, 100003, levels[i], FW_GRUBBS_HIGH, &error));
		assert_near(below, above, 1e-5);
	}
}

/* The chance is the level on the critical value. */
static void test_chance(void **state)
{
	(void)state;
	for (size_t n = 3; n < 40; n += 3) {
		double x[40] = {0}, critical = 0.0;
		struct fw_grubbs g;
		/* Readings scattered by a fixed rule, the last one moved until it is just as far out as the
		 * critical value. */
		double low = 1.0, high = 1e6;
		for (size_t i = 0; i + 1 < n; i++)
			x[i] = sin(3.7 * (double)i);
		assert_ok(fw_grubbs_critical(&critical, n, 0.05, FW_GRUBBS_EITHER, &error));
		for (int k = 0; k < 200; k++) {
			x[n - 1] = (low + high) / 2.0;
			assert_ok(fw_grubbs(&g, x, n, 0.0, 0.05, FW_GRUBBS_EITHER, &error));
			if (g.outlying)
				high = x[n - 1];
			else
				low = x[n - 1];
		}
		assert_near(g.g, critical, 1e-8);
		assert_near(g.chance, 0.05, n == 3 ? 1e-3 : 1e-6);
	}
}

/* Rounded readings: one step of the scale is no slip, two are. */
static void test_scale_step(void **state)
{
	double x[] = {0.40e-3, 0.40e-3, 0.40e-3, 0.40e-3, 0.41e-3};
	struct fw_grubbs g;
	(void)state;

	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.0, 0.05, FW_GRUBBS_EITHER, &error));
	assert_true(g.outlying && !g.scale_step);
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.01e-3, 0.05, FW_GRUBBS_EITHER, &error));
	assert_true(!g.outlying && g.scale_step);
	assert_int_equal(g.index, 4);
	x[4] = 0.42e-3;
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.01e-3, 0.05, FW_GRUBBS_EITHER, &error));
	assert_true(g.outlying && !g.scale_step);
	/* All alike: none stands out. */
	x[4] = 0.40e-3;
	assert_ok(fw_grubbs(&g, x, COUNT(x), 0.01e-3, 0.05, FW_GRUBBS_EITHER, &error));
	assert_true(!g.outlying && g.g == 0.0);
	assert_near(g.chance, 1.0, 0.0);
}

static void test_bad_readings(void **state)
{
	double x[] = {1.0, 2.0, 3.0, 4.0};
	static const double bad[] = {NAN, INFINITY, -INFINITY};
	struct fw_readings r;
	struct fw_grubbs g;
	(void)state;

	assert_code(fw_readings_describe(&r, NULL, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_readings_describe(&r, x, 0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_readings_describe(NULL, x, 3, &error), FW_ERR_ARGUMENT);
	for (size_t i = 0; i < COUNT(bad); i++) {
		x[2] = bad[i];
		assert_code(fw_readings_describe(&r, x, 4, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "reading 3");
		assert_code(fw_grubbs(&g, x, 4, 0.0, 0.05, FW_GRUBBS_EITHER, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "reading 3");
	}
	x[0] = 1e308;
	x[2] = -1e308;
	assert_code(fw_readings_describe(&r, x, 4, &error), FW_ERR_RANGE);
	assert_code(fw_grubbs(&g, x, 4, 0.0, 0.05, FW_GRUBBS_EITHER, &error), FW_ERR_RANGE);
}

static void test_bad_tests(void **state)
{
	static const double x[] = {1.0, 2.0, 3.0, 4.0};
	static const double level[] = {0.0, -0.1, 0.51, 1.0, 1e-7, NAN};
	static const double step[] = {-1e-9, NAN, INFINITY};
	struct fw_grubbs g;
	double c = 0.0;
	(void)state;

	for (size_t i = 0; i < COUNT(level); i++) {
		assert_code(fw_grubbs(&g, x, 4, 0.0, level[i], FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "significance");
	}
	for (size_t i = 0; i < COUNT(step); i++) {
		assert_code(fw_grubbs(&g, x, 4, step[i], 0.05, FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "step");
	}
	for (size_t n = 0; n < 3; n++) {
		assert_code(fw_grubbs(&g, x, n, 0.0, 0.05, FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "readings");
	}
	assert_code(fw_grubbs(&g, x, FW_GRUBBS_READINGS + 1, 0.0, 0.05, FW_GRUBBS_LOW, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_grubbs(&g, x, 4, 0.0, 0.05, (enum fw_grubbs_side)7, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grubbs(&g, NULL, 4, 0.0, 0.05, FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grubbs(NULL, x, 4, 0.0, 0.05, FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grubbs_critical(NULL, 4, 0.05, FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
	assert_code(fw_grubbs_critical(&c, 2, 0.05, FW_GRUBBS_LOW, &error), FW_ERR_ARGUMENT);
}

static void test_bad_budgets(void **state)
{
	static const double bad[] = {-1e-9, NAN, INFINITY};
	static const double level[] = {0.0, 0.49, 0.99999, 1.0, NAN};
	struct fw_readings good = {.count = 3, .mean = 1.0, .sd = 0.1}, r;
	struct fw_readings_budget b;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		assert_code(fw_readings_budget(&b, &good, bad[i], 0.0, 0.95, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "resolution");
		assert_code(fw_readings_budget(&b, &good, 0.0, bad[i], 0.95, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "limit of error");
		r = good;
		r.sd = bad[i];
		assert_code(fw_readings_budget(&b, &r, 0.0, 0.0, 0.95, &error), FW_ERR_ARGUMENT);
	}
	for (size_t i = 0; i < COUNT(level); i++) {
		assert_code(fw_readings_budget(&b, &good, 0.0, 0.0, level[i], &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "coverage");
	}
	r = (struct fw_readings){0};
	assert_code(fw_readings_budget(&b, &r, 0.0, 0.0, 0.95, &error), FW_ERR_ARGUMENT);
	assert_code(fw_readings_budget(&b, NULL, 0.0, 0.0, 0.95, &error), FW_ERR_ARGUMENT);
	assert_code(fw_readings_budget(NULL, &good, 0.0, 0.0, 0.95, &error), FW_ERR_ARGUMENT);
	assert_code(fw_readings_budget(&b, &good, 0.0, 1.7e308, 0.95, &error), FW_ERR_RANGE);
}

/* A million readings are a right answer, in no time. */
static void test_million(void **state)
{
	double *x = malloc(FW_GRUBBS_READINGS * sizeof *x);
	struct fw_grubbs g;
	struct fw_readings r;
	(void)state;

	assert_non_null(x);
	for (size_t i = 0; i < FW_GRUBBS_READINGS; i++)
		x[i] = 5.0 + (i % 2 ? 1.0 : -1.0);
	assert_ok(fw_readings_describe(&r, x, FW_GRUBBS_READINGS, &error));
	assert_near(r.mean, 5.0, 1e-12);
	assert_near(r.sd, sqrt(1e6 / (1e6 - 1.0)), 1e-12);
	x[123456] = 99.0;
	assert_ok(fw_grubbs(&g, x, FW_GRUBBS_READINGS, 0.0, 0.05, FW_GRUBBS_EITHER, &error));
	assert_int_equal(g.index, 123456);
	assert_true(g.outlying);
	free(x);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_strd_observed),
	    cmocka_unit_test(test_strd_pi_digits),
	    cmocka_unit_test(test_strd_num_acc),
	    cmocka_unit_test(test_alike),
	    cmocka_unit_test(test_budget_of_the_guide),
	    cmocka_unit_test(test_budget_with_gauge),
	    cmocka_unit_test(test_coverage_factors),
	    cmocka_unit_test(test_handbook_example),
	    cmocka_unit_test(test_venus),
	    cmocka_unit_test(test_printed_tables),
	    cmocka_unit_test(test_critical_by_scipy),
	    cmocka_unit_test(test_critical_sweep),
	    cmocka_unit_test(test_chance),
	    cmocka_unit_test(test_scale_step),
	    cmocka_unit_test(test_bad_readings),
	    cmocka_unit_test(test_bad_tests),
	    cmocka_unit_test(test_bad_budgets),
	    cmocka_unit_test(test_million),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
