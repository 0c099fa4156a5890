//! Laws that hold for every thread, torque and friction, as property tests.

use approx::assert_relative_eq;
use proptest::prelude::*;

use super::*;
use crate::quantity::{in_newton_metres, newton_metres};

/// A thread of 3 to 50 mm with a pitch of 4 to 20 % of it.
fn profiles() -> impl Strategy<Value = ThreadProfile> {
    (3.0..50.0, 0.04..0.2).prop_filter_map("leaves a core", |(d, share): (f64, f64)| {
        ThreadProfile::new(millimetres(d), millimetres(d * share)).ok()
    })
}

fn coefficients() -> impl Strategy<Value = FrictionCoefficient> {
    (0.04..0.5).prop_filter_map("is a coefficient", |mu| FrictionCoefficient::new(mu).ok())
}

fn tightening(profile: ThreadProfile, head_ratio: f64) -> Tightening {
    Tightening::new(profile, profile.major_diameter() * head_ratio).unwrap()
}

/// A bolt of the tables with its torque in N·m.
fn bolts() -> impl Strategy<Value = Bolt> {
    let catalogue = Catalogue::compiled_in();
    let threads = ["M4", "M5", "M6", "M8x1", "M10", "9/16-20"];
    let grades = ["4.6", "8.8", "12.9", "A2-70", "titanium"];
    (prop::sample::select(threads.to_vec()), prop::sample::select(grades.to_vec()), any::<bool>()).prop_map(
        move |(thread, grade, socket)| {
            let head = if socket { HeadKind::Socket } else { HeadKind::Hex };
            catalogue.bolt(thread, grade, head).unwrap()
        },
    )
}

