#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Hostile trails: files changed at random, or made on purpose, given to every command that reads one.

    tests/fuzz_trail.py PROGRAM [SECONDS [SEED]]

A good trail is made with the program: jobs, people with keys, a gauge, evidence, an amendment. Each case changes a
copy of it in one or more of these ways:

- bytes, pages and fields of the header are changed, without regard to what they mean;
- the schema is changed under the program: triggers, views, indexes, other columns, other tables of that name;
- rows get other types, other numbers, texts with zero bytes, bad UTF-8, huge texts, nested JSON, other keys, and then
  a chain that fits, worked out here by docs/trail.md;
- the stored procedure is replaced by one that loops, eats memory, or nests.

What is checked of each command: it ends by itself within a time limit, by a status that it documents and not by a
signal or a sanitizer; the trail has the same bytes afterwards; nothing was written beside what was asked for.
"""
import hashlib
import json
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
TOP = os.path.dirname(HERE)
LIMIT = 400  # seconds a command may take: a million entries, with sanitizers, on a busy machine
COLUMNS = ["kind", "step", "at", "who", "ask", "typed", "value"]


# ---- the chain, as docs/trail.md has it ----

def number(n):
    return b"i" + int(n).to_bytes(8, "big", signed=True)


def text(t):
    if t is None:
        return b"n"
    raw = t if isinstance(t, bytes) else str(t).encode("utf-8", "surrogateescape")
    return b"t" + len(raw).to_bytes(8, "big") + raw


def entry_hash(prev, job, seq, columns):
    h = hashlib.blake2b(b"fitwright-entry-1\0", digest_size=32)
    h.update(prev + number(job) + number(seq) + b"".join(text(c) for c in columns))
    return h.digest()


def raw(value):
    """Bytes to be bound as text: no Python string may hold what is no UTF-8."""
    return value.encode("utf-8", "surrogateescape") if isinstance(value, str) else value


def rehash(db):
    """Gives every entry a hash that fits, and what names an old one the new one."""
    renamed, job, head = {}, None, bytes(32)
    for row in db.execute("select job, seq, kind, step, at, who, ask, typed, value, prev, hash from entry"
                          " order by job, seq").fetchall():
        if not all(isinstance(n, int) for n in row[:2]):
            return
        columns = list(row[2:9])
        if row[0] != job:
            job, head = row[0], renamed.get(row[9], row[9])
        if not isinstance(head, bytes) or len(head) != 32:
            head = bytes(32)
        value = columns[6]
        if isinstance(value, str) and len(value) < 20000:
            for old, new in renamed.items() if '"head"' in value and len(renamed) < 2000 else ():
                if isinstance(old, bytes):
                    value = value.replace(old.hex(), new.hex())
            columns[6] = value
        new = entry_hash(head, row[0], row[1], columns)
        if columns[6] != row[8]:
            db.execute("update entry set value = cast(? as text) where job = ? and seq = ?", (raw(columns[6]), row[0], row[1]))
        db.execute("update entry set prev = ?, hash = ? where job = ? and seq = ?", (head, new, row[0], row[1]))
        renamed[row[10]] = new
        head = new


# ---- ways to change a trail ----

class Trail:
    """A copy under change, past the guards, which stay in it to the letter."""

    def __init__(self, path):
        self.path = path
        self.db = sqlite3.connect(path, isolation_level=None)
        self.db.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")
        self.db.execute("pragma synchronous = off")
        self.db.execute("pragma journal_mode = memory")
        self.db.execute("pragma ignore_check_constraints = on")
        self.triggers = self.db.execute("select name, sql from sqlite_schema where type = 'trigger'").fetchall()
        self.db.execute("begin")
        for name, _ in self.triggers:
            self.db.execute(f'drop trigger "{name}"')

    def close(self):
        for _, sql in self.triggers:
            self.db.execute(sql)
        self.db.execute("commit")
        self.db.close()

    def loosen(self):
        """The tables take any type from now on, until tighten()."""
        self.tables = self.db.execute("select name, sql from sqlite_schema where type = 'table'").fetchall()
        self.rewrite(lambda sql: sql.replace(") STRICT, WITHOUT ROWID", ") WITHOUT ROWID"))

    def rewrite(self, change):
        self.db.execute("pragma writable_schema = on")
        for name, sql in self.db.execute("select name, sql from sqlite_schema where type = 'table'").fetchall():
            if sql and change(sql) != sql:
                self.db.execute("update sqlite_schema set sql = ? where name = ?", (change(sql), name))
        self.db.execute("pragma writable_schema = reset")


def entries(pick, db, kinds=None):
    rows = db.execute("select job, seq, kind, value, ask from entry where job > 0 order by job, seq").fetchall()
    rows = [r for r in rows if not kinds or r[2] in kinds] or rows
    return pick.choice(rows)


def nest(depth, pick):
    return pick.choice(["[" * depth + "]" * depth, '{"a":' * depth + "1" + "}" * depth, "[" * depth])


def odd_values(pick):
    return pick.choice([
        None, "", "x", "null", "[]", "{}", "0", '"text"', "{", '{"a":1,"a":2}', '{"entry":-1}', '{"entry":1e999}',
        '{"entry":9223372036854775808}', '{"entries":' + "[2,3,4]" + "}", '{"entries":{"a":1}}', '{"amends":0}',
        '{"quantity":{"si":1e400,"unit":"mm","text":""}}', '{"quantity":{"si":"nan","unit":7}}', '{"done":1}',
        '{"option":"free","index":18446744073709551615}', '{"name":"","role":{},"count":-5,"head":[]}',
        '{"count":1,"head":"zz"}', '{"text":"\\u0000\\ud800\\u202e"}', '{"text":"' + "\\u001b[2J" * 40 + '"}',
        nest(pick.choice([10, 600, 2100, 100000]), pick), '{"text":"' + "w" * pick.choice([10000, 3000000]) + '"}',
        "[" + "1," * 200000 + "1]", '{"find":"verdict"}', '{"find":"trial","stacks":' + nest(300, pick) + "}",
        '{"name":"x.png","kind":"image/png","size":9999999999,"hash":"' + "0" * 64 + '"}',
        '{"signature":"' + "00" * 64 + '","key":"' + "ff" * 32 + '","shop":{"count":-1,"head":""}}',
        "\udcff\udcfe{}", "{}\0{}", '{"rules":99}', '{"rules":-1,"procedure":{"name":"../../x","hash":"' + "0" * 64 + '"}}',
    ])


def change_value(pick, trail):
    job, seq, _, _, _ = entries(pick, trail.db)
    column = pick.choice(["value", "value", "value", "ask", "typed", "step", "who", "at", "kind"])
    trail.db.execute(f"update entry set {column} = cast(? as text) where job = ? and seq = ?",
                     (raw(odd_values(pick) or "{}"), job, seq))


def change_key(pick, trail):
    """One key of a JSON, deep down, becomes something else."""
    job, seq, _, value, ask = entries(pick, trail.db)
    column, old = pick.choice([("value", value), ("ask", ask)])
    try:
        tree = json.loads(old)
    except (TypeError, ValueError):
        return
    at = tree
    while isinstance(at, (dict, list)) and at:
        key = pick.choice(list(at) if isinstance(at, dict) else range(len(at)))
        if not isinstance(at[key], (dict, list)) or pick.random() < 0.4:
            break
        at = at[key]
    if not isinstance(at, (dict, list)) or not at:
        return
    if isinstance(at, dict) and pick.random() < 0.3:
        del at[key]
    else:
        at[key] = pick.choice([None, True, -1, 0, 1e308, 2 ** 62, "", "x" * 5000, [], {}, [[[]]], {"si": 1},
                               "\u202e\x1b[31m", -0.0, 1e-320, ["a"] * 300, {"a": {"b": {}}}])
    trail.db.execute(f"update entry set {column} = cast(? as text) where job = ? and seq = ?",
                     (raw(json.dumps(tree, separators=(",", ":"), ensure_ascii=pick.random() < 0.5)), job, seq))


def change_kind(pick, trail):
    job, seq, _, _, _ = entries(pick, trail.db)
    kind = pick.choice(["begin", "answer", "finding", "sign", "withdraw", "amend", "lapse", "evidence", "release",
                        "reopen", "shop", "person", "gauge", "", "x" * 1000, "\x00"])
    trail.db.execute("update entry set kind = ? where job = ? and seq = ?", (kind, job, seq))


def change_log(pick, trail):
    """The shop's log: people, keys, gauges."""
    rows = trail.db.execute("select seq from entry where job = 0").fetchall()
    if rows:
        column = pick.choice(["value", "kind", "at", "who"])
        trail.db.execute(f"update entry set {column} = cast(? as text) where job = 0 and seq = ?",
                         (raw(odd_values(pick) or "{}"), pick.choice(rows)[0]))


