/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/gauge.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "fitwright/gauges.h"
#include "report/put.h"
#include "shop/gauge_rule.h"

/* Rows of the table; a trail that names more is odd. */
#define MOST 200

static bool is_reading(const struct fw_report_entry *entry)
{
	return json_object_get(entry->value, "gauge") || fw_get_text(entry->ask, "gauge");
}

static const json_t *gauge_of(const struct fw_report_entry *reading)
{
	const json_t *gauge = json_object_get(reading->value, "gauge");

	return json_is_object(gauge) ? gauge : NULL;
}

bool fw_report_overdue(const struct fw_report_entry *reading)
{
	const char *due = fw_get_text(gauge_of(reading), "due");
	char day[FW_DAY];

	return due && fw_day_check(due) && reading->at && fw_day_of(day, reading->at) &&
	       strcmp(day, due) > 0;
}

/* Found bad later, for the day on which it read. */
static bool is_bad(const struct fw_shop_gauges *shop, const struct fw_report_entry *reading)
{
	const json_t *gauge = gauge_of(reading);
	const char *id = fw_get_text(gauge, "id");

	return id && reading->at &&
	       fw_shop_gauge_distrusted(shop, id, fw_get_whole(gauge, "entry", 0), reading->at);
}

static bool same(const char *a, const char *b)
{
	return a && b ? strcmp(a, b) == 0 : a == b;
}

/* What a measurement of the step says about its gauge. */
static const json_t *typical_of(const struct fw_report_job *job,
                                const struct fw_report_entry *reading)
{
	const struct fw_report_entry *measurement = NULL;

	while ((measurement = fw_report_next(job, measurement, "measurement"))) {
		const json_t *gauge = json_object_get(measurement->ask, "gauge");
		if (same(measurement->step, reading->step) && json_is_object(gauge) &&
		    !fw_get_text(gauge, "id"))
			return gauge;
	}
	return NULL;
}

static struct fw_report_gauge *find(struct fw_report_gauges *gauges,
                                    const struct fw_report_entry *reading, const char *kind)
{
	const json_t *gauge = gauge_of(reading);

	for (size_t i = 0; i < gauges->count; i++) {
		struct fw_report_gauge *own = &gauges->list[i];
		if (gauge ? own->gauge && json_equal((json_t *)own->gauge, (json_t *)gauge)
		          : !own->gauge && strcmp(own->kind, kind) == 0)
			return own;
	}
	return NULL;
}

static void add(struct fw_report_gauges *out, const struct fw_report_job *job,
                const struct fw_shop_gauges *shop, const struct fw_report_entry *reading)
{
	const json_t *gauge = gauge_of(reading);
	const char *own = fw_get_text(gauge, "kind"), *asked = fw_get_text(reading->ask, "gauge");
	const char *kind = own ? own : asked ? asked : "not named";
	struct fw_report_gauge *row = find(out, reading, kind);
	bool overdue = fw_report_overdue(reading), bad = is_bad(shop, reading);

	out->overdue += overdue;
	out->bad += bad;
	out->typical += gauge == NULL;
	if (!row && out->count == MOST) {
		out->more++;
		return;
	}
	if (!row) {
		row = &out->list[out->count++];
		*row = (struct fw_report_gauge){
		    .gauge = gauge, .typical = gauge ? NULL : typical_of(job, reading), .kind = kind};
	}
	row->readings++;
	row->overdue += overdue;
	row->bad += bad;
}

int fw_report_gauges(struct fw_report_gauges *out, const struct fw_report_job *job,
                     struct fw_error *err)
{
	const struct fw_report_entry *entry = NULL;
	struct fw_shop_gauges shop = {0};
	struct fw_error ignored = {0};

	*out = (struct fw_report_gauges){.list = calloc(MOST, sizeof *out->list)};
	if (!out->list)
		return fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory", (long long)job->number);
	/* Without a register nothing is known to be bad. */
	if (!job->trail || fw_shop_gauges_read(&shop, job->trail, &ignored) != FW_OK)
		memset(&shop, 0, sizeof shop);
	while ((entry = fw_report_next_answer(job, entry)))
		if (is_reading(entry))
			add(out, job, &shop, entry);
	fw_shop_gauges_free(&shop);
	return FW_OK;
}

void fw_report_gauges_free(struct fw_report_gauges *gauges)
{
	free(gauges->list);
	*gauges = (struct fw_report_gauges){NULL, 0, 0, 0, 0, 0};
}

/* The part of the limit of error that grows with the reading. */
static void add_relative(char *buffer, size_t size, const json_t *gauge)
{
	double relative = fw_get_number(gauge, "relative");
	size_t used = strlen(buffer);
	char number[32];

	if (relative > 0 && relative <= 1)
		fw_report_print(buffer + used, size - used, " + %s\u00a0%% of the reading",
		                fw_report_two_figures(number, sizeof number, 100 * relative));
}

const char *fw_report_gauge_fact(char *buffer, size_t size, const struct fw_report_gauge *gauge,
                                 const char *key)
{
	const json_t *about = gauge->gauge ? gauge->gauge : gauge->typical;
	const json_t *fact = json_object_get(about, key);

	if (json_is_object(fact)) {
		fw_report_quantity_text(buffer, size, fact, false);
		if (strcmp(key, "error") == 0)
			add_relative(buffer, size, about);
		return buffer;
	}
	const char *text = json_string_value(fact);
	fw_report_print(buffer, size, "%s", text ? text : "");
	return buffer;
}

const char *fw_report_reading_gauge(char *buffer, size_t size,
                                    const struct fw_report_entry *reading)
{
	const json_t *gauge = gauge_of(reading);
	const char *id = fw_get_text(gauge, "id"), *kind = fw_get_text(gauge, "kind");
	const char *calibrated = fw_get_text(gauge, "calibrated"), *due = fw_get_text(gauge, "due");

	buffer[0] = '\0';
	if (gauge)
		fw_report_print(buffer, size, "%.80s%s%.40s, %s%.10s%s%.10s", kind ? kind : "",
		                kind ? " " : "", id ? id : "without a number",
		                calibrated ? "calibrated " : "calibration not known",
		                calibrated ? calibrated : "", due ? ", due " : "", due ? due : "");
	return buffer;
}

bool fw_report_too_coarse(const struct fw_report_entry *verdict)
{
	double ratio = fw_get_number(verdict->value, "ratio");
	double steps = fw_get_number(verdict->value, "steps");
	const struct fw_gauge_fit fit = {isfinite(steps) ? steps : 0, isfinite(ratio) ? ratio : 0};

	return fw_gauge_fit_coarse(&fit) || fw_gauge_fit_unsure(&fit);
}

const char *fw_report_ratio_text(char *buffer, size_t size, const struct fw_report_entry *verdict)
{
	double ratio = fw_get_number(verdict->value, "ratio");
	double steps = fw_get_number(verdict->value, "steps");
	char one[64] = "", other[64] = "", number[32];

	if (isfinite(ratio))
		fw_report_print(one, sizeof one, "%s times the span of the gauges' errors",
		                fw_report_two_figures(number, sizeof number, ratio));
	if (isfinite(steps))
		fw_report_print(other, sizeof other, "%s steps of their scale",
		                fw_report_two_figures(number, sizeof number, steps));
	buffer[0] = '\0';
	if (one[0] || other[0])
		fw_report_print(buffer, size, "limits are %s%s%s wide", one,
		                one[0] && other[0] ? " and " : "", other);
	return buffer;
}
