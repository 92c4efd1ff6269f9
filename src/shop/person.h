/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file person.h  One person as an entry of the shop's log, and what the entry's signature is
 * over. */
#ifndef FITWRIGHT_SHOP_PERSON_H
#define FITWRIGHT_SHOP_PERSON_H

#include <jansson.h>

#include "fitwright/people.h"

/* Frees its strings and zeroes it. */
void fw_person_clear(struct fw_person *person);

/* Name, roles, key and `since` out of an entry `person`; `from` its number. FW_ERR_TRAIL says what
 * is wrong with it; `out` is zeroed then. `proven` is left for fw_person_prove(). */
int fw_person_read(struct fw_person *out, const json_t *value, const struct fw_entry *entry,
                   struct fw_error *err);

/* Whether the entry carries a good signature by the key that it adds. */
bool fw_person_prove(const struct fw_person *person, const json_t *value,
                     const struct fw_entry *entry, const char *shop);

/* What adding a person is signed over: all but `role`, which the caller joins. */
struct fw_signing fw_person_signing(const char *shop, const char *name, const char *role,
                                    const char *reason, const char *at, int64_t count,
                                    const uint8_t head[FW_HASH]);

#endif
