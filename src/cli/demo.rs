//! `demo`: the whole job on an invented bicycle, by the real commands, in a throw-away database.

use clap::{Args, Parser as _};

use super::{Answer, Cli, Context, Failure, Outcome};
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
        "Two issuers' own figures meet, so there is a band. Nothing is marked on this arm; otherwise \
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
];

pub(super) fn answer(context: &Context) -> Result<Answer, Failure> {
    let folder = tempfile::tempdir().map_err(|error| {
        Failure::new(
            "file",
            format!("cannot make a throw-away folder: {error}"),
            "see that TMPDIR can be written",
        )
    })?;
    let inner = context.with_database(folder.path().join("demo.db"));
    let mut steps = Vec::new();
    for (said, words) in STORY {
        let cli = Cli::try_parse_from(["evenclamp"].iter().chain(*words))
            .map_err(|error| Failure::from_usage(&error))?;
        let answer = super::answer(cli.command, &inner)?;
        steps.push(DemoStep {
            said,
            command: command_line(words),
            output: answer.text,
            status: answer.outcome.status(),
        });
    }
    Answer::of(&DemoReport { steps }, context, Outcome::Good)
}

/// The command as one would type it.
fn command_line(words: &[&str]) -> String {
    let quoted =
        words.iter().map(|word| if word.contains(' ') { format!("\"{word}\"") } else { (*word).to_owned() });
    std::iter::once("evenclamp".to_owned()).chain(quoted).collect::<Vec<_>>().join(" ")
}
