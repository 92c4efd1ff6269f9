/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/outcome.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/joint.h"
#include "report/put.h"

const char *fw_report_verdict(const struct fw_report_entry *verdict)
{
	const char *word = verdict ? fw_get_text(verdict->value, "verdict") : NULL;

	return word ? word : "no verdict";
}

/* The concession is for this very value. */
static const struct fw_report_concession *concession_of(const struct fw_report_outcome *out,
                                                        const struct fw_report_entry *verdict)
{
	for (size_t i = 0; i < out->concession_count; i++) {
		const struct fw_report_entry *finding = out->concessions[i].finding;
		if (finding && finding->step && verdict->step &&
		    strcmp(finding->step, verdict->step) == 0 &&
		    json_equal(json_object_get(finding->ask, "value"),
		               json_object_get(verdict->ask, "value")))
			return &out->concessions[i];
	}
	return NULL;
}

static void count_figure(struct fw_report_outcome *out, struct fw_report_figure *figure)
{
	const struct fw_report_entry *last = figure->left ? figure->left : figure->found;

	if (figure->found)
		figure->first = NULL;
	out->coarse += fw_report_too_coarse(last);
	if (!figure->left)
		return;
	const char *verdict = fw_report_verdict(figure->left);
	if (strcmp(verdict, "within") == 0) {
		out->within++;
		return;
	}
	if (strcmp(verdict, "outside") == 0)
		out->outside++;
	else
		out->doubtful++;
	figure->conceded = concession_of(out, figure->left);
	out->conceded += figure->conceded != NULL;
}

static void count_signature(struct fw_report_outcome *out, const struct fw_report_job *job,
                            const struct fw_report_entry *entry)
{
	struct fw_report_signature sign;

	fw_report_signature(&sign, job, entry);
	out->wrong += fw_report_hand_wrong(&sign);
	out->dependent += sign.dependent;
	out->holds += sign.purpose == FW_FOR_HOLD;
	if (sign.purpose == FW_FOR_REOPEN) {
		out->reopened = entry;
	} else {
		out->signatures++;
		out->nameless += sign.hand == FW_HAND_NAME;
	}
	if (sign.purpose == FW_FOR_SIGN)
		out->released_by = entry;
}

static void add_worker(struct fw_report_outcome *out, const char *who)
{
	for (size_t i = 0; i < out->workers; i++)
		if (strcmp(out->worker[i], who) == 0)
			return;
	if (out->workers == FW_REPORT_WORKERS)
		out->more_workers = true;
	else
		out->worker[out->workers++] = who;
}

/* Work that was taken back was done all the same. */
static void find_workers(struct fw_report_outcome *out, const struct fw_report_job *job)
{
	for (size_t i = 0; i < job->count; i++) {
		const struct fw_report_entry *entry = &job->entries[i];
		bool work = fw_report_is(entry, "answer") || fw_report_is(entry, "amend");
		if (work && entry->who && *entry->who)
			add_worker(out, entry->who);
	}
	if (out->workers == 0 && job->entries[0].who && *job->entries[0].who)
		add_worker(out, job->entries[0].who);
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
	while ((entry = fw_report_next_answer(job, entry))) {
		out->kept += fw_get_true(entry->value, "confirmed");
		out->amended += fw_report_is(entry, "amend");
	}
	while ((entry = fw_report_next_kind(job, entry, "evidence")))
		out->evidence++;
	while ((entry = fw_report_next_signature(job, entry)))
		count_signature(out, job, entry);
	while (fw_report_next_joint(job, &joint)) {
		out->otherwise += fw_report_joint_otherwise(&joint);
		out->overloaded += fw_report_joint_overloaded(&joint);
		out->warned += fw_report_joint_warning(&joint, 0) != NULL;
	}
	find_workers(out, job);
	out->released = fw_report_release(job) != NULL;
}

