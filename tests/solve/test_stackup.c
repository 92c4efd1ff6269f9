/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "fitwright/stackup.h"

#define COUNT(a) (sizeof(a) / sizeof(a)[0])
#define MM       1e-3

static struct fw_error error;

static struct fw_stackup_link link_of(double coefficient, double nominal, double tolerance,
                                      enum fw_stackup_shape shape)
{
	return (struct fw_stackup_link){.coefficient = coefficient,
	                                .nominal = nominal,
	                                .lower = -tolerance,
	                                .upper = tolerance,
	                                .shape = shape};
}

static struct fw_stackup spread(const struct fw_stackup_link *link, size_t count)
{
	struct fw_stackup out;

	assert_ok(fw_stackup_spread(&out, NULL, link, count, &error));
	return out;
}

static struct fw_stackup_capability capability(double mean, double sd, double min, double max)
{
	struct fw_stackup stackup = {.mean = mean, .sd = sd};
	struct fw_limits limits = {min, max, NAN};
	struct fw_stackup_capability out;

	assert_ok(fw_stackup_capability(&out, &stackup, &limits, &error));
	return out;
}

/* Three parts 2.000 ±0.005, 1.500 ±0.003, 0.500 ±0.002 in a housing 4.020 ±0.005: a design
 * article's worked example, gap 0.005 to 0.035 at worst and 0.012 to 0.028 by root sum of squares.
 */
static void test_parts_in_a_housing(void **state)
{
	struct fw_stackup_link link[] = {
	    link_of(1, 4.020, 0.005, FW_STACKUP_NORMAL), link_of(-1, 2.000, 0.005, FW_STACKUP_NORMAL),
	    link_of(-1, 1.500, 0.003, FW_STACKUP_NORMAL), link_of(-1, 0.500, 0.002, FW_STACKUP_NORMAL)};
	struct fw_stackup s = spread(link, COUNT(link));
	(void)state;

	assert_near(s.nominal, 0.020, 1e-12);
	assert_near(s.min, 0.005, 1e-12);
	assert_near(s.max, 0.035, 1e-12);
	assert_near(s.mean - s.rss, 0.012, 0.0005);
	assert_near(s.mean + s.rss, 0.028, 0.0005);
	assert_near(s.rss, sqrt(63.0) * 1e-3, 1e-15); /* 25 + 25 + 9 + 4 */
	assert_near(s.sd, s.rss / 3.0, 1e-15);
}

/* Spacer and retaining ring in a bore: 40.00 ±0.10, less 25.00 ±0.05, 2.00 ±0.03, 10.00 ±0.05. The
 * inputs and the gap of 3.00 are a design article's; ±0.23 and ±√0.0159 follow by hand. */
static void test_spacer_in_a_bore(void **state)
{
	struct fw_stackup_link link[] = {link_of(1, 40 * MM, 0.10 * MM, FW_STACKUP_UNIFORM),
	                                 link_of(-1, 25 * MM, 0.05 * MM, FW_STACKUP_UNIFORM),
	                                 link_of(-1, 2 * MM, 0.03 * MM, FW_STACKUP_UNIFORM),
	                                 link_of(-1, 10 * MM, 0.05 * MM, FW_STACKUP_UNIFORM)};
	struct fw_stackup s = spread(link, COUNT(link));
	(void)state;

	assert_near(s.nominal, 3 * MM, 1e-15);
	assert_near(s.min, 2.77 * MM, 1e-15);
	assert_near(s.max, 3.23 * MM, 1e-15);
	assert_near(s.rss, sqrt(0.0159) * MM, 1e-15);
	assert_near(s.sd, sqrt(0.0159 / 3.0) * MM, 1e-15);
	/* Fourth cumulant of a sum of uniform links: Σ -2·a⁴/15. */
	double fourth = -2.0 / 15.0 * (1e-4 + 2 * 6.25e-6 + 8.1e-7);
	assert_near(s.excess, fourth / (0.0053 * 0.0053), 1e-12);

	for (size_t i = 0; i < COUNT(link); i++)
		link[i].shape = FW_STACKUP_NORMAL;
	assert_near(spread(link, COUNT(link)).sd, 0.0420317 * MM, 5e-11);
	/* Tolerances held at Cpk 0.75 only: half of each is 2.25 sd; statistical tolerance 3 sd. */
	for (size_t i = 0; i < COUNT(link); i++)
		link[i].sigmas = 3 * 0.75;
	assert_near(3 * spread(link, COUNT(link)).sd, 0.168127 * MM, 5e-10);
}

