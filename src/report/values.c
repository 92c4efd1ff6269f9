/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the JSON of a trail holds, taken out of it with care. */
#include <math.h>
#include <string.h>

#include "fitwright/quantity.h"
#include "report/model.h"
#include "report/put.h"

const char *fw_get_text(const json_t *object, const char *key)
{
	return json_string_value(json_object_get(object, key));
}

double fw_get_number(const json_t *object, const char *key)
{
	const json_t *found = json_object_get(object, key);

	return json_is_number(found) ? json_number_value(found) : NAN;
}

bool fw_get_true(const json_t *object, const char *key)
{
	return json_is_true(json_object_get(object, key));
}

int64_t fw_get_whole(const json_t *object, const char *key, int64_t fallback)
{
	const json_t *found = json_object_get(object, key);

	return json_is_integer(found) ? (int64_t)json_integer_value(found) : fallback;
}

bool fw_report_quantity(struct fw_report_quantity *out, const json_t *json)
{
	double u = fw_get_number(json, "u");
	const char *symbol = fw_get_text(json, "unit");
	const struct fw_unit *unit = symbol ? fw_unit_find(symbol, strlen(symbol)) : NULL;

	out->si = fw_get_number(json, "si");
	out->u = isfinite(u) && u > 0 ? u : 0;
	out->text = fw_get_text(json, "text");
	out->unit = unit ? unit->symbol : "";
	out->factor = unit ? unit->factor : 1;
	out->offset = unit ? unit->offset : 0;
	return isfinite(out->si);
}

double fw_report_in(const struct fw_report_quantity *scale, double si)
{
	return (si - scale->offset) / scale->factor;
}

/* Decimals of the number that `text` begins with. */
static int decimals_of(const char *text)
{
	size_t whole = strspn(text, "+-0123456789");

	return text[whole] == '.' ? (int)strspn(text + whole + 1, "0123456789") : 0;
}

/* Two significant figures of the uncertainty, or one where the value has no more decimals than
 * that. */
static const char *spread_text(char *buffer, size_t size, double spread, const char *value)
{
	int places = 1 - (int)floor(log10(spread));
	int own = decimals_of(value);

	if (places > own)
		places = places - 1 > own ? places - 1 : own;
	return places > 12 ? fw_report_two_figures(buffer, size, spread)
	                   : fw_report_decimal(buffer, size, spread, places);
}

/* "0.406 mm" to "0.406 ± 0.024 mm": the unit stands behind both. */
static void add_spread(char *buffer, size_t size, const struct fw_report_quantity *q,
                       const char *symbol)
{
	char spread[64], unit[64];
	size_t used = strlen(buffer), tail = strlen(symbol) + 1;
	bool own = symbol[0] && used > tail && tail < sizeof unit && buffer[used - tail] == ' ' &&
	           strcmp(buffer + used - tail + 1, symbol) == 0;

	fw_report_print(unit, sizeof unit, "%s", own ? buffer + used - tail : "");
	if (own)
		used -= tail;
	spread_text(spread, sizeof spread, 2 * q->u / q->factor, buffer);
	fw_report_print(buffer + used, size - used, " ± %s%s", spread, unit);
}

const char *fw_report_quantity_text(char *buffer, size_t size, const json_t *json, bool with_u)
{
	struct fw_report_quantity q;
	char number[64];
	bool known = fw_report_quantity(&q, json);

	buffer[0] = '\0';
	if (q.text)
		fw_report_print(buffer, size, "%s", q.text);
	else if (known)
		fw_report_print(buffer, size, "%s %s",
		                fw_report_plain(number, sizeof number, fw_report_in(&q, q.si)), q.unit);
	if (known && with_u && q.u > 0 && !strstr(buffer, "±")) {
		const char *symbol = fw_get_text(json, "unit");
		add_spread(buffer, size, &q, q.text && symbol && q.unit[0] ? symbol : q.unit);
	}
	return buffer;
}

const char *fw_report_limits_text(char *buffer, size_t size, const json_t *limits)
{
	char min[128], max[128], aim[128];

	fw_report_quantity_text(min, sizeof min, json_object_get(limits, "min"), false);
	fw_report_quantity_text(max, sizeof max, json_object_get(limits, "max"), false);
	fw_report_quantity_text(aim, sizeof aim, json_object_get(limits, "aim"), false);
	const char *comma = aim[0] ? ", aim " : "";
	if (min[0] && max[0])
		fw_report_print(buffer, size, "%s to %s%s%s", min, max, comma, aim);
	else if (min[0] || max[0])
		fw_report_print(buffer, size, "%s %s%s%s", min[0] ? "at least" : "at most",
		                min[0] ? min : max, comma, aim);
	else
		fw_report_print(buffer, size, "%s%s", aim[0] ? "aim " : "", aim);
	return buffer;
}

static const char *understood_sign(char *buffer, size_t size, const json_t *value)
{
	const char *role = fw_get_text(value, "role");
	const char *meaning = fw_get_text(value, "meaning");

	fw_report_print(buffer, size, "signed%s%s%s%s", role ? " as " : "", role ? role : "",
	                meaning ? ": " : "", meaning ? meaning : "");
	return buffer;
}

