/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings taken with the shop's gauges: which one, and what it does to the uncertainty. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "gauge_bench.h"

/* ---- which gauge ---- */

static void the_only_one_is_taken(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	char text[400];

	bench_open(&bench);
	enter_dial(&bench, "DI-2");
	enter(&bench, "M-1", "micrometer", 0.01, 0.004, 0, NULL);
	struct fw_job *job = begin(&bench, procedure);
	expect_gauge(job, "DI-2", "");
	assert_non_null(fw_job_gauge_at(job, 0));
	assert_null(fw_job_gauge_at(job, 1)); /* a micrometer is no dial indicator */
	give(job, "a", "0.40");
	give(job, "a", "0.42");
	ask(&bench,
	    "select value ->> '$.gauge.id' || ' ' || (value ->> '$.gauge.kind') || ' ' || "
	    "(value ->> '$.gauge.resolution.si') || ' ' || (value ->> '$.gauge.error.si') || ' ' || "
	    "(value ->> '$.gauge.calibrated') || ' ' || (value ->> '$.gauge.due') || ' ' || "
	    "(value ->> '$.gauge.entry') from entry where job = 1 and kind = 'answer' limit 1",
	    text, sizeof text);
	assert_string_equal(text, "DI-2 dial indicator 1.0e-05 2.0e-05 2025-03-01 2026-12-31 2");
	ask(&bench,
	    "select ask ->> '$.gauge.name' || ' ' || (ask ->> '$.gauge.id') || ' ' || "
	    "(ask ->> '$.gauge.due') || ' ' || (value ->> '$.text') from entry where job = 1 and "
	    "kind = 'finding' limit 1",
	    text, sizeof text);
	assert_contains(text, "dial indicator DI-2 2026-12-31 0.410 ");
	assert_contains(text, "mean of 2 readings, dial indicator DI-2)");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_null(strstr(audit.text, "register"));
	fw_job_close(job);
	bench_close(&bench);
}

static void of_several_one_is_named(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	enter_dial(&bench, "DI-1");
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	expect_gauge(job, NULL, "say which: /gauge DI-1 or /gauge DI-2, or /gauge none");
	refuse(&bench, job, "0.4", "say which: /gauge DI-1 or /gauge DI-2, or /gauge none");
	assert_code(fw_job_use_gauge(job, "DI-3", &error), FW_ERR_INPUT);
	assert_contains(error.text, "no gauge 'DI-3' is registered; there is /gauge DI-1 or");
	assert_ok(fw_job_use_gauge(job, "di-2", &error));
	expect_gauge(job, "DI-2", "");
	assert_ok(fw_job_use_gauge(job, "DI-1", &error)); /* thought better of it */
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	expect_gauge(job, "DI-2", ""); /* of the next measurement too */
	fw_job_close(job);

	/* After a pause, from what was recorded. */
	job = bench_resume(&bench, 1);
	expect_gauge(job, "DI-2", "");
	find_bad(&bench, "DI-2", "2026-03-05"); /* the other is taken, and why is said */
	expect_gauge(job, "DI-1", "DI-2, used before in this job, was found bad from 2026-03-05 on");
	enter_dial(&bench, "DI-2");
	expect_gauge(job, "DI-2", "");
	assert_ok(fw_job_use_gauge(job, "NONE", &error));
	expect_gauge(job, NULL, "off none of the shop's gauges; /gauge lists them");
	give(job, "b", "0.3");
	/* A wrench is asked for now, and none is registered: typical figures, as before there were any.
	 */
	expect_gauge(job, NULL, "");
	assert_code(fw_job_use_gauge(job, "DI-1", &error), FW_ERR_INPUT);
	assert_contains(error.text, "DI-1 is a dial indicator, and a torque wrench is asked for");
	give(job, "t", "50");
	assert_code(fw_job_use_gauge(job, "DI-1", &error), FW_ERR_INPUT); /* a task asks for no gauge */
	assert_null(fw_job_gauge_at(job, 0));
	fw_job_close(job);
	bench_close(&bench);
}

