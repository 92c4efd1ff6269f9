/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many jobs audited at once: in their order, the same for any number of threads, whatever fails in
 * one of them. */
#include "bench.h"
#include "trail_make.h"

#define JOBS 40

struct heard {
	char *text; /* all that was said, in order */
	size_t size, room;
	size_t jobs, asked;
	size_t stop_after; /* jobs; 0: never */
	int64_t last;
};

static void add(struct heard *heard, const char *format, ...) FW_PRINTF(2, 3);

static void add(struct heard *heard, const char *format, ...)
{
	char line[2048];
	va_list args;

	va_start(args, format);
	int length = vsnprintf(line, sizeof line, format, args);
	va_end(args);
	assert_true(length >= 0 && (size_t)length < sizeof line);
	if (heard->size + (size_t)length >= heard->room) {
		heard->room = 2 * (heard->size + sizeof line);
		heard->text = realloc(heard->text, heard->room);
		assert_non_null(heard->text);
	}
	memcpy(heard->text + heard->size, line, (size_t)length + 1);
	heard->size += (size_t)length;
}

static int on_done(void *context, const struct fw_audit_done *done)
{
	struct heard *heard = context;
	const struct fw_audit_sum *sum = done->sum;

	assert_true(done->job > heard->last);
	heard->last = done->job;
	heard->jobs++;
	add(heard, "job %lld: %zu %zu %zu, %zu/%zu/%zu, %zu left out, %s %s\n", (long long)done->job,
	    sum->entries, sum->answers, sum->findings_recomputed, sum->broken, sum->open, sum->notes,
	    done->left_out, sum->head, done->refused ? done->refused : "");
	for (size_t i = 0; i < done->lines; i++)
		add(heard, "  %d %lld %s: %s\n", (int)done->line[i].weight, (long long)done->line[i].seq,
		    done->line[i].what, done->line[i].means);
	return heard->stop_after && heard->jobs == heard->stop_after ? 42 : 0;
}

static int on_progress(void *context, size_t audited, size_t jobs)
{
	struct heard *heard = context;

	heard->asked++;
	assert_true(audited <= jobs);
	return 0;
}

static int run(struct heard *heard, const char *file, unsigned threads, struct fw_audit_many many,
               struct fw_error *err)
{
	int64_t job[JOBS + 1];

	for (int64_t i = 0; i <= JOBS; i++)
		job[i] = i + 1; /* the last one isn't there */
	many.path = file;
	many.job = job;
	many.jobs = JOBS + 1;
	many.threads = threads;
	many.context = heard;
	many.done = on_done;
	many.progress = on_progress;
	return fw_job_audit_many(&many, err);
}

/* Jobs that end here and there, and differ in their readings. */
static void fill(struct bench *bench)
{
	char text[256];

	for (int i = 0; i < JOBS; i++) {
		struct fw_job *job = bench_begin(bench, FW_TEST_SOURCE "/tests/cli/bench.lua",
		                                 FW_TEST_SOURCE "/tests/cli/sheet.lua");
		struct bench_answers answers;
		snprintf(text, sizeof text, "drain:\nend-float: 0.%02d\nend-float: 0.%02d\n%s", 20 + i % 7,
		         21 + i % 7, i % 3 ? "" : "turns: free\nremark: fine\nrelease: B. Hand\n");
		bench_answers_parse(&answers, text);
		bench_play(job, &answers);
		bench_answers_free(&answers);
		fw_job_close(job);
	}
}

static int open_bench(void **state)
{
	struct bench *bench = calloc(1, sizeof *bench);

	assert_non_null(bench);
	bench_open(bench);
	fill(bench);
	bench_shut(bench);
	bench_tamper(bench->file,
	             "UPDATE entry SET typed = '0.29' WHERE job IN (3, 17) AND kind = 'answer'",
	             BENCH_PLAIN);
	*state = bench;
	return 0;
}

static int close_bench(void **state)
{
	bench_close(*state);
	free(*state);
	return 0;
}

