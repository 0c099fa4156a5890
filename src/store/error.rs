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
    /// A stored wrench that does not pass its checks.
    #[error("the stored wrench `{name}` is damaged: {reason}")]
    DamagedWrench {
        /// Its name.
        name: String,
        /// What is wrong.
        reason: String,
    },
    /// A bicycle or joint has the name already.
    #[error("the name `{0}` is taken already")]
    NameTaken(String),
    /// A stored bicycle, joint, reading or event that cannot be read.
    #[error("the stored record `{name}` is damaged: {reason}")]
    DamagedRecord {
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

impl StoreError {
    /// True when the place of the database cannot be written.
    #[must_use]
    pub fn is_read_only(&self) -> bool {
        match self {
            StoreError::Folder { .. } => true,
            StoreError::Sql(error) => matches!(
                error.sqlite_error_code(),
                Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen)
            ),
            _ => false,
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            StoreError::Folder { .. } => "name another file with --db PATH or EVENCLAMP_DB".to_owned(),
            StoreError::Newer { .. } => {
                "use the newer evenclamp; this one has not touched the file".to_owned()
            }
            StoreError::DamagedBook(_) => "load it again with `evenclamp book load --compiled-in`".to_owned(),
            StoreError::WrenchExists(_) => {
                "choose another name (a retired wrench keeps its own), or record a calibration with `evenclamp wrench calibrated`".to_owned()
            }
            StoreError::NameTaken(_) => "choose another name".to_owned(),
            StoreError::NotCorrectable(_) => {
                "`evenclamp history BIKE/JOINT` lists the readings with their numbers".to_owned()
            }
            StoreError::NoBackup { .. } => {
                "name a file that `evenclamp backup` has written; nothing was changed".to_owned()
            }
            StoreError::DamagedRecord { .. } | StoreError::DamagedWrench { .. } => {
                "restore the database from a backup".to_owned()
            }
            StoreError::Sql(error) => match error.sqlite_error_code() {
                Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                    "another program is writing to it; try again when it has finished".to_owned()
                }
                Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt) => {
                    "the file is no sound database; move it away or name another with --db PATH".to_owned()
                }
                Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen) => {
                    "the file or its folder cannot be written; name another with --db PATH".to_owned()
                }
                Some(ErrorCode::SystemIoFailure) => {
                    "the disk cannot be read or written; see whether it is full and make room; nothing was changed".to_owned()
                }
                Some(ErrorCode::DiskFull) => "the disk is full; make room and repeat the command".to_owned(),
                _ => "nothing was changed".to_owned(),
            },
        }
    }
}
