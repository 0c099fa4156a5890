#!/usr/bin/env python3
"""Times `audit` beside DuckDB and Polars on the same generated log in the same run.

The engines do less: plain unit conversion and counting of what lies inside, below and above the band
(two threads). `audit` does the full judgement. Under `--rule plain` all three must count the same.
Best of several rounds, taken in turn, so that other work on the machine hits all alike; an engine's time
is that of its query alone, `audit`'s that of the whole program.

    cargo build --release --bin evenclamp --example make_log
    python3 -m venv /tmp/bench && /tmp/bench/bin/pip install duckdb polars
    /tmp/bench/bin/python tools/bench_audit.py [--rows 5000000] [--rounds 5] [--sizes]
"""

import argparse
import csv
import io
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ["POLARS_MAX_THREADS"] = "2"
import duckdb  # noqa: E402
import polars as pl  # noqa: E402

ROOT = Path(__file__).resolve().parent.parent
PROGRAM = ROOT / "target/release/evenclamp"
MAKE_LOG = ROOT / "target/release/examples/make_log"
TOLERANCE = 1e-9  # of every comparison, as in src/quantity/tolerance.rs
UNITS = {"N·m": 1.0, "Nm": 1.0, "in-lb": 0.1129848290276167, "ft-lb": 1.3558179483314004}
RECHECKS = ["held", "moved", "loosening", "back-to-mark", "by-hand", "skipped"]
# Those of tools/make_log.rs; w10 and w11 stay unregistered, and w5 is calibrated once and then no more.
WRENCHES = {
    "w0": "2-10", "w1": "2-10", "w2": "5-25", "w3": "5-25", "w4": "10-60", "w5": "10-60", "w6": "20-100",
    "w7": "4-20", "w8": "0.5-5", "w9": "0.5-5",
}  # fmt: skip
CALIBRATIONS = ["2023-12-15", "2024-12-01", "2025-11-15"]


def timed(command, env):
    """Wall seconds and CPU seconds of a program, and its standard output."""
    with tempfile.TemporaryFile() as output:
        null = os.open(os.devnull, os.O_RDWR)
        actions = [(os.POSIX_SPAWN_DUP2, null, 0), (os.POSIX_SPAWN_DUP2, output.fileno(), 1), (os.POSIX_SPAWN_DUP2, null, 2)]
        started = time.perf_counter()
        child = os.posix_spawn(command[0], command, env, file_actions=actions)
        _, status, spent = os.wait4(child, 0)
        wall = time.perf_counter() - started
        os.close(null)
        if os.waitstatus_to_exitcode(status) not in (0, 1, 3):
            sys.exit(f"{command} failed")
        output.seek(0)
        return wall, spent.ru_utime + spent.ru_stime, output.read()


