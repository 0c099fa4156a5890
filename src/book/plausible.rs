//! Evidence against the bolt of its entry: refused if it would tear it, warned of past 90 % of yield.

use std::collections::BTreeMap;

use super::entry::EntryCells;
use super::evidence::EvidenceCells;
use super::{Diagnostics, Evidence};
use crate::joint::{BoltWords, Catalogue, MaterialFamily};
use crate::quantity::TorqueUnit;

/// The threads of the entries, with what bolts can stand.
pub(super) struct BoltPlausibility<'a> {
    catalogue: Option<Catalogue>,
    /// By entry; only threads that the catalogue knows.
    threads: BTreeMap<&'a str, &'a str>,
}

impl<'a> BoltPlausibility<'a> {
    /// Complains of threads of `entries` that are not known: nothing could be held against their evidence.
    pub(super) fn new(
        catalogue: Option<Catalogue>,
        entries: impl Iterator<Item = EntryCells<'a>>,
        diagnostics: &mut Diagnostics,
    ) -> BoltPlausibility<'a> {
        let mut threads = BTreeMap::new();
        for cells in entries.filter(|cells| !cells.thread.text.is_empty()) {
            match catalogue.as_ref().map(|catalogue| catalogue.thread(cells.thread.text)) {
                Some(Ok(_)) => {
                    threads.insert(cells.entry.text, cells.thread.text);
                }
                Some(Err(error)) => {
                    let fix = format!("{}; or add it to threads.csv first", error.hint());
                    diagnostics.error(&cells.thread.at, error.to_string(), fix);
                }
                None => {}
            }
        }
        BoltPlausibility { catalogue, threads }
    }

    /// Holds the largest torque of a row against the bolt of its entry.
    ///
    /// Rows set aside by hand (`not_counted`) are left alone: most are loads that a finished joint
    /// must bear, and their reason is shown beside them.
    pub(super) fn report_implausible(
        &self,
        cells: &EvidenceCells<'_>,
        evidence: &Evidence,
        diagnostics: &mut Diagnostics,
    ) {
        let thread = self.threads.get(evidence.entry.as_str());
        let (Some(catalogue), Some(thread), true) =
            (&self.catalogue, thread, evidence.not_counted.is_empty())
        else {
            return;
        };
        let words = BoltWords {
            thread: (*thread).to_owned(),
            grade: String::new(),
            metal: MaterialFamily::of_bolt(&evidence.material),
            condition: evidence.condition.clone(),
        };
        let stated = evidence.claim.stated;
        let at = &if cells.high_nm.text.is_empty() { cells.low_nm } else { cells.high_nm }.at;
        let doubted = catalogue.known_bolt(&words).and_then(|known| {
            let doubt =
                known.as_ref().map(|known| known.doubt_of(stated.spec, stated.unit)).transpose()?.flatten();
            Ok(doubt.map(|doubt| (doubt.is_impossible, doubt.text(TorqueUnit::NewtonMetre))))
        });
        match doubted {
            Ok(None) => {}
            Ok(Some((true, text))) => diagnostics.error(
                at,
                text,
                "check value and unit against the source, and the thread of the entry",
            ),
            Ok(Some((false, text))) => {
                diagnostics.warning(at, text, "look at the source again");
            }
            Err(error) => diagnostics.error(at, error.to_string(), error.hint()),
        }
    }
}
