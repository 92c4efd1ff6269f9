/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must hold whatever the figures: units, origin and order don't matter, a larger kit is no
 * worse, what is advised serves. And a trial in doubt against Bayes' rule, shims against manuals.
 */
#include "check.h"
#include "draws.h"

#include <limits.h>
#include <stdbool.h>
#include <string.h>

#include "fitwright/shim.h"

#define MM       1e-3
#define INCH     25.4e-3
#define THOU     25.4e-6
#define SIZES    6
#define COUNT(a) (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

struct problem {
	struct fw_shim kit[SIZES + 1];
	size_t sizes, most;
	struct fw_datum datum;
	struct fw_limits limits;
	double settle_u;
};

static struct problem make(uint64_t *seed)
{
	struct problem p = {.sizes = SIZES, .most = 3, .datum = {.trials = 1}};

	for (size_t i = 0; i < SIZES; i++)
		p.kit[i] = (struct fw_shim){.thickness = (0.05 + 0.9 * uniform(seed)) * MM,
		                            .u = 0.004 * uniform(seed) * MM,
		                            .crush = uniform(seed) < 0.5 ? 0.0 : 0.3 * uniform(seed),
		                            .crush_u = 0.02 * uniform(seed),
		                            .count = 1 + (unsigned)(3.0 * uniform(seed))};
	p.datum.value = 2.5 * uniform(seed) * MM;
	p.datum.u = (0.002 + 0.03 * uniform(seed)) * MM;
	p.limits.min = 0.3 * uniform(seed) * MM;
	p.limits.max = p.limits.min + (0.02 + 0.2 * uniform(seed)) * MM;
	p.limits.aim = p.limits.min + uniform(seed) * (p.limits.max - p.limits.min);
	p.settle_u = 0.01 * uniform(seed) * MM;
	return p;
}

static int choose(struct fw_shim_choice *c, const struct problem *p)
{
	return fw_shim_choose(c, &p->datum, p->kit, p->sizes, p->most, true, &p->limits, p->settle_u,
	                      &error);
}

static void assert_same_stack(const struct fw_shim_choice *a, const struct fw_shim_choice *b)
{
	assert_int_equal(a->stack.count, b->stack.count);
	for (size_t i = 0; i < a->stack.count; i++)
		assert_int_equal(a->stack.shim[i], b->stack.shim[i]);
}

static void scale(struct problem *p, double factor)
{
	for (size_t i = 0; i < p->sizes; i++) {
		p->kit[i].thickness *= factor;
		p->kit[i].u *= factor;
	}
	p->datum.value *= factor;
	p->datum.u *= factor;
	p->limits.min *= factor;
	p->limits.max *= factor;
	p->limits.aim *= factor;
	p->settle_u *= factor;
}

/* All lengths by one factor: the same stack at the same chance. */
static void test_units_do_not_matter(void **state)
{
	uint64_t seed = 7;
	unsigned served = 0;
	(void)state;

	for (int i = 0; i < 500; i++) {
		struct problem p = make(&seed);
		struct fw_shim_choice a, b;
		if (choose(&a, &p) != FW_OK)
			continue;
		double factor = i % 2 ? 25.4 : 1.0 / 25.4;
		scale(&p, factor);
		assert_ok(choose(&b, &p));
		assert_same_stack(&a, &b);
		assert_near(b.play, factor * a.play, 1e-12);
		assert_near(b.probability, a.probability, 1e-9);
		served++;
	}
	assert_true(served > 100);
}

/* Datum, limits and aim moved together: the same stack; so play may be negative, preload. */
static void test_origin_does_not_matter(void **state)
{
	uint64_t seed = 11;
	unsigned served = 0, negative = 0;
	(void)state;

	for (int i = 0; i < 500; i++) {
		struct problem p = make(&seed);
		struct fw_shim_choice a, b;
		double by = (i % 2 ? 0.7 : -0.7) * MM;
		if (choose(&a, &p) != FW_OK || p.datum.value + by <= p.limits.min + by)
			continue;
		p.datum.value += by;
		p.limits.min += by;
		p.limits.max += by;
		p.limits.aim += by;
		assert_ok(choose(&b, &p));
		assert_same_stack(&a, &b);
		assert_near(b.play, a.play + by, 1e-15);
		assert_near(b.probability, a.probability, 1e-9);
		served++;
		negative += b.play < 0.0;
	}
	assert_true(served > 100 && negative > 30);
}

