/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "solve/shim/together_internal.h"

/* Greatest growth of a response per growth of a stack: beyond, it is no shim's doing. */
#define PER_MOST 1000.0

const char *fw_tg_place_name(const struct fw_together *fit, size_t j, char *buffer)
{
	if (fit->place[j].name)
		snprintf(buffer, FW_TG_NAME, "%.60s", fit->place[j].name);
	else
		snprintf(buffer, FW_TG_NAME, "place %zu", j + 1);
	return buffer;
}

const char *fw_tg_response_name(const struct fw_together *fit, size_t i, char *buffer)
{
	if (fit->response[i].name)
		snprintf(buffer, FW_TG_NAME, "%.60s", fit->response[i].name);
	else
		snprintf(buffer, FW_TG_NAME, "response %zu", i + 1);
	return buffer;
}

static int place_check(const struct fw_together *fit, size_t j, struct fw_error *err)
{
	const struct fw_together_place *place = &fit->place[j];
	char name[FW_TG_NAME];
	bool moves = false, any = !place->fits;

	fw_tg_place_name(fit, j, name);
	if (place->most < 1 || place->most > FW_STACK_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: %zu shims at most asked for, must be 1 to %d",
		               name, place->most, FW_STACK_MOST);
	for (size_t i = 0; i < fit->responses; i++)
		moves = moves || fit->response[i].per[j] != 0.0;
	if (!moves)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: moves none of the responses; leave it out", name);
	for (size_t k = 0; k < fit->sizes && !any; k++)
		any = place->fits[k];
	if (!any)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: no size of the kit goes here", name);
	return FW_OK;
}

static int response_check(const struct fw_together *fit, size_t i, struct fw_error *err)
{
	const struct fw_together_response *response = &fit->response[i];
	char name[FW_TG_NAME], place[FW_TG_NAME];
	bool moves = false;

	fw_tg_response_name(fit, i, name);
	int rc = fw_limits_check(&response->limits, err);
	if (rc != FW_OK) {
		fw_error_prefix(err, "%s: ", name);
		return rc;
	}
	if (!(response->settle_u >= 0.0 && response->settle_u <= FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s: the uncertainty of seating must be finite and not negative", name);
	for (size_t j = 0; j < fit->places; j++) {
		double per = response->per[j];
		if (!(fabs(per) <= PER_MOST))
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "%s: how it moves with the stack at %s must be a plain number from "
			               "-1000 to 1000",
			               name, fw_tg_place_name(fit, j, place));
		moves = moves || per != 0.0;
	}
	if (!moves)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: no place moves it, so no shims can set it", name);
	return FW_OK;
}

int fw_together_check(const struct fw_together *fit, struct fw_error *err)
{
	int rc = FW_OK;

	if (!fit || !fit->place || !fit->response || fit->places < 1 || fit->responses < 1)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: at least one place and one response");
	if (fit->places > FW_PLACES_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: %zu places, at most %d can be handled",
		               fit->places, FW_PLACES_MOST);
	if (fit->responses > FW_RESPONSES_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: %zu responses, at most %d can be handled",
		               fit->responses, FW_RESPONSES_MOST);
	if (!(fit->near >= 0.0))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "shims: what counts as equally near must be zero or above");
	rc = fw_kit_check(fit->kit, fit->sizes, err);
	for (size_t i = 0; i < fit->responses && rc == FW_OK; i++)
		rc = response_check(fit, i, err);
	for (size_t j = 0; j < fit->places && rc == FW_OK; j++)
		rc = place_check(fit, j, err);
	return rc;
}

static int datum_check(const struct fw_together *fit, const struct fw_datum *datum, size_t i,
                       struct fw_error *err)
{
	char name[FW_TG_NAME];

