//! What is too much for the bolt, wherever a torque meets a bolt whose thread and class are known.
//!
//! A bolt of M5 in class 8.8 bears 4.57 N·m at μ = 0.08 (VDI 2230 Part 1, R7, as in `tests/published/bolt_strength.rs`).

use proptest::prelude::*;
use serde_json::Value;

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";
const TOO_MUCH: &str = "too much for the bolt";

/// A bicycle with a wrench, and a clamp of the entry's thread (M5) with one bolt.
fn shop() -> Bench {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let add = ["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m", "--step", "0.1"];
    bench.done(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat());
    bench
}

/// Adds a joint and edits it; the status and the answer about it.
fn clamp(bench: &Bench, options: &[&str]) -> (i32, Value) {
    let add = ["bike", "joint", "add", "loan-7", "clamp", "--entry", "stem-face-plate-four-bolt"];
    bench.done(NOW, &add);
    edited(bench, options)
}

/// Edits the clamp; the status and the answer about it.
fn edited(bench: &Bench, options: &[&str]) -> (i32, Value) {
    let words = [&["bike", "joint", "edit", "loan-7", "clamp"], options].concat();
    let (status, bike) = bench.json_at(NOW, &words);
    (status, named(&bike["joints"], "clamp"))
}

fn named(joints: &Value, name: &str) -> Value {
    joints.as_array().unwrap().iter().find(|joint| joint["joint"] == name).unwrap().clone()
}

/// That a joint says it is too much, with the torque of 90 % of yield.
fn says_too_much(joint: &Value) {
    assert_eq!(joint["verdict"], TOO_MUCH, "{joint}");
    let limit = joint["too_much"]["bolt_limit_nm"].as_f64().unwrap();
    assert!((limit - 4.57).abs() < 0.01, "{joint}");
}

