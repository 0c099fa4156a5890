//! The trend test against the published series and figures in `mann_kendall_series.csv`,
//! `mann_kendall.csv` and `mann_kendall_critical.csv`.

use evenclamp::falling_chance;
use evenclamp::quantity::{Torque, newton_metres as nm};
use serde::Deserialize;

#[derive(Deserialize)]
struct Point {
    series: String,
    value: f64,
}

#[derive(Deserialize)]
struct TrendRow {
    id: String,
    series: String,
    figure: String,
    expected: f64,
    tolerance: f64,
}

/// The chance of a fall at least as clear; the numbers of a series stand in as N·m.
fn falling(values: &[f64]) -> f64 {
    let torques: Vec<Torque> = values.iter().copied().map(nm).collect();
    falling_chance(&torques).unwrap().value()
}

/// A series rises as clearly as it falls when read backwards.
fn rising(values: &[f64]) -> f64 {
    falling(&values.iter().rev().copied().collect::<Vec<_>>())
}

#[test]
fn trends_agree_with_published_examples() {
    let points = crate::table::rows::<Point>("mann_kendall_series.csv");
    for row in crate::table::rows::<TrendRow>("mann_kendall.csv") {
        let series: Vec<f64> =
            points.iter().filter(|point| point.series == row.series).map(|point| point.value).collect();
        assert!(!series.is_empty(), "{}: no series {}", row.id, row.series);
        let got = match row.figure.as_str() {
            "p rising" => rising(&series),
            "p falling" => falling(&series),
            other => panic!("unknown figure {other}"),
        };
        // The half unit of the last printed digit is met to the last bits.
        let close = (got - row.expected).abs() <= row.tolerance * (1.0 + 1e-9);
        assert!(close, "{} {}: {got}, not {}", row.id, row.figure, row.expected);
    }
}

#[derive(Deserialize)]
struct CriticalRow {
    id: String,
    count: u8,
    critical: i64,
    level: f64,
    recomputed_chance: f64,
    tolerance: f64,
}

/// A series of the numbers 1 to `count` with the given S: sorted, then neighbours swapped until enough
/// pairs fall.
fn series_with(count: u8, statistic: i64) -> Vec<f64> {
    let mut values: Vec<u8> = (1..=count).collect();
    let pairs = i64::from(count) * (i64::from(count) - 1) / 2;
    let mut falling = (pairs - statistic) / 2;
    while falling > 0 {
        let place = values.windows(2).position(|pair| pair[0] < pair[1]).unwrap();
        values.swap(place, place + 1);
        falling -= 1;
    }
    values.into_iter().map(f64::from).collect()
}

#[test]
fn critical_values_of_mann_kendall_are_the_smallest_that_reach_their_level() {
    for row in crate::table::rows::<CriticalRow>("mann_kendall_critical.csv") {
        let chance = rising(&series_with(row.count, row.critical));
        assert!(chance <= row.level, "{}: {chance}", row.id);
        assert!((chance - row.recomputed_chance).abs() <= row.tolerance, "{}: {chance}", row.id);
        let pairs = i64::from(row.count) * (i64::from(row.count) - 1) / 2;
        if row.critical + 2 <= pairs {
            let next = rising(&series_with(row.count, row.critical - 2));
            assert!(next > row.level, "{}: S − 2 reaches the level too", row.id);
        }
    }
}
