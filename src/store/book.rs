//! The spec book in the database: load, search, pages.

use std::borrow::Borrow;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::hash::Hash;
use std::marker::PhantomData;
use std::path::PathBuf;
use std::sync::Arc;

use rusqlite::{Connection, OptionalExtension, params_from_iter};

use super::{Store, StoreError, grouped};
use crate::book::{
    BareEntry, Book, Check, ClaimCells, Diagnostics, Entry, EntryCells, Evidence, EvidenceCells, HandedCells,
    IntervalCells, IssuerCells, JointKind, LayoutCells, LimitCells, MeasuredItem, Page, Row, SHEETS,
    ServiceInterval, Sheet, Source, SourceCells, SourcedLimit, Speaker, Step, StepCells, TemplateCells,
    TemplateJoint,
};
use crate::joint::{CATALOGUE_SHEETS, Catalogue};
use crate::sheet::field::built;
use crate::sheet::{Cells, Fields};
use crate::workshop::Joint;

/// Where the loaded book came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BookOrigin {
    /// The copy that the program carries.
    CompiledIn,
    /// A folder of the user's.
    Folder(PathBuf),
}

const COMPILED_IN: &str = "compiled-in";

impl Store {
    /// Content hash and origin of the loaded book; none before the first load.
    pub(crate) fn loaded_book(&self) -> Result<Option<(String, BookOrigin)>, StoreError> {
        let sql = "SELECT CASE WHEN form.value = ?1 THEN hash.value ELSE '' END, origin.value
             FROM book_meta AS hash JOIN book_meta AS origin LEFT JOIN book_meta AS form ON form.key = 'form'
             WHERE hash.key = 'content_hash' AND origin.key = 'origin'";
        let known = self
            .connection
            .query_row(sql, [form()], |row| Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?)))
            .optional()?;
        Ok(known.map(|(hash, origin)| match origin.as_str() {
            COMPILED_IN => (hash, BookOrigin::CompiledIn),
            folder => (hash, BookOrigin::Folder(PathBuf::from(folder))),
        }))
    }

    /// Replaces the loaded book in one transaction.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails; the old book stays whole then.
    pub fn load_book(&mut self, book: &Book, origin: &BookOrigin) -> Result<(), StoreError> {
        let transaction = self.connection.transaction()?;
        fill_book(&transaction, book, origin)?;
        transaction.commit()?;
        Ok(())
    }

    /// The keys of all entries, in order.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails.
    pub fn entry_keys(&self) -> Result<Vec<String>, StoreError> {
        Ok(self.all_rows::<EntryCells>()?.cells().map(|cells| cells.entry.owned()).collect())
    }

    /// The page of an entry; none when the book has no such entry.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored book does not pass its checks.
    pub fn page(&self, entry: &str) -> Result<Option<Page>, StoreError> {
        Ok(self.pages(&[entry.to_owned()])?.pop())
    }

    /// The pages of entries, in the order asked for; keys that the book does not have are left out.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored book does not pass its checks.
    pub fn pages(&self, keys: &[String]) -> Result<Vec<Page>, StoreError> {
        if keys.is_empty() {
            return Ok(Vec::new());
        }
        let entries = self.entries(keys)?;
        let kinds = self.joint_kinds(entries.iter().map(|(entry, _)| &*entry.kind))?;
        let procedures = entries.iter().map(|(entry, _)| &*entry.procedure);
        let steps = self.rows_among::<StepCells>(procedures)?.read(Step::from_cells)?;
        let steps = grouped(steps.into_iter().map(|step| (step.procedure.clone(), step)));
        let faults = self.own_evidence()?.faults;
        let page = |(entry, evidence): (Entry, Vec<Evidence>)| {
            let steps = steps.get(&entry.procedure).cloned().unwrap_or_default();
            let kind = kinds.get(&entry.kind)?.clone();
            let own_faults = faults.iter().filter(|fault| fault.entry == entry.entry).cloned().collect();
            Some(Page { entry, evidence, steps, kind, own_faults })
        };
        Ok(entries.into_iter().filter_map(page).collect())
    }

    pub(crate) fn pages_of<'a>(
        &self,
        joints: impl Iterator<Item = &'a Joint>,
    ) -> Result<HashMap<String, Page>, StoreError> {
        let used: BTreeSet<String> = joints.map(|joint| joint.entry.clone()).collect();
        let pages = self.pages(&Vec::from_iter(used))?;
        Ok(pages.into_iter().map(|page| (page.entry.entry.clone(), page)).collect())
    }

    /// Entries with their evidence, in the order asked for; keys that the book does not have are left
    /// out.
    pub(crate) fn entries(&self, keys: &[String]) -> Result<Vec<(Entry, Vec<Evidence>)>, StoreError> {
        let keys = || keys.iter().map(String::as_str);
        let entries = self.rows_among::<EntryCells>(keys())?.read(Entry::from_cells)?;
        let mut entries: HashMap<String, Entry> =
            entries.into_iter().map(|entry| (entry.entry.clone(), entry)).collect();
        let rows = self.rows_among::<EvidenceCells>(keys())?;
        let cited = self.rows_among(rows.cells().map(|cells| cells.source.text))?;
        let mut evidence = evidence_of(&rows, &cited)?;
        self.add_own(&mut evidence, |own| own)?;
        let known = |key| Some((entries.remove(key)?, evidence.remove(key).unwrap_or_default()));
        Ok(keys().filter_map(known).collect())
    }

    /// All entries with their evidence, in order.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored book does not pass its checks.
    pub fn all_entries(&self) -> Result<Vec<(Entry, Vec<Evidence>)>, StoreError> {
        let mut evidence = evidence_of(&self.all_rows()?, &self.all_rows()?)?;
        self.add_own(&mut evidence, |own| own)?;
        let entries = self.all_rows::<EntryCells>()?.read(Entry::from_cells)?.into_iter();
        let with_evidence = |entry: Entry| {
            let values = evidence.remove(&entry.entry).unwrap_or_default();
            (entry, values)
        };
        Ok(entries.map(with_evidence).collect())
    }

    /// All entries by no more than what readings are judged by, in order.
    pub(crate) fn bare_entries(&self) -> Result<Vec<BareEntry>, StoreError> {
        let sources = self.all_rows::<IssuerCells>()?;
        let speaker = |cells: &IssuerCells<'_>| Speaker {
            issuer: cells.issuer.owned(),
            source: cells.source.owned(),
            year: cells.year.owned(),
        };
        let speakers: HashMap<&str, Arc<Speaker>> =
            sources.cells().map(|cells| (cells.source.text, Arc::new(speaker(&cells)))).collect();
        let rows = self.all_rows::<ClaimCells>()?;
        let claims = rows.cells().map(|cells| {
            let speaker = known_source(&speakers, cells.source.text)?;
            Ok((cells.entry.owned(), checked(|fields| cells.claim(speaker, fields))?))
        });
        let mut claims = grouped(claims.collect::<Result<Vec<_>, StoreError>>()?);
        self.add_own(&mut claims, |own| own.claim)?;
        let mut entries = self.all_rows::<HandedCells>()?.read(BareEntry::from_cells)?;
        for entry in &mut entries {
            entry.claims = claims.remove(&entry.entry).unwrap_or_default();
        }
        Ok(entries)
    }

    /// Puts what the workshop has brought in behind what the book has, by entry.
    fn add_own<T>(
        &self,
        of_book: &mut HashMap<String, Vec<T>>,
        part: impl Fn(Evidence) -> T,
    ) -> Result<(), StoreError> {
        for (entry, own) in self.own_evidence()?.by_entry() {
            of_book.entry(entry).or_default().extend(own.into_iter().map(&part));
        }
        Ok(())
    }

    /// A kind of joint by its key; [`StoreError::DamagedBook`] when the stored book has no such kind.
    pub(crate) fn joint_kind(&self, kind: &str) -> Result<JointKind, StoreError> {
        let found = self.joint_kinds([kind])?.remove(kind);
        found.ok_or_else(|| StoreError::DamagedBook(format!("the kind of joint `{kind}` is missing")))
    }

    pub(super) fn joint_kinds<'a>(
        &self,
        keys: impl IntoIterator<Item = &'a str>,
    ) -> Result<HashMap<String, JointKind>, StoreError> {
        let kinds = self.rows_among::<LayoutCells>(keys)?.read(JointKind::from_cells)?;
        Ok(kinds.into_iter().map(|kind| (kind.kind.clone(), kind)).collect())
    }

    /// The kinds of bicycle that have a template, in order.
    pub(crate) fn bicycle_kinds(&self) -> Result<Vec<String>, StoreError> {
        self.rows("SELECT DISTINCT kind FROM book_templates ORDER BY kind", [], |row| Ok(row.get(0)?))
    }

    /// The joints of a kind of bicycle, in the order in which one walks round.
    pub(crate) fn template(&self, kind: &str) -> Result<Vec<TemplateJoint>, StoreError> {
        self.rows_among::<TemplateCells>([kind])?.read(TemplateJoint::from_cells)
    }

    /// The hand checks that decide safety, by kind of bicycle.
    pub(crate) fn hand_checks<'a>(
        &self,
        kinds: impl IntoIterator<Item = &'a str>,
    ) -> Result<BTreeMap<String, Vec<String>>, StoreError> {
        let mut by_kind: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for row in self.rows_among::<TemplateCells>(kinds)?.read(TemplateJoint::from_cells)? {
            if row.check == Check::Function && row.critical {
                by_kind.entry(row.kind).or_default().push(row.joint);
            }
        }
        Ok(by_kind)
    }

    /// What comes round.
    pub(crate) fn intervals(&self) -> Result<Vec<ServiceInterval>, StoreError> {
        self.all_rows::<IntervalCells>()?.read(ServiceInterval::from_cells)
    }

    /// The measured checks with their limits, by item.
    pub(crate) fn measured_items(&self) -> Result<BTreeMap<String, MeasuredItem>, StoreError> {
        let mut items: BTreeMap<String, MeasuredItem> = BTreeMap::new();
        for (item, name, limit) in self.all_rows::<LimitCells>()?.read(SourcedLimit::from_cells)? {
            let known =
                items.entry(item.clone()).or_insert_with(|| MeasuredItem { item, name, limits: Vec::new() });
            known.limits.push(limit);
        }
        Ok(items)
    }

    /// The rows of the loaded book, sheet by sheet, in canonical order.
    pub(crate) fn book_rows(&self) -> Result<Vec<(&'static Sheet, Vec<Row>)>, StoreError> {
        SHEETS.iter().map(|sheet| Ok((*sheet, self.query(sheet, "", &[])?))).collect()
    }

    /// Threads, property classes, friction, heads and tapped materials of the loaded book.
    ///
    /// # Errors
    /// [`StoreError`] when the database fails or the stored book does not pass its checks.
    pub fn catalogue(&self) -> Result<Catalogue, StoreError> {
        let mut sheets = HashMap::new();
        for sheet in CATALOGUE_SHEETS {
            sheets.insert(sheet.name, self.query(sheet, "", &[])?);
        }
        let rows = |sheet: &Sheet| sheets.get(sheet.name).map(Vec::as_slice);
        let mut diagnostics = Diagnostics::default();
        Catalogue::from_rows(rows, &mut diagnostics).ok_or_else(|| damaged(diagnostics))
    }

    /// The rows of a sheet whose first column is one of `keys`, in canonical order.
    fn rows_among<'a, C: Cells>(
        &self,
        keys: impl IntoIterator<Item = &'a str>,
    ) -> Result<Rows<C>, StoreError> {
        let keys: Vec<&str> = keys.into_iter().collect::<BTreeSet<_>>().into_iter().collect();
        let column = C::SHEET.columns.first().copied().unwrap_or_default();
        let marks = vec!["?"; keys.len()].join(", ");
        Ok(Rows(self.query(C::SHEET, &format!("WHERE {column} IN ({marks})"), &keys)?, PhantomData))
    }

    pub(super) fn all_rows<C: Cells>(&self) -> Result<Rows<C>, StoreError> {
        Ok(Rows(self.query(C::SHEET, "", &[])?, PhantomData))
    }

    fn query(&self, sheet: &'static Sheet, filter: &str, keys: &[&str]) -> Result<Vec<Row>, StoreError> {
        let columns = sheet.columns.join(", ");
        let sql = format!("SELECT {columns} FROM book_{} {filter} ORDER BY rowid", sheet.name);
        self.rows(&sql, params_from_iter(keys), |row| {
            let texts =
                (0..sheet.columns.len()).map(|index| row.get_ref(index)?.as_str().map_err(Into::into));
            Ok(Row::from_texts::<rusqlite::Error>(sheet, texts)?)
        })
    }
}

