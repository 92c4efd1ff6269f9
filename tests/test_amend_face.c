/* SPDX-License-Identifier: GPL-3.0-or-later */
/* /amend at the terminal and in a file of answers, on a job that asks from a list. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "face/face.h"
#include "face_screen.h"
#include "fake_job.h"

#define STEPS 6

static struct fake_step steps[STEPS];

static int prepare(void **state)
{
	const struct fw_unit *mm = fw_unit_find("mm", 2);

	(void)state;
	memset(steps, 0, sizeof steps);
	steps[0].question =
	    (struct fw_question){.ask = FW_ASK_TEXT, .step = "remark", .say = "What came in?"};
	for (int i = 1; i <= 2; i++)
		steps[i].question =
		    (struct fw_question){.ask = FW_ASK_QUANTITY,
		                         .step = "float",
		                         .item = i == 1 ? "reading 1 of 2" : "reading 2 of 2",
		                         .say = "Read.",
		                         .unit = mm,
		                         .high = 3e-3};
	steps[3].question = (struct fw_question){.ask = FW_ASK_SIGN,
	                                         .step = "hold",
	                                         .say = "Sign.",
	                                         .role = "inspector",
	                                         .meaning = "Seen."};
	steps[4].question =
	    (struct fw_question){.ask = FW_ASK_DONE, .step = "close", .say = "Close it."};
	steps[5].question = (struct fw_question){.ask = FW_ASK_TEXT, .step = "last", .say = "Last?"};
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
	run->job = (struct fw_job){.steps = steps, .count = STEPS};
	page_open(&run->page, 80, false);
}

static void talk(struct run *run, const char *lines)
{
	FILE *in = tmpfile();

	start(run);
	const struct fw_face face = {.screen = run->page.screen, .go_on = "fitwright resume 7"};
	assert_non_null(in);
	fputs(lines, in);
	rewind(in);
	run->code = fw_face_terminal(&run->job, &face, in, &run->end, &run->error);
	assert_int_equal(run->code, FW_OK);
	fclose(in);
}

static void batch(struct run *run, const char *lines)
{
	struct fw_answers *answers = NULL;
	FILE *in = tmpfile();

	start(run);
	const struct fw_face face = {.screen = run->page.screen, .go_on = "fitwright resume 7"};
	assert_non_null(in);
	fputs(lines, in);
	rewind(in);
	run->code = fw_answers_read(&answers, in, "answers.txt", &run->error);
	fclose(in);
	if (run->code == FW_OK)
		run->code = fw_face_answers(&run->job, &face, answers, &run->end, &run->error);
	fw_answers_free(answers);
}

#define ANSWERED "a box\n0.41\n0.42\nR. Example\n\n"

static void lists(void **state)
{
	(void)state;
	struct run run;

	talk(&run, "/amend\n");
	assert_contains(page_text(&run.page), "There is no answer to amend yet.");
	page_close(&run.page);
	talk(&run, ANSWERED "/amend\n");
	assert_contains(page_text(&run.page),
	                "     2  remark: a box\n"
	                "     3  float (reading 1 of 2): 0.41\n"
	                "     4  float (reading 2 of 2): 0.42\n"
	                "     5  hold: R. Example   (signature: stays, or lapses)\n"
	                "     6  close: (Enter)\n");
	assert_contains(page_text(&run.page), "/amend and its number");
	assert_int_equal(run.job.amended, 0);
	page_close(&run.page);
}

static void amends(void **state)
{
	(void)state;
	struct run run;

	talk(&run, ANSWERED "/amend 3\n0.51\nread wrongly\nyes\n");
	assert_int_equal(run.job.amended, 1);
	assert_string_equal(run.job.typed[1], "0.51");
	assert_string_equal(run.job.reason, "read wrongly");
	assert_contains(page_text(&run.page), "As it stands: float (reading 1 of 2): 0.41");
	assert_contains(page_text(&run.page), "float (reading 1 of 2): \"0.41\" becomes \"0.51\".");
	assert_contains(page_text(&run.page),
	                "2 later answers stay. These lapse; what still comes up is asked again:");
	assert_contains(page_text(&run.page), "Asked next: float");
	page_close(&run.page);
	/* The last one: nothing came after it. */
	talk(&run, "a box\n/amend 2\na crate\nmisheard\ny\n");
	assert_int_equal(run.job.amended, 1);
	assert_contains(page_text(&run.page), "No answer came after it.");
	page_close(&run.page);
}

