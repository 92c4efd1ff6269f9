/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail_attach.c  Evidence: kept to the byte, once, up to its size, and watched over.
 */
#include "no_sync.h"
#include "trail_place.h"

#include <sys/resource.h>
#include <sys/wait.h>

#include "trail/trail_internal.h"

/* The address sanitizer keeps what was freed. */
#if defined __has_feature
#if __has_feature(address_sanitizer)
#define KEEPS_FREED
#endif
#elif defined __SANITIZE_ADDRESS__
#define KEEPS_FREED
#endif

static const char photo[] = "\xff\xd8\xff\xe0 not really a photo\0of a bearing";

static struct fw_entry make_evidence(char value[512], const void *bytes, size_t size)
{
	uint8_t hash[FW_HASH];
	char text[FW_HASH_TEXT];

	fw_trail_hash(hash, bytes, size);
	snprintf(value, 512,
	         "{\"name\":\"bearing.jpg\",\"kind\":\"image/jpeg\",\"size\":%zu,\"hash\":\"%s\"}",
	         size, fw_hash_text(text, hash));
	return make_entry("evidence", NULL, "the worn race", value);
}

static void attach(struct fw_trail *trail, int64_t job, const void *bytes, size_t size)
{
	struct fw_error error = {0};
	char value[512];
	struct fw_entry e = make_evidence(value, bytes, size);
	int64_t seq;

	assert_ok(fw_trail_head(trail, job, &seq, NULL, &error));
	assert_ok(fw_trail_attach(trail, job, seq, &e, bytes, size, NULL, &error));
}

static void what_was_attached_reads_back(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	uint8_t hash[FW_HASH], head[FW_HASH], end[FW_HASH];
	char value[512], count[32], *bytes;
	size_t size;
	int64_t seq;
	struct fw_entry e = make_evidence(value, photo, sizeof photo);

	make_job(trail, "gearbox 4-118");
	make_job(trail, "gearbox 4-119");
	assert_ok(fw_trail_attach(trail, 1, 1, &e, photo, sizeof photo, head, &error));
	assert_ok(fw_trail_head(trail, 1, &seq, end, &error));
	assert_int_equal(seq, 2);
	assert_memory_equal(head, end, FW_HASH);
	attach(trail, 2, photo, sizeof photo); /* the same again: kept once */
	attach(trail, 2, "other", 5);
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_READ);
	fw_trail_hash(hash, photo, sizeof photo);
	assert_ok(fw_trail_evidence(trail, hash, &bytes, &size, &error));
	assert_int_equal(size, sizeof photo);
	assert_memory_equal(bytes, photo, sizeof photo);
	free(bytes);
	hash[0] ^= 1;
	assert_code(fw_trail_evidence(trail, hash, &bytes, &size, &error), FW_ERR_NOT_FOUND);
	assert_null(bytes);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
	make_ask(place->file, "SELECT count(*) FROM evidence", count, sizeof count);
	assert_string_equal(count, "2");
}

