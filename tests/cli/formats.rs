//! Text, JSON and CSV of one answer.

use serde_json::Value;

use crate::bench::{Bench, Said};

const SPECS: [&str; 7] =
    ["4-6 N·m", "5 N·m", "max 5 N·m", "min 8 N·m", "35-53 in-lb", "rotor-bolt-six", "crank-pinch-bolts"];

const TOOLS: [&[&str]; 5] = [
    &[],
    &["--wrench", "small", "--on", "2026-06-01"],
    &["--wrench", "inch", "--on", "2026-06-01"],
    &["--wrench", "old", "--on", "2026-06-01"],
    &["--thread", "M5", "--grade", "8.8"],
];

/// A workshop with a sound wrench in N·m, one in lbf·in, and one whose calibration has lapsed.
fn equipped() -> Bench {
    let bench = Bench::new();
    for (name, scale, step, day) in [
        ("small", "2-10 N·m", "0.25", "2026-05-01"),
        ("inch", "20-200 lbf·in", "5", "2026-05-01"),
        ("old", "5-25 N·m", "0.5", "2020-01-01"),
    ] {
        let add = ["wrench", "add", name, "--type", "click", "--scale", scale, "--step", step];
        assert_eq!(bench.run(&[&add[..], &["--calibrated", day]].concat()).status, 0);
    }
    bench
}

/// The one row of a sheet, by the names of its columns.
fn cells(sheet: &Said) -> impl Fn(&str) -> String {
    let mut rows = csv::Reader::from_reader(sheet.out.as_bytes());
    let header = rows.headers().unwrap().clone();
    let row = rows.records().next().unwrap().unwrap();
    move |name| row[header.iter().position(|column| column == name).unwrap()].to_owned()
}

/// Whatever is asked, text, JSON and CSV say the same: verdict, limits, setting, reasons and what to do.
#[test]
fn text_json_and_csv_of_a_verdict_say_the_same() {
    let bench = equipped();
    // A walk through readings from 2 to 17.8 N·m.
    for (index, spec) in SPECS.iter().cycle().take(70).enumerate() {
        let reading = format!("{}.{} N·m", 2 + index * 37 % 80 / 5, index * 37 % 5 * 2);
        let words = [&["check", spec, &reading], TOOLS[index % TOOLS.len()]].concat();
        let (status, json) = bench.json(&words);
        let text = bench.run(&words);
        let sheet = bench.run(&[&words[..], &["--format", "csv"]].concat());
        assert_eq!((text.status, sheet.status), (status, status), "{words:?}");
        assert_same(&format!("{words:?}"), &json, &text.out, cells(&sheet));
    }
}

fn assert_same(words: &str, json: &Value, text: &str, cell: impl Fn(&str) -> String) {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let number = |value: &Value| value.as_f64().map_or_else(String::new, |number| number.to_string());
    let verdict = json["verdict"].as_str().unwrap();
    let first = text.split_once(": ").unwrap().0;
    assert_eq!(first.split(", ").next().unwrap(), verdict, "{words}: {text}");
    assert_eq!(cell("verdict"), verdict, "{words}");
    for (column, value) in [
        ("low_nm", &json["limits"]["low_nm"]),
        ("high_nm", &json["limits"]["high_nm"]),
        ("aim_nm", &json["aim"]["setting_nm"]),
        ("reading_nm", &json["reading_nm"]),
    ] {
        assert_eq!(cell(column), number(value), "{words}: {column}");
    }
    let next = json["next"].as_str().unwrap_or_default();
    assert!(cell("next") == next && text.contains(next), "{words}: {next}: {text}");
    assert_eq!(next.is_empty(), verdict == "inside", "{words}");
    for reason in json["reasons"].as_array().unwrap() {
        let reason = reason.as_str().unwrap();
        assert!(text.contains(reason) && cell("reasons").contains(reason), "{words}: {reason}: {text}");
    }
    assert_eq!(text.contains(" Aim set "), !json["aim"].is_null(), "{words}: {text}");
}
