//! What a log looks like, told by its first lines.

use std::io::{self, BufRead as _, BufReader, Read};

use crate::sheet::Separator;

/// Bytes in which the header of a log ends.
const LONGEST_HEADER: u64 = 64 * 1024;

/// How the fields of a log are parted, and where they stand.
pub(super) struct LogForm {
    pub(super) separator: Separator,
    /// The line of its header, behind rows without a text.
    pub(super) header_line: u64,
    /// What is to be added to the number of a line as the reader of CSV counts it.
    pub(super) lines_before: u64,
}

/// Reads a log up to its header; the log, from that on.
pub(super) fn form_of(source: impl Read) -> io::Result<(LogForm, impl Read)> {
    let (mut source, mut front, mut empty) = (BufReader::new(source), Vec::new(), 0);
    while source.by_ref().take(LONGEST_HEADER).read_until(b'\n', &mut front)? > 0
        && Separator::parts_nothing(&front)
    {
        empty += 1;
        front.clear();
    }
    // The reader leaves the second half of a line's end of two characters to the line behind it.
    let lines_before = empty + u64::from(front.ends_with(b"\r\n"));
    let form = LogForm { separator: Separator::of_header(&front), header_line: empty + 1, lines_before };
    Ok((form, io::Cursor::new(front).chain(source)))
}
