use super::*;
use crate::quantity::{Spec, in_newton_metres, newton_metres, parse_reading};
use approx::assert_relative_eq;
use proptest::prelude::*;

fn texts(spec: Spec, reading: &str) -> Vec<String> {
    let limits = Limits::new(spec);
    suspect(&limits, parse_reading(reading).unwrap(), Label::High).into_iter().map(told).collect()
}

fn told(slip: Slip) -> String {
    let Slip { reading, units: MixUp { meant: unit, scale }, meant } = slip;
    match scale {
        None => format!("{} {unit} = {:.2} N·m", reading.number.value, in_newton_metres(meant)),
        Some(scale) => {
            let figure = unit.value_of(meant);
            assert_relative_eq!(in_newton_metres(scale.of(figure)), in_newton_metres(reading.torque));
            format!("{figure:.2} {unit} on a {scale} scale")
        }
    }
}

#[test]
fn forty_four_is_likeliest_in_inch_pounds() {
    let found = texts(Spec::range_nm(4.0, 6.0), "44 N·m");
    assert_eq!(found[0], "44 lbf·in = 4.97 N·m");
    assert_eq!(found[1], "44 kgf·cm = 4.31 N·m");
}

/// Factors applied ÷ wanted of the trade, common practice; recomputed from the exact units.
#[test]
fn the_six_wrong_factors() {
    let printed = [1.36, 0.74, 8.85, 0.11, 12.0, 0.083];
    for ((meant, scale), factor) in WRONG_SCALES.into_iter().zip(printed) {
        let applied_over_wanted = in_newton_metres(scale.of(1.0)) / in_newton_metres(meant.of(1.0));
        assert_relative_eq!(applied_over_wanted, factor, max_relative = 0.03);
    }
}

#[test]
fn a_figure_on_the_wrong_scale_is_named() {
    let found = texts(Spec::Set(newton_metres(5.0)), "6.8 N·m");
    assert_eq!(found, ["5.02 N·m on a lbf·ft scale"]);
    let found = texts(Spec::range_nm(35.0, 50.0), "21.4 lbf·ft");
    assert!(found.iter().any(|text| text.contains("on a N·m scale")), "29 lbf·ft: {found:?}");
    // 4.43 and 4.79 are figures that nobody sets: the bolt simply got too much. 4.57 lies less than a last digit from 4.5,
    // and more than half of one, so that it would not have been read.
    for reading in ["6.0 lbf·ft", "6.5 N·m", "7.2 N·m", "6.2 N·m"] {
        let found = texts(Spec::range_nm(4.0, 5.0), reading);
        assert!(found.iter().all(|text| !text.contains("lbf·ft scale")), "{reading}: {found:?}");
    }
}

#[test]
fn a_reading_within_the_limits_raises_no_suspicion() {
    // 36 lbf·ft would fit as well, but 36 N·m fits already.
    assert!(texts(Spec::range_nm(35.0, 50.0), "36 N·m").is_empty());
    let limits = Limits::new(Spec::range_nm(4.0, 6.0));
    assert!(suspect(&limits, parse_reading("44 N·m").unwrap(), Label::Inside).is_empty());
    assert!(texts(Spec::range_nm(4.0, 6.0), "0 N·m").is_empty());
}

#[test]
fn below_a_ceiling_only_what_comes_near_it_is_suspected() {
    let found = texts(Spec::Ceiling(newton_metres(5.0)), "44 N·m");
    let units = ["44 lbf·in", "44 kgf·cm", "44 dN·m"];
    assert!(found.iter().zip(units).all(|(text, unit)| text.starts_with(unit)), "{found:?}");
    assert!(!found.iter().any(|text| text.starts_with("44 mN·m")), "{found:?}");
    assert!(texts(Spec::Floor(newton_metres(40.0)), "5 N·m").iter().all(|text| !text.contains("kN·m")));
}

#[test]
fn units_of_one_size_are_named_once() {
    let found = texts(Spec::range_nm(4.0, 6.0), "500 N·m");
    assert_eq!(found.iter().filter(|text| text.starts_with("500")).count(), 1, "{found:?}");
}

proptest! {
    /// A watch suspects what is named one by one.
    #[test]
    fn a_watch_sees_what_is_named(
        form in 0..4_usize, low in 0.5..60.0_f64, width in 0.0..30.0_f64, value in 0.0..900.0_f64,
        decimals in 0..4_usize, unit in proptest::sample::select(TorqueUnit::ALL), exact in any::<bool>(),
    ) {
        let limits = Limits::new([
            Spec::range_nm(low, low + width),
            Spec::Set(newton_metres(low)),
            Spec::Ceiling(newton_metres(low)),
            Spec::Floor(newton_metres(low)),
        ][form]);
        // Half of the numbers are a limit itself, in some unit.
        let value = if exact { unit.value_of(newton_metres(low)) } else { value };
        let reading = parse_reading(&format!("{value:.decimals$} N·m")).unwrap();
        let watch = Watch::new(&limits);
        for label in [Label::Inside, Label::Low, Label::High, Label::TooClose, Label::NotSettled] {
            let slips = suspect(&limits, reading, label);
            prop_assert_eq!(watch.likeliest(&reading, label), slips.first().copied());
        }
    }

    #[test]
    fn every_suspicion_lies_within_the_limits(low in 1.0..50.0f64, wide in 0.0..50.0f64, read in 0.0..500.0f64) {
        let limits = Limits::new(Spec::range_nm(low, low + wide));
        for unit in TorqueUnit::ALL {
            let reading = parse_reading(&format!("{read:.1} {unit}")).unwrap();
            for slip in suspect(&limits, reading, Label::High) {
                prop_assert!(limits.contain(slip.meant));
            }
        }
    }
}
