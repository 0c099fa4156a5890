use super::*;
use crate::conformity::{Accuracy, Deviation};
use crate::quantity::{Spec, TorqueUnit, newton_metres as nm};
use approx::assert_abs_diff_eq;
use proptest::prelude::*;

fn wrench(percent: f64, step: Option<f64>, scatter: Option<f64>) -> Instrument {
    let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
    Instrument::new(accuracy, step.map(nm), scatter.map(nm)).unwrap()
}

fn verdict(spec: Spec, reading: f64, percent: f64) -> Verdict {
    judge(Some(&Limits::new(spec)), nm(reading), &wrench(percent, Some(0.1), None), &[])
}

/// A wrench that is taken on trust is said to be, whatever it reads.
#[test]
fn a_wrench_that_is_not_known_is_noted_beside_every_label() {
    let limits = Limits::new(Spec::range_nm(4.0, 6.0));
    let is_noted = |accuracy, reading| {
        let found = judge(Some(&limits), nm(reading), &Instrument::of_accuracy(accuracy), &[]);
        (found.label, found.reasons.contains(&Reason::WrenchNotKnown))
    };
    for (reading, label) in
        [(5.0, Label::Inside), (3.0, Label::Low), (8.0, Label::High), (4.1, Label::TooClose)]
    {
        assert_eq!(is_noted(Accuracy::assumed(nm(6.0)), reading), (label, true));
        assert_eq!(is_noted(Accuracy::given(Deviation::SIX_PERCENT), reading), (label, false));
    }
}

#[test]
fn the_examples_of_the_job() {
    assert_eq!(verdict(Spec::range_nm(12.0, 14.0), 13.0, 4.0).label, Label::Inside);
    let close = verdict(Spec::range_nm(4.0, 6.0), 5.9, 6.0);
    assert_eq!((close.label, close.lean), (Label::TooClose, Some(Side::High)));
    assert_abs_diff_eq!(close.chance_inside.unwrap().value(), 0.686, epsilon = 5e-4);
    assert_eq!(verdict(Spec::range_nm(4.0, 6.0), 6.5, 6.0).label, Label::High);
    assert_eq!(verdict(Spec::range_nm(4.0, 6.0), 3.5, 6.0).label, Label::Low);
}

#[test]
fn a_ceiling_leaves_the_low_side_open_unless_it_is_known() {
    let open = verdict(Spec::Ceiling(nm(5.0)), 2.0, 6.0);
    assert_eq!((open.label, open.not_judged), (Label::Inside, Some(Side::Low)));
    assert!(open.capability.is_none());
    assert_eq!(verdict(Spec::Ceiling(nm(5.0)), 5.0, 6.0).label, Label::TooClose);
    assert_eq!(verdict(Spec::Ceiling(nm(5.0)), 5.5, 6.0).label, Label::High);

    let known = Limits::new(Spec::Ceiling(nm(5.0))).with_other_side(nm(4.0)).unwrap();
    let closed = judge(Some(&known), nm(2.0), &wrench(6.0, None, None), &[]);
    assert_eq!((closed.label, closed.not_judged), (Label::Low, None));
}

#[test]
fn a_floor_is_the_mirror_image() {
    let above = verdict(Spec::Floor(nm(12.0)), 14.0, 4.0);
    assert_eq!((above.label, above.not_judged), (Label::Inside, Some(Side::High)));
    assert_eq!(verdict(Spec::Floor(nm(12.0)), 12.0, 4.0).label, Label::TooClose);
    assert_eq!(verdict(Spec::Floor(nm(12.0)), 11.0, 4.0).label, Label::Low);
}

#[test]
fn a_set_value_is_judged_by_simple_acceptance() {
    let set = Spec::Set(nm(5.0));
    let inside = verdict(set, 5.3, 6.0);
    assert_eq!(inside.label, Label::Inside);
    assert_eq!(inside.reasons, [Reason::SetValue { value: nm(5.0), allowed: Deviation::SIX_PERCENT }]);
    assert_eq!(verdict(set, 5.4, 6.0).label, Label::TooClose);
    assert_eq!(verdict(set, 5.8, 6.0).label, Label::High);
    assert_eq!(verdict(set, 4.3, 6.0).label, Label::Low);
    let coarse = verdict(set, 5.0, 10.0);
    assert!(matches!(coarse.reasons[..], [Reason::SetValue { .. }, Reason::CoarserThanAllowed { .. }]));
}

