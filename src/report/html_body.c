/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was done and decided, by subject: trials, parts, measurements, notes. */
#include <math.h>
#include <string.h>

#include "report/html.h"
#include "report/put.h"
#include "report/svg.h"

static bool same_text(const char *a, const char *b)
{
	return a && b ? strcmp(a, b) == 0 : a == b;
}

/* Places with a figure of their own; a trail that names more is odd, and the log has all. */
#define MOST 100

static bool is_among(const char *const *places, size_t count, const char *place)
{
	for (size_t i = 0; i < count; i++)
		if (same_text(places[i], place))
			return true;
	return false;
}

static void put_list(FILE *out, const char *column, const json_t *quantities)
{
	char text[128];
	size_t i;
	const json_t *quantity;

	fputs("<td data-column=\"", out);
	fw_put(out, column);
	fputs("\">", out);
	if (json_array_size(quantities) == 0)
		fputs("–", out);
	json_array_foreach(quantities, i, quantity)
	{
		fputs(i ? " + " : "", out);
		fw_put(out, fw_report_quantity_text(text, sizeof text, quantity, false));
	}
	fputs("</td>", out);
}

static void put_probability(FILE *out, const char *column, const json_t *value)
{
	double probability = fw_get_number(value, "probability");
	char text[32] = "";

	if (isfinite(probability))
		fw_report_percent(text, sizeof text, probability);
	fw_html_cell(out, column, text);
}

/* The stack of a trial; of several places each with its name. */
static void put_trial_stack(FILE *out, const json_t *ask)
{
	const json_t *stacks = json_object_get(ask, "stacks"), *one;
	char text[64];
	size_t i;

	if (!stacks) {
		fw_html_quantity(out, "Stack", json_object_get(ask, "stack"));
		return;
	}
	fputs("<td data-column=\"Stack\">", out);
	json_array_foreach(stacks, i, one)
	{
		fputs(i ? "; " : "", out);
		fw_put(out, fw_get_text(one, "place"));
		fputs(" ", out);
		fw_put(out,
		       fw_report_quantity_text(text, sizeof text, json_object_get(one, "stack"), false));
	}
	fputs("</td>", out);
}

static void put_trial(FILE *out, const struct fw_report_entry *trial)
{
	char text[64], number[32];
	double sigmas = fw_get_number(trial->value, "sigmas");

	fw_report_print(number, sizeof number, "%lld", (long long)fw_get_whole(trial->ask, "trial", 0));
	fputs("<tr>", out);
	fw_html_cell(out, "Trial", number);
	put_trial_stack(out, trial->ask);
	fw_html_quantity(out, "Predicted", json_object_get(trial->value, "predicted"));
	fw_html_quantity(out, "Read", json_object_get(trial->ask, "play"));
	fputs("<td data-column=\"Off by\">", out);
	fw_report_quantity_text(text, sizeof text, json_object_get(trial->value, "difference"), false);
	fw_put(out, text[0] ? text : "–");
	if (isfinite(sigmas)) {
		fputs(", ", out);
		fputs(fw_report_two_figures(number, sizeof number, sigmas), out);
		fputs(" standard uncertainties", out);
	}
	if (fw_get_true(trial->value, "surprise")) {
		fputs(" ", out);
		fw_html_tag(out, "surprise");
	}
	fputs("</td></tr>\n", out);
}

static void put_place(FILE *out, const struct fw_report_job *job, const char *place)
{
	static const char *const columns[] = {"Trial", "Stack", "Predicted", "Read", "Off by", NULL};
	const struct fw_report_entry *trial = NULL;

	fputs("<h3>", out);
	fw_put(out, place ? place : "Place not named");
	fputs("</h3>\n<figure>", out);
	fw_svg_trials(out, job, place);
	fputs("</figure>\n", out);
	fw_html_table(out, "cards", columns);
	while ((trial = fw_report_next(job, trial, "trial")))
		if (same_text(fw_get_text(trial->ask, "place"), place))
			put_trial(out, trial);
	fw_html_end(out);
}

