//! One published value: what it says, who says it, and whether it counts towards the band.

use std::sync::Arc;

use serde::Serialize;

use super::sheet::{Cell, Fields, sheet};
use super::{Claim, ClaimCells, Source, Speaker};
use crate::quantity::{
    Resolution, Spec, Stated, Torque, TorqueUnit, in_newton_metres, newton_metres, parse_spec,
};
use crate::words::words;

sheet! {
    /// `specs/evidence.csv`.
    pub static EVIDENCE: EvidenceCells = "evidence" {
        entry, variant, form, low_nm, high_nm, printed_value, printed_unit, condition, material, source, locator,
        grade, not_counted,
    }
    sorted by |cells| {
        let key = [cells.entry, cells.source, cells.printed_value, cells.variant, cells.locator];
        key.map(|cell| cell.owned()).to_vec()
    }
}

words! {
    /// How a figure was come by.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Grade: word {
        /// Read in the issuer's own document.
        Published = "published",
        /// Read in a regulation.
        Regulation = "regulation",
        /// Read off a part.
        Marking = "marking",
        /// A named maker's document quoted by someone else.
        Secondhand = "secondhand",
        /// A rule of the trade without a document.
        CommonPractice = "common-practice",
        /// Recalled, no document opened.
        Memory = "memory",
    }
}

impl Grade {
    /// True for the grades that can make an entry agreed.
    pub(crate) fn is_first_kind(self) -> bool {
        matches!(self, Grade::Published | Grade::Regulation | Grade::Marking)
    }

    /// True for the grades that count in the sweep.
    pub(crate) fn counts(self) -> bool {
        self.is_first_kind() || self == Grade::Secondhand
    }
}

const FORMS: &[(&str, FigureForm)] = &[
    ("range", FigureForm::Range),
    ("set", FigureForm::Set),
    ("max", FigureForm::Max),
    ("min", FigureForm::Min),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FigureForm {
    Range,
    Set,
    Max,
    Min,
}

/// Largest difference in N·m between `low_nm`, `high_nm` and the printed value converted: the
/// three decimals of the sheet, and one unit of the last one for a figure that was cut.
const PRINTED_SLACK_NM: f64 = 0.0011;

/// One published value for an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The entry it speaks of.
    pub entry: String,
    /// What it says towards the band.
    pub claim: Claim,
    /// As printed; empty where it was recalled.
    pub printed_value: String,
    /// As printed; empty where it was recalled.
    pub printed_unit: String,
    /// State of the thread, as stated: greased, dry, threadlocker …
    pub condition: String,
    /// Material, as stated.
    pub material: String,
    /// Where it was read; many rows share one.
    pub source: Arc<Source>,
    /// Place in the source.
    pub locator: String,
    /// Why it does not count towards the band; empty where nothing speaks against it.
    pub not_counted: String,
    /// Its number among the workshop's own figures; none for a row of the book.
    pub own: Option<i64>,
}

/// How a reason in `not_counted` begins where the row still speaks of tightening this hardware, or hardware not told
/// apart from it.
const ORIENTS: &str = "orients: ";

/// Why a row does not count, and whether it orients nevertheless.
fn reason_of(not_counted: Cell<'_>) -> (&str, bool) {
    match not_counted.text.strip_prefix(ORIENTS) {
        Some(reason) => (reason, true),
        None => (not_counted.text, not_counted.text.is_empty()),
    }
}

impl Evidence {
    pub(crate) fn from_cells(
        cells: &EvidenceCells<'_>,
        source: Arc<Source>,
        fields: &mut Fields<'_>,
    ) -> Option<Evidence> {
        let claim = ClaimCells {
            entry: cells.entry,
            variant: cells.variant,
            form: cells.form,
            low_nm: cells.low_nm,
            high_nm: cells.high_nm,
            printed_value: cells.printed_value,
            printed_unit: cells.printed_unit,
            source: cells.source,
            grade: cells.grade,
            not_counted: cells.not_counted,
        };
        let claim = claim.claim(Arc::new(source.speaker()), fields)?;
        Some(Evidence {
            entry: cells.entry.owned(),
            claim,
            printed_value: cells.printed_value.owned(),
            printed_unit: cells.printed_unit.owned(),
            condition: cells.condition.owned(),
            material: cells.material.owned(),
            source,
            locator: cells.locator.owned(),
            not_counted: reason_of(cells.not_counted).0.to_owned(),
            own: None,
        })
    }

    /// Why the value does not count, or nothing when it does.
    #[must_use]
    pub fn reason(&self) -> String {
        if !self.not_counted.is_empty() {
            return self.not_counted.clone();
        }
        match self.claim.grade {
            Grade::CommonPractice => "common practice: shown, never counted".to_owned(),
            Grade::Memory => "from memory: shown, never counted".to_owned(),
            _ => String::new(),
        }
    }
}

impl AsRef<Claim> for Evidence {
    fn as_ref(&self) -> &Claim {
        &self.claim
    }
}

