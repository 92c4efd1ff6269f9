/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long it takes to hand parts round: engines of 16 valves with 60 grades, and crowds of up to
 * 2000 places with as many old parts. Figures are invented, from a fixed seed. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "fitwright/reuse.h"

#define MM 1e-3

static double now(void)
{
	struct timespec at;

	clock_gettime(CLOCK_MONOTONIC, &at);
	return (double)at.tv_sec + 1e-9 * (double)at.tv_nsec;
}

static unsigned random_below(uint64_t *state, unsigned end)
{
	*state = *state * 6364136223846793005U + 1442695040888963407U;
	return (unsigned)((*state >> 33) % end);
}

static void measure(size_t places, size_t grades, uint32_t count, double u, const char *text)
{
	struct fw_place *place = malloc(places * sizeof *place);
	struct fw_part *part = malloc(places * sizeof *part);
	struct fw_grade *grade = malloc(grades * sizeof *grade);
	struct fw_fitting *fitting = malloc(places * sizeof *fitting);
	struct fw_reuse_sum sum = {0};
	struct fw_error error = {0};
	uint64_t seed = 1;

	if (place && part && grade && fitting) {
		for (size_t i = 0; i < places; i++) {
			part[i] = (struct fw_part){(2.2 + 0.005 * random_below(&seed, 161)) * MM, u / 4};
			place[i] = (struct fw_place){(0.05 + 0.01 * random_below(&seed, 31)) * MM,
			                             u,
			                             i,
			                             1,
			                             {0.15 * MM, 0.25 * MM, 0.20 * MM}};
		}
		for (size_t g = 0; g < grades; g++)
			grade[g] = (struct fw_grade){(2.0 + 1.2 * (double)g / (double)grades) * MM, count};
		struct fw_reuse reuse = {place, places, part, places, grade, grades, u / 8, FW_CONFORMANCE};
		double from = now();
		int rc = fw_reuse(fitting, &sum, &reuse, &error);
		double took = now() - from;
		if (rc == FW_OK)
			printf(
			    "%5zu places, %7zu grades, %s: %9.3f ms; kept %zu, moved %zu, bought %zu, left out "
			    "%zu\n",
			    places, grades, text, 1e3 * took, sum.kept, sum.moved, sum.bought, sum.left_out);
		else
			printf("%s\n", error.text);
	}
	free(place);
	free(part);
	free(grade);
	free(fitting);
}

int main(void)
{
	measure(16, 60, FW_GRADE_ENDLESS, 0.0, "endless, exact   ");
	measure(16, 60, 1, 0.005 * MM, "one each, u 5 um ");
	measure(16, 1000000, 1, 0.005 * MM, "one each, u 5 um ");
	measure(200, 60, 2, 0.005 * MM, "two each, u 5 um ");
	measure(500, 240, 1, 0.005 * MM, "one each, u 5 um ");
	measure(2000, 60, FW_GRADE_ENDLESS, 0.0, "endless, exact   ");
	measure(2000, 60, FW_GRADE_ENDLESS, 0.01 * MM, "endless, u 10 um ");
	measure(2000, 240, 3, 0.005 * MM, "three each, u 5 um");
	return 0;
}
