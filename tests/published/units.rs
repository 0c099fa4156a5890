//! Every torque unit against two general-purpose references, the Python package pint and GNU units
//! (versions in the header of `published/units.csv`, filled by `tools/units_reference.py`), and
//! against the printed factors of NIST SP 811 (2008), App. B.8.

use approx::assert_relative_eq;
use evenclamp::quantity::{TorqueUnit, in_newton_metres, parse_spec};

#[test]
fn every_unit_agrees_with_pint_and_gnu_units() {
    let mut table = csv::Reader::from_path("tests/published/units.csv").expect("fixture");
    let mut seen = Vec::new();
    for row in table.records() {
        let row = row.expect("row");
        let unit = TorqueUnit::parse(&row[0]).expect("unit");
        for column in [3, 4] {
            let factor: f64 = row[column].parse().expect("factor");
            assert_relative_eq!(in_newton_metres(unit.of(1.0)), factor, max_relative = 1e-12);
            assert_relative_eq!(unit.value_of(unit.of(1.0)), 1.0, max_relative = 1e-15);
        }
        seen.push(unit);
    }
    assert_eq!(seen.len(), TorqueUnit::ALL.len(), "every unit of the program has a row");
}

/// Worked examples; the first two are the exact quotients of the factors above, the AC 43.13-1B
/// figures are table 7-1 in lbf·in against a maker's N·m copy (XT-582 maintenance manual, issue
/// 1.0, 2005, p. 43), which prints one decimal and cuts one entry instead of rounding it.
#[test]
fn worked_conversions() {
    let nm = |text: &str| in_newton_metres(parse_spec(text).expect(text).spec.largest());
    assert_relative_eq!(nm("44 lbf·in"), 4.9713324772, max_relative = 1e-9);
    assert_relative_eq!(
        TorqueUnit::PoundForceInch.value_of(parse_spec("1 N·m").unwrap().spec.largest()),
        8.850745791327185,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        TorqueUnit::PoundForceFoot.value_of(parse_spec("1 N·m").unwrap().spec.largest()),
        0.7375621492772654,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        TorqueUnit::KilogramForceCentimetre.value_of(parse_spec("1 N·m").unwrap().spec.largest()),
        10.197162129779283,
        max_relative = 1e-14
    );
    for (inch_pounds, printed) in [
        (50, 5.6),
        (70, 7.9),
        (100, 11.3),
        (140, 15.8),
        (160, 18.1),
        (190, 21.5),
        (450, 50.8),
        (500, 56.5),
        (690, 78.0),
        (1000, 113.0),
        (2500, 282.5),
    ] {
        assert!((nm(&format!("{inch_pounds} lbf·in")) - printed).abs() <= 0.06, "{inch_pounds}");
    }
}
