/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answers that stand, in the order in which the procedure asks; and a job opened to look at
 * them. */
#include "amend.h"

static int visit_record(struct fw_record *record, int64_t job,
                        int (*visit)(void *context, const struct fw_given *given), void *context,
                        struct fw_error *err)
{
	int code = fw_record_parse(record, job, err);

	if (code != FW_OK)
		return code;
	const struct fw_given given = {
	    .seq = record->seq,
	    .word = json_string_value(json_object_get(record->ask, "word")),
	    .step = record->step,
	    .item = json_string_value(json_object_get(record->ask, "item")),
	    .typed = record->typed,
	    .option = json_string_value(json_object_get(record->value, "option")),
	    .signature = fw_record_is(record, "sign"),
	    .amendment = fw_record_is(record, "amend"),
	};
	return visit(context, &given);
}

int fw_job_given(struct fw_job *job, int (*visit)(void *context, const struct fw_given *given),
                 void *context, struct fw_error *err)
{
	struct fw_job *second;
	int code = fw_amend_second(&second, job, err);

	if (code != FW_OK)
		return code;
	for (size_t i = 0; code == FW_OK && i < second->run.recorded; i++)
		code = visit_record(&second->records.list[second->run.order[i]], second->number, visit,
		                    context, err);
	fw_job_close(second);
	return code;
}

int fw_job_look(struct fw_job **out, struct fw_trail *trail, int64_t number, const char *who,
                fw_clock clock, void *clock_context, struct fw_error *stuck, struct fw_error *err)
{
	struct fw_error failed = {0};
	struct fw_job *job = fw_job_new(trail, clock, clock_context);

	*out = NULL;
	if (stuck)
		fw_error_clear(stuck);
	if (!job)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int code =
	    fw_job_is_blank(who) ? FW_OK : fw_job_check_name("the name of who works on it", who, err);
	if (code == FW_OK) {
		code = fw_job_load(job, number, who, &failed);
		if (code == FW_ERR_SCRIPT || code == FW_ERR_LIMIT) {
			if (stuck)
				*stuck = failed;
			code = FW_OK;
		} else if (code != FW_OK) {
			fw_fail(err, code, "%s", failed.text);
		}
	}
	fw_question_view_clear(&job->pending); /* to go on with it, it is resumed */
	if (code != FW_OK) {
		fw_job_close(job);
		return code;
	}
	*out = job;
	return FW_OK;
}