/* Ten parts of ±0.1: ±1.0 at worst, ±0.316 by root sum of squares (a common example). */
static void test_ten_equal_parts(void **state)
{
	struct fw_stackup_link link[10];
	struct fw_stackup_share share[10];
	struct fw_stackup s;
	(void)state;

	for (size_t i = 0; i < 10; i++)
		link[i] = link_of(1, 5, 0.1, FW_STACKUP_UNIFORM);
	assert_ok(fw_stackup_spread(&s, share, link, 10, &error));
	assert_near(s.max - s.mean, 1.0, 1e-12);
	assert_near(s.rss, 0.316, 0.0005);
	assert_near(s.excess, -1.2 / 10, 1e-12); /* Irwin and Hall's distribution */
	for (size_t i = 0; i < 10; i++) {
		assert_near(share[i].variance, 0.1, 1e-15);
		assert_near(share[i].range, 0.1, 1e-15);
	}
}

/* Shaft, bearings and retaining rings, inches: K. W. Chase, "Basic tools for tolerance analysis of
 * mechanical assemblies", chapter 7 (figures from memory; the sums are checked by hand): end play
 * 0.020, ±0.0245 at worst, ±0.0111 by root sum of squares. Required 0.020 ±0.015. */
static void test_end_play_of_a_shaft(void **state)
{
	struct fw_stackup_link link[] = {link_of(-1, 0.0505, 0.0015, FW_STACKUP_NORMAL),
	                                 link_of(1, 8.0000, 0.0080, FW_STACKUP_NORMAL),
	                                 link_of(-1, 0.5093, 0.0025, FW_STACKUP_NORMAL),
	                                 link_of(1, 0.4000, 0.0020, FW_STACKUP_NORMAL),
	                                 link_of(-1, 7.7110, 0.0060, FW_STACKUP_NORMAL),
	                                 link_of(1, 0.4000, 0.0020, FW_STACKUP_NORMAL),
	                                 link_of(-1, 0.5093, 0.0025, FW_STACKUP_NORMAL)};
	struct fw_stackup_share share[COUNT(link)];
	struct fw_stackup s;
	(void)state;

	assert_ok(fw_stackup_spread(&s, share, link, COUNT(link), &error));
	assert_near(s.mean, 0.0199, 1e-12);
	assert_near(s.max - s.mean, 0.0245, 1e-12);
	assert_near(s.rss, 0.01108, 5e-6);
	/* The shaft alone: 64 of 122.75 parts of the variance, 8 of 24.5 of the worst case. */
	assert_near(share[1].variance, 64.0 / 122.75, 1e-12);
	assert_near(share[1].range, 8.0 / 24.5, 1e-12);
}

/* JCGM 100:2008, examples of 4.3.3 to 4.3.8 and 4.4.5, 4.4.6; arcsine: JCGM 101:2008, 6.4.6. */
static void test_spread_of_each_shape(void **state)
{
	struct fw_stackup_link k3 = link_of(1, 0, 240e-6, FW_STACKUP_NORMAL), k258 = k3,
	                       copper = link_of(1, 16.52e-6, 0.40e-6, FW_STACKUP_UNIFORM),
	                       celsius = link_of(1, 100, 4, FW_STACKUP_UNIFORM), uneven = copper;
	(void)state;

	assert_near(spread(&k3, 1).sd, 80e-6, 1e-18); /* 240 µg "at three standard deviations" */
	k258.upper = 129e-6;
	k258.lower = -129e-6;
	k258.sigmas = 2.58;
	assert_near(spread(&k258, 1).sd, 50e-6, 0.5e-6); /* 129 µΩ at 99 % */
	assert_near(spread(&copper, 1).sd, 0.23e-6, 0.005e-6);
	uneven.lower = -0.12e-6; /* 4.3.8: not centred; u = (b+ + b-)/√12 = 0.15e-6 */
	assert_near(spread(&uneven, 1).sd, 0.15e-6, 0.005e-6);
	assert_near(spread(&uneven, 1).nominal, 16.52e-6, 1e-18);
	assert_near(spread(&uneven, 1).mean, 16.66e-6, 1e-18);
	assert_near(spread(&uneven, 1).min, 16.40e-6, 1e-18);
	assert_near(spread(&uneven, 1).max, 16.92e-6, 1e-18);
	assert_near(spread(&celsius, 1).sd, 2.3, 0.05);
	celsius.shape = FW_STACKUP_TRIANGULAR;
	assert_near(spread(&celsius, 1).sd, 1.6, 0.05);
	assert_near(spread(&celsius, 1).excess, -0.6, 1e-12);
	celsius.shape = FW_STACKUP_ARCSINE;
	assert_near(spread(&celsius, 1).sd, sqrt(64.0 / 8.0), 1e-12); /* variance (b - a)²/8 */
	assert_near(spread(&celsius, 1).excess, -1.5, 1e-12);
}

