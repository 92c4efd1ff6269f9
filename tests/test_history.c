/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A check over many jobs. The values are those of the NIST/SEMATECH e-Handbook, 6.3.2.2 (flow rate
 * of ten batches; the batches from memory, with the mean 50.81 and the limits 45.8159 and 55.8041
 * that it prints). */
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "check.h"
#include "fitwright/history.h"
#include "report/history.h"
#include "report_job.h"

#define PLACE FW_TEST_BINARY "/history"
#include "report_page.h"

static const double flow_rate[] = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};

#define LIMITS                                                                                     \
	"{\"min\":{\"si\":45,\"unit\":\"m\",\"text\":\"45 m\"},\"max\":{\"si\":%g,\"unit\":\"m\","     \
	"\"text\":\"60 m\"}}"

struct verdict {
	char ask[800], outcome[64];
};

static struct line verdict_line(struct verdict *v, const char *step, const char *more, double value,
                                double max, const char *verdict)
{
	snprintf(v->ask, sizeof v->ask,
	         "{\"find\":\"verdict\",\"name\":\"Flow\",\"value\":{\"si\":%.17g,\"unit\":\"m\","
	         "\"text\":\"%g m\",\"u\":0.1},\"limits\":" LIMITS "%s}",
	         value, value, max, more);
	snprintf(v->outcome, sizeof v->outcome, "{\"verdict\":\"%s\"}", verdict);
	return (struct line){"finding", step, v->ask, NULL, v->outcome};
}

static void add_verdict(struct fw_trail *trail, int64_t job, double value, double max)
{
	struct verdict v;
	struct line line = verdict_line(&v, "left", "", value, max, "within");

	append_plain(trail, job, &line, 2);
}

/* In one go: each commit waits for the disk. */
static void append_all(struct fw_trail *trail, int64_t job, const struct line *list, size_t count)
{
	struct fw_error error;
	struct fw_entry entries[16];
	char at[32];

	assert_true(count <= 16);
	clock_text(at, 1);
	for (size_t i = 0; i < count; i++)
		entries[i] = (struct fw_entry){.kind = list[i].kind,
		                               .step = list[i].step,
		                               .at = at,
		                               .who = "Robin Example",
		                               .ask = list[i].ask,
		                               .typed = list[i].typed,
		                               .value = list[i].value};
	assert_ok(fw_trail_append(trail, job, 1, entries, count, NULL, &error));
}

/* A job with a value as found and one as left, and one in between that was taken back. */
static void add_job(struct fw_trail *trail, const char *unit, double found, double left,
                    bool released)
{
	char value[256];
	struct verdict v[3];

	snprintf(value, sizeof value,
	         "{\"title\":\"Pump: flow\",\"unit\":\"%s\",\"procedure\":{\"name\":\"pump.lua\"}}",
	         unit);
	int64_t job = begin_job(trail, NULL, 0, value);
	const struct line list[] = {
	    {"answer", "a", ASK("done", "task", "One", "Do."), "", "{}"}, /* 2 */
	    verdict_line(&v[0], "found", ",\"found\":true", found, 60, "outside"),
	    {"finding", "t", "{\"find\":\"trial\"}", NULL, "{}"},
	    {"answer", "b", ASK("done", "task", "Two", "Do."), "", "{}"}, /* 5 */
	    verdict_line(&v[1], "left", "", 99, 60, "outside"),
	    {"withdraw", NULL, NULL, "slip", "{\"entry\":5}"},
	    {"answer", "b", ASK("done", "task", "Two", "Do."), "", "{}"},
	    verdict_line(&v[2], "left", "", left, 60, "within"),
	    {"release", NULL, NULL, NULL, "{}"},
	};
	append_all(trail, job, list, sizeof list / sizeof *list - !released);
}

static struct fw_trail *flow_trail(void)
{
	struct fw_trail *trail = open_trail();
	char unit[32];

	for (size_t i = 0; i < 10; i++) {
		snprintf(unit, sizeof unit, "pump %zu", i + 1);
		add_job(trail, unit, 70, flow_rate[i], true);
	}
	add_job(trail, "pump 11", 70, 1000, false); /* not released: isn't in the chart */
	return trail;
}

