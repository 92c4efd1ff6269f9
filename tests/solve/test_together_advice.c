/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What fw_together_choose() says to get when nothing serves, against geometry that shares nothing
 * with it. Limits and stacks from 0 to 1 m make a polytope: every corner of it is listed by
 * Cramer's rule. No corner: no stacks whatever serve. A convex function f is least at s if no
 * corner lies below its tangent there; f(s) - f least is at most gradient · (s - corner), the gap
 * of M. Frank and P. Wolfe, Naval Research Logistics Quarterly 3 (1956), from memory. One new piece
 * is looked for by trying every combination of stacks of the other places. */
#include "check.h"
#include "draws.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "fitwright/together.h"

#define MM     1e-3
#define P      3 /* places */
#define Q      4 /* responses */
#define KIT    3
#define STACKS 64

static struct fw_error error;

static bool one_in(uint64_t *seed, unsigned n)
{
	return next(seed) % n == 0;
}

struct problem {
	struct fw_shim kit[KIT];
	struct fw_together_place place[P];
	struct fw_together_response response[Q];
	struct fw_datum datum[Q];
	struct fw_together fit;
};

static void make_response(struct problem *p, size_t i, uint64_t *seed)
{
	struct fw_together_response *r = &p->response[i];
	double min = floor(20.0 * (uniform(seed) - 0.5)) * 0.05 * MM;

	for (size_t j = 0; j < p->fit.places; j++)
		r->per[j] = one_in(seed, 2)   ? -1.0
		            : one_in(seed, 5) ? 0.0
		                              : floor(32.0 * uniform(seed) - 16.0) / 8.0;
	r->per[i % p->fit.places] = one_in(seed, 2) ? 0.75 : -1.0;
	r->limits = (struct fw_limits){min, min + (0.01 + 0.2 * uniform(seed)) * MM, NAN};
	if (one_in(seed, 3))
		r->limits.aim = min + uniform(seed) * (r->limits.max - min);
	if (one_in(seed, 6))
		r->limits = (struct fw_limits){-INFINITY, r->limits.max, NAN};
	else if (one_in(seed, 6))
		r->limits = (struct fw_limits){min, INFINITY, NAN};
	p->datum[i] = (struct fw_datum){.trials = 1};
}

/* Half of them lie so that some stacks would bring all within. */
static void make_problem(struct problem *p, uint64_t *seed)
{
	double stack[P];
	bool reachable = one_in(seed, 2);

	memset(p, 0, sizeof *p);
	p->fit = (struct fw_together){.kit = p->kit,
	                              .sizes = 1 + next(seed) % KIT,
	                              .place = p->place,
	                              .places = 1 + next(seed) % P,
	                              .response = p->response};
	p->fit.responses = p->fit.places + next(seed) % (Q + 1 - p->fit.places);
	for (size_t k = 0; k < p->fit.sizes; k++)
		p->kit[k] =
		    (struct fw_shim){.thickness = (double)(1 + k + 3 * (next(seed) % 9)) * 0.05 * MM,
		                     .count = 1 + (unsigned)(next(seed) % 2)};
	for (size_t j = 0; j < p->fit.places; j++) {
		p->place[j] = (struct fw_together_place){.most = 1 + next(seed) % 2, .may_be_empty = true};
		stack[j] = 2.0 * uniform(seed) * MM;
	}
	for (size_t i = 0; i < p->fit.responses; i++) {
		make_response(p, i, seed);
		p->datum[i].value = 3.0 * (uniform(seed) - 0.3) * MM;
		if (!reachable)
			continue;
		p->datum[i].value = fw_limits_aim(&p->response[i].limits);
		for (size_t j = 0; j < p->fit.places; j++)
			p->datum[i].value -= p->response[i].per[j] * stack[j];
	}
}

static double response_of(const struct problem *p, size_t i, const double *s)
{
	double r = p->datum[i].value;

	for (size_t j = 0; j < p->fit.places; j++)
		r += p->response[i].per[j] * s[j];
	return r;
}

