//! What a wrench is told to be set to: a mark of its scale, in its own unit, wherever it is told.

use proptest::prelude::*;
use serde_json::Value;

use crate::bench::{Bench, flat};

const NOW: &str = "2026-06-01T10:00:00+02:00";

/// Wrenches in N·m and in lbf·in, of fine and coarse steps, without a known step, and a preset key.
fn equipped() -> Bench {
    let bench = Bench::new();
    for (name, kind, scale, step) in [
        ("tenth", "click", "2-10 N·m", Some("0.1")),
        ("quarter", "click", "2-10 N·m", Some("0.25")),
        ("eighth", "click", "2-10 N·m", Some("0.125")),
        ("inch", "click", "20-200 lbf·in", Some("5")),
        ("dial", "dial", "2-10 N·m", None),
        ("key5", "preset", "5 N·m", None),
        ("from5", "click", "5-25 N·m", Some("0.5")),
    ] {
        let add = ["wrench", "add", name, "--type", kind, "--scale", scale, "--calibrated", "2026-05-01"];
        let step = step.map_or(Vec::new(), |step| vec!["--step", step]);
        assert_eq!(bench.at(NOW, &[&add[..], &step].concat()).status, 0, "{name}");
    }
    bench
}

/// The last setting of an order.
fn full(order: &Value) -> (f64, String) {
    let pass = order["passes"].as_array().unwrap().last().unwrap();
    (pass["setting_nm"].as_f64().unwrap(), pass["setting_text"].as_str().unwrap().to_owned())
}

/// A set value: the highest mark not above it within ±6 % of it, else the nearest within that; 1 lbf·in is 0.112985 N·m
/// by the exact factors, so that 6 N·m allows 50 to 56 lbf·in and 5 N·m 42 to 46.
#[test]
fn a_set_value_is_set_to_the_highest_mark_that_it_allows_and_never_above_while_one_below_will_do() {
    let bench = equipped();
    for (value, mark, above) in [("6 N·m", 50.0, false), ("5 N·m", 45.0, true)] {
        let (_, order) =
            bench.json_at(NOW, &["order", "--bolts", "4", "--torque", value, "--wrench", "inch"]);
        let (setting_nm, text) = full(&order);
        assert!((setting_nm - mark * 0.112_984_829).abs() < 1e-6, "{value}: {order}");
        assert_eq!(text, format!("{mark} lbf·in"));
        let (_, check) = bench.json_at(NOW, &["check", value, "--wrench", "inch"]);
        assert_eq!(
            (&check["aim"]["setting_text"], &check["aim"]["above_value"]),
            (&text.into(), &above.into())
        );
    }
    let said = bench.at(NOW, &["check", "5 N·m", "--wrench", "inch"]).out;
    assert!(said.contains("set 45 lbf·in") && said.contains("above the value"), "{said}");
}

/// A setting above the value is never told without saying so, wherever it is told.
#[test]
fn a_setting_above_the_value_says_so_in_pick_visit_and_card() {
    let bench = equipped();
    bench.at(NOW, &["bike", "add", "loan-1", "--kind", "hardtail"]);
    for (joint, marking, above) in [("bar-clamp", "5 N·m", true), ("stem-steerer", "6 N·m", false)] {
        bench.done(NOW, &["bike", "joint", "edit", "loan-1", joint, "--marking", marking]);
        let is_said = |said: &str| said.contains("above the value, because the mark below");
        let visit = ["visit", "loan-1", "--anew", "--wrench", "inch"];
        let asked = bench.question(NOW, &visit, joint);
        assert!(asked.contains(": inch at ") && is_said(&asked) == above, "{asked}");
        let (_, card) = bench.json_at(NOW, &["card", "loan-1", "--wrench", "inch"]);
        let row = card["rows"].as_array().unwrap().iter().find(|row| row["joint"] == joint).unwrap();
        assert_eq!(is_said(&row["warning"].to_string()), above, "{row}");
        let (_, pick) = bench.json_at(NOW, &["wrench", "pick", marking]);
        let picked = pick["torques"][0]["wrenches"].as_array().unwrap();
        let inch = picked.iter().find(|line| line["wrench"] == "inch").unwrap();
        assert_eq!(inch["above_value"], above, "{inch}");
        let text = bench.at(NOW, &["wrench", "pick", marking]).out;
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(text.contains("serves; above the value"), above, "{text}");
        let sheet = bench.at(NOW, &["wrench", "pick", marking, "--format", "csv"]).out;
        let line = sheet.lines().find(|line| line.contains(",inch,")).unwrap();
        assert!(line.ends_with(&format!(",{above}")), "{line}");
    }
}

