/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_trail_views.c  The views that came with format 2, through SQLite alone: what stands
 * after corrections, who signed what, the register. The figures are invented. */
#include "no_sync.h"
#include "trail_place.h"

#define MM(si, text) "{\"si\":" si ",\"unit\":\"mm\",\"text\":\"" text "\"}"
#define ASK                                                                                        \
	"{\"ask\":\"quantity\",\"step\":\"float\",\"item\":\"reading 1 of 1\",\"gauge\":\"dial "       \
	"indicator\"}"
#define READ(si, text, more) "{\"quantity\":" MM(si, text) more "}"

static void put(struct fw_trail *trail, int64_t job, const char *kind, const char *step,
                const char *ask, const char *typed, const char *value)
{
	struct fw_entry e = make_entry(kind, ask, typed, value);

	e.step = step;
	if (job == FW_SHOP)
		e.at = "2036-01-01T08:00:00.000Z";
	make_append(trail, job, &e);
}

static void put_verdict(struct fw_trail *trail, int64_t job, const char *name, const char *value,
                        const char *verdict)
{
	char ask[512], out[128];

	snprintf(ask, sizeof ask,
	         "{\"find\":\"verdict\",\"name\":\"%s\",\"value\":{\"si\":0.001,\"text\":\"%s\"},"
	         "\"limits\":{\"max\":" MM("0.0003", "0.30 mm") "}}",
	         name, value);
	snprintf(out, sizeof out, "{\"verdict\":\"%s\",\"text\":\"-\"}", verdict);
	put(trail, job, "finding", "float", ask, NULL, out);
}

/* Job 1, by the numbers of its entries. */
static void fill_job(struct fw_trail *trail)
{
	assert_int_equal(make_job(trail, "box 1"), 1);                                /* 1 */
	put(trail, 1, "answer", "float", ASK, "0.40", READ("0.0004", "0.40 mm", "")); /* 2 */
	put_verdict(trail, 1, "end float", "0.40 mm", "outside");                     /* 3 */
	put(trail, 1, "evidence", "float", NULL, "the race",
	    "{\"name\":\"a.jpg\",\"kind\":\"image/jpeg\","
	    "\"size\":5,\"hash\":\"00\"}"); /* 4 */
	put(trail, 1, "answer", "way", "{\"ask\":\"choice\"}", "2",
	    "{\"option\":\"renew\",\"index\":1}");                              /* 5 */
	put(trail, 1, "answer", "gap", ASK, "9", READ("0.009", "9.00 mm", "")); /* 6 */
	put(trail, 1, "withdraw", NULL, NULL, "slipped", "{\"entry\":6}");      /* 7 */
	put(trail, 1, "answer", "gap", ASK, "0.9",
	    READ("0.0009", "0.90 mm",
	         ",\"confirmed\":true,\"gauge\":{\"id\":\"DI-2\",\"calibrated\":"
	         "\"2026-01-02\",\"due\":\"2027-01-02\"}")); /* 8 */
	put(trail, 1, "amend", "float", ASK, "0.30",
	    READ("0.0003", "0.30 mm", ",\"amends\":2,\"reason\":\"misread\"")); /* 9 */
	put_verdict(trail, 1, "end float", "0.30 mm", "doubtful");              /* 10 */
	put(trail, 1, "lapse", NULL, NULL, NULL, "{\"entries\":[5]}");          /* 11 */
	put(trail, 1, "sign", "float", "{\"ask\":\"sign\",\"purpose\":\"concession\"}", "A. Sample",
	    "{\"name\":\"A. Sample\",\"role\":\"owner\",\"meaning\":\"I concede\",\"reason\":\"old "
	    "unit\","
	    "\"key\":\"abcd\",\"independent\":true}"); /* 12 */
	put(trail, 1, "finding", "float",
	    "{\"find\":\"concession\",\"name\":\"end float\",\"value\":" MM(
	        "0.0003",
	        "0.30 mm") ",\"verdict\":\"doubtful\",\"limits\":{\"max\":" MM("0.0003",
	                                                                       "0.30 mm") ",\"source\":"
	                                                                                  "{\"grade\":"
	                                                                                  "\"practice\""
	                                                                                  ",\"text\":"
	                                                                                  "\"invented\""
	                                                                                  "}}}",
	    NULL,
	    "{\"by\":\"A. Sample\",\"role\":\"owner\",\"reason\":\"old unit\",\"text\":\"conceded\"}"); /* 13 */
	put_verdict(trail, 1, "backlash", "0.10 mm", "within"); /* 14 */
	put(trail, 1, "amend", "float", ASK, "0.31",
	    READ("0.00031", "0.31 mm", ",\"amends\":9,\"reason\":\"misread again\"")); /* 15 */
	put(trail, 1, "amend", "float", ASK, "0.99",
	    READ("0.00099", "0.99 mm", ",\"amends\":15"));                         /* 16 */
	put(trail, 1, "withdraw", NULL, NULL, "that was right", "{\"entry\":16}"); /* 17 */
	put_verdict(trail, 1, "end float", "0.31 mm", "outside");                  /* 18 */
	put_verdict(trail, 1, "end float", "0.20 mm", "within");                   /* 19 */
	put_verdict(trail, 1, "backlash", "0.12 mm", "within");                    /* 20 */
	make_signed(trail, 1, "sign");                                             /* 21 */
	make_signed(trail, 1, "release");                                          /* 22 */
	put(trail, 1, "reopen", NULL, NULL, "A. Sample",
	    "{\"name\":\"A. Sample\",\"reason\":\"came back\",\"entries\":[21]}"); /* 23 */
	put(trail, 1, "sign", "hold", "{\"ask\":\"sign\",\"purpose\":\"hold\"}", "R. Example",
	    "{\"name\":\"R. Example\",\"independent\":false}"); /* 24 */
}

