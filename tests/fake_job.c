/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fake_job.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int64_t fw_job_number(const struct fw_job *job)
{
	(void)job;
	return 7;
}

const char *fw_job_title(const struct fw_job *job)
{
	(void)job;
	return "End float of an invented shaft";
}

const char *fw_job_unit(const struct fw_job *job)
{
	(void)job;
	return "gearbox 4-118";
}

const char *fw_job_who(const struct fw_job *job)
{
	(void)job;
	return "B. Hand";
}

const struct fw_question *fw_job_pending(const struct fw_job *job)
{
	return job->at < job->count ? &job->steps[job->at].question : NULL;
}

size_t fw_job_answered(const struct fw_job *job)
{
	return job->at;
}

const struct fw_finding *fw_job_findings(const struct fw_job *job, size_t *count)
{
	*count = job->at > 0 ? job->steps[job->at - 1].finding_count : 0;
	return job->at > 0 ? job->steps[job->at - 1].findings : NULL;
}

int fw_job_signers(const struct fw_job *job, char *out, size_t size, struct fw_error *err)
{
	(void)job;
	(void)err;
	snprintf(out, size, "%s", "");
	return FW_OK;
}

static int judge(const struct fw_question *question, const char *typed, bool confirmed,
                 struct fw_error *err)
{
	struct fw_quantity q;
	char slip[256];

	if (question->ask == FW_ASK_TEXT && !*typed && !question->optional)
		return fw_fail(err, FW_ERR_INPUT, "words are expected");
	if (question->ask == FW_ASK_CHOICE &&
	    (atoi(typed) < 1 || atoi(typed) > (int)question->option_count))
		return fw_fail(err, FW_ERR_INPUT, "'%s' is none of the choices", typed);
	if (question->ask != FW_ASK_QUANTITY)
		return FW_OK;
	int code = fw_quantity_parse(&q, typed, question->unit, err);
	if (code == FW_OK && !confirmed &&
	    fw_quantity_implausible(&q, question->low, question->high, slip, sizeof slip))
		code = fw_fail(err, FW_ERR_IMPLAUSIBLE, "%s", slip);
	return code;
}

int fw_job_answer(struct fw_job *job, const char *typed, bool confirmed, struct fw_error *err)
{
	const struct fw_question *question = fw_job_pending(job);

	if (!question)
		return fw_fail(err, FW_ERR_STATE, "nothing is pending");
	if (job->fail)
		return fw_fail(err, job->fail, "made to fail");
	int code = judge(question, typed, confirmed, err);
	if (code != FW_OK)
		return code;
	snprintf(job->typed[job->at], sizeof job->typed[0], "%s", typed);
	job->confirmed[job->at] = confirmed;
	job->at++;
	return FW_OK;
}

int fw_job_withdraw(struct fw_job *job, const char *reason, struct fw_error *err)
{
	if (job->at == 0 || job->at == job->count)
		return fw_fail(err, FW_ERR_STATE, "there is no answer to take back");
	snprintf(job->reason, sizeof job->reason, "%s", reason);
	job->withdrawn++;
	job->at--;
	return FW_OK;
}

/* Answer number n stands in entry n + 1; amending one makes the next one lapse. */
int fw_job_given(struct fw_job *job, int (*visit)(void *context, const struct fw_given *given),
                 void *context, struct fw_error *err)
{
	int code = FW_OK;

	(void)err;
	for (size_t i = 0; code == FW_OK && i < job->at; i++) {
		const struct fw_question *q = &job->steps[i].question;
		const struct fw_given given = {.seq = (int64_t)i + 2,
		                               .word = q->word,
		                               .step = q->step,
		                               .item = q->item,
		                               .typed = job->typed[i],
		                               .signature = q->ask == FW_ASK_SIGN};
		code = visit(context, &given);
	}
	return code;
}

