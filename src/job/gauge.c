/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's gauges as a job sees them: the register, which fit the question, what was used so far.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "job/gauge.h"
#include "job_internal.h"
#include "shop/words.h"

void fw_job_gauges_clear(struct fw_job_gauges *gauges)
{
	for (size_t i = 0; i < gauges->choices; i++) {
		free(gauges->choice[i].kind);
		free(gauges->choice[i].used);
		free(gauges->choice[i].chosen);
	}
	free(gauges->choice);
	fw_shop_gauges_free(&gauges->shelf);
	memset(gauges, 0, sizeof *gauges);
}

/* ---- what was used, and chosen ---- */

struct fw_gauge_choice *fw_gauges_choice(const struct fw_job_gauges *gauges, const char *kind)
{
	for (size_t i = 0; i < gauges->choices; i++)
		if (fw_words_alike(gauges->choice[i].kind, kind))
			return &gauges->choice[i];
	return NULL;
}

int fw_gauges_make_choice(struct fw_gauge_choice **out, struct fw_job_gauges *gauges,
                          const char *kind, struct fw_error *err)
{
	*out = fw_gauges_choice(gauges, kind);
	if (*out)
		return FW_OK;
	struct fw_gauge_choice *list =
	    realloc(gauges->choice, (gauges->choices + 1) * sizeof *gauges->choice);
	if (!list)
		return fw_no_memory(err);
	gauges->choice = list;
	list[gauges->choices] = (struct fw_gauge_choice){.kind = strdup(kind)};
	if (!list[gauges->choices].kind)
		return fw_no_memory(err);
	*out = &list[gauges->choices++];
	return FW_OK;
}

int fw_gauges_keep_text(char **out, const char *text, struct fw_error *err)
{
	if (*out && strcmp(*out, text) == 0)
		return FW_OK;
	char *copy = strdup(text);
	if (!copy)
		return fw_no_memory(err);
	free(*out);
	*out = copy;
	return FW_OK;
}

void fw_job_gauges_rewind(struct fw_job *job)
{
	struct fw_job_gauges *gauges = job->gauges;

	for (size_t i = 0; i < gauges->choices; i++) {
		free(gauges->choice[i].used);
		gauges->choice[i].used = NULL;
	}
	gauges->number = 0;
}

/* Which of how many readings of its measurement is asked for; false: it is no reading of one. */
static bool place_of(const struct fw_question *question, unsigned *number, unsigned *of)
{
	if (question->ask != FW_ASK_QUANTITY || strcmp(question->word, "measure") != 0)
		return false;
	*number = *of = 1;
	return !question->item || sscanf(question->item, "reading %u of %u", number, of) == 2;
}

int fw_job_gauges_met(struct fw_job *job, const struct fw_question *question,
                      const struct fw_answer *answer, struct fw_error *err)
{
	struct fw_job_gauges *gauges = job->gauges;
	const struct fw_answer_gauge *gauge = &answer->gauge;
	struct fw_gauge_choice *choice;

	gauges->number = 0;
	if (place_of(question, &gauges->number, &gauges->of)) {
		gauges->step = fw_source_name(question->step);
		gauges->entry = gauge->id ? gauge->entry : 0;
	}
	if (!gauge->id || !question->gauge)
		return FW_OK;
	int code = fw_gauges_make_choice(&choice, gauges, question->gauge, err);
	return code == FW_OK ? fw_gauges_keep_text(&choice->used, gauge->id, err) : code;
}

/* Whether the pending reading goes on with a measurement that has begun: all readings of one are
 * taken with one gauge. */
bool fw_gauges_goes_on(const struct fw_job *job)
{
	const struct fw_job_gauges *gauges = job->gauges;
	unsigned number, of;

	return place_of(&job->pending.question, &number, &of) && number > 1 &&
	       gauges->number == number - 1 && gauges->of == of &&
	       gauges->step == fw_source_name(job->pending.question.step);
}

/* ---- the shelf ---- */

/* Reads the register anew if something was recorded about it since. */
int fw_gauges_look_at_shelf(const struct fw_job *job, struct fw_error *err)
{
	struct fw_job_gauges *gauges = job->gauges;
	struct fw_shop_gauges fresh = {0};
	int64_t end = 0;
	int code = fw_trail_head(job->trail, FW_SHOP, &end, NULL, err);

	if (code == FW_ERR_NOT_FOUND) { /* a trail of format 1 */
		fw_error_clear(err);
		end = 0;
	} else if (code != FW_OK) {
		return code;
	}
	if (gauges->read && end == gauges->shelf.entries)
		return FW_OK;
	code = fw_shop_gauges_read(&fresh, job->trail, err);
	if (code != FW_OK)
		return code;
	fw_shop_gauges_free(&gauges->shelf);
	gauges->shelf = fresh;
	gauges->read = true;
	return FW_OK;
}

/* Whether it is of the kind that the pending question asks for, and reads what is asked for. Those
 * that were retired aren't there any more. */
bool fw_gauges_fits(const struct fw_job *job, const struct fw_shop_gauge *gauge)
{
	const struct fw_question *q = &job->pending.question;
	const struct fw_unit *unit = fw_unit_find(gauge->unit, strlen(gauge->unit));

	return !gauge->retired && fw_words_alike(gauge->kind, q->gauge) && unit &&
	       fw_dimension_equal(unit->dimension, q->unit->dimension);
}

const struct fw_shop_gauge *fw_gauges_find(const struct fw_job *job, const char *id)
{
	const struct fw_shop_gauge *gauge = id ? fw_shop_gauge_find(&job->gauges->shelf, id) : NULL;

	return gauge && fw_gauges_fits(job, gauge) ? gauge : NULL;
}

/* Whether the pending question asks for a reading off a gauge at all. A job of rules 1 knows none.
 */
bool fw_gauges_asked(const struct fw_job *job)
{
	const struct fw_question *q = &job->pending.question;

	return job->rules > 1 && job->pending.json && q->ask == FW_ASK_QUANTITY && q->gauge;
}

const struct fw_shop_gauge *fw_job_gauge_at(const struct fw_job *job, size_t index)
{
	struct fw_error error = {0};

	if (!fw_gauges_asked(job) || fw_gauges_look_at_shelf(job, &error) != FW_OK)
		return NULL;
	const struct fw_shop_gauges *shelf = &job->gauges->shelf;
	for (size_t i = 0; i < shelf->count; i++)
		if (fw_gauges_fits(job, &shelf->list[i]) && index-- == 0)
			return &shelf->list[i];
	return NULL;
}
