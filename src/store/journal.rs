//! The journal in the database: a line for every change, written in the same transaction as the change.

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Deref;

use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};

use super::bicycle::instant;
use super::{Store, StoreError};
use crate::sheet::{KeptRecord, named_fields};
use crate::workshop::{Content, Deed, JournalLine, JournalSubject, Signature};

/// A transaction that writes down what it changes; nothing is kept until [`Writing::commit`].
pub(super) struct Writing<'a> {
    transaction: Transaction<'a>,
    journal: Journal,
}

impl Deref for Writing<'_> {
    type Target = Connection;

    fn deref(&self) -> &Connection {
        &self.transaction
    }
}

impl Store {
    /// Names who changes what from here on, and why; when, too.
    pub(crate) fn sign(&mut self, signature: Signature) {
        self.signature = signature;
    }

    pub(super) fn write(&mut self) -> Result<Writing<'_>, StoreError> {
        let signature = self.signature.clone();
        let transaction = self.connection.transaction()?;
        let journal = Journal::open(&transaction, signature)?;
        Ok(Writing { transaction, journal })
    }
}

impl Writing<'_> {
    pub(super) fn signature(&self) -> Signature {
        self.journal.signature.clone()
    }

    pub(super) fn commit(self) -> Result<(), StoreError> {
        Ok(self.transaction.commit()?)
    }

    /// The line of a thing that was added as a part of another, where it is one.
    pub(super) fn added(
        &self,
        thing: (JournalSubject, i64),
        whole: Option<(JournalSubject, i64)>,
        content: Content,
    ) -> Result<(), StoreError> {
        self.journal.added(self, thing, whole, content)
    }

    /// The key of the line that added a thing.
    pub(super) fn key_of(&self, thing: (JournalSubject, i64)) -> Result<String, StoreError> {
        self.journal.key_of(self, thing)
    }

    /// The same, signed otherwise.
    pub(super) fn added_by(
        &self,
        signature: Signature,
        thing: (JournalSubject, i64),
        whole: Option<(JournalSubject, i64)>,
        content: Content,
    ) -> Result<(), StoreError> {
        self.journal.append(self, signature, (Deed::Added, thing, whole), content)
    }

    /// The line of a record that was changed; none where nothing differs.
    pub(super) fn changed<R: KeptRecord>(
        &self,
        thing: (JournalSubject, i64),
        from: &R,
        to: &R,
    ) -> Result<(), StoreError> {
        let columns = named_fields(from).zip(named_fields(to));
        let content = Content::between(columns.map(|((column, from), (_, to))| (column, from, to)));
        content.map_or(Ok(()), |content| self.altered(Deed::Changed, thing, content))
    }

    /// The line of a thing that was changed or removed.
    pub(super) fn altered(
        &self,
        deed: Deed,
        thing: (JournalSubject, i64),
        content: Content,
    ) -> Result<(), StoreError> {
        self.journal.append(self, self.journal.signature.clone(), (deed, thing, None), content)
    }
}

/// The own chain of a database, to be added to.
pub(super) struct Journal {
    workshop: String,
    signature: Signature,
    /// The key of the newest line.
    newest: RefCell<String>,
    /// The keys of the joints and wrenches that were asked for: a log names few of them, again and again.
    keys: RefCell<HashMap<(JournalSubject, i64), String>>,
}

impl Journal {
    pub(super) fn open(connection: &Connection, signature: Signature) -> Result<Journal, StoreError> {
        let workshop: String = connection.query_row("SELECT name FROM workshop", [], |row| row.get(0))?;
        let sql = "SELECT key FROM journal WHERE workshop = ?1 ORDER BY number DESC LIMIT 1";
        let newest = connection.prepare_cached(sql)?.query_row([&workshop], |row| row.get(0)).optional()?;
        let newest = RefCell::new(newest.unwrap_or_default());
        Ok(Journal { workshop, signature, newest, keys: RefCell::default() })
    }

