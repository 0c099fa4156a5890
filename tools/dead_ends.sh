#!/bin/sh
# Fails unless every public item is reached by the program, or named below, and every dependency used. Tests and
# examples do not count. A library may be called by anyone, so the compiler does not tell; therefore the crate is
# checked once more as a program alone, its modules beside `main`.
set -eu
cd "$(dirname "$0")/.."
root=$PWD
target=${CARGO_TARGET_DIR:-$root/target}
place=$target/dead_ends

# With these begin the examples of the documentation.
kept='src/conformity/accuracy.rs FOUR_PERCENT'

rm -rf "$place"
mkdir -p "$place/src"
ln -s "$root"/specs "$root"/README.md "$root"/Cargo.lock "$place"
ln -s "$root"/src/* "$place/src"
rm "$place/src/lib.rs" "$place/src/main.rs"
{
    # Names that are handed on in pairs or for tests are no dead ends.
    echo '#![allow(unused_imports, unused_qualifications)]'
    echo '#![warn(unused_crate_dependencies)]'
    sed 's/evenclamp::/crate::/' src/main.rs
    sed '/^\/\/!/d; s/^pub mod/mod/' src/lib.rs
} > "$place/src/main.rs"
# The manifest without its example, and in no other workspace.
{ sed '/^\[\[example\]\]/,/^$/d' Cargo.toml; printf '\n[workspace]\n'; } > "$place/Cargo.toml"

if ! said=$(cd "$place" && CARGO_TARGET_DIR=$target cargo check --locked --quiet --message-format short 2>&1); then
    echo "$said" >&2
    exit 1
fi
if unused=$(echo "$said" | grep -o 'extern crate `[^`]*` is unused'); then
    echo "$unused" >&2
    exit 1
fi
found=$(echo "$said" | grep -E ' (is|are) never ' | while IFS=: read -r file _ _ rest; do
    echo "$rest" | grep -o '`[^`]*`' | sed "s|\`||g; s|^|$file |"
done | LC_ALL=C sort)
if [ "$found" != "$kept" ]; then
    echo "Reached by no command (-), or named in $0 and reached (+):" >&2
    echo "$found" > "$place/found"
    echo "$kept" | diff -u "$place/found" - | sed 1,3d | grep '^[-+]' >&2
    exit 1
fi