proptest! {
    #[test]
    fn clamp_load_rises_with_torque_and_falls_with_friction(
        profile in profiles(), head in 1.2..1.5, torque in 0.1..500.0, more in 1.001..3.0,
        mu in 0.04..0.4, rougher in 0.001..0.1,
    ) {
        let bolt = tightening(profile, head);
        let (smooth, rough) =
            (FrictionCoefficient::new(mu).unwrap(), FrictionCoefficient::new(mu + rougher).unwrap());
        let load = bolt.preload(newton_metres(torque), smooth);
        prop_assert!(bolt.preload(newton_metres(torque * more), smooth) > load);
        prop_assert!(bolt.preload(newton_metres(torque), rough) < load);
    }

    #[test]
    fn torque_and_preload_undo_each_other(
        profile in profiles(), head in 1.2..1.5, torque in 0.1..500.0, mu in coefficients(),
    ) {
        let bolt = tightening(profile, head);
        let back = bolt.torque(bolt.preload(newton_metres(torque), mu), mu);
        assert_relative_eq!(in_newton_metres(back), torque, max_relative = 1e-12);
    }

    /// T = K·F·d with K of the VDI terms is the VDI torque.
    #[test]
    fn nut_factor_and_vdi_form_agree(
        profile in profiles(), head in 1.2..1.5, load in 100.0..100_000.0, mu in coefficients(),
    ) {
        let bolt = tightening(profile, head);
        let by_factor = in_ratio(bolt.nut_factor(mu)) * load * in_millimetres(profile.major_diameter()) / 1000.0;
        assert_relative_eq!(
            by_factor, in_newton_metres(bolt.torque(newtons(load), mu)), max_relative = 1e-12
        );
    }

    /// Torque is stress × length³, so the same shape at another size is as highly stressed.
    #[test]
    fn scaling_lengths_by_s_and_torque_by_s_cubed_leaves_stresses_unchanged(
        profile in profiles(), head in 1.2..1.5, torque in 0.1..500.0, mu in coefficients(), s in 0.2..5.0f64,
    ) {
        let larger = ThreadProfile::new(profile.major_diameter() * s, profile.pitch() * s).unwrap();
        let stress = |profile: ThreadProfile, torque: f64| {
            let preload = tightening(profile, head).preload(newton_metres(torque), mu);
            in_ratio(yield_share(profile, megapascals(640.0), preload, mu))
        };
        assert_relative_eq!(
            stress(profile, torque), stress(larger, torque * s.powi(3)), max_relative = 1e-9
        );
    }

    /// The torque on the helix (Shigley, Mechanical Engineering Design, 9th ed., equation 8-26, α = 30°):
    /// the linear form drops only terms of the order of slope × friction.
    #[test]
    fn the_linear_form_stays_close_to_the_helix(
        profile in profiles(), head in 1.2..1.5, mu in coefficients(),
    ) {
        let bolt = tightening(profile, head);
        let (load, slope) = (10_000.0, in_ratio(profile.lead_slope()));
        let wedge = mu.get() / 30.0_f64.to_radians().cos();
        let thread_arm = in_millimetres(profile.pitch_diameter()) / 2.0 * (slope + wedge) / (1.0 - slope * wedge);
        let head_arm = in_millimetres(profile.major_diameter()) * head / 2.0 * mu.get();
        assert_relative_eq!(
            in_newton_metres(bolt.torque(newtons(load), mu)),
            load * (thread_arm + head_arm) / 1000.0,
            max_relative = 2.0 * slope * mu.get()
        );
    }

    #[test]
    fn share_of_yield_falls_and_torque_limit_rises_with_friction(
        bolt in bolts(), torque in 0.5..50.0, mu in 0.04..0.4, rougher in 0.001..0.1,
    ) {
        let (smooth, rough) =
            (FrictionCoefficient::new(mu).unwrap(), FrictionCoefficient::new(mu + rougher).unwrap());
        let torque = newton_metres(torque);
        prop_assert!(bolt.utilisation(torque, rough) < bolt.utilisation(torque, smooth));
        prop_assert!(bolt.torque_limit(rough) > bolt.torque_limit(smooth));
    }

    /// More torque never makes a verdict milder, and its bands are the right way round.
    #[test]
    fn verdicts_never_grow_milder_with_torque(bolt in bolts(), torque in 0.1..500.0, more in 1.0..10.0) {
        let rank = |torque| match bolt.analyse(newton_metres(torque), band(), None).unwrap().plausibility {
            Plausibility::Plausible => 0,
            Plausibility::PastYield => 1,
            Plausibility::PastUltimate => 2,
        };
        prop_assert!(rank(torque * more) >= rank(torque));
        let analysis = bolt.analyse(newton_metres(torque), band(), None).unwrap();
        prop_assert!(analysis.clamp_load.low < analysis.clamp_load.high);
        prop_assert!(bolt.torque_limits(band()).low < bolt.torque_limits(band()).high);
    }

    #[test]
    fn stripping_areas_grow_evenly_with_engagement(length in 1.0..30.0, times in 1.1..4.0) {
        let catalogue = Catalogue::compiled_in();
        let thread = catalogue.thread("M6").unwrap();
        let (limits, _) = limits_of(thread).unwrap();
        for area in [internal_shear_area, external_shear_area] {
            let of = |mm| in_square_millimetres(area(thread.profile.pitch(), &limits, millimetres(mm)));
            assert_relative_eq!(of(length * times), of(length) * times, max_relative = 1e-12);
        }
    }

    #[test]
    fn names_of_any_text_are_answered_without_panic(text in ".{0,40}") {
        let catalogue = Catalogue::compiled_in();
        let m5 = catalogue.thread("M5").unwrap();
        let _ = catalogue.thread(&text);
        let _ = catalogue.grade(&text, m5);
        let _ = catalogue.friction(&text, MaterialFamily::Steel, None);
        let _ = catalogue.material(&text);
        let _ = HeadKind::named(&text);
    }
}

fn band() -> FrictionBand {
    FrictionBand::new(0.10, 0.16).unwrap()
}

#[test]
fn a_head_without_size_is_refused() {
    let profile = ThreadProfile::new(millimetres(5.0), millimetres(0.8)).unwrap();
    assert!(Tightening::new(profile, millimetres(-1.0)).is_err());
}
