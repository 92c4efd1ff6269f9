/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "assign_proof.h"
#include "fitwright/reuse.h"

#define UM         1e-6
#define MM         1e-3
#define COUNT(a)   (sizeof(a) / sizeof(a)[0])
#define MOST       4
#define MOST_GRADE 5

static struct fw_error error;

/* ---- a second way: every plan there is, in micrometres ---- */

struct small {
	size_t places, parts, grades;
	int found[MOST], own[MOST], factor[MOST], min[MOST], max[MOST],
	    aim[MOST];                                        /* µm; own -1: bare */
	int size[MOST], grade[MOST_GRADE], count[MOST_GRADE]; /* count -1: endless */
	double u[MOST], size_u[MOST], grade_u;                /* µm */
};

/* Options of a place in the order in which the first is to win. */
enum { LEFT_OUT = MOST + MOST_GRADE };
struct plan {
	int option[MOST]; /* part, MOST + grade, LEFT_OUT */
	int left_out, bought, deviation;
};

/* P(min <= Y <= max) by the error function of the C library. */
static double probability(double y, double u, double min, double max)
{
	if (u == 0.0)
		return y >= min && y <= max ? 1.0 : 0.0;
	return 0.5 * (erfc((min - y) / u / sqrt(2.0)) - erfc((max - y) / u / sqrt(2.0)));
}

static int small_clearance(const struct small *s, size_t place, int option)
{
	int size = option < MOST ? s->size[option] : s->grade[option - MOST];
	int was = s->own[place] < 0 ? 0 : s->size[s->own[place]];

	return s->found[place] + s->factor[place] * (was - size);
}

static double small_u(const struct small *s, size_t place, int option)
{
	double was = s->own[place] < 0 ? 0.0 : s->size_u[s->own[place]];
	double now = option < MOST ? s->size_u[option] : s->grade_u;

	if (option == s->own[place])
		return s->u[place];
	return sqrt(s->u[place] * s->u[place] +
	            s->factor[place] * s->factor[place] * (was * was + now * now));
}

static bool small_serves(const struct small *s, size_t place, int option)
{
	return probability(small_clearance(s, place, option), small_u(s, place, option), s->min[place],
	                   s->max[place]) >= FW_CONFORMANCE;
}

static bool better(const struct plan *a, const struct plan *b)
{
	if (a->left_out != b->left_out)
		return a->left_out < b->left_out;
	if (a->bought != b->bought)
		return a->bought < b->bought;
	return a->deviation < b->deviation;
}

static void try_all(struct plan *best, struct plan *now, const struct small *s, size_t place,
                    int used[LEFT_OUT]);

static void try_option(struct plan *best, struct plan *now, const struct small *s, size_t place,
                       int used[LEFT_OUT], int option)
{
	struct plan before = *now;

	now->option[place] = option;
	if (option == LEFT_OUT) {
		now->left_out++;
	} else {
		int most = option < MOST ? 1 : s->count[option - MOST];
		if ((most >= 0 && used[option] >= most) || !small_serves(s, place, option))
			return;
		used[option]++;
		now->bought += option >= MOST;
		now->deviation += abs(small_clearance(s, place, option) - s->aim[place]);
	}
	try_all(best, now, s, place + 1, used);
	if (option != LEFT_OUT)
		used[option]--;
	int chosen = now->option[place];
	*now = before;
	now->option[place] = chosen;
}

static void try_all(struct plan *best, struct plan *now, const struct small *s, size_t place,
                    int used[LEFT_OUT])
{
	if (place == s->places) {
		if (better(now, best))
			*best = *now;
		return;
	}
	if (s->own[place] >= 0)
		try_option(best, now, s, place, used, s->own[place]);
	for (int j = 0; j < (int)s->parts; j++)
		if (j != s->own[place])
			try_option(best, now, s, place, used, j);
	for (int g = 0; g < (int)s->grades; g++) /* in order of size */
		try_option(best, now, s, place, used, MOST + g);
	try_option(best, now, s, place, used, LEFT_OUT);
}