/// Rows of the sheet of `C`.
pub(super) struct Rows<C>(Vec<Row>, PhantomData<C>);

impl<C: Cells> Rows<C> {
    pub(super) fn cells(&self) -> impl Iterator<Item = C::Of<'_>> {
        self.0.iter().map(C::of)
    }

    /// The values of the rows, which were checked when the book was loaded.
    fn read<T>(&self, read: impl Fn(&C::Of<'_>, &mut Fields<'_>) -> Option<T>) -> Result<Vec<T>, StoreError> {
        self.cells().map(|cells| checked(|fields| read(&cells, fields))).collect()
    }
}

/// The evidence of rows, by entry; its sources are among those of `sources`.
fn evidence_of(
    rows: &Rows<EvidenceCells>,
    sources: &Rows<SourceCells>,
) -> Result<HashMap<String, Vec<Evidence>>, StoreError> {
    let sources = sources.read(|cells, fields| Some(Source::from_cells(cells, fields)))?.into_iter();
    let known: HashMap<String, Arc<Source>> =
        sources.map(|source| (source.source.clone(), Arc::new(source))).collect();
    let evidence = rows.cells().map(|cells| {
        let source = known_source(&known, cells.source.text)?;
        Ok((cells.entry.owned(), checked(|fields| Evidence::from_cells(&cells, source, fields))?))
    });
    Ok(grouped(evidence.collect::<Result<Vec<_>, StoreError>>()?))
}

