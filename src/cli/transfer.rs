//! `export` and `import`: the whole workshop as CSV files, to be read by anyone and taken elsewhere.

mod rows;

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::file::AtomicFile;
use super::folder::{Folder, put_all};
use super::record::read_log;
use super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::store::Store;
use crate::workshop::{LOG_COLUMNS, LogLine, Logged, StoredBicycle, log_fields};
use rows::{BicycleRow, EventRow, JointRow, WrenchRow};

/// Write the whole workshop as CSV files: bicycles, joints, wrenches, events and the log
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp export workshop-2026

`readings.csv` is a log that `record --from` and `audit` read; `removed.csv` is the log of joints that
were taken off. Files that stand in the folder already are replaced only with --replace.")]
pub(super) struct ExportArgs {
    /// The folder to write; it is made where needed
    folder: PathBuf,
    /// Replace files of an earlier export
    #[arg(long)]
    replace: bool,
}

/// Read an exported workshop into an empty database, all or nothing
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp import workshop-2026 --db new.db")]
pub(super) struct ImportArgs {
    /// A folder that `export` has written
    folder: PathBuf,
}

/// The files of a workshop; every one of them is written, also where it has no rows.
const FILES: [&str; 6] =
    ["bicycles.csv", "joints.csv", "events.csv", "wrenches.csv", "readings.csv", "removed.csv"];

pub(super) fn export(args: &ExportArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store()?;
    let folder = Folder::open(&args.folder, FILES, args.replace)?;
    let bicycles = store.bicycles(true)?;
    let mut joints = Vec::new();
    let mut events = Vec::new();
    for StoredBicycle { id, bicycle } in &bicycles {
        let of_bicycle = store.joints(Some(*id))?;
        joints.extend(of_bicycle.iter().map(|stored| JointRow::of(bicycle.name.text(), &stored.joint)));
        let happened = store.events(Some(*id))?.remove(id).unwrap_or_default();
        events.extend(happened.iter().map(|event| EventRow::of(bicycle.name.text(), event)));
    }
    let mut files = vec![
        rows_file(&folder, "bicycles.csv", bicycles.iter().map(|stored| BicycleRow::of(&stored.bicycle)))?,
        rows_file(&folder, "joints.csv", joints)?,
        rows_file(&folder, "events.csv", events)?,
        rows_file(&folder, "wrenches.csv", store.wrenches()?.iter().map(WrenchRow::of))?,
    ];
    let mut kept = LogFile::begin(&folder, "readings.csv")?;
    let mut removed = LogFile::begin(&folder, "removed.csv")?;
    let mut readings = 0;
    store.log(None, |logged| -> Result<(), Failure> {
        readings += 1;
        let file = if logged.removed { &mut removed } else { &mut kept };
        file.write(&fields(logged))
    })?;
    files.extend([kept.finish()?, removed.finish()?]);
    put_all(files)?;
    let said = format!("{} bicycles, {readings} readings are in {}\n", bicycles.len(), args.folder.display());
    Ok(Answer::text(said))
}

fn fields(logged: Logged) -> [String; LOG_COLUMNS.len()] {
    let entry = logged.entry;
    let line = LogLine {
        bike: logged.bicycle,
        joint: logged.joint,
        reading: logged.reading,
        who: logged.who,
        note: logged.note,
        corrects: logged.corrects,
    };
    log_fields(&line, &entry)
}

pub(super) fn import(args: &ImportArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let now = clock::now()?;
    let empty =
        store.bicycles(true)?.is_empty() && store.wrenches()?.is_empty() && store.reading_count()? == 0;
    if !empty {
        return Err(Failure::new(
            FailureKind::Import,
            "the database holds a workshop already",
            "name a new database with --db PATH; a single log goes in with `evenclamp record --from`",
        ));
    }
    // Everything is put together in a database of its own first, so that a fault changes nothing.
    let folder = tempfile::tempdir().map_err(|error| {
        Failure::new(
            FailureKind::File,
            format!("cannot make a throw-away folder: {error}"),
            "see that TMPDIR can be written",
        )
    })?;
    let draft_path = folder.path().join("import.db");
    let mut draft = context.with_database(draft_path.clone()).store_with_book()?;
    fill(&mut draft, &args.folder)?;
    let log = args.folder.join("readings.csv");
    let source = std::fs::File::open(&log).map_err(|error| unreadable(&log, &error.into()))?;
    let report = read_log(&mut draft, source, &log.display().to_string(), None, now)?;
    if report.rejected > 0 {
        return Answer::of(&report, context, Decision::Bad);
    }
    drop(draft);
    store.restore(&draft_path)?;
    Answer::of(&report, context, Decision::Good)
}

/// Puts wrenches, bicycles, joints and events into an empty database.
fn fill(store: &mut Store, folder: &Path) -> Result<(), Failure> {
    for row in read_rows::<WrenchRow>(&folder.join("wrenches.csv"))? {
        row.add_to(store)?;
    }
    let joints = read_rows::<JointRow>(&folder.join("joints.csv"))?;
    let events = read_rows::<EventRow>(&folder.join("events.csv"))?;
    for row in read_rows::<BicycleRow>(&folder.join("bicycles.csv"))? {
        let of_bicycle = joints.iter().filter(|joint| joint.bike == row.bike).map(JointRow::joint);
        let joints = of_bicycle.collect::<Result<Vec<_>, _>>()?;
        let id = store.add_bicycle(&row.bicycle()?, &joints)?;
        for event in events.iter().filter(|event| event.bike == row.bike) {
            let event = event.event()?;
            store.add_event(id, &event, event.at)?;
        }
    }
    Ok(())
}

fn rows_file<R: Serialize>(
    folder: &Folder<'_>,
    name: &str,
    rows: impl IntoIterator<Item = R>,
) -> Result<AtomicFile, Failure> {
    let mut writer = csv::Writer::from_writer(folder.begin(name)?);
    for row in rows {
        writer.serialize(row).map_err(|error| folder.unwritable(name, &error.into()))?;
    }
    writer.into_inner().map_err(|error| folder.unwritable(name, error.error()))
}

/// The rows of a file; a file without rows has no header either.
fn read_rows<R: DeserializeOwned>(path: &Path) -> Result<Vec<R>, Failure> {
    let mut reader = csv::Reader::from_path(path).map_err(|error| unreadable(path, &error))?;
    reader.deserialize().collect::<Result<Vec<R>, _>>().map_err(|error| unreadable(path, &error))
}

/// A log in the making.
struct LogFile<'a> {
    folder: &'a Folder<'a>,
    name: &'static str,
    writer: csv::Writer<AtomicFile>,
}

impl<'a> LogFile<'a> {
    fn begin(folder: &'a Folder<'_>, name: &'static str) -> Result<LogFile<'a>, Failure> {
        let mut file = LogFile { folder, name, writer: csv::Writer::from_writer(folder.begin(name)?) };
        file.write(&LOG_COLUMNS)?;
        Ok(file)
    }

    fn write(&mut self, fields: &[impl AsRef<[u8]>]) -> Result<(), Failure> {
        let written = self.writer.write_record(fields);
        written.map_err(|error| self.folder.unwritable(self.name, &error.into()))
    }

    fn finish(self) -> Result<AtomicFile, Failure> {
        self.writer.into_inner().map_err(|error| self.folder.unwritable(self.name, error.error()))
    }
}

fn unreadable(path: &Path, error: &csv::Error) -> Failure {
    let message = format!("cannot read {}: {error}", path.display());
    Failure::new(
        FailureKind::File,
        message,
        "name a folder that `evenclamp export` has written; nothing was imported",
    )
}
