//! `record`: values, units, findings, corrections, and what is refused.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

fn shop() -> Bench {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "4-6 N·m"]);
    let add = ["wrench", "add", "small", "--type", "click", "--scale", "20-90 in-lb", "--step", "1"];
    assert_eq!(bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat()).status, 0);
    bench
}

#[test]
fn several_bolts_in_one_line_with_the_unit_echoed() {
    let bench = shop();
    let (status, answer) = bench
        .json_at(NOW, &["record", "loan-7/bar-clamp", "5.0", "5.1", "4.9", "5.0", "N·m", "--who", "Kim"]);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("sound")));
    let values: Vec<&str> =
        answer["recorded"].as_array().unwrap().iter().map(|line| line["value"].as_str().unwrap()).collect();
    assert_eq!(values, ["5.0 N·m", "5.1 N·m", "4.9 N·m", "5.0 N·m"]);
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp#2", "5"]);
    assert!(
        said.err.contains("read as N·m") && said.out.contains("tightened 5 N·m"),
        "{}{}",
        said.err,
        said.out
    );
    // A bare number on a wrench is in the unit of its scale.
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp#2", "44", "--wrench", "small"]);
    assert!(
        said.err.contains("read as lbf·in") && said.out.contains("44 lbf·in"),
        "{}{}",
        said.err,
        said.out
    );
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp#3", "5,2 Nm"]);
    assert!(said.out.contains("5.2 N·m"), "{}", said.out);
}