/// A wrench that cannot measure the way in which a joint is turned is not told to be set without saying so: what is
/// read with it would be in doubt.
#[test]
fn a_setting_for_a_left_hand_thread_says_that_the_wrench_cannot_measure_it() {
    let bench = equipped();
    let add = ["wrench", "add", "--type", "beam", "--scale", "10-60 N·m", "--calibrated", "2026-05-01"];
    bench.done(NOW, &[&add[..], &["--step", "1", "one-way"]].concat());
    bench.done(NOW, &[&add[..], &["--step", "1", "--anticlockwise", "both-ways"]].concat());
    bench.at(NOW, &["bike", "add", "loan-1", "--kind", "hardtail"]);
    for pedal in ["pedal-left", "pedal-right"] {
        bench.done(NOW, &["bike", "joint", "edit", "loan-1", pedal, "--marking", "35-40 N·m"]);
        for wrench in ["one-way", "both-ways"] {
            let doubted = pedal == "pedal-left" && wrench == "one-way";
            let is_said = |said: &str| said.contains("this wrench measures clockwise only");
            let visit = ["visit", "loan-1", "--anew", "--wrench", wrench];
            let asked = bench.question(NOW, &visit, pedal);
            assert!(
                asked.contains(&format!(": {wrench} at 37 N·m")) && is_said(&asked) == doubted,
                "{asked}"
            );
            assert_eq!(asked.contains("LEFT-HAND thread"), pedal == "pedal-left", "{asked}");
            let (_, card) = bench.json_at(NOW, &["card", "loan-1", "--wrench", wrench]);
            let row = card["rows"].as_array().unwrap().iter().find(|row| row["joint"] == pedal).unwrap();
            assert_eq!(is_said(&row["warning"].to_string()), doubted, "{wrench}: {row}");
        }
    }
}

/// What is told is a mark, all its digits, and rounded down where the step is not known: 6.2 N·m less U of 6 % is 5.79.
#[test]
fn what_is_told_to_be_set_is_never_above_what_is_safe() {
    let bench = equipped();
    bench.at(NOW, &["bike", "add", "loan-1", "--kind", "hardtail"]);
    bench.at(NOW, &["bike", "joint", "edit", "loan-1", "bar-clamp", "--marking", "max 6.2 N·m"]);
    for (wrench, told) in [
        ("quarter", "5.75 N·m"),
        ("eighth", "5.750 N·m"),
        ("tenth", "5.7 N·m"),
        ("dial", "5.79 N·m"),
        ("inch", "50 lbf·in"),
    ] {
        let (_, check) = bench.json_at(NOW, &["check", "max 6.2 N·m", "--wrench", wrench]);
        assert_eq!(check["aim"]["setting_text"], told, "{wrench}: {check}");
        let (_, order) =
            bench.json_at(NOW, &["order", "--bolts", "4", "--torque", "max 6.2 N·m", "--wrench", wrench]);
        assert_eq!(full(&order).1, told, "{wrench}");
        let (_, card) = bench.json_at(NOW, &["card", "loan-1", "--wrench", wrench]);
        let rows = card["rows"].as_array().unwrap();
        assert_eq!(rows.iter().find(|row| row["joint"] == "bar-clamp").unwrap()["setting"], told, "{wrench}");
        let asked = bench.question(NOW, &["visit", "loan-1", "--anew", "--wrench", wrench], "bar-clamp");
        assert!(asked.contains(&format!(": {wrench} at {told}")), "{asked}");
        let (_, pick) = bench.json_at(NOW, &["wrench", "pick", "max 6.2 N·m"]);
        let picked = pick["torques"][0]["wrenches"].as_array().unwrap();
        let of = picked.iter().find(|line| line["wrench"] == wrench).unwrap();
        assert_eq!(of["setting_text"], told, "{wrench}");
        assert!(bench.at(NOW, &["wrench", "pick", "max 6.2 N·m"]).out.contains(told), "{wrench}");
    }
}

