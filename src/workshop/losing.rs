//! Whether a bolt loses torque from check to check (`specs/rules.md`, "Losing").
//!
//! Values of one re-check method form one series: 4 or more of them, a falling trend by the exact
//! one-sided Mann–Kendall test at 5 %, and a drop from the first to the last that is more than the
//! expanded uncertainty. A tightening in between does not begin a new series: a bolt that is found a
//! little lower at every visit loses torque although it is put right each time. A part replaced or
//! locked anew does.

use super::{Reading, falling_chance};
use crate::conformity::{Instrument, Kind, Probability};
use crate::quantity::Torque;

/// Fewest re-checks that can show a trend.
const FEWEST: usize = 4;
/// Most re-checks that are looked at: the newest ones.
pub const TREND_LOOKS_AT: usize = 50;
/// The chance of a trend by mere luck that is accepted.
const LEVEL: f64 = 0.05;
/// The methods whose values say something about what is left of a tightening.
const METHODS: [Kind; 3] = [Kind::BackToMark, Kind::Moved, Kind::Loosening];

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losing {
    pub method: Kind,
    pub count: usize,
    pub first: Torque,
    pub last: Torque,
    /// The chance of such a fall without a trend.
    pub chance: Probability,
}

/// The falling trend of a bolt's re-checks, if there is one. `newest_first` are its readings,
/// `instrument` that of the newest.
pub fn losing(newest_first: &[&Reading], instrument: &Instrument) -> Option<Losing> {
    METHODS.into_iter().find_map(|method| {
        let mut series: Vec<Torque> = newest_first
            .iter()
            .take_while(|reading| !reading.begins_anew())
            .filter(|reading| reading.kind == method)
            .filter_map(|reading| reading.torque())
            .take(TREND_LOOKS_AT)
            .collect();
        series.reverse();
        let (&first, &last) = series.first().zip(series.last())?;
        if series.len() < FEWEST || first - last <= instrument.expanded(last) {
            return None;
        }
        let chance = falling_chance(&series)?;
        (chance.value() <= LEVEL).then_some(Losing { method, count: series.len(), first, last, chance })
    })
}

#[cfg(test)]
#[path = "losing_tests.rs"]
mod tests;
