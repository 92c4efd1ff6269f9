/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file people_record.c  People and keys written to the shop's log. */
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "shop/log.h"
#include "shop/person.h"
#include "shop/words.h"

/* How often a record is made anew because another program wrote to the log meanwhile. */
#define TRIES 5

/* The log as it stands: its people and its end. */
struct log {
	struct fw_people people;
	struct fw_shop_end end;
	char at[32]; /* of the entry to be */
};

static int read_log(struct log *out, struct fw_trail *trail, const char *at, struct fw_error *err)
{
	int code = fw_shop_log_end(&out->end, trail, err);

	if (code == FW_OK)
		code = fw_people_read(&out->people, trail, out->end.seq, err);
	if (code == FW_OK)
		code = fw_shop_log_time(out->at, &out->end, at, err);
	if (code != FW_OK)
		fw_people_free(&out->people);
	return code;
}

static int append(struct fw_trail *trail, const struct log *log, const char *kind, const char *by,
                  json_t *value, struct fw_error *err)
{
	int code = value ? fw_shop_log_append(trail, &log->end, kind, by, log->at, value, err)
	                 : fw_no_memory(err);

	json_decref(value);
	return code;
}

/* What is asked to be recorded, with what the log adds to it. */
struct record {
	const struct fw_person_new *person;
	const struct fw_secret *secret;
	const char *const *role; /* the old ones, if none are given for a new key */
	size_t roles;
	const struct fw_person *old; /* whose key is replaced; NULL */
	const char *name;            /* as it is written already, if they are there */
};

static int check_against(struct record *record, const struct fw_people *people,
                         struct fw_error *err)
{
	const struct fw_person_new *person = record->person;
	const struct fw_person *there = fw_people_find(people, person->name);
	const struct fw_person *other = fw_people_by_key(people, fw_secret_public(record->secret));

	if (there && !person->reason)
		return fw_fail(err, FW_ERR_STATE,
		               "%s has a key already; replace it, or retire it and add the next one",
		               there->name);
	if (!there && person->reason)
		return fw_fail(err, FW_ERR_STATE, "no key in use is that of %s; nothing to replace",
		               person->name);
	if (other)
		return fw_fail(err, FW_ERR_STATE, "this key is or was that of %s; take a new one",
		               other->name);
	record->old = there;
	record->name = there ? there->name : person->name;
	record->role = there && person->roles == 0 ? (const char *const *)there->role : person->role;
	record->roles = there && person->roles == 0 ? there->roles : person->roles;
	if (record->roles == 0 || record->roles > FW_ROLES_MOST)
		return fw_fail(err, FW_ERR_ARGUMENT, "a person has 1 to %d roles, not %zu", FW_ROLES_MOST,
		               record->roles);
	return FW_OK;
}

static json_t *roles_json(const struct record *record)
{
	json_t *roles = json_array();

	for (size_t i = 0; i < record->roles; i++)
		json_array_append_new(roles, json_string(record->role[i]));
	if (json_array_size(roles) == record->roles)
		return roles;
	json_decref(roles);
	return NULL;
}

static json_t *person_json(const struct record *record, const struct fw_people *people,
                           const uint8_t signature[FW_SIGNATURE])
{
	char key[FW_KEY_TEXT], old[FW_KEY_TEXT] = "", head[FW_HASH_TEXT], signed_by[FW_SIGNATURE_TEXT];

	if (record->old)
		fw_hex_text(old, record->old->key, FW_KEY);
	return json_pack("{s:s, s:o, s:s, s:s*, s:s*, s:I, s:s, s:s}", "name", record->name, "roles",
	                 roles_json(record), "key",
	                 fw_hex_text(key, fw_secret_public(record->secret), FW_KEY), "replaces",
	                 record->old ? old : NULL, "reason", record->person->reason, "count",
	                 (json_int_t)people->entries, "head", fw_hash_text(head, people->head),
	                 "signature", fw_hex_text(signed_by, signature, FW_SIGNATURE));
}

static int sign_and_append(struct fw_trail *trail, const struct log *log,
                           const struct record *record, struct fw_error *err)
{
	uint8_t signature[FW_SIGNATURE];
	const struct fw_people *people = &log->people;
	char *role = fw_roles_join(record->role, record->roles);

	if (!role)
		return fw_no_memory(err);
	struct fw_signing signing =
	    fw_person_signing(people->shop, record->name, role, record->person->reason, log->at,
	                      people->entries, people->head);
	int code = fw_signature_make(signature, &signing, record->secret, err);
	if (code == FW_OK)
		code = append(trail, log, "person", record->person->by,
		              person_json(record, people, signature), err);
	free(role);
	return code;
}

