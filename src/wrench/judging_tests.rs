use super::*;
use crate::conformity::{Accuracy, Deviation, Finding, Instrument, Label, Reason, Uncalibrated};
use crate::quantity::{Spec, newton_metres as nm};
use crate::wrench::{Calibration, CalibrationResult, Operation, StatedAccuracy, WrenchKind, WrenchParts};
use jiff::civil::date;
use proptest::prelude::*;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

const CALIBRATED: Date = date(2026, 1, 10);
const TODAY: Date = date(2026, 6, 1);

fn click(low: f64, high: f64) -> Wrench {
    let calibrations = vec![Calibration { on: CALIBRATED, result: CalibrationResult::Passed }];
    let lever = Some(Length::new::<millimeter>(160.0));
    let parts = WrenchParts::new("click", WrenchKind::Click, nm(low), nm(high));
    Wrench::new(WrenchParts { step: Some(nm(0.5)), calibrations, lever, ..parts }, TODAY).unwrap()
}

fn tightened(wrench: &Wrench, spec: Spec, on_scale: f64, usage: &Use<'_>) -> (Label, Vec<Reason>) {
    let limits = Limits::new(spec);
    match wrench.assess(Kind::Tightened, Some(&limits), nm(on_scale), usage) {
        Outcome::Judged(verdict) => (verdict.label, verdict.reasons),
        other @ Outcome::ReCheck { .. } => panic!("{other:?}"),
    }
}

const RANGE: fn() -> Spec = || Spec::range_nm(4.0, 6.0);

#[test]
fn the_foot_of_a_large_scale_settles_nothing() {
    // 20 % of 60 N·m is 12 N·m (common practice).
    let (label, reasons) = tightened(&click(5.0, 60.0), RANGE(), 5.0, &Use::on(TODAY));
    assert_eq!(label, Label::NotSettled);
    assert_eq!(reasons[0], Reason::Doubt(Doubt::BelowUsableScale { lowest: nm(12.0) }));
    // 5 N·m is exactly 20 % of 25 N·m and counts.
    assert_eq!(tightened(&click(5.0, 25.0), RANGE(), 5.0, &Use::on(TODAY)).0, Label::Inside);
    assert_eq!(tightened(&click(2.0, 10.0), RANGE(), 5.0, &Use::on(TODAY)).0, Label::Inside);
    let (label, reasons) = tightened(&click(2.0, 10.0), RANGE(), 44.0, &Use::on(TODAY));
    assert_eq!(label, Label::NotSettled);
    assert_eq!(reasons[0], Reason::Doubt(Doubt::AboveUsableScale { highest: nm(10.0) }));
}

#[test]
fn a_wrench_overdue_by_a_day_says_until_when_it_stood() {
    let wrench = click(2.0, 10.0);
    let last_day = date(2027, 1, 10);
    assert_eq!(tightened(&wrench, RANGE(), 5.0, &Use::on(last_day)).0, Label::Inside);
    let (label, reasons) = tightened(&wrench, RANGE(), 5.0, &Use::on(date(2027, 1, 11)));
    assert_eq!(label, Label::NotSettled);
    assert_eq!(
        reasons[0],
        Reason::Doubt(Doubt::Uncalibrated(Uncalibrated::Lapsed { stood_until: last_day }))
    );
}

#[test]
fn a_wrench_that_was_used_too_often_settles_nothing_from_that_line_on() {
    let line = |number| Line { instant: jiff::Timestamp::from_second(1_780_300_800).unwrap(), number };
    let first_too_many = Operation { on: TODAY, line: line(7) };
    let wrench = click(2.0, 10.0).counted(|_, others| {
        assert_eq!(others, 5000);
        Ok::<_, ()>(Some(first_too_many))
    });
    let wrench = wrench.unwrap();
    let label = |number| {
        let usage = Use { line: Some(line(number)), ..Use::on(TODAY) };
        tightened(&wrench, RANGE(), 5.0, &usage)
    };
    assert_eq!(label(6).0, Label::Inside);
    let spent = Reason::Doubt(Doubt::Uncalibrated(Uncalibrated::CyclesSpent { since: TODAY, allowed: 5000 }));
    assert_eq!((label(7).0, label(7).1[0]), (Label::NotSettled, spent));
    assert_eq!(tightened(&wrench, RANGE(), 5.0, &Use::on(TODAY)).1[0], spent);
}

#[test]
fn a_left_hand_thread_needs_a_wrench_that_measures_that_way() {
    let one_way = click(2.0, 10.0);
    let left = Use { left_hand_thread: true, ..Use::on(TODAY) };
    let (label, reasons) = tightened(&one_way, RANGE(), 5.0, &left);
    assert_eq!((label, reasons[0]), (Label::NotSettled, Reason::Doubt(Doubt::WrongDirection)));
    let parts = WrenchParts { anticlockwise: true, ..one_way.parts().clone() };
    let both_ways = Wrench::new(parts, TODAY).unwrap();
    assert_eq!(tightened(&both_ways, RANGE(), 5.0, &left).0, Label::Inside);
    // Loosening a right-hand thread turns anticlockwise too.
    assert_eq!(one_way.doubts(nm(5.0), Kind::Loosening, &Use::on(TODAY)), [Doubt::WrongDirection]);
    assert!(one_way.doubts(nm(5.0), Kind::Loosening, &left).is_empty());
}

#[test]
fn a_calibration_failed_later_takes_the_verdict_back() {
    let mut parts = click(2.0, 10.0).parts().clone();
    parts.calibrations.push(Calibration { on: TODAY, result: CalibrationResult::Failed });
    let wrench = Wrench::new(parts, TODAY).unwrap();
    let (label, reasons) = tightened(&wrench, RANGE(), 5.0, &Use::on(date(2026, 3, 1)));
    assert_eq!(label, Label::NotSettled);
    let failed = Doubt::FailedLater { last_good: Some(CALIBRATED), failed: TODAY };
    assert_eq!(reasons[0], Reason::Doubt(failed));
}

