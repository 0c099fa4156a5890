//! From an empty database to a bicycle that is fit: unproven, unfit, fit, each with its reasons.

use serde_json::Value;

use crate::bench::Bench;

const MORNING: &str = "2026-06-01T08:00:00+02:00";
const NOON: &str = "2026-06-01T12:00:00+02:00";
const EVENING: &str = "2026-06-01T18:00:00+02:00";

/// A city bicycle of few joints, so that the story can be read.
fn taken_in() -> Bench {
    let bench = Bench::new();
    let rows = [
        "1,wheel-front,front wheel,function,,1,,yes",
        "2,bar-clamp,stem and headset,torque,stem-bar-clamp-unstated,1,,yes",
        "3,rack-front,rear triangle,torque,rack-boss-bolt-m5,2,,no",
        "4,rotor-front,front wheel,torque,rotor-bolt-six,6,,yes",
        "5,crank-left,bottom bracket,torque,crank-pinch-bolts,2,,yes",
    ];
    let rows = rows.map(|row| format!("city,{row},common-practice,common-practice\n")).concat();
    let header = "kind,position,joint,place,checked_by,entry,bolts,hand,critical,source,grade\n";
    std::fs::write(bench.exported_book().join("templates.csv"), header.to_owned() + &rows).unwrap();
    bench.done(MORNING, &["book", "load", "book"]);
    bench.done(MORNING, &["bike", "add", "errand", "--kind", "city"]);
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
    bench.done(later, &["record", "errand/wheel-front", "--finding", "fine"]);
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
    bench.at(MORNING, &["bike", "add", "aaa", "--kind", "city"]);
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
    let said = bench.at(MORNING, &["ready", "errand", "--all"]);
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

/// A torque without a wrench is believed as far as an assumed accuracy goes, and the verdict says so, be it of one joint
/// that was checked again.
#[test]
fn what_was_read_without_a_known_wrench_is_named() {
    let bench = taken_in();
    let marking = ["bike", "joint", "edit", "errand", "bar-clamp", "--marking", "10-20 N·m"];
    bench.done(MORNING, &marking);
    for kind in ["tightened", "held"] {
        let record = ["record", "errand/bar-clamp", "14 N·m", "--kind", kind];
        let now = if kind == "held" { NOON } else { MORNING };
        assert_eq!(bench.at(now, &record).status, 0, "{kind}");
        let (_, answer) = ready(&bench, now);
        assert_eq!(answer["wrench_not_known"], serde_json::json!(["bar-clamp"]), "{kind}");
        let said = bench.at(now, &["ready", "errand"]).out;
        assert!(said.contains("1 sound joint judged without a known wrench"), "{kind}: {said}");
    }
}

#[test]
fn what_was_checked_by_hand_grows_old_and_the_age_is_told() {
    let bench = Bench::new();
    bench.at(MORNING, &["bike", "add", "errand", "--kind", "city"]);
    let (_, bike) = bench.json_at(MORNING, &["bike", "show", "errand"]);
    for joint in bike["joints"].as_array().unwrap() {
        let name = joint["joint"].as_str().unwrap();
        if !["braking-front", "brake-arms-front"].contains(&name) {
            bench.at(MORNING, &["bike", "joint", "remove", "errand", name, "--why", "of no use here"]);
        }
    }
    bench.done(MORNING, &["bike", "joint", "edit", "errand", "brake-arms-front", "--marking", "5-7 N·m"]);
    bench.at(NOON, &["record", "errand/brake-arms-front", "6", "6", "N·m"]);
    bench.at(NOON, &["record", "errand/braking-front", "--finding", "fine"]);
    // The days are a choice of the book's own: 30 by hand, 180 for what stops the bicycle.
    let at = |now: &str| ready(&bench, now).1;
    let young = at("2026-06-20T12:00:00+02:00");
    assert_eq!(
        (young["verdict"].as_str(), young["oldest_evidence"]["days"].as_u64()),
        (Some("fit with conditions"), Some(19))
    );
    assert_eq!(young["wrench_not_known"][0], "brake-arms-front");
    let said = bench.at("2026-06-20T12:00:00+02:00", &["ready", "errand"]).out;
    assert!(said.contains("Oldest evidence: 19 days old"), "{said}");
    assert!(said.contains("1 sound joint judged without a known wrench"), "{said}");
    let csv = bench.at("2026-06-20T12:00:00+02:00", &["ready", "errand", "--format", "csv"]).out;
    assert!(csv.contains("oldest_evidence_days") && csv.contains(",19,"), "{csv}");
    let (_, fleet) = bench.json_at("2026-06-20T12:00:00+02:00", &["ready", "--all"]);
    assert_eq!(fleet["bikes"][0]["oldest_evidence"]["days"].as_u64(), Some(19));
    let month = at("2026-07-03T12:00:00+02:00");
    assert_eq!(month["verdict"], "unproven");
    assert_eq!(deciding(&month), pairs(&[("braking-front", "due")]));
    // 357 days on, brakes pulled anew, the torque of the arms is too old.
    let year = "2027-05-24T12:00:00+02:00";
    bench.at(year, &["record", "errand/braking-front", "--finding", "fine"]);
    let answer = at(year);
    assert_eq!(deciding(&answer), pairs(&[("brake-arms-front", "due")]));
    assert_eq!(answer["verdict"], "unproven");
    let oldest = &answer["oldest_evidence"];
    assert_eq!((&oldest["joint"], &oldest["days"]), (&"brake-arms-front".into(), &357.into()), "{oldest}");
}

#[test]
fn after_a_crash_nothing_is_fit_before_every_part_was_examined() {
    let bench = taken_in();
    record_the_rest(&bench);
    bench.at(NOON, &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"]);
    let rotor = ["record", "errand/rotor-front", "5", "5", "5", "5", "5", "5", "N·m", "--wrench", "small"];
    bench.at(NOON, &rotor);
    assert_eq!(ready(&bench, "2026-06-01T12:30:00+02:00").1["verdict"], "fit");
    bench.done("2026-06-01T13:00:00+02:00", &["event", "errand", "crash"]);
    // All torques again, and the one hand check that there is.
    let again = "2026-06-01T14:00:00+02:00";
    for record in [
        &["record", "errand/wheel-front", "--finding", "fine"][..],
        &["record", "errand/bar-clamp", "18.5 N·m", "--wrench", "big"],
        &["record", "errand/rack-front", "4", "4", "N·m", "--wrench", "small"],
        &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"],
        &rotor,
    ] {
        bench.done(again, record);
    }
    let (status, answer) = ready(&bench, again);
    assert_eq!((status, answer["verdict"].as_str()), (3, Some("unproven")));
    assert!(deciding(&answer).is_empty(), "no joint is open: {answer}");
    let open = |answer: &Value| -> Vec<String> {
        let parts = answer["unexamined_after_crash"].as_array().unwrap();
        parts.iter().map(|part| part.as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(open(&answer), ["frame", "fork", "cockpit", "seat-post", "wheel-rear", "pedals"]);
    let said = bench.at(again, &["ready", "errand"]).out;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("not examined since the crash of 2026-06-01"), "{said}");
    assert!(said.contains("bike joint add errand PART"), "{said}");
    for part in open(&answer) {
        bench.done(again, &["bike", "joint", "add", "errand", &part, "--check", "function"]);
        assert_eq!(ready(&bench, again).1["verdict"], "unproven", "{part}");
        bench.done(again, &["record", &format!("errand/{part}"), "--finding", "fine"]);
    }
    let (status, answer) = ready(&bench, again);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("fit")), "{answer}");
    // Before the crash there was nothing to examine, and a later one asks for all of it anew.
    let before = bench.json_at(again, &["ready", "errand", "--at", "2026-06-01T12:30:00+02:00"]).1;
    assert!(open(&before).is_empty(), "{before}");
    bench.done(EVENING, &["event", "errand", "crash"]);
    assert_eq!(open(&ready(&bench, EVENING).1).len(), 7);
}

/// A check that is not there is asked of nobody, so its lack is no pass.
#[test]
fn a_hand_check_that_the_bicycle_lacks_leaves_it_unproven() {
    let bench = taken_in();
    record_the_rest(&bench);
    bench.at(NOON, &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"]);
    bench.at(
        NOON,
        &["record", "errand/rotor-front", "5", "5", "5", "5", "5", "5", "N·m", "--wrench", "small"],
    );
    let lacking = |answer: &Value| answer["lacking"].as_array().unwrap().clone();
    let (_, answer) = ready(&bench, NOON);
    assert_eq!((lacking(&answer), answer["verdict"].as_str()), (vec![], Some("fit")));
    // What is called otherwise is still the check that is asked for.
    bench.done(NOON, &["bike", "joint", "edit", "errand/wheel-front", "--name", "front"]);
    let (_, answer) = ready(&bench, NOON);
    assert_eq!((lacking(&answer), answer["verdict"].as_str()), (vec![], Some("fit")));
    // A torque is no look at the wheel, whatever the joint is called.
    let change =
        ["--name", "wheel-front", "--check", "torque", "--entry", "rotor-bolt-six", "--critical", "no"];
    let edit = [&["bike", "joint", "edit", "errand/front"][..], &change, &["--why", "a mistake"]].concat();
    bench.done(NOON, &edit);
    let (status, answer) = ready(&bench, NOON);
    assert_eq!((status, answer["verdict"].as_str()), (3, Some("unproven")), "{answer}");
    assert_eq!(lacking(&answer), ["wheel-front"]);
    let all = bench.json_at(NOON, &["ready", "--all"]).1;
    assert_eq!(all["bikes"][0]["lacking"], answer["lacking"], "{all}");
    let said = bench.at(NOON, &["ready", "errand"]).out;
    assert!(said.contains("bike joint add errand --missing"), "{said}");
    let added = bench.at(NOON, &["bike", "joint", "add", "errand", "--missing"]).out;
    assert!(added.starts_with("errand/wheel-front-by-hand: by hand (no play, runs true"), "{added}");
    assert_eq!(added.matches("never checked").count(), 1, "{added}");
    bench.done(NOON, &["record", "errand/wheel-front-by-hand", "--finding", "fine"]);
    let (_, answer) = ready(&bench, NOON);
    assert_eq!((lacking(&answer), answer["verdict"].as_str()), (vec![], Some("fit with conditions")));
    // A torque joint that was taken off stands for no hand check either.
    bench.done(NOON, &["bike", "joint", "edit", "errand/wheel-front", "--critical", "yes"]);
    bench.done(NOON, &["bike", "joint", "remove", "errand", "wheel-front", "--why", "a mistake"]);
    bench.done(
        NOON,
        &["bike", "joint", "edit", "errand/wheel-front-by-hand", "--check", "measure", "--entry", "chain"],
    );
    assert_eq!(lacking(&ready(&bench, NOON).1), ["wheel-front"]);
    bench.done(NOON, &["bike", "joint", "add", "errand", "--missing"]);
    assert_eq!(lacking(&ready(&bench, NOON).1), Vec::<Value>::new());
    let nothing = bench.at(NOON, &["bike", "joint", "add", "errand", "--missing"]);
    assert!(nothing.status == 2 && nothing.err.contains("has every hand check"), "{}", nothing.err);
    for wrong in
        [&["bike", "joint", "add", "errand"][..], &["bike", "joint", "add", "errand", "x", "--missing"]]
    {
        assert_eq!(bench.at(NOON, wrong).status, 2, "{wrong:?}");
    }
}

/// Whatever the reason was, nobody looks there any more: the verdict says so in its first line.
#[test]
fn a_hand_check_that_was_taken_off_or_decides_no_more_is_a_condition() {
    let bench = taken_in();
    record_the_rest(&bench);
    bench.at(NOON, &["record", "errand/crank-left", "13", "13", "N·m", "--wrench", "big"]);
    bench.at(
        NOON,
        &["record", "errand/rotor-front", "5", "5", "5", "5", "5", "5", "N·m", "--wrench", "small"],
    );
    bench.done(
        NOON,
        &["bike", "joint", "edit", "errand", "wheel-front", "--critical", "no", "--why", "no time"],
    );
    bench.done(
        NOON,
        &["bike", "joint", "edit", "errand", "rotor-front", "--bolts", "5", "--why", "one is lost"],
    );
    let told = |answer: &Value| -> Vec<(String, String)> {
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        let less = answer["taken_off"].as_array().unwrap().iter();
        less.map(|less| (text(&less["joint"]), text(&less["how"]))).collect()
    };
    let (status, answer) = ready(&bench, NOON);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("fit with conditions")), "{answer}");
    let expected = [("wheel-front", "decides safety no more"), ("rotor-front", "has 5 bolts instead of 6")];
    assert_eq!(told(&answer), expected.map(|(joint, how)| (joint.to_owned(), how.to_owned())));
    bench.done(NOON, &["bike", "joint", "remove", "errand", "wheel-front", "--why", "of no use"]);
    let (_, answer) = ready(&bench, NOON);
    assert_eq!(answer["verdict"], "fit with conditions");
    assert_eq!(answer["waived"][0], "wheel-front");
    assert_eq!(told(&answer)[1], ("wheel-front".to_owned(), "was taken off".to_owned()), "{answer}");
    let first = bench.at(NOON, &["ready", "errand"]).out;
    assert!(
        first.starts_with("errand: fit with conditions (nobody looks there any more: wheel-front)"),
        "{first}"
    );
    let all = bench.at(NOON, &["ready", "--all", "--format", "csv"]).out;
    assert!(all.contains("fit with conditions") && all.contains("nobody looks there any more"), "{all}");
}

