/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A stranger's trail: the good job with its columns, its JSON and its sources changed at random,
 * the chain and the seals worked out again, so that nothing stops it at the door. Whatever it
 * holds, audit, reports, list and resume come back, and what they show steers no terminal and no
 * browser.
 *
 *   test_hostile [ROUNDS [SEED]]   more of it, for a night; run it under the sanitizers
 */
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "bench.h"
#include "face/show.h"
#include "face_screen.h"
#include "fitwright/report.h"
#include "script/json.h"
#include "trail_make.h"

#define PROCEDURE    FW_TEST_SOURCE "/procedures/shaft-end-float.lua"
#define SHEET        FW_TEST_SOURCE "/demo/gearbox.lua"
#define ANSWERS      FW_TEST_SOURCE "/demo/answers.txt"
#define ENTRIES_MOST 256
/* Of the ordinary run, whichever comes first. */
#define ROUNDS       600
#define SECONDS_MOST 5

static long rounds = ROUNDS;
static uint64_t seed = 20260305;

struct scene {
	struct bench bench;
	char bad[PATH_MAX];
	char *ask[ENTRIES_MOST], *value[ENTRIES_MOST]; /* by seq */
	int64_t count;
	uint64_t chance;
	char what[512]; /* the last change, for the message of a failure */
};

/* xorshift64 (G. Marsaglia, Journal of Statistical Software 8, 2003). */
static uint64_t next_chance(struct scene *s)
{
	s->chance ^= s->chance << 13;
	s->chance ^= s->chance >> 7;
	s->chance ^= s->chance << 17;
	return s->chance;
}

static size_t below(struct scene *s, size_t most)
{
	return (size_t)(next_chance(s) % most);
}

static int keep_entry(void *context, const struct fw_entry *e)
{
	struct scene *s = context;

	assert_true(e->seq < ENTRIES_MOST);
	s->ask[e->seq] = e->ask ? strdup(e->ask) : NULL;
	s->value[e->seq] = e->value ? strdup(e->value) : NULL;
	s->count = e->seq;
	return 0;
}

static int open_scene(void **state)
{
	struct scene *s = calloc(1, sizeof *s);
	struct bench_answers answers;
	struct fw_error error = {0};

	assert_non_null(s);
	s->chance = seed;
	bench_open(&s->bench);
	make_name(s->bad, s->bench.folder, "bad.db");
	bench_answers_read(&answers, ANSWERS);
	struct fw_job *job = bench_begin(&s->bench, PROCEDURE, SHEET);
	assert_ok(bench_give(job, &answers.list[0], &error));
	assert_ok(fw_job_withdraw(job, "once more", &error));
	bench_play(job, &answers);
	fw_job_close(job);
	bench_answers_free(&answers);
	assert_ok(fw_trail_walk(s->bench.trail, 1, keep_entry, s, &error));
	bench_shut(&s->bench);
	*state = s;
	return 0;
}

static int close_scene(void **state)
{
	struct scene *s = *state;

	for (int64_t i = 1; i <= s->count; i++) {
		free(s->ask[i]);
		free(s->value[i]);
	}
	bench_close(&s->bench);
	free(s);
	return 0;
}

/* ---- changes ---- */

static json_t *nested(size_t depth, bool objects)
{
	json_t *out = json_integer(1);

	while (depth--) {
		json_t *outer = objects ? json_object() : json_array();
		if (objects)
			json_object_set_new(outer, "quantity", out);
		else
			json_array_append_new(outer, out);
		out = outer;
	}
	return out;
}

static json_t *long_list(size_t count)
{
	json_t *list = json_array();

	for (size_t i = 0; i < count; i++)
		json_array_append_new(list, json_integer((json_int_t)i));
	return list;
}

static json_t *long_text(size_t count)
{
	char *text = malloc(count + 1);

	memset(text, 'w', count);
	text[count] = '\0';
	json_t *out = json_string(text);
	free(text);
	return out;
}

