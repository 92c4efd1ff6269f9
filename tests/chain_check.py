#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks the chain, the sources and the signatures of a record from its JSON alone.

Usage: fitwright export 3 --format json | chain_check.py

Written from docs/trail.md ("The chain", "Signatures") and docs/records.md, with nothing of the program's.
"""
import hashlib
import json
import re
import struct
import sys

import outside

ZEROS = "00" * 32


def blake2b(data):
    return hashlib.blake2b(data, digest_size=32).hexdigest()


def raw(text):
    """Bytes of a column: a string, or {"hex": …} for what is no UTF-8."""
    return bytes.fromhex(text["hex"]) if isinstance(text, dict) else text.encode()


def part(value):
    if value is None:
        return b"n"
    if isinstance(value, int):
        return b"i" + struct.pack(">q", value)
    data = raw(value)
    return b"t" + struct.pack(">Q", len(data)) + data


def entry_hash(entry):
    columns = ("job", "seq", "kind", "step", "at", "who", "ask", "typed", "value")
    return blake2b(b"fitwright-entry-1\0" + bytes.fromhex(entry["prev"]) + b"".join(part(entry[c]) for c in columns))


def value_of(entry):
    """The value as it stands in the column, not as it was read for us."""
    try:
        return json.loads(raw(entry["value"]))
    except (TypeError, ValueError):
        return {}


class Check:
    def __init__(self, document):
        self.flaws = []
        self.signatures = 0
        self.jobs = {}
        for entry in document["entries"]:
            self.jobs.setdefault(entry["job"], []).append(entry)
        self.sources = {s["hash"]: raw(s["text"]) for s in document["sources"]}
        self.shop = document["trail"]["shop"]
        self.from_format_1 = False

    def flaw(self, entry, what):
        self.flaws.append(f"job {entry['job']}, entry {entry['seq']}: {what}")

    def chain(self, job, entries):
        for number, entry in enumerate(entries, 1):
            if entry["seq"] != number:
                self.flaw(entry, f"should be entry {number}")
            if entry_hash(entry) != entry["hash"]:
                self.flaw(entry, "its hash is not that of its columns")
            if number > 1 and entry["prev"] != entries[number - 2]["hash"]:
                self.flaw(entry, "does not follow the entry before")
            if number > 1 and entry["at"] < entries[number - 2]["at"]:
                self.flaw(entry, "is earlier than the entry before")
            if not re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", entry["at"]):
                self.flaw(entry, "its time is none")
            if job and (entry["kind"] == "begin") != (number == 1):
                self.flaw(entry, "a job begins with its first entry, and once")

    def link(self, job, entries):
        """Where the first entry hangs, as far as the document holds the job before."""
        prev = entries[0]["prev"]
        before = self.jobs.get(job - 1)
        if job == 0:
            good = prev == ZEROS
        elif before is None:
            return
        else:
            good = prev in {e["hash"] for e in before} or job == 1 and self.from_format_1 and prev == ZEROS
        if not good:
            self.flaw(entries[0], "does not begin where the job before was")

    def begin(self, entry):
        value = value_of(entry)
        named = [value.get("procedure"), value.get("sheet"), *value.get("modules", [])]
        for source in filter(None, named):
            text = self.sources.get(source["hash"])
            if text is None or blake2b(text) != source["hash"]:
                self.flaw(entry, f"{source['name']} is not there as it was")

    def covers(self, entry):
        value = value_of(entry)
        if value.get("count", entry["seq"] - 1) != entry["seq"] - 1 or value.get("head", entry["prev"]) != entry["prev"]:
            self.flaw(entry, "does not cover what stands before it")

    def signature(self, entry):
        value = value_of(entry)
        if "signature" not in value:
            return
        self.signatures += 1
        ask = json.loads(raw(entry["ask"])) if entry["ask"] else {}
        if entry["kind"] == "person":
            message = outside.signing("person", self.shop, 0, value["count"], value["head"], 0, ZEROS, None, value["name"],
                                      ", ".join(value["roles"]), None, value.get("reason"), entry["at"])
        else:
            purpose = "reopen" if entry["kind"] == "reopen" else ask.get("purpose", "sign")
            message = outside.signing(purpose, self.shop, entry["job"], value["count"], value["head"],
                                      value["shop"]["count"], value["shop"]["head"], entry["step"], value["name"],
                                      value["role"], value["meaning"], value.get("reason"), entry["at"])
            log = self.jobs.get(0, [])
            count = value["shop"]["count"]
            if not 1 <= count <= len(log) or log[count - 1]["hash"] != value["shop"]["head"]:
                self.flaw(entry, "the shop's log is not the one it was signed over")
            elif value["key"] not in {value_of(e).get("key") for e in log[:count] if e["kind"] == "person"}:
                self.flaw(entry, "signed with a key that was nobody's in this shop")
        if not outside.verify(bytes.fromhex(value["key"]), message, bytes.fromhex(value["signature"])):
            self.flaw(entry, "the signature does not fit")

    def run(self):
        log = self.jobs.get(0, [])
        if log and (log[0]["kind"] != "shop" or value_of(log[0]).get("id") != self.shop):
            self.flaw(log[0], "the log is not that of the shop named")
        self.from_format_1 = not log or "from" in value_of(log[0])
        for job, entries in sorted(self.jobs.items()):
            self.chain(job, entries)
            self.link(job, entries)
            for entry in entries:
                if entry["kind"] == "begin":
                    self.begin(entry)
                if entry["kind"] in ("sign", "release", "reopen", "person"):
                    self.covers(entry)
                if entry["kind"] in ("sign", "reopen", "person"):
                    self.signature(entry)
        return self.flaws


def main():
    document = json.load(sys.stdin)
    if document.get("fitwright_export") != 1:
        sys.exit("not an export of form 1")
    check = Check(document)
    for flaw in check.run():
        print(flaw)
    entries = sum(map(len, check.jobs.values()))
    print(f"{entries} entries of {len(check.jobs)} chains, {check.signatures} signatures with a key, {len(check.flaws)} flaws")
    for job, chain in sorted(check.jobs.items()):
        print(f"job {job}: head {chain[-1]['hash']}")
    sys.exit(1 if check.flaws else 0)


if __name__ == "__main__":
    main()
