//! Trend tests and control charts against the published series and figures in
//! `tests/published/series.csv`, `trend.csv` and `mann_kendall_critical.csv`.

use evenclamp::quantity::{Torque, in_newton_metres, newton_metres as nm};
use evenclamp::trend::{Observation, cusum, ewma, individuals, least_squares, mann_kendall, sen_slope};
use serde::Deserialize;

#[derive(Deserialize)]
struct Point {
    series: String,
    time: f64,
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

/// One figure of a series. The numbers of a series stand in as N·m and its times as days.
#[cfg(test)]
fn figure(name: &str, series: &[Observation]) -> f64 {
    let values: Vec<Torque> = series.iter().map(|observation| observation.torque).collect();
    let number = in_newton_metres;
    if let Some(part) = name.strip_prefix("ewma ") {
        // NIST/SEMATECH e-Handbook, 6.3.2.4: λ = 0.3, start 50, s = 2.0539.
        let chart = ewma(&values, 0.3, nm(50.0), nm(2.0539)).unwrap();
        return match part {
            "upper" => number(chart.limits.upper),
            "lower" => number(chart.limits.lower),
            place => number(chart.averages[place.parse::<usize>().unwrap() - 1]),
        };
    }
    match name {
        "mean" => number(individuals(&values).unwrap().limits.centre),
        "mean_moving_range" => number(individuals(&values).unwrap().mean_moving_range),
        "upper" => number(individuals(&values).unwrap().limits.upper),
        "lower" => number(individuals(&values).unwrap().limits.lower),
        "out" => f64::from(u32::try_from(individuals(&values).unwrap().out.len()).unwrap()),
        // NIST/SEMATECH e-Handbook, 6.3.2.3: target 325, k = 0.3175, h = 4.1959; counted from 1.
        "first signal" => {
            let place = cusum(&values, nm(325.0), nm(0.3175), nm(4.1959)).first_signal.unwrap();
            f64::from(u32::try_from(place + 1).unwrap())
        }
        "S" => f64::from(i32::try_from(mann_kendall(&values).unwrap().statistic).unwrap()),
        "variance" => mann_kendall(&values).unwrap().variance,
        "z" => mann_kendall(&values).unwrap().z(),
        "p rising" => mann_kendall(&values).unwrap().rising.value(),
        "p falling" => mann_kendall(&values).unwrap().falling.value(),
        "sen slope" => number(sen_slope(series).unwrap().in_a_day()),
        "slope" => number(least_squares(series).unwrap().slope.in_a_day()),
        "slope error" => number(least_squares(series).unwrap().slope_error.in_a_day()),
        "intercept" => number(least_squares(series).unwrap().intercept),
        other => panic!("unknown figure {other}"),
    }
}

#[test]
fn trends_agree_with_published_examples() {
    let points = crate::table::rows::<Point>("series.csv");
    for row in crate::table::rows::<TrendRow>("trend.csv") {
        let series: Vec<Observation> = points
            .iter()
            .filter(|point| point.series == row.series)
            .map(|point| Observation::after_days(point.time, nm(point.value)))
            .collect();
        assert!(!series.is_empty(), "{}: no series {}", row.id, row.series);
        let got = figure(&row.figure, &series);
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
#[cfg(test)]
fn series_with(count: u8, statistic: i64) -> Vec<Torque> {
    let mut values: Vec<u8> = (1..=count).collect();
    let pairs = i64::from(count) * (i64::from(count) - 1) / 2;
    let mut falling = (pairs - statistic) / 2;
    while falling > 0 {
        let place = values.windows(2).position(|pair| pair[0] < pair[1]).unwrap();
        values.swap(place, place + 1);
        falling -= 1;
    }
    values.into_iter().map(|value| nm(f64::from(value))).collect()
}

#[test]
fn critical_values_of_mann_kendall_are_the_smallest_that_reach_their_level() {
    for row in crate::table::rows::<CriticalRow>("mann_kendall_critical.csv") {
        let rising = |statistic| {
            let test = mann_kendall(&series_with(row.count, statistic)).unwrap();
            assert_eq!(test.statistic, statistic, "{}", row.id);
            test.rising.value()
        };
        let chance = rising(row.critical);
        assert!(chance <= row.level, "{}: {chance}", row.id);
        assert!((chance - row.recomputed_chance).abs() <= row.tolerance, "{}: {chance}", row.id);
        let pairs = i64::from(row.count) * (i64::from(row.count) - 1) / 2;
        if row.critical + 2 <= pairs {
            assert!(rising(row.critical - 2) > row.level, "{}: S − 2 reaches the level too", row.id);
        }
    }
}
