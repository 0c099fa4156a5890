//! What can go wrong with the database, in the user's words.

use std::path::PathBuf;

use rusqlite::ErrorCode;

/// A failure of the database. Nothing of the interrupted change was kept.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// The folder of the database cannot be made.
    #[error("cannot make the folder {}: {source}", path.display())]
    Folder {
        /// The folder.
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// Written by a newer version of the program.
    #[error("the database has schema {found}, this version knows {known}")]
    Newer {
        /// Schema number found.
        found: i64,
        /// Newest schema number known here.
        known: i64,
    },
    /// The stored spec book does not pass its checks.
    #[error("the spec book in the database is damaged: {0}")]
    DamagedBook(String),
    /// A name that is taken already.
    #[error("a wrench called `{0}` is registered already")]
    WrenchExists(String),
    /// A bicycle or joint has the name already.
    #[error("the name `{0}` is taken already")]
    NameTaken(String),
    /// A bicycle has two joints of one name, each from another workshop.
    #[error("{bicycle} has two joints called `{joint}`")]
    JointNameTaken {
        /// The bicycle.
        bicycle: String,
        /// What both of its joints are called.
        joint: String,
    },
    /// A stored wrench, bicycle, joint, reading or event that cannot be read or does not pass its checks.
    #[error("the stored {what} `{name}` is damaged: {reason}")]
    DamagedRecord {
        /// What it is: a wrench, or any other record.
        what: &'static str,
        /// What it is called.
        name: String,
        /// What is wrong.
        reason: String,
    },
    /// A reading that was corrected before, or that is not there.
    #[error("reading {0} cannot be corrected: it is not one of this joint, or was corrected before")]
    NotCorrectable(i64),
    /// A file that is no backup of this program.
    #[error("{} is no sound backup: {reason}", path.display())]
    NoBackup {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        reason: String,
    },
    /// SQLite's own word.
    #[error("database: {0}")]
    Sql(#[from] rusqlite::Error),
}

/// What stands in the way of a database.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Trouble {
    /// Its place cannot be written.
    ReadOnly,
    /// Another program is writing to it.
    Busy,
    /// The file is no sound database.
    NoDatabase,
    /// The disk cannot be read or written.
    Disk,
    /// The disk is full.
    Full,
}

impl StoreError {
    /// What stands in the way of the database, where that is known.
    pub(crate) fn trouble(&self) -> Option<Trouble> {
        let StoreError::Sql(error) = self else {
            return matches!(self, StoreError::Folder { .. }).then_some(Trouble::ReadOnly);
        };
        match error.sqlite_error_code()? {
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Some(Trouble::Busy),
            ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt => Some(Trouble::NoDatabase),
            ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen => {
                Some(Trouble::ReadOnly)
            }
            ErrorCode::SystemIoFailure => Some(Trouble::Disk),
            ErrorCode::DiskFull => Some(Trouble::Full),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Result codes of <https://sqlite.org/rescode.html>.
    #[test]
    fn result_codes_of_sqlite_say_what_stands_in_the_way() {
        for (code, trouble) in [
            (5, Some(Trouble::Busy)),
            (6, Some(Trouble::Busy)),
            (11, Some(Trouble::NoDatabase)),
            (26, Some(Trouble::NoDatabase)),
            (3, Some(Trouble::ReadOnly)),
            (8, Some(Trouble::ReadOnly)),
            (14, Some(Trouble::ReadOnly)),
            (10, Some(Trouble::Disk)),
            (13, Some(Trouble::Full)),
            (19, None),
        ] {
            let error = rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None);
            assert_eq!(StoreError::from(error).trouble(), trouble, "{code}");
        }
    }
}