#[test]
fn found_and_left_values_are_two_lines_of_one_visit() {
    let bench = shop();
    let arguments = ["record", "loan-7/bar-clamp", "5", "5", "5", "5", "N·m", "--found", "3.5 - 3 4 N·m"];
    let (status, answer) = bench.json_at(NOW, &arguments);
    assert_eq!((status, answer["recorded"].as_array().unwrap().len()), (0, 7));
    assert_eq!(answer["recorded"][0]["kind"], "moved");
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp#1"]);
    let kinds: Vec<&str> =
        history["readings"].as_array().unwrap().iter().map(|row| row["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["moved", "tightened"]);
}

/// What was found of the bolt and what was done about it belong to the value that was set, not to the one found.
#[test]
fn a_found_value_carries_neither_the_finding_nor_the_action() {
    let bench = shop();
    let values = ["record", "loan-7/bar-clamp#1", "5 N·m", "--found", "3 N·m"];
    let found = ["--finding", "creaks", "--action", "re-tightened"];
    bench.at(NOW, &[&values[..], &found].concat());
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp#1"]);
    let said: Vec<(&str, &serde_json::Value, &serde_json::Value)> = history["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (row["kind"].as_str().unwrap(), &row["finding"], &row["action"]))
        .collect();
    let (none, creaks, done) = (serde_json::Value::Null, "creaks".into(), "re-tightened".into());
    assert_eq!(said, [("moved", &none, &none), ("tightened", &creaks, &done)]);
}

#[test]
fn a_finding_needs_no_number() {
    let bench = shop();
    for finding in ["loose", "cracked"] {
        let said = bench.at(NOW, &["record", "loan-7/bar-clamp", "--finding", finding]);
        assert_eq!(said.status, 1, "{finding}: {}", said.out);
    }
    let new = [
        "record",
        "loan-7/bar-clamp",
        "5",
        "5",
        "5",
        "5",
        "N·m",
        "--action",
        "replaced",
        "--note",
        "new plate",
    ];
    assert_eq!(bench.at(NOW, &new).status, 0);
}

#[test]
fn an_implausible_value_asks_to_be_repeated() {
    let bench = shop();
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp#1", "30 N·m"]);
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    assert!(said.err.contains("30 lbf·in would be 3.39 N·m") && said.err.contains("--yes"), "{}", said.err);
    assert!(
        bench.json_at(NOW, &["history", "loan-7/bar-clamp"]).1["readings"].as_array().unwrap().is_empty()
    );
    assert_eq!(bench.at(NOW, &["record", "loan-7/bar-clamp#1", "30 N·m", "--yes"]).status, 1);
    // What would tear any bolt of the thread was never read.
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp#1", "44 N·m", "--yes"]);
    assert!(said.status == 2 && said.err.contains("44 lbf·in would be 5.0 N·m"), "{}", said.err);
    // A bad tightening is no slip: it is kept at once.
    assert_eq!(bench.at(NOW, &["record", "loan-7/bar-clamp#1", "7 N·m"]).status, 1);
}

#[test]
fn a_correction_is_a_new_line_that_points_back() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/bar-clamp", "5", "5", "7", "5", "N·m"]);
    assert_eq!(bench.json_at(NOW, &["history", "loan-7/bar-clamp"]).1["verdict"], "high");
    let later = "2026-06-02T10:00:00+02:00";
    let correct = ["record", "loan-7/bar-clamp#3", "5 N·m", "--corrects", "3", "--note", "misread"];
    assert_eq!(bench.at(later, &correct).status, 0);
    let (_, history) = bench.json_at(later, &["history", "loan-7/bar-clamp", "--all"]);
    let rows = history["readings"].as_array().unwrap();
    assert_eq!(rows.len(), 5, "nothing is overwritten");
    let row = |id: i64| rows.iter().find(|row| row["id"] == id).unwrap();
    assert_eq!((&row(3)["corrected_by"], &row(5)["corrects"]), (&5.into(), &3.into()));
    assert_eq!(row(5)["taken_at"], row(3)["taken_at"], "the value was read then");
    for (wrong, told) in
        [("3", "corrected already"), ("999", "no reading 999"), ("1", "one of loan-7/bar-clamp")]
    {
        let bolt = if wrong == "1" { "loan-7/headset" } else { "loan-7/bar-clamp#3" };
        let said = bench.at(later, &["record", bolt, "--finding", "play", "--corrects", wrong]);
        assert!(said.status == 2 && said.err.contains(told), "{wrong}: {}", said.err);
    }
}

#[test]
fn times_carry_their_zone() {
    let bench = shop();
    for (at, shown) in [
        ("2026-05-31T18:00+02:00", "2026-05-31T18:00:00+02:00"),
        ("2026-05-31T18:00-05:00", "2026-05-31T18:00:00-05:00"),
        ("2026-05-31T16:00Z", "2026-05-31T16:00:00+00:00"),
    ] {
        let (_, answer) = bench.json_at(NOW, &["record", "loan-7/headset", "--finding", "fine", "--at", at]);
        assert_eq!(answer["recorded"][0]["taken_at"], shown);
    }
    // A time without an offset is one of the zone of the machine.
    let mut command =
        bench.command(&["record", "loan-7/headset", "--finding", "fine", "--at", "2026-01-15 18:00"]);
    let output =
        command.env("TZ", "EST5").env("EVENCLAMP_NOW", NOW).args(["--format", "json"]).output().unwrap();
    assert!(String::from_utf8_lossy(&output.stdout).contains("2026-01-15T18:00:00-05:00"));
}

#[test]
fn the_future_and_a_clock_set_back_are_named() {
    let bench = shop();
    let future = [
        "record",
        "loan-7/headset",
        "--finding",
        "fine",
        "--at",
        "2026-06-01T10:30+02:00",
        "--format",
        "json",
    ];
    let said = bench.at(NOW, &future);
    assert!(said.status == 2 && said.err.contains("\"future\""), "{}", said.err);
    bench.at(NOW, &["record", "loan-7/headset", "--finding", "fine"]);
    let back = "2026-05-01T10:00:00+02:00";
    let said = bench.at(back, &["record", "loan-7/headset", "--finding", "fine", "--format", "json"]);
    assert!(said.status == 2 && said.err.contains("\"clock\"") && said.err.contains("--yes"), "{}", said.err);
    assert_eq!(bench.at(back, &["record", "loan-7/headset", "--finding", "fine", "--yes"]).status, 0);
    // What was written down after the day that is asked about was not known then.
    let said = bench.at(back, &["ready", "loan-7", "--at", "2026-04-01"]);
    assert!(said.status == 2 && said.err.contains("not taken in yet"), "{}", said.err);
}

#[test]
fn what_is_checked_by_hand_takes_no_figure_by_any_way() {
    let bench = shop();
    for change in [
        &["edit", "loan-7/headset", "--marking", "5 N·m"][..],
        &["edit", "loan-7/headset", "--shop", "5 N·m"],
        &["edit", "loan-7/bar-clamp", "--marking", "5 N·m", "--check", "function"],
        &["add", "loan-7", "bell", "--check", "function", "--marking", "5 N·m"],
    ] {
        let said = bench.at(NOW, &[&["bike", "joint"], change].concat());
        assert_eq!(said.status, 2, "{change:?}: {}", said.out);
        assert!(said.err.contains("checked by hand, eye and ear: no figure decides it"), "{}", said.err);
        assert!(said.err.contains("is a joint of its own"), "{}", said.err);
    }
    std::fs::write(bench.path("sheet.csv"), "joint,marking\nheadset,5 N·m\n").unwrap();
    let said = bench.at(NOW, &["bike", "sheet", "loan-7", "--from", "sheet.csv"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("sheet.csv:2:9: loan-7/headset, marking: "), "{}", said.err);
    assert!(said.err.contains("the table has 1 complaint;"), "{}", said.err);

    assert_eq!(bench.at(NOW, &["export", "out"]).status, 0);
    bench.without_journal("out");
    let joints = std::fs::read_to_string(bench.path("out/joints.csv")).unwrap();
    let (header, rows) = joints.split_once('\n').unwrap();
    let at = header.split(',').position(|column| column == "shop").unwrap();
    let mark = |row: &str| {
        let mut fields: Vec<&str> = row.split(',').collect();
        if fields[1] == "headset" {
            fields[at] = "5 N·m";
        }
        fields.join(",")
    };
    let marked: Vec<String> = rows.lines().map(mark).collect();
    std::fs::write(bench.path("out/joints.csv"), format!("{header}\n{}\n", marked.join("\n"))).unwrap();
    let line = 2 + marked.iter().position(|row| row.contains(",headset,")).unwrap();
    let said = bench.at(NOW, &["import", "out", "--db", "new.db"]);
    assert_eq!(said.status, 2, "{}", said.out);
    assert!(said.err.contains("headset is checked by hand, eye and ear"), "{}", said.err);
    assert!(said.err.contains(&format!("joints.csv:{line}:")), "{}", said.err);
}

#[test]
fn wrong_requests_say_what_is_right_and_record_nothing() {
    let bench = shop();
    for (arguments, hint) in [
        (&["record", "loan-7"][..], "BIKE/JOINT"),
        (&["record", "nobody/headset", "--finding", "fine"], "bike add"),
        (&["record", "loan-7/headsett", "--finding", "fine"], "nearest: headset"),
        (&["record", "loan-7/bar-clamp", "5", "5"], "give one for each"),
        (&["record", "loan-7/bar-clamp#5", "5"], "its bolts are 1 to 4"),
        (&["record", "loan-7/bar-clamp#1", "5 kg"], ""),
        (&["record", "loan-7/bar-clamp#1", "5-6 N·m"], ""),
        (&["record", "loan-7/bar-clamp#1", "five"], "five"),
        (&["record", "loan-7/bar-clamp#1"], "--finding"),
        (&["record", "loan-7/bar-clamp#1", "5 N·m", "--wrench", "none"], "registered: small"),
        (&["record", "loan-7/bar-clamp#1", "5 N·m", "--kind", "by-hand"], "leave the value out"),
        (&["record", "loan-7/bar-clamp#1", "--finding", "odd"], "use one of fine"),
        (&["record", "loan-7/bar-clamp#1", "5 N·m", "--action", "glued"], "use one of none"),
        (&["record", "loan-7/bar-clamp#1", "5 N·m", "--at", "noon"], "zone"),
        (&["record", "loan-7/pads-front", "3 bar"], "give the value in mm"),
        (&["record", "loan-7/pads-front", "3 N·m"], ""),
    ] {
        let said = bench.at(NOW, arguments);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{arguments:?}");
        assert!(said.err.lines().count() >= 2 && said.err.contains(hint), "{arguments:?}: {}", said.err);
    }
    assert!(bench.at(NOW, &["backup", "b.db"]).out.starts_with("0 readings"));
}

#[test]
fn measured_checks_stand_on_the_same_footing() {
    let bench = shop();
    let (status, answer) = bench.json_at(NOW, &["record", "loan-7/rotor-front-thickness", "1.7"]);
    assert_eq!((status, answer["verdict"].as_str()), (3, Some("no value")));
    assert!(answer["reason"].as_str().unwrap().contains("makers differ"), "{answer}");
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "rotor-front-thickness", "--marking", "min 1.55 mm"]);
    let (status, answer) = bench.json_at(NOW, &["record", "loan-7/rotor-front-thickness", "1.7 mm"]);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("sound")));
    let (status, answer) = bench.json_at(NOW, &["record", "loan-7/chain", "0.9 %"]);
    assert_eq!((status, answer["verdict"].as_str()), (1, Some("high")));
}

