use CalibrationResult::{Failed, Passed};
use jiff::civil::date;
use proptest::prelude::*;

use super::*;
use crate::conformity::Uncalibrated;
use crate::wrench::{Calibration, Interval};

const TODAY: Date = date(2026, 12, 31);

/// The n-th operation of a day of 2026.
fn operation(on: Date, nth: i64) -> Operation {
    let instant = jiff::tz::Offset::UTC.to_timestamp(on.at(10, 0, 0, 0)).unwrap();
    Operation { on, line: Line { instant, number: nth } }
}

/// A history whose interval is so many operations, counted.
fn counted(records: &[(Date, CalibrationResult)], allowed: u32, made: &[Operation]) -> History {
    let records = records.iter().map(|&(on, result)| Calibration { on, result }).collect();
    let mut history = History::new(records, Interval::new(12, allowed).unwrap(), TODAY).unwrap();
    let mut made = made.to_vec();
    made.sort_unstable();
    history
        .count(|period, others| {
            let mut within = made.iter().filter(|operation| {
                period.from <= operation.on && period.until.is_none_or(|until| operation.on < until)
            });
            Ok::<_, ()>(within.nth(others as usize).copied())
        })
        .unwrap();
    history
}

/// Whether each operation stands.
fn stand(history: &History, made: &[Operation]) -> Vec<bool> {
    made.iter().map(|one| history.standing(one.on, Some(one.line)).is_ok()).collect()
}

/// Operations on these days of May 2026.
fn in_may(days: &[i8]) -> Vec<Operation> {
    days.iter().zip(1..).map(|(&day, number)| operation(date(2026, 5, day), number)).collect()
}

#[test]
fn as_many_as_are_allowed_stand_and_one_more_does_not() {
    let calibrated = [(date(2026, 5, 1), Passed)];
    let made = in_may(&[2, 3, 3, 3, 4]);
    let history = counted(&calibrated, 3, &made);
    assert_eq!(stand(&history, &made), [true, true, true, false, false]);
    let spent = Err(Uncalibrated::CyclesSpent { since: date(2026, 5, 3), allowed: 3 });
    assert_eq!(history.standing(date(2026, 5, 3), Some(made[3].line)), spent);
    assert_eq!(stand(&counted(&calibrated, 5, &made), &made), [true; 5]);
    assert_eq!(stand(&counted(&calibrated, 4, &made), &made), [true, true, true, true, false]);
    assert_eq!(stand(&counted(&calibrated, 4, &made[..4]), &made[..4]), [true; 4]);
}

#[test]
fn operations_of_one_instant_count_in_the_order_of_their_lines() {
    let made: Vec<Operation> = (1..=4).map(|number| operation(date(2026, 5, 2), number)).collect();
    let history = counted(&[(date(2026, 5, 1), Passed)], 3, &made);
    assert_eq!(stand(&history, &made), [true, true, true, false]);
}

#[test]
fn a_reading_without_a_line_is_the_last_of_its_day() {
    let history = counted(&[(date(2026, 5, 1), Passed)], 3, &in_may(&[2, 2, 3, 3]));
    let stands = |day| history.standing(date(2026, 5, day), None).is_ok();
    assert_eq!([1, 2, 3, 4].map(stands), [true, true, false, false]);
    assert!(history.turning_days().contains(&date(2026, 5, 3)), "{:?}", history.turning_days());
}

#[test]
fn a_good_calibration_begins_anew_and_brings_nothing_back() {
    let twice = [(date(2026, 5, 1), Passed), (date(2026, 5, 10), Passed)];
    let made = in_may(&[2, 3, 4, 11, 12, 13]);
    assert_eq!(stand(&counted(&twice, 2, &made), &made), [true, true, false, true, true, false]);
    let history = counted(&twice, 3, &made);
    assert_eq!(stand(&history, &made), [true; 6]);
    assert_eq!(history.counted_from(), Some(date(2026, 5, 10)));
    // Three before it and one after it make four, but not of one period.
    assert_eq!(stand(&counted(&twice, 3, &made[..4]), &made[..4]), [true; 4]);
}