static int check_amended(const struct fw_job *job, int64_t seq, const char *typed, bool confirmed,
                         struct fw_error *err)
{
	if (seq < 2 || seq >= (int64_t)job->at + 2)
		return fw_fail(err, FW_ERR_NOT_FOUND, "no answer stands in entry %d", (int)seq);
	return judge(&job->steps[seq - 2].question, typed, confirmed, err);
}

static char *copy(const char *text)
{
	return text ? strdup(text) : NULL;
}

int fw_job_amend_look(struct fw_job *job, int64_t seq, const char *typed, bool confirmed,
                      struct fw_amendment **out, struct fw_error *err)
{
	int code = check_amended(job, seq, typed, confirmed, err);

	*out = NULL;
	if (code != FW_OK)
		return code;
	struct fw_amendment *it = calloc(1, sizeof *it);
	size_t at = (size_t)seq - 2;
	it->seq = seq;
	it->step = copy(job->steps[at].question.step);
	it->item = copy(job->steps[at].question.item);
	it->was = copy(job->typed[at]);
	it->will_be = copy(typed);
	it->lapsed = at + 1 < job->at;
	it->kept = job->at - at - 1 - it->lapsed;
	it->lapsed_text = calloc(1, sizeof *it->lapsed_text);
	if (it->lapsed)
		it->lapsed_text[0] = copy(job->steps[at + 1].question.step);
	it->next = copy(job->steps[at + 1].question.step);
	*out = it;
	return FW_OK;
}

void fw_amendment_free(struct fw_amendment *it)
{
	if (!it)
		return;
	free(it->step);
	free(it->item);
	free(it->was);
	free(it->will_be);
	free(it->lapsed_text[0]);
	free(it->lapsed_text);
	free(it->next);
	free(it);
}

int fw_job_amend(struct fw_job *job, int64_t seq, const char *typed, bool confirmed,
                 const char *reason, struct fw_error *err)
{
	int code = check_amended(job, seq, typed, confirmed, err);

	if (code != FW_OK)
		return code;
	snprintf(job->typed[seq - 2], sizeof job->typed[0], "%s", typed);
	job->confirmed[seq - 2] = confirmed;
	snprintf(job->reason, sizeof job->reason, "%s", reason);
	job->at = (size_t)seq - 1; /* what lapsed, and all behind it, is asked again */
	job->amended++;
	return FW_OK;
}

/* Takes any file but "missing" for a photo; a name that ends in .png doesn't fit. */
int fw_job_attach(struct fw_job *job, const char *path, const char *note, struct fw_error *err)
{
	if (strcmp(path, "missing") == 0)
		return fw_fail(err, FW_ERR_INPUT, "missing: there is no such file");
	size_t length = strlen(path);
	job->attached.seq = 9;
	job->attached.size++;
	job->attached.kind = "image/jpeg";
	job->attached.words = "a JPEG photo";
	job->attached.name_fits = length < 4 || strcmp(path + length - 4, ".png") != 0;
	snprintf(job->attached.name, sizeof job->attached.name, "%s", path);
	snprintf(job->note, sizeof job->note, "%s", note ? note : "(none)");
	return FW_OK;
}

const struct fw_attached *fw_job_attached(const struct fw_job *job)
{
	return &job->attached;
}

const struct fw_shop_gauge *fw_job_gauge(const struct fw_job *job, const char **note)
{
	*note = job->gauge_note;
	return job->gauge_used > 0 ? &job->gauge[job->gauge_used - 1] : NULL;
}

const struct fw_shop_gauge *fw_job_gauge_at(const struct fw_job *job, size_t index)
{
	return index < job->gauges ? &job->gauge[index] : NULL;
}

int fw_job_use_gauge(struct fw_job *job, const char *id, struct fw_error *err)
{
	for (size_t i = 0; i < job->gauges; i++)
		if (strcmp(job->gauge[i].id, id) == 0) {
			job->gauge_used = i + 1;
			return FW_OK;
		}
	if (strcmp(id, "none") != 0)
		return fw_fail(err, FW_ERR_INPUT, "no gauge '%s' is registered", id);
	job->gauge_used = 0;
	return FW_OK;
}