/* What is mistyped is asked for again: it must not end at the question that waits. */
static void asks_again(void **state)
{
	(void)state;
	struct run run;

	talk(&run, ANSWERED "/amend 3\nabc\n3 Nm\n0.51\nread wrongly\nyes\n");
	assert_int_equal(run.job.amended, 1);
	assert_string_equal(run.job.typed[1], "0.51");
	page_close(&run.page);
	/* Doubted, mistyped, and doubted once more: what is kept is what was doubted last. */
	talk(&run, ANSWERED "/amend 3\n16\nabc\n17\n17\nread wrongly\nyes\n");
	assert_int_equal(run.job.amended, 1);
	assert_true(run.job.confirmed[1]);
	assert_string_equal(run.job.typed[1], "17");
	page_close(&run.page);
	/* "yes" affirms what is doubted, and nothing else. */
	talk(&run, ANSWERED "/amend 3\n16\nabc\nyes\n\nthe last\n");
	assert_int_equal(run.job.amended, 0);
	assert_int_equal(run.job.at, 6);
	assert_string_equal(run.job.typed[5], "the last");
	assert_contains(page_text(&run.page), "Nothing was amended.");
	page_close(&run.page);
}

/* Which answer is taken back is said before a reason is asked for. */
static void names_what_goes_back(void **state)
{
	(void)state;
	struct run run;

	talk(&run, "a box\n0.41\n/back\n\n");
	assert_contains(page_text(&run.page), "The last answer is float (reading 1 of 2): 0.41");
	assert_int_equal(run.job.at, 2);
	page_close(&run.page);
}

/* Left at each of its prompts, and by what isn't understood. */
static void leaves_it(void **state)
{
	static const struct {
		const char *typed, *says;
	} cases[] = {
	    {"/amend 3\n0.51\n\n", "Nothing was amended."},
	    {"/amend 3\n0.51\nread wrongly\n\n", "Nothing was amended."},
	    {"/amend 3\n0.51\nread wrongly\nno\n", "Nothing was amended."},
	    {"/amend 3\n0.51\n/pause\n", "A command isn't an answer here"},
	    {"/amend 3\n/back\n", "A command isn't an answer here"},
	    {"/amend 3\nabc\n\n", "Nothing was amended."},
	    {"/amend 3\n3 Nm\n", "Nm"},
	    {"/amend 3\n16\n\n", "Nothing was amended."},
	    {"/amend 5\n", "That is a signature"},
	    {"/amend 1\n", "No answer stands under that number"},
	    {"/amend 99\n", "No answer stands under that number"},
	    {"/amend -3\n", "stands the number of an answer"},
	    {"/amend float\n", "stands the number of an answer"},
	    {"/amend 3x\n", "stands the number of an answer"},
	    {"/amend 3", "As it stands: float (reading 1 of 2): 0.41"},
	};
	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct run run;
		char lines[256];
		snprintf(lines, sizeof lines, ANSWERED "%s", cases[i].typed);
		talk(&run, lines);
		assert_int_equal(run.job.amended, 0);
		assert_int_equal(run.job.at, 5);
		assert_contains(page_text(&run.page), cases[i].says);
		page_close(&run.page);
	}
}

