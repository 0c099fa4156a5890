//! The database: the only code that knows SQLite.

mod backup;
mod before;
mod bicycle;
mod book;
mod changes;
mod cycles;
mod error;
mod evidence;
#[cfg(test)]
#[path = "fixture_tests.rs"]
mod fixture;
mod journal;
mod look_back;
mod merge;
mod own;
mod past;
mod reading;
mod record;
mod replay;
mod schema;
mod search;
mod waiting;
mod workshop_snapshot;
mod wrench;

use std::collections::HashMap;
use std::hash::Hash;
use std::ops::Deref;
use std::path::Path;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, Params, Row, TransactionBehavior};

use crate::workshop::Signature;

pub use book::BookOrigin;
pub use error::StoreError;
pub(crate) use error::Trouble;
pub(crate) use own::{OwnEvidence, TakenIn};
pub(crate) use reading::Appending;

/// Bytes of a database that a snapshot reads where they lie, which saves a copy and a call for each page.
/// While a snapshot is read, SQLite does not cut the file short.
const SNAPSHOT_MAP: i64 = 64 * 1024 * 1024;

/// A database as it stood at one moment; what writes asks for the [`Store`] itself.
pub struct Snapshot(Store);

impl Deref for Snapshot {
    type Target = Store;

    fn deref(&self) -> &Store {
        &self.0
    }
}

/// An open database of the newest schema.
pub struct Store {
    connection: Connection,
    /// Who writes, when and why.
    signature: Signature,
}

impl Store {
    /// Opens the database at `path`, creating it and its folder where needed.
    ///
    /// # Errors
    /// [`StoreError`] when the file cannot be opened, is no database, is locked, or was written by a
    /// newer version of the program; nothing is changed then.
    pub fn open(path: &Path) -> Result<Store, StoreError> {
        if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder)
                .map_err(|source| StoreError::Folder { path: folder.to_owned(), source })?;
        }
        Store::prepare(Connection::open(path)?)
    }

    /// A database that lives as long as the value.
    ///
    /// # Errors
    /// [`StoreError`] when SQLite cannot be started.
    pub fn in_memory() -> Result<Store, StoreError> {
        Store::prepare(Connection::open_in_memory()?)
    }

    /// The same database as it stands now, to be read only: what others write from here on is not seen,
    /// and no statement has to ask for the lock again.
    pub(crate) fn into_snapshot(self) -> Result<Snapshot, StoreError> {
        self.connection.pragma_update(None, "mmap_size", SNAPSHOT_MAP)?;
        self.connection.execute_batch("BEGIN")?;
        Ok(Snapshot(self))
    }

    fn prepare(mut connection: Connection) -> Result<Store, StoreError> {
        connection.busy_handler(Some(waiting::busy_handler()))?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_FKEY, true)?;
        // What was acknowledged survives a loss of power, not only of the process.
        connection.pragma_update(None, "synchronous", "full")?;
        // Whoever is going to write waits for the others before reading what the change rests on.
        connection.set_transaction_behavior(TransactionBehavior::Immediate);
        schema::bring_up_to_date(&mut connection)?;
        Ok(Store { connection, signature: Signature::default() })
    }

    /// What `read` makes of each row that a statement finds.
    fn rows<T>(
        &self,
        sql: &str,
        parameters: impl Params,
        read: impl FnMut(&Row<'_>) -> Result<T, StoreError>,
    ) -> Result<Vec<T>, StoreError> {
        self.connection.prepare_cached(sql)?.query_and_then(parameters, read)?.collect()
    }
}

/// Values by their key, in their order.
fn grouped<K: Eq + Hash, T>(values: impl IntoIterator<Item = (K, T)>) -> HashMap<K, Vec<T>> {
    let mut groups: HashMap<K, Vec<T>> = HashMap::new();
    for (key, value) in values {
        groups.entry(key).or_default().push(value);
    }
    groups
}

/// What an error says where a name has to be the only one of its kind.
fn taken(error: rusqlite::Error, already: impl FnOnce() -> StoreError) -> StoreError {
    let code = error.sqlite_error().map(|error| error.extended_code);
    if code == Some(rusqlite::ffi::SQLITE_CONSTRAINT_UNIQUE) { already() } else { StoreError::Sql(error) }
}

/// Whether a column names the bicycle `?1`, or with none asked for any that is in use.
fn is_of(column: &str, bicycle: Option<i64>) -> String {
    match bicycle {
        Some(_) => format!("{column} = ?1"),
        None => format!("?1 IS NULL AND {column} IN (SELECT id FROM bicycle WHERE retired_at IS NULL)"),
    }
}
