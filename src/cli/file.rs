//! Files that the user asked for: written beside their place first and then moved there, so that none is
//! ever left half written under its name. What is no plain file, such as a device, a pipe or a link, is
//! written through and never replaced.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use super::Failure;

/// Writes one file, whole or not at all.
///
/// # Errors
/// [`Failure`] that names the file; what stood there before is then left as it was.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    write_all(&[(path.to_owned(), bytes.to_vec())])
}

/// Writes all files or, as far as the system lets it be, none; a file that stands there is replaced.
///
/// # Errors
/// [`Failure`] that names the file and what the system says.
pub(super) fn write_all(files: &[(PathBuf, Vec<u8>)]) -> Result<(), Failure> {
    let plain: Vec<&(PathBuf, Vec<u8>)> = files.iter().filter(|(path, _)| !is_special(path)).collect();
    let written = plain.iter().try_for_each(|(path, bytes)| named(path, write_part(path, bytes)));
    let placed = written
        .and_then(|()| plain.iter().try_for_each(|(path, _)| named(path, fs::rename(part_of(path), path))));
    if placed.is_err() {
        for (path, _) in plain {
            // What is left behind is only the part beside it; it may not be there at all.
            let _ = fs::remove_file(part_of(path));
        }
    }
    placed?;
    let special = files.iter().filter(|(path, _)| is_special(path));
    special.into_iter().try_for_each(|(path, bytes)| named(path, fs::write(path, bytes)))
}

/// A device, a pipe or a link.
fn is_special(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|found| !found.is_file())
}

fn write_part(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if path.file_name().is_none() {
        return Err(io::ErrorKind::InvalidFilename.into());
    }
    let mut file = File::create(part_of(path))?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Where a file is written first.
fn part_of(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}

fn named(path: &Path, result: io::Result<()>) -> Result<(), Failure> {
    result.map_err(|error| {
        let message = format!("cannot write {}: {error}", path.display());
        Failure::new("file", message, "name a file in a folder that can be written")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_and_a_link_written_through() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("picture.svg");
        write_whole(&file, b"first").unwrap();
        write_whole(&file, b"second").unwrap();
        assert_eq!(fs::read(&file).unwrap(), b"second");
        assert!(write_whole(folder.path(), b"x").is_err());
        assert!(write_whole(Path::new(""), b"x").is_err());
        #[cfg(unix)]
        {
            let link = folder.path().join("link.svg");
            std::os::unix::fs::symlink(&file, &link).unwrap();
            write_whole(&link, b"third").unwrap();
            assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
            assert_eq!(fs::read(&file).unwrap(), b"third");
        }
        let left = fs::read_dir(folder.path()).unwrap().flatten();
        assert!(left.into_iter().all(|entry| !entry.file_name().to_string_lossy().ends_with(".part")));
    }
}
