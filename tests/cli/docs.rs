//! README.md cannot go stale: its sample outputs are the real ones, and it names every command.

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
