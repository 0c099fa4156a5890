//! The run: cores take chunk after chunk, results keep the order of the rows.

use std::collections::HashSet;
use std::io::{Read, Write};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use super::engine::{AuditColumns, Chunk, ChunkResult, Chunks, Engine, Noted, corrected_in};
use super::{AuditError, Outputs, Reference, Summary, Terms};
use crate::sheet::Separator;

/// A log whose header was read.
pub struct Log<'a> {
    chunks: Chunks<'a>,
    header: Vec<u8>,
    columns: AuditColumns,
    /// The numbers of rows that others correct or strike.
    corrected: Arc<HashSet<u64>>,
}

impl<'a> Log<'a> {
    /// Begins to read a log, packed with gzip or zstd or as it is.
    ///
    /// # Errors
    /// [`AuditError`] when it cannot be read or has not the columns of a log.
    pub fn open(input: impl Read + Send + 'a) -> Result<Log<'a>, AuditError> {
        let mut chunks = Chunks::new(input)?;
        let (header, columns) = chunks.header()?;
        Ok(Log { chunks, header, columns, corrected: Arc::default() })
    }

    /// What parts its fields.
    pub fn separator(&self) -> Separator {
        self.columns.separator
    }

    /// Whether it says which rows correct others: then it is read twice, for they stand behind what they correct.
    pub fn has_corrections(&self) -> bool {
        self.columns.has_corrections()
    }

    /// Reads it to its end for the numbers of the rows that others correct or strike, and copies it, unpacked.
    ///
    /// # Errors
    /// [`AuditError`] when it cannot be read or not be copied.
    pub fn corrected(mut self, copy: &mut dyn Write) -> Result<HashSet<u64>, AuditError> {
        let refused = |source| AuditError::Write { what: "copy of the log", source };
        copy.write_all(&self.header).map_err(refused)?;
        let (mut buffer, mut corrected) = (Vec::new(), HashSet::new());
        while let Some(Chunk { length, .. }) = self.chunks.next(&mut buffer)? {
            let data = buffer.get(..length).unwrap_or_default();
            corrected_in(data, &self.columns, &mut corrected);
            copy.write_all(data).map_err(refused)?;
        }
        copy.flush().map_err(refused)?;
        Ok(corrected)
    }

    /// The same without the rows of these numbers, which others correct or strike.
    pub fn without(self, corrected: HashSet<u64>) -> Log<'a> {
        Log { corrected: Arc::new(corrected), ..self }
    }

    /// Judges every row by what `reference` gives.
    ///
    /// # Errors
    /// [`AuditError`] when the log cannot be read or results cannot be written, and under `strict` at the
    /// first row that cannot be judged.
    pub fn audit<'o>(
        self,
        reference: &'o Reference,
        terms: Terms,
        mut outputs: Outputs<'o>,
    ) -> Result<Summary, AuditError> {
        outputs.write_headers(&self.header)?;
        let noted = outputs.noted();
        let audit = Audit {
            reference,
            columns: self.columns,
            corrected: self.corrected,
            terms,
            noted,
            keeps_order: noted.writer.is_some() || noted.rejects || terms.strict,
            chunks: Mutex::new(self.chunks),
            done: Mutex::new(Done { next: 0, before: 0, rows: Vec::new(), outputs, ended: None }),
            changed: Condvar::new(),
        };
        let engines = std::thread::scope(|scope| {
            let others: Vec<_> = (1..terms.threads).map(|_| scope.spawn(|| audit.work())).collect();
            let mut engines = vec![audit.work()];
            for other in others {
                engines.push(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
            }
            engines
        });
        audit.sum_up(engines)
    }
}

struct Audit<'a, 'l> {
    reference: &'a Reference,
    columns: AuditColumns,
    corrected: Arc<HashSet<u64>>,
    terms: Terms,
    noted: Noted<'a>,
    /// Whether what comes of chunks has to stand in order.
    keeps_order: bool,
    chunks: Mutex<Chunks<'l>>,
    done: Mutex<Done<'a>>,
    changed: Condvar,
}

