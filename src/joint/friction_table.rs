//! The rows of `specs/friction.csv`: VDI 2230 classes, the band of each condition, published nut
//! factors and published changes of torque.

use std::collections::HashSet;

use super::JointError;
use super::condition::{CONDITIONS, Condition, PublishedNutFactor, TorqueChange};
use super::friction::{Friction, FrictionBand, FrictionCoefficient};
use super::property_class::{FAMILIES, MaterialFamily};
use super::table::{Fields, Provenance, read};
use super::units::{Band, ratio_of};
use crate::sheet::{Diagnostics, Place, Row, Sheet};

/// A friction class of VDI 2230 Part 1 Table A5.
#[derive(Debug, Clone, PartialEq)]
pub struct FrictionClass {
    /// `A` to `E`.
    pub name: String,
    /// The least coefficient of the class.
    pub low: FrictionCoefficient,
    /// The greatest; `None` for class E, which has no upper end.
    pub high: Option<FrictionCoefficient>,
    /// The surfaces and lubricants it covers.
    pub covers: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

/// The band of a condition, for one family of materials or for any.
#[derive(Debug, Clone, PartialEq)]
struct ConditionBand {
    condition: Condition,
    family: Option<MaterialFamily>,
    band: FrictionBand,
    note: String,
    provenance: Provenance,
}

/// One row of any kind.
enum FrictionRow {
    Class(FrictionClass),
    Condition(ConditionBand),
    NutFactor(PublishedNutFactor),
    Change(TorqueChange),
}

/// The friction table, sorted by kind of row.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct FrictionTable {
    pub(super) classes: Vec<FrictionClass>,
    conditions: Vec<ConditionBand>,
    pub(super) nut_factors: Vec<PublishedNutFactor>,
    pub(super) changes: Vec<TorqueChange>,
}

impl FrictionTable {
    /// The band of a condition for a bolt of `family`; a row for the family goes before one for any.
    pub(super) fn of(&self, condition: Condition, family: MaterialFamily) -> Result<Friction, JointError> {
        let row = |family| self.conditions.iter().find(|r| r.condition == condition && r.family == family);
        let found = row(Some(family)).or_else(|| row(None)).ok_or_else(|| JointError::Unknown {
            what: "friction",
            text: condition.name().to_owned(),
            nearest: Vec::new(),
        })?;
        Ok(Friction {
            band: found.band,
            condition: Some(condition),
            provenance: Some(found.provenance.clone()),
            note: found.note.clone(),
        })
    }
}

/// Kinds of row, as spelled in the table.
#[derive(Clone, Copy)]
enum Kind {
    Class,
    Condition,
    NutFactor,
    Change,
}

const KINDS: &[(&str, Kind)] = &[
    ("class", Kind::Class),
    ("condition", Kind::Condition),
    ("nut-factor", Kind::NutFactor),
    ("torque-change", Kind::Change),
];
/// `specs/friction.csv`.
pub static FRICTION: Sheet = Sheet {
    name: "friction",
    columns: &[
        "kind",
        "name",
        "material",
        "from_condition",
        "condition",
        "low",
        "high",
        "unit",
        "note",
        "source",
        "grade",
    ],
    sort_key: Row::all_texts,
};

/// Reads the friction table; each condition needs a row that serves any material.
pub(super) fn read_friction(rows: &[Row], diagnostics: &mut Diagnostics) -> FrictionTable {
    let mut seen = HashSet::new();
    let mut found = Diagnostics::default();
    let rows = read(rows, &mut found, |row| match row.choice("kind", KINDS)? {
        Kind::Class => read_class(row).map(FrictionRow::Class),
        Kind::Condition => read_condition(row, &mut seen).map(FrictionRow::Condition),
        Kind::NutFactor => read_nut_factor(row).map(FrictionRow::NutFactor),
        Kind::Change => read_change(row).map(FrictionRow::Change),
    });
    let mut table = FrictionTable::default();
    for row in rows {
        match row {
            FrictionRow::Class(class) => table.classes.push(class),
            FrictionRow::Condition(band) => table.conditions.push(band),
            FrictionRow::NutFactor(factor) => table.nut_factors.push(factor),
            FrictionRow::Change(change) => table.changes.push(change),
        }
    }
    // A faulty row may be the one that is missing.
    if !found.has_errors() {
        report_missing_conditions(&table, &mut found);
    }
    diagnostics.extend(found);
    table
}