static int try_add(struct fw_trail *trail, const struct fw_person_new *person,
                   const struct fw_secret *secret, struct fw_error *err)
{
	struct log log = {0};
	struct record record = {.person = person, .secret = secret};
	int code = read_log(&log, trail, person->at, err);

	if (code != FW_OK)
		return code;
	code = check_against(&record, &log.people, err);
	if (code == FW_OK)
		code = sign_and_append(trail, &log, &record, err);
	fw_people_free(&log.people);
	return code;
}

static int check_new(const struct fw_person_new *person, struct fw_error *err)
{
	const char *fault = fw_words_fault(person->name, FW_NAME_MOST);

	if (fault)
		return fw_fail(err, FW_ERR_ARGUMENT, "the name %s; write it otherwise", fault);
	for (size_t i = 0; i < person->roles; i++) {
		fault = fw_role_fault(person->role[i]);
		if (fault)
			return fw_fail(err, FW_ERR_ARGUMENT, "a role %s; name it otherwise", fault);
		for (size_t j = 0; j < i; j++)
			if (fw_words_alike(person->role[i], person->role[j]))
				return fw_fail(err, FW_ERR_ARGUMENT, "the role '%s' is named twice",
				               person->role[i]);
	}
	int code = person->reason ? fw_shop_check_words("the reason", person->reason, err) : FW_OK;
	return code == FW_OK ? fw_shop_check_words("who records it", person->by, err) : code;
}

int fw_people_add(struct fw_trail *trail, const struct fw_person_new *person,
                  const struct fw_secret *secret, struct fw_error *err)
{
	int code = check_new(person, err);

	if (code != FW_OK)
		return code;
	for (int tries = TRIES; (code = try_add(trail, person, secret, err)) == FW_ERR_BUSY && --tries;)
		fw_error_clear(err);
	return code;
}

static int try_retire(struct fw_trail *trail, const char *name, const char *reason, const char *by,
                      const char *at, struct fw_error *err)
{
	struct log log = {0};
	char key[FW_KEY_TEXT];
	int code = read_log(&log, trail, at, err);

	if (code != FW_OK)
		return code;
	const struct fw_person *person = fw_people_find(&log.people, name);
	if (!person)
		code = fw_fail(err, FW_ERR_STATE, "no key in use is that of %s; nothing to retire", name);
	else
		code = append(trail, &log, "retire", by,
		              json_pack("{s:s, s:s, s:s}", "name", person->name, "key",
		                        fw_hex_text(key, person->key, FW_KEY), "reason", reason),
		              err);
	fw_people_free(&log.people);
	return code;
}

int fw_people_retire(struct fw_trail *trail, const char *name, const char *reason, const char *by,
                     const char *at, struct fw_error *err)
{
	int code = fw_shop_check_words("the reason", reason, err);

	if (code == FW_OK)
		code = fw_shop_check_words("who records it", by, err);
	if (code != FW_OK)
		return code;
	for (int tries = TRIES;
	     (code = try_retire(trail, name, reason, by, at, err)) == FW_ERR_BUSY && --tries;)
		fw_error_clear(err);
	return code;
}

static int try_alone(struct fw_trail *trail, bool alone, const char *by, const char *at,
                     struct fw_error *err)
{
	struct log log = {0};
	int code = read_log(&log, trail, at, err);

	if (code != FW_OK)
		return code;
	/* Said again, it is said already. */
	if (log.people.alone != alone)
		code = append(trail, &log, "alone", by, json_pack("{s:b}", "alone", alone), err);
	fw_people_free(&log.people);
	return code;
}

int fw_people_alone(struct fw_trail *trail, bool alone, const char *by, const char *at,
                    struct fw_error *err)
{
	int code = fw_shop_check_words("who records it", by, err);

	if (code != FW_OK)
		return code;
	for (int tries = TRIES;
	     (code = try_alone(trail, alone, by, at, err)) == FW_ERR_BUSY && --tries;)
		fw_error_clear(err);
	return code;
}
