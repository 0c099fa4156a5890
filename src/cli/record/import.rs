//! `record --from`: a whole log from a CSV file, streamed row by row.

use std::collections::{BTreeMap, HashMap};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;

use super::super::file::{AtomicFile, CsvFile, unreadable};
use super::super::progress::Progress;
use super::super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::book::MeasuredItem;
use crate::conformity::is_no_reading;
use crate::joint::Catalogue;
use crate::quantity::{Torque, TorqueUnit};
use crate::report::ImportReport;
use crate::store::{Appending, Store, StoreError};
use crate::workshop::{LocalInstant, LogColumns, LogLine, Reading, StoredJoint};
use crate::wrench::RegisteredWrench;

/// Diagnostics that are told in full; the rest is counted.
const TOLD: usize = 20;

/// The joints by bicycle and name, in lower case, and the numbers that the file gave to its readings.
struct KnownNames {
    joints: HashMap<(String, String), StoredJoint>,
    /// The threads of their entries.
    threads: HashMap<String, String>,
    /// The smallest divisions of the wrenches, where known, by name in lower case.
    divisions: HashMap<String, Option<Torque>>,
    catalogue: Catalogue,
    items: BTreeMap<String, MeasuredItem>,
    ids: HashMap<i64, i64>,
    zone: TimeZone,
    now: LocalInstant,
    /// The unit of values without one, where somebody stated it.
    bare: Option<TorqueUnit>,
}

pub(super) fn answer(
    store: &mut Store,
    (file, bare): (&Path, Option<TorqueUnit>),
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
    let report = read_log_in(store, (source, bare), &shown, rejects.as_ref(), now)?;
    let outcome = if report.rejected == 0 { Decision::Good } else { Decision::Bad };
    Answer::of(&report, context, outcome)
}

/// Reads a log into the store: all or nothing, or with `rejects` the good rows, the others going there.
pub(in super::super) fn read_log(
    store: &mut Store,
    source: impl Read,
    shown: &str,
    rejects: Option<&RejectsBeside>,
    now: LocalInstant,
) -> Result<ImportReport, Failure> {
    read_log_in(store, (source, None), shown, rejects, now)
}

