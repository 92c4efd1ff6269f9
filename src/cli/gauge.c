/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The command `gauge`: which action, with which options. */
#include "cli/gauge.h"
#include "cli/who.h"

#include <stdlib.h>
#include <string.h>

enum {
	KIND = FW_OPTION_OWN,
	RESOLUTION,
	ERROR,
	CALIBRATED,
	DUE,
	SOURCE,
	FROM,
	REASON,
	WHO,
	JSON,
	OPTIONS_END
};

/* An option as a bit. */
#define TAKES(option) (1u << ((option)-FW_OPTION_OWN))
#define FIGURES                                                                                    \
	(TAKES(RESOLUTION) | TAKES(ERROR) | TAKES(CALIBRATED) | TAKES(DUE) | TAKES(SOURCE) | TAKES(WHO))

struct action {
	const char *name;
	bool names_one; /* the number of a gauge stands behind it */
	unsigned takes, needs;
	int (*run)(const struct fw_cli *cli, const struct fw_gauge_wanted *wanted);
};

static const struct action actions[] = {
    {"add", true, FIGURES | TAKES(KIND), TAKES(KIND), fw_gauge_add},
    {"calibrated", true, FIGURES, TAKES(CALIBRATED), fw_gauge_calibrated},
    {"bad", true, TAKES(FROM) | TAKES(REASON) | TAKES(WHO), TAKES(FROM) | TAKES(REASON),
     fw_gauge_bad},
    {"retire", true, TAKES(REASON) | TAKES(WHO), TAKES(REASON), fw_gauge_retire},
    {"uses", true, TAKES(FROM) | TAKES(JSON), 0, fw_gauge_uses},
    {"list", false, TAKES(JSON), 0, fw_gauge_list},
    {"typical", false, TAKES(JSON), 0, fw_gauge_typical_list},
};
#define ACTIONS (sizeof actions / sizeof *actions)

/* clang-format off */
static const struct option options[] = {
    FW_COMMON_OPTIONS,
    {"kind", required_argument, NULL, KIND},
    {"resolution", required_argument, NULL, RESOLUTION},
    {"error", required_argument, NULL, ERROR},
    {"calibrated", required_argument, NULL, CALIBRATED},
    {"due", required_argument, NULL, DUE},
    {"source", required_argument, NULL, SOURCE},
    {"from", required_argument, NULL, FROM},
    {"reason", required_argument, NULL, REASON},
    {"who", required_argument, NULL, WHO},
    {"json", no_argument, NULL, JSON},
    {NULL, 0, NULL, 0}};
/* clang-format on */

static const char *option_text(int option)
{
	for (const struct option *o = options; o->name; o++)
		if (o->val == option)
			return o->name;
	return "";
}

static const char **place_of(struct fw_gauge_wanted *wanted, int option)
{
	switch (option) {
	case KIND:
		return &wanted->kind;
	case RESOLUTION:
		return &wanted->resolution;
	case ERROR:
		return &wanted->error;
	case CALIBRATED:
		return &wanted->calibrated;
	case DUE:
		return &wanted->due;
	case SOURCE:
		return &wanted->source;
	case FROM:
		return &wanted->from;
	case REASON:
		return &wanted->reason;
	default:
		return &wanted->who;
	}
}

static const char *action_name(const void *list, size_t index)
{
	return ((const struct action *)list)[index].name;
}

static int find_action(const struct action **out, const struct fw_cli *cli, const char *name)
{
	for (size_t i = 0; i < ACTIONS; i++)
		if (strcmp(actions[i].name, name) == 0) {
			*out = &actions[i];
			return FW_EXIT_FINE;
		}
	const char *near = fw_suggest(name, action_name, actions, ACTIONS);
	if (near)
		return fw_cli_usage(cli, "gauge has no '%s'; did you mean '%s'?", name, near);
	return fw_cli_usage(cli,
	                    "gauge has no '%s'; there are add, calibrated, bad, retire, uses, list, "
	                    "typical",
	                    name);
}

