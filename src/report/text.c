/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job on a terminal or in a pipe: plain lines of at most 80 columns. */
#include <string.h>

#include "report/joint.h"
#include "report/put.h"
#include "report/writers.h"

#define COLUMNS 80

/* Line breaks and tabs become spaces: a stranger's text makes no lines of its own. */
static uint32_t plain_point(const char **text)
{
	uint32_t point = fw_report_utf8_shown(fw_report_utf8_next(text));

	return point == '\n' || point == '\t' ? ' ' : point;
}

static void put_points(FILE *out, const char *text, size_t count)
{
	while (count--)
		fw_put_point(out, plain_point(&text));
}

static void pad(FILE *out, size_t columns)
{
	while (columns--)
		fputc(' ', out);
}

/* Code points of the piece of `text` that fits into `room`, broken at a space where there is one;
 * `*skip` gets those to be passed over, the space included. */
static size_t piece(const char *text, size_t room, size_t *skip)
{
	size_t length = 0, space = 0;
	const char *at = text;

	while (*at && length < room) {
		if (plain_point(&at) == ' ')
			space = length;
		length++;
	}
	const char *next = at;
	if (!*at || plain_point(&next) == ' ') {
		*skip = length + (*at != '\0');
		return length;
	}
	*skip = space ? space + 1 : length;
	return space ? space : length;
}

/* `label` at `indent`, the text from `hang` on, wrapped. A label that is too long takes its own
 * line. */
static void put_wrapped(FILE *out, size_t indent, const char *label, size_t hang, const char *text)
{
	size_t room = COLUMNS - hang;
	size_t used = indent + fw_report_utf8_length(label);

	if (!text || !*text)
		return;
	pad(out, indent);
	put_points(out, label, fw_report_utf8_length(label));
	pad(out, used < hang ? hang - used : 0);
	for (bool first = true; *text; first = false) {
		size_t skip, length = piece(text, room, &skip);
		if (!first)
			pad(out, hang);
		put_points(out, text, length);
		fputs("\n", out);
		while (skip-- && *text)
			fw_report_utf8_next(&text);
	}
}

static void put_fact(FILE *out, const char *label, const char *text)
{
	put_wrapped(out, 0, label, 14, text);
}

static void put_heading(FILE *out, const char *heading)
{
	fputs("\n", out);
	size_t length = fw_report_utf8_length(heading);
	if (length > COLUMNS)
		length = COLUMNS;
	put_points(out, heading, length);
	fputs("\n", out);
	while (length--)
		fputc('-', out);
	fputs("\n", out);
}

static void put_cover(FILE *out, const struct fw_report_job *job)
{
	const json_t *begin = fw_report_begin(job);
	const struct fw_report_entry *last = &job->entries[job->count - 1];
	const struct fw_report_entry *release = fw_report_release(job);
	char number[32], time[64];

	fw_report_print(number, sizeof number, "%lld", (long long)job->number);
	put_fact(out, "Job", number);
	put_fact(out, "Unit", fw_get_text(begin, "unit"));
	put_fact(out, "Title", fw_get_text(begin, "title"));
	put_fact(out, "Procedure", fw_get_text(json_object_get(begin, "procedure"), "name"));
	put_fact(out, "Unit sheet", fw_get_text(json_object_get(begin, "sheet"), "name"));
	put_fact(out, "Began", fw_report_time(time, sizeof time, job->entries[0].at, false));
	put_fact(out, "By", job->entries[0].who);
	put_fact(out, release ? "Finished" : "Latest entry",
	         fw_report_time(time, sizeof time, release ? release->at : last->at, false));
	put_fact(out, "Head", last->hash);
	if (job->flaws)
		put_fact(out, "DAMAGED", job->flaw);
}

static void put_moment(FILE *out, const char *label, const struct fw_report_entry *verdict)
{
	char value[192], detail[256], line[640];

	if (!verdict) {
		put_wrapped(out, 2, label, 14, "not checked");
		return;
	}
	fw_report_quantity_text(value, sizeof value, json_object_get(verdict->ask, "value"), true);
	fw_report_verdict_text(detail, sizeof detail, verdict);
	fw_report_print(line, sizeof line, "%s   %s%s%s", value, fw_report_verdict(verdict),
	                detail[0] ? ": " : "", detail);
	put_wrapped(out, 2, label, 14, line);
}

