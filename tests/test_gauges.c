/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's register of gauges: recorded, folded, refused; days of the calendar against SQLite's.
 */
#include "base/day.h"
#include "fitwright/gauges.h"
#include "trail_make.h"

#define WHEN "2099-03-05T14:03:11.250Z" /* behind whatever the file began with */

struct shop {
	char folder[PATH_MAX], file[PATH_MAX];
	struct fw_trail *trail;
};

static void open_shop(struct shop *shop)
{
	struct fw_error error = {0};

	make_folder(shop->folder);
	make_name(shop->file, shop->folder, "trail.db");
	assert_ok(fw_trail_open(&shop->trail, shop->file, FW_TRAIL_CREATE, &error));
}

static void close_shop(struct shop *shop)
{
	fw_trail_close(shop->trail);
	make_gone(shop->file);
	assert_int_equal(rmdir(shop->folder), 0);
}

/* An invented dial indicator. */
static struct fw_shop_gauge dial(const char *id)
{
	return (struct fw_shop_gauge){.id = (char *)id,
	                              .kind = (char *)"dial indicator",
	                              .resolution = 1e-5,
	                              .error = 2e-5,
	                              .unit = (char *)"mm",
	                              .calibrated = (char *)"2026-03-01",
	                              .due = (char *)"2027-03-01",
	                              .source = (char *)"certificate 118/26"};
}

static void record(struct shop *shop, const struct fw_shop_gauge *gauge)
{
	struct fw_error error = {0};

	assert_ok(fw_shop_gauge_record(shop->trail, gauge, "R. Example", WHEN, &error));
}

static void read_register(struct fw_shop_gauges *out, struct shop *shop)
{
	struct fw_error error = {0};

	assert_ok(fw_shop_gauges_read(out, shop->trail, &error));
}

/* ---- days ---- */

/* SQLite's date() goes through the Julian day: it gives a day back as it was only if the calendar
 * has it. */
static void days_are_those_of_the_calendar(void **state)
{
	(void)state;
	static const int years[] = {1, 4, 1582, 1900, 2000, 2024, 2025, 2026, 2100, 2400, 9999};
	sqlite3 *db;
	sqlite3_stmt *valid;
	size_t days = 0;

	assert_int_equal(sqlite3_open(":memory:", &db), SQLITE_OK);
	assert_int_equal(sqlite3_prepare_v2(db, "select date(?1, '+0 days') is ?1", -1, &valid, NULL),
	                 SQLITE_OK);
	for (size_t y = 0; y < sizeof years / sizeof *years; y++)
		for (int m = 0; m <= 13; m++)
			for (int d = 0; d <= 32; d++) {
				char text[16];
				snprintf(text, sizeof text, "%04d-%02d-%02d", years[y], m, d);
				sqlite3_bind_text(valid, 1, text, -1, SQLITE_STATIC);
				assert_int_equal(sqlite3_step(valid), SQLITE_ROW);
				bool there = sqlite3_column_int(valid, 0);
				sqlite3_reset(valid);
				if (fw_day_check(text) != there)
					fail_msg("%s: %d, SQLite says %d", text, !there, there);
				days += there;
			}
	/* Four of the eleven are leap years: 4, 2000, 2024, 2400. */
	assert_int_equal(days, 11 * 365 + 4);
	sqlite3_finalize(valid);
	sqlite3_close(db);
	static const char *const wrong[] = {"",           "2026-3-01",    "2026-03-1",
	                                    "2026/03/01", "2026-03-01 ",  " 2026-03-01",
	                                    "0000-01-01", "20a6-03-01",   "2026-03-01T00:00:00.000Z",
	                                    "-026-03-01", "2026-03-0\xC2"};
	for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
		assert_false(fw_day_check(wrong[i]));
	assert_false(fw_day_check(NULL));
}

static void the_next_day_is_sqlites(void **state)
{
	(void)state;
	sqlite3 *db;
	sqlite3_stmt *next;
	char day[FW_DAY] = "2023-12-25", after[FW_DAY];

	assert_int_equal(sqlite3_open(":memory:", &db), SQLITE_OK);
	assert_int_equal(sqlite3_prepare_v2(db, "select date(?1, '+1 day')", -1, &next, NULL),
	                 SQLITE_OK);
	for (int i = 0; i < 1600; i++) { /* over two leap days */
		sqlite3_bind_text(next, 1, day, -1, SQLITE_TRANSIENT);
		assert_int_equal(sqlite3_step(next), SQLITE_ROW);
		fw_day_next(after, day);
		assert_string_equal(after, (const char *)sqlite3_column_text(next, 0));
		sqlite3_reset(next);
		memcpy(day, after, sizeof day);
	}
	sqlite3_finalize(next);
	sqlite3_close(db);
	assert_true(fw_day_of(day, MAKE_TIME));
	assert_string_equal(day, "2026-03-05");
	assert_false(fw_day_of(day, "yesterday"));
	assert_false(fw_day_of(day, NULL));
}

