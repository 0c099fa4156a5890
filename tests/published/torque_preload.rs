//! Preload scatter, nut factors, lubrication statements and the aviation torque table against
//! `published/preload_scatter.csv`, `nut_factor.csv`, `implied_nut_factor.csv`, `lubrication.csv` and
//! `aviation_torques.csv`. Rows graded memory are asserted to our own recomputed value.

use std::f64::consts::PI;
use std::num::ParseFloatError;

use evenclamp::joint::{
    Catalogue, CatalogueText, Condition, Force, FrictionCoefficient, JointError, Length, NutFactor, Screw,
    ThreadProfile, bolt_force, bolt_load_share, in_newtons, in_ratio, in_square_millimetres, load_at_stress,
    lowest_preload, mean_and_deviation, megapascals, millimetres, newtons, ratio_of, tightening_factor,
};
use evenclamp::quantity::{Torque, TorqueUnit, in_newton_metres};
use serde::Deserialize;

/// 1 lbf = 4.4482216152605 N exactly (NIST SP 811, App. B.8).
const POUND_FORCE: f64 = 4.4482216152605;
/// 1 psi = 1 lbf/in² in MPa (NIST SP 811, App. B.8).
const PSI: f64 = POUND_FORCE / (25.4 * 25.4);

fn inches(value: f64) -> Length {
    millimetres(value * 25.4)
}

fn pounds(value: f64) -> Force {
    newtons(value * POUND_FORCE)
}

fn in_pound_inches(torque: Torque) -> f64 {
    TorqueUnit::PoundForceInch.value_of(torque)
}

/// One row of the tables whose inputs are a list.
#[derive(Deserialize)]
struct Row {
    id: String,
    kind: String,
    input: String,
    expected: f64,
    tolerance: f64,
    source: String,
    grade: String,
    note: String,
}

impl Row {
    fn inputs(&self) -> Result<Vec<f64>, ParseFloatError> {
        self.input.split(';').map(str::parse).collect()
    }

    fn check(&self, computed: f64) {
        assert!(
            (computed - self.expected).abs() <= self.tolerance,
            "{} ({}): {computed} against {}",
            self.id,
            self.source,
            self.expected
        );
        assert!(self.grade != "memory" || self.note.starts_with("from memory"), "{}", self.id);
    }
}

#[test]
fn preload_scatter() {
    for row in crate::table::rows::<Row>("preload_scatter.csv") {
        let inputs = row.inputs().unwrap();
        let forces: Vec<Force> = inputs.iter().map(|&kilonewtons| newtons(kilonewtons * 1000.0)).collect();
        let kilonewtons = |force: Force| in_newtons(force) / 1000.0;
        row.check(match row.kind.as_str() {
            "lowest-preload" => kilonewtons(lowest_preload(forces[0], ratio_of(inputs[1]))),
            "tightening-factor" => in_ratio(tightening_factor(ratio_of(inputs[0])).unwrap()),
            "mean" => kilonewtons(mean_and_deviation(&forces).unwrap().0),
            "deviation" => kilonewtons(mean_and_deviation(&forces).unwrap().1),
            other => panic!("unknown kind {other}"),
        });
    }
    assert_eq!(mean_and_deviation(&[newtons(1.0)]), None);
    assert!(tightening_factor(ratio_of(1.0)).is_err());
}

/// Shigley, equation 8-26: friction, preload, diameter, threads per inch, root area, and the mean
/// collar radius over the diameter.
fn screw_torque(inputs: [f64; 6]) -> Result<f64, JointError> {
    let [friction, preload, diameter, count, root_area, collar_radius] = inputs;
    let root_diameter = (4.0 * root_area / PI).sqrt();
    let screw = Screw {
        mean_diameter: inches(f64::midpoint(diameter, root_diameter)),
        lead: inches(1.0 / count),
        collar_diameter: inches(2.0 * collar_radius * diameter),
    };
    let mu = FrictionCoefficient::new(friction)?;
    Ok(in_pound_inches(screw.torque(pounds(preload), mu, mu)))
}

