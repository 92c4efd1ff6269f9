/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/attach_words.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "face/glyph.h"

#define PATH_MOST 4096

struct name {
	char *path;
	size_t size, length;
};

static bool add(struct name *name, const char *bytes, size_t count)
{
	if (name->length + count >= name->size)
		return false;
	memcpy(name->path + name->length, bytes, count);
	name->length += count;
	name->path[name->length] = '\0';
	return true;
}

/* Up to the closing quote; NULL when there is none, or it doesn't fit. */
static const char *take_quoted(struct name *name, const char *text)
{
	const char *end = strchr(text + 1, text[0]);

	return end && add(name, text + 1, (size_t)(end - text - 1)) ? end + 1 : NULL;
}

/* Up to a blank that has no \ before it. */
static const char *take_plain(struct name *name, const char *text)
{
	while (*text && *text != ' ' && *text != '\t') {
		text += *text == '\\' && text[1];
		if (!add(name, text++, 1))
			return NULL;
	}
	return text;
}

static bool add_home(struct name *name, const char **text)
{
	const char *home = getenv("HOME");

	if (strncmp(*text, "~/", 2) != 0 || !home)
		return true;
	++*text;
	return add(name, home, strlen(home));
}

int fw_attach_split(char *path, size_t size, const char **note, const char *text,
                    struct fw_error *err)
{
	struct name name = {path, size, 0};

	path[0] = '\0';
	text += strspn(text, " \t");
	const char *end = !add_home(&name, &text)         ? NULL
	                  : *text == '"' || *text == '\'' ? take_quoted(&name, text)
	                                                  : take_plain(&name, text);
	if (!end)
		return fw_fail(err, FW_ERR_INPUT,
		               "the name of the file is too long, or its closing quote is missing");
	if (!path[0])
		return fw_fail(err, FW_ERR_INPUT, "which file? name it behind /attach");
	*note = end + strspn(end, " \t");
	return FW_OK;
}

static void say(const struct fw_screen *screen, const struct fw_attached *attached)
{
	if (!attached)
		return;
	fputs("\n  Kept with the job: ", screen->out);
	fw_text_print(screen, attached->name, -1);
	fprintf(screen->out, ", %s, %lld bytes\n", attached->words, (long long)attached->size);
	if (!attached->name_fits)
		fputs("  Its name ends like that of another kind of file.\n", screen->out);
}

int fw_attach_and_say(struct fw_job *job, const struct fw_screen *screen, const char *text,
                      struct fw_error *err)
{
	char path[PATH_MOST];
	const char *note = "";
	int code = fw_attach_split(path, sizeof path, &note, text, err);

	if (code == FW_OK)
		code = fw_job_attach(job, path, *note ? note : NULL, err);
	if (code == FW_OK)
		say(screen, fw_job_attached(job));
	return code;
}