static void test_order_does_not_matter(void **state)
{
	uint64_t seed = 13;
	unsigned served = 0;
	(void)state;

	for (int i = 0; i < 300; i++) {
		struct problem p = make(&seed), q;
		struct fw_shim_choice a, b;
		q = p;
		for (size_t k = 0; k < SIZES; k++)
			q.kit[(k * 5 + 2) % SIZES] = p.kit[k];
		int rc = choose(&a, &p);
		assert_int_equal(choose(&b, &q), rc);
		assert_true(a.wanted == b.wanted && (a.add == b.add || (isnan(a.add) && isnan(b.add))));
		for (size_t k = 0; k < a.with.count; k++)
			assert_int_equal(b.with.shim[k], (a.with.shim[k] * 5 + 2) % SIZES);
		if (rc != FW_OK)
			continue;
		for (size_t k = 0; k < a.stack.count; k++)
			assert_int_equal(b.stack.shim[k], (a.stack.shim[k] * 5 + 2) % SIZES);
		served++;
	}
	assert_true(served > 100);
}

/* One more size can't make the best chance worse, but for the tie that is allowed for the aim. */
static void test_a_larger_kit_is_no_worse(void **state)
{
	uint64_t seed = 17;
	unsigned gained = 0;
	(void)state;

	for (int i = 0; i < 500; i++) {
		struct problem p = make(&seed);
		struct fw_shim_choice a, b;
		p.sizes = SIZES - 1;
		int before = choose(&a, &p);
		p.sizes = SIZES;
		int after = choose(&b, &p);
		assert_true(after == FW_OK || before != FW_OK);
		if (before != FW_OK)
			continue;
		assert_true(b.probability >= a.probability - FW_SHIM_TIE_PROBABILITY - 1e-12);
		gained += b.probability > a.probability + 0.01;
	}
	assert_true(gained > 20);
}

/* What is advised serves: with the one piece of `add` bought, it is fitted with `with`, at the aim.
 */
static void test_the_piece_to_get(void **state)
{
	uint64_t seed = 19;
	unsigned alone = 0, together = 0;
	(void)state;

	for (int i = 0; i < 1500; i++) {
		struct problem p = make(&seed);
		struct fw_shim_choice a, b;
		double thinnest = INFINITY;
		p.datum.u = 0.002 * MM;
		p.settle_u = 0.0;
		for (size_t k = 0; k < SIZES; k++) {
			p.kit[k].u = p.kit[k].crush_u = 0.0;
			thinnest = fmin(thinnest, p.kit[k].thickness * (1.0 - p.kit[k].crush));
		}
		int rc = choose(&a, &p);
		assert_true(rc == FW_OK || rc == FW_ERR_RANGE);
		if (rc == FW_OK && a.probability >= FW_CONFORMANCE) {
			assert_true(isnan(a.add) && a.with.count == 0);
			continue;
		}
		if (a.wanted <= 0.0)
			continue;
		assert_near(a.wanted, p.datum.value - p.limits.aim, 1e-15);
		double add = a.with.count > 0 ? a.add : a.wanted;
		if (a.with.count > 0) {
			assert_true(a.with.count < p.most && a.add >= thinnest - 2e-9);
			assert_near(a.add + a.with.thickness, a.wanted, 1e-15);
			together++;
		} else {
			assert_true(isnan(a.add));
			alone++;
		}
		p.kit[SIZES] = (struct fw_shim){.thickness = add, .count = 1};
		p.sizes = SIZES + 1;
		p.limits.aim = NAN; /* the middle: there the chance is greatest too */
		double off = fw_limits_aim(&p.limits) - (p.datum.value - a.wanted);
		p.limits.min -= off;
		p.limits.max -= off;
		assert_ok(choose(&b, &p));
		double share = erf((p.limits.max - p.limits.min) / 2.0 / p.datum.u / sqrt(2.0));
		assert_true(b.probability >= share - FW_SHIM_TIE_PROBABILITY - 1e-9);
		assert_true(b.probability > a.probability || a.probability > share - 1e-2);
	}
	assert_true(alone > 50 && together > 100);
}

