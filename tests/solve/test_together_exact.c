/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fw_together_choose() against a deliberately naive search that shares nothing with it: it counts
 * through every stack of every place like an odometer, tries every combination, has its normal
 * distribution from the C library's erfc, and applies the documented rules one after another. And
 * against fw_shim_choose() where there is one place and one response. */
#include "check.h"
#include "draws.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/together.h"

#define MM         1e-3
#define SIZES_MOST 7
#define LIST_MOST  400
#define COMBOS     1000000

static struct fw_error error;

static unsigned below_n(uint64_t *seed, unsigned n)
{
	return (unsigned)(next(seed) % n);
}

static bool one_in(uint64_t *seed, unsigned n)
{
	return below_n(seed, n) == 0;
}

struct problem {
	struct fw_shim kit[SIZES_MOST];
	bool fits[FW_PLACES_MOST][SIZES_MOST];
	struct fw_together_place place[FW_PLACES_MOST];
	struct fw_together_response response[FW_RESPONSES_MOST];
	struct fw_datum datum[FW_RESPONSES_MOST];
	struct fw_together fit;
};

/* One stack of one place. */
struct entry {
	unsigned n[SIZES_MOST], pieces;
	double sum;
};

struct combo {
	unsigned short at[FW_PLACES_MOST], pieces;
	double chance, distance;
};

static struct entry list[FW_PLACES_MOST][LIST_MOST];
static size_t lists[FW_PLACES_MOST];
static struct combo combos[COMBOS];

static void list_place(const struct problem *p, size_t j)
{
	const struct fw_together_place *place = &p->place[j];
	struct entry now = {{0}, 0, 0.0};

	lists[j] = 0;
	for (;;) {
		bool allowed = true;
		now.pieces = 0;
		now.sum = 0.0;
		for (size_t k = 0; k < p->fit.sizes; k++) {
			now.pieces += now.n[k];
			now.sum += now.n[k] * p->kit[k].thickness * (1.0 - p->kit[k].crush);
			allowed = allowed && (now.n[k] == 0 || !place->fits || place->fits[k]);
		}
		if (allowed && now.pieces <= place->most && (now.pieces > 0 || place->may_be_empty)) {
			assert_true(lists[j] < LIST_MOST);
			list[j][lists[j]++] = now;
		}
		size_t i = 0;
		while (i < p->fit.sizes && now.n[i] == p->kit[i].count)
			now.n[i++] = 0;
		if (i == p->fit.sizes)
			return;
		now.n[i]++;
	}
}

static double chance_of(double r, double u, const struct fw_limits *l)
{
	if (u == 0.0)
		return r >= l->min && r <= l->max;
	return 0.5 * erfc(-(l->max - r) / u / sqrt(2.0)) - 0.5 * erfc(-(l->min - r) / u / sqrt(2.0));
}

static void weigh(struct combo *c, const struct problem *p)
{
	c->chance = 1.0;
	c->distance = 0.0;
	for (size_t i = 0; i < p->fit.responses; i++) {
		const struct fw_together_response *response = &p->response[i];
		double r = p->datum[i].value, width = response->limits.max - response->limits.min;
		double variance = p->datum[i].u * p->datum[i].u + response->settle_u * response->settle_u;
		for (size_t k = 0; k < p->fit.sizes; k++) {
			double together = 0.0;
			for (size_t j = 0; j < p->fit.places; j++) {
				double n = list[j][c->at[j]].n[k], part = response->per[j];
				variance += n * pow(part * (1.0 - p->kit[k].crush) * p->kit[k].u, 2.0);
				together += n * part * p->kit[k].thickness * p->kit[k].crush_u;
			}
			variance += together * together;
		}
		for (size_t j = 0; j < p->fit.places; j++)
			r += response->per[j] * list[j][c->at[j]].sum;
		c->chance = fmin(c->chance, chance_of(r, sqrt(variance), &response->limits));
		c->distance +=
		    pow((r - fw_limits_aim(&response->limits)) / (isfinite(width) ? width : 1e-4), 2.0);
	}
	c->distance = sqrt(c->distance);
}

