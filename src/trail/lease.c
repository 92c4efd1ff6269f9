/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file lease.c  The right to write to one job, one holder at a time.
 *
 * A lock of an open file description (F_OFD_SETLK, POSIX.1-2024) on one byte for each job, in a
 * file beside the trail: the system frees it when its holder ends, however it ends. It is never on
 * the trail itself, whose locks are SQLite's own. Who holds it stands in one of some slots at the
 * beginning of that file, locked as well, so that what a crash left there is known to be stale. */
#define _GNU_SOURCE /* F_OFD_SETLK */

#include "base/moment.h"
#include "trail/trail_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"

#ifndef F_OFD_SETLK
#error "leases need locks of open file descriptions: F_OFD_SETLK"
#endif

/* Slots, and where the bytes of the jobs begin: far behind them; no byte is ever written there. */
#define SLOTS     128
#define SLOT_SIZE 512
#define JOB_BASE  ((int64_t)1 << 40)
#define WHO_MOST  200

struct fw_lease {
	int file; /* -1: nothing is held, as nothing can be written */
	off_t slot;
	bool noted;
};

/* What a slot says about its holder. */
struct holder {
	long long job, pid;
	char host[65], since[32], who[WHO_MOST + 1];
};

static int set_lock(int file, int64_t from, int64_t length)
{
	struct flock lock = {.l_type = F_WRLCK, .l_whence = SEEK_SET, .l_start = from, .l_len = length};

	return fcntl(file, F_OFD_SETLK, &lock);
}

static bool is_locked(int file, int64_t from, int64_t length)
{
	struct flock lock = {.l_type = F_WRLCK, .l_whence = SEEK_SET, .l_start = from, .l_len = length};

	return fcntl(file, F_OFD_GETLK, &lock) == 0 && lock.l_type != F_UNLCK;
}

static int cannot(const char *path, const char *why, struct fw_error *err)
{
	return fw_fail(err, FW_ERR_TRAIL,
	               "can't note in %s who works on which job: %s; look at the permissions of that "
	               "file and its folder",
	               path, why);
}

/* Whoever may write to the trail may take its leases. */
static void share_like(int file, const char *trail)
{
	struct stat status, now;

	if (stat(trail, &status) != 0 || fstat(file, &now) != 0)
		return;
	if (now.st_gid != status.st_gid && fchown(file, (uid_t)-1, status.st_gid) != 0)
		return;
	if ((now.st_mode & 0666) != (status.st_mode & 0666))
		(void)!fchmod(file, status.st_mode & 0666); /* not ours: its owner has seen to it */
}

static int open_beside(int *out, const struct fw_trail *trail, struct fw_error *err)
{
	/* Absolute, through links: one file however the trail is named. */
	const char *name = sqlite3_db_filename(trail->db, "main");
	char path[4096];
	struct stat status;

	if (!name || snprintf(path, sizeof path, "%s" FW_LEASE_ENDING, name) >= (int)sizeof path)
		return fw_fail(err, FW_ERR_TRAIL, "trail %s: its path is too long", trail->path);
	*out = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK, 0600);
	if (*out < 0)
		return cannot(path, strerror(errno), err);
	if (fstat(*out, &status) != 0 || !S_ISREG(status.st_mode)) {
		close(*out);
		return cannot(path, "it is no plain file", err);
	}
	if (status.st_size == 0)
		share_like(*out, name);
	return FW_OK;
}

/* One field of a slot up to its line end; false when it is cut short or too long. */
static bool take_line(const char **at, char *out, size_t size)
{
	size_t length = strcspn(*at, "\n");

	if ((*at)[length] != '\n' || length >= size)
		return false;
	memcpy(out, *at, length);
	out[length] = '\0';
	*at += length + 1;
	return true;
}

static bool read_slot(int file, int slot, struct holder *out)
{
	char text[SLOT_SIZE + 1], number[2][24];
	const char *at = text;
	ssize_t got = pread(file, text, SLOT_SIZE, (off_t)slot * SLOT_SIZE);

	text[got > 0 ? got : 0] = '\0';
	if (!take_line(&at, number[0], sizeof number[0]) ||
	    !take_line(&at, number[1], sizeof number[1]) ||
	    !take_line(&at, out->host, sizeof out->host) ||
	    !take_line(&at, out->since, sizeof out->since) ||
	    !take_line(&at, out->who, sizeof out->who) || !fw_time_check(out->since))
		return false;
	out->job = strtoll(number[0], NULL, 10);
	out->pid = strtoll(number[1], NULL, 10);
	return true;
}