static void put_source(FILE *out, const json_t *source)
{
	const char *text = fw_get_text(source, "text");

	put_wrapped(out, 2, "source", 14, fw_report_grade_text(fw_get_text(source, "grade")));
	put_wrapped(out, 2, "", 14, text);
}

static void put_outcome(FILE *out, const struct fw_report_job *job,
                        const struct fw_report_outcome *outcome)
{
	const struct fw_report_entry *sign = NULL;
	char text[512], time[64];

	put_heading(out, "Outcome");
	put_wrapped(out, 0, "", 0, outcome->sentence);
	for (size_t i = 0; fw_report_warning(text, sizeof text, outcome, i); i++)
		put_wrapped(out, 0, "!! ", 3, text);
	for (size_t i = 0; i < outcome->count; i++) {
		const struct fw_report_figure *figure = &outcome->figures[i];
		const struct fw_report_entry *last = figure->left ? figure->left : figure->found;
		const json_t *limits = json_object_get(last->ask, "limits");
		fputs("\n", out);
		put_wrapped(out, 0, "", 0, figure->name);
		put_moment(out, "as found", figure->found);
		put_moment(out, "as left", figure->left);
		put_wrapped(out, 2, "limits", 14, fw_report_limits_text(text, sizeof text, limits));
		put_source(out, json_object_get(limits, "source"));
	}
	fputs("\n", out);
	while ((sign = fw_report_next_kind(job, sign, "sign"))) {
		const char *name = fw_get_text(sign->value, "name");
		put_fact(out, "Signed", name ? name : sign->typed);
		put_fact(out, "", fw_report_understood(text, sizeof text, sign));
		put_fact(out, "", fw_report_time(time, sizeof time, sign->at, false));
		if (!fw_report_head_matches(sign))
			put_fact(out, "", "DOES NOT NAME THE ENTRY BEFORE IT");
	}
	if (!outcome->signatures)
		put_fact(out, "Signed", "not signed");
}

static void put_joint(FILE *out, const struct fw_report_joint *joint)
{
	const json_t *ask = joint->asked->ask;
	const char *name = fw_get_text(ask, "name");
	const char *warning;
	char text[512];

	put_wrapped(out, 0, "", 0, name ? name : "Joint not named");
	put_wrapped(out, 2, "asked for", 14,
	            fw_report_quantity_text(text, sizeof text, json_object_get(ask, "torque"), true));
	fw_report_torques_text(text, sizeof text, json_object_get(joint->asked->value, "passes"));
	put_wrapped(out, 2, "passes", 14, text);
	fw_report_torques_text(text, sizeof text,
	                       joint->tightened ? json_object_get(joint->tightened->ask, "settings")
	                                        : NULL);
	put_wrapped(out, 2, "set to", 14, text[0] ? text : "not recorded");
	if (fw_report_joint_otherwise(joint))
		put_wrapped(out, 2, "", 14, "OTHERWISE THAN ASKED");
	put_wrapped(out, 2, "preload", 14, fw_report_preload_text(text, sizeof text, joint));
	put_wrapped(out, 2, "share", 14, fw_report_share_text(text, sizeof text, joint));
	if (fw_report_joint_overloaded(joint))
		put_wrapped(out, 2, "", 14, "CAN PASS ITS PROOF LOAD");
	put_wrapped(out, 2, "adapter", 14, fw_report_adapter_text(text, sizeof text, joint));
	put_wrapped(out, 2, "tapped", 14, fw_report_parent_text(text, sizeof text, joint));
	for (size_t i = 0; (warning = fw_report_joint_warning(joint, i)) != NULL; i++)
		put_wrapped(out, 2, "BEWARE", 14, warning);
	put_source(out, json_object_get(ask, "source"));
}

static void put_joints(FILE *out, const struct fw_report_job *job)
{
	struct fw_report_joint joint = {NULL, NULL};
	bool any = false;

	while (fw_report_next_joint(job, &joint)) {
		if (any)
			fputs("\n", out);
		else
			put_heading(out, "Torques");
		any = true;
		put_joint(out, &joint);
	}
}

