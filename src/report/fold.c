/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which entries stand: what was taken back, amended, lapsed or reopened strikes others out. Each
 * pass goes over the entries about once, however many of these there are. */
#include <stdlib.h>
#include <string.h>

#include "report/joint.h"

/* How far ahead the finding is looked for that an amendment struck and that was found anew. */
#define LOOK 64

bool fw_report_is(const struct fw_report_entry *entry, const char *kind)
{
	return strcmp(entry->kind, kind) == 0;
}

bool fw_report_answers(const struct fw_report_entry *entry)
{
	return fw_report_is(entry, "answer") || fw_report_is(entry, "sign") ||
	       fw_report_is(entry, "amend");
}

/* Index of the first entry from `seq` on. */
static size_t index_from(const struct fw_report_job *job, int64_t seq)
{
	size_t low = 0, high = job->count;

	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (job->entries[middle].seq < seq)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

static struct fw_report_entry *find(const struct fw_report_job *job, int64_t seq)
{
	size_t index = index_from(job, seq);

	return index < job->count && job->entries[index].seq == seq ? &job->entries[index] : NULL;
}

const struct fw_report_entry *fw_report_entry(const struct fw_report_job *job, int64_t seq)
{
	return find(job, seq);
}

/* `next[i]` leads to the first entry from `i` on that may still be struck; paths are halved on the
 * way. */
static size_t next_of(size_t *next, size_t i)
{
	while (next[i] != i) {
		next[i] = next[next[i]];
		i = next[i];
	}
	return i;
}

/* Strikes what may be struck from entry `seq` up to the one at `end`. */
static void strike(struct fw_report_job *job, size_t *next, int64_t seq, size_t end)
{
	size_t first = index_from(job, seq);

	for (size_t i = next_of(next, first > 0 ? first : 1); i < end; i = next_of(next, i)) {
		job->entries[i].struck_by = job->entries[end].seq;
		next[i] = i + 1;
	}
}

/* A withdrawal takes back all from the entry it names up to itself; files that were attached stay.
 */
static void take_back(struct fw_report_job *job, size_t *next)
{
	for (size_t i = 0; i <= job->count; i++) {
		bool stays = i < job->count && (fw_report_is(&job->entries[i], "withdraw") ||
		                                fw_report_is(&job->entries[i], "evidence"));
		next[i] = stays ? i + 1 : i;
	}
	for (size_t i = 0; i < job->count; i++) {
		if (!fw_report_is(&job->entries[i], "withdraw"))
			continue;
		int64_t entry = fw_get_whole(job->entries[i].value, "entry", 0);
		if (entry >= 2) /* the beginning can't be taken back */
			strike(job, next, entry, i);
	}
}

/* The answer (or amendment) that an amendment names; NULL when it names none before it. */
static struct fw_report_entry *amended(const struct fw_report_job *job,
                                       const struct fw_report_entry *amend)
{
	struct fw_report_entry *old = find(job, fw_get_whole(amend->value, "amends", 0));

	return old && old->seq < amend->seq && fw_report_answers(old) ? old : NULL;
}

static void strike_one(struct fw_report_entry *entry, const struct fw_report_entry *by)
{
	if (entry && entry->seq < by->seq && !entry->struck_by)
		entry->struck_by = by->seq;
}

/* Answers, and what was found after them. */
static void strike_listed(struct fw_report_job *job, const struct fw_report_entry *by)
{
	size_t i;
	const json_t *seq;

	json_array_foreach(json_object_get(by->value, "entries"), i, seq)
	{
		struct fw_report_entry *entry = find(job, json_integer_value(seq));
		if (entry && (fw_report_answers(entry) || fw_report_is(entry, "finding")))
			strike_one(entry, by);
	}
}

/* Amendments, lapses and reopenings that weren't taken back. */
static void strike_named(struct fw_report_job *job, size_t *next)
{
	struct fw_report_entry *release = NULL;

	for (size_t i = 0; i <= job->count; i++) {
		bool finding = i < job->count && fw_report_is(&job->entries[i], "finding") &&
		               !job->entries[i].struck_by;
		next[i] = finding || i == job->count ? i : i + 1;
	}
	for (size_t i = 0; i < job->count; i++) {
		struct fw_report_entry *entry = &job->entries[i];
		struct fw_report_entry *old = fw_report_is(entry, "amend") ? amended(job, entry) : NULL;
		entry->root = old ? old->root : entry->seq;
		if (entry->struck_by)
			continue;
		if (old) {
			strike_one(old, entry);
			strike(job, next, old->seq, i);
		} else if (fw_report_is(entry, "release")) {
			release = entry;
		} else if (fw_report_is(entry, "reopen")) {
			strike_one(release, entry);
			strike_listed(job, entry);
		} else if (fw_report_is(entry, "lapse")) {
			strike_listed(job, entry);
		}
	}
}

struct by_root {
	int64_t root;
	size_t index;
};

static int compare_roots(const void *a, const void *b)
{
	const struct by_root *one = a, *other = b;

	if (one->root != other->root)
		return one->root < other->root ? -1 : 1;
	return (one->index > other->index) - (one->index < other->index);
}

static bool put_in_order(struct fw_report_job *job)
{
	struct by_root *list = calloc(job->count, sizeof *list);

	job->order = calloc(job->count, sizeof *job->order);
	if (!list || !job->order) {
		free(list);
		return false;
	}
	for (size_t i = 0; i < job->count; i++)
		if (!job->entries[i].struck_by && fw_report_answers(&job->entries[i]))
			list[job->answers++] = (struct by_root){job->entries[i].root, i};
	qsort(list, job->answers, sizeof *list, compare_roots);
	for (size_t i = 0; i < job->answers; i++)
		job->order[i] = list[i].index;
	free(list);
	return true;
}

/* What follows from answers goes on; and while an amendment's findings are found anew, those it
 * struck. */
struct thread {
	const char *phase;
	int64_t after;
	const struct fw_report_entry *amend; /* NULL: none yet, or all were found anew */
	size_t struck;                       /* index from which on its findings are looked for */
};

static bool same(const char *a, const char *b)
{
	return a && b ? strcmp(a, b) == 0 : a == b;
}

static bool is_again(const struct fw_report_entry *finding, const struct fw_report_entry *old)
{
	const char *find = fw_get_text(finding->ask, "find");

	return find && same(finding->step, old->step) && same(find, fw_get_text(old->ask, "find"));
}

/* The finding that the amendment struck and of which this is the same, found anew. */
static const struct fw_report_entry *find_again(const struct fw_report_job *job,
                                                struct thread *thread,
                                                const struct fw_report_entry *finding)
{
	size_t looked = 0;

	for (size_t i = thread->struck; thread->amend && looked < LOOK; i++) {
		const struct fw_report_entry *old = &job->entries[i];
		if (old >= thread->amend)
			break;
		if (old->struck_by != thread->amend->seq || !fw_report_is(old, "finding"))
			continue;
		looked++;
		if (is_again(finding, old)) {
			thread->struck = i + 1;
			return old;
		}
	}
	return NULL;
}

/* Whether an answer stands in that place: the one given there, or an amendment of it. */
static bool place_stands(const struct fw_report_job *job, int64_t root)
{
	size_t low = 0, high = job->answers;

	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (job->entries[job->order[middle]].root < root)
			low = middle + 1;
		else
			high = middle;
	}
	return low < job->answers && job->entries[job->order[low]].root == root;
}

