//! A whole book: its sheets read, every row checked by itself and against the others.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::alias::AliasCells;
use super::entry::EntryCells;
use super::evidence::EvidenceCells;
use super::interval::IntervalCells;
use super::joint_kind::LayoutCells;
use super::limit::LimitCells;
use super::plausible::BoltPlausibility;
use super::sheet::field::built;
use super::sheet::{Cell, Cells, Row, Sheet, read_sheet};
use super::source::SourceCells;
use super::step::StepCells;
use super::template::TemplateCells;
use super::{
    ALIASES, Alias, COMMON_PRACTICE, Check, Diagnostic, Diagnostics, ENTRIES, EVIDENCE, Entry, Evidence,
    Files, INTERVALS, JointKind, LAYOUTS, LIMITS, Place, SOURCES, STEPS, Scope, ServiceInterval, Source,
    SourcedLimit, Step, TEMPLATES,
};
use crate::joint::{Catalogue, FRICTION, GRADES, HEADS, MATERIALS, THREADS};
use crate::words::closest;

/// The sheets of a book, in the order in which they are read and stored.
pub static SHEETS: &[&Sheet] = &[
    &SOURCES, &ENTRIES, &EVIDENCE, &ALIASES, &STEPS, &LAYOUTS, &LIMITS, &INTERVALS, &TEMPLATES, &THREADS,
    &GRADES, &FRICTION, &HEADS, &MATERIALS,
];

/// A book that has passed every check.
#[derive(Debug, Clone)]
pub struct Book {
    sheets: Vec<(&'static Sheet, Vec<Row>)>,
    /// Findings that did not stop the load.
    pub warnings: Vec<Diagnostic>,
    /// [`Files::content_hash`] of what it was read from.
    pub content_hash: String,
}

impl Book {
    /// Reads and checks a book.
    ///
    /// # Errors
    /// Every error, sorted by place. Warnings are told of a book that is otherwise sound.
    pub fn read(files: &Files) -> Result<Book, Vec<Diagnostic>> {
        let mut diagnostics = Diagnostics::default();
        let mut sheets = Vec::new();
        let mut whole = BTreeSet::new();
        for &sheet in SHEETS {
            let file = sheet.file();
            if let Some(bytes) = files.get(&file) {
                let mut reading = Diagnostics::default();
                let mut rows = read_sheet(sheet, bytes, &mut reading);
                rows.sort_by_cached_key(sheet.sort_key);
                if !reading.has_errors() {
                    whole.insert(sheet.name);
                }
                diagnostics.extend(reading);
                sheets.push((sheet, rows));
            } else {
                let at = Place { sheet: sheet.name, line: 1, column: 1 };
                diagnostics.error(
                    &at,
                    "the file is missing",
                    format!("it holds {}", sheet.columns.join(",")),
                );
            }
        }
        Sheets { sheets: &sheets, whole: &whole }.check(&mut diagnostics);
        if diagnostics.has_errors() {
            return Err(diagnostics.into_errors());
        }
        Ok(Book { sheets, warnings: diagnostics.into_sorted(), content_hash: files.content_hash() })
    }

    /// The rows of a sheet in canonical order.
    #[must_use]
    pub fn rows(&self, sheet: &Sheet) -> &[Row] {
        self.sheets.iter().find(|(known, _)| known.name == sheet.name).map_or(&[], |(_, rows)| rows)
    }
}

/// The sheets as read, for the checks that need more than one row.
struct Sheets<'a> {
    sheets: &'a [(&'static Sheet, Vec<Row>)],
    /// Names of the sheets whose every row was read: only these can tell that a key is unknown.
    whole: &'a BTreeSet<&'static str>,
}

/// The keys of a sheet that other sheets point at.
struct SheetKeys<'a> {
    known: BTreeSet<&'a str>,
    file: String,
    /// Whether every row of it was read.
    whole: bool,
}

