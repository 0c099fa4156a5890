//! `export` and `import`: the whole workshop as CSV files, to be read by anyone and taken elsewhere.

mod rows;

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::record::read_log;
use super::{Answer, Context, Failure, Outcome, clock};
use crate::store::{Logged, Store, StoredBicycle};
use crate::workshop::{LOG_COLUMNS, LogLine, log_fields};
use rows::{BicycleRow, EventRow, JointRow, WrenchRow};

/// Write the whole workshop as CSV files: bicycles, joints, wrenches, events and the log
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp export workshop-2026

`readings.csv` is a log that `record --from` and `audit` read; `removed.csv` is the log of joints that
were taken off.")]
pub(super) struct ExportArgs {
    /// The folder to write; it is made where needed
    folder: PathBuf,
}

/// Read an exported workshop into an empty database, all or nothing
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp import workshop-2026 --db new.db")]
pub(super) struct ImportArgs {
    /// A folder that `export` has written
    folder: PathBuf,
}

pub(super) fn export(args: &ExportArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store()?;
    std::fs::create_dir_all(&args.folder).map_err(|error| {
        let message = format!("cannot make {}: {error}", args.folder.display());
        Failure::new("file", message, "name a folder that can be made")
    })?;
    let bicycles = store.bicycles(true)?;
    let mut joints = Vec::new();
    let mut events = Vec::new();
    for StoredBicycle { id, bicycle } in &bicycles {
        let of_bicycle = store.joints(Some(*id))?;
        joints.extend(of_bicycle.iter().map(|stored| JointRow::of(bicycle.name.text(), &stored.joint)));
        let happened = store.events(Some(*id))?.remove(id).unwrap_or_default();
        events.extend(happened.iter().map(|event| EventRow::of(bicycle.name.text(), event)));
    }
    let file = |name: &str| args.folder.join(name);
    write_rows(&file("bicycles.csv"), bicycles.iter().map(|stored| BicycleRow::of(&stored.bicycle)))?;
    write_rows(&file("joints.csv"), joints)?;
    write_rows(&file("events.csv"), events)?;
    write_rows(&file("wrenches.csv"), store.wrenches()?.iter().map(WrenchRow::of))?;
    let mut kept = log_writer(&file("readings.csv"))?;
    let mut removed = log_writer(&file("removed.csv"))?;
    let mut readings = 0;
    store.log(None, |logged| -> Result<(), Failure> {
        readings += 1;
        let (writer, name) =
            if logged.removed { (&mut removed, "removed.csv") } else { (&mut kept, "readings.csv") };
        writer.write_record(fields(logged)).map_err(|error| unwritable(&file(name), &error))
    })?;
    for (writer, name) in [(&mut kept, "readings.csv"), (&mut removed, "removed.csv")] {
        writer.flush().map_err(|error| unwritable(&file(name), &error.into()))?;
    }
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
            "import",
            "the database holds a workshop already",
            "name a new database with --db PATH; a single log goes in with `evenclamp record --from`",
        ));
    }
    // Everything is put together in a database of its own first, so that a fault changes nothing.
    let folder = tempfile::tempdir().map_err(|error| {
        Failure::new(
            "file",
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
        return Answer::of(&report, context, Outcome::Bad);
    }
    drop(draft);
    store.restore(&draft_path)?;
    Answer::of(&report, context, Outcome::Good)
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

fn write_rows<R: Serialize>(path: &Path, rows: impl IntoIterator<Item = R>) -> Result<(), Failure> {
    let mut writer = csv::Writer::from_path(path).map_err(|error| unwritable(path, &error))?;
    for row in rows {
        writer.serialize(row).map_err(|error| unwritable(path, &error))?;
    }
    writer.flush().map_err(|error| unwritable(path, &error.into()))
}

/// The rows of a file; a file without rows has no header either.
fn read_rows<R: DeserializeOwned>(path: &Path) -> Result<Vec<R>, Failure> {
    let mut reader = csv::Reader::from_path(path).map_err(|error| unreadable(path, &error))?;
    reader.deserialize().collect::<Result<Vec<R>, _>>().map_err(|error| unreadable(path, &error))
}

fn log_writer(path: &Path) -> Result<csv::Writer<std::fs::File>, Failure> {
    let mut writer = csv::Writer::from_path(path).map_err(|error| unwritable(path, &error))?;
    writer.write_record(LOG_COLUMNS).map_err(|error| unwritable(path, &error))?;
    Ok(writer)
}

fn unwritable(path: &Path, error: &csv::Error) -> Failure {
    Failure::new(
        "file",
        format!("cannot write {}: {error}", path.display()),
        "name a folder that can be written",
    )
}

fn unreadable(path: &Path, error: &csv::Error) -> Failure {
    let message = format!("cannot read {}: {error}", path.display());
    Failure::new("file", message, "name a folder that `evenclamp export` has written; nothing was imported")
}
