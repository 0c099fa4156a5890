use super::*;
use crate::joint::{Catalogue, HeadKind};
use crate::quantity::{in_newton_metres, newton_metres};
use approx::assert_relative_eq;

fn m5(grade: &str) -> (Bolt, FrictionBand) {
    let catalogue = Catalogue::compiled_in();
    let bolt = catalogue.bolt("M5", grade, HeadKind::Socket).unwrap();
    let friction = catalogue.friction("unknown", bolt.class.family, None).unwrap();
    (bolt, friction.band)
}

/// 44 lbf·in is 4.97 N·m (1 lbf·in = 0.112984829 N·m, NIST SP 811, App. B.8).
#[test]
fn forty_four_newton_metres_on_m5_are_impossible_and_were_pound_inches() {
    let (bolt, friction) = m5("8.8");
    let verdict = plausibility(&bolt, newton_metres(44.0), friction).unwrap();
    assert_eq!(verdict, Plausibility::PastUltimate);
    let slips = unit_slips(&bolt, 44.0, TorqueUnit::NewtonMetre, friction).unwrap();
    assert_eq!(slips[0].unit, TorqueUnit::PoundForceInch);
    assert_relative_eq!(in_newton_metres(slips[0].torque), 4.97, epsilon = 0.005);
    // 44 lbf·ft is still too much, 44 N·cm (0.44 N·m) hardly tightens the bolt.
    let unlikely = [TorqueUnit::PoundForceFoot, TorqueUnit::NewtonCentimetre];
    assert!(slips.iter().all(|slip| !unlikely.contains(&slip.unit)));
}

/// 0.9 of yield on M5 8.8 lies near 5 N·m at μ 0.10 and near 6 N·m at 0.14 (VDI 2230 form).
#[test]
fn a_torque_past_yield_at_low_friction_only_is_a_warning() {
    let (bolt, _) = m5("8.8");
    let friction = FrictionBand::new(0.10, 0.16).unwrap();
    let at = |nm| plausibility(&bolt, newton_metres(nm), friction).unwrap();
    assert_eq!(at(4.0), Plausibility::Plausible);
    assert_eq!(at(6.0), Plausibility::PastYield);
    assert!(in_ratio(bolt.utilisation(newton_metres(6.0), friction.low())) > PERMITTED_SHARE);
    let limit = bolt.torque_limit(friction.low());
    assert!(limit < newton_metres(6.0) && limit > newton_metres(4.0));
}

#[test]
fn the_verdict_turns_exactly_at_the_limit_and_at_the_ultimate_load() {
    let (bolt, friction) = m5("10.9");
    let limit = bolt.torque_limit(friction.low());
    let at = |torque| plausibility(&bolt, torque, friction).unwrap();
    assert_eq!(at(limit * 0.999), Plausibility::Plausible);
    assert_eq!(at(limit * 1.001), Plausibility::PastYield);
    let breaking = bolt.tightening.torque(bolt.ultimate_load(), friction.high());
    assert_eq!(at(breaking * 0.999), Plausibility::PastYield);
    assert_eq!(at(breaking * 1.001), Plausibility::PastUltimate);
}

#[test]
fn an_ordinary_number_explains_itself_and_nonsense_is_refused() {
    let (bolt, friction) = m5("12.9");
    let slips = |number, unit| unit_slips(&bolt, number, unit, friction);
    let names = slips(5.0, TorqueUnit::KilogramForceMetre).unwrap();
    assert_eq!(names[0].unit, TorqueUnit::NewtonMetre);
    assert_eq!(slips(1e6, TorqueUnit::NewtonMetre), Ok(Vec::new()));
    assert!(slips(-5.0, TorqueUnit::NewtonMetre).is_err());
    assert!(plausibility(&bolt, newton_metres(f64::INFINITY), friction).is_err());
}

/// A foot-pound is 1.36 N·m, and the one is taken for the other; an inch-pound is 1.15 kgf·cm, and nobody does (common
/// practice).
#[test]
fn only_a_clearly_smaller_unit_explains_a_number() {
    let (bolt, friction) = m5("8.8");
    let limit = bolt.torque_limit(friction.middle());
    let explained = |stated: TorqueUnit, by: TorqueUnit| {
        let slips = unit_slips(&bolt, stated.value_of(limit * 1.05), stated, friction).unwrap();
        slips.iter().any(|slip| slip.unit == by)
    };
    assert!(explained(TorqueUnit::PoundForceFoot, TorqueUnit::NewtonMetre));
    assert!(!explained(TorqueUnit::PoundForceInch, TorqueUnit::KilogramForceCentimetre));
}

/// From a tenth of yield to 90 % of it (VDI 2230 permits 0.9; the tenth is this project's own choice).
#[test]
fn an_ordinary_torque_takes_a_bolt_to_a_tenth_of_yield_and_to_nine_tenths() {
    let (bolt, friction) = m5("8.8");
    let nine_tenths = in_newton_metres(bolt.torque_limit(friction.middle()));
    let ordinary = |newton_metres: f64| {
        let slips = unit_slips(&bolt, newton_metres, TorqueUnit::KilogramForceMetre, friction).unwrap();
        slips.iter().any(|slip| slip.unit == TorqueUnit::NewtonMetre)
    };
    let told = [0.999, 1.001].map(|by| (ordinary(nine_tenths / 9.0 * by), ordinary(nine_tenths * by)));
    assert_eq!(told, [(false, true), (true, false)]);
}
