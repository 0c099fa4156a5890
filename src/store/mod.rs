//! The database: the only code that knows SQLite.

mod backup;
mod bicycle;
mod book;
mod cycles;
mod error;
mod event;
mod reading;
mod schema;
mod shop;
mod wrench;

use std::path::Path;
use std::time::Duration;

use rusqlite::Connection;

pub use bicycle::{StoredBicycle, StoredJoint};
pub use book::{BookOrigin, Found};
pub use error::StoreError;
pub use reading::{Appending, Logged, NewReading};
pub use shop::{JudgedBicycle, Shop};
pub use wrench::RegisteredWrench;

/// How long a command waits for another one that is writing.
const BUSY_WAIT: Duration = Duration::from_secs(10);

/// An open database of the newest schema.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
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

    fn prepare(mut connection: Connection) -> Result<Store, StoreError> {
        connection.busy_timeout(BUSY_WAIT)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        // What was acknowledged survives a loss of power, not only of the process.
        connection.pragma_update(None, "synchronous", "full")?;
        schema::bring_up_to_date(&mut connection)?;
        Ok(Store { connection })
    }
}
