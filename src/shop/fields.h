/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file fields.h
 * Small text files of one field a line, "name: value", in a fixed order under a line that says what
 * the file is. Blank lines and lines that begin with '#' are passed over. A file may be hostile.
 */
#ifndef FITWRIGHT_SHOP_FIELDS_H
#define FITWRIGHT_SHOP_FIELDS_H

#include <stddef.h>
#include <stdint.h>

#include "fitwright/error.h"

/** Longest file taken, in bytes. */
#define FW_FIELDS_MOST 4096

struct fw_fields {
	const char *path; /* borrowed, for messages */
	const char *what; /* "a key file" */
	char *next;       /* where the next line begins in `text` */
	unsigned line;    /* number of the last line taken */
	char text[FW_FIELDS_MOST + 1];
};

/** Reads the file and takes its first line, which must be `title`. FW_ERR_NOT_FOUND,
 * FW_ERR_ARGUMENT. */
int fw_fields_open(struct fw_fields *fields, const char *path, const char *what, const char *title,
                   struct fw_error *err);
/** The value of the next line, which must be that of `name`. Borrowed. FW_ERR_ARGUMENT with
 * file:line. */
int fw_fields_text(struct fw_fields *fields, const char *name, const char **value,
                   struct fw_error *err);
/** As hex of exactly `size` bytes. */
int fw_fields_hex(struct fw_fields *fields, const char *name, uint8_t *out, size_t size,
                  struct fw_error *err);
/** As a whole number from `least` to `most`. */
int fw_fields_number(struct fw_fields *fields, const char *name, uint64_t least, uint64_t most,
                     uint64_t *out, struct fw_error *err);
/** Nothing more may follow. */
int fw_fields_end(struct fw_fields *fields, struct fw_error *err);
/** Says what is wrong with the last line taken. Returns FW_ERR_ARGUMENT. */
int fw_fields_fail(const struct fw_fields *fields, struct fw_error *err, const char *format, ...)
    FW_PRINTF(3, 4);

#endif
