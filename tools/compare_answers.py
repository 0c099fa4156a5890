#!/usr/bin/env python3
"""Runs some 2000 command lines on two builds of the program and prints every difference of their answers.

Compared are standard output, standard error, the exit status and every file that a command writes; databases
through what `export` makes of them. Both builds work in folders and on databases of their own, built by the same
command lines, with the clock held still. What is typed follows from the seed alone: systematic lists (every
command, format, unit, entry) and random combinations, odd and wrong input among them.

    python3 tools/compare_answers.py old/evenclamp target/debug/evenclamp [--only order] [--seed 13] [--list]

Exit status: 0 no difference, 1 some, 2 a build cannot be run.
"""

import argparse
import csv
import difflib
import gzip
import os
import random
import shlex
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

SPECS = Path(__file__).resolve().parent.parent / "specs"
NOW = "2026-06-10T10:00:00+02:00"
FORMATS = ["text", "json", "csv"]
UNITS = [
    "N·m", "Nm", "N.m", "N·cm", "cN·m", "dN·m", "daN·m", "mN·m", "kN·m", "lbf·in", "in-lb", "lbf·ft", "ft lbs",
    "ozf·in", "ozf·ft", "kgf·m", "kgf·cm", "kg·cm", "gf·cm", "dyn·cm", "pdl·ft",
]  # fmt: skip
WRONG_UNITS = ["lb", "kg", "in/lb", "Nm/s", "J", "furlong", "MNm", "nm", "NM", "mnm", ""]
SPECIFIED = [
    "4-6 N·m", "4 – 6 Nm", "4..6 N·m", "4 to 6 Nm", "5 ±0.5 N·m", "5 N·m ±10%", "5,2 Nm", "max 5 N·m", "<= 5 Nm",
    "min 12 N·m", ">= 12 N·m", "12 N·m", "12-14 N·m", "36-53 in-lb", "max 44 in-lb", "4 N·m - 53 in-lb", "0.5 N·m",
    "38-50 N·m", "max 1 N·m", "5 N·m", "4.9-5.1 N·m", "60 lbf·in", "50–60 kgf·cm", "3 ft-lb", "200 N·m",
]  # fmt: skip
WRONG_SPECIFIED = [
    "", "5", "5 lb", "6-4 N·m", "-5 N·m", "5 N·m 6 N·m", "about 5 N·m", "5 N·m ±", "5e400 N·m", "0 N·m", "NaN N·m",
    "max N·m", "min max 5 N·m", "4-6", "４ N·m", "5 N·m ±200%", "1e-9 N·m", "5 in/lb", "∞ N·m", "4--6 N·m",
]  # fmt: skip
KINDS = ["tightened", "held", "moved", "loosening", "back-to-mark", "by-hand"]
CONDITIONS = ["greased", "dry", "threadlocker", "oiled", "anti-seize", "as-delivered", "wet"]
THREADS = ["M3", "M4", "M5", "M6", "M8x1", "M8", "M10x1", "M5x0.8", "9/16-20", "M47x1", "1.37x24", "M5.5", "m6", "x"]
GRADES = ["8.8", "10.9", "12.9", "4.6", "5.8", "A2-70", "A4-80", "titanium", "Ti-6Al-4V-bar", "7075-T6-bar", "A2", "9.9"]
LAYOUTS = ["ring", "row", "pair", "single", "grid 2x2", "grid 2x3", "grid 1x4", "star", "grid 2", "grid 0x3"]
COMMANDS = [
    "find", "show", "convert", "order", "check", "bolt", "wrench", "wrench add", "wrench list", "wrench show",
    "wrench calibrated", "wrench retire", "wrench pick", "wrench setting", "bike", "bike add", "bike show", "bike list",
    "bike edit", "bike retire", "bike joint", "bike joint add", "bike joint edit", "bike joint remove", "record",
    "visit", "ready", "due", "ride", "event", "history", "card", "backup", "restore", "export", "import", "audit",
    "book", "book check", "book load", "book export", "demo", "completions", "man",
]  # fmt: skip
BIKES = {"loan-7": "hardtail", "errand": "city", "Über 9": "road-rim", "trail-1": "trail", "e-2": "e-bike-city", "gr": "gravel"}


@dataclass
class Run:
    """One command line."""

    words: list
    stdin: str = ""
    now: str = NOW
    columns: str = ""


@dataclass
class Write:
    """A file that is put into the folder."""

    name: str
    content: bytes


@dataclass
class Edit:
    """The first place of a text in a file is replaced, where it has it."""

    name: str
    old: str
    new: str


@dataclass
class Story:
    """Steps one after the other in one folder, on a copy of the database that another story left."""

    name: str
    steps: list
    start: str = ""
    lines: int = field(init=False)

    def __post_init__(self):
        self.lines = sum(isinstance(step, Run) for step in self.steps)


def column(sheet, name):
    with open(SPECS / sheet, encoding="utf-8", newline="") as file:
        return [row[name] for row in csv.DictReader(file)]


