/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who answers for it: concessions on the cover, signatures, the head of the chain. */
#include <string.h>

#include "report/html.h"
#include "report/put.h"

static void put_by(FILE *out, const struct fw_report_job *job, const struct fw_report_entry *entry)
{
	struct fw_report_signature sign;
	char text[160];

	if (!entry) {
		fputs("nobody: no signature gives it", out);
		return;
	}
	fw_report_signature(&sign, job, entry);
	fw_put(out, sign.name ? sign.name : "not named");
	if (sign.role) {
		fputs(", as ", out);
		fw_put(out, sign.role);
	}
	fputs(", ", out);
	fw_put(out, fw_report_hand_text(text, sizeof text, &sign));
	fputs("; ", out);
	fw_put(out, fw_report_time(text, sizeof text, entry->at, false));
	const char *independence = fw_report_independence(&sign);
	if (independence) {
		fputs("; ", out);
		fputs(independence, out);
	}
}

static void put_concession(FILE *out, const struct fw_report_job *job,
                           const struct fw_report_concession *concession)
{
	const json_t *ask = concession->finding ? concession->finding->ask : NULL;
	const char *verdict = fw_get_text(ask, "verdict");
	char text[400];

	fputs("<div class=\"concession\">\n<h3>Concession: ", out);
	fw_put(out, fw_report_conceded_name(concession));
	fputs("</h3>\n<dl class=\"one\">\n", out);
	if (ask) {
		fputs("<div><dt>Accepted</dt><dd><span class=\"value\">", out);
		fw_put(out,
		       fw_report_quantity_text(text, sizeof text, json_object_get(ask, "value"), true));
		fputs("</span> ", out);
		fw_html_tag(out, verdict ? verdict : "no verdict");
		fputs("</dd></div>\n", out);
		fw_html_fact(out, "Limits",
		             fw_report_limits_text(text, sizeof text, json_object_get(ask, "limits")));
	} else if (concession->sign) {
		fw_html_fact(out, "Accepted", fw_get_text(concession->sign->value, "meaning"));
	}
	fw_html_fact(out, "Reason", fw_report_conceded_reason(concession));
	fputs("<div><dt>By</dt><dd>", out);
	put_by(out, job, concession->sign);
	fputs("</dd></div>\n</dl>\n</div>\n", out);
}

void fw_html_concessions(FILE *out, const struct fw_report_job *job,
                         const struct fw_report_outcome *outcome)
{
	for (size_t i = 0; i < outcome->concession_count; i++)
		put_concession(out, job, &outcome->concessions[i]);
}

static void put_reason(FILE *out, const char *reason)
{
	if (!reason)
		return;
	fputs("Reason: ", out);
	fw_put(out, reason);
	fputs("<br/>", out);
}

static void put_signature(FILE *out, const struct fw_report_job *job,
                          const struct fw_report_entry *entry)
{
	struct fw_report_signature sign;
	char text[160];

	fw_report_signature(&sign, job, entry);
	fprintf(out, "<div class=\"sign\">");
	if (sign.purpose != FW_FOR_SIGN) {
		fw_html_tag(out, fw_report_purpose_text(sign.purpose));
		fputs(" ", out);
	}
	fputs("<span class=\"name\">", out);
	fw_put(out, sign.name);
	fputs("</span>", out);
	if (sign.role) {
		fputs(", ", out);
		fw_put(out, sign.role);
	}
	if (sign.dependent) {
		fputs(" ", out);
		fw_html_tag(out, "not independent");
	}
	fputs("<br/>", out);
	if (sign.meaning) {
		fw_put(out, sign.meaning);
		fputs("<br/>", out);
	}
	put_reason(out, sign.reason);
	fputs("<span class=\"small\">Signed ", out);
	fw_put(out, fw_report_hand_text(text, sizeof text, &sign));
	fputs("; ", out);
	fw_put(out, fw_report_time(text, sizeof text, entry->at, false));
	fprintf(out, ", entry %lld; signed over the record up to<br/>", (long long)entry->seq);
	fw_html_hash(out, fw_get_text(entry->value, "head"));
	fputs("</span>", out);
	if (fw_report_hand_wrong(&sign))
		fputs("<p class=\"warn\">This signature proves nothing: it doesn&#39;t fit its key, or the "
		      "key isn&#39;t known as this person&#39;s, or was out of use by then.</p>",
		      out);
	if (!fw_report_head_matches(entry))
		fputs("<p class=\"warn\">This signature does not name the entry before it: it may have "
		      "been given for another record.</p>",
		      out);
	fputs("</div>\n", out);
}

static void put_hands(FILE *out, const struct fw_report_outcome *outcome)
{
	if (outcome->nameless)
		fputs("<p class=\"small\">By name alone: no key answers for it; anybody at the bench can "
		      "have typed the name.</p>\n",
		      out);
	if (outcome->signatures > outcome->nameless)
		fputs("<p class=\"small\">By key: the signature fits the key, and the shop&#39;s log knows "
		      "the key as that person&#39;s. Compare the key with the person&#39;s card.</p>\n",
		      out);
}

void fw_html_signatures(FILE *out, const struct fw_report_job *job,
                        const struct fw_report_outcome *outcome)
{
	const struct fw_report_entry *last = &job->entries[job->count - 1];
	const struct fw_report_entry *sign = NULL;

	fw_html_section(out, "Sign-off");
	while ((sign = fw_report_next_signature(job, sign)))
		put_signature(out, job, sign);
	if (!outcome->signatures)
		fputs("<p class=\"warn\">Not signed.</p>\n", out);
	put_hands(out, outcome);
	fprintf(out, "<p>Head of the chain after entry %lld:<br/>", (long long)last->seq);
	fw_html_hash(out, last->hash);
	fputs("</p>\n", out);
	fprintf(out,
	        "<p class=\"small\">How to check this record: <code>fitwright audit %lld --head "
	        "'…'</code>, "
	        "with the head above for the dots, works every finding out again from what was typed, "
	        "and says whether the record still holds what stands on this page. When it was made, "
	        "the check of the chain found %s.</p>\n",
	        (long long)job->number, job->flaws ? "flaws" : "no flaw");
	fw_html_close(out);
}
