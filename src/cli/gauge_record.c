/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What `gauge` records: a new one, a new calibration, found bad, retired. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/gauge.h"
#include "face/gauge_show.h"

/* What an action does with the trail. */
struct change {
	const struct fw_gauge_wanted *wanted;
	char said[400]; /* what was done */
};

/* "0.02 mm", or "4 %" of the reading. */
static int read_error(struct fw_shop_gauge *gauge, const char *text, struct fw_error *err)
{
	struct fw_quantity q;
	int code = fw_quantity_parse(&q, text, NULL, err);
	const struct fw_unit *percent = fw_unit_find("%", 1);

	if (code != FW_OK) {
		fw_error_prefix(err, "--error: ");
		return code;
	}
	bool share = q.unit == percent;
	gauge->relative = share ? q.value : 0;
	gauge->error = share ? 0 : q.value;
	const struct fw_unit *unit = fw_unit_find(gauge->unit, strlen(gauge->unit));
	if (!share && !(unit && fw_dimension_equal(unit->dimension, q.dimension)))
		return fw_fail(err, FW_ERR_DIMENSION,
		               "--error %s: it isn't of the same kind as the resolution in %s", text,
		               gauge->unit);
	if (!share && q.unit->offset != 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "--error %s is a difference: write it in K", text);
	return FW_OK;
}

static int read_resolution(struct fw_shop_gauge *gauge, const char *text, struct fw_error *err)
{
	struct fw_quantity q;
	int code = fw_quantity_parse(&q, text, NULL, err);

	if (code != FW_OK) {
		fw_error_prefix(err, "--resolution: ");
		return code;
	}
	gauge->resolution = q.value;
	gauge->unit = (char *)q.unit->symbol;
	return FW_OK;
}

/* Figures as given; what isn't given is that of the typical gauge of this kind. */
static int take_figures(struct fw_shop_gauge *gauge, const struct fw_gauge_wanted *wanted,
                        struct fw_error *err)
{
	const struct fw_gauge *typical = fw_gauge_typical(wanted->kind);
	int code = FW_OK;

	if (!typical && (!wanted->resolution || !wanted->error))
		return fw_fail(
		    err, FW_ERR_INPUT,
		    "no typical gauge is called '%.60s', so --resolution and --error are needed; "
		    "'fitwright gauge typical' lists the kinds that have figures",
		    wanted->kind);
	if (wanted->resolution)
		code = read_resolution(gauge, wanted->resolution, err);
	else {
		gauge->resolution = typical->resolution;
		gauge->unit = (char *)fw_gauge_typical_unit(typical)->symbol;
	}
	if (code == FW_OK && wanted->error)
		code = read_error(gauge, wanted->error, err);
	else if (code == FW_OK) {
		const struct fw_unit *unit = fw_unit_find(gauge->unit, strlen(gauge->unit));
		if (!unit || !fw_dimension_equal(unit->dimension, typical->dimension))
			return fw_fail(err, FW_ERR_DIMENSION,
			               "--resolution %s: a %s doesn't read that; or give --error too",
			               wanted->resolution, typical->name);
		gauge->error = typical->error;
		gauge->relative = typical->relative;
	}
	if (typical && !wanted->source && !(wanted->resolution && wanted->error))
		gauge->source = (char *)typical->source;
	return code;
}

/* The strings are borrowed from the command line: recording copies them. */
static struct fw_shop_gauge wanted_gauge(const struct fw_gauge_wanted *wanted)
{
	return (struct fw_shop_gauge){.id = (char *)wanted->id,
	                              .kind = (char *)wanted->kind,
	                              .calibrated = (char *)wanted->calibrated,
	                              .due = (char *)wanted->due,
	                              .source = (char *)wanted->source};
}

static void say(struct change *change, const struct fw_shop_gauge *gauge)
{
	char figures[FW_GAUGE_FIGURES];

	snprintf(change->said, sizeof change->said, "%s, %s: %s%s%s%s%s.", gauge->id, gauge->kind,
	         fw_gauge_figures(gauge, figures), gauge->calibrated ? ", calibrated " : "",
	         gauge->calibrated ? gauge->calibrated : "", gauge->due ? ", due " : "",
	         gauge->due ? gauge->due : "");
}

