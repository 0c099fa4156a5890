//! One bolt: its clamp load, share of yield and torque limit at a torque and a friction, and the
//! whole answer over a friction band. Forces in N, torques in N·m.

use super::error::positive;
use super::friction::{FrictionBand, FrictionCoefficient};
use super::head::HeadBearing;
use super::plausibility::{Plausibility, plausibility};
use super::preload::{PERMITTED_SHARE, Tightening, combined_stress_factor, yield_share};
use super::property_class::PropertyClass;
use super::stripping::{Engagement, Stripping, external_shear_area, internal_shear_area};
use super::thread::{Section, Thread};
use super::tolerance::limits_of;
use super::units::{Force, Ratio, Span, ratio_of};
use super::{JointError, SHEAR_OVER_TENSILE, Torque};
use crate::quantity::in_newton_metres;

/// A bolt of one thread, class and head.
#[derive(Debug, Clone, PartialEq)]
pub struct Bolt {
    /// Its thread, of a part that is not hollow.
    pub thread: Thread,
    /// Its property class.
    pub class: PropertyClass,
    /// Its head.
    pub head: HeadBearing,
    /// The relation of its torque to its preload.
    pub tightening: Tightening,
}

impl Bolt {
    /// Puts a bolt together.
    ///
    /// # Errors
    /// [`JointError::Hollow`] for a ring or tube; [`JointError::NotPositive`] for a head without size.
    pub fn new(thread: Thread, class: PropertyClass, head: HeadBearing) -> Result<Bolt, JointError> {
        if thread.section == Section::Hollow {
            let thread_name = thread.designation.clone();
            return Err(JointError::Hollow { thread: thread_name, part: thread.used_for });
        }
        let tightening = Tightening::new(thread.profile, head.diameter)?;
        Ok(Bolt { thread, class, head, tightening })
    }

    /// The clamp load, in N, at a torque.
    #[must_use]
    pub fn clamp_load(&self, torque: Torque, friction: FrictionCoefficient) -> Force {
        self.tightening.preload(torque, friction)
    }

    /// The share of yield at a torque, tension and torsion together; above 1 past yield.
    pub(crate) fn utilisation(&self, torque: Torque, friction: FrictionCoefficient) -> Ratio {
        let preload = self.clamp_load(torque, friction);
        yield_share(self.thread.profile, self.class.yield_stress, preload, friction)
    }

    /// The torque, in N·m, that takes the bolt to 90 % of yield ([`PERMITTED_SHARE`]).
    #[must_use]
    pub fn torque_limit(&self, friction: FrictionCoefficient) -> Torque {
        let yield_load = self.thread.profile.stress_area() * self.class.yield_stress;
        let permitted = ratio_of(PERMITTED_SHARE) / combined_stress_factor(self.thread.profile, friction);
        self.tightening.torque(yield_load * permitted, friction)
    }

    /// The proof load, in N: As·Sp, with the yield stress where the class defines no Sp.
    #[must_use]
    pub fn proof_load(&self) -> Force {
        self.thread.profile.stress_area() * self.class.proof_or_yield_stress()
    }

    /// The least ultimate load, in N: As·Rm (ISO 898-1).
    #[must_use]
    pub fn ultimate_load(&self) -> Force {
        self.thread.profile.stress_area() * self.class.tensile_strength
    }

    /// The load at which the engaged threads strip; the shear strength of the bolt is its tensile one over √3.
    ///
    /// # Errors
    /// [`JointError::NoToleranceLimits`] for an inch thread.
    pub fn stripping(&self, engagement: &Engagement) -> Result<Stripping, JointError> {
        let (limits, limits_basis) = limits_of(&self.thread)?;
        let (pitch, length) = (self.thread.profile.pitch(), engagement.length);
        let bolt_shear = self.class.tensile_strength * SHEAR_OVER_TENSILE;
        Ok(Stripping {
            internal_load: internal_shear_area(pitch, &limits, length) * engagement.material.shear_strength,
            external_load: external_shear_area(pitch, &limits, length) * bolt_shear,
            limits_basis,
        })
    }

    /// Everything about the bolt at `torque` over a band of friction.
    ///
    /// # Errors
    /// [`JointError::NotPositive`] for a torque that is not above 0 and finite;
    /// [`JointError::NoToleranceLimits`] when an engagement is given for an inch thread.
    pub fn analyse(
        &self,
        torque: Torque,
        friction: FrictionBand,
        engagement: Option<&Engagement>,
    ) -> Result<Analysis, JointError> {
        let plausibility = plausibility(self, torque, friction)?;
        let clamp_load = self.clamp_loads(torque, friction);
        let stripping = engagement.map(|engagement| self.stripping(engagement)).transpose()?;
        Ok(Analysis {
            clamp_load,
            utilisation: self.utilisations(torque, friction),
            stripping: stripping.map(|stripping| StrippingMargin {
                margin: stripping.load() / clamp_load.high,
                bolt_breaks_first: self.ultimate_load() < stripping.load(),
                stripping,
            }),
            plausibility,
        })
    }

    /// Torque of 90 % of yield over a band: least at low friction.
    pub(crate) fn torque_limits(&self, friction: FrictionBand) -> Span<Torque> {
        Span { low: self.torque_limit(friction.low()), high: self.torque_limit(friction.high()) }
    }

    /// Clamp load over a band: least at high friction.
    pub(super) fn clamp_loads(&self, torque: Torque, friction: FrictionBand) -> Span<Force> {
        Span { low: self.clamp_load(torque, friction.high()), high: self.clamp_load(torque, friction.low()) }
    }

    /// Share of yield over a band: least at high friction.
    pub(super) fn utilisations(&self, torque: Torque, friction: FrictionBand) -> Span<Ratio> {
        Span {
            low: self.utilisation(torque, friction.high()),
            high: self.utilisation(torque, friction.low()),
        }
    }
}

/// A bolt at a torque, over a band of friction.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// Clamp load, in N: low at high friction, high at low friction.
    pub clamp_load: Span<Force>,
    /// Share of yield: low at high friction, high at low friction.
    pub utilisation: Span<Ratio>,
    /// Stripping, when an engagement was given.
    pub stripping: Option<StrippingMargin>,
    /// Whether the torque makes sense for the bolt.
    pub plausibility: Plausibility,
}

/// How far an engagement is from stripping.
#[derive(Debug, Clone, PartialEq)]
pub struct StrippingMargin {
    /// The loads and the weaker side.
    pub stripping: Stripping,
    /// Stripping load over the greatest clamp load; below 1 it strips.
    pub margin: Ratio,
    /// True when the bolt would break before the thread strips, as a joint should be made.
    pub bolt_breaks_first: bool,
}

pub(super) fn applied(torque: Torque) -> Result<Torque, JointError> {
    positive("torque", in_newton_metres(torque), "N·m").map(|_| torque)
}

#[cfg(test)]
#[path = "bolt_tests.rs"]
mod tests;
