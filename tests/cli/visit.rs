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
    assert!(line.contains("brake-front: 8–10 N·m (marking on the part); tighten"), "{line}");
    assert!(line.contains("; tighten: mid at 9.0 N·m"), "{line}");
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
    assert!(said.out.starts_with("road-1: UNPROVEN"), "the verdict alone is the result: {}", said.out);
}

#[test]
fn a_visit_that_was_left_goes_on_where_it_was() {
    let bench = shop();
    bench.piped(NOW, &["visit", "road-1"], "fine\nfine\n9\n6\n");
    let said = bench.piped(LATER, &["visit", "road-1"], "6\nq\n");
    assert!(said.err.contains("going on with the full round of 2026-06-01 10:00"), "{}", said.err);
    assert!(!said.err.contains("brake-front:") && said.err.contains("bolt 2> "), "{}", said.err);
    assert_eq!(readings(&bench, "road-1/brake-shoes-front"), 2);
    let said = bench.piped(LATER, &["visit", "road-1", "--anew"], "q\n");
    assert!(said.err.contains("quick-release-front"), "{}", said.err);
}

#[test]
fn what_is_left_out_is_asked_for_by_the_next_visit() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "road-1"], &"-\n".repeat(60));
    assert!(said.status == 3 && !said.err.contains("goes on from here"), "{}", said.err);
    assert!(said.out.contains("full round: 0 of "), "{}", said.out);
    let said = bench.piped(LATER, &["visit", "road-1"], "q\n");
    assert!(!said.err.contains("going on") && said.err.contains("quick-release-front:"), "{}", said.err);
}

#[test]
fn words_and_findings_are_kept_and_an_implausible_value_is_asked_for_twice() {
    let bench = shop();
    let lines = "play at the lever side\nhelp\nfine\nmoved 7\n9\n44\n44\n5\nq\n";
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "mid"], lines);
    assert!(said.err.contains("found play (at the lever side)"), "{}", said.err);
    assert!(said.err.contains("moved 7 N·m"), "{}", said.err);
    assert!(said.err.contains("enter it once more to keep it"), "{}", said.err);
    let (_, history) = bench.json_at(LATER, &["history", "road-1/quick-release-front", "--all"]);
    assert_eq!(history["readings"][0]["note"], "at the lever side", "{history}");
    // What moved is asked for at once.
    assert_eq!(readings(&bench, "road-1/brake-front"), 2, "{}", said.err);
    let (_, history) = bench.json_at(LATER, &["history", "road-1/brake-shoes-front"]);
    assert_eq!(history["readings"].as_array().unwrap().len(), 2, "{history}");
}

/// Behind an answer that nobody understood the others would belong to other questions.
#[test]
fn a_file_of_answers_stops_at_the_first_that_cannot_be_understood() {
    for (wrong, why) in [
        ("six", "`six` is no answer"),
        ("fine cracked", "either fine or cracked"),
        ("", "nothing was set; + is fine"),
        ("9", "is checked by hand"),
    ] {
        let bench = shop();
        let said = bench.piped(NOW, &["visit", "road-1"], &format!("fine\n{wrong}\nfine\n9\n"));
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{wrong}: {}", said.err);
        assert!(
            said.err.contains("line 2 of the answers") && said.err.contains(why),
            "{wrong}: {}",
            said.err
        );
        assert_eq!(readings(&bench, "road-1/quick-release-front"), 1, "{wrong}");
        assert_eq!(
            readings(&bench, "road-1/wheel-front") + readings(&bench, "road-1/brake-front"),
            0,
            "{wrong}"
        );
        let said = bench.piped(LATER, &["visit", "road-1"], "fine\n9\n");
        assert!(said.err.contains("going on with the full round"), "{wrong}: {}", said.err);
        assert_eq!(readings(&bench, "road-1/wheel-front"), 1, "{wrong}");
    }
}