static void the_same_for_any_number_of_threads(void **state)
{
	const struct bench *bench = *state;
	const struct fw_audit_many all = {.lines_most = 100, .least = FW_AUDIT_NOTE};
	static const unsigned threads[] = {1, 2, 3, 8, 100, 0};
	struct heard first = {0};
	struct fw_error error = {0};

	for (size_t i = 0; i < sizeof threads / sizeof *threads; i++) {
		struct heard heard = {0};
		assert_ok(run(&heard, bench->file, threads[i], all, &error));
		assert_int_equal(heard.jobs, JOBS + 1);
		assert_true(heard.asked > 0);
		if (i == 0)
			first = heard;
		else
			assert_string_equal(heard.text, first.text);
		if (i > 0)
			free(heard.text);
	}
	/* Job 3 and 17 are broken, the job that isn't there is refused, and the others were audited all
	 * the same. */
	assert_contains(first.text, "job 41: 0 0 0, 0/0/0, 0 left out,  trail");
	assert_contains(first.text, "does not have the hash it bears");
	assert_contains(first.text, "job 40: ");
	free(first.text);
}

static void lines_are_held_to_a_number(void **state)
{
	const struct bench *bench = *state;
	const struct fw_audit_many one = {.lines_most = 1, .least = FW_AUDIT_BROKEN};
	struct heard heard = {0};
	struct fw_error error = {0};

	assert_ok(run(&heard, bench->file, 2, one, &error));
	assert_null(strstr(heard.text, "\n  1 ")); /* no open points, no notes */
	assert_null(strstr(heard.text, "\n  2 "));
	const char *third = strstr(heard.text, "job 3: ");
	assert_non_null(third);
	assert_contains(third, "  0 2 ");
	const char *left = strstr(third, " left out");
	assert_true(left && left[-1] != '0');
	free(heard.text);
}

static void it_ends_when_told(void **state)
{
	const struct bench *bench = *state;
	const struct fw_audit_many all = {.lines_most = 100, .least = FW_AUDIT_NOTE};
	struct fw_error error = {0};

	for (unsigned threads = 1; threads <= 4; threads++) {
		struct heard heard = {.stop_after = 5};
		assert_int_equal(run(&heard, bench->file, threads, all, &error), 42);
		assert_int_equal(heard.jobs, 5);
		free(heard.text);
	}
}

static void a_trail_that_is_not_there(void **state)
{
	const struct fw_audit_many all = {.lines_most = 100, .least = FW_AUDIT_NOTE};
	struct heard heard = {0};
	struct fw_error error = {0};

	(void)state;
	assert_code(run(&heard, "/nowhere/trail.db", 1, all, &error), FW_ERR_NOT_FOUND);
	assert_code(run(&heard, "/nowhere/trail.db", 4, all, &error), FW_ERR_NOT_FOUND);
	assert_contains(error.text, "/nowhere/trail.db");
	assert_int_equal(heard.jobs, 0);
}

/* Each page in turn is none any more: nothing comes of it but broken jobs, and a trail that can't
 * be opened. */
static void a_page_that_cannot_be_read(void **state)
{
	const struct bench *bench = *state;
	const struct fw_audit_many broken = {.lines_most = 5, .least = FW_AUDIT_BROKEN};
	char bad[PATH_MAX];
	size_t size, found = 0, refused = 0;
	char *bytes = bench_read(bench->file, &size);

	make_name(bad, bench->folder, "bad.db");
	for (size_t at = 4096; at < size; at += 4096) {
		struct heard heard = {0};
		struct fw_error error = {0};
		bench_copy(bench->file, bad);
		FILE *file = fopen(bad, "r+b");
		assert_non_null(file);
		assert_int_equal(fseek(file, (long)at, SEEK_SET), 0);
		assert_int_equal(fputc(0xff, file), 0xff);
		assert_int_equal(fclose(file), 0);
		int code = run(&heard, bad, 2, broken, &error);
		refused += code != FW_OK;
		found += code == FW_OK && strstr(heard.text, "malformed") != NULL;
		free(heard.text);
	}
	free(bytes);
	assert_true(found > 5 && refused > 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(the_same_for_any_number_of_threads),
	    cmocka_unit_test(lines_are_held_to_a_number),
	    cmocka_unit_test(it_ends_when_told),
	    cmocka_unit_test(a_trail_that_is_not_there),
	    cmocka_unit_test(a_page_that_cannot_be_read),
	};
	return cmocka_run_group_tests(tests, open_bench, close_bench);
}