static bool enough(const struct combo *c, const struct problem *p)
{
	for (size_t k = 0; k < p->fit.sizes; k++) {
		unsigned used = 0;
		for (size_t j = 0; j < p->fit.places; j++)
			used += list[j][c->at[j]].n[k];
		if (used > p->kit[k].count)
			return false;
	}
	return true;
}

static size_t list_combos(const struct problem *p)
{
	struct combo now = {{0}, 0, 0.0, 0.0};
	size_t count = 0;

	for (size_t j = 0; j < p->fit.places; j++) {
		list_place(p, j);
		if (lists[j] == 0)
			return 0;
	}
	for (;;) {
		if (enough(&now, p)) {
			assert_true(count < COMBOS);
			now.pieces = 0;
			for (size_t j = 0; j < p->fit.places; j++)
				now.pieces = (unsigned short)(now.pieces + list[j][now.at[j]].pieces);
			weigh(&now, p);
			combos[count++] = now;
		}
		size_t j = 0;
		while (j < p->fit.places && now.at[j] + 1U == lists[j])
			now.at[j++] = 0;
		if (j == p->fit.places)
			return count;
		now.at[j]++;
	}
}

/* True if `a` comes before `b` by rule 4. */
static bool before(const struct combo *a, const struct combo *b, const struct problem *p)
{
	for (size_t j = 0; j < p->fit.places; j++) {
		const struct entry *x = &list[j][a->at[j]], *y = &list[j][b->at[j]];
		if (x->pieces != y->pieces)
			return x->pieces < y->pieces;
		bool done[SIZES_MOST] = {false};
		for (size_t round = 0; round < p->fit.sizes; round++) {
			size_t top = SIZE_MAX;
			for (size_t k = 0; k < p->fit.sizes; k++)
				if (!done[k] && (top == SIZE_MAX || p->kit[k].thickness > p->kit[top].thickness))
					top = k;
			done[top] = true;
			if (x->n[top] != y->n[top])
				return x->n[top] < y->n[top];
		}
	}
	return false;
}

static const struct combo *choose(size_t count, const struct problem *p)
{
	double best = 0.0, nearest = INFINITY, near = p->fit.near > 0.0 ? p->fit.near : 0.01;
	const struct combo *winner = NULL;

	for (size_t i = 0; i < count; i++)
		best = fmax(best, combos[i].chance);
	if (best < 0.01)
		return NULL;
	for (size_t i = 0; i < count; i++)
		if (combos[i].chance >= best - 1e-3)
			nearest = fmin(nearest, combos[i].distance);
	for (size_t i = 0; i < count; i++) {
		const struct combo *c = &combos[i];
		if (c->chance < best - 1e-3 || c->distance > nearest + near)
			continue;
		if (!winner || c->pieces < winner->pieces ||
		    (c->pieces == winner->pieces && before(c, winner, p)))
			winner = c;
	}
	return winner;
}

/* Sizes so many that the naive search stays quick for so many places. */
static bool make_kit(struct problem *p, uint64_t *seed)
{
	static const unsigned sizes_most[] = {0, 7, 6, 4, 3};
	bool steps = one_in(seed, 2), gaskets = one_in(seed, 6), exact = one_in(seed, 4);
	double piece_u = uniform(seed) * 0.01 * MM;

	p->fit.sizes = 1 + below_n(seed, sizes_most[p->fit.places]);
	for (size_t i = 0; i < p->fit.sizes; i++) {
		struct fw_shim *k = &p->kit[i];
		k->thickness = steps ? (1 + below_n(seed, 20)) * 0.05 * MM : (0.05 + uniform(seed)) * MM;
		k->count = 1 + below_n(seed, 4);
		k->u = exact ? 0.0 : one_in(seed, 2) ? piece_u : uniform(seed) * 0.02 * MM;
		k->crush = gaskets ? uniform(seed) * 0.5 : 0.0;
		k->crush_u = gaskets ? uniform(seed) * 0.1 : 0.0;
		for (size_t j = 0; j < i; j++)
			if (fabs(p->kit[j].thickness - k->thickness) < 1e-7)
				return false;
	}
	return true;
}

