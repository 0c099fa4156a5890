use super::*;
use crate::conformity::AccuracyBasis;
use crate::conformity::Deviation;
use crate::quantity::newton_metres as nm;
use crate::wrench::CalibrationResult;
use jiff::civil::date;
use uom::si::angle::degree;

const TODAY: Date = date(2026, 6, 1);

fn click(low: f64, high: f64) -> WrenchParts {
    WrenchParts::new("click", WrenchKind::Click, nm(low), nm(high))
}

fn checked(parts: WrenchParts) -> Result<Wrench, WrenchError> {
    Wrench::new(parts, TODAY)
}

/// A tool maker's manual on ISO 6789: which limit applies depends on the tool's largest torque.
#[test]
fn the_span_decides_between_six_and_four_percent() {
    let small = checked(click(2.0, 10.0)).unwrap();
    assert_eq!(small.accuracy().deviation, Deviation::SIX_PERCENT);
    assert_eq!(small.accuracy().basis, AccuracyBasis::Uncalibrated(ToolClass::IIA));
    let calibrated = WrenchParts {
        calibrations: vec![Calibration { on: TODAY, result: CalibrationResult::Passed }],
        ..click(2.0, 10.0)
    };
    assert_eq!(checked(calibrated).unwrap().accuracy().basis, AccuracyBasis::AssumedClass(ToolClass::IIA));
    assert_eq!(checked(click(5.0, 25.0)).unwrap().accuracy().deviation, Deviation::FOUR_PERCENT);
}

#[test]
fn the_usable_scale_begins_at_a_fifth_of_the_capacity_or_where_the_maker_says() {
    assert_eq!(checked(click(5.0, 60.0)).unwrap().usable(), (nm(12.0), nm(60.0)));
    assert_eq!(checked(click(5.0, 20.0)).unwrap().usable(), (nm(5.0), nm(20.0)));
    let stated = WrenchParts { usable: Some((nm(6.0), nm(55.0))), ..click(5.0, 60.0) };
    assert_eq!(checked(stated).unwrap().usable(), (nm(6.0), nm(55.0)));
    let preset = WrenchParts::new("five", WrenchKind::Preset, nm(5.0), nm(5.0));
    assert_eq!(checked(preset).unwrap().usable(), (nm(5.0), nm(5.0)));
}

#[test]
fn what_cannot_be_is_refused_with_what_would_be_right() {
    let zero_step = WrenchParts { step: Some(nm(0.0)), ..click(2.0, 10.0) };
    let wide_step = WrenchParts { step: Some(nm(9.0)), ..click(2.0, 10.0) };
    let off_scale = WrenchParts { usable: Some((nm(1.0), nm(10.0))), ..click(2.0, 10.0) };
    let no_lever = WrenchParts { lever: Some(Length::new::<millimeter>(0.0)), ..click(2.0, 10.0) };
    let back = WrenchParts { adapters: vec![Length::new::<millimeter>(-1.0)], ..click(2.0, 10.0) };
    let certificate = StatedAccuracy::Certificate { expanded: Deviation::FOUR_PERCENT, coverage: 0.0 };
    let no_factor = WrenchParts { accuracy: certificate, ..click(2.0, 10.0) };
    let tomorrow = Calibration { on: date(2026, 6, 2), result: CalibrationResult::Passed };
    let future = WrenchParts { calibrations: vec![tomorrow], ..click(2.0, 10.0) };
    for (parts, told) in [
        (WrenchParts { name: " ".to_owned(), ..click(2.0, 10.0) }, "needs a name"),
        (click(10.0, 2.0), "2-10 N·m"),
        (click(0.0, 0.0), "lower end first"),
        (click(5.0, 5.0), "preset"),
        (zero_step, "0.1 N·m"),
        (wide_step, "wider than the scale"),
        (off_scale, "lie on the scale"),
        (no_lever, "middle of the handle"),
        (back, "distance from the drive"),
        (no_factor, "k = 2"),
        (future, "today is 2026-06-01"),
    ] {
        let error = checked(parts).unwrap_err().to_string();
        assert!(error.contains(told), "{error}");
    }
}

#[test]
fn every_type_reads_back_and_has_a_class() {
    for kind in WrenchKind::ALL {
        assert_eq!(WrenchKind::parse(kind.text()), Some(kind));
        let permitted = kind.usual_class().permitted(nm(5.0));
        assert_eq!(permitted, Deviation::SIX_PERCENT, "{}", kind.text());
    }
    assert_eq!(WrenchKind::parse("hammer"), None);
}

#[test]
fn an_adapter_needs_the_lever_and_scales_what_is_read() {
    let mm = Length::new::<millimeter>;
    let in_line = Angle::new::<degree>(0.0);
    let bare = checked(click(2.0, 10.0)).unwrap();
    assert_eq!(bare.adapter(mm(40.0), in_line), Err(AdapterError::LeverUnknown));
    let parts = WrenchParts { lever: Some(mm(160.0)), step: Some(nm(0.5)), ..click(2.0, 10.0) };
    let wrench = checked(parts).unwrap();
    let adapter = wrench.adapter(mm(40.0), in_line).unwrap();
    // 40 on 160 mm: a quarter more at the bolt than on the scale.
    assert!(wrench.settings(Some(&adapter)).offers(nm(12.5)));
    assert!(!wrench.settings(Some(&adapter)).offers(nm(2.0)));
    let step = wrench.instrument(Some(&adapter)).step().unwrap();
    assert!((in_newton_metres(step) - 0.625).abs() < 1e-12);
}

/// 6 % for a click wrench of up to 10 N·m (type II class A; see `tests/published/tool_class.csv`), 4 % above.
#[test]
fn an_accuracy_that_is_not_stated_is_that_of_the_usual_class() {
    for (high, allowed) in [(10.0, Deviation::SIX_PERCENT), (60.0, Deviation::FOUR_PERCENT)] {
        assert_eq!(checked(click(2.0, high)).unwrap().accuracy().deviation, allowed);
    }
}

/// Without a calibration nobody can bear out an accuracy better than that of the class; a worse one is believed.
#[test]
fn an_accuracy_without_a_calibration_is_no_better_than_the_class() {
    let percent = |percent| Deviation::percent(percent).unwrap();
    for (stated, counts) in [(1.0, 6.0), (6.0, 6.0), (9.0, 9.0)] {
        let accuracy = StatedAccuracy::Percent(percent(stated));
        let wrench = checked(WrenchParts { accuracy, ..click(2.0, 10.0) }).unwrap();
        assert_eq!(wrench.accuracy().deviation, percent(counts));
    }
}

/// The certificate's uncertainty W alone says nothing of the deviation that was found, so that the class stands in where
/// it allows more (ISO 6789-2:2017, clause 8: the interval W′ holds both).
#[test]
fn a_certificate_without_the_deviation_found_is_no_better_than_the_class() {
    let passed = vec![Calibration { on: TODAY, result: CalibrationResult::Passed }];
    for (percent, basis) in [
        (1.2, AccuracyBasis::AssumedClass(ToolClass::IIA)),
        (8.0, AccuracyBasis::Certificate { coverage: 2.0 }),
    ] {
        let accuracy =
            StatedAccuracy::Certificate { expanded: Deviation::percent(percent).unwrap(), coverage: 2.0 };
        let parts = WrenchParts { accuracy, calibrations: passed.clone(), ..click(2.0, 10.0) };
        assert_eq!(checked(parts).unwrap().accuracy().basis, basis, "{percent} %");
    }
}
