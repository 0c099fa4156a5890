//! `visit`: by piped lines, left and resumed.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";
const LATER: &str = "2026-06-01T11:00:00+02:00";

fn shop() -> Bench {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "road-1", "--kind", "road-rim"]);
    for joint in ["tyre-front", "brake-cable-front", "braking-front", "fork"] {
        bench.done(NOW, &["bike", "joint", "remove", "road-1", joint, "--why", "of no use here"]);
    }
    for (joint, figure) in
        [("brake-front", "8-10 N·m"), ("brake-shoes-front", "5-7 N·m"), ("stem-steerer", "5-7 N·m")]
    {
        bench.at(NOW, &["bike", "joint", "edit", "road-1", joint, "--marking", figure]);
    }
    let add = ["wrench", "add", "mid", "--type", "click", "--scale", "2-20 N·m", "--step", "0.1"];
    assert_eq!(bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat()).status, 0);
    bench
}

fn readings(bench: &Bench, joint: &str) -> usize {
    bench.json_at(LATER, &["history", joint]).1["readings"].as_array().unwrap().len()
}

#[test]
fn one_number_and_enter_moves_on_in_the_order_of_the_walk() {
    let bench = shop();
    let lines = "fine\nfine\n9\n6\n6.1\nfine\n5.9 6.0\nq\n";
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "mid", "--who", "Kim"], lines);
    assert_eq!(said.status, 3, "{}", said.err);
    let places = ["FRONT WHEEL", "FORK", "STEM AND HEADSET"].map(|place| said.err.find(place));
    assert!(places.is_sorted() && places[0].is_some(), "{}", said.err);
    let line = said.err.lines().find(|line| line.contains("brake-front:")).unwrap();
    assert!(line.contains("brake-front: 8–10 N·m (marking on the part); "), "{line}");
    assert!(line.contains("; set 9.0 N·m"), "{line}");
    assert!(said.err.contains("recorded: bolt 2 tightened 6.1 N·m"), "{}", said.err);
    for (joint, count) in [
        ("quick-release-front", 1),
        ("brake-front", 1),
        ("brake-shoes-front", 2),
        ("stem-steerer", 2),
        ("bar-clamp", 0),
    ] {
        assert_eq!(readings(&bench, &format!("road-1/{joint}")), count, "{joint}");
    }
    assert!(said.out.starts_with("road-1: unproven"), "the verdict alone is the result: {}", said.out);
}

#[test]
fn a_visit_that_was_left_goes_on_where_it_was() {
    let bench = shop();
    bench.piped(NOW, &["visit", "road-1"], "fine\nfine\n9\n6\n");
    let said = bench.piped(LATER, &["visit", "road-1"], "6\nq\n");
    assert!(said.err.contains("going on with the visit of 2026-06-01 10:00"), "{}", said.err);
    assert!(!said.err.contains("brake-front:") && said.err.contains("bolt 2: "), "{}", said.err);
    assert_eq!(readings(&bench, "road-1/brake-shoes-front"), 2);
    let said = bench.piped(LATER, &["visit", "road-1", "--anew"], "q\n");
    assert!(said.err.contains("quick-release-front"), "{}", said.err);
}

#[test]
fn enter_leaves_a_joint_out_and_the_end_ends_the_visit() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "road-1"], &"\n".repeat(60));
    assert!(said.status == 3 && !said.err.contains("goes on from here"), "{}", said.err);
    let said = bench.piped(LATER, &["visit", "road-1"], "q\n");
    assert!(!said.err.contains("going on"), "{}", said.err);
}

#[test]
fn words_findings_and_slips() {
    let bench = shop();
    let lines = "play\nhelp\nfine\nmoved 7\n90\n44\n44\nheld 5\nsix\nq\n";
    let said = bench.piped(NOW, &["visit", "road-1"], lines);
    assert!(said.err.contains("found play") && said.err.contains("moved 7 N·m"), "{}", said.err);
    assert!(said.err.contains("enter it once more to keep it"), "{}", said.err);
    assert!(said.err.contains("six") && said.err.contains("give one number with its unit"), "{}", said.err);
    let (_, history) = bench.json_at(LATER, &["history", "road-1/brake-shoes-front"]);
    assert_eq!(history["readings"].as_array().unwrap().len(), 2, "{history}");
}

/// The visit doubts no wrench whose readings stand.
#[test]
fn only_a_wrench_whose_calibration_is_over_is_doubted_from_the_start() {
    let bench = shop();
    let add = ["wrench", "add", "unknown", "--type", "click", "--scale", "2-20 N·m", "--step", "0.1"];
    bench.at(NOW, &add);
    let doubted = |now, wrench| {
        let said = bench.piped(now, &["visit", "road-1", "--wrench", wrench], "q\n");
        said.err.contains("note: the wrench")
    };
    assert!(!doubted(NOW, "unknown") && !doubted(NOW, "mid"));
    assert!(doubted("2027-07-01T10:00:00+02:00", "mid"));
}

