/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file migrate.c  Brings a trail of an earlier format up to date, whole or not at all. */
#include "trail/verify_internal.h"

/* The first flaw is what is said; the audit tells all. */
static void keep_first(void *context, const struct fw_flaw *flaw)
{
	struct fw_error *first = context;

	if (first->code)
		return;
	if (flaw->job || flaw->seq)
		fw_fail(first, FW_ERR_TRAIL, "job %lld, entry %lld: %s", (long long)flaw->job,
		        (long long)flaw->seq, flaw->what);
	else
		fw_fail(first, FW_ERR_TRAIL, "%s", flaw->what);
}

/* A trail that isn't sound is kept as it is: it is what there is to find out what happened. A clock
 * that was set back is no reason, or its shop could never go on. */
static int check_sound(struct fw_trail *trail, struct fw_error *err)
{
	struct fw_error first = {0};
	struct fw_check check = {.trail = trail,
	                         .scope = FW_SCOPE_ALL,
	                         .any_time = true,
	                         .report = keep_first,
	                         .context = &first};
	int code = fw_check_run(&check, err);

	if (code || check.flaws == 0)
		return code;
	return fw_fail(err, FW_ERR_TRAIL,
	               "trail %s has format %d and must be brought up to date before it is written to, "
	               "but it is not sound (%s); nothing was changed: audit it, and go on with a good "
	               "copy",
	               trail->path, trail->format, first.text);
}

static int set_format(struct fw_trail *trail, struct fw_error *err)
{
	char number[64];

	sqlite3_snprintf(sizeof number, number, "PRAGMA user_version = %d", FW_TRAIL_FORMAT);
	int rc = sqlite3_exec(trail->db, number, NULL, NULL, NULL);
	if (rc != SQLITE_OK)
		return fw_sql_fail(trail, rc, "bringing it up to date", err);
	trail->format = FW_TRAIL_FORMAT;
	return FW_OK;
}

int fw_migrate(struct fw_trail *trail, struct fw_error *err)
{
	const int from = trail->format;
	int code = check_sound(trail, err);

	if (!code)
		code = fw_schema_upgrade(trail, err);
	if (!code)
		code = fw_identity_write(trail, from, err);
	if (!code)
		code = set_format(trail, err);
	if (!code)
		code = check_sound(trail, err); /* what was copied, too */
	return code;
}
