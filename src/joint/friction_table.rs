//! `specs/friction.csv`: VDI 2230 classes, bands of conditions, published nut factors and changes of torque.

use std::collections::HashSet;

use super::condition::{Condition, PublishedNutFactor, TorqueChange};
use super::friction::{Friction, FrictionBand, FrictionCoefficient};
use super::material::TappedMaterial;
use super::property_class::MaterialFamily;
use super::table::{Provenance, provenance};
use super::units::{Span, ratio_of};
use super::{Catalogue, JointError};
use crate::sheet::field::read;
use crate::sheet::{Cell, Diagnostics, Fields, Place, Row, sheet};

/// The band of a condition, for one family of materials or for any.
#[derive(Debug, Clone, PartialEq)]
struct ConditionBand {
    condition: Condition,
    family: Option<MaterialFamily>,
    band: FrictionBand,
    note: String,
    provenance: Provenance,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct FrictionTable {
    conditions: Vec<ConditionBand>,
    pub(super) nut_factors: Vec<PublishedNutFactor>,
    pub(super) changes: Vec<TorqueChange>,
}

impl Catalogue {
    /// The friction of a condition between a bolt of one metal and what it is screwed into, where that is known.
    ///
    /// Each of the two metals has to have a row of its own for the condition; for steel that is the row for any metal.
    /// Without one the widest range is taken, so that a lubricant of which nothing is known for the pairing makes no
    /// torque look safer.
    ///
    /// # Errors
    /// [`JointError::Unknown`] when the table has no row for any metal.
    pub fn friction_of(
        &self,
        condition: Condition,
        bolt: MaterialFamily,
        into: Option<&TappedMaterial>,
    ) -> Result<Friction, JointError> {
        let metals: Vec<_> = [Some(bolt)].into_iter().chain(into.map(|into| into.family)).collect();
        let own: Option<Vec<_>> = metals.iter().map(|metal| self.band_on(condition, *metal)).collect();
        let is_widest = own.is_none();
        let rows = own.map_or_else(|| self.widest(condition, &metals), Ok)?;
        let [first, others @ ..] = rows.as_slice() else {
            return Err(JointError::unknown("friction", condition.name(), Vec::new()));
        };
        let note = if is_widest { format!("{WIDEST}; {}", first.note) } else { first.note.clone() };
        Ok(Friction {
            band: others.iter().fold(first.band, |band, row| band.hull(row.band)),
            condition: Some(condition),
            provenance: Some(first.provenance.clone()),
            note,
            is_widest,
        })
    }

    /// The rows that a condition of which nothing is known for these metals may be: theirs and any metal's.
    fn widest(
        &self,
        condition: Condition,
        metals: &[Option<MaterialFamily>],
    ) -> Result<Vec<&ConditionBand>, JointError> {
        let any = |condition| {
            let found = self.band_on(condition, Some(MaterialFamily::Steel));
            found.ok_or_else(|| JointError::unknown("friction", condition.name(), Vec::new()))
        };
        let unknown = any(Condition::Unknown)?;
        let of_metals =
            metals.iter().map(|metal| self.band_on(Condition::Unknown, *metal).unwrap_or(unknown));
        Ok(of_metals.chain([unknown, any(condition)?]).collect())
    }

