/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/person.h"

#include <stdlib.h>
#include <string.h>

#include "shop/words.h"

void fw_person_clear(struct fw_person *person)
{
	free(person->name);
	for (size_t i = 0; i < person->roles; i++)
		free(person->role[i]);
	free(person->since);
	free(person->ended);
	memset(person, 0, sizeof *person);
}

static int read_roles(struct fw_person *out, const json_t *roles, struct fw_error *err)
{
	size_t count = json_array_size(roles);

	if (count == 0 || count > FW_ROLES_MOST)
		return fw_fail(err, FW_ERR_TRAIL, "'roles' is not a list of 1 to %d", FW_ROLES_MOST);
	for (size_t i = 0; i < count; i++) {
		const char *role = json_string_value(json_array_get(roles, i));
		const char *fault = fw_role_fault(role);
		if (fault)
			return fw_fail(err, FW_ERR_TRAIL, "a role %s", fault);
		out->role[out->roles] = strdup(role);
		if (!out->role[out->roles++])
			return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	}
	return FW_OK;
}

static int read_fields(struct fw_person *out, const json_t *value, const struct fw_entry *entry,
                       struct fw_error *err)
{
	const char *name = json_string_value(json_object_get(value, "name"));
	const char *key = json_string_value(json_object_get(value, "key"));
	const char *fault = fw_words_fault(name, FW_NAME_MOST);

	if (fault)
		return fw_fail(err, FW_ERR_TRAIL, "the name %s", fault);
	if (!fw_hex_read(out->key, FW_KEY, key))
		return fw_fail(err, FW_ERR_TRAIL, "'key' is not %d hex digits", 2 * FW_KEY);
	out->from = entry->seq;
	out->name = strdup(name);
	out->since = strdup(entry->at);
	if (!out->name || !out->since)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	return read_roles(out, json_object_get(value, "roles"), err);
}

int fw_person_read(struct fw_person *out, const json_t *value, const struct fw_entry *entry,
                   struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	int code = read_fields(out, value, entry, err);
	if (code != FW_OK)
		fw_person_clear(out);
	return code;
}

struct fw_signing fw_person_signing(const char *shop, const char *name, const char *role,
                                    const char *reason, const char *at, int64_t count,
                                    const uint8_t head[FW_HASH])
{
	struct fw_signing signing = {.purpose = FW_FOR_PERSON,
	                             .shop = shop,
	                             .job = FW_SHOP,
	                             .count = count,
	                             .name = name,
	                             .role = role,
	                             .reason = reason,
	                             .at = at};

	memcpy(signing.head, head, FW_HASH);
	return signing;
}

bool fw_person_prove(const struct fw_person *person, const json_t *value,
                     const struct fw_entry *entry, const char *shop)
{
	uint8_t signature[FW_SIGNATURE], head[FW_HASH];
	const json_t *count = json_object_get(value, "count");
	const char *reason = json_string_value(json_object_get(value, "reason"));

	/* It says what it covers: that must be what stands before it. */
	if (!fw_hex_read(signature, FW_SIGNATURE,
	                 json_string_value(json_object_get(value, "signature"))) ||
	    !fw_hash_parse(head, json_string_value(json_object_get(value, "head"))) ||
	    memcmp(head, entry->prev, FW_HASH) != 0 || !json_is_integer(count) ||
	    json_integer_value(count) != entry->seq - 1)
		return false;
	char *role = fw_roles_join((const char *const *)person->role, person->roles);
	if (!role)
		return false;
	struct fw_signing signing =
	    fw_person_signing(shop, person->name, role, reason, entry->at, entry->seq - 1, entry->prev);
	bool good = fw_signature_check(&signing, person->key, signature);
	free(role);
	return good;
}
