/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From what is heard to the part that makes it. The rules of thumb are those of the gearbox bench;
 * where no source stands beside them they are common practice. */
#include <string.h>
#include <time.h>

#include "check.h"
#include "gearbox.h"

#define PI  3.14159265358979323846
#define RPM (PI / 30.0)
#define ALL (2 * GEARBOX_PAIRS + GEARBOX_BEARINGS)

static struct fw_error error;

/* Observations, one after the other. */
struct test {
	struct fw_train_heard heard[32];
	size_t count;
	struct fw_suspect suspect[ALL];
};

static void note(struct test *t, size_t gear, enum fw_train_load load, bool heard)
{
	t->heard[t->count++] = (struct fw_train_heard){{gear, load, false}, heard};
}

static void note_clutch_out(struct test *t, bool heard)
{
	t->heard[t->count++] = (struct fw_train_heard){{FW_NEUTRAL, FW_FLOAT, true}, heard};
}

static void rank(struct test *t)
{
	size_t count = ALL;
	double sum = 0.0;

	assert_ok(fw_train_rank(t->suspect, &count, gearbox(), t->heard, t->count, &error));
	assert_int_equal(count, ALL);
	for (size_t i = 0; i < ALL; i++) {
		sum += t->suspect[i].share;
		assert_true(i == 0 || t->suspect[i].share <= t->suspect[i - 1].share * (1 + 1e-9));
		unsigned seen = 0;
		for (int doing = FW_AT_REST; doing <= FW_LOADED; doing++)
			seen += t->suspect[i].heard[doing] + t->suspect[i].silent[doing];
		assert_int_equal(seen, t->count);
	}
	assert_near(sum, 1.0, 1e-9);
}

static const struct fw_suspect *bearing(const struct test *t, size_t index)
{
	for (size_t i = 0; i < ALL; i++) {
		if (t->suspect[i].is_bearing && t->suspect[i].index == index)
			return &t->suspect[i];
	}
	fail_msg("no bearing %zu", index);
	return NULL;
}

/* The flank that bears in `load`. */
static const struct fw_suspect *pair(const struct test *t, size_t index, enum fw_train_load load)
{
	for (size_t i = 0; i < ALL; i++) {
		if (!t->suspect[i].is_bearing && t->suspect[i].index == index &&
		    (t->suspect[i].drives >> load & 1) != 0)
			return &t->suspect[i];
	}
	fail_msg("no pair %zu", index);
	return NULL;
}

/* Gear noise in one gear only: that gear's pair (a trade magazine's column on manual gearbox noise
 * says the same). On drive only: the drive side of its teeth. */
static void test_one_gear_on_drive(void **state)
{
	struct test t = {.count = 0};
	(void)state;

	for (size_t g = FIRST; g <= TOP; g++) {
		note(&t, g, FW_DRIVE, g == SECOND);
		note(&t, g, FW_FLOAT, false);
		note(&t, g, FW_OVERRUN, false);
	}
	rank(&t);
	assert_ptr_equal(&t.suspect[0], pair(&t, P_2, FW_DRIVE));
	assert_true(t.suspect[0].share > 5.0 * t.suspect[1].share);
	assert_true(t.suspect[0].share > 50.0 * pair(&t, P_2, FW_OVERRUN)->share);
	assert_true(bearing(&t, B_FREE_2)->out); /* it doesn't turn in second */
	assert_int_equal(t.suspect[0].heard[FW_LOADED], 1);
	assert_int_equal(t.suspect[0].silent[FW_IDLE], 11);
}

/* The same on the overrun: the other side. */
static void test_one_gear_on_overrun(void **state)
{
	struct test t = {.count = 0};
	(void)state;

	for (size_t g = FIRST; g <= TOP; g++) {
		note(&t, g, FW_DRIVE, false);
		note(&t, g, FW_OVERRUN, g == THIRD);
	}
	rank(&t);
	assert_ptr_equal(&t.suspect[0], pair(&t, P_3, FW_OVERRUN));
}

/* In all gears but the direct one: the layshaft's bearings, the spigot bearing, the input and main
 * ones, which then bear no teeth's load; no single gear, no needle bearing. */
