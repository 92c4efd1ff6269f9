/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Branches of a job that were left: what was taken back, amended or lapsed counts no more, and is
 * kept. The record is worked out again as it stood just before each. */
#include <stdio.h>
#include <string.h>

#include "audit_internal.h"

/* Most answers handed over in all branches of a job; each branch is run from the start. */
#define ANSWERS_MOST 1000000

struct branches {
	struct fw_audit *audit;
	struct fw_job *job;
	size_t fed, left_out;
};

static void on_branch_answer(void *context, const struct fw_record *record,
                             const struct fw_question *question)
{
	struct fw_audit *audit = context;

	fw_audit_on_answer(audit, record, question);
	audit->sum->answers--; /* it counts no more */
}

/* Runs the procedure through the first `count` entries as they stood then. False, and said so, when
 * they can't be worked out again. */
static bool replay(struct branches *it, size_t count)
{
	const struct fw_replay_watch watch = {it->audit, fw_audit_on_finding, on_branch_answer,
	                                      fw_audit_again};
	struct fw_job *job = it->job;
	struct fw_error error = {0};
	size_t all = job->records.count;

	job->records.count = count;
	fw_records_strike(&job->records);
	job->watch = &watch;
	int code = fw_job_replay(job, &error);
	job->watch = NULL;
	it->fed += job->run.recorded;
	/* The procedure may have failed on the last answer: then it was taken back, or amended, for
	 * that. */
	bool good = code == FW_OK || fw_audit_fails_at_end(job, code);
	job->records.count = all;
	if (!good)
		fw_audit_say(it->audit, FW_AUDIT_BROKEN, job->records.list[count].seq, error.text,
		             "what stood before this entry can't be worked out again");
	return good;
}

static void say_broken(struct branches *it, size_t at, const char *what, const char *means)
{
	fw_audit_say(it->audit, FW_AUDIT_BROKEN, it->job->records.list[at].seq, what, means);
}

static bool lists(const json_t *list, size_t at, const struct fw_record *record)
{
	return json_integer_value(json_array_get(list, at)) == record->seq;
}

/* A lapse lists what the run before it says, and no other. */
static void check_lapse(struct branches *it, size_t at)
{
	const struct fw_records *records = &it->job->records;
	const json_t *list = json_object_get(records->list[at].value, "entries");
	size_t found = 0;
	bool same = true;

	for (size_t i = 0; i < at; i++)
		if (records->list[i].due)
			same = lists(list, found++, &records->list[i]) && same;
	if (!same || found != json_array_size(list))
		say_broken(it, at, "it lists other answers than those that lapsed there",
		           "answers were given up that stand, or kept that belong to other work");
}

static void check_reopening(struct branches *it, size_t at)
{
	const struct fw_job *job = it->job;
	const char *role = json_string_value(json_object_get(job->records.list[at].value, "role"));
	size_t all = job->records.count;

	it->job->records.count = at;
	json_t *list = fw_reopen_list(job);
	const char *last = fw_reopen_role(job, NULL);
	it->job->records.count = all;
	if (!job->released ||
	    !json_equal(list, json_object_get(job->records.list[at].value, "entries")))
		say_broken(it, at, "it strikes other entries than the signatures at the end",
		           "no release of this program wrote it so");
	if (!role || (strcmp(role, "release") != 0 && strcmp(role, last) != 0))
		say_broken(it, at, "it is signed in another role than 'release' or that of the release",
		           "no release of this program wrote it so");
	json_decref(list);
}

/* What is corrected is what was read; no other gauge was in hand. */
static bool same_gauge(const struct fw_record *a, const struct fw_record *b)
{
	json_t *one = json_object_get(a->value, "gauge"), *other = json_object_get(b->value, "gauge");

	return one && other ? json_equal(one, other) : one == other;
}

static void check_amendment(struct branches *it, size_t at)
{
	const struct fw_records *records = &it->job->records;
	const json_t *amends = json_object_get(records->list[at].value, "amends");
	const struct fw_record *old = fw_records_find(records, json_integer_value(amends));

	if (!old || !old->met)
		say_broken(it, at, "it amends an answer that the procedure hadn't come to then",
		           "no release of this program wrote it so");
	else if (!same_gauge(old, &records->list[at]))
		say_broken(it, at, "it names another gauge than the reading that it amends",
		           "the uncertainty of that reading rests on a gauge that wasn't in hand");
}

