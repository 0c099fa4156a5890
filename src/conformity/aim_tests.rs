use super::*;
use crate::conformity::{Accuracy, Deviation, Label, judge};
use crate::quantity::newton_metres as nm;
use proptest::prelude::*;

impl SettingScale {
    /// Whether the scale offers this very setting.
    pub(crate) fn offers(&self, setting: Torque) -> bool {
        let nearest = [self.below(setting), self.above(setting)];
        nearest.into_iter().flatten().any(|mark| at_least(mark, setting) && at_least(setting, mark))
    }
}

fn wrench(percent: f64, step: Option<f64>) -> Instrument {
    let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
    Instrument::new(accuracy, step.map(nm), None).unwrap()
}

fn scale(low: f64, high: f64, step: Option<f64>) -> SettingScale {
    SettingScale::new(nm(low), nm(high), step.map(nm)).unwrap()
}

fn aim_nm(spec: Spec, percent: f64, scale: SettingScale) -> Result<f64, NoAim> {
    aim(&Limits::new(spec), &wrench(percent, None), &scale).map(|aim| in_newton_metres(aim.setting))
}

#[test]
fn the_scale_offers_its_marks_and_no_others() {
    let marks = scale(2.0, 10.0, Some(0.25));
    assert!(marks.offers(nm(2.0)) && marks.offers(nm(5.25)) && marks.offers(nm(10.0)));
    assert!(!marks.offers(nm(5.3)) && !marks.offers(nm(1.75)) && !marks.offers(nm(10.25)));
    assert_eq!((marks.below(nm(1.0)), marks.above(nm(1.0))), (None, Some(nm(2.0))));
    assert_eq!((marks.below(nm(11.0)), marks.above(nm(11.0))), (Some(nm(10.0)), None));
    assert_eq!(marks.within(nm(3.1), nm(9.9)).above(nm(0.0)), Some(nm(3.25)));
    assert!(SettingScale::new(nm(10.0), nm(2.0), None).is_none());
    assert!(SettingScale::new(nm(2.0), nm(10.0), Some(nm(0.0))).is_none());
}

/// A core that the bolt does not bear is left, not the joint; and the chance is that of all that is specified.
#[test]
fn on_a_bolt_one_aims_at_what_it_bears_with_the_chance_of_the_limits() {
    let (limits, instrument) = (Limits::new(Spec::range_nm(4.0, 8.0)), wrench(6.0, None));
    let marks = scale(2.0, 10.0, Some(0.1));
    for core in [None, Some(Spec::range_nm(6.5, 7.0))] {
        let found = aim_on_bolt(core, &limits, Some(nm(5.5)), &instrument, &marks).unwrap();
        assert!(limits.contain(found.setting) && found.setting < nm(5.5), "{found:?}");
        let standard = instrument.standard(found.setting);
        let chance = chance_inside(limits.low(), limits.high(), found.setting, standard);
        assert_eq!(found.chance_inside, chance, "{core:?}");
        let of_cut = chance_inside(limits.low(), Some(nm(5.5)), found.setting, standard);
        assert!(chance.value() > of_cut.value(), "{found:?}");
    }
    let borne = aim_on_bolt(Some(Spec::range_nm(6.5, 7.0)), &limits, Some(nm(7.5)), &instrument, &marks);
    assert!((6.5..=7.0).contains(&in_newton_metres(borne.unwrap().setting)));
}

#[test]
fn each_form_is_aimed_at_in_its_own_way() {
    let half = scale(2.0, 10.0, Some(0.5));
    assert_eq!(aim_nm(Spec::range_nm(4.0, 6.0), 6.0, half), Ok(5.0));
    assert_eq!(aim_nm(Spec::Set(nm(5.0)), 6.0, half), Ok(5.0));
    assert_eq!(aim_nm(Spec::Set(nm(5.2)), 6.0, half), Ok(5.0));
    assert_eq!(aim_nm(Spec::Set(nm(5.4)), 6.0, half), Ok(5.5));
    assert_eq!(aim_nm(Spec::Ceiling(nm(5.0)), 6.0, half), Ok(4.5));
    assert_eq!(aim_nm(Spec::Floor(nm(5.0)), 6.0, half), Ok(5.5));
}

