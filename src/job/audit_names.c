/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What withdrawals, amendments, lapses and reopenings name: it must have stood when they were
 * recorded. The entries are gone through once, in order, as they were written. */
#include <stdlib.h>
#include <string.h>

#include "audit_internal.h"
#include "shop/words.h"

/* How things stood at some entry. What strikes is remembered, so that it can be taken back. */
struct then {
	const struct fw_records *records;
	bool *stands;   /* each answer */
	size_t *answer; /* indices of answers that weren't withdrawn, in order */
	size_t answers;
	struct {
		size_t by, old; /* which entry struck which answer */
	} * strike;
	size_t strikes, room;
	bool released;
};

static const struct fw_record *last_standing(const struct then *then)
{
	for (size_t i = then->answers; i > 0; i--)
		if (then->stands[then->answer[i - 1]])
			return &then->records->list[then->answer[i - 1]];
	return NULL;
}

/* The answer of that number that stands, or NULL. */
static const struct fw_record *standing(const struct then *then, const json_t *seq)
{
	const struct fw_record *record = fw_records_find(then->records, json_integer_value(seq));

	return record && then->stands[record - then->records->list] ? record : NULL;
}

static bool strike(struct then *then, size_t by, const struct fw_record *old)
{
	if (then->strikes == then->room) {
		size_t room = then->room ? 2 * then->room : 64;
		void *list = realloc(then->strike, room * sizeof *then->strike);
		if (!list)
			return false;
		then->strike = list;
		then->room = room;
	}
	then->strike[then->strikes].by = by;
	then->strike[then->strikes++].old = (size_t)(old - then->records->list);
	then->stands[old - then->records->list] = false;
	return true;
}

static const char *text_of(const struct fw_record *record, const char *key)
{
	return json_string_value(json_object_get(record->value, key));
}

static bool same(const char *a, const char *b)
{
	return a && b && strcmp(a, b) == 0;
}

/* Each of the four says whether it names what it may, and does what it names. */

static bool take_back(struct then *then, size_t at)
{
	const struct fw_record *record = &then->records->list[at];
	const struct fw_record *last = last_standing(then);

	if (!last || !same(last->step, record->step) || json_object_size(record->value) != 1 ||
	    json_integer_value(json_object_get(record->value, "entry")) != last->seq)
		return false;
	size_t from = (size_t)(last - then->records->list);
	while (then->strikes > 0 && then->strike[then->strikes - 1].by >= from)
		then->stands[then->strike[--then->strikes].old] = true;
	while (then->answers > 0 && then->answer[then->answers - 1] >= from)
		then->stands[then->answer[--then->answers]] = false;
	return true;
}

static bool amend(struct then *then, size_t at)
{
	const struct fw_record *record = &then->records->list[at];
	const struct fw_record *old = standing(then, json_object_get(record->value, "amends"));
	const char *reason = text_of(record, "reason");

	return old && !fw_record_is(old, "sign") && same(old->step, record->step) &&
	       same(old->ask_text, record->ask_text) && !fw_job_is_blank(reason) &&
	       strike(then, at, old);
}

/* All answers that are listed stand, and come in order; the first is one. */
static bool strike_listed(struct then *then, size_t at, bool findings)
{
	const json_t *list = json_object_get(then->records->list[at].value, "entries");
	int64_t before = 0;

	for (size_t i = 0; i < json_array_size(list); i++) {
		int64_t seq = json_integer_value(json_array_get(list, i));
		const struct fw_record *old = fw_records_find(then->records, seq);
		bool finding = findings && i > 0 && old && fw_record_is(old, "finding");
		if (seq <= before ||
		    (!finding && (!standing(then, json_array_get(list, i)) || !strike(then, at, old))))
			return false;
		before = seq;
	}
	return json_array_size(list) > 0;
}

static bool lapse(struct then *then, size_t at)
{
	return json_object_size(then->records->list[at].value) == 1 && strike_listed(then, at, false);
}

/* What a reopening may hold. Its list isn't in the order of the entries where answers were amended.
 */
static bool reopen(struct then *then, size_t at)
{
	static const char *const keys[] = {"name",   "role",    "meaning", "count", "head",
	                                   "reason", "entries", "shop",    "key",   "signature"};
	const struct fw_record *record = &then->records->list[at];
	const char *name = text_of(record, "name");
	size_t known = 0;

	for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
		known += json_object_get(record->value, keys[i]) != NULL;
	if (!then->released || known != json_object_size(record->value) || !name ||
	    !fw_words_alike(name, record->typed) || fw_job_is_blank(text_of(record, "reason")))
		return false;
	then->released = false;
	return strike_listed(then, at, true);
}

static const struct {
	const char *kind;
	bool (*does)(struct then *then, size_t at);
	const char *problem;
} kinds[] = {
    {"withdraw", take_back, "it doesn't take back the last answer that stood then"},
    {"amend", amend,
     "it doesn't amend an answer that stood then, to the same question, with a reason"},
    {"lapse", lapse, "it doesn't list, in order, answers that stood then"},
    {"reopen", reopen,
     "it doesn't open a released job again, by the one who typed the name, with a reason, and "
     "strike "
     "answers that stood then"},
};

/* NULL: nothing is wrong with it. */
static const char *look_at(struct then *then, size_t at)
{
	const struct fw_record *record = &then->records->list[at];

	if (then->released && !fw_record_is(record, "reopen"))
		return "it was recorded after the release, and no reopening lies between";
	for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
		if (fw_record_is(record, kinds[i].kind) && !kinds[i].does(then, at))
			return kinds[i].problem;
	if (fw_record_is(record, "release"))
		then->released = true;
	if (fw_record_answers(record)) {
		then->stands[at] = true;
		then->answer[then->answers++] = at;
	}
	return NULL;
}

void fw_audit_names(struct fw_audit *audit, const struct fw_records *records)
{
	struct then then = {.records = records};
	const char *problem = NULL;

	then.stands = calloc(records->count, sizeof *then.stands);
	then.answer = calloc(records->count, sizeof *then.answer);
	if (!then.stands || !then.answer)
		problem = "not enough memory to look at what it names";
	for (size_t i = 0; !problem && i < records->count; i++) {
		problem = look_at(&then, i);
		if (problem) /* what comes after it can't be told */
			fw_audit_say(audit, FW_AUDIT_BROKEN, records->list[i].seq, problem,
			             "no release of this program wrote it so");
	}
	free(then.stands);
	free(then.answer);
	free(then.strike);
}
