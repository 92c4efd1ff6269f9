/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a calculator puts out, and reading it. */
#include "calc/out.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "quantity/text.h"

#define LINE_MOST 1000

struct fw_calc_out *fw_calc_out_new(bool quiet)
{
	struct fw_calc_out *out = calloc(1, sizeof *out);

	if (out)
		out->quiet = quiet;
	return out;
}

static void free_texts(struct fw_calc_texts *texts)
{
	for (size_t i = 0; i < texts->count; i++)
		free(texts->text[i]);
	free(texts->text);
}

void fw_calc_free(struct fw_calc_out *out)
{
	if (!out)
		return;
	free_texts(&out->lines);
	free_texts(&out->warnings);
	free_texts(&out->names);
	free(out->results);
	free(out);
}

/* A copy that the list owns; NULL when memory ran out. */
static const char *keep(struct fw_calc_out *out, struct fw_calc_texts *texts, const char *text)
{
	if (texts->count == texts->room) {
		size_t room = texts->room ? 2 * texts->room : 16;
		char **grown = realloc(texts->text, room * sizeof *grown);
		if (!grown) {
			out->lost = true;
			return NULL;
		}
		texts->text = grown;
		texts->room = room;
	}
	char *copy = strdup(text);
	if (!copy) {
		out->lost = true;
		return NULL;
	}
	texts->text[texts->count++] = copy;
	return copy;
}

static void keep_formatted(struct fw_calc_out *out, struct fw_calc_texts *texts, const char *format,
                           va_list args)
{
	char text[LINE_MOST];

	vsnprintf(text, sizeof text, format, args);
	fw_utf8_drop_cut(text);
	fw_text_one_line(text);
	keep(out, texts, text);
}

void fw_calc_line(struct fw_calc_out *out, const char *format, ...)
{
	va_list args;

	if (out->quiet)
		return;
	va_start(args, format);
	keep_formatted(out, &out->lines, format, args);
	va_end(args);
}

void fw_calc_warn(struct fw_calc_out *out, const char *format, ...)
{
	va_list args;

	if (out->quiet)
		return;
	va_start(args, format);
	keep_formatted(out, &out->warnings, format, args);
	va_end(args);
}

static struct fw_calc_result *add(struct fw_calc_out *out, const char *name, const char *label)
{
	if (out->count == FW_CALC_RESULTS_MOST) {
		out->full = true;
		return NULL;
	}
	if (out->count == out->room) {
		size_t room = out->room ? 2 * out->room : 16;
		struct fw_calc_result *grown = realloc(out->results, room * sizeof *grown);
		if (!grown) {
			out->lost = true;
			return NULL;
		}
		out->results = grown;
		out->room = room;
	}
	struct fw_calc_result *result = &out->results[out->count];
	memset(result, 0, sizeof *result);
	result->name = keep(out, &out->names, name);
	result->label = keep(out, &out->names, label);
	if (!result->name || !result->label)
		return NULL;
	result->table = out->table;
	result->table_label = out->table_label;
	result->row = out->row;
	out->count++;
	return result;
}

static void put_quantity(struct fw_calc_out *out, const char *name, const char *label,
                         enum fw_calc_result_kind kind, const struct fw_quantity *q)
{
	if (!isfinite(q->value))
		return;
	struct fw_calc_result *result = add(out, name, label);
	if (!result)
		return;
	result->kind = kind;
	result->quantity = *q;
}

void fw_calc_put(struct fw_calc_out *out, const char *name, const char *label, double si,
                 const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_of(si, unit);
	put_quantity(out, name, label, FW_CALC_IS_QUANTITY, &q);
}

void fw_calc_put_span(struct fw_calc_out *out, const char *name, const char *label, double si,
                      const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_span(si, unit);
	put_quantity(out, name, label, FW_CALC_IS_QUANTITY, &q);
}

void fw_calc_put_known(struct fw_calc_out *out, const char *name, const char *label, double si,
                       double u, double freedom, const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_of(si, unit);
	char source[160];

	/* fw_calculate() adds what it was worked out from: the same from the same is one source. */
	snprintf(source, sizeof source, "worked: %.60s %zu", name, out->row);
	if (isfinite(si) && u > 0)
		fw_quantity_add_term(&q, fw_source_name(source), u, freedom, NULL);
	put_quantity(out, name, label, FW_CALC_IS_QUANTITY, &q);
}

void fw_calc_put_number(struct fw_calc_out *out, const char *name, const char *label, double value)
{
	struct fw_quantity q = fw_quantity_of(value, fw_unit_find("1", 1));
	put_quantity(out, name, label, FW_CALC_IS_NUMBER, &q);
}

void fw_calc_put_chance(struct fw_calc_out *out, const char *name, const char *label,
                        double probability)
{
	size_t before = out->count;

	fw_calc_put_number(out, name, label, probability);
	if (out->count > before)
		out->results[before].chance = true;
}

void fw_calc_put_text(struct fw_calc_out *out, const char *name, const char *label,
                      const char *text)
{
	const char *copy = keep(out, &out->names, text);
	struct fw_calc_result *result = copy ? add(out, name, label) : NULL;

	if (!result)
		return;
	result->kind = FW_CALC_IS_TEXT;
	result->text = copy;
}

void fw_calc_put_flag(struct fw_calc_out *out, const char *name, const char *label, bool value)
{
	struct fw_calc_result *result = add(out, name, label);

	if (!result)
		return;
	result->kind = FW_CALC_IS_FLAG;
	result->flag = value;
}

void fw_calc_row(struct fw_calc_out *out, const char *name, const char *label)
{
	out->table = NULL;
	for (size_t i = out->count; i-- > 0;) {
		const struct fw_calc_result *last = &out->results[i];
		if (!last->table || strcmp(last->table, name) != 0)
			continue;
		out->table = last->table;
		out->table_label = last->table_label;
		out->row = last->row + 1;
		return;
	}
	out->table = keep(out, &out->names, name);
	out->table_label = keep(out, &out->names, label);
	out->row = 0;
}

void fw_calc_row_end(struct fw_calc_out *out)
{
	out->table = NULL;
	out->table_label = NULL;
	out->row = 0;
}

const char *fw_calc_figure(double si, const struct fw_unit *unit, char *buffer, size_t size)
{
	char number[32];

	fw_number_figures((si - unit->offset) / unit->factor, 6, number, sizeof number);
	if (strcmp(unit->symbol, "1") == 0)
		snprintf(buffer, size, "%s", number);
	else
		snprintf(buffer, size, "%s %s", number, unit->symbol);
	return buffer;
}

/* Reading. */

size_t fw_calc_results(const struct fw_calc_out *out)
{
	return out->count;
}

const struct fw_calc_result *fw_calc_result(const struct fw_calc_out *out, size_t index)
{
	return index < out->count ? &out->results[index] : NULL;
}

const struct fw_calc_result *fw_calc_result_find(const struct fw_calc_out *out, const char *name)
{
	for (size_t i = 0; i < out->count; i++)
		if (!out->results[i].table && strcmp(out->results[i].name, name) == 0)
			return &out->results[i];
	return NULL;
}

size_t fw_calc_lines(const struct fw_calc_out *out)
{
	return out->lines.count;
}

const char *fw_calc_line_text(const struct fw_calc_out *out, size_t index)
{
	return index < out->lines.count ? out->lines.text[index] : NULL;
}

size_t fw_calc_warnings(const struct fw_calc_out *out)
{
	return out->warnings.count;
}

const char *fw_calc_warning_text(const struct fw_calc_out *out, size_t index)
{
	return index < out->warnings.count ? out->warnings.text[index] : NULL;
}