def change_type(pick, trail):
    trail.loosen()
    column = pick.choice(COLUMNS + ["prev", "hash", "job", "seq"])
    job, seq, _, _, _ = entries(pick, trail.db)
    value = pick.choice([3, 2.5, b"\xff\x00", None, "x", -1, 2 ** 63 - 1, b"", 1e300])
    try:
        trail.db.execute(f"update entry set {column} = ? where job = ? and seq = ?", (value, job, seq))
    except sqlite3.Error:
        pass
    strict = {name: sql for name, sql in trail.tables}
    trail.rewrite(lambda sql: next((s for s in strict.values() if s and s.replace(") STRICT,", ")") == sql), sql))


def change_numbers(pick, trail):
    ways = ["update entry set job = -9223372036854775808 where job = (select max(job) from entry) and seq = 1",
            "update entry set seq = 9223372036854775807 where job = 1 and seq = (select max(seq) from entry where job = 1)",
            "update entry set job = 9223372036854775807 where job = (select max(job) from entry)",
            "update entry set seq = -seq where job = 1", "delete from entry where seq % 2 = 0",
            "delete from entry where job = 0", "update entry set job = job + 5 where job > 1",
            "delete from source", "delete from evidence", "delete from entry", "update source set bytes = x''",
            "update entry set at = '9999-99-99T99:99:99.999Z'", "update entry set at = '0000-00-00T00:00:00.000Z' where job = 1"]
    try:
        trail.db.execute(pick.choice(ways))
    except sqlite3.Error:
        pass


