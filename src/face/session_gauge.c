/* SPDX-License-Identifier: GPL-3.0-or-later */
/* /gauge: which of the shop's gauges a reading is taken with. */
#include "face/session.h"

#include <string.h>

#include "base/text.h"
#include "face/gauge_show.h"
#include "face/glyph.h"
#include "face/wrap.h"

/* "DI-1  0.01 mm, error 0.02 mm, due 2027-03-01, in use" */
static void show_line(const struct fw_screen *screen, const struct fw_shop_gauge *gauge,
                      bool in_use)
{
	char figures[FW_GAUGE_FIGURES], text[512];

	snprintf(text, sizeof text, "%s  %s%s%s%s", gauge->id, fw_gauge_figures(gauge, figures),
	         gauge->due ? ", due " : "", gauge->due ? gauge->due : "",
	         gauge->bad_from ? ", found bad"
	         : in_use        ? ", in use"
	                         : "");
	fw_wrap(screen, text, 4, in_use ? FW_STYLE_STRONG : FW_STYLE_PLAIN);
}

static void show_list(const struct fw_session *session)
{
	const struct fw_question *question = fw_job_pending(session->job);
	const struct fw_screen *screen = session->screen;
	const char *note;
	const struct fw_shop_gauge *used = fw_job_gauge(session->job, &note), *gauge;
	char id[FW_GAUGE_ID_MOST + 1] = "", text[200];

	if (!question || question->ask != FW_ASK_QUANTITY || !question->gauge) {
		fw_message_show(screen, "No reading off a gauge is asked for here.");
		return;
	}
	if (used)
		snprintf(id, sizeof id, "%s", used->id);
	for (size_t i = 0; (gauge = fw_job_gauge_at(session->job, i)) != NULL; i++)
		show_line(screen, gauge, strcmp(gauge->id, id) == 0);
	if (fw_job_gauge_at(session->job, 0))
		snprintf(text, sizeof text,
		         "To take one: /gauge and its number; /gauge none for one that "
		         "isn't registered.");
	else
		snprintf(text, sizeof text,
		         "No %.*s of the shop is registered that could take it ('fitwright gauge add' "
		         "does that); typical figures are used.",
		         fw_utf8_fit(question->gauge, 60), question->gauge);
	fw_wrap(screen, text, 2, FW_STYLE_PLAIN);
}

int fw_session_gauge(struct fw_session *session, const char *rest, struct fw_error *err)
{
	struct fw_error refused = {0};
	const char *note;

	if (!*rest) {
		show_list(session);
		return FW_OK;
	}
	int code = fw_job_use_gauge(session->job, rest, &refused);
	if (code != FW_OK && !fw_ask_again(code))
		return fw_fail(err, code, "%s", refused.text);
	if (code != FW_OK) {
		fw_message_show(session->screen, refused.text);
		return FW_OK;
	}
	const struct fw_shop_gauge *gauge = fw_job_gauge(session->job, &note);
	if (!gauge)
		fw_wrap(session->screen,
		        "From here on such readings are off a gauge that isn't registered; typical figures "
		        "are used.",
		        2, FW_STYLE_PLAIN);
	fw_gauge_show(session->screen, gauge, note);
	session->shown.gauge = fw_gauge_shown(gauge, note);
	return FW_OK;
}
