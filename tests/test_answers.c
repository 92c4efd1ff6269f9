/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The two faces at work on a job that asks from a list: a person's lines, a file of answers. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "face/face.h"
#include "face_screen.h"
#include "fake_job.h"

static const char *const options[] = {"good", "worn"};
static struct fw_finding found[1];
static struct fake_step steps[5];

static int prepare(void **state)
{
	const struct fw_unit *mm = fw_unit_find("mm", 2);
	(void)state;
	memset(steps, 0, sizeof steps);
	found[0] = (struct fw_finding){.find = "remark", .text = "Both readings agree."};
	steps[0].question =
	    (struct fw_question){.ask = FW_ASK_DONE, .step = "drain", .say = "Drain the oil."};
	for (int i = 1; i <= 2; i++) {
		steps[i].question =
		    (struct fw_question){.ask = FW_ASK_QUANTITY,
		                         .step = "end-float",
		                         .item = i == 1 ? "reading 1 of 2" : "reading 2 of 2",
		                         .say = "Shaft in, read.",
		                         .help = "Read at eye level.",
		                         .unit = mm,
		                         .low = 0,
		                         .high = 3e-3};
	}
	steps[2].findings = found;
	steps[2].finding_count = 1;
	steps[3].question = (struct fw_question){.ask = FW_ASK_CHOICE,
	                                         .step = "bearing",
	                                         .say = "How is the bearing?",
	                                         .options = options,
	                                         .option_count = 2};
	steps[4].question = (struct fw_question){
	    .ask = FW_ASK_TEXT, .step = "remark", .say = "Anything to add?", .optional = true};
	return 0;
}

struct run {
	struct fw_job job;
	struct page page;
	struct fw_error error;
	enum fw_face_end end;
	int code;
};

static void start(struct run *run)
{
	memset(run, 0, sizeof *run);
	run->job = (struct fw_job){.steps = steps, .count = 5};
	page_open(&run->page, 80, false);
}

static struct fw_face face_of(struct run *run)
{
	return (struct fw_face){.screen = run->page.screen, .go_on = "fitwright resume 7"};
}

static void talk_bytes(struct run *run, const char *bytes, size_t size)
{
	struct fw_face face = face_of(run);
	FILE *in = tmpfile();
	assert_non_null(in);
	assert_int_equal(fwrite(bytes, 1, size, in), size);
	rewind(in);
	run->code = fw_face_terminal(&run->job, &face, in, &run->end, &run->error);
	fclose(in);
}

static void talk(struct run *run, const char *lines)
{
	start(run);
	talk_bytes(run, lines, strlen(lines));
}

static void batch(struct run *run, const char *lines)
{
	struct fw_answers *answers = NULL;
	struct fw_face face;
	FILE *in = tmpfile();

	start(run);
	face = face_of(run);
	assert_non_null(in);
	fputs(lines, in);
	rewind(in);
	run->code = fw_answers_read(&answers, in, "answers.txt", &run->error);
	fclose(in);
	if (run->code == FW_OK)
		run->code = fw_face_answers(&run->job, &face, answers, &run->end, &run->error);
	fw_answers_free(answers);
}

static void a_whole_job(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\n0.41\n16 thou\n2\n\n");
	assert_int_equal(run.code, FW_OK);
	assert_int_equal(run.end, FW_FACE_RELEASED);
	assert_int_equal(run.job.at, 5);
	assert_string_equal(run.job.typed[2], "16 thou");
	assert_contains(page_text(&run.page),
	                "End float of an invented shaft\nJob 7 - gearbox 4-118\n");
	assert_contains(page_text(&run.page), "reading 1 of 2 [mm, 0 to 3] > 0.41\n"
	                                      "reading 2 of 2 [mm, 0 to 3] > 16 thou\n"
	                                      "\n  Both readings agree.\n");
	assert_contains(page_text(&run.page), "released");
	page_close(&run.page);
}

static void leaving_loses_nothing(void **state)
{
	static const char *const ways[] = {"\n0.41\n", "\n0.41\n/pause\n0.5\n", "\n0.41\n  /pause  "};
	(void)state;
	for (size_t i = 0; i < 3; i++) {
		struct run run;
		talk(&run, ways[i]);
		assert_int_equal(run.code, FW_OK);
		assert_int_equal(run.end, FW_FACE_PAUSED);
		assert_int_equal(run.job.at, 2);
		assert_contains(page_text(&run.page), "nothing is lost. 2 answered so far. To go on:\n\n"
		                                      "    fitwright resume 7\n");
		page_close(&run.page);
	}
}

