//! Names of bicycles and joints, shortened wherever that is clear.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

fn shop() -> Bench {
    let bench = Bench::new();
    for words in [
        &["bike", "add", "hire-03", "--kind", "hardtail"][..],
        &["bike", "add", "hire-12", "--kind", "hardtail"],
        &["bike", "add", "loan-7", "--kind", "road"],
        &["bike", "add", "old-9", "--kind", "road"],
        &["bike", "retire", "old-9"],
        &["bike", "joint", "edit", "hire-03", "bar-clamp", "--marking", "4-6 N·m"],
        &["record", "hire-03/bar-clamp", "5", "5", "5", "5", "N·m"],
        &["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m", "--calibrated", "2026-05-04"],
    ] {
        bench.done(NOW, words);
    }
    bench
}

#[test]
fn a_short_name_answers_as_the_whole_one() {
    let bench = shop();
    for line in [
        "bike show {}",
        "bike sheet {}",
        "ready {}",
        "due {}",
        "card {}",
        "history {}/{}",
        "check {}/{} 5",
        "visit {}",
        "bike edit {} --note x",
        "bike joint edit {} {} --condition dry",
        "bike joint edit {}/{} --bolts 4",
        "record {}/{}#2 5 N·m",
        "event {} wash",
        "ride {} 2h",
        "wrench pick --bike {}",
    ] {
        let whole = line.replacen("{}", "hire-03", 1).replacen("{}", "bar-clamp", 1);
        let wanted = bench.at(NOW, &whole.split(' ').collect::<Vec<_>>());
        for (bike, joint) in [("HIRE-03", "bar"), ("03", "ba-cl"), ("H-03", "BAR"), ("hi-03", "bar-c")] {
            let short = line.replacen("{}", bike, 1).replacen("{}", joint, 1);
            let said = bench.at(NOW, &short.split(' ').collect::<Vec<_>>());
            let ends = matches!(line.split(' ').next(), Some("record" | "ride" | "event"));
            // What is recorded anew has another number.
            let same = ends || said.out == wanted.out;
            assert!(said.status == wanted.status && same, "{short}: {}{}", said.out, said.err);
            assert!(said.out.contains("hire-03") || line.starts_with("check"), "{short}: {}", said.out);
        }
    }
    let said = bench.at(NOW, &["check", "03/bar", "5"]);
    assert!(said.err.contains("`03/bar` is hire-03/bar-clamp"), "{}", said.err);
}

#[test]
fn a_short_name_of_several_offers_them_and_a_number_is_not_cut() {
    let bench = shop();
    for (words, says) in [
        (&["ready", "hire"][..], "it may be hire-03, hire-12: write more of it"),
        (&["record", "hire-03/rotor", "5 N·m"], "it may be rotor-front, rotor-front-thickness, rotor-rear"),
        (&["ready", "hire-1"], "no bicycle is called `hire-1`"),
        (&["bike", "joint", "edit", "loan/bar,front", "--bolts", "1"], "it may be"),
        // Who was retired is called in full.
        (&["bike", "show", "old"], "no bicycle is called `old`"),
        (&["ride", "old-9", "2h"], "old-9 was retired"),
        (&["ready", ""], "no bicycle is called ``"),
        (&["check", "loan-7/", "5"], "`loan-7/`"),
    ] {
        let said = bench.at(NOW, words);
        assert!(said.status == 2 && said.err.contains(says), "{words:?}: {}", said.err);
    }
    // The whole name is never short for another.
    bench.done(NOW, &["bike", "add", "hire", "--kind", "road-rim"]);
    assert!(bench.at(NOW, &["bike", "show", "hire"]).out.starts_with("hire  (road-rim)"));
    // A file names its joints in full.
    std::fs::write(bench.path("log.csv"), "bike,joint,value,unit\nhire-03,bar,5,N·m\n").unwrap();
    let said = bench.at(NOW, &["record", "--from", "log.csv"]);
    assert!(
        said.status == 1 && said.out.contains("hire-03 has no joint `bar`; nearest: bar-clamp"),
        "{}",
        said.out
    );
    let said = bench.piped(NOW, &["bike", "sheet", "03", "--from", "-"], "joint,marking\nbar,5 N·m\n");
    assert!(said.status == 2 && said.err.contains("hire-03 has no joint `bar`"), "{}", said.err);
}

