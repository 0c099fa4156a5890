//! The journal of an exported workshop, line for line.

use std::path::Path;

use super::super::file::{AtomicFile, unreadable};
use super::super::folder::Folder;
use super::super::{Failure, FailureKind};
use super::NOTHING_IMPORTED;
use super::sheets::begin;
use crate::store::Store;
use crate::words::of_cell;
use crate::workshop::{ChainCheck, JOURNAL_COLUMNS, JournalLine};

const JOURNAL: &str = "journal";
pub(super) const JOURNAL_FILE: &str = "journal.csv";

/// The journal, not yet in its place, and how many lines it has.
pub(super) fn write(store: &Store, folder: &Folder<'_>) -> Result<(AtomicFile, usize), Failure> {
    let mut file = begin(folder, JOURNAL)?;
    file.write(JOURNAL_COLUMNS)?;
    let mut lines = 0;
    store.journal(|key, line| {
        lines += 1;
        file.write_cells(line.fields(key))
    })?;
    Ok((file.finish()?, lines))
}

/// Checks the journal of a folder and puts the workshop together that it tells of; how many lines it has.
pub(super) fn read(folder: &Path, into: &mut Store) -> Result<usize, Failure> {
    let path = folder.join(JOURNAL_FILE);
    let refused = |line: u64, why: String| {
        let at = format!("{}:{line}", path.display());
        let fix =
            "a journal is not edited: export it again, or bring back a sound copy; nothing was imported";
        Failure::new(FailureKind::Import, format!("{at}: {why}"), fix).at(at)
    };
    let file = std::fs::File::open(&path).map_err(|error| unreadable(&path, error, NOTHING_IMPORTED))?;
    let mut reader = csv::ReaderBuilder::new().from_reader(std::io::BufReader::new(file));
    let header = reader.headers().map_err(|error| refused(1, error.to_string()))?.clone();
    if header.iter().ne(JOURNAL_COLUMNS) {
        return Err(refused(1, format!("the header is not {}", JOURNAL_COLUMNS.join(","))));
    }
    let mut chain = ChainCheck::default();
    let mut replaying = into.replay()?;
    let mut record = csv::StringRecord::new();
    loop {
        let more = reader
            .read_record(&mut record)
            .map_err(|error| refused(error.position().map_or(0, csv::Position::line), error.to_string()))?;
        if !more {
            break;
        }
        let place = record.position().map_or(0, csv::Position::line);
        let fields: Vec<_> = record.iter().map(of_cell).collect();
        let (key, line) =
            JournalLine::of_fields(fields.iter().map(|field| &**field)).map_err(|why| refused(place, why))?;
        chain.take(&line, &key).map_err(|error| refused(place, error.to_string()))?;
        replaying.take(&key, &line).map_err(|error| refused(place, error.to_string()))?;
    }
    replaying.commit()?;
    Ok(chain.lines())
}