static void an_interrupt_leaves(void **state)
{
	static const volatile sig_atomic_t stop = 1;
	struct run run;
	(void)state;
	start(&run);
	struct fw_face face = face_of(&run);
	face.stop = &stop;
	FILE *in = fopen("/dev/null", "r");
	assert_non_null(in);
	assert_int_equal(fw_face_terminal(&run.job, &face, in, &run.end, &run.error), FW_OK);
	assert_int_equal(run.end, FW_FACE_PAUSED);
	fclose(in);
	page_close(&run.page);
}

static void implausible_is_asked_once_more(void **state)
{
	static const struct {
		const char *lines;
		size_t at;
		const char *typed;
		bool confirmed;
	} cases[] = {
	    {"\n55\n55\n", 2, "55", true},      {"\n55\nyes\n", 2, "55", true},
	    {"\n55\nYES\n", 2, "55", true},     {"\n55\n 55 \n", 2, "55", true},
	    {"\n55\n0.55\n", 2, "0.55", false}, {"\n55\n56\n", 1, "", false},
	    {"\n55\n56\n55\n", 1, "", false},   {"\n55\n56\n56\n", 2, "56", true},
	    {"\n55\n/pause\n", 1, "", false},   {"\n55\n?\n55\n", 2, "55", true},
	    {"\nyes\n", 1, "", false},          {"\n55\n\nyes\n", 1, "", false},
	};
	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct run run;
		talk(&run, cases[i].lines);
		assert_int_equal(run.code, FW_OK);
		assert_int_equal(run.job.at, cases[i].at);
		assert_string_equal(run.job.typed[1], cases[i].typed);
		assert_int_equal(run.job.confirmed[1], cases[i].confirmed);
		page_close(&run.page);
	}
}

static void implausible_names_the_slip(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\n55\n");
	assert_contains(page_text(&run.page), "thou");
	assert_contains(page_text(&run.page), "Enter it again to keep it, or correct it: ");
	page_close(&run.page);
}

static void taking_back_needs_a_reason(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\n0.41\n/back\n\n/pause\n");
	assert_int_equal(run.job.at, 2);
	assert_int_equal(run.job.withdrawn, 0);
	page_close(&run.page);

	talk(&run, "\n0.41\n/back\nmisread\n0.44\n");
	assert_int_equal(run.job.withdrawn, 1);
	assert_string_equal(run.job.reason, "misread");
	assert_string_equal(run.job.typed[1], "0.44");
	page_close(&run.page);

	talk(&run, "/back\n\n");
	assert_int_equal(run.job.withdrawn, 0);
	assert_int_equal(run.job.at, 1);
	assert_contains(page_text(&run.page), "no answer to take back");
	page_close(&run.page);
}

static void what_is_not_understood_is_asked_again(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\nabc\n3 Nm\n/bakc\n0.5\n");
	assert_int_equal(run.code, FW_OK);
	assert_int_equal(run.job.at, 2);
	assert_string_equal(run.job.typed[1], "0.5");
	assert_contains(page_text(&run.page), "No such command");
	page_close(&run.page);
}

static void text_may_begin_with_a_stroke(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\n0.4\n0.4\n1\n/4 bolts renewed\n");
	assert_int_equal(run.end, FW_FACE_RELEASED);
	assert_string_equal(run.job.typed[4], "/4 bolts renewed");
	page_close(&run.page);
}

/* A slip in a command is not an answer, whatever is asked: the options, a reading, words. */
static void an_unknown_command_is_refused_everywhere(void **state)
{
	static const char *const before[] = {"", "\n", "\n0.4\n0.4\n", "\n0.4\n0.4\n1\n"};
	static const char *const slips[] = {"/bcak", "/foo", "/Back", "/backreason", " /bcak it\t"};
	static const size_t at[] = {0, 1, 3, 4};
	(void)state;
	for (size_t i = 0; i < 4; i++)
		for (size_t k = 0; k < 5; k++) {
			char lines[64];
			struct run run;
			snprintf(lines, sizeof lines, "%s%s\n", before[i], slips[k]);
			talk(&run, lines);
			assert_int_equal(run.job.at, at[i]);
			assert_contains(page_text(&run.page), "No such command; there are ?, /back,");
			page_close(&run.page);
		}
}

