//! The sheets of an exported workshop: what follows from its journal, or, of an earlier version, all there is.

use std::collections::HashSet;
use std::io;
use std::path::Path;

use super::super::book::{OWN, OWN_FILE};
use super::super::context::read_file;
use super::super::file::{AtomicFile, CsvFile, unreadable};
use super::super::folder::Folder;
use super::super::{Context, Failure, FailureKind};
use super::NOTHING_IMPORTED;
use crate::book::OwnFigure;
use crate::conformity::Kind;
use crate::sheet::{
    Diagnostic, Diagnostics, KeptRecord, Places, read_placed_records, read_records, record_fields,
    record_header,
};
use crate::store::Store;
use crate::workshop::{Bicycle, Event, Joint, LOG_COLUMNS, StoredBicycle, StoredJoint};
use crate::wrench::WrenchRecord;

const BICYCLES: &str = "bicycles";
const JOINTS: &str = "joints";
const EVENTS: &str = "events";
const WRENCHES: &str = "wrenches";
/// The column that names the bicycle of a joint or event.
const BIKE: &str = "bike";

/// The files of a workshop; every one of them is written, also where it has no rows.
pub(super) const FILES: [&str; 7] =
    ["bicycles.csv", "joints.csv", "events.csv", "wrenches.csv", OWN_FILE, "readings.csv", "removed.csv"];

/// What an import of the sheets would refuse.
pub(super) fn remarks(store: &Store) -> Result<Vec<String>, Failure> {
    let mut remarks = Vec::new();
    for StoredBicycle { id, bicycle } in store.bicycles(true)? {
        for StoredJoint { joint, .. } in store.joints(Some(id))? {
            let (bike, name) = (&bicycle.name, &joint.name);
            remarks.extend(joint.damaged().map(|damaged| {
                format!(
                    "{bike}/{name}, column {}: {damaged}; an import of the sheets alone refuses it",
                    damaged.column
                )
            }));
        }
    }
    let faults = store.own_evidence()?.faults;
    remarks.extend(faults.iter().map(|fault| format!("{fault}; an import of the sheets alone refuses it")));
    Ok(remarks)
}

/// The sheets, not yet in their places.
pub(super) fn write(store: &Store, folder: &Folder<'_>) -> Result<Vec<AtomicFile>, Failure> {
    let bicycles = store.bicycles(true)?;
    let mut joints = Vec::new();
    let mut events = Vec::new();
    for StoredBicycle { id, bicycle } in &bicycles {
        let name = Some(bicycle.name.text());
        joints.extend(store.joints(Some(*id))?.iter().map(|stored| record_fields(name, &stored.joint)));
        let happened = store.events(Some(*id))?.remove(id).unwrap_or_default();
        events.extend(happened.iter().map(|event| record_fields(name, event)));
    }
    let wrenches = store.wrenches()?;
    let wrenches = wrenches.iter().map(|wrench| record_fields(None, &WrenchRecord::of(wrench))).collect();
    let own = store.own_rows()?.iter().map(|row| record_fields(None, &row.figure)).collect();
    let rows = bicycles.iter().map(|stored| record_fields(None, &stored.bicycle)).collect();
    let mut files = vec![
        rows_file::<Bicycle>(folder, BICYCLES, None, rows)?,
        rows_file::<Joint>(folder, JOINTS, Some(BIKE), joints)?,
        rows_file::<Event>(folder, EVENTS, Some(BIKE), events)?,
        rows_file::<WrenchRecord>(folder, WRENCHES, None, wrenches)?,
        rows_file::<OwnFigure>(folder, OWN, None, own)?,
    ];
    let (mut kept, mut removed) = (begin(folder, "readings")?, begin(folder, "removed")?);
    kept.write(LOG_COLUMNS)?;
    removed.write(LOG_COLUMNS)?;
    store.log(|logged| -> Result<(), Failure> {
        let file = if logged.removed { &mut removed } else { &mut kept };
        file.write_cells(logged.fields())
    })?;
    files.extend([kept.finish()?, removed.finish()?]);
    Ok(files)
}

/// Whether a sheet says the same as what the journal gives today. One of an earlier version lacks the columns that came
/// later, and calls what was measured tightened.
pub(super) fn says_the_same(there: &[u8], today: &[u8]) -> bool {
    if there == today {
        return true;
    }
    let rows = |bytes: &[u8]| -> Option<Vec<csv::StringRecord>> {
        csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes)
            .into_records()
            .collect::<Result<_, _>>()
            .ok()
    };
    let Some((there, today)) = rows(there).zip(rows(today)) else { return false };
    let Some((columns, known)) = there.first().zip(today.first()) else { return false };
    let places: Option<Vec<usize>> =
        columns.iter().map(|column| known.iter().position(|name| name == column)).collect();
    let Some(places) = places else { return false };
    let kind = columns.iter().position(|column| column == "kind");
    there.len() == today.len()
        && there.iter().zip(&today).all(|(there, today)| {
            (0..).zip(there).zip(&places).all(|((column, field), &place)| {
                let own = today.get(place);
                own == Some(field) || (Some(column) == kind && own == Some(Kind::Measured.text()))
            })
        })
}

