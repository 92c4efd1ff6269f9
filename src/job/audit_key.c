/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whose key a signature is by, and whether it is over this record. */
#include <string.h>

#include "audit_sign.h"
#include "shop/words.h"

static const struct fw_people *look_at_log(struct fw_audit_log *log,
                                           const struct fw_audit_signer *signer, int64_t count)
{
	struct fw_error error = {0};

	if (log->looked && log->until == count)
		return log->loaded ? &log->people : NULL;
	fw_people_free(&log->people);
	log->loaded = fw_people_read(&log->people, signer->audit->trail, count, &error) == FW_OK;
	log->until = count;
	log->looked = true;
	if (log->loaded)
		return &log->people;
	memset(&log->people, 0, sizeof log->people);
	fw_audit_say(signer->audit, FW_AUDIT_BROKEN, 0, error.text,
	             "whose keys they were then can't be looked up");
	return NULL;
}

const struct fw_people *fw_audit_people(struct fw_audit_signer *signer, int64_t count)
{
	if (signer->now.loaded && signer->now.people.entries == count)
		return &signer->now.people;
	return look_at_log(count == 0 ? &signer->now : &signer->then, signer, count);
}

void fw_audit_people_free(struct fw_audit_signer *signer)
{
	fw_people_free(&signer->now.people);
	fw_people_free(&signer->then.people);
}

/* What the value says about the key. */
struct claim {
	uint8_t key[FW_KEY], signature[FW_SIGNATURE], head[FW_HASH], shop_head[FW_HASH];
	int64_t count, shop_count;
};

static bool read_hex(uint8_t *out, size_t size, const json_t *value, const char *key)
{
	const char *text = json_string_value(json_object_get(value, key));

	return text && fw_hex_read(out, size, text);
}

static bool read_claim(struct claim *out, const json_t *value)
{
	const json_t *shop = json_object_get(value, "shop");

	out->count = json_integer_value(json_object_get(value, "count"));
	out->shop_count = json_integer_value(json_object_get(shop, "count"));
	return out->shop_count > 0 && read_hex(out->key, FW_KEY, value, "key") &&
	       read_hex(out->signature, FW_SIGNATURE, value, "signature") &&
	       read_hex(out->head, FW_HASH, value, "head") &&
	       read_hex(out->shop_head, FW_HASH, shop, "head");
}

static bool is_good(const struct fw_audit_signer *signer, const struct fw_people *people,
                    const struct fw_signed *it, const struct claim *claim)
{
	struct fw_signing whole = {.purpose = it->purpose,
	                           .shop = people->shop,
	                           .job = signer->audit->number,
	                           .count = claim->count,
	                           .shop_count = claim->shop_count,
	                           .step = it->record->step,
	                           .name = it->name,
	                           .role = it->role,
	                           .meaning = it->meaning,
	                           .at = it->record->at};

	whole.reason = json_string_value(json_object_get(it->record->value, "reason"));
	memcpy(whole.head, claim->head, FW_HASH);
	memcpy(whole.shop_head, claim->shop_head, FW_HASH);
	return fw_signature_check(&whole, claim->key, claim->signature);
}

/* What is wrong with it by the shop's own log as it was then; NULL: nothing. */
static const char *fault_of(const struct fw_audit_signer *signer, const struct fw_people *people,
                            const struct fw_signed *it, const struct claim *claim)
{
	const struct fw_person *person = fw_people_by_key(people, claim->key);

	/* With a key that was out of use by then it would be named as it was before. */
	if (claim->shop_count < signer->least)
		return "it names an earlier state of the shop's log than what was recorded before it";
	if (people->entries != claim->shop_count ||
	    memcmp(people->head, claim->shop_head, FW_HASH) != 0)
		return "it names another state of the shop's log than this file has";
	if (!person)
		return "the key is nobody's in this shop";
	if (strcmp(person->name, it->name) != 0)
		return "the key is another person's";
	if (person->until != 0)
		return "the key had been retired or replaced before";
	if (!person->proven)
		return "the key stands in the shop's log without a signature by that very key";
	if (!fw_person_has_role(person, it->role))
		return "this person didn't have that role";
	if (!is_good(signer, people, it, claim))
		return "the signature isn't by that key over this record";
	if (it->purpose == FW_FOR_HOLD && !people->alone &&
	    !json_is_true(json_object_get(it->record->value, "independent")))
		return "a hold signed by who did the work, in a shop that isn't one person";
	return NULL;
}

/* The key against the cards that the auditor brought; false: a card says otherwise. */
static bool look_at_cards(struct fw_audit_signer *signer, const struct fw_signed *it,
                          const struct claim *claim)
{
	const struct fw_audit_given *given = signer->audit->given;
	bool named = false;

	if (!given || given->cards == 0)
		return true;
	for (size_t i = 0; i < given->cards; i++) {
		if (!fw_words_alike(given->card[i].name, it->name))
			continue;
		named = true;
		if (memcmp(given->card[i].key, claim->key, FW_KEY) == 0)
			return true;
	}
	if (named)
		fw_audit_say_signed(
		    signer->audit, FW_AUDIT_BROKEN, it, "by another key than that of the card",
		    "somebody else signed under this name; or the key was replaced, and the "
		    "card of the other one is wanted too");
	else
		fw_audit_say_signed(signer->audit, FW_AUDIT_OPEN, it, "no card was given for this name",
		                    "the trail alone says whose key it is");
	return !named;
}

/* A key that went out of use later than the state of the log that is named, and yet before the time
 * that is. Clocks of two benches may differ by as much; or it was stolen. */
static void look_at_end(struct fw_audit_signer *signer, const struct fw_signed *it,
                        const struct claim *claim)
{
	const struct fw_people *people = fw_audit_people(signer, 0);
	const struct fw_person *person = people ? fw_people_by_key(people, claim->key) : NULL;

	if (person && person->ended && it->record->at && strcmp(person->ended, it->record->at) < 0)
		fw_audit_say_signed(signer->audit, FW_AUDIT_OPEN, it,
		                    "by a key that was retired or replaced by then",
		                    "it names the shop's log as it was before; ask why the key was, and "
		                    "how the clocks of the benches went");
}

bool fw_audit_key(struct fw_audit_signer *signer, const struct fw_signed *it)
{
	struct claim claim;
	const char *fault = "its key, signature, or state of the shop's log can't be read";

	if (read_claim(&claim, it->record->value)) {
		const struct fw_people *people = fw_audit_people(signer, claim.shop_count);
		if (!people)
			return false;
		fault = fault_of(signer, people, it, &claim);
	}
	if (fault) {
		fw_audit_say_signed(signer->audit, FW_AUDIT_BROKEN, it, fault,
		                    "it doesn't show that this person signed");
		return false;
	}
	signer->least = claim.shop_count;
	look_at_end(signer, it, &claim);
	return look_at_cards(signer, it, &claim);
}
