/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every entry with every column to the letter, as JSON that is enough to check the chain. */
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "fitwright/export.h"
#include "fitwright/fitwright.h"
#include "fitwright/people.h"

/* Number of the form of this document. */
#define FORM 1

struct hashes {
	uint8_t (*list)[FW_HASH];
	size_t count, room;
};

struct writing {
	FILE *out;
	struct fw_trail *trail;
	struct fw_error *err;
	struct hashes sources;
	bool begun; /* something stands before in the list being written */
	bool failed;
};

/* Text as a JSON string; bytes that are no UTF-8 text as {"hex": "…"}, so that nothing gets lost.
 */
static void put_bytes(struct writing *w, const char *bytes, size_t size)
{
	json_t *string = json_stringn(bytes, size);
	char *text = string ? json_dumps(string, JSON_ENCODE_ANY) : NULL;
	char *hex = text ? NULL : malloc(2 * size + 1);

	if (text)
		fputs(text, w->out);
	else if (hex)
		fprintf(w->out, "{\"hex\": \"%s\"}", fw_hex_text(hex, (const uint8_t *)bytes, size));
	else
		w->failed = true;
	free(hex);
	free(text);
	json_decref(string);
}

static void put_text(struct writing *w, const char *key, const char *text)
{
	fprintf(w->out, ", \"%s\": ", key);
	if (text)
		put_bytes(w, text, strlen(text));
	else
		fputs("null", w->out);
}

/* The column read as JSON, for programs that want to look into it; null when it isn't. */
static void put_parsed(struct writing *w, const char *key, const char *text)
{
	json_t *json = text ? json_loads(text, JSON_DECODE_ANY, NULL) : NULL;
	char *again = json ? json_dumps(json, JSON_ENCODE_ANY | JSON_COMPACT) : NULL;

	fprintf(w->out, ", \"%s\": %s", key, again ? again : "null");
	free(again);
	json_decref(json);
}

static void put_separator(struct writing *w)
{
	fputs(w->begun ? ",\n    " : "\n    ", w->out);
	w->begun = true;
}

static bool add_hash(struct hashes *hashes, const uint8_t hash[FW_HASH])
{
	for (size_t i = 0; i < hashes->count; i++)
		if (memcmp(hashes->list[i], hash, FW_HASH) == 0)
			return true;
	if (hashes->count == hashes->room) {
		size_t room = hashes->room ? 2 * hashes->room : 16;
		void *list = realloc(hashes->list, room * sizeof *hashes->list);
		if (!list)
			return false;
		hashes->list = list;
		hashes->room = room;
	}
	memcpy(hashes->list[hashes->count++], hash, FW_HASH);
	return true;
}

static void note_source(struct writing *w, const json_t *named)
{
	const char *hex = json_string_value(json_object_get(named, "hash"));
	uint8_t hash[FW_HASH];

	if (hex && fw_hash_parse(hash, hex) && !add_hash(&w->sources, hash))
		w->failed = true;
}

/* What a beginning names is written behind the jobs, once. */
static void note_sources(struct writing *w, const struct fw_entry *entry)
{
	json_t *value = NULL, *module;
	size_t i;

	if (strcmp(entry->kind, "begin") != 0 || !entry->value)
		return;
	value = json_loads(entry->value, 0, NULL);
	note_source(w, json_object_get(value, "procedure"));
	note_source(w, json_object_get(value, "sheet"));
	json_array_foreach(json_object_get(value, "modules"), i, module) note_source(w, module);
	json_decref(value);
}

static int put_entry(void *context, const struct fw_entry *entry)
{
	struct writing *w = context;
	char hex[FW_HASH_TEXT];

	put_separator(w);
	fprintf(w->out, "{\"job\": %lld, \"seq\": %lld", (long long)entry->job, (long long)entry->seq);
	put_text(w, "kind", entry->kind);
	put_text(w, "step", entry->step);
	put_text(w, "at", entry->at);
	put_text(w, "who", entry->who);
	put_text(w, "ask", entry->ask);
	put_text(w, "typed", entry->typed);
	put_text(w, "value", entry->value);
	put_text(w, "prev", fw_hash_text(hex, entry->prev));
	put_text(w, "hash", fw_hash_text(hex, entry->hash));
	put_parsed(w, "ask_json", entry->ask);
	put_parsed(w, "value_json", entry->value);
	fputc('}', w->out);
	note_sources(w, entry);
	return w->failed ? fw_fail(w->err, FW_ERR_MEMORY, "out of memory while writing JSON") : 0;
}

static int put_job(void *context, const struct fw_job_line *line)
{
	struct writing *w = context;

	return line->job == FW_SHOP ? 0 : fw_trail_walk(w->trail, line->job, put_entry, w, w->err);
}

static int put_jobs(struct writing *w, int64_t job)
{
	/* A trail of format 1 has no log. */
	int code = fw_trail_walk(w->trail, FW_SHOP, put_entry, w, w->err);

	if (code == FW_ERR_NOT_FOUND)
		code = FW_OK;
	if (code)
		return code;
	return job == FW_EXPORT_ALL ? fw_trail_jobs(w->trail, put_job, w, w->err)
	                            : fw_trail_walk(w->trail, job, put_entry, w, w->err);
}

static int put_source(struct writing *w, const uint8_t hash[FW_HASH])
{
	char hex[FW_HASH_TEXT], *bytes = NULL;
	size_t size = 0;
	int code = fw_trail_source(w->trail, hash, &bytes, &size, w->err);

	if (code)
		return code;
	put_separator(w);
	fprintf(w->out, "{\"hash\": \"%s\", \"size\": %zu, \"text\": ", fw_hash_text(hex, hash), size);
	put_bytes(w, bytes, size);
	fputc('}', w->out);
	free(bytes);
	return FW_OK;
}

static int put_sources(struct writing *w)
{
	int code = FW_OK;

	w->begun = false;
	for (size_t i = 0; i < w->sources.count && !code; i++)
		code = put_source(w, w->sources.list[i]);
	return code;
}

int fw_export_json(FILE *out, struct fw_trail *trail, int64_t job, struct fw_error *err)
{
	struct writing w = {.out = out, .trail = trail, .err = err};

	fprintf(out,
	        "{\"fitwright_export\": %d, \"fitwright\": \"%s\",\n"
	        "  \"trail\": {\"format\": %d, \"shop\": \"%s\", \"excerpt\": %lld},\n"
	        "  \"entries\": [",
	        FORM, fw_version(), fw_trail_format(trail), fw_trail_shop(trail),
	        (long long)fw_trail_excerpt(trail));
	int code = put_jobs(&w, job);
	if (!code)
		fputs("],\n  \"sources\": [", out);
	if (!code)
		code = put_sources(&w);
	if (!code)
		fputs("]}\n", out);
	free(w.sources.list);
	if (!code && w.failed)
		code = fw_fail(err, FW_ERR_MEMORY, "out of memory while writing JSON");
	if (!code && (fflush(out) != 0 || ferror(out)))
		code = fw_fail(err, FW_ERR_TRAIL, "the JSON can't be written");
	return code;
}