#[test]
fn a_range_narrower_than_2u_cannot_be_settled_but_far_off_is_far_off() {
    let narrow = verdict(Spec::range_nm(12.0, 12.5), 12.2, 4.0);
    assert_eq!(narrow.label, Label::NotSettled);
    assert!(matches!(narrow.reasons[..], [Reason::NarrowRange { .. }]));
    assert!(narrow.capability.unwrap().value < 1.0);
    assert_eq!(verdict(Spec::range_nm(12.0, 12.5), 14.0, 4.0).label, Label::High);
}

/// 2U at the middle is 2·2·0.04/√3 of it: a range from 12 N·m up must be 1.1622 N·m wide, by hand.
#[test]
fn the_width_is_compared_with_2u_at_the_middle() {
    let instrument = wrench(4.0, None, None);
    let at_middle = |width: f64| {
        let limits = Limits::new(Spec::range_nm(12.0, 12.0 + width));
        judge(Some(&limits), nm(12.0 + width / 2.0), &instrument, &[]).label
    };
    assert_eq!((at_middle(1.162), at_middle(1.163)), (Label::NotSettled, Label::Inside));
}

#[test]
fn a_wrench_that_cannot_be_believed_settles_nothing() {
    let limits = Limits::new(Spec::range_nm(4.0, 6.0));
    for reading in [1.0, 5.0, 44.0] {
        let doubted = judge(Some(&limits), nm(reading), &wrench(6.0, None, None), &[Doubt::WrongDirection]);
        assert_eq!(doubted.label, Label::NotSettled);
        assert_eq!(doubted.reasons[0], Reason::Doubt(Doubt::WrongDirection));
        assert_eq!(doubted.chance_inside, None, "a chance would be believed");
    }
}

#[test]
fn without_limits_nothing_is_judged() {
    let none = judge(None, nm(5.0), &wrench(6.0, None, None), &[]);
    assert_eq!((none.label, none.chance_inside), (Label::NotSettled, None));
    assert_eq!(none.reasons, [Reason::NoLimits]);
}

#[test]
fn a_reading_in_the_middle_leans_nowhere() {
    let even = verdict(Spec::range_nm(4.0, 6.0), 5.0, 6.0);
    assert_eq!(even.lean, None);
    assert_eq!(verdict(Spec::Ceiling(nm(5.0)), 2.0, 6.0).lean, Some(Side::High));
}

/// A limit without a chance to be crossed, and a reading of 0, give no nonsense.
#[test]
fn a_reading_of_nothing_is_low() {
    let nothing = judge(Some(&Limits::new(Spec::range_nm(4.0, 6.0))), nm(0.0), &wrench(6.0, None, None), &[]);
    assert_eq!(nothing.label, Label::Low);
    assert_eq!(nothing.chance_inside.map(Probability::value), Some(0.0));
    assert!(nothing.capability.is_none());
}

fn any_spec() -> impl Strategy<Value = Spec> {
    // 10 N·m is where the deviation that is allowed and assumed leaps.
    let value = prop_oneof![4 => 1.0..60.0f64, 1 => Just(10.0)];
    (value, 0.01..20.0f64, 0..4u8).prop_map(|(value, wide, form)| match form {
        0 => Spec::range_nm(value, value + wide),
        1 => Spec::Set(nm(value)),
        2 => Spec::Ceiling(nm(value)),
        _ => Spec::Floor(nm(value)),
    })
}

/// How much a label claims to know: `inside`, `low`, `high` decide; `too close` gives a chance;
/// `not settled` gives nothing.
fn decides(label: Label) -> u8 {
    match label {
        Label::Inside | Label::Low | Label::High => 2,
        Label::TooClose => 1,
        Label::NotSettled => 0,
    }
}

/// How good a label is for the joint.
fn goodness(label: Label) -> u8 {
    match label {
        Label::Inside => 3,
        Label::TooClose => 2,
        Label::NotSettled => 1,
        Label::Low | Label::High => 0,
    }
}

/// A torque in one unit, retyped in another.
fn retyped(torque: Torque, unit: TorqueUnit) -> Torque {
    unit.of(unit.value_of(torque))
}