/* ---- recorded and folded ---- */

static void a_gauge_is_read_back(void **state)
{
	(void)state;
	struct shop shop;
	struct fw_shop_gauges gauges;
	struct fw_shop_gauge gauge = dial("DI-2"), wrench = {.id = (char *)"tw-1",
	                                                     .kind = (char *)"torque wrench",
	                                                     .resolution = 0.5,
	                                                     .relative = 0.04,
	                                                     .unit = (char *)"N·m"};
	char text[400];

	open_shop(&shop);
	record(&shop, &wrench);
	record(&shop, &gauge);
	read_register(&gauges, &shop);
	assert_int_equal(gauges.count, 2);
	assert_int_equal(gauges.pasts, 2);
	const struct fw_shop_gauge *found = fw_shop_gauge_find(&gauges, "di-2");
	assert_non_null(found);
	assert_ptr_equal(found, &gauges.list[0]); /* sorted by id */
	assert_string_equal(found->id, "DI-2");
	assert_string_equal(found->kind, "dial indicator");
	assert_true(found->resolution == 1e-5 && found->error == 2e-5 && found->relative == 0);
	assert_string_equal(found->unit, "mm");
	assert_string_equal(found->calibrated, "2026-03-01");
	assert_string_equal(found->due, "2027-03-01");
	assert_string_equal(found->source, "certificate 118/26");
	assert_null(found->bad_from);
	assert_null(found->retired);
	found = fw_shop_gauge_find(&gauges, "TW-1");
	assert_true(found && found->relative == 0.04 && found->error == 0 && !found->due &&
	            !found->calibrated && !found->source);
	assert_null(fw_shop_gauge_find(&gauges, "DI"));
	assert_null(fw_shop_gauge_find(&gauges, "DI-22"));
	fw_shop_gauges_free(&gauges);

	/* As docs/trail.md has it, read by SQLite. */
	make_ask(shop.file,
	         "select printf('%s %s %s %!.17g %s %!.17g %s %s %s %s', who, value ->> '$.id', "
	         "value ->> '$.kind', value ->> '$.resolution.si', value ->> '$.resolution.unit', "
	         "value ->> '$.error.si', value ->> '$.unit', value ->> '$.calibrated', "
	         "value ->> '$.due', value ->> '$.source') from entry where job = 0 and kind = 'gauge' "
	         "order by seq desc limit 1",
	         text, sizeof text);
	assert_string_equal(text, "R. Example DI-2 dial indicator 1.0000000000000001e-05 mm "
	                          "2.0000000000000002e-05 mm 2026-03-01 2027-03-01 certificate 118/26");
	close_shop(&shop);
}

static void a_calibration_replaces_and_keeps_the_past(void **state)
{
	(void)state;
	struct shop shop;
	struct fw_shop_gauges gauges;
	struct fw_error error = {0};
	struct fw_shop_gauge gauge = dial("DI-2");

	open_shop(&shop);
	record(&shop, &gauge);
	read_register(&gauges, &shop);
	int64_t first = gauges.list[0].entry;
	fw_shop_gauges_free(&gauges);
	gauge.id = (char *)"di-2";
	gauge.error = 3e-5;
	gauge.calibrated = (char *)"2027-02-27";
	gauge.due = NULL;
	record(&shop, &gauge);
	read_register(&gauges, &shop);
	assert_int_equal(gauges.count, 1);
	assert_string_equal(gauges.list[0].id, "DI-2"); /* as it was first written */
	assert_true(gauges.list[0].error == 3e-5);
	assert_null(gauges.list[0].due);
	assert_int_equal(gauges.list[0].entry, first + 1);
	const struct fw_shop_gauge *then = fw_shop_gauge_at(&gauges, first);
	assert_true(then && then->error == 2e-5);
	assert_string_equal(then->due, "2027-03-01");
	assert_null(fw_shop_gauge_at(&gauges, first + 2));
	assert_int_equal(gauges.entries, first + 1);
	fw_shop_gauges_free(&gauges);

	/* A number is one gauge's for ever. */
	gauge.kind = (char *)"micrometer";
	assert_code(fw_shop_gauge_record(shop.trail, &gauge, "R. Example", WHEN, &error), FW_ERR_STATE);
	assert_contains(error.text, "is a dial indicator");
	gauge.kind = (char *)"Dial Indicator";
	gauge.unit = (char *)"N·m";
	assert_code(fw_shop_gauge_record(shop.trail, &gauge, "R. Example", WHEN, &error), FW_ERR_STATE);
	gauge.unit = (char *)"thou"; /* the same dimension is no other gauge */
	record(&shop, &gauge);
	assert_ok(fw_shop_gauge_retire(shop.trail, "DI-2", "fell", "R. Example", WHEN, &error));
	assert_code(fw_shop_gauge_record(shop.trail, &gauge, "R. Example", WHEN, &error), FW_ERR_STATE);
	assert_contains(error.text, "retired on 2099-03-05");
	assert_code(fw_shop_gauge_retire(shop.trail, "DI-2", "again", "R. Example", WHEN, &error),
	            FW_ERR_STATE);
	close_shop(&shop);
}