#[test]
fn a_clock_that_is_behind_the_log_begins_no_visit() {
    let bench = shop();
    bench.at(LATER, &["record", "road-1/headset", "--finding", "fine"]);
    let said = bench.piped(NOW, &["visit", "road-1"], "fine\n");
    assert!(said.status == 2 && said.err.contains("the clock says"), "{}", said.err);
    assert_eq!(readings(&bench, "road-1/quick-release-front"), 0);
}

/// Only the same line once more says that it was read like that: another slip is asked about anew.
#[test]
fn a_second_implausible_value_is_not_taken_for_the_first() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "road-1"], "fine\nfine\n36\n37\nq\n");
    assert_eq!(said.err.matches("enter it once more to keep it").count(), 2, "{}", said.err);
    assert_eq!(readings(&bench, "road-1/brake-front"), 0);
}

#[test]
fn one_unit_at_the_end_is_for_all_values_and_a_wrench_without_a_step_is_set_in_tenths() {
    let bench = shop();
    let add =
        ["wrench", "add", "plain", "--type", "dial", "--scale", "2-20 N·m", "--calibrated", "2026-05-01"];
    assert_eq!(bench.at(NOW, &add).status, 0);
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "plain"], "fine\nfine\n9\n50 53 in-lb\nq\n");
    // The best setting is 8.96 N·m; a setting is never rounded up.
    assert!(said.err.contains("set 8.9 N·m"), "{}", said.err);
    for line in ["recorded: bolt 1 tightened 50 lbf·in", "recorded: bolt 2 tightened 53 lbf·in"] {
        assert!(said.err.contains(line), "{line}: {}", said.err);
    }
}

fn joint(bench: &Bench, name: &str) -> serde_json::Value {
    let (_, shown) = bench.json_at(LATER, &["bike", "show", "road-1"]);
    shown["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == name).unwrap().clone()
}

/// The marking is read where the wrench is: it is noted at once, and what counts is told anew before the torque.
#[test]
fn a_joint_without_a_marking_is_asked_for_one() {
    let bench = shop();
    bench.done(NOW, &["bike", "joint", "edit", "road-1", "stem-steerer", "--marking", ""]);
    let lines = "\n\n\n\n\nm\nm 5\nm stem: 5-7 N·m\nmax 6,5 Nm\nsteerer: max 6,5 Nm\n5.8 5.9\nm 60 N·m\nq\n";
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "mid"], lines);
    let at = |text: &str| said.err.find(text).unwrap_or_else(|| panic!("{text}\n{}", said.err));
    let told = [
        "stem-steerer: no figure",
        "what stands on the part? m and the figure keeps it",
        "bolt 1 (m: marking): ",
        "write the figure behind the m",
        "the figure `5` has no unit",
        "stem-steerer: 5–7 N·m (marking on the stem); set ",
        "marked already: marking on the stem",
        "stem-steerer: 5.0–6.5 N·m (marking on the steerer: the lower ceiling of the two parts governs",
        "recorded: bolt 2 tightened 5.9 N·m",
        "would tear any bolt",
    ];
    let places = told.map(at);
    assert!(places.is_sorted(), "{places:?}\n{}", said.err);
    // Once it is there, nobody asks.
    assert_eq!(said.err.matches("bolt 1 (m: marking): ").count(), 5, "{}", said.err);
    let kept = joint(&bench, "stem-steerer");
    assert_eq!(
        (&kept["specified"], &kept["limits"]["low_nm"]),
        (&"5.0–6.5 N·m".into(), &5.0.into()),
        "{kept}"
    );
    assert_eq!(readings(&bench, "road-1/stem-steerer"), 2);
}

/// The verdict on a joint and what to do now come before the next question, when its last bolt was answered.
#[test]
fn the_verdict_follows_the_last_bolt_of_a_joint_at_once() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "mid"], "fine\nfine\n12\n6\n6\nq\n").err;
    let place = |text: &str| said.find(text).unwrap_or_else(|| panic!("no {text} in {said}"));
    let high = place("    high: 12 N·m against 8–10 N·m");
    let next = place("    next: slacken it");
    assert!(place("recorded: bolt 1 tightened 12 N·m") < high && high < next, "{said}");
    assert!(next < place("brake-shoes-front:"), "{said}");
    let bolts: Vec<&str> = said[place("brake-shoes-front:")..].lines().take(8).collect();
    let first = bolts.iter().position(|line| line.contains("recorded: bolt 1")).unwrap();
    let last = bolts.iter().position(|line| line.contains("recorded: bolt 2")).unwrap();
    let verdict = bolts.iter().position(|line| line.contains("sound:")).unwrap();
    assert!(first < last && last < verdict, "{bolts:?}");
}
