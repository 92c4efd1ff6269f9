/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/gauge_show.h"

#include <string.h>

#include "base/text.h"
#include "face/wrap.h"

/* How far the gauge's lines stand in, below the kind that is asked for. */
#define INDENT 8

static void append(char *buffer, size_t size, const char *text)
{
	size_t used = strlen(buffer);

	snprintf(buffer + used, size - used, "%s", text);
	fw_utf8_drop_cut(buffer);
}

/* "0.01 mm": as it stands on the gauge, not to the last step of the unit. */
static void append_figure(char *buffer, size_t size, double si, const struct fw_unit *unit)
{
	char text[64];

	snprintf(text, sizeof text, "%.6g%s%s", si / unit->factor,
	         strcmp(unit->symbol, "°") == 0 ? "" : " ", unit->symbol);
	append(buffer, size, text);
}

static const struct fw_unit *unit_of(const struct fw_shop_gauge *gauge)
{
	const struct fw_unit *unit = fw_unit_find(gauge->unit, strlen(gauge->unit));
	return unit ? unit : fw_unit_find("1", 1);
}

const char *fw_gauge_resolution(const struct fw_shop_gauge *gauge, char *buffer)
{
	buffer[0] = '\0';
	append_figure(buffer, FW_GAUGE_FIGURES, gauge->resolution, unit_of(gauge));
	return buffer;
}

const char *fw_gauge_error(const struct fw_shop_gauge *gauge, char *buffer)
{
	char share[32];

	buffer[0] = '\0';
	if (gauge->error > 0 || gauge->relative == 0)
		append_figure(buffer, FW_GAUGE_FIGURES, gauge->error, unit_of(gauge));
	if (gauge->relative > 0) {
		snprintf(share, sizeof share, "%s%.3g %%", gauge->error > 0 ? " + " : "",
		         100 * gauge->relative);
		append(buffer, FW_GAUGE_FIGURES, share);
	}
	return buffer;
}

const char *fw_gauge_figures(const struct fw_shop_gauge *gauge, char *buffer)
{
	char error[FW_GAUGE_FIGURES];

	fw_gauge_resolution(gauge, buffer);
	append(buffer, FW_GAUGE_FIGURES, ", error ");
	append(buffer, FW_GAUGE_FIGURES, fw_gauge_error(gauge, error));
	if (gauge->relative > 0)
		append(buffer, FW_GAUGE_FIGURES, " of the reading");
	return buffer;
}

void fw_gauge_show(const struct fw_screen *screen, const struct fw_shop_gauge *gauge,
                   const char *note)
{
	char figures[FW_GAUGE_FIGURES];
	char text[512];

	if (gauge) {
		snprintf(text, sizeof text, "%s %s, %s%s%s", gauge->id, gauge->kind,
		         fw_gauge_figures(gauge, figures), gauge->due ? ", due " : "",
		         gauge->due ? gauge->due : "");
		fw_wrap(screen, text, INDENT, FW_STYLE_PLAIN);
	}
	if (note) {
		snprintf(text, sizeof text, "! %s", note);
		fw_utf8_drop_cut(text);
		fw_wrap(screen, text, INDENT, FW_STYLE_CAUTION);
	}
}

uint64_t fw_gauge_shown(const struct fw_shop_gauge *gauge, const char *note)
{
	return fw_source_name(gauge ? gauge->id : "") + fw_source_name(note ? note : "");
}