static const char *understood_lapse(char *buffer, size_t size, const json_t *value)
{
	const json_t *list = json_object_get(value, "entries"), *seq;
	size_t i, used;

	fw_report_print(buffer, size, json_array_size(list) == 1 ? "entry" : "entries");
	json_array_foreach(list, i, seq)
	{
		used = strlen(buffer);
		if (size - used < 40) {
			fw_report_print(buffer + used, size - used, " …");
			break;
		}
		fw_report_print(buffer + used, size - used, "%s %lld", i ? "," : "",
		                (long long)json_integer_value(seq));
	}
	used = strlen(buffer);
	fw_report_print(buffer + used, size - used, ": asked again, or not at all");
	return buffer;
}

const char *fw_report_bytes(char *buffer, size_t size, int64_t bytes)
{
	char number[64];

	if (bytes < 0)
		fw_report_print(buffer, size, "size not known");
	else if (bytes < 10240)
		fw_report_print(buffer, size, "%lld bytes", (long long)bytes);
	else if (bytes < 1048576)
		fw_report_print(buffer, size, "%lld KiB", (long long)(bytes / 1024));
	else
		fw_report_print(buffer, size, "%s MiB",
		                fw_report_decimal(number, sizeof number, (double)bytes / 1048576.0, 1));
	return buffer;
}

static const char *understood_evidence(char *buffer, size_t size, const json_t *value)
{
	const char *name = fw_get_text(value, "name"), *kind = fw_get_text(value, "kind");
	char bytes[64];

	fw_report_print(buffer, size, "%.300s, %.60s, %s", name ? name : "no name",
	                kind ? kind : "kind not known",
	                fw_report_bytes(bytes, sizeof bytes, fw_get_whole(value, "size", -1)));
	return buffer;
}

const char *fw_report_understood(char *buffer, size_t size, const struct fw_report_entry *entry)
{
	const json_t *value = entry->value;
	const char *option = fw_get_text(value, "option");
	const char *text = fw_get_text(value, "text");

	buffer[0] = '\0';
	if (fw_report_is(entry, "sign") || fw_report_is(entry, "reopen"))
		return understood_sign(buffer, size, value);
	if (fw_report_is(entry, "lapse"))
		return understood_lapse(buffer, size, value);
	if (fw_report_is(entry, "evidence"))
		return understood_evidence(buffer, size, value);
	if (fw_report_is(entry, "withdraw"))
		fw_report_print(buffer, size, "entry %lld and what followed taken back",
		                (long long)fw_get_whole(value, "entry", 0));
	else if (option || text)
		return option ? option : text;
	else if (json_object_get(value, "quantity"))
		return fw_report_quantity_text(buffer, size, json_object_get(value, "quantity"), false);
	else if (fw_get_true(value, "done"))
		return "done";
	else if (entry->value_text)
		return entry->value_text;
	return buffer;
}

/* "2026-03-05T14:03:11.250Z": digits where digits belong. */
static bool looks_like_time(const char *at)
{
	static const char shape[] = "dddd-dd-ddTdd:dd:dd";

	for (size_t i = 0; i < sizeof shape - 1; i++) {
		bool digit = at[i] >= '0' && at[i] <= '9';
		if (shape[i] == 'd' ? !digit : at[i] != shape[i])
			return false;
	}
	return true;
}

/* Days since 1970 of a day of the calendar (civil calendar: days before March count to the year
 * before). */
static int64_t day_number(int64_t year, int64_t month, int64_t day)
{
	int64_t y = month <= 2 ? year - 1 : year;
	int64_t era = y / 400, in_era = y % 400;
	int64_t in_year = (153 * (month > 2 ? month - 3 : month + 9) + 2) / 5 + day - 1;

	return era * 146097 + in_era * 365 + in_era / 4 - in_era / 100 + in_year - 719468;
}

static int64_t digits(const char *at, size_t from, size_t count)
{
	int64_t value = 0;

	for (size_t i = from; i < from + count; i++)
		value = 10 * value + (at[i] - '0');
	return value;
}

static int64_t seconds_of(const char *at)
{
	return 86400 * day_number(digits(at, 0, 4), digits(at, 5, 2), digits(at, 8, 2)) +
	       3600 * digits(at, 11, 2) + 60 * digits(at, 14, 2) + digits(at, 17, 2);
}

const char *fw_report_span(char *buffer, size_t size, const char *from, const char *to)
{
	buffer[0] = '\0';
	if (!from || !to || !looks_like_time(from) || !looks_like_time(to))
		return buffer;
	int64_t span = seconds_of(to) - seconds_of(from);
	if (span < 0)
		return buffer;
	if (span < 60)
		fw_report_print(buffer, size, "%lld s", (long long)span);
	else if (span < 3600)
		fw_report_print(buffer, size, "%lld min", (long long)(span / 60));
	else if (span < INT64_C(172800)) /* two days */
		fw_report_print(buffer, size, "%lld h %lld min", (long long)(span / 3600),
		                (long long)(span / 60 % 60));
	else
		fw_report_print(buffer, size, "%lld days", (long long)(span / 86400));
	return buffer;
}

const char *fw_report_time(char *buffer, size_t size, const char *at, bool seconds)
{
	if (!at || !looks_like_time(at))
		fw_report_print(buffer, size, "%s", at ? at : "");
	else if (seconds)
		fw_report_print(buffer, size, "%.8s", at + 11);
	else
		fw_report_print(buffer, size, "%.10s %.5s UTC", at, at + 11);
	return buffer;
}
