/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail_verify.c  What each scope of the check sees: the file, the log of the shop, one
 * job, an excerpt; what entries say of each other; what the check of one job costs. */
#include "no_sync.h"
#include "trail_place.h"

#include "trail/trail_internal.h"

struct heard {
	size_t count;
	int64_t job, seq;
	char text[1024];
};

static void hear(void *context, const struct fw_flaw *flaw)
{
	struct heard *heard = context;

	if (heard->count++ > 0)
		return;
	heard->job = flaw->job;
	heard->seq = flaw->seq;
	snprintf(heard->text, sizeof heard->text, "%s: %s", flaw->what, flaw->means);
}

/* One flaw, of this entry, that says this; or none where `says` is NULL. */
static void assert_flaw(struct fw_trail *trail, int64_t scope, int64_t job, int64_t seq,
                        const char *says)
{
	struct fw_error error = {0};
	struct heard heard = {0};
	size_t flaws = 99;

	assert_ok(fw_trail_verify(trail, scope, hear, &heard, &flaws, &error));
	assert_int_equal(flaws, heard.count);
	if (!says) {
		if (flaws)
			fail_msg("scope %lld: %lld:%lld %s", (long long)scope, (long long)heard.job,
			         (long long)heard.seq, heard.text);
		return;
	}
	assert_int_equal(flaws, 1);
	assert_int_equal(heard.job, job);
	assert_int_equal(heard.seq, seq);
	assert_contains(heard.text, says);
}

/* In whichever of all scopes the flaw can be seen, and in none other. */
static void assert_flaw_of_job(struct fw_trail *trail, int64_t job, int64_t seq, const char *says)
{
	assert_flaw(trail, FW_VERIFY_ALL, job, seq, says);
	assert_flaw(trail, job, job, seq, says);
	assert_flaw(trail, FW_VERIFY_FILE, 0, 0, NULL);
}

/* Runs SQL past the triggers, which are put back to the letter. */
static void edit(const char *file, const char *sql)
{
	char guards[4096], drops[1024];

	make_ask(file, "SELECT group_concat(sql, ';') FROM sqlite_schema WHERE type = 'trigger'",
	         guards, sizeof guards);
	make_ask(file,
	         "SELECT group_concat('DROP TRIGGER ' || name, ';') FROM sqlite_schema WHERE type = "
	         "'trigger'",
	         drops, sizeof drops);
	assert_int_equal(make_sql(file, drops), SQLITE_OK);
	assert_int_equal(make_sql(file, sql), SQLITE_OK);
	assert_int_equal(make_sql(file, guards), SQLITE_OK);
}

static struct fw_trail *reopen(const struct place *place, struct fw_trail *trail)
{
	fw_trail_close(trail);
	return open_trail(place, FW_TRAIL_READ);
}

/* ---- the log of the shop ---- */

static void the_log_is_a_chain_of_its_own(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry alone = make_entry("alone", NULL, NULL, "{\"alone\":true}");
	struct fw_entry again = make_entry("shop", NULL, NULL, "{\"id\":\"00\"}");
	int64_t seq;

	alone.at = "2036-01-01T00:00:00.000Z";
	assert_ok(fw_trail_head(trail, FW_SHOP, &seq, NULL, &error));
	assert_int_equal(seq, 1);
	assert_ok(fw_trail_append(trail, FW_SHOP, 1, &alone, 1, NULL, &error));
	assert_code(fw_trail_append(trail, FW_SHOP, 1, &alone, 1, NULL, &error), FW_ERR_BUSY);
	assert_code(fw_trail_append(trail, FW_SHOP, 2, &again, 1, NULL, &error), FW_ERR_ARGUMENT);
	assert_int_equal(make_job(trail, "gearbox 4-118"), 1); /* jobs count from 1 nevertheless */
	assert_flaw(trail, FW_VERIFY_ALL, 0, 0, NULL);
	assert_flaw(trail, FW_VERIFY_FILE, 0, 0, NULL);
	assert_flaw(trail, FW_SHOP, 0, 0, NULL);
	fw_trail_close(trail);
}

