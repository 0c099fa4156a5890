//! Figures for many: a bicycle like another, one change for several joints.

use serde_json::Value;

use crate::bench::{Bench, flat};

const NOW: &str = "2026-06-01T10:00:00+02:00";

fn joints(bench: &Bench, bike: &str) -> Vec<Value> {
    let (status, shown) = bench.json_at(NOW, &["bike", "show", bike]);
    assert_eq!(status, 0, "{shown}");
    shown["joints"].as_array().unwrap().clone()
}

fn joint(bench: &Bench, bike: &str, name: &str) -> Value {
    joints(bench, bike).into_iter().find(|joint| joint["joint"] == name).unwrap()
}

/// A hardtail that is not as its template has it, with figures, readings and an event.
fn shop() -> Bench {
    let bench = Bench::new();
    for words in [
        &["bike", "add", "hire-1", "--kind", "hardtail", "--owner", "the club", "--frame", "F1"][..],
        &[
            "bike",
            "joint",
            "edit",
            "hire-1",
            "bar-clamp",
            "--marking",
            "stem: max 6 N·m",
            "--marking",
            "bar: 5 Nm",
        ],
        &["bike", "joint", "edit", "hire-1", "rotor-front", "--part-maker", "4 N·m", "--thread", "M5"],
        &["bike", "joint", "edit", "hire-1", "rotor-front", "--grade", "8.8", "--photo", "rotor.jpg"],
        &[
            "bike",
            "joint",
            "edit",
            "hire-1",
            "pads-front",
            "--marking",
            "min 1 mm",
            "--critical",
            "no",
            "--why",
            "of no use here",
        ],
        &["bike", "joint", "remove", "hire-1", "chain", "--why", "of no use here"],
        &[
            "bike",
            "joint",
            "add",
            "hire-1",
            "lamp",
            "--entry",
            "general-m5",
            "--bolts",
            "2",
            "--hand",
            "left",
        ],
        &["record", "hire-1/bar-clamp", "4.8", "4.8", "4.8", "4.8", "N·m"],
        &["ride", "hire-1", "2h"],
    ] {
        bench.done(NOW, words);
    }
    bench
}

#[test]
fn a_bicycle_like_another_has_its_joints_and_figures_and_none_of_its_readings() {
    let bench = shop();
    let said = bench.at(NOW, &["bike", "add", "hire-2", "--like", "hire-1", "--frame", "F2"]);
    assert_eq!(said.status, 0, "{}", said.err);
    assert!(said.err.contains("have the figures of hire-1"), "{}", said.err);
    let (old, new) = (joints(&bench, "hire-1"), joints(&bench, "hire-2"));
    assert_eq!(old.len(), new.len());
    for (old, new) in old.iter().zip(&new) {
        for key in [
            "joint",
            "place",
            "check",
            "entry",
            "bolts",
            "hand",
            "critical",
            "specified",
            "ground",
            "thread",
            "grade",
        ] {
            assert_eq!(old[key], new[key], "{key} of {}", old["joint"]);
        }
        assert!(["never checked", "no value"].contains(&new["verdict"].as_str().unwrap()), "{new}");
        assert_eq!(new["photo"], "", "a photo shows the part of the other one");
    }
    let (_, shown) = bench.json_at(NOW, &["bike", "show", "hire-2"]);
    assert_eq!([&shown["kind"], &shown["frame"], &shown["owner"]], ["hardtail", "F2", ""]);
    let (_, history) = bench.json_at(NOW, &["history", "hire-2/bar-clamp"]);
    assert_eq!(history["readings"], Value::Array(Vec::new()));
    // Neither shares anything with the other from there on.
    bench.done(NOW, &["bike", "joint", "edit", "hire-2", "bar-clamp", "--marking", "4 N·m"]);
    assert_eq!(joint(&bench, "hire-1", "bar-clamp")["specified"], "5 N·m");
}

#[test]
fn what_a_bicycle_is_like_must_be_there_and_be_sound() {
    let bench = shop();
    for (words, hint) in [
        (&["bike", "add", "hire-2", "--like", "hire-3"][..], "nearest: hire-1"),
        (&["bike", "add", "hire-1", "--like", "hire-1"], "choose another name"),
        (&["bike", "add", "hire-2"], "--like <BIKE>"),
        (&["bike", "add", "hire-2", "--like", "hire-1", "--kind", "road"], "cannot be used with"),
    ] {
        let said = bench.at(NOW, words);
        assert!(said.status == 2 && said.err.contains(hint), "{words:?}: {}", said.err);
    }
    let damage = "UPDATE marking SET figure = 'max 6 Nn' WHERE part = 'stem'";
    rusqlite::Connection::open(bench.database()).unwrap().execute(damage, []).unwrap();
    let said = bench.at(NOW, &["bike", "add", "hire-2", "--like", "hire-1"]);
    assert!(said.status == 2 && said.err.contains("hire-1/bar-clamp: bar-clamp, --marking"), "{}", said.err);
    assert!(said.err.contains("put it right on hire-1 first; nothing was taken in"), "{}", said.err);
    assert_eq!(bench.json(&["bike", "list"]).1.as_array().unwrap().len(), 1);
    // A retired one is still a pattern.
    bench.done(NOW, &["bike", "joint", "edit", "hire-1", "bar-clamp", "--marking", "max 6 N·m"]);
    bench.done(NOW, &["bike", "retire", "hire-1"]);
    assert_eq!(bench.at(NOW, &["bike", "add", "hire-2", "--like", "hire-1"]).status, 0);
}

