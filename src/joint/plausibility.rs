//! Whether a torque makes sense for a bolt: refused when even at high friction it would tear the bolt,
//! warned of when at low friction it passes 90 % of yield; and which other unit would explain it.

use super::bolt::{Bolt, applied};
use super::friction::FrictionBand;
use super::preload::PERMITTED_SHARE;
use super::units::{Ratio, in_ratio};
use super::{JointError, Torque};
use crate::quantity::TorqueUnit;
use crate::words::words;

words! {
    /// What a torque would do to a bolt.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Plausibility: word {
        /// Within 90 % of yield over the whole band.
        Plausible = "plausible",
        /// Past 90 % of yield if friction is low: a warning.
        PastYield = "past-yield",
        /// Past the ultimate load even if friction is high: impossible.
        PastUltimate = "past-ultimate",
    }
}

/// Judges a torque on a bolt over a band of friction.
/// # Errors
/// [`JointError::NotPositive`] for a torque that is not above 0 and finite.
pub fn plausibility(bolt: &Bolt, torque: Torque, friction: FrictionBand) -> Result<Plausibility, JointError> {
    let torque = applied(torque)?;
    Ok(if bolt.clamp_load(torque, friction.high()) > bolt.ultimate_load() {
        Plausibility::PastUltimate
    } else if in_ratio(bolt.utilisation(torque, friction.low())) > PERMITTED_SHARE {
        Plausibility::PastYield
    } else {
        Plausibility::Plausible
    })
}

/// The number in another unit, where it would be an ordinary torque for the bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitSlip {
    pub(crate) unit: TorqueUnit,
    /// The number in that unit, as a torque in N·m.
    pub torque: Torque,
    /// Share of yield at that torque in the middle of the friction band.
    pub utilisation: Ratio,
}

/// Units that bicycle parts, manuals and wrenches are marked with, commonest first (common practice).
pub(super) const MARKED_UNITS: &[TorqueUnit] = &[
    TorqueUnit::NewtonMetre,
    TorqueUnit::PoundForceInch,
    TorqueUnit::PoundForceFoot,
    TorqueUnit::KilogramForceCentimetre,
    TorqueUnit::KilogramForceMetre,
    TorqueUnit::NewtonCentimetre,
];

/// Below this share of yield a bolt is hardly tightened, so a unit that leads there explains nothing.
const LEAST_SHARE: f64 = 0.1;

/// A unit explains a number that is too much only when it makes it clearly less; a foot-pound is 1.36
/// newton metres, and pairs of units that lie closer than that are not mistaken for each other.
const CLEARLY_LESS: f64 = 0.8;

/// The units in which a `number` that is too much in `stated` would be an ordinary torque for the bolt:
/// a clearly smaller one, between 10 and 90 % of yield in the middle of the friction band. Commonest unit
/// first; empty when none is.
/// # Errors
/// [`JointError::NotPositive`] for a number that is not above 0 and finite.
pub fn unit_slips(
    bolt: &Bolt,
    number: f64,
    stated: TorqueUnit,
    friction: FrictionBand,
) -> Result<Vec<UnitSlip>, JointError> {
    let too_much = applied(stated.of(number))?;
    let slip = |&unit: &TorqueUnit| {
        let torque = unit.of(number);
        let utilisation = bolt.utilisation(torque, friction.middle());
        let ordinary = (LEAST_SHARE..=PERMITTED_SHARE).contains(&in_ratio(utilisation));
        (torque < too_much * CLEARLY_LESS && ordinary).then_some(UnitSlip { unit, torque, utilisation })
    };
    Ok(MARKED_UNITS.iter().filter_map(slip).collect())
}

#[cfg(test)]
#[path = "plausibility_tests.rs"]
mod tests;
