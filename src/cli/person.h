/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file person.h  The parts of the command `person`. */
#ifndef FITWRIGHT_CLI_PERSON_H
#define FITWRIGHT_CLI_PERSON_H

#include "cli/cli.h"

/** What was asked for. */
struct fw_person_wanted {
	const char *name;
	const char *role[FW_ROLES_MOST];
	size_t roles;
	const char *reason, *who;
	const char *passphrase_file;
	const char *key;    /**< a key file to take instead of a new key */
	const char *output; /**< of a card; NULL: standard output */
	bool json;
};

/** Each returns an exit status. */
int fw_person_add(struct fw_cli *cli, const struct fw_person_wanted *wanted);
int fw_person_replace(struct fw_cli *cli, const struct fw_person_wanted *wanted);
int fw_person_retire(struct fw_cli *cli, const struct fw_person_wanted *wanted);
int fw_person_list(struct fw_cli *cli, const struct fw_person_wanted *wanted);
int fw_person_card(struct fw_cli *cli, const struct fw_person_wanted *wanted);

/** One person as JSON; NULL when out of memory. `people` tells what became of the key. */
json_t *fw_person_json(const struct fw_people *people, const struct fw_person *person);
/** One line or more, and the fingerprint. */
void fw_person_show(const struct fw_screen *screen, const struct fw_people *people,
                    const struct fw_person *person);
/** What isn't independent while only one person has a key. */
void fw_person_say_alone(const struct fw_screen *screen, const struct fw_people *people);

#endif
