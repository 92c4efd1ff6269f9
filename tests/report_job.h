/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file report_job.h  An invented job, written to a trail as the engine would. All names and
 * figures are invented. */
#ifndef FITWRIGHT_TESTS_REPORT_JOB_H
#define FITWRIGHT_TESTS_REPORT_JOB_H

#include <stdio.h>
#include <string.h>

#include "check.h"
#include "fitwright/trail.h"

#define Q(si, text)     "{\"si\":" si ",\"unit\":\"mm\",\"text\":\"" text "\"}"
#define QU(si, text, u) "{\"si\":" si ",\"unit\":\"mm\",\"text\":\"" text "\",\"u\":" u "}"
#define T(si, text)     "{\"si\":" si ",\"unit\":\"N·m\",\"text\":\"" text "\"}"
#define F(si, text)     "{\"si\":" si ",\"unit\":\"kN\",\"text\":\"" text "\"}"
#define FLOAT_LIMITS                                                                               \
	"{\"min\":" Q("5e-05", "0.050 mm") ",\"max\":" Q("0.00015", "0.150 mm") ",\"aim\":" Q(         \
	    "0.0001", "0.100 mm") ",\"source\":{\"grade\":\"owner\",\"text\":\"owner's notebook, "     \
	                          "invented for this test\"}}"
#define DRAG_LIMITS                                                                                \
	"{\"max\":" T("1.2",                                                                           \
	              "1.20 N·m") ",\"source\":{\"grade\":\"practice\",\"text\":\"turns freely "       \
	                          "by hand, invented\"}}"
#define ASK(kind, word, phase, say)                                                                \
	"{\"ask\":\"" kind "\",\"word\":\"" word "\",\"phase\":\"" phase "\",\"say\":\"" say "\"}"
#define READ(phase, say, item)                                                                     \
	"{\"ask\":\"quantity\",\"word\":\"measure\",\"phase\":\"" phase                                \
	"\",\"unit\":\"mm\",\"gauge\":"                                                                \
	"\"dial indicator\",\"say\":\"" say "\",\"item\":\"" item "\"}"
#define GRID(phase, row, column)                                                                   \
	"{\"ask\":\"choice\",\"word\":\"grid\",\"phase\":\"" phase "\",\"say\":\"Where is the noise "  \
	"heard?\",\"item\":\"" row ", " column "\",\"row\":\"" row "\",\"column\":\"" column           \
	"\",\"options\":[\"none\",\"slight\",\"loud\"]}"
#define PICK(option, index) "{\"option\":\"" option "\",\"index\":" index "}"
#define VERDICT_ASK(value)                                                                         \
	"{\"find\":\"verdict\",\"name\":\"Countershaft end float\",\"value\":" value                   \
	",\"limits\":" FLOAT_LIMITS ",\"rule\":{\"probability\":0.95}}"

static const char begin_format[] =
    "{\"title\":\"Countershaft end float: find, set and prove\",\"unit\":\"Gearbox 7-204, "
    "invented\","
    "\"procedure\":{\"name\":\"endfloat.lua\",\"hash\":\"%s\"},"
    "\"sheet\":{\"name\":\"gearbox-7.lua\",\"hash\":\"%s\"},\"modules\":[],"
    "\"phases\":[\"Receive\",\"As found\",\"Inspect\",\"Fit-up\",\"Close up\",\"Prove\"],"
    "\"lua\":\"Lua 5.4.4\",\"fitwright\":\"0.1.0\",\"figures\":["
    "{\"name\":\"float\",\"kind\":\"limits\",\"text\":\"0.050 mm to 0.150 mm, aim 0.100 mm\","
    "\"source\":{\"grade\":\"owner\",\"text\":\"owner's notebook, invented for this test\"}},"
    "{\"name\":\"cover\",\"kind\":\"joint\",\"text\":\"8 × M8, class 8.8, 22.0 N·m\",\"source\":"
    "{\"grade\":\"maker\",\"text\":\"leaflet 12 of the invented works, page 3\"}},"
    "{\"name\":\"drag\",\"kind\":\"limits\",\"text\":\"at most 1.20 N·m\",\"source\":{\"grade\":"
    "\"practice\",\"text\":\"turns freely by hand, invented\"}}]}";

