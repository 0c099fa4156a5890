//! When a limit is reached, by days and riding, and when nothing is said of it.

use super::*;
use crate::book::{Check, EventKind, Grade, MeasuredItem, SourcedLimit};
use crate::conformity::Kind;
use crate::sheet::KeptRecord as _;
use crate::workshop::joint::tests::{World, at, clamp};
use crate::workshop::{Action, Event, Usage, Value, judge_joint};

/// Days since the first measure and the thickness, in mm; the level is 2.0 mm, which `tests/published/trend_line.csv`
/// has them reach between 193.49 and 223.26 days.
const PADS: [(i64, &str); 6] =
    [(0, "4.0 mm"), (31, "3.7 mm"), (58, "3.5 mm"), (95, "3.1 mm"), (120, "2.9 mm"), (150, "2.5 mm")];

fn world(limits: &[&str]) -> World {
    let limit = |text: &&str| SourcedLimit {
        variant: "any".into(),
        measured: "thickness".into(),
        limit: MeasureLimit::parse(text).unwrap(),
        plausible: None,
        source: "test".into(),
        locator: String::new(),
        grade: Grade::Published,
    };
    let mut world = World::new();
    let limits = limits.iter().map(limit).collect();
    world.items.insert("pad".into(), MeasuredItem { item: "pad".into(), name: "Pad".into(), limits });
    world
}

fn measure(day: i64, value: &str) -> Reading {
    let value = Some(Value::Measure(Measure::parse(value, None).unwrap()));
    let at = at("2026-01-01").later_by_ms(day * 86_400_000);
    Reading { id: day, value, ..Reading::new(at, Kind::Measured) }
}

fn judged(world: &World, marking: &str, mut lines: Vec<Reading>) -> Option<Wear> {
    lines.sort_by_key(|line| std::cmp::Reverse((line.at, line.id)));
    let joint = Joint { check: Check::Measure, entry: "pad".into(), ..clamp(1, marking) };
    judge_joint(&joint, &lines, &world.judging()).wear
}

fn pads() -> Vec<Reading> {
    PADS.into_iter().map(|(day, value)| measure(day, value)).collect()
}

/// Day 193 of 2026 counted from 1 January is 13 July, day 223 is 12 August.
#[test]
fn a_limit_is_reached_between_two_days() {
    let wear = judged(&world(&["min 2.0 mm"]), "", pads()).unwrap();
    let days = (jiff::civil::date(2026, 7, 13), jiff::civil::date(2026, 8, 12));
    assert_eq!((wear.days, wear.count, wear.limit.to_string()), (days, 6, "2.0 mm".to_owned()));
    assert_eq!((wear.hours, wear.km), (None, None));
    // The limit that stands on the part comes before the makers', in its own unit; of two the nearer is reached first.
    assert_eq!(judged(&world(&["min 1.0 mm"]), "min 2.0 mm", pads()).unwrap().days, days);
    assert_eq!(judged(&world(&["min 1.0 mm", "over 2.0 mm", "max 9 mm"]), "", pads()).unwrap().days, days);
    assert_eq!(judged(&world(&["min 2.6 mm", "min 2.0 mm"]), "", pads()).unwrap().days, days);
    let inch = judged(&world(&["min 1.0 mm"]), "min 0.0787401575 in", pads()).unwrap();
    assert_eq!((inch.days, inch.limit.unit), (days, MeasureUnit::Inch));
}

/// 1 km a day and 0.1 h: the riding that is left is the days that are left from 10 June, day 160.
#[test]
fn riding_is_told_where_it_is_known() {
    let mut world = world(&["min 2.0 mm"]);
    let ride = |day: i64| Event {
        kind: EventKind::Ride,
        at: at("2026-01-01").later_by_ms(day * 86_400_000),
        km: Some(1.0),
        hours: Some(0.1),
        ..Event::blank()
    };
    world.usage = Usage::new((1..=160).map(ride).collect());
    let wear = judged(&world, "", pads()).unwrap();
    let close = |got: Option<(f64, f64)>, low: f64, high: f64| {
        got.is_some_and(|got| (got.0 - low).abs() < 1e-6 && (got.1 - high).abs() < 1e-6)
    };
    let (low, high) = (193.486_702_359_292_14 - 160.0, 223.257_317_140_682_6 - 160.0);
    assert!(close(wear.km, low, high) && close(wear.hours, low / 10.0, high / 10.0), "{wear:?}");
    // On day 210 it may have been reached, and no riding is less than none.
    world.usage = Usage::new((1..=210).map(ride).collect());
    world.now = at("2026-01-01").later_by_ms(210 * 86_400_000);
    let wear = judged(&world, "", pads()).unwrap();
    assert!(close(wear.km, 0.0, high - 50.0), "{wear:?}");
}

