/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_tamper_signed.c  A small signed job, changed in every way in turn: found, or without
 * effect on anything recorded. Where only a head noted elsewhere, or a card, shows it, that is what
 * is asserted.
 *
 *     test_tamper_signed          bytes: every 97th, about
 *     test_tamper_signed all      every byte of the file: some minutes */
#include "patient.h"
#include "shop/secret.h"
#include "signed_shop.h"
#include "trail_make.h"

#define JOBS 2
/* Entries of the jobs 0, 1, 2; asserted when the trail is made. */
#define MOST 64

static bool every_byte;

/* ---- a good trail ---- */

struct world {
	struct shop *shop;
	char good[PATH_MAX], bad[PATH_MAX];
	int64_t entries[JOBS + 1];
	uint8_t head[JOBS + 1][FW_HASH]; /* noted when the trail was good */
	uint8_t facts[FW_HASH];
	struct fw_card card[2];
	/* The file as it was after each step of the work. */
	char *old[MOST];
	size_t old_size[MOST], olds;
};

static void keep_old(struct world *w)
{
	assert_true(w->olds < MOST);
	w->old[w->olds] = bench_read(w->shop->bench.file, &w->old_size[w->olds]);
	w->olds++;
}

static int note_first(void *context, const struct fw_given *given)
{
	*(int64_t *)context = given->seq;
	return 1;
}

static void amend_first(struct world *w)
{
	struct fw_error error = {0};
	int64_t seq = 0;

	assert_int_equal(fw_job_given(w->shop->job, note_first, &seq, &error), 1);
	assert_ok(
	    fw_job_amend(w->shop->job, seq, "a score in the bore", false, "said too little", &error));
	keep_old(w);
}

static void give(struct world *w, const char *typed)
{
	shop_give(w->shop, typed);
	keep_old(w);
}

/* Holds, a concession, an answer taken back, an amendment, a photo; then a job just begun. */
static void work(struct world *w)
{
	struct shop *shop = w->shop;
	struct fw_error error = {0};
	char photo[PATH_MAX];

	shop_two_people(shop);
	keep_old(w);
	shop_begin(shop, WORKER);
	keep_old(w);
	give(w, "nothing yet");
	assert_ok(fw_job_withdraw(shop->job, "hadn't looked", &error));
	keep_old(w);
	give(w, "a score");
	bench_write(&shop->bench, "photo.png", "\x89PNG\r\n\x1a\n, invented", photo);
	assert_ok(fw_job_attach(shop->job, photo, "the score", &error));
	amend_first(w);
	give(w, OTHER);
	give(w, "nothing");
	give(w, OTHER);
	give(w, "concession");
	give(w, "until the new pair comes");
	give(w, OTHER);
	give(w, WORKER);
	assert_null(fw_job_pending(shop->job));
	fw_job_close(shop->job);
	shop_begin(shop, OTHER);
	give(w, "looks well");
	fw_job_close(shop->job);
	shop->job = NULL;
}

static struct fw_card card_of(const char *name)
{
	struct fw_card card = {0};
	struct fw_secret *secret = shop_secret(name);

	snprintf(card.name, sizeof card.name, "%s", name);
	memcpy(card.key, fw_secret_public(secret), FW_KEY);
	fw_secret_free(secret);
	return card;
}

/* ---- the facts a reader gets ---- */

struct facts {
	unsigned char *bytes;
	size_t size, room;
};

static void add(struct facts *facts, const void *bytes, size_t size)
{
	if (facts->size + size > facts->room) {
		facts->room = 2 * (facts->size + size);
		facts->bytes = realloc(facts->bytes, facts->room);
		assert_non_null(facts->bytes);
	}
	memcpy(facts->bytes + facts->size, bytes, size);
	facts->size += size;
}

static int add_entry(void *context, const struct fw_entry *e)
{
	static unsigned char bytes[1 << 20];

	add(context, bytes, make_bytes(bytes, e));
	add(context, e->hash, FW_HASH);
	return 0;
}

