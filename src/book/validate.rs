//! A whole book: its sheets read, every row checked by itself and against the others.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::plausible::Bolts;
use super::sheet::{Row, Sheet, read_sheet, write_sheet};
use super::{
    ALIASES, Alias, COMMON_PRACTICE, Check as CheckedBy, Diagnostic, Diagnostics, ENTRIES, EVIDENCE, Entry,
    Evidence, Files, INTERVALS, Interval, JointKind, LAYOUTS, LIMITS, Place, SOURCES, STEPS, Scope, Source,
    SourcedLimit, Step, TEMPLATES, TemplateJoint,
};
use crate::joint::{Catalogue, FRICTION, GRADES, HEADS, MATERIALS, THREADS};
use crate::words::nearest;

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
        Check { sheets: &sheets, whole: &whole }.run(&mut diagnostics);
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

    /// The book as files in canonical order and form.
    ///
    /// # Errors
    /// Never in practice: it is written in memory.
    pub fn write(&self) -> Result<Files, csv::Error> {
        self.sheets.iter().map(|(sheet, rows)| Ok((sheet.file(), write_sheet(sheet, rows)?))).collect()
    }
}

/// The checks that need more than one row.
struct Check<'a> {
    sheets: &'a [(&'static Sheet, Vec<Row>)],
    /// Names of the sheets whose every row was read: only these can tell that a key is unknown.
    whole: &'a BTreeSet<&'static str>,
}

impl<'a> Check<'a> {
    fn rows(&self, sheet: &Sheet) -> &'a [Row] {
        self.sheets.iter().find(|(known, _)| known.name == sheet.name).map_or(&[][..], |(_, rows)| rows)
    }

    fn run(&self, diagnostics: &mut Diagnostics) {
        let rows = |sheet: &Sheet| self.whole.contains(sheet.name).then(|| self.rows(sheet));
        let bolts = Bolts::new(Catalogue::from_rows(rows, diagnostics), self.rows(&ENTRIES), diagnostics);
        let sources: BTreeMap<&str, Option<Arc<Source>>> = self
            .rows(&SOURCES)
            .iter()
            .map(|row| (row.text("source"), Source::from_row(row, diagnostics).map(Arc::new)))
            .collect();
        self.entries(diagnostics);
        for row in self.rows(&EVIDENCE) {
            self.known(row, "entry", &ENTRIES, diagnostics);
            self.known(row, "source", &SOURCES, diagnostics);
            let source = sources.get(row.text("source")).cloned().flatten();
            if let Some(evidence) = Evidence::from_row(row, source.unwrap_or_default(), diagnostics) {
                bolts.report_implausible(row, &evidence, diagnostics);
            }
        }
        for row in self.rows(&ALIASES) {
            let _ = Alias::from_row(row, diagnostics);
            self.known(row, "entry", &ENTRIES, diagnostics);
        }
        for row in self.rows(&STEPS) {
            let _ = Step::from_row(row, diagnostics);
            self.known_source(row, diagnostics);
        }
        self.run_workshop(diagnostics);
        for (sheet, columns) in [
            (&SOURCES, &["source"][..]),
            (&ENTRIES, &["entry"]),
            (&EVIDENCE, &["entry", "variant", "source", "locator", "printed_value", "low_nm"]),
            (&ALIASES, &["alias", "entry"]),
            (&STEPS, &["procedure", "phase", "step"]),
            (&LAYOUTS, &["kind"]),
            (&LIMITS, &["item", "variant", "source", "allowed"]),
            (&INTERVALS, &["interval"]),
            (&TEMPLATES, &["kind", "joint"]),
            (&TEMPLATES, &["kind", "position"]),
        ] {
            report_duplicates(self.rows(sheet), columns, diagnostics);
        }
        if !diagnostics.has_errors() {
            self.unused(diagnostics);
        }
    }

    /// Checks the entries, and the kinds of joint that they name.
    fn entries(&self, diagnostics: &mut Diagnostics) {
        let kinds: BTreeMap<&str, Option<JointKind>> = self
            .rows(&LAYOUTS)
            .iter()
            .map(|row| (row.text("kind"), JointKind::from_row(row, diagnostics)))
            .collect();
        for row in self.rows(&ENTRIES) {
            let entry = Entry::from_row(row, diagnostics);
            self.known(row, "procedure", &STEPS, diagnostics);
            self.known(row, "kind", &LAYOUTS, diagnostics);
            let kind = kinds.get(row.text("kind")).cloned().flatten();
            let misfit = kind.zip(entry).and_then(|(kind, entry)| kind.misfit(&entry.layout));
            if let Some((message, fix)) = misfit {
                diagnostics.error(&row.cell("kind").at, message, fix);
            }
        }
        self.needs(diagnostics);
        if self.whole.contains(LAYOUTS.name) {
            for kind in JointKind::NAMED.iter().filter(|kind| !kinds.contains_key(*kind)) {
                let at = Place { sheet: LAYOUTS.name, line: 1, column: 1 };
                diagnostics.error(
                    &at,
                    format!("the kind `{kind}` is missing"),
                    "plans of other joints need it",
                );
            }
        }
    }

    /// Complains of an entry that needs one which is not there, or, by whatever way round, itself.
    fn needs(&self, diagnostics: &mut Diagnostics) {
        let rows = self.rows(&ENTRIES);
        let known = keys(rows, "entry");
        let needs: BTreeMap<&str, &str> =
            rows.iter().map(|row| (row.text("entry"), row.text("needs"))).collect();
        for row in rows.iter().filter(|row| !row.text("needs").is_empty()) {
            if self.whole.contains(ENTRIES.name) {
                report_unknown(row, "needs", &known, &ENTRIES.file(), diagnostics);
            }
            // A chain that comes back has done so after as many steps as there are entries.
            let chain = std::iter::successors(Some(row.text("needs")), |key| needs.get(key).copied());
            if chain.take(rows.len()).any(|key| key == row.text("entry")) {
                let message = format!("`{}` needs itself to be set first", row.text("entry"));
                diagnostics.error(
                    &row.cell("needs").at,
                    message,
                    "leave `needs` empty in one of the entries",
                );
            }
        }
    }

    /// Checks the sheets that the workshop book rests on.
    fn run_workshop(&self, diagnostics: &mut Diagnostics) {
        for row in self.rows(&LIMITS) {
            let _ = SourcedLimit::from_row(row, diagnostics);
            self.known_source(row, diagnostics);
        }
        let known: BTreeSet<&str> =
            self.rows(&ENTRIES).iter().flat_map(|row| [row.text("entry"), row.text("family")]).collect();
        for row in self.rows(&INTERVALS) {
            self.known_source(row, diagnostics);
            let Some(Interval { scope: Scope::Some(words), .. }) = Interval::from_row(row, diagnostics)
            else {
                continue;
            };
            if self.whole.contains(ENTRIES.name) {
                for word in words.iter().filter(|word| !known.contains(word.as_str())) {
                    let message = format!("`{word}` is neither an entry nor a family");
                    diagnostics.error(
                        &row.cell("scope").at,
                        message,
                        "use those of entries.csv, joints or bicycle",
                    );
                }
            }
        }
        let items = keys(self.rows(&LIMITS), "item");
        let entries = keys(self.rows(&ENTRIES), "entry");
        for row in self.rows(&TEMPLATES) {
            self.known_source(row, diagnostics);
            let Some(joint) = TemplateJoint::from_row(row, diagnostics) else { continue };
            let (sheet, known) =
                if joint.check == CheckedBy::Measure { (&LIMITS, &items) } else { (&ENTRIES, &entries) };
            // What is checked by hand alone need not be a fastener.
            let free = joint.check == CheckedBy::Function && joint.entry.is_empty();
            if self.whole.contains(sheet.name) && !free {
                report_unknown(row, "entry", known, &sheet.file(), diagnostics);
            }
        }
    }

    fn known_source(&self, row: &Row, diagnostics: &mut Diagnostics) {
        if row.text("source") != COMMON_PRACTICE {
            self.known(row, "source", &SOURCES, diagnostics);
        }
    }

    /// Complains when a key of `row` is not among those of the sheet it points at.
    fn known(&self, row: &Row, column: &str, target: &Sheet, diagnostics: &mut Diagnostics) {
        if self.whole.contains(target.name) {
            let known = keys(self.rows(target), column);
            report_unknown(row, column, &known, &target.file(), diagnostics);
        }
    }

    /// A row that nothing points at is a slip of the pen more often than not; told only of a book
    /// that is otherwise sound, because every slip in a key leaves its target unused too.
    fn unused(&self, diagnostics: &mut Diagnostics) {
        let mut cited = keys(self.rows(&EVIDENCE), "source");
        for sheet in [&STEPS, &LIMITS, &INTERVALS, &TEMPLATES] {
            cited.extend(keys(self.rows(sheet), "source"));
        }
        for row in self.rows(&SOURCES).iter().filter(|row| !cited.contains(row.text("source"))) {
            let message = format!("nothing cites the source `{}`", row.text("source"));
            diagnostics.error(&row.at(), message, "cite it or take it out");
        }
        let used = keys(self.rows(&ENTRIES), "procedure");
        let mut told = BTreeSet::new();
        for row in self.rows(&STEPS).iter().filter(|row| !used.contains(row.text("procedure"))) {
            if told.insert(row.text("procedure")) {
                let message = format!("no entry uses the procedure `{}`", row.text("procedure"));
                diagnostics.error(&row.at(), message, "name it in entries.csv or take it out");
            }
        }
    }
}

