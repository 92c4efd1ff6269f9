/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time to take up a job again: the file opened, the job run through what was recorded. In a small
 * trail with a job of 1,000 entries, and in a trail of a million entries. And what an entry takes
 * on the disk.
 *
 *   bench_resume [JOBS [TRAIL]]    TRAIL: one made before, of jobs of 100 entries; kept */
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "shop.h"

#define ROUNDS 21

struct times {
	double open, resume, cpu; /* seconds; cpu: of the processor, of both */
};

static struct times once(const char *file, int64_t number)
{
	struct fw_error error;
	struct fw_trail *trail;
	struct fw_job *job;
	struct times t;
	double from = bench_wall(), busy = bench_cpu();

	if (fw_trail_open(&trail, file, FW_TRAIL_WRITE, &error) != FW_OK)
		bench_fail("open", error.text);
	t.open = bench_wall() - from;
	from = bench_wall();
	if (fw_job_resume(&job, trail, number, NULL, NULL, NULL, &error) != FW_OK)
		bench_fail("resume", error.text);
	t.resume = bench_wall() - from;
	t.cpu = bench_cpu() - busy;
	fw_job_close(job);
	fw_trail_close(trail);
	return t;
}

/* `step` goes through the jobs, so that not the same pages are read each time. */
static void measure(const char *what, const char *file, int64_t first, int64_t step, double limit)
{
	double open[ROUNDS], resume[ROUNDS], cpu[ROUNDS];

	for (unsigned i = 0; i < ROUNDS; i++) {
		struct times t = once(file, first + step * i);
		open[i] = t.open;
		resume[i] = t.resume;
		cpu[i] = t.cpu;
	}
	double o = 1e3 * bench_median(open, ROUNDS), r = 1e3 * bench_median(resume, ROUNDS);
	printf("%-52s opened %.2f ms, resumed %.2f ms: %.2f ms, processor %.2f ms (limit %.0f)\n", what,
	       o, r, o + r, 1e3 * bench_median(cpu, ROUNDS), limit);
}

static double bytes_of(const char *file)
{
	struct stat about;

	if (stat(file, &about) != 0)
		bench_fail(file, "isn't there");
	return (double)about.st_size;
}

int main(int argc, char **argv)
{
	const int64_t jobs = argc > 1 ? atoll(argv[1]) : 10000;
	struct bench_shop shop;

	bench_shop_open(&shop);
	struct fw_job *job = bench_shop_open_job(&shop, 1000);
	fw_job_close(job);
	bench_shop_shut(&shop);
	measure("job of 998 entries, not signed yet", shop.file, 1, 0, 8);
	printf("%.0f bytes an entry on the disk, in a trail of that job alone\n",
	       bytes_of(shop.file) / 998);
	bench_shop_remove(&shop);

	const char *file = argc > 2 && access(argv[2], R_OK) == 0 ? argv[2] : NULL;
	bench_shop_open(&shop);
	if (!file) {
		for (int64_t i = 0; i < jobs; i++)
			bench_shop_job(&shop, 100);
		bench_shop_shut(&shop);
		file = shop.file;
		if (argc > 2 && rename(shop.file, argv[2]) == 0)
			file = argv[2];
	}
	measure("job of 100 entries, in a trail of as many jobs", file, 1, jobs / ROUNDS, 10);
	printf("%.0f bytes an entry on the disk, in a trail of %lld jobs\n",
	       bytes_of(file) / (100.0 * (double)jobs), (long long)jobs);
	bench_shop_remove(&shop);
	return 0;
}
