/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file hash.c  Hashes of sources and entries: BLAKE2b-256 over tagged, length-prefixed bytes. */
#include "trail/trail_internal.h"

#include <sodium.h>
#include <string.h>

_Static_assert(FW_HASH == crypto_generichash_BYTES, "BLAKE2b-256");

static const char domain[] = "fitwright-entry-1"; /* hashed with its zero byte */

void fw_trail_hash(uint8_t out[FW_HASH], const void *bytes, size_t size)
{
	crypto_generichash(out, FW_HASH, bytes, size, NULL, 0);
}

const char *fw_hex_text(char *out, const uint8_t *bytes, size_t size)
{
	return sodium_bin2hex(out, 2 * size + 1, bytes, size);
}

bool fw_hex_read(uint8_t *out, size_t size, const char *text)
{
	size_t got = 0;

	/* sodium_hex2bin() takes either case; with neither a separator nor an end asked for it
	 * fails on anything that isn't a digit, on an odd digit and on too many. */
	return text && strlen(text) == 2 * size &&
	       sodium_hex2bin(out, size, text, 2 * size, NULL, &got, NULL) == 0 && got == size;
}

const char *fw_hash_text(char out[FW_HASH_TEXT], const uint8_t hash[FW_HASH])
{
	return fw_hex_text(out, hash, FW_HASH);
}

bool fw_hash_parse(uint8_t out[FW_HASH], const char *text)
{
	uint8_t bytes[FW_HASH];

	if (!fw_hex_read(bytes, FW_HASH, text))
		return false;
	memcpy(out, bytes, FW_HASH);
	return true;
}

static void big_endian(uint8_t out[8], uint64_t value)
{
	for (int i = 7; i >= 0; i--, value >>= 8)
		out[i] = (uint8_t)(value & 0xff);
}

static void add_number(crypto_generichash_state *state, int64_t number)
{
	uint8_t bytes[9] = {'i'};

	big_endian(bytes + 1, (uint64_t)number);
	crypto_generichash_update(state, bytes, sizeof bytes);
}

static void add_text(crypto_generichash_state *state, const char *text)
{
	uint8_t prefix[9] = {'t'};

	if (!text) {
		crypto_generichash_update(state, (const uint8_t *)"n", 1);
		return;
	}
	size_t size = strlen(text);
	big_endian(prefix + 1, size);
	crypto_generichash_update(state, prefix, sizeof prefix);
	crypto_generichash_update(state, (const uint8_t *)text, size);
}

void fw_entry_hash(uint8_t out[FW_HASH], const struct fw_entry *entry)
{
	crypto_generichash_state state;

	crypto_generichash_init(&state, NULL, 0, FW_HASH);
	crypto_generichash_update(&state, (const uint8_t *)domain, sizeof domain);
	crypto_generichash_update(&state, entry->prev, FW_HASH);
	add_number(&state, entry->job);
	add_number(&state, entry->seq);
	add_text(&state, entry->kind);
	add_text(&state, entry->step);
	add_text(&state, entry->at);
	add_text(&state, entry->who);
	add_text(&state, entry->ask);
	add_text(&state, entry->typed);
	add_text(&state, entry->value);
	crypto_generichash_final(&state, out, FW_HASH);
}