#[test]
fn a_setting_that_is_not_safe_is_not_named() {
    let half = scale(2.0, 10.0, Some(0.5));
    assert_eq!(aim_nm(Spec::range_nm(12.0, 14.0), 6.0, half), Err(NoAim::ScaleTooLow));
    assert_eq!(aim_nm(Spec::range_nm(0.5, 1.0), 6.0, half), Err(NoAim::ScaleTooHigh));
    assert_eq!(aim_nm(Spec::range_nm(5.1, 5.4), 6.0, half), Err(NoAim::NothingSafe));
    assert_eq!(aim_nm(Spec::Ceiling(nm(2.0)), 6.0, half), Err(NoAim::ScaleBeginsAtCeiling));
    assert_eq!(aim_nm(Spec::Floor(nm(10.0)), 6.0, half), Err(NoAim::NothingSafe));
}

#[test]
fn a_ceiling_with_a_known_low_side_stays_below_max_minus_u() {
    let limits = Limits::new(Spec::Ceiling(nm(5.0))).with_other_side(nm(4.0)).unwrap();
    let instrument = wrench(6.0, None);
    let found = aim(&limits, &instrument, &scale(2.0, 10.0, None)).unwrap();
    assert!(found.setting > nm(4.0) && at_least(nm(5.0), found.setting + found.expanded));
    let top = aim(&Limits::new(Spec::Ceiling(nm(5.0))), &instrument, &scale(2.0, 10.0, None));
    // 5 / (1 + 2·0.06/√3), by hand.
    assert!((in_newton_metres(top.unwrap().setting) - 4.676035).abs() < 1e-6);
}

fn any_scale() -> impl Strategy<Value = (SettingScale, f64, f64, f64)> {
    (1.0..20.0f64, 1.5..5.0f64, 0.05..1.0f64)
        .prop_map(|(low, span, step)| (scale(low, low * span, Some(step)), low, low * span, step))
}

fn any_instrument() -> impl Strategy<Value = Instrument> {
    (0.5..20.0f64, proptest::option::of(0.01..1.0f64)).prop_map(|(percent, step)| wrench(percent, step))
}

/// Every setting of a scale, walked mark by mark.
fn settings(low: f64, high: f64, step: f64) -> impl Iterator<Item = Torque> {
    (0..).map(move |k| low + f64::from(k) * step).take_while(move |s| *s <= high).map(nm)
}