/* Few sizes on a coarse grid, so that ties and contention are the rule. */
static void small_make(struct small *s, uint64_t *seed)
{
	int step = test_random(seed, 2) ? 10 : 25;
	bool uncertain = test_random(seed, 3) == 0;

	memset(s, 0, sizeof *s);
	s->places = 1 + test_random(seed, MOST);
	s->parts = test_random(seed, MOST + 1);
	s->grades = test_random(seed, MOST_GRADE + 1);
	for (size_t j = 0; j < s->parts; j++) {
		s->size[j] = 2500 + step * (int)test_random(seed, 12);
		s->size_u[j] = uncertain ? test_random(seed, 4) : 0.0;
	}
	int size = 2500 - step;
	for (size_t g = 0; g < s->grades; g++) {
		size += step * (int)(1 + test_random(seed, 3));
		s->grade[g] = size;
		s->count[g] = (int)test_random(seed, 4) - 1;
	}
	s->grade_u = uncertain ? test_random(seed, 4) : 0.0;
	for (size_t i = 0; i < s->places; i++) {
		s->own[i] = i < s->parts && test_random(seed, 4) ? (int)i : -1;
		s->factor[i] = 1 + (int)test_random(seed, 2);
		s->min[i] = 100 + 10 * (int)test_random(seed, 6);
		s->max[i] = s->min[i] + 20 + 10 * (int)test_random(seed, 8);
		s->aim[i] =
		    s->min[i] + 10 * (int)test_random(seed, (unsigned)(s->max[i] - s->min[i]) / 10 + 1);
		s->found[i] = (s->own[i] < 0 ? s->factor[i] * 2600 : 0) + 10 * (int)test_random(seed, 40);
		s->u[i] = uncertain ? test_random(seed, 20) : 0.0;
	}
}

/* The shelf is handed over in a shuffled order: `grade_at[g]` is where grade g went. */
static void small_check(const struct small *s, uint64_t *seed)
{
	struct fw_place place[MOST];
	struct fw_part part[MOST];
	struct fw_grade grade[MOST_GRADE];
	struct fw_fitting fitting[MOST];
	struct fw_reuse_sum sum;
	size_t grade_at[MOST_GRADE];
	struct plan best = {.left_out = 99}, now = {.left_out = 0};
	int used[LEFT_OUT] = {0};

	for (size_t g = 0; g < s->grades; g++)
		grade_at[g] = g;
	for (size_t g = s->grades; g > 1; g--) {
		size_t k = test_random(seed, (unsigned)g), swap = grade_at[g - 1];
		grade_at[g - 1] = grade_at[k];
		grade_at[k] = swap;
	}
	for (size_t i = 0; i < s->places; i++)
		place[i] = (struct fw_place){s->found[i] * UM,
		                             s->u[i] * UM,
		                             s->own[i] < 0 ? FW_PLACE_BARE : (size_t)s->own[i],
		                             s->factor[i],
		                             {s->min[i] * UM, s->max[i] * UM, s->aim[i] * UM}};
	for (size_t j = 0; j < s->parts; j++)
		part[j] = (struct fw_part){s->size[j] * UM, s->size_u[j] * UM};
	for (size_t g = 0; g < s->grades; g++)
		grade[grade_at[g]] = (struct fw_grade){
		    s->grade[g] * UM, s->count[g] < 0 ? FW_GRADE_ENDLESS : (uint32_t)s->count[g]};
	struct fw_reuse reuse = {place,     s->places,       part,          s->parts, grade,
	                         s->grades, s->grade_u * UM, FW_CONFORMANCE};

	assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
	try_all(&best, &now, s, 0, used);
	assert_int_equal(sum.left_out, best.left_out);
	assert_int_equal(sum.bought, best.bought);
	assert_near(sum.deviation, best.deviation * UM, 1e-12);
	assert_int_equal(sum.left_out + sum.bought + sum.kept + sum.moved, s->places);
	for (size_t i = 0; i < s->places; i++) {
		int option = best.option[i];
		if (option == LEFT_OUT) {
			assert_int_equal(fitting[i].from, FW_FROM_NOWHERE);
			assert_true(isnan(fitting[i].clearance));
			continue;
		}
		enum fw_source from = option >= MOST        ? FW_FROM_SHELF
		                      : option == s->own[i] ? FW_FROM_OWN
		                                            : FW_FROM_OLD;
		assert_int_equal(fitting[i].from, from);
		assert_int_equal(fitting[i].index,
		                 option >= MOST ? grade_at[option - MOST] : (size_t)option);
		assert_near(fitting[i].clearance, small_clearance(s, i, option) * UM, 1e-12);
		assert_near(fitting[i].u, small_u(s, i, option) * UM, 1e-12);
		assert_near(
		    fitting[i].probability,
		    probability(small_clearance(s, i, option), small_u(s, i, option), s->min[i], s->max[i]),
		    1e-9);
	}
}

