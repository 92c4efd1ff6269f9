/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file audit_sign.h  Between the files that audit signatures. */
#ifndef FITWRIGHT_JOB_AUDIT_SIGN_H
#define FITWRIGHT_JOB_AUDIT_SIGN_H

#include "audit_internal.h"

/* A recorded signature. Texts are borrowed from the record. */
struct fw_signed {
	const struct fw_record *record;
	enum fw_purpose purpose;
	const char *name, *role, *meaning;
	bool keyed;
};

/* The people as the shop's log had them after `until` entries (0: all). */
struct fw_audit_log {
	struct fw_people people;
	int64_t until;
	bool looked, loaded;
};

/* The audit of all signatures of a job. */
struct fw_audit_signer {
	struct fw_audit *audit;
	struct fw_records *records;
	struct fw_audit_log now, then; /* see fw_audit_people() */
	int64_t least;      /* entries that the shop's log had by what was recorded before */
	bool keys_at_begin; /* the shop had people when the job began */
	bool signed_off;
};

/* The people after `count` entries of the shop's log (0: all), until the next call with another count, those of
 * all until the end; NULL: they can't be read, which was said. */
const struct fw_people *fw_audit_people(struct fw_audit_signer *signer, int64_t count);
void fw_audit_people_free(struct fw_audit_signer *signer);
/* Says something about a signature; BROKEN also about one that doesn't stand any more. */
void fw_audit_say_signed(struct fw_audit *audit, enum fw_audit_weight weight,
                         const struct fw_signed *it, const char *problem, const char *means);
/* Whether a signature was made by that person's key, over this record. */
bool fw_audit_key(struct fw_audit_signer *signer, const struct fw_signed *it);

#endif
