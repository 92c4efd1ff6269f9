/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is recorded of the gauges of readings: replayed, amended, listed, audited. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "gauge_bench.h"

/* ---- the register is no input of the procedure ---- */

static void a_replay_does_not_ask_the_register(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	give(job, "a", "0.40");
	give(job, "a", "0.42");
	fw_job_close(job);
	char *before = bench_listing(bench.trail, 1);
	enter(&bench, "DI-2", "dial indicator", 0.05, 0.5, 0, NULL);
	enter_dial(&bench, "DI-1");
	assert_ok(fw_shop_gauge_retire(bench.trail, "DI-2", "fell", "A. Sample", NULL, &error));
	job = bench_resume(&bench, 1);
	char *after = bench_listing(bench.trail, 1);
	assert_string_equal(before, after);
	expect_gauge(job, "DI-1", "");
	bench_audit_sound(&audit, bench.trail, 1);
	fw_job_close(job);
	free(before);
	free(after);
	bench_close(&bench);
}

/* Whoever makes a gauge better than the shop's log says is found, even with a chain worked out anew
 * and a finding to match. */
static void figures_that_nobody_recorded_are_found(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;

	bench_open(&bench);
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	give(job, "a", "0.4");
	fw_job_close(job);
	bench_shut(&bench);
	bench_tamper(bench.file,
	             "update entry set value = replace(value, '\"due\":\"2026-12-31\"', "
	             "'\"due\":\"2027-12-31\"') where job = 1 and kind = 'answer'",
	             BENCH_CHAIN);
	bench_audit(&audit, bench.file, 1);
	assert_contains(audit.text,
	                "B 2 what is recorded of gauge DI-2 isn't what entry 2 of the shop's "
	                "log says of it; 1 reading was taken with it");
	/* Each figure by itself. */
	static const char *const parts[] = {"'$.id', 'DI-3'",          "'$.kind', 'Dial indicator'",
	                                    "'$.resolution.si', 9e-6", "'$.error.si', 1.9e-5",
	                                    "'$.relative', 0.01",      "'$.calibrated', '2025-03-02'",
	                                    "'$.source', 'hearsay'"};
	char copy[PATH_MAX], sql[400];
	make_name(copy, bench.folder, "copy.db");
	for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
		bench_copy(bench.file, copy);
		snprintf(sql, sizeof sql,
		         "update entry set value = json_set(value, '$.gauge', json(json_set(value -> "
		         "'$.gauge', '$.due', '2026-12-31', %s))) where job = 1 and kind = 'answer'",
		         parts[i]);
		bench_tamper(copy, sql, BENCH_CHAIN);
		bench_audit(&audit, copy, 1);
		assert_contains(audit.text, "isn't what entry 2 of the shop's log says of it");
	}
	bench_tamper(
	    bench.file,
	    "update entry set value = replace(value, '\"entry\":2', '\"entry\":1') where job = "
	    "1 and kind = 'answer'",
	    BENCH_CHAIN);
	bench_audit(&audit, bench.file, 1);
	assert_contains(audit.text, "entry 1 of the shop's log");
	/* What is no gauge at all stops the replay. */
	bench_tamper(bench.file,
	             "update entry set value = json_set(value, '$.gauge.resolution', 7) where job = 1 "
	             "and kind = 'answer'",
	             BENCH_CHAIN);
	bench_audit(&audit, bench.file, 1);
	assert_true(audit.sum.broken > 0);
	bench_reopen(&bench);
	bench_close(&bench);
}

/* Two gauges in one measurement: no program of ours writes that. */
static void two_gauges_in_one_measurement_stop_a_replay(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;

	bench_open(&bench);
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	fw_job_close(job);
	bench_shut(&bench);
	bench_tamper(bench.file,
	             "update entry set value = json_remove(value, '$.gauge') where job = 1 and seq = 3",
	             BENCH_CHAIN);
	bench_audit(&audit, bench.file, 1);
	assert_contains(audit.text, "different gauges");
	assert_true(audit.sum.broken > 0);
	bench_reopen(&bench);
	bench_close(&bench);
}

