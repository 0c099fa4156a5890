//! `record --from`: a whole log from a CSV file, streamed row by row.

use std::collections::HashMap;
use std::io::{IsTerminal as _, Read};
use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;

use super::super::{Answer, Context, Failure, Outcome, clock};
use crate::report::ImportReport;
use crate::store::{Appending, NewReading, Store, StoredJoint};
use crate::workshop::{Columns, LocalInstant, LogLine};

/// Diagnostics that are told in full; the rest is counted.
const TOLD: usize = 20;
/// Rows between two signs of life on a terminal.
const PROGRESS: usize = 10_000;

/// The joints by bicycle and name, in lower case, and the numbers that the file gave to its readings.
struct Known {
    joints: HashMap<(String, String), StoredJoint>,
    ids: HashMap<i64, i64>,
    zone: TimeZone,
    now: LocalInstant,
}

/// What has become of the rows so far.
#[derive(Default)]
struct Count {
    rows: usize,
    recorded: usize,
    rejected: usize,
    diagnostics: Vec<String>,
}

pub(super) fn answer(
    store: &mut Store,
    file: &Path,
    keep_good: bool,
    now: LocalInstant,
    context: &Context,
) -> Result<Answer, Failure> {
    let from_stdin = file.as_os_str() == "-";
    let source: Box<dyn Read> = if from_stdin {
        Box::new(std::io::stdin().lock())
    } else {
        Box::new(std::fs::File::open(file).map_err(|error| unreadable(file, &error))?)
    };
    let shown = if from_stdin { "standard input".to_owned() } else { file.display().to_string() };
    let rejects = keep_good.then(|| rejects_beside(file, from_stdin));
    let report = read_log(store, source, &shown, rejects.as_deref(), now)?;
    let outcome = if report.rejected == 0 { Outcome::Good } else { Outcome::Bad };
    Answer::of(&report, context, outcome)
}

/// Reads a log into the store: all or nothing, or with `rejects` the good rows, the others going there.
///
/// # Errors
/// [`Failure`] when the file cannot be read or has no sound header, or the database fails.
pub(in super::super) fn read_log(
    store: &mut Store,
    source: impl Read,
    shown: &str,
    rejects: Option<&Path>,
    now: LocalInstant,
) -> Result<ImportReport, Failure> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(source);
    let broken = |error: csv::Error| {
        Failure::new(
            "log",
            format!("{shown}: {error}"),
            "a log is CSV in UTF-8, see `evenclamp record --help`",
        )
    };
    let header = reader.headers().map_err(broken)?.clone();
    let columns = Columns::find(header.iter())
        .map_err(|error| Failure::new("log", format!("{shown}:1: {error}"), "nothing was recorded"))?;
    let mut known = Known::load(store, now)?;
    let mut appending = store.append()?;
    let mut rejected = rejects.map(|path| Rejects::create(path, &header)).transpose()?;
    let mut count = Count::default();
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).map_err(broken)? {
        count.rows += 1;
        let line = record.position().map_or(0, csv::Position::line);
        match take(&record, header.len(), &columns, &mut known, &mut appending)? {
            Ok(()) => count.recorded += 1,
            Err(diagnostic) => {
                count.rejected += 1;
                if let Some(rejected) = &mut rejected {
                    rejected.write(&record, &diagnostic)?;
                }
                if count.diagnostics.len() < TOLD {
                    count.diagnostics.push(format!("{shown}:{line}: {diagnostic}"));
                }
            }
        }
        if count.rows % PROGRESS == 0 {
            sign_of_life(count.rows);
        }
    }
    let keep = rejects.is_some() || count.rejected == 0;
    if keep {
        appending.commit()?;
    } else {
        count.recorded = 0;
    }
    let rejects_file = rejected.map(Rejects::close).transpose()?.flatten();
    let Count { rows, recorded, rejected, diagnostics } = count;
    Ok(ImportReport { rows, recorded, rejected, diagnostics, rejects_file })
}

/// Appends one row, or says why not.
fn take(
    record: &csv::StringRecord,
    fields: usize,
    columns: &Columns,
    known: &mut Known,
    appending: &mut Appending<'_>,
) -> Result<Result<(), String>, Failure> {
    if record.len() != fields {
        return Ok(Err(format!("the row has {} fields where the header has {fields}", record.len())));
    }
    let line = match LogLine::read(columns, |index| record.get(index), &known.zone, known.now) {
        Ok(line) => line,
        Err(error) => return Ok(Err(error.to_string())),
    };
    let file_id = line.reading.id;
    let (new, corrected) = match known.place(line) {
        Ok(placed) => placed,
        Err(diagnostic) => return Ok(Err(diagnostic)),
    };
    if let Some(name) = &new.reading.wrench
        && !appending.knows_wrench(name)?
    {
        return Ok(Err(format!("no wrench is called `{name}`; register it with `evenclamp wrench add`")));
    }
    if let Some(twin) = appending.twin(&new)? {
        return Ok(Err(format!("duplicate of reading {twin}")));
    }
    match appending.add(&NewReading { corrects: corrected, ..new }, known.now) {
        Ok(id) => {
            if file_id != 0 {
                known.ids.insert(file_id, id);
            }
            Ok(Ok(()))
        }
        Err(error @ crate::store::StoreError::NotCorrectable(_)) => Ok(Err(error.to_string())),
        Err(error) => Err(error.into()),
    }
}

