//! Sheets of a workshop that people or spreadsheet programs wrote, and workshops that gave one name to two things.

use crate::bench::Bench;

const NOW: &str = "2026-06-10T10:00:00+02:00";

const BICYCLES: &str =
    "bike;kind;frame;owner;note;added_at\r\nloan-7;hardtail;;;;2026-01-02T10:00:00+01:00\r\n";
const JOINTS: &str = "bike;joint;place;order;check;entry;bolts;critical;hand;marking_part;marking;second_marking_part;\
    second_marking;part_maker;bicycle_maker;shop;thread;grade;condition;photo\r\n";
const BAR: &str = "loan-7;bar-clamp;;1;torque;stem-faceplate-four-bolt;4;TRUE;;stem;max 5,5 N·m;;;;;;;;;\r\n";
const BELL: &str = "Loan-7;bell;;2;function;;1;No;;;;;;;;;;;;\r\n";
const EVENTS: &str =
    "bike;event;at;hours;km;what;note\r\nloan-7;ride;2026-03-04T12:00:00+02:00;1,5;20,25;;\r\n";
const WRENCHES: &str = "wrench;kind;unit;low_nm;high_nm;step_nm;class;percent;anticlockwise;adapters_mm;interval_months;\
    interval_cycles;calibrations;added_on\r\nsmall;click;N·m;2,0;10;0,1;;1,5;yes;\"40,5;55\";6;2500;;2026-06-01\r\n";
const READINGS: &str = "taken_at;bike;joint;bolt;value;unit;kind;wrench\r\n\
    2026-06-01;loan-7;bar-clamp;1;5,1;N·m;;small\r\n";

/// A bench with a folder of sheets.
fn folder(sheets: &[(&str, &str)]) -> Bench {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("all")).unwrap();
    for (name, text) in sheets {
        std::fs::write(bench.path("all").join(name), format!("\u{feff}{text}")).unwrap();
    }
    bench
}

fn sheets<'a>(
    bicycles: &'a str,
    joints: &'a str,
    events: &'a str,
    wrenches: &'a str,
) -> [(&'static str, &'a str); 5] {
    [
        ("bicycles.csv", bicycles),
        ("joints.csv", joints),
        ("events.csv", events),
        ("wrenches.csv", wrenches),
        ("readings.csv", READINGS),
    ]
}

/// Where semicolons part the fields, commas are decimal signs; what is so or not is written in any usual way.
#[test]
fn sheets_are_imported_as_spreadsheet_programs_write_them() {
    let joints = [JOINTS, BAR, ";;;;;;;;;;;;;;;;;;;\r\n", BELL].concat();
    let bench = folder(&sheets(BICYCLES, &joints, EVENTS, WRENCHES));
    let said = bench.at(NOW, &["import", "all"]);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    bench.done(NOW, &["export", "again"]);
    let read = |name: &str| std::fs::read_to_string(bench.path("again").join(name)).unwrap();
    assert!(read("wrenches.csv").contains("small,click,N·m,2.0,10.0,0.1,,,,1.5,,true,,,40.5;55,6,2500,,"));
    assert!(read("events.csv").contains(",1.5,20.25,"), "{}", read("events.csv"));
    let joints = read("joints.csv");
    assert!(joints.contains("stem-faceplate-four-bolt,4,true,,stem,\"max 5,5 N·m\""), "{joints}");
    assert!(joints.contains("loan-7,bell,,2,function,,1,false"), "{joints}");
    assert!(read("readings.csv").contains(",5.1,N·m,tightened,small,"), "{}", read("readings.csv"));
}

/// Where commas part the fields, a quoted comma may part thousands.
#[test]
fn commas_in_numbers_are_refused_where_commas_part_the_fields() {
    let with_commas = |text: &str| {
        text.replace("2,0", "\"2,0\"").replace("0,1", "0.1").replace("1,5", "1.5").replace(';', ",")
    };
    let wrenches = with_commas(&WRENCHES.replace("\"40,5;55\"", "40"));
    let joints = [JOINTS, BAR].concat();
    let bench = folder(&sheets(BICYCLES, &joints, EVENTS, &wrenches));
    let said = bench.at(NOW, &["import", "all"]);
    assert!(said.status == 2 && said.err.contains("`2,0` is not"), "{}{}", said.out, said.err);
}

