/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Signatures of a job by the people's keys: who may give them, what they cover, and what an audit
 * makes of them. A signature is held against libsodium's Ed25519 (RFC 8032) over bytes put together
 * here after docs/trail.md, "Signatures". */
#include <jansson.h>
#include <sodium.h>

#include "bench.h"
#include "shop/secret.h"
#include "trail_make.h"

static const char procedure[] =
    "return procedure { title = 'Held', phases = { 'Work' }, run = function()\n"
    "  local float = limits { min = mm(0.1), max = mm(0.3), source = practice 'invented' }\n"
    "  note { id = 'first', say = 'Anything?' }\n"
    "  assert(hold { id = 'hold-1', role = 'inspector' } ~= 'a. sample')\n"
    "  note { id = 'second', say = 'Anything?' }\n"
    "  hold { id = 'hold-2', role = 'inspector' }\n"
    "  check { id = 'float', name = 'end float', value = mm(0.5), limits = float }\n"
    "  sign { id = 'release', role = 'technician' }\n"
    "end }\n";

#define WORKER  "R. Example"
#define OTHER   "A. Sample"
#define SEED_OF "invented seed of a test, person "

/* A bench with people, and what their keys do when they are asked for. */
struct shop {
	struct bench bench;
	char procedure[PATH_MAX];
	struct fw_job *job;
	unsigned asked;      /* times a key was unlocked */
	int refuse;          /* not 0: what unlocking fails with */
	const char *instead; /* whose key is given instead; NULL: the person's own */
	char purpose[16];    /* of the last question that came with it */
	struct fw_audit_given given;
	struct bench_audit audit;
};

/* The key of a name: the same at each call. No passphrase, so no time spent on one. */
static struct fw_secret *secret_of(const char *name)
{
	assert_int_equal(fw_secret_ready(NULL), FW_OK);
	struct fw_secret *secret = fw_secret_new();
	char text[256];

	assert_non_null(secret);
	snprintf(text, sizeof text, SEED_OF "%s", name);
	fw_trail_hash(secret->seed, text, strlen(text));
	fw_secret_derive(secret);
	return secret;
}

static int unlock(void *context, const struct fw_person *person, const struct fw_question *question,
                  struct fw_secret **out, struct fw_error *err)
{
	struct shop *shop = context;

	shop->asked++;
	snprintf(shop->purpose, sizeof shop->purpose, "%s", question ? question->purpose : "reopen");
	if (shop->refuse)
		return fw_fail(err, shop->refuse, "the passphrase doesn't fit");
	*out = secret_of(shop->instead ? shop->instead : person->name);
	return FW_OK;
}

static void add_person(struct shop *shop, const char *name, const char *role, const char *more)
{
	const char *const roles[] = {role, more};
	const struct fw_person_new person = {
	    .name = name, .role = roles, .roles = more ? 2 : 1, .by = "B. Hand"};
	struct fw_secret *secret = secret_of(name);
	struct fw_error error = {0};

	assert_ok(fw_people_add(shop->bench.trail, &person, secret, &error));
	fw_secret_free(secret);
}

static void let_unlock(struct shop *shop)
{
	const struct fw_unlock way = {shop, unlock};
	fw_job_set_unlock(shop->job, &way);
}

static void begin(struct shop *shop, const char *who)
{
	struct fw_error error = {0};

	bench_write(&shop->bench, "held.lua", procedure, shop->procedure);
	const struct fw_job_begin what = {shop->procedure, NULL, "gearbox", who};
	assert_ok(fw_job_begin(&shop->job, shop->bench.trail, &what, bench_clock, &shop->bench.clock,
	                       &error));
	let_unlock(shop);
}

static void resume(struct shop *shop, const char *who)
{
	struct fw_error error = {0};

	fw_job_close(shop->job);
	assert_ok(fw_job_resume(&shop->job, shop->bench.trail, 1, who, bench_clock, &shop->bench.clock,
	                        &error));
	let_unlock(shop);
}