/* A job begun under format 1 goes on as it began: without registered gauges. */
static void a_job_of_old_knows_no_gauges(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	bench_shut(&bench);
	unlink(bench.file);
	bench_copy(FW_TEST_SOURCE "/tests/data/format-1.db", bench.file);
	bench_reopen(&bench);
	enter(&bench, "VC-1", "vernier caliper", 0.02, 0.03, 0, NULL);
	enter(&bench, "FG-1", "feeler gauge", 0.05, 0.01, 0, NULL);
	enter_dial(&bench, "DI-1");
	struct fw_job *job = bench_resume(&bench, 3);
	expect_gauge(job, NULL, "");
	assert_null(fw_job_gauge_at(job, 0));
	assert_code(fw_job_use_gauge(job, "DI-1", &error), FW_ERR_INPUT);
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 2);
	assert_null(strstr(audit.text, "register"));
	bench_close(&bench);
}

/* What readings may lie apart is told by the gauge they were taken with: four steps and twice the
 * error. */
static void scatter_is_judged_by_the_gauge(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	enter(&bench, "DI-1", "dial indicator", 0.001, 0.002, 0, NULL); /* 8 µm */
	enter(&bench, "DI-2", "dial indicator", 0.05, 0.05, 0, NULL);   /* 300 µm */
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.40");
	give(job, "a", "0.42");
	assert_string_equal(fw_job_pending(job)->item, "spread");
	give(job, "a", "measure again"); /* a new measurement: the choice is free */
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "a", "0.40");
	give(job, "a", "0.60");
	assert_string_equal(fw_job_pending(job)->step, "b");
	fw_job_close(job);
	bench_close(&bench);
}

/* What was taken back was never used. */
static void what_is_taken_back_chooses_nothing(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	enter_dial(&bench, "DI-1");
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "a", "0.4");
	fw_job_close(job);
	job = bench_resume(&bench, 1);
	expect_gauge(job, "DI-2", "");
	assert_ok(fw_job_withdraw(job, "the wrong gauge", &error));
	expect_gauge(job, NULL, "say which");
	fw_job_close(job);
	bench_close(&bench);
}

/* ---- amended, and uses ---- */

static void an_amended_reading_keeps_its_gauge(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};
	char text[64];

	bench_open(&bench);
	enter_dial(&bench, "DI-1");
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	assert_ok(fw_job_amend(job, 2, "0.41", false, "misread", &error));
	ask(&bench, "select value ->> '$.gauge.id' from entry where kind = 'amend'", text, sizeof text);
	assert_string_equal(text, "DI-1");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_null(strstr(audit.text, "register"));
	fw_job_close(job);
	bench_close(&bench);
}

/* A record in which the amendment names the other gauge, to the letter as the shop's log has it. */
static void an_amendment_changes_no_gauge(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	enter_dial(&bench, "DI-1"); /* entry 2 of the log */
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	assert_ok(fw_job_amend(job, 2, "0.41", false, "misread", &error));
	fw_job_close(job);
	bench_audit_sound(&audit, bench.trail, 1);
	bench_shut(&bench);
	bench_tamper(bench.file,
	             "UPDATE entry SET value = replace(replace(value, 'DI-1', 'DI-2'), '\"entry\":2', "
	             "'\"entry\":3') WHERE job = 1 AND kind = 'amend'",
	             BENCH_SEALED);
	bench_audit(&audit, bench.file, 1);
	if (!strstr(audit.text, "3 it names another gauge than the reading that it amends"))
		fail_msg("the audit found\n%s", audit.text);
	bench_close(&bench);
}

static int list_use(void *context, const struct fw_gauge_use *use)
{
	char *text = context;
	size_t used = strlen(text);

	snprintf(text + used, 1000 - used, "%lld/%lld %s %s%s%s%s\n", (long long)use->job,
	         (long long)use->seq, use->step,
	         use->check  ? use->check
	         : use->item ? use->item
	                     : "-",
	         use->check ? ": " : " ", use->check ? use->verdict : use->typed,
	         use->struck ? " struck" : "");
	return 0;
}