static void what_cannot_be_is_refused(void **state)
{
	(void)state;
	static const struct {
		const char *id, *kind, *unit, *calibrated, *due, *source;
		double resolution, error, relative;
		const char *says;
	} wrong[] = {
	    {"", "d", "mm", NULL, NULL, NULL, 1, 1, 0, "number of a gauge"},
	    {"DI 2", "d", "mm", NULL, NULL, NULL, 1, 1, 0, "number of a gauge"},
	    {"D\xC3\xA9", "d", "mm", NULL, NULL, NULL, 1, 1, 0, "number of a gauge"},
	    {"D2345678901234567890123456789012345678901", "d", "mm", NULL, NULL, NULL, 1, 1, 0, "40"},
	    {"none", "d", "mm", NULL, NULL, NULL, 1, 1, 0, "'none'"},
	    {"D", "", "mm", NULL, NULL, NULL, 1, 1, 0, "kind"},
	    {"D", " ", "mm", NULL, NULL, NULL, 1, 1, 0, "kind"},
	    {"D", "a\x1b[2J", "mm", NULL, NULL, NULL, 1, 1, 0, "kind"},
	    {"D", "d", "furlong", NULL, NULL, NULL, 1, 1, 0, "furlong"},
	    {"D", "d", "", NULL, NULL, NULL, 1, 1, 0, "unit"},
	    {"D", "d", "°C", NULL, NULL, NULL, 1, 1, 0, "1 K"},
	    {"D", "d", "K", NULL, NULL, NULL, 1, 1, 0.1, "doesn't grow"},
	    {"D", "d", "mm", NULL, NULL, NULL, 0, 1, 0, "resolution"},
	    {"D", "d", "mm", NULL, NULL, NULL, -1, 1, 0, "resolution"},
	    {"D", "d", "mm", NULL, NULL, NULL, NAN, 1, 0, "resolution"},
	    {"D", "d", "mm", NULL, NULL, NULL, INFINITY, 1, 0, "resolution"},
	    {"D", "d", "mm", NULL, NULL, NULL, 1, -1, 0, "limit of error"},
	    {"D", "d", "mm", NULL, NULL, NULL, 1, NAN, 0, "limit of error"},
	    {"D", "d", "mm", NULL, NULL, NULL, 1, INFINITY, 0, "limit of error"},
	    {"D", "d", "mm", NULL, NULL, NULL, 1, 1, -0.1, "grows"},
	    {"D", "d", "mm", NULL, NULL, NULL, 1, 1, 1.1, "grows"},
	    {"D", "d", "mm", NULL, NULL, NULL, 1, 1, NAN, "grows"},
	    {"D", "d", "mm", "2026-02-29", NULL, NULL, 1, 1, 0, "calibrated '2026-02-29'"},
	    {"D", "d", "mm", "1.3.26", NULL, NULL, 1, 1, 0, "written 2026-03-01"},
	    {"D", "d", "mm", NULL, "2100-02-29", NULL, 1, 1, 0, "due '2100-02-29'"},
	    {"D", "d", "mm", "2026-03-01", "2026-02-28", NULL, 1, 1, 0, "before the calibration"},
	    {"D", "d", "mm", "2099-03-07", NULL, NULL, 1, 1, 0, "still to come"},
	    {"D", "d", "mm", NULL, NULL, "", 1, 1, 0, "source"},
	};
	struct shop shop;
	struct fw_shop_gauges gauges;
	struct fw_error error = {0};

	open_shop(&shop);
	for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
		const struct fw_shop_gauge gauge = {.id = (char *)wrong[i].id,
		                                    .kind = (char *)wrong[i].kind,
		                                    .resolution = wrong[i].resolution,
		                                    .error = wrong[i].error,
		                                    .relative = wrong[i].relative,
		                                    .unit = (char *)wrong[i].unit,
		                                    .calibrated = (char *)wrong[i].calibrated,
		                                    .due = (char *)wrong[i].due,
		                                    .source = (char *)wrong[i].source};
		assert_code(fw_shop_gauge_record(shop.trail, &gauge, "R. Example", WHEN, &error),
		            FW_ERR_ARGUMENT);
		assert_contains(error.text, wrong[i].says);
	}
	struct fw_shop_gauge good = dial("DI-2");
	good.calibrated = (char *)"2099-03-06"; /* today, east of Greenwich */
	good.due = good.calibrated;
	record(&shop, &good);
	assert_code(fw_shop_gauge_record(shop.trail, &good, "", WHEN, &error), FW_ERR_ARGUMENT);
	assert_code(
	    fw_shop_gauge_record(shop.trail, &good, "R. Example", "2001-01-01T00:00:00.000Z", &error),
	    FW_ERR_STATE); /* before the log's last entry */
	assert_code(
	    fw_shop_gauge_bad(shop.trail, "DI-9", "2026-03-01", "worn", "R. Example", WHEN, &error),
	    FW_ERR_NOT_FOUND);
	assert_code(
	    fw_shop_gauge_bad(shop.trail, "DI-2", "2026-02-30", "worn", "R. Example", WHEN, &error),
	    FW_ERR_ARGUMENT);
	assert_code(
	    fw_shop_gauge_bad(shop.trail, "DI-2", "2099-03-07", "worn", "R. Example", WHEN, &error),
	    FW_ERR_ARGUMENT);
	assert_code(
	    fw_shop_gauge_bad(shop.trail, "DI-2", "2026-03-01", " ", "R. Example", WHEN, &error),
	    FW_ERR_ARGUMENT);
	assert_code(fw_shop_gauge_retire(shop.trail, "DI-9", "lost", "R. Example", WHEN, &error),
	            FW_ERR_NOT_FOUND);
	read_register(&gauges, &shop);
	assert_int_equal(gauges.pasts, 1); /* nothing of all that was recorded */
	fw_shop_gauges_free(&gauges);
	close_shop(&shop);
}

