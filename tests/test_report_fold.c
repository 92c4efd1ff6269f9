/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which entries stand, by the rules of docs/trail.md; what is expected was worked out by hand. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "fitwright/report.h"
#include "report/model.h"
#include "report_job.h"

#define PLACE FW_TEST_BINARY "/report-fold"
#include "report_page.h"

#define M(step)                                                                                    \
	{                                                                                              \
		"finding", step, "{\"find\":\"measurement\"}", NULL, "{\"text\":\"m\"}"                    \
	}
#define V(step)                                                                                    \
	{                                                                                              \
		"finding", step, "{\"find\":\"verdict\",\"name\":\"" step "\"}", NULL,                     \
		    "{\"verdict\":\"within\",\"text\":\"v\"}"                                              \
	}
#define ASK_A READ("As found", "Read a.", "reading 1 of 1")
#define ASK_B READ("Fit-up", "Read b.", "reading 1 of 1")
#define ASK_C READ("Prove", "Read c.", "reading 1 of 1")
#define SIGN  "{\"ask\":\"sign\",\"word\":\"sign\",\"phase\":\"Prove\",\"say\":\"Sign.\"}"
#define MM    "{\"quantity\":" Q("0.001", "1.00 mm") "}"

static const struct line some[] = {
    {"answer", "a", ASK_A, "1", MM}, /* 2 */
    M("a"),
    {"answer", "b", ASK_B, "2", MM}, /* 4 */
    V("b"),
    {"evidence", "c", NULL, "as it lay", "{\"name\":\"x.png\",\"kind\":\"image/png\",\"size\":3}"},
    {"answer", "c", ASK_C, "3", MM}, /* 7 */
    {"sign", "s", SIGN, "A. Sample", "{\"name\":\"A. Sample\"}"},
    {"amend", "a", ASK_A, "1.1",
     "{\"quantity\":" Q("0.0011",
                        "1.10 mm") ",\"amends\":2,\"reason\":\"a digit slipped\"}"}, /* 9 */
    {"lapse", NULL, NULL, NULL, "{\"entries\":[7,8,1,99,\"x\"]}"},
    M("a"),
    V("b"),
    {"amend", "a", ASK_A, "1.2", "{\"amends\":9,\"reason\":\"no\"}"}, /* 13 */
    M("a"),
    V("b"),
    {"withdraw", NULL, NULL, "it was right", "{\"entry\":13}"}, /* 16 */
    {"answer", "c", ASK_C, "3.3", MM},
    {"sign", "s", SIGN, "A. Sample", "{\"name\":\"A. Sample\"}"}, /* 18 */
    {"release", NULL, NULL, NULL, "{}"},
    {"reopen", NULL, NULL, "R. Example",
     "{\"name\":\"R. Example\",\"reason\":\"it howls again\",\"entries\":[18]}"}, /* 20 */
    {"sign", "s", SIGN, "A. Sample", "{\"name\":\"A. Sample\"}"},
    {"release", NULL, NULL, NULL, "{}"},
};
#define SOME (sizeof some / sizeof *some)

static void read_some(struct fw_report_job *job, struct fw_trail *trail, const struct line *list,
                      size_t count)
{
	struct fw_error error;
	int64_t number = begin_job(trail, NULL, 0, "{}");

	for (size_t i = 0; i < count; i++)
		append_plain(trail, number, &list[i], i);
	assert_ok(fw_report_read(job, trail, number, &error));
}

