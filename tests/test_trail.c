/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail.c  Recording and reading a trail; hashes against b2sum of GNU coreutils. */
#include "trail_place.h"

#include <sys/wait.h>

#include "trail/trail_internal.h"

/* ---- hashes ---- */

/* b2sum -l 256 of GNU coreutils over `bytes`, hex. */
static void coreutils_hash(char out[FW_HASH_TEXT], const struct place *place, const void *bytes,
                           size_t size)
{
	char file[PATH_MAX], command[PATH_MAX + 32];

	make_name(file, place->folder, "bytes");
	FILE *f = fopen(file, "wb");
	assert_non_null(f);
	assert_int_equal(fwrite(bytes, 1, size, f), size);
	fclose(f);
	assert_true(snprintf(command, sizeof command, "b2sum -l 256 '%s'", file) > 0);
	FILE *pipe = popen(command, "r");
	assert_non_null(pipe);
	assert_non_null(fgets(out, FW_HASH_TEXT, pipe));
	while (fgetc(pipe) != EOF)
		;
	assert_int_equal(pclose(pipe), 0);
	unlink(file);
}

static void hash_matches_coreutils(void **state)
{
	static const size_t sizes[] = {0, 1, 3, 127, 128, 129, 256, 10000};
	const struct place *place = *state;
	unsigned char bytes[10000];
	uint8_t hash[FW_HASH];
	char ours[FW_HASH_TEXT], theirs[FW_HASH_TEXT];

	for (size_t i = 0; i < sizeof bytes; i++)
		bytes[i] = (unsigned char)(i * 131 + i / 256);
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
		fw_trail_hash(hash, bytes, sizes[i]);
		coreutils_hash(theirs, place, bytes, sizes[i]);
		assert_string_equal(fw_hash_text(ours, hash), theirs);
	}
	/* "abc" with a 32-byte digest, as printed by `printf abc | b2sum -l 256`. */
	fw_trail_hash(hash, "abc", 3);
	assert_string_equal(fw_hash_text(ours, hash),
	                    "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319");
}

static void hash_text_reads_back(void **state)
{
	uint8_t hash[FW_HASH], back[FW_HASH];
	char text[FW_HASH_TEXT], longer[FW_HASH_TEXT + 1];

	(void)state;
	for (int i = 0; i < FW_HASH; i++)
		hash[i] = (uint8_t)(i * 9 + 3);
	fw_hash_text(text, hash);
	assert_int_equal(strlen(text), 64);
	assert_true(fw_hash_parse(back, text));
	assert_memory_equal(back, hash, FW_HASH);
	text[1] = 'C'; /* was 3 */
	assert_true(fw_hash_parse(back, text));
	assert_int_equal(back[0], 0x0c);
	snprintf(longer, sizeof longer, "%s0", text);
	assert_false(fw_hash_parse(back, longer));
	text[63] = 'g';
	assert_false(fw_hash_parse(back, text));
	text[63] = '\0';
	assert_false(fw_hash_parse(back, text));
	assert_false(fw_hash_parse(back, ""));
	assert_false(fw_hash_parse(back, NULL));
}

static int compare_with_coreutils(void *context, const struct fw_entry *entry)
{
	unsigned char bytes[8192];
	char ours[FW_HASH_TEXT], theirs[FW_HASH_TEXT];

	coreutils_hash(theirs, context, bytes, make_bytes(bytes, entry));
	assert_string_equal(fw_hash_text(ours, entry->hash), theirs);
	return 0;
}

static void entry_hash_matches_coreutils(void **state)
{
	struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	/* NULL and empty text differ; more than one byte a letter. */
	struct fw_entry odd = make_entry("answer", NULL, "", "{\"text\":\"Lagerspiel 12 \xc2\xb5m\"}");

	make_whole_job(trail, "gearbox 4-118");
	make_whole_job(trail, "gearbox 4-119");
	odd.step = NULL;
	odd.who = "J\xc3\xb6rg Fitter";
	make_append(trail, 1, &odd);
	assert_ok(fw_trail_walk(trail, 1, compare_with_coreutils, place, &error));
	assert_ok(fw_trail_walk(trail, 2, compare_with_coreutils, place, &error));
	fw_trail_close(trail);
}

/* ---- recording ---- */

