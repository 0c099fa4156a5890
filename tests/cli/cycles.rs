//! A calibration stands for so many operations: counted in the workshop book, they take part in every
//! judgement. The wrenches and bicycles are invented.

use serde_json::{Value, json};

use crate::bench::{Bench, flat};

/// Noon of a day of June 2026.
fn noon(day: u8) -> String {
    format!("2026-06-{day:02}T12:00:00+02:00")
}

/// A bicycle of the joints a to e, one bolt each, marked 4-6 N·m, and a wrench that is allowed three
/// operations, calibrated on 1 June.
fn shop() -> Bench {
    let bench = Bench::new();
    let now = &noon(1);
    bench.at(now, &["bike", "add", "loan-7", "--kind", "city"]);
    let (_, bike) = bench.json_at(now, &["bike", "show", "loan-7"]);
    for joint in bike["joints"].as_array().unwrap() {
        bench.at(
            now,
            &[
                "bike",
                "joint",
                "remove",
                "loan-7",
                joint["joint"].as_str().unwrap(),
                "--why",
                "of no use here",
            ],
        );
    }
    for name in ["a", "b", "c", "d", "e"] {
        let add =
            ["bike", "joint", "add", "loan-7", name, "--entry", "stem-bar-clamp-forged", "--bolts", "1"];
        assert_eq!(bench.at(now, &add).status, 0);
        assert_eq!(
            bench.at(now, &["bike", "joint", "edit", "loan-7", name, "--marking", "4-6 N·m"]).status,
            0
        );
    }
    let add = ["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m", "--step", "0.1"];
    let said = bench.at(now, &[&add[..], &["--cycles", "3", "--calibrated", "2026-06-01"]].concat());
    assert_eq!(said.status, 0, "{}", said.err);
    bench
}

fn record(bench: &Bench, day: u8, joint: &str) -> (i32, Value) {
    bench.json_at(&noon(day), &["record", &format!("loan-7/{joint}"), "5.0 N·m", "--wrench", "small"])
}

fn check(bench: &Bench, day: u8, on: &[&str]) -> (i32, Value) {
    let check = ["check", "4-6 N·m", "5.0 N·m", "--wrench", "small"];
    bench.json_at(&noon(day), &[&check[..], on].concat())
}

fn wrench(bench: &Bench, day: u8) -> Value {
    let (_, list) = bench.json_at(&noon(day), &["wrench", "list"]);
    let (_, shown) = bench.json_at(&noon(day), &["wrench", "show", "small"]);
    for (key, listed) in list[0].as_object().unwrap() {
        assert_eq!(listed, &shown[key], "{key}");
    }
    shown
}

fn verdicts(bench: &Bench, day: u8) -> Vec<(String, String)> {
    let (_, ready) = bench.json_at(&noon(day), &["ready", "loan-7", "--all"]);
    let joints = ready["joints"].as_array().unwrap_or_else(|| panic!("{ready}"));
    let text = |joint: &Value, key: &str| joint[key].as_str().unwrap().to_owned();
    joints.iter().map(|joint| (text(joint, "joint"), text(joint, "verdict"))).collect()
}

fn pairs(expected: &[(&str, &str)]) -> Vec<(String, String)> {
    expected.iter().map(|(joint, verdict)| ((*joint).to_owned(), (*verdict).to_owned())).collect()
}

const SPENT: &str =
    "since 2026-06-05 the wrench has made more than the 3 operations that a calibration stands for";

/// The shop on 5 June, after one operation more than is allowed, on the joint d.
fn overused() -> Bench {
    let bench = shop();
    for (day, joint, status) in [(2, "a", 0), (3, "b", 0), (4, "c", 0), (5, "d", 3)] {
        assert_eq!(record(&bench, day, joint).0, status, "{joint}");
    }
    bench
}

const OVERUSED: &[(&str, &str)] =
    &[("a", "sound"), ("b", "sound"), ("c", "sound"), ("d", "wrench in doubt"), ("e", "never checked")];

#[test]
fn the_operations_are_told_and_as_many_as_are_allowed_stand() {
    let bench = shop();
    for (day, joint) in [(2, "a"), (3, "b"), (4, "c")] {
        assert_eq!((record(&bench, day, joint).0, check(&bench, day, &[]).0), (0, 0), "{joint}");
    }
    let told = |day| {
        let shown = wrench(&bench, day);
        [&shown["cycles"], &shown["cycles_allowed"], &shown["stands"]].map(Clone::clone)
    };
    assert_eq!(told(4), [json!(3), json!(3), json!(true)]);
    let said = bench.at(&noon(4), &["wrench", "show", "small"]);
    let line = "3 of 3 operations counted since 2026-06-01; the next reading will not stand";
    assert!(flat(&said.out).contains(line), "{}", said.out);
    assert_eq!(record(&bench, 5, "d").0, 3);
    assert_eq!(told(5), [json!(4), json!(3), json!(false)]);
    assert!(bench.at(&noon(5), &["wrench", "list"]).out.contains("4 of 3"));
    let csv = bench.at(&noon(5), &["wrench", "list", "--format", "csv"]).out;
    assert!(csv.lines().next().unwrap().ends_with(",cycles,cycles_allowed"), "{csv}");
    assert!(csv.trim_end().ends_with(",4,3"), "{csv}");
}

