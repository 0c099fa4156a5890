//! What to do next about an open joint.

use super::orientation::orientation_to_act;
use super::state::governing_text;
use super::too_much::{AFTER_TORQUE, BEFORE_TORQUE};
use crate::book::{Check, MeasuredItem};
use crate::conformity::{Limits, Side};
use crate::quantity::{Spec, TorqueUnit};
use crate::workshop::{Finding, Governing, Joint, JointVerdict, State, Why};

/// What to do next; empty for a sound joint. `path` is its bicycle and joint as a command takes them. Behind it
/// stands what has to be known of a band, or what is commonly given where there is none.
pub fn next_text(
    path: &str,
    joint: &Joint,
    verdict: &JointVerdict,
    item: Option<&MeasuredItem>,
    unit: Option<TorqueUnit>,
) -> String {
    let next = next_step(path, joint, verdict, item, unit);
    let governing = &verdict.governing;
    let given = governing.orientation.as_ref().filter(|_| joint.check == Check::Torque && !next.is_empty());
    let caveat = governing.caveat.as_ref().filter(|_| next.contains(&governing_text(governing, unit)));
    match (given, caveat) {
        (Some(given), _) => format!("{next}; {}", orientation_to_act(given, unit.unwrap_or(governing.unit))),
        (_, Some(caveat)) => format!("{next}; {caveat}"),
        _ => next,
    }
}

fn next_step(
    path: &str,
    joint: &Joint,
    verdict: &JointVerdict,
    item: Option<&MeasuredItem>,
    unit: Option<TorqueUnit>,
) -> String {
    let spec = governing_text(&verdict.governing, unit);
    let read_figure = read_figure(path, joint);
    let tighten = tighten(&verdict.governing, &spec, &read_figure);
    match (&verdict.worst.why, verdict.state()) {
        (_, State::Sound) => String::new(),
        (Why::Found(finding), _) if joint.damaged().next().is_none() => {
            after_finding(*finding, joint.check).to_owned()
        }
        (Why::Found(finding), _) => format!("{}; {read_figure}", after_finding(*finding, joint.check)),
        (Why::Nothing | Why::NoTorque(_), _) => first_check(joint, item, &tighten),
        (Why::NoFigure, _) => read_figure,
        (Why::MakersDiffer { .. }, _) => {
            format!("ask for the part's own figure and {}", note_figure(path, &["--marking"]))
        }
        (Why::HeldTooHigh { .. }, _) => {
            format!("loosen it, tighten it anew within {spec} and record that")
        }
        (Why::HeldTooLow { .. }, _) => format!("set the wrench to the lower limit of {spec} and check again"),
        (Why::Measured { .. }, State::Low | State::High) => {
            "put it right or replace it, and measure again".to_owned()
        }
        (Why::TooMuch { read: true, .. }, _) => AFTER_TORQUE.to_owned(),
        (Why::TooMuch { .. }, _) => BEFORE_TORQUE.to_owned(),
        (Why::Moved { .. } | Why::Loosened, _) => {
            format!("look for missing locking, a stretched thread or a crack, then {tighten}")
        }
        (Why::Losing(_), _) => {
            "it loses torque: look for cracks, clean, lock anew or renew, tighten, record --action re-locked"
                .to_owned()
        }
        (_, State::Low) => format!("look for the cause, then {tighten}"),
        (_, State::High) => {
            format!("slacken it, look for crushed or stretched parts (carbon: hand it over), then {tighten}")
        }
        (Why::Tightened { lean: Some(Side::High), narrow: false, .. }, State::TooClose) => {
            anew(verdict.governing.limits.as_ref(), &tighten)
        }
        (why, State::WrenchInDoubt) => with_another_wrench(why, &tighten),
        (_, State::TooClose) => format!("do it again with a finer wrench or nearer the middle: {tighten}"),
        (_, State::Due) if joint.check == Check::Torque => {
            format!("check that it holds at the lower limit of {spec}, or {tighten}")
        }
        _ => "check it again and record it".to_owned(),
    }
}

/// How to tighten to what counts; nobody is told to where two parts leave no torque to tighten to.
fn tighten(governing: &Governing, spec: &str, read_figure: &str) -> String {
    match governing.limits.as_ref().map(Limits::spec) {
        _ if governing.parts_apart => {
            "fit parts that belong together, or ask their makers which figure counts".to_owned()
        }
        None => format!("{read_figure}, then tighten to it and record it"),
        Some(Spec::Ceiling(_)) => format!("tighten from below until it holds, {spec}, and record it"),
        Some(Spec::Floor(_)) => format!("tighten to {spec} or a little more and record it"),
        _ => format!("tighten to {spec} and record it"),
    }
}

