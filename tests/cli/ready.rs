//! From an empty database to a bicycle that is fit: unproven, unfit, fit, each with its reasons.

use serde_json::Value;

use crate::bench::Bench;

const MORNING: &str = "2026-06-01T08:00:00+02:00";
const NOON: &str = "2026-06-01T12:00:00+02:00";
const EVENING: &str = "2026-06-01T18:00:00+02:00";

/// A city bicycle of few joints, so that the story can be read.
fn taken_in() -> Bench {
    let bench = Bench::new();
    bench.at(MORNING, &["bike", "add", "errand", "--kind", "city"]);
    let (_, bike) = bench.json_at(MORNING, &["bike", "show", "errand"]);
    for joint in bike["joints"].as_array().unwrap() {
        let name = joint["joint"].as_str().unwrap();
        if !["wheel-front", "bar-clamp", "rack-front"].contains(&name) {
            bench.at(MORNING, &["bike", "joint", "remove", "errand", name]);
        }
    }
    for (name, entry, bolts) in
        [("rotor-front", "rotor-bolt-six", "6"), ("crank-left", "crank-pinch-bolts", "2")]
    {
        let add = ["bike", "joint", "add", "errand", name, "--entry", entry, "--bolts", bolts];
        assert_eq!(bench.at(MORNING, &add).status, 0);
    }
    for (name, figure) in [("rotor-front", "4-6 N·m"), ("bar-clamp", "17-20 N·m"), ("rack-front", "4 N·m")]
    {
        bench.done(MORNING, &["bike", "joint", "edit", "errand", name, "--marking", figure]);
    }
    let wrench = |name, scale, step| {
        let add = ["wrench", "add", name, "--type", "click", "--scale", scale, "--step", step];
        let said = bench.at(MORNING, &[&add[..], &["--calibrated", "2026-05-01"]].concat());
        assert_eq!(said.status, 0, "{}", said.err);
    };
    wrench("small", "2-10 N·m", "0.1");
    wrench("big", "5-25 N·m", "0.2");
    bench
}

fn ready(bench: &Bench, now: &str) -> (i32, Value) {
    bench.json_at(now, &["ready", "errand"])
}

fn deciding(answer: &Value) -> Vec<(String, String)> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let deciding = answer["deciding"].as_array().unwrap();
    deciding.iter().map(|open| (text(&open["joint"]), text(&open["verdict"]))).collect()
}

fn pairs(expected: &[(&str, &str)]) -> Vec<(String, String)> {
    expected.iter().map(|(joint, verdict)| ((*joint).to_owned(), (*verdict).to_owned())).collect()
}

/// Everything but the rotor and the crank.
fn record_the_rest(bench: &Bench) {
    assert_eq!(bench.at(NOON, &["record", "errand/wheel-front", "--finding", "fine"]).status, 0);
    let clamp = ["record", "errand/bar-clamp", "18.5 N·m", "--wrench", "big"];
    assert_eq!(bench.at(NOON, &clamp).status, 0);
    let rack = ["record", "errand/rack-front", "4", "4", "N·m", "--wrench", "small"];
    assert_eq!(bench.at(NOON, &rack).status, 0);
}

#[test]
fn unproven_then_unfit_then_fit() {
    let bench = taken_in();
    let (status, answer) = ready(&bench, MORNING);
    assert_eq!((status, answer["verdict"].as_str()), (3, Some("unproven")));
    assert_eq!(deciding(&answer).len(), 5, "every joint is open");

    record_the_rest(&bench);
    let rotor = ["record", "errand/rotor-front", "5", "5", "3", "5", "5", "5", "N·m", "--wrench", "small"];
    assert_eq!(bench.at(NOON, &rotor).status, 1);
    let crank = ["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"];
    assert_eq!(bench.at(NOON, &crank).status, 0);
    let moved = ["record", "errand/crank-left#2", "--kind", "moved", "12 N·m", "--wrench", "big"];
    assert_eq!(bench.at("2026-06-01T13:00:00+02:00", &moved).status, 1);
    let (status, answer) = ready(&bench, "2026-06-01T14:00:00+02:00");
    assert_eq!((status, answer["verdict"].as_str()), (1, Some("unfit")));
    assert_eq!(deciding(&answer), pairs(&[("rotor-front", "low"), ("crank-left", "moved")]));
    let reason = |index: usize| answer["deciding"][index]["reason"].as_str().unwrap();
    assert!(reason(0).starts_with("bolt 3: 3 N·m against 4–6 N·m (marking on the part)"), "{}", reason(0));
    assert!(reason(1).starts_with("bolt 2: it turned at 12.0 N·m when it was checked"), "{}", reason(1));
    assert!(answer["deciding"][1]["next"].as_str().unwrap().starts_with("look for missing locking"));

    let mend = ["record", "errand/rotor-front#3", "5 N·m", "--wrench", "small", "--action", "re-tightened"];
    assert_eq!(bench.at(EVENING, &mend).status, 0);
    let mend = ["record", "errand/crank-left#2", "13 N·m", "--wrench", "big", "--action", "re-locked"];
    assert_eq!(bench.at(EVENING, &mend).status, 0);
    let (status, answer) = ready(&bench, EVENING);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("fit")));
    assert!(deciding(&answer).is_empty());
    // What was so at noon is still told.
    let (status, _) = bench.json_at(EVENING, &["ready", "errand", "--at", "2026-06-01T14:00+02:00"]);
    assert_eq!(status, 1);
}