#[test]
fn a_reading_is_too_much_when_it_is_recorded_and_in_ready_and_visit() {
    let bench = shop();
    let (status, joint) = clamp(&bench, &["--marking", "3-8 N·m", "--grade", "8.8"]);
    assert_eq!((status, joint["grade"].as_str()), (0, Some("8.8")), "{joint}");
    assert!(joint["notes"][0].as_str().unwrap().contains("reached at 4.57 N·m"), "{joint}");
    let (status, answer) = bench.json_at(NOW, &["record", "loan-7/clamp", "6 N·m", "--wrench", "small"]);
    assert_eq!(status, 1);
    says_too_much(&answer);
    assert!(answer["next"].as_str().unwrap().starts_with("slacken it now; renew the bolt"), "{answer}");
    let (status, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    assert_eq!((status, ready["verdict"].as_str()), (1, Some("unfit")), "a joint that decides safety");
    says_too_much(&named(&ready["joints"], "clamp"));
    let first = &ready["deciding"][0];
    assert_eq!(
        (&first["joint"], &first["verdict"]),
        (&"clamp".into(), &TOO_MUCH.into()),
        "the worst comes first"
    );
    let sheet = bench.at(NOW, &["ready", "loan-7", "--format", "csv"]).out;
    assert!(sheet.contains("bolt_limit_nm") && sheet.contains(",clamp,too much for the bolt,"), "{sheet}");
    let (status, checked) = bench.json_at(NOW, &["check", "loan-7/clamp", "6 N·m"]);
    assert_eq!((status, checked["verdict"].as_str()), (1, Some(TOO_MUCH)), "{checked}");
    // Put right, it is sound; what is set stays below what the bolt bears.
    assert_eq!(bench.at(NOW, &["record", "loan-7/clamp", "4 N·m", "--wrench", "small"]).status, 0);
    let (_, card) = bench.json_at(NOW, &["card", "loan-7", "--wrench", "small"]);
    assert_eq!(named(&card["rows"], "clamp")["setting"], "3.8 N·m");
    // It is the last joint on the way round.
    let (_, bike) = bench.json_at(NOW, &["bike", "show", "loan-7"]);
    let others = "-\n".repeat(bike["joints"].as_array().unwrap().len() - 1);
    let visit =
        bench.piped("2026-06-02T10:00:00+02:00", &["visit", "loan-7"], &format!("{others}6.1 N·m\n")).err;
    let visit = visit.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(visit.contains("too much for the bolt: 6.1 N·m takes"), "{visit}");
    assert!(visit.contains("slacken it now; renew the bolt"), "{visit}");
}

#[test]
fn a_figure_is_too_much_in_every_command_that_meets_it() {
    let bench = shop();
    let (status, joint) = clamp(&bench, &["--marking", "max 7 N·m", "--grade", "8.8"]);
    assert_eq!(
        (status, joint["verdict"].as_str()),
        (1, Some(TOO_MUCH)),
        "the low side of the band is 5.8 N·m: {joint}"
    );
    let (status, joint) = edited(&bench, &["--marking", "stem: 5-6 N·m"]);
    assert_eq!(status, 1, "{joint}");
    says_too_much(&joint);
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let clamp = named(&ready["joints"], "clamp");
    says_too_much(&clamp);
    assert!(clamp["reason"].as_str().unwrap().starts_with("marking on the stem: 5 N·m takes"), "{clamp}");
    let (_, card) = bench.json_at(NOW, &["card", "loan-7", "--wrench", "small"]);
    let row = named(&card["rows"], "clamp");
    assert_eq!((&row["setting"], &row["verdict"]), (&Value::Null, &TOO_MUCH.into()), "{row}");
    assert!(row["warning"].as_str().unwrap().starts_with("too much for the bolt: 5 N·m"), "{row}");
    let asked = bench.question(NOW, &["visit", "loan-7", "--wrench", "small"], "clamp");
    assert!(asked.contains(TOO_MUCH) && !asked.contains("small at "), "{asked}");
}

#[test]
fn a_marking_that_cannot_be_meant_is_refused_with_the_likely_slip() {
    let bench = shop();
    bench.done(NOW, &["bike", "joint", "add", "loan-7", "clamp", "--entry", "stem-face-plate-four-bolt"]);
    for (figure, says) in [
        ("55 N·m", "55 lbf·in would be 6.2 N·m"),
        ("50 N·m", "50 lbf·in would be 5.6 N·m"),
        ("5-6 in-lb", "less than a fifth of the 6.2 N·m that the book has here; perhaps 6 N·m was meant"),
    ] {
        for option in ["--marking", "--part-maker", "--bike-maker", "--shop"] {
            let said = bench.at(NOW, &["bike", "joint", "edit", "loan-7", "clamp", option, figure]);
            assert_eq!((said.status, said.out.as_str()), (2, ""), "{option} {figure}");
            assert!(said.err.contains(says) && said.err.contains(option), "{}", said.err);
        }
    }
    // Crank bolts of M8 are published at 35 to 50 N·m: a class that is only usual makes a remark.
    let add = [
        "bike",
        "joint",
        "add",
        "loan-7",
        "crank",
        "--entry",
        "stem-steerer-clamp-two-bolt",
        "--thread",
        "M8",
    ];
    let (status, bike) = bench.json_at(NOW, &[&add[..], &["--marking", "45 N·m"]].concat());
    let crank = named(&bike["joints"], "crank");
    assert_eq!(
        (status, crank["verdict"].as_str(), &crank["too_much"]),
        (0, Some("never checked"), &Value::Null)
    );
    let remarked = |notes: &Value| {
        notes.as_array().unwrap().iter().any(|note| note.as_str().unwrap().contains("even in class 12.9"))
    };
    assert!(remarked(&crank["notes"]), "{crank}");
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    assert!(remarked(&named(&ready["joints"], "crank")["notes"]), "{ready}");
}

#[test]
fn a_grade_is_one_of_the_book_for_a_thread_that_is_known() {
    let bench = shop();
    bench.done(NOW, &["bike", "joint", "add", "loan-7", "clamp", "--entry", "stem-face-plate-four-bolt"]);
    for (options, says) in
        [(&["--grade", "8.9"][..], "8.8"), (&["--entry", "headset-top-cap", "--grade", "8.8"], "thread")]
    {
        let said = bench.at(NOW, &[&["bike", "joint", "edit", "loan-7", "clamp"], options].concat());
        assert!(said.status == 2 && said.err.contains(says), "{}", said.err);
    }
    let said = bench.at(NOW, &["bike", "joint", "edit", "loan-7", "clamp", "--grade", ""]);
    assert_eq!(said.status, 0, "{}", said.err);
}

#[test]
fn an_order_says_on_its_page_that_a_figure_is_far_from_the_book_or_too_much_for_the_bolt() {
    let bench = Bench::new();
    let far = ["order", "crank-pinch-bolts", "--torque", "50 N·m"];
    let said = bench.run(&far);
    assert!(said.status == 0 && said.out.contains("the book has 12.0–14.9 N·m for this"), "{}", said.out);
    let (_, answer) = bench.json(&far);
    assert!(answer["notes"][0].as_str().unwrap().contains("is 50 N·m the figure on the part"), "{answer}");
    let sheet = bench.run(&[&far[..], &["--format", "csv"]].concat()).out;
    assert!(sheet.contains(",note,") && sheet.contains("the book has 12.0–14.9 N·m"), "{sheet}");
    // Past what the bolt bears there are no steps; what would tear any is refused.
    for words in [
        &["order", "stem-face-plate-four-bolt", "--grade", "8.8"][..],
        &[
            "order", "--bolts", "4", "--layout", "ring", "--torque", "6 N·m", "--thread", "M5", "--grade",
            "8.8",
        ],
        &["order", "crank-pinch-bolts", "--torque", "20 N·m", "--thread", "M5", "--grade", "8.8"],
    ] {
        let (status, answer) = bench.json(words);
        assert_eq!((status, answer["passes"].as_array().map(Vec::len)), (1, Some(0)), "{answer}");
        assert!((answer["too_much"]["bolt_limit_nm"].as_f64().unwrap() - 4.57).abs() < 0.01, "{answer}");
        let said = bench.run(words);
        assert!(said.status == 1 && said.out.starts_with("too much for the bolt: "), "{}", said.out);
        let next = answer["too_much"]["next"].as_str().unwrap();
        let lines = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(lines.contains(&format!("Now {next}")), "{}", said.out);
        let sheet = bench.run(&[words, &["--format", "csv"]].concat());
        assert!(sheet.status == 1 && sheet.out.contains("too much for the bolt"), "{}", sheet.out);
    }
    for (figure, says) in [("50 N·m", "would tear any bolt of M5"), ("5-6 in-lb", "less than a fifth")] {
        let said = bench.run(&["order", "stem-face-plate-four-bolt", "--torque", figure]);
        assert!(said.status == 2 && said.out.is_empty() && said.err.contains(says), "{}", said.err);
    }
    // No step lies above what the bolt bears.
    let (status, answer) =
        bench.json(&["order", "--bolts", "2", "--torque", "3-6 N·m", "--thread", "M5", "--grade", "8.8"]);
    assert!(status == 0 && answer["target_nm"].as_f64().unwrap() < 4.57, "{answer}");
}

#[test]
fn no_wrench_is_picked_for_what_is_too_much_for_the_bolt() {
    let bench = shop();
    clamp(&bench, &["--marking", "5-6 N·m", "--grade", "8.8"]);
    for words in [
        &["wrench", "pick", "loan-7/clamp"][..],
        &["wrench", "pick", "stem-face-plate-four-bolt", "--grade", "8.8"],
        &["wrench", "pick", "5-6 N·m", "--thread", "M5", "--grade", "8.8"],
    ] {
        let (status, answer) = bench.json_at(NOW, words);
        let picked = &answer["torques"][0];
        assert_eq!((status, picked["wrenches"].as_array().map(Vec::len)), (1, Some(0)), "{answer}");
        assert!((picked["too_much"]["bolt_limit_nm"].as_f64().unwrap() - 4.57).abs() < 0.01, "{answer}");
        assert_eq!(answer["to_buy"], Value::Array(vec![]), "a better wrench would not help");
        assert!(bench.at(NOW, words).out.contains("too much for the bolt: do not tighten to it"));
        let sheet = bench.at(NOW, &[words, &["--format", "csv"]].concat()).out;
        assert!(sheet.contains("false,") && sheet.contains("too much for the bolt: "), "{sheet}");
    }
    // The wrench that is named where one has no setting serves what the bolt bears.
    let coarse = ["check", "max 6 N·m", "--thread", "M5", "--grade", "4.6", "--step", "2"];
    let text = Bench::new().run(&coarse).out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("a wrench that reaches 1.6 N·m"), "{text}");
    let (status, answer) =
        bench.json_at(NOW, &["wrench", "pick", "3-6 N·m", "--thread", "M5", "--grade", "8.8"]);
    assert_eq!(status, 0, "{answer}");
    assert!(answer["torques"][0]["wrenches"][0]["setting_nm"].as_f64().unwrap() < 4.57, "{answer}");
}