/// A wrench that cannot give the first pass gets none: by hand, crosswise, until every head touches (common practice);
/// and a pass that raises the torque by less than a tenth is not worth going round for.
#[test]
fn idle_passes_are_left_out_and_what_a_scale_cannot_give_is_done_by_hand() {
    let bench = equipped();
    let order = |words: &[&str]| bench.json_at(NOW, &[&["order"], words].concat()).1;
    let settings = |order: &Value| -> Vec<String> {
        let passes = order["passes"].as_array().unwrap();
        passes.iter().map(|pass| pass["setting_text"].as_str().unwrap().to_owned()).collect()
    };
    let rotor = order(&["--bolts", "6", "--torque", "max 4 N·m", "--wrench", "tenth"]);
    assert_eq!(settings(&rotor)[..2], ["2.2 N·m", "3.7 N·m"]);
    assert_eq!(rotor["by_hand"]["sequence"], serde_json::json!([1, 4, 2, 5, 3, 6]));
    let key = order(&["--bolts", "4", "--torque", "5 N·m", "--wrench", "key5"]);
    assert!(settings(&key).iter().all(|text| text == "5.00 N·m"), "{key}");
    assert!(key["by_hand"]["text"].as_str().unwrap().contains("crosswise, until every head touches"));
    let usual = order(&["--bolts", "4", "--torque", "8 N·m", "--wrench", "tenth"]);
    assert!(usual["by_hand"].is_null() && settings(&usual)[0] == "2.4 N·m", "{usual}");
    let sheet = bench
        .at(NOW, &["order", "--bolts", "4", "--torque", "5 N·m", "--wrench", "key5", "--format", "csv"])
        .out;
    assert_eq!(sheet.lines().filter(|line| line.contains("by hand")).count(), 4, "{sheet}");
}

/// A setting with an adapter is a mark of the scale; what lies off the scale is refused.
#[test]
fn a_setting_with_an_adapter_is_on_the_scale_or_refused() {
    let bench = equipped();
    let add = [
        "wrench",
        "add",
        "long",
        "--type",
        "click",
        "--scale",
        "5-25 N·m",
        "--step",
        "0.5",
        "--lever",
        "200mm",
    ];
    bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat());
    let set =
        |torque: &str| bench.at(NOW, &["wrench", "setting", torque, "--wrench", "long", "--adapter", "40mm"]);
    // 12 N·m × 200/240 is 10.0 on the scale; 12.3 would be 10.25, the mark below brings 12.0.
    for torque in ["12 N·m", "12.3 N·m"] {
        let said = set(torque);
        assert_eq!(said.status, 0, "{}", said.err);
        assert!(said.out.starts_with("10.0 N·m on the scale: the bolt gets 12.00 N·m"), "{}", said.out);
    }
    for torque in ["4 N·m", "60 N·m"] {
        let said = set(torque);
        assert!(
            said.status == 2 && said.err.contains("is not a setting of long"),
            "{torque}: {}{}",
            said.out,
            said.err
        );
    }
}