static int add(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct change *change = context;
	const struct fw_gauge_wanted *wanted = change->wanted;
	struct fw_shop_gauge gauge = wanted_gauge(wanted);
	struct fw_shop_gauges gauges = {0};
	int code = take_figures(&gauge, wanted, err);

	if (code == FW_OK)
		code = fw_shop_gauges_read(&gauges, trail, err);
	if (code != FW_OK)
		return code;
	if (fw_shop_gauge_find(&gauges, wanted->id))
		code = fw_fail(err, FW_ERR_STATE,
		               "there is a gauge %.60s already; for a new calibration: fitwright gauge "
		               "calibrated %.60s",
		               wanted->id, wanted->id);
	fw_shop_gauges_free(&gauges);
	if (code == FW_OK)
		code = fw_shop_gauge_record(trail, &gauge, wanted->who, NULL, err);
	if (code == FW_OK)
		say(change, &gauge);
	return code;
}

/* What isn't given stays; but a calibration ends the term of the one before. */
static int calibrate(struct change *change, struct fw_trail *trail, const struct fw_shop_gauge *old,
                     struct fw_error *err)
{
	const struct fw_gauge_wanted *wanted = change->wanted;
	struct fw_shop_gauge gauge = *old;
	int code = FW_OK;

	gauge.calibrated = (char *)wanted->calibrated;
	gauge.due = (char *)wanted->due;
	if (wanted->source)
		gauge.source = (char *)wanted->source;
	if (old->due && !wanted->due)
		return fw_fail(err, FW_ERR_INPUT,
		               "until when may %s be used? give --due DAY, or --due none for no such day",
		               old->id);
	if (wanted->due && strcmp(wanted->due, "none") == 0)
		gauge.due = NULL;
	if (wanted->resolution)
		code = read_resolution(&gauge, wanted->resolution, err);
	if (code == FW_OK && wanted->error)
		code = read_error(&gauge, wanted->error, err);
	if (code == FW_OK)
		code = fw_shop_gauge_record(trail, &gauge, wanted->who, NULL, err);
	if (code == FW_OK)
		say(change, &gauge);
	return code;
}

static int calibrated(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct change *change = context;
	const char *id = change->wanted->id;
	struct fw_shop_gauges gauges = {0};
	int code = fw_shop_gauges_read(&gauges, trail, err);

	if (code != FW_OK)
		return code;
	const struct fw_shop_gauge *old = fw_shop_gauge_find(&gauges, id);
	if (old)
		code = calibrate(change, trail, old, err);
	else
		code = fw_fail(err, FW_ERR_NOT_FOUND,
		               "no gauge '%.60s' is registered; 'fitwright gauge list' shows them", id);
	fw_shop_gauges_free(&gauges);
	return code;
}

static int bad(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct change *change = context;
	const struct fw_gauge_wanted *wanted = change->wanted;

	snprintf(change->said, sizeof change->said,
	         "%.60s is found bad from %.20s on. What it read since: fitwright gauge uses %.60s "
	         "--from %.20s",
	         wanted->id, wanted->from, wanted->id, wanted->from);
	return fw_shop_gauge_bad(trail, wanted->id, wanted->from, wanted->reason, wanted->who, NULL,
	                         err);
}

static int retire(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct change *change = context;
	const struct fw_gauge_wanted *wanted = change->wanted;

	snprintf(change->said, sizeof change->said, "%.60s is out of use.", wanted->id);
	return fw_shop_gauge_retire(trail, wanted->id, wanted->reason, wanted->who, NULL, err);
}

static int carry_out(const struct fw_cli *cli, enum fw_trail_mode mode, fw_cli_use *use,
                     const struct fw_gauge_wanted *wanted)
{
	struct change change = {.wanted = wanted};
	int status = fw_cli_with_trail(cli, mode, use, &change);

	if (status == FW_EXIT_FINE)
		puts(change.said);
	return status;
}

int fw_gauge_add(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	return carry_out(cli, FW_TRAIL_CREATE, add, wanted);
}

int fw_gauge_calibrated(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	return carry_out(cli, FW_TRAIL_WRITE, calibrated, wanted);
}

int fw_gauge_bad(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	return carry_out(cli, FW_TRAIL_WRITE, bad, wanted);
}

int fw_gauge_retire(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted)
{
	return carry_out(cli, FW_TRAIL_WRITE, retire, wanted);
}