/* A gauge of the same name that reads something else can't take the reading. */
static void it_reads_what_is_asked_for(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	const struct fw_shop_gauge odd = {.id = (char *)"X-1",
	                                  .kind = (char *)"dial indicator",
	                                  .resolution = 1,
	                                  .unit = (char *)"N"};

	bench_open(&bench);
	assert_ok(fw_shop_gauge_record(bench.trail, &odd, "A. Sample", NULL, &error));
	struct fw_job *job = begin(&bench, procedure);
	expect_gauge(job, NULL, "");
	assert_code(fw_job_use_gauge(job, "X-1", &error), FW_ERR_INPUT);
	assert_contains(error.text, "X-1 reads in N, and mm are asked for");
	give(job, "a", "0.4");
	fw_job_close(job);
	bench_close(&bench);
}

static void one_measurement_one_gauge(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	char text[64];

	bench_open(&bench);
	enter_dial(&bench, "DI-1");
	enter_dial(&bench, "DI-2");
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	assert_code(fw_job_use_gauge(job, "DI-2", &error), FW_ERR_INPUT);
	assert_contains(error.text, "this measurement began with DI-1");
	assert_code(fw_job_use_gauge(job, "none", &error), FW_ERR_INPUT);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	fw_job_close(job);

	/* Nor after a pause. */
	job = bench_resume(&bench, 1);
	expect_gauge(job, "DI-1", "");
	assert_code(fw_job_use_gauge(job, "DI-2", &error), FW_ERR_INPUT);
	/* New figures in the middle don't touch a measurement that has begun. */
	enter(&bench, "DI-1", "dial indicator", 0.02, 0.05, 0, "2026-12-31");
	give(job, "a", "0.4");
	ask(&bench,
	    "select group_concat(value ->> '$.gauge.entry') from (select value from entry where job = "
	    "1 "
	    "and kind = 'answer' order by seq)",
	    text, sizeof text);
	assert_string_equal(text, "2,2");
	assert_near(figure(&bench, "measurement", "a", "$.quantity.u"), sqrt(1e-10 / 12 + 4e-10 / 3),
	            1e-15);
	/* The next one has them. */
	give(job, "b", "0.3");
	assert_near(figure(&bench, "measurement", "b", "$.quantity.u"), sqrt(4e-10 / 12 + 25e-10 / 3),
	            1e-15);
	/* Taken back to the first reading, the choice is free again. */
	for (int i = 0; i < 3; i++)
		assert_ok(fw_job_withdraw(job, "the wrong gauge", &error));
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "a", "0.4");
	/* Found bad in the middle: no more readings with it, and none with another. */
	find_bad(&bench, "DI-2", "2026-03-01");
	refuse(&bench, job, "0.4",
	       "DI-2, with which this measurement began, was found bad from 2026-03-01");
	assert_ok(fw_job_withdraw(job, "found bad", &error));
	refuse(&bench, job, "0.4", "DI-2 was found bad from 2026-03-01 on; say which: /gauge DI-1");
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	fw_job_close(job);
	bench_close(&bench);
}

/* Retired in the middle: there is no such gauge any more, and no other to finish with. */
static void retired_in_the_middle(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	char path[PATH_MAX],
	    at[32] = "2099-03-05T08:00:00.000Z"; /* behind the log, which has the true time */
	const struct fw_job_begin what = {path, NULL, "gearbox", "R. Example"};
	struct fw_job *job;

	bench_open(&bench);
	enter_dial(&bench, "DI-2");
	bench_write(&bench, "procedure.lua", procedure, path);
	assert_ok(fw_job_begin(&job, bench.trail, &what, told_time, at, &error));
	give(job, "a", "0.4");
	assert_ok(fw_shop_gauge_retire(bench.trail, "DI-2", "fell", "A. Sample", NULL, &error));
	refuse(&bench, job, "0.4", "DI-2, with which this measurement began, was retired on 20");
	fw_job_close(job);
	bench_close(&bench);
}

