/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fw_together_choose() against glpsol, the MIP solver of GLPK (Debian package glpk-utils): the same
 * cases as integer programmes in CPLEX LP format. With everything known outright a chance is 0 or
 * 1, so that "is there any" and "with how few shims" are what a MIP can say; with one response,
 * "how near to the aim" as well. */
#include "check.h"
#include "draws.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fitwright/together.h"

#define UM          1e-6
#define SIZES_MOST  10
#define PLACES_MOST 3

static struct fw_error error;

/* Lengths in thousandths of a micrometre, all whole, so that our answers can be checked exactly.
 * Limits lie halfway between two such steps: no response can be on one. */
struct instance {
	size_t sizes, places, responses;
	long thickness[SIZES_MOST]; /* µm */
	unsigned count[SIZES_MOST];
	size_t most;
	long per[3][PLACES_MOST]; /* thousandths */
	long r0[3];               /* nm */
	double min[3], max[3];    /* nm */
};

struct fit {
	struct fw_shim kit[SIZES_MOST];
	struct fw_together_place place[PLACES_MOST];
	struct fw_together_response response[3];
	struct fw_datum datum[3];
	struct fw_together fit;
};

static long between(uint64_t *seed, long low, long high)
{
	return low + (long)(next(seed) % (uint64_t)(high - low + 1));
}

static void make(struct instance *in, size_t places, size_t responses, long width, uint64_t *seed)
{
	long stack[PLACES_MOST] = {0};

	*in = (struct instance){.places = places, .responses = responses, .most = 4};
	in->sizes = (size_t)between(seed, 6, responses == 1 || places == 3 ? 8 : 10);
	for (size_t k = 0; k < in->sizes; k++) {
		in->thickness[k] = 50 + 60 * (long)k + between(seed, 0, 50);
		in->count[k] = (unsigned)between(seed, 1, 4);
	}
	for (size_t j = 0; j < places; j++)
		for (int n = 0; n < 3; n++)
			stack[j] += in->thickness[between(seed, 0, (long)in->sizes - 1)];
	for (size_t i = 0; i < responses; i++) {
		for (size_t j = 0; j < places; j++) {
			in->per[i][j] = between(seed, -1000, 1000);
			in->r0[i] -= in->per[i][j] * stack[j];
		}
		in->r0[i] += between(seed, -2 * width, 2 * width);
		in->min[i] = (double)-width + 0.5;
		in->max[i] = (double)width + 0.5;
	}
}

static void fill(struct fit *f, const struct instance *in)
{
	memset(f, 0, sizeof *f);
	for (size_t k = 0; k < in->sizes; k++)
		f->kit[k] =
		    (struct fw_shim){.thickness = (double)in->thickness[k] * UM, .count = in->count[k]};
	for (size_t j = 0; j < in->places; j++)
		f->place[j] = (struct fw_together_place){.most = in->most, .may_be_empty = true};
	for (size_t i = 0; i < in->responses; i++) {
		f->response[i].limits =
		    (struct fw_limits){in->min[i] * 1e-3 * UM, in->max[i] * 1e-3 * UM, NAN};
		for (size_t j = 0; j < in->places; j++)
			f->response[i].per[j] = (double)in->per[i][j] / 1000.0;
		f->datum[i] = (struct fw_datum){.value = (double)in->r0[i] * 1e-3 * UM, .trials = 1};
	}
	f->fit = (struct fw_together){.kit = f->kit,
	                              .sizes = in->sizes,
	                              .place = f->place,
	                              .places = in->places,
	                              .response = f->response,
	                              .responses = in->responses};
}

/* " + 1.5 n_0_0 …": response `i` less r0, in µm. */
static void put_row(FILE *lp, const struct instance *in, size_t i)
{
	for (size_t j = 0; j < in->places; j++)
		for (size_t k = 0; k < in->sizes; k++)
			fprintf(lp, " %+.6f n_%zu_%zu\n", (double)(in->per[i][j] * in->thickness[k]) / 1000.0,
			        j, k);
}

static void put_kit(FILE *lp, const struct instance *in)
{
	for (size_t k = 0; k < in->sizes; k++) {
		fprintf(lp, " kit_%zu:", k);
		for (size_t j = 0; j < in->places; j++)
			fprintf(lp, " + n_%zu_%zu", j, k);
		fprintf(lp, " <= %u\n", in->count[k]);
	}
	for (size_t j = 0; j < in->places; j++) {
		fprintf(lp, " most_%zu:", j);
		for (size_t k = 0; k < in->sizes; k++)
			fprintf(lp, " + n_%zu_%zu", j, k);
		fprintf(lp, " <= %zu\n", in->most);
	}
	fprintf(lp, "General\n");
	for (size_t j = 0; j < in->places; j++)
		for (size_t k = 0; k < in->sizes; k++)
			fprintf(lp, " n_%zu_%zu\n", j, k);
	fprintf(lp, "End\n");
}