    pub(super) fn added(
        &self,
        connection: &Connection,
        thing: (JournalSubject, i64),
        whole: Option<(JournalSubject, i64)>,
        content: Content,
    ) -> Result<(), StoreError> {
        self.append(connection, self.signature.clone(), (Deed::Added, thing, whole), content)
    }

    pub(super) fn append(
        &self,
        connection: &Connection,
        signature: Signature,
        (deed, thing, whole): (Deed, (JournalSubject, i64), Option<(JournalSubject, i64)>),
        content: Content,
    ) -> Result<(), StoreError> {
        let of = if deed == Deed::Added { String::new() } else { self.key_of(connection, thing)? };
        let whole = whole.map(|whole| self.key_of(connection, whole)).transpose()?.unwrap_or_default();
        let before = self.newest.take();
        let workshop = self.workshop.clone();
        let line = JournalLine { workshop, signature, deed, subject: thing.0, of, whole, content, before };
        let key = line.key();
        insert_line(connection, &line, &key, (deed == Deed::Added).then_some(thing.1))?;
        self.newest.replace(key);
        Ok(())
    }
}

impl Journal {
    fn key_of(&self, connection: &Connection, thing: (JournalSubject, i64)) -> Result<String, StoreError> {
        if !matches!(thing.0, JournalSubject::Joint | JournalSubject::Wrench) {
            return key_of(connection, thing);
        }
        if let Some(known) = self.keys.borrow().get(&thing) {
            return Ok(known.clone());
        }
        let key = key_of(connection, thing)?;
        self.keys.borrow_mut().insert(thing, key.clone());
        Ok(key)
    }
}

/// The key of the line that added a thing.
pub(super) fn key_of(
    connection: &Connection,
    (subject, row): (JournalSubject, i64),
) -> Result<String, StoreError> {
    let sql = "SELECT key FROM journal WHERE subject = ?1 AND row = ?2 AND deed = 'added'";
    Ok(connection.prepare_cached(sql)?.query_row(params![subject.text(), row], |row| row.get(0))?)
}

pub(super) fn insert_line(
    connection: &Connection,
    line: &JournalLine,
    key: &str,
    row: Option<i64>,
) -> Result<(), StoreError> {
    let sql = "INSERT INTO journal (key, workshop, recorded_at, who, deed, subject, of, whole, content, why, before, row)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)";
    connection.prepare_cached(sql)?.execute(params![
        key,
        line.workshop,
        line.signature.at.to_string(),
        line.signature.who,
        line.deed.text(),
        line.subject.text(),
        line.of,
        line.whole,
        line.content.to_string(),
        line.signature.why,
        line.before,
        row,
    ])?;
    Ok(())
}

/// The columns that [`line_of`] reads, in its order.
pub(super) const LINE: &str =
    "key, workshop, recorded_at, who, deed, subject, of, whole, content, why, before, row";

/// A stored line with its key and, where it added something, the number of that.
pub(super) fn line_of(row: &Row<'_>) -> Result<(String, JournalLine, Option<i64>), StoreError> {
    let key: String = row.get(0)?;
    let wrong = |what: &str| StoreError::DamagedRecord {
        what: "line of the journal",
        name: key.clone(),
        reason: format!("its {what} cannot be read"),
    };
    let line = JournalLine {
        workshop: row.get(1)?,
        signature: Signature {
            at: instant(row.get_ref(2)?.as_str().unwrap_or_default())?,
            who: row.get(3)?,
            why: row.get(9)?,
        },
        deed: Deed::parse(&row.get::<_, String>(4)?).ok_or_else(|| wrong("deed"))?,
        subject: JournalSubject::parse(&row.get::<_, String>(5)?).ok_or_else(|| wrong("subject"))?,
        of: row.get(6)?,
        whole: row.get(7)?,
        content: Content::kept(row.get(8)?),
        before: row.get(10)?,
    };
    let number = row.get(11)?;
    Ok((key, line, number))
}
