//! `export` and `import`: the whole workshop as CSV files, to be read by anyone and taken elsewhere.

mod journal;
mod sheets;

use std::path::PathBuf;

use clap::Args;

use super::folder::{Folder, put_all, throw_away};
use super::record::{Origin, read_log};
use super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::report::JournalImport;
use crate::store::{Store, StoreError};
use crate::words::{counted, shell};
use journal::JOURNAL_FILE;

/// Write the whole workshop as CSV files: the journal, and what follows from it
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp export workshop-2026

`journal.csv` holds every change of the workshop, and `import` brings back all of it from that file. The others
are what follows from it today, for spreadsheets and other programs: bicycles, joints, wrenches, events, own
figures, and the log. `readings.csv` is a log that `record --from` and `audit` read; `removed.csv` is the log of
joints that were taken off. Files that stand in the folder already are replaced only with --replace.")]
pub(super) struct ExportArgs {
    /// The folder to write; it is made where needed
    folder: PathBuf,
    /// Replace files of an earlier export
    #[arg(long)]
    replace: bool,
}

/// Read an exported workshop, all or nothing; into a workshop that is there already, what it does not have yet
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp import workshop-2026 --db new.db
  evenclamp import from-the-other-shop

The journal of the folder is checked line by line first. Lines that are here already count once, so that journals
of several workshops can be gathered in one database, again and again. A folder of an earlier version has no
journal: its sheets are read into an empty database.")]
pub(super) struct ImportArgs {
    /// A folder that `export` has written
    folder: PathBuf,
}

const NOTHING_IMPORTED: &str = "name a folder that `evenclamp export` has written; nothing was imported";

pub(super) fn export(args: &ExportArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store()?.into_snapshot()?;
    let folder = Folder::open(&args.folder, sheets::FILES.into_iter().chain([JOURNAL_FILE]), args.replace)?;
    for remark in sheets::remarks(&store)? {
        context.say(remark);
    }
    let mut files = sheets::write(&store, &folder)?;
    let (journal, lines) = journal::write(&store, &folder)?;
    files.push(journal);
    put_all(files)?;
    let (bicycles, readings) = (store.bicycles(true)?.len(), store.reading_count()?);
    let place = args.folder.display();
    Ok(Answer::text(format!(
        "{} and {} are in {place}; its journal has {}\n",
        counted(bicycles, "bicycle"),
        counted(readings, "reading"),
        counted(lines, "line"),
    )))
}

pub(super) fn import(args: &ImportArgs, context: &Context) -> Result<Answer, Failure> {
    if args.folder.join(JOURNAL_FILE).exists() {
        import_journal(args, context)
    } else {
        import_sheets(args, context)
    }
}

fn import_journal(args: &ImportArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    // Everything is put together in a database of its own first, so that a fault changes nothing.
    let mut brought = Store::in_memory()?;
    let lines = journal::read(&args.folder, &mut brought)?;
    refuse_edited(args, &brought)?;
    let merged = store.merge(&brought).map_err(named_twice)?;
    context.tell_own(&store, true)?;
    let report =
        JournalImport { lines, added: merged.added, renumbered: merged.renumbered, brought: merged.brought };
    Answer::of(&report, context, Decision::Good)
}

/// What to do where both workshops have given a name to different things.
fn named_twice(error: StoreError) -> Failure {
    let (what, rename) = match &error {
        StoreError::NameTaken(name) => {
            let typed = shell(name);
            let rename = format!(
                "rename the bicycle or wrench in one of them (`evenclamp bike edit {typed} --name NEW`, `evenclamp wrench \
                 edit {typed} --name NEW`)"
            );
            (format!("something called `{name}`"), rename)
        }
        StoreError::JointNameTaken { bicycle, joint } => {
            let rename = format!(
                "rename the joint in one of them (`evenclamp bike joint edit {} {} --name NEW`) or take it off there",
                shell(bicycle),
                shell(joint)
            );
            (format!("a joint `{joint}` on {bicycle}"), rename)
        }
        _ => return Failure::from(error),
    };
    Failure::new(
        FailureKind::Import,
        format!("both workshops have {what}, and they are not the same"),
        format!("{rename}, export that one again, and repeat the import; nothing was imported"),
    )
}

/// Sheets that were edited say something else than the journal beside them, and would be passed over without a word.
fn refuse_edited(args: &ImportArgs, brought: &Store) -> Result<(), Failure> {
    let own = throw_away()?;
    put_all(sheets::write(brought, &Folder::open(own.path(), sheets::FILES, true)?)?)?;
    for name in sheets::FILES {
        let path = args.folder.join(name);
        let (there, own) = (std::fs::read(&path).ok(), std::fs::read(own.path().join(name)).ok());
        if !there.zip(own).is_none_or(|(there, own)| sheets::says_the_same(&there, &own)) {
            return Err(Failure::new(
                FailureKind::Import,
                format!("{} is not what {JOURNAL_FILE} gives: one of them was edited", path.display()),
                format!(
                    "export again; or take {JOURNAL_FILE} out of the folder, and the sheets are read as they stand, \
                     without their past; nothing was imported"
                ),
            ));
        }
    }
    Ok(())
}

/// Reads the sheets of an earlier version, which wrote no journal.
fn import_sheets(args: &ImportArgs, context: &Context) -> Result<Answer, Failure> {
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
    sheets::fill(&mut draft, &args.folder)?;
    sheets::fill_own(&mut draft, &args.folder, context)?;
    let log = args.folder.join("readings.csv");
    let source =
        std::fs::File::open(&log).map_err(|error| super::file::unreadable(&log, error, NOTHING_IMPORTED))?;
    let report = read_log(&mut draft, (source, Origin::Export), &log.display().to_string(), None, now)?;
    if report.rejected > 0 {
        return Answer::of(&report, context, Decision::Bad);
    }
    drop(draft);
    store.restore(&draft_path)?;
    Answer::of(&report, context, Decision::Good)
}