#[test]
fn a_torque_that_would_tear_the_bolt_asks_to_be_repeated_even_without_a_figure() {
    let bench = shop();
    // Nobody's figure counts for this screw, but its thread is known.
    bench.done(NOW, &["bike", "joint", "add", "loan-7", "rack", "--entry", "rack-boss-bolt-m5"]);
    let said = bench.at(NOW, &["record", "loan-7/rack#1", "44 N·m"]);
    assert!(said.status == 2 && said.err.contains("would tear"), "{}", said.err);
    assert_eq!(bench.at(NOW, &["record", "loan-7/rack#1", "5 N·m"]).status, 3);
    // Greased, a torque pulls harder: what may pass dry would tear it. What stands with the joint counts before
    // its entry: an M8 bears what an M5 does not.
    let edit = |option, value| bench.at(NOW, &["bike", "joint", "edit", "loan-7", "rack", option, value]);
    let record = |value| bench.at(NOW, &["record", "loan-7/rack#1", value]).status;
    assert_eq!(record("20 N·m"), 3);
    edit("--condition", "greased");
    assert_eq!(record("20 N·m"), 2);
    edit("--thread", "M8");
    assert_eq!(record("20 N·m"), 3);
    let said = bench.at(NOW, &["bike", "joint", "edit", "loan-7", "seat-collar", "--thread", "M5.5x9"]);
    assert_eq!((said.status, said.out.as_str()), (2, ""));
}

