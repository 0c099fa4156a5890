//! What is asked at a joint, and what an answer means.

use std::io::Write as _;

use super::super::{Failure, FailureKind};
use super::marking;
use crate::book::Check;
use crate::conformity::Kind;
use crate::words::{Outlet, visible};
use crate::workshop::{Finding, Joint};

/// What a line means.
pub(super) enum Entered {
    LeaveOut,
    Quit,
    Help,
    /// What stands on the part.
    Marking(String),
    /// Values of a kind, or a finding without one.
    Line(Kind, Vec<String>, Option<Finding>),
}

pub(super) const HELP: &str =
    "a number and Enter: tightened to it; several numbers: one for each of the next bolts
held 4, moved 4, loosening 3, back-to-mark 4.8, by-hand: re-checks
fine, loose, drags, creaks, seized, cracked, play, worn: findings
m max 5 N·m: the marking on the part; m stem: max 5 N·m: that on one of two parts
Enter alone: leave it out; q: leave the visit, it goes on where it was left";

/// What is asked of a bolt; a marking too, where there is none.
pub(super) fn prompt_text(joint: &Joint, bolt: u16) -> String {
    let marking = if marking::is_wanted(joint) { "m: marking" } else { "" };
    match (joint.bolts > 1, marking) {
        (true, "") => format!("    bolt {bolt}: "),
        (true, marking) => format!("    bolt {bolt} ({marking}): "),
        (false, "") => "    ".to_owned(),
        (false, marking) => format!("    ({marking}) "),
    }
}

/// What a line means, of a joint that is checked so.
pub(super) fn said(line: &str, check: Check) -> Entered {
    let line = line.trim();
    let words: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
    let Some(first) = words.first() else { return Entered::LeaveOut };
    let rest = words.get(1..).unwrap_or_default().to_vec();
    match (line, Kind::parse(first), Finding::parse(first)) {
        ("q" | "quit", ..) => Entered::Quit,
        ("?" | "help", ..) => Entered::Help,
        (_, Some(kind), _) => Entered::Line(kind, rest, None),
        (_, _, Some(finding)) => Entered::Line(Kind::Tightened, Vec::new(), Some(finding)),
        _ => match marking::typed(line, check) {
            Some(marking) => Entered::Marking(marking),
            None => Entered::Line(Kind::Tightened, words, None),
        },
    }
}

/// The values of a line, each with its unit: `5.0 5.1 in-lb` are two in in-lb.
pub(super) fn split_values(words: &[String]) -> Vec<String> {
    let is_number = |word: &String| word.starts_with(|c: char| c.is_ascii_digit());
    let mut values: Vec<String> = Vec::new();
    let mut unit = "";
    for word in words {
        if is_number(word) || values.is_empty() {
            values.push(word.clone());
        } else {
            unit = word;
        }
    }
    let bare = |value: &String| value.chars().all(|c| c.is_ascii_digit() || ".,".contains(c));
    values.iter().map(|value| if bare(value) { format!("{value} {unit}") } else { value.clone() }).collect()
}

/// Says what was wrong with an answer; a database that fails ends the visit.
pub(super) fn told_failure(answered: Result<(), Failure>) -> Result<(), Failure> {
    match answered {
        Err(failure) if failure.kind == FailureKind::Database => return Err(failure),
        Err(failure) => {
            say(&format!("    {}", failure.message));
            failure.hint.iter().for_each(|hint| say(&format!("    {hint}")));
        }
        Ok(()) => {}
    }
    Ok(())
}

const PLAIN: Outlet = Outlet::Text { coloured: false };

/// Prompts and confirmations go to standard error, so that the verdict alone is the result.
pub(super) fn say(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", visible(text, PLAIN));
}

pub(super) fn prompt(text: &str) {
    let mut errors = std::io::stderr().lock();
    let _ = write!(errors, "{}", visible(text, PLAIN)).and_then(|()| errors.flush());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind_of(line: &str, check: Check) -> &'static str {
        match said(line, check) {
            Entered::LeaveOut => "leave out",
            Entered::Quit => "quit",
            Entered::Help => "help",
            Entered::Marking(_) => "marking",
            Entered::Line(..) => "line",
        }
    }

    /// What one number can be read of a wrench is a reading; what can only stand on a part is a marking.
    #[test]
    fn a_print_that_can_be_no_reading_is_a_marking() {
        for reading in [
            "5",
            "5.0 5.1 in-lb",
            "44 in-lb",
            "5 N·m",
            "4.9 5.2",
            "5,0 5,1",
            "5 5 5 5",
            "held 4",
            "held 4-5",
            "moved 4 N·m",
            "fine",
            "play",
            "six",
            "-5",
            "5 Nm 6 Nm",
        ] {
            assert_eq!(kind_of(reading, Check::Torque), "line", "{reading}");
        }
        for print in [
            "max 5 N·m",
            "4-6 Nm",
            "MAX. TORQUE 5 N.m",
            "4-6Nm / 35-53 in lbs",
            "5 ±0.5 N·m",
            "<= 5 N·m",
            "min 12 N·m",
            "stem: max 5 N·m",
            "max 5",
            "m 5 N·m",
            "M stem: 5 Nm",
            "m",
            "marking 5 Nm",
        ] {
            assert_eq!(kind_of(print, Check::Torque), "marking", "{print}");
        }
        for (line, check, kind) in [
            ("min 1.5 mm", Check::Measure, "marking"),
            ("m min 1.5 mm", Check::Measure, "marking"),
            ("1.5", Check::Measure, "line"),
            ("1.5 mm", Check::Measure, "line"),
            ("max 5 N·m", Check::Function, "line"),
            ("fine", Check::Function, "line"),
            ("", Check::Torque, "leave out"),
            ("q", Check::Torque, "quit"),
            ("?", Check::Torque, "help"),
        ] {
            assert_eq!(kind_of(line, check), kind, "{line}");
        }
    }
}
