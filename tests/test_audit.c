/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A finished job is changed in every way in turn, and audited.
 *
 * First by one who changes the file and no more: the chain shows every change. Then by one who has
 * no key but patience: who works the whole chain out again, and writes the new head into the
 * signature and the release too. What is left against him is that the job can be worked out again.
 * He is found out wherever a fact follows from others. What he can change unseen, as the tests
 * below hold still (each is asserted to go unseen, so that this list stays true):
 *
 * - `at`, as long as no time runs backwards, and `who`;
 * - words, where what was typed and what was understood are changed alike: notes, remarks, the name
 * signed with, the reason for taking an answer back;
 * - choices and wrench settings on which nothing worked out depends, changed alike in both columns;
 * - of the beginning: the unit's name, names of the procedure's and sheet's files, releases of Lua
 * and of the program, keys that aren't known;
 * - the end: entries cut off from some answer on, so that the job looks unfinished; and a job made
 * up whole.
 *
 * Against those stand the head on the printed report, a copy in other hands, and whoever remembers.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "bench.h"
#include "script/json.h"
#include "trail_make.h"

#define PROCEDURE    FW_TEST_SOURCE "/procedures/shaft-end-float.lua"
#define SHEET        FW_TEST_SOURCE "/demo/gearbox.lua"
#define ANSWERS      FW_TEST_SOURCE "/demo/answers.txt"
#define ENTRIES_MOST 256

/* One entry of the good job. */
struct kept {
	char *kind, *step, *ask, *typed, *value;
};

struct scene {
	struct bench bench;
	char bad[PATH_MAX];
	struct kept entry[ENTRIES_MOST]; /* by seq */
	int64_t count, sign;             /* entries; seq of the signature */
	struct bench_audit audit;        /* of the last change */
};

static char *copy_of(const char *text)
{
	return text ? strdup(text) : NULL;
}

static int keep_entry(void *context, const struct fw_entry *e)
{
	struct scene *s = context;

	assert_true(e->seq < ENTRIES_MOST);
	s->entry[e->seq] = (struct kept){copy_of(e->kind), copy_of(e->step), copy_of(e->ask),
	                                 copy_of(e->typed), copy_of(e->value)};
	s->count = e->seq;
	if (strcmp(e->kind, "sign") == 0)
		s->sign = e->seq;
	return 0;
}

/* The demonstration's job, with one answer taken back and one reading confirmed on the way. */
static int open_scene(void **state)
{
	struct scene *s = calloc(1, sizeof *s);
	struct bench_answers answers;
	struct fw_error error = {0};

	assert_non_null(s);
	bench_open(&s->bench);
	make_name(s->bad, s->bench.folder, "bad.db");
	bench_answers_read(&answers, ANSWERS);
	struct fw_job *job = bench_begin(&s->bench, PROCEDURE, SHEET);
	for (size_t i = 0; i < answers.count; i++) {
		if (strcmp(answers.list[i].step, "stack-as-found") == 0) {
			assert_ok(fw_job_answer(job, "12.0", true, &error)); /* asked about, confirmed */
			assert_ok(fw_job_withdraw(job, "a decimal place", &error));
		}
		assert_ok(bench_give(job, &answers.list[i], &error));
	}
	fw_job_close(job);
	bench_answers_free(&answers);
	bench_audit_sound(&s->audit, s->bench.trail, 1);
	assert_true(s->audit.sum.released);
	assert_ok(fw_trail_walk(s->bench.trail, 1, keep_entry, s, &error));
	bench_shut(&s->bench);
	*state = s;
	return 0;
}

static int close_scene(void **state)
{
	struct scene *s = *state;

	for (int64_t i = 1; i <= s->count; i++) {
		struct kept *e = &s->entry[i];
		free(e->kind);
		free(e->step);
		free(e->ask);
		free(e->typed);
		free(e->value);
	}
	bench_close(&s->bench);
	free(s);
	return 0;
}

/* Whether the audit calls the job broken after `sql` by that hand. The chain must show it, without
 * the job's being worked out again, unless the seals were forged too: what the check of the chain
 * finds, the audit reports (see the_audit_reports_the_chain). */
