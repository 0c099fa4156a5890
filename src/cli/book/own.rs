//! `book add` and `book own`: figures of the workshop's own, beside those of the book.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use clap::Args;

use super::super::folder::Folder;
use super::super::target::page;
use super::super::{Answer, Context, Decision, Failure, FailureKind, clock, words};
use super::brought::{OWN_FILE, refuse_implausible};
use crate::book::{Consensus, Files, Grade, OWN_GRADES, OwnFigure, OwnRow, consensus};
use crate::quantity::{Spec, Torque, TorqueUnit};
use crate::report::{BookChanged, OwnChanged, OwnList, OwnShown, resolution_of, spec_text};
use crate::sheet::{Refused, record_fields, record_header};
use crate::store::{OwnEvidence, Store};
use crate::words::closest;

/// Bring in a figure of your own: off a part, or out of a paper
///
/// It stands in a layer of its own, beside the book, counts by the same rules and is marked as own wherever it is
/// shown. A new version of the program or another book leaves it alone. An issuer that speaks already does not
/// count twice; the issuer of a marking is the maker of the part.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp book add grip-collar \"max 3 N·m\" --issuer Nordwind --source \"lock-on grip\" --where \"on the collar\"
  evenclamp book add crank-pinch-bolts \"12-14 N·m\" --grade published --issuer Halm --source \"crank manual\" \\
    --year 2024 --where \"p. 7\" --hardware \"two pinch bolts M6\"
  evenclamp book own
  evenclamp book own --remove 2")]
pub(super) struct AddArgs {
    /// Key of the entry, as `find` lists it
    entry: String,
    /// The value with its unit, as it stands there, such as \"max 5 N·m\"
    value: String,
    /// Who stands behind it: the maker of the part
    #[arg(long, value_name = "NAME")]
    issuer: String,
    /// The part it was read off, or the paper it was read in
    #[arg(long, value_name = "TEXT")]
    source: String,
    /// Where on the part or in the paper
    #[arg(long = "where", value_name = "TEXT")]
    locator: String,
    /// How it was come by: read off the part, in the issuer's own paper, or in somebody else's
    #[arg(long, value_name = "GRADE", value_parser = words::one_of(OWN_GRADES, |_| true), default_value = "marking")]
    grade: Grade,
    /// Year of the part or paper
    #[arg(long, value_name = "YEAR", default_value = "", hide_default_value = true)]
    year: String,
    /// Which hardware it speaks of
    #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
    hardware: String,
    /// Condition of the thread that it is stated for, such as greased
    #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
    condition: String,
    /// Material of the bolt or part, as stated
    #[arg(long, value_name = "TEXT", default_value = "", hide_default_value = true)]
    material: String,
}

/// List the figures of your own, write them as a sheet, or take one out again
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp book own
  evenclamp book own --export our-figures
  evenclamp book check our-figures
  evenclamp book load our-figures --db another.db
  evenclamp book own --remove 2

`own.csv` may also stand beside the sheets of a whole book: `book load` then takes in both.")]
pub(super) struct OwnArgs {
    /// Write them into a folder, as a sheet that `book check` and `book load` take
    #[arg(long, value_name = "DIR")]
    export: Option<PathBuf>,
    /// Replace a sheet that stands there already
    #[arg(long, requires = "export")]
    replace: bool,
    /// Take out the figure of this number
    #[arg(long, value_name = "ID", conflicts_with = "export")]
    remove: Option<i64>,
}

pub(super) fn add(args: &AddArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let before = page(&store, &args.entry)?;
    let trimmed = |text: &String| text.trim().to_owned();
    let figure = OwnFigure {
        entry: before.entry.entry.clone(),
        value: trimmed(&args.value),
        issuer: trimmed(&args.issuer),
        source: trimmed(&args.source),
        locator: trimmed(&args.locator),
        grade: args.grade.word().to_owned(),
        year: trimmed(&args.year),
        variant: trimmed(&args.hardware),
        condition: trimmed(&args.condition),
        material: trimmed(&args.material),
        added_on: clock::now()?.date().to_string(),
    };
    refuse_unreadable(&figure)?;
    refuse_implausible(&figure, &store, context)?;
    let Some(number) = store.take_in(None, std::slice::from_ref(&figure))?.added.pop() else {
        let same = store.own_rows()?.into_iter().find(|row| row.figure.says_same(&figure));
        let number = same.map_or(0, |row| row.number);
        let message = format!("own figure {number} says the same already; nothing was added");
        return Err(Failure::new(FailureKind::Value, message, "`evenclamp book own` lists them"));
    };
    let row = OwnRow { number, figure };
    let before = before.consensus();
    let mut shown = shown(&store, vec![row])?;
    let Some(shown) = shown.pop() else { return list(context) };
    let notes = notes(&store, &shown, &before, context.shown_unit())?;
    let changed =
        OwnChanged { done: "added", shown, before: Some(before), notes, unit: context.shown_unit() };
    Answer::of(&changed, context, Decision::Good)
}

/// Whether two specified torques have a value in common.
fn meet(one: Spec, other: Spec) -> bool {
    let ((low, high), (other_low, other_high)) = (one.limits(), other.limits());
    let apart =
        |low: Option<Torque>, high: Option<Torque>| low.zip(high).is_some_and(|(low, high)| low > high);
    !apart(low, other_high) && !apart(other_low, high)
}

