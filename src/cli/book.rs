//! `book`: check, load and export the spec book.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::context::{read_folder, sound};
use super::folder::Folder;
use super::{Answer, Context, Decision, Failure};
use crate::book::{Book, Files, compiled_in, consensus, write_sheet};
use crate::report::{BookChanged, BookCheck, BookStatus};
use crate::store::BookOrigin;

/// Check, load and export the spec book; without a subcommand, say what is loaded
///
/// The program carries a book and loads it by itself. A folder with the same sheets can take its
/// place: it is checked strictly, loaded whole or not at all, and loaded anew when its files change.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp book
  evenclamp book export my-book
  evenclamp book check my-book
  evenclamp book load my-book
  evenclamp book load --compiled-in")]
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
}

pub(super) fn answer(args: &BookArgs, context: &Context) -> Result<Answer, Failure> {
    match &args.action {
        None => status(context),
        Some(BookAction::Check { dir }) => check(dir, context),
        Some(BookAction::Load { dir: Some(dir), .. }) => {
            let folder = dir.canonicalize().unwrap_or_else(|_| dir.clone());
            load(&read_folder(dir)?, &BookOrigin::Folder(folder), context)
        }
        Some(BookAction::Load { dir: None, .. }) => load(&compiled_in(), &BookOrigin::CompiledIn, context),
        Some(BookAction::Export { dir, replace }) => export(dir, *replace, context),
    }
}

fn status(context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let (content_hash, origin) =
        store.loaded_book()?.unwrap_or_else(|| (String::new(), BookOrigin::CompiledIn));
    let mut states: BTreeMap<&'static str, usize> = BTreeMap::new();
    for (_, evidence) in store.all_entries()? {
        *states.entry(consensus(&evidence).state.word()).or_default() += 1;
    }
    let rows = store.book_rows()?.into_iter().map(|(sheet, rows)| (sheet.name, rows.len())).collect();
    let status = BookStatus { origin: place(&origin), content_hash, rows, states };
    Answer::of(&status, context, Decision::Good)
}

fn check(dir: &Path, context: &Context) -> Result<Answer, Failure> {
    let diagnostics = match Book::read(&read_folder(dir)?) {
        Ok(book) => book.warnings,
        Err(diagnostics) => diagnostics,
    };
    let report = BookCheck(diagnostics);
    let outcome = if report.is_sound() { Decision::Good } else { Decision::Bad };
    Answer::of(&report, context, outcome)
}

fn load(files: &Files, origin: &BookOrigin, context: &Context) -> Result<Answer, Failure> {
    let book = sound(files)?;
    let mut store = context.store()?;
    store.load_book(&book, origin)?;
    for warning in &book.warnings {
        context.say(warning.to_string());
    }
    let rows = crate::book::SHEETS.iter().map(|sheet| book.rows(sheet).len()).sum();
    let changed = BookChanged { done: "loaded", place: place(origin), rows, content_hash: book.content_hash };
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
    let changed =
        BookChanged { done: "exported", place: dir.display().to_string(), rows: count, content_hash };
    Answer::of(&changed, context, Decision::Good)
}

fn place(origin: &BookOrigin) -> String {
    match origin {
        BookOrigin::CompiledIn => "compiled in".to_owned(),
        BookOrigin::Folder(folder) => folder.display().to_string(),
    }
}
