#!/bin/sh
# Whole-process time of the workshop book: a season's log read in, one bicycle with a long log, a fleet.
# Needs hyperfine, sqlite3 and awk (Debian packages of these names).
#   tools/bench_workshop.sh [RESULT.md]
set -eu
cd "$(dirname "$0")/.."
cargo build --release --locked --quiet
program=$PWD/target/release/evenclamp
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export EVENCLAMP_NOW=2026-06-30T12:00:00+02:00

# One bicycle, its wrench, and logs of 10 000 and 40 000 lines.
EVENCLAMP_DB=$work/one.db "$program" bike add bike-1 --kind hardtail > /dev/null 2>&1
EVENCLAMP_DB=$work/one.db "$program" wrench add small --type click --scale '2-10 N·m' --step 0.1 \
  --calibrated 2026-01-05 > /dev/null
log() {
  awk -v lines="$1" 'BEGIN {
    print "taken_at,bike,joint,bolt,value,unit,kind,wrench,who,note"
    for (i = 0; i < lines; i++)
      printf "2026-%02d-%02dT%02d:%02d:%02d+02:00,bike-1,%s,%d,%.1f,N·m,%s,small,Kim,line %d\n",
        i / 8000 + 1, i / 400 % 28 + 1, i / 60 % 24, i % 60, i / 1440 % 60,
        i % 3 ? "bar-clamp" : "caliper-front", i % 2 + 1, 4 + i % 30 / 10, i % 7 ? "tightened" : "back-to-mark", i
  }'
}
log 40000 > "$work/log-40000.csv"
log 10000 > "$work/log-10000.csv"
cp "$work/one.db" "$work/long.db"
EVENCLAMP_DB=$work/long.db "$program" record --from "$work/log-10000.csv" > /dev/null

# A fleet of 2 000 such bicycles with one reading for every bolt.
cp "$work/one.db" "$work/fleet.db"
sqlite3 "$work/fleet.db" "
  PRAGMA synchronous = off;
  WITH RECURSIVE n (i) AS (SELECT 2 UNION ALL SELECT i + 1 FROM n WHERE i < 2000)
    INSERT INTO bicycle SELECT i, 'bike-' || i, kind, frame, owner, note, added_at, retired_at FROM n, bicycle WHERE id = 1;
  INSERT INTO joint (bicycle, name, place, position, checked_by, entry, bolts, critical, hand, part_maker,
      bicycle_maker, shop, thread, condition, photo)
    SELECT b.id, j.name, place, position, checked_by, entry, bolts, critical, hand, part_maker, bicycle_maker, shop,
      thread, condition, photo FROM bicycle b JOIN joint j ON j.bicycle = 1 WHERE b.id > 1;"
# The readings go in by the program: an older sqlite3 cannot compute their instants.
sqlite3 -csv -header "$work/fleet.db" "
  WITH RECURSIVE bolt (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM bolt WHERE n < 12)
    SELECT '2026-06-01T10:00:00+02:00' AS taken_at, b.name AS bike, j.name AS joint, n AS bolt, 5.0 AS value,
      'N·m' AS unit, 'small' AS wrench
    FROM joint j JOIN bicycle b ON b.id = j.bicycle JOIN bolt ON n <= j.bolts WHERE j.checked_by = 'torque'" |
  "$program" record --from - --db "$work/fleet.db"
echo "fleet: $(sqlite3 "$work/fleet.db" 'SELECT (SELECT count(*) FROM bicycle), (SELECT count(*) FROM joint), (SELECT count(*) FROM reading)') bicycles|joints|readings"

hyperfine --warmup 3 --ignore-failure --shell=none --export-markdown "${1:-$work/result.md}" \
  --command-name 'ready, 10 000 readings' "$program ready bike-1 --db $work/long.db" \
  --command-name 'history, 10 000 readings' "$program history bike-1/bar-clamp --db $work/long.db --format csv" \
  --command-name 'ready --all, 2 000 bicycles' "$program ready --all --db $work/fleet.db" \
  --command-name 'due, 2 000 bicycles' "$program due --db $work/fleet.db"
hyperfine --warmup 1 --shell=none --prepare "cp $work/one.db $work/in.db" \
  --export-markdown "$work/import.md" \
  --command-name 'record --from, 40 000 readings' "$program record --from $work/log-40000.csv --db $work/in.db" \
  --command-name 'record --from, 10 000 readings' "$program record --from $work/log-10000.csv --db $work/in.db"
tail -n +3 "$work/import.md" >> "${1:-$work/result.md}"
cat "${1:-$work/result.md}"
for lines in 10000 40000; do
  cp "$work/one.db" "$work/in.db"
  if command -v /usr/bin/time > /dev/null; then
    /usr/bin/time -f "memory, $lines readings: %M kB" "$program" record --from "$work/log-$lines.csv" --db "$work/in.db" > /dev/null
  fi
done
