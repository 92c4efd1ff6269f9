/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_tamper.c  A trail is changed in every way in turn: noticed, or provably without
 * effect. */
#include "no_sync.h"
#include "tamper_make.h"

/* Calls `each` for every entry of the good trail. */
static void every_entry(struct shop *shop, struct tally *t,
                        void (*each)(struct shop *shop, struct tally *t, int64_t job, int64_t seq))
{
	static const int64_t entries[JOBS + 1] = {2, 17, 17, 1};

	for (int64_t job = FW_SHOP; job <= JOBS; job++) {
		for (int64_t seq = 1; seq <= entries[job]; seq++)
			each(shop, t, job, seq);
	}
	print_tally(t);
}

static void assert_all_noticed(const struct tally *t, unsigned at_least)
{
	assert_int_equal(t->count[UNNOTICED], 0);
	assert_int_equal(t->count[HARMLESS], 0);
	assert_true(t->count[REFUSED] + t->count[FLAWED] >= at_least);
}

/* The last entry of a job that no later job links to: only the head noted elsewhere shows a change.
 */
static bool is_open_end(int64_t job, int64_t seq)
{
	return (job == 1 && seq == 17) || (job == 3 && seq == 1);
}

static void assert_head_differs(const struct shop *shop, int64_t job)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	uint8_t head[FW_HASH] = {0};

	assert_ok(fw_trail_open(&trail, shop->bad, FW_TRAIL_READ, &error));
	int code = fw_trail_head(trail, job, NULL, head, &error);
	assert_true(code == FW_ERR_NOT_FOUND || memcmp(head, shop->heads[job], FW_HASH) != 0);
	fw_trail_close(trail);
}

/* ---- columns ---- */

static void change_columns(struct shop *shop, struct tally *t, int64_t job, int64_t seq)
{
	static const char *const changes[] = {
	    "job = job + 1000",
	    "job = 4",
	    "seq = seq + 1000",
	    "kind = kind || 'x'",
	    "kind = 'remark'",
	    "step = CASE WHEN step IS NULL THEN '' END",
	    "step = 'other'",
	    "at = '2026-03-05T14:03:11.251Z'",
	    "at = '2026-03-05T14:03:11.249Z'",
	    "who = 'B. Fitter'",
	    "who = who || char(0)",
	    "ask = CASE WHEN ask IS NULL THEN '' END",
	    "ask = ifnull(ask, '{}') || ' '",
	    "typed = CASE WHEN typed IS NULL THEN '' END",
	    "typed = ifnull(typed, '') || ' '",
	    "value = CASE WHEN value IS NULL THEN '' END",
	    "value = ' ' || ifnull(value, '{}')",
	    "value = replace(ifnull(value, 'x'), substr(ifnull(value, 'x'), -2), 'y')",
	    "prev = zeroblob(32)" /* of the very first entry this is so already, see below */,
	    "prev = CAST(substr(prev, 1, 31) || CASE hex(substr(prev, 32)) WHEN 'EE' THEN x'11' ELSE "
	    "x'ee' END"
	    " AS BLOB)",
	    "hash = randomblob(32)",
	    "hash = x''",
	    /* the bounds between columns are part of what is hashed */
	    "who = substr(who, 1, length(who) - 1), ask = substr(who, -1) || ifnull(ask, '')",
	};
	char sql[256];

	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
		if (job == FW_SHOP && seq == 1 && strcmp(changes[i], "prev = zeroblob(32)") == 0)
			continue;
		snprintf(sql, sizeof sql, "UPDATE entry SET %s WHERE job = %lld AND seq = %lld", changes[i],
		         (long long)job, (long long)seq);
		enum outcome outcome = tamper(t, shop, sql);
		if (outcome != FLAWED && outcome != REFUSED)
			fail_msg("%s: not noticed (%d)", sql, (int)outcome);
	}
}

static void changed_columns_are_noticed(void **state)
{
	struct tally t = {.what = "columns changed"};

	every_entry(*state, &t, change_columns);
	assert_all_noticed(&t, 37 * 23 - 1);
}

