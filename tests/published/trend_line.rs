//! The interval in which a trend reaches a level, against `trend_line.csv`.

use evenclamp::TrendLine;
use serde::Deserialize;

#[derive(Deserialize)]
struct ReachingRow {
    id: String,
    /// `x:y`, parted by blanks.
    points: String,
    level: f64,
    low: f64,
    high: f64,
    tolerance: f64,
}

#[test]
fn a_trend_reaches_its_level_where_a_statistics_package_says() {
    for row in crate::table::rows::<ReachingRow>("trend_line.csv") {
        let point = |pair: &str| {
            let (x, y) = pair.split_once(':').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        };
        let points: Vec<(f64, f64)> = row.points.split(' ').map(point).collect();
        let (low, high) = TrendLine::through(&points, 0.0).unwrap().reaching(row.level).unwrap();
        let close = |got: f64, expected: f64| (got - expected).abs() <= row.tolerance;
        assert!(close(low, row.low) && close(high, row.high), "{}: {low} to {high}", row.id);
    }
}
