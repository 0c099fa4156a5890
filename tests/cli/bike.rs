//! `bike`: templates, joints, figures and their order, names.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

fn joint<'a>(bike: &'a serde_json::Value, name: &str) -> &'a serde_json::Value {
    bike["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == name).unwrap()
}

#[test]
fn every_kind_has_a_full_list_of_joints_whose_safety_is_told() {
    let bench = Bench::new();
    for (kind, least, least_critical) in [
        ("trail", 35, 25),
        ("hardtail", 30, 20),
        ("enduro", 35, 25),
        ("downhill", 35, 25),
        ("cross-country", 35, 25),
        ("e-bike-trail", 35, 25),
        ("gravel", 25, 20),
        ("road-disc", 25, 20),
        ("road-rim", 25, 20),
        ("city", 25, 18),
        ("touring", 30, 20),
        ("e-bike-city", 30, 20),
        ("cargo", 30, 20),
        ("folding", 25, 18),
        ("children", 20, 18),
    ] {
        let (status, bike) = bench.json_at(NOW, &["bike", "add", kind, "--kind", kind]);
        assert_eq!((status, bike["verdict"].as_str()), (0, Some("unproven")));
        let joints = bike["joints"].as_array().unwrap();
        let critical = joints.iter().filter(|joint| joint["critical"] == true).count();
        assert!(joints.len() >= least && critical >= least_critical, "{kind}: {} {critical}", joints.len());
        assert!(joints.iter().all(|joint| !joint["ground"].as_str().unwrap().is_empty()), "{kind}");
    }
    let (_, list) = bench.json(&["bike", "list"]);
    assert_eq!(list.as_array().unwrap().len(), 15);
}

#[test]
fn the_figure_that_counts_is_the_marking_and_of_two_the_lower_ceiling() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let edit = |options: &[&str]| {
        let arguments = [&["bike", "joint", "edit", "loan-7", "bar-clamp"], options].concat();
        let (status, bike) = bench.json_at(NOW, &arguments);
        assert_eq!(status, 0);
        let joint = joint(&bike, "bar-clamp");
        let text = |key: &str| joint[key].as_str().unwrap().to_owned();
        (text("specified"), text("ground"), joint["limits"]["high_nm"].as_f64())
    };
    let (specified, ground, _) = edit(&["--bike-maker", "5.5 N·m"]);
    assert_eq!((specified.as_str(), ground.as_str()), ("5.5 N·m", "maker of the bicycle"));
    let (specified, ground, _) = edit(&["--part-maker", "50 in-lb"]);
    assert_eq!((specified.as_str(), ground.as_str()), ("50 lbf·in", "maker of the part"));
    let (specified, ground, high) = edit(&["--marking", "stem: max 6 N·m", "--marking", "bar: max 5 N·m"]);
    assert_eq!((specified.as_str(), high), ("max 5 N·m", Some(5.0)));
    assert!(ground.starts_with("marking on the bar: the lower ceiling"), "{ground}");
    let (specified, ..) = edit(&["--marking", ""]);
    assert_eq!(specified, "50 lbf·in");
}

#[test]
fn joints_are_added_changed_and_taken_off() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let add = ["bike", "joint", "add", "loan-7", "bottle-cage", "--entry", "general-m5", "--bolts", "2"];
    let (_, bike) = bench.json_at(NOW, &[&add[..], &["--critical", "no", "--thread", "M5"]].concat());
    assert_eq!(joint(&bike, "bottle-cage")["bolts"], 2);
    // One walks to it last, and to the next one after that.
    let spare = ["bike", "joint", "add", "loan-7", "a-spare", "--entry", "general-m5"];
    let (_, bike) = bench.json_at(NOW, &spare);
    let names: Vec<&str> =
        bike["joints"].as_array().unwrap().iter().map(|joint| joint["joint"].as_str().unwrap()).collect();
    assert_eq!(names[names.len() - 2..], ["bottle-cage", "a-spare"]);
    bench.at(NOW, &["record", "loan-7/bottle-cage", "5", "5", "N·m"]);
    let said =
        bench.at(NOW, &["bike", "joint", "remove", "loan-7", "bottle-cage", "--why", "of no use here"]);
    assert!(said.status == 0 && said.out.starts_with("loan-7/bottle-cage was taken off"), "{}", said.out);
    // Its name is free again, and its readings are kept.
    assert_eq!(bench.at(NOW, &add).status, 0);
    assert!(bench.at(NOW, &["backup", "kept.db"]).out.starts_with("2 readings"));
}

#[test]
fn retired_bicycles_are_kept_and_left_alone() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "old", "--kind", "city"]);
    assert_eq!(bench.at(NOW, &["bike", "retire", "old"]).status, 0);
    assert_eq!(bench.json(&["bike", "list"]).1.as_array().unwrap().len(), 0);
    assert_eq!(bench.json(&["bike", "list", "--all"]).1.as_array().unwrap().len(), 1);
    let said = bench.at(NOW, &["record", "old/headset", "--finding", "fine"]);
    assert!(said.status == 2 && said.err.contains("retired"), "{}", said.err);
    assert_eq!(bench.at(NOW, &["bike", "edit", "old", "--in-use", "--owner", "Kim"]).status, 0);
    assert_eq!(bench.at(NOW, &["record", "old/headset", "--finding", "fine"]).status, 0);
}

