//! Readings by where they lie between the torques at which something changes.
//!
//! The label of a reading, whether it is outside the limits and whether the scale of its wrench reaches it
//! hang on the reading by comparisons alone. So the axis of torques falls into a few zones in each of which
//! everything is the same; it is worked out once for each, by the core's own functions, and a row only
//! has to find its zone. All steps are compared, without a branch: asked one after the other, the questions
//! cost a wrong guess of the processor in most rows. Readings right at a turn are in no zone and are judged
//! one by one. With the signs written down and values read without branches, the wrong guesses of a
//! simulated processor (callgrind) went from 8 to 2.6 a row.

use crate::conformity::joined_stretches;

/// Turns at most: three for each of two limits, and two ends of a scale.
const TURNS: usize = 8;
/// Zones at most.
pub(super) const ZONES: usize = TURNS + 1;

/// The turns for one subject and one wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ladder {
    /// Where each turn begins and ends, in N·m and in order; those that are not needed lie beyond everything.
    steps: [f64; 2 * TURNS],
}

impl Ladder {
    /// The ladder of stretches that hold a turn; those that touch are one. None where there are too many.
    pub(super) fn new(turns: impl IntoIterator<Item = [f64; 2]>) -> Option<Ladder> {
        let (mut given, mut count) = ([[0.0; 2]; TURNS], 0);
        for turn in turns {
            *given.get_mut(count)? = turn;
            count += 1;
        }
        let turns = joined_stretches(given.get_mut(..count)?).as_flattened();
        let mut steps = [f64::INFINITY; 2 * TURNS];
        steps.get_mut(..turns.len())?.copy_from_slice(turns);
        Some(Ladder { steps })
    }

    /// A ladder on which every reading lies at a turn.
    pub(super) fn without_zones() -> Ladder {
        let mut steps = [f64::INFINITY; 2 * TURNS];
        steps[0] = f64::NEG_INFINITY;
        Ladder { steps }
    }

    /// The zone of a reading in N·m; none right at a turn.
    #[inline]
    pub(super) fn zone(&self, reading: f64) -> Option<usize> {
        let passed: usize = self.steps.iter().map(|&step| usize::from(step <= reading)).sum();
        passed.is_multiple_of(2).then_some(passed / 2)
    }

    /// A reading in every zone.
    pub(super) fn samples(&self) -> [f64; ZONES] {
        std::array::from_fn(|zone| {
            let edge = |at: Option<usize>| at.and_then(|at| self.steps.get(at)).copied();
            let from = edge((2 * zone).checked_sub(1)).unwrap_or(0.0).max(0.0);
            match edge(Some(2 * zone)).filter(|to| to.is_finite()) {
                Some(to) => f64::midpoint(from, to),
                None if from.is_finite() => 2.0 * from + 1.0,
                None => 0.0,
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Accuracy, Deviation, Gauge, Instrument, Limits};
    use crate::quantity::{Spec, newton_metres as nm};
    use proptest::prelude::*;

    #[test]
    fn zones_lie_between_turns_and_turns_that_touch_are_one() {
        let ladder = Ladder::new([[5.0, 6.0], [1.0, 2.0], [1.5, 3.0]]).unwrap();
        let zones = [0.0, 1.0, 2.5, 3.0, 4.0, 5.5, 7.0, f64::INFINITY].map(|y| ladder.zone(y));
        assert_eq!(zones[..7], [Some(0), None, None, Some(1), Some(1), None, Some(2)]);
        assert_eq!(ladder.samples()[..3], [0.5, 4.0, 13.0]);
        assert_eq!([0.0, 5.0].map(|y| Ladder::without_zones().zone(y)), [None; 2]);
        assert!(Ladder::new((0..9).map(|at| [f64::from(at), f64::from(at) + 0.5])).is_none());
    }

    fn specs() -> impl Strategy<Value = Spec> {
        (0.2..80.0_f64, 0.0..40.0_f64, 0..5_u8).prop_map(|(low, width, form)| match form {
            0 => Spec::Ceiling(nm(low)),
            1 => Spec::Floor(nm(low)),
            2 => Spec::Set(nm(low)),
            3 => Spec::range_nm(low, low + width / 100.0),
            _ => Spec::range_nm(low, low + width),
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]

        /// In every zone the label is that of the zone's sample, right up to the turns.
        #[test]
        fn a_zone_has_one_label(
            spec in specs(),
            percent in 0.1..30.0_f64,
            step in prop_oneof![Just(None), (0.01..3.0_f64).prop_map(Some)],
            readings in proptest::collection::vec(0.0..150.0_f64, 50),
        ) {
            let limits = Limits::new(spec);
            let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
            let instrument = Instrument::new(accuracy, step.map(nm), None).unwrap();
            let gauge = Gauge::new(&limits, &instrument);
            let turns: Vec<[f64; 2]> = gauge.turns().unwrap().collect();
            let ladder = Ladder::new(turns.clone()).unwrap();
            let samples = ladder.samples();
            let edges = turns.into_iter().flatten().flat_map(|edge| [edge.next_down(), edge, edge.next_up()]);
            let mut told = 0;
            for reading in readings.into_iter().chain(edges).filter(|reading| *reading >= 0.0) {
                if let Some(zone) = ladder.zone(reading) {
                    prop_assert_eq!(gauge.label(nm(reading)), gauge.label(nm(samples[zone])), "{}", reading);
                    prop_assert_eq!(limits.contain(nm(reading)), limits.contain(nm(samples[zone])), "{}", reading);
                    told += 1;
                }
            }
            prop_assert!(told > 30);
        }
    }
}
