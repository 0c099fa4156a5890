//! The condition of a thread (dry, greased, with threadlocker …) and what is published about going
//! from one to another. A torque is never converted: sources disagree far too widely.

use super::friction_table::FrictionTable;
use super::table::Provenance;
use super::units::{Ratio, Span};
use super::{Catalogue, JointError};
use crate::words::{is_one_of, likest, words};

words! {
    /// What is on the thread and under the head.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Condition: name {
        /// Cleaned of lubricant.
        Dry = "dry",
        /// As delivered: plated or with a film of oil.
        AsDelivered = "as-delivered",
        /// Oiled.
        Oiled = "oiled",
        /// Greased.
        Greased = "greased",
        /// Anti-seize paste or another solid lubricant.
        AntiSeize = "anti-seize",
        /// Thread-locking adhesive.
        Threadlocker = "threadlocker",
        /// Not known.
        Unknown = "unknown",
    }
}

const ALIASES: &[(&str, Condition)] = &[
    ("clean", Condition::Dry),
    ("new", Condition::AsDelivered),
    ("oil", Condition::Oiled),
    ("grease", Condition::Greased),
    ("lubricated", Condition::Greased),
    ("anti-seize paste", Condition::AntiSeize),
    ("copper paste", Condition::AntiSeize),
    ("threadlock", Condition::Threadlocker),
    ("thread locker", Condition::Threadlocker),
    ("thread-locking adhesive", Condition::Threadlocker),
];

impl Condition {
    /// Reads the words of the conditions and their usual other names.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest names.
    pub fn named(text: &str) -> Result<Condition, JointError> {
        let mut names = Condition::WORDS.iter().chain(ALIASES);
        let found = names.find(|&&(name, _)| is_one_of(text, [name].into_iter()));
        found.map(|&(_, condition)| condition).ok_or_else(|| {
            JointError::unknown("friction", text, likest(text, Condition::ALL.map(Condition::name)))
        })
    }

    /// The condition of the thread that a source states in free words, such as `greased` or `medium
    /// threadlocker (242), bearing seats greased`; none where they name none of these conditions or
    /// speak of something else, such as a greased shaft.
    pub(crate) fn stated_in(words: &str) -> Option<Condition> {
        words.split([',', ';', '(']).find_map(|part| {
            let part = part.trim();
            let name = if part.ends_with("threadlocker") { "threadlocker" } else { part };
            Condition::named(name).ok()
        })
    }

    /// Oil, grease and paste are spoken of together in published corrections.
    fn is_like(self, other: Condition) -> bool {
        let lubricated = |c| matches!(c, Condition::Oiled | Condition::Greased | Condition::AntiSeize);
        self == other || (lubricated(self) && lubricated(other))
    }
}

/// One published statement of how a torque changes between two conditions.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueChange {
    /// What is put on or taken off.
    pub what: String,
    /// The condition before.
    pub from: Condition,
    /// The condition after.
    pub to: Condition,
    /// The change of the torque for equal preload: −0.15 is 15 % less.
    pub change: Span<Ratio>,
    /// What else the source says.
    pub note: String,
    /// Who states it.
    pub provenance: Provenance,
}

impl TorqueChange {
    /// True when the statement is about going from `from` to `to`, or between conditions like them.
    pub(crate) fn leads(&self, from: Condition, to: Condition) -> bool {
        self.from.is_like(from) && self.to.is_like(to)
    }
}

/// One published nut factor of a condition.
#[derive(Debug, Clone, PartialEq)]
pub struct PublishedNutFactor {
    /// The surface or lubricant as the source names it.
    pub what: String,
    /// The condition it belongs to.
    pub condition: Condition,
    /// The factor K in T = K·F·d.
    pub factor: Span<Ratio>,
    /// What else the source says.
    pub note: String,
    /// Who states it.
    pub provenance: Provenance,
}

/// What is published about two conditions that differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Disagreement {
    /// The condition of the figure.
    pub stated: Condition,
    /// The condition of the thread in hand.
    pub actual: Condition,
    /// Published changes between the two, in either direction.
    pub changes: Vec<TorqueChange>,
    /// From the least to the greatest change published in the direction asked for.
    pub range: Option<Span<Ratio>>,
    /// Published nut factors of the stated condition.
    pub stated_factors: Vec<PublishedNutFactor>,
    /// Published nut factors of the actual condition.
    pub actual_factors: Vec<PublishedNutFactor>,
}

impl Catalogue {
    /// What is published for a figure of the `stated` condition on an `actual` thread; never a converted torque. None
    /// where the two are the same, or one is not known and so nothing can be compared.
    #[must_use]
    pub fn compare_conditions(&self, stated: Condition, actual: Condition) -> Option<Disagreement> {
        let FrictionTable { changes, nut_factors, .. } = &self.friction;
        if stated == actual || [stated, actual].contains(&Condition::Unknown) {
            return None;
        }
        let either_way =
            |change: &&TorqueChange| change.leads(stated, actual) || change.leads(actual, stated);
        let asked = changes.iter().filter(|change| change.leads(stated, actual)).map(|change| change.change);
        let of = |condition: Condition| {
            nut_factors.iter().filter(|factor| factor.condition.is_like(condition)).cloned().collect()
        };
        Some(Disagreement {
            stated,
            actual,
            changes: changes.iter().filter(either_way).cloned().collect(),
            range: asked.reduce(|a, b| Span { low: a.low.min(b.low), high: a.high.max(b.high) }),
            stated_factors: of(stated),
            actual_factors: of(actual),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn free_words_count_only_where_they_speak_of_the_thread() {
        for (words, condition) in [
            ("greased", Some(Condition::Greased)),
            ("medium threadlocker (242), bearing seats greased", Some(Condition::Threadlocker)),
            ("dry, no grease on the taper", Some(Condition::Dry)),
            ("greased shaft", None),
            ("axle shoulder greased", None),
            ("nylon patch on the thread", None),
            ("", None),
        ] {
            assert_eq!(Condition::stated_in(words), condition, "{words}");
        }
    }
}
