//! `record --from`: a whole log from a CSV file, streamed row by row.

use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::super::file::{AtomicFile, CsvFile, unreadable};
use super::super::progress::Progress;
use super::super::{Answer, Context, Decision, Failure, FailureKind};
use super::known::{KnownNames, Origin, RowError};
use super::log_form::{LogForm, form_of};
use crate::report::ImportReport;
use crate::sheet::Separator;
use crate::store::Store;
use crate::workshop::{LocalInstant, LogColumns, REASON};

/// Diagnostics that are told in full; the rest is counted.
const TOLD: usize = 20;

pub(super) fn answer(
    store: &mut Store,
    (file, origin): (&Path, Origin),
    keep_good: bool,
    now: LocalInstant,
    context: &Context,
) -> Result<Answer, Failure> {
    let from_stdin = file.as_os_str() == "-";
    let source: Box<dyn Read> = if from_stdin {
        Box::new(io::stdin().lock())
    } else {
        let hint = "name a CSV file, or - for standard input";
        Box::new(std::fs::File::open(file).map_err(|error| unreadable(file, error, hint))?)
    };
    let shown = if from_stdin { "standard input".to_owned() } else { file.display().to_string() };
    let rejects = keep_good.then(|| RejectsBeside((!from_stdin).then(|| file.to_owned())));
    let report = read_log(store, (source, origin), &shown, rejects.as_ref(), now)?;
    let outcome = if report.rejected == 0 { Decision::Good } else { Decision::Bad };
    if !report.names_somebody && report.recorded > 0 {
        context.say("nobody is named who read any of this; the column `who` is for that");
    }
    Answer::of(&report, context, outcome)
}

/// Reads a log into the store: all or nothing, or with `rejects` the good rows, the others going there.
pub(in super::super) fn read_log(
    store: &mut Store,
    (source, origin): (impl Read, Origin),
    shown: &str,
    rejects: Option<&RejectsBeside>,
    now: LocalInstant,
) -> Result<ImportReport, Failure> {
    let (LogForm { separator, header_line, lines_before }, source) =
        form_of(source).map_err(|error| broken(shown, error))?;
    let mut builder = csv::ReaderBuilder::new();
    let mut reader = builder.flexible(true).delimiter(separator.byte()).from_reader(source);
    let broken = |error: csv::Error| broken(shown, error);
    let header = reader.headers().map_err(broken)?.clone();
    let columns = LogColumns::find(header.iter(), separator).map_err(|error| {
        Failure::new(FailureKind::Log, format!("{shown}:{header_line}: {error}"), "nothing was recorded")
    })?;
    let mut known = KnownNames::load(store, now, origin)?;
    let mut appending = store.append()?;
    let kept = |row: &csv::StringRecord| without(row, columns.reason());
    let names = kept(&header);
    let mut rejected = rejects.map(|beside| beside.begin(&names, separator)).transpose()?;
    let mut report = ImportReport::default();
    let progress = Progress::of_rows();
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).map_err(broken)? {
        if record.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        report.rows += 1;
        let line = record.position().map_or(0, csv::Position::line) + lines_before;
        match known.take(&record, header.len(), &columns, &mut appending) {
            Ok(is_named) => report.took(is_named),
            Err(RowError::Failed(error)) => return Err(error.into()),
            Err(RowError::Rejected(diagnostic)) => {
                report.rejected += 1;
                if let Some(rejected) = &mut rejected {
                    rejected.write(kept(&record).iter().chain([diagnostic.as_str()]))?;
                }
                if report.diagnostics.len() < TOLD {
                    report.diagnostics.push(format!("{shown}:{line}: {diagnostic}"));
                }
            }
        }
        progress.show(report.rows as u64);
    }
    progress.clear();
    let rejected = rejects.zip(rejected).filter(|_| report.rejected > 0);
    let rejects_file = rejected.map(|(beside, file)| beside.put(file.finish()?)).transpose()?;
    if rejects.is_some() || report.rejected == 0 {
        appending.commit().inspect_err(|_| {
            // Without the good rows the others are still where they came from.
            let _ = rejects_file.as_ref().map(std::fs::remove_file);
        })?;
    } else {
        report.recorded = 0;
    }
    report.rejects_file = rejects_file.map(|file| file.display().to_string());
    Ok(report)
}

fn broken(shown: &str, error: impl std::fmt::Display) -> Failure {
    let hint = "a log is CSV in UTF-8, see `evenclamp record --help`";
    Failure::new(FailureKind::Log, format!("{shown}: {error}"), hint)
}

/// A row without one of its fields.
fn without(row: &csv::StringRecord, column: Option<usize>) -> csv::StringRecord {
    row.iter().enumerate().filter(|(index, _)| Some(*index) != column).map(|(_, field)| field).collect()
}

/// Where rows that are not recorded go: beside their log, or for standard input here, under a name that
/// is not taken.
pub(in super::super) struct RejectsBeside(Option<PathBuf>);

impl RejectsBeside {
    fn place(&self, number: usize) -> PathBuf {
        let name = if number == 1 { "rejected.csv".to_owned() } else { format!("rejected-{number}.csv") };
        self.0.as_ref().map_or_else(|| PathBuf::from(&name), |file| file.with_extension(&name))
    }

    fn places(&self) -> impl Iterator<Item = PathBuf> {
        (1..).map(|number| self.place(number))
    }

    /// Begins the file of the rows, with the reason as a last column.
    fn begin(
        &self,
        header: &csv::StringRecord,
        separator: Separator,
    ) -> Result<CsvFile<impl Fn(&io::Error) -> Failure>, Failure> {
        let file = AtomicFile::begin_in_first_free(self.places()).map_err(|error| self.refused(&error))?;
        let mut rejects = CsvFile::parted(file, separator, |error| self.refused(error));
        rejects.write(header.iter().chain([REASON]))?;
        Ok(rejects)
    }

    fn put(&self, file: AtomicFile) -> Result<PathBuf, Failure> {
        file.put_in_first_free(self.places()).map_err(|error| self.refused(&error))
    }

    fn refused(&self, error: &io::Error) -> Failure {
        let message = format!("cannot write {}: {error}", self.place(1).display());
        Failure::new(FailureKind::File, message, "nothing was recorded")
    }
}
