/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit says about the gauges that readings were taken with. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "audit_internal.h"
#include "base/day.h"
#include "base/text.h"
#include "job/gauge.h"

/* What is wrong with readings of one gauge, said once for all of them. */
enum fault { OVERDUE, BAD, UNLIKE };

struct group {
	enum fault fault;
	char id[FW_GAUGE_ID_MOST + 1];
	int64_t entry; /* of the shop's log: the figures, or the finding that it is bad */
	int64_t seq;   /* of the first reading */
	size_t count;
	const char *step; /* of the first reading; borrowed */
	char detail[300];
};

struct gauges {
	struct fw_audit *audit;
	const struct fw_records *records;
	struct fw_shop_gauges shelf;
	struct group *group;
	size_t groups;
	size_t typical; /* readings off gauges that aren't registered */
	int64_t first_typical;
};

/* ---- one reading ---- */

static struct group *group_of(struct gauges *gauges, enum fault fault,
                              const struct fw_answer_gauge *gauge, int64_t entry,
                              const struct fw_record *record)
{
	for (size_t i = 0; i < gauges->groups; i++) {
		struct group *group = &gauges->group[i];
		if (group->fault == fault && group->entry == entry && strcmp(group->id, gauge->id) == 0)
			return group;
	}
	struct group *list = realloc(gauges->group, (gauges->groups + 1) * sizeof *list);
	if (!list)
		return NULL;
	gauges->group = list;
	struct group *group = &list[gauges->groups++];
	*group =
	    (struct group){.fault = fault, .entry = entry, .seq = record->seq, .step = record->step};
	snprintf(group->id, sizeof group->id, "%s", gauge->id);
	return group;
}

static bool same_text(const char *a, const char *b)
{
	return a && b ? strcmp(a, b) == 0 : a == b;
}

/* What was recorded with the reading against what the shop's log says in that entry. */
static bool is_alike(const struct fw_answer_gauge *gauge, const struct fw_shop_gauge *then)
{
	return then && strcmp(gauge->id, then->id) == 0 && strcmp(gauge->kind, then->kind) == 0 &&
	       gauge->resolution == then->resolution && gauge->error == then->error &&
	       gauge->relative == then->relative && same_text(gauge->calibrated, then->calibrated) &&
	       same_text(gauge->due, then->due) && same_text(gauge->source, then->source);
}

static bool add(struct gauges *gauges, enum fault fault, const struct fw_answer_gauge *gauge,
                int64_t entry, const struct fw_record *record, const char *detail)
{
	struct group *group = group_of(gauges, fault, gauge, entry, record);

	if (!group)
		return false;
	if (group->count++ == 0)
		snprintf(group->detail, sizeof group->detail, "%s", detail);
	return true;
}

static bool on_registered(struct gauges *gauges, const struct fw_answer_gauge *gauge,
                          const struct fw_record *record)
{
	char detail[300], since[FW_DAY], day[FW_DAY];
	bool fine = true;

	if (strlen(gauge->id) > FW_GAUGE_ID_MOST || !fw_day_of(day, record->at))
		return true; /* said elsewhere: the reading isn't of this form */
	if (!is_alike(gauge, fw_shop_gauge_at(&gauges->shelf, gauge->entry))) {
		snprintf(detail, sizeof detail,
		         "what is recorded of gauge %s isn't what entry %lld of the "
		         "shop's log says of it",
		         gauge->id, (long long)gauge->entry);
		fine = add(gauges, UNLIKE, gauge, gauge->entry, record, detail);
	}
	if (fine && fw_day_check(gauge->due) && strcmp(day, gauge->due) > 0) {
		fw_day_next(since, gauge->due);
		snprintf(detail, sizeof detail, "gauge %s was overdue since %s", gauge->id, since);
		fine = add(gauges, OVERDUE, gauge, gauge->entry, record, detail);
	}
	const struct fw_gauge_bad *bad =
	    fw_shop_gauge_distrusted(&gauges->shelf, gauge->id, gauge->entry, record->at);
	if (fine && bad) {
		snprintf(detail, sizeof detail, "gauge %s was found bad from %s on (%.*s)", gauge->id,
		         bad->from, fw_utf8_fit(bad->reason, 200), bad->reason);
		fine = add(gauges, BAD, gauge, bad->entry, record, detail);
	}
	return fine;
}