/* Changes what was typed and gives the entry a hash that fits, by the rule of docs/trail.md. */
static void rehash(const struct shop *shop, int64_t job, int64_t seq)
{
	static const char read[] = "SELECT kind, step, at, who, ask, value, prev FROM entry"
	                           " WHERE job = ? AND seq = ?";
	static const char write[] =
	    "UPDATE entry SET typed = 'forged', hash = ? WHERE job = ? AND seq = ?";
	sqlite3 *db = take_guards(shop);
	sqlite3_stmt *s;
	unsigned char bytes[16384];

	assert_int_equal(sqlite3_prepare_v2(db, read, -1, &s, NULL), SQLITE_OK);
	sqlite3_bind_int64(s, 1, job);
	sqlite3_bind_int64(s, 2, seq);
	assert_int_equal(sqlite3_step(s), SQLITE_ROW);
	struct fw_entry e = {.job = job, .seq = seq, .typed = "forged"};
	e.kind = (const char *)sqlite3_column_text(s, 0);
	e.step = (const char *)sqlite3_column_text(s, 1);
	e.at = (const char *)sqlite3_column_text(s, 2);
	e.who = (const char *)sqlite3_column_text(s, 3);
	e.ask = (const char *)sqlite3_column_text(s, 4);
	e.value = (const char *)sqlite3_column_text(s, 5);
	memcpy(e.prev, sqlite3_column_blob(s, 6), FW_HASH);
	fw_trail_hash(e.hash, bytes, make_bytes(bytes, &e));
	sqlite3_finalize(s);
	assert_int_equal(sqlite3_prepare_v2(db, write, -1, &s, NULL), SQLITE_OK);
	sqlite3_bind_blob(s, 1, e.hash, FW_HASH, SQLITE_STATIC);
	sqlite3_bind_int64(s, 2, job);
	sqlite3_bind_int64(s, 3, seq);
	assert_int_equal(sqlite3_step(s), SQLITE_DONE);
	sqlite3_finalize(s);
	put_guards(shop, db);
}

static void forge_entry(struct shop *shop, struct tally *t, int64_t job, int64_t seq)
{
	rehash(shop, job, seq);
	enum outcome outcome = tally(t, shop);
	assert_int_equal(outcome, is_open_end(job, seq) ? UNNOTICED : FLAWED);
	if (outcome == UNNOTICED)
		assert_head_differs(shop, job);
}

static void forged_entries_are_noticed_by_what_follows(void **state)
{
	struct tally t = {.what = "entries forged with a fitting hash"};

	every_entry(*state, &t, forge_entry);
	assert_int_equal(t.count[FLAWED], 35);
	assert_int_equal(t.count[UNNOTICED], 2); /* the two open ends: the noted head shows them */
}

/* ---- rows ---- */

static void delete_entry(struct shop *shop, struct tally *t, int64_t job, int64_t seq)
{
	char sql[128];

	snprintf(sql, sizeof sql, "DELETE FROM entry WHERE job = %lld AND seq = %lld", (long long)job,
	         (long long)seq);
	enum outcome outcome = tamper(t, shop, sql);
	/* The facts of an open end can't be walked through when its job is gone: look_at() calls that
	 * noticed, but a reader who doesn't know that there was such a job wouldn't. */
	if (is_open_end(job, seq))
		assert_head_differs(shop, job);
	else
		assert_int_equal(outcome, FLAWED);
}

static void deleted_entries_are_noticed(void **state)
{
	struct tally t = {.what = "entries deleted"};

	every_entry(*state, &t, delete_entry);
	assert_true(t.count[FLAWED] >= 35);
}

static void swap_with_next(struct shop *shop, struct tally *t, int64_t job, int64_t seq)
{
	static const char *const columns[] = {"seq", "typed", "value", "hash", "at"};
	char sql[512];

	if ((job == FW_SHOP && seq == 2) || seq == 17 || job == 3)
		return;
	snprintf(sql, sizeof sql,
	         "UPDATE entry SET seq = 9999 WHERE job = %lld AND seq = %lld;"
	         "UPDATE entry SET seq = %lld WHERE job = %lld AND seq = %lld;"
	         "UPDATE entry SET seq = %lld WHERE job = %lld AND seq = 9999",
	         (long long)job, (long long)seq, (long long)seq, (long long)job, (long long)seq + 1,
	         (long long)seq + 1, (long long)job);
	assert_int_equal(tamper(t, shop, sql), FLAWED);
	for (size_t i = 1; i < sizeof columns / sizeof *columns; i++) {
		/* the same in one column only; where both hold the same nothing is changed */
		snprintf(sql, sizeof sql,
		         "UPDATE entry AS e SET %s = (SELECT o.%s FROM entry AS o WHERE o.job = e.job AND "
		         "o.seq = %lld - e.seq) WHERE job = %lld AND seq IN (%lld, %lld)",
		         columns[i], columns[i], 2 * (long long)seq + 1, (long long)job, (long long)seq,
		         (long long)seq + 1);
		assert_int_not_equal(tamper(t, shop, sql), UNNOTICED);
	}
}

