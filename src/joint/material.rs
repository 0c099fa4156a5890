//! What a bolt is screwed into: `specs/materials.csv`. Strengths in MPa.

use std::collections::HashSet;

use super::JointError;
use super::table::{Provenance, read};
use super::units::{Pressure, SQRT_3, megapascals};
use crate::sheet::{Diagnostics, Row, Sheet};
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

/// `specs/materials.csv`.
pub static MATERIALS: Sheet = Sheet {
    name: "materials",
    columns: &["name", "aliases", "shear_strength_mpa", "tensile_strength_mpa", "note", "source", "grade"],
    sort_key: Row::all_texts,
};

/// Reads the table of tapped materials.
pub(super) fn read_materials(rows: &[Row], diagnostics: &mut Diagnostics) -> Vec<TappedMaterial> {
    let mut seen = HashSet::new();
    read(rows, diagnostics, |row| {
        let name = row.required("name");
        let aliases = row.list("aliases");
        for called in aliases.iter().chain(&name) {
            row.once(&mut seen, "name", called);
        }
        let provenance = row.provenance();
        let column = row.one_filled(["shear_strength_mpa", "tensile_strength_mpa"])?;
        let strength = row.positive(column)?;
        let shear_strength =
            if column == "shear_strength_mpa" { strength } else { strength * SHEAR_OVER_TENSILE };
        Some(TappedMaterial {
            name: name?,
            aliases,
            shear_strength: megapascals(shear_strength),
            note: row.text("note"),
            provenance: provenance?,
        })
    })
}