def peak(command, env):
    """Peak memory in MB. `time` starts the program: the peak of one that this one starts would include its own."""
    command = ["/usr/bin/time", "-q", "-f", "%M", *command]
    spent = subprocess.run(command, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
    return float(spent.stderr.decode().splitlines()[-1]) / 1024


def run(env, *command):
    subprocess.run(command, env=env, check=True, stdout=subprocess.DEVNULL)


def bands(env):
    """The band of every entry with limits, ends widened by the tolerance of the program."""
    text = subprocess.run([PROGRAM, "find", "--format", "csv"], env=env, capture_output=True, check=True).stdout
    rows = csv.DictReader(io.StringIO(text.decode()))
    number = lambda text: float(text) if text else None
    found = [(row["entry"], number(row["low_nm"]), number(row["high_nm"])) for row in rows]
    return [
        (entry, low and low * (1 - TOLERANCE), high and high * (1 + TOLERANCE)) for entry, low, high in found
    ]


def in_duckdb(log, entries):
    connection = duckdb.connect()
    connection.execute("SET threads = 2")
    connection.execute("CREATE TABLE bands (entry VARCHAR, low DOUBLE, high DOUBLE)")
    connection.executemany("INSERT INTO bands VALUES (?, ?, ?)", entries)
    connection.execute("CREATE TABLE units (unit VARCHAR, factor DOUBLE)")
    connection.executemany("INSERT INTO units VALUES (?, ?)", list(UNITS.items()))
    query = f"""
        WITH readings AS (
            SELECT bands.entry, low, high, kind,
                   try_cast(replace(value, ',', '.') AS DOUBLE) * factor AS torque
            FROM read_csv('{log}', all_varchar = true) AS log
            LEFT JOIN bands ON log.entry = bands.entry
            LEFT JOIN units ON log.unit = units.unit)
        SELECT CASE WHEN entry IS NULL THEN 'rejected'
                    WHEN kind IN ('by-hand', 'skipped') THEN 'not_settled'
                    WHEN torque IS NULL THEN 'rejected'
                    WHEN kind <> 'tightened' OR (low IS NULL AND high IS NULL) THEN 'not_settled'
                    WHEN torque < low THEN 'low' WHEN torque > high THEN 'high' ELSE 'inside' END AS verdict,
               entry, count(*)
        FROM readings GROUP BY ALL"""
    started = time.perf_counter(), time.process_time()
    rows = connection.execute(query).fetchall()
    spent = time.perf_counter() - started[0], time.process_time() - started[1]
    counts = {}
    for verdict, _, count in rows:
        counts[verdict] = counts.get(verdict, 0) + count
    return *spent, counts


def in_polars(log, entries):
    limits = pl.DataFrame(
        entries, schema={"entry": pl.String, "low": pl.Float64, "high": pl.Float64}, orient="row"
    ).with_columns(known=True)
    factors = pl.DataFrame({"unit": list(UNITS), "factor": list(UNITS.values())})
    torque = pl.col("value").str.replace(",", ".", literal=True).cast(pl.Float64, strict=False) * pl.col("factor")
    verdict = (
        pl.when(pl.col("known").is_null()).then(pl.lit("rejected"))
        .when(pl.col("kind").is_in(["by-hand", "skipped"])).then(pl.lit("not_settled"))
        .when(pl.col("torque").is_null()).then(pl.lit("rejected"))
        .when((pl.col("kind") != "tightened") | (pl.col("low").is_null() & pl.col("high").is_null()))
        .then(pl.lit("not_settled"))
        .when(pl.col("torque") < pl.col("low")).then(pl.lit("low"))
        .when(pl.col("torque") > pl.col("high")).then(pl.lit("high"))
        .otherwise(pl.lit("inside"))
    )  # fmt: skip
    lazy = (
        pl.scan_csv(log, infer_schema=False)
        .join(limits.lazy(), on="entry", how="left")
        .join(factors.lazy(), on="unit", how="left")
        .with_columns(torque=torque)
        .group_by(verdict.alias("verdict"), "entry")
        .len()
    )
    started = time.perf_counter(), time.process_time()
    rows = lazy.collect(engine="streaming")
    spent = time.perf_counter() - started[0], time.process_time() - started[1]
    return *spent, dict(rows.group_by("verdict").agg(pl.col("len").sum()).iter_rows())


def make(folder, rows):
    log = folder / f"{rows}.csv"
    subprocess.run([MAKE_LOG, str(rows), "7", log], check=True)
    os.sync()  # or the system writes it out beside what is timed
    return log


def compare(log, env, rounds):
    """The best wall and CPU times of all, checked to count the same."""
    entries = bands(env)
    audit = [PROGRAM, "audit", log, "--format", "json"]
    counted = json.loads(timed([*audit, "--rule", "plain"], env)[2])
    keys = ["inside", "low", "high", "not_settled", "rejected"]
    counted = {key: counted[key] for key in keys}
    best = {}
    verdicts = log.with_suffix(".verdicts")
    with_verdicts = [*audit, "--verdicts", verdicts]
    memory = [peak(audit, env), peak(with_verdicts, env)]
    verdicts.unlink()
    for _ in range(rounds):
        found = {"audit": timed(audit, env), "audit --verdicts": timed(with_verdicts, env)}
        verdicts.unlink()
        for name, engine in (("DuckDB", in_duckdb), ("Polars", in_polars)):
            *spent, counts = engine(log, entries)
            if {key: counts.get(key, 0) for key in keys} != counted:
                sys.exit(f"{name} counts {counts}, audit --rule plain {counted}")
            found[name] = spent
        for name, spent in found.items():
            known = best.get(name, (float("inf"),) * 2)
            best[name] = min(known[0], spent[0]), min(known[1], spent[1])
    return best, memory


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rows", type=int, default=5_000_000)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--sizes", action="store_true", help="also 1, 5 and 20 million rows by audit alone (2 GB on the disk)")
    parser.add_argument("--folder", type=Path, help="where logs are made (and left) [default: a throw-away folder]")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as throw_away:
        folder = arguments.folder or Path(throw_away)
        env = {"EVENCLAMP_DB": str(Path(throw_away) / "bench.db"), "PATH": os.environ["PATH"]}
        for name, scale in WRENCHES.items():
            wrench = [PROGRAM, "wrench", "add", name, "--scale", f"{scale} N·m", "--type", "click"]
            run(env, *wrench, "--calibrated", CALIBRATIONS[0])
            for day in CALIBRATIONS[1:]:
                if name != "w5":
                    run(env, PROGRAM, "wrench", "calibrated", name, "--on", day)
        log = make(folder, arguments.rows)
        size = log.stat().st_size
        best, memory = compare(log, env, arguments.rounds)
        print(f"{arguments.rows} rows, {size / 1e6:.0f} MB; best of {arguments.rounds}; counts agree under --rule plain")
        print(f"{'':18} {'wall s':>8} {'CPU s':>8} {'ns/row':>8}  audit is faster by")
        for name, (wall, cpu) in best.items():
            ratio = f"{wall / best['audit'][0]:.2f} (CPU {cpu / best['audit'][1]:.2f})"
            print(f"{name:18} {wall:8.3f} {cpu:8.3f} {wall / arguments.rows * 1e9:8.1f}  {ratio}")
        print(f"peak memory of audit: {memory[0]:.0f} MB, with --verdicts {memory[1]:.0f} MB")
        if arguments.sizes:
            sizes(folder, env, arguments.rounds)


