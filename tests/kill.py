#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""kill.py PROGRAM SOURCE [KILLS [SEED]]: kills the program with SIGKILL at random moments of a job.

After each kill the trail must hold exactly the first answers of the file, in order and to the letter, and at
least as many as the program had shown to be recorded. The job then goes on with the rest of the file. A finished
job must audit sound.
"""
import json
import os
import random
import re
import sqlite3
import subprocess
import sys
import tempfile
import time

program, source = sys.argv[1], sys.argv[2]
wanted = int(sys.argv[3]) if len(sys.argv) > 3 else 40
seed = int(sys.argv[4]) if len(sys.argv) > 4 else 20260305
chance = random.Random(seed)
folder = tempfile.mkdtemp(prefix="fitwright-kill-")
trail = os.path.join(folder, "trail.db")


def read_answers():
    answers = []
    with open(os.path.join(source, "demo", "answers.txt"), encoding="utf-8") as file:
        for line in file:
            line = line.strip()
            if line and not line.startswith("#"):
                step, _, typed = line.partition(":")
                answers.append((step.strip(), typed.strip()))
    return answers


answers = read_answers()


def recorded(job):
    """What the trail holds of a job: (step, typed) of each answer, in order."""
    if not os.path.exists(trail):
        return None
    # The journal a killed process left is hot: a reader that may write rolls it back, as the program does.
    with sqlite3.connect(trail) as db:
        try:
            rows = db.execute(
                "select step, typed from entry where job = ? and kind in ('answer', 'sign') order by seq",
                (job,)).fetchall()
            begun = db.execute("select count(*) from entry where job = ?", (job,)).fetchone()[0]
        except sqlite3.OperationalError:
            return None  # killed before the tables were there
    db.close()
    return rows if begun else None


def start(job):
    held = recorded(job)
    rest = os.path.join(folder, "rest.txt")
    with open(rest, "w", encoding="utf-8") as file:
        for step, typed in answers[len(held or []):]:
            file.write(f"{step}: {typed}\n")
    if held is None:
        command = [program, "--trail", trail, "begin", f"{source}/procedures/shaft-end-float.lua", "--sheet",
                   f"{source}/demo/gearbox.lua", "--unit", "gearbox", "--who", "Tamsin Orrick"]
    else:
        command = [program, "--trail", trail, "resume", str(job)]
    return subprocess.Popen(command + ["--answers", rest], stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def check(job, shown):
    held = recorded(job) or []
    assert held == answers[:len(held)], f"job {job}: the trail holds {held[-3:]}, not what was answered"
    claimed = max([int(n) for n in re.findall(rb"(\d+) answered", shown)] or [0])
    assert len(held) >= claimed, f"job {job}: {claimed} were shown as recorded, the trail holds {len(held)}"
    return len(held)


def finish(job):
    done = subprocess.run([program, "--trail", trail, "audit", str(job), "--json"], stdout=subprocess.PIPE,
                          check=False)
    audit = json.loads(done.stdout)
    # Nobody has a key here, and the audit says so of each signature; nothing else may be open.
    others = [line for line in audit["lines"] if line["weight"] != "note"
              and "by name alone" not in line["what"] + line["means"]]
    assert done.returncode == 1 and audit["released"] and not others, f"job {job}: {others or audit}"


def main():
    kills, job, finished, moments = 0, 1, 0, set()
    typical = 0.2
    while kills < wanted:
        began = time.monotonic()
        process = start(job)
        try:
            shown, said = process.communicate(timeout=chance.uniform(0, 1.2 * typical))
        except subprocess.TimeoutExpired:
            process.kill()
            shown, said = process.communicate()
            kills += 1
        held = check(job, shown)
        moments.add(held)
        if process.returncode == 0 and held == len(answers):
            finish(job)
            typical = 0.5 * typical + 0.5 * (time.monotonic() - began)
            finished += 1
            job += 1
        else:
            assert process.returncode in (0, -9), f"ended with {process.returncode}: {said.decode()}"
    print(f"{kills} kills in {job} jobs, {finished} finished and sound, "
          f"stopped after {len(moments)} different numbers of answers; nothing lost")


main()