struct line {
	const char *kind, *step, *ask, *typed, *value;
};

static const struct line lines[] = {
    {"answer", "noise-as-found", GRID("Receive", "First", "drive"), "none", PICK("none", "0")},
    {"answer", "noise-as-found", GRID("Receive", "First", "overrun"), "slight",
     PICK("slight", "1")},
    {"answer", "noise-as-found", GRID("Receive", "Second", "drive"), "loud", PICK("loud", "2")},
    {"answer", "noise-as-found", GRID("Receive", "Second", "overrun"), "l", PICK("loud", "2")},
    {"answer", "noise-as-found", GRID("Receive", "Reverse", "drive"), "1", PICK("none", "0")},
    {"answer", "noise-as-found", GRID("Receive", "Reverse", "overrun"), "1", PICK("none", "0")},
    {"answer", "story", ASK("text", "note", "Receive", "What does the owner say?"),
     "Howls in second since the last oil change; \"never again\" <b>cheap</b> oil & grit",
     "{\"text\":\"Howls in second since the last oil change; \\\"never again\\\" <b>cheap</b> oil "
     "& "
     "grit\"}"},
    {"answer", "float-as-found",
     READ("As found", "Shaft out, zero, shaft in, read.", "reading 1 of 2"), "16 thou",
     "{\"quantity\":" Q("0.0004064", "16.0 thou") "}"},
    {"withdraw", NULL, NULL, "indicator was not zeroed", "{\"entry\":9}"},
    {"answer", "float-as-found",
     READ("As found", "Shaft out, zero, shaft in, read.", "reading 1 of 2"), "0.41",
     "{\"quantity\":" Q("0.00041", "0.410 mm") "}"},
    {"answer", "float-as-found",
     READ("As found", "Shaft out, zero, shaft in, read.", "reading 2 of 2"), "0,42 mm",
     "{\"quantity\":" Q("0.00042", "0.420 mm") ",\"confirmed\":true}"},
    {"finding", "float-as-found",
     "{\"find\":\"measurement\",\"readings\":[" Q("0.00041", "0.410 mm") "," Q(
         "0.00042",
         "0.420 mm") "],\"gauge\":{\"name\":\"dial indicator\",\"resolution\":" Q("1e-05",
                                                                                  "0.010 mm") "}}",
     NULL,
     "{\"quantity\":" QU("0.000415", "0.415 mm",
                         "6e-06") ",\"text\":\"0.415 ± 0.012 mm from 2 readings\"}"},
    {"finding", "as-found", VERDICT_ASK(QU("0.000415", "0.415 mm", "6e-06")), NULL,
     "{\"verdict\":\"outside\",\"probability\":0,\"margin\":" Q(
         "-0.000265", "-0.265 mm") ",\"text\":\"Countershaft end float 0.415 mm is outside 0.050 "
                                   "mm to 0.150 mm\"}"},
    {"answer", "bearing-look", ASK("text", "inspect", "Inspect", "Look at the bearing's races."),
     "Two pits on the outer race", "{\"text\":\"Two pits on the outer race\"}"},
    {"finding", "bearing",
     "{\"find\":\"part\",\"part\":\"front bearing\",\"decision\":\"reject\",\"reason\":\"two pits "
     "on "
     "the outer race\"}",
     NULL, "{\"text\":\"front bearing: reject, two pits on the outer race\"}"},
    {"finding", "shaft",
     "{\"find\":\"part\",\"part\":\"countershaft\",\"decision\":\"reuse\",\"reason\":\"journals "
     "within 0.01 mm, no scoring\"}",
     NULL, "{\"text\":\"countershaft: reuse, journals within 0.01 mm\"}"},
    {"finding", "fit",
     "{\"find\":\"stack\",\"place\":\"front retainer\",\"limits\":" FLOAT_LIMITS
     ",\"datum\":" QU("0.001215", "1.215 mm", "8e-06") "}",
     NULL,
     "{\"shims\":[" Q("0.0008", "0.800 mm") "," Q("0.0003", "0.300 mm") "],\"stack\":" QU(
         "0.0011", "1.100 mm", "3e-06") ",\"play\":" QU("0.000115", "0.115 mm",
                                                        "9e-06") ",\"probability\":0.9994,\"text\":"
                                                                 "\"Fit 0.800 mm + 0.300 "
                                                                 "mm: 0.115 mm expected\"}"},
    {"answer", "fit-stack",
     "{\"ask\":\"done\",\"word\":\"task\",\"phase\":\"Fit-up\",\"say\":\"Fit 0.800 mm + 0.300 mm. "
     "Seat the bearing.\",\"caution\":\"Keep fingers clear of the bore.\"}",
     "", "{\"done\":true}"},
    {"finding", "float-on-trial",
     "{\"find\":\"trial\",\"place\":\"front retainer\",\"stack\":" QU(
         "0.0008", "0.800 mm", "3e-06") ",\"play\":" QU("0.000415", "0.415 mm",
                                                        "6e-06") ",\"trial\":1}",
     NULL,
     "{\"datum\":" QU("0.001215", "1.215 mm", "8e-06") ",\"text\":\"trial 1: datum 1.215 mm\"}"},
    {"finding", "float-on-trial",
     "{\"find\":\"trial\",\"place\":\"front retainer\",\"stack\":" QU(
         "0.0011", "1.100 mm", "3e-06") ",\"play\":" QU("0.00024", "0.240 mm",
                                                        "6e-06") ",\"trial\":2}",
     NULL,
     "{\"datum\":" QU("0.00134", "1.340 mm", "8e-06") ",\"predicted\":" QU(
         "0.000115", "0.115 mm",
         "9e-06") ",\"difference\":" Q("0.000125", "0.125 mm") ",\"sigmas\":11.6,\"surprise\":true,"
                                                               "\"text\":\"Far "
                                                               "from its prediction: usually a "
                                                               "bearing not seated "
                                                               "or a gasket left out\"}"},
    {"finding", "fit",
     "{\"find\":\"stack\",\"place\":\"front retainer\",\"limits\":" FLOAT_LIMITS
     ",\"datum\":" QU("0.00134", "1.340 mm", "8e-06") "}",
     NULL,
     "{\"shims\":[" Q("0.001", "1.000 mm") "," Q("0.00025", "0.250 mm") "],\"stack\":" QU(
         "0.00125", "1.250 mm", "3e-06") ",\"play\":" QU("9e-05", "0.090 mm",
                                                         "9e-06") ",\"probability\":0.9999,"
                                                                  "\"text\":\"Fit 1.000 mm + 0.250 "
                                                                  "mm: 0.090 mm expected\"}"},
    {"finding", "float-on-trial",
     "{\"find\":\"trial\",\"place\":\"front retainer\",\"stack\":" QU(
         "0.00125", "1.250 mm", "3e-06") ",\"play\":" QU("9.6e-05", "0.096 mm",
                                                         "6e-06") ",\"trial\":3}",
     NULL,
     "{\"datum\":" QU("0.001346", "1.346 mm", "6e-06") ",\"predicted\":" QU(
         "9e-05", "0.090 mm",
         "9e-06") ",\"difference\":" Q("6e-06", "0.006 mm") ",\"sigmas\":0.55,\"surprise\":false,"
                                                            "\"text\":\"as predicted\"}"},
    {"finding", "as-left", VERDICT_ASK(QU("9.6e-05", "0.096 mm", "6e-06")), NULL,
     "{\"verdict\":\"within\",\"probability\":0.99999,\"margin\":" Q(
         "4.6e-05",
         "0.046 mm") ",\"text\":\"Countershaft end float 0.096 mm is within its limits\"}"},
    {"finding", "gasket",
     "{\"find\":\"gasket\",\"place\":\"front retainer\",\"gap\":" QU(
         "0.00052", "0.520 mm",
         "5e-06") ",\"limits\":{\"min\":" Q("2e-05", "0.020 mm") ",\"max\":" Q("8e-05",
                                                                               "0.080 mm") "}}",
     NULL,
     "{\"shims\":[" Q("0.0005", "0.500 mm") "],\"stack\":" Q("0.00046", "0.460 mm") ",\"nip\":" QU(
         "6e-05", "0.060 mm",
         "7e-06") ",\"probability\":0.97,\"text\":\"Gasket 0.500 mm: nip 0.060 mm\"}"},
    {"finding", "cover",
     "{\"find\":\"joint\",\"name\":\"front "
     "cover\",\"thread\":\"M8\",\"class\":\"8.8\",\"friction\":"
     "\"oiled\",\"torque\":" T("22",
                               "22.0 N·m") ",\"bolts\":8,\"source\":{\"grade\":\"maker\",\"text\":"
                                           "\"leaflet 12 of the invented works, page 3\"}}",
     NULL,
     "{\"low\":" F("12100", "12.1 kN") ",\"usual\":" F("16400", "16.4 kN") ",\"high\":" F(
         "21300", "21.3 kN") ",\"share\":0.91,\"usual_share\":0.70,\"order\":[1,5,3,7,2,6,4,8],"
                             "\"passes\":[" T("11", "11.0 N·m") "," T("22",
                                                                      "22.0 N·m") "],\"text\":"
                                                                                  "\"8 bolts "
                                                                                  "in 2 "
                                                                                  "passes\"}"},
    {"answer", "cover",
     "{\"ask\":\"done\",\"word\":\"tighten\",\"phase\":\"Close up\",\"say\":\"Tighten to 22.0 N·m "
     "in "
     "this order: 1 5 3 7 2 6 4 8\",\"item\":\"pass 2 of 2\",\"order\":[1,5,3,7,2,6,4,8]}",
     "done", "{\"done\":true}"},
    {"finding", "cover",
     "{\"find\":\"tightened\",\"name\":\"front "
     "cover\",\"thread\":\"M8\",\"class\":\"8.8\",\"friction\":"
     "\"oiled\",\"torque\":" T("22", "22.0 N·m") ",\"settings\":[" T("11", "11.0 N·m") "," T(
         "23.5", "23.5 N·m") "],\"bolts\":8,\"source\":{\"grade\":\"maker\",\"text\":"
                             "\"leaflet 12 of the invented works, page 3\"}}",
     NULL,
     "{\"low\":" F("12900", "12.9 kN") ",\"usual\":" F("17500", "17.5 kN") ",\"high\":" F(
         "22800", "22.8 kN") ",\"share\":0.97,\"usual_share\":0.75,\"otherwise\":true,\"text\":"
                             "\"M8 at 23.5 N·m clamps with about 17.5 kN a bolt\"}"},
    {"answer", "noise-as-left", GRID("Prove", "First", "drive"), "none", PICK("none", "0")},
    {"answer", "noise-as-left", GRID("Prove", "First", "overrun"), "none", PICK("none", "0")},
    {"answer", "noise-as-left", GRID("Prove", "Second", "drive"), "slight", PICK("slight", "1")},
    {"answer", "noise-as-left", GRID("Prove", "Second", "overrun"), "none", PICK("none", "0")},
    {"answer", "noise-as-left", GRID("Prove", "Reverse", "drive"), "none", PICK("none", "0")},
    {"answer", "noise-as-left", GRID("Prove", "Reverse", "overrun"), "none", PICK("none", "0")},
    {"finding", "drag",
     "{\"find\":\"verdict\",\"name\":\"Running "
     "drag\",\"value\":{\"si\":1.15,\"unit\":\"N·m\",\"text\":"
     "\"1.15 N·m\",\"u\":0.06},\"limits\":" DRAG_LIMITS ",\"rule\":{\"probability\":0.95}}",
     NULL,
     "{\"verdict\":\"doubtful\",\"probability\":0.798,\"margin\":" T(
         "0.05", "0.05 N·m") ",\"text\":\"Running drag 1.15 N·m is doubtful\"}"},
    {"finding", "drag", "{\"find\":\"remark\"}", NULL,
     "{\"text\":\"Drag to be checked again after the first oil change.\"}"},
};
#define LINES (sizeof lines / sizeof *lines)

