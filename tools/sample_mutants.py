#!/usr/bin/env python3
"""Tries a random sample of wrong edits: how many pass all tests?

    tools/sample_mutants.py --seed 7 --count 120

Needs `cargo install cargo-mutants`, which lists the wrong edits of the folders named. The sample is drawn with the
seed given, so that a run can be repeated. Each edit is made in a work tree of its own; the test programs are built and
run one after the other until one fails, those that take longest last. Documentation tests are left out. A line is
printed for each edit; survivors are named at the end, and the exit status is 1 when more than a tenth survive.
"""

import argparse
import json
import queue
import random
import shutil
import subprocess
import sys
import threading
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOLDERS = ["report", "cli", "workshop", "conformity", "sequence", "wrench", "book"]
ORDER = ["lib", "published", "architecture", "snapshots", "cli"]
LONGEST = 900  # seconds that one test program may take


def all_mutants(folders):
    files = [part for folder in folders for part in ("--file", f"src/{folder}/**")]
    listed = subprocess.run(
        ["cargo", "mutants", "--list", "--json", "--diff", *files], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return sorted(json.loads(listed.stdout), key=lambda mutant: mutant["name"])


def test_programs(tree):
    """The test programs in the order in which they are run; none where the edit does not compile."""
    command = ["cargo", "test", "--locked", "--no-run", "--message-format=json"]
    built = subprocess.run(command, capture_output=True, text=True, cwd=tree)
    if built.returncode != 0:
        return None
    found = {}
    for line in built.stdout.splitlines():
        message = json.loads(line)
        if message.get("executable") and message["profile"]["test"]:
            kind = message["target"]["kind"][0]
            found["lib" if kind == "lib" else message["target"]["name"]] = message["executable"]
    return [(name, found[name]) for name in ORDER]


def fate(mutant, tree):
    """What came of an edit: the test program that caught it, `unviable` or `survived`."""
    subprocess.run(["patch", "--quiet", mutant["file"]], input=mutant["diff"], text=True, check=True, cwd=tree)
    try:
        programs = test_programs(tree)
        if programs is None:
            return "unviable"
        for name, program in programs:
            try:
                run = subprocess.run([program, "--quiet"], capture_output=True, timeout=LONGEST, cwd=tree)
            except subprocess.TimeoutExpired:
                return f"caught by {name} (time)"
            if run.returncode != 0:
                return f"caught by {name}"
        return "survived"
    finally:
        subprocess.run(["git", "checkout", "--quiet", "."], check=True, cwd=tree)


def work(number, folder, mutants, fates):
    """Takes edits until there are none left."""
    tree = folder / str(number)
    if not tree.exists():
        subprocess.run(["git", "worktree", "add", "--quiet", "--detach", tree, "HEAD"], check=True, cwd=ROOT)
        if (ROOT / "target/debug").exists():
            shutil.copytree(ROOT / "target/debug", tree / "target/debug", symlinks=True)
    while True:
        try:
            mutant = mutants.get_nowait()
        except queue.Empty:
            return
        fates[mutant["name"]] = fate(mutant, tree)
        print(f"{fates[mutant['name']]}: {mutant['name']}", flush=True)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--count", type=int, default=120)
    parser.add_argument("--folder", action="append", help="a folder of src; all seven if none is named")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--trees", type=Path, default=ROOT / "target/mutants", help="folder for the work trees")
    arguments = parser.parse_args()
    everything = all_mutants(arguments.folder or FOLDERS)
    sample = random.Random(arguments.seed).sample(everything, min(arguments.count, len(everything)))
    print(f"{len(sample)} of {len(everything)} mutants, seed {arguments.seed}", flush=True)
    mutants, fates = queue.SimpleQueue(), {}
    for mutant in sample:
        mutants.put(mutant)
    threads = [
        threading.Thread(target=work, args=(number, arguments.trees.absolute(), mutants, fates))
        for number in range(arguments.jobs)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    survivors = [name for name, fate in fates.items() if fate == "survived"]
    tried = sum(fate != "unviable" for fate in fates.values())
    print(f"tried {tried}, survived {len(survivors)}, did not compile {len(fates) - tried}")
    for name in survivors:
        print(f"survived: {name}")
    return 1 if len(survivors) * 10 > tried else 0


if __name__ == "__main__":
    sys.exit(main())
