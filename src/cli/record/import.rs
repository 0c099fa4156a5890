//! `record --from`: a whole log from a CSV file, streamed row by row.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use jiff::tz::TimeZone;

use super::super::file::{AtomicFile, CsvFile, unreadable};
use super::super::progress::Progress;
use super::super::target::refuse_retired;
use super::super::{Answer, Context, Decision, Failure, FailureKind, clock};
use super::admit::Admission;
use super::log_form::{LogForm, form_of};
use crate::book::MeasuredItem;
use crate::joint::Catalogue;
use crate::quantity::{Torque, TorqueUnit};
use crate::report::ImportReport;
use crate::sheet::Separator;
use crate::store::{Appending, Store, StoreError};
use crate::words::{hidden_in, of_cell};
use crate::workshop::{Bicycle, Hardware, LocalInstant, LogColumns, LogLine, REASON, Reading, StoredJoint};
use crate::wrench::RegisteredWrench;

/// Diagnostics that are told in full; the rest is counted.
const TOLD: usize = 20;

/// Where a log comes from.
#[derive(Debug, Clone, Copy)]
pub(in super::super) enum Origin {
    /// It was exported: what was recorded once stays as it is.
    Export,
    /// Anywhere else: every row is held to what `record` takes.
    Elsewhere {
        /// The unit of values without one, where somebody stated it.
        bare: Option<TorqueUnit>,
        /// Whether somebody is sure of values that do not look plausible.
        sure: bool,
    },
}

/// A joint, and what it takes once a row has asked for that.
struct KnownJoint {
    stored: StoredJoint,
    admission: OnceCell<Admission>,
}

