/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine: begin, resume, pending, answer, withdraw. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/fitwright.h"
#include "job_internal.h"

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory");
}

struct fw_job *fw_job_new(struct fw_trail *trail, fw_clock clock, void *clock_context)
{
	struct fw_job *job = calloc(1, sizeof *job);

	if (job) {
		job->trail = trail;
		job->clock = clock;
		job->clock_context = clock_context;
	}
	return job;
}

void fw_job_close(struct fw_job *job)
{
	if (!job)
		return;
	fw_job_drop_findings(job);
	free(job->finding);
	fw_question_view_clear(&job->pending);
	fw_records_free(&job->records);
	fw_script_free(job->script);
	fw_sources_free(&job->sources);
	free(job->who);
	free(job->title);
	free(job->unit);
	free(job);
}

/* Begin. */

static int no_such_text(const char *what, struct fw_error *err)
{
	return fw_fail(err, FW_ERR_ARGUMENT, "%s is empty; give it in a few words", what);
}

static bool is_blank(const char *text)
{
	return !text || text[strspn(text, " \t")] == '\0';
}

/* Longest name of a unit or a person, or reason: what fits on a cover. */
#define NAME_MOST 200

/* One line of words, fit to be shown as it is. */
static int check_name(const char *what, const char *name, struct fw_error *err)
{
	char shown[NAME_MOST + 1];

	if (is_blank(name))
		return no_such_text(what, err);
	if (strlen(name) > NAME_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is longer than %d bytes; say it in fewer words",
		               what, NAME_MOST);
	memcpy(shown, name, strlen(name) + 1);
	fw_text_one_line(shown);
	if (strcmp(shown, name) != 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s holds control characters, or bytes that aren't UTF-8; type it anew",
		               what);
	return FW_OK;
}

static int read_files(struct fw_job *job, const struct fw_job_begin *begin, struct fw_error *err)
{
	const char *slash = strrchr(begin->procedure, '/');
	size_t length = slash ? (size_t)(slash - begin->procedure) : 0;

	job->sources.folder =
	    length > 0 ? strndup(begin->procedure, length) : strdup(slash ? "/" : ".");
	if (!job->sources.folder)
		return no_memory(err);
	int code = fw_source_read_file(&job->sources.procedure, begin->procedure, err);
	if (code == FW_OK && begin->sheet)
		code = fw_source_read_file(&job->sources.sheet, begin->sheet, err);
	return code;
}

static json_t *source_fact(const struct fw_named_source *source)
{
	char hex[FW_HASH_TEXT];

	if (!source->name)
		return json_null();
	return json_pack("{s:s, s:s}", "name", source->name, "hash", fw_hash_text(hex, source->hash));
}

static json_t *begin_value(const struct fw_job *job)
{
	const json_t *facts = fw_script_facts(job->script);
	json_t *modules = json_array();

	for (size_t i = 0; i < job->sources.modules; i++)
		if (json_array_append_new(modules, source_fact(&job->sources.module[i])) != 0) {
			json_decref(modules);
			return NULL;
		}
	return json_pack("{s:s, s:s, s:o, s:o, s:o, s:O, s:s, s:s, s:O}", "title", job->title, "unit",
	                 job->unit, "procedure", source_fact(&job->sources.procedure), "sheet",
	                 source_fact(&job->sources.sheet), "modules", modules, "phases",
	                 json_object_get(facts, "phases"), "lua", fw_script_language(), "fitwright",
	                 fw_version(), "figures", json_object_get(facts, "figures"));
}

static int store_begin(struct fw_job *job, const char *value, struct fw_error *err)
{
	const struct fw_sources *sources = &job->sources;
	size_t count = 0;
	struct fw_source_text *text = calloc(sources->modules + 2, sizeof *text);

	if (!text)
		return no_memory(err);
	text[count++] = (struct fw_source_text){sources->procedure.bytes, sources->procedure.size};
	if (sources->sheet.name)
		text[count++] = (struct fw_source_text){sources->sheet.bytes, sources->sheet.size};
	for (size_t i = 0; i < sources->modules; i++)
		text[count++] = (struct fw_source_text){sources->module[i].bytes, sources->module[i].size};
	char at[32] = "";
	int code = fw_job_now(job, at, err);
	const struct fw_entry entry = {.kind = "begin", .at = at, .who = job->who, .value = value};
	if (code == FW_OK)
		code = fw_trail_begin(job->trail, text, count, &entry, &job->number, err);
	if (code == FW_OK) {
		memcpy(job->last_at, at, sizeof at);
		code = fw_trail_head(job->trail, job->number, &job->last_seq, job->head, err);
	}
	free(text);
	return code;
}