/* A minute an entry, so that the times are told apart. */
static inline const char *clock_text(char out[32], size_t minutes)
{
	snprintf(out, 32, "2026-03-05T%02u:%02u:11.250Z", (unsigned)(9 + minutes / 60) % 24,
	         (unsigned)(minutes % 60));
	return out;
}

static inline void append_head(struct fw_trail *trail, int64_t job, const char *kind, const char *start,
                        size_t minutes)
{
	struct fw_error error;
	uint8_t head[FW_HASH];
	char hex[FW_HASH_TEXT], value[512], at[32];
	int64_t seq;
	bool sign = strcmp(kind, "sign") == 0;

	assert_ok(fw_trail_head(trail, job, &seq, head, &error));
	snprintf(value, sizeof value, "{%s\"count\":%lld,\"head\":\"%s\"}", start, (long long)seq,
	         fw_hash_text(hex, head));
	struct fw_entry entry = {
	    .kind = kind,
	    .step = sign ? "release" : NULL,
	    .at = clock_text(at, minutes),
	    .who = "Robin Example",
	    .ask =
	        sign ? "{\"ask\":\"sign\",\"word\":\"sign\",\"phase\":\"Prove\",\"say\":\"Sign for the "
	               "rebuild.\",\"role\":\"technician\"}"
	             : NULL,
	    .typed = sign ? "Robin Example" : NULL,
	    .value = value,
	};
	assert_ok(fw_trail_append(trail, job, seq, &entry, 1, NULL, &error));
}

