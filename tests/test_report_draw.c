/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the report draws: ticks, the plot of the trials, limits, and tables that are wider than a
 * page.
 */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "report/model.h"
#include "report/svg.h"
#include "report_job.h"

#define PLACE FW_TEST_BINARY "/report-draw"
#include "report_page.h"

/* "105 to 543 … 100, 200, …, 600": the example of Heckbert, Nice Numbers for Graph Labels, Graphics
 * Gems, 1990 (from memory; its loose labels stick out of the range, ours stay inside it). */
static void test_ticks(void **state)
{
	(void)state;
	struct fw_ticks ticks;

	assert_true(fw_ticks_make(&ticks, 105, 543, 5));
	assert_near(ticks.first, 200, 1e-9);
	assert_near(ticks.step, 100, 1e-9);
	assert_int_equal(ticks.count, 4);
	assert_int_equal(ticks.decimals, 0);
	assert_true(fw_ticks_make(&ticks, 0.0312, 0.4401, 7));
	assert_near(ticks.step, 0.1, 1e-12);
	assert_int_equal(ticks.decimals, 1);
	for (int e = -12; e <= 12; e++)
		for (int most = 2; most <= 20; most++) {
			double low = -0.37 * pow(10, e), high = 1.91 * pow(10, e);
			assert_true(fw_ticks_make(&ticks, low, high, most));
			double lead = ticks.step / pow(10, floor(log10(ticks.step * 1.0000001)));
			assert_true(fabs(lead - 1) < 1e-9 || fabs(lead - 2) < 1e-9 || fabs(lead - 5) < 1e-9);
			assert_in_range(ticks.count, 1, most);
			assert_true(fw_ticks_at(&ticks, 0) >= low - 1e-9 * ticks.step);
			assert_true(fw_ticks_at(&ticks, ticks.count - 1) <= high + 1e-6 * ticks.step);
		}
	assert_false(fw_ticks_make(&ticks, 1, 1, 5));
	assert_false(fw_ticks_make(&ticks, NAN, 1, 5));
	assert_false(fw_ticks_make(&ticks, -1.7e308, 1.7e308, 5));
	assert_false(fw_ticks_make(&ticks, 1, nextafter(1, 2), 5));
}

#define TRIAL(play, u)       "{\"find\":\"trial\",\"place\":\"p\",\"play\":" QU(play, play, u) "}"
#define PLACE_LIMITS(limits) "{\"find\":\"stack\",\"place\":\"p\",\"limits\":{" limits "}}"

/* The figure of the trials at "p" of a job with these findings. */
static char *trial_plot(const struct line *some, size_t lines_given)
{
	struct fw_error error;
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	assert_non_null(out);
	for (size_t i = 0; i < lines_given; i++)
		append_plain(trail, number, &some[i], i);
	assert_ok(fw_report_read(&job, trail, number, &error));
	fw_svg_trials(out, &job, "p");
	fclose(out);
	fw_report_free(&job);
	fw_trail_close(trail);
	return bytes;
}

/* A reading whose bar of twice its standard uncertainty holds a limit is neither within nor outside
 * for sure. The legend has each mark once more. */
static void test_trial_marks(void **state)
{
	(void)state;
	static const struct line some[] = {
	    {"finding", NULL, TRIAL("9e-05", "6e-06"), NULL, "{}"},   /* 0.078 to 0.102: within */
	    {"finding", NULL, TRIAL("5.5e-05", "6e-06"), NULL, "{}"}, /* 0.043 to 0.067: holds min */
	    {"finding", NULL, TRIAL("0.00016", "6e-06"), NULL, "{}"}, /* 0.148 to 0.172: holds max */
	    {"finding", NULL, TRIAL("0.00024", "6e-06"), NULL, "{}"}, /* beyond */
	    {"finding", NULL, TRIAL("0.00015", "0"), NULL, "{}"},     /* on max, exact: within */
	    {"finding", NULL,
	     PLACE_LIMITS("\"min\":" Q("5e-05", "0.05") ",\"max\":" Q("0.00015", "0.15")), NULL, "{}"},
	};
	char *plot = trial_plot(some, 6);

	assert_int_equal(count(plot, "class=\"hollow\" transform"), 2 + 1); /* diamonds */
	assert_int_equal(count(plot, "class=\"full\""), 2 + 1);
	assert_int_equal(count(plot, "class=\"cross\""), 2 * (1 + 1)); /* two strokes each */
	assert_contains(plot, "read, a limit in its bar");
	free(plot);
	plot = trial_plot(some, 5); /* without limits: circles */
	assert_int_equal(count(plot, "class=\"hollow\" transform"), 0);
	assert_null(strstr(plot, "a limit in its bar"));
	free(plot);
}

