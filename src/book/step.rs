//! A joint procedure: what to do before, while and after tightening, step by step, with its source.

use serde::Serialize;

use super::sheet::{Fields, sheet};
use crate::words::words;

sheet! {
    /// `specs/steps.csv`.
    pub static STEPS: StepCells = "steps" { procedure, phase, step, text, source }
    sorted by |cells| {
        let phases = Phase::WORDS;
        let rank = phases.iter().position(|(word, _)| *word == cells.phase.text).unwrap_or(phases.len());
        vec![cells.procedure.owned(), rank.to_string(), format!("{:>5}", cells.step.text)]
    }
}

/// Source of a step that is common practice of the trade.
pub const COMMON_PRACTICE: &str = "common-practice";

words! {
    /// When a step is done.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
    #[serde(rename_all = "lowercase")]
    pub enum Phase: word {
        /// Cleaning, grease, paste, the right parts.
        Prepare = "prepare",
        /// What must be loose or set first.
        Before = "before",
        /// What follows once the joint that is needed first is set, before the bolts are tightened.
        Next = "next",
        /// What to watch while tightening.
        During = "during",
        /// Verification by function, and when to look again.
        After = "after",
        /// What can hurt.
        Caution = "caution",
    }
}

/// One step of a joint procedure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Step {
    /// Key of the procedure.
    pub procedure: String,
    /// When it is done.
    pub phase: Phase,
    /// Its number within the phase, from 1.
    pub step: u16,
    /// What to do.
    pub text: String,
    /// Key of the source, or [`COMMON_PRACTICE`].
    pub source: String,
}

impl Step {
    pub(crate) fn from_cells(cells: &StepCells<'_>, fields: &mut Fields<'_>) -> Option<Step> {
        let (procedure, text) = (fields.key(cells.procedure), fields.filled(cells.text));
        let phase = fields.choice(cells.phase, Phase::WORDS);
        let step = cells.step.text.parse().ok().filter(|step| *step > 0);
        if step.is_none() {
            fields.report(cells.step, format!("`{}` is not a step number", cells.step.text), "count from 1");
        }
        Some(Step { procedure, phase: phase?, step: step?, text, source: cells.source.owned() })
    }
}
