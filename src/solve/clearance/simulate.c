/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdlib.h>

#include "fitwright/stackup.h"
#include "solve/clearance/link.h"
#include "solve/clearance/sample.h"
#include "solve/clearance/tally.h"

/* Trials in a block: the unit that threads share out, and over which sums are taken. */
#define BLOCK ((uint64_t)64 * FW_BATCH)

/* Furthest that the bins reach, in standard deviations. */
#define REACH_MOST 8.0

/* The exact ends of the 99.73 % interval are Φ(±3). */
const double fw_stackup_quantile_at[FW_STACKUP_QUANTILES] = {0.00135, 0.025, 0.5, 0.975, 0.99865};

/* A link as the inner loop wants it: its shape, and its scale in standard deviations of the gap. */
struct part {
	enum fw_stackup_shape shape;
	double scale;
};

struct job {
	const struct part *part;
	size_t parts;
	uint64_t trials;
	uint32_t key[2];
	struct fw_tally_scale scale;
	struct fw_power_sums *sums; /* one for each block */
	size_t blocks;
	unsigned threads;
};

struct worker {
	const struct job *job;
	unsigned first; /* its first block; then every threads-th */
	struct fw_tally tally;
	pthread_t thread;
	int started;
};

static void run_batch(struct worker *worker, struct fw_power_sums *sums, uint64_t first)
{
	const struct job *job = worker->job;
	uint64_t left = job->trials - first;
	double gap[FW_BATCH] = {0};
	uint32_t draw[FW_BATCH];

	for (size_t i = 0; i < job->parts; i++) {
		uint32_t counter[4] = {(uint32_t)(first / 4), (uint32_t)i, 0, 0};

		fw_philox_fill(draw, counter, job->key);
		fw_sample_add(gap, draw, job->part[i].shape, job->part[i].scale);
	}
	fw_tally_add(&worker->tally, sums, gap, left < FW_BATCH ? (size_t)left : FW_BATCH, &job->scale);
}

static void *run_worker(void *data)
{
	struct worker *worker = (struct worker *)data;
	const struct job *job = worker->job;

	for (size_t block = worker->first; block < job->blocks; block += job->threads) {
		uint64_t first = (uint64_t)block * BLOCK, end = first + BLOCK;

		for (; first < end && first < job->trials; first += FW_BATCH)
			run_batch(worker, &job->sums[block], first);
	}
	return NULL;
}

/* A thread that can't be had does its share here, with the same result. */
static void run_all(struct worker *worker, const struct job *job)
{
	for (unsigned i = 0; i < job->threads; i++) {
		worker[i].job = job;
		worker[i].first = i;
		fw_tally_clear(&worker[i].tally);
		worker[i].started =
		    i > 0 && pthread_create(&worker[i].thread, NULL, run_worker, &worker[i]) == 0;
	}
	for (unsigned i = 0; i < job->threads; i++) {
		if (!worker[i].started)
			run_worker(&worker[i]);
	}
	for (unsigned i = 1; i < job->threads; i++) {
		if (worker[i].started)
			pthread_join(worker[i].thread, NULL);
		fw_tally_merge(&worker[0].tally, &worker[i].tally);
	}
}

/* Mean and central moments of all trials, in standard deviations of the gap. */
struct moments {
	double mean, second, fourth;
};

static struct moments moments_of(const struct job *job)
{
	double raw[4] = {0};

	for (size_t block = 0; block < job->blocks; block++) {
		for (size_t power = 0; power < 4; power++) {
			for (size_t lane = 0; lane < FW_LANES; lane++)
				raw[power] += job->sums[block].lane[power][lane];
		}
	}
	for (size_t power = 0; power < 4; power++)
		raw[power] /= (double)job->trials;

	double m = raw[0], square = m * m;
	return (struct moments){.mean = m,
	                        .second = raw[1] - square,
	                        .fourth = raw[3] - 4.0 * m * raw[2] + 6.0 * square * raw[1] -
	                                  3.0 * square * square};
}

