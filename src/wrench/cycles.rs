//! Operations (cycles) of a wrench, counted in the workshop book.
//!
//! An operation is one reading that names the wrench, of a kind with a torque, and that no other line
//! corrects. What nobody writes down is not counted, so a wrench has made at least as many.

use jiff::Timestamp;
use jiff::civil::Date;

use super::{CalibrationResult, History};

/// The place of a reading among those of its day: by its instant, then by its number in the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Line {
    pub(crate) instant: Timestamp,
    pub(crate) number: i64,
}

/// One operation in the workshop book; operations are in the order of their days, then of their lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Operation {
    /// The day on the calendar there.
    pub on: Date,
    pub(crate) line: Line,
}

impl Operation {
    /// Whether a reading is this operation or a later one. Without a line it is taken for the last of its day.
    pub(super) fn is_reached(&self, on: Date, line: Option<Line>) -> bool {
        on > self.on || (on == self.on && line.is_none_or(|line| line >= self.line))
    }
}

/// Days whose operations are counted together: from a good calibration to the day before the next.
///
/// The day of the calibration itself belongs to it, as it does for the months and for a later failure:
/// a reading of that day may have come before the calibration or after it, and is taken to have come
/// after. So it is never left uncounted, and a calibration begins with what was read on its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CalibrationPeriod {
    pub(crate) from: Date,
    /// The day of the next good one; none after the last.
    pub until: Option<Date>,
}

impl History {
    /// The periods in which operations are counted, oldest first. A failed calibration begins none.
    pub(crate) fn periods(&self) -> Vec<CalibrationPeriod> {
        let good = self.records().iter().filter(|record| record.result == CalibrationResult::Passed);
        let mut days: Vec<Date> = good.map(|record| record.on).collect();
        days.dedup();
        let next = days.iter().copied().skip(1).map(Some).chain([None]);
        days.iter().copied().zip(next).map(|(from, until)| CalibrationPeriod { from, until }).collect()
    }

    /// Notes where each period passed the number of operations that a calibration stands for. `find`
    /// gives the operation of a period that has so many others before it, if there is one.
    pub(super) fn count<E>(
        &mut self,
        mut find: impl FnMut(CalibrationPeriod, u32) -> Result<Option<Operation>, E>,
    ) -> Result<(), E> {
        let allowed = self.interval().cycles;
        self.overruns.clear();
        for period in self.periods() {
            self.overruns.extend(find(period, allowed)?);
        }
        Ok(())
    }
}

#[cfg(test)]
#[path = "cycles_tests.rs"]
mod tests;
