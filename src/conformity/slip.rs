//! Unit slips: readings that make sense in another unit, or that are off by one of the factors that
//! come from setting a figure on the wrong scale. They are suspicions to show, never corrections.
//!
//! Looked for only when the reading itself lies outside the limits. Ranked by how likely the trade
//! makes the slip: units that stand beside each other on wrenches come first.

use super::intervals::Intervals;
use super::{Label, Limits};
use crate::quantity::tolerance::{TOLERANCE, at_least};
use crate::quantity::{Reading, Torque, TorqueUnit, in_newton_metres};

/// A suspicion that a unit was mistaken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// The number and the unit as logged.
    pub reading: Reading,
    /// The units that were perhaps mixed up.
    pub units: MixUp,
    /// The torque that was perhaps meant, within the limits.
    pub meant: Torque,
}

/// Which units were perhaps mixed up, without the figures. Either the number was logged in the wrong unit, or the
/// bolt really got the torque: a figure meant in one unit was set on another unit's scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct MixUp {
    /// The unit that was perhaps meant.
    pub meant: TorqueUnit,
    /// The unit of the scale on which the figure was perhaps set; none where it was only logged wrongly.
    pub scale: Option<TorqueUnit>,
}

/// Units that stand beside each other on wrenches (common practice), likeliest first.
const ON_WRENCHES: [TorqueUnit; 4] = [
    TorqueUnit::NewtonMetre,
    TorqueUnit::PoundForceInch,
    TorqueUnit::PoundForceFoot,
    TorqueUnit::KilogramForceCentimetre,
];

/// The figure was meant in the first unit and set on a scale of the second. Applied ÷ wanted is
/// 1.36, 0.74, 8.85, 0.11, 12 and 0.083. The first two are plausible values and the dangerous ones.
pub const WRONG_SCALES: [(TorqueUnit, TorqueUnit); 6] = [
    (TorqueUnit::NewtonMetre, TorqueUnit::PoundForceFoot),
    (TorqueUnit::PoundForceFoot, TorqueUnit::NewtonMetre),
    (TorqueUnit::PoundForceInch, TorqueUnit::NewtonMetre),
    (TorqueUnit::NewtonMetre, TorqueUnit::PoundForceInch),
    (TorqueUnit::PoundForceInch, TorqueUnit::PoundForceFoot),
    (TorqueUnit::PoundForceFoot, TorqueUnit::PoundForceInch),
];

/// The slips that would explain a reading outside the limits, likeliest first.
///
/// ```
/// use evenclamp::conformity::{Label, Limits, slip};
/// use evenclamp::quantity::{Spec, TorqueUnit, parse_reading};
/// let limits = Limits::new(Spec::range_nm(4.0, 6.0));
/// let slips = slip::suspect(&limits, parse_reading("44 N·m").unwrap(), Label::High);
/// assert_eq!((slips[0].units.meant, slips[0].units.scale), (TorqueUnit::PoundForceInch, None));
/// ```
#[must_use]
pub fn suspect(limits: &Limits, reading: Reading, label: Label) -> Vec<Slip> {
    let Some(near) = Near::new(limits).filter(|_| is_outside(limits, &reading, label)) else {
        return Vec::new();
    };
    let mut slips: Vec<Slip> = Vec::new();
    for slip in other_units(near, reading) {
        // Of units of the same size the first alone is named.
        if !slips.iter().any(|named| same_size(named.meant, slip.meant)) {
            slips.push(slip);
        }
    }
    slips.extend(other_scales(near, reading));
    slips
}

/// Limits worked out once, to tell of many readings what [`suspect`] would name first.
#[derive(Debug, Clone)]
pub struct Watch {
    limits: Limits,
    near: Option<Near>,
    /// Numbers that would fit in some unit; drawn a little wider than the limits.
    numbers: Intervals,
    /// Torques in N·m that would fit if they were set on a wrong scale, likewise.
    torques: Intervals,
}

/// By how much the intervals of a [`Watch`] are wider: far more than rounding can matter.
const WIDER: f64 = 1e-6;

impl Watch {
    /// A watch over readings against `limits`.
    #[must_use]
    pub fn new(limits: &Limits) -> Watch {
        let near = Near::new(limits);
        let intervals = |factors: &mut dyn Iterator<Item = f64>| {
            Intervals::new(near.map_or_else(Vec::new, |near| {
                let (low, high) = (in_newton_metres(near.low), in_newton_metres(near.high));
                factors.map(|factor| [low / factor * (1.0 - WIDER), high / factor * (1.0 + WIDER)]).collect()
            }))
        };
        let size = |unit: TorqueUnit| in_newton_metres(unit.of(1.0));
        Watch {
            limits: *limits,
            near,
            numbers: intervals(&mut TorqueUnit::ALL.iter().map(|unit| size(*unit))),
            torques: intervals(&mut WRONG_SCALES.iter().map(|(meant, scale)| size(*meant) / size(*scale))),
        }
    }

