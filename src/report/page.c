/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page as a whole: HTML that is well-formed XML too, so that any tool can read it. */
#include "report/html.h"
#include "report/put.h"
#include "report/writers.h"

static void put_head(FILE *out, const struct fw_report_job *job)
{
	fputs(
	    "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n<head>\n"
	    "<meta charset=\"utf-8\"/>\n"
	    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; "
	    "media-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\"/>\n"
	    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>",
	    out);
	fw_put_cut(out, fw_get_text(fw_report_begin(job), "unit"), 80);
	fprintf(out, " – job %lld</title>\n", (long long)job->number);
	fw_html_style(out);
	fputs("</head>\n<body>\n", out);
}

void fw_report_html(FILE *out, const struct fw_report_job *job,
                    const struct fw_report_outcome *outcome,
                    const struct fw_report_options *options)
{
	put_head(out, job);
	fw_html_title(out, job, outcome);
	fw_html_outcome(out, job, outcome);
	fw_html_signatures(out, job, outcome);
	fw_html_trials(out, job);
	fw_html_parts(out, job);
	fw_html_joints(out, job);
	fw_html_worked(out, job);
	fw_html_grids(out, job);
	fw_html_notes(out, job);
	fw_html_measurements(out, job);
	fw_html_gauges(out, outcome);
	fw_html_evidence(out, job, options);
	fw_html_log(out, job);
	fw_html_sources(out, job);
	fputs("</body>\n</html>\n", out);
}
