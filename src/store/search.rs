//! Search in the stored book.

use std::collections::{BTreeSet, HashMap};

use super::{Store, StoreError};
use crate::book::{AliasCells, CalledEntry, Commonness, Entry, EntryCells, Evidence, Found, NameSearch, Way};

impl Store {
    /// The entries that a question asks for, best first, and behind them those that match it only in part.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn find(&self, question: &str) -> Result<Found, StoreError> {
        let mut aliases: HashMap<String, Vec<String>> = HashMap::new();
        for cells in self.all_rows::<AliasCells>()?.cells() {
            aliases.entry(cells.entry.owned()).or_default().push(cells.alias.owned());
        }
        let entries = self.all_rows::<EntryCells>()?;
        let named = entries.cells().map(|cells| CalledEntry {
            aliases: aliases.remove(cells.entry.text).unwrap_or_default(),
            entry: cells.entry.owned(),
            name: cells.name.owned(),
            size: format!("{} {}", cells.thread.text, cells.tool.text),
            hardware: cells.hardware.owned(),
            ridden: Commonness::parse(cells.ridden.text).unwrap_or_default(),
        });
        let named: Vec<CalledEntry> = named.collect();
        let measured = self.measured_items()?.into_keys().map(|item| CalledEntry {
            aliases: aliases.remove(&item).unwrap_or_default(),
            name: item.replace('-', " "),
            entry: item,
            ..CalledEntry::default()
        });
        let measures = NameSearch::new(&measured.collect::<Vec<_>>());
        Ok(NameSearch::new(&named).find_or_measure(&measures, question))
    }

    /// Those of some entries that are of a kind which takes no torque.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored book does not pass its checks.
    pub fn without_torque(&self, entries: &[(Entry, Vec<Evidence>)]) -> Result<BTreeSet<String>, StoreError> {
        let kinds = self.joint_kinds(entries.iter().map(|(entry, _)| &*entry.kind))?;
        let takes_none =
            |entry: &&Entry| kinds.get(&entry.kind).is_some_and(|kind| kind.way == Way::NoTorque);
        Ok(entries
            .iter()
            .map(|(entry, _)| entry)
            .filter(takes_none)
            .map(|entry| entry.entry.clone())
            .collect())
    }
}
