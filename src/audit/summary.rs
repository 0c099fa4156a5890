//! What an audit found, in pieces that add up.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::AddAssign;

use serde::{Deserialize, Serialize};

use super::counts::{Counts, Fault, LeftOut};
use super::{AuditError, Rule};
use crate::quantity::{Torque, in_newton_metres};

/// Wrenches that are not registered, each counted by its name; where a log has more names, all of them
/// are counted together, so that it does not matter how the log was cut.
pub(super) const MOST_UNREGISTERED: usize = 1000;
/// The name of those counted together.
pub(super) const OVERFLOW: &str = "(others)";
/// Readings furthest outside that a piece keeps at least, for whoever adds the pieces up.
pub const WORST_KEPT: usize = 100;

/// One wrench on one entry.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrenchCounts {
    /// Whether it is registered; else its accuracy was assumed.
    pub registered: bool,
    #[serde(flatten)]
    pub counts: Counts,
}

impl AddAssign for WrenchCounts {
    fn add_assign(&mut self, other: WrenchCounts) {
        self.registered |= other.registered;
        self.counts += other.counts;
    }
}

/// Bins from 0 to the reach; one more holds what lies beyond.
pub const BINS: usize = 80;

/// Tightenings of one entry by torque, in bins of equal width.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Histogram {
    /// Where the last bin ends, in N·m.
    pub reach_nm: f64,
    /// Readings per bin; the last count is of those beyond the reach.
    pub bins: Vec<u64>,
}

impl Histogram {
    /// Nothing counted yet, reaching to twice the largest torque that the limits name.
    pub(super) fn new(largest: Torque) -> Histogram {
        Histogram { reach_nm: 2.0 * in_newton_metres(largest), bins: vec![0; BINS + 1] }
    }

    pub(super) fn add(&mut self, reading: Torque) {
        #[expect(clippy::cast_precision_loss, reason = "80 is exact")]
        let position = in_newton_metres(reading) / self.reach_nm * BINS as f64;
        // No reading is negative, and the cast saturates.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole bins are meant")]
        let bin = (position as usize).min(BINS);
        if let Some(count) = self.bins.get_mut(bin) {
            *count += 1;
        }
    }

    pub(super) fn absorb(&mut self, other: &Histogram) {
        for (count, more) in self.bins.iter_mut().zip(&other.bins) {
            *count += more;
        }
    }
}

#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct EntrySummary {
    /// The lower limit of the entry in N·m, where one is known.
    pub low_nm: Option<f64>,
    pub high_nm: Option<f64>,
    /// The number itself, where the entry has one set value.
    #[serde(default)]
    pub value_nm: Option<f64>,
    /// Its rows by the name of the wrench; without one, the name is empty.
    pub wrenches: BTreeMap<String, WrenchCounts>,
    /// Joints with a figure that cannot be read: why, and how many tightenings were not settled for it.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub unreadable: BTreeMap<String, (String, u64)>,
    /// How its tightenings are spread, where that was asked for and a limit is known.
    pub histogram: Option<Histogram>,
}

impl EntrySummary {
    pub fn counts(&self) -> Counts {
        self.wrenches.values().fold(Counts::default(), |mut sum, wrench| {
            sum += wrench.counts;
            sum
        })
    }

    pub(super) fn add(&mut self, wrench: String, counts: WrenchCounts, histogram: Option<Histogram>) {
        *self.wrenches.entry(wrench).or_default() += counts;
        self.add_histogram(histogram);
    }

    fn absorb(&mut self, other: EntrySummary) {
        (self.low_nm, self.high_nm) = (self.low_nm.or(other.low_nm), self.high_nm.or(other.high_nm));
        self.value_nm = self.value_nm.or(other.value_nm);
        for (wrench, counts) in other.wrenches {
            *self.wrenches.entry(wrench).or_default() += counts;
        }
        for (joint, (reason, count)) in other.unreadable {
            self.unreadable.entry(joint).or_insert((reason, 0)).1 += count;
        }
        self.add_histogram(other.histogram);
    }