/* A dimension that was measured carries its uncertainty; deviations of one sign (25 g6 of
 * ISO 286-2, -7 and -20 µm) shift the middle; a coefficient stretches all of it. */
static void test_measured_and_shifted_links(void **state)
{
	struct fw_stackup_link link[] = {
	    {.coefficient = -2, .nominal = 25, .lower = -0.020, .upper = -0.007},
	    {.coefficient = 1, .nominal = 50.1, .u = 0.004, .shape = FW_STACKUP_MEASURED}};
	struct fw_stackup s = spread(link, 2);
	(void)state;

	assert_near(s.nominal, 0.1, 1e-12);
	assert_near(s.mean, 0.1 + 0.027, 1e-12);
	assert_near(s.sd, hypot(2 * 0.0065 / 3, 0.004), 1e-15);
	assert_near(s.max, 0.127 + 0.013 + 0.012, 1e-12); /* three times u */
	link[1].sigmas = 2;
	assert_near(spread(link, 2).max, 0.127 + 0.013 + 0.008, 1e-12);
	assert_near(spread(link, 2).sd, s.sd, 1e-15); /* sigmas is no part of a measured u */
}

static void test_no_spread(void **state)
{
	struct fw_stackup_link link[] = {link_of(1, 3, 0, FW_STACKUP_UNIFORM),
	                                 link_of(-1, 2.5, 0, FW_STACKUP_NORMAL)};
	struct fw_stackup_share share[2];
	struct fw_stackup s;
	(void)state;

	assert_ok(fw_stackup_spread(&s, share, link, 2, &error));
	assert_near(s.min, 0.5, 0);
	assert_near(s.max, 0.5, 0);
	assert_near(s.sd, 0, 0);
	assert_near(s.excess, 0, 0);
	assert_near(share[0].variance + share[1].variance + share[0].range + share[1].range, 0, 0);
	struct fw_stackup_capability c = capability(s.mean, s.sd, 0.4, 0.45);
	assert_near(c.above, 1, 0);
	assert_near(c.below, 0, 0);
	assert_near(c.outside, 1, 0);
	assert_true(isnan(c.cp) && isnan(c.cpk));
	assert_near(capability(s.mean, 0, 0.5, 0.6).outside, 0, 0); /* on the limit is inside */
}

/* Squares of a nanometre's millionth, and of figures near the end of doubles. */
static void test_scale(void **state)
{
	struct fw_stackup_link tiny[] = {link_of(1, 0, 3e-200, FW_STACKUP_NORMAL),
	                                 link_of(1, 0, 4e-200, FW_STACKUP_NORMAL)};
	struct fw_stackup_link vast[] = {link_of(1, 0, 3e300, FW_STACKUP_NORMAL),
	                                 link_of(1, 0, 4e300, FW_STACKUP_NORMAL)};
	struct fw_stackup untouched = {.mean = 7};
	(void)state;

	assert_near(spread(tiny, 2).rss, 5e-200, 1e-214);
	assert_near(spread(vast, 2).rss, 5e300, 1e286);
	vast[0].upper = vast[1].upper = 1.7e308;
	vast[0].lower = vast[1].lower = -1.7e308;
	assert_code(fw_stackup_spread(&untouched, NULL, vast, 2, &error), FW_ERR_RANGE);
	assert_near(untouched.mean, 7, 0);
	vast[0] = link_of(1e300, 1e300, 0, FW_STACKUP_NORMAL);
	assert_code(fw_stackup_spread(&untouched, NULL, vast, 1, &error), FW_ERR_RANGE);
}

