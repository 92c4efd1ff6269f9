/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/outcome.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "report/joint.h"
#include "report/put.h"

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

static int add_verdict(struct fw_report_outcome *out, const struct fw_report_entry *verdict)
{
	struct fw_report_figure *figure = NULL;

	for (size_t i = 0; i < out->count && !figure; i++)
		if (same_figure(&out->figures[i], verdict))
			figure = &out->figures[i];
	if (!figure) {
		struct fw_report_figure *more = realloc(out->figures, (out->count + 1) * sizeof *more);
		if (!more)
			return FW_ERR_MEMORY;
		out->figures = more;
		figure = &more[out->count++];
		*figure = (struct fw_report_figure){
		    .name = only_a_moment(name_of(verdict)) ? "Figure checked" : name_of(verdict)};
	}
	if (!is_found(verdict))
		figure->left = verdict;
	else if (!figure->found)
		figure->found = verdict;
	figure->checks++;
	return FW_OK;
}

const char *fw_report_verdict(const struct fw_report_entry *verdict)
{
	const char *word = verdict ? fw_get_text(verdict->value, "verdict") : NULL;

	return word ? word : "no verdict";
}

static void count_figure(struct fw_report_outcome *out, const struct fw_report_figure *figure)
{
	if (!figure->left)
		return;
	const char *verdict = fw_report_verdict(figure->left);
	if (strcmp(verdict, "within") == 0)
		out->within++;
	else if (strcmp(verdict, "outside") == 0)
		out->outside++;
	else
		out->doubtful++;
}

static void count_rest(struct fw_report_outcome *out, const struct fw_report_job *job)
{
	const struct fw_report_entry *entry = NULL;
	struct fw_report_joint joint = {NULL, NULL};

	while ((entry = fw_report_next(job, entry, "trial")))
		out->surprises += fw_get_true(entry->value, "surprise");
	while ((entry = fw_report_next(job, entry, "part"))) {
		const char *decision = fw_get_text(entry->ask, "decision");
		out->rejected += decision && strcmp(decision, "reject") == 0;
	}
	while ((entry = fw_report_next_answer(job, entry)))
		out->kept += fw_get_true(entry->value, "confirmed");
	while ((entry = fw_report_next_kind(job, entry, "sign")))
		out->signatures++;
	while (fw_report_next_joint(job, &joint)) {
		out->otherwise += fw_report_joint_otherwise(&joint);
		out->overloaded += fw_report_joint_overloaded(&joint);
		out->warned += fw_report_joint_warning(&joint, 0) != NULL;
	}
	out->released = fw_report_release(job) != NULL;
}

static void write_sentence(struct fw_report_outcome *out)
{
	const char *state = !out->released         ? "Not finished"
	                    : out->signatures == 0 ? "Released without a sign-off"
	                                           : "Released";
	size_t left = out->within + out->outside + out->doubtful;
	char figures[128];

	if (left == 0)
		fw_report_print(figures, sizeof figures, "no figure checked as left");
	else if (out->within == 1 && left == 1)
		fw_report_print(figures, sizeof figures, "the figure checked is within its limits");
	else if (out->within == left)
		fw_report_print(figures, sizeof figures, "all %zu figures checked are within their limits",
		                left);
	else if (out->outside && out->doubtful)
		fw_report_print(figures, sizeof figures,
		                "of %zu figures checked %zu outside and %zu doubtful", left, out->outside,
		                out->doubtful);
	else
		fw_report_print(figures, sizeof figures, "of %zu figure%s checked %zu %s", left,
		                left == 1 ? "" : "s", out->outside + out->doubtful,
		                out->outside ? "outside" : "doubtful");
	fw_report_print(out->sentence, sizeof out->sentence, "%s: %s.", state, figures);
	out->alarm = !out->released || out->signatures == 0 || out->outside + out->doubtful > 0 ||
	             out->otherwise + out->overloaded + out->warned > 0;
}

const char *fw_report_warning(char *buffer, size_t size, const struct fw_report_outcome *outcome,
                              size_t index)
{
	const struct {
		size_t count;
		const char *one, *many;
	} warnings[] = {
	    {outcome->otherwise, "A joint was tightened otherwise than asked; see the torques.",
	     " joints were tightened otherwise than asked; see the torques."},
	    {outcome->overloaded, "A joint can pass its proof load; see the torques.",
	     " joints can pass their proof load; see the torques."},
	    {outcome->warned, "A joint may not stand its torque; see what to beware of at the torques.",
	     " joints may not stand their torque; see what to beware of at the torques."},
	    {outcome->surprises,
	     "A trial was a surprise: a reading far from its prediction; see the trials.",
	     " trials were surprises: readings far from their prediction; see the trials."},
	    {outcome->kept,
	     "A reading was kept though it was queried as implausible; see the measurements and the "
	     "log.",
	     " readings were kept though they were queried as implausible; see the measurements "
	     "and the log."},
	    {outcome->rejected, "A part was rejected; see the parts.",
	     " parts were rejected; see the parts."},
	};

	for (size_t i = 0; i < sizeof warnings / sizeof *warnings; i++) {
		if (warnings[i].count == 0 || index-- > 0)
			continue;
		if (warnings[i].count == 1)
			fw_report_print(buffer, size, "%s", warnings[i].one);
		else
			fw_report_print(buffer, size, "%zu%s", warnings[i].count, warnings[i].many);
		return buffer;
	}
	return NULL;
}

int fw_report_judge(struct fw_report_outcome *out, const struct fw_report_job *job,
                    struct fw_error *err)
{
	const struct fw_report_entry *verdict = NULL;

	*out = (struct fw_report_outcome){.count = 0};
	while ((verdict = fw_report_next(job, verdict, "verdict")))
		if (add_verdict(out, verdict) != FW_OK)
			return fw_fail(err, FW_ERR_MEMORY, "job %lld: out of memory", (long long)job->number);
	for (size_t i = 0; i < out->count; i++)
		count_figure(out, &out->figures[i]);
	count_rest(out, job);
	write_sentence(out);
	return FW_OK;
}

void fw_report_outcome_free(struct fw_report_outcome *outcome)
{
	free(outcome->figures);
	*outcome = (struct fw_report_outcome){.count = 0};
}

const char *fw_report_verdict_text(char *buffer, size_t size, const struct fw_report_entry *verdict)
{
	char percent[32], margin[128];
	double probability = fw_get_number(verdict->value, "probability");
	const json_t *distance = json_object_get(verdict->value, "margin");
	struct fw_report_quantity q;

	buffer[0] = '\0';
	if (isfinite(probability))
		fw_report_print(buffer, size, "probability of lying within: %s",
		                fw_report_percent(percent, sizeof percent, probability));
	if (fw_report_quantity(&q, distance)) {
		size_t used = strlen(buffer);
		const char *side = q.si < 0 ? "beyond the nearer limit by" : "clear of the nearer limit by";
		fw_report_quantity_text(margin, sizeof margin, distance, false);
		fw_report_print(buffer + used, size - used, "%s%s %s", used ? "; " : "", side,
		                margin[0] == '-' ? margin + 1 : margin);
	}
	return buffer;
}

const char *fw_report_grade_text(const char *grade)
{
	static const char *const words[][2] = {
	    {"standard", "published standard"},
	    {"maker", "maker's data"},
	    {"measured", "measured"},
	    {"owner", "owner's word"},
	    {"practice", "common practice, no source"},
	};

	for (size_t i = 0; grade && i < sizeof words / sizeof *words; i++)
		if (strcmp(words[i][0], grade) == 0)
			return words[i][1];
	return grade ? grade : "no grade given";
}
