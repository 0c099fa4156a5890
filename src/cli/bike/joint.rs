//! `bike joint`: add joints to a bicycle, change or take off what is different on this one.

use clap::{Args, Subcommand};

use super::super::known_bolt::refuse_typed;
use super::super::target::{bicycle, joint};
use super::super::{Answer, Context, Failure, FailureKind, clock};
use super::change;
use crate::book::{Check, Hand};
use crate::report::figure_option;
use crate::sequence::MAX_BOLTS;
use crate::sheet::field::YES_NO;
use crate::store::Store;
use crate::workshop::{Figure, Hardware, Joint, Marking, Name, StoredJoint};

/// Add joints to a bicycle, change or take off what is different on this one
#[derive(Debug, Subcommand)]
pub(super) enum JointAction {
    /// Add a joint
    Add(Box<JointArgs>),
    /// Change a joint: the figure on the part, its bolts, its entry
    Edit(Box<JointArgs>),
    /// Take a joint off; its readings stay in the log
    Remove {
        /// The bicycle
        bike: String,
        /// The joint
        joint: String,
    },
}

#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bike joint edit loan-7 bar-clamp --marking \"stem: max 6 N·m\" --marking \"bar: max 5 N·m\"
  evenclamp bike joint edit loan-7 rotor-front --part-maker \"4 N·m\" --thread M5 --condition threadlocker
  evenclamp bike joint edit loan-7 rotor-front-thickness --marking \"min 1.5 mm\"
  evenclamp bike joint add loan-7 bottle-cage --entry bottle-cage-bolt --bolts 2 --critical no")]
pub(super) struct JointArgs {
    /// The bicycle
    bike: String,
    /// The joint
    joint: String,
    /// A new name
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Its entry in the spec book, or the item of a measured check
    #[arg(long, value_name = "ENTRY")]
    entry: Option<String>,
    /// How it is checked: torque, function (by hand, eye and ear), measure
    #[arg(long, value_name = "HOW")]
    check: Option<String>,
    /// How many bolts it has
    #[arg(long, value_name = "N")]
    bolts: Option<u16>,
    /// Where it is
    #[arg(long, value_name = "TEXT")]
    place: Option<String>,
    /// Whether it decides safety
    #[arg(long, value_name = "yes|no")]
    critical: Option<String>,
    /// Turning direction, where the side decides it: right or left
    #[arg(long, value_name = "HAND")]
    hand: Option<String>,
    /// What stands on the part, such as "max 5 N·m" or "stem: max 5 N·m"; given twice for the two
    /// parts of a clamp. Empty takes it away
    #[arg(long, value_name = "FIGURE")]
    marking: Vec<String>,
    /// What the maker of the part says; empty takes it away
    #[arg(long, value_name = "FIGURE")]
    part_maker: Option<String>,
    /// What the maker of the bicycle says; empty takes it away
    #[arg(long, value_name = "FIGURE")]
    bike_maker: Option<String>,
    /// What the shop's own book says; empty takes it away
    #[arg(long, value_name = "FIGURE")]
    shop: Option<String>,
    /// Thread, such as M5
    #[arg(long, value_name = "THREAD")]
    thread: Option<String>,
    /// Property class of its bolts as read off the head, such as 8.8, A2-70; empty takes it away. What takes a
    /// bolt of a known class past 90 % of yield is too much for it
    #[arg(long, value_name = "CLASS")]
    grade: Option<String>,
    /// Condition of the thread, such as greased
    #[arg(long, value_name = "TEXT")]
    condition: Option<String>,
    /// Where a photo is kept
    #[arg(long, value_name = "PATH")]
    photo: Option<String>,
}

