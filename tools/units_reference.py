#!/usr/bin/env python3
"""Factors of the torque units by general-purpose references, as the fixture of tests/published/units.rs.

Needs the Python package pint and, for the second column, GNU units:
    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install pint
    /tmp/venv/bin/python tools/units_reference.py > tests/published/units.csv
"""

import csv
import subprocess
import sys

import pint

# symbol as evenclamp prints it, expression for pint, expression for GNU units
UNITS = [
    ("N·m", "newton * meter", "newton meter"),
    ("N·cm", "newton * centimeter", "newton centimeter"),
    ("cN·m", "centinewton * meter", "centinewton meter"),
    ("dN·m", "decinewton * meter", "decinewton meter"),
    ("daN·m", "decanewton * meter", "dekanewton meter"),
    ("mN·m", "millinewton * meter", "millinewton meter"),
    ("kN·m", "kilonewton * meter", "kilonewton meter"),
    ("lbf·in", "pound_force * inch", "lbf inch"),
    ("lbf·ft", "pound_force * foot", "lbf foot"),
    ("ozf·in", "ounce_force * inch", "ounce force inch"),
    ("ozf·ft", "ounce_force * foot", "ounce force foot"),
    ("kgf·m", "kilogram_force * meter", "kgf meter"),
    ("kgf·cm", "kilogram_force * centimeter", "kgf centimeter"),
    ("gf·cm", "gram_force * centimeter", "gram force centimeter"),
    ("dyn·cm", "dyne * centimeter", "dyne centimeter"),
    ("pdl·ft", "pound * foot / second ** 2 * foot", "poundal foot"),
]


def gnu_units(expression: str) -> str:
    command = ["units", "--terse", "-o", "%.16g", expression, "newton meter"]
    try:
        return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()
    except (OSError, subprocess.CalledProcessError) as error:
        sys.exit(f"GNU units failed on {expression!r}: {error}")


def main() -> None:
    registry = pint.UnitRegistry()
    version = subprocess.run(["units", "--version"], capture_output=True, text=True).stdout.split("\n")[0]
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(["unit", f"pint {pint.__version__}", version])
    for symbol, expression, gnu in UNITS:
        factor = registry.parse_expression(expression).to("newton * meter").magnitude
        writer.writerow([symbol, repr(float(factor)), gnu_units(gnu)])


if __name__ == "__main__":
    main()
