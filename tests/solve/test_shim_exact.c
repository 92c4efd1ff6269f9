/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fw_shim_choose() against published subset sums, and against a deliberately naive search that
 * shares nothing with it: it counts through every stack like an odometer, keeps them all, has its
 * normal distribution from the C library's erfc, and applies the documented rule step by step. */
#include "check.h"
#include "draws.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/shim.h"

#define MM         1e-3
#define SIZES_MOST 7
#define COUNT(a)   (sizeof(a) / sizeof(a)[0])

static struct fw_error error;

/* A pack that adds up to `target` units of 0.01 mm exactly, as the subset sum of the kit. */
static struct fw_shim_choice pack(const unsigned *size, const unsigned *count, size_t sizes,
                                  unsigned target, size_t most)
{
	struct fw_shim kit[FW_STACK_MOST + 2];
	struct fw_datum datum = {.value = (target + 20.0) * 0.01 * MM, .u = 1e-9, .trials = 1};
	struct fw_limits limits = {19.6 * 0.01 * MM, 20.4 * 0.01 * MM, NAN};
	struct fw_shim_choice c;

	for (size_t i = 0; i < sizes; i++)
		kit[i] = (struct fw_shim){.thickness = size[i] * 0.01 * MM, .count = count ? count[i] : 1};
	assert_ok(fw_shim_choose(&c, &datum, kit, sizes, most, false, &limits, 0.0, &error));
	return c;
}

static void assert_pack(struct fw_shim_choice c, const unsigned *size, const unsigned *wanted,
                        size_t count)
{
	assert_int_equal(c.stack.count, count);
	for (size_t i = 0; i < count; i++)
		assert_int_equal(size[c.stack.shim[i]], wanted[i]);
	assert_near(c.probability, 1.0, 1e-12);
}

/* SUBSET_SUM data sets of Florida State University
 * (people.sc.fsu.edu/~jburkardt/datasets/subset_sum). P01 has three solutions for 53, 22+16+15,
 * 22+14+9+8 and 16+15+14+8: the fewest shims is the first. P02's only one has five terms. P04's has
 * six: 21+8+7+7+4+3. */
static void test_fsu_subset_sums(void **state)
{
	static const unsigned p01[] = {15, 22, 14, 26, 32, 9, 16, 8}, p01_answer[] = {22, 16, 15};
	static const unsigned p02[] = {267, 493, 869, 961, 1000, 1153, 1246, 1598, 1766, 1922};
	static const unsigned p02_answer[] = {1766, 1246, 1000, 961, 869};
	static const unsigned p04[] = {41, 34, 21, 20, 8, 7, 4, 3},
	                      p04_count[] = {1, 1, 1, 1, 1, 2, 1, 2};
	static const unsigned p04_answer[] = {21, 8, 7, 7, 4, 3};
	(void)state;

	assert_pack(pack(p01, NULL, 8, 53, 8), p01, p01_answer, 3);
	assert_pack(pack(p02, NULL, 10, 5842, 8), p02, p02_answer, 5);
	assert_pack(pack(p04, p04_count, 8, 50, 8), p04, p04_answer, 6);
}

/* --- the naive search --- */

struct naive {
	unsigned n[SIZES_MOST]; /* pieces of each size */
	unsigned pieces;
	double play, chance, distance;
};

struct problem {
	struct fw_shim kit[SIZES_MOST];
	size_t sizes, most;
	bool may_be_empty;
	struct fw_datum datum;
	struct fw_limits limits;
	double settle_u;
};

static double below(double z)
{
	return 0.5 * erfc(-z / sqrt(2.0));
}

static double chance_of(double play, double u, const struct fw_limits *l)
{
	if (u == 0.0)
		return play >= l->min && play <= l->max;
	return below((l->max - play) / u) - below((l->min - play) / u);
}

static void weigh(struct naive *s, const struct problem *p)
{
	double aim = fw_limits_aim(&p->limits), sum = 0.0;
	double variance = p->datum.u * p->datum.u + p->settle_u * p->settle_u;

	s->pieces = 0;
	for (size_t i = 0; i < p->sizes; i++) {
		const struct fw_shim *k = &p->kit[i];
		double n = s->n[i], left = 1.0 - k->crush, lost = n * k->thickness * k->crush_u;
		s->pieces += s->n[i];
		sum += n * k->thickness * left;
		variance += n * pow(left * k->u, 2.0) + lost * lost;
	}
	s->play = p->datum.value - sum;
	s->chance = chance_of(s->play, sqrt(variance), &p->limits);
	s->distance = fabs(s->play - aim);
}

