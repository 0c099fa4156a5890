//! Files that the user asked for: written beside their place first, so that none is ever left half
//! written under its name.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use super::Failure;

/// Writes all files or, as far as the system lets it be, none; a file that stands there is replaced.
///
/// # Errors
/// [`Failure`] that names the file and what the system says.
pub(super) fn write_all(files: &[(PathBuf, Vec<u8>)]) -> Result<(), Failure> {
    let written = files.iter().try_for_each(|(path, bytes)| named(path, write_part(path, bytes)));
    let placed = written
        .and_then(|()| files.iter().try_for_each(|(path, _)| named(path, fs::rename(part_of(path), path))));
    if placed.is_err() {
        for (path, _) in files {
            // What is left behind is only the part beside it; it may not be there at all.
            let _ = fs::remove_file(part_of(path));
        }
    }
    placed
}

fn write_part(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    let mut file = File::create(part_of(path))?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Where a file is written first.
fn part_of(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.part"))
}

fn named(path: &Path, result: io::Result<()>) -> Result<(), Failure> {
    result.map_err(|error| Failure {
        kind: "file",
        message: format!("cannot write {}: {error}", path.display()),
        hint: None,
        at: None,
    })
}
