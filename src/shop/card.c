/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file card.c  The public half to hand out. docs/people.md describes the file. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "shop/fields.h"
#include "shop/message.h"
#include "shop/secret.h"
#include "shop/words.h"

static const char title[] = "fitwright card 1";

static void put(struct fw_message *message, const char *name, const uint8_t key[FW_KEY])
{
	fw_message_domain(message, "fitwright-card-1");
	fw_message_text(message, name);
	fw_message_hex(message, key);
}

static int sign(uint8_t out[FW_SIGNATURE], const char *name, const struct fw_secret *secret,
                struct fw_error *err)
{
	struct fw_message message = {0};

	put(&message, name, secret->public_half);
	int code = message.failed ? fw_fail(err, FW_ERR_MEMORY, "out of memory")
	                          : fw_secret_sign(out, message.bytes, message.size, secret, err);
	free(message.bytes);
	return code;
}

int fw_card_text(char **out, const char *name, const struct fw_secret *secret, struct fw_error *err)
{
	uint8_t signature[FW_SIGNATURE];
	char key[FW_KEY_TEXT], hex[FW_SIGNATURE_TEXT];
	const char *fault = fw_words_fault(name, FW_NAME_MOST);

	*out = NULL;
	if (fault)
		return fw_fail(err, FW_ERR_ARGUMENT, "the name %s; write it otherwise", fault);
	int code = sign(signature, name, secret, err);
	char *text = code == FW_OK ? malloc(FW_FIELDS_MOST) : NULL;
	if (code == FW_OK && !text)
		code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (code != FW_OK)
		return code;
	snprintf(text, FW_FIELDS_MOST, "%s\nname: %s\npublic: %s\nsignature: %s\n", title, name,
	         fw_hex_text(key, secret->public_half, FW_KEY),
	         fw_hex_text(hex, signature, FW_SIGNATURE));
	*out = text;
	return FW_OK;
}

static int check(struct fw_fields *fields, const struct fw_card *card,
                 const uint8_t signature[FW_SIGNATURE], struct fw_error *err)
{
	struct fw_message message = {0};

	put(&message, card->name, card->key);
	int code = message.failed ? fw_fail(err, FW_ERR_MEMORY, "out of memory") : FW_OK;
	if (code == FW_OK &&
	    crypto_sign_verify_detached(signature, message.bytes, message.size, card->key) != 0)
		code = fw_fields_fail(fields, err,
		                      "the signature doesn't fit: the name or the key was changed");
	free(message.bytes);
	return code;
}

int fw_card_read(struct fw_card *out, const char *path, struct fw_error *err)
{
	struct fw_fields fields;
	struct fw_card card;
	uint8_t signature[FW_SIGNATURE];
	const char *name = "", *fault = NULL;

	memset(&card, 0, sizeof card);
	int code = fw_secret_ready(err);
	if (code == FW_OK)
		code = fw_fields_open(&fields, path, "a card", title, err);
	if (code == FW_OK)
		code = fw_fields_text(&fields, "name", &name, err);
	if (code == FW_OK && (fault = fw_words_fault(name, FW_NAME_MOST)) != NULL)
		code = fw_fields_fail(&fields, err, "the name %s", fault);
	if (code == FW_OK)
		memcpy(card.name, name, strlen(name) + 1);
	if (code == FW_OK)
		code = fw_fields_hex(&fields, "public", card.key, FW_KEY, err);
	if (code == FW_OK)
		code = fw_fields_hex(&fields, "signature", signature, FW_SIGNATURE, err);
	if (code == FW_OK)
		code = check(&fields, &card, signature, err);
	if (code == FW_OK)
		code = fw_fields_end(&fields, err);
	if (code == FW_OK)
		*out = card;
	return code;
}
