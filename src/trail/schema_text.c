/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file schema_text.c  The schema of a trail, as docs/trail.md explains it. Never edit a released
 *  statement: add a migration. A person sees this text by `.schema` in sqlite3. */
#include "trail/trail_internal.h"

/* Columns that every view begins with. */
#define WHERE_FROM "e.job, e.seq, e.at, e.who, e.step"
/* A quantity of the JSON in column `c`: how it reads, and its value in SI. */
#define QUANTITY(c, path, name)                                                                    \
	"  json_extract(e." c ", '" path ".text') AS " name ",\n"                                      \
	"  json_extract(e." c ", '" path ".si') AS " name "_si"
#define FIELD(c, path, name) "  json_extract(e." c ", '" path "') AS " name
#define FINDING(name)                                                                              \
	"FROM standing AS e WHERE e.kind = 'finding' AND json_extract(e.ask, '$.find') = '" name "'"

/* No JSON functions in constraints or triggers: SQLite before 3.41 refuses them there while
 * trusted_schema is off. Views are for people, and are never run by this program. */
static const char *const version_1[] =
    {
        "CREATE TABLE source (\n"
        "  hash BLOB NOT NULL PRIMARY KEY CHECK (length(hash) = 32), -- BLAKE2b-256 of bytes\n"
        "  bytes BLOB NOT NULL\n"
        ") STRICT, WITHOUT ROWID",

        "CREATE TABLE entry (\n"
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
        ") STRICT, WITHOUT ROWID",

        "CREATE TRIGGER entry_not_changed BEFORE UPDATE ON entry\n"
        "BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END",
        "CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry\n"
        "BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END",
        /* INSERT OR REPLACE passes by the trigger above where recursive_triggers is off. */
        "CREATE TRIGGER entry_not_replaced BEFORE INSERT ON entry\n"
        "WHEN EXISTS (SELECT 1 FROM entry WHERE job = NEW.job AND seq = NEW.seq)\n"
        "BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END",
        "CREATE TRIGGER source_not_changed BEFORE UPDATE ON source\n"
        "BEGIN SELECT RAISE(ABORT, 'a source is never changed'); END",
        "CREATE TRIGGER source_not_deleted BEFORE DELETE ON source\n"
        "BEGIN SELECT RAISE(ABORT, 'a source is never deleted'); END",
        "CREATE TRIGGER source_not_replaced BEFORE INSERT ON source\n"
        "WHEN EXISTS (SELECT 1 FROM source WHERE hash = NEW.hash)\n"
        "BEGIN SELECT RAISE(ABORT, 'a source is never replaced'); END",

        "CREATE VIEW standing AS -- entries that no withdrawal struck out\n"
        "SELECT " FW_ENTRY_COLUMNS "\n"
        "FROM entry AS e\n"
        "WHERE kind <> 'withdraw' AND NOT EXISTS (\n"
        "  SELECT 1 FROM entry AS w\n"
        "  WHERE w.job = e.job AND w.seq > e.seq AND w.kind = 'withdraw'\n"
        "    AND json_extract(w.value, '$.entry') <= e.seq)",

        "CREATE VIEW job AS\n"
        "SELECT e.job,\n" FIELD("value", "$.unit", "unit") ",\n" FIELD(
            "value", "$.title",
            "title") ",\n"
                     "  e.at AS began, e.who, l.at AS latest, l.seq AS entries,\n"
                     "  (SELECT max(r.at) FROM standing AS r WHERE r.job = e.job AND r.kind = "
                     "'release')\n"
                     "    AS released,\n" FIELD(
                         "value", "$.procedure.name",
                         "procedure") ",\n" FIELD("value", "$.sheet.name",
                                                  "sheet") ",\n"
                                                           "  lower(hex(l.hash)) AS head\n"
                                                           "FROM entry AS e JOIN entry AS l ON "
                                                           "l.job = e.job\n"
                                                           "  AND l.seq = (SELECT max(m.seq) FROM "
                                                           "entry AS m WHERE m.job = "
                                                           "e.job)\n"
                                                           "WHERE e.kind = 'begin'",

        "CREATE VIEW reading AS\n"
        "SELECT " WHERE_FROM
        ",\n" FIELD("ask", "$.item", "item") ",\n" FIELD("ask", "$.round", "round") ",\n" FIELD(
            "ask", "$.phase",
            "phase") ",\n" FIELD("ask", "$.gauge",
                                 "gauge") ",\n"
                                          "  e.typed,\n" QUANTITY(
                                              "value", "$.quantity",
                                              "value") ",\n" FIELD("value", "$.quantity.unit",
                                                                   "unit") ",\n" FIELD("value",
                                                                                       "$.quantity."
                                                                                       "u",
                                                                                       "u_si") ",\n"
                                                                                               "  "
                                                                                               "coa"
                                                                                               "les"
                                                                                               "c"
                                                                                               "e("
                                                                                               "jso"
                                                                                               "n_"
                                                                                               "ext"
                                                                                               "rac"
                                                                                               "t"
                                                                                               "(e."
                                                                                               "val"
                                                                                               "ue,"
                                                                                               " "
                                                                                               "'$."
                                                                                               "con"
                                                                                               "fir"
                                                                                               "m"
                                                                                               "ed'"
                                                                                               "), "
                                                                                               "0) "
                                                                                               "AS "
                                                                                               "con"
                                                                                               "fir"
                                                                                               "m"
                                                                                               "ed"
                                                                                               "\n"
                                                                                               "FRO"
                                                                                               "M "
                                                                                               "sta"
                                                                                               "ndi"
                                                                                               "n"
                                                                                               "g "
                                                                                               "AS "
                                                                                               "e "
                                                                                               "WHE"
                                                                                               "RE "
                                                                                               "e."
                                                                                               "kin"
                                                                                               "d "
                                                                                               "= "
                                                                                               "'an"
                                                                                               "swe"
                                                                                               "r"
                                                                                               "' "
                                                                                               "AND"
                                                                                               " "
                                                                                               "jso"
                                                                                               "n_"
                                                                                               "ext"
                                                                                               "rac"
                                                                                               "t"
                                                                                               "(e."
                                                                                               "ask"
                                                                                               ","
                                                                                               " '$"
                                                                                               "."
                                                                                               "ask"
                                                                                               "') "
                                                                                               "= "
                                                                                               "'qu"
                                                                                               "ant"
                                                                                               "i"
                                                                                               "ty"
                                                                                               "'",

        "CREATE VIEW measurement AS\n"
        "SELECT " WHERE_FROM
        ",\n" QUANTITY("value", "$.quantity", "value") ",\n" FIELD("value", "$.quantity.u", "u_si") ",\n" FIELD(
            "value", "$.quantity.freedom",
            "freedom") ",\n" FIELD("value", "$.quantity.unit",
                                   "unit") ",\n"
                                           "  json_array_length(e.ask, "
                                           "'$.readings') AS readings,\n" FIELD(
                                               "value", "$.outlying",
                                               "outlying") ",\n" FIELD("ask",
                                                                       "$.gauge."
                                                                       "name",
                                                                       "gauge") ","
                                                                                "\n" FIELD(
                                                                                    "value",
                                                                                    "$.text",
                                                                                    "text") "\n" FINDING("measurement"),

        "CREATE VIEW verdict AS\n"
        "SELECT " WHERE_FROM
        ",\n" FIELD("ask", "$.name", "name") ",\n" QUANTITY("ask", "$.value", "value") ",\n" FIELD("ask", "$.value.u", "u_si") ",\n" FIELD("value", "$.verdict", "verdict") ",\n" FIELD(
            "value", "$.probability",
            "probability") ",\n" QUANTITY("ask", "$.limits.min",
                                          "min") ",\n" QUANTITY("ask", "$.limits.max",
                                                                "max") ",\n" QUANTITY("ask",
                                                                                      "$.limits."
                                                                                      "aim",
                                                                                      "aim") ","
                                                                                             "\n" QUANTITY("value", "$.margin", "margin") ",\n" FIELD(
                                                                                                 "a"
                                                                                                 "s"
                                                                                                 "k",
                                                                                                 "$"
                                                                                                 "."
                                                                                                 "l"
                                                                                                 "i"
                                                                                                 "m"
                                                                                                 "i"
                                                                                                 "t"
                                                                                                 "s"
                                                                                                 "."
                                                                                                 "s"
                                                                                                 "o"
                                                                                                 "u"
                                                                                                 "r"
                                                                                                 "c"
                                                                                                 "e"
                                                                                                 "."
                                                                                                 "g"
                                                                                                 "r"
                                                                                                 "a"
                                                                                                 "d"
                                                                                                 "e",
                                                                                                 "g"
                                                                                                 "r"
                                                                                                 "a"
                                                                                                 "d"
                                                                                                 "e") ",\n" FIELD("ask",
                                                                                                                  "$.limits.source.text",
                                                                                                                  "source") ",\n" FIELD("value",
                                                                                                                                        "$.text",
                                                                                                                                        "text") "\n" FINDING("verdict"),

        "CREATE VIEW trial AS\n"
        "SELECT " WHERE_FROM ",\n" FIELD("ask", "$.place", "place") ",\n" FIELD("ask", "$.trial", "trial") ",\n" QUANTITY("ask", "$.stack", "stack") ",\n" QUANTITY(
            "ask", "$.play",
            "play") ",\n" QUANTITY("value", "$.predicted",
                                   "predicted") ",\n" QUANTITY("valu"
                                                               "e",
                                                               "$."
                                                               "diff"
                                                               "eren"
                                                               "ce",
                                                               "diff"
                                                               "eren"
                                                               "ce") ",\n" FIELD("value",
                                                                                 "$.sigmas",
                                                                                 "sigmas") ",\n"
                                                                                           "  "
                                                                                           "coalesc"
                                                                                           "e(json_"
                                                                                           "extract"
                                                                                           "(e."
                                                                                           "value, "
                                                                                           "'$."
                                                                                           "surpris"
                                                                                           "e'), "
                                                                                           "0) AS "
                                                                                           "surpris"
                                                                                           "e,"
                                                                                           "\n" QUANTITY("value", "$.datum", "datum") ",\n" FIELD(
                                                                                               "val"
                                                                                               "ue",
                                                                                               "$."
                                                                                               "dat"
                                                                                               "um."
                                                                                               "u",
                                                                                               "dat"
                                                                                               "um_"
                                                                                               "u_"
                                                                                               "si") ",\n" FIELD("value",
                                                                                                                 "$.text",
                                                                                                                 "text") "\n" FINDING("trial"),

        "CREATE VIEW torque AS\n"
        "SELECT " WHERE_FROM
        ",\n" FIELD("ask", "$.name", "name") ",\n" FIELD("ask", "$.thread", "thread") ",\n" FIELD(
            "ask",
            "$.class", "class") ",\n" FIELD("ask", "$.friction",
                                            "friction") ",\n" FIELD("ask", "$.bolts",
                                                                    "bolts") ",\n" QUANTITY("ask",
                                                                                            "$."
                                                                                            "torqu"
                                                                                            "e",
                                                                                            "torqu"
                                                                                            "e") ","
                                                                                                 "\n" QUANTITY("value", "$.low", "preload_low") ",\n" QUANTITY("value", "$.usual", "preload_usual") ",\n" QUANTITY("value", "$.high", "preload_high") ",\n" FIELD("value", "$.share", "share") ",\n" FIELD("value",
                                                                                                                                                                                                                                                                                                           "$.usual_share", "usual_share") ",\n" FIELD("ask",
                                                                                                                                                                                                                                                                                                                                                       "$.source.grade", "grade") ",\n" FIELD("ask", "$.source.text", "source") ",\n" FIELD("value",
                                                                                                                                                                                                                                                                                                                                                                                                                                            "$.text",
                                                                                                                                                                                                                                                                                                                                                                                                                                            "text") "\n" FINDING("joint"),

        "CREATE VIEW part AS\n"
        "SELECT " WHERE_FROM ",\n" FIELD("ask", "$.part", "part") ",\n" FIELD(
            "ask", "$.decision",
            "decision") ",\n" FIELD("ask", "$.reason",
                                    "reason") ",\n" FIELD("value", "$.text",
                                                          "text") "\n" FINDING("part"),

        "CREATE VIEW signature AS\n"
        "SELECT " WHERE_FROM
        ",\n" FIELD("value", "$.name", "name") ",\n" FIELD("value", "$.role", "role") ",\n" FIELD(
            "value", "$.meaning",
            "meaning") ",\n" FIELD("value", "$.count",
                                   "count") ",\n" FIELD("value", "$.head",
                                                        "head") "\n"
                                                                "FROM standing AS e WHERE e.kind = "
                                                                "'sign'",

        NULL,
};

const struct fw_migration fw_migrations[] = {
    {1, version_1, version_1},
    {0, NULL, NULL},
};
