//! Looking back over the log: by wrench, entry, person, bicycle, joint, period.

use clap::Args;
use jiff::civil::Date;

use super::target::{any_bicycle, page};
use super::tool::any_wrench;
use super::{Answer, Context, Decision, Failure, FailureKind, clock, geometry};
use crate::report::RecallReport;
use crate::store::Store;
use crate::words::{nearest, short_for};
use crate::workshop::{LookBack, NotShown, Recalled};

/// What is looked back for; several options ask for what is all of it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Looking back")]
pub(super) struct LookBackArgs {
    /// What was read with this wrench
    #[arg(long, value_name = "NAME")]
    wrench: Option<String>,
    /// What was read of joints of this entry
    #[arg(long, value_name = "ENTRY")]
    entry: Option<String>,
    /// What this person read
    #[arg(long, value_name = "PERSON", visible_alias = "person")]
    by: Option<String>,
    /// What was read of this bicycle, in use or retired
    #[arg(long, value_name = "BIKE", conflicts_with = "of")]
    bike: Option<String>,
    /// What was read of joints of this name, also of those that were taken off
    #[arg(long, value_name = "JOINT", conflicts_with = "of")]
    joint: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DAY", value_parser = geometry::day)]
    since: Option<Date>,
    /// Up to this day, the day included
    #[arg(long, value_name = "DAY", value_parser = geometry::day)]
    until: Option<Date>,
    /// Only what is in doubt because of its wrench, all of it
    #[arg(long)]
    doubt: bool,
}

impl LookBackArgs {
    /// The wrench that is asked for.
    pub(super) fn wrench(&self) -> Option<&str> {
        self.wrench.as_deref()
    }

    /// Whether anything is asked for.
    pub(super) fn asks(&self) -> bool {
        let names = [&self.wrench, &self.entry, &self.by, &self.bike, &self.joint];
        self.doubt || self.since.is_some() || self.until.is_some() || names.iter().any(|name| name.is_some())
    }
}

/// The readings that the options ask for, of a bicycle, a joint or a bolt where one is named: BIKE, BIKE/JOINT or
/// BIKE/JOINT#BOLT.
pub(super) fn answer(
    args: &LookBackArgs,
    (of, all): (Option<&str>, bool),
    context: &Context,
) -> Result<Answer, Failure> {
    let store = context.store_with_book()?.into_snapshot()?;
    let (look_back, asked) = read(&store, args, of)?;
    let mut readings = store.look_back(&look_back, clock::now()?)?;
    let is_found = !readings.is_empty();
    let mut not_shown = NotShown::default();
    if args.doubt {
        readings.retain(|one| !one.doubts.is_empty());
    } else if !all {
        not_shown = NotShown::cut(&mut readings, Recalled::told);
    }
    let report = RecallReport { asked, readings: &readings, not_shown };
    Answer::of(&report, context, if is_found { Decision::Good } else { Decision::Bad })
}