/// Takes in the workshop's own figures; a folder of an earlier version has none.
pub(super) fn fill_own(store: &mut Store, folder: &Path, context: &Context) -> Result<(), Failure> {
    let Some(bytes) = read_file(folder, OWN_FILE)? else { return Ok(()) };
    let mut diagnostics = Diagnostics::default();
    let figures = read_records::<OwnFigure>(OWN, None, &bytes, &mut diagnostics);
    refuse_first(folder, diagnostics)?;
    let figures: Vec<OwnFigure> = figures.into_iter().map(|(_, figure)| figure).collect();
    store.take_in(None, &figures)?;
    context.tell_own(store, true)
}

pub(super) fn fill(store: &mut Store, folder: &Path) -> Result<(), Failure> {
    let wrenches = records::<WrenchRecord>(folder, WRENCHES, None)?;
    let bicycles = records::<Bicycle>(folder, BICYCLES, None)?;
    let joints = records::<Joint>(folder, JOINTS, Some(BIKE))?;
    let events = records::<Event>(folder, EVENTS, Some(BIKE))?;
    refuse_names(folder, (&wrenches, &bicycles), (&joints, &events))?;
    for (_, record, _) in wrenches {
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
    for (_, bicycle, _) in bicycles {
        let name = as_found(bicycle.name.text());
        let of_bicycle = joints.iter().filter(|(bike, ..)| as_found(bike) == name);
        let of_bicycle: Vec<Joint> = of_bicycle.map(|(_, joint, _)| joint.clone()).collect();
        let id = store.add_bicycle(&bicycle, &of_bicycle)?;
        for (_, event, _) in events.iter().filter(|(bike, ..)| as_found(bike) == name) {
            store.add_event(&[id], event, event.at)?;
        }
    }
    Ok(())
}

/// The records of a sheet, each with the whole that it is a part of and the places of its columns.
type Placed<R> = [(String, R, Places)];

/// A name as it is looked up.
fn as_found(name: &str) -> String {
    name.trim().to_lowercase()
}

/// Refuses names that stand twice, and joints and events of a bicycle that is not there.
fn refuse_names(
    folder: &Path,
    (wrenches, bicycles): (&Placed<WrenchRecord>, &Placed<Bicycle>),
    (joints, events): (&Placed<Joint>, &Placed<Event>),
) -> Result<(), Failure> {
    let (mut diagnostics, mut seen) = (Diagnostics::default(), HashSet::new());
    let mut once = |what: &str, name: &str, sheet: &str, places: &Places| {
        if let (false, Some((_, at))) = (seen.insert((what.to_owned(), as_found(name))), places.first()) {
            let fix = format!("give one of them another name in {sheet}.csv, or take its row out");
            diagnostics.error(at, format!("{what} `{name}` stands in another row already"), fix);
        }
    };
    for (_, wrench, places) in wrenches {
        once("the wrench", &wrench.parts.name, WRENCHES, places);
    }
    for (_, bicycle, places) in bicycles {
        once("the bicycle", bicycle.name.text(), BICYCLES, places);
    }
    for (bike, joint, places) in joints {
        once("the joint", &format!("{bike}/{}", joint.name), JOINTS, places);
    }
    let known: HashSet<String> =
        bicycles.iter().map(|(_, bicycle, _)| as_found(bicycle.name.text())).collect();
    let of_joints = joints.iter().map(|(bike, _, places)| (bike, places));
    for (bike, places) in of_joints.chain(events.iter().map(|(bike, _, places)| (bike, places))) {
        if let (false, Some((_, at))) = (known.contains(&as_found(bike)), places.first()) {
            let fix = format!("add its row there, or write the name of one in the column {BIKE} of this row");
            diagnostics.error(at, format!("{BICYCLES}.csv has no bicycle `{bike}`"), fix);
        }
    }
    refuse_first(folder, diagnostics)
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
        file.write_cells(row)?;
    }
    file.finish()
}

fn records<R: KeptRecord>(
    folder: &Path,
    name: &'static str,
    whole: Option<&'static str>,
) -> Result<Vec<(String, R, Places)>, Failure> {
    let path = folder.join(format!("{name}.csv"));
    let bytes = std::fs::read(&path).map_err(|error| unreadable(&path, error, NOTHING_IMPORTED))?;
    let mut diagnostics = Diagnostics::default();
    let records = read_placed_records(name, whole, &bytes, &mut diagnostics);
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

pub(super) fn begin(
    folder: &Folder<'_>,
    name: &str,
) -> Result<CsvFile<impl Fn(&io::Error) -> Failure>, Failure> {
    let name = format!("{name}.csv");
    Ok(CsvFile::new(folder.begin(&name)?, move |error| folder.unwritable(&name, error)))
}