static void fill_log(struct fw_trail *trail)
{
	put(trail, 0, "person", NULL, NULL, NULL,
	    "{\"name\":\"A. Sample\",\"roles\":[\"owner\",\"technician\"],"
	    "\"key\":\"k1\"}"); /* 2 */
	put(trail, 0, "person", NULL, NULL, NULL,
	    "{\"name\":\"R. Example\",\"roles\":[\"technician\"],\"key\":\"k2\"}");
	put(trail, 0, "person", NULL, NULL, NULL,
	    "{\"name\":\"R. Example\",\"roles\":[\"technician\"],\"key\":\"k3\","
	    "\"replaces\":\"k2\",\"reason\":\"lost\"}"); /* 4 */
	put(trail, 0, "person", NULL, NULL, NULL,
	    "{\"name\":\"S. Example\",\"roles\":[\"technician\"],\"key\":\"k4\"}");
	put(trail, 0, "retire", NULL, NULL, NULL,
	    "{\"name\":\"S. Example\",\"key\":\"k4\",\"reason\":\"left\"}"); /* 6 */
	put(trail, 0, "gauge", NULL, NULL, NULL,
	    "{\"id\":\"DI-2\",\"kind\":\"dial indicator\",\"resolution\":" MM(
	        "1e-05", "0.01 mm") ",\"error\":" MM("2e-05",
	                                             "0.02 mm") ",\"due\":\"2026-01-01\"}"); /* 7 */
	put(trail, 0, "gauge-bad", NULL, NULL, NULL,
	    "{\"id\":\"DI-2\",\"from\":\"2025-12-01\",\"reason\":\"sticks\"}");
	put(trail, 0, "gauge", NULL, NULL, NULL,
	    "{\"id\":\"di-2\",\"kind\":\"dial indicator\",\"resolution\":" MM(
	        "1e-05",
	        "0.01 mm") ",\"error\":" MM("3e-05",
	                                    "0.03 mm") ",\"calibrated\":\"2026-01-02\",\"due\":\"2027-"
	                                               "01-02\",\"source\":\"lab\"}"); /* 9 */
	put(trail, 0, "gauge", NULL, NULL, NULL,
	    "{\"id\":\"M-1\",\"kind\":\"micrometer\",\"resolution\":" MM(
	        "1e-06", "0.001 mm") ",\"error\":" MM("4e-06", "0.004 mm") "}"); /* 10 */
	put(trail, 0, "gauge-bad", NULL, NULL, NULL,
	    "{\"id\":\"M-1\",\"from\":\"2026-03-02\",\"reason\":\"dropped\"}");
	put(trail, 0, "gauge-bad", NULL, NULL, NULL,
	    "{\"id\":\"M-1\",\"from\":\"2026-03-01\",\"reason\":\"earlier\"}");
	put(trail, 0, "gauge-retired", NULL, NULL, NULL,
	    "{\"id\":\"m-1\",\"reason\":\"beyond repair\"}"); /* 13 */
}

