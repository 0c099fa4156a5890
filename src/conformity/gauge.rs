//! The rule with limits and instrument worked out once, for one reading or for many (`specs/rules.md`, "Labels").
//!
//! [`judge`](super::judge) puts one reading to it; a log of millions puts its rows to it. Nothing here
//! allocates.

use super::uncertainty::Spread;
use super::{Instrument, Label, Limits, Probability, chance_inside, normal};
use crate::quantity::tolerance::{at_least, more_than};
use crate::quantity::{Spec, Torque, in_newton_metres};

/// How near to a turn of the label a reading has to be looked at, as a share of the limit.
const NEAR: f64 = 1e-6;

/// Limits and an instrument, ready to give readings their labels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    low: Option<Torque>,
    high: Option<Torque>,
    set_value: bool,
    /// The width of the range and 2U at its middle, where the range is the narrower one.
    narrow: Option<(Torque, Torque)>,
    spread: Spread,
}

impl Gauge {
    /// The gauge for readings that `instrument` took against `limits`.
    ///
    /// ```
    /// use evenclamp::conformity::{Accuracy, Deviation, Gauge, Instrument, Label, Limits};
    /// use evenclamp::quantity::{Spec, newton_metres as nm};
    /// let limits = Limits::new(Spec::range_nm(4.0, 6.0));
    /// let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
    /// let gauge = Gauge::new(&limits, &wrench);
    /// assert_eq!([3.5, 5.0, 5.9].map(|y| gauge.label(nm(y))), [Label::Low, Label::Inside, Label::TooClose]);
    /// ```
    #[must_use]
    pub fn new(limits: &Limits, instrument: &Instrument) -> Gauge {
        let set_value = matches!(limits.spec(), Spec::Set(_));
        Gauge {
            low: limits.low(),
            high: limits.high(),
            set_value,
            narrow: if set_value { None } else { narrow(limits, instrument) },
            spread: instrument.spread(),
        }
    }

    /// A gauge that compares readings with the limits as if they were known exactly (simple acceptance).
    #[must_use]
    pub fn exact(limits: &Limits) -> Gauge {
        let spread = Spread { slope: 0.0, constant: Torque::default() };
        Gauge { low: limits.low(), high: limits.high(), set_value: true, narrow: None, spread }
    }

    /// The lower limit, where one is known.
    #[must_use]
    pub fn low(&self) -> Option<Torque> {
        self.low
    }

    /// The upper limit, where one is known.
    #[must_use]
    pub fn high(&self) -> Option<Torque> {
        self.high
    }

    /// The label of a reading whose wrench is to be believed.
    ///
    /// The order of the questions is that of `specs/rules.md`, "Labels": is the reading beyond a limit by more than U;
    /// is the range wide enough for this wrench; is the reading U inside every limit.
    #[must_use]
    pub fn label(&self, reading: Torque) -> Label {
        let expanded = self.spread.expanded(reading);
        if self.low.is_some_and(|low| more_than(low, reading + expanded)) {
            return Label::Low;
        }
        if self.high.is_some_and(|high| more_than(reading, high + expanded)) {
            return Label::High;
        }
        if self.narrow.is_some() {
            return Label::NotSettled;
        }
        // What a set value allows is spent by the wrench it counts on: simple acceptance.
        let guard = if self.set_value { Torque::default() } else { expanded };
        let clear = self.low.is_none_or(|low| at_least(reading, low + guard))
            && self.high.is_none_or(|high| at_least(high, reading + guard));
        if clear { Label::Inside } else { Label::TooClose }
    }

    /// The chance that the true torque lies within the limits, given a reading (JCGM 106:2012, clause 7).
    #[must_use]
    pub fn chance_inside(&self, reading: Torque) -> Probability {
        chance_inside(self.low, self.high, reading, self.spread.standard(reading))
    }

    /// The readings at which the label may change, three for each limit and each as a stretch that holds it
    /// with room for rounding; none where U grows so fast with the reading that there may be others.
    ///
    /// Every question of [`Gauge::label`] compares the reading with a limit L, or with L ± U of the reading.
    /// Within a millionth of L of the readings that meet them the slack of comparisons and the last bits of U
    /// may count; further off they cannot.
    pub(crate) fn turns(&self) -> Option<impl Iterator<Item = [f64; 2]> + use<>> {
        let turns = |limit: Option<Torque>| {
            let Some(limit) = limit.map(in_newton_metres) else { return Some(None) };
            let [below, above] = self.times_u_off(limit, 2.0)?;
            let room = limit.abs().max(2.0 * in_newton_metres(self.spread.constant)) * NEAR;
            Some(Some([limit, below, above].map(|turn| [turn - room, turn + room])))
        };
        Some([turns(self.low)?, turns(self.high)?].into_iter().flatten().flatten())
    }

    /// A stretch in N·m in which every reading is inside with at least the given chance, half of what is
    /// left going to either side; none where u grows too fast with the reading to tell.
    pub(crate) fn surely_inside(&self, chance: Probability) -> Option<[f64; 2]> {
        let times = normal::quantile(Probability::clamped(f64::midpoint(chance.value(), 1.0)));
        let from = match self.low {
            Some(low) => self.times_u_off(in_newton_metres(low), times)?[1] * (1.0 + NEAR),
            None => 0.0,
        };
        let to = match self.high {
            Some(high) => self.times_u_off(in_newton_metres(high), times)?[0] * (1.0 - NEAR),
            None => f64::INFINITY,
        };
        Some([from, to])
    }

