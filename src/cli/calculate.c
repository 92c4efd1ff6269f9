/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A calculator as a command: its options are its inputs. */
#include "cli/calculate.h"

#include <stdlib.h>
#include <string.h>

#include "script/calc_json.h"

enum { JSON = FW_OPTION_OWN, INPUT };

/* The common options, --json, and one for each input. The caller frees it. */
static struct option *make_options(const struct fw_calculator *calculator)
{
	static const struct option common[] = {FW_COMMON_OPTIONS, {"json", no_argument, NULL, JSON}};
	size_t fixed = sizeof common / sizeof common[0], count = 0;

	while (calculator->inputs[count].name)
		count++;
	struct option *options = calloc(fixed + count + 1, sizeof *options);
	if (!options)
		return NULL;
	memcpy(options, common, sizeof common);
	for (size_t i = 0; i < count; i++) {
		const struct fw_calc_input *input = &calculator->inputs[i];
		options[fixed + i] = (struct option){
		    input->name, input->kind == FW_CALC_FLAG ? no_argument : required_argument, NULL,
		    INPUT + (int)i};
	}
	return options;
}

/* What was typed for one input. */
struct typed {
	size_t input;
	const char *text;
};

/* In the order of the table, so that an input comes before those that are like it. */
static int type_all(struct fw_calc_values *values, const struct fw_calculator *calculator,
                    const struct typed *typed, size_t count, struct fw_error *err)
{
	int code = FW_OK;

	for (size_t i = 0; calculator->inputs[i].name; i++)
		for (size_t k = 0; code == FW_OK && k < count; k++)
			if (typed[k].input == i)
				code = fw_calc_type(values, calculator->inputs[i].name, typed[k].text, err);
	return code;
}

/* Reads the options; operands go to the first input. FW_EXIT_FINE and -1 in `*option`, or the
 * status to end with. */
static int read_options(struct fw_cli *cli, const struct option *options, int argc, char **argv,
                        struct typed *typed, size_t *count, bool *json, int *option)
{
	int status = FW_EXIT_FINE;

	while ((*option = fw_cli_option(cli, argc, argv, options, &status)) >= 0) {
		if (*option == JSON)
			*json = true;
		else
			typed[(*count)++] = (struct typed){(size_t)(*option - INPUT), optarg ? optarg : "yes"};
	}
	while (*option == -1 && optind < argc)
		typed[(*count)++] = (struct typed){0, argv[optind++]};
	return status;
}

/* Returns an exit status; -1: go on. */
static int take_inputs(struct fw_cli *cli, const struct fw_calculator *calculator, int argc,
                       char **argv, struct fw_calc_values *values, bool *json)
{
	struct option *options = make_options(calculator);
	struct typed *typed = calloc((size_t)argc + 1, sizeof *typed);
	struct fw_error err = {0};
	size_t count = 0;
	int status = FW_EXIT_TROUBLE, option = 0;

	if (!options || !typed)
		fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	else
		status = read_options(cli, options, argc, argv, typed, &count, json, &option);
	if (option == -1) {
		int code = type_all(values, calculator, typed, count, &err);
		status = code == FW_OK ? -1 : fw_cli_usage(cli, "%s", err.text);
	}
	free(options);
	free(typed);
	return status;
}

static int put_json(const struct fw_calculator *calculator, const struct fw_calc_values *values,
                    const struct fw_calc_out *out)
{
	json_t *json = json_pack("{s:s, s:o, s:o, s:o, s:o, s:s}", "calculator", calculator->name,
	                         "inputs", fw_calc_inputs_json(calculator->inputs, values), "results",
	                         fw_calc_results_json(out), "warnings", fw_calc_warnings_json(out),
	                         "working", fw_calc_working_json(out), "source", calculator->source);
	if (!json)
		return fw_cli_fail(FW_EXIT_TROUBLE, "out of memory while writing JSON");
	int status = fw_cli_put_json(json);
	json_decref(json);
	return status;
}

static int work_out(struct fw_cli *cli, const struct fw_calculator *calculator,
                    struct fw_calc_values *values, bool json)
{
	struct fw_calc_out *out = NULL;
	struct fw_error err = {0};
	int status = FW_EXIT_FINE;

	int code = fw_calculate(&out, calculator, values, &err);
	if (code == FW_ERR_MEMORY)
		return fw_cli_trouble(&err);
	if (code != FW_OK)
		return fw_cli_usage(cli, "%s", err.text);
	if (json) {
		status = put_json(calculator, values, out);
	} else {
		struct fw_screen screen = fw_cli_screen(cli);
		fw_cli_calculate_show(&screen, calculator, out);
	}
	if (status == FW_EXIT_FINE && fw_calc_warnings(out) > 0)
		status = FW_EXIT_FINDING;
	fw_calc_free(out);
	return status;
}

int fw_cli_calculate(struct fw_cli *cli, const struct fw_calculator *calculator, int argc,
                     char **argv)
{
	struct fw_calc_values *values = NULL;
	struct fw_error err = {0};
	bool json = false;

	if (fw_calc_values_new(&values, calculator->inputs, &err) != FW_OK)
		return fw_cli_trouble(&err);
	int status = take_inputs(cli, calculator, argc, argv, values, &json);
	if (status == -1)
		status = work_out(cli, calculator, values, json);
	fw_calc_values_free(values);
	return status;
}
