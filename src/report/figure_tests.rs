//! Torques as text. 1 lbf·in is 0.112 984 829 N·m (ISO 31-3 factors: 0.453 592 37 kg × 9.806 65 m/s² × 0.0254 m).

use super::*;

const NM: TorqueUnit = TorqueUnit::NewtonMetre;
const INCH_POUND: TorqueUnit = TorqueUnit::PoundForceInch;

#[test]
fn a_step_has_three_digits_without_needless_zeros() {
    let texts =
        |steps: &[f64]| steps.iter().map(|step| step_text(newton_metres(*step), NM)).collect::<Vec<_>>();
    assert_eq!(texts(&[0.5, 1.0, 0.25, 10.0]), ["0.5 N·m", "1 N·m", "0.25 N·m", "10 N·m"]);
    assert_eq!(step_text(INCH_POUND.of(1.0), NM), "0.113 N·m");
}

#[test]
fn a_setting_has_the_digits_of_its_step_and_is_never_rounded_up() {
    let text = |setting, step, unit| setting_text(newton_metres(setting), newton_metres(step), unit);
    assert_eq!(text(4.99, 0.1, NM), "4.9 N·m");
    assert_eq!(text(4.75, 0.25, NM), "4.75 N·m");
    assert_eq!(text(5.0, 1.0, NM), "5 N·m");
    // 5 N·m are 44.2537 lbf·in; a step of 0.1 N·m is no whole one there and gets a digit more than its size.
    assert_eq!(text(5.0, 0.1, INCH_POUND), "44.25 lbf·in");
}

#[test]
fn limits_are_told_by_their_side_and_rounded_inward() {
    let text = |spec| spec_text(spec, Resolution(newton_metres(0.1)), NM);
    assert_eq!(text(Spec::range_nm(4.01, 5.99)), "4.1–5.9 N·m");
    assert_eq!(text(Spec::range_nm(5.0, 5.0)), "5.0 N·m");
    assert_eq!(text(Spec::Ceiling(newton_metres(5.09))), "max 5.0 N·m");
    assert_eq!(text(Spec::Floor(newton_metres(5.01))), "min 5.1 N·m");
    assert_eq!(text(Spec::Set(newton_metres(5.06))), "5.1 N·m");
}

#[test]
fn a_stretch_without_ends_is_any_torque() {
    let text = |low: Option<f64>, high: Option<f64>| {
        let (low, high) = (low.map(newton_metres), high.map(newton_metres));
        stretch_text(TorqueInterval { low, high, issuers: 1 }, Resolution(newton_metres(1.0)), NM)
    };
    assert_eq!(text(None, None), "any torque");
    assert_eq!(text(Some(4.0), None), "min 4 N·m");
    assert_eq!(text(None, Some(6.0)), "max 6 N·m");
    assert_eq!(text(Some(4.0), Some(6.0)), "4–6 N·m");
}

#[test]
fn a_number_has_its_digits_wherever_its_point_stands() {
    let texts = |values: [f64; 5]| values.map(|value| number_text(value, 5, 9));
    assert_eq!(
        texts([0.0, 1.0, 9.99, 123456.7, 0.00123456]),
        ["0.0000", "1.0000", "9.9900", "123457", "0.0012346"]
    );
    assert_eq!([1e-7, -12.5].map(|value| number_text(value, 5, 9)), ["0.000000100", "-12.500"]);
    assert_eq!(number_text(0.112984829027616, 12, 24), "0.112984829028");
}

#[test]
fn zeros_are_cut_from_decimals_only() {
    assert_eq!(["100", "1.50", "2.00", "0.0"].map(trimmed), ["100", "1.5", "2", "0"]);
}

#[test]
fn every_unit_is_told_beside_another() {
    assert_eq!(other_unit(NM), INCH_POUND);
    assert_eq!([INCH_POUND, TorqueUnit::PoundForceFoot].map(other_unit), [NM, NM]);
}