static int add_job(void *context, const struct fw_job_line *line)
{
	add(context, &line->job, sizeof line->job);
	add(context, &line->entries, sizeof line->entries);
	return 0;
}

static int add_file(struct facts *facts, struct fw_trail *trail, const char *path, bool evidence)
{
	uint8_t hash[FW_HASH];
	char *bytes;
	size_t size;

	bench_hash_file(hash, path);
	int code = evidence ? fw_trail_evidence(trail, hash, &bytes, &size, NULL)
	                    : fw_trail_source(trail, hash, &bytes, &size, NULL);
	if (!code)
		add(facts, bytes, size);
	free(bytes);
	return code;
}

static int read_facts(const struct world *w, struct fw_trail *trail, uint8_t out[FW_HASH])
{
	struct facts facts = {0};
	char photo[PATH_MAX];
	int code = fw_trail_jobs(trail, add_job, &facts, NULL);

	make_name(photo, w->shop->bench.folder, "photo.png");
	for (int64_t job = 0; job <= JOBS && !code; job++)
		code = fw_trail_walk(trail, job, add_entry, &facts, NULL);
	if (!code)
		code = add_file(&facts, trail, w->shop->procedure, false);
	if (!code)
		code = add_file(&facts, trail, photo, true);
	if (!code)
		fw_trail_hash(out, facts.bytes, facts.size);
	free(facts.bytes);
	return code;
}

/* ---- what comes of a change ---- */

enum outcome { REFUSED, FOUND, HEAD, HARMLESS, UNNOTICED, OUTCOMES };

struct tally {
	const char *what;
	unsigned count[OUTCOMES];
};

static void print_tally(const struct tally *t)
{
	unsigned tried = 0;

	for (int i = 0; i < OUTCOMES; i++)
		tried += t->count[i];
	print_message("  %s: tried %u, refused on opening %u, found %u, by a noted head alone %u, "
	              "without effect %u, "
	              "neither %u\n",
	              t->what, tried, t->count[REFUSED], t->count[FOUND], t->count[HEAD],
	              t->count[HARMLESS], t->count[UNNOTICED]);
}

struct search {
	const uint8_t *head;
	bool found;
};

static int look_for(void *context, const struct fw_entry *entry)
{
	struct search *search = context;

	search->found = search->found || memcmp(entry->hash, search->head, FW_HASH) == 0;
	return 0;
}

/* As --head does. */
static bool has_heads(const struct world *w, struct fw_trail *trail)
{
	for (int64_t job = 0; job <= JOBS; job++) {
		struct search search = {w->head[job], false};
		if (fw_trail_walk(trail, job, look_for, &search, NULL) != FW_OK || !search.found)
			return false;
	}
	return true;
}

static bool audits_well(const struct world *w, struct fw_trail *trail, bool cards)
{
	const struct fw_audit_given given = {.card = w->card, .cards = cards ? 2 : 0};
	struct fw_audit_sum sum;

	for (int64_t job = 1; job <= JOBS; job++) {
		int code = fw_job_audit(trail, job, &given, NULL, NULL, &sum, NULL);
		if (code == FW_ERR_NOT_FOUND)
			continue; /* a job that isn't there can't be audited: only a head shows that it was */
		if (code != FW_OK || sum.broken > 0)
			return false;
	}
	return true;
}

static enum outcome look_at(const struct world *w, bool cards)
{
	struct fw_trail *trail = NULL;
	uint8_t facts[FW_HASH];
	size_t flaws = 0;

	if (fw_trail_open(&trail, w->bad, FW_TRAIL_READ, NULL))
		return REFUSED;
	enum outcome outcome = UNNOTICED;
	if (fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, NULL) || flaws > 0 ||
	    !audits_well(w, trail, cards))
		outcome = FOUND;
	else if (!has_heads(w, trail))
		outcome = HEAD;
	else if (read_facts(w, trail, facts) == FW_OK && memcmp(facts, w->facts, FW_HASH) == 0)
		outcome = HARMLESS;
	fw_trail_close(trail);
	return outcome;
}