/* Fewest shims within the limits; or, `aim`, the least distance of the one response from it. */
static void put_lp(const char *path, const struct instance *in, bool aim)
{
	FILE *lp = fopen(path, "w");

	assert_non_null(lp);
	fprintf(lp, "Minimize\n goal:");
	for (size_t j = 0; j < in->places && !aim; j++)
		for (size_t k = 0; k < in->sizes; k++)
			fprintf(lp, " + n_%zu_%zu", j, k);
	fprintf(lp, aim ? " d\nSubject To\n" : "\nSubject To\n");
	for (size_t i = 0; i < in->responses; i++) {
		double middle = (in->min[i] + in->max[i]) / 2.0;
		fprintf(lp, " low_%zu:", i);
		put_row(lp, in, i);
		fprintf(lp, " %s >= %.6f\n", aim ? "+ d" : "",
		        ((aim ? middle : in->min[i]) - (double)in->r0[i]) / 1000.0);
		fprintf(lp, " high_%zu:", i);
		put_row(lp, in, i);
		fprintf(lp, " %s <= %.6f\n", aim ? "- d" : "",
		        ((aim ? middle : in->max[i]) - (double)in->r0[i]) / 1000.0);
	}
	put_kit(lp, in);
	fclose(lp);
}

/* glpsol's verdict: 'o' with the optimum, 'n' when there is no solution. */
static char solve(double *goal, const struct instance *in, bool aim)
{
	static const char lp[] = FW_TEST_BINARY "/together_mip.lp";
	static const char sol[] = FW_TEST_BINARY "/together_mip.sol";
	char line[256], status = '?';
	int code;

	put_lp(lp, in, aim);
	remove(sol);
	code = system("glpsol --lp '" FW_TEST_BINARY "/together_mip.lp' --tmlim 20 -w '" FW_TEST_BINARY
	              "/together_mip.sol' >/dev/null 2>&1");
	FILE *in_file = fopen(sol, "r");
	if (code != 0 || !in_file)
		fail_msg("glpsol didn't run (package glpk-utils): %d", code);
	while (fgets(line, sizeof line, in_file))
		if (sscanf(line, "s mip %*d %*d %c %lf", &status, goal) == 2)
			break;
	fclose(in_file);
	return status;
}

/* What was chosen keeps to the kit and the limits, in whole numbers. */
static size_t assert_lawful(const struct fw_together_choice *c, const struct instance *in)
{
	unsigned used[SIZES_MOST] = {0};
	size_t shims = 0;

	for (size_t j = 0; j < in->places; j++) {
		assert_true(c->stack[j].count <= in->most);
		for (size_t n = 0; n < c->stack[j].count; n++)
			used[c->stack[j].shim[n]]++;
		shims += c->stack[j].count;
	}
	for (size_t k = 0; k < in->sizes; k++)
		assert_true(used[k] <= in->count[k]);
	for (size_t i = 0; i < in->responses; i++) {
		long r = in->r0[i];
		for (size_t j = 0; j < in->places; j++)
			for (size_t n = 0; n < c->stack[j].count; n++)
				r += in->per[i][j] * in->thickness[c->stack[j].shim[n]];
		assert_true((double)r > in->min[i] && (double)r < in->max[i]);
		assert_near(c->value[i] / (1e-3 * UM), (double)r, 1e-3);
	}
	return shims;
}

/* 60 cases of two and three places, two and three responses, limits from ±0.6 to ±20 µm. */
static void test_fewest_shims(void **state)
{
	static const long widths[] = {600, 2000, 20000};
	uint64_t seed = 7;
	unsigned served = 0, refused = 0, most = 0;
	(void)state;

	for (unsigned number = 0; number < 60; number++) {
		struct instance in;
		struct fit f;
		struct fw_together_choice c;
		double goal = 0.0;
		make(&in, 2 + number % 2, 2 + number / 2 % 2, widths[number % 3], &seed);
		fill(&f, &in);
		f.fit.near = INFINITY;
		char status = solve(&goal, &in, false);
		int rc = fw_together_choose(&c, &f.fit, f.datum, &error);
		if (status == 'n') {
			assert_int_equal(rc, FW_ERR_RANGE);
			assert_true(c.end != FW_TOGETHER_TOO_LONG);
			refused++;
			continue;
		}
		assert_int_equal(status, 'o');
		if (rc != FW_OK)
			fail_msg("case %u: glpsol takes %g shims; %s", number, goal, error.text);
		size_t shims = assert_lawful(&c, &in);
		if (fabs((double)shims - goal) > 1e-6)
			fail_msg("case %u: %zu shims, glpsol takes %g", number, shims, goal);
		served++;
		most += shims > 4;
	}
	print_message("%u served (%u with more than four shims), %u have no solution\n", served, most,
	              refused);
	assert_true(served >= 20 && refused >= 10 && most >= 5);
}

/* One response of two places: how near to the aim stacks can bring it. */
static void test_nearest(void **state)
{
	uint64_t seed = 11;
	(void)state;

	for (unsigned number = 0; number < 12; number++) {
		struct instance in;
		struct fit f;
		struct fw_together_choice c;
		double goal = 0.0;
		make(&in, 2, 1, 50000, &seed);
		fill(&f, &in);
		f.fit.near = 1e-9;
		assert_int_equal(solve(&goal, &in, true), 'o');
		assert_ok(fw_together_choose(&c, &f.fit, f.datum, &error));
		assert_lawful(&c, &in);
		double width = f.response[0].limits.max - f.response[0].limits.min;
		assert_near(c.distance * width / UM, goal, 1e-3);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_fewest_shims),
	    cmocka_unit_test(test_nearest),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
