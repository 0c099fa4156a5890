//! A worked torque, the nut factors that an aviation torque table implies, and lubrication statements
//! against `worked_torque.csv`, `implied_nut_factor.csv`, `aviation_torques.csv` and `lubrication.csv`. Rows graded memory are asserted to our own recomputed value.

use std::num::ParseFloatError;

use evenclamp::joint::{
    Condition, Force, FrictionCoefficient, Length, ThreadProfile, Tightening, in_millimetres, in_newtons,
    in_ratio, in_square_millimetres, megapascals, millimetres, newtons,
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

/// Friction, preload, diameter, threads per inch and the mean collar diameter over the thread's.
#[test]
fn the_torque_of_the_worked_joint() {
    for row in crate::table::rows::<Row>("worked_torque.csv") {
        let inputs: [f64; 5] = row.inputs().unwrap().try_into().unwrap();
        let [friction, preload, diameter, count, collar] = inputs;
        let profile = ThreadProfile::inch(inches(diameter), count).unwrap();
        let bolt = Tightening::new(profile, inches(diameter * collar)).unwrap();
        row.check(in_pound_inches(bolt.torque(pounds(preload), FrictionCoefficient::new(friction).unwrap())));
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
        let preload = profile.stress_area() * megapascals(row.stress_psi * PSI);
        let torque = TorqueUnit::PoundForceInch.of(row.torque_lbf_in);
        let factor = in_newton_metres(torque) * 1000.0 / (in_newtons(preload) * in_millimetres(diameter));
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
    let catalogue = crate::catalogue();
    for row in crate::table::rows::<LubricationRow>("lubrication.csv") {
        let (from, to) = (Condition::named(&row.from_condition), Condition::named(&row.to_condition));
        let answer = catalogue.compare_conditions(from.unwrap(), to.unwrap()).unwrap();
        let stated = answer.changes.iter().find(|change| change.what == row.what).unwrap();
        assert_eq!((stated.from, stated.to), (answer.stated, answer.actual), "{}", row.id);
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
