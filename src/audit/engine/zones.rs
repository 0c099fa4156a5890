//! Readings by where they lie between the torques at which something changes.
//!
//! The label of a reading, whether it is outside the limits and whether the scale of its wrench reaches it
//! hang on the reading by comparisons alone. So the axis of torques falls into a few zones in each of which
//! everything is the same; it is worked out once for each, by the core's own functions, and a row only
//! has to find its zone. All ends are compared, without a branch: asked one after the other, the questions
//! cost a wrong guess of the processor in most rows. Readings right at a breakpoint are in no zone and are
//! judged one by one.

use crate::conformity::joined_intervals;

/// Breakpoints at most: three for each of two limits, and two ends of a scale.
const BREAKPOINTS: usize = 8;
pub(super) const ZONES: usize = BREAKPOINTS + 1;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ZoneTable {
    /// Where each breakpoint begins and ends, in N·m and in order; those that are not needed lie beyond
    /// everything.
    ends: [f64; 2 * BREAKPOINTS],
}

impl ZoneTable {
    /// The table of intervals that each hold a breakpoint; those that touch are one. Where there are too many,
    /// or they are not known, every reading lies at a breakpoint.
    pub(super) fn new(breakpoints: Option<Vec<[f64; 2]>>) -> ZoneTable {
        let mut ends = [f64::INFINITY; 2 * BREAKPOINTS];
        let mut breakpoints = breakpoints.unwrap_or_else(|| vec![[f64::NEG_INFINITY, f64::INFINITY]]);
        let joined = joined_intervals(&mut breakpoints).as_flattened();
        match ends.get_mut(..joined.len()) {
            Some(known) => known.copy_from_slice(joined),
            None => ends[0] = f64::NEG_INFINITY,
        }
        ZoneTable { ends }
    }

    /// The zone of a reading in N·m; none right at a breakpoint.
    pub(super) fn zone(&self, reading: f64) -> Option<usize> {
        let passed: usize = self.ends.iter().map(|&end| usize::from(end <= reading)).sum();
        passed.is_multiple_of(2).then_some(passed / 2)
    }

    pub(super) fn samples(&self) -> [f64; ZONES] {
        std::array::from_fn(|zone| {
            let edge = |at: Option<usize>| at.and_then(|at| self.ends.get(at)).copied();
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
    fn zones_lie_between_breakpoints_and_breakpoints_that_touch_are_one() {
        let table = ZoneTable::new(Some(vec![[5.0, 6.0], [1.0, 2.0], [1.5, 3.0]]));
        let zones = [0.0, 1.0, 2.5, 3.0, 4.0, 5.5, 7.0, f64::INFINITY].map(|y| table.zone(y));
        assert_eq!(zones[..7], [Some(0), None, None, Some(1), Some(1), None, Some(2)]);
        assert_eq!(table.samples()[..3], [0.5, 4.0, 13.0]);
        let too_many = (0..9).map(|at| [f64::from(at), f64::from(at) + 0.5]).collect();
        for table in [ZoneTable::new(None), ZoneTable::new(Some(too_many))] {
            assert_eq!([0.0, 0.7, 5.0].map(|reading| table.zone(reading)), [None; 3]);
        }
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

        /// In every zone the label is that of the zone's sample, right up to the breakpoints.
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
            let breakpoints: Vec<[f64; 2]> = gauge.breakpoints().unwrap().collect();
            let table = ZoneTable::new(Some(breakpoints.clone()));
            let samples = table.samples();
            let edges = breakpoints.into_iter().flatten().flat_map(|edge| [edge.next_down(), edge, edge.next_up()]);
            let mut told = 0;
            for reading in readings.into_iter().chain(edges).filter(|reading| *reading >= 0.0) {
                if let Some(zone) = table.zone(reading) {
                    prop_assert_eq!(gauge.label(nm(reading)), gauge.label(nm(samples[zone])), "{}", reading);
                    prop_assert_eq!(limits.contain(nm(reading)), limits.contain(nm(samples[zone])), "{}", reading);
                    told += 1;
                }
            }
            prop_assert!(told > 30);
        }
    }
}