static void give(struct shop *shop, const char *typed)
{
	struct fw_error error = {0};
	assert_ok(fw_job_answer(shop->job, typed, false, &error));
}

/* Refused with that code and those words; nothing is recorded, and the same is asked. */
static void refused(struct shop *shop, const char *typed, int wanted, const char *words)
{
	struct fw_error error = {0};
	int64_t before = bench_entries(shop->bench.trail, 1);

	assert_code(fw_job_answer(shop->job, typed, false, &error), wanted);
	assert_contains(error.text, words);
	assert_int_equal(bench_entries(shop->bench.trail, 1), before);
	assert_non_null(fw_job_pending(shop->job));
}

static const char *signers(const struct shop *shop)
{
	static char text[800];
	struct fw_error error = {0};

	assert_ok(fw_job_signers(shop->job, text, sizeof text, &error));
	return text;
}

static void keep_line(void *context, const struct fw_audit_line *line)
{
	struct bench_audit *audit = context;
	size_t used = strlen(audit->text);

	snprintf(audit->text + used, sizeof audit->text - used, "%c %lld %s: %s\n", "BON"[line->weight],
	         (long long)line -> seq, line -> what, line -> means);
}

static void audit_file(struct shop *shop, const char *file)
{
	struct fw_error error = {0};
	struct fw_trail *trail;

	memset(&shop->audit, 0, sizeof shop->audit);
	assert_ok(fw_trail_open(&trail, file, FW_TRAIL_READ, &error));
	assert_ok(
	    fw_job_audit(trail, 1, &shop->given, keep_line, &shop->audit, &shop->audit.sum, &error));
	fw_trail_close(trail);
}

static const char *audit(struct shop *shop)
{
	audit_file(shop, shop->bench.file);
	if (shop->audit.sum.broken > 0)
		fail_msg("the audit of a sound job found:\n%s", shop->audit.text);
	return shop->audit.text;
}

static void assert_lacks(const char *text, const char *part)
{
	if (strstr(text, part))
		fail_msg("\"%s\" contains \"%s\"", text, part);
}

static int open_shop(void **state)
{
	struct shop *shop = calloc(1, sizeof *shop);

	assert_non_null(shop);
	bench_open(&shop->bench);
	*state = shop;
	return 0;
}

static int close_shop(void **state)
{
	struct shop *shop = *state;

	fw_job_close(shop->job);
	bench_close(&shop->bench);
	free(shop);
	return 0;
}

static void two_people(struct shop *shop)
{
	add_person(shop, WORKER, "technician", NULL);
	add_person(shop, OTHER, "inspector", "concession");
}

/* The whole of it, well done: R. Example works, A. Sample holds and concedes. */
static void play_well(struct shop *shop)
{
	begin(shop, WORKER);
	give(shop, "nothing");
	give(shop, "a. sample");
	give(shop, "nothing");
	give(shop, OTHER);
	give(shop, "concession");
	give(shop, "until the new pair comes");
	give(shop, OTHER);
	give(shop, WORKER);
	assert_null(fw_job_pending(shop->job));
}

/* ---- what a signature covers ---- */

struct bytes {
	unsigned char at[4096];
	size_t size;
};

static void put_number(struct bytes *out, int64_t number)
{
	out->at[out->size++] = 'i';
	for (int shift = 56; shift >= 0; shift -= 8)
		out->at[out->size++] = (unsigned char)((uint64_t)number >> shift);
}

static void put_text(struct bytes *out, const char *text)
{
	size_t length = text ? strlen(text) : 0;

	if (!text) {
		out->at[out->size++] = 'n';
		return;
	}
	put_number(out, (int64_t)length);
	out->at[out->size - 9] = 't';
	memcpy(out->at + out->size, text, length);
	out->size += length;
}

static const char *in(const json_t *value, const char *key)
{
	return json_string_value(json_object_get(value, key));
}

struct checked {
	const char *shop;
	size_t good;
	char key[FW_KEY_TEXT]; /* of A. Sample */
};

