/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calc/fit/common.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* No running fit is so loose: common practice, no source. */
#define FAR_TOO_LOOSE 0.02

const struct fw_calc_input fw_plane_fields[] = {
    {"size", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, true, NULL, NULL, NULL,
     "diameter in one direction"},
    {"across", FW_CALC_QUANTITY, "mm", FW_CALC_POSITIVE, false, NULL, NULL, NULL,
     "diameter at the same depth, square to it"},
    FW_INPUT_END};

/* "bore-taper" and "taper of the bore". */
static void put_named(struct fw_calc_out *out, const char *part, const char *what,
                      const char *label, double si, const struct fw_unit *unit)
{
	char name[64], words[96];

	snprintf(name, sizeof name, "%s-%s", part, what);
	snprintf(words, sizeof words, "%s of the %s", label, part);
	fw_calc_put(out, name, words, si, unit);
}

static void show(struct fw_calc_out *out, const struct fw_roundness *part, const char *name,
                 const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE];

	if (part->readings == 1) {
		fw_calc_line(out, "%s = %s, one reading: nothing is known of its shape", name,
		             fw_calc_figure(part->mean, unit, a, sizeof a));
		return;
	}
	fw_calc_line(out, "%s: %zu readings, %s to %s, mean %s", name, part->readings,
	             fw_calc_figure(part->min, unit, a, sizeof a),
	             fw_calc_figure(part->max, unit, b, sizeof b),
	             fw_calc_figure(part->mean, unit, c, sizeof c));
	if (!isnan(part->out_of_round))
		fw_calc_line(out, "out-of-round of the %s = greatest difference at one depth = %s", name,
		             fw_calc_figure(part->out_of_round, unit, a, sizeof a));
	if (!isnan(part->taper))
		fw_calc_line(out, "taper of the %s = greatest difference in one direction = %s", name,
		             fw_calc_figure(part->taper, unit, a, sizeof a));
}

int fw_fit_planes(struct fw_roundness *out, struct fw_calc_out *put,
                  const struct fw_calc_values *in, const char *name, struct fw_error *err)
{
	size_t count = fw_calc_count(in, name);
	struct fw_plane *planes = calloc(count ? count : 1, sizeof *planes);

	if (!planes)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (size_t i = 0; i < count; i++) {
		const struct fw_calc_values *record = fw_calc_record(in, name, i);
		planes[i].along = fw_calc_value(record, "size");
		planes[i].across = fw_calc_value(record, "across");
	}

	int rc = fw_roundness(out, planes, count, name, err);
	free(planes);
	if (rc != FW_OK)
		return rc;

	const struct fw_unit *unit = fw_calc_unit(fw_calc_record(in, name, 0), "size");
	show(put, out, name, unit);
	put_named(put, name, "mean", "mean size", out->mean, unit);
	put_named(put, name, "out-of-round", "out-of-round", out->out_of_round, unit);
	put_named(put, name, "taper", "taper", out->taper, unit);
	return FW_OK;
}

static void line_of(struct fw_calc_out *out, const char *which, double bore, double shell,
                    double inner, double result, const struct fw_unit *unit)
{
	char a[FW_FIGURE], b[FW_FIGURE], c[FW_FIGURE], d[FW_FIGURE];

	fw_calc_figure(bore, unit, a, sizeof a);
	fw_calc_figure(inner, unit, b, sizeof b);
	fw_calc_figure(result, unit, c, sizeof c);
	if (shell > 0.0)
		fw_calc_line(out, "%s clearance = %s - 2 × %s - %s = %s", which, a,
		             fw_calc_figure(shell, unit, d, sizeof d), b, c);
	else
		fw_calc_line(out, "%s clearance = %s - %s = %s", which, a, b, c);
}

void fw_fit_put_running(struct fw_calc_out *out, const struct fw_running *running,
                        const struct fw_roundness *bore, double shell,
                        const struct fw_roundness *inner, const char *what,
                        const struct fw_unit *unit)
{
	char a[FW_FIGURE];

	line_of(out, "mean", bore->mean, shell, inner->mean, running->mean, unit);
	if (bore->readings > 1 || inner->readings > 1) {
		line_of(out, "least", bore->min, shell, inner->max, running->min, unit);
		line_of(out, "greatest", bore->max, shell, inner->min, running->max, unit);
	}
	fw_calc_line(out, "in thousandths of its size: 1000 × mean clearance / %s = %s", what,
	             fw_calc_plain(1000.0 * running->ratio, a));
	fw_calc_put(out, "clearance", "mean clearance", running->mean, unit);
	fw_calc_put(out, "clearance-min", "least clearance", running->min, unit);
	fw_calc_put(out, "clearance-max", "greatest clearance", running->max, unit);
	fw_calc_put_number(out, "thousandths", "in thousandths of its size", 1000.0 * running->ratio);
	if (running->ratio > FAR_TOO_LOOSE)
		fw_calc_warn(
		    out,
		    "the clearance is more than %.0f thousandths of its size: was a shell left out, "
		    "or a reading mistaken?",
		    1000.0 * FAR_TOO_LOOSE);
	if (running->min <= 0.0)
		fw_calc_warn(out, "the %s is as large as its bore somewhere: it binds", what);
}
