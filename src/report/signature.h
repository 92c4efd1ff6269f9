/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file signature.h  Signatures and concessions as a report tells them. */
#ifndef FITWRIGHT_REPORT_SIGNATURE_H
#define FITWRIGHT_REPORT_SIGNATURE_H

#include "report/model.h"

/** What stands behind a name. */
enum fw_report_hand {
	FW_HAND_NAME, /**< the name alone */
	FW_HAND_KEY,  /**< a key that the shop's log knows as that person's, and the signature fits */
	FW_HAND_STRANGER, /**< the signature fits its key, which isn't known as that person's */
	FW_HAND_RETIRED, /**< that person's key, which was retired or replaced by then */
	FW_HAND_BAD      /**< it says a key, and the signature doesn't fit */
};

/** Strings are borrowed from the job; NULL where it doesn't say. */
struct fw_report_signature {
	const struct fw_report_entry *entry;
	const char *name, *role, *meaning, *reason;
	enum fw_purpose purpose;
	enum fw_report_hand hand;
	char key[FW_FINGERPRINT_TEXT]; /**< "" when it says none */
	bool independent, dependent;   /**< as recorded; neither: it doesn't say */
};

/** Reads a `sign` or `reopen` entry. */
void fw_report_signature(struct fw_report_signature *out, const struct fw_report_job *job,
                         const struct fw_report_entry *entry);
/** The next signature or reopening that stands after `entry` (NULL: the first), or NULL. */
const struct fw_report_entry *fw_report_next_signature(const struct fw_report_job *job,
                                                       const struct fw_report_entry *entry);
/** "signed", "hold point", "concession", "job reopened". */
const char *fw_report_purpose_text(enum fw_purpose purpose);
/** "by key 12ab 34cd 56ef 7890", "by name alone", or what is wrong; in `buffer`. */
const char *fw_report_hand_text(char *buffer, size_t size, const struct fw_report_signature *sign);
/** Whether a reader must be warned of it: another key's, one out of use, or none that fits. */
bool fw_report_hand_wrong(const struct fw_report_signature *sign);
/** "independent of who did the work", "not independent: also did the work"; NULL: it doesn't say.
 */
const char *fw_report_independence(const struct fw_report_signature *sign);

/** Leave to use what isn't within its limits: the signature that gives it, and what it is about.
 * Either may be missing in a trail that is odd, not both. */
struct fw_report_concession {
	const struct fw_report_entry *sign;    /**< NULL: found, and nobody signed */
	const struct fw_report_entry *finding; /**< NULL: signed, and nothing was found */
};
/** Those that stand, in order, into a new list. */
int fw_report_concessions(struct fw_report_concession **out, size_t *count,
                          const struct fw_report_job *job, struct fw_error *err);
/** What was conceded; why; never NULL. */
const char *fw_report_conceded_name(const struct fw_report_concession *concession);
const char *fw_report_conceded_reason(const struct fw_report_concession *concession);

#endif