static void write_sentence(struct fw_report_outcome *out)
{
	const char *state = out->released && out->signatures == 0 ? "Released without a sign-off"
	                    : out->released                       ? "Released"
	                    : out->reopened                       ? "Reopened, not released again"
	                                                          : "Not finished";
	size_t left = out->within + out->outside + out->doubtful;
	char figures[128], conceded[64] = "";

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
	if (out->conceded == out->outside + out->doubtful)
		fw_report_print(conceded, sizeof conceded, "%s", out->conceded ? ", conceded" : "");
	else if (out->conceded)
		fw_report_print(conceded, sizeof conceded, ", %zu conceded", out->conceded);
	fw_report_print(out->sentence, sizeof out->sentence, "%s: %s%s.", state, figures, conceded);
	out->alarm = !out->released || out->signatures == 0 || out->outside + out->doubtful > 0 ||
	             out->otherwise + out->overloaded + out->warned > 0 || out->concession_count > 0 ||
	             out->wrong + out->dependent > 0 || out->gauges.overdue + out->gauges.bad > 0;
}

const char *fw_report_warning(char *buffer, size_t size, const struct fw_report_outcome *outcome,
                              size_t index)
{
	const struct {
		size_t count;
		const char *one, *many;
	} warnings[] = {
	    {outcome->wrong,
	     "A signature doesn't fit its key, or the key isn't the signer's, or was out of use; see "
	     "the sign-off.",
	     " signatures don't fit their keys, or the keys aren't the signers', or were out of use; "
	     "see the sign-off."},
	    {outcome->dependent,
	     "A hold point or concession was signed by somebody who also did the work.",
	     " hold points or concessions were signed by somebody who also did the work."},
	    {outcome->gauges.bad,
	     "A reading was taken with a gauge that was later found bad for that day; see the gauges.",
	     " readings were taken with a gauge that was later found bad for that day; see the "
	     "gauges."},
	    {outcome->gauges.overdue,
	     "A reading was taken with a gauge that was overdue for calibration; see the gauges.",
	     " readings were taken with a gauge that was overdue for calibration; see the gauges."},
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
	    {outcome->coarse,
	     "A figure was measured with gauges too coarse for its limits; see its rule.",
	     " figures were measured with gauges too coarse for their limits; see their rules."},
	    {outcome->amended, "An answer was amended after it was given; see the log.",
	     " answers were amended after they were given; see the log."},
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

int fw_report_judge_figures(struct fw_report_outcome *out, const struct fw_report_job *job,
                            struct fw_error *err)
{
	*out = (struct fw_report_outcome){.count = 0};
	int code = fw_report_concessions(&out->concessions, &out->concession_count, job, err);
	if (code != FW_OK)
		return code;
	code = fw_report_figures(out, job, err);
	if (code != FW_OK)
		return code;
	for (size_t i = 0; i < out->count; i++)
		count_figure(out, &out->figures[i]);
	return FW_OK;
}

int fw_report_judge(struct fw_report_outcome *out, const struct fw_report_job *job,
                    struct fw_error *err)
{
	int code = fw_report_judge_figures(out, job, err);

	if (code == FW_OK)
		code = fw_report_gauges(&out->gauges, job, err);
	if (code != FW_OK)
		return code;
	count_rest(out, job);
	write_sentence(out);
	return FW_OK;
}

void fw_report_outcome_free(struct fw_report_outcome *outcome)
{
	free(outcome->figures);
	free(outcome->concessions);
	fw_report_gauges_free(&outcome->gauges);
	*outcome = (struct fw_report_outcome){.count = 0};
}

/* Roles and key, where the shop's log has them. */
const char *fw_report_person_text(char *buffer, size_t size, const struct fw_report_job *job,
                                  const char *name)
{
	const struct fw_person *person = fw_people_find(&job->people, name);
	char key[FW_FINGERPRINT_TEXT], roles[200] = "";

	for (size_t i = 0; person && i < person->roles; i++) {
		size_t used = strlen(roles);
		fw_report_print(roles + used, sizeof roles - used, "%s%s", i ? ", " : "", person->role[i]);
	}
	if (person)
		fw_report_print(buffer, size, "%s (%s%skey %.19s)", name, roles, roles[0] ? "; " : "",
		                fw_key_fingerprint(key, person->key));
	else if (job->people.count)
		fw_report_print(buffer, size, "%s (no key)", name);
	else
		fw_report_print(buffer, size, "%s", name);
	return buffer;
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
