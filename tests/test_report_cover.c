/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on the cover: who did the work, who signed and with what, concessions, gauges, files.
 */
#include <stdlib.h>
#include <string.h>

#include <jansson.h>
#include <sqlite3.h>

#include "check.h"
#include "fitwright/gauges.h"
#include "fitwright/people.h"
#include "fitwright/report.h"
#include "report/gauge.h"
#include "report/model.h"
#include "report/picture.h"
#include "report_job.h"

#define PLACE FW_TEST_BINARY "/report-cover"
#include "report_page.h"

static struct fw_error error;

struct signer {
	const char *name;
	struct fw_secret *secret;
};

static void add_person(struct fw_trail *trail, struct signer *signer, const char *name,
                       const char *role)
{
	char path[512];
	const struct fw_person_new person = {
	    .name = name, .role = &role, .roles = 1, .by = "A. Sample"};

	snprintf(path, sizeof path, PLACE "-%s.key", role);
	unlink(path);
	signer->name = name;
	assert_ok(fw_key_make(&signer->secret, path, name, "correct horse", &error));
	assert_ok(fw_people_add(trail, &person, signer->secret, &error));
}

struct to_sign {
	enum fw_purpose purpose;
	const char *role, *meaning, *reason, *more; /* more: further JSON, with a comma in front */
	size_t minutes;
	bool spoilt; /* the signature is of something else */
};

/* Appends a signature made by the key of `by`; a NULL key signs by name alone. */
static void append_signed(struct fw_trail *trail, int64_t job, const struct signer *by,
                          const struct to_sign *what)
{
	uint8_t signature[FW_SIGNATURE];
	char at[32], head[FW_HASH_TEXT], shop_head[FW_HASH_TEXT], key[FW_KEY_TEXT];
	char text[FW_SIGNATURE_TEXT], value[1500], ask[800], keyed[600] = "";
	bool reopen = what->purpose == FW_FOR_REOPEN;
	struct fw_signing signing = {.purpose = what->purpose,
	                             .shop = fw_trail_shop(trail),
	                             .job = job,
	                             .step = reopen ? NULL : "sign",
	                             .name = by->name,
	                             .role = what->role,
	                             .meaning = what->meaning,
	                             .reason = what->reason,
	                             .at = clock_text(at, what->minutes)};

	assert_ok(fw_trail_head(trail, job, &signing.count, signing.head, &error));
	assert_ok(fw_trail_head(trail, FW_SHOP, &signing.shop_count, signing.shop_head, &error));
	fw_hash_text(head, signing.head);
	if (by->secret) {
		signing.count += what->spoilt;
		assert_ok(fw_signature_make(signature, &signing, by->secret, &error));
		signing.count -= what->spoilt;
		snprintf(keyed, sizeof keyed,
		         ",\"shop\":{\"count\":%lld,\"head\":\"%s\"},\"key\":\"%s\",\"signature\":\"%s\"",
		         (long long)signing.shop_count, fw_hash_text(shop_head, signing.shop_head),
		         fw_hex_text(key, fw_secret_public(by->secret), FW_KEY),
		         fw_hex_text(text, signature, FW_SIGNATURE));
	}
	snprintf(value, sizeof value,
	         "{\"name\":\"%s\",\"role\":\"%s\",\"meaning\":\"%s\",\"count\":%lld,\"head\":\"%s\"%s%"
	         "s%s%s%s}",
	         by->name, what->role, what->meaning, (long long)signing.count, head,
	         what->reason ? ",\"reason\":\"" : "", what->reason ? what->reason : "",
	         what->reason ? "\"" : "", what->more ? what->more : "", keyed);
	snprintf(ask, sizeof ask,
	         "{\"ask\":\"sign\",\"word\":\"sign\",\"phase\":\"Prove\",\"say\":\"Sign.\","
	         "\"purpose\":\"%s\"}",
	         fw_purpose_name(what->purpose));
	append_plain(trail, job,
	             &(struct line){reopen ? "reopen" : "sign", reopen ? NULL : "sign",
	                            reopen ? NULL : ask, by->name, value},
	             what->minutes);
}

