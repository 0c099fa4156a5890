//! `show`.

use crate::bench::Bench;

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
    for (entry, word) in [("rotor-bolt-six", "DISPUTED"), ("headset-top-cap", "NONE")] {
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
    let said = bench.run(&["show", "crank-pinch"]);
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
