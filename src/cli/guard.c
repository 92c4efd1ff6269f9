/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report must never be written over. */
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/cli.h"

/* First bytes of every SQLite 3 file, with their zero (The SQLite Database File Format, 1.3.1). */
static const char sqlite_header[] = "SQLite format 3";

/* Only a plain file is opened: a pipe would wait for a writer. */
static bool is_database(const char *path)
{
	struct stat status;
	char start[sizeof sqlite_header];

	if (stat(path, &status) != 0 || !S_ISREG(status.st_mode))
		return false;
	FILE *file = fopen(path, "rb");
	if (!file)
		return false;
	size_t got = fread(start, 1, sizeof start, file);
	fclose(file);
	return got == sizeof start && memcmp(start, sqlite_header, sizeof start) == 0;
}

static bool same_file(const char *a, const char *b)
{
	struct stat one, other;

	return stat(a, &one) == 0 && stat(b, &other) == 0 && one.st_dev == other.st_dev &&
	       one.st_ino == other.st_ino;
}

/* What SQLite, or this program, would read as part of the database beside it. */
static bool is_sidecar(const char *path)
{
	static const char *const endings[] = {"-journal", "-wal", "-shm", "-benches"};
	size_t length = strlen(path);
	char database[4096];

	for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
		size_t ending = strlen(endings[i]);
		if (length <= ending || length - ending >= sizeof database ||
		    strcmp(path + length - ending, endings[i]) != 0)
			continue;
		memcpy(database, path, length - ending);
		database[length - ending] = '\0';
		if (is_database(database))
			return true;
	}
	return false;
}

int fw_output_guard(const char *path, const char *trail, struct fw_error *err)
{
	const char *what = same_file(path, trail) ? "this is the record itself"
	                   : is_sidecar(path)     ? "this name belongs to a database's own files"
	                   : is_database(path)    ? "this is a database, perhaps another record"
	                                          : NULL;

	if (!what)
		return FW_OK;
	return fw_fail(err, FW_ERR_ARGUMENT,
	               "%s: %s; nothing was written. Give another file with --output", path, what);
}
