//! What is commonly given for a fastener where nothing counts: told, marked, and never judged or set by.

use serde_json::{Value, json};

use crate::book::Orientation;
use crate::quantity::{Spec, Torque, TorqueUnit};
use crate::report::Band;
use crate::report::figure::{significant_text, spec_text, trimmed};

/// What is to be done with it, wherever the hand is about to act.
const USE: &str = "expect about that on the part, do not set it";

/// What is commonly given, with who gives it, such as `often given 10–15 N·m (4 general sources, no maker's figure
/// read)`.
pub fn orientation_text(orientation: &Orientation, unit: TorqueUnit) -> String {
    let given = match (orientation.stretches.len(), orientation.voices()) {
        (1, 1) => "given",
        (1, _) => "often given",
        _ => "given as",
    };
    let read = if orientation.general {
        "no maker's figure read"
    } else {
        "no maker's figure for just this hardware"
    };
    format!("{given} {} ({}, {read})", stretches_text(orientation, unit), voices_text(orientation))
}

/// The same with what to do with it.
pub fn orientation_to_act(orientation: &Orientation, unit: TorqueUnit) -> String {
    format!("{}: {USE}", orientation_text(orientation, unit))
}

/// Whether a reading lies in what is commonly given; a remark, no verdict.
pub fn lies_text(orientation: &Orientation, torque: Torque, unit: TorqueUnit) -> String {
    let lies = if orientation.has(torque) { "lies in" } else { "does not lie in" };
    let read = trimmed(&significant_text(torque, unit, 3)).to_owned();
    format!("{read} {unit} {lies} what is {}; that is no verdict", orientation_text(orientation, unit))
}

/// The same for programs; the limits where it is one stretch.
pub fn orientation_json(orientation: &Orientation, unit: TorqueUnit) -> Value {
    let stretches: Vec<Band> = orientation.stretches.iter().copied().map(Band::of).collect();
    let one = if let [one] = stretches.as_slice() { Some(*one) } else { None };
    json!({
        "low_nm": one.and_then(|one| one.low_nm),
        "high_nm": one.and_then(|one| one.high_nm),
        "value_nm": one.and_then(|one| one.value_nm),
        "stretches": stretches,
        "voices": orientation.voices(),
        "backed": orientation.backed,
        "sources": orientation.sources,
        "memory": orientation.memory,
        "text": orientation_text(orientation, unit),
    })
}

fn stretches_text(orientation: &Orientation, unit: TorqueUnit) -> String {
    let text = |stretch: &Spec| spec_text(*stretch, orientation.resolution, unit);
    orientation.stretches.iter().map(text).collect::<Vec<_>>().join(" or ")
}

/// Who gives it: memory is one voice among the documents.
fn voices_text(orientation: &Orientation) -> String {
    let (voices, kind) = (orientation.voices(), if orientation.general { "general " } else { "" });
    let sources = match orientation.sources.len() {
        0 => return "from memory alone".to_owned(),
        1 => format!("1 {kind}source"),
        n => format!("{n} {kind}sources"),
    };
    let memory = if orientation.memory { " and memory" } else { "" };
    let meet = match (orientation.stretches.len(), orientation.backed) {
        (1, backed) if backed < voices => format!(", {backed} of the {voices} meet"),
        (1, _) => String::new(),
        (_, 1) => " that do not meet".to_owned(),
        (_, backed) => format!(", {backed} of the {voices} meet in each"),
    };
    format!("{sources}{memory}{meet}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Resolution, newton_metres as nm};

    fn orientation(
        stretches: &[Spec],
        backed: usize,
        sources: usize,
        memory: bool,
        general: bool,
    ) -> Orientation {
        Orientation {
            stretches: stretches.to_vec(),
            resolution: Resolution(nm(1.0)),
            backed,
            sources: (0..sources).map(|number| format!("article-{number}")).collect(),
            memory,
            general,
        }
    }

    #[test]
    fn what_is_given_is_told_with_who_gives_it() {
        let (range, set) = (Spec::range_nm(10.0, 15.0), Spec::Set(nm(17.0)));
        let text = |orientation: Orientation| orientation_text(&orientation, TorqueUnit::NewtonMetre);
        for (said, told) in [
            (
                orientation(&[range], 4, 4, false, true),
                "often given 10–15 N·m (4 general sources, no maker's figure read)",
            ),
            (
                orientation(&[set], 1, 0, true, true),
                "given 17 N·m (from memory alone, no maker's figure read)",
            ),
            (
                orientation(&[range], 3, 3, true, true),
                "often given 10–15 N·m (3 general sources and memory, 3 of the 4 meet, no maker's figure read)",
            ),
            (
                orientation(&[range, set], 1, 2, false, false),
                "given as 10–15 N·m or 17 N·m (2 sources that do not meet, no maker's figure for just this hardware)",
            ),
            (
                orientation(&[range, set], 2, 3, true, true),
                "given as 10–15 N·m or 17 N·m (3 general sources and memory, 2 of the 4 meet in each, no maker's \
                 figure read)",
            ),
            (
                orientation(&[range], 1, 1, false, false),
                "given 10–15 N·m (1 source, no maker's figure for just this hardware)",
            ),
        ] {
            assert_eq!(text(said), told);
        }
    }

    #[test]
    fn a_reading_is_held_against_it_without_a_verdict() {
        let given = orientation(&[Spec::range_nm(10.0, 15.0)], 2, 2, false, true);
        let lies = |torque| lies_text(&given, nm(torque), TorqueUnit::NewtonMetre);
        assert!(lies(10.0).starts_with("10 N·m lies in what is often given 10–15 N·m"), "{}", lies(10.0));
        assert!(lies(15.2).starts_with("15.2 N·m does not lie in what is often given"), "{}", lies(15.2));
        assert!(lies(12.5).ends_with("; that is no verdict"));
    }
}
