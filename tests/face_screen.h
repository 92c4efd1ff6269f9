/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file face_screen.h  A screen whose text a test can read back. */
#ifndef FITWRIGHT_TESTS_FACE_SCREEN_H
#define FITWRIGHT_TESTS_FACE_SCREEN_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "face/screen.h"

struct page {
	struct fw_screen screen;
	char *text;
	size_t size;
};

static inline void page_open(struct page *page, int width, bool utf8)
{
	memset(page, 0, sizeof *page);
	page->screen.out = open_memstream(&page->text, &page->size);
	page->screen.width = width;
	page->screen.utf8 = utf8;
	if (!page->screen.out)
		abort();
}

static inline const char *page_text(struct page *page)
{
	fflush(page->screen.out);
	return page->text;
}

static inline void page_close(struct page *page)
{
	fclose(page->screen.out);
	free(page->text);
}

/* Columns of the longest line, counting every byte that isn't a UTF-8 continuation: right as long
 * as the text holds no combining or wide characters. */
static inline int page_widest(struct page *page)
{
	int widest = 0, used = 0;

	for (const char *c = page_text(page); *c; c++) {
		if (*c == '\n')
			used = 0;
		else if (((unsigned char)*c & 0xC0U) != 0x80U)
			used++;
		if (used > widest)
			widest = used;
	}
	return widest;
}

#endif
