/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file audit.h  The audit of one job, of all, and of a head that stands on paper. */
#ifndef FITWRIGHT_CLI_AUDIT_H
#define FITWRIGHT_CLI_AUDIT_H

#include <jansson.h>

#include "cli/cli.h"

/** Where the lines of an audit go. */
struct fw_audit_view {
	struct fw_screen screen;
	json_t *lines; /**< collected here; NULL: shown in words at once */
	bool many;     /**< of several jobs: each line says of which */
	bool quiet;    /**< in words: counted alone */
	bool failed;   /**< out of memory while collecting */
};

/** For fw_job_audit(): `context` is a struct fw_audit_view. */
void fw_audit_take_line(void *context, const struct fw_audit_line *line);

/** One job, or with number 0 the file, as JSON; `lines` is borrowed. NULL when out of memory. */
json_t *fw_audit_object(int64_t job, const struct fw_audit_sum *sum, json_t *lines);

/** How sound: the style and the word for it. */
enum fw_style fw_audit_style(const struct fw_audit_sum *sum);

/** A head as printed, read from hex in groups; false when it is none. */
bool fw_audit_read_head(uint8_t out[FW_HASH], const char *text);

/** Looks for the head among the entries of the job, and adds what that says to view and sum. */
int fw_audit_paper(struct fw_trail *trail, int64_t job, const uint8_t head[FW_HASH],
                   struct fw_audit_view *view, struct fw_audit_sum *sum, struct fw_error *err);

/** Cards that were brought along. */
struct fw_audit_cards {
	struct fw_card *card;
	size_t count;
};
/** Reads a card, or all of a folder ("NAME.card"), and adds them. Message with the file. */
int fw_audit_cards_add(struct fw_audit_cards *cards, const char *path, struct fw_error *err);
void fw_audit_cards_free(struct fw_audit_cards *cards);

/** What an audit of all is told. */
struct fw_audit_options {
	bool json;
	unsigned threads; /**< 0: as many as there are processors */
	struct fw_audit_given given;
};
/** The file, then every job of it. Returns an exit status. */
int fw_audit_all(struct fw_cli *cli, const struct fw_audit_options *options);

#endif
