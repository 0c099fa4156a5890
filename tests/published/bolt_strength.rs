//! Proof loads, ultimate loads and the permitted assembly preload with its torque against
//! `published/bolt_loads.csv` and `published/assembly_preload.csv`.

use evenclamp::joint::{
    Bolt, Catalogue, FrictionCoefficient, HeadKind, JointError, in_megapascals, in_newtons,
};
use evenclamp::quantity::in_newton_metres;
use serde::Deserialize;

/// Fails when `computed` is further than `percent` from `printed`.
fn assert_within(what: &str, computed: f64, printed: f64, percent: f64) {
    let off = (computed / printed - 1.0) * 100.0;
    assert!(off.abs() <= percent, "{what}: {computed} is {off:+.2} % off the printed {printed}");
}

#[derive(Deserialize)]
struct LoadRow {
    class: String,
    thread: String,
    load: String,
    load_n: f64,
    tolerance_percent: f64,
    source: String,
}

#[test]
fn proof_and_ultimate_loads_follow_iso_898_1() {
    let catalogue = crate::catalogue();
    let rows = crate::table::rows::<LoadRow>("bolt_loads.csv");
    for row in &rows {
        let bolt = catalogue.bolt(&row.thread, &row.class, HeadKind::Hex).unwrap();
        let load = match row.load.as_str() {
            "proof" => bolt.proof_load(),
            "ultimate" => bolt.ultimate_load(),
            other => panic!("unknown load {other}"),
        };
        let what = format!("{} load of {} {} ({})", row.load, row.thread, row.class, row.source);
        assert_within(&what, in_newtons(load), row.load_n, row.tolerance_percent);
    }
    assert_eq!(rows.len(), 144);
}

#[derive(Deserialize)]
struct PreloadRow {
    thread: String,
    class: String,
    yield_stress_mpa: f64,
    friction: f64,
    preload_kn: Option<f64>,
    preload_tolerance_percent: Option<f64>,
    torque_nm: Option<f64>,
    torque_tolerance_percent: Option<f64>,
    asserted: String,
    source: String,
    place: String,
}

impl PreloadRow {
    /// The published tables assume a hexagon head.
    fn bolt(&self, catalogue: &Catalogue) -> Result<Bolt, JointError> {
        catalogue.bolt(&self.thread, &self.class, HeadKind::Hex)
    }
}

#[test]
fn assembly_preload_and_torque_follow_the_published_vdi_2230_tables() {
    let catalogue = crate::catalogue();
    let rows = crate::table::rows::<PreloadRow>("assembly_preload.csv");
    let asserted: Vec<&PreloadRow> = rows.iter().filter(|row| row.asserted == "yes").collect();
    assert_eq!(asserted.len(), 122);
    assert_eq!(asserted.iter().filter(|row| row.place == "p. 685").count(), 45);
    for row in asserted {
        let bolt = row.bolt(&catalogue).unwrap();
        let mu = FrictionCoefficient::new(row.friction).unwrap();
        let what =
            format!("{} {} at {} ({}, {})", row.thread, row.class, row.friction, row.source, row.place);
        let limit = bolt.torque_limit(mu);
        if let (Some(printed), Some(percent)) = (row.preload_kn, row.preload_tolerance_percent) {
            assert_within(&what, in_newtons(bolt.clamp_load(limit, mu)) / 1000.0, printed, percent);
        }
        if let (Some(printed), Some(percent)) = (row.torque_nm, row.torque_tolerance_percent) {
            assert_within(&what, in_newton_metres(limit), printed, percent);
        }
        assert!(row.preload_tolerance_percent.is_some() || row.torque_tolerance_percent.is_some());
    }
}

/// The yield stress a table was computed with is the minimum of `specs/grades.csv`.
#[test]
fn published_tables_use_the_yield_minima_of_the_grade_table() {
    let catalogue = crate::catalogue();
    for row in crate::table::rows::<PreloadRow>("assembly_preload.csv") {
        let yield_stress = in_megapascals(row.bolt(&catalogue).unwrap().class.yield_stress);
        assert_within(&row.class, yield_stress, row.yield_stress_mpa, 1e-9);
    }
}
