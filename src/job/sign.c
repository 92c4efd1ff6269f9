/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A signature: who may give it, and what it holds. */
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "job_internal.h"

/* A name typed instead, as far as a message quotes it. */
#define QUOTED 60

void fw_job_set_unlock(struct fw_job *job, const struct fw_unlock *unlock)
{
	job->unlock = unlock ? *unlock : (struct fw_unlock){NULL, NULL};
}

/* What a signature is made of, and who it is about. */
struct signing {
	const struct fw_to_sign *what;
	const struct fw_people *people;
	const struct fw_person *person; /* NULL: by name alone */
	bool independent;
};

static bool in_use(const struct fw_person *person)
{
	return person->until == 0;
}

/* Names of those who have the role, "A. Sample, R. Example"; `out` is "" when nobody has. With
 * `records` who did the work is left out. */
static void list_with_role(const struct fw_people *people, const char *role,
                           struct fw_records *records, char *out, size_t size)
{
	size_t used = 0;

	out[0] = '\0';
	for (size_t i = 0; i < people->count && used + 1 < size; i++) {
		const struct fw_person *person = &people->list[i];
		if (!in_use(person) || !fw_person_has_role(person, role) ||
		    (records && fw_records_worker(records, records->count, person->name)))
			continue;
		snprintf(out + used, size - used, "%s%s", used ? ", " : "", person->name);
		used = strlen(out);
	}
	fw_utf8_drop_cut(out);
}

static int refuse_person(const struct signing *signing, const char *why, struct fw_error *err)
{
	const struct fw_to_sign *what = signing->what;
	char names[400];

	list_with_role(signing->people, what->role, NULL, names, sizeof names);
	if (names[0] == '\0')
		return fw_fail(
		    err, FW_ERR_INPUT,
		    "'%.*s' %s, and nobody has the role '%s' yet. Give it with 'fitwright person "
		    "add', or, to who has a key, with 'fitwright person replace' and all their "
		    "roles; then sign here",
		    fw_utf8_fit(what->name, QUOTED), what->name, why, what->role);
	return fw_fail(err, FW_ERR_INPUT, "'%.*s' %s; who may sign as %s: %s",
	               fw_utf8_fit(what->name, QUOTED), what->name, why, what->role, names);
}

static int find_person(struct signing *signing, struct fw_error *err)
{
	signing->person = fw_people_find(signing->people, signing->what->name);
	if (!signing->person)
		return refuse_person(signing, "is no person of this shop with a key in use", err);
	if (!fw_person_has_role(signing->person, signing->what->role))
		return refuse_person(signing, "doesn't have this role", err);
	return FW_OK;
}

/* Whether the signature is of a kind that wants another person. */
static bool wants_another(enum fw_purpose purpose)
{
	return purpose == FW_FOR_HOLD || purpose == FW_FOR_CONCESSION;
}

static int refuse_hold(const struct signing *signing, const char *worker, struct fw_error *err)
{
	size_t count = fw_people_in_use(signing->people);

	if (count == 1)
		return fw_fail(
		    err, FW_ERR_INPUT,
		    "a hold is signed by another person than the one who did the work, and this "
		    "shop has one: give a second person a key (fitwright person add), or say that "
		    "the shop is one person (fitwright shop --alone yes)");
	return fw_fail(
	    err, FW_ERR_INPUT,
	    "a hold is signed by another person than those who did the work, and %.*s did; if "
	    "the shop is one person, say so: fitwright shop --alone yes",
	    fw_utf8_fit(worker, QUOTED), worker);
}

/* Whether the signer is another person than those who did the work since the last hold. */
static int look_at_independence(struct fw_job *job, struct signing *signing, struct fw_error *err)
{
	struct fw_records records;

	signing->independent = true;
	if (!wants_another(signing->what->purpose))
		return FW_OK;
	int code = fw_records_read(&records, job->trail, job->number, err);
	if (code != FW_OK)
		return code;
	const char *worker = fw_records_worker(&records, records.count, signing->what->name);
	signing->independent = worker == NULL;
	if (worker && signing->what->purpose == FW_FOR_HOLD && !signing->people->alone)
		code = refuse_hold(signing, worker, err);
	fw_records_free(&records);
	return code;
}

