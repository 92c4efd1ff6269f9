/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts of procedure, modules and sheet: from files when a job begins, from the trail ever after.
 */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "job_internal.h"

#define FILE_MOST (1024L * 1024L)

static const char *base_name(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash ? slash + 1 : path;
}

static int read_open_file(struct fw_named_source *out, FILE *file, const char *path,
                          struct fw_error *err)
{
	out->bytes = malloc(FILE_MOST + 1);
	if (!out->bytes)
		return fw_no_memory(err);
	out->size = fread(out->bytes, 1, FILE_MOST + 1, file);
	if (ferror(file))
		return fw_fail(err, FW_ERR_INPUT, "%s: can't be read: %s", path, strerror(errno));
	if (out->size > FILE_MOST)
		return fw_fail(err, FW_ERR_INPUT, "%s: longer than 1 MiB; is it a procedure or sheet?",
		               path);
	char *smaller = realloc(out->bytes, out->size + 1);
	if (smaller)
		out->bytes = smaller;
	out->bytes[out->size] = '\0';
	fw_trail_hash(out->hash, out->bytes, out->size);
	return FW_OK;
}

int fw_source_read_file(struct fw_named_source *out, const char *path, struct fw_error *err)
{
	struct stat about;

	/* Before opening: a pipe would be waited for. */
	if (stat(path, &about) == 0 && !S_ISREG(about.st_mode))
		return fw_fail(err, FW_ERR_INPUT, "%s: isn't a plain file", path);
	FILE *file = fopen(path, "rb");
	if (!file)
		return fw_fail(err, errno == ENOENT ? FW_ERR_NOT_FOUND : FW_ERR_INPUT,
		               "%s: can't be opened: %s", path, strerror(errno));
	out->name = strdup(base_name(path));
	int code = out->name ? read_open_file(out, file, path, err) : fw_no_memory(err);
	fclose(file);
	return code;
}

static int recorded_source(struct fw_named_source *out, struct fw_trail *trail, const json_t *fact,
                           struct fw_error *err)
{
	const char *name = json_string_value(json_object_get(fact, "name"));
	const char *hex = json_string_value(json_object_get(fact, "hash"));

	if (!name || !hex || !fw_hash_parse(out->hash, hex))
		return fw_fail(err, FW_ERR_TRAIL,
		               "the job's first entry doesn't name its sources; the record is damaged");
	out->name = strdup(name);
	if (!out->name)
		return fw_no_memory(err);
	int code = fw_trail_source(trail, out->hash, &out->bytes, &out->size, err);
	if (code != FW_OK)
		fw_error_prefix(err, "%s: ", name);
	return code;
}

static struct fw_named_source *add_module(struct fw_sources *sources)
{
	struct fw_named_source *list =
	    realloc(sources->module, (sources->modules + 1) * sizeof *sources->module);

	if (!list)
		return NULL;
	sources->module = list;
	memset(&list[sources->modules], 0, sizeof *list);
	return &list[sources->modules++];
}

int fw_sources_recorded(struct fw_sources *out, struct fw_trail *trail, const json_t *begin,
                        struct fw_error *err)
{
	const json_t *sheet = json_object_get(begin, "sheet");
	const json_t *modules = json_object_get(begin, "modules");

	memset(out, 0, sizeof *out);
	int code = recorded_source(&out->procedure, trail, json_object_get(begin, "procedure"), err);
	if (code == FW_OK && json_is_object(sheet))
		code = recorded_source(&out->sheet, trail, sheet, err);
	for (size_t i = 0; code == FW_OK && i < json_array_size(modules); i++) {
		struct fw_named_source *module = add_module(out);
		code = module ? recorded_source(module, trail, json_array_get(modules, i), err)
		              : fw_no_memory(err);
	}
	return code;
}

/* A module beside the procedure; remembered, so that it is stored with the job. */
static int module_from_file(struct fw_sources *sources, const char *name, struct fw_error *err)
{
	char path[4096];
	struct fw_named_source *module = add_module(sources);

	if (!module)
		return fw_no_memory(err);
	if (snprintf(path, sizeof path, "%s/%s.lua", sources->folder, name) >= (int)sizeof path)
		return fw_fail(err, FW_ERR_INPUT, "module '%s': the path is too long", name);
	return fw_source_read_file(module, path, err);
}

static const struct fw_named_source *find_module(const struct fw_sources *sources, const char *name)
{
	size_t length = strlen(name);

	for (size_t i = 0; i < sources->modules; i++) {
		const char *other = sources->module[i].name;
		if (other && sources->module[i].bytes && strncmp(other, name, length) == 0 &&
		    strcmp(other + length, ".lua") == 0)
			return &sources->module[i];
	}
	return NULL;
}

int fw_sources_module(struct fw_sources *sources, const char *name, char **bytes, size_t *size,
                      struct fw_error *err)
{
	const struct fw_named_source *module = find_module(sources, name);

	if (!module && sources->folder) {
		int code = module_from_file(sources, name, err);
		if (code != FW_OK)
			return code;
		module = find_module(sources, name);
	}
	if (!module || !module->bytes)
		return fw_fail(err, FW_ERR_TRAIL, "module '%s' isn't stored with the job", name);
	*bytes = malloc(module->size + 1);
	if (!*bytes)
		return fw_no_memory(err);
	memcpy(*bytes, module->bytes, module->size + 1);
	*size = module->size;
	return FW_OK;
}

static void free_source(struct fw_named_source *source)
{
	free(source->name);
	free(source->bytes);
}

void fw_sources_free(struct fw_sources *sources)
{
	free_source(&sources->procedure);
	free_source(&sources->sheet);
	for (size_t i = 0; i < sources->modules; i++)
		free_source(&sources->module[i]);
	free(sources->module);
	free(sources->folder);
	memset(sources, 0, sizeof *sources);
}