static void test_every_plan(void **state)
{
	(void)state;

	for (uint64_t start = 99; start < 112; start++) {
		uint64_t seed = start;
		for (int k = 0; k < 6000; k++) {
			struct small s;
			small_make(&s, &seed);
			small_check(&s, &seed);
		}
	}
}

/* ---- facts of the trade ---- */

#define LIMITS(low, high)                                                                          \
	{                                                                                              \
		(low) * MM, (high)*MM, NAN                                                                 \
	}

static struct fw_reuse make(const struct fw_place *place, size_t places, const struct fw_part *part,
                            size_t parts, const struct fw_grade *grade, size_t grades)
{
	return (struct fw_reuse){place, places, part, parts, grade, grades, 0.0, FW_CONFORMANCE};
}

/* New shim = old shim + clearance found - clearance wanted: common practice, no source. Found 0.10
 * with a shim of 2.50, wanted 0.15: 2.45. Invented figures. */
static void test_shim_rule(void **state)
{
	const struct fw_place place[] = {{0.10 * MM, 0, 0, 1, LIMITS(0.13, 0.17)}};
	const struct fw_part part[] = {{2.50 * MM, 0}};
	const struct fw_grade grade[] = {{2.40 * MM, 9}, {2.45 * MM, 9}, {2.50 * MM, 9}};
	struct fw_reuse reuse = make(place, 1, part, 1, grade, 3);
	struct fw_fitting fitting;
	(void)state;

	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_int_equal(fitting.from, FW_FROM_SHELF);
	assert_int_equal(fitting.index, 1);
	assert_near(fitting.clearance, 0.15 * MM, 1e-12);
	assert_near(fitting.wanted, 2.45 * MM, 1e-12);
}

/* Two places whose shims want exchanging, and a third whose own stays, though another would be
 * nearer the aim but is needed elsewhere. Nothing is bought. */
static void test_exchange(void **state)
{
	const struct fw_place place[] = {{0.10 * MM, 0, 0, 1, LIMITS(0.14, 0.16)},
	                                 {0.20 * MM, 0, 1, 1, LIMITS(0.14, 0.16)},
	                                 {0.15 * MM, 0, 2, 1, LIMITS(0.14, 0.16)}};
	const struct fw_part part[] = {{2.50 * MM, 0}, {2.45 * MM, 0}, {2.60 * MM, 0}};
	const struct fw_grade grade[] = {{2.45 * MM, FW_GRADE_ENDLESS}, {2.50 * MM, FW_GRADE_ENDLESS}};
	struct fw_reuse reuse = make(place, 3, part, 3, grade, 2);
	struct fw_fitting fitting[3];
	struct fw_reuse_sum sum;
	(void)state;

	assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
	assert_int_equal(fitting[0].index, 1);
	assert_int_equal(fitting[1].index, 0);
	assert_int_equal(fitting[2].from, FW_FROM_OWN);
	assert_int_equal(sum.bought, 0);
	assert_int_equal(sum.moved, 2);
	assert_int_equal(sum.kept, 1);
	assert_near(sum.deviation, 0, 1e-12);
}

