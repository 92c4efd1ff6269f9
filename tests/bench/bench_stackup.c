/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chains of ten links a second, and what the bare random numbers cost on as many threads.
 * bench_stackup [trials [threads]] */
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "fitwright/stackup.h"
#include "solve/clearance/sample.h"

#define LINKS 10

/* Seconds by the clock on the wall, and of all processors together: the second holds on a machine
 * that is busy with other things too. */
struct spent {
	double wall, processor;
};

static double seconds_of(clockid_t clock)
{
	struct timespec t;

	clock_gettime(clock, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static struct spent since(struct spent start)
{
	return (struct spent){seconds_of(CLOCK_MONOTONIC) - start.wall,
	                      seconds_of(CLOCK_PROCESS_CPUTIME_ID) - start.processor};
}

struct numbers {
	uint64_t batches;
	uint32_t key, sum;
	pthread_t thread;
};

/* The numbers that a chain needs, made and thrown away; the sum keeps the compiler from seeing so.
 */
static void *make_numbers(void *data)
{
	struct numbers *numbers = (struct numbers *)data;
	uint32_t draw[FW_BATCH], key[2] = {numbers->key, 0};

	for (uint64_t i = 0; i < numbers->batches; i++) {
		for (uint32_t link = 0; link < LINKS; link++) {
			uint32_t counter[4] = {(uint32_t)i * (FW_BATCH / 4), link, 0, 0};

			fw_philox_fill(draw, counter, key);
			numbers->sum += draw[i % FW_BATCH];
		}
	}
	return NULL;
}

static struct spent time_numbers(uint64_t trials, unsigned threads)
{
	struct numbers numbers[FW_STACKUP_THREADS_MOST];
	struct spent start = since((struct spent){0});

	for (unsigned i = 0; i < threads; i++) {
		numbers[i] = (struct numbers){.batches = trials / FW_BATCH / threads, .key = i};
		if (pthread_create(&numbers[i].thread, NULL, make_numbers, &numbers[i]) != 0)
			exit(1);
	}
	for (unsigned i = 0; i < threads; i++)
		pthread_join(numbers[i].thread, NULL);
	return since(start);
}

static struct spent time_chain(const enum fw_stackup_shape *shape, size_t shapes, uint64_t trials,
                               unsigned threads)
{
	struct fw_stackup_link link[LINKS] = {{0}};
	struct fw_stackup_run run = {trials, 1, threads};
	struct fw_limits limits = {-0.3e-3, 0.3e-3, 0.0};
	struct fw_stackup_sample sample;
	struct fw_error error = {0};

	for (size_t i = 0; i < LINKS; i++)
		link[i] = (struct fw_stackup_link){.coefficient = i % 2 ? -1.0 : 1.0,
		                                   .lower = -0.1e-3,
		                                   .upper = 0.1e-3,
		                                   .shape = shape[i % shapes]};
	struct spent start = since((struct spent){0});
	if (fw_stackup_simulate(&sample, link, LINKS, &limits, &run, &error) != FW_OK) {
		fprintf(stderr, "%s\n", error.text);
		exit(1);
	}
	return since(start);
}

int main(int argc, char **argv)
{
	static const enum fw_stackup_shape uniform[] = {FW_STACKUP_UNIFORM},
	                                   normal[] = {FW_STACKUP_NORMAL},
	                                   triangular[] = {FW_STACKUP_TRIANGULAR},
	                                   arcsine[] = {FW_STACKUP_ARCSINE},
	                                   mixed[] = {FW_STACKUP_NORMAL, FW_STACKUP_UNIFORM,
	                                              FW_STACKUP_NORMAL, FW_STACKUP_TRIANGULAR,
	                                              FW_STACKUP_UNIFORM};
	static const struct {
		const char *name;
		const enum fw_stackup_shape *shape;
		size_t shapes;
	} chain[] = {{"uniform", uniform, 1},
	             {"normal", normal, 1},
	             {"triangular", triangular, 1},
	             {"arcsine", arcsine, 1},
	             {"mixed", mixed, sizeof mixed / sizeof mixed[0]}};
	uint64_t trials = argc > 1 ? strtoull(argv[1], NULL, 10) : 100000000;
	unsigned threads = argc > 2 ? (unsigned)strtoul(argv[2], NULL, 10) : 2;
	if (trials < FW_STACKUP_TRIALS_LEAST || trials > FW_STACKUP_TRIALS_MOST || threads < 1 ||
	    threads > FW_STACKUP_THREADS_MOST)
		return 2;

	struct spent bare = time_numbers(trials, threads);
	double million = (double)trials / 1e6;
	printf("ten links, %.0f million trials, %u threads\n", million, threads);
	printf("| links | million chains a second | a processor second | times the numbers alone |\n"
	       "|---|---|---|---|\n| numbers alone | %.1f | %.1f | 1 |\n",
	       million / bare.wall, million / bare.processor);
	for (size_t i = 0; i < sizeof chain / sizeof chain[0]; i++) {
		struct spent spent = time_chain(chain[i].shape, chain[i].shapes, trials, threads);

		printf("| %s | %.1f | %.1f | %.2f |\n", chain[i].name, million / spent.wall,
		       million / spent.processor, spent.processor / bare.processor);
	}
	return 0;
}
