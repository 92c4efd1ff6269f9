/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report is checked by programs that know nothing of it: xmllint (libxml2-utils) says whether
 * the page is well-formed, jansson whether the JSON is JSON. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <jansson.h>

#include "check.h"
#include "fitwright/report.h"
#include "report/joint.h"
#include "report/model.h"
#include "report/outcome.h"
#include "report/put.h"
#include "report/svg.h"
#include "report_job.h"

#define PLACE FW_TEST_BINARY "/report-test"
#include "report_page.h"

/* As a browser would show it: references to characters undone. */
static char *without_escapes(const char *page)
{
	static const char *const names[][2] = {
	    {"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}};
	char *plain = malloc(strlen(page) + 1), *to = plain;

	assert_non_null(plain);
	while (*page) {
		size_t n = 0;
		while (n < 5 && strncmp(page, names[n][0], strlen(names[n][0])) != 0)
			n++;
		*to++ = n < 5 ? names[n][1][0] : *page;
		page += n < 5 ? strlen(names[n][0]) : 1;
	}
	*to = '\0';
	return plain;
}

static void test_page(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	int64_t job = write_job(trail);
	char *page = report(trail, job, FW_REPORT_HTML);
	char *plain = without_escapes(page);

	assert_well_formed("page", page);
	for (size_t i = 0; i < LINES; i++)
		if (lines[i].typed)
			assert_contains(plain, lines[i].typed);
	assert_contains(page, "Gearbox 7-204, invented");
	assert_contains(page, "Released: of 2 figures checked 1 doubtful.");
	assert_contains(page, "0.415 ± 0.012 mm");
	assert_contains(page, "owner&#39;s word: owner&#39;s notebook");
	assert_contains(page, "struck out by entry 10");
	assert_contains(page, "indicator was not zeroed");
	assert_contains(page, "A trial was a surprise:");
	assert_contains(page, "<section class=\"outcome alarm\">");
	assert_contains(page, "A joint was tightened otherwise than asked");
	assert_contains(page, "11.0 N·m, then 23.5 N·m <strong");
	assert_contains(page, "17.5 kN usual");
	assert_null(strstr(page, "16.4 kN usual")); /* that of the torque asked for */
	assert_contains(page, "at most 97 % of proof load");
	assert_contains(page, "A reading was kept though it was queried as implausible");
	assert_contains(page, "0.420 mm <strong class=\"tag plain\">kept against a query");
	assert_contains(page, ">implausible, kept against a query<");
	assert_contains(page, "Robin Example");
	assert_contains(page, "fitwright audit 1 --head");
	assert_contains(page, "check of the chain found no flaw");
	assert_null(strstr(page, "does not name the entry before it"));
	free(plain);
	free(page);
	fw_trail_close(trail);
}

/* Same trail, same bytes. */
static void test_same_twice(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	int64_t job = write_job(trail);

	for (enum fw_report_format f = FW_REPORT_HTML; f <= FW_REPORT_ANSWERS; f++) {
		char *one = report(trail, job, f), *two = report(trail, job, f);
		assert_string_equal(one, two);
		free(one);
		free(two);
	}
	fw_trail_close(trail);
}

static void test_json(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	int64_t job = write_job(trail);
	char *text = report(trail, job, FW_REPORT_JSON);
	json_error_t trouble;
	json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &trouble);

	keep(PLACE ".json", text);
	if (!root)
		fail_msg("%s at line %d", trouble.text, trouble.line);
	const json_t *entries = json_object_get(root, "entries");
	assert_int_equal(json_array_size(entries), LINES + 3);
	assert_int_equal(
	    json_integer_value(json_object_get(json_object_get(root, "fitwright"), "format")), 2);
	for (size_t i = 0; i < LINES; i++) {
		const json_t *entry = json_array_get(entries, i + 1);
		const char *typed = json_string_value(json_object_get(entry, "typed"));
		json_t *value = json_loads(lines[i].value, 0, NULL);
		assert_int_equal(json_integer_value(json_object_get(entry, "seq")), i + 2);
		if (lines[i].typed)
			assert_string_equal(typed, lines[i].typed);
		assert_true(json_equal(json_object_get(entry, "value"), value)); /* every digit came back */
		assert_int_equal(json_is_true(json_object_get(entry, "struck")), i == 7);
		json_decref(value);
	}
	const json_t *summary = json_object_get(root, "summary");
	assert_int_equal(json_array_size(json_object_get(summary, "measurements")), 1);
	assert_int_equal(json_array_size(json_object_get(summary, "verdicts")), 3);
	assert_int_equal(json_array_size(json_object_get(summary, "trials")), 3);
	assert_int_equal(json_array_size(json_object_get(summary, "figures")), 2);
	assert_int_equal(json_array_size(json_object_get(summary, "tightened")), 1);
	assert_int_equal(json_integer_value(json_object_get(summary, "otherwise")), 1);
	assert_int_equal(json_integer_value(json_object_get(summary, "overloaded")), 0);
	assert_int_equal(json_integer_value(json_object_get(summary, "kept")), 1);
	json_decref(root);
	free(text);
	fw_trail_close(trail);
}

static void assert_narrow(const char *text)
{
	while (*text) {
		const char *end = strchr(text, '\n');
		assert_non_null(end); /* the last line ends too */
		size_t columns = 0;
		for (const char *at = text; at < end; at++)
			columns += ((unsigned char)*at & 0xC0U) != 0x80U;
		if (columns > 80)
			fail_msg("%zu columns: %.*s", columns, (int)(end - text), text);
		text = end + 1;
	}
}

static void test_text(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	int64_t job = write_job(trail);
	char *text = report(trail, job, FW_REPORT_TEXT);

	keep(PLACE ".txt", text);
	assert_narrow(text);
	for (size_t i = 0; i < LINES; i++)
		if (lines[i].typed && strlen(lines[i].typed) < 60) /* longer ones are wrapped */
			assert_contains(text, lines[i].typed);
	assert_contains(text, "SURPRISE");
	assert_contains(text, "[struck out]");
	assert_contains(text, "A joint was tightened otherwise than asked");
	assert_contains(text,
	                "set to      11.0 N·m, then 23.5 N·m\n              OTHERWISE THAN ASKED\n");
	assert_contains(text, "preload     17.5 kN usual");
	assert_contains(text, "kept    against a query: implausible");
	assert_contains(text, "kept    reading 2 of 2 was kept against a query");
	assert_contains(text, "owner's notebook, invented for this test");
	free(text);
	fw_trail_close(trail);
}

/* A stranger's trail: markup, controls, turned writing and half characters in every string. */
#define EVIL "<script>alert(1)</script>\\u202e\\u0007]]>&amp;\\\"' --><style>\\uffff\\u009b31m"
#define EVIL_ASK                                                                                   \
	"{\"find\":\"%s\",\"name\":\"" EVIL "\",\"place\":\"" EVIL "\",\"part\":\"" EVIL               \
	"\",\"decision\":\"" EVIL "\",\"value\":{\"si\":0.1,\"unit\":\"" EVIL "\",\"text\":\"" EVIL    \
	"\"},\"limits\":{\"min\":{\"si\":0.05,\"unit\":\"" EVIL "\"},\"max\":{\"si\":1e300},"          \
	"\"source\":{\"grade\":\"" EVIL "\",\"text\":\"" EVIL "\"}},\"play\":{\"si\":-1e308,\"unit\":" \
	"\"" EVIL "\"},\"thread\":\"" EVIL "\",\"readings\":[{\"text\":\"" EVIL "\"},7,null]}"
#define EVIL_VALUE                                                                                 \
	"{\"verdict\":\"" EVIL "\",\"text\":\"" EVIL "\",\"probability\":7,\"margin\":{\"si\":1e999}," \
	"\"surprise\":true,\"order\":[1,\"2\",-5],\"passes\":{\"a\":1},\"shims\":\"" EVIL "\"}"

static void test_hostile(void **state)
{
	(void)state;
	static const char *const finds[] = {"verdict", "trial",  "stack",     "gasket",      "joint",
	                                    "part",    "remark", "tightened", "measurement", "worked"};
	struct fw_trail *trail = open_trail();
	int64_t job =
	    begin_job(trail, NULL, 0,
	              "{\"unit\":\"" EVIL "\",\"title\":\"" EVIL "\",\"procedure\":{\"name\":\"" EVIL
	              "\",\"hash\":\"" EVIL "\"},\"modules\":[1,{\"name\":\"" EVIL
	              "\"}],\"figures\":[{\"name\":\"" EVIL "\"},3]}");
	char ask[4096], typed[] = "typed <script> \x01 \x1b[31m & 'quoted' \"so\"";

	for (size_t i = 0; i < sizeof finds / sizeof *finds; i++) {
		snprintf(ask, sizeof ask, EVIL_ASK, finds[i]);
		append_plain(trail, job, &(struct line){"finding", "<b>", ask, NULL, EVIL_VALUE}, i);
	}
	append_plain(trail, job,
	             &(struct line){"answer", "\"><x>", GRID("P", EVIL, EVIL), typed,
	                            "{\"option\":\"" EVIL "\",\"index\":99}"},
	             20);
	append_plain(trail, job, &(struct line){"sign", NULL, NULL, EVIL, "{\"name\":\"" EVIL "\"}"},
	             21);

	char *page = report(trail, job, FW_REPORT_HTML);
	assert_well_formed("hostile", page);
	assert_null(strstr(page, "<x>"));
	assert_contains(page, "typed &lt;script&gt; � �[31m");
	assert_contains(page, "This signature does not name the entry before it");
	char *text = report(trail, job, FW_REPORT_TEXT);
	assert_narrow(text);
	assert_null(strchr(text, '\x1b'));
	assert_null(strstr(text, "\xc2\x9b")); /* the one-character form of escape [ */
	char *json = report(trail, job, FW_REPORT_JSON);
	json_t *root = json_loads(json, 0, NULL);
	assert_non_null(root);
	json_decref(root);
	free(json);
	free(text);
	free(page);
	fw_trail_close(trail);
}

#define JOINT(find, name) "{\"find\":\"" find "\",\"name\":\"" name "\"}"

/* Which setting belongs to which joint; a proof load that can be passed stands out, as tightened,
 * or as asked for where nothing else is recorded. */
static void test_joints(void **state)
{
	(void)state;
	static const struct line some[] = {
	    {"finding", "a", JOINT("joint", "a"), NULL, "{\"share\":1.2}"},
	    {"finding", "b", JOINT("joint", "b"), NULL, "{\"share\":0.8}"},
	    {"finding", "b", JOINT("tightened", "b"), NULL, "{\"share\":1.1,\"otherwise\":true}"},
	    {"finding", "a", JOINT("tightened", "a"), NULL, "{\"share\":0.9,\"otherwise\":false}"},
	    {"finding", "a", JOINT("joint", "a"), NULL, "{\"share\":1.3}"},
	    {"finding", "c", JOINT("tightened", "c"), NULL, "{}"},
	    {"answer", "d", "{}", "", "{}"},
	    {"finding", "d", JOINT("tightened", "d"), NULL, "{\"otherwise\":true}"},
	    {"withdraw", NULL, NULL, "why", "{\"entry\":8}"},
	    {"finding", "e", "{\"find\":\"part\",\"decision\":\"reject\"}", NULL, "{}"},
	    {"finding", "f", "{\"find\":\"part\",\"decision\":\"reject\"}", NULL, "{}"},
	    {"finding", "g", JOINT("joint", "g"), NULL, "{}"},
	    {"finding", "g", JOINT("joint", "g"), NULL, "{}"},
	    {"finding", "g", JOINT("tightened", "g"), NULL,
	     "{\"warnings\":[\"the tapped thread can strip\",7]}"},
	};
	/* asked, tightened: the entries above, by hand; that of "d" was taken back */
	static const int64_t pairs[][2] = {{2, 5}, {3, 4}, {6, 0}, {7, 7}, {13, 0}, {14, 15}};
	struct fw_error error;
	struct fw_report_job job;
	struct fw_report_outcome outcome;
	struct fw_report_joint joint = {NULL, NULL};
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");
	char text[256];

	for (size_t i = 0; i < sizeof some / sizeof *some; i++)
		append_plain(trail, number, &some[i], i);
	assert_ok(fw_report_read(&job, trail, number, &error));
	for (size_t i = 0; i < 6; i++) {
		assert_true(fw_report_next_joint(&job, &joint));
		assert_int_equal(joint.asked->seq, pairs[i][0]);
		assert_int_equal(joint.tightened ? joint.tightened->seq : 0, pairs[i][1]);
	}
	assert_false(fw_report_next_joint(&job, &joint));
	assert_ok(fw_report_judge(&outcome, &job, &error));
	assert_int_equal(outcome.otherwise, 1);
	assert_int_equal(outcome.overloaded, 2);
	assert_true(outcome.alarm);
	assert_string_equal(fw_report_warning(text, sizeof text, &outcome, 0),
	                    "A joint was tightened otherwise than asked; see the torques.");
	assert_string_equal(fw_report_warning(text, sizeof text, &outcome, 1),
	                    "2 joints can pass their proof load; see the torques.");
	assert_int_equal(outcome.warned, 1);
	assert_string_equal(fw_report_warning(text, sizeof text, &outcome, 2),
	                    "A joint may not stand its torque; see what to beware of at the torques.");
	assert_string_equal(fw_report_warning(text, sizeof text, &outcome, 3),
	                    "2 parts were rejected; see the parts.");
	assert_null(fw_report_warning(text, sizeof text, &outcome, 4));
	fw_report_outcome_free(&outcome);
	fw_report_free(&job);
	char *page = report(trail, number, FW_REPORT_HTML);
	assert_contains(page, "above proof load at worst: 1.1 times it");
	assert_contains(page, "above proof load at worst: 1.3 times it");
	assert_null(strstr(page, "1.2 times it")); /* asked for, but not what was done */
	assert_contains(page, "can pass its proof load</strong>");
	assert_contains(page, "not recorded");
	assert_contains(page, "the tapped thread can strip</strong>");
	free(page);
	fw_trail_close(trail);
}

/* What a joint may have besides stands in the page and in the text. */
static void test_joint_extras(void **state)
{
	(void)state;
#define ADAPTER                                                                                    \
	"{\"length\":" Q("0.3", "300 mm") ",\"extension\":" Q("0.05",                                  \
	                                                      "50 mm") ",\"angle\":" Q("0", "0°") "}"
	static const struct line some[] = {
	    {"finding", "a",
	     "{\"find\":\"joint\",\"name\":\"a\",\"friction\":\"dry\",\"head_friction\":\"oiled\","
	     "\"left_hand\":true,\"prevailing\":" T(
	         "2", "2.00 N·m") ",\"adapter\":" ADAPTER
	                          ",\"engagement\":" Q("0.014", "14 mm") ",\"parent\":\"brass\"}",
	     NULL,
	     "{\"order\":[2,5,1,6,3,4],\"rows\":2,\"columns\":3,\"warnings\":[\"the bolt's thread can "
	     "strip\"]}"},
	};
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");

	append_plain(trail, number, &some[0], 0);
	char *page = report(trail, number, FW_REPORT_HTML);
	assert_well_formed("extras", page);
	assert_contains(page, "dry, oiled under the head");
	assert_contains(page, "left: tightens anticlockwise");
	assert_contains(page, "2.00 N·m");
	assert_contains(page, "50 mm at 0° on a wrench of 300 mm");
	assert_contains(page, "14 mm of brass");
	assert_contains(page, "along the rows from the top left");
	assert_contains(page, "Rows of bolts with the order of tightening");
	free(page);
	char *text = report(trail, number, FW_REPORT_TEXT);
	assert_contains(text, "50 mm at 0° on a wrench of 300 mm");
	assert_contains(text, "BEWARE      the bolt's thread can strip");
	free(text);
	fw_trail_close(trail);
}

/* Two bytes a character, at both phases of each cut: no half one in text or page. */
static void test_cuts(void **state)
{
	(void)state;
	static char letters[2 * 700 + 1];
	static const char *const finds[] = {"verdict",   "trial", "stack",  "gasket",      "joint",
	                                    "tightened", "part",  "remark", "measurement", "worked"};
	char ask[9000], value[9000];

	for (size_t i = 0; i < 700; i++)
		memcpy(letters + 2 * i, "é", 3);
	for (size_t shift = 0; shift < 2; shift++) {
		const char *lead = shift ? "x" : "";
		struct fw_trail *trail = open_trail();
		snprintf(value, sizeof value,
		         "{\"unit\":\"%s%s\",\"title\":\"%s\",\"fitwright\":\"%s%s\",\"lua\":\"%s\"}", lead,
		         letters, letters, lead, letters, letters);
		int64_t job = begin_job(trail, NULL, 0, value);
		for (size_t i = 0; i < sizeof finds / sizeof *finds; i++) {
			snprintf(
			    ask, sizeof ask,
			    "{\"find\":\"%s\",\"name\":\"%s%s\",\"value\":{\"si\":1,\"u\":0.1,\"text\":\"%s%"
			    "s\"},"
			    "\"limits\":{\"min\":{\"si\":0,\"text\":\"%s%s\"},\"max\":{\"si\":2,\"text\":"
			    "\"%s\"},\"aim\":{\"si\":1,\"text\":\"%s%s\"}},\"settings\":[{\"text\":\"%s%s\"}]}",
			    finds[i], lead, letters, lead, letters, lead, letters, letters, lead, letters, lead,
			    letters);
			snprintf(
			    value, sizeof value,
			    "{\"verdict\":\"%s%s\",\"margin\":{\"si\":1,\"text\":\"%s%s\"},\"usual\":{\"si\":1,"
			    "\"text\":\"%s%s\"},\"low\":{\"si\":1,\"text\":\"%s%s\"}}",
			    lead, letters, lead, letters, lead, letters, lead, letters);
			append_plain(trail, job, &(struct line){"finding", "s", ask, NULL, value}, i);
		}
		snprintf(value, sizeof value, "{\"role\":\"%s%s\",\"meaning\":\"%s\"}", lead, letters,
		         letters);
		append_plain(trail, job, &(struct line){"sign", letters, NULL, letters, value}, 20);
		for (enum fw_report_format f = FW_REPORT_HTML; f <= FW_REPORT_ANSWERS; f++) {
			char *text = report(trail, job, f);
			if (strstr(text, "�"))
				fail_msg("format %d, shift %zu: a character was cut in two", (int)f, shift);
			free(text);
		}
		fw_trail_close(trail);
	}
}

/* What is written as an answers file is the answers that stand, each on its own line, and nothing
 * that a stranger's trail would slip in. */
static void test_answers(void **state)
{
	(void)state;
	static const struct line some[] = {
	    {"answer", "drain", ASK("done", "task", "One", "Drain."), "", "{\"done\":true}"},
	    {"answer", "gap", READ("One", "Read.", "reading 1 of 2"), "0,41",
	     "{\"quantity\":" Q("0.00041", "0.41 mm") ",\"confirmed\":true}"},
	    {"answer", "gap", READ("One", "Read.", "reading 2 of 2"), "16 thou",
	     "{\"quantity\":{\"si\":0.0004064,\"unit\":\"thou\",\"text\":\"16.0 thou\"}}"},
	    {"answer", "count", READ("One", "Count.", "teeth"), "17",
	     "{\"quantity\":{\"si\":17,\"unit\":\"1\",\"text\":\"17\"}}"},
	    {"answer", "gone", ASK("text", "note", "One", "?"), "taken back", "{\"text\":\"x\"}"},
	    {"withdraw", NULL, NULL, "why", "{\"entry\":6}"},
	    {"answer", "turns", ASK("choice", "choose", "Two", "How?"), "2", PICK("tight", "1")},
	    {"answer", "remark", ASK("text", "note", "Two", "?"), "two\nlines: 1\u202e",
	     "{\"text\":\"x\"}"},
	    {"answer", "a step\nturns", ASK("text", "note", "Two", "?"), "no id", "{\"text\":\"x\"}"},
	    {"sign", "release", ASK("sign", "sign", "Two", "Sign."), "A\nremark: B",
	     "{\"name\":\"A\"}"},
	};
	struct fw_trail *trail = open_trail();
	int64_t job = begin_job(trail, NULL, 0, "{\"unit\":\"box\\ndrain:\"}");

	for (size_t i = 0; i < sizeof some / sizeof *some; i++)
		append_plain(trail, job, &some[i], i);
	char *text = report(trail, job, FW_REPORT_ANSWERS);
	const char *body = strstr(text, "\n\n");
	assert_non_null(body);
	assert_contains(text, "in the order asked: box drain:\n");
	assert_string_equal(body, "\n\n# One\ndrain:\ngap!: 0,41 mm\ngap: 16 thou\ncount: 17\n"
	                          "\n# Two\nturns: tight\nremark: two lines: 1�\n"
	                          "# The answer of entry 10 bears no id of a step: no id\n"
	                          "# release: signed by A remark: B; to be signed anew in a session\n");
	free(text);
	fw_trail_close(trail);
}

/* Shapes that the engine never writes. */
static void test_odd(void **state)
{
	(void)state;
	static const struct line odd[] = {
	    {"answer", NULL, NULL, NULL, NULL},
	    {"finding", NULL, "[]", NULL, "3"},
	    {"finding", NULL, "{\"find\":5}", NULL, "{\"text\":5}"},
	    {"finding", NULL, "{\"find\":\"verdict\"}", NULL, NULL},
	    {"finding", NULL, "{\"find\":\"verdict\",\"value\":[],\"limits\":7}", NULL, "\"word\""},
	    {"finding", NULL, "{\"find\":\"trial\",\"play\":{\"si\":0,\"u\":-1}}", NULL, "{}"},
	    {"finding", NULL, "{\"find\":\"joint\"}", NULL, "{\"order\":[1,1]}"},
	    {"finding", NULL, "{\"find\":\"stack\",\"limits\":{\"min\":{\"si\":1}}}", NULL, "null"},
	    {"withdraw", NULL, NULL, "", "{\"entry\":-4}"},
	    {"withdraw", NULL, NULL, NULL, "{}"},
	    {"finding", NULL, "{\"find\":\"verdict\",\"value\":{\"si\":2,\"unit\":\"mm\"}}", NULL,
	     "{}"},
	    {"finding", NULL, "{\"find\":\"trial\",\"play\":{\"si\":0,\"u\":-1}}", NULL, "{}"},
	    {"novelty", "step", "{\"row\":\"a\",\"column\":\"b\"}", "x", "{}"},
	    {"release", NULL, NULL, NULL, "{\"head\":\"zz\",\"count\":\"many\"}"},
	};
	struct fw_trail *trail = open_trail();
	int64_t job = begin_job(trail, NULL, 0, "[1,2,3]");

	for (size_t i = 0; i < sizeof odd / sizeof *odd; i++) {
		append_plain(trail, job, &odd[i], i);
		for (enum fw_report_format f = FW_REPORT_HTML; f <= FW_REPORT_ANSWERS; f++) {
			char *text = report(trail, job, f);
			if (f == FW_REPORT_HTML && i + 1 == sizeof odd / sizeof *odd)
				assert_well_formed("odd", text);
			if (f == FW_REPORT_TEXT)
				assert_narrow(text);
			free(text);
		}
	}
	fw_trail_close(trail);
}

static void test_failures(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_trail *trail = open_trail();
	int64_t job = write_job(trail);

	assert_code(fw_report_write(stderr, trail, 99, FW_REPORT_TEXT, &error), FW_ERR_NOT_FOUND);
	FILE *full = fopen("/dev/full", "w");
	assert_non_null(full);
	assert_code(fw_report_write(full, trail, job, FW_REPORT_HTML, &error), FW_ERR_TRAIL);
	fclose(full);
	fw_trail_close(trail);
}

/* A withdrawal takes the entry it names and those after it; later ones don't bring them back. */
static void test_withdrawals(void **state)
{
	(void)state;
	static const struct line some[] = {
	    {"answer", "a", NULL, "1", "{}"},
	    {"answer", "b", NULL, "2", "{}"},
	    {"finding", "c", "{}", NULL, "{}"},
	    {"withdraw", NULL, NULL, "why", "{\"entry\":3}"},
	    {"answer", "b", NULL, "3", "{}"},
	    {"withdraw", NULL, NULL, "why", "{\"entry\":6}"},
	    {"withdraw", NULL, NULL, "why", "{\"entry\":2}"},
	    {"answer", "a", NULL, "4", "{}"},
	    {"withdraw", NULL, NULL, "all", "{\"entry\":1}"},
	};
	/* By hand, from the rule in docs/trail.md; the beginning can't be taken back. */
	static const int64_t by[] = {0, 8, 5, 5, 0, 7, 0, 0, 0, 0};
	struct fw_error error;
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");

	for (size_t i = 0; i < sizeof some / sizeof *some; i++)
		append_plain(trail, number, &some[i], i);
	assert_ok(fw_report_read(&job, trail, number, &error));
	for (size_t i = 0; i < job.count; i++)
		assert_int_equal(job.entries[i].struck_by, by[i]);
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* Which checks are of one figure: as docs/report.md says. */
static void test_figures(void **state)
{
	(void)state;
	static const char *const checks[][2] = {
	    {"float-as-found", "1"}, {"as-found", "1"}, {"End float", "1"},
	    {"float_as_left", "1"},  {"As left", "1"},  {"float as found", "2"},
	    {"End float", "2"},
	};
	struct fw_error error;
	struct fw_report_job job;
	struct fw_report_outcome outcome;
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");
	char ask[256];

	for (size_t i = 0; i < sizeof checks / sizeof *checks; i++) {
		snprintf(ask, sizeof ask,
		         "{\"find\":\"verdict\",\"name\":\"%s\",\"limits\":{\"max\":{\"si\":%s}}}",
		         checks[i][0], checks[i][1]);
		append_plain(trail, number,
		             &(struct line){"finding", NULL, ask, NULL, "{\"verdict\":\"within\"}"}, i);
	}
	assert_ok(fw_report_read(&job, trail, number, &error));
	assert_ok(fw_report_judge(&outcome, &job, &error));
	assert_int_equal(outcome.count, 4);
	assert_int_equal(outcome.figures[0].found->seq, 2);
	assert_int_equal(outcome.figures[0].left->seq, 5);
	assert_string_equal(outcome.figures[1].name, "Figure checked");
	assert_int_equal(outcome.figures[1].found->seq, 3);
	assert_int_equal(outcome.figures[1].left->seq, 6);
	assert_null(outcome.figures[2].found);
	assert_int_equal(outcome.figures[2].left->seq, 8);
	assert_int_equal(outcome.figures[2].checks, 2);
	assert_int_equal(outcome.figures[3].found->seq, 7); /* other limits, another figure */
	assert_null(outcome.figures[3].left);
	assert_int_equal(outcome.within, 3);
	assert_false(outcome.released);
	assert_string_equal(outcome.sentence,
	                    "Not finished: all 3 figures checked are within their limits.");
	fw_report_outcome_free(&outcome);
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* Very many figures, each checked twice under two names, are told apart in one go: looking through
 * all of them for each check would take minutes. */
static void test_many_figures(void **state)
{
	(void)state;
	enum { FIGURES = 20000 };
	struct fw_error error;
	struct fw_report_outcome outcome;
	struct fw_report_job job = {.count = 2 * FIGURES};
	char name[64];

	job.entries = calloc(job.count, sizeof *job.entries);
	assert_non_null(job.entries);
	for (size_t i = 0; i < job.count; i++) {
		struct fw_report_entry *entry = &job.entries[i];
		snprintf(name, sizeof name, "Bore %zu %s", i / 2, i % 2 ? "as left" : "as found");
		entry->seq = (int64_t)i + 1;
		entry->kind = strdup("finding");
		entry->ask = json_pack("{s:s, s:s, s:{s:{s:f}}}", "find", "verdict", "name", name, "limits",
		                       "max", "si", 1.0);
		entry->value = json_pack("{s:s}", "verdict", "within");
	}
	assert_ok(fw_report_judge_figures(&outcome, &job, &error));
	assert_int_equal(outcome.count, FIGURES);
	assert_int_equal(outcome.within, FIGURES);
	for (size_t i = 0; i < FIGURES; i++) {
		assert_int_equal(outcome.figures[i].found->seq, 2 * i + 1);
		assert_int_equal(outcome.figures[i].left->seq, 2 * i + 2);
	}
	fw_report_outcome_free(&outcome);
	fw_report_free(&job);
}

/* A job of more places and tables than anybody reads: a page shows the first hundred of each, and
 * says so. */
static void test_many_places(void **state)
{
	(void)state;
	enum { MANY = 101 };
	static struct fw_entry entries[2 * MANY];
	static char asks[2 * MANY][160], steps[MANY][16];
	struct fw_error error;
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");
	char at[32];

	for (size_t i = 0; i < MANY; i++) {
		snprintf(steps[i], sizeof steps[i], "s%zu", i);
		snprintf(asks[2 * i], sizeof asks[0],
		         "{\"find\":\"trial\",\"place\":\"place %zu\",\"play\":{\"si\":1}}", i);
		snprintf(asks[2 * i + 1], sizeof asks[0],
		         "{\"ask\":\"choice\",\"row\":\"a\",\"column\":\"b\",\"phase\":\"Prove\"}");
		for (size_t k = 2 * i; k < 2 * i + 2; k++)
			entries[k] = (struct fw_entry){.kind = k % 2 ? "answer" : "finding",
			                               .step = steps[i],
			                               .at = clock_text(at, 1),
			                               .who = "R. Example",
			                               .ask = asks[k],
			                               .typed = k % 2 ? "x" : NULL,
			                               .value = "{\"text\":\"x\"}"};
	}
	assert_ok(fw_trail_append(trail, number, 1, entries, 2 * MANY, NULL, &error));
	char *page = report(trail, number, FW_REPORT_HTML);
	assert_contains(page, "<h3>place 99</h3>");
	assert_null(strstr(page, "<h3>place 100</h3>"));
	assert_contains(page, "More than 100 places: the log has them all.");
	assert_contains(page, "More than 100 such tables: the log has them all.");
	free(page);
	fw_trail_close(trail);
}

/* Joints and how they were tightened, in any order; by hand, from the rule in docs/report.md. */
static void test_pairs(void **state)
{
	(void)state;
	static const struct line some[] = {
	    {"finding", "a", JOINT("joint", "a"), NULL, "{}"},
	    {"finding", "b", JOINT("joint", "b"), NULL, "{}"}, /* 2, 3 */
	    {"finding", "a", JOINT("tightened", "a"), NULL, "{}"},
	    {"finding", "a", JOINT("tightened", "a"), NULL, "{}"}, /* 4 is of 2, 5 of none */
	    {"finding", "b", JOINT("joint", "b"), NULL, "{}"},
	    {"finding", "b", JOINT("tightened", "b"), NULL,
	     "{}"}, /* 3 was asked for again: 7 is of 6 */
	    {"finding", "c", JOINT("tightened", "c"), NULL, "{}"},
	    {"finding", "a", JOINT("joint", "a"), NULL, "{}"},
	};
	static const int64_t pairs[][2] = {{2, 4}, {3, 0}, {5, 5}, {6, 7}, {8, 8}, {9, 0}};
	struct fw_error error;
	struct fw_report_job job;
	struct fw_report_joint joint = {NULL, NULL};
	struct fw_trail *trail = open_trail();
	int64_t number = begin_job(trail, NULL, 0, "{}");

	for (size_t i = 0; i < sizeof some / sizeof *some; i++)
		append_plain(trail, number, &some[i], i);
	assert_ok(fw_report_read_entries(&job, trail, number, &error));
	for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
		assert_true(fw_report_next_joint(&job, &joint));
		assert_int_equal(joint.asked->seq, pairs[i][0]);
		assert_int_equal(joint.tightened ? joint.tightened->seq : 0, pairs[i][1]);
	}
	assert_false(fw_report_next_joint(&job, &joint));
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* The decoder against Unicode 15.0, chapter 3, table 3-7 (well-formed UTF-8; from memory). */
static void test_utf8(void **state)
{
	(void)state;
	static const struct {
		const char *bytes, *repaired;
	} cases[] = {
	    {"µ ± °", "µ ± °"},
	    {"\xf0\x9f\x94\xa7", "\xf0\x9f\x94\xa7"},
	    {"\xc0\xaf", "\xef\xbf\xbd\xef\xbf\xbd"},                                 /* overlong */
	    {"\xed\xa0\x80", "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd"},                 /* surrogate */
	    {"\xe0\x9f\xbf", "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd"},                 /* overlong */
	    {"a\xe2\x82", "a\xef\xbf\xbd\xef\xbf\xbd"},                               /* cut short */
	    {"\xf4\x90\x80\x80", "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd"}, /* too far */
	    {"\xff", "\xef\xbf\xbd"},
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		bool failed = false;
		char *repaired = fw_report_utf8_repair(cases[i].bytes, &failed);
		assert_false(failed);
		assert_string_equal(repaired, cases[i].repaired);
		free(repaired);
	}
}

static void test_numbers(void **state)
{
	(void)state;
	char text[64];

	assert_string_equal(fw_report_decimal(text, sizeof text, -0.0004, 3), "0.000");
	assert_string_equal(fw_report_decimal(text, sizeof text, -1.25, 2), "-1.25");
	/* JCGM 100:2008, 7.2.6: an uncertainty is given with two significant digits at most. */
	assert_string_equal(fw_report_two_figures(text, sizeof text, 0.01234), "0.012");
	assert_string_equal(fw_report_two_figures(text, sizeof text, 11.6), "12");
	assert_string_equal(fw_report_percent(text, sizeof text, 0.994), "99.4\u00a0%");
	assert_string_equal(fw_report_percent(text, sizeof text, 0.99999), "over 99.9\u00a0%");
	assert_string_equal(fw_report_percent(text, sizeof text, 0.95), "95\u00a0%");
	/* Rounding gives 0 and 1 where something was measured; neither is certain. */
	assert_string_equal(fw_report_percent(text, sizeof text, 0), "under 0.1\u00a0%");
	assert_string_equal(fw_report_percent(text, sizeof text, 1), "over 99.9\u00a0%");
	assert_string_equal(fw_report_percent(text, sizeof text, 7), "?");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_page),         cmocka_unit_test(test_same_twice),
	    cmocka_unit_test(test_json),         cmocka_unit_test(test_text),
	    cmocka_unit_test(test_hostile),      cmocka_unit_test(test_odd),
	    cmocka_unit_test(test_failures),     cmocka_unit_test(test_withdrawals),
	    cmocka_unit_test(test_utf8),         cmocka_unit_test(test_numbers),
	    cmocka_unit_test(test_figures),      cmocka_unit_test(test_many_figures),
	    cmocka_unit_test(test_answers),      cmocka_unit_test(test_joints),
	    cmocka_unit_test(test_joint_extras), cmocka_unit_test(test_cuts),
	    cmocka_unit_test(test_pairs),        cmocka_unit_test(test_many_places),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
