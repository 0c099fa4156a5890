//! The file of a log, opened to be judged.

use std::collections::HashSet;
use std::fs::File;
use std::io::{Read, Seek as _};
use std::path::Path;

use crate::audit::{AuditError, Log};

/// A reader with all that was read from it.
struct Seen<R> {
    inner: R,
    bytes: Vec<u8>,
}

impl<R: Read> Read for Seen<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.inner.read(buffer)?;
        self.bytes.extend_from_slice(buffer.get(..read).unwrap_or_default());
        Ok(read)
    }
}

/// A log to be judged, with what has to be known before its first row.
pub(super) struct Opened {
    pub(super) input: Box<dyn Read + Send>,
    pub(super) size: Option<u64>,
    /// The numbers of the rows that others correct or strike.
    pub(super) corrected: HashSet<u64>,
}

/// Opens a log; one that says which rows correct others is read twice, from a copy where it comes only once.
pub(super) fn opened(file: &Path) -> Result<Opened, AuditError> {
    let refused = |source| AuditError::Write { what: "copy of the log", source };
    let (input, size) = open(file)?;
    let mut seen = Seen { inner: input, bytes: Vec::new() };
    let has_corrections = Log::open(&mut seen)?.has_corrections();
    let Seen { inner, bytes } = seen;
    let input: Box<dyn Read + Send> = Box::new(std::io::Cursor::new(bytes).chain(inner));
    if !has_corrections {
        return Ok(Opened { input, size, corrected: HashSet::new() });
    }
    let log = Log::open(input)?;
    if size.is_some() {
        let corrected = log.corrected(&mut std::io::sink())?;
        return Ok(Opened { input: open(file)?.0, size, corrected });
    }
    let mut copy = tempfile::tempfile().map_err(refused)?;
    let corrected = log.corrected(&mut std::io::BufWriter::new(&copy))?;
    copy.rewind().map_err(refused)?;
    Ok(Opened { input: Box::new(copy), size: None, corrected })
}

/// A log, and its size where that is known.
fn open(file: &Path) -> Result<(Box<dyn Read + Send>, Option<u64>), AuditError> {
    if file == Path::new("-") {
        return Ok((Box::new(std::io::stdin()), None));
    }
    let refused = |source| AuditError::Read { source };
    let log = File::open(file).map_err(refused)?;
    let found = log.metadata().map_err(refused)?;
    if found.is_dir() {
        return Err(refused(std::io::ErrorKind::IsADirectory.into()));
    }
    Ok((Box::new(log), found.is_file().then_some(found.len())))
}
