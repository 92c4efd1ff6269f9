/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail.c  Recording and reading a trail; hashes against b2sum of GNU coreutils. */
#include "trail_make.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

struct place {
	char folder[PATH_MAX], file[PATH_MAX];
};

static int set_up(void **state)
{
	struct place *place = calloc(1, sizeof *place);

	assert_non_null(place);
	make_folder(place->folder);
	make_name(place->file, place->folder, "trail.db");
	*state = place;
	return 0;
}

static int tear_down(void **state)
{
	struct place *place = *state;

	make_gone(place->file);
	rmdir(place->folder);
	free(place);
	return 0;
}

static struct fw_trail *open_trail(const struct place *place, enum fw_trail_mode mode)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	assert_ok(fw_trail_open(&trail, place->file, mode, &error));
	return trail;
}

static void print_flaw(void *context, const struct fw_flaw *flaw)
{
	(void)context;
	print_message("  %lld:%lld %s (%s)\n", (long long)flaw->job, (long long)flaw->seq, flaw->what,
	              flaw->means);
}

static size_t count_flaws(struct fw_trail *trail, int64_t job)
{
	struct fw_error error = {0};
	size_t flaws = 99;

	assert_ok(fw_trail_verify(trail, job, print_flaw, NULL, &flaws, &error));
	return flaws;
}

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
	assert_int_equal(count_flaws(trail, 0), 0);
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
	uint8_t head[FW_HASH], prev[FW_HASH];

	assert_int_equal(make_whole_job(trail, "gearbox 4-118"), 1);
	assert_ok(fw_trail_head(trail, 1, NULL, head, &error));
	assert_int_equal(make_job(trail, "gearbox 4-119"), 2);
	make_append(trail, 1, &more); /* the older job goes on: the link stays good */
	assert_int_equal(make_job(trail, "gearbox 4-120"), 3);
	assert_int_equal(fw_trail_walk(trail, 1, first_prev, prev, &error), 7);
	assert_memory_equal(prev, zeros, FW_HASH);
	assert_int_equal(fw_trail_walk(trail, 2, first_prev, prev, &error), 7);
	assert_memory_equal(prev, head, FW_HASH);
	assert_int_equal(count_flaws(trail, 0), 0);
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
	assert_code(fw_trail_verify(nested->trail, 0, NULL, NULL, &flaws, &error), FW_ERR_STATE);
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
	assert_int_equal(count_flaws(trail, 0), 0);
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
	assert_int_equal(count_flaws(a, 0), 0);
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
	assert_int_equal(sqlite3_open(place->file, &holder), SQLITE_OK);
	assert_int_equal(sqlite3_exec(holder, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
	assert_code(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error), FW_ERR_BUSY);
	assert_contains(error.text, "another program");
	assert_int_equal(sqlite3_exec(holder, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);
	assert_ok(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error));
	sqlite3_close(holder);
	fw_trail_close(trail);
}

/* ---- append-only ---- */

static void plain_sql_is_refused(void **state)
{
	static const char *const attempts[] = {
	    "UPDATE entry SET typed = 'x'",
	    "UPDATE OR IGNORE entry SET typed = 'x' WHERE seq = 2",
	    "UPDATE OR REPLACE entry SET seq = 3 WHERE seq = 2",
	    "DELETE FROM entry",
	    "DELETE FROM entry WHERE job = 1 AND seq = 16",
	    "INSERT OR REPLACE INTO entry SELECT job, seq, kind, step, at, who, ask, 'x', value, prev, "
	    "hash"
	    " FROM entry WHERE seq = 2",
	    "REPLACE INTO entry SELECT job, seq, kind, step, at, who, ask, 'x', value, prev, hash FROM "
	    "entry",
	    "PRAGMA recursive_triggers = OFF; REPLACE INTO entry SELECT job, seq, kind, step, at, 'x', "
	    "ask,"
	    " typed, value, prev, hash FROM entry WHERE seq = 16",
	    "INSERT INTO entry SELECT * FROM entry WHERE true ON CONFLICT DO UPDATE SET typed = 'x'",
	    "UPDATE source SET bytes = x'00'",
	    "DELETE FROM source",
	    "REPLACE INTO source SELECT hash, x'00' FROM source",
	    "INSERT INTO entry SELECT 1, 'x', kind, NULL, at, who, ask, typed, value, prev, hash"
	    " FROM entry WHERE seq = 2",
	    "INSERT INTO entry SELECT 1, 17, kind, NULL, at, who, ask, typed, value, prev, x'00'"
	    " FROM entry WHERE seq = 2",
	};
	static const char digest[] =
	    "SELECT group_concat(job || seq || kind || at || who || coalesce(typed, '-') || hex(hash)) "
	    "||"
	    " (SELECT group_concat(hex(hash) || hex(bytes)) FROM source) FROM entry";
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char before[32768], after[32768];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	make_ask(place->file, digest, before, sizeof before);
	for (size_t i = 0; i < sizeof attempts / sizeof *attempts; i++) {
		int code = make_sql(place->file, attempts[i]);
		if (code != SQLITE_CONSTRAINT)
			fail_msg("%s: gave %d", attempts[i], code);
		make_ask(place->file, digest, after, sizeof after);
		assert_string_equal(after, before);
	}
	trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(count_flaws(trail, 0), 0);
	fw_trail_close(trail);
}