    /// The row of a condition for one metal; for steel that is the one for any metal.
    fn band_on(&self, condition: Condition, metal: Option<MaterialFamily>) -> Option<&ConditionBand> {
        let metal = metal?;
        let family = (metal != MaterialFamily::Steel).then_some(metal);
        self.friction.conditions.iter().find(|row| row.condition == condition && row.family == family)
    }
}

/// What is said where a metal has no row for the condition.
const WIDEST: &str = "no row for this condition on these metals, so the widest range";

const KINDS: &[(&str, ())] = &[("class", ()), ("condition", ()), ("nut-factor", ()), ("torque-change", ())];

sheet! {
    /// `specs/friction.csv`.
    pub static FRICTION: FrictionCells = "friction" {
        kind, name, material, from_condition, condition, low, high, unit, note, source, grade,
    }
}

/// Reads the friction table; each condition needs a row that serves any material.
pub(super) fn read_friction(rows: &[Row], diagnostics: &mut Diagnostics) -> FrictionTable {
    let mut seen = HashSet::new();
    let mut found = Diagnostics::default();
    let mut table = FrictionTable::default();
    read::<FrictionCells, ()>(rows, &mut found, |cells, fields| {
        fields.choice(cells.kind, KINDS)?;
        match cells.kind.text {
            "condition" => table.conditions.extend(read_condition(cells, &mut seen, fields)),
            "nut-factor" => table.nut_factors.extend(read_nut_factor(cells, fields)),
            "torque-change" => table.changes.extend(read_change(cells, fields)),
            _ => check_class(cells, fields),
        }
        Some(())
    });
    // A faulty row may be the one that is missing.
    if !found.has_errors() {
        report_missing_conditions(&table, &mut found);
    }
    diagnostics.extend(found);
    table
}

fn report_missing_conditions(table: &FrictionTable, diagnostics: &mut Diagnostics) {
    let at = Place { sheet: FRICTION.name, line: 1, column: 1 };
    for (name, condition) in Condition::WORDS {
        if !table.conditions.iter().any(|row| row.condition == *condition && row.family.is_none()) {
            let message = format!("no row gives the friction of `{name}` for any material");
            diagnostics.error(&at, message, "add one with material `any`");
        }
    }
}

/// A class is for those who read the sheet: the bands of the conditions are named after it.
fn check_class(cells: &FrictionCells<'_>, fields: &mut Fields<'_>) {
    check_unit(cells, "mu", fields);
    coefficient(cells.low, fields);
    provenance(cells.source, cells.grade, fields);
    // Class E has no upper end.
    let both = !cells.high.is_blank() && coefficient(cells.high, fields).is_some();
    if !both || fields.ends(cells.low, cells.high).is_some() {
        fields.filled(cells.name);
    }
}

fn read_condition(
    cells: &FrictionCells<'_>,
    seen: &mut HashSet<String>,
    fields: &mut Fields<'_>,
) -> Option<ConditionBand> {
    check_unit(cells, "mu", fields);
    let key = format!("{} on {}", cells.condition.text, cells.material.text);
    fields.once(seen, cells.condition, &key);
    let condition = fields.choice(cells.condition, Condition::WORDS);
    let family = if cells.material.text == "any" {
        None
    } else {
        fields.choice(cells.material, MaterialFamily::WORDS)
    };
    let ends = fields.ends(cells.low, cells.high);
    let provenance = provenance(cells.source, cells.grade, fields);
    let (low, high) = ends?;
    let band = FrictionBand::new(low, high)
        .map_err(|error| fields.report(cells.low, error.to_string(), error.hint()));
    Some(ConditionBand {
        condition: condition?,
        family,
        band: band.ok()?,
        note: cells.note.owned(),
        provenance: provenance?,
    })
}

fn read_nut_factor(cells: &FrictionCells<'_>, fields: &mut Fields<'_>) -> Option<PublishedNutFactor> {
    check_unit(cells, "K", fields);
    let what = fields.filled(cells.name);
    let condition = fields.choice(cells.condition, Condition::WORDS);
    let ends = fields.ends(cells.low, cells.high);
    let provenance = provenance(cells.source, cells.grade, fields);
    let (low, high) = ends?;
    if low <= 0.0 {
        fields.report(cells.low, format!("a nut factor of {low} cannot be"), "it must be above 0");
    }
    Some(PublishedNutFactor {
        what,
        condition: condition?,
        factor: Span { low: ratio_of(low), high: ratio_of(high) },
        note: cells.note.owned(),
        provenance: provenance?,
    })
}

fn read_change(cells: &FrictionCells<'_>, fields: &mut Fields<'_>) -> Option<TorqueChange> {
    check_unit(cells, "percent", fields);
    let what = fields.filled(cells.name);
    let from = fields.choice(cells.from_condition, Condition::WORDS);
    let to = fields.choice(cells.condition, Condition::WORDS);
    let ends = fields.ends(cells.low, cells.high);
    let provenance = provenance(cells.source, cells.grade, fields);
    let (low, high) = ends?;
    if low <= -100.0 {
        fields.report(cells.low, format!("a change by {low} % leaves no torque"), "it must be above -100");
    }
    Some(TorqueChange {
        what,
        from: from?,
        to: to?,
        change: Span { low: ratio_of(low / 100.0), high: ratio_of(high / 100.0) },
        note: cells.note.owned(),
        provenance: provenance?,
    })
}

fn check_unit(cells: &FrictionCells<'_>, unit: &str, fields: &mut Fields<'_>) {
    let text = cells.unit.text.trim();
    if text != unit {
        let message = format!("unit `{text}` does not fit this kind of row");
        fields.report(cells.unit, message, format!("write {unit}"));
    }
}

fn coefficient(cell: Cell<'_>, fields: &mut Fields<'_>) -> Option<FrictionCoefficient> {
    let value = fields.positive(cell)?;
    FrictionCoefficient::new(value).map_err(|error| fields.report(cell, error.to_string(), error.hint())).ok()
}