#[test]
fn check_takes_a_joint_of_a_bicycle() {
    let bench = shop();
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "caliper-front", "--marking", "max 7 N·m"]);
    let (status, answer) = bench.json_at(NOW, &["check", "loan-7/caliper-front", "5 N·m"]);
    assert_eq!((status, answer["verdict"].as_str(), answer["form"].as_str()), (1, Some("low"), Some("max")));
    assert_eq!(answer["limits"]["low_nm"].as_f64(), Some(6.0), "the low side is the band's");
    assert!(answer["ground"].as_str().unwrap().starts_with("marking on the part"), "{answer}");
    for wrong in ["loan-7/headset", "loan-7/no-such", "nobody/headset"] {
        let said = bench.at(NOW, &["check", wrong, "5 N·m"]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{wrong}");
    }
    assert!(
        bench.json_at(NOW, &["history", "loan-7/caliper-front"]).1["readings"].as_array().unwrap().is_empty()
    );
}

/// A bolt found without any torque is no torque to hold against its strength.
/// Zero, or less than the smallest division of the wrench, is no reading: a ceiling would call it sound.
#[test]
fn nothing_read_is_no_reading() {
    let bench = shop();
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "max 5 N·m"]);
    for values in [&["0", "0", "0", "0"][..], &["5", "5", "0.05", "5", "--wrench", "small"]] {
        let said = bench.at(NOW, &[&["record", "loan-7/bar-clamp"], values].concat());
        assert!(
            said.status == 2 && said.err.contains("is no reading"),
            "{values:?}: {}{}",
            said.out,
            said.err
        );
    }
    assert_eq!(bench.at(NOW, &["check", "max 5 N·m", "0 N·m"]).status, 2);
    assert_eq!(bench.at(NOW, &["check", "4-6 N·m", "0.05 N·m", "--step", "0.1"]).status, 2);
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp"]);
    assert_eq!(history["readings"], serde_json::json!([]));
    std::fs::write(bench.path("log.csv"), "bike,joint,bolt,value,unit\nloan-7,bar-clamp,1,0,N·m\n").unwrap();
    let said = bench.at(NOW, &["record", "--from", "log.csv"]);
    assert!(said.status != 0 && (said.out + &said.err).contains("no reading"));
    let said = bench.at(NOW, &["audit", "log.csv", "--verdicts", "judged.csv", "--format", "json"]);
    assert!(said.out.contains("\"rejected\": 1"), "{}", said.out);
    assert!(std::fs::read_to_string(bench.path("judged.csv")).unwrap().contains("`0` is no reading"));
    // What a ceiling leaves open is said wherever it is called sound.
    let (_, recorded) = bench.json_at(NOW, &["record", "loan-7/stem-steerer", "4", "4", "N·m"]);
    assert!(recorded["reason"].is_string(), "{recorded}");
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "stem-steerer", "--marking", "max 5 N·m"]);
    let (_, recorded) = bench.json_at(NOW, &["record", "loan-7/stem-steerer", "4", "4", "N·m"]);
    let reason = recorded["reason"].as_str().unwrap();
    assert!(reason.contains("low side not judged") && reason.contains("wrench not known"), "{reason}");
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let joints = ready["joints"].as_array().unwrap();
    let of = joints.iter().find(|joint| joint["joint"] == "stem-steerer").unwrap();
    assert!(of["reason"].as_str().unwrap().contains("low side not judged"), "{of}");
}

