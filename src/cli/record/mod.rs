//! `record`: write readings down, with the verdict at once.

pub(super) mod admit;
mod correct;
pub(super) mod entry;
mod import;
mod known;
mod log_form;

use std::path::PathBuf;

use clap::Args;

use super::target::{Target, target};
use super::{Answer, Context, Failure, FailureKind, clock, unit_arg, words};
use crate::conformity::Kind;
use crate::quantity::TorqueUnit;
use crate::report::RecordReport;
use crate::store::Store;
use crate::workshop::{Action, Finding, LocalInstant, Reading};
use entry::{RecordEntry, by_word};

pub(super) use import::read_log;
pub(super) use known::Origin;

/// Write readings down, with the verdict at once
///
/// One value for each bolt, in the order of their numbers, or one value for the bolt that is named. A
/// `-` leaves a bolt out. The unit may stand after each value or once at the end; without one it is
/// that of the wrench's scale, or N·m. A finding needs no value. The log is only ever added to: a correction is a new
/// line, which takes over all that it does not name of the line that it corrects, its unit included.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp record loan-7/bar-clamp 5.0 5.1 4.9 5.0 N·m --wrench small-click --who Kim
  evenclamp record loan-7/bar-clamp#2 \"44 lbf·in\" --wrench small-click
  evenclamp record loan-7/crank-left 12.6 12.8 --found \"9 11\" --wrench big-click
  evenclamp record loan-7/stem-steerer#1 --kind moved 4
  evenclamp record loan-7/headset --finding fine
  evenclamp record loan-7/rotor-front-thickness 1.7
  evenclamp record loan-7/bar-clamp 4.4 --corrects 17
  evenclamp record --strike 17 --note \"read on the other bicycle\"
  evenclamp record --from season.csv --keep-good
  evenclamp record --from old.csv --bare-unit in-lb

A log (--from) is CSV in UTF-8. Its first line names the columns, in any order:
  bike, joint         the joint, by its whole name
  bolt                its number, from 1; not needed where there is one
  value, unit         as read, such as 5.1 and N·m, in-lb, mm or bar
  taken_at            when; without this column, now
  kind                tightened (also where it is empty), held, moved,
                      loosening, back-to-mark, by-hand, measured, skipped
  finding, action     as with --finding and --action
  wrench, who, note   as with --wrench, --who and --note
  id, corrects        the file's own numbers: this row corrects one above it
  entry, reason       passed over
Commas, semicolons or tabs part them, as the first line shows; where semicolons
do, a comma in a value is a decimal one. Every row is held to what `record`
takes of the same; --yes takes what looks implausible.

Exit status: 0 sound, 1 bad, 2 nothing was recorded, 3 recorded and open.")]
pub(super) struct RecordArgs {
    /// The joint: BIKE/JOINT, or one bolt of it: BIKE/JOINT#BOLT
    #[arg(value_name = "BIKE/JOINT", required_unless_present_any = ["from", "strike"], conflicts_with_all = ["from", "strike"])]
    joint: Option<String>,
    /// The values as read
    #[arg(value_name = "VALUE", conflicts_with = "from")]
    values: Vec<String>,
    /// How the values came about [default: tightened, or measured where no torque decides]
    #[arg(long, value_name = "KIND", value_parser = words::one_of(Kind::WORDS, |kind| *kind != Kind::Skipped))]
    kind: Option<Kind>,
    /// What was found before the values were set, one for each value, such as "4.2 4.4"
    #[arg(long, value_name = "VALUES")]
    found: Option<String>,
    /// How the found values came about
    #[arg(long, value_name = "KIND", value_parser = words::one_of(Kind::WORDS, |kind| *kind != Kind::Skipped), default_value = "moved", requires = "found")]
    found_kind: Kind,
    /// The registered wrench
    #[arg(long, value_name = "NAME")]
    wrench: Option<String>,
    /// When, with its offset or in the zone here [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Anything else worth knowing
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// What was found: fine, loose, drags, creaks, seized, cracked, play, worn, bent, broken,
    /// cut, leaks, rubs
    #[arg(long, value_name = "WORD")]
    finding: Option<String>,
    /// What was done: none, re-tightened, re-locked, replaced, handed-over
    #[arg(long, value_name = "WORD")]
    action: Option<String>,
    /// Number of the reading that this one corrects, as `history` lists it
    #[arg(long, value_name = "ID")]
    corrects: Option<i64>,
    /// Take the reading of this number back, for the reason that --note gives; it stays readable
    #[arg(long, value_name = "ID", conflicts_with_all = ["from", "corrects", "values", "kind", "found", "wrench", "at", "finding", "action"])]
    strike: Option<i64>,
    /// Record a value that looks implausible, or while the clock looks wrong
    #[arg(long)]
    yes: bool,
    /// Read a log from a CSV file, or from standard input with -
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// The unit of values in the log that have none, such as N·m or in-lb; without it such rows are refused
    #[arg(long, value_name = "UNIT", value_parser = unit_arg, requires = "from", conflicts_with = "joint")]
    bare_unit: Option<TorqueUnit>,
    /// Record the good rows of the log and write the others beside it, instead of all or nothing
    ///
    /// Those of season.csv go to season.rejected.csv or, where that is taken, to season.rejected-2.csv.
    #[arg(long, requires = "from")]
    keep_good: bool,
}

