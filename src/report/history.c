/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks collected over all jobs. Only verdicts, trials and what strikes them out are read as JSON.
 */
#include "report/history.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "fitwright/quantity.h"
#include "report/outcome.h"
#include "report/put.h"

static bool same_letters(const char *text, const char *words)
{
	for (; *words; text++, words++)
		if (fw_ascii_lower(*text) != fw_ascii_lower(*words))
			return false;
	return true;
}

/* Whether `words` stand in `text`; NULL words always do. */
static bool holds(const char *text, const char *words)
{
	if (!words || !*words)
		return true;
	for (; text && *text; text++)
		if (same_letters(text, words))
			return true;
	return false;
}

static bool is_wanted(const struct fw_history_filter *filter, const json_t *begin)
{
	return holds(fw_get_text(begin, "unit"), filter->unit) &&
	       (holds(fw_get_text(begin, "title"), filter->procedure) ||
	        holds(fw_get_text(json_object_get(begin, "procedure"), "name"), filter->procedure));
}

static bool same_kind(const char *a, const char *b)
{
	const struct fw_unit *one = fw_unit_find(a, strlen(a)), *other = fw_unit_find(b, strlen(b));

	if (!one || !other)
		return one == other;
	return fw_dimension_equal(one->dimension, other->dimension);
}

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "history: out of memory");
}

/* The check of that title, name and kind of quantity, made when it is new. */
static struct fw_history_check *check_of(struct fw_history *history, const char *title,
                                         const char *name, const char *unit)
{
	for (size_t i = 0; i < history->count; i++) {
		struct fw_history_check *check = &history->checks[i];
		if (strcmp(check->name, name) == 0 && strcmp(check->title, title) == 0 &&
		    same_kind(check->unit.unit, unit))
			return check;
	}
	struct fw_history_check *more =
	    realloc(history->checks, (history->count + 1) * sizeof *history->checks);
	if (!more)
		return NULL;
	history->checks = more;
	struct fw_history_check *check = &more[history->count];
	memset(check, 0, sizeof *check);
	check->unit.unit = "";
	check->title = strdup(title);
	check->name = strdup(name);
	if (!check->title || !check->name) {
		free(check->title);
		free(check->name);
		return NULL;
	}
	history->count++;
	return check;
}

static struct fw_history_point *new_point(struct fw_history_check *check)
{
	if (check->count == check->room) {
		size_t room = check->room ? 2 * check->room : 16;
		struct fw_history_point *more = realloc(check->points, room * sizeof *more);
		if (!more)
			return NULL;
		check->points = more;
		check->room = room;
	}
	return memset(&check->points[check->count], 0, sizeof *check->points);
}

static double si_of(const json_t *limits, const char *key)
{
	struct fw_report_quantity q;

	return fw_report_quantity(&q, json_object_get(limits, key)) ? q.si : NAN;
}

static bool differs(double a, double b)
{
	return !(a == b) && !(isnan(a) && isnan(b));
}

/* The newest limits; whether they were the same before. */
static bool take_limits(struct fw_history_check *check, const json_t *limits)
{
	double min = si_of(limits, "min"), max = si_of(limits, "max"), aim = si_of(limits, "aim");
	char text[400];

	if (check->limits &&
	    (differs(min, check->min) || differs(max, check->max) || differs(aim, check->aim)))
		check->limits_differ = true;
	check->min = min;
	check->max = max;
	check->aim = aim;
	free(check->limits);
	check->limits = strdup(fw_report_limits_text(text, sizeof text, limits));
	return check->limits != NULL;
}

/* One of our own texts for a stranger's. */
static const char *verdict_of(const struct fw_report_entry *entry)
{
	static const char *const known[] = {"within", "outside", "doubtful"};
	const char *own = fw_report_verdict(entry);

	for (size_t i = 0; i < sizeof known / sizeof *known; i++)
		if (strcmp(own, known[i]) == 0)
			return known[i];
	return "no verdict";
}

static double value_of(const struct fw_report_entry *verdict, double *u)
{
	struct fw_report_quantity q;

	if (!verdict || !fw_report_quantity(&q, json_object_get(verdict->ask, "value")))
		return NAN;
	*u = q.u;
	return q.si;
}

/* What a job brings to all its checks. */
struct visit {
	struct fw_history *history;
	const struct fw_report_job *job;
	const json_t *begin;
	const char *began;
	size_t trials;
	bool released;
};

static bool fill_point(struct fw_history_point *point, const struct visit *visit,
                       const struct fw_report_figure *figure)
{
	const struct fw_report_entry *found = figure->found ? figure->found : figure->first;
	const char *unit = fw_get_text(visit->begin, "unit");
	double none;

	point->job = visit->job->number;
	fw_report_print(point->began, sizeof point->began, "%s", visit->began ? visit->began : "");
	point->found = value_of(found, &none);
	point->left = value_of(figure->left, &point->left_u);
	point->found_verdict = found ? verdict_of(found) : NULL;
	point->left_verdict = figure->left ? verdict_of(figure->left) : NULL;
	point->checks = figure->checks;
	point->trials = visit->trials;
	point->released = visit->released;
	point->conceded = figure->conceded != NULL;
	point->unit = strdup(unit ? unit : "");
	return point->unit != NULL;
}

