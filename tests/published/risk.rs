//! What a guard band is worth: specific and global risk, and the effective degrees of freedom of an
//! expanded uncertainty, against published figures.
//!
//! The tool itself decides by the chance of being inside and a guard band of U; the risks that explain
//! this choice are worked out here from the library's normal distribution.

use std::f64::consts::PI;

use approx::assert_abs_diff_eq;
use evenclamp::conformity::{Accuracy, Deviation, Instrument, Label, Limits, chance_inside, judge, normal};
use evenclamp::quantity::{Spec, in_newton_metres, newton_metres as nm};
use serde::Deserialize;

use crate::quantile;

#[derive(Deserialize)]
struct GuardRow {
    id: String,
    guard_factor: f64,
    printed_bound: f64,
    recomputed_risk: f64,
    tolerance: f64,
}

/// At the acceptance limit, `guard_factor`·U inside the specified one, the chance of lying outside.
#[test]
fn guard_bands_bound_the_specific_risk() {
    for row in crate::table::rows::<GuardRow>("guard_band.csv") {
        let (standard, limit) = (0.1, 5.0);
        let accepted = limit - row.guard_factor * 2.0 * standard;
        let outside = nm(2.0 * limit - accepted);
        // Mirrored about the limit, so that a small risk keeps its digits.
        let risk = chance_inside(None, Some(nm(limit)), outside, nm(standard)).value();
        assert!(risk <= row.printed_bound, "{}: {risk}", row.id);
        assert!((risk - row.recomputed_risk).abs() <= row.tolerance, "{}: {risk}", row.id);
    }
}

/// The guard band of the labels is U itself: the row T2-U of the same table.
#[test]
fn the_label_inside_keeps_the_bound_of_a_guard_band_of_u() {
    let instrument = Instrument::of_accuracy(Accuracy::given(Deviation::FOUR_PERCENT));
    let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
    // The highest reading that is U below the limit: 5/(1 + 2·0.04/√3).
    let edge = 5.0 / (1.0 + 2.0 * 0.04 / 3f64.sqrt());
    let verdict = judge(Some(&ceiling), nm(edge), &instrument, &[]);
    assert_eq!(verdict.label, Label::Inside);
    let risk = 1.0 - verdict.chance_inside.unwrap().value();
    assert_abs_diff_eq!(risk, 0.02275013, epsilon = 5e-9);
    assert_eq!(judge(Some(&ceiling), nm(edge + 1e-6), &instrument, &[]).label, Label::TooClose);
}

/// JCGM 106:2012, 8.3.3.2 Ex. 1, from memory, held to our own recomputed value: a speed above 100 km/h
/// is acted upon when it is so with 99.9 %, u being 2 % of the speed.
#[test]
fn guarded_rejection_of_a_speed() {
    let z = quantile(0.999);
    let speed: f64 = 100.0 / (1.0 - 0.02 * z);
    assert_abs_diff_eq!(speed, 106.588, epsilon = 1e-3);
    assert_abs_diff_eq!(speed.ceil(), 107.0);
}

/// A public course note citing JCGM 106:2012, 8.3.2 and 7.6 (its own figures): u = 0.456 and limits of
/// ±5 accept to ±4.09, with C_m = 5.5.
#[test]
fn the_course_note_on_guard_bands() {
    let standard = 0.456;
    assert_abs_diff_eq!(5.0 - 2.0 * standard, 4.09, epsilon = 0.005);
    assert_abs_diff_eq!(10.0 / (4.0 * standard), 5.482, epsilon = 5e-4);
    // The same through a verdict, shifted to 5..15 so that the readings are torques.
    let limits = Limits::new(Spec::range_nm(5.0, 15.0));
    let accuracy = Accuracy::given(Deviation::percent(1e-6).unwrap());
    let instrument = Instrument::new(accuracy, None, Some(nm(standard))).unwrap();
    let verdict = judge(Some(&limits), nm(10.0), &instrument, &[]);
    assert_abs_diff_eq!(verdict.capability.unwrap().value, 5.482, epsilon = 5e-4);
    let label = |reading| judge(Some(&limits), nm(reading), &instrument, &[]).label;
    assert_eq!((label(14.08), label(14.10)), (Label::Inside, Label::TooClose));
}

#[derive(Deserialize)]
struct RiskRow {
    id: String,
    prior: String,
    mean_or_shape: f64,
    deviation_or_scale: f64,
    low: Option<f64>,
    high: Option<f64>,
    accept_low: Option<f64>,
    accept_high: Option<f64>,
    standard: f64,
    figure: String,
    expected: f64,
    tolerance: f64,
    printed: Option<f64>,
    printed_tolerance: Option<f64>,
}