/* Ticks stand at 5 and above where nothing drawn is below zero. */
static void test_trial_axis(void **state)
{
	(void)state;
	static const struct {
		struct line line[3];
		bool below;
	} cases[] = {
	    {{{"finding", NULL, TRIAL("0.00001", "1e-06"), NULL, "{}"},
	      {"finding", NULL, TRIAL("0.0006", "1e-06"), NULL, "{}"}},
	     false},
	    {{{"finding", NULL, TRIAL("0.0006", "1e-06"), NULL, "{}"},
	      {"finding", NULL, PLACE_LIMITS("\"min\":" Q("0", "0")), NULL, "{}"}},
	     false},
	    {{{"finding", NULL, TRIAL("0.0001", "0.00012"), NULL, "{}"},
	      {"finding", NULL, TRIAL("0.0001", "1e-06"), NULL, "{}"}},
	     true}, /* the bar goes below */
	    {{{"finding", NULL, TRIAL("-0.0003", "1e-06"), NULL, "{}"},
	      {"finding", NULL, TRIAL("0.0001", "1e-06"), NULL, "{}"}},
	     true},
	};

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		char *plot = trial_plot(cases[i].line, 2);
		const char *zero = strstr(plot, ">0.0<");
		zero = zero ? zero : strstr(plot, ">0.00<");
		zero = zero ? zero : strstr(plot, ">0<");
		assert_non_null(zero);
		double y = 0;
		while (zero > plot && strncmp(zero, " y=\"", 4) != 0)
			zero--;
		assert_int_equal(sscanf(zero, " y=\"%lf", &y), 1);
		/* The axis ends at 202; labels stand 4 below their ticks. */
		if (cases[i].below)
			assert_true(y < 202);
		else
			assert_near(y, 206, 0.01);
		free(plot);
	}
}

/* Limits without an aim have none: nothing is drawn or printed in its place. */
static void test_no_aim(void **state)
{
	(void)state;
	static const char *const limits[] = {
	    "\"max\":" T("1.2", "1.20 N·m"),
	    "\"min\":" T("0.2", "0.20 N·m"),
	    "\"min\":" T("0.2", "0.20 N·m") ",\"max\":" T("1.2", "1.20 N·m"),
	};
	char ask[1024];

	for (size_t i = 0; i < 3; i++) {
		struct fw_trail *trail = open_trail();
		int64_t job = begin_job(trail, NULL, 0, "{}");
		snprintf(ask, sizeof ask,
		         "{\"find\":\"verdict\",\"name\":\"drag\",\"value\":" T(
		             "1", "1.00 N·m") ",\"limits\":{%s}}",
		         limits[i]);
		append_plain(trail, job,
		             &(struct line){"finding", "drag", ask, NULL, "{\"verdict\":\"within\"}"}, 1);
		for (enum fw_report_format f = FW_REPORT_HTML; f <= FW_REPORT_TEXT; f++) {
			char *text = report(trail, job, f);
			assert_null(strstr(text, f == FW_REPORT_JSON ? "\"aim\"" : "class=\"aim\""));
			assert_null(strstr(text, "aim 0"));
			assert_null(strstr(text, "aim 1"));
			free(text);
		}
		fw_trail_close(trail);
	}
}

#define LONG60 "abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz01234567"