/* Each entry that leaves a branch; what is to be looked at when the branch was run. */
static const struct {
	const char *kind;
	void (*check)(struct branches *it, size_t at); /* NULL: nothing more */
} ends[] = {
    {"withdraw", NULL},
    {"amend", check_amendment},
    {"lapse", check_lapse},
    {"reopen", check_reopening},
};

/* Behind a withdrawal the record stands as it stood at some entry before, and what it holds was
 * met: only files may have come since. */
static bool is_known(const struct fw_records *records, size_t at)
{
	while (at > 0 && fw_record_is(&records->list[at - 1], "evidence"))
		at--;
	return at > 0 && fw_record_is(&records->list[at - 1], "withdraw") &&
	       fw_record_is(&records->list[at], "withdraw");
}

/* Held against its own question, which was met with another answer. */
static bool check_alone(struct branches *it, struct fw_record *record)
{
	struct fw_question_view view = {0};
	struct fw_error error = {0};

	if (fw_question_view_set(&view, record->ask, &error) != FW_OK)
		return false;
	record->checked = true;
	on_branch_answer(it->audit, record, &view.question);
	fw_question_view_clear(&view);
	return true;
}

/* The first entry behind `at` that isn't a file attached. */
static size_t behind(const struct fw_records *records, size_t at)
{
	do
		at++;
	while (at < records->count && fw_record_is(&records->list[at], "evidence"));
	return at;
}

/* Whether nothing was found from the answer that is taken back, and the same question was answered
 * anew: then there is nothing to be worked out, as the procedure asks it there again in another
 * branch. */
static bool is_answered_anew(const struct fw_records *records, size_t at)
{
	const json_t *entry = json_object_get(records->list[at].value, "entry");
	const struct fw_record *old = fw_records_find(records, json_integer_value(entry));
	size_t anew = behind(records, at);

	return fw_record_is(&records->list[at], "withdraw") && old && anew < records->count &&
	       !fw_record_is(old, "amend") && behind(records, (size_t)(old - records->list)) == at &&
	       strcmp(records->list[anew].kind, old->kind) == 0 &&
	       strcmp(records->list[anew].ask_text, old->ask_text) == 0;
}

static void run_branch(struct branches *it, size_t at)
{
	const struct fw_records *records = &it->job->records;
	const json_t *entry = json_object_get(records->list[at].value, "entry");

	if (is_answered_anew(records, at) &&
	    check_alone(it, fw_records_find(records, json_integer_value(entry))))
		return;
	for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
		if (!fw_record_is(&records->list[at], ends[i].kind) || is_known(records, at))
			continue;
		if (it->fed > ANSWERS_MOST)
			it->left_out++;
		else if (replay(it, at) && ends[i].check)
			ends[i].check(it, at);
	}
}

/* An amendment that was taken back before the procedure came to it again has its question to be
 * held against. */
static void check_unmet(struct branches *it, struct fw_record *record)
{
	if (!fw_record_is(record, "amend") || !check_alone(it, record))
		fw_audit_say(it->audit, FW_AUDIT_BROKEN, record->seq,
		             "worked out again, the job never comes to it",
		             "it follows from nothing that was recorded");
}

static void say_left_out(const struct branches *it)
{
	char what[160];

	snprintf(what, sizeof what, "%zu branches that were left were not worked out again, for time",
	         it->left_out);
	fw_audit_say(it->audit, FW_AUDIT_OPEN, 0, what,
	             "what was taken back there was checked by the chain alone");
}

void fw_audit_branches(struct fw_audit *audit, struct fw_job *job)
{
	struct branches it = {.audit = audit, .job = job};

	for (size_t i = 1; i < job->records.count; i++)
		run_branch(&it, i);
	fw_records_strike(&job->records);
	if (it.left_out > 0) {
		say_left_out(&it);
		return;
	}
	for (size_t i = 1; i < job->records.count; i++) {
		struct fw_record *record = &job->records.list[i];
		if (!record->checked && (fw_record_answers(record) || fw_record_is(record, "finding")))
			check_unmet(&it, record);
	}
}