static bool within(const struct problem *p, const double *s, double room)
{
	for (size_t i = 0; i < p->fit.responses; i++) {
		double r = response_of(p, i, s);
		if (!(r >= p->response[i].limits.min - room && r <= p->response[i].limits.max + room))
			return false;
	}
	for (size_t j = 0; j < p->fit.places; j++)
		if (!(s[j] >= -room && s[j] <= 1.0 + room))
			return false;
	return true;
}

/* Square of the distance from the aims, and its gradient. */
static double square_of(const struct problem *p, const double *s, double *gradient)
{
	double square = 0.0;

	for (size_t j = 0; j < p->fit.places; j++)
		gradient[j] = 0.0;
	for (size_t i = 0; i < p->fit.responses; i++) {
		const struct fw_limits *l = &p->response[i].limits;
		double width = isfinite(l->max - l->min) ? l->max - l->min : 1e-4;
		double e = (response_of(p, i, s) - fw_limits_aim(l)) / width;
		square += e * e;
		for (size_t j = 0; j < p->fit.places; j++)
			gradient[j] += 2.0 * e * p->response[i].per[j] / width;
	}
	return square;
}

/* Planes normal · s = at, that bound what is allowed. */
struct plane {
	double normal[P], at;
};

static size_t list_planes(struct plane *plane, const struct problem *p)
{
	size_t planes = 0;

	memset(plane, 0, (2 * Q + 2 * P) * sizeof *plane);
	for (size_t i = 0; i < p->fit.responses; i++) {
		double end[] = {p->response[i].limits.min, p->response[i].limits.max};
		for (size_t k = 0; k < 2; k++) {
			if (isinf(end[k]))
				continue;
			memcpy(plane[planes].normal, p->response[i].per, sizeof plane->normal);
			plane[planes++].at = end[k] - p->datum[i].value;
		}
	}
	for (size_t j = 0; j < p->fit.places; j++)
		for (size_t k = 0; k < 2; k++) {
			plane[planes].normal[j] = 1.0;
			plane[planes++].at = (double)k;
		}
	return planes;
}

static double determinant(double m[P][P], size_t n)
{
	if (n == 1)
		return m[0][0];
	if (n == 2)
		return m[0][0] * m[1][1] - m[0][1] * m[1][0];
	return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
	       m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
	       m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
}

static bool corner_of(double *s, const struct plane *plane, const size_t *chosen, size_t n)
{
	double m[P][P], whole;

	for (size_t r = 0; r < n; r++)
		memcpy(m[r], plane[chosen[r]].normal, sizeof m[r]);
	whole = determinant(m, n);
	if (fabs(whole) < 1e-9)
		return false;
	for (size_t c = 0; c < n; c++) {
		for (size_t r = 0; r < n; r++) {
			memcpy(m[r], plane[chosen[r]].normal, sizeof m[r]);
			m[r][c] = plane[chosen[r]].at;
		}
		s[c] = determinant(m, n) / whole;
	}
	return true;
}

/* How many corners lie within to `room`, and the least of slope · corner over them. */
static size_t corners(double *least, const struct problem *p, const double *slope, double room)
{
	struct plane plane[2 * Q + 2 * P];
	size_t planes = list_planes(plane, p), n = p->fit.places, found = 0, c[P] = {0};

	*least = INFINITY;
	for (c[0] = 0; c[0] < planes; c[0]++)
		for (c[1] = n > 1 ? c[0] + 1 : 0; c[1] < (n > 1 ? planes : 1); c[1]++)
			for (c[2] = n > 2 ? c[1] + 1 : 0; c[2] < (n > 2 ? planes : 1); c[2]++) {
				double s[P] = {0.0}, value = 0.0;
				if (!corner_of(s, plane, c, n) || !within(p, s, room))
					continue;
				found++;
				for (size_t j = 0; j < n; j++)
					value += slope[j] * s[j];
				*least = fmin(*least, value);
			}
	return found;
}

/* Counts of each size that a place may have; returns how many ways. */
static size_t list_stacks(unsigned list[STACKS][KIT], const struct problem *p, size_t j)
{
	size_t ways = 0;
	unsigned n[KIT] = {0};

	for (;;) {
		unsigned pieces = 0;
		for (size_t k = 0; k < p->fit.sizes; k++)
			pieces += n[k];
		if (pieces <= p->place[j].most)
			memcpy(list[ways++], n, sizeof n);
		size_t k = 0;
		while (k < p->fit.sizes && n[k] == p->kit[k].count)
			n[k++] = 0;
		if (k == p->fit.sizes)
			return ways;
		n[k]++;
	}
}