#[test]
fn a_missing_joint_that_decides_safety_keeps_it_unproven_and_another_is_a_condition() {
    let bench = taken_in();
    record_the_rest(&bench);
    bench.at(NOON, &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"]);
    let rotor = ["record", "errand/rotor-front", "5", "5", "5", "5", "5", "-", "N·m", "--wrench", "small"];
    assert_eq!(bench.at(NOON, &rotor).status, 3);
    let (status, answer) = ready(&bench, NOON);
    assert_eq!((status, answer["verdict"].as_str()), (3, Some("unproven")));
    assert_eq!(deciding(&answer), pairs(&[("rotor-front", "never checked")]));
    assert_eq!(answer["deciding"][0]["reason"], "nothing is recorded for bolt 6");
    bench.at(NOON, &["record", "errand/rotor-front#6", "5 N·m", "--wrench", "small"]);
    bench.at(NOON, &["record", "errand/rack-front#1", "--kind", "moved", "3 N·m"]);
    let (status, answer) = ready(&bench, NOON);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("fit with conditions")));
    assert_eq!(deciding(&answer), pairs(&[("rack-front", "moved")]));
}

#[test]
fn a_wrench_that_fails_its_calibration_puts_its_joints_in_doubt() {
    let bench = taken_in();
    record_the_rest(&bench);
    bench.at(NOON, &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"]);
    bench.at(
        NOON,
        &["record", "errand/rotor-front", "5", "5", "5", "5", "5", "5", "N·m", "--wrench", "small"],
    );
    assert_eq!(ready(&bench, NOON).1["verdict"], "fit");
    let later = "2026-08-01T12:00:00+02:00";
    let said = bench.at(later, &["wrench", "calibrated", "small", "--failed", "--on", "2026-08-01"]);
    assert!(
        said.err.contains("do these joints again with a sound wrench: errand/rack-front, errand/rotor-front"),
        "{}",
        said.err
    );
    let (status, answer) = ready(&bench, later);
    assert_eq!((status, answer["verdict"].as_str()), (3, Some("unproven")));
    assert_eq!(
        deciding(&answer),
        pairs(&[("rotor-front", "wrench in doubt"), ("rack-front", "wrench in doubt")])
    );
    assert!(
        answer["deciding"][0]["reason"].as_str().unwrap().contains("readings since 2026-05-01 are in doubt")
    );
}

#[test]
fn age_and_events_take_a_bicycle_back_to_unproven() {
    let bench = taken_in();
    record_the_rest(&bench);
    bench.at(NOON, &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"]);
    bench.at(
        NOON,
        &["record", "errand/rotor-front", "5", "5", "5", "5", "5", "5", "N·m", "--wrench", "small"],
    );
    // A year and a day; the wrenches' calibration was good when they were used.
    let (status, answer) = ready(&bench, "2027-06-02T12:00:00+02:00");
    assert_eq!(status, 3);
    assert!(deciding(&answer).iter().all(|(_, verdict)| verdict == "due"), "{answer}");
    bench.at(EVENING, &["event", "errand", "crash", "--note", "slid on leaves"]);
    let (status, answer) = ready(&bench, EVENING);
    assert_eq!((status, deciding(&answer).len()), (3, 5));
    assert!(answer["deciding"][0]["reason"].as_str().unwrap().contains("crash on"), "{answer}");
}

#[test]
fn a_fleet_is_listed_worst_first_and_the_worst_sets_the_status() {
    let bench = taken_in();
    bench.at(MORNING, &["bike", "add", "aaa", "--kind", "road"]);
    let (status, fleet) = bench.json_at(MORNING, &["ready", "--all"]);
    assert_eq!((status, fleet["bikes"].as_array().unwrap().len()), (3, 2));
    bench.at(NOON, &["record", "errand/bar-clamp", "30 N·m", "--wrench", "big", "--yes"]);
    bench.at(NOON, &["record", "errand/wheel-front", "--finding", "cracked"]);
    let (status, fleet) = bench.json_at(NOON, &["ready", "--all"]);
    assert_eq!((status, fleet["bikes"][0]["bike"].as_str()), (1, Some("errand")));
    assert_eq!(fleet["bikes"][0]["deciding"][0]["verdict"], "fault");
    assert_eq!(Bench::new().run(&["ready", "--all"]).status, 0);
}

#[test]
fn the_text_says_verdict_reason_next_and_caution() {
    let bench = taken_in();
    let said = bench.at(MORNING, &["ready", "errand"]);
    for part in [
        "errand: unproven (do not ride yet",
        "Decides safety",
        "next: ",
        "Does not decide safety",
        "no certificate",
    ] {
        assert!(said.out.contains(part), "{part}: {}", said.out);
    }
    let said = bench.at(MORNING, &["ready", "errand", "--format", "csv"]);
    assert_eq!(said.out.lines().count(), 6);
}
