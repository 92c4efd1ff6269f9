/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gear trains: speeds, loads, frequencies. */
#include <string.h>

#include "check.h"
#include "gearbox.h"

#define PI   3.14159265358979323846
#define TURN (2.0 * PI)
#define RPM  (PI / 30.0)

static struct fw_error error;

static struct fw_train_case in(size_t gear, enum fw_train_load load)
{
	return (struct fw_train_case){gear, load, false};
}

/* The two-stage gearbox of the PHM Society's 2009 data challenge: 32 teeth drive 96, 48 drive 80;
 * stated reduction 5 to 1. At 30 Hz: shafts at 30, 10, 6 Hz, meshes at 960 and 480 Hz. */
static void test_published_two_stage(void **state)
{
	static const char *const body[] = {"case", "input", "idler", "output"};
	static const struct fw_bearing ball = {FW_BALL_BEARING, 8, 1, 0.3125 * 0.0254,
	                                       1.319 * 0.0254,  0, 0};
	static const struct fw_train_pair pair[] = {{"one", 1, 2, 32, 96, false, FW_ALWAYS},
	                                            {"two", 2, 3, 48, 80, false, FW_ALWAYS}};
	static const struct fw_train_bearing bearing[] = {{"in", 1, 0, &ball}, {"out", 3, 0, &ball}};
	const struct fw_train t = {.body = body,
	                           .bodies = 4,
	                           .pair = pair,
	                           .pairs = 2,
	                           .bearing = bearing,
	                           .bearings = 2,
	                           .input = 1,
	                           .output = 3,
	                           .engine = FW_NOBODY};
	struct fw_train_case at = in(0, FW_DRIVE);
	struct fw_pair_state p[2];
	struct fw_bearing_state b[2];
	double w[4];
	(void)state;

	assert_ok(fw_train_run(w, p, b, &t, &at, 30.0 * TURN, &error));
	assert_near(w[1] / w[3], 5.0, 1e-12);
	assert_near(w[2] / TURN, -10.0, 1e-9);
	assert_near(p[0].mesh.mesh, 960.0, 1e-9);
	assert_near(p[1].mesh.mesh, 480.0, 1e-9);
	assert_true(p[0].loaded && p[1].loaded && p[0].a_drives && b[0].loaded && b[1].loaded);
	/* 8/2·(1 - 0.3125/1.319) = 3.0523 a turn */
	assert_near(b[0].sounds.outer, 3.0523 * 30.0, 0.01);
	assert_near(b[1].sounds.outer, 3.0523 * 6.0, 0.01);
}

/* A textbook's sliding-mesh box for ratios 1, 1.38, 4 and reverse 4.2 (course text on gear trains):
 * constant pair 20/40; third 36 on the layshaft with 24 gives 1.333; reverse 18 over an idler to 38
 * gives 4.22. First, 20 with 40, follows from its ratio of 4. The idler's teeth don't matter. */
static void test_textbook_sliding_mesh(void **state)
{
	static const char *const body[] = {"case", "input", "lay", "main", "idler"};
	static const char *const gear[] = {"first", "third", "top", "reverse"};
	static const double ratio[] = {4.0, 4.0 / 3.0, 1.0, -38.0 / 9.0};
	(void)state;

	for (unsigned teeth = 14; teeth < 40; teeth += 5) {
		const struct fw_train_pair pair[] = {{"constant", 1, 2, 20, 40, false, FW_ALWAYS},
		                                     {"first", 2, 3, 20, 40, false, 1},
		                                     {"third", 2, 3, 36, 24, false, 2},
		                                     {"pinion", 2, 4, 18, teeth, false, 8},
		                                     {"idler", 4, 3, teeth, 38, false, 8}};
		const struct fw_train_lock lock[] = {{"top", 1, 3, 4}};
		const struct fw_train t = {body, 5, pair, 5, lock, 1, NULL, 0, gear, 4, 1, 3, FW_NOBODY};
		for (size_t g = 0; g < 4; g++) {
			struct fw_train_case at = in(g, FW_DRIVE);
			double w[5];
			assert_ok(fw_train_run(w, NULL, NULL, &t, &at, 100.0, &error));
			assert_near(w[1] / w[3], ratio[g], 1e-12);
			assert_near(w[2], -50.0, 1e-12);
			/* a sliding idler that isn't in doesn't turn */
			assert_true(g == 3 ? w[4] > 0.0 : isnan(w[4]));
		}
	}
}