    /// The first of [`suspect`], without the others; nothing is allocated.
    ///
    /// Most readings outside fit in no unit at all, and few in one so closely that it has to be looked at.
    pub(crate) fn likeliest(&self, reading: &Reading, label: Label) -> Option<Slip> {
        let may_fit =
            self.numbers.hold(reading.number.value) || self.torques.hold(in_newton_metres(reading.torque));
        let near = self.near.filter(|_| may_fit && is_outside(&self.limits, reading, label))?;
        other_units(near, *reading).next().or_else(|| other_scales(near, *reading).next())
    }
}

/// Slips are looked for only when the reading itself lies outside the limits.
fn is_outside(limits: &Limits, reading: &Reading, label: Label) -> bool {
    label != Label::Inside && !limits.contain(reading.torque) && reading.number.value > 0.0
}

/// Figures are given and wrenches marked in halves of N·m and lbf·ft (common practice).
const USUAL_FIGURE: f64 = 0.5;
/// Scales that differ by less than this factor give each other's values without anybody noticing.
const NEAR_SCALES: f64 = 2.0;

impl Slip {
    /// The usual figure that lies nearest to what was perhaps set on a wrong scale, where the two scales differ by little.
    fn usual_figure(&self) -> Option<Torque> {
        let MixUp { meant: unit, scale } = self.units;
        let per_unit = in_newton_metres(unit.of(1.0)) / in_newton_metres(scale?.of(1.0));
        let are_near = (1.0 / NEAR_SCALES..=NEAR_SCALES).contains(&per_unit);
        are_near.then(|| unit.of((unit.value_of(self.meant) / USUAL_FIGURE).round() * USUAL_FIGURE))
    }

    /// The torque that was perhaps meant, as the figure that stands in a manual.
    pub(crate) fn figure(&self) -> Torque {
        self.usual_figure().unwrap_or(self.meant)
    }

    /// Whether a figure that was perhaps set on a wrong scale is worth naming. Scales of N·m and lbf·ft differ by so
    /// little that any value too high would be explained, so only one that is a usual figure counts, within the last
    /// digit of the reading.
    fn is_worth_naming(&self) -> bool {
        let (Some(scale), Some(usual)) = (self.units.scale, self.usual_figure()) else { return true };
        let unit = self.units.meant;
        let off = unit.value_of((self.meant - usual).abs());
        let last_digit = scale.value_of(self.reading.resolution().0);
        off <= last_digit / 2.0 * (1.0 + TOLERANCE)
    }
}

/// The number read in every other unit.
fn other_units(near: Near, reading: Reading) -> impl Iterator<Item = Slip> {
    let rest = TorqueUnit::ALL.iter().copied().filter(|unit| !ON_WRENCHES.contains(unit));
    ON_WRENCHES.into_iter().chain(rest).filter_map(move |unit| {
        let meant = unit.of(reading.number.value);
        near.fits(meant).then_some(Slip { reading, units: MixUp { meant: unit, scale: None }, meant })
    })
}

/// The six wrong scales. One whose scale has the unit of the log is left out: the number logged is
/// then the figure itself, which [`other_units`] names.
fn other_scales(near: Near, reading: Reading) -> impl Iterator<Item = Slip> {
    WRONG_SCALES.into_iter().filter(move |(_, scale)| *scale != reading.unit).filter_map(
        move |(unit, scale)| {
            let meant = unit.of(scale.value_of(reading.torque));
            let found = Slip { reading, units: MixUp { meant: unit, scale: Some(scale) }, meant };
            (near.fits(meant) && found.is_worth_naming()).then_some(found)
        },
    )
}

/// Torques that one may have meant: those within the limits and, where one of the limits is not known,
/// no further from the other than by a factor of two. Below a ceiling or above a floor alone, half of all
/// units would fit.
#[derive(Debug, Clone, Copy)]
struct Near {
    low: Torque,
    high: Torque,
}

impl Near {
    fn new(limits: &Limits) -> Option<Near> {
        match (limits.low(), limits.high()) {
            (Some(low), Some(high)) => Some(Near { low, high }),
            (None, Some(high)) => Some(Near { low: high / 2.0, high }),
            (Some(low), None) => Some(Near { low, high: low * 2.0 }),
            (None, None) => None,
        }
    }

    fn fits(self, torque: Torque) -> bool {
        at_least(torque, self.low) && at_least(self.high, torque)
    }
}

fn same_size(a: Torque, b: Torque) -> bool {
    (a - b).abs() <= a.abs() * TOLERANCE
}

#[cfg(test)]
#[path = "slip_tests.rs"]
mod tests;