    /// Two readings in N·m: those below the first and those above the second are outside with at least the
    /// given chance; none where u grows too fast with the reading to tell.
    pub(crate) fn surely_outside(&self, chance: Probability) -> Option<[f64; 2]> {
        let times = normal::quantile(chance);
        let below = match self.low {
            Some(low) => self.times_u_off(in_newton_metres(low), times)?[0] * (1.0 - NEAR),
            None => 0.0,
        };
        let above = match self.high {
            Some(high) => self.times_u_off(in_newton_metres(high), times)?[1] * (1.0 + NEAR),
            None => f64::INFINITY,
        };
        Some([below, above])
    }

    /// The two readings y in N·m that lie so many times their own u below and above a limit L:
    /// (y − L)² = times²·((slope·y)² + constant²). None unless times·slope is at most a half: then
    /// y ∓ times·u grows with y, and there are no others.
    fn times_u_off(&self, limit: f64, times: f64) -> Option<[f64; 2]> {
        let (slope, constant) = (times * self.spread.slope, times * in_newton_metres(self.spread.constant));
        if !(0.0..=0.5).contains(&slope) {
            return None;
        }
        let share = 1.0 - slope * slope;
        // The discriminant, in a form in which nothing cancels.
        let root = (limit * slope).hypot(constant * share.sqrt());
        Some([(limit - root) / share, (limit + root) / share])
    }

    /// The width of the range and the 2U that it would have to have, where it is too narrow for the
    /// wrench.
    #[must_use]
    pub fn narrow(&self) -> Option<(Torque, Torque)> {
        self.narrow
    }
}

/// Whether the range is narrower than 2U: its width, and 2U.
///
/// U is taken at the middle of the range, not at the reading: then the answer belongs to the range
/// and the wrench alone, says whether a reading in the middle could be called inside, and a reading
/// moved towards the middle can never get a worse label. (U grows with the reading, so a reading just
/// below the middle might still clear both limits where the middle itself does not.)
fn narrow(limits: &Limits, instrument: &Instrument) -> Option<(Torque, Torque)> {
    let width = limits.width()?;
    let needed = instrument.expanded(limits.middle()?) * 2.0;
    more_than(needed, width).then_some((width, needed))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Accuracy, Deviation};
    use crate::quantity::newton_metres as nm;
    use proptest::prelude::*;

    fn gauge(spec: Spec, percent: f64) -> Gauge {
        let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
        Gauge::new(&Limits::new(spec), &Instrument::of_accuracy(accuracy))
    }

    #[test]
    fn a_reading_is_surely_inside_so_many_uncertainties_from_the_limits() {
        // z = 1.96 leaves 2.5 % on either side; u = 4 %/√3 of the reading: 4/(1 − 1.96u) and 6/(1 + 1.96u).
        let u = 0.04 / 3.0_f64.sqrt();
        let [from, to] =
            gauge(Spec::range_nm(4.0, 6.0), 4.0).surely_inside(Probability::new(0.95).unwrap()).unwrap();
        approx::assert_relative_eq!(from, 4.0 / (1.0 - 1.959_964 * u), max_relative = 2e-6);
        approx::assert_relative_eq!(to, 6.0 / (1.0 + 1.959_964 * u), max_relative = 2e-6);
        // z = 1.645 leaves 5 % on the side of the limit passed.
        let [below, above] =
            gauge(Spec::range_nm(4.0, 6.0), 4.0).surely_outside(Probability::new(0.95).unwrap()).unwrap();
        approx::assert_relative_eq!(below, 4.0 / (1.0 + 1.644_854 * u), max_relative = 2e-6);
        approx::assert_relative_eq!(above, 6.0 / (1.0 - 1.644_854 * u), max_relative = 2e-6);
        assert_eq!(gauge(Spec::Set(nm(5.0)), 30.0).surely_inside(Probability::new(0.9999).unwrap()), None);
    }

    proptest! {
        #[test]
        fn what_is_surely_inside_or_outside_has_that_chance(
            form in 0..3_u8, low in 0.5..50.0_f64, width in 0.0..30.0_f64, percent in 0.1..12.0_f64,
            chance in 0.5..0.999_999_f64, share in 0.0..=1.0_f64,
        ) {
            let spec = match form {
                0 => Spec::Ceiling(nm(low)),
                1 => Spec::Floor(nm(low)),
                _ => Spec::range_nm(low, low + width),
            };
            let gauge = gauge(spec, percent);
            let probability = Probability::new(chance).unwrap();
            if let Some([below, above]) = gauge.surely_outside(probability) {
                let readings = [below, below * share, above, above * (1.0 + share)];
                for reading in readings.into_iter().filter(|reading| *reading > 0.0 && reading.is_finite()) {
                    prop_assert!(gauge.chance_inside(nm(reading)).value() <= 1.0 - chance, "{}", reading);
                }
            }
            let stretch = gauge.surely_inside(probability);
            if let Some([from, to]) = stretch.filter(|[from, to]| from <= to) {
                let reading = from + share * (to.min(2.0 * from + 100.0) - from);
                for reading in [from, reading, to.min(1e6)] {
                    prop_assert!(gauge.chance_inside(nm(reading)).value() >= chance, "{}", reading);
                }
            }
        }
    }
}