/* What the action takes and needs against what was given. */
static int check(const struct fw_cli *cli, const struct action *action, unsigned given, int argc,
                 char **argv)
{
	for (int option = FW_OPTION_OWN; option < OPTIONS_END; option++) {
		if ((given & TAKES(option)) && !(action->takes & TAKES(option)))
			return fw_cli_usage(cli, "gauge %s takes no --%s", action->name, option_text(option));
		if (!(given & TAKES(option)) && (action->needs & TAKES(option)))
			return fw_cli_usage(cli, "gauge %s needs --%s", action->name, option_text(option));
	}
	int operands = argc - optind - 1;
	if (action->names_one && operands < 1)
		return fw_cli_usage(cli, "which gauge? its number goes behind 'gauge %s'", action->name);
	if (operands > (action->names_one ? 1 : 0))
		return fw_cli_usage(cli, "'%s' is too much", argv[optind + (action->names_one ? 2 : 1)]);
	return FW_EXIT_FINE;
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	struct fw_gauge_wanted wanted = {0};
	const struct action *action = NULL;
	unsigned given = 0;
	int option, status = FW_EXIT_FINE;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option < FW_OPTION_OWN)
			return status;
		given |= TAKES(option);
		if (option == JSON)
			wanted.json = true;
		else
			*place_of(&wanted, option) = optarg;
	}
	if (optind == argc)
		return fw_cli_usage(cli, "what about the gauges? add, calibrated, bad, retire, uses, list, "
		                         "typical");
	status = find_action(&action, cli, argv[optind]);
	if (status == FW_EXIT_FINE)
		status = check(cli, action, given, argc, argv);
	if (status != FW_EXIT_FINE)
		return status;
	if (action->names_one)
		wanted.id = argv[optind + 1];
	char *only = NULL;
	wanted.who = fw_cli_who(wanted.who);
	if ((action->takes & TAKES(WHO)) && !wanted.who) {
		wanted.who = only = fw_cli_only_person(cli);
		if (!only)
			return fw_cli_usage(cli,
			                    "who records it? give the name with --who, or in FITWRIGHT_WHO");
	}
	status = action->run(cli, &wanted);
	free(only);
	return status;
}

const struct fw_command fw_command_gauge = {
    .name = "gauge",
    .summary = "gauges of the shop: add, calibrated, bad, retire, list, uses",
    .help = "Usage: fitwright gauge add ID --kind KIND [--resolution Q] [--error Q]\n"
            "                       [--calibrated DAY] [--due DAY] [--source TEXT]\n"
            "       fitwright gauge calibrated ID --calibrated DAY [--due DAY]\n"
            "                       [--resolution Q] [--error Q] [--source TEXT]\n"
            "       fitwright gauge bad ID --from DAY --reason TEXT\n"
            "       fitwright gauge retire ID --reason TEXT\n"
            "       fitwright gauge list [--json]\n"
            "       fitwright gauge uses ID [--from DAY] [--json]\n"
            "       fitwright gauge typical [--json]\n"
            "\n"
            "Keeps the register of the shop's gauges. A job takes readings with those of the\n"
            "kind that its procedure asks for, and records which, and what was known of it.\n"
            "Nothing is overwritten: a new calibration is a new entry of the shop's log.\n"
            "\n"
            "  add           a gauge under its own number, such as DI-2\n"
            "  calibrated    a new calibration; figures that aren't given stay as they are\n"
            "  bad           found bad: what it read from that day on is in question\n"
            "  retire        out of use; its number isn't given again\n"
            "  list          those there are; overdue ones stand out\n"
            "  uses          every reading it took, and the checks that rest on them\n"
            "  typical       kinds that come with the program, common practice\n"
            "\n"
            "      --kind KIND        \"dial indicator\": what procedures ask for\n"
            "      --resolution Q     what can be told apart on it: 0.01mm; of a kind that\n"
            "                         'gauge typical' lists it can be left out, and so can:\n"
            "      --error Q          limit of error: 0.02mm, or 4% of the reading\n"
            "      --calibrated DAY   2026-03-01\n"
            "      --due DAY          last day on which it may be used\n"
            "      --source TEXT      where the figures come from: 'certificate 118/26'\n"
            "      --from DAY         from this day on\n"
            "      --reason TEXT      why\n"
            "      --who NAME         who records it; else FITWRIGHT_WHO of the environment,\n"
            "                         else the only person with a key\n"
            "      --json             as JSON, for programs\n"
            "      --trail FILE       the record to use\n"
            "      --color WHEN       auto, always or never\n"
            "      --help             this help\n"
            "\n"
            "Exit status: 0 fine, 1 'uses' found standing readings or checks, 2 wrong usage,\n"
            "3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright gauge add DI-2 --kind 'dial indicator' --resolution 0.01mm \\\n"
            "      --error 0.02mm --calibrated 2026-03-01 --due 2027-03-01 --who 'R. Example'\n",
    .run = run,
};
