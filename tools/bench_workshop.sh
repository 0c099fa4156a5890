#!/bin/sh
# Whole-process time of the workshop book: logs read in, one bicycle with a long log, a fleet.
# Needs hyperfine, sqlite3 and awk (Debian packages of these names). Another program is timed beside in the same run.
#   tools/bench_workshop.sh [RESULT.md [OTHER-PROGRAM]]
set -eu
cd "$(dirname "$0")/.."
cargo build --release --locked --quiet
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export EVENCLAMP_NOW=2026-06-30T12:00:00+02:00
result=${1:-$work/result.md}
mkdir "$work/new"
ln -s "$PWD/target/release/evenclamp" "$work/new/evenclamp"
sides=new
if [ $# -gt 1 ]; then
  mkdir "$work/other"
  ln -s "$(realpath "$2")" "$work/other/evenclamp"
  sides="other new"
fi

# Lines i of a log over the joints that stand behind each other in a sheet of bicycle, joint and bolts.
log() {
  awk -F, -v lines="$1" '
    BEGIN { print "taken_at,bike,joint,bolt,value,unit,kind,wrench,who,note" }
    { bike[NR] = $1; joint[NR] = $2; bolts[NR] = $3 }
    END {
      for (i = 0; i < lines; i++) {
        place = i % NR + 1; turn = int(i / NR)
        printf "2026-%02d-%02dT%02d:%02d:%02d+02:00,%s,%s,%d,%.1f,N·m,%s,small,Kim,line %d\n",
          i * 5 / lines + 1, i * 125 / lines % 25 + 1, i / 60 % 24, i % 60, i / 1440 % 60,
          bike[place], joint[place], turn % bolts[place] + 1, 4 + i % 30 / 10,
          turn % 7 ? "tightened" : "back-to-mark", i
      }
    }'
}

for side in $sides; do
  cd "$work/$side"
  EVENCLAMP_DB=one.db ./evenclamp bike add bike-1 --kind hardtail > /dev/null 2>&1
  EVENCLAMP_DB=one.db ./evenclamp wrench add small --type click --scale '2-10 N·m' --step 0.1 \
    --calibrated 2026-01-05 > /dev/null
  # Two joints alone, so that each bolt has a long log.
  printf 'bike-1,bar-clamp,2\nbike-1,caliper-front,2\n' > joints.csv
  for lines in 10000 40000; do
    log "$lines" < joints.csv > "log-$lines.csv"
    cp one.db "long-$lines.db"
    ./evenclamp record --from "log-$lines.csv" --db "long-$lines.db" > /dev/null
  done
  # A fleet of 100 bicycles, 100 000 readings over all of their bolts.
  cp one.db fleet.db
  for number in $(seq 2 100); do
    ./evenclamp bike add "bike-$number" --like bike-1 --db fleet.db > /dev/null 2>&1
  done
  sqlite3 -csv fleet.db "SELECT b.name, j.name, j.bolts FROM joint j JOIN bicycle b ON b.id = j.bicycle
    WHERE j.checked_by = 'torque' ORDER BY b.id, j.id" | tr -d '\r' | log 100000 > log-fleet.csv
  # Some of the values are not plausible for some of the joints: those lines are left out.
  ./evenclamp record --from log-fleet.csv --keep-good --db fleet.db > /dev/null 2>&1 || true
  cd - > /dev/null
done

: > "$result"
# Times a command, given by what it is called and its words, in a folder of each side.
timed() {
  name=$1 prepare=$2
  shift 2
  set -- "$*"
  for side in $sides; do
    hyperfine --warmup 2 --ignore-failure --shell=none --style none --export-markdown "$work/one.md" \
      --prepare "$(echo "$prepare" | sed "s#@#$work/$side/#g")" --command-name "$name, $side" \
      "$(echo "@evenclamp $1" | sed "s#@#$work/$side/#g")" > /dev/null
    tail -n +3 "$work/one.md" | tee -a "$result"
  done
}
timed 'ready, 10 000 readings' true ready bike-1 --db @long-10000.db
timed 'ready, 40 000 readings' true ready bike-1 --db @long-40000.db
timed 'ready --all, 100 000 readings' true ready --all --db @fleet.db
timed 'due, 100 000 readings' true due --db @fleet.db
timed 'history' true history bike-1/bar-clamp --db @long-40000.db
timed 'ready --at, 40 000 readings' true ready bike-1 --at 2026-06-30T12:00:00+02:00 --db @long-40000.db
timed 'verify, 40 000 readings' true verify --db @long-40000.db
timed 'record --from, 40 000 readings' 'cp @one.db @in.db' record --from @log-40000.csv --db @in.db