/* A finding that follows from an answer that lapsed, and is found anew, follows from the one given
 * in its place: the last. */
static void follow(const struct fw_report_job *job, struct thread *thread,
                   const struct fw_report_entry *finding)
{
	thread->phase = finding->phase;
	if (finding->after == 0 || place_stands(job, finding->after))
		thread->after = finding->after;
}

/* Phase and answer of each entry: those of the question before, and of what an amendment's findings
 * were before they were found anew. */
static void thread_through(struct fw_report_job *job)
{
	struct thread thread = {NULL, 0, NULL, 0};

	for (size_t i = 0; i < job->count; i++) {
		struct fw_report_entry *entry = &job->entries[i];
		const char *own = fw_get_text(entry->ask, "phase");
		bool finding = fw_report_is(entry, "finding");
		const struct fw_report_entry *old = finding ? find_again(job, &thread, entry) : NULL;

		if (own)
			thread.phase = own;
		if (old)
			follow(job, &thread, old);
		else if (fw_report_answers(entry))
			thread.after = entry->root;
		entry->phase = thread.phase;
		entry->after = finding ? thread.after : 0;
		if (fw_report_is(entry, "amend") && !entry->struck_by) {
			thread.amend = entry;
			thread.struck = index_from(job, fw_get_whole(entry->value, "amends", INT64_MAX));
		}
	}
}

int fw_report_fold(struct fw_report_job *job, struct fw_error *err)
{
	size_t *next = calloc(job->count + 2, sizeof *next);
	bool done = next != NULL;

	if (done) {
		take_back(job, next);
		strike_named(job, next);
		done = put_in_order(job);
	}
	if (done) {
		thread_through(job);
		done = fw_report_pair_joints(job);
	}
	free(next);
	return done ? FW_OK
	            : fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory", (long long)job->number);
}

const char *fw_report_struck(const struct fw_report_job *job, const struct fw_report_entry *entry)
{
	static const char *const words[][2] = {{"withdraw", "taken back"},
	                                       {"amend", "amended"},
	                                       {"lapse", "lapsed"},
	                                       {"reopen", "reopened"}};
	const struct fw_report_entry *by = entry->struck_by ? find(job, entry->struck_by) : NULL;

	for (size_t i = 0; by && i < sizeof words / sizeof *words; i++)
		if (fw_report_is(by, words[i][0]))
			return words[i][1];
	return NULL;
}

const char *fw_report_reason(const struct fw_report_entry *entry)
{
	if (fw_report_is(entry, "withdraw"))
		return entry->typed;
	if (fw_report_is(entry, "lapse"))
		return "the work went another way after an amendment";
	return fw_get_text(entry->value, "reason");
}