/* One begun without a registered gauge goes on without, though one was registered since. */
static void begun_without_goes_on_without(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};

	bench_open(&bench);
	struct fw_job *job = begin(&bench, procedure);
	give(job, "a", "0.4");
	enter_dial(&bench, "DI-2");
	expect_gauge(job, NULL, "");
	assert_code(fw_job_use_gauge(job, "DI-2", &error), FW_ERR_INPUT);
	assert_contains(error.text, "began with a gauge that isn't registered");
	give(job, "a", "0.4");
	expect_gauge(job, "DI-2", "");
	fw_job_close(job);
	bench_close(&bench);
}

static void overdue_is_recorded_bad_is_refused(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	enter(&bench, "DI-2", "dial indicator", 0.01, 0.02, 0, "2026-03-04");
	struct fw_job *job = begin(&bench, procedure);
	expect_gauge(job, "DI-2", "overdue since 2026-03-05");
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text,
	                "O 2 gauge DI-2 was overdue since 2026-03-05; 2 readings were taken "
	                "with it, the first at 'a'");

	find_bad(&bench, "DI-2", "2026-03-05");
	expect_gauge(job, NULL, "found bad");
	refuse(&bench, job, "0.3",
	       "DI-2 was found bad from 2026-03-05 on, and no other dial indicator is registered; to "
	       "read off one that isn't: /gauge none");
	assert_code(fw_job_use_gauge(job, "DI-2", &error), FW_ERR_INPUT);
	assert_contains(error.text, "DI-2 was found bad from 2026-03-05 on");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text, "O 2 gauge DI-2 was found bad from 2026-03-05 on (worn spindle); 2 "
	                            "readings were taken with it");
	assert_ok(fw_job_use_gauge(job, "none", &error));
	give(job, "b", "0.3");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text, "N 6 1 reading was taken with a gauge that isn't in the shop's");

	/* Repaired, it is there again; what it read before stays in question. */
	enter_dial(&bench, "DI-2");
	for (int i = 0; i < 1; i++)
		assert_ok(fw_job_withdraw(job, "repaired meanwhile", &error));
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "b", "0.3");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text, "(worn spindle); 2 readings were taken with it");

	/* Retired, it isn't there any more; typical figures then. */
	assert_ok(fw_job_withdraw(job, "dropped", &error));
	assert_ok(fw_shop_gauge_retire(bench.trail, "DI-2", "dropped", "A. Sample", NULL, &error));
	assert_null(fw_job_gauge_at(job, 0));
	refuse(&bench, job, "0.3", "DI-2 was retired; say which: /gauge none");
	fw_job_close(job);
	job = bench_resume(&bench, 1); /* what was chosen before the pause isn't there any more */
	expect_gauge(job, NULL, "");
	give(job, "b", "0.3");
	fw_job_close(job);
	bench_close(&bench);
}

/* ---- uncertainty ---- */

/* Type B of one reading with resolution d and limit of error e: u² = d²/12 + e²/3 (JCGM
 * 100:2008, 4.3.7 and F.2.2.1). Two readings off one gauge share its error, which leaves their
 * difference; of two gauges both stay (5.2.2, F.1.2.3). */
