//! The normal distribution, standard uncertainties, chances of being inside, tool classes and bench
//! cases against the tables in `tests/published`. Each row names its source and grade; a row from
//! memory is held only to our own recomputed value.

use approx::assert_abs_diff_eq;
use evenclamp::conformity::{
    Accuracy, Deviation, Instrument, Limits, ToolClass, chance_inside, judge, normal,
};
use evenclamp::quantity::{in_newton_metres, newton_metres, parse_spec};
use serde::Deserialize;

use crate::quantile;

#[derive(Deserialize)]
struct NormalRow {
    id: String,
    function: String,
    input: f64,
    expected: f64,
    tolerance: f64,
}

#[test]
fn the_normal_distribution_agrees_with_its_tables() {
    for row in crate::table::rows::<NormalRow>("normal.csv") {
        let got = match row.function.as_str() {
            "cumulative" => normal::cumulative(row.input).value(),
            "quantile" => quantile(row.input),
            // The factor k for which ±k covers the given share.
            "coverage" => quantile(0.5 + row.input / 2.0),
            // The share that ±k covers.
            "within" => normal::between(-row.input, row.input).value(),
            other => panic!("{}: unknown function {other}", row.id),
        };
        assert!((got - row.expected).abs() <= row.tolerance, "{}: {got}, not {}", row.id, row.expected);
    }
}

#[derive(Deserialize)]
struct ChanceRow {
    id: String,
    low: Option<f64>,
    high: Option<f64>,
    reading: f64,
    standard: f64,
    expected: f64,
    tolerance: f64,
}

/// The rule does not depend on the quantity, so volts and kilopascals stand in as numbers.
#[test]
fn the_chance_of_being_inside_agrees_with_jcgm_106() {
    for row in crate::table::rows::<ChanceRow>("conformance_probability.csv") {
        let limit = |end: Option<f64>| end.map(newton_metres);
        let (reading, standard) = (newton_metres(row.reading), newton_metres(row.standard));
        let got = chance_inside(limit(row.low), limit(row.high), reading, standard).value();
        assert!((got - row.expected).abs() <= row.tolerance, "{}: {got}, not {}", row.id, row.expected);
    }
}

#[derive(Deserialize)]
struct UncertaintyRow {
    id: String,
    half_width: Option<f64>,
    step: Option<f64>,
    scatter: Option<f64>,
    expected: f64,
    tolerance: f64,
}

#[test]
fn standard_uncertainties_agree_with_the_gum() {
    for row in crate::table::rows::<UncertaintyRow>("standard_uncertainty.csv") {
        // A half-width enters as an accuracy of 5 % of a reading twenty times as large.
        let accuracy = Accuracy::given(Deviation::percent(5.0).unwrap());
        let reading = newton_metres(row.half_width.unwrap_or(0.0) * 20.0);
        let size = |size: Option<f64>| size.map(newton_metres);
        let instrument = Instrument::new(accuracy, size(row.step), size(row.scatter)).unwrap();
        let got = in_newton_metres(instrument.standard(reading));
        assert!((got - row.expected).abs() <= row.tolerance, "{}: {got}, not {}", row.id, row.expected);
    }
}

#[derive(Deserialize)]
struct ToolClassRow {
    class: String,
    capacity_nm: f64,
    permitted_percent: f64,
}

#[test]
fn tool_classes_permit_four_or_six_percent() {
    let rows = crate::table::rows::<ToolClassRow>("tool_class.csv");
    for class in ToolClass::ALL {
        assert_eq!(rows.iter().filter(|row| row.class == class.text()).count(), 2, "{class}");
    }
    for row in rows {
        let class: ToolClass = row.class.parse().unwrap();
        let got = class.permitted(newton_metres(row.capacity_nm)).in_percent();
        assert_abs_diff_eq!(got, row.permitted_percent, epsilon = 1e-12);
    }
}

#[derive(Deserialize)]
struct BenchRow {
    id: String,
    spec: String,
    reading: f64,
    accuracy_percent: f64,
    step: Option<f64>,
    scatter: Option<f64>,
    standard: f64,
    expanded: f64,
    chance_inside: f64,
    capability: Option<f64>,
    label: String,
    tolerance: f64,
}

#[test]
fn bench_cases_come_out_as_worked_by_hand() {
    for row in crate::table::rows::<BenchRow>("bench.csv") {
        let limits = Limits::new(parse_spec(&row.spec).unwrap().spec);
        let accuracy = Accuracy::given(Deviation::percent(row.accuracy_percent).unwrap());
        let size = |size: Option<f64>| size.map(newton_metres);
        let instrument = Instrument::new(accuracy, size(row.step), size(row.scatter)).unwrap();
        let verdict = judge(Some(&limits), newton_metres(row.reading), &instrument, &[]);
        let got = [
            ("u", in_newton_metres(verdict.budget.standard), row.standard),
            ("U", in_newton_metres(verdict.budget.expanded()), row.expanded),
            ("chance", verdict.chance_inside.unwrap().value(), row.chance_inside),
        ];
        for (what, got, expected) in got {
            assert!((got - expected).abs() <= row.tolerance, "{} {what}: {got}, not {expected}", row.id);
        }
        assert_eq!(verdict.label.text(), row.label, "{}", row.id);
        assert_eq!(verdict.capability.is_some(), row.capability.is_some(), "{}", row.id);
        if let (Some(got), Some(expected)) = (verdict.capability, row.capability) {
            // Printed to four decimals.
            assert_abs_diff_eq!(got.value, expected, epsilon = 5.1e-5);
        }
    }
}
