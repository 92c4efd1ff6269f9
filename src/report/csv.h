/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file csv.h  Tables of entries as CSV: which entries, which columns. */
#ifndef FITWRIGHT_REPORT_CSV_H
#define FITWRIGHT_REPORT_CSV_H

#include "report/model.h"

enum fw_csv_from {
	FW_CSV_ASK,
	FW_CSV_VALUE,
	FW_CSV_FLAG, /* of the value: 1, or 0 when it is absent */
	FW_CSV_TYPED,
	FW_CSV_AMENDED, /* 1 for an amendment */
	FW_CSV_PURPOSE, /* of a signature */
	FW_CSV_COUNT    /* how many a list of the question has */
};

struct fw_csv_column {
	const char *name;
	enum fw_csv_from from;
	const char *path; /* "quantity.text"; "settings.-1" is the last of a list */
};

struct fw_csv_table {
	const char *name;
	const char *find;                    /* findings of this sort; NULL: other entries */
	const char *kinds[3];                /* kinds of entry, when `find` is NULL */
	const char *key, *word;              /* and `key` of the question is `word`; NULL: any */
	const struct fw_csv_column *columns; /* behind those that all have; name NULL ends them */
};

/* In the order of fw_export_table_at(); name NULL ends them. */
extern const struct fw_csv_table fw_csv_tables[];

/* One cell, quoted where RFC 4180 asks for it. A text that a spreadsheet could take for a formula
 * gets an apostrophe in front. NULL: empty. */
void fw_csv_text(FILE *out, const char *text);

/* Header and rows. `struck`: with those struck out. */
void fw_csv_head(FILE *out, const struct fw_csv_table *table, bool struck);
void fw_csv_rows(FILE *out, const struct fw_csv_table *table, const struct fw_report_job *job,
                 bool struck);

#endif