def sizes(folder, env, rounds):
    """Time and memory at several sizes, in turn; what a log without rows takes is the start."""
    logs = {rows: make(folder, rows) for rows in (0, 1_000_000, 5_000_000, 20_000_000)}
    best = dict.fromkeys(logs, (float("inf"),) * 2)
    for rows in [*logs] * rounds:
        # Twice: behind the longest log the first run of the shortest finds its program out of the caches.
        for wall, cpu, _ in (timed([PROGRAM, "audit", logs[rows]], env) for _ in range(2)):
            best[rows] = min(best[rows][0], wall), min(best[rows][1], cpu)
    start = best.pop(0)
    print(f"\nwithout rows: {start[0] * 1e3:.1f} ms, CPU {start[1] * 1e3:.1f} ms; per row beyond that, and all in all:")
    for rows, (wall, cpu) in best.items():
        beyond = f"{(wall - start[0]) / rows * 1e9:6.1f} ns, CPU {(cpu - start[1]) / rows * 1e9:6.1f} ns"
        whole = f"{wall / rows * 1e9:6.1f} ns, CPU {cpu / rows * 1e9:6.1f} ns"
        memory = peak([PROGRAM, "audit", logs[rows]], env)
        print(f"{rows:>10} rows: {wall:6.3f} s; {beyond}; {whole}; {memory:.0f} MB")
    for log in logs.values():
        log.unlink()


if __name__ == "__main__":
    main()
