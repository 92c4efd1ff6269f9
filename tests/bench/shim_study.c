/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shim_study.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#define THOU     STUDY_THOU
#define SHIM_U   (0.1 * THOU)
#define SETTLE_U (0.5 * THOU)
#define SHIFT_U  (12.0 * THOU)
#define FOUND    (31.0 * THOU)
#define DATUM    (60.0 * THOU)
#define SPAN     (60.0 * THOU)
#define PIECES   3
#define SIZES    (sizeof kit_thou / sizeof kit_thou[0])

static const double kit_thou[] = {2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 31, 40, 50, 63};

/* What is drawn, so that all methods meet the same unit. */
enum draw { DRAW_DATUM, DRAW_MOVED, DRAW_SHIFT, DRAW_GAUGE, DRAW_SEATING, DRAW_PIECE };

/* splitmix64's finaliser (public domain) over the number of the draw. */
static uint64_t mix(uint64_t z)
{
	z += 0x9E3779B97F4A7C15U;
	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
	return z ^ (z >> 31);
}

static double uniform(unsigned unit, enum draw what, unsigned index)
{
	uint64_t z = mix(mix(mix((uint64_t)unit) + (uint64_t)what) + index);

	return ((double)(z >> 11) + 0.5) / 9007199254740992.0;
}

/* Box and Muller. */
static double normal(unsigned unit, enum draw what, unsigned index, double sd)
{
	double r = sqrt(-2.0 * log(uniform(unit, what, 2 * index)));

	return sd * r * cos(2.0 * 3.14159265358979323846 * uniform(unit, what, 2 * index + 1));
}

static void fill_kit(struct fw_shim *kit)
{
	for (size_t i = 0; i < SIZES; i++)
		kit[i] = (struct fw_shim){.thickness = kit_thou[i] * THOU, .u = SHIM_U, .count = 2};
}

/* Every stack the mechanic can make: two of a size at hand, three in a stack. */
struct shelf {
	size_t count;
	struct fw_stack stack[(SIZES + 1) * (SIZES + 2) * (SIZES + 3) / 6];
};

static void fill_shelf(struct shelf *shelf)
{
	shelf->count = 0;
	for (size_t a = 0; a <= SIZES; a++)
		for (size_t b = a; b <= SIZES; b++)
			for (size_t c = b; c <= SIZES; c++) {
				size_t at[PIECES] = {a, b, c};
				struct fw_stack s = {0};
				if (a == c && a < SIZES)
					continue;
				for (size_t i = 0; i < PIECES; i++)
					if (at[i] < SIZES) {
						s.shim[s.count++] = at[i];
						s.thickness += kit_thou[at[i]] * THOU;
					}
				shelf->stack[shelf->count++] = s;
			}
}

/* The mechanic's choice: nearest to `wanted` by nominal thickness, of these the fewest pieces. */
static const struct fw_stack *nearest(const struct shelf *shelf, double wanted)
{
	const struct fw_stack *best = &shelf->stack[0];

	for (size_t i = 1; i < shelf->count; i++) {
		const struct fw_stack *s = &shelf->stack[i];
		double off = fabs(s->thickness - wanted), least = fabs(best->thickness - wanted);
		if (off < least - 1e-9 || (off < least + 1e-9 && s->count < best->count))
			best = s;
	}
	return best;
}

/* The stack as it truly is. */
static double true_thickness(const struct fw_stack *stack, unsigned unit)
{
	double sum = 0.0;

	for (size_t i = 0; i < stack->count; i++) {
		unsigned copy = 0;
		for (size_t j = 0; j < i; j++)
			copy += stack->shim[j] == stack->shim[i];
		unsigned piece = 2 * (unsigned)stack->shim[i] + copy;
		sum += kit_thou[stack->shim[i]] * THOU + normal(unit, DRAW_PIECE, piece, SHIM_U);
	}
	return sum;
}

struct unit {
	const struct study *study;
	unsigned number;
	double datum; /* true, with the shift in it */
	double found; /* play read as found */
	bool moved;
};

static struct unit receive(const struct study *study, unsigned number)
{
	struct unit u = {.study = study, .number = number};

	u.datum = DATUM + SPAN * uniform(number, DRAW_DATUM, 0);
	u.found = u.datum - FOUND + normal(number, DRAW_SEATING, 0, SETTLE_U) +
	          normal(number, DRAW_GAUGE, 0, study->gauge_u);
	u.moved = uniform(number, DRAW_MOVED, 0) < 0.25;
	if (u.moved)
		u.datum += normal(number, DRAW_SHIFT, 0, SHIFT_U);
	return u;
}