/* Every combination of counts, one after another; those that may be fitted are kept. */
static size_t list_all(struct naive *list, const struct problem *p)
{
	struct naive now = {{0}, 0, 0.0, 0.0, 0.0};
	size_t kept = 0;

	for (;;) {
		weigh(&now, p);
		if (now.pieces <= p->most && (now.pieces > 0 || p->may_be_empty))
			list[kept++] = now;
		size_t i = 0;
		while (i < p->sizes && now.n[i] == p->kit[i].count)
			now.n[i++] = 0;
		if (i == p->sizes)
			return kept;
		now.n[i]++;
	}
}

/* True if `a` is the thinner where both are written out thickest first. */
static bool thinner(const struct naive *a, const struct naive *b, const struct problem *p)
{
	bool done[SIZES_MOST] = {false};

	for (size_t round = 0; round < p->sizes; round++) {
		size_t top = SIZE_MAX;
		for (size_t i = 0; i < p->sizes; i++)
			if (!done[i] && (top == SIZE_MAX || p->kit[i].thickness > p->kit[top].thickness))
				top = i;
		done[top] = true;
		if (a->n[top] != b->n[top])
			return a->n[top] < b->n[top];
	}
	return false;
}

static const struct naive *choose(const struct naive *list, size_t count, const struct problem *p)
{
	double best = 0.0, nearest = INFINITY, width = p->limits.max - p->limits.min;
	const struct naive *winner = NULL;

	for (size_t i = 0; i < count; i++)
		if (list[i].chance > best)
			best = list[i].chance;
	if (best < 0.01)
		return NULL;
	for (size_t i = 0; i < count; i++)
		if (list[i].chance >= best - 1e-3 && list[i].distance < nearest)
			nearest = list[i].distance;
	nearest += isfinite(width) ? 0.01 * width : 1e-6;
	for (size_t i = 0; i < count; i++) {
		const struct naive *s = &list[i];
		if (s->chance < best - 1e-3 || s->distance > nearest)
			continue;
		if (!winner || s->pieces < winner->pieces ||
		    (s->pieces == winner->pieces && thinner(s, winner, p)))
			winner = s;
	}
	return winner;
}

static unsigned below_n(uint64_t *seed, unsigned n)
{
	return (unsigned)(next(seed) % n);
}

/* Half the kits come in steps of 0.05 mm, where stacks of one thickness abound, half in odd sizes.
 */
static bool fill_kit(struct problem *p, uint64_t *seed)
{
	bool steps = below_n(seed, 2) == 0, gaskets = below_n(seed, 4) == 0,
	     exact = below_n(seed, 4) == 0;

	for (size_t i = 0; i < p->sizes; i++) {
		struct fw_shim *k = &p->kit[i];
		k->thickness = steps ? (1 + below_n(seed, 20)) * 0.05 * MM : (0.05 + uniform(seed)) * MM;
		k->count = 1 + below_n(seed, 4);
		k->u = exact ? 0.0 : uniform(seed) * 0.02 * MM;
		k->crush = gaskets ? uniform(seed) * 0.5 : 0.0;
		k->crush_u = gaskets ? uniform(seed) * 0.1 : 0.0;
		for (size_t j = 0; j < i; j++)
			if (fabs(p->kit[j].thickness - k->thickness) < 1e-7)
				return false;
	}
	return true;
}

static void make_problem(struct problem *p, uint64_t *seed)
{
	do {
		memset(p, 0, sizeof *p);
		p->sizes = 1 + below_n(seed, SIZES_MOST);
	} while (!fill_kit(p, seed));
	p->most = 1 + below_n(seed, 5);
	p->may_be_empty = below_n(seed, 2) == 0;
	p->datum.trials = 1;
	p->datum.value = uniform(seed) * 3.0 * MM;
	p->datum.u = below_n(seed, 5) == 0 ? 0.0 : uniform(seed) * 0.1 * MM;
	p->settle_u = below_n(seed, 3) == 0 ? 0.0 : uniform(seed) * 0.05 * MM;
	p->limits.min = (uniform(seed) * 0.6 - 0.1) * MM;
	p->limits.max = p->limits.min + (0.01 + uniform(seed) * 0.6) * MM;
	p->limits.aim = NAN;
	if (below_n(seed, 3) == 0)
		p->limits.aim = p->limits.min + uniform(seed) * (p->limits.max - p->limits.min);
	switch (below_n(seed, 8)) {
	case 0:
		p->limits = (struct fw_limits){-INFINITY, p->limits.max, NAN};
		break;
	case 1:
		p->limits = (struct fw_limits){p->limits.min, INFINITY, NAN};
		break;
	default:
		break;
	}
}

