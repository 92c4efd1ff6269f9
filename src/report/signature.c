/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/signature.h"

#include <string.h>

#include "report/put.h"
#include "shop/words.h"

const struct fw_report_entry *fw_report_next_signature(const struct fw_report_job *job,
                                                       const struct fw_report_entry *entry)
{
	const struct fw_report_entry *end = job->entries + job->count;

	for (entry = entry ? entry + 1 : job->entries; entry < end; entry++)
		if (!entry->struck_by && (fw_report_is(entry, "sign") || fw_report_is(entry, "reopen")))
			return entry;
	return NULL;
}

static enum fw_purpose purpose_of(const struct fw_report_entry *entry)
{
	const char *name = fw_get_text(entry->ask, "purpose");
	enum fw_purpose purpose = FW_FOR_SIGN;

	if (fw_report_is(entry, "reopen"))
		return FW_FOR_REOPEN;
	return name && fw_purpose_find(&purpose, name) ? purpose : FW_FOR_SIGN;
}

static bool fits(const struct fw_report_signature *sign, const struct fw_report_job *job,
                 const uint8_t key[FW_KEY])
{
	const json_t *value = sign->entry->value, *shop = json_object_get(value, "shop");
	uint8_t signature[FW_SIGNATURE];
	struct fw_signing signing = {.purpose = sign->purpose,
	                             .shop = job->people.shop,
	                             .job = job->number,
	                             .count = fw_get_whole(value, "count", -1),
	                             .shop_count = fw_get_whole(shop, "count", -1),
	                             .step = sign->entry->step,
	                             .name = sign->name,
	                             .role = sign->role,
	                             .meaning = sign->meaning,
	                             .reason = sign->reason,
	                             .at = sign->entry->at};

	return fw_hex_read(signature, FW_SIGNATURE, fw_get_text(value, "signature")) &&
	       fw_hex_read(signing.head, FW_HASH, fw_get_text(value, "head")) &&
	       fw_hex_read(signing.shop_head, FW_HASH, fw_get_text(shop, "head")) &&
	       fw_signature_check(&signing, key, signature);
}

/* By the state of the shop's log that it names, or by the clock: who has a key that was stolen and
 * retired may name an older state. */
static bool is_retired(const struct fw_person *person, const struct fw_report_entry *entry)
{
	int64_t count = fw_get_whole(json_object_get(entry->value, "shop"), "count", -1);

	return person->until && (person->until <= count ||
	                         (person->ended && entry->at && strcmp(person->ended, entry->at) < 0));
}

static void read_hand(struct fw_report_signature *sign, const struct fw_report_job *job)
{
	const json_t *value = sign->entry->value;
	uint8_t key[FW_KEY];

	sign->hand = FW_HAND_NAME;
	if (!json_object_get(value, "key") && !json_object_get(value, "signature"))
		return;
	sign->hand = FW_HAND_BAD;
	if (!fw_hex_read(key, FW_KEY, fw_get_text(value, "key")))
		return;
	fw_key_fingerprint(sign->key, key);
	if (!fits(sign, job, key))
		return;
	const struct fw_person *person = fw_people_by_key(&job->people, key);
	bool own = person && person->proven && sign->name && fw_words_alike(person->name, sign->name);
	sign->hand = !own                              ? FW_HAND_STRANGER
	             : is_retired(person, sign->entry) ? FW_HAND_RETIRED
	                                               : FW_HAND_KEY;
}

void fw_report_signature(struct fw_report_signature *out, const struct fw_report_job *job,
                         const struct fw_report_entry *entry)
{
	const json_t *independent = json_object_get(entry->value, "independent");

	*out = (struct fw_report_signature){.entry = entry,
	                                    .name = fw_get_text(entry->value, "name"),
	                                    .role = fw_get_text(entry->value, "role"),
	                                    .meaning = fw_get_text(entry->value, "meaning"),
	                                    .reason = fw_get_text(entry->value, "reason"),
	                                    .purpose = purpose_of(entry),
	                                    .independent = json_is_true(independent),
	                                    .dependent = json_is_false(independent)};
	read_hand(out, job);
	if (!out->name)
		out->name = entry->typed;
	if (!out->reason && out->purpose == FW_FOR_CONCESSION)
		out->reason = fw_get_text(entry->ask, "reason");
}

const char *fw_report_purpose_text(enum fw_purpose purpose)
{
	switch (purpose) {
	case FW_FOR_HOLD:
		return "hold point";
	case FW_FOR_CONCESSION:
		return "concession";
	case FW_FOR_REOPEN:
		return "job reopened";
	default:
		return "signed";
	}
}

/* Enough of a key to tell the people of a shop apart by eye. */
#define SHORT 19

const char *fw_report_hand_text(char *buffer, size_t size, const struct fw_report_signature *sign)
{
	static const char *const tails[] = {
	    [FW_HAND_KEY] = "",
	    [FW_HAND_STRANGER] = ", which the shop does not know as this person's",
	    [FW_HAND_RETIRED] = ", which was retired or replaced by then",
	    [FW_HAND_BAD] = ", which this signature does not fit"};

	if (sign->hand == FW_HAND_NAME)
		fw_report_print(buffer, size, "by name alone");
	else if (!sign->key[0])
		fw_report_print(buffer, size, "by a key that can't be read");
	else
		fw_report_print(buffer, size, "by key %.*s%s", SHORT, sign->key, tails[sign->hand]);
	return buffer;
}

bool fw_report_hand_wrong(const struct fw_report_signature *sign)
{
	return sign->hand != FW_HAND_NAME && sign->hand != FW_HAND_KEY;
}

const char *fw_report_independence(const struct fw_report_signature *sign)
{
	if (sign->independent)
		return "independent of who did the work";
	return sign->dependent ? "not independent: also did the work" : NULL;
}