/* Shells: clearance = bore - 2·shell - journal: plain geometry. Bore 52.040, journal 47.990, shell
 * 2.000: 0.050. Found with its own shells in or bare, the same comes out. */
static void test_shells(void **state)
{
	const struct fw_place bare[] = {
	    {(52.040 - 47.990) * MM, 0, FW_PLACE_BARE, 2, LIMITS(0.03, 0.07)}};
	const struct fw_place worn[] = {{0.080 * MM, 0, 0, 2, LIMITS(0.03, 0.07)}};
	const struct fw_part part[] = {{1.985 * MM, 0}};
	const struct fw_grade grade[] = {{1.995 * MM, 1}, {2.000 * MM, 1}, {2.005 * MM, 1}};
	struct fw_reuse reuse = make(bare, 1, NULL, 0, grade, 3);
	struct fw_fitting fitting;
	(void)state;

	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_int_equal(fitting.index, 1);
	assert_near(fitting.clearance, 0.050 * MM, 1e-12);

	reuse = make(worn, 1, part, 1, grade, 3);
	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_near(fitting.clearance, 0.050 * MM, 1e-12);
	assert_int_equal(fitting.index, 1);
}

/* A verdict asks for 95 %. Tables of the normal distribution: P(Z < 1.645) = 0.95, so with one
 * limit near, 1.65 standard uncertainties inside it serve and 1.64 don't; P(|Z| < 1.960) = 0.95, so
 * limits 3.93 wide can be met in their middle and 3.91 wide nowhere. */
static void test_guard(void **state)
{
	struct fw_place place = {0.100 * MM, 0.010 * MM, FW_PLACE_BARE, 1, {0, INFINITY, 0}};
	struct fw_part part = {0.0835 * MM, 0};
	struct fw_reuse reuse = make(&place, 1, &part, 1, NULL, 0);
	struct fw_fitting fitting;
	(void)state;

	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error)); /* 1.65 u inside */
	assert_int_equal(fitting.from, FW_FROM_OLD);
	part.size = 0.0836 * MM; /* 1.64 u */
	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_int_equal(fitting.from, FW_FROM_NOWHERE);
	assert_false(fitting.uncertain);

	place.limits = (struct fw_limits){0, 0.0393 * MM, NAN};
	part.size = (0.100 - 0.01965) * MM;
	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_int_equal(fitting.from, FW_FROM_OLD);
	place.limits.max = 0.0391 * MM;
	part.size = (0.100 - 0.01955) * MM;
	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_int_equal(fitting.from, FW_FROM_NOWHERE);
	assert_true(fitting.uncertain);
}

/* A part that stays where it was measured brings no uncertainty of its size with it. */
static void test_own_part_cancels(void **state)
{
	const struct fw_place place[] = {{0.15 * MM, 0.002 * MM, 0, 1, LIMITS(0.14, 0.16)}};
	const struct fw_part part[] = {{2.5 * MM, 0.5 * MM}};
	struct fw_reuse reuse = make(place, 1, part, 1, NULL, 0);
	struct fw_fitting fitting;
	(void)state;

	assert_ok(fw_reuse(&fitting, NULL, &reuse, &error));
	assert_int_equal(fitting.from, FW_FROM_OWN);
	assert_near(fitting.u, 0.002 * MM, 1e-15);
}