pub(super) fn answer(action: &JointAction, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let bike = match action {
        JointAction::Add(args) | JointAction::Edit(args) => &args.bike,
        JointAction::Remove { bike, .. } => bike,
    };
    let mut touched = None;
    let bicycle = bicycle(&store, bike)?;
    match action {
        JointAction::Add(args) => {
            let mut added = new_joint(&args.joint, &store.joints(Some(bicycle.id))?)?;
            apply(args, &mut added, &store, context)?;
            store.add_joint(bicycle.id, &added)?;
            touched = Some(added.name);
        }
        JointAction::Edit(args) => {
            let mut stored = joint(&store, &bicycle, &args.joint)?;
            apply(args, &mut stored.joint, &store, context)?;
            store.change_joint(&stored)?;
            touched = Some(stored.joint.name);
        }
        JointAction::Remove { joint: name, .. } => {
            store.remove_joint(joint(&store, &bicycle, name)?.id, clock::now()?)?;
        }
    }
    drop(store);
    super::shown(bike, touched.as_ref(), context)
}

/// A new joint stands last on the way round, behind the others.
fn new_joint(name: &str, others: &[StoredJoint]) -> Result<Joint, Failure> {
    let last = others.iter().map(|stored| stored.joint.order).max().unwrap_or(0);
    let place = "elsewhere".to_owned();
    Ok(Joint { place, order: last.saturating_add(1), ..Joint::named(Name::new(name)?) })
}

/// Puts what was typed into the joint, checked.
fn apply(args: &JointArgs, joint: &mut Joint, store: &Store, context: &Context) -> Result<(), Failure> {
    let before = joint.clone();
    if let Some(name) = &args.name {
        joint.name = Name::new(name)?;
    }
    if let Some(check) = &args.check {
        let unknown = format!("`{check}` is no way to check");
        let hint = "use torque, function or measure";
        joint.check = Check::parse(check).ok_or_else(|| Failure::new(FailureKind::Value, unknown, hint))?;
    }
    if let Some(bolts) = args.bolts {
        if bolts == 0 || usize::from(bolts) > MAX_BOLTS {
            let hint = format!("give 1 to {MAX_BOLTS}");
            return Err(Failure::new(FailureKind::Value, format!("{bolts} bolts are not possible"), hint));
        }
        joint.bolts = bolts;
    }
    if let Some(word) = &args.critical {
        joint.critical = one_of(YES_NO, word, ("--critical", "say yes or no"))?;
    }
    if let Some(word) = &args.hand {
        joint.hand = Some(one_of(HANDS, word, ("--hand", "say right or left"))?);
    }
    change(&mut joint.entry, args.entry.as_ref());
    known_entry(joint, store)?;
    change(&mut joint.place, args.place.as_ref());
    change(&mut joint.thread, args.thread.as_ref());
    change(&mut joint.grade, args.grade.as_ref());
    change(&mut joint.condition, args.condition.as_ref());
    change(&mut joint.photo, args.photo.as_ref());
    state(&mut joint.figures.part_maker, args.part_maker.as_deref());
    state(&mut joint.figures.bicycle_maker, args.bike_maker.as_deref());
    state(&mut joint.figures.shop, args.shop.as_deref());
    if !args.marking.is_empty() {
        joint.figures.markings = markings(&args.marking)?;
    }
    check_figures(args, joint, &before, context)?;
    check_bolt(args, joint, store, context)
}

/// Thread and class must be known to the book, and no figure that is typed in may be one that cannot be meant.
fn check_bolt(args: &JointArgs, joint: &Joint, store: &Store, context: &Context) -> Result<(), Failure> {
    if joint.check != Check::Torque {
        return Ok(());
    }
    let page = store.page(&joint.entry)?;
    let (hardware, catalogue) = (page.as_ref().map(Hardware::of), store.catalogue()?);
    let words = joint.bolt_words(hardware.as_ref());
    if words.thread.is_empty() && words.grade.is_some() {
        let hint = "add it with --thread, such as --thread M5";
        return Err(Failure::new(FailureKind::Usage, "the thread of the bolt is not known", hint));
    }
    catalogue.known_bolt(words)?;
    let band = hardware.as_ref().and_then(|hardware| hardware.spec);
    for (column, _, figure) in joint.figures.all().filter(|(column, ..)| args.states(column)) {
        if let Some(stated) = figure.torque() {
            refuse_typed((stated.spec, stated.unit), band, words.thread, &catalogue, context.unit).map_err(
                |failure| Failure {
                    message: format!("{}, {}: {}", joint.name, figure_option(column), failure.message),
                    ..failure
                },
            )?;
        }
    }
    Ok(())
}

