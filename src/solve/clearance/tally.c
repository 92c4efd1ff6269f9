/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solve/clearance/tally.h"

#include <math.h>
#include <string.h>

#include "solve/clearance/clones.h"

void fw_tally_clear(struct fw_tally *tally)
{
	memset(tally, 0, sizeof *tally);
	tally->lowest = INFINITY;
	tally->highest = -INFINITY;
}

double fw_tally_width(const struct fw_tally_scale *scale)
{
	return 2.0 * scale->reach / FW_BINS;
}

/* `count` is a whole number of lanes. */
FW_CLONES
static void add_powers(double (*restrict lane)[FW_LANES], const double *restrict gap, size_t count)
{
	double sum[4][FW_LANES];

	memcpy(sum, lane, sizeof sum);
	for (size_t i = 0; i < count; i += FW_LANES) {
		for (size_t l = 0; l < FW_LANES; l++) {
			double x = gap[i + l], square = x * x;

			sum[0][l] += x;
			sum[1][l] += square;
			sum[2][l] += square * x;
			sum[3][l] += square * square;
		}
	}
	memcpy(lane, sum, sizeof sum);
}

FW_CLONES
static void add_ends(struct fw_tally *restrict tally, const double *restrict gap, size_t count,
                     double low, double high)
{
	double lowest[FW_LANES], highest[FW_LANES];
	int64_t below[FW_LANES] = {0}, above[FW_LANES] = {0};

	for (size_t l = 0; l < FW_LANES; l++) {
		lowest[l] = tally->lowest;
		highest[l] = tally->highest;
	}
	for (size_t i = 0; i < count; i += FW_LANES) {
		for (size_t l = 0; l < FW_LANES; l++) {
			double x = gap[i + l];

			lowest[l] = x < lowest[l] ? x : lowest[l];
			highest[l] = x > highest[l] ? x : highest[l];
			below[l] += x < low;
			above[l] += x > high;
		}
	}
	for (size_t l = 0; l < FW_LANES; l++) {
		tally->lowest = lowest[l] < tally->lowest ? lowest[l] : tally->lowest;
		tally->highest = highest[l] > tally->highest ? highest[l] : tally->highest;
		tally->below += (uint64_t)below[l];
		tally->above += (uint64_t)above[l];
	}
}

/* Which bin each gap of a chunk falls in. */
#define CHUNK 256

FW_CLONES
static void find_bins(int32_t *restrict bin, const double *restrict gap, size_t count, double reach,
                      double bins_per_unit)
{
	for (size_t i = 0; i < count; i++) {
		double at = (gap[i] + reach) * bins_per_unit;

		at = at > 0.0 ? at : 0.0;
		at = at < FW_BINS - 1 ? at : FW_BINS - 1;
		bin[i] = (int32_t)at;
	}
}

static void add_bins(struct fw_tally *tally, const double *gap, size_t count, double reach)
{
	int32_t bin[CHUNK];

	for (size_t done = 0; done < count; done += CHUNK) {
		size_t now = count - done < CHUNK ? count - done : CHUNK;

		find_bins(bin, gap + done, now, reach, FW_BINS / (2.0 * reach));
		for (size_t i = 0; i < now; i++)
			tally->bin[bin[i]]++;
	}
}

void fw_tally_add(struct fw_tally *tally, struct fw_power_sums *sums, const double *gap,
                  size_t count, const struct fw_tally_scale *scale)
{
	size_t whole = count - count % FW_LANES;

	add_powers(sums->lane, gap, whole);
	add_ends(tally, gap, whole, scale->low, scale->high);
	for (size_t i = whole; i < count; i++) {
		double x = gap[i], square = x * x;

		sums->lane[0][i % FW_LANES] += x;
		sums->lane[1][i % FW_LANES] += square;
		sums->lane[2][i % FW_LANES] += square * x;
		sums->lane[3][i % FW_LANES] += square * square;
		tally->lowest = fmin(tally->lowest, x);
		tally->highest = fmax(tally->highest, x);
		tally->below += x < scale->low;
		tally->above += x > scale->high;
	}
	add_bins(tally, gap, count, scale->reach);
}

void fw_tally_merge(struct fw_tally *tally, const struct fw_tally *more)
{
	for (size_t i = 0; i < FW_BINS; i++)
		tally->bin[i] += more->bin[i];
	tally->below += more->below;
	tally->above += more->above;
	tally->lowest = fmin(tally->lowest, more->lowest);
	tally->highest = fmax(tally->highest, more->highest);
}

double fw_tally_quantile(const struct fw_tally *tally, uint64_t trials,
                         const struct fw_tally_scale *scale, double p)
{
	double wanted = p * (double)trials, below = 0.0, width = fw_tally_width(scale);

	if (wanted <= 0.0)
		return tally->lowest;
	for (size_t i = 0; i < FW_BINS; i++) {
		double in = tally->bin[i];

		if (in > 0.0 && below + in >= wanted) {
			double at = -scale->reach + width * ((double)i + (wanted - below) / in);

			return fmin(fmax(at, tally->lowest), tally->highest);
		}
		below += in;
	}
	return tally->highest;
}
