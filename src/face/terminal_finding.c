/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <string.h>

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

/* A difference has no zero point: kelvins for a temperature on a scale. */
static void difference_text(double si, const struct fw_unit *unit, char *buffer, size_t size)
{
	const struct fw_unit *plain = unit->offset != 0 ? fw_unit_find("K", 1) : unit;
	struct fw_quantity q;

	buffer[0] = '\0';
	if (plain && fw_quantity_make(&q, si / plain->factor, plain, NULL) == FW_OK)
		fw_quantity_text(&q, false, buffer, size);
}

/* ", 0.05 mm inside the nearer limit" */
static void show_margin(const struct fw_screen *screen, const struct fw_finding *finding)
{
	double margin = fmin(finding->value - finding->min, finding->max - finding->value);
	char text[64];

	if (!finding->has_scale || !finding->unit || !isfinite(margin))
		return;
	difference_text(fabs(margin), finding->unit, text, sizeof text);
	fputs(", ", screen->out);
	fw_text_print(screen, text, -1);
	fputs(margin < 0 ? " beyond the nearer limit" : " inside the nearer limit", screen->out);
}

/* Never "100 %" or "0 %" for what is only nearly so. */
static void show_probability(const struct fw_screen *screen, double probability)
{
	if (!(probability >= 0 && probability <= 1))
		return;
	double percent = probability * 100;
	if (percent > 99.9)
		fputs("; over 99.9 % likely within", screen->out);
	else if (percent < 0.1)
		fputs("; under 0.1 % likely within", screen->out);
	else
		fprintf(screen->out, "; %.1f %% likely within", percent);
}

static void show_verdict(const struct fw_screen *screen, const struct fw_finding *finding)
{
	char word[32];
	enum fw_style style = verdict_style(finding->verdict);

	snprintf(word, sizeof word, "%s", finding->verdict);
	for (char *c = word; *c; c++)
		*c = (char)toupper((unsigned char)*c);
	fputs("  ", screen->out);
	fw_style_on(screen, style);
	fw_text_print(screen, word, -1);
	fw_style_off(screen, style);
	show_margin(screen, finding);
	if (finding->has_scale)
		show_probability(screen, finding->probability);
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
	if (now.step == shown->step && now.say == shown->say && count == 0)
		fw_question_show_item(screen, question, now.options != shown->options);
	else
		fw_question_show(screen, question, fw_job_answered(job));
	*shown = now;
}

void fw_job_show_head(const struct fw_screen *screen, const struct fw_job *job)
{
	const char *dot = screen->utf8 ? "·" : "-";
	const char *title = fw_job_title(job);
	const char *unit = fw_job_unit(job);

	fw_wrap(screen, title ? title : "", 0, FW_STYLE_STRONG);
	fprintf(screen->out, "Job %lld %s ", (long long)fw_job_number(job), dot);
	fw_text_print(screen, unit ? unit : "", screen->width - 30);
	fprintf(screen->out, "\n? shows help, /back takes the last answer back,%s/pause leaves.\n",
	        screen->width < 64 ? "\n" : " ");
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