struct look {
	double w[GEARBOX_BODIES];
	struct fw_pair_state p[GEARBOX_PAIRS];
	struct fw_bearing_state b[GEARBOX_BEARINGS];
};

static struct look run(struct fw_train_case at, double rpm)
{
	struct look l;

	assert_ok(fw_train_run(l.w, l.p, l.b, gearbox(), &at, rpm * RPM, &error));
	return l;
}

/* By hand at 3800 rpm: layshaft 3800·21/38 = 2100 the other way; first 2100·17/35 = 1020; second
 * 2100·25/29 = 1810.34; third 2100·32/24 = 2800; idler 2100·15/20 = 1575; reverse 1575·20/33 =
 * 954.545 against the engine. Constant mesh 21·3800/60 = 1330 Hz. */
static void test_speeds(void **state)
{
	static const double main_shaft[] = {1020.0, 52500.0 / 29.0, 2800.0, 3800.0, -31500.0 / 33.0};
	(void)state;

	for (size_t g = 0; g < GEARBOX_GEARS; g++) {
		struct look l = run(in(g, FW_DRIVE), 3800);
		assert_near(l.w[MAIN] / RPM, main_shaft[g], 1e-9);
		assert_near(l.w[LAY] / RPM, -2100, 1e-9);
		/* free gears turn in every gear, at their own speed */
		assert_near(l.w[FREE_1] / RPM, 1020, 1e-9);
		assert_near(l.w[FREE_3] / RPM, 2800, 1e-9);
		assert_near(l.w[FREE_R] / RPM, -31500.0 / 33.0, 1e-9);
		assert_near(l.p[P_CONSTANT].mesh.mesh, 1330, 1e-9);
		assert_near(l.p[P_3].mesh.mesh, 2100 * 32 / 60.0, 1e-9);
		assert_near((l.b[B_FREE_3].inner - l.b[B_FREE_3].outer) / RPM, main_shaft[g] - 2800, 1e-9);
		assert_true(l.b[B_FREE_3].turning == (g != THIRD));
		assert_true(l.b[B_SPIGOT].turning == (g != TOP) && !l.b[B_PILOT].turning);
	}
}

/* What bears in each gear: the constant pair and the gear's own, none in top. Common practice, no
 * source.
 */
static void test_loads(void **state)
{
	static const bool loaded[GEARBOX_GEARS][GEARBOX_PAIRS] = {
	    [FIRST] = {[P_CONSTANT] = true, [P_1] = true},
	    [SECOND] = {[P_CONSTANT] = true, [P_2] = true},
	    [THIRD] = {[P_CONSTANT] = true, [P_3] = true},
	    [TOP] = {false},
	    [REVERSE] = {[P_CONSTANT] = true, [P_LAY_IDLER] = true, [P_R] = true},
	};
	(void)state;

	for (size_t g = 0; g < GEARBOX_GEARS; g++) {
		struct look drive = run(in(g, FW_DRIVE), 2000), over = run(in(g, FW_OVERRUN), 2000),
		            coast = run(in(g, FW_FLOAT), 2000);
		for (size_t i = 0; i < GEARBOX_PAIRS; i++) {
			assert_true(drive.p[i].loaded == loaded[g][i] && drive.p[i].turning);
			assert_true(over.p[i].loaded == loaded[g][i] && !coast.p[i].loaded);
			/* drive and overrun bear on opposite sides of the teeth, either gear of a pair drives
			 */
			assert_int_equal(drive.p[i].flank, -over.p[i].flank);
			assert_true((drive.p[i].flank != 0) == loaded[g][i] && coast.p[i].flank == 0);
			assert_true(drive.p[i].a_drives == loaded[g][i] && !over.p[i].a_drives);
		}
		/* the input always turns one way and drives: one side of its teeth in drive, in reverse too
		 */
		assert_int_equal(drive.p[P_CONSTANT].flank, g == TOP ? 0 : 1);
		bool indirect = g != TOP;
		assert_true(drive.b[B_LAY_REAR].loaded == indirect &&
		            drive.b[B_LAY_FRONT].loaded == indirect);
		assert_true(drive.b[B_INPUT].loaded == indirect && drive.b[B_MAIN].loaded == indirect &&
		            drive.b[B_SPIGOT].loaded == indirect);
		assert_true(drive.b[B_FREE_2].loaded == (g == SECOND) &&
		            drive.b[B_IDLER].loaded == (g == REVERSE));
		assert_true(!coast.b[B_LAY_REAR].loaded && coast.b[B_LAY_REAR].turning);
	}
}

