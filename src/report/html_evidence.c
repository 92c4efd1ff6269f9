/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos and sounds inside the page, other files by name. What a file is, its own bytes say. */
#include <stdlib.h>
#include <string.h>

#include "report/html.h"
#include "report/picture.h"
#include "report/put.h"

static void put_base64(FILE *out, const unsigned char *bytes, size_t size)
{
	static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

	for (size_t i = 0; i < size; i += 3) {
		size_t left = size - i < 3 ? size - i : 3;
		uint32_t group = (uint32_t)bytes[i] << 16;
		if (left > 1)
			group |= (uint32_t)bytes[i + 1] << 8;
		if (left > 2)
			group |= bytes[i + 2];
		char text[4] = {digits[group >> 18], digits[group >> 12 & 63U], '=', '='};
		if (left > 1)
			text[2] = digits[group >> 6 & 63U];
		if (left > 2)
			text[3] = digits[group & 63U];
		fwrite(text, 1, sizeof text, out);
	}
}

static void put_data(FILE *out, const struct fw_picture *picture, const char *bytes, size_t size)
{
	fprintf(out, "data:%s;base64,", picture->type);
	put_base64(out, (const unsigned char *)bytes, size);
}

/* What stands below every file: what it is, and how to take it out. */
static void put_caption(FILE *out, const struct fw_report_job *job,
                        const struct fw_report_entry *entry, const char *problem)
{
	const char *name = fw_get_text(entry->value, "name");
	const char *kind = fw_get_text(entry->value, "kind");
	char text[96];

	fputs("<figcaption>", out);
	if (entry->typed && *entry->typed) {
		fw_put(out, entry->typed);
		fputs("<br/>", out);
	}
	fputs("<strong>", out);
	fw_put_cut(out, name ? name : "no name", 120);
	fputs("</strong> <span class=\"small\">(", out);
	fw_put_cut(out, kind ? kind : "kind not known", 40);
	fprintf(out, ", %s), entry %lld",
	        fw_report_bytes(text, sizeof text, fw_get_whole(entry->value, "size", -1)),
	        (long long)entry->seq);
	if (entry->step) {
		fputs(", ", out);
		fw_put_cut(out, entry->step, 60);
	}
	fputs(", ", out);
	fw_put(out, fw_report_time(text, sizeof text, entry->at, false));
	if (entry->who) {
		fputs(", ", out);
		fw_put_cut(out, entry->who, 60);
	}
	fprintf(out, "<br/>BLAKE2b-256 <code>");
	fw_put_cut(out, fw_get_text(entry->value, "hash"), 64);
	fprintf(out,
	        "</code><br/>to take it out: <code>fitwright evidence %lld %lld --output FILE</code>"
	        "</span>",
	        (long long)job->number, (long long)entry->seq);
	if (problem)
		fprintf(out, "<br/><strong>%s</strong>", problem);
	fputs("</figcaption>", out);
}

/* The picture can be opened to its full width without a script: a box to tick, that isn't seen. */
static void put_picture(FILE *out, const struct fw_picture *picture, const char *bytes, size_t size,
                        const char *name)
{
	fputs("<label><input type=\"checkbox\" aria-label=\"larger\"/><img", out);
	fprintf(out, " width=\"%lu\" height=\"%lu\" alt=\"", (unsigned long)picture->width,
	        (unsigned long)picture->height);
	fw_put_cut(out, name ? name : "attached picture", 120);
	fputs("\" src=\"", out);
	put_data(out, picture, bytes, size);
	fputs("\"/></label>", out);
}

static void put_shown(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_entry *entry, const char *bytes, size_t size)
{
	struct fw_picture picture = fw_picture_look(bytes, size);

	fputs(picture.shown == FW_SHOWN_NOT ? "<figure class=\"aside\">" : "<figure>", out);
	if (picture.shown == FW_SHOWN_PICTURE) {
		put_picture(out, &picture, bytes, size, fw_get_text(entry->value, "name"));
	} else if (picture.shown == FW_SHOWN_SOUND) {
		fputs("<audio controls=\"controls\" preload=\"none\" src=\"", out);
		put_data(out, &picture, bytes, size);
		fputs("\"></audio>", out);
	}
	put_caption(out, job, entry,
	            picture.shown == FW_SHOWN_NOT && picture.width
	                ? "Not shown: its size in pixels is none that a page can hold."
	                : NULL);
	fputs("</figure>\n", out);
}

static void put_aside(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_entry *entry, const char *problem)
{
	fputs("<figure class=\"aside\">", out);
	put_caption(out, job, entry, problem);
	fputs("</figure>\n", out);
}

static bool read_bytes(const struct fw_report_job *job, const struct fw_report_entry *entry,
                       char **bytes, size_t *size)
{
	struct fw_error ignored = {0};
	uint8_t hash[FW_HASH];
	const char *hex = fw_get_text(entry->value, "hash");

	return hex && fw_hash_parse(hash, hex) && job->trail &&
	       fw_trail_evidence(job->trail, hash, bytes, size, &ignored) == FW_OK;
}

static void put_file(FILE *out, const struct fw_report_job *job,
                     const struct fw_report_entry *entry, const struct fw_report_options *options)
{
	char *bytes = NULL;
	size_t size = 0;
	int64_t stated = fw_get_whole(entry->value, "size", 0);
	/* Large ones aren't even read; what is stated needn't be true. */
	bool large = stated > 0 && (uint64_t)stated > options->inline_most;
	bool there = !large && options->evidence == FW_REPORT_EVIDENCE_INLINE &&
	             read_bytes(job, entry, &bytes, &size);

	if (options->evidence == FW_REPORT_EVIDENCE_LIST)
		put_aside(out, job, entry, NULL);
	else if (large || size > options->inline_most)
		put_aside(out, job, entry, "Too large to be shown here.");
	else if (!there)
		put_aside(out, job, entry, "Its bytes are missing from the trail, or aren&#39;t those.");
	else
		put_shown(out, job, entry, bytes, size);
	free(bytes);
}

void fw_html_evidence(FILE *out, const struct fw_report_job *job,
                      const struct fw_report_options *options)
{
	const struct fw_report_entry *entry = fw_report_next_kind(job, NULL, "evidence");

	if (!entry || options->evidence == FW_REPORT_EVIDENCE_NONE)
		return;
	fw_html_section(out, "Photos and other files");
	fputs("<div class=\"evidence\">\n", out);
	for (; entry; entry = fw_report_next_kind(job, entry, "evidence"))
		put_file(out, job, entry, options);
	fputs("</div>\n", out);
	fw_html_close(out);
}