/// What to do about a bolt that may be too tight; a ceiling has no middle to aim at.
fn anew(limits: Option<&Limits>, tighten: &str) -> String {
    match limits.map(Limits::spec) {
        Some(Spec::Ceiling(_)) => format!("slacken it, then {tighten}"),
        _ => format!("slacken it, then aim at the middle: {tighten}"),
    }
}

/// What to do about a bolt whose wrench is in doubt: one that may be too tight lets the next wrench stop above the
/// aim.
fn with_another_wrench(why: &Why, tighten: &str) -> String {
    let again = format!("do it again with a wrench to be believed: {tighten}");
    match why {
        Why::Tightened { lean: Some(Side::High), .. } => format!("slacken it, then {again}"),
        _ => again,
    }
}

/// The option of `bike joint edit` that states the figure of a column.
pub fn figure_option(column: &str) -> &'static str {
    match column {
        "part_maker" => "--part-maker",
        "bicycle_maker" => "--bike-maker",
        "shop" => "--shop",
        _ => "--marking",
    }
}

/// The options that state the damaged figures of a joint anew; both markings are stated together.
fn damaged_options(joint: &Joint) -> Vec<&'static str> {
    let mut options: Vec<&str> = joint.damaged().map(|figure| figure_option(figure.column)).collect();
    options.dedup();
    if options.first() == Some(&"--marking") && joint.figures.markings.len() > 1 {
        options.insert(0, "--marking");
    }
    options
}

/// Where the figure of a joint without a value comes from.
fn read_figure(path: &str, joint: &Joint) -> String {
    match damaged_options(joint).as_slice() {
        [] => {
            let note = note_figure(path, &["--marking"]);
            format!("read the marking on the part or ask its maker, and {note}")
        }
        options => {
            let note = note_figure(path, options);
            format!("read the figure anew and {note} (an empty text takes it away)")
        }
    }
}

fn note_figure(path: &str, options: &[&str]) -> String {
    let joint = path.replacen('/', " ", 1);
    format!("note it with `evenclamp bike joint edit {joint} {} …`", options.join(" … "))
}

fn after_finding(finding: Finding, check: Check) -> &'static str {
    match finding {
        Finding::Cracked | Finding::Seized => {
            "do not ride; hand it to a qualified mechanic; record the new part with --action replaced"
        }
        Finding::Worn => "replace it and record that with --action replaced",
        _ if check == Check::Torque => "find the cause, put it right, tighten it anew and record that",
        _ => "find the cause and put it right, then record it with --finding fine",
    }
}

fn first_check(joint: &Joint, item: Option<&MeasuredItem>, tighten: &str) -> String {
    match joint.check {
        Check::Torque => tighten.to_owned(),
        Check::Function => {
            "check it by hand, eye and ear, and record --finding fine or what you find".to_owned()
        }
        Check::Measure => {
            format!("measure {} and record it", item.map(MeasuredItem::measured).unwrap_or_default())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::{Figure, Marking, Name};

    #[test]
    fn what_is_damaged_is_stated_anew_by_its_own_option() {
        let mut joint = Joint::named(Name::new("bar-clamp").unwrap());
        let damaged = || Some(Figure::read("5 Nx"));
        let marking = |part: &str, figure| Marking { part: part.into(), figure: Figure::read(figure) };
        joint.figures.markings = vec![marking("stem", "5 N·m")];
        assert_eq!(damaged_options(&joint), [""; 0]);
        joint.figures.markings = vec![marking("stem", "5 Nx")];
        assert_eq!(damaged_options(&joint), ["--marking"]);
        joint.figures.markings = vec![marking("stem", "5 N·m")];
        joint.figures.bicycle_maker = damaged();
        assert_eq!(damaged_options(&joint), ["--bike-maker"]);
        joint.figures.markings.push(marking("bar", "5 Nx"));
        (joint.figures.part_maker, joint.figures.bicycle_maker) = (damaged(), Some(Figure::read("6 N·m")));
        joint.figures.shop = damaged();
        assert_eq!(damaged_options(&joint), ["--marking", "--marking", "--part-maker", "--shop"]);
        let next = read_figure("loan-7/bar-clamp", &joint);
        assert!(
            next.contains("joint edit loan-7 bar-clamp --marking … --marking … --part-maker … --shop …`"),
            "{next}"
        );
    }
}