struct Done<'a> {
    /// The chunk whose results come next, where order counts, and the rows before it.
    next: u64,
    before: u64,
    /// Rows of every chunk: four bytes for an eighth of a megabyte of the log.
    rows: Vec<u32>,
    outputs: Outputs<'a>,
    ended: Option<Ended>,
}

/// Why no more chunks are wanted, although there are more.
enum Ended {
    Failed(AuditError),
    /// A thread panicked: its turn would never end.
    Panicked,
}

impl<'a> Audit<'a, '_> {
    fn sum_up(self, engines: Vec<Engine<'a>>) -> Result<Summary, AuditError> {
        let done = self.done.into_inner().unwrap_or_else(PoisonError::into_inner);
        if let Some(Ended::Failed(error)) = done.ended {
            return Err(error);
        }
        let mut starts = Vec::new();
        let mut before = 0;
        for rows in done.rows {
            starts.push(before);
            before += u64::from(rows);
        }
        let mut summary = Summary::new(self.terms.rule);
        summary.worst_kept = self.terms.worst_kept();
        for engine in engines {
            summary.absorb(engine.into_summary(&starts));
        }
        Ok(summary)
    }

    fn work(&self) -> Engine<'a> {
        let _alarm = Alarm(self);
        let mut engine =
            Engine::new(self.reference, (self.columns, Arc::clone(&self.corrected)), self.terms, self.noted);
        let (mut buffer, mut result) = (Vec::new(), ChunkResult::default());
        loop {
            let chunk = locked(&self.chunks).next(&mut buffer);
            match chunk {
                Ok(None) => break,
                Ok(Some(Chunk { number, length })) => {
                    let data = buffer.get(..length).unwrap_or_default();
                    result.clear();
                    engine.judge(number, data, &mut result);
                    if !self.put_out(number, data, &result) {
                        break;
                    }
                }
                Err(error) => {
                    self.end(Ended::Failed(error));
                    break;
                }
            }
        }
        engine
    }

    /// Puts out what came of a chunk, in its turn where order counts; false where no more is wanted.
    fn put_out(&self, number: u64, data: &[u8], result: &ChunkResult) -> bool {
        let is_early = |done: &mut Done<'_>| self.keeps_order && done.next != number && done.ended.is_none();
        let waited = self.changed.wait_while(locked(&self.done), is_early);
        let mut done = waited.unwrap_or_else(PoisonError::into_inner);
        if done.ended.is_some() {
            return false;
        }
        let written = match result.rejects.first() {
            Some(first) if self.terms.strict => {
                Err(AuditError::Rejected { row: done.before + first.row, reason: first.reason.clone() })
            }
            _ => {
                let before = done.before;
                done.outputs.write_chunk(before, data, result)
            }
        };
        done.ended = written.err().map(Ended::Failed);
        let place = usize::try_from(number).unwrap_or(usize::MAX);
        if done.rows.len() <= place {
            done.rows.resize(place + 1, 0);
        }
        done.rows[place] = u32::try_from(result.rows).unwrap_or(u32::MAX);
        done.before += result.rows;
        done.next += 1;
        if self.keeps_order {
            self.changed.notify_all();
        }
        done.ended.is_none()
    }

    fn end(&self, why: Ended) {
        locked(&self.done).ended.get_or_insert(why);
        self.changed.notify_all();
    }
}

/// What a lock holds; a thread that panicked while it had it does not matter.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Ends it for all when the thread that holds it panics, so that no other waits for ever.
struct Alarm<'r, 'a, 'l>(&'r Audit<'a, 'l>);

impl Drop for Alarm<'_, '_, '_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            self.0.end(Ended::Panicked);
        }
    }
}

#[cfg(test)]
#[path = "run_tests.rs"]
mod tests;
