/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file message.h  The bytes that a signature is over: each part with a tag and, if text, its
 * length. */
#ifndef FITWRIGHT_SHOP_MESSAGE_H
#define FITWRIGHT_SHOP_MESSAGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** Begin zeroed; free `bytes`. */
struct fw_message {
	uint8_t *bytes;
	size_t size, room;
	bool failed; /**< out of memory: what is in it is worth nothing */
};

/** With its terminating zero. */
void fw_message_domain(struct fw_message *message, const char *domain);
void fw_message_number(struct fw_message *message, int64_t number);
/** NULL: absent. */
void fw_message_text(struct fw_message *message, const char *text);
/** As text in hex. */
void fw_message_hex(struct fw_message *message, const uint8_t bytes[32]);

#endif