static void attach(struct fw_trail *trail, int64_t job, const char *name, const char *kind,
                   const void *bytes, size_t size, const char *note)
{
	uint8_t hash[FW_HASH], head[FW_HASH];
	char hex[FW_HASH_TEXT], value[800], at[32];
	int64_t seq;

	fw_trail_hash(hash, bytes, size);
	snprintf(value, sizeof value, "{\"name\":\"%s\",\"kind\":\"%s\",\"size\":%zu,\"hash\":\"%s\"}",
	         name, kind, size, fw_hash_text(hex, hash));
	const struct fw_entry entry = {.kind = "evidence",
	                               .step = "float",
	                               .at = clock_text(at, 72),
	                               .who = "R. Example",
	                               .typed = note,
	                               .value = value};
	assert_ok(fw_trail_head(trail, job, &seq, head, &error));
	assert_ok(fw_trail_attach(trail, job, seq, &entry, bytes, size, NULL, &error));
}

/* The smallest PNG, one dark pixel, made by zlib and its CRC (python3). */
static const unsigned char png[] = {0x89, 'P', 'N', 'G',  '\r', '\n', 0x1a, '\n', 0,    0, 0, 13,
                                    'I',  'H', 'D', 'R',  0,    0,    0,    1,    0,    0, 0, 1,
                                    8,    0,   0,   0,    0,    0x3a, 0x7e, 0x9b, 0x55, 0, 0, 0,
                                    10,   'I', 'D', 'A',  'T',  0x78, 0x9c, 0x63, 0x60, 0, 0, 0,
                                    2,    0,   1,   0x48, 0xaf, 0xa4, 0x71, 0,    0,    0, 0, 'I',
                                    'E',  'N', 'D', 0xae, 0x42, 0x60, 0x82};
/* RFC 4648, 4, of these bytes by coreutils' base64. */
static const char png_base64[] =
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==";

#define DI2                                                                                        \
	"\"gauge\":{\"id\":\"DI-2\",\"kind\":\"dial indicator\",\"resolution\":" Q(                    \
	    "1e-05", "0.010 mm") ",\"error\":" Q("1.5e-05",                                            \
	                                         "0.015 mm") ",\"calibrated\":\"2025-03-01\","         \
	                                                     "\"due\":\"2026-03-01\",\"source\":"      \
	                                                     "\"certificate 118/25\",\"entry\":%d}"
#define LIMITED                                                                                    \
	"\"name\":\"End float\",\"value\":" QU("0.00016", "0.160 mm",                                  \
	                                       "6e-06") ",\"limits\":" FLOAT_LIMITS
#define CONCESSION_ASK "{\"find\":\"concession\"," LIMITED ",\"verdict\":\"doubtful\"}"