static enum outcome tally(struct tally *t, const struct world *w)
{
	enum outcome outcome = look_at(w, true);

	t->count[outcome]++;
	return outcome;
}

static enum outcome change(struct tally *t, const struct world *w, const char *sql, bool patient)
{
	bench_copy(w->good, w->bad);
	patient_change(w->bad, sql, patient);
	return tally(t, w);
}

/* ---- for cmocka ---- */

static int open_world(void **state)
{
	struct world *w = calloc(1, sizeof *w);
	struct fw_error error = {0};
	void *shop;

	assert_non_null(w);
	shop_open(&shop);
	w->shop = shop;
	work(w);
	for (int64_t job = 0; job <= JOBS; job++)
		assert_ok(fw_trail_head(w->shop->bench.trail, job, &w->entries[job], w->head[job], &error));
	assert_int_equal(read_facts(w, w->shop->bench.trail, w->facts), FW_OK);
	w->card[0] = card_of(WORKER);
	w->card[1] = card_of(OTHER);
	make_name(w->good, w->shop->bench.folder, "good.db");
	make_name(w->bad, w->shop->bench.folder, "bad.db");
	bench_copy(w->shop->bench.file, w->good);
	bench_copy(w->good, w->bad);
	assert_int_equal(look_at(w, true), HARMLESS); /* nothing was done */
	*state = w;
	return 0;
}

static int close_world(void **state)
{
	struct world *w = *state;
	void *shop = w->shop;

	for (size_t i = 0; i < w->olds; i++)
		free(w->old[i]);
	shop_close(&shop);
	free(w);
	return 0;
}

static bool is_open_end(const struct world *w, int64_t job, int64_t seq)
{
	return job == JOBS && seq == w->entries[job];
}

/* ---- rows ---- */

static void rows_deleted(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "each row deleted"};
	char sql[128];

	for (int64_t job = 0; job <= JOBS; job++)
		for (int64_t seq = 1; seq <= w->entries[job]; seq++) {
			snprintf(sql, sizeof sql, "DELETE FROM entry WHERE job = %lld AND seq = %lld",
			         (long long)job, (long long)seq);
			enum outcome outcome = change(&t, w, sql, false);
			assert_true(outcome == FOUND || (outcome == HEAD && is_open_end(w, job, seq)));
		}
	assert_int_equal(change(&t, w, "DELETE FROM source", false), FOUND);
	assert_int_equal(change(&t, w, "DELETE FROM evidence", false), FOUND);
	print_tally(&t);
}

static void neighbours_swapped(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "each two neighbouring rows swapped"};
	char sql[512];

	for (int64_t job = 0; job <= JOBS; job++)
		for (int64_t seq = 1; seq < w->entries[job]; seq++) {
			snprintf(sql, sizeof sql,
			         "UPDATE entry SET seq = -seq WHERE job = %lld AND seq IN (%lld, %lld);"
			         "UPDATE entry SET seq = %lld + seq WHERE seq < 0",
			         (long long)job, (long long)seq, (long long)seq + 1, 2 * (long long)seq + 1);
			assert_int_equal(change(&t, w, sql, false), FOUND);
		}
	print_tally(&t);
}

static void copies_put_in(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "a copy of each row put in behind it"};
	char sql[512];

	for (int64_t job = 0; job <= JOBS; job++)
		for (int64_t seq = 1; seq <= w->entries[job]; seq++) {
			snprintf(sql, sizeof sql,
			         "UPDATE entry SET seq = -seq WHERE job = %lld AND seq > %lld;"
			         "UPDATE entry SET seq = 1 - seq WHERE seq < 0;"
			         "INSERT INTO entry SELECT job, seq + 1, kind, step, at, who, ask, typed, "
			         "value, prev, hash"
			         " FROM entry WHERE job = %lld AND seq = %lld",
			         (long long)job, (long long)seq, (long long)job, (long long)seq);
			assert_int_equal(change(&t, w, sql, false), FOUND);
		}
	print_tally(&t);
}

