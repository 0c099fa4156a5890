//! `show`.

use crate::bench::{Bench, flat};

#[test]
fn an_agreed_entry_shows_its_band_its_state_and_who_says_so() {
    let bench = Bench::new();
    let said = bench.run(&["show", "crank-pinch-bolts"]);
    assert_eq!(said.status, 0);
    for word in
        ["N·m", "lbf·in", "AGREED", "Caution", "Prepare", "published", "marking", "evidence", "document"]
    {
        assert!(said.out.contains(word), "{word} is missing in\n{}", said.out);
    }
}

#[test]
fn an_entry_without_an_agreed_figure_shows_no_number_as_the_answer() {
    let bench = Bench::new();
    for (entry, word) in [
        ("chainring-bolt-steel", "DISPUTED"),
        ("shifter-clamp", "UNCONFIRMED"),
        ("quick-release-lever", "NONE"),
    ] {
        let said = bench.run(&["show", entry]);
        let boxed = said.out.lines().find(|line| line.contains('┃')).unwrap();
        let inside = boxed.split('┃').nth(1).unwrap();
        assert!(!inside.contains(|c: char| c.is_ascii_digit()), "{entry}: {inside}");
        assert!(said.out.contains(word), "{entry}");
        let (_, report) = bench.json(&["show", entry]);
        assert!(report["band"].is_null() && report["core"].is_null());
    }
}

#[test]
fn the_unit_asked_for_is_the_unit_shown() {
    let bench = Bench::new();
    let said = bench.run(&["show", "crank-pinch-bolts", "--unit", "in-lb", "--brief"]);
    let boxed = said.out.lines().find(|line| line.contains('┃')).unwrap();
    assert!(boxed.split('┃').nth(1).unwrap().contains("lbf·in"), "{boxed}");
}

#[test]
fn an_unknown_entry_names_the_nearest() {
    let bench = Bench::new();
    let said = bench.run(&["show", "pinch-crank"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("crank-pinch-bolts"), "{}", said.err);
}

#[test]
fn keys_are_those_of_the_contract() {
    let bench = Bench::new();
    let (_, report) = bench.json(&["show", "crank-pinch-bolts"]);
    for key in [
        "entry",
        "name",
        "state",
        "band",
        "core",
        "stretches",
        "evidence",
        "thread",
        "bolts",
        "layout",
        "critical",
        "prepare",
        "cautions",
    ] {
        assert!(!report[key].is_null(), "{key}");
    }
    let evidence = &report["evidence"][0];
    for key in [
        "low_nm",
        "high_nm",
        "printed_value",
        "printed_unit",
        "source",
        "locator",
        "grade",
        "counted",
        "reason",
    ] {
        assert!(!evidence[key].is_null(), "{key}");
    }
    assert_eq!(report["bolts"], 2);
}

/// Nine bicycles have the part; what is marked on most comes first.
#[test]
fn what_the_bicycles_here_carry_is_told() {
    const NOW: &str = "2026-06-01T10:00:00+02:00";
    let bench = Bench::new();
    let here = |bench: &Bench| bench.json(&["show", "crank-pinch-bolts"]).1["here"].clone();
    assert_eq!((here(&bench)["bikes"].as_u64(), here(&bench)["text"].is_null()), (Some(0), true));
    assert!(!bench.run(&["show", "crank-pinch-bolts"]).out.contains("Here"));
    for number in 1..=10 {
        let bike = format!("loan-{number}");
        bench.done(NOW, &["bike", "add", &bike, "--kind", "city"]);
        let add = ["bike", "joint", "add", &bike, "arm", "--entry", "crank-pinch-bolts", "--bolts", "2"];
        let marking: &[&str] = match number {
            1..=5 => &["--marking", "12 N·m"],
            6 => &["--marking", "1200 N·cm"],
            7 | 8 | 10 => &["--marking", "max 10 N·m"],
            _ => &[],
        };
        bench.done(NOW, &[&add[..], marking].concat());
    }
    bench.done(NOW, &["bike", "retire", "loan-10"]);
    let said = bench.run(&["show", "crank-pinch-bolts", "--brief"]).out;
    let line = "on 6 of 9 bicycles here 12 N·m is marked, on 2 max 10 N·m; of 1 nothing is written";
    assert!(flat(&said).contains(line), "{said}");
    let here = here(&bench);
    assert_eq!(here["bikes"], 9);
    assert_eq!(here["marked"][0]["figure"], "12 N·m");
    assert_eq!(here["marked"][0]["value_nm"], 12.0);
    assert_eq!(here["marked"][1]["bikes"], serde_json::json!(["loan-7", "loan-8"]));
    assert_eq!(here["without"], serde_json::json!(["loan-9"]));
    let said = bench.run(&["show", "crank-pinch-bolts", "--unit", "lbf·in"]).out;
    assert!(said.contains("106 lbf·in is marked"), "{said}");
}

/// Spokes are set by tension, a valve nut by hand (common practice): no figure is made up or taken for them.
#[test]
fn a_part_that_no_torque_is_for_says_so() {
    let bench = Bench::new();
    for (word, entry, by) in [
        ("spokes", "spoke-nipple", "tension"),
        ("tubeless valve", "tubeless-valve", "by hand"),
        ("sealant", "tubeless-sealant", "volume"),
        ("handlebar tape", "bar-tape", "by hand"),
        ("press fit", "press-fit-bottom-bracket", "press"),
        ("freewheel", "freewheel", "pedalling"),
        ("limit screw", "derailleur-adjusting-screw", "until the gears work"),
        ("seatpost quick release", "seat-collar-lever", "closed by hand"),
    ] {
        let (_, found) = bench.json(&["find", word]);
        assert_eq!(found[0]["entry"], entry, "{word}");
        let said = bench.run(&["show", entry]).out;
        assert!(said.contains("┃  no torque  ┃") && flat(&said).contains(by), "{entry}: {said}");
        assert_eq!(bench.json(&["show", entry]).1["reason"], "no torque is for this part");
        for of_a_bolt in
            ["1 bolt", "\nOrder", "which way it turns", "The figure on the part", "source  document"]
        {
            assert!(!said.contains(of_a_bolt), "{entry}: {said}");
        }
        for words in
            [&["check", entry, "5 N·m"][..], &["order", entry], &["order", entry, "--torque", "5 N·m"]]
        {
            let said = bench.run(words);
            assert_eq!((said.status, said.out.as_str()), (2, ""), "{words:?}");
            assert!(said.err.contains("has no torque") && said.err.contains(by), "{words:?}: {}", said.err);
        }
    }
}