pub(super) fn answer(args: &RecordArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let now = clock::now()?;
    clock::refuse_clock_set_back(&store, now, args.yes)?;
    if let Some(file) = &args.from {
        let origin = Origin::Elsewhere { bare: args.bare_unit, sure: args.yes };
        return import::answer(&mut store, (file, origin), args.keep_good, now, context);
    }
    if let Some(id) = args.strike {
        let why = args.note.as_deref().unwrap_or(context.why()).trim();
        let (target, struck) = correct::strike(&mut store, (id, why), now, context)?;
        return told(&store, &target, (&[struck], Vec::new()), now, context);
    }
    let mut target = target(&store, args.joint.as_deref().unwrap_or_default())?;
    let at = args.at.as_deref().map(clock::instant).transpose()?;
    let line = Reading {
        wrench: args.wrench.clone(),
        who: context.who.clone(),
        note: args.note.as_deref().unwrap_or_default().trim().to_owned(),
        finding: by_word(args.finding.as_deref(), (FailureKind::Finding, "finding"), Finding::WORDS)?,
        action: by_word(args.action.as_deref(), (FailureKind::Action, "action"), Action::WORDS)?,
        corrects: args.corrects,
        ..Reading::new(now, args.kind.unwrap_or(Kind::Tightened))
    };
    let corrected = args.corrects.map(|id| correct::corrected(&store, &target, id)).transpose()?;
    let line = match &corrected {
        Some(corrected) => args.taking_over(&line, corrected),
        None => line,
    };
    target.bolt = target.bolt.or(corrected.as_ref().map(|corrected| corrected.bolt));
    let mut entry = RecordEntry::new(&store, &target, line, (at, corrected.as_ref()), context)?;
    entry.values(&args.values)?;
    if let Some(found) = &args.found {
        entry.found(args.found_kind, found)?;
    }
    entry.say_unit();
    let hints = entry.doubtful(args.yes)?;
    let recorded = entry.record(&mut store)?;
    told(&store, &target, (&recorded, hints), now, context)
}

/// Says what was recorded, and what the joint is now.
fn told(
    store: &Store,
    target: &Target,
    (recorded, hints): (&[Reading], Vec<String>),
    now: LocalInstant,
    context: &Context,
) -> Result<Answer, Failure> {
    let (workshop, joint, verdict) = target.judge(store, now)?;
    let bike = target.bicycle.bicycle.name.text();
    let item = workshop.items.get(&joint.entry);
    let (joint, verdict, unit) = (&joint, &verdict, context.unit);
    let report = RecordReport { bike, joint, verdict, recorded, hints, item, unit };
    Answer::of(&report, context, verdict.state().decision())
}
