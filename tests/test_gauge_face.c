/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a gauge of the shop is shown at the prompt, and chosen there. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "face/face.h"
#include "face/gauge_show.h"
#include "face/show.h"
#include "face_screen.h"
#include "fake_job.h"

static struct fw_shop_gauge gauge_of(const char *id, const char *kind, const char *unit)
{
	return (struct fw_shop_gauge){.id = (char *)id,
	                              .kind = (char *)kind,
	                              .resolution = 1e-5,
	                              .error = 2e-5,
	                              .unit = (char *)unit,
	                              .due = (char *)"2027-03-01"};
}

static void figures_as_they_stand_on_the_gauge(void **state)
{
	(void)state;
	struct fw_shop_gauge gauge = gauge_of("DI-2", "dial indicator", "mm");
	char text[FW_GAUGE_FIGURES];

	assert_string_equal(fw_gauge_figures(&gauge, text), "0.01 mm, error 0.02 mm");
	gauge.unit = (char *)"thou";
	gauge.resolution = 0.5 * 2.54e-5; /* a thousandth of an inch is 25.4 µm by definition */
	gauge.error = 2.54e-5;
	assert_string_equal(fw_gauge_figures(&gauge, text), "0.5 thou, error 1 thou");
	gauge.unit = (char *)"N·m";
	gauge.resolution = 1;
	gauge.error = 0;
	gauge.relative = 0.04;
	assert_string_equal(fw_gauge_figures(&gauge, text), "1 N·m, error 4 % of the reading");
	gauge.error = 0.5;
	assert_string_equal(fw_gauge_error(&gauge, text), "0.5 N·m + 4 %");
	gauge.relative = gauge.error = 0;
	assert_string_equal(fw_gauge_error(&gauge, text), "0 N·m");
}

static const struct fw_shop_gauge *shelf(void)
{
	static struct fw_shop_gauge gauges[2];

	gauges[0] = gauge_of("DI-1", "dial indicator", "mm");
	gauges[1] = gauge_of("DI-2", "dial indicator", "mm");
	return gauges;
}

static struct fw_question reading(const char *item)
{
	return (struct fw_question){.ask = FW_ASK_QUANTITY,
	                            .word = "measure",
	                            .step = "float",
	                            .item = item,
	                            .say = "Shaft in, read.",
	                            .gauge = "dial indicator",
	                            .unit = fw_unit_find("mm", 2),
	                            .low = -INFINITY,
	                            .high = INFINITY};
}

struct scene {
	struct fake_step steps[2];
	struct fw_job job;
	struct page page;
};

static void open_scene(struct scene *scene)
{
	memset(scene, 0, sizeof *scene);
	scene->steps[0].question = reading("reading 1 of 2");
	scene->steps[1].question = reading("reading 2 of 2");
	scene->job = (struct fw_job){
	    .steps = scene->steps, .count = 2, .gauge = shelf(), .gauges = 2, .gauge_used = 2};
	page_open(&scene->page, 80, false);
}

static int count_of(const char *text, const char *part)
{
	int count = 0;

	for (; (text = strstr(text, part)) != NULL; text++)
		count++;
	return count;
}

static void it_is_said_once_until_it_changes(void **state)
{
	(void)state;
	static const char line[] =
	    "        DI-2 dial indicator, 0.01 mm, error 0.02 mm, due 2027-03-01\n";
	struct scene scene;
	struct fw_shown shown = {0};

	open_scene(&scene);
	fw_job_show_next(&scene.page.screen, &scene.job, &shown);
	assert_contains(page_text(&scene.page), "  with: dial indicator\n        DI-2 dial");
	scene.job.at = 1;
	fw_job_show_next(&scene.page.screen, &scene.job, &shown);
	assert_int_equal(count_of(page_text(&scene.page), line), 1);
	scene.job.gauge_note = "overdue since 2027-03-02"; /* midnight went by */
	fw_job_show_next(&scene.page.screen, &scene.job, &shown);
	assert_int_equal(count_of(page_text(&scene.page), line), 2);
	assert_contains(page_text(&scene.page), "        ! overdue since 2027-03-02\n");
	page_close(&scene.page);

	open_scene(&scene);
	shown = (struct fw_shown){0};
	scene.job.gauge_used = 0;
	scene.job.gauge_note = "say which: /gauge DI-1 or /gauge DI-2, or /gauge none";
	fw_job_show_next(&scene.page.screen, &scene.job, &shown);
	assert_contains(page_text(&scene.page), "  with: dial indicator\n        ! say which: /gauge");
	page_close(&scene.page);
}

static void talk(struct scene *scene, const char *typed)
{
	struct fw_face face = {.screen = scene->page.screen, .go_on = "fitwright resume 7"};
	struct fw_error error = {0};
	enum fw_face_end end;
	FILE *in = tmpfile();

	assert_non_null(in);
	fputs(typed, in);
	rewind(in);
	assert_ok(fw_face_terminal(&scene->job, &face, in, &end, &error));
	fclose(in);
}

