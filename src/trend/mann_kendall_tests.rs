use super::*;
use crate::quantity::newton_metres as nm;
use approx::assert_relative_eq;
use proptest::prelude::*;

fn test(values: &[f64]) -> MannKendall {
    let series: Vec<Torque> = values.iter().copied().map(nm).collect();
    mann_kendall(&series).unwrap()
}

#[test]
fn three_readings_never_prove_a_trend_and_four_only_just() {
    assert_relative_eq!(test(&[5.0, 4.5, 4.0]).falling.value(), 1.0 / 6.0, max_relative = 1e-14);
    assert_relative_eq!(test(&[5.0, 4.5, 4.0, 3.5]).falling.value(), 1.0 / 24.0, max_relative = 1e-14);
    assert!(test(&[5.0, 4.5, 4.5, 3.5]).falling.value() > 0.05);
    assert!(mann_kendall(&[nm(5.0)]).is_none());
}

#[test]
fn equal_values_show_nothing() {
    let flat = test(&[5.0; 6]);
    assert_eq!(flat.statistic, 0);
    assert_relative_eq!(flat.falling.value(), 1.0);
    assert_relative_eq!(flat.rising.value(), 1.0);
    assert_relative_eq!(flat.variance, 0.0);
    assert_relative_eq!(flat.z(), 0.0);
}

/// Every order of the values, counted one by one.
fn counted(values: &[f64]) -> (f64, f64) {
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
    let mut all = Vec::new();
    orders(&mut values.to_vec(), &mut Vec::new(), &mut all);
    let statistics: Vec<i64> =
        all.iter().map(|order| statistic(&order.iter().copied().map(nm).collect::<Vec<_>>())).collect();
    let seen = test(values).statistic;
    let share = |count: usize| {
        f64::from(u32::try_from(count).unwrap()) / f64::from(u32::try_from(all.len()).unwrap())
    };
    (
        share(statistics.iter().filter(|s| **s <= seen).count()),
        share(statistics.iter().filter(|s| **s >= seen).count()),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Few distinct values, so that ties are common.
    #[test]
    fn the_exact_chance_is_that_of_counting_every_order(values in proptest::collection::vec(1..5u8, 2..7)) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        let (falling, rising) = counted(&values);
        let found = test(&values);
        prop_assert!((found.falling.value() - falling).abs() < 1e-12);
        prop_assert!((found.rising.value() - rising).abs() < 1e-12);
    }

    #[test]
    fn a_series_read_backwards_has_the_opposite_trend(values in proptest::collection::vec(1.0..9.0f64, 2..60)) {
        let forwards = test(&values);
        let backwards = test(&values.iter().rev().copied().collect::<Vec<_>>());
        prop_assert_eq!(forwards.statistic, -backwards.statistic);
        prop_assert!((forwards.falling.value() - backwards.rising.value()).abs() < 1e-12);
    }

    /// Beyond the exact counts the normal approximation joins on.
    #[test]
    fn the_approximation_is_close_where_it_takes_over(values in proptest::collection::vec(1.0..9.0f64, 50)) {
        let exact = test(&values);
        prop_assert!((exact.falling.value() - normal::cumulative((f64::from(i32::try_from(exact.statistic).unwrap()) + 1.0) / exact.variance.sqrt()).value()).abs() < 2e-3);
    }
}
