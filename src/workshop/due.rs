//! What is due: intervals and events since the last evidence of a joint, or since work was last done.

use super::{Joint, JudgingContext, LocalInstant};
use crate::book::{EventKind, Scope, ServiceInterval, Trigger};

#[derive(Debug, Clone, PartialEq)]
pub enum DueWhy {
    /// An event since.
    Event {
        kind: EventKind,
        at: LocalInstant,
    },
    /// So much time since.
    Days {
        passed: f64,
        allowed: f64,
    },
    /// So much riding since, in h.
    Hours {
        ridden: f64,
        allowed: f64,
    },
    /// So much riding since, in km.
    Distance {
        ridden: f64,
        allowed: f64,
    },
    /// Hired out so often since.
    Hires {
        counted: f64,
        allowed: f64,
    },
    FirstCheck {
        built: LocalInstant,
    },
}

/// One interval as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Due<'a> {
    pub interval: &'a ServiceInterval,
    /// Why it is due; none while it is not.
    pub why: Option<DueWhy>,
    /// Days left until it is due by time alone.
    pub days_left: Option<f64>,
    pub hours_left: Option<f64>,
    pub km_left: Option<f64>,
    /// None for a bicycle that was never hired out.
    pub hires_left: Option<f64>,
}

/// How an interval stands, counted from `since`.
pub fn due_by<'a>(
    interval: &'a ServiceInterval,
    since: LocalInstant,
    judging: &JudgingContext<'_>,
) -> Due<'a> {
    let ridden = judging.usage.ridden(since, judging.workshop.now);
    let days = judging.workshop.now.days_since(since);
    let mut due =
        Due { interval, why: None, days_left: None, hours_left: None, km_left: None, hires_left: None };
    match interval.trigger {
        Trigger::After(kind) => {
            // Where both are written down for one moment, nobody knows which came first.
            let event = judging.usage.newest(kind, judging.workshop.now).filter(|event| event.at >= since);
            due.why = event.map(|event| DueWhy::Event { kind, at: event.at });
        }
        Trigger::FirstAfterRebuild => due.why = first_check(interval, since, judging),
        Trigger::Every => {
            due.days_left = interval.days.map(|allowed| allowed - days);
            due.hours_left = interval.hours_high.map(|allowed| allowed - ridden.hours);
            due.km_left = interval.km.map(|allowed| allowed - ridden.km);
            let hires = interval.hires.filter(|_| judging.usage.is_hired_out());
            due.hires_left = hires.map(|allowed| allowed - ridden.hires);
            let over = |allowed: Option<f64>, passed: f64| allowed.filter(|allowed| passed > *allowed);
            due.why = over(interval.hours_high, ridden.hours)
                .map(|allowed| DueWhy::Hours { ridden: ridden.hours, allowed })
                .or(over(interval.km, ridden.km)
                    .map(|allowed| DueWhy::Distance { ridden: ridden.km, allowed }))
                .or(over(interval.hires, ridden.hires)
                    .map(|allowed| DueWhy::Hires { counted: ridden.hires, allowed }))
                .or(over(interval.days, days).map(|allowed| DueWhy::Days { passed: days, allowed }));
        }
    }
    due
}

/// Evidence from before the lower hours of riding does not count as the first check, once the upper
/// hours or the days have passed.
fn first_check(
    interval: &ServiceInterval,
    since: LocalInstant,
    judging: &JudgingContext<'_>,
) -> Option<DueWhy> {
    let built = judging.usage.newest(EventKind::Rebuild, judging.workshop.now)?.at;
    let ridden = judging.usage.ridden(built, judging.workshop.now).hours;
    let ridden_before_check = judging.usage.ridden(built, since).hours;
    let over = interval.hours_high.is_some_and(|hours| ridden >= hours)
        || interval.days.is_some_and(|days| judging.workshop.now.days_since(built) > days && ridden > 0.0);
    let checked = ridden_before_check >= interval.hours_low.unwrap_or(0.0).max(f64::MIN_POSITIVE);
    (over && !checked).then_some(DueWhy::FirstCheck { built })
}

/// The first deciding interval by which a joint is due whose newest evidence is of `since`.
pub(super) fn deciding(joint: &Joint, since: LocalInstant, judging: &JudgingContext<'_>) -> Option<DueWhy> {
    judging
        .workshop
        .intervals
        .iter()
        .filter(|interval| interval.decides && interval.is_for_kind(judging.kind))
        .filter(|interval| interval.covers(joint.check, &joint.entry, joint.family(judging)))
        .find_map(|interval| due_by(interval, since, judging).why)
}

/// Every interval of the bicycle as a whole, and of a joint with its newest evidence where given.
pub fn every_interval<'a>(
    joint: Option<(&Joint, LocalInstant)>,
    taken_in: LocalInstant,
    judging: &JudgingContext<'a>,
) -> Vec<Due<'a>> {
    let fitting = judging.workshop.intervals.iter().filter(|interval| interval.is_for_kind(judging.kind));
    match joint {
        Some((joint, since)) => {
            let family = joint.family(judging);
            let covering = fitting.filter(|interval| interval.covers(joint.check, &joint.entry, family));
            covering.map(|interval| due_by(interval, since, judging)).collect()
        }
        None => fitting
            .filter(|interval| interval.scope == Scope::Bicycle)
            .map(|interval| {
                let done = judging.usage.last_done(&interval.interval, judging.workshop.now);
                due_by(interval, done.unwrap_or(taken_in), judging)
            })
            .collect(),
    }
}

#[cfg(test)]
#[path = "due_tests.rs"]
pub(in crate::workshop) mod tests;