static void wrong_evidence_is_refused(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char value[512], count[32];
	struct fw_entry e = make_evidence(value, photo, sizeof photo), other = e;
	int64_t seq;

	make_job(trail, "gearbox 4-118");
	assert_code(fw_trail_attach(trail, 1, 1, &e, photo, 0, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_trail_attach(trail, 1, 1, &e, NULL, 3, NULL, &error), FW_ERR_ARGUMENT);
	assert_code(fw_trail_attach(trail, 1, 1, &e, photo, FW_EVIDENCE_MOST + 1, NULL, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, "67108864");
	assert_code(fw_trail_attach(trail, 1, 1, &e, photo, sizeof photo - 1, NULL, &error),
	            FW_ERR_ARGUMENT);
	assert_contains(error.text, "hash");
	other.value = NULL;
	assert_code(fw_trail_attach(trail, 1, 1, &other, photo, sizeof photo, NULL, &error),
	            FW_ERR_ARGUMENT);
	other.value = "{not JSON";
	assert_code(fw_trail_attach(trail, 1, 1, &other, photo, sizeof photo, NULL, &error),
	            FW_ERR_ARGUMENT);
	other = e;
	other.kind = "answer";
	assert_code(fw_trail_attach(trail, 1, 1, &other, photo, sizeof photo, NULL, &error),
	            FW_ERR_ARGUMENT);
	assert_code(fw_trail_attach(trail, 1, 2, &e, photo, sizeof photo, NULL, &error), FW_ERR_BUSY);
	assert_code(fw_trail_attach(trail, 2, 1, &e, photo, sizeof photo, NULL, &error),
	            FW_ERR_NOT_FOUND);
	assert_ok(fw_trail_head(trail, 1, &seq, NULL, &error));
	assert_int_equal(seq, 1);
	fw_trail_close(trail);
	trail = open_trail(place, FW_TRAIL_READ);
	assert_code(fw_trail_attach(trail, 1, 1, &e, photo, sizeof photo, NULL, &error), FW_ERR_STATE);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
	make_ask(place->file, "SELECT count(*) FROM evidence", count, sizeof count);
	assert_string_equal(count, "0");
}

static void plain_sql_is_refused(void **state)
{
	static const char *const attempts[] = {
	    "UPDATE evidence SET bytes = x'00'",
	    "DELETE FROM evidence",
	    "REPLACE INTO evidence SELECT hash, x'00' FROM evidence",
	    "PRAGMA recursive_triggers = OFF; REPLACE INTO evidence SELECT hash, x'00' FROM evidence",
	    "INSERT INTO evidence VALUES (x'00', x'00')",
	};
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	make_job(trail, "gearbox 4-118");
	attach(trail, 1, photo, sizeof photo);
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof attempts / sizeof *attempts; i++)
		assert_int_equal(make_sql(place->file, attempts[i]), SQLITE_CONSTRAINT);
	trail = open_trail(place, FW_TRAIL_READ);
	assert_int_equal(count_flaws(trail, FW_VERIFY_ALL), 0);
	fw_trail_close(trail);
}

/* ---- changed, removed, put in ---- */

static size_t flaws_of(const struct place *place, int64_t job)
{
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_READ);
	size_t flaws = 99;

	assert_ok(fw_trail_verify(trail, job, NULL, NULL, &flaws, &error));
	fw_trail_close(trail);
	return flaws;
}

static void changed_evidence_is_noticed(void **state)
{
	static const struct {
		const char *change;
		size_t all, file, one, two; /* flaws by scope: what job 2 names is as it was */
	} cases[] = {
	    {"UPDATE evidence SET bytes = CAST(bytes || x'00' AS BLOB) WHERE length(bytes) > 6", 2, 1,
	     1, 0},
	    {"DELETE FROM evidence WHERE length(bytes) > 6", 1, 0, 1, 0},
	    {"UPDATE evidence SET hash = randomblob(32) WHERE length(bytes) > 6", 2, 1, 1, 0},
	    {"INSERT INTO evidence VALUES (randomblob(32), x'6161')", 1, 1, 0, 0},
	};
	const struct place *place = *state;
	char guards[4096];

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
		make_job(trail, "gearbox 4-118");
		make_job(trail, "gearbox 4-119");
		attach(trail, 1, photo, sizeof photo);
		attach(trail, 2, "other", 5);
		fw_trail_close(trail);
		make_ask(place->file,
		         "SELECT group_concat(sql, ';') FROM sqlite_schema WHERE name LIKE 'evidence_not%'",
		         guards, sizeof guards);
		assert_int_equal(make_sql(place->file,
		                          "DROP TRIGGER evidence_not_changed; DROP TRIGGER "
		                          "evidence_not_deleted; DROP TRIGGER evidence_not_replaced"),
		                 SQLITE_OK);
		assert_int_equal(make_sql(place->file, cases[i].change), SQLITE_OK);
		assert_int_equal(make_sql(place->file, guards), SQLITE_OK);
		assert_int_equal(flaws_of(place, FW_VERIFY_ALL), cases[i].all);
		assert_int_equal(flaws_of(place, FW_VERIFY_FILE), cases[i].file);
		assert_int_equal(flaws_of(place, 1), cases[i].one);
		assert_int_equal(flaws_of(place, 2), cases[i].two);
		make_gone(place->file);
	}
}

