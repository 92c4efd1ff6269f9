/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables that can be had as CSV. The columns are those of the views of the trail, in their
 * order. */
#include "report/csv.h"

/* A quantity as it reads, and in SI. */
#define QUANTITY(name, from, path)                                                                 \
	{name, from, path ".text"},                                                                    \
	{                                                                                              \
		name "_si", from, path ".si"                                                               \
	}
#define END                                                                                        \
	{                                                                                              \
		NULL, FW_CSV_ASK, NULL                                                                     \
	}

static const struct fw_csv_column readings[] = {
    {"item", FW_CSV_ASK, "item"},
    {"round", FW_CSV_ASK, "round"},
    {"phase", FW_CSV_ASK, "phase"},
    {"gauge", FW_CSV_ASK, "gauge"},
    {"typed", FW_CSV_TYPED, NULL},
    QUANTITY("value", FW_CSV_VALUE, "quantity"),
    {"unit", FW_CSV_VALUE, "quantity.unit"},
    {"u_si", FW_CSV_VALUE, "quantity.u"},
    {"confirmed", FW_CSV_FLAG, "confirmed"},
    {"amended", FW_CSV_AMENDED, NULL},
    {"gauge_id", FW_CSV_VALUE, "gauge.id"},
    {"gauge_calibrated", FW_CSV_VALUE, "gauge.calibrated"},
    {"gauge_due", FW_CSV_VALUE, "gauge.due"},
    END,
};

static const struct fw_csv_column measurements[] = {
    QUANTITY("value", FW_CSV_VALUE, "quantity"),
    {"u_si", FW_CSV_VALUE, "quantity.u"},
    {"freedom", FW_CSV_VALUE, "quantity.freedom"},
    {"unit", FW_CSV_VALUE, "quantity.unit"},
    {"readings", FW_CSV_COUNT, "readings"},
    {"outlying", FW_CSV_VALUE, "outlying"},
    {"gauge", FW_CSV_ASK, "gauge.name"},
    {"text", FW_CSV_VALUE, "text"},
    END,
};

static const struct fw_csv_column verdicts[] = {
    {"name", FW_CSV_ASK, "name"},
    QUANTITY("value", FW_CSV_ASK, "value"),
    {"u_si", FW_CSV_ASK, "value.u"},
    {"verdict", FW_CSV_VALUE, "verdict"},
    {"probability", FW_CSV_VALUE, "probability"},
    QUANTITY("min", FW_CSV_ASK, "limits.min"),
    QUANTITY("max", FW_CSV_ASK, "limits.max"),
    QUANTITY("aim", FW_CSV_ASK, "limits.aim"),
    QUANTITY("margin", FW_CSV_VALUE, "margin"),
    {"grade", FW_CSV_ASK, "limits.source.grade"},
    {"source", FW_CSV_ASK, "limits.source.text"},
    {"text", FW_CSV_VALUE, "text"},
    END,
};

static const struct fw_csv_column trials[] = {
    {"place", FW_CSV_ASK, "place"},
    {"trial", FW_CSV_ASK, "trial"},
    QUANTITY("stack", FW_CSV_ASK, "stack"),
    QUANTITY("play", FW_CSV_ASK, "play"),
    QUANTITY("predicted", FW_CSV_VALUE, "predicted"),
    QUANTITY("difference", FW_CSV_VALUE, "difference"),
    {"sigmas", FW_CSV_VALUE, "sigmas"},
    {"surprise", FW_CSV_FLAG, "surprise"},
    QUANTITY("datum", FW_CSV_VALUE, "datum"),
    {"datum_u_si", FW_CSV_VALUE, "datum.u"},
    {"text", FW_CSV_VALUE, "text"},
    END,
};

static const struct fw_csv_column torques[] = {
    {"name", FW_CSV_ASK, "name"},
    {"thread", FW_CSV_ASK, "thread"},
    {"class", FW_CSV_ASK, "class"},
    {"friction", FW_CSV_ASK, "friction"},
    {"bolts", FW_CSV_ASK, "bolts"},
    QUANTITY("asked", FW_CSV_ASK, "torque"),
    QUANTITY("torque", FW_CSV_ASK, "settings.-1"),
    {"otherwise", FW_CSV_VALUE, "otherwise"},
    QUANTITY("preload_low", FW_CSV_VALUE, "low"),
    QUANTITY("preload_usual", FW_CSV_VALUE, "usual"),
    QUANTITY("preload_high", FW_CSV_VALUE, "high"),
    {"share", FW_CSV_VALUE, "share"},
    {"usual_share", FW_CSV_VALUE, "usual_share"},
    {"grade", FW_CSV_ASK, "source.grade"},
    {"source", FW_CSV_ASK, "source.text"},
    {"text", FW_CSV_VALUE, "text"},
    END,
};

static const struct fw_csv_column parts[] = {
    {"part", FW_CSV_ASK, "part"},
    {"decision", FW_CSV_ASK, "decision"},
    {"reason", FW_CSV_ASK, "reason"},
    {"text", FW_CSV_VALUE, "text"},
    END,
};

static const struct fw_csv_column signatures[] = {
    {"purpose", FW_CSV_PURPOSE, NULL},
    {"name", FW_CSV_VALUE, "name"},
    {"role", FW_CSV_VALUE, "role"},
    {"meaning", FW_CSV_VALUE, "meaning"},
    {"reason", FW_CSV_VALUE, "reason"},
    {"count", FW_CSV_VALUE, "count"},
    {"head", FW_CSV_VALUE, "head"},
    {"key", FW_CSV_VALUE, "key"},
    {"independent", FW_CSV_VALUE, "independent"},
    END,
};

static const struct fw_csv_column concessions[] = {
    {"name", FW_CSV_ASK, "name"},
    QUANTITY("value", FW_CSV_ASK, "value"),
    {"u_si", FW_CSV_ASK, "value.u"},
    {"verdict", FW_CSV_ASK, "verdict"},
    QUANTITY("min", FW_CSV_ASK, "limits.min"),
    QUANTITY("max", FW_CSV_ASK, "limits.max"),
    {"grade", FW_CSV_ASK, "limits.source.grade"},
    {"source", FW_CSV_ASK, "limits.source.text"},
    {"conceded_by", FW_CSV_VALUE, "by"},
    {"role", FW_CSV_VALUE, "role"},
    {"reason", FW_CSV_VALUE, "reason"},
    {"text", FW_CSV_VALUE, "text"},
    END,
};

const struct fw_csv_table fw_csv_tables[] = {
    {"readings", NULL, {"answer", "amend", NULL}, "ask", "quantity", readings},
    {"measurements", "measurement", {NULL}, NULL, NULL, measurements},
    {"verdicts", "verdict", {NULL}, NULL, NULL, verdicts},
    {"trials", "trial", {NULL}, NULL, NULL, trials},
    {"torques", "tightened", {NULL}, NULL, NULL, torques},
    {"parts", "part", {NULL}, NULL, NULL, parts},
    {"signatures", NULL, {"sign", "reopen", NULL}, NULL, NULL, signatures},
    {"concessions", "concession", {NULL}, NULL, NULL, concessions},
    {NULL, NULL, {NULL}, NULL, NULL, NULL},
};
