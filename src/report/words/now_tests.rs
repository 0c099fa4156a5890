//! Every verdict has its advice, in its own direction.

use super::*;
use crate::conformity::{Accuracy, Deviation, Doubt, Instrument, assess};
use crate::quantity::newton_metres as nm;

fn of(kind: Kind, spec: Option<Spec>, torque: f64, doubts: &[Doubt], less: bool) -> Option<Advice> {
    let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
    let limits = spec.map(Limits::new);
    Advice::of_outcome(&assess(kind, limits.as_ref(), nm(torque), &wrench, doubts), less)
}

#[test]
fn every_verdict_has_advice_in_its_own_direction() {
    let (wide, narrow) = (Some(Spec::range_nm(4.0, 6.0)), Some(Spec::range_nm(5.0, 5.1)));
    let ceiling = Some(Spec::Ceiling(nm(6.0)));
    let (tightened, lapsed) = (Kind::Tightened, &[Doubt::WrongDirection][..]);
    for (found, advice) in [
        (of(tightened, wide, 5.0, &[], false), None),
        (of(tightened, wide, 3.0, &[], false), Some(Advice::Finish)),
        (of(tightened, wide, 8.0, &[], false), Some(Advice::Slacken)),
        (of(tightened, wide, 4.1, &[], false), Some(Advice::TightenOn)),
        (of(tightened, wide, 5.9, &[], false), Some(Advice::SlackenToBeSure)),
        (of(tightened, narrow, 5.05, &[], false), Some(Advice::FinerWrench)),
        (of(tightened, None, 5.0, &[], false), Some(Advice::NoFigure)),
        (of(tightened, None, 5.0, lapsed, false), Some(Advice::NoFigure)),
        (of(tightened, wide, 5.0, lapsed, false), Some(Advice::AnotherWrench)),
        (of(tightened, narrow, 5.05, lapsed, false), Some(Advice::AnotherWrench)),
        (of(tightened, wide, 3.0, &[], true), Some(Advice::ReadFirst)),
        (of(tightened, wide, 4.1, &[], true), Some(Advice::ReadFirst)),
        (of(tightened, wide, 5.0, &[], true), None),
        (of(tightened, wide, 5.9, &[], true), Some(Advice::SlackenToBeSure)),
        (of(tightened, wide, 8.0, &[], true), Some(Advice::Slacken)),
        (of(Kind::Held, wide, 4.5, &[], false), None),
        (of(Kind::Held, wide, 4.5, lapsed, false), Some(Advice::CheckWithAnother)),
        (of(Kind::Held, wide, 3.0, lapsed, false), Some(Advice::CheckAtLowerLimit)),
        (of(Kind::Held, wide, 7.0, &[], false), Some(Advice::SlackenToBeSure)),
        (of(Kind::Held, ceiling, 4.0, &[], false), Some(Advice::NothingToHoldAgainst)),
        (of(Kind::Held, ceiling, 8.0, &[], false), Some(Advice::SlackenToBeSure)),
        (of(Kind::Moved, wide, 5.0, lapsed, false), Some(Advice::LookForCause)),
        (of(Kind::Loosening, wide, 5.0, &[], false), Some(Advice::LookForCause)),
        (of(Kind::BackToMark, wide, 5.0, &[], false), None),
    ] {
        assert_eq!(found, advice);
    }
}

/// Without an aim the figure itself is named, and without either where one comes from.
#[test]
fn the_sentence_ends_in_what_is_known_to_tighten_to() {
    let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
    let moved = assess(Kind::Moved, None, nm(5.0), &wrench, &[]);
    let now = |specified: Option<(&Limits, &str)>, aims, held_back| {
        let said = what_now(&moved, held_back, specified, aims).unwrap();
        said.split_once(", then ").unwrap().1.to_owned()
    };
    let [range, ceiling] = [Spec::range_nm(4.0, 6.0), Spec::Ceiling(nm(5.0))].map(Limits::new);
    let floor = Limits::new(Spec::Floor(nm(12.0)));
    assert_eq!(now(Some((&range, "4–6 N·m")), true, None), "tighten it anew to the aim");
    assert_eq!(now(Some((&range, "4–6 N·m")), false, None), "tighten it anew to well inside 4–6 N·m");
    let below = "tighten it anew from below until it holds, max 5 N·m";
    assert_eq!(now(Some((&ceiling, "max 5 N·m")), false, None), below);
    assert_eq!(
        now(Some((&floor, "min 12 N·m")), false, None),
        "tighten it anew to min 12 N·m or a little more"
    );
    assert_eq!(now(Some((&range, "4–6 N·m")), true, Some(HeldBack::PartsApart)), FIT_OTHER_PARTS);
    assert_eq!(
        now(None, false, None),
        "read the marking on the part or ask its maker, and judge by that figure"
    );
}