static json_t *evil_text(struct scene *s)
{
	static const char *const texts[] = {
	    "",
	    " ",
	    "-",
	    "within",
	    "mm",
	    "N·m",
	    "no-such-unit",
	    "verdict",
	    "quantity",
	    "choice",
	    "<script>alert(1)</script>",
	    "\"><img src=x onerror=alert(1)>",
	    "]]>&amp;&lt;",
	    "\x1b]0;owned\x07\x1b[2J\x1b[31mred",
	    "\xC2\x9B"
	    "31m",
	    "\xE2\x80\xAE"
	    "drow",
	    "line\nline\rline\tline",
	    "%s%n%1000000000d",
	    "../../../../etc/passwd",
	    "2026-03-05T14:03:11.250Z",
	    "9999-99-99T99:99:99.999Z",
	    "0000000000000000000000000000000000000000000000000000000000000000",
	    "999999999999999999999999",
	};
	return json_string(texts[below(s, sizeof texts / sizeof *texts)]);
}

static json_t *evil_number(struct scene *s)
{
	static const json_int_t wholes[] = {0, -1, 1, 2, 255, 1000001, INT32_MAX, INT64_MAX, INT64_MIN};
	static const double reals[] = {0.0,  -0.0, 1e-320, -1e-320, 1e308, -1e308,    1e300,
	                               1e17, 0.5,  1.0,    -1.0,    1e-9,  123456.789};

	if (below(s, 2))
		return json_integer(wholes[below(s, sizeof wholes / sizeof *wholes)]);
	return json_real(reals[below(s, sizeof reals / sizeof *reals)]);
}

static json_t *evil(struct scene *s)
{
	switch (below(s, 12)) {
	case 0:
		return json_null();
	case 1:
		return json_boolean(below(s, 2));
	case 2:
		return json_object();
	case 3:
		return json_array();
	case 4:
		return nested(1 + below(s, 900), below(s, 2));
	case 5:
		return long_list(1 + below(s, 3000));
	case 6:
		return long_text(1 + below(s, 20000));
	case 7:
	case 8:
	case 9:
		return evil_number(s);
	default:
		return evil_text(s);
	}
}

/* Changes one place somewhere in `value`. */
static void change_json(struct scene *s, json_t *value)
{
	const char *key = NULL;
	json_t *inner = NULL;
	size_t index = 0;

	if (json_is_object(value) && json_object_size(value) > 0) {
		void *at = json_object_iter(value);
		for (size_t i = below(s, json_object_size(value)); i > 0; i--)
			at = json_object_iter_next(value, at);
		key = json_object_iter_key(at);
		inner = json_object_iter_value(at);
	} else if (json_is_array(value) && json_array_size(value) > 0) {
		index = below(s, json_array_size(value));
		inner = json_array_get(value, index);
	} else {
		return;
	}
	if ((json_object_size(inner) > 0 || json_array_size(inner) > 0) && below(s, 4) > 0) {
		change_json(s, inner);
		return;
	}
	bool gone = below(s, 5) == 0;
	if (key && gone)
		json_object_del(value, key);
	else if (key)
		json_object_set_new(value, key, evil(s));
	else if (gone)
		json_array_remove(value, index);
	else
		json_array_set_new(value, index, evil(s));
}

static char *changed_column(struct scene *s, const char *text)
{
	json_t *json = text ? json_loads(text, 0, NULL) : NULL;

	if (!json || below(s, 20) == 0) {
		json_decref(json);
		json = evil(s);
	}
	for (size_t n = 1 + below(s, 3); n > 0; n--)
		change_json(s, json);
	char *out = json_dumps(json, JSON_COMPACT | JSON_ENCODE_ANY | JSON_REAL_PRECISION(17));
	json_decref(json);
	assert_non_null(out);
	if (below(s, 20) == 0)
		out[below(s, strlen(out) + 1)] = '\0'; /* no JSON any more */
	return out;
}

static char *change_entry(struct scene *s)
{
	int64_t seq = 1 + (int64_t)below(s, (size_t)s->count);
	bool ask = below(s, 2) == 0;
	char *text = changed_column(s, ask ? s->ask[seq] : s->value[seq]);
	char *sql = sqlite3_mprintf("UPDATE entry SET %s = %Q WHERE seq = %lld", ask ? "ask" : "value",
	                            text, (long long)seq);

	free(text);
	return sql;
}

