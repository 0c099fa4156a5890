//! Writing a file so that a reader finds either the old one or the whole new one.

use std::io::Write as _;
use std::path::Path;

use super::Failure;

/// Writes `bytes` beside their place first and then moves them there. What is no plain file, such as a
/// device, a pipe or a link, is written through and never replaced.
///
/// # Errors
/// [`Failure`] when the file cannot be written; what stood there before is then left as it was.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let special = std::fs::symlink_metadata(path).is_ok_and(|found| !found.is_file());
    let written = if special { std::fs::write(path, bytes) } else { replace(path, bytes) };
    written.map_err(|error| {
        let message = format!("cannot write {}: {error}", path.display());
        Failure::new("file", message, "name a file in a folder that can be written")
    })
}

fn replace(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(path.file_name().ok_or(std::io::ErrorKind::InvalidFilename)?);
    hidden.push(format!(".{}.part", std::process::id()));
    let part = path.with_file_name(hidden);
    let done = std::fs::File::create(&part)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&part, path));
    if done.is_err() {
        // Nothing half written is left behind; that it could not be removed changes no answer.
        let _ = std::fs::remove_file(&part);
    }
    done
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
        assert_eq!(std::fs::read(&file).unwrap(), b"second");
        assert!(write_whole(folder.path(), b"x").is_err());
        assert!(write_whole(Path::new(""), b"x").is_err());
        #[cfg(unix)]
        {
            let link = folder.path().join("link.svg");
            std::os::unix::fs::symlink(&file, &link).unwrap();
            write_whole(&link, b"third").unwrap();
            assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
            assert_eq!(std::fs::read(&file).unwrap(), b"third");
        }
        let left = std::fs::read_dir(folder.path()).unwrap().flatten();
        assert!(left.into_iter().all(|entry| !entry.file_name().to_string_lossy().ends_with(".part")));
    }
}
