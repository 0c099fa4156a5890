//! The bytes of a log, unpacked where packed, in chunks that end with a record.

use std::io::{self, BufReader, Read};

use super::super::AuditError;
use super::columns::AuditColumns;
use super::quoted::{QuotedRecord, last_end};
use crate::sheet::Separator;

/// Bytes of a chunk: small enough to stay in a core's own cache from reading to judging.
const CHUNK: usize = 128 * 1024;
/// Bytes in which most headers end; what is read with them is moved about once more.
const USUAL_HEADER: usize = 4 * 1024;
const LONGEST_LINE: usize = 1024 * 1024;
const MAGIC: usize = 4;

pub(in crate::audit) struct Chunks<'a> {
    input: Box<dyn Read + Send + 'a>,
    /// What was read beyond the last record handed out.
    carried: Vec<u8>,
    quoted: QuotedRecord,
    ended: bool,
    count: u64,
}

/// A chunk that was handed out: the first `length` bytes of the buffer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::audit) struct Chunk {
    pub(in crate::audit) number: u64,
    pub(in crate::audit) length: usize,
}

impl<'a> Chunks<'a> {
    /// Unpacks a log that is packed with gzip or zstd, told by its first bytes; several packed one behind
    /// the other are one log.
    pub(in crate::audit) fn new(mut input: impl Read + Send + 'a) -> Result<Chunks<'a>, AuditError> {
        let refused = |source| AuditError::Read { source };
        let mut magic = Vec::with_capacity(MAGIC);
        input.by_ref().take(MAGIC as u64).read_to_end(&mut magic).map_err(refused)?;
        let packed = magic.clone();
        let input = io::Cursor::new(magic).chain(input);
        let input: Box<dyn Read + Send> = match packed.as_slice() {
            [0x1f, 0x8b, ..] => {
                Box::new(flate2::bufread::MultiGzDecoder::new(BufReader::with_capacity(CHUNK, input)))
            }
            [0x28, 0xb5, 0x2f, 0xfd] => Box::new(zstd::Decoder::new(input).map_err(refused)?),
            _ => Box::new(input),
        };
        Ok(Chunks { input, carried: Vec::new(), quoted: QuotedRecord::new(b','), ended: false, count: 0 })
    }

    /// Reads the header, byte order mark included, and what its columns are.
    pub(in crate::audit) fn header(&mut self) -> Result<(Vec<u8>, AuditColumns), AuditError> {
        let mut buffer = Vec::new();
        let mut filled = self.fill(&mut buffer, USUAL_HEADER)?;
        let is_front = |byte: &&u8| b"\r\n\xef\xbb\xbf".contains(*byte);
        let front = buffer.iter().take(filled).take_while(is_front).count();
        let separator = Separator::of_header(buffer.get(front..filled).unwrap_or_default());
        self.quoted = QuotedRecord::new(separator.byte());
        let header_ends = last_end(buffer.get(front..filled).unwrap_or_default(), &mut self.quoted) > 0;
        if !header_ends && !self.ended {
            self.carry(&buffer, 0, filled);
            filled = self.fill(&mut buffer, CHUNK)?;
        }
        buffer.truncate(filled);
        let (length, columns) = AuditColumns::read(&buffer)?;
        self.carried = buffer.split_off(length);
        Ok((buffer, columns))
    }

    /// Fills `buffer` with whole records; none when there are no more.
    pub(in crate::audit) fn next(&mut self, buffer: &mut Vec<u8>) -> Result<Option<Chunk>, AuditError> {
        let mut wanted = CHUNK;
        let (length, filled) = loop {
            let filled = self.fill(buffer, wanted)?;
            if self.ended {
                break (filled, filled);
            }
            let length = last_end(buffer.get(..filled).unwrap_or_default(), &mut self.quoted);
            if length > 0 {
                break (length, filled);
            }
            if wanted >= LONGEST_LINE {
                return Err(AuditError::LongLine { bytes: LONGEST_LINE });
            }
            self.carry(buffer, 0, filled);
            wanted *= 2;
        };
        self.carry(buffer, length, filled);
        if length == 0 {
            return Ok(None);
        }
        self.count += 1;
        Ok(Some(Chunk { number: self.count - 1, length }))
    }

    fn carry(&mut self, buffer: &[u8], from: usize, to: usize) {
        self.carried.clear();
        self.carried.extend_from_slice(buffer.get(from..to).unwrap_or_default());
    }

    /// Fills `buffer` up to `wanted` bytes, beginning with what was carried over; how many there are.
    fn fill(&mut self, buffer: &mut Vec<u8>, wanted: usize) -> Result<usize, AuditError> {
        let wanted = wanted.max(self.carried.len());
        if buffer.len() < wanted {
            buffer.resize(wanted, 0);
        }
        let mut filled = self.carried.len();
        if let Some(head) = buffer.get_mut(..filled) {
            head.copy_from_slice(&self.carried);
        }
        while !self.ended && filled < wanted {
            match self.input.read(buffer.get_mut(filled..wanted).unwrap_or_default()) {
                Ok(0) => self.ended = true,
                Ok(read) => filled += read,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(source) => return Err(AuditError::Read { source }),
            }
        }
        Ok(filled)
    }
}
