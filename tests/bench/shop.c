/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "draws.h"
#include "trail/trail_internal.h"

/* One round is a task, three readings with their mean, and a check: six entries. */
#define ROUND 6
/* The beginning, the sign-off and the release. */
#define ENDS 3

static const char sheet[] = "return sheet {\n"
                            "  play = limits { min = mm(0.05), max = mm(0.90), aim = mm(0.40),\n"
                            "    source = practice \"invented for a measurement of speed\" },\n"
                            "}\n";

static const char procedure[] =
    "return procedure {\n"
    "  title = \"Bench: many readings\",\n"
    "  phases = { \"Measure\", \"Answer for it\" },\n"
    "  sheet = { play = \"limits\" },\n"
    "  run = function(sheet)\n"
    "    phase \"Measure\"\n"
    "    for n = 1, %u do\n"
    "      task { id = \"seat\", say = \"Tap the bearing home on place \" .. n .. \" and turn it "
    "by hand.\" }\n"
    "      local play = measure { id = \"play\", say = \"Rock the shaft, read the dial.\", unit = "
    "mm,\n"
    "        gauge = \"dial indicator\", readings = 3, plausible = { mm(0), mm(1) } }\n"
    "      check { id = \"judged\", name = \"play of place \" .. n, value = play, limits = "
    "sheet.play }\n"
    "    end\n"
    "    for n = 1, %u do task { id = \"wipe\", say = \"Wipe place \" .. n .. \" dry.\" } end\n"
    "    phase \"Answer for it\"\n"
    "    sign { id = \"release\", role = \"technician\" }\n"
    "  end,\n"
    "}\n";

void bench_fail(const char *what, const char *message)
{
	fprintf(stderr, "%s: %s\n", what, message);
	exit(1);
}

double bench_wall(void)
{
	struct timespec t;

	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

double bench_cpu(void)
{
	struct timespec t;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
	const double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

double bench_median(double *list, unsigned count)
{
	qsort(list, count, sizeof *list, by_size);
	return count % 2 ? list[count / 2] : 0.5 * (list[count / 2 - 1] + list[count / 2]);
}

void bench_shop_clock(void *context, char out[32])
{
	struct bench_shop *shop = context;
	time_t seconds = 1767222000 + 60 * (time_t)shop->minutes++;
	struct tm utc;
	char date[24];

	gmtime_r(&seconds, &utc);
	strftime(date, sizeof date, "%Y-%m-%dT%H:%M:%S", &utc);
	snprintf(out, 32, "%.19s.000Z", date);
}

static void name_in(char out[PATH_MAX], const struct bench_shop *shop, const char *name)
{
	if (snprintf(out, PATH_MAX, "%s/%s", shop->folder, name) >= PATH_MAX)
		bench_fail(name, "the path is too long");
}

static void write_text(const char *path, const char *text)
{
	FILE *file = fopen(path, "w");

	if (!file || fputs(text, file) < 0 || fclose(file) != 0)
		bench_fail(path, "can't be written");
}

/* The trail is made to be read: what it takes to be on the disk is measured elsewhere. */
static void hurry(struct fw_trail *trail)
{
	sqlite3_set_authorizer(trail->db, NULL, NULL);
	sqlite3_exec(trail->db, "PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY", NULL, NULL,
	             NULL);
}

void bench_shop_open(struct bench_shop *shop)
{
	struct fw_error error;
	const char *top = getenv("TMPDIR");

	memset(shop, 0, sizeof *shop);
	shop->seed = 7;
	snprintf(shop->folder, sizeof shop->folder, "%s/fitwright-bench-XXXXXX", top ? top : "/tmp");
	if (!mkdtemp(shop->folder))
		bench_fail(shop->folder, "can't be made");
	name_in(shop->file, shop, "trail.db");
	name_in(shop->procedure, shop, "procedure.lua");
	name_in(shop->sheet, shop, "sheet.lua");
	write_text(shop->sheet, sheet);
	if (fw_trail_open(&shop->trail, shop->file, FW_TRAIL_CREATE, &error) != FW_OK)
		bench_fail("open", error.text);
	hurry(shop->trail);
}

void bench_shop_shut(struct bench_shop *shop)
{
	fw_trail_close(shop->trail);
	shop->trail = NULL;
}

void bench_shop_remove(struct bench_shop *shop)
{
	bench_shop_shut(shop);
	unlink(shop->file);
	unlink(shop->procedure);
	unlink(shop->sheet);
	rmdir(shop->folder);
}

static void answer(struct bench_shop *shop, struct fw_job *job)
{
	const struct fw_question *q = fw_job_pending(job);
	struct fw_error error;
	char typed[64] = "";

	if (q->ask == FW_ASK_QUANTITY)
		snprintf(typed, sizeof typed, "%.3f",
		         0.4 + 0.01 * uniform(&shop->seed) + 0.1 * (double)(q->round % 5));
	else if (q->ask == FW_ASK_SIGN)
		snprintf(typed, sizeof typed, "R. Example");
	if (fw_job_answer(job, typed, false, &error) != FW_OK)
		bench_fail(q->step, error.text);
}

struct fw_job *bench_shop_open_job(struct bench_shop *shop, unsigned entries)
{
	struct fw_error error;
	struct fw_job *job;
	char text[sizeof procedure + 64], unit[64];
	const unsigned rounds = (entries - ENDS) / ROUND;

	snprintf(text, sizeof text, procedure, rounds, entries - ENDS - rounds * ROUND);
	write_text(shop->procedure, text);
	snprintf(unit, sizeof unit, "unit %06llu", (unsigned long long)(next(&shop->seed) % 1000000));
	const struct fw_job_begin begin = {shop->procedure, shop->sheet, unit, "R. Example"};
	if (fw_job_begin(&job, shop->trail, &begin, bench_shop_clock, shop, &error) != FW_OK)
		bench_fail("begin", error.text);
	while (fw_job_pending(job)->ask != FW_ASK_SIGN)
		answer(shop, job);
	return job;
}

int64_t bench_shop_job(struct bench_shop *shop, unsigned entries)
{
	struct fw_job *job = bench_shop_open_job(shop, entries);
	struct fw_error error;
	int64_t seq, number = fw_job_number(job);

	answer(shop, job);
	if (fw_trail_head(shop->trail, number, &seq, NULL, &error) != FW_OK)
		bench_fail("head", error.text);
	if (seq != (int64_t)entries || fw_job_pending(job))
		bench_fail("job", "not as many entries as meant");
	fw_job_close(job);
	return number;
}
