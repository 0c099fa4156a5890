//! `specs/intervals.csv`: what comes round, for which joints, after how much riding or time or which event.

use super::sheet::field::YES_NO;
use super::sheet::{Fields, kept_as_text, sheet};
use super::{Check, Grade};
use crate::words::words;

sheet! {
    /// `specs/intervals.csv`.
    pub static INTERVALS: IntervalCells = "intervals" {
        interval, name, kinds, scope, due_by, hours_low, hours_high, days, km, hires, decides, text, source, grade,
    } later ["hires"]
}

words! {
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum EventKind: text {
        Ride = "ride",
        /// It fell or hit something.
        Crash = "crash",
        Wash = "wash",
        /// It was taken apart for a journey and put together again.
        Transport = "transport",
        /// It was built or rebuilt.
        Rebuild = "rebuild",
        /// Work that comes round at an interval was done.
        Done = "done",
    }
}

kept_as_text!(EventKind, "an event", |kind| kind.text().to_owned(), EventKind::parse);

/// What an interval is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    AllJoints,
    /// Joints of these families or entries, or checked in one of these ways.
    Some(Vec<String>),
    /// The bicycle as a whole: work that is logged as done.
    Bicycle,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Trigger {
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
pub struct ServiceInterval {
    pub(crate) interval: String,
    pub(crate) name: String,
    /// Kinds of bicycle; empty for all.
    pub kinds: Vec<String>,
    pub(crate) scope: Scope,
    pub(crate) trigger: Trigger,
    /// Riding after which it may be done, in h.
    pub hours_low: Option<f64>,
    /// Riding after which it must be done, in h.
    pub hours_high: Option<f64>,
    /// Days after which it must be done.
    pub days: Option<f64>,
    /// Riding after which it must be done, in km.
    pub km: Option<f64>,
    /// Hires after which it must be done.
    pub hires: Option<f64>,
    /// Whether a joint that is due by it no longer counts as checked.
    pub decides: bool,
    pub(crate) text: String,
    /// Key of the source, or `common-practice`.
    pub source: String,
    pub(crate) grade: Grade,
}

const TRIGGERS: &[(&str, Trigger)] = &[
    ("every", Trigger::Every),
    ("first", Trigger::FirstAfterRebuild),
    ("crash", Trigger::After(EventKind::Crash)),
    ("wash", Trigger::After(EventKind::Wash)),
    ("transport", Trigger::After(EventKind::Transport)),
    ("rebuild", Trigger::After(EventKind::Rebuild)),
];

impl ServiceInterval {
    pub(crate) fn from_cells(cells: &IntervalCells<'_>, fields: &mut Fields<'_>) -> Option<ServiceInterval> {
        let trigger = fields.choice(cells.due_by, TRIGGERS);
        let decides = fields.choice(cells.decides, YES_NO);
        let grade = fields.choice(cells.grade, Grade::WORDS);
        let limits = [cells.hours_high, cells.days, cells.km, cells.hires];
        if let Some(Trigger::Every | Trigger::FirstAfterRebuild) = trigger
            && limits.iter().all(|cell| cell.text.is_empty())
        {
            let fix = "give hours_high, days, km or hires";
            fields.report(cells.interval, "nothing makes the interval due", fix);
        }
        let [hours_high, days, km, hires] = limits.map(|cell| fields.amount(cell));
        fields.filled(cells.scope);
        Some(ServiceInterval {
            interval: fields.key(cells.interval),
            name: fields.filled(cells.name),
            kinds: cells.kinds.list(),
            scope: match cells.scope.text {
                "joints" => Scope::AllJoints,
                "bicycle" => Scope::Bicycle,
                _ => Scope::Some(cells.scope.list()),
            },
            text: fields.filled(cells.text),
            source: cells.source.owned(),
            hours_low: fields.amount(cells.hours_low),
            hours_high,
            days,
            km,
            hires,
            trigger: trigger?,
            decides: decides?,
            grade: grade?,
        })
    }

    pub(crate) fn is_for_kind(&self, kind: &str) -> bool {
        self.kinds.is_empty() || self.kinds.iter().any(|known| known == kind)
    }

    /// Whether it is for what is checked so, of that entry and family.
    pub(crate) fn covers(&self, check: Check, entry: &str, family: &str) -> bool {
        match &self.scope {
            Scope::AllJoints => true,
            Scope::Bicycle => false,
            Scope::Some(words) => {
                words.iter().any(|word| word == entry || word == family || word == check.text())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    impl ServiceInterval {
        /// An interval of common practice over every joint, due by nothing yet.
        pub(crate) fn to_test(trigger: Trigger) -> ServiceInterval {
            ServiceInterval {
                interval: "test".into(),
                name: "Test".into(),
                kinds: vec![],
                scope: Scope::AllJoints,
                trigger,
                hours_low: None,
                hours_high: None,
                days: None,
                km: None,
                hires: None,
                decides: true,
                text: "check".into(),
                source: "practice".into(),
                grade: Grade::CommonPractice,
            }
        }
    }

    #[test]
    fn a_scope_names_entries_families_all_joints_or_the_bicycle() {
        let interval = |scope| ServiceInterval { scope, ..ServiceInterval::to_test(Trigger::Every) };
        let named = interval(Scope::Some(vec!["crank-bolt".into(), "wheel".into()]));
        let covered = [("crank-bolt", "drivetrain"), ("axle-nut", "wheel"), ("seat-clamp", "seat")];
        let covers = |(entry, family)| named.covers(Check::Torque, entry, family);
        assert_eq!(covered.map(covers), [true, true, false]);
        assert!(interval(Scope::AllJoints).covers(Check::Torque, "seat-clamp", "seat"));
        assert!(!interval(Scope::Bicycle).covers(Check::Torque, "seat-clamp", "seat"));
        let by_hand = interval(Scope::Some(vec!["function".into()]));
        assert!(by_hand.covers(Check::Function, "", "") && !by_hand.covers(Check::Measure, "chain-wear", ""));
        assert!(named.is_for_kind("road"), "no kind named stands for all");
        let of_road = ServiceInterval { kinds: vec!["road".into()], ..named };
        assert_eq!(["road", "city"].map(|kind| of_road.is_for_kind(kind)), [true, false]);
    }
}