/* Ed25519 over the bytes of the format's description, by libsodium alone. */
static int check_entry(void *context, const struct fw_entry *e)
{
	struct checked *checked = context;
	struct bytes m = {.size = sizeof "fitwright-signature-1"};
	unsigned char key[32], signature[64];

	if (strcmp(e->kind, "sign") != 0)
		return 0;
	json_t *value = json_loads(e->value, 0, NULL), *ask = json_loads(e->ask, 0, NULL);
	json_t *log = json_object_get(value, "shop");
	memcpy(m.at, "fitwright-signature-1", m.size); /* with its zero */
	put_text(&m, in(ask, "purpose"));
	put_text(&m, checked->shop);
	put_number(&m, e->job);
	put_number(&m, e->seq - 1);
	put_text(&m, in(value, "head"));
	put_number(&m, json_integer_value(json_object_get(log, "count")));
	put_text(&m, in(log, "head"));
	put_text(&m, e->step);
	put_text(&m, in(value, "name"));
	put_text(&m, in(ask, "role"));
	put_text(&m, in(ask, "meaning"));
	put_text(&m, in(value, "reason"));
	put_text(&m, e->at);
	assert_int_equal(sodium_hex2bin(key, sizeof key, in(value, "key"), 64, NULL, NULL, NULL), 0);
	assert_int_equal(
	    sodium_hex2bin(signature, sizeof signature, in(value, "signature"), 128, NULL, NULL, NULL),
	    0);
	assert_int_equal(crypto_sign_verify_detached(signature, m.at, m.size, key), 0);
	m.at[m.size - 2] ^= 1; /* of the time */
	assert_int_not_equal(crypto_sign_verify_detached(signature, m.at, m.size, key), 0);
	if (strcmp(in(value, "name"), OTHER) == 0)
		assert_string_equal(in(value, "key"), checked->key);
	checked->good++;
	json_decref(value);
	json_decref(ask);
	return 0;
}

static void good_signatures(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};
	struct fw_secret *secret = secret_of(OTHER);
	char text[400];

	two_people(shop);
	play_well(shop);
	struct checked checked = {.shop = fw_trail_shop(shop->bench.trail)};
	sodium_bin2hex(checked.key, sizeof checked.key, fw_secret_public(secret), FW_KEY);
	fw_secret_free(secret);
	assert_ok(fw_trail_walk(shop->bench.trail, 1, check_entry, &checked, &error));
	assert_int_equal(checked.good, 4);
	/* The name is the shop's, whatever letters were typed; replay hands the procedure the same. */
	make_ask(shop->bench.file,
	         "SELECT typed || ' ' || json_extract(value, '$.name') || ' ' || json_extract(value, "
	         "'$.independent') FROM entry WHERE step = 'hold-1'",
	         text, sizeof text);
	assert_string_equal(text, "a. sample A. Sample 1");
	make_ask(
	    shop->bench.file,
	    "SELECT json_extract(value, '$.reason') FROM entry WHERE kind = 'sign' AND step = 'float'",
	    text, sizeof text);
	assert_string_equal(text, "until the new pair comes");
	resume(shop, NULL);
	assert_contains(audit(shop), "N ");
	assert_int_equal(shop->audit.sum.open, 0);
	assert_int_equal(shop->audit.sum.signatures, 4);
	assert_int_equal(shop->audit.sum.keyed, 4);
	assert_int_equal(shop->audit.sum.concessions, 1);
	assert_contains(shop->audit.text,
	                "conceded at 'float': end float: 0.500 mm, outside its limits");
	assert_contains(shop->audit.text,
	                "until the new pair comes: leave was given with a key, by another");
}

/* ---- who may sign ---- */

