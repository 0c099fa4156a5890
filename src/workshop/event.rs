//! What happened to a bicycle between two checks: rides, crashes, washes, transport, rebuilds, work
//! done; and how much it was ridden since a moment.

use super::LocalInstant;
use crate::book::EventKind;
use crate::sheet::{Column, KeptRecord, kept_field};

#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    pub kind: EventKind,
    /// When; a ride at its end.
    pub at: LocalInstant,
    /// Hours ridden, where known.
    pub hours: Option<f64>,
    /// Kilometres ridden, where known.
    pub km: Option<f64>,
    /// For work done: the key of its interval.
    pub what: String,
    pub note: String,
}

impl KeptRecord for Event {
    const COLUMNS: &'static [Column<Event>] = &[
        kept_field!(kind, "kind", "event"),
        kept_field!(at, "at"),
        kept_field!(hours, "hours", may_be_missing),
        kept_field!(km, "km", may_be_missing),
        kept_field!(what, "what"),
        kept_field!(note, "note"),
    ];

    fn blank() -> Event {
        Event {
            kind: EventKind::Ride,
            at: LocalInstant::BLANK,
            hours: None,
            km: None,
            what: String::new(),
            note: String::new(),
        }
    }
}

/// Speed in km/h at which a ride without hours is counted: slow, so that a check comes rather too
/// early than too late (own choice).
const SLOW_KM_PER_HOUR: f64 = 15.0;

/// How a bicycle was used, ready for questions about the time since a moment.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Usage {
    /// Rides in order of time: when, and hours and km from the first ride up to and with it.
    rides: Vec<(LocalInstant, f64, f64)>,
    others: Vec<Event>,
}

impl Usage {
    pub(crate) fn new(mut events: Vec<Event>) -> Usage {
        events.sort_by_key(|event| event.at);
        let (rides, others): (Vec<Event>, Vec<Event>) =
            events.into_iter().partition(|event| event.kind == EventKind::Ride);
        let mut sum = (0.0, 0.0);
        let rides = rides.into_iter().map(|ride| {
            let km = ride.km.unwrap_or(0.0);
            sum = (sum.0 + ride.hours.unwrap_or(km / SLOW_KM_PER_HOUR), sum.1 + km);
            (ride.at, sum.0, sum.1)
        });
        Usage { rides: rides.collect(), others }
    }

    /// Hours and km ridden after `since`, up to and with `until`.
    pub(crate) fn ridden(&self, since: LocalInstant, until: LocalInstant) -> (f64, f64) {
        let sum_at = |moment: LocalInstant| {
            let count = self.rides.partition_point(|ride| ride.0 <= moment);
            count.checked_sub(1).and_then(|last| self.rides.get(last)).map_or((0.0, 0.0), |r| (r.1, r.2))
        };
        let (from, to) = (sum_at(since), sum_at(until));
        (to.0 - from.0, to.1 - from.1)
    }

    pub(crate) fn newest(&self, kind: EventKind, until: LocalInstant) -> Option<&Event> {
        self.others.iter().rev().find(|event| event.kind == kind && event.at <= until)
    }

    /// When work was last done.
    pub(crate) fn last_done(&self, what: &str, until: LocalInstant) -> Option<LocalInstant> {
        let done = |event: &&Event| event.kind == EventKind::Done && event.what == what && event.at <= until;
        self.others.iter().rev().find(done).map(|event| event.at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::tz::TimeZone;

    fn at(text: &str) -> LocalInstant {
        LocalInstant::parse(text, &TimeZone::UTC).unwrap()
    }

    fn event(kind: EventKind, day: &str, hours: Option<f64>, km: Option<f64>) -> Event {
        Event { kind, at: at(day), hours, km, what: String::new(), note: String::new() }
    }

    #[test]
    fn rides_are_counted_from_moment_to_moment() {
        let usage = Usage::new(vec![
            event(EventKind::Ride, "2026-06-03", Some(2.0), Some(30.0)),
            event(EventKind::Ride, "2026-06-01", Some(3.0), None),
            event(EventKind::Ride, "2026-06-05", None, Some(45.0)),
            event(EventKind::Crash, "2026-06-04", None, None),
        ]);
        assert_eq!(usage.ridden(at("2026-05-01"), at("2026-06-30")), (8.0, 75.0));
        assert_eq!(usage.ridden(at("2026-06-01"), at("2026-06-30")), (5.0, 75.0));
        assert_eq!(usage.ridden(at("2026-06-01"), at("2026-06-04")), (2.0, 30.0));
        assert_eq!(usage.ridden(at("2026-06-05"), at("2026-06-30")), (0.0, 0.0));
        assert!(usage.newest(EventKind::Crash, at("2026-06-03")).is_none());
        assert!(usage.newest(EventKind::Crash, at("2026-06-04")).is_some());
    }

    /// 15 km/h (own choice): 45 km are 3 h, so that a check comes rather too early.
    #[test]
    fn the_newest_event_counts_and_work_by_its_name() {
        let done = |what: &str, day| Event { what: what.into(), ..event(EventKind::Done, day, None, None) };
        let usage = Usage::new(vec![
            event(EventKind::Crash, "2026-06-04", None, None),
            event(EventKind::Crash, "2026-06-02", None, None),
            done("fork-service", "2026-06-03"),
            done("chain-lubrication", "2026-06-05"),
        ]);
        let newest = |until| usage.newest(EventKind::Crash, at(until)).map(|event| event.at);
        assert_eq!(
            (newest("2026-06-30"), newest("2026-06-03")),
            (Some(at("2026-06-04")), Some(at("2026-06-02")))
        );
        assert_eq!(usage.last_done("fork-service", at("2026-06-30")), Some(at("2026-06-03")));
        assert_eq!(usage.last_done("fork-service", at("2026-06-02")), None);
        assert_eq!(usage.last_done("crash", at("2026-06-30")), None);
    }
}
