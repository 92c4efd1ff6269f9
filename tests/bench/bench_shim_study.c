/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trials to release and truth at release, against a mechanic's ways, on the same draws.
 * bench_shim_study [units] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "shim_study.h"

static struct study study_of(double gauge_thou, double width_thou, unsigned units)
{
	double aim = 15.0 * STUDY_THOU, half = width_thou / 2.0 * STUDY_THOU;

	return (struct study){.gauge_u = gauge_thou * STUDY_THOU,
	                      .limits = {aim - half, aim + half, aim},
	                      .units = units};
}

static void print_study(const struct study *study)
{
	struct study_tally t[STUDY_METHODS];

	for (int m = 0; m < STUDY_METHODS; m++)
		t[m] = study_run(study, (enum study_method)m);
	printf("| way | trials a unit | released | truly within | strip-downs saved in 100 units |\n"
	       "|---|---|---|---|---|\n");
	for (int m = 0; m < STUDY_METHODS; m++)
		printf("| %s | %.3f | %.2f %% | %.2f %% | %.1f |\n",
		       study_method_name((enum study_method)m), study_mean_trials(&t[m]),
		       100.0 * t[m].released / t[m].units, 100.0 * study_share_within(&t[m]),
		       100.0 * (study_mean_trials(&t[m]) - study_mean_trials(&t[STUDY_SHIMS])));
	printf("\n%u units, %u with a surprise; %u surprises called, %u of them false.\n\n", t[0].units,
	       t[0].moved, t[0].surprises, t[0].false_alarms);
	printf(
	    "%u first trials in doubt: the datum was then off by %.2f thou (root mean square), in %.1f "
	    "%% of them by no more than twice its standard uncertainty.\n\n",
	    t[0].doubted, sqrt(t[0].doubted_squares / fmax(1.0, t[0].doubted)) / STUDY_THOU,
	    100.0 * t[0].held / fmax(1.0, t[0].doubted));
}

static void print_sensitivity(unsigned units)
{
	static const double gauges[] = {0.5, 1.0, 2.0}, widths[] = {4.0, 8.0, 20.0};

	printf("| limits | gauge | trials | released | truly within | plain difference: trials | truly "
	       "within | guarded: trials |\n|---|---|---|---|---|---|---|---|\n");
	for (size_t w = 0; w < 3; w++)
		for (size_t g = 0; g < 3; g++) {
			struct study study = study_of(gauges[g], widths[w], units);
			struct study_tally s = study_run(&study, STUDY_SHIMS);
			struct study_tally d = study_run(&study, STUDY_DIFFERENCE);
			struct study_tally v = study_run(&study, STUDY_GUARDED);
			printf(
			    "| %g thou wide | %g thou | %.2f | %.1f %% | %.2f %% | %.2f | %.2f %% | %.2f |\n",
			    widths[w], gauges[g], study_mean_trials(&s), 100.0 * s.released / s.units,
			    100.0 * study_share_within(&s), study_mean_trials(&d),
			    100.0 * study_share_within(&d), study_mean_trials(&v));
		}
}

int main(int argc, char **argv)
{
	long asked = argc > 1 ? strtol(argv[1], NULL, 10) : 20000;
	unsigned units = asked > 0 && asked <= 10000000 ? (unsigned)asked : 20000U;
	struct study study = study_of(1.0, 20.0, units);

	print_study(&study);
	print_sensitivity(units);
	return 0;
}
