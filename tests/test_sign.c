/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Signatures of a job by the people's keys: what they cover, and who may give them. A signature is
 * held against libsodium's Ed25519 (RFC 8032) over bytes put together here after docs/trail.md,
 * "Signatures". */
#include <jansson.h>
#include <sodium.h>

#include "signed_shop.h"
#include "trail_make.h"

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
	struct fw_secret *secret = shop_secret(OTHER);
	char text[400];

	shop_two_people(shop);
	shop_play_well(shop);
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
	shop_resume(shop, NULL);
	assert_contains(shop_audit(shop), "N ");
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

	shop_two_people(shop);
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	assert_contains(shop_signers(shop), "Who may sign as inspector: A. Sample.");
	shop_refused(shop, "Nobody", FW_ERR_INPUT, "'Nobody' is no person of this shop");
	shop_refused(shop, "Nobody", FW_ERR_INPUT, "who may sign as inspector: A. Sample");
	shop_refused(shop, WORKER, FW_ERR_INPUT,
	             "doesn't have this role; who may sign as inspector: A. Sample");
	assert_int_equal(shop->asked, 0); /* no passphrase for who may not */
	shop->refuse = FW_ERR_INPUT;
	shop_refused(shop, OTHER, FW_ERR_INPUT, "the passphrase doesn't fit");
	assert_string_equal(shop->purpose, "hold");
	shop->refuse = FW_ERR_NOT_FOUND;
	shop_refused(shop, OTHER, FW_ERR_NOT_FOUND, "doesn't fit");
	shop->refuse = 0;
	shop->instead = WORKER;
	shop_refused(shop, OTHER, FW_ERR_INPUT, "isn't the one by which this shop knows A. Sample");
	shop->instead = NULL;
	fw_job_set_unlock(shop->job, NULL);
	shop_refused(shop, OTHER, FW_ERR_STATE, "fitwright resume 1");
	shop_let_unlock(shop);
	shop_give(shop, OTHER);
}

/* Who did the work is no name to offer at a hold, though the role is there. */
static void who_may_hold(void **state)
{
	struct shop *shop = *state;

	shop_add_person(shop, WORKER, "inspector", "technician");
	shop_add_person(shop, OTHER, "inspector", "concession");
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	assert_contains(shop_signers(shop), "Who may sign as inspector: A. Sample.");
}

static void retired_and_replaced(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};

	shop_two_people(shop);
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	assert_ok(fw_people_retire(shop->bench.trail, OTHER, "left", "B. Hand", NULL, &error));
	shop_give(shop, "nothing");
	shop_refused(shop, OTHER, FW_ERR_INPUT, "nobody has the role 'inspector' yet");
	shop_add_person(shop, "C. Third", "inspector", "concession");
	shop_give(shop, "C. Third");
	/* What was signed before stays good. */
	assert_contains(shop_audit(shop), "isn't finished");
	assert_contains(shop->audit.text, "the check is open: nothing is signed before it is within");
	assert_int_equal(shop->audit.sum.keyed, 2);
	assert_int_equal(shop->audit.sum.open, 2);
	assert_ok(fw_people_retire(shop->bench.trail, "C. Third", "left", "B. Hand", NULL, &error));
	assert_ok(fw_people_retire(shop->bench.trail, WORKER, "left", "B. Hand", NULL, &error));
	shop_give(shop, "concession");
	shop_give(shop, "because");
	/* Without keys in use nothing is signed by name, once there were some. */
	shop_refused(shop, OTHER, FW_ERR_INPUT, "nobody of this shop has a key in use any more");
}

static void another_person_at_a_hold(void **state)
{
	struct shop *shop = *state;

	shop_add_person(shop, WORKER, "technician", "inspector");
	shop_add_person(shop, OTHER, "inspector", "technician");
	shop_begin(shop, "r. example"); /* as typed at the bench */
	shop_give(shop, "nothing");
	shop_refused(shop, WORKER, FW_ERR_INPUT,
	             "another person than those who did the work, and r. example did");
	shop_give(shop, OTHER);
	/* From one hold to the next: A. Sample goes on with it, and R. Example may look. */
	shop_resume(shop, OTHER);
	shop_give(shop, "nothing");
	shop_refused(shop, OTHER, FW_ERR_INPUT, "and A. Sample did");
	shop_give(shop, WORKER);
	assert_lacks(shop_audit(shop), "not by another person");
}

/* Blanks that differ, and what can't be seen, make nobody another person. */
static void another_spelling_at_a_hold(void **state)
{
	struct shop *shop = *state;
	const char *const roles[] = {"inspector"};
	const struct fw_person_new twin = {
	    .name = "R.\xC2\xA0" /* U+00A0 */ "Example", .role = roles, .roles = 1, .by = "B. Hand"};
	struct fw_secret *secret = shop_secret("R. Example's second key");
	struct fw_error error = {0};

	shop_add_person(shop, WORKER, "technician", "inspector");
	shop_add_person(shop, OTHER, "inspector", NULL);
	assert_code(fw_people_add(shop->bench.trail, &twin, secret, &error), FW_ERR_STATE);
	assert_contains(error.text, "R. Example has a key already");
	fw_secret_free(secret);
	shop_begin(shop, " R.  Ex\xC2\xAD" /* U+00AD */ "ample\xE2\x80\x8B" /* U+200B */);
	shop_give(shop, "nothing");
	shop_refused(shop, WORKER, FW_ERR_INPUT, "another person than those who did the work");
	shop_give(shop, OTHER);
	assert_lacks(shop_audit(shop), "nobody that this shop knows");
}