static bool on_answer(struct gauges *gauges, const struct fw_record *record)
{
	struct fw_answer_gauge gauge;

	if (!json_is_string(json_object_get(record->ask, "gauge")) || !record->at || !record->step)
		return true;
	if (!fw_json_answer_gauge(&gauge, record->value))
		return true; /* the replay says that it doesn't fit */
	if (gauge.id)
		return on_registered(gauges, &gauge, record);
	if (gauges->typical++ == 0)
		gauges->first_typical = record->seq;
	return true;
}

static void say_groups(const struct gauges *gauges)
{
	static const struct {
		enum fw_audit_weight weight;
		const char *means;
	} faults[] = {
	    [OVERDUE] = {FW_AUDIT_OPEN, "nobody knows whether it still read true: have it calibrated, "
	                                "and judge these readings by what is found"},
	    [BAD] = {FW_AUDIT_OPEN, "these readings aren't to be trusted, nor what rests on them: take "
	                            "them again, or show that it doesn't matter"},
	    [UNLIKE] = {FW_AUDIT_BROKEN, "the uncertainty of these readings rests on figures that "
	                                 "nobody recorded"},
	};
	char what[512];

	for (size_t i = 0; i < gauges->groups; i++) {
		const struct group *group = &gauges->group[i];
		snprintf(what, sizeof what, "%s; %zu reading%s taken with it, the first at '%.80s'",
		         group->detail, group->count, group->count == 1 ? " was" : "s were", group->step);
		fw_audit_say(gauges->audit, faults[group->fault].weight, group->seq, what,
		             faults[group->fault].means);
	}
}

static void say_typical(const struct gauges *gauges)
{
	char what[256];

	if (gauges->typical == 0)
		return;
	snprintf(what, sizeof what,
	         "%zu reading%s taken with a gauge that isn't in the shop's register", gauges->typical,
	         gauges->typical == 1 ? " was" : "s were");
	fw_audit_say(gauges->audit, FW_AUDIT_NOTE, gauges->first_typical, what,
	             "what such a gauge reads to is taken from the sheet, or as is typical; no "
	             "calibration stands behind it");
}

/* ---- gauges against limits ---- */

static double si_of(const json_t *object, const char *key)
{
	const json_t *si = json_object_get(json_object_get(object, key), "si");
	return json_is_number(si) ? json_number_value(si) : NAN;
}

static bool is_finding(const struct fw_record *record, const char *find)
{
	return !record->struck && fw_record_is(record, "finding") &&
	       same_text(json_string_value(json_object_get(record->ask, "find")), find);
}

/* Whether no later finding of the same step says it again. */
static bool is_last(const struct fw_records *records, size_t at, const char *find)
{
	for (size_t i = at + 1; i < records->count; i++)
		if (is_finding(&records->list[i], find) &&
		    same_text(records->list[i].step, records->list[at].step))
			return false;
	return true;
}

static double width_of(const struct fw_record *verdict)
{
	const json_t *limits = json_object_get(verdict->ask, "limits");
	return si_of(limits, "max") - si_of(limits, "min");
}

/* Whether a check further on judges by limits of this width, and speaks for the gauges itself. */
static bool is_judged(const struct fw_records *records, size_t at, double width)
{
	for (size_t i = at + 1; i < records->count; i++)
		if (is_finding(&records->list[i], "verdict") &&
		    json_object_get(records->list[i].value, "steps") &&
		    fabs(width_of(&records->list[i]) - width) <= 1e-9 * width)
			return true;
	return false;
}

