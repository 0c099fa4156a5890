//! `order`.

use std::collections::BTreeSet;

use crate::bench::Bench;

/// The published and generated lists of `tests/published/sequences.csv` come out of the command.
#[test]
fn the_published_orders_come_out_of_the_command() {
    let bench = Bench::new();
    for (bolts, layout, order) in [
        ("4", "ring", "1-3-2-4"),
        ("5", "ring", "1-3-5-2-4"),
        ("6", "ring", "1-4-2-5-3-6"),
        ("8", "ring", "1-5-3-7-2-6-4-8"),
        ("12", "ring", "1-7-4-10-2-8-5-11-3-9-6-12"),
        ("4", "row", "2-3-1-4"),
        ("2", "pair", "1-2"),
        ("4", "grid 2x2", "1-4-2-3"),
    ] {
        let (status, answer) =
            bench.json(&["order", "--bolts", bolts, "--layout", layout, "--torque", "5 N·m"]);
        assert_eq!(status, 0);
        let sequence: Vec<String> =
            answer["sequence"].as_array().unwrap().iter().map(ToString::to_string).collect();
        assert_eq!(sequence.join("-"), order, "{bolts} {layout}");
        assert_eq!(answer["confirm"], true);
    }
}

/// Every entry with several bolts: each bolt once in each pass, no setting above the limit, for
/// wrench steps from 0.05 to 1 N·m.
#[test]
fn no_setting_of_any_entry_is_above_its_limit() {
    let bench = Bench::new();
    let (_, found) = bench.json(&["find"]);
    let mut orders = 0;
    for entry in found.as_array().unwrap() {
        let Some(high) = entry["band"]["high_nm"].as_f64() else { continue };
        for step in ["0.05", "0.1", "0.25", "0.5", "1"] {
            let key = entry["entry"].as_str().unwrap();
            let said = bench.run(&["order", key, "--step", step, "--format", "json"]);
            if said.status == 2 {
                assert!(said.err.contains("no setting of this wrench"), "{key} {step}: {}", said.err);
                continue;
            }
            let answer: serde_json::Value = serde_json::from_str(&said.out).unwrap();
            for pass in answer["passes"].as_array().unwrap() {
                let steps = pass["steps"].as_array().unwrap();
                let bolts: BTreeSet<u64> = steps.iter().map(|step| step["bolt"].as_u64().unwrap()).collect();
                assert_eq!(bolts.len(), steps.len(), "{key}");
                assert_eq!(bolts.len() as u64, answer["bolts"].as_u64().unwrap(), "{key}");
                for step in steps {
                    let setting = step["setting_nm"].as_f64().unwrap();
                    assert!(setting > 0.0 && setting <= high * (1.0 + 1e-9), "{key}: {setting} > {high}");
                }
            }
            orders += 1;
        }
    }
    assert!(orders > 200, "{orders}");
}

#[test]
fn an_entry_without_a_band_asks_for_a_torque_and_takes_it() {
    let bench = Bench::new();
    let said = bench.run(&["order", "rotor-bolt-six"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("--torque"), "{}", said.err);
    let (status, answer) = bench.json(&["order", "rotor-bolt-six", "--torque", "4 N·m"]);
    assert_eq!((status, answer["bolts"].as_u64()), (0, Some(6)));
    assert!(!answer["before"].as_array().unwrap().is_empty());
    assert!(!answer["after"].as_array().unwrap().is_empty());
}

#[test]
fn a_ceiling_is_never_the_target() {
    let bench = Bench::new();
    let (_, answer) = bench.json(&["order", "--bolts", "4", "--layout", "ring", "--torque", "max 5 N·m"]);
    assert!(answer["target_nm"].as_f64().unwrap() < 4.8);
}

#[test]
fn layouts_that_cannot_be_are_refused() {
    let bench = Bench::new();
    for (bolts, layout) in
        [("0", "ring"), ("1", "row"), ("3", "pair"), ("5", "grid 2x2"), ("4", "spiral"), ("99", "ring")]
    {
        let said = bench.run(&["order", "--bolts", bolts, "--layout", layout, "--torque", "5 N·m"]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{bolts} {layout}");
        assert!(said.err.lines().count() >= 2, "{}", said.err);
    }
}

#[test]
fn a_card_for_the_bench_comes_as_csv() {
    let said = Bench::new().run(&["order", "--bolts", "2", "--torque", "5 N·m", "--format", "csv"]);
    assert!(said.out.starts_with("pass,step,percent,bolt,setting_nm,setting\n1,1,"), "{}", said.out);
}