fn known_source<K: Borrow<str> + Eq + Hash, T: Clone>(
    known: &HashMap<K, T>,
    source: &str,
) -> Result<T, StoreError> {
    let missing = || StoreError::DamagedBook(format!("source `{source}` is missing"));
    known.get(source).cloned().ok_or_else(missing)
}

/// A value whose row was checked when the book was loaded.
fn checked<T>(build: impl FnOnce(&mut Fields<'_>) -> Option<T>) -> Result<T, StoreError> {
    let mut diagnostics = Diagnostics::default();
    built(&mut diagnostics, build).ok_or_else(|| damaged(diagnostics))
}

fn damaged(diagnostics: Diagnostics) -> StoreError {
    let first = diagnostics.into_sorted().into_iter().next();
    StoreError::DamagedBook(first.map_or_else(String::new, |diagnostic| diagnostic.to_string()))
}

/// The tables of the book with their columns: a book that another version loaded may have others.
fn form() -> String {
    let sheets = SHEETS.iter().map(|sheet| format!("{}({})", sheet.name, sheet.columns.join(",")));
    sheets.collect::<Vec<_>>().join(" ")
}

/// Puts a book in the place of the loaded one.
pub(super) fn fill_book(
    transaction: &Connection,
    book: &Book,
    origin: &BookOrigin,
) -> Result<(), StoreError> {
    for &sheet in SHEETS {
        fill_table(transaction, sheet, book.rows(sheet))?;
    }
    let origin = match origin {
        BookOrigin::CompiledIn => COMPILED_IN.to_owned(),
        BookOrigin::Folder(path) => path.to_string_lossy().into_owned(),
    };
    let mut meta = transaction.prepare("INSERT OR REPLACE INTO book_meta (key, value) VALUES (?1, ?2)")?;
    meta.execute(["content_hash", book.content_hash.as_str()])?;
    meta.execute(["origin", origin.as_str()])?;
    meta.execute(["form", form().as_str()])?;
    Ok(())
}

fn fill_table(transaction: &Connection, sheet: &Sheet, rows: &[Row]) -> Result<(), StoreError> {
    let table = format!("book_{}", sheet.name);
    let columns: Vec<String> = sheet.columns.iter().map(|column| format!("{column} TEXT NOT NULL")).collect();
    transaction.execute_batch(&format!(
        "DROP TABLE IF EXISTS {table}; CREATE TABLE {table} ({}) STRICT;",
        columns.join(", ")
    ))?;
    let marks = vec!["?"; sheet.columns.len()].join(", ");
    let mut insert = transaction.prepare(&format!("INSERT INTO {table} VALUES ({marks})"))?;
    for row in rows {
        insert.execute(params_from_iter(row.texts()))?;
    }
    Ok(())
}

#[cfg(test)]
#[path = "book_tests.rs"]
mod tests;