/* Columns that hold words: bytes that are no text, a zero byte, marks that steer. */
static char *change_words(struct scene *s)
{
	static const char *const columns[] = {"kind", "step", "at", "who", "typed"};
	static const char *const words[] = {
	    "CAST(x'FF1B5B324A' AS TEXT)",
	    "CAST(x'C3' AS TEXT)",
	    "'a' || char(0) || 'b'",
	    "char(27) || '[31m'",
	    "char(0x9B) || '31m'",
	    "'<script>' || char(10) || char(13)",
	    "''",
	    "NULL",
	    "'answer'",
	    "'withdraw'",
	    "'finding'",
	    "'release'",
	    "'sign'",
	    "'begin'",
	    "hex(zeroblob(40000))",
	    "'0.41 mm'",
	};

	return sqlite3_mprintf("UPDATE OR IGNORE entry SET %s = %s WHERE seq = %lld",
	                       columns[below(s, sizeof columns / sizeof *columns)],
	                       words[below(s, sizeof words / sizeof *words)],
	                       (long long)(1 + below(s, (size_t)s->count)));
}

/* Bytes of the procedure or the sheet; the job then names the source by its new hash. */
static char *change_source(struct scene *s)
{
	bool sheet = below(s, 2) == 0;
	size_t size, used;
	char *text = bench_read(sheet ? SHEET : PROCEDURE, &size);
	char hex[FW_HASH_TEXT];
	uint8_t hash[FW_HASH];
	static const char *const bits[] = {
	    "nil",     "{}",  "mm(1)*Nm(1)", "(1/0)", "mm(-1e300)", "(...)", "string.rep('x', 300000)",
	    "error()", "0/0", "-- ",         "pcall", "return",     "mm",    "\xFF"};
	size_t at = below(s, size);

	for (used = 0;
	     at + used < size && strchr("abcdefghijklmnopqrstuvwxyz0123456789.", text[at + used]);)
		used++;
	char *changed = sqlite3_mprintf("%.*s%s%s", (int)at, text,
	                                bits[below(s, sizeof bits / sizeof *bits)], text + at + used);
	fw_trail_hash(hash, changed, strlen(changed));
	fw_hash_text(hex, hash);
	char *sql = sqlite3_mprintf("INSERT OR IGNORE INTO source VALUES (x'%s', CAST(%Q AS BLOB));"
	                            "UPDATE entry SET value = json_set(value, '$.%s.hash', '%s') "
	                            "WHERE seq = 1",
	                            hex, changed, sheet ? "sheet" : "procedure", hex);
	sqlite3_free(changed);
	free(text);
	return sql;
}

static void change(struct scene *s)
{
	bench_copy(s->bench.file, s->bad);
	for (size_t n = 1 + below(s, 3); n > 0; n--) {
		size_t which = below(s, 10);
		char *sql = which < 7 ? change_entry(s) : which < 9 ? change_words(s) : change_source(s);
		assert_non_null(sql);
		snprintf(s->what, sizeof s->what, "%.500s", sql);
		bench_tamper(s->bad, sql, BENCH_SEALED);
		sqlite3_free(sql);
	}
}

/* ---- what must come back, and how ---- */

/* UTF-8 without anything that a terminal or a browser obeys. */
static void assert_harmless(const struct scene *s, const char *what, const char *text)
{
	const char *end = text + strlen(text);

	if (!fw_utf8_check(text))
		fail_msg("%s isn't UTF-8 after: %s", what, s->what);
	while (text < end) {
		uint32_t c = fw_utf8_next(&text, end);
		if ((c < 0x20U && c != '\n' && c != '\t') || (c >= 0x7FU && c < 0xA0U) ||
		    (c >= 0x202AU && c <= 0x202EU))
			fail_msg("%s holds U+%04X after: %s", what, (unsigned)c, s->what);
	}
}

/* The report as text, or NULL when it was refused; free it. */
static char *report_of(struct fw_trail *trail, enum fw_report_format format)
{
	struct fw_error error = {0};
	char *text = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&text, &size);

	assert_non_null(out);
	int code = fw_report_write(out, trail, 1, format, &error);
	fclose(out);
	if (code == FW_OK)
		return text;
	assert_true(error.text[0] != '\0');
	free(text);
	return NULL;
}