/* JCGM 106:2012, 7.4: 13.6 with u 1.8 in 12.5 to 16.3 conforms with 0.93 - 0.27 = 0.66. The NIST
 * e-Handbook of statistical methods, 6.1.6 (from memory): limits 8 and 20, mean 16, s 2: Cp 1.0,
 * Cpk 0.6667. Normal tails 1 - p: JCGM 106:2012, table 1. */
static void test_capability(void **state)
{
	struct fw_stackup_capability c = capability(13.6, 1.8, 12.5, 16.3);
	(void)state;

	assert_near(1 - c.outside, 0.66, 0.005);
	assert_near(c.below, 0.27, 0.005);
	assert_near(1 - c.above, 0.93, 0.005);
	c = capability(16, 2, 8, 20);
	assert_near(c.cp, 1.0, 1e-12);
	assert_near(c.cpk, 0.6667, 0.00005);

	static const double p[] = {0.80, 0.90, 0.95, 0.99, 0.999}, z[] = {0.84, 1.28, 1.64, 2.33, 3.09};
	for (size_t i = 0; i < COUNT(p); i++) {
		c = capability(0, 1, -z[i], INFINITY);
		assert_near(1 - c.below, p[i], 0.0015);
		assert_near(c.above, 0, 0);
		assert_near(c.cpk, z[i] / 3, 1e-12);
		assert_true(isnan(c.cp));
	}
	/* The middle 99.73 % lie in Cp = Cpk = 1 (JCGM 106:2012, annex A); far outside. */
	c = capability(5, 1, 2, 8);
	assert_near(c.outside, 1 - 0.9973002, 5e-8);
	c = capability(9, 1e-3, 2, 8);
	assert_near(c.outside, 1, 0);
	assert_true(c.cpk < -300);
}

/* 0.3 - 0.1 lies on a limit of 0.2, in binary or not; a nanometre beyond does not. */
static void test_on_a_limit(void **state)
{
	const struct fw_stackup_link link[] = {link_of(1, 0.3 * MM, 0, FW_STACKUP_NORMAL),
	                                       link_of(-1, 0.1 * MM, 0, FW_STACKUP_NORMAL)};
	double mean = spread(link, 2).mean;
	(void)state;

	assert_near(capability(mean, 0, 0.2 * MM, INFINITY).outside, 0, 0);
	assert_near(capability(mean, 0, 0.1 * MM, 0.2 * MM).outside, 0, 0);
	assert_near(capability(0.1 * 3 * MM, 0, 0, 0.3 * MM).outside, 0, 0);
	assert_near(capability(mean, 0, 0.2 * MM + 1e-9, INFINITY).below, 1, 0);
	assert_near(capability(mean, 0, 0, 0.2 * MM - 1e-9).above, 1, 0);
}

