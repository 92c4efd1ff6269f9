/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli/calculate.h"

/* A write to a pipe that nobody reads any more, or past what a file may hold (`ulimit -f`), fails
 * and is reported, instead of ending the program unseen. */
static void let_writes_fail(void)
{
	struct sigaction action = {.sa_handler = SIG_IGN};

	sigemptyset(&action.sa_mask);
	sigaction(SIGPIPE, &action, NULL);
	sigaction(SIGXFSZ, &action, NULL);
}

/* A closed descriptor would be given to the next file opened, and output would end up in that file.
 * The place of standard output is taken by something that can't be written, so that writing still
 * fails. */
static void hold_descriptors(void)
{
	static const int modes[] = {O_RDONLY, O_RDONLY, O_WRONLY};

	for (int i = 0; i < 3; i++) {
		if (fcntl(i, F_GETFD) == -1 && errno == EBADF && open("/dev/null", modes[i]) < 0)
			_exit(FW_EXIT_TROUBLE);
	}
}

const struct fw_command *const *fw_commands(void)
{
	static const struct fw_command *const commands[] = {
	    &fw_command_begin,  &fw_command_resume,   &fw_command_list,
	    &fw_command_show,   &fw_command_audit,    &fw_command_report,
	    &fw_command_back,   &fw_command_amend,    &fw_command_reopen,
	    &fw_command_attach, &fw_command_evidence, &fw_command_person,
	    &fw_command_shop,   &fw_command_gauge,    &fw_command_history,
	    &fw_command_export, &fw_command_backup,   NULL};
	return commands;
}

static void print_calculators(void)
{
	const struct fw_calculator *calculator;

	fputs("\n"
	      "Bench calculators, with their working shown:\n",
	      stdout);
	for (size_t i = 0; (calculator = fw_calculator_at(i)) != NULL; i++)
		printf("  %-16s %s\n", calculator->name, calculator->summary);
}

static void print_help(void)
{
	fputs("Usage: fitwright [--trail FILE] [--color WHEN] COMMAND [ARGUMENT...]\n"
	      "\n"
	      "Takes you through the rebuild of a mechanical unit, works out its fits, and\n"
	      "records every reading.\n"
	      "\n"
	      "Commands:\n",
	      stdout);
	for (const struct fw_command *const *c = fw_commands(); *c; c++)
		printf("  %-8s %s\n", (*c)->name, (*c)->summary);
	print_calculators();
	fputs("\n"
	      "Options, before or behind the command:\n"
	      "      --trail FILE   the record to use; else fitwright/trail.db in\n"
	      "                     $XDG_DATA_HOME or ~/.local/share\n"
	      "      --color WHEN   auto (only on a terminal), always, never; NO_COLOR in the\n"
	      "                     environment means never unless this option says otherwise\n"
	      "      --help         this help, or that of the command\n"
	      "      --version      version and licence\n"
	      "\n"
	      "Exit status:\n"
	      "  0  fine; also when a job was paused\n"
	      "  1  an audit found something; a calculator says to beware\n"
	      "  2  wrong usage\n"
	      "  3  trouble: a file, the record, the procedure, an answer in a file\n"
	      "\n"
	      "Examples:\n"
	      "  fitwright begin countershaft.lua --unit 'gearbox 4-118' --who 'R. Example'\n"
	      "  fitwright resume\n"
	      "  fitwright report 1 --output job-1.html\n",
	      stdout);
}

static void print_version(void)
{
	printf("fitwright %s\n"
	       "Licence GPL-3.0-or-later: GNU GPL version 3 or later.\n"
	       "This is free software; there is no warranty, to the extent permitted by law.\n",
	       fw_version());
}

/* The commands, then the calculators. */
static const char *command_name(const void *list, size_t index)
{
	const struct fw_command *const *commands = list;
	size_t count = 0;

	while (commands[count])
		count++;
	return index < count ? commands[index]->name : fw_calculator_at(index - count)->name;
}

static size_t command_count(void)
{
	size_t count = 0, calculators = 0;

	while (fw_commands()[count])
		count++;
	while (fw_calculator_at(calculators))
		calculators++;
	return count + calculators;
}

static const struct fw_command *find_command(const char *name)
{
	for (const struct fw_command *const *c = fw_commands(); *c; c++) {
		if (strcmp((*c)->name, name) == 0)
			return *c;
	}
	return NULL;
}

static int run_command(struct fw_cli *cli, int argc, char **argv)
{
	const struct fw_command *command = find_command(argv[0]);
	const struct fw_calculator *calculator = fw_calculator_find(argv[0]);

	if (command) {
		cli->command = command->name;
		optind = 0; /* getopt starts anew */
		return command->run(cli, argc, argv);
	}
	if (calculator) {
		cli->command = calculator->name;
		optind = 0;
		return fw_cli_calculate(cli, calculator, argc, argv);
	}
	const char *near = fw_suggest(argv[0], command_name, fw_commands(), command_count());
	if (near)
		return fw_cli_usage(cli, "there is no command '%s'; did you mean '%s'?", argv[0], near);
	return fw_cli_usage(cli, "there is no command '%s'", argv[0]);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	enum { VERSION = FW_OPTION_OWN };
	static const struct option options[] = {
	    FW_COMMON_OPTIONS, {"version", no_argument, NULL, VERSION}, {NULL, 0, NULL, 0}};
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option == FW_OPTION_HELP) {
			print_help();
			return FW_EXIT_FINE;
		}
		if (option == VERSION) {
			print_version();
			return FW_EXIT_FINE;
		}
		return status;
	}
	if (optind == argc)
		return fw_cli_usage(cli, "say which command to run");
	return run_command(cli, argc - optind, argv + optind);
}

int main(int argc, char **argv)
{
	struct fw_cli cli = {.trail = NULL};

	hold_descriptors();
	let_writes_fail();
	int status = run(&cli, argc, argv);

	errno = 0;
	if ((fflush(stdout) != 0 || ferror(stdout)) && status != FW_EXIT_TROUBLE)
		return fw_cli_fail(FW_EXIT_TROUBLE,
		                   "standard output: can't write%s%s; what was recorded is safe",
		                   errno ? ": " : "", errno ? strerror(errno) : "");
	return status;
}
