//! Why a joint is in its state, and what to do next, in words.

use crate::book::{EventKind, MeasuredItem};
use crate::conformity::{Kind, Label, Side};
use crate::quantity::{Reading, TorqueUnit};
use crate::report::{doubt_text, spec_text, torque_text};
use crate::workshop::{DueWhy, Finding, Governing, Joint, JointVerdict, Moment, State, Why};

/// The figure that counts, in a unit, with both sides where the band completes a ceiling.
#[must_use]
pub fn governing_text(governing: &Governing, unit: Option<TorqueUnit>) -> String {
    let unit = unit.unwrap_or(governing.unit);
    match &governing.limits {
        Some(limits) => spec_text(limits.spec(), governing.resolution, unit),
        None => "–".to_owned(),
    }
}

/// A reading with its digits.
fn read_text(read: Reading, unit: Option<TorqueUnit>) -> String {
    torque_text(read.torque, read.resolution(), unit.unwrap_or(read.unit))
}

fn percent(chance: f64) -> String {
    format!("{:.0} %", chance * 100.0)
}

/// Why the joint is in its state, in one sentence.
#[must_use]
pub fn reason_text(joint: &Joint, verdict: &JointVerdict, unit: Option<TorqueUnit>) -> String {
    let worst = &verdict.worst;
    let bolt = if joint.bolts > 1 { format!("bolt {}: ", worst.bolt) } else { String::new() };
    let when = worst.at.map(|at| format!(", {}", at.short())).unwrap_or_default();
    let spec = governing_text(&verdict.governing, unit);
    let ground = &verdict.governing.word;
    let resolution = verdict.governing.resolution;
    let shown = unit.unwrap_or(verdict.governing.unit);
    match &worst.why {
        Why::Nothing => match verdict.bolts_without.as_slice() {
            some if some.len() < usize::from(joint.bolts) => {
                format!("nothing is recorded for {}", bolts_text(some))
            }
            _ => "nothing is recorded".to_owned(),
        },
        Why::NoTorque(Kind::ByHand) => format!("{bolt}tightened by hand, no torque was read"),
        Why::NoTorque(_) => format!("{bolt}nothing that proves it is recorded{when}"),
        Why::HeldTooLow { torque } => {
            format!(
                "{bolt}held at {}, below the lower limit of {spec}{when}",
                torque_text(*torque, resolution, shown)
            )
        }
        Why::HeldTooHigh { torque } => {
            format!(
                "{bolt}held at {}, above the upper limit of {spec}{when}",
                torque_text(*torque, resolution, shown)
            )
        }
        Why::NoFigure => ground.clone(),
        Why::Tightened { read, label, lean, chance, doubts, narrow } => {
            let value = read_text(*read, unit);
            let mut text = format!("{bolt}{value} against {spec} ({ground}){when}");
            if let Some(doubt) = doubts.first() {
                text += &format!("; {}", doubt_text(*doubt, shown));
            } else if *narrow {
                text += "; the range is narrower than this wrench can settle";
            } else if *label == Label::TooClose
                && let Some(chance) = chance
            {
                let leans = lean.map(|side| format!(", leans {}", side.text())).unwrap_or_default();
                text += &format!("; {} chance of being inside{leans}", percent(chance.value()));
            }
            text
        }
        Why::Held { read, doubts } => {
            let value = read_text(*read, unit);
            match doubts.first() {
                Some(doubt) => format!("{bolt}held at {value}{when}; {}", doubt_text(*doubt, shown)),
                None => {
                    format!("{bolt}held at {value}{when}: still at least that, the high side is not shown")
                }
            }
        }
        Why::Moved { torque } => {
            let at = torque.map(|torque| format!(" at {}", torque_text(torque, resolution, shown)));
            format!("{bolt}it turned{} when it was checked{when}", at.unwrap_or_default())
        }
        Why::Loosened => format!("{bolt}loosened and not tightened since{when}"),
        Why::Found(finding) => format!("{bolt}found {}{when}", finding.text()),
        Why::Losing(trend) => format!(
            "{bolt}{} re-checks fell from {} to {} (chance of that by luck {})",
            trend.count,
            torque_text(trend.first, resolution, shown),
            torque_text(trend.last, resolution, shown),
            percent(trend.chance.value())
        ),
        Why::Measured { measure, limit, word } => format!("{measure} against {limit} ({word}){when}"),
        Why::MakersDiffer { measure, limits } => {
            let all: Vec<String> = limits.iter().map(|(limit, word)| format!("{limit} ({word})")).collect();
            format!("{measure}{when}; makers differ: {}", all.join(", "))
        }
        Why::Due(why) => format!("{bolt}{}", due_text(why, worst.at)),
    }
}

