/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job begins: its sources are read, checked and stored. */
#include <stdlib.h>
#include <string.h>

#include "fitwright/fitwright.h"
#include "job_internal.h"

static int read_files(struct fw_job *job, const struct fw_job_begin *begin, struct fw_error *err)
{
	const char *slash = strrchr(begin->procedure, '/');
	size_t length = slash ? (size_t)(slash - begin->procedure) : 0;

	job->sources.folder =
	    length > 0 ? strndup(begin->procedure, length) : strdup(slash ? "/" : ".");
	if (!job->sources.folder)
		return fw_no_memory(err);
	int code = fw_source_read_file(&job->sources.procedure, begin->procedure, err);
	if (code == FW_OK && begin->sheet)
		code = fw_source_read_file(&job->sources.sheet, begin->sheet, err);
	return code;
}

static json_t *source_fact(const struct fw_named_source *source)
{
	char hex[FW_HASH_TEXT];

	if (!source->name)
		return json_null();
	return json_pack("{s:s, s:s}", "name", source->name, "hash", fw_hash_text(hex, source->hash));
}

/* Whose job it is, and how far the shop's log had come. */
static int shop_fact(json_t **out, const struct fw_job *job, struct fw_error *err)
{
	uint8_t head[FW_HASH];
	char hex[FW_HASH_TEXT];
	int64_t count;
	int code = fw_trail_head(job->trail, FW_SHOP, &count, head, err);

	if (code != FW_OK)
		return code;
	*out = json_pack("{s:s, s:I, s:s}", "id", fw_trail_shop(job->trail), "count", (json_int_t)count,
	                 "head", fw_hash_text(hex, head));
	return *out ? FW_OK : fw_no_memory(err);
}

/* Takes `shop` over. */
static json_t *begin_value(const struct fw_job *job, json_t *shop)
{
	const json_t *facts = fw_script_facts(job->script);
	json_t *modules = json_array();

	for (size_t i = 0; i < job->sources.modules; i++)
		if (json_array_append_new(modules, source_fact(&job->sources.module[i])) != 0) {
			json_decref(modules);
			json_decref(shop);
			return NULL;
		}
	return json_pack(
	    "{s:s, s:s, s:o, s:o, s:o, s:O, s:s, s:s, s:O, s:i, s:o*}", "title", job->title, "unit",
	    job->unit, "procedure", source_fact(&job->sources.procedure), "sheet",
	    source_fact(&job->sources.sheet), "modules", modules, "phases",
	    json_object_get(facts, "phases"), "lua", fw_script_language(), "fitwright", fw_version(),
	    "figures", json_object_get(facts, "figures"), "rules", (int)job->rules, "shop", shop);
}

static int store_begin(struct fw_job *job, const char *value, struct fw_error *err)
{
	const struct fw_sources *sources = &job->sources;
	size_t count = 0;
	struct fw_source_text *text = calloc(sources->modules + 2, sizeof *text);

	if (!text)
		return fw_no_memory(err);
	text[count++] = (struct fw_source_text){sources->procedure.bytes, sources->procedure.size};
	if (sources->sheet.name)
		text[count++] = (struct fw_source_text){sources->sheet.bytes, sources->sheet.size};
	for (size_t i = 0; i < sources->modules; i++)
		text[count++] = (struct fw_source_text){sources->module[i].bytes, sources->module[i].size};
	char at[32] = "";
	int code = fw_job_now(job, at, err);
	const struct fw_entry entry = {.kind = "begin", .at = at, .who = job->who, .value = value};
	if (code == FW_OK)
		code = fw_lease_possible(job->trail, err); /* before anything is recorded */
	if (code == FW_OK)
		code = fw_trail_begin(job->trail, text, count, &entry, &job->number, err);
	if (code == FW_OK)
		code = fw_job_take_lease(job, err);
	if (code == FW_OK) {
		memcpy(job->last_at, at, sizeof at);
		code = fw_trail_head(job->trail, job->number, &job->last_seq, job->head, err);
	}
	free(text);
	return code;
}

static int record_begin(struct fw_job *job, struct fw_error *err)
{
	json_t *shop = NULL;
	int code = shop_fact(&shop, job, err);
	if (code != FW_OK)
		return code;
	json_t *value = begin_value(job, shop);
	char *text = value ? fw_json_text(value) : NULL;
	code = text ? store_begin(job, text, err) : fw_no_memory(err);

	free(text);
	json_decref(value);
	return code == FW_OK ? fw_job_record_findings(job, err) : code;
}

static int begin_job(struct fw_job *job, const struct fw_job_begin *begin, struct fw_error *err)
{
	job->unit = strdup(begin->unit);
	job->who = strdup(begin->who);
	if (!job->unit || !job->who)
		return fw_no_memory(err);
	int code = read_files(job, begin, err);
	if (code == FW_OK)
		code = fw_job_replay(job, err); /* of nothing yet: runs to the first question */
	if (code != FW_OK)
		return code;
	job->title = strdup(json_string_value(json_object_get(fw_script_facts(job->script), "title")));
	if (!job->title)
		return fw_no_memory(err);
	return record_begin(job, err);
}

int fw_job_begin(struct fw_job **out, struct fw_trail *trail, const struct fw_job_begin *begin,
                 fw_clock clock, void *clock_context, struct fw_error *err)
{
	*out = NULL;
	if (fw_job_is_blank(begin->procedure))
		return fw_job_no_text("the procedure's path", err);
	int code = fw_job_check_name("the unit on the bench", begin->unit, err);
	if (code == FW_OK)
		code = fw_job_check_name("the name of who works on it", begin->who, err);
	if (code != FW_OK)
		return code;
	struct fw_job *job = fw_job_new(trail, clock, clock_context);
	code = job ? begin_job(job, begin, err) : fw_no_memory(err);
	if (code != FW_OK) {
		fw_job_close(job);
		return code;
	}
	*out = job;
	return FW_OK;
}
