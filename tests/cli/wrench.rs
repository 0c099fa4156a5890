//! `wrench`, and judging with a registered one. The wrenches are invented.

use approx::assert_abs_diff_eq;

use crate::bench::Bench;

/// A bench with a small, a middle and a big click wrench, calibrated on 2026-05-04.
fn equipped() -> Bench {
    let bench = Bench::new();
    for (name, scale, step) in
        [("small", "2-10 N·m", "0.1"), ("middle", "5-25 N·m", "0.2"), ("big", "5-60 N·m", "0.5")]
    {
        let words = [
            "wrench",
            "add",
            name,
            "--type",
            "click",
            "--scale",
            scale,
            "--step",
            step,
            "--calibrated",
            "2026-05-04",
            "--lever",
            "180mm",
        ];
        let said = bench.run(&words);
        assert_eq!(said.status, 0, "{}", said.err);
    }
    bench
}

/// Which limit applies goes by the tool's largest torque (a tool maker's manual on ISO 6789, type
/// II class A): 6 % up to 10 N·m, 4 % above.
#[test]
fn a_small_wrench_is_a_six_percent_tool_and_a_larger_one_a_four_percent_tool() {
    let bench = equipped();
    for (wrench, percent) in [("small", 6.0), ("middle", 4.0)] {
        let (_, report) = bench.json(&["wrench", "show", wrench]);
        assert_eq!(report["accuracy_percent"], percent);
        let (status, check) =
            bench.json(&["check", "4-6 N·m", "5 N·m", "--wrench", wrench, "--on", "2026-06-01", "--explain"]);
        assert_eq!((status, check["verdict"].as_str()), (0, Some("inside")), "{wrench}");
        assert_abs_diff_eq!(
            check["budget"][0]["size_nm"].as_f64().unwrap(),
            percent / 100.0 * 5.0,
            epsilon = 1e-12
        );
    }
}

/// Usual range of a click wrench, 20 to 100 % of full scale: common practice.
#[test]
fn a_reading_low_on_a_big_wrench_settles_nothing() {
    let bench = equipped();
    let (status, check) = bench.json(&["check", "4-6 N·m", "5 N·m", "--wrench", "big", "--on", "2026-06-01"]);
    assert_eq!((status, check["verdict"].as_str()), (3, Some("not settled")));
    assert!(check["reasons"][0].as_str().unwrap().contains("12.0 N·m"), "{check}");
}

#[test]
fn a_wrench_overdue_by_one_day_settles_nothing_and_says_until_when_it_stood() {
    let bench = equipped();
    let check = |day| bench.json(&["check", "4-6 N·m", "5 N·m", "--wrench", "small", "--on", day]);
    assert_eq!(check("2027-05-04").1["verdict"], "inside");
    let (status, late) = check("2027-05-05");
    assert_eq!((status, late["verdict"].as_str()), (3, Some("not settled")));
    assert!(late["reasons"][0].as_str().unwrap().contains("lapsed after 2027-05-04"), "{late}");
}

#[test]
fn a_failed_calibration_puts_the_readings_before_it_in_doubt() {
    let bench = equipped();
    let said = bench.run(&["wrench", "calibrated", "small", "--on", "2026-10-01", "--failed"]);
    assert_eq!(said.status, 0, "{}", said.err);
    assert!(said.err.contains("in doubt"), "{}", said.err);
    let (_, check) = bench.json(&["check", "4-6 N·m", "5 N·m", "--wrench", "small", "--on", "2026-06-01"]);
    assert_eq!(check["verdict"], "not settled");
    let (_, before) = bench.json(&["check", "4-6 N·m", "5 N·m", "--wrench", "small", "--on", "2026-05-01"]);
    assert_eq!(before["verdict"], "inside", "the good calibration between covers it: {before}");
}

#[test]
fn re_checks_are_findings_and_not_judged_as_tightenings() {
    let bench = equipped();
    for (kind, value, status) in
        [("held", "4 N·m", 0), ("held", "3 N·m", 3), ("moved", "4 N·m", 1), ("loosening", "9 N·m", 3)]
    {
        let words = ["check", "4-6 N·m", value, "--kind", kind, "--wrench", "small", "--on", "2026-06-01"];
        let (code, check) = bench.json(&words);
        // A clockwise wrench cannot read a loosening torque of a right-hand thread.
        assert_eq!((code, check["verdict"].as_str()), (status, Some(kind)), "{kind} {value}");
        assert!(check["chance_inside"].is_null(), "{kind}");
    }
}