static void a_schema_changed_meanwhile_is_noticed(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("answer", "{\"ask\":\"done\"}", "", "{\"done\":true}");

	make_job(trail, "gearbox 4-118");
	assert_int_equal(make_sql(place->file, "CREATE TRIGGER extra AFTER INSERT ON entry "
	                                       "BEGIN SELECT 1; END"),
	                 SQLITE_OK);
	assert_code(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "'extra' does not belong");
	assert_int_equal(count_flaws(trail, 0), 1);
	assert_int_equal(make_sql(place->file, "DROP TRIGGER extra"), SQLITE_OK);
	assert_ok(fw_trail_append(trail, 1, 1, &e, 1, NULL, &error));
	fw_trail_close(trail);
}

/* ---- files that are none, and files from strangers ---- */

static void assert_refused(const struct place *place, int code, const char *says)
{
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	for (int mode = FW_TRAIL_READ; mode <= FW_TRAIL_WRITE; mode++) {
		assert_code(fw_trail_open(&trail, place->file, (enum fw_trail_mode)mode, &error), code);
		assert_contains(error.text, says);
		assert_null(trail);
	}
}

static void put_file(const struct place *place, const void *bytes, size_t size)
{
	FILE *f = fopen(place->file, "wb");

	assert_non_null(f);
	assert_int_equal(fwrite(bytes, 1, size, f), size);
	fclose(f);
}

static void no_trail_is_said_to_be_none(void **state)
{
	static const char words[] =
	    "These are the notes of a person, not a trail at all. They are longer "
	    "than the hundred bytes that a header has.";
	const struct place *place = *state;
	struct place other = *place;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;

	assert_refused(place, FW_ERR_NOT_FOUND, "there is no trail");
	put_file(place, "", 0);
	assert_refused(place, FW_ERR_TRAIL, "empty file");
	put_file(place, words, sizeof words);
	assert_refused(place, FW_ERR_TRAIL, "not a trail");
	assert_code(fw_trail_open(&trail, place->file, FW_TRAIL_CREATE, &error), FW_ERR_TRAIL);
	put_file(place, "short", 5);
	assert_refused(place, FW_ERR_TRAIL, "not a trail");
	make_gone(place->file);
	assert_int_equal(make_sql(place->file, "CREATE TABLE t (a)"), SQLITE_OK);
	assert_refused(place, FW_ERR_TRAIL, "another program");
	memcpy(other.file, place->folder, sizeof other.file);
	assert_refused(&other, FW_ERR_TRAIL, "is a folder");
	assert_code(fw_trail_open(&trail, "", FW_TRAIL_CREATE, &error), FW_ERR_ARGUMENT);
	assert_code(fw_trail_open(&trail, "/dev/null", FW_TRAIL_READ, &error), FW_ERR_TRAIL);
	if (geteuid() != 0) { /* root may read everything */
		assert_int_equal(chmod(place->file, 0), 0);
		assert_refused(place, FW_ERR_TRAIL, "permissions");
	}
}