static void wrong_people(void **state)
{
	struct shop *shop = *state;

	two_people(shop);
	begin(shop, WORKER);
	give(shop, "nothing");
	assert_contains(signers(shop), "Who may sign as inspector: A. Sample.");
	refused(shop, "Nobody", FW_ERR_INPUT, "'Nobody' is no person of this shop");
	refused(shop, "Nobody", FW_ERR_INPUT, "who may sign as inspector: A. Sample");
	refused(shop, WORKER, FW_ERR_INPUT,
	        "doesn't have this role; who may sign as inspector: A. Sample");
	assert_int_equal(shop->asked, 0); /* no passphrase for who may not */
	shop->refuse = FW_ERR_INPUT;
	refused(shop, OTHER, FW_ERR_INPUT, "the passphrase doesn't fit");
	assert_string_equal(shop->purpose, "hold");
	shop->refuse = FW_ERR_NOT_FOUND;
	refused(shop, OTHER, FW_ERR_NOT_FOUND, "doesn't fit");
	shop->refuse = 0;
	shop->instead = WORKER;
	refused(shop, OTHER, FW_ERR_INPUT, "isn't the one by which this shop knows A. Sample");
	shop->instead = NULL;
	fw_job_set_unlock(shop->job, NULL);
	refused(shop, OTHER, FW_ERR_STATE, "fitwright resume 1");
	let_unlock(shop);
	give(shop, OTHER);
}

static void retired_and_replaced(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};

	two_people(shop);
	begin(shop, WORKER);
	give(shop, "nothing");
	give(shop, OTHER);
	assert_ok(fw_people_retire(shop->bench.trail, OTHER, "left", "B. Hand", NULL, &error));
	give(shop, "nothing");
	refused(shop, OTHER, FW_ERR_INPUT, "nobody has the role 'inspector' yet");
	add_person(shop, "C. Third", "inspector", "concession");
	give(shop, "C. Third");
	/* What was signed before stays good. */
	assert_contains(audit(shop), "isn't finished");
	assert_contains(shop->audit.text, "the check is open: nothing is signed before it is within");
	assert_int_equal(shop->audit.sum.keyed, 2);
	assert_int_equal(shop->audit.sum.open, 2);
	assert_ok(fw_people_retire(shop->bench.trail, "C. Third", "left", "B. Hand", NULL, &error));
	assert_ok(fw_people_retire(shop->bench.trail, WORKER, "left", "B. Hand", NULL, &error));
	give(shop, "concession");
	give(shop, "because");
	/* Without keys in use nothing is signed by name, once there were some. */
	refused(shop, OTHER, FW_ERR_INPUT, "nobody of this shop has a key in use any more");
}

static void another_person_at_a_hold(void **state)
{
	struct shop *shop = *state;

	add_person(shop, WORKER, "technician", "inspector");
	add_person(shop, OTHER, "inspector", "technician");
	begin(shop, "r. example"); /* as typed at the bench */
	give(shop, "nothing");
	refused(shop, WORKER, FW_ERR_INPUT,
	        "another person than those who did the work, and r. example did");
	give(shop, OTHER);
	/* From one hold to the next: A. Sample goes on with it, and R. Example may look. */
	resume(shop, OTHER);
	give(shop, "nothing");
	refused(shop, OTHER, FW_ERR_INPUT, "and A. Sample did");
	give(shop, WORKER);
	assert_lacks(audit(shop), "not by another person");
}

/* Work that was taken back was done, and a hold that was taken back divides nothing. */
static void holds_taken_back(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};

	add_person(shop, WORKER, "technician", "inspector");
	add_person(shop, OTHER, "inspector", "technician");
	begin(shop, WORKER);
	give(shop, "nothing");
	give(shop, OTHER);
	resume(shop, OTHER);
	assert_ok(fw_job_withdraw(shop->job, "too early", &error)); /* the hold */
	refused(shop, WORKER, FW_ERR_INPUT, "and R. Example did");
	assert_ok(fw_job_withdraw(shop->job, "again", &error)); /* the work */
	give(shop, "my own words");                             /* A. Sample does it */
	refused(shop, OTHER, FW_ERR_INPUT, "and A. Sample did");
	refused(shop, WORKER, FW_ERR_INPUT, "and R. Example did");
	add_person(shop, "C. Third", "inspector", NULL);
	give(shop, "C. Third");
	assert_lacks(audit(shop), "not by another person");
}