static void test_what_is_refused(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY};
	struct fw_stackup_link good[2] = {link_of(1, 10, 0.1, FW_STACKUP_UNIFORM),
	                                  link_of(-1, 9, 0.1, FW_STACKUP_NORMAL)};
	struct fw_stackup out = {.mean = 7};
	(void)state;

	good[1].name = "spa\ncer";
	for (size_t i = 0; i < COUNT(bad); i++) {
		struct {
			struct fw_stackup_link link;
			const char *what;
		} c[] = {{good[1], "coefficient"}, {good[1], "nominal"}, {good[1], "lower"},
		         {good[1], "upper"},       {good[1], "sigmas"},  {good[1], "uncertainty"}};
		c[0].link.coefficient = bad[i];
		c[1].link.nominal = bad[i];
		c[2].link.lower = bad[i];
		c[3].link.upper = bad[i];
		c[4].link.sigmas = bad[i];
		c[5].link.u = bad[i];
		for (size_t j = 0; j < COUNT(c); j++) {
			struct fw_stackup_link link[2] = {good[0], c[j].link};

			assert_code(fw_stackup_spread(&out, NULL, link, 2, &error), FW_ERR_ARGUMENT);
			assert_contains(error.text, "link 2 (spa cer)");
			assert_contains(error.text, c[j].what);
		}
	}

	struct {
		struct fw_stackup_link link;
		const char *what;
	} c[] = {{good[0], "takes no part"}, {good[0], "swapped"},         {good[0], "sigmas"},
	         {good[0], "uncertainty"},   {good[0], "only a measured"}, {good[0], "not a tolerance"},
	         {good[0], "no such shape"}};
	c[0].link.coefficient = 0;
	c[1].link.lower = 0.2;
	c[2].link.sigmas = -1;
	c[3].link.u = -1;
	c[4].link.u = 0.1;
	c[5].link.shape = FW_STACKUP_MEASURED;
	c[6].link.shape = (enum fw_stackup_shape)77;
	for (size_t j = 0; j < COUNT(c); j++) {
		assert_code(fw_stackup_spread(&out, NULL, &c[j].link, 1, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "link 1:");
		assert_contains(error.text, c[j].what);
	}
	assert_code(fw_stackup_spread(&out, NULL, good, 0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_spread(&out, NULL, NULL, 3, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_spread(NULL, NULL, good, 2, &error), FW_ERR_ARGUMENT);
	assert_near(out.mean, 7, 0);
}

static void test_capability_refused(void **state)
{
	struct fw_stackup good = {.mean = 1, .sd = 1}, bad;
	struct fw_limits limits = {0, 2, NAN}, crossed = {2, 0, NAN}, open = {-INFINITY, INFINITY, NAN};
	struct fw_stackup_capability out;
	(void)state;

	assert_code(fw_stackup_capability(&out, &good, &crossed, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "swapped");
	assert_code(fw_stackup_capability(&out, &good, &open, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_capability(&out, &good, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_capability(&out, NULL, &limits, &error), FW_ERR_ARGUMENT);
	assert_code(fw_stackup_capability(NULL, &good, &limits, &error), FW_ERR_ARGUMENT);
	bad = good;
	bad.mean = NAN;
	assert_code(fw_stackup_capability(&out, &bad, &limits, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "mean");
	bad = good;
	bad.sd = -1;
	assert_code(fw_stackup_capability(&out, &bad, &limits, &error), FW_ERR_ARGUMENT);
	bad.sd = INFINITY;
	assert_code(fw_stackup_capability(&out, &bad, &limits, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "standard deviation");
}

static void test_a_million_links(void **state)
{
	size_t count = FW_STACKUP_LINKS;
	struct fw_stackup_link *link =
	    (struct fw_stackup_link *)calloc(count + 1, sizeof(struct fw_stackup_link));
	struct fw_stackup out;
	(void)state;

	assert_non_null(link);
	for (size_t i = 0; i <= count; i++)
		link[i] = link_of(i % 2 ? -1 : 1, 1, 1e-3, FW_STACKUP_UNIFORM);
	assert_ok(fw_stackup_spread(&out, NULL, link, count, &error));
	assert_near(out.rss, 1.0, 1e-9);
	assert_near(out.max, 1000, 1e-6);
	assert_code(fw_stackup_spread(&out, NULL, link, count + 1, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "1000001");
	free(link);
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(test_parts_in_a_housing),
	                                   cmocka_unit_test(test_spacer_in_a_bore),
	                                   cmocka_unit_test(test_ten_equal_parts),
	                                   cmocka_unit_test(test_end_play_of_a_shaft),
	                                   cmocka_unit_test(test_spread_of_each_shape),
	                                   cmocka_unit_test(test_measured_and_shifted_links),
	                                   cmocka_unit_test(test_no_spread),
	                                   cmocka_unit_test(test_scale),
	                                   cmocka_unit_test(test_capability),
	                                   cmocka_unit_test(test_on_a_limit),
	                                   cmocka_unit_test(test_what_is_refused),
	                                   cmocka_unit_test(test_capability_refused),
	                                   cmocka_unit_test(test_a_million_links)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
