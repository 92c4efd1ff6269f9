/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A released job is opened again. */
#include <stdio.h>
#include <string.h>

#include "job_internal.h"

#define MEANING "I open this released job again."

/* Index in the order asked of the first answer that is struck: of the signatures at the end; where
 * there is none, of the last answer, so that something is asked before the job is released again.
 */
static size_t first_struck(const struct fw_job *job)
{
	const struct fw_run *run = &job->run;
	size_t from = run->recorded;

	while (from > 0 && fw_record_is(&job->records.list[run->order[from - 1]], "sign"))
		from--;
	return from == run->recorded && from > 0 ? from - 1 : from;
}

/* Whether the record is among those answers, or was found after one of them. */
static bool is_struck(const struct fw_job *job, size_t at, size_t first, int64_t *since)
{
	const struct fw_record *record = &job->records.list[at];

	if (!record->struck && fw_record_is(record, "finding"))
		return record->seq > *since;
	for (size_t i = first; i < job->run.recorded; i++)
		if (job->run.order[i] == at) {
			*since = record->seq < *since ? record->seq : *since;
			return true;
		}
	return false;
}

json_t *fw_reopen_list(const struct fw_job *job)
{
	size_t first = first_struck(job);
	int64_t since = INT64_MAX;
	json_t *list = json_array();

	for (size_t i = 0; list && i < job->records.count; i++) {
		if (!is_struck(job, i, first, &since) ||
		    json_array_append_new(list, json_integer((json_int_t)job->records.list[i].seq)) == 0)
			continue;
		json_decref(list);
		return NULL;
	}
	return list;
}

const char *fw_reopen_role(const struct fw_job *job, struct fw_error *err)
{
	const struct fw_run *run = &job->run;

	for (size_t i = run->recorded; i > 0; i--) {
		struct fw_record *record = &job->records.list[run->order[i - 1]];
		if (!fw_record_is(record, "sign"))
			continue;
		const char *role = fw_record_parse(record, job->number, err) == FW_OK
		                       ? json_string_value(json_object_get(record->value, "role"))
		                       : NULL;
		return role && *role ? role : "release";
	}
	return "release";
}

/* A signature in the role `release`, where the signer has that, else in that of the last signature.
 */
static int sign(struct fw_job *job, const char *signer, const char *reason, json_t **value,
                char at[32], struct fw_error *err)
{
	struct fw_to_sign what = {.purpose = FW_FOR_REOPEN,
	                          .name = signer,
	                          .role = "release",
	                          .meaning = MEANING,
	                          .reason = reason};
	struct fw_people people;
	const char *role = fw_reopen_role(job, err);
	int code = fw_people_read(&people, job->trail, 0, err);

	if (code != FW_OK)
		return code;
	const struct fw_person *person = fw_people_find(&people, signer);
	if (!person || !fw_person_has_role(person, what.role))
		what.role = role;
	code = fw_job_signature_value(job, &what, value, at, err);
	fw_people_free(&people);
	return code;
}

static int record_reopening(struct fw_job *job, const char *signer, const char *reason,
                            struct fw_error *err)
{
	json_t *value = NULL, *list = fw_reopen_list(job);
	char at[32] = "";
	int code = list ? sign(job, signer, reason, &value, at, err) : fw_no_memory(err);

	if (code == FW_OK && json_object_set(value, "entries", list) != 0)
		code = fw_no_memory(err);
	if (code == FW_OK)
		code = fw_job_record_at(job, at, "reopen", NULL, NULL, signer, value, err);
	json_decref(value);
	json_decref(list);
	return code;
}

static int check(const struct fw_job *job, struct fw_error *err)
{
	const long long number = (long long)job->number;

	if (!job->released)
		return fw_fail(err, FW_ERR_STATE, "job %lld isn't released; nothing has to be opened again",
		               number);
	if (job->run.recorded == 0)
		return fw_fail(err, FW_ERR_STATE,
		               "job %lld asked nothing, so there is nothing in it to be opened again",
		               number);
	return FW_OK;
}

int fw_job_reopen(struct fw_trail *trail, int64_t number, const char *who, const char *signer,
                  const char *reason, const struct fw_unlock *unlock, fw_clock clock,
                  void *clock_context, struct fw_error *err)
{
	int code = fw_job_check_name("the reason for opening the job again", reason, err);
	if (code == FW_OK)
		code = fw_job_check_name("the name of who signs", signer, err);
	if (code == FW_OK && !fw_job_is_blank(who))
		code = fw_job_check_name("the name of who works on it", who, err);
	if (code != FW_OK)
		return code;
	struct fw_job *job = fw_job_new(trail, clock, clock_context);
	if (!job)
		return fw_no_memory(err);
	fw_job_set_unlock(job, unlock);
	code = fw_job_load(job, number, who, err);
	if (code == FW_OK)
		code = check(job, err);
	if (code == FW_OK)
		code = fw_lease_take(&job->lease, trail, number, job->who, err);
	if (code == FW_OK)
		code = record_reopening(job, signer, reason, err);
	fw_job_close(job);
	return code;
}