static void swapped_entries_are_noticed(void **state)
{
	struct tally t = {.what = "neighbours swapped, whole or by a column"};

	every_entry(*state, &t, swap_with_next);
	assert_int_equal(t.count[UNNOTICED], 0);
	assert_true(t.count[FLAWED] >= 33 * 2); /* whole rows, and at least the hashes */
}

static void insert_after(struct shop *shop, struct tally *t, int64_t job, int64_t seq)
{
	char sql[512];

	/* A copy of the entry is put in behind it, the later ones moved up. */
	snprintf(sql, sizeof sql,
	         "UPDATE entry SET seq = seq + 1000 WHERE job = %lld AND seq > %lld;"
	         "UPDATE entry SET seq = seq - 999 WHERE job = %lld AND seq > 1000;"
	         "INSERT INTO entry SELECT job, seq + 1, kind, step, at, who, ask, typed, value, hash,"
	         " randomblob(32) FROM entry WHERE job = %lld AND seq = %lld",
	         (long long)job, (long long)seq, (long long)job, (long long)job, (long long)seq);
	assert_int_equal(tamper(t, shop, sql), FLAWED);
}

static void inserted_entries_are_noticed(void **state)
{
	struct tally t = {.what = "entries put in"};

	every_entry(*state, &t, insert_after);
	assert_all_noticed(&t, 37);
}

static void other_changes_are_noticed(void **state)
{
	static const char *const changes[] = {
	    "DELETE FROM entry WHERE job = 2",
	    "DELETE FROM entry WHERE job = 1",
	    "UPDATE entry SET job = job + 10",
	    "UPDATE entry SET job = 2, seq = 18 WHERE job = 3",
	    "UPDATE entry SET job = 9 WHERE job = 3",
	    ("UPDATE entry SET job = 99 WHERE job = 1; UPDATE entry SET job = 1 WHERE job = 2;"
	     "UPDATE entry SET job = 2 WHERE job = 99"),
	    "DELETE FROM source",
	    "DELETE FROM source WHERE length(bytes) = (SELECT max(length(bytes)) FROM source)",
	    "UPDATE source SET bytes = CAST(bytes || x'0a' AS BLOB)",
	    "UPDATE source SET bytes = x''",
	    "UPDATE source SET hash = randomblob(32)",
	    "INSERT INTO source VALUES (randomblob(32), x'6161')",
	    "DELETE FROM evidence",
	    "UPDATE evidence SET bytes = CAST(bytes || x'0a' AS BLOB)",
	    "UPDATE evidence SET hash = randomblob(32)",
	    "INSERT INTO evidence VALUES (randomblob(32), x'6161')",
	    "DELETE FROM entry WHERE kind = 'evidence'; DELETE FROM evidence",
	    "DELETE FROM entry WHERE job = 0",
	    "UPDATE entry SET job = 0, seq = 3 WHERE job = 3",
	    /* numbers that have none before or behind them */
	    "UPDATE entry SET job = 9223372036854775807 WHERE job = 3",
	    "UPDATE entry SET job = -9223372036854775807 - 1 WHERE job = 3",
	    "UPDATE entry SET seq = 9223372036854775807 WHERE job = 1 AND seq = 17",
	    "UPDATE entry SET seq = -9223372036854775807 - 1 WHERE job = 1 AND seq = 17",
	};
	struct shop *shop = *state;
	struct tally t = {.what = "jobs and sources changed"};

	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++)
		assert_int_equal(tamper(&t, shop, changes[i]), FLAWED);
	print_tally(&t);
}

