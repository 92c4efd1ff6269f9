/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file secret.h  A secret key in guarded memory. */
#ifndef FITWRIGHT_SHOP_SECRET_H
#define FITWRIGHT_SHOP_SECRET_H

#include <sodium.h>

#include "fitwright/people.h"

/* Bytes alone, so that it may lie anywhere: sodium_malloc() puts its end, not its beginning, on a
 * page. */
struct fw_secret {
	uint8_t seed[crypto_sign_SEEDBYTES];
	uint8_t key[crypto_sign_SECRETKEYBYTES];
	uint8_t public_half[FW_KEY];
};

/** Empty, in guarded memory; NULL when there is none. */
struct fw_secret *fw_secret_new(void);
/** Both halves from the seed in it. */
void fw_secret_derive(struct fw_secret *secret);
/** Signs bytes. */
int fw_secret_sign(uint8_t out[FW_SIGNATURE], const uint8_t *bytes, size_t size,
                   const struct fw_secret *secret, struct fw_error *err);
/** libsodium is ready; FW_ERR_STATE when it can't be used. */
int fw_secret_ready(struct fw_error *err);

#endif