/// Threads (nominal diameter, pitch: ISO 261; least bearing diameter of a socket head: ISO 4762; clearance hole: ISO 273
/// medium), in mm.
const THREADS: [(&str, [f64; 4]); 4] = [
    ("M4", [4.0, 0.7, 6.53, 4.5]),
    ("M5", [5.0, 0.8, 8.03, 5.5]),
    ("M6", [6.0, 1.0, 9.38, 6.6]),
    ("M8", [8.0, 1.25, 12.33, 9.0]),
];

/// Classes (least yield stress in MPa: ISO 898-1 and ISO 3506-1) with their lowest friction greased, dry, and in an
/// unknown condition (VDI 2230 Part 1 Table A5: classes B, C, and for dry stainless steel E).
const CLASSES: [(&str, f64, [f64; 3]); 5] = [
    ("4.6", 240.0, [0.08, 0.14, 0.08]),
    ("8.8", 640.0, [0.08, 0.14, 0.08]),
    ("10.9", 940.0, [0.08, 0.14, 0.08]),
    ("12.9", 1100.0, [0.08, 0.14, 0.08]),
    ("A2-70", 450.0, [0.14, 0.30, 0.08]),
];

/// The torque in N·m of 90 % of yield, by VDI 2230 Part 1: the assembly torque M_A = F·(P/2π + d2·μ/√3 + D_Km·μ/2) of
/// the load whose equivalent stress σ_red = σ·√(1 + 3·(1.5·d2/d0·(P/(π·d2) + 1.155·μ))²) is 0.9 of yield.
fn bears([d, pitch, bearing, hole]: [f64; 4], yield_stress: f64, mu: f64) -> f64 {
    use std::f64::consts::PI;
    let (d2, d3) = (d - 0.649_519 * pitch, d - 1.226_869 * pitch);
    let d0 = f64::midpoint(d2, d3);
    let torsion = 1.5 * d2 / d0 * (pitch / (PI * d2) + 1.1547 * mu);
    let load = 0.9 * yield_stress * PI / 4.0 * d0 * d0 / (1.0 + 3.0 * torsion * torsion).sqrt();
    load * (pitch / (2.0 * PI) + d2 * mu / 3.0_f64.sqrt() + (bearing + hole) / 4.0 * mu) / 1000.0
}

