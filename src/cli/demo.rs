//! `demo`: the whole job on an invented bicycle, by the real commands, in a throw-away database.

use std::ffi::OsString;

use clap::Args;

use super::parse::parse;
use super::{Answer, Context, Decision, Failure, FailureKind, clock, exit_status};
use crate::report::{DemoReport, DemoStep};

/// Show the whole job on an invented bicycle, in a throw-away database
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp demo")]
pub(super) struct DemoArgs {}

/// What is said before each command, and the command.
const STORY: &[(&str, &[&str])] = &[
    (
        "A club's loan bicycle comes back from a wet weekend; its left crank arm was off. First: what \
         is the joint called here, and which number counts?",
        &["find", "crank pinch"],
    ),
    (
        "Issuers' own figures meet, so there is a band. Nothing is marked on this arm; otherwise \
         the marking would count.",
        &["show", "crank-pinch-bolts", "--brief"],
    ),
    ("The wrench on the bench shows inch-pounds.", &["convert", "12-14 N·m", "--to", "lbf·in"]),
    ("Two bolts in one clamp: by turns, in steps, and once more.", &["order", "crank-pinch-bolts"]),
    (
        "The log says 13.2 N·m, read on a wrench good to 4 % with steps of 0.2 N·m.",
        &["check", "crank-pinch-bolts", "13.2 N·m", "--accuracy", "4%", "--step", "0.2"],
    ),
    (
        "The stem is marked 4-6 N·m; the log says 5.9 with a small wrench good to 6 %.",
        &["check", "4-6 N·m", "5.9 N·m", "--accuracy", "6%", "--step", "0.1"],
    ),
    ("And one line of the log cannot be what it says.", &["check", "4-6 N·m", "44 N·m"]),
    (
        "The rotor bolts: makers do not agree, so no number is handed out.",
        &["check", "rotor-bolt-six", "5 N·m"],
    ),
    (
        "How far would 5 N·m take such a bolt? The friction decides, so there are three answers.",
        &["bolt", "--thread", "M5", "--grade", "8.8", "--torque", "5 N·m"],
    ),
    ("Now the whole bicycle. The club's book lists five joints of it.", &["bike", "show", "loan-7"]),
    (
        "On the bench lie two wrenches, back from calibration today.",
        &[
            "wrench",
            "add",
            "small",
            "--type",
            "click",
            "--scale",
            "2-10 N·m",
            "--step",
            "0.1",
            "--calibrated",
            TODAY,
        ],
    ),
    (
        "The larger one.",
        &[
            "wrench",
            "add",
            "large",
            "--type",
            "click",
            "--scale",
            "5-25 N·m",
            "--step",
            "0.2",
            "--calibrated",
            TODAY,
        ],
    ),
    (
        "The rotor is marked too, so its own number counts from now on.",
        &["bike", "joint", "edit", "loan-7", "rotor-front", "--marking", "4-6 N·m"],
    ),
    ("Is it fit to ride? Nobody knows yet.", &["ready", "loan-7"]),
    (
        "Six rotor bolts, read in the order of their numbers.",
        &["record", "loan-7/rotor-front", "5", "5", "3", "5", "5", "5", "N·m", "--wrench", "small"],
    ),
    (
        "The crank arm's two bolts, tightened.",
        &["record", "loan-7/crank-left", "13.4", "13.4", "N·m", "--wrench", "large"],
    ),
    (
        "After a turn round the yard the second is checked again, and it turns.",
        &["record", "loan-7/crank-left#2", "12", "N·m", "--kind", "moved", "--wrench", "large"],
    ),
    ("The bar clamp.", &["record", "loan-7/bar-clamp", "18.6", "N·m", "--wrench", "large"]),
    ("The rack.", &["record", "loan-7/rack-front", "4", "4", "N·m", "--wrench", "small"]),
    ("The front wheel is checked by hand.", &["record", "loan-7/wheel-front", "--finding", "fine"]),
    ("Fit now?", &["ready", "loan-7"]),
    (
        "The low bolt is set again.",
        &["record", "loan-7/rotor-front#3", "5", "N·m", "--wrench", "small", "--action", "re-tightened"],
    ),
    (
        "The one that moved is cleaned, locked anew and tightened.",
        &["record", "loan-7/crank-left#2", "13.4", "N·m", "--wrench", "large", "--action", "re-locked"],
    ),
    ("And now?", &["ready", "loan-7"]),
];