static void an_empty_file_can_be_made_a_trail(void **state)
{
	put_file(*state, "", 0); /* what a creation interrupted early leaves */
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);

	assert_int_equal(make_job(trail, "gearbox 4-118"), 1);
	fw_trail_close(trail);
}

static void changed_trails_are_refused(void **state)
{
	static const struct {
		const char *change, *says, *back;
	} cases[] = {
	    {"PRAGMA user_version = 2", "use a newer one", "PRAGMA user_version = 1"},
	    {"PRAGMA user_version = 0", "no format number", "PRAGMA user_version = 1"},
	    {"PRAGMA application_id = 7", "another program", "PRAGMA application_id = 1180136562"},
	    {"PRAGMA journal_mode = WAL", "write-ahead", "PRAGMA journal_mode = DELETE"},
	    {"CREATE VIEW v AS SELECT 1", "view 'v' does not belong", "DROP VIEW v"},
	    {"CREATE TABLE zz (a)", "table 'zz' does not belong", "DROP TABLE zz"},
	    {"CREATE INDEX aa ON entry (at)", "index 'aa' does not belong", "DROP INDEX aa"},
	    {"DROP VIEW job", "'job' is missing", NULL},
	    {"DROP TRIGGER entry_not_deleted", "'entry_not_deleted' is missing", NULL},
	    {"CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry BEGIN SELECT 1; END",
	     "'entry_not_deleted' was changed", NULL},
	};
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	make_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		if (strcmp(cases[i].change, "DROP TRIGGER entry_not_deleted") == 0) {
			make_gone(place->file);
			fw_trail_close(open_trail(place, FW_TRAIL_CREATE));
		}
		assert_int_equal(make_sql(place->file, cases[i].change), SQLITE_OK);
		assert_refused(place, FW_ERR_TRAIL, cases[i].says);
		if (cases[i].back) {
			assert_int_equal(make_sql(place->file, cases[i].back), SQLITE_OK);
			fw_trail_close(open_trail(place, FW_TRAIL_WRITE));
		}
	}
}

static void a_trail_cut_short_is_said_to_be(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct stat status;

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	assert_int_equal(stat(place->file, &status), 0);
	assert_int_equal(truncate(place->file, status.st_size - 1), 0);
	assert_refused(place, FW_ERR_TRAIL, "cut short");
	assert_int_equal(truncate(place->file, 4096), 0);
	assert_refused(place, FW_ERR_TRAIL, "cut short");
	assert_int_equal(truncate(place->file, 200), 0);
	assert_refused(place, FW_ERR_TRAIL, "trail");
}

static void reading_leaves_the_file_alone(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct nested nested = {0};
	struct stat before, after;
	char beside[PATH_MAX + 16];

	make_whole_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	assert_int_equal(stat(place->file, &before), 0);
	assert_int_equal(before.st_mode & 0777, 0600);
	assert_int_equal(chmod(place->file, 0400), 0);
	assert_int_equal(chmod(place->folder, 0500), 0);
	trail = open_trail(place, FW_TRAIL_READ);
	assert_ok(fw_trail_walk(trail, 1, count_inner, &nested, &error));
	assert_int_equal(nested.inner, 16);
	assert_int_equal(count_flaws(trail, 0), 0);
	fw_trail_close(trail);
	assert_int_equal(chmod(place->folder, 0700), 0);
	assert_int_equal(stat(place->file, &after), 0);
	assert_int_equal(after.st_size, before.st_size);
	assert_int_equal(after.st_mtim.tv_sec, before.st_mtim.tv_sec);
	assert_int_equal(after.st_mtim.tv_nsec, before.st_mtim.tv_nsec);
	for (int i = 0; i < 3; i++) {
		static const char *const ends[] = {"-journal", "-wal", "-shm"};
		snprintf(beside, sizeof beside, "%s%s", place->file, ends[i]);
		assert_int_not_equal(access(beside, F_OK), 0);
	}
}

/* ---- where it lies ---- */

