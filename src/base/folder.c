/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/folder.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

char *fw_folder_above(const char *path)
{
	const char *slash = strrchr(path, '/');

	return slash ? strndup(path, slash == path ? 1 : (size_t)(slash - path)) : strdup(".");
}

int fw_folder_sync_above(const char *path, struct fw_error *err)
{
	char *above = fw_folder_above(path);
	int code = FW_OK;

	if (!above)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int folder = open(above, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
	/* Some network file systems know no fsync of a folder (EINVAL); a folder one may write to but
	 * not read can't be opened. Neither is a failed disk. */
	if (folder >= 0 && fsync(folder) != 0 && errno != EINVAL)
		code = fw_fail(err, FW_ERR_TRAIL, "can't get the folder %s onto the disk: %s", above,
		               strerror(errno));
	if (folder >= 0)
		close(folder);
	free(above);
	return code;
}
