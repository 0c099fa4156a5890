#!/usr/bin/env python3
"""Fills the factors of tests/published/units.csv by general-purpose references, for tests/published/units.rs.

A line says how evenclamp prints a unit, and what it is for pint and for GNU units. Needs the Python package
pint and GNU units:
    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install pint
    /tmp/venv/bin/python tools/units_reference.py
"""

import csv
import subprocess
import sys

import pint

TABLE = "tests/published/units.csv"


def gnu_units(expression: str) -> str:
    command = ["units", "--terse", "-o", "%.16g", expression, "newton meter"]
    try:
        return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()
    except (OSError, subprocess.CalledProcessError) as error:
        sys.exit(f"GNU units failed on {expression!r}: {error}")


def main() -> None:
    registry = pint.UnitRegistry()
    version = subprocess.run(["units", "--version"], capture_output=True, text=True).stdout.split("\n")[0]
    with open(TABLE, encoding="utf-8") as file:
        lines = [line[:3] for line in csv.reader(file)]
    with open(TABLE, "w", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow([*lines[0], f"pint {pint.__version__}", version])
        for symbol, expression, gnu in lines[1:]:
            factor = registry.parse_expression(expression).to("newton * meter").magnitude
            writer.writerow([symbol, expression, gnu, repr(float(factor)), gnu_units(gnu)])


if __name__ == "__main__":
    main()
