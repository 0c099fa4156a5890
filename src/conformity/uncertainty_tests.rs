use super::*;
use crate::conformity::{Deviation, ToolClass};
use approx::assert_relative_eq;
use proptest::prelude::*;

fn certificate(percent: f64, coverage: f64) -> Accuracy {
    Accuracy::certificate(Deviation::percent(percent).unwrap(), coverage).unwrap()
}

#[test]
fn a_zero_step_or_scatter_is_refused() {
    let accuracy = Accuracy::given(Deviation::FOUR_PERCENT);
    let zero = Some(newton_metres(0.0));
    assert_eq!(Instrument::new(accuracy, zero, None), Err(InstrumentError::Step));
    assert_eq!(Instrument::new(accuracy, None, zero), Err(InstrumentError::Scatter));
    let endless = Some(newton_metres(f64::INFINITY));
    assert_eq!(Instrument::new(accuracy, endless, None), Err(InstrumentError::Step));
}

/// JCGM 100:2008, 4.3.3: an expanded uncertainty is divided by its coverage factor.
#[test]
fn a_certificate_enters_by_its_coverage_factor() {
    let instrument = Instrument::of_accuracy(certificate(2.0, 2.0));
    assert_relative_eq!(
        in_newton_metres(instrument.standard(newton_metres(10.0))),
        0.1,
        max_relative = 1e-14
    );
    let budget = instrument.budget(newton_metres(10.0));
    assert_eq!(budget.terms[0].distribution.name(), "normal");
    assert_relative_eq!(in_newton_metres(budget.expanded()), 0.2, max_relative = 1e-14);
}

/// JCGM 100:2008, 4.3.3: 240 µg stated at three standard deviations are a standard uncertainty of 80 µg; the
/// quantity does not matter. 4.3.4: ±129 µΩ stated at 99 % (k = 2.58) are 50 µΩ.
#[test]
fn coverage_factors_other_than_two_count_as_stated() {
    for (percent, coverage, standard) in [(2.4, 3.0, 80.0), (1.29, 2.58, 50.0), (0.5, 1.0, 50.0)] {
        let instrument = Instrument::of_accuracy(certificate(percent, coverage));
        let got = in_newton_metres(instrument.standard(newton_metres(10_000.0)));
        assert_relative_eq!(got, standard, max_relative = 1e-12);
        let term = instrument.budget(newton_metres(10_000.0)).terms[0];
        assert_relative_eq!(in_newton_metres(term.standard()), standard, max_relative = 1e-12);
    }
}

/// A coverage factor from 1 to 10 can be one; 10 itself is the last (own rule, `specs/rules.md`).
#[test]
fn the_ends_of_possible_coverage_factors_are_taken() {
    let four = Deviation::FOUR_PERCENT;
    assert!(Accuracy::certificate(four, 1.0).is_ok() && Accuracy::certificate(four, 10.0).is_ok());
    assert!(Accuracy::certificate(four, 0.99).is_err() && Accuracy::certificate(four, 10.01).is_err());
}

/// JCGM 100:2008, 4.3.7 and F.2.2.1: a rectangle of half-width a has u = a/√3, a scale read to steps d has d/√12.
#[test]
fn terms_are_divided_as_the_gum_has_it() {
    let accuracy = Accuracy::given(Deviation::percent(3.0).unwrap());
    let instrument = Instrument::new(accuracy, Some(newton_metres(0.6)), Some(newton_metres(0.25))).unwrap();
    let budget = instrument.budget(newton_metres(10.0));
    let standard: Vec<f64> = budget.terms.iter().map(|term| in_newton_metres(term.standard())).collect();
    for (got, expected) in standard.iter().zip([0.3 / 3f64.sqrt(), 0.6 / 12f64.sqrt(), 0.25]) {
        assert_relative_eq!(*got, expected, max_relative = 1e-12);
    }
    let scaled = instrument.scaled(2.0);
    assert_eq!((scaled.step(), scaled.scatter()), (Some(newton_metres(1.2)), Some(newton_metres(0.5))));
}

#[test]
fn every_term_says_where_it_comes_from() {
    let class = ToolClass::IIA;
    let deviation = class.permitted(newton_metres(25.0));
    let class = Accuracy { deviation, basis: AccuracyBasis::Class(class) };
    let instrument = Instrument::new(class, Some(newton_metres(0.5)), Some(newton_metres(0.2))).unwrap();
    let budget = instrument.budget(newton_metres(12.5));
    let told: Vec<&str> = budget.terms.iter().map(|term| term.kind.name()).collect();
    assert_eq!(told, ["accuracy of the wrench", "half a step of the scale", "scatter of repeats"]);
}

proptest! {
    /// JCGM 100:2008, 5.1.2: the combined uncertainty is the root sum of squares of the terms.
    #[test]
    fn the_terms_add_up(
        reading in 0.0..200.0f64,
        percent in 0.1..49.0f64,
        step in proptest::option::of(0.001..5.0f64),
        scatter in proptest::option::of(0.001..5.0f64),
    ) {
        let accuracy = Accuracy::given(Deviation::percent(percent).unwrap());
        let instrument =
            Instrument::new(accuracy, step.map(newton_metres), scatter.map(newton_metres)).unwrap();
        let budget = instrument.budget(newton_metres(reading));
        let sum: f64 = budget.terms.iter().map(|t| in_newton_metres(t.standard()).powi(2)).sum();
        prop_assert!((sum.sqrt() - in_newton_metres(budget.standard)).abs() <= 1e-12 * sum.sqrt());
        prop_assert_eq!(budget.expanded(), instrument.expanded(newton_metres(reading)));
    }
}
