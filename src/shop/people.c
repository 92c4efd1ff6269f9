/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file people.c  The people, folded out of the shop's log. */
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "shop/person.h"
#include "shop/words.h"

/* Nobody has so many; a hostile file might. */
#define PEOPLE_MOST 10000

struct fold {
	struct fw_people *out;
	int64_t until;
	size_t room;
	struct fw_error *err;
};

static struct fw_person *in_use(const struct fw_people *people, const char *name)
{
	for (size_t i = 0; i < people->count; i++)
		if (people->list[i].until == 0 && fw_words_alike(people->list[i].name, name))
			return &people->list[i];
	return NULL;
}

const struct fw_person *fw_people_find(const struct fw_people *people, const char *name)
{
	return in_use(people, name);
}

const struct fw_person *fw_people_by_key(const struct fw_people *people, const uint8_t key[FW_KEY])
{
	for (size_t i = 0; i < people->count; i++)
		if (memcmp(people->list[i].key, key, FW_KEY) == 0)
			return &people->list[i];
	return NULL;
}

size_t fw_people_in_use(const struct fw_people *people)
{
	size_t count = 0;

	for (size_t i = 0; i < people->count; i++)
		count += people->list[i].until == 0;
	return count;
}

bool fw_person_has_role(const struct fw_person *person, const char *role)
{
	for (size_t i = 0; i < person->roles; i++)
		if (fw_words_alike(person->role[i], role))
			return true;
	return false;
}

void fw_people_free(struct fw_people *people)
{
	for (size_t i = 0; i < people->count; i++)
		fw_person_clear(&people->list[i]);
	free(people->list);
	memset(people, 0, sizeof *people);
}

static int end(struct fw_person *person, const struct fw_entry *entry, struct fw_error *err)
{
	person->ended = strdup(entry->at);
	if (!person->ended)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	person->until = entry->seq;
	return FW_OK;
}

/* The person in use with the name and key that `value` gives under `member`; NULL: none. */
static struct fw_person *named(const struct fw_people *people, const json_t *value,
                               const char *member)
{
	uint8_t key[FW_KEY];
	const char *name = json_string_value(json_object_get(value, "name"));
	struct fw_person *person = name ? in_use(people, name) : NULL;
	bool good =
	    person && fw_hex_read(key, FW_KEY, json_string_value(json_object_get(value, member)));

	return good && memcmp(person->key, key, FW_KEY) == 0 ? person : NULL;
}

static int make_room(struct fold *fold)
{
	struct fw_people *people = fold->out;

	if (people->count < fold->room)
		return FW_OK;
	if (people->count >= PEOPLE_MOST)
		return fw_fail(fold->err, FW_ERR_TRAIL, "it is one of more than %d people", PEOPLE_MOST);
	size_t room = 2 * fold->room + 8;
	struct fw_person *grown = realloc(people->list, room * sizeof *grown);
	if (!grown)
		return fw_fail(fold->err, FW_ERR_MEMORY, "out of memory");
	people->list = grown;
	fold->room = room;
	return FW_OK;
}

static int take_shop(struct fold *fold, const json_t *value, const struct fw_entry *entry)
{
	uint8_t bytes[16];
	const char *id = json_string_value(json_object_get(value, "id"));

	(void)entry;
	if (!fw_hex_read(bytes, sizeof bytes, id))
		return fw_fail(fold->err, FW_ERR_TRAIL, "'id' is not 32 hex digits");
	memcpy(fold->out->shop, id, sizeof fold->out->shop);
	return FW_OK;
}

static int take_alone(struct fold *fold, const json_t *value, const struct fw_entry *entry)
{
	const json_t *alone = json_object_get(value, "alone");

	(void)entry;
	if (!json_is_boolean(alone))
		return fw_fail(fold->err, FW_ERR_TRAIL, "'alone' is neither true nor false");
	fold->out->alone = json_is_true(alone);
	return FW_OK;
}

/* Whether this person may be added behind what was there; `*old` gets whom they replace, or NULL.
 */
