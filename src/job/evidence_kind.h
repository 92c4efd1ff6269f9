/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file evidence_kind.h  What a file is, by its first bytes, whatever its name says. */
#ifndef FITWRIGHT_JOB_EVIDENCE_KIND_H
#define FITWRIGHT_JOB_EVIDENCE_KIND_H

#include <stdbool.h>
#include <stddef.h>

/* Media type ("image/jpeg") of what can be kept as evidence, or NULL. */
const char *fw_evidence_kind(const void *bytes, size_t size);
/* What it is called in a sentence: "a JPEG photo"; the media type itself when it isn't ours. */
const char *fw_evidence_words(const char *kind);
/* Whether the ending of a file's name is one that such files have. A name without ending fits. */
bool fw_evidence_name_fits(const char *kind, const char *name);
/* "JPEG, PNG, …": all that can be kept. */
extern const char fw_evidence_kinds[];

#endif
