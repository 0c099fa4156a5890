//! `backup` and `restore`: the whole database as one file.

use std::io;
use std::path::{Path, PathBuf};

use clap::Args;

use super::file::{AtomicFile, Older, unwritable};
use super::{Answer, Context, Failure, FailureKind};
use crate::words::{counted, counted_are};

/// Copy the whole database into one file, while others go on working
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp backup 2026-06-01.db")]
pub(super) struct BackupArgs {
    /// The file to write; it must not be there yet
    file: PathBuf,
}

/// Replace the whole database by a backup
#[derive(Debug, Args)]
#[command(after_help = "Example:
  evenclamp restore 2026-06-01.db --yes")]
pub(super) struct RestoreArgs {
    /// The backup
    file: PathBuf,
    /// Replace a log that is not empty
    #[arg(long)]
    yes: bool,
}

pub(super) fn backup(args: &BackupArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store()?;
    let copy = AtomicFile::begin(&args.file, Older::Kept).map_err(|error| refused(&args.file, &error))?;
    store.back_up(copy.draft())?;
    copy.put_in_place().map_err(|error| refused(&args.file, &error))?;
    let readings = store.reading_count()?;
    Ok(Answer::text(format!("{} in {}\n", counted_are(readings, "reading"), args.file.display())))
}

fn refused(path: &Path, error: &io::Error) -> Failure {
    if error.kind() == io::ErrorKind::AlreadyExists {
        let message = format!("{} is there already", path.display());
        return Failure::new(FailureKind::Database, message, "name another file, or move that one away");
    }
    unwritable(path, error)
}

pub(super) fn restore(args: &RestoreArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store()?;
    let there = store.reading_count()?;
    if there > 0 && !args.yes {
        let message = format!("the log holds {}, which the backup would replace", counted(there, "reading"));
        let hint = "make a backup of it first; then repeat the command with --yes";
        return Err(Failure::new(FailureKind::Restore, message, hint));
    }
    if !args.file.is_file() {
        let message = format!("{} is no file", args.file.display());
        let hint = "name a file that `evenclamp backup` has written";
        return Err(Failure::new(FailureKind::File, message, hint));
    }
    store.restore(&args.file)?;
    Ok(Answer::text(format!(
        "{} came back from {}\n",
        counted(store.reading_count()?, "reading"),
        args.file.display()
    )))
}
