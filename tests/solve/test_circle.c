/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdbool.h>
#include <string.h>

#include "fitwright/joint.h"

static struct fw_error error;

static void assert_order(size_t count, const unsigned *wanted)
{
	unsigned order[FW_BOLTS_MOST];

	assert_ok(fw_circle_order(order, count, &error));
	for (size_t i = 0; i < count; i++)
		if (order[i] != wanted[i])
			fail_msg("%zu bolts, place %zu: bolt %u, published %u", count, i + 1, order[i],
			         wanted[i]);
}

/* ASME PCC-1, legacy cross-pattern, bolts numbered clockwise (the tables for 4, 8, 12 and 24 also
 * as reprinted by independent sources; 16, 20 and 32 from memory). */
static void test_pcc_1_cross_pattern(void **state)
{
	static const unsigned four[] = {1, 3, 2, 4};
	static const unsigned eight[] = {1, 5, 3, 7, 2, 6, 4, 8};
	static const unsigned twelve[] = {1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12};
	static const unsigned sixteen[] = {1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16};
	static const unsigned twenty[] = {1,  11, 6, 16, 3, 13, 8, 18, 5, 15,
	                                  10, 20, 2, 12, 7, 17, 4, 14, 9, 19};
	static const unsigned twenty_four[] = {1, 13, 7,  19, 4, 16, 10, 22, 2, 14, 8,  20,
	                                       5, 17, 11, 23, 3, 15, 9,  21, 6, 18, 12, 24};
	static const unsigned thirty_two[] = {1,  17, 9,  25, 5,  21, 13, 29, 3,  19, 11,
	                                      27, 7,  23, 15, 31, 2,  18, 10, 26, 6,  22,
	                                      14, 30, 4,  20, 12, 28, 8,  24, 16, 32};
	(void)state;

	assert_order(4, four);
	assert_order(8, eight);
	assert_order(12, twelve);
	assert_order(16, sixteen);
	assert_order(20, twenty);
	assert_order(24, twenty_four);
	assert_order(32, thirty_two);
}

/* Five wheel bolts are tightened in a star, six in opposite pairs: common practice, no source. */
static void test_star_and_pairs(void **state)
{
	static const unsigned five[] = {1, 3, 5, 2, 4};
	static const unsigned six[] = {1, 4, 2, 5, 3, 6};
	(void)state;

	assert_order(5, five);
	assert_order(6, six);
}

/* How far apart two bolts lie round the circle, in bolts. */
static unsigned apart(unsigned a, unsigned b, unsigned count)
{
	unsigned d = a > b ? a - b : b - a;
	return d < count - d ? d : count - d;
}

static void check_permutation(const unsigned *order, unsigned n)
{
	bool seen[FW_BOLTS_MOST + 1] = {false};

	for (unsigned i = 0; i < n; i++) {
		assert_in_range(order[i], 1, n);
		if (seen[order[i]])
			fail_msg("%u bolts: bolt %u comes twice", n, order[i]);
		seen[order[i]] = true;
	}
}

/* What any cross pattern must do, whatever the count: each bolt once; even counts in opposite
 * pairs; multiples of four in crosses, each pair a quarter turn from its partner; odd counts never
 * further from opposite than half a pitch. */
static void test_every_count(void **state)
{
	(void)state;
	for (unsigned n = 1; n <= FW_BOLTS_MOST; n++) {
		unsigned order[FW_BOLTS_MOST + 1];
		order[n] = 0xBEEFU;
		assert_ok(fw_circle_order(order, n, &error));
		assert_int_equal(order[n], 0xBEEFU);
		check_permutation(order, n);
		assert_int_equal(order[0], 1);
		if (n % 2 == 0)
			for (unsigned i = 0; i < n; i += 2)
				assert_int_equal(apart(order[i], order[i + 1], n), n / 2);
		if (n % 4 == 0)
			for (unsigned i = 0; i < n; i += 4) {
				assert_int_equal(apart(order[i], order[i + 2], n), n / 4);
				assert_int_equal(apart(order[i + 1], order[i + 3], n), n / 4);
			}
		if (n % 2 == 1)
			for (unsigned i = 1; i < n; i++)
				assert_int_equal(apart(order[i - 1], order[i], n), (n - 1) / 2);
	}
}

/* The wrench must not creep round the flange: crosses repeat every quarter, and the second lies at
 * least a third of a quarter from any bolt of the first. */
static void test_crosses_are_spread(void **state)
{
	(void)state;
	for (unsigned n = 16; n <= FW_BOLTS_MOST; n += 4) {
		unsigned order[FW_BOLTS_MOST];
		unsigned quarter = n / 4;
		assert_ok(fw_circle_order(order, n, &error));
		unsigned d = (order[4] - order[0]) % quarter;
		assert_true(3 * d >= quarter && 3 * (quarter - d) >= quarter);
	}
}

static void test_bad_counts(void **state)
{
	unsigned order[FW_BOLTS_MOST];
	(void)state;

	assert_code(fw_circle_order(order, 0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_circle_order(order, FW_BOLTS_MOST + 1, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "256");
	assert_code(fw_circle_order(order, SIZE_MAX, &error), FW_ERR_ARGUMENT);
	assert_code(fw_circle_order(NULL, 4, &error), FW_ERR_ARGUMENT);
}

static void refuse_passes(const double *share, size_t count, const char *says)
{
	assert_code(fw_passes_check(share, count, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
}

static void test_passes(void **state)
{
	/* 30, 60, 100 %: the passes of ASME PCC-1's legacy method, from memory. */
	static const double pcc[] = {0.3, 0.6, 1.0}, one[] = {1.0}, falling[] = {0.6, 0.5, 1.0};
	static const double again[] = {0.3, 0.6, 1.0, 1.0}, short_of[] = {0.5, 0.9},
	                    zero[] = {0.0, 1.0};
	static const double over[] = {0.5, 1.2}, minus[] = {-0.5, 1.0}, nan_[] = {NAN, 1.0};
	(void)state;

	assert_ok(fw_passes_check(pcc, 3, &error));
	assert_ok(fw_passes_check(one, 1, &error));
	refuse_passes(falling, 3, "number 2");
	assert_ok(fw_passes_check(again, 4, &error)); /* and once more round at the full torque */
	refuse_passes(short_of, 2, "the last must be 1");
	refuse_passes(zero, 2, "number 1");
	refuse_passes(over, 2, "number 2");
	refuse_passes(minus, 2, "number 1");
	refuse_passes(nan_, 2, "number 1");
	refuse_passes(pcc, 0, "none given");
	refuse_passes(NULL, 3, "none given");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_pcc_1_cross_pattern), cmocka_unit_test(test_star_and_pairs),
	    cmocka_unit_test(test_every_count),         cmocka_unit_test(test_crosses_are_spread),
	    cmocka_unit_test(test_bad_counts),          cmocka_unit_test(test_passes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