static void every_shop_has_an_identity_of_its_own(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char id[FW_SHOP_DIGITS + 1];

	snprintf(id, sizeof id, "%s", fw_trail_shop(trail));
	fw_trail_close(trail);
	make_gone(place->file);
	trail = open_trail(place, FW_TRAIL_CREATE);
	assert_int_equal(strlen(id), 32);
	assert_int_equal(strlen(fw_trail_shop(trail)), 32);
	assert_string_not_equal(fw_trail_shop(trail), id);
	fw_trail_close(trail);
}

static void a_log_that_is_gone_is_noticed(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	size_t flaws;

	make_job(trail, "gearbox 4-118");
	make_job(trail, "gearbox 4-119");
	fw_trail_close(trail);
	edit(place->file, "DELETE FROM entry WHERE job = 0");
	trail = open_trail(place, FW_TRAIL_READ);
	assert_string_equal(fw_trail_shop(trail), "");
	for (int64_t scope = FW_VERIFY_FILE; scope <= FW_VERIFY_ALL; scope++) {
		struct heard heard = {0};
		assert_ok(fw_trail_verify(trail, scope, hear, &heard, &flaws, &error));
		assert_int_equal(flaws, 2); /* and job 1 links to nothing */
		assert_contains(heard.text, "the shop's own log is missing");
	}
	assert_flaw(trail, 1, 1, 1, "does not link to any entry of job 0");
	assert_flaw(trail, 2, 0, 0, NULL);
	fw_trail_close(trail);
	assert_code(fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "which shop");
	edit(place->file, "DELETE FROM entry; DELETE FROM source");
	trail = open_trail(place, FW_TRAIL_READ);
	assert_flaw(trail, FW_VERIFY_FILE, 0, 0, "the shop's own log is missing");
	assert_flaw(trail, FW_VERIFY_ALL, 0, 0, "the shop's own log is missing");
	fw_trail_close(trail);
}

/* Only a trail that was brought up from format 1 may have a first job that links to nothing. */
static void the_first_job_links_to_the_log(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	make_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	edit(place->file, "UPDATE entry SET prev = zeroblob(32) WHERE job = 1 AND seq = 1");
	trail = open_trail(place, FW_TRAIL_READ);
	assert_flaw(trail, FW_VERIFY_FILE, 1, 1, "does not link to any entry of job 0");
	fw_trail_close(trail);
}

/* ---- what entries say of each other ---- */

/* {"shop": {"count": …, "head": …}} of the log's entry `count`, with `id` and another head if
 * wanted. */
static void say_shop(char out[512], struct fw_trail *trail, int64_t count, const char *id,
                     bool other)
{
	struct fw_error error = {0};
	uint8_t head[FW_HASH];
	char text[FW_HASH_TEXT];

	assert_ok(fw_trail_head(trail, FW_SHOP, NULL, head, &error));
	head[31] ^= other;
	snprintf(out, 512, "{\"shop\":{\"count\":%lld,\"head\":\"%s\"%s%s%s}}", (long long)count,
	         fw_hash_text(text, head), id ? ",\"id\":\"" : "", id ? id : "", id ? "\"" : "");
}

static void what_is_said_of_the_log_must_be_true(void **state)
{
	static const char *const kinds[] = {"sign", "reopen"};
	const struct place *place = *state;

	for (size_t i = 0; i < 2; i++) {
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
		char value[512];
		struct fw_entry e = make_entry(kinds[i], NULL, "A. Fitter", value);
		make_job(trail, "gearbox 4-118");
		say_shop(value, trail, 1, NULL, false);
		make_append(trail, 1, &e);
		say_shop(value, trail, 1, fw_trail_shop(trail), false);
		make_append(trail, 1, &e);
		assert_flaw_of_job(trail, 1, 0, NULL);
		say_shop(value, trail, 1, NULL, true);
		make_append(trail, 1, &e);
		assert_flaw_of_job(trail, 1, 4, "count and head of the shop's log");
		trail = reopen(place, trail);
		assert_flaw_of_job(trail, 1, 4, "count and head of the shop's log");
		fw_trail_close(trail);
		make_gone(place->file);
		trail = open_trail(place, FW_TRAIL_CREATE);
		make_job(trail, "gearbox 4-118");
		say_shop(value, trail, 2, NULL, false);
		make_append(trail, 1, &e);
		assert_flaw_of_job(trail, 1, 2, "count and head of the shop's log");
		fw_trail_close(trail);
		make_gone(place->file);
		trail = open_trail(place, FW_TRAIL_CREATE);
		make_job(trail, "gearbox 4-118");
		say_shop(value, trail, 1, "00112233445566778899aabbccddeeff", false);
		make_append(trail, 1, &e);
		assert_flaw_of_job(trail, 1, 2, "was made in the shop 0011");
		fw_trail_close(trail);
		make_gone(place->file);
	}
}