/// A wrench is doubted where it is to be used, and not before its calibration is over.
#[test]
fn only_a_wrench_whose_calibration_is_over_is_doubted() {
    let bench = shop();
    let add = ["wrench", "add", "unknown", "--type", "click", "--scale", "2-20 N·m", "--step", "0.1"];
    bench.at(NOW, &add);
    let doubted = |now, wrench| {
        let said = bench.piped(now, &["visit", "road-1", "--wrench", wrench, "--anew"], "fine\nfine\nq\n");
        assert!(said.err.contains(&format!("{wrench} at 9.0 N·m")), "{}", said.err);
        said.err.contains(&format!("{wrench}: the calibration lapsed"))
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

/// Only the same line once more says that it was read like that; another one ends a file of answers.
#[test]
fn a_second_implausible_value_is_not_taken_for_the_first() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "road-1"], "fine\nfine\n36\n37\nq\n");
    assert_eq!(said.err.matches("enter it once more to keep it").count(), 1, "{}", said.err);
    assert!(said.status == 2 && said.err.contains("line 3 of the answers: `36`"), "{}", said.err);
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
    assert!(said.err.contains("plain at 8.9 N·m"), "{}", said.err);
    let line = "recorded: bolts 1-2 tightened 50 lbf·in, tightened 53 lbf·in";
    assert!(said.err.contains(line), "{line}: {}", said.err);
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
    let lines = "-\n-\n-\n-\n-\nm stem: 5-7 N·m\nsteerer: max 6,5 Nm\n5.8 5.9\nm 5\n";
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "mid"], lines);
    let at = |text: &str| said.err.find(text).unwrap_or_else(|| panic!("{text}\n{}", said.err));
    let told = [
        "stem-steerer: no figure",
        "what stands on the part? m and the figure keeps it",
        "bolt 1 (m: marking)> ",
        "stem-steerer: 5–7 N·m (marking on the stem); tighten 1-2: mid at 6.0 N·m",
        "stem-steerer: 5.0–6.5 N·m",
        "marking on the steerer: the lower ceiling of the two parts governs",
        "recorded: bolts 1-2 tightened 5.8 N·m, tightened 5.9 N·m",
        "the figure `5` has no unit",
    ];
    let places = told.map(at);
    assert!(places.is_sorted(), "{places:?}\n{}", said.err);
    // Once it is there, nobody asks; the bar has none.
    assert_eq!(said.err.matches("bolt 1 (m: marking)> ").count(), 2, "{}", said.err);
    let kept = joint(&bench, "stem-steerer");
    assert_eq!(
        (&kept["specified"], &kept["limits"]["low_nm"]),
        (&"5.0–6.5 N·m".into(), &5.0.into()),
        "{kept}"
    );
    assert_eq!(readings(&bench, "road-1/stem-steerer"), 2);
}

/// A marking is held to the rules of every change of a joint.
#[test]
fn a_marking_that_cannot_be_is_refused() {
    for (typed, why) in [
        ("m", "write the figure behind the m"),
        ("m stem: 5 N·m\nm steerer: 6 N·m\nm spacer: 6 N·m", "marked already: "),
        ("-\nm 60 N·m", "would tear any bolt"),
    ] {
        let bench = shop();
        bench.done(NOW, &["bike", "joint", "edit", "road-1", "stem-steerer", "--marking", ""]);
        let said = bench.piped(NOW, &["visit", "road-1"], &format!("-\n-\n-\n-\n-\n{typed}\n"));
        assert!(said.status == 2 && said.err.contains(why), "{typed}: {}", said.err);
    }
}

/// The verdict on a joint and what to do now come before the next question.
#[test]
fn the_verdict_follows_each_answer_at_once() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "road-1", "--wrench", "mid"], "fine\nfine\n12\n6\n6\nq\n").err;
    let place = |text: &str| said.find(text).unwrap_or_else(|| panic!("no {text} in {said}"));
    let high = place("      high: 12 N·m against 8–10 N·m");
    let next = place("      next: slacken it");
    assert!(place("recorded: tightened 12 N·m") < high && high < next, "{said}");
    assert!(next < place("brake-shoes-front:"), "{said}");
    let bolts: Vec<&str> = said[place("brake-shoes-front:")..].lines().take(12).collect();
    let first = bolts.iter().position(|line| line.contains("recorded: bolt 1")).unwrap();
    let last = bolts.iter().position(|line| line.contains("recorded: bolt 2")).unwrap();
    let verdict = bolts.iter().position(|line| line.contains("sound:")).unwrap();
    assert!(first < last && last < verdict, "{bolts:?}");
}
