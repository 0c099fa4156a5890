//! Intervals by riding, by time and by event, with the figures of their sources.

use super::*;
use crate::sheet::KeptRecord as _;
use crate::workshop::joint::tests::{World, at};
use crate::workshop::{Event, Name, Usage};

pub(in crate::workshop) fn interval(trigger: Trigger) -> ServiceInterval {
    ServiceInterval::to_test(trigger)
}

fn ride(day: &str, hours: f64) -> Event {
    Event { at: at(day), hours: Some(hours), ..Event::blank() }
}

pub(in crate::workshop) fn event(kind: EventKind, day: &str) -> Event {
    Event { kind, hours: None, ..ride(day, 1.0) }
}

fn world(events: Vec<Event>, intervals: Vec<ServiceInterval>) -> World {
    let mut world = World::new();
    (world.now, world.usage, world.intervals) = (at("2026-06-30"), Usage::new(events), intervals);
    world
}

fn due(interval: &ServiceInterval, since: &str, events: Vec<Event>) -> Option<DueWhy> {
    due_by(interval, at(since), &world(events, vec![]).judging()).why
}

#[test]
fn riding_counts_from_the_last_check() {
    // Every 10–20 h (an owner's manual's play check).
    let play = ServiceInterval { hours_low: Some(10.0), hours_high: Some(20.0), ..interval(Trigger::Every) };
    let rides = || vec![ride("2026-06-01", 12.0), ride("2026-06-10", 9.0)];
    assert_eq!(due(&play, "2026-05-20", rides()), Some(DueWhy::Hours { ridden: 21.0, allowed: 20.0 }));
    assert_eq!(due(&play, "2026-06-05", rides()), None);
    assert_eq!(due(&play, "2026-05-20", vec![ride("2026-06-01", 20.0)]), None);
}

#[test]
fn days_and_kilometres_count_as_well() {
    let yearly = ServiceInterval { days: Some(365.0), ..interval(Trigger::Every) };
    assert_eq!(due(&yearly, "2025-06-30", vec![]), None);
    assert!(matches!(due(&yearly, "2025-06-29", vec![]), Some(DueWhy::Days { .. })));
    let chain = ServiceInterval { km: Some(160.0), ..interval(Trigger::Every) };
    let far = Event { km: Some(161.0), hours: None, ..ride("2026-06-01", 1.0) };
    assert_eq!(
        due(&chain, "2026-05-01", vec![far]),
        Some(DueWhy::Distance { ridden: 161.0, allowed: 160.0 })
    );
}

#[test]
fn hires_count_as_well() {
    let after_ten = ServiceInterval { hires: Some(10.0), ..interval(Trigger::Every) };
    let hire = |day: &str, hires| Event { hires: Some(hires), hours: None, ..ride(day, 1.0) };
    assert_eq!(due(&after_ten, "2026-05-01", vec![hire("2026-05-20", 10)]), None);
    let counted = DueWhy::Hires { counted: 11.0, allowed: 10.0 };
    let two = || vec![hire("2026-05-20", 10), hire("2026-06-02", 1)];
    assert_eq!(due(&after_ten, "2026-05-01", two()), Some(counted));
    assert_eq!(due(&after_ten, "2026-06-01", two()), None, "what was before the check is out of it");
    let left = |events| due_by(&after_ten, at("2026-05-01"), &world(events, vec![]).judging()).hires_left;
    assert_eq!(left(vec![hire("2026-05-20", 4)]), Some(6.0));
    assert_eq!(left(vec![ride("2026-05-20", 4.0)]), None, "one that is not hired out has no hires left");
}

#[test]
fn the_first_check_falls_between_its_hours() {
    // 3–5 h of hard riding off road, or 30 days (the same manual).
    let first = ServiceInterval {
        hours_low: Some(3.0),
        hours_high: Some(5.0),
        days: Some(30.0),
        ..interval(Trigger::FirstAfterRebuild)
    };
    let ridden = |hours: &[(&str, f64)]| {
        let mut events = vec![event(EventKind::Rebuild, "2026-06-01")];
        events.extend(hours.iter().map(|(day, hours)| ride(day, *hours)));
        events
    };
    let built = Some(DueWhy::FirstCheck { built: at("2026-06-01") });
    let five = [("2026-06-03", 2.0), ("2026-06-05", 1.5), ("2026-06-07", 1.5)];
    assert_eq!(due(&first, "2026-06-02", ridden(&five)), built, "checked before the first ride only");
    assert_eq!(due(&first, "2026-06-04", ridden(&five)), built, "after 2 h is too early");
    assert_eq!(due(&first, "2026-06-06", ridden(&five)), None, "after 3.5 h it counts");
    assert_eq!(due(&first, "2026-06-02", ridden(&five[..2])), None, "not 5 h yet");
    assert_eq!(due(&first, "2026-06-02", vec![]), None, "not built here");
}

