//! `verify`: is the workshop book whole?

use clap::Args;

use super::{Answer, Context, Decision, Failure};
use crate::report::VerifyReport;

/// Check that the workshop book is whole: the file, the chain of its journal, and what follows from it
///
/// Every change of the workshop book is a line of its journal, which carries a hash of what it says and of the line
/// before it. A line that was changed, left out or put in is seen, and so is a table that says something else than
/// the journal. Damage is not mended here: bring back a backup that verifies.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp verify
  evenclamp verify --db 2026-06-01.db

Exit status: 0 whole, 1 damaged.")]
pub(super) struct VerifyArgs {}

pub(super) fn answer(_: &VerifyArgs, context: &Context) -> Result<Answer, Failure> {
    let found = context.store_with_book()?.check_whole()?;
    let decision = if found.faults.is_empty() { Decision::Good } else { Decision::Bad };
    let report = VerifyReport { lines: found.lines, newest: found.newest, faults: found.faults };
    Answer::of(&report, context, decision)
}