impl Known {
    fn load(store: &Store, now: LocalInstant) -> Result<Known, Failure> {
        let names: HashMap<i64, String> = store
            .bicycles(true)?
            .into_iter()
            .map(|stored| (stored.id, stored.bicycle.name.text().to_lowercase()))
            .collect();
        let mut joints = HashMap::new();
        for (id, bike) in &names {
            for stored in store.joints(Some(*id))? {
                joints.insert((bike.clone(), stored.joint.name.text().to_lowercase()), stored);
            }
        }
        Ok(Known { joints, ids: HashMap::new(), zone: clock::zone(), now })
    }

    /// The reading with the number of its joint, and of what it corrects; or what is wrong.
    fn place(&self, line: LogLine) -> Result<(NewReading, Option<i64>), String> {
        let key = (line.bike.to_lowercase(), line.joint.to_lowercase());
        let joint = self.joints.get(&key).ok_or_else(|| {
            format!("no joint `{}/{}`; `evenclamp bike list` names the bicycles", line.bike, line.joint)
        })?;
        if !(1..=joint.joint.bolts).contains(&line.reading.bolt) {
            return Err(format!(
                "{} has no bolt {}; its bolts are 1 to {}",
                line.joint, line.reading.bolt, joint.joint.bolts
            ));
        }
        if clock::in_future(line.reading.at, self.now) {
            return Err(format!("{} lies in the future (now is {})", line.reading.at, self.now));
        }
        let corrected = match line.corrects {
            None => None,
            Some(id) => match self.ids.get(&id) {
                Some(new) => Some(*new),
                None => {
                    return Err(format!(
                        "it corrects reading {id}, which stands nowhere above it in this file"
                    ));
                }
            },
        };
        let new = NewReading {
            joint: joint.id,
            reading: line.reading,
            who: line.who,
            note: line.note,
            corrects: None,
        };
        Ok((new, corrected))
    }
}

/// The rows that were not recorded, with the reason as a last column.
struct Rejects {
    path: PathBuf,
    writer: csv::Writer<std::fs::File>,
    any: bool,
}

impl Rejects {
    fn create(path: &Path, header: &csv::StringRecord) -> Result<Rejects, Failure> {
        let writer = csv::WriterBuilder::new().flexible(true).from_path(path);
        let mut writer = writer.map_err(|error| unwritable(path, &error))?;
        writer.write_record(header.iter().chain(["reason"])).map_err(|error| unwritable(path, &error))?;
        Ok(Rejects { path: path.to_owned(), writer, any: false })
    }

    fn write(&mut self, record: &csv::StringRecord, reason: &str) -> Result<(), Failure> {
        self.any = true;
        let written = self.writer.write_record(record.iter().chain([reason]));
        written.map_err(|error| unwritable(&self.path, &error))
    }

    /// Ends the file; one without rows is taken away again.
    fn close(mut self) -> Result<Option<String>, Failure> {
        self.writer.flush().map_err(|error| unwritable(&self.path, &error.into()))?;
        if self.any {
            return Ok(Some(self.path.display().to_string()));
        }
        let _ = std::fs::remove_file(&self.path);
        Ok(None)
    }
}

fn rejects_beside(file: &Path, from_stdin: bool) -> PathBuf {
    if from_stdin { PathBuf::from("rejected.csv") } else { file.with_extension("rejected.csv") }
}

/// Progress on a terminal only: a log of a run in the background stays clean.
fn sign_of_life(rows: usize) {
    use std::io::Write as _;
    let mut errors = std::io::stderr().lock();
    if errors.is_terminal() {
        let _ = write!(errors, "\r{rows} rows\r");
    }
}

fn unreadable(file: &Path, error: &std::io::Error) -> Failure {
    Failure::new(
        "file",
        format!("cannot read {}: {error}", file.display()),
        "name a CSV file, or - for standard input",
    )
}

fn unwritable(path: &Path, error: &csv::Error) -> Failure {
    Failure::new("file", format!("cannot write {}: {error}", path.display()), "nothing was recorded")
}