static void report_all(const struct scene *s, struct fw_trail *trail)
{
	char *html = report_of(trail, FW_REPORT_HTML);
	char *text = report_of(trail, FW_REPORT_TEXT);
	char *json = report_of(trail, FW_REPORT_JSON);

	if (html) {
		assert_harmless(s, "the page", html);
		if (strstr(html, "<script") || strstr(html, "<img"))
			fail_msg("the page holds a stranger's element after: %s", s->what);
	}
	if (text)
		assert_harmless(s, "the text", text);
	if (json) {
		json_t *read = json_loads(json, 0, NULL);
		if (!read)
			fail_msg("the JSON isn't JSON after: %s", s->what);
		json_decref(read);
	}
	free(html);
	free(text);
	free(json);
}

static int count_job(void *context, const struct fw_job_line *line)
{
	(void)line;
	++*(size_t *)context;
	return 0;
}

static void read_it(struct scene *s, size_t *broken)
{
	static struct bench_audit audit;
	struct fw_error error = {0};
	struct fw_trail *trail;
	size_t jobs = 0;

	if (fw_trail_open(&trail, s->bad, FW_TRAIL_READ, &error) != FW_OK)
		return;
	if (bench_try_audit(&audit, trail, 1, &error) == FW_OK) {
		assert_harmless(s, "the audit", audit.text);
		*broken += audit.sum.broken > 0;
	}
	fw_error_clear(&error);
	report_all(s, trail);
	fw_trail_jobs(trail, count_job, &jobs, &error);
	fw_trail_close(trail);
}

/* Goes on with it, if it lets one: what is asked is shown, and one answer given. */
static void go_on(struct scene *s, size_t *resumed)
{
	struct fw_error error = {0};
	struct fw_trail *trail;
	struct fw_job *job;
	struct page page;
	struct fw_shown shown = {0};

	if (fw_trail_open(&trail, s->bad, FW_TRAIL_WRITE, &error) != FW_OK)
		return;
	if (fw_job_resume(&job, trail, 1, NULL, bench_clock, &s->bench.clock, &error) == FW_OK) {
		++*resumed;
		page_open(&page, 80, below(s, 2));
		fw_job_show_head(&page.screen, job);
		fw_job_show_next(&page.screen, job, &shown);
		if (fw_job_pending(job)) {
			fw_question_help(&page.screen, fw_job_pending(job));
			if (fw_job_answer(job, "0.41", true, &error) == FW_OK)
				fw_job_show_next(&page.screen, job, &shown);
		}
		assert_harmless(s, "the screen", page_text(&page));
		page_close(&page);
		fw_job_close(job);
	} else {
		assert_null(job);
		assert_harmless(s, "the refusal", error.text);
	}
	fw_trail_close(trail);
}

/* Cut at some answer, so that something is asked when it is resumed. */
static void cut(struct scene *s)
{
	char sql[128];

	snprintf(sql, sizeof sql, "DELETE FROM entry WHERE seq > %lld",
	         (long long)(1 + below(s, (size_t)s->count)));
	bench_tamper(s->bad, sql, BENCH_SEALED);
}

static void strangers_trails(void **state)
{
	struct scene *s = *state;
	size_t broken = 0, resumed = 0;
	long made = 0;
	clock_t end = clock() + (clock_t)SECONDS_MOST * CLOCKS_PER_SEC;

	for (; made < rounds && (clock() < end || rounds != ROUNDS); made++) {
		change(s);
		read_it(s, &broken);
		if (below(s, 3) == 0)
			cut(s);
		go_on(s, &resumed);
	}
	printf("seed %llu: %ld trails changed at random, %zu called broken, %zu could be resumed; none "
	       "did harm\n",
	       (unsigned long long)seed, made, broken, resumed);
	assert_true(made > 20 && broken > 0 && resumed > 0);
}

int main(int argc, char **argv)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(strangers_trails)};

	if (argc > 1)
		rounds = strtol(argv[1], NULL, 10);
	if (argc > 2)
		seed = strtoull(argv[2], NULL, 10) | 1;
	return cmocka_run_group_tests(tests, open_scene, close_scene);
}