/* A whole job of format 2. `second` is who signs the holds. */
static int64_t write_whole(struct fw_trail *trail, struct signer *first, struct signer *second,
                           bool spoilt)
{
	char value[2000], reading[900];
	const struct fw_shop_gauge gauge = {.id = (char[]){"DI-2"},
	                                    .kind = (char[]){"dial indicator"},
	                                    .resolution = 1e-5,
	                                    .error = 1.5e-5,
	                                    .unit = (char[]){"mm"},
	                                    .calibrated = (char[]){"2025-03-01"},
	                                    .due = (char[]){"2026-03-01"},
	                                    .source = (char[]){"certificate 118/25"}};
	struct fw_shop_gauges gauges;

	assert_ok(fw_shop_gauge_record(trail, &gauge, "A. Sample", NULL, &error));
	assert_ok(fw_shop_gauges_read(&gauges, trail, &error));
	int entry = (int)fw_shop_gauge_find(&gauges, "DI-2")->entry;
	fw_shop_gauges_free(&gauges);
	int64_t job = begin_job(
	    trail, NULL, 0, "{\"title\":\"End float\",\"unit\":\"gearbox 9-1, invented\",\"rules\":2}");

	snprintf(reading, sizeof reading, "{\"quantity\":" Q("0.0004", "0.400 mm") "," DI2 "}", entry);
	append_plain(trail, job,
	             &(struct line){"answer", "float", READ("As found", "Read.", "reading 1 of 1"),
	                            "0.4", reading},
	             1);
	append_plain(
	    trail, job,
	    &(struct line){"finding", "found",
	                   "{\"find\":\"verdict\",\"name\":\"End float\",\"found\":true,\"value\":" QU(
	                       "0.0004", "0.400 mm", "6e-06") ",\"limits\":" FLOAT_LIMITS
	                                                      ",\"rule\":{\"probability\":0.95}}",
	                   NULL, "{\"verdict\":\"outside\",\"ratio\":3.3,\"steps\":10}"},
	    1);
	append_signed(trail, job, second,
	              &(struct to_sign){.purpose = FW_FOR_HOLD,
	                                .role = "inspector",
	                                .meaning = "looked at",
	                                .more = ",\"independent\":true",
	                                .minutes = 2});
	append_plain(trail, job,
	             &(struct line){"answer", "again", READ("Fit-up", "Read again.", "reading 1 of 1"),
	                            "0.61", "{\"quantity\":" Q("0.00061", "0.610 mm") "}"},
	             3);
	append_plain(
	    trail, job,
	    &(struct line){
	        "amend", "again", READ("Fit-up", "Read again.", "reading 1 of 1"), "0.16",
	        "{\"quantity\":" Q(
	            "0.00016", "0.160 mm") ",\"amends\":5,\"reason\":\"two digits changed places\"}"},
	    70);
	append_plain(trail, job,
	             &(struct line){
	                 "finding", "left",
	                 "{\"find\":\"verdict\"," LIMITED ",\"rule\":{\"probability\":0.95}}", NULL,
	                 "{\"verdict\":\"doubtful\",\"probability\":0.05,\"ratio\":3.3,\"steps\":10}"},
	             70);
	attach(trail, job, "as it lay.png", "image/png", png, sizeof png, "shims as they lay");
	attach(trail, job, "page.png", "image/png", "<script>alert(1)</script>", 25, NULL);
	attach(trail, job, "odd <b>\\\"'.pdf", "text/html", "%PDF-1.4 \x80", 10, NULL);
	attach(trail, job, "howl.wav", "audio/wav", "RIFF\4\0\0\0WAVE", 12, "second gear");
	append_signed(trail, job, first,
	              &(struct to_sign){.purpose = FW_FOR_CONCESSION,
	                                .role = "concession",
	                                .meaning = "I concede",
	                                .reason = "until the next service",
	                                .more = ",\"independent\":false",
	                                .minutes = 75});
	append_plain(
	    trail, job,
	    &(struct line){
	        "finding", "left", CONCESSION_ASK, NULL,
	        "{\"reason\":\"until the next service\",\"by\":\"R. Example\",\"text\":\"conceded\"}"},
	    75);
	append_signed(
	    trail, job, first,
	    &(struct to_sign){
	        .purpose = FW_FOR_SIGN, .role = "technician", .meaning = "done", .minutes = 80});
	append_head(trail, job, "release", "", 81);
	snprintf(value, sizeof value, ",\"entries\":[14]");
	append_signed(trail, job, second,
	              &(struct to_sign){.purpose = FW_FOR_REOPEN,
	                                .role = "inspector",
	                                .meaning = "to be gone over",
	                                .reason = "it howls again",
	                                .more = value,
	                                .minutes = 82});
	append_signed(trail, job, first,
	              &(struct to_sign){.purpose = FW_FOR_SIGN,
	                                .role = "technician",
	                                .meaning = "done again",
	                                .minutes = 90,
	                                .spoilt = spoilt});
	append_head(trail, job, "release", "", 91);
	return job;
}

