/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stored procedure, run again through what was recorded. docs/replay.md has the rules. */
#include <stdlib.h>
#include <string.h>

#include "run.h"

static bool same_text(const char *a, const char *b)
{
	return a && b ? strcmp(a, b) == 0 : a == b;
}

static int mismatch(const struct fw_job *job, const struct fw_record *record, const char *what,
                    struct fw_error *err)
{
	return fw_fail(
	    err, FW_ERR_REPLAY,
	    "job %lld, entry %lld (%s%s%s): %s; nothing was changed. The stored procedure, or the "
	    "program that runs it, is not the one that was recorded: audit the job",
	    (long long)job->number, (long long)record->seq, record->kind, record->step ? " " : "",
	    record->step ? record->step : "", what);
}

/* ---- findings ---- */

/* What reads the same needn't be parsed. */
static void lend(json_t **to, const json_t *from)
{
	if (!*to)
		*to = json_incref((json_t *)from);
}

/* Held against the recorded one: as text, which is quick, else with the tolerance of an audit. */
static int is_alike(bool *out, const struct fw_job *job, struct fw_record *record, const char *step,
                    const json_t *ask, const json_t *value, struct fw_error *err)
{
	const bool same_step = same_text(record->step, step);

	*out = same_step && fw_json_reads(ask, record->ask_text) &&
	       fw_json_reads(value, record->value_text);
	if (*out && job->watch) {
		lend(&record->ask, ask);
		lend(&record->value, value);
	}
	if (*out)
		return FW_OK;
	int code = fw_record_parse(record, job->number, err);
	*out = code == FW_OK && same_step && fw_json_alike(record->ask, ask, FW_AUDIT_TOLERANCE) &&
	       fw_json_alike(record->value, value, FW_AUDIT_TOLERANCE);
	return code;
}

static int meet_finding(struct fw_job *job, struct fw_record *record, const char *step,
                        const json_t *ask, const json_t *value, struct fw_error *err)
{
	bool alike;

	if (record->checked)
		return FW_OK; /* an audit doesn't look twice */
	int code = is_alike(&alike, job, record, step, ask, value, err);
	if (code != FW_OK)
		return code;
	record->checked = job->watch != NULL;
	if (job->watch)
		job->watch->finding(job->watch->context, record, alike, ask, value);
	else if (!alike)
		return mismatch(job, record, "worked out again it comes to something else", err);
	return FW_OK;
}

static int on_finding(void *context, const char *step, const json_t *ask, const json_t *value,
                      struct fw_error *err)
{
	static const char too_much[] = "the procedure now works something out where this was recorded";
	struct fw_job *job = context;
	struct fw_run *run = &job->run;
	struct fw_record *record = fw_run_next_finding(run);
	const struct fw_record *live = fw_run_next_live(run),
	                       *release = record ? NULL : fw_run_release(run);

	if (live && (!record || live->seq < record->seq))
		return mismatch(job, live, too_much, err);
	if (release)
		return mismatch(job, release, too_much, err);
	if (!record)
		return fw_job_keep_finding(job, step, ask, value, false, err);
	if (record->seq < run->latest)
		return mismatch(job, record, "it was recorded before an answer that it follows from", err);
	int code = meet_finding(job, record, step, ask, value, err);
	if (code != FW_OK)
		return code;
	run->next_finding++;
	return fw_job_keep_finding(job, step, ask, value, true, err);
}

/* ---- the script ---- */

static int on_module(void *context, const char *name, char **bytes, size_t *size,
                     struct fw_error *err)
{
	struct fw_job *job = context;
	return fw_sources_module(&job->sources, name, bytes, size, err);
}

static int make_script(struct fw_job *job, struct fw_error *err)
{
	const struct fw_script_host host = {job, on_finding, on_module, job->rules};
	const struct fw_named_source *procedure = &job->sources.procedure, *sheet = &job->sources.sheet;
	const struct fw_script_text procedure_text = {procedure->name, procedure->bytes,
	                                              procedure->size};
	const struct fw_script_text sheet_text = {sheet->name, sheet->bytes, sheet->size};

	return fw_script_new(&job->script, &procedure_text, sheet->name ? &sheet_text : NULL, &host,
	                     err);
}

