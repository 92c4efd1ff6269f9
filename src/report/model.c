/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/model.h"

#include <stdlib.h>
#include <string.h>

#include "report/put.h"

static json_t *parse(const char *text)
{
	return text ? json_loads(text, JSON_DECODE_ANY, NULL) : NULL;
}

/* Keeps the text of a column that can't be read as JSON, so that nothing recorded is left out. */
static void take_json(json_t **json, char **text, const char *column, bool *failed)
{
	*json = parse(column);
	if (column && !*json)
		*text = fw_report_utf8_repair(column, failed);
}

static bool grow(struct fw_report_job *job)
{
	if (job->count < job->room)
		return true;
	size_t room = job->room ? 2 * job->room : 64;
	struct fw_report_entry *more = realloc(job->entries, room * sizeof *more);
	if (!more)
		return false;
	job->entries = more;
	job->room = room;
	return true;
}

static int take(void *context, const struct fw_entry *from)
{
	struct fw_report_job *job = context;

	if (!grow(job)) {
		job->failed = true;
		return FW_ERR_MEMORY;
	}
	struct fw_report_entry *to = &job->entries[job->count++];
	memset(to, 0, sizeof *to);
	to->seq = from->seq;
	to->kind = fw_report_utf8_repair(from->kind ? from->kind : "", &job->failed);
	to->step = fw_report_utf8_repair(from->step, &job->failed);
	to->at = fw_report_utf8_repair(from->at, &job->failed);
	to->who = fw_report_utf8_repair(from->who, &job->failed);
	to->typed = fw_report_utf8_repair(from->typed, &job->failed);
	take_json(&to->ask, &to->ask_text, from->ask, &job->failed);
	take_json(&to->value, &to->value_text, from->value, &job->failed);
	fw_hash_text(to->prev, from->prev);
	fw_hash_text(to->hash, from->hash);
	return job->failed ? FW_ERR_MEMORY : 0;
}

/* The phase of a question without reading all of it; only where it isn't the one before. */
static json_t *phase_of(struct fw_report_job *job, const char *ask)
{
	static const char key[] = "\"phase\":\"";
	const char *before = fw_get_text(job->entries[job->phased].ask, "phase");
	const char *from = ask ? strstr(ask, key) : NULL;
	size_t length = from ? strcspn(from + sizeof key - 1, "\"\\") : 0;

	if (!from)
		return ask && strstr(ask, "\"phase\"") ? parse(ask) : NULL; /* written otherwise */
	from += sizeof key - 1;
	if (from[length] != '"')
		return parse(ask);
	if (before && strlen(before) == length && strncmp(before, from, length) == 0)
		return NULL;
	return json_pack("{s:s%}", "phase", from, length);
}

/* Whether an entry has to be read whole to know what was checked and what stands. */
static bool tells(const struct fw_entry *entry)
{
	static const char *const kinds[] = {"withdraw", "amend", "lapse", "reopen", "sign"};
	static const char *const finds[] = {"\"verdict\"", "\"trial\"", "\"concession\""};

	for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
		if (strcmp(entry->kind, kinds[i]) == 0)
			return true;
	for (size_t i = 0; i < sizeof finds / sizeof *finds; i++)
		if (strcmp(entry->kind, "finding") == 0 && entry->ask && strstr(entry->ask, finds[i]))
			return true;
	return false;
}

static int take_verdict(void *context, const struct fw_entry *from)
{
	struct fw_report_job *job = context;

	if (!grow(job)) {
		job->failed = true;
		return FW_ERR_MEMORY;
	}
	struct fw_report_entry *to = &job->entries[job->count++];
	memset(to, 0, sizeof *to);
	to->seq = from->seq;
	to->kind = fw_report_utf8_repair(from->kind ? from->kind : "", &job->failed);
	if (from->kind && tells(from)) {
		to->step = fw_report_utf8_repair(from->step, &job->failed);
		to->ask = parse(from->ask);
		to->value = parse(from->value);
	} else {
		to->ask = phase_of(job, from->ask);
	}
	if (fw_get_text(to->ask, "phase"))
		job->phased = job->count - 1;
	return job->failed ? FW_ERR_MEMORY : 0;
}

static void keep_flaw(void *context, const struct fw_flaw *flaw)
{
	struct fw_report_job *job = context;

	if (job->flaws++ == 0)
		fw_report_print(job->flaw, sizeof job->flaw, "%sentry %lld: %s",
		                flaw->job == FW_SHOP && flaw->seq ? "shop's log, " : "",
		                (long long)flaw->seq, flaw->what ? flaw->what : "");
}

/* What is wrong with the file as a whole the check of the job has said. */
static void keep_flaw_of_log(void *context, const struct fw_flaw *flaw)
{
	if (flaw->seq > 0)
		keep_flaw(context, flaw);
}

/* The job, and the shop's log: whose keys they are, and what the gauges were, rests on it. */
static int check_chains(struct fw_report_job *job, struct fw_error *err)
{
	size_t flaws;
	int code = fw_trail_verify(job->trail, job->number, keep_flaw, job, &flaws, err);

	if (code == FW_OK && fw_trail_format(job->trail) > 1)
		code = fw_trail_verify(job->trail, FW_SHOP, keep_flaw_of_log, job, &flaws, err);
	if (code != FW_ERR_NOT_FOUND)
		return code;
	fw_error_clear(err); /* there is no log: the check of the job has said so */
	return FW_OK;
}

/* A shop's log that can't be read says nothing about people; its check says why. */
static void read_people(struct fw_report_job *job)
{
	struct fw_error ignored = {0};

	if (fw_people_read(&job->people, job->trail, 0, &ignored) != FW_OK)
		memset(&job->people, 0, sizeof job->people);
}

