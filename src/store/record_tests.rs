//! Every column of every kind of record, filled in: in the struct, the table and the file, and back.

use jiff::civil::date;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::book::{Check, EventKind, Hand};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::{TorqueUnit, newton_metres};
use crate::sheet::{Diagnostics, KeptRecord, read_records, record_fields, record_header};
use crate::store::Store;
use crate::store::fixture::at;
use crate::workshop::{Bicycle, Event, Figure, Figures, Joint, Marking, Name};
use crate::wrench::{
    Calibration, CalibrationResult, Interval, RegisteredWrench, StatedAccuracy, Wrench, WrenchKind,
    WrenchParts, WrenchRecord,
};

fn bicycle() -> Bicycle {
    Bicycle {
        name: Name::new("loan-7").unwrap(),
        kind: "city".into(),
        frame: "F-12".into(),
        owner: "the, club".into(),
        note: "say \"stop\"\nand wait".into(),
        added: at("2026-01-02T10:00:00+01:00"),
        retired: Some(at("2026-02-03T11:30:00+00:00")),
    }
}

fn joint() -> Joint {
    let marking = |part: &str, figure: &str| Marking { part: part.into(), figure: Figure::read(figure) };
    Joint {
        name: Name::new("bar-clamp").unwrap(),
        place: "stem, front".into(),
        order: 17,
        check: Check::Torque,
        entry: "stem-faceplate-four-bolt".into(),
        bolts: 4,
        critical: true,
        hand: Some(Hand::Left),
        figures: Figures {
            markings: vec![marking("stem", "max 5 N·m"), marking("bar", "4 N·m")],
            part_maker: Some(Figure::read("5 N·m")),
            bicycle_maker: Some(Figure::read("6 N·m")),
            shop: Some(Figure::read("4.5 N·m")),
        },
        thread: "M5".into(),
        grade: "8.8".into(),
        condition: "greased".into(),
        photo: "p.jpg".into(),
        rounds: Some(crate::book::Rounds { before: true, after: false }),
    }
}

fn event() -> Event {
    Event {
        kind: EventKind::Done,
        at: at("2026-03-04T12:00:00+02:00"),
        hours: Some(1.5),
        km: Some(20.0),
        hires: Some(2),
        what: "chain".into(),
        note: "wet".into(),
    }
}

fn wrench(accuracy: StatedAccuracy) -> RegisteredWrench {
    let done = |day, result| Calibration { on: day, result };
    let parts = WrenchParts {
        unit: TorqueUnit::PoundForceInch,
        step: Some(newton_metres(0.1)),
        usable: Some((newton_metres(2.5), newton_metres(9.5))),
        accuracy,
        anticlockwise: true,
        owner: Some("club".into()),
        lever: Some(Length::new::<millimeter>(180.0)),
        adapters: vec![Length::new::<millimeter>(40.0), Length::new::<millimeter>(55.5)],
        calibrations: vec![
            done(date(2026, 3, 1), CalibrationResult::Passed),
            done(date(2026, 5, 1), CalibrationResult::Failed),
        ],
        interval: Interval::new(6, 2500).unwrap(),
        ..WrenchParts::new("small", WrenchKind::Beam, newton_metres(2.0), newton_metres(10.0))
    };
    RegisteredWrench {
        wrench: Wrench::new(parts, date(2026, 6, 1)).unwrap(),
        added_on: date(2026, 6, 1),
        retired_on: Some(date(2026, 7, 2)),
    }
}

/// The header and row of a file, and the record read from them again.
fn through_a_file<R: KeptRecord>(name: &'static str, whole: Option<&'static str>, record: &R) -> (String, R) {
    let fields = record_fields(whole.map(|_| "loan-7"), record);
    assert!(fields.iter().all(|field| !field.is_empty()), "a field is not filled in: {fields:?}");
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(record_header::<R>(whole)).unwrap();
    writer.write_record(&fields).unwrap();
    let bytes = writer.into_inner().unwrap();
    let mut diagnostics = Diagnostics::default();
    let mut read = read_records::<R>(name, whole, &bytes, &mut diagnostics);
    assert!(diagnostics.into_errors().is_empty());
    let (found, record) = read.pop().unwrap();
    assert_eq!(found, whole.map_or("", |_| "loan-7"));
    (String::from_utf8(bytes).unwrap(), record)
}

