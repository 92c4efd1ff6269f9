/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shop/fields.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "fitwright/people.h"

int fw_fields_fail(const struct fw_fields *fields, struct fw_error *err, const char *format, ...)
{
	char what[FW_ERROR_TEXT];
	va_list args;

	va_start(args, format);
	vsnprintf(what, sizeof what, format, args);
	va_end(args);
	return fw_fail(err, FW_ERR_ARGUMENT, "%s:%u: %s; bring a good copy of the file back",
	               fields->path, fields->line, what);
}

static int refuse(const struct fw_fields *fields, struct fw_error *err, const char *why)
{
	return fw_fail(err, FW_ERR_ARGUMENT, "%s is not %s: it %s", fields->path, fields->what, why);
}

static int read_all(struct fw_fields *fields, int file, size_t *size, struct fw_error *err)
{
	while (*size < FW_FIELDS_MOST) {
		ssize_t got = read(file, fields->text + *size, FW_FIELDS_MOST - *size);
		if (got == 0)
			return FW_OK;
		if (got < 0 && errno != EINTR)
			return fw_fail(err, FW_ERR_ARGUMENT, "%s can't be read: %s", fields->path,
			               strerror(errno));
		if (got > 0)
			*size += (size_t)got;
	}
	return refuse(fields, err, "is too long");
}

/* Without waiting, should it be a pipe. */
static int slurp(struct fw_fields *fields, size_t *size, struct fw_error *err)
{
	struct stat status;
	int file = open(fields->path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);

	if (file < 0)
		return fw_fail(err, errno == ENOENT ? FW_ERR_NOT_FOUND : FW_ERR_ARGUMENT,
		               "%s can't be opened: %s", fields->path, strerror(errno));
	int code = fstat(file, &status) == 0 && S_ISREG(status.st_mode)
	               ? read_all(fields, file, size, err)
	               : refuse(fields, err, "isn't an ordinary file");
	close(file);
	return code;
}

/* The next line that says something, without its end; NULL when there is none. */
static char *next_line(struct fw_fields *fields)
{
	while (*fields->next) {
		char *line = fields->next;
		size_t length = strcspn(line, "\n");
		fields->next += length + (line[length] == '\n');
		fields->line++;
		line[length] = '\0';
		while (length > 0 && strchr("\r \t", line[length - 1])) /* as mail may leave it */
			line[--length] = '\0';
		if (length > 0 && line[0] != '#')
			return line;
	}
	return NULL;
}

int fw_fields_open(struct fw_fields *fields, const char *path, const char *what, const char *title,
                   struct fw_error *err)
{
	size_t size = 0;

	memset(fields, 0, sizeof *fields);
	fields->path = path;
	fields->what = what;
	fields->next = fields->text;
	int code = slurp(fields, &size, err);
	if (code != FW_OK)
		return code;
	if (strlen(fields->text) != size || !fw_utf8_check(fields->text))
		return refuse(fields, err, "isn't UTF-8 text");
	const char *line = next_line(fields);
	size_t kind = strcspn(title, "0123456789");
	if (line && strcmp(line, title) == 0)
		return FW_OK;
	if (line && strncmp(line, title, kind) == 0)
		return fw_fields_fail(fields, err, "'%s' is of another version than '%s'", line, title);
	return refuse(fields, err, "doesn't begin as one");
}

int fw_fields_text(struct fw_fields *fields, const char *name, const char **value,
                   struct fw_error *err)
{
	const char *line = next_line(fields);
	size_t length = strlen(name);

	if (!line)
		return fw_fields_fail(fields, err, "it ends before '%s'", name);
	if (strncmp(line, name, length) != 0 || line[length] != ':')
		return fw_fields_fail(fields, err, "'%s: …' belongs here", name);
	*value = line + length + 1;
	*value += strspn(*value, " \t");
	return FW_OK;
}

int fw_fields_hex(struct fw_fields *fields, const char *name, uint8_t *out, size_t size,
                  struct fw_error *err)
{
	const char *value = "";
	int code = fw_fields_text(fields, name, &value, err);

	if (code == FW_OK && !fw_hex_read(out, size, value))
		code = fw_fields_fail(fields, err, "'%s' is not %zu hex digits", name, 2 * size);
	return code;
}

int fw_fields_number(struct fw_fields *fields, const char *name, uint64_t least, uint64_t most,
                     uint64_t *out, struct fw_error *err)
{
	const char *value = "";
	uint64_t number = 0;
	int code = fw_fields_text(fields, name, &value, err);

	if (code != FW_OK)
		return code;
	bool good = *value != '\0' && strlen(value) < 18; /* more digits could run over */
	for (const char *at = value; *at && good; at++) {
		good = fw_ascii_is_digit(*at);
		number = 10 * number + (uint64_t)(unsigned char)(*at - '0');
	}
	if (!good || number < least || number > most)
		return fw_fields_fail(fields, err, "'%s' is not a whole number from %llu to %llu", name,
		                      (unsigned long long)least, (unsigned long long)most);
	*out = number;
	return FW_OK;
}

int fw_fields_end(struct fw_fields *fields, struct fw_error *err)
{
	return next_line(fields) ? fw_fields_fail(fields, err, "nothing more belongs here") : FW_OK;
}
