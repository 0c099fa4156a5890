//! `bike sheet`: the figures of whole bicycles as a table, to be filled in and taken over.

mod read;

use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;

use super::super::file::{AtomicFile, Older, unreadable, unwritable};
use super::super::target::bicycle;
use super::super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::report::JointSheet;
use crate::store::Store;
use crate::words::counted_are;
use crate::workshop::{State, StoredBicycle};

/// Write the figures of bicycles as a table, or take them over from one
///
/// A table has a row for each joint and the columns of `joints.csv`: bike, joint, place, order, check, entry, bolts,
/// critical, hand, marking_part, marking, second_marking_part, second_marking, part_maker, bicycle_maker, shop, thread,
/// grade, condition, photo, rounds. Fill it in with a spreadsheet program: a figure as it stands on the part (max 5 N·m), and
/// with two parts in one clamp the name of each part before its figure. Save it as CSV in UTF-8, with commas, semicolons
/// or tabs.
///
/// Taken over, each row changes its joint as `bike joint edit` would, all rows or none. A column or row that is left out
/// changes nothing; an empty field takes away what was there. Where the column `bike` is left out or empty, the row is
/// for every bicycle that is named.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bike sheet hire-1 --to hire-1.csv
  evenclamp bike sheet hire-1 --from hire-1.csv
  evenclamp bike sheet hire-1 hire-2 hire-3 --from figures.csv")]
pub(super) struct SheetArgs {
    /// The bicycles
    #[arg(required = true, value_name = "BIKE")]
    bikes: Vec<String>,
    /// Take the figures over from this file, or - for standard input
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Write the table into this file, with the mark by which spreadsheet programs know UTF-8
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    to: Option<PathBuf>,
    /// Replace a file that stands there already
    #[arg(long, requires = "to")]
    replace: bool,
    /// Part the fields by semicolons, for spreadsheet programs that write 5,2 and not 5.2
    #[arg(long, conflicts_with = "from")]
    semicolons: bool,
}

/// What stands in front of a file that spreadsheet programs take for UTF-8.
const BYTE_ORDER_MARK: &str = "\u{feff}";

pub(super) fn answer(args: &SheetArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
    let mut bicycles: Vec<StoredBicycle> = Vec::new();
    for name in &args.bikes {
        let found = bicycle(&store, name)?;
        if bicycles.iter().all(|known| known.id != found.id) {
            bicycles.push(found);
        }
    }
    if let Some(file) = &args.from {
        let (bytes, shown) = contents(file)?;
        return read::answer(store, &bicycles, (&bytes, &shown), context);
    }
    written(args, &store, &bicycles, context)
}

/// The bytes of a file, and how it is called.
fn contents(file: &Path) -> Result<(Vec<u8>, String), Failure> {
    let from_stdin = file.as_os_str() == "-";
    let read = if from_stdin {
        let mut bytes = Vec::new();
        io::stdin().lock().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        std::fs::read(file)
    };
    let hint = "name a file that `evenclamp bike sheet` has written; nothing was changed";
    let shown = if from_stdin { "standard input".to_owned() } else { file.display().to_string() };
    Ok((read.map_err(|error| unreadable(file, error, hint))?, shown))
}

fn written(
    args: &SheetArgs,
    store: &Store,
    bicycles: &[StoredBicycle],
    context: &Context,
) -> Result<Answer, Failure> {
    let (now, mut joints, mut without) = (clock::now()?, Vec::new(), Vec::new());
    for stored in bicycles {
        let name = &stored.bicycle.name;
        let (_, judged) = store.judge(stored, now)?;
        let no_value = judged.joints.iter().filter(|(_, verdict)| verdict.state() == State::NoValue);
        without.extend(no_value.map(|(joint, _)| format!("{name}/{}", joint.name)));
        joints.extend(judged.joints.into_iter().map(|(joint, _)| (name.to_string(), joint)));
    }
    if !without.is_empty() {
        let count = without.len();
        context.say(format!("{count} of {} joints have no value: {}", joints.len(), without.join(", ")));
    }
    let sheet = JointSheet { joints: &joints, separator: if args.semicolons { b';' } else { b',' } };
    let Some(path) = &args.to else { return Answer::of(&sheet, context, Decision::Good) };
    let older = if args.replace { Older::Replaced } else { Older::Kept };
    let begun = AtomicFile::begin(path, older).and_then(|mut file| {
        file.write_all(BYTE_ORDER_MARK.as_bytes())?;
        file.write_all(sheet.csv()?.as_bytes())?;
        file.put_in_place()
    });
    begun.map_err(|error| not_written(path, &error))?;
    Ok(Answer::text(format!("{} in {}\n", counted_are(joints.len(), "joint"), path.display())))
}

fn not_written(path: &Path, error: &io::Error) -> Failure {
    if error.kind() == io::ErrorKind::AlreadyExists {
        let message = format!("{} stands there already; nothing was written", path.display());
        return Failure::new(FailureKind::File, message, "name another file, or say --replace");
    }
    unwritable(path, error)
}
