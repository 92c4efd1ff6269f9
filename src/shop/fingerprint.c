/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "fitwright/people.h"

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