/* The nearest that one new piece at `place` comes, the others having stacks of s; INFINITY: it
 * doesn't serve. `room`: by how much the limits are widened. */
static double piece_square(const struct problem *p, double *s, size_t place, double room)
{
	double low = FW_TOGETHER_THINNEST, high = 1.0, up = 0.0, down = 0.0, unused[P];

	s[place] = 0.0;
	for (size_t i = 0; i < p->fit.responses; i++) {
		const struct fw_limits *l = &p->response[i].limits;
		double width = isfinite(l->max - l->min) ? l->max - l->min : 1e-4;
		double per = p->response[i].per[place], r = response_of(p, i, s);
		up += per * (fw_limits_aim(l) - r) / width / width;
		down += per * per / width / width;
		if (per == 0.0 && !(r >= l->min - room && r <= l->max + room))
			return INFINITY;
		if (per == 0.0)
			continue;
		double a = (l->min - room - r) / per, b = (l->max + room - r) / per;
		low = fmax(low, fmin(a, b));
		high = fmin(high, fmax(a, b));
	}
	if (!(low <= high))
		return INFINITY;
	s[place] = fmin(fmax(up / down, low), high);
	return square_of(p, s, unused);
}

/* Over all places for the piece and all stacks of the others. */
static double best_piece(const struct problem *p, double room)
{
	static unsigned list[P][STACKS][KIT];
	double best = INFINITY;

	for (size_t place = 0; place < p->fit.places; place++) {
		size_t ways[P] = {1, 1, 1}, at[P];
		for (size_t j = 0; j < p->fit.places; j++) {
			memset(list[j][0], 0, sizeof list[j][0]);
			ways[j] = j == place ? 1 : list_stacks(list[j], p, j);
		}
		for (at[0] = 0; at[0] < ways[0]; at[0]++)
			for (at[1] = 0; at[1] < ways[1]; at[1]++)
				for (at[2] = 0; at[2] < ways[2]; at[2]++) {
					double s[P] = {0.0};
					bool enough = true;
					for (size_t k = 0; k < p->fit.sizes; k++) {
						unsigned used = 0;
						for (size_t j = 0; j < p->fit.places; j++) {
							used += list[j][at[j]][k];
							s[j] += list[j][at[j]][k] * p->kit[k].thickness;
						}
						enough = enough && used <= p->kit[k].count;
					}
					if (enough)
						best = fmin(best, piece_square(p, s, place, room));
				}
	}
	return best;
}

/* True if nobody could do better with stacks of any thickness. */
static void assert_wanted(const struct problem *p, const double *wanted, unsigned number)
{
	double gradient[P], square = square_of(p, wanted, gradient), here = 0.0, least;

	if (!within(p, wanted, FW_ON_LIMIT))
		fail_msg("problem %u: the stacks wanted are not within", number);
	for (size_t j = 0; j < p->fit.places; j++)
		here += gradient[j] * wanted[j];
	if (corners(&least, p, gradient, 1e-11) == 0)
		fail_msg("problem %u: no corner", number);
	if (here - least > 1e-6 * (1.0 + square))
		fail_msg("problem %u: distance² %g may be %g from the least", number, square, here - least);
}

