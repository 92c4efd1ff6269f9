/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "face/glyph.h"

enum { OUTPUT = FW_OPTION_OWN, JSON };

struct wanted {
	const struct fw_cli *cli;
	int64_t job, entry; /* entry 0: list */
	const char *output;
	bool json;
	json_t *list; /* what is attached, each as an object */
	struct fw_error *err;
};

/* Strings of a record may be anything; what JSON can't hold is null. */
static json_t *describe(const struct fw_entry *entry)
{
	json_t *value = entry->value ? json_loads(entry->value, 0, NULL) : NULL;
	json_t *out = json_pack("{s:I, s:I, s:s?, s:s?, s:s?, s:s?}", "job", (json_int_t)entry->job,
	                        "entry", (json_int_t)entry->seq, "at", entry->at, "who", entry->who,
	                        "step", entry->step, "note", entry->typed);

	if (!out)
		out =
		    json_pack("{s:I, s:I}", "job", (json_int_t)entry->job, "entry", (json_int_t)entry->seq);
	json_object_update_missing(out, value);
	json_decref(value);
	return out;
}

static int add(void *context, const struct fw_entry *entry)
{
	struct wanted *wanted = context;

	if (strcmp(entry->kind, "evidence") != 0 || (wanted->entry && entry->seq != wanted->entry))
		return 0;
	if (json_array_append_new(wanted->list, describe(entry)) != 0)
		return fw_fail(wanted->err, FW_ERR_MEMORY, "out of memory");
	return 0;
}

static const char *text_of(const json_t *object, const char *key)
{
	const char *text = json_string_value(json_object_get(object, key));

	return text ? text : "";
}

static void show_one(const struct fw_screen *screen, const json_t *one)
{
	const char *step = text_of(one, "step"), *note = text_of(one, "note");
	char at[32];

	fprintf(screen->out, "%5lld  ", (long long)json_integer_value(json_object_get(one, "entry")));
	snprintf(at, sizeof at, "%.10s %.5s", text_of(one, "at"),
	         strlen(text_of(one, "at")) > 16 ? text_of(one, "at") + 11 : "");
	fw_text_print(screen, at, -1);
	fputs("  ", screen->out);
	fw_text_print(screen, text_of(one, "name"), -1);
	fputs("  ", screen->out);
	fw_text_print(screen, text_of(one, "kind"), -1);
	fprintf(screen->out, "  %.1f kB",
	        (double)json_integer_value(json_object_get(one, "size")) / 1000.0);
	if (*step)
		fputs("  at ", screen->out);
	fw_text_print(screen, step, -1);
	if (*note)
		fputs(": ", screen->out);
	fw_text_print(screen, note, -1);
	fputc('\n', screen->out);
}

static int show_list(const struct wanted *wanted)
{
	struct fw_screen screen = fw_cli_screen(wanted->cli);
	const json_t *one;
	size_t i;

	if (wanted->json)
		return fw_cli_put_json(wanted->list) == FW_EXIT_FINE ? FW_OK : FW_ERR_MEMORY;
	json_array_foreach(wanted->list, i, one) show_one(&screen, one);
	if (json_array_size(wanted->list) == 0)
		printf("Nothing is attached to job %lld.\n", (long long)wanted->job);
	return FW_OK;
}

struct bytes {
	char *bytes;
	size_t size;
};

static int write_bytes(FILE *out, void *context, struct fw_error *err)
{
	const struct bytes *bytes = context;

	if (fwrite(bytes->bytes, 1, bytes->size, out) != bytes->size || fflush(out) != 0)
		return fw_fail(err, FW_ERR_TRAIL, "the evidence can't be written");
	return FW_OK;
}