static void jobs_exchange_rows(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "rows of two jobs exchanged"};
	char sql[512];

	for (int64_t seq = 1; seq <= w->entries[2]; seq++) {
		snprintf(sql, sizeof sql,
		         "UPDATE entry SET job = 99 - job WHERE job > 0 AND seq = %lld;"
		         "UPDATE entry SET job = job - 96 WHERE job > 90",
		         (long long)seq);
		assert_int_equal(change(&t, w, sql, false), FOUND);
	}
	assert_int_equal(
	    change(&t, w,
	           "UPDATE entry SET job = 99 WHERE job = 1; UPDATE entry SET job = 1 WHERE job = 2;"
	           "UPDATE entry SET job = 2 WHERE job = 99",
	           false),
	    FOUND);
	print_tally(&t);
}

/* What links to what was cut shows it, and where nothing does, only the head noted elsewhere. */
static void tails_cut(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "tails cut off"};
	char sql[128];

	for (int64_t job = 0; job <= JOBS; job++)
		for (int64_t keep = 0; keep < w->entries[job]; keep++) {
			snprintf(sql, sizeof sql, "DELETE FROM entry WHERE job = %lld AND seq > %lld",
			         (long long)job, (long long)keep);
			enum outcome outcome = change(&t, w, sql, false);
			assert_int_equal(outcome, job == JOBS ? HEAD : FOUND);
		}
	print_tally(&t);
}

/* ---- the file as it was earlier ---- */

static void earlier_files_put_back(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "the file put back as it was after each step of the work"};

	for (size_t i = 0; i + 1 < w->olds; i++) {
		FILE *file = fopen(w->bad, "wb");
		assert_non_null(file);
		assert_int_equal(fwrite(w->old[i], 1, w->old_size[i], file), w->old_size[i]);
		assert_int_equal(fclose(file), 0);
		/* It is a good trail, of then: no check of the file alone can tell. */
		assert_int_equal(tally(&t, w), HEAD);
	}
	print_tally(&t);
}

/* ---- all worked out anew, without the keys ---- */

