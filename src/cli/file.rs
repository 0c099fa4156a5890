//! The one way in which files are written.
//!
//! A file is written beside its place, under a name that nobody can foresee, and put there in one step
//! when everything went well: nobody ever sees half of it, and a failure leaves what was there before.
//! What is no plain file, such as a device or a pipe, cannot be replaced and is written straight.

use std::fmt::Display;
use std::fs::{self, File, Metadata};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::{Failure, FailureKind};
use crate::sheet::Separator;
use crate::words::cell;

/// Links that are followed at most, as on Linux.
const MOST_LINKS: usize = 40;

/// What becomes of a file that stands in the place already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Older {
    /// The user named it, and it is replaced; its permissions stay, and a link to it stays a link.
    Replaced,
    /// It stays, and the new one is refused.
    Kept,
}

/// A file in the making. Dropped before it is put in its place, it leaves nothing.
#[derive(Debug)]
pub(super) struct AtomicFile {
    /// Where it goes, links followed.
    place: PathBuf,
    older: Older,
    /// Whether it is on the disk before it takes its name.
    synced: bool,
    sink: Sink,
}

#[derive(Debug)]
enum Sink {
    Beside(NamedTempFile),
    /// A device or pipe.
    Straight(File),
}

impl AtomicFile {
    /// Begins a file for `path`; an error of kind `AlreadyExists` when an older one is to be kept.
    pub(super) fn begin(path: &Path, older: Older) -> io::Result<AtomicFile> {
        if path.as_os_str() == "-" {
            let hint = "`-` is no name for a file; name one, such as out.csv, or /dev/stdout";
            return Err(io::Error::new(io::ErrorKind::InvalidInput, hint));
        }
        if older == Older::Kept && fs::symlink_metadata(path).is_ok() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        let found = fs::metadata(path).ok();
        let (place, sink) = match (&found, followed(path)?) {
            (Some(found), _) if found.is_dir() => return Err(io::ErrorKind::IsADirectory.into()),
            (Some(found), Some(place)) if found.is_file() => (place.clone(), beside(&place, Some(found))?),
            (Some(_), _) => (path.to_owned(), Sink::Straight(File::options().append(true).open(path)?)),
            (None, Some(place)) => (place.clone(), beside(&place, None)?),
            (None, None) => return Err(io::ErrorKind::NotFound.into()),
        };
        Ok(AtomicFile { place, older, synced: true, sink })
    }

    /// Begins a file for the first free one of the places; nothing that stands there is touched.
    pub(super) fn begin_in_first_free(places: impl IntoIterator<Item = PathBuf>) -> io::Result<AtomicFile> {
        let begun = places.into_iter().map(|place| AtomicFile::begin(&place, Older::Kept));
        let mut free = begun.filter(|begun| !begun.as_ref().is_err_and(is_taken));
        free.next().unwrap_or_else(|| Err(io::ErrorKind::AlreadyExists.into()))
    }

    /// For a long result that the same command makes again at any time: nobody waits until it is on the
    /// disk, which takes about a third as long as the audit of its log.
    pub(super) fn made_again_at_will(self) -> AtomicFile {
        AtomicFile { synced: false, ..self }
    }

    /// Where what was written stands for now, for a writer that wants a path.
    pub(super) fn draft(&self) -> &Path {
        match &self.sink {
            Sink::Beside(file) => file.path(),
            Sink::Straight(_) => &self.place,
        }
    }

    /// Where it goes, links followed.
    pub(super) fn place(&self) -> &Path {
        &self.place
    }

    /// Whether nothing can have stood in its place.
    pub(super) fn is_new(&self) -> bool {
        self.older == Older::Kept
    }

    /// Puts the file in its place; after an error nothing new is left there.
    pub(super) fn put_in_place(self) -> io::Result<()> {
        let place = self.place.clone();
        self.put_in_first_free([place]).map(drop)
    }

    /// Puts the file in the first free one of the places, and says which; one that is to be replaced is free.
    pub(super) fn put_in_first_free(self, places: impl IntoIterator<Item = PathBuf>) -> io::Result<PathBuf> {
        let mut file = match self.sink {
            Sink::Straight(_) => return Ok(self.place),
            Sink::Beside(file) => file,
        };
        if self.synced {
            file.as_file().sync_all()?;
        }
        for place in places {
            let placed = match self.older {
                Older::Replaced => file.persist(&place),
                Older::Kept => file.persist_noclobber(&place),
            };
            match placed {
                Ok(_) => {
                    sync_folder(&place);
                    return Ok(place);
                }
                Err(refused) if is_taken(&refused.error) => file = refused.file,
                Err(refused) => return Err(refused.error),
            }
        }
        Err(io::ErrorKind::AlreadyExists.into())
    }
}

