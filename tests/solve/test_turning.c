/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Turning torque by cord and scale against manuals; the stack for a torque against a line drawn by
 * hand and a simulation. */
#include "check.h"

#include <string.h>

#include "fitwright/preload.h"

#define MM       1e-3
#define INCH     25.4e-3
#define LBF      4.4482216152605
#define LBF_IN   (LBF * INCH)
#define LBF_FT   (12.0 * LBF_IN)
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

/* U.S. Army TM 5-3895-346-14: 7 pounds at 9 inches from the centre are 63 pound inches, 5.25 pound
 * feet. TM 5-3805-257-14P, a hub of 8-5/16 inches radius: 15 to 20 ft-lb of rotating torque are 21
 * to 28 lb on the scale, 6 to 12 are 9 to 17 (its figures are whole pounds, some cut off). */
static void test_scale_against_manuals(void **state)
{
	static const double torque[] = {15, 20, 6, 12}, scale[] = {21, 28, 9, 17};
	double out;
	(void)state;

	assert_ok(fw_turning_torque(&out, 7 * LBF, 18 * INCH, 0.0, &error));
	assert_near(out / LBF_IN, 63.0, 1e-9);
	assert_near(out / LBF_FT, 5.25, 1e-9);
	for (size_t i = 0; i < COUNT(torque); i++) {
		assert_ok(fw_turning_pull(&out, torque[i] * LBF_FT, 2 * 8.3125 * INCH, 0.0, &error));
		assert_near(out / LBF, scale[i], 0.9);
		assert_ok(fw_turning_torque(&out, out, 2 * 8.3125 * INCH, 0.0, &error));
		assert_near(out / LBF_FT, torque[i], 1e-9);
	}
}

/* The cord pulls at its own middle: 20 N, 78 mm and 2 mm of cord are 20 · 40 mm. */
static void test_cord(void **state)
{
	double out;
	(void)state;

	assert_ok(fw_turning_torque(&out, 20.0, 78 * MM, 2 * MM, &error));
	assert_near(out, 0.8, 1e-12);
	assert_ok(fw_turning_pull(&out, 0.8, 78 * MM, 2 * MM, &error));
	assert_near(out, 20.0, 1e-9);
}

