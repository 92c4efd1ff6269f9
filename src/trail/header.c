/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file header.c  The first hundred bytes of an SQLite file ("Database File Format", 1.3). */
#include "trail/trail_internal.h"

#include <string.h>

enum {
	HEADER = 100,
	PAGE_SIZE = 16,
	WRITE_VERSION = 18,
	PAGES = 28,
	FORMAT = 60,
	APPLICATION = 68
};

static uint32_t number_at(const unsigned char *header, int offset)
{
	const unsigned char *p = header + offset;
	return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | p[3];
}

static uint32_t page_size(const unsigned char *header)
{
	uint32_t size = (uint32_t)header[PAGE_SIZE] << 8 | header[PAGE_SIZE + 1];
	return size == 1 ? 65536 : size;
}

int fw_header_read(struct fw_trail *trail, struct fw_header *out, struct fw_error *err)
{
	static const char magic[16] = "SQLite format 3";
	unsigned char header[HEADER] = {0};
	sqlite3_file *file = NULL;

	memset(out, 0, sizeof *out);
	int code = sqlite3_file_control(trail->db, "main", SQLITE_FCNTL_FILE_POINTER, &file);
	if (code == SQLITE_OK && (!file || !file->pMethods))
		code = SQLITE_CANTOPEN;
	if (code == SQLITE_OK)
		code = file->pMethods->xFileSize(file, &out->size);
	if (code == SQLITE_OK && out->size > 0)
		code = file->pMethods->xRead(file, header, HEADER, 0);
	if (code != SQLITE_OK && code != SQLITE_IOERR_SHORT_READ)
		return fw_sql_fail(trail, code, "reading its header", err);
	out->sqlite = memcmp(header, magic, sizeof magic) == 0;
	out->wal = header[WRITE_VERSION] > 1 || header[WRITE_VERSION + 1] > 1;
	out->application = number_at(header, APPLICATION);
	out->format = number_at(header, FORMAT);
	out->promised = (uint64_t)number_at(header, PAGES) * page_size(header);
	return FW_OK;
}