#[test]
fn the_formula_of_the_property_gives_a_published_torque() {
    // M8 in class 8.8 at μ = 0.12: 24.6 N·m for 17.2 kN (VDI 2230 Part 1 Table A1, from memory).
    assert!((bears(THREADS[3].1, 640.0, 0.12) / 24.6 - 1.0).abs() < 0.04);
}

/// Every torque that an answer tells to set.
fn settings(answer: &Value) -> Vec<f64> {
    match answer {
        Value::Object(fields) => fields
            .iter()
            .flat_map(|(key, value)| match (key.as_str(), value.as_f64()) {
                ("setting_nm" | "target_nm" | "at_bolt_nm", Some(torque)) => vec![torque],
                _ => settings(value),
            })
            .collect(),
        Value::Array(values) => values.iter().flat_map(settings).collect(),
        _ => Vec::new(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    /// No reading past 90 % of yield at low friction is good, and nothing past it is told to be set.
    #[test]
    fn nothing_past_yield_is_good_or_aimed_at(
        (thread, class, condition) in (0..THREADS.len(), 0..CLASSES.len(), 0..3_usize),
        form in 0..4_u8,
        (of_bolt, width, place) in (0.3..2.0_f64, 0.05..0.8_f64, -0.2..1.2_f64),
    ) {
        let ((thread, sizes), (class, yield_stress, friction)) = (THREADS[thread], CLASSES[class]);
        let limit = bears(sizes, yield_stress, friction[condition]);
        let (low, high) = (limit * of_bolt, limit * of_bolt * (1.0 + width));
        let (spec, least) = match form {
            0 => (format!("{low:.2}-{high:.2} N·m"), low),
            1 => (format!("{low:.2} N·m"), low),
            2 => (format!("max {high:.2} N·m"), 0.0),
            _ => (format!("min {low:.2} N·m"), low),
        };
        let read = low + (high - low) * place;
        // What lies within rounding of the limit may be either.
        prop_assume!([least, read].iter().all(|torque| (torque / limit - 1.0).abs() > 0.01));
        let reading = format!("{read:.2} N·m");
        let bench = Bench::new();
        let add = ["wrench", "add", "w", "--type", "click", "--scale", "1-200 N·m", "--step", "0.1", "--usable"];
        bench.done(NOW, &[&add[..], &["1-200 N·m", "--accuracy", "3%", "--calibrated", "2026-05-01"]].concat());
        let bolt = ["--thread", thread, "--grade", class];
        let on = ["--wrench", "w", "--condition", ["greased", "dry", "unknown"][condition]];
        let on = &on[..if condition == 2 { 2 } else { 4 }];
        let check = [&["check", &spec, &reading][..], &bolt, on].concat();
        let said = bench.at(NOW, &check);
        if said.status == 2 {
            prop_assert!(said.err.contains("would tear any bolt of"), "{}", said.err);
            prop_assert!(read.max(high) > 2.0 * limit || class == "12.9", "{check:?}");
            return Ok(());
        }
        let (status, answer) = bench.json_at(NOW, &check);
        let too_much = read > limit || least > limit;
        prop_assert_eq!(answer["verdict"] == TOO_MUCH, too_much, "{:?} {}", check, answer);
        prop_assert!(!too_much || status == 1 && answer["aim"].is_null(), "{answer}");
        let mut told = vec![answer["aim"].clone()];
        if condition == 2 {
            let order = [&["order", "--bolts", "2", "--torque", &spec, "--wrench", "w"][..], &bolt].concat();
            let pick = [&["wrench", "pick", &spec][..], &bolt].concat();
            for words in [order, pick] {
                let said = bench.at(NOW, &[&words[..], &["--format", "json"]].concat());
                prop_assert!(least < limit || said.status == 1, "{words:?}: {}", said.out);
                told.extend(serde_json::from_str::<Value>(&said.out));
            }
        }
        for torque in told.iter().flat_map(settings) {
            prop_assert!(torque < limit * 1.001, "{torque} is told to be set, {limit} is borne: {check:?}");
        }
    }
}

/// The log of a joint whose class is noted is judged as `check BIKE/JOINT` judges it.
#[test]
fn an_audit_judges_a_joint_of_a_known_class_as_check_does() {
    let bench = shop();
    clamp(&bench, &["--marking", "3-8 N·m", "--grade", "8.8"]);
    let readings = ["4", "4.5", "4.7", "6", "9"];
    let kinds = ["tightened", "held", "loosening"];
    let rows = || readings.iter().flat_map(|reading| kinds.map(|kind| (reading, kind)));
    let mut log = "bike,joint,value,unit,kind\n".to_owned();
    rows().for_each(|(reading, kind)| log += &format!("loan-7,clamp,{reading},N·m,{kind}\n"));
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let (status, sum) = bench.json_at(NOW, &["audit", "log.csv", "--verdicts", "judged.csv"]);
    assert_eq!((status, &sum["too_much"], &sum["high"]), (1, &6.into(), &6.into()), "{sum}");
    let mut judged = csv::Reader::from_path(bench.path("judged.csv")).unwrap();
    for (record, (reading, kind)) in judged.records().map(Result::unwrap).zip(rows()) {
        let reading = format!("{reading} N·m");
        let (_, answer) = bench.json_at(NOW, &["check", "loan-7/clamp", &reading, "--kind", kind]);
        assert_eq!(&record[5], answer["verdict"].as_str().unwrap(), "{reading} {kind}: {answer}");
        assert_eq!(record[9].is_empty(), answer["chance_inside"].is_null(), "{reading} {kind}: {answer}");
        let is_told =
            record[10].contains("90 % of yield of the M5x0.8 bolt of class 8.8 is reached at 4.57 N·m");
        assert_eq!(is_told, &record[5] == TOO_MUCH, "{record:?}");
    }
    let text = bench.at(NOW, &["audit", "log.csv"]).out;
    assert!(text.contains("too much for a bolt of a known class; slacken it now"), "{text}");
}

/// Rows that are high by their limits alone are told from rows past what the bolt bears, in any order; and where the
/// bolt does not bear a set value every row is too much for it, though the least that the value allows would not be.
#[test]
fn an_audit_tells_high_from_too_much_and_holds_a_set_value_against_the_bolt() {
    let bench = shop();
    clamp(&bench, &["--marking", "3-3.5 N·m", "--grade", "8.8"]);
    for (marking, readings, verdicts) in [
        ("3-3.5 N·m", ["4.2", "6", "4.2"], ["high", TOO_MUCH, "high"]),
        ("4.8 N·m", ["4.5", "4.8", "3"], [TOO_MUCH; 3]),
    ] {
        edited(&bench, &["--marking", marking]);
        let rows = readings.map(|reading| format!("loan-7,clamp,{reading},N·m\n")).concat();
        std::fs::write(bench.path("log.csv"), format!("bike,joint,value,unit\n{rows}")).unwrap();
        bench.at(NOW, &["audit", "log.csv", "--verdicts", "judged.csv"]);
        let mut judged = csv::Reader::from_path(bench.path("judged.csv")).unwrap();
        let told: Vec<String> = judged.records().map(|row| row.unwrap()[4].to_owned()).collect();
        assert_eq!(told, verdicts, "{marking}");
        for (reading, verdict) in readings.into_iter().zip(verdicts) {
            let (_, answer) = bench.json_at(NOW, &["check", "loan-7/clamp", &format!("{reading} N·m")]);
            assert_eq!(answer["verdict"], verdict, "{marking} {reading}");
        }
    }
}

#[test]
fn a_visit_says_that_a_figure_is_too_much_before_it_asks() {
    let bench = shop();
    clamp(&bench, &["--marking", "6 N·m", "--grade", "8.8"]);
    let line = bench.question(NOW, &["visit", "loan-7"], "clamp");
    assert!(line.contains("too much for the bolt: 6 N·m takes"), "{line}");
    assert!(line.contains("do not tighten to it"), "{line}");
}

#[test]
fn more_than_five_times_the_band_is_refused_where_no_thread_is_known() {
    let bench = Bench::new();
    let (_, page) = bench.json(&["show", "crank-pinch-bolts"]);
    let high = page["band"]["high_nm"].as_f64().unwrap();
    let said = |times: f64| {
        bench.run(&["order", "crank-pinch-bolts", "--torque", &format!("{} N·m", (high * times).round())])
    };
    let refused = said(10.0);
    assert_eq!((refused.status, refused.out.as_str()), (2, ""));
    assert!(refused.err.contains("more than five times"), "{}", refused.err);
    // 149 lbf·in are 16.8 N·m (1 lbf·in is 0.112985 N·m): near the band, as no other unit brings it.
    assert!(refused.err.contains("lbf·in would be"), "{}", refused.err);
    assert!(!said(1.2).err.contains("five times"));
}

/// Without a band the greatest figure that anybody gives is the measure. The greatest of `seat-collar-unstated` is 10 N·m,
/// and none is of a known thread; 88 lbf·in are 9.94 N·m (1 lbf·in is 0.112985 N·m).
#[test]
fn without_a_band_more_than_five_times_the_greatest_figure_read_is_refused() {
    let bench = shop();
    let (_, page) = bench.json(&["show", "seat-collar-unstated"]);
    assert_eq!([&page["state"], &page["thread"]], ["unconfirmed", ""], "{page}");
    let greatest = page["evidence"].as_array().unwrap().iter().filter_map(|row| row["high_nm"].as_f64());
    assert!((greatest.fold(0.0, f64::max) - 10.0).abs() < 1e-9, "{page}");
    let add = ["bike", "joint", "add", "loan-7", "collar", "--entry", "seat-collar-unstated", "--bolts", "1"];
    bench.done(NOW, &add);
    let mark = ["bike", "joint", "edit", "loan-7", "collar", "--marking"];
    let own =
        ["book", "add", "seat-collar-unstated", "88 N·m", "--issuer", "A maker", "--source", "its manual"];
    for words in [
        [&mark[..], &["88 N·m"]].concat(),
        vec!["order", "seat-collar-unstated", "--torque", "88 N·m"],
        [&own[..], &["--where", "p. 4"]].concat(),
    ] {
        let refused = bench.at(NOW, &words);
        assert_eq!(refused.status, 2, "{words:?}: {}{}", refused.out, refused.err);
        let told = refused.err.split_whitespace().collect::<Vec<_>>().join(" ");
        let why = "88 N·m is more than five times the 10 N·m that is the greatest figure read for this; 88 lbf·in would be \
                   9.9 N·m";
        assert!(told.contains(why), "{words:?}: {told}");
    }
    bench.done(NOW, &[&mark[..], &["50 N·m"]].concat());
}

/// What stands on the part is measured by the book as well: it may have been misread, or its unit.
#[test]
fn a_marking_of_many_times_the_band_is_refused_where_it_is_typed_or_read_from_a_sheet() {
    let bench = shop();
    let (_, page) = bench.json(&["show", "crank-pinch-bolts"]);
    let high = page["band"]["high_nm"].as_f64().unwrap();
    let add = ["bike", "joint", "add", "loan-7", "arm", "--entry", "crank-pinch-bolts", "--bolts", "1"];
    bench.done(NOW, &add);
    let mark = |figure: &str| bench.at(NOW, &["bike", "joint", "edit", "loan-7", "arm", "--marking", figure]);
    for (times, taken) in [(4.9, true), (5.1, false), (12.0, false)] {
        let said = mark(&format!("{:.1} N·m", high * times));
        assert_eq!(said.status == 0, taken, "{times}: {}", said.err);
        assert_eq!(said.err.contains("more than five times"), !taken, "{times}: {}", said.err);
    }
    assert!(mark(&format!("max {:.0} N·m", high * 6.0)).err.contains("more than five times"));
    assert!(mark(&format!("crank: {:.0} N·m", high * 6.0)).err.contains("more than five times"));
    std::fs::write(bench.path("figures.csv"), format!("joint,marking\narm,{:.0} N·m\n", high * 6.0)).unwrap();
    let sheet = bench.at(NOW, &["bike", "sheet", "loan-7", "--from", "figures.csv"]);
    assert_eq!(sheet.status, 2, "{}", sheet.out);
    assert!(sheet.err.contains("more than five times"), "{}", sheet.err);
    let (_, kept) = bench.json_at(NOW, &["check", "loan-7/arm"]);
    assert!(kept["limits"]["value_nm"].as_f64().unwrap() < high * 5.0, "{kept}");
}