/* Who signs for work under a key did it, whatever name the bench was led under. */
static void nicknames(void **state)
{
	struct shop *shop = *state;
	static const char twice[] =
	    "return procedure { title = 'Twice', phases = { 'Work' }, run = function()\n"
	    "  sign { id = 'work', role = 'technician' }\n"
	    "  hold { id = 'look', role = 'inspector' }\n"
	    "end }\n";
	struct fw_error error = {0};

	add_person(shop, WORKER, "technician", "inspector");
	add_person(shop, OTHER, "inspector", NULL);
	bench_write(&shop->bench, "twice.lua", twice, shop->procedure);
	const struct fw_job_begin what = {shop->procedure, NULL, "gearbox", "Ronny"};
	assert_ok(fw_job_begin(&shop->job, shop->bench.trail, &what, bench_clock, &shop->bench.clock,
	                       &error));
	let_unlock(shop);
	give(shop, WORKER);
	refused(shop, WORKER, FW_ERR_INPUT, "and R. Example did");
	give(shop, OTHER);
	/* Who Ronny is, no key shows. */
	assert_contains(audit(shop),
	                "signed \"A. Sample\" as inspector at 'look': 'Ronny', who did the work, "
	                "is nobody that this shop knows");
	assert_int_equal(shop->audit.sum.open, 1);
}

static void one_person(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};

	add_person(shop, WORKER, "technician", "inspector");
	begin(shop, WORKER);
	give(shop, "nothing");
	refused(shop, WORKER, FW_ERR_INPUT, "fitwright person add");
	refused(shop, WORKER, FW_ERR_INPUT, "fitwright shop --alone yes");
	assert_lacks(signers(shop), "not independent");
	assert_ok(fw_people_alone(shop->bench.trail, true, WORKER, NULL, &error));
	assert_contains(signers(shop), "is not independent, and is recorded so");
	give(shop, WORKER);
	assert_contains(audit(shop),
	                "signed \"R. Example\" as inspector at 'hold-1': not by another person");
	/* A second person may still come to look. */
	give(shop, "nothing");
	add_person(shop, OTHER, "inspector", NULL);
	give(shop, OTHER);
	audit(shop);
	assert_lacks(shop->audit.text, "hold-2");
	assert_int_equal(shop->audit.sum.keyed, 2);
}

static void conceded_by_who_did_it(void **state)
{
	struct shop *shop = *state;

	add_person(shop, WORKER, "technician", "concession");
	add_person(shop, OTHER, "inspector", NULL);
	begin(shop, WORKER);
	give(shop, "nothing");
	give(shop, OTHER);
	give(shop, "nothing");
	give(shop, OTHER);
	give(shop, "concession"); /* after the hold it is R. Example's work */
	give(shop, "because");
	assert_contains(signers(shop), "Given by somebody who did the work, it is not independent");
	give(shop, WORKER);
	give(shop, WORKER);
	assert_contains(audit(shop), "O ");
	assert_contains(shop->audit.text, "who did the work gave leave for it too");
	assert_int_equal(shop->audit.sum.open, 1);
}

static void by_name_alone(void **state)
{
	struct shop *shop = *state;

	begin(shop, WORKER);
	give(shop, "nothing");
	assert_contains(signers(shop), "Nobody in this shop has a key: signed by name alone.");
	refused(shop, "R. EXAMPLE", FW_ERR_INPUT, "another person than those who did the work");
	give(shop, OTHER);
	give(shop, "nothing");
	give(shop, OTHER);
	give(shop, "concession");
	give(shop, "because");
	give(shop, OTHER);
	give(shop, WORKER);
	assert_int_equal(shop->asked, 0);
	assert_contains(audit(shop), "O ");
	assert_int_equal(shop->audit.sum.signatures, 4);
	assert_int_equal(shop->audit.sum.keyed, 0);
	assert_contains(shop->audit.text,
	                "signed \"R. Example\" as technician at 'release': by name alone: no "
	                "key answers for it");
	assert_contains(shop->audit.text, "leave was given by name alone");
	assert_int_equal(shop->audit.sum.open, 5);
	/* Keys that came later don't make it worse. */
	add_person(shop, WORKER, "technician", NULL);
	audit(shop);
	assert_int_equal(shop->audit.sum.open, 5);
}