impl JointArgs {
    /// Whether the figure of a column is typed in.
    fn states(&self, column: &str) -> bool {
        match column {
            "part_maker" => self.part_maker.is_some(),
            "bicycle_maker" => self.bike_maker.is_some(),
            "shop" => self.shop.is_some(),
            _ => !self.marking.is_empty(),
        }
    }
}

const HANDS: &[(&str, Hand)] = &[("right", Hand::Right), ("left", Hand::Left)];

/// What a word of an option stands for.
fn one_of<T: Copy>(words: &[(&str, T)], word: &str, (option, hint): (&str, &str)) -> Result<T, Failure> {
    let found = words.iter().find(|(known, _)| *known == word).map(|(_, value)| *value);
    found.ok_or_else(|| Failure::new(FailureKind::Value, format!("{option} `{word}`"), hint))
}

/// The entry or item must be one of the book; only a check by hand may do without.
fn known_entry(joint: &Joint, store: &Store) -> Result<(), Failure> {
    let known = match joint.check {
        Check::Function if joint.entry.is_empty() => true,
        Check::Torque | Check::Function => store.page(&joint.entry)?.is_some(),
        Check::Measure => store.measured_items()?.contains_key(&joint.entry),
    };
    if known {
        return Ok(());
    }
    let hint = match joint.check {
        Check::Measure => {
            let items = store.measured_items()?.into_keys().collect::<Vec<_>>().join(", ");
            format!("give --entry with one of {items}")
        }
        _ => "give --entry with a key that `evenclamp find` lists, such as general-m5".to_owned(),
    };
    Err(Failure::new(FailureKind::Entry, format!("the book has no entry `{}`", joint.entry), hint))
}

/// Markings as typed: the part before a colon, the figure after it.
fn markings(typed: &[String]) -> Result<Vec<Marking>, Failure> {
    let filled: Vec<&String> = typed.iter().filter(|text| !text.trim().is_empty()).collect();
    if filled.len() > 2 {
        let hint = "a clamp has two parts: keep the two that carry a figure";
        return Err(Failure::new(FailureKind::Value, format!("{} markings were given", filled.len()), hint));
    }
    let marking = |text: &String| {
        let (part, figure) = text.split_once(':').unwrap_or(("", text));
        Marking { part: part.trim().to_owned(), figure: Figure::read(figure) }
    };
    Ok(filled.into_iter().map(marking).collect())
}

/// A figure as typed; an empty text takes it away.
fn state(slot: &mut Option<Figure>, typed: Option<&str>) {
    if let Some(text) = typed {
        *slot = Some(Figure::read(text)).filter(|figure| !figure.text().is_empty());
    }
}

/// Every figure that is stated must be one that a reading can be judged against; one that was damaged before stays.
fn check_figures(args: &JointArgs, joint: &Joint, before: &Joint, context: &Context) -> Result<(), Failure> {
    for damaged in joint.damaged() {
        let (name, option) = (&joint.name, figure_option(damaged.column));
        if args.states(damaged.column) || before.damaged().all(|earlier| earlier.column != damaged.column) {
            let message = format!("{name}, {option}: {}", damaged.fault);
            return Err(Failure::new(FailureKind::Value, message, damaged.fault.hint()));
        }
        context.say(format!("{name}: {damaged}; state it anew with {option}, an empty text takes it away"));
    }
    Ok(())
}