static int add_figure(const struct visit *visit, const struct fw_report_figure *figure)
{
	const struct fw_report_entry *last = figure->left ? figure->left : figure->found;
	const char *title = fw_get_text(visit->begin, "title");
	struct fw_history *history = visit->history;
	struct fw_report_quantity unit;

	if (!holds(figure->name, history->filter->check) ||
	    !fw_report_quantity(&unit, json_object_get(last->ask, "value")))
		return FW_OK;
	struct fw_history_check *check = check_of(history, title ? title : "", figure->name, unit.unit);
	struct fw_history_point *point = check ? new_point(check) : NULL;
	if (!point || !fill_point(point, visit, figure) ||
	    !take_limits(check, json_object_get(last->ask, "limits")))
		return no_memory(history->err);
	check->unit = unit;
	check->unit.text = NULL; /* belongs to the job, which goes */
	check->count++;
	return FW_OK;
}

static int add_figures(struct visit *visit)
{
	struct fw_report_outcome outcome;
	const struct fw_report_entry *trial = NULL;
	int code = fw_report_judge_figures(&outcome, visit->job, visit->history->err);

	while ((trial = fw_report_next(visit->job, trial, "trial")))
		visit->trials++;
	visit->released = fw_report_release(visit->job) != NULL;
	for (size_t i = 0; code == FW_OK && i < outcome.count; i++)
		code = add_figure(visit, &outcome.figures[i]);
	fw_report_outcome_free(&outcome);
	return code;
}

static int visit_job(void *context, const struct fw_job_line *line)
{
	struct fw_history *history = context;
	json_t *begin = line->begin_value ? json_loads(line->begin_value, 0, NULL) : NULL;
	struct fw_report_job job;
	int code = FW_OK;

	if (is_wanted(history->filter, begin)) {
		struct visit visit = {history, &job, begin, line->began, 0, false};
		history->jobs++;
		code = fw_report_read_verdicts(&job, history->trail, line->job, history->err);
		if (code == FW_OK)
			code = add_figures(&visit);
		fw_report_free(&job);
	}
	json_decref(begin);
	return code;
}

bool fw_history_charted(const struct fw_history_point *point)
{
	return point->released && isfinite(point->left);
}

static void count_point(struct fw_history_check *check, const struct fw_history_point *point)
{
	check->trials += point->trials;
	check->conceded += point->conceded;
	check->charted += fw_history_charted(point);
	if (!point->left_verdict)
		return;
	if (strcmp(point->left_verdict, "within") == 0)
		check->within++;
	else if (strcmp(point->left_verdict, "outside") == 0)
		check->outside++;
	else
		check->doubtful++;
}

/* Sums, and the control limits when there are values enough. */
static int finish_check(struct fw_history_check *check, struct fw_error *err)
{
	double *x = malloc((check->count + 1) * sizeof *x);
	unsigned *marks = malloc((check->count + 1) * sizeof *marks);
	struct fw_error none;
	size_t used = 0;
	bool made = x && marks;

	for (size_t i = 0; made && i < check->count; i++) {
		count_point(check, &check->points[i]);
		if (fw_history_charted(&check->points[i]))
			x[used++] = check->points[i].left;
	}
	if (made && fw_control_limits(&check->control, x, used, &none) == FW_OK) {
		fw_control_marks(marks, &check->control, x, used);
		for (size_t i = 0, at = 0; i < check->count; i++)
			if (fw_history_charted(&check->points[i]))
				check->points[i].marks = marks[at++];
	}
	free(x);
	free(marks);
	return made ? FW_OK : no_memory(err);
}

static void free_check(struct fw_history_check *check)
{
	for (size_t i = 0; i < check->count; i++)
		free(check->points[i].unit);
	free(check->points);
	free(check->title);
	free(check->name);
	free(check->limits);
}

/* When one check has just the name asked for, those that hold it as a part are left out. */
static void keep_exact(struct fw_history *history)
{
	const char *name = history->filter->check;
	size_t exact = 0, kept = 0;

	for (size_t i = 0; name && i < history->count; i++)
		exact += strcmp(history->checks[i].name, name) == 0;
	if (exact == 0)
		return;
	for (size_t i = 0; i < history->count; i++) {
		if (strcmp(history->checks[i].name, name) == 0)
			history->checks[kept++] = history->checks[i];
		else
			free_check(&history->checks[i]);
	}
	history->count = kept;
}

int fw_history_collect(struct fw_history *out, struct fw_trail *trail,
                       const struct fw_history_filter *filter, struct fw_error *err)
{
	*out = (struct fw_history){.filter = filter, .trail = trail, .err = err};
	int code = fw_trail_jobs(trail, visit_job, out, err);

	if (code == FW_OK)
		keep_exact(out);
	for (size_t i = 0; code == FW_OK && i < out->count; i++)
		code = finish_check(&out->checks[i], err);
	return code;
}

void fw_history_free(struct fw_history *history)
{
	for (size_t i = 0; i < history->count; i++)
		free_check(&history->checks[i]);
	free(history->checks);
	*history = (struct fw_history){.count = 0};
}
