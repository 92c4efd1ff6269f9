/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A head noted elsewhere shows what a chain by itself can't: an end cut off, a history written
 * anew.
 */
#include <stdio.h>
#include <string.h>

#include "cli/audit.h"

bool fw_audit_read_head(uint8_t out[FW_HASH], const char *text)
{
	char hex[FW_HASH_TEXT];
	size_t used = 0;

	for (; *text; text++) {
		if (strchr(" \t\r\n", *text))
			continue;
		if (used + 1 == sizeof hex)
			return false;
		hex[used++] = *text;
	}
	hex[used] = '\0';
	return fw_hash_parse(out, hex);
}

struct search {
	const uint8_t *head;
	int64_t found, last; /* seq; found 0: nowhere */
};

static int look(void *context, const struct fw_entry *entry)
{
	struct search *search = context;

	search->last = entry->seq;
	if (search->found == 0 && memcmp(entry->hash, search->head, FW_HASH) == 0)
		search->found = entry->seq;
	return 0;
}

int fw_audit_paper(struct fw_trail *trail, int64_t job, const uint8_t head[FW_HASH],
                   struct fw_audit_view *view, struct fw_audit_sum *sum, struct fw_error *err)
{
	struct search search = {.head = head};
	char what[128];
	int code = fw_trail_walk(trail, job, look, &search, err);

	if (code != FW_OK)
		return code;
	struct fw_audit_line line = {
	    .weight = FW_AUDIT_NOTE, .job = job, .seq = search.found, .what = what};
	if (search.found == 0) {
		line.weight = FW_AUDIT_BROKEN;
		line.means = "the paper is of another job, or the record was cut short or written anew";
		snprintf(what, sizeof what, "no entry of the job has the head on the paper");
		sum->broken++;
	} else if (search.found < search.last) {
		line.means = "up to there the record is the one on the paper; the job has gone on since";
		snprintf(what, sizeof what, "the paper was printed at entry %lld of %lld",
		         (long long)search.found, (long long)search.last);
		sum->notes++;
	} else {
		line.means = "the record is the one on the paper, from first to last";
		snprintf(what, sizeof what, "the head on the paper is that of the job as it stands");
		sum->notes++;
	}
	fw_audit_take_line(view, &line);
	return FW_OK;
}
