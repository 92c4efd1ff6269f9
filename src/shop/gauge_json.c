/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/gauge_json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "fitwright/quantity.h"
#include "shop/log.h"

static int check_id(const char *id, struct fw_error *err)
{
	static const char allowed[] =
	    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.";
	size_t length = id ? strlen(id) : 0;

	if (length == 0 || length > FW_GAUGE_ID_MOST || strspn(id, allowed) != length)
		return fw_fail(
		    err, FW_ERR_ARGUMENT,
		    "the number of a gauge has letters, digits, '-', '_' and '.', %d at most, such "
		    "as DI-2; not '%.60s'",
		    FW_GAUGE_ID_MOST, id ? id : "");
	if (strcmp(id, "none") == 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "'none' is what is typed for no gauge; give it another number");
	return FW_OK;
}

static int check_figures(const struct fw_shop_gauge *gauge, struct fw_error *err)
{
	const struct fw_unit *unit =
	    gauge->unit ? fw_unit_find(gauge->unit, strlen(gauge->unit)) : NULL;

	if (!unit)
		return fw_fail(err, FW_ERR_ARGUMENT, "'%.40s' is no unit that is known here",
		               gauge->unit ? gauge->unit : "");
	if (unit->offset != 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "resolution and error of a thermometer are differences: write 1 K");
	if (!(gauge->resolution > 0) || !isfinite(gauge->resolution))
		return fw_fail(err, FW_ERR_ARGUMENT, "the resolution of a gauge must be above 0");
	if (!(gauge->error >= 0) || !isfinite(gauge->error))
		return fw_fail(err, FW_ERR_ARGUMENT, "the limit of error of a gauge must be 0 or more");
	if (!(gauge->relative >= 0) || !(gauge->relative <= 1))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "an error that grows with the reading is between 0 and 100 %% of it");
	if (gauge->relative > 0 && unit->dimension.temperature != 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "the error of a thermometer doesn't grow with the reading: give it in K");
	return FW_OK;
}

static int check_days(const struct fw_shop_gauge *gauge, struct fw_error *err)
{
	if (gauge->calibrated && !fw_day_check(gauge->calibrated))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "calibrated '%.40s': a day of the calendar is written 2026-03-01",
		               gauge->calibrated);
	if (gauge->due && !fw_day_check(gauge->due))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "due '%.40s': a day of the calendar is written 2027-03-01", gauge->due);
	if (gauge->calibrated && gauge->due && strcmp(gauge->due, gauge->calibrated) < 0)
		return fw_fail(err, FW_ERR_ARGUMENT, "due %s lies before the calibration of %s", gauge->due,
		               gauge->calibrated);
	return FW_OK;
}

int fw_gauge_check(const struct fw_shop_gauge *gauge, struct fw_error *err)
{
	int code = check_id(gauge->id, err);

	if (code == FW_OK)
		code = fw_shop_check_words("the kind of a gauge", gauge->kind, err);
	if (code == FW_OK && strlen(gauge->kind) > FW_GAUGE_KIND_MOST)
		code = fw_fail(err, FW_ERR_ARGUMENT, "the kind of a gauge is longer than %d bytes",
		               FW_GAUGE_KIND_MOST);
	if (code == FW_OK)
		code = check_figures(gauge, err);
	if (code == FW_OK)
		code = check_days(gauge, err);
	if (code == FW_OK && gauge->source)
		code = fw_shop_check_words("the source of its figures", gauge->source, err);
	return code;
}

static json_t *quantity_json(double si, const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_span(si, unit);
	char text[64];

	return json_pack("{s:f, s:s, s:s}", "si", si, "unit", q.unit->symbol, "text",
	                 fw_quantity_text(&q, false, text, sizeof text));
}

json_t *fw_gauge_json(const struct fw_shop_gauge *gauge)
{
	const struct fw_unit *unit = fw_unit_find(gauge->unit, strlen(gauge->unit));
	json_t *relative = gauge->relative > 0 ? json_real(gauge->relative) : NULL;

	return json_pack("{s:s, s:s, s:o, s:o, s:o*, s:s, s:s*, s:s*, s:s*}", "id", gauge->id, "kind",
	                 gauge->kind, "resolution", quantity_json(gauge->resolution, unit), "error",
	                 quantity_json(gauge->error, unit), "relative", relative, "unit", unit->symbol,
	                 "calibrated", gauge->calibrated, "due", gauge->due, "source", gauge->source);
}

/* NULL for a key that is absent; false when it isn't a text, or memory is short. */
static bool take_text(char **out, const json_t *value, const char *key)
{
	const json_t *text = json_object_get(value, key);

	*out = json_is_string(text) ? strdup(json_string_value(text)) : NULL;
	return !text || *out;
}

static double si_of(const json_t *value, const char *key)
{
	const json_t *si = json_object_get(json_object_get(value, key), "si");
	return json_is_number(si) ? json_number_value(si) : NAN;
}

int fw_gauge_json_read(struct fw_shop_gauge *out, const json_t *value, struct fw_error *err)
{
	const json_t *relative = json_object_get(value, "relative");

	memset(out, 0, sizeof *out);
	out->resolution = si_of(value, "resolution");
	out->error = si_of(value, "error");
	out->relative = json_number_value(relative);
	bool taken = (!relative || json_is_number(relative)) && take_text(&out->id, value, "id") &&
	             take_text(&out->kind, value, "kind") && take_text(&out->unit, value, "unit") &&
	             take_text(&out->calibrated, value, "calibrated") &&
	             take_text(&out->due, value, "due") && take_text(&out->source, value, "source");
	int code = taken ? fw_gauge_check(out, err)
	                 : fw_fail(err, FW_ERR_TRAIL, "a key of it isn't what it should be");
	if (code != FW_OK) {
		fw_shop_gauge_clear(out);
		if (err)
			err->code = FW_ERR_TRAIL;
		code = FW_ERR_TRAIL;
	}
	return code;
}