/// Joints of the kind that the story leaves out.
const LEFT_OUT: &[&str] = &[
    "axle-front",
    "brake-arms-front",
    "brake-shoes-front",
    "brake-cable-front",
    "mudguard-front",
    "headset",
    "quill",
    "brake-lever-left",
    "brake-lever-right",
    "shifter-right",
    "bb-cup-left",
    "bb-cup-right",
    "crank-left",
    "crank-right",
    "pedal-left",
    "pedal-right",
    "saddle-clamp",
    "seat-collar",
    "rack-dropout",
    "axle-rear",
    "wheel-rear",
    "brake-arm-clamp",
    "mudguard-rear",
    "chain",
];
/// Joints that it puts on: joint, entry, bolts.
const PUT_ON: &[(&str, &str, &str)] =
    &[("rotor-front", "rotor-bolt-six", "6"), ("crank-left", "crank-pinch-bolts", "2")];
/// Joints whose parts are marked, and the markings.
const MARKED: &[(&str, &str)] = &[("bar-clamp", "17-20 N·m"), ("rack-front", "4 N·m")];
/// Stands for the day of the demonstration.
const TODAY: &str = "TODAY";

pub(super) fn answer(_: &DemoArgs, context: &Context) -> Result<Answer, Failure> {
    let folder = tempfile::tempdir().map_err(|error| {
        Failure::new(
            FailureKind::File,
            format!("cannot make a throw-away folder: {error}"),
            "see that TMPDIR can be written",
        )
    })?;
    let inner = context.with_database(folder.path().join("demo.db"));
    take_in(&inner)?;
    let today = clock::today().to_string();
    let mut steps = Vec::new();
    for (said, words) in STORY {
        let words: Vec<&str> = words.iter().map(|word| if *word == TODAY { &today } else { *word }).collect();
        let answer = run(&words, &inner)?;
        steps.push(DemoStep {
            said,
            command: command_line(&words),
            output: answer.text,
            status: exit_status(Some(answer.decision)),
        });
    }
    Answer::of(&DemoReport { steps }, context, Decision::Good)
}

fn run(words: &[&str], context: &Context) -> Result<Answer, Failure> {
    let line: Vec<OsString> = ["evenclamp"].iter().chain(words).map(OsString::from).collect();
    let parsed = parse(&line).map_err(|error| Failure::from_usage(&error))?;
    (parsed.run)(context)
}

/// Takes the bicycle in, unseen, with a list of joints short enough to read.
fn take_in(context: &Context) -> Result<(), Failure> {
    run(&["bike", "add", "loan-7", "--kind", "city", "--owner", "the club"], context)?;
    for joint in LEFT_OUT {
        run(&["bike", "joint", "remove", "loan-7", joint], context)?;
    }
    for (joint, entry, bolts) in PUT_ON {
        run(&["bike", "joint", "add", "loan-7", joint, "--entry", entry, "--bolts", bolts], context)?;
    }
    for (joint, marking) in MARKED {
        run(&["bike", "joint", "edit", "loan-7", joint, "--marking", marking], context)?;
    }
    Ok(())
}

/// The command as one would type it.
fn command_line(words: &[&str]) -> String {
    let quoted =
        words.iter().map(|word| if word.contains(' ') { format!("\"{word}\"") } else { (*word).to_owned() });
    std::iter::once("evenclamp".to_owned()).chain(quoted).collect::<Vec<_>>().join(" ")
}
