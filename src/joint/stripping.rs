//! Thread stripping: the shear areas of internal and external thread (FED-STD-H28/2 form) and the
//! load at which the weaker of the two gives way. The load is taken as even over the engaged turns,
//! which flatters engagements above about 1.5 diameters. Lengths in mm, areas in mm², loads in N.

use std::f64::consts::PI;

use super::JointError;
use super::error::positive;
use super::material::TappedMaterial;
use super::table::Basis;
use super::tolerance::ThreadLimits;
use super::units::{Area, Force, Length, SQRT_3, in_millimetres};
use crate::words::words;

/// Shear area of the internal thread, in mm²:
/// AS_n = π/P·LE·d_min·(P/2 + (d_min − D2_max)/√3).
#[must_use]
pub fn internal_shear_area(pitch: Length, limits: &ThreadLimits, engagement: Length) -> Area {
    let width = pitch / 2.0 + (limits.major_min - limits.pitch_max) / SQRT_3;
    engagement * limits.major_min * (width / pitch) * PI
}

/// Shear area of the external thread, in mm²:
/// AS_s = π/P·LE·D1_max·(P/2 + (d2_min − D1_max)/√3).
#[must_use]
pub fn external_shear_area(pitch: Length, limits: &ThreadLimits, engagement: Length) -> Area {
    let width = pitch / 2.0 + (limits.pitch_min - limits.minor_max) / SQRT_3;
    engagement * limits.minor_max * (width / pitch) * PI
}

/// How far a bolt is screwed in, and into what.
#[derive(Debug, Clone, PartialEq)]
pub struct Engagement {
    /// The engaged length, in mm, above 0.
    pub length: Length,
    /// The material of the tapped hole.
    pub material: TappedMaterial,
}

impl Engagement {
    /// `length` is the engaged full thread, in mm.
    ///
    /// # Errors
    /// [`JointError::NotPositive`] when it is not above 0 and finite.
    pub fn new(length: Length, material: TappedMaterial) -> Result<Engagement, JointError> {
        positive("engagement", in_millimetres(length), "mm")?;
        Ok(Engagement { length, material })
    }
}

words! {
    /// Which thread strips first.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum StrippedSide: text {
        /// The tapped hole.
        Internal = "tapped hole",
        /// The bolt.
        External = "bolt thread",
    }
}

/// The load at which an engagement strips.
#[derive(Debug, Clone, PartialEq)]
pub struct Stripping {
    /// The load that strips the tapped hole, in N.
    pub internal_load: Force,
    /// The load that strips the bolt's thread, in N.
    pub external_load: Force,
    /// Whether the tolerance limits were tabulated.
    pub limits_basis: Basis,
}

impl Stripping {
    /// The load of the side that gives way first, in N.
    #[must_use]
    pub fn load(&self) -> Force {
        self.internal_load.min(self.external_load)
    }

    /// The side that gives way first.
    pub(crate) fn side(&self) -> StrippedSide {
        if self.internal_load <= self.external_load { StrippedSide::Internal } else { StrippedSide::External }
    }
}
