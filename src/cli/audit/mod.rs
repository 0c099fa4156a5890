//! `audit`: a whole log judged row by row.

mod log_file;
mod reference;

use std::io::{Read, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use clap::{Args, ValueEnum};

use log_file::{Opened, opened};
use reference::reference;

use super::file::{AtomicFile, Older};
use super::progress::Progress;
use super::{Answer, Context, Failure, FailureKind, clock};
use crate::audit::{AuditError, Log, Outputs, RowWriter, Rule, Summary, Terms};
use crate::report::{AuditReport, CsvRowWriter, audit_plot};

/// Cores used at most: a log is then read faster than most disks give it.
const MOST_THREADS: usize = 8;

/// Judge every row of a log
///
/// A log is a CSV file whose first line names its columns, in any order. Each row is judged as `check` would judge it,
/// with the registered wrench that it names. Re-checks (`held`, `moved` and the like) are counted as not settled, and by
/// what they show. Rows of `export` that others correct or strike, and what is no torque, are left out and counted apart.
///
/// A value without a unit is read as N·m, and such values are counted: the audit keeps nothing. `record
/// --from` refuses them, unless --bare-unit says what they are in.
///
/// Logs packed with gzip or zstd are read as they are. Rows that cannot be read are counted and listed,
/// and do not stop the rest.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp audit log.csv
  evenclamp audit log.csv.gz --worst 10 --rejects rejects.csv
  evenclamp audit log.csv --verdicts judged.csv --plot spread.svg
  zcat old/*.csv.gz | evenclamp audit - --format json
  evenclamp audit january.csv --partial january.json
  evenclamp audit --merge january.json february.json

The columns of a log; others are passed over:
  entry, or bike and joint   what was tightened; a joint counts before its entry
  value, unit                as read, such as 5.1 and N·m or in-lb
  kind                       tightened (also where it is empty), held, moved,
                             loosening, back-to-mark, by-hand, skipped;
                             measured is no torque and left out
  wrench                     its name; without one its accuracy is assumed
  taken_at                   when, such as 2026-05-03: calibrations hang on it
  finding                    a row with one and without a torque is left out
  id, corrects               of `export`: the row that this one corrects
Commas, semicolons or tabs part them, as the first line shows; where semicolons
do, a comma in a value is a decimal one.

Exit status: 0 all inside or held, 1 some low, high, moved or rejected, 2 wrong request or no log,
3 some too close or not settled.")]
pub(super) struct AuditArgs {
    /// The log; - for standard input
    #[arg(value_name = "FILE", required_unless_present = "merge")]
    file: Option<PathBuf>,
    /// Write the log back with verdict, limits, chance and reason behind every row
    #[arg(long, value_name = "FILE")]
    verdicts: Option<PathBuf>,
    /// List the rows that cannot be read: number, reason, the row as it stands
    #[arg(long, value_name = "FILE")]
    rejects: Option<PathBuf>,
    /// Show the readings furthest outside their limits
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    worst: usize,
    /// Draw how the readings of each entry are spread against its band
    #[arg(long, value_name = "FILE.svg")]
    plot: Option<PathBuf>,
    /// Stop at the first row that cannot be read
    #[arg(long)]
    strict: bool,
    /// How readings are compared with their limits
    #[arg(long, value_enum, default_value = "guarded")]
    rule: RuleArg,
    /// Write the summary of this piece of a log, to be added up by --merge
    #[arg(long, value_name = "FILE")]
    partial: Option<PathBuf>,
    /// Add up the summaries of pieces, in the order of the log
    #[arg(long, value_name = "FILE", num_args = 1..,
          conflicts_with_all = ["file", "verdicts", "rejects", "strict", "rule", "threads"])]
    merge: Vec<PathBuf>,
    /// Cores to use [default: all]
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
}

/// How readings are compared with their limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum RuleArg {
    /// As check does, with the uncertainty of the wrench
    Guarded,
    /// As if readings were exact, to compare with other programs
    Plain,
}

pub(super) fn answer(args: &AuditArgs, context: &Context) -> Result<Answer, Failure> {
    let summary = match &args.file {
        Some(file) => judged(args, file, context)?,
        None => merged(&args.merge, args.worst)?,
    };
    let unit = context.shown_unit();
    if let Some(path) = &args.partial {
        let text = serde_json::json!(summary).to_string();
        write_whole(path, &(text + "\n"))?;
    }
    if let Some(path) = &args.plot {
        write_whole(path, &audit_plot(&summary, unit)?)?;
    }
    remarks(&summary, context);
    let decision = summary.total().decision();
    Answer::of(&AuditReport::new(&summary, args.worst, unit), context, decision)
}

/// The summary of a log, with its result files written.
fn judged(args: &AuditArgs, file: &Path, context: &Context) -> Result<Summary, Failure> {
    let place = |error: AuditError| Failure::from(error).at(file.display().to_string());
    let terms = Terms {
        rule: match args.rule {
            RuleArg::Guarded => Rule::Guarded,
            RuleArg::Plain => Rule::Plain,
        },
        today: clock::today(),
        threads: args.threads.unwrap_or_else(cores).max(1),
        worst: args.worst,
        histograms: args.plot.is_some() || args.partial.is_some(),
        strict: args.strict,
    };
    let Opened { input, size, corrected } = opened(file).map_err(place)?;
    let read = Arc::new(AtomicU64::new(0));
    let progress = Progress::new(Arc::clone(&read), size);
    let log = Log::open(CountingReader { inner: input, read }).map_err(place)?.without(corrected);
    // As long as the log.
    let long = |path: &Path| Ok::<_, Failure>(begun(path)?.made_again_at_will());
    let mut verdicts = args.verdicts.as_deref().map(long).transpose()?;
    let mut rejects = args.rejects.as_deref().map(long).transpose()?;
    let writer = CsvRowWriter { unit: context.shown_unit(), separator: log.separator() };
    let outputs = Outputs {
        verdicts: verdicts.as_mut().map(|file| (file as _, &writer as &dyn RowWriter)),
        rejects: rejects.as_mut().map(|file| file as _),
        progress: &|rows| progress.show(rows),
    };
    let (reference, basis) = reference(context)?;
    let found = log.audit(&reference, terms, outputs);
    progress.clear();
    let summary = Summary { basis, ..found.map_err(place)? };
    for (file, path) in [(verdicts, &args.verdicts), (rejects, &args.rejects)] {
        if let (Some(file), Some(path)) = (file, path) {
            file.put_in_place().map_err(|error| unwritable(path, &error))?;
        }
    }
    Ok(summary)
}

fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from).min(MOST_THREADS)
}

struct CountingReader<R> {
    inner: R,
    read: Arc<AtomicU64>,
}

impl<R: Read> Read for CountingReader<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.inner.read(buffer)?;
        self.read.fetch_add(read as u64, Ordering::Relaxed);
        Ok(read)
    }
}

fn merged(files: &[PathBuf], worst: usize) -> Result<Summary, Failure> {
    let mut sum: Option<Summary> = None;
    for file in files {
        let place = |failure: Failure| failure.at(file.display().to_string());
        let text = std::fs::read(file).map_err(|source| place(AuditError::Read { source }.into()))?;
        let piece: Summary = serde_json::from_slice(&text).map_err(|error| {
            let message = format!("this is no summary of a piece: {error}");
            let hint = "make one with `evenclamp audit LOG --partial FILE`";
            place(Failure::new(FailureKind::Pieces, message, hint))
        })?;
        match &mut sum {
            Some(sum) => sum.append(piece).map_err(|error| place(error.into()))?,
            None => sum = Some(piece),
        }
    }
    let sum = sum
        .ok_or_else(|| Failure::new(FailureKind::Usage, "there are no pieces", "name them behind --merge"))?;
    if worst > sum.worst_kept {
        let message = format!("the pieces keep the {} worst", sum.worst_kept);
        let hint = format!("make them with --worst {worst} as well");
        return Err(Failure::new(FailureKind::Pieces, message, hint));
    }
    Ok(sum)
}

fn begun(path: &Path) -> Result<AtomicFile, Failure> {
    AtomicFile::begin(path, Older::Replaced).map_err(|error| unwritable(path, &error))
}

fn write_whole(path: &Path, text: &str) -> Result<(), Failure> {
    let mut file = begun(path)?;
    file.write_all(text.as_bytes()).map_err(|source| {
        Failure::from(AuditError::Write { what: "result", source }).at(path.display().to_string())
    })?;
    file.put_in_place().map_err(|error| unwritable(path, &error))
}

fn unwritable(path: &Path, error: &std::io::Error) -> Failure {
    let message = format!("cannot write it: {error}");
    Failure::new(FailureKind::Output, message, "name a file in a folder that can be written")
        .at(path.display().to_string())
}

/// What was assumed, so that nothing is guessed silently.
fn remarks(summary: &Summary, context: &Context) {
    let total = summary.total();
    if total.no_unit > 0 {
        context.say(format!("{} values have no unit: read as N·m", total.no_unit));
    }
    if total.undated > 0 {
        context.say(format!("{} readings have no day: calibrations taken as of today", total.undated));
    }
    let others = summary.unregistered();
    if let (false, Rule::Guarded) = (others.is_empty(), summary.rule) {
        let named: Vec<&str> = others.iter().take(5).copied().collect();
        let named = named.join(", ");
        let more = if others.len() > 5 { " and more" } else { "" };
        context.say(format!("accuracy assumed for wrenches that are not registered: {named}{more}"));
    }
}

impl From<AuditError> for Failure {
    fn from(error: AuditError) -> Failure {
        let kind = match error {
            AuditError::Read { .. } => FailureKind::File,
            AuditError::Write { .. } => FailureKind::Output,
            AuditError::Rejected { .. } => FailureKind::Row,
            AuditError::Apart(_) => FailureKind::Pieces,
            _ => FailureKind::Log,
        };
        Failure::new(kind, &error, error.hint())
    }
}