/// What must be known of a figure that came in.
fn notes(
    store: &Store,
    shown: &OwnShown,
    before: &Consensus,
    unit: TorqueUnit,
) -> Result<Vec<String>, Failure> {
    let mut notes = Vec::new();
    let Ok(evidence) = &shown.read else { return Ok(notes) };
    let issuer = &evidence.source.issuer;
    let is_new = shown.entry.as_ref().is_some_and(|(_, after)| after.issuers > before.issuers);
    if !is_new {
        notes.push(format!(
            "{issuer} speaks of it already: one issuer is one voice, so nobody further counts"
        ));
    }
    if let Some(band) = before.spec.filter(|band| !meet(evidence.claim.stated.spec, *band)) {
        let band = spec_text(band, resolution_of(before), unit);
        notes.push(format!(
            "it lies outside what counted before, {band}: look at figure, unit and entry again"
        ));
    }
    if before.spec.is_none() && before.orientation.is_some() {
        notes.push(
            "until now nothing counted for this entry, which may stand for several kinds of hardware: this figure counts for \
             every bicycle that has it; a figure of one part is better kept with `evenclamp bike joint edit BIKE JOINT \
             --marking …`"
                .to_owned(),
        );
    }
    let issuers = store.issuers()?;
    if issuers.iter().all(|known| known != issuer)
        && let Some(like) = closest(issuer, issuers.iter().map(String::as_str))
    {
        notes.push(format!(
            "{issuer} looks like {like}, and counts as another issuer; if it is the same, take figure {} out and add \
             it under that name",
            shown.row.number
        ));
    }
    notes.push(format!("`evenclamp book own --remove {}` takes it out again", shown.row.number));
    Ok(notes)
}

fn refuse_unreadable(figure: &OwnFigure) -> Result<(), Failure> {
    figure.read().map(|_| ()).map_err(|Refused { column, why, fix }| {
        let option = if column == "locator" { "where" } else { column };
        Failure::new(FailureKind::Value, format!("{option}: {why}"), fix)
    })
}

pub(super) fn own(args: &OwnArgs, context: &Context) -> Result<Answer, Failure> {
    match (&args.export, args.remove) {
        (Some(dir), _) => export(dir, args.replace, context),
        (None, Some(number)) => remove(number, context),
        (None, None) => list(context),
    }
}

fn list(context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    Answer::of(&OwnList(shown(store, store.own_rows()?)?), context, Decision::Good)
}

fn remove(number: i64, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let rows = store.own_rows()?;
    let Some(row) = rows.into_iter().find(|row| row.number == number) else {
        let message = format!("there is no own figure {number}");
        return Err(Failure::new(FailureKind::Value, message, "`evenclamp book own` lists them"));
    };
    let mut shown = shown(&store, vec![row])?;
    let Some(mut shown) = shown.pop() else { return list(context) };
    let before = shown.entry.as_ref().map(|(_, consensus)| consensus.clone());
    store.remove_own(number)?;
    if let (Some((_, after)), Some(page)) = (&mut shown.entry, store.page(&shown.row.figure.entry)?) {
        *after = page.consensus();
    }
    let changed =
        OwnChanged { done: "removed", shown, before, notes: Vec::new(), unit: context.shown_unit() };
    Answer::of(&changed, context, Decision::Good)
}

fn export(dir: &Path, replace: bool, context: &Context) -> Result<Answer, Failure> {
    let rows = context.book()?.own_rows()?;
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(record_header::<OwnFigure>(None))?;
    for OwnRow { figure, .. } in &rows {
        writer.write_record(record_fields(None, figure))?;
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    let files = [(OWN_FILE.to_owned(), bytes)];
    Folder::open(dir, [OWN_FILE], replace)?.write_all(&files)?;
    let (place, own_rows) = (dir.display().to_string(), rows.len());
    let content_hash = files.into_iter().collect::<Files>().content_hash();
    let changed = BookChanged { done: "exported", place, rows: 0, own_rows, known_rows: 0, content_hash };
    Answer::of(&changed, context, Decision::Good)
}

/// Figures as they are shown, with what their entries amount to now.
fn shown(store: &Store, rows: Vec<OwnRow>) -> Result<Vec<OwnShown>, Failure> {
    let keys: Vec<String> = rows.iter().map(|row| row.figure.entry.clone()).collect();
    let entries = store.entries(&keys)?.into_iter();
    let entries: HashMap<String, (String, Consensus)> =
        entries.map(|(entry, evidence)| (entry.entry, (entry.name, consensus(&evidence)))).collect();
    let OwnEvidence { sound, faults } = store.own_evidence()?;
    let read = |row: &OwnRow| {
        let sound = sound.iter().find(|evidence| evidence.own == Some(row.number)).cloned();
        let fault = || faults.iter().find(|fault| fault.number == row.number).cloned();
        sound.map(Ok).or_else(|| fault().map(Err))
    };
    let shown = rows.into_iter().filter_map(|row| {
        Some(OwnShown { read: read(&row)?, entry: entries.get(&row.figure.entry).cloned(), row })
    });
    Ok(shown.collect())
}