static void rewritten_without_keys(void **state)
{
	static const char *const changes[] = {
	    /* what was said, read, decided */
	    "UPDATE entry SET typed = 'nothing', value = json_set(value, '$.text', 'nothing') WHERE "
	    "job = 1 AND typed = 'a score'",
	    "UPDATE entry SET typed = 'nothing', value = json_set(value, '$.text', 'nothing') WHERE "
	    "job = 1 AND kind = 'amend'",
	    "UPDATE entry SET who = 'C. Third' WHERE job = 1 AND seq = 2",
	    "UPDATE entry SET value = json_set(value, '$.unit', 'another box') WHERE job = 1 AND seq = "
	    "1",
	    /* the clock: a day, a second, of all entries or one */
	    "UPDATE entry SET at = replace(at, '2026-03-05', '2026-03-04') WHERE job = 1",
	    "UPDATE entry SET at = replace(at, '2026-03-05', '2026-03-04')",
	    "UPDATE entry SET at = replace(at, '.000Z', '.001Z') WHERE job = 1 AND kind = 'sign'",
	    "UPDATE entry SET at = (SELECT at FROM entry AS o WHERE o.job = 1 AND o.seq = 1) WHERE job "
	    "= 1",
	    /* the photo */
	    "UPDATE entry SET typed = 'another score' WHERE job = 1 AND kind = 'evidence'",
	    /* people: their keys exchanged, one's key for both, names exchanged, roles added */
	    ("UPDATE entry SET value = json_set(value, '$.key', (SELECT json_extract(o.value, '$.key') "
	     "FROM entry AS o"
	     " WHERE o.job = 0 AND o.kind = 'person' AND o.seq <> entry.seq)) WHERE job = 0 AND kind = "
	     "'person'"),
	    ("UPDATE entry SET value = json_set(value, '$.key', (SELECT json_extract(o.value, '$.key') "
	     "FROM entry AS o"
	     " WHERE o.job = 0 AND o.kind = 'person' ORDER BY o.seq LIMIT 1)) WHERE job = 0 AND kind = "
	     "'person'"),
	    ("UPDATE entry SET value = json_set(value, '$.name', (SELECT json_extract(o.value, "
	     "'$.name') FROM entry AS o"
	     " WHERE o.job = 0 AND o.kind = 'person' AND o.seq <> entry.seq)) WHERE job = 0 AND kind = "
	     "'person'"),
	    ("UPDATE entry SET value = json_set(value, '$.roles', "
	     "json('[\"technician\",\"inspector\",\"concession\"]'))"
	     " WHERE job = 0 AND kind = 'person'"),
	    /* signatures: names exchanged, one for another, taken out, a concession's reason, a hold
	       given up */
	    "UPDATE entry SET typed = 'A. Sample', value = json_set(value, '$.name', 'A. Sample') "
	    "WHERE job = 1 AND step = 'release'",
	    ("UPDATE entry SET value = json_set(value, '$.signature', (SELECT json_extract(o.value, "
	     "'$.signature') FROM entry"
	     " AS o WHERE o.job = 1 AND o.step = 'hold-1' AND o.kind = 'sign')) WHERE job = 1 AND step "
	     "= 'hold-2'"),
	    "UPDATE entry SET value = json_remove(value, '$.key', '$.signature', '$.shop') WHERE job = "
	    "1 AND kind = 'sign'",
	    "UPDATE entry SET value = json_set(value, '$.reason', 'as good as new') WHERE job = 1 AND "
	    "kind = 'sign'",
	    "UPDATE entry SET value = json_set(value, '$.independent', json('false')) WHERE job = 1 "
	    "AND kind = 'sign'",
	    /* the shop: its identity, its log cut */
	    "UPDATE entry SET value = json_set(value, '$.id', '00000000000000000000000000000000') "
	    "WHERE job = 0 AND seq = 1",
	    ("UPDATE entry SET value = replace(value, (SELECT json_extract(value, '$.id') FROM entry "
	     "WHERE job = 0 AND seq = 1),"
	     " '00000000000000000000000000000000')"),
	    "DELETE FROM entry WHERE job = 0 AND seq > 1",
	    "UPDATE entry SET at = '2020-01-01T00:00:00.000Z' WHERE job = 0 AND kind = 'person'",
	};
	const struct world *w = *state;
	struct tally t = {.what = "rewritten whole, with all that needs no key"};

	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++)
		if (change(&t, w, changes[i], true) != FOUND)
			fail_msg("goes unseen: %s", changes[i]);
	print_tally(&t);
}

/* Each row of the signed job in turn, its time or what was typed, with a chain that fits. */
static void each_row_rewritten(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = "each row of the signed job changed, and the chain rewritten"};
	char sql[256];

	const int64_t release = w->entries[1], sign = release - 1;
	for (int64_t seq = 1; seq <= release; seq++)
		for (int column = 0; column < 2; column++) {
			snprintf(sql, sizeof sql, "UPDATE entry SET %s WHERE job = 1 AND seq = %lld",
			         column ? "who = 'C. Third'" : "at = replace(at, '.000Z', '.001Z')",
			         (long long)seq);
			enum outcome outcome = change(&t, w, sql, true);
			/* The last signature covers what stands before it, its own time and its signer. Who was
			 * at the bench then, and the release, no later one covers. */
			const bool covered = seq < sign || (seq == sign && !column);
			if (outcome != (covered ? FOUND : HEAD))
				fail_msg("goes unseen: %s", sql);
		}
	print_tally(&t);
}

/* ---- all made anew, with keys of one's own ---- */

static struct fw_secret *forged_key(const char *name)
{
	char other[256];

	snprintf(other, sizeof other, "who claims to be %s", name);
	return shop_secret(other);
}

