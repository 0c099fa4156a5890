#!/usr/bin/env python3
"""Measures the source of the program: size, functions, documentation, circles, names, what only tests reach.

    python3 tools/measure_source.py [FOLDER] [--list]

FOLDER is a work tree, by default the one that the script stands in. Source is what stands in `src` without tests;
tests are `tests`, files called `…_tests.rs` and what `#[cfg(test)]` marks. `--list` names what is counted in the last
lines. The text is read without a compiler: comments and strings are blanked, braces are matched. So a function counts
as called when its name stands somewhere else in the source as that of a call, in a path, or as a lone argument.
"""

import argparse
import re
import statistics
import subprocess
import sys
import tomllib
from pathlib import Path

STRINGS_AND_COMMENTS = re.compile(
    r'//[^\n]*|/\*.*?\*/|b?r(#*)".*?"\1|b?"(?:\\.|[^"\\])*"|\'(?:\\(?:u\{\w+\}|x\w\w|.)|[^\'\\\n])\'', re.S
)
TEST = re.compile(r"^[ \t]*#\[cfg\(test\)\]", re.M)
TEST_MODULE = re.compile(r"^[ \t]*#\[cfg\(test\)\]\s*(?:pub(?:\([^)]*\))? )?mod (\w+);", re.M)
FUNCTION = re.compile(r"\bfn\s+(\w+)")
TYPE = re.compile(r"^\s*(?:pub(?:\([^)]*\))? )?(?:struct|enum|trait|union) (\w+)|^(?:pub(?:\([^)]*\))? )?type (\w+)", re.M)
PUBLIC = re.compile(
    r"^[ \t]*pub (?:const |async |unsafe )*(?:(fn|struct|enum|trait|type|const|static|mod) (\w+)|(\w+): )", re.M
)
PUBLIC_FUNCTION = re.compile(r"^\s*pub(?:\([^)]*\))? (?:const |async )*fn (\w+)", re.M)
USE = re.compile(r"^\s*(?:pub(?:\([^)]*\))? )?use [^;]*;", re.M)


def blanked(text):
    """The text with comments and strings blanked, line for line as long as before."""
    return STRINGS_AND_COMMENTS.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)


def end_of_item(code, start):
    """Where the item that begins at `start` ends: behind its closing brace, or its semicolon."""
    depth = 0
    for at in range(start, len(code)):
        if code[at] in "([{":
            depth += 1
        elif code[at] in ")]}":
            depth -= 1
            if depth == 0 and code[at] == "}":
                return at + 1
        elif code[at] == ";" and depth == 0:
            return at + 1
    return len(code)


def without_tests(text):
    """A file without what `#[cfg(test)]` marks, and how many lines that had."""
    code, kept, at, lines = blanked(text), [], 0, 0
    for mark in TEST.finditer(code):
        if mark.start() < at:
            continue
        end = end_of_item(code, mark.end())
        kept.append(text[at : mark.start()])
        lines += text[mark.start() : end].count("\n") + 1
        at = end + (text[end : end + 1] == "\n")
    return "".join(kept) + text[at:], lines


def function_lengths(code):
    """Lines of each function that has a body."""
    for found in FUNCTION.finditer(code):
        end = end_of_item(code, found.end())
        if code[end - 1] == "}":
            yield code[found.start() : end].count("\n") + 1


def documented(text, code, found):
    """Whether a public item has a doc comment; that of a module stands in its file."""
    if found[1] == "mod" and code[found.end() :].lstrip().startswith(";"):
        return True
    for line in reversed(text[: found.start()].splitlines()):
        line = line.strip()
        if line.startswith(("///", "#[doc")):
            return True
        if line and not line.startswith(("#[", "//")) and not line.endswith("]"):
            return False
    return False


def circles(edges):
    """Groups of modules that reach each other."""
    def reach(start):
        seen, open_ones = set(), list(edges.get(start, ()))
        while open_ones:
            node = open_ones.pop()
            if node not in seen:
                seen.add(node)
                open_ones += edges.get(node, ())
        return seen

    reached = {node: reach(node) for node in edges}
    groups = {tuple(sorted(n for n in reached if n in reached[m] and m in reached[n])) for m in reached if m in reached[m]}
    return sorted(groups)


