//! One published value: what it says, who says it, and whether it counts towards the band.

use std::sync::Arc;

use serde::Serialize;

use super::field;
use super::sheet::{Row, Sheet};
use super::{Claim, Diagnostics, Source};
use crate::quantity::{Resolution, Spec, Stated, in_newton_metres, newton_metres, parse_spec};

/// `specs/evidence.csv`.
pub static EVIDENCE: Sheet = Sheet {
    name: "evidence",
    columns: &[
        "entry",
        "variant",
        "form",
        "low_nm",
        "high_nm",
        "printed_value",
        "printed_unit",
        "condition",
        "material",
        "source",
        "locator",
        "grade",
        "not_counted",
    ],
    sort_key: |row| {
        ["entry", "source", "printed_value", "variant", "locator"]
            .map(|column| row.text(column).to_owned())
            .to_vec()
    },
};

/// How a figure was come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Read in the issuer's own document.
    Published,
    /// Read in a regulation.
    Regulation,
    /// Read off a part.
    Marking,
    /// A named maker's document quoted by someone else.
    Secondhand,
    /// A rule of the trade without a document.
    CommonPractice,
    /// Recalled, no document opened.
    Memory,
}

impl Grade {
    /// True for the grades that can make an entry agreed.
    #[must_use]
    pub fn is_first_kind(self) -> bool {
        matches!(self, Grade::Published | Grade::Regulation | Grade::Marking)
    }

    /// True for the grades that count in the sweep.
    #[must_use]
    pub fn counts(self) -> bool {
        self.is_first_kind() || self == Grade::Secondhand
    }

    /// The word used in the sheets and on screen.
    #[must_use]
    pub fn word(self) -> &'static str {
        GRADES.iter().find(|(_, grade)| *grade == self).map_or("", |(word, _)| word)
    }
}

pub(super) const GRADES: &[(&str, Grade)] = &[
    ("published", Grade::Published),
    ("regulation", Grade::Regulation),
    ("marking", Grade::Marking),
    ("secondhand", Grade::Secondhand),
    ("common-practice", Grade::CommonPractice),
    ("memory", Grade::Memory),
];
const FORMS: &[(&str, Form)] =
    &[("range", Form::Range), ("set", Form::Set), ("max", Form::Max), ("min", Form::Min)];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
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
    /// The hardware as the source names it.
    pub variant: String,
    /// The specified torque and the digits it came with.
    pub stated: Stated,
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
    /// How it was come by.
    pub grade: Grade,
    /// Why it does not count towards the band; empty where nothing speaks against it.
    pub not_counted: String,
}

impl Evidence {
    /// Evidence from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, source: Arc<Source>, diagnostics: &mut Diagnostics) -> Option<Evidence> {
        let (grade, stated) = graded(row, diagnostics)?;
        let text = |column| row.text(column).to_owned();
        Some(Evidence {
            entry: text("entry"),
            variant: text("variant"),
            stated,
            printed_value: text("printed_value"),
            printed_unit: text("printed_unit"),
            condition: text("condition"),
            material: text("material"),
            source,
            locator: text("locator"),
            grade,
            not_counted: text("not_counted"),
        })
    }

    /// Why the value does not count, or nothing when it does.
    #[must_use]
    pub fn reason(&self) -> String {
        if !self.not_counted.is_empty() {
            return self.not_counted.clone();
        }
        match self.grade {
            Grade::CommonPractice => "common practice: shown, never counted".to_owned(),
            Grade::Memory => "from memory: shown, never counted".to_owned(),
            _ => String::new(),
        }
    }
}

impl Claim for Evidence {
    fn issuer(&self) -> &str {
        &self.source.issuer
    }

    fn stated(&self) -> &Stated {
        &self.stated
    }

    fn grade(&self) -> Grade {
        self.grade
    }

    fn counted(&self) -> bool {
        counts(self.grade, &self.not_counted)
    }
}

/// Whether a value counts towards the band (rules 1 and 6 of design §4), given how it was come by and what
/// speaks against it.
pub(super) fn counts(grade: Grade, not_counted: &str) -> bool {
    grade.counts() && not_counted.is_empty()
}

/// How the figure of a row was come by, and the specified torque.
pub(super) fn graded(row: &Row, diagnostics: &mut Diagnostics) -> Option<(Grade, Stated)> {
    let grade = field::one_of(row.cell("grade"), "grade", GRADES, diagnostics)?;
    let form = field::one_of(row.cell("form"), "form", FORMS, diagnostics)?;
    Some((grade, stated(row, form, grade, diagnostics)?))
}

