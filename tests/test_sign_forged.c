/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit makes of one who has a key, or had one, and writes to the file past the program:
 * a key out of use that names the shop's log of before, the log itself, and rules of old. */
#include <jansson.h>

#include "job/job_internal.h"
#include "signed_shop.h"
#include "trail_make.h"

/* The shop's log as it stood after `count` entries. */
static void look_back(struct shop *shop, struct fw_people *out, int64_t count)
{
	struct fw_error error = {0};
	assert_ok(fw_people_read(out, shop->bench.trail, count, &error));
}

static void retire(struct shop *shop, const char *name)
{
	struct fw_error error = {0};
	assert_ok(
	    fw_people_retire(shop->bench.trail, name, "the key was stolen", WORKER, NULL, &error));
}

/* Signs what is pending with the key of OTHER, as the shop's log was after `shop_count` entries,
 * without asking it what it is now. The chain, and all that the signature covers, is as it should
 * be. */
static void forge(struct shop *shop, int64_t shop_count, const char *at)
{
	struct fw_trail *trail = shop->bench.trail;
	const struct fw_question *q = fw_job_pending(shop->job);
	struct fw_people then;
	struct fw_signing signing = {.purpose = FW_FOR_HOLD,
	                             .shop = fw_trail_shop(trail),
	                             .job = 1,
	                             .shop_count = shop_count,
	                             .step = q->step,
	                             .name = OTHER,
	                             .role = q->role,
	                             .meaning = q->meaning,
	                             .at = at};
	struct fw_error error = {0};
	uint8_t signature[FW_SIGNATURE];
	char head[FW_HASH_TEXT], shop_head[FW_HASH_TEXT], key[FW_KEY_TEXT], text[FW_SIGNATURE_TEXT];
	struct fw_secret *secret = shop_secret(OTHER);

	look_back(shop, &then, shop_count);
	memcpy(signing.shop_head, then.head, FW_HASH);
	fw_people_free(&then);
	assert_ok(fw_trail_head(trail, 1, &signing.count, signing.head, &error));
	assert_ok(fw_signature_make(signature, &signing, secret, &error));
	json_t *value =
	    json_pack("{s:s, s:s, s:s, s:I, s:s, s:b, s:{s:I, s:s}, s:s, s:s}", "name", OTHER, "role",
	              q->role, "meaning", q->meaning, "count", (json_int_t)signing.count, "head",
	              fw_hash_text(head, signing.head), "independent", 1, "shop", "count",
	              (json_int_t)shop_count, "head", fw_hash_text(shop_head, signing.shop_head), "key",
	              fw_hex_text(key, fw_secret_public(secret), FW_KEY), "signature",
	              fw_hex_text(text, signature, FW_SIGNATURE));
	char *json = json_dumps(value, JSON_COMPACT);
	char *ask = json_dumps(shop->job->pending.json, JSON_COMPACT);
	const struct fw_entry entry = {.kind = "sign",
	                               .step = q->step,
	                               .at = at,
	                               .who = WORKER,
	                               .ask = ask,
	                               .typed = OTHER,
	                               .value = json};
	assert_ok(fw_trail_append(trail, 1, signing.count, &entry, 1, NULL, &error));
	free(ask);
	free(json);
	json_decref(value);
	fw_secret_free(secret);
}

/* Clocks of one bench run like that of the other test: the hour is nothing to go by. */
#define AT "2026-03-05T09:00:00.000Z"
/* Behind whatever the clock of this machine says. */
#define LATE "2999-03-05T09:00:00.000Z"

/* ---- a key out of use ---- */

static void out_of_use_before_the_job_began(void **state)
{
	struct shop *shop = *state;

	shop_two_people(shop);
	retire(shop, OTHER);
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	forge(shop, 3, AT);
	shop_audit_file(shop, shop->bench.file);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_int_equal(shop->audit.sum.keyed, 0);
	assert_contains(shop->audit.text, "B 3 signed \"A. Sample\" as inspector at 'hold-1': it names "
	                                  "an earlier state of the shop's log");
}

/* Up to the second hold; after the first the log goes on, and then OTHER's key is out of use. */
static void play_to_second_hold(struct shop *shop)
{
	shop_two_people(shop);
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_add_person(shop, "C. Third", "inspector", NULL);
	shop_give(shop, OTHER);
	retire(shop, OTHER);
	shop_give(shop, "nothing");
}