/* A grid of 40 by 10, a gasket with long figures, names without a place to break. */
static void test_wide(void **state)
{
	(void)state;
	static const char *const columns[] = {
	    "drive, cold",   "drive, warm",    "float, cold",    "float, warm",   "overrun, cold",
	    "overrun, warm", "coasting, cold", "coasting, warm", "neutral, cold", "neutral, warm"};
	static const char *const options[] = {"none", "slight", "loud"};
	struct fw_trail *trail = open_trail();
	int64_t job = begin_job(trail, NULL, 0,
	                        "{\"unit\":\"" LONG60 LONG60 LONG60 "\",\"title\":\"" LONG60 LONG60
	                        "\",\"procedure\":{\"name\":\"" LONG60 ".lua\",\"hash\":\"00\"}}");
	char ask[1024], value[128];

	for (size_t i = 0; i < 400; i++) {
		snprintf(
		    ask, sizeof ask,
		    "{\"ask\":\"choice\",\"word\":\"grid\",\"phase\":\"Receive\",\"say\":\"Where is the "
		    "noise heard?\",\"row\":\"gear %zu, forwards\",\"column\":\"%s\",\"options\":[\"none\","
		    "\"slight\",\"loud\"]}",
		    i / 10 + 1, columns[i % 10]);
		snprintf(value, sizeof value, "{\"option\":\"%s\",\"index\":%zu}", options[i * 7 / 5 % 3],
		         i * 7 / 5 % 3);
		append_plain(trail, job,
		             &(struct line){"answer", "noise", ask, options[i * 7 / 5 % 3], value}, i / 10);
	}
	for (size_t i = 0; i < LINES; i++)
		if (strncmp(lines[i].kind, "finding", 7) == 0)
			append_plain(trail, job, &lines[i], 60);
	append_plain(trail, job,
	             &(struct line){"finding", "part", "{\"find\":\"part\",\"part\":\"" LONG60 "\"}",
	                            NULL, "{}"},
	             60);
	struct fw_error error;
	uint8_t head[FW_HASH];
	int64_t seq;
	assert_ok(fw_trail_head(trail, job, &seq, head, &error));
	struct fw_entry other = {.kind = "answer",
	                         .step = LONG60,
	                         .at = "2026-03-06T09:00:00.000Z",
	                         .who = LONG60 LONG60,
	                         .ask = ASK("text", "note", "Prove", LONG60 LONG60),
	                         .typed = LONG60 LONG60,
	                         .value = "{\"text\":\"" LONG60 LONG60 "\"}"};
	assert_ok(fw_trail_append(trail, job, seq, &other, 1, NULL, &error));

	char *page = report(trail, job, FW_REPORT_HTML);
	assert_well_formed("wide", page);
	assert_contains(page, "<td class=\"long\""); /* broken anywhere */
	/* Two blocks of 5 or fewer than 7 columns, each with all the rows. */
	const char *grids = strstr(page, "<div class=\"grids block\">");
	assert_non_null(grids);
	assert_int_equal(count(grids, ">gear 1, forwards<"), 2);
	assert_int_equal(count(grids, ">gear 40, forwards<"), 2);
	for (const char *at = grids; (at = strstr(at, "<thead>")); at++) {
		const char *end = strstr(at, "</thead>");
		size_t heads = 0;
		for (const char *th = at; (th = strstr(th, "<th scope=\"col\">")) && th < end; th++)
			heads++;
		if (strstr(page, "<h2>Measurements") < at)
			break;
		assert_in_range(heads, 1, 6);
	}
	free(page);
	fw_trail_close(trail);
}

/* The bolts of a job with this joint as its only finding; `*caption` gets what stands below. */
static char *bolts_drawn(const char *value, bool *drawn)
{
	struct fw_error error;
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");
	const struct line line = {"finding", NULL, "{\"find\":\"joint\"}", NULL, value};
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	assert_non_null(out);
	append_plain(trail, number, &line, 0);
	assert_ok(fw_report_read(&job, trail, number, &error));
	*drawn = fw_svg_bolts(out, &job.entries[job.count - 1]) != NULL;
	fclose(out);
	fw_report_free(&job);
	fw_trail_close(trail);
	return bytes;
}

/* Six bolts in two rows of three lie in two heights and three places across; as a circle they
 * don't. An order that isn't one, or rows that don't hold it, draw nothing. */
static void test_bolts(void **state)
{
	(void)state;
	static const char *const nothing[] = {
	    "{}",
	    "{\"order\":[1,1]}",
	    "{\"order\":[1,2,3,4,5,6],\"rows\":2,\"columns\":4}",
	    "{\"order\":[1,2],\"rows\":0,\"columns\":2}",
	    "{\"order\":[1,2],\"rows\":\"2\",\"columns\":1}",
	    "{\"order\":[1,2],\"rows\":-1,\"columns\":-2}",
	    "{\"order\":[1,2],\"rows\":4294967298,\"columns\":4294967297}"};
	bool drawn = false;
	char *plot = bolts_drawn("{\"order\":[2,5,1,6,3,4],\"rows\":2,\"columns\":3}", &drawn);

	assert_true(drawn);
	assert_int_equal(count(plot, "class=\"bolt\""), 6);
	assert_int_equal(count(plot, "class=\"path\""), 5);
	assert_int_equal(count(plot, "cx=\"152\""), 2); /* the middle of 400, and 48 beside it */
	assert_int_equal(count(plot, "cx=\"200\""), 2);
	assert_int_equal(count(plot, "cx=\"248\""), 2);
	assert_int_equal(count(plot, "cy=\"22\""), 3);
	assert_int_equal(count(plot, "cy=\"70\""), 3);
	free(plot);
	plot = bolts_drawn("{\"order\":[1,4,2,5,3,6]}", &drawn);
	assert_true(drawn);
	assert_int_equal(count(plot, "class=\"bolt\""), 6);
	assert_int_equal(count(plot, "cy=\"22\""), 0);
	free(plot);
	for (size_t i = 0; i < sizeof nothing / sizeof *nothing; i++) {
		plot = bolts_drawn(nothing[i], &drawn);
		assert_false(drawn);
		assert_int_equal(strlen(plot), 0);
		free(plot);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_ticks),      cmocka_unit_test(test_trial_marks),
	    cmocka_unit_test(test_trial_axis), cmocka_unit_test(test_bolts),
	    cmocka_unit_test(test_no_aim),     cmocka_unit_test(test_wide),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
