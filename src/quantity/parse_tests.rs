//! Tests of the value parser: every form (`specs/rules.md`, "Forms of a specified
//! torque") and what is refused.

use super::*;
use crate::quantity::{UnitError, in_newton_metres, newton_metres};
use approx::assert_relative_eq;
use proptest::prelude::*;

fn spec(text: &str) -> Spec {
    parse_spec(text).unwrap_or_else(|error| panic!("{text}: {error}")).spec
}

#[test]
fn every_form_of_a_range_is_one_range() {
    for text in [
        "4-6 N·m",
        "4 – 6 Nm",
        "4..6",
        "4...6 N.m",
        "4 to 6",
        "4 to 6 newton metres",
        "4 N·m - 6 N·m",
        "4 Nm to 6",
        "4 bis 6 Nm",
        "4,0-6,0 NM",
        "400-600 N·cm",
        "4 N·m to 600 cN·m",
    ] {
        let Spec::Range { low, high } = spec(text) else { panic!("{text} is no range") };
        assert_relative_eq!(in_newton_metres(low), 4.0, max_relative = 1e-12);
        assert_relative_eq!(in_newton_metres(high), 6.0, max_relative = 1e-12);
    }
}

#[test]
fn a_tolerance_is_a_range_about_its_value() {
    for text in ["5 ±0.5 N·m", "5 N·m ± 0.5", "5 N·m ±10%", "5 ±10 % Nm", "5 +/- 0,5 Nm"] {
        let Spec::Range { low, high } = spec(text) else { panic!("{text} is no range") };
        assert_relative_eq!(in_newton_metres(low), 4.5, max_relative = 1e-12);
        assert_relative_eq!(in_newton_metres(high), 5.5, max_relative = 1e-12);
    }
}

#[test]
fn ceilings_floors_and_set_values_stay_different() {
    for text in ["max 5 N·m", "MAX. 5 Nm", "<= 5", "≤5 Nm", "< 5 Nm", "5 Nm max", "5 Nm MAX.", "up to 5 Nm"]
    {
        assert_eq!(spec(text), Spec::Ceiling(newton_metres(5.0)), "{text}");
    }
    for text in ["min 12", ">= 12 Nm", "at least 12 Nm", "12 Nm min", "at or above 12 N-m"] {
        assert_eq!(spec(text), Spec::Floor(newton_metres(12.0)), "{text}");
    }
    assert_eq!(spec("5,2 Nm"), Spec::Set(newton_metres(5.2)));
}

#[test]
fn the_last_digit_and_the_unit_are_kept() {
    let stated = parse_spec("12.5 - 14 lbf·in").unwrap();
    assert_eq!(stated.unit, TorqueUnit::PoundForceInch);
    assert!(stated.unit_given);
    assert_relative_eq!(TorqueUnit::PoundForceInch.value_of(stated.resolution.0), 0.1, max_relative = 1e-12);
    assert!(!parse_spec("4-6").unwrap().unit_given);
}

#[test]
fn what_is_not_a_torque_is_refused_with_the_reason() {
    type Check = fn(&QuantityError) -> bool;
    let cases: &[(&str, Check)] = &[
        ("", |e| matches!(e, QuantityError::Empty)),
        ("N·m", |e| matches!(e, QuantityError::NotANumber(_))),
        ("5 kg", |e| matches!(e, QuantityError::Unit(UnitError::Unclear { .. }))),
        ("44 in/lb", |e| matches!(e, QuantityError::Unit(UnitError::Unclear { .. }))),
        ("5 furlongs", |e| matches!(e, QuantityError::Unit(UnitError::Unknown(_)))),
        ("-5 N·m", |e| matches!(e, QuantityError::Negative(_))),
        ("6-4 N·m", |e| matches!(e, QuantityError::UpsideDown(_))),
        ("5 ±5 N·m", |e| matches!(e, QuantityError::ToleranceTooWide(_))),
        ("5 N·m ±100%", |e| matches!(e, QuantityError::ToleranceTooWide(_))),
        ("4-5-6 N·m", |e| matches!(e, QuantityError::NotOneSpec(_))),
        ("4/6 N·m", |e| matches!(e, QuantityError::NotOneSpec(_))),
        ("max 4-6 N·m", |e| matches!(e, QuantityError::NotOneSpec(_))),
        ("min 5 Nm max", |e| matches!(e, QuantityError::NotOneSpec(_))),
        ("0 N·m", |e| matches!(e, QuantityError::ZeroSpec)),
        ("8,851 lbf·in", |e| matches!(e, QuantityError::UnclearComma(_))),
    ];
    for (text, expected) in cases {
        let error = parse_spec(text).expect_err(text);
        assert!(expected(&error), "{text}: {error:?}");
        assert!(!error.hint().is_empty());
    }
}

#[test]
fn a_reading_is_one_value_and_may_be_zero() {
    assert_eq!(parse_reading("0 Nm").unwrap().torque, newton_metres(0.0));
    let reading = parse_reading("5,10 Nm").unwrap();
    assert_eq!((reading.number.value, reading.number.decimals), (5.1, 2));
    for text in ["4-6 N·m", "max 5 N·m", "5 6 Nm", "back", "N·m"] {
        assert!(matches!(parse_reading(text), Err(QuantityError::NotAReading(_))), "{text}");
    }
}

proptest! {
    #[test]
    fn no_text_panics(text in any::<String>()) {
        let _ = parse_spec(&text).map_err(|error| error.hint());
        let _ = parse_reading(&text).map_err(|error| error.hint());
    }

    #[test]
    fn no_torque_like_text_panics(text in "[<≤>±+\\-–.,0-9 %maxintoNlbfkg·•*/]{0,24}") {
        let _ = parse_spec(&text).map_err(|error| error.hint());
        let _ = parse_reading(&text).map_err(|error| error.hint());
    }

    #[test]
    fn a_printed_range_reads_back(low in 1u32..5000, width in 0u32..5000, unit in 0usize..TorqueUnit::ALL.len()) {
        let unit = TorqueUnit::ALL[unit];
        let (low, high) = (f64::from(low) / 10.0, f64::from(low + width) / 10.0);
        let read = spec(&format!("{low:.1} - {high:.1} {unit}"));
        prop_assert_eq!(read, Spec::Range { low: unit.of(low), high: unit.of(high) });
    }
}