/* Worked out by hand from docs/trail.md and the numbers above. */
static const struct {
	const char *ask, *answer;
} cases[] = {
    {"SELECT group_concat(seq) FROM kept WHERE job = 1",
     "1,2,3,4,5,8,9,10,11,12,13,14,15,18,19,20,21,22,23,24"},
    /* 2 and 9 are amended, their findings follow anew; 5 lapsed; release 22 and signature 21 were
       reopened */
    {"SELECT group_concat(seq) FROM standing WHERE job = 1", "1,4,8,12,15,18,19,20,23,24"},
    {"SELECT group_concat(job || '/' || ifnull(released, '-')) FROM job", "1/-"},
    {"SELECT group_concat(seq || '/' || typed || '/' || value || '/' || amended || '/' || "
     "confirmed ||"
     " '/' || ifnull(gauge_id, '-') || '/' || ifnull(gauge_calibrated, '-') || '/' || "
     "ifnull(gauge_due, '-'), ' ')"
     " FROM (SELECT * FROM reading ORDER BY seq)",
     "8/0.9/0.90 mm/0/1/DI-2/2026-01-02/2027-01-02 15/0.31/0.31 mm/1/0/-/-/-"},
    {"SELECT group_concat(seq || '/' || entry || '/' || typed_before || '/' || typed || '/' || "
     "value_before ||"
     " '/' || value || '/' || reason || '/' || item, ' ') FROM (SELECT * FROM amendment ORDER BY "
     "seq)",
     "9/2/0.40/0.30/0.40 mm/0.30 mm/misread/reading 1 of 1 "
     "15/9/0.30/0.31/0.30 mm/0.31 mm/misread again/reading 1 of 1"},
    {"SELECT group_concat(seq || '/' || purpose || '/' || name || '/' || ifnull(reason, '-') || "
     "'/' ||"
     " ifnull(key, '-') || '/' || ifnull(independent, '-'), ' ') FROM (SELECT * FROM signature "
     "ORDER BY seq)",
     "12/concession/A. Sample/old unit/abcd/1 23/reopen/A. Sample/came back/-/- 24/hold/R. "
     "Example/-/-/0"},
    /* finding 13 lies between entry 9 and its amendment 15 */
    {"SELECT count(*) FROM concession", "0"},
    {"SELECT group_concat(name || '/' || as_found || '/' || verdict_found || '/' || as_left || '/' "
     "|| verdict_left"
     " || '/' || seq || '/' || max, ' ') FROM (SELECT * FROM as_found_as_left ORDER BY name)",
     "backlash/0.12 mm/within/0.12 mm/within/20/0.30 mm end float/0.31 mm/outside/0.20 "
     "mm/within/19/0.30 mm"},
    {"SELECT seq || '/' || step || '/' || name || '/' || kind || '/' || size || '/' || note || '/' "
     "|| hash"
     " FROM attachment",
     "4/float/a.jpg/image/jpeg/5/the race/00"},
    {"SELECT group_concat(seq || '/' || name || '/' || roles || '/' || key, ' ') FROM person",
     "2/A. Sample/owner, technician/k1 4/R. Example/technician/k3"},
    {"SELECT group_concat(seq || '/' || id || '/' || kind || '/' || resolution || '/' || error || "
     "'/' ||"
     " ifnull(calibrated, '-') || '/' || ifnull(due, '-') || '/' || ifnull(source, '-') || '/' ||"
     " ifnull(bad_from, '-') || '/' || ifnull(retired, '-'), ' ') FROM gauge",
     "9/di-2/dial indicator/0.01 mm/0.03 mm/2026-01-02/2027-01-02/lab/-/- "
     "10/M-1/micrometer/0.001 mm/0.004 mm/-/-/-/2026-03-01/2036-01-01"},
    {"SELECT error_si || '/' || resolution_si FROM gauge WHERE id = 'M-1'", "4.0e-06/1.0e-06"},
};

