use super::*;
use crate::quantity::{TorqueUnit, newton_metres as nm};
use approx::assert_relative_eq;
use proptest::prelude::*;

fn chance(values: &[f64]) -> f64 {
    let series: Vec<Torque> = values.iter().copied().map(nm).collect();
    falling_chance(&series).unwrap().value()
}

#[test]
fn three_readings_never_prove_a_trend_and_four_only_just() {
    assert_relative_eq!(chance(&[5.0, 4.5, 4.0]), 1.0 / 6.0, max_relative = 1e-14);
    assert_relative_eq!(chance(&[5.0, 4.5, 4.0, 3.5]), 1.0 / 24.0, max_relative = 1e-14);
    assert!(chance(&[5.0, 4.5, 4.5, 3.5]) > 0.05);
    assert!(falling_chance(&[nm(5.0)]).is_none());
}

#[test]
fn equal_values_show_nothing() {
    assert_relative_eq!(chance(&[5.0; 6]), 1.0);
}

/// 44 lbf·in is one torque, whether it was typed as it is or in N·m to the last digit: a tie, not a fall.
#[test]
fn torques_that_differ_in_their_last_bits_are_tied() {
    let typed = TorqueUnit::PoundForceInch.of(44.0);
    let in_other_unit = TorqueUnit::PoundForceFoot.of(44.0 / 12.0);
    let nudged = |steps: u64| nm(f64::from_bits(crate::quantity::in_newton_metres(typed).to_bits() - steps));
    let series = [typed, in_other_unit, nudged(1), nudged(2), nudged(3)];
    assert_relative_eq!(falling_chance(&series).unwrap().value(), 1.0);
}

/// The share of all orders of the values whose S is at most that of the order given, counted one by one.
fn counted(values: &[f64]) -> f64 {
    fn orders(rest: &mut Vec<f64>, order: &mut Vec<f64>, all: &mut Vec<Vec<f64>>) {
        if rest.is_empty() {
            all.push(order.clone());
        }
        for place in 0..rest.len() {
            order.push(rest.remove(place));
            orders(rest, order, all);
            rest.insert(place, order.pop().unwrap());
        }
    }
    let s = |order: &[f64]| statistic(&order.iter().copied().map(nm).collect::<Vec<_>>());
    let mut all = Vec::new();
    orders(&mut values.to_vec(), &mut Vec::new(), &mut all);
    let as_low = all.iter().filter(|order| s(order) <= s(values)).count();
    f64::from(u32::try_from(as_low).unwrap()) / f64::from(u32::try_from(all.len()).unwrap())
}

/// The same count by sums of positive terms alone, which lose nothing: each value put behind so many higher ones.
fn without_ties(series: &[f64]) -> f64 {
    let mut orders = vec![1.0];
    for placed in 1..series.len() {
        let mut next = vec![0.0; orders.len() + placed];
        for (falling, ways) in orders.iter().enumerate() {
            next[falling..=falling + placed].iter_mut().for_each(|slot| *slot += ways);
        }
        orders = next;
    }
    let falling = |place: usize| series[place + 1..].iter().filter(|later| **later < series[place]).count();
    let wanted: usize = (0..series.len()).map(falling).sum();
    orders[wanted..].iter().sum::<f64>() / orders.iter().sum::<f64>()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Few distinct values, so that ties are common.
    #[test]
    fn the_exact_chance_is_that_of_counting_every_order(values in proptest::collection::vec(1..5u8, 2..7)) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        prop_assert!((chance(&values) - counted(&values)).abs() < 1e-12);
    }

    /// The chances of at most S and of at least S + 2 make up the whole, and read backwards S is −S.
    #[test]
    fn a_series_and_its_mirror_make_up_the_whole(values in proptest::collection::vec(1.0..9.0f64, 2..50)) {
        let backwards: Vec<f64> = values.iter().rev().copied().collect();
        prop_assert!(chance(&values) + chance(&backwards) >= 1.0 - 1e-12);
    }

    /// As many values as are ever looked at, and chances down to those of one order in all: to eleven digits.
    #[test]
    fn many_values_lose_no_digits(values in proptest::collection::vec(1.0..9.0f64, 2..51), fall in 0.0..2.0f64) {
        let values: Vec<f64> = (0_u8..).zip(values).map(|(n, value)| 99.0 + value - fall * f64::from(n)).collect();
        assert_relative_eq!(chance(&values), without_ties(&values), max_relative = 1e-11);
    }
}