static struct fw_stackup_estimate quantile(const struct fw_tally *tally, const struct job *job,
                                           const struct fw_stackup *stackup, double p)
{
	double n = (double)job->trials, step = sqrt(p * (1.0 - p) / n);
	double at = fw_tally_quantile(tally, job->trials, &job->scale, p);
	double low = fw_tally_quantile(tally, job->trials, &job->scale, p - step);
	double high = fw_tally_quantile(tally, job->trials, &job->scale, p + step);

	return (struct fw_stackup_estimate){stackup->mean + stackup->sd * at,
	                                    stackup->sd * (high - low) / 2.0};
}

static struct fw_stackup_estimate probability(uint64_t hits, uint64_t trials)
{
	double n = (double)trials, k = (double)hits, q = (k + 1.0) / (n + 2.0);

	return (struct fw_stackup_estimate){k / n, sqrt(q * (1.0 - q) / n)};
}

static void count_outside(struct fw_stackup_sample *out, uint64_t below, uint64_t above)
{
	out->below = below;
	out->above = above;
	out->outside_below = probability(below, out->trials);
	out->outside_above = probability(above, out->trials);
	out->outside = probability(below + above, out->trials);
}

static bool is_finite(const struct fw_stackup_sample *sample)
{
	bool all = isfinite(sample->mean.value) && isfinite(sample->mean.error) &&
	           isfinite(sample->sd.value) && isfinite(sample->sd.error) &&
	           isfinite(sample->lowest) && isfinite(sample->highest) && isfinite(sample->excess);

	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		all = all && isfinite(sample->quantile[i].value) && isfinite(sample->quantile[i].error);
	return all;
}

static int sum_up(struct fw_stackup_sample *out, const struct job *job,
                  const struct fw_tally *tally, const struct fw_stackup *stackup,
                  struct fw_error *err)
{
	struct moments m = moments_of(job);
	double n = (double)job->trials, sd = stackup->sd;
	struct fw_stackup_sample sample = {.trials = job->trials};

	sample.mean.value = stackup->mean + sd * m.mean;
	sample.mean.error = sd * sqrt(m.second / n);
	sample.sd.value = sd * sqrt(m.second * n / (n - 1.0));
	sample.sd.error = sd * sqrt((m.fourth - m.second * m.second) / (4.0 * m.second * n));
	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		sample.quantile[i] = quantile(tally, job, stackup, fw_stackup_quantile_at[i]);
	sample.resolution = sd * fw_tally_width(&job->scale);
	sample.lowest = stackup->mean + sd * tally->lowest;
	sample.highest = stackup->mean + sd * tally->highest;
	sample.excess = m.fourth / (m.second * m.second) - 3.0;
	count_outside(&sample, tally->below, tally->above);
	if (!is_finite(&sample))
		return fw_fail(err, FW_ERR_RANGE, "stack-up: the trials are beyond all measure");
	*out = sample;
	return FW_OK;
}

/* Where every link is exact there is nothing to draw. */
static void sum_up_exact(struct fw_stackup_sample *out, uint64_t trials, double mean,
                         const struct fw_limits *limits)
{
	struct fw_stackup_sample sample = {.trials = trials, .mean = {mean, 0.0}};

	double at = limits ? fw_limits_snap(mean, limits) : mean;

	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		sample.quantile[i].value = mean;
	sample.lowest = sample.highest = mean;
	count_outside(&sample, limits && at < limits->min ? trials : 0,
	              limits && at > limits->max ? trials : 0);
	*out = sample;
}

