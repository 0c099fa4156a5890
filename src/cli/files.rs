//! Files that commands write beside the database.

use std::path::Path;

use super::Failure;

/// Writes a whole file.
///
/// # Errors
/// [`Failure`] when it cannot be written.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    std::fs::write(path, bytes).map_err(|error| {
        let message = format!("cannot write {}: {error}", path.display());
        Failure::new("file", message, "name a file in a folder that can be written")
    })
}
