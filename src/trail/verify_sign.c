/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file verify_sign.c  Checks that a sign-off or release covers the entries that stand before it.
 */
#include "trail/verify_internal.h"

/* Whether these two are there at all is for the audit of the job; here only that they are true. */
static const char covers[] =
    "SELECT job, seq FROM entry WHERE kind IN ('sign', 'release') AND (?1 = 0 OR job = ?1)"
    " AND CASE WHEN json_valid(value) THEN"
    "  json_type(value, '$.count') IS NOT NULL"
    "   AND json_extract(value, '$.count') IS NOT seq - 1"
    "  OR json_type(value, '$.head') IS NOT NULL"
    "   AND lower(json_extract(value, '$.head')) IS NOT lower(hex(prev))"
    " ELSE 1 END ORDER BY job, seq";

int fw_check_signatures(struct fw_check *check, struct fw_error *err)
{
	sqlite3_stmt *row = NULL;
	int rc = sqlite3_prepare_v2(check->trail->db, covers, -1, &row, NULL);

	if (rc == SQLITE_OK)
		rc = sqlite3_bind_int64(row, 1, check->job);
	while (rc == SQLITE_OK || rc == SQLITE_ROW) {
		rc = sqlite3_step(row);
		if (rc == SQLITE_ROW)
			fw_check_flaw(
			    check, sqlite3_column_int64(row, 0), sqlite3_column_int64(row, 1),
			    "what was signed is not what stands there now",
			    "the count or head that entry %lld covers is not that of the entry before",
			    (long long)sqlite3_column_int64(row, 1));
	}
	int code = rc == SQLITE_DONE ? FW_OK : fw_check_failed(check, rc, "reading sign-offs", err);
	sqlite3_finalize(row);
	return code;
}
