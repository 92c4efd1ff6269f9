/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time to choose the shims of one place from a shop's kit, against a naive enumeration that judges
 * every stack and shares nothing with the search. Kit and units are invented. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "fitwright/shim.h"

#define MM     1e-3
#define SIZES  20
#define MOST   4
#define SPARES 4

static double now(void)
{
	struct timespec t;

	timespec_get(&t, TIME_UTC);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* --- the peer --- */

struct stack {
	unsigned char n[SIZES];
	unsigned pieces;
	double play, chance;
};

struct peer {
	const struct fw_shim *kit;
	const struct fw_datum *datum;
	const struct fw_limits *limits;
	struct stack now, *list;
	size_t count;
};

static double below(double z)
{
	return 0.5 * erfc(-z / sqrt(2.0));
}

static void keep(struct peer *p)
{
	double sum = 0.0, variance = p->datum->u * p->datum->u;
	struct stack *s = &p->list[p->count++];

	*s = p->now;
	for (size_t i = 0; i < SIZES; i++) {
		sum += s->n[i] * p->kit[i].thickness;
		variance += s->n[i] * p->kit[i].u * p->kit[i].u;
	}
	s->play = p->datum->value - sum;
	double u = sqrt(variance);
	s->chance = below((p->limits->max - s->play) / u) - below((p->limits->min - s->play) / u);
}

static void enumerate(struct peer *p, size_t size)
{
	if (size == SIZES) {
		if (p->now.pieces > 0)
			keep(p);
		return;
	}
	for (unsigned n = 0; n <= p->kit[size].count && p->now.pieces + n <= MOST; n++) {
		p->now.n[size] = (unsigned char)n;
		p->now.pieces += n;
		enumerate(p, size + 1);
		p->now.pieces -= n;
	}
	p->now.n[size] = 0;
}

/* Fewer pieces; then the thinner first, second, and so on: the kit goes from thin to thick. */
static int better(const struct stack *a, const struct stack *b)
{
	if (a->pieces != b->pieces)
		return a->pieces < b->pieces;
	for (size_t i = SIZES; i-- > 0;)
		if (a->n[i] != b->n[i])
			return a->n[i] < b->n[i];
	return 0;
}

static double peer_choose(struct peer *p)
{
	double best = 0.0, nearest = INFINITY, aim = fw_limits_aim(p->limits);
	double tie = FW_SHIM_TIE_AIM * (p->limits->max - p->limits->min);
	const struct stack *winner = NULL;

	p->count = 0;
	enumerate(p, 0);
	for (size_t i = 0; i < p->count; i++)
		best = fmax(best, p->list[i].chance);
	for (size_t i = 0; i < p->count; i++)
		if (p->list[i].chance >= best - FW_SHIM_TIE_PROBABILITY)
			nearest = fmin(nearest, fabs(p->list[i].play - aim));
	for (size_t i = 0; i < p->count; i++) {
		const struct stack *s = &p->list[i];
		if (s->chance >= best - FW_SHIM_TIE_PROBABILITY && fabs(s->play - aim) <= nearest + tie &&
		    (!winner || better(s, winner)))
			winner = s;
	}
	return winner ? winner->play : NAN;
}

/* --- the measurement --- */

static void fill_kit(struct fw_shim *kit, size_t sizes, unsigned count, double step)
{
	for (size_t i = 0; i < sizes; i++)
		kit[i] = (struct fw_shim){
		    .thickness = 0.10 * MM + step * (double)i, .u = 0.002 * MM, .count = count};
}

static const struct fw_limits limits = {0.10 * MM, 0.30 * MM, NAN};

/* Datums a shop meets, one after another. */
static struct fw_datum datum_of(unsigned i)
{
	return (struct fw_datum){.value = (0.6 + 0.0137 * (i % 150)) * MM,
	                         .u = 0.012 * MM,
	                         .shared = 0.012 * MM,
	                         .weight = 1.0 / (0.012 * MM * 0.012 * MM),
	                         .trials = 1};
}

static void against_peer(void)
{
	struct fw_shim kit[SIZES];
	struct fw_shim_choice c;
	struct fw_error error = {0};
	struct peer peer = {.kit = kit, .limits = &limits, .list = malloc(20000 * sizeof *peer.list)};
	unsigned wrong = 0, rounds = 3000, peer_rounds = 150;

	if (!peer.list)
		return;
	fill_kit(kit, SIZES, SPARES, 0.05 * MM);

	double start = now();
	for (unsigned i = 0; i < rounds; i++) {
		struct fw_datum d = datum_of(i);
		wrong += fw_shim_choose(&c, &d, kit, SIZES, MOST, false, &limits, 0.0, &error) != FW_OK;
	}
	double choose = (now() - start) / rounds;

	start = now();
	for (unsigned i = 0; i < rounds; i++) {
		struct fw_datum d = datum_of(i);
		wrong += fw_shim_learn(&d, 0.5 * MM, 0.002 * MM, d.value - 0.51 * MM, 0.01 * MM, 0.0,
		                       FW_SURPRISE_SIGMAS, NULL, &error) != FW_OK;
		wrong += fw_shim_choose(&c, &d, kit, SIZES, MOST, false, &limits, 0.0, &error) != FW_OK;
	}
	double both = (now() - start) / rounds;

	start = now();
	for (unsigned i = 0; i < peer_rounds; i++) {
		struct fw_datum d = datum_of(i);
		peer.datum = &d;
		double play = peer_choose(&peer);
		wrong += fw_shim_choose(&c, &d, kit, SIZES, MOST, false, &limits, 0.0, &error) != FW_OK;
		wrong += !(fabs(play - c.play) < 1e-12);
	}
	double naive = (now() - start) / peer_rounds - choose;

	printf("%d sizes, %d of each, at most %d in a stack (%zu stacks):\n", SIZES, SPARES, MOST,
	       peer.count);
	printf("  choose          %9.1f us\n  learn + choose  %9.1f us\n", 1e6 * choose, 1e6 * both);
	printf("  naive           %9.1f us, %.0f times as long\n", 1e6 * naive, naive / choose);
	printf("  answers not agreeing: %u\n", wrong);
	free(peer.list);
}

static void large(const char *what, size_t sizes, unsigned count, size_t most, double step,
                  double datum, double datum_u)
{
	struct fw_shim *kit = calloc(sizes, sizeof *kit);
	struct fw_datum d = datum_of(0);
	struct fw_shim_choice c;
	struct fw_error error = {0};

	if (!kit)
		return;
	fill_kit(kit, sizes, count, step);
	d.value = datum;
	d.u = datum_u;
	double start = now();
	int rc = fw_shim_choose(&c, &d, kit, sizes, most, false, &limits, 0.0, &error);
	printf("  %-44s %9.3f ms  %s\n", what, 1e3 * (now() - start),
	       rc == FW_OK ? "served" : error.text);
	free(kit);
}

int main(void)
{
	against_peer();
	printf("Once each:\n");
	large("1024 sizes, 1 each, at most 2", 1024, 1, 2, 0.001 * MM, 1.5 * MM, 0.012 * MM);
	large("1024 sizes, 4 each, at most 2", 1024, 4, 2, 0.001 * MM, 1.5 * MM, 0.012 * MM);
	large("1024 sizes, 4 each, at most 4", 1024, 4, 4, 0.001 * MM, 3.0 * MM, 0.012 * MM);
	large("60 sizes, 4 each, at most 5", 60, 4, 5, 0.05 * MM, 8.123 * MM, 0.012 * MM);
	large("30 sizes, 8 each, at most 8", 30, 8, 8, 0.05 * MM, 8.123 * MM, 0.012 * MM);
	large("30 sizes, 8 each, at most 8, nothing serves", 30, 8, 8, 0.05 * MM, 50.0 * MM,
	      0.012 * MM);
	large("30 sizes, 8 each, at most 8, a vague datum", 30, 8, 8, 0.05 * MM, 8.123 * MM, 2.0 * MM);
	return 0;
}