static bool is_seen(struct scene *s, enum bench_hand hand, const char *sql)
{
	bench_copy(s->bench.file, s->bad);
	bench_tamper(s->bad, sql, hand);
	if (hand != BENCH_SEALED)
		return bench_flaws(s->bad, 1) > 0;
	bench_audit(&s->audit, s->bad, 1);
	return s->audit.sum.broken > 0;
}

/* Frees `sql`, made by sqlite3_mprintf(). */
static bool seen(struct scene *s, enum bench_hand hand, char *sql)
{
	assert_non_null(sql);
	bool broken = is_seen(s, hand, sql);
	sqlite3_free(sql);
	return broken;
}

/* ---- each column of each entry ---- */

static const char *const changes[] = {
    "kind = 'note'",
    "step = coalesce(step, '') || 'x'",
    "at = replace(at, '.000Z', '.001Z')",
    "who = who || 'x'",
    "ask = coalesce(ask, '{}') || ' '",
    "typed = coalesce(typed, '') || 'x'",
    "value = coalesce(value, '{}') || ' '",
    "prev = CAST(zeroblob(31) || x'01' AS BLOB)",
    "hash = CAST(zeroblob(31) || x'01' AS BLOB)",
};

static void chain_shows_each_change(void **state)
{
	struct scene *s = *state;
	size_t made = 0;

	for (int64_t seq = 1; seq <= s->count; seq++)
		for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
			made++;
			if (!seen(s, BENCH_PLAIN,
			          sqlite3_mprintf("UPDATE entry SET %s WHERE seq = %lld", changes[i],
			                          (long long)seq)))
				fail_msg("entry %lld: '%s' goes unseen", (long long)seq, changes[i]);
		}
	printf("changed and no more: %zu of %zu changes of a column seen\n", made, made);
}

/* All that the check of the chain finds stands in the audit. */
static void the_audit_reports_the_chain(void **state)
{
	struct scene *s = *state;

	for (int64_t seq = 1; seq <= s->count; seq += 7)
		for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
			char *sql =
			    sqlite3_mprintf("UPDATE entry SET %s WHERE seq = %lld", changes[i], (long long)seq);
			assert_true(seen(s, BENCH_PLAIN, sql));
			bench_audit(&s->audit, s->bad, 1);
			assert_true(s->audit.sum.broken >= bench_flaws(s->bad, 1));
		}
}

/* The chain worked out again, but not what was signed: all before the signature is sealed by it. */
static void signature_shows_each_change(void **state)
{
	struct scene *s = *state;
	size_t made = 0;

	for (int64_t seq = 1; seq < s->sign; seq++)
		for (size_t i = 0; i < 7; i++) {
			made++;
			if (!seen(s, BENCH_CHAIN,
			          sqlite3_mprintf("UPDATE entry SET %s WHERE seq = %lld", changes[i],
			                          (long long)seq)))
				fail_msg("entry %lld: '%s' goes unseen", (long long)seq, changes[i]);
		}
	printf("chain worked out again, seals left: %zu of %zu changes before the signature seen\n",
	       made, made);
}

/* ---- the patient hand ---- */

/* What sort of entry it is: another kind is tried once on each sort, as what shows it is the same.
 */
static void sort_of(const struct kept *e, char *out, size_t size)
{
	json_t *ask = e->ask ? json_loads(e->ask, 0, NULL) : NULL;
	const char *find = json_string_value(json_object_get(ask, "find"));
	const char *word = json_string_value(json_object_get(ask, "word"));
	const char *kind = json_string_value(json_object_get(ask, "ask"));

	snprintf(out, size, "%s %s %s %s", e->kind, find ? find : "-", word ? word : "-",
	         kind ? kind : "-");
	json_decref(ask);
}

static bool first_of_its_sort(const struct scene *s, int64_t seq)
{
	char sort[256], other[256];

	sort_of(&s->entry[seq], sort, sizeof sort);
	for (int64_t i = 1; i < seq; i++) {
		sort_of(&s->entry[i], other, sizeof other);
		if (strcmp(sort, other) == 0)
			return false;
	}
	return true;
}

