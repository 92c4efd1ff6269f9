/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "calc/clearance/stack_up.h"

/* Links whose working and rows are shown; a longer chain is only summed. */
#define SHOWN 50

/* Beyond this excess kurtosis the normal's tails are not to be leaned on. */
#define EXCESS_MUCH 0.3

static const char *figure(const struct fw_stack_up *it, double si, char buffer[FW_FIGURE])
{
	return fw_calc_figure(si, it->unit, buffer, FW_FIGURE);
}

/* Half the tolerance, and the standard deviation, as the sums take them, from a chain of one. */
static void put_link(struct fw_calc_out *out, const struct fw_stack_up *it, size_t index)
{
	const struct fw_stackup_link *link = &it->link[index];
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE], e[FW_FIGURE];
	struct fw_stackup one;

	if (fw_stackup_spread(&one, NULL, link, 1, NULL) != FW_OK)
		return;
	fw_calc_line(out, "%s: %s × %s = %s, ±%s, sd %s (%s)", link->name,
	             fw_calc_plain(link->coefficient, a), figure(it, one.mean / link->coefficient, b),
	             figure(it, one.mean, c), figure(it, one.rss, d), figure(it, one.sd, e),
	             fw_stackup_shape_name(link->shape));
	fw_calc_row(out, "links", "Share of each link");
	fw_calc_put_text(out, "name", "link", link->name);
	fw_calc_put(out, "middle", "middle", one.mean, it->unit);
	fw_calc_put(out, "half", "±", one.rss, it->unit);
	fw_calc_put(out, "sd", "sd", one.sd, fw_calc_fine(it->unit));
	fw_calc_put_number(out, "of-variance", "of variance", it->share[index].variance);
	fw_calc_put_number(out, "of-range", "of range", it->share[index].range);
	fw_calc_row_end(out);
}

static void put_sums(struct fw_calc_out *out, const struct fw_stack_up *it)
{
	const struct fw_stackup *s = &it->stackup;
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	fw_calc_line(out, "mean = Σ = %s", figure(it, s->mean, a));
	fw_calc_line(out, "worst case: %s ± Σ± = %s ± %s", a, a, figure(it, s->max - s->mean, b));
	fw_calc_line(out, "root sum of squares: ±√Σ±² = ±%s", figure(it, s->rss, b));
	fw_calc_line(out, "sd = √Σsd² = %s", figure(it, s->sd, b));
	fw_calc_line(out, "statistical range = %s ± %s × %s = %s to %s", a,
	             fw_calc_plain(it->level, (char[FW_FIGURE]){0}), b,
	             figure(it, s->mean - it->level * s->sd, c),
	             figure(it, s->mean + it->level * s->sd, d));
	if (it->level * s->sd > s->max - s->mean)
		fw_calc_line(out,
		             "that is wider than the worst case: where no part is beyond its tolerance, "
		             "the worst case rules");
}

void fw_stack_up_put_spread(struct fw_calc_out *out, const struct fw_stack_up *it)
{
	const struct fw_stackup *s = &it->stackup;

	for (size_t i = 0; i < it->count && i < SHOWN; i++)
		put_link(out, it, i);
	put_sums(out, it);
	fw_calc_put(out, "nominal", "nominal gap", s->nominal, it->unit);
	fw_calc_put(out, "mean", "mean gap", s->mean, it->unit);
	fw_calc_put_known(out, "unit-gap", "gap of one unit (± 2 sd)", s->mean, s->sd, INFINITY,
	                  it->unit);
	fw_calc_put(out, "worst-min", "worst case, least", s->min, it->unit);
	fw_calc_put(out, "worst-max", "worst case, most", s->max, it->unit);
	fw_calc_put(out, "rss", "root sum of squares, ±", s->rss, it->unit);
	fw_calc_put(out, "sd", "standard deviation", s->sd, fw_calc_fine(it->unit));
	fw_calc_put(out, "low", "statistical range, least", s->mean - it->level * s->sd, it->unit);
	fw_calc_put(out, "high", "statistical range, most", s->mean + it->level * s->sd, it->unit);
}

void fw_stack_up_put_capability(struct fw_calc_out *out, const struct fw_stack_up *it)
{
	const struct fw_stackup_capability *c = &it->capability;
	const struct fw_limits *limits = &it->limits;
	double mean = fw_limits_snap(it->stackup.mean, limits);
	char a[FW_FIGURE], b[FW_FIGURE];

	fw_calc_line(out, "as a normal: below %s, above %s", fw_calc_plain(c->below, a),
	             fw_calc_plain(c->above, b));
	if (!isnan(c->cpk))
		fw_calc_line(out, "Cpk = mean's distance from the nearer limit / (3 × sd) = %s",
		             fw_calc_plain(c->cpk, a));
	fw_calc_put_chance(out, "outside", "outside the limits, as a normal", c->outside);
	fw_calc_put_number(out, "cp", "Cp", c->cp);
	fw_calc_put_number(out, "cpk", "Cpk", c->cpk);
	if (fabs(it->stackup.excess) > EXCESS_MUCH)
		fw_calc_line(out, "excess kurtosis %s: few links make up the spread; go by the trials",
		             fw_calc_plain(it->stackup.excess, a));
	if (mean < limits->min || mean > limits->max)
		fw_calc_warn(out, "even the mean gap, %s, is outside its limits",
		             figure(it, it->stackup.mean, a));
	else if (fw_limits_snap(it->stackup.min, limits) < limits->min ||
	         fw_limits_snap(it->stackup.max, limits) > limits->max)
		fw_calc_warn(out, "at worst the gap is %s to %s, outside its limits",
		             figure(it, it->stackup.min, a), figure(it, it->stackup.max, b));
}

static void put_quantile(struct fw_calc_out *out, const struct fw_stack_up *it, double share,
                         struct fw_stackup_estimate gap)
{
	fw_calc_row(out, "quantiles", "Gap by the trials");
	fw_calc_put_number(out, "share", "share below", share);
	fw_calc_put(out, "gap", "gap", gap.value, it->unit);
	fw_calc_put(out, "error", "standard error", gap.error, fw_calc_fine(it->unit));
	fw_calc_row_end(out);
}

void fw_stack_up_put_sample(struct fw_calc_out *out, const struct fw_stack_up *it,
                            const struct fw_stackup_sample *sample, double seed)
{
	char a[FW_FIGURE], b[FW_FIGURE];

	fw_calc_line(out, "%.0f trials from seed %.0f: mean %s, sd %s", (double)sample->trials, seed,
	             figure(it, sample->mean.value, a), figure(it, sample->sd.value, b));
	fw_calc_put(out, "trials-mean", "mean by the trials", sample->mean.value, it->unit);
	fw_calc_put(out, "trials-mean-error", "its standard error", sample->mean.error,
	            fw_calc_fine(it->unit));
	fw_calc_put(out, "trials-sd", "standard deviation by the trials", sample->sd.value,
	            fw_calc_fine(it->unit));
	if (it->limited) {
		fw_calc_line(out, "outside the limits: %.0f below, %.0f above of %.0f",
		             (double)sample->below, (double)sample->above, (double)sample->trials);
		fw_calc_put_chance(out, "trials-outside", "outside the limits, by the trials",
		                   sample->outside.value);
		fw_calc_put_number(out, "trials-outside-error", "its standard error",
		                   sample->outside.error);
	}
	for (size_t i = 0; i < FW_STACKUP_QUANTILES; i++)
		put_quantile(out, it, fw_stackup_quantile_at[i], sample->quantile[i]);
}
