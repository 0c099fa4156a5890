//! Shear areas of engaged threads against `published/thread_stripping.csv`.

use evenclamp::joint::{
    Basis, ThreadLimits, external_shear_area, in_square_millimetres, internal_shear_area, limits_of,
    millimetres,
};
use serde::Deserialize;

#[derive(Deserialize)]
struct AreaRow {
    thread: String,
    pitch_mm: f64,
    major_min_mm: f64,
    pitch_max_mm: f64,
    minor_max_mm: f64,
    pitch_min_mm: f64,
    internal_area_mm2: f64,
    external_area_mm2: f64,
    tolerance_mm2: f64,
    source: String,
}

#[test]
fn shear_areas_follow_the_published_table() {
    let catalogue = crate::catalogue();
    for row in crate::table::rows::<AreaRow>("thread_stripping.csv") {
        let limits = ThreadLimits {
            major_min: millimetres(row.major_min_mm),
            pitch_max: millimetres(row.pitch_max_mm),
            minor_max: millimetres(row.minor_max_mm),
            pitch_min: millimetres(row.pitch_min_mm),
        };
        let thread = catalogue.thread(&row.thread).unwrap();
        let (tabulated, basis) = limits_of(thread).unwrap();
        assert_eq!(tabulated, limits, "specs/threads.csv holds the limits of {}", row.thread);
        assert!(matches!(basis, Basis::Tabulated(_)));
        // The table is for an engagement of one nominal diameter.
        let (pitch, engagement) = (millimetres(row.pitch_mm), thread.profile.major_diameter());
        for (area, printed) in [
            (internal_shear_area(pitch, &limits, engagement), row.internal_area_mm2),
            (external_shear_area(pitch, &limits, engagement), row.external_area_mm2),
        ] {
            let area = in_square_millimetres(area);
            assert!(
                (area - printed).abs() <= row.tolerance_mm2,
                "{} ({}): {area} against {printed}",
                row.thread,
                row.source
            );
        }
    }
}
