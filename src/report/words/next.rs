//! What to do next about an open joint.

use super::now::{Advice, Ending, to, well_to};
use super::orientation::orientation_to_act;
use super::state::governing_text;
use super::too_much::{AFTER_TORQUE, BEFORE_TORQUE};
use crate::book::{Check, MeasuredItem};
use crate::conformity::Limits;
use crate::quantity::{Spec, TorqueUnit};
use crate::workshop::{FigureBasis, Finding, Governing, Joint, JointVerdict, State, Why};

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
    let is_told =
        |caveat: &&String| next.contains(&governing_text(governing, unit)) && !next.contains(*caveat);
    let caveat = governing.caveat.as_ref().filter(is_told);
    match (given, caveat) {
        (Some(given), _) => format!("{next}; {}", orientation_to_act(given, unit.unwrap_or(governing.unit))),
        (_, Some(caveat)) => format!("{next}; {caveat}"),
        _ => next,
    }
}

/// What is to be done where two parts leave no torque to tighten to.
pub(super) const FIT_OTHER_PARTS: &str =
    "fit parts that belong together, or ask their makers which figure counts";

fn next_step(
    path: &str,
    joint: &Joint,
    verdict: &JointVerdict,
    item: Option<&MeasuredItem>,
    unit: Option<TorqueUnit>,
) -> String {
    let (governing, why) = (&verdict.governing, &verdict.worst.why);
    let spec = governing_text(governing, unit);
    let read_figure = read_figure(path, joint);
    if let Some(advice) = advice(why, governing) {
        return advice.text(&ending(governing, &spec, &read_figure));
    }
    let tighten = tighten(governing, &spec, &read_figure);
    match (why, verdict.state()) {
        (_, State::Sound) => String::new(),
        (Why::Found(finding), _) if joint.damaged().next().is_none() => {
            after_finding(*finding, joint.check).to_owned()
        }
        (Why::Found(finding), _) => format!("{}; {read_figure}", after_finding(*finding, joint.check)),
        (Why::Nothing | Why::NoTorque(_), _) => first_check(joint, item, &tighten),
        (Why::MakersDiffer { .. }, _) => {
            format!("ask for the part's own figure and {}", note_figure(path, &["--marking"]))
        }
        (Why::Measured { .. }, _) => "put it right or replace it, and measure again".to_owned(),
        (Why::TooMuch { read: true, .. }, _) => AFTER_TORQUE.to_owned(),
        (Why::TooMuch { .. }, _) => BEFORE_TORQUE.to_owned(),
        (Why::Losing(_), _) => {
            "it loses torque: look for cracks, clean, lock anew or renew, tighten, record --action re-locked"
                .to_owned()
        }
        (_, State::Due) if joint.check == Check::Torque => {
            match governing.limits.as_ref().and_then(Limits::low) {
                Some(_) => format!("check that it holds at the lower limit of {spec}, or {tighten}"),
                None => tighten,
            }
        }
        _ => "check it again and record it".to_owned(),
    }
}

/// What to do about a bolt of which a torque was read; as `check` says it.
fn advice(why: &Why, governing: &Governing) -> Option<Advice> {
    match why {
        Why::Tightened { label, lean, doubts, narrow, .. } => {
            let (doubtful, less) = (!doubts.is_empty(), governing.others_print_less);
            Advice::of_tightening((*label, *lean), *narrow, doubtful, less)
        }
        Why::Held { doubts, .. } => Advice::of_held(Some(true), false, !doubts.is_empty()),
        Why::HeldTooLow { .. } => Advice::of_held(Some(false), false, false),
        Why::HeldTooHigh { .. } => Advice::of_held(None, true, false),
        Why::HeldAgainstNothing { .. } => Advice::of_held(None, false, false),
        Why::Moved { .. } | Why::Loosened => Some(Advice::LookForCause),
        Why::NoFigure => Some(Advice::NoFigure),
        _ => None,
    }
}

fn ending(governing: &Governing, spec: &str, read_figure: &str) -> Ending {
    let to = match governing.limits.as_ref().map(Limits::spec) {
        _ if governing.parts_apart => Err(FIT_OTHER_PARTS.to_owned()),
        None => Err(format!("{read_figure}, then tighten to it and record it")),
        Some(limits) => Ok(recorded(limits, &well_to(limits, spec))),
    };
    Ending {
        here: to.clone(),
        to,
        of_specified: format!(" of {spec}"),
        figure: read_figure.to_owned(),
        less: governing.caveat.clone().unwrap_or_default(),
    }
}

/// How to tighten to what counts; nobody is told to where two parts leave no torque to tighten to, nor before the part was
/// read where somebody prints less than the band.
fn tighten(governing: &Governing, spec: &str, read_figure: &str) -> String {
    let spec = with_hardware(governing, spec);
    match governing.limits.as_ref().map(Limits::spec) {
        _ if governing.parts_apart => FIT_OTHER_PARTS.to_owned(),
        None => format!("{read_figure}, then tighten to it and record it"),
        Some(limits) => {
            let tighten = recorded(limits, &to(limits, &spec));
            let first = if governing.others_print_less {
                "read the part first; where nothing stands on it "
            } else {
                ""
            };
            format!("{first}tighten {tighten}")
        }
    }
}

/// A figure with the hardware that it is of, where it is that of an entry: another kind takes another torque. A thin one
/// says so in what stands behind it.
fn with_hardware(governing: &Governing, spec: &str) -> String {
    let is_thin = governing.caveat.as_ref().is_some_and(|caveat| governing.word.contains(caveat.as_str()));
    if governing.basis == FigureBasis::Band && !is_thin {
        let word = governing.word.split(';').next().unwrap_or_default();
        return format!("{spec} ({word})");
    }
    spec.to_owned()
}

/// That what was tightened is to be recorded.
fn recorded(spec: Spec, tighten: &str) -> String {
    let comma = if matches!(spec, Spec::Ceiling(_)) { "," } else { "" };
    format!("{tighten}{comma} and record it")
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
        Finding::Cracked | Finding::Seized | Finding::Bent | Finding::Broken => {
            "do not ride; hand it to a qualified mechanic; record the new part with --action replaced"
        }
        Finding::Worn | Finding::Cut => "replace it and record that with --action replaced",
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
