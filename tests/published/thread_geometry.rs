//! Stress areas of ISO metric threads against `published/thread_geometry.csv`.

use approx::assert_abs_diff_eq;
use evenclamp::joint::{ThreadProfile, in_square_millimetres, millimetres};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    thread: String,
    major_diameter_mm: f64,
    pitch_mm: f64,
    stress_area_mm2: f64,
    tolerance: f64,
    tolerance_unit: String,
    source: String,
}

#[test]
fn stress_areas_follow_the_published_tables() {
    let catalogue = crate::catalogue();
    for row in crate::table::rows::<Row>("thread_geometry.csv") {
        let tolerance = match row.tolerance_unit.as_str() {
            "mm2" => row.tolerance,
            "percent" => row.stress_area_mm2 * row.tolerance / 100.0,
            other => panic!("{}: unknown unit {other}", row.thread),
        };
        let profile =
            ThreadProfile::new(millimetres(row.major_diameter_mm), millimetres(row.pitch_mm)).unwrap();
        let area = in_square_millimetres(profile.stress_area());
        assert!(
            (area - row.stress_area_mm2).abs() <= tolerance,
            "{} ({}): {area} against {}",
            row.thread,
            row.source,
            row.stress_area_mm2
        );
        // The thread table holds the same size under that name.
        let tabulated = in_square_millimetres(catalogue.thread(&row.thread).unwrap().profile.stress_area());
        assert_abs_diff_eq!(tabulated, area, epsilon = 1e-9);
    }
}

/// M5 to M20: the last digit that the five-figure table prints (Bickford, 4th ed. (2007)).
#[test]
fn five_figure_stress_areas_agree_to_the_last_printed_digit() {
    let mut compared = 0;
    for row in crate::table::rows::<Row>("thread_geometry.csv") {
        if !row.source.starts_with("Bickford") {
            continue;
        }
        let profile =
            ThreadProfile::new(millimetres(row.major_diameter_mm), millimetres(row.pitch_mm)).unwrap();
        let area = in_square_millimetres(profile.stress_area());
        let decimals = if row.stress_area_mm2 < 100.0 { 3 } else { 2 };
        let step = 10f64.powi(-decimals);
        assert!((area - row.stress_area_mm2).abs() <= step, "{}: {area}", row.thread);
        compared += 1;
    }
    assert_eq!(compared, 8);
}