static int stop_at_once(void *context, const struct fw_gauge_use *use)
{
	(void)use;
	++*(int *)context;
	return 77;
}

static void every_reading_it_took(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	char text[1000] = "";
	int calls = 0;

	bench_open(&bench);
	enter_dial(&bench, "DI-1");
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	give(job, "a", "0.42");
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "b", "0.3");
	assert_ok(fw_job_withdraw(job, "slipped", &error));
	give(job, "b", "0.31");
	fw_job_close(job);
	job = begin(&bench, narrow); /* a job that it never came near */
	assert_ok(fw_job_use_gauge(job, "none", &error));
	give(job, "tight", "0.12");
	fw_job_close(job);

	assert_ok(fw_shop_gauge_uses(bench.trail, "di-2", NULL, list_use, text, &error));
	assert_string_equal(text, "1/6 b - 0.3 struck\n"
	                          "1/8 step step: within struck\n"
	                          "1/10 b - 0.31\n"
	                          "1/12 step step: within\n");
	text[0] = '\0';
	assert_ok(fw_shop_gauge_uses(bench.trail, "DI-1", "2026-03-05", list_use, text, &error));
	assert_string_equal(text, "1/2 a reading 1 of 2 0.4\n"
	                          "1/3 a reading 2 of 2 0.42\n"
	                          "1/5 first first: within\n"
	                          "1/8 step step: within struck\n"
	                          "1/12 step step: within\n");
	text[0] = '\0';
	assert_ok(fw_shop_gauge_uses(bench.trail, "DI-1", "2026-03-06", list_use, text, &error));
	assert_ok(fw_shop_gauge_uses(bench.trail, "DI-12", NULL, list_use, text, &error));
	assert_string_equal(text, "");
	assert_int_equal(fw_shop_gauge_uses(bench.trail, "DI-1", NULL, stop_at_once, &calls, &error),
	                 77);
	assert_int_equal(calls, 1);
	assert_code(fw_shop_gauge_uses(bench.trail, "DI-1", "soon", list_use, text, &error),
	            FW_ERR_ARGUMENT);
	bench_close(&bench);
}

/* A check of a later day rests on readings of the days before: it isn't in question if they aren't.
 */
static void uses_from_a_day_on(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	char path[PATH_MAX], text[1000] = "", at[32] = "2026-03-05T08:00:00.000Z";
	const struct fw_job_begin what = {path, NULL, "gearbox", "R. Example"};
	struct fw_job *job;

	bench_open(&bench);
	enter_dial(&bench, "DI-1");
	enter_dial(&bench, "DI-2");
	bench_write(&bench, "procedure.lua", procedure, path);
	assert_ok(fw_job_begin(&job, bench.trail, &what, told_time, at, &error));
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	at[9] = '7';
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "b", "0.3");
	fw_job_close(job);
	assert_ok(fw_shop_gauge_uses(bench.trail, "DI-1", "2026-03-06", list_use, text, &error));
	assert_string_equal(text, "");
	assert_ok(fw_shop_gauge_uses(bench.trail, "DI-2", "2026-03-07", list_use, text, &error));
	assert_string_equal(text, "1/6 b - 0.3\n1/8 step step: within\n");
	bench_close(&bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(a_replay_does_not_ask_the_register),
	    cmocka_unit_test(figures_that_nobody_recorded_are_found),
	    cmocka_unit_test(two_gauges_in_one_measurement_stop_a_replay),
	    cmocka_unit_test(a_job_of_old_knows_no_gauges),
	    cmocka_unit_test(an_amended_reading_keeps_its_gauge),
	    cmocka_unit_test(an_amendment_changes_no_gauge),
	    cmocka_unit_test(scatter_is_judged_by_the_gauge),
	    cmocka_unit_test(what_is_taken_back_chooses_nothing),
	    cmocka_unit_test(every_reading_it_took),
	    cmocka_unit_test(uses_from_a_day_on),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
