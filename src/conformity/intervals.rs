//! Intervals of the axis of numbers, put together so that many numbers can be asked for.

/// Intervals that do not touch, by their ends in order.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Intervals {
    ends: Vec<f64>,
}

impl Intervals {
    /// Intervals from where each begins and ends; those that touch become one.
    pub(crate) fn new(mut intervals: Vec<[f64; 2]>) -> Intervals {
        Intervals { ends: joined_intervals(&mut intervals).as_flattened().to_vec() }
    }

    /// Whether a number lies in one of them, its end left out. All ends are compared, without a branch: in
    /// long logs the processor would guess wrong too often.
    pub(crate) fn hold(&self, number: f64) -> bool {
        let passed: usize = self.ends.iter().map(|&end| usize::from(end <= number)).sum();
        !passed.is_multiple_of(2)
    }
}

/// Puts intervals, each given by where it begins and ends, in order, and makes one of those that touch.
pub(crate) fn joined_intervals(intervals: &mut [[f64; 2]]) -> &[[f64; 2]] {
    intervals.sort_unstable_by(|a, b| a[0].total_cmp(&b[0]));
    let mut kept = 0;
    for at in 0..intervals.len() {
        let next = intervals[at];
        match intervals[..kept].last_mut() {
            Some(last) if next[0] <= last[1] => last[1] = last[1].max(next[1]),
            _ => {
                intervals[kept] = next;
                kept += 1;
            }
        }
    }
    &intervals[..kept]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn intervals_that_touch_are_one() {
        let mut intervals = [[5.0, 6.0], [1.0, 2.0], [1.5, 3.0], [6.0, 7.0]];
        assert_eq!(joined_intervals(&mut intervals), [[1.0, 3.0], [5.0, 7.0]]);
        let intervals = Intervals::new(intervals.to_vec());
        let held = [0.0, 1.0, 2.9, 3.0, 6.5, 7.0].map(|number| intervals.hold(number));
        assert_eq!(held, [false, true, true, false, true, false]);
    }

    proptest! {
        #[test]
        fn a_number_is_held_where_any_interval_holds_it(
            intervals in proptest::collection::vec((0..50_u8, 0..9_u8), 0..12), number in 0..60_u8,
        ) {
            let ends = |(from, width): (u8, u8)| [f64::from(from), f64::from(from + width)];
            let intervals: Vec<[f64; 2]> = intervals.into_iter().map(ends).collect();
            let number = f64::from(number);
            let expected = intervals.iter().any(|[from, to]| *from <= number && number < *to);
            prop_assert_eq!(Intervals::new(intervals).hold(number), expected);
        }
    }
}
