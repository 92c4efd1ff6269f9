/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Audit of many jobs, several at a time. Threads share nothing but the list of jobs: each reads the
 * trail through a handle of its own. What they found is handed over in the order of the list,
 * whoever was first. */
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "audit_internal.h"

#define THREADS_MOST 256
/* How far the threads may run ahead of the job that is handed over next, for each of them. */
#define AHEAD       8
#define STACK_BYTES ((size_t)8 * 1024 * 1024)
#define PATIENCE_NS 200000000L

/* One job's outcome, until it is handed over. */
struct outcome {
	bool ready;
	struct fw_audit_sum sum;
	struct fw_audit_line *line; /* texts are copies */
	size_t lines, room, left_out;
	bool failed; /* no memory for a line */
	struct fw_error refused;
};

struct team {
	const struct fw_audit_many *many;
	pthread_mutex_t lock;
	pthread_cond_t ready, room;
	struct outcome *ring;
	size_t size;   /* of the ring */
	size_t next;   /* first job that no thread has taken */
	size_t handed; /* first job that isn't handed over */
	size_t audited;
	bool stop;
	struct fw_error error; /* a thread couldn't open the trail */
};

/* ---- one job ---- */

static bool keep_copy(struct outcome *out, const struct fw_audit_line *line)
{
	if (out->lines == out->room) {
		size_t room = out->room ? 2 * out->room : 8;
		struct fw_audit_line *list = realloc(out->line, room * sizeof *list);
		if (!list)
			return false;
		out->line = list;
		out->room = room;
	}
	char *what = strdup(line->what ? line->what : ""),
	     *means = strdup(line->means ? line->means : "");
	if (!what || !means) {
		free(what);
		free(means);
		return false;
	}
	out->line[out->lines] = *line;
	out->line[out->lines].what = what;
	out->line[out->lines++].means = means;
	return true;
}

struct hearing {
	const struct fw_audit_many *many;
	struct outcome *out;
};

static void hear(void *context, const struct fw_audit_line *line)
{
	const struct hearing *hearing = context;

	if (line->weight > hearing->many->least)
		return;
	if (hearing->out->lines >= hearing->many->lines_most)
		hearing->out->left_out++;
	else if (!keep_copy(hearing->out, line))
		hearing->out->failed = true;
}

static void audit_one(const struct fw_audit_many *many, struct fw_trail *trail, size_t index,
                      struct outcome *out)
{
	struct hearing hearing = {many, out};
	int code = fw_audit_apart(trail, many->job[index], many->given, hear, &hearing, &out->sum,
	                          &out->refused);

	if (code == FW_OK && out->failed)
		fw_fail(&out->refused, FW_ERR_MEMORY, "out of memory while auditing");
	else if (code == FW_OK)
		fw_error_clear(&out->refused);
}

static void clear(struct outcome *out)
{
	for (size_t i = 0; i < out->lines; i++) {
		free((char *)out->line[i].what);
		free((char *)out->line[i].means);
	}
	free(out->line);
	*out = (struct outcome){0};
}

static int hand_over(const struct fw_audit_many *many, size_t index, const struct outcome *out)
{
	const struct fw_audit_done done = {.job = many->job[index],
	                                   .sum = &out->sum,
	                                   .line = out->line,
	                                   .lines = out->lines,
	                                   .left_out = out->left_out,
	                                   .refused = out->refused.code ? out->refused.text : NULL};

	return many->done(many->context, &done);
}

static int look_in(const struct fw_audit_many *many, size_t audited)
{
	return many->progress ? many->progress(many->context, audited, many->jobs) : 0;
}

/* ---- alone ---- */

static int audit_alone(const struct fw_audit_many *many, struct fw_error *err)
{
	struct fw_trail *trail;
	int code = fw_trail_open(&trail, many->path, FW_TRAIL_READ, err);

	for (size_t i = 0; code == FW_OK && i < many->jobs; i++) {
		struct outcome out = {0};
		code = look_in(many, i);
		if (code == FW_OK) {
			audit_one(many, trail, i, &out);
			code = hand_over(many, i, &out);
		}
		clear(&out);
	}
	fw_trail_close(trail);
	return code;
}

/* ---- together ---- */

/* The next job, or false: there is none left. Holds the lock. */
static bool take(struct team *team, size_t *index)
{
	const size_t jobs = team->many->jobs;

	while (!team->stop && team->next < jobs && team->next - team->handed >= team->size)
		pthread_cond_wait(&team->room, &team->lock);
	if (team->stop || team->next >= jobs)
		return false;
	*index = team->next++;
	return true;
}

