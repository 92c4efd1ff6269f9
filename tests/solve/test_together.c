/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several places sharing a kit: worked units, learning from trials, what is said when nothing
 * serves, and what is refused. The figures of the units are invented; their answers are worked out
 * by hand beside them. */
#include "check.h"

#include <stdbool.h>
#include <string.h>

#include "fitwright/together.h"

#define MM 1e-3
#define PI 3.14159265358979323846

static struct fw_error error;

static struct fw_datum known(double value)
{
	return (struct fw_datum){.value = value, .u = 1e-6, .trials = 1};
}

static void assert_stack(const struct fw_stack *stack, const struct fw_shim *kit, size_t count,
                         const double *mm)
{
	assert_int_equal(stack->count, count);
	for (size_t n = 0; n < count; n++)
		assert_near(kit[stack->shim[n]].thickness / MM, mm[n], 1e-9);
}

/* A shaft between two covers. Shims under either take up end float one for one; the difference of
 * the two shifts the gear from the middle of its mate by half as much (common practice, no source).
 */
struct shaft {
	struct fw_shim kit[4];
	struct fw_together_place place[2];
	struct fw_together_response response[2];
	struct fw_datum datum[2];
	struct fw_together fit;
};

static void make_shaft(struct shaft *s)
{
	*s = (struct shaft){
	    .kit = {{.thickness = 0.1 * MM, .count = 2},
	            {.thickness = 0.2 * MM, .count = 2},
	            {.thickness = 0.3 * MM, .count = 1},
	            {.thickness = 0.5 * MM, .count = 2}},
	    .place = {{.name = "the left cover", .most = 3, .may_be_empty = true},
	              {.name = "the right cover", .most = 3, .may_be_empty = true}},
	    .response = {{.name = "end float", .limits = {0.10 * MM, 0.20 * MM, NAN}, .per = {-1, -1}},
	                 {.name = "offset",
	                  .limits = {-0.05 * MM, 0.05 * MM, NAN},
	                  .per = {0.5, -0.5}}},
	    .fit = {.sizes = 4, .places = 2, .responses = 2}};
	s->fit.kit = s->kit;
	s->fit.place = s->place;
	s->fit.response = s->response;
}

/* As found: 0.50 left, 0.30 right, end float 0.55, offset 0.20. Float 0.15 wants 0.80 + 0.40 = 1.20
 * in all, offset 0 wants 0.20 + 0.40 less on the left than on the right than as found, 0.20 - 0.40
 * = -0.20: 0.50 and 0.70. */
static void test_both_ends_of_a_shaft(void **state)
{
	static const double stack[] = {0.50 * MM, 0.30 * MM}, none[] = {0.0, 0.0};
	static const struct fw_together_reading found[] = {{true, 0.55 * MM, 1e-6},
	                                                   {true, 0.20 * MM, 1e-6}};
	struct fw_together_choice c;
	struct shaft s;
	(void)state;

	make_shaft(&s);
	assert_ok(
	    fw_together_learn(s.datum, &s.fit, stack, none, found, FW_SURPRISE_SIGMAS, NULL, &error));
	assert_near(s.datum[0].value / MM, 1.35, 1e-9);
	assert_near(s.datum[1].value / MM, 0.10, 1e-9);
	assert_ok(fw_together_choose(&c, &s.fit, s.datum, &error));
	assert_int_equal(c.end, FW_TOGETHER_SERVES);
	assert_stack(&c.stack[0], s.kit, 1, (double[]){0.5});
	assert_stack(&c.stack[1], s.kit, 2, (double[]){0.5, 0.2});
	assert_near(c.value[0] / MM, 0.15, 1e-9);
	assert_near(c.value[1] / MM, 0.0, 1e-9);
	assert_near(c.wanted[0] / MM, 0.50, 1e-9);
	assert_near(c.wanted[1] / MM, 0.70, 1e-9);
	assert_near(c.all, 1.0, 1e-9);

	/* One piece of 0.5 only: it goes to the left, where it is a whole stack; the right gets 0.7 in
	 * three. (The other way round takes four in all as well, two of them on the left.) */
	s.kit[3].count = 1;
	assert_ok(fw_together_choose(&c, &s.fit, s.datum, &error));
	assert_stack(&c.stack[0], s.kit, 1, (double[]){0.5});
	assert_stack(&c.stack[1], s.kit, 3, (double[]){0.3, 0.2, 0.2});

	/* 0.5 doesn't go on the left: 0.3 and 0.2 there. */
	static const bool fits[] = {true, true, true, false};
	s.place[0].fits = fits;
	assert_ok(fw_together_choose(&c, &s.fit, s.datum, &error));
	assert_stack(&c.stack[0], s.kit, 2, (double[]){0.3, 0.2});
	assert_stack(&c.stack[1], s.kit, 2, (double[]){0.5, 0.2});
}