proptest! {
    /// A worse wrench (a larger U at every reading) never knows more: a decided label stays or turns
    /// into `too close` or `not settled`, `too close` stays or turns into `not settled`, and one
    /// decided label never turns into another. For a reading within the limits, which can be neither
    /// `low` nor `high`, this is: the label never improves.
    #[test]
    fn a_worse_wrench_never_knows_more(
        spec in any_spec(),
        reading in 0.1..90.0f64,
        (percent, more) in (0.5..20.0f64, 0.0..20.0f64),
        (step, coarser) in (0.01..1.0f64, 0.0..2.0f64),
        (scatter, wilder) in (0.01..1.0f64, 0.0..2.0f64),
    ) {
        let limits = Limits::new(spec);
        let better = wrench(percent, Some(step), Some(scatter));
        let worse = wrench(percent + more, Some(step + coarser), Some(scatter + wilder));
        let before = judge(Some(&limits), nm(reading), &better, &[]).label;
        let after = judge(Some(&limits), nm(reading), &worse, &[]).label;
        prop_assert!(decides(after) <= decides(before), "{before} became {after}");
        prop_assert!(decides(after) < 2 || after == before, "{before} became {after}");
        if limits.contain(nm(reading)) {
            prop_assert!(goodness(after) <= goodness(before), "{before} became {after}");
            prop_assert!(!matches!(before, Label::Low | Label::High));
        }
        let doubted = judge(Some(&limits), nm(reading), &better, &[Doubt::WrongDirection]).label;
        prop_assert_eq!(doubted, Label::NotSettled);
    }

    #[test]
    fn another_unit_never_changes_a_label(spec in any_spec(), reading in 0.1..90.0f64, at_limit in 0..4u8) {
        // Readings right on a limit, or U away from one, are the ones that could flip.
        let limits = Limits::new(spec);
        let assumed = |limits: &Limits| {
            Instrument::new(Accuracy::assumed(limits.largest()), Some(nm(0.1)), None).unwrap()
        };
        let instrument = assumed(&limits);
        let edge = limits.high().or(limits.low()).unwrap();
        let reading = match at_limit {
            0 => edge,
            1 => edge - instrument.expanded(edge),
            _ => nm(reading),
        };
        let label = judge(Some(&limits), reading, &instrument, &[]).label;
        for &unit in TorqueUnit::ALL {
            let converted = match spec {
                Spec::Range { low, high } => Spec::Range { low: retyped(low, unit), high: retyped(high, unit) },
                Spec::Set(value) => Spec::Set(retyped(value, unit)),
                Spec::Ceiling(max) => Spec::Ceiling(retyped(max, unit)),
                Spec::Floor(min) => Spec::Floor(retyped(min, unit)),
            };
            let limits = Limits::new(converted);
            let again = judge(Some(&limits), retyped(reading, unit), &assumed(&limits), &[]).label;
            prop_assert_eq!(again, label, "{}", unit);
        }
    }

    #[test]
    fn a_reading_moved_towards_the_middle_never_gets_a_worse_label(
        low in 1.0..60.0f64,
        times_2u in 0.1..4.0f64,
        from_middle in -2.0..2.0f64,
        share in 0.0..1.0f64,
        percent in 0.5..20.0f64,
        step in proptest::option::of(0.01..1.0f64),
    ) {
        // Widths and readings around the points where the labels change.
        let instrument = wrench(percent, step, None);
        let wide = times_2u * 2.0 * crate::quantity::in_newton_metres(instrument.expanded(nm(low)));
        let limits = Limits::new(Spec::range_nm(low, low + wide));
        let reading = (low + wide / 2.0 + from_middle * wide).max(0.0);
        let nearer = reading + share * (low + wide / 2.0 - reading);
        let before = judge(Some(&limits), nm(reading), &instrument, &[]).label;
        let after = judge(Some(&limits), nm(nearer), &instrument, &[]).label;
        prop_assert!(goodness(after) >= goodness(before), "{before} became {after}");
    }

    /// JCGM 106:2012, 9.3: with a guard band of U = 2u a wrong `inside` has a chance below 2.3 % on
    /// either side, and so has a wrong `low` or `high`.
    #[test]
    fn a_decided_label_is_rarely_wrong(low in 1.0..60.0f64, wide in 0.5..20.0f64, reading in 0.1..90.0f64) {
        let verdict = verdict(Spec::range_nm(low, low + wide), reading, 4.0);
        let chance = verdict.chance_inside.unwrap().value();
        match verdict.label {
            Label::Inside => prop_assert!(chance > 1.0 - 2.0 * 0.02276),
            Label::Low | Label::High => prop_assert!(chance < 0.02276),
            Label::TooClose | Label::NotSettled => {}
        }
    }
}