static void assert_piece(const struct problem *p, const struct fw_together_choice *c,
                         unsigned number)
{
	struct problem with = *p;
	struct fw_shim kit[KIT + 1];
	struct fw_together_place place[P];
	bool old[P][KIT + 1];
	struct fw_together_choice again;

	/* Bought and put into the kit, it must serve. */
	memcpy(kit, p->kit, sizeof p->kit);
	memcpy(place, p->place, sizeof place);
	kit[p->fit.sizes] = (struct fw_shim){.thickness = c->piece, .count = 1};
	for (size_t j = 0; j < p->fit.places; j++) {
		for (size_t k = 0; k <= p->fit.sizes; k++)
			old[j][k] = k < p->fit.sizes ? j != c->piece_place : j == c->piece_place;
		place[j].fits = old[j];
	}
	with.fit.kit = kit;
	with.fit.place = place;
	with.fit.response = p->response;
	with.fit.sizes = p->fit.sizes + 1;
	if (fw_together_choose(&again, &with.fit, with.datum, &error) != FW_OK)
		fail_msg("problem %u: a piece of %.17g doesn't serve: %s", number, c->piece, error.text);
	assert_true(again.chance == 1.0);
	double best = best_piece(p, 0.0);
	if (!(again.distance * again.distance <= best + 1e-6 * (1.0 + best)))
		fail_msg("problem %u: a piece leaves distance² %g, another %g", number,
		         again.distance * again.distance, best);
}

static void test_what_to_get(void **state)
{
	uint64_t seed = 20250714;
	unsigned ends[FW_TOGETHER_TOO_LONG + 1] = {0};
	double zero[P] = {0.0}, least;
	(void)state;

	for (unsigned number = 0; number < 6000; number++) {
		struct problem p;
		struct fw_together_choice c;
		make_problem(&p, &seed);
		p.fit.kit = p.kit;
		int rc = fw_together_choose(&c, &p.fit, p.datum, &error);
		assert_true(rc == FW_OK || rc == FW_ERR_RANGE);
		ends[c.end]++;
		switch (c.end) {
		case FW_TOGETHER_PIECE:
			assert_wanted(&p, c.wanted, number);
			assert_piece(&p, &c, number);
			break;
		case FW_TOGETHER_STACKS:
			assert_wanted(&p, c.wanted, number);
			if (isfinite(best_piece(&p, -1e-11)))
				fail_msg("problem %u: one piece serves: %s", number, error.text);
			break;
		case FW_TOGETHER_CONTRADICTED:
			if (corners(&least, &p, zero, -1e-11) > 0)
				fail_msg("problem %u: there are stacks that serve: %s", number, error.text);
			break;
		default:
			assert_int_equal(c.end, FW_TOGETHER_SERVES);
		}
	}
	print_message("%u served, %u by one piece, %u by other stacks, %u by none\n",
	              ends[FW_TOGETHER_SERVES], ends[FW_TOGETHER_PIECE], ends[FW_TOGETHER_STACKS],
	              ends[FW_TOGETHER_CONTRADICTED]);
	assert_true(ends[FW_TOGETHER_PIECE] > 300 && ends[FW_TOGETHER_STACKS] > 300 &&
	            ends[FW_TOGETHER_CONTRADICTED] > 300);
}

/* Whole hundredths of a millimetre, nothing uncertain: stacks that bring a response exactly on a
 * limit serve (conform.h), whatever the last bit of a subtraction says. */
static void test_on_the_limit(void **state)
{
	(void)state;

	for (unsigned datum = 20; datum < 80; datum++)
		for (unsigned shim = 5; shim < datum - 7; shim++) {
			double play = (datum - shim - 7) / 100.0 * MM;
			struct fw_shim kit[] = {{.thickness = shim / 100.0 * MM, .count = 1},
			                        {.thickness = 0.07 * MM, .count = 1}};
			bool here[] = {true, false}, there[] = {false, true};
			struct fw_together_place place[] = {{.most = 1, .fits = here},
			                                    {.most = 1, .fits = there}};
			struct fw_together_response response = {.per = {-1.0, -1.0}};
			struct fw_together fit = {kit, 2, place, 2, &response, 1, 0.0};
			struct fw_datum d = {.value = datum / 100.0 * MM, .trials = 1};
			struct fw_together_choice c;
			if (shim == 7)
				continue; /* one size */
			response.limits = (struct fw_limits){play, play + 1e-5, NAN};
			assert_ok(fw_together_choose(&c, &fit, &d, &error));
			assert_true(c.chance == 1.0 && c.value[0] == play);
			response.limits = (struct fw_limits){play - 1e-5, play, NAN};
			assert_ok(fw_together_choose(&c, &fit, &d, &error));
			assert_true(c.chance == 1.0 && c.value[0] == play);
		}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_what_to_get),
	    cmocka_unit_test(test_on_the_limit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