/// The joints by bicycle and name, in lower case, and the numbers that the file gave to its readings.
struct KnownNames {
    joints: HashMap<(String, String), KnownJoint>,
    bicycles: HashMap<i64, Bicycle>,
    /// What the book knows of their entries.
    hardware: HashMap<String, Hardware>,
    /// The smallest divisions of the wrenches, where known, by name in lower case.
    divisions: HashMap<String, Option<Torque>>,
    catalogue: Rc<Catalogue>,
    items: BTreeMap<String, MeasuredItem>,
    ids: HashMap<i64, i64>,
    zone: TimeZone,
    now: LocalInstant,
    origin: Origin,
}

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
        match take(&record, header.len(), &columns, &mut known, &mut appending) {
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

/// What is refused where it is typed is refused here, in the same words.
impl From<Failure> for RowError {
    fn from(failure: Failure) -> RowError {
        let hint = failure.hint.unwrap_or_default();
        let instead = ["nothing was recorded; ", "nothing was taken: "];
        let instead = instead.iter().find_map(|told| hint.strip_prefix(told)).unwrap_or(&hint);
        RowError::Rejected([&*failure.message, instead].join("; "))
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

/// Takes a row in; whether it says who read it.
fn take(
    record: &csv::StringRecord,
    fields: usize,
    columns: &LogColumns,
    known: &mut KnownNames,
    appending: &mut Appending<'_>,
) -> Result<bool, RowError> {
    if record.len() != fields {
        return Err(format!("the row has {} fields where the header has {fields}", record.len()).into());
    }
    let bare = match known.origin {
        Origin::Export => None,
        Origin::Elsewhere { bare, .. } => bare,
    };
    if let (Origin::Elsewhere { .. }, Some(hidden)) = (known.origin, record.iter().find_map(hidden_in)) {
        return Err(format!("a field holds a character that is not seen ({hidden}); take it out").into());
    }
    let cells: Vec<_> = record.iter().map(of_cell).collect();
    let line =
        LogLine::read(columns, |index| cells.get(index).map(|cell| &**cell), &known.zone, known.now, bare)?;
    let file_id = line.reading.id;
    let (place, reading) = known.place(line)?;
    let joint = place.stored.id;
    let wrench = reading.wrench.as_deref().map(|name| appending.wrench(name)).transpose()?;
    if let (Some(None), Some(name)) = (&wrench, &reading.wrench) {
        return Err(format!("no wrench is called `{name}`; register it with `evenclamp wrench add`").into());
    }
    if let Origin::Elsewhere { sure, .. } = known.origin {
        known.admit(place, &reading, sure)?;
    }
    known.refuse_twice(file_id, appending, (joint, &reading))?;
    let id = appending.add(joint, &reading, known.now)?;
    if file_id != 0 {
        known.ids.insert(file_id, id);
    }
    Ok(!reading.who.is_empty())
}

impl KnownNames {
    fn load(store: &Store, now: LocalInstant, origin: Origin) -> Result<KnownNames, Failure> {
        let (mut joints, mut bicycles) = (HashMap::new(), HashMap::new());
        for stored in store.bicycles(true)? {
            let bike = stored.bicycle.name.text().to_lowercase();
            for stored in store.joints(Some(stored.id))? {
                let name = stored.joint.name.text().to_lowercase();
                joints.insert((bike.clone(), name), KnownJoint { stored, admission: OnceCell::new() });
            }
            bicycles.insert(stored.id, stored.bicycle);
        }
        let pages = store.pages_of(joints.values().map(|known: &KnownJoint| &known.stored.joint))?;
        let named =
            |wrench: RegisteredWrench| (wrench.wrench.name().to_lowercase(), wrench.wrench.parts().step);
        Ok(KnownNames {
            hardware: pages.iter().map(|(entry, page)| (entry.clone(), Hardware::of(page))).collect(),
            divisions: store.wrenches()?.into_iter().map(named).collect(),
            catalogue: Rc::new(store.catalogue()?),
            items: store.measured_items()?,
            joints,
            bicycles,
            ids: HashMap::new(),
            zone: clock::zone(),
            now,
            origin,
        })
    }

    /// The joint and its reading, with the number here of what it corrects; or what is wrong.
    fn place(&self, line: LogLine) -> Result<(&KnownJoint, Reading), RowError> {
        let key = (line.bike.to_lowercase(), line.joint.to_lowercase());
        let joint = self.joints.get(&key).ok_or_else(|| {
            format!("no joint `{}/{}`; `evenclamp bike list` names the bicycles", line.bike, line.joint)
        })?;
        let bolts = joint.stored.joint.bolts;
        if !line.bolt_named && bolts > 1 {
            return Err(format!("bolt is empty; {} has {bolts}, write which one it is", line.joint).into());
        }
        if !(1..=bolts).contains(&line.reading.bolt) {
            let bolt = line.reading.bolt;
            return Err(format!("{} has no bolt {bolt}; its bolts are 1 to {bolts}", line.joint).into());
        }
        if clock::in_future(line.reading.at, self.now) {
            return Err(format!("{} lies in the future (now is {})", line.reading.at, self.now).into());
        }
        let corrects = line.reading.corrects.map(|id| {
            let new = self.ids.get(&id).copied();
            new.ok_or_else(|| format!("it corrects reading {id}, which stands nowhere above it in this file"))
        });
        Ok((joint, Reading { corrects: corrects.transpose()?, ..line.reading }))
    }

    /// Refuses a row that is there already. A correction may say the same of the bolt as what it corrects, and has a place
    /// of its own behind it; rows of an export are told apart by their numbers.
    fn refuse_twice(
        &self,
        file_id: i64,
        appending: &Appending<'_>,
        (joint, reading): (i64, &Reading),
    ) -> Result<(), RowError> {
        if let Origin::Export = self.origin
            && file_id != 0
        {
            let stands = self.ids.contains_key(&file_id);
            return if stands { Err(format!("reading {file_id} stands twice").into()) } else { Ok(()) };
        }
        let twin = if reading.corrects.is_none() { appending.twin(joint, reading)? } else { None };
        twin.map_or(Ok(()), |twin| Err(format!("duplicate of reading {twin}").into()))
    }

    /// Refuses what is refused where it is typed.
    fn admit(&self, joint: &KnownJoint, reading: &Reading, sure: bool) -> Result<(), RowError> {
        let (stored, wrench) = (&joint.stored, reading.wrench.as_ref());
        self.bicycles.get(&stored.bicycle).map_or(Ok(()), refuse_retired)?;
        let admission = if let Some(known) = joint.admission.get() {
            known
        } else {
            let entry = &stored.joint.entry;
            let (hardware, item) = (self.hardware.get(entry), self.items.get(entry).cloned());
            let catalogue = || Ok::<_, Failure>(Rc::clone(&self.catalogue));
            let found = Admission::new(&stored.joint, hardware, item, catalogue)?;
            joint.admission.get_or_init(|| found)
        };
        let wrench = wrench.and_then(|name| self.divisions.get(&name.trim().to_lowercase()));
        admission.refuse(reading, wrench.copied().flatten())?;
        admission.doubtful(reading, sure, None)?;
        Ok(())
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
