//! Shear areas of engaged threads and the engagement a load needs, against
//! `published/thread_stripping.csv` and `published/needed_engagement.csv`.

use evenclamp::joint::{
    Basis, Catalogue, CatalogueText, ThreadLimits, external_shear_area, in_millimetres,
    in_square_millimetres, internal_shear_area, limits_of, megapascals, millimetres, needed_engagement,
    newtons,
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
    let catalogue = Catalogue::read(CatalogueText::built_in()).unwrap();
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
        let (pitch, engagement) = (millimetres(row.pitch_mm), thread.profile().major_diameter());
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

#[derive(Deserialize)]
struct EngagementRow {
    thread: String,
    pitch_mm: f64,
    major_mm: f64,
    pitch_max_mm: f64,
    load_n: f64,
    shear_strength_mpa: f64,
    engagement_mm: f64,
    tolerance_mm: f64,
    grade: String,
    note: String,
}

#[test]
fn needed_engagement_follows_the_worked_example() {
    let catalogue = Catalogue::read(CatalogueText::built_in()).unwrap();
    for row in crate::table::rows::<EngagementRow>("needed_engagement.csv") {
        let (tabulated, _) = limits_of(catalogue.thread(&row.thread).unwrap()).unwrap();
        let limits = ThreadLimits {
            major_min: millimetres(row.major_mm),
            pitch_max: millimetres(row.pitch_max_mm),
            ..tabulated
        };
        let (load, strength) = (newtons(row.load_n), megapascals(row.shear_strength_mpa));
        let needed = needed_engagement(millimetres(row.pitch_mm), &limits, load, strength).unwrap();
        let off = in_millimetres(needed) - row.engagement_mm;
        assert!(off.abs() <= row.tolerance_mm, "d_min {}: off by {off} mm", row.major_mm);
        assert!(row.grade != "memory" || row.note.starts_with("from memory"));
        assert!(needed_engagement(millimetres(row.pitch_mm), &limits, newtons(-1.0), strength).is_err());
    }
}
