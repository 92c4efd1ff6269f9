/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file key_file.h  What stands in a key file, and how it gets onto the disk. docs/people.md
 * describes it. */
#ifndef FITWRIGHT_SHOP_KEY_FILE_H
#define FITWRIGHT_SHOP_KEY_FILE_H

#include <sodium.h>

#include "fitwright/people.h"

#define FW_SEALED (crypto_sign_SEEDBYTES + crypto_secretbox_MACBYTES)

struct fw_key_file {
	struct fw_card card; /* name and public half */
	uint8_t salt[crypto_pwhash_argon2id_SALTBYTES];
	uint64_t passes, memory; /* of Argon2id; memory in KiB */
	uint8_t nonce[crypto_secretbox_NONCEBYTES];
	uint8_t sealed[FW_SEALED]; /* the seed of the secret key */
};

/* What a file may ask for: no memory is taken for more. */
#define FW_KEY_PASSES_MOST 16
#define FW_KEY_MEMORY_MOST 1048576

int fw_key_file_read(struct fw_key_file *out, const char *path, struct fw_error *err);
/** Complete and on the disk, or not there. FW_ERR_ARGUMENT when `path` is there. */
int fw_key_file_write(const struct fw_key_file *file, const char *path, struct fw_error *err);

/* durable.c */
/** Makes the folders above `path` (0700) where they aren't there. */
int fw_durable_folders(const char *path, struct fw_error *err);
/** Writes a new file (0600): complete and on the disk, or not there; one that is there is left
 * alone. */
int fw_durable_new(const char *path, const char *bytes, size_t size, struct fw_error *err);

#endif
