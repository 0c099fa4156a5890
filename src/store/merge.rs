//! Journals taken in: a whole one, or what another workshop has that this one has not.
//!
//! The tables follow from the lines in their order, so that journals of several workshops are first laid into one order:
//! each keeps its own, and between them the time counts at which a line was written down.

use std::collections::HashMap;

use rusqlite::{Connection, Transaction, TransactionBehavior, params};

use super::journal::{LINE, insert_line, line_of};
use super::past::TABLES;
use super::replay::Replayer;
use super::{Store, StoreError};
use crate::workshop::{JournalLine, JournalSubject, LocalInstant, Renumbered};

/// What was taken in of another journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Merged {
    /// Lines that are new.
    pub(crate) added: usize,
    /// What was here and has another number now; nothing where all kept theirs.
    pub(crate) renumbered: Vec<Renumbered>,
    /// What has another number here than in the other journal.
    pub(crate) brought: Vec<Renumbered>,
}

/// Lines taken in one after the other, all or none.
pub(crate) struct Replaying<'a> {
    transaction: Transaction<'a>,
    replayer: Replayer,
}

impl Replaying<'_> {
    /// Takes the next line; those that it rests on were taken before.
    pub(crate) fn take(&mut self, key: &str, line: &JournalLine) -> Result<(), StoreError> {
        let row = self.replayer.take(&self.transaction, (key, line), None)?;
        insert_line(&self.transaction, line, key, row)
    }

    pub(crate) fn commit(self) -> Result<(), StoreError> {
        self.replayer.finish(&self.transaction)?;
        Ok(self.transaction.commit()?)
    }
}

impl Store {
    /// Begins to take in the lines of a journal.
    pub(crate) fn replay(&mut self) -> Result<Replaying<'_>, StoreError> {
        Ok(Replaying { transaction: self.connection.transaction()?, replayer: Replayer::default() })
    }

    /// Hands every line of the journal to `each`, in their order.
    pub(crate) fn journal<E: From<StoreError>>(
        &self,
        mut each: impl FnMut(&str, &JournalLine) -> Result<(), E>,
    ) -> Result<(), E> {
        let sql = format!("SELECT {LINE} FROM journal ORDER BY number");
        let mut query = self.connection.prepare(&sql).map_err(StoreError::from)?;
        let mut rows = query.query([]).map_err(StoreError::from)?;
        while let Some(row) = rows.next().map_err(StoreError::from)? {
            let (key, line, _) = line_of(row)?;
            each(&key, &line)?;
        }
        Ok(())
    }

    /// Takes in what the journal of another workshop has and this one has not, all or nothing; readings recorded
    /// meanwhile by others are seen. [`StoreError::NameTaken`] where both have given a name to different things.
    pub(crate) fn merge(&mut self, other: &Store) -> Result<Merged, StoreError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut ours = Vec::new();
        let sql = format!("SELECT {LINE} FROM journal ORDER BY number");
        {
            let mut query = transaction.prepare(&sql)?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                let (key, line, _) = line_of(row)?;
                ours.push((key, line));
            }
        }
        let mut theirs = Vec::new();
        other.journal(|key, line| -> Result<(), StoreError> {
            let known = transaction.prepare_cached("SELECT 1 FROM journal WHERE key = ?1")?.exists([key])?;
            if !known {
                theirs.push((key.to_owned(), line.clone()));
            }
            Ok(())
        })?;
        let added = theirs.len();
        if added == 0 {
            return Ok(Merged { added, renumbered: Vec::new(), brought: Vec::new() });
        }
        let first_new = if ours.is_empty() { 0 } else { in_one_order(&mut ours, theirs.clone()) };
        let lines = if ours.is_empty() { theirs } else { ours };
        let is_anew = first_new < lines.len() - added;
        let before = if is_anew { numbers(&transaction)? } else { Vec::new() };
        if is_anew {
            empty(&transaction)?;
        }
        let mut replaying = Replaying { transaction, replayer: Replayer::default() };
        let kept = if is_anew { 0 } else { lines.len() - added };
        for (key, line) in lines.iter().skip(kept) {
            replaying.take(key, line)?;
        }
        let brought = renumbered(&replaying.transaction, &numbers(&other.connection)?)?;
        let renumbered = renumbered(&replaying.transaction, &before)?;
        replaying.commit()?;
        Ok(Merged { added, renumbered, brought })
    }
}

/// What people call by a number: its subject, that number and its key, in the order of subjects and numbers.
fn numbers(connection: &Connection) -> Result<Vec<(JournalSubject, i64, String)>, StoreError> {
    let mut numbers = Vec::new();
    for subject in [JournalSubject::Reading, JournalSubject::Event, JournalSubject::Calibration] {
        let sql = "SELECT row, key FROM journal WHERE subject = ?1 AND deed = 'added' ORDER BY row";
        let mut query = connection.prepare_cached(sql)?;
        let mut rows = query.query([subject.text()])?;
        while let Some(row) = rows.next()? {
            numbers.push((subject, row.get(0)?, row.get(1)?));
        }
    }
    Ok(numbers)
}

/// What has another number than `before`; neighbours that moved alike are told together.
fn renumbered(
    connection: &Connection,
    before: &[(JournalSubject, i64, String)],
) -> Result<Vec<Renumbered>, StoreError> {
    let now: HashMap<String, i64> =
        numbers(connection)?.into_iter().map(|(_, row, key)| (key, row)).collect();
    let mut all: Vec<Renumbered> = Vec::new();
    for (subject, was, key) in before {
        let Some(now) = now.get(key).copied().filter(|now| now != was) else { continue };
        match all.last_mut() {
            Some(run)
                if run.subject == *subject && run.last + 1 == *was && run.now - run.first == now - was =>
            {
                run.last = *was;
            }
            _ => all.push(Renumbered { subject: *subject, first: *was, last: *was, now }),
        }
    }
    Ok(all)
}

/// Lays lines into one order, each list in its own; where the first of the second list stands then.
fn in_one_order(ours: &mut Vec<(String, JournalLine)>, theirs: Vec<(String, JournalLine)>) -> usize {
    let timed = |lines: Vec<(String, JournalLine)>, list: u8| {
        // A clock that was set back changes no order within a list.
        let mut latest = LocalInstant::BLANK;
        lines.into_iter().map(move |line| {
            latest = latest.max(line.1.signature.at);
            (latest, list, line)
        })
    };
    let mut all: Vec<_> = timed(std::mem::take(ours), 0).chain(timed(theirs, 1)).collect();
    all.sort_by_key(|(at, list, _)| (*at, *list));
    let first = all.iter().position(|(_, list, _)| *list == 1).unwrap_or(all.len());
    ours.extend(all.into_iter().map(|(_, _, line)| line));
    first
}

/// Makes the journal and all that follows from it anew, without a row.
fn empty(transaction: &Transaction<'_>) -> Result<(), StoreError> {
    let mut made = Vec::new();
    for table in TABLES.into_iter().chain(["journal"]) {
        let sql = "SELECT sql FROM sqlite_schema WHERE tbl_name = ?1 AND sql IS NOT NULL
            ORDER BY type = 'table' DESC";
        let mut query = transaction.prepare_cached(sql)?;
        for sql in query.query_map(params![table], |row| row.get::<_, String>(0))? {
            made.push(sql?);
        }
    }
    for table in TABLES.into_iter().rev().chain(["journal"]) {
        transaction.execute_batch(&format!("DROP TABLE {table}"))?;
    }
    for sql in made {
        transaction.execute_batch(&sql)?;
    }
    Ok(())
}

#[cfg(test)]
#[path = "merge_tests.rs"]
mod tests;
