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

/* The audit of all signatures of a job. */
struct fw_audit_signer {
	struct fw_audit *audit;
	struct fw_records *records;
	struct fw_people people; /* as the shop's log had them after `until` entries; see fw_audit_people() */
	int64_t until;
	bool looked, loaded;
	bool keys_at_begin; /* the shop had people when the job began */
	bool signed_off;
};

/* The people after `count` entries of the shop's log (0: all), until the next call; NULL: they can't be read,
 * which was said. */
const struct fw_people *fw_audit_people(struct fw_audit_signer *signer, int64_t count);
/* Says something about a signature; BROKEN also about one that doesn't stand any more. */
void fw_audit_say_signed(struct fw_audit *audit, enum fw_audit_weight weight,
                         const struct fw_signed *it, const char *problem, const char *means);
/* Whether a signature was made by that person's key, over this record. */
bool fw_audit_key(struct fw_audit_signer *signer, const struct fw_signed *it);

#endif
