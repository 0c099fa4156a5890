//! The core stays pure: its files name no database, command line, table, clock, environment or file.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot set itself up, or read its table, has failed, and says so by panicking"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const CORE: &[&str] =
    &["audit", "book", "conformity", "joint", "quantity", "sequence", "sheet", "words", "workshop", "wrench"];
const FORBIDDEN: &[&str] = &[
    "rusqlite",
    "clap::",
    "std::fs",
    "std::env",
    "std::io",
    "std::process",
    "SystemTime",
    "Instant::now",
    "::now()",
    "crate::cli",
    "crate::report",
    "crate::store",
];

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files
}

/// The lines of code of a file, numbered, without its tests and comments.
fn code(file: &Path) -> Vec<(usize, String)> {
    let text = std::fs::read_to_string(file).unwrap();
    let code = text.split("#[cfg(test)]").next().unwrap_or_default();
    let lines = code.lines().enumerate().map(|(number, line)| (number + 1, line.to_owned()));
    lines.filter(|(_, line)| !line.trim_start().starts_with("//")).collect()
}

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

#[test]
fn the_core_knows_no_edges() {
    let source = source();
    let mut seen = 0;
    for module in CORE {
        let (folder, file) = (source.join(module), source.join(format!("{module}.rs")));
        let files = if folder.is_dir() { rust_files(&folder) } else { vec![file] };
        for file in files {
            for (number, line) in code(&file) {
                for word in FORBIDDEN {
                    // The sheet writer hands on the CSV crate's own error; the audit streams from any
                    // reader to any writer that it is handed.
                    let streams = file.ends_with("sheet/row.rs") || file.starts_with(source.join("audit"));
                    let allowed = streams && *word == "std::io";
                    assert!(allowed || !line.contains(word), "{}:{number}: {word}", file.display());
                }
            }
            seen += 1;
        }
    }
    assert!(seen > 40, "only {seen} files seen");
}

/// A report is made of plain values: where they are kept and what was typed is not its business.
#[test]
fn a_report_knows_neither_the_database_nor_the_command_line() {
    let files = rust_files(&source().join("report"));
    assert!(files.len() > 20, "only {} files seen", files.len());
    for file in files {
        for (number, line) in code(&file) {
            for word in ["crate::store", "crate::cli", "rusqlite", "clap::", "std::fs", "std::env", "::now()"]
            {
                assert!(
                    !line.contains(word) || line.contains("clamp"),
                    "{}:{number}: {word}",
                    file.display()
                );
            }
        }
    }
}

/// The name of the type that a line of code defines.
fn defined(line: &str) -> Option<&str> {
    let unguarded = line.trim_start().strip_prefix("pub").unwrap_or(line.trim_start());
    let item =
        unguarded.split_once(") ").filter(|_| unguarded.starts_with('(')).map_or(unguarded, |(_, item)| item);
    let words = ["struct ", "enum ", "trait ", "union "];
    let rest = words.iter().find_map(|word| item.trim_start().strip_prefix(word))?;
    Some(rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default())
}

/// A reader who meets a name must know what it stands for.
#[test]
fn no_name_stands_for_two_types() {
    // Each of these is two things still.
    const TWICE: &[&str] = &["Doubt", "Finding", "Reading"];
    let mut places: BTreeMap<String, Vec<PathBuf>> = BTreeMap::new();
    let files =
        rust_files(&source()).into_iter().filter(|file| !file.to_string_lossy().ends_with("_tests.rs"));
    for file in files {
        for (_, line) in code(&file) {
            if let Some(name) = defined(&line).filter(|name| !name.is_empty()) {
                places.entry(name.to_owned()).or_default().push(file.clone());
            }
        }
    }
    assert!(places.len() > 300, "only {} types seen", places.len());
    let twice: Vec<&str> =
        places.iter().filter(|(_, files)| files.len() > 1).map(|(name, _)| name.as_str()).collect();
    assert_eq!(twice, TWICE, "{:#?}", twice.iter().map(|name| &places[*name]).collect::<Vec<_>>());
}