static int read_with(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                     int (*visit)(void *context, const struct fw_entry *entry),
                     struct fw_error *err)
{
	memset(job, 0, sizeof *job);
	job->number = number;
	job->trail = trail;
	int code = fw_trail_walk(trail, number, visit, job, err);
	if (job->failed)
		return fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory while reading its trail",
		               (long long)number);
	if (code != FW_OK)
		return code;
	if (job->count == 0)
		return fw_fail(err, FW_ERR_NOT_FOUND, "there is no job %lld in this trail",
		               (long long)number);
	return fw_report_fold(job, err);
}

int fw_report_read_entries(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                           struct fw_error *err)
{
	return read_with(job, trail, number, take, err);
}

int fw_report_read_verdicts(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                            struct fw_error *err)
{
	return read_with(job, trail, number, take_verdict, err);
}

int fw_report_read(struct fw_report_job *job, struct fw_trail *trail, int64_t number,
                   struct fw_error *err)
{
	int code = fw_report_read_entries(job, trail, number, err);

	if (code != FW_OK)
		return code;
	read_people(job);
	return check_chains(job, err);
}

void fw_report_free(struct fw_report_job *job)
{
	for (size_t i = 0; i < job->count; i++) {
		struct fw_report_entry *entry = &job->entries[i];
		char *texts[] = {entry->kind,  entry->step,     entry->at,        entry->who,
		                 entry->typed, entry->ask_text, entry->value_text};
		for (size_t t = 0; t < sizeof texts / sizeof *texts; t++)
			free(texts[t]);
		json_decref(entry->ask);
		json_decref(entry->value);
	}
	free(job->entries);
	free(job->order);
	fw_people_free(&job->people);
	memset(job, 0, sizeof *job);
}

const char *fw_report_find(const struct fw_report_entry *entry)
{
	return fw_report_is(entry, "finding") ? fw_get_text(entry->ask, "find") : NULL;
}

const struct fw_report_entry *fw_report_next_kind(const struct fw_report_job *job,
                                                  const struct fw_report_entry *entry,
                                                  const char *kind)
{
	const struct fw_report_entry *end = job->entries + job->count;

	for (entry = entry ? entry + 1 : job->entries; entry < end; entry++)
		if (!entry->struck_by && fw_report_is(entry, kind))
			return entry;
	return NULL;
}

const struct fw_report_entry *fw_report_next(const struct fw_report_job *job,
                                             const struct fw_report_entry *entry, const char *find)
{
	while ((entry = fw_report_next_kind(job, entry, "finding"))) {
		const char *own = fw_report_find(entry);
		if (own && strcmp(own, find) == 0)
			return entry;
	}
	return NULL;
}

const json_t *fw_report_begin(const struct fw_report_job *job)
{
	return fw_report_is(&job->entries[0], "begin") ? job->entries[0].value : NULL;
}

const struct fw_report_entry *fw_report_release(const struct fw_report_job *job)
{
	return fw_report_next_kind(job, NULL, "release");
}

const struct fw_report_entry *fw_report_next_answer(const struct fw_report_job *job,
                                                    const struct fw_report_entry *entry)
{
	const struct fw_report_entry *end = job->entries + job->count;

	for (entry = entry ? entry + 1 : job->entries; entry < end; entry++)
		if (!entry->struck_by && fw_report_answers(entry) && !fw_report_is(entry, "sign"))
			return entry;
	return NULL;
}

static bool is_behind(const struct fw_report_entry *entry, const struct fw_report_entry *other)
{
	return entry->root != other->root ? entry->root > other->root : entry > other;
}

const struct fw_report_entry *fw_report_next_asked(const struct fw_report_job *job,
                                                   const struct fw_report_entry *entry)
{
	size_t low = 0, high = job->answers;

	while (entry && low < high) {
		size_t middle = low + (high - low) / 2;
		if (is_behind(&job->entries[job->order[middle]], entry))
			high = middle;
		else
			low = middle + 1;
	}
	return low < job->answers ? &job->entries[job->order[low]] : NULL;
}

/* Place in the order behind the answer from which the finding follows. */
static size_t place_behind(const struct fw_report_job *job, const struct fw_report_entry *finding)
{
	size_t low = 0, high = job->answers;

	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (job->entries[job->order[middle]].root <= finding->after)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

/* The readings of a measurement are the last answers of its step before it. */
bool fw_report_kept(const struct fw_report_job *job, const struct fw_report_entry *measurement,
                    size_t index)
{
	const json_t *readings = json_object_get(measurement->ask, "readings");
	const char *step = measurement->step ? measurement->step : "";
	size_t left = json_array_size(readings);

	for (size_t place = place_behind(job, measurement); place-- > 0;) {
		const struct fw_report_entry *entry = &job->entries[job->order[place]];
		if (!entry->step || strcmp(entry->step, step) != 0 ||
		    !json_object_get(entry->value, "quantity"))
			continue;
		if (left-- == index + 1)
			return fw_get_true(entry->value, "confirmed") &&
			       fw_get_number(json_object_get(entry->value, "quantity"), "si") ==
			           fw_get_number(json_array_get(readings, index), "si");
		if (left == 0)
			return false;
	}
	return false;
}

bool fw_report_head_matches(const struct fw_report_entry *entry)
{
	const char *head = fw_get_text(entry->value, "head");

	return head && strcmp(head, entry->prev) == 0 &&
	       fw_get_whole(entry->value, "count", -1) == entry->seq - 1;
}