static void say_coarse(struct gauges *gauges, const struct fw_record *record,
                       const struct fw_gauge_fit *fit, bool within)
{
	char text[256], what[512];

	fw_gauge_fit_text(fit, text, sizeof text);
	bool open = fw_gauge_fit_unsure(fit) && !within;
	snprintf(what, sizeof what, "coarsely measured for its limits: '%.80s': %s",
	         record->step ? record->step : "?", text);
	fw_audit_say(gauges->audit, open ? FW_AUDIT_OPEN : FW_AUDIT_NOTE, record->seq, what,
	             open ? "a finer gauge would judge it better; the uncertainty counts it"
	                  : "the uncertainty counts it, and so does the verdict");
}

static bool is_short(const struct fw_gauge_fit *fit)
{
	return fw_gauge_fit_coarse(fit) || fw_gauge_fit_unsure(fit);
}

static bool may_look(const struct gauges *gauges, size_t at)
{
	return fw_audit_may_look(gauges->audit, 2 * (gauges->records->count - at));
}

static void on_verdict(struct gauges *gauges, size_t at)
{
	const struct fw_record *record = &gauges->records->list[at];
	const char *verdict = json_string_value(json_object_get(record->value, "verdict"));
	const struct fw_gauge_fit fit = {
	    json_number_value(json_object_get(record->value, "steps")),
	    json_number_value(json_object_get(record->value, "ratio")),
	};

	if (is_short(&fit) && (!may_look(gauges, at) || is_last(gauges->records, at, "verdict")))
		say_coarse(gauges, record, &fit, same_text(verdict, "within"));
}

static void on_measurement(struct gauges *gauges, size_t at, double width)
{
	const struct fw_record *record = &gauges->records->list[at];
	const json_t *gauge = json_object_get(record->ask, "gauge");
	double relative = json_number_value(json_object_get(gauge, "relative"));
	double error = si_of(gauge, "error");

	if (relative > 0)
		error += relative * fabs(si_of(record->value, "quantity"));
	const struct fw_gauge_fit fit = fw_gauge_fit_of(width, si_of(gauge, "resolution"), error);
	if (is_short(&fit) && (!may_look(gauges, at) || (is_last(gauges->records, at, "measurement") &&
	                                                 !is_judged(gauges->records, at, width))))
		say_coarse(gauges, record, &fit, false);
}

static void say_fits(struct gauges *gauges)
{
	const struct fw_records *records = gauges->records;
	double width = 0; /* of the limits that the reading before was for */

	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		if (record->struck)
			continue;
		if (fw_record_answers(record)) {
			double si = si_of(record->ask, "width");
			/* The question about readings that scatter comes between. */
			if (json_object_get(record->ask, "gauge"))
				width = si > 0 ? si : 0;
		} else if (is_finding(record, "measurement")) {
			on_measurement(gauges, i, width);
		} else if (is_finding(record, "verdict")) {
			on_verdict(gauges, i);
		}
	}
}

static bool walk(struct gauges *gauges)
{
	bool fine = true;

	for (size_t i = 0; fine && i < gauges->records->count; i++) {
		const struct fw_record *record = &gauges->records->list[i];
		if (!record->struck && fw_record_answers(record))
			fine = on_answer(gauges, record);
	}
	return fine;
}

void fw_audit_gauges(struct fw_audit *audit, const struct fw_records *records)
{
	struct gauges gauges = {.audit = audit, .records = records};
	struct fw_error error = {0};

	if (audit->rules < 2)
		return; /* no gauge had a number then */
	if (fw_shop_gauges_read(&gauges.shelf, audit->trail, &error) != FW_OK) {
		fw_audit_say(audit, FW_AUDIT_BROKEN, 0, error.text,
		             "what was recorded of the gauges can't be read");
		return;
	}
	if (walk(&gauges)) {
		say_groups(&gauges);
		say_typical(&gauges);
		say_fits(&gauges);
	} else {
		fw_audit_say(audit, FW_AUDIT_BROKEN, 0, "out of memory while its gauges were looked at",
		             "the audit isn't complete");
	}
	free(gauges.group);
	fw_shop_gauges_free(&gauges.shelf);
}
