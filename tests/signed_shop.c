/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signed_shop.h"

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

#define SEED_OF "invented seed of a test, person "

struct fw_secret *shop_secret(const char *name)
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

int shop_unlock(void *context, const struct fw_person *person, const struct fw_question *question,
                struct fw_secret **out, struct fw_error *err)
{
	struct shop *shop = context;

	shop->asked++;
	snprintf(shop->purpose, sizeof shop->purpose, "%s", question->purpose);
	if (shop->refuse)
		return fw_fail(err, shop->refuse, "the passphrase doesn't fit");
	*out = shop_secret(shop->instead ? shop->instead : person->name);
	return FW_OK;
}

void shop_add_person(struct shop *shop, const char *name, const char *role, const char *more)
{
	const char *const roles[] = {role, more};
	const struct fw_person_new person = {
	    .name = name, .role = roles, .roles = more ? 2 : 1, .by = "B. Hand"};
	struct fw_secret *secret = shop_secret(name);
	struct fw_error error = {0};

	assert_ok(fw_people_add(shop->bench.trail, &person, secret, &error));
	fw_secret_free(secret);
}

void shop_let_unlock(struct shop *shop)
{
	const struct fw_unlock way = {shop, shop_unlock};
	fw_job_set_unlock(shop->job, &way);
}

void shop_begin(struct shop *shop, const char *who)
{
	struct fw_error error = {0};

	bench_write(&shop->bench, "held.lua", procedure, shop->procedure);
	const struct fw_job_begin what = {shop->procedure, NULL, "gearbox", who};
	assert_ok(fw_job_begin(&shop->job, shop->bench.trail, &what, bench_clock, &shop->bench.clock,
	                       &error));
	shop_let_unlock(shop);
}

void shop_resume(struct shop *shop, const char *who)
{
	struct fw_error error = {0};

	fw_job_close(shop->job);
	assert_ok(fw_job_resume(&shop->job, shop->bench.trail, 1, who, bench_clock, &shop->bench.clock,
	                        &error));
	shop_let_unlock(shop);
}

void shop_give(struct shop *shop, const char *typed)
{
	struct fw_error error = {0};
	assert_ok(fw_job_answer(shop->job, typed, false, &error));
}

void shop_refused(struct shop *shop, const char *typed, int wanted, const char *words)
{
	struct fw_error error = {0};
	int64_t before = bench_entries(shop->bench.trail, 1);

	assert_code(fw_job_answer(shop->job, typed, false, &error), wanted);
	assert_contains(error.text, words);
	assert_int_equal(bench_entries(shop->bench.trail, 1), before);
	assert_non_null(fw_job_pending(shop->job));
}

const char *shop_signers(const struct shop *shop)
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

void shop_audit_file(struct shop *shop, const char *file)
{
	struct fw_error error = {0};
	struct fw_trail *trail;

	memset(&shop->audit, 0, sizeof shop->audit);
	assert_ok(fw_trail_open(&trail, file, FW_TRAIL_READ, &error));
	assert_ok(
	    fw_job_audit(trail, 1, &shop->given, keep_line, &shop->audit, &shop->audit.sum, &error));
	fw_trail_close(trail);
}

const char *shop_audit(struct shop *shop)
{
	shop_audit_file(shop, shop->bench.file);
	if (shop->audit.sum.broken > 0)
		fail_msg("the audit of a sound job found:\n%s", shop->audit.text);
	return shop->audit.text;
}

void assert_lacks(const char *text, const char *part)
{
	if (strstr(text, part))
		fail_msg("\"%s\" contains \"%s\"", text, part);
}

int shop_open(void **state)
{
	struct shop *shop = calloc(1, sizeof *shop);

	assert_non_null(shop);
	bench_open(&shop->bench);
	*state = shop;
	return 0;
}

int shop_close(void **state)
{
	struct shop *shop = *state;

	fw_job_close(shop->job);
	bench_close(&shop->bench);
	free(shop);
	return 0;
}

void shop_two_people(struct shop *shop)
{
	shop_add_person(shop, WORKER, "technician", NULL);
	shop_add_person(shop, OTHER, "inspector", "concession");
}

void shop_play_well(struct shop *shop)
{
	shop_begin(shop, WORKER);
	shop_give(shop, "nothing");
	shop_give(shop, "a. sample");
	shop_give(shop, "nothing");
	shop_give(shop, OTHER);
	shop_give(shop, "concession");
	shop_give(shop, "until the new pair comes");
	shop_give(shop, OTHER);
	shop_give(shop, WORKER);
	assert_null(fw_job_pending(shop->job));
}
