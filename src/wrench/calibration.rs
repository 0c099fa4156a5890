//! Calibrations: until when readings of a wrench stand, and which a failed calibration puts in doubt.
//!
//! Default interval: 12 months or 5000 cycles, whichever comes first (ISO 6789:2003 as reported by a
//! tool maker's article of 2013). A wrench found out of tolerance makes the earlier results
//! questionable back to the last good calibration (ISO 9001:2015, 7.1.5.2).

use jiff::ToSpan;
use jiff::civil::Date;

use super::WrenchError;
use super::cycles::{Line, Operation};
use crate::conformity::{Doubt, Uncalibrated};
use crate::words::words;

words! {
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum CalibrationResult: word {
        /// Within what the tool is permitted, or made so; a maker's declaration counts too.
        Passed = "passed",
        Failed = "failed",
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Calibration {
    pub(crate) on: Date,
    pub(crate) result: CalibrationResult,
}

/// How long a calibration stands; whichever comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Interval {
    /// Months between calibrations, at least 1.
    pub(crate) months: u16,
    /// Cycles between calibrations, at least 1.
    pub(crate) cycles: u32,
}

impl Default for Interval {
    fn default() -> Interval {
        Interval { months: 12, cycles: 5000 }
    }
}

impl Interval {
    /// An interval of so many months or cycles.
    ///
    /// # Errors
    /// [`WrenchError::Interval`] when either is 0.
    pub fn new(months: u16, cycles: u32) -> Result<Interval, WrenchError> {
        if months == 0 || cycles == 0 { Err(WrenchError::Interval) } else { Ok(Interval { months, cycles }) }
    }
}

/// Days whose readings a failed calibration puts in doubt, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DoubtPeriod {
    /// The last good calibration before the failure; without one every earlier reading is in doubt.
    pub since: Option<Date>,
    pub(crate) until: Date,
}

/// All calibrations of a wrench, oldest first; those of one day in the order in which they were given.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct History {
    records: Vec<Calibration>,
    interval: Interval,
    /// For each good calibration whose operations were spent, the first one too many.
    pub(super) overruns: Vec<Operation>,
}

impl History {
    /// A history; `today` bounds it.
    ///
    /// # Errors
    /// [`WrenchError::CalibrationInFuture`] when a calibration lies after `today`.
    pub fn new(
        mut records: Vec<Calibration>,
        interval: Interval,
        today: Date,
    ) -> Result<History, WrenchError> {
        if let Some(future) = records.iter().find(|record| record.on > today) {
            return Err(WrenchError::CalibrationInFuture { on: future.on, today });
        }
        records.sort_by_key(|record| record.on);
        Ok(History { records, interval, overruns: Vec::new() })
    }

    pub(crate) fn records(&self) -> &[Calibration] {
        &self.records
    }

    pub(crate) fn interval(&self) -> Interval {
        self.interval
    }

    /// The day from which operations are counted: that of the last good calibration.
    pub(crate) fn counted_from(&self) -> Option<Date> {
        let good = |record: &&Calibration| record.result == CalibrationResult::Passed;
        self.records.iter().rev().find(good).map(|record| record.on)
    }

    /// Until when, its day included, the calibration stands that a reading of a day rests on. `line` is its
    /// place in the workshop book; a reading that has none is taken for the last of its day.
    ///
    /// # Errors
    /// [`Uncalibrated`] where none stands.
    pub fn standing(&self, date: Date, line: Option<Line>) -> Result<Date, Uncalibrated> {
        let Some(last) = self.records.iter().rev().find(|record| record.on <= date) else {
            return Err(Uncalibrated::Never);
        };
        if last.result == CalibrationResult::Failed {
            return Err(Uncalibrated::FailedOn(last.on));
        }
        let until = last.on.saturating_add(i32::from(self.interval.months).months());
        if date > until {
            return Err(Uncalibrated::Lapsed { stood_until: until });
        }
        let since_calibrated = self.overruns.iter().find(|overrun| overrun.on >= last.on);
        let spent = since_calibrated.filter(|overrun| overrun.is_reached(date, line));
        spent.map_or(Ok(until), |overrun| {
            Err(Uncalibrated::CyclesSpent { since: overrun.on, allowed: self.interval.cycles })
        })
    }

    /// The days on which the worth of a reading without a line may change, in order: those of the
    /// calibrations, the days after, the first days after a lapse, and those on which the operations were
    /// spent. From one to the day before the next, it stays the same.
    pub(crate) fn turning_days(&self) -> Vec<Date> {
        let lapse = i32::from(self.interval.months).months();
        let mut days: Vec<Date> = self.overruns.iter().map(|overrun| overrun.on).collect();
        for Calibration { on, .. } in &self.records {
            days.extend([*on, on.saturating_add(1.day()), on.saturating_add(lapse).saturating_add(1.day())]);
        }
        days.sort_unstable();
        days.dedup();
        days
    }

    /// The doubt that a later failed calibration casts on a reading of `date`.
    ///
    /// The next calibration decides. A failure on the very day counts: the reading may have come before it.
    pub(crate) fn failed_later(&self, date: Date) -> Option<Doubt> {
        self.doubt_periods()
            .into_iter()
            .find(|period| period.since.is_none_or(|since| since <= date) && date <= period.until)
            .map(|period| Doubt::FailedLater { last_good: period.since, failed: period.until })
    }

    /// The periods whose readings are in doubt, oldest first. The day of the good calibration belongs to it.
    pub(crate) fn doubt_periods(&self) -> Vec<DoubtPeriod> {
        let mut periods: Vec<DoubtPeriod> = Vec::new();
        let mut since = None;
        for record in &self.records {
            match record.result {
                CalibrationResult::Passed => since = Some(record.on),
                CalibrationResult::Failed => match periods.last_mut() {
                    // A second failure in a row prolongs the first one's period.
                    Some(last) if last.since == since => last.until = record.on,
                    _ => periods.push(DoubtPeriod { since, until: record.on }),
                },
            }
        }
        periods
    }
}

#[cfg(test)]
#[path = "calibration_tests.rs"]
mod tests;
