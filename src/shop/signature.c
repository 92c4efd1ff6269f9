/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file signature.c  Signatures over what docs/trail.md, "Signatures", lists. */
#include <stdlib.h>

#include "shop/message.h"
#include "shop/secret.h"

static void put(struct fw_message *message, const struct fw_signing *signing)
{
	fw_message_domain(message, "fitwright-signature-1");
	fw_message_text(message, fw_purpose_name(signing->purpose));
	fw_message_text(message, signing->shop);
	fw_message_number(message, signing->job);
	fw_message_number(message, signing->count);
	fw_message_hex(message, signing->head);
	fw_message_number(message, signing->shop_count);
	fw_message_hex(message, signing->shop_head);
	fw_message_text(message, signing->step);
	fw_message_text(message, signing->name);
	fw_message_text(message, signing->role);
	fw_message_text(message, signing->meaning);
	fw_message_text(message, signing->reason);
	fw_message_text(message, signing->at);
}

int fw_signature_make(uint8_t out[FW_SIGNATURE], const struct fw_signing *signing,
                      const struct fw_secret *secret, struct fw_error *err)
{
	struct fw_message message = {0};
	int code = fw_secret_ready(err);

	if (code != FW_OK)
		return code;
	put(&message, signing);
	code = message.failed ? fw_fail(err, FW_ERR_MEMORY, "out of memory")
	                      : fw_secret_sign(out, message.bytes, message.size, secret, err);
	free(message.bytes);
	return code;
}

bool fw_signature_check(const struct fw_signing *signing, const uint8_t key[FW_KEY],
                        const uint8_t signature[FW_SIGNATURE])
{
	struct fw_message message = {0};

	if (fw_secret_ready(NULL) != FW_OK)
		return false;
	put(&message, signing);
	bool good = !message.failed &&
	            crypto_sign_verify_detached(signature, message.bytes, message.size, key) == 0;
	free(message.bytes);
	return good;
}
