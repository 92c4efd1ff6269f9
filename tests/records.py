#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Backup, excerpt, JSON, CSV and evidence as a person calls them.

Usage: records.py PROGRAM TESTS_FOLDER

The JSON is checked by chain_check.py, CSV is read by Python's own reader and held against the views of the trail
as sqlite3 runs them, copies are compared byte by byte.
"""
import csv
import io
import json
import os
import sqlite3
import subprocess
import sys
import tempfile
import time
import zlib

import chain_check

PROGRAM, TESTS = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ANSWERS = '''drain:
/attach photo.jpg the box as it came in
end-float: 0.32
end-float: 0.41
/back misread
end-float: 0.33
turns: free
remark: =HYPERLINK("http://example.invalid"; "free, as ""new""")
release: R. Example
'''
passed = 0


def check(condition, what):
    global passed
    if not condition:
        sys.exit(f"records.py: {what}")
    passed += 1


def fitwright(*arguments, status=0, raw=False, trail="trail.db", **more):
    done = subprocess.run([PROGRAM, "--trail", trail, *arguments], capture_output=True, stdin=subprocess.DEVNULL, **more)
    if done.returncode != status:
        sys.exit(f"records.py: fitwright {' '.join(arguments)}: status {done.returncode}, not {status}\n"
                 f"{done.stdout.decode()}{done.stderr.decode()}")
    return done.stdout if raw else done.stdout.decode() + done.stderr.decode()


def begin(unit, answers, *more):
    with open("answers", "w") as out:
        out.write(answers)
    return fitwright("begin", f"{TESTS}/cli/bench.lua", "--sheet", f"{TESTS}/cli/sheet.lua", "--unit", unit, "--who",
                     "R. Example", "--answers", "answers", *more)


def make_files():
    with open("photo.jpg", "wb") as out:
        out.write(b"\xFF\xD8\xFF\xE0" + os.urandom(50000))
    chunk = lambda kind, data: len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")
    with open("scan of the card.png", "wb") as out:  # PNG specification, 5 and 11
        out.write(b"\x89PNG\r\n\x1A\n" + chunk(b"IHDR", b"\0\0\0\1\0\0\0\1\x08\0\0\0\0")
                  + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b""))
    with open("photo.jpg", "rb") as first, open("wrong.png", "wb") as out:
        out.write(first.read())
    with open("notes.txt", "w") as out:
        out.write("just words\n")
    open("empty.jpg", "w").close()
    with open("large.jpg", "wb") as out:
        out.write(b"\xFF\xD8\xFF\xE0")
        out.truncate(64 * 1024 * 1024 + 1)
    os.mkfifo("pipe.jpg")
    os.mkdir("folder.jpg")
    with open("es\x1b[2Jcape.jpg", "wb") as out:
        out.write(b"\xFF\xD8\xFF\xE0 of a hostile name")


def read(path):
    with open(path, "rb") as file:
        return file.read()


def evidence():
    said = begin("box 1", ANSWERS)
    check("Kept with the job: photo.jpg, a JPEG photo" in said, f"/attach in a file of answers says nothing:\n{said}")
    for job in 2, 3:
        begin(f"box {job}", "drain:\n")
    said = fitwright("attach", "2", "scan of the card.png", "--note", "card of the box")
    check("a PNG picture" in said and "another kind" not in said, said)
    said = fitwright("attach", "2", "wrong.png", "--who", "A. Sample")
    check("a JPEG photo" in said and "ends like that of another kind of file" in said, said)
    fitwright("attach", "2", "es\x1b[2Jcape.jpg")
    for name, says in (("notes.txt", "none of the files that are kept"), ("empty.jpg", "is empty"),
                       ("large.jpg", "is 64.0 MiB; at most 64 MiB"), ("pipe.jpg", "isn't a plain file"),
                       ("folder.jpg", "is a folder"), ("gone.jpg", "no such file")):
        said = fitwright("attach", "2", name, status=3, timeout=20)
        check(says in said, f"{name}: {said}")
    check("reopen it first" in fitwright("attach", "1", "photo.jpg", status=3), "attached to a released job")
    fitwright("attach", "2", status=2)
    listed = json.loads(fitwright("evidence", "2", "--json"))
    check([e["kind"] for e in listed] == ["image/png", "image/jpeg", "image/jpeg"], f"{listed}")
    check(listed[0]["note"] == "card of the box" and listed[0]["name"] == "scan of the card.png", f"{listed[0]}")
    check(listed[1]["who"] == "A. Sample" and listed[1]["size"] == 50004, f"{listed[1]}")
    check("\x1b" not in listed[2]["name"] and listed[2]["name"].startswith("es"), f"{listed[2]}")
    check("\x1b" not in fitwright("evidence", "2"), "a hostile name reaches the terminal")
    fitwright("evidence", "2", str(listed[0]["entry"]), "--output", "out.png")
    check(read("out.png") == read("scan of the card.png"), "evidence taken out isn't the same")
    entry = str(listed[1]["entry"])
    check(fitwright("evidence", "2", entry, "--output", "-", raw=True) == read("wrong.png"), "not the same on stdout")
    check(listed[1]["hash"] == chain_check.blake2b(read("wrong.png")), "the hash isn't that of the file")
    stored = sqlite3.connect("trail.db").execute("select count(*) from evidence").fetchone()[0]
    check(stored == 3, f"the same file twice is stored once: {stored}")
    check("is no evidence" in fitwright("evidence", "2", "1", "--output", "x", status=3), "entry 1 is evidence")
    check("Nothing is attached" in fitwright("evidence", "3"), "job 3 has evidence")
    # It is no part of what the procedure asks: audits are as before, and the work goes on.
    for job in "1", "2":
        done = subprocess.run([PROGRAM, "--trail", "trail.db", "audit", job, "--json"], capture_output=True)
        check(json.loads(done.stdout)["broken"] == 0, done.stdout.decode())
    with open("answers", "w") as out:
        out.write("end-float: 0.30\nend-float: 0.30\n")
    fitwright("resume", "2", "--answers", "answers")


def whole_rebuild():
    """The job of the demonstration: trials, torques, parts, a concession."""
    top = os.path.dirname(TESTS)
    fitwright("begin", f"{top}/procedures/shaft-end-float.lua", "--sheet", f"{top}/demo/gearbox.lua", "--unit", "box 4",
              "--who", "R. Example", "--answers", f"{top}/demo/answers.txt")


def signed_with_a_key():
    with open("passphrases", "w") as out:
        out.write("R. Example: a long way to the bench\nA. Sample: another way altogether\n")
    for name in "R. Example", "A. Sample":
        fitwright("person", "add", name, "--role", "technician", "--passphrases", "passphrases", "--keys", "keys")
    begin("box 5", ANSWERS, "--passphrases", "passphrases", "--keys", "keys")
    whole = json.loads(fitwright("export", "--format", "json", raw=True))
    keyed = chain_check.Check(whole)
    check(keyed.run() == [], f"chain_check.py finds {keyed.flaws}")
    check(keyed.signatures == 3, f"{keyed.signatures} signatures: two people, one sign-off")
    # Other facts under the same signature, and the chain worked out again over them: as one who can't sign would.
    entry = next(e for e in whole["entries"] if e["kind"] == "sign" and "signature" in json.loads(e["value"]))
    for old, new in (("technician", "inspector "), ("R. Example", "A. Sample ")):
        held = entry["value"], entry["hash"]
        entry["value"] = entry["value"].replace(old, new)
        entry["hash"] = chain_check.entry_hash(entry)
        found = chain_check.Check(whole).run()
        check(any("signature does not fit" in flaw for flaw in found), f"{old} changed to {new}: {found}")
        entry["value"], entry["hash"] = held


def as_json():
    whole = json.loads(fitwright("export", "--format", "json", raw=True))
    flaws = chain_check.Check(whole).run()
    check(flaws == [], f"chain_check.py finds {flaws}")
    rows = sqlite3.connect("trail.db").execute("select job, seq, kind, step, at, who, ask, typed, value, lower(hex(prev)),"
                                               " lower(hex(hash)) from entry order by job, seq").fetchall()
    columns = ("job", "seq", "kind", "step", "at", "who", "ask", "typed", "value", "prev", "hash")
    check([tuple(e[c] for c in columns) for e in whole["entries"]] == rows, "the JSON isn't what the trail holds")
    for entry in whole["entries"]:
        for column in "ask", "value":
            parsed = None if entry[column] is None else json.loads(entry[column])
            check(entry[column + "_json"] == parsed, f"{column} read otherwise")
    one = json.loads(fitwright("export", "2", "--format", "json", raw=True))
    check({e["job"] for e in one["entries"]} == {0, 2}, "one job is not one job")
    check(chain_check.Check(one).run() == [], "one job alone is not sound")
    changed(whole)
    done = subprocess.run([sys.executable, f"{TESTS}/chain_check.py"], input=json.dumps(whole).encode(),
                          capture_output=True)
    check(done.returncode == 0 and b" 0 flaws" in done.stdout, done.stdout.decode())
    head = one["entries"][-1]["hash"]
    check(head in fitwright("report", "2", "--format", "json", "--output", "-"), "the head is not the report's")


def changed(whole):
    """Each column of each entry changed: seen, every one. Or the check that finds no flaw is none."""
    seen = 0
    for index, entry in enumerate(whole["entries"]):
        for column in "job", "seq", "kind", "step", "at", "who", "ask", "typed", "value", "prev", "hash":
            old = entry[column]
            if isinstance(old, int):
                entry[column] = old + 1
            elif column in ("prev", "hash"):
                entry[column] = ("0" if old[0] != "0" else "1") + old[1:]
            else:
                entry[column] = "x" if old is None else old + " "
            try:
                found = chain_check.Check(whole).run()
            except (ValueError, KeyError, TypeError):
                found = ["unreadable"]
            check(found, f"entry {index}: {column} changed and not seen")
            entry[column] = old
            seen += 1
    text = whole["sources"][0]["text"]
    whole["sources"][0]["text"] = text + " "
    check(chain_check.Check(whole).run(), "a changed source is not seen")
    whole["sources"][0]["text"] = text
    print(f"{seen} changes of a column, each seen")


VIEWS = {"readings": "reading", "measurements": "measurement", "verdicts": "verdict", "trials": "trial",
         "torques": "torque", "parts": "part", "signatures": "signature", "concessions": "concession"}
# What the view of concessions takes from another entry, the signature.
ELSEWHERE = {"signed", "key", "independent"}


def table(*arguments):
    data = fitwright("export", *arguments, "--format", "csv", raw=True)
    check(data.count(b"\n") == data.count(b"\r\n"), "a line doesn't end in CR LF (RFC 4180, 2.1)")
    return list(csv.reader(io.StringIO(data.decode(), newline=""), strict=True))


def plain(cell):
    """The cell as it was recorded: one apostrophe less."""
    return cell[1:] if cell.startswith("'") else cell


def as_csv():
    trail = sqlite3.connect("trail.db")
    trail.row_factory = sqlite3.Row
    for what, view in VIEWS.items():
        rows = table("--what", what)
        wanted = [dict(row) for row in trail.execute(f"select * from {view} order by job, seq")]
        check(len(rows) == len(wanted) + 1, f"{what}: {len(rows) - 1} rows, the view has {len(wanted)}")
        for row, want in zip(rows[1:], wanted):
            got = dict(zip(rows[0], row))
            for name, value in want.items():
                if what == "concessions" and name in ELSEWHERE:
                    continue
                text = plain(got[name])
                same = float(text) == value if isinstance(value, float) and text else text == ("" if value is None else str(value))
                check(same, f"{what}, {name}: {text!r}, the view has {value!r}")
    struck = table("1", "--what", "readings", "--struck")
    check([r[-1] != "" for r in struck[1:]] == [False, True, False], f"struck rows: {struck}")
    check(len(table("1", "--what", "readings")) == 3, "struck rows without --struck")
    for wrong in (["--what", "words"], [], ["--what"]):
        fitwright("export", "--format", "csv", *wrong, status=2)
    formulas()


def formulas():
    """What a spreadsheet would work out, in each column that a person or a stranger can write."""
    begin("box 6", "drain:\n")
    for who in "=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1)", "'quoted", "plain, with \"quotes\"":
        with open("answers", "w") as out:
            out.write("end-float: 0.30\n/back again\n")
        fitwright("resume", "6", "--who", who, "--answers", "answers")
        row = table("6", "--what", "readings", "--struck")[-1]
        check(plain(row[3]) == who if row[3] != who else not who[0] in "=+-@'", f"{who} came as {row[3]}")
        check(row[3][0] not in "=+-@", f"{who} would be worked out")


def excerpt_and_backup():
    said = fitwright("export", "1", "--output", "job-1.db")
    check("job-1.db" in said, said)
    for command in ["show", "1"], ["list"], ["evidence", "1"], ["report", "1", "--output", "r.html"]:
        fitwright(*command, trail="job-1.db")
    check(audited("job-1.db") == audited("trail.db"), "an excerpt is audited otherwise than the trail")
    check("excerpt" in fitwright("resume", "1", trail="job-1.db", status=3), "an excerpt is written to")
    check("there already" in fitwright("export", "1", "--output", "job-1.db", status=3), "overwritten")
    fitwright("export", "1", status=2)
    fitwright("export", "--output", "all.db", status=2)
    check("the trail itself" in fitwright("backup", "trail.db", status=3), "backed up onto itself")
    said = fitwright("backup", "copy.db")
    check("copy.db" in said and "\r" not in said, f"progress where nobody looks: {said!r}")
    fitwright("backup", "packed.db", "--compact")
    check("there already" in fitwright("backup", "copy.db", status=3), "overwritten")
    fitwright("backup", status=2)
    dump = lambda path: list(sqlite3.connect(path).iterdump())
    check(dump("trail.db") == dump("copy.db") == dump("packed.db"), "a copy isn't the same")
    check("belongs to a database" in fitwright("report", "1", "--output", "trail.db-benches", status=3), "sidecar")
    before = set(os.listdir("."))
    said = fitwright("backup", "full.db", status=3, preexec_fn=small_disk)
    check("nothing was kept" in said and set(os.listdir(".")) == before, f"a full disk leaves something: {said}")
    for command in (["export", "1", "--output", "full.db"], ["export", "--format", "json", "--output", "full.json"],
                    ["evidence", "1", str(big_entry()), "--output", "full.png"]):
        said = fitwright(*command, status=3, preexec_fn=small_disk)
        check(set(os.listdir(".")) == before, f"a full disk leaves something: {said}")


def big_entry():
    """An entry of evidence that doesn't fit on the small disk."""
    rows = sqlite3.connect("trail.db").execute("select e.seq from entry as e, evidence as v where e.job = 1 and"
        " lower(hex(v.hash)) = json_extract(e.value, '$.hash') and e.kind = 'evidence' and length(v.bytes) > 40960")
    return rows.fetchone()[0]


def ended():
    """Whoever ends the program while it writes finds nothing half done beside what was there."""
    before = set(os.listdir("."))
    for command, name in ((["export", "1", "--output", "e.db"], "e.db"),
                          (["export", "--format", "json", "--output", "e.json"], "e.json")):
        for moment in range(1, 30):
            run = subprocess.Popen([PROGRAM, "--trail", "trail.db", *command], stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL)
            time.sleep(moment * 0.002)
            run.terminate()
            run.wait()
            left = set(os.listdir(".")) - before - {name}
            check(not left, f"{command} leaves {left}")
            if os.path.exists(name):
                os.remove(name)


def small_disk():
    import resource
    resource.setrlimit(resource.RLIMIT_FSIZE, (40960, 40960))


def audited(trail):
    """Exit status of the audit of job 1."""
    return subprocess.run([PROGRAM, "--trail", trail, "audit", "1"], capture_output=True).returncode


def main():
    with tempfile.TemporaryDirectory() as work:
        os.chdir(work)
        os.environ.update(HOME=work, LC_ALL="C.UTF-8", TERM="xterm")
        for name in "FITWRIGHT_WHO", "NO_COLOR", "XDG_DATA_HOME":
            os.environ.pop(name, None)
        make_files()
        evidence()
        as_json()
        whole_rebuild()
        signed_with_a_key()
        as_csv()
        excerpt_and_backup()
        ended()
    print(f"{passed} passed, 0 failed")


if __name__ == "__main__":
    main()
