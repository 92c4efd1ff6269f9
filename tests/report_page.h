/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file report_page.h  A report as a test looks at it. PLACE says where files may be left. */
#ifndef FITWRIGHT_TESTS_REPORT_PAGE_H
#define FITWRIGHT_TESTS_REPORT_PAGE_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "check.h"
#include "fitwright/report.h"

static inline struct fw_trail *open_trail(void)
{
	struct fw_error error;
	struct fw_trail *trail = NULL;

	unlink(PLACE ".db");
	unlink(PLACE ".db-wal");
	unlink(PLACE ".db-shm");
	assert_ok(fw_trail_open(&trail, PLACE ".db", FW_TRAIL_CREATE, &error));
	return trail;
}

static inline char *report(struct fw_trail *trail, int64_t job, enum fw_report_format format)
{
	struct fw_error error;
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	assert_non_null(out);
	assert_ok(fw_report_write(out, trail, job, format, &error));
	fclose(out);
	char *copy = strdup(bytes);
	free(bytes);
	assert_non_null(copy);
	return copy;
}

static inline void keep(const char *path, const char *text)
{
	FILE *out = fopen(path, "w");

	assert_non_null(out);
	fputs(text, out);
	assert_int_equal(fclose(out), 0);
}

/* Places with `text` that isn't followed by `but`. */
static inline size_t places(const char *page, const char *text, const char *but)
{
	size_t found = 0;

	for (const char *at = page; (at = strstr(at, text)); at += strlen(text))
		found += strncmp(at + strlen(text), but, strlen(but)) != 0;
	return found;
}

/* Counts places that look like a reference to elsewhere; the two XML namespaces are names only. */
static inline size_t references(const char *page)
{
	static const char policy[] =
	    "http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; ";
	size_t found = 0;

	for (const char *at = page; (at = strstr(at, "http")); at += 4)
		if (strncmp(at - 7, "xmlns=\"http://www.w3.org/", 25) != 0 &&
		    strncmp(at, policy, sizeof policy - 1) != 0)
			found++;
	found += strstr(page, "<script") != NULL || strstr(page, "<link") != NULL ||
	         places(page, " src=", "\"data:") != 0 || strstr(page, " href=") != NULL ||
	         strstr(page, "url(") != NULL || strstr(page, "@import") != NULL;
	return found;
}

static inline void assert_well_formed(const char *name, const char *page)
{
	char path[512], command[700];

	snprintf(path, sizeof path, PLACE "-%s.html", name);
	keep(path, page);
	snprintf(command, sizeof command, "xmllint --nonet --noout '%s'", path);
	int status = system(command);
	if (status != 0)
		fail_msg("xmllint (libxml2-utils) refuses %s", path);
	if (references(page))
		fail_msg("%s refers to something outside of itself", path);
}

static inline size_t count(const char *text, const char *part)
{
	size_t found = 0;

	for (const char *at = text; (at = strstr(at, part)); at += strlen(part))
		found++;
	return found;
}

#endif
