/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options common to all commands, and what is said about wrong ones. */
#include <string.h>

#include "cli/calculate.h"

static const char *option_name(const void *list, size_t index)
{
	return ((const struct option *)list)[index].name;
}

static size_t option_count(const struct option *options)
{
	size_t count = 0;
	while (options[count].name)
		count++;
	return count;
}

static int unknown_option(const struct fw_cli *cli, const struct option *options,
                          const char *argument)
{
	char name[64];

	if (optopt == '.' || (optopt >= '0' && optopt <= '9'))
		return fw_cli_usage(cli, "a value that begins with '-' goes behind its option: --NAME='%s'",
		                    argument);
	if (optopt > 0 && optopt < 0x80)
		return fw_cli_usage(cli, "there is no option '-%c'; options here have long names", optopt);
	size_t length = strcspn(argument + 2, "=");
	snprintf(name, sizeof name, "%.*s", (int)(length < 63 ? length : 63), argument + 2);
	for (const struct option *o = options; o->name; o++) {
		if (strcmp(o->name, name) == 0 && o->has_arg == no_argument)
			return fw_cli_usage(cli, "--%s takes no value", name);
	}
	size_t matches = 0;
	for (const struct option *o = options; o->name; o++)
		matches += strncmp(o->name, name, strlen(name)) == 0;
	if (matches > 1)
		return fw_cli_usage(cli, "--%s could be several options; write it in full", name);
	const char *near = fw_suggest(name, option_name, options, option_count(options));
	if (near)
		return fw_cli_usage(cli, "there is no option '--%s'; did you mean '--%s'?", name, near);
	return fw_cli_usage(cli, "there is no option '--%s'", name);
}

static bool set_colour(struct fw_cli *cli, const char *when)
{
	static const char *const words[] = {"auto", "always", "never"};

	for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
		if (strcmp(when, words[i]) == 0) {
			cli->colour = (enum fw_colour)i;
			return true;
		}
	}
	return false;
}

static void print_help_of(const char *command)
{
	const struct fw_calculator *calculator = fw_calculator_find(command);

	for (const struct fw_command *const *c = fw_commands(); *c; c++) {
		if (strcmp((*c)->name, command) == 0)
			fputs((*c)->help, stdout);
	}
	if (calculator)
		fw_cli_calculate_help(calculator);
}

int fw_cli_option(struct fw_cli *cli, int argc, char **argv, const struct option *options,
                  int *status)
{
	opterr = 0;
	for (;;) {
		/* '+' before the command: what follows it is its own. Behind it, options and operands mix.
		 */
		int found = getopt_long(argc, argv, cli->command ? ":" : "+:", options, NULL);
		switch (found) {
		case FW_OPTION_TRAIL:
			cli->trail = optarg;
			continue;
		case FW_OPTION_KEYS:
			cli->keys = optarg;
			continue;
		case FW_OPTION_PASSPHRASES:
			cli->passphrases = optarg;
			continue;
		case FW_OPTION_COLOUR:
			if (set_colour(cli, optarg))
				continue;
			*status = fw_cli_usage(cli, "--color takes auto, always or never, not '%s'", optarg);
			return -2;
		case FW_OPTION_HELP:
			if (!cli->command)
				return found;
			print_help_of(cli->command);
			*status = FW_EXIT_FINE;
			return -2;
		case ':':
			*status = fw_cli_usage(cli, "%s needs a value behind it", argv[optind - 1]);
			return -2;
		case '?':
			*status = unknown_option(cli, options, argv[optind - 1]);
			return -2;
		default:
			return found;
		}
	}
}
