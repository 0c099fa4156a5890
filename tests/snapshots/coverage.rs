//! The cases leave nothing out: every command, every file of cases.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::workshop::run;
use crate::{GROUPS, answers, cases};

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
    commands(&evenclamp::command(), &[], &mut all);
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

/// Every word that stands under a key anywhere in the JSON answers.
fn words_under(key: &str) -> BTreeSet<String> {
    fn collect(value: &Value, key: &str, found: &mut BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                found.extend(fields.get(key).and_then(Value::as_str).map(str::to_owned));
                fields.values().for_each(|value| collect(value, key, found));
            }
            Value::Array(values) => values.iter().for_each(|value| collect(value, key, found)),
            _ => {}
        }
    }
    let mut found = BTreeSet::new();
    for (_, value) in answers::json() {
        collect(&value, key, &mut found);
    }
    found
}

/// The words are those of `specs/rules.md`.
#[test]
fn the_answers_hold_every_state() {
    for (key, words) in [
        // Readings, re-checks, joints, bicycles.
        ("verdict", &["inside", "low", "high", "too close", "not settled"][..]),
        ("verdict", &["held", "moved", "loosening", "back-to-mark"]),
        ("verdict", &["sound", "due", "never checked", "no value", "wrench in doubt", "losing", "fault"]),
        ("verdict", &["fit", "fit with conditions", "unproven", "unfit"]),
        ("state", &["agreed", "thin", "disputed", "none"]),
        ("form", &["range", "set", "max", "min"]),
        ("check", &["torque", "function", "measure"]),
        ("type", &["click", "beam", "dial", "electronic", "preset", "driver"]),
        ("result", &["passed", "failed"]),
        ("lean", &["low", "high"]),
        ("finding", &["fine", "loose", "cracked", "play"]),
        ("action", &["none", "re-tightened", "replaced", "handed-over"]),
        ("hand", &["right", "either"]),
        ("plausibility", &["plausible", "past-yield", "past-ultimate"]),
        ("weaker_side", &["tapped hole", "bolt thread"]),
        ("severity", &["error", "warning"]),
        ("rule", &["guarded", "plain"]),
    ] {
        let found = words_under(key);
        for word in words {
            assert!(found.contains(*word), "no answer has {word} under {key}: {found:?}");
        }
    }
    let standings = words_under("standing");
    for word in ["calibrated, ", "lapsed, ", "spent, ", "never calibrated", "failed its calibration"] {
        assert!(standings.iter().any(|standing| standing.starts_with(word)), "{word}: {standings:?}");
    }
}

/// Own choices: text is at most 120 columns wide however wide the window, a width below 20 is none, and
/// without a terminal there is no colour unless it is asked for.
#[test]
fn width_and_colour_keep_to_their_bounds() {
    let plain = |columns| run("ready --all", &["--color", "never"], columns).out;
    assert_eq!(plain(200), plain(120));
    assert_ne!(plain(120), plain(80));
    assert_eq!(plain(19), plain(80));
    assert_ne!(plain(20), plain(80));
    assert_eq!(run("ready --all", &[], 80).out, plain(80));
    for columns in [80, 120] {
        let text = run("ready courier", &[], columns).out;
        let too_wide = |line: &&str| line.chars().count() > columns;
        assert_eq!(text.lines().find(too_wide), None, "at {columns} columns");
    }
}