static void test_standing(void **state)
{
	struct look l = run(in(FW_NEUTRAL, FW_FLOAT), 1000);
	struct fw_train_case out = {FW_NEUTRAL, FW_FLOAT, true};
	(void)state;

	assert_true(l.w[MAIN] == 0.0 && !l.b[B_MAIN].turning && l.b[B_INPUT].turning);
	assert_true(l.b[B_SPIGOT].turning && l.b[B_FREE_1].turning && l.b[B_LAY_REAR].turning);
	assert_true(!l.b[B_PILOT].turning && l.p[P_2].turning && !l.p[P_2].loaded);
	l = run(out, 1000);
	for (size_t i = 0; i < GEARBOX_BEARINGS; i++)
		assert_true(l.b[i].turning == (i == B_PILOT));
	assert_true(!l.p[P_CONSTANT].turning);
	assert_near(l.w[ENGINE] / RPM, 1000, 1e-9);
	/* a negative speed turns everything the other way and loads the same */
	struct look back = run(in(SECOND, FW_DRIVE), -1000), ahead = run(in(SECOND, FW_DRIVE), 1000);
	assert_near(back.w[MAIN], -ahead.w[MAIN], 1e-9);
	assert_int_equal(back.p[P_2].flank, -ahead.p[P_2].flank);
	assert_near(back.b[B_LAY_REAR].sounds.outer, ahead.b[B_LAY_REAR].sounds.outer, 1e-9);
	assert_true(isnan(ahead.b[B_SPIGOT].sounds.outer));
}

/* Twin layshafts share the load; power goes the same way through both. A ring gear doesn't reverse.
 */
static void test_parallel_ways(void **state)
{
	static const char *const body[] = {"case", "input", "lay a", "lay b", "main", "dead end"};
	static const struct fw_train_pair pair[] = {{"a in", 1, 2, 30, 40, false, FW_ALWAYS},
	                                            {"b in", 3, 1, 40, 30, false, FW_ALWAYS},
	                                            {"a out", 2, 4, 20, 50, false, FW_ALWAYS},
	                                            {"b out", 3, 4, 20, 50, false, FW_ALWAYS},
	                                            {"pump", 2, 5, 20, 60, true, FW_ALWAYS}};
	const struct fw_train t = {body, 6, pair, 5, NULL, 0, NULL, 0, NULL, 0, 1, 4, FW_NOBODY};
	struct fw_train_case at = in(0, FW_DRIVE);
	struct fw_pair_state p[5];
	double w[6];
	(void)state;

	assert_ok(fw_train_run(w, p, NULL, &t, &at, 100, &error));
	assert_true(p[0].loaded && p[1].loaded && p[2].loaded && p[3].loaded && !p[4].loaded);
	assert_true(p[0].a_drives && !p[1].a_drives && p[2].a_drives && p[3].a_drives);
	assert_near(w[4], 30.0, 1e-9);
	assert_near(w[5] / w[2], 1.0 / 3.0, 1e-12);
}

/* Two ways of unequal length, x beside a, b, c and d, all gears alike: power reaches the output by
 * both, and in the last pairs of the longer one too the body nearer the input drives. It pushes
 * with the side of its teeth that faces its motion, and on the overrun is pushed at the other. */