#[test]
fn an_adapter_is_taken_into_account() {
    let wrench = click(2.0, 10.0);
    let adapter = wrench.adapter(Length::new::<millimeter>(40.0), Angle::new::<degree>(0.0)).unwrap();
    let usage = Use { adapter: Some(&adapter), ..Use::on(TODAY) };
    // 4 on the scale is 5 at the bolt; 5 on the scale is 6.25.
    assert_eq!(tightened(&wrench, RANGE(), 4.0, &usage).0, Label::Inside);
    assert_eq!(tightened(&wrench, RANGE(), 5.5, &usage).0, Label::High);
    // What the bolt gets may lie beyond what the scale shows: 9 on it is 11.25, and 2 is 2.5.
    for on_scale in [2.0, 9.0] {
        let (_, reasons) = tightened(&wrench, Spec::range_nm(2.0, 14.0), on_scale, &usage);
        assert_eq!(reasons, [], "{on_scale}");
    }
    let (_, reasons) = tightened(&wrench, Spec::range_nm(2.0, 14.0), 10.5, &usage);
    assert_eq!(reasons, [Reason::Doubt(Doubt::AboveUsableScale { highest: nm(10.0) })]);
    let limits = Limits::new(RANGE());
    let aim = wrench.aim(&limits, Some(&adapter)).unwrap();
    assert!((aim.on_scale - nm(4.0)).abs() < nm(1e-9));
    assert!((aim.aim.setting - nm(5.0)).abs() < nm(1e-9));
}

#[test]
fn a_re_check_is_never_judged_as_a_tightening() {
    let limits = Limits::new(RANGE());
    let held = click(2.0, 10.0).assess(Kind::Held, Some(&limits), nm(4.0), &Use::on(TODAY));
    let finding = Finding::HeldAtLeast { torque: nm(4.0), reaches_low: Some(true), above_high: false };
    assert_eq!(held, Outcome::ReCheck { finding, doubts: vec![] });
    let moved = click(2.0, 10.0).assess(Kind::Moved, Some(&limits), nm(9.0), &Use::on(TODAY));
    assert_eq!(moved.decision(), crate::conformity::Decision::Bad);
}

#[test]
fn the_aim_stays_on_the_usable_scale() {
    let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
    let aim = click(2.0, 10.0).aim(&ceiling, None).unwrap();
    assert_eq!((aim.on_scale, aim.aim.setting), (nm(4.5), nm(4.5)));
    assert_eq!(click(5.0, 60.0).aim(&ceiling, None), Err(NoAim::ScaleTooHigh));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3_000))]

    /// Naming a wrench never turns a good verdict into a doubtful one, unless it is off its scale, has lapsed or
    /// failed, or turns the wrong way; and where the wrench is known, nothing is noted against it.
    #[test]
    fn naming_a_wrench_never_earns_less_than_naming_none(
        low in 0.5..60.0_f64, width in 0.0..30.0_f64, form in 0..4_u8, share in 0.0..1.4_f64,
        high in 5.0..100.0_f64, standing in 0..4_u8, left_hand_thread in any::<bool>(),
        percent in proptest::option::of(1.0..6.0_f64), step in proptest::option::of(0.01..0.05_f64),
    ) {
        let spec = match form {
            0 => Spec::range_nm(low, low + width),
            1 => Spec::Set(nm(low)),
            2 => Spec::Ceiling(nm(low)),
            _ => Spec::Floor(nm(low)),
        };
        let limits = Limits::new(spec);
        let reading = nm(share * (low + width));
        let done = |on, result| vec![Calibration { on, result }];
        let calibrations = match standing {
            0 => Vec::new(),
            1 => done(date(2026, 3, 1), CalibrationResult::Passed),
            2 => done(date(2024, 3, 1), CalibrationResult::Passed),
            _ => done(date(2026, 3, 1), CalibrationResult::Failed),
        };
        let accuracy = percent.map_or(StatedAccuracy::Unstated, |percent| {
            StatedAccuracy::Percent(Deviation::percent(percent).unwrap())
        });
        let parts = WrenchParts::new("named", WrenchKind::Click, nm(high / 10.0), nm(high));
        let step = step.map(|share| nm(share * high));
        let wrench = Wrench::new(WrenchParts { step, accuracy, calibrations, ..parts }, TODAY).unwrap();
        let usage = Use { left_hand_thread, ..Use::on(TODAY) };
        let unnamed = Instrument::of_accuracy(Accuracy::assumed(limits.largest()));
        let outcomes = (
            assess(Kind::Tightened, Some(&limits), reading, &unnamed, &[]),
            wrench.assess(Kind::Tightened, Some(&limits), reading, &usage),
        );
        let (Outcome::Judged(of_none), Outcome::Judged(of_named)) = outcomes else { panic!("a tightening") };
        prop_assert!(of_none.reasons.contains(&Reason::WrenchNotKnown));
        prop_assert_eq!(of_named.reasons.contains(&Reason::WrenchNotKnown), standing == 0);
        let doubts = wrench.doubts(reading, Kind::Tightened, &usage);
        let may_doubt = wrench.scale_doubt(reading).is_some() || standing >= 2 || left_hand_thread;
        prop_assert_eq!(!doubts.is_empty(), may_doubt, "{:?}", doubts);
        if !may_doubt && of_none.label == Label::Inside {
            prop_assert_eq!(of_named.label, Label::Inside);
        }
        // A set value has no chance.
        prop_assert_eq!(of_named.chance_inside.is_none(), may_doubt || form == 1);
    }
}