def crate_paths(code):
    """Top-level modules that a file names through `crate::`."""
    for found in re.finditer(r"\bcrate::(?:(\w+)|\{([^;]*?)\};)", code):
        yield from [found[1]] if found[1] else re.findall(r"(?:^|,)\s*(\w+)", re.sub(r"\{[^{}]*\}", "", found[2]))


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", nargs="?", type=Path, default=Path(__file__).resolve().parent.parent)
    parser.add_argument("--list", action="store_true", help="name the doubled types and what only tests reach")
    arguments = parser.parse_args()
    root = arguments.folder
    listed = subprocess.run(["git", "-C", root, "ls-files", "*.rs"], capture_output=True, text=True, check=True).stdout.split()
    source, test_lines, test_files = {}, 0, 0
    texts = {name: (root / name).read_text(encoding="utf-8") for name in listed}
    marked = {f"{Path(name).parent}/{module}.rs" for name, text in texts.items() for module in TEST_MODULE.findall(text)}
    for name, text in texts.items():
        if name.startswith("src/") and not name.endswith("_tests.rs") and name not in marked:
            source[name], inline = without_tests(text)
            test_lines += inline
        elif name.startswith(("src/", "tests/")):
            test_lines, test_files = test_lines + text.count("\n"), test_files + 1
    code = {name: blanked(text) for name, text in source.items()}

    file_lines = sorted(text.count("\n") for text in source.values())
    lengths = sorted(length for text in code.values() for length in function_lengths(text))
    # What private modules call public is public within the crate alone; of the others the compiler asks for documentation.
    shown = re.findall(r"^pub mod (\w+);", code.get("src/lib.rs", ""), re.M)
    public = [
        documented(source[name], text, found)
        for name, text in code.items()
        if Path(name).parts[1].removesuffix(".rs") in shown
        for found in PUBLIC.finditer(text)
    ]
    modules = {}
    for name, text in code.items():
        module = Path(name).parts[1].removesuffix(".rs")
        if module not in ("lib", "main"):
            modules.setdefault(module, set()).update(path for path in crate_paths(text) if path != module)
    modules = {module: paths & modules.keys() for module, paths in modules.items()}
    types = {}
    for name, text in code.items():
        for found in TYPE.finditer(text):
            types.setdefault(found[1] or found[2], []).append(name)
    doubled = {name: places for name, places in sorted(types.items()) if len(places) > 1}
    everything = "\n".join(USE.sub("", text) for text in code.values())
    called = set(re.findall(r"(?<!fn )\b(\w+)(?:\(|::<)", everything)) | set(re.findall(r"::(\w+)", everything))
    called |= set(re.findall(r"\((\w+)\)", everything))
    lonely = [f"{name}: {fn}" for name, text in code.items() for fn in PUBLIC_FUNCTION.findall(text) if fn not in called]
    with open(root / "Cargo.toml", "rb") as file:
        manifest = tomllib.load(file)

    def spread(values):
        return f"{statistics.median(values):.0f} / {values[int(len(values) * 0.95)]} / {values[-1]}"

    lines = sum(file_lines)
    print(f"source files                          {len(source)}")
    print(f"source lines                          {lines}")
    print(f"test files, test lines                {test_files}, {test_lines}")
    print(f"test : code                           {test_lines / lines:.2f}")
    print(f"lines of a file, median / p95 / max   {spread(file_lines)}")
    print(f"functions                             {len(lengths)}")
    print(f"lines of a function, median/p95/max   {spread(lengths)}")
    print(f"public items, documented              {len(public)}, {sum(public) / len(public):.1%}")
    print(f"circles between top-level modules     {len(circles(modules))} {circles(modules) or ''}")
    print(f"dependencies, for tests               {len(manifest['dependencies'])}, {len(manifest.get('dev-dependencies', {}))}")
    print(f"type names defined more than once     {len(doubled)}")
    print(f"public functions only tests call      {len(lonely)}")
    if arguments.list:
        print("\nDefined more than once:", *(f"  {name}: {', '.join(places)}" for name, places in doubled.items()), sep="\n")
        print("\nNamed by no call in the source:", *(f"  {line}" for line in lonely), sep="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
