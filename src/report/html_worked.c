/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the bench calculators worked out, with the working. */
#include "report/html.h"
#include "report/put.h"

/* A result or input in words; an array of rows gives nothing. */
static const char *value_text(const json_t *value)
{
	if (json_is_string(value))
		return json_string_value(value);
	if (json_is_boolean(value))
		return json_is_true(value) ? "yes" : "no";
	if (json_is_object(value))
		return fw_get_text(value, "text");
	return NULL;
}

/* What a result is called, in a table or (NULL) outside; else its key with blanks, "hub_yield".
 * Returns `buffer`. */
static const char *name_text(const json_t *labels, const char *table, const char *key, char *buffer,
                             size_t size)
{
	fw_report_print(buffer, size, "%s%s%s", table ? table : "", table ? "." : "", key);
	const char *label = fw_get_text(labels, buffer);

	fw_report_print(buffer, size, "%s", label ? label : key);
	for (char *c = buffer; !label && *c; c++)
		if (*c == '_')
			*c = ' ';
	return buffer;
}

static void put_facts(FILE *out, const json_t *object, const json_t *labels)
{
	const char *key;
	json_t *value;
	char name[160];

	fputs("<dl class=\"worked\">\n", out);
	json_object_foreach((json_t *)object, key, value)
	    fw_html_fact(out, name_text(labels, NULL, key, name, sizeof name), value_text(value));
	fputs("</dl>\n", out);
}

static void put_row(FILE *out, const json_t *row, const json_t *labels, const char *table)
{
	const char *key, *between = "";
	json_t *value;
	char name[160];

	fputs("<li>", out);
	if (value_text(row))
		fw_put(out, value_text(row));
	else
		json_object_foreach((json_t *)row, key, value)
		{
			fputs(between, out);
			fw_put(out, name_text(labels, table, key, name, sizeof name));
			fputs(" ", out);
			fw_put(out, value_text(value));
			between = ", ";
		}
	fputs("</li>\n", out);
}

static void put_tables(FILE *out, const json_t *object, const json_t *labels)
{
	const char *key;
	json_t *value, *row;
	char name[160];
	size_t i;

	json_object_foreach((json_t *)object, key, value)
	{
		if (!json_is_array(value))
			continue;
		fputs("<p>", out);
		fw_put(out, name_text(labels, NULL, key, name, sizeof name));
		fputs("</p>\n<ol>\n", out);
		json_array_foreach(value, i, row) put_row(out, row, labels, key);
		fputs("</ol>\n", out);
	}
}

static void put_texts(FILE *out, const json_t *array, const char *before, const char *after)
{
	size_t i;
	const json_t *item;

	json_array_foreach(array, i, item)
	{
		fputs(before, out);
		fw_put(out, fw_get_text(item, "text"));
		fputs(after, out);
	}
}

static void put_calculation(FILE *out, const struct fw_report_entry *entry)
{
	const json_t *results = json_object_get(entry->value, "results");
	const json_t *labels = json_object_get(entry->value, "labels");
	const json_t *inputs = json_object_get(entry->ask, "inputs");

	fputs("<h3>", out);
	fw_put(out, entry->step);
	fputs(" <span class=\"small\">", out);
	fw_put(out, fw_get_text(entry->ask, "calculator"));
	fputs("</span></h3>\n", out);
	put_texts(out, json_object_get(entry->value, "warnings"),
	          "<p><strong class=\"tag outside\">Beware</strong> ", "</p>\n");
	put_facts(out, results, labels);
	put_tables(out, results, labels);
	fputs("<p class=\"small\">From</p>\n<div class=\"small\">\n", out);
	put_facts(out, inputs, NULL);
	put_tables(out, inputs, NULL);
	fputs("</div>\n", out);
	fputs("<p class=\"small\">Working</p>\n<ul class=\"small\">\n", out);
	put_texts(out, json_object_get(entry->value, "working"), "<li>", "</li>\n");
	fputs("</ul>\n", out);
}

void fw_html_worked(FILE *out, const struct fw_report_job *job)
{
	const struct fw_report_entry *entry = fw_report_next(job, NULL, "worked");

	if (!entry)
		return;
	fw_html_section(out, "Worked out");
	for (; entry; entry = fw_report_next(job, entry, "worked"))
		put_calculation(out, entry);
	fw_html_close(out);
}
