/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file path.c  Where a trail lies, and its folders. */
#include "base/folder.h"
#include "trail/trail_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

const char *fw_trail_default_path(char *buffer, size_t size, struct fw_error *err)
{
	const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
	int length;

	/* XDG Base Directory Specification: a relative path is to be ignored. */
	if (data && data[0] == '/') {
		length = snprintf(buffer, size, "%s/fitwright/trail.db", data);
	} else if (home && home[0]) {
		length = snprintf(buffer, size, "%s/.local/share/fitwright/trail.db", home);
	} else {
		fw_fail(err, FW_ERR_NOT_FOUND,
		        "no place for the trail: HOME and XDG_DATA_HOME are not set; name a file");
		return NULL;
	}
	if (length < 0 || (size_t)length >= size) {
		fw_fail(err, FW_ERR_ARGUMENT, "the path of the trail is too long; name a shorter one");
		return NULL;
	}
	return buffer;
}

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
	return fw_fail(err, FW_ERR_TRAIL, "can't make the folder %s for the trail: %s", folder,
	               strerror(why));
}

static int make_folders(const char *path, struct fw_error *err)
{
	int code = FW_OK;
	char *copy = strdup(path);

	if (!copy)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	for (char *slash = strchr(copy + 1, '/'); slash && !code; slash = strchr(slash + 1, '/')) {
		*slash = '\0';
		code = make_folder(copy, err);
		*slash = '/';
	}
	free(copy);
	return code;
}

int fw_path_make(const char *path, struct fw_error *err)
{
	struct stat status;

	if (stat(path, &status) == 0)
		return FW_OK;
	int code = make_folders(path, err);
	if (code)
		return code;
	/* Made here and not by SQLite so that it is the owner's alone. Exclusive, so that no other
	 * handle of this process has it open: closing this one would drop that one's locks. */
	int file = open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
	if (file < 0) {
		if (errno == EEXIST)
			return FW_OK;
		return fw_fail(err, FW_ERR_TRAIL, "can't make the trail %s: %s", path, strerror(errno));
	}
	close(file);
	return FW_OK;
}