static void put_stacks(FILE *out, const struct fw_report_job *job)
{
	static const char *const columns[] = {"Place",          "Shims chosen", "Stack",
	                                      "Play predicted", "Probable",     NULL};
	const struct fw_report_entry *stack = NULL;

	if (!fw_report_next(job, NULL, "stack"))
		return;
	fputs("<h3>Stacks worked out</h3>\n", out);
	fw_html_table(out, "cards", columns);
	while ((stack = fw_report_next(job, stack, "stack"))) {
		fputs("<tr>", out);
		fw_html_cell(out, "Place", fw_get_text(stack->ask, "place"));
		put_list(out, "Shims", json_object_get(stack->value, "shims"));
		fw_html_quantity(out, "Stack", json_object_get(stack->value, "stack"));
		fw_html_quantity(out, "Play predicted", json_object_get(stack->value, "play"));
		put_probability(out, "Probable", stack->value);
		fputs("</tr>\n", out);
	}
	fw_html_end(out);
}

/* What several places together should bring. */
static void put_responses(FILE *out, const struct fw_report_job *job)
{
	static const char *const columns[] = {"Response", "Limits", "Predicted", "Probable", NULL};
	const struct fw_report_entry *response = NULL;
	char text[400];

	if (!fw_report_next(job, NULL, "response"))
		return;
	fputs("<h3>What the stacks together should bring</h3>\n", out);
	fw_html_table(out, "cards", columns);
	while ((response = fw_report_next(job, response, "response"))) {
		fputs("<tr>", out);
		fw_html_cell(out, "Response", fw_get_text(response->ask, "place"));
		fw_html_cell(
		    out, "Limits",
		    fw_report_limits_text(text, sizeof text, json_object_get(response->ask, "limits")));
		fw_html_quantity(out, "Predicted", json_object_get(response->value, "play"));
		put_probability(out, "Probable", response->value);
		fputs("</tr>\n", out);
	}
	fw_html_end(out);
}

static void put_gaskets(FILE *out, const struct fw_report_job *job)
{
	static const char *const columns[] = {
	    "Place", "Gap", "Gaskets chosen", "Crushed", "Nip", "Limits of the nip", "Probable", NULL};
	const struct fw_report_entry *gasket = NULL;
	char text[400];

	if (!fw_report_next(job, NULL, "gasket"))
		return;
	fputs("<h3>Gaskets worked out</h3>\n", out);
	fw_html_table(out, "cards many", columns);
	while ((gasket = fw_report_next(job, gasket, "gasket"))) {
		fputs("<tr>", out);
		fw_html_cell(out, "Place", fw_get_text(gasket->ask, "place"));
		fw_html_quantity(out, "Gap", json_object_get(gasket->ask, "gap"));
		put_list(out, "Gaskets", json_object_get(gasket->value, "shims"));
		fw_html_quantity(out, "Crushed", json_object_get(gasket->value, "stack"));
		fw_html_quantity(out, "Nip", json_object_get(gasket->value, "nip"));
		fw_html_cell(
		    out, "Limits",
		    fw_report_limits_text(text, sizeof text, json_object_get(gasket->ask, "limits")));
		put_probability(out, "Probable", gasket->value);
		fputs("</tr>\n", out);
	}
	fw_html_end(out);
}

static void put_places(FILE *out, const struct fw_report_job *job)
{
	const struct fw_report_entry *trial = NULL;
	const char *places[MOST];
	size_t count = 0;

	while ((trial = fw_report_next(job, trial, "trial"))) {
		const char *place = fw_get_text(trial->ask, "place");
		if (is_among(places, count, place))
			continue;
		if (count == MOST) {
			fprintf(out, "<p class=\"small\">More than %d places: the log has them all.</p>\n",
			        MOST);
			return;
		}
		places[count++] = place;
		put_place(out, job, place);
	}
}

void fw_html_trials(FILE *out, const struct fw_report_job *job)
{
	if (!fw_report_next(job, NULL, "trial") && !fw_report_next(job, NULL, "stack") &&
	    !fw_report_next(job, NULL, "gasket"))
		return;
	fw_html_section(out, "Fit-up: trials, shims and gaskets");
	put_places(out, job);
	put_stacks(out, job);
	put_responses(out, job);
	put_gaskets(out, job);
	fw_html_close(out);
}

