/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file people.h
 * People of the shop, their keys and their signatures.
 *
 * A person has a name, roles, and an Ed25519 key (RFC 8032). The public half stands in the shop's log
 * (job 0 of the trail), the secret half in a key file of the person's own, sealed by a passphrase
 * (Argon2id, RFC 9106, and XSalsa20-Poly1305). A card is the public half as a small text file to hand
 * out: an auditor who has the card need not believe the trail about whose key it is.
 */
#ifndef FITWRIGHT_PEOPLE_H
#define FITWRIGHT_PEOPLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Bytes of a public key and of a signature, and of their text in lower-case hex with the zero. */
#define FW_KEY 32
#define FW_KEY_TEXT (2 * FW_KEY + 1)
#define FW_SIGNATURE 64
#define FW_SIGNATURE_TEXT (2 * FW_SIGNATURE + 1)
/** Most roles of one person. */
#define FW_ROLES_MOST 8

/** One key of one person, as the shop's log has it. */
struct fw_person {
	char *name;
	char *role[FW_ROLES_MOST]; /**< "technician", "inspector"; in the order given */
	size_t roles;
	uint8_t key[FW_KEY];
	int64_t from;   /**< entry of the shop's log that added it */
	int64_t until;  /**< entry that retired or replaced it; 0 while it is in use */
	char *since;    /**< `at` of that first entry */
	char *ended;    /**< `at` of the entry `until`; NULL while it is in use */
	bool proven;    /**< the entry carries a signature by this very key */
};

struct fw_people {
	struct fw_person *list;
	size_t count;
	bool alone;     /**< the shop says that it is one person: holds can't be independent */
	char shop[33];  /**< identity of the shop: 32 hex digits */
	int64_t entries; /**< of the shop's log that were read */
	uint8_t head[FW_HASH]; /**< hash of the last of them */
};

/** Reads the people out of the shop's log, up to and with entry `until` (0: all of it). FW_ERR_TRAIL
 *  names the entry that can't be read, or that can't be: a name or key that is there already, one that isn't
 *  there to be replaced. FW_ERR_NOT_FOUND: the log has no entry `until`. A trail of format 1 has no log: an
 *  empty list, if `until` is 0. */
int fw_people_read(struct fw_people *out, struct fw_trail *trail, int64_t until, struct fw_error *err);
void fw_people_free(struct fw_people *people);
/** The key in use of the person of this name (whatever the case of a to z, the blanks, and what can't be seen in
 *  it); NULL: none. */
const struct fw_person *fw_people_find(const struct fw_people *people, const char *name);
/** Whose key it is or was; NULL: nobody's. */
const struct fw_person *fw_people_by_key(const struct fw_people *people, const uint8_t key[FW_KEY]);
/** People with a key in use. */
size_t fw_people_in_use(const struct fw_people *people);
/** Whether the role is among the person's, alike as names are. */
bool fw_person_has_role(const struct fw_person *person, const char *role);

/** A secret key, unlocked: in memory that isn't swapped or dumped where the system allows it. */
struct fw_secret; /* opaque */
/** Wipes it. NULL is allowed. */
void fw_secret_free(struct fw_secret *secret);
/** Its public half. */
const uint8_t *fw_secret_public(const struct fw_secret *secret);

/** `$FITWRIGHT_KEYS`, else `fitwright/keys` under `$XDG_DATA_HOME` or `~/.local/share`. As
 *  fw_trail_default_path(). */
const char *fw_keys_folder(char *buffer, size_t size, struct fw_error *err);
/** Where a new key file of `name` goes in `folder`: "r-example.key", or "r-example-2.key" … when that is there
 *  already. Returns `buffer`, or NULL with `err` filled. */
const char *fw_key_path(char *buffer, size_t size, const char *folder, const char *name,
                        struct fw_error *err);
/** Where the file of this key of `name` lies in `folder`, under one of those names. Returns `buffer`, or NULL with
 *  `err` filled: FW_ERR_NOT_FOUND says which names were looked for. */
const char *fw_key_find(char *buffer, size_t size, const char *folder, const char *name,
                        const uint8_t key[FW_KEY], struct fw_error *err);
