/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first page: what was rebuilt, what came of it, who signed. */
#include <string.h>

#include "report/html.h"
#include "report/put.h"
#include "report/svg.h"

static void put_file_fact(FILE *out, const char *name, const json_t *file)
{
	const char *path = fw_get_text(file, "name");
	const char *hash = fw_get_text(file, "hash");

	if (!path && !hash)
		return;
	fputs("<div><dt>", out);
	fw_put(out, name);
	fputs("</dt><dd>", out);
	fw_put(out, path);
	if (hash) {
		fputs(" <code class=\"small\">", out);
		fw_put_cut(out, hash, 13);
		fputs("</code>", out);
	}
	fputs("</dd></div>\n", out);
}

/* Everyone who answered, in order of appearance. */
static void put_workers(FILE *out, const struct fw_report_job *job,
                        const struct fw_report_outcome *outcome)
{
	char text[512];

	fputs("<div><dt>Work by</dt><dd>", out);
	for (size_t i = 0; i < outcome->workers; i++) {
		fputs(i ? ", " : "", out);
		fw_put(out, fw_report_person_text(text, sizeof text, job, outcome->worker[i]));
	}
	fputs(outcome->more_workers ? " and others</dd></div>\n" : "</dd></div>\n", out);
}

static void put_releaser(FILE *out, const struct fw_report_job *job,
                         const struct fw_report_outcome *outcome)
{
	struct fw_report_signature sign;
	char text[160];

	fputs("<div><dt>Released by</dt><dd>", out);
	if (!outcome->released || !outcome->released_by) {
		fputs(outcome->released ? "nobody signed" : "not released", out);
		fputs("</dd></div>\n", out);
		return;
	}
	fw_report_signature(&sign, job, outcome->released_by);
	fw_put(out, sign.name);
	if (sign.role) {
		fputs(", ", out);
		fw_put(out, sign.role);
	}
	fputs(", ", out);
	fw_put(out, fw_report_hand_text(text, sizeof text, &sign));
	fputs("</dd></div>\n", out);
}

static void put_program(FILE *out, const json_t *begin)
{
	const char *fitwright = fw_get_text(begin, "fitwright");
	const char *lua = fw_get_text(begin, "lua");
	char text[128];

	fw_report_print(text, sizeof text, "%s%s%s%s", fitwright ? "Fitwright " : "",
	                fitwright ? fitwright : "", lua ? ", " : "", lua ? lua : "");
	fw_html_fact(out, "Program", text);
}

static void put_modules(FILE *out, const json_t *modules)
{
	size_t i;
	const json_t *module;

	json_array_foreach(modules, i, module) put_file_fact(out, "Module", module);
}

static void put_times(FILE *out, const struct fw_report_job *job)
{
	const struct fw_report_entry *release = fw_report_release(job);
	char time[64];

	fw_html_fact(out, "Began", fw_report_time(time, sizeof time, job->entries[0].at, false));
	if (release)
		fw_html_fact(out, "Finished", fw_report_time(time, sizeof time, release->at, false));
	else
		fw_html_fact(out, "Latest entry",
		             fw_report_time(time, sizeof time, job->entries[job->count - 1].at, false));
}

void fw_html_title(FILE *out, const struct fw_report_job *job,
                   const struct fw_report_outcome *outcome)
{
	const json_t *begin = fw_report_begin(job);
	const char *unit = fw_get_text(begin, "unit"), *title = fw_get_text(begin, "title");
	char number[32];

	fputs("<header>\n<p class=\"kind\">Record of a rebuild</p>\n<h1>", out);
	fw_put(out, unit ? unit : "Unit not named");
	fputs("</h1>\n<p class=\"under\">", out);
	fw_put(out, title);
	fputs("</p>\n<dl>\n", out);
	fw_report_print(number, sizeof number, "%lld", (long long)job->number);
	fw_html_fact(out, "Job", number);
	put_times(out, job);
	put_workers(out, job, outcome);
	put_releaser(out, job, outcome);
	put_file_fact(out, "Procedure", json_object_get(begin, "procedure"));
	put_file_fact(out, "Unit sheet", json_object_get(begin, "sheet"));
	put_modules(out, json_object_get(begin, "modules"));
	put_program(out, begin);
	fputs("</dl>\n</header>\n", out);
}

static void put_moment(FILE *out, const char *name, const struct fw_report_entry *verdict,
                       bool conceded)
{
	char text[256];

	fprintf(out, "<div><dt>%s</dt><dd>", name);
	if (!verdict) {
		fputs("not checked</dd></div>\n", out);
		return;
	}
	fputs("<span class=\"value\">", out);
	fw_put(out, fw_report_quantity_text(text, sizeof text, json_object_get(verdict->ask, "value"),
	                                    true));
	fputs("</span> ", out);
	fw_html_tag(out, fw_report_verdict(verdict));
	if (conceded) {
		fputs(" ", out);
		fw_html_tag(out, "conceded");
	}
	fputs("<br/><small>", out);
	fw_put(out, fw_report_verdict_text(text, sizeof text, verdict));
	fputs("</small></dd></div>\n", out);
}

