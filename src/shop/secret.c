/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/secret.h"

_Static_assert(FW_KEY == crypto_sign_PUBLICKEYBYTES, "Ed25519");
_Static_assert(FW_SIGNATURE == crypto_sign_BYTES, "Ed25519");

int fw_secret_ready(struct fw_error *err)
{
	return sodium_init() < 0 ? fw_fail(err, FW_ERR_STATE, "libsodium can't be used on this machine")
	                         : FW_OK;
}

struct fw_secret *fw_secret_new(void)
{
	return sodium_malloc(sizeof(struct fw_secret)); /* locked, guarded, left out of core dumps */
}

void fw_secret_free(struct fw_secret *secret)
{
	sodium_free(secret); /* wipes it; NULL is allowed */
}

void fw_secret_derive(struct fw_secret *secret)
{
	crypto_sign_seed_keypair(secret->public_half, secret->key, secret->seed);
}

const uint8_t *fw_secret_public(const struct fw_secret *secret)
{
	return secret->public_half;
}

int fw_secret_sign(uint8_t out[FW_SIGNATURE], const uint8_t *bytes, size_t size,
                   const struct fw_secret *secret, struct fw_error *err)
{
	if (crypto_sign_detached(out, NULL, bytes, size, secret->key) != 0)
		return fw_fail(err, FW_ERR_STATE, "libsodium can't sign");
	return FW_OK;
}
