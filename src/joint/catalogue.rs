//! The bolt tables read together, and the look-ups on them.

use super::condition::{self, Condition, ConditionAnswer};
use super::friction::{Friction, FrictionBand};
use super::friction_table::{FRICTION, FrictionTable, read_friction};
use super::head::{self, HEADS, HeadBearing, HeadKind, HeadSize};
use super::material::{self, MATERIALS, TappedMaterial};
use super::property_class::{self, GRADES, MaterialFamily, PropertyClass};
use super::thread::{self, THREADS, Thread};
use super::{Bolt, JointError};
use crate::sheet::{Diagnostics, Row, Sheet};

/// The five sheets of the catalogue.
pub static CATALOGUE_SHEETS: [&Sheet; 5] = [&THREADS, &GRADES, &FRICTION, &HEADS, &MATERIALS];

/// Threads, property classes, friction, heads and tapped materials.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    pub(super) threads: Vec<Thread>,
    classes: Vec<PropertyClass>,
    friction: FrictionTable,
    heads: Vec<HeadSize>,
    materials: Vec<TappedMaterial>,
}

impl Catalogue {
    /// The catalogue of rows that were read as sheets; `rows` gives none for a sheet that could not be
    /// read as a whole. Faults go to `diagnostics`, and there is no catalogue then.
    pub fn from_rows<'a>(
        rows: impl Fn(&Sheet) -> Option<&'a [Row]>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Catalogue> {
        let mut found = Diagnostics::default();
        let threads = rows(&THREADS).map(|rows| thread::read_threads(rows, &mut found));
        let classes = rows(&GRADES).map(|rows| property_class::read_classes(rows, &mut found));
        let friction = rows(&FRICTION).map(|rows| read_friction(rows, &mut found));
        let heads = rows(&HEADS).map(|rows| head::read_heads(rows, &mut found));
        let materials = rows(&MATERIALS).map(|rows| material::read_materials(rows, &mut found));
        let sound = !found.has_errors();
        diagnostics.extend(found);
        let catalogue = Catalogue {
            threads: threads?,
            classes: classes?,
            friction: friction?,
            heads: heads?,
            materials: materials?,
        };
        sound.then_some(catalogue)
    }

    /// Every property class, in the order of the table.
    #[must_use]
    pub fn classes(&self) -> &[PropertyClass] {
        &self.classes
    }

    /// The thread that a designation such as `M5`, `M8 × 1` or `9/16-20` names.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest threads; [`JointError::PitchNeeded`] when only the
    /// pitch is missing.
    pub fn thread(&self, text: &str) -> Result<&Thread, JointError> {
        thread::find(&self.threads, text)
    }

    /// The property class of that name for the diameter of `thread`.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest names; [`JointError::GradeSize`] when the class does
    /// not reach to that diameter.
    pub fn grade(&self, text: &str, thread: &Thread) -> Result<&PropertyClass, JointError> {
        property_class::find(&self.classes, text, thread)
    }

    /// The material of that name.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest names.
    pub fn material(&self, text: &str) -> Result<&TappedMaterial, JointError> {
        material::find(&self.materials, text)
    }

    /// The bearing of a head on a thread, estimated where its size is not tabulated.
    #[must_use]
    pub fn head(&self, kind: HeadKind, thread: &Thread) -> HeadBearing {
        head::bearing(&self.heads, kind, thread)
    }

    /// The bolt of that thread, grade and head.
    /// # Errors
    /// As [`Catalogue::thread`], [`Catalogue::grade`] and [`Bolt::new`].
    pub fn bolt(&self, thread: &str, grade: &str, kind: HeadKind) -> Result<Bolt, JointError> {
        let thread = self.thread(thread)?;
        Bolt::new(thread.clone(), self.grade(grade, thread)?.clone(), self.head(kind, thread))
    }

    /// The friction that `text` states: numbers such as `0.10..0.16`, or a condition.
    ///
    /// # Errors
    /// [`JointError::Friction`] or [`JointError::FrictionUpsideDown`] for numbers;
    /// [`JointError::Unknown`] for a condition without a row.
    pub fn friction(&self, text: &str, family: MaterialFamily) -> Result<Friction, JointError> {
        match FrictionBand::parse(text) {
            Some(band) => Ok(Friction::stated(band?)),
            None => self.friction_of(Condition::parse(text)?, family),
        }
    }

    /// The friction of a condition on a bolt of that material.
    ///
    /// # Errors
    /// [`JointError::Unknown`] when the table has no row for it.
    pub fn friction_of(&self, condition: Condition, family: MaterialFamily) -> Result<Friction, JointError> {
        self.friction.of(condition, family)
    }

    /// What is published when a figure is for the `stated` condition and the thread in the `actual`
    /// one; never a converted torque.
    #[must_use]
    pub fn compare_conditions(&self, stated: Condition, actual: Condition) -> ConditionAnswer {
        condition::compare(stated, actual, &self.friction.changes, &self.friction.nut_factors)
    }
}

#[cfg(test)]
#[path = "catalogue_tests.rs"]
mod tests;
