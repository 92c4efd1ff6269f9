/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which checks are of one figure, and which of them is as found and which as left. */
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "report/outcome.h"

static const char separators[] = " -_";

/* Letters compared without case, and any separator as any other: "As found" is in "float-as-found".
 */
static bool same_letter(char a, char b)
{
	return fw_ascii_lower(a) == b || (a && b == ' ' && strchr(separators, a));
}

/* Where `words` begin in `text`, or NULL. */
static const char *find_words(const char *text, const char *words)
{
	for (; text && *text; text++) {
		size_t i = 0;
		while (words[i] && same_letter(text[i], words[i]))
			i++;
		if (!words[i])
			return text;
	}
	return NULL;
}

static bool has_words(const char *text, const char *words)
{
	return find_words(text, words) != NULL;
}

static bool is_found(const struct fw_report_entry *verdict)
{
	const char *name = fw_get_text(verdict->ask, "name");

	if (fw_get_true(verdict->ask, "found"))
		return true;
	if (has_words(verdict->step, "as left") || has_words(name, "as left"))
		return false;
	return has_words(verdict->step, "as found") || has_words(name, "as found") ||
	       has_words(verdict->phase, "as found");
}

static const char *name_of(const struct fw_report_entry *verdict)
{
	const char *name = fw_get_text(verdict->ask, "name");

	return name ? name : verdict->step ? verdict->step : "figure";
}

/* A name without the words that say when it was checked: "float-as-found" is "float" and "". */
struct stem {
	size_t head; /* bytes in front of those words */
	const char *tail;
};

static struct stem stem_of(const char *name)
{
	const char *found = find_words(name, "as found"), *left = find_words(name, "as left");
	const char *words = found ? found : left;

	if (!words)
		return (struct stem){strlen(name), ""};
	struct stem stem = {(size_t)(words - name), words + strlen(found ? "as found" : "as left")};
	while (stem.head && strchr(separators, name[stem.head - 1]))
		stem.head--;
	stem.tail += strspn(stem.tail, separators);
	return stem;
}

static bool only_a_moment(const char *name)
{
	struct stem stem = stem_of(name);

	return stem.head == 0 && *stem.tail == '\0';
}

static bool same_stem(const char *a, const char *b)
{
	struct stem one = stem_of(a), other = stem_of(b);

	return one.head == other.head && strncmp(a, b, one.head) == 0 &&
	       strcmp(one.tail, other.tail) == 0;
}

/* Two checks are of one figure when they bear its name; or names that differ no more than "float as
 * found" and "float as left" do, when they are held against the same limits. */
static bool same_figure(const struct fw_report_figure *figure,
                        const struct fw_report_entry *verdict)
{
	const struct fw_report_entry *other = figure->left ? figure->left : figure->found;
	const char *name = name_of(verdict);

	if (strcmp(name_of(other), name) == 0)
		return true;
	const json_t *limits = json_object_get(verdict->ask, "limits");
	return same_stem(name_of(other), name) && limits &&
	       json_equal(limits, json_object_get(other->ask, "limits"));
}

/* FNV-1a, 64 bits, goes on. */
static uint64_t hash_on(uint64_t hash, const char *text, size_t length)
{
	for (size_t i = 0; i < length; i++)
		hash = (hash ^ (unsigned char)text[i]) * 0x100000001B3U;
	return hash;
}

/* Checks of one figure have one stem, whatever their names. */
static size_t stem_hash(const char *name)
{
	struct stem stem = stem_of(name);
	uint64_t hash = hash_on(0xCBF29CE484222325U, name, stem.head);

	hash = hash_on(hash, "", 1);
	hash = hash_on(hash, stem.tail, strlen(stem.tail));
	return (size_t)(hash ^ (hash >> 32));
}

/* Figures by their stem; a job may have very many. */
struct table {
	size_t *slot; /* 1 + index of a figure; 0: free */
	size_t slots; /* a power of two, more than there are verdicts */
};

/* The figure that the check is of, made when it is new; NULL: out of memory. */
static struct fw_report_figure *figure_of(struct fw_report_outcome *out, struct table *table,
                                          const struct fw_report_entry *verdict)
{
	const char *name = name_of(verdict);
	size_t at = stem_hash(name) & (table->slots - 1);

	for (; table->slot[at]; at = (at + 1) & (table->slots - 1))
		if (same_figure(&out->figures[table->slot[at] - 1], verdict))
			return &out->figures[table->slot[at] - 1];
	if ((out->count & (out->count - 1)) == 0) { /* full when it is a power of two */
		size_t room = out->count ? 2 * out->count : 1;
		struct fw_report_figure *more = realloc(out->figures, room * sizeof *more);
		if (!more)
			return NULL;
		out->figures = more;
	}
	struct fw_report_figure *figure = &out->figures[out->count++];
	*figure = (struct fw_report_figure){.name = only_a_moment(name) ? "Figure checked" : name};
	table->slot[at] = out->count;
	return figure;
}

static bool add_verdict(struct fw_report_outcome *out, struct table *table,
                        const struct fw_report_entry *verdict)
{
	struct fw_report_figure *figure = figure_of(out, table, verdict);

	if (!figure)
		return false;
	if (!is_found(verdict)) {
		figure->first = figure->left && !figure->first ? figure->left : figure->first;
		figure->left = verdict;
	} else if (!figure->found) {
		figure->found = verdict;
	}
	figure->checks++;
	return true;
}

int fw_report_figures(struct fw_report_outcome *out, const struct fw_report_job *job,
                      struct fw_error *err)
{
	const struct fw_report_entry *verdict = NULL;
	struct table table = {.slots = 16};
	size_t verdicts = 0;

	while ((verdict = fw_report_next(job, verdict, "verdict")))
		verdicts++;
	while (table.slots < 2 * verdicts)
		table.slots *= 2;
	table.slot = calloc(table.slots, sizeof *table.slot);
	bool made = table.slot != NULL;
	while (made && (verdict = fw_report_next(job, verdict, "verdict")))
		made = add_verdict(out, &table, verdict);
	free(table.slot);
	return made ? FW_OK
	            : fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory", (long long)job->number);
}
