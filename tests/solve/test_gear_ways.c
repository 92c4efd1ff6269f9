/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gear trains by other routes: all ways tried one by one, all speeds from their equations at once.
 */
#include <gsl/gsl_linalg.h>

#include "check.h"
#include "solve/bearing/train.h"

static struct fw_error error;

static unsigned next(unsigned *seed, unsigned below)
{
	*seed = *seed * 1664525u + 1013904223u;
	return (*seed >> 16) % below;
}

/* In which senses some way passes an edge. */
struct passed {
	bool along, back;
};

/* All ways by trying: depth first, no node twice. `step` is the way so far, by edge and sense. */
struct step {
	size_t edge;
	bool along;
};

static void try_ways(struct passed *passed, const struct fw_edge *edges, size_t count, size_t at,
                     size_t to, bool *been, struct step *step, size_t depth)
{
	for (size_t i = 0; at == to && i < depth; i++) {
		if (step[i].along)
			passed[step[i].edge].along = true;
		else
			passed[step[i].edge].back = true;
	}
	if (at == to)
		return;
	been[at] = true;
	for (size_t e = 0; e < count; e++) {
		if (!edges[e].used || (edges[e].a != at && edges[e].b != at))
			continue;
		size_t other = edges[e].a == at ? edges[e].b : edges[e].a;
		if (been[other])
			continue;
		step[depth] = (struct step){e, edges[e].a == at};
		try_ways(passed, edges, count, other, to, been, step, depth + 1);
	}
	been[at] = false;
}

/* Power that flows as marked comes from node 0 and ends in node 1: each other node on the way gets
 * some and hands it on. And none goes round in a circle: of a graph without circles nothing is left
 * when the edges out of nodes that get nothing are taken away again and again. */
static void flows(const struct fw_edge *edges, size_t count, size_t nodes)
{
	bool gone[11] = {false};
	size_t into[7] = {0}, out[7] = {0}, left = 0;

	for (size_t e = 0; e < count; e++) {
		if (!edges[e].on)
			continue;
		left++;
		into[edges[e].along ? edges[e].b : edges[e].a]++;
		out[edges[e].along ? edges[e].a : edges[e].b]++;
	}
	assert_true(into[0] == 0 && out[1] == 0);
	for (size_t i = 2; i < nodes; i++)
		assert_true((into[i] == 0) == (out[i] == 0));
	for (size_t round = 0; round < nodes; round++) {
		for (size_t e = 0; e < count; e++) {
			if (!edges[e].on || gone[e] || into[edges[e].along ? edges[e].a : edges[e].b] != 0)
				continue;
			gone[e] = true;
			into[edges[e].along ? edges[e].b : edges[e].a]--;
			left--;
		}
	}
	assert_int_equal(left, 0);
}

/* Random graphs of up to 7 nodes and 11 edges, twice joined nodes among them. */
static void test_ways_by_trying(void **state)
{
	unsigned seed = 7, found = 0, either = 0;
	(void)state;

	for (int round = 0; round < 3000; round++) {
		struct fw_edge edges[11];
		size_t nodes = 3 + next(&seed, 5), count = 2 + next(&seed, 10);
		size_t without = next(&seed, 2) ? FW_NOBODY : 2;
		struct passed passed[11] = {{false, false}};
		struct step step[11];
		bool been[7] = {false};
		for (size_t e = 0; e < count; e++) {
			size_t a = next(&seed, (unsigned)nodes), b = next(&seed, (unsigned)nodes);
			edges[e] = (struct fw_edge){a, b == a ? (a + 1) % nodes : b, next(&seed, 8) != 0, false,
			                            false};
		}
		if (without != FW_NOBODY)
			been[without] = true;
		fw_train_ways(edges, count, 0, 1, without);
		try_ways(passed, edges, count, 0, 1, been, step, 0);
		for (size_t e = 0; e < count; e++) {
			bool both = passed[e].along && passed[e].back;
			assert_true(edges[e].on == (passed[e].along || passed[e].back));
			assert_true(!edges[e].on || both || edges[e].along == passed[e].along);
			found += edges[e].on;
			either += both;
		}
		flows(edges, count, nodes);
	}
	assert_true(found > 3000 && either > 100 && either < found / 4);
}

/* One loaded pair and random bearings: loaded are those on any way from either of its bodies to the
 * case, tried one by one. */