/// What an adapter is set to follows the rule of a set value, as wherever a setting is told.
#[test]
fn a_setting_with_an_adapter_is_the_one_that_check_tells() {
    let bench = equipped();
    // Steps of 2 N·m bring 8.40 and 10.80 N·m; 10.5 allows 10.08 to 10.92 (4 %, ISO 6789-1), 11.5 no less than 11.04.
    let coarse = [
        "wrench",
        "add",
        "coarse",
        "--type",
        "click",
        "--scale",
        "5-25 N·m",
        "--step",
        "2",
        "--lever",
        "200mm",
    ];
    assert_eq!(bench.at(NOW, &[&coarse[..], &["--calibrated", "2026-05-01"]].concat()).status, 0);
    let said = bench.at(NOW, &["wrench", "setting", "10.5 N·m", "--wrench", "coarse", "--adapter", "40mm"]);
    assert!(said.out.starts_with("9 N·m on the scale: the bolt gets 10.80 N·m"), "{}{}", said.out, said.err);
    assert!(said.out.contains("above the value"), "{}", said.out);
    let (_, check) = bench.json_at(NOW, &["check", "10.5 N·m", "--wrench", "coarse", "--adapter", "40mm"]);
    assert_eq!(check["aim"]["setting_text"], "9 N·m");
    let said = bench.at(NOW, &["wrench", "setting", "11.5 N·m", "--wrench", "coarse", "--adapter", "40mm"]);
    assert!(
        said.status == 2 && said.err.contains("within what the value allows"),
        "{}{}",
        said.out,
        said.err
    );
}

/// Where there is no setting the answer says why, and which registered wrench serves or what one would have to be.
#[test]
fn where_there_is_no_setting_it_is_said_why_and_what_serves() {
    let bench = equipped();
    let alone = Bench::new();
    for (bench, words, why) in [
        (
            &alone,
            &["check", "max 1 N·m", "--step", "5"][..],
            &["finer steps", "a wrench that reaches 0.9 N·m"][..],
        ),
        (
            &bench,
            &["check", "max 5 N·m", "--wrench", "from5"],
            &["begins at the ceiling", "the registered wrench dial serves"],
        ),
        (&bench, &["check", "2.6 N·m", "--step", "1"], &["within what the value allows", " serves"]),
        (
            &bench,
            &["check", "max 1 N·m", "--wrench", "from5"],
            &["begins above", "a wrench that reaches 0.9 N·m"],
        ),
    ] {
        let (_, answer) = bench.json_at(NOW, words);
        assert!(answer["aim"].is_null(), "{answer}");
        let text = bench.at(NOW, words).out.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in why {
            assert!(
                answer["no_aim"].as_str().unwrap().contains(part) && text.contains(part),
                "{part}: {answer}"
            );
        }
    }
    let said = bench.at(NOW, &["order", "--bolts", "4", "--torque", "max 5 N·m", "--wrench", "from5"]);
    assert!(said.status == 2 && said.err.contains("begins at the ceiling"), "{}", said.err);
    assert!(said.err.contains("the registered wrench dial serves"), "{}", said.err);
}

/// An order that has to go above a set value says so.
#[test]
fn an_order_says_where_it_goes_above_a_set_value() {
    let bench = equipped();
    for (torque, above) in [("6 N·m", false), ("5 N·m", true)] {
        let words = ["order", "stem-face-plate-four-bolt", "--torque", torque, "--wrench", "inch"];
        let (_, order) = bench.json_at(NOW, &words);
        assert_eq!(order["above_value"], above, "{torque}");
        let text = bench.at(NOW, &words).out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(
            text.contains("45 lbf·in is set; above the value, because the mark below"),
            above,
            "{text}"
        );
    }
}

/// 1 lbf·in in N·m, by the exact definitions.
const INCH_POUND: f64 = 4.448_221_615_260_5 * 0.0254;

/// A setting as JSON tells it: in N·m, and as its text says.
fn told(setting: &Value) -> (f64, f64) {
    let (number, unit) = setting["setting_text"].as_str().unwrap().split_once(' ').unwrap();
    let per_unit = if unit == "lbf·in" { INCH_POUND } else { 1.0 };
    (setting["setting_nm"].as_f64().unwrap(), number.parse::<f64>().unwrap() * per_unit)
}

/// Lower end, upper end and step of the usable scale in N·m; a step that is not known is a round one.
fn usable(wrench: &str) -> (f64, f64, f64) {
    match wrench {
        "inch" => (40.0 * INCH_POUND, 200.0 * INCH_POUND, 5.0 * INCH_POUND),
        "quarter" => (2.0, 10.0, 0.25),
        "eighth" => (2.0, 10.0, 0.125),
        "dial" => (2.0, 10.0, 0.01),
        _ => (5.0, 25.0, 0.5),
    }
}