/* ---- cards ---- */

static struct fw_card card_of(const char *name, const char *key_of)
{
	struct fw_card card = {0};
	struct fw_secret *secret = secret_of(key_of);

	snprintf(card.name, sizeof card.name, "%s", name);
	memcpy(card.key, fw_secret_public(secret), FW_KEY);
	fw_secret_free(secret);
	return card;
}

static void cards(void **state)
{
	struct shop *shop = *state;
	const struct fw_card good[] = {card_of(WORKER, WORKER), card_of(OTHER, OTHER)};
	const struct fw_card false_one[] = {card_of(WORKER, WORKER), card_of(OTHER, "somebody else")};
	const struct fw_card both[] = {card_of(WORKER, WORKER), card_of(OTHER, "an older key"),
	                               card_of(OTHER, OTHER)};

	two_people(shop);
	play_well(shop);
	shop->given = (struct fw_audit_given){.card = good, .cards = 2};
	audit(shop);
	assert_int_equal(shop->audit.sum.open, 0);
	assert_int_equal(shop->audit.sum.keyed, 4);
	shop->given = (struct fw_audit_given){.card = good, .cards = 1};
	assert_contains(audit(shop),
	                "signed \"A. Sample\" as inspector at 'hold-1': no card was given");
	assert_int_equal(shop->audit.sum.open, 3);
	shop->given = (struct fw_audit_given){.card = both, .cards = 3};
	audit(shop);
	assert_int_equal(shop->audit.sum.open, 0);
	shop->given = (struct fw_audit_given){.card = false_one, .cards = 2};
	audit_file(shop, shop->bench.file);
	assert_int_equal(shop->audit.sum.broken, 3);
	assert_int_equal(shop->audit.sum.keyed, 1);
	assert_contains(shop->audit.text, "by another key than that of the card");
}

/* ---- one who works the chain out again, and has no key ---- */

static void changed_by_patient_hands(void **state)
{
	struct shop *shop = *state;
	char bad[PATH_MAX];
	/* Each alike in all places, so that the replay alone shows nothing, as by-name signatures let
	 * pass. */
	static const char *const changes[] = {
	    "UPDATE entry SET typed = 'all well', value = json_set(value, '$.text', 'all well') WHERE "
	    "step = "
	    "'first'",
	    "UPDATE entry SET who = 'C. Third' WHERE seq = 2",
	    "UPDATE entry SET at = replace(at, '.000Z', '.001Z') WHERE step = 'hold-1'",
	    "UPDATE entry SET at = replace(at, '.000Z', '.001Z') WHERE step = 'second'",
	    "UPDATE entry SET value = json_set(value, '$.unit', 'another box') WHERE seq = 1",
	    "UPDATE entry SET typed = 'C. Third', value = json_set(value, '$.name', 'C. Third') WHERE "
	    "step = "
	    "'release'",
	    "UPDATE entry SET typed = 'R. Example', value = json_set(value, '$.name', 'R. Example') "
	    "WHERE "
	    "step = 'hold-2'",
	    "UPDATE entry SET value = json_set(value, '$.independent', json('false')) WHERE step = "
	    "'hold-1'",
	    "UPDATE entry SET value = json_remove(value, '$.independent') WHERE step = 'hold-1'",
	    "UPDATE entry SET value = json_remove(value, '$.key', '$.signature', '$.shop') WHERE step "
	    "= "
	    "'release'",
	    "UPDATE entry SET value = json_remove(value, '$.signature') WHERE step = 'release'",
	    "UPDATE entry SET value = json_set(value, '$.shop.count', 1) WHERE step = 'release'",
	    "UPDATE entry SET value = json_set(value, '$.shop.count', 99) WHERE step = 'release'",
	    "UPDATE entry SET value = json_set(value, '$.shop.count', 2) WHERE step = 'release'",
	    "UPDATE entry SET value = json_set(value, '$.reason', 'so') WHERE step = 'release'",
	    "UPDATE entry SET value = (SELECT json_set(e.value, '$.key', json_extract(o.value, "
	    "'$.key')) FROM "
	    "entry AS e, entry AS o WHERE e.step = 'release' AND o.step = 'hold-1') WHERE step = "
	    "'release'",
	    "UPDATE entry SET value = json_set(value, '$.shop.id', '00000000000000000000000000000000') "
	    "WHERE "
	    "seq = 1",
	    "UPDATE entry SET value = json_set(value, '$.shop.count', 2) WHERE seq = 1",
	    "UPDATE entry SET value = json_remove(value, '$.shop') WHERE seq = 1",
	};

	two_people(shop);
	play_well(shop);
	make_name(bad, shop->bench.folder, "bad.db");
	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
		bench_copy(shop->bench.file, bad);
		bench_tamper(bad, changes[i], BENCH_SEALED);
		audit_file(shop, bad);
		if (shop->audit.sum.broken == 0)
			fail_msg("%s\ngoes unseen:\n%s", changes[i], shop->audit.text);
	}
}