#[test]
fn nut_factors_and_the_worked_joint() {
    for row in crate::table::rows::<Row>("nut_factor.csv") {
        let inputs = row.inputs().unwrap();
        row.check(match row.kind.as_str() {
            "nut-factor-torque" => {
                let factor = NutFactor::new(inputs[0]).unwrap();
                let torque = factor.torque(pounds(inputs[1]), inches(inputs[2]));
                let back = factor.preload(torque, inches(inputs[2]));
                assert!((in_newtons(back) / in_newtons(pounds(inputs[1])) - 1.0).abs() < 1e-12);
                in_pound_inches(torque)
            }
            // Force and stress in thousands of lbf and psi.
            "stress-ksi" => in_newtons(pounds(inputs[0])) / POUND_FORCE / inputs[1],
            "bolt-share" => in_ratio(bolt_load_share(ratio_of(inputs[0] / inputs[1])).unwrap()),
            "loaded-stress-ksi" => {
                let force = bolt_force(pounds(inputs[2]), ratio_of(inputs[0]), pounds(inputs[1]));
                in_newtons(force) / POUND_FORCE / inputs[3]
            }
            "screw-torque" => screw_torque(inputs.try_into().unwrap()).unwrap(),
            other => panic!("unknown kind {other}"),
        });
    }
}

#[derive(Deserialize)]
struct ImpliedRow {
    thread: String,
    major_diameter_in: f64,
    threads_per_inch: f64,
    stress_psi: f64,
    torque_lbf_in: f64,
    least_factor: f64,
    greatest_factor: f64,
}

#[test]
fn aviation_torques_imply_ordinary_nut_factors() {
    for row in crate::table::rows::<ImpliedRow>("implied_nut_factor.csv") {
        let diameter = inches(row.major_diameter_in);
        let profile = ThreadProfile::inch(diameter, row.threads_per_inch).unwrap();
        let preload = load_at_stress(profile, megapascals(row.stress_psi * PSI)).unwrap();
        let torque = TorqueUnit::PoundForceInch.of(row.torque_lbf_in);
        let factor = NutFactor::observed(torque, preload, diameter).unwrap().get();
        assert!((row.least_factor..=row.greatest_factor).contains(&factor), "{}: {factor}", row.thread);
        assert!(in_square_millimetres(profile.stress_area()) > 0.0);
    }
}

#[derive(Deserialize)]
struct LubricationRow {
    id: String,
    torque_lbf_ft: f64,
    what: String,
    from_condition: String,
    to_condition: String,
    percent: f64,
    expected_lbf_ft: f64,
    tolerance: f64,
}

/// The statements of the friction table hold the change that the worked examples print; the tool shows
/// such statements and converts no torque by them.
#[test]
fn lubrication_statements_hold_what_their_source_prints() {
    let catalogue = Catalogue::read(CatalogueText::built_in()).unwrap();
    for row in crate::table::rows::<LubricationRow>("lubrication.csv") {
        let (from, to) = (Condition::parse(&row.from_condition), Condition::parse(&row.to_condition));
        let stated = catalogue.torque_changes().iter().find(|change| change.what == row.what).unwrap();
        assert_eq!((Ok(stated.from), Ok(stated.to)), (from, to), "{}", row.id);
        let middle = f64::midpoint(in_ratio(stated.change.low), in_ratio(stated.change.high));
        assert!((middle * 100.0 - row.percent).abs() < 1e-9, "{}: {middle}", row.id);
        let product = row.torque_lbf_ft * (1.0 + middle);
        assert!((product - row.expected_lbf_ft).abs() <= row.tolerance, "{}: {product}", row.id);
    }
}

#[derive(Deserialize)]
struct ConversionRow {
    torque_lbf_in: f64,
    expected_nm: f64,
    tolerance_nm: f64,
    source: String,
}

#[test]
fn pound_inches_of_the_aviation_table_become_the_printed_newton_metres() {
    for row in crate::table::rows::<ConversionRow>("aviation_torques.csv") {
        let converted = in_newton_metres(TorqueUnit::PoundForceInch.of(row.torque_lbf_in));
        assert!(
            (converted - row.expected_nm).abs() <= row.tolerance_nm,
            "{} lbf·in ({}): {converted}",
            row.torque_lbf_in,
            row.source
        );
    }
}