#[test]
fn an_event_counts_when_it_is_newer_than_the_check() {
    let crash = interval(Trigger::After(EventKind::Crash));
    let crashed = || vec![event(EventKind::Crash, "2026-06-10")];
    assert!(due(&crash, "2026-06-09", crashed()).is_some());
    assert_eq!(due(&crash, "2026-06-11", crashed()), None);
    assert_eq!(due(&crash, "2026-06-09", vec![event(EventKind::Wash, "2026-06-10")]), None);
    assert_eq!(due(&crash, "2026-06-09", vec![event(EventKind::Crash, "2026-07-10")]), None, "not yet");
}

/// Of several limits that have passed the riding is told first: hours, then kilometres, then days.
#[test]
fn whichever_limit_comes_first_makes_it_due_and_what_is_left_is_counted() {
    let every = ServiceInterval {
        hours_high: Some(10.0),
        km: Some(100.0),
        days: Some(20.0),
        ..interval(Trigger::Every)
    };
    let after = |since: &str, hours: f64, km: f64| {
        let world = world(vec![Event { km: Some(km), ..ride("2026-06-29", hours) }], vec![]);
        let due = due_by(&every, at(since), &world.judging());
        (due.why, [due.hours_left, due.km_left, due.days_left].map(Option::unwrap))
    };
    let hours = DueWhy::Hours { ridden: 11.0, allowed: 10.0 };
    let km = DueWhy::Distance { ridden: 101.0, allowed: 100.0 };
    let days = DueWhy::Days { passed: 29.0, allowed: 20.0 };
    assert_eq!(after("2026-06-01", 11.0, 101.0), (Some(hours), [-1.0, -1.0, -9.0]));
    assert_eq!(after("2026-06-01", 10.0, 101.0), (Some(km), [0.0, -1.0, -9.0]));
    assert_eq!(after("2026-06-01", 10.0, 100.0), (Some(days), [0.0, 0.0, -9.0]));
    assert_eq!(after("2026-06-10", 10.0, 100.0), (None, [0.0, 0.0, 0.0]));
}

#[test]
fn the_first_check_is_due_by_days_only_for_who_has_ridden() {
    let first = ServiceInterval { days: Some(20.0), ..interval(Trigger::FirstAfterRebuild) };
    let built = |day: &str| event(EventKind::Rebuild, day);
    let due_at = Some(DueWhy::FirstCheck { built: at("2026-06-01") });
    assert_eq!(due(&first, "2026-05-30", vec![built("2026-06-01"), ride("2026-06-02", 1.0)]), due_at);
    assert_eq!(due(&first, "2026-05-30", vec![built("2026-06-01")]), None, "it was never ridden");
    assert_eq!(
        due(&first, "2026-05-30", vec![built("2026-06-10"), ride("2026-06-12", 1.0)]),
        None,
        "20 days"
    );
    // A check from before it was built anew is none of it, whatever was ridden before that.
    let ridden_before = vec![ride("2026-05-01", 9.0), built("2026-06-01"), ride("2026-06-02", 1.0)];
    assert_eq!(due(&first, "2026-05-30", ridden_before), due_at);
}

#[test]
fn what_is_due_for_the_whole_bicycle_counts_from_when_it_was_done() {
    let service = |scope: Scope| ServiceInterval { scope, days: Some(30.0), ..interval(Trigger::Every) };
    let mut intervals = vec![service(Scope::Bicycle), service(Scope::AllJoints), service(Scope::Bicycle)];
    intervals[0].interval = "fork-service".into();
    intervals[2].kinds = vec!["road".into()];
    let done = |what: &str, day: &str| Event { what: what.into(), ..event(EventKind::Done, day) };
    let events = vec![
        done("fork-service", "2026-06-10"),
        done("chain-lubrication", "2026-06-20"),
        done("fork-service", "2026-07-10"),
    ];
    let world = world(events, intervals);
    let left = |joint| -> Vec<Option<f64>> {
        every_interval(joint, at("2026-06-01"), &world.judging()).iter().map(|due| due.days_left).collect()
    };
    let stem = Joint::named(Name::blank());
    assert_eq!(left(None), [Some(10.0)], "counted from the work, not from another nor from one to come");
    assert_eq!(left(Some((&stem, at("2026-06-25")))), [Some(25.0)], "a joint from its evidence");
}

/// Both may be typed with their day alone: the check is not taken for the later one.
#[test]
fn an_event_at_the_moment_of_the_check_is_taken_to_come_after_it() {
    let after_crash = interval(Trigger::After(EventKind::Crash));
    let crash = || vec![event(EventKind::Crash, "2026-06-01")];
    let why = DueWhy::Event { kind: EventKind::Crash, at: at("2026-06-01") };
    assert_eq!(due(&after_crash, "2026-06-01", crash()), Some(why));
    assert_eq!(due(&after_crash, "2026-06-02", crash()), None);
}