static void test_forces_by_trying(void **state)
{
	enum { BODIES = 6 };
	static const char *const body[BODIES] = {"case", "1", "2", "3", "4", "5"};
	static const struct fw_train_pair pair[] = {{"p", 1, 2, 20, 30, false, FW_ALWAYS}};
	unsigned seed = 5, loaded = 0, idle = 0;
	(void)state;

	for (int round = 0; round < 2000; round++) {
		struct fw_train_bearing bearing[9];
		struct fw_bearing_state b[9];
		struct fw_edge edges[9];
		struct passed passed[9] = {{false, false}};
		struct step step[9];
		bool been[BODIES] = {false};
		size_t count = 1 + next(&seed, 9);
		for (size_t e = 0; e < count; e++) {
			size_t inner = next(&seed, BODIES), outer = (inner + 1 + next(&seed, 5)) % BODIES;
			bearing[e] = (struct fw_train_bearing){"b", inner, outer, NULL};
			edges[e] = (struct fw_edge){inner, outer, true, false, false};
		}
		const struct fw_train t = {body,  BODIES, pair, 1, NULL, 0,        bearing,
		                           count, NULL,   0,    1, 2,    FW_NOBODY};
		struct fw_train_case at = {0, FW_DRIVE, false};
		assert_ok(fw_train_run(NULL, NULL, b, &t, &at, 50.0, &error));
		try_ways(passed, edges, count, 1, FW_CASE, been, step, 0);
		try_ways(passed, edges, count, 2, FW_CASE, been, step, 0);
		for (size_t e = 0; e < count; e++) {
			assert_true(b[e].loaded == (passed[e].along || passed[e].back));
			loaded += b[e].loaded;
			idle += !b[e].loaded;
		}
	}
	assert_true(loaded > 1000 && idle > 1000);
}

/* A chain as long as a train may be: deep, and each step directed away from the start. */
static void test_long_way(void **state)
{
	struct fw_edge edges[FW_TRAIN_MOST];
	(void)state;

	for (size_t i = 0; i + 1 < FW_TRAIN_MOST; i++)
		edges[i] = (struct fw_edge){i % 2 ? i : i + 1, i % 2 ? i + 1 : i, true, false, false};
	fw_train_ways(edges, FW_TRAIN_MOST - 1, 0, FW_TRAIN_MOST - 1, FW_NOBODY);
	for (size_t i = 0; i + 1 < FW_TRAIN_MOST; i++)
		assert_true(edges[i].on && edges[i].along == (i % 2 != 0));
}

/* Random trains without loops: speeds against the linear equations wa·za + wb·zb = 0 (- for ring
 * gears), wa = wb for locks, solved all at once. */
static void test_speeds_by_equations(void **state)
{
	enum { BODIES = 9 };
	static const char *const body[BODIES] = {"case", "1", "2", "3", "4", "5", "6", "7", "8"};
	unsigned seed = 11;
	(void)state;

	for (int round = 0; round < 200; round++) {
		struct fw_train_pair pair[BODIES];
		struct fw_train_lock lock[BODIES];
		size_t pairs = 0, locks = 0;
		double a[BODIES * BODIES] = {0}, right[BODIES] = {0}, x[BODIES], w[BODIES];
		a[0] = a[BODIES + 1] = 1.0;
		right[1] = 50.0;
		for (size_t i = 2; i < BODIES; i++) {
			size_t other = 1 + next(&seed, (unsigned)i - 1);
			double *row = &a[i * BODIES];
			if (next(&seed, 5) == 0) {
				lock[locks++] = (struct fw_train_lock){"l", other, i, FW_ALWAYS};
				row[i] = 1.0;
				row[other] = -1.0;
				continue;
			}
			unsigned za = 12 + next(&seed, 60), zb = 12 + next(&seed, 60);
			bool ring = next(&seed, 4) == 0;
			pair[pairs++] = (struct fw_train_pair){"p", i, other, za, zb, ring, FW_ALWAYS};
			row[i] = za;
			row[other] = ring ? -(double)zb : (double)zb;
		}
		const struct fw_train t = {body, BODIES, pair, pairs, lock,       locks,    NULL,
		                           0,    NULL,   0,    1,     BODIES - 1, FW_NOBODY};
		struct fw_train_case at = {0, FW_DRIVE, false};
		assert_ok(fw_train_run(w, NULL, NULL, &t, &at, 50.0, &error));
		int sign;
		gsl_matrix_view m = gsl_matrix_view_array(a, BODIES, BODIES);
		gsl_vector_view r = gsl_vector_view_array(right, BODIES),
		                s = gsl_vector_view_array(x, BODIES);
		gsl_permutation *p = gsl_permutation_alloc(BODIES);
		gsl_linalg_LU_decomp(&m.matrix, p, &sign);
		gsl_linalg_LU_solve(&m.matrix, p, &r.vector, &s.vector);
		gsl_permutation_free(p);
		for (size_t i = 0; i < BODIES; i++)
			assert_near(w[i], x[i], 1e-9 * (1.0 + fabs(x[i])));
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_ways_by_trying),
	    cmocka_unit_test(test_forces_by_trying),
	    cmocka_unit_test(test_long_way),
	    cmocka_unit_test(test_speeds_by_equations),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
