//! What a bolt can stand: clamp load, strength, stripping, plausibility, with the scatter of friction.
//!
//! Figures stand in `specs/threads.csv`, `grades.csv`, `friction.csv`, `heads.csv` and
//! `materials.csv`; [`Catalogue`] reads them. Formulas follow ISO 68-1, ISO 724, ISO 898-1 and
//! VDI 2230 Part 1, which were seen in reproductions only. Units: mm, mm², N, MPa, N·m.

mod bolt;
mod catalogue;
mod condition;
mod designation;
mod error;
mod explain;
mod friction;
mod friction_table;
mod head;
mod known_bolt;
mod material;
mod plausibility;
mod preload;
mod profile;
mod property_class;
mod stripping;
mod sweep;
mod table;
mod thread;
mod tolerance;
mod units;
mod unmeant;

use crate::quantity::Torque;

pub use bolt::{Analysis, Bolt, StrippingMargin};
pub(crate) use catalogue::CATALOGUE_SHEETS;
pub use catalogue::Catalogue;
pub use condition::{Condition, Disagreement, PublishedNutFactor, TorqueChange};
pub use error::JointError;
pub(crate) use explain::{ExplainStep, explain};
pub use friction::{Friction, FrictionBand, FrictionCoefficient};
pub(crate) use friction_table::FRICTION;
pub(crate) use head::HEADS;
pub use head::{HeadBearing, HeadKind};
pub(crate) use known_bolt::{BoltWords, Doubt, FigureOnBolt, KnownBolt, plain_number};
pub(crate) use material::MATERIALS;
pub use material::{SHEAR_OVER_TENSILE, TappedMaterial};
pub use plausibility::{Plausibility, plausibility};
pub(crate) use plausibility::{UnitSlip, unit_slips};
pub use preload::{PERMITTED_SHARE, Tightening, combined_stress_factor, yield_share};
pub use profile::ThreadProfile;
pub(crate) use property_class::GRADES;
pub use property_class::{MaterialFamily, PropertyClass};
pub use stripping::{Engagement, StrippedSide, Stripping, external_shear_area, internal_shear_area};
pub(crate) use sweep::{SweepPoint, limit_curve, sweep};
pub use table::{Basis, Provenance, SourceGrade};
pub(crate) use thread::THREADS;
pub use thread::{Section, Thread, ThreadSystem};
pub use tolerance::{ThreadLimits, limits_of};
pub(crate) use units::Span;
pub use units::{
    Area, Force, Length, Pressure, Ratio, in_megapascals, in_millimetres, in_newtons, in_ratio,
    in_square_millimetres, megapascals, millimetres, newtons,
};
pub(crate) use unmeant::{Expected, Unmeant, too_great};

#[cfg(test)]
#[path = "laws_tests.rs"]
mod laws;
