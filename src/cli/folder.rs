//! Several files that are written into one folder, all or none.

use std::fs;
use std::io::{self, Write as _};
use std::path::Path;

use tempfile::TempDir;

use super::file::{AtomicFile, Older, unwritable};
use super::{Failure, FailureKind};

/// A folder that files are written to, made where it is not there.
pub(super) struct Folder<'a> {
    path: &'a Path,
    older: Older,
    /// The folders made for it, the innermost first.
    made: Vec<&'a Path>,
}

impl<'a> Folder<'a> {
    /// Makes the folder, after having seen that none of the files to be written is there unless older
    /// ones are to be replaced.
    pub(super) fn open<S: AsRef<Path>>(
        path: &'a Path,
        names: impl IntoIterator<Item = S>,
        replace: bool,
    ) -> Result<Folder<'a>, Failure> {
        let older = if replace { Older::Replaced } else { Older::Kept };
        let mut places = names.into_iter().map(|name| path.join(name));
        if let Some(taken) = places.find(|place| !replace && fs::symlink_metadata(place).is_ok()) {
            return Err(Failure::new(
                FailureKind::File,
                format!("{} stands there already; nothing was written", taken.display()),
                "name another folder, or say --replace",
            ));
        }
        let made = path.ancestors().take_while(|folder| !folder.as_os_str().is_empty() && !folder.exists());
        let folder = Folder { path, older, made: made.collect() };
        fs::create_dir_all(path).map_err(|error| {
            let message = format!("cannot make the folder {}: {error}", path.display());
            Failure::new(FailureKind::File, message, "name a folder that can be written")
        })?;
        Ok(folder)
    }

    /// Begins a file of the folder.
    pub(super) fn begin(&self, name: &str) -> Result<AtomicFile, Failure> {
        let path = self.path.join(name);
        AtomicFile::begin(&path, self.older).map_err(|error| unwritable(&path, &error))
    }

    /// Writes files of the folder by their names, all or none.
    pub(super) fn write_all(&self, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
        put_all(files.iter().map(|(name, bytes)| self.file(name, bytes)).collect::<Result<_, _>>()?)
    }

    /// A file of the folder with all its bytes, not yet in its place.
    fn file(&self, name: &str, bytes: &[u8]) -> Result<AtomicFile, Failure> {
        let mut file = self.begin(name)?;
        file.write_all(bytes).map_err(|error| self.unwritable(name, &error))?;
        Ok(file)
    }

    /// The failure to write a file of the folder.
    pub(super) fn unwritable(&self, name: &str, error: &io::Error) -> Failure {
        unwritable(&self.path.join(name), error)
    }
}

impl Drop for Folder<'_> {
    /// Takes folders away again that were made for nothing; one that holds something stays.
    fn drop(&mut self) {
        for folder in &self.made {
            let _ = fs::remove_dir(folder);
        }
    }
}

/// A folder for what nobody is to keep.
pub(super) fn throw_away() -> Result<TempDir, Failure> {
    tempfile::tempdir().map_err(|error| {
        let message = format!("cannot make a throw-away folder: {error}");
        Failure::new(FailureKind::File, message, "see that TMPDIR can be written")
    })
}

/// Puts files in their places, all or, as far as the system lets it be, none.
pub(super) fn put_all(files: Vec<AtomicFile>) -> Result<(), Failure> {
    let mut placed = Vec::new();
    for file in files {
        let (place, is_new) = (file.place().to_owned(), file.is_new());
        if let Err(error) = file.put_in_place() {
            for made in placed {
                // What this run has made is taken away again; what it has replaced cannot come back.
                let _ = fs::remove_file(made);
            }
            return Err(unwritable(&place, &error));
        }
        if is_new {
            placed.push(place);
        }
    }
    Ok(())
}

#[cfg(test)]
#[path = "folder_tests.rs"]
mod tests;
