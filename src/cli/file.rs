//! Writing a file so that a reader finds either the old one or the whole new one.

use std::io::Write as _;
use std::path::Path;

use super::Failure;

/// Writes `bytes` beside their place first and then moves them there.
///
/// # Errors
/// [`Failure`] when the file cannot be written; what stood there before is then left as it was.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let written = path.file_name().ok_or(std::io::ErrorKind::IsADirectory.into()).and_then(|name| {
        let mut hidden = std::ffi::OsString::from(".");
        hidden.push(name);
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
    });
    written.map_err(|error: std::io::Error| {
        let message = format!("cannot write {}: {error}", path.display());
        Failure::new("file", message, "name a file in a folder that can be written")
    })
}
