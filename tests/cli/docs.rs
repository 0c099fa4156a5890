//! README.md cannot go stale: its sample outputs are the real ones, and it names every command. Nor can
//! `specs/rules.md`: the functions that it names are there, and so are the rules that comments cite.

use std::path::{Path, PathBuf};
use std::process::Command;

fn readme() -> String {
    std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap()
}

/// Commands with their output from the `console` blocks.
fn samples(text: &str) -> Vec<(String, String)> {
    let mut samples: Vec<(String, String)> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        match line.strip_prefix("$ ") {
            _ if line.starts_with("```") => inside = line == "```console",
            Some(command) if inside => samples.push((command.to_owned(), String::new())),
            _ if inside => {
                let (_, output) = samples.last_mut().expect("output before a command");
                output.push_str(line);
                output.push('\n');
            }
            _ => {}
        }
    }
    samples
}

/// The words of a command line, double quotes respected.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, part) in command.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn sample_outputs_are_the_real_ones() {
    let folder = tempfile::tempdir().unwrap();
    let samples = samples(&readme());
    assert!(samples.len() >= 5);
    for (command, expected) in samples {
        let words = words(&command);
        assert_eq!(words[0], "evenclamp");
        let output = Command::new(env!("CARGO_BIN_EXE_evenclamp"))
            .args(&words[1..])
            .env("EVENCLAMP_DB", folder.path().join("docs.db"))
            .output()
            .unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stdout), expected, "$ {command}");
    }
}

/// Command lines of the `sh` blocks, without their remarks.
fn lines(text: &str) -> Vec<String> {
    let mut inside = false;
    let mut lines = Vec::new();
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line == "```sh";
        } else if inside && line.starts_with("evenclamp ") {
            lines.push(line.split(" #").next().unwrap_or(line).to_owned());
        }
    }
    lines
}

/// Typed one after the other on a new database, none is refused and none finds anything bad.
#[test]
fn commands_without_a_sample_do_what_they_are_there_for() {
    let folder = tempfile::tempdir().unwrap();
    let lines: Vec<String> =
        lines(&readme()).into_iter().filter(|line| !line.contains("season.csv")).collect();
    assert!(lines.len() >= 10, "{lines:?}");
    for line in lines {
        let output = Command::new(env!("CARGO_BIN_EXE_evenclamp"))
            .args(&words(&line)[1..])
            .env("EVENCLAMP_DB", folder.path().join("docs.db"))
            .env("EVENCLAMP_NOW", "2026-06-01T10:00:00+02:00")
            .stdin(std::process::Stdio::null())
            .output()
            .unwrap();
        let unproven = line.contains("visit") || line.contains("ready");
        let expected = if unproven { 3 } else { 0 };
        assert_eq!(
            output.status.code(),
            Some(expected),
            "{line}\n{}",
            String::from_utf8_lossy(&output.stderr)
        );
    }
}

#[test]
fn every_command_stands_in_the_readme() {
    let text = readme();
    for command in evenclamp::cli::command().get_subcommands() {
        let name = command.get_name();
        assert!(text.contains(&format!("`{name}")), "{name} is missing in README.md");
    }
}

fn in_repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn rules() -> String {
    std::fs::read_to_string(in_repository("specs/rules.md")).unwrap()
}

/// Every rule that is a heading without headings under it, with its text.
fn rules_by_heading(page: &str) -> Vec<(&str, String)> {
    let mut rules: Vec<(&str, usize, String)> = Vec::new();
    for line in page.lines() {
        let level = line.bytes().take_while(|byte| *byte == b'#').count();
        match rules.last_mut() {
            _ if level > 1 => rules.push((line[level..].trim(), level, String::new())),
            Some((_, _, text)) => *text += &format!("{line}\n"),
            None => {}
        }
    }
    let has_rules_under_it = |at: usize| rules.get(at + 1).is_some_and(|(_, level, _)| *level > rules[at].1);
    let leaves = (0..rules.len()).filter(|at| !has_rules_under_it(*at));
    leaves.map(|at| (rules[at].0, rules[at].2.clone())).collect()
}

/// The functions that a text names as `path::function`.
fn functions(text: &str) -> Vec<(&str, &str)> {
    let quoted = text.split('`').skip(1).step_by(2);
    quoted.filter_map(|word| word.split_once("::")).filter(|(path, _)| path.ends_with(".rs")).collect()
}

#[test]
fn every_rule_names_the_function_that_keeps_it() {
    let page = rules();
    let rules = rules_by_heading(&page);
    assert!(rules.len() > 40, "{} rules", rules.len());
    for (heading, text) in rules {
        assert!(!functions(&text).is_empty(), "no function stands under \"{heading}\"");
        for (path, function) in functions(&text) {
            let file = in_repository("src").join(path);
            let code = std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{path}: {error}"));
            let defined = ['(', '<'].iter().any(|after| code.contains(&format!("fn {function}{after}")));
            assert!(defined, "\"{heading}\" names {path}::{function}, which is not there");
        }
    }
}

/// Rust files under a folder.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    paths
        .flat_map(|path| if path.is_dir() { rust_files(&path) } else { vec![path] })
        .filter(|path| path.extension().is_some_and(|extension| extension == "rs"))
        .collect()
}

/// The headings of the rules that a file cites, as in: `specs/rules.md`, "Labels" and "Chance".
fn cited(code: &str) -> Vec<String> {
    let words = code.lines().map(|line| line.trim().trim_start_matches(['/', '!']).trim());
    let text = words.collect::<Vec<_>>().join(" ");
    let mut headings = Vec::new();
    for after in text.split("specs/rules.md`, ").skip(1) {
        let (mut rest, before) = (Some(after), headings.len());
        while let Some((heading, behind)) =
            rest.and_then(|rest| rest.strip_prefix('"')).and_then(|r| r.split_once('"'))
        {
            headings.push(heading.to_owned());
            rest = behind.strip_prefix(" and ");
        }
        assert!(headings.len() > before, "a rule is cited without its heading: {:.60}", after);
    }
    headings
}

#[test]
fn every_rule_that_a_comment_cites_stands_on_the_page() {
    let page = rules();
    let headings: Vec<&str> = page
        .lines()
        .filter_map(|line| Some(line.strip_prefix("##")?.trim_start_matches('#').trim()))
        .collect();
    let mut seen = 0;
    for folder in ["src", "tests"] {
        for file in rust_files(&in_repository(folder)).iter().filter(|file| !file.ends_with("cli/docs.rs")) {
            for heading in cited(&std::fs::read_to_string(file).unwrap()) {
                assert!(headings.contains(&heading.as_str()), "{}: \"{heading}\"", file.display());
                seen += 1;
            }
        }
    }
    assert!(seen > 15, "{seen} rules are cited");
}