static void test_the_piece_in_words(void **state)
{
	struct fw_shim kit[] = {{.thickness = 1.0 * MM, .count = 3},
	                        {.thickness = 2.0 * MM, .count = 2}};
	struct fw_datum d = {.value = 5.80 * MM, .u = 0.01 * MM, .trials = 1};
	struct fw_limits limits = {0.30 * MM, 0.46 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	assert_code(fw_shim_choose(&c, &d, kit, 2, 3, false, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "get a shim of 5.42 mm");
	assert_contains(error.text, "a stack of 5.34 mm (0.2102 in) to 5.50 mm (0.2165 in) in all");
	assert_contains(error.text,
	                "or one of 1.42 mm (0.0559 in) to go with 2 of 2.00 mm (0.0787 in)");
	assert_near(c.add / MM, 1.42, 1e-9);
	assert_int_equal(c.with.count, 2);
	assert_int_equal(c.with.shim[0], 1);
	assert_near(c.with.thickness / MM, 4.0, 1e-12);

	/* Another of a size that has run out. */
	d.value = 3.38 * MM;
	kit[0].count = 2;
	kit[1].count = 1;
	assert_code(fw_shim_choose(&c, &d, &kit[0], 1, 3, false, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "or one of 1.00 mm (0.0394 in) to go with 2 of 1.00 mm");
	assert_contains(error.text, "a stack of 2.92 mm");
	/* One size of each: "and". */
	d.value = 5.38 * MM;
	kit[0].count = 1;
	assert_code(fw_shim_choose(&c, &d, kit, 2, 3, false, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_contains(error.text, "to go with 2.00 mm (0.0787 in) and 1.00 mm (0.0394 in)");
	/* One piece alone is all there is room for. */
	assert_code(fw_shim_choose(&c, &d, kit, 2, 1, false, &limits, 0.0, &error), FW_ERR_RANGE);
	assert_true(isnan(c.add) && c.with.count == 0 && !strstr(error.text, "to go with"));
}

static double density(double x, double sd)
{
	return exp(-0.5 * x * x / (sd * sd)) / (sd * sqrt(2.0 * 3.14159265358979323846));
}

/* Bayes' rule on two hypotheses with normal densities, and the first two moments of a mixture
 * (common statistics): E = sum p·m, V = sum p·(v + m²) - E². Seating alone, so that trials that
 * agree average as v/2. */
static void test_a_trial_in_doubt(void **state)
{
	static const double off[] = {2.01, 2.5, 3.0, 3.5, 3.99};
	const double sd = sqrt(2.0), spread = FW_MOVED_SPREAD * sd;
	(void)state;

	for (size_t i = 0; i < COUNT(off); i++)
		for (int sign = -1; sign <= 1; sign += 2) {
			struct fw_datum d = {0};
			struct fw_trial t;
			double x = sign * off[i] * sd;
			assert_ok(fw_shim_learn(&d, 31 * THOU, 0, 55 * THOU, 0, THOU, 4, NULL, &error));
			assert_ok(fw_shim_learn(&d, 66 * THOU, 0, (20 + x) * THOU, 0, THOU, 4, &t, &error));
			double moved = FW_MOVED_CHANCE * density(x, spread);
			double p = moved / (moved + (1.0 - FW_MOVED_CHANCE) * density(x, sd));
			double mean = (1.0 - p) * (x / 2.0) + p * x;
			double square = (1.0 - p) * (0.5 + x * x / 4.0) + p * (1.0 + x * x);
			assert_false(t.surprise);
			assert_near(t.doubt, p, 1e-6);
			assert_near(d.value / THOU, 86.0 + mean, 1e-6);
			assert_near(d.u / THOU, sqrt(square - mean * mean), 1e-6);
			assert_int_equal(d.trials, 2);

			/* The first has so much less to say to the third: shares as 1 - p to 1 to 1. */
			double before = d.value / THOU;
			assert_ok(fw_shim_learn(&d, 66 * THOU, 0, (before - 66 + 0.5) * THOU, 0, THOU, 4, &t,
			                        &error));
			assert_true(t.doubt == 0.0);
			assert_near(d.value / THOU, before + 0.5 / (3.0 - p), 1e-6);
		}
}

/* As expected up to 2, and there the plain mean holds; a surprise is beyond all doubt. */
static void test_no_doubt(void **state)
{
	struct fw_datum d = {0};
	struct fw_trial t;
	(void)state;

	assert_ok(fw_shim_learn(&d, 31 * THOU, 0, 55 * THOU, 0, THOU, 4, &t, &error));
	assert_true(t.doubt == 0.0);
	assert_ok(fw_shim_learn(&d, 66 * THOU, 0, 22.8 * THOU, 0, THOU, 4, &t, &error));
	assert_true(t.sigmas > 1.97 && t.doubt == 0.0);
	assert_near(d.value / THOU, 87.4, 1e-9);
	assert_ok(fw_shim_learn(&d, 66 * THOU, 0, 40 * THOU, 0, THOU, 4, &t, &error));
	assert_true(t.surprise && t.doubt == 1.0);
	/* A high threshold of the caller's: doubt grows to certainty all the same, without overflow. */
	assert_ok(fw_shim_learn(&d, 66 * THOU, 0, 900 * THOU, 0, THOU, 1e6, &t, &error));
	assert_true(!t.surprise && t.doubt == 1.0);
	assert_near(d.value / THOU, 966.0, 1e-6);
	assert_near(d.u / THOU, 1.0, 1e-6);
}

/* U.S. Army TM 10-4320-307-24, gear cover: a space of 0.060 in measured without shims, plus 0.010
 * for a clearance of 0.008 to 0.013: 0.070 in of shims; they come in 0.002, 0.005, 0.010 and 0.025.
 * Clearance is float: a nip with the other sign. */
static void test_gear_cover(void **state)
{
	struct fw_shim kit[] = {{.thickness = 0.002 * INCH, .count = 4},
	                        {.thickness = 0.005 * INCH, .count = 4},
	                        {.thickness = 0.010 * INCH, .count = 4},
	                        {.thickness = 0.025 * INCH, .count = 4}};
	struct fw_limits nip = {-0.013 * INCH, -0.008 * INCH, -0.010 * INCH};
	struct fw_shim_choice c;
	(void)state;

	assert_ok(fw_gasket_choose(&c, 0.060 * INCH, 0.0002 * INCH, kit, 4, 8, &nip, &error));
	assert_near(c.stack.thickness / INCH, 0.070, 1e-12);
	assert_near(c.play / INCH, -0.010, 1e-12);
	assert_int_equal(c.stack.count, 4); /* 25 + 25 + 10 + 10, no fewer can */
}

/* U.S. Army TM 10-3930-660-34, pump yoke: depths of 0.029 and 0.027 in, on average 0.028, less
 * 0.008 of preload: a shim of 0.020 in. The bounds of the preload are invented. */
static void test_pump_yoke(void **state)
{
	struct fw_shim kit[] = {{.thickness = 0.003 * INCH, .count = 2},
	                        {.thickness = 0.005 * INCH, .count = 2},
	                        {.thickness = 0.010 * INCH, .count = 2},
	                        {.thickness = 0.020 * INCH, .count = 1}};
	struct fw_limits preload = {0.006 * INCH, 0.010 * INCH, NAN};
	struct fw_shim_choice c;
	(void)state;

	assert_ok(fw_gasket_choose(&c, (0.029 + 0.027) / 2 * INCH, 0.0005 * INCH, kit, 4, 4, &preload,
	                           &error));
	assert_int_equal(c.stack.count, 1);
	assert_int_equal(c.stack.shim[0], 3);
	assert_near(c.play / INCH, 0.008, 1e-12);
}

/* Taper rollers: 0.12 mm of play read with 1.50 mm in; 0.03 to 0.08 mm of preload asked for, so
 * 0.15 to 0.20 mm more than takes up the play. Figures invented, the subtraction common practice.
 */
static void test_preload_by_shims(void **state)
{
	struct fw_shim kit[] = {{.thickness = 1.50 * MM, .count = 1},
	                        {.thickness = 0.10 * MM, .count = 2},
	                        {.thickness = 0.15 * MM, .count = 1},
	                        {.thickness = 0.18 * MM, .count = 1},
	                        {.thickness = 0.25 * MM, .count = 1}};
	struct fw_limits preload = {-0.08 * MM, -0.03 * MM, NAN};
	struct fw_datum d = {0};
	struct fw_shim_choice c;
	(void)state;

	assert_ok(fw_shim_learn(&d, 1.50 * MM, 0.0, 0.12 * MM, 0.005 * MM, 0.0, 4, NULL, &error));
	assert_ok(fw_shim_choose(&c, &d, kit, COUNT(kit), 2, false, &preload, 0.0, &error));
	assert_int_equal(c.stack.count, 2);
	assert_near(c.stack.thickness / MM, 1.68, 1e-9);
	assert_near(c.play / MM, -0.06, 1e-9);
	/* 0.02 mm to one side, 0.03 to the other, 0.005 uncertain. */
	assert_near(c.probability, 0.5 * (erf(4.0 / sqrt(2.0)) + erf(6.0 / sqrt(2.0))), 1e-9);
}

static void test_millions(void **state)
{
	struct fw_shim kit[] = {{.thickness = 0.1 * MM, .count = UINT_MAX}};
	struct fw_datum d = {.value = 0.5 * MM, .u = 0.01 * MM, .trials = 1};
	struct fw_limits limits = {0.05 * MM, 0.15 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	/* A million pieces of one size are four that fit; a million sizes are refused unread. */
	assert_ok(fw_shim_choose(&c, &d, kit, 1, 8, false, &limits, 0.0, &error));
	assert_int_equal(c.stack.count, 4);
	assert_code(fw_shim_choose(&c, &d, kit, 1000000, 8, false, &limits, 0.0, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, "1000000 sizes, at most 1024");
}

/* A kit of 1,024 sizes is answered, or refused for the number of its stacks, never searched for
 * ever. */
static void test_a_thousand_sizes(void **state)
{
	static struct fw_shim kit[FW_KIT_SIZES];
	struct fw_datum d = {.value = 1.1 * MM, .u = 0.01 * MM, .trials = 1};
	struct fw_limits limits = {0.05 * MM, 0.15 * MM, NAN};
	struct fw_shim_choice c;
	(void)state;

	for (size_t i = 0; i < FW_KIT_SIZES; i++)
		kit[i] = (struct fw_shim){.thickness = (0.1 + 0.001 * (double)i) * MM, .count = 9};
	assert_ok(fw_shim_choose(&c, &d, kit, FW_KIT_SIZES, 2, false, &limits, 0.0, &error));
	assert_near(c.play / MM, 0.10, 0.002);
	assert_int_equal(c.stack.count, 1);
	assert_code(fw_shim_choose(&c, &d, kit, FW_KIT_SIZES, 4, false, &limits, 0.0, &error),
	            FW_ERR_RANGE);
	assert_contains(error.text, "1024 sizes and up to 4 pieces");
	d.value = 1000.0; /* nothing serves: said at once */
	assert_code(fw_shim_choose(&c, &d, kit, FW_KIT_SIZES, 2, false, &limits, 0.0, &error),
	            FW_ERR_RANGE);
	assert_contains(error.text, "to go with");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_units_do_not_matter),
	    cmocka_unit_test(test_origin_does_not_matter),
	    cmocka_unit_test(test_order_does_not_matter),
	    cmocka_unit_test(test_a_larger_kit_is_no_worse),
	    cmocka_unit_test(test_the_piece_to_get),
	    cmocka_unit_test(test_the_piece_in_words),
	    cmocka_unit_test(test_a_trial_in_doubt),
	    cmocka_unit_test(test_no_doubt),
	    cmocka_unit_test(test_gear_cover),
	    cmocka_unit_test(test_pump_yoke),
	    cmocka_unit_test(test_preload_by_shims),
	    cmocka_unit_test(test_millions),
	    cmocka_unit_test(test_a_thousand_sizes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