/* What every signature holds, with a key or without. */
static json_t *plain_value(const struct fw_job *job, const struct signing *signing)
{
	const struct fw_to_sign *what = signing->what;
	char hex[FW_HASH_TEXT];
	json_t *value =
	    json_pack("{s:s, s:s, s:s, s:I, s:s, s:s*}", "name",
	              signing->person ? signing->person->name : what->name, "role", what->role,
	              "meaning", what->meaning, "count", (json_int_t)job->last_seq, "head",
	              fw_hash_text(hex, job->head), "reason", what->reason);

	if (value && wants_another(what->purpose) &&
	    json_object_set_new(value, "independent", json_boolean(signing->independent)) != 0) {
		json_decref(value);
		return NULL;
	}
	return value;
}

static int make_signature(const struct fw_job *job, const struct signing *signing,
                          const struct fw_secret *secret, const char *at, json_t *value,
                          struct fw_error *err)
{
	const struct fw_to_sign *what = signing->what;
	const struct fw_people *people = signing->people;
	struct fw_signing whole = {.purpose = what->purpose,
	                           .shop = people->shop,
	                           .job = job->number,
	                           .count = job->last_seq,
	                           .shop_count = people->entries,
	                           .step = what->step,
	                           .name = signing->person->name,
	                           .role = what->role,
	                           .meaning = what->meaning,
	                           .reason = what->reason,
	                           .at = at};
	uint8_t signature[FW_SIGNATURE];
	char head[FW_HASH_TEXT], key[FW_KEY_TEXT], text[FW_SIGNATURE_TEXT];

	memcpy(whole.head, job->head, FW_HASH);
	memcpy(whole.shop_head, people->head, FW_HASH);
	int code = fw_signature_make(signature, &whole, secret, err);
	if (code != FW_OK)
		return code;
	json_t *more = json_pack("{s:{s:I, s:s}, s:s, s:s}", "shop", "count",
	                         (json_int_t)people->entries, "head", fw_hash_text(head, people->head),
	                         "key", fw_hex_text(key, signing->person->key, FW_KEY), "signature",
	                         fw_hex_text(text, signature, FW_SIGNATURE));
	code = more && json_object_update(value, more) == 0 ? FW_OK : fw_no_memory(err);
	json_decref(more);
	return code;
}

/* Whether they may sign this. */
static int look_at_signer(struct fw_job *job, struct signing *signing, struct fw_error *err)
{
	int code = find_person(signing, err);

	return code == FW_OK ? look_at_independence(job, signing, err) : code;
}

/* The key must be the one by which the shop knows the person. */
static int check_key(const struct signing *signing, const struct fw_secret *secret,
                     struct fw_error *err)
{
	const struct fw_person *person = signing->person;
	const char *name = person ? person->name : signing->what->name;

	if (secret && person && memcmp(fw_secret_public(secret), person->key, FW_KEY) == 0)
		return FW_OK;
	return fw_fail(
	    err, FW_ERR_INPUT,
	    "the key that was unlocked isn't the one by which this shop knows %s: use that key, or "
	    "give %s a new one (fitwright person --help)",
	    name, name);
}

/* Signs as the shop is now: while a passphrase is typed, a key may be retired. */
static int sign_now(struct fw_job *job, const struct fw_to_sign *what,
                    const struct fw_secret *secret, json_t **value, char at[32],
                    struct fw_error *err)
{
	struct fw_people people;
	struct signing signing = {what, &people, NULL, false};
	int code = fw_people_read(&people, job->trail, 0, err);

	if (code != FW_OK)
		return code;
	code = look_at_signer(job, &signing, err);
	if (code == FW_OK)
		code = check_key(&signing, secret, err);
	if (code == FW_OK)
		code = fw_job_now(job, at, err);
	if (code == FW_OK) {
		*value = plain_value(job, &signing);
		code = *value ? make_signature(job, &signing, secret, at, *value, err) : fw_no_memory(err);
	}
	fw_people_free(&people);
	return code;
}

static int sign_with_key(struct fw_job *job, struct signing *signing, json_t **value, char at[32],
                         struct fw_error *err)
{
	const struct fw_to_sign *what = signing->what;
	/* All that the signer is to be shown; a reopening is asked by nobody's procedure. */
	const struct fw_question reopening = {.ask = FW_ASK_SIGN,
	                                      .role = what->role,
	                                      .meaning = what->meaning,
	                                      .purpose = fw_purpose_name(what->purpose),
	                                      .reason = what->reason};
	struct fw_secret *secret = NULL;
	int code = look_at_signer(job, signing, err);

