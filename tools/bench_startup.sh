#!/bin/sh
# Whole-process time of the look-ups beside two general-purpose programs, in the same run.
# Needs hyperfine, sqlite3 and GNU units (Debian packages of these names).
#   tools/bench_startup.sh [RESULT.md]
set -eu
cd "$(dirname "$0")/.."
cargo build --release --locked --quiet
program=$PWD/target/release/evenclamp
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export EVENCLAMP_DB="$work/bench.db"
"$program" find pedal > /dev/null
hyperfine --warmup 20 --runs 300 --shell=none --export-markdown "${1:-$work/result.md}" \
  --command-name "sqlite3 DB 'select 1'" "sqlite3 $EVENCLAMP_DB 'select 1'" \
  --command-name "units '44 lbf*in' 'N*m'" "units '44 lbf*in' 'N*m'" \
  --command-name 'evenclamp find' "$program find 'bar clamp'" \
  --command-name 'evenclamp show' "$program show crank-pinch-bolts" \
  --command-name 'evenclamp check (entry)' "$program check crank-pinch-bolts '13 N·m'" \
  --command-name 'evenclamp check (literal)' "$program check '12-14 N·m' '13 N·m' --accuracy 4% --step 0.1" \
  --command-name 'evenclamp convert' "$program convert '44 lbf·in' --to N·m"
cat "${1:-$work/result.md}"