/* ---- usable or not ---- */

static void expect_usable(const struct fw_shop_gauge *gauge, const char *at, const char *why)
{
	char text[64] = "";

	assert_int_equal(fw_shop_gauge_usable(gauge, at, text, sizeof text), *why == '\0');
	assert_string_equal(text, why);
}

static void usable_until_the_day_it_is_due(void **state)
{
	(void)state;
	struct fw_shop_gauge gauge = dial("DI-2");

	expect_usable(&gauge, "2027-03-01T23:59:59.999Z", "");
	expect_usable(&gauge, "2027-03-02T00:00:00.000Z", "overdue since 2027-03-02");
	gauge.due = (char *)"2027-12-31";
	expect_usable(&gauge, "2028-01-01T00:00:00.000Z", "overdue since 2028-01-01");
	gauge.due = NULL;
	expect_usable(&gauge, "2099-01-01T00:00:00.000Z", "");
	gauge.bad_from = (char *)"2026-06-01";
	expect_usable(&gauge, "2026-05-31T12:00:00.000Z", "");
	expect_usable(&gauge, "2026-06-01T00:00:00.000Z", "found bad from 2026-06-01 on");
	assert_true(fw_shop_gauge_barred(&gauge, "2026-06-01T00:00:00.000Z", NULL, 0));
	gauge.retired = (char *)"2026-07-01";
	expect_usable(&gauge, "2026-07-01T00:00:00.000Z", "retired on 2026-07-01");
	gauge = dial("DI-2");
	assert_false(fw_shop_gauge_barred(&gauge, "2030-01-01T00:00:00.000Z", NULL, 0));
}

