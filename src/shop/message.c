/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/message.h"

#include <stdlib.h>
#include <string.h>

#include "fitwright/people.h"

static void add(struct fw_message *message, const void *bytes, size_t size)
{
	if (message->failed || size == 0)
		return;
	if (size > message->room - message->size) {
		size_t room = 2 * message->room + size + 512;
		uint8_t *grown = size < SIZE_MAX / 4 ? realloc(message->bytes, room) : NULL;
		if (!grown) {
			message->failed = true;
			return;
		}
		message->bytes = grown;
		message->room = room;
	}
	memcpy(message->bytes + message->size, bytes, size);
	message->size += size;
}

static void add_tagged(struct fw_message *message, char tag, uint64_t number)
{
	uint8_t bytes[9] = {(uint8_t)tag};

	for (int i = 8; i >= 1; i--, number >>= 8)
		bytes[i] = (uint8_t)(number & 0xff);
	add(message, bytes, sizeof bytes);
}

void fw_message_domain(struct fw_message *message, const char *domain)
{
	add(message, domain, strlen(domain) + 1);
}

void fw_message_number(struct fw_message *message, int64_t number)
{
	add_tagged(message, 'i', (uint64_t)number);
}

void fw_message_text(struct fw_message *message, const char *text)
{
	if (!text) {
		add(message, "n", 1);
		return;
	}
	add_tagged(message, 't', strlen(text));
	add(message, text, strlen(text));
}

void fw_message_hex(struct fw_message *message, const uint8_t bytes[32])
{
	char hex[65];

	fw_message_text(message, fw_hex_text(hex, bytes, 32));
}
