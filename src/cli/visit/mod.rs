//! `visit`: a round of a bicycle, one question at a time; one key and Enter moves on.

mod answers;
mod keep;
mod marking;
mod reader;
mod sitting;
mod turn;

use clap::Args;

use super::target::bicycle;
use super::tool::registered;
use super::{Answer, Context, Failure, FailureKind, clock};
use crate::book::Round;
use crate::report::{ReadyReport, RoundReport};
use crate::store::Store;
use crate::workshop::{LocalInstant, StoredBicycle};
use reader::Reader;
use sitting::{Sitting, SittingEnd};

/// Lead through a round of a bicycle, one question at a time, in the order of a walk round it
///
/// Each question names the limits, the wrench that serves and its setting. Enter alone says that it was done as set;
/// a number is the torque that was read; `+` is fine, `-` leaves it out, `u` takes the last answer back, `w` takes
/// another wrench, `m max 5 N·m` notes the marking on the part, `f cracked …` a finding with words, `?` helps, `q`
/// leaves. The verdict follows at once, and each answer is kept before the next question.
///
/// Rounds: `before` asks for what moves or gives way, `after` for what a hard ride loosens or breaks, `full` for
/// everything, `open` for what has no good evidence now. `bike joint edit --rounds` changes which a joint belongs to.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp visit loan-7 --round before --who Kim
  evenclamp visit loan-7 --round open --wrench small-click --wrench mid
  evenclamp visit loan-7 < answers.txt
  evenclamp visit loan-7 --anew

Exit status: that of `ready` afterwards; 2 where an answer of a file cannot be understood.")]
pub(super) struct VisitArgs {
    /// The bicycle
    bike: String,
    /// Which of its items: before, after, full, open [default: that of a visit that was left, else full]
    #[arg(long, value_name = "ROUND")]
    round: Option<String>,
    /// A registered wrench that is at hand, may be given several times [default: every one that is registered]
    #[arg(long, value_name = "NAME")]
    wrench: Vec<String>,
    /// Begin anew instead of going on with a visit that was left
    #[arg(long)]
    anew: bool,
}

pub(super) fn answer(args: &VisitArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let now = clock::now()?;
    clock::refuse_clock_set_back(&store, now, false)?;
    let stored = bicycle(&store, &args.bike)?;
    let asked = args.round.as_deref().map(round).transpose()?;
    let wrenches = args.wrench.iter().map(|name| registered(&store, name));
    let at_hand = wrenches.collect::<Result<Vec<_>, _>>()?;
    let (started, round, is_resumed) = begun(&mut store, &stored, (asked, args.anew), now)?;
    let reader = Reader::new(context);
    reader.say(&if is_resumed {
        format!("going on with the {round} round of {}; ? for help", started.short())
    } else {
        format!("{round} round; Enter: done as set, + fine, - leaves out, u undoes, ? for help")
    });
    let mut sitting = Sitting::new(&store, (&stored, started, round), at_hand, (context, reader))?;
    let ended = sitting.walk(&mut store)?;
    let name = &stored.bicycle.name;
    let goes_on = format!("`evenclamp visit {name}` goes on from here");
    match ended {
        SittingEnd::Whole => {
            context.sign(&mut store);
            store.end_visit(stored.id, clock::now()?)?;
        }
        SittingEnd::Left => sitting.say(&format!("left; {goes_on}")),
        SittingEnd::NotUnderstood(at, why) => {
            let message = format!("line {at} of the answers: {why}");
            let hint = format!("what was said before it is kept; put it right, and {goes_on}");
            return Err(Failure::new(FailureKind::Input, message, hint));
        }
    }
    let (workshop, judged) = store.judge(&stored, clock::now()?)?;
    let ready = ReadyReport::new(&judged, &workshop, context.unit, false);
    let report = RoundReport { ready, round, tally: sitting.tally(&store)? };
    Answer::of(&report, context, judged.verdict.fitness.decision())
}

/// The round that a word stands for.
fn round(word: &str) -> Result<Round, Failure> {
    Round::parse(word.trim()).ok_or_else(|| {
        let hint = format!("use one of {}", crate::words::listed(Round::WORDS));
        Failure::new(FailureKind::Value, format!("`{word}` is no round"), hint)
    })
}

/// The visit that is open, or a new one where another round is asked for or it is to begin anew; when it was begun, its
/// round, and whether it goes on.
fn begun(
    store: &mut Store,
    bicycle: &StoredBicycle,
    (asked, anew): (Option<Round>, bool),
    now: LocalInstant,
) -> Result<(LocalInstant, Round, bool), Failure> {
    let open = store.open_visit(bicycle.id)?;
    if let Some((started, round)) =
        open.filter(|(_, round)| !anew && asked.is_none_or(|asked| asked == *round))
    {
        return Ok((started, round, true));
    }
    if open.is_some() {
        store.end_visit(bicycle.id, now)?;
    }
    let round = asked.or(open.map(|(_, round)| round)).unwrap_or_default();
    store.start_visit(bicycle.id, now, round)?;
    Ok((now, round, false))
}