/// What was asked for, each as its option and its value.
type Asked = Vec<(&'static str, String)>;

/// What is asked for, and how that is told.
fn read(store: &Store, args: &LookBackArgs, of: Option<&str>) -> Result<(LookBack, Asked), Failure> {
    let (bike, rest) = match of {
        Some(of) => of.split_once('/').map_or((Some(of), None), |(bike, rest)| (Some(bike), Some(rest))),
        None => (args.bike.as_deref(), args.joint.as_deref()),
    };
    let (joint, bolt) = rest.map_or((None, None), |rest| {
        rest.split_once('#').map_or((Some(rest), None), |(joint, bolt)| (Some(joint), Some(bolt)))
    });
    let bicycle = bike.map(|name| any_bicycle(store, name)).transpose()?;
    let number = bicycle.as_ref().map(|bicycle| bicycle.id);
    let look_back = LookBack {
        wrench: named(args.wrench.as_deref(), |name| Ok(any_wrench(store, name)?.wrench.name().to_owned()))?,
        entry: named(args.entry.as_deref(), |name| entry_called(store, name))?,
        by: named(args.by.as_deref(), |name| person_called(store, name))?,
        bicycle: number,
        joint: named(joint, |name| joint_called(store, number, name))?,
        bolt: bolt.map(bolt_number).transpose()?,
        since: args.since,
        until: args.until,
    };
    if let (Some(since), Some(until)) = (args.since, args.until)
        && since > until
    {
        let message = format!("--since {since} is after --until {until}");
        return Err(Failure::new(FailureKind::Value, message, "give the earlier day with --since"));
    }
    let day = |day: Option<Date>| day.map(|day| day.to_string());
    let asked = [
        ("wrench", look_back.wrench.clone()),
        ("entry", look_back.entry.clone()),
        ("by", look_back.by.clone()),
        ("bike", bicycle.map(|bicycle| bicycle.bicycle.name.to_string())),
        ("joint", look_back.joint.clone()),
        ("bolt", look_back.bolt.map(|bolt| bolt.to_string())),
        ("since", day(args.since)),
        ("until", day(args.until)),
    ];
    Ok((look_back, asked.into_iter().filter_map(|(option, value)| Some((option, value?))).collect()))
}

fn named(
    name: Option<&str>,
    find: impl FnOnce(&str) -> Result<String, Failure>,
) -> Result<Option<String>, Failure> {
    name.map(|name| find(name.trim())).transpose()
}

/// An entry of the book or of a joint there is or was.
fn entry_called(store: &Store, name: &str) -> Result<String, Failure> {
    let joints = store.joints_ever(None)?;
    let known = joints.iter().map(|(_, entry)| entry.as_str()).find(|entry| entry.eq_ignore_ascii_case(name));
    if let Some(entry) = known.filter(|entry| !entry.is_empty()) {
        return Ok(entry.to_owned());
    }
    let keys = store.entry_keys()?;
    page(store, name).map(|page| page.entry.entry).map_err(|failure| {
        let used = joints.iter().map(|(_, entry)| entry.as_str());
        let near = nearest(name, used.chain(keys.iter().map(String::as_str)), 5);
        let hint = failure.hint.filter(|hint| near.is_empty() || hint.starts_with("it may be"));
        Failure { hint: hint.or_else(|| Some(format!("nearest: {}", near.join(", ")))), ..failure }
    })
}

fn joint_called(store: &Store, bicycle: Option<i64>, name: &str) -> Result<String, Failure> {
    let joints = store.joints_ever(bicycle)?;
    let names = joints.iter().map(|(name, _)| name.as_str());
    let of = if bicycle.is_some() { "that bicycle never had a joint" } else { "no bicycle ever had a joint" };
    one_called(name, &names, (FailureKind::Joint, format!("{of} `{name}`")))
}

fn person_called(store: &Store, name: &str) -> Result<String, Failure> {
    let people = store.people()?;
    let names = people.iter().map(String::as_str);
    one_called(name, &names, (FailureKind::Name, format!("nobody called `{name}` has read anything")))
}

/// The one of the names that is meant; else the failure, with those that it may be or the nearest ones.
fn one_called<'a>(
    name: &str,
    names: &(impl Iterator<Item = &'a str> + Clone),
    (kind, message): (FailureKind, String),
) -> Result<String, Failure> {
    let mut meant: Vec<&str> =
        short_for(name, names.clone().map(|name| (name, ()))).into_iter().map(|(name, ())| name).collect();
    meant.dedup_by_key(|name| name.to_lowercase());
    let hint = match meant.as_slice() {
        [one] => return Ok((*one).to_owned()),
        [] => nearest(name, names.clone(), 5).join(", "),
        several => several.join(", "),
    };
    let hint = match (meant.is_empty(), hint.is_empty()) {
        (false, _) => format!("it may be {hint}: write more of it"),
        (true, false) => format!("nearest: {hint}"),
        (true, true) => "`evenclamp history --since DAY` shows what was read, of what and by whom".to_owned(),
    };
    Err(Failure::new(kind, message, hint))
}

fn bolt_number(text: &str) -> Result<u16, Failure> {
    text.trim().parse().ok().filter(|bolt| *bolt > 0).ok_or_else(|| {
        Failure::new(
            FailureKind::Joint,
            format!("`{text}` is no bolt"),
            "bolts are counted from 1, such as #2",
        )
    })
}
