//! `export` and `import`: the whole workshop as CSV files, to be read by anyone and taken elsewhere.

use std::io;
use std::path::{Path, PathBuf};

use clap::Args;

use super::book::{OWN, OWN_FILE};
use super::context::read_file;
use super::file::{AtomicFile, CsvFile, unreadable};
use super::folder::{Folder, put_all, throw_away};
use super::record::read_log;
use super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::book::OwnFigure;
use crate::sheet::{Diagnostic, Diagnostics, KeptRecord, read_records, record_fields, record_header};
use crate::store::Store;
use crate::words::counted;
use crate::workshop::{Bicycle, Event, Joint, LOG_COLUMNS, StoredBicycle, StoredJoint};
use crate::wrench::WrenchRecord;

/// Write the whole workshop as CSV files: bicycles, joints, wrenches, events, own figures and the log
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

const BICYCLES: &str = "bicycles";
const JOINTS: &str = "joints";
const EVENTS: &str = "events";
const WRENCHES: &str = "wrenches";
/// The column that names the bicycle of a joint or event.
const BIKE: &str = "bike";
const NOTHING_IMPORTED: &str = "name a folder that `evenclamp export` has written; nothing was imported";

/// The files of a workshop; every one of them is written, also where it has no rows.
const FILES: [&str; 7] =
    ["bicycles.csv", "joints.csv", "events.csv", "wrenches.csv", OWN_FILE, "readings.csv", "removed.csv"];

pub(super) fn export(args: &ExportArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store()?;
    let folder = Folder::open(&args.folder, FILES, args.replace)?;
    let bicycles = store.bicycles(true)?;
    let mut joints = Vec::new();
    let mut events = Vec::new();
    for StoredBicycle { id, bicycle } in &bicycles {
        for StoredJoint { joint, .. } in store.joints(Some(*id))? {
            for damaged in joint.damaged() {
                let (name, column) = (&joint.name, damaged.column);
                context.say(format!(
                    "{}/{name}, column {column}: {damaged}; import will refuse it",
                    bicycle.name
                ));
            }
            joints.push(record_fields(Some(bicycle.name.text()), &joint));
        }
        let happened = store.events(Some(*id))?.remove(id).unwrap_or_default();
        events.extend(happened.iter().map(|event| record_fields(Some(bicycle.name.text()), event)));
    }
    let wrenches = store.wrenches()?;
    let wrenches = wrenches.iter().map(|wrench| record_fields(None, &WrenchRecord::of(wrench))).collect();
    for fault in store.own_evidence()?.faults {
        context.say(format!("{fault}; import will refuse it"));
    }
    let own = store.own_rows()?.iter().map(|row| record_fields(None, &row.figure)).collect();
    let rows = bicycles.iter().map(|stored| record_fields(None, &stored.bicycle)).collect();
    let mut files = vec![
        rows_file::<Bicycle>(&folder, BICYCLES, None, rows)?,
        rows_file::<Joint>(&folder, JOINTS, Some(BIKE), joints)?,
        rows_file::<Event>(&folder, EVENTS, Some(BIKE), events)?,
        rows_file::<WrenchRecord>(&folder, WRENCHES, None, wrenches)?,
        rows_file::<OwnFigure>(&folder, OWN, None, own)?,
    ];
    let (mut kept, mut removed) = (begin(&folder, "readings")?, begin(&folder, "removed")?);
    kept.write(LOG_COLUMNS)?;
    removed.write(LOG_COLUMNS)?;
    let mut readings = 0;
    store.log(|logged| -> Result<(), Failure> {
        readings += 1;
        let file = if logged.removed { &mut removed } else { &mut kept };
        file.write(logged.fields())
    })?;
    files.extend([kept.finish()?, removed.finish()?]);
    put_all(files)?;
    let (bicycles, readings) = (counted(bicycles.len(), "bicycle"), counted(readings, "reading"));
    let said = format!("{bicycles}, {readings} are in {}\n", args.folder.display());
    Ok(Answer::text(said))
}