static void test_all_but_direct(void **state)
{
	struct test t = {.count = 0};
	(void)state;

	for (size_t g = FIRST; g < GEARBOX_GEARS; g++) {
		note(&t, g, FW_DRIVE, g != TOP);
		note(&t, g, FW_OVERRUN, g != TOP);
	}
	rank(&t);
	double lay = bearing(&t, B_LAY_REAR)->share;
	assert_near(lay, bearing(&t, B_LAY_FRONT)->share, 1e-12);
	assert_true(lay > 0.05);
	for (size_t i = 0; i < GEARBOX_PAIRS; i++)
		assert_true(lay > pair(&t, i, FW_DRIVE)->share && lay > pair(&t, i, FW_OVERRUN)->share);
	for (size_t i = B_IDLER; i < GEARBOX_BEARINGS; i++)
		assert_true(lay > 10.0 * bearing(&t, i)->share);
	/* the spigot doesn't even turn in top */
	assert_true(bearing(&t, B_SPIGOT)->share > lay);

	/* Standing in neutral with the clutch in it is still there: what turns with the car is out. */
	note(&t, FW_NEUTRAL, FW_FLOAT, true);
	note_clutch_out(&t, false);
	rank(&t);
	assert_true(bearing(&t, B_MAIN)->out && !bearing(&t, B_LAY_REAR)->out);
}

/* Standing in neutral, gone with the clutch pressed: input or layshaft, not the clutch's own pilot
 * bearing; only with the clutch pressed: the pilot bearing (a repair course says the same of both).
 */
static void test_clutch(void **state)
{
	struct test in = {.count = 0}, out = {.count = 0};
	(void)state;

	note(&in, FW_NEUTRAL, FW_FLOAT, true);
	note_clutch_out(&in, false);
	rank(&in);
	assert_true(bearing(&in, B_PILOT)->out && bearing(&in, B_MAIN)->out);
	assert_near(bearing(&in, B_INPUT)->share, in.suspect[0].share, 1e-12);
	assert_near(bearing(&in, B_LAY_REAR)->share, in.suspect[0].share, 1e-12);

	note(&out, FW_NEUTRAL, FW_FLOAT, false);
	note_clutch_out(&out, true);
	rank(&out);
	assert_ptr_equal(&out.suspect[0], bearing(&out, B_PILOT));
	assert_true(out.suspect[0].share > 0.5);
	for (size_t i = 1; i < ALL; i++)
		assert_true(out.suspect[i].out);
}

/* In every gear but third: the needles under third gear, which only then don't turn. */
static void test_all_but_one_indirect(void **state)
{
	struct test t = {.count = 0};
	(void)state;

	for (size_t g = FIRST; g < GEARBOX_GEARS; g++) {
		for (int load = FW_DRIVE; load <= FW_OVERRUN; load++)
			note(&t, g, (enum fw_train_load)load, g != THIRD);
	}
	rank(&t);
	assert_ptr_equal(&t.suspect[0], bearing(&t, B_FREE_3));
}

/* The likelihood by hand: third heard on drive, silent on overrun. Mean of the two habits, sounds
 * under load and sounds when turning: third's drive side (0.9·0.9 + 0.9·0.1)/2 = 0.45, its overrun
 * side (0.1·0.1 + 0.9·0.1)/2 = 0.05, the constant pair alike; what is idle or loaded in both,
 * 0.1·0.9 either way: 8 other flanks, input, spigot, main, two lay, idler, three needles; at rest
 * 0.01·0.99: third's needles and the pilot. */
static void test_shares_by_hand(void **state)
{
	struct test t = {.count = 0};
	double sum = 2 * 0.45 + 2 * 0.05 + (8 + 9) * 0.09 + 2 * 0.0099;
	(void)state;

	note(&t, THIRD, FW_DRIVE, true);
	note(&t, THIRD, FW_OVERRUN, false);
	rank(&t);
	assert_near(pair(&t, P_3, FW_DRIVE)->share, 0.45 / sum, 1e-9);
	assert_near(pair(&t, P_3, FW_OVERRUN)->share, 0.05 / sum, 1e-9);
	assert_near(pair(&t, P_1, FW_DRIVE)->share, 0.09 / sum, 1e-9);
	assert_near(bearing(&t, B_LAY_REAR)->share, 0.09 / sum, 1e-9);
	assert_near(bearing(&t, B_IDLER)->share, 0.09 / sum, 1e-9);
	assert_near(bearing(&t, B_PILOT)->share, 0.0099 / sum, 1e-9);
	/* equals in the order of the train: the constant pair comes first */
	assert_int_equal(t.suspect[0].index, P_CONSTANT);
	assert_int_equal(pair(&t, P_3, FW_OVERRUN)->silent[FW_LOADED], 1);
	assert_int_equal(bearing(&t, B_FREE_3)->heard[FW_AT_REST], 1);
}

/* For each part: what it would do is what is heard; the part must then come out first, or near it
 * where another does the same (bearings of one shaft; the spigot, which rests where the layshaft
 * idles). */