/** Whether it will do for a new key, as fw_key_make() asks; FW_ERR_ARGUMENT with the reason. */
int fw_key_check_passphrase(const char *passphrase, struct fw_error *err);
/** Makes a key for `name`, seals it and writes the file (0600, its folder 0700 if it isn't there; on the disk
 *  before it returns; an existing file is never overwritten). The passphrase has 8 characters or more, none of
 *  them a control character, and no blank at its ends. */
int fw_key_make(struct fw_secret **out, const char *path, const char *name, const char *passphrase,
                struct fw_error *err);
/** Unlocks the key in a file. FW_ERR_INPUT: the passphrase doesn't fit; FW_ERR_NOT_FOUND;
 *  FW_ERR_ARGUMENT: not a key file, with file and line. */
int fw_key_unlock(struct fw_secret **out, const char *path, const char *passphrase,
                  struct fw_error *err);

/** A card: the public half, with the name, signed by the key itself. */
struct fw_card {
	char name[201];
	uint8_t key[FW_KEY];
};
/** What a key file says without its passphrase. Errors as fw_key_unlock(). */
int fw_key_look(struct fw_card *out, const char *path, struct fw_error *err);
/** The first 32 digits of a public key in groups of four, to be compared by eye or read out. */
#define FW_FINGERPRINT_TEXT 40
const char *fw_key_fingerprint(char out[FW_FINGERPRINT_TEXT], const uint8_t key[FW_KEY]);
/** Text of a card, malloc'ed. */
int fw_card_text(char **out, const char *name, const struct fw_secret *secret, struct fw_error *err);
/** Reads a card file and checks its own signature. Message with file:line. */
int fw_card_read(struct fw_card *out, const char *path, struct fw_error *err);

/** What a signature is given for. */
enum fw_purpose { FW_FOR_SIGN, FW_FOR_HOLD, FW_FOR_CONCESSION, FW_FOR_REOPEN, FW_FOR_PERSON };
/** "sign", "hold", "concession", "reopen", "person". */
const char *fw_purpose_name(enum fw_purpose purpose);
bool fw_purpose_find(enum fw_purpose *out, const char *name);

/** All that a signature covers. docs/trail.md, "Signatures", has the bytes. Strings are borrowed. */
struct fw_signing {
	enum fw_purpose purpose;
	const char *shop;             /**< identity of the shop */
	int64_t job;                  /**< 0: an entry of the shop's log */
	int64_t count;                /**< entries of the job before the signature */
	uint8_t head[FW_HASH];        /**< hash of the last of them */
	int64_t shop_count;           /**< entries of the shop's log then; 0 in the log itself */
	uint8_t shop_head[FW_HASH];   /**< hash of the last of them; zeros in the log itself */
	const char *step;             /**< or NULL */
	const char *name, *role, *meaning; /**< `role` of FW_FOR_PERSON: the roles, joined by ", " */
	const char *reason;           /**< of a concession or reopening; or NULL */
	const char *at;               /**< as recorded in the entry */
};
int fw_signature_make(uint8_t out[FW_SIGNATURE], const struct fw_signing *signing,
                      const struct fw_secret *secret, struct fw_error *err);
bool fw_signature_check(const struct fw_signing *signing, const uint8_t key[FW_KEY],
                        const uint8_t signature[FW_SIGNATURE]);

/** What is recorded about a person. `by` is who records it. */
struct fw_person_new {
	const char *name;
	const char *const *role;
	size_t roles;
	const char *by;
	const char *at;          /**< NULL: now */
	const char *reason;      /**< of a replacement, else NULL */
};
/** Adds a person, or (with `reason`) a new key for one who is there: the old key is retired by the same
 *  entry, and the roles stay when none are given. FW_ERR_STATE: the name or the key is in use, or isn't there to
 *  be replaced; FW_ERR_ARGUMENT names the field. Else as fw_trail_append(). */
int fw_people_add(struct fw_trail *trail, const struct fw_person_new *person,
                  const struct fw_secret *secret, struct fw_error *err);
/** Retires the key of `name`: what it signed stays valid, it signs nothing more. */
int fw_people_retire(struct fw_trail *trail, const char *name, const char *reason, const char *by,
                     const char *at, struct fw_error *err);
/** Says that the shop is one person, or is not any more. */
int fw_people_alone(struct fw_trail *trail, bool alone, const char *by, const char *at,
                    struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
