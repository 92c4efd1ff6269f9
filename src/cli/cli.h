/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file cli.h  What the commands share. */
#ifndef FITWRIGHT_CLI_CLI_H
#define FITWRIGHT_CLI_CLI_H

#include <getopt.h>
#include <stdbool.h>
#include <stdint.h>

#include <jansson.h>

#include "face/face.h"
#include "fitwright/fitwright.h"

/** Exit statuses, as --help gives them. */
enum fw_exit { FW_EXIT_FINE = 0, FW_EXIT_FINDING = 1, FW_EXIT_USAGE = 2, FW_EXIT_TROUBLE = 3 };

enum fw_colour { FW_COLOUR_AUTO, FW_COLOUR_ALWAYS, FW_COLOUR_NEVER };

/** What was said for the whole program, before or behind the command. */
struct fw_cli {
	const char *trail; /**< --trail; NULL: the default path */
	const char *keys;        /**< --keys: folder of key files; NULL: the default one */
	const char *passphrases; /**< --passphrases: a file of them; NULL: they are asked for */
	enum fw_colour colour;
	const char *command;               /**< name of the command that runs; NULL before it is known */
};

/** One command: its name, what --help says about it, what runs it (argv[0] is the command's name). */
struct fw_command {
	const char *name;
	const char *summary;
	const char *help;
	int (*run)(struct fw_cli *cli, int argc, char **argv);
};

extern const struct fw_command fw_command_begin, fw_command_resume, fw_command_list, fw_command_show,
	fw_command_audit, fw_command_report, fw_command_back, fw_command_person, fw_command_shop, fw_command_gauge,
	fw_command_amend, fw_command_reopen, fw_command_attach, fw_command_evidence, fw_command_backup, fw_command_export,
	fw_command_history;

/** All commands, NULL-terminated. */
const struct fw_command *const *fw_commands(void);

/** Options of every command; put them first in its list. */
enum {
	FW_OPTION_TRAIL = 1000,
	FW_OPTION_COLOUR,
	FW_OPTION_HELP,
	FW_OPTION_KEYS,
	FW_OPTION_PASSPHRASES,
	FW_OPTION_OWN
};
/* clang-format off */
#define FW_COMMON_OPTIONS \
	{"trail", required_argument, NULL, FW_OPTION_TRAIL}, \
	{"color", required_argument, NULL, FW_OPTION_COLOUR}, \
	{"help", no_argument, NULL, FW_OPTION_HELP}
/* Of commands that sign. */
#define FW_KEY_OPTIONS \
	{"keys", required_argument, NULL, FW_OPTION_KEYS}, \
	{"passphrases", required_argument, NULL, FW_OPTION_PASSPHRASES}
/* clang-format on */

/** Next option of the command: its value if it is the command's own, -1 behind the last one, -2 when the
 *  command shall return `*status` at once (--help was printed, or the options are wrong). */
int fw_cli_option(struct fw_cli *cli, int argc, char **argv, const struct option *options, int *status);

/** "fitwright: message" on standard error; returns `status`. */
int fw_cli_fail(enum fw_exit status, const char *format, ...) FW_PRINTF(2, 3);
/** As above, and where to read about the command. Returns FW_EXIT_USAGE. */
int fw_cli_usage(const struct fw_cli *cli, const char *format, ...) FW_PRINTF(2, 3);
/** Says what is in `err`, and returns FW_EXIT_TROUBLE. */
int fw_cli_trouble(const struct fw_error *err);

/** The nearest of `count` words to a misspelt one, or NULL when none is near. `name(list, i)` gives the
 *  i-th word. */
const char *fw_suggest(const char *typed, const char *(*name)(const void *list, size_t index),
                       const void *list, size_t count);

/** Room for a path. */
#define FW_CLI_PATH 4096

/** Path of the trail of this run: in `buffer` or borrowed; NULL with `err` filled. */
const char *fw_cli_trail_path(const struct fw_cli *cli, char *buffer, size_t size,
                              struct fw_error *err);

/** Opens the trail of this run. */
int fw_cli_open(const struct fw_cli *cli, struct fw_trail **out, enum fw_trail_mode mode,
                struct fw_error *err);

/** What a command does with an open trail. */
typedef int fw_cli_use(struct fw_trail *trail, void *context, struct fw_error *err);
/** Opens the trail, uses it, closes it. FW_EXIT_FINE, or FW_EXIT_TROUBLE after saying why. */
int fw_cli_with_trail(const struct fw_cli *cli, enum fw_trail_mode mode, fw_cli_use *use,
                      void *context);

/** Who is named: `given`, else FITWRIGHT_WHO of the environment; NULL when neither says anything. */
const char *fw_cli_who(const char *given);

/** Finds `text` among `count` names; false when it is none of them. */
bool fw_cli_choice(size_t *out, const char *const *names, size_t count, const char *text);

/** A job's number; false unless `text` is a whole number from 1. */
bool fw_cli_job(int64_t *out, const char *text);

/** Takes the one operand JOB. FW_EXIT_FINE, or FW_EXIT_USAGE after saying why. */
int fw_cli_one_job(const struct fw_cli *cli, int argc, char **argv, int64_t *job);

/** Writes JSON to standard output. FW_EXIT_FINE, or FW_EXIT_TROUBLE after saying why. */
int fw_cli_put_json(const json_t *json);

/** Appends " --trail FILE" as a shell reads it, if one was named: what is said of further commands goes on in the
 *  same trail. */
void fw_cli_append_trail(char *out, size_t size, const struct fw_cli *cli);

/** A screen on standard output, with colour as asked. */
struct fw_screen fw_cli_screen(const struct fw_cli *cli);

/** How a command comes by the job to work on. */
typedef int fw_cli_start(struct fw_job **out, struct fw_trail *trail, void *context, struct fw_error *err);
/** Reads the answers file ("-": standard input; NULL: none), opens the trail, starts the job, and runs a face
 *  on it: the answers if there are any, else the terminal. `resumed` (may be NULL) holds the number of a job
 *  that `start` resumes. Returns an exit status. */
int fw_cli_work(const struct fw_cli *cli, enum fw_trail_mode mode, const char *answers, fw_cli_start *start,
                void *context, const int64_t *resumed);

/** A file that is complete or not there: written under a temporary name beside it, then renamed. */
struct fw_output {
	FILE *file;
	char *path;      /* where it shall be */
	char *temporary; /* NULL: written in place (a pipe, a device) */
};
/** FW_ERR_ARGUMENT when the file `path` is the trail, part of it, or any other database. */
int fw_output_guard(const char *path, const char *trail, struct fw_error *err);
int fw_output_open(struct fw_output *output, const char *path, struct fw_error *err);
/** To the disk, and renamed. On failure nothing is left. */
int fw_output_commit(struct fw_output *output, struct fw_error *err);
void fw_output_abandon(struct fw_output *output);

/** What writes a file. */
typedef int fw_cli_writer(FILE *out, void *context, struct fw_error *err);
/** Writes the file `path`, guarded as above, or standard output (NULL, "-"). */
int fw_cli_write(const struct fw_cli *cli, const char *path, fw_cli_writer *writer, void *context,
                 struct fw_error *err);

#endif