/// What is examined takes no torque, and what is tightened no `fine`.
#[test]
fn hand_checks_take_no_torque_and_torque_joints_no_fine() {
    let bench = shop();
    for joint in ["headset", "wheel-front"] {
        let said = bench.at(NOW, &["record", &format!("loan-7/{joint}"), "5 N·m"]);
        assert!(
            said.status == 2 && said.err.contains("checked by hand") && said.err.contains("--finding fine"),
            "{}",
            said.err
        );
    }
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp", "--finding", "fine"]);
    assert!(
        said.status == 2 && said.err.contains("says nothing of it") && said.err.contains("--kind held"),
        "{}",
        said.err
    );
}

/// A wrench that is named earns no less than one that is not, unless something is known against it.
#[test]
fn a_named_wrench_is_never_worse_than_none() {
    let bench = shop();
    let add = ["wrench", "add", "new", "--type", "click", "--scale", "2-10 N·m"];
    assert!(bench.at(NOW, &add).err.contains("--bought"));
    let add =
        ["wrench", "add", "shop-new", "--type", "click", "--scale", "2-10 N·m", "--bought", "2026-05-20"];
    bench.at(NOW, &add);
    let check = |more: &[&str]| bench.json_at(NOW, &[&["check", "4-6 N·m", "5 N·m"], more].concat());
    let noted = |answer: &serde_json::Value| answer["reasons"].to_string().contains("wrench not known");
    for (more, known) in [
        (&[][..], false),
        (&["--wrench", "new"], false),
        (&["--wrench", "nobody"], false),
        (&["--wrench", "shop-new"], true),
    ] {
        let (status, answer) = check(more);
        assert_eq!((status, answer["verdict"].as_str()), (0, Some("inside")), "{more:?}: {answer}");
        assert_eq!(noted(&answer), !known, "{more:?}: {answer}");
    }
    assert!(check(&["--wrench", "nobody"]).1["notes"][0].as_str().unwrap().contains("`nobody`"));
    for (wrench, known) in [("new", false), ("shop-new", true)] {
        let (_, said) = bench
            .json_at(NOW, &["record", "loan-7/bar-clamp", "5", "5", "5", "5", "N·m", "--wrench", wrench]);
        assert_eq!(said["verdict"], "sound", "{wrench}: {said}");
        assert_eq!(said["reason"].as_str().unwrap().contains("wrench not known"), !known, "{said}");
    }
    std::fs::write(
        bench.path("log.csv"),
        "entry,value,unit,wrench,taken_at\ncrank-pinch-bolts,13,N·m,nobody,2026-05-30\n",
    )
    .unwrap();
    bench.at(NOW, &["audit", "log.csv", "--verdicts", "judged.csv"]);
    let judged = std::fs::read_to_string(bench.path("judged.csv")).unwrap();
    assert!(judged.contains("inside") && judged.contains("wrench not known"), "{judged}");
}

