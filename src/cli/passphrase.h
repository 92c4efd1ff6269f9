/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file passphrase.h  Where passphrases come from: a person at the terminal, or a file. */
#ifndef FITWRIGHT_CLI_PASSPHRASE_H
#define FITWRIGHT_CLI_PASSPHRASE_H

#include <stdbool.h>

#include "fitwright/error.h"

/** Longest passphrase in bytes, with its zero. */
#define FW_PASSPHRASE 1024

/** Where a person is asked. */
struct fw_tty {
	int in, out;
	bool opened; /* close them */
};

/** The terminal on standard input; else, unless the answers come from there, that of the session: a
 * run whose answers come down a pipe has nobody to ask, and mustn't wait for one. FW_ERR_NOT_FOUND:
 * none. */
int fw_tty_open(struct fw_tty *tty, bool answers_on_stdin, struct fw_error *err);
void fw_tty_close(struct fw_tty *tty);
/** Shows a text as it is. */
void fw_tty_say(const struct fw_tty *tty, const char *text);
/** Asks for a line that isn't echoed. What was typed ahead is thrown away. The terminal is given
 * back as it was whatever happens, and a signal that came meanwhile is raised again after that.
 * FW_ERR_INPUT: the person left (ctrl-C, ctrl-D, an empty line), or the line is too long. `out`
 * holds FW_PASSPHRASE bytes. */
int fw_tty_ask(const struct fw_tty *tty, const char *prompt, char *out, struct fw_error *err);

/** Room for a passphrase, locked and guarded; NULL when out of memory. Wiped when freed; NULL is
 * allowed. */
char *fw_passphrase_new(void);
void fw_passphrase_free(char *passphrase);
/** Says so when others than the owner can get at a file of passphrases. NULL is allowed. */
void fw_passphrase_warn(const char *path);
/** The first line of a file ("-": standard input). */
int fw_passphrase_file(char *out, const char *path, struct fw_error *err);
/** That of `name` out of a file with lines "name: passphrase"; `*line` gets where it stands.
 * FW_ERR_NOT_FOUND: the file has none of that name. */
int fw_passphrase_of(char *out, const char *path, const char *name, unsigned *line,
                     struct fw_error *err);

#endif