static void test_fold(void **state)
{
	(void)state;
	/* Of entries 1 to 22. */
	static const int64_t by[] = {0, 9,  9,  0,  9, 0, 10, 10, 0, 0, 0,
	                             0, 16, 16, 16, 0, 0, 20, 20, 0, 0, 0};
	static const int64_t order[] = {9, 4, 17, 21};
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, some, SOME);
	assert_int_equal(job.count, 22);
	for (size_t i = 0; i < job.count; i++)
		if (job.entries[i].struck_by != by[i])
			fail_msg("entry %zu: struck by %d, not %d", i + 1, (int)job.entries[i].struck_by,
			         (int)by[i]);
	assert_int_equal(job.answers, 4);
	for (size_t i = 0; i < 4; i++)
		assert_int_equal(job.entries[job.order[i]].seq, order[i]);
	assert_int_equal(fw_report_entry(&job, 13)->root, 2);
	assert_string_equal(fw_report_struck(&job, fw_report_entry(&job, 2)), "amended");
	assert_string_equal(fw_report_struck(&job, fw_report_entry(&job, 8)), "lapsed");
	assert_string_equal(fw_report_struck(&job, fw_report_entry(&job, 13)), "taken back");
	assert_string_equal(fw_report_struck(&job, fw_report_entry(&job, 19)), "reopened");
	assert_null(fw_report_struck(&job, fw_report_entry(&job, 9)));
	assert_string_equal(fw_report_reason(fw_report_entry(&job, 9)), "a digit slipped");
	assert_string_equal(fw_report_reason(fw_report_entry(&job, 20)), "it howls again");
	assert_null(fw_report_entry(&job, 99));
	assert_int_equal(fw_report_release(&job)->seq, 22);
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* A reopening strikes what it lists: answers, and what was found after them. */
static void test_reopened(void **state)
{
	(void)state;
	static const struct line list[] = {
	    {"answer", "a", ASK_A, "1", MM}, /* 2 */
	    M("a"),
	    {"sign", "s", SIGN, "A. Sample", "{}"}, /* 4 */
	    V("s"),
	    {"release", NULL, NULL, NULL, "{}"}, /* 6 */
	    {"reopen", NULL, NULL, "A. Sample", "{\"entries\":[4,5]}"},
	};
	static const int64_t by[] = {0, 0, 0, 7, 7, 7, 0};
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, list, sizeof list / sizeof *list);
	for (size_t i = 0; i < job.count; i++)
		assert_int_equal(job.entries[i].struck_by, by[i]);
	assert_null(fw_report_release(&job));
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* What an amendment's findings are about is told by those that they replace. */
static void test_found_anew(void **state)
{
	(void)state;
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, some, SOME);
	const struct fw_report_entry *m = fw_report_entry(&job, 11), *v = fw_report_entry(&job, 12);
	assert_int_equal(m->after, 2);
	assert_string_equal(m->phase, "As found");
	assert_int_equal(v->after, 4);
	assert_string_equal(v->phase, "Fit-up");
	fw_report_free(&job);
	fw_trail_close(trail);
}

#define CONCEDE                                                                                    \
	"{\"ask\":\"sign\",\"word\":\"check\",\"phase\":\"Fit-up\",\"say\":\"Leave.\",\"purpose\":"    \
	"\"concession\","                                                                              \
	"\"reason\":\"old\"}"
#define CONCEDED "{\"find\":\"concession\",\"name\":\"backlash\"}"

/* A concession that lapsed and was given anew: its finding replaces one of the signature that
 * lapsed, and belongs to the new one. */
static void test_conceded_anew(void **state)
{
	(void)state;
	static const struct line list[] = {
	    {"answer", "a", ASK_A, "1", MM}, /* 2 */
	    {"sign", "b", CONCEDE, "A. Sample", "{\"name\":\"A. Sample\"}"},
	    {"finding", "b", CONCEDED, NULL, "{\"text\":\"conceded\"}"}, /* 4 */
	    {"answer", "c", ASK_C, "1", MM},
	    {"amend", "a", ASK_A, "2", "{\"amends\":2,\"reason\":\"slip\"}"}, /* 6 */
	    {"lapse", NULL, NULL, NULL, "{\"entries\":[3]}"},
	    {"sign", "b", CONCEDE, "A. Sample", "{\"name\":\"A. Sample\"}"}, /* 8 */
	    {"finding", "b", CONCEDED, NULL, "{\"text\":\"conceded\"}"},
	};
	struct fw_report_job job;
	struct fw_job_points points;
	struct fw_error error;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, list, sizeof list / sizeof *list);
	assert_int_equal(fw_report_entry(&job, 9)->after, 8);
	assert_ok(fw_report_points(&points, trail, 1, &error));
	assert_int_equal(points.concessions, 1);
	char *html = report(trail, 1, FW_REPORT_HTML);
	assert_null(strstr(html, "no signature gives it"));
	free(html);
	fw_report_free(&job);
	fw_trail_close(trail);
}

#define CELL(column)                                                                               \
	"{\"ask\":\"choice\",\"word\":\"grid\",\"phase\":\"Receive\",\"say\":\"Where?\",\"options\":[" \
	"\"none\","                                                                                    \
	"\"slight\"],\"row\":\"third\",\"column\":\"" column "\",\"item\":\"third, " column "\"}"
#define NOTE "{\"ask\":\"text\",\"word\":\"note\",\"phase\":\"Receive\",\"say\":\"What?\"}"

