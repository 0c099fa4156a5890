//! Settings with an extension on the wrench against published examples in
//! `tests/published/extension.csv`.

use evenclamp::quantity::TorqueUnit;
use evenclamp::wrench::Adapter;
use serde::Deserialize;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

#[derive(Deserialize)]
struct ExtensionRow {
    id: String,
    solve_for: String,
    torque: f64,
    unit: String,
    lever: f64,
    extension: f64,
    length_unit: String,
    angle_degrees: f64,
    expected: f64,
    tolerance: f64,
}

#[test]
fn extensions_agree_with_maintenance_manuals() {
    let rows = crate::table::rows::<ExtensionRow>("extension.csv");
    assert_eq!(rows.iter().filter(|row| row.id.starts_with('G')).count(), 9);
    for row in rows {
        let length = |value| match row.length_unit.as_str() {
            "in" => Length::new::<inch>(value),
            "mm" => Length::new::<millimeter>(value),
            other => panic!("{}: unknown length unit {other}", row.id),
        };
        let angle = Angle::new::<degree>(row.angle_degrees);
        let adapter = Adapter::new(length(row.lever), length(row.extension), angle).unwrap();
        let unit = TorqueUnit::parse(&row.unit).unwrap();
        let given = unit.of(row.torque);
        let found = match row.solve_for.as_str() {
            "setting" => adapter.setting(given),
            "bolt" => adapter.at_bolt(given),
            other => panic!("{}: cannot solve for {other}", row.id),
        };
        let got = unit.value_of(found);
        assert!((got - row.expected).abs() <= row.tolerance, "{}: {got}, not {}", row.id, row.expected);
    }
}
