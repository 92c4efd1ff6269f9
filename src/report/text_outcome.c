/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job in plain lines: people, outcome, torques and gauges. */
#include "report/joint.h"
#include "report/put.h"
#include "report/text_lines.h"

/* Who did the work, and who released it. */
void fw_lines_people(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_outcome *outcome)
{
	struct fw_report_signature sign;
	char text[512], hand[160];

	for (size_t i = 0; i < outcome->workers; i++)
		fw_lines_fact(out, i ? "" : "Work by",
		              fw_report_person_text(text, sizeof text, job, outcome->worker[i]));
	if (outcome->more_workers)
		fw_lines_fact(out, "", "and others");
	if (!outcome->released || !outcome->released_by) {
		fw_lines_fact(out, "Released by", outcome->released ? "nobody signed" : "not released");
		return;
	}
	fw_report_signature(&sign, job, outcome->released_by);
	fw_report_print(text, sizeof text, "%s%s%s, %s", sign.name ? sign.name : "",
	                sign.role ? ", " : "", sign.role ? sign.role : "",
	                fw_report_hand_text(hand, sizeof hand, &sign));
	fw_lines_fact(out, "Released by", text);
}

static void put_moment(FILE *out, const char *label, const struct fw_report_entry *verdict)
{
	char value[192], detail[256], line[640];

	if (!verdict) {
		fw_lines_wrapped(out, 2, label, 14, "not checked");
		return;
	}
	fw_report_quantity_text(value, sizeof value, json_object_get(verdict->ask, "value"), true);
	fw_report_verdict_text(detail, sizeof detail, verdict);
	fw_report_print(line, sizeof line, "%s   %s%s%s", value, fw_report_verdict(verdict),
	                detail[0] ? ": " : "", detail);
	fw_lines_wrapped(out, 2, label, 14, line);
}

static void put_source(FILE *out, const json_t *source)
{
	const char *text = fw_get_text(source, "text");

	fw_lines_wrapped(out, 2, "source", 14, fw_report_grade_text(fw_get_text(source, "grade")));
	fw_lines_wrapped(out, 2, "", 14, text);
}

static void put_signature(FILE *out, const struct fw_report_job *job,
                          const struct fw_report_entry *entry)
{
	static const char *const labels[] = {[FW_FOR_SIGN] = "Signed",
	                                     [FW_FOR_HOLD] = "Hold point",
	                                     [FW_FOR_CONCESSION] = "Concession",
	                                     [FW_FOR_REOPEN] = "Reopened"};
	struct fw_report_signature sign;
	char text[512];

	fw_report_signature(&sign, job, entry);
	fw_lines_fact(out, sign.purpose <= FW_FOR_REOPEN ? labels[sign.purpose] : "Signed", sign.name);
	fw_lines_fact(out, "", fw_report_understood(text, sizeof text, entry));
	if (sign.reason) {
		fw_report_print(text, sizeof text, "reason: %s", sign.reason);
		fw_lines_fact(out, "", text);
	}
	fw_lines_fact(out, "", fw_report_hand_text(text, sizeof text, &sign));
	fw_lines_fact(out, "", sign.dependent ? "NOT INDEPENDENT: also did the work" : NULL);
	fw_lines_fact(out, "", fw_report_time(text, sizeof text, entry->at, false));
	if (fw_report_hand_wrong(&sign))
		fw_lines_fact(out, "", "THIS SIGNATURE PROVES NOTHING");
	if (!fw_report_head_matches(entry))
		fw_lines_fact(out, "", "DOES NOT NAME THE ENTRY BEFORE IT");
}

static void put_concession(FILE *out, const struct fw_report_job *job,
                           const struct fw_report_concession *concession)
{
	const json_t *ask = concession->finding ? concession->finding->ask : NULL;
	const char *verdict = fw_get_text(ask, "verdict");
	struct fw_report_signature sign;
	char text[512], value[192], hand[160];

	fputs("\n", out);
	fw_report_print(text, sizeof text, "CONCESSION: %s", fw_report_conceded_name(concession));
	fw_lines_wrapped(out, 0, "", 0, text);
	if (ask) {
		fw_report_quantity_text(value, sizeof value, json_object_get(ask, "value"), true);
		fw_report_print(text, sizeof text, "%s   %s", value, verdict ? verdict : "no verdict");
		fw_lines_wrapped(out, 2, "accepted", 14, text);
		fw_lines_wrapped(out, 2, "limits", 14,
		                 fw_report_limits_text(text, sizeof text, json_object_get(ask, "limits")));
	}
	fw_lines_wrapped(out, 2, "reason", 14, fw_report_conceded_reason(concession));
	if (!concession->sign) {
		fw_lines_wrapped(out, 2, "by", 14, "NOBODY: no signature gives it");
		return;
	}
	fw_report_signature(&sign, job, concession->sign);
	fw_report_print(text, sizeof text, "%s%s%s, %s", sign.name ? sign.name : "not named",
	                sign.role ? ", " : "", sign.role ? sign.role : "",
	                fw_report_hand_text(hand, sizeof hand, &sign));
	fw_lines_wrapped(out, 2, "by", 14, text);
	fw_lines_wrapped(out, 2, "", 14, fw_report_independence(&sign));
}

