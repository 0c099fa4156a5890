use super::*;
use crate::conformity::{Label, judge};
use crate::quantity::{in_newton_metres, newton_metres as nm};
use proptest::prelude::*;

fn limits(spec: Spec) -> Limits {
    Limits::new(spec)
}

#[test]
fn a_plain_range_needs_a_plain_wrench() {
    let (wrenches, beyond) = needs(&[limits(Spec::range_nm(4.0, 6.0))]);
    assert!(beyond.is_empty());
    assert_eq!(wrenches[0].deviation_at_most, Deviation::SIX_PERCENT);
    assert_eq!(wrenches[0].step_at_most, nm(0.5));
    let capacity = in_newton_metres(wrenches[0].capacity_at_most);
    assert!((20.0..25.0).contains(&capacity), "{capacity}");
}

#[test]
fn a_narrow_range_needs_a_better_wrench_and_a_sliver_none_that_is_sold() {
    let (wrenches, beyond) = needs(&[
        limits(Spec::range_nm(5.0, 5.5)),
        limits(Spec::range_nm(5.0, 5.01)),
        limits(Spec::Ceiling(nm(5.0))),
    ]);
    assert_eq!(beyond, [1]);
    assert_eq!(wrenches.len(), 1);
    assert!(wrenches[0].deviation_at_most < Deviation::SIX_PERCENT);
}

#[test]
fn one_wrench_cannot_span_from_four_to_fifty() {
    // Common practice: cockpit bolts and crank axles want two wrenches.
    let (wrenches, _) = needs(&[
        limits(Spec::range_nm(35.0, 50.0)),
        limits(Spec::range_nm(4.0, 6.0)),
        limits(Spec::range_nm(5.0, 7.0)),
    ]);
    assert_eq!(wrenches.len(), 2);
    assert!(wrenches[0].highest < nm(10.0) && wrenches[1].lowest > nm(30.0));
    assert_eq!(needs(&[]), (vec![], vec![]));
}

proptest! {
    /// Whatever wrench meets the need, and wherever its marks lie, a reading at its aim is inside.
    #[test]
    fn a_wrench_that_meets_the_need_settles_the_torque(
        low in 1.0..60.0f64,
        wide in 0.2..20.0f64,
        form in 0..4u8,
        phase in 0.0..1.0f64,
        finer in 0.2..1.0f64,
    ) {
        let spec = match form {
            0 => Spec::range_nm(low, low + wide),
            1 => Spec::Set(nm(low)),
            2 => Spec::Ceiling(nm(low)),
            _ => Spec::Floor(nm(low)),
        };
        let limits = limits(spec);
        if let ([need], []) = (&needs(std::slice::from_ref(&limits)).0[..], [(); 0]) {
            let step = need.step_at_most * finer;
            let begins = (need.lowest - step * phase).max(Torque::default());
            let scale = SettingScale::new(begins, need.highest, Some(step)).unwrap();
            let scale = scale.within(need.lowest, need.highest);
            let instrument = Instrument::new(Accuracy::given(need.deviation_at_most), Some(step), None).unwrap();
            let found = aim(&limits, &instrument, &scale);
            prop_assert!(found.is_ok(), "{found:?} {need:?}");
            let label = judge(Some(&limits), found.unwrap().setting, &instrument, &[]).label;
            prop_assert_eq!(label, Label::Inside);
        }
    }
}
