//! The core stays pure: its files name no database, command line, table, clock, environment or file.

// A test that cannot set itself up has failed, and says so by panicking.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::{Path, PathBuf};

const CORE: &[&str] = &[
    "audit",
    "book",
    "conformity",
    "joint",
    "quantity",
    "sequence",
    "sheet",
    "trend",
    "words",
    "workshop",
    "wrench",
];
const FORBIDDEN: &[&str] = &[
    "rusqlite",
    "clap::",
    "tabled",
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

#[test]
fn the_core_knows_no_edges() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut seen = 0;
    for module in CORE {
        let (folder, file) = (source.join(module), source.join(format!("{module}.rs")));
        let files = if folder.is_dir() { rust_files(&folder) } else { vec![file] };
        for file in files {
            let text = std::fs::read_to_string(&file).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap_or_default();
            let code = code.lines().filter(|line| !line.trim_start().starts_with("//"));
            for (number, line) in code.enumerate() {
                for word in FORBIDDEN {
                    // The sheet writer hands on the CSV crate's own error; the audit streams from any
                    // reader to any writer that it is handed.
                    let streams = file.ends_with("sheet/row.rs") || file.starts_with(source.join("audit"));
                    let allowed = streams && *word == "std::io";
                    assert!(allowed || !line.contains(word), "{}:{}: {word}", file.display(), number + 1);
                }
            }
            seen += 1;
        }
    }
    assert!(seen > 40, "only {seen} files seen");
}