/// Every verdict that is not good says in the same breath what to do now.
#[test]
fn a_verdict_that_is_not_good_says_what_to_do_now() {
    let bench = shop();
    for (spec, reading, more, now) in [
        ("4-6 N·m", "8 N·m", &[][..], "slacken it fully, look for marks"),
        ("4-6 N·m", "3 N·m", &[], "finish it"),
        ("4-6 N·m", "5.9 N·m", &[], "slacken it fully, then tighten it anew"),
        ("4-6 N·m", "4.1 N·m", &[], "tighten on to the aim"),
        ("5-5.1 N·m", "5.05 N·m", &[], "finer wrench"),
        ("chainring-bolt-steel", "5 N·m", &[], "read the marking on the part"),
        ("4-6 N·m", "5 N·m", &["--kind", "moved"], "missing locking"),
    ] {
        let words = [&["check", spec, reading], more].concat();
        let (status, answer) = bench.json_at(NOW, &words);
        assert_ne!(status, 0, "{words:?}");
        assert!(answer["next"].as_str().unwrap().contains(now), "{words:?}: {answer}");
        let text = bench.at(NOW, &words).out;
        assert!(text.contains("Now       "), "{text}");
        let sheet = bench.at(NOW, &[&words[..], &["--format", "csv"]].concat()).out;
        assert!(sheet.contains(now), "{sheet}");
    }
    assert!(bench.json_at(NOW, &["check", "4-6 N·m", "5 N·m"]).1["next"].is_null());
}

/// Two parts that no wrench can serve at once are told wherever the joint is met.
#[test]
fn two_parts_that_exclude_each_other_are_told_everywhere() {
    let bench = shop();
    for (bar, told) in
        [("bar:max 5 N·m", "less room than a wrench can hold"), ("bar:max 4 N·m", "do not belong together")]
    {
        let edit =
            ["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "stem:5-6 N·m", "--marking", bar];
        let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (_, shown) = bench.json_at(NOW, &edit);
        assert!(shown.to_string().contains(told), "{shown}");
        let (_, check) = bench.json_at(NOW, &["check", "loan-7/bar-clamp", "4.5 N·m"]);
        assert!(check["notes"].to_string().contains(told), "{check}");
        for words in [
            &["check", "loan-7/bar-clamp", "4.5 N·m", "--format", "csv"][..],
            &["record", "loan-7/bar-clamp#1", "4.5 N·m"],
            &["record", "loan-7/bar-clamp#1", "4.5 N·m", "--format", "json"],
            &["wrench", "pick", "loan-7/bar-clamp"],
            &["wrench", "pick", "loan-7/bar-clamp", "--format", "json"],
            &["card", "loan-7"],
            &["card", "loan-7", "--format", "json"],
        ] {
            assert!(flat(bench.at(NOW, words).out).contains(told), "{words:?}");
        }
        assert!(flat(bench.at(NOW, &["ready", "loan-7", "--all"]).out).contains(told));
        let (_, recorded) = bench.json_at(NOW, &["record", "loan-7/bar-clamp#2", "3.5 N·m"]);
        let next = recorded["next"].as_str().unwrap();
        assert!(next.contains("fit parts that belong together") && !next.contains("tighten to"), "{next}");
        assert!(bench.question(NOW, &["visit", "loan-7", "--anew"], "bar-clamp").contains(told));
    }
}

#[test]
fn what_is_said_of_several_values_alike_is_said_once() {
    let bench = shop();
    let words = ["record", "loan-7/rotor-front", "30", "30", "30", "-", "-", "-", "N·m", "--yes"];
    let (_, answer) = bench.json_at(NOW, &words);
    let hints = answer["hints"].as_array().unwrap();
    assert!(hints.len() == 1 && hints[0].as_str().unwrap().contains("would be 3.39 N·m"), "{hints:?}");
}

/// An operation of the wrench is a torque that it read.
#[test]
fn a_finding_takes_no_wrench_and_a_value_does() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/headset", "--finding", "fine", "--wrench", "small"]);
    bench.at(NOW, &["record", "loan-7/bar-clamp#1", "44", "--wrench", "SMALL"]);
    for (joint, wrench) in [("headset", serde_json::Value::Null), ("bar-clamp", "small".into())] {
        let (_, history) = bench.json_at(NOW, &["history", &format!("loan-7/{joint}")]);
        assert_eq!(history["readings"][0]["wrench"], wrench, "{joint}");
    }
}