static void folders_are_made_for_the_owner(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	char path[PATH_MAX], folder[PATH_MAX];
	struct stat status;
	mode_t mask = umask(022);

	assert_int_equal(setenv("XDG_DATA_HOME", place->folder, 1), 0);
	assert_ptr_equal(fw_trail_default_path(path, sizeof path, &error), path);
	assert_int_equal(strncmp(path, place->folder, strlen(place->folder)), 0);
	assert_string_equal(path + strlen(place->folder), "/fitwright/trail.db");
	assert_ok(fw_trail_open(&trail, path, FW_TRAIL_CREATE, &error));
	fw_trail_close(trail);
	assert_int_equal(stat(path, &status), 0);
	assert_int_equal(status.st_mode & 0777, 0600);
	make_name(folder, place->folder, "fitwright");
	assert_int_equal(stat(folder, &status), 0);
	assert_int_equal(status.st_mode & 0777, 0700);
	make_gone(path);
	rmdir(folder);
	umask(mask);
}

static void default_path_follows_the_environment(void **state)
{
	struct fw_error error = {0};
	char path[PATH_MAX], home[PATH_MAX];
	const char *was = getenv("HOME");

	(void)state;
	snprintf(home, sizeof home, "%s", was ? was : "");
	/* XDG Base Directory Specification 0.8: empty counts as unset, relative is ignored. */
	assert_int_equal(setenv("HOME", "/home/bench", 1), 0);
	assert_int_equal(setenv("XDG_DATA_HOME", "", 1), 0);
	assert_non_null(fw_trail_default_path(path, sizeof path, &error));
	assert_string_equal(path, "/home/bench/.local/share/fitwright/trail.db");
	assert_int_equal(setenv("XDG_DATA_HOME", "relative", 1), 0);
	assert_non_null(fw_trail_default_path(path, sizeof path, &error));
	assert_string_equal(path, "/home/bench/.local/share/fitwright/trail.db");
	assert_null(fw_trail_default_path(path, 20, &error));
	assert_int_equal(error.code, FW_ERR_ARGUMENT);
	assert_int_equal(unsetenv("HOME"), 0);
	assert_int_equal(unsetenv("XDG_DATA_HOME"), 0);
	assert_null(fw_trail_default_path(path, sizeof path, &error));
	assert_int_equal(error.code, FW_ERR_NOT_FOUND);
	assert_contains(error.text, "HOME");
	if (was)
		setenv("HOME", home, 1);
}

static void a_name_is_only_a_name(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = NULL;
	char was[PATH_MAX];
	struct stat status;

	assert_non_null(getcwd(was, sizeof was));
	assert_int_equal(chdir(place->folder), 0);
	assert_ok(fw_trail_open(&trail, ":memory:", FW_TRAIL_CREATE, &error));
	fw_trail_close(trail);
	assert_int_equal(stat(":memory:", &status), 0);
	assert_true(status.st_size > 0);
	make_gone(":memory:");
	assert_int_equal(chdir(was), 0);
}

/* ---- a disk that fails ---- */

static void a_failed_disk_stops_the_handle(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	struct fw_entry e = make_entry("answer", "{\"ask\":\"text\"}", NULL, NULL);
	struct rlimit was, small;
	struct stat status;
	int64_t seq = 0;
	char *words = malloc(200001);

	assert_non_null(words);
	memset(words, 'x', 200000);
	words[200000] = '\0';
	make_whole_job(trail, "gearbox 4-118");
	assert_int_equal(stat(place->file, &status), 0);
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &was), 0);
	small = was;
	small.rlim_cur = (rlim_t)status.st_size;
	void (*old)(int) = signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0); /* the disk is full from here on */
	e.typed = words;
	assert_code(fw_trail_append(trail, 1, 16, &e, 1, NULL, &error), FW_ERR_TRAIL);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &was), 0);
	signal(SIGXFSZ, old);
	e.typed = "small";
	assert_code(fw_trail_append(trail, 1, 16, &e, 1, NULL, &error), FW_ERR_TRAIL);
	assert_contains(error.text, "open it again");
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_WRITE);
	assert_ok(fw_trail_head(trail, 1, &seq, NULL, &error));
	assert_int_equal(seq, 16);
	assert_int_equal(count_flaws(trail, 0), 0);
	assert_ok(fw_trail_append(trail, 1, 16, &e, 1, NULL, &error));
	fw_trail_close(trail);
	free(words);
}

