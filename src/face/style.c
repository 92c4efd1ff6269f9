/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/screen.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "face/glyph.h"

bool fw_screen_env_utf8(const char *lc_all, const char *lc_ctype, const char *lang)
{
	const char *said = lc_all && *lc_all ? lc_all : lc_ctype && *lc_ctype ? lc_ctype : lang;
	const char *charset = said ? strchr(said, '.') : NULL;

	if (!charset)
		return false;
	charset++;
	size_t length = strcspn(charset, "@");
	return (length == 5 && strncasecmp(charset, "UTF-8", 5) == 0) ||
	       (length == 4 && strncasecmp(charset, "UTF8", 4) == 0);
}

static int real_width(FILE *out)
{
	struct winsize size;
	int descriptor = fileno(out);

	if (descriptor < 0 || !isatty(descriptor) || ioctl(descriptor, TIOCGWINSZ, &size) != 0 ||
	    size.ws_col == 0)
		return FW_SCREEN_USUAL;
	return size.ws_col < FW_SCREEN_NARROWEST ? FW_SCREEN_NARROWEST
	       : size.ws_col > FW_SCREEN_WIDEST  ? FW_SCREEN_WIDEST
	                                         : size.ws_col;
}

struct fw_screen fw_screen_make(FILE *out)
{
	return (struct fw_screen){
	    .out = out,
	    .width = real_width(out),
	    .utf8 = fw_screen_env_utf8(getenv("LC_ALL"), getenv("LC_CTYPE"), getenv("LANG")),
	};
}

/* Bold and reverse stand out on any background and in sunlight; faint and yellow don't. */
static const char *sequence(enum fw_style style)
{
	switch (style) {
	case FW_STYLE_PLAIN:
		return NULL;
	case FW_STYLE_STRONG:
		return "\033[1m";
	case FW_STYLE_CAUTION:
	case FW_STYLE_OUTSIDE:
		return "\033[1;7;31m";
	case FW_STYLE_SURPRISE:
	case FW_STYLE_DOUBTFUL:
		return "\033[1;7m";
	case FW_STYLE_WITHIN:
		return "\033[1;32m";
	}
	return NULL;
}

void fw_style_on(const struct fw_screen *screen, enum fw_style style)
{
	const char *text = screen->colour ? sequence(style) : NULL;
	if (text)
		fputs(text, screen->out);
}

void fw_style_off(const struct fw_screen *screen, enum fw_style style)
{
	if (screen->colour && sequence(style))
		fputs("\033[0m", screen->out);
}

static void draw(const struct fw_screen *screen, int count)
{
	for (int i = 0; i < count; i++)
		fputs(screen->utf8 ? "─" : "-", screen->out);
}

void fw_screen_rule(const struct fw_screen *screen, const char *left, const char *right)
{
	int used = 0;
	int right_width = right ? fw_text_width(right, screen->utf8) : 0;

	if (left) {
		draw(screen, 2);
		fputc(' ', screen->out);
		fw_style_on(screen, FW_STYLE_STRONG);
		used = 4 + fw_text_print(screen, left, screen->width - 8);
		fw_style_off(screen, FW_STYLE_STRONG);
		fputc(' ', screen->out);
	}
	if (right && used + right_width + 7 <= screen->width) {
		draw(screen, screen->width - used - right_width - 4);
		fputc(' ', screen->out);
		fw_text_print(screen, right, -1);
		fputc(' ', screen->out);
		draw(screen, 2);
	} else {
		draw(screen, screen->width - used);
	}
	fputc('\n', screen->out);
}