	if (code == FW_OK)
		code = job->unlock.unlock(job->unlock.context, signing->person,
		                          what->question ? what->question : &reopening, &secret, err);
	if (code == FW_OK)
		code = sign_now(job, signing->what, secret, value, at, err);
	fw_secret_free(secret);
	return code;
}

static int sign_by_name(struct fw_job *job, struct signing *signing, json_t **value, char at[32],
                        struct fw_error *err)
{
	int code = look_at_independence(job, signing, err);

	if (code == FW_OK)
		code = fw_job_now(job, at, err);
	if (code == FW_OK) {
		*value = plain_value(job, signing);
		code = *value ? FW_OK : fw_no_memory(err);
	}
	return code;
}

int fw_job_signature_value(struct fw_job *job, const struct fw_to_sign *what, json_t **value,
                           char at[32], struct fw_error *err)
{
	struct fw_people people;
	struct signing signing = {what, &people, NULL, false};
	int code = fw_people_read(&people, job->trail, 0, err);

	*value = NULL;
	if (code != FW_OK)
		return code;
	if (people.count == 0)
		code = sign_by_name(job, &signing, value, at, err);
	else if (fw_people_in_use(&people) == 0)
		code =
		    fw_fail(err, FW_ERR_INPUT,
		            "nobody of this shop has a key in use any more: see fitwright person --help");
	else if (!job->unlock.unlock)
		code = fw_fail(
		    err, FW_ERR_STATE,
		    "the people of this shop sign with keys, and nothing here can unlock one: go on "
		    "with fitwright resume %lld where the key and its passphrase are",
		    (long long)job->number);
	else
		code = sign_with_key(job, &signing, value, at, err);
	fw_people_free(&people);
	if (code != FW_OK) {
		json_decref(*value);
		*value = NULL;
	}
	return code;
}

/* What is to be said beside a signature that wants another person. */
static const char *independence_note(enum fw_purpose purpose, const struct fw_people *people)
{
	if (purpose == FW_FOR_HOLD && people->alone)
		return "This shop is one person: a signature by who did the work is not independent, and "
		       "is "
		       "recorded so.";
	if (purpose == FW_FOR_CONCESSION)
		return "Given by somebody who did the work, it is not independent, and is recorded so.";
	return "";
}

/* At a hold those who did the work can't sign, unless the shop is one person. */
static int list_signers(const struct fw_job *job, const struct fw_people *people,
                        enum fw_purpose purpose, const char *role, char *out, size_t size,
                        struct fw_error *err)
{
	struct fw_records records;

	if (purpose != FW_FOR_HOLD || people->alone) {
		list_with_role(people, role, NULL, out, size);
		return FW_OK;
	}
	int code = fw_records_read(&records, job->trail, job->number, err);
	if (code == FW_OK) {
		list_with_role(people, role, &records, out, size);
		fw_records_free(&records);
	}
	return code;
}

int fw_job_signers(const struct fw_job *job, char *out, size_t size, struct fw_error *err)
{
	const struct fw_question *q = fw_job_pending(job);
	struct fw_people people;
	enum fw_purpose purpose;
	char names[400];

	out[0] = '\0';
	if (!q || q->ask != FW_ASK_SIGN || !q->role || !fw_purpose_find(&purpose, q->purpose))
		return FW_OK;
	int code = fw_people_read(&people, job->trail, 0, err);
	if (code != FW_OK)
		return code;
	code = list_signers(job, &people, purpose, q->role, names, sizeof names, err);
	if (code != FW_OK) {
		fw_people_free(&people);
		return code;
	}
	const char *note = independence_note(purpose, &people);
	if (people.count == 0)
		snprintf(out, size, "Nobody in this shop has a key: signed by name alone. %s", note);
	else
		snprintf(out, size, "Who may sign as %s: %s. %s", q->role, names[0] ? names : "nobody yet",
		         note);
	fw_utf8_drop_cut(out);
	fw_people_free(&people);
	return FW_OK;
}
