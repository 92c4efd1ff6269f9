/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <math.h>
#include <string.h>

#include "face/gauge_show.h"
#include "face/glyph.h"
#include "face/number_line.h"
#include "face/show.h"
#include "face/wrap.h"

static enum fw_style verdict_style(const char *verdict)
{
	return strcmp(verdict, "within") == 0    ? FW_STYLE_WITHIN
	       : strcmp(verdict, "outside") == 0 ? FW_STYLE_OUTSIDE
	                                         : FW_STYLE_DOUBTFUL;
}

/* "0.050 mm inside the nearer limit", or nothing. */
static void margin_text(const struct fw_finding *finding, char *buffer, size_t size)
{
	double margin = fmin(finding->value - finding->min, finding->max - finding->value);
	char text[64];

	buffer[0] = '\0';
	if (!finding->has_scale || !finding->unit || !isfinite(margin))
		return;
	struct fw_quantity distance = fw_quantity_span(fabs(margin), finding->unit);
	fw_quantity_text(&distance, false, text, sizeof text);
	snprintf(buffer, size, "%s %s the nearer limit", text, margin < 0 ? "beyond" : "inside");
}

/* "98.2 % likely within". Never "100 %" or "0 %" for what is only nearly so. */
static void probability_text(const struct fw_finding *finding, char *buffer, size_t size)
{
	double percent = finding->probability * 100;

	buffer[0] = '\0';
	if (!finding->has_scale || !(percent >= 0 && percent <= 100))
		return;
	if (percent > 99.9)
		snprintf(buffer, size, "over 99.9 %% likely within");
	else if (percent < 0.1)
		snprintf(buffer, size, "under 0.1 %% likely within");
	else
		snprintf(buffer, size, "%.1f %% likely within", percent);
}

/* Told apart without colour too. */
static const char *verdict_word(const char *verdict)
{
	return strcmp(verdict, "within") == 0     ? "WITHIN"
	       : strcmp(verdict, "outside") == 0  ? "OUTSIDE"
	       : strcmp(verdict, "doubtful") == 0 ? "DOUBTFUL"
	                                          : verdict;
}

static int show_verdict_word(const struct fw_screen *screen, const char *verdict)
{
	enum fw_style style = verdict_style(verdict);

	fputs("  ", screen->out);
	fw_style_on(screen, style);
	int used = fw_text_print(screen, verdict_word(verdict), -1);
	fw_style_off(screen, style);
	return used + 2;
}

/* In one line if it fits, else the word alone and the rest under it. */
static void show_verdict(const struct fw_screen *screen, const struct fw_finding *finding)
{
	char margin[128], probability[64];
	char rest[256];

	margin_text(finding, margin, sizeof margin);
	probability_text(finding, probability, sizeof probability);
	snprintf(rest, sizeof rest, "%s%s%s", margin, *margin && *probability ? "; " : "", probability);
	int used = show_verdict_word(screen, finding->verdict);
	if (*rest && used + 2 + fw_text_width(rest, screen->utf8) > screen->width) {
		fputc('\n', screen->out);
		fw_wrap(screen, rest, 4, FW_STYLE_PLAIN);
		return;
	}
	if (*rest)
		fputs(", ", screen->out);
	fw_text_print(screen, rest, -1);
	fputc('\n', screen->out);
}

static void show_surprise(const struct fw_screen *screen, const struct fw_finding *finding)
{
	fputc('\n', screen->out);
	fw_style_on(screen, FW_STYLE_SURPRISE);
	fputs("** SURPRISE **", screen->out);
	fw_style_off(screen, FW_STYLE_SURPRISE);
	fputc('\n', screen->out);
	fw_wrap(screen, finding->text ? finding->text : "", 3, FW_STYLE_STRONG);
}

void fw_finding_show(const struct fw_screen *screen, const struct fw_finding *finding)
{
	if (finding->find && strcmp(finding->find, "surprise") == 0) {
		show_surprise(screen, finding);
	} else if (finding->text && *finding->text) {
		fputc('\n', screen->out);
		fw_wrap(screen, finding->text, 2, FW_STYLE_PLAIN);
	}
	if (finding->has_scale) {
		struct fw_number_line line = {
		    .value = finding->value,
		    .u = finding->u,
		    .limits = {.min = finding->min, .max = finding->max, .aim = finding->aim},
		    .unit = finding->unit,
		};
		fw_number_line_draw(screen, &line);
	}
	if (finding->verdict)
		show_verdict(screen, finding);
}

static struct fw_shown shown_by(const struct fw_question *question)
{
	struct fw_shown shown = {
	    .step = fw_source_name(question->step ? question->step : ""),
	    .say = fw_source_name(question->say ? question->say : ""),
	};

	for (size_t i = 0; i < question->option_count; i++)
		shown.options = shown.options * 31 + fw_source_name(question->options[i]);
	return shown;
}

/* Who may sign, and what there is to say about it. That it can't be looked up comes out when it is
 * signed. */
static void show_signers(const struct fw_screen *screen, const struct fw_job *job)
{
	char text[800];

	if (fw_job_signers(job, text, sizeof text, NULL) == FW_OK && text[0] != '\0')
		fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
}

void fw_job_show_next(const struct fw_screen *screen, const struct fw_job *job,
                      struct fw_shown *shown)
{
	const struct fw_question *question = fw_job_pending(job);
	size_t count = 0;
	const struct fw_finding *findings = fw_job_findings(job, &count);

	for (size_t i = 0; i < count; i++)
		fw_finding_show(screen, &findings[i]);
	if (!question)
		return;

	struct fw_shown now = shown_by(question);
	const char *note;
	const struct fw_shop_gauge *gauge = fw_job_gauge(job, &note);
	now.gauge = fw_gauge_shown(gauge, note);
	bool goes_on = now.step == shown->step && now.say == shown->say && count == 0;
	if (goes_on)
		fw_question_show_item(screen, question, now.options != shown->options);
	else
		fw_question_show(screen, question, fw_job_answered(job));
	if (!goes_on || now.gauge != shown->gauge)
		fw_gauge_show(screen, gauge, note);
	if (question->ask == FW_ASK_SIGN)
		show_signers(screen, job);
	*shown = now;
}

void fw_job_show_head(const struct fw_screen *screen, const struct fw_job *job)
{
	const char *dot = screen->utf8 ? "·" : "-";
	const char *title = fw_job_title(job);
	const char *unit = fw_job_unit(job);
	const char *who = fw_job_who(job);

	fw_wrap(screen, title ? title : "", 0, FW_STYLE_STRONG);
	int used = fprintf(screen->out, "Job %lld ", (long long)fw_job_number(job));
	used += fw_text_print(screen, dot, -1) + 1;
	fputc(' ', screen->out);
	fw_text_print(screen, unit ? unit : "", screen->width - used);
	fputs("\nAt the bench: ", screen->out);
	fw_text_print(screen, who ? who : "", screen->width - 14);
	fputc('\n', screen->out);
	fw_wrap(screen, "? shows help, /back takes the last answer back, /pause leaves.", 0,
	        FW_STYLE_PLAIN);
}

void fw_message_show(const struct fw_screen *screen, const char *text)
{
	fw_wrap(screen, text, 2, FW_STYLE_STRONG);
}

int fw_screen_check(const struct fw_screen *screen, struct fw_error *err)
{
	errno = 0;
	if (fflush(screen->out) == 0 && !ferror(screen->out))
		return FW_OK;
	return fw_fail(err, FW_ERR_TRAIL,
	               "output: can't write (%s); the job is paused, all answers so far are recorded",
	               errno ? strerror(errno) : "an earlier write failed");
}
