//! `convert`.

use approx::assert_relative_eq;

use crate::bench::Bench;

#[test]
fn a_value_is_converted_exactly_and_shown_with_sensible_digits() {
    let bench = Bench::new();
    let (status, answer) = bench.json(&["convert", "44 lbf·in", "--to", "N·m"]);
    assert_eq!(status, 0);
    assert_relative_eq!(answer["to"][0]["value"].as_f64().unwrap(), 4.9713324772, max_relative = 1e-9);
    assert_eq!(answer["to"][0]["text"], "5.0 N·m");
    assert!(bench.run(&["convert", "44 lbf·in", "--to", "N·m"]).out.contains("4.97133247722"));
}

#[test]
fn a_range_is_rounded_inward() {
    let bench = Bench::new();
    let said = bench.run(&["convert", "4-6", "N·m", "--to", "lbf·in"]);
    assert!(said.out.contains("36–53 lbf·in"), "{}", said.out);
    let (_, answer) = bench.json(&["convert", "4-6 N·m", "--to", "lbf·in"]);
    assert_relative_eq!(answer["to"][0]["low"].as_f64().unwrap(), 35.402983165308, max_relative = 1e-12);
}

#[test]
fn without_a_unit_every_unit_is_shown() {
    let bench = Bench::new();
    let (_, answer) = bench.json(&["convert", "max 5 N·m"]);
    assert_eq!(answer["to"].as_array().unwrap().len(), 16);
    assert_eq!(answer["from"]["form"], "max");
}

#[test]
fn text_begins_with_the_units_of_wrenches_and_lists_the_rest_when_asked() {
    let bench = Bench::new();
    let lines = |all: &[&str]| -> Vec<String> {
        let said = bench.run(&[&["convert", "44 lbf·in"], all].concat()).out;
        said.lines().map(str::to_owned).collect()
    };
    let (brief, whole) = (lines(&[]), lines(&["--all"]));
    assert_eq!(brief[2..6], whole[2..6]);
    for (line, unit) in brief[2..6].iter().zip(["N·m", "lbf·in", "lbf·ft", "kgf·cm"]) {
        assert_eq!(line.split_whitespace().nth(1), Some(unit), "{line}");
    }
    assert_eq!(brief[6..], ["12 more units: `--all`"]);
    assert_eq!(whole.len(), 2 + 16);
    let csv = bench.run(&["convert", "44 lbf·in", "--format", "csv"]).out;
    assert_eq!(csv.lines().count(), 1 + 16, "CSV has all without being asked");
}

#[test]
fn unclear_units_are_refused_with_their_likely_meanings() {
    let bench = Bench::new();
    for (typed, meanings) in [
        ("5 kg", &["kgf·cm", "kgf·m"][..]),
        ("44 lb", &["lbf·in", "lbf·ft"]),
        ("44 in/lb", &["lbf·in"]),
        ("5 furlongs", &[]),
        ("-5 N·m", &[]),
    ] {
        let said = bench.run(&["convert", "--", typed]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{typed}");
        for meaning in meanings {
            assert!(said.err.contains(meaning), "{typed}: {}", said.err);
        }
    }
}

#[test]
fn a_missing_unit_is_said() {
    let said = Bench::new().run(&["convert", "5", "--to", "lbf·in"]);
    assert!(said.err.contains("no unit given"), "{}", said.err);
}
