#!/bin/sh
# Audits a log in pieces by several processes and adds the pieces up: the sum is that of the whole log to
# the bit. Any scheduler that can run a command can do the middle step on other machines.
#
#   tools/audit_in_pieces.sh log.csv [PROCESSES]
set -eu
log=$1
processes=${2:-2}
program=${EVENCLAMP:-evenclamp}
export program
pieces=$(mktemp -d)
trap 'rm -rf "$pieces"' EXIT

# Pieces of whole lines, each with the header. (A log with line breaks inside quotes must be cut elsewhere.)
head -n 1 "$log" > "$pieces/header"
size=$(wc -l < "$log")
tail -n +2 "$log" | split -l $(((size + processes) / processes)) - "$pieces/piece."

# Exit status 1 and 3 are findings, not failures.
find "$pieces" -name 'piece.??' | xargs -P "$processes" -I {} sh -c '
    cat "'"$pieces"'/header" "{}" | "$program" audit - --partial "{}.json" > "{}.out" 2> "{}.err" || [ $? -ne 2 ]'

"$program" audit --merge "$pieces"/piece.*.json