/* Wide limits and "fewest shims, wherever": offset within ±0.25 and float from 0.10 to 0.40 are met
 * by two pieces, such as 0.5 and 0.5 (float 0.35, offset 0.10), by one not. */
static void test_fewest(void **state)
{
	struct fw_together_choice c;
	struct shaft s;
	(void)state;

	make_shaft(&s);
	s.response[0].limits.max = 0.40 * MM;
	s.response[1].limits = (struct fw_limits){-0.25 * MM, 0.25 * MM, NAN};
	s.datum[0] = known(1.35 * MM);
	s.datum[1] = known(0.10 * MM);
	s.fit.near = INFINITY;
	assert_ok(fw_together_choose(&c, &s.fit, s.datum, &error));
	assert_int_equal(c.stack[0].count + c.stack[1].count, 2);
	s.fit.near = 0.0;
	assert_ok(fw_together_choose(&c, &s.fit, s.datum, &error));
	assert_true(c.distance < 0.2); /* nearer to the aims, with more shims */
	assert_true(c.stack[0].count + c.stack[1].count > 2);
}

/* A pair of taper roller bearings set by shims under the cover: with 1.00 mm there is 0.12 of play.
 * Preload is play below nothing, which can't be measured but can be set: -0.06 wants 1.00 - 0.18 =
 * 0.82. The turning torque checks it afterwards. */
static void test_preload_as_negative_play(void **state)
{
	static const double stack[] = {1.00 * MM}, none[] = {0.0};
	static const struct fw_together_reading found[] = {{true, 0.12 * MM, 2e-6}};
	const struct fw_shim kit[] = {{.thickness = 0.02 * MM, .count = 3},
	                              {.thickness = 0.30 * MM, .count = 2},
	                              {.thickness = 0.50 * MM, .count = 1}};
	const struct fw_together_place place = {.name = "cover", .most = 4};
	const struct fw_together_response response = {
	    .name = "play", .limits = {-0.08 * MM, -0.04 * MM, NAN}, .per = {1.0}};
	const struct fw_together fit = {kit, 3, &place, 1, &response, 1, 0.0};
	struct fw_datum datum = {0};
	struct fw_together_choice c;
	(void)state;

	assert_ok(
	    fw_together_learn(&datum, &fit, stack, none, found, FW_SURPRISE_SIGMAS, NULL, &error));
	assert_ok(fw_together_choose(&c, &fit, &datum, &error));
	assert_stack(&c.stack[0], kit, 3, (double[]){0.5, 0.3, 0.02});
	assert_near(c.value[0] / MM, -0.06, 1e-9);
}

/* A bevel pinion and ring gear. The head shim lies behind the inner bearing's cup: it brings the
 * pinion in and takes up the play of its bearings; the preload shim under the outer bearing gives
 * that play back; the side shims preload the carrier and shift it, the ring gear with it. Backlash
 * grows by 2·tan(20°) per shift of the ring gear, which half the difference of the side shims
 * makes, and by that times the sine of the pinion's pitch angle of 14° per shift of the pinion
 * (common practice, no source). Depth 100.00 wants 101.35 - 1.35; pinion play -0.05 = 0.10 - 1.35
 * + 1.20; carrier play -0.10 = 2.90 - 3.00; backlash 0.15 wants 0.20 more on the left: 1.60
 * and 1.40. */
