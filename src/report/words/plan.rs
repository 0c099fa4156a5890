//! Remarks on a plan, in whole sentences.

use uom::si::f64::Ratio;
use uom::si::ratio::percent;

use crate::sequence::Note;

pub fn note_text(note: &Note) -> String {
    match note {
        Note::RepeatingDoesNotHelp => {
            "Tightening one bolt of this joint loads the others, so repeating a pass takes nothing out; only small \
             last steps keep the loads even."
                .to_owned()
        }
        Note::MayBeGain => {
            "If tightening one bolt loads the others here, repeating a pass takes nothing out; then make the last \
             steps small."
                .to_owned()
        }
        Note::FinerLadder(ladder) => format!(
            "Steps of {ladder} %: with larger ones a bolt could lose all its load and the gap open again."
        ),
        Note::OneSetting(fallen) => one_setting(fallen),
        Note::ByHandFirst => {
            "The scale begins above the first pass: bring the bolts up by hand, crosswise, until every head touches."
                .to_owned()
        }
        Note::GapMayOpen => {
            "In a joint this soft a bolt may lose all its load on the way: close the gap evenly by hand first and \
             watch it."
                .to_owned()
        }
        Note::NotWithin { spread, full_passes } => {
            let passes = match full_passes {
                1 => "one full-torque pass leaves".to_owned(),
                passes => format!("{passes} full-torque passes leave"),
            };
            format!("The spread asked for is not reached: {passes} {:.1} %.", spread.get::<percent>())
        }
        Note::HighLossNeeds(Some(passes)) => format!(
            "If the joint gives way as much as is likely at most, it takes {passes} full-torque passes."
        ),
        Note::HighLossNeeds(None) => {
            "If the joint gives way as much as is likely at most, the spread asked for is not reached.".to_owned()
        }
        Note::WithinBreakAway(break_away) => format!(
            "A bolt that has lost up to {:.0} % may stick and not turn, so a click without movement does not prove \
             the spread asked for.",
            break_away.get::<percent>()
        ),
    }
}

/// That lower passes fall away on a coarse scale.
fn one_setting(fallen: &[Ratio]) -> String {
    let levels: Vec<String> = fallen.iter().map(|level| format!("{:.0} %", level.get::<percent>())).collect();
    let steps = if levels.len() == 1 { "a step of" } else { "steps of" };
    format!(
        "The scale is too coarse for {steps} {}: the next setting up hardly differs, so the lower pass is left out.",
        levels.join(" and ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::ratio::ratio;

    fn part(share: f64) -> Ratio {
        Ratio::new::<ratio>(share)
    }

    /// Whole sentences, each with what it is about.
    #[test]
    fn notes_are_sentences() {
        for (note, about) in [
            (Note::RepeatingDoesNotHelp, "loads the others, so repeating a pass takes nothing out"),
            (Note::MayBeGain, "If tightening one bolt loads the others"),
            (Note::FinerLadder("30/60/100".parse().unwrap()), "Steps of 30/60/100 %:"),
            (Note::ByHandFirst, "by hand, crosswise, until every head touches"),
            (Note::GapMayOpen, "close the gap evenly by hand first"),
            (Note::OneSetting(vec![part(0.3)]), "too coarse for a step of 30 %:"),
            (Note::OneSetting(vec![part(0.3), part(0.6)]), "too coarse for steps of 30 % and 60 %:"),
            (Note::NotWithin { spread: part(0.0914), full_passes: 1 }, "one full-torque pass leaves 9.1 %."),
            (Note::NotWithin { spread: part(0.2), full_passes: 3 }, "3 full-torque passes leave 20.0 %."),
            (Note::HighLossNeeds(Some(3)), "at most, it takes 3 full-torque passes."),
            (Note::HighLossNeeds(None), "at most, the spread asked for is not reached."),
            (Note::WithinBreakAway(part(0.1)), "has lost up to 10 % may stick and not turn"),
        ] {
            let text = note_text(&note);
            assert!(text.contains(about) && text.ends_with('.') && !text.contains("  "), "{text}");
        }
    }
}
