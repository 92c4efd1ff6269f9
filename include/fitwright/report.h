/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file report.h
 * The job on paper: drawn from the trail alone, no procedure is run.
 */
#ifndef FITWRIGHT_REPORT_H
#define FITWRIGHT_REPORT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "fitwright/error.h"
#include "fitwright/trail.h"

#ifdef __cplusplus
extern "C" {
#endif

enum fw_report_format {
	FW_REPORT_HTML,   /**< one file, no outside references, figures in SVG, prints well */
	FW_REPORT_JSON,   /**< everything in the trail of the job, docs/report.md describes it */
	FW_REPORT_TEXT,   /**< as `fitwright show` prints it, 80 columns */
	FW_REPORT_ANSWERS /**< the standing answers as an answers file, to begin the job anew with a
	                       mended procedure; signatures are left out, with a comment */
};

/** Writes the report of `job` to `out` (UTF-8). FW_ERR_NOT_FOUND, FW_ERR_TRAIL. A failing write is
 *  FW_ERR_TRAIL with the reason. */
int fw_report_write(FILE *out, struct fw_trail *trail, int64_t job, enum fw_report_format format,
                    struct fw_error *err);

/** What becomes of attached files. */
enum fw_report_evidence {
	FW_REPORT_EVIDENCE_INLINE, /**< pictures (JPEG, PNG, GIF, WebP) and sounds in the page, others by name */
	FW_REPORT_EVIDENCE_LIST,   /**< by name, kind, size and hash */
	FW_REPORT_EVIDENCE_NONE    /**< in the log only */
};

/** Largest file that stands in a page, in bytes, unless said otherwise. */
#define FW_REPORT_INLINE ((size_t)8 * 1024 * 1024)

struct fw_report_options {
	enum fw_report_evidence evidence; /**< of FW_REPORT_HTML */
	size_t inline_most;               /**< larger files are listed */
};

/** As fw_report_write(); `options` NULL: inline, up to FW_REPORT_INLINE. */
int fw_report_write_with(FILE *out, struct fw_trail *trail, int64_t job, enum fw_report_format format,
                         const struct fw_report_options *options, struct fw_error *err);

/** What a list of jobs tells of one beyond its line. */
struct fw_job_points {
	size_t concessions; /**< that stand */
	size_t holds;       /**< hold points signed, that stand */
	size_t dependent;   /**< of both, signed by somebody who also did the work */
	size_t by_name;     /**< signatures that stand and are by name alone */
	size_t amended;     /**< answers that stand amended */
	size_t evidence;    /**< files attached */
	bool reopened;      /**< opened again, and that stands */
	bool released;
	char released_by[201]; /**< name under the last sign-off that stands; "" while it isn't released */
};
/** Reads one job for these; signatures aren't checked. FW_ERR_NOT_FOUND, FW_ERR_TRAIL. */
int fw_report_points(struct fw_job_points *out, struct fw_trail *trail, int64_t job, struct fw_error *err);

#ifdef __cplusplus
}
#endif

#endif
