//! Why a joint is in its state, in words, and the figure that counts for it.

use super::doubt_text;
use crate::book::EventKind;
use crate::conformity::{Doubt, Kind, Label};
use crate::quantity::{MeasureLimit, Reading, TorqueUnit};
use crate::report::figure::{significant_text, spec_text, torque_text};
use crate::workshop::{DueWhy, FigureBasis, Governing, Joint, JointVerdict, LocalInstant, Why};

/// The figure that counts, in a unit or in the one it is stated in; a dash where there is none.
pub fn governing_text(governing: &Governing, unit: Option<TorqueUnit>) -> String {
    let unit = unit.unwrap_or(governing.unit);
    match &governing.limits {
        Some(limits) => spec_text(limits.spec(), governing.resolution, unit),
        None => "–".to_owned(),
    }
}

/// Why the joint is in its state, in one sentence.
pub fn reason_text(joint: &Joint, verdict: &JointVerdict, unit: Option<TorqueUnit>) -> String {
    let (worst, governing) = (&verdict.worst, &verdict.governing);
    let when = worst.at.map(|at| format!(", {}", at.short())).unwrap_or_default();
    let (spec, shown) = (governing_text(governing, unit), unit.unwrap_or(governing.unit));
    let torque = |torque| format!("{} {shown}", significant_text(torque, shown, 3));
    let value = |read: &Reading| torque_text(read.torque, read.resolution(), unit.unwrap_or(read.unit));
    let doubt = |doubts: &[Doubt]| doubts.first().map(|doubt| format!("; {}", doubt_text(*doubt, shown)));
    let text = match &worst.why {
        Why::Nothing => return nothing_text(joint, &verdict.bolts_without),
        Why::NoFigure => return governing.word.clone(),
        Why::Tightened { read, doubts, .. } => {
            let worth = doubt(doubts).unwrap_or_else(|| nearness_text(&worst.why));
            let notes = tightened_notes(&worst.why);
            format!("{} against {spec} ({}){when}{worth}{notes}", value(read), governing.word)
        }
        Why::Held { read, doubts, known_wrench } => {
            let worth = doubt(doubts);
            let worth = worth.as_deref().unwrap_or(": still at least that, the high side is not shown");
            format!("held at {}{when}{worth}{}", value(read), unknown_wrench(*known_wrench))
        }
        Why::NoTorque(Kind::ByHand) => format!("tightened by hand, no torque was read{when}"),
        Why::NoTorque(_) => format!("nothing that proves it is recorded{when}"),
        Why::HeldTooLow { torque: held }
        | Why::HeldAgainstNothing { torque: held }
        | Why::HeldTooHigh { torque: held } => {
            format!("held at {}, {}{when}", torque(*held), held_text(&worst.why, &spec))
        }
        Why::Moved { torque: Some(at) } => format!("it turned at {} when it was checked{when}", torque(*at)),
        Why::Moved { torque: None } => format!("it turned when it was checked{when}"),
        Why::TooMuch { doubt, read: false } => return format!("{}: {}", governing.word, doubt.text(shown)),
        Why::TooMuch { doubt, .. } => format!("{}{when}", doubt.text(shown)),
        Why::Loosened => format!("loosened and not tightened since{when}"),
        Why::Found(finding) => format!("found {}{when}", finding.text()),
        Why::Losing(trend) => format!(
            "{} re-checks fell from {} to {} (chance of that by luck {})",
            trend.count,
            torque(trend.first),
            torque(trend.last),
            percent(trend.chance.value())
        ),
        Why::Measured { measure, limit, word } => format!("{measure} against {limit} ({word}){when}"),
        Why::MakersDiffer { measure, limits } => format!("{measure}{when}; {}", makers_text(limits)),
        Why::Due(why) => due_text(why, worst.at),
    };
    let text = if joint.bolts > 1 { format!("bolt {}: {text}", worst.bolt) } else { text };
    match governing.basis {
        FigureBasis::Unreadable => format!("{text}; {}", governing.word),
        _ => text,
    }
}

/// How the setting at which it held lies to what is specified.
fn held_text(why: &Why, spec: &str) -> String {
    match why {
        Why::HeldTooLow { .. } => format!("which does not reach the lower limit of {spec}"),
        Why::HeldTooHigh { .. } => format!("above the upper limit of {spec}"),
        _ => "but no lower limit is known to hold it against".to_owned(),
    }
}

fn makers_text(limits: &[(MeasureLimit, String)]) -> String {
    let all: Vec<String> = limits.iter().map(|(limit, word)| format!("{limit} ({word})")).collect();
    format!("makers differ: {}", all.join(", "))
}

/// A joint, or some of its bolts, of which nothing was read.
fn nothing_text(joint: &Joint, bolts: &[u16]) -> String {
    if bolts.len() >= usize::from(joint.bolts) {
        return "nothing is recorded".to_owned();
    }
    let numbers: Vec<String> = bolts.iter().map(ToString::to_string).collect();
    format!("nothing is recorded for bolt{} {}", if bolts.len() > 1 { "s" } else { "" }, numbers.join(", "))
}

/// How near to its limits a value is that no doubt is cast on; empty where that is settled.
fn nearness_text(why: &Why) -> String {
    match why {
        Why::Tightened { narrow: true, .. } => {
            "; the range is narrower than this wrench can settle".to_owned()
        }
        Why::Tightened { label: Label::TooClose, chance: Some(chance), lean, .. } => {
            let leans = lean.map(|side| format!(", leans {}", side.text())).unwrap_or_default();
            format!("; {} chance of being inside{leans}", percent(chance.value()))
        }
        Why::Tightened { label: Label::TooClose, lean: Some(side), .. } => format!("; leans {}", side.text()),
        _ => String::new(),
    }
}

/// What else is noted of a tightening; a side without a limit is of no account where the other one is broken.
fn tightened_notes(why: &Why) -> String {
    let Why::Tightened { label, not_judged, known_wrench, .. } = why else { return String::new() };
    let is_bad = matches!(label, Label::Low | Label::High);
    let side = not_judged.filter(|_| !is_bad);
    let side = side.map_or_else(String::new, |side| format!("; {} side not judged", side.text()));
    side + unknown_wrench(*known_wrench)
}

/// What is noted of a reading whose wrench was not named, or of which no calibration is known.
fn unknown_wrench(known: bool) -> &'static str {
    if known { "" } else { "; wrench not known" }
}

fn percent(chance: f64) -> String {
    format!("{:.0} %", chance * 100.0)
}

pub fn due_text(why: &DueWhy, since: Option<LocalInstant>) -> String {
    let checked = since.map(|at| format!(" (last checked {})", at.short())).unwrap_or_default();
    match why {
        DueWhy::Event { kind: EventKind::Rebuild, at } => {
            format!("built or rebuilt {} since{checked}", at.short())
        }
        DueWhy::Event { kind, at } => format!("{} on {} since{checked}", kind.text(), at.short()),
        DueWhy::Days { passed, allowed } => format!("{passed:.0} days, {allowed:.0} are allowed{checked}"),
        DueWhy::Hours { ridden, allowed } => {
            format!("{ridden:.0} h ridden, {allowed:.0} are allowed{checked}")
        }
        DueWhy::Distance { ridden, allowed } => {
            format!("{ridden:.0} km ridden, {allowed:.0} are allowed{checked}")
        }
        DueWhy::Hires { counted, allowed } => {
            format!("hired out {counted:.0} times, {allowed:.0} are allowed{checked}")
        }
        DueWhy::FirstCheck { built } => {
            format!("the first check after building on {} is due{checked}", built.short())
        }
    }
}