#[test]
fn operations_before_the_first_good_calibration_do_not_count() {
    let made = in_may(&[2, 3, 4, 11, 12, 13]);
    let history = counted(&[(date(2026, 5, 10), Passed)], 2, &made);
    assert_eq!(stand(&history, &made[3..]), [true, true, false]);
    assert_eq!(history.standing(date(2026, 5, 4), Some(made[2].line)), Err(Uncalibrated::Never));
    assert_eq!(counted(&[], 1, &made).counted_from(), None);
}

#[test]
fn a_failed_calibration_begins_no_count() {
    let records = [(date(2026, 5, 1), Passed), (date(2026, 5, 5), Failed), (date(2026, 5, 10), Passed)];
    let made = in_may(&[2, 3, 4, 6, 11, 12, 13]);
    let history = counted(&records, 2, &made);
    assert_eq!(
        history.standing(date(2026, 5, 6), Some(made[3].line)),
        Err(Uncalibrated::FailedOn(date(2026, 5, 5)))
    );
    assert_eq!(stand(&history, &made), [true, true, false, false, true, true, false]);
    assert_eq!(counted(&records[..2], 2, &made).counted_from(), Some(date(2026, 5, 1)));
    let periods = counted(&records, 2, &made).periods();
    let (from, until) = (date(2026, 5, 1), Some(date(2026, 5, 10)));
    assert_eq!(
        periods,
        [CalibrationPeriod { from, until }, CalibrationPeriod { from: date(2026, 5, 10), until: None }]
    );
}

#[test]
fn what_was_read_on_the_day_of_the_calibration_counts_after_it() {
    let twice = [(date(2026, 5, 1), Passed), (date(2026, 5, 10), Passed)];
    let made = in_may(&[1, 2, 10, 10, 11]);
    // Two of the first period stand; of the second, those of its first day count.
    assert_eq!(stand(&counted(&twice, 2, &made), &made), [true, true, true, true, false]);
    let again = [(date(2026, 5, 1), Passed), (date(2026, 5, 1), Failed), (date(2026, 5, 1), Passed)];
    assert_eq!(counted(&again, 2, &made).periods().len(), 1);
}

#[test]
fn a_lapse_in_time_comes_before_the_count() {
    let made = in_may(&[2, 3]);
    let history = counted(&[(date(2025, 5, 2), Passed)], 1, &made);
    assert!(matches!(
        history.standing(date(2026, 5, 3), Some(made[1].line)),
        Err(Uncalibrated::Lapsed { .. })
    ));
}

proptest! {
    /// Against the rule as it is spoken: a reading stands while those since the last good calibration, up to
    /// itself, are no more than allowed.
    #[test]
    fn every_reading_stands_or_not_by_the_number_before_it(
        records in proptest::collection::vec((1..29_i8, any::<bool>()), 0..5),
        days in proptest::collection::vec(1..29_i8, 0..40),
        allowed in 1..8_u32,
    ) {
        let mut records: Vec<(Date, CalibrationResult)> = records
            .into_iter()
            .map(|(day, good)| (date(2026, 5, day), if good { Passed } else { Failed }))
            .collect();
        records.sort_by_key(|record| record.0);
        let mut made = in_may(&days);
        made.sort_unstable();
        let history = counted(&records, allowed, &made);
        for (index, one) in made.iter().enumerate() {
            let last = records.iter().rev().find(|(day, _)| *day <= one.on);
            let expected = last.is_some_and(|&(day, result)| {
                let number = made[..=index].iter().filter(|before| before.on >= day).count();
                result == Passed && number <= allowed as usize
            });
            prop_assert_eq!(history.standing(one.on, Some(one.line)).is_ok(), expected, "{:?}", one);
            let of_day = made.iter().rfind(|other| other.on == one.on).unwrap();
            let last_of_day = history.standing(one.on, Some(of_day.line));
            prop_assert_eq!(history.standing(one.on, None), last_of_day);
        }
        // Between turning days nothing changes for what has no line.
        let turns = history.turning_days();
        for day in 1..31 {
            let (today, next) = (date(2026, 5, day), date(2026, 5, day + 1));
            if !turns.contains(&next) {
                prop_assert_eq!(history.standing(today, None), history.standing(next, None));
            }
        }
    }
}
