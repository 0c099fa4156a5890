//! What an audit found, in pieces that add up.

use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::collections::btree_map::{BTreeMap, Entry};
use std::ops::AddAssign;

use serde::{Deserialize, Serialize};

use super::counts::{Counts, Fault};
use super::histogram::Histogram;
use super::{AuditError, Reference, Rule};
use crate::conformity::Limits;
use crate::quantity::in_newton_metres;

/// Wrenches that are not registered, each counted by its name; where a log has more names, all of them
/// are counted together, so that it does not matter how the log was cut.
pub(super) const MOST_NAMES: usize = 1000;
/// The name of those counted together.
pub(super) const OTHERS: &str = "(others)";
/// Readings furthest outside that a piece keeps at least, for whoever adds the pieces up.
pub const WORST_KEPT: usize = 100;

/// Whether a wrench has counts of its own only while there are not too many of its like.
pub(super) fn is_counted_apart(name: &str, registered: bool) -> bool {
    !registered && !name.is_empty() && name != OTHERS
}

/// One wrench on one entry.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrenchCounts {
    /// Whether it is registered; else its accuracy was assumed.
    pub registered: bool,
    /// Its rows.
    #[serde(flatten)]
    pub counts: Counts,
}

impl AddAssign for WrenchCounts {
    fn add_assign(&mut self, other: WrenchCounts) {
        self.registered |= other.registered;
        self.counts += other.counts;
    }
}

/// One entry.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct EntrySummary {
    /// The lower limit of the entry in N·m, where one is known.
    pub low_nm: Option<f64>,
    /// The upper limit.
    pub high_nm: Option<f64>,
    /// Its rows by the name of the wrench; without one, the name is empty.
    pub wrenches: BTreeMap<String, WrenchCounts>,
    /// How its tightenings are spread, where that was asked for and a limit is known.
    pub histogram: Option<Histogram>,
}

impl EntrySummary {
    /// All its rows.
    #[must_use]
    pub fn counts(&self) -> Counts {
        self.wrenches.values().fold(Counts::default(), |mut sum, wrench| {
            sum += wrench.counts;
            sum
        })
    }

    /// Adds what else was found of the entry.
    fn absorb(&mut self, other: EntrySummary) {
        (self.low_nm, self.high_nm) = (self.low_nm.or(other.low_nm), self.high_nm.or(other.high_nm));
        for (wrench, counts) in other.wrenches {
            *self.wrenches.entry(wrench).or_default() += counts;
        }
        self.histogram = Histogram::sum(self.histogram.take().into_iter().chain(other.histogram));
    }
}

/// A reading outside its limits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Worst {
    /// Its row; the header is not counted.
    pub row: u64,
    /// Its entry.
    pub entry: String,
    /// The wrench, empty where none is named.
    pub wrench: String,
    /// `low` or `high`.
    pub verdict: String,
    /// What was read.
    pub reading_nm: f64,
    /// The limit that it is beyond.
    pub limit_nm: f64,
    /// How many times over or under that limit; none where the reading is 0.
    pub times: Option<f64>,
}

/// What an audit found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// The rule.
    pub rule: Rule,
    /// What it was judged by; pieces of one log have the same.
    pub basis: String,
    /// Rows of no entry.
    pub loose: Counts,
    /// Why rows were rejected.
    pub faults: BTreeMap<Fault, u64>,
    /// Everything else, by entry.
    pub entries: BTreeMap<String, EntrySummary>,
    /// Whether joints were met that are judged by figures of their own, not by the band of their entry.
    #[serde(default)]
    pub own_figures: bool,
    /// The readings furthest outside, furthest first.
    pub worst: Vec<Worst>,
    /// How many of them were to be kept.
    pub worst_kept: usize,
}

