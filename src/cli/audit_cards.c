/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cards an auditor brings along: files, or folders of them. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/audit.h"

#define ENDING ".card"

static int no_memory(struct fw_error *err)
{
	return fw_fail(err, FW_ERR_MEMORY, "out of memory while reading cards");
}

static int add_file(struct fw_audit_cards *cards, const char *path, struct fw_error *err)
{
	struct fw_card *more = realloc(cards->card, (cards->count + 1) * sizeof *more);

	if (!more)
		return no_memory(err);
	cards->card = more;
	int code = fw_card_read(&cards->card[cards->count], path, err);
	cards->count += code == FW_OK;
	return code;
}

static int is_card(const struct dirent *item)
{
	size_t length = strlen(item->d_name), ending = strlen(ENDING);

	return item->d_name[0] != '.' && length > ending &&
	       strcmp(item->d_name + length - ending, ENDING) == 0;
}

static int add_item(struct fw_audit_cards *cards, const char *folder, const char *name,
                    struct fw_error *err)
{
	char path[FW_CLI_PATH];

	if ((size_t)snprintf(path, sizeof path, "%s/%s", folder, name) >= sizeof path)
		return fw_fail(err, FW_ERR_ARGUMENT, "%.200s: the path is too long", folder);
	return add_file(cards, path, err);
}

static int add_folder(struct fw_audit_cards *cards, const char *folder, struct fw_error *err)
{
	struct dirent **items = NULL;
	int code = FW_OK, count = scandir(folder, &items, is_card, alphasort);

	if (count < 0)
		return fw_fail(err, FW_ERR_INPUT, "%s: the folder can't be read", folder);
	if (count == 0)
		code = fw_fail(err, FW_ERR_NOT_FOUND, "%s: there is no card in it, no file NAME%s", folder,
		               ENDING);
	for (int i = 0; i < count; i++) {
		if (code == FW_OK)
			code = add_item(cards, folder, items[i]->d_name, err);
		free(items[i]);
	}
	free(items);
	return code;
}

int fw_audit_cards_add(struct fw_audit_cards *cards, const char *path, struct fw_error *err)
{
	struct stat about;

	return stat(path, &about) == 0 && S_ISDIR(about.st_mode) ? add_folder(cards, path, err)
	                                                         : add_file(cards, path, err);
}

void fw_audit_cards_free(struct fw_audit_cards *cards)
{
	free(cards->card);
	*cards = (struct fw_audit_cards){0};
}
