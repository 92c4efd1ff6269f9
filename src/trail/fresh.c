/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fresh.c  A new file that is complete or not there, and never in the place of another. */
#define _GNU_SOURCE /* renameat2() */

#include "base/folder.h"
#include "trail/trail_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int cannot(const char *path, const char *what, int why, struct fw_error *err)
{
	return fw_fail(err, FW_ERR_TRAIL, "can't %s %s: %s", what, path, strerror(why));
}

static bool ends_in(const char *path, const char *ending)
{
	size_t length = strlen(path), tail = strlen(ending);

	return length >= tail && strcmp(path + length - tail, ending) == 0;
}

static bool is_trail(const struct fw_trail *trail, const struct stat *there)
{
	struct stat status;

	return stat(trail->path, &status) == 0 && status.st_dev == there->st_dev &&
	       status.st_ino == there->st_ino;
}

/* SQLite takes files of such names for parts of the database beside them. */
static int check_beside(const char *path, struct fw_error *err)
{
	static const char *const endings[] = {"-journal", "-wal", "-shm", FW_LEASE_ENDING};
	char beside[4096];
	struct stat status;

	for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
		if (ends_in(path, endings[i]))
			return fw_fail(
			    err, FW_ERR_ARGUMENT,
			    "%s: a name that ends in %s belongs to a trail beside it; choose another", path,
			    endings[i]);
		if (snprintf(beside, sizeof beside, "%s%s", path, endings[i]) >= (int)sizeof beside)
			return fw_fail(err, FW_ERR_ARGUMENT, "the name of the new file is too long");
		if (lstat(beside, &status) == 0)
			return fw_fail(err, FW_ERR_ARGUMENT,
			               "%s is left of another file and would be taken for a part of the new "
			               "one; remove it, or choose another name",
			               beside);
	}
	return FW_OK;
}

static int check_name(const struct fw_trail *trail, const char *path, struct fw_error *err)
{
	struct stat status;

	if (!path || !*path)
		return fw_fail(err, FW_ERR_ARGUMENT, "no name for the new file");
	if (lstat(path, &status) == 0) {
		if (is_trail(trail, &status) || (stat(path, &status) == 0 && is_trail(trail, &status)))
			return fw_fail(err, FW_ERR_ARGUMENT, "%s is the trail itself; name a new file", path);
		return fw_fail(err, FW_ERR_ARGUMENT,
		               "%s is there already, and nothing is overwritten; name a new file", path);
	}
	return check_beside(path, err);
}

int fw_fresh_open(struct fw_fresh *out, const struct fw_trail *trail, const char *path,
                  struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	int code = check_name(trail, path, err);
	if (code)
		return code;
	size_t size = strlen(path) + 10;
	out->path = malloc(size);
	out->temporary = malloc(size);
	if (!out->path || !out->temporary) {
		free(out->temporary);
		out->temporary = NULL;
		fw_fresh_abandon(out);
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	}
	snprintf(out->path, size, "%s", path);
	/* SQLite gives "file:" and ":memory:" meanings of their own. */
	snprintf(out->temporary, size, "%s%s.XXXXXX", path[0] == '/' ? "" : "./", path);
	int file = mkstemp(out->temporary); /* its owner's alone, as a trail is */
	if (file < 0) {
		int why = errno;
		free(out->temporary);
		out->temporary = NULL;
		fw_fresh_abandon(out);
		return cannot(path, "make", why, err);
	}
	close(file);
	return FW_OK;
}

int fw_fresh_fail(const struct fw_fresh *fresh, sqlite3 *db, int code, struct fw_error *err)
{
	int why = sqlite3_system_errno(db);

	switch (code & 0xff) {
	case SQLITE_NOMEM:
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	case SQLITE_FULL:
		return fw_fail(err, FW_ERR_TRAIL,
		               "%s: no room left on the disk; nothing was kept: make room, or name a file "
		               "on another disk",
		               fresh->path);
	default:
		return fw_fail(err, FW_ERR_TRAIL, "%s: can't be written: %s%s%s%s; nothing was kept",
		               fresh->path, sqlite3_errstr(code), why ? " (" : "", why ? strerror(why) : "",
		               why ? ")" : "");
	}
}

static void keep_first(void *context, const struct fw_flaw *flaw)
{
	struct fw_error *first = context;

	if (first->code)
		return;
	if (flaw->job || flaw->seq)
		fw_fail(first, FW_ERR_TRAIL, "job %lld, entry %lld: %s", (long long)flaw->job,
		        (long long)flaw->seq, flaw->what);
	else
		fw_fail(first, FW_ERR_TRAIL, "%s", flaw->what);
}

int fw_fresh_check(const struct fw_fresh *fresh, struct fw_error *err)
{
	struct fw_trail *copy = NULL;
	struct fw_error first = {0};
	size_t flaws = 0;
	int code = fw_trail_open(&copy, fresh->temporary, FW_TRAIL_READ, err);

	if (!code)
		code = fw_trail_verify(copy, FW_VERIFY_ALL, keep_first, &first, &flaws, err);
	fw_trail_close(copy);
	if (code) {
		fw_error_prefix(err, "the new file can't be checked, and was not kept: ");
		return code;
	}
	if (flaws == 0)
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL,
	               "the new file isn't sound (%s), and was not kept; audit the trail that it was "
	               "made from, and keep that one as it is",
	               first.text);
}

static int sync_file(const char *path, struct fw_error *err)
{
	int file = open(path, O_RDONLY | O_CLOEXEC);

	if (file < 0)
		return cannot(path, "open", errno, err);
	int failed = fsync(file), why = errno;
	close(file);
	return failed ? cannot(path, "get onto the disk", why, err) : FW_OK;
}

/* Neither overwrites. Not every file system knows both. */
static int give_name(const struct fw_fresh *fresh)
{
#ifdef RENAME_NOREPLACE
	if (renameat2(AT_FDCWD, fresh->temporary, AT_FDCWD, fresh->path, RENAME_NOREPLACE) == 0)
		return 0;
	if (errno != EINVAL && errno != ENOSYS)
		return -1;
#endif
	if (link(fresh->temporary, fresh->path) != 0)
		return -1;
	unlink(fresh->temporary);
	return 0;
}

int fw_fresh_settle(struct fw_fresh *fresh, struct fw_error *err)
{
	int code = sync_file(fresh->temporary, err);

	if (!code && give_name(fresh) != 0)
		code = cannot(fresh->path, "put in place", errno, err);
	if (code)
		return code;
	free(fresh->temporary);
	fresh->temporary = NULL;
	code = fw_folder_sync_above(fresh->path, err);
	if (code)
		unlink(fresh->path);
	return code;
}

void fw_fresh_abandon(struct fw_fresh *fresh)
{
	if (fresh->temporary)
		unlink(fresh->temporary);
	free(fresh->temporary);
	free(fresh->path);
	memset(fresh, 0, sizeof *fresh);
}