/// The same; values without a unit are in the one that is given, where one is.
fn read_log_in(
    store: &mut Store,
    (source, bare): (impl Read, Option<TorqueUnit>),
    shown: &str,
    rejects: Option<&RejectsBeside>,
    now: LocalInstant,
) -> Result<ImportReport, Failure> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(source);
    let broken = |error: csv::Error| {
        let hint = "a log is CSV in UTF-8, see `evenclamp record --help`";
        Failure::new(FailureKind::Log, format!("{shown}: {error}"), hint)
    };
    let header = reader.headers().map_err(broken)?.clone();
    let columns = LogColumns::find(header.iter()).map_err(|error| {
        Failure::new(FailureKind::Log, format!("{shown}:1: {error}"), "nothing was recorded")
    })?;
    let mut known = KnownNames::load(store, now, bare)?;
    let mut appending = store.append()?;
    let mut rejected = rejects.map(|beside| beside.begin(&header)).transpose()?;
    let mut report = ImportReport::default();
    let progress = Progress::of_rows();
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).map_err(broken)? {
        report.rows += 1;
        let line = record.position().map_or(0, csv::Position::line);
        match take(&record, header.len(), &columns, &mut known, &mut appending) {
            Ok(()) => report.recorded += 1,
            Err(RowError::Failed(error)) => return Err(error.into()),
            Err(RowError::Rejected(diagnostic)) => {
                report.rejected += 1;
                if let Some(rejected) = &mut rejected {
                    rejected.write(record.iter().chain([diagnostic.as_str()]))?;
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

/// Why a row is not recorded.
enum RowError {
    /// What is wrong with it; the rows after it are read all the same.
    Rejected(String),
    Failed(StoreError),
}

impl From<String> for RowError {
    fn from(reason: String) -> RowError {
        RowError::Rejected(reason)
    }
}

impl From<StoreError> for RowError {
    fn from(error: StoreError) -> RowError {
        match error {
            StoreError::NotCorrectable(_) => RowError::Rejected(error.to_string()),
            _ => RowError::Failed(error),
        }
    }
}

fn take(
    record: &csv::StringRecord,
    fields: usize,
    columns: &LogColumns,
    known: &mut KnownNames,
    appending: &mut Appending<'_>,
) -> Result<(), RowError> {
    if record.len() != fields {
        return Err(format!("the row has {} fields where the header has {fields}", record.len()).into());
    }
    let line = LogLine::read(columns, |index| record.get(index), &known.zone, known.now, known.bare)?;
    let file_id = line.reading.id;
    let (stored, reading) = known.place(line)?;
    let joint = stored.id;
    let wrench = reading.wrench.as_deref().map(|name| appending.wrench(name)).transpose()?;
    if let (Some(None), Some(name)) = (&wrench, &reading.wrench) {
        return Err(format!("no wrench is called `{name}`; register it with `evenclamp wrench add`").into());
    }
    // What this program exported once stays as it is.
    if file_id == 0 {
        known.admit(stored, &reading)?;
    }
    if let Some(twin) = appending.twin(joint, &reading)? {
        return Err(format!("duplicate of reading {twin}").into());
    }
    let id = appending.add(joint, &reading, known.now)?;
    if file_id != 0 {
        known.ids.insert(file_id, id);
    }
    Ok(())
}

impl KnownNames {
    fn load(store: &Store, now: LocalInstant, bare: Option<TorqueUnit>) -> Result<KnownNames, Failure> {
        let mut joints = HashMap::new();
        for bicycle in store.bicycles(true)? {
            let bike = bicycle.bicycle.name.text().to_lowercase();
            for stored in store.joints(Some(bicycle.id))? {
                joints.insert((bike.clone(), stored.joint.name.text().to_lowercase()), stored);
            }
        }
        let mut threads = HashMap::new();
        for stored in joints.values() {
            let entry = &stored.joint.entry;
            if !threads.contains_key(entry) {
                let page = store.page(entry)?;
                threads.insert(entry.clone(), page.map(|page| page.entry.thread).unwrap_or_default());
            }
        }
        let named =
            |wrench: RegisteredWrench| (wrench.wrench.name().to_lowercase(), wrench.wrench.parts().step);
        Ok(KnownNames {
            divisions: store.wrenches()?.into_iter().map(named).collect(),
            catalogue: store.catalogue()?,
            items: store.measured_items()?,
            joints,
            threads,
            ids: HashMap::new(),
            zone: clock::zone(),
            now,
            bare,
        })
    }

    /// The number of the joint and its reading, with the number here of what it corrects; or what is wrong.
    fn place(&self, line: LogLine) -> Result<(&StoredJoint, Reading), String> {
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
        let corrects = line.reading.corrects.map(|id| {
            let new = self.ids.get(&id).copied();
            new.ok_or_else(|| format!("it corrects reading {id}, which stands nowhere above it in this file"))
        });
        Ok((joint, Reading { corrects: corrects.transpose()?, ..line.reading }))
    }

    /// Refuses what is refused where it is typed: what the joint does not take, what is no reading, and what would tear
    /// any bolt of its thread.
    fn admit(&self, stored: &StoredJoint, reading: &Reading) -> Result<(), String> {
        if let Some(refused) = stored.joint.refuses(reading) {
            return Err(format!("{refused}; {}", refused.hint()));
        }
        if let Some(refused) = stored.joint.refuses_measure(reading, self.items.get(&stored.joint.entry)) {
            return Err(format!("{refused}; {}", refused.hint()));
        }
        let Some(read) = reading.as_read() else { return Ok(()) };
        let wrench = reading.wrench.as_ref().and_then(|name| self.divisions.get(&name.trim().to_lowercase()));
        if is_no_reading(read.torque, wrench.copied().flatten()) {
            return Err(
                "it shows nothing, or less than the smallest division of its wrench: no reading".to_owned()
            );
        }
        let of_entry = self.threads.get(&stored.joint.entry).map_or("", String::as_str);
        let thread = if stored.joint.thread.is_empty() { of_entry } else { &stored.joint.thread };
        let torn = self
            .catalogue
            .tears_any(thread, read.number.value, read.unit)
            .map_err(|error| error.to_string())?;
        torn.map_or(Ok(()), |unmeant| Err(unmeant.text(read.unit)))
    }
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
    fn begin(&self, header: &csv::StringRecord) -> Result<CsvFile<impl Fn(&io::Error) -> Failure>, Failure> {
        let file = AtomicFile::begin_in_first_free(self.places()).map_err(|error| self.refused(&error))?;
        let mut rejects = CsvFile::new(file, |error| self.refused(error));
        rejects.write(header.iter().chain(["reason"]))?;
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