static void each_gauge_has_its_own_error(void **state)
{
	(void)state;
	struct bench bench;
	struct fw_error error = {0};
	const double d1 = 1e-5, e1 = 2e-5, d2 = 2e-5, e2 = 5e-5;
	char text[64];

	bench_open(&bench);
	enter(&bench, "DI-1", "dial indicator", 0.01, 0.02, 0, NULL);
	enter(&bench, "DI-2", "dial indicator", 0.02, 0.05, 0, NULL);
	struct fw_job *job = begin(&bench, procedure);
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	assert_near(figure(&bench, "measurement", "a", "$.quantity.u"),
	            sqrt(d1 * d1 / 12 + e1 * e1 / 3), 1e-15);
	/* Width 1 mm: 100 steps of 0.01 mm, 25 times the span of ±0.02 mm. */
	assert_near(figure(&bench, "verdict", "first", "$.steps"), 100, 1e-9);
	assert_near(figure(&bench, "verdict", "first", "$.ratio"), 25, 1e-9);
	give(job, "b", "0.3");
	ask(&bench, "select ask ->> '$.value.u' from entry where step = 'step'", text, sizeof text);
	assert_near(strtod(text, NULL), sqrt(2 * d1 * d1 / 12), 1e-15);
	assert_near(figure(&bench, "verdict", "step", "$.steps"), 50, 1e-9);
	ask(&bench, "select coalesce(value ->> '$.ratio', '-') from entry where step = 'step'", text,
	    sizeof text);
	assert_string_equal(text, "-"); /* the error cancels out */
	ask(&bench, "select value ->> '$.gauges' from entry where step = 'step'", text, sizeof text);
	assert_string_equal(text, "[\"DI-1\"]"); /* and it rests on that gauge all the same */

	assert_ok(fw_job_withdraw(job, "the other gauge", &error));
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	give(job, "b", "0.3");
	ask(&bench, "select ask ->> '$.value.u' from standing where step = 'step' and kind = 'finding'",
	    text, sizeof text);
	assert_near(strtod(text, NULL), sqrt(d1 * d1 / 12 + e1 * e1 / 3 + d2 * d2 / 12 + e2 * e2 / 3),
	            1e-15);
	assert_near(figure(&bench, "verdict", "step", "$.steps"), 1e-3 / (d1 + d2), 1e-9);
	assert_near(figure(&bench, "verdict", "step", "$.ratio"), 1e-3 / (2 * (e1 + e2)), 1e-9);
	ask(&bench,
	    "select (select group_concat(value) from (select value from json_each(standing.value, "
	    "'$.gauges') order by value)) from standing where step = 'step' and kind = 'finding'",
	    text, sizeof text);
	assert_string_equal(text, "DI-1,DI-2");
	fw_job_close(job);
	bench_close(&bench);
}

/* An error that grows with the reading: 4 % of 50 N·m is the 2 N·m of the typical wrench's note. */
static void an_error_that_grows_with_the_reading(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	const char *said;

	bench_open(&bench);
	enter(&bench, "TW-1", "torque wrench", 1, 0, 0.04, NULL);
	struct fw_job *job = begin(&bench, procedure);
	give(job, "a", "0.4");
	give(job, "a", "0.4");
	give(job, "b", "0.3");
	assert_string_equal(fw_job_gauge(job, &said)->id, "TW-1");
	give(job, "t", "50");
	assert_near(figure(&bench, "measurement", "t", "$.quantity.u"), sqrt(1.0 / 12 + 4.0 / 3),
	            1e-12);
	/* Width 10 N·m: 10 steps are just enough; 2.5 times the span isn't. */
	assert_near(figure(&bench, "verdict", "torque", "$.steps"), 10, 1e-9);
	assert_near(figure(&bench, "verdict", "torque", "$.ratio"), 2.5, 1e-9);
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text, "'torque': the limits' width is 2.5 times the span of the gauge's "
	                            "error (4 is usual)");
	assert_null(strstr(audit.text, "'torque': 10 steps"));
	fw_job_close(job);
	bench_close(&bench);
}

/* What a wrench was set to is a reading of that wrench. */
static void a_setting_is_a_reading_of_its_wrench(void **state)
{
	(void)state;
	static const char text[] =
	    "return procedure { title = 'Bolt', phases = { 'One' }, run = function()\n"
	    "  phase 'One'\n"
	    "  tighten { id = 'bolt', joint = joint { thread = 'M8', class = '8.8', friction = "
	    "'oiled',\n"
	    "    torque = Nm(20), bolts = 1, source = owner 'invented' } }\n"
	    "end }\n";
	struct bench bench;
	char id[64];

	bench_open(&bench);
	enter(&bench, "TW-1", "torque wrench", 1, 0, 0.04, NULL);
	struct fw_job *job = begin(&bench, text);
	give(job, "bolt", "20");
	assert_null(fw_job_pending(job));
	ask(&bench, "select gauge_id from reading where step = 'bolt'", id, sizeof id);
	assert_string_equal(id, "TW-1");
	fw_job_close(job);
	bench_close(&bench);
}

/* ---- the rules of the bench ---- */