#[test]
fn a_left_hand_thread_needs_a_wrench_that_measures_both_ways() {
    let bench = equipped();
    let words = ["check", "4-6 N·m", "5 N·m", "--left-hand", "--on", "2026-06-01", "--wrench"];
    let (status, check) = bench.json(&[&words[..], &["small"]].concat());
    assert_eq!((status, check["verdict"].as_str()), (3, Some("not settled")));
    bench.run(&[
        "wrench",
        "add",
        "both",
        "--type",
        "beam",
        "--scale",
        "1-10 N·m",
        "--step",
        "0.1",
        "--anticlockwise",
        "--calibrated",
        "2026-05-04",
    ]);
    assert_eq!(bench.json(&[&words[..], &["both"]].concat()).0, 0);
    // What is to be bought must measure both ways only where a left-hand thread is without a wrench.
    let buys = |words: &[&str]| {
        let (_, pick) = bench.json(&[&["wrench", "pick", "--on", "2026-06-01"], words].concat());
        pick["to_buy"].as_array().unwrap().iter().map(|buy| buy["anticlockwise"].clone()).collect::<Vec<_>>()
    };
    assert_eq!(buys(&["80-100 N·m"]), [false]);
    assert_eq!(buys(&["80-100 N·m", "--left-hand"]), [true]);
    assert_eq!(buys(&["4-6 N·m", "--left-hand"]), Vec::<bool>::new());
    bench.run(&["bike", "add", "loan-7", "--kind", "city"]);
    bench.run(&["bike", "joint", "add", "loan-7", "odd", "--entry", "shifter-clamp", "--hand", "left"]);
    bench.run(&["bike", "joint", "edit", "loan-7", "odd", "--marking", "4-6 N·m"]);
    assert_eq!(buys(&["80-100 N·m", "loan-7/odd"]), [false], "the left-hand thread has its wrench");
}

#[test]
fn the_aim_stands_on_the_scale_of_the_wrench() {
    let bench = equipped();
    let (_, aim) = bench.json(&["check", "12-14 N·m", "--wrench", "middle", "--on", "2026-06-01"]);
    let setting = aim["aim"]["setting_nm"].as_f64().unwrap();
    assert_abs_diff_eq!((setting - 5.0) / 0.2, ((setting - 5.0) / 0.2).round(), epsilon = 1e-9);
    assert!(aim["aim"]["chance_inside"].as_f64().unwrap() > 0.99);
    let (_, ceiling) = bench.json(&["check", "max 5 N·m", "--wrench", "small", "--on", "2026-06-01"]);
    let (set, u) = (&ceiling["aim"]["setting_nm"], &ceiling["aim"]["expanded_u_nm"]);
    assert!(set.as_f64().unwrap() + u.as_f64().unwrap() <= 5.0 + 1e-9);
    let shown = bench.run(&["show", "crank-pinch-bolts", "--wrench", "middle", "--brief"]);
    assert!(shown.out.contains("middle: set 13"), "{}", shown.out);
}

#[test]
fn an_adapter_changes_the_reading_and_the_setting() {
    let bench = equipped();
    let words = ["check", "4-6 N·m", "5 N·m", "--wrench", "small", "--on", "2026-06-01", "--adapter", "36mm"];
    let (_, check) = bench.json(&words);
    assert_abs_diff_eq!(check["at_bolt_nm"].as_f64().unwrap(), 6.0, epsilon = 1e-9);
    assert_eq!(check["verdict"], "too close");
    let (_, square) = bench.json(&[&words[..], &["--angle", "90"]].concat());
    assert_abs_diff_eq!(square["at_bolt_nm"].as_f64().unwrap(), 5.0, epsilon = 1e-9);
}

/// US Army TM 1-1500-204-23-9, figure 8-16; Robinson R66 maintenance manual p. 20.4; US Army TM
/// 9-2350-277-40&P p. 44; Piper PA-28-161 para 2-90; Yamaha XVS1100 supplement p. 11. All nine
/// published examples are checked in the library (`published/extension.rs`).
#[test]
fn published_settings_come_out_of_the_command() {
    let bench = Bench::new();
    for (value, lever, adapter, angle, printed, unit_nm, tolerance) in [
        ("300 lbf·in", "10in", "4in", "0", 214.0, 0.1129848290276167, 0.5),
        ("135 lbf·in", "10in", "1.5in", "0", 117.39, 0.1129848290276167, 0.01),
        ("135 lbf·in", "10in", "1.5in", "180", 158.82, 0.1129848290276167, 0.01),
        ("40 lbf·ft", "12in", "4in", "0", 30.0, 1.3558179483314004, 1e-9),
        ("30 lbf·ft", "12in", "3in", "0", 24.0, 1.3558179483314004, 1e-9),
        ("20 lbf·ft", "14in", "3in", "0", 16.5, 1.3558179483314004, 0.05),
    ] {
        let words = ["wrench", "setting", value, "--lever", lever, "--adapter", adapter, "--angle", angle];
        let (status, report) = bench.json(&words);
        assert_eq!(status, 0);
        assert_abs_diff_eq!(report["setting_nm"].as_f64().unwrap() / unit_nm, printed, epsilon = tolerance);
    }
}