static void out_of_use_before_a_signature(void **state)
{
	struct shop *shop = *state;

	play_to_second_hold(shop);
	forge(shop, 3, AT);
	shop_audit_file(shop, shop->bench.file);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_int_equal(shop->audit.sum.keyed, 1);
	assert_contains(shop->audit.text, "at 'hold-2': it names an earlier state of the shop's log");
}

/* The log had gone on by then, but nothing in the job shows that: only the hours do. */
static void out_of_use_by_the_clock(void **state)
{
	struct shop *shop = *state;

	play_to_second_hold(shop);
	forge(shop, 4, LATE);
	shop_audit(shop);
	assert_int_equal(shop->audit.sum.keyed, 2);
	assert_contains(
	    shop->audit.text,
	    "O 5 signed \"A. Sample\" as inspector at 'hold-2': by a key that was retired or "
	    "replaced by then");
}

/* Before it was: what it signed stays valid. */
static void out_of_use_afterwards(void **state)
{
	struct shop *shop = *state;

	play_to_second_hold(shop);
	forge(shop, 4, AT);
	assert_lacks(shop_audit(shop), "by then");
	assert_int_equal(shop->audit.sum.keyed, 2);
}

/* A passphrase takes a while to type. */
static int retire_meanwhile(void *context, const struct fw_person *person,
                            const struct fw_question *question, struct fw_secret **out,
                            struct fw_error *err)
{
	(void)question;
	(void)err;
	*out = shop_secret(person->name);
	retire(context, person->name);
	return FW_OK;
}

static void out_of_use_while_it_was_unlocked(void **state)
{
	struct shop *shop = *state;
	const struct fw_unlock way = {shop, retire_meanwhile};

	shop_two_people(shop);
	shop_add_person(shop, "C. Third", "inspector", NULL);
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	fw_job_set_unlock(shop->job, &way);
	shop_refused(shop, OTHER, FW_ERR_INPUT, "is no person of this shop with a key in use");
	shop_let_unlock(shop);
	shop_give(shop, "C. Third");
	shop_audit(shop);
}

/* ---- the shop's log ---- */

static void tamper_log(const char *file, const char *sql)
{
	sqlite3 *db;

	assert_int_equal(sqlite3_open_v2(file, &db, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
	assert_int_equal(sqlite3_changes(db), 1);
	sqlite3_close(db);
}

/* Nobody works the hashes out again: the audit of one job looks at the log on which it rests. */
static void log_changed(void **state)
{
	struct shop *shop = *state;
	char bad[PATH_MAX];

	play_to_second_hold(shop);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	tamper_log(bad, "UPDATE entry SET who = 'C. Third' WHERE job = 0 AND kind = 'retire'");
	shop_audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_contains(shop->audit.text, "B 5 ");
}

/* ---- rules of old ---- */

/* A job of this shop that gives itself out as one from before checks stopped the work. */
static void rules_of_old(void **state)
{
	struct shop *shop = *state;
	char bad[PATH_MAX];

	shop_begin(shop, WORKER);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	bench_tamper(bad, "UPDATE entry SET value = json_remove(value, '$.rules', '$.shop')",
	             BENCH_SEALED);
	shop_audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_contains(shop->audit.text, "B 1 it says that it began before the shop had a log");
}

/* ---- a job opened again ---- */

/* Whoever has some role can't sign for that in it. */
static void reopened_in_another_role(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};
	char bad[PATH_MAX];

	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_give(shop, "concession");
	shop_give(shop, "it will do");
	shop_give(shop, OTHER);
	shop_give(shop, WORKER);
	fw_job_close(shop->job);
	shop->job = NULL;
	assert_ok(fw_job_reopen(shop->bench.trail, 1, WORKER, OTHER, "it whines again", NULL,
	                        bench_clock, &shop->bench.clock, &error));
	shop_audit(shop);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	bench_tamper(bad,
	             "UPDATE entry SET value = json_set(value, '$.role', 'apprentice') "
	             "WHERE kind = 'reopen'",
	             BENCH_SEALED);
	shop_audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_contains(shop->audit.text, "it is signed in another role");
}

int main(void)
{
#define IN_SHOP(test) cmocka_unit_test_setup_teardown(test, shop_open, shop_close)
	const struct CMUnitTest tests[] = {
	    IN_SHOP(out_of_use_before_the_job_began),
	    IN_SHOP(out_of_use_before_a_signature),
	    IN_SHOP(out_of_use_by_the_clock),
	    IN_SHOP(out_of_use_afterwards),
	    IN_SHOP(out_of_use_while_it_was_unlocked),
	    IN_SHOP(log_changed),
	    IN_SHOP(rules_of_old),
	    IN_SHOP(reopened_in_another_role),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