void fw_html_parts(FILE *out, const struct fw_report_job *job)
{
	static const char *const columns[] = {"Part", "Decision", "Reason", NULL};
	const struct fw_report_entry *part = fw_report_next(job, NULL, "part");

	if (!part)
		return;
	fw_html_section(out, "Parts decided");
	fw_html_table(out, "cards", columns);
	for (; part; part = fw_report_next(job, part, "part")) {
		const char *decision = fw_get_text(part->ask, "decision");
		fputs("<tr>", out);
		fw_html_cell(out, "Part", fw_get_text(part->ask, "part"));
		fw_html_open_cell(out, "Decision", decision);
		fputs(decision && strcmp(decision, "reject") == 0 ? "<strong class=\"tag outside\">"
		                                                  : "<strong>",
		      out);
		fw_put(out, decision ? decision : "–");
		fputs("</strong></td>", out);
		fw_html_cell(out, "Reason", fw_get_text(part->ask, "reason"));
		fputs("</tr>\n", out);
	}
	fw_html_end(out);
	fw_html_close(out);
}

static void put_gauge(FILE *out, const json_t *gauge)
{
	const char *name =
	    json_is_string(gauge) ? json_string_value(gauge) : fw_get_text(gauge, "name");
	const char *id = fw_get_text(gauge, "id");
	char text[256];

	fw_report_print(text, sizeof text, "%.120s%s%.60s", name ? name : "", name && id ? " " : "",
	                id ? id : "");
	fw_html_cell(out, "Gauge", text);
}

static void put_measurement(FILE *out, const struct fw_report_job *job,
                            const struct fw_report_entry *entry)
{
	const json_t *gauge = json_object_get(entry->ask, "gauge");
	int64_t outlying = fw_get_whole(entry->value, "outlying", 0);
	char text[64];

	fputs("<tr>", out);
	fw_html_cell(out, "Step", entry->step);
	fputs("<td data-column=\"Readings\">", out);
	size_t i;
	const json_t *reading;
	json_array_foreach(json_object_get(entry->ask, "readings"), i, reading)
	{
		fputs(i ? ", " : "", out);
		fw_put(out, fw_report_quantity_text(text, sizeof text, reading, false));
		if (fw_report_kept(job, entry, i)) {
			fputs(" ", out);
			fw_html_tag(out, "kept against a query");
		}
	}
	if (outlying > 0) {
		fw_report_print(text, sizeof text, "reading %lld lies apart", (long long)outlying);
		fputs(" ", out);
		fw_html_tag(out, text);
	}
	fputs("</td>", out);
	put_gauge(out, gauge);
	fw_html_quantity(out, "Measured", json_object_get(entry->value, "quantity"));
	fputs("</tr>\n", out);
}

void fw_html_measurements(FILE *out, const struct fw_report_job *job)
{
	static const char *const columns[] = {"Step", "Readings", "Gauge", "Measured", NULL};
	const struct fw_report_entry *entry = fw_report_next(job, NULL, "measurement");

	if (!entry)
		return;
	fw_html_section(out, "Measurements");
	fw_html_table(out, "cards", columns);
	for (; entry; entry = fw_report_next(job, entry, "measurement"))
		put_measurement(out, job, entry);
	fw_html_end(out);
	fw_html_close(out);
}

static bool is_note(const struct fw_report_entry *entry)
{
	const char *ask = fw_get_text(entry->ask, "ask");

	return fw_report_answers(entry) && ask && strcmp(ask, "text") == 0 && entry->typed &&
	       *entry->typed;
}

void fw_html_notes(FILE *out, const struct fw_report_job *job)
{
	const struct fw_report_entry *end = job->entries + job->count;
	bool open = false;

	for (const struct fw_report_entry *entry = job->entries; entry < end; entry++) {
		const char *find = fw_report_find(entry);
		bool remark = find && strcmp(find, "remark") == 0;
		if (entry->struck_by || (!remark && !is_note(entry)))
			continue;
		if (!open)
			fw_html_section(out, "Notes");
		open = true;
		fputs("<p><span class=\"small\">", out);
		fw_put(out, remark ? "Remark" : fw_get_text(entry->ask, "say"));
		fputs("</span><br/>", out);
		fw_put(out, remark ? fw_get_text(entry->value, "text") : entry->typed);
		fputs("</p>\n", out);
	}
	if (open)
		fw_html_close(out);
}