static int unlock_forged(void *context, const struct fw_person *person,
                         const struct fw_question *question, struct fw_secret **out,
                         struct fw_error *err)
{
	(void)context;
	(void)question;
	(void)err;
	*out = forged_key(person->name);
	return FW_OK;
}

static void add_forged(struct shop *shop, const char *name, const char *role, const char *more)
{
	const char *const roles[] = {role, more};
	const struct fw_person_new person = {
	    .name = name, .role = roles, .roles = more ? 2 : 1, .by = "B. Hand"};
	struct fw_secret *secret = forged_key(name);
	struct fw_error error = {0};

	assert_ok(fw_people_add(shop->bench.trail, &person, secret, &error));
	fw_secret_free(secret);
}

/* A false record of which everything fits: only who knows the people's keys, or a head, can tell.
 */
static void forged_with_other_keys(void **state)
{
	static const char *const typed[] = {"nothing",    OTHER,        "nothing", OTHER,
	                                    "concession", "it will do", OTHER,     WORKER};
	struct world *w = *state;
	const struct fw_unlock way = {w, unlock_forged};
	struct tally t = {.what = "forged whole with keys of one's own"};
	void *other;

	shop_open(&other);
	struct shop *shop = other;
	add_forged(shop, WORKER, "technician", NULL);
	add_forged(shop, OTHER, "inspector", "concession");
	shop_begin(shop, WORKER);
	fw_job_set_unlock(shop->job, &way);
	for (size_t i = 0; i < sizeof typed / sizeof *typed; i++)
		shop_give(shop, typed[i]);
	fw_job_close(shop->job);
	shop->job = NULL;
	bench_copy(shop->bench.file, w->bad);
	assert_int_equal(look_at(w, false), HEAD); /* without cards it looks sound */
	assert_int_equal(tally(&t, w), FOUND);
	shop_close(&other);
	print_tally(&t);
}

/* ---- bytes ---- */

static void bytes_flipped(void **state)
{
	const struct world *w = *state;
	struct tally t = {.what = every_byte ? "each byte of the file with a bit flipped"
	                                     : "bytes here and there with a bit flipped"};
	size_t size;
	char *bytes = bench_read(w->good, &size);

	bench_copy(w->good, w->bad);
	FILE *f = fopen(w->bad, "r+b");
	assert_non_null(f);
	setbuf(f, NULL);
	for (size_t i = 0, n = 0; i < size; i += every_byte ? 1 : 89 + n % 17, n++) {
		const char changed = (char)(bytes[i] ^ (1 << (n * 5 % 8)));
		assert_int_equal(fseek(f, (long)i, SEEK_SET), 0);
		assert_int_equal(fwrite(&changed, 1, 1, f), 1);
		enum outcome outcome = tally(&t, w);
		if (outcome == UNNOTICED || outcome == HEAD)
			print_message("  byte %zu: not found (%d)\n", i, (int)outcome);
		assert_int_equal(fseek(f, (long)i, SEEK_SET), 0);
		assert_int_equal(fwrite(&bytes[i], 1, 1, f), 1);
	}
	fclose(f);
	free(bytes);
	print_tally(&t);
	assert_int_equal(t.count[UNNOTICED] + t.count[HEAD], 0);
	/* Free room in pages is as much as half of a file as small as this. */
	assert_true(2 * (t.count[REFUSED] + t.count[FOUND]) > t.count[HARMLESS]);
}

int main(int argc, char **argv)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(rows_deleted),
	    cmocka_unit_test(neighbours_swapped),
	    cmocka_unit_test(copies_put_in),
	    cmocka_unit_test(jobs_exchange_rows),
	    cmocka_unit_test(tails_cut),
	    cmocka_unit_test(earlier_files_put_back),
	    cmocka_unit_test(rewritten_without_keys),
	    cmocka_unit_test(each_row_rewritten),
	    cmocka_unit_test(forged_with_other_keys),
	    cmocka_unit_test(bytes_flipped),
	};

	every_byte = argc > 1 && strcmp(argv[1], "all") == 0;
	return cmocka_run_group_tests(tests, open_world, close_world);
}