#[test]
fn the_operation_too_many_leaves_its_joint_open_and_those_before_it_sound() {
    let bench = overused();
    assert_eq!(verdicts(&bench, 5), pairs(OVERUSED));
    let (status, ready) = bench.json_at(&noon(5), &["ready", "loan-7"]);
    assert_eq!((status, ready["verdict"].as_str()), (3, Some("unproven")));
    let open = ready["deciding"].as_array().unwrap().iter().find(|open| open["joint"] == "d").unwrap();
    assert!(open["reason"].as_str().unwrap().contains(SPENT), "{open}");
    assert!(
        open["next"]
            .as_str()
            .unwrap()
            .starts_with("slacken it fully and do it again with a wrench to be believed"),
        "{open}"
    );
    let (_, history) = bench.json_at(&noon(5), &["history", "loan-7/d"]);
    assert_eq!(history["verdict"], "wrench in doubt");
    assert!(history["reason"].as_str().unwrap().contains(SPENT), "{history}");
    let (status, again) = record(&bench, 6, "e");
    assert_eq!((status, again["verdict"].as_str()), (3, Some("wrench in doubt")));
    assert!(again["reason"].as_str().unwrap().contains(SPENT), "{again}");
}

#[test]
fn whatever_asks_for_the_wrench_hears_the_same() {
    let bench = overused();
    let (status, checked) = check(&bench, 5, &[]);
    assert_eq!((status, checked["verdict"].as_str()), (3, Some("not settled")));
    assert!(checked["reasons"][0].as_str().unwrap().contains(SPENT), "{checked}");
    for words in
        [&["show", "brake-cable-anchor-rim"][..], &["order", "brake-cable-anchor-rim"], &["check", "4-6 N·m"]]
    {
        let said = bench.at(&noon(5), &[words, &["--wrench", "small"]].concat());
        let text = format!("{} {}", said.out, said.err);
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(SPENT), "{words:?}: {text}");
    }
    let visit = bench.questions(&noon(5), &["visit", "loan-7", "--wrench", "small"]).join(" ");
    assert!(visit.contains(&format!("small: {SPENT}")), "{visit}");
    let card = bench.at(&noon(5), &["card", "loan-7", "--wrench", "small"]);
    let text = format!("{} {}", card.out, card.err);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(&format!("the wrench small: {SPENT}")), "{text}");
    let (status, pick) = bench.json_at(&noon(5), &["wrench", "pick", "4-6 N·m"]);
    assert_eq!((status, &pick["torques"][0]["wrenches"][0]["serves"]), (1, &json!(false)), "{pick}");
    assert!(pick.to_string().contains(SPENT), "{pick}");
    assert_eq!(bench.json_at(&noon(5), &["wrench", "pick", "4-6 N·m", "--on", "2026-06-04"]).0, 0);
}

#[test]
fn a_calibration_begins_anew_and_leaves_what_was_read_before_as_it_was() {
    let bench = overused();
    assert_eq!(bench.at(&noon(8), &["wrench", "calibrated", "small"]).status, 0);
    assert_eq!(wrench(&bench, 8)["cycles"], json!(0));
    assert_eq!((check(&bench, 8, &[]).0, record(&bench, 9, "e").0), (0, 0));
    assert_eq!(wrench(&bench, 9)["cycles"], json!(1));
    let after = [&OVERUSED[..4], &[("e", "sound")]].concat();
    assert_eq!(verdicts(&bench, 9), pairs(&after));
    assert_eq!(record(&bench, 10, "d").0, 0);
    assert!(verdicts(&bench, 10).iter().all(|(_, verdict)| verdict == "sound"));
    for (day, status) in [("2026-06-04", 0), ("2026-06-05", 3), ("2026-06-07", 3), ("2026-06-08", 0)] {
        assert_eq!(check(&bench, 10, &["--on", day]).0, status, "{day}");
    }
}

#[test]
fn every_bolt_counts_and_the_fourth_of_one_command_is_the_one_in_doubt() {
    let bench = shop();
    bench.at(&noon(1), &["bike", "joint", "add", "loan-7", "plate", "--entry", "general-m5", "--bolts", "4"]);
    bench.at(&noon(1), &["bike", "joint", "edit", "loan-7", "plate", "--marking", "4-6 N·m"]);
    let words = ["record", "loan-7/plate", "5", "5", "5", "5", "N·m", "--wrench", "small"];
    let (status, recorded) = bench.json_at(&noon(2), &words);
    assert_eq!((status, recorded["verdict"].as_str()), (3, Some("wrench in doubt")));
    assert!(recorded["reason"].as_str().unwrap().starts_with("bolt 4: 5 N·m"), "{recorded}");
    // The first was read with another wrench, it turns out: three are left.
    let first = recorded["recorded"][0]["id"].to_string();
    bench.at(&noon(2), &["record", "loan-7/plate#1", "5 N·m", "--corrects", &first, "--wrench", ""]);
    assert_eq!(wrench(&bench, 2)["cycles"], json!(3));
    assert!(verdicts(&bench, 2).contains(&("plate".to_owned(), "sound".to_owned())));
}