/// The specified torque of a row: as printed where it was printed, else as the sheet has it.
fn stated(row: &Row, form: Form, grade: Grade, diagnostics: &mut Diagnostics) -> Option<Stated> {
    let low = end_of(row, "low_nm", diagnostics).ok()?;
    let high = end_of(row, "high_nm", diagnostics).ok()?;
    let sheet = spec_of(row, form, low, high, diagnostics)?;
    if row.text("printed_value").is_empty() {
        if grade != Grade::Memory {
            diagnostics.error(
                &row.cell("printed_value").at,
                "a value that was read has no printed form",
                "give printed_value and printed_unit as the source prints them",
            );
        }
        return Some(Stated {
            spec: sheet,
            unit: crate::quantity::TorqueUnit::NewtonMetre,
            resolution: Resolution(newton_metres(0.1)),
            unit_given: true,
        });
    }
    let printed = printed(row, diagnostics)?;
    let spec = take_form(row, printed.spec, form, diagnostics)?;
    let differs = |ours: Option<_>, theirs: Option<_>| match (ours, theirs) {
        (Some(a), Some(b)) => (in_newton_metres(a) - in_newton_metres(b)).abs() > PRINTED_SLACK_NM,
        (None, None) => false,
        _ => true,
    };
    let ((low, high), (printed_low, printed_high)) = (ends(sheet), ends(spec));
    for (column, ours, theirs) in [("low_nm", low, printed_low), ("high_nm", high, printed_high)] {
        if differs(ours, theirs) {
            let right = theirs.map_or_else(|| "empty".to_owned(), |t| format!("{:.3}", in_newton_metres(t)));
            diagnostics.error(
                &row.cell(column).at,
                format!(
                    "{column} `{}` disagrees with the printed value `{} {}`",
                    row.text(column),
                    row.text("printed_value"),
                    row.text("printed_unit")
                ),
                format!("by the printed value it is {right}"),
            );
            return None;
        }
    }
    Some(Stated { spec, ..printed })
}

/// The torques a form names, without the allowance of a set value.
fn ends(spec: Spec) -> (Option<crate::quantity::Torque>, Option<crate::quantity::Torque>) {
    match spec {
        Spec::Set(value) => (Some(value), Some(value)),
        other => other.limits(),
    }
}

/// An end in N·m, none where the cell is empty; the outer `Err` stands for a diagnostic made.
fn end_of(row: &Row, column: &str, diagnostics: &mut Diagnostics) -> Result<Option<f64>, ()> {
    let cell = row.cell(column);
    if cell.text.is_empty() {
        return Ok(None);
    }
    match cell.text.parse() {
        Ok(value) if f64::is_finite(value) && value > 0.0 => Ok(Some(value)),
        _ => {
            diagnostics.error(
                &cell.at,
                format!("{column} `{}` is not a torque", cell.text),
                "write N·m with three decimals, such as 4.971",
            );
            Err(())
        }
    }
}

/// The form that `low_nm` and `high_nm` must have.
fn spec_of(
    row: &Row,
    form: Form,
    low: Option<f64>,
    high: Option<f64>,
    diagnostics: &mut Diagnostics,
) -> Option<Spec> {
    let spec = match (form, low, high) {
        (Form::Range, Some(low), Some(high)) if low < high => Some(Spec::range_nm(low, high)),
        (Form::Set, Some(low), Some(high)) if (low - high).abs() < f64::EPSILON => {
            Some(Spec::Set(newton_metres(low)))
        }
        (Form::Max, None, Some(high)) => Some(Spec::Ceiling(newton_metres(high))),
        (Form::Min, Some(low), None) => Some(Spec::Floor(newton_metres(low))),
        _ => None,
    };
    if spec.is_none() {
        let (message, fix) = match (form, low, high) {
            (Form::Range, Some(a), Some(b)) if a > b => {
                (format!("low_nm {a} is above high_nm {b}"), "swap them")
            }
            (Form::Range, ..) => {
                ("a range needs two different ends".to_owned(), "or make it form set, max or min")
            }
            (Form::Set, ..) => ("a set value needs low_nm equal to high_nm".to_owned(), "or make it a range"),
            (Form::Max, ..) => ("a max has high_nm only".to_owned(), "leave low_nm empty"),
            (Form::Min, ..) => ("a min has low_nm only".to_owned(), "leave high_nm empty"),
        };
        diagnostics.error(&row.cell("low_nm").at, message, fix);
    }
    spec
}

fn printed(row: &Row, diagnostics: &mut Diagnostics) -> Option<Stated> {
    let text = format!("{} {}", row.text("printed_value"), row.text("printed_unit"));
    match parse_spec(&text) {
        Ok(stated) if stated.unit_given => Some(stated),
        Ok(_) => {
            diagnostics.error(
                &row.cell("printed_unit").at,
                "the printed value has no unit",
                "give the unit as the source prints it",
            );
            None
        }
        Err(error) => {
            diagnostics.error(&row.cell("printed_value").at, error.to_string(), error.hint());
            None
        }
    }
}

/// A number printed alone may be meant as a ceiling or floor by the words around it.
fn take_form(row: &Row, printed: Spec, form: Form, diagnostics: &mut Diagnostics) -> Option<Spec> {
    match (printed, form) {
        (Spec::Range { .. }, Form::Range)
        | (Spec::Set(_), Form::Set)
        | (Spec::Ceiling(_), Form::Max)
        | (Spec::Floor(_), Form::Min) => Some(printed),
        (Spec::Set(value), Form::Max) => Some(Spec::Ceiling(value)),
        (Spec::Set(value), Form::Min) => Some(Spec::Floor(value)),
        _ => {
            diagnostics.error(
                &row.cell("form").at,
                format!(
                    "form `{}` does not fit the printed value `{}`",
                    row.text("form"),
                    row.text("printed_value")
                ),
                format!("the printed value is a {}", printed.form()),
            );
            None
        }
    }
}