static inline void append_plain(struct fw_trail *trail, int64_t job, const struct line *line,
                         size_t minutes)
{
	struct fw_error error;
	uint8_t head[FW_HASH];
	char at[32];
	int64_t seq;
	struct fw_entry entry = {.kind = line->kind,
	                         .step = line->step,
	                         .at = clock_text(at, minutes),
	                         .who = "Robin Example",
	                         .ask = line->ask,
	                         .typed = line->typed,
	                         .value = line->value};

	assert_ok(fw_trail_head(trail, job, &seq, head, &error));
	assert_ok(fw_trail_append(trail, job, seq, &entry, 1, NULL, &error));
}

static inline int64_t begin_job(struct fw_trail *trail, const struct fw_source_text *sources, size_t count,
                         const char *value)
{
	struct fw_error error;
	char at[32];
	int64_t job = 0;
	struct fw_entry begin = {
	    .kind = "begin", .at = clock_text(at, 0), .who = "Robin Example", .value = value};

	assert_ok(fw_trail_begin(trail, sources, count, &begin, &job, &error));
	return job;
}

/* The whole job, signed and released. */
static inline int64_t write_job(struct fw_trail *trail)
{
	static const char procedure[] = "return procedure { title = 'invented' }";
	static const char sheet[] = "return sheet { title = 'invented' }";
	const struct fw_source_text sources[] = {{procedure, sizeof procedure - 1},
	                                         {sheet, sizeof sheet - 1}};
	char hex[2][FW_HASH_TEXT], value[4096];

	for (size_t i = 0; i < 2; i++) {
		uint8_t hash[FW_HASH];
		fw_trail_hash(hash, sources[i].bytes, sources[i].size);
		fw_hash_text(hex[i], hash);
	}
	snprintf(value, sizeof value, begin_format, hex[0], hex[1]);
	int64_t job = begin_job(trail, sources, 2, value);

	for (size_t i = 0; i < LINES; i++)
		append_plain(trail, job, &lines[i], i + 1);
	append_head(
	    trail, job, "sign",
	    "\"name\":\"Robin Example\",\"role\":\"technician\",\"meaning\":\"rebuilt and proved as "
	    "recorded\",",
	    LINES + 1);
	append_head(trail, job, "release", "", LINES + 2);
	return job;
}

#endif