#[test]
fn a_correction_is_for_one_bolt() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/bar-clamp", "5", "5", "7", "5", "N·m"]);
    let several = ["record", "loan-7/bar-clamp", "--corrects", "3", "5", "5", "5", "5", "N·m"];
    let said = bench.at(NOW, &several);
    assert!(said.status == 2 && said.err.contains("name the bolt and give one value"), "{}", said.err);
    // A finding is put to what was read on the bolt that is corrected.
    bench.done(NOW, &["record", "loan-7/bar-clamp", "--corrects", "3", "--finding", "play"]);
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp#3"]);
    let last = history["readings"].as_array().unwrap().last().unwrap();
    assert_eq!((&last["value"], &last["finding"]), (&"7 N·m".into(), &"play".into()));
    // What was done alone is worth a line as well.
    let said = bench.at(NOW, &["record", "loan-7/bar-clamp#3", "--action", "re-tightened"]);
    assert!(said.status == 1 && said.out.contains("bolt 3: re-tightened"), "{}{}", said.out, said.err);
}

/// What was done about a finding was done, also where a value was meant in its place.
#[test]
fn a_value_in_the_place_of_a_finding_keeps_what_was_done() {
    let bench = shop();
    let found = ["record", "loan-7/bar-clamp#1", "--finding", "loose", "--action", "re-tightened"];
    bench.at(NOW, &found);
    bench.at(NOW, &["record", "loan-7/bar-clamp#1", "5 N·m", "--corrects", "1"]);
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp#1", "--all"]);
    let last = history["readings"].as_array().unwrap().last().unwrap();
    let told = (&last["corrects"], &last["kind"], &last["finding"], &last["action"]);
    assert_eq!(told, (&1.into(), &"tightened".into(), &serde_json::Value::Null, &"re-tightened".into()));
}

/// What is refused where it is typed is refused in a log as well, each row with its reason.
#[test]
fn a_log_is_held_to_what_the_typed_form_is_held_to() {
    let bench = shop();
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--thread", "M5"]);
    for (row, reason) in [
        ("loan-7,headset,1,5,N·m,tightened,", "no value says anything of it"),
        ("loan-7,bar-clamp,1,50,N·m,tightened,", "would tear any bolt of M5"),
        ("loan-7,bar-clamp,2,0.05,N·m,tightened,small", "smallest division"),
        ("loan-7,rotor-front-thickness,1,5,N·m,tightened,", "no torque says anything of it"),
    ] {
        let log = format!("bike,joint,bolt,value,unit,kind,wrench\n{row}\n");
        std::fs::write(bench.path("log.csv"), log).unwrap();
        let said = bench.at(NOW, &["record", "--from", "log.csv", "--format", "json"]);
        assert!(
            said.out.contains("\"rejected\": 1") && said.out.contains(reason),
            "{row}: {}{}",
            said.out,
            said.err
        );
    }
}

/// A hint is told once, however many bolts it is about.
#[test]
fn what_explains_several_values_is_told_once() {
    let bench = shop();
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "max 5 N·m"]);
    let (_, said) = bench.json_at(NOW, &["record", "loan-7/bar-clamp", "5.4", "5.4", "5.4", "5.4", "N·m"]);
    let hints: Vec<String> =
        said["hints"].as_array().unwrap().iter().map(|hint| hint.as_str().unwrap().to_owned()).collect();
    let once: std::collections::BTreeSet<&String> = hints.iter().collect();
    assert_eq!(once.len(), hints.len(), "{hints:?}");
}

