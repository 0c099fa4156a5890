//! The readings furthest outside, as they are met.

use super::row::{Judge, Said};
use super::summary::{Worst, furthest_first};
use crate::conformity::Label;
use crate::quantity::{Torque, in_newton_metres};

/// The worst so far. A row is known by its chunk and its number there until it is known how many rows
/// the chunks before it have: see [`number_on`].
#[derive(Debug)]
pub(super) struct WorstSoFar {
    kept: Vec<Outside>,
    fresh: Vec<Outside>,
    most: usize,
}

/// A reading outside its limits.
#[derive(Debug, Clone, Copy)]
struct Outside {
    row: u64,
    slot: u32,
    label: Label,
    reading: Torque,
    limit: Torque,
    /// How many times over or under its limit it is: infinitely for a reading of 0.
    times: f64,
}

impl WorstSoFar {
    pub(super) fn new(most: usize) -> WorstSoFar {
        WorstSoFar { kept: Vec::new(), fresh: Vec::new(), most }
    }

    /// Keeps a reading if it is among the worst.
    #[inline]
    pub(super) fn see(&mut self, judge: &Judge<'_>, said: &Said, row: u64) {
        if let Some(label @ (Label::Low | Label::High)) = said.label {
            self.consider(judge, said, label, row);
        }
    }

    fn consider(&mut self, judge: &Judge<'_>, said: &Said, label: Label, row: u64) {
        let (reading, slot) = (said.reading.torque, said.place.slot);
        let Some((times, limit)) = judge.slot_of(slot).and_then(|slot| slot.excess(label, reading)) else {
            return;
        };
        // A tie is lost to the rows before, but rows of other threads' chunks may come before this one.
        if self.is_full() && self.kept.last().is_some_and(|last| times < last.times) {
            return;
        }
        self.fresh.push(Outside { row, slot, label, reading, limit, times });
        if self.fresh.len() > 4 * self.most + 64 {
            sort_and_cut(&mut self.fresh, self.most);
        }
    }

    fn is_full(&self) -> bool {
        self.kept.len() >= self.most
    }

    /// Ends a chunk of the given number.
    pub(super) fn end_chunk(&mut self, chunk: u64) {
        if self.fresh.is_empty() {
            return;
        }
        for worst in &mut self.fresh {
            worst.row |= chunk << ROW_BITS;
        }
        self.kept.append(&mut self.fresh);
        sort_and_cut(&mut self.kept, self.most);
    }

    /// Those that were kept, furthest outside first, as `judge` knows their slots.
    pub(super) fn into_kept(self, judge: &Judge<'_>) -> Vec<Worst> {
        let named = |kept: Outside| {
            let slot = judge.slot_of(kept.slot)?;
            Some(Worst {
                row: kept.row,
                entry: slot.subject.entry.clone(),
                wrench: judge.wrench_name(slot).to_owned(),
                verdict: kept.label.text().to_owned(),
                reading_nm: in_newton_metres(kept.reading),
                limit_nm: in_newton_metres(kept.limit),
                times: kept.times.is_finite().then_some(kept.times),
            })
        };
        self.kept.into_iter().filter_map(named).collect()
    }
}

/// Bits for a row within its chunk, which is far smaller than 4 GiB; the chunk stands above them, so that
/// rows sort as they do in the log.
const ROW_BITS: u32 = 32;

/// Numbers rows through the log, given the rows of every chunk.
pub(super) fn number_on(list: &mut [Worst], rows: &[u32]) {
    let mut starts = vec![0];
    let mut before = 0;
    for rows in rows {
        before += u64::from(*rows);
        starts.push(before);
    }
    for worst in list {
        let chunk = usize::try_from(worst.row >> ROW_BITS).unwrap_or(usize::MAX);
        worst.row = starts.get(chunk).copied().unwrap_or(0) + (worst.row & ((1 << ROW_BITS) - 1));
    }
}

fn sort_and_cut(list: &mut Vec<Outside>, most: usize) {
    list.sort_by(|a, b| furthest_first((a.times, a.row), (b.times, b.row)));
    list.truncate(most);
}
