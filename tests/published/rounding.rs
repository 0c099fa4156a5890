//! Rounding of converted figures against published rules and examples.

use evenclamp::quantity::{Resolution, Rounding, TorqueUnit, parse_spec, round_half_even};
use evenclamp::spec_text;

fn converted(value: &str, unit: TorqueUnit) -> String {
    let stated = parse_spec(value).expect(value);
    spec_text(stated.spec, stated.resolution, unit)
}

/// NIST SP 811 (2008), B.7.2, pp. 43-44: 36 ft, known to 1 ft, is stated as 11.0 m. A torque arm of
/// 1 lbf carries the example over: 36 lbf·ft, by the length alone, is 10.9728 units of lbf·m.
#[test]
fn digits_follow_sp811() {
    let pound_metre = TorqueUnit::PoundForceFoot.of(1.0 / 0.3048);
    let arm = TorqueUnit::PoundForceFoot.of(36.0);
    // One lbf·m plays the unit: scale so that its number equals N·m.
    let scale = 1.0 / TorqueUnit::NewtonMetre.value_of(pound_metre);
    let text = Resolution(TorqueUnit::PoundForceFoot.of(1.0) * scale).text(
        arm * scale,
        TorqueUnit::NewtonMetre,
        Rounding::Nearest,
    );
    assert_eq!(text, "11.0");
}

/// NIST SP 811 (2008), B.7.1: to seven digits, a tie goes to the even digit.
#[test]
fn ties_go_to_the_even_digit() {
    assert!((round_half_even(6.974_951_5e6) - 6_974_952.0).abs() < 0.1);
    assert!((round_half_even(6.974_950_5e6) - 6_974_950.0).abs() < 0.1);
}

/// The rule of rounding limits inward stands in a car maker's workshop manual (2014, Units) and, for
/// 11 ±0.3 mm in inches, in a published tip on ANSI/IEEE 268 (0.444 and 0.422). The torque cases
/// follow from the exact factors: 4–6 N·m is 35.40…53.10 lbf·in, and 35 would undercut the limit.
#[test]
fn limits_are_rounded_inward() {
    assert_eq!(converted("4-6 N·m", TorqueUnit::PoundForceInch), "36–53 lbf·in");
    assert_eq!(converted("40-50 N·m", TorqueUnit::PoundForceInch), "355–442 lbf·in");
    assert_eq!(converted("5-6 N·m", TorqueUnit::PoundForceInch), "45–53 lbf·in");
    assert_eq!(converted("max 5 N·m", TorqueUnit::PoundForceInch), "max 44 lbf·in");
    assert_eq!(converted("min 12 N·m", TorqueUnit::PoundForceInch), "min 107 lbf·in");
    let inch_per_mm = 1.0 / 25.4;
    let resolution = Resolution(TorqueUnit::NewtonMetre.of(0.1 * inch_per_mm));
    let (low, high) = resolution.range_text(
        TorqueUnit::NewtonMetre.of(10.7 * inch_per_mm),
        TorqueUnit::NewtonMetre.of(11.3 * inch_per_mm),
        TorqueUnit::NewtonMetre,
    );
    assert_eq!((low.as_str(), high.as_str()), ("0.422", "0.444"));
}

/// 1 kgf·m is 9.80665 N·m exactly (NIST SP 811, App. B): 10, 19 and 21 N·m are 1.0197, 1.9375 and 2.1414 kgf·m.
/// Known to 1 N·m, the first two would lose more than a twentieth of themselves to a step of 0.1 kgf·m and keep a
/// digit more (`specs/rules.md`, "Rounding"); the last does not.
#[test]
fn a_step_of_more_than_a_twentieth_is_taken_finer() {
    assert_eq!(converted("10 N·m", TorqueUnit::KilogramForceMetre), "1.02 kgf·m");
    assert_eq!(converted("19 N·m", TorqueUnit::KilogramForceMetre), "1.94 kgf·m");
    assert_eq!(converted("21 N·m", TorqueUnit::KilogramForceMetre), "2.1 kgf·m");
}

#[test]
fn a_range_too_narrow_for_whole_steps_keeps_a_finer_digit() {
    assert_eq!(converted("5-5.1 N·m", TorqueUnit::KilogramForceMetre), "0.51–0.52 kgf·m");
}