/* Kind and step are facts that replay holds against the procedure. */
static void replay_shows_kinds_and_steps(void **state)
{
	static const char *const kinds[] = {"begin", "answer",  "finding", "withdraw",
	                                    "sign",  "release", "note"};
	struct scene *s = *state;
	size_t made = 0;

	for (int64_t seq = 1; seq <= s->count; seq++) {
		for (size_t i = 0; i < sizeof kinds / sizeof *kinds && first_of_its_sort(s, seq); i++) {
			if (strcmp(kinds[i], s->entry[seq].kind) == 0)
				continue;
			made++;
			if (!seen(s, BENCH_SEALED,
			          sqlite3_mprintf("UPDATE entry SET kind = '%s' WHERE seq = %lld", kinds[i],
			                          (long long)seq)))
				fail_msg("entry %lld: kind %s goes unseen", (long long)seq, kinds[i]);
		}
		made++;
		if (!seen(s, BENCH_SEALED,
		          sqlite3_mprintf("UPDATE entry SET step = coalesce(step, '') || 'x' "
		                          "WHERE seq = %lld",
		                          (long long)seq)))
			fail_msg("entry %lld: its step goes unseen", (long long)seq);
	}
	printf("chain and seals worked out again: %zu of %zu changes of kind and step seen\n", made,
	       made);
}

/* Times and names are not: from some entry on, so that no time runs back. */
static void replay_shows_no_times_and_names(void **state)
{
	struct scene *s = *state;

	for (int64_t seq = 1; seq <= s->count; seq++)
		if (seen(s, BENCH_SEALED,
		         sqlite3_mprintf("UPDATE entry SET %s, %s WHERE seq >= %lld", changes[2],
		                         changes[3], (long long)seq)))
			fail_msg("entry %lld: '%s' or '%s' is seen; take it off the list above:\n%s",
			         (long long)seq, changes[2], changes[3], s->audit.text);
}

static void replay_shows_what_was_typed(void **state)
{
	struct scene *s = *state;
	size_t made = 0, unseen = 0;

	for (int64_t seq = 1; seq <= s->count; seq++) {
		bool broken = seen(s, BENCH_SEALED,
		                   sqlite3_mprintf("UPDATE entry SET typed = coalesce(typed, '') || 'x' "
		                                   "WHERE seq = %lld",
		                                   (long long)seq));
		bool reason = strcmp(s->entry[seq].kind, "withdraw") == 0;
		if (broken == reason)
			fail_msg("entry %lld (%s): what was typed is %s", (long long)seq, s->entry[seq].kind,
			         broken ? "seen" : "unseen");
		made += broken;
		unseen += reason;
	}
	printf("typed alone: %zu seen, %zu unseen (a reason for taking back)\n", made, unseen);
}

/* A missing entry, the ones behind it moved up. Cut at the end it looks unfinished, which is no
 * flaw. */
static void replay_shows_missing_entries(void **state)
{
	struct scene *s = *state;
	size_t made = 0;

	for (int64_t seq = 1; seq < s->count; seq++, made++)
		if (!seen(s, BENCH_SEALED,
		          sqlite3_mprintf("DELETE FROM entry WHERE seq = %lld;"
		                          "UPDATE entry SET seq = 1000 + seq WHERE seq > %lld;"
		                          "UPDATE entry SET seq = seq - 1001 WHERE seq > 1000",
		                          (long long)seq, (long long)seq)))
			fail_msg("entry %lld is missing, and it goes unseen", (long long)seq);
	for (int64_t seq = 2; seq <= s->count; seq++)
		if (seen(s, BENCH_SEALED,
		         sqlite3_mprintf("DELETE FROM entry WHERE seq >= %lld", (long long)seq)))
			fail_msg("cut at %lld it is called broken:\n%s", (long long)seq, s->audit.text);
		else
			assert_false(s->audit.sum.released);
	printf("one entry left out: %zu of %zu seen; cut off at the end: unseen, but not released\n",
	       made, made);
}

/* ---- each leaf of the JSON ---- */

/* A change of one place in a JSON document. */
enum change { ALTER, REMOVE, ADD };

struct leaf {
	json_t *object; /* that holds the key */
	const char *key;
	size_t index; /* of an array, when key is NULL */
	json_t *array;
	char path[256]; /* "$.quantity.si", numbers of array items left out */
};