def change_many(pick, trail):
    """Very many entries that take back, lapse, amend, or are nothing."""
    job = pick.choice(trail.db.execute("select distinct job from entry where job > 0").fetchall() or [(1,)])[0]
    last = trail.db.execute("select max(seq) from entry where job = ?", (job,)).fetchone()[0] or 0
    many = pick.choice([300, 3000, 30000] + [1000000] * (pick.random() < 0.03))
    kind, value = pick.choice([
        ("withdraw", '{"entry":2}'), ("withdraw", '{"entry":%d}'), ("lapse", '{"entries":[2,3,4,5]}'),
        ("lapse", '{"entries":[%d]}'), ("amend", '{"quantity":{"si":1,"unit":"mm","text":"1"},"amends":%d,"reason":"r"}'),
        ("reopen", '{"name":"n","role":"r","meaning":"m","count":%d,"head":"","reason":"r","entries":[2]}'),
        ("release", '{"count":%d,"head":""}'), ("finding", '{"text":"%d"}'), ("answer", '{"done":true}'),
        ("sign", '{"name":"n","role":"r","meaning":"m","count":%d,"head":""}'),
        ("evidence", '{"name":"x","kind":"image/png","size":%d,"hash":"' + "0" * 64 + '"}')])
    ask = pick.choice([None, '{"find":"verdict","limits":{}}', '{"ask":"done","word":"task","step":"drain","say":"x"}'])
    head = trail.db.execute("select hash from entry where job = ? and seq = ?", (job, last)).fetchone()
    head = head[0] if head and isinstance(head[0], bytes) and len(head[0]) == 32 else bytes(32)
    rows = []
    for i in range(many):
        seq = last + 1 + i
        v = value % (seq - 1) if "%d" in value else value
        columns = [kind, "drain", "2027-01-01T00:00:00.000Z", "x", ask, "t", v]
        new = entry_hash(head, job, seq, columns)
        rows.append((job, seq, *columns, head, new))
        head = new
    trail.db.executemany("insert or ignore into entry values (?,?,?,?,?,?,?,?,?,?,?)", rows)