#[test]
fn wrong_requests_say_what_is_right_and_store_nothing() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    for (arguments, hint) in [
        (&["bike", "add", "loan-7", "--kind", "road"][..], "choose another name"),
        (&["bike", "add", "LOAN-7", "--kind", "road"], "choose another name"),
        (&["bike", "add", "a b", "--kind", "road"], "use letters"),
        (&["bike", "add", "x", "--kind", "unicycle"], "known are cargo"),
        (&["bike", "show", "laon-7"], "nearest: loan-7"),
        (&["bike", "joint", "edit", "loan-7", "bar-clmap", "--bolts", "4"], "nearest: bar-clamp"),
        (&["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "6-5 N·m"], ""),
        (&["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "5"], "such as \"max 5 N·m\""),
        (&["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "5 kg"], ""),
        (&["bike", "joint", "edit", "loan-7", "bar-clamp", "--bolts", "0"], "give 1 to"),
        (&["bike", "joint", "edit", "loan-7", "bar-clamp", "--entry", "no-such"], "evenclamp find"),
        (&["bike", "joint", "edit", "loan-7", "pads-front", "--marking", "2.5"], "such as \"min 1.5 mm\""),
        (&["bike", "joint", "add", "loan-7", "headset", "--entry", "general-m5"], "choose another name"),
    ] {
        let said = bench.at(NOW, arguments);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{arguments:?}");
        assert!(said.err.lines().count() >= 2 && said.err.contains(hint), "{arguments:?}: {}", said.err);
    }
    assert_eq!(bench.json(&["bike", "list"]).1.as_array().unwrap().len(), 1);
}

#[test]
fn a_joint_has_a_side_two_markings_and_as_many_bolts_as_can_be_ordered() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let edit = |options: &[&str]| {
        let said = bench.at(NOW, &[&["bike", "joint", "edit", "loan-7", "bar-clamp"], options].concat());
        (said.status, said.err)
    };
    let left = serde_json::Value::from("LEFT-HAND thread: anticlockwise tightens");
    // The figure of the part counts, so that the card warns of nothing but the turning direction.
    assert_eq!(edit(&["--marking", "6 N·m"]).0, 0);
    for (hand, warning) in [("left", left), ("right", serde_json::Value::Null)] {
        assert_eq!(edit(&["--hand", hand]).0, 0);
        let (_, card) = bench.json_at(NOW, &["card", "loan-7"]);
        let rows = card["rows"].as_array().unwrap();
        let row = rows.iter().find(|row| row["joint"] == "bar-clamp").unwrap();
        assert_eq!(row["warning"], warning, "{hand}");
    }
    assert_eq!(edit(&["--hand", "both"]).0, 2);
    assert_eq!(edit(&["--bolts", "32"]).0, 0);
    let (status, said) = edit(&["--bolts", "33"]);
    assert!(status == 2 && said.contains("give 1 to 32"), "{said}");
    let three = ["--marking", "a: 5 N·m", "--marking", "b: 5 N·m", "--marking", "c: 5 N·m"];
    let (status, said) = edit(&three);
    assert!(status == 2 && said.contains("keep the two"), "{said}");
}

#[test]
fn a_retired_bicycle_can_still_be_looked_at() {
    let bench = Bench::new();
    let now = "2026-06-01T10:00:00+02:00";
    bench.done(now, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.done(now, &["bike", "retire", "loan-7"]);
    for looked in
        [&["ready", "loan-7"][..], &["due", "loan-7"], &["card", "loan-7"], &["history", "loan-7/headset"]]
    {
        let said = bench.at(now, looked);
        assert!(said.status != 2 && said.out.contains("loan-7"), "{looked:?}: {}", said.err);
    }
    assert_eq!(bench.at(now, &["record", "loan-7/headset", "--finding", "fine"]).status, 2);
}

/// What was done is said in a line or two, whatever else the bicycle has.
#[test]
fn a_joint_that_is_added_or_taken_off_takes_a_line_or_two() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let add = [
        "bike",
        "joint",
        "add",
        "loan-7",
        "cage",
        "--entry",
        "general-m5",
        "--marking",
        "5 N·m",
        "--critical",
        "no",
    ];
    let said = bench.at(NOW, &add).out;
    assert!(said.starts_with("loan-7/cage: 5 N·m (marking on the part); never checked\n"), "{said}");
    assert!(said.contains("loan-7: 46 joints, unproven") && said.lines().count() == 2, "{said}");
    let said = bench.at(NOW, &["bike", "joint", "remove", "loan-7", "cage"]).out;
    assert!(said.starts_with("loan-7/cage was taken off"), "{said}");
    assert!(said.contains("loan-7: 45 joints, unproven") && said.lines().count() == 2, "{said}");
}

/// A look in place of a torque asks less of what decides safety, and needs a reason as fewer bolts do.
#[test]
fn a_torque_that_becomes_a_look_needs_a_reason() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let edit = ["bike", "joint", "edit", "loan-7", "crank-left", "--check", "function"];
    let said = bench.at(NOW, &edit);
    assert!(said.status == 2 && said.err.contains("no torque any more needs a reason"), "{}", said.err);
    assert_ne!(bench.at(NOW, &[&edit[..], &["--why", "a crank without bolts"]].concat()).status, 2);
}

/// A bicycle out of use says so beside its verdict.
#[test]
fn a_retired_bicycle_is_told_as_one_by_ready() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    assert!(bench.json_at(NOW, &["ready", "loan-7"]).1["retired_at"].is_null());
    bench.done(NOW, &["bike", "retire", "loan-7"]);
    assert!(bench.at(NOW, &["ready", "loan-7"]).out.contains("out of use since 2026-06-01"));
    assert!(
        bench.json_at(NOW, &["ready", "loan-7"]).1["retired_at"].as_str().unwrap().starts_with("2026-06-01")
    );
}