static void test_pinion_and_ring_gear(void **state)
{
	enum { HEAD, PRELOAD, LEFT, RIGHT };
	static const double sizes[] = {1.30, 1.35, 1.40, 1.15, 1.20, 1.25,
	                               1.00, 0.60, 0.40, 0.30, 0.10};
	const double mesh = 2.0 * tan(20.0 * PI / 180.0), tilt = sin(14.0 * PI / 180.0);
	struct fw_shim kit[11];
	bool head[11], preload[11], side[11];
	struct fw_together_choice c;
	(void)state;

	for (size_t k = 0; k < 11; k++) {
		kit[k] = (struct fw_shim){.thickness = sizes[k] * MM, .u = 1e-6, .count = k < 6 ? 1 : 2};
		head[k] = k < 3;
		preload[k] = k >= 3 && k < 6;
		side[k] = k >= 6;
	}
	const struct fw_together_place place[] = {
	    {.name = "pinion head", .most = 1, .fits = head},
	    {.name = "pinion preload", .most = 1, .fits = preload},
	    {.name = "carrier, left", .most = 4, .fits = side},
	    {.name = "carrier, right", .most = 4, .fits = side}};
	const struct fw_together_response response[] = {
	    {.name = "pinion depth", .limits = {99.98 * MM, 100.02 * MM, NAN}, .per = {-1, 0, 0, 0}},
	    {.name = "pinion play", .limits = {-0.07 * MM, -0.03 * MM, NAN}, .per = {-1, 1, 0, 0}},
	    {.name = "carrier play", .limits = {-0.14 * MM, -0.06 * MM, NAN}, .per = {0, 0, -1, -1}},
	    {.name = "backlash",
	     .limits = {0.10 * MM, 0.20 * MM, NAN},
	     .per = {-mesh * tilt, 0, mesh / 2, -mesh / 2}}};
	const struct fw_together fit = {kit, 11, place, 4, response, 4, 0.0};
	const struct fw_datum datum[] = {known(101.35 * MM), known(0.10 * MM), known(2.90 * MM),
	                                 known((0.15 + mesh * tilt * 1.35 - mesh / 2 * 0.20) * MM)};

	assert_ok(fw_together_choose(&c, &fit, datum, &error));
	assert_stack(&c.stack[HEAD], kit, 1, (double[]){1.35});
	assert_stack(&c.stack[PRELOAD], kit, 1, (double[]){1.20});
	assert_stack(&c.stack[LEFT], kit, 2, (double[]){1.00, 0.60});
	assert_stack(&c.stack[RIGHT], kit, 2, (double[]){1.00, 0.40});
	assert_near(c.value[3] / MM, 0.15, 1e-9);
	assert_true(c.chance > 0.999);
}

/* One place, one response, per -1: what fw_shim_choose() takes. */
static void test_agrees_with_one_place(void **state)
{
	uint64_t z = 1;
	unsigned served = 0;
	(void)state;

	for (unsigned number = 0; number < 2000; number++) {
		struct fw_shim kit[6] = {{0}};
		double x[24];
		for (size_t i = 0; i < 24; i++) {
			z = z * 6364136223846793005U + 1442695040888963407U; /* Knuth's MMIX generator */
			x[i] = (double)(z >> 11) / 9007199254740992.0;
		}
		for (size_t k = 0; k < 6; k++)
			kit[k] = (struct fw_shim){.thickness = (0.1 + x[k]) * MM,
			                          .u = x[6 + k] * 0.01 * MM,
			                          .crush = number % 3 ? 0.0 : 0.3 * x[22],
			                          .crush_u = number % 3 ? 0.0 : 0.1 * x[23],
			                          .count = 1 + (unsigned)(x[12 + k] * 3.0)};
		const struct fw_together_place place = {.most = 4, .may_be_empty = number % 2 == 0};
		struct fw_together_response response = {.settle_u = 0.02 * MM * x[18], .per = {-1.0}};
		response.limits = (struct fw_limits){x[19] * MM, (x[19] + 0.01 + 0.3 * x[20]) * MM, NAN};
		if (number % 7 == 0)
			response.limits.max = INFINITY;
		const struct fw_datum datum = {
		    .value = 3.0 * MM * x[21], .u = 0.03 * MM * x[0], .trials = 1};
		const struct fw_together fit = {kit, 6, &place, 1, &response, 1, 0.0};
		struct fw_shim_choice one;
		struct fw_together_choice c;
		int rc = fw_shim_choose(&one, &datum, kit, 6, 4, place.may_be_empty, &response.limits,
		                        response.settle_u, &error);
		assert_int_equal(fw_together_choose(&c, &fit, &datum, &error), rc);
		if (rc != FW_OK)
			continue;
		served++;
		assert_int_equal(c.stack[0].count, one.stack.count);
		for (size_t n = 0; n < one.stack.count; n++)
			assert_int_equal(c.stack[0].shim[n], one.stack.shim[n]);
		assert_near(c.value[0], one.play, 1e-15);
		assert_near(c.u[0], one.u, 1e-15);
		assert_near(c.stack[0].u, one.stack.u, 1e-15);
		assert_near(c.chance, one.probability, 1e-12);
	}
	assert_true(served > 1000);
}