static void a_person_chooses(void **state)
{
	(void)state;
	struct scene scene;

	open_scene(&scene);
	talk(&scene, "/gauge\n/gauge DI-1\n0.4\n");
	assert_int_equal(scene.job.gauge_used, 1);
	assert_int_equal(scene.job.at, 1);
	assert_contains(page_text(&scene.page),
	                "    DI-1  0.01 mm, error 0.02 mm, due 2027-03-01\n"
	                "    DI-2  0.01 mm, error 0.02 mm, due 2027-03-01, in use\n"
	                "  To take one: /gauge and its number");
	/* Said in answer to the choice, and not again at the next reading. */
	assert_int_equal(count_of(page_text(&scene.page), "        DI-1 dial indicator, 0.01 mm"), 1);
	page_close(&scene.page);

	open_scene(&scene);
	talk(&scene, "/gauge DI-9\n/gauge none\n");
	assert_contains(page_text(&scene.page), "no gauge 'DI-9' is registered");
	assert_contains(page_text(&scene.page), "off a gauge that isn't registered");
	assert_int_equal(scene.job.gauge_used, 0);
	assert_int_equal(scene.job.at, 0);
	page_close(&scene.page);

	open_scene(&scene);
	scene.job.gauges = scene.job.gauge_used = 0;
	talk(&scene, "/gauge\n");
	assert_contains(page_text(&scene.page), "No dial indicator of the shop is registered");
	page_close(&scene.page);

	open_scene(&scene);
	scene.steps[0].question =
	    (struct fw_question){.ask = FW_ASK_DONE, .word = "task", .step = "fit", .say = "Fit it."};
	talk(&scene, "/gauge\n");
	assert_contains(page_text(&scene.page), "No reading off a gauge is asked for here.");
	page_close(&scene.page);
}

static void a_file_chooses(void **state)
{
	(void)state;
	static char lines[] = "/gauge DI-1\nfloat: 0.4\n/gauge DI-9\n";
	struct scene scene;
	struct fw_error error = {0};
	struct fw_answers *answers;
	enum fw_face_end end;

	open_scene(&scene);
	struct fw_face face = {.screen = scene.page.screen, .go_on = "fitwright resume 7"};
	FILE *in = fmemopen(lines, strlen(lines), "r");
	assert_ok(fw_answers_read(&answers, in, "a.txt", &error));
	fclose(in);
	assert_code(fw_face_answers(&scene.job, &face, answers, &end, &error), FW_ERR_INPUT);
	assert_contains(error.text, "a.txt:3: no gauge 'DI-9' is registered");
	assert_int_equal(scene.job.gauge_used, 1);
	assert_int_equal(scene.job.at, 1);
	assert_contains(page_text(&scene.page), "DI-1 dial indicator");
	fw_answers_free(answers);
	page_close(&scene.page);
}

/* Whatever a trail says, no line is wider than the screen and no control character gets out. */
static void hostile_gauges_stay_within_the_screen(void **state)
{
	(void)state;
	static const char *const texts[] = {"", "\033[31m\033]0;title\a \xFF\xFE \xE2\x80\xAE \r",
	                                    "wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"
	                                    "wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
	                                    "\xC2\xB5 \xE2\x80\x94 a b c d e f g h i j k l m n o p q r "
	                                    "s t u v w x y z a b c d e f g h"};
	const size_t count = sizeof texts / sizeof *texts;

	for (size_t i = 0; i < count * count * count * 14; i++) {
		struct page page;
		bool utf8 = i % 2;
		int width = 40 + (int)(i / 2 % 7) * 10;
		struct fw_shop_gauge gauge =
		    gauge_of(texts[i / 14 % count], texts[i / 14 / count % count], i % 3 ? "mm" : "ell");
		page_open(&page, width, utf8);
		fw_gauge_show(&page.screen, &gauge, texts[i / 14 / count / count]);
		if (page_widest(&page) > width)
			fail_msg("%d columns of %d:\n%s", page_widest(&page), width, page_text(&page));
		for (const char *c = page_text(&page); *c; c++)
			assert_true(*c == '\n' || (unsigned char)*c >= 0x20);
		for (const char *c = page_text(&page); *c && !utf8; c++)
			assert_true((unsigned char)*c < 0x7f);
		page_close(&page);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(figures_as_they_stand_on_the_gauge),
	    cmocka_unit_test(it_is_said_once_until_it_changes),
	    cmocka_unit_test(a_person_chooses),
	    cmocka_unit_test(a_file_chooses),
	    cmocka_unit_test(hostile_gauges_stay_within_the_screen),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