SCRIPTS = [
    "while true do end", "local t = {} while true do t[#t + 1] = {} end", "local s = 'x' while true do s = s .. s end",
    "local function f() return f() + 1 end f()", "return procedure { title = 'x', phases = {}, run = function() while true do note { id = 'n', say = 'x' } end end }",
    "return procedure { title = ('x'):rep(200000), phases = { 'a' }, run = function() end }",
    "return " + "(" * 5000 + "1" + ")" * 5000, "return " + "{" * 5000 + "}" * 5000, "\x1bLua", "require 'a'", "x = " + "1+" * 30000 + "1",
    "local t = setmetatable({}, {})", "return procedure { title = 'x', phases = { 'a' }, run = function() for i = 1, 2000 do "
    "note { id = 'n' .. i, say = ('y'):rep(1000) } end end }", "goto a ::a:: goto a", "string.rep('x', 1e9)", "\xff\xfe\x00", "",
    "return procedure { title = 'x', phases = { 'a' }, run = function() local t = {} for i = 1, 1e6 do t[i] = i end table.sort(t, function() return true end) end }",
]


def change_script(pick, trail):
    """Another procedure, with its right hash, named by the job."""
    script = pick.choice(SCRIPTS).encode("utf-8", "surrogateescape")
    new = hashlib.blake2b(script, digest_size=32).digest()
    old = pick.choice(trail.db.execute("select hash from source").fetchall() or [(b"",)])[0]
    if not isinstance(old, bytes) or not old:
        return
    trail.db.execute("delete from source where hash = ?", (new,))
    trail.db.execute("update source set hash = ?, bytes = ? where hash = ?", (new, script, old))
    trail.db.execute("update entry set value = replace(value, ?, ?) where kind = 'begin'", (old.hex(), new.hex()))


def change_schema(pick, trail):
    ways = [
        "create trigger evil after insert on entry begin select raise(ignore); end",
        "create trigger evil before insert on source begin delete from entry; end",
        "create view evil as with recursive r(n) as (select 1 union all select n + 1 from r) select n from r",
        "create index evil on entry(kind)", "create table evil(a, b generated always as (a || a) virtual)",
        "create table sqlite_x(a)", "create virtual table evil using fts5(a)", "create virtual table evil using rtree(id, a, b)",
        "create table other as select * from entry", "drop view if exists standing", "analyze", "drop table evidence",
        "alter table entry add column extra text", "alter table entry rename column typed to tiped",
        "create temp table entry(a)", "create view entry2 as select * from entry, entry, entry",
    ]
    try:
        trail.db.execute(pick.choice(ways))
    except sqlite3.Error:
        pass