/* One trial: assemble, read; the true play beside it. */
static double assemble(const struct unit *u, const struct fw_stack *stack, unsigned trial,
                       double *play)
{
	*play = u->datum - true_thickness(stack, u->number) +
	        normal(u->number, DRAW_SEATING, trial, SETTLE_U);
	return *play + normal(u->number, DRAW_GAUGE, trial, u->study->gauge_u);
}

static bool inside(const struct fw_limits *limits, double play)
{
	return play >= limits->min && play <= limits->max;
}

static bool judged_within(const struct unit *u, double reading)
{
	struct fw_conformity verdict;

	return fw_conform(&verdict, reading, u->study->gauge_u, INFINITY, &u->study->limits,
	                  FW_CONFORMANCE, NULL) == FW_OK &&
	       verdict.verdict == FW_WITHIN;
}

static void release(struct study_tally *t, const struct unit *u, double play)
{
	t->released++;
	t->within += inside(&u->study->limits, play);
}

/* What a first trial in doubt leaves of the datum. */
static void note_doubt(struct study_tally *t, const struct unit *u, const struct fw_datum *datum)
{
	double off = datum->value - u->datum;

	t->doubted++;
	t->held += fabs(off) <= 2.0 * datum->u;
	t->doubted_squares += off * off;
}

static void with_solver(struct study_tally *t, const struct unit *u, const struct fw_shim *kit)
{
	double gauge_u = u->study->gauge_u;
	struct fw_datum datum = {0};
	struct fw_shim_choice c;
	struct fw_trial trial;

	if (fw_shim_learn(&datum, FOUND, SHIM_U, u->found, gauge_u, SETTLE_U, FW_SURPRISE_SIGMAS, NULL,
	                  NULL) != FW_OK)
		return;
	for (unsigned i = 1; i <= STUDY_TRIALS_MOST; i++) {
		double play;
		if (fw_shim_choose(&c, &datum, kit, SIZES, PIECES, true, &u->study->limits, SETTLE_U,
		                   NULL) != FW_OK)
			return;
		double reading = assemble(u, &c.stack, i, &play);
		t->trials++;
		if (fw_shim_learn(&datum, c.stack.thickness, c.stack.u, reading, gauge_u, SETTLE_U,
		                  FW_SURPRISE_SIGMAS, &trial, NULL) != FW_OK)
			return;
		if (i == 1 && trial.doubt > 0.0 && !trial.surprise)
			note_doubt(t, u, &datum);
		t->surprises += trial.surprise;
		t->false_alarms += trial.surprise && (!u->moved || i > 1);
		if (judged_within(u, reading)) {
			release(t, u, play);
			return;
		}
	}
}

static void by_hand(struct study_tally *t, const struct unit *u, const struct shelf *shelf,
                    enum study_method method)
{
	double aim = fw_limits_aim(&u->study->limits);
	double part = method == STUDY_HALVES ? 0.5 : 1.0;
	bool guess = method == STUDY_GUESS || method == STUDY_HALVES;
	double wanted = guess ? DATUM + SPAN / 2.0 - aim : FOUND + u->found - aim;

	for (unsigned i = 1; i <= STUDY_TRIALS_MOST; i++) {
		const struct fw_stack *stack = nearest(shelf, wanted);
		double play, reading = assemble(u, stack, i, &play);
		t->trials++;
		if (method == STUDY_GUARDED ? judged_within(u, reading)
		                            : inside(&u->study->limits, reading)) {
			release(t, u, play);
			return;
		}
		wanted = stack->thickness + part * (reading - aim);
	}
}

const char *study_method_name(enum study_method method)
{
	static const char *const names[STUDY_METHODS] = {
	    [STUDY_SHIMS] = "posterior, guarded verdict",
	    [STUDY_DIFFERENCE] = "plain difference",
	    [STUDY_GUARDED] = "plain difference, guarded verdict",
	    [STUDY_GUESS] = "usual stack, then the difference",
	    [STUDY_HALVES] = "usual stack, then half of it"};

	return names[method];
}

double study_mean_trials(const struct study_tally *tally)
{
	return tally->units ? (double)tally->trials / tally->units : 0.0;
}

double study_share_within(const struct study_tally *tally)
{
	return tally->released ? (double)tally->within / tally->released : 0.0;
}

struct study_tally study_run(const struct study *study, enum study_method method)
{
	struct fw_shim kit[SIZES];
	struct shelf shelf;
	struct study_tally tally = {0};

	fill_kit(kit);
	fill_shelf(&shelf);
	for (unsigned i = 0; i < study->units; i++) {
		struct unit unit = receive(study, i);
		tally.units++;
		tally.moved += unit.moved;
		if (method == STUDY_SHIMS)
			with_solver(&tally, &unit, kit);
		else
			by_hand(&tally, &unit, &shelf, method);
	}
	return tally;
}
