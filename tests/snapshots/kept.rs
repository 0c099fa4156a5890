//! What is kept in the repository, compared with what is so.

use std::fmt::Write as _;
use std::path::Path;

/// Lines around a difference that are told.
const AROUND: usize = 3;
/// Most lines of each side that are told.
const MOST: usize = 30;

/// A text as it is kept.
pub fn read(file: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots").join(file)).unwrap()
}

/// Compares a text with the kept one, or writes it where `UPDATE_SNAPSHOTS` asks for that, which it
/// cannot where tests run unattended (`CI`).
pub fn check(file: &str, now: &str) {
    check_path(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots").join(file), now);
}

/// As [`check`], for a file anywhere in the repository.
pub fn check_path(path: &Path, now: &str) {
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    if kept == now {
        return;
    }
    if std::env::var_os("UPDATE_SNAPSHOTS").is_some() && std::env::var_os("CI").is_none() {
        std::fs::write(path, now).unwrap();
        return;
    }
    panic!(
        "{} is not what the program says now:\n{}\n\
         if the change is meant: UPDATE_SNAPSHOTS=1 cargo test --test snapshots, and read the difference",
        path.display(),
        difference(&kept, now)
    );
}

/// The lines from the first to the last that differ.
fn difference(kept: &str, now: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (kept.lines().collect(), now.lines().collect());
    let same = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let most = old.len().min(new.len()) - same;
    let same_end = old.iter().rev().zip(new.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
    let mut text = format!("line {}\n", same + 1);
    for line in &old[same.saturating_sub(AROUND)..same] {
        writeln!(text, "  {line}").unwrap();
    }
    for (sign, lines) in [('-', &old), ('+', &new)] {
        let changed = &lines[same..lines.len() - same_end];
        for line in changed.iter().take(MOST) {
            writeln!(text, "{sign} {line}").unwrap();
        }
        if changed.len() > MOST {
            writeln!(text, "{sign} … {} more lines up to the last difference", changed.len() - MOST).unwrap();
        }
    }
    text
}
