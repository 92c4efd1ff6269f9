/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The history of checks for programs: values in SI, keys in a fixed order. */
#include <math.h>
#include <stdlib.h>

#include "fitwright/fitwright.h"
#include "report/history.h"

/* NAN is null. */
static json_t *real(double value)
{
	return isfinite(value) ? json_real(value) : json_null();
}

static json_t *side(double value, double u, const char *verdict)
{
	if (!verdict)
		return json_null();
	return json_pack("{s:o, s:o, s:s}", "value", real(value), "u", real(u), "verdict", verdict);
}

static json_t *marks_array(unsigned marks)
{
	static const char *const words[] = {"beyond", "jump", "run"};
	json_t *array = json_array();

	for (unsigned i = 0; i < 3; i++)
		if (marks & 1U << i && json_array_append_new(array, json_string(words[i])) != 0) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *point_object(const struct fw_history_point *point)
{
	return json_pack("{s:I, s:s, s:s, s:b, s:o, s:o, s:b, s:I, s:I, s:o}", "job",
	                 (json_int_t)point->job, "unit", point->unit, "began", point->began, "released",
	                 point->released, "as_found", side(point->found, NAN, point->found_verdict),
	                 "as_left", side(point->left, point->left_u, point->left_verdict), "conceded",
	                 point->conceded, "checks", (json_int_t)point->checks, "trials",
	                 (json_int_t)point->trials, "marks", marks_array(point->marks));
}

static json_t *points_array(const struct fw_history_check *check)
{
	json_t *array = json_array();

	for (size_t i = 0; array && i < check->count; i++)
		if (json_array_append_new(array, point_object(&check->points[i])) != 0) {
			json_decref(array);
			return NULL;
		}
	return array;
}

static json_t *control_object(const struct fw_control *control)
{
	if (control->count == 0)
		return json_null();
	return json_pack("{s:I, s:f, s:f, s:f, s:f, s:f, s:b}", "count", (json_int_t)control->count,
	                 "mean", control->mean, "low", control->low, "high", control->high, "range",
	                 control->range, "range_high", control->range_high, "provisional",
	                 control->count < FW_CONTROL_SETTLED);
}

static json_t *check_object(const struct fw_history_check *check)
{
	return json_pack(
	    "{s:s, s:s, s:s, s:{s:o, s:o, s:o, s:s, s:b}, s:I, s:I, s:I, s:I, s:I, s:I, s:o, s:o}",
	    "procedure", check->title, "name", check->name, "unit", check->unit.unit, "limits", "min",
	    real(check->min), "max", real(check->max), "aim", real(check->aim), "text",
	    check->limits ? check->limits : "", "differ", check->limits_differ, "jobs",
	    (json_int_t)check->count, "within", (json_int_t)check->within, "outside",
	    (json_int_t)check->outside, "doubtful", (json_int_t)check->doubtful, "conceded",
	    (json_int_t)check->conceded, "trials", (json_int_t)check->trials, "control",
	    control_object(&check->control), "points", points_array(check));
}

int fw_history_json(FILE *out, const struct fw_history *history, struct fw_error *err)
{
	json_t *checks = json_array();
	bool made = checks != NULL;

	for (size_t i = 0; made && i < history->count; i++)
		made = json_array_append_new(checks, check_object(&history->checks[i])) == 0;
	json_t *root = made ? json_pack("{s:{s:i, s:s}, s:O}", "fitwright", "format", 1, "version",
	                                fw_version(), "checks", checks)
	                    : NULL;
	char *text = root ? json_dumps(root, JSON_INDENT(2)) : NULL;
	json_decref(root);
	json_decref(checks);
	if (!text)
		return fw_fail(err, FW_ERR_MEMORY, "history: out of memory while writing JSON");
	fputs(text, out);
	fputs("\n", out);
	free(text);
	return FW_OK;
}