static void work_on(struct team *team, struct fw_trail *trail)
{
	size_t index;

	while (take(team, &index)) {
		struct outcome *out = &team->ring[index % team->size];
		pthread_mutex_unlock(&team->lock);
		audit_one(team->many, trail, index, out);
		pthread_mutex_lock(&team->lock);
		out->ready = true;
		team->audited++;
		pthread_cond_signal(&team->ready);
	}
}

static void *work(void *context)
{
	struct team *team = context;
	struct fw_trail *trail;
	struct fw_error error = {0};
	int code = fw_trail_open(&trail, team->many->path, FW_TRAIL_READ, &error);

	pthread_mutex_lock(&team->lock);
	if (code == FW_OK) {
		work_on(team, trail);
	} else {
		team->error = error;
		team->stop = true;
		pthread_cond_signal(&team->ready);
	}
	pthread_mutex_unlock(&team->lock);
	fw_trail_close(trail);
	return NULL;
}

/* Waits a little for the next outcome. Holds the lock. */
static void wait_ready(struct team *team)
{
	struct timespec until;

	clock_gettime(CLOCK_REALTIME, &until);
	until.tv_nsec += PATIENCE_NS;
	if (until.tv_nsec >= 1000000000L) {
		until.tv_sec++;
		until.tv_nsec -= 1000000000L;
	}
	pthread_cond_timedwait(&team->ready, &team->lock, &until);
}

/* What the caller does with one outcome, or while waiting for it, is done without the lock. */
static int lead(struct team *team)
{
	int code = FW_OK;

	pthread_mutex_lock(&team->lock);
	while (code == FW_OK && team->error.code == FW_OK && team->handed < team->many->jobs) {
		struct outcome *out = &team->ring[team->handed % team->size];
		const size_t audited = team->audited;
		if (!out->ready)
			wait_ready(team);
		const bool ready = out->ready;
		pthread_mutex_unlock(&team->lock);
		code = look_in(team->many, audited);
		if (ready && code == FW_OK)
			code = hand_over(team->many, team->handed, out);
		if (ready)
			clear(out);
		pthread_mutex_lock(&team->lock);
		team->handed += ready;
		if (ready)
			pthread_cond_broadcast(&team->room);
	}
	team->stop = true;
	pthread_cond_broadcast(&team->room);
	pthread_mutex_unlock(&team->lock);
	return code;
}

static unsigned start(struct team *team, pthread_t *thread, unsigned wanted)
{
	pthread_attr_t with;
	unsigned made = 0;

	if (pthread_attr_init(&with) != 0)
		return 0;
	pthread_attr_setstacksize(&with, STACK_BYTES); /* nested calls of a script need it */
	while (made < wanted && pthread_create(&thread[made], &with, work, team) == 0)
		made++;
	pthread_attr_destroy(&with);
	return made;
}

static int audit_together(struct team *team, unsigned threads, struct fw_error *err)
{
	pthread_t thread[THREADS_MOST];
	const unsigned made = start(team, thread, threads);

	if (made == 0)
		return audit_alone(team->many, err);
	int code = lead(team);
	for (unsigned i = 0; i < made; i++)
		pthread_join(thread[i], NULL);
	if (team->error.code)
		return fw_fail(err, team->error.code, "%s", team->error.text);
	return code;
}

static unsigned threads_for(const struct fw_audit_many *many)
{
	long processors = sysconf(_SC_NPROCESSORS_ONLN);
	size_t threads = many->threads ? many->threads : processors > 0 ? (size_t)processors : 1;

	threads = threads < THREADS_MOST ? threads : THREADS_MOST;
	return (unsigned)(threads < many->jobs ? threads : many->jobs);
}

int fw_job_audit_many(const struct fw_audit_many *many, struct fw_error *err)
{
	const unsigned threads = threads_for(many);
	struct team team = {.many = many, .size = (size_t)threads * AHEAD};

	if (threads < 2)
		return audit_alone(many, err);
	team.ring = calloc(team.size, sizeof *team.ring);
	if (!team.ring)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	pthread_mutex_init(&team.lock, NULL);
	pthread_cond_init(&team.ready, NULL);
	pthread_cond_init(&team.room, NULL);
	int code = audit_together(&team, threads, err);
	for (size_t i = 0; i < team.size; i++)
		clear(&team.ring[i]);
	pthread_cond_destroy(&team.room);
	pthread_cond_destroy(&team.ready);
	pthread_mutex_destroy(&team.lock);
	free(team.ring);
	return code;
}