/* Each response learns as fw_shim_learn() does from a stack that is what the places do to it. */
static void test_learning(void **state)
{
	static const double stack[] = {0.5 * MM, 0.3 * MM}, stack_u[] = {3e-6, 4e-6};
	struct fw_together_reading reading[] = {{true, 0.55 * MM, 5e-6}, {true, 0.20 * MM, 5e-6}};
	struct fw_datum one = {0};
	struct fw_trial trial[2], same;
	struct shaft s;
	(void)state;

	make_shaft(&s);
	s.response[0].settle_u = s.response[1].settle_u = 2e-6;
	for (int n = 0; n < 3; n++) {
		reading[0].value += 3e-6;
		assert_ok(fw_together_learn(s.datum, &s.fit, stack, stack_u, reading, FW_SURPRISE_SIGMAS,
		                            trial, &error));
		/* Uncertainties of independent pieces: root of 3² + 4². */
		assert_ok(fw_shim_learn(&one, 0.8 * MM, 5e-6, reading[0].value, 5e-6, 2e-6,
		                        FW_SURPRISE_SIGMAS, &same, &error));
		assert_near(s.datum[0].value, one.value, 1e-15);
		assert_near(s.datum[0].u, one.u, 1e-15);
		assert_int_equal(s.datum[0].trials, one.trials);
		if (n > 0)
			assert_near(trial[0].predicted, same.predicted, 1e-15);
	}
	/* A gear that has shifted surprises the offset alone; not read, it stays as it is. */
	double offset = s.datum[1].value;
	reading[1] = (struct fw_together_reading){false, NAN, NAN};
	assert_ok(fw_together_learn(s.datum, &s.fit, stack, stack_u, reading, FW_SURPRISE_SIGMAS, trial,
	                            &error));
	assert_near(s.datum[1].value, offset, 0.0);
	assert_near(trial[1].predicted / MM, 0.20, 1e-9);
	assert_true(isnan(trial[1].difference));
	reading[1] = (struct fw_together_reading){true, 0.35 * MM, 5e-6};
	assert_ok(fw_together_learn(s.datum, &s.fit, stack, stack_u, reading, FW_SURPRISE_SIGMAS, trial,
	                            &error));
	assert_false(trial[0].surprise);
	assert_true(trial[1].surprise);
	assert_near(s.datum[1].value / MM, 0.25, 1e-9);
	assert_int_equal(s.datum[1].trials, 1);
}

