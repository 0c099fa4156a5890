//! The readings furthest outside, as they are met.

use super::super::summary::{Worst, furthest_first};
use super::group::JudgedRow;
use super::judge::Judge;
use crate::conformity::Label;
use crate::quantity::{Torque, in_newton_metres};

pub(super) struct WorstSoFar {
    found: Vec<Outside>,
    most: usize,
    /// How many times over or under its limit a reading has to be, once there are enough.
    least: f64,
}

#[derive(Debug, Clone, Copy)]
struct Outside {
    /// Its chunk and its number there: how many rows the chunks before it have is not known yet.
    row: (u64, u64),
    group: u32,
    label: Label,
    reading: Torque,
    limit: Torque,
    /// How many times over or under its limit it is: infinitely for a reading of 0.
    times: f64,
}

impl WorstSoFar {
    pub(super) fn new(most: usize) -> WorstSoFar {
        WorstSoFar { found: Vec::new(), most, least: 0.0 }
    }

    pub(super) fn see(&mut self, judge: &Judge<'_>, row: &JudgedRow, place: (u64, u64)) {
        if let Some(label @ (Label::Low | Label::High)) = row.label {
            self.consider(judge, row, label, place);
        }
    }

    fn consider(&mut self, judge: &Judge<'_>, row: &JudgedRow, label: Label, place: (u64, u64)) {
        let (reading, group) = (row.reading.torque, row.group);
        let excess = judge.group_of(group).and_then(|group| group.excess(label, reading));
        let Some((times, limit)) = excess.filter(|(times, _)| *times >= self.least) else { return };
        self.found.push(Outside { row: place, group, label, reading, limit, times });
        if self.found.len() > 4 * self.most + 64 {
            self.found.sort_by(|a, b| furthest_first((a.times, a.row), (b.times, b.row)));
            self.found.truncate(self.most);
            // A tie is lost to the rows before, but rows of other chunks may come before this one.
            self.least = self.found.last().map_or(0.0, |last| last.times);
        }
    }

    /// Those that were kept, as `judge` knows their groups; `starts` has the rows before each chunk.
    pub(super) fn into_worst(self, judge: &Judge<'_>, starts: &[u64]) -> Vec<Worst> {
        let named = |outside: Outside| {
            let group = judge.group_of(outside.group)?;
            let (chunk, row) = outside.row;
            Some(Worst {
                row: starts.get(usize::try_from(chunk).ok()?)? + row,
                entry: group.required().entry.clone(),
                wrench: judge.wrench_name(group).to_owned(),
                verdict: outside.label.text().to_owned(),
                reading_nm: in_newton_metres(outside.reading),
                limit_nm: in_newton_metres(outside.limit),
                times: outside.times.is_finite().then_some(outside.times),
            })
        };
        self.found.into_iter().filter_map(named).collect()
    }
}
