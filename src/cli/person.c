/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "cli/person.h"

enum { ROLE = FW_OPTION_OWN, REASON, WHO, PASSPHRASE_FILE, KEY, OUTPUT, JSON, OPTIONS_END };

#define MAY(option) (1U << ((option)-FW_OPTION_OWN))

static const struct action {
	const char *name;
	unsigned may; /* options of its own */
	bool about;   /* a person is named */
	int (*run)(struct fw_cli *cli, const struct fw_person_wanted *wanted);
} actions[] = {
    {"add", MAY(ROLE) | MAY(WHO) | MAY(PASSPHRASE_FILE) | MAY(KEY), true, fw_person_add},
    {"replace", MAY(ROLE) | MAY(REASON) | MAY(WHO) | MAY(PASSPHRASE_FILE) | MAY(KEY), true,
     fw_person_replace},
    {"retire", MAY(REASON) | MAY(WHO), true, fw_person_retire},
    {"list", MAY(JSON), false, fw_person_list},
    {"card", MAY(PASSPHRASE_FILE) | MAY(OUTPUT), true, fw_person_card},
};
#define ACTIONS (sizeof actions / sizeof *actions)

static const char *action_name(const void *list, size_t index)
{
	return ((const struct action *)list)[index].name;
}

static const struct option options[] = {
    FW_COMMON_OPTIONS,
    FW_KEY_OPTIONS,
    {"role", required_argument, NULL, ROLE},
    {"reason", required_argument, NULL, REASON},
    {"who", required_argument, NULL, WHO},
    {"passphrase-file", required_argument, NULL, PASSPHRASE_FILE},
    {"key", required_argument, NULL, KEY},
    {"output", required_argument, NULL, OUTPUT},
    {"json", no_argument, NULL, JSON},
    {NULL, 0, NULL, 0}};

static const char *option_name(int option)
{
	for (const struct option *o = options; o->name; o++)
		if (o->val == option)
			return o->name;
	return "";
}

static int take_role(const struct fw_cli *cli, struct fw_person_wanted *wanted)
{
	if (wanted->roles == FW_ROLES_MOST)
		return fw_cli_usage(cli, "a person has %d roles at most", FW_ROLES_MOST);
	wanted->role[wanted->roles++] = optarg;
	return FW_EXIT_FINE;
}

static int read_options(struct fw_cli *cli, int argc, char **argv, struct fw_person_wanted *wanted,
                        unsigned *given, int *status)
{
	const char **const texts[] = {
	    NULL,         &wanted->reason, &wanted->who, &wanted->passphrase_file,
	    &wanted->key, &wanted->output, NULL};
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, status)) != -1) {
		if (option < FW_OPTION_OWN || option >= OPTIONS_END)
			return -1;
		*given |= MAY(option);
		if (option == ROLE && (*status = take_role(cli, wanted)) != FW_EXIT_FINE)
			return -1;
		if (option == JSON)
			wanted->json = true;
		else if (texts[option - FW_OPTION_OWN])
			*texts[option - FW_OPTION_OWN] = optarg;
	}
	return 0;
}

static const struct action *find_action(const struct fw_cli *cli, const char *name, int *status)
{
	for (size_t i = 0; i < ACTIONS; i++)
		if (strcmp(actions[i].name, name) == 0)
			return &actions[i];
	const char *near = fw_suggest(name, action_name, actions, ACTIONS);
	if (near)
		*status = fw_cli_usage(cli, "there is no 'person %s'; did you mean '%s'?", name, near);
	else
		*status = fw_cli_usage(
		    cli, "there is no 'person %s'; there are add, replace, retire, list, card", name);
	return NULL;
}

static int check(const struct fw_cli *cli, const struct action *action, unsigned given, int argc,
                 char **argv, struct fw_person_wanted *wanted)
{
	for (int option = FW_OPTION_OWN; option < OPTIONS_END; option++)
		if ((given & MAY(option)) && !(action->may & MAY(option)))
			return fw_cli_usage(cli, "'person %s' takes no --%s", action->name,
			                    option_name(option));
	if (action->about && optind == argc)
		return fw_cli_usage(cli, "whom? give the name: fitwright person %s 'R. Example'",
		                    action->name);
	if (action->about)
		wanted->name = argv[optind++];
	if (optind < argc)
		return fw_cli_usage(cli, "'%s' is too much; put a name of several words in quotes",
		                    argv[optind]);
	wanted->who = fw_cli_who(wanted->who);
	if (!wanted->who)
		wanted->who = wanted->name;
	return FW_EXIT_FINE;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct fw_person_wanted wanted = {0};
	unsigned given = 0;
	int status = FW_EXIT_FINE;

	if (read_options(cli, argc, argv, &wanted, &given, &status) != 0)
		return status;
	if (optind == argc)
		return fw_cli_usage(cli, "what about whom? add, replace, retire, list or card");
	const struct action *action = find_action(cli, argv[optind++], &status);
	if (!action)
		return status;
	status = check(cli, action, given, argc, argv, &wanted);
	return status == FW_EXIT_FINE ? action->run(cli, &wanted) : status;
}

const struct fw_command fw_command_person = {
    .name = "person",
    .summary = "people of the shop: add, replace, retire, list, card",
    .help = "Usage: fitwright person add NAME --role ROLE [--role ROLE …]\n"
            "       fitwright person replace NAME --reason TEXT [--role ROLE …]\n"
            "       fitwright person retire NAME --reason TEXT\n"
            "       fitwright person list [--json]\n"
            "       fitwright person card NAME [--output FILE]\n"
            "\n"
            "People sign with a key of their own that a passphrase unlocks. 'add' makes one,\n"
            "writes it sealed into a file, and records its public half in the trail; with the\n"
            "first person the shop goes over to keys. 'replace' gives a person a new key when\n"
            "the old one or its passphrase is lost, 'retire' takes it out of use: what it\n"
            "signed stays valid. A 'card' holds the public half, for an auditor to keep.\n"
            "\n"
            "      --role ROLE      what the person may sign as, 'technician', 'inspector'\n"
            "      --reason TEXT    why a key is replaced or retired\n"
            "      --who NAME       who records it; else FITWRIGHT_WHO from the environment,\n"
            "                       else the person named\n"
            "      --passphrase-file FILE\n"
            "                       take the passphrase from the first line of a file ('-':\n"
            "                       standard input) instead of asking for it\n"
            "      --passphrases FILE\n"
            "                       or from a file with lines 'name: passphrase'\n"
            "      --key FILE       take the key in this file instead of a new one\n"
            "      --keys DIR       where key files lie; else FITWRIGHT_KEYS, else a folder\n"
            "                       of your own\n"
            "      --output FILE    where the card goes, instead of standard output\n"
            "      --json           as JSON, for programs\n"
            "      --trail FILE     the record to use\n"
            "      --color WHEN     auto, always or never\n"
            "      --help           this help\n"
            "\n"
            "Exit status: 0 done, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Examples:\n"
            "  fitwright person add 'R. Example' --role technician --role inspector\n"
            "  fitwright person replace 'R. Example' --reason 'passphrase forgotten'\n"
            "  fitwright person card 'R. Example' --output r-example.card\n",
    .run = run,
};