/// A coaster brake needs no brake in front: the bicycle may be fit, and `ready` names who said so and why.
#[test]
fn what_a_bicycle_has_not_is_named_and_no_condition() {
    let bench = Bench::new();
    let checks = ["wheel-front", "braking-front", "braking-rear"];
    let row = |(position, name): (usize, &str)| {
        format!("city,{position},{name},fork,function,,1,,yes,common-practice,common-practice\n")
    };
    let rows: String = (1..).zip(checks).map(row).collect();
    let header = "kind,position,joint,place,checked_by,entry,bolts,hand,critical,source,grade\n";
    let rows = rows + "city,4,rotor-front,fork,torque,rotor-bolt-six,6,,no,common-practice,common-practice\n";
    std::fs::write(bench.exported_book().join("templates.csv"), header.to_owned() + &rows).unwrap();
    bench.done(MORNING, &["book", "load", "book"]);
    bench.done(MORNING, &["bike", "add", "errand", "--kind", "city"]);
    for check in checks {
        bench.done(MORNING, &["record", &format!("errand/{check}"), "--finding", "fine"]);
    }
    let off = |check: &str, words: &[&str]| {
        bench.at(NOON, &[&["bike", "joint", "remove", "errand", check, "--not-fitted"][..], words].concat())
    };
    let unsaid = off("braking-front", &[]);
    assert!(unsaid.status == 2 && unsaid.err.contains("--why"), "{}", unsaid.err);
    // Whatever it decides; and of what decides nothing it is not said that it does.
    bench.at(MORNING, &["bike", "joint", "add", "errand", "bell", "--check", "function", "--critical", "no"]);
    let unsaid = off("bell", &[]);
    assert!(unsaid.status == 2 && unsaid.err.contains("bell is said not to be fitted: "), "{}", unsaid.err);
    bench.done(NOON, &["bike", "joint", "remove", "errand", "bell"]);
    for (check, said) in [("wheel-front", "no bicycle is without"), ("rotor-front", "is no hand check")] {
        let refused = off(check, &["--why", "x"]);
        assert!(refused.status == 2 && refused.err.contains(said), "{}", refused.err);
    }
    off("braking-front", &["--why", "coaster brake", "--who", "Kim"]);
    bench.done(NOON, &["bike", "joint", "remove", "errand", "rotor-front"]);
    let (status, answer) = ready(&bench, NOON);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("fit")), "{answer}");
    let taken = &answer["taken_off"][0];
    assert_eq!((&taken["how"], &taken["who"]), (&"is not fitted".into(), &"Kim".into()));
    let text = bench.at(NOON, &["ready", "errand"]).out;
    assert!(text.contains("braking-front is not fitted: Kim") && text.contains("coaster brake"), "{text}");
    // It is kept with the workshop.
    let (folder, other) = (bench.path("out"), Bench::new());
    bench.done(NOON, &["export", folder.to_str().unwrap()]);
    other.done(NOON, &["import", folder.to_str().unwrap()]);
    assert_eq!(ready(&other, NOON).1["taken_off"], answer["taken_off"]);
    // Without any brake it is under a condition.
    off("braking-rear", &["--why", "fixed wheel"]);
    let (_, answer) = ready(&bench, NOON);
    assert_eq!(answer["verdict"], "fit with conditions");
    assert_eq!(answer["waived"], serde_json::json!(["braking-front", "braking-rear"]));
}

/// The way to turn stands where the hand is told to tighten, and the hardware that a figure is of.
#[test]
fn ready_says_which_way_to_turn_and_of_which_hardware_a_figure_is() {
    let bench = Bench::new();
    bench.at(MORNING, &["bike", "add", "pine", "--kind", "trail"]);
    let (_, ready) = bench.json_at(MORNING, &["ready", "pine"]);
    let next = |joint: &str| {
        let deciding = ready["deciding"].as_array().unwrap();
        deciding.iter().find(|open| open["joint"] == joint).unwrap()["next"].as_str().unwrap().to_owned()
    };
    assert!(next("pedal-left").contains("LEFT-HAND thread"), "{}", next("pedal-left"));
    assert!(!next("pedal-right").contains("LEFT-HAND"), "{}", next("pedal-right"));
    assert!(next("crank-left").contains("(band of crank-pinch-bolts"), "{}", next("crank-left"));
    let rotor = next("rotor-front");
    assert!(rotor.starts_with("read the part first") && rotor.contains("others print less"), "{rotor}");
}