static void make_places(struct problem *p, uint64_t *seed)
{
	for (size_t j = 0; j < p->fit.places; j++) {
		struct fw_together_place *place = &p->place[j];
		place->most = 1 + below_n(seed, p->fit.places == 1 ? 4 : 3);
		place->may_be_empty = !one_in(seed, 3);
		if (!one_in(seed, 8))
			continue;
		for (size_t k = 0; k < p->fit.sizes; k++)
			p->fits[j][k] = one_in(seed, 2);
		p->fits[j][below_n(seed, (unsigned)p->fit.sizes)] = true;
		place->fits = p->fits[j];
	}
}

static void make_limits(struct fw_limits *l, uint64_t *seed)
{
	double width = one_in(seed, 3)   ? 0.005 + uniform(seed) * 0.05
	               : one_in(seed, 2) ? 0.05 + uniform(seed) * 0.3
	                                 : 0.3 + uniform(seed) * 2.0;

	l->min = (uniform(seed) - 0.5) * MM;
	l->max = l->min + width * MM;
	l->aim = one_in(seed, 2) ? NAN : l->min + uniform(seed) * (l->max - l->min);
	if (one_in(seed, 12))
		*l = (struct fw_limits){-INFINITY, l->max, NAN};
	else if (one_in(seed, 12))
		*l = (struct fw_limits){l->min, INFINITY, NAN};
}

/* The first row leaves no place idle. */
static void make_row(double *per, size_t places, bool all, uint64_t *seed)
{
	for (size_t j = 0; j < places; j++)
		per[j] = one_in(seed, 2) ? -1.0 : one_in(seed, 4) && !all ? 0.0 : 4.0 * uniform(seed) - 2.0;
	per[below_n(seed, (unsigned)places)] = 0.2 + uniform(seed);
}

/* Most are such that stacks at hand come near the aims. */
static void make_responses(struct problem *p, uint64_t *seed)
{
	bool reachable = !one_in(seed, 3), coarse = !one_in(seed, 3);
	double stack[FW_PLACES_MOST];

	for (size_t j = 0; j < p->fit.places; j++) {
		stack[j] = 0.0;
		for (size_t n = 0; n < p->place[j].most; n++)
			stack[j] += below_n(seed, 2) * p->kit[below_n(seed, (unsigned)p->fit.sizes)].thickness;
	}
	for (size_t i = 0; i < p->fit.responses; i++) {
		struct fw_together_response *response = &p->response[i];
		double shift = 0.0;
		make_limits(&response->limits, seed);
		make_row(response->per, p->fit.places, i == 0, seed);
		for (size_t j = 0; j < p->fit.places; j++)
			shift += response->per[j] * stack[j];
		response->settle_u = coarse && one_in(seed, 2) ? uniform(seed) * 0.03 * MM : 0.0;
		p->datum[i].trials = 1;
		p->datum[i].u = coarse ? uniform(seed) * 0.05 * MM : 0.0;
		p->datum[i].value =
		    (reachable ? fw_limits_aim(&response->limits) - shift : 4.0 * uniform(seed) * MM) +
		    (uniform(seed) - 0.5) * 0.1 * MM;
	}
}

static void make_problem(struct problem *p, uint64_t *seed)
{
	do {
		memset(p, 0, sizeof *p);
		p->fit.places = 1 + below_n(seed, 4);
	} while (!make_kit(p, seed));
	p->fit.kit = p->kit;
	p->fit.place = p->place;
	p->fit.response = p->response;
	p->fit.responses = 1 + below_n(seed, 4);
	p->fit.near = one_in(seed, 4) ? INFINITY : one_in(seed, 4) ? uniform(seed) * 0.5 : 0.0;
	make_places(p, seed);
	make_responses(p, seed);
}

