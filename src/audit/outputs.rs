//! What is written of a log while it is judged, chunk after chunk.

use std::io::Write;

use super::engine::{ChunkResult, Noted};
use super::{AuditError, LeftOut};
use crate::conformity::slip::MixUp;
use crate::conformity::{Label, Limits, Outcome, Probability};
use crate::sheet::Separator;

/// Bytes of a chance as it is written, its comma among them: all have as many, so that one can take another's place.
pub const CHANCE_LENGTH: usize = 6;

pub enum RowResult<'a> {
    Read {
        basis: &'a str,
        outcome: &'a Outcome,
    },
    /// A row judged by simple acceptance.
    Plain {
        label: Label,
    },
    /// A reading that is too much for the bolt, and why.
    TooMuch {
        why: &'a str,
    },
    Rejected {
        reason: &'a str,
    },
    LeftOut {
        why: LeftOut,
    },
}

/// Writes what came of a row as CSV fields behind it: verdict, limits, chance, reason.
///
/// Rows that get the same are asked for once.
pub trait RowWriter: Sync {
    /// The names of the fields, each behind what parts them.
    fn header(&self) -> String;
    /// What parts the fields, called a comma here.
    fn separator(&self) -> Separator;
    /// The verdict, as plain text.
    fn verdict(&self, result: &RowResult<'_>) -> &'static str;
    /// The limits that the row was judged against as CSV fields, each behind a comma.
    fn limits(&self, limits: Option<&Limits>) -> String;
    /// The chance of being inside as a CSV field, behind a comma.
    fn chance(&self, chance: Probability) -> [u8; CHANCE_LENGTH];
    /// Why, as plain text.
    fn reasons(&self, result: &RowResult<'_>) -> Vec<String>;
    /// Which units were perhaps mixed up, as plain text.
    fn mix_up(&self, mix_up: MixUp) -> String;
}

/// Where results go besides the summary.
pub struct Outputs<'a> {
    /// The log with what came of every row, and who writes that.
    pub verdicts: Option<(&'a mut (dyn Write + Send), &'a dyn RowWriter)>,
    /// The rows that were rejected: number, reason, the row as it stands.
    pub rejects: Option<&'a mut (dyn Write + Send)>,
    /// Told the number of rows after every chunk.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

impl<'a> Outputs<'a> {
    pub(super) fn noted(&self) -> Noted<'a> {
        Noted { writer: self.verdicts.as_ref().map(|(_, writer)| *writer), rejects: self.rejects.is_some() }
    }

    /// Writes the headers, given that of the log.
    pub(super) fn write_headers(&mut self, header: &[u8]) -> Result<(), AuditError> {
        if let Some((file, writer)) = &mut self.verdicts {
            let names = header.trim_ascii_end();
            let end = header.get(names.len()..).filter(|end| !end.is_empty()).unwrap_or(b"\n");
            write(*file, VERDICTS, &[names, writer.header().as_bytes(), end].concat())?;
        }
        match &mut self.rejects {
            Some(file) => write(*file, REJECTS, b"row,reason,raw\n"),
            None => Ok(()),
        }
    }

    /// Writes what came of a chunk, given the rows before it.
    pub(super) fn write_chunk(
        &mut self,
        before: u64,
        data: &[u8],
        result: &ChunkResult,
    ) -> Result<(), AuditError> {
        if let Some((file, _)) = &mut self.verdicts {
            write(*file, VERDICTS, &result.verdicts)?;
        }
        if let Some(file) = &mut self.rejects {
            let refused = |source| AuditError::Write { what: REJECTS, source };
            let mut writer = csv::Writer::from_writer(Vec::new());
            for reject in &result.rejects {
                let raw = data.get(reject.raw.clone()).unwrap_or_default();
                let row = (before + reject.row).to_string();
                let written = writer.write_record([row.as_bytes(), reject.reason.as_bytes(), raw]);
                written.map_err(|error| refused(error.into()))?;
            }
            let lines = writer.into_inner().map_err(|error| refused(error.into_error()))?;
            write(*file, REJECTS, &lines)?;
        }
        (self.progress)(before + result.rows);
        Ok(())
    }
}

const VERDICTS: &str = "verdicts";
const REJECTS: &str = "rejected rows";

fn write(file: &mut dyn Write, what: &'static str, text: &[u8]) -> Result<(), AuditError> {
    file.write_all(text).map_err(|source| AuditError::Write { what, source })
}