struct sweep {
	struct scene *scene;
	int64_t seq;
	const char *column;
	json_t *root;
	char done[65536]; /* what was changed before, so that each sort of fact is changed once */
	size_t seen, unseen;
};

static json_t *altered(const json_t *value)
{
	char text[4096];

	if (json_is_string(value)) {
		snprintf(text, sizeof text, "%s~", json_string_value(value));
		return json_string(text);
	}
	if (json_is_integer(value))
		return json_integer(json_integer_value(value) + 1);
	if (json_is_real(value))
		return json_real(json_real_value(value) == 0.0 ? 1e-6 : 1.00001 * json_real_value(value));
	return json_boolean(!json_is_true(value));
}

/* Facts of the beginning that nothing follows from. */
static bool may_go_unseen(const struct sweep *sweep, const char *path, enum change change)
{
	static const char *const free_facts[] = {"$.unit", "$.procedure.name", "$.sheet.name", "$.lua",
	                                         "$.fitwright"};

	if (strcmp(sweep->scene->entry[sweep->seq].kind, "begin") != 0)
		return false;
	if (change == ADD)
		return strcmp(path, "$") == 0 || strcmp(path, "$.procedure") == 0 ||
		       strcmp(path, "$.sheet") == 0 || strcmp(path, "$.modules[]") == 0;
	for (size_t i = 0; i < sizeof free_facts / sizeof *free_facts; i++)
		if (strcmp(path, free_facts[i]) == 0)
			return change == ALTER || !strstr(path, ".name"); /* a source must have a name */
	return false;
}

static void try_document(struct sweep *sweep, const char *path, enum change change)
{
	static const char *const names[] = {"altered", "removed", "added"};
	char *text = fw_json_text(sweep->root);

	assert_non_null(text);
	bool broken = seen(sweep->scene, BENCH_SEALED,
	                   sqlite3_mprintf("UPDATE entry SET %s = %Q WHERE seq = %lld", sweep->column,
	                                   text, (long long)sweep->seq));
	free(text);
	if (broken == may_go_unseen(sweep, path, change))
		fail_msg("entry %lld (%s), %s %s %s: %s\n%s", (long long)sweep->seq,
		         sweep->scene->entry[sweep->seq].kind, sweep->column, path, names[change],
		         broken ? "seen, so take it off the list" : "goes unseen",
		         sweep->scene->audit.text);
	sweep->seen += broken;
	sweep->unseen += !broken;
}

/* Each sort of fact is changed where it first comes up. */
static bool is_new(struct sweep *sweep, const char *path, enum change change)
{
	char mark[640], sort[256];

	sort_of(&sweep->scene->entry[sweep->seq], sort, sizeof sort);
	snprintf(mark, sizeof mark, "|%s %s %s %d|", sort, sweep->column, path, (int)change);
	if (strstr(sweep->done, mark))
		return false;
	assert_true(strlen(sweep->done) + strlen(mark) < sizeof sweep->done);
	strcat(sweep->done, mark);
	return true;
}

/* The head and count of a seal are the hand's own to write. */
static bool is_seal(const struct sweep *sweep, const char *path)
{
	const char *kind = sweep->scene->entry[sweep->seq].kind;
	return (strcmp(kind, "sign") == 0 || strcmp(kind, "release") == 0) &&
	       strcmp(path, "$.head") == 0;
}

static void sweep_value(struct sweep *sweep, json_t *value, const char *path);

static void sweep_member(struct sweep *sweep, json_t *object, const char *key, const char *path)
{
	json_t *value = json_incref(json_object_get(object, key));

	if (is_seal(sweep, path)) {
		json_decref(value);
		return;
	}
	if (!json_is_object(value) && !json_is_array(value) && is_new(sweep, path, ALTER)) {
		json_object_set_new(object, key, altered(value));
		try_document(sweep, path, ALTER);
		json_object_set(object, key, value);
	}
	if (is_new(sweep, path, REMOVE)) {
		json_object_del(object, key);
		try_document(sweep, path, REMOVE);
		json_object_set(object, key, value);
	}
	sweep_value(sweep, value, path);
	json_decref(value);
}

