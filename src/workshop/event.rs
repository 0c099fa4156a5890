//! What happened to a bicycle between two checks: rides, crashes, washes, transport, rebuilds, work
//! done; and how much it was ridden since a moment.

use std::ops::{Add, Sub};

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
    /// How often it was hired out, where counted.
    pub hires: Option<u32>,
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
        kept_field!(hires, "hires", may_be_missing),
        kept_field!(what, "what"),
        kept_field!(note, "note"),
    ];

    fn blank() -> Event {
        Event {
            kind: EventKind::Ride,
            at: LocalInstant::BLANK,
            hours: None,
            km: None,
            hires: None,
            what: String::new(),
            note: String::new(),
        }
    }
}

/// Speed in km/h at which a ride without hours is counted: slow, so that a check comes rather too
/// early than too late (own choice).
const SLOW_KM_PER_HOUR: f64 = 15.0;

/// Hours that a hire without hours and km is counted at: half a day in the saddle, so that a check comes rather too
/// early than too late (own choice).
const HOURS_PER_HIRE: f64 = 3.0;

/// How much a bicycle was ridden.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Ridden {
    pub(crate) hours: f64,
    pub(crate) km: f64,
    pub(crate) hires: f64,
}

impl Ridden {
    fn of(ride: &Event) -> Ridden {
        let (km, hires) = (ride.km.unwrap_or(0.0), f64::from(ride.hires.unwrap_or(0)));
        let hours = ride.hours.or(ride.km.map(|km| km / SLOW_KM_PER_HOUR));
        Ridden { hours: hours.unwrap_or(hires * HOURS_PER_HIRE), km, hires }
    }
}

impl Add for Ridden {
    type Output = Ridden;

    fn add(self, more: Ridden) -> Ridden {
        Ridden { hours: self.hours + more.hours, km: self.km + more.km, hires: self.hires + more.hires }
    }
}

impl Sub for Ridden {
    type Output = Ridden;

    fn sub(self, less: Ridden) -> Ridden {
        Ridden { hours: self.hours - less.hours, km: self.km - less.km, hires: self.hires - less.hires }
    }
}

/// How a bicycle was used, ready for questions about the time since a moment.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Usage {
    /// Rides in order of time: when, and how much from the first ride up to and with it.
    rides: Vec<(LocalInstant, Ridden)>,
    others: Vec<Event>,
}

impl Usage {
    pub(crate) fn new(mut events: Vec<Event>) -> Usage {
        events.sort_by_key(|event| event.at);
        let (rides, others): (Vec<Event>, Vec<Event>) =
            events.into_iter().partition(|event| event.kind == EventKind::Ride);
        let mut sum = Ridden::default();
        let rides = rides.into_iter().map(|ride| {
            sum = sum + Ridden::of(&ride);
            (ride.at, sum)
        });
        Usage { rides: rides.collect(), others }
    }

    /// How much was ridden after `since`, up to and with `until`.
    pub(crate) fn ridden(&self, since: LocalInstant, until: LocalInstant) -> Ridden {
        let sum_at = |moment: LocalInstant| {
            let count = self.rides.partition_point(|ride| ride.0 <= moment);
            count
                .checked_sub(1)
                .and_then(|last| self.rides.get(last))
                .map_or_else(Ridden::default, |ride| ride.1)
        };
        sum_at(until) - sum_at(since)
    }

    /// When the last ride ended, up to and with `until`.
    pub(crate) fn last_ride(&self, until: LocalInstant) -> Option<LocalInstant> {
        let count = self.rides.partition_point(|ride| ride.0 <= until);
        Some(self.rides.get(count.checked_sub(1)?)?.0)
    }

    /// Whether hires of it are counted.
    pub(crate) fn is_hired_out(&self) -> bool {
        self.rides.last().is_some_and(|(_, ridden)| ridden.hires > 0.0)
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
        Event { kind, at: at(day), hours, km, ..Event::blank() }
    }

    #[test]
    fn rides_are_counted_from_moment_to_moment() {
        let usage = Usage::new(vec![
            event(EventKind::Ride, "2026-06-03", Some(2.0), Some(30.0)),
            event(EventKind::Ride, "2026-06-01", Some(3.0), None),
            event(EventKind::Ride, "2026-06-05", None, Some(45.0)),
            event(EventKind::Crash, "2026-06-04", None, None),
        ]);
        let ridden = |since, until| {
            let Ridden { hours, km, .. } = usage.ridden(at(since), at(until));
            (hours, km)
        };
        assert_eq!(ridden("2026-05-01", "2026-06-30"), (8.0, 75.0));
        assert_eq!(ridden("2026-06-01", "2026-06-30"), (5.0, 75.0));
        assert_eq!(ridden("2026-06-01", "2026-06-04"), (2.0, 30.0));
        assert_eq!(ridden("2026-06-05", "2026-06-30"), (0.0, 0.0));
        assert!(usage.newest(EventKind::Crash, at("2026-06-03")).is_none());
        assert!(usage.newest(EventKind::Crash, at("2026-06-04")).is_some());
    }

    /// 3 h a hire where nothing else is known, 15 km/h where the distance is (own choices).
    #[test]
    fn a_hire_without_hours_is_counted_at_three() {
        let hire = |hours, km, hires| Event {
            hires: Some(hires),
            ..event(EventKind::Ride, "2026-06-01", hours, km)
        };
        assert_eq!(Ridden::of(&hire(None, None, 2)), Ridden { hours: 6.0, km: 0.0, hires: 2.0 });
        assert_eq!(Ridden::of(&hire(None, Some(30.0), 1)), Ridden { hours: 2.0, km: 30.0, hires: 1.0 });
        assert_eq!(Ridden::of(&hire(Some(0.5), None, 1)), Ridden { hours: 0.5, km: 0.0, hires: 1.0 });
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