static bool find_holder(int file, int64_t job, struct holder *out)
{
	for (int slot = 0; slot < SLOTS; slot++)
		if (read_slot(file, slot, out) && out->job == job &&
		    is_locked(file, (int64_t)slot * SLOT_SIZE, SLOT_SIZE))
			return true;
	return false;
}

static void this_host(char out[65])
{
	memset(out, 0, 65);
	if (gethostname(out, 64) != 0 || !out[0])
		snprintf(out, 65, "a machine without name");
	fw_text_one_line(out);
}

static int refuse(int file, int64_t job, struct fw_error *err)
{
	struct holder holder;
	char host[65], process[48] = "";
	bool found = find_holder(file, job, &holder);

	/* The holder writes its name down just after it has got the lock. */
	for (int i = 0; i < 20 && !found; i++) {
		const struct timespec moment = {0, 5000000};
		nanosleep(&moment, NULL);
		found = find_holder(file, job, &holder);
	}
	if (!found)
		return fw_fail(err, FW_ERR_BUSY,
		               "job %lld is being worked on in another program; go on there, or end it "
		               "there first",
		               (long long)job);
	this_host(host);
	if (strcmp(host, holder.host) == 0)
		snprintf(process, sizeof process, " (process %lld)", holder.pid);
	return fw_fail(err, FW_ERR_BUSY,
	               "job %lld is being worked on by %s on host %s%s since %.10s %.5s UTC; go on "
	               "there, or end it there first",
	               (long long)job, holder.who, holder.host, process, holder.since,
	               holder.since + 11);
}

/* Which of the slots is free. With more benches than slots the lock holds all the same; only the
 * name of its holder can't be told then. */
static bool take_slot(struct fw_lease *lease)
{
	for (int slot = 0; slot < SLOTS; slot++) {
		lease->slot = (off_t)slot * SLOT_SIZE;
		if (set_lock(lease->file, lease->slot, SLOT_SIZE) == 0)
			return true;
	}
	return false;
}

static void note_holder(struct fw_lease *lease, int64_t job, const char *who)
{
	char text[SLOT_SIZE] = "", host[65], since[32], name[WHO_MOST + 1];

	if (!take_slot(lease))
		return;
	lease->noted = true;
	fw_moment_now(since);
	snprintf(name, sizeof name, "%s", who && *who ? who : "someone");
	fw_utf8_drop_cut(name);
	fw_text_one_line(name);
	this_host(host);
	snprintf(text, sizeof text, "%lld\n%lld\n%s\n%s\n%s\n", (long long)job, (long long)getpid(),
	         host, since, name);
	/* Without it the lease holds all the same. */
	(void)!pwrite(lease->file, text, sizeof text, lease->slot);
}

static int take(struct fw_lease *lease, struct fw_trail *trail, int64_t job, const char *who,
                struct fw_error *err)
{
	int code = open_beside(&lease->file, trail, err);

	if (code)
		return code;
	if (set_lock(lease->file, JOB_BASE + job, 1) == 0) {
		note_holder(lease, job, who);
		return FW_OK;
	}
	if (errno == EAGAIN || errno == EACCES)
		return refuse(lease->file, job, err);
	return fw_fail(err, FW_ERR_TRAIL,
	               "trail %s: the file system it lies on can't lock (%s), so that two benches "
	               "could work on one job; keep it on another one",
	               trail->path, strerror(errno));
}

int fw_lease_take(struct fw_lease **out, struct fw_trail *trail, int64_t job, const char *who,
                  struct fw_error *err)
{
	*out = NULL;
	if (job < 0 || job > INT64_MAX - JOB_BASE)
		return fw_fail(err, FW_ERR_ARGUMENT, "there is no job %lld", (long long)job);
	struct fw_lease *lease = calloc(1, sizeof *lease);
	if (!lease)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	lease->file = -1;
	int code = trail->mode == FW_TRAIL_READ ? FW_OK : take(lease, trail, job, who, err);
	if (code)
		fw_lease_free(lease);
	else
		*out = lease;
	return code;
}

int fw_lease_possible(struct fw_trail *trail, struct fw_error *err)
{
	int file = -1;
	int code = trail->mode == FW_TRAIL_READ ? FW_OK : open_beside(&file, trail, err);

	if (file >= 0)
		close(file);
	return code;
}

void fw_lease_free(struct fw_lease *lease)
{
	static const char nobody[SLOT_SIZE] = "";

	if (!lease)
		return;
	if (lease->noted)
		(void)!pwrite(lease->file, nobody, sizeof nobody, lease->slot);
	if (lease->file >= 0)
		close(lease->file); /* and the locks with it */
	free(lease);
}