static void sweep_object(struct sweep *sweep, json_t *object, const char *path)
{
	char inner[256];
	size_t count = 0;
	const char *key, *keys[64];
	json_t *value;

	json_object_foreach(object, key, value)
	{
		assert_true(count < 64);
		keys[count++] = strdup(key);
	}
	for (size_t i = 0; i < count; i++) {
		snprintf(inner, sizeof inner, "%s.%s", path, keys[i]);
		sweep_member(sweep, object, keys[i], inner);
		free((char *)keys[i]);
	}
	if (is_new(sweep, path, ADD)) {
		json_object_set_new(object, "extra", json_true());
		try_document(sweep, path, ADD);
		json_object_del(object, "extra");
	}
}

static void sweep_array(struct sweep *sweep, json_t *array, const char *path)
{
	char inner[256];

	snprintf(inner, sizeof inner, "%s[]", path);
	for (size_t i = 0; i < json_array_size(array); i++) {
		json_t *value = json_incref(json_array_get(array, i));
		if (!json_is_object(value) && is_new(sweep, inner, ALTER)) {
			json_array_set_new(array, i, altered(value));
			try_document(sweep, inner, ALTER);
			json_array_set(array, i, value);
		}
		if (is_new(sweep, inner, REMOVE)) {
			json_array_remove(array, i);
			try_document(sweep, inner, REMOVE);
			json_array_insert(array, i, value);
		}
		sweep_value(sweep, value, inner);
		json_decref(value);
	}
}

static void sweep_value(struct sweep *sweep, json_t *value, const char *path)
{
	if (json_is_object(value))
		sweep_object(sweep, value, path);
	else if (json_is_array(value))
		sweep_array(sweep, value, path);
}

static void sweep_column(struct sweep *sweep, const char *column, const char *text)
{
	if (!text)
		return;
	sweep->column = column;
	sweep->root = json_loads(text, 0, NULL);
	assert_non_null(sweep->root);
	sweep_value(sweep, sweep->root, "$");
	json_decref(sweep->root);
}

static void replay_shows_each_fact(void **state)
{
	static struct sweep sweep;
	struct scene *s = *state;

	memset(&sweep, 0, sizeof sweep);
	sweep.scene = s;
	for (int64_t seq = 1; seq <= s->count; seq++) {
		sweep.seq = seq;
		sweep_column(&sweep, "ask", s->entry[seq].ask);
		sweep_column(&sweep, "value", s->entry[seq].value);
	}
	printf("facts in the JSON, each sort altered, removed, added to: %zu seen, %zu unseen (the "
	       "beginning's names)\n",
	       sweep.seen, sweep.unseen);
	assert_true(sweep.seen > 200);
}

/* ---- typed and understood changed alike ---- */

static json_t *ask_of(const struct kept *e)
{
	json_t *ask = json_loads(e->ask, 0, NULL);

	assert_non_null(ask);
	return ask;
}

/* Another answer to the same question, well formed; NULL when there is none. */
static char *another_answer(const struct kept *e, const struct fw_question *q,
                            struct fw_answer *out)
{
	char text[512], *rest;
	struct fw_error error = {0};
	json_t *value = json_loads(e->value, 0, NULL);

	out->ask = q->ask;
	switch (q->ask) {
	case FW_ASK_QUANTITY:
		snprintf(text, sizeof text, "%.2f", strtod(e->typed, &rest) + 0.01);
		strcat(text, rest);
		assert_ok(fw_quantity_parse(&out->quantity, text, q->unit, &error));
		break;
	case FW_ASK_CHOICE:
		out->option = (size_t)json_integer_value(json_object_get(value, "index"));
		out->option = (out->option + 1) % q->option_count;
		out->text = q->options[out->option];
		snprintf(text, sizeof text, "%s", out->text);
		break;
	case FW_ASK_TEXT:
		snprintf(text, sizeof text, "%s or so", e->typed);
		break;
	case FW_ASK_DONE:
	case FW_ASK_SIGN:
		text[0] = '\0';
		break;
	}
	json_decref(value);
	if (text[0] == '\0')
		return NULL;
	char *typed = strdup(text);
	if (q->ask == FW_ASK_TEXT)
		out->text = typed;
	return typed;
}

