//! The records of a log judged fast: bytes stay bytes, and nothing is worked out twice.
//!
//! A chunk goes in, what came of its rows comes out: [`Engine::judge`]. How that is done is known in this
//! folder alone: records are cut at their commas (`record`), texts that repeat are looked up (`interned`),
//! rows of one requirement and wrench share a group (`group`), whose label for a reading is that of its zone
//! (`zones`), and phrases are put into words once (`phrases`). Every judgement is made by the core's own
//! functions; here they are asked once for all rows that get the same answer.

mod chances;
mod chunks;
mod columns;
mod corrections;
mod explain;
mod field;
mod group;
mod interned;
mod judge;
mod names;
mod number;
mod phrases;
mod quoted;
mod record;
mod value;
mod worst;
mod zones;

use std::collections::HashSet;
use std::ops::Range;
use std::sync::Arc;

use super::Terms;
use super::counts::Unjudged;
use super::outputs::{RowResult, RowWriter};
use super::reference::Reference;
use super::summary::Summary;
use explain::Explainer;
use group::JudgedRow;
use judge::Judge;
use phrases::Phrases;
use record::{Record, Records, Scratch};
use worst::WorstSoFar;

pub(super) use chunks::{Chunk, Chunks};
pub(super) use columns::AuditColumns;
pub(super) use corrections::corrected_in;

#[derive(Clone, Copy)]
pub(super) struct Noted<'a> {
    pub(super) writer: Option<&'a dyn RowWriter>,
    pub(super) rejects: bool,
}

/// What came of the rows of a chunk.
#[derive(Debug, Default)]
pub(super) struct ChunkResult {
    /// How many rows it has.
    pub(super) rows: u64,
    /// The rows as they stand with what was written behind each, where that was asked for.
    pub(super) verdicts: Vec<u8>,
    /// The rows that cannot be judged, where they are listed; under `strict` the first one in any case.
    pub(super) rejects: Vec<Reject>,
}

impl ChunkResult {
    pub(super) fn clear(&mut self) {
        self.rows = 0;
        self.verdicts.clear();
        self.rejects.clear();
    }
}

/// A row that cannot be judged.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Reject {
    pub(super) row: u64,
    pub(super) reason: String,
    pub(super) raw: Range<usize>,
}

/// Judges chunk after chunk of a log; every thread has its own.
pub(super) struct Engine<'a> {
    judge: Judge<'a>,
    worst: WorstSoFar,
    notes: Notes<'a>,
    scratch: Scratch,
}

/// Writes down what came of rows, as far as anybody wants to know.
struct Notes<'a> {
    phrases: Option<Phrases<'a>>,
    explainer: Explainer,
    columns: AuditColumns,
    strict: bool,
    lists_rejects: bool,
}

impl<'a> Engine<'a> {
    pub(super) fn new(
        reference: &'a Reference,
        (columns, corrected): (AuditColumns, Arc<HashSet<u64>>),
        terms: Terms,
        noted: Noted<'a>,
    ) -> Engine<'a> {
        Engine {
            judge: Judge::new(reference, (columns, corrected), terms),
            worst: WorstSoFar::new(terms.worst_kept()),
            notes: Notes {
                phrases: noted.writer.map(|writer| Phrases::new(writer, terms)),
                explainer: Explainer::default(),
                columns,
                strict: terms.strict,
                lists_rejects: noted.rejects,
            },
            scratch: Scratch::new(columns.separator.byte()),
        }
    }

    /// Judges and counts the rows of a chunk of that number, and adds what came of them to `result`.
    pub(super) fn judge(&mut self, chunk: u64, data: &[u8], result: &mut ChunkResult) {
        let mut records = Records::new(data, &mut self.scratch);
        let mut row = JudgedRow::new();
        while let Some(record) = records.next() {
            result.rows += 1;
            if let Err(unjudged) = self.judge.judge(&record, &mut row) {
                self.notes.set_aside(unjudged, &record, data, result);
                continue;
            }
            self.worst.see(&self.judge, &row, (chunk, result.rows));
            if let Some(phrases) = &mut self.notes.phrases {
                write_around(&record, data, &mut result.verdicts, |text| {
                    phrases.append(&self.judge, &row, text);
                });
            }
        }
    }

    /// Everything that was found; `starts` has the rows before each chunk.
    pub(super) fn into_summary(self, starts: &[u64]) -> Summary {
        let worst = self.worst.into_worst(&self.judge, starts);
        let mut summary = self.judge.into_summary();
        summary.add_worst(worst);
        summary
    }
}

impl Notes<'_> {
    fn set_aside(&mut self, unjudged: Unjudged, record: &Record<'_>, data: &[u8], result: &mut ChunkResult) {
        let missing = self.columns.count.saturating_sub(record.count());
        let fault = match unjudged {
            Unjudged::Rejected(fault) => fault,
            Unjudged::LeftOut(why) => {
                if let Some(phrases) = &self.phrases {
                    write_around(record, data, &mut result.verdicts, |text| {
                        phrases.append_unjudged(missing, &RowResult::LeftOut { why }, text);
                    });
                }
                return;
            }
        };
        // A reason is put together only for those who ask: under `strict` the first suffices.
        let listed = self.lists_rejects || (self.strict && result.rejects.is_empty());
        if !listed && self.phrases.is_none() {
            return;
        }
        let reason = self.explainer.explain(fault, record, &self.columns);
        if let Some(phrases) = &self.phrases {
            write_around(record, data, &mut result.verdicts, |text| {
                phrases.append_unjudged(missing, &RowResult::Rejected { reason: &reason }, text);
            });
        }
        if listed {
            result.rejects.push(Reject { row: result.rows, reason, raw: record.start..record.end });
        }
    }
}

/// Appends a row as it stands, with something behind its last field; the last row may lack its line end.
fn write_around(record: &Record<'_>, data: &[u8], text: &mut Vec<u8>, behind: impl FnOnce(&mut Vec<u8>)) {
    text.extend_from_slice(data.get(record.start..record.end).unwrap_or_default());
    behind(text);
    match data.get(record.end..record.next) {
        Some([] | [b'\n']) | None => text.push(b'\n'),
        Some(line_end) => text.extend_from_slice(line_end),
    }
}

#[cfg(test)]
#[path = "engine_tests.rs"]
mod tests;