static int check_new(const struct fold *fold, const struct fw_person *person, const json_t *value,
                     struct fw_person **old)
{
	const struct fw_person *there = fw_people_by_key(fold->out, person->key);

	*old = NULL;
	if (there)
		return fw_fail(fold->err, FW_ERR_TRAIL, "its key is that of entry %lld",
		               (long long)there->from);
	if (json_object_get(value, "replaces") && !(*old = named(fold->out, value, "replaces")))
		return fw_fail(fold->err, FW_ERR_TRAIL, "the key it replaces is not the one %s has in use",
		               person->name);
	if (!*old && in_use(fold->out, person->name))
		return fw_fail(fold->err, FW_ERR_TRAIL, "%s has a key already", person->name);
	return FW_OK;
}

static int take_person(struct fold *fold, const json_t *value, const struct fw_entry *entry)
{
	struct fw_people *people = fold->out;
	struct fw_person person, *old;
	int code = fw_person_read(&person, value, entry, fold->err);

	if (code != FW_OK)
		return code;
	code = check_new(fold, &person, value, &old);
	if (code == FW_OK && old)
		code = end(old, entry, fold->err); /* before the list can move */
	if (code == FW_OK)
		code = make_room(fold);
	if (code != FW_OK) {
		fw_person_clear(&person);
		return code;
	}
	person.proven = fw_person_prove(&person, value, entry, people->shop);
	people->list[people->count++] = person;
	return FW_OK;
}

static int take_retire(struct fold *fold, const json_t *value, const struct fw_entry *entry)
{
	struct fw_person *person = named(fold->out, value, "key");

	if (!person)
		return fw_fail(fold->err, FW_ERR_TRAIL, "what it retires is not a key in use");
	return end(person, entry, fold->err);
}

static const struct {
	const char *kind;
	int (*take)(struct fold *fold, const json_t *value, const struct fw_entry *entry);
} kinds[] = {
    {"shop", take_shop}, {"alone", take_alone}, {"person", take_person}, {"retire", take_retire}};

static int take(struct fold *fold, const struct fw_entry *entry)
{
	size_t kind = 0;
	int code = FW_OK;

	while (kind < sizeof kinds / sizeof *kinds && strcmp(kinds[kind].kind, entry->kind) != 0)
		kind++;
	if (kind == sizeof kinds / sizeof *kinds)
		return FW_OK; /* a gauge's */
	json_t *value = entry->value ? json_loads(entry->value, JSON_REJECT_DUPLICATES, NULL) : NULL;
	if (!json_is_object(value))
		code = fw_fail(fold->err, FW_ERR_TRAIL, "its value is not a JSON object");
	else
		code = kinds[kind].take(fold, value, entry);
	json_decref(value);
	if (code != FW_OK)
		fw_error_prefix(fold->err, "entry %lld of the shop's log (%s): ", (long long)entry->seq,
		                kinds[kind].kind);
	return code;
}

/* What ends a walk that has come to `until`: no code of an error. */
#define ENOUGH 1

static int visit(void *context, const struct fw_entry *entry)
{
	struct fold *fold = context;
	int code = take(fold, entry);

	if (code != FW_OK)
		return code;
	fold->out->entries = entry->seq;
	memcpy(fold->out->head, entry->hash, FW_HASH);
	return entry->seq == fold->until ? ENOUGH : FW_OK;
}

int fw_people_read(struct fw_people *out, struct fw_trail *trail, int64_t until,
                   struct fw_error *err)
{
	struct fold fold = {.out = out, .until = until, .err = err};

	memset(out, 0, sizeof *out);
	int code = fw_trail_walk(trail, FW_SHOP, visit, &fold, err);
	if (code == FW_ERR_NOT_FOUND && until == 0) {
		fw_error_clear(err);
		return FW_OK;
	}
	if (code == FW_OK && until != 0)
		code = fw_fail(err, FW_ERR_NOT_FOUND, "the shop's log has %lld entries, not %lld",
		               (long long)out->entries, (long long)until);
	if (code == ENOUGH)
		return FW_OK;
	if (code != FW_OK)
		fw_people_free(out);
	return code;
}