static char *history(struct fw_trail *trail, const struct fw_history_filter *filter,
                     enum fw_history_format format)
{
	struct fw_error error;
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	assert_non_null(out);
	assert_ok(fw_history_write(out, trail, filter, format, &error));
	fclose(out);
	return bytes;
}

static double number(const json_t *object, const char *key)
{
	return json_number_value(json_object_get(object, key));
}

static void test_handbook(void **state)
{
	(void)state;
	struct fw_trail *trail = flow_trail();
	const struct fw_history_filter all = {NULL, NULL, NULL};
	char *text = history(trail, &all, FW_HISTORY_JSON);
	json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
	const json_t *check = json_array_get(json_object_get(root, "checks"), 0);
	const json_t *control = json_object_get(check, "control");
	const json_t *points = json_object_get(check, "points");

	assert_non_null(root);
	assert_int_equal(json_array_size(json_object_get(root, "checks")), 1);
	assert_int_equal(number(check, "jobs"), 11);
	assert_int_equal(number(check, "within"), 11);
	assert_int_equal(number(check, "trials"), 11);
	assert_int_equal(number(control, "count"), 10);
	assert_near(number(control, "mean"), 50.81, 1e-9);
	/* It rounds d2 to 1.128, see test_control. */
	assert_near(number(control, "high"), 55.8041, 0.0018);
	assert_near(number(control, "low"), 45.8159, 0.0018);
	assert_true(json_is_true(json_object_get(control, "provisional")));
	assert_int_equal(json_array_size(points), 11);
	for (size_t i = 0; i < 10; i++) {
		const json_t *point = json_array_get(points, i);
		assert_near(number(json_object_get(point, "as_found"), "value"), 70, 0);
		assert_near(number(json_object_get(point, "as_left"), "value"), flow_rate[i], 0);
		assert_int_equal(json_array_size(json_object_get(point, "marks")), 0);
		assert_int_equal(number(point, "checks"), 2); /* one was taken back */
	}
	json_decref(root);
	free(text);
	fw_trail_close(trail);
}

static void assert_lines(const char *text)
{
	while (*text) {
		size_t length = strcspn(text, "\n"), columns = 0;
		for (size_t i = 0; i < length; i++)
			columns += ((unsigned char)text[i] & 0xC0U) != 0x80U;
		if (columns > 80)
			fail_msg("%zu columns: %.*s", columns, (int)length, text);
		text += length + (text[length] == '\n');
	}
}

static void test_text(void **state)
{
	(void)state;
	struct fw_trail *trail = flow_trail();
	const struct fw_history_filter one = {"PUMP 1", NULL, "flow"}; /* 1, 10 and 11 */
	char *text = history(trail, &one, FW_HISTORY_TEXT);

	assert_lines(text);
	assert_contains(text, "Pump: flow\n");
	assert_contains(text, "3 jobs: 3 within, 0 outside, 0 doubtful; 0 conceded; 3 trials");
	assert_contains(text, "none: 2 released values, 10 are needed");
	assert_contains(text, "within (open)");
	assert_null(strstr(text, "pump 2"));
	free(text);
	fw_trail_close(trail);
}

/* Beyond the limits, and limits that changed. */
static void test_marks(void **state)
{
	(void)state;
	struct fw_trail *trail = flow_trail();
	const struct fw_history_filter all = {NULL, "pump.LUA", "Flow"};

	add_job(trail, "pump 12", 70, 80, true); /* far off; its moving range is too */
	char *text = history(trail, &all, FW_HISTORY_TEXT);
	assert_contains(text, "80.0       1  within !beyond\n");
	assert_contains(text, " !jump\n");
	assert_lines(text);
	assert_null(strstr(text, "others had other limits"));
	assert_null(strstr(text, "over jobs with different limits"));
	free(text);
	int64_t job = begin_job(trail, NULL, 0, "{\"title\":\"Pump: flow\",\"unit\":\"pump 13\"}");
	add_verdict(trail, job, 50, 61);
	const struct fw_history_filter whole = {NULL, "Pump", "Flow"};
	text = history(trail, &whole, FW_HISTORY_TEXT);
	assert_contains(text, "others had other limits");
	assert_contains(text, "over jobs with different limits");
	assert_lines(text);
	free(text);
	char *svg = history(trail, &whole, FW_HISTORY_SVG);
	assert_contains(svg, "newest limits; they differ");
	free(svg);
	fw_trail_close(trail);
}