#[test]
fn pick_names_the_best_wrench_and_what_is_missing() {
    let bench = equipped();
    let (status, pick) = bench.json(&["wrench", "pick", "4-6 N·m", "--on", "2026-06-01"]);
    assert_eq!(status, 0);
    assert_eq!(pick["torques"][0]["wrenches"][0]["wrench"], "small");
    assert_eq!(pick["torques"][0]["wrenches"][0]["serves"], true);
    let (status, pick) = bench.json(&["wrench", "pick", "1-1.4 N·m", "--on", "2026-06-01"]);
    assert_eq!(status, 1);
    assert!(pick["to_buy"][0]["step_at_most_nm"].as_f64().unwrap() <= 0.1, "{pick}");
}

#[test]
fn what_cannot_be_is_refused_and_nothing_is_stored() {
    let bench = Bench::new();
    let add = ["wrench", "add", "odd", "--type", "click"];
    for (words, hint) in [
        (&["--scale", "2-10 N·m", "--step", "0"][..], "such as 0.1"),
        (&["--scale", "10-2 N·m"], "smaller value first"),
        (&["--scale", "2-10 N·m", "--accuracy", "0%"], "such as 4 %"),
        (&["--scale", "2-10 N·m", "--calibrated", "2999-01-01"], "future"),
        (&["--scale", "max 10 N·m"], "both ends"),
        (&["--scale", "2-10 kg"], "kgf"),
        (&["--scale", "2-10 N·m", "--class", "IX"], "type I has classes"),
        (&["--scale", "2-10 N·m", "--lever", "18"], "mm"),
        (&["--scale", "2-10 N·m", "--calibrated", "4.5.2026"], "2026-05-31"),
    ] {
        let said = bench.run(&[&add[..], words].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{words:?}");
        assert!(said.err.contains(hint), "{words:?}: {}", said.err);
    }
    assert_eq!(bench.json(&["wrench", "list"]).1, serde_json::json!([]));
    for words in [
        &["wrench", "show", "nope"][..],
        &["check", "4-6 N·m", "--wrench", "nope"],
        &["wrench", "calibrated", "nope"],
        &["wrench", "retire", "nope"],
        &["wrench", "setting", "5 N·m", "--wrench", "nope", "--adapter", "40mm"],
        &["wrench", "setting", "5 N·m", "--lever", "100mm", "--adapter", "120mm", "--angle", "180"],
    ] {
        assert_eq!(bench.run(words).status, 2, "{words:?}");
    }
}

#[test]
fn a_retired_wrench_is_out_of_use_and_kept() {
    let bench = equipped();
    assert_eq!(bench.run(&["wrench", "retire", "big"]).status, 0);
    let said = bench.run(&["check", "4-6 N·m", "5 N·m", "--wrench", "big"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("retired"), "{}", said.err);
    let list = |words: &[&str]| bench.json(words).1.as_array().unwrap().len();
    assert_eq!((list(&["wrench", "list"]), list(&["wrench", "list", "--all"])), (2, 3));
    assert_eq!(bench.run(&["wrench", "show", "big"]).status, 0);
}

#[test]
fn pick_goes_through_a_whole_bicycle() {
    let bench = equipped();
    assert_eq!(bench.run(&["bike", "add", "loan-7", "--kind", "trail"]).status, 0);
    let (status, pick) = bench.json(&["wrench", "pick", "--bike", "loan-7", "--on", "2026-06-01"]);
    let picked = pick["torques"].as_array().unwrap();
    assert!(picked.len() > 20, "{}", picked.len());
    assert!(picked.iter().any(|joint| joint["spec"] == "loan-7/crank-left"));
    assert_eq!(status, 1, "some joints have no figure to pick for");
}

/// A certificate's W asks for the deviation that was found beside it (ISO 6789-2:2017, clause 8); without it the class
/// counts where that allows more.
#[test]
fn a_certificate_asks_for_the_deviation_that_was_found() {
    let bench = Bench::new();
    let add = |name: &str, more: &[&str]| {
        let words = [
            "wrench",
            "add",
            name,
            "--type",
            "electronic",
            "--scale",
            "1-20 N·m",
            "--calibrated",
            "2026-05-01",
        ];
        let (status, shown) = bench.json(&[&words[..], more].concat());
        assert_eq!(status, 0, "{shown}");
        shown["accuracy_percent"].as_f64().unwrap()
    };
    let alone = add("alone", &["--certificate", "1.2%"]);
    assert!((alone - 4.0).abs() < 1e-9, "class I C of 20 N·m: {alone}");
    let both = add("both", &["--certificate", "1.2%", "--found-off", "0.8%"]);
    assert!((both - 2.0).abs() < 1e-9, "{both}");
    assert_eq!(
        bench
            .run(&["wrench", "add", "x", "--type", "dial", "--scale", "1-20 N·m", "--found-off", "1%"])
            .status,
        2
    );
    let help = bench.run(&["wrench", "add", "--help"]).out;
    assert!(help.contains("--found-off"), "{help}");
}