/// What the only row of a table has in these columns, as SQL writes it.
fn in_table(store: &Store, table: &str, columns: &[&str]) -> String {
    let quoted: Vec<String> = columns.iter().map(|column| format!("quote({column})")).collect();
    let sql = format!("SELECT count(*), {} FROM {table}", quoted.join(" || ' ' || "));
    let (rows, row): (i64, String) =
        store.connection.query_row(&sql, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    assert_eq!(rows, 1, "{table}");
    row
}

#[test]
fn a_bicycle_its_joint_and_its_event_are_the_same_in_the_database() {
    let mut store = Store::in_memory().unwrap();
    let id = store.add_bicycle(&bicycle(), &[joint()]).unwrap();
    store.add_event(&[id], &event(), at("2026-03-05")).unwrap();
    assert_eq!(store.bicycles(true).unwrap()[0].bicycle, bicycle());
    assert_eq!(store.joints(Some(id)).unwrap()[0].joint, joint());
    assert_eq!(store.events(Some(id)).unwrap()[&id], [event()]);
    let columns = ["name", "kind", "frame", "owner", "added_at", "retired_at"];
    assert_eq!(
        in_table(&store, "bicycle", &columns),
        "'loan-7' 'city' 'F-12' 'the, club' '2026-01-02T10:00:00+01:00' '2026-02-03T11:30:00+00:00'"
    );
    let columns = [
        "name",
        "place",
        "position",
        "checked_by",
        "entry",
        "bolts",
        "critical",
        "hand",
        "part_maker",
        "bicycle_maker",
        "shop",
        "thread",
        "grade",
        "condition",
        "photo",
    ];
    assert_eq!(
        in_table(&store, "joint", &columns),
        "'bar-clamp' 'stem, front' 17 'torque' 'stem-faceplate-four-bolt' 4 1 'left' '5 N·m' '6 N·m' '4.5 N·m' \
         'M5' '8.8' 'greased' 'p.jpg'"
    );
    let columns = ["kind", "at", "hours", "km", "hires", "what", "note", "recorded_at"];
    assert_eq!(
        in_table(&store, "event", &columns),
        "'done' '2026-03-04T12:00:00+02:00' 1.5 20.0 2 'chain' 'wet' '2026-03-05T00:00:00+00:00'"
    );
}

#[test]
fn a_bicycle_its_joint_and_its_event_are_the_same_in_files() {
    let (file, read) = through_a_file("bicycles", None, &bicycle());
    assert_eq!(read, bicycle());
    assert_eq!(
        file,
        "bike,kind,frame,owner,note,added_at,retired_at\n\
         loan-7,city,F-12,\"the, club\",\"say \"\"stop\"\"\nand wait\",2026-01-02T10:00:00+01:00,2026-02-03T11:30:00+00:00\n"
    );
    let (file, read) = through_a_file("joints", Some("bike"), &joint());
    assert_eq!(read, joint());
    assert_eq!(
        file,
        "bike,joint,place,order,check,entry,bolts,critical,hand,marking_part,marking,second_marking_part,\
         second_marking,part_maker,bicycle_maker,shop,thread,grade,condition,photo,rounds\n\
         loan-7,bar-clamp,\"stem, front\",17,torque,stem-faceplate-four-bolt,4,true,left,stem,max 5 N·m,bar,4 N·m,\
         5 N·m,6 N·m,4.5 N·m,M5,8.8,greased,p.jpg,before\n"
    );
    let (file, read) = through_a_file("events", Some("bike"), &event());
    assert_eq!(read, event());
    assert_eq!(
        file,
        "bike,event,at,hours,km,hires,what,note\nloan-7,done,2026-03-04T12:00:00+02:00,1.5,20.0,2,chain,wet\n"
    );
}

/// A change writes every column, also back to nothing.
#[test]
fn what_is_changed_is_changed_in_every_column() {
    let mut store = Store::in_memory().unwrap();
    let blank = Joint::named(Name::new("other").unwrap());
    let id =
        store.add_bicycle(&Bicycle { retired: None, ..bicycle() }, std::slice::from_ref(&blank)).unwrap();
    for joint in [joint(), blank] {
        let mut stored = store.joints(Some(id)).unwrap().remove(0);
        stored.joint = joint.clone();
        store.change_joints(&[stored]).unwrap();
        assert_eq!(store.joints(Some(id)).unwrap()[0].joint, joint);
    }
    let mut stored = store.bicycles(true).unwrap().remove(0);
    stored.bicycle = bicycle();
    stored.bicycle.name = Name::new("loan-8").unwrap();
    store.change_bicycle(&stored).unwrap();
    assert_eq!(store.bicycles(true).unwrap(), [stored]);
}

fn certificate() -> StatedAccuracy {
    StatedAccuracy::Certificate { expanded: Deviation::percent(1.5).unwrap(), coverage: 2.0 }
}

#[test]
fn a_wrench_is_the_same_in_the_database() {
    let columns = [
        "name",
        "kind",
        "unit",
        "low_nm",
        "high_nm",
        "step_nm",
        "usable_low_nm",
        "usable_high_nm",
        "class",
        "percent",
        "coverage",
        "anticlockwise",
        "owner",
        "lever_mm",
        "interval_months",
        "interval_cycles",
        "added_on",
        "retired_on",
    ];
    let class = StatedAccuracy::Class(ToolClass::IIA);
    for (accuracy, stated) in [(class, "'II A' NULL NULL"), (certificate(), "NULL 1.5 2.0")] {
        let wrench = wrench(accuracy);
        let mut store = Store::in_memory().unwrap();
        store.add_wrench(&wrench.wrench, wrench.added_on).unwrap();
        store.retire_wrench("small", date(2026, 7, 2)).unwrap();
        let row = in_table(&store, "wrench", &columns);
        assert_eq!(
            row,
            format!(
                "'small' 'beam' 'lbf·in' 2.0 10.0 0.1 2.5 9.5 {stated} 1 'club' 180.0 6 2500 '2026-06-01' '2026-07-02'"
            )
        );
        assert_eq!(store.wrenches().unwrap(), [wrench]);
    }
}

#[test]
fn a_wrench_is_the_same_in_files() {
    let wrench = wrench(certificate());
    let fields = record_fields(None, &WrenchRecord::of(&wrench));
    let header = record_header::<WrenchRecord>(None).join(",");
    let bytes = format!("{header}\n{}\n", fields.join(","));
    assert_eq!(
        bytes,
        "wrench,kind,unit,low_nm,high_nm,step_nm,usable_low_nm,usable_high_nm,class,percent,coverage,\
         anticlockwise,owner,lever_mm,adapters_mm,interval_months,interval_cycles,calibrations,added_on,\
         retired_on\n\
         small,beam,lbf·in,2.0,10.0,0.1,2.5,9.5,,1.5,2.0,true,club,180.0,40;55.5,6,2500,\
         2026-03-01 passed;2026-05-01 failed,2026-06-01,2026-07-02\n"
    );
    let mut diagnostics = Diagnostics::default();
    let mut read = read_records::<WrenchRecord>("wrenches", None, bytes.as_bytes(), &mut diagnostics);
    assert_eq!(read.pop().unwrap().1.registered().unwrap(), wrench);
}

#[test]
fn a_file_that_says_something_else_is_refused_at_its_place() {
    let read = |text: &str| {
        let mut diagnostics = Diagnostics::default();
        let count = read_records::<Event>("events", Some("bike"), text.as_bytes(), &mut diagnostics).len();
        (count, diagnostics.into_errors().iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
    };
    let header = "bike,event,at,what,note";
    assert_eq!(read(&format!("{header}\n")), (0, String::new()));
    assert_eq!(read(&format!("{header}\nloan-7,ride,2026-06-01,,\n")), (1, String::new()));
    for (text, wanted) in [
        (String::new(), "events.csv:1:1: the file is empty; start with the header bike,event,"),
        (format!("{header}\nloan-7,flight,2026-06-01,,\n"), "events.csv:2:8: `flight` is not an event"),
        (format!("{header}\nloan-7,ride,soon,,\n"), "events.csv:2:13: `soon` is not a time"),
        (format!("{header},km\nloan-7,ride,2026-06-01,,,far\n"), "events.csv:2:26: `far` is not a number"),
        (format!("{header},km\nloan-7,ride,2026-06-01,,,NaN\n"), "events.csv:2:26: `NaN` is not a number"),
        (format!("{header},colour\n"), "events.csv:1:25: unknown column `colour`"),
        ("event,at,what,note\n".to_owned(), "events.csv:1:1: column `bike` is missing"),
        ("bike,event,at,note\n".to_owned(), "events.csv:1:1: column `what` is missing"),
        (format!("{header}\nloan-7,ride\n"), "events.csv:2:1: the row has 2 fields"),
    ] {
        let (_, told) = read(&text);
        assert!(told.starts_with(wanted), "{text}: {told}");
    }
}