#[cfg(test)]
impl RiskRow {
    /// The density of the true values before any test.
    fn density(&self, y: f64) -> f64 {
        let (a, b) = (self.mean_or_shape, self.deviation_or_scale);
        match self.prior.as_str() {
            "normal" => density((y - a) / b) / b,
            // The shape is a whole number n, so Γ(n) = (n − 1)! = 6 for n = 4.
            "gamma" if y > 0.0 && (a - 4.0).abs() < 1e-9 => {
                (y / b).powf(a - 1.0) * (-y / b).exp() / (6.0 * b)
            }
            _ => 0.0,
        }
    }

    /// The chance that a measurement of a true value `y` is accepted.
    fn accepted(&self, y: f64) -> f64 {
        chance_inside(self.accept_low.map(nm), self.accept_high.map(nm), nm(y), nm(self.standard)).value()
    }

    /// JCGM 106:2012, 9.4 and 9.5 (from memory): the true value inside or outside, integrated over the
    /// prior by Simpson's rule on both sides of each limit.
    fn integrate(&self, inside: bool, weight: &dyn Fn(f64) -> f64) -> f64 {
        let gamma = self.prior == "gamma";
        let (from, to) = if gamma {
            (0.0, 40.0 * self.deviation_or_scale)
        } else {
            (
                self.mean_or_shape - 12.0 * self.deviation_or_scale,
                self.mean_or_shape + 12.0 * self.deviation_or_scale,
            )
        };
        let (low, high) = (self.low.unwrap_or(from), self.high.unwrap_or(to));
        let part = |a: f64, b: f64| simpson(a, b, &|y| self.density(y) * weight(y));
        if inside { part(low, high) } else { part(from, low) + part(high, to) }
    }
}

#[cfg(test)]
fn simpson(from: f64, to: f64, f: &dyn Fn(f64) -> f64) -> f64 {
    let pieces = 2000;
    let step = (to - from) / f64::from(2 * pieces);
    let at = |k: i32| f(from + f64::from(k) * step);
    (0..pieces).map(|k| at(2 * k) + 4.0 * at(2 * k + 1) + at(2 * k + 2)).sum::<f64>() * step / 3.0
}

#[test]
fn global_risks_agree_with_published_examples() {
    for row in crate::table::rows::<RiskRow>("global_risk.csv") {
        let got = match row.figure.as_str() {
            "out_before_test" => row.integrate(false, &|_| 1.0),
            "consumer" => row.integrate(false, &|y| row.accepted(y)),
            "producer" => row.integrate(true, &|y| 1.0 - row.accepted(y)),
            other => panic!("{}: unknown figure {other}", row.id),
        };
        let (id, figure) = (&row.id, &row.figure);
        assert!((got - row.expected).abs() <= row.tolerance, "{id} {figure}: {got}, not {}", row.expected);
        if let (Some(printed), Some(tolerance)) = (row.printed, row.printed_tolerance) {
            assert!((got - printed).abs() <= tolerance, "{id} {figure}: {got}, printed {printed}");
        }
    }
}

/// JCGM 100:2008, H.1 (end gauge), quoted in several public test suites: contributions in nm with their
/// degrees of freedom give u_c = 32 nm, ν_eff = 16.7, t₉₉ = 2.92 and U₉₉ = 93 nm (5.1.2, G.4.1).
#[test]
fn the_end_gauge_of_the_gum() {
    let contributions = [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)];
    let variance: f64 = contributions.iter().map(|(u, _): &(f64, f64)| u * u).sum();
    let combined = variance.sqrt();
    assert_abs_diff_eq!(combined, 32.0, epsilon = 0.5);
    assert_abs_diff_eq!(variance, 1002.0, epsilon = 4.0);
    let effective = variance.powi(2) / contributions.iter().map(|(u, nu)| u.powi(4) / nu).sum::<f64>();
    assert_abs_diff_eq!(effective, 16.7, epsilon = 0.1);
    let t = student_quantile(0.995, effective.floor());
    assert_abs_diff_eq!(t, 2.92, epsilon = 0.005);
    // The guide multiplies the rounded u_c.
    assert_abs_diff_eq!(t * combined.round(), 93.0, epsilon = 0.5);
    // The library adds the same contributions up by 5.1.2; two of them fit its budget.
    let accuracy = Accuracy::certificate(Deviation::percent(25.0).unwrap(), 1.0).unwrap();
    let instrument = Instrument::new(accuracy, None, Some(nm(16.6))).unwrap();
    let two = in_newton_metres(instrument.standard(nm(100.0)));
    assert_abs_diff_eq!(two, (25.0f64.powi(2) + 16.6f64.powi(2)).sqrt(), epsilon = 1e-12);
}