static void a_source_put_in_is_noticed(void **state)
{
	struct shop *shop = *state;
	struct tally t = {.what = "a source of no job"};
	sqlite3 *db = take_guards(shop);
	sqlite3_stmt *s;
	uint8_t hash[FW_HASH];

	fw_trail_hash(hash, "stray", 5);
	assert_int_equal(
	    sqlite3_prepare_v2(db, "INSERT INTO source VALUES (?, x'7374726179')", -1, &s, NULL),
	    SQLITE_OK);
	sqlite3_bind_blob(s, 1, hash, FW_HASH, SQLITE_STATIC);
	assert_int_equal(sqlite3_step(s), SQLITE_DONE);
	sqlite3_finalize(s);
	put_guards(shop, db);
	assert_int_equal(tally(&t, shop), FLAWED);
}

static void missing_guards_are_noticed(void **state)
{
	struct shop *shop = *state;
	struct tally t = {.what = "guards taken away"};
	sqlite3 *db = take_guards(shop);

	assert_int_equal(sqlite3_exec(db, "COMMIT", NULL, NULL, NULL), SQLITE_OK);
	sqlite3_close(db);
	assert_int_equal(tally(&t, shop), REFUSED);
	/* and nothing is noticed where nothing was done */
	put_guards(shop, take_guards(shop));
	assert_int_equal(look_at(shop), HARMLESS);
}

/* ---- what verify says, and where ---- */

struct said {
	int64_t job, seq;
	char text[1024];
	size_t count;
};

static void hear(void *context, const struct fw_flaw *flaw)
{
	struct said *said = context;

	if (said->count++ == 0) {
		said->job = flaw->job;
		said->seq = flaw->seq;
		snprintf(said->text, sizeof said->text, "%s: %s", flaw->what, flaw->means);
	}
	for (const char *c = flaw->what; *c != '\0'; c++)
		assert_true((unsigned char)*c >= ' ');
	assert_null(strchr(flaw->means, '\n'));
}

static void assert_said(const struct shop *shop, int64_t only, int64_t job, int64_t seq,
                        const char *part)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	struct said said = {0};
	size_t flaws = 0;

	assert_ok(fw_trail_open(&trail, shop->bad, FW_TRAIL_READ, &error));
	assert_ok(fw_trail_verify(trail, only, hear, &said, &flaws, &error));
	fw_trail_close(trail);
	assert_int_equal(flaws, said.count);
	if (part) {
		assert_int_equal(said.job, job);
		assert_int_equal(said.seq, seq);
		assert_contains(said.text, part);
	} else {
		assert_int_equal(flaws, 0);
	}
}

static void flaws_name_the_entry(void **state)
{
	struct shop *shop = *state;
	struct tally t = {.what = ""};

	tamper(&t, shop, "UPDATE entry SET typed = '0.30' WHERE job = 2 AND seq = 5");
	assert_said(shop, FW_VERIFY_ALL, 2, 5, "changed after it was recorded");
	assert_said(shop, 2, 2, 5, "changed after it was recorded");
	assert_said(shop, 1, 0, 0, NULL);
	tamper(&t, shop, "DELETE FROM entry WHERE job = 1 AND seq = 7");
	assert_said(shop, FW_VERIFY_ALL, 1, 8, "follows on entry 6");
	assert_said(shop, 1, 1, 8, "entries were removed");
	assert_said(shop, 2, 0, 0, NULL);
	tamper(&t, shop, "DELETE FROM entry WHERE job = 2");
	assert_said(shop, FW_VERIFY_ALL, 0, 0, "from 1 to 3");
	assert_said(shop, 3, 3, 1, "does not link to any entry of job 2");
	tamper(&t, shop, "UPDATE entry SET kind = char(27, 10) || '[2J' WHERE job = 1 AND seq = 1");
	assert_said(shop, FW_VERIFY_ALL, 1, 1, "does not have the hash it bears");
	tamper(&t, shop, "DELETE FROM source");
	assert_said(shop, 1, 1, 1, "is not there");
	tamper(&t, shop, "DELETE FROM entry WHERE job = 1 AND seq >= 16");
	assert_said(shop, FW_VERIFY_ALL, 2, 1, "does not link to any entry of job 1");
}

static void a_clock_set_back_is_noticed(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	struct fw_entry early = make_entry("answer", make_reading_ask, "0.41", make_reading_value);

	copy_good(shop);
	assert_ok(fw_trail_open(&trail, shop->bad, FW_TRAIL_WRITE, &error));
	early.at = "2026-03-05T14:03:11.249Z";
	make_append(trail, 2, &early);
	fw_trail_close(trail);
	assert_said(shop, FW_VERIFY_ALL, 2, 18, "dated back");
}