static void a_begin_names_the_log_too(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	char value[512];
	struct fw_entry begin = make_entry("begin", NULL, NULL, value);
	int64_t job;

	say_shop(value, trail, 1, fw_trail_shop(trail), false);
	assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &job, &error));
	assert_flaw_of_job(trail, 1, 0, NULL);
	say_shop(value, trail, 1, fw_trail_shop(trail), true);
	assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &job, &error));
	assert_flaw_of_job(trail, 2, 1, "count and head of the shop's log");
	assert_flaw(trail, 1, 0, 0, NULL);
	fw_trail_close(trail);
}

static void what_is_signed_is_what_stands_before(void **state)
{
	static const char *const kinds[] = {"sign", "release", "reopen"};
	const struct place *place = *state;

	for (size_t i = 0; i < 3; i++) {
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
		struct fw_entry e = make_entry(kinds[i], NULL, "A. Fitter", "{\"count\":3}");
		make_job(trail, "gearbox 4-118");
		make_signed(trail, 1, kinds[i]);
		assert_flaw_of_job(trail, 1, 0, NULL);
		make_append(trail, 1, &e);
		assert_flaw_of_job(trail, 1, 3, "signed");
		fw_trail_close(trail);
		make_gone(place->file);
	}
}

static void a_person_is_signed_into_the_log(void **state)
{
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("person", NULL, NULL, "{\"name\":\"R. Example\",\"count\":2}");

	e.at = "2036-01-01T00:00:00.000Z";
	make_append(trail, FW_SHOP, &e);
	assert_flaw_of_job(trail, FW_SHOP, 2, "signed");
	fw_trail_close(trail);
}

/* ---- times ---- */

static void a_job_is_not_dated_before_the_one_it_links_to(void **state)
{
	const struct place *place = *state;
	static const struct {
		const char *at;
		bool flawed; /* 2026-03-05T14:03:11.250Z less two minutes */
	} cases[] = {
	    {"2026-03-05T14:01:11.000Z", false}, {"2026-03-05T14:01:10.999Z", true},
	    {"2026-03-04T14:03:11.250Z", true},  {"2025-12-31T23:59:59.999Z", true},
	    {"2026-03-05T14:03:11.250Z", false}, {"2027-01-01T00:00:00.000Z", false},
	};

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct fw_error error = {0};
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
		struct fw_entry begin = make_entry("begin", NULL, NULL, "{}");
		int64_t job;
		begin.at = MAKE_TIME;
		assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &job, &error));
		begin.at = cases[i].at;
		assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &job, &error));
		const char *says = cases[i].flawed ? "dated back" : NULL;
		assert_flaw(trail, FW_VERIFY_ALL, 2, 1, says);
		assert_flaw(trail, FW_VERIFY_FILE, 2, 1, says);
		assert_flaw(trail, 2, 2, 1, says);
		assert_flaw(trail, 1, 0, 0, NULL);
		fw_trail_close(trail);
		make_gone(place->file);
	}
}

static void seconds_are_those_of_sqlite(void **state)
{
	static const char *const times[] = {
	    "1970-01-01T00:00:00.000Z", "1999-12-31T23:59:59.999Z", "2000-02-29T12:00:00.000Z",
	    "2000-03-01T00:00:00.000Z", "2026-11-25T16:00:00.000Z", "2100-02-28T23:59:59.000Z",
	    "2100-03-01T00:00:00.000Z", "2399-12-31T01:02:03.000Z",
	};
	char sql[160], wanted[32], got[32];
	const struct place *place = *state;

	assert_int_equal(make_sql(place->file, "CREATE TABLE t (a)"), SQLITE_OK);
	for (size_t i = 0; i < sizeof times / sizeof *times; i++) {
		/* SQLite's own calendar is the other route */
		snprintf(sql, sizeof sql, "SELECT strftime('%%s', substr('%s', 1, 19))", times[i]);
		make_ask(place->file, sql, wanted, sizeof wanted);
		snprintf(got, sizeof got, "%lld", (long long)fw_time_between(times[0], times[i]));
		assert_string_equal(got, wanted);
		assert_int_equal(fw_time_between(times[i], times[0]), -fw_time_between(times[0], times[i]));
	}
}

