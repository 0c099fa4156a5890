//! The plot of a joint's torques in plain characters, and what is remarked beside a reading. Places are reckoned by hand:
//! column = (torque − low) ÷ (high − low) × 39.

use jiff::tz::TimeZone;

use super::*;
use crate::conformity::{Kind, Limits};
use crate::quantity::{Resolution, Spec, newton_metres, parse_reading};
use crate::workshop::{FigureBasis, Governing, Judgement, LocalInstant, Name, Reading, State, Value, Why};

fn logged(torque: Option<&str>) -> Logged {
    let at = LocalInstant::parse("2026-06-01", &TimeZone::UTC).unwrap();
    let value = torque.map(|torque| Value::Torque(parse_reading(torque).unwrap()));
    Logged {
        bicycle: "errand".into(),
        joint: "stem".into(),
        entry: "stem-clamp".into(),
        reading: Reading { value, ..Reading::new(at, Kind::Tightened) },
        corrected_by: None,
        recorded: at,
        removed: false,
    }
}

fn verdict(limits: Option<Spec>) -> JointVerdict {
    let worst = Judgement { state: State::Sound, why: Why::Nothing, bolt: 1, at: None };
    let governing = Governing {
        limits: limits.map(Limits::new),
        core: None,
        basis: FigureBasis::Marking,
        word: "marking".into(),
        unit: TorqueUnit::NewtonMetre,
        resolution: Resolution(newton_metres(1.0)),
        parts_apart: false,
        notes: vec![],
        caveat: None,
        others_print_less: false,
        orientation: None,
        on_bolt: crate::joint::FigureOnBolt::default(),
    };
    JointVerdict { worst, bolts_without: vec![], governing, wear: None }
}

fn close(found: Option<(f64, f64)>, (low, high): (f64, f64)) -> bool {
    found.is_some_and(|found| (found.0 - low).abs() < 1e-9 && (found.1 - high).abs() < 1e-9)
}

#[test]
fn the_plot_reaches_a_tenth_beyond_readings_and_limits() {
    let joint = Joint::named(Name::new("stem").unwrap());
    let extent = |limits: Option<Spec>, torques: &[&str]| {
        let log = torques.iter().map(|torque| logged(Some(torque))).collect();
        HistoryReport::new("errand", &joint, &verdict(limits), (log, NotShown::default()), None).extent()
    };
    assert!(close(extent(Some(Spec::range_nm(4.0, 6.0)), &["5 N·m", "7 N·m"]), (3.7, 7.3)));
    assert!(close(extent(Some(Spec::Ceiling(newton_metres(6.0))), &["2 N·m"]), (1.6, 6.4)));
    assert!(close(extent(None, &["5 N·m"]), (4.9, 5.1)));
    assert_eq!(extent(None, &[]), None);
}

#[test]
fn a_reading_stands_between_its_limits_and_a_corrected_one_is_crossed() {
    let joint = Joint::named(Name::new("stem").unwrap());
    let verdict = verdict(Some(Spec::range_nm(4.0, 6.0)));
    let corrected = Logged { corrected_by: Some(2), ..logged(Some("4.6 N·m")) };
    let log = vec![logged(Some("4.6 N·m")), corrected, logged(None)];
    let history = HistoryReport::new("errand", &joint, &verdict, (log, NotShown::default()), None);
    // From 3.8 to 6.2: 4 at 3.25, 4.6 at 13, 6 at 35.75.
    let line =
        |sign| format!("{}[{}{sign}{}]{}", " ".repeat(3), " ".repeat(9), " ".repeat(22), " ".repeat(3));
    let extent = history.extent().unwrap();
    let lines: Vec<String> = history.drawn().map(|(row, nm)| history.plotted(extent, row, nm)).collect();
    assert_eq!(lines, [line('o'), line('x')]);
}

#[test]
fn remarks_tell_what_was_found_and_done_then_with_what_by_whom_and_what_corrects_it() {
    let joint = Joint::named(Name::new("stem").unwrap());
    let verdict = verdict(None);
    let mut row = Logged { corrected_by: Some(9), ..logged(None) };
    let mut strike = logged(None);
    strike.reading = Reading { id: 8, corrects: Some(3), ..Reading::new(strike.reading.at, Kind::Skipped) };
    let history =
        HistoryReport::new("errand", &joint, &verdict, (vec![strike.clone()], NotShown::default()), None);
    assert_eq!(history.remarks(&row), "corrected by 9");
    assert_eq!(history.remarks(&Logged { corrected_by: Some(8), ..logged(None) }), "struck by 8");
    assert_eq!(history.remarks(&strike), "strikes 3");
    row.reading.finding = Some(Finding::Play);
    row.reading.action = Some(Action::Replaced);
    row.reading.wrench = Some("small-click".into());
    (row.reading.who, row.reading.note, row.reading.corrects) = ("Kim".into(), "new bearing".into(), Some(3));
    assert_eq!(
        history.remarks(&row),
        "found play, replaced, wrench small-click, Kim, new bearing, corrects 3, corrected by 9"
    );
}

#[test]
fn readings_stand_in_the_order_of_time_then_of_the_log() {
    let joint = Joint::named(Name::new("stem").unwrap());
    let verdict = verdict(None);
    let numbered = |id, day: &str| {
        let at = LocalInstant::parse(day, &TimeZone::UTC).unwrap();
        let mut row = logged(None);
        (row.reading.id, row.reading.at) = (id, at);
        row
    };
    let log = vec![numbered(7, "2026-06-02"), numbered(5, "2026-06-03"), numbered(6, "2026-06-02")];
    let history = HistoryReport::new("errand", &joint, &verdict, (log, NotShown::default()), None);
    assert_eq!(history.readings.iter().map(|row| row.reading.id).collect::<Vec<_>>(), [6, 7, 5]);
}
