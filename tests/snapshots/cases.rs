//! The command lines of the cases.

use std::path::{Path, PathBuf};

/// How a command is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// As text at every width, with and without colour, as JSON and as CSV.
    InEveryWay,
    /// As text at one width, as JSON and as CSV, because another case shows the same at every width.
    Plainly,
    /// As text at one width and as JSON, because it is refused.
    Refused,
    /// As text at one width, because its answer depends on nothing of that: scripts, help, errors.
    Once,
    /// As `Once`, and the answer is kept by its size and first lines alone.
    Briefly,
}

/// One command line.
#[derive(Debug)]
pub struct Case {
    pub line: String,
    pub asked: Asked,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots/cases")
}

/// The names of all files of cases.
pub fn files() -> Vec<String> {
    let name = |file: std::io::Result<std::fs::DirEntry>| {
        Path::new(&file.unwrap().file_name()).file_stem().unwrap().to_string_lossy().into_owned()
    };
    let mut names: Vec<String> = std::fs::read_dir(folder()).unwrap().map(name).collect();
    names.sort();
    names
}

/// What stands in front of a line that is not asked in every way.
const PREFIXES: [(&str, Asked); 4] = [
    ("plainly: ", Asked::Plainly),
    ("refused: ", Asked::Refused),
    ("once: ", Asked::Once),
    ("briefly: ", Asked::Briefly),
];

/// The cases of a group, a command a line.
pub fn of_group(group: &str) -> Vec<Case> {
    let text = std::fs::read_to_string(folder().join(format!("{group}.txt"))).unwrap();
    let lines = text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines
        .map(|line| {
            let prefix = PREFIXES.iter().find(|(prefix, _)| line.starts_with(prefix));
            let (prefix, asked) = prefix.copied().unwrap_or(("", Asked::InEveryWay));
            let line = &line[prefix.len()..];
            Case { line: line.to_owned(), asked }
        })
        .collect()
}

/// The words of a command line, double quotes respected.
pub fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, part) in line.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}