/* ---- the file alone ---- */

static void the_file_is_checked_without_the_chains(void **state)
{
	static const struct {
		const char *change;
		bool file;  /* whether the check of the file alone sees it */
		int64_t in; /* the job whose check sees it; 0: none */
	} cases[] = {
	    {"UPDATE entry SET typed = 'x' WHERE job = 2 AND seq = 5", false, 2},
	    {"UPDATE entry SET prev = randomblob(32) WHERE job = 2 AND seq = 1", true, 2},
	    {"DELETE FROM entry WHERE job = 2", true, 3},
	    {"DELETE FROM entry WHERE job = 2 AND seq = 1", true, 2},
	    {"DELETE FROM entry WHERE job = 2 AND seq = 5", false, 2},
	    {"DELETE FROM source WHERE length(bytes) = (SELECT min(length(bytes)) FROM source)", false,
	     2},
	    {"INSERT INTO source VALUES (randomblob(32), x'61')", true, 0},
	    {"UPDATE source SET bytes = CAST(bytes || ' ' AS BLOB)", true, 2},
	};
	const struct place *place = *state;

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct fw_error error = {0};
		size_t flaws = 0;
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
		make_whole_job(trail, "gearbox 4-118");
		make_whole_job(trail, "gearbox 4-119");
		make_whole_job(trail, "gearbox 4-120");
		fw_trail_close(trail);
		edit(place->file, cases[i].change);
		trail = open_trail(place, FW_TRAIL_READ);
		assert_ok(fw_trail_verify(trail, FW_VERIFY_FILE, NULL, NULL, &flaws, &error));
		if ((flaws > 0) != cases[i].file)
			fail_msg("%s: %zu flaws of the file", cases[i].change, flaws);
		for (int64_t job = 1; job <= 3; job++) {
			int code = fw_trail_verify(trail, job, NULL, NULL, &flaws, &error);
			if (code != FW_ERR_NOT_FOUND && job == cases[i].in && flaws == 0)
				fail_msg("%s: no flaws of job %lld", cases[i].change, (long long)job);
		}
		assert_ok(fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, &error));
		assert_true(flaws > 0);
		fw_trail_close(trail);
		make_gone(place->file);
	}
}

/* ---- one job of many ---- */

static int count_step(void *context)
{
	++*(int64_t *)context;
	return 0;
}

/* Instructions of SQLite's machine; fetched ten at a time. */
static int64_t steps_of(struct fw_trail *trail, int64_t scope)
{
	int64_t steps = 0;

	assert_flaw(trail, scope, 0, 0, NULL); /* statements are prepared, what was read is cached */
	sqlite3_progress_handler(trail->db, 10, count_step, &steps);
	assert_flaw(trail, scope, 0, 0, NULL);
	sqlite3_progress_handler(trail->db, 0, NULL, NULL);
	return steps;
}

static void one_job_costs_what_it_holds(void **state)
{
	enum { MANY = 60 };
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry begin = make_entry("begin", NULL, NULL, "{}");
	int64_t job;

	for (int i = 0; i < 3; i++)
		make_whole_job(trail, "gearbox 4-118");
	const int64_t few = steps_of(trail, 2), few_log = steps_of(trail, FW_SHOP),
	              few_file = steps_of(trail, FW_VERIFY_FILE);
	for (int i = 0; i < MANY; i++)
		assert_ok(fw_trail_begin(trail, NULL, 0, &begin, &job, &error));
	const int64_t many = steps_of(trail, 2), many_log = steps_of(trail, FW_SHOP),
	              many_file = steps_of(trail, FW_VERIFY_FILE);
	print_message("  one of 3 jobs: %lld steps of 10, one of %d: %lld\n", (long long)few, MANY + 3,
	              (long long)many);
	assert_true(few > 20);
	assert_in_range(many, few - few / 5, few + few / 5); /* rounding of the tens */
	assert_in_range(many_log, 0, few_log + few_log / 5 + 2);
	assert_true(many_file > few_file + MANY); /* the count does count */
	fw_trail_close(trail);
}