/// What would be lost, or would hide another, is told with the place where it is put right.
#[test]
fn names_that_stand_twice_or_nowhere_are_told_with_their_place() {
    let second = |text: &str| text.lines().nth(1).unwrap().to_owned() + "\r\n";
    let all = [JOINTS, BAR, BELL].concat();
    let with = |row: &str| [&all, row].concat();
    let (bar, bell) = (BAR.replace("bar-clamp", "Bar-Clamp"), BELL.replace("Loan-7", "loan-8"));
    let twice = "stands in another row already";
    complaint(
        &sheets(BICYCLES, &with(&bar), EVENTS, WRENCHES),
        ("joints.csv:4:8", &format!("the joint `loan-7/Bar-Clamp` {twice}")),
    );
    complaint(
        &sheets(&[BICYCLES, &second(BICYCLES)].concat(), &all, EVENTS, WRENCHES),
        ("bicycles.csv:3:1", &format!("the bicycle `loan-7` {twice}")),
    );
    complaint(
        &sheets(BICYCLES, &all, EVENTS, &[WRENCHES, &second(WRENCHES).replace("small", "Small")].concat()),
        ("wrenches.csv:3:1", &format!("the wrench `Small` {twice}")),
    );
    complaint(
        &sheets(BICYCLES, &with(&bell), EVENTS, WRENCHES),
        ("joints.csv:4:8", "bicycles.csv has no bicycle `loan-8`"),
    );
    complaint(
        &sheets(BICYCLES, &all, &EVENTS.replace("loan-7", "loan-9"), WRENCHES),
        ("events.csv:2:8", "bicycles.csv has no bicycle `loan-9`"),
    );
}

/// Imports sheets of which nothing is taken, for this reason.
fn complaint(sheets: &[(&str, &str)], (place, told): (&str, &str)) {
    let bench = folder(sheets);
    let said = bench.at(NOW, &["import", "all", "--format", "json"]);
    let error: serde_json::Value = serde_json::from_str(&said.err).unwrap();
    let error = &error["error"];
    assert_eq!((said.status, error["message"].as_str()), (2, Some(told)), "{error}");
    assert!(error["at"].as_str().unwrap().ends_with(place), "{error}");
    let hint = error["hint"].as_str().unwrap();
    assert!(hint.contains(".csv") || hint.contains("column bike"), "{hint}");
    assert!(!hint.contains("bike edit") && hint.contains("nothing was imported"), "{hint}");
    assert_eq!(bench.at(NOW, &["bike", "list", "--format", "json"]).out.trim(), "[]");
}

/// Two workshops that share a bicycle have each given it a joint of one name: the advice is about that joint.
#[test]
fn a_joint_that_both_workshops_added_is_told_as_a_joint() {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.done(NOW, &["export", "shared"]);
    bench.done(NOW, &["import", "shared", "--db", "other.db"]);
    let bell = ["bike", "joint", "add", "loan-7", "bell", "--check", "function"];
    bench.done(NOW, &bell);
    bench.done("2026-06-11T10:00:00+02:00", &[&bell[..], &["--db", "other.db"]].concat());
    bench.done(NOW, &["export", "theirs", "--db", "other.db"]);
    let said = bench.at("2026-06-12T10:00:00+02:00", &["import", "theirs"]);
    assert_eq!(said.status, 2, "{}{}", said.out, said.err);
    assert!(said.err.contains("both workshops have a joint `bell` on loan-7"), "{}", said.err);
    let told = said.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("`evenclamp bike joint edit loan-7 bell --name NEW`"), "{told}");
    assert!(!told.contains("bike edit"), "{told}");
}