static int record_begin(struct fw_job *job, struct fw_error *err)
{
	json_t *value = begin_value(job);
	char *text = value ? fw_json_text(value) : NULL;
	int code = text ? store_begin(job, text, err) : no_memory(err);

	free(text);
	json_decref(value);
	return code == FW_OK ? fw_job_record_findings(job, err) : code;
}

static int begin_job(struct fw_job *job, const struct fw_job_begin *begin, struct fw_error *err)
{
	job->unit = strdup(begin->unit);
	job->who = strdup(begin->who);
	if (!job->unit || !job->who)
		return no_memory(err);
	int code = read_files(job, begin, err);
	if (code == FW_OK)
		code = fw_job_replay(job, err); /* of nothing yet: runs to the first question */
	if (code != FW_OK)
		return code;
	job->title = strdup(json_string_value(json_object_get(fw_script_facts(job->script), "title")));
	if (!job->title)
		return no_memory(err);
	return record_begin(job, err);
}

int fw_job_begin(struct fw_job **out, struct fw_trail *trail, const struct fw_job_begin *begin,
                 fw_clock clock, void *clock_context, struct fw_error *err)
{
	*out = NULL;
	if (is_blank(begin->procedure))
		return no_such_text("the procedure's path", err);
	int code = check_name("the unit on the bench", begin->unit, err);
	if (code == FW_OK)
		code = check_name("the name of who works on it", begin->who, err);
	if (code != FW_OK)
		return code;
	struct fw_job *job = fw_job_new(trail, clock, clock_context);
	code = job ? begin_job(job, begin, err) : no_memory(err);
	if (code != FW_OK) {
		fw_job_close(job);
		return code;
	}
	*out = job;
	return FW_OK;
}

/* Resume. */

static int take_text(char **out, const char *text, struct fw_error *err)
{
	char *copy = strdup(text ? text : ""); /* before the old one goes: `text` may be it */

	free(*out);
	*out = copy;
	return copy ? FW_OK : no_memory(err);
}

static int take_beginning(struct fw_job *job, const char *who, struct fw_error *err)
{
	const struct fw_record *first = &job->records.list[0];
	const struct fw_record *last = &job->records.list[job->records.count - 1];

	if (!fw_record_is(first, "begin"))
		return fw_fail(err, FW_ERR_TRAIL, "job %lld doesn't start with its beginning; audit it",
		               (long long)job->number);
	job->last_seq = last->seq;
	memcpy(job->head, last->hash, FW_HASH);
	snprintf(job->last_at, sizeof job->last_at, "%s", last->at ? last->at : "");
	int code = take_text(&job->who, is_blank(who) ? last->who : who, err);
	if (code == FW_OK)
		code =
		    take_text(&job->title, json_string_value(json_object_get(first->value, "title")), err);
	if (code == FW_OK)
		code = take_text(&job->unit, json_string_value(json_object_get(first->value, "unit")), err);
	if (code == FW_OK)
		code = fw_sources_recorded(&job->sources, job->trail, first->value, err);
	return code;
}

int fw_job_load(struct fw_job *job, int64_t number, const char *who, struct fw_error *err)
{
	fw_records_free(&job->records);
	fw_sources_free(&job->sources);
	job->number = number;
	int code = fw_records_read(&job->records, job->trail, number, err);
	if (code == FW_OK)
		code = take_beginning(job, who, err);
	if (code == FW_OK)
		code = fw_job_replay(job, err);
	return code;
}

int fw_job_resume(struct fw_job **out, struct fw_trail *trail, int64_t number, const char *who,
                  fw_clock clock, void *clock_context, struct fw_error *err)
{
	struct fw_job *job = fw_job_new(trail, clock, clock_context);

	*out = NULL;
	if (!job)
		return no_memory(err);
	int code = is_blank(who) ? FW_OK : check_name("the name of who works on it", who, err);
	if (code == FW_OK)
		code = fw_job_load(job, number, who, err);
	if (code == FW_OK)
		code =
		    fw_job_record_findings(job, err); /* a stop may have come between answer and findings */
	fw_records_free(&job->records);
	if (code != FW_OK) {
		fw_job_close(job);
		return code;
	}
	*out = job;
	return FW_OK;
}

/* Pending and answer. */

int64_t fw_job_number(const struct fw_job *job)
{
	return job->number;
}

const char *fw_job_title(const struct fw_job *job)
{
	return job->title;
}

const char *fw_job_unit(const struct fw_job *job)
{
	return job->unit;
}

size_t fw_job_answered(const struct fw_job *job)
{
	return job->answered;
}

const struct fw_question *fw_job_pending(const struct fw_job *job)
{
	return job->pending.json ? &job->pending.question : NULL;
}