static void put_figure(FILE *out, const struct fw_report_figure *figure)
{
	const struct fw_report_entry *last = figure->left ? figure->left : figure->found;
	const json_t *limits = json_object_get(last->ask, "limits");
	double asked = fw_get_number(json_object_get(last->ask, "rule"), "probability");
	char text[512], percent[32];

	fputs("\n", out);
	fw_lines_wrapped(out, 0, "", 0, figure->name);
	if (figure->first)
		put_moment(out, "first check", figure->first);
	else
		put_moment(out, "as found", figure->found);
	put_moment(out, "as left", figure->left);
	if (figure->conceded)
		fw_lines_wrapped(out, 2, "", 14, "CONCEDED");
	fw_lines_wrapped(out, 2, "limits", 14, fw_report_limits_text(text, sizeof text, limits));
	put_source(out, json_object_get(limits, "source"));
	if (asked > 0.5 && asked < 1) {
		fw_report_print(text, sizeof text, "conformance probability %s",
		                fw_report_percent(percent, sizeof percent, asked));
		fw_lines_wrapped(out, 2, "rule", 14, text);
	}
	fw_lines_wrapped(out, 2, "gauges", 14, fw_report_ratio_text(text, sizeof text, last));
	if (fw_report_too_coarse(last))
		fw_lines_wrapped(out, 2, "", 14, "TOO COARSE");
}

void fw_lines_outcome(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_outcome *outcome)
{
	const struct fw_report_entry *sign = NULL;
	char text[512];

	fw_lines_heading(out, "Outcome");
	fw_lines_wrapped(out, 0, "", 0, outcome->sentence);
	for (size_t i = 0; fw_report_warning(text, sizeof text, outcome, i); i++)
		fw_lines_wrapped(out, 0, "!! ", 3, text);
	for (size_t i = 0; i < outcome->concession_count; i++)
		put_concession(out, job, &outcome->concessions[i]);
	for (size_t i = 0; i < outcome->count; i++)
		put_figure(out, &outcome->figures[i]);
	fputs("\n", out);
	while ((sign = fw_report_next_signature(job, sign)))
		put_signature(out, job, sign);
	if (!outcome->signatures)
		fw_lines_fact(out, "Signed", "not signed");
}

static void put_gauge(FILE *out, const struct fw_report_gauge *gauge)
{
	static const char *const facts[][2] = {{"resolution", "reads to"},
	                                       {"error", "error"},
	                                       {"calibrated", "calibrated"},
	                                       {"due", "due"},
	                                       {"source", "source"}};
	const char *id = fw_get_text(gauge->gauge, "id");
	char text[256];

	fw_report_print(text, sizeof text, "%.60s %.100s: %zu reading%s", gauge->kind,
	                gauge->gauge ? (id ? id : "without a number") : "(typical)", gauge->readings,
	                gauge->readings == 1 ? "" : "s");
	fw_lines_wrapped(out, 0, "", 0, text);
	for (size_t i = 0; i < sizeof facts / sizeof *facts; i++)
		fw_lines_wrapped(out, 2, facts[i][1], 14,
		                 fw_report_gauge_fact(text, sizeof text, gauge, facts[i][0]));
	if (gauge->overdue)
		fw_lines_wrapped(out, 2, "", 14, "OVERDUE when it was read");
	if (gauge->bad)
		fw_lines_wrapped(out, 2, "", 14, "FOUND BAD later, for the day it was read");
}

void fw_lines_gauges(FILE *out, const struct fw_report_outcome *outcome)
{
	if (outcome->gauges.count)
		fw_lines_heading(out, "Gauges, as they were");
	for (size_t i = 0; i < outcome->gauges.count; i++)
		put_gauge(out, &outcome->gauges.list[i]);
}

static void put_joint(FILE *out, const struct fw_report_joint *joint)
{
	const json_t *ask = joint->asked->ask;
	const char *name = fw_get_text(ask, "name");
	const char *warning;
	char text[512];

	fw_lines_wrapped(out, 0, "", 0, name ? name : "Joint not named");
	fw_lines_wrapped(
	    out, 2, "asked for", 14,
	    fw_report_quantity_text(text, sizeof text, json_object_get(ask, "torque"), true));
	fw_report_torques_text(text, sizeof text, json_object_get(joint->asked->value, "passes"));
	fw_lines_wrapped(out, 2, "passes", 14, text);
	fw_report_torques_text(text, sizeof text,
	                       joint->tightened ? json_object_get(joint->tightened->ask, "settings")
	                                        : NULL);
	fw_lines_wrapped(out, 2, "set to", 14, text[0] ? text : "not recorded");
	if (fw_report_joint_otherwise(joint))
		fw_lines_wrapped(out, 2, "", 14, "OTHERWISE THAN ASKED");
	fw_lines_wrapped(out, 2, "preload", 14, fw_report_preload_text(text, sizeof text, joint));
	fw_lines_wrapped(out, 2, "share", 14, fw_report_share_text(text, sizeof text, joint));
	if (fw_report_joint_overloaded(joint))
		fw_lines_wrapped(out, 2, "", 14, "CAN PASS ITS PROOF LOAD");
	fw_lines_wrapped(out, 2, "adapter", 14, fw_report_adapter_text(text, sizeof text, joint));
	fw_lines_wrapped(out, 2, "tapped", 14, fw_report_parent_text(text, sizeof text, joint));
	for (size_t i = 0; (warning = fw_report_joint_warning(joint, i)) != NULL; i++)
		fw_lines_wrapped(out, 2, "BEWARE", 14, warning);
	put_source(out, json_object_get(ask, "source"));
}

void fw_lines_joints(FILE *out, const struct fw_report_job *job)
{
	struct fw_report_joint joint = {NULL, NULL};
	bool any = false;

	while (fw_report_next_joint(job, &joint)) {
		if (any)
			fputs("\n", out);
		else
			fw_lines_heading(out, "Torques");
		any = true;
		put_joint(out, &joint);
	}
}