static void refuses_trial(const struct shaft *s, const double *stack, const double *stack_u,
                          const struct fw_together_reading *reading, const char *says)
{
	struct fw_datum datum[2] = {{0}};

	assert_code(fw_together_learn(datum, &s->fit, stack, stack_u, reading, FW_SURPRISE_SIGMAS, NULL,
	                              &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, says);
	assert_int_equal(datum[0].trials, 0); /* all or nothing */
}

static void test_trials_refused(void **state)
{
	static const double stack[] = {0.5 * MM, 0.3 * MM}, below[] = {0.5 * MM, -1e-6},
	                    none[] = {0.0, NAN}, u[] = {0.0, 0.0};
	static const struct fw_together_reading good[] = {{true, 1e-4, 0.0}, {true, 1e-4, 0.0}},
	                                        nan[] = {{true, 1e-4, 0.0}, {true, NAN, 0.0}},
	                                        bad_u[] = {{true, 1e-4, 0.0}, {true, 1e-4, -1.0}},
	                                        unread[] = {{false, 0, 0}, {false, 0, 0}};
	struct shaft s;
	(void)state;

	make_shaft(&s);
	refuses_trial(&s, below, u, good, "stack at the right cover must be");
	refuses_trial(&s, stack, none, good, "uncertainty of the stack at the right cover");
	refuses_trial(&s, stack, u, nan, "offset: trial: what was read");
	refuses_trial(&s, stack, u, bad_u, "offset: trial: the uncertainty of the play");
	refuses_trial(&s, stack, u, unread, "nothing was read");
	refuses_trial(&s, stack, u, NULL, "must be given");
}

static enum fw_together_end refused(struct fw_together_choice *c, const struct shaft *s,
                                    const char *says)
{
	assert_code(fw_together_choose(c, &s->fit, s->datum, &error), FW_ERR_RANGE);
	assert_contains(error.text, says);
	assert_int_equal(c->stack[0].count, 0);
	assert_true(isnan(c->value[0]));
	return c->end;
}

/* What to do when nothing serves; the wanted stacks are 0.50 and 0.70 as above. */
static void test_advice(void **state)
{
	struct fw_together_choice c;
	struct shaft s;
	(void)state;

	/* 0.2 + 0.2 + 0.3 stands right, nothing is left that could stand left: 0.5 there. */
	make_shaft(&s);
	s.datum[0] = known(1.35 * MM);
	s.datum[1] = known(0.10 * MM);
	s.fit.sizes = 3;
	s.kit[0].thickness = 0.001 * MM;
	assert_int_equal(refused(&c, &s, "get one piece of 0.50"), FW_TOGETHER_PIECE);
	assert_contains(error.text, "the left cover");
	assert_int_equal(c.piece_place, 0);
	assert_near(c.piece / MM, 0.50, 0.002);
	/* With that piece it serves. */
	s.fit.sizes = 4;
	s.kit[3] = (struct fw_shim){.thickness = c.piece, .count = 1};
	assert_ok(fw_together_choose(&c, &s.fit, s.datum, &error));

	/* Two shims of 0.2 at most: neither side can be had, so no one piece helps. */
	s.fit.sizes = 2;
	s.place[0].most = s.place[1].most = 2;
	assert_int_equal(refused(&c, &s, "0.50 mm (0.0197 in) at the left cover, 0.70 mm"),
	                 FW_TOGETHER_STACKS);
	assert_near(c.wanted[0] / MM, 0.50, 1e-6);
	assert_near(c.wanted[1] / MM, 0.70, 1e-6);

	/* No room for any shims. */
	s.datum[0] = known(0.05 * MM);
	assert_int_equal(refused(&c, &s, "leave the end float ("), FW_TOGETHER_CONTRADICTED);
	assert_true(c.clashing[0] && !c.clashing[1]);

	/* Float and offset both from the sum: 1.2 is wanted for one, 0.2 for the other. */
	make_shaft(&s);
	s.datum[0] = known(1.35 * MM);
	s.datum[1] = known(0.10 * MM);
	s.response[1].per[0] = -0.5;
	assert_int_equal(refused(&c, &s,
	                         "whatever the stacks, these can't all be within their limits: "
	                         "end float (0.10 mm"),
	                 FW_TOGETHER_CONTRADICTED);
	assert_true(c.clashing[0] && c.clashing[1]);

	make_shaft(&s);
	s.datum[0] = known(1.35 * MM);
	s.datum[1] = known(0.10 * MM);
	s.datum[1].u = 5.0 * MM;
	assert_int_equal(refused(&c, &s, "offset is known only to within"), FW_TOGETHER_COARSE);
	assert_true(!c.clashing[0] && c.clashing[1]);
}

/* Three places, gaskets whose crush is known only to a twentieth: their uncertainty outweighs all
 * else, so that hardly anything can be ruled out. It is given up, and says what to do. */
static void test_gives_up(void **state)
{
	struct fw_shim kit[20];
	struct fw_together_place place[3];
	struct fw_together_response response[3];
	struct fw_datum datum[3];
	struct fw_together_choice c;
	(void)state;

	for (size_t k = 0; k < 20; k++)
		kit[k] = (struct fw_shim){.thickness = (0.05 + (double)(k * 7919 % 1000) / 1000.0) * MM,
		                          .u = 5e-6,
		                          .crush = 0.2,
		                          .crush_u = 0.05,
		                          .count = 4};
	for (size_t i = 0; i < 3; i++) {
		place[i] = (struct fw_together_place){.most = 4, .may_be_empty = true};
		response[i] = (struct fw_together_response){.limits = {0.1 * MM, 0.3 * MM, NAN},
		                                            .per = {(double)(i * 37 % 11) / 10.0 - 0.6,
		                                                    0.8 - (double)(i * 53 % 17) / 10.0,
		                                                    0.5 - (double)i}};
		datum[i] = (struct fw_datum){.value = 0.2 * MM, .u = 1e-5, .trials = 1};
		for (size_t j = 0; j < 3; j++)
			datum[i].value -= response[i].per[j] * 0.9 * MM;
	}
	const struct fw_together fit = {kit, 20, place, 3, response, 3, 0.0};
	assert_code(fw_together_choose(&c, &fit, datum, &error), FW_ERR_RANGE);
	assert_int_equal(c.end, FW_TOGETHER_TOO_LONG);
	assert_contains(error.text, "allow fewer shims at a place");
	assert_true(c.work >= FW_TOGETHER_WORK && c.work < 1.01 * FW_TOGETHER_WORK);
}

static void refuses(struct shaft *s, int code, const char *says)
{
	struct fw_together_choice c;

	s->datum[0] = known(1.35 * MM);
	if (s->datum[1].trials == 0 && code != FW_ERR_STATE)
		s->datum[1] = known(0.10 * MM);
	assert_code(fw_together_choose(&c, &s->fit, s->datum, &error), code);
	assert_contains(error.text, says);
	make_shaft(s);
}

static void test_refused(void **state)
{
	struct fw_shim many[64];
	struct shaft s;
	(void)state;

	make_shaft(&s);
	refuses(&s, FW_ERR_STATE, "offset: nothing measured yet");
	s.fit.places = 7;
	refuses(&s, FW_ERR_ARGUMENT, "7 places, at most 6");
	s.fit.places = 0;
	refuses(&s, FW_ERR_ARGUMENT, "at least one place");
	s.fit.responses = 9;
	refuses(&s, FW_ERR_ARGUMENT, "9 responses, at most 8");
	s.fit.near = NAN;
	refuses(&s, FW_ERR_ARGUMENT, "equally near");
	s.fit.near = -1.0;
	refuses(&s, FW_ERR_ARGUMENT, "equally near");
	s.kit[2].thickness = -1.0;
	refuses(&s, FW_ERR_ARGUMENT, "kit, entry 3");
	s.response[1].limits.min = 1.0;
	refuses(&s, FW_ERR_ARGUMENT, "offset: ");
	s.response[1].settle_u = INFINITY;
	refuses(&s, FW_ERR_ARGUMENT, "offset: the uncertainty of seating");
	s.response[1].per[1] = NAN;
	refuses(&s, FW_ERR_ARGUMENT, "offset: how it moves with the stack at the right cover");
	s.response[0].per[0] = s.response[0].per[1] = 0.0;
	refuses(&s, FW_ERR_ARGUMENT, "end float: no place moves it");
	s.response[0].per[1] = s.response[1].per[1] = 0.0;
	refuses(&s, FW_ERR_ARGUMENT, "the right cover: moves none");
	s.place[0].most = 9;
	refuses(&s, FW_ERR_ARGUMENT, "the left cover: 9 shims at most");
	s.place[0].most = 0;
	refuses(&s, FW_ERR_ARGUMENT, "the left cover: 0 shims at most");
	static const bool nothing[4] = {false, false, false, false};
	s.place[1].fits = nothing;
	refuses(&s, FW_ERR_ARGUMENT, "the right cover: no size of the kit goes here");
	s.datum[1] = (struct fw_datum){.value = NAN, .u = 0.0, .trials = 1};
	refuses(&s, FW_ERR_ARGUMENT, "offset: the datum");
	s.datum[1] = (struct fw_datum){.value = 0.0, .u = NAN, .trials = 1};
	refuses(&s, FW_ERR_ARGUMENT, "offset: the uncertainty of the datum");
	for (size_t k = 0; k < 64; k++)
		many[k] = (struct fw_shim){.thickness = (1.0 + (double)k) * 0.01 * MM, .count = 9};
	s.fit.kit = many;
	s.fit.sizes = 64;
	s.place[0].most = 8;
	refuses(&s, FW_ERR_RANGE, "more than a million stacks");
	struct fw_together_choice c;
	assert_code(fw_together_choose(NULL, &s.fit, s.datum, &error), FW_ERR_ARGUMENT);
	assert_code(fw_together_choose(&c, NULL, s.datum, &error), FW_ERR_ARGUMENT);
	assert_code(fw_together_choose(&c, &s.fit, NULL, &error), FW_ERR_ARGUMENT);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_both_ends_of_a_shaft),
	    cmocka_unit_test(test_fewest),
	    cmocka_unit_test(test_preload_as_negative_play),
	    cmocka_unit_test(test_pinion_and_ring_gear),
	    cmocka_unit_test(test_agrees_with_one_place),
	    cmocka_unit_test(test_learning),
	    cmocka_unit_test(test_trials_refused),
	    cmocka_unit_test(test_advice),
	    cmocka_unit_test(test_refused),
	    cmocka_unit_test(test_gives_up),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