/* ---- answers ---- */

static bool is_bench(const struct fw_question *question)
{
	return question->ask == FW_ASK_DONE || question->ask == FW_ASK_QUANTITY;
}

/* Whether the recorded question is this one, to the letter (`*out` when that is known already);
 * else, whatever the order of its keys. */
static int is_same_question(bool *out, const struct fw_job *job, struct fw_record *record,
                            json_t *question, struct fw_error *err)
{
	const struct fw_question *q = &job->pending.question;

	const bool reads = *out;
	*out = false;
	if (!same_text(record->step, q->step) ||
	    fw_record_is(record, "sign") != (q->ask == FW_ASK_SIGN))
		return FW_OK;
	*out = reads || fw_json_reads(question, record->ask_text);
	if (*out && job->watch)
		lend(&record->ask, question);
	if (*out)
		return FW_OK;
	int code = fw_record_parse(record, job->number, err);
	*out = code == FW_OK && json_equal(record->ask, question);
	return code;
}

/* An audit reads again what was typed; where that comes to what was recorded, it needn't be parsed.
 */
static int read_value(struct fw_job *job, struct fw_record *record, struct fw_error *err)
{
	const struct fw_replay_watch *watch = job->watch;

	if (watch && watch->again && !record->value) {
		record->value = watch->again(&job->pending.question, record);
		record->again = record->value != NULL;
	}
	return fw_record_parse_value(record, job->number, err);
}

/* Hands one recorded answer over. */
static int feed(struct fw_job *job, struct fw_record *record, struct fw_error *err)
{
	struct fw_run *run = &job->run;
	const struct fw_question *question = &job->pending.question;
	const struct fw_record *finding = fw_run_next_finding(run);
	struct fw_answer answer;

	if (finding && finding->seq < record->seq)
		return mismatch(job, finding, "the procedure now asks something where this was recorded",
		                err);
	int code = read_value(job, record, err);
	if (code != FW_OK)
		return code;
	if (!fw_json_answer_read(&answer, question, record->value))
		return mismatch(job, record, "the recorded answer doesn't fit its question", err);
	if (job->watch && !record->checked) {
		record->checked = true;
		job->watch->answer(job->watch->context, record, question);
	}
	record->met = true;
	run->order[run->recorded++] = (size_t)(record - run->records->list);
	run->met++;
	run->unmet--;
	run->live -= record->seq > run->amended;
	if (is_bench(question))
		run->bench = record->root;
	if (record->seq > run->latest) {
		run->latest = record->seq;
		if (!fw_job_has_new_findings(job)) /* they are to be recorded yet */
			fw_job_drop_findings(job);     /* the later answer brought what comes now */
	}
	job->finding_base = job->findings;
	code = fw_job_gauges_met(job, question, &answer, err);
	return code == FW_OK ? fw_script_answer(job->script, &answer, err) : code;
}

/* Nothing may be left that was recorded since the last amendment, when the procedure asks (or ends)
 * and no answer is there. */
static int check_rest(struct fw_job *job, const char *what, struct fw_error *err)
{
	const struct fw_record *finding = fw_run_next_finding(&job->run),
	                       *live = fw_run_next_live(&job->run),
	                       *release = fw_run_release(&job->run);
	const struct fw_record *first = live ? live : finding;

	if (live && finding && finding->seq < live->seq)
		first = finding;
	first = first ? first : release;
	return first ? mismatch(job, first, what, err) : FW_OK;
}

/* The answer recorded for the pending question, where it still counts: the question comes up word
 * for word, and after no work at the bench that was done later. NULL: it is to be asked. */
static int find_answer(struct fw_record **out, struct fw_job *job, json_t *question,
                       struct fw_error *err)
{
	struct fw_run *run = &job->run;
	struct fw_record *record = NULL;
	bool same = false;

