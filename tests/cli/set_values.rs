//! One printed number: what it allows is said instead of a chance, and the number itself is kept by every command.

use serde_json::Value;

use crate::bench::Bench;

const NOW: &str = "2026-06-01T12:00:00+02:00";

/// ±6 % up to 10 N·m (ISO 6789-1): 5 N·m allows 4.7 to 5.3 N·m.
#[test]
fn a_reading_at_the_edge_of_a_set_value_gets_no_chance_but_what_the_value_allows() {
    let bench = Bench::new();
    let said = bench.run(&["check", "5 N·m", "4.7 N·m"]);
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.status == 0 && text.starts_with("inside: 4.7 N·m against 5 N·m"), "{text}");
    assert!(text.contains("Allowed a set value: 5 N·m allows 4.7–5.3 N·m, the ±6 %"), "{text}");
    assert!(!text.contains("Chance") && !text.contains("50"), "{text}");
    let (_, answer) = bench.json(&["check", "5 N·m", "4.7 N·m"]);
    assert!(answer["chance_inside"].is_null(), "{answer}");
    assert!(answer["reasons"].to_string().contains("allows 4.7–5.3 N·m"), "{answer}");
    let (_, range) = bench.json(&["check", "4.7-5.3 N·m", "5 N·m", "--accuracy", "1%"]);
    assert!(range["chance_inside"].is_number() && range["limits"]["value_nm"].is_null(), "{range}");
}

#[test]
fn every_command_keeps_the_number_of_a_set_value() {
    let bench = Bench::new();
    let (_, found) = bench.json(&["find"]);
    let entry = found.as_array().unwrap().iter().find(|entry| entry["form"] == "set").unwrap();
    let (key, value) = (entry["entry"].as_str().unwrap(), entry["band"]["value_nm"].clone());
    let low = entry["band"]["low_nm"].as_f64().unwrap();
    assert!(value.as_f64().unwrap() > low, "{entry}");
    assert_eq!(bench.json(&["show", key]).1["band"], entry["band"]);
    let reading = format!("{value} N·m");
    assert_eq!(bench.json(&["check", key, &reading]).1["limits"], entry["band"]);
    assert_eq!(bench.json(&["order", key, "--step", "0.05"]).1["torque"], entry["band"]);
    let joint = ["bike", "joint", "add", "loan-7", "other", "--entry", key];
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.done(NOW, &joint);
    let (_, bike) = bench.json_at(NOW, &["bike", "show", "loan-7"]);
    let joints = bike["joints"].as_array().unwrap();
    let of = joints.iter().find(|joint| joint["joint"] == "other").unwrap();
    assert_eq!(of["limits"], entry["band"]);
    let log = bench.path("log.csv");
    std::fs::write(&log, format!("entry,value,unit\n{key},{value},N·m\n")).unwrap();
    let rows = bench.path("rows.csv");
    let words = ["audit", log.to_str().unwrap(), "--verdicts", rows.to_str().unwrap()];
    let (_, audit) = bench.json(&words);
    assert_eq!(audit["entries"][0]["value_nm"], value, "{audit}");
    let rows = std::fs::read_to_string(rows).unwrap();
    let mut read = csv::Reader::from_reader(rows.as_bytes());
    let header = read.headers().unwrap().clone();
    let row = read.records().next().unwrap().unwrap();
    let field =
        |name: &str| row.get(header.iter().position(|column| column == name).unwrap()).unwrap().to_owned();
    assert_eq!(field("value_nm"), value.to_string().trim_end_matches(".0"));
    assert_eq!((field("verdict").as_str(), field("chance_inside").as_str()), ("inside", ""));
    for words in [&["find"][..], &["check", key, &reading], &["bike", "show", "loan-7"]] {
        let sheet = bench.at(NOW, &[words, &["--format", "csv"]].concat()).out;
        assert!(
            sheet.lines().next().unwrap().split(',').any(|column| column == "value_nm"),
            "{words:?}: {sheet}"
        );
    }
}

/// What is shown of a value is that value, in the summary of an audit as elsewhere.
#[test]
fn an_audit_shows_the_value_and_not_what_it_allows() {
    let bench = Bench::new();
    let (_, found) = bench.json(&["find"]);
    let is_set = |entry: &&Value| entry["band"]["value_nm"] == 3.5;
    let Some(entry) = found.as_array().unwrap().iter().find(is_set) else { panic!("no entry of 3.5 N·m") };
    let log = bench.path("log.csv");
    std::fs::write(&log, format!("entry,value,unit\n{},3.5,N·m\n", entry["entry"].as_str().unwrap()))
        .unwrap();
    let said = bench.run(&["audit", log.to_str().unwrap()]).out;
    assert!(said.contains("3.5") && !said.contains("3.29"), "{said}");
}
