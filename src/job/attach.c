/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file is kept with the job: photo, scan, sound. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "evidence_kind.h"
#include "job_internal.h"

/* Longest name of a file that is recorded. */
#define NAME_MOST 200

struct kept_file {
	char *bytes;
	size_t size;
	const char *kind;
	char name[NAME_MOST + 1];
};

static int refuse(const char *path, const char *what, struct fw_error *err)
{
	return fw_fail(err, FW_ERR_INPUT, "%s: %s", path, what);
}

static int check_file(const struct stat *about, const char *path, struct fw_error *err)
{
	if (S_ISDIR(about->st_mode))
		return refuse(path, "is a folder; name one file in it", err);
	if (!S_ISREG(about->st_mode))
		return refuse(path, "isn't a plain file; save it as one first", err);
	if (about->st_size == 0)
		return refuse(path, "is empty; there is nothing to keep", err);
	if (about->st_size > FW_EVIDENCE_MOST)
		return fw_fail(
		    err, FW_ERR_INPUT,
		    "%s: is %.1f MiB; at most %d MiB can be kept with a job: make it smaller, or "
		    "keep it elsewhere and note where",
		    path, (double)about->st_size / 1048576.0, FW_EVIDENCE_MOST / 1048576);
	return FW_OK;
}

static int read_bytes(struct kept_file *out, int file, const char *path, struct fw_error *err)
{
	size_t got = 0;
	ssize_t more = 1;

	out->bytes = malloc(out->size + 1);
	if (!out->bytes)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	/* One byte more than it had, to notice one that is still being written. */
	while (got <= out->size && more > 0) {
		more = read(file, out->bytes + got, out->size + 1 - got);
		if (more < 0 && errno == EINTR)
			more = 1;
		else if (more > 0)
			got += (size_t)more;
	}
	if (more < 0)
		return fw_fail(err, FW_ERR_INPUT, "%s: can't be read: %s", path, strerror(errno));
	if (got != out->size)
		return refuse(path, "changed while it was read; attach it when it is complete", err);
	return FW_OK;
}

static int read_file(struct kept_file *out, const char *path, struct fw_error *err)
{
	struct stat about;
	/* Not blocking: a pipe would be waited for. */
	int file = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);

	if (file < 0 && errno == ENOENT)
		return refuse(path, "there is no such file; a name with blanks stands in quotes", err);
	if (file < 0)
		return fw_fail(err, FW_ERR_INPUT, "%s: can't be opened: %s", path, strerror(errno));
	int code = fstat(file, &about) == 0 ? check_file(&about, path, err)
	                                    : refuse(path, "can't be looked at", err);
	if (code == FW_OK) {
		out->size = (size_t)about.st_size;
		code = read_bytes(out, file, path, err);
	}
	close(file);
	return code;
}

/* What is recorded is shown later, on terminals and paper: made harmless here once. */
static void take_name(char out[NAME_MOST + 1], const char *path)
{
	const char *slash = strrchr(path, '/');
	const char *name = slash ? slash + 1 : path;
	size_t length = strlen(name);

	/* Of one that is too long the end is kept: the ending is there. */
	snprintf(out, NAME_MOST + 1, "%s", length > NAME_MOST ? name + length - NAME_MOST : name);
	fw_text_one_line(out);
}

static int take_file(struct kept_file *out, const char *path, struct fw_error *err)
{
	memset(out, 0, sizeof *out);
	if (fw_job_is_blank(path))
		return fw_fail(err, FW_ERR_INPUT, "which file? name it");
	int code = read_file(out, path, err);
	if (code != FW_OK)
		return code;
	take_name(out->name, path);
	out->kind = fw_evidence_kind(out->bytes, out->size);
	if (!out->kind)
		return fw_fail(err, FW_ERR_INPUT,
		               "%s: by its first bytes this is none of the files that are kept: %s", path,
		               fw_evidence_kinds);
	return FW_OK;
}

static int record(struct fw_job *job, const struct kept_file *file, const char *note,
                  const char *value, struct fw_error *err)
{
	char at[32] = "";
	uint8_t head[FW_HASH];
	const struct fw_question *q = fw_job_pending(job);
	int code = fw_job_now(job, at, err);
	const struct fw_entry entry = {.kind = "evidence",
	                               .step = q ? q->step : NULL,
	                               .at = at,
	                               .who = job->who,
	                               .typed = note,
	                               .value = value};

	if (code == FW_OK)
		code = fw_trail_attach(job->trail, job->number, job->last_seq, &entry, file->bytes,
		                       file->size, head, err);
	if (code != FW_OK)
		return code;
	job->last_seq++;
	memcpy(job->head, head, sizeof head);
	memcpy(job->last_at, at, sizeof at);
	return FW_OK;
}

/* What a face says about it. */
static void keep_attached(struct fw_job *job, const struct kept_file *file, const char *hex)
{
	struct fw_attached *kept = &job->attached;

	*kept = (struct fw_attached){.seq = job->last_seq,
	                             .size = (int64_t)file->size,
	                             .kind = file->kind,
	                             .words = fw_evidence_words(file->kind),
	                             .name_fits = fw_evidence_name_fits(file->kind, file->name)};
	memcpy(kept->name, file->name, sizeof file->name);
	memcpy(kept->hash, hex, FW_HASH_TEXT);
}

int fw_job_attach(struct fw_job *job, const char *path, const char *note, struct fw_error *err)
{
	struct kept_file file = {0};
	uint8_t hash[FW_HASH];
	char hex[FW_HASH_TEXT];
	json_t *value = NULL;
	char *text = NULL;

	if (job->released)
		return fw_fail(err, FW_ERR_STATE,
		               "job %lld is released; reopen it first if this belongs to it",
		               (long long)job->number);
	note = fw_job_is_blank(note) ? NULL : note;
	int code = note ? fw_job_check_name("the note", note, err) : FW_OK;
	if (code == FW_OK)
		code = take_file(&file, path, err);
	if (code == FW_OK) {
		fw_trail_hash(hash, file.bytes, file.size);
		value = json_pack("{s:s, s:s, s:I, s:s}", "name", file.name, "kind", file.kind, "size",
		                  (json_int_t)file.size, "hash", fw_hash_text(hex, hash));
		text = value ? fw_json_text(value) : NULL;
		code = text ? record(job, &file, note, text, err)
		            : fw_fail(err, FW_ERR_MEMORY, "out of memory");
	}
	if (code == FW_OK)
		keep_attached(job, &file, hex);
	free(text);
	json_decref(value);
	free(file.bytes);
	return code;
}

const struct fw_attached *fw_job_attached(const struct fw_job *job)
{
	return job->attached.seq ? &job->attached : NULL;
}
