/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/passphrase.h"

#include <errno.h>
#include <fcntl.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "cli/cli.h"

/* Longest line of a file of passphrases. */
#define LINE 2048

char *fw_passphrase_new(void)
{
	char *passphrase = sodium_init() < 0 ? NULL : sodium_malloc(FW_PASSPHRASE);
	if (passphrase)
		passphrase[0] = '\0';
	return passphrase;
}

void fw_passphrase_free(char *passphrase)
{
	sodium_free(passphrase);
}

/* Lines of a file, read byte by byte so that no more of it lies about in memory than is looked at.
 */
struct lines {
	int file;
	const char *path;
	unsigned line;
	char *text; /* LINE bytes, guarded */
};

void fw_passphrase_warn(const char *path)
{
	struct stat status;

	if (path && stat(path, &status) == 0 && S_ISREG(status.st_mode) &&
	    (status.st_mode & (S_IRWXG | S_IRWXO)))
		fw_cli_fail(FW_EXIT_FINE, "others may read or change the passphrases in %s: chmod 600 %s",
		            path, path);
}

static int open_lines(struct lines *lines, const char *path, struct fw_error *err)
{
	bool standard = strcmp(path, "-") == 0;

	memset(lines, 0, sizeof *lines);
	lines->path = standard ? "standard input" : path;
	lines->file = standard ? dup(STDIN_FILENO) : open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
	if (lines->file < 0) {
		fw_fail(err, FW_ERR_NOT_FOUND, "%s: can't open the passphrase: %s", path, strerror(errno));
		return FW_ERR_NOT_FOUND;
	}
	lines->text = sodium_init() < 0 ? NULL : sodium_malloc(LINE);
	if (lines->text)
		return FW_OK;
	close(lines->file);
	fw_fail(err, FW_ERR_MEMORY, "out of memory");
	return FW_ERR_MEMORY;
}

static void close_lines(struct lines *lines)
{
	close(lines->file);
	sodium_free(lines->text);
}

/* The next line without its end. 1, 0 at the end of the file, or an error. */
static int next_line(struct lines *lines, struct fw_error *err)
{
	size_t length = 0;
	ssize_t got;
	char byte = 0;

	lines->line++;
	while ((got = read(lines->file, &byte, 1)) != 0 && byte != '\n') {
		if (got < 0 && errno == EINTR)
			continue;
		if (got < 0)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s can't be read: %s", lines->path,
			               strerror(errno));
		if (length + 1 >= LINE)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s:%u: the line is too long", lines->path,
			               lines->line);
		lines->text[length++] = byte;
	}
	if (length > 0 && lines->text[length - 1] == '\r')
		length--;
	lines->text[length] = '\0';
	return length > 0 || got > 0;
}

static int take(char *out, const struct lines *lines, const char *passphrase, struct fw_error *err)
{
	if (strlen(passphrase) >= FW_PASSPHRASE)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s:%u: that is too long for a passphrase",
		               lines->path, lines->line);
	if (!*passphrase)
		return fw_fail(err, FW_ERR_ARGUMENT, "%s:%u: no passphrase stands here", lines->path,
		               lines->line);
	memcpy(out, passphrase, strlen(passphrase) + 1);
	return FW_OK;
}

int fw_passphrase_file(char *out, const char *path, struct fw_error *err)
{
	struct lines lines;
	int code = open_lines(&lines, path, err);

	if (code != FW_OK)
		return code;
	lines.text[0] = '\0';
	code = next_line(&lines, err);
	code = code < 0 ? code : take(out, &lines, lines.text, err);
	close_lines(&lines);
	return code;
}

/* What stands behind "name:", the name alike whatever its case; NULL: it is another's line. */
static const char *behind_name(const char *line, const char *name)
{
	line += strspn(line, " \t");
	for (; *name; name++, line++)
		if (fw_ascii_lower(*line) != fw_ascii_lower(*name))
			return NULL;
	line += strspn(line, " \t");
	if (*line != ':')
		return NULL;
	return line + 1 + strspn(line + 1, " \t");
}

int fw_passphrase_of(char *out, const char *path, const char *name, unsigned *line,
                     struct fw_error *err)
{
	struct lines lines;
	const char *passphrase = NULL;
	int code = open_lines(&lines, path, err);

	if (code != FW_OK)
		return code;
	while (!passphrase && (code = next_line(&lines, err)) > 0)
		if (lines.text[0] != '#')
			passphrase = behind_name(lines.text, name);
	*line = lines.line;
	if (passphrase)
		code = take(out, &lines, passphrase, err);
	else if (code == 0)
		code = fw_fail(err, FW_ERR_NOT_FOUND, "%s has no line '%s: …'", path, name);
	close_lines(&lines);
	return code;
}