static void test_each_part_finds_itself(void **state)
{
	struct fw_pair_state p[GEARBOX_PAIRS];
	struct fw_bearing_state b[GEARBOX_BEARINGS];
	(void)state;

	for (size_t part = 0; part < GEARBOX_PAIRS + GEARBOX_BEARINGS; part++) {
		struct test t = {.count = 0};
		bool is_bearing = part >= GEARBOX_PAIRS;
		size_t index = is_bearing ? part - GEARBOX_PAIRS : part;
		for (size_t g = 0; g <= GEARBOX_GEARS + 1; g++) {
			for (int load = FW_DRIVE; load <= FW_OVERRUN; load++) {
				struct fw_train_case at = {g, (enum fw_train_load)load, false};
				if (g >= GEARBOX_GEARS) {
					at = (struct fw_train_case){FW_NEUTRAL, FW_FLOAT, g > GEARBOX_GEARS};
					load = FW_OVERRUN;
				}
				assert_ok(fw_train_run(NULL, p, b, gearbox(), &at, 1.0, &error));
				/* a needle bearing never turns loaded: its turning is what is heard */
				bool needles = is_bearing && (index >= B_FREE_1 || index == B_PILOT);
				bool does = is_bearing ? b[index].turning && (needles || b[index].loaded)
				                       : at.load == FW_DRIVE && p[index].loaded;
				t.heard[t.count++] = (struct fw_train_heard){at, does};
			}
		}
		rank(&t);
		const struct fw_suspect *self = is_bearing ? bearing(&t, index) : pair(&t, index, FW_DRIVE);
		assert_true(self->share >= 0.5 * t.suspect[0].share && !self->out);
	}
}

