//! The kept answers read back: their JSON and their CSV, each with the command line that gave it.

use serde_json::Value;

use crate::{GROUPS, cases};

/// One kept answer in one format.
pub struct Answer {
    /// The command line, without what was run before it.
    pub line: String,
    /// What stands in the heading of the answer: `json`, `csv`, `json, standard error` …
    pub what: String,
    pub text: String,
}

/// Every kept answer in every format.
pub fn all() -> Vec<Answer> {
    let mut answers: Vec<Answer> = Vec::new();
    for group in GROUPS {
        let path = format!("{}/tests/snapshots/said/{group}.txt", env!("CARGO_MANIFEST_DIR"));
        let mut line = String::new();
        for text in std::fs::read_to_string(&path).unwrap().lines() {
            if let Some(command) = text.strip_prefix("══════ evenclamp ") {
                command.rsplit(" && ").next().unwrap().clone_into(&mut line);
            } else if let Some(heading) = text.strip_prefix("── ") {
                let what = heading.split(", status").next().unwrap().to_owned();
                answers.push(Answer { line: line.clone(), what, text: String::new() });
            } else if let Some(answer) = answers.last_mut() {
                answer.text += text;
                answer.text.push('\n');
            }
        }
    }
    answers
}

/// Every JSON answer on standard output, with its command line. Commands that write files or scripts
/// answer in plain words whatever the format.
pub fn json() -> Vec<(String, Value)> {
    let of = |answer: Answer| {
        let text = answer.text.trim();
        let value = text.starts_with(['{', '[']).then(|| serde_json::from_str(text))?;
        Some((answer.line, value.unwrap()))
    };
    all().into_iter().filter(|answer| answer.what == "json").filter_map(of).collect()
}

/// Every JSON answer on standard error, which remarks may precede.
pub fn errors() -> Vec<Value> {
    let of = |answer: Answer| {
        let line = answer.text.lines().find(|line| line.starts_with('{'))?;
        Some(serde_json::from_str(line).unwrap())
    };
    all().into_iter().filter(|answer| answer.what == "json, standard error").filter_map(of).collect()
}

/// The header of every CSV answer, with its command line.
pub fn headers() -> Vec<(String, String)> {
    let of = |answer: Answer| {
        let header = answer.text.lines().next()?.to_owned();
        (header.contains(',') && !header.contains(' ')).then_some((answer.line, header))
    };
    all().into_iter().filter(|answer| answer.what == "csv").filter_map(of).collect()
}

/// The words of the command itself that a line begins with, such as `wrench` and `pick`. `--all` stands for what it asks
/// for in place of a name; behind one it asks for more of the same.
pub fn begins_with(line: &str, words: &[&str]) -> bool {
    let asked = cases::words(line);
    let (options, plain): (Vec<&str>, Vec<&str>) = words.iter().partition(|word| word.starts_with("--"));
    plain.iter().enumerate().all(|(index, word)| asked.get(index).is_some_and(|asked| asked == word))
        && options.iter().all(|option| match asked.iter().position(|word| word == option) {
            Some(place) => *option != "--all" || place == plain.len(),
            None => false,
        })
}