	fw_tg_response_name(fit, i, name);
	if (datum->trials == 0)
		return fw_fail(err, FW_ERR_STATE,
		               "%s: nothing measured yet; measure it with known stacks first", name);
	if (!(fabs(datum->value) <= FW_LENGTH_MOST * FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: the datum is not a finite length", name);
	if (!(datum->u >= 0.0 && datum->u <= FW_LENGTH_MOST * FW_LENGTH_MOST))
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s: the uncertainty of the datum must be finite and not negative", name);
	return FW_OK;
}

static void task_make(struct fw_tg_task *task, const struct fw_together *fit,
                      const struct fw_datum *datum)
{
	*task = (struct fw_tg_task){.fit = fit, .places = fit->places, .responses = fit->responses};
	for (size_t i = 0; i < fit->responses; i++) {
		const struct fw_together_response *response = &fit->response[i];
		double width = response->limits.max - response->limits.min;
		for (size_t j = 0; j < fit->places; j++)
			task->per[i][j] = response->per[j];
		task->r0[i] = datum[i].value;
		task->variance[i] = datum[i].u * datum[i].u + response->settle_u * response->settle_u;
		task->aim[i] = fw_limits_aim(&response->limits);
		task->width[i] = isfinite(width) ? width : FW_TOGETHER_OPEN_WIDTH;
	}
	fw_tg_ideal(task);
}

static void fill_stack(struct fw_stack *out, const struct fw_tg_task *task, size_t j,
                       uint32_t index)
{
	const struct fw_tg_stack *stack = &task->list[j]->stack[index];
	double variance = stack->own + stack->common;

	out->count = stack->count;
	out->thickness = 0.0;
	for (size_t n = 0; n < stack->count; n++) {
		out->shim[n] = task->piece[stack->piece[n]].kit;
		out->thickness += task->piece[stack->piece[n]].thickness;
	}
	out->u = sqrt(variance);
}

static void fill(struct fw_together_choice *out, const struct fw_tg_task *task,
                 const struct fw_tg_answer *answer)
{
	struct fw_tg_walk at = {.task = task};
	double missed = 0.0;

	memcpy(at.stack, answer->stack, sizeof at.stack);
	out->end = FW_TOGETHER_SERVES;
	out->distance = answer->distance;
	out->chance = 1.0;
	for (size_t j = 0; j < task->places; j++)
		fill_stack(&out->stack[j], task, j, answer->stack[j]);
	for (size_t i = 0; i < task->responses; i++) {
		out->value[i] = task->r0[i];
		for (size_t j = 0; j < task->places; j++)
			out->value[i] += task->per[i][j] * out->stack[j].thickness;
		out->value[i] = fw_limits_snap(out->value[i], &task->fit->response[i].limits);
		out->u[i] = sqrt(fw_tg_variance(&at, i));
		out->probability[i] =
		    fw_stack_chance(out->value[i], out->u[i], &task->fit->response[i].limits);
		out->chance = fmin(out->chance, out->probability[i]);
		missed += 1.0 - out->probability[i];
	}
	out->all = fmax(0.0, 1.0 - missed);
}

static void clear(struct fw_together_choice *out)
{
	*out = (struct fw_together_choice){.end = FW_TOGETHER_TOO_LONG, .distance = NAN};
	for (size_t i = 0; i < FW_RESPONSES_MOST; i++)
		out->value[i] = out->u[i] = NAN;
}

int fw_together_choose(struct fw_together_choice *out, const struct fw_together *fit,
                       const struct fw_datum *datum, struct fw_error *err)
{
	struct fw_tg_answer answer = {.found = false};
	struct fw_tg_task task;

	if (!out)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: no room for the choice");
	int rc = fw_together_check(fit, err);
	if (rc != FW_OK)
		return rc;
	if (!datum)
		return fw_fail(err, FW_ERR_ARGUMENT, "shims: no datum given");
	for (size_t i = 0; rc == FW_OK && i < fit->responses; i++)
		rc = datum_check(fit, &datum[i], i, err);
	if (rc != FW_OK)
		return rc;

	clear(out);
	task_make(&task, fit, datum);
	memcpy(out->wanted, task.ideal, sizeof out->wanted);
	rc = fw_tg_lists_make(&task, err);
	if (rc == FW_OK)
		rc = fw_tg_search(&answer, &task, &out->work, err);
	if (rc == FW_OK && answer.found)
		fill(out, &task, &answer);
	else if (rc == FW_OK)
		rc = fw_tg_advise(out, &task, err);
	fw_tg_lists_free(&task);
	return rc;
}
