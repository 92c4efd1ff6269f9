/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <sodium.h>
#include <string.h>

#include "fitwright/people.h"

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

const char *fw_key_fingerprint(char out[FW_FINGERPRINT_TEXT], const uint8_t key[FW_KEY])
{
	char hex[FW_KEY_TEXT];

	fw_hex_text(hex, key, FW_KEY);
	memset(out, ' ', FW_FINGERPRINT_TEXT - 1);
	for (size_t i = 0; i < FW_FINGERPRINT_TEXT - 1; i++)
		if (i % 5 != 4)
			out[i] = hex[i - i / 5];
	out[FW_FINGERPRINT_TEXT - 1] = '\0';
	return out;
}