proptest! {
    #[test]
    fn a_range_is_never_better_served_by_another_setting(
        (marks, low, high, step) in any_scale(),
        instrument in any_instrument(),
        from in 1.0..40.0f64,
        wide in 0.05..10.0f64,
    ) {
        let limits = Limits::new(Spec::range_nm(from, from + wide));
        let search = Search { limits: &limits, instrument: &instrument };
        let best = settings(low, high, step)
            .map(|s| search.risk(s))
            .fold(f64::INFINITY, f64::min);
        match aim(&limits, &instrument, &marks) {
            Ok(found) => {
                prop_assert!(marks.offers(found.setting));
                prop_assert!(search.risk(found.setting) <= best * (1.0 + 1e-9));
            }
            // Where nothing is safe, even the best setting lies outside the limits or too close to one.
            Err(_) => for s in settings(low, high, step) {
                let beaten = search.risk(s) > best * (1.0 + 1e-9);
                prop_assert!(beaten || !limits.contain(s) || !search.is_held(s));
            },
        }
    }

    #[test]
    fn without_steps_no_setting_is_better_either(
        instrument in any_instrument(),
        from in 1.0..40.0f64,
        wide in 0.5..10.0f64,
        other in 0.5..60.0f64,
    ) {
        let limits = Limits::new(Spec::range_nm(from, from + wide));
        if let Ok(found) = aim(&limits, &instrument, &scale(0.5, 60.0, None)) {
            let search = Search { limits: &limits, instrument: &instrument };
            let least = search.risk(found.setting);
            prop_assert!(least <= search.risk(nm(other)) * (1.0 + 1e-9));
        }
    }

    #[test]
    fn no_higher_setting_keeps_u_from_a_ceiling_and_no_lower_one_from_a_floor(
        (marks, low, high, step) in any_scale(),
        instrument in any_instrument(),
        value in 1.0..60.0f64,
    ) {
        let ceiling = Limits::new(Spec::Ceiling(nm(value)));
        let safe = |s: &Torque| at_least(nm(value), *s + instrument.expanded(*s));
        let highest = settings(low, high, step).filter(safe).last();
        let found = aim(&ceiling, &instrument, &marks).ok();
        prop_assert_eq!(found.is_some(), highest.is_some());
        if let (Some(found), Some(highest)) = (found, highest) {
            prop_assert!((found.setting - highest).abs() < nm(1e-6));
            prop_assert_eq!(judge(Some(&ceiling), found.setting, &instrument, &[]).label, Label::Inside);
        }
        let floor = Limits::new(Spec::Floor(nm(value)));
        let safe = |s: &Torque| at_least(*s - instrument.expanded(*s), nm(value));
        let lowest = settings(low, high, step).find(safe);
        let found = aim(&floor, &instrument, &marks).ok();
        prop_assert_eq!(found.is_some(), lowest.is_some());
        if let (Some(found), Some(lowest)) = (found, lowest) {
            prop_assert!((found.setting - lowest).abs() < nm(1e-6));
            prop_assert_eq!(judge(Some(&floor), found.setting, &instrument, &[]).label, Label::Inside);
        }
    }

    /// Of the marks within what a set value allows, the highest that is not above it; where all are above it, the
    /// lowest; none where the scale has no such mark.
    #[test]
    fn a_set_value_gets_the_highest_mark_that_it_allows(
        (marks, low, high, step) in any_scale(),
        instrument in any_instrument(),
        value in 1.0..60.0f64,
    ) {
        let spec = Spec::Set(nm(value));
        let found = aim(&Limits::new(spec), &instrument, &marks);
        let (from, to) = spec.limits();
        let allowed: Vec<Torque> = settings(low, high, step)
            .filter(|s| at_least(*s, from.unwrap()) && at_least(to.unwrap(), *s))
            .collect();
        let not_above = allowed.iter().rfind(|s| at_least(nm(value), **s));
        let expected = not_above.or(allowed.first());
        prop_assert_eq!(found.is_ok(), expected.is_some());
        if let (Ok(found), Some(expected)) = (found, expected) {
            prop_assert!((found.setting - *expected).abs() < nm(1e-6));
            prop_assert_eq!(found.above_value, not_above.is_none());
        }
    }
}

#[test]
fn nothing_is_aimed_at_zero() {
    let tenths = scale(0.0, 10.0, Some(0.1));
    let range = aim_nm(Spec::range_nm(0.0, 6.0), 6.0, tenths);
    assert_eq!(range, aim_nm(Spec::Ceiling(nm(6.0)), 6.0, tenths));
    assert!(range.is_ok_and(|setting| setting > 5.0));
    let fives = scale(0.0, 10.0, Some(5.0));
    assert_eq!(aim_nm(Spec::Ceiling(nm(1.0)), 6.0, fives), Err(NoAim::NothingSafe));
    assert_eq!(aim_nm(Spec::range_nm(0.0, 1.0), 6.0, fives), Err(NoAim::NothingSafe));
}

/// The examples of an inch-pound wrench with steps of 5: for 6 N·m the mark of 50 lbf·in (5.65 N·m) lies within the 6 %
/// that ISO 6789-1 allows a conforming wrench, for 5 N·m the mark of 40 (4.52 N·m) does not, and 45 stands.
#[test]
fn a_set_value_is_passed_only_where_no_mark_below_it_is_allowed() {
    let unit = crate::quantity::TorqueUnit::PoundForceInch;
    let marks = SettingScale::new(unit.of(10.0), unit.of(100.0), Some(unit.of(5.0))).unwrap();
    let found = |value| {
        let found = aim(&Limits::new(Spec::Set(nm(value))), &wrench(6.0, None), &marks)?;
        Ok::<_, NoAim>((unit.value_of(found.setting).round(), found.above_value))
    };
    assert_eq!(found(6.0), Ok((50.0, false)));
    assert_eq!(found(5.0), Ok((45.0, true)));
    assert_eq!(found(5.4), Ok((45.0, false)));
    // 2.6 N·m is 23.0 lbf·in: neither 20 nor 25 lies within 6 %.
    assert_eq!(found(2.6), Err(NoAim::NoMarkAllowed));
}