static void assert_same(const struct fw_shim_choice *c, const struct naive *wanted,
                        const struct problem *p, unsigned number)
{
	unsigned n[SIZES_MOST] = {0};

	for (size_t i = 0; i < c->stack.count; i++) {
		assert_true(c->stack.shim[i] < p->sizes);
		n[c->stack.shim[i]]++;
		if (i > 0)
			assert_true(p->kit[c->stack.shim[i]].thickness <=
			            p->kit[c->stack.shim[i - 1]].thickness);
	}
	for (size_t i = 0; i < p->sizes; i++)
		if (n[i] != wanted->n[i])
			fail_msg("problem %u: %u of size %zu, the naive search takes %u (chance %g against %g)",
			         number, n[i], i, wanted->n[i], c->probability, wanted->chance);
	assert_near(c->play, wanted->play, 1e-15);
	assert_near(c->probability, wanted->chance, 1e-9);
}

static void reverse_kit(struct problem *p)
{
	for (size_t i = 0; i < p->sizes / 2; i++) {
		struct fw_shim s = p->kit[i];
		p->kit[i] = p->kit[p->sizes - 1 - i];
		p->kit[p->sizes - 1 - i] = s;
	}
}

static int call(struct fw_shim_choice *c, const struct problem *p)
{
	return fw_shim_choose(c, &p->datum, p->kit, p->sizes, p->most, p->may_be_empty, &p->limits,
	                      p->settle_u, &error);
}

/* 5^7 combinations at most. */
static struct naive list[78125];

/* 4000 kits: the same stack as the naive search, or both find none; in whatever order the kit is.
 */
static void test_against_naive_search(void **state)
{
	uint64_t seed = 20240229;
	unsigned served = 0, refused = 0, several = 0;
	(void)state;

	for (unsigned number = 0; number < 4000; number++) {
		struct problem p;
		struct fw_shim_choice c, again;
		make_problem(&p, &seed);
		size_t count = list_all(list, &p);
		const struct naive *wanted = choose(list, count, &p);
		if (!wanted) {
			assert_code(call(&c, &p), FW_ERR_RANGE);
			refused++;
			continue;
		}
		assert_ok(call(&c, &p));
		assert_same(&c, wanted, &p, number);
		served++;
		several += c.stack.count > 1;
		reverse_kit(&p);
		assert_ok(call(&again, &p));
		assert_int_equal(again.stack.count, c.stack.count);
		for (size_t i = 0; i < c.stack.count; i++)
			assert_int_equal(again.stack.shim[i], p.sizes - 1 - c.stack.shim[i]);
	}
	print_message("%u kits served (%u with more than one shim), %u refused\n", served, several,
	              refused);
	assert_true(served >= 2000 && several >= 1000 && refused >= 200);
}

/* Whole hundredths of a millimetre, nothing uncertain: every shim that leaves the play exactly on a
 * limit serves (conform.h), whatever the last bit of a subtraction says. */
static void test_on_the_limit(void **state)
{
	unsigned tried = 0;
	struct fw_shim_choice c;
	(void)state;

	for (unsigned datum = 12; datum < 80; datum++)
		for (unsigned shim = 5; shim < datum; shim++) {
			double play = (datum - shim) / 100.0 * MM;
			struct fw_datum d = {.value = datum / 100.0 * MM, .trials = 1};
			struct fw_shim kit = {.thickness = shim / 100.0 * MM, .count = 1};
			struct fw_limits limits[] = {{play, play + 1e-5, NAN}, {play - 1e-5, play, NAN}};
			for (size_t k = 0; k < COUNT(limits); k++, tried++) {
				assert_ok(fw_shim_choose(&c, &d, &kit, 1, 1, false, &limits[k], 0.0, &error));
				assert_true(c.probability == 1.0 && c.play == play);
			}
			/* 2 pm beyond it isn't on it. */
			limits[1].max -= 2e-12;
			limits[1].min -= 2e-12;
			assert_code(fw_shim_choose(&c, &d, &kit, 1, 1, false, &limits[1], 0.0, &error),
			            FW_ERR_RANGE);
		}
	assert_true(tried > 4000);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_fsu_subset_sums),
	    cmocka_unit_test(test_against_naive_search),
	    cmocka_unit_test(test_on_the_limit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
