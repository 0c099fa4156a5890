use super::*;
use crate::workshop::{LocalInstant, Name};

fn joint(name: &str, check: Check) -> Joint {
    Joint { check, ..Joint::named(Name::new(name).unwrap()) }
}

fn taken(name: &str, check: Check, less: Less) -> TakenOff {
    TakenOff {
        joint: name.into(),
        check,
        less,
        at: LocalInstant::BLANK,
        who: String::new(),
        why: "why".into(),
    }
}

/// What a bicycle whose kind has `of_kind` lacks, and what of it is waived.
fn answers(of_kind: &[&str], joints: &[Joint], before: &Before) -> (Vec<String>, Vec<String>) {
    let of_kind: Vec<String> = of_kind.iter().map(|name| (*name).to_owned()).collect();
    let joints: Vec<&Joint> = joints.iter().collect();
    (lacking(&of_kind, &joints, before), waived(&of_kind, &joints, before))
}

fn lacks(joints: &[Joint], before: &Before) -> bool {
    !answers(&["fork"], joints, before).0.is_empty()
}

/// A fork that is tightened to a torque was not looked at.
#[test]
fn only_a_hand_check_of_the_name_is_one_that_is_there() {
    let none = Before::default();
    assert!(lacks(&[], &none) && lacks(&[joint("Fork", Check::Torque)], &none));
    assert!(
        lacks(&[joint("Fork", Check::Measure)], &none) && lacks(&[joint("forks", Check::Function)], &none)
    );
    assert!(!lacks(&[joint("Fork", Check::Function)], &none));
    assert!(!lacks(&[joint("fork", Check::Torque), joint("Fork-by-hand", Check::Function)], &none));
}

#[test]
fn only_a_hand_check_that_was_taken_off_is_told_instead_of_lacking() {
    for (check, lacking) in [(Check::Function, false), (Check::Torque, true), (Check::Measure, true)] {
        for less in [Less::TakenOff, Less::FewerBolts { from: 2, to: 1 }] {
            let before = Before { taken_off: vec![taken("Fork", check, less)], renamed: vec![] };
            assert_eq!(lacks(&[], &before), lacking, "{check:?} {less:?}");
            let waived = !lacking && less == Less::TakenOff;
            assert_eq!(answers(&["fork"], &[], &before).1.is_empty(), !waived, "{check:?} {less:?}");
        }
    }
}

#[test]
fn a_renamed_hand_check_stands_for_what_it_was_called() {
    let renamed = vec![Renamed { from: "fork".into(), to: "blades".into() }];
    let before = |taken_off| Before { taken_off, renamed: renamed.clone() };
    assert!(!lacks(&[joint("Blades", Check::Function)], &before(vec![])));
    assert!(lacks(&[joint("blades", Check::Torque)], &before(vec![])));
    assert!(lacks(&[joint("other", Check::Function)], &before(vec![])));
    let off = before(vec![taken("blades", Check::Function, Less::TakenOff)]);
    assert_eq!(answers(&["fork"], &[], &off), (vec![], vec!["fork".to_owned()]));
}

/// A track bicycle has no front brake, and a bicycle without any is under a condition; one without a frame is none.
#[test]
fn a_part_that_is_not_fitted_is_no_condition_as_long_as_one_brake_is_looked_at() {
    let kind = ["frame", "braking-front", "braking-rear", "motor"];
    let off = |names: &[(&str, Less)]| Before {
        taken_off: names.iter().map(|(name, less)| taken(name, Check::Function, *less)).collect(),
        renamed: vec![],
    };
    let both = ["frame", "braking-rear"].map(|name| joint(name, Check::Function));
    let not_fitted = off(&[("braking-front", Less::NotFitted), ("motor", Less::NotFitted)]);
    assert_eq!(answers(&kind, &both, &not_fitted), (vec![], vec![]));
    let frame = &both[..1];
    let none = off(&[
        ("braking-front", Less::NotFitted),
        ("braking-rear", Less::NotFitted),
        ("motor", Less::NotFitted),
    ]);
    let brakes = vec!["braking-front".to_owned(), "braking-rear".to_owned()];
    assert_eq!(answers(&kind, frame, &none), (vec![], brakes.clone()));
    let idle = off(&[
        ("braking-front", Less::NotFitted),
        ("braking-rear", Less::DecidesNoMore),
        ("motor", Less::NotFitted),
    ]);
    assert_eq!(answers(&kind, &both, &idle), (vec![], brakes));
    let without_frame = off(&[("frame", Less::NotFitted)]);
    assert_eq!(answers(&["frame"], &[], &without_frame).1, ["frame"]);
}
