/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file key.c  Keys made, sealed by a passphrase, and unlocked. */
#include <string.h>

#include "base/text.h"
#include "shop/key_file.h"
#include "shop/secret.h"
#include "shop/words.h"

/* RFC 9106, section 4, second recommended option: 3 passes over 64 MiB; but one lane, as libsodium
 * has no more. */
#define PASSES 3
#define MEMORY 65536

#define PASSPHRASE_LEAST 8
#define PASSPHRASE_MOST  1000

static size_t characters(const char *text)
{
	size_t count = 0;

	for (const char *at = text, *end = text + strlen(text); at < end; count++)
		fw_utf8_next(&at, end);
	return count;
}

int fw_key_check_passphrase(const char *passphrase, struct fw_error *err)
{
	const char *fault = fw_words_fault(passphrase, PASSPHRASE_MOST);

	if (fault)
		return fw_fail(err, FW_ERR_ARGUMENT, "the passphrase %s; choose another", fault);
	if (characters(passphrase) < PASSPHRASE_LEAST)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "the passphrase has fewer than %d characters; take some words more",
		               PASSPHRASE_LEAST);
	return FW_OK;
}

/* The key that seals, from the passphrase; in guarded memory. NULL with `err` filled:
 * FW_ERR_MEMORY. */
static uint8_t *stretch(const struct fw_key_file *file, const char *passphrase,
                        struct fw_error *err)
{
	uint8_t *key = sodium_malloc(crypto_secretbox_KEYBYTES);

	if (key &&
	    crypto_pwhash(key, crypto_secretbox_KEYBYTES, passphrase, strlen(passphrase), file->salt,
	                  file->passes, (size_t)file->memory * 1024, crypto_pwhash_ALG_ARGON2ID13) == 0)
		return key;
	sodium_free(key);
	fw_fail(err, FW_ERR_MEMORY, "out of memory: a passphrase takes %llu MiB to look at",
	        (unsigned long long)(file->memory + 1023) / 1024);
	return NULL;
}

static int seal(struct fw_key_file *file, const struct fw_secret *secret, const char *passphrase,
                struct fw_error *err)
{
	file->passes = PASSES;
	file->memory = MEMORY;
	randombytes_buf(file->salt, sizeof file->salt);
	randombytes_buf(file->nonce, sizeof file->nonce);
	uint8_t *key = stretch(file, passphrase, err);
	if (!key)
		return FW_ERR_MEMORY;
	crypto_secretbox_easy(file->sealed, secret->seed, sizeof secret->seed, file->nonce, key);
	sodium_free(key);
	return FW_OK;
}

int fw_key_make(struct fw_secret **out, const char *path, const char *name, const char *passphrase,
                struct fw_error *err)
{
	struct fw_key_file file = {0};
	const char *fault = fw_words_fault(name, FW_NAME_MOST);

	*out = NULL;
	if (fault)
		return fw_fail(err, FW_ERR_ARGUMENT, "the name %s; write it otherwise", fault);
	int code = fw_key_check_passphrase(passphrase, err);
	if (code == FW_OK)
		code = fw_secret_ready(err);
	if (code != FW_OK)
		return code;
	struct fw_secret *secret = fw_secret_new();
	if (!secret)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory for a key");
	randombytes_buf(secret->seed, sizeof secret->seed);
	fw_secret_derive(secret);
	memcpy(file.card.name, name, strlen(name) + 1);
	memcpy(file.card.key, secret->public_half, FW_KEY);
	code = seal(&file, secret, passphrase, err);
	if (code == FW_OK)
		code = fw_key_file_write(&file, path, err);
	if (code == FW_OK)
		*out = secret;
	else
		fw_secret_free(secret);
	return code;
}

static int open_seal(struct fw_secret *secret, const struct fw_key_file *file, const char *path,
                     const char *passphrase, struct fw_error *err)
{
	uint8_t *key = stretch(file, passphrase, err);

	if (!key)
		return FW_ERR_MEMORY;
	int opened = crypto_secretbox_open_easy(secret->seed, file->sealed, sizeof file->sealed,
	                                        file->nonce, key);
	sodium_free(key);
	if (opened != 0)
		return fw_fail(err, FW_ERR_INPUT, "the passphrase doesn't fit the key of %s in %s",
		               file->card.name, path);
	fw_secret_derive(secret);
	if (sodium_memcmp(secret->public_half, file->card.key, FW_KEY) != 0)
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s: 'public' isn't the public half of the key in it; bring a good copy of "
		               "the file back",
		               path);
	return FW_OK;
}

int fw_key_unlock(struct fw_secret **out, const char *path, const char *passphrase,
                  struct fw_error *err)
{
	struct fw_key_file file;

	*out = NULL;
	int code = fw_secret_ready(err);
	if (code == FW_OK)
		code = fw_key_file_read(&file, path, err);
	if (code != FW_OK)
		return code;
	struct fw_secret *secret = fw_secret_new();
	if (!secret)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory for a key");
	code = open_seal(secret, &file, path, passphrase, err);
	if (code == FW_OK)
		*out = secret;
	else
		fw_secret_free(secret);
	return code;
}

int fw_key_look(struct fw_card *out, const char *path, struct fw_error *err)
{
	struct fw_key_file file;
	int code = fw_key_file_read(&file, path, err);

	if (code == FW_OK)
		*out = file.card;
	return code;
}
