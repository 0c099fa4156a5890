//! The cases leave nothing out: every command, every file of cases.

use crate::{GROUPS, cases};

#[test]
fn every_file_of_cases_is_run_and_every_kept_answer_belongs_to_one() {
    assert_eq!(cases::files(), GROUPS);
    let said = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/snapshots/said");
    let mut kept: Vec<String> = std::fs::read_dir(said)
        .unwrap()
        .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    kept.sort();
    assert_eq!(kept, GROUPS.iter().map(|group| format!("{group}.txt")).collect::<Vec<_>>());
}

/// Every command that does something, with its subcommands, as words.
fn commands(command: &clap::Command, path: &[String], found: &mut Vec<String>) {
    for sub in command.get_subcommands().filter(|sub| sub.get_name() != "help") {
        let path = [path, &[sub.get_name().to_owned()]].concat();
        if !sub.is_subcommand_required_set() {
            found.push(path.join(" "));
        }
        commands(sub, &path, found);
    }
}

#[test]
fn every_command_has_a_case() {
    let mut all = Vec::new();
    commands(&evenclamp::cli::command(), &[], &mut all);
    let lines: Vec<String> =
        GROUPS.iter().flat_map(|group| cases::of_group(group)).map(|case| case.line).collect();
    for command in &all {
        for words in [command.clone(), format!("{command} --help")] {
            let asked = |line: &String| *line == words || line.starts_with(&format!("{words} "));
            assert!(lines.iter().any(asked), "no case for `{words}`");
        }
    }
    assert!(all.len() > 35, "{all:?}");
}