static void found_bad_and_repaired(void **state)
{
	(void)state;
	struct shop shop;
	struct fw_shop_gauges gauges;
	struct fw_error error = {0};
	struct fw_shop_gauge gauge = dial("DI-2");

	open_shop(&shop);
	record(&shop, &gauge);
	assert_ok(fw_shop_gauge_bad(shop.trail, "di-2", "2026-06-01", "worn spindle", "A. Sample", WHEN,
	                            &error));
	assert_ok(fw_shop_gauge_bad(shop.trail, "DI-2", "2026-08-01", "still worn", "A. Sample", WHEN,
	                            &error));
	read_register(&gauges, &shop);
	int64_t first = gauges.list[0].entry;
	assert_string_equal(gauges.list[0].bad_from, "2026-06-01"); /* which reaches further back */
	fw_shop_gauges_free(&gauges);
	gauge.calibrated = (char *)"2026-09-01";
	record(&shop, &gauge);
	read_register(&gauges, &shop);
	assert_null(gauges.list[0].bad_from); /* repaired and calibrated */
	assert_int_equal(gauges.bads, 2);
	int64_t second = gauges.list[0].entry;
	/* What it read on its old figures stays in question; on its new ones nothing is. */
	const struct fw_gauge_bad *bad =
	    fw_shop_gauge_distrusted(&gauges, "di-2", first, "2026-06-01T08:00:00.000Z");
	assert_non_null(bad);
	assert_string_equal(bad->reason, "worn spindle");
	bad = fw_shop_gauge_distrusted(&gauges, "DI-2", first, "2026-09-02T08:00:00.000Z");
	assert_string_equal(bad->reason, "still worn");
	assert_null(fw_shop_gauge_distrusted(&gauges, "DI-2", first, "2026-05-31T23:59:59.999Z"));
	assert_null(fw_shop_gauge_distrusted(&gauges, "DI-1", first, "2026-06-01T08:00:00.000Z"));
	assert_null(fw_shop_gauge_distrusted(&gauges, "DI-2", second, "2026-09-02T08:00:00.000Z"));
	fw_shop_gauges_free(&gauges);
	close_shop(&shop);
}

/* ---- a log that no program of ours wrote ---- */

static void a_register_that_makes_no_sense_names_its_entry(void **state)
{
	(void)state;
#define FIGURES                                                                                    \
	"\"resolution\":{\"si\":1e-5,\"unit\":\"mm\"},\"error\":{\"si\":1e-5,\"unit\":\"mm\"}"
	static const struct {
		const char *kind, *value;
	} entries[] = {
	    {"gauge", "[]"},
	    {"gauge", "{}"},
	    {"gauge", "{\"id\":\"D\",\"kind\":\"d\",\"unit\":\"mm\"}"},
	    {"gauge", "{\"id\":7,\"kind\":\"d\",\"unit\":\"mm\"," FIGURES "}"},
	    {"gauge", "{\"id\":\"D\",\"kind\":\"d\",\"unit\":\"mm\",\"due\":\"soon\"," FIGURES "}"},
	    {"gauge", "{\"id\":\"D\",\"kind\":\"d\",\"unit\":\"mm\",\"due\":[]," FIGURES "}"},
	    {"gauge", "{\"id\":\"D\",\"kind\":\"d\",\"unit\":\"mm\",\"relative\":\"x\"," FIGURES "}"},
	    {"gauge", "{\"id\":\"D\",\"kind\":\"d\",\"unit\":\"ell\"," FIGURES "}"},
	    {"gauge-bad", "{\"id\":\"DI-9\",\"from\":\"2026-03-01\",\"reason\":\"x\"}"},
	    {"gauge-bad", "{\"id\":\"DI-2\",\"from\":\"2026-03-32\",\"reason\":\"x\"}"},
	    {"gauge-bad", "{\"id\":\"DI-2\",\"from\":\"2026-03-01\"}"},
	    {"gauge-retired", "{}"},
	    {"gauge-retired", "7"},
	};
	struct fw_error error = {0};

	for (size_t i = 0; i < sizeof entries / sizeof *entries; i++) {
		struct shop shop;
		struct fw_shop_gauges gauges;
		struct fw_shop_gauge gauge = dial("DI-2");
		const struct fw_entry entry = {
		    .kind = entries[i].kind, .at = WHEN, .who = "nobody", .value = entries[i].value};
		int64_t seq;
		char name[32];
		open_shop(&shop);
		record(&shop, &gauge);
		assert_ok(fw_trail_head(shop.trail, FW_SHOP, &seq, NULL, &error));
		assert_ok(fw_trail_append(shop.trail, FW_SHOP, seq, &entry, 1, NULL, &error));
		assert_code(fw_shop_gauges_read(&gauges, shop.trail, &error), FW_ERR_TRAIL);
		snprintf(name, sizeof name, "entry %lld", (long long)seq + 1);
		assert_contains(error.text, name);
		assert_null(gauges.list);
		close_shop(&shop);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(days_are_those_of_the_calendar),
	    cmocka_unit_test(the_next_day_is_sqlites),
	    cmocka_unit_test(a_gauge_is_read_back),
	    cmocka_unit_test(a_calibration_replaces_and_keeps_the_past),
	    cmocka_unit_test(what_cannot_be_is_refused),
	    cmocka_unit_test(usable_until_the_day_it_is_due),
	    cmocka_unit_test(found_bad_and_repaired),
	    cmocka_unit_test(a_register_that_makes_no_sense_names_its_entry),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