/* What was amended stands in the grids and among the notes, where it was asked. */
static void test_amended_shown(void **state)
{
	(void)state;
	static const struct line list[] = {
	    {"answer", "n", NOTE, "it howls", "{\"text\":\"it howls\"}"},
	    {"answer", "g", CELL("drive"), "2", "{\"option\":\"slight\",\"index\":1}"},
	    {"answer", "g", CELL("float"), "1", "{\"option\":\"none\",\"index\":0}"},
	    {"amend", "g", CELL("drive"), "1",
	     "{\"option\":\"none\",\"index\":0,\"amends\":3,\"reason\":\"slip\"}"},
	    {"amend", "n", NOTE, "it whines",
	     "{\"text\":\"it whines\",\"amends\":2,\"reason\":\"misheard\"}"},
	};
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, list, sizeof list / sizeof *list);
	const struct fw_report_entry *asked = fw_report_next_asked(&job, NULL);
	assert_int_equal(asked->seq, 6);
	asked = fw_report_next_asked(&job, asked);
	assert_int_equal(asked->seq, 5);
	asked = fw_report_next_asked(&job, asked);
	assert_int_equal(asked->seq, 4);
	assert_null(fw_report_next_asked(&job, asked));
	char *html = report(trail, 1, FW_REPORT_HTML);
	const char *grid = strstr(html, "<th scope=\"row\">third</th>");
	assert_non_null(grid);
	const char *gap = strstr(grid, "–</td>"), *end = strstr(grid, "</tr>");
	assert_true(!gap || gap > end);
	assert_true(strstr(html, ">drive<") < strstr(html, ">float<"));
	assert_contains(html, "What?</span><br/>it whines</p>");
	free(html);
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* A reading that was kept against a query, in the first of two measurements of one step. */
static void test_kept(void **state)
{
	(void)state;
	static const struct line list[] = {
	    {"answer", "a", ASK_A, "9", "{\"quantity\":" Q("0.009", "9 mm") ",\"confirmed\":true}"},
	    {"finding", "a", "{\"find\":\"measurement\",\"readings\":[" Q("0.009", "9 mm") "]}", NULL,
	     "{}"},
	    {"answer", "b", ASK_B, "1", MM},
	    {"answer", "a", ASK_A, "1", MM},
	    {"finding", "a", "{\"find\":\"measurement\",\"readings\":[" Q("0.001", "1 mm") "]}", NULL,
	     "{}"},
	    {"amend", "a", ASK_A, "8",
	     "{\"quantity\":" Q("0.008", "8 mm") ",\"confirmed\":true,\"amends\":2,\"reason\":\"r\"}"},
	    {"finding", "a", "{\"find\":\"measurement\",\"readings\":[" Q("0.008", "8 mm") "]}", NULL,
	     "{}"},
	    {"finding", "a", "{\"find\":\"measurement\",\"readings\":[" Q("0.001", "1 mm") "]}", NULL,
	     "{}"},
	};
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, list, sizeof list / sizeof *list);
	assert_true(fw_report_kept(&job, fw_report_entry(&job, 8), 0));
	assert_false(fw_report_kept(&job, fw_report_entry(&job, 9), 0));
	assert_false(fw_report_kept(&job, fw_report_entry(&job, 9), 1));
	fw_report_free(&job);
	fw_trail_close(trail);
}

/* Amendments of what isn't there, of themselves, of what comes later; lapses of all sorts. */
static void test_odd(void **state)
{
	(void)state;
	static const struct line list[] = {
	    {"amend", "a", NULL, "1", "{\"amends\":2}"},
	    {"amend", "a", NULL, "1", "{\"amends\":9}"},
	    {"amend", "a", NULL, "1", "{\"amends\":1}"},
	    {"amend", "a", NULL, "1", NULL},
	    {"lapse", NULL, NULL, NULL, "[]"},
	    {"lapse", NULL, NULL, NULL, "{\"entries\":{\"a\":1}}"},
	    {"reopen", NULL, NULL, NULL, "{\"entries\":[9,1,0,-1]}"},
	    {"finding", NULL, "{}", NULL, "{}"},
	    {"release", NULL, NULL, NULL, "{}"},
	};
	struct fw_report_job job;
	struct fw_trail *trail = open_trail();

	read_some(&job, trail, list, sizeof list / sizeof *list);
	for (size_t i = 0; i < job.count; i++)
		assert_int_equal(job.entries[i].struck_by, 0);
	assert_int_equal(job.answers, 4);
	for (enum fw_report_format f = FW_REPORT_HTML; f <= FW_REPORT_ANSWERS; f++)
		free(report(trail, 1, f));
	fw_report_free(&job);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_fold),          cmocka_unit_test(test_reopened),
	    cmocka_unit_test(test_found_anew),    cmocka_unit_test(test_kept),
	    cmocka_unit_test(test_conceded_anew), cmocka_unit_test(test_amended_shown),
	    cmocka_unit_test(test_odd),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