static void test_bad_pulls(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY, -1.0, 1e9};
	double out = 7.0;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		assert_code(fw_turning_torque(&out, bad[i], 0.1, 0.0, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "pull");
		assert_code(fw_turning_torque(&out, 1.0, bad[i], 0.0, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "diameter");
		assert_code(fw_turning_torque(&out, 1.0, 0.1, bad[i], &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "cord");
		assert_code(fw_turning_pull(&out, bad[i], 0.1, 0.0, &error), FW_ERR_ARGUMENT);
		assert_contains(error.text, "torque must");
		assert_code(fw_turning_pull(&out, 1.0, bad[i], 0.0, &error), FW_ERR_ARGUMENT);
	}
	assert_code(fw_turning_torque(&out, 1.0, 0.0, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turning_torque(&out, 1.0, 0.1, 0.1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turning_torque(NULL, 1.0, 0.1, 0.0, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turning_pull(NULL, 1.0, 0.1, 0.0, &error), FW_ERR_ARGUMENT);
	assert_near(out, 7.0, 0.0); /* untouched */
}

/* 1.0 N·m at 1.60 mm, 2.5 at 1.66: 25 N·m a millimetre; 2.0 ± 0.5 at 1.64 ± 0.02. Figures invented,
 * the line drawn by hand. */
static void test_line_by_hand(void **state)
{
	struct fw_turning a = {1.60 * MM, 1.0, 0.1}, b = {1.66 * MM, 2.5, 0.1};
	struct fw_limits torque = {1.5, 2.5, NAN};
	struct fw_turning_line line, other;
	(void)state;

	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_near(line.slope * MM, 25.0, 1e-9);
	assert_near(line.stack / MM, 1.64, 1e-9);
	assert_near(line.low / MM, 1.62, 1e-9);
	assert_near(line.high / MM, 1.66, 1e-9);
	assert_false(line.beyond);
	/* Which reading comes first doesn't matter. */
	assert_ok(fw_turning_stack(&other, &b, &a, &torque, &error));
	assert_near(other.stack, line.stack, 1e-15);
	assert_near(other.stack_u, line.stack_u, 1e-15);

	/* Under a cap more shims loosen: the slope turns, the order of the bounds stays. */
	b.stack = 1.54 * MM;
	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_near(line.slope * MM, -25.0, 1e-9);
	assert_near(line.stack / MM, 1.56, 1e-9);
	assert_near(line.low / MM, 1.54, 1e-9);
	assert_near(line.high / MM, 1.58, 1e-9);

	/* One-sided limits leave one side open. */
	torque = (struct fw_limits){1.5, INFINITY, 2.0};
	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_true(isinf(line.low) && line.low < 0.0);
	assert_near(line.high / MM, 1.58, 1e-9);
}

/* 0.10 mm at 1.0 N·m, 0.16 at 2.5: trusted from 0.04 to 0.22, and never below none. Limits far out
 * say no more than that; limits inside are not touched. By hand. */
static void test_trusted_no_further(void **state)
{
	struct fw_turning a = {0.10 * MM, 1.0, 0.0}, b = {0.16 * MM, 2.5, 0.0};
	struct fw_limits torque = {0.0, 40.0, 2.0};
	struct fw_turning_line line;
	(void)state;

	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_near(line.stack / MM, 0.14, 1e-9);
	assert_near(line.low / MM, 0.06, 1e-9); /* 0.10 - 1.0/25 */
	assert_near(line.high / MM, 0.22, 1e-9);
	assert_true(!line.low_cut && line.high_cut);

	a.stack -= 0.05 * MM;
	b.stack -= 0.05 * MM;
	torque = (struct fw_limits){0.0, 3.0, 2.0}; /* at 0.01, then 0.13 */
	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_near(line.low / MM, 0.01, 1e-9);
	assert_near(line.high / MM, 0.13, 1e-9);
	assert_true(!line.low_cut && !line.high_cut);
	a.stack -= 0.04 * MM;
	b.stack -= 0.04 * MM;
	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_near(line.low, 0.0, 0.0);
	assert_true(line.low_cut && !line.high_cut);

	/* An open limit stays open. */
	torque.max = INFINITY;
	assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
	assert_true(isinf(line.high) && !line.high_cut);
}

/* splitmix64 (public domain), Box and Muller. */
static double uniform(uint64_t *seed)
{
	uint64_t z = *seed += 0x9E3779B97F4A7C15U;

	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
	return ((double)((z ^ (z >> 31)) >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(uint64_t *seed)
{
	double r = sqrt(-2.0 * log(uniform(seed)));

	return r * cos(2.0 * 3.14159265358979323846 * uniform(seed));
}

/* Readings drawn again and again off a true line: the stacks worked out scatter as promised,
 * between the readings and beyond them. First order, hence 3 %. */
static void test_uncertainty_by_simulation(void **state)
{
	static const double aims[] = {1.0, 1.75, 2.5, 3.2};
	uint64_t seed = 5;
	(void)state;

	for (size_t k = 0; k < COUNT(aims); k++) {
		struct fw_limits torque = {aims[k] - 0.5, aims[k] + 0.5, NAN};
		struct fw_turning_line line;
		double sum = 0.0, squares = 0.0, n = 20000.0;
		struct fw_turning a = {1.60 * MM, 1.0, 0.02}, b = {1.66 * MM, 2.5, 0.03};
		assert_ok(fw_turning_stack(&line, &a, &b, &torque, &error));
		assert_int_equal(line.beyond, aims[k] > 2.5);
		for (int i = 0; i < (int)n; i++) {
			struct fw_turning x = a, y = b;
			struct fw_turning_line drawn;
			x.torque += 0.02 * normal(&seed);
			y.torque += 0.03 * normal(&seed);
			assert_ok(fw_turning_stack(&drawn, &x, &y, &torque, &error));
			double off = (drawn.stack - line.stack) / MM;
			sum += off;
			squares += off * off;
		}
		double sd = sqrt(squares / n - sum / n * (sum / n));
		assert_near(line.stack_u / MM / sd, 1.0, 0.03);
		assert_near(line.torque_u, line.stack_u * line.slope, 1e-12);
	}
}

static void refuse(struct fw_turning a, struct fw_turning b, struct fw_limits torque, int code,
                   const char *says)
{
	struct fw_turning_line line;

	assert_code(fw_turning_stack(&line, &a, &b, &torque, &error), code);
	assert_contains(error.text, says);
}

static void test_bad_readings(void **state)
{
	static const double bad[] = {NAN, INFINITY, -INFINITY, -1.0, 1e9};
	const struct fw_turning a = {1.60 * MM, 1.0, 0.1}, b = {1.66 * MM, 2.5, 0.1};
	const struct fw_limits torque = {1.5, 2.5, NAN};
	struct fw_turning_line line;
	struct fw_turning c;
	(void)state;

	for (size_t i = 0; i < COUNT(bad); i++) {
		c = a;
		c.stack = bad[i];
		refuse(c, b, torque, FW_ERR_ARGUMENT, "reading 1: the stack");
		c = b;
		c.torque = bad[i];
		refuse(a, c, torque, FW_ERR_ARGUMENT, "reading 2: the torque");
		c = b;
		c.torque_u = bad[i];
		refuse(a, c, torque, FW_ERR_ARGUMENT, "reading 2: the uncertainty");
	}
	c = a;
	c.torque = 0.0;
	refuse(c, b, torque, FW_ERR_ARGUMENT, "play left");
	c = b;
	c.stack = a.stack;
	refuse(a, c, torque, FW_ERR_ARGUMENT, "same stack");
	c = b;
	c.torque = 1.2;
	refuse(a, c, torque, FW_ERR_RANGE, "no more than their uncertainty");
	c.torque = 1.0;
	c.torque_u = 0.0;
	refuse((struct fw_turning){1.6 * MM, 1.0, 0.0}, c, torque, FW_ERR_RANGE, "differ by no more");
	refuse(a, b, (struct fw_limits){2.5, 1.5, NAN}, FW_ERR_ARGUMENT, "swapped");
	refuse(a, b, (struct fw_limits){-INFINITY, 0.0, NAN}, FW_ERR_ARGUMENT, "above zero");
	refuse(a, b, (struct fw_limits){-2.0, 1.0, NAN}, FW_ERR_ARGUMENT, "least torque");
	refuse(a, b, (struct fw_limits){-5.0, 40.0, 2.0}, FW_ERR_ARGUMENT, "least torque");
	refuse(a, b, (struct fw_limits){1.5, 2e6, 2.0}, FW_ERR_ARGUMENT, "greatest torque");
	refuse(a, b, (struct fw_limits){1.5, NAN, NAN}, FW_ERR_ARGUMENT, "");
	/* 1.5 apart: 4.0 is as far beyond as is trusted. */
	assert_ok(fw_turning_stack(&line, &a, &b, &(struct fw_limits){3.5, 4.5, 3.99}, &error));
	assert_true(line.beyond);
	refuse(a, b, (struct fw_limits){3.5, 4.5, 4.01}, FW_ERR_RANGE, "nearer");
	/* 10 µm of shims in, loosened by more than that. */
	refuse((struct fw_turning){0.01 * MM, 1.0, 0.1}, (struct fw_turning){0.07 * MM, 2.5, 0.1},
	       (struct fw_limits){0.1, 0.3, NAN}, FW_ERR_RANGE, "less than none");
	assert_code(fw_turning_stack(NULL, &a, &b, &torque, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turning_stack(&line, NULL, &b, &torque, &error), FW_ERR_ARGUMENT);
	assert_code(fw_turning_stack(&line, &a, &b, NULL, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_scale_against_manuals),
	    cmocka_unit_test(test_cord),
	    cmocka_unit_test(test_bad_pulls),
	    cmocka_unit_test(test_line_by_hand),
	    cmocka_unit_test(test_trusted_no_further),
	    cmocka_unit_test(test_uncertainty_by_simulation),
	    cmocka_unit_test(test_bad_readings),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