impl ClaimCells<'_> {
    /// What the row says towards the band; it counts by how it was come by, where nothing speaks against it.
    pub(crate) fn claim(&self, speaker: Arc<Speaker>, fields: &mut Fields<'_>) -> Option<Claim> {
        let grade = fields.choice(self.grade, Grade::WORDS)?;
        let form = fields.choice(self.form, FORMS)?;
        let stated = self.stated(form, grade, fields)?;
        let counted = grade.counts() && self.not_counted.text.is_empty();
        let orients = !counted && reason_of(self.not_counted).1;
        Some(Claim { speaker, variant: self.variant.owned(), stated, grade, counted, own: false, orients })
    }

    /// The specified torque: as printed where it was printed, else as the sheet has it.
    fn stated(&self, form: FigureForm, grade: Grade, fields: &mut Fields<'_>) -> Option<Stated> {
        let low = end_of(self.low_nm, fields).ok()?;
        let high = end_of(self.high_nm, fields).ok()?;
        let sheet = self.spec_of(form, low, high, fields)?;
        if self.printed_value.text.is_empty() {
            if grade != Grade::Memory {
                fields.report(
                    self.printed_value,
                    "a value that was read has no printed form",
                    "give printed_value and printed_unit as the source prints them",
                );
            }
            return Some(Stated {
                spec: sheet,
                unit: TorqueUnit::NewtonMetre,
                resolution: recalled_resolution(low, high),
                unit_given: true,
            });
        }
        let printed = self.printed(fields)?;
        let spec = self.take_form(printed.spec, form, fields)?;
        let ((low, high), (printed_low, printed_high)) = (ends(sheet), ends(spec));
        for (cell, ours, theirs) in [(self.low_nm, low, printed_low), (self.high_nm, high, printed_high)] {
            if differs(ours, theirs) {
                let right =
                    theirs.map_or_else(|| "empty".to_owned(), |t| format!("{:.3}", in_newton_metres(t)));
                let message = format!(
                    "{} `{}` disagrees with the printed value `{} {}`",
                    cell.column, cell.text, self.printed_value.text, self.printed_unit.text
                );
                fields.report(cell, message, format!("by the printed value it is {right}"));
                return None;
            }
        }
        Some(Stated { spec, ..printed })
    }

    /// The form that `low_nm` and `high_nm` must have.
    fn spec_of(
        &self,
        form: FigureForm,
        low: Option<f64>,
        high: Option<f64>,
        fields: &mut Fields<'_>,
    ) -> Option<Spec> {
        let (message, fix) = match (form, low, high) {
            (FigureForm::Range, Some(low), Some(high)) if low < high => {
                return Some(Spec::range_nm(low, high));
            }
            (FigureForm::Set, Some(low), Some(high)) if (low - high).abs() < f64::EPSILON => {
                return Some(Spec::Set(newton_metres(low)));
            }
            (FigureForm::Max, None, Some(high)) => return Some(Spec::Ceiling(newton_metres(high))),
            (FigureForm::Min, Some(low), None) => return Some(Spec::Floor(newton_metres(low))),
            (FigureForm::Range, Some(a), Some(b)) if a > b => {
                (format!("low_nm {a} is above high_nm {b}"), "swap them")
            }
            (FigureForm::Range, ..) => {
                ("a range needs two different ends".to_owned(), "or make it form set, max or min")
            }
            (FigureForm::Set, ..) => {
                ("a set value needs low_nm equal to high_nm".to_owned(), "or make it a range")
            }
            (FigureForm::Max, ..) => ("a max has high_nm only".to_owned(), "leave low_nm empty"),
            (FigureForm::Min, ..) => ("a min has low_nm only".to_owned(), "leave high_nm empty"),
        };
        fields.report(self.low_nm, message, fix);
        None
    }

    fn printed(&self, fields: &mut Fields<'_>) -> Option<Stated> {
        match parse_spec(&format!("{} {}", self.printed_value.text, self.printed_unit.text)) {
            Ok(stated) if stated.unit_given => return Some(stated),
            Ok(_) => {
                let fix = "give the unit as the source prints it";
                fields.report(self.printed_unit, "the printed value has no unit", fix);
            }
            Err(error) => fields.report(self.printed_value, error.to_string(), error.hint()),
        }
        None
    }

    /// A number printed alone may be meant as a ceiling or floor by the words around it.
    fn take_form(&self, printed: Spec, form: FigureForm, fields: &mut Fields<'_>) -> Option<Spec> {
        match (printed, form) {
            _ if printed.form() == self.form.text => Some(printed),
            (Spec::Set(value), FigureForm::Max) => Some(Spec::Ceiling(value)),
            (Spec::Set(value), FigureForm::Min) => Some(Spec::Floor(value)),
            _ => {
                let message = format!(
                    "form `{}` does not fit the printed value `{}`",
                    self.form.text, self.printed_value.text
                );
                fields.report(self.form, message, format!("the printed value is a {}", printed.form()));
                None
            }
        }
    }
}

/// What was recalled in whole newton metres is told in whole ones.
fn recalled_resolution(low: Option<f64>, high: Option<f64>) -> Resolution {
    let whole = [low, high].into_iter().flatten().all(|end| end.fract() == 0.0);
    Resolution(newton_metres(if whole { 1.0 } else { 0.1 }))
}

fn differs(ours: Option<Torque>, theirs: Option<Torque>) -> bool {
    match (ours, theirs) {
        (Some(a), Some(b)) => (in_newton_metres(a) - in_newton_metres(b)).abs() > PRINTED_SLACK_NM,
        (None, None) => false,
        _ => true,
    }
}

/// The torques a form names, without the allowance of a set value.
fn ends(spec: Spec) -> (Option<Torque>, Option<Torque>) {
    match spec {
        Spec::Set(value) => (Some(value), Some(value)),
        other => other.limits(),
    }
}

/// An end in N·m, none where the cell is empty; the outer `Err` stands for a diagnostic made.
fn end_of(cell: Cell<'_>, fields: &mut Fields<'_>) -> Result<Option<f64>, ()> {
    if cell.text.is_empty() {
        return Ok(None);
    }
    let fits = |value: &f64| value.is_finite() && *value > 0.0;
    let fix = "write N·m with three decimals, such as 4.971";
    fields.parsed(cell, cell.text, fits, ("a torque", fix)).map(Some).ok_or(())
}