    fn add_histogram(&mut self, more: Option<Histogram>) {
        match (&mut self.histogram, more) {
            (Some(known), Some(more)) => known.absorb(&more),
            (known @ None, more) => *known = more,
            (Some(_), None) => {}
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Worst {
    /// Its row; the header is not counted.
    pub row: u64,
    pub entry: String,
    /// The wrench, empty where none is named.
    pub wrench: String,
    /// `low` or `high`.
    pub verdict: String,
    pub reading_nm: f64,
    /// The limit that it is beyond.
    pub limit_nm: f64,
    /// How many times over or under that limit; none where the reading is 0.
    pub times: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    pub rule: Rule,
    /// What it was judged by; pieces of one log have the same.
    pub basis: String,
    pub loose: Counts,
    pub faults: BTreeMap<Fault, u64>,
    /// Rows that are not among those counted.
    #[serde(default)]
    pub left_out: BTreeMap<LeftOut, u64>,
    pub entries: BTreeMap<String, EntrySummary>,
    /// Whether joints were met that are judged by figures of their own, not by the band of their entry.
    #[serde(default)]
    pub own_figures: bool,
    /// The readings furthest outside, furthest first.
    pub worst: Vec<Worst>,
    pub worst_kept: usize,
}

impl Summary {
    pub(super) fn new(rule: Rule) -> Summary {
        Summary {
            rule,
            basis: String::new(),
            loose: Counts::default(),
            faults: BTreeMap::new(),
            left_out: BTreeMap::new(),
            entries: BTreeMap::new(),
            own_figures: false,
            worst: Vec::new(),
            worst_kept: WORST_KEPT,
        }
    }

    pub(super) fn add_fault(&mut self, fault: Fault, count: u64) {
        if count > 0 {
            *self.faults.entry(fault).or_default() += count;
        }
    }

    pub(super) fn add_left_out(&mut self, why: LeftOut, count: u64) {
        if count > 0 {
            *self.left_out.entry(why).or_default() += count;
        }
    }

    /// Rows of the log, whatever became of them.
    pub(super) fn all_rows(&self) -> u64 {
        self.total().rows + self.left_out.values().sum::<u64>()
    }

    pub fn total(&self) -> Counts {
        self.entries.values().fold(self.loose, |mut sum, entry| {
            sum += entry.counts();
            sum
        })
    }

    pub fn by_wrench(&self) -> BTreeMap<&str, WrenchCounts> {
        let mut wrenches: BTreeMap<&str, WrenchCounts> = BTreeMap::new();
        for (name, counts) in self.entries.values().flat_map(|entry| &entry.wrenches) {
            *wrenches.entry(name).or_default() += *counts;
        }
        wrenches
    }

    pub fn unregistered(&self) -> BTreeSet<&str> {
        let wrenches = self.entries.values().flat_map(|entry| &entry.wrenches);
        wrenches.filter(|(name, counts)| is_stray(name, counts)).map(|(name, _)| name.as_str()).collect()
    }

    /// Counts the wrenches that are not registered together, where there are too many of them.
    fn sum_overflow(&mut self) {
        let unregistered = self.unregistered();
        if unregistered.len() <= MOST_UNREGISTERED && !unregistered.contains(OVERFLOW) {
            return;
        }
        for entry in self.entries.values_mut() {
            for (name, counts) in std::mem::take(&mut entry.wrenches) {
                let name = if is_stray(&name, &counts) { OVERFLOW.to_owned() } else { name };
                *entry.wrenches.entry(name).or_default() += counts;
            }
        }
    }

    /// Adds readings outside; of all of them the worst are kept.
    pub(super) fn add_worst(&mut self, worst: Vec<Worst>) {
        self.worst.extend(worst);
        let place = |worst: &Worst| (worst.times.unwrap_or(f64::INFINITY), worst.row);
        self.worst.sort_by(|a, b| furthest_first(place(a), place(b)));
        self.worst.truncate(self.worst_kept);
    }

    /// Adds the summary of the piece of the log that follows: its rows are numbered on.
    ///
    /// # Errors
    /// [`AuditError::Apart`] when the two were not judged by the same.
    pub fn append(&mut self, mut next: Summary) -> Result<(), AuditError> {
        if self.rule != next.rule {
            return Err(AuditError::Apart("they were judged by different rules".to_owned()));
        }
        if self.basis != next.basis {
            return Err(AuditError::Apart("they were judged by different books or wrenches".to_owned()));
        }
        let rows = self.all_rows();
        for worst in &mut next.worst {
            worst.row += rows;
        }
        self.worst_kept = self.worst_kept.min(next.worst_kept);
        self.absorb(next);
        Ok(())
    }

    pub(super) fn absorb(&mut self, other: Summary) {
        self.loose += other.loose;
        self.own_figures |= other.own_figures;
        for (fault, count) in other.faults {
            self.add_fault(fault, count);
        }
        for (why, count) in other.left_out {
            self.add_left_out(why, count);
        }
        for (entry, found) in other.entries {
            self.entries.entry(entry).or_default().absorb(found);
        }
        self.sum_overflow();
        self.add_worst(other.worst);
    }
}

fn is_stray(name: &str, counts: &WrenchCounts) -> bool {
    !counts.registered && !name.is_empty()
}

/// The order of the worst, each by how many times over or under its limit it is and its row: furthest
/// outside first, then by row.
pub(super) fn furthest_first<R: Ord>((a, a_row): (f64, R), (b, b_row): (f64, R)) -> Ordering {
    b.total_cmp(&a).then(a_row.cmp(&b_row))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(names: impl IntoIterator<Item = usize>) -> Summary {
        let mut summary = Summary::new(Rule::Guarded);
        for name in names {
            let counts = Counts { rows: 1, inside: 1, ..Counts::default() };
            let wrenches = BTreeMap::from([(format!("w{name}"), WrenchCounts { registered: false, counts })]);
            let found = EntrySummary { wrenches, ..EntrySummary::default() };
            summary.entries.entry("axle".to_owned()).or_default().absorb(found);
        }
        summary
    }

    #[test]
    fn too_many_names_are_counted_together_however_the_log_was_cut() {
        let mut whole = piece(0..600);
        whole.append(piece(500..MOST_UNREGISTERED)).unwrap();
        assert_eq!(whole.by_wrench().len(), MOST_UNREGISTERED);
        whole.append(piece(0..=MOST_UNREGISTERED)).unwrap();
        assert_eq!(whole.by_wrench().keys().collect::<Vec<_>>(), [&OVERFLOW]);
        assert_eq!(whole.total().rows, 600 + 500 + 1001);
    }

    #[test]
    fn pieces_judged_by_different_books_are_kept_apart() {
        let other = Summary { basis: "other".to_owned(), ..piece(0..1) };
        assert!(piece(0..1).append(other).is_err());
        assert!(piece(0..1).append(Summary { rule: Rule::Plain, ..piece(0..1) }).is_err());
    }
}