/* How fine the gauges are for these limits. */
static void put_gauges(FILE *out, const struct fw_report_entry *verdict)
{
	char text[192];

	if (!*fw_report_ratio_text(text, sizeof text, verdict))
		return;
	fputs("<div><dt>Gauges</dt><dd>", out);
	fw_put(out, text);
	if (fw_report_too_coarse(verdict)) {
		fputs(" ", out);
		fw_html_tag(out, "too coarse");
	}
	fputs("</dd></div>\n", out);
}

static void put_figure(FILE *out, const struct fw_report_figure *figure)
{
	const struct fw_report_entry *last = figure->left ? figure->left : figure->found;
	const json_t *limits = json_object_get(last->ask, "limits");
	double asked = fw_get_number(json_object_get(last->ask, "rule"), "probability");
	char text[400], percent[32];

	fputs("<div class=\"figure\">\n<h3>", out);
	fw_put(out, figure->name);
	fputs("</h3>\n<dl>\n", out);
	if (figure->first)
		put_moment(out, "First check", figure->first, false);
	else
		put_moment(out, "As found", figure->found, false);
	put_moment(out, "As left", figure->left, figure->conceded != NULL);
	fw_html_fact(out, "Limits", fw_report_limits_text(text, sizeof text, limits));
	fputs("<div><dt>Source</dt><dd>", out);
	fw_html_source(out, json_object_get(limits, "source"));
	fputs("</dd></div>\n", out);
	if (asked > 0.5 && asked < 1) {
		fw_report_print(text, sizeof text, "conformance probability %s",
		                fw_report_percent(percent, sizeof percent, asked));
		fw_html_fact(out, "Rule", text);
	}
	put_gauges(out, last);
	fw_report_print(text, sizeof text, "%zu", figure->checks);
	fw_html_fact(out, "Checks", text);
	fputs("</dl>\n<figure>", out);
	fw_svg_limits(out, figure->first ? figure->first : figure->found, figure->left);
	fputs("</figure>\n</div>\n", out);
}

static void put_warnings(FILE *out, const struct fw_report_job *job,
                         const struct fw_report_outcome *outcome)
{
	char text[160];

	if (job->flaws) {
		fprintf(out, "<p class=\"warn\">The record is damaged: its check found %zu flaw%s. ",
		        job->flaws, job->flaws == 1 ? "" : "s");
		fw_put(out, job->flaw);
		fputs("</p>\n", out);
	}
	for (size_t i = 0; fw_report_warning(text, sizeof text, outcome, i); i++) {
		fputs("<p class=\"warn\">", out);
		fw_put(out, text);
		fputs("</p>\n", out);
	}
}

static void put_reopened(FILE *out, const struct fw_report_outcome *outcome)
{
	const struct fw_report_entry *reopen = outcome->reopened;
	const char *name = reopen ? fw_get_text(reopen->value, "name") : NULL;
	char time[64];

	if (!reopen)
		return;
	fputs("<p class=\"warn\">It had been released, and was opened again on ", out);
	fw_put(out, fw_report_time(time, sizeof time, reopen->at, false));
	fputs(" by ", out);
	fw_put(out, name ? name : reopen->typed);
	fputs(": ", out);
	fw_put(out, fw_get_text(reopen->value, "reason"));
	fputs("</p>\n", out);
}

void fw_html_outcome(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_outcome *outcome)
{
	fprintf(out, "<section class=\"outcome%s\">\n<h2>",
	        outcome->alarm || job->flaws ? " alarm" : "");
	fw_put(out, outcome->sentence);
	fputs("</h2>\n", out);
	put_reopened(out, outcome);
	put_warnings(out, job, outcome);
	fw_html_concessions(out, job, outcome);
	for (size_t i = 0; i < outcome->count; i++)
		put_figure(out, &outcome->figures[i]);
	if (outcome->count)
		fputs("<p class=\"small\">± is twice the standard uncertainty. The rule: within when the "
		      "probability of lying in the limits reaches the one asked for, outside when that of "
		      "lying beyond them does, else doubtful. In the figures the band is the limits, a "
		      "dashed line the aim where there is one; a disc is within, a cross outside, a "
		      "diamond doubtful; a bar shorter than its mark isn't drawn.</p>\n",
		      out);
	fputs("</section>\n", out);
}
