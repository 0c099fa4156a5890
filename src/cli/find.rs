//! `find`: entries by name, part, alias, thread.

use clap::Args;

use super::{Answer, Context, Decision, Failure};
use crate::report::FoundEntries;

/// Find entries by name, part, alias or thread
///
/// The trade's words, US and UK, and whole questions are understood; every word that names something
/// must fit. What looks mistyped is read as the nearest word, and the answer says so. What does not fit on
/// a screen, and what fits only in part, is counted below and listed with --all. Without words every entry is listed. A dash instead of
/// a torque means that the sources give none to act on: `show` tells what to do instead. `no torque` means that
/// the part takes none, or is measured: what it is set by, or its limits, stand beneath.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp find bar clamp
  evenclamp find disc bolts --unit in-lb
  evenclamp find how tight should my stem bolts be
  evenclamp find setpost clamp
  evenclamp find M5 --format json")]
pub(super) struct FindArgs {
    /// What the part is called
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    /// List everything, also what fits only in part
    #[arg(long)]
    all: bool,
}

pub(super) fn answer(args: &FindArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let question = args.words.join(" ");
    if question.trim().is_empty() {
        let entries = store.all_entries()?;
        let no_torque = store.without_torque(&entries)?;
        let report = FoundEntries::new(entries, no_torque, context.shown_unit());
        return Answer::of(&report, context, Decision::Good);
    }
    let found = store.find(&question)?;
    let keys: Vec<String> = found.hits.iter().map(|hit| hit.entry.clone()).collect();
    let entries = store.entries(&keys)?;
    let mut items = store.measured_items()?;
    let measured: Vec<_> = found.measured.iter().filter_map(|item| items.remove(item)).collect();
    let is_nothing = entries.is_empty() && measured.is_empty();
    if is_nothing {
        context.say(nothing_found(&question, &found.nearest));
    }
    let outcome = if is_nothing { Decision::Bad } else { Decision::Good };
    let no_torque = store.without_torque(&entries)?;
    let report = FoundEntries::new(entries, no_torque, context.shown_unit())
        .with_measured(measured)
        .for_question(found, args.all);
    Answer::of(&report, context, outcome)
}

fn nothing_found(question: &str, nearest: &[String]) -> String {
    let nearest = match nearest {
        [] => "name the part; `evenclamp find` lists every entry".to_owned(),
        words => format!("nearest: {}", words.join(", ")),
    };
    format!("nothing found for `{question}`; {nearest}")
}
