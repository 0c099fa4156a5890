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
    assert_eq!(budget.terms()[0].distribution.name(), "normal");
    assert_relative_eq!(in_newton_metres(budget.expanded()), 0.2, max_relative = 1e-14);
}

#[test]
fn every_term_says_where_it_comes_from() {
    let class = Accuracy::of_class(ToolClass::IIA, newton_metres(25.0));
    let instrument = Instrument::new(class, Some(newton_metres(0.5)), Some(newton_metres(0.2))).unwrap();
    let budget = instrument.budget(newton_metres(12.5));
    let told: Vec<&str> = budget.terms().iter().map(|term| term.kind.name()).collect();
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
        let sum: f64 = budget.terms().iter().map(|t| in_newton_metres(t.standard()).powi(2)).sum();
        prop_assert!((sum.sqrt() - in_newton_metres(budget.standard())).abs() <= 1e-12 * sum.sqrt());
        prop_assert_eq!(budget.expanded(), instrument.expanded(newton_metres(reading)));
    }
}
