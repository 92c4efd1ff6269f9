/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit says about signatures: over which entries they were made, by whom, and whether by
 * another person where one was asked for. */
#include <stdio.h>
#include <string.h>

#include "audit_sign.h"
#include "base/text.h"
#include "shop/words.h"

static const char *text_of(const json_t *value, const char *key)
{
	return json_string_value(json_object_get(value, key));
}

/* Whether `value` names the count and head of the records before `at`. */
static bool seals(const struct fw_records *records, size_t at)
{
	const json_t *value = records->list[at].value;
	const char *head = text_of(value, "head");
	char hex[FW_HASH_TEXT];

	return at > 0 && head &&
	       (!fw_record_is(&records->list[at], "release") || json_object_size(value) == 2) &&
	       json_integer_value(json_object_get(value, "count")) == records->list[at].seq - 1 &&
	       strcmp(head, fw_hash_text(hex, records->list[at - 1].hash)) == 0;
}

static bool read_signed(struct fw_signed *out, struct fw_record *record)
{
	const char *purpose =
	    fw_record_is(record, "reopen") ? "reopen" : text_of(record->ask, "purpose");

	memset(out, 0, sizeof *out);
	out->record = record;
	out->name = text_of(record->value, "name");
	out->role = text_of(record->value, "role");
	out->meaning = text_of(record->value, "meaning");
	out->keyed =
	    json_object_get(record->value, "key") || json_object_get(record->value, "signature");
	return out->name && out->role && out->meaning &&
	       fw_purpose_find(&out->purpose, purpose ? purpose : "sign");
}

void fw_audit_say_signed(struct fw_audit *audit, enum fw_audit_weight weight,
                         const struct fw_signed *it, const char *problem, const char *means)
{
	const char *step = it->record->step;
	char what[512];

	if (weight != FW_AUDIT_BROKEN && it->record->struck)
		return; /* it counts no more */
	snprintf(what, sizeof what, "signed \"%.*s\" as %.*s%s%.60s%s: %s", fw_utf8_fit(it->name, 100),
	         it->name, fw_utf8_fit(it->role, 60), it->role, step ? " at '" : "", step ? step : "",
	         step ? "'" : "", problem);
	fw_audit_say(audit, weight, it->record->seq, what, means);
}

/* Without a key: was there one to sign with? */
static void by_name_alone(struct fw_audit_signer *signer, const struct fw_signed *it)
{
	const struct fw_people *people = fw_audit_people(signer, 0);
	bool had_keys = false;

	for (size_t i = 0; people && i < people->count; i++)
		had_keys = had_keys || (people->list[i].since && it->record->at &&
		                        strcmp(people->list[i].since, it->record->at) < 0);
	if (signer->keys_at_begin)
		fw_audit_say_signed(signer->audit, FW_AUDIT_BROKEN, it,
		                    "by name alone, though the shop's people had keys when the job began",
		                    "no release of this program lets it be signed so");
	else
		fw_audit_say_signed(signer->audit, FW_AUDIT_OPEN, it,
		                    had_keys ? "by name alone, though the shop's people had keys by then"
		                             : "by name alone",
		                    "no key answers for it: anybody at the bench can have typed the name");
}

/* Whether a name is, or was, that of a person with a key. */
static bool is_known(const struct fw_people *people, const char *name)
{
	for (size_t i = 0; i < people->count; i++)
		if (fw_words_alike(people->list[i].name, name))
			return true;
	return false;
}

/* Who worked under a name that is nobody's may be the signer as well. */
static void look_at_workers(struct fw_audit_signer *signer, const struct fw_signed *it, size_t at)
{
	const struct fw_people *people = it->keyed ? fw_audit_people(signer, 0) : NULL;
	char problem[256];

	for (size_t i = fw_records_stretch(signer->records, at); people && i < at; i++) {
		const struct fw_record *record = &signer->records->list[i];
		if (!fw_record_answers(record) || !record->who || is_known(people, record->who))
			continue;
		snprintf(problem, sizeof problem,
		         "'%.*s', who did the work, is nobody that this shop knows",
		         fw_utf8_fit(record->who, 100), record->who);
		fw_audit_say_signed(signer->audit, FW_AUDIT_OPEN, it, problem,
		                    "that they are two persons is what was typed, and no key shows it");
		return;
	}
}