/* On a limit is inside, though the sum in binary is off in its last place: 0.30 + 2.50 - 2.55. */
static void test_on_the_limit(void **state)
{
	const struct fw_place place[] = {{0.30 * MM, 0, 0, 1, LIMITS(0.25, 0.27)},
	                                 {0.20 * MM, 0, 1, 1, LIMITS(0.23, 0.25)}};
	const struct fw_part part[] = {{2.50 * MM, 0}, {2.60 * MM, 0}};
	const struct fw_grade grade[] = {{2.55 * MM, 2}};
	struct fw_reuse reuse = make(place, 2, part, 2, grade, 1);
	struct fw_fitting fitting[2];
	struct fw_reuse_sum sum;
	(void)state;

	assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
	assert_int_equal(sum.bought, 2);
	assert_near(fitting[0].probability, 1, 0);
}

/* A shelf with one piece of the grade that is nearest for two places: one takes the second nearest.
 */
static void test_counts(void **state)
{
	const struct fw_place place[] = {{2.75 * MM, 0, FW_PLACE_BARE, 1, LIMITS(0.20, 0.30)},
	                                 {2.76 * MM, 0, FW_PLACE_BARE, 1, LIMITS(0.20, 0.30)}};
	struct fw_grade grade[] = {{2.50 * MM, 1}, {2.54 * MM, 1}, {2.60 * MM, 5}};
	struct fw_reuse reuse = make(place, 2, NULL, 0, grade, 3);
	struct fw_fitting fitting[2];
	struct fw_reuse_sum sum;
	(void)state;

	assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
	assert_int_equal(fitting[0].index, 0);
	assert_int_equal(fitting[1].index, 1);
	grade[1].count = 0;
	assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
	assert_int_equal(sum.left_out, 1);
	assert_int_equal(fitting[0].index, 0);
	assert_int_equal(fitting[1].from, FW_FROM_NOWHERE);
	assert_near(fitting[1].wanted, 2.51 * MM, 1e-12);
}

/* Rule 4 of the header. 2.3 and 2.4 at the two places, or 2.4 and 2.3, are off the aim by 0.2 + 0
 * or 0.1 + 0.1: the first place gets the smaller, though of that the shelf has no end. And where
 * the clearance hardly depends on the size, so that all are off by as many nanometres, the smallest
 * that there is. */
static void test_smallest_grade(void **state)
{
	struct fw_place place[] = {{2.7 * MM, 0, FW_PLACE_BARE, 1, {0.1 * MM, 0.5 * MM, 0.2 * MM}},
	                           {2.6 * MM, 0, FW_PLACE_BARE, 1, {0.1 * MM, 0.5 * MM, 0.2 * MM}}};
	const struct fw_grade two[] = {{2.4 * MM, 1}, {2.3 * MM, FW_GRADE_ENDLESS}};
	struct fw_grade many[] = {{2.9 * MM, FW_GRADE_ENDLESS},
	                          {2.3 * MM, 1},
	                          {2.5 * MM, 9},
	                          {2.2 * MM, 0},
	                          {2.4 * MM, 0},
	                          {2.7 * MM, 1}};
	struct fw_reuse reuse = make(place, 2, NULL, 0, two, 2);
	struct fw_fitting fitting[2];
	(void)state;

	assert_ok(fw_reuse(fitting, NULL, &reuse, &error));
	assert_int_equal(fitting[0].index, 1);
	assert_int_equal(fitting[1].index, 0);

	place[0] = place[1] =
	    (struct fw_place){0.3 * MM, 0, FW_PLACE_BARE, 1e-7, {0.1 * MM, 0.5 * MM, 0.2 * MM}};
	reuse = make(place, 2, NULL, 0, many, COUNT(many));
	assert_ok(fw_reuse(fitting, NULL, &reuse, &error));
	assert_int_equal(fitting[0].index, 1);
	assert_int_equal(fitting[1].index, 2);
	many[2].count = FW_GRADE_ENDLESS;
	assert_ok(fw_reuse(fitting, NULL, &reuse, &error));
	assert_int_equal(fitting[0].index, 1);
	assert_int_equal(fitting[1].index, 2);
	many[3].count = FW_GRADE_ENDLESS;
	assert_ok(fw_reuse(fitting, NULL, &reuse, &error));
	assert_int_equal(fitting[0].index, 3);
	assert_int_equal(fitting[1].index, 3);
}