static int take_out(struct fw_trail *trail, const struct wanted *wanted, struct fw_error *err)
{
	const json_t *one = json_array_get(wanted->list, 0);
	struct bytes bytes = {0};
	uint8_t hash[FW_HASH];

	if (!one)
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "entry %lld of job %lld is no evidence; 'fitwright evidence %lld' lists it",
		               (long long)wanted->entry, (long long)wanted->job, (long long)wanted->job);
	if (!fw_hash_parse(hash, text_of(one, "hash")))
		return fw_fail(err, FW_ERR_TRAIL, "job %lld, entry %lld names no evidence; audit the job",
		               (long long)wanted->job, (long long)wanted->entry);
	int code = fw_trail_evidence(trail, hash, &bytes.bytes, &bytes.size, err);
	if (code == FW_OK)
		code = fw_cli_write(wanted->cli, wanted->output, write_bytes, &bytes, err);
	free(bytes.bytes);
	return code;
}

static int look(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct wanted *wanted = context;

	wanted->err = err;
	wanted->list = json_array();
	int code = wanted->list ? fw_trail_walk(trail, wanted->job, add, wanted, err)
	                        : fw_fail(err, FW_ERR_MEMORY, "out of memory");
	if (code == FW_OK)
		code = wanted->entry ? take_out(trail, wanted, err) : show_list(wanted);
	json_decref(wanted->list);
	return code;
}

/* JOB, and ENTRY if a file shall be taken out. */
static int take_operands(const struct fw_cli *cli, int argc, char **argv, struct wanted *wanted)
{
	if (optind + 2 < argc)
		return fw_cli_usage(cli, "'%s' is too much", argv[optind + 2]);
	if (optind + 2 == argc) {
		if (!fw_cli_job(&wanted->entry, argv[optind + 1]))
			return fw_cli_usage(cli, "'%s' is not an entry's number; without it they are listed",
			                    argv[optind + 1]);
		argc--;
	}
	if (wanted->entry && !wanted->output)
		return fw_cli_usage(cli, "to which file? give it with --output");
	if (wanted->entry && wanted->json)
		return fw_cli_usage(cli, "--json is for the list");
	if (!wanted->entry && wanted->output)
		return fw_cli_usage(cli, "which entry? without --output they are listed");
	return fw_cli_one_job(cli, argc, argv, &wanted->job);
}

static int run(struct fw_cli *cli, int argc, char **argv)
{
	static const struct option options[] = {FW_COMMON_OPTIONS,
	                                        {"output", required_argument, NULL, OUTPUT},
	                                        {"json", no_argument, NULL, JSON},
	                                        {NULL, 0, NULL, 0}};
	struct wanted wanted = {.cli = cli};
	int status = FW_EXIT_FINE;
	int option;

	while ((option = fw_cli_option(cli, argc, argv, options, &status)) != -1) {
		if (option == OUTPUT)
			wanted.output = optarg;
		else if (option == JSON)
			wanted.json = true;
		else
			return status;
	}
	status = take_operands(cli, argc, argv, &wanted);
	return status == FW_EXIT_FINE ? fw_cli_with_trail(cli, FW_TRAIL_READ, look, &wanted) : status;
}

const struct fw_command fw_command_evidence = {
    .name = "evidence",
    .summary = "list what is attached to a job, or take it out",
    .help = "Usage: fitwright evidence JOB [--json]\n"
            "       fitwright evidence JOB ENTRY --output FILE\n"
            "\n"
            "Lists the photos, scans and sounds attached to a job, each with the number of its\n"
            "entry. With that number it is written to a file, byte by byte as it was attached;\n"
            "its hash is checked. FILE may be '-', standard output.\n"
            "\n"
            "      --output FILE  where to\n"
            "      --json         the list as JSON\n"
            "      --trail FILE   the record to use\n"
            "      --color WHEN   auto, always or never\n"
            "      --help         this help\n"
            "\n"
            "Exit status: 0 fine, 2 wrong usage, 3 trouble.\n"
            "\n"
            "Example:\n"
            "  fitwright evidence 3 17 --output gear.jpg\n",
    .run = run,
};
