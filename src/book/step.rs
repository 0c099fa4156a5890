//! A joint procedure: what to do before, while and after tightening, step by step, with its source.

use serde::Serialize;

use super::Diagnostics;
use super::field;
use super::sheet::{Row, Sheet};

/// `specs/steps.csv`.
pub static STEPS: Sheet = Sheet {
    name: "steps",
    columns: &["procedure", "phase", "step", "text", "source"],
    sort_key: |row| {
        let rank = PHASES.iter().position(|(word, _)| *word == row.text("phase")).unwrap_or(PHASES.len());
        vec![row.text("procedure").to_owned(), rank.to_string(), format!("{:>5}", row.text("step"))]
    },
};

/// Source of a step that is common practice of the trade.
pub const COMMON_PRACTICE: &str = "common-practice";

/// When a step is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Phase {
    /// Cleaning, grease, paste, the right parts.
    Prepare,
    /// What must be loose or set first.
    Before,
    /// What follows once the joint that is needed first is set, before the bolts are tightened.
    Next,
    /// What to watch while tightening.
    During,
    /// Verification by function, and when to look again.
    After,
    /// What can hurt.
    Caution,
}

const PHASES: &[(&str, Phase)] = &[
    ("prepare", Phase::Prepare),
    ("before", Phase::Before),
    ("next", Phase::Next),
    ("during", Phase::During),
    ("after", Phase::After),
    ("caution", Phase::Caution),
];

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
    /// A step from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<Step> {
        field::key(row.cell("procedure"), diagnostics)?;
        let phase = field::one_of(row.cell("phase"), "phase", PHASES, diagnostics)?;
        field::not_empty(row.cell("text"), "text", diagnostics)?;
        let cell = row.cell("step");
        let Some(step) = cell.text.parse().ok().filter(|step| *step > 0) else {
            diagnostics.error(&cell.at, format!("`{}` is not a step number", cell.text), "count from 1");
            return None;
        };
        let text = |column| row.text(column).to_owned();
        Some(Step { procedure: text("procedure"), phase, step, text: text("text"), source: text("source") })
    }
}