static struct fw_tally_scale scale_of(const struct part *part, size_t count,
                                      const struct fw_stackup *stackup,
                                      const struct fw_limits *limits)
{
	double reach = 0.0;

	for (size_t i = 0; i < count; i++) {
		bool normal = part[i].shape == FW_STACKUP_NORMAL || part[i].shape == FW_STACKUP_MEASURED;
		reach += fabs(part[i].scale) * (normal ? FW_NORMAL_REACH : 1.0);
	}
	return (struct fw_tally_scale){
	    .reach = fmin(reach, REACH_MOST) * (1.0 + 1e-12),
	    .low = limits ? (limits->min - stackup->mean) / stackup->sd : -INFINITY,
	    .high = limits ? (limits->max - stackup->mean) / stackup->sd : INFINITY};
}

static struct part part_of(const struct fw_stackup_link *link, double sd)
{
	bool normal = link->shape == FW_STACKUP_NORMAL || link->shape == FW_STACKUP_MEASURED;
	double width = fw_link_half(link) * (normal ? fw_link_sd_share(link) : 1.0);

	/* The product first: the sums have shown that it is finite, while width / sd need not be. */
	return (struct part){link->shape, link->coefficient * width / sd};
}

static int draw_all(struct fw_stackup_sample *out, const struct fw_stackup_link *link, size_t count,
                    const struct fw_stackup *stackup, const struct fw_limits *limits,
                    const struct fw_stackup_run *run, struct fw_error *err)
{
	struct job job = {.parts = count,
	                  .trials = run->trials,
	                  .key = {(uint32_t)run->seed, (uint32_t)(run->seed >> 32)},
	                  .blocks = (size_t)((run->trials - 1) / BLOCK) + 1,
	                  .threads = run->threads > 0 ? run->threads : 1};
	int rc = FW_OK;

	struct part *part = (struct part *)calloc(count, sizeof *part);
	struct worker *worker = (struct worker *)calloc(job.threads, sizeof *worker);
	job.sums = (struct fw_power_sums *)calloc(job.blocks, sizeof *job.sums);
	if (!part || !worker || !job.sums) {
		rc = fw_fail(err, FW_ERR_MEMORY, "stack-up: out of memory for the trials");
		goto done;
	}
	for (size_t i = 0; i < count; i++)
		part[i] = part_of(&link[i], stackup->sd);
	job.part = part;
	job.scale = scale_of(part, count, stackup, limits);
	run_all(worker, &job);
	rc = sum_up(out, &job, &worker[0].tally, stackup, err);
done:
	free(part);
	free(worker);
	free(job.sums);
	return rc;
}

static int run_check(const struct fw_stackup_run *run, size_t count, struct fw_error *err)
{
	if (!run)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: not told how many trials to run");
	if (run->trials < FW_STACKUP_TRIALS_LEAST || run->trials > FW_STACKUP_TRIALS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: the trials must be %d to %d",
		               FW_STACKUP_TRIALS_LEAST, FW_STACKUP_TRIALS_MOST);
	if (run->threads > FW_STACKUP_THREADS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: at most %d threads",
		               FW_STACKUP_THREADS_MOST);
	if ((double)run->trials * (double)count > FW_STACKUP_WORK_MOST)
		return fw_fail(err, FW_ERR_RANGE,
		               "stack-up: %zu links are too many for so many trials; at most %.0f", count,
		               floor(FW_STACKUP_WORK_MOST / (double)count));
	return FW_OK;
}

int fw_stackup_simulate(struct fw_stackup_sample *out, const struct fw_stackup_link *link,
                        size_t count, const struct fw_limits *limits,
                        const struct fw_stackup_run *run, struct fw_error *err)
{
	struct fw_stackup stackup;

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "stack-up: no place for the sample");

	int rc = fw_stackup_spread(&stackup, NULL, link, count, err);
	if (rc == FW_OK && limits)
		rc = fw_limits_check(limits, err);
	if (rc == FW_OK)
		rc = run_check(run, count, err);
	if (rc != FW_OK)
		return rc;
	if (stackup.sd > 0.0)
		return draw_all(out, link, count, &stackup, limits, run, err);
	sum_up_exact(out, run->trials, stackup.mean, limits);
	return FW_OK;
}
