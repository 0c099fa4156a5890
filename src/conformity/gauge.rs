//! The rule with limits and instrument worked out once, for one reading or for many (`specs/rules.md`, "Labels").
//!
//! [`judge`](super::judge) puts one reading to it, a log of millions its rows. Nothing here allocates.

use super::uncertainty::Spread;
use super::{Instrument, Label, Limits, Probability, chance_inside};
use crate::quantity::tolerance::{at_least, more_than};
use crate::quantity::{Spec, Torque, in_newton_metres};

/// How near to a breakpoint of the label a reading has to be looked at, as a share of the limit.
const NEAR: f64 = 1e-6;

/// Limits and an instrument, ready to give readings their labels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// The lower limit, where one is known.
    pub low: Option<Torque>,
    /// The upper limit, where one is known.
    pub high: Option<Torque>,
    set_value: bool,
    /// The width of a range too narrow for the wrench, and the 2U at its middle that it would have to have.
    pub narrow: Option<(Torque, Torque)>,
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
    pub(crate) fn exact(limits: &Limits) -> Gauge {
        let spread = Spread { slope: 0.0, constant: Torque::default() };
        Gauge { low: limits.low(), high: limits.high(), set_value: true, narrow: None, spread }
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

    /// Whether a chance says anything: what a set value allows is a wrench's deviation, not a range for the bolt.
    pub(crate) fn tells_chance(&self) -> bool {
        !self.set_value
    }

    /// The chance that the true torque lies within the limits, given a reading (JCGM 106:2012, clause 7).
    #[must_use]
    pub fn chance_inside(&self, reading: Torque) -> Probability {
        chance_inside(self.low, self.high, reading, self.spread.standard(reading))
    }

    /// The readings at which the label may change, three for each limit and each as an interval that holds it
    /// with room for rounding; none where U grows so fast with the reading that there may be others.
    ///
    /// Every question of [`Gauge::label`] compares the reading with a limit L, or with L ± U of the reading.
    /// Within a millionth of L of the readings that meet them the tolerance of comparisons and the last bits of U
    /// may count; further off they cannot.
    pub(crate) fn breakpoints(&self) -> Option<impl Iterator<Item = [f64; 2]> + use<>> {
        let breakpoints = |limit: Option<Torque>| {
            let Some(limit) = limit.map(in_newton_metres) else { return Some(None) };
            let [below, above] = self.times_u_off(limit, 2.0)?;
            let room = limit.abs().max(2.0 * in_newton_metres(self.spread.constant)) * NEAR;
            Some(Some([limit, below, above].map(|at| [at - room, at + room])))
        };
        Some([breakpoints(self.low)?, breakpoints(self.high)?].into_iter().flatten().flatten())
    }

    /// The readings in N·m between which the chance of being inside is 1, and those below and above which it is 0, in
    /// both cases to less than a ten thousandth: they lie four times u off the limits.
    pub(crate) fn sure(&self) -> [[f64; 2]; 2] {
        let off = |limit: Option<Torque>, none: f64| match limit.map(in_newton_metres) {
            Some(limit) => self.times_u_off(limit, 4.0).unwrap_or([f64::NEG_INFINITY, f64::INFINITY]),
            None => [none; 2],
        };
        let (low, high) = (off(self.low, f64::NEG_INFINITY), off(self.high, f64::INFINITY));
        [[low[1], high[0]], [low[0], high[1]]]
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
    use crate::quantity::newton_metres;
    use proptest::prelude::*;

    fn gauge(spec: Spec, percent: f64) -> Gauge {
        let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
        Gauge::new(&Limits::new(spec), &Instrument::of_accuracy(accuracy))
    }

    #[test]
    fn a_label_may_change_at_each_limit_and_2u_off_it() {
        // u = 4 %/√3 of the reading: y ∓ 2u·y = L.
        let u = 0.04 / 3.0_f64.sqrt();
        let breakpoints: Vec<[f64; 2]> =
            gauge(Spec::range_nm(4.0, 6.0), 4.0).breakpoints().unwrap().collect();
        let expected = [4.0, 6.0].map(|limit| [limit, limit / (1.0 + 2.0 * u), limit / (1.0 - 2.0 * u)]);
        assert_eq!(breakpoints.len(), 6);
        for ([from, to], torque) in breakpoints.into_iter().zip(expected.as_flattened().iter().copied()) {
            assert!(from < torque && torque < to && to - from < 2e-5 * torque, "{from} {torque} {to}");
        }
    }

    proptest! {
        /// Where a chance is called sure it is 0 or 1 to less than a ten thousandth, and somewhere it is.
        #[test]
        fn sure_chances_are_sure(
            form in 0..4_u8, low in 1.0..60.0_f64, width in 0.0..20.0_f64, percent in 0.1..30.0_f64,
        ) {
            let spec = match form {
                0 => Spec::Ceiling(newton_metres(low)),
                1 => Spec::Floor(newton_metres(low)),
                2 => Spec::Set(newton_metres(low)),
                _ => Spec::range_nm(low, low + width),
            };
            let gauge = gauge(spec, percent);
            let [inside, outside] = gauge.sure();
            let mut sure = 0;
            for reading in (0..800).map(|step| f64::from(step) * 0.1) {
                let chance = gauge.chance_inside(newton_metres(reading)).value();
                if inside[0] < reading && reading < inside[1] {
                    prop_assert!(chance > 0.9999, "{reading}: {chance}");
                    sure += 1;
                } else if reading < outside[0] || outside[1] < reading {
                    prop_assert!(chance < 0.0001, "{reading}: {chance}");
                    sure += 1;
                }
            }
            prop_assert!(sure > 0 || percent > 20.0);
        }
    }
}