static void a_reason_may_stand_behind_the_command(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\n0.41\n/back  read the wrong scale \n0.44\n");
	assert_int_equal(run.job.withdrawn, 1);
	assert_string_equal(run.job.reason, "read the wrong scale");
	assert_string_equal(run.job.typed[1], "0.44");
	page_close(&run.page);
}

static void a_command_is_no_reason(void **state)
{
	static const char *const ways[] = {"\n0.41\n/back\n/puase\n", "\n0.41\n/back\n /back\n",
	                                   "\n0.41\n/back /pause\n"};
	(void)state;
	for (size_t i = 0; i < 3; i++) {
		struct run run;
		talk(&run, ways[i]);
		assert_int_equal(run.job.withdrawn, 0);
		assert_int_equal(run.job.at, 2);
		assert_contains(page_text(&run.page), "A command is no reason");
		page_close(&run.page);
	}
	struct run run;
	talk(&run, "\n0.41\n/back\n/4 was read as 1/4\n");
	assert_int_equal(run.job.withdrawn, 1);
	page_close(&run.page);
}

static void help_tells_what_is_expected(void **state)
{
	struct run run;
	(void)state;
	talk(&run, "\n?\n");
	assert_contains(page_text(&run.page), "Read at eye level.");
	assert_contains(page_text(&run.page), "16 thou");
	assert_contains(page_text(&run.page), "/back");
	assert_int_equal(run.job.at, 1);
	page_close(&run.page);

	talk(&run, "\n/help\n");
	assert_contains(page_text(&run.page), "Read at eye level.");
	assert_int_equal(run.job.at, 1);
	page_close(&run.page);
}

static void unusable_lines_are_refused(void **state)
{
	char bytes[6000];
	struct run run;
	(void)state;

	start(&run);
	memset(bytes, '1', sizeof bytes);
	bytes[0] = '\n';
	bytes[5990] = '\n';
	memcpy(bytes + 5991, "0.41\n\n\n\n", 8);
	talk_bytes(&run, bytes, 5996);
	assert_int_equal(run.job.at, 2);
	assert_string_equal(run.job.typed[1], "0.41");
	assert_contains(page_text(&run.page), "too long");
	page_close(&run.page);

	start(&run);
	talk_bytes(&run, "\n0.4\0001\n\0330.4\n\xFF\n0.41\r\n", 19);
	assert_int_equal(run.job.at, 2);
	assert_string_equal(run.job.typed[1], "0.41");
	assert_contains(page_text(&run.page), "not UTF-8");
	page_close(&run.page);
}

static void trouble_of_the_engine_ends_the_session(void **state)
{
	static const int codes[] = {FW_ERR_SCRIPT, FW_ERR_LIMIT, FW_ERR_BUSY, FW_ERR_TRAIL,
	                            FW_ERR_MEMORY};
	(void)state;
	for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
		struct run run;
		start(&run);
		run.job.fail = codes[i];
		talk_bytes(&run, "\n\n", 2);
		assert_int_equal(run.code, codes[i]);
		assert_string_equal(run.error.text, "made to fail");
		page_close(&run.page);
	}
}

/* Nobody sees what is asked, so nothing may be answered. */
static void a_screen_that_fails_stops_the_session(void **state)
{
	struct run run;
	(void)state;
	start(&run);
	struct fw_face face = face_of(&run);
	FILE *in = tmpfile();
	assert_non_null(in);
	fputs("\n0.41\n", in);
	rewind(in);
	face.screen.out = fopen("/dev/full", "w");
	assert_non_null(face.screen.out);
	struct fw_error error = {0};
	assert_code(fw_face_terminal(&run.job, &face, in, &run.end, &error), FW_ERR_TRAIL);
	assert_int_equal(run.job.at, 0);
	fclose(face.screen.out);
	fclose(in);
	page_close(&run.page);
}

