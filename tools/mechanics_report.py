#!/usr/bin/env python3
"""Prints the rows of bolt mechanics that no test asserts, beside what the formulas give.

Recomputed here from the VDI 2230 terms as they are printed (0.159, 0.577, 1.155) and ISO 898-1
geometry, apart from the library, so that the two can be compared. Rows: the coarse-thread table
that is only recalled, and published rows that are left out of the tests.

Usage: python3 tools/mechanics_report.py
"""

import csv
import math
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PERMITTED_SHARE = 0.9


def rows(*parts):
    """The rows of a table of this project, as dictionaries."""
    with open(ROOT.joinpath(*parts), newline="", encoding="utf-8") as table:
        return list(csv.DictReader(table))


def thread_sizes():
    """Diameter and pitch in mm by designation; a coarse thread also by its diameter alone."""
    sizes = {}
    for row in rows("specs", "threads.csv"):
        if not row["pitch_mm"]:
            continue
        size = (float(row["major_diameter_mm"]), float(row["pitch_mm"]))
        sizes[row["designation"]] = size
        if row["system"] == "iso-coarse":
            sizes[row["designation"].split("x")[0]] = size
    return sizes


def head_diameters():
    """Mean diameter of the head friction in mm, hexagon head, by thread diameter in mm."""
    sizes = {(r["item"], float(r["nominal_diameter_mm"])): float(r["diameter_mm"]) for r in rows("specs", "heads.csv")}
    return {d: (sizes["hex", d] + sizes["hole", d]) / 2 for item, d in sizes if item == "hex"}


def yield_stresses():
    """Yield stress in MPa by class, for diameters up to 16 mm."""
    return {r["name"]: float(r["yield_stress_mpa"]) for r in rows("specs", "grades.csv") if not r["above_mm"]}


def preload_and_torque(size, head, stress, friction):
    """Assembly preload in kN and torque in N·m at 90 % of yield."""
    d, pitch = size
    d2 = d - 0.649519 * pitch
    d3 = d - 1.226869 * pitch
    d0 = (d2 + d3) / 2
    area = math.pi / 4 * d0**2
    torsion = 1.5 * d2 / d0 * (pitch / (math.pi * d2) + 1.155 * friction)
    preload = area * PERMITTED_SHARE * stress / math.sqrt(1 + 3 * torsion**2)
    torque = preload * (0.159 * pitch + 0.577 * d2 * friction + head / 2 * friction) / 1000
    return preload / 1000, torque


def beside(printed, computed):
    """A printed figure, the computed one and the gap in percent."""
    if not printed:
        return f"{'-':>7} {computed:9.3f} {'':>8}"
    return f"{printed:>7} {computed:9.3f} {100 * (computed / float(printed) - 1):+7.2f}%"


def report(title, table):
    """Prints one table and its largest gaps."""
    sizes, heads, stresses = thread_sizes(), head_diameters(), yield_stresses()
    print(f"\n{title}: {len(table)} rows, none asserted")
    print(f"{'thread':8} {'class':6} {'mu':>5} | {'F kN':>7} {'computed':>9} {'gap':>8} | {'M N·m':>7} {'computed':>9} {'gap':>8}  note")
    worst = [0.0, 0.0]
    for row in table:
        size = sizes[row["thread"]]
        computed = preload_and_torque(size, heads[size[0]], stresses[row["class"]], float(row["friction"]))
        printed = (row["preload_kn"], row["torque_nm"])
        for at in (0, 1):
            if printed[at]:
                worst[at] = max(worst[at], abs(computed[at] / float(printed[at]) - 1))
        cells = " | ".join(beside(p, c) for p, c in zip(printed, computed))
        print(f"{row['thread']:8} {row['class']:6} {row['friction']:>5} | {cells}  {row['note']}")
    print(f"largest gap: preload {100 * worst[0]:.2f} %, torque {100 * worst[1]:.2f} %")


def main():
    """Prints the recalled table, the rows left out, and the spec rows that are only recalled."""
    report("Coarse steel, recalled from memory", rows("tests", "published", "recalled_assembly_preload.csv"))
    left_out = [r for r in rows("tests", "published", "assembly_preload.csv") if r["asserted"] == "no"]
    report("Published, left out of the tests", left_out)
    print("\nSpec rows that are recalled, not read in a document:")
    for name in ("threads.csv", "grades.csv", "heads.csv", "friction.csv", "materials.csv"):
        for row in rows("specs", name):
            if row["grade"] == "memory":
                label = " ".join(list(row.values())[:3])
                print(f"  {name}: {label.strip()} ({row['source']})")


if __name__ == "__main__":
    main()
