//! Stretches of the axis of numbers, put together so that many numbers can be asked for.

/// Stretches that do not touch, by their ends in order.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stretches {
    /// Where each begins and ends.
    ends: Vec<f64>,
}

impl Stretches {
    /// Stretches from where each begins and ends; those that touch become one.
    pub(crate) fn new(mut stretches: Vec<[f64; 2]>) -> Stretches {
        Stretches { ends: joined_stretches(&mut stretches).as_flattened().to_vec() }
    }

    /// Whether a number lies in one of them, its end left out. All ends are compared, without a branch: in
    /// long logs the processor would guess wrong too often.
    pub(crate) fn hold(&self, number: f64) -> bool {
        let passed: usize = self.ends.iter().map(|&end| usize::from(end <= number)).sum();
        !passed.is_multiple_of(2)
    }
}

/// Puts stretches, each given by where it begins and ends, in order, and makes one of those that touch.
pub(crate) fn joined_stretches(stretches: &mut [[f64; 2]]) -> &[[f64; 2]] {
    stretches.sort_unstable_by(|a, b| a[0].total_cmp(&b[0]));
    let mut kept = 0;
    for at in 0..stretches.len() {
        let next = stretches[at];
        match stretches[..kept].last_mut() {
            Some(last) if next[0] <= last[1] => last[1] = last[1].max(next[1]),
            _ => {
                stretches[kept] = next;
                kept += 1;
            }
        }
    }
    &stretches[..kept]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn stretches_that_touch_are_one() {
        let mut stretches = [[5.0, 6.0], [1.0, 2.0], [1.5, 3.0], [6.0, 7.0]];
        assert_eq!(joined_stretches(&mut stretches), [[1.0, 3.0], [5.0, 7.0]]);
        let stretches = Stretches::new(stretches.to_vec());
        let held = [0.0, 1.0, 2.9, 3.0, 6.5, 7.0].map(|number| stretches.hold(number));
        assert_eq!(held, [false, true, true, false, true, false]);
    }

    proptest! {
        #[test]
        fn a_number_is_held_where_any_stretch_holds_it(
            stretches in proptest::collection::vec((0..50_u8, 0..9_u8), 0..12), number in 0..60_u8,
        ) {
            let ends = |(from, width): (u8, u8)| [f64::from(from), f64::from(from + width)];
            let stretches: Vec<[f64; 2]> = stretches.into_iter().map(ends).collect();
            let number = f64::from(number);
            let expected = stretches.iter().any(|[from, to]| *from <= number && number < *to);
            prop_assert_eq!(Stretches::new(stretches).hold(number), expected);
        }
    }
}
