//! `find`: entries by name, part, alias, thread.

use clap::Args;

use super::{Answer, Context, Decision, Failure};
use crate::report::{Format, FoundEntries};

/// Find entries by name, part, alias or thread
///
/// The trade's words, US and UK, are known; beginnings of words are enough, and typing errors are
/// forgiven. Without words every entry is listed. A dash instead of a torque means that the sources
/// give none to act on: `show` tells what to do instead.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp find bar clamp
  evenclamp find disc bolts --unit in-lb
  evenclamp find setpost
  evenclamp find M5 --format json")]
pub(super) struct FindArgs {
    /// What the part is called
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
}

pub(super) fn answer(args: &FindArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.book()?;
    let question = args.words.join(" ");
    if question.trim().is_empty() {
        let entries = store.all_entries()?;
        return Answer::of(&FoundEntries::new(entries, context.shown_unit()), context, Decision::Good);
    }
    let found = store.find(&question)?;
    let entries = store.entries(&found.entries)?;
    let outcome = if entries.is_empty() { Decision::Bad } else { Decision::Good };
    let mut answer = Answer::of(&FoundEntries::new(entries, context.shown_unit()), context, outcome)?;
    for (typed, read) in &found.corrected {
        context.say(format!("no entry has `{typed}`; read as `{read}`"));
    }
    if outcome == Decision::Bad {
        if context.format == Format::Text {
            answer.text.clear();
        }
        let nearest = match found.nearest.as_slice() {
            [] => "`evenclamp find` lists every entry".to_owned(),
            words => format!("nearest words: {}", words.join(", ")),
        };
        context.say(format!("nothing found for `{question}`; {nearest}"));
    }
    Ok(answer)
}
