/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_folds.c  Which entries stand is worked out by the engine and, apart from it, by the
 * report. Both are held against each other on jobs made at random: entries name what they may, what
 * isn't there, themselves, what comes later, or no number. test_trail_fold.c has the view. */
#include "no_sync.h"
#include "trail_place.h"

#include "draws.h"
#include "job/job_internal.h"
#include "report/model.h"

enum { SEEDS = 80, ENTRIES = 60 };

static uint64_t draw_below(uint64_t *seed, uint64_t most)
{
	return next(seed) % most;
}

static void append_number(char *out, size_t size, int64_t number)
{
	size_t used = strlen(out);

	snprintf(out + used, size - used, "%s%lld", used ? "," : "", (long long)number);
}

/* The report strikes no withdrawal: it is shown with what it took back. */
static void tell_engine(char *out, size_t size, const struct fw_records *records)
{
	for (size_t i = 0; i < records->count; i++)
		if (!records->list[i].struck)
			append_number(out, size, records->list[i].seq);
}

static void tell_report(char *out, size_t size, const struct fw_report_job *job)
{
	for (size_t i = 0; i < job->count; i++)
		if (!job->entries[i].struck_by && !fw_report_is(&job->entries[i], "withdraw"))
			append_number(out, size, job->entries[i].seq);
}

/* What an entry that strikes says that it strikes: mostly a number that may be. */
static void put_named(char *out, size_t size, uint64_t *seed, int64_t seq)
{
	static const char *const odd[] = {"0",      "1",         "-1",   "9223372036854775807",
	                                  "\"5\"",  "6.0",       "null", "-9223372036854775808",
	                                  "[3, 4]", "{\"a\": 3}"};

	if (draw_below(seed, 6) > 0)
		snprintf(out, size, "%lld", (long long)draw_below(seed, (uint64_t)seq + 3));
	else
		snprintf(out, size, "%s", odd[draw_below(seed, sizeof odd / sizeof *odd)]);
}

static struct fw_entry make_any(char value[160], uint64_t *seed, int64_t seq)
{
	static const char *const kinds[] = {"answer", "finding",  "finding", "sign",   "amend",
	                                    "lapse",  "release",  "reopen",  "note",   "evidence",
	                                    "amend",  "withdraw", "answer",  "finding"};
	const char *kind = kinds[draw_below(seed, sizeof kinds / sizeof *kinds)];
	char a[32], b[32];

	put_named(a, sizeof a, seed, seq);
	put_named(b, sizeof b, seed, seq);
	if (strcmp(kind, "withdraw") == 0) /* not all of it each time */
		snprintf(value, 160, "{\"entry\":%lld}",
		         (long long)(seq - 1 - (int64_t)draw_below(seed, 5)));
	else if (strcmp(kind, "amend") == 0)
		snprintf(value, 160, "{\"amends\":%s}", a);
	else
		snprintf(value, 160, "{\"entries\":[%s,%s]}", a, b);
	if (draw_below(seed, 30) == 0)
		snprintf(value, 160, "{\"%s\":%s}", strcmp(kind, "withdraw") == 0 ? "entry" : "entries", a);
	return make_entry(kind, "{}", NULL, value);
}

static void assert_alike(struct fw_trail *trail, const struct fw_records *records, bool verdicts,
                         uint64_t seed)
{
	struct fw_error error = {0};
	struct fw_report_job job;
	char engine[1024] = "", report[1024] = "";

	assert_ok(verdicts ? fw_report_read_verdicts(&job, trail, 1, &error)
	                   : fw_report_read_entries(&job, trail, 1, &error));
	tell_engine(engine, sizeof engine, records);
	tell_report(report, sizeof report, &job);
	if (strcmp(report, engine) != 0)
		fail_msg("seed %u: report %s, engine %s", (unsigned)seed, report, engine);
	assert_int_equal(job.count, records->count);
	for (size_t i = 0; i < job.count; i++)
		assert_int_equal(job.entries[i].root, records->list[i].root);
	fw_report_free(&job);
}

static void report_and_engine_agree(void **state)
{
	const struct place *place = *state;
	static struct fw_entry all[ENTRIES];
	static char values[ENTRIES][160];
	size_t struck = 0;

	for (uint64_t seed = 1; seed <= SEEDS; seed++) {
		struct fw_error error = {0};
		struct fw_records records;
		uint64_t draws = seed;
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
		assert_int_equal(make_job(trail, "box"), 1);
		for (size_t i = 0; i < ENTRIES; i++)
			all[i] = make_any(values[i], &draws, (int64_t)i + 2);
		assert_ok(fw_trail_append(trail, 1, 1, all, ENTRIES, NULL, &error));
		assert_ok(fw_records_read(&records, trail, 1, &error));
		for (size_t i = 0; i < records.count; i++)
			struck += records.list[i].struck;
		assert_alike(trail, &records, false, seed);
		assert_alike(trail, &records, true, seed);
		fw_records_free(&records);
		fw_trail_close(trail);
		make_gone(place->file);
	}
	print_message("  %d jobs, %d entries, %zu of them struck out\n", SEEDS, SEEDS * (ENTRIES + 1),
	              struck);
	assert_true(struck > (size_t)SEEDS * ENTRIES / 8 && struck < (size_t)SEEDS * ENTRIES * 9 / 10);
}

/* The beginning stays, whatever a withdrawal says. */
static void the_beginning_stays(void **state)
{
	static const char *const values[] = {"{\"entry\":1}", "{\"entry\":0}", "{\"entry\":-3}"};
	struct fw_error error = {0};
	struct fw_records records;
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_entry answer = make_entry("answer", "{}", NULL, "{}");

	assert_int_equal(make_job(trail, "box"), 1);
	make_append(trail, 1, &answer);
	for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
		struct fw_entry back = make_entry("withdraw", NULL, "r", values[i]);
		make_append(trail, 1, &back);
	}
	assert_ok(fw_records_read(&records, trail, 1, &error));
	assert_false(records.list[1].struck);
	assert_alike(trail, &records, false, 0);
	fw_records_free(&records);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(report_and_engine_agree),
	    TEST(the_beginning_stays),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