struct seen {
	int64_t count;
	uint8_t prev[FW_HASH], hash[FW_HASH];
	const struct fw_entry *expected;
};

static void assert_same_text(const char *a, const char *b)
{
	if (!a || !b)
		assert_ptr_equal(a, b);
	else
		assert_string_equal(a, b);
}

static int compare_entry(void *context, const struct fw_entry *e)
{
	struct seen *seen = context;

	assert_int_equal(e->job, 1);
	assert_int_equal(e->seq, seen->count + 1);
	assert_memory_equal(e->prev, seen->hash, FW_HASH);
	if (seen->count > 0) {
		const struct fw_entry *x = &seen->expected[seen->count - 1];
		assert_same_text(e->kind, x->kind);
		assert_same_text(e->step, x->step);
		assert_same_text(e->at, x->at);
		assert_same_text(e->who, x->who);
		assert_same_text(e->ask, x->ask);
		assert_same_text(e->typed, x->typed);
		assert_same_text(e->value, x->value);
	}
	memcpy(seen->hash, e->hash, FW_HASH);
	seen->count++;
	return 0;
}

static void entries_read_back(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry entries[] = {
	    make_entry("answer", make_reading_ask, "16 thou", make_reading_value),
	    make_entry("finding", "{\"find\":\"remark\"}", NULL, "{\"text\":\"line\\nline\"}"),
	    make_entry("answer", "{\"ask\":\"text\"}", "", NULL),
	};
	struct seen seen = {.expected = entries};
	uint8_t head[FW_HASH], end[FW_HASH];
	int64_t seq = 0;

	assert_ok(fw_trail_head(trail, FW_SHOP, NULL, seen.hash, &error));
	assert_int_equal(make_job(trail, "gearbox 4-118"), 1);
	entries[1].step = NULL;
	assert_ok(fw_trail_append(trail, 1, 1, entries, 2, NULL, &error));
	assert_ok(fw_trail_append(trail, 1, 3, entries + 2, 1, head, &error));
	fw_trail_close(trail);

	trail = open_trail(*state, FW_TRAIL_READ);
	assert_ok(fw_trail_walk(trail, 1, compare_entry, &seen, &error));
	assert_int_equal(seen.count, 4);
	assert_ok(fw_trail_head(trail, 1, &seq, end, &error));
	assert_int_equal(seq, 4);
	assert_memory_equal(end, head, FW_HASH);
	assert_memory_equal(seen.hash, head, FW_HASH);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	assert_int_equal(count_flaws(trail, 1), 0);
	fw_trail_close(trail);
}

static int first_prev(void *context, const struct fw_entry *e)
{
	memcpy(context, e->prev, FW_HASH);
	return 7;
}

static void jobs_are_linked(void **state)
{
	static const uint8_t zeros[FW_HASH];
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry more = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");
	uint8_t log[FW_HASH], head[FW_HASH], prev[FW_HASH];

	assert_ok(fw_trail_head(trail, FW_SHOP, NULL, log, &error));
	assert_int_equal(make_whole_job(trail, "gearbox 4-118"), 1);
	assert_ok(fw_trail_head(trail, 1, NULL, head, &error));
	assert_int_equal(make_job(trail, "gearbox 4-119"), 2);
	make_append(trail, 1, &more); /* the older job goes on: the link stays good */
	assert_int_equal(make_job(trail, "gearbox 4-120"), 3);
	assert_int_equal(fw_trail_walk(trail, FW_SHOP, first_prev, prev, &error), 7);
	assert_memory_equal(prev, zeros, FW_HASH);
	assert_int_equal(fw_trail_walk(trail, 1, first_prev, prev, &error), 7);
	assert_memory_equal(prev, log, FW_HASH);
	assert_int_equal(fw_trail_walk(trail, 2, first_prev, prev, &error), 7);
	assert_memory_equal(prev, head, FW_HASH);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	assert_int_equal(count_flaws(trail, 3), 0);
	fw_trail_close(trail);
}

