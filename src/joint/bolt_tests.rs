use super::*;
use crate::joint::{Basis, Catalogue, HeadKind, in_newtons, in_ratio, millimetres};
use crate::quantity::newton_metres;
use approx::assert_relative_eq;

fn catalogue() -> Catalogue {
    Catalogue::compiled_in()
}

fn m5() -> Bolt {
    catalogue().bolt("M5", "8.8", HeadKind::Hex).unwrap()
}

fn band() -> FrictionBand {
    FrictionBand::new(0.10, 0.16).unwrap()
}

/// Worked by hand from the VDI 2230 terms for M5, d2 4.4804, D_Km (6.88 + 5.5)/2 mm:
/// arm at 0.10 0.12732 + 0.25868 + 0.30950 mm, at 0.16 0.12732 + 0.41388 + 0.49520 mm.
#[test]
fn five_newton_metres_on_m5() {
    let bolt = m5();
    let analysis = bolt.analyse(newton_metres(5.0), band(), None).unwrap();
    assert_relative_eq!(in_newtons(analysis.clamp_load.high), 5000.0 / 0.69550, max_relative = 1e-4);
    assert_relative_eq!(in_newtons(analysis.clamp_load.low), 5000.0 / 1.03640, max_relative = 1e-4);
    assert!(analysis.utilisation.low < analysis.utilisation.high);
    assert!(bolt.torque_limits(band()).low < bolt.torque_limits(band()).high);
    assert_relative_eq!(in_newtons(bolt.proof_load()), 14.1825 * 580.0, max_relative = 1e-5);
    assert_relative_eq!(in_newtons(bolt.ultimate_load()), 14.1825 * 800.0, max_relative = 1e-5);
    assert_eq!(analysis.stripping, None);
}

#[test]
fn the_torque_limit_reaches_ninety_per_cent_of_yield() {
    let bolt = m5();
    for mu in [band().low(), band().high()] {
        let share = bolt.utilisation(bolt.torque_limit(mu), mu);
        assert_relative_eq!(in_ratio(share), PERMITTED_SHARE, max_relative = 1e-12);
    }
}

#[test]
fn stainless_steel_has_its_yield_stress_for_proof() {
    let bolt = catalogue().bolt("M6", "A2-70", HeadKind::Socket).unwrap();
    assert_relative_eq!(in_newtons(bolt.proof_load()), 20.1234 * 450.0, max_relative = 1e-5);
}

#[test]
fn torques_that_cannot_be_applied_are_refused_with_the_reason() {
    for bad in [0.0, -5.0, f64::INFINITY, f64::NAN] {
        let refused = m5().analyse(newton_metres(bad), band(), None).unwrap_err();
        assert!(refused.to_string().starts_with("torque must be above 0 and finite"), "{refused}");
    }
}

#[test]
fn a_short_engagement_strips_and_a_long_one_breaks_the_bolt() {
    let catalogue = catalogue();
    let aluminium = catalogue.material("aluminium").unwrap();
    let bolt = catalogue.bolt("M5", "10.9", HeadKind::Socket).unwrap();
    let at = |mm: f64| {
        let engagement = Engagement::new(millimetres(mm), aluminium.clone()).unwrap();
        bolt.analyse(newton_metres(6.0), band(), Some(&engagement)).unwrap().stripping.unwrap()
    };
    // Internal area of M5 over 5 mm is 49.994 mm² (Bickford, 4th ed.), so 8 mm carries 10.4 kN.
    let eight = at(8.0);
    let load = in_newtons(eight.stripping.load());
    assert_relative_eq!(load, 49.994 * 8.0 / 5.0 * 130.0, max_relative = 1e-4);
    // The bolt's own area over 5 mm is 35.366 mm²; its shear strength is 1040 MPa over √3.
    let bolt_load = in_newtons(eight.stripping.external_load);
    assert_relative_eq!(bolt_load, 35.366 * 8.0 / 5.0 * 1040.0 / 3f64.sqrt(), max_relative = 1e-4);
    assert_eq!(eight.stripping.side(), crate::joint::StrippedSide::Internal);
    assert!(!eight.bolt_breaks_first);
    assert!(at(16.0).bolt_breaks_first);
    assert!(at(2.0).margin < eight.margin);
    assert!(in_ratio(at(1.0).margin) < 1.0);
}

#[test]
fn stripping_says_when_its_limits_are_estimated_or_unknown() {
    let catalogue = catalogue();
    let steel = Engagement::new(millimetres(6.0), catalogue.material("steel").unwrap().clone()).unwrap();
    let of = |thread| catalogue.bolt(thread, "8.8", HeadKind::Hex).unwrap().stripping(&steel);
    assert!(matches!(of("M6").unwrap().limits_basis, Basis::Tabulated(_)));
    assert!(matches!(of("M4").unwrap().limits_basis, Basis::Estimated(_)));
    assert!(matches!(of("9/16-20"), Err(JointError::NoToleranceLimits(_))));
    assert!(Engagement::new(millimetres(0.0), steel.material.clone()).is_err());
}

#[test]
fn a_sweep_ends_at_its_torque_and_meets_the_analysis_there() {
    let (bolt, torque) = (m5(), newton_metres(6.0));
    let points = crate::joint::sweep(&bolt, band(), torque, 12).unwrap();
    assert_eq!(points.len(), 12);
    let (first, last) = (points[0], points[11]);
    assert_relative_eq!(in_newton_metres(first.torque), 0.5, max_relative = 1e-12);
    assert_relative_eq!(in_newton_metres(last.torque), 6.0, max_relative = 1e-12);
    assert_eq!(last.clamp_load, bolt.analyse(last.torque, band(), None).unwrap().clamp_load);
    for points in [0, 1, 1001] {
        let refused = crate::joint::sweep(&bolt, band(), torque, points);
        assert_eq!(refused, Err(JointError::SweepPoints(points)));
    }
}
