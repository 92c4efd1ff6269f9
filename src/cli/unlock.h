/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file unlock.h  How commands come by a signer's key: --keys, --passphrases, the terminal. */
#ifndef FITWRIGHT_CLI_UNLOCK_H
#define FITWRIGHT_CLI_UNLOCK_H

#include "cli/cli.h"

/** What unlocking a key for a job needs to know. Borrowed by the struct fw_unlock made of it. */
struct fw_unlocker {
	const struct fw_cli *cli;
	struct fw_trail *trail;
	int64_t job;
	bool answers_on_stdin; /**< nobody is to be asked at a terminal behind a pipe of answers */
};
/** For fw_job_set_unlock() and fw_job_reopen(). */
struct fw_unlock fw_cli_unlock(struct fw_unlocker *unlocker);

/** The key of a person, for what `about` says (lines to show at the terminal; NULL: none). As
 * fw_unlock.unlock. */
int fw_cli_unlock_person(struct fw_secret **out, const struct fw_cli *cli,
                         const struct fw_person *person, bool answers_on_stdin, const char *about,
                         struct fw_error *err);
/** The folder of keys of this run: in `buffer` or borrowed; NULL with `err` filled. */
const char *fw_cli_keys(const struct fw_cli *cli, char *buffer, size_t size, struct fw_error *err);

#endif
