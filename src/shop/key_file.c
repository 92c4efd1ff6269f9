/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/key_file.h"

#include <stdio.h>
#include <string.h>

#include "shop/fields.h"
#include "shop/words.h"

static const char title[] = "fitwright key 1";

static int read_name(struct fw_fields *fields, char name[FW_NAME_MOST + 1], struct fw_error *err)
{
	const char *value;
	int code = fw_fields_text(fields, "name", &value, err);
	const char *fault = code == FW_OK ? fw_words_fault(value, FW_NAME_MOST) : NULL;

	if (fault)
		return fw_fields_fail(fields, err, "the name %s", fault);
	if (code == FW_OK)
		memcpy(name, value, strlen(value) + 1);
	return code;
}

int fw_key_file_read(struct fw_key_file *out, const char *path, struct fw_error *err)
{
	struct fw_fields fields;

	memset(out, 0, sizeof *out);
	int code = fw_fields_open(&fields, path, "a key file", title, err);
	if (code == FW_OK)
		code = read_name(&fields, out->card.name, err);
	if (code == FW_OK)
		code = fw_fields_hex(&fields, "public", out->card.key, FW_KEY, err);
	if (code == FW_OK)
		code = fw_fields_hex(&fields, "salt", out->salt, sizeof out->salt, err);
	if (code == FW_OK)
		code = fw_fields_number(&fields, "passes", 1, FW_KEY_PASSES_MOST, &out->passes, err);
	if (code == FW_OK)
		code = fw_fields_number(&fields, "memory", 8, FW_KEY_MEMORY_MOST, &out->memory, err);
	if (code == FW_OK)
		code = fw_fields_hex(&fields, "nonce", out->nonce, sizeof out->nonce, err);
	if (code == FW_OK)
		code = fw_fields_hex(&fields, "sealed", out->sealed, sizeof out->sealed, err);
	return code == FW_OK ? fw_fields_end(&fields, err) : code;
}

int fw_key_file_write(const struct fw_key_file *file, const char *path, struct fw_error *err)
{
	char text[FW_FIELDS_MOST];
	char key[FW_KEY_TEXT], salt[2 * sizeof file->salt + 1], nonce[2 * sizeof file->nonce + 1],
	    sealed[2 * sizeof file->sealed + 1];

	int size = snprintf(
	    text, sizeof text,
	    "%s\n# The secret key of one person, sealed by a passphrase. Keep it, and a copy\n"
	    "# elsewhere. With this file and the passphrase anybody signs in that name.\n"
	    "name: %s\npublic: %s\nsalt: %s\npasses: %llu\nmemory: %llu\nnonce: %s\nsealed: %s\n",
	    title, file->card.name, fw_hex_text(key, file->card.key, FW_KEY),
	    fw_hex_text(salt, file->salt, sizeof file->salt), (unsigned long long)file->passes,
	    (unsigned long long)file->memory, fw_hex_text(nonce, file->nonce, sizeof file->nonce),
	    fw_hex_text(sealed, file->sealed, sizeof file->sealed));
	if (size < 0 || (size_t)size >= sizeof text)
		return fw_fail(err, FW_ERR_ARGUMENT, "the name is too long for a key file");
	int code = fw_durable_folders(path, err);
	return code == FW_OK ? fw_durable_new(path, text, (size_t)size, err) : code;
}
