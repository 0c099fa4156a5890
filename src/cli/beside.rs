//! Result files: written beside their place and put there only when everything went well.

use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::Failure;

/// A result file in the making. Dropped before [`Beside::put_in_place`], it leaves nothing.
#[derive(Debug)]
pub(super) struct Beside {
    path: PathBuf,
    writer: Writer,
}

#[derive(Debug)]
enum Writer {
    Beside(NamedTempFile),
    /// A device or pipe, which nothing can be put in the place of.
    Straight(File),
}

impl Beside {
    /// Begins a result file for `path`.
    ///
    /// # Errors
    /// [`Failure`] when nothing can be written there.
    pub(super) fn begin(path: &Path) -> Result<Beside, Failure> {
        let writer = writer_for(path).map_err(|error| refused(path, &error))?;
        Ok(Beside { path: path.to_owned(), writer })
    }

    /// Puts the file in its place, over an older one if there is one.
    ///
    /// # Errors
    /// [`Failure`] when that fails; nothing new is left there then.
    pub(super) fn put_in_place(self) -> Result<(), Failure> {
        match self.writer {
            Writer::Straight(_) => Ok(()),
            Writer::Beside(file) => {
                file.persist(&self.path).map(drop).map_err(|error| refused(&self.path, &error.error))
            }
        }
    }
}

fn writer_for(path: &Path) -> io::Result<Writer> {
    match std::fs::metadata(path) {
        Ok(found) if found.is_dir() => Err(io::ErrorKind::IsADirectory.into()),
        Ok(found) if !found.is_file() => Ok(Writer::Straight(File::options().write(true).open(path)?)),
        _ => {
            let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
            let mut builder = tempfile::Builder::new();
            builder.prefix(".evenclamp-");
            #[cfg(unix)]
            builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
            Ok(Writer::Beside(builder.tempfile_in(folder.unwrap_or(Path::new(".")))?))
        }
    }
}

fn refused(path: &Path, error: &io::Error) -> Failure {
    let message = format!("cannot write it: {error}");
    Failure::new("output", message, "name a file in a folder that can be written")
        .at(path.display().to_string())
}

impl Write for Beside {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.writer {
            Writer::Beside(file) => file.write(bytes),
            Writer::Straight(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.writer {
            Writer::Beside(file) => file.flush(),
            Writer::Straight(file) => file.flush(),
        }
    }
}
