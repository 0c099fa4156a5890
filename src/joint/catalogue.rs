//! The bolt tables read together. The look-ups on each stand beside its rows.

use super::condition::Condition;
use super::friction::{Friction, FrictionBand};
use super::friction_table::{FRICTION, FrictionTable, read_friction};
use super::head::{HEADS, HeadKind, HeadSize, read_heads};
use super::material::{MATERIALS, TappedMaterial, read_materials};
use super::property_class::{GRADES, MaterialFamily, PropertyClass, read_classes};
use super::thread::{THREADS, Thread, read_threads};
use super::{Bolt, JointError};
use crate::sheet::{Diagnostics, Row, Sheet};

/// The five sheets of the catalogue.
pub static CATALOGUE_SHEETS: [&Sheet; 5] = [&THREADS, &GRADES, &FRICTION, &HEADS, &MATERIALS];

/// Threads, property classes, friction, heads and tapped materials.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    pub(super) threads: Vec<Thread>,
    /// Property classes, in the order of the table.
    pub(super) classes: Vec<PropertyClass>,
    pub(super) friction: FrictionTable,
    pub(super) heads: Vec<HeadSize>,
    pub(super) materials: Vec<TappedMaterial>,
}

impl Catalogue {
    /// The catalogue of rows that were read as sheets; `rows` gives none for a sheet that could not be
    /// read as a whole. Faults go to `diagnostics`, and there is no catalogue then.
    pub fn from_rows<'a>(
        rows: impl Fn(&Sheet) -> Option<&'a [Row]>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Catalogue> {
        let mut found = Diagnostics::default();
        let threads = rows(&THREADS).map(|rows| read_threads(rows, &mut found));
        let classes = rows(&GRADES).map(|rows| read_classes(rows, &mut found));
        let friction = rows(&FRICTION).map(|rows| read_friction(rows, &mut found));
        let heads = rows(&HEADS).map(|rows| read_heads(rows, &mut found));
        let materials = rows(&MATERIALS).map(|rows| read_materials(rows, &mut found));
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

    /// The bolt of that thread, grade and head.
    ///
    /// # Errors
    /// As [`Catalogue::thread`], [`Catalogue::grade`] and [`Bolt::new`].
    pub fn bolt(&self, thread: &str, grade: &str, kind: HeadKind) -> Result<Bolt, JointError> {
        let thread = self.thread(thread)?;
        Bolt::new(thread.clone(), self.grade(grade, thread)?.clone(), self.head(kind, thread))
    }

    /// The friction that `text` states: numbers such as `0.10..0.16`, or a condition of the thread between `bolt` and
    /// what it is screwed into ([`Catalogue::friction_of`]).
    ///
    /// # Errors
    /// [`JointError::Friction`] or [`JointError::FrictionUpsideDown`] for numbers;
    /// [`JointError::Unknown`] for a condition without a row.
    pub fn friction(
        &self,
        text: &str,
        bolt: MaterialFamily,
        into: Option<&TappedMaterial>,
    ) -> Result<Friction, JointError> {
        match FrictionBand::parse(text) {
            Some(band) => Ok(Friction::stated(band?)),
            None => self.friction_of(Condition::named(text)?, bolt, into),
        }
    }
}

#[cfg(test)]
#[path = "catalogue_tests.rs"]
mod tests;
