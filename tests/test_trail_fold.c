/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail_fold.c  Which entries stand is worked out twice: by the engine, and by the view
 * `standing` for people. Both are held against each other on jobs made at random. */
#include "no_sync.h"
#include "trail_place.h"

#include "draws.h"
#include "job/job_internal.h"

enum { SEEDS = 12, ENTRIES = 70 };

static uint64_t draw_below(uint64_t *seed, uint64_t most)
{
	return next(seed) % most;
}

/* No answer stands between a release and its reopening: who takes back from there takes the release
 * back. */
static int64_t out_of_release(const struct fw_entry *all, int64_t seq)
{
	for (int64_t at = seq - 1; at >= 2; at--) {
		if (strcmp(all[at].kind, "reopen") == 0)
			return seq;
		if (strcmp(all[at].kind, "release") == 0)
			return at;
	}
	return seq;
}

/* Makes an entry of any kind that may come, naming earlier ones that it may name. */
static void put_any(bool *released, uint64_t *seed, struct fw_entry *all, char (*values)[64],
                    int64_t seq)
{
	static const char *const kinds[] = {"answer",  "answer",   "answer",  "finding", "finding",
	                                    "sign",    "amend",    "amend",   "lapse",   "reopen",
	                                    "release", "evidence", "withdraw"};
	const char *kind = kinds[draw_below(seed, sizeof kinds / sizeof *kinds)];
	int64_t named = 2 + (int64_t)draw_below(seed, (uint64_t)seq);
	int64_t other = 2 + (int64_t)draw_below(seed, (uint64_t)seq);
	char *value = values[seq];

	/* what is amended is an answer; where there is none at or after that number, this is one */
	while (strcmp(kind, "amend") == 0 && named < seq && strcmp(all[named].kind, "answer") != 0 &&
	       strcmp(all[named].kind, "amend") != 0 && strcmp(all[named].kind, "sign") != 0)
		named++;
	if (named >= seq)
		kind = "answer";
	/* a released job goes on once it is reopened, and only a released one is */
	if (*released ? strcmp(kind, "reopen") != 0 && strcmp(kind, "evidence") != 0
	              : strcmp(kind, "reopen") == 0)
		kind = *released ? "evidence" : "release";
	int64_t back = out_of_release(all, seq - 1 - (int64_t)draw_below(seed, 4));
	*released = strcmp(kind, "release") == 0 || (*released && strcmp(kind, "reopen") != 0);
	if (strcmp(kind, "withdraw") == 0)
		snprintf(value, 64, "{\"entry\":%lld}", (long long)back);
	else if (strcmp(kind, "amend") == 0)
		snprintf(value, 64, "{\"amends\":%lld}", (long long)named);
	else
		snprintf(value, 64, "{\"entries\":[%lld,%lld]}", (long long)named,
		         (long long)(other < seq ? other : 2));
	all[seq] = make_entry(kind, "{}", NULL, value);
}

static void make_random(const struct place *place, uint64_t seed)
{
	static struct fw_entry all[ENTRIES + 2];
	static char values[ENTRIES + 2][64];
	bool released = false;
	struct fw_error error = {0};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

	assert_int_equal(make_job(trail, "box"), 1);
	all[2] = make_entry("answer", "{}", NULL, "{}");
	for (int64_t seq = 3; seq < ENTRIES + 2; seq++)
		put_any(&released, &seed, all, values, seq);
	assert_ok(fw_trail_append(trail, 1, 1, all + 2, ENTRIES, NULL, &error));
	fw_trail_close(trail);
}

static void append_number(char *out, size_t size, int64_t number)
{
	size_t used = strlen(out);

	snprintf(out + used, size - used, "%s%lld", used ? "," : "", (long long)number);
}

static void view_and_engine_agree(void **state)
{
	const struct place *place = *state;
	unsigned struck = 0, stand = 0;

	for (uint64_t seed = 1; seed <= SEEDS; seed++) {
		struct fw_error error = {0};
		struct fw_records records;
		char engine[1024] = "", view[1024];
		make_random(place, seed);
		struct fw_trail *trail = open_trail(place, FW_TRAIL_READ);
		assert_ok(fw_records_read(&records, trail, 1, &error));
		for (size_t i = 0; i < records.count; i++) {
			struck += records.list[i].struck;
			if (!records.list[i].struck && !fw_record_is(&records.list[i], "lapse"))
				append_number(engine, sizeof engine, records.list[i].seq);
		}
		stand += (unsigned)records.count;
		fw_records_free(&records);
		fw_trail_close(trail);
		make_ask(
		    place->file,
		    "SELECT group_concat(seq) FROM (SELECT seq FROM standing WHERE job = 1 ORDER BY seq)",
		    view, sizeof view);
		assert_string_equal(view, engine);
		make_gone(place->file);
	}
	print_message("  %d jobs, %u entries, %u of them struck out\n", SEEDS, stand, struck);
	assert_true(struck > stand / 8 && struck < stand * 9 / 10);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(view_and_engine_agree),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
