/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema_common.c  What formats 1 and 2 of a trail have alike, to the letter. Never edit a
 * released statement: add another for the format to come. A person sees this text by `.schema` in
 * sqlite3. */
#include "trail/schema_text.h"

/* No JSON functions in constraints or triggers: SQLite before 3.41 refuses them there while
 * trusted_schema is off. Views are for people, and are never run by this program. */

const char fw_table_source[] =
    "CREATE TABLE source (\n"
    "  hash BLOB NOT NULL PRIMARY KEY CHECK (length(hash) = 32), -- BLAKE2b-256 of bytes\n"
    "  bytes BLOB NOT NULL\n"
    ") STRICT, WITHOUT ROWID";

const char fw_trigger_entry_not_changed[] =
    "CREATE TRIGGER entry_not_changed BEFORE UPDATE ON entry\n"
    "BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END";

const char fw_trigger_entry_not_deleted[] =
    "CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry\n"
    "BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END";

/* INSERT OR REPLACE passes by the trigger above where recursive_triggers is off. */
const char fw_trigger_entry_not_replaced[] =
    "CREATE TRIGGER entry_not_replaced BEFORE INSERT ON entry\n"
    "WHEN EXISTS (SELECT 1 FROM entry WHERE job = NEW.job AND seq = NEW.seq)\n"
    "BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END";

const char fw_trigger_source_not_changed[] =
    "CREATE TRIGGER source_not_changed BEFORE UPDATE ON source\n"
    "BEGIN SELECT RAISE(ABORT, 'a source is never changed'); END";

const char fw_trigger_source_not_deleted[] =
    "CREATE TRIGGER source_not_deleted BEFORE DELETE ON source\n"
    "BEGIN SELECT RAISE(ABORT, 'a source is never deleted'); END";

const char fw_trigger_source_not_replaced[] =
    "CREATE TRIGGER source_not_replaced BEFORE INSERT ON source\n"
    "WHEN EXISTS (SELECT 1 FROM source WHERE hash = NEW.hash)\n"
    "BEGIN SELECT RAISE(ABORT, 'a source is never replaced'); END";

const char fw_view_job[] =
    "CREATE VIEW job AS\n"
    "SELECT e.job,\n"
    "  json_extract(e.value, '$.unit') AS unit,\n"
    "  json_extract(e.value, '$.title') AS title,\n"
    "  e.at AS began, e.who, l.at AS latest, l.seq AS entries,\n"
    "  (SELECT max(r.at) FROM standing AS r WHERE r.job = e.job AND r.kind = 'release')\n"
    "    AS released,\n"
    "  json_extract(e.value, '$.procedure.name') AS procedure,\n"
    "  json_extract(e.value, '$.sheet.name') AS sheet,\n"
    "  lower(hex(l.hash)) AS head\n"
    "FROM entry AS e JOIN entry AS l ON l.job = e.job\n"
    "  AND l.seq = (SELECT max(m.seq) FROM entry AS m WHERE m.job = e.job)\n"
    "WHERE e.kind = 'begin'";

const char fw_view_measurement[] =
    "CREATE VIEW measurement AS\n"
    "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
    "  json_extract(e.value, '$.quantity.text') AS value,\n"
    "  json_extract(e.value, '$.quantity.si') AS value_si,\n"
    "  json_extract(e.value, '$.quantity.u') AS u_si,\n"
    "  json_extract(e.value, '$.quantity.freedom') AS freedom,\n"
    "  json_extract(e.value, '$.quantity.unit') AS unit,\n"
    "  json_array_length(e.ask, '$.readings') AS readings,\n"
    "  json_extract(e.value, '$.outlying') AS outlying,\n"
    "  json_extract(e.ask, '$.gauge.name') AS gauge,\n"
    "  json_extract(e.value, '$.text') AS text\n"
    "FROM standing AS e WHERE e.kind = 'finding' AND json_extract(e.ask, '$.find') = "
    "'measurement'";

