//! `demo`: the whole job on an invented bicycle, by the real commands, in a throw-away database.

use std::ffi::OsString;
use std::iter;

use clap::Args;

use super::folder::throw_away;
use super::parse::parse;
use super::{Answer, Context, Decision, Failure, clock, exit_status};
use crate::book::TemplateJoint;
use crate::report::{DemoReport, DemoStep};

/// Show the whole job on an invented bicycle, in a throw-away database
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp demo")]
pub(super) struct DemoArgs {}

/// What is said before each command, and the command as one would type it.
const STORY: &[(&str, &str)] = &[
    (
        "A club's loan bicycle comes back from a wet weekend; its left crank arm was off. First: what \
         is the joint called here, and which number counts?",
        "find crank clamp bolts",
    ),
    (
        "Issuers' own figures meet, so there is a band. Nothing is marked on this arm; otherwise \
         the marking would count.",
        "show crank-pinch-bolts --brief",
    ),
    ("The wrench on the bench shows inch-pounds.", r#"convert "12-14 N·m" --to lbf·in"#),
    ("Two bolts in one clamp: by turns, in steps, and once more.", "order crank-pinch-bolts"),
    (
        "The log says 13.2 N·m, read on a wrench good to 4 % with steps of 0.2 N·m.",
        r#"check crank-pinch-bolts "13.2 N·m" --accuracy 4% --step 0.2"#,
    ),
    (
        "The stem is marked 4-6 N·m; the log says 5.9 with a small wrench good to 6 %.",
        r#"check "4-6 N·m" "5.9 N·m" --accuracy 6% --step 0.1"#,
    ),
    ("And one line of the log cannot be what it says.", r#"check "4-6 N·m" "44 N·m""#),
    (
        "Steel chainring bolts: makers do not agree, so no number is handed out.",
        r#"check chainring-bolt-steel "9 N·m""#,
    ),
    (
        "How far would 5 N·m take such a bolt? The friction decides, so there are three answers.",
        r#"bolt --thread M5 --grade 8.8 --torque "5 N·m""#,
    ),
    ("Now the whole bicycle. The club's book lists five joints of it.", "bike show loan-7"),
    (
        "On the bench lie two wrenches, back from calibration today.",
        r#"wrench add small --type click --scale "2-10 N·m" --step 0.1 --calibrated TODAY"#,
    ),
    ("The larger one.", r#"wrench add large --type click --scale "5-25 N·m" --step 0.2 --calibrated TODAY"#),
    (
        "The rotor is marked too, so its own number counts from now on.",
        r#"bike joint edit loan-7 rotor-front --marking "4-6 N·m""#,
    ),
    ("Is it fit to ride? Nobody knows yet.", "ready loan-7"),
    (
        "Six rotor bolts, read in the order of their numbers.",
        "record loan-7/rotor-front 5 5 3 5 5 5 N·m --wrench small",
    ),
    ("The crank arm's two bolts, tightened.", "record loan-7/crank-left 13.4 13.4 N·m --wrench large"),
    (
        "After a turn round the yard the second is checked again, and it turns.",
        "record loan-7/crank-left#2 12 N·m --kind moved --wrench large",
    ),
    ("The bar clamp.", "record loan-7/bar-clamp 18.6 N·m --wrench large"),
    ("The rack.", "record loan-7/rack-front 4 4 N·m --wrench small"),
    ("The front wheel is checked by hand.", "record loan-7/wheel-front --finding fine"),
    ("Fit now?", "ready loan-7"),
    ("The low bolt is set again.", "record loan-7/rotor-front#3 5 N·m --wrench small --action re-tightened"),
    (
        "The one that moved is cleaned, locked anew and tightened.",
        "record loan-7/crank-left#2 13.4 N·m --wrench large --action re-locked",
    ),
    ("And now?", "ready loan-7"),
];

/// The kind of the bicycle, and the joints of it that the story leaves on.
const KIND: &str = "city";
const LEFT_ON: [&str; 3] = ["bar-clamp", "rack-front", "wheel-front"];
/// What is done to it before the story begins, with a list of joints short enough to read.
const BEFORE: [&str; 4] = [
    "bike joint add loan-7 rotor-front --entry rotor-bolt-six --bolts 6",
    "bike joint add loan-7 crank-left --entry crank-pinch-bolts --bolts 2",
    r#"bike joint edit loan-7 bar-clamp --marking "17-20 N·m""#,
    r#"bike joint edit loan-7 rack-front --marking "4 N·m""#,
];

pub(super) fn answer(_: &DemoArgs, context: &Context) -> Result<Answer, Failure> {
    let folder = throw_away()?;
    let mut inner = context.with_database(folder.path().join("demo.db"));
    inner.style.width = inner.style.width.saturating_sub(DemoReport::INDENT.len());
    "the demonstration is short".clone_into(&mut inner.why);
    take_in(&inner)?;
    let today = clock::today().to_string();
    let mut steps = Vec::new();
    for (said, line) in STORY {
        let line = line.replace("TODAY", &today);
        let Answer { text, decision, .. } = run(&line, &inner)?;
        let (command, status) = (format!("evenclamp {line}"), exit_status(Some(decision)));
        steps.push(DemoStep { said, command, output: text, status });
    }
    Answer::of(&DemoReport { steps }, context, Decision::Good)
}

/// Runs a command as it is typed: words are parted by blanks, unless they stand in quotes.
fn run(line: &str, context: &Context) -> Result<Answer, Failure> {
    let words = line.split('"').enumerate().flat_map(|(index, part)| {
        let in_quotes = index % 2 == 1;
        if in_quotes { vec![part] } else { part.split_whitespace().collect() }
    });
    let words: Vec<OsString> = iter::once("evenclamp").chain(words).map(OsString::from).collect();
    let parsed = parse(&words).map_err(|error| Failure::from_usage(&error))?;
    (parsed.run)(context)
}

fn take_in(context: &Context) -> Result<(), Failure> {
    run(&format!("bike add loan-7 --kind {KIND} --owner \"the club\""), context)?;
    for TemplateJoint { joint, .. } in context.store_with_book()?.template(KIND)? {
        if !LEFT_ON.contains(&joint.as_str()) {
            run(&format!("bike joint remove loan-7 {joint}"), context)?;
        }
    }
    for line in BEFORE {
        run(line, context)?;
    }
    Ok(())
}