fn keys<'a>(rows: &'a [Row], column: &str) -> BTreeSet<&'a str> {
    rows.iter().map(|row| row.text(column)).collect()
}

fn report_unknown(
    row: &Row,
    column: &str,
    known: &BTreeSet<&str>,
    file: &str,
    diagnostics: &mut Diagnostics,
) {
    let cell = row.cell(column);
    if known.contains(cell.text) {
        return;
    }
    let fix = match nearest(cell.text, known.iter().copied(), 1).first() {
        Some(key) => format!("{file} has `{key}`"),
        None => format!("add it to {file} first"),
    };
    diagnostics.error(&cell.at, format!("unknown {column} `{}`", cell.text), fix);
}

fn report_duplicates(rows: &[Row], columns: &[&str], diagnostics: &mut Diagnostics) {
    let mut seen: BTreeMap<Vec<&str>, Place> = BTreeMap::new();
    let mut by_place: Vec<&Row> = rows.iter().collect();
    by_place.sort_by_key(|row| row.at());
    for row in by_place {
        let key = columns.iter().map(|column| row.text(column)).collect();
        match seen.get(&key) {
            Some(first) => diagnostics.error(
                &row.at(),
                format!("the same {} stands in line {} already", columns.join(", "), first.line),
                "keep one of them",
            ),
            None => {
                seen.insert(key, row.at());
            }
        }
    }
}

#[cfg(test)]
#[path = "validate_tests.rs"]
mod tests;