fn bolts_text(bolts: &[u16]) -> String {
    let numbers: Vec<String> = bolts.iter().map(ToString::to_string).collect();
    format!("bolt{} {}", if bolts.len() > 1 { "s" } else { "" }, numbers.join(", "))
}

/// Why something is due.
pub(super) fn due_text(why: &DueWhy, since: Option<Moment>) -> String {
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
        DueWhy::FirstCheck { built } => {
            format!("the first check after building on {} is due{checked}", built.short())
        }
    }
}

/// What to do next about an open joint; `path` is its bicycle and joint as a command takes them.
#[must_use]
pub fn next_text(
    path: &str,
    joint: &Joint,
    verdict: &JointVerdict,
    item: Option<&MeasuredItem>,
    unit: Option<TorqueUnit>,
) -> String {
    if verdict.state() == State::Sound {
        return String::new();
    }
    let spec = governing_text(&verdict.governing, unit);
    let tighten = || format!("tighten to {spec} and record it");
    let parts = path.split_once('/').unwrap_or((path, ""));
    let note_figure = || format!("`evenclamp bike joint edit {} {} --marking …`", parts.0, parts.1);
    match (&verdict.worst.why, verdict.state()) {
        (Why::Found(finding), _) => match finding {
            Finding::Cracked | Finding::Seized => {
                "do not ride; hand it to a qualified mechanic; record the new part with --action replaced"
                    .to_owned()
            }
            Finding::Worn => "replace it and record that with --action replaced".to_owned(),
            _ => "find the cause and put it right, then record it with --finding fine or as tightened"
                .to_owned(),
        },
        (Why::Nothing | Why::NoTorque(_), _) => match (joint.check, &verdict.governing.limits) {
            (crate::book::Check::Torque, None) => {
                format!(
                    "read the marking on the part or ask its maker, note it with {}, then check",
                    note_figure()
                )
            }
            (crate::book::Check::Torque, Some(_)) => tighten(),
            (crate::book::Check::Function, _) => {
                "check it by hand, eye and ear, and record --finding fine or what you find".to_owned()
            }
            (crate::book::Check::Measure, _) => {
                let what = item.map(MeasuredItem::measured).unwrap_or_default();
                format!("measure {what} and record it")
            }
        },
        (Why::HeldTooHigh { .. }, _) => {
            format!("loosen it, tighten it anew within {spec} and record that")
        }
        (Why::HeldTooLow { .. }, _) => format!("set the wrench to the lower limit of {spec} and check again"),
        (Why::NoFigure, _) => {
            format!("read the marking on the part or ask its maker, and note it with {}", note_figure())
        }
        (Why::MakersDiffer { .. }, _) => {
            format!("ask for the part's own figure and note it with {}", note_figure())
        }
        (Why::Measured { .. }, State::Low | State::High) => {
            "put it right or replace it, and measure again".to_owned()
        }
        (Why::Moved { .. } | Why::Loosened, _) => {
            format!("look for missing locking, a stretched thread or a crack, then {}", tighten())
        }
        (Why::Losing(_), _) => {
            "it loses torque: look for cracks, clean, lock anew or renew, tighten, record --action re-locked"
                .to_owned()
        }
        (Why::Tightened { .. }, State::Low) => format!("look for the cause, then {}", tighten()),
        (Why::Tightened { .. }, State::High) => format!(
            "slacken it, look for crushed or stretched parts (carbon: hand it over), then {}",
            tighten()
        ),
        (Why::Tightened { lean: Some(Side::High), narrow: false, .. }, State::TooClose) => {
            format!("slacken it, then aim at the middle: {}", tighten())
        }
        (_, State::WrenchInDoubt) => format!("do it again with a wrench to be believed: {}", tighten()),
        (_, State::TooClose) => {
            format!("do it again with a finer wrench or nearer the middle: {}", tighten())
        }
        (_, State::Due) => match joint.check {
            crate::book::Check::Torque => {
                format!("check that it holds at the lower limit of {spec}, or {}", tighten())
            }
            _ => "check it again and record it".to_owned(),
        },
        _ => String::new(),
    }
}