/// A range from 0 has no low side, as a ceiling has none.
#[test]
fn a_range_from_zero_is_judged_like_a_ceiling() {
    let bench = shop();
    for spec in ["0-6 N·m", "max 6 N·m"] {
        let (status, said) = bench.json_at(NOW, &["check", spec, "0.2 N·m"]);
        assert_eq!((status, said["verdict"].as_str()), (0, Some("inside")), "{spec}");
        assert!(said["reasons"].to_string().contains("low side not judged"), "{spec}: {said}");
    }
}

/// What a wrench that nobody knows held is taken, and said to be.
#[test]
fn what_held_with_a_wrench_that_is_not_known_says_so() {
    let bench = shop();
    for (wrench, is_noted) in [(&[][..], true), (&["--wrench", "small"], false)] {
        let held = ["record", "loan-7/bar-clamp", "4.5", "4.5", "4.5", "4.5", "N·m", "--kind", "held"];
        let (status, answer) = bench.json_at(NOW, &[&held[..], wrench].concat());
        let reason = answer["reason"].as_str().unwrap();
        assert_eq!((status, reason.contains("; wrench not known")), (0, is_noted), "{reason}");
    }
}

#[test]
fn a_measure_that_no_part_has_is_refused_and_no_wrench_is_noted_with_one() {
    let bench = shop();
    for (joint, value, range) in [
        ("rotor-front-thickness", "5 mm", "0.5 mm to 3 mm"),
        ("rotor-front-thickness", "0.2 in", "0.5 mm to 3 mm"),
        ("chain", "60 %", "0 % to 5 %"),
    ] {
        let said = bench.at(NOW, &["record", &format!("loan-7/{joint}"), value]);
        assert!(said.status == 2 && said.err.contains(range), "{value}: {}", said.err);
    }
    bench.done(
        NOW,
        &[
            "bike",
            "joint",
            "add",
            "loan-7",
            "pressure",
            "--check",
            "measure",
            "--entry",
            "tyre-pressure-mountain",
        ],
    );
    let said = bench.at(NOW, &["record", "loan-7/pressure", "300 bar"]);
    assert!(said.status == 2 && said.err.contains("0 bar to 8 bar"), "{}", said.err);
    let log = "bike,joint,bolt,value,unit,taken_at\nloan-7,rotor-front-thickness,1,5,mm,2026-05-30T10:00:00+02:00\n";
    std::fs::write(bench.path("measures.csv"), log).unwrap();
    let said = bench.at(NOW, &["record", "--from", "measures.csv"]);
    assert!(
        said.out.contains("5 mm is not possible") || said.err.contains("5 mm is not possible"),
        "{}",
        said.out
    );
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/rotor-front-thickness"]);
    assert_eq!(history["readings"].as_array().map(Vec::len), Some(0), "nothing was recorded");
    let measured = ["record", "loan-7/rotor-front-thickness", "1.9 mm", "--wrench", "small"];
    let (_, answer) = bench.json_at(NOW, &measured);
    assert_eq!(
        (answer["verdict"].as_str(), answer["recorded"][0]["kind"].as_str()),
        (Some("sound"), Some("measured"))
    );
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/rotor-front-thickness"]);
    let line = &history["readings"][0];
    assert_eq!((line["kind"].as_str(), line["value"].as_str()), (Some("measured"), Some("1.9 mm")));
    assert!(line["wrench"].as_str().is_none_or(str::is_empty), "{line}");
}

#[test]
fn a_record_of_nothing_is_refused() {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    for values in [&["loan-7/crank-left#1", "-"][..], &["loan-7/crank-left", "-", "-"]] {
        let said = bench.at(NOW, &[&["record"], values].concat());
        assert!(said.status == 2 && said.err.contains("nothing to record"), "{}{}", said.out, said.err);
    }
}
