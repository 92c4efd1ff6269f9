/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is recorded about gauges: a new one, new figures, found bad, retired. */
#include <stdio.h>
#include <string.h>

#include "base/day.h"
#include "fitwright/quantity.h"
#include "shop/gauge_json.h"
#include "shop/log.h"
#include "shop/words.h"

/* The register, the end of the log it was folded from, and the day of the new entry. */
struct desk {
	struct fw_shop_gauges gauges;
	struct fw_shop_end end;
	char at[32], today[FW_DAY], tomorrow[FW_DAY];
};

static int sit_down(struct desk *desk, struct fw_trail *trail, const char *by, const char *at,
                    struct fw_error *err)
{
	memset(desk, 0, sizeof *desk);
	int code = fw_shop_check_words("the name of who records it", by, err);
	if (code == FW_OK)
		code = fw_shop_log_end(&desk->end, trail, err);
	if (code == FW_OK)
		code = fw_shop_log_time(desk->at, &desk->end, at, err);
	if (code == FW_OK && !fw_day_of(desk->today, desk->at))
		code = fw_fail(err, FW_ERR_ARGUMENT, "'at' reads \"%.40s\", not like %s", desk->at,
		               "2026-03-05T14:03:11.250Z");
	if (code != FW_OK)
		return code;
	fw_day_next(desk->tomorrow, desk->today);
	code = fw_shop_gauges_read(&desk->gauges, trail, err);
	if (code == FW_OK && desk->gauges.entries != desk->end.seq) {
		fw_shop_gauges_free(&desk->gauges);
		code = fw_fail(err, FW_ERR_BUSY, "someone else is writing to the shop's log; try again");
	}
	return code;
}

/* Writes the value (taken over, NULL: out of memory) and clears the desk. */
static int sign_off(struct desk *desk, struct fw_trail *trail, const char *kind, const char *by,
                    json_t *value, struct fw_error *err)
{
	int code = value ? fw_shop_log_append(trail, &desk->end, kind, by, desk->at, value, err)
	                 : fw_fail(err, FW_ERR_MEMORY, "out of memory");

	json_decref(value);
	fw_shop_gauges_free(&desk->gauges);
	return code;
}

static int leave(struct desk *desk, int code)
{
	fw_shop_gauges_free(&desk->gauges);
	return code;
}

static bool same_dimension(const char *a, const char *b)
{
	const struct fw_unit *left = fw_unit_find(a, strlen(a)), *right = fw_unit_find(b, strlen(b));

	return left && right && fw_dimension_equal(left->dimension, right->dimension);
}

/* A number belongs to one gauge for ever: readings of years ago name it. */
static int check_old(const struct fw_shop_gauge *old, const struct fw_shop_gauge *gauge,
                     struct fw_error *err)
{
	if (!old)
		return FW_OK;
	if (old->retired)
		return fw_fail(
		    err, FW_ERR_STATE,
		    "%s was retired on %s, and readings name it; give another gauge another number",
		    old->id, old->retired);
	if (!fw_words_alike(old->kind, gauge->kind) || !same_dimension(old->unit, gauge->unit))
		return fw_fail(err, FW_ERR_STATE,
		               "%s is a %s read in %s; give another gauge another number", old->id,
		               old->kind, old->unit);
	return FW_OK;
}

int fw_shop_gauge_record(struct fw_trail *trail, const struct fw_shop_gauge *gauge, const char *by,
                         const char *at, struct fw_error *err)
{
	struct desk desk;
	int code = fw_gauge_check(gauge, err);

	if (code == FW_OK)
		code = sit_down(&desk, trail, by, at, err);
	if (code != FW_OK)
		return code;
	const struct fw_shop_gauge *old = fw_shop_gauge_find(&desk.gauges, gauge->id);
	code = check_old(old, gauge, err);
	/* A day ahead may be today where the clock on the wall is ahead of UTC. */
	if (code == FW_OK && gauge->calibrated && strcmp(gauge->calibrated, desk.tomorrow) > 0)
		code = fw_fail(err, FW_ERR_ARGUMENT, "calibrated %s: that day is still to come",
		               gauge->calibrated);
	if (code != FW_OK)
		return leave(&desk, code);
	struct fw_shop_gauge kept = *gauge;
	if (old) { /* as it was written first */
		kept.id = old->id;
		kept.kind = old->kind;
	}
	return sign_off(&desk, trail, "gauge", by, fw_gauge_json(&kept), err);
}

/* The gauge `id`, or NULL with `err` filled (FW_ERR_NOT_FOUND). */
static const struct fw_shop_gauge *find_gauge(const struct desk *desk, const char *id,
                                              struct fw_error *err)
{
	const struct fw_shop_gauge *gauge = fw_shop_gauge_find(&desk->gauges, id);

	if (!gauge)
		fw_fail(err, FW_ERR_NOT_FOUND,
		        "no gauge '%.60s' is in the shop's register; 'fitwright gauge list' shows them",
		        id ? id : "");
	return gauge;
}

int fw_shop_gauge_bad(struct fw_trail *trail, const char *id, const char *from, const char *reason,
                      const char *by, const char *at, struct fw_error *err)
{
	struct desk desk;

	if (!from || !fw_day_check(from))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "from '%.40s': a day of the calendar is written 2026-03-01",
		               from ? from : "");
	int code = fw_shop_check_words("the reason", reason, err);
	if (code == FW_OK)
		code = sit_down(&desk, trail, by, at, err);
	if (code != FW_OK)
		return code;
	const struct fw_shop_gauge *gauge = find_gauge(&desk, id, err);
	if (!gauge)
		return leave(&desk, FW_ERR_NOT_FOUND);
	if (strcmp(from, desk.tomorrow) > 0)
		code = fw_fail(err, FW_ERR_ARGUMENT, "from %s: that day is still to come", from);
	if (code != FW_OK)
		return leave(&desk, code);
	return sign_off(&desk, trail, "gauge-bad", by,
	                json_pack("{s:s, s:s, s:s}", "id", gauge->id, "from", from, "reason", reason),
	                err);
}

int fw_shop_gauge_retire(struct fw_trail *trail, const char *id, const char *reason, const char *by,
                         const char *at, struct fw_error *err)
{
	struct desk desk;
	int code = fw_shop_check_words("the reason", reason, err);

	if (code == FW_OK)
		code = sit_down(&desk, trail, by, at, err);
	if (code != FW_OK)
		return code;
	const struct fw_shop_gauge *gauge = find_gauge(&desk, id, err);
	if (!gauge)
		return leave(&desk, FW_ERR_NOT_FOUND);
	if (gauge->retired)
		code =
		    fw_fail(err, FW_ERR_STATE, "%s was retired on %s already", gauge->id, gauge->retired);
	if (code != FW_OK)
		return leave(&desk, code);
	return sign_off(&desk, trail, "gauge-retired", by,
	                json_pack("{s:s, s:s}", "id", gauge->id, "reason", reason), err);
}