static void test_keys(void **state)
{
	(void)state;
	struct signer first, second;
	struct fw_trail *trail = open_trail();
	char key[FW_FINGERPRINT_TEXT], wanted[128];

	add_person(trail, &first, "Robin Example", "technician");
	add_person(trail, &second, "A. Sample", "inspector");
	int64_t job = write_whole(trail, &first, &second, false);
	char *page = report(trail, job, FW_REPORT_HTML);

	assert_well_formed("keys", page);
	fw_key_fingerprint(key, fw_secret_public(first.secret));
	key[19] = '\0';
	snprintf(wanted, sizeof wanted, "<dd>Robin Example (technician; key %s)</dd>", key);
	assert_contains(page, wanted);
	snprintf(wanted, sizeof wanted, "<dd>Robin Example, technician, by key %s</dd>", key);
	assert_contains(page, wanted);
	assert_contains(page, "Released: of 1 figure checked 1 doubtful, conceded.");
	assert_contains(page, "<h3>Concession: End float</h3>");
	assert_contains(page, "<dt>Reason</dt><dd>until the next service</dd>");
	assert_contains(page, "not independent: also did the work");
	assert_contains(page, "opened again on 2026-03-05 10:22 UTC by A. Sample: it howls again");
	assert_contains(page, "limits are 3.3 times the span of the gauges&#39; errors");
	assert_contains(page, "A reading was taken with a gauge that was overdue for calibration");
	assert_contains(page,
	                "struck out by entry 6</strong>: amended to 0.16; two digits changed places");
	assert_contains(page, "late entry: 1 h 7 min after entry 5");
	assert_contains(page, "struck out by entry 16</strong>: reopened; it howls again");
	assert_contains(page, "check of the chain found no flaw");
	assert_null(strstr(page, "proves nothing"));
	assert_null(strstr(page, "By name alone"));
	snprintf(wanted, sizeof wanted, "src=\"data:image/png;base64,%s\"", png_base64);
	assert_contains(page, wanted);
	assert_int_equal(count(page, "<img"),
	                 1); /* what isn't a picture is none, whatever it is called */
	assert_int_equal(count(page, "<audio"), 1);
	assert_null(strstr(page, "alert(1)"));
	assert_null(strstr(page, "PHNjcmlwdD4")); /* base64 of "<script>" */
	assert_contains(page, "fitwright evidence 1 11 --output FILE");
	free(page);
	char *text = report(trail, job, FW_REPORT_TEXT);
	assert_contains(text, "CONCESSION: End float");
	assert_contains(text, "NOT INDEPENDENT: also did the work");
	assert_contains(text, "AMENDED");
	free(text);
	fw_secret_free(first.secret);
	fw_secret_free(second.secret);
	fw_trail_close(trail);
}

/* A signature over another count; and keys of which the shop's log knows nothing. */
static void test_wrong(void **state)
{
	(void)state;
	struct signer first, second, names[2] = {{"Robin Example", NULL}, {"A. Sample", NULL}};
	struct fw_trail *trail = open_trail();

	add_person(trail, &first, "Robin Example", "technician");
	add_person(trail, &second, "A. Sample", "inspector");
	char *page = report(trail, write_whole(trail, &first, &second, true), FW_REPORT_HTML);
	assert_contains(page, "A signature doesn&#39;t fit its key");
	assert_int_equal(count(page, ", which this signature does not fit"),
	                 3); /* cover, sign-off, log */
	assert_int_equal(count(page, "This signature proves nothing"), 1);
	free(page);
	fw_trail_close(trail);

	trail = open_trail();
	page = report(trail, write_whole(trail, &first, &second, false), FW_REPORT_HTML);
	assert_contains(
	    page, "4 signatures don&#39;t fit their keys, or the keys aren&#39;t the signers&#39;");
	assert_contains(page, "which the shop does not know as this person&#39;s");
	free(page);
	fw_trail_close(trail);

	trail = open_trail();
	page = report(trail, write_whole(trail, &names[0], &names[1], false), FW_REPORT_HTML);
	assert_contains(page, "<dd>Robin Example, technician, by name alone</dd>");
	assert_contains(page, "By name alone: no key answers for it");
	assert_null(strstr(page, "By key:"));
	free(page);
	fw_trail_close(trail);
	fw_secret_free(first.secret);
	fw_secret_free(second.secret);
}

/* What a key signed stays; what is signed with it once it is out of use is no signature of that
 * person. */
static void test_retired(void **state)
{
	(void)state;
	struct signer first;
	struct to_sign what = {
	    .purpose = FW_FOR_SIGN, .role = "technician", .meaning = "done", .minutes = 1};
	struct fw_trail *trail = open_trail();

	add_person(trail, &first, "Robin Example", "technician");
	int64_t job = begin_job(trail, NULL, 0, "{\"title\":\"End float\",\"rules\":2}");
	append_signed(trail, job, &first, &what);
	assert_ok(fw_people_retire(trail, "Robin Example", "lost", "A. Sample", NULL, &error));
	char *page = report(trail, job, FW_REPORT_HTML);
	assert_null(strstr(page, "retired or replaced"));
	assert_null(strstr(page, "proves nothing"));
	free(page);
	append_signed(trail, job, &first, &what);
	page = report(trail, job, FW_REPORT_HTML);
	assert_contains(page, ", which was retired or replaced by then");
	assert_contains(page, "or was out of use; see the sign-off.");
	assert_int_equal(count(page, "This signature proves nothing"), 1);
	free(page);
	page = report(trail, job, FW_REPORT_JSON);
	assert_int_equal(count(page, "\"by\": \"key\""), 1);
	assert_int_equal(count(page, "\"by\": \"retired\""), 1);
	free(page);
	fw_secret_free(first.secret);
	fw_trail_close(trail);
}

