/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the procedure found since the last answer: kept for the trail and for the face. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "job_internal.h"

/* Most findings between two questions. */
#define FINDINGS_MOST 1000

int fw_job_keep_finding(struct fw_job *job, const char *step, const json_t *ask,
                        const json_t *value, bool recorded, struct fw_error *err)
{
	if (job->findings - job->finding_base == FINDINGS_MOST)
		return fw_fail(err, FW_ERR_LIMIT,
		               "more than %d things were worked out at '%s' without a question",
		               FINDINGS_MOST, step);
	if (job->findings == job->finding_room) {
		size_t room = job->finding_room ? 2 * job->finding_room : 8;
		struct fw_kept_finding *list = realloc(job->finding, room * sizeof *list);
		if (!list)
			return fw_no_memory(err);
		job->finding = list;
		job->finding_room = room;
	}
	struct fw_kept_finding *kept = &job->finding[job->findings];
	memset(kept, 0, sizeof *kept);
	kept->step = strdup(step);
	kept->ask = json_incref((json_t *)ask);
	kept->value = json_incref((json_t *)value);
	kept->recorded = recorded;
	job->findings++;
	return kept->step && kept->ask && kept->value ? FW_OK : fw_no_memory(err);
}

void fw_job_drop_findings(struct fw_job *job)
{
	for (size_t i = 0; i < job->findings; i++) {
		free(job->finding[i].step);
		json_decref(job->finding[i].ask);
		json_decref(job->finding[i].value);
	}
	job->findings = 0;
	job->finding_base = 0;
	free(job->shown);
	job->shown = NULL;
}

bool fw_job_has_new_findings(const struct fw_job *job)
{
	for (size_t i = 0; i < job->findings; i++)
		if (!job->finding[i].recorded)
			return true;
	return false;
}

static double number_of(const json_t *object, const char *key, double otherwise)
{
	const json_t *value = json_object_get(object, key);
	return json_is_number(value) ? json_number_value(value) : otherwise;
}

/* One end of the limits; `open` where there is none. Leaves the unit it is written in. */
static double bound_of(const json_t *limits, const char *key, double open,
                       const struct fw_unit **unit)
{
	struct fw_quantity q;

	if (!fw_json_quantity_read(&q, json_object_get(limits, key)))
		return open;
	*unit = q.unit;
	return q.value;
}

/* A value with limits to draw, where the finding has both. */
static void add_scale(struct fw_finding *out, const json_t *value, const json_t *limits)
{
	if (!json_is_object(value))
		return;
	out->aim = bound_of(limits, "aim", NAN, &out->unit);
	out->max = bound_of(limits, "max", INFINITY, &out->unit);
	out->min = bound_of(limits, "min", -INFINITY, &out->unit);
	out->value = number_of(value, "si", NAN);
	out->u = number_of(value, "u", 0.0);
	out->has_scale = out->unit != NULL && isfinite(out->value);
}

static struct fw_finding shown_finding(const struct fw_kept_finding *kept)
{
	struct fw_finding out = {0};
	const json_t *ask = kept->ask, *value = kept->value;

	out.find = json_string_value(json_object_get(ask, "find"));
	out.step = kept->step;
	out.text = json_string_value(json_object_get(value, "text"));
	out.probability = number_of(value, "probability", NAN);
	out.verdict = json_string_value(json_object_get(value, "verdict"));
	if (strcmp(out.find, "verdict") == 0)
		add_scale(&out, json_object_get(ask, "value"), json_object_get(ask, "limits"));
	else if (strcmp(out.find, "stack") == 0 || strcmp(out.find, "response") == 0)
		add_scale(&out, json_object_get(value, "play"), json_object_get(ask, "limits"));
	else if (strcmp(out.find, "gasket") == 0)
		add_scale(&out, json_object_get(value, "nip"), json_object_get(ask, "limits"));
	else if (strcmp(out.find, "trial") == 0 && json_is_true(json_object_get(value, "surprise")))
		out.find = "surprise";
	return out;
}

int fw_job_show_findings(struct fw_job *job, struct fw_error *err)
{
	free(job->shown);
	job->shown = calloc(job->findings ? job->findings : 1, sizeof *job->shown);
	if (!job->shown)
		return fw_no_memory(err);
	for (size_t i = 0; i < job->findings; i++)
		job->shown[i] = shown_finding(&job->finding[i]);
	return FW_OK;
}

const struct fw_finding *fw_job_findings(const struct fw_job *job, size_t *count)
{
	*count = job->shown ? job->findings : 0;
	return job->shown;
}
