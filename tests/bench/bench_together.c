/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long fw_together_choose() takes on three places that share a kit of 20 sizes, up to 4 of each
 * at hand, at most 4 shims a place, every response moved by every place: made-up cases, 50 of each
 * kind. With "lp", a case's number and a width in µm, "fewest shims within the limits" as a problem
 * for a MIP solver (CPLEX LP format) on standard output, and our own answer to it on standard
 * error. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "draws.h"
#include "fitwright/together.h"

#define MM     1e-3
#define SIZES  20
#define PLACES 3
#define CASES  50

struct bench_case {
	struct fw_shim kit[SIZES];
	struct fw_together_place place[PLACES];
	struct fw_together_response response[FW_RESPONSES_MOST];
	struct fw_datum datum[FW_RESPONSES_MOST];
	struct fw_together fit;
};

struct kind {
	const char *name;
	double width;  /* of the limits, m */
	double u;      /* of each response, m */
	double piece;  /* of each shim, m */
	double beside; /* how far the aims are put beside what stacks can reach, m */
	bool steps;    /* sizes in steps of 0.05 mm, else any */
	size_t responses;
};

static const struct kind kinds[] = {
    {"narrow", 0.02 * MM, 0.003 * MM, 0.001 * MM, 0.0, false, 3},
    {"very narrow, known outright", 0.0004 * MM, 0.0, 0.0, 0.0, false, 3},
    {"usual", 0.1 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 3},
    {"usual, sizes in steps", 0.1 * MM, 0.01 * MM, 0.001 * MM, 0.0, true, 3},
    {"coarse gauge", 0.05 * MM, 0.02 * MM, 0.002 * MM, 0.0, false, 3},
    {"wide", 1.0 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 3},
    {"wide, sizes in steps", 1.0 * MM, 0.01 * MM, 0.001 * MM, 0.0, true, 3},
    {"everything within", 50.0 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 3},
    {"infeasible, out of reach", 0.1 * MM, 0.01 * MM, 0.001 * MM, 8.0 * MM, false, 3},
    {"infeasible, nothing hits", 0.00001 * MM, 0.0, 0.0, 0.0005 * MM, false, 3},
    {"two responses", 0.1 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 2},
    {"two responses, wide", 1.0 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 2},
    {"one response", 0.1 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 1},
    {"five responses", 0.3 * MM, 0.01 * MM, 0.001 * MM, 0.0, false, 5},
};
#define KINDS (sizeof kinds / sizeof kinds[0])

/* Thicknesses in whole micrometres, 0.05 to 1.05 mm. */
static void make_kit(struct bench_case *c, const struct kind *kind, uint64_t *seed)
{
	for (size_t k = 0; k < SIZES; k++) {
		bool again = true;
		while (again) {
			double steps = 1.0 + floor(uniform(seed) * 30.0);
			double um = kind->steps ? 50.0 * steps : 50.0 + floor(uniform(seed) * 1000.0);
			c->kit[k] = (struct fw_shim){
			    .thickness = um * 1e-6, .u = kind->piece, .count = 1U + (unsigned)(next(seed) % 4)};
			again = false;
			for (size_t i = 0; i < k; i++)
				again = again || fabs(c->kit[i].thickness - c->kit[k].thickness) < 1e-7;
		}
	}
}

/* The aims are what some stacks of two or three shims give, moved by up to a quarter of the width.
 */
static void make_case(struct bench_case *c, const struct kind *kind, uint64_t seed)
{
	double stack[PLACES] = {0.0};

	memset(c, 0, sizeof *c);
	make_kit(c, kind, &seed);
	for (size_t j = 0; j < PLACES; j++) {
		c->place[j] = (struct fw_together_place){.most = 4, .may_be_empty = true};
		for (size_t n = 2 + next(&seed) % 2; n > 0; n--)
			stack[j] += c->kit[next(&seed) % SIZES].thickness;
	}
	for (size_t i = 0; i < kind->responses; i++) {
		struct fw_together_response *r = &c->response[i];
		double at = 0.3 * MM * uniform(&seed);
		r->limits = (struct fw_limits){at, at + kind->width, NAN};
		c->datum[i] = (struct fw_datum){.trials = 1, .u = kind->u};
		c->datum[i].value = at + kind->width * (0.25 + 0.5 * uniform(&seed)) + kind->beside;
		for (size_t j = 0; j < PLACES; j++) {
			r->per[j] = floor(2000.0 * uniform(&seed) - 1000.0) / 1000.0;
			c->datum[i].value -= r->per[j] * stack[j];
		}
	}
	c->fit = (struct fw_together){.kit = c->kit,
	                              .sizes = SIZES,
	                              .place = c->place,
	                              .places = PLACES,
	                              .response = c->response,
	                              .responses = kind->responses};
}