def change_schema_text(pick, trail):
    """The text that SQLite keeps of an object, past all its checks."""
    try:
        trail.db.execute("pragma writable_schema = on")
        what = pick.choice([
            ("update sqlite_schema set sql = replace(sql, 'hash BLOB', 'hash TEXT') where name = 'entry'", ()),
            ("update sqlite_schema set sql = 'CREATE VIEW entry AS SELECT 1', type = 'view', rootpage = 0 where name = 'entry'", ()),
            ("update sqlite_schema set rootpage = 1 where name = 'entry'", ()),
            ("update sqlite_schema set rootpage = (select rootpage from sqlite_schema where name = 'source') where name = 'entry'", ()),
            ("update sqlite_schema set rootpage = 2147483647 where name = 'source'", ()),
            ("update sqlite_schema set sql = ? where type = 'view'", ("CREATE VIEW x AS " + "SELECT 1 UNION " * 3000 + "SELECT 1",)),
            ("update sqlite_schema set sql = sql || ? where name = 'entry'", (" -- " + "x" * 1000000,)),
            ("update sqlite_schema set name = ? where name = 'source'", ("s" * 100000,)),
            ("insert into sqlite_schema select type, name, tbl_name, rootpage, sql from sqlite_schema", ()),
            ("update sqlite_schema set sql = replace(sql, 'WITHOUT ROWID', '') where name = 'entry'", ()),
            ("update sqlite_schema set sql = replace(sql, 'CHECK (length(prev) = 32)', 'CHECK (load_extension(''x''))') where name = 'entry'", ()),
            ("update sqlite_schema set sql = replace(sql, 'typed TEXT', 'typed TEXT DEFAULT (randomblob(1000000000))') where name = 'entry'", ()),
        ])
        trail.db.execute(*what)
    except sqlite3.Error:
        pass


SQL_WAYS = [(change_value, 6), (change_key, 10), (change_kind, 3), (change_log, 4), (change_type, 2), (change_numbers, 3),
            (change_many, 2), (change_script, 3), (change_schema, 3), (change_schema_text, 3)]


def change_rows(pick, path):
    try:
        trail = Trail(path)
    except sqlite3.Error:
        return "unreadable"
    done = []
    try:
        for _ in range(pick.choice([1, 1, 1, 2, 3])):
            way = pick.choices([w for w, _ in SQL_WAYS], [n for _, n in SQL_WAYS])[0]
            done.append(way.__name__)
            way(pick, trail)
        if pick.random() < 0.9 and "change_schema_text" not in done:
            done.append("rehash")
            rehash(trail.db)
        trail.close()
    except (sqlite3.Error, OverflowError, IndexError):  # IndexError: no row is left to be changed
        try:
            trail.db.execute("commit")
        except sqlite3.Error:
            pass
        trail.db.close()
    return "+".join(done)


