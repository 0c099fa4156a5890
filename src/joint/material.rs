//! What a bolt is screwed into: `specs/materials.csv`. Strengths in MPa.

use std::collections::HashSet;

use super::property_class::MaterialFamily;
use super::table::{Provenance, is_called, provenance};
use super::units::{Pressure, SQRT_3, megapascals};
use super::{Catalogue, JointError};
use crate::sheet::field::read;
use crate::sheet::{Diagnostics, Row, sheet};
use crate::words::likest;

/// Shear strength over tensile strength by the distortion-energy rule (von Mises), 1/√3.
pub const SHEAR_OVER_TENSILE: f64 = 1.0 / SQRT_3;

/// Materials in which bolts hold by an insert (common practice).
const WITHOUT_THREADS: [&str; 5] = ["carbon", "cfrp", "fibre", "fiber", "plastic"];

/// A material with a tapped hole.
#[derive(Debug, Clone, PartialEq)]
pub struct TappedMaterial {
    /// Its name, such as `aluminium` or `6061-T6`.
    pub name: String,
    aliases: Vec<String>,
    /// The metal that friction tables know it by; none for one without rows there.
    pub family: Option<MaterialFamily>,
    /// Its shear strength, in MPa; where the row gives the tensile strength, that over √3.
    pub shear_strength: Pressure,
    /// What the row stands for.
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Catalogue {
    /// The material of that name.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest names; [`JointError::NoThreadInIt`] for carbon and plastics.
    pub fn material(&self, text: &str) -> Result<&TappedMaterial, JointError> {
        if WITHOUT_THREADS.iter().any(|fibre| text.to_lowercase().contains(fibre)) {
            return Err(JointError::NoThreadInIt(text.trim().to_owned()));
        }
        let called = |material: &&TappedMaterial| is_called(text, &material.name, &material.aliases);
        self.materials.iter().find(called).ok_or_else(|| {
            let names = self.materials.iter().map(|material| material.name.as_str());
            JointError::unknown("material", text, likest(text, names))
        })
    }
}

sheet! {
    /// `specs/materials.csv`.
    pub static MATERIALS: MaterialCells = "materials" {
        name, aliases, family, shear_strength_mpa, tensile_strength_mpa, note, source, grade,
    }
}

pub(super) fn read_materials(rows: &[Row], diagnostics: &mut Diagnostics) -> Vec<TappedMaterial> {
    let mut seen = HashSet::new();
    read::<MaterialCells, _>(rows, diagnostics, |cells, fields| {
        let name = fields.filled(cells.name);
        let aliases = cells.aliases.list();
        for called in aliases.iter().chain([&name]) {
            fields.once(&mut seen, cells.name, called);
        }
        let family = (!cells.family.is_blank()).then(|| fields.choice(cells.family, MaterialFamily::WORDS));
        let provenance = provenance(cells.source, cells.grade, fields);
        let stated = fields.one_filled(cells.shear_strength_mpa, cells.tensile_strength_mpa)?;
        let strength = fields.positive(stated)?;
        let is_shear = stated == cells.shear_strength_mpa;
        Some(TappedMaterial {
            name,
            aliases,
            family: family.flatten(),
            shear_strength: megapascals(if is_shear { strength } else { strength * SHEAR_OVER_TENSILE }),
            note: cells.note.owned(),
            provenance: provenance?,
        })
    })
}
