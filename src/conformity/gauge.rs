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
    /// What would be assumed of a wrench of which nothing is known: one that conforms earns no worse a label.
    assumed: Option<Spread>,
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
        let gauge = Gauge {
            low: limits.low(),
            high: limits.high(),
            set_value: matches!(limits.spec(), Spec::Set(_)),
            narrow: None,
            spread: instrument.spread(),
            assumed: instrument.assumed_instead(limits.largest()),
        };
        Gauge { narrow: if gauge.set_value { None } else { gauge.narrow(limits) }, ..gauge }
    }

    /// A gauge that compares readings with the limits as if they were known exactly (simple acceptance).
    pub(crate) fn exact(limits: &Limits) -> Gauge {
        let spread = Spread { slope: 0.0, constant: Torque::default() };
        Gauge { low: limits.low(), high: limits.high(), set_value: true, narrow: None, spread, assumed: None }
    }

    /// How far inside its limits a reading has to lie: its U, or that of a wrench of which nothing is known.
    fn guard(&self, reading: Torque) -> Torque {
        let own = self.spread.expanded(reading);
        self.assumed.map_or(own, |assumed| own.min(assumed.expanded(reading)))
    }

    /// Whether a range is narrower than twice the guard: its width, and the 2U that it would have to have.
    ///
    /// It is taken at the middle of the range, not at the reading: then the answer belongs to the range
    /// and the wrench alone, says whether a reading in the middle could be called inside, and a reading
    /// moved towards the middle can never get a worse label. (U grows with the reading, so a reading just
    /// below the middle might still clear both limits where the middle itself does not.)
    fn narrow(&self, limits: &Limits) -> Option<(Torque, Torque)> {
        let (width, middle) = (limits.width()?, limits.middle()?);
        more_than(self.guard(middle) * 2.0, width).then(|| (width, self.spread.expanded(middle) * 2.0))
    }

    /// The label of a reading whose wrench is to be believed.
    ///
    /// The order of the questions is that of `specs/rules.md`, "Labels": is the reading beyond a limit by more than U;
    /// is the range wide enough for this wrench; is the reading far enough inside every limit.
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
        let guard = if self.set_value { Torque::default() } else { self.guard(reading) };
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
        let breakpoints = |limit: Option<Torque>, is_low: bool| {
            let Some(limit) = limit.map(in_newton_metres) else { return Some(None) };
            let own = times_u_off(self.spread, limit, 2.0)?;
            let assumed = self.assumed.map_or(Some(own), |assumed| times_u_off(assumed, limit, 2.0))?;
            let [below, above] =
                if is_low { [own[0], own[1].min(assumed[1])] } else { [own[0].max(assumed[0]), own[1]] };
            let room = limit.abs().max(2.0 * in_newton_metres(self.spread.constant)) * NEAR;
            Some(Some([limit, below, above].map(|at| [at - room, at + room])))
        };
        Some([breakpoints(self.low, true)?, breakpoints(self.high, false)?].into_iter().flatten().flatten())
    }

    /// The readings in N·m between which the chance of being inside is 1, and those below and above which it is 0, in
    /// both cases to less than a ten thousandth: they lie four times u off the limits.
    pub(crate) fn sure(&self) -> [[f64; 2]; 2] {
        let off = |limit: Option<Torque>, none: f64| match limit.map(in_newton_metres) {
            Some(limit) => times_u_off(self.spread, limit, 4.0).unwrap_or([f64::NEG_INFINITY, f64::INFINITY]),
            None => [none; 2],
        };
        let (low, high) = (off(self.low, f64::NEG_INFINITY), off(self.high, f64::INFINITY));
        [[low[1], high[0]], [low[0], high[1]]]
    }
}

/// The two readings y in N·m that lie so many times their own u below and above a limit L:
/// (y − L)² = times²·((slope·y)² + constant²). None unless times·slope is at most a half: then
/// y ∓ times·u grows with y, and there are no others.
fn times_u_off(spread: Spread, limit: f64, times: f64) -> Option<[f64; 2]> {
    let (slope, constant) = (times * spread.slope, times * in_newton_metres(spread.constant));
    if !(0.0..=0.5).contains(&slope) {
        return None;
    }
    let share = 1.0 - slope * slope;
    // The discriminant, in a form in which nothing cancels.
    let root = (limit * slope).hypot(constant * share.sqrt());
    Some([(limit - root) / share, (limit + root) / share])
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

    /// Limits up to 10 N·m: 6 % is assumed, u = 6 %/√3 = 3.464 %; a step of 1 N·m alone has u = 0.289 N·m, U = 0.577.
    #[test]
    fn a_wrench_that_conforms_gets_no_worse_label_than_one_that_is_not_known() {
        let limits = Limits::new(Spec::range_nm(4.0, 6.0));
        let of = |percent, step| {
            let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
            Gauge::new(&limits, &Instrument::new(accuracy, step, None).unwrap())
        };
        let unknown = Gauge::new(&limits, &Instrument::of_accuracy(Accuracy::assumed(limits.largest())));
        let step = Some(newton_metres(1.0));
        let inside = |gauge: &Gauge, reading| gauge.label(newton_metres(reading)) == Label::Inside;
        // 4.3 - 0.298 and 5.62 + 0.389 lie at the limits.
        let ends = [4.29, 4.30, 5.61, 5.62];
        assert_eq!(ends.map(|reading| inside(&unknown, reading)), [false, true, true, false]);
        for known in [of(4.0, step), of(6.0, step), of(6.0, Some(newton_metres(0.1)))] {
            assert_eq!(ends.map(|reading| inside(&known, reading)), [false, true, true, false]);
            assert_eq!(known.narrow, None);
        }
        // One that is better is believed, one that ISO 6789-1 would not let pass as well.
        assert!(inside(&of(1.0, None), 4.06) && !inside(&of(6.1, None), 4.30));
        // Beyond its own U alone is a reading high or low.
        assert_eq!(
            [3.5, 3.3].map(|reading| of(4.0, step).label(newton_metres(reading))),
            [Label::TooClose, Label::Low]
        );
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