def change_bytes(pick, path):
    with open(path, "r+b") as file:
        raw = bytearray(file.read())
        page = 4096
        for _ in range(pick.choice([1, 1, 2, 8, 60])):
            at = pick.randrange(len(raw)) if pick.random() < 0.6 else pick.randrange(len(raw) // page) * page + pick.randrange(100)
            way = pick.random()
            if way < 0.3:
                raw[at] ^= 1 << pick.randrange(8)
            elif way < 0.45:
                raw[at] = pick.choice([0, 1, 2, 5, 10, 13, 127, 128, 255])
            elif way < 0.6:  # a number that never ends, a size that is none
                raw[at:at + 9] = pick.choice([b"\xff" * 9, b"\x80" * 9, b"\x81\x80\x80\x80\x80\x80\x80\x80\x00", b"\x7f" * 9])
            elif way < 0.7:  # a field of the header
                raw[pick.choice([16, 18, 19, 20, 21, 24, 28, 32, 36, 40, 44, 48, 52, 56, 60, 64, 68, 92, 96])] = pick.randrange(256)
            elif way < 0.85:  # whole pages
                a, b = (pick.randrange(len(raw) // page) * page for _ in range(2))
                raw[a:a + page] = pick.choice([raw[b:b + page], bytes(page), b"\xff" * page, os.urandom(page)])
            elif way < 0.93:  # cell pointers and the head of a page
                a = pick.randrange(len(raw) // page) * page
                for i in range(8, 40, 2):
                    raw[a + i:a + i + 2] = pick.randrange(65536).to_bytes(2, "big")
            else:
                raw = raw[:pick.randrange(1, len(raw))] if pick.random() < 0.5 else raw + raw[:pick.randrange(len(raw))]
                raw = raw if len(raw) >= page else raw + bytes(page)
        file.seek(0)
        file.truncate()
        file.write(raw)
    return "bytes"


# ---- a good trail ----

def make_good(program, folder):
    trail = os.path.join(folder, "good.db")
    keys = os.path.join(folder, "keys")
    phrase = os.path.join(folder, "phrase")
    photo = os.path.join(folder, "photo.png")
    phrases = os.path.join(folder, "phrases")
    with open(phrase, "w") as file:
        file.write("an invented passphrase\n")
    with open(phrases, "w") as file:
        file.write("R. Example: an invented passphrase\nA. Sample: an invented passphrase\n")
    os.chmod(phrase, 0o600)
    os.chmod(phrases, 0o600)
    with open(photo, "wb") as file:
        file.write(b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 8)
    env = dict(os.environ, HOME=folder, FITWRIGHT_KEYS=keys, FITWRIGHT_WHO="R. Example", LC_ALL="C.UTF-8")

    def run(wanted, *arguments, typed=""):
        done = subprocess.run([program, "--trail", trail, *arguments], input=typed, capture_output=True, text=True, env=env)
        if done.returncode not in wanted:
            sys.exit(f"making the trail: {arguments}: status {done.returncode}\n{done.stdout}{done.stderr}")
        return done.stdout

    bench = [os.path.join(HERE, "cli/bench.lua"), "--sheet", os.path.join(HERE, "cli/sheet.lua")]
    answers = "drain:\nend-float: 0.21\nend-float: 0.22\n"
    run([0], "begin", *bench, "--unit", "box 1", "--answers", "-", typed=answers + "turns: free\nremark: fine\nrelease: R. Example\n")
    run([0], "begin", *bench, "--unit", "box 2", "--answers", "-", typed=answers)
    run([0], "back", "2", "--reason", "misread")
    run([0], "attach", "2", photo, "--note", "the box")
    run([0], "gauge", "add", "DI-1", "--kind", "dial indicator", "--resolution", "0.01 mm", "--error", "0.015 mm",
        "--source", "invented")
    for name, role in (("R. Example", "technician"), ("A. Sample", "inspector")):
        run([0], "person", "add", name, "--role", role, "--passphrase-file", phrase)
    run([0], "begin", *bench, "--unit", "box 3", "--answers", "-", typed=answers + "turns: tight\n")
    run([0], "amend", "3", "3", "--to", "0.23", "--reason", "read again", "--yes")
    run([0], "begin", os.path.join(HERE, "cli/people.lua"), "--unit", "box 4", "--answers", "-", "--passphrases", phrases,
        typed="cover:\nlook: A. Sample\nclose:\nrelease: R. Example\n")
    run([0, 1], "audit", "--all")
    return trail, env


READERS = [["audit", "--all"], ["audit", "--all", "--json", "--threads", "3"], ["audit", "1"], ["audit", "4", "--json"],
           ["show", "1"], ["show", "3"], ["report", "1", "--output", "-"], ["report", "2", "--format", "json", "--output", "-"],
           ["report", "4", "--format", "text", "--output", "-"], ["report", "3", "--format", "answers", "--output", "-"],
           ["list"], ["list", "--json"], ["history"], ["person", "list"], ["gauge", "list"], ["shop"], ["evidence", "2"],
           ["gauge", "uses", "DI-1"], ["export", "--format", "json"], ["export", "1", "--format", "csv", "--what", "reading"],
           ["export", "2", "--output", "out/x.db"], ["backup", "out/b.db"], ["amend", "3"]]
WRITERS = [["resume", "3", "--answers", "-"], ["resume", "2", "--answers", "-"], ["back", "2", "--reason", "r"],
           ["amend", "3", "3", "--to", "0.24", "--reason", "r", "--yes"], ["attach", "2", "photo.png"], ["person", "retire", "R. Example", "--reason", "r"]]


def digest(path):
    with open(path, "rb") as file:
        return hashlib.blake2b(file.read()).digest()


def listing(folder):
    found = {}
    for place, _, names in os.walk(folder):
        for name in names:
            path = os.path.join(place, name)
            found[os.path.relpath(path, folder)] = os.path.getsize(path)
    return found


def check(program, case, env, arguments, writes):
    trail = os.path.join(case, "t.db")
    shutil.rmtree(os.path.join(case, "out"), ignore_errors=True)
    os.mkdir(os.path.join(case, "out"))
    before, files = digest(trail), listing(case)
    done = subprocess.run([program, *arguments, "--trail", "t.db"], input=b"turns: free\nremark: x\n", capture_output=True,
                          cwd=case, env=env, timeout=LIMIT)
    said = (done.stdout + done.stderr).decode("utf-8", "replace")
    if done.returncode not in (0, 1, 2, 3):
        raise AssertionError(f"status {done.returncode}: {said[-3000:]}")
    if "Sanitizer" in said or "runtime error:" in said:
        raise AssertionError(said[-3000:])
    if b"\x1b" in done.stdout or b"\0" in done.stdout and "export" not in arguments:
        raise AssertionError("a control character was let through to standard output")
    if not writes and digest(trail) != before:
        raise AssertionError("the trail was changed by reading it")
    more = set(listing(case)) - set(files) - {"t.db-journal", "t.db-benches"}
    if any(not name.startswith("out" + os.sep) for name in more):
        raise AssertionError(f"written: {more}")
    return done.returncode


def main():
    program = os.path.abspath(sys.argv[1])
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 10
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    pick = random.Random(seed)
    tally, cases, commands, failures, slowest = {}, 0, 0, 0, (0.0, "")
    with tempfile.TemporaryDirectory() as folder:
        good, env = make_good(program, folder)
        case = os.path.join(folder, "case")
        started = time.monotonic()
        while time.monotonic() - started < seconds and failures < 20:
            shutil.rmtree(case, ignore_errors=True)
            os.mkdir(case)
            shutil.copy(good, os.path.join(case, "t.db"))
            shutil.copy(os.path.join(folder, "photo.png"), case)
            how = (change_bytes if pick.random() < 0.35 else change_rows)(pick, os.path.join(case, "t.db"))
            shutil.copy(os.path.join(case, "t.db"), os.path.join(folder, "kept.db"))
            cases += 1
            runs = [(a, False) for a in [READERS[0]] + pick.sample(READERS[1:], 4)] + [(pick.choice(WRITERS), True)]
            for arguments, writes in runs:
                commands += 1
                began = time.monotonic()
                try:
                    status = check(program, case, env, arguments, writes)
                    tally[status] = tally.get(status, 0) + 1
                except (AssertionError, subprocess.TimeoutExpired) as why:
                    failures += 1
                    keep = os.path.join(tempfile.gettempdir(), f"trail-{seed}-{cases}.db")
                    shutil.copy(os.path.join(folder, "kept.db"), keep)
                    print(f"case {cases} ({how}), {' '.join(arguments)}, file kept as {keep}\n    "
                          f"{type(why).__name__}: {str(why)[:3000]}", flush=True)
                slowest = max(slowest, (time.monotonic() - began, f"{' '.join(arguments)} after {how}"))
    statuses = ", ".join(f"status {s}: {n}" for s, n in sorted(tally.items()))
    print(f"seed {seed}: {cases} files, {commands} commands ({statuses}), slowest {slowest[0]:.1f} s ({slowest[1]}), "
          f"{failures} failures")
    sys.exit(failures > 0)


if __name__ == "__main__":
    main()
