/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the bench calculators worked out, as the report shows it. */
#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "check.h"
#include "report/model.h"
#include "report_job.h"

#define PLACE FW_TEST_BINARY "/report-worked"
#include "report_page.h"

static const struct line worked = {
    "finding", "bush",
    "{\"find\":\"worked\",\"place\":\"bush\",\"calculator\":\"press-fit\",\"inputs\":{}}", NULL,
    "{\"results\":{\"heat_hub\":{\"si\":186.3,\"unit\":\"K\",\"text\":\"186.3 "
    "K\"},\"kind\":\"<tight>\","
    "\"good\":true,\"odd\":[1,{\"a\":2}],\"ends\":[{\"end\":\"least\",\"slip\":{\"si\":17120,"
    "\"text\":"
    "\"17.12 kN\"}}]},\"working\":[{\"text\":\"p = a < b\"},7],\"warnings\":[{\"text\":\"hot "
    "\\u001b[1m\"}],"
    "\"text\":\"Worked out (press-fit):\\nheat: 186.3 K;\"}"};

static void test_worked(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	int64_t job = begin_job(trail, NULL, 0, "{}");

	append_plain(trail, job, &worked, 1);
	char *page = report(trail, job, FW_REPORT_HTML);
	assert_contains(page, "<h2>Worked out</h2>");
	assert_contains(page, "heat hub");
	assert_contains(page, "186.3 K");
	assert_contains(page, "&lt;tight&gt;");
	assert_contains(page, "<li>p = a &lt; b</li>");
	assert_contains(page, "end least, slip 17.12 kN");
	assert_contains(page, "Beware");
	assert_null(strchr(page, '\x1b'));
	free(page);
	char *text = report(trail, job, FW_REPORT_TEXT);
	assert_contains(text, "heat: 186.3 K");
	free(text);
	char *json = report(trail, job, FW_REPORT_JSON);
	json_t *root = json_loads(json, 0, NULL);
	assert_non_null(root);
	const json_t *list = json_object_get(json_object_get(root, "summary"), "worked");
	assert_int_equal(json_array_size(list), 1);
	json_decref(root);
	free(json);
	fw_trail_close(trail);
}

/* A job without calculations has no such part. */
static void test_none(void **state)
{
	(void)state;
	struct fw_trail *trail = open_trail();
	int64_t job = begin_job(trail, NULL, 0, "{}");
	char *page = report(trail, job, FW_REPORT_HTML);

	assert_null(strstr(page, "Worked out"));
	free(page);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(test_worked),
	    cmocka_unit_test(test_none),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
