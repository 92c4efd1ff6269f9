/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All of a job as one JSON document, keys in a fixed order, numbers with every digit they need. */
#include <stdlib.h>

#include "fitwright/fitwright.h"
#include "report/writers.h"

/* Jansson's *_set_new free the value and fail when it is NULL, so memory running out shows in the
 * end. */
static int set(json_t *object, const char *key, json_t *value)
{
	return json_object_set_new(object, key, value);
}

static int set_text(json_t *object, const char *key, const char *text)
{
	return set(object, key, text ? json_string(text) : json_null());
}

static int set_whole(json_t *object, const char *key, int64_t value)
{
	return set(object, key, json_integer((json_int_t)value));
}

/* A column that is no JSON is kept as text under another key. */
static int set_column(json_t *object, const char *key, json_t *json, const char *text_key,
                      const char *text)
{
	int failed = set(object, key, json ? json_incref(json) : json_null());

	return text ? failed | set_text(object, text_key, text) : failed;
}

static json_t *entry_object(const struct fw_report_job *job, const struct fw_report_entry *entry)
{
	json_t *object = json_object();
	int failed = set_whole(object, "seq", entry->seq) | set_text(object, "kind", entry->kind) |
	             set_text(object, "step", entry->step) | set_text(object, "at", entry->at) |
	             set_text(object, "who", entry->who) |
	             set_column(object, "ask", entry->ask, "ask_text", entry->ask_text) |
	             set_text(object, "typed", entry->typed) |
	             set_column(object, "value", entry->value, "value_text", entry->value_text) |
	             set_text(object, "prev", entry->prev) | set_text(object, "hash", entry->hash) |
	             set(object, "struck", json_boolean(entry->struck_by != 0));

	if (entry->struck_by)
		failed |= set_whole(object, "struck_by", entry->struck_by) |
		          set_text(object, "struck_how", fw_report_struck(job, entry));
	if (failed) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *entries_array(const struct fw_report_job *job)
{
	json_t *array = json_array();

	for (size_t i = 0; array && i < job->count; i++)
		if (json_array_append_new(array, entry_object(job, &job->entries[i]))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *job_object(const struct fw_report_job *job)
{
	const struct fw_report_entry *last = &job->entries[job->count - 1];
	const struct fw_report_entry *release = fw_report_release(job);
	json_t *begin = (json_t *)fw_report_begin(job);
	json_t *object = json_object();
	int failed =
	    set_whole(object, "number", job->number) |
	    set(object, "begin", begin ? json_incref(begin) : json_null()) |
	    set_text(object, "began", job->entries[0].at) | set_text(object, "latest", last->at) |
	    set_text(object, "released", release ? release->at : NULL) |
	    set_whole(object, "entries", (int64_t)job->count) | set_text(object, "head", last->hash) |
	    set_whole(object, "flaws", (int64_t)job->flaws) |
	    set_text(object, "first_flaw", job->flaws ? job->flaw : NULL);

	if (failed) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *finding_object(const struct fw_report_entry *entry)
{
	json_t *object = json_object();
	int failed = set_whole(object, "seq", entry->seq) | set_text(object, "step", entry->step) |
	             set_text(object, "phase", entry->phase) |
	             set(object, "ask", entry->ask ? json_incref(entry->ask) : json_null()) |
	             set(object, "value", entry->value ? json_incref(entry->value) : json_null());

	if (failed) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *findings_array(const struct fw_report_job *job, const char *find)
{
	const struct fw_report_entry *entry = NULL;
	json_t *array = json_array();

	while (array && (entry = fw_report_next(job, entry, find)))
		if (json_array_append_new(array, finding_object(entry))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *figure_object(const struct fw_report_figure *figure)
{
	json_t *object = json_object();
	int failed =
	    set_text(object, "name", figure->name) |
	    set(object, "as_found", figure->found ? finding_object(figure->found) : json_null()) |
	    set(object, "first", figure->first ? finding_object(figure->first) : json_null()) |
	    set(object, "as_left", figure->left ? finding_object(figure->left) : json_null()) |
	    set(object, "conceded", json_boolean(figure->conceded != NULL)) |
	    set_whole(object, "checks", (int64_t)figure->checks);

	if (failed) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *figures_array(const struct fw_report_outcome *outcome)
{
	json_t *array = json_array();

	for (size_t i = 0; array && i < outcome->count; i++)
		if (json_array_append_new(array, figure_object(&outcome->figures[i]))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static const char *const hands[] = {[FW_HAND_NAME] = "name",
                                    [FW_HAND_KEY] = "key",
                                    [FW_HAND_STRANGER] = "stranger",
                                    [FW_HAND_RETIRED] = "retired",
                                    [FW_HAND_BAD] = "bad"};

static json_t *signature_object(const struct fw_report_job *job,
                                const struct fw_report_entry *entry)
{
	struct fw_report_signature sign;
	json_t *object = finding_object(entry);

	fw_report_signature(&sign, job, entry);
	if (set_text(object, "purpose", fw_purpose_name(sign.purpose)) |
	    set_text(object, "by", hands[sign.hand]) |
	    set_text(object, "key", sign.key[0] ? sign.key : NULL) |
	    set(object, "independent",
	        sign.independent || sign.dependent ? json_boolean(sign.independent) : json_null()) |
	    set(object, "head_matches", json_boolean(fw_report_head_matches(entry))) |
	    set_text(object, "at", entry->at)) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *signatures_array(const struct fw_report_job *job)
{
	const struct fw_report_entry *sign = NULL;
	json_t *array = json_array();

	while (array && (sign = fw_report_next_signature(job, sign)))
		if (json_array_append_new(array, signature_object(job, sign))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *concession_object(const struct fw_report_job *job,
                                 const struct fw_report_concession *concession)
{
	const struct fw_report_entry *sign = concession->sign, *finding = concession->finding;
	json_t *object = json_object();

	if (set_text(object, "name", fw_report_conceded_name(concession)) |
	    set_text(object, "reason", fw_report_conceded_reason(concession)) |
	    set(object, "signature", sign ? signature_object(job, sign) : json_null()) |
	    set(object, "finding", finding ? finding_object(finding) : json_null())) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *concessions_array(const struct fw_report_job *job,
                                 const struct fw_report_outcome *outcome)
{
	json_t *array = json_array();

	for (size_t i = 0; array && i < outcome->concession_count; i++)
		if (json_array_append_new(array, concession_object(job, &outcome->concessions[i]))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *gauge_object(const struct fw_report_gauge *gauge)
{
	const json_t *about = gauge->gauge ? gauge->gauge : gauge->typical;
	json_t *object = json_object();

	if (set_text(object, "kind", gauge->kind) |
	    set(object, "typical", json_boolean(gauge->gauge == NULL)) |
	    set(object, "gauge", about ? json_incref((json_t *)about) : json_null()) |
	    set_whole(object, "readings", (int64_t)gauge->readings) |
	    set_whole(object, "overdue", (int64_t)gauge->overdue) |
	    set_whole(object, "bad", (int64_t)gauge->bad)) {
		json_decref(object);
		return NULL;
	}
	return object;
}

static json_t *gauges_array(const struct fw_report_gauges *gauges)
{
	json_t *array = json_array();

	for (size_t i = 0; array && i < gauges->count; i++)
		if (json_array_append_new(array, gauge_object(&gauges->list[i]))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *workers_array(const struct fw_report_outcome *outcome)
{
	json_t *array = json_array();

	for (size_t i = 0; array && i < outcome->workers; i++)
		if (json_array_append_new(array, json_string(outcome->worker[i]))) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *evidence_array(const struct fw_report_job *job)
{
	const struct fw_report_entry *entry = NULL;
	json_t *array = json_array();

	while (array && (entry = fw_report_next_kind(job, entry, "evidence"))) {
		json_t *object = finding_object(entry);
		if (set_text(object, "note", entry->typed) | set_text(object, "at", entry->at) |
		    json_array_append_new(array, object)) {
			json_decref(array);
			return NULL;
		}
	}
	return array;
}

static json_t *summary_object(const struct fw_report_job *job,
                              const struct fw_report_outcome *outcome)
{
	static const char *const finds[][2] = {
	    {"measurements", "measurement"},
	    {"verdicts", "verdict"},
	    {"trials", "trial"},
	    {"stacks", "stack"},
	    {"responses", "response"},
	    {"gaskets", "gasket"},
	    {"joints", "joint"},
	    {"tightened", "tightened"},
	    {"parts", "part"},
	    {"worked", "worked"},
	    {"remarks", "remark"},
	};
	json_t *object = json_object();
	int failed = set_text(object, "outcome", outcome->sentence) |
	             set(object, "released", json_boolean(outcome->released)) |
	             set_whole(object, "within", (int64_t)outcome->within) |
	             set_whole(object, "outside", (int64_t)outcome->outside) |
	             set_whole(object, "doubtful", (int64_t)outcome->doubtful) |
	             set_whole(object, "surprises", (int64_t)outcome->surprises) |
	             set_whole(object, "otherwise", (int64_t)outcome->otherwise) |
	             set_whole(object, "overloaded", (int64_t)outcome->overloaded) |
	             set_whole(object, "kept", (int64_t)outcome->kept) |
	             set_whole(object, "amended", (int64_t)outcome->amended) |
	             set_whole(object, "conceded", (int64_t)outcome->conceded) |
	             set_whole(object, "too_coarse", (int64_t)outcome->coarse) |
	             set_whole(object, "overdue", (int64_t)outcome->gauges.overdue) |
	             set(object, "reopened", json_boolean(outcome->reopened != NULL)) |
	             set(object, "work_by", workers_array(outcome)) |
	             set(object, "figures", figures_array(outcome)) |
	             set(object, "concessions", concessions_array(job, outcome)) |
	             set(object, "signatures", signatures_array(job)) |
	             set(object, "gauges", gauges_array(&outcome->gauges)) |
	             set(object, "evidence", evidence_array(job));

	for (size_t i = 0; i < sizeof finds / sizeof *finds; i++)
		failed |= set(object, finds[i][0], findings_array(job, finds[i][1]));
	if (failed) {
		json_decref(object);
		return NULL;
	}
	return object;
}

int fw_report_json(FILE *out, const struct fw_report_job *job,
                   const struct fw_report_outcome *outcome, struct fw_error *err)
{
	json_t *root = json_object();
	json_t *format = json_object();
	int failed = set_whole(format, "format", 2) | set_text(format, "version", fw_version());

	failed |= set(root, "fitwright", format) | set(root, "job", job_object(job)) |
	          set(root, "entries", entries_array(job)) |
	          set(root, "summary", summary_object(job, outcome));
	char *text = failed ? NULL : json_dumps(root, JSON_INDENT(2));
	json_decref(root);
	if (!text)
		return fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory while writing JSON",
		               (long long)job->number);
	fputs(text, out);
	fputs("\n", out);
	free(text);
	return FW_OK;
}
