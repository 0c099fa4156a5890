//! `specs/intervals.csv`: what comes round, for which joints, after how much riding or time or after
//! which event.

use super::evidence::GRADES;
use super::{Diagnostics, Grade, Row, Sheet, field};

/// `specs/intervals.csv`.
pub static INTERVALS: Sheet = Sheet {
    name: "intervals",
    columns: &[
        "interval",
        "name",
        "kinds",
        "scope",
        "due_by",
        "hours_low",
        "hours_high",
        "days",
        "km",
        "decides",
        "text",
        "source",
        "grade",
    ],
    sort_key: Row::all_texts,
};

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EventKind {
    /// It was ridden.
    Ride,
    /// It fell or hit something.
    Crash,
    /// It was washed.
    Wash,
    /// It was taken apart for a journey and put together again.
    Transport,
    /// It was built or rebuilt.
    Rebuild,
    /// Work that comes round at an interval was done.
    Done,
}

const EVENTS: &[(EventKind, &str)] = &[
    (EventKind::Ride, "ride"),
    (EventKind::Crash, "crash"),
    (EventKind::Wash, "wash"),
    (EventKind::Transport, "transport"),
    (EventKind::Rebuild, "rebuild"),
    (EventKind::Done, "done"),
];

impl EventKind {
    /// The word of the log.
    #[must_use]
    pub fn text(self) -> &'static str {
        EVENTS.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }

    /// The event that a word stands for.
    #[must_use]
    pub fn parse(text: &str) -> Option<EventKind> {
        EVENTS.iter().find(|(_, word)| word.eq_ignore_ascii_case(text.trim())).map(|(kind, _)| *kind)
    }
}

/// What an interval is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    /// Every joint.
    AllJoints,
    /// Joints of these families or entries.
    Some(Vec<String>),
    /// The bicycle as a whole: work that is logged as done.
    Bicycle,
}

/// What makes it due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trigger {
    /// So much riding or time since the last check.
    Every,
    /// An event since the last check.
    After(EventKind),
    /// The first check after building: evidence older than the lower hours of riding no longer
    /// counts once the upper ones, or the days, have passed.
    FirstAfterRebuild,
}

/// One row of `intervals.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    /// Key.
    pub interval: String,
    /// Name for people.
    pub name: String,
    /// Kinds of bicycle; empty for all.
    pub kinds: Vec<String>,
    /// Which joints.
    pub scope: Scope,
    /// What makes it due.
    pub trigger: Trigger,
    /// Riding after which it may be done, in h.
    pub hours_low: Option<f64>,
    /// Riding after which it must be done, in h.
    pub hours_high: Option<f64>,
    /// Days after which it must be done.
    pub days: Option<f64>,
    /// Riding after which it must be done, in km.
    pub km: Option<f64>,
    /// Whether a joint that is due by it no longer counts as checked.
    pub decides: bool,
    /// What to do.
    pub text: String,
    /// Key of the source, or `common-practice`.
    pub source: String,
    /// How good the source is.
    pub grade: Grade,
}

const TRIGGERS: &[(&str, Trigger)] = &[
    ("every", Trigger::Every),
    ("first", Trigger::FirstAfterRebuild),
    ("crash", Trigger::After(EventKind::Crash)),
    ("wash", Trigger::After(EventKind::Wash)),
    ("transport", Trigger::After(EventKind::Transport)),
    ("rebuild", Trigger::After(EventKind::Rebuild)),
];

impl Interval {
    /// An interval from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<Interval> {
        let sound = [
            field::key(row.cell("interval"), diagnostics),
            field::not_empty(row.cell("name"), "name", diagnostics),
            field::not_empty(row.cell("text"), "text", diagnostics),
            field::not_empty(row.cell("scope"), "scope", diagnostics),
        ];
        let trigger = field::one_of(row.cell("due_by"), "due_by", TRIGGERS, diagnostics);
        let decides = field::one_of(row.cell("decides"), "decides", field::YES_NO, diagnostics);
        let grade = field::one_of(row.cell("grade"), "grade", GRADES, diagnostics);
        let mut number = |column| field::amount(row.cell(column), column, diagnostics);
        let amounts = [number("hours_low"), number("hours_high"), number("days"), number("km")];
        if let (Some(Trigger::Every | Trigger::FirstAfterRebuild), [_, Some(None), Some(None), Some(None)]) =
            (trigger, amounts)
        {
            diagnostics.error(&row.at(), "nothing makes the interval due", "give hours_high, days or km");
            return None;
        }
        if sound.contains(&None) {
            return None;
        }
        let [hours_low, hours_high, days, km] = amounts;
        let text = |column| row.text(column).to_owned();
        Some(Interval {
            interval: text("interval"),
            name: text("name"),
            kinds: field::list(row.text("kinds")),
            scope: match row.text("scope") {
                "joints" => Scope::AllJoints,
                "bicycle" => Scope::Bicycle,
                words => Scope::Some(field::list(words)),
            },
            trigger: trigger?,
            hours_low: hours_low?,
            hours_high: hours_high?,
            days: days?,
            km: km?,
            decides: decides?,
            text: text("text"),
            source: text("source"),
            grade: grade?,
        })
    }

    /// Whether the interval is for a kind of bicycle.
    #[must_use]
    pub fn is_for_kind(&self, kind: &str) -> bool {
        self.kinds.is_empty() || self.kinds.iter().any(|known| known == kind)
    }

    /// Whether the interval is about a joint of that entry and family.
    #[must_use]
    pub fn covers(&self, entry: &str, family: &str) -> bool {
        match &self.scope {
            Scope::AllJoints => true,
            Scope::Bicycle => false,
            Scope::Some(words) => words.iter().any(|word| word == entry || word == family),
        }
    }
}