static void assert_same(const struct fw_together_choice *c, const struct combo *wanted,
                        const struct problem *p, unsigned number)
{
	for (size_t j = 0; j < p->fit.places; j++) {
		unsigned n[SIZES_MOST] = {0};
		for (size_t i = 0; i < c->stack[j].count; i++) {
			assert_true(c->stack[j].shim[i] < p->fit.sizes);
			n[c->stack[j].shim[i]]++;
		}
		for (size_t k = 0; k < p->fit.sizes; k++)
			if (n[k] != list[j][wanted->at[j]].n[k])
				fail_msg("problem %u: %u of size %zu at place %zu, the naive search takes %u "
				         "(chance %.17g against %.17g, distance %.17g against %.17g)",
				         number, n[k], k, j, list[j][wanted->at[j]].n[k], c->chance, wanted->chance,
				         c->distance, wanted->distance);
		assert_near(c->stack[j].thickness, list[j][wanted->at[j]].sum, 1e-15);
	}
	assert_near(c->chance, wanted->chance, 1e-9);
	assert_near(c->distance, wanted->distance, 1e-6);
	assert_true(c->all <= c->chance + 1e-12);
}

/* The same stacks whatever the order of the kit. */
static void assert_order_is_nothing(const struct fw_together_choice *c, struct problem *p)
{
	size_t sizes = p->fit.sizes;
	struct fw_together_choice again;

	for (size_t k = 0; k < sizes / 2; k++) {
		struct fw_shim shim = p->kit[k];
		p->kit[k] = p->kit[sizes - 1 - k];
		p->kit[sizes - 1 - k] = shim;
		for (size_t j = 0; j < p->fit.places; j++) {
			bool fits = p->fits[j][k];
			p->fits[j][k] = p->fits[j][sizes - 1 - k];
			p->fits[j][sizes - 1 - k] = fits;
		}
	}
	assert_ok(fw_together_choose(&again, &p->fit, p->datum, &error));
	for (size_t j = 0; j < p->fit.places; j++) {
		assert_int_equal(again.stack[j].count, c->stack[j].count);
		for (size_t n = 0; n < c->stack[j].count; n++)
			assert_int_equal(again.stack[j].shim[n], sizes - 1 - c->stack[j].shim[n]);
	}
}

/* 6000 problems of 1 to 4 places and 1 to 4 responses: the same stacks as the naive search, or
 * both find none. */
static void test_against_naive_search(void **state)
{
	uint64_t seed = 20250611;
	unsigned served = 0, refused = 0, several = 0, doubtful = 0, single = 0;
	(void)state;

	for (unsigned number = 0; number < 6000; number++) {
		struct problem p;
		struct fw_together_choice c;
		make_problem(&p, &seed);
		const struct combo *wanted = choose(list_combos(&p), &p);
		if (!wanted) {
			assert_code(fw_together_choose(&c, &p.fit, p.datum, &error), FW_ERR_RANGE);
			assert_true(c.end != FW_TOGETHER_SERVES && c.end != FW_TOGETHER_TOO_LONG);
			refused++;
			continue;
		}
		assert_ok(fw_together_choose(&c, &p.fit, p.datum, &error));
		assert_int_equal(c.end, FW_TOGETHER_SERVES);
		assert_same(&c, wanted, &p, number);
		served++;
		several += p.fit.places > 1 && wanted->pieces > 2;
		doubtful += c.chance < 0.99;
		single += p.fit.places == 1;
		if (number % 4 == 0)
			assert_order_is_nothing(&c, &p);
	}
	print_message(
	    "%u served (%u in several places with more than two shims, %u with a chance below "
	    "0.99, %u in one place), %u refused\n",
	    served, several, doubtful, single, refused);
	assert_true(served >= 2500 && several >= 1000 && doubtful >= 1000 && refused >= 1500);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_against_naive_search),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
