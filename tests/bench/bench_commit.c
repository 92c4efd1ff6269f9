/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One entry of some 300 bytes on the disk, against the barest durable commit of 300 bytes that
 * SQLite can make on the same disk with the same journal: an insert into a table of one column. And
 * an answer given to a job, which is two such commits where something follows from it.
 *
 *   bench_commit [COMMITS]     TMPDIR says on which disk */
#include <sodium.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "shop.h"

#define ROUNDS 7

static sqlite3 *open_bare(const char *file, sqlite3_stmt **insert)
{
	sqlite3 *db;

	if (sqlite3_open(file, &db) != SQLITE_OK ||
	    sqlite3_exec(db,
	                 "PRAGMA journal_mode = DELETE; PRAGMA synchronous = EXTRA;"
	                 "CREATE TABLE bare (bytes BLOB)",
	                 NULL, NULL, NULL) != SQLITE_OK ||
	    sqlite3_prepare_v2(db, "INSERT INTO bare VALUES (?)", -1, insert, NULL) != SQLITE_OK)
		bench_fail("bare", sqlite3_errmsg(db));
	return db;
}

/* A statement outside BEGIN … COMMIT is a transaction of its own. */
static void commit_bare(sqlite3 *db, sqlite3_stmt *insert)
{
	unsigned char bytes[300];

	randombytes_buf(bytes, sizeof bytes);
	sqlite3_bind_blob(insert, 1, bytes, sizeof bytes, SQLITE_STATIC);
	if (sqlite3_step(insert) != SQLITE_DONE)
		bench_fail("bare", sqlite3_errmsg(db));
	sqlite3_reset(insert);
}

static const char ask[] =
    "{\"ask\":\"quantity\",\"word\":\"measure\",\"step\":\"play\",\"item\":\"reading 1 of "
    "3\",\"round\":0,"
    "\"say\":\"Rock the shaft, read the dial.\",\"unit\":\"mm\",\"gauge\":\"dial indicator\"}";

static int64_t commit_entry(struct fw_trail *trail, int64_t job, int64_t after)
{
	struct fw_error error;
	char value[96], typed[16];

	snprintf(typed, sizeof typed, "0.%04u", randombytes_uniform(10000));
	snprintf(value, sizeof value,
	         "{\"quantity\":{\"si\":%se-3,\"unit\":\"mm\",\"text\":\"%s mm\"}}", typed, typed);
	const struct fw_entry entry = {.kind = "answer",
	                               .step = "play",
	                               .at = "2026-12-31T23:59:59.000Z",
	                               .who = "R. Example",
	                               .ask = ask,
	                               .typed = typed,
	                               .value = value};
	if (fw_trail_append(trail, job, after, &entry, 1, NULL, &error) != FW_OK)
		bench_fail("append", error.text);
	return after + 1;
}

/* A task follows on a task: one entry, one commit. */
static void answer_task(struct fw_job *job)
{
	struct fw_error error;
	const struct fw_question *q = fw_job_pending(job);

	if (!q || q->ask != FW_ASK_DONE)
		bench_fail("answer", "a task was meant to be asked");
	if (fw_job_answer(job, "", false, &error) != FW_OK)
		bench_fail("answer", error.text);
}

static struct fw_trail *open_trail(const char *file)
{
	struct fw_error error;
	struct fw_trail *trail;

	if (fw_trail_open(&trail, file, FW_TRAIL_WRITE, &error) != FW_OK)
		bench_fail("open", error.text);
	return trail;
}

/* A job that asks for nothing but tasks. */
static struct fw_job *begin_tasks(struct bench_shop *shop, struct fw_trail *trail)
{
	static const char text[] =
	    "return procedure { title = \"Bench: tasks\", phases = { \"Work\" }, sheet = {},\n"
	    "  run = function() phase \"Work\" for n = 1, 1000000 do\n"
	    "    task { id = \"wipe\", say = \"Wipe the bore of the housing dry.\" } end end }\n";
	static const char none[] = "return sheet {}\n";
	struct fw_error error;
	struct fw_job *job;
	FILE *file = fopen(shop->procedure, "w");

