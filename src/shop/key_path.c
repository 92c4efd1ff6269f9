/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file key_path.c  Where key files lie. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"
#include "fitwright/people.h"
#include "shop/words.h"

/* Key files of one name in one folder. */
#define NUMBER_MOST 99

const char *fw_keys_folder(char *buffer, size_t size, struct fw_error *err)
{
	const char *keys = getenv("FITWRIGHT_KEYS"), *data = getenv("XDG_DATA_HOME"),
	           *home = getenv("HOME");
	int length;

	/* XDG Base Directory Specification: a relative path is to be ignored. */
	if (keys && keys[0]) {
		length = snprintf(buffer, size, "%s", keys);
	} else if (data && data[0] == '/') {
		length = snprintf(buffer, size, "%s/fitwright/keys", data);
	} else if (home && home[0]) {
		length = snprintf(buffer, size, "%s/.local/share/fitwright/keys", home);
	} else {
		fw_fail(err, FW_ERR_NOT_FOUND,
		        "no place for keys: HOME and XDG_DATA_HOME are not set; name a folder");
		return NULL;
	}
	if (length < 0 || (size_t)length >= size) {
		fw_fail(err, FW_ERR_ARGUMENT, "the path of the folder of keys is too long; name a shorter");
		return NULL;
	}
	return buffer;
}

/* "R. Example" as "r-example": letters and digits small, all else between them one '-'. */
static void write_stem(char out[FW_NAME_MOST + 1], const char *name)
{
	size_t used = 0;
	bool gap = false;

	for (; *name; name++) {
		char c = fw_ascii_lower(*name);
		bool letter = (c >= 'a' && c <= 'z') || fw_ascii_is_digit(c) || (unsigned char)c >= 0x80;
		if (letter && gap && used > 0)
			out[used++] = '-';
		if (letter)
			out[used++] = c;
		gap = !letter;
	}
	if (used == 0)
		out[used++] = '-';
	out[used] = '\0';
}

static const char *write_path(char *buffer, size_t size, const char *folder, const char *name,
                              int number, struct fw_error *err)
{
	char stem[FW_NAME_MOST + 1], suffix[16] = "";
	const char *fault = fw_words_fault(name, FW_NAME_MOST);

	if (fault) {
		fw_fail(err, FW_ERR_ARGUMENT, "the name %s; write it otherwise", fault);
		return NULL;
	}
	write_stem(stem, name);
	if (number > 1)
		snprintf(suffix, sizeof suffix, "-%d", number);
	int length = snprintf(buffer, size, "%s/%s%s.key", folder, stem, suffix);
	if (length < 0 || (size_t)length >= size) {
		fw_fail(err, FW_ERR_ARGUMENT, "the path of the key of %s in %s is too long", name, folder);
		return NULL;
	}
	return buffer;
}

static bool is_there(const char *path)
{
	struct stat status;
	return lstat(path, &status) == 0;
}

const char *fw_key_path(char *buffer, size_t size, const char *folder, const char *name,
                        struct fw_error *err)
{
	for (int number = 1; number <= NUMBER_MOST; number++) {
		if (!write_path(buffer, size, folder, name, number, err))
			return NULL;
		if (!is_there(buffer))
			return buffer;
	}
	fw_fail(err, FW_ERR_STATE, "%s holds %d keys of %s already; name another folder", folder,
	        NUMBER_MOST, name);
	return NULL;
}

/* A number that is missing ends nothing: files get moved. */
const char *fw_key_find(char *buffer, size_t size, const char *folder, const char *name,
                        const uint8_t key[FW_KEY], struct fw_error *err)
{
	struct fw_error unreadable = {0};

	for (int number = 1; number <= NUMBER_MOST; number++) {
		struct fw_card card;
		struct fw_error why = {0};

		if (!write_path(buffer, size, folder, name, number, err))
			return NULL;
		int code = is_there(buffer) ? fw_key_look(&card, buffer, &why) : FW_ERR_NOT_FOUND;
		if (code == FW_OK && memcmp(card.key, key, FW_KEY) == 0)
			return buffer;
		if (code != FW_OK && code != FW_ERR_NOT_FOUND && !unreadable.text[0])
			unreadable = why;
	}
	if (!write_path(buffer, size, folder, name, 1, err))
		return NULL;
	if (unreadable.text[0])
		fw_fail(err, FW_ERR_NOT_FOUND, "the key of %s isn't in %s: %s", name, folder,
		        unreadable.text);
	else
		fw_fail(err, FW_ERR_NOT_FOUND,
		        "the key of %s isn't in %s (%s, or with -2 and so on); bring it there, or name "
		        "its folder",
		        name, folder, buffer);
	return NULL;
}
