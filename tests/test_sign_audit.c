/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit makes of signatures by keys: cards, and one who works the chain out again but has
 * no key. */
#include "signed_shop.h"
#include "trail_make.h"

/* ---- cards ---- */

static struct fw_card card_of(const char *name, const char *key_of)
{
	struct fw_card card = {0};
	struct fw_secret *secret = shop_secret(key_of);

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

	shop_two_people(shop);
	shop_play_well(shop);
	shop->given = (struct fw_audit_given){.card = good, .cards = 2};
	shop_audit(shop);
	assert_int_equal(shop->audit.sum.open, 0);
	assert_int_equal(shop->audit.sum.keyed, 4);
	shop->given = (struct fw_audit_given){.card = good, .cards = 1};
	assert_contains(shop_audit(shop),
	                "signed \"A. Sample\" as inspector at 'hold-1': no card was given");
	assert_int_equal(shop->audit.sum.open, 3);
	shop->given = (struct fw_audit_given){.card = both, .cards = 3};
	shop_audit(shop);
	assert_int_equal(shop->audit.sum.open, 0);
	shop->given = (struct fw_audit_given){.card = false_one, .cards = 2};
	shop_audit_file(shop, shop->bench.file);
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

	shop_two_people(shop);
	shop_play_well(shop);
	make_name(bad, shop->bench.folder, "bad.db");
	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
		bench_copy(shop->bench.file, bad);
		bench_tamper(bad, changes[i], BENCH_SEALED);
		shop_audit_file(shop, bad);
		if (shop->audit.sum.broken == 0)
			fail_msg("%s\ngoes unseen:\n%s", changes[i], shop->audit.text);
	}
}

/* Nobody signs by name alone in a shop that had keys when the job began. */
static void names_put_in_place_of_keys(void **state)
{
	struct shop *shop = *state;
	char bad[PATH_MAX];

	shop_two_people(shop);
	shop_play_well(shop);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	bench_tamper(bad,
	             "UPDATE entry SET value = json_remove(value, '$.key', '$.signature', '$.shop') "
	             "WHERE kind = 'sign'",
	             BENCH_SEALED);
	shop_audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 5); /* the fifth: "a. sample" was typed */
	assert_contains(shop->audit.text,
	                "by name alone, though the shop's people had keys when the job began");
}

/* A reopening is signed as well, over the reason. */
static void reopened(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};
	const struct fw_unlock way = {shop, shop_unlock};
	char bad[PATH_MAX];

	shop_two_people(shop);
	shop_play_well(shop);
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
	assert_contains(shop_audit(shop), "isn't finished; it waits at 'float' (concession)");
	assert_int_equal(shop->audit.sum.signatures, 3);
	assert_int_equal(shop->audit.sum.keyed, 3);
	make_name(bad, shop->bench.folder, "bad.db");
	bench_copy(shop->bench.file, bad);
	bench_tamper(
	    bad, "UPDATE entry SET value = json_set(value, '$.reason', 'a slip') WHERE kind = 'reopen'",
	    BENCH_SEALED);
	shop_audit_file(shop, bad);
	assert_int_equal(shop->audit.sum.broken, 1);
	assert_contains(shop->audit.text,
	                "signed \"R. Example\" as technician: the signature isn't by that key");
	shop_resume(shop, NULL);
	shop_give(shop, OTHER);
	shop_give(shop, WORKER);
	shop_audit(shop);
	assert_true(shop->audit.sum.released);
	assert_int_equal(shop->audit.sum.keyed, 5);
}

int main(void)
{
#define IN_SHOP(test) cmocka_unit_test_setup_teardown(test, shop_open, shop_close)
	const struct CMUnitTest tests[] = {
	    IN_SHOP(cards),
	    IN_SHOP(changed_by_patient_hands),
	    IN_SHOP(names_put_in_place_of_keys),
	    IN_SHOP(reopened),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