static void wrong_entries_are_refused(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry good = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");
	struct fw_entry bad = good;
	struct fw_entry two[] = {good, good};
	int64_t job = 0, seq = 0;

	make_job(trail, "gearbox 4-118");
	assert_code(fw_trail_append(trail, 1, 0, &good, 1, NULL, &error), FW_ERR_BUSY);
	assert_contains(error.text, "resume");
	assert_code(fw_trail_append(trail, 1, 2, &good, 1, NULL, &error), FW_ERR_BUSY);
	assert_code(fw_trail_append(trail, 2, 0, &good, 1, NULL, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_trail_append(trail, 1, 1, &good, 0, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_trail_begin(trail, NULL, 0, &good, &job, &error), FW_ERR_ARGUMENT);
	bad.kind = "begin";
	assert_code(fw_trail_append(trail, 1, 1, &bad, 1, NULL, &error), FW_ERR_ARGUMENT);
	bad = good;
	bad.kind = "";
	assert_code(fw_trail_append(trail, 1, 1, &bad, 1, NULL, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "kind");
	bad = good;
	bad.who = NULL;
	assert_code(fw_trail_append(trail, 1, 1, &bad, 1, NULL, &error), FW_ERR_ARGUMENT);
	bad = good;
	bad.at = "2026-03-05 14:03:11.250Z";
	assert_code(fw_trail_append(trail, 1, 1, &bad, 1, NULL, &error), FW_ERR_ARGUMENT);
	bad = good;
	bad.typed = "\xc3(";
	assert_code(fw_trail_append(trail, 1, 1, &bad, 1, NULL, &error), FW_ERR_ARGUMENT);
	bad.typed = "\xed\xa0\x80"; /* half a surrogate pair */
	assert_code(fw_trail_append(trail, 1, 1, &bad, 1, NULL, &error), FW_ERR_ARGUMENT);
	/* The second is not JSON: the first isn't kept either. */
	two[1].value = "{done}";
	assert_code(fw_trail_append(trail, 1, 1, two, 2, NULL, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "'value' of an entry is not JSON");
	assert_ok(fw_trail_head(trail, 1, &seq, NULL, &error));
	assert_int_equal(seq, 1);
	assert_code(fw_trail_head(trail, 9, &seq, NULL, &error), FW_ERR_NOT_FOUND);
	/* None of this spoils the handle. */
	assert_ok(fw_trail_append(trail, 1, 1, &good, 1, NULL, &error));
	fw_trail_close(trail);

	trail = open_trail(*state, FW_TRAIL_READ);
	assert_code(fw_trail_append(trail, 1, 2, &good, 1, NULL, &error), FW_ERR_STATE);
	fw_trail_close(trail);
}

static void sources_are_kept_once(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry begin = make_entry("begin", NULL, NULL, "{}");
	const struct fw_source_text sources[] = {{"a\0b", 3}, {"a\0b", 3}, {NULL, 0}};
	const struct fw_source_text missing = {NULL, 3};
	uint8_t hash[FW_HASH];
	char *bytes, count[32];
	size_t size;
	int64_t job;

	assert_ok(fw_trail_begin(trail, sources, 3, &begin, &job, &error));
	assert_ok(fw_trail_begin(trail, sources, 3, &begin, &job, &error));
	assert_code(fw_trail_begin(trail, &missing, 1, &begin, &job, &error), FW_ERR_ARGUMENT);
	fw_trail_hash(hash, "a\0b", 3);
	assert_ok(fw_trail_source(trail, hash, &bytes, &size, &error));
	assert_int_equal(size, 3);
	assert_memory_equal(bytes, "a\0b", 4);
	free(bytes);
	fw_trail_hash(hash, "", 0);
	assert_ok(fw_trail_source(trail, hash, &bytes, &size, &error));
	assert_int_equal(size, 0);
	free(bytes);
	hash[0] ^= 1;
	assert_code(fw_trail_source(trail, hash, &bytes, &size, &error), FW_ERR_NOT_FOUND);
	assert_null(bytes);
	fw_trail_close(trail);
	make_ask(((struct place *)*state)->file, "SELECT count(*) FROM source", count, sizeof count);
	assert_string_equal(count, "2");
}

struct nested {
	struct fw_trail *trail;
	int64_t inner, outer;
};

static int count_inner(void *context, const struct fw_entry *e)
{
	(void)e;
	((struct nested *)context)->inner++;
	return 0;
}

static int walk_inside(void *context, const struct fw_entry *e)
{
	struct nested *nested = context;
	struct fw_error error = {0};
	struct fw_entry more = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");
	size_t flaws;

	assert_int_equal(e->seq, ++nested->outer);
	assert_ok(fw_trail_walk(nested->trail, 1, count_inner, nested, &error));
	assert_code(fw_trail_append(nested->trail, 1, 16, &more, 1, NULL, &error), FW_ERR_STATE);
	assert_code(fw_trail_verify(nested->trail, FW_VERIFY_ALL, NULL, NULL, &flaws, &error),
	            FW_ERR_STATE);
	return nested->outer == 3 ? 42 : 0;
}

static void walks_nest_and_end(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct nested nested = {trail, 0, 0};

	make_whole_job(trail, "gearbox 4-118");
	assert_int_equal(fw_trail_walk(trail, 1, walk_inside, &nested, &error), 42);
	assert_int_equal(nested.outer, 3);
	assert_int_equal(nested.inner, 3 * 16);
	assert_code(fw_trail_walk(trail, 2, count_inner, &nested, &error), FW_ERR_NOT_FOUND);
	fw_trail_close(trail);
}

static int look_at_job(void *context, const struct fw_job_line *line)
{
	int64_t *seen = context;

	assert_int_equal(line->job, ++*seen);
	assert_string_equal(line->began, MAKE_TIME);
	assert_contains(line->begin_value, "Countershaft");
	if (line->job == 1) {
		assert_int_equal(line->entries, 16);
		assert_string_equal(line->last_kind, "release");
		assert_string_equal(line->last_phase, "Prove");
	} else if (line->job == 2) {
		assert_int_equal(line->entries, 1);
		assert_string_equal(line->last_kind, "begin");
		assert_null(line->last_phase);
	} else { /* the answer in a later phase was taken back */
		assert_string_equal(line->last_kind, "withdraw");
		assert_string_equal(line->latest, "2026-03-05T15:00:00.000Z");
		assert_string_equal(line->last_phase, "As found");
	}
	return 0;
}

static void jobs_are_listed(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry entries[] = {
	    make_entry("answer", "{\"phase\":\"As found\"}", "", "{\"done\":true}"),
	    make_entry("answer", "{\"phase\":\"Fit-up\"}", "", "{\"done\":true}"),
	    make_entry("withdraw", NULL, "wrong unit", "{\"entry\":3}"),
	};
	int64_t seen = 0;

	assert_ok(fw_trail_jobs(trail, look_at_job, &seen, &error));
	assert_int_equal(seen, 0);
	make_whole_job(trail, "gearbox 4-118");
	make_job(trail, "gearbox 4-119");
	make_job(trail, "gearbox 4-120");
	entries[2].at = "2026-03-05T15:00:00.000Z";
	assert_ok(fw_trail_append(trail, 3, 1, entries, 3, NULL, &error));
	fw_trail_close(trail);
	trail = open_trail(*state, FW_TRAIL_READ);
	assert_ok(fw_trail_jobs(trail, look_at_job, &seen, &error));
	assert_int_equal(seen, 3);
	fw_trail_close(trail);
}

static int keep_phase(void *context, const struct fw_job_line *line)
{
	snprintf(context, 64, "%s", line->last_phase ? line->last_phase : "-");
	return 0;
}

/* Phases A, B, C were reached in this order, and then: */
static void the_phase_is_that_of_what_stands(void **state)
{
	static const struct {
		const char *kind, *ask, *value, *phase;
	} steps[] = {
	    {"amend", "{\"phase\":\"A\"}", "{\"amends\":2}", "C"},
	    {"lapse", NULL, "{\"entries\":[4]}", "B"},
	    {"lapse", NULL, "{\"entries\":[3]}", "A"},
	    {"withdraw", NULL, "{\"entry\":7}", "B"},
	    {"answer", "{\"phase\":\"D\"}", "{}", "D"},
	    {"sign", "{\"phase\":\"E\"}", "{}", "E"},
	    {"reopen", NULL, "{\"entries\":[10]}", "D"},
	    {"amend", "{\"phase\":\"D\"}", "{\"amends\":9}", "D"},
	    {"lapse", NULL, "{\"entries\":[12]}", "B"}, /* an amendment lapses with its answer */
	    {"answer", "{\"phase\":\"D\"}", "{}", "D"},
	};
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry reached[] = {make_entry("answer", "{\"phase\":\"A\"}", "", "{}"),
	                             make_entry("answer", "{\"phase\":\"B\"}", "", "{}"),
	                             make_entry("answer", "{\"phase\":\"C\"}", "", "{}")};
	char phase[64];

	make_job(trail, "gearbox 4-118");
	assert_ok(fw_trail_append(trail, 1, 1, reached, 3, NULL, &error));
	for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
		struct fw_entry e = make_entry(steps[i].kind, steps[i].ask, NULL, steps[i].value);
		make_append(trail, 1, &e);
		assert_ok(fw_trail_jobs(trail, keep_phase, phase, &error));
		assert_string_equal(phase, steps[i].phase);
	}
	fw_trail_close(trail);
}

/* ---- several writers ---- */

enum { WRITERS = 3, EACH = 60 };

/* Appends EACH entries from a process of its own, giving way whenever another was faster. */
static int write_many(const struct place *place)
{
	struct fw_trail *trail = NULL;
	struct fw_entry e = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");
	int written = 0;

	if (fw_trail_open(&trail, place->file, FW_TRAIL_WRITE, NULL))
		return 1;
	while (written < EACH) {
		int64_t seq;
		if (fw_trail_head(trail, 1, &seq, NULL, NULL))
			return 2;
		int code = fw_trail_append(trail, 1, seq, &e, 1, NULL, NULL);
		if (code == FW_OK)
			written++;
		else if (code != FW_ERR_BUSY)
			return 3;
	}
	fw_trail_close(trail);
	return 0;
}

static void writers_take_turns(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	pid_t children[WRITERS];
	int64_t seq = 0;

	make_job(trail, "gearbox 4-118");
	fw_trail_close(trail); /* a handle is not to be carried through fork() */
	for (int i = 0; i < WRITERS; i++) {
		children[i] = fork();
		assert_true(children[i] >= 0);
		if (children[i] == 0)
			_exit(write_many(*state));
	}
	for (int i = 0; i < WRITERS; i++) {
		int status = -1;
		assert_int_equal(waitpid(children[i], &status, 0), children[i]);
		assert_true(WIFEXITED(status));
		assert_int_equal(WEXITSTATUS(status), 0);
	}
	trail = open_trail(*state, FW_TRAIL_READ);
	assert_ok(fw_trail_head(trail, 1, &seq, NULL, &error));
	assert_int_equal(seq, 1 + WRITERS * EACH);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

static void two_handles_see_each_other(void **state)
{
	struct fw_error error = {0};
	struct fw_trail *a = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_trail *b = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");

	assert_int_equal(make_job(a, "gearbox 4-118"), 1);
	assert_int_equal(make_job(b, "gearbox 4-119"), 2);
	assert_ok(fw_trail_append(a, 2, 1, &e, 1, NULL, &error));
	assert_code(fw_trail_append(b, 2, 1, &e, 1, NULL, &error), FW_ERR_BUSY);
	assert_ok(fw_trail_append(b, 2, 2, &e, 1, NULL, &error));
	assert_int_equal(count_flaws(a, FW_VERIFY_ALL), 0);
	fw_trail_close(a);
	fw_trail_close(b);
}

static void a_held_trail_is_busy(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");
	sqlite3 *holder;

	make_job(trail, "gearbox 4-118");
	assert_in_range(FW_TRAIL_BUSY_MS, 1000, 10000); /* a person waits as long, the test need not */
	assert_int_equal(sqlite3_busy_timeout(trail->db, 100), SQLITE_OK);
	assert_int_equal(sqlite3_open(place->file, &holder), SQLITE_OK);
	assert_int_equal(sqlite3_exec(holder, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
	assert_code(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error), FW_ERR_BUSY);
	assert_contains(error.text, "another program");
	assert_int_equal(sqlite3_exec(holder, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);
	assert_ok(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error));
	sqlite3_close(holder);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(hash_matches_coreutils),
	    TEST(hash_text_reads_back),
	    TEST(entry_hash_matches_coreutils),
	    TEST(entries_read_back),
	    TEST(jobs_are_linked),
	    TEST(wrong_entries_are_refused),
	    TEST(sources_are_kept_once),
	    TEST(walks_nest_and_end),
	    TEST(jobs_are_listed),
	    TEST(the_phase_is_that_of_what_stands),
	    TEST(writers_take_turns),
	    TEST(two_handles_see_each_other),
	    TEST(a_held_trail_is_busy),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
