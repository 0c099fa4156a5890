//! What every command needs: format, unit, look, and the database with a current book.

use std::cell::{OnceCell, RefCell};
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

use directories::ProjectDirs;

use super::clock;
use super::file::unreadable;
use super::{ColorArg, Failure, FailureKind, GlobalArgs};
use crate::book::{Book, Diagnostic, Files, SHEETS, compiled_in};
use crate::quantity::TorqueUnit;
use crate::report::{Format, Style, no_entry};
use crate::store::{BookOrigin, Snapshot, Store};
use crate::words::{counted, shell};
use crate::workshop::Signature;

/// Widest text on a terminal that is wider still.
const WIDEST: usize = 120;
/// Width where there is no terminal.
const PIPE_WIDTH: usize = 80;

/// The options of every command, checked.
pub struct Context {
    pub format: Format,
    pub unit: Option<TorqueUnit>,
    pub style: Style,
    /// Who does it, or empty.
    pub who: String,
    /// Why it is done, or empty.
    pub why: String,
    db: Option<PathBuf>,
    /// Opened when first asked for.
    book: OnceCell<Snapshot>,
    /// What happened on the way and should be said.
    remarks: RefCell<Vec<String>>,
}

impl Context {
    pub(super) fn new(args: &GlobalArgs) -> Context {
        let terminal = std::io::stdout().is_terminal();
        let colour = match args.color {
            ColorArg::Always => true,
            ColorArg::Never => false,
            ColorArg::Auto => terminal && std::env::var_os("NO_COLOR").is_none(),
        };
        let terminal_width = terminal.then(textwrap::termwidth);
        let width = terminal_width.or_else(columns_asked_for).unwrap_or(PIPE_WIDTH);
        Context {
            format: args.format,
            unit: args.unit,
            style: Style { width: width.min(WIDEST), colour },
            who: args
                .who
                .clone()
                .or_else(|| std::env::var("EVENCLAMP_WHO").ok())
                .map(|text| text.trim().to_owned())
                .unwrap_or_default(),
            why: args.why.clone().map(|text| text.trim().to_owned()).unwrap_or_default(),
            db: args.db.clone().or_else(|| {
                std::env::var_os("EVENCLAMP_DB").filter(|path| !path.is_empty()).map(PathBuf::from)
            }),
            book: OnceCell::new(),
            remarks: RefCell::default(),
        }
    }

    pub fn with_database(&self, path: PathBuf) -> Context {
        let (who, why) = (self.who.clone(), self.why.clone());
        Context { db: Some(path), who, why, book: OnceCell::new(), remarks: RefCell::default(), ..*self }
    }

    pub fn shown_unit(&self) -> TorqueUnit {
        self.unit.unwrap_or(TorqueUnit::NewtonMetre)
    }

    pub fn store(&self) -> Result<Store, Failure> {
        let usual = || Some(ProjectDirs::from("", "", "evenclamp")?.data_dir().join("evenclamp.db"));
        let path = self.db.clone().or_else(usual).ok_or_else(|| {
            let hint = "name a file with --db PATH or EVENCLAMP_DB";
            Failure::new(FailureKind::Database, "this system names no folder for data", hint)
        })?;
        let store = Store::open(&path);
        let mut store = store.map_err(|error| Failure::from(error).at(path.display().to_string()))?;
        self.sign(&mut store);
        Ok(store)
    }

    /// Refuses what is not to be done without saying why.
    pub(super) fn reason_for(&self, what: &str) -> Result<(), Failure> {
        if self.why.is_empty() {
            return Err(Failure::new(
                FailureKind::Value,
                what,
                "say it with --why TEXT; nothing was changed",
            ));
        }
        Ok(())
    }

    /// Why something is changed; empty where nobody says.
    pub(super) fn why(&self) -> &str {
        &self.why
    }

    /// Signs what is changed from here on, as of now.
    pub(super) fn sign(&self, store: &mut Store) {
        store.sign(Signature { at: clock::moment(), who: self.who.clone(), why: self.why.clone() });
    }

    /// The book to look something up in, as it stands when first asked for: that of the database, or the
    /// compiled-in one where the database cannot be written, for looking something up needs no database of
    /// one's own.
    pub fn book(&self) -> Result<&Store, Failure> {
        if let Some(book) = self.book.get() {
            return Ok(book);
        }
        let book = self.open_book()?.into_snapshot()?;
        Ok(self.book.get_or_init(|| book))
    }

    fn open_book(&self) -> Result<Store, Failure> {
        match self.store_with_book() {
            Err(failure) if failure.kind == FailureKind::ReadOnly => {
                self.say(format!("{}; the compiled-in book is used", failure.message));
                let mut store = Store::in_memory()?;
                store.load_book(&sound(&compiled_in())?, &BookOrigin::CompiledIn)?;
                Ok(store)
            }
            other => other,
        }
    }