/* A hold, or a concession: by another person than those who did the work? */
static void look_at_independence(struct fw_audit_signer *signer, const struct fw_signed *it,
                                 size_t at)
{
	const json_t *said = json_object_get(it->record->value, "independent");

	if (it->purpose != FW_FOR_HOLD && it->purpose != FW_FOR_CONCESSION)
		return;
	if (!fw_audit_may_look(signer->audit, 4 * signer->records->count))
		return;
	bool independent = !fw_records_worker(signer->records, at, it->name);
	if (!json_is_boolean(said) || json_is_true(said) != independent)
		fw_audit_say_signed(
		    signer->audit, FW_AUDIT_BROKEN, it,
		    "whether this is another person than those who did the work is recorded "
		    "otherwise than the entries show",
		    "no release of this program wrote it so");
	else if (!independent && it->purpose == FW_FOR_HOLD)
		fw_audit_say_signed(signer->audit, FW_AUDIT_OPEN, it, "not by another person",
		                    "who did the work also said that it may go on");
	else if (independent && it->purpose == FW_FOR_HOLD)
		look_at_workers(signer, it, at);
}

static void look_at_one(struct fw_audit_signer *signer, size_t at)
{
	struct fw_record *record = &signer->records->list[at];
	struct fw_audit_sum *sum = signer->audit->sum;
	struct fw_signed it;

	if (!read_signed(&it, record)) {
		fw_audit_say(signer->audit, FW_AUDIT_BROKEN, record->seq,
		             "it lacks a name, a role, a meaning, or a purpose that is known",
		             "no release of this program wrote it so");
		return;
	}
	sum->signatures += !record->struck;
	sum->holds += it.purpose == FW_FOR_HOLD && !record->struck;
	if (!it.keyed)
		by_name_alone(signer, &it);
	else if (fw_audit_key(signer, &it))
		sum->keyed += !record->struck;
	look_at_independence(signer, &it, at);
	signer->signed_off = signer->signed_off || (it.purpose == FW_FOR_SIGN && !record->struck);
}

/* The first entry of the log says how many jobs are from before there was one. */
static int note_older(void *context, const struct fw_entry *entry)
{
	json_t *value = entry->value ? json_loads(entry->value, 0, NULL) : NULL;

	*(int64_t *)context = json_integer_value(json_object_get(value, "jobs"));
	json_decref(value);
	return 1;
}

/* A job of the time before shops had a log: of a trail that began so. */
static void look_at_age(struct fw_audit_signer *signer)
{
	struct fw_trail *trail = signer->audit->trail;
	int64_t older = 0;

	if (fw_trail_format(trail) < 2)
		return;
	(void)fw_trail_walk(trail, FW_SHOP, note_older, &older, NULL); /* unreadable, it has none */
	if (signer->audit->number > older)
		fw_audit_say(signer->audit, FW_AUDIT_BROKEN, 1,
		             "it says that it began before the shop had a log, and the log was there",
		             "no release of this program wrote it so: by those rules no check stops the "
		             "work");
}

/* Whose job it is, and how far the shop's log had come when it began. */
static void look_at_beginning(struct fw_audit_signer *signer)
{
	const json_t *begin = signer->records->list[0].value;
	const json_t *shop = json_object_get(begin, "shop");
	const char *id = text_of(shop, "id"), *head = text_of(shop, "head");
	int64_t count = json_integer_value(json_object_get(shop, "count"));
	char hex[FW_HASH_TEXT];

	if (!shop && json_integer_value(json_object_get(begin, "rules")) < 2) {
		look_at_age(signer);
		return;
	}
	const struct fw_people *people = count > 0 ? fw_audit_people(signer, count) : NULL;
	if (count > 0 && !people)
		return;
	if (!people || json_object_size(shop) != 3 || !id || !head || strcmp(id, people->shop) != 0 ||
	    people->entries != count || strcmp(head, fw_hash_text(hex, people->head)) != 0) {
		fw_audit_say(
		    signer->audit, FW_AUDIT_BROKEN, 1,
		    "the beginning names another shop, or another state of the shop's log, than "
		    "this file has",
		    "the log of people and gauges was changed or cut since, or the job is of another "
		    "file");
		return;
	}
	signer->keys_at_begin = people->count > 0;
	signer->least = count;
}

void fw_audit_signatures(struct fw_audit *audit, struct fw_records *records)
{
	struct fw_audit_signer signer = {.audit = audit, .records = records};

	look_at_beginning(&signer);
	for (size_t i = 0; i < records->count; i++) {
		const struct fw_record *record = &records->list[i];
		bool sign = fw_record_is(record, "sign") || fw_record_is(record, "reopen");
		if (!sign && !fw_record_is(record, "release"))
			continue;
		if (!seals(records, i))
			fw_audit_say(audit, FW_AUDIT_BROKEN, record->seq,
			             "it names another count or head than the entries before it have",
			             "it was made over other entries than these");
		if (sign)
			look_at_one(&signer, i);
	}
	if (fw_records_released(records) && !signer.signed_off)
		fw_audit_say(audit, FW_AUDIT_OPEN, 0, "the job is released and nobody signed for it",
		             "nobody answers for the work; the procedure should end with sign { … }");
	fw_audit_people_free(&signer);
}