/* ---- an excerpt ---- */

static const char to_excerpt[] =
    "DELETE FROM entry WHERE job NOT IN (0, 2); PRAGMA application_id = 1180137578";

static void make_excerpt(const struct place *place, const char *more)
{
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	for (int i = 0; i < 3; i++)
		make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	edit(place->file, to_excerpt);
	if (more)
		edit(place->file, more);
}

static void an_excerpt_is_of_one_job(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	int64_t seq = 0;

	assert_int_equal(FW_TRAIL_EXCERPT, 1180137578);
	make_excerpt(place, NULL);
	struct fw_trail *trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(fw_trail_excerpt(trail), 2);
	assert_int_equal(strlen(fw_trail_shop(trail)), 32);
	assert_ok(fw_trail_head(trail, 2, &seq, NULL, &error));
	assert_flaw(trail, FW_VERIFY_ALL, 0, 0, NULL);
	assert_flaw(trail, FW_VERIFY_FILE, 0, 0, NULL);
	assert_flaw(trail, FW_SHOP, 0, 0, NULL);
	assert_flaw(trail, 2, 0, 0, NULL);
	fw_trail_close(trail);
	for (int mode = FW_TRAIL_WRITE; mode <= FW_TRAIL_CREATE; mode++) {
		assert_code(fw_trail_open(&trail, place->file, (enum fw_trail_mode)mode, &error),
		            FW_ERR_TRAIL);
		assert_contains(error.text, "excerpt");
		assert_contains(error.text, "go on in the trail");
	}
}

static void a_changed_excerpt_is_noticed(void **state)
{
	static const struct {
		const char *change, *refused, *flaw;
		int64_t job, seq;
	} cases[] = {
	    {"UPDATE entry SET typed = 'x' WHERE job = 2 AND seq = 5", NULL, "does not have the hash",
	     2, 5},
	    {"DELETE FROM entry WHERE job = 2", "does not hold one job", NULL, 0, 0},
	    {"UPDATE entry SET job = 3 WHERE job = 2 AND seq > 5", "does not hold one job", NULL, 0, 0},
	    {"DELETE FROM entry WHERE job = 0", NULL, "the shop's own log is missing", 0, 0},
	    {"INSERT INTO source VALUES (randomblob(32), x'61')", NULL, "stored under another", 0, 0},
	};
	const struct place *place = *state;

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct fw_error error = {0};
		struct fw_trail *trail = NULL;
		make_excerpt(place, cases[i].change);
		if (cases[i].refused) {
			assert_code(fw_trail_open(&trail, place->file, FW_TRAIL_READ, &error), FW_ERR_TRAIL);
			assert_contains(error.text, cases[i].refused);
		} else {
			trail = open_trail(place, FW_TRAIL_READ);
			assert_flaw(trail, FW_VERIFY_ALL, cases[i].job, cases[i].seq, cases[i].flaw);
			fw_trail_close(trail);
		}
		make_gone(place->file);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(the_log_is_a_chain_of_its_own),
	    TEST(every_shop_has_an_identity_of_its_own),
	    TEST(a_log_that_is_gone_is_noticed),
	    TEST(the_first_job_links_to_the_log),
	    TEST(what_is_said_of_the_log_must_be_true),
	    TEST(a_begin_names_the_log_too),
	    TEST(what_is_signed_is_what_stands_before),
	    TEST(a_person_is_signed_into_the_log),
	    TEST(a_job_is_not_dated_before_the_one_it_links_to),
	    TEST(seconds_are_those_of_sqlite),
	    TEST(the_file_is_checked_without_the_chains),
	    TEST(one_job_costs_what_it_holds),
	    TEST(an_excerpt_is_of_one_job),
	    TEST(a_changed_excerpt_is_noticed),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