static void a_file_answers_a_whole_job(void **state)
{
	struct run run;
	(void)state;
	batch(&run, "\xEF\xBB\xBF# invented\n\ndrain\nend-float: 0.41\r\n  end-float!:  55 \nbearing: "
	            "1\nremark: ratio 3:1\n");
	assert_int_equal(run.code, FW_OK);
	assert_int_equal(run.end, FW_FACE_RELEASED);
	assert_string_equal(run.job.typed[1], "0.41");
	assert_string_equal(run.job.typed[2], "55");
	assert_true(run.job.confirmed[2]);
	assert_false(run.job.confirmed[1]);
	assert_string_equal(run.job.typed[4], "ratio 3:1");
	assert_contains(page_text(&run.page), "reading 2 of 2 [mm, 0 to 3] > 55   (confirmed)\n");
	page_close(&run.page);
}

static void a_file_that_runs_out_pauses(void **state)
{
	struct run run;
	(void)state;
	batch(&run, "drain:\nend-float: 0.41\n");
	assert_int_equal(run.code, FW_OK);
	assert_int_equal(run.end, FW_FACE_PAUSED);
	assert_contains(page_text(&run.page), "fitwright resume 7");
	page_close(&run.page);
}

static void a_file_can_take_back(void **state)
{
	struct run run;
	(void)state;
	batch(&run, "drain\nend-float: 0.41\n/back read the wrong scale\nend-float: 0.44\n");
	assert_int_equal(run.code, FW_OK);
	assert_string_equal(run.job.reason, "read the wrong scale");
	assert_string_equal(run.job.typed[1], "0.44");
	page_close(&run.page);
}

static void a_wrong_file_is_told_where(void **state)
{
	static const struct {
		const char *lines;
		int code;
		const char *says;
		size_t at;
	} cases[] = {
	    {"drain\n\nbearing: 1\n", FW_ERR_INPUT,
	     "answers.txt:3: the job asks 'end-float' (reading 1 of 2), the file answers 'bearing'", 1},
	    {"drain\nend-float: 55\n", FW_ERR_IMPLAUSIBLE, "answers.txt:2: ", 1},
	    {"drain\nend-float: 55\n", FW_ERR_IMPLAUSIBLE, "write 'end-float!: 55'", 1},
	    {"drain\nend-float: abc\n", FW_ERR_INPUT, "answers.txt:2: ", 1},
	    {"drain\nend-float: 3 Nm\n", FW_ERR_DIMENSION, "answers.txt:2: ", 1},
	    {"drain\n/back\n", FW_ERR_INPUT, "answers.txt:2: /back needs a reason", 0},
	    {"drain\n/pause\n", FW_ERR_INPUT, "answers.txt:2: no such command '/pause'", 0},
	    {"/back why not\n", FW_ERR_STATE, "answers.txt:1: ", 0},
	    {"drain\nend float: 1\n", FW_ERR_INPUT, "answers.txt:2: 'end float' is no id of a step", 0},
	    {": 1\n", FW_ERR_INPUT, "answers.txt:1: ", 0},
	    {"drain\nend-float: \033[2J\n", FW_ERR_INPUT, "answers.txt:2: control characters", 0},
	    {"drain\nend-float: 0.4\nend-float: 0.4\nbearing: 1\nremark\nmore\n", FW_ERR_INPUT,
	     "answers.txt:6: the job asks nothing more, the file answers 'more'", 5},
	};
	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct run run;
		batch(&run, cases[i].lines);
		assert_int_equal(run.code, cases[i].code);
		assert_contains(run.error.text, cases[i].says);
		assert_int_equal(run.job.at, cases[i].at);
		page_close(&run.page);
	}
}

/* Two bytes a character, at both phases of the cut: no half one becomes '?'. */
static void messages_cut_between_characters(void **state)
{
	static const char *const starts[] = {
	    "/", "/a", "1 ", "1  ", "end-float: 55 Nm, ", "end-float: 55 Nm,  "};
	(void)state;
	for (size_t i = 0; i < 6; i++) {
		char lines[256] = "drain\n";
		struct run run;
		strcat(lines, starts[i]);
		for (size_t k = 0; k < 80; k++)
			strcat(lines, "\xC3\xA9");
		batch(&run, lines);
		assert_int_not_equal(run.code, FW_OK);
		if (strchr(run.error.text, '?'))
			fail_msg("cut in two: %s", run.error.text);
		page_close(&run.page);
	}
}

#define WITH_STEPS(test) cmocka_unit_test_setup(test, prepare)