/// The density of the standard normal distribution.
fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// Quantile of Student's t from the normal one; Abramowitz and Stegun (1964), 26.7.5. Good to 1e-3 from
/// ten degrees of freedom on.
#[cfg(test)]
fn student_quantile(p: f64, nu: f64) -> f64 {
    let z = quantile(p);
    let terms = [
        (z.powi(3) + z) / 4.0,
        (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0,
        (3.0 * z.powi(7) + 19.0 * z.powi(5) + 17.0 * z.powi(3) - 15.0 * z) / 384.0,
    ];
    terms.into_iter().zip(1..).fold(z, |t, (term, power)| t + term / nu.powi(power))
}

/// JCGM 100:2008, 4.3.7: ± a with nothing else known is a rectangle. Where it dominates, the normal
/// shortcut is good to about 0.05 near a limit: bench case B3 with the exact sum of the two rectangles
/// gives 0.641243 (own integration).
#[test]
fn the_normal_shortcut_is_close_to_the_exact_rectangles() {
    let (wide, narrow): (f64, f64) = (0.06 * 5.9, 0.05);
    // The true value is 5.9 plus both errors; it is inside up to 6.0. Average over the step's error.
    let exact = simpson(-narrow, narrow, &|step| {
        ((0.1 - step + wide) / (2.0 * wide)).clamp(0.0, 1.0) / (2.0 * narrow)
    });
    assert_abs_diff_eq!(exact, 0.641243, epsilon = 1e-6);
    let standard = ((wide * wide + narrow * narrow) / 3.0).sqrt();
    let shortcut = chance_inside(Some(nm(4.0)), Some(nm(6.0)), nm(5.9), nm(standard)).value();
    assert!((shortcut - exact).abs() < 0.05, "{shortcut} against {exact}");
}

/// What the risk of a wrong `inside` comes to beyond the 2.3 % of one limit (JCGM 106:2012, clause 7, recomputed): in the
/// middle of a range 2U wide both tails count, 2·Φ(-2) = 4.55 %.
#[test]
fn both_tails_count_in_a_range_of_twice_u() {
    let instrument = Instrument::of_accuracy(Accuracy::given(Deviation::FOUR_PERCENT));
    let expanded = 2.0 * 0.04 / 3f64.sqrt() * 5.0;
    // A hair wider than 2U, so that the middle is not called too narrow.
    let limits = Limits::new(Spec::range_nm(5.0 - expanded * 1.000_001, 5.0 + expanded * 1.000_001));
    let verdict = judge(Some(&limits), nm(5.0), &instrument, &[]);
    assert_eq!(verdict.label, Label::Inside);
    let risk = 1.0 - verdict.chance_inside.unwrap().value();
    assert_abs_diff_eq!(risk, 0.0455, epsilon = 1e-4);
}

/// Where the deviation is a share of the true torque and not of the reading, the risk at the upper limit is larger: with
/// y = t·(1 + δ) and δ from N(0, a/√3) it is Φ(-2/(1 + 2a/√3)), 2.4 % for a wrench of 1 % and 3.1 % for one of 6 %. The
/// reading at the edge of `inside` is that of the label.
#[test]
fn a_deviation_relative_to_the_true_torque_risks_a_little_more() {
    for (percent, expected) in [(1.0, 0.0240), (4.0, 0.0280), (6.0, 0.0307)] {
        let slope = percent / 100.0 / 3f64.sqrt();
        let edge = 5.0 / (1.0 + 2.0 * slope);
        let instrument = Instrument::of_accuracy(Accuracy::given(Deviation::percent(percent).unwrap()));
        let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
        assert_eq!(judge(Some(&ceiling), nm(edge * (1.0 - 1e-9)), &instrument, &[]).label, Label::Inside);
        // The true torque is above the limit where δ is below edge/5 - 1.
        let risk = normal::cumulative((edge / 5.0 - 1.0) / slope).value();
        assert_abs_diff_eq!(risk, expected, epsilon = 5e-5);
        assert!((0.024..0.034).contains(&(risk + 5e-5)), "{percent}: {risk}");
    }
}
