/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file that is complete or not there, or standard output. */
#include <string.h>

#include "cli/cli.h"

static int to_file(const char *path, fw_cli_writer *writer, void *context, struct fw_error *err)
{
	struct fw_output output;
	int code = fw_output_open(&output, path, err);

	if (code != FW_OK)
		return code;
	code = writer(output.file, context, err);
	if (code == FW_OK)
		return fw_output_commit(&output, err);
	fw_output_abandon(&output);
	return code;
}

int fw_cli_write(const struct fw_cli *cli, const char *path, fw_cli_writer *writer, void *context,
                 struct fw_error *err)
{
	char buffer[FW_CLI_PATH];

	if (!path || strcmp(path, "-") == 0)
		return writer(stdout, context, err);
	const char *trail = fw_cli_trail_path(cli, buffer, sizeof buffer, err);
	int code = trail ? fw_output_guard(path, trail, err) : FW_ERR_TRAIL;
	return code == FW_OK ? to_file(path, writer, context, err) : code;
}