	if (!file || fputs(text, file) < 0 || fclose(file) != 0)
		bench_fail(shop->procedure, "can't be written");
	file = fopen(shop->sheet, "w");
	if (!file || fputs(none, file) < 0 || fclose(file) != 0)
		bench_fail(shop->sheet, "can't be written");
	const struct fw_job_begin begin = {shop->procedure, shop->sheet, "unit 1", "R. Example"};
	if (fw_job_begin(&job, trail, &begin, NULL, NULL, &error) != FW_OK)
		bench_fail("begin", error.text);
	return job;
}

struct round {
	double bare, entry, answer; /* seconds each */
};

static struct round measure(struct bench_shop *shop, sqlite3 *db, sqlite3_stmt *insert,
                            struct fw_job *tasks, int64_t job, unsigned commits)
{
	struct fw_trail *trail = open_trail(shop->file);
	struct fw_error error;
	struct round r;
	int64_t seq;

	if (fw_trail_head(trail, job, &seq, NULL, &error) != FW_OK)
		bench_fail("head", error.text);
	double from = bench_wall();
	for (unsigned i = 0; i < commits; i++)
		commit_bare(db, insert);
	r.bare = (bench_wall() - from) / commits;
	from = bench_wall();
	for (unsigned i = 0; i < commits; i++)
		seq = commit_entry(trail, job, seq);
	r.entry = (bench_wall() - from) / commits;
	from = bench_wall();
	for (unsigned i = 0; i < commits; i++)
		answer_task(tasks);
	r.answer = (bench_wall() - from) / commits;
	fw_trail_close(trail);
	return r;
}

static void show(const char *what, double seconds, double bare)
{
	printf("%-46s %7.3f ms  %.2f\n", what, 1e3 * seconds, seconds / bare);
}

int main(int argc, char **argv)
{
	const unsigned commits = argc > 1 ? (unsigned)atoi(argv[1]) : 200;
	double bare[ROUNDS], entry[ROUNDS], answer[ROUNDS], entry_ratio[ROUNDS], answer_ratio[ROUNDS];
	struct bench_shop shop;
	sqlite3_stmt *insert;
	char file[PATH_MAX + 8];

	bench_shop_open(&shop);
	int64_t job = bench_shop_job(&shop, 100);
	bench_shop_shut(&shop);
	snprintf(file, sizeof file, "%.4000s.bare", shop.file);
	sqlite3 *db = open_bare(file, &insert);
	struct fw_trail *trail = open_trail(shop.file);
	struct fw_job *tasks = begin_tasks(&shop, trail);
	for (unsigned i = 0; i < ROUNDS; i++) {
		struct round r = measure(&shop, db, insert, tasks, job, commits);
		bare[i] = r.bare;
		entry[i] = r.entry;
		answer[i] = r.answer;
		entry_ratio[i] = r.entry / r.bare;
		answer_ratio[i] = r.answer / r.bare;
	}
	double b = bench_median(bare, ROUNDS);
	printf("%u rounds of %u commits; times of the bare commit\n", ROUNDS, commits);
	show("bare commit of 300 bytes", b, b);
	show("entry appended", bench_median(entry, ROUNDS), b);
	show("task answered", bench_median(answer, ROUNDS), b);
	printf("round by round, the median ratio: entry %.2f, answer %.2f (limit 1.5)\n",
	       bench_median(entry_ratio, ROUNDS), bench_median(answer_ratio, ROUNDS));
	fw_job_close(tasks);
	fw_trail_close(trail);
	sqlite3_finalize(insert);
	sqlite3_close(db);
	unlink(file);
	bench_shop_remove(&shop);
	return 0;
}
