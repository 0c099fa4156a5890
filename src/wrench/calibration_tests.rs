use super::*;
use CalibrationResult::{Failed, Passed};
use jiff::civil::date;

const TODAY: Date = date(2026, 6, 1);

fn history(records: &[(Date, CalibrationResult)]) -> History {
    let records = records.iter().map(|&(on, result)| Calibration { on, result }).collect();
    History::new(records, Interval::default(), TODAY).unwrap()
}

#[test]
fn readings_stand_for_twelve_months_and_not_a_day_longer() {
    let calibrated = history(&[(date(2025, 3, 10), Passed)]);
    let until = date(2026, 3, 10);
    assert_eq!(calibrated.standing(until, None), Ok(until));
    assert_eq!(
        calibrated.standing(date(2026, 3, 11), None),
        Err(Uncalibrated::Lapsed { stood_until: until })
    );
    assert_eq!(calibrated.standing(date(2025, 3, 9), None), Err(Uncalibrated::Never));
}

#[test]
fn a_leap_day_ends_with_february() {
    let leap = history(&[(date(2024, 2, 29), Passed)]);
    assert_eq!(leap.standing(date(2025, 2, 28), None), Ok(date(2025, 2, 28)));
}

#[test]
fn a_failed_calibration_puts_readings_since_the_last_good_one_in_doubt() {
    let failed = history(&[
        (date(2024, 1, 1), Passed),
        (date(2025, 1, 1), Passed),
        (date(2026, 1, 1), Failed),
        (date(2026, 1, 15), Passed),
    ]);
    let since = Some(date(2025, 1, 1));
    assert_eq!(failed.doubt_periods(), [DoubtPeriod { since, until: date(2026, 1, 1) }]);
    let doubt = Doubt::FailedLater { last_good: since, failed: date(2026, 1, 1) };
    for day in [date(2025, 1, 1), date(2025, 7, 1), date(2026, 1, 1)] {
        assert_eq!(failed.failed_later(day), Some(doubt), "{day}");
    }
    for day in [date(2024, 7, 1), date(2026, 1, 2), date(2026, 2, 1)] {
        assert_eq!(failed.failed_later(day), None, "{day}");
    }
    assert_eq!(failed.standing(date(2026, 1, 10), None), Err(Uncalibrated::FailedOn(date(2026, 1, 1))));
    assert!(failed.standing(TODAY, None).is_ok());
}

#[test]
fn without_a_good_calibration_every_earlier_reading_is_in_doubt() {
    let failed = history(&[(date(2026, 1, 1), Failed), (date(2026, 2, 1), Failed)]);
    assert_eq!(failed.doubt_periods(), [DoubtPeriod { since: None, until: date(2026, 2, 1) }]);
    assert!(failed.failed_later(date(2020, 1, 1)).is_some());
}

#[test]
fn found_out_of_tolerance_and_adjusted_on_one_day() {
    let adjusted =
        history(&[(date(2025, 1, 1), Passed), (date(2026, 1, 1), Failed), (date(2026, 1, 1), Passed)]);
    assert!(adjusted.standing(date(2026, 1, 1), None).is_ok());
    assert!(adjusted.failed_later(date(2025, 6, 1)).is_some());
    assert!(adjusted.failed_later(date(2026, 1, 2)).is_none());
}

#[test]
fn a_calibration_in_the_future_and_an_interval_of_nothing_are_refused() {
    let tomorrow = date(2026, 6, 2);
    let record = Calibration { on: tomorrow, result: Passed };
    let error = History::new(vec![record], Interval::default(), TODAY);
    assert_eq!(error, Err(WrenchError::CalibrationInFuture { on: tomorrow, today: TODAY }));
    assert_eq!(Interval::new(0, 5000), Err(WrenchError::Interval));
    assert_eq!(Interval::new(12, 0), Err(WrenchError::Interval));
    assert_eq!(Interval::new(6, 2500).map(|interval| interval.months), Ok(6));
}

#[test]
fn records_given_in_any_order_are_sorted() {
    let mixed = history(&[(date(2026, 1, 1), Passed), (date(2025, 1, 1), Failed)]);
    assert_eq!(mixed.records()[0].result, Failed);
    assert!(mixed.standing(TODAY, None).is_ok());
}
