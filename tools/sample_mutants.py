#!/usr/bin/env python3
"""Tries a random sample of wrong edits: how many pass all tests?

Needs `cargo install cargo-mutants`. The sample is drawn from all mutants that the tool knows of the
folders named, with the seed given, so that a run can be repeated:

    tools/sample_mutants.py --seed 7 --count 120

Survivors are printed at the end, one a line; the exit status is 1 when more than a tenth survive.
What follows `--` is handed to `cargo test`.
"""

import argparse
import pathlib
import random
import re
import subprocess
import sys

FOLDERS = ["report", "cli", "workshop", "conformity", "sequence", "wrench", "book"]


def all_mutants(folders):
    files = [part for folder in folders for part in ("--file", f"src/{folder}/**")]
    listed = subprocess.run(["cargo", "mutants", "--list", *files], capture_output=True, text=True, check=True)
    return sorted(listed.stdout.splitlines())


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--count", type=int, default=120)
    parser.add_argument("--folder", action="append", help="a folder of src; all seven if none is named")
    parser.add_argument("--jobs", default="2")
    parser.add_argument("--output", default="target/mutants", help="folder for the outcomes")
    arguments, test_arguments = parser.parse_known_args()
    mutants = all_mutants(arguments.folder or FOLDERS)
    sample = random.Random(arguments.seed).sample(mutants, min(arguments.count, len(mutants)))
    print(f"{len(sample)} of {len(mutants)} mutants, seed {arguments.seed}", flush=True)
    names = "^(" + "|".join(re.escape(name) for name in sample) + ")$"
    output = pathlib.Path(arguments.output)
    output.mkdir(parents=True, exist_ok=True)
    command = ["cargo", "mutants", "--no-shuffle", "--jobs", arguments.jobs, "--output", str(output), "--re", names]
    subprocess.run([*command, *test_arguments], check=False)
    outcomes = {
        word: (output / "mutants.out" / f"{word}.txt").read_text().splitlines()
        for word in ("caught", "missed", "timeout", "unviable")
    }
    print(", ".join(f"{word} {len(found)}" for word, found in outcomes.items()))
    tried = len(outcomes["caught"]) + len(outcomes["timeout"]) + len(outcomes["missed"])
    for mutant in outcomes["missed"]:
        print(f"survived: {mutant}")
    return 1 if len(outcomes["missed"]) * 10 > tried else 0


if __name__ == "__main__":
    sys.exit(main())