impl<'a> Sheets<'a> {
    fn rows(&self, sheet: &Sheet) -> &'a [Row] {
        self.sheets.iter().find(|(known, _)| known.name == sheet.name).map_or(&[][..], |(_, rows)| rows)
    }

    fn cells<C: Cells>(&self) -> impl Iterator<Item = C::Of<'a>> {
        self.rows(C::SHEET).iter().map(C::of)
    }

    fn keys<C: Cells>(&self, key: impl Fn(C::Of<'a>) -> Cell<'a>) -> SheetKeys<'a> {
        let known = self.cells::<C>().map(|cells| key(cells).text).collect();
        SheetKeys { known, file: C::SHEET.file(), whole: self.whole.contains(C::SHEET.name) }
    }

    fn check(&self, diagnostics: &mut Diagnostics) {
        let rows = |sheet: &Sheet| self.whole.contains(sheet.name).then(|| self.rows(sheet));
        let catalogue = Catalogue::from_rows(rows, diagnostics);
        let bolts = BoltPlausibility::new(catalogue, self.cells::<EntryCells>(), diagnostics);
        let sources = self.keys::<SourceCells>(|cells| cells.source);
        let entries = self.keys::<EntryCells>(|cells| cells.entry);
        self.check_entries(&entries, diagnostics);
        self.check_evidence(&bolts, &entries, &sources, diagnostics);
        let called = entries.or(self.keys::<LimitCells>(|cells| cells.item));
        for cells in self.cells::<AliasCells>() {
            built(diagnostics, |fields| Some(Alias::from_cells(&cells, fields)));
            called.must_have(cells.entry, diagnostics);
        }
        for cells in self.cells::<StepCells>() {
            built(diagnostics, |fields| Step::from_cells(&cells, fields));
            sources.must_cite(cells.source, diagnostics);
        }
        self.check_workshop(&entries, &sources, diagnostics);
        self.check_templates(&entries, &sources, diagnostics);
        self.check_doubles(diagnostics);
        if !diagnostics.has_errors() {
            self.check_unused(diagnostics);
        }
    }

    fn check_entries(&self, entries: &SheetKeys<'_>, diagnostics: &mut Diagnostics) {
        let kinds: BTreeMap<&str, Option<JointKind>> = self
            .cells::<LayoutCells>()
            .map(|cells| {
                (cells.kind.text, built(diagnostics, |fields| JointKind::from_cells(&cells, fields)))
            })
            .collect();
        let procedures = self.keys::<StepCells>(|cells| cells.procedure);
        let named = self.keys::<LayoutCells>(|cells| cells.kind);
        for cells in self.cells::<EntryCells>() {
            let entry = built(diagnostics, |fields| Entry::from_cells(&cells, fields));
            procedures.must_have(cells.procedure, diagnostics);
            named.must_have(cells.kind, diagnostics);
            let kind = kinds.get(cells.kind.text).and_then(Option::as_ref);
            let misfit = kind.zip(entry).and_then(|(kind, entry)| kind.misfit(&entry.layout));
            if let Some((message, fix)) = misfit {
                diagnostics.error(&cells.kind.at, message, fix);
            }
        }
        self.check_needs(entries, diagnostics);
        for kind in JointKind::NAMED.iter().filter(|kind| named.whole && !kinds.contains_key(*kind)) {
            let at = Place { sheet: LAYOUTS.name, line: 1, column: 1 };
            diagnostics.error(&at, format!("the kind `{kind}` is missing"), "plans of other joints need it");
        }
    }

    /// Complains of an entry that needs one which is not there, or, by whatever way round, itself.
    fn check_needs(&self, entries: &SheetKeys<'_>, diagnostics: &mut Diagnostics) {
        let needs: BTreeMap<&str, &str> =
            self.cells::<EntryCells>().map(|cells| (cells.entry.text, cells.needs.text)).collect();
        for cells in self.cells::<EntryCells>().filter(|cells| !cells.needs.text.is_empty()) {
            let key = cells.entry.text;
            entries.must_have(cells.needs, diagnostics);
            // A chain that comes back has done so after as many steps as there are entries.
            let chain = std::iter::successors(Some(cells.needs.text), |key| needs.get(key).copied());
            if chain.take(needs.len()).any(|needed| needed == key) {
                let message = format!("`{key}` needs itself to be set first");
                let fix = "leave `needs` empty in one of the entries";
                diagnostics.error(&cells.needs.at, message, fix);
            }
        }
    }

    fn check_evidence(
        &self,
        bolts: &BoltPlausibility<'_>,
        entries: &SheetKeys<'_>,
        sources: &SheetKeys<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let known: BTreeMap<&str, Arc<Source>> = self
            .cells::<SourceCells>()
            .filter_map(|cells| {
                let source = built(diagnostics, |fields| Some(Source::from_cells(&cells, fields)))?;
                Some((cells.source.text, Arc::new(source)))
            })
            .collect();
        for cells in self.cells::<EvidenceCells>() {
            entries.must_have(cells.entry, diagnostics);
            sources.must_have(cells.source, diagnostics);
            let source = known.get(cells.source.text).cloned().unwrap_or_default();
            let evidence = built(diagnostics, |fields| Evidence::from_cells(&cells, source, fields));
            if let Some(evidence) = evidence {
                bolts.report_implausible(&cells, &evidence, diagnostics);
            }
        }
    }

    fn check_workshop(
        &self,
        entries: &SheetKeys<'_>,
        sources: &SheetKeys<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        for cells in self.cells::<LimitCells>() {
            built(diagnostics, |fields| SourcedLimit::from_cells(&cells, fields));
            sources.must_cite(cells.source, diagnostics);
        }
        let families: BTreeSet<&str> = self.cells::<EntryCells>().map(|cells| cells.family.text).collect();
        for cells in self.cells::<IntervalCells>() {
            sources.must_cite(cells.source, diagnostics);
            let interval = built(diagnostics, |fields| ServiceInterval::from_cells(&cells, fields));
            let Some(Scope::Some(words)) = interval.map(|interval| interval.scope) else { continue };
            let unknown = |word: &&String| {
                !entries.known.contains(word.as_str())
                    && !families.contains(word.as_str())
                    && Check::parse(word).is_none()
            };
            for word in words.iter().filter(unknown).filter(|_| entries.whole) {
                let message = format!("`{word}` is neither an entry nor a family nor a way to check");
                let fix = "use those of entries.csv, joints or bicycle";
                diagnostics.error(&cells.scope.at, message, fix);
            }
        }
    }

    /// Complains of rows that say again what another row says.
    fn check_doubles(&self, diagnostics: &mut Diagnostics) {
        self.once::<SourceCells>(|c| vec![c.source], diagnostics);
        self.once::<EntryCells>(|c| vec![c.entry], diagnostics);
        let figure =
            |c: EvidenceCells<'a>| vec![c.entry, c.variant, c.source, c.locator, c.printed_value, c.low_nm];
        self.once::<EvidenceCells>(figure, diagnostics);
        self.once::<AliasCells>(|c| vec![c.alias, c.entry], diagnostics);
        self.once::<StepCells>(|c| vec![c.procedure, c.phase, c.step], diagnostics);
        self.once::<LayoutCells>(|c| vec![c.kind], diagnostics);
        self.once::<LimitCells>(|c| vec![c.item, c.variant, c.source, c.allowed], diagnostics);
        self.once::<IntervalCells>(|c| vec![c.interval], diagnostics);
        self.once::<TemplateCells>(|c| vec![c.kind, c.joint], diagnostics);
        self.once::<TemplateCells>(|c| vec![c.kind, c.position], diagnostics);
    }

    fn once<C: Cells>(&self, key: impl Fn(C::Of<'a>) -> Vec<Cell<'a>>, diagnostics: &mut Diagnostics) {
        let mut seen: BTreeMap<Vec<&str>, Place> = BTreeMap::new();
        let mut by_place: Vec<Vec<Cell<'a>>> = self.cells::<C>().map(key).collect();
        by_place.sort_by_key(|key| key[0].at);
        for key in by_place {
            let at = key[0].at;
            let texts = key.iter().map(|cell| cell.text).collect();
            if let Some(first) = seen.get(&texts) {
                let columns: Vec<&str> = key.iter().map(|cell| cell.column).collect();
                let message =
                    format!("the same {} stands in line {} already", columns.join(", "), first.line);
                diagnostics.error(&at, message, "keep one of them");
            } else {
                seen.insert(texts, at);
            }
        }
    }

    /// A row that nothing points at is a slip of the pen more often than not; told only of a book
    /// that is otherwise sound, because every slip in a key leaves its target unused too.
    fn check_unused(&self, diagnostics: &mut Diagnostics) {
        let mut cited = self.keys::<EvidenceCells>(|cells| cells.source).known;
        cited.extend(self.cells::<StepCells>().map(|cells| cells.source.text));
        cited.extend(self.cells::<LimitCells>().map(|cells| cells.source.text));
        cited.extend(self.cells::<IntervalCells>().map(|cells| cells.source.text));
        cited.extend(self.cells::<TemplateCells>().map(|cells| cells.source.text));
        for SourceCells { source, .. } in self.cells::<SourceCells>() {
            if !cited.contains(source.text) {
                let message = format!("nothing cites the source `{}`", source.text);
                diagnostics.error(&source.at, message, "cite it or take it out");
            }
        }
        let mut used = self.keys::<EntryCells>(|cells| cells.procedure).known;
        for StepCells { procedure, .. } in self.cells::<StepCells>() {
            // Told of once.
            if used.insert(procedure.text) {
                let message = format!("no entry uses the procedure `{}`", procedure.text);
                diagnostics.error(&procedure.at, message, "name it in entries.csv or take it out");
            }
        }
    }
}

impl<'a> SheetKeys<'a> {
    /// Keys of either sheet, for what may name a row of both.
    fn or(&self, other: SheetKeys<'a>) -> SheetKeys<'a> {
        let known = self.known.iter().copied().chain(other.known).collect();
        SheetKeys { known, file: self.file.clone(), whole: self.whole && other.whole }
    }

    fn must_have(&self, cell: Cell<'_>, diagnostics: &mut Diagnostics) {
        if !self.whole || self.known.contains(cell.text) {
            return;
        }
        let fix = match closest(cell.text, self.known.iter().copied()) {
            Some(key) => format!("{} has `{key}`", self.file),
            None => format!("add it to {} first", self.file),
        };
        diagnostics.error(&cell.at, format!("unknown {} `{}`", cell.column, cell.text), fix);
    }

    /// The same of sources, of which the practice of the trade needs none.
    fn must_cite(&self, cell: Cell<'_>, diagnostics: &mut Diagnostics) {
        if cell.text != COMMON_PRACTICE {
            self.must_have(cell, diagnostics);
        }
    }
}

#[path = "validate_templates.rs"]
mod templates;

#[cfg(test)]
#[path = "validate_tests.rs"]
mod tests;