impl Summary {
    pub(super) fn new(rule: Rule) -> Summary {
        Summary {
            rule,
            basis: String::new(),
            loose: Counts::default(),
            faults: BTreeMap::new(),
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

    /// Adds what was found of an entry.
    pub(super) fn add_entry(&mut self, entry: String, found: EntrySummary) {
        match self.entries.entry(entry) {
            Entry::Occupied(known) => known.into_mut().absorb(found),
            Entry::Vacant(free) => {
                free.insert(found);
            }
        }
    }

    /// All rows.
    #[must_use]
    pub fn total(&self) -> Counts {
        self.entries.values().fold(self.loose, |mut sum, entry| {
            sum += entry.counts();
            sum
        })
    }

    /// Rows by wrench, whatever the entry.
    #[must_use]
    pub fn by_wrench(&self) -> BTreeMap<&str, WrenchCounts> {
        let mut wrenches: BTreeMap<&str, WrenchCounts> = BTreeMap::new();
        for (name, counts) in self.entries.values().flat_map(|entry| &entry.wrenches) {
            *wrenches.entry(name).or_default() += *counts;
        }
        wrenches
    }

    /// Notes the limits of the entries that were met.
    pub(super) fn take_limits(&mut self, reference: &Reference) {
        for (entry, summary) in &mut self.entries {
            let limits = reference.limits(entry);
            summary.low_nm = limits.and_then(Limits::low).map(in_newton_metres);
            summary.high_nm = limits.and_then(Limits::high).map(in_newton_metres);
        }
    }

    /// Counts the wrenches that are not registered together.
    pub(super) fn crowd(&mut self) {
        for entry in self.entries.values_mut() {
            for (name, counts) in std::mem::take(&mut entry.wrenches) {
                let name = if is_counted_apart(&name, counts.registered) { OTHERS.to_owned() } else { name };
                *entry.wrenches.entry(name).or_default() += counts;
            }
        }
    }

    /// The names of wrenches that are not registered.
    #[must_use]
    pub fn strangers(&self) -> BTreeSet<&str> {
        let wrenches = self.entries.values().flat_map(|entry| &entry.wrenches);
        let others = wrenches.filter(|(name, counts)| !counts.registered && !name.is_empty());
        others.map(|(name, _)| name.as_str()).collect()
    }

    fn is_crowded(&self) -> bool {
        let strangers = self.strangers();
        strangers.contains(OTHERS) || strangers.len() > MOST_NAMES
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
        let rows = self.total().rows;
        for worst in &mut next.worst {
            worst.row += rows;
        }
        self.worst_kept = self.worst_kept.min(next.worst_kept);
        self.add_worst(next.worst);
        self.loose += next.loose;
        self.own_figures |= next.own_figures;
        for (fault, count) in next.faults {
            self.add_fault(fault, count);
        }
        for (entry, found) in next.entries {
            self.add_entry(entry, found);
        }
        if self.is_crowded() {
            self.crowd();
        }
        Ok(())
    }
}

/// The order of the worst, each by how many times over or under its limit it is and its row: furthest
/// outside first, then by row.
pub(super) fn furthest_first((a, a_row): (f64, u64), (b, b_row): (f64, u64)) -> Ordering {
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
            summary.add_entry("axle".to_owned(), EntrySummary { wrenches, ..EntrySummary::default() });
        }
        summary
    }

    #[test]
    fn too_many_names_are_counted_together_however_the_log_was_cut() {
        let mut whole = piece(0..600);
        whole.append(piece(500..MOST_NAMES)).unwrap();
        assert_eq!(whole.by_wrench().len(), MOST_NAMES);
        whole.append(piece(0..=MOST_NAMES)).unwrap();
        assert_eq!(whole.by_wrench().keys().collect::<Vec<_>>(), [&OTHERS]);
        assert_eq!(whole.total().rows, 600 + 500 + 1001);
    }

    #[test]
    fn pieces_judged_by_different_books_are_kept_apart() {
        let other = Summary { basis: "other".to_owned(), ..piece(0..1) };
        assert!(piece(0..1).append(other).is_err());
        assert!(piece(0..1).append(Summary { rule: Rule::Plain, ..piece(0..1) }).is_err());
    }
}
