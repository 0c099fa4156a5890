//! What a folder brings in: a book, the figures of a workshop, or both.

use std::path::Path;

use super::super::context::{read_file, read_folder};
use super::super::known_bolt::refuse_typed;
use super::super::{Context, Failure, FailureKind};
use crate::book::{Book, Diagnostic, Diagnostics, OwnFigure, Place, Severity};
use crate::sheet::read_placed_records;
use crate::store::{BookOrigin, Store};

/// The sheet of the workshop's own figures.
pub(in crate::cli) const OWN: &str = "own";
/// Its file, in the folder of a book, of a workshop or alone.
pub(in crate::cli) const OWN_FILE: &str = "own.csv";

/// What was read in a folder, with all that is to be said about it.
pub(super) struct Brought {
    /// The book; none where it is not sound, or where the folder holds no sheet but the workshop's.
    pub(super) book: Option<Book>,
    pub(super) figures: Vec<OwnFigure>,
    pub(super) diagnostics: Vec<Diagnostic>,
}

impl Brought {
    /// Reads a folder; the workshop's figures are held against the book beside them or, without one, the loaded book.
    pub(super) fn read(folder: &Path, context: &Context) -> Result<Brought, Failure> {
        let (files, own) = (read_folder(folder)?, read_file(folder, OWN_FILE)?);
        let mut brought = Brought { book: None, figures: Vec::new(), diagnostics: Vec::new() };
        let holds_book = own.is_none() || files.iter().next().is_some();
        if holds_book {
            match Book::read(&files) {
                Ok(book) => {
                    brought.diagnostics.clone_from(&book.warnings);
                    brought.book = Some(book);
                }
                Err(errors) => brought.diagnostics = errors,
            }
        }
        let Some(bytes) = own else { return Ok(brought) };
        let beside = brought.book.as_ref().map(store_of).transpose()?;
        let loaded = if holds_book { None } else { Some(context.book()?) };
        let mut diagnostics = Diagnostics::default();
        brought.figures = own_figures(&bytes, beside.as_ref().or(loaded), context, &mut diagnostics)?;
        brought.diagnostics.extend(diagnostics.into_sorted());
        Ok(brought)
    }

    /// What stops the load.
    pub(super) fn errors(&self) -> Vec<&Diagnostic> {
        self.diagnostics.iter().filter(|diagnostic| diagnostic.severity == Severity::Error).collect()
    }
}

/// The figures of a workshop's sheet, each held against its entry in `store`; without one only its form is looked at.
fn own_figures(
    bytes: &[u8],
    store: Option<&Store>,
    context: &Context,
    diagnostics: &mut Diagnostics,
) -> Result<Vec<OwnFigure>, Failure> {
    let mut figures = Vec::new();
    for (_, figure, places) in read_placed_records::<OwnFigure>(OWN, None, bytes, diagnostics) {
        let first = Place { sheet: OWN, line: 1, column: 1 };
        let at = |column: &str| places.iter().find(|(name, _)| *name == column).map_or(first, |(_, at)| *at);
        if let Some(store) = store {
            if store.page(&figure.entry)?.is_none() {
                let message = format!("unknown entry `{}`", figure.entry);
                diagnostics.warning(
                    &at("entry"),
                    message,
                    "it is kept, and counts once a book has the entry",
                );
            }
            if let Err(failure) = refuse_implausible(&figure, store, context) {
                diagnostics.error(&at("value"), failure.message, failure.hint.unwrap_or_default());
            }
        }
        figures.push(figure);
    }
    Ok(figures)
}

/// Refuses a figure that cannot be meant for the bolt of its entry.
pub(super) fn refuse_implausible(
    figure: &OwnFigure,
    store: &Store,
    context: &Context,
) -> Result<(), Failure> {
    let (Ok((stated, _)), Some(page)) = (figure.read(), store.page(&figure.entry)?) else { return Ok(()) };
    if page.has_no_torque() {
        let message = format!(
            "no torque is for {}: `evenclamp show {}` says what it is set by",
            page.entry.name, figure.entry
        );
        return Err(Failure::new(
            FailureKind::Entry,
            message,
            "take the entry of what is tightened; nothing was added",
        ));
    }
    let expected = page.expected();
    refuse_typed((stated.spec, stated.unit), expected, &page.entry.thread, &store.catalogue()?, context.unit)
}

/// A store that holds a book and nothing else, to look its entries up.
fn store_of(book: &Book) -> Result<Store, Failure> {
    let mut store = Store::in_memory()?;
    store.load_book(book, &BookOrigin::CompiledIn)?;
    Ok(store)
}
