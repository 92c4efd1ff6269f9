/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file durable.c  New files that are complete or not there, and never in place of another. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/folder.h"
#include "shop/key_file.h"

static int make_folder(const char *folder, struct fw_error *err)
{
	struct stat status;

	if (mkdir(folder, 0700) == 0)
		return fw_folder_sync_above(folder, err);
	int why = errno;
	if (stat(folder, &status) == 0) {
		if (S_ISDIR(status.st_mode))
			return FW_OK;
		why = ENOTDIR;
	}
	return fw_fail(err, FW_ERR_STATE, "can't make the folder %s for keys: %s", folder,
	               strerror(why));
}

int fw_durable_folders(const char *path, struct fw_error *err)
{
	char *copy = strdup(path);
	int code = FW_OK;

	if (!copy)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (char *slash = *copy ? strchr(copy + 1, '/') : NULL; slash && code == FW_OK;
	     slash = strchr(slash + 1, '/')) {
		*slash = '\0';
		code = make_folder(copy, err);
		*slash = '/';
	}
	free(copy);
	return code;
}

static int fail(struct fw_error *err, const char *path)
{
	if (errno == EEXIST)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s is there already; it is left as it is", path);
	return fw_fail(err, FW_ERR_STATE, "can't write %s: %s", path, strerror(errno));
}

/* Writes all of it, to the disk, and closes. */
static bool fill(int file, const char *bytes, size_t size)
{
	while (size > 0) {
		ssize_t written = write(file, bytes, size);
		if (written < 0 && errno == EINTR)
			continue;
		if (written <= 0)
			break;
		bytes += written;
		size -= (size_t)written;
	}
	bool good = size == 0 && fsync(file) == 0;
	int why = errno;
	good = close(file) == 0 && good;
	if (!good && why)
		errno = why;
	return good;
}

/* Where a file can't have two names (FAT, on a stick): made in place, taken away if it fails. */
static int write_in_place(const char *path, const char *bytes, size_t size, struct fw_error *err)
{
	int file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);

	if (file < 0)
		return fail(err, path);
	if (fill(file, bytes, size))
		return FW_OK;
	int code = fail(err, path);
	unlink(path);
	return code;
}

/* A link, unlike a rename, fails when the name is there. */
static int link_into_place(const char *temporary, const char *path, const char *bytes, size_t size,
                           struct fw_error *err)
{
	if (link(temporary, path) == 0)
		return FW_OK;
	return errno == EEXIST ? fail(err, path) : write_in_place(path, bytes, size, err);
}

int fw_durable_new(const char *path, const char *bytes, size_t size, struct fw_error *err)
{
	size_t room = strlen(path) + 8;
	char *temporary = malloc(room);

	if (!temporary)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	snprintf(temporary, room, "%s.XXXXXX", path);
	int file = mkstemp(temporary); /* 0600 */
	if (file < 0) {
		int code = fail(err, path);
		free(temporary);
		return code;
	}
	int code = fill(file, bytes, size) ? link_into_place(temporary, path, bytes, size, err)
	                                   : fail(err, path);
	unlink(temporary);
	free(temporary);
	if (code != FW_OK)
		return code;
	code = fw_folder_sync_above(path, err);
	if (code != FW_OK)
		unlink(path);
	return code;
}
