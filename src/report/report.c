/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitwright/report.h"

#include <errno.h>
#include <string.h>

#include "report/writers.h"

static int write_as(FILE *out, const struct fw_report_job *job,
                    const struct fw_report_outcome *outcome, enum fw_report_format format,
                    const struct fw_report_options *options, struct fw_error *err)
{
	switch (format) {
	case FW_REPORT_HTML:
		fw_report_html(out, job, outcome, options);
		return FW_OK;
	case FW_REPORT_JSON:
		return fw_report_json(out, job, outcome, err);
	case FW_REPORT_TEXT:
		fw_report_text(out, job, outcome);
		return FW_OK;
	case FW_REPORT_ANSWERS:
		fw_report_answers_file(out, job);
		return FW_OK;
	}
	return fw_fail(err, FW_ERR_ARGUMENT, "report: unknown format %d", (int)format);
}

static int finish(FILE *out, int64_t job, struct fw_error *err)
{
	errno = 0;
	if (fflush(out) == 0 && !ferror(out))
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL,
	               "job %lld: the report can't be written: %s; nothing is lost, "
	               "write it again where there is room",
	               (long long)job, errno ? strerror(errno) : "the output refused it");
}

int fw_report_write(FILE *out, struct fw_trail *trail, int64_t job, enum fw_report_format format,
                    struct fw_error *err)
{
	return fw_report_write_with(out, trail, job, format, NULL, err);
}

int fw_report_write_with(FILE *out, struct fw_trail *trail, int64_t job,
                         enum fw_report_format format, const struct fw_report_options *options,
                         struct fw_error *err)
{
	static const struct fw_report_options usual = {FW_REPORT_EVIDENCE_INLINE, FW_REPORT_INLINE};
	struct fw_report_job read;
	struct fw_report_outcome outcome = {.count = 0};

	int code = fw_report_read(&read, trail, job, err);
	if (code == FW_OK)
		code = fw_report_judge(&outcome, &read, err);
	if (code == FW_OK)
		code = write_as(out, &read, &outcome, format, options ? options : &usual, err);
	if (code == FW_OK)
		code = finish(out, job, err);
	fw_report_outcome_free(&outcome);
	fw_report_free(&read);
	return code;
}