	*out = NULL;
	if (!run->records || run->unmet == 0)
		return FW_OK;
	int code = fw_standing_find(&record, &same, &run->standing, question, err);
	if (code == FW_OK && record)
		code = is_same_question(&same, job, record, question, err);
	if (code != FW_OK || !record)
		return code;
	bool live = record->seq > run->amended;
	if (live && !same)
		return mismatch(job, record, "the procedure now asks otherwise", err);
	if (live && (record->seq < run->latest || record != fw_run_next_live(run)))
		return mismatch(job, record, "the procedure now asks in another order", err);
	bool late = record->root < run->bench;
	if (late && run->bench > run->amended) /* given before that work was, it was to lapse then */
		return mismatch(job, record, "it belongs before work that was done since, and didn't lapse",
		                err);
	if (same && !late)
		*out = record;
	else
		fw_run_lapse(run, record);
	return FW_OK;
}

/* One question: its recorded answer is handed over, or it is what is asked now. */
static int meet_question(struct fw_job *job, json_t *question, bool *asked, struct fw_error *err)
{
	struct fw_record *record;
	int code = fw_question_view_set(&job->pending, question, err);

	*asked = false;
	if (code == FW_OK)
		code = find_answer(&record, job, question, err);
	if (code != FW_OK)
		return code;
	if (record)
		return feed(job, record, err);
	code = check_rest(job, "the procedure now asks something else before this", err);
	if (code == FW_OK && is_bench(&job->pending.question))
		fw_run_lapse_rest(&job->run); /* the work goes another way from here */
	*asked = code == FW_OK;
	return code;
}

/* The script has ended: so must the record. */
static int meet_end(struct fw_job *job, struct fw_error *err)
{
	static const char early[] = "the procedure now ends before this";
	struct fw_run *run = &job->run;
	const struct fw_record *release = fw_run_release(run), *finding = fw_run_next_finding(run);

	fw_question_view_clear(&job->pending); /* it shows the last question that was fed */
	if (run->live > 0 || (finding && !release))
		return check_rest(job, early, err);
	if (release && (finding || run->unmet > 0 || run->due))
		return mismatch(job, release, "more was recorded than the procedure now comes to", err);
	job->released = release != NULL;
	fw_run_lapse_rest(run);
	return FW_OK;
}

/* On through the recorded answers to the first question that has none, or to the end. */
static int run_records(struct fw_job *job, struct fw_error *err)
{
	bool asked = false;
	int code = FW_OK;

	while (code == FW_OK && !asked) {
		json_t *question = fw_script_question(job->script);
		if (!question) {
			code = meet_end(job, err);
			break;
		}
		code = meet_question(job, question, &asked, err);
	}
	job->answered = job->run.met + job->run.unmet;
	return code;
}

int fw_job_replay(struct fw_job *job, struct fw_error *err)
{
	fw_job_drop_findings(job);
	fw_question_view_clear(&job->pending);
	fw_job_gauges_rewind(job);
	job->answered = 0;
	job->released = false;
	fw_script_free(job->script);
	job->script = NULL;
	int code = fw_run_start(job, err);
	if (code == FW_OK)
		code = make_script(job, err);
	if (code == FW_OK)
		code = fw_script_start(job->script, err);
	if (code == FW_OK)
		code = run_records(job, err);
	if (code == FW_OK)
		code = fw_job_show_findings(job, err);
	if (code != FW_OK)
		fw_question_view_clear(&job->pending);
	return code;
}

int fw_job_run_on(struct fw_job *job, const struct fw_answer *answer, struct fw_error *err)
{
	struct fw_run *run = &job->run;

	run->met++;
	run->latest = job->last_seq;
	if (is_bench(&job->pending.question))
		run->bench = job->last_seq;
	fw_job_drop_findings(job);
	int code = fw_job_gauges_met(job, &job->pending.question, answer, err);
	if (code == FW_OK)
		code = fw_script_answer(job->script, answer, err);
	if (code == FW_OK)
		code = run_records(job, err);
	else
		job->answered++;
	if (code == FW_OK)
		code = fw_job_record_findings(job, err);
	if (code == FW_OK)
		code = fw_job_show_findings(job, err);
	if (code != FW_OK)
		fw_question_view_clear(&job->pending);
	return code;
}