static void test_bad_ranks(void **state)
{
	struct test t = {.count = 0};
	size_t count = ALL;
	(void)state;

	assert_code(fw_train_rank(t.suspect, &count, gearbox(), t.heard, 0, &error), FW_ERR_ARGUMENT);
	note(&t, FIRST, FW_DRIVE, true);
	note(&t, FIRST, FW_DRIVE, false);
	assert_code(fw_train_rank(t.suspect, &count, gearbox(), t.heard, 2, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "1 and 2");
	assert_code(fw_train_rank(t.suspect, &count, gearbox(), t.heard, 1000000, &error),
	            FW_ERR_ARGUMENT);
	t.heard[1].at.gear = 99;
	assert_code(fw_train_rank(t.suspect, &count, gearbox(), t.heard, 2, &error), FW_ERR_ARGUMENT);
	count = ALL - 1;
	assert_code(fw_train_rank(t.suspect, &count, gearbox(), t.heard, 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_train_rank(NULL, &count, gearbox(), t.heard, 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_train_rank(t.suspect, &count, gearbox(), NULL, 1, &error), FW_ERR_ARGUMENT);
	assert_code(fw_train_rank(t.suspect, NULL, gearbox(), t.heard, 1, &error), FW_ERR_ARGUMENT);
}

/* At 3800 rpm in second the constant pair meshes at 1330 Hz, third at 2100/60·32 = 1120 Hz, second
 * at 875 Hz; the input turns at 63.33 Hz, of which 21 times is again the mesh. */
static void test_near(void **state)
{
	struct fw_train_case at = {SECOND, FW_DRIVE, false};
	struct fw_train_line line[40];
	size_t count = 40;
	(void)state;

	assert_ok(fw_train_near(line, &count, gearbox(), &at, 3800 * RPM, 1335.0, 0.01, 3, &error));
	assert_true(count >= 1);
	assert_true(line[0].of == FW_LINE_MESH && line[0].index == P_CONSTANT && line[0].harmonic == 1);
	assert_near(line[0].frequency, 1330.0, 1e-6);
	assert_near(line[0].off, -5.0 / 1335.0, 1e-9);
	count = 40;
	assert_ok(fw_train_near(line, &count, gearbox(), &at, 3800 * RPM, 1750.0, 0.001, 3, &error));
	assert_true(line[0].of == FW_LINE_MESH && line[0].index == P_2 && line[0].harmonic == 2);

	/* the rear layshaft bearing's outer ring: 35·9/2·(1 - 9.5/46.5) = 125.32 Hz */
	count = 40;
	assert_ok(fw_train_near(line, &count, gearbox(), &at, 3800 * RPM, 125.3, 0.002, 1, &error));
	assert_int_equal(count, 1);
	assert_true(line[0].of == FW_LINE_OUTER && line[0].index == B_LAY_REAR);
	assert_near(line[0].frequency, 125.32, 0.01);
	assert_string_equal(fw_train_line_name(FW_LINE_OUTER), "outer ring");

	/* wide: sorted, all within, and the nearest of them when there is little room */
	count = 40;
	assert_ok(fw_train_near(line, &count, gearbox(), &at, 3800 * RPM, 300.0, 0.3, 3, &error));
	size_t all = count;
	assert_true(all > 5 && all < 40);
	for (size_t i = 0; i < all; i++) {
		assert_true(fabs(line[i].off) <= 0.3);
		assert_true(i == 0 || fabs(line[i].off) >= fabs(line[i - 1].off) - 1e-12);
	}
	struct fw_train_line few[3];
	count = 3;
	assert_ok(fw_train_near(few, &count, gearbox(), &at, 3800 * RPM, 300.0, 0.3, 3, &error));
	assert_int_equal(count, 3);
	for (size_t i = 0; i < 3; i++)
		assert_near(few[i].frequency, line[i].frequency, 1e-12);
	count = 40;
	assert_ok(fw_train_near(line, &count, gearbox(), &at, 3800 * RPM, 1e6, 0.01, 3, &error));
	assert_int_equal(count, 0);
}

static void test_bad_near(void **state)
{
	struct fw_train_case at = {SECOND, FW_DRIVE, false};
	struct fw_train_line line[4];
	size_t count = 4;
	static const double bad[] = {0.0, -1.0, NAN, INFINITY};
	(void)state;

	for (size_t i = 0; i < 4; i++) {
		assert_code(fw_train_near(line, &count, gearbox(), &at, 100, bad[i], 0.01, 3, &error),
		            FW_ERR_ARGUMENT);
		assert_code(fw_train_near(line, &count, gearbox(), &at, 100, 50, bad[i], 3, &error),
		            FW_ERR_ARGUMENT);
	}
	assert_code(fw_train_near(line, &count, gearbox(), &at, 100, 50, 0.01, 0, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_train_near(line, &count, gearbox(), &at, 100, 50, 0.01, 21, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_train_near(line, &count, gearbox(), &at, 0, 50, 0.01, 3, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_train_near(NULL, &count, gearbox(), &at, 100, 50, 0.01, 3, &error),
	            FW_ERR_ARGUMENT);
	assert_int_equal(count, 4);
}

/* As large as a train may be, heard in every gear and load: a chain of pairs, each body in the
 * case. The work grows with the parts of the train, so it's done at once: the limit of processor
 * time is ten times what is needed with all checks on. */
static void test_as_large_as_may_be(void **state)
{
	enum { GEARS = FW_TRAIN_GEARS, PAIRS = FW_TRAIN_MOST - 2, SUSPECTS = 2 * PAIRS + PAIRS + 1 };
	static const char *name[FW_TRAIN_MOST];
	static struct fw_train_pair pair[PAIRS];
	static struct fw_train_bearing bearing[PAIRS + 1];
	static struct fw_train_heard heard[3 * GEARS];
	static struct fw_suspect suspect[SUSPECTS];
	size_t count = SUSPECTS;
	double sum = 0.0;
	clock_t start = clock();
	(void)state;

	for (size_t i = 0; i < FW_TRAIN_MOST; i++)
		name[i] = "part";
	for (size_t i = 0; i < PAIRS; i++)
		pair[i] = (struct fw_train_pair){"pair", i + 1, i + 2, 20, 20, false, FW_ALWAYS};
	for (size_t i = 0; i <= PAIRS; i++)
		bearing[i] = (struct fw_train_bearing){"bearing", i + 1, FW_CASE, NULL};
	for (size_t i = 0; i < 3 * GEARS; i++)
		heard[i] = (struct fw_train_heard){{i / 3, (enum fw_train_load)(i % 3), false}, true};
	const struct fw_train t = {name,      FW_TRAIN_MOST, pair,  PAIRS, NULL,      0,        bearing,
	                           PAIRS + 1, name,          GEARS, 1,     PAIRS + 1, FW_NOBODY};
	assert_ok(fw_train_rank(suspect, &count, &t, heard, 3 * GEARS, &error));
	assert_int_equal(count, SUSPECTS);
	for (size_t i = 0; i < count; i++)
		sum += suspect[i].share;
	assert_near(sum, 1.0, 1e-9);
	assert_true((double)(clock() - start) / CLOCKS_PER_SEC < 1.5);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_one_gear_on_drive),
	    cmocka_unit_test(test_one_gear_on_overrun),
	    cmocka_unit_test(test_all_but_direct),
	    cmocka_unit_test(test_clutch),
	    cmocka_unit_test(test_all_but_one_indirect),
	    cmocka_unit_test(test_shares_by_hand),
	    cmocka_unit_test(test_each_part_finds_itself),
	    cmocka_unit_test(test_bad_ranks),
	    cmocka_unit_test(test_as_large_as_may_be),
	    cmocka_unit_test(test_near),
	    cmocka_unit_test(test_bad_near),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
