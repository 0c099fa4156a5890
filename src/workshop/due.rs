//! What is due: intervals and events since the last evidence of a joint, or since work was last done.

use super::{Bench, Moment};
use crate::book::{EventKind, Interval, Scope, Trigger};

/// Why something is due.
#[derive(Debug, Clone, PartialEq)]
pub enum DueWhy {
    /// An event since.
    Event {
        /// What happened.
        kind: EventKind,
        /// When.
        at: Moment,
    },
    /// So much time since.
    Days {
        /// Days that have passed.
        passed: f64,
        /// Days allowed.
        allowed: f64,
    },
    /// So much riding since, in h.
    Hours {
        /// Hours ridden.
        ridden: f64,
        /// Hours allowed.
        allowed: f64,
    },
    /// So much riding since, in km.
    Distance {
        /// Kilometres ridden.
        ridden: f64,
        /// Kilometres allowed.
        allowed: f64,
    },
    /// The first check after building has not been made.
    FirstCheck {
        /// When it was built.
        built: Moment,
    },
}

/// One interval as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Due<'a> {
    /// The interval.
    pub interval: &'a Interval,
    /// Why it is due; none while it is not.
    pub why: Option<DueWhy>,
    /// Days left until it is due by time alone.
    pub days_left: Option<f64>,
    /// Hours of riding left.
    pub hours_left: Option<f64>,
    /// Kilometres of riding left.
    pub km_left: Option<f64>,
}

/// How an interval stands, counted from `since`.
#[must_use]
pub fn due_by<'a>(interval: &'a Interval, since: Moment, bench: &Bench<'_>) -> Due<'a> {
    let (hours, km) = bench.usage.ridden(since, bench.now);
    let days = bench.now.days_since(since);
    let mut due = Due { interval, why: None, days_left: None, hours_left: None, km_left: None };
    match interval.trigger {
        Trigger::After(kind) => {
            let event = bench.usage.newest(kind, bench.now).filter(|event| event.at > since);
            due.why = event.map(|event| DueWhy::Event { kind, at: event.at });
        }
        Trigger::FirstAfterRebuild => due.why = first_check(interval, since, bench),
        Trigger::Every => {
            due.days_left = interval.days.map(|allowed| allowed - days);
            due.hours_left = interval.hours_high.map(|allowed| allowed - hours);
            due.km_left = interval.km.map(|allowed| allowed - km);
            let over = |left: Option<f64>| left.is_some_and(|left| left < 0.0);
            due.why = if over(due.hours_left) {
                interval.hours_high.map(|allowed| DueWhy::Hours { ridden: hours, allowed })
            } else if over(due.km_left) {
                interval.km.map(|allowed| DueWhy::Distance { ridden: km, allowed })
            } else if over(due.days_left) {
                interval.days.map(|allowed| DueWhy::Days { passed: days, allowed })
            } else {
                None
            };
        }
    }
    due
}

/// Evidence from before the lower hours of riding does not count as the first check, once the upper
/// hours or the days have passed.
fn first_check(interval: &Interval, since: Moment, bench: &Bench<'_>) -> Option<DueWhy> {
    let built = bench.usage.newest(EventKind::Rebuild, bench.now)?.at;
    let (ridden, _) = bench.usage.ridden(built, bench.now);
    let (ridden_before_check, _) = bench.usage.ridden(built, since.max(built));
    let over = interval.hours_high.is_some_and(|hours| ridden >= hours)
        || interval.days.is_some_and(|days| bench.now.days_since(built) > days && ridden > 0.0);
    let checked = ridden_before_check >= interval.hours_low.unwrap_or(0.0).max(f64::MIN_POSITIVE);
    (over && !checked).then_some(DueWhy::FirstCheck { built })
}

/// The first deciding interval by which a joint is due whose newest evidence is of `since`.
pub(super) fn deciding(entry: &str, family: &str, since: Moment, bench: &Bench<'_>) -> Option<DueWhy> {
    bench
        .intervals
        .iter()
        .filter(|interval| interval.decides && interval.is_for_kind(bench.kind))
        .filter(|interval| interval.covers(entry, family))
        .find_map(|interval| due_by(interval, since, bench).why)
}

/// Every interval of the bicycle as a whole, and of a joint with its newest evidence where given.
#[must_use]
pub fn every_interval<'a>(
    joint: Option<(&str, &str, Moment)>,
    taken_in: Moment,
    bench: &Bench<'a>,
) -> Vec<Due<'a>> {
    let fitting = bench.intervals.iter().filter(|interval| interval.is_for_kind(bench.kind));
    match joint {
        Some((entry, family, since)) => {
            let covering = fitting.filter(|interval| interval.covers(entry, family));
            covering.map(|interval| due_by(interval, since, bench)).collect()
        }
        None => fitting
            .filter(|interval| interval.scope == Scope::Bicycle)
            .map(|interval| {
                let done = bench.usage.last_done(&interval.interval, bench.now);
                due_by(interval, done.unwrap_or(taken_in), bench)
            })
            .collect(),
    }
}

#[cfg(test)]
#[path = "due_tests.rs"]
mod tests;
