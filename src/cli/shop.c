/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/person.h"
#include "face/glyph.h"

enum { ALONE = FW_OPTION_OWN, WHO, JSON };

struct wanted {
	const char *alone, *who;
	bool json;
};

/* What is known of the shop. */
struct shop {
	const struct fw_cli *cli;
	struct fw_people people;
	char id[40];
	int format;
};

static int read_shop(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct shop *shop = context;

	snprintf(shop->id, sizeof shop->id, "%s", fw_trail_shop(trail));
	shop->format = fw_trail_format(trail);
	return fw_people_read(&shop->people, trail, 0, err);
}

static const char *path_of(const struct shop *shop, char buffer[FW_CLI_PATH])
{
	const char *path = fw_cli_trail_path(shop->cli, buffer, FW_CLI_PATH, NULL);
	return path ? path : "";
}

static int show_json(const struct shop *shop)
{
	char buffer[FW_CLI_PATH];
	json_t *people = json_array();

	for (size_t i = 0; i < shop->people.count; i++)
		json_array_append_new(people, fw_person_json(&shop->people, &shop->people.list[i]));
	json_t *json = json_pack("{s:s, s:b, s:b, s:o, s:I, s:i, s:s}", "shop", shop->id, "alone",
	                         shop->people.alone, "keys", fw_people_in_use(&shop->people) > 0,
	                         "people", people, "entries", (json_int_t)shop->people.entries,
	                         "format", shop->format, "file", path_of(shop, buffer));
	int status = json ? fw_cli_put_json(json) : fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	json_decref(json);
	return status;
}

static void show(const struct shop *shop)
{
	struct fw_screen screen = fw_cli_screen(shop->cli);
	const struct fw_people *people = &shop->people;
	char buffer[FW_CLI_PATH];

	printf("Shop:   %s\n", shop->id[0] ? shop->id : "none yet: a trail of format 1");
	fputs("File:   ", stdout);
	fw_text_print(&screen, path_of(shop, buffer), -1);
	printf("\nFormat: %d\n", shop->format);
	printf("Alone:  %s\n", people->alone
	                           ? "yes: signatures at holds and concessions are not independent"
	                           : "no: at a hold another person signs");
	if (people->count == 0)
		puts("People: nobody has a key yet, sign-offs are names as typed;\n"
		     "        'fitwright person add' changes that");
	for (size_t i = 0; i < people->count; i++)
		if (people->list[i].until == 0)
			fw_person_show(&screen, people, &people->list[i]);
	fw_person_say_alone(&screen, people);
}

static int show_shop(const struct fw_cli *cli, bool json)
{
	struct shop shop = {.cli = cli};
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, read_shop, &shop);

	if (status == FW_EXIT_FINE && json)
		status = show_json(&shop);
	else if (status == FW_EXIT_FINE)
		show(&shop);
	fw_people_free(&shop.people);
	return status;
}

/* Who says so: with one person there is no doubt. */
static const char *who_says(const struct wanted *wanted, const struct fw_people *people)
{
	const char *who = fw_cli_who(wanted->who);

	if (who)
		return who;
	for (size_t i = 0; i < people->count && fw_people_in_use(people) == 1; i++)
		if (people->list[i].until == 0)
			return people->list[i].name;
	return NULL;
}

static int set_alone(struct fw_trail *trail, void *context, struct fw_error *err)
{
	const struct wanted *wanted = context;
	bool alone = strcmp(wanted->alone, "yes") == 0;
	struct fw_people people;
	int code = fw_people_read(&people, trail, 0, err);

	if (code != FW_OK)
		return code;
	const char *who = who_says(wanted, &people);
	if (!who)
		code = fw_fail(err, FW_ERR_ARGUMENT,
		               "who says so? give the name with --who, or in FITWRIGHT_WHO");
	else if (alone && fw_people_in_use(&people) > 1)
		code = fw_fail(err, FW_ERR_STATE,
		               "%zu people have a key in use, so the shop isn't one person; retire who has "
		               "left it",
		               fw_people_in_use(&people));
	else
		code = fw_people_alone(trail, alone, who, NULL, err);
	fw_people_free(&people);
	return code;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"alone", required_argument, NULL, ALONE},
	                                        {"who", required_argument, NULL, WHO},
	                                        {"json", no_argument, NULL, JSON},
	                                        {NULL, 0, NULL, 0}};
	struct wanted wanted = {0};
	int status = FW_EXIT_FINE, option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option == ALONE)
			wanted.alone = optarg;
		else if (option == WHO)
			wanted.who = optarg;
		else if (option == JSON)
			wanted.json = true;
		else
			return status;
	}
	if (optind < argc)
		return fw_cli_usage(cli, "shop takes no '%s'", argv[optind]);
	if (wanted.alone && strcmp(wanted.alone, "yes") != 0 && strcmp(wanted.alone, "no") != 0)
		return fw_cli_usage(cli, "--alone takes yes or no, not '%s'", wanted.alone);
	if (wanted.alone)
		status = fw_cli_with_trail(cli, FW_TRAIL_CREATE, set_alone, &wanted);
	return status == FW_EXIT_FINE ? show_shop(cli, wanted.json) : status;
}

const struct fw_command fw_command_shop = {
    .name = "shop",
    .summary = "what is recorded of the shop itself",
    .help = "Usage: fitwright shop [--json]\n"
            "       fitwright shop --alone yes|no [--who NAME]\n"
            "\n"
            "Shows the identity of the shop, who has a key in use, whether it is one person,\n"
            "and the file and its format.\n"
            "\n"
            "In a shop of one person nobody else can sign at a hold point. Say so once with\n"
            "--alone yes: it is then signed by who did the work, and the record, the report\n"
            "and each audit say beside it that it is not independent.\n"
            "\n"
            "      --alone yes|no   whether the shop is one person\n"
            "      --who NAME       who says so; else FITWRIGHT_WHO from the environment,\n"
            "                       else the only person with a key\n"
            "      --json           as JSON, for programs\n"
            "      --trail FILE     the record to use\n"
            "      --color WHEN     auto, always or never\n"
            "      --help           this help\n"
            "\n"
            "Exit status: 0 done, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright shop --alone yes\n",
    .run = run,
};