/* ---- a crowd ---- */

/* A million grades, counted and endless, sixteen places: the nearest to the aim must come out,
 * which is found here by looking at each grade. */
static void test_million_grades(void **state)
{
	enum { N = 16, G = FW_REUSE_ITEMS };
	struct fw_grade *grade = malloc(G * sizeof *grade);
	struct fw_place place[N];
	struct fw_fitting fitting[N];
	uint64_t seed = 4;
	(void)state;

	assert_non_null(grade);
	for (size_t g = 0; g < G; g++)
		grade[g] = (struct fw_grade){2 * MM + 2e-9 * (double)((g * 7919) % G), FW_GRADE_ENDLESS};
	for (size_t i = 0; i < N; i++)
		place[i] = (struct fw_place){(2.8 + test_random(&seed, 1000) * 1e-3) * MM, 0, FW_PLACE_BARE,
		                             1, LIMITS(0.20, 0.30)};
	struct fw_reuse reuse = make(place, N, NULL, 0, grade, G);
	assert_ok(fw_reuse(fitting, NULL, &reuse, &error));
	for (size_t i = 0; i < N; i++) {
		double wanted = place[i].found - 0.25 * MM;
		size_t best = 0;
		for (size_t g = 1; g < G; g++)
			if (fabs(grade[g].size - wanted) < fabs(grade[best].size - wanted))
				best = g;
		assert_near(fitting[i].size, grade[best].size, 1.5e-9);
	}
	for (size_t g = 0; g < G; g++)
		grade[g].count = 1;
	struct fw_reuse_sum sum;
	assert_ok(fw_reuse(fitting, &sum, &reuse, &error));
	assert_int_equal(sum.bought, N);
	assert_true(sum.deviation < N * N * 1e-9);

	/* So many places may want as many pieces each: refused before any memory goes into it. */
	enum { CROWD = 4000 };
	struct fw_place *crowd = malloc(CROWD * sizeof *crowd);
	assert_non_null(crowd);
	for (size_t i = 0; i < CROWD; i++) {
		crowd[i] = place[0];
		crowd[i].found += 1e-7 * (double)i;
		crowd[i].limits = (struct fw_limits)LIMITS(0.05, 0.45);
	}
	struct fw_reuse crowded = make(crowd, CROWD, NULL, 0, grade, G);
	assert_code(fw_reuse(fitting, NULL, &crowded, &error), FW_ERR_RANGE);
	assert_contains(error.text, "4000 places with 0 old parts and at least 12001 pieces");
	crowded.places = FW_REUSE_PLACES + 1;
	assert_code(fw_reuse(fitting, NULL, &crowded, &error), FW_ERR_RANGE);
	assert_contains(error.text, "8001 places");
	free(crowd);

	grade[77].size = grade[123456].size;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "grades 78 and 123457 are of one size");
	reuse.grades = G + 1;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_RANGE);
	free(grade);
}

/* ---- what can't be used ---- */

