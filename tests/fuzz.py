#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Throws bad and odd input at every bench calculator, through the command line and through its Lua word.

    tests/fuzz.py PROGRAM [SECONDS [SEED [WAYS]]]      WAYS: cli, lua or both (the default)

Each case starts from the calculator's own example and changes it: a value replaced by a nasty one, an
option dropped, doubled or given another's value. What is checked:

- the program ends by itself, within a time limit, with a status that it documents;
- a refusal says something and names an input, or what is wrong with the whole;
- what it does print is JSON without NaN or infinity, and every number in it is finite;
- the same lengths typed in another unit give the same results (in one case of eight);
- in Lua, a call either returns a table or raises an error that names the word.
"""
import json
import math
import os
import random
import re
import shlex
import subprocess
import sys
import tempfile
import time

NASTY = ["", " ", "nan", "NaN mm", "inf", "-inf mm", "1e999", "1e308 mm", "-1e308", "1e-320 mm", "0", "0 mm", "-0",
         "-1", "-3 mm", "1e-30", "1e30", "5 N", "3 N·m", "20 °C", "-300 °C", "1 K", "7 kg", "2 MPa", "50 %", "-5 %",
         "0.5", "1", "2", "3", "1000000", "1e15", "9007199254740993", "1.5", "mm", "±", "1 mm ± ", "1 mm ± 5 %",
         "1 mm ± 1e300 mm", "2 mm ± 50 mm", "1/0", "1/3 in", "1 3/8 in", "1,234", "0,5 mm", "½ in", "−3 mm",
         "x" * 300, "a=b", "name=x, name=y", ",", ";", ";;", "1;2;3", "1 mm;", "\u202e3 mm", "é", "M8", "M8x1",
         "M0", "M1e9x1", "1/4-20", "H7/g6", "25 H7/g6", "circle", "yes", "no", "--json", "-", "%n%s", "0x10",
         "1_000", "٣ mm", "1e5 mm", "0.000001 mm", "25.4 mm", "1 in", "1 thou", "1 µm", "3000 rpm", "10 Hz", "1 min"]

WORDS = ["", "mm", " mm", "in", "°C", "N·m", "9", "0", "-", ".", ",", "e", "±", "=", ";", "/", "x", "\t", "\u00b5"]


def run(program, arguments, limit=20, text=None):
    return subprocess.run([program, *arguments], input=text, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          encoding="utf-8", errors="surrogateescape", timeout=limit)


class Calculator:
    def __init__(self, program, name):
        self.name = name
        help_text = run(program, [name, "--help"]).stdout
        example = re.search(r"^Example:\n  fitwright \S+ (.*)$", help_text, re.M)
        self.example = shlex.split(example.group(1)) if example else []
        self.options = [o for o in re.findall(r"^  --([a-z0-9-]+)", help_text, re.M) if o not in ("json", "help")]
        self.fields = re.findall(r"^      ([a-z0-9-]+)(?:=|\s|$)", help_text, re.M)


def calculators(program):
    text = run(program, ["--help"]).stdout
    part = text.split("Bench calculators", 1)[1].split("\n\n", 1)[0]
    return [Calculator(program, name) for name in re.findall(r"^  ([a-z0-9-]+)  ", part, re.M)]


def odd_text(pick, text):
    way = pick.random()
    if way < 0.5:
        return pick.choice(NASTY)
    if way < 0.65:  # a figure changed by powers of ten
        return re.sub(r"\d+(\.\d+)?", lambda m: repr(float(m.group()) * 10 ** pick.randint(-8, 8)), text, count=1)
    if way < 0.75:
        return re.sub(r"\d+(\.\d+)?", lambda m: "-" + m.group(), text, count=1)
    if way < 0.85:  # one field of a record
        parts = text.split("=")
        at = pick.randrange(len(parts))
        parts[at] = pick.choice(NASTY)
        return "=".join(parts)
    at = pick.randrange(len(text) + 1)
    return text[:at] + pick.choice(WORDS) + text[at + pick.randint(0, 2):]


def mutate(pick, calculator):
    arguments = list(calculator.example)
    for _ in range(pick.choice([1, 1, 1, 2, 3])):
        way = pick.random()
        at = pick.randrange(len(arguments)) if arguments else 0
        if not arguments or way < 0.1:
            arguments += ["--" + pick.choice(calculator.options or ["x"]), odd_text(pick, "1 mm")]
        elif way < 0.8 and not arguments[at].startswith("--"):
            arguments[at] = odd_text(pick, arguments[at])
        elif way < 0.86:
            del arguments[at]
        elif way < 0.92:
            arguments[at:at] = arguments[at:at + 2]
        elif not arguments[at].startswith("--"):
            arguments[at] = pick.choice([a for a in arguments if not a.startswith("--")])
    return [a.replace("\0", "") for a in arguments]


def finite(value, where="results"):
    if isinstance(value, float) and not math.isfinite(value):
        raise AssertionError(f"{where} is {value}")
    if isinstance(value, dict):
        for key, item in value.items():
            finite(item, f"{where}.{key}")
    if isinstance(value, list):
        for index, item in enumerate(value):
            finite(item, f"{where}[{index}]")


def refuse_constant(text):
    raise AssertionError(f"{text} in JSON")


def check_cli(program, calculator, arguments):
    """Returns what came out, or None when it was refused."""
    done = run(program, [calculator.name, *arguments, "--json"])
    if done.returncode not in (0, 1, 2):
        raise AssertionError(f"status {done.returncode}: {done.stderr[-2000:]}")
    if done.returncode == 2:
        message = done.stderr
        if not message.startswith("fitwright: ") or len(message) < 20:
            raise AssertionError(f"refused without a reason: {message!r}")
        if done.stdout:
            raise AssertionError("refused, and printed something all the same")
        return None
    if "--help" in done.stdout[:200] or not done.stdout.startswith("{"):
        return None
    answer = json.loads(done.stdout, parse_constant=refuse_constant)
    finite(answer)
    typed = " ".join(arguments).lower()  # what was typed comes back as typed
    if "inf" not in typed and "nan" not in typed and re.search(r"(?<![a-z])-?(nan|inf)(?![a-z])", json.dumps(answer["results"]) + json.dumps(answer["working"])):
        raise AssertionError("nan or inf in the results or the working")
    return answer


def numbers(value, path=""):
    if isinstance(value, dict) and "si" in value:
        yield path, value["si"], value.get("u", 0.0)
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from numbers(item, path + "." + key)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from numbers(item, f"{path}[{index}]")


def check_units(program, calculator):
    """The example with its millimetres typed as micrometres: a power of ten, so nothing is lost."""
    def swap(text):
        return re.sub(r"(?<![\w.])(\d+(?:\.\d+)?) ?mm\b", lambda m: f"{float(m.group(1)) * 1000:.9g} um", text)
    first = check_cli(program, calculator, calculator.example)
    other = check_cli(program, calculator, [swap(a) for a in calculator.example])
    left, right = dict((p, (v, u)) for p, v, u in numbers(first["results"])), \
        dict((p, (v, u)) for p, v, u in numbers(other["results"]))
    if left.keys() != right.keys():
        raise AssertionError("other results in another unit")
    for path in left:
        for a, b in zip(left[path], right[path]):
            if abs(a - b) > 1e-8 * max(abs(a), abs(b)) + 1e-12:
                raise AssertionError(f"{path}: {a!r} in mm, {b!r} in um")


LUA_NASTY = ["nil", "0/0", "1/0", "-1/0", "0", "-1", "1", "2.5", "1e308", "1e15", "2^53", "true", "false", "''",
             "'M8'", "'x'", "'25 H7/g6'", "'\\xff'", "('x'):rep(5000)", "{}", "{{}}", "{1}", "{1,2,3}", "{mm(1)}",
             "{mm(1),mm(2)}", "{{1}}", "{{mm(1)}}", "{a=1}", "mm(0)", "mm(-1)", "mm(1)", "mm(1e9)", "mm(1e-9)",
             "Nm(5)", "degC(20)", "thou(3)", "tostring", "solve", "mm", "'dry'", "{'a','b'}"]


def lua_value(pick, text):
    """A typed value as Lua would give it."""
    match = re.fullmatch(r"(-?\d+(?:\.\d+)?) ?(mm|thou|N|°C|MPa|rpm)?", text)
    if match and match.group(2) in ("mm", "thou"):
        return f"{match.group(2)}({match.group(1)})"
    if match and not match.group(2):
        return match.group(1)
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'").replace("\n", " ") + "'"


def lua_call(pick, calculator, number):
    fields = []
    arguments = calculator.example
    for index, argument in enumerate(arguments):
        if argument.startswith("--"):
            value = arguments[index + 1] if index + 1 < len(arguments) else "1"
            given = lua_value(pick, value) if pick.random() < 0.6 else pick.choice(LUA_NASTY)
            if "=" in value and pick.random() < 0.7:
                parts = [p.split("=", 1) for p in value.split(", ")]
                inner = ", ".join(f"{p[0].strip().replace('-', '_')}={lua_value(pick, p[1].strip())}"
                                  if len(p) == 2 else lua_value(pick, p[0]) for p in parts)
                given = "{{" + inner + "}}"
            fields.append(f"{argument[2:].replace('-', '_')}={given}")
    if pick.random() < 0.3 and calculator.options:
        fields.append(f"{pick.choice(calculator.options).replace('-', '_')}={pick.choice(LUA_NASTY)}")
    if pick.random() < 0.05:
        fields.append("nothing_such=1")
    pick.shuffle(fields)
    word = calculator.name.replace("-", "_")
    return f"    try('{word}', {{ id='c{number}', {', '.join(fields)} }})\n"


LUA_HEAD = """return procedure {
  title = "odd input", phases = { "Try" }, sheet = {},
  run = function()
    phase "Try"
    local bad = 0
    local function try(word, fields)
      local fine, what = pcall(solve[word], fields)
      if fine and type(what) ~= "table" then bad = bad + 1 end
      if not fine and (type(what) ~= "string" or not string.find(what, word)) then bad = bad + 1 end
    end
"""
LUA_TAIL = """    note { id = "end", say = "Odd: " .. tostring(bad) .. ". Done?", required = true }
  end,
}
"""


def check_lua(program, folder, pick, calculators_list):
    path = os.path.join(folder, "odd.lua")
    with open(path, "w", encoding="utf-8", errors="surrogateescape") as file:
        file.write(LUA_HEAD)
        for number in range(25):
            file.write(lua_call(pick, pick.choice(calculators_list), number))
        file.write(LUA_TAIL)
    trail = os.path.join(folder, "trail.db")
    for name in os.listdir(folder):
        if name.startswith("trail.db"):
            os.unlink(os.path.join(folder, name))
    sheet = os.path.join(folder, "sheet.lua")
    with open(sheet, "w") as file:
        file.write("return sheet {}\n")
    done = run(program, ["--trail", trail, "begin", path, "--sheet", sheet, "--unit", "u", "--who", "w",
                         "--answers", "-"], 120, "end: fine\n")
    text = done.stdout + done.stderr
    if done.returncode < 0 or "Sanitizer" in text or "runtime error" in text:
        raise AssertionError(f"status {done.returncode}: {text[-3000:]}")
    if "spent" in text and done.returncode == 3:  # the budget of one answer: a refusal like others
        return
    if done.returncode != 0 or "Odd: 0." not in text:
        raise AssertionError(f"status {done.returncode}: {text[-3000:]}")
    done = run(program, ["--trail", trail, "audit", "1"], 120)
    if done.returncode not in (0, 1) or "Broken 0" not in done.stdout:
        raise AssertionError(f"audit: status {done.returncode}: {(done.stdout + done.stderr)[-3000:]}")


def main():
    program = os.path.abspath(sys.argv[1])
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 10
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    ways = sys.argv[4] if len(sys.argv) > 4 else "both"
    pick = random.Random(seed)
    found = calculators(program)
    if not found:
        sys.exit("no calculators in --help")
    cases = refused = failures = scripts = 0
    end = time.monotonic() + seconds
    with tempfile.TemporaryDirectory() as folder:
        while time.monotonic() < end and failures < 20:
            calculator = pick.choice(found)
            arguments = []
            try:
                if ways != "cli" and (ways == "lua" or pick.random() < 0.2):
                    scripts += 1
                    check_lua(program, folder, pick, found)
                elif pick.random() < 0.125:
                    cases += 1
                    check_units(program, calculator)
                else:
                    cases += 1
                    arguments = mutate(pick, calculator)
                    refused += check_cli(program, calculator, arguments) is None
            except (AssertionError, ValueError, KeyError, TypeError, subprocess.TimeoutExpired) as why:
                failures += 1
                print(f"{calculator.name} {shlex.join(arguments)}\n    {type(why).__name__}: {str(why)[:3000]}")
                if not arguments and ways != "cli":
                    odd = os.path.join(folder, "odd.lua")
                    if os.path.exists(odd):
                        keep = os.path.join(tempfile.gettempdir(), f"odd-{seed}-{failures}.lua")
                        with open(odd, "rb") as source, open(keep, "wb") as copy:
                            copy.write(source.read())
                        print("    script kept as", keep)
    print(f"seed {seed}: {len(found)} calculators, {cases} commands ({refused} refused), {scripts} scripts of 25 calls, "
          f"{failures} failures")
    sys.exit(failures > 0)


if __name__ == "__main__":
    main()
