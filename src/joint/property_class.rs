//! Property classes of `specs/grades.csv`: ISO 898-1 (steel), ISO 3506-1 (stainless steel), and
//! the minima of titanium and aluminium bolts, which no class covers. Stresses in MPa.

use std::collections::HashSet;

use super::table::{Provenance, is_called, provenance};
use super::thread::Thread;
use super::units::{Length, Pressure, in_millimetres, megapascals, millimetres};
use super::{Catalogue, JointError};
use crate::sheet::field::read;
use crate::sheet::{Diagnostics, Row, by_size, sheet};
use crate::words::{is_one_of, likest, words};

words! {
    /// What a bolt is made of, as far as friction and strength tables tell them apart.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum MaterialFamily: name {
        /// Carbon or alloy steel.
        Steel = "steel",
        /// Austenitic stainless steel.
        Stainless = "stainless",
        /// Titanium alloy.
        Titanium = "titanium",
        /// Aluminium alloy.
        Aluminium = "aluminium",
    }
}

impl MaterialFamily {
    /// The metal of a bolt by words such as `steel`, `stainless screw` or `titanium bolt`; none where
    /// they speak of something else, such as the bar that is clamped.
    pub(crate) fn of_bolt(words: &str) -> Option<MaterialFamily> {
        let words = words.trim().to_lowercase();
        let metal = [" screw", " bolt", " steel"].iter().find_map(|end| words.strip_suffix(end));
        let metal = metal.unwrap_or(&words);
        MaterialFamily::WORDS.iter().find(|(name, _)| *name == metal).map(|&(_, family)| family)
    }
}

/// The strength of a bolt of one class, for the diameters the row covers.
#[derive(Debug, Clone, PartialEq)]
pub struct PropertyClass {
    /// The name printed on the head, such as `8.8` or `A2-70`.
    pub name: String,
    aliases: Vec<String>,
    /// What it is made of.
    pub family: MaterialFamily,
    /// Covers diameters above this.
    above: Option<Length>,
    /// Covers diameters up to this.
    up_to: Option<Length>,
    /// Least tensile strength Rm, in MPa.
    pub tensile_strength: Pressure,
    /// Least yield stress ReL, Rpf or Rp0.2, in MPa.
    pub yield_stress: Pressure,
    /// Stress under proof load Sp, in MPa, where the standard defines one.
    pub proof_stress: Option<Pressure>,
    /// What else is worth knowing.
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl PropertyClass {
    /// Stress of the proof load, in MPa: Sp, or the yield stress where none is defined (ISO 3506-1, light metals).
    pub(crate) fn proof_or_yield_stress(&self) -> Pressure {
        self.proof_stress.unwrap_or(self.yield_stress)
    }

    pub(super) fn covers(&self, thread: &Thread) -> bool {
        let diameter = thread.profile.major_diameter();
        self.above.is_none_or(|above| diameter > above) && self.up_to.is_none_or(|up_to| diameter <= up_to)
    }
}

impl Catalogue {
    /// The property class of that name for the diameter of `thread`.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest names; [`JointError::GradeSize`] for a diameter beyond the class.
    pub fn grade(&self, text: &str, thread: &Thread) -> Result<&PropertyClass, JointError> {
        let plain = text.trim();
        let plain =
            ["class ", "grade ", "cl. "].iter().find_map(|word| plain.strip_prefix(word)).unwrap_or(plain);
        let meant = |class: &&PropertyClass| is_called(plain, &class.name, &class.aliases);
        let mut called = self.classes.iter().filter(meant).peekable();
        if called.peek().is_none() {
            return Err(JointError::unknown("grade", plain, nearest(&self.classes, plain)));
        }
        called.find(|class| class.covers(thread)).ok_or_else(|| JointError::GradeSize {
            grade: plain.to_owned(),
            thread: thread.designation.clone(),
        })
    }
}

/// The classes of a material that is named, else the nearest spellings.
fn nearest(classes: &[PropertyClass], text: &str) -> Vec<String> {
    let family = MaterialFamily::WORDS.iter().find(|(name, _)| is_one_of(text, [*name].into_iter()));
    let of_family = |class: &&PropertyClass| family.is_none_or(|&(_, family)| class.family == family);
    likest(text, classes.iter().filter(of_family).map(|class| class.name.as_str()))
}

sheet! {
    /// `specs/grades.csv`.
    pub static GRADES: GradeCells = "grades" {
        name, aliases, family, standard, above_mm, up_to_mm, tensile_strength_mpa, yield_stress_mpa, yield_kind,
        proof_stress_mpa, note, source, grade,
    }
    sorted by |cells| {
        let strength = by_size(cells.tensile_strength_mpa.text);
        vec![cells.family.owned(), strength, cells.name.owned(), by_size(cells.above_mm.text)]
    }
}

pub(super) fn read_classes(rows: &[Row], diagnostics: &mut Diagnostics) -> Vec<PropertyClass> {
    let mut seen = HashSet::new();
    read::<GradeCells, _>(rows, diagnostics, |cells, fields| {
        let key = format!("{} above {} mm", cells.name.text, cells.above_mm.text);
        fields.once(&mut seen, cells.name, &key);
        fields.filled(cells.standard);
        fields.filled(cells.yield_kind);
        let family = fields.choice(cells.family, MaterialFamily::WORDS);
        let above = fields.positive_if_any(cells.above_mm).map(millimetres);
        let up_to = fields.positive_if_any(cells.up_to_mm).map(millimetres);
        let tensile = fields.positive(cells.tensile_strength_mpa).map(megapascals);
        let yield_stress = fields.positive(cells.yield_stress_mpa).map(megapascals);
        let proof = fields.positive_if_any(cells.proof_stress_mpa).map(megapascals);
        let provenance = provenance(cells.source, cells.grade, fields);
        if let (Some(low), Some(high)) = (above, up_to)
            && low >= high
        {
            let fix = format!("it must be above {} mm", in_millimetres(low));
            fields.report(cells.up_to_mm, "the row covers no diameter", fix);
        }
        if yield_stress > tensile {
            let message = "the yield stress is above the tensile strength";
            fields.report(cells.yield_stress_mpa, message, "check both");
        }
        if proof > yield_stress {
            let message = "the proof stress is above the yield stress";
            fields.report(cells.proof_stress_mpa, message, "check both");
        }
        Some(PropertyClass {
            name: fields.filled(cells.name),
            aliases: cells.aliases.list(),
            family: family?,
            above,
            up_to,
            tensile_strength: tensile?,
            yield_stress: yield_stress?,
            proof_stress: proof,
            note: cells.note.owned(),
            provenance: provenance?,
        })
    })
}