const char fw_view_verdict[] =
    "CREATE VIEW verdict AS\n"
    "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
    "  json_extract(e.ask, '$.name') AS name,\n"
    "  json_extract(e.ask, '$.value.text') AS value,\n"
    "  json_extract(e.ask, '$.value.si') AS value_si,\n"
    "  json_extract(e.ask, '$.value.u') AS u_si,\n"
    "  json_extract(e.value, '$.verdict') AS verdict,\n"
    "  json_extract(e.value, '$.probability') AS probability,\n"
    "  json_extract(e.ask, '$.limits.min.text') AS min,\n"
    "  json_extract(e.ask, '$.limits.min.si') AS min_si,\n"
    "  json_extract(e.ask, '$.limits.max.text') AS max,\n"
    "  json_extract(e.ask, '$.limits.max.si') AS max_si,\n"
    "  json_extract(e.ask, '$.limits.aim.text') AS aim,\n"
    "  json_extract(e.ask, '$.limits.aim.si') AS aim_si,\n"
    "  json_extract(e.value, '$.margin.text') AS margin,\n"
    "  json_extract(e.value, '$.margin.si') AS margin_si,\n"
    "  json_extract(e.ask, '$.limits.source.grade') AS grade,\n"
    "  json_extract(e.ask, '$.limits.source.text') AS source,\n"
    "  json_extract(e.value, '$.text') AS text\n"
    "FROM standing AS e WHERE e.kind = 'finding' AND json_extract(e.ask, '$.find') = 'verdict'";

const char fw_view_trial[] =
    "CREATE VIEW trial AS\n"
    "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
    "  json_extract(e.ask, '$.place') AS place,\n"
    "  json_extract(e.ask, '$.trial') AS trial,\n"
    "  json_extract(e.ask, '$.stack.text') AS stack,\n"
    "  json_extract(e.ask, '$.stack.si') AS stack_si,\n"
    "  json_extract(e.ask, '$.play.text') AS play,\n"
    "  json_extract(e.ask, '$.play.si') AS play_si,\n"
    "  json_extract(e.value, '$.predicted.text') AS predicted,\n"
    "  json_extract(e.value, '$.predicted.si') AS predicted_si,\n"
    "  json_extract(e.value, '$.difference.text') AS difference,\n"
    "  json_extract(e.value, '$.difference.si') AS difference_si,\n"
    "  json_extract(e.value, '$.sigmas') AS sigmas,\n"
    "  coalesce(json_extract(e.value, '$.surprise'), 0) AS surprise,\n"
    "  json_extract(e.value, '$.datum.text') AS datum,\n"
    "  json_extract(e.value, '$.datum.si') AS datum_si,\n"
    "  json_extract(e.value, '$.datum.u') AS datum_u_si,\n"
    "  json_extract(e.value, '$.text') AS text\n"
    "FROM standing AS e WHERE e.kind = 'finding' AND json_extract(e.ask, '$.find') = 'trial'";

const char fw_view_torque[] =
    "CREATE VIEW torque AS\n"
    "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
    "  json_extract(e.ask, '$.name') AS name,\n"
    "  json_extract(e.ask, '$.thread') AS thread,\n"
    "  json_extract(e.ask, '$.class') AS class,\n"
    "  json_extract(e.ask, '$.friction') AS friction,\n"
    "  json_extract(e.ask, '$.bolts') AS bolts,\n"
    "  json_extract(e.ask, '$.torque.text') AS asked,\n"
    "  json_extract(e.ask, '$.torque.si') AS asked_si,\n"
    "  json_extract(e.ask, '$.settings[#-1].text') AS torque,\n"
    "  json_extract(e.ask, '$.settings[#-1].si') AS torque_si,\n"
    "  json_extract(e.value, '$.otherwise') AS otherwise,\n"
    "  json_extract(e.value, '$.low.text') AS preload_low,\n"
    "  json_extract(e.value, '$.low.si') AS preload_low_si,\n"
    "  json_extract(e.value, '$.usual.text') AS preload_usual,\n"
    "  json_extract(e.value, '$.usual.si') AS preload_usual_si,\n"
    "  json_extract(e.value, '$.high.text') AS preload_high,\n"
    "  json_extract(e.value, '$.high.si') AS preload_high_si,\n"
    "  json_extract(e.value, '$.share') AS share,\n"
    "  json_extract(e.value, '$.usual_share') AS usual_share,\n"
    "  json_extract(e.ask, '$.source.grade') AS grade,\n"
    "  json_extract(e.ask, '$.source.text') AS source,\n"
    "  json_extract(e.value, '$.text') AS text\n"
    "FROM standing AS e WHERE e.kind = 'finding' AND json_extract(e.ask, '$.find') = 'tightened'";

const char fw_view_part[] =
    "CREATE VIEW part AS\n"
    "SELECT e.job, e.seq, e.at, e.who, e.step,\n"
    "  json_extract(e.ask, '$.part') AS part,\n"
    "  json_extract(e.ask, '$.decision') AS decision,\n"
    "  json_extract(e.ask, '$.reason') AS reason,\n"
    "  json_extract(e.value, '$.text') AS text\n"
    "FROM standing AS e WHERE e.kind = 'finding' AND json_extract(e.ask, '$.find') = 'part'";