/* ---- the views, through sqlite3 alone ---- */

static void views_answer_plain_questions(void **state)
{
	static const struct {
		const char *ask, *answer;
	} cases[] = {
	    {"SELECT count(*) FROM standing WHERE job = 1", "13"},
	    {"SELECT group_concat(seq) FROM entry WHERE job = 1 AND seq NOT IN"
	     " (SELECT seq FROM standing WHERE job = 1)",
	     "2,3,4"},
	    {"SELECT group_concat(unit || '/' || entries || '/' || ifnull(released, '-'), ' ') FROM "
	     "job",
	     "gearbox 4-118/16/" MAKE_TIME " gearbox 4-119/1/-"},
	    {"SELECT title || '|' || procedure || '|' || sheet || '|' || length(head) FROM job",
	     "Countershaft end float|float.lua|gearbox.lua|64"},
	    {"SELECT count(*) FROM reading", "1"}, /* the other one was taken back */
	    {"SELECT typed || '|' || value || '|' || unit || '|' || gauge || '|' || item || '|' || "
	     "phase"
	     " FROM reading",
	     "16 thou|0.406 mm|mm|dial indicator|reading 1 of 3|Fit-up"},
	    {"SELECT abs(value_si - 0.0004064) < 1e-12 AND u_si = 1.2e-05 FROM reading", "1"},
	    {"SELECT value || '|' || readings || '|' || freedom || '|' || gauge FROM measurement",
	     "0.408 mm|2|4|dial indicator"},
	    {"SELECT name || '|' || value || '|' || verdict || '|' || max || '|' || ifnull(min, "
	     "'open') ||"
	     " '|' || margin || '|' || grade || '|' || source FROM verdict",
	     "end float|0.408 mm|outside|0.30 mm|open|-0.108 mm|practice|invented"},
	    {"SELECT group_concat(trial || '/' || stack || '/' || play || '/' || surprise, ' ') FROM "
	     "trial",
	     "1/1.40 mm/0.408 mm/0 2/1.60 mm/0.300 mm/1"},
	    {"SELECT predicted || '|' || difference || '|' || datum FROM trial WHERE trial = 2",
	     "0.208 mm|0.092 mm|1.900 mm"},
	    {"SELECT name || '|' || thread || '|' || class || '|' || torque || '|' || bolts || '|' ||"
	     " preload_usual || '|' || preload_high_si || '|' || source FROM torque",
	     "cover|M8|8.8|20 Nm|8|15.0 kN|19000|invented"},
	    {"SELECT part || '|' || decision || '|' || reason FROM part", "rear bearing|renew|pitted"},
	    {"SELECT name || '|' || role || '|' || meaning || '|' || count FROM signature",
	     "A. Fitter|technician|work done as recorded|14"},
	    {"SELECT s.head = lower(hex(e.prev)) FROM signature s JOIN entry e USING (job, seq)", "1"},
	};
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char answer[1024];

	make_whole_job(trail, "gearbox 4-118");
	make_job(trail, "gearbox 4-119");
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		make_ask(place->file, cases[i].ask, answer, sizeof answer);
		if (strcmp(answer, cases[i].answer) != 0)
			fail_msg("%s\n gives %s,\n not   %s", cases[i].ask, answer, cases[i].answer);
	}
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

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
	    TEST(writers_take_turns),
	    TEST(two_handles_see_each_other),
	    TEST(a_held_trail_is_busy),
	    TEST(plain_sql_is_refused),
	    TEST(a_schema_changed_meanwhile_is_noticed),
	    TEST(no_trail_is_said_to_be_none),
	    TEST(an_empty_file_can_be_made_a_trail),
	    TEST(changed_trails_are_refused),
	    TEST(a_trail_cut_short_is_said_to_be),
	    TEST(reading_leaves_the_file_alone),
	    TEST(folders_are_made_for_the_owner),
	    TEST(default_path_follows_the_environment),
	    TEST(a_name_is_only_a_name),
	    TEST(a_failed_disk_stops_the_handle),
	    TEST(views_answer_plain_questions),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