pub(super) fn import(args: &ImportArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let now = clock::now()?;
    let empty = store.bicycles(true)?.is_empty()
        && store.wrenches()?.is_empty()
        && store.own_rows()?.is_empty()
        && store.reading_count()? == 0;
    if !empty {
        return Err(Failure::new(
            FailureKind::Import,
            "the database holds a workshop already",
            "name a new database with --db PATH; a single log goes in with `evenclamp record --from`",
        ));
    }
    // Everything is put together in a database of its own first, so that a fault changes nothing.
    let folder = throw_away()?;
    let draft_path = folder.path().join("import.db");
    let mut draft = context.with_database(draft_path.clone()).store_with_book()?;
    fill(&mut draft, &args.folder)?;
    fill_own(&mut draft, &args.folder, context)?;
    let log = args.folder.join("readings.csv");
    let source = std::fs::File::open(&log).map_err(|error| unreadable(&log, error, NOTHING_IMPORTED))?;
    let report = read_log(&mut draft, source, &log.display().to_string(), None, now)?;
    if report.rejected > 0 {
        return Answer::of(&report, context, Decision::Bad);
    }
    drop(draft);
    store.restore(&draft_path)?;
    Answer::of(&report, context, Decision::Good)
}

/// Takes in the workshop's own figures; a folder of an earlier version has none.
fn fill_own(store: &mut Store, folder: &Path, context: &Context) -> Result<(), Failure> {
    let Some(bytes) = read_file(folder, OWN_FILE)? else { return Ok(()) };
    let mut diagnostics = Diagnostics::default();
    let figures = read_records::<OwnFigure>(OWN, None, &bytes, &mut diagnostics);
    refuse_first(folder, diagnostics)?;
    let figures: Vec<OwnFigure> = figures.into_iter().map(|(_, figure)| figure).collect();
    store.take_in(None, &figures)?;
    context.tell_own(store, true)
}

fn fill(store: &mut Store, folder: &Path) -> Result<(), Failure> {
    for (_, record) in records::<WrenchRecord>(folder, WRENCHES, None)? {
        let name = record.parts.name.clone();
        let registered = record.registered().map_err(|error| {
            let message = format!("`{name}` is not a wrench ({error})");
            Failure::new(FailureKind::Import, message, NOTHING_IMPORTED)
        })?;
        store.add_wrench(&registered.wrench, registered.added_on)?;
        if let Some(on) = registered.retired_on {
            store.retire_wrench(&name, on)?;
        }
    }
    let joints = records::<Joint>(folder, JOINTS, Some(BIKE))?;
    let events = records::<Event>(folder, EVENTS, Some(BIKE))?;
    for (_, bicycle) in records::<Bicycle>(folder, BICYCLES, None)? {
        let name = bicycle.name.text();
        let of_bicycle = joints.iter().filter(|(bike, _)| bike == name);
        let of_bicycle: Vec<Joint> = of_bicycle.map(|(_, joint)| joint.clone()).collect();
        let id = store.add_bicycle(&bicycle, &of_bicycle)?;
        for (_, event) in events.iter().filter(|(bike, _)| bike == name) {
            store.add_event(id, event, event.at)?;
        }
    }
    Ok(())
}

fn rows_file<R: KeptRecord>(
    folder: &Folder<'_>,
    name: &str,
    whole: Option<&'static str>,
    rows: Vec<Vec<String>>,
) -> Result<AtomicFile, Failure> {
    let mut file = begin(folder, name)?;
    file.write(record_header::<R>(whole))?;
    for row in rows {
        file.write(row)?;
    }
    file.finish()
}

fn records<R: KeptRecord>(
    folder: &Path,
    name: &'static str,
    whole: Option<&'static str>,
) -> Result<Vec<(String, R)>, Failure> {
    let path = folder.join(format!("{name}.csv"));
    let bytes = std::fs::read(&path).map_err(|error| unreadable(&path, error, NOTHING_IMPORTED))?;
    let mut diagnostics = Diagnostics::default();
    let records = read_records(name, whole, &bytes, &mut diagnostics);
    refuse_first(folder, diagnostics)?;
    Ok(records)
}

/// The failure of the first fault in a file of the folder.
fn refuse_first(folder: &Path, diagnostics: Diagnostics) -> Result<(), Failure> {
    match diagnostics.into_errors().first() {
        None => Ok(()),
        Some(Diagnostic { at, message, fix, .. }) => {
            let fix = format!("{fix}; nothing was imported");
            Err(Failure::new(FailureKind::Import, message, fix)
                .at(folder.join(at.to_string()).display().to_string()))
        }
    }
}

fn begin(folder: &Folder<'_>, name: &str) -> Result<CsvFile<impl Fn(&io::Error) -> Failure>, Failure> {
    let name = format!("{name}.csv");
    Ok(CsvFile::new(folder.begin(&name)?, move |error| folder.unwritable(&name, error)))
}