static void test_chart(void **state)
{
	(void)state;
	struct fw_trail *trail = flow_trail();
	const struct fw_history_filter all = {NULL, NULL, NULL};
	char *svg = history(trail, &all, FW_HISTORY_SVG), command[700];

	keep(PLACE ".svg", svg);
	snprintf(command, sizeof command, "xmllint --nonet --noout '" PLACE ".svg'");
	assert_int_equal(system(command), 0);
	assert_int_equal(references(svg), 0);
	assert_contains(svg, "m, as left, 10 jobs");
	assert_contains(svg, "provisional control limits");
	assert_int_equal(count(svg, "<circle class=\"full\""), 10 + 1); /* and the key's */
	free(svg);
	fw_trail_close(trail);
}

#define EVIL "<script>x</script>\\u202e\\u0007]]>&\\\"'\\u009b31m"

static void test_hostile(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	const struct fw_history_filter all = {NULL, NULL, NULL};
	static const char ask[] =
	    "{\"find\":\"verdict\",\"name\":\"" EVIL "\",\"value\":{\"si\":%s,\"unit\":\"" EVIL
	    "\"},\"limits\":{\"min\":{\"si\":1e31},\"max\":{\"si\":-1e31}}}";
	char line[1000], command[700];

	for (int i = 0; i < 12; i++) {
		int64_t job = begin_job(trail, NULL, 0,
		                        "{\"unit\":\"" EVIL "\",\"title\":\"" EVIL "\",\"procedure\":7}");
		snprintf(line, sizeof line, ask, i == 3 ? "\"x\"" : i % 2 ? "1e30" : "-1e30");
		const struct line list[] = {
		    {"finding", EVIL, line, NULL, "{\"verdict\":\"" EVIL "\"}"},
		    {"amend", NULL, NULL, NULL, "{\"amends\":2}"},
		    {"release", NULL, NULL, NULL, NULL},
		};
		append_all(trail, job, list, 3);
	}
	char *text = history(trail, &all, FW_HISTORY_TEXT);
	assert_lines(text);
	assert_null(strchr(text, '\a'));
	assert_null(strstr(text, "\xc2\x9b"));
	assert_null(strstr(text, "\xe2\x80\xae"));
	free(text);
	text = history(trail, &all, FW_HISTORY_JSON);
	json_t *root = json_loads(text, 0, NULL);
	assert_non_null(root);
	json_decref(root);
	free(text);
	text = history(trail, &all, FW_HISTORY_SVG);
	keep(PLACE "-hostile.svg", text);
	snprintf(command, sizeof command, "xmllint --nonet --noout '" PLACE "-hostile.svg'");
	assert_int_equal(system(command), 0);
	assert_null(strstr(text, "<script"));
	free(text);
	fw_trail_close(trail);
}

static void test_failures(void **state)
{
	(void)state;
	struct fw_error error;
	struct fw_trail *trail = flow_trail();
	const struct fw_history_filter all = {NULL, NULL, NULL}, none = {"lathe", NULL, NULL},
	                               other = {NULL, NULL, "pressure"}, one = {"pump 3", NULL, NULL};
	FILE *null = fopen("/dev/null", "w"), *full = fopen("/dev/full", "w");

	assert_code(fw_history_write(null, trail, &none, FW_HISTORY_TEXT, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_history_write(null, trail, &other, FW_HISTORY_TEXT, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_history_write(null, trail, &one, FW_HISTORY_SVG, &error), FW_ERR_RANGE);
	assert_code(fw_history_write(full, trail, &all, FW_HISTORY_TEXT, &error), FW_ERR_TRAIL);
	int64_t job = begin_job(trail, NULL, 0, "{\"title\":\"Other\",\"unit\":\"box\"}");
	add_verdict(trail, job, 50, 60);
	assert_code(fw_history_write(null, trail, &all, FW_HISTORY_SVG, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "'Flow' of 'Other'");
	fclose(null);
	fclose(full);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_handbook), cmocka_unit_test(test_text),
	    cmocka_unit_test(test_marks),    cmocka_unit_test(test_chart),
	    cmocka_unit_test(test_hostile),  cmocka_unit_test(test_failures),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