static void doubted(void **state)
{
	(void)state;
	struct run run;

	talk(&run, ANSWERED "/amend 3\n16\n16\nread wrongly\nyes\n");
	assert_int_equal(run.job.amended, 1);
	assert_true(run.job.confirmed[1]);
	assert_string_equal(run.job.typed[1], "16");
	page_close(&run.page);
	talk(&run, ANSWERED "/amend 3\n16\n16 thou\nread wrongly\nyes\n");
	assert_int_equal(run.job.amended, 1);
	assert_false(run.job.confirmed[1]);
	assert_string_equal(run.job.typed[1], "16 thou");
	page_close(&run.page);
	talk(&run, ANSWERED "/amend 3\n16\n17\n");
	assert_int_equal(run.job.amended, 0);
	page_close(&run.page);
}

static void in_a_file(void **state)
{
	static const struct {
		const char *line, *typed, *reason;
		size_t at;
		bool confirmed;
	} cases[] = {
	    {"/amend remark: a crate -- misheard", "a crate", "misheard", 0, false},
	    {"/amend float reading 2 of 2: 0.52 -- read wrongly", "0.52", "read wrongly", 2, false},
	    {"/amend  float reading 1 of 2 !:16--x -- kept -- as read", NULL, NULL, 0, false},
	    {"/amend float reading 1 of 2!: 16 -- it is so", "16", "it is so", 1, true},
	    {"/amend remark: one -- two -- three", "one -- two", "three", 0, false},
	    {"/amend close: -- said so", "", "said so", 4, false},
	};
	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct run run;
		char lines[256];
		snprintf(lines, sizeof lines,
		         "remark: a box\nfloat: 0.41\nfloat: 0.42\nhold: R. Example\nclose:\n%s\n",
		         cases[i].line);
		batch(&run, lines);
		if (cases[i].typed) {
			assert_int_equal(run.code, FW_OK);
			assert_int_equal(run.job.amended, 1);
			assert_string_equal(run.job.typed[cases[i].at], cases[i].typed);
			assert_string_equal(run.job.reason, cases[i].reason);
			assert_int_equal(run.job.confirmed[cases[i].at], cases[i].confirmed);
			assert_contains(page_text(&run.page), "An answer is amended: ");
		} else {
			assert_int_equal(run.code, FW_ERR_INPUT);
		}
		page_close(&run.page);
	}
}

static void in_a_file_refused(void **state)
{
	static const struct {
		const char *line, *says;
		int code;
	} cases[] = {
	    {"/amend", "answers.txt:4: /amend needs a step, its new answer and a reason", FW_ERR_INPUT},
	    {"/amend remark: a crate", "answers.txt:4: no reason is given", FW_ERR_INPUT},
	    {"/amend remark: a crate --", "no reason is given", FW_ERR_INPUT},
	    {"/amend float: 0.5 -- x", "several answers stand at 'float'", FW_ERR_INPUT},
	    {"/amend float reading 3 of 3: 0.5 -- x", "no answer stands at 'float reading 3 of 3'",
	     FW_ERR_INPUT},
	    {"/amend nothing", "no answer stands at 'nothing'", FW_ERR_INPUT},
	    {"/amend float reading 1 of 2: 16 -- x", "answers.txt:4: ", FW_ERR_IMPLAUSIBLE},
	    {"/amend float reading 1 of 2: 3 Nm -- x", "answers.txt:4: ", FW_ERR_DIMENSION},
	};
	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct run run;
		char lines[256];
		snprintf(lines, sizeof lines, "remark: a box\nfloat: 0.41\nfloat: 0.42\n%s\n",
		         cases[i].line);
		batch(&run, lines);
		assert_int_equal(run.code, cases[i].code);
		assert_contains(run.error.text, cases[i].says);
		assert_int_equal(run.job.amended, 0);
		page_close(&run.page);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test_setup(lists, prepare),
	    cmocka_unit_test_setup(amends, prepare),
	    cmocka_unit_test_setup(asks_again, prepare),
	    cmocka_unit_test_setup(names_what_goes_back, prepare),
	    cmocka_unit_test_setup(leaves_it, prepare),
	    cmocka_unit_test_setup(doubted, prepare),
	    cmocka_unit_test_setup(in_a_file, prepare),
	    cmocka_unit_test_setup(in_a_file_refused, prepare),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