/* Ten steps are ten steps, whatever the last digit of a quotient: 0.1 mm / 0.01 mm. */
static void test_coarse(void **state)
{
	(void)state;
	static const struct {
		const char *value;
		bool coarse;
	} cases[] = {
	    {"{\"steps\":9.9999999999999982,\"ratio\":3.9999999999999996}", false},
	    {"{\"steps\":9.9,\"ratio\":4}", true},
	    {"{\"steps\":10,\"ratio\":3.9}", true},
	    {"{\"ratio\":5}", false},
	    {"{\"steps\":\"many\"}", false},
	    {"{}", false},
	};

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct fw_report_entry verdict = {.value = json_loads(cases[i].value, 0, NULL)};
		assert_non_null(verdict.value);
		assert_int_equal(fw_report_too_coarse(&verdict), cases[i].coarse);
		json_decref(verdict.value);
	}
}

static char *guard; /* the trigger, to the letter */

static int keep_guard(void *context, int columns, char **values, char **names)
{
	(void)context;
	(void)columns;
	(void)names;
	guard = strdup(values[0]);
	return guard ? 0 : 1;
}

/* Writes another name into the shop's log, past its guard. */
static void change_log(void)
{
	sqlite3 *db;

	assert_int_equal(sqlite3_open(PLACE ".db", &db), SQLITE_OK);
	assert_int_equal(sqlite3_exec(db,
	                              "SELECT sql FROM sqlite_schema WHERE name = "
	                              "'entry_not_changed'",
	                              keep_guard, NULL, NULL),
	                 SQLITE_OK);
	assert_non_null(guard);
	assert_int_equal(
	    sqlite3_exec(
	        db,
	        "DROP TRIGGER entry_not_changed; UPDATE entry SET who = 'Nobody' WHERE job = 0 "
	        "AND kind = 'person'",
	        NULL, NULL, NULL),
	    SQLITE_OK);
	assert_int_equal(sqlite3_changes(db), 1);
	assert_int_equal(sqlite3_exec(db, guard, NULL, NULL, NULL), SQLITE_OK);
	free(guard);
	sqlite3_close(db);
}

/* Whose keys they are rests on the shop's log: a report says when that was changed. */
static void test_log_changed(void **state)
{
	(void)state;
	struct signer first;
	struct fw_trail *trail = open_trail();

	add_person(trail, &first, "Robin Example", "technician");
	int64_t job = begin_job(trail, NULL, 0, "{\"title\":\"End float\",\"rules\":2}");
	char *page = report(trail, job, FW_REPORT_HTML);
	assert_null(strstr(page, "The record is damaged"));
	free(page);
	fw_trail_close(trail);
	change_log();
	assert_ok(fw_trail_open(&trail, PLACE ".db", FW_TRAIL_READ, &error));
	page = report(trail, job, FW_REPORT_HTML);
	assert_contains(page, "The record is damaged: its check found 1 flaw. shop&#39;s log, entry 2");
	assert_contains(page, "check of the chain found flaws");
	free(page);
	fw_secret_free(first.secret);
	fw_trail_close(trail);
}

static char *with_options(struct fw_trail *trail, int64_t job, enum fw_report_evidence evidence,
                          size_t most)
{
	const struct fw_report_options options = {evidence, most};
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	assert_non_null(out);
	assert_ok(fw_report_write_with(out, trail, job, FW_REPORT_HTML, &options, &error));
	fclose(out);
	return bytes;
}

static void test_evidence(void **state)
{
	(void)state;
	struct signer names[2] = {{"Robin Example", NULL}, {"A. Sample", NULL}};
	struct fw_trail *trail = open_trail();
	int64_t job = write_whole(trail, &names[0], &names[1], false);
	char *page = with_options(trail, job, FW_REPORT_EVIDENCE_INLINE, sizeof png);

	assert_int_equal(count(page, "<img"), 1);
	free(page);
	page = with_options(trail, job, FW_REPORT_EVIDENCE_INLINE, sizeof png - 1);
	assert_int_equal(count(page, "<img"), 0);
	assert_contains(page, "Too large to be shown here.");
	free(page);
	page = with_options(trail, job, FW_REPORT_EVIDENCE_LIST, FW_REPORT_INLINE);
	assert_int_equal(count(page, "data:image"), 0);
	assert_int_equal(count(page, "<figure class=\"aside\">"), 4);
	free(page);
	page = with_options(trail, job, FW_REPORT_EVIDENCE_NONE, FW_REPORT_INLINE);
	assert_int_equal(count(page, "Photos and other files"), 0);
	assert_contains(page, "as it lay.png, image/png, 67 bytes");
	free(page);
	fw_trail_close(trail);
}