/// A joint of a bicycle instead of an entry: its own figure, bolts and side count.
#[test]
fn an_order_for_a_joint_is_by_its_own_figure_and_bolts() {
    let bench = shop();
    let order = |words: &[&str]| bench.json_at(NOW, &[&["order"], words].concat()).1;
    let keys = ["specified", "layout", "bolts", "sequence", "passes", "kind"];
    let of_joint = order(&["03/bar"]);
    let of_entry = order(&["stem-face-plate-four-bolt", "--torque", "4-6 N·m"]);
    for key in keys {
        assert_eq!(of_joint[key], of_entry[key], "{key}");
    }
    assert_eq!(
        (&of_joint["ground"], &of_entry["ground"]),
        (&"marking on the part".into(), &"as given".into())
    );
    // The joint that comes first has the figure of this bicycle too.
    for words in [
        &["stem-steerer", "--marking", "5 N·m"][..],
        &["rotor-front", "--marking", "4 N·m", "--bolts", "4", "--why", "of no use here"],
        &["rotor-rear", "--marking", "4 N·m", "--grade", "4.6", "--thread", "M5"],
    ] {
        bench.done(NOW, &[&["bike", "joint", "edit", "hire-03"], words].concat());
    }
    for words in [
        &["cap", "--entry", "headset-top-cap", "--marking", "max 1.2 N·m"][..],
        &["lamp", "--entry", "general-m5", "--bolts", "2", "--hand", "left"],
    ] {
        bench.done(NOW, &[&["bike", "joint", "add", "hire-03"], words].concat());
    }
    let stem = order(&["hire-03/stem-steerer"]);
    assert_eq!(
        (&stem["specified"], &stem["first"]["ground"]),
        (&"5 N·m".into(), &"marking on the part; low side from the band".into())
    );
    let rotor = order(&["hire-03/rotor-front"]);
    assert_eq!((&rotor["bolts"], rotor["sequence"].as_array().unwrap().len()), (&4.into(), 4));
    let said = bench.at(NOW, &["order", "hire-03/rotor-rear"]);
    assert!(said.status == 1 && said.out.contains("too much for the bolt"), "{}{}", said.out, said.err);
    let lamp = bench.at(NOW, &["order", "hire-03/lamp"]);
    assert!(lamp.out.contains("its 2 bolts are several clamps of 1"), "{}", lamp.out);
    assert!(lamp.out.contains("LEFT-HAND") || lamp.out.contains("anticlockwise"), "{}", lamp.out);
    for (path, says) in [
        ("hire-03/headset", "headset is not checked by torque"),
        ("hire-12/stem-steerer", "--torque"),
        ("hire-03/nope", "hire-03 has no joint `nope`"),
    ] {
        let said = bench.at(NOW, &["order", path]);
        assert!(said.status == 2 && said.err.contains(says), "{path}: {}", said.err);
    }
}

#[test]
fn a_joint_is_shown_as_its_entry_with_what_counts_there_first() {
    let bench = shop();
    let said = bench.at(NOW, &["show", "03/bar"]);
    let counts = said.out.find("Counts    hire-03/bar-clamp: 4–6 N·m (marking on the part");
    assert!(said.status == 0 && counts.is_some() && counts < said.out.find('┏'), "{}", said.out);
    let (_, shown) = bench.json_at(NOW, &["show", "hire-03/bar-clamp", "--wrench", "small"]);
    let (_, entry) = bench.json_at(NOW, &["show", "stem-face-plate-four-bolt", "--wrench", "small"]);
    assert_eq!((&shown["entry"], &shown["evidence"]), (&entry["entry"], &entry["evidence"]));
    assert_eq!((&shown["on"]["specified"], &entry["on"]), (&"4–6 N·m".into(), &serde_json::Value::Null));
    // The setting is for the joint, not for the entry.
    let (_, checked) = bench.json_at(NOW, &["check", "hire-03/bar-clamp", "5", "--wrench", "small"]);
    assert_eq!(shown["aim"]["setting_nm"], checked["aim"]["setting_nm"], "{}", shown["aim"]);
    let said = bench.at(NOW, &["show", "03/headset"]);
    assert!(said.status == 0 && !said.out.contains("Counts "), "{}", said.out);
    let said = bench.at(NOW, &["show", "03/wheel-f"]);
    assert!(said.status == 2 && said.err.contains("checked by hand and has no entry"), "{}", said.err);
}

/// An entry or measured item may be called by a short name where a joint is added or changed; the answer says which it
/// is, and where several are meant they are offered and nothing is changed.
#[test]
fn the_entry_of_a_joint_may_be_a_short_name() {
    let bench = shop();
    let bike = bench.json_at(NOW, &["bike", "list"]).1[0]["bike"].as_str().unwrap().to_owned();
    let edit = |more: &[&str]| bench.at(NOW, &[&["bike", "joint"], more].concat());
    let joint = |name: &str| {
        let shown = bench.json_at(NOW, &["bike", "show", &bike]).1;
        shown["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == name).cloned()
    };
    let said = edit(&["add", &bike, "cage", "--entry", "bottle-cage"]);
    assert_eq!(said.status, bench.at(NOW, &["bike", "show", &bike]).status, "{}", said.err);
    assert!(said.err.contains("`bottle-cage` is bottle-cage-bolt"), "{}", said.err);
    assert_eq!(joint("cage").unwrap()["entry"], "bottle-cage-bolt");

    let said = edit(&["edit", &bike, "cage", "--entry", "rotor-bolt"]);
    assert!(said.err.contains("`rotor-bolt` is rotor-bolt-six"), "{}", said.err);
    assert_eq!(joint("cage").unwrap()["entry"], "rotor-bolt-six");

    edit(&["add", &bike, "disc", "--check", "measure", "--entry", "rotor-thick"]);
    assert_eq!(joint("disc").unwrap()["entry"], "rotor-thickness");

    let said = edit(&["edit", &bike, "cage", "--entry", "rotor"]);
    assert!(said.err.contains("it may be rotor-bolt-six, rotor-lockring"), "{}", said.err);
    assert_eq!(joint("cage").unwrap()["entry"], "rotor-bolt-six");
    let said = edit(&["add", &bike, "other", "--entry", "rotor"]);
    assert!(said.err.contains("it may be rotor-bolt-six, rotor-lockring"), "{}", said.err);
    assert!(joint("other").is_none());
}
