/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The register of gauges, folded out of the shop's log. */
#include "fitwright/gauges.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/text.h"
#include "shop/gauge_json.h"
#include "shop/words.h"

static int order_of(const char *a, const char *b)
{
	while (*a && fw_ascii_lower(*a) == fw_ascii_lower(*b)) {
		a++;
		b++;
	}
	return (unsigned char)fw_ascii_lower(*a) - (unsigned char)fw_ascii_lower(*b);
}

void fw_shop_gauge_clear(struct fw_shop_gauge *gauge)
{
	free(gauge->id);
	free(gauge->kind);
	free(gauge->unit);
	free(gauge->calibrated);
	free(gauge->due);
	free(gauge->source);
	free(gauge->bad_from);
	free(gauge->retired);
	memset(gauge, 0, sizeof *gauge);
}

void fw_shop_gauges_free(struct fw_shop_gauges *gauges)
{
	for (size_t i = 0; i < gauges->count; i++)
		fw_shop_gauge_clear(&gauges->list[i]);
	for (size_t i = 0; i < gauges->pasts; i++)
		fw_shop_gauge_clear(&gauges->past[i]);
	for (size_t i = 0; i < gauges->bads; i++) {
		free(gauges->bad[i].id);
		free(gauges->bad[i].from);
		free(gauges->bad[i].reason);
	}
	free(gauges->list);
	free(gauges->past);
	free(gauges->bad);
	memset(gauges, 0, sizeof *gauges);
}

static struct fw_shop_gauge *find(const struct fw_shop_gauges *gauges, const char *id)
{
	for (size_t i = 0; id && i < gauges->count; i++)
		if (fw_words_alike(gauges->list[i].id, id))
			return &gauges->list[i];
	return NULL;
}

const struct fw_shop_gauge *fw_shop_gauge_find(const struct fw_shop_gauges *gauges, const char *id)
{
	return find(gauges, id);
}

const struct fw_shop_gauge *fw_shop_gauge_at(const struct fw_shop_gauges *gauges, int64_t entry)
{
	for (size_t i = 0; i < gauges->pasts; i++)
		if (gauges->past[i].entry == entry)
			return &gauges->past[i];
	return NULL;
}

const struct fw_gauge_bad *fw_shop_gauge_distrusted(const struct fw_shop_gauges *gauges,
                                                    const char *id, int64_t entry, const char *at)
{
	for (size_t i = gauges->bads; i > 0; i--) {
		const struct fw_gauge_bad *bad = &gauges->bad[i - 1];
		if (bad->entry > entry && fw_words_alike(bad->id, id) &&
		    strncmp(at, bad->from, FW_DAY - 1) >= 0)
			return bad;
	}
	return NULL;
}

/* Room for one more at the end of a list of `size` bytes each. */
static void *room_for_one(void *list, size_t count, size_t size)
{
	/* A list is full when its length is a power of two. */
	if ((count & (count - 1)) != 0)
		return list;
	return realloc(list, (count ? 2 * count : 1) * size);
}

static int keep_past(struct fw_shop_gauges *out, const json_t *value, const struct fw_entry *entry,
                     struct fw_error *err)
{
	struct fw_shop_gauge *past = room_for_one(out->past, out->pasts, sizeof *past);

	if (!past)
		return fw_no_memory(err);
	out->past = past;
	int code = fw_gauge_json_read(&past[out->pasts], value, err);
	if (code == FW_OK)
		past[out->pasts++].entry = entry->seq;
	return code;
}

static int on_gauge(struct fw_shop_gauges *out, const json_t *value, const struct fw_entry *entry,
                    struct fw_error *err)
{
	struct fw_shop_gauge gauge;
	int code = keep_past(out, value, entry, err);

	if (code == FW_OK)
		code = fw_gauge_json_read(&gauge, value, err);
	if (code != FW_OK)
		return code;
	gauge.entry = entry->seq;
	struct fw_shop_gauge *old = find(out, gauge.id);
	if (old) {
		fw_shop_gauge_clear(old);
		*old = gauge;
		return FW_OK;
	}
	struct fw_shop_gauge *list = room_for_one(out->list, out->count, sizeof *list);
	if (!list) {
		fw_shop_gauge_clear(&gauge);
		return fw_no_memory(err);
	}
	out->list = list;
	size_t at = out->count++;
	for (; at > 0 && order_of(list[at - 1].id, gauge.id) > 0; at--)
		list[at] = list[at - 1];
	list[at] = gauge;
	return FW_OK;
}

/* Puts a copy of `text` in the place of what was there. */
static int set_text(char **out, const char *text, struct fw_error *err)
{
	char *copy = strdup(text);

	if (!copy)
		return fw_no_memory(err);
	free(*out);
	*out = copy;
	return FW_OK;
}