class Typist:
    """Makes up what is typed."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.entries = sorted(set(column("entries.csv", "entry")))
        self.aliases = sorted(set(column("aliases.csv", "alias")))
        with open(SPECS / "templates.csv", encoding="utf-8", newline="") as file:
            self.joints = {}
            for row in csv.DictReader(file):
                self.joints.setdefault(row["kind"], []).append(row["joint"])

    def pick(self, choices):
        return self.random.choice(choices)

    def maybe(self, share, words):
        return words if self.random.random() < share else []

    def style(self):
        """Options of every command."""
        words = self.maybe(0.55, ["--format", self.pick(FORMATS)])
        words += self.maybe(0.25, ["--unit", self.pick(UNITS)])
        return words + self.maybe(0.07, ["--color", self.pick(["always", "never", "auto"])])

    def typo(self, word):
        at = self.random.randrange(max(1, len(word)))
        kind = self.random.randrange(4)
        letter = self.pick("aeinorstl")
        if kind == 0:
            return word[:at] + word[at + 1 :]
        if kind == 1:
            return word[:at] + letter + word[at:]
        if kind == 2:
            return word[:at] + letter + word[at + 1 :]
        return word[: max(0, at - 1)] + word[at : at + 1] + word[max(0, at - 1) : at] + word[at + 1 :]

    def torque(self, low=0.5, high=60.0):
        number = round(low * (high / low) ** self.random.random(), self.pick([0, 1, 1, 2, 3]))
        text = str(number).replace(".", self.pick([".", ".", ".", ","]))
        return f"{text} {self.pick(UNITS[:3] + UNITS if self.random.random() < 0.3 else UNITS[:3])}"

    def specified(self):
        return self.pick(WRONG_SPECIFIED if self.random.random() < 0.05 else SPECIFIED)

    def wrench(self):
        """What is said of the wrench."""
        if self.random.random() < 0.4:
            words = ["--wrench", self.pick(["small", "mid", "big", "beam", "key5", "lab", "old", "smal", "none"])]
            words += self.maybe(0.15, ["--adapter", self.pick(["40mm", "4in", "0.04m", "-3mm", "x"])])
            words += self.maybe(0.15, ["--angle", self.pick(["0", "90", "180", "45deg", "270"])])
            return words + self.maybe(0.2, ["--on", self.pick(["2026-06-01", "2027-07-01", "2025-01-01", "2026-13-01"])])
        words = self.maybe(0.4, ["--accuracy", self.pick(["1%", "4%", "4", "6 %", "0%", "60%", "x"])])
        words += self.maybe(0.4, ["--step", self.pick(["0.1", "0.5", "1 N·m", "1 in-lb", "0", "-1", "5"])])
        return words + self.maybe(0.15, ["--scatter", self.pick(["0.1", "0.3 N·m", "-1", "2"])])

    def joint(self, kinds=BIKES):
        bike = self.pick(list(kinds))
        return f"{bike}/{self.pick(self.joints[kinds[bike]])}"


def look_ups(typist):
    """Command lines that change nothing, on the furnished database."""
    t, lines = typist, []

    def add(*words, now=NOW, stdin=""):
        lines.append(Run(list(words), stdin, now, t.pick(["", "", "60", "80", "120"])))

    for command in COMMANDS:
        add(*command.split(), "--help")
        add(*command.split(), "-h")
        add(*command.split(), *t.maybe(0.5, ["--format", "json"]), "--no-such-option")
    for words in ["", "--help", "-h", "--version", "help", "help order", "sho x", "find --format xml", "find --unit lb",
                  "find --unit", "--db", "find --color red", "show", "show --format json", "convert", "check"]:  # fmt: skip
        add(*words.split())
    for shell in ["bash", "elvish", "fish", "powershell", "zsh", "csh"]:
        add("completions", shell)
    add("man")
    add("man", "--dir", "manual")
    for form in FORMATS:
        for words in ["find", "find stem", "find zzzzzz", "bike list", "bike list --all", "wrench list", "due", "book",
                      "wrench list --all", "ready --all", "convert 5Nm", "wrench pick --bike loan-7", "card loan-7"]:  # fmt: skip
            add(*words.split(), "--format", form)
        for bike, joints in BIKES.items():
            add("bike", "show", bike, "--format", form)
            add("ready", bike, "--whole", "--format", form)
            add("ready", bike, "--format", form)
            add("due", bike, "--format", form)
            add("card", bike, "--format", form)
        for joint in t.joints["hardtail"]:
            add("history", f"loan-7/{joint}", "--format", form)
    for unit in UNITS + WRONG_UNITS:
        add("convert", f"44 {unit}")
        add("convert", "4-6 N·m", "--to", unit)
        add("check", "12-14 N·m", f"13 {unit}", "--unit", unit)
    for text in SPECIFIED + WRONG_SPECIFIED:
        add("convert", text, "--format", t.pick(FORMATS))
        add("check", text, "5 N·m", "--format", t.pick(FORMATS))
        add("check", text)
        add("order", "--bolts", "4", "--layout", "ring", "--torque", text, *t.style())
    for entry in t.entries:
        add("show", entry, *t.maybe(0.3, ["--brief"]), *t.style())
        add("show", entry, "--format", t.pick(["json", "csv"]))
        add("order", entry, *t.maybe(0.4, ["--torque", t.specified()]), *t.style())
        add("check", entry, t.torque(), *t.wrench(), *t.style())
    for _ in range(60):
        words = t.pick(t.aliases).split()
        add("find", *(t.typo(word) if t.random.random() < 0.3 else word for word in words), *t.style())
    for _ in range(30):
        add("show", t.typo(t.pick(t.entries)), *t.style())
        add("show", t.pick(t.entries), *t.wrench(), *t.maybe(0.4, ["--condition", t.pick(CONDITIONS)]), *t.style())
    for _ in range(40):
        add("convert", t.torque(0.01, 500), *t.maybe(0.5, ["--to", t.pick(UNITS + WRONG_UNITS)]), *t.style())
    for _ in range(70):
        words = [t.pick(t.entries)] if t.random.random() < 0.4 else ["--torque", t.specified()]
        words += t.maybe(0.6, ["--bolts", t.pick("1 2 3 4 5 6 7 8 12 0 -1 x".split())])
        words += t.maybe(0.6, ["--layout", t.pick(LAYOUTS)])
        words += t.maybe(0.2, ["--closed-side", t.pick(["top", "bottom", "left"])])
        words += t.maybe(0.2, ["--within", t.pick(["2%", "0.5%", "20%", "0", "x"])])
        words += t.maybe(0.2, ["--loss", t.pick(["0.2", "0", "-0.1", "0.9", "1", "x"])])
        words += t.maybe(0.2, ["--explain"]) + t.maybe(0.2, ["--from", t.pick(["1.1", "3.2", "2.9", "9.9", "3"])])
        words += t.maybe(0.1, ["--svg", "order.svg"])
        add("order", *words, *t.wrench(), *t.style())
    for places in [["0,20", "35,-12", "-30,-15"], ["0,0", "0,0"], ["0,0"], ["1;2"], ["0,0", "10,0", "20,0", "30,0"],
                   ["0,0", "1,0", "0,1", "1,1", "0.5,2"], ["a,b"]]:  # fmt: skip
        at = [word for place in places for word in (f"--at={place}",)]
        add("order", *at, "--torque", "5 N·m", "--svg", "places.svg", *t.style())
    for name in ["places.csv", "bad-places.csv", "no-places.csv"]:
        add("order", "--at-file", name, "--torque", "5 N·m")
    for _ in range(150):
        spec = t.pick([t.specified(), t.pick(t.entries), t.joint(), t.typo(t.joint())])
        words = [spec, *t.maybe(0.85, [t.torque()])]
        words += t.maybe(0.3, ["--kind", t.pick(KINDS + ["skipped"])]) + t.maybe(0.1, ["--left-hand"])
        words += t.maybe(0.15, ["--thread", t.pick(THREADS)]) + t.maybe(0.15, ["--grade", t.pick(GRADES)])
        words += t.maybe(0.1, ["--condition", t.pick(CONDITIONS)]) + t.maybe(0.25, ["--explain"])
        add("check", *words, *t.wrench(), *t.style())
    for _ in range(120):
        words = ["--thread", t.pick(THREADS), "--grade", t.pick(GRADES)]
        words += t.maybe(0.7, ["--torque", t.torque(0.3, 90)])
        words += t.maybe(0.4, ["--friction", t.pick([*CONDITIONS, "unknown", "0.10..0.16", "0.12", "0.2..0.1", "0", "2"])])
        words += t.maybe(0.3, ["--head", t.pick(["socket", "hex", "round"])])
        words += t.maybe(0.3, ["--engagement", t.pick(["8mm", "0.5in", "0", "x"])])
        words += t.maybe(0.3, ["--into", t.pick(["aluminium", "6061-T6", "magnesium", "steel", "wood"])])
        words += t.maybe(0.2, ["--condition", t.pick(CONDITIONS)])
        words += t.maybe(0.2, ["--stated-condition", t.pick(CONDITIONS)])
        words += t.maybe(0.3, ["--explain"]) + t.maybe(0.3, ["--sweep"]) + t.maybe(0.1, ["--points", t.pick("2 7 1 x".split())])
        words += t.maybe(0.1, ["--sweep", "--svg", "bolt.svg"])
        add("bolt", *words, *t.style())
    for _ in range(40):
        specs = [t.pick([t.specified(), t.pick(t.entries), t.joint()]) for _ in range(t.pick([1, 1, 2, 3]))]
        add("wrench", "pick", *specs, *t.maybe(0.2, ["--left-hand"]), *t.maybe(0.2, ["--on", "2027-07-01"]), *t.style())
    for _ in range(30):
        words = [t.torque(), "--adapter", t.pick(["40mm", "4in", "-4in", "180mm", "x"])]
        words += t.pick([["--lever", "300mm"], ["--lever", "10in"], ["--wrench", "mid"], ["--wrench", "beam"], []])
        add("wrench", "setting", *words, *t.maybe(0.4, ["--angle", t.pick(["90deg", "45", "180", "x"])]), *t.style())
    for name in ["small", "mid", "big", "beam", "key5", "lab", "old", "nobody"]:
        add("wrench", "show", name, *t.style())
    for _ in range(60):
        day = t.pick(["2026-05-31", "2026-06-09T12:00:00Z", "2026-06-05 10:00", "2027-08-01", "soon"])
        command = t.pick([["ready", t.pick(list(BIKES))], ["ready", "--all"], ["due"], ["due", t.pick(list(BIKES))]])
        add(*command, *t.maybe(0.7, ["--at", day]), *t.style())
        add("history", t.joint() + t.pick(["", "", "#1", "#2", "#99"]), *t.maybe(0.2, ["--svg", "history.svg"]), *t.style())
    for bike in [*BIKES, "nobody"]:
        add("card", bike, "--html", "card.html", *t.maybe(0.5, ["--wrench", "small"]), *t.style())
        add("ready", bike, now="2028-01-01T00:00:00Z")
        add("wrench", "pick", "--bike", bike, *t.style())
    add("demo")
    add("demo", "--format", "json")
    add("ready", "loan-7", now="yesterday")
    add("find", "stem", "--db", "missing/folder/x.db")
    add("find", "stem", "--db", "bad-places.csv")
    return lines


def furnish(typist):
    """A workshop with every kind of bicycle, wrenches in every standing, and a log."""
    t = typist
    steps = [Run(["bike", "add", name, "--kind", kind, "--owner", "the club", *t.style()]) for name, kind in BIKES.items()]
    for words in [
        'small --type click --scale "2-10 N·m" --step 0.1 --calibrated 2026-05-04',
        'mid --type click --scale "5-25 N·m" --step 0.2 --calibrated 2026-05-04 --lever 280mm --adapter 40mm',
        'big --type dial --scale "20-100 N·m" --step 1 --calibrated 2024-05-04 --months 12',
        'beam --type beam --scale "0-60 N·m" --step 1 --anticlockwise --calibrated 2026-01-15',
        'key5 --type preset --scale "5 N·m" --class IIB --calibrated 2026-02-01',
        'lab --type electronic --scale "1-20 N·m" --step 0.01 --certificate 1.2% --coverage 2.5 --anticlockwise',
        'old --type click --scale "20-200 in-lb" --step 5 --accuracy 4% --usable "40-180 in-lb" --calibrated 2026-01-01 --cycles 9',
        'bad --type click --scale "10-2 N·m"', 'small --type click --scale "2-10 N·m"', 'x --type hammer --scale "2-10 N·m"',
        'y --type click --scale "2-10 N·m" --certificate 0%', 'z --type click --scale "2-10 N·m" --calibrated tomorrow',
    ]:  # fmt: skip
        steps.append(Run(["wrench", "add", *shlex.split(words), *t.style()]))
    steps.append(Run(["wrench", "calibrated", "old", "--failed", "--on", "2026-06-08", "--note", "read 9 % low"]))
    for words in [
        'loan-7 bar-clamp --marking "stem: max 6 N·m" --marking "bar: max 5 N·m"', 'loan-7 stem-steerer --marking "5-7 N·m"',
        'loan-7 rotor-front --part-maker "4 N·m" --thread M5 --condition threadlocker', 'loan-7 rotor-rear --shop "5-6.2 N·m"',
        'loan-7 rotor-front-thickness --marking "min 1.5 mm"', 'loan-7 pedal-left --bike-maker "35 N·m"',
        'loan-7 seat-collar --marking "max 6 N·m" --part-maker "5 N·m" --photo seat.jpg', 'errand bell --marking "1 N·m"',
        'loan-7 crank-left --marking "12-14"', 'loan-7 cassette --marking ""', 'loan-7 bar-clamp --bolts 0',
        'trail-1 bar-clamp --shop "4.9-5.1 N·m" --name "bar clamp"', 'loan-7 no-such --bolts 2', 'nobody bar-clamp --bolts 2',
    ]:  # fmt: skip
        steps.append(Run(["bike", "joint", "edit", *shlex.split(words), *t.style()]))
    steps.append(Run(["bike", "joint", "add", "loan-7", "bottle-cage", "--entry", "bottle-cage-bolt", "--bolts", "2", "--critical", "no"]))
    for number in range(60):
        values = [t.torque(2, 15) for _ in range(t.pick([1, 2, 2, 4]))]
        words = ["record", t.joint(), *values, *t.maybe(0.7, ["--wrench", t.pick(["small", "mid", "beam", "lab", "old"])])]
        words += t.maybe(0.25, ["--kind", t.pick(KINDS)]) + t.maybe(0.5, ["--who", t.pick(["Kim", "Zoë"])])
        words += ["--at", f"2026-06-0{1 + number // 10}T{10 + number % 10}:00:00+02:00"]
        steps.append(Run([*words, *t.maybe(0.8, ["--yes"]), *t.style()]))
    for joint in t.joints["hardtail"]:
        words = t.pick([["--finding", "fine"], ["5.1", "--wrench", "small"], ["5", "5.1", "--found", "4 4.5"], ["held", "4"],
                        ["--finding", "cracked"], ["1.7"], ["--kind", "held", "4.4"]])  # fmt: skip
        steps.append(Run(["record", f"loan-7/{joint}", *words, "--at", "2026-06-08T12:00:00+02:00", *t.style()]))
    for day, value in enumerate(["5.2", "5.0", "4.8", "4.5", "4.2", "4.0"], 1):
        words = ["trail-1/bar clamp#1", value, "--kind", "moved", "--wrench", "lab", "--at", f"2026-06-0{day} 08:00"]
        steps.append(Run(["record", *words]))
    for words in ['loan-7 2h30 --at "2026-06-08 15:00"', "trail-1 --km 60", "loan-7 -1h", "errand 45min --km 9 --note flat"]:
        steps.append(Run(["ride", *shlex.split(words), *t.style()]))
    for words in ["e-2 crash --note ditch", "gr rebuild --at 2026-05-30", "loan-7 done --what fork-service", "gr wash",
                  "gr done", "gr done --what lunch", "gr transport --at 2026-07-30"]:  # fmt: skip
        steps.append(Run(["event", *shlex.split(words), *t.style()]))
    steps.append(Run(["bike", "retire", "errand"]))
    return Story("furnish", [*steps, Run(["export", "furnished"])])


def log(typist, rows, entries_only=False):
    """A log with sound, odd and unreadable rows."""
    t = typist
    lines = ["taken_at,bike,joint,entry,bolt,value,unit,kind,wrench,who,note"]
    for number in range(rows):
        joint = ",," if entries_only or t.random.random() < 0.6 else None
        entry = t.pick(t.entries) if joint else ""
        if joint is None:
            bike, name = t.joint().split("/")
            joint = f"{bike},{name},"
        value, unit = t.torque(1, 60).split(" ", 1)
        value = f'"{value}"' if "," in value else value
        kind = t.pick(["", "tightened", "tightened", *KINDS, "skipped"])
        wrench = t.pick(["", "", "small", "mid", "big", "beam", "old", "lost"])
        minute = f"2026-06-0{1 + number % 9}T{number // 60 % 10 + 8:02}:{number % 60:02}:00+02:00"
        line = f"{minute},{joint}{entry},{t.pick(['1', '2', '', '1'])},{value},{unit},{kind},{wrench},Kim,"
        if t.random.random() < 0.08:
            line = t.pick([line + ",more", line.replace(unit, "lb"), line.rsplit(",", 3)[0], line.replace(value, "x", 1),
                           line + '"two\nlines"', line.replace("2026", "20x6"), ",,,,,,,,,,", line.replace("+02:00", "")])  # fmt: skip
        lines.append(line)
    return ("\n".join(lines) + "\n").encode()


def audits(typist):
    """Logs judged, in every way."""
    t, stories = typist, []
    for number in range(4):
        body = log(t, 400, entries_only=number % 2 == 0)
        steps = [Write("log.csv", body), Write("log.csv.gz", gzip.compress(body, mtime=0)), Write("empty.csv", b"")]
        steps += [Write("head.csv", body.split(b"\n")[0] + b"\n"), Write("odd.csv", b"\xef\xbb\xbfentry;value;unit\n")]
        steps += [Write("binary.csv", b"\xff\xfe\0a,b\n")]
        for form in FORMATS:
            steps.append(Run(["audit", "log.csv", "--format", form, "--worst", "10", "--rejects", f"rejects-{form}.csv"]))
        for words in [
            "log.csv --verdicts verdicts.csv", "log.csv.gz --worst 3 --unit in-lb", "log.csv --plot spread.svg",
            "log.csv --strict", "log.csv --rule plain --worst 5 --format json", "log.csv --threads 1 --format json",
            "log.csv --partial a.json", "log.csv.gz --partial b.json", "--merge a.json b.json --format json", "missing.csv",
            "empty.csv", "head.csv", "odd.csv", "binary.csv", "--merge a.json log.csv", "log.csv --verdicts log.csv",
            "log.csv --verdicts verdicts.csv --rejects rejects.csv --rule plain --threads 2", "log.csv --worst 0", "",
        ]:  # fmt: skip
            steps.append(Run(["audit", *words.split()]))
        steps.append(Run(["audit", "-", "--format", "json"], stdin=body.decode()))
        stories.append(Story(f"audit {number}", steps, start="furnish"))
    return stories


def workshops(typist):
    """What changes the workshop book: each story on a copy of the furnished one."""
    t, stories = typist, []
    for number in range(6):
        steps = [Write("log.csv", log(t, 60)), Write("good.csv", log(t, 5))]
        steps += [Run(["record", "--from", "log.csv", *t.style()]), Run(["record", "--from", "log.csv", "--keep-good"])]
        steps += [Run(["record", "--from", "log.csv", "--keep-good", "--format", "json"]), Run(["record", "--from", "good.csv"])]
        for _ in range(22):
            joint = t.joint()
            bike = joint.split("/")[0]
            steps.append(Run([*t.pick([
                ["record", joint, t.torque(1, 80), *t.maybe(0.5, ["--wrench", t.pick(["small", "mid", "beam", "old", "lost"])])],
                ["record", joint + "#1", t.torque(2, 12), *t.maybe(0.5, ["--corrects", t.pick(["1", "5", "9999", "x"])]), "--yes"],
                ["record", joint, "--finding", t.pick(["fine", "loose", "drags", "play", "cracked", "worn", "happy"])],
                ["record", joint, "--finding", "loose", "--action", t.pick(["re-tightened", "replaced", "prayed"])],
                ["record", joint, "-", "5", t.pick(["N·m", "in-lb", "lb"]), "--at", t.pick(["2026-06-09", "2027-01-01", "x"])],
                ["record", joint, "0", "--wrench", "small"], ["record", joint, "0.01 N·m", "--wrench", "lab"],
                ["bike", "joint", "edit", bike, joint.split("/")[1], t.pick(["--marking", "--part-maker", "--bike-maker", "--shop"]), t.specified()],
                ["bike", "joint", "edit", bike, joint.split("/")[1], *t.pick([["--hand", "left"], ["--critical", "no"], ["--check", "function"],
                    ["--entry", t.pick(t.entries)], ["--thread", t.pick(THREADS)], ["--place", "under the seat"], ["--name", "stem-steerer"], ["--bolts", "3"]])],
                ["bike", "joint", "remove", bike, joint.split("/")[1]], ["bike", "edit", bike, "--note", "new tyres"],
                ["bike", "edit", bike, *t.pick([["--name", "gr"], ["--owner", "Zoë"], ["--frame", ""], ["--in-use"], []])],
                ["bike", "retire", bike], ["bike", "add", t.pick(["new", "loan-7", "a/b", "", " x"]), "--kind", t.pick(["city", "tandem"])],
                ["wrench", "calibrated", t.pick(["small", "old", "lost"]), *t.maybe(0.5, ["--on", t.pick(["2026-06-09", "2026-07-09", "x"])]), *t.maybe(0.4, ["--failed"])],
                ["wrench", "retire", t.pick(["small", "mid", "key5", "lost"])], ["ride", bike, t.pick(["2h", "90min", "1.5h", "x", "300h"])],
                ["event", bike, t.pick(["crash", "wash", "transport", "rebuild", "party"])], ["history", joint], ["ready", bike, "--whole"],
            ]), *t.style()]))  # fmt: skip
        steps += [Run([*words.split(), "--format", t.pick(FORMATS)]) for words in ["ready --all", "due", "bike list --all", "wrench list"]]
        stories.append(Story(f"workshop {number}", [*steps, Run(["export", "after"])], start="furnish"))
    for number in range(6):
        answers = [t.pick(["", "fine", "5", "5 5.1", "held 4", "moved 4", "loosening 3", "44 in-lb", "cracked", "?", "500", "y", "x", "1.6"])
                   for _ in range(40)]  # fmt: skip
        steps = []
        for _ in range(2):
            words = ["visit", t.pick(list(BIKES)), *t.maybe(0.7, ["--wrench", t.pick(["small", "mid", "lost"])]), *t.maybe(0.3, ["--anew"])]
            steps.append(Run([*words, *t.style()], stdin="\n".join([*answers[: t.pick([5, 20, 40])], *t.maybe(0.5, ["q"])]) + "\n"))
        stories.append(Story(f"visit {number}", [*steps, Run(["export", "after"])], start="furnish"))
    return stories


def transfers(typist):
    """Backups, exports, and imports of whole and damaged folders."""
    sheets = ["bicycles.csv", "joints.csv", "wrenches.csv", "events.csv", "readings.csv", "removed.csv"]
    steps = [Run(words.split()) for words in [
        "export out", "export out", "export out --replace", "backup copy.db", "backup copy.db", "restore copy.db",
        "restore copy.db --yes", "restore missing.db --yes", "import out", "import out --db new.db", "export again --db new.db",
        "ready --all --db new.db", "import missing --db other.db", "backup no/such/folder/x.db", "export bad-places.csv",
    ]]  # fmt: skip
    stories = [Story("transfer", [Run(["export", "before"]), *steps], start="furnish")]
    damages = [
        ("joints.csv", "max 5 N·m", "max 5"), ("joints.csv", "hardtail", "x"), ("joints.csv", ",true,", ",maybe,"), ("joints.csv", "bike,", "bik,"),
        ("joints.csv", ",torque,", ",feel,"), ("joints.csv", "bar-clamp,", "stem-steerer,"), ("bicycles.csv", "hardtail", "tandem"),
        ("bicycles.csv", "2026-06-10", "2026-66-10"), ("wrenches.csv", "click", "hammer"), ("wrenches.csv", "2.0,10.0", "10.0,2.0"),
        ("wrenches.csv", "2026-05-04 passed", "2026-05-04 perhaps"), ("events.csv", "crash", "party"), ("events.csv", "2.5", "-2.5"),
        ("readings.csv", "N·m", "lb"), ("readings.csv", "tightened", "tight"), ("readings.csv", "loan-7", "nobody"), ("readings.csv", "2026", "20x6"),
        ("readings.csv", ",1,", ",99,"), ("readings.csv", "taken_at", "taken"), ("removed.csv", "taken_at", "taken"), ("wrenches.csv", "\n", ",more\n"),
        ("bicycles.csv", "loan-7", "LOAN-7"), ("joints.csv", "5-7 N·m", "7-5 N·m"), ("joints.csv", "4 N·m", "4 lb"), ("events.csv", "loan-7", "lost"),
    ]  # fmt: skip
    steps = [Run(["export", "out"])]
    for number, (sheet, old, new) in enumerate(damages):
        form = FORMATS[number % 3]
        steps += [Run(["export", f"in-{number}"]), Edit(f"in-{number}/{sheet}", old, new)]
        steps += [Run(["import", f"in-{number}", "--db", f"in-{number}.db", "--format", form])]
        steps += [Run(["export", f"out-{number}", "--db", f"in-{number}.db"])]
    for sheet in sheets:
        steps += [Run(["export", f"no-{sheet}"]), Edit(f"no-{sheet}/{sheet}", "", ""), Run(["import", f"no-{sheet}", "--db", f"no-{sheet}.db"])]
    return [*stories, Story("import", steps, start="furnish")]


def books(typist):
    """The spec book written out, changed, checked and loaded."""
    t = typist
    steps = [Run(words.split()) for words in ["book", "book export mine", "book check mine", "book load mine", "book",
                                              "book load --compiled-in", "book export mine", "book export --replace mine",
                                              "book check missing", "book load missing", "book check ."]]  # fmt: skip
    for number in range(14):
        sheet = t.pick(sorted(path.name for path in SPECS.glob("*.csv")))
        text = (SPECS / sheet).read_text(encoding="utf-8")
        for _ in range(t.pick([1, 1, 3])):
            old = t.pick([word for word in sorted(set(text.replace("\n", ",").split(","))) if len(word) > 1 and '"' not in word] or [","])
            steps.append(Edit(f"mine/{sheet}", old, t.pick([t.typo(old), "", "x", old + ",", "-1", old.upper(), '"'])))
        form = t.pick(FORMATS)
        steps += [Run(["book", "check", "mine", "--format", form]), Run(["book", "load", "mine", "--format", form])]
        steps += [Run(["find", "stem", "--format", form])]
        steps += [Run(["book", "load", "--compiled-in"]), Run(["book", "export", "--replace", "mine"])]
    return [Story("book", steps)]


def stories(seed):
    """The story that furnishes the workshop, and the others."""
    typist = Typist(seed)
    furnished = furnish(typist)
    lines = look_ups(typist)
    places = [Write("places.csv", b"x,y\n0,20\n35,-12\n-30,-15\n"), Write("bad-places.csv", b"x,y\n0,z\n")]
    chunks = [Story(f"look-ups {at // 50}", [*places, *lines[at : at + 50]], "furnish") for at in range(0, len(lines), 50)]
    return furnished, [*chunks, *audits(typist), *workshops(typist), *transfers(typist), *books(typist)]


def is_database(name):
    return ".db" in name.rsplit("/", 1)[-1]


def contents(folder, seen):
    """Files that were written since the last look, with what they hold; those that went, with None."""
    now, written = {}, {}
    for path, _, names in os.walk(folder):
        for name in names:
            full = os.path.join(path, name)
            relative = os.path.relpath(full, folder)
            if is_database(relative):
                continue
            stat = os.stat(full)
            now[relative] = (stat.st_mtime_ns, stat.st_size, stat.st_ino)
            if seen.get(relative) != now[relative]:
                written[relative] = Path(full).read_bytes()
    written.update({name: None for name in seen.keys() - now.keys()})
    seen.clear()
    seen.update(now)
    return written


def play(program, story, folder, start):
    """Goes through a story and hands back what each command line answered."""
    folder.mkdir(parents=True)
    if start:
        shutil.copy(start / "bench.db", folder / "bench.db")
    answers, seen = [], {}
    for step in story.steps:
        if isinstance(step, Write):
            (folder / step.name).write_bytes(step.content)
        elif isinstance(step, Edit):
            edit(folder / step.name, step)
        else:
            answers.append(answer(program, step, folder, seen))
            continue
        contents(folder, seen)
    return answers


def edit(path, step):
    if not path.exists():
        return
    if not step.old:
        return path.unlink()
    text = path.read_bytes()
    path.write_bytes(text.replace(step.old.encode(), step.new.encode(), 1))


def answer(program, step, folder, seen):
    env = {"HOME": ".", "EVENCLAMP_DB": "bench.db", "EVENCLAMP_NOW": step.now, "TZ": "UTC", "PATH": "/usr/bin:/bin", "TMPDIR": str(folder)}
    env.update({"COLUMNS": step.columns} if step.columns else {})
    try:
        done = subprocess.run([program, *step.words], cwd=folder, env=env, input=step.stdin.encode(), capture_output=True, timeout=120)
        said = {"exit status": str(done.returncode).encode(), "stdout": done.stdout, "stderr": done.stderr}
    except subprocess.TimeoutExpired:
        said = {"exit status": b"none within 120 s"}
    said.update({f"file {name}": body for name, body in contents(folder, seen).items()})
    # Both work in folders of their own, whose names are none of the answer.
    return {part: body and body.replace(str(folder).encode(), b"FOLDER") for part, body in said.items()}


def differences(old, new):
    """Lines that tell how two answers differ."""
    lines = []
    for part in sorted(old.keys() | new.keys()):
        before, after = old.get(part), new.get(part)
        if before == after:
            continue
        if before is None or after is None:
            lines.append(f"{part}: {'gone or never written' if after is None else 'only written by the new one'}")
            continue
        texts = [body.decode("utf-8", "replace").splitlines() for body in (before, after)]
        lines.append(f"{part}:")
        if all(len(text) == 1 for text in texts):
            texts = [[excerpt] for excerpt in around_the_difference(*texts[0], *texts[1])]
        lines += [f"    {line[:400]}" for line in list(difflib.unified_diff(*texts, lineterm="", n=1))[2:]]
    return lines


def around_the_difference(before, after):
    """What stands round the first difference of two long lines."""
    at = len(os.path.commonprefix([before, after]))
    return (text[max(0, at - 100) : at + 200] if len(text) > 400 else text for text in (before, after))


def shown(words):
    return "evenclamp " + " ".join(f'"{word}"' if " " in word or not word else word for word in words)


def compare(programs, story, root, started, only):
    """How many command lines of a story were compared, and the differences."""
    starts = [folder if story.start else None for folder in started]
    folders = [root / side / story.name.replace(" ", "-") for side in ("old", "new")]
    old, new = (play(program, story, folder, start) for program, folder, start in zip(programs, folders, starts))
    typed = [step for step in story.steps if isinstance(step, Run)]
    told, count = [], 0
    for step, before, after in zip(typed, old, new):
        if not matches(story, step, only):
            continue
        count += 1
        lines = differences(before, after)
        if lines:
            told.append(f"[{story.name}] {shown(step.words)}\n" + "\n".join(f"  {line}" for line in lines))
    return count, told


def matches(story, step, only):
    return not only or only in story.name or only in shown(step.words)


def called_by_its_name(program, folder):
    """A link to a build that is called as the program is: usage lines repeat the name that was typed."""
    folder.mkdir()
    link = folder / "evenclamp"
    link.symlink_to(program)
    return str(link)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("old")
    parser.add_argument("new")
    parser.add_argument("--only", default="", help="only command lines, or stories, with this in them")
    parser.add_argument("--seed", type=int, default=13)
    parser.add_argument("--list", action="store_true", help="list the command lines and run nothing")
    parser.add_argument("--lines", type=int, default=40, help="how many lines of a difference are shown")
    arguments = parser.parse_args()
    programs = [os.path.abspath(program) for program in (arguments.old, arguments.new)]
    furnished, others = stories(arguments.seed)
    others = [story for story in others if any(isinstance(step, Run) and matches(story, step, arguments.only) for step in story.steps)]
    for story in others if arguments.only else []:
        if story.name.startswith("look-ups") and arguments.only not in story.name:
            # Look-ups stand for themselves, so that only those asked for have to run.
            story.steps = [step for step in story.steps if not isinstance(step, Run) or matches(story, step, arguments.only)]
    if arguments.list:
        for story in [furnished, *others]:
            print(*(f"[{story.name}] {shown(step.words)}" for step in story.steps if isinstance(step, Run)), sep="\n")
        return 0
    if not all(os.access(program, os.X_OK) for program in programs):
        print("cannot run", *programs, file=sys.stderr)
        return 2
    total, found = 0, 0
    with tempfile.TemporaryDirectory() as root:
        root = Path(root)
        programs = [called_by_its_name(program, root / side) for program, side in zip(programs, ("old", "new"))]
        started = [root / side / "furnish" for side in ("old", "new")]
        with ThreadPoolExecutor(2) as pool:
            results = [compare(programs, furnished, root, started, arguments.only)]
            results += pool.map(lambda story: compare(programs, story, root, started, arguments.only), others)
        for count, told in results:
            total += count
            found += len(told)
            for text in told:
                lines = text.splitlines()
                print("\n".join(lines[: arguments.lines]), *(["  …"] if len(lines) > arguments.lines else []), "", sep="\n")
    print(f"{total} command lines, {found} with differences")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
