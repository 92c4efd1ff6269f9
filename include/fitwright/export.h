/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file export.h
 * The record in forms that other programs read: all of it as JSON, tables of it as CSV. An excerpt, which is a
 * trail itself, is made by fw_trail_export(). docs/records.md describes both forms.
 */
#ifndef FITWRIGHT_EXPORT_H
#define FITWRIGHT_EXPORT_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "fitwright/error.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

/** In place of a job's number: all of them. */
#define FW_EXPORT_ALL (-1)

/**
 * Writes every entry of `job` and of the shop's log (FW_EXPORT_ALL: of all jobs) with all columns to the letter,
 * and the sources they name, as one JSON document: who has it can check the chain without the trail. Evidence is
 * named, not held. Nothing is checked here. FW_ERR_NOT_FOUND, FW_ERR_TRAIL.
 */
int fw_export_json(FILE *out, struct fw_trail *trail, int64_t job, struct fw_error *err);

/** The tables there are, in a fixed order: "readings", "measurements" …; NULL behind the last. */
const char *fw_export_table_at(size_t index);
bool fw_export_table_find(size_t *index, const char *name);

/**
 * Writes one table as CSV (RFC 4180, UTF-8): a header line, then a line for each row of `job` or of all jobs,
 * oldest first. Rows that were struck out are left out, unless `struck`: then the last column says by which entry.
 * FW_ERR_ARGUMENT: no such table; FW_ERR_NOT_FOUND, FW_ERR_TRAIL.
 */
int fw_export_csv(FILE *out, struct fw_trail *trail, int64_t job, size_t table, bool struck,
                  struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