fn report_missing_conditions(table: &FrictionTable, diagnostics: &mut Diagnostics) {
    let at = Place { sheet: FRICTION.name, line: 1, column: 1 };
    for (name, condition) in CONDITIONS {
        if !table.conditions.iter().any(|row| row.condition == *condition && row.family.is_none()) {
            let message = format!("no row gives the friction of `{name}` for any material");
            diagnostics.error(&at, message, "add one with material `any`");
        }
    }
}

fn read_class(row: &mut Fields<'_>) -> Option<FrictionClass> {
    check_unit(row, "mu");
    let name = row.required("name");
    let low = coefficient(row, "low");
    let high = if row.text("high").is_empty() { Some(None) } else { coefficient(row, "high").map(Some) };
    let provenance = row.provenance();
    if high.flatten().is_some() {
        row.ends()?;
    }
    Some(FrictionClass {
        name: name?,
        low: low?,
        high: high?,
        covers: row.text("note"),
        provenance: provenance?,
    })
}

fn read_condition(row: &mut Fields<'_>, seen: &mut HashSet<String>) -> Option<ConditionBand> {
    check_unit(row, "mu");
    let key = format!("{} on {}", row.text("condition"), row.text("material"));
    row.once(seen, "condition", &key);
    let condition = row.choice("condition", CONDITIONS);
    let family =
        if row.text("material") == "any" { Some(None) } else { row.choice("material", FAMILIES).map(Some) };
    let ends = row.ends();
    let provenance = row.provenance();
    let (low, high) = ends?;
    let band =
        FrictionBand::new(low, high).map_err(|error| row.report("low", error.to_string(), error.hint())).ok();
    Some(ConditionBand {
        condition: condition?,
        family: family?,
        band: band?,
        note: row.text("note"),
        provenance: provenance?,
    })
}

fn read_nut_factor(row: &mut Fields<'_>) -> Option<PublishedNutFactor> {
    check_unit(row, "K");
    let what = row.required("name");
    let condition = row.choice("condition", CONDITIONS);
    let ends = row.ends();
    let provenance = row.provenance();
    let (low, high) = ends?;
    if low <= 0.0 {
        row.report("low", format!("a nut factor of {low} cannot be"), "it must be above 0");
    }
    Some(PublishedNutFactor {
        what: what?,
        condition: condition?,
        factor: Band { low: ratio_of(low), high: ratio_of(high) },
        note: row.text("note"),
        provenance: provenance?,
    })
}

fn read_change(row: &mut Fields<'_>) -> Option<TorqueChange> {
    check_unit(row, "percent");
    let what = row.required("name");
    let from = row.choice("from_condition", CONDITIONS);
    let to = row.choice("condition", CONDITIONS);
    let ends = row.ends();
    let provenance = row.provenance();
    let (low, high) = ends?;
    if low <= -100.0 {
        row.report("low", format!("a change by {low} % leaves no torque"), "it must be above -100");
    }
    Some(TorqueChange {
        what: what?,
        from: from?,
        to: to?,
        change: Band { low: ratio_of(low / 100.0), high: ratio_of(high / 100.0) },
        note: row.text("note"),
        provenance: provenance?,
    })
}

fn check_unit(row: &mut Fields<'_>, unit: &str) {
    let text = row.text("unit");
    if text != unit {
        row.report("unit", format!("unit `{text}` does not fit this kind of row"), format!("write {unit}"));
    }
}

fn coefficient(row: &mut Fields<'_>, column: &str) -> Option<FrictionCoefficient> {
    let value = row.positive(column)?;
    FrictionCoefficient::new(value).map_err(|error| row.report(column, error.to_string(), error.hint())).ok()
}
