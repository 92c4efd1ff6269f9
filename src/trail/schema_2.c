/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema_2.c  The schema of format 2, as docs/trail.md explains it. */
#include "trail/schema_text.h"

#include <stddef.h>

static const char table_entry[] =
    "CREATE TABLE entry (\n"
    "  job INTEGER NOT NULL CHECK (job >= 0), -- 0: the log of the shop\n"
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

static const char table_evidence[] =
    "CREATE TABLE evidence (\n"
    "  hash BLOB NOT NULL PRIMARY KEY CHECK (length(hash) = 32), -- BLAKE2b-256 of bytes\n"
    "  bytes BLOB NOT NULL\n"
    ") STRICT, WITHOUT ROWID";

static const char evidence_not_changed[] =
    "CREATE TRIGGER evidence_not_changed BEFORE UPDATE ON evidence\n"
    "BEGIN SELECT RAISE(ABORT, 'evidence is never changed'); END";

static const char evidence_not_deleted[] =
    "CREATE TRIGGER evidence_not_deleted BEFORE DELETE ON evidence\n"
    "BEGIN SELECT RAISE(ABORT, 'evidence is never deleted'); END";

static const char evidence_not_replaced[] =
    "CREATE TRIGGER evidence_not_replaced BEFORE INSERT ON evidence\n"
    "WHEN EXISTS (SELECT 1 FROM evidence WHERE hash = NEW.hash)\n"
    "BEGIN SELECT RAISE(ABORT, 'evidence is never replaced'); END";

const char *const fw_schema_2[] = {
    fw_table_source,
    table_entry,
    table_evidence,
    fw_trigger_entry_not_changed,
    fw_trigger_entry_not_deleted,
    fw_trigger_entry_not_replaced,
    fw_trigger_source_not_changed,
    fw_trigger_source_not_deleted,
    fw_trigger_source_not_replaced,
    evidence_not_changed,
    evidence_not_deleted,
    evidence_not_replaced,
    fw_view_kept,
    fw_view_standing,
    fw_view_job,
    fw_view_reading,
    fw_view_measurement,
    fw_view_verdict,
    fw_view_trial,
    fw_view_torque,
    fw_view_part,
    fw_view_signature,
    fw_view_concession,
    fw_view_amendment,
    fw_view_attachment,
    fw_view_as_found_as_left,
    fw_view_person,
    fw_view_gauge,
    NULL,
};