/* ---- as large as may be ---- */

static char *make_large(void)
{
	char *bytes = malloc(FW_EVIDENCE_MOST);

	assert_non_null(bytes);
	memset(bytes, 'x', FW_EVIDENCE_MOST);
	for (size_t i = 0; i < FW_EVIDENCE_MOST; i += 4096)
		memcpy(bytes + i, &i, sizeof i);
	return bytes;
}

static long peak_kilobytes(void)
{
	struct rusage usage;

	getrusage(RUSAGE_SELF, &usage);
	return usage.ru_maxrss;
}

/* In processes of their own, since what is measured is the most that a process ever had. */
static int write_large(const char *file)
{
	char *bytes = make_large(), value[512];
	struct fw_entry e = make_evidence(value, bytes, FW_EVIDENCE_MOST);
	struct fw_trail *trail = NULL;
	long before = peak_kilobytes();

	if (fw_trail_open(&trail, file, FW_TRAIL_WRITE, NULL) ||
	    fw_trail_attach(trail, 1, 1, &e, bytes, FW_EVIDENCE_MOST, NULL, NULL))
		return 255;
	fw_trail_close(trail);
	free(bytes);
	return (int)((peak_kilobytes() - before) / 1024);
}

static int read_large(const char *file)
{
	char *wanted = make_large(), *bytes = NULL;
	struct fw_trail *trail = NULL;
	uint8_t hash[FW_HASH];
	size_t size;

	fw_trail_hash(hash, wanted, FW_EVIDENCE_MOST);
	free(wanted);
	/* freed memory of that size is given back: what follows is counted against the 64 MiB again */
	if (fw_trail_open(&trail, file, FW_TRAIL_READ, NULL) ||
	    fw_trail_evidence(trail, hash, &bytes, &size, NULL) || size != FW_EVIDENCE_MOST)
		return 255;
	fw_trail_hash(hash, bytes, size);
	free(bytes);
	fw_trail_close(trail);
	return (int)(peak_kilobytes() / 1024);
}

static int verify_large(const char *file)
{
	struct fw_trail *trail = NULL;
	size_t flaws = 1;

	if (fw_trail_open(&trail, file, FW_TRAIL_READ, NULL) ||
	    fw_trail_verify(trail, FW_VERIFY_ALL, NULL, NULL, &flaws, NULL) || flaws)
		return 255;
	fw_trail_close(trail);
	return (int)(peak_kilobytes() / 1024);
}

static int in_child(int (*work)(const char *file), const char *file)
{
	int status = -1;
	pid_t child = fork();

	assert_true(child >= 0);
	if (child == 0)
		_exit(work(file));
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_true(WIFEXITED(status));
	assert_int_not_equal(WEXITSTATUS(status), 255);
	return WEXITSTATUS(status);
}

static void the_largest_file_is_kept(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	make_job(trail, "gearbox 4-118");
	fw_trail_close(trail);
	int written = in_child(write_large, place->file);
	int verified = in_child(verify_large, place->file);
	int read = in_child(read_large, place->file);
	print_message(
	    "  64 MiB attached with %d MiB more at the most, read with %d MiB, checked with %d MiB\n",
	    written, read, verified);
#ifndef KEEPS_FREED
	assert_in_range(written, 0, 80);
	assert_in_range(read, 64, 145);
	assert_in_range(verified, 64, 145);
#endif
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(what_was_attached_reads_back), TEST(wrong_evidence_is_refused),
	    TEST(plain_sql_is_refused),         TEST(changed_evidence_is_noticed),
	    TEST(the_largest_file_is_kept),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
