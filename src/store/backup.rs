//! Backup and restore by SQLite's online backup: a running workshop need not stop for it.

use std::path::Path;
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use super::{Store, StoreError, schema};

/// Pages copied at a time, so that others may write in between.
const PAGES: std::ffi::c_int = 1000;

impl Store {
    /// Copies the whole database into an empty file, which is then checked; after an error the file is worth
    /// nothing.
    pub(crate) fn back_up(&self, to: &Path) -> Result<(), StoreError> {
        let mut copy = Connection::open(to)?;
        copy_all(&self.connection, &mut copy)?;
        // A backup is one file that can be carried away: no log beside it.
        copy.pragma_update(None, "journal_mode", "delete")?;
        match integrity(&copy)? {
            None => Ok(()),
            Some(reason) => Err(StoreError::NoBackup { path: to.to_owned(), reason }),
        }
    }

    /// Replaces the whole database by a backup, after the backup was checked: [`StoreError::NoBackup`] when it is
    /// not sound, [`StoreError::Newer`] when a newer version wrote it, and nothing is changed then.
    pub(crate) fn restore(&mut self, from: &Path) -> Result<(), StoreError> {
        let unsound = |reason: String| StoreError::NoBackup { path: from.to_owned(), reason };
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let backup = Connection::open_with_flags(from, flags).map_err(|error| unsound(error.to_string()))?;
        if let Some(reason) = integrity(&backup).unwrap_or_else(|error| Some(error.to_string())) {
            return Err(unsound(reason));
        }
        if schema::check(&backup)? == 0 {
            return Err(unsound("it holds no workshop book".to_owned()));
        }
        copy_all(&backup, &mut self.connection)?;
        schema::bring_up_to_date(&mut self.connection)
    }
}

fn copy_all(from: &Connection, to: &mut Connection) -> Result<(), rusqlite::Error> {
    Backup::new(from, to)?.run_to_completion(PAGES, Duration::from_millis(5), None)
}

fn integrity(connection: &Connection) -> Result<Option<String>, rusqlite::Error> {
    let said: String = connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    Ok((said != "ok").then_some(said))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::fixture::store_with_joint;

    #[test]
    fn a_backup_is_one_sound_file_and_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("b.db");
        let mut store = Store::open(&folder.path().join("book.db")).unwrap();
        store_with_joint(2).back_up(&path).unwrap();
        store.restore(&path).unwrap();
        std::fs::remove_file(&path).unwrap();
        // The book itself keeps a log beside it, a backup does not.
        store.back_up(&path).unwrap();
        let mode = |connection: &Connection| -> String {
            connection.query_row("PRAGMA journal_mode", [], |row| row.get(0)).unwrap()
        };
        let modes = [mode(&store.connection), mode(&Connection::open(&path).unwrap())];
        assert_eq!(modes, ["wal", "delete"]);
        let mut other = Store::in_memory().unwrap();
        other.restore(&path).unwrap();
        assert_eq!(other.bicycles(true).unwrap(), store.bicycles(true).unwrap());
    }

    #[test]
    fn what_is_no_backup_of_this_program_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = store_with_joint(2);
        let path = |name: &str| folder.path().join(name);
        std::fs::write(path("letter"), "to the club").unwrap();
        Connection::open(path("other")).unwrap().execute_batch("CREATE TABLE t (x)").unwrap();
        for name in ["letter", "other", "nowhere"] {
            let refused = store.restore(&path(name));
            assert!(matches!(refused, Err(StoreError::NoBackup { .. })), "{name}: {refused:?}");
        }
        store.back_up(&path("newer")).unwrap();
        let newer = Connection::open(path("newer")).unwrap();
        newer.pragma_update(None, "user_version", 9999).unwrap();
        assert!(matches!(store.restore(&path("newer")), Err(StoreError::Newer { found: 9999, .. })));
        assert!(matches!(Store::open(&path("newer")), Err(StoreError::Newer { found: 9999, .. })));
        assert_eq!(store.bicycles(true).unwrap().len(), 1);
    }
}
