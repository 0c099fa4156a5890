//! `book`: check, load and export the spec book, and the figures of the workshop's own beside it.

mod brought;
mod own;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::context::{sound, unsound};
use super::folder::Folder;
use super::{Answer, Context, Decision, Failure};
use crate::book::{Book, Files, OwnFigure, compiled_in, consensus, write_sheet};
use crate::report::{BookChanged, BookCheck, BookStatus, OwnCounts};
use crate::store::{BookOrigin, TakenIn};
use brought::Brought;
pub(super) use brought::{OWN, OWN_FILE};

/// Check, load and export the spec book, add figures of your own; without a subcommand, say what is loaded
///
/// The program carries a book and loads it by itself. A folder with the same sheets can take its
/// place: it is checked strictly, loaded whole or not at all, and loaded anew when its files change.
/// Figures of your own stand beside the book, whichever is loaded.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp book
  evenclamp book export my-book
  evenclamp book check my-book
  evenclamp book load my-book
  evenclamp book load --compiled-in
  evenclamp book add grip-collar \"max 3 N·m\" --issuer Nordwind --source \"lock-on grip\" --where \"on the collar\"
  evenclamp book own")]
pub(super) struct BookArgs {
    #[command(subcommand)]
    action: Option<BookAction>,
}

#[derive(Debug, Subcommand)]
enum BookAction {
    /// List every complaint about the book in a folder, with file, line and column
    Check {
        /// Folder that holds entries.csv and the other sheets
        dir: PathBuf,
    },
    /// Load the book in a folder, or the compiled-in one, in place of the loaded one
    Load {
        /// Folder that holds entries.csv and the other sheets
        #[arg(required_unless_present = "compiled_in", conflicts_with = "compiled_in")]
        dir: Option<PathBuf>,
        /// Load the book that the program carries
        #[arg(long)]
        compiled_in: bool,
    },
    /// Write the loaded book into a folder, in canonical order
    Export {
        /// Folder to write to; made where needed
        dir: PathBuf,
        /// Replace sheets that stand there already
        #[arg(long)]
        replace: bool,
    },
    Add(Box<own::AddArgs>),
    Own(own::OwnArgs),
}

pub(super) fn answer(args: &BookArgs, context: &Context) -> Result<Answer, Failure> {
    match &args.action {
        None => status(context),
        Some(BookAction::Check { dir }) => check(dir, context),
        Some(BookAction::Load { dir: Some(dir), .. }) => load_folder(dir, context),
        Some(BookAction::Load { dir: None, .. }) => {
            load(Some(&sound(&compiled_in())?), &BookOrigin::CompiledIn, &[], context)
        }
        Some(BookAction::Export { dir, replace }) => export(dir, *replace, context),
        Some(BookAction::Add(args)) => own::add(args, context),
        Some(BookAction::Own(args)) => own::own(args, context),
    }
}

fn status(context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let (content_hash, origin) =
        store.loaded_book()?.unwrap_or_else(|| (String::new(), BookOrigin::CompiledIn));
    let mut states: BTreeMap<&'static str, usize> = BTreeMap::new();
    let mut counted = 0;
    for (_, evidence) in store.all_entries()? {
        counted += evidence.iter().filter(|value| value.own.is_some()).count();
        *states.entry(consensus(&evidence).state.word()).or_default() += 1;
    }
    let rows = store.book_rows()?.into_iter().map(|(sheet, rows)| (sheet.name, rows.len())).collect();
    let own = OwnCounts { rows: store.own_rows()?.len(), counted };
    let status = BookStatus { origin: place(&origin), content_hash, rows, states, own };
    Answer::of(&status, context, Decision::Good)
}

fn check(dir: &Path, context: &Context) -> Result<Answer, Failure> {
    let report = BookCheck(Brought::read(dir, context)?.diagnostics);
    let outcome = if report.is_sound() { Decision::Good } else { Decision::Bad };
    Answer::of(&report, context, outcome)
}

/// Loads what a folder holds, a book or the figures of a workshop or both, all or nothing.
fn load_folder(dir: &Path, context: &Context) -> Result<Answer, Failure> {
    let brought = Brought::read(dir, context)?;
    let errors = brought.errors();
    if !errors.is_empty() {
        return Err(unsound(&errors));
    }
    let origin = BookOrigin::Folder(dir.canonicalize().unwrap_or_else(|_| dir.to_owned()));
    load(brought.book.as_ref(), &origin, &brought.figures, context)
}

fn load(
    book: Option<&Book>,
    origin: &BookOrigin,
    figures: &[OwnFigure],
    context: &Context,
) -> Result<Answer, Failure> {
    // Figures alone come to the book that is loaded, which may have to be loaded first.
    let mut store = if book.is_some() { context.store()? } else { context.store_with_book()? };
    let TakenIn { added, known } = store.take_in(book.map(|book| (book, origin)), figures)?;
    for warning in book.iter().flat_map(|book| &book.warnings) {
        context.say(warning.to_string());
    }
    if book.is_some() {
        context.tell_own(&store, true)?;
    } else {
        context.tell_without_entry(&store)?;
    }
    let rows = |book: &Book| crate::book::SHEETS.iter().map(|sheet| book.rows(sheet).len()).sum();
    let content_hash = match book {
        Some(book) => book.content_hash.clone(),
        None => store.loaded_book()?.map(|(hash, _)| hash).unwrap_or_default(),
    };
    let changed = BookChanged {
        done: "loaded",
        place: place(origin),
        rows: book.map_or(0, rows),
        own_rows: added.len(),
        known_rows: known,
        content_hash,
    };
    Answer::of(&changed, context, Decision::Good)
}

fn export(dir: &Path, replace: bool, context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let mut files = Vec::new();
    let mut count = 0;
    for (sheet, rows) in store.book_rows()? {
        count += rows.len();
        files.push((sheet.file(), write_sheet(sheet, &rows)?));
    }
    Folder::open(dir, files.iter().map(|(name, _)| name), replace)?.write_all(&files)?;
    let content_hash = files.into_iter().collect::<Files>().content_hash();
    let changed = BookChanged {
        done: "exported",
        place: dir.display().to_string(),
        rows: count,
        own_rows: 0,
        known_rows: 0,
        content_hash,
    };
    Answer::of(&changed, context, Decision::Good)
}

fn place(origin: &BookOrigin) -> String {
    match origin {
        BookOrigin::CompiledIn => "compiled in".to_owned(),
        BookOrigin::Folder(folder) => folder.display().to_string(),
    }
}
