/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema_1.c  The schema of format 1. Trails of it are still read; never edit it. */
#include "trail/schema_text.h"

#include <stddef.h>

static const char table_entry[] = "CREATE TABLE entry (\n"
                                  "  job INTEGER NOT NULL CHECK (job >= 1),\n"
                                  "  seq INTEGER NOT NULL CHECK (seq >= 1),\n"
                                  "  kind TEXT NOT NULL CHECK (kind <> ''),\n"
                                  "  step TEXT,\n"
                                  "  at TEXT NOT NULL CHECK (length(at) = 24), -- UTC\n"
                                  "  who TEXT NOT NULL CHECK (who <> ''),\n"
                                  "  ask TEXT, -- JSON\n"
                                  "  typed TEXT,\n"
                                  "  value TEXT, -- JSON\n"
                                  "  prev BLOB NOT NULL CHECK (length(prev) = 32),\n"
                                  "  hash BLOB NOT NULL CHECK (length(hash) = 32),\n"
                                  "  PRIMARY KEY (job, seq)\n"
                                  ") STRICT, WITHOUT ROWID";

static const char view_standing[] =
    "CREATE VIEW standing AS -- entries that no withdrawal struck out\n"
    "SELECT job, seq, kind, step, at, who, ask, typed, value, prev, hash\n"
    "FROM entry AS e\n"
    "WHERE kind <> 'withdraw' AND NOT EXISTS (\n"
    "  SELECT 1 FROM entry AS w\n"
    "  WHERE w.job = e.job AND w.seq > e.seq AND w.kind = 'withdraw'\n"
    "    AND json_extract(w.value, '$.entry') <= e.seq)";

static const char view_reading[] =
    "CREATE VIEW reading AS\n"
    "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
    "  json_extract(e.ask, '$.item') AS item,\n"
    "  json_extract(e.ask, '$.round') AS round,\n"
    "  json_extract(e.ask, '$.phase') AS phase,\n"
    "  json_extract(e.ask, '$.gauge') AS gauge,\n"
    "  e.typed,\n"
    "  json_extract(e.value, '$.quantity.text') AS value,\n"
    "  json_extract(e.value, '$.quantity.si') AS value_si,\n"
    "  json_extract(e.value, '$.quantity.unit') AS unit,\n"
    "  json_extract(e.value, '$.quantity.u') AS u_si,\n"
    "  coalesce(json_extract(e.value, '$.confirmed'), 0) AS confirmed\n"
    "FROM standing AS e WHERE e.kind = 'answer' AND json_extract(e.ask, '$.ask') = 'quantity'";

static const char view_signature[] = "CREATE VIEW signature AS\n"
                                     "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
                                     "  json_extract(e.value, '$.name') AS name,\n"
                                     "  json_extract(e.value, '$.role') AS role,\n"
                                     "  json_extract(e.value, '$.meaning') AS meaning,\n"
                                     "  json_extract(e.value, '$.count') AS count,\n"
                                     "  json_extract(e.value, '$.head') AS head\n"
                                     "FROM standing AS e WHERE e.kind = 'sign'";

const char *const fw_schema_1[] = {
    fw_table_source,
    table_entry,
    fw_trigger_entry_not_changed,
    fw_trigger_entry_not_deleted,
    fw_trigger_entry_not_replaced,
    fw_trigger_source_not_changed,
    fw_trigger_source_not_deleted,
    fw_trigger_source_not_replaced,
    view_standing,
    fw_view_job,
    view_reading,
    fw_view_measurement,
    fw_view_verdict,
    fw_view_trial,
    fw_view_torque,
    fw_view_part,
    view_signature,
    NULL,
};