/* Names of files with blanks are typed as in a shell, or as a terminal writes them when dropped in.
 */
static void a_file_can_be_attached(void **state)
{
	static const struct {
		const char *typed, *path, *note;
	} cases[] = {
	    {"/attach a.jpg", "a.jpg", "(none)"},
	    {"/attach  a.jpg  pitting on 4th ", "a.jpg", "pitting on 4th"},
	    {"/attach 'a b.jpg' words", "a b.jpg", "words"},
	    {"/attach \"a'b.jpg\"", "a'b.jpg", "(none)"},
	    {"/attach /m/a\\ b\\(1\\).jpg it's so", "/m/a b(1).jpg", "it's so"},
	    {"/attach ~/a.jpg", "/home/example/a.jpg", "(none)"},
	    {"/attach ~a.jpg", "~a.jpg", "(none)"},
	};
	(void)state;
	setenv("HOME", "/home/example", 1);
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		char lines[128];
		struct run run;
		snprintf(lines, sizeof lines, "\n%s\n0.44\n", cases[i].typed);
		talk(&run, lines);
		assert_int_equal(run.code, FW_OK);
		assert_int_equal(run.job.attached.size, 1);
		assert_string_equal(run.job.attached.name, cases[i].path);
		assert_string_equal(run.job.note, cases[i].note);
		assert_contains(page_text(&run.page), "Kept with the job: ");
		assert_string_equal(run.job.typed[1], "0.44"); /* the same question is asked again */
		page_close(&run.page);
	}
	struct run run;
	batch(&run, "drain\n/attach 'a b.png' as it came\nend-float: 0.41\n");
	assert_string_equal(run.job.attached.name, "a b.png");
	assert_string_equal(run.job.note, "as it came");
	assert_contains(page_text(&run.page), "a b.png, a JPEG photo");
	assert_contains(page_text(&run.page), "ends like that of another kind of file");
	page_close(&run.page);
}

static void a_file_that_cannot_be_attached_ends_nothing(void **state)
{
	static const struct {
		const char *typed, *says;
	} cases[] = {
	    {"/attach", "Which file?"},
	    {"/attach missing", "no such file"},
	    {"/attach 'a b.jpg", "closing quote"},
	    {"/attach ''", "which file?"},
	};
	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		char lines[128];
		struct run run;
		snprintf(lines, sizeof lines, "\n%s\n0.44\n", cases[i].typed);
		talk(&run, lines);
		assert_int_equal(run.code, FW_OK);
		assert_int_equal(run.job.attached.size, 0);
		assert_contains(page_text(&run.page), cases[i].says);
		assert_string_equal(run.job.typed[1], "0.44");
		page_close(&run.page);
	}
	struct run run;
	batch(&run, "drain\n/attach missing\nend-float: 0.41\n");
	assert_int_equal(run.code, FW_ERR_INPUT);
	assert_int_equal(run.job.at, 1);
	page_close(&run.page);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    WITH_STEPS(a_whole_job),
	    WITH_STEPS(leaving_loses_nothing),
	    WITH_STEPS(an_interrupt_leaves),
	    WITH_STEPS(implausible_is_asked_once_more),
	    WITH_STEPS(implausible_names_the_slip),
	    WITH_STEPS(taking_back_needs_a_reason),
	    WITH_STEPS(what_is_not_understood_is_asked_again),
	    WITH_STEPS(text_may_begin_with_a_stroke),
	    WITH_STEPS(an_unknown_command_is_refused_everywhere),
	    WITH_STEPS(a_reason_may_stand_behind_the_command),
	    WITH_STEPS(a_command_is_no_reason),
	    WITH_STEPS(messages_cut_between_characters),
	    WITH_STEPS(help_tells_what_is_expected),
	    WITH_STEPS(a_file_can_be_attached),
	    WITH_STEPS(a_file_that_cannot_be_attached_ends_nothing),
	    WITH_STEPS(unusable_lines_are_refused),
	    WITH_STEPS(trouble_of_the_engine_ends_the_session),
	    WITH_STEPS(a_screen_that_fails_stops_the_session),
	    WITH_STEPS(a_file_answers_a_whole_job),
	    WITH_STEPS(a_file_that_runs_out_pauses),
	    WITH_STEPS(a_file_can_take_back),
	    WITH_STEPS(a_wrong_file_is_told_where),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