/* A signature says over what: the count and the head of what was recorded before it. */
static int add_signature(const struct fw_job *job, json_t *value, struct fw_error *err)
{
	char hex[FW_HASH_TEXT];
	const struct fw_question *q = &job->pending.question;

	if (json_object_set_new(value, "role", json_string(q->role ? q->role : "")) != 0 ||
	    json_object_set_new(value, "meaning", json_string(q->meaning ? q->meaning : "")) != 0 ||
	    json_object_set_new(value, "count", json_integer((json_int_t)job->last_seq)) != 0 ||
	    json_object_set_new(value, "head", json_string(fw_hash_text(hex, job->head))) != 0)
		return no_memory(err);
	return FW_OK;
}

static int record_answer(struct fw_job *job, const struct fw_answer *answer, const char *typed,
                         bool doubted, struct fw_error *err)
{
	const struct fw_question *q = &job->pending.question;
	bool sign = q->ask == FW_ASK_SIGN;
	json_t *value = fw_json_answer(answer, doubted);
	int code = value ? FW_OK : no_memory(err);

	if (code == FW_OK && sign)
		code = add_signature(job, value, err);
	if (code == FW_OK)
		code = fw_job_record(job, sign ? "sign" : "answer", q->step, job->pending.json, typed,
		                     value, err);
	json_decref(value);
	return code;
}

/* The answer is on the disk: on to the next question. */
static int run_on(struct fw_job *job, const struct fw_answer *answer, struct fw_error *err)
{
	job->answered++;
	fw_job_drop_findings(job);
	int code = fw_script_answer(job->script, answer, err);
	fw_question_view_clear(&job->pending);
	if (code == FW_OK)
		code = fw_job_record_findings(job, err);
	if (code == FW_OK && fw_script_question(job->script))
		code = fw_question_view_set(&job->pending, fw_script_question(job->script), err);
	if (code == FW_OK)
		code = fw_job_show_findings(job, err);
	return code;
}

int fw_job_answer(struct fw_job *job, const char *typed, bool confirmed, struct fw_error *err)
{
	struct fw_answer answer;
	char buffer[8192];

	if (!job->pending.json)
		return fw_fail(
		    err, FW_ERR_STATE,
		    job->released
		        ? "the job is released; nothing is asked any more"
		        : "the work stopped at the last answer, which is recorded: resume the job, or "
		          "take that answer back");
	const struct fw_question *q = &job->pending.question;
	int code = fw_answer_read(&answer, q, typed, false, buffer, sizeof buffer, err);
	bool doubted = code == FW_ERR_IMPLAUSIBLE;
	if (doubted && confirmed)
		code = fw_answer_read(&answer, q, typed, true, buffer, sizeof buffer, err);
	if (code == FW_OK) {
		fw_error_clear(err);
		code = record_answer(job, &answer, typed, doubted, err);
	}
	return code == FW_OK ? run_on(job, &answer, err) : code;
}

/* Withdraw. */

static int record_withdrawal(struct fw_job *job, const char *reason, struct fw_error *err)
{
	const struct fw_record *last = fw_records_last_answer(&job->records);

	if (fw_records_released(&job->records))
		return fw_fail(err, FW_ERR_STATE, "the job is released; its answers stand");
	if (!last)
		return fw_fail(err, FW_ERR_STATE, "there is no answer to take back");
	json_t *value = json_pack("{s:I}", "entry", (json_int_t)last->seq);
	int code = value ? fw_job_record(job, "withdraw", last->step, NULL, reason, value, err)
	                 : no_memory(err);
	json_decref(value);
	return code;
}

int fw_job_withdraw(struct fw_job *job, const char *reason, struct fw_error *err)
{
	int code = check_name("the reason for taking an answer back", reason, err);
	if (code != FW_OK)
		return code;
	fw_records_free(&job->records);
	code = fw_records_read(&job->records, job->trail, job->number, err);
	if (code == FW_OK)
		code = record_withdrawal(job, reason, err);
	if (code == FW_OK)
		code = fw_job_load(job, job->number, job->who, err);
	if (code == FW_OK)
		code = fw_job_record_findings(job, err);
	fw_records_free(&job->records);
	return code;
}

int fw_job_take_back(struct fw_trail *trail, int64_t number, const char *who, const char *reason,
                     fw_clock clock, void *clock_context, struct fw_error *err)
{
	int code = check_name("the reason for taking an answer back", reason, err);
	if (code == FW_OK && !is_blank(who))
		code = check_name("the name of who works on it", who, err);
	if (code != FW_OK)
		return code;
	struct fw_job *job = fw_job_new(trail, clock, clock_context);
	if (!job)
		return no_memory(err);
	job->number = number;
	code = fw_records_read(&job->records, trail, number, err);
	if (code == FW_OK)
		code = take_beginning(job, who, err);
	if (code == FW_OK)
		code = record_withdrawal(job, reason, err);
	fw_job_close(job);
	return code;
}
