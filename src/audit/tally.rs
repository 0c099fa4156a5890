//! What a thread counted; the tallies of all threads add up to the summary of a log.

use super::Rule;
use super::counts::{Counts, Fault};
use super::histogram::Histogram;
use super::names::Names;
use super::pairs::Pairs;
use super::reference::Reference;
use super::slot::Slot;
use super::summary::{EntrySummary, Summary, WrenchCounts};
use crate::conformity::Limits;
use crate::quantity::Torque;

/// What a thread counted.
#[derive(Debug)]
pub(super) struct Tally<'a> {
    pub(super) reference: &'a Reference,
    pub(super) rule: Rule,
    pub(super) names: Names<'a>,
    pub(super) pairs: Pairs,
    /// By number of pair.
    pub(super) counted: Vec<Counted>,
    /// Rows of no entry.
    pub(super) loose: Counts,
    pub(super) faults: [u64; Fault::ALL.len()],
}

/// The rows of one pair, counted.
#[derive(Debug)]
pub(super) struct Counted {
    /// The number of what was judged, and that of the wrench's name.
    subject: u32,
    name: u32,
    counts: Counts,
    histogram: Option<Histogram>,
}

impl Tally<'_> {
    /// Adds what another thread counted in the same log.
    pub(super) fn absorb(&mut self, other: Tally<'_>) {
        self.loose += other.loose;
        for (count, more) in self.faults.iter_mut().zip(other.faults) {
            *count += more;
        }
        let numbers = self.names.take_in(&other.names);
        for more in other.counted {
            let Some(&name) = numbers.get(more.name as usize) else { continue };
            let number = self.pairs.get(more.subject, name);
            match number.and_then(|number| self.counted.get_mut(number as usize)) {
                Some(known) => known.absorb(more),
                None => self.add(Counted { name, ..more }),
            }
        }
    }

    fn add(&mut self, counted: Counted) {
        if let Ok(number) = u32::try_from(self.counted.len()) {
            self.pairs.put(counted.subject, counted.name, number);
            self.counted.push(counted);
        }
    }

    /// All of it by the names of entries and wrenches.
    pub(super) fn summary(self) -> Summary {
        let mut summary = Summary::new(self.rule);
        summary.loose = self.loose;
        for (fault, count) in Fault::ALL.into_iter().zip(self.faults) {
            summary.add_fault(fault, count);
        }
        for (subject, numbers) in (0..).zip(self.pairs.by_subject()) {
            let pairs: Vec<&Counted> =
                numbers.filter_map(|number| self.counted.get(number as usize)).collect();
            let Some(known) = self.reference.subject(subject).filter(|_| !pairs.is_empty()) else { continue };
            let found = EntrySummary {
                // No two numbers have one name, so that none is lost.
                wrenches: pairs.iter().filter_map(|counted| self.by_name(counted)).collect(),
                histogram: Histogram::sum(pairs.iter().filter_map(|counted| counted.histogram.clone())),
                ..EntrySummary::default()
            };
            let of_entry = self.reference.limits(&known.subject.entry);
            summary.own_figures |= ends(known.subject.limits.as_ref()) != ends(of_entry);
            summary.add_entry(known.subject.entry.clone(), found);
        }
        if self.names.is_crowded() {
            summary.crowd();
        }
        summary
    }

    fn by_name(&self, counted: &Counted) -> Option<(String, WrenchCounts)> {
        let name = self.names.get(counted.name)?;
        let counts = WrenchCounts { registered: name.wrench.is_some(), counts: counted.counts };
        Some((name.name.clone(), counts))
    }
}

fn ends(limits: Option<&Limits>) -> Option<(Option<Torque>, Option<Torque>)> {
    limits.map(|limits| (limits.low(), limits.high()))
}

impl Counted {
    /// What stands in a slot, whose histogram is taken.
    pub(super) fn of(slot: &mut Slot<'_>) -> Counted {
        let histogram = slot.histogram.take().map(|histogram| *histogram);
        Counted { subject: slot.subject_place, name: slot.name, counts: slot.counts(), histogram }
    }

    fn absorb(&mut self, more: Counted) {
        self.counts += more.counts;
        self.histogram = Histogram::sum(self.histogram.take().into_iter().chain(more.histogram));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audit::Subject;
    use crate::quantity::{Spec, newton_metres as nm};

    /// An entry and a joint of it that is judged by its own limits.
    fn reference() -> Reference {
        let subject = |spec| Subject {
            entry: "axle".to_owned(),
            limits: Some(Limits::new(spec)),
            basis: String::new(),
            left_hand: false,
        };
        let mut reference = Reference::new();
        reference.add_entry(subject(Spec::range_nm(4.0, 6.0)));
        reference.add_joint("b", "front", subject(Spec::range_nm(5.0, 7.0)));
        reference
    }

    /// A tally of rows of a subject with a wrench; where a torque was read, with a histogram of it.
    fn tally<'a>(reference: &'a Reference, found: &[(u32, &str, u64, Option<f64>)]) -> Tally<'a> {
        let mut tally = Tally {
            reference,
            rule: Rule::Guarded,
            names: Names::new(reference),
            pairs: Pairs::default(),
            counted: Vec::new(),
            loose: Counts { rows: 1, rejected: 1, ..Counts::default() },
            faults: [1; Fault::ALL.len()],
        };
        for &(subject, name, rows, read) in found {
            let name = tally.names.number_of(name);
            let histogram = read.map(|read| {
                let mut histogram = Histogram::new(nm(6.0));
                histogram.add(nm(read));
                histogram
            });
            let counts = Counts { rows, inside: rows, ..Counts::default() };
            tally.add(Counted { subject, name, counts, histogram });
        }
        tally
    }

    #[test]
    fn what_two_threads_counted_adds_up_by_name() {
        let reference = reference();
        let mut sum = tally(&reference, &[(0, "a", 1, Some(5.0)), (0, "b", 2, None), (1, "a", 4, None)]);
        sum.absorb(tally(&reference, &[(0, "b", 8, Some(5.0)), (1, "c", 16, None), (0, "a", 32, None)]));
        let summary = sum.summary();
        let axle = &summary.entries["axle"];
        let rows: Vec<_> =
            axle.wrenches.iter().map(|(name, wrench)| (name.as_str(), wrench.counts.rows)).collect();
        assert_eq!(rows, [("a", 37), ("b", 10), ("c", 16)]);
        assert_eq!(axle.histogram.as_ref().map(|histogram| histogram.bins.iter().sum()), Some(2));
        assert_eq!((summary.loose.rows, summary.faults[&Fault::Quote]), (2, 2));
        assert_eq!(summary.entries.len(), 1);
        assert!(summary.own_figures);
        assert!(!tally(&reference, &[(0, "a", 1, None)]).summary().own_figures);
    }
}