/* Whether something that was recorded follows from the answer. */
static bool matters(const struct fw_question *q)
{
	return strcmp(q->word, "measure") == 0 || strcmp(q->word, "part") == 0;
}

static void replay_shows_changed_readings(void **state)
{
	struct scene *s = *state;
	size_t shown = 0, unseen = 0;

	for (int64_t seq = 1; seq <= s->count; seq++) {
		const struct kept *e = &s->entry[seq];
		struct fw_question_view view = {0};
		struct fw_answer answer = {0};
		struct fw_error error = {0};
		if (strcmp(e->kind, "answer") != 0)
			continue;
		json_t *ask = ask_of(e);
		assert_ok(fw_question_view_set(&view, ask, &error));
		char *typed = another_answer(e, &view.question, &answer);
		bool taken_back = strcmp(e->typed, "12.0") == 0;
		if (typed && !taken_back) {
			json_t *value = fw_json_answer(&answer, false);
			char *text = fw_json_text(value);
			bool broken = seen(s, BENCH_SEALED,
			                   sqlite3_mprintf("UPDATE entry SET typed = %Q, value = %Q "
			                                   "WHERE seq = %lld",
			                                   typed, text, (long long)seq));
			if (matters(&view.question) && !broken)
				fail_msg("entry %lld (%s): \"%s\" for \"%s\" goes unseen", (long long)seq, e->step,
				         typed, e->typed);
			shown += broken;
			unseen += !broken;
			free(text);
			json_decref(value);
		}
		free(typed);
		fw_question_view_clear(&view);
		json_decref(ask);
	}
	printf(
	    "typed and understood changed alike: %zu seen (every reading, every decision on a part), "
	    "%zu unseen (words, marks, wrench settings)\n",
	    shown, unseen);
	assert_true(shown > 0 && unseen > 0);
}

/* ---- what a rewriter of last digits could do ---- */

/* Numbers may differ in their last digits from machine to machine; that is no licence to alter the
 * words. */
static void last_digits_are_no_licence(void **state)
{
	struct scene *s = *state;

	assert_true(is_seen(
	    s, BENCH_SEALED,
	    "UPDATE entry SET value = json_set(value, '$.probability', "
	    "json_extract(value, '$.probability') * 0.9999999999999, '$.text', 'end float: 0.180 mm') "
	    "WHERE json_extract(ask, '$.find') = 'verdict' AND step = 'as-left'"));
	/* The digits alone, as another mathematical library would give them, are no flaw. */
	bench_copy(s->bench.file, s->bad);
	bench_tamper(s->bad,
	             "UPDATE entry SET value = json_set(value, '$.quantity.u', "
	             "json_extract(value, '$.quantity.u') * 1.00000000001) "
	             "WHERE json_extract(ask, '$.find') = 'measurement'",
	             BENCH_SEALED);
	bench_audit(&s->audit, s->bad, 1);
	if (s->audit.sum.broken > 0)
		fail_msg("last digits are called a flaw:\n%s", s->audit.text);
}

/* ---- another release ---- */

static void another_release_is_noted(void **state)
{
	struct scene *s = *state;

	assert_false(is_seen(s, BENCH_SEALED,
	                     "UPDATE entry SET value = json_set(value, '$.lua', 'Lua 5.4.1', "
	                     "'$.fitwright', '0.0.1') WHERE kind = 'begin'"));
	assert_contains(s->audit.text, "recorded with Lua 5.4.1, audited with Lua 5.4.");
	assert_contains(s->audit.text, "recorded with Fitwright 0.0.1, audited with ");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(chain_shows_each_change),
	    cmocka_unit_test(the_audit_reports_the_chain),
	    cmocka_unit_test(signature_shows_each_change),
	    cmocka_unit_test(replay_shows_kinds_and_steps),
	    cmocka_unit_test(replay_shows_no_times_and_names),
	    cmocka_unit_test(replay_shows_what_was_typed),
	    cmocka_unit_test(replay_shows_missing_entries),
	    cmocka_unit_test(replay_shows_each_fact),
	    cmocka_unit_test(replay_shows_changed_readings),
	    cmocka_unit_test(last_digits_are_no_licence),
	    cmocka_unit_test(another_release_is_noted),
	};
	return cmocka_run_group_tests(tests, open_scene, close_scene);
}
