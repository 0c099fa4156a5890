//! What a thread counted; the tallies of all threads add up to the summary of a log.

use super::Rule;
use super::counts::{Counts, Fault};
use super::histogram::Histogram;
use super::names::{Names, WrenchName};
use super::places::Places;
use super::reference::Reference;
use super::slot::Slot;
use super::summary::{EntrySummary, Summary, WrenchCounts};

/// What a thread counted.
#[derive(Debug)]
pub(super) struct Tally<'a> {
    pub(super) reference: &'a Reference,
    pub(super) rule: Rule,
    pub(super) names: Names<'a>,
    /// The place in `rows` of every subject and name that were met.
    pub(super) places: Places,
    pub(super) rows: Vec<Rows>,
    /// Rows of no entry.
    pub(super) loose: Counts,
    pub(super) faults: [u64; Fault::ALL.len()],
}

/// The rows of one subject and one wrench.
#[derive(Debug)]
pub(super) struct Rows {
    /// The number of what was judged, and that of the wrench's name.
    subject: u32,
    name: u32,
    counts: Counts,
    histogram: Option<Box<Histogram>>,
}

impl Tally<'_> {
    /// Adds what another thread counted in the same log.
    pub(super) fn absorb(&mut self, other: Tally<'_>) {
        self.loose += other.loose;
        for (count, more) in self.faults.iter_mut().zip(other.faults) {
            *count += more;
        }
        let numbers = self.names.take_in(&other.names);
        for more in other.rows {
            let Some(&name) = numbers.get(more.name as usize) else { continue };
            let place = self.places.get(more.subject, name);
            match place.and_then(|place| self.rows.get_mut(place as usize)) {
                Some(known) => known.absorb(more),
                None => self.add(Rows { name, ..more }),
            }
        }
    }

    fn add(&mut self, rows: Rows) {
        if let Ok(place) = u32::try_from(self.rows.len()) {
            self.places.put(rows.subject, rows.name, place);
            self.rows.push(rows);
        }
    }

    /// All of it by the names of entries and wrenches.
    pub(super) fn summary(self) -> Summary {
        let mut summary = Summary::new(self.rule);
        summary.loose = self.loose;
        for (fault, count) in Fault::ALL.into_iter().zip(self.faults) {
            summary.add_fault(fault, count);
        }
        for (subject, places) in (0..).zip(self.places.by_subject()) {
            let named = places.filter_map(|place| {
                let rows = self.rows.get(place as usize)?;
                Some((self.names.get(rows.name)?, rows))
            });
            let mut rows: Vec<(&WrenchName<'_>, &Rows)> = named.collect();
            let Some(known) = self.reference.subject(subject).filter(|_| !rows.is_empty()) else { continue };
            rows.sort_unstable_by_key(|(name, _)| name.name.as_str());
            let histograms = rows.iter().filter_map(|(_, rows)| rows.histogram.as_deref());
            let found = EntrySummary {
                wrenches: rows.iter().map(|(name, rows)| by_name(name, rows)).collect(),
                histogram: histograms.cloned().reduce(|sum, more| sum.merged(&more)),
                ..EntrySummary::default()
            };
            summary.add_entry(known.subject.entry.clone(), found);
        }
        if self.names.is_crowded() {
            summary.crowd();
        }
        summary
    }
}

fn by_name(name: &WrenchName<'_>, rows: &Rows) -> (String, WrenchCounts) {
    (name.name.clone(), WrenchCounts { registered: name.wrench.is_some(), counts: rows.counts })
}

impl Rows {
    /// What stands in a slot, whose histogram is taken.
    pub(super) fn of(slot: &mut Slot<'_>) -> Rows {
        let histogram = slot.histogram.take();
        Rows { subject: slot.subject_place, name: slot.name, counts: slot.counts(), histogram }
    }

    fn absorb(&mut self, more: Rows) {
        self.counts += more.counts;
        match (&mut self.histogram, more.histogram) {
            (Some(known), Some(more)) => known.merge(&more),
            (known, more) => *known = known.take().or(more),
        }
    }
}
