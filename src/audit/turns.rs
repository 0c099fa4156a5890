//! What is written of a log while it is judged, chunk after chunk.

use std::io::Write;

use super::AuditError;
use super::record::Record;
use super::text::Text;
use super::verdicts::Wording;

/// Where results go besides the summary.
pub struct Outputs<'a> {
    /// The log with what was said of every row, and who puts that into words.
    pub verdicts: Option<(&'a mut (dyn Write + Send), &'a dyn Wording)>,
    /// The rows that were rejected: number, reason, the row as it stands.
    pub rejects: Option<&'a mut (dyn Write + Send)>,
    /// Told the number of rows after every chunk.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

/// What is done chunk after chunk, in order.
pub(super) struct Turns<'o> {
    /// The chunk whose turn it is.
    pub(super) next: u64,
    /// Rows of the chunks that were done.
    rows: u64,
    /// Rows of every chunk: four bytes for an eighth of a megabyte of the log.
    pub(super) chunks: Vec<u32>,
    outputs: Outputs<'o>,
    pub(super) failed: Option<AuditError>,
    /// Whether a thread panicked: its turn would never end.
    pub(super) abandoned: bool,
    /// How many threads sleep until their turn comes.
    pub(super) waiting: usize,
}

/// What a chunk has to say in its turn.
#[derive(Default)]
pub(super) struct Spoken {
    pub(super) rows: u64,
    pub(super) verdicts: Text,
    /// Number in the chunk, reason, and where the raw row is.
    pub(super) rejects: Vec<(u64, String, Record)>,
}

impl<'o> Turns<'o> {
    /// The first turn is that of chunk 0.
    pub(super) fn new(outputs: Outputs<'o>) -> Turns<'o> {
        Turns { next: 0, rows: 0, chunks: Vec::new(), outputs, failed: None, abandoned: false, waiting: 0 }
    }

    /// Whether nobody has a turn any more.
    pub(super) fn are_over(&self) -> bool {
        self.failed.is_some() || self.abandoned
    }

    pub(super) fn write_headers(&mut self, header: &[u8]) -> Result<(), AuditError> {
        if let Some((file, wording)) = &mut self.outputs.verdicts {
            let names = header.trim_ascii_end();
            let end = header.get(names.len()..).filter(|end| !end.is_empty()).unwrap_or(b"\n");
            write(*file, "verdicts", &[names, wording.header().as_bytes(), end])?;
        }
        if let Some(file) = &mut self.outputs.rejects {
            write(*file, "rejected rows", &[b"row,reason,raw\n"])?;
        }
        Ok(())
    }

    /// Writes what a chunk has to say.
    pub(super) fn speak(
        &mut self,
        number: u64,
        data: &[u8],
        spoken: &Spoken,
        strict: bool,
    ) -> Result<(), AuditError> {
        if let (true, Some((row, reason, _))) = (strict, spoken.rejects.first()) {
            return Err(AuditError::Rejected { row: self.rows + row, reason: reason.clone() });
        }
        if let Some((file, _)) = &mut self.outputs.verdicts {
            write(*file, "verdicts", &[spoken.verdicts.as_slice()])?;
        }
        if let Some(file) = &mut self.outputs.rejects {
            let mut writer = csv::Writer::from_writer(Vec::new());
            for (row, reason, record) in &spoken.rejects {
                let raw = data.get(record.start..record.end).unwrap_or_default();
                let row = (self.rows + row).to_string();
                let written = writer.write_record([row.as_bytes(), reason.as_bytes(), raw]);
                written.map_err(|error| AuditError::Write { what: "rejected rows", source: error.into() })?;
            }
            let lines = writer
                .into_inner()
                .map_err(|error| AuditError::Write { what: "rejected rows", source: error.into_error() })?;
            write(*file, "rejected rows", &[&lines])?;
        }
        let place = usize::try_from(number).unwrap_or(usize::MAX);
        if self.chunks.len() <= place {
            self.chunks.resize(place + 1, 0);
        }
        if let Some(rows) = self.chunks.get_mut(place) {
            *rows = u32::try_from(spoken.rows).unwrap_or(u32::MAX);
        }
        self.rows += spoken.rows;
        (self.outputs.progress)(self.rows);
        Ok(())
    }
}

fn write(file: &mut dyn Write, what: &'static str, parts: &[&[u8]]) -> Result<(), AuditError> {
    parts
        .iter()
        .try_for_each(|part| file.write_all(part))
        .map_err(|source| AuditError::Write { what, source })
}