static void corrections_people_and_gauges_are_seen(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char answer[2048];

	fill_log(trail);
	fill_job(trail);
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		make_ask(place->file, cases[i].ask, answer, sizeof answer);
		if (strcmp(answer, cases[i].answer) != 0)
			fail_msg("%s\n gives %s,\n not   %s", cases[i].ask, answer, cases[i].answer);
	}
}

static void a_concession_is_shown_with_who_signed_it(void **state)
{
	static const char ask[] = "SELECT seq || '/' || name || '/' || value || '/' || verdict || '/' "
	                          "|| ifnull(min, '-') || '/' || max ||"
	                          " '/' || grade || '/' || source || '/' || conceded_by || '/' || role "
	                          "|| '/' || reason || '/' || signed ||"
	                          " '/' || key || '/' || independent FROM concession";
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char answer[512];

	make_job(trail, "box 1");
	for (int i = 0; i < 2; i++) /* the one before is of another step */
		put(trail, 1, "sign", i ? "float" : "gap", "{\"ask\":\"sign\",\"purpose\":\"concession\"}",
		    "A. Sample",
		    "{\"name\":\"A. Sample\",\"role\":\"owner\",\"key\":\"abcd\",\"independent\":true}");
	put(trail, 1, "sign", "float", "{\"ask\":\"sign\"}", "A. Sample", "{\"name\":\"A. Sample\"}");
	put(trail, 1, "finding", "float",
	    "{\"find\":\"concession\",\"name\":\"end float\",\"value\":" MM(
	        "0.0003",
	        "0.30 mm") ",\"verdict\":\"doubtful\",\"limits\":{\"max\":" MM("0.0003",
	                                                                       "0.30 mm") ",\"source\":"
	                                                                                  "{\"grade\":"
	                                                                                  "\"practice\""
	                                                                                  ",\"text\":"
	                                                                                  "\"invented\""
	                                                                                  "}}}",
	    NULL,
	    "{\"by\":\"A. Sample\",\"role\":\"owner\",\"reason\":\"old unit\",\"text\":\"conceded\"}");
	fw_trail_close(trail);
	make_ask(place->file, ask, answer, sizeof answer);
	assert_string_equal(
	    answer, "5/end float/0.30 mm/doubtful/-/0.30 mm/practice/invented/A. Sample/owner/old unit/"
	            "3/abcd/1");
}

/* Each view can be read whole by the program that people have: sqlite3, where it is installed. */
static void every_view_runs_in_the_shell(void **state)
{
	const struct place *place = *state;
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char names[512], command[PATH_MAX + 256], line[256];

	if (system("command -v sqlite3 >/dev/null 2>&1") != 0)
		skip();
	fill_log(trail);
	fill_job(trail);
	fw_trail_close(trail);
	make_ask(place->file, "SELECT group_concat(name, ' ') FROM sqlite_schema WHERE type = 'view'",
	         names, sizeof names);
	int views = 0;
	for (char *name = strtok(names, " "); name; name = strtok(NULL, " "), views++) {
		snprintf(command, sizeof command,
		         "sqlite3 -readonly '%s' 'select count(*) from (select * from %s)' 2>&1",
		         place->file, name);
		FILE *pipe = popen(command, "r");
		assert_non_null(pipe);
		assert_non_null(fgets(line, sizeof line, pipe));
		if (pclose(pipe) != 0 || line[0] < '0' || line[0] > '9')
			fail_msg("%s: %s", name, line);
	}
	assert_int_equal(views, 16);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(corrections_people_and_gauges_are_seen),
	    TEST(a_concession_is_shown_with_who_signed_it),
	    TEST(every_view_runs_in_the_shell),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