fn is_taken(error: &io::Error) -> bool {
    error.kind() == io::ErrorKind::AlreadyExists
}

impl Write for AtomicFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.sink {
            Sink::Beside(file) => file.write(bytes),
            Sink::Straight(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.sink {
            Sink::Beside(file) => file.flush(),
            Sink::Straight(file) => file.flush(),
        }
    }
}

/// A CSV file in the making, with the failure to tell where it cannot be written.
pub(super) struct CsvFile<F> {
    writer: csv::Writer<AtomicFile>,
    refused: F,
}

impl<F: Fn(&io::Error) -> Failure> CsvFile<F> {
    pub(super) fn new(file: AtomicFile, refused: F) -> CsvFile<F> {
        CsvFile::parted(file, Separator::COMMA, refused)
    }

    /// One whose fields are parted as those of the file that they come from.
    pub(super) fn parted(file: AtomicFile, separator: Separator, refused: F) -> CsvFile<F> {
        // Whoever writes rows of a broken file back has rows of any length.
        let mut builder = csv::WriterBuilder::new();
        CsvFile { writer: builder.flexible(true).delimiter(separator.byte()).from_writer(file), refused }
    }

    pub(super) fn write<T: AsRef<[u8]>>(&mut self, row: impl IntoIterator<Item = T>) -> Result<(), Failure> {
        self.writer.write_record(row).map_err(|error| (self.refused)(&error.into()))
    }

    /// Writes fields as cells of a sheet, which `of_cell` reads.
    pub(super) fn write_cells<T: AsRef<str>>(
        &mut self,
        row: impl IntoIterator<Item = T>,
    ) -> Result<(), Failure> {
        self.write(row.into_iter().map(|field| cell(field.as_ref()).into_owned()))
    }

    /// The file with all its rows, not yet in its place.
    pub(super) fn finish(self) -> Result<AtomicFile, Failure> {
        self.writer.into_inner().map_err(|error| (self.refused)(error.error()))
    }
}

/// A new file beside `place`, with the permissions of the one that it replaces.
fn beside(place: &Path, replaced: Option<&Metadata>) -> io::Result<Sink> {
    if place.file_name().is_none() {
        return Err(io::ErrorKind::InvalidFilename.into());
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".evenclamp-");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let file = builder.tempfile_in(folder_of(place)).map_err(|error| without_draft_name(&error))?;
    if let Some(replaced) = replaced {
        file.as_file().set_permissions(replaced.permissions())?;
    }
    Ok(Sink::Beside(file))
}

/// The system's word without the name of the draft, which tempfile adds and nobody has typed.
fn without_draft_name(error: &io::Error) -> io::Error {
    let text = error.to_string();
    io::Error::new(error.kind(), text.split(" at path ").next().unwrap_or(&text).to_owned())
}

fn folder_of(place: &Path) -> &Path {
    place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The end of a chain of links, whether something stands there or not; none for the name of an open file
/// (such as `/dev/stdout`), which is no place where a file can be put.
fn followed(path: &Path) -> io::Result<Option<PathBuf>> {
    let mut place = path.to_owned();
    for _ in 0..MOST_LINKS {
        if place.starts_with("/proc") || place.starts_with("/dev/fd") {
            return Ok(None);
        }
        let Ok(to) = fs::read_link(&place) else { return Ok(Some(place)) };
        place = folder_of(&place).join(to);
    }
    Err(io::Error::other("too many links, or a circle of them"))
}

/// Lets the new name survive a loss of power, where the system can do that.
fn sync_folder(place: &Path) {
    #[cfg(unix)]
    let _ = File::open(folder_of(place)).and_then(|folder| folder.sync_all());
    #[cfg(not(unix))]
    let _ = place;
}

/// Writes one file that the user named, whole or not at all: an older one is replaced, or left as it was.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let written = AtomicFile::begin(path, Older::Replaced).and_then(|mut file| {
        file.write_all(bytes)?;
        file.put_in_place()
    });
    written.map_err(|error| unwritable(path, &error))
}

pub(super) fn unreadable(path: &Path, error: impl Display, hint: &str) -> Failure {
    Failure::new(FailureKind::File, format!("cannot read {}: {error}", path.display()), hint)
}

pub(super) fn unwritable(path: &Path, error: &io::Error) -> Failure {
    let message = format!("cannot write {}: {error}", path.display());
    Failure::new(FailureKind::File, message, "name a file in a folder that can be written")
}

#[cfg(test)]
#[path = "file_tests.rs"]
mod tests;
