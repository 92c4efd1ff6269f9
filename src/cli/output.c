/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath() */

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/folder.h"
#include "cli/cli.h"

static int fail(struct fw_error *err, const char *path, const char *what)
{
	return fw_fail(err, FW_ERR_TRAIL, "%s: can't %s: %s", path, what, strerror(errno));
}

/* ---- a file that is taken away when the program is ended from outside ---- */

static const int ending[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};

static char *volatile unfinished;

static void on_end(int number)
{
	if (unfinished)
		unlink(unfinished);
	signal(number, SIG_DFL);
	raise(number); /* comes when this returns, and ends the program */
}

/* Those that are cared for otherwise, or ignored, stay so. */
static void set_ending(void (*from)(int), void (*to)(int))
{
	struct sigaction action = {.sa_handler = to}, now;

	sigemptyset(&action.sa_mask);
	for (size_t i = 0; i < sizeof ending / sizeof *ending; i++)
		if (sigaction(ending[i], NULL, &now) == 0 && now.sa_handler == from)
			sigaction(ending[i], &action, NULL);
}

/* Makes it and watches over it at once: no signal comes between. */
static int make_watched(char *temporary)
{
	sigset_t all, before;

	sigfillset(&all);
	sigprocmask(SIG_BLOCK, &all, &before);
	int descriptor = mkstemp(temporary);
	if (descriptor >= 0) {
		unfinished = temporary;
		set_ending(SIG_DFL, on_end);
	}
	sigprocmask(SIG_SETMASK, &before, NULL);
	return descriptor;
}

static void unwatch(void)
{
	set_ending(on_end, SIG_DFL);
	unfinished = NULL;
}

/* ---- the file ---- */

static void forget(struct fw_output *output)
{
	unwatch();
	free(output->path);
	free(output->temporary);
	memset(output, 0, sizeof *output);
}

/* Through links: it is the file that is replaced, not the link. A file that isn't there yet is
 * taken as named. */
static char *resolve(const char *path)
{
	char *real = realpath(path, NULL);
	return real ? real : strdup(path);
}

static bool is_special(const char *path)
{
	struct stat status;
	return stat(path, &status) == 0 && !S_ISREG(status.st_mode);
}

static int open_temporary(struct fw_output *output, struct fw_error *err)
{
	size_t size = strlen(output->path) + 8;
	mode_t mask = umask(0);
	umask(mask);

	output->temporary = malloc(size);
	if (!output->temporary)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	snprintf(output->temporary, size, "%s.XXXXXX", output->path);
	int descriptor = make_watched(output->temporary);
	if (descriptor < 0)
		return fail(err, output->path, "create a file beside it");
	if (fchmod(descriptor, 0666 & ~mask) == 0)
		output->file = fdopen(descriptor, "w");
	if (!output->file) {
		int code = fail(err, output->path, "write");
		close(descriptor);
		unlink(output->temporary);
		return code;
	}
	return FW_OK;
}

int fw_output_open(struct fw_output *output, const char *path, struct fw_error *err)
{
	memset(output, 0, sizeof *output);
	output->path = resolve(path);
	if (!output->path)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");

	int code = FW_OK;
	if (is_special(output->path)) {
		output->file = fopen(output->path, "w");
		if (!output->file)
			code = fail(err, path, "write");
	} else {
		code = open_temporary(output, err);
	}
	if (code != FW_OK)
		forget(output);
	return code;
}

void fw_output_abandon(struct fw_output *output)
{
	if (output->file)
		fclose(output->file);
	if (output->temporary)
		unlink(output->temporary);
	forget(output);
}

int fw_output_commit(struct fw_output *output, struct fw_error *err)
{
	errno = 0;
	bool written = fflush(output->file) == 0 && !ferror(output->file);
	if (written && output->temporary)
		written = fsync(fileno(output->file)) == 0;
	if (!written) {
		int code = fail(err, output->path, "write");
		fw_output_abandon(output);
		return code;
	}

	int closed = fclose(output->file);
	output->file = NULL;
	if (closed != 0 || (output->temporary && rename(output->temporary, output->path) != 0)) {
		int code = fail(err, output->path, "put it in place");
		fw_output_abandon(output);
		return code;
	}
	int code = output->temporary ? fw_folder_sync_above(output->path, err) : FW_OK;
	forget(output);
	return code;
}