/// Card and visit aim where check does: within what most issuers keep to.
#[test]
fn a_card_sets_what_check_sets() {
    let bench = equipped();
    bench.done(NOW, &["bike", "add", "loan-2", "--kind", "hardtail"]);
    let (_, card) = bench.json_at(NOW, &["card", "loan-2", "--wrench", "from5"]);
    let mut compared = 0;
    for row in card["rows"].as_array().unwrap().iter().filter(|row| !row["setting"].is_null()) {
        let joint = format!("loan-2/{}", row["joint"].as_str().unwrap());
        let (_, check) = bench.json_at(NOW, &["check", &joint, "--wrench", "from5"]);
        assert_eq!(check["aim"]["setting_text"], row["setting"], "{joint}");
        compared += 1;
    }
    assert!(compared > 3, "{compared}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is told to be set is a mark of the scale, the same in text and JSON and by every command, and not above
    /// the limit; for a set value the highest allowed mark not above it, else the lowest above.
    #[test]
    fn every_setting_is_a_mark_by_the_rule(
        form in 0..3_u8, tenths in 20..200_u32, width in 5..40_u32,
        wrench in prop::sample::select(vec!["inch", "quarter", "eighth", "dial", "from5"]),
    ) {
        let bench = equipped();
        let (value, high) = (f64::from(tenths) / 10.0, f64::from(tenths + width) / 10.0);
        let spec = match form {
            0 => format!("{value} N·m"),
            1 => format!("max {value} N·m"),
            _ => format!("{value}-{high} N·m"),
        };
        let (_, check) = bench.json_at(NOW, &["check", &spec, "--wrench", wrench]);
        let (_, pick) = bench.json_at(NOW, &["wrench", "pick", &spec]);
        let lines = pick["torques"][0]["wrenches"].as_array().unwrap();
        let line = lines.iter().find(|line| line["wrench"] == wrench).unwrap();
        let words = ["order", "--bolts", "4", "--torque", &spec, "--wrench", wrench, "--format", "json"];
        let order = bench.at(NOW, &words);
        let (lowest, highest, step) = usable(wrench);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * a.abs().max(b.abs());
        let marks: Vec<f64> = (0..5000)
            .map(|count| f64::from(count) * step)
            .filter(|mark| (lowest - 1e-9..=highest + 1e-9).contains(mark))
            .collect();
        let share = if value > 10.0 { 0.04 } else { 0.06 };
        let allowed = |mark: f64| (mark - value).abs() <= share * value * (1.0 + 1e-9);
        if check["aim"].is_null() {
            prop_assert!(line["setting_nm"].is_null() && order.status == 2, "{spec} {wrench}");
            prop_assert!(form != 0 || !marks.iter().any(|mark| allowed(*mark)), "{spec} {wrench}: {check}");
            return Ok(());
        }
        let (nm, text) = told(&check["aim"]);
        prop_assert!(near(nm, text), "{check}");
        prop_assert!(marks.iter().any(|mark| near(*mark, nm)), "{spec} {wrench}: {nm}");
        let limit = match form { 0 => value * (1.0 + share), 1 => value, _ => high };
        prop_assert!(nm <= limit * (1.0 + 1e-9), "{spec} {wrench}: {nm}");
        if form == 1 {
            let most = nm + check["aim"]["expanded_u_nm"].as_f64().unwrap();
            prop_assert!(most <= value * (1.0 + 1e-9), "{check}");
        }
        if form == 0 {
            let below = marks.iter().rfind(|mark| **mark <= value * (1.0 + 1e-9) && allowed(**mark));
            let expected = below.or_else(|| marks.iter().find(|mark| allowed(**mark))).unwrap();
            prop_assert!(near(nm, *expected), "{spec} {wrench}: {nm}, {expected} expected");
        }
        prop_assert_eq!(told(line), (nm, text));
        let order: Value = serde_json::from_str(&order.out).unwrap();
        let passes = order["passes"].as_array().unwrap();
        prop_assert_eq!(told(passes.last().unwrap()), (nm, text));
        for pass in passes {
            let (set, text) = told(pass);
            let is_mark = marks.iter().any(|mark| near(*mark, set));
            prop_assert!(is_mark && near(set, text) && set <= nm * (1.0 + 1e-9), "{pass}");
        }
    }
}

/// A range that a wrench could hold is not set at its limit, where every second bolt would lie beyond it.
#[test]
fn no_command_sets_a_range_at_its_limit() {
    let bench = equipped();
    for wrench in ["from5", "key5"] {
        let (_, check) = bench.json_at(NOW, &["check", "2-5 N·m", "--wrench", wrench]);
        assert!(check["aim"].is_null() && check["no_aim"].is_string(), "{wrench}: {check}");
        let said = bench.at(NOW, &["order", "--bolts", "4", "--torque", "2-5 N·m", "--wrench", wrench]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{wrench}: {}", said.out);
    }
    // A range too narrow for the wrench is met as well as can be.
    let (_, narrow) = bench.json_at(NOW, &["check", "5-5.4 N·m", "--wrench", "tenth"]);
    assert_eq!(narrow["aim"]["setting_text"], "5.2 N·m", "{narrow}");
}

/// `--unit` changes what is shown, not the marks that stand on the wrench.
#[test]
fn a_setting_is_told_in_the_unit_of_the_scale_whatever_unit_is_asked_for() {
    let bench = equipped();
    let bike = ["bike", "add", "loan-7", "--kind", "hardtail"];
    assert_eq!(bench.at(NOW, &bike).status, 0);
    let edit = ["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "6 N·m"];
    assert_eq!(bench.at(NOW, &edit).status, 0);
    for (wrench, unit, mark) in [("tenth", "lbf·in", "6.0 N·m"), ("inch", "N·m", "50 lbf·in")] {
        let told = |words: &[&str], pointer: &str| {
            let (_, answer) = bench.json_at(NOW, &[words, &["--wrench", wrench, "--unit", unit]].concat());
            let found = answer.pointer(pointer).unwrap_or_else(|| panic!("{pointer} in {answer}"));
            found.as_str().unwrap_or_default().to_owned()
        };
        assert_eq!(told(&["check", "6 N·m"], "/aim/setting_text"), mark);
        assert_eq!(told(&["check", "6 N·m", "50 lbf·in"], "/aim/setting_text"), mark);
        let order = ["order", "--bolts", "1", "--layout", "single", "--torque", "6 N·m"];
        let (_, order) = bench.json_at(NOW, &[&order[..], &["--wrench", wrench, "--unit", unit]].concat());
        assert_eq!(full(&order).1, mark);
        let shown = told(&["show", "stem-face-plate-four-bolt"], "/aim/setting_text");
        assert!(mark.split_once(' ').is_some_and(|(_, scale)| shown.ends_with(scale)), "{shown}");
        let (_, card) = bench.json_at(NOW, &["card", "loan-7", "--wrench", wrench, "--unit", unit]);
        let row = card["rows"].as_array().unwrap().iter().find(|row| row["joint"] == "bar-clamp").unwrap();
        assert_eq!(row["setting"], mark);
        let (_, pick) = bench.json_at(NOW, &["wrench", "pick", "6 N·m", "--unit", unit]);
        let lines = pick["torques"][0]["wrenches"].as_array().unwrap();
        let line = lines.iter().find(|line| line["wrench"] == wrench).unwrap();
        assert_eq!(line["setting_text"], mark, "{line}");
    }
}

/// What casts doubt on a wrench stands on the page, in JSON and in CSV of whatever tells a setting of it.
#[test]
fn a_wrench_in_doubt_says_so_wherever_it_is_set() {
    let bench = equipped();
    let add =
        ["wrench", "add", "old", "--type", "click", "--scale", "2-10 N·m", "--calibrated", "2023-05-01"];
    assert_eq!(bench.at(NOW, &add).status, 0);
    assert_eq!(bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]).status, 0);
    for words in [
        vec!["order", "--bolts", "4", "--torque", "6 N·m", "--wrench", "old"],
        vec!["card", "loan-7", "--wrench", "old"],
        vec!["check", "4-6 N·m", "--wrench", "old"],
    ] {
        for format in ["text", "json", "csv"] {
            let said = bench.at(NOW, &[&words[..], &["--format", format]].concat());
            assert!(flat(&said.out).contains("calibration lapsed"), "{words:?} {format}: {}", said.out);
        }
    }
}

/// A name that looks like that of a registered wrench is a typing error; any other is a wrench that is not known.
#[test]
fn a_wrench_that_is_mistyped_earns_nothing() {
    let bench = equipped();
    let of = |name| bench.at(NOW, &["check", "4-6 N·m", "5 N·m", "--wrench", name]);
    let said = of("tent");
    assert!(said.status == 2 && said.err.contains("nearest: tenth"), "{}", said.err);
    let said = of("borrowed");
    assert!(said.status == 0 && said.out.contains("no wrench is called `borrowed`"), "{}", said.out);
}

/// The note of a setting above the value names the mark that the steps name, with an adapter as without.
#[test]
fn an_order_notes_the_mark_that_it_tells_to_set() {
    let bench = Bench::new();
    let add = ["wrench", "add", "long", "--type", "click", "--scale", "20-200 lbf·in", "--step", "5"];
    bench.done(NOW, &[&add[..], &["--lever", "200mm", "--calibrated", "2026-05-01"]].concat());
    let mut above = 0;
    for adapter in [&[][..], &["--adapter", "30mm"], &["--adapter", "45mm"], &["--adapter", "60mm"]] {
        let order = ["order", "--bolts", "4", "--torque", "5 N·m", "--wrench", "long"];
        let said = bench.at(NOW, &[&order[..], adapter, &["--format", "json"]].concat());
        // A scale this coarse may have no mark that serves.
        let Ok(order) = serde_json::from_str::<Value>(&said.out) else { continue };
        let notes = order["notes"].as_array().unwrap();
        let noted = notes.iter().find(|note| note.as_str().unwrap().contains("is set; above the value"));
        assert_eq!(noted.is_some(), order["above_value"].as_bool().unwrap(), "{order}");
        if let Some(note) = noted {
            assert!(note.as_str().unwrap().starts_with(&format!("{} is set", full(&order).1)), "{order}");
            above += usize::from(!adapter.is_empty());
        }
    }
    assert!(above > 0, "no adapter that leads above the value");
}

/// Every line of the sheet of an order carries what must be known of it, the bolts set by hand too.
#[test]
fn the_lines_by_hand_carry_the_remarks_as_well() {
    let bench = Bench::new();
    let add = ["wrench", "add", "key5", "--type", "preset", "--scale", "5 N·m", "--calibrated", "2025-01-01"];
    bench.done(NOW, &add);
    let order = ["order", "--bolts", "4", "--torque", "5 N·m", "--wrench", "key5", "--format", "csv"];
    let sheet = bench.at(NOW, &order).out;
    assert!(sheet.contains("by hand, crosswise"), "{sheet}");
    assert!(sheet.lines().skip(1).all(|line| line.contains("the calibration lapsed")), "{sheet}");
}

/// The wrench that is named in place of one that does not serve measures the way in which the joint turns.
#[test]
fn what_is_named_for_a_left_hand_thread_measures_both_ways() {
    let bench = equipped();
    let add = ["wrench", "add", "--type", "click", "--scale", "10-60 N·m", "--calibrated", "2026-05-01"];
    bench.done(NOW, &[&add[..], &["--step", "1", "a-one-way"]].concat());
    bench.done(NOW, &[&add[..], &["--step", "1", "--anticlockwise", "both-ways"]].concat());
    bench.at(NOW, &["bike", "add", "loan-1", "--kind", "hardtail"]);
    for (pedal, named) in [("pedal-left", "both-ways"), ("pedal-right", "a-one-way")] {
        bench.done(NOW, &["bike", "joint", "edit", "loan-1", pedal, "--marking", "33-42 N·m"]);
        let (_, answer) = bench.json_at(NOW, &["check", &format!("loan-1/{pedal}"), "--wrench", "tenth"]);
        let no_aim = answer["no_aim"].as_str().unwrap();
        assert!(no_aim.contains(&format!("the registered wrench {named} serves")), "{pedal}: {no_aim}");
    }
}
