//! What a bolt is screwed into: `specs/materials.csv`. Strengths in MPa.

use std::collections::HashSet;

use super::JointError;
use super::table::{Provenance, provenance};
use super::units::{Pressure, SQRT_3, megapascals};
use crate::sheet::field::read;
use crate::sheet::{Diagnostics, Row, sheet};
use crate::words::{is_one_of, likest};

/// Shear strength over tensile strength by the distortion-energy rule (von Mises), 1/√3.
pub const SHEAR_OVER_TENSILE: f64 = 1.0 / SQRT_3;

/// A material with a tapped hole.
#[derive(Debug, Clone, PartialEq)]
pub struct TappedMaterial {
    /// Its name, such as `aluminium` or `6061-T6`.
    pub name: String,
    aliases: Vec<String>,
    /// Its shear strength, in MPa; where the row gives the tensile strength, that over √3.
    pub shear_strength: Pressure,
    /// What the row stands for.
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

/// The material that `text` names.
pub(super) fn find<'a>(
    materials: &'a [TappedMaterial],
    text: &str,
) -> Result<&'a TappedMaterial, JointError> {
    let called = |material: &&TappedMaterial| {
        is_one_of(text, material.aliases.iter().map(String::as_str).chain([material.name.as_str()]))
    };
    materials.iter().find(called).ok_or_else(|| JointError::Unknown {
        what: "material",
        text: text.trim().to_owned(),
        nearest: likest(text, materials.iter().map(|material| material.name.as_str())),
    })
}

sheet! {
    /// `specs/materials.csv`.
    pub static MATERIALS: MaterialCells = "materials" {
        name, aliases, shear_strength_mpa, tensile_strength_mpa, note, source, grade,
    }
}

/// Reads the table of tapped materials.
pub(super) fn read_materials(rows: &[Row], diagnostics: &mut Diagnostics) -> Vec<TappedMaterial> {
    let mut seen = HashSet::new();
    read::<MaterialCells, _>(rows, diagnostics, |cells, fields| {
        let name = fields.filled(cells.name);
        let aliases = cells.aliases.list();
        for called in aliases.iter().chain([&name]) {
            fields.once(&mut seen, cells.name, called);
        }
        let provenance = provenance(cells.source, cells.grade, fields);
        let stated = fields.one_filled(cells.shear_strength_mpa, cells.tensile_strength_mpa)?;
        let strength = fields.positive(stated)?;
        let is_shear = stated == cells.shear_strength_mpa;
        Some(TappedMaterial {
            name,
            aliases,
            shear_strength: megapascals(if is_shear { strength } else { strength * SHEAR_OVER_TENSILE }),
            note: cells.note.owned(),
            provenance: provenance?,
        })
    })
}