#[test]
fn a_chain_grows_towards_its_upper_limit() {
    let chain = [(0, "0.12 %"), (40, "0.21 %"), (75, "0.31 %"), (130, "0.44 %")];
    let lines = || chain.into_iter().map(|(day, value)| measure(day, value)).collect();
    let wear = judged(&world(&["max 0.75 %", "max 0.5 %"]), "", lines()).unwrap();
    // Days 142.16 and 167.92 of the published table.
    assert_eq!(wear.days, (jiff::civil::date(2026, 5, 23), jiff::civil::date(2026, 6, 17)));
    assert_eq!(judged(&world(&["min 0.01 %"]), "", lines()), None, "it moves away from that");
}

#[test]
fn nothing_is_foreseen_without_a_trend_of_what_wears() {
    let world_of = |limit| world(&[limit]);
    let with = |lines: Vec<Reading>| judged(&world_of("min 2.0 mm"), "", lines);
    assert_eq!(with(pads().split_off(3)), None, "three show nothing");
    assert_eq!(judged(&world_of("min 2.6 mm"), "", pads()), None, "it is reached already");
    let constant = (0..6).map(|day| measure(day * 20, "3.0 mm")).collect();
    assert_eq!(with(constant), None);
    let slow = (0..8).map(|day| measure(day * 20, &format!("3.{} mm", 900 - day))).collect();
    assert_eq!(with(slow), None, "some forty years are not foreseen");
    let pumped = |day: i64| measure(day * 20, &format!("{} bar", 5 - day));
    assert_eq!(judged(&world_of("2-6 bar"), "", (0..4).map(pumped).collect()), None, "it is pumped up again");
    assert_eq!(judged(&world_of("min 2.0 mm"), "min 2 parsec", pads()), None, "no figure can be read");
    // With new pads nothing is known of them but what was measured since.
    let fitted = Reading { action: Some(Action::Replaced), ..measure(151, "4.0 mm") };
    assert_eq!(with([pads(), vec![fitted.clone()]].concat()), None);
    let since = [(152, "3.9 mm"), (154, "3.7 mm"), (156, "3.5 mm"), (158, "3.3 mm")];
    let since: Vec<Reading> = since.into_iter().map(|(day, value)| measure(day, value)).collect();
    assert_eq!(with([pads(), vec![fitted], since].concat()).map(|wear| wear.count), Some(5));
}

/// Nothing that wears grows: a measure that takes back what was worn is one of a new part, recorded or not.
#[test]
fn a_measure_like_new_begins_the_trend_anew() {
    let series = |values: &[&str]| {
        let lines = values.iter().zip(0..).map(|(value, index)| measure(index * 20, value));
        lines.collect::<Vec<Reading>>()
    };
    let worn = ["4.0 mm", "3.5 mm", "3.0 mm", "2.6 mm"];
    let fitted = ["4.1 mm", "3.9 mm", "3.7 mm", "3.5 mm", "3.3 mm"];
    let least = world(&["min 2.0 mm"]);
    let since = |more: &[Reading]| judged(&least, "", more.to_vec());
    let both = series(&[&worn[..], &fitted].concat());
    let wear = since(&both).unwrap();
    // The fifth measure was taken 80 days after 1 January; the same trend as of the new part alone.
    assert_eq!((wear.count, wear.anew), (5, Some(jiff::civil::date(2026, 3, 22))));
    let alone = since(both.split_at(4).1).unwrap();
    assert_eq!((alone.days, alone.anew), (wear.days, None));
    // So few measures of the new part show nothing, and nothing is said of the old one.
    assert_eq!(since(both.split_at(7).0), None);
    // Chains grow, and a new one is shorter.
    let chain = series(&["0.2 %", "0.3 %", "0.4 %", "0.1 %", "0.2 %", "0.3 %", "0.4 %"]);
    let wear = judged(&world(&["max 0.5 %"]), "", chain).unwrap();
    assert_eq!((wear.count, wear.anew), (4, Some(jiff::civil::date(2026, 3, 2))));
    // So they do where their limit has a lower end as well.
    let grows = series(&["0.1 %", "0.2 %", "0.3 %", "0.4 %"]);
    let wear = judged(&world(&["0.05-0.5 %"]), "", grows).unwrap();
    assert_eq!((wear.count, wear.anew, wear.limit.to_string()), (4, None, "0.5 %".to_owned()));
    // How a hand holds the gauge is no new part: less than half of the wear, or no more than the uncertainty of both.
    let held = series(&["4.0 mm", "3.6 mm", "3.2 mm", "3.3 mm", "2.9 mm", "2.5 mm"]);
    assert_eq!(since(&held).map(|wear| (wear.count, wear.anew)), Some((6, None)));
    let coarse = series(&["9 mm", "8.5 mm", "9 mm", "7 mm", "6 mm", "5 mm"]);
    assert_eq!(since(&coarse).map(|wear| wear.anew), Some(None));
    // Limits on both sides are those of a thickness.
    let both_ends = world(&["2.0-9.0 mm"]);
    assert_eq!(judged(&both_ends, "", both).unwrap().count, 5);
}