static void test_ways_of_unequal_length(void **state)
{
	static const char *const body[] = {"case", "in", "out", "x", "a", "b", "c", "d"};
	static const struct fw_train_pair pair[] = {
	    {"in-x", 1, 3, 20, 20, false, FW_ALWAYS}, {"x-out", 3, 2, 20, 20, true, FW_ALWAYS},
	    {"in-a", 1, 4, 20, 20, false, FW_ALWAYS}, {"a-b", 4, 5, 20, 20, false, FW_ALWAYS},
	    {"b-c", 5, 6, 20, 20, false, FW_ALWAYS},  {"c-d", 6, 7, 20, 20, false, FW_ALWAYS},
	    {"d-out", 7, 2, 20, 20, false, FW_ALWAYS}};
	const struct fw_train t = {body, 8, pair, 7, NULL, 0, NULL, 0, NULL, 0, 1, 2, FW_NOBODY};
	struct fw_train_case drive = in(0, FW_DRIVE), over = in(0, FW_OVERRUN);
	struct fw_pair_state p[7], q[7];
	double w[8];
	(void)state;

	assert_ok(fw_train_run(w, p, NULL, &t, &drive, 100, &error));
	assert_ok(fw_train_run(NULL, q, NULL, &t, &over, 100, &error));
	for (size_t i = 0; i < 7; i++) {
		assert_true(p[i].loaded && p[i].a_drives && q[i].loaded && !q[i].a_drives);
		assert_int_equal(p[i].flank, w[pair[i].a] > 0.0 ? 1 : -1);
		assert_int_equal(q[i].flank, -p[i].flank);
	}
}

/* The input runs in a sleeve, that in the case, and input and output in each other: all of these
 * bear. What hangs on the output without reaching the case, and what no tooth pushes, doesn't. */
static void test_forces_to_the_case(void **state)
{
	static const char *const body[] = {"case", "in", "sleeve", "out", "hanging", "other"};
	static const struct fw_train_pair pair[] = {{"one", 1, 3, 20, 30, false, FW_ALWAYS}};
	static const struct fw_train_bearing bearing[] = {
	    {"in", 1, 2, NULL},      {"sleeve", 2, 0, NULL},  {"out", 3, 0, NULL},
	    {"hanging", 4, 3, NULL}, {"between", 3, 1, NULL}, {"other", 5, 0, NULL}};
	static const bool loaded[] = {true, true, true, false, true, false};
	const struct fw_train t = {body, 6, pair, 1, NULL, 0, bearing, 6, NULL, 0, 1, 3, FW_NOBODY};
	struct fw_train_case at = in(0, FW_DRIVE);
	struct fw_bearing_state b[6];
	(void)state;

	assert_ok(fw_train_run(NULL, NULL, b, &t, &at, 100, &error));
	for (size_t i = 0; i < 6; i++)
		assert_true(b[i].loaded == loaded[i]);
}

static void refuse(const struct fw_train *t, size_t gear, int code, const char *says)
{
	struct fw_train_case at = in(gear, FW_DRIVE);
	double w[FW_TRAIN_MOST];

	w[0] = -7;
	assert_code(fw_train_run(w, NULL, NULL, t, &at, 100, &error), code);
	assert_contains(error.text, says);
	assert_true(w[0] == -7);
}

/* Two dogs in at once, a gear without its dog, a loop whose teeth don't agree, the case made to
 * turn. */
static void test_trains_that_cannot_be(void **state)
{
	struct fw_train t = *gearbox();
	struct fw_train_lock lock[6];
	struct fw_train_pair pair[GEARBOX_PAIRS + 1];
	(void)state;

	memcpy(lock, t.lock, 5 * sizeof *lock);
	memcpy(pair, t.pair, GEARBOX_PAIRS * sizeof *pair);
	t.lock = lock;
	lock[0].gears = 1u << FIRST | 1u << SECOND;
	refuse(&t, SECOND, FW_ERR_RANGE, "locks up");
	assert_contains(error.text, "2nd");
	lock[0].gears = 0;
	refuse(&t, FIRST, FW_ERR_RANGE, "nothing drives");
	assert_contains(error.text, "1st");
	lock[0].gears = 1u << FIRST;
	lock[5] = (struct fw_train_lock){"parking pawl", LAY, CASE, 1u << THIRD};
	t.locks = 6;
	refuse(&t, THIRD, FW_ERR_RANGE, "locks up");
	t.locks = 5;
	lock[2].gears = FW_ALWAYS;
	refuse(&t, FW_NEUTRAL, FW_ERR_RANGE, "neutral");

	t = *gearbox();
	t.pair = pair;
	pair[GEARBOX_PAIRS] = (struct fw_train_pair){"shaved", LAY, FREE_1, 18, 35, false, FW_ALWAYS};
	t.pairs++;
	refuse(&t, THIRD, FW_ERR_RANGE, "locks up");
	pair[GEARBOX_PAIRS].teeth_a = 17; /* a loop that agrees */
	struct fw_train_case at = in(FIRST, FW_DRIVE);
	assert_ok(fw_train_run(NULL, NULL, NULL, &t, &at, 100, &error));
}