static bool is_decision(const struct fw_report_entry *entry)
{
	static const char *const finds[] = {"part",  "stack",     "response", "gasket", "trial",
	                                    "joint", "tightened", "verdict",  "worked"};
	const char *find = entry->struck_by ? NULL : fw_report_find(entry);

	for (size_t i = 0; find && i < sizeof finds / sizeof *finds; i++)
		if (strcmp(find, finds[i]) == 0)
			return true;
	return false;
}

/* One line a finding that settled something. */
static void put_decisions(FILE *out, const struct fw_report_job *job)
{
	bool any = false;
	char label[64], text[64];

	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		if (!is_decision(entry))
			continue;
		if (!any)
			put_heading(out, "Decisions");
		any = true;
		fw_report_print(label, sizeof label, "%4lld  %s", (long long)entry->seq,
		                fw_get_true(entry->value, "surprise") ? "SURPRISE" : fw_report_find(entry));
		const char *verdict = fw_get_text(entry->value, "verdict");
		if (verdict)
			fw_report_print(label, sizeof label, "%4lld  %.20s", (long long)entry->seq, verdict);
		put_wrapped(out, 0, label, 16, fw_report_understood(text, sizeof text, entry));
	}
}

static void put_asked(FILE *out, const struct fw_report_entry *entry)
{
	put_wrapped(out, 6, "asked", 14, fw_get_text(entry->ask, "say"));
	put_wrapped(out, 6, "item", 14, fw_get_text(entry->ask, "item"));
	put_wrapped(out, 6, "caution", 14, fw_get_text(entry->ask, "caution"));
	put_wrapped(out, 6, "asked?", 14, entry->ask_text);
}

/* What was queried as implausible and entered again. */
static void put_kept(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_entry *entry, const char *find)
{
	size_t readings = json_array_size(json_object_get(entry->ask, "readings"));
	char text[96];

	if (fw_get_true(entry->value, "confirmed"))
		put_wrapped(out, 6, "kept", 14, "against a query: implausible, and entered again");
	for (size_t i = 0; find && strcmp(find, "measurement") == 0 && i < readings; i++) {
		if (!fw_report_kept(job, entry, i))
			continue;
		fw_report_print(text, sizeof text, "reading %zu of %zu was kept against a query", i + 1,
		                readings);
		put_wrapped(out, 6, "kept", 14, text);
	}
}

static void put_entry(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_entry *entry)
{
	const char *find = fw_report_find(entry);
	bool withdraw = strcmp(entry->kind, "withdraw") == 0;
	char label[96], time[64], text[400];

	fw_report_print(label, sizeof label, "%4lld", (long long)entry->seq);
	fw_report_time(time, sizeof time, entry->at, true);
	fw_report_print(text, sizeof text, "%s  %s%s%s%s%s", time, find ? "found " : "",
	                withdraw ? "TAKEN BACK"
	                : find   ? find
	                         : entry->kind,
	                entry->step ? "  " : "", entry->step ? entry->step : "",
	                entry->struck_by ? "  [struck out]" : "");
	put_wrapped(out, 0, label, 6, text);
	put_asked(out, entry);
	put_wrapped(out, 6, withdraw ? "reason" : "typed", 14, entry->typed);
	put_wrapped(out, 6, find ? "shown" : "as", 14, fw_report_understood(text, sizeof text, entry));
	put_wrapped(out, 6, "verdict", 14, fw_get_text(entry->value, "verdict"));
	put_kept(out, job, entry, find);
	if (entry->struck_by) {
		fw_report_print(text, sizeof text, "by entry %lld; no longer counts",
		                (long long)entry->struck_by);
		put_wrapped(out, 6, "struck", 14, text);
	}
}

void fw_report_text(FILE *out, const struct fw_report_job *job,
                    const struct fw_report_outcome *outcome)
{
	const char *phase = NULL;

	put_cover(out, job);
	put_outcome(out, job, outcome);
	put_joints(out, job);
	put_decisions(out, job);
	put_heading(out, "Log");
	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		if (entry->phase && (!phase || strcmp(phase, entry->phase) != 0)) {
			fputs("\n", out);
			put_wrapped(out, 0, "", 0, entry->phase);
		}
		phase = entry->phase;
		put_entry(out, job, entry);
	}
}