/* Kinds and sizes by the specifications named in picture.c, put together by hand. */
static void test_pictures(void **state)
{
	(void)state;
#define BYTES(text) (text), sizeof(text) - 1
	static const struct {
		const char *bytes;
		size_t size;
		const char *type;
		uint32_t width, height;
	} files[] = {
	    {BYTES("GIF89a\x2c\x01\x90\x01"), "image/gif", 300, 400},
	    {BYTES("\xff\xd8\xff\xe0\0\4xx\xff\xff\xc2\0\x11\x08\x01\x90\x01\x2c\3"), "image/jpeg", 300,
	     400},
	    {BYTES("RIFF\x1e\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\x2b\1\0\x8f\1\0"), "image/webp", 300, 400},
	    {BYTES("RIFF\x1e\0\0\0WEBPVP8L\x0a\0\0\0\x2f\x2b\xc1\x63\0xxxxx"), "image/webp", 300, 400},
	    {BYTES("RIFF\x1e\0\0\0WEBPVP8 \x0a\0\0\0xxx\x9d\1\x2a\x2c\1\x90\1"), "image/webp", 300,
	     400},
	    {BYTES("\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\1\0\0\0\1\0\0"), NULL, 65536,
	     65536}, /* 4 G pixels */
	    {BYTES("GIF89a\0\0\x90\x01"), NULL, 0, 400},
	    {BYTES("GIF89a\x2c"), NULL, 0, 0},
	    {BYTES("\xff\xd8\xff\xe0\0\0"), NULL, 0, 0},
	    {BYTES("\xff\xd8\xff\xe0\xff\xff"), NULL, 0, 0},
	    {BYTES("fLaC\0"), "audio/flac", 0, 0},
	    {BYTES("<svg xmlns='http://www.w3.org/2000/svg'/>"), NULL, 0, 0},
	    {BYTES("%PDF-1.7"), NULL, 0, 0},
	    {BYTES(""), NULL, 0, 0},
	};
	for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
		struct fw_picture picture = fw_picture_look(files[i].bytes, files[i].size);
		if (files[i].type)
			assert_string_equal(picture.type, files[i].type);
		else
			assert_null(picture.type);
		assert_int_equal(picture.width, files[i].width);
		assert_int_equal(picture.height, files[i].height);
		assert_int_equal(picture.shown == FW_SHOWN_NOT, files[i].type == NULL);
	}
}

/* By the calendar: 2024 has a 29th of February, 2023 none. */
static void test_spans(void **state)
{
	(void)state;
	static const char *const spans[][3] = {
	    {"2026-03-05T14:00:00.000Z", "2026-03-05T14:00:59.900Z", "59 s"},
	    {"2026-03-05T14:00:00.000Z", "2026-03-05T14:35:01.000Z", "35 min"},
	    {"2026-03-05T23:00:00.000Z", "2026-03-06T00:05:00.000Z", "1 h 5 min"},
	    {"2024-02-28T12:00:00.000Z", "2024-03-01T12:00:00.000Z", "2 days"},
	    {"2023-02-28T12:00:00.000Z", "2023-03-01T12:00:00.000Z", "24 h 0 min"},
	    {"1999-12-31T00:00:00.000Z", "2000-12-31T00:00:00.000Z", "366 days"},
	    {"2026-03-05T14:00:00.000Z", "2026-03-05T13:00:00.000Z", ""},
	    {"2026-03-05T14:00:00.000Z", "yesterday", ""},
	};
	char text[64];

	for (size_t i = 0; i < sizeof spans / sizeof *spans; i++)
		assert_string_equal(fw_report_span(text, sizeof text, spans[i][0], spans[i][1]),
		                    spans[i][2]);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_keys),        cmocka_unit_test(test_wrong),
	    cmocka_unit_test(test_evidence),    cmocka_unit_test(test_pictures),
	    cmocka_unit_test(test_spans),       cmocka_unit_test(test_retired),
	    cmocka_unit_test(test_log_changed), cmocka_unit_test(test_coarse),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