/* Work that was taken back was done, and a hold that was taken back divides nothing. */
static void holds_taken_back(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};

	shop_add_person(shop, WORKER, "technician", "inspector");
	shop_add_person(shop, OTHER, "inspector", "technician");
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_resume(shop, OTHER);
	assert_ok(fw_job_withdraw(shop->job, "too early", &error)); /* the hold */
	shop_refused(shop, WORKER, FW_ERR_INPUT, "and R. Example did");
	assert_ok(fw_job_withdraw(shop->job, "again", &error)); /* the work */
	shop_give(shop, "my own words");                        /* A. Sample does it */
	shop_refused(shop, OTHER, FW_ERR_INPUT, "and A. Sample did");
	shop_refused(shop, WORKER, FW_ERR_INPUT, "and R. Example did");
	shop_add_person(shop, "C. Third", "inspector", NULL);
	shop_give(shop, "C. Third");
	assert_lacks(shop_audit(shop), "not by another person");
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

	shop_add_person(shop, WORKER, "technician", "inspector");
	shop_add_person(shop, OTHER, "inspector", NULL);
	bench_write(&shop->bench, "twice.lua", twice, shop->procedure);
	const struct fw_job_begin what = {shop->procedure, NULL, "gearbox", "Ronny"};
	assert_ok(fw_job_begin(&shop->job, shop->bench.trail, &what, bench_clock, &shop->bench.clock,
	                       &error));
	shop_let_unlock(shop);
	shop_give(shop, WORKER);
	shop_refused(shop, WORKER, FW_ERR_INPUT, "and R. Example did");
	shop_give(shop, OTHER);
	/* Who Ronny is, no key shows. */
	assert_contains(shop_audit(shop),
	                "signed \"A. Sample\" as inspector at 'look': 'Ronny', who did the work, "
	                "is nobody that this shop knows");
	assert_int_equal(shop->audit.sum.open, 1);
}

static void one_person(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};

	shop_add_person(shop, WORKER, "technician", "inspector");
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_refused(shop, WORKER, FW_ERR_INPUT, "fitwright person add");
	shop_refused(shop, WORKER, FW_ERR_INPUT, "fitwright shop --alone yes");
	assert_lacks(shop_signers(shop), "not independent");
	assert_ok(fw_people_alone(shop->bench.trail, true, WORKER, NULL, &error));
	assert_contains(shop_signers(shop), "is not independent, and is recorded so");
	shop_give(shop, WORKER);
	assert_contains(shop_audit(shop),
	                "signed \"R. Example\" as inspector at 'hold-1': not by another person");
	/* A second person may still come to look. */
	shop_give(shop, "nothing");
	shop_add_person(shop, OTHER, "inspector", NULL);
	shop_give(shop, OTHER);
	shop_audit(shop);
	assert_lacks(shop->audit.text, "hold-2");
	assert_int_equal(shop->audit.sum.keyed, 2);
}

static void conceded_by_who_did_it(void **state)
{
	struct shop *shop = *state;

	shop_add_person(shop, WORKER, "technician", "concession");
	shop_add_person(shop, OTHER, "inspector", NULL);
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_give(shop, "concession"); /* after the hold it is R. Example's work */
	shop_give(shop, "because");
	assert_contains(shop_signers(shop),
	                "Given by somebody who did the work, it is not independent");
	shop_give(shop, WORKER);
	shop_give(shop, WORKER);
	assert_contains(shop_audit(shop), "O ");
	assert_contains(shop->audit.text, "who did the work gave leave for it too");
	assert_int_equal(shop->audit.sum.open, 1);
}

static void by_name_alone(void **state)
{
	struct shop *shop = *state;

	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	assert_contains(shop_signers(shop), "Nobody in this shop has a key: signed by name alone.");
	shop_refused(shop, "R. EXAMPLE", FW_ERR_INPUT, "another person than those who did the work");
	shop_give(shop, OTHER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_give(shop, "concession");
	shop_give(shop, "because");
	shop_give(shop, OTHER);
	shop_give(shop, WORKER);
	assert_int_equal(shop->asked, 0);
	assert_contains(shop_audit(shop), "O ");
	assert_int_equal(shop->audit.sum.signatures, 4);
	assert_int_equal(shop->audit.sum.keyed, 0);
	assert_contains(shop->audit.text,
	                "signed \"R. Example\" as technician at 'release': by name alone: no "
	                "key answers for it");
	assert_contains(shop->audit.text, "leave was given by name alone");
	assert_int_equal(shop->audit.sum.open, 5);
	/* Keys that came later don't make it worse. */
	shop_add_person(shop, WORKER, "technician", NULL);
	shop_audit(shop);
	assert_int_equal(shop->audit.sum.open, 5);
}

int main(void)
{
#define IN_SHOP(test) cmocka_unit_test_setup_teardown(test, shop_open, shop_close)
	const struct CMUnitTest tests[] = {
	    IN_SHOP(good_signatures),
	    IN_SHOP(wrong_people),
	    IN_SHOP(who_may_hold),
	    IN_SHOP(retired_and_replaced),
	    IN_SHOP(another_person_at_a_hold),
	    IN_SHOP(another_spelling_at_a_hold),
	    IN_SHOP(holds_taken_back),
	    IN_SHOP(nicknames),
	    IN_SHOP(one_person),
	    IN_SHOP(conceded_by_who_did_it),
	    IN_SHOP(by_name_alone),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
