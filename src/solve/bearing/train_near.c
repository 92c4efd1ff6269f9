/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "solve/bearing/check.h"
#include "solve/bearing/train.h"

#define TURN (2.0 * 3.14159265358979323846)

/* The lines found so far, nearest first. */
struct finds {
	struct fw_train_line *line;
	size_t room, found;
	double measured, within;
	unsigned harmonics;
};

const char *fw_train_line_name(enum fw_train_line_of of)
{
	static const char *const names[] = {"turn",       "mesh",       "cage",
	                                    "outer ring", "inner ring", "element"};

	return (size_t)of < sizeof names / sizeof names[0] ? names[of] : "?";
}

static bool nearer(const struct fw_train_line *a, const struct fw_train_line *b)
{
	double x = fabs(a->off), y = fabs(b->off);

	if (fabs(x - y) > 1e-12)
		return x < y;
	return a->harmonic < b->harmonic;
}

static void keep(struct finds *f, const struct fw_train_line *line)
{
	size_t i = f->found;

	if (i == f->room) {
		if (i == 0 || !nearer(line, &f->line[i - 1]))
			return;
		i--;
	} else {
		f->found++;
	}
	for (; i > 0 && nearer(line, &f->line[i - 1]); i--)
		f->line[i] = f->line[i - 1];
	f->line[i] = *line;
}

static void try_line(struct finds *f, enum fw_train_line_of of, size_t index, double frequency)
{
	if (!fw_positive(frequency))
		return;
	for (unsigned h = 1; h <= f->harmonics; h++) {
		struct fw_train_line line = {of, h, index, h * frequency, 0.0};
		line.off = (line.frequency - f->measured) / f->measured;
		if (fabs(line.off) <= f->within)
			keep(f, &line);
	}
}

static int arguments_check(const struct finds *f, struct fw_error *err)
{
	if (!fw_positive(f->measured))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: the frequency heard must be finite and above zero");
	if (!(f->within > 0.0 && f->within <= 0.5))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "gear train: how near a frequency must be is above 0 to 50 %%");
	if (f->harmonics == 0 || f->harmonics > FW_HARMONICS_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: harmonics must be 1 to %d",
		               FW_HARMONICS_MOST);
	return FW_OK;
}

static void try_bearing(struct finds *f, size_t i, const struct fw_bearing_frequencies *s)
{
	try_line(f, FW_LINE_CAGE, i, s->cage);
	try_line(f, FW_LINE_OUTER, i, s->outer);
	try_line(f, FW_LINE_INNER, i, s->inner);
	try_line(f, FW_LINE_ELEMENT, i, 2.0 * s->spin);
}

int fw_train_near(struct fw_train_line *out, size_t *count, const struct fw_train *train,
                  const struct fw_train_case *at, double speed, double measured, double within,
                  unsigned harmonics, struct fw_error *err)
{
	struct finds f = {out, 0, 0, measured, within, harmonics};
	double body[FW_TRAIN_MOST];
	struct fw_pair_state pair[FW_TRAIN_MOST];
	struct fw_bearing_state bearing[FW_TRAIN_MOST];

	if (!count || (!out && *count))
		return fw_fail(err, FW_ERR_ARGUMENT, "gear train: nowhere to put the frequencies");
	f.room = *count;
	int rc = arguments_check(&f, err);
	if (rc == FW_OK)
		rc = fw_train_run(body, pair, bearing, train, at, speed, err);
	if (rc != FW_OK)
		return rc;
	for (size_t i = 0; i < train->bodies; i++)
		try_line(&f, FW_LINE_TURN, i, fabs(body[i]) / TURN);
	for (size_t i = 0; i < train->pairs; i++)
		try_line(&f, FW_LINE_MESH, i, pair[i].mesh.mesh);
	for (size_t i = 0; i < train->bearings; i++)
		try_bearing(&f, i, &bearing[i].sounds);
	*count = f.found;
	return FW_OK;
}