/* Nobody signs by name alone in a shop that had keys when the job began. */
static void names_put_in_place_of_keys(void **state)
{
	struct shop *shop = *state;
	char bad[PATH_MAX];

	two_people(shop);
	play_well(shop);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	bench_tamper(bad,
	             "UPDATE entry SET value = json_remove(value, '$.key', '$.signature', '$.shop') "
	             "WHERE kind = 'sign'",
	             BENCH_SEALED);
	audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 5); /* the fifth: "a. sample" was typed */
	assert_contains(shop->audit.text,
	                "by name alone, though the shop's people had keys when the job began");
}

/* A reopening is signed as well, over the reason. */
static void reopened(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};
	const struct fw_unlock way = {shop, unlock};
	char bad[PATH_MAX];

	two_people(shop);
	play_well(shop);
	fw_job_close(shop->job);
	shop->job = NULL;
	assert_code(fw_job_reopen(shop->bench.trail, 1, WORKER, OTHER, "it whines again", &way,
	                          bench_clock, &shop->bench.clock, &error),
	            FW_ERR_INPUT);
	assert_contains(error.text, "doesn't have this role");
	assert_ok(fw_job_reopen(shop->bench.trail, 1, WORKER, WORKER, "it whines again", &way,
	                        bench_clock, &shop->bench.clock, &error));
	assert_string_equal(shop->purpose, "reopen");
	/* The signatures at the end lapse, that under the concession too; two holds and this one are
	 * left. */
	assert_contains(audit(shop), "isn't finished; it waits at 'float' (concession)");
	assert_int_equal(shop->audit.sum.signatures, 3);
	assert_int_equal(shop->audit.sum.keyed, 3);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	bench_tamper(
	    bad, "UPDATE entry SET value = json_set(value, '$.reason', 'a slip') WHERE kind = 'reopen'",
	    BENCH_SEALED);
	audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_contains(shop->audit.text,
	                "signed \"R. Example\" as technician: the signature isn't by that key");
	resume(shop, NULL);
	give(shop, OTHER);
	give(shop, WORKER);
	audit(shop);
	assert_true(shop->audit.sum.released);
	assert_int_equal(shop->audit.sum.keyed, 5);
}

int main(void)
{
#define IN_SHOP(test) cmocka_unit_test_setup_teardown(test, open_shop, close_shop)
	const struct CMUnitTest tests[] = {
	    IN_SHOP(good_signatures),
	    IN_SHOP(wrong_people),
	    IN_SHOP(retired_and_replaced),
	    IN_SHOP(another_person_at_a_hold),
	    IN_SHOP(holds_taken_back),
	    IN_SHOP(nicknames),
	    IN_SHOP(one_person),
	    IN_SHOP(conceded_by_who_did_it),
	    IN_SHOP(reopened),
	    IN_SHOP(by_name_alone),
	    IN_SHOP(cards),
	    IN_SHOP(changed_by_patient_hands),
	    IN_SHOP(names_put_in_place_of_keys),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
