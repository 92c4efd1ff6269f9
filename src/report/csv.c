/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of entries as CSV (RFC 4180: lines end in CR LF, a cell with a comma, quote or line end is
 * quoted). */
#include "report/csv.h"

#include <string.h>

#include "fitwright/export.h"
#include "report/put.h"

/* Spreadsheets work out a cell that begins like this, which can reach other cells and files; a tab
 * or carriage return in front is skipped by some. An apostrophe makes it text. One that stands
 * there of itself gets another, so that taking one off gives back what was recorded. */
static bool needs_apostrophe(const char *text)
{
	return *text && strchr("=+-@\t\r\n'", *text);
}

void fw_csv_text(FILE *out, const char *text)
{
	if (!text)
		return;
	bool quoted = text[strcspn(text, ",\"\r\n")] != '\0';

	if (quoted)
		fputc('"', out);
	if (needs_apostrophe(text))
		fputc('\'', out);
	for (; *text; text++) {
		if (*text == '"')
			fputc('"', out);
		fputc(*text, out);
	}
	if (quoted)
		fputc('"', out);
}

static bool is_last(const char *step, size_t length)
{
	return length == 2 && memcmp(step, "-1", 2) == 0;
}

static const json_t *at_path(const json_t *json, const char *path)
{
	while (json && *path) {
		size_t length = strcspn(path, ".");
		char key[32];
		if (length >= sizeof key)
			return NULL;
		memcpy(key, path, length);
		key[length] = '\0';
		if (is_last(path, length))
			json = json_array_size(json) ? json_array_get(json, json_array_size(json) - 1) : NULL;
		else
			json = json_object_get(json, key);
		path += length + (path[length] == '.');
	}
	return json;
}

/* A number with every digit it needs; what holds others is left out. */
static void put_json(FILE *out, const json_t *json)
{
	if (json_is_string(json))
		fw_csv_text(out, json_string_value(json));
	else if (json_is_integer(json))
		fprintf(out, "%" JSON_INTEGER_FORMAT, json_integer_value(json));
	else if (json_is_real(json))
		fprintf(out, "%.17g", json_real_value(json));
	else if (json_is_boolean(json))
		fputc(json_is_true(json) ? '1' : '0', out);
}

/* Absent in the question of an ordinary sign-off; a reopening answers no question. */
static const char *purpose_of(const struct fw_report_entry *entry)
{
	const char *purpose = fw_get_text(entry->ask, "purpose");

	if (strcmp(entry->kind, "reopen") == 0)
		return "reopen";
	return purpose ? purpose : "sign";
}

static void put_cell(FILE *out, const struct fw_csv_column *column,
                     const struct fw_report_entry *entry)
{
	fputc(',', out);
	switch (column->from) {
	case FW_CSV_ASK:
		put_json(out, at_path(entry->ask, column->path));
		break;
	case FW_CSV_VALUE:
		put_json(out, at_path(entry->value, column->path));
		break;
	case FW_CSV_FLAG:
		fputc(json_is_true(at_path(entry->value, column->path)) ? '1' : '0', out);
		break;
	case FW_CSV_AMENDED:
		fputc(strcmp(entry->kind, "amend") == 0 ? '1' : '0', out);
		break;
	case FW_CSV_PURPOSE:
		fw_csv_text(out, purpose_of(entry));
		break;
	case FW_CSV_TYPED:
		fw_csv_text(out, entry->typed);
		break;
	case FW_CSV_COUNT:
		fprintf(out, "%zu", json_array_size(at_path(entry->ask, column->path)));
		break;
	}
}

static bool is_in(const struct fw_csv_table *table, const struct fw_report_entry *entry)
{
	const char *find = fw_report_find(entry);

	if (table->find)
		return find && strcmp(find, table->find) == 0;
	bool kind = false;
	for (size_t i = 0; table->kinds[i]; i++)
		kind = kind || strcmp(entry->kind, table->kinds[i]) == 0;
	if (!kind || !table->key)
		return kind;
	const char *word = fw_get_text(entry->ask, table->key);
	return word && strcmp(word, table->word) == 0;
}

void fw_csv_head(FILE *out, const struct fw_csv_table *table, bool struck)
{
	fputs("job,seq,at,who,step", out);
	for (const struct fw_csv_column *c = table->columns; c->name; c++)
		fprintf(out, ",%s", c->name);
	fputs(struck ? ",struck_by\r\n" : "\r\n", out);
}

static void put_row(FILE *out, const struct fw_csv_table *table, int64_t job,
                    const struct fw_report_entry *entry, bool struck)
{
	const char *const texts[] = {entry->at, entry->who, entry->step};

	fprintf(out, "%lld,%lld", (long long)job, (long long)entry->seq);
	for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
		fputc(',', out);
		fw_csv_text(out, texts[i]);
	}
	for (const struct fw_csv_column *c = table->columns; c->name; c++)
		put_cell(out, c, entry);
	if (struck)
		fputc(',', out);
	if (struck && entry->struck_by)
		fprintf(out, "%lld", (long long)entry->struck_by);
	fputs("\r\n", out);
}

void fw_csv_rows(FILE *out, const struct fw_csv_table *table, const struct fw_report_job *job,
                 bool struck)
{
	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		if (is_in(table, entry) && (struck || !entry->struck_by))
			put_row(out, table, job->number, entry, struck);
	}
}

const char *fw_export_table_at(size_t index)
{
	size_t count = 0;

	while (fw_csv_tables[count].name)
		count++;
	return index < count ? fw_csv_tables[index].name : NULL;
}

bool fw_export_table_find(size_t *index, const char *name)
{
	for (size_t i = 0; fw_csv_tables[i].name; i++)
		if (strcmp(fw_csv_tables[i].name, name) == 0) {
			*index = i;
			return true;
		}
	return false;
}

struct writing {
	FILE *out;
	struct fw_trail *trail;
	const struct fw_csv_table *table;
	struct fw_error *err;
	bool struck;
};

static int write_job(struct writing *writing, int64_t number)
{
	struct fw_report_job job;
	int code = fw_report_read_entries(&job, writing->trail, number, writing->err);

	if (code == FW_OK)
		fw_csv_rows(writing->out, writing->table, &job, writing->struck);
	fw_report_free(&job);
	return code;
}

static int write_line(void *context, const struct fw_job_line *line)
{
	return write_job(context, line->job);
}

int fw_export_csv(FILE *out, struct fw_trail *trail, int64_t job, size_t table, bool struck,
                  struct fw_error *err)
{
	if (!fw_export_table_at(table))
		return fw_fail(err, FW_ERR_ARGUMENT, "there is no such table");
	struct writing writing = {out, trail, &fw_csv_tables[table], err, struck};
	fw_csv_head(out, writing.table, struck);
	int code = job == FW_EXPORT_ALL ? fw_trail_jobs(trail, write_line, &writing, err)
	                                : write_job(&writing, job);
	if (code == FW_OK && (fflush(out) != 0 || ferror(out)))
		code = fw_fail(err, FW_ERR_TRAIL, "the table can't be written");
	return code;
}