static void a_coarse_gauge_is_named(void **state)
{
	(void)state;
	struct bench bench;
	struct bench_audit audit;
	struct fw_error error = {0};

	bench_open(&bench);
	enter(&bench, "DI-1", "dial indicator", 0.01, 0.0075, 0, NULL);  /* 6 steps, just four to one */
	enter(&bench, "DI-2", "dial indicator", 0.002, 0.008, 0, NULL);  /* 30 steps, 3.75 to one */
	enter(&bench, "DI-3", "dial indicator", 0.006, 0.0075, 0, NULL); /* just enough */
	struct fw_job *job = begin(&bench, narrow);
	assert_near(fw_job_pending(job)->width, 6e-5, 1e-15);
	assert_ok(fw_job_use_gauge(job, "DI-3", &error));
	expect_gauge(job, "DI-3", "");
	assert_ok(fw_job_use_gauge(job, "none", &error)); /* the typical one: 6 steps, two to one */
	expect_gauge(
	    job, NULL,
	    "coarse for this: 6 steps in the width of the limits (10 are usual); that width is "
	    "2 times the span of the gauge's error (4 is usual)");
	assert_ok(fw_job_use_gauge(job, "DI-1", &error));
	expect_gauge(job, "DI-1", "6 steps in the width");
	give(job, "tight", "0.12");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text, "N 3 coarsely measured for its limits: 'tight': 6 steps");
	assert_ok(fw_job_withdraw(job, "another gauge", &error));
	assert_ok(fw_job_use_gauge(job, "DI-2", &error));
	expect_gauge(job, "DI-2", "the limits' width is 3.7 times"); /* 3.75, never rounded up */
	give(job, "tight", "0.12");
	bench_audit_sound(&audit, bench.trail, 1);
	assert_contains(audit.text, "O 6 coarsely measured for its limits: 'tight': the limits' width");
	assert_true(fw_job_pending(job)->width == 0); /* limits with one side have none */
	expect_gauge(job, "DI-2", "");
	give(job, "open", "0.12");
	fw_job_close(job);
	bench_close(&bench);
}

/* What a check says of its gauges isn't said of the measurement again. */
static void a_coarse_gauge_is_named_once(void **state)
{
	(void)state;
	static const char both[] =
	    "return procedure { title = 'Both', phases = { 'One' }, run = function()\n"
	    "  local tight = limits { min = mm(0.10), max = mm(0.16), source = owner 'invented' }\n"
	    "  phase 'One'\n"
	    "  local m = measure { id = 'm', say = 'Read.', unit = mm, gauge = 'dial indicator', "
	    "limits = "
	    "tight }\n"
	    "  check { id = 'c', value = m, limits = tight, found = true }\n"
	    "  task { id = 'end', say = 'Put it away.' }\n"
	    "end }\n";
	struct bench bench;
	struct bench_audit audit;
	const char *said;

	bench_open(&bench);
	enter(&bench, "DI-1", "dial indicator", 0.01, 0.01, 0, NULL);
	struct fw_job *job = begin(&bench, both);
	give(job, "m", "0.13"); /* in the middle: within, whatever the rule says */
	bench_audit_sound(&audit, bench.trail, 1);
	said = strstr(audit.text, "coarsely measured");
	assert_non_null(said);
	assert_contains(said, "'c': 6 steps");
	assert_null(strstr(said + 1, "coarsely measured"));
	assert_null(strstr(audit.text, "O 4 coarsely")); /* a note, as the verdict counts it */
	fw_job_close(job);
	bench_close(&bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(the_only_one_is_taken),
	    cmocka_unit_test(of_several_one_is_named),
	    cmocka_unit_test(it_reads_what_is_asked_for),
	    cmocka_unit_test(one_measurement_one_gauge),
	    cmocka_unit_test(retired_in_the_middle),
	    cmocka_unit_test(begun_without_goes_on_without),
	    cmocka_unit_test(overdue_is_recorded_bad_is_refused),
	    cmocka_unit_test(each_gauge_has_its_own_error),
	    cmocka_unit_test(an_error_that_grows_with_the_reading),
	    cmocka_unit_test(a_setting_is_a_reading_of_its_wrench),
	    cmocka_unit_test(a_coarse_gauge_is_named),
	    cmocka_unit_test(a_coarse_gauge_is_named_once),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
