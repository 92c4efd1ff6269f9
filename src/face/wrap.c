/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/wrap.h"

#include <string.h>

#include "face/glyph.h"

/* A line of output being filled, and the word that may still have to go to the next one. */
struct line {
	const struct fw_screen *screen;
	enum fw_style style;
	int indent; /* spaces before each line */
	int room;   /* columns for text */
	int used;   /* columns of text so far */
	bool open;  /* something was printed in this line */
	char word[512];
	size_t word_size;
	int word_width;
};

static void spaces(const struct line *line, int count)
{
	fprintf(line->screen->out, "%*s", count, "");
}

static void end_line(struct line *line)
{
	if (line->open)
		fw_style_off(line->screen, line->style);
	fputc('\n', line->screen->out);
	line->open = false;
	line->used = 0;
}

static void open_line(struct line *line)
{
	if (!line->open) {
		spaces(line, line->indent);
		fw_style_on(line->screen, line->style);
	}
	line->open = true;
}

/* Moves the word to the line, or to a new one when it doesn't fit behind a space. */
static void place_word(struct line *line)
{
	if (line->word_size == 0)
		return;
	if (line->used > 0 && line->used + 1 + line->word_width > line->room)
		end_line(line);
	if (line->used > 0) {
		fputc(' ', line->screen->out);
		line->used++;
	}
	open_line(line);
	fwrite(line->word, 1, line->word_size, line->screen->out);
	line->used += line->word_width;
	line->word_size = 0;
	line->word_width = 0;
}

/* Adds a glyph to the word; a word that fills a line is placed there, and the rest starts a new
 * one. */
static void add_to_word(struct line *line, const struct fw_glyph *glyph)
{
	if (line->word_width + glyph->width > line->room ||
	    line->word_size + glyph->size > sizeof line->word) {
		place_word(line);
		end_line(line);
	}
	memcpy(line->word + line->word_size, glyph->bytes, glyph->size);
	line->word_size += glyph->size;
	line->word_width += glyph->width;
}

/* Prints text up to `end` as it is. */
static void verbatim(struct line *line, const char *text, const char *end)
{
	struct fw_glyph glyph;

	open_line(line);
	while (text && text < end) {
		text = fw_glyph_next(&glyph, text, line->screen->utf8);
		fputs(glyph.bytes, line->screen->out);
	}
	end_line(line);
}

static void fill(struct line *line, const char *text, const char *end)
{
	struct fw_glyph glyph;

	while (text && text < end) {
		text = fw_glyph_next(&glyph, text, line->screen->utf8);
		if (glyph.kind == FW_GLYPH_PRINT)
			add_to_word(line, &glyph);
		else
			place_word(line);
	}
	place_word(line);
	end_line(line);
}

/* Finds the end of the line that begins at `text`: `*end` behind its last word, `*leading` its
 * leading spaces, `*width` its columns. Returns where the next one begins, NULL when there is none.
 */
static const char *measure(const char *text, bool utf8, const char **end, int *leading, int *width)
{
	struct fw_glyph glyph;
	const char *next;
	int columns = 0;

	*end = text;
	*leading = *width = 0;
	while ((next = fw_glyph_next(&glyph, text, utf8)) != NULL && glyph.kind != FW_GLYPH_BREAK) {
		columns += glyph.width;
		if (glyph.kind == FW_GLYPH_PRINT) {
			*end = next;
			*width = columns;
		} else if (*width == 0) {
			*leading = columns;
		}
		text = next;
	}
	return next;
}

void fw_wrap(const struct fw_screen *screen, const char *text, int indent, enum fw_style style)
{
	do {
		const char *end;
		int leading, width;
		const char *next = measure(text, screen->utf8, &end, &leading, &width);
		struct line line = {
		    .screen = screen, .style = style, .indent = indent, .room = screen->width - indent};

		if (width == 0) {
			fputc('\n', screen->out);
		} else if (width <= line.room) {
			verbatim(&line, text, end);
		} else {
			int kept = leading < line.room / 2 ? leading : line.room / 2;
			line.indent += kept;
			line.room -= kept;
			fill(&line, text, end);
		}
		text = next;
	} while (text && *text);
}