static void test_bad_trains(void **state)
{
	struct fw_train t = *gearbox();
	struct fw_train_pair pair[GEARBOX_PAIRS];
	struct fw_train_lock lock = {"dog", INPUT, MAIN, FW_ALWAYS};
	struct fw_train_bearing bearing = {"big", MAIN, CASE, NULL};
	struct fw_bearing none = {0};
	(void)state;

	memcpy(pair, t.pair, sizeof pair);
	t.pair = pair;
	pair[P_2].teeth_b = 0;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "second");
	pair[P_2].teeth_b = FW_TEETH_MOST + 1;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "teeth");
	pair[P_2].teeth_b = 29;
	pair[P_2].a = GEARBOX_BODIES;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "isn't there");
	pair[P_2].a = FREE_2;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "itself");
	pair[P_2].a = CASE;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "fixed to the case");
	pair[P_2].a = LAY;
	pair[P_2].name = NULL;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "no name");

	t = *gearbox();
	refuse(&t, GEARBOX_GEARS, FW_ERR_ARGUMENT, "5 gears");
	t.gears = 1000000;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "63 gears");
	t = *gearbox();
	t.pairs = 1000000;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "256");
	t = *gearbox();
	t.input = CASE;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "input");
	t = *gearbox();
	t.output = INPUT;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "output");
	t = *gearbox();
	t.engine = MAIN;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "engine");
	t = *gearbox();
	t.bodies = 1;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "shafts");
	t = *gearbox();
	t.lock = &lock;
	t.locks = 1;
	lock.b = INPUT;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "dog");
	t = *gearbox();
	t.bearing = &bearing;
	t.bearings = 1;
	bearing.geometry = &none;
	refuse(&t, FIRST, FW_ERR_ARGUMENT, "'big': bearing");
	assert_code(fw_train_check(NULL, &error), FW_ERR_ARGUMENT);
}

static void test_bad_cases(void **state)
{
	struct fw_train_case at = in(FIRST, FW_DRIVE);
	static const double speeds[] = {0.0, NAN, INFINITY};
	(void)state;

	for (size_t i = 0; i < 3; i++)
		assert_code(fw_train_run(NULL, NULL, NULL, gearbox(), &at, speeds[i], &error),
		            FW_ERR_ARGUMENT);
	assert_code(fw_train_run(NULL, NULL, NULL, gearbox(), NULL, 1, &error), FW_ERR_ARGUMENT);
	at.load = (enum fw_train_load)5;
	assert_code(fw_train_run(NULL, NULL, NULL, gearbox(), &at, 1, &error), FW_ERR_ARGUMENT);
	at = (struct fw_train_case){FIRST, FW_FLOAT, true};
	assert_code(fw_train_run(NULL, NULL, NULL, gearbox(), &at, 1, &error), FW_ERR_ARGUMENT);
	at = in(THIRD, FW_DRIVE);
	struct fw_train t = *gearbox();
	struct fw_train_pair pair[GEARBOX_PAIRS];
	memcpy(pair, t.pair, sizeof pair);
	t.pair = pair;
	pair[P_CONSTANT].teeth_b = 1;
	assert_code(fw_train_run(NULL, NULL, NULL, &t, &at, 1e308, &error), FW_ERR_RANGE);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_published_two_stage),
	    cmocka_unit_test(test_textbook_sliding_mesh),
	    cmocka_unit_test(test_speeds),
	    cmocka_unit_test(test_loads),
	    cmocka_unit_test(test_standing),
	    cmocka_unit_test(test_parallel_ways),
	    cmocka_unit_test(test_ways_of_unequal_length),
	    cmocka_unit_test(test_forces_to_the_case),
	    cmocka_unit_test(test_trains_that_cannot_be),
	    cmocka_unit_test(test_bad_trains),
	    cmocka_unit_test(test_bad_cases),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
