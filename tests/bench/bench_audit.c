/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every job of a trail audited, against the least that must be done: its rows read and hashed, and
 * a coroutine resumed once a row. One thread, and two.
 *
 *   bench_audit [JOBS [ENTRIES [TRAIL]]]    TRAIL: one made before; kept */
#include <lauxlib.h>
#include <lua.h>
#include <lualib.h>
#include <pthread.h>
#include <sodium.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "shop.h"

#define ROUNDS 3

/* --- the peer --- */

static size_t put_number(unsigned char *at, uint64_t number)
{
	for (int i = 0; i < 8; i++)
		at[i] = (unsigned char)(number >> (56 - 8 * i));
	return 8;
}

static size_t put_column(unsigned char *at, sqlite3_stmt *row, int column)
{
	const unsigned char *text = sqlite3_column_text(row, column);
	if (!text) {
		*at = 'n';
		return 1;
	}
	size_t size = (size_t)sqlite3_column_bytes(row, column);
	*at = 't';
	put_number(at + 1, size);
	memcpy(at + 9, text, size);
	return size + 9;
}

/* By docs/trail.md, "The chain". */
static void check_row(sqlite3_stmt *row)
{
	static unsigned char bytes[1 << 16];
	unsigned char *at = bytes, hash[32];

	memcpy(at, "fitwright-entry-1", 18);
	at += 18;
	memcpy(at, sqlite3_column_blob(row, 9), 32);
	at += 32;
	for (int i = 0; i < 2; i++) {
		*at++ = 'i';
		at += put_number(at, (uint64_t)sqlite3_column_int64(row, i));
	}
	for (int i = 2; i < 9; i++)
		at += put_column(at, row, i);
	crypto_generichash(hash, sizeof hash, bytes, (size_t)(at - bytes), NULL, 0);
	if (memcmp(hash, sqlite3_column_blob(row, 10), sizeof hash) != 0)
		bench_fail("peer", "a row hasn't the hash it bears");
}

static lua_State *make_coroutine(lua_State *L)
{
	static const char body[] = "local n = 0 while true do n = n + 1 coroutine.yield { step = "
	                           "'play', ask = 'quantity', round = n } end";
	lua_State *thread = lua_newthread(L);

	if (luaL_loadstring(thread, body) != LUA_OK)
		bench_fail("peer", lua_tostring(thread, -1));
	return thread;
}

static void peer(const char *file, long *rows)
{
	sqlite3 *db;
	sqlite3_stmt *row;
	lua_State *L = luaL_newstate();
	int results;

	luaL_openlibs(L);
	lua_State *thread = make_coroutine(L);
	if (sqlite3_open_v2(file, &db, SQLITE_OPEN_READONLY, NULL) != SQLITE_OK ||
	    sqlite3_prepare_v2(db,
	                       "SELECT job, seq, kind, step, at, who, ask, typed, value, prev, hash"
	                       " FROM entry ORDER BY job, seq",
	                       -1, &row, NULL) != SQLITE_OK)
		bench_fail("peer", sqlite3_errmsg(db));
	for (*rows = 0; sqlite3_step(row) == SQLITE_ROW; ++*rows) {
		check_row(row);
		if (lua_resume(thread, L, 0, &results) != LUA_YIELD)
			bench_fail("peer", lua_tostring(thread, -1));
		lua_pop(thread, results);
	}
	sqlite3_finalize(row);
	sqlite3_close(db);
	lua_close(L);
}

/* --- ours --- */

struct part {
	const char *file;
	int64_t from, to; /* jobs */
	bool whole;       /* the file as well */
	size_t findings;
};

static void hear_flaw(void *context, const struct fw_flaw *flaw)
{
	(void)context;
	bench_fail("flaw", flaw->what);
}

static void hear_line(void *context, const struct fw_audit_line *line)
{
	(void)context;
	if (line->weight == FW_AUDIT_BROKEN)
		bench_fail("broken", line->what);
}

