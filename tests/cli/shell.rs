//! The program among others: help, completion, manual, pipes, JSON errors, colour.

use std::io::Read as _;
use std::process::Stdio;

use crate::bench::Bench;

const COMMANDS: &[&str] = &[
    "find",
    "show",
    "convert",
    "order",
    "check",
    "bolt",
    "audit",
    "wrench",
    "book",
    "demo",
    "completions",
    "man",
];

#[test]
fn every_command_explains_itself_with_an_example() {
    let bench = Bench::new();
    let top = bench.run(&["--help"]).out;
    for command in COMMANDS {
        assert!(top.contains(command), "{command} is missing in --help");
        let help = bench.run(&[command, "--help"]);
        assert_eq!(help.status, 0);
        assert!(
            help.out.contains("Example") && help.out.contains(&format!("evenclamp {command}")),
            "{command}"
        );
    }
}

#[test]
fn completion_and_manual_name_every_command() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = bench.run(&["completions", shell]);
        assert_eq!(script.status, 0);
        for command in COMMANDS {
            assert!(script.out.contains(command), "{shell}: {command}");
        }
    }
    assert!(bench.run(&["man"]).out.contains(".TH evenclamp"));
    assert_eq!(bench.run(&["man", "--dir", "man1"]).status, 0);
    for command in COMMANDS {
        assert!(bench.path(&format!("man1/evenclamp-{command}.1")).exists(), "{command}");
    }
}

#[test]
fn the_demonstration_ends_well_and_leaves_nothing() {
    let bench = Bench::new();
    let demo = bench.run(&["demo"]);
    assert_eq!((demo.status, demo.err.as_str()), (0, ""));
    for word in ["$ evenclamp find", "$ evenclamp check", "inside", "too close", "high", "not settled"] {
        assert!(demo.out.contains(word), "{word}");
    }
    let verdicts =
        ["loan-7: unproven", "loan-7: unfit", "loan-7: fit with conditions (nobody looks there any more"]
            .map(|word| demo.out.find(word));
    assert!(verdicts.is_sorted() && verdicts[0].is_some(), "{verdicts:?}");
    assert!(!demo.out.contains("on the word of"), "the demonstration names a maker");
    assert!(!bench.database().exists());
}

#[test]
fn errors_come_as_json_when_json_is_asked_for() {
    let bench = Bench::new();
    for (words, kind) in [
        (&["convert", "5 kg", "--format", "json"][..], "value"),
        (&["show", "no-such", "--format", "json"], "entry"),
        (&["find", "--no-such-option", "--format", "json"], "usage"),
        (&["order", "--bolts", "0", "--torque", "5 N·m", "--format=json"], "layout"),
    ] {
        let answer = bench.run(words);
        assert_eq!((answer.status, answer.out.as_str()), (2, ""), "{words:?}");
        let error: serde_json::Value = serde_json::from_str(&answer.err).unwrap();
        assert_eq!(error["error"]["kind"], kind, "{words:?}");
        for key in ["message", "hint", "at"] {
            assert!(error["error"].get(key).is_some(), "{words:?}: {key}");
        }
    }
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let bench = Bench::new();
    bench.run(&["find"]);
    let mut child = bench.command(&["find"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let mut errors = String::new();
    child.stderr.take().unwrap().read_to_string(&mut errors).unwrap();
    assert_eq!((child.wait().unwrap().code(), errors.as_str()), (Some(0), ""));
}

#[test]
fn colour_is_for_terminals_or_on_request() {
    let bench = Bench::new();
    assert!(!bench.run(&["check", "4-6 N·m", "5 N·m"]).out.contains('\u{1b}'));
    assert!(bench.run(&["check", "4-6 N·m", "5 N·m", "--color", "always"]).out.contains('\u{1b}'));
}