static void test_bad_input(void **state)
{
	struct fw_place place[] = {{0.1 * MM, 0, 0, 1, LIMITS(0.1, 0.2)},
	                           {0.1 * MM, 0, 1, 1, LIMITS(0.1, 0.2)}};
	struct fw_part part[] = {{2.5 * MM, 0}, {2.6 * MM, 0}};
	struct fw_grade grade[] = {{2.5 * MM, 1}, {2.6 * MM, 1}};
	struct fw_reuse reuse = make(place, 2, part, 2, grade, 2);
	struct fw_fitting fitting[2];
	double *const spoil[] = {&place[1].found, &place[1].u,    &place[1].factor, &part[1].size,
	                         &part[1].u,      &grade[1].size, &reuse.grade_u};
	static const char *const where[] = {"place 2",    "place 2", "place 2", "old part 2",
	                                    "old part 2", "grade 2", "shelf"};
	(void)state;

	fitting[0].from = FW_FROM_OLD;
	fitting[0].index = 55;
	for (size_t k = 0; k < COUNT(spoil); k++) {
		static const double bad[] = {NAN, INFINITY, -INFINITY, 11.0, -11.0};
		double good = *spoil[k];
		for (size_t b = 0; b < COUNT(bad); b++) {
			*spoil[k] = bad[b];
			assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
			assert_contains(error.text, where[k]);
		}
		*spoil[k] = -1.0; /* may be found, but no size, uncertainty or factor */
		if (k != 0)
			assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
		*spoil[k] = good;
	}
	grade[0].size = 0.0;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	grade[0].size = 2.6 * MM + 2e-10;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "one size");
	grade[0].size = 2.5 * MM;

	place[0].limits = (struct fw_limits){0.2 * MM, 0.1 * MM, NAN};
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "place 1: limits: min is not below max");
	place[0].limits = (struct fw_limits){-INFINITY, INFINITY, NAN};
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	place[0].limits = (struct fw_limits){0.1, 100.0, NAN};
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "max is beyond 10 m");
	place[0].limits = (struct fw_limits)LIMITS(0.1, 0.2);

	place[1].own = 0;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "places 1 and 2 both had old part 1 in");
	place[1].own = 2;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "place 2");
	place[1].own = 1;

	static const double asked[] = {0.5, 1.0, NAN, 0.0};
	for (size_t k = 0; k < COUNT(asked); k++) {
		reuse.asked = asked[k];
		assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	}
	reuse.asked = FW_CONFORMANCE;
	reuse.places = 0;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	reuse.places = SIZE_MAX;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_RANGE);
	reuse.places = 2;
	reuse.part = NULL;
	assert_code(fw_reuse(fitting, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_code(fw_reuse(NULL, NULL, &reuse, &error), FW_ERR_ARGUMENT);
	assert_code(fw_reuse(fitting, NULL, NULL, &error), FW_ERR_ARGUMENT);
	assert_int_equal(fitting[0].index, 55); /* nothing written */
}

/* The promise of the header: D up to 4.5 mm with 2000 places; beyond it is refused, not wrong. */
static void test_weights(void **state)
{
	enum { N = 2000 };
	struct fw_place *place = malloc(N * sizeof *place);
	struct fw_fitting *fitting = malloc(N * sizeof *fitting);
	struct fw_part part = {1 * MM, 0};
	struct fw_reuse reuse = make(place, N, &part, 1, NULL, 0);
	struct fw_reuse_sum sum;
	(void)state;

	assert_true(place && fitting);
	for (size_t i = 0; i < N; i++)
		place[i] = (struct fw_place){5.4 * MM, 0, FW_PLACE_BARE, 1, {0, INFINITY, NAN}};
	assert_ok(fw_reuse(fitting, &sum, &reuse, &error)); /* 4.4 mm off */
	assert_int_equal(sum.left_out, N - 1);
	assert_int_equal(fitting[0].from, FW_FROM_OLD);
	place[7].found = 6.0 * MM;
	assert_code(fw_reuse(fitting, &sum, &reuse, &error), FW_ERR_RANGE);
	assert_contains(error.text, "5000 µm");
	free(place);
	free(fitting);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_every_plan),     cmocka_unit_test(test_shim_rule),
	    cmocka_unit_test(test_exchange),       cmocka_unit_test(test_shells),
	    cmocka_unit_test(test_guard),          cmocka_unit_test(test_own_part_cancels),
	    cmocka_unit_test(test_on_the_limit),   cmocka_unit_test(test_counts),
	    cmocka_unit_test(test_smallest_grade), cmocka_unit_test(test_million_grades),
	    cmocka_unit_test(test_bad_input),      cmocka_unit_test(test_weights),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