/* Processor time, which holds on a busy machine. */
static double seconds(void)
{
	struct timespec t;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double run(const struct kind *kind)
{
	double sum = 0.0, worst = 0.0, work = 0.0;
	unsigned served = 0, refused = 0, given_up = 0;

	for (unsigned n = 0; n < CASES; n++) {
		struct bench_case c;
		struct fw_together_choice out;
		struct fw_error error = {0};
		make_case(&c, kind, 1000U * n + 17U);
		double began = seconds();
		int rc = fw_together_choose(&out, &c.fit, c.datum, &error);
		double took = seconds() - began;
		sum += took;
		worst = fmax(worst, took);
		work = fmax(work, out.work);
		served += rc == FW_OK;
		refused += rc != FW_OK && out.end != FW_TOGETHER_TOO_LONG;
		given_up += rc != FW_OK && out.end == FW_TOGETHER_TOO_LONG;
	}
	printf("%-28s %5u %8u %8u %10.1f %10.1f %12.0f\n", kind->name, served, refused, given_up,
	       1e3 * sum / CASES, 1e3 * worst, work);
	return worst;
}

/* The lengths in micrometres, so that whole ones stay whole. */
static void put_lp(const struct bench_case *c)
{
	printf("Minimize\n shims:");
	for (size_t j = 0; j < PLACES; j++)
		for (size_t k = 0; k < SIZES; k++)
			printf(" + n_%zu_%zu", j, k);
	printf("\nSubject To\n");
	for (size_t i = 0; i < c->fit.responses; i++)
		for (int side = 0; side < 2; side++) {
			const struct fw_together_response *r = &c->response[i];
			printf(" r_%zu_%d:", i, side);
			for (size_t j = 0; j < PLACES; j++)
				for (size_t k = 0; k < SIZES; k++)
					printf(" %+.9g n_%zu_%zu", r->per[j] * c->kit[k].thickness * 1e6, j, k);
			printf(" %s %.9g\n", side ? "<=" : ">=",
			       1e6 * ((side ? r->limits.max : r->limits.min) - c->datum[i].value));
		}
	for (size_t k = 0; k < SIZES; k++)
		printf(" kit_%zu: n_0_%zu + n_1_%zu + n_2_%zu <= %u\n", k, k, k, k, c->kit[k].count);
	for (size_t j = 0; j < PLACES; j++) {
		printf(" most_%zu:", j);
		for (size_t k = 0; k < SIZES; k++)
			printf(" + n_%zu_%zu", j, k);
		printf(" <= 4\n");
	}
	printf("General\n");
	for (size_t j = 0; j < PLACES; j++)
		for (size_t k = 0; k < SIZES; k++)
			printf(" n_%zu_%zu", j, k);
	printf("\nEnd\n");
}

/* Fewest shims with which all lie within, everything being known outright. */
static int lp(unsigned number, double width)
{
	const struct kind kind = {"lp", width, 0.0, 0.0, 0.0, false, 3};
	struct bench_case c;
	struct fw_together_choice out;
	struct fw_error error = {0};
	size_t shims = 0;

	make_case(&c, &kind, 1000U * number + 17U);
	c.fit.near = INFINITY;
	put_lp(&c);
	double began = seconds();
	int rc = fw_together_choose(&out, &c.fit, c.datum, &error);
	double took = seconds() - began;
	for (size_t j = 0; j < PLACES; j++)
		shims += out.stack[j].count;
	fprintf(stderr, "%s %zu %.6f\n", rc == FW_OK ? "shims" : "none", shims, took);
	return 0;
}

int main(int argc, char **argv)
{
	double worst = 0.0;

	if (argc >= 3 && strcmp(argv[1], "lp") == 0)
		return lp((unsigned)atoi(argv[2]), (argc > 3 ? atof(argv[3]) : 10.0) * 1e-6);
	printf("%-28s %5s %8s %8s %10s %10s %12s\n", "kind, 50 cases", "serve", "refused", "given up",
	       "mean, ms", "worst, ms", "steps, worst");
	for (size_t k = 0; k < KINDS; k++)
		worst = fmax(worst, run(&kinds[k]));
	printf("worst of all: %.1f ms\n", 1e3 * worst);
	return 0;
}