static void a_signature_over_something_else_is_noticed(void **state)
{
	struct shop *shop = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	struct fw_entry e = make_entry("sign", NULL, "A. Fitter", "{\"count\":15}");

	copy_good(shop);
	assert_ok(fw_trail_open(&trail, shop->bad, FW_TRAIL_WRITE, &error));
	make_append(trail, 2, &e);
	fw_trail_close(trail);
	assert_said(shop, FW_VERIFY_ALL, 2, 18, "signed");
	copy_good(shop);
	assert_ok(fw_trail_open(&trail, shop->bad, FW_TRAIL_WRITE, &error));
	e.value = "{\"count\":17,\"head\":\"00\"}";
	make_append(trail, 2, &e);
	fw_trail_close(trail);
	assert_said(shop, 2, 2, 18, "signed");
}

/* ---- bytes ---- */

/* No fact has that many zero bytes in a row: they are free room of a page, alike from end to end.
 */
enum { ZEROS = 80, SAMPLE = 16 };
/* So many refusals in a row are the text of the schema; of what follows like it one byte in STRIDE
 * is tried. */
enum { ALIKE = 60, STRIDE = 7 };

static size_t step_from(const unsigned char *bytes, size_t size, size_t i)
{
	static const unsigned char zeros[ZEROS];

	if (i + ZEROS <= size && memcmp(bytes + i, zeros, ZEROS) == 0)
		return SAMPLE;
	return getenv("TAMPER_EVERY_BYTE") ? 1 : 3; /* each of them takes half a minute */
}

static void put_byte(FILE *f, size_t at, unsigned char byte)
{
	assert_int_equal(fseek(f, (long)at, SEEK_SET), 0);
	assert_int_equal(fwrite(&byte, 1, 1, f), 1);
}

static void flipped_bytes_are_noticed_or_harmless(void **state)
{
	struct shop *shop = *state;
	struct tally t = {.what = "bytes with one bit flipped"};
	size_t size, tried = 0, refused = 0;
	unsigned char *bytes = read_file(shop->good, &size);

	write_file(shop->bad, bytes, size);
	FILE *f = fopen(shop->bad, "r+b");
	assert_non_null(f);
	setbuf(f, NULL);
	for (size_t i = 0; i < size;
	     i += refused < ALIKE ? step_from(bytes, size, i) : STRIDE, tried++) {
		/* another bit for each byte, and the lowest of a number as often as the highest */
		put_byte(f, i, (unsigned char)(bytes[i] ^ (1u << (tried * 5 % 8))));
		enum outcome outcome = tally(&t, shop);
		if (outcome == UNNOTICED)
			print_message("  byte %zu: a changed fact went unnoticed\n", i);
		refused = outcome == REFUSED ? refused + 1 : 0;
		put_byte(f, i, bytes[i]);
	}
	fclose(f);
	free(bytes);
	print_tally(&t);
	assert_int_equal(t.count[UNNOTICED], 0);
	assert_true(tried > size / 20);
	assert_true(t.count[REFUSED] + t.count[FLAWED] > tried * 3 / 5);
}

static void every_cut_is_noticed(void **state)
{
	struct shop *shop = *state;
	struct tally t = {.what = "cuts"};
	size_t size;
	unsigned char *bytes = read_file(shop->good, &size);

	for (size_t length = 0; length<size; length += length % 4096> 4000 ? 1 : 61) {
		write_file(shop->bad, bytes, length);
		tally(&t, shop);
	}
	free(bytes);
	print_tally(&t);
	assert_all_noticed(&t, 100);
}

#define TEST(name)  cmocka_unit_test(name)
#define SMALL(name) cmocka_unit_test_setup_teardown(name, set_up_small, tear_down)

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(changed_columns_are_noticed),
	    TEST(forged_entries_are_noticed_by_what_follows),
	    TEST(deleted_entries_are_noticed),
	    TEST(swapped_entries_are_noticed),
	    TEST(inserted_entries_are_noticed),
	    TEST(other_changes_are_noticed),
	    TEST(a_source_put_in_is_noticed),
	    TEST(missing_guards_are_noticed),
	    TEST(flaws_name_the_entry),
	    TEST(a_clock_set_back_is_noticed),
	    TEST(a_signature_over_something_else_is_noticed),
	    SMALL(flipped_bytes_are_noticed_or_harmless),
	    TEST(every_cut_is_noticed),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