/* The gauge that the entry is about. */
static int find_named(struct fw_shop_gauge **out, const struct fw_shop_gauges *gauges,
                      const json_t *value, struct fw_error *err)
{
	const char *id = json_string_value(json_object_get(value, "id"));

	*out = find(gauges, id);
	return *out ? FW_OK : fw_fail(err, FW_ERR_TRAIL, "it names no gauge that was recorded before");
}

static int on_bad(struct fw_shop_gauges *out, const json_t *value, const struct fw_entry *entry,
                  struct fw_error *err)
{
	const char *from = json_string_value(json_object_get(value, "from"));
	const char *reason = json_string_value(json_object_get(value, "reason"));
	struct fw_shop_gauge *gauge;
	int code = find_named(&gauge, out, value, err);

	if (code != FW_OK)
		return code;
	if (!from || !fw_day_check(from) || !reason)
		return fw_fail(err, FW_ERR_TRAIL, "it doesn't say from which day, or why");
	struct fw_gauge_bad *bad = room_for_one(out->bad, out->bads, sizeof *bad);
	if (!bad)
		return fw_no_memory(err);
	out->bad = bad;
	bad[out->bads] = (struct fw_gauge_bad){.entry = entry->seq};
	out->bads++;
	code = set_text(&bad[out->bads - 1].id, gauge->id, err);
	if (code == FW_OK)
		code = set_text(&bad[out->bads - 1].from, from, err);
	if (code == FW_OK)
		code = set_text(&bad[out->bads - 1].reason, reason, err);
	/* Of two findings with the same figures, the one that reaches further back. */
	if (code == FW_OK && (!gauge->bad_from || strcmp(from, gauge->bad_from) < 0))
		code = set_text(&gauge->bad_from, from, err);
	return code;
}

static int on_retired(struct fw_shop_gauges *out, const json_t *value, const struct fw_entry *entry,
                      struct fw_error *err)
{
	char day[FW_DAY];
	struct fw_shop_gauge *gauge;
	int code = find_named(&gauge, out, value, err);

	if (code == FW_OK && !fw_day_of(day, entry->at))
		code = fw_fail(err, FW_ERR_TRAIL, "its time can't be read");
	return code == FW_OK ? set_text(&gauge->retired, day, err) : code;
}

struct reading {
	struct fw_shop_gauges *out;
	struct fw_error *err;
};

static int on_entry(void *context, const struct fw_entry *entry)
{
	static const struct {
		const char *kind;
		int (*take)(struct fw_shop_gauges *out, const json_t *value, const struct fw_entry *entry,
		            struct fw_error *err);
	} kinds[] = {{"gauge", on_gauge}, {"gauge-bad", on_bad}, {"gauge-retired", on_retired}};
	struct reading *reading = context;

	reading->out->entries = entry->seq;
	for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
		if (!entry->kind || strcmp(kinds[i].kind, entry->kind) != 0)
			continue;
		json_t *value =
		    entry->value ? json_loads(entry->value, JSON_REJECT_DUPLICATES, NULL) : NULL;
		int code = kinds[i].take(reading->out, value, entry, reading->err);
		json_decref(value);
		if (code != FW_OK)
			fw_error_prefix(reading->err, "shop's log, entry %lld (%s): ", (long long)entry->seq,
			                entry->kind);
		return code;
	}
	return 0;
}

int fw_shop_gauges_read(struct fw_shop_gauges *out, struct fw_trail *trail, struct fw_error *err)
{
	struct reading reading = {out, err};

	memset(out, 0, sizeof *out);
	int code = fw_trail_walk(trail, FW_SHOP, on_entry, &reading, err);
	if (code == FW_ERR_NOT_FOUND) { /* a trail of format 1 */
		fw_error_clear(err);
		return FW_OK;
	}
	if (code != FW_OK)
		fw_shop_gauges_free(out);
	return code;
}

bool fw_shop_gauge_barred(const struct fw_shop_gauge *gauge, const char *at, char *why, size_t size)
{
	char none[1];

	if (!why) {
		why = none;
		size = sizeof none;
	}
	if (gauge->retired && strncmp(at, gauge->retired, FW_DAY - 1) >= 0)
		snprintf(why, size, "retired on %s", gauge->retired);
	else if (gauge->bad_from && strncmp(at, gauge->bad_from, FW_DAY - 1) >= 0)
		snprintf(why, size, "found bad from %s on", gauge->bad_from);
	else
		return false;
	return true;
}

bool fw_shop_gauge_usable(const struct fw_shop_gauge *gauge, const char *at, char *why, size_t size)
{
	char since[FW_DAY];

	if (fw_shop_gauge_barred(gauge, at, why, size))
		return false;
	if (!gauge->due || strncmp(at, gauge->due, FW_DAY - 1) <= 0)
		return true;
	fw_day_next(since, gauge->due);
	if (why)
		snprintf(why, size, "overdue since %s", since);
	return false;
}