#[test]
fn one_change_is_for_several_joints_with_a_line_each() {
    let bench = shop();
    bench.done(NOW, &["bike", "add", "hire-2", "--like", "hire-1"]);
    let edit = |joints: &[&str]| {
        let figure = ["--marking", "5-6 N·m", "--condition", "greased"];
        bench.at(NOW, &[&["bike", "joint", "edit"], joints, &figure].concat())
    };
    for (words, lines) in [
        (&["hire-1", "seat-collar"][..], &["hire-1/seat-collar"][..]),
        (&["hire-1", "bar-clamp", "seat-collar"], &["hire-1/bar-clamp", "hire-1/seat-collar"]),
        (&["hire-2/bar-clamp", "hire-1/seat-collar"], &["hire-1/seat-collar", "hire-2/bar-clamp"]),
        (&["hire-1,hire-2", "seat-collar"], &["hire-1/seat-collar", "hire-2/seat-collar"]),
        (&["hire-1,HIRE-1/bar-clamp,bar-clamp"], &["hire-1/bar-clamp"]),
    ] {
        let said = edit(words);
        assert_eq!(said.status, 0, "{words:?}: {}", said.err);
        let told: Vec<&str> = said.out.lines().filter(|line| line.starts_with("hire")).collect();
        assert_eq!(told.len(), lines.len(), "{words:?}: {}", said.out);
        for (told, path) in told.iter().zip(lines) {
            let start = format!("{path}: 5–6 N·m (marking on the part; ");
            assert!(told.starts_with(&start) && told.contains("greased"), "{words:?}: {told}");
        }
    }
    for (bike, name) in [("hire-1", "bar-clamp"), ("hire-2", "seat-collar")] {
        assert_eq!(joint(&bench, bike, name)["specified"], "5–6 N·m", "{bike}/{name}");
    }
    assert_eq!(edit(&["hire-1"]).status, 2);
    assert_eq!(edit(&["hire-1/bar-clamp", "hire-2"]).status, 2);
}

/// What one of them cannot take, none takes.
#[test]
fn one_change_for_several_joints_is_taken_by_all_or_none() {
    let bench = shop();
    bench.done(NOW, &["bike", "add", "hire-2", "--like", "hire-1"]);
    let before = (joints(&bench, "hire-1"), joints(&bench, "hire-2"));
    for (joints, change, says) in [
        (&["hire-1/bar-clamp", "hire-2/bar-clmap"][..], &["--marking", "4 N·m"][..], "nearest: bar-clamp"),
        (&["hire-1/bar-clamp", "hire-2/pads-front"], &["--marking", "4 N·m"], "pads-front, --marking"),
        (&["hire-1", "bar-clamp", "rotor-front"], &["--marking", "60 N·m"], "bar-clamp, --marking"),
        (&["hire-1", "bar-clamp", "rotor-front"], &["--name", "same"], "choose another name"),
        (&["hire-1", "bar-clamp", "rotor-front"], &["--grade", "8.9"], "8.9"),
    ] {
        let said = bench.at(NOW, &[&["bike", "joint", "edit"], joints, change].concat());
        assert!(said.status == 2 && said.err.contains(says), "{joints:?} {change:?}: {}", said.err);
        let after = (self::joints(&bench, "hire-1"), self::joints(&bench, "hire-2"));
        assert_eq!(after, before, "{joints:?} {change:?}");
    }
}

/// A joint whose figure is too much for its bolt is kept as it stands, and the answer is bad.
#[test]
fn one_of_several_that_is_too_much_for_its_bolt_makes_the_answer_bad() {
    let bench = shop();
    let change = ["--marking", "10 N·m", "--thread", "M5", "--grade", "8.8"];
    let said =
        bench.at(NOW, &[&["bike", "joint", "edit", "hire-1", "seat-collar", "lamp"], &change[..]].concat());
    assert_eq!(said.status, 1, "{}{}", said.out, said.err);
    assert!(flat(&said.out).matches("too much for the bolt").count() >= 2, "{}", said.out);
    // So does a bicycle that is like it.
    let said = bench.at(NOW, &["bike", "add", "hire-2", "--like", "hire-1"]);
    assert_eq!(
        (said.status, joints(&bench, "hire-2").len()),
        (1, joints(&bench, "hire-1").len()),
        "{}",
        said.err
    );
}