static void *audit_part(void *context)
{
	struct part *part = context;
	struct fw_audit_sum sum;
	struct fw_error error;
	struct fw_trail *trail;
	size_t flaws;

	if (fw_trail_open(&trail, part->file, FW_TRAIL_READ, &error) != FW_OK)
		bench_fail("open", error.text);
	if (part->whole &&
	    fw_trail_verify(trail, FW_VERIFY_FILE, hear_flaw, NULL, &flaws, &error) != FW_OK)
		bench_fail("verify", error.text);
	for (int64_t job = part->from; job < part->to; job++) {
		if (fw_job_audit(trail, job, NULL, hear_line, NULL, &sum, &error) != FW_OK)
			bench_fail("audit", error.text);
		part->findings += sum.findings_recomputed;
	}
	fw_trail_close(trail);
	return NULL;
}

static void audit(const char *file, int64_t jobs, bool two)
{
	struct part whole = {file, 1, 1, true, 0}, first = {file, 1, 1 + jobs, false, 0},
	            second = first;
	pthread_t thread;

	audit_part(&whole);
	if (two) {
		first.to = second.from = 1 + jobs / 2;
		if (pthread_create(&thread, NULL, audit_part, &second) != 0)
			bench_fail("thread", "can't be made");
	}
	audit_part(&first);
	if (two)
		pthread_join(thread, NULL);
}

static void measure(const char *file, int64_t jobs)
{
	double of_peer[ROUNDS], of_one[ROUNDS], one_wall[ROUNDS], of_two[ROUNDS], of_file[ROUNDS];
	long rows = 0;

	for (unsigned i = 0; i < ROUNDS; i++) {
		struct part whole = {file, 1, 1, true, 0};
		double from = bench_cpu();
		peer(file, &rows);
		of_peer[i] = bench_cpu() - from;
		from = bench_cpu();
		audit_part(&whole);
		of_file[i] = bench_cpu() - from;
		from = bench_cpu();
		double wall = bench_wall();
		audit(file, jobs, false);
		of_one[i] = bench_cpu() - from;
		one_wall[i] = bench_wall() - wall;
		wall = bench_wall();
		audit(file, jobs, true);
		of_two[i] = bench_wall() - wall;
	}
	double p = bench_median(of_peer, ROUNDS), a = bench_median(of_one, ROUNDS);
	double one = bench_median(one_wall, ROUNDS), two = bench_median(of_two, ROUNDS);
	const double n = (double)rows;
	printf("%ld entries in %lld jobs\n", rows, (long long)jobs);
	printf("rows read and hashed, a coroutine resumed: %.2f s, %.2f us an entry\n", p, 1e6 * p / n);
	printf("audited, one thread:                       %.2f s, %.2f us an entry; %.2f times as "
	       "long (limit 2)\n",
	       a, 1e6 * a / n, a / p);
	printf("  of it the file (schema, integrity):      %.2f s\n", bench_median(of_file, ROUNDS));
	printf("wall clock, one thread %.2f s, two %.2f s: %.2f times as fast\n", one, two, one / two);
}

int main(int argc, char **argv)
{
	const int64_t jobs = argc > 1 ? atoll(argv[1]) : 10000;
	const unsigned entries = argc > 2 ? (unsigned)atoi(argv[2]) : 100;
	struct bench_shop shop;

	if (sodium_init() < 0)
		bench_fail("libsodium", "can't be used");
	if (argc > 3 && access(argv[3], R_OK) == 0) {
		measure(argv[3], jobs);
		return 0;
	}
	bench_shop_open(&shop);
	double from = bench_wall();
	for (int64_t i = 0; i < jobs; i++)
		bench_shop_job(&shop, entries);
	printf("made in %.1f s\n", bench_wall() - from);
	bench_shop_shut(&shop);
	if (argc > 3 && rename(shop.file, argv[3]) != 0)
		bench_fail(argv[3], "can't be kept");
	measure(argc > 3 ? argv[3] : shop.file, jobs);
	bench_shop_remove(&shop);
	return 0;
}