#[test]
fn a_failed_calibration_in_between_begins_no_count() {
    let bench = shop();
    for (day, joint) in [(2, "a"), (3, "b"), (4, "c")] {
        record(&bench, day, joint);
    }
    bench.at(&noon(5), &["wrench", "calibrated", "small", "--failed"]);
    assert_eq!(wrench(&bench, 5)["cycles"], json!(3));
    record(&bench, 6, "d");
    assert_eq!(wrench(&bench, 6)["cycles"], json!(4));
    bench.at(&noon(7), &["wrench", "calibrated", "small"]);
    assert_eq!(wrench(&bench, 7)["cycles"], json!(0));
    assert_eq!(record(&bench, 8, "e").0, 0);
}

/// A reading every five minutes with the wrench `usual`, from 2 June on.
fn log(readings: u32) -> String {
    let row = |number: u32| {
        let (day, hour, minute) = (number / 288 + 2, number / 12 % 24, number % 12 * 5);
        format!("2026-06-{day:02}T{hour:02}:{minute:02}+02:00,loan-7,a,1,5.0,N·m,tightened,usual\n")
    };
    let rows: String = (0..readings).map(row).collect();
    format!("taken_at,bike,joint,bolt,value,unit,kind,wrench\n{rows}")
}

#[test]
fn five_thousand_are_the_usual_number_in_an_imported_log_too() {
    let bench = shop();
    let add =
        ["wrench", "add", "usual", "--type", "click", "--scale", "2-10 N·m", "--calibrated", "2026-06-01"];
    bench.at(&noon(1), &add);
    let cycles = |bench: &Bench| {
        let (_, shown) = bench.json_at(&noon(30), &["wrench", "show", "usual"]);
        (shown["cycles"].clone(), shown["stands"].clone())
    };
    let whole = log(5001);
    let (most, last) = whole.trim_end().rsplit_once('\n').unwrap();
    let file = bench.path("log.csv");
    let import = |text: &str| {
        std::fs::write(&file, text).unwrap();
        bench.at(&noon(30), &["record", "--from", file.to_str().unwrap()])
    };
    assert_eq!(import(most).status, 0);
    assert_eq!(cycles(&bench), (json!(5000), json!(true)));
    assert_eq!(verdicts(&bench, 30)[0], ("a".to_owned(), "sound".to_owned()));
    assert_eq!(import(&format!("{}\n{last}\n", whole.lines().next().unwrap())).status, 0);
    assert_eq!(cycles(&bench), (json!(5001), json!(false)));
    assert_eq!(verdicts(&bench, 30)[0], ("a".to_owned(), "wrench in doubt".to_owned()));

    // Taken elsewhere, it is counted there.
    let (folder, other) = (bench.path("out"), Bench::new());
    assert_eq!(bench.at(&noon(30), &["export", folder.to_str().unwrap()]).status, 0);
    let said = other.at(&noon(30), &["import", folder.to_str().unwrap()]);
    assert_eq!(said.status, 0, "{}", said.err);
    assert_eq!(cycles(&other), (json!(5001), json!(false)));
    assert_eq!(verdicts(&other, 30), verdicts(&bench, 30));
}

#[test]
fn audit_and_check_and_the_workshop_agree_on_every_day() {
    let bench = shop();
    for (day, joint) in [(2, "a"), (3, "b"), (4, "c"), (5, "d"), (6, "e")] {
        record(&bench, day, joint);
    }
    bench.at(&noon(8), &["wrench", "calibrated", "small"]);
    record(&bench, 9, "a");
    let row = |day: u8| format!("{},small,loan-7,a,5.0,N·m\n", noon(day));
    let log: String = (1..=10).map(row).collect();
    let (file, judged) = (bench.path("log.csv"), bench.path("judged.csv"));
    std::fs::write(&file, format!("taken_at,wrench,bike,joint,value,unit\n{log}")).unwrap();
    let words = ["audit", file.to_str().unwrap(), "--verdicts", judged.to_str().unwrap()];
    let (status, audit) = bench.json_at(&noon(10), &words);
    assert_eq!((status, &audit["inside"], &audit["not_settled"]), (3, &json!(7), &json!(3)), "{audit}");
    let rows = std::fs::read_to_string(&judged).unwrap();
    for (row, day) in rows.lines().skip(1).zip(1..) {
        let (_, checked) = check(&bench, 10, &["--on", &format!("2026-06-{day:02}")]);
        assert!(row.contains(checked["verdict"].as_str().unwrap()), "{row}: {checked}");
        assert_eq!(row.contains(SPENT), (5..8).contains(&day), "{row}");
    }
    // The log of the workshop itself.
    let folder = bench.path("out");
    bench.at(&noon(10), &["export", folder.to_str().unwrap()]);
    let (_, audit) = bench.json_at(&noon(10), &["audit", folder.join("readings.csv").to_str().unwrap()]);
    assert_eq!((&audit["inside"], &audit["not_settled"]), (&json!(4), &json!(2)), "{audit}");
}