    /// The database with the book loaded and current: the compiled-in book on first use, a changed
    /// book loaded anew. A changed book that does not pass its checks leaves the old one in place.
    pub fn store_with_book(&self) -> Result<Store, Failure> {
        let mut store = self.store()?;
        let changed = match store.loaded_book()? {
            Some((hash, BookOrigin::Folder(folder))) => self.refresh(&mut store, &hash, folder)?,
            Some((hash, BookOrigin::CompiledIn)) if compiled_in().content_hash() == hash => false,
            _ => {
                store.load_book(&sound(&compiled_in())?, &BookOrigin::CompiledIn)?;
                true
            }
        };
        self.tell_own(&store, changed)?;
        Ok(store)
    }

    /// Says which of the workshop's own figures count for nothing: those that cannot be read and, where the book is
    /// another than before, those of entries that it does not have.
    pub(super) fn tell_own(&self, store: &Store, book_changed: bool) -> Result<(), Failure> {
        for fault in store.own_evidence()?.faults {
            self.say(format!("{fault}; `evenclamp book own` lists them"));
        }
        if book_changed { self.tell_without_entry(store) } else { Ok(()) }
    }

    /// Says which of the workshop's own figures are of entries that the book does not have.
    pub(super) fn tell_without_entry(&self, store: &Store) -> Result<(), Failure> {
        for row in store.own_without_entry()? {
            self.say(format!("{}: `evenclamp book own`", no_entry(&row)));
        }
        Ok(())
    }

    /// Loads a folder's book anew when its files have changed, and says whether it did.
    fn refresh(&self, store: &mut Store, hash: &str, folder: PathBuf) -> Result<bool, Failure> {
        let shown = folder.display().to_string();
        let files = match read_folder(&folder) {
            Ok(files) => files,
            Err(failure) if hash.is_empty() => return self.replaced(store, &failure.message),
            Err(failure) => {
                self.say(format!("{}; the book loaded before is used", failure.message));
                return Ok(false);
            }
        };
        if files.content_hash() == hash {
            return Ok(false);
        }
        match Book::read(&files) {
            Ok(book) => {
                store.load_book(&book, &BookOrigin::Folder(folder))?;
                self.say(format!("the book in {shown} has changed and was loaded anew"));
                Ok(true)
            }
            Err(_) if hash.is_empty() => self.replaced(store, &format!("the book in {shown} has faults")),
            Err(diagnostics) => {
                self.say(format!(
                    "the book in {shown} has changed but has {} (`evenclamp book check {}`); \
                     the book loaded before is used",
                    counted(diagnostics.len(), "complaint"),
                    shell(&shown)
                ));
                Ok(false)
            }
        }
    }

    /// Takes the compiled-in book where the one that another version loaded cannot be read here, nor loaded anew.
    fn replaced(&self, store: &mut Store, why: &str) -> Result<bool, Failure> {
        store.load_book(&sound(&compiled_in())?, &BookOrigin::CompiledIn)?;
        self.say(format!(
            "{why}, and the one loaded before is of another version; the compiled-in book is used"
        ));
        Ok(true)
    }

    /// Notes something to be said on standard error, once.
    pub fn say(&self, remark: impl Into<String>) {
        let (remark, mut noted) = (remark.into(), self.remarks.borrow_mut());
        if !noted.contains(&remark) {
            noted.push(remark);
        }
    }

    /// What was noted, once.
    pub fn take_remarks(&self) -> Vec<String> {
        self.remarks.take()
    }
}

/// The width that the environment asks for where there is no terminal.
fn columns_asked_for() -> Option<usize> {
    std::env::var("COLUMNS").ok()?.parse().ok().filter(|width| *width >= 20)
}

/// A book that must be sound; else the failure lists every diagnostic.
pub fn sound(files: &Files) -> Result<Book, Failure> {
    Book::read(files).map_err(|diagnostics| unsound(&diagnostics.iter().collect::<Vec<_>>()))
}

/// The failure of a book with errors.
pub(super) fn unsound(errors: &[&Diagnostic]) -> Failure {
    let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
    let (count, lines) = (counted(lines.len(), "complaint"), lines.join("\n"));
    let message = format!("the book has {count}; nothing was changed\n{lines}");
    let at = errors.first().map(|diagnostic| diagnostic.at.to_string());
    Failure { kind: FailureKind::Book, message, hint: None, at }
}

/// The files of a book in a folder; a file that is not there is left out.
pub fn read_folder(folder: &Path) -> Result<Files, Failure> {
    if !folder.is_dir() {
        let hint = "name the folder that holds entries.csv and the other sheets";
        return Err(Failure::new(FailureKind::File, format!("{} is no folder", folder.display()), hint));
    }
    let mut files = Vec::new();
    for sheet in SHEETS {
        files.extend(read_file(folder, &sheet.file())?.map(|bytes| (sheet.file(), bytes)));
    }
    Ok(files.into_iter().collect())
}

/// The bytes of a file in a folder; none where there is no such file.
pub(super) fn read_file(folder: &Path, name: &str) -> Result<Option<Vec<u8>>, Failure> {
    let path = folder.join(name);
    match std::fs::read(&path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(unreadable(&path, error, "")),
    }
}
