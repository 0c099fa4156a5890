//! The readings furthest outside, as they are met.

use super::row::{Judge, Said};
use super::summary::{Worst, furthest_first};
use crate::conformity::Label;
use crate::quantity::in_newton_metres;

/// The worst so far; rows of the chunk in work are numbered from its own beginning until it is known
/// how many rows came before.
#[derive(Debug)]
pub(super) struct WorstSoFar {
    kept: Vec<Worst>,
    fresh: Vec<Worst>,
    most: usize,
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
        let torque = said.reading.torque;
        let Some(slot) = judge.slot_at(said.place) else { return };
        let Some((times, limit)) = slot.excess(label, torque) else { return };
        // A tie is lost to the rows before, but rows of other threads' chunks may come before this one.
        if self.is_full() && self.kept.last().and_then(|last| last.times).is_some_and(|last| times < last) {
            return;
        }
        self.fresh.push(Worst {
            row,
            entry: slot.subject.entry.clone(),
            wrench: judge.wrench_name(slot).to_owned(),
            verdict: label.text().to_owned(),
            reading_nm: in_newton_metres(torque),
            limit_nm: in_newton_metres(limit),
            times: times.is_finite().then_some(times),
        });
        if self.fresh.len() > 4 * self.most + 64 {
            sort_and_cut(&mut self.fresh, self.most);
        }
    }

    fn is_full(&self) -> bool {
        self.kept.len() >= self.most
    }

    /// Ends a chunk before which there were `rows` rows.
    pub(super) fn end_chunk(&mut self, rows: u64) {
        if self.fresh.is_empty() {
            return;
        }
        for worst in &mut self.fresh {
            worst.row += rows;
        }
        self.kept.append(&mut self.fresh);
        sort_and_cut(&mut self.kept, self.most);
    }

    pub(super) fn into_kept(self) -> Vec<Worst> {
        self.kept
    }
}

fn sort_and_cut(list: &mut Vec<Worst>, most: usize) {
    list.sort_by(|a, b| furthest_first(a.times, a.row, b.times, b.row));
    list.truncate(most);
}
