//! A whole log in and out: all or nothing, good rows only, and the way to a new database and back.

use crate::bench::Bench;

const NOW: &str = "2026-06-10T10:00:00+02:00";

fn shop() -> Bench {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "4-6 N·m"]);
    let add = ["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m", "--step", "0.1"];
    bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat());
    bench
}

fn readings(bench: &Bench) -> String {
    let backup = bench.path("count.db");
    let said = bench.at(NOW, &["backup", backup.to_str().unwrap()]);
    std::fs::remove_file(backup).unwrap();
    said.out.split_whitespace().next().unwrap_or_default().to_owned()
}

const GOOD: &str = "taken_at,bike,joint,bolt,value,unit,kind,wrench,who,note
2026-06-01T10:00:00+02:00,loan-7,bar-clamp,1,5.0,N·m,tightened,small,Kim,
2026-06-01T10:01:00+02:00,LOAN-7,Bar-Clamp,2,44,in-lb,tightened,small,Kim,\"one, two\"
2026-06-01T10:02:00+02:00,loan-7,headset,1,,,by-hand,,Kim,
";
const BAD: &str = "2026-06-01T10:00:00+02:00,loan-7,bar-clamp,1,5.0,N·m,tightened,small,Kim,
2026-07-01T10:00:00+02:00,loan-7,bar-clamp,3,5.0,N·m,tightened,small,Kim,
2026-06-01T10:03:00+02:00,loan-7,bar-clamp,9,5.0,N·m,tightened,small,Kim,
2026-06-01T10:04:00+02:00,loan-7,no-such,1,5.0,N·m,tightened,small,Kim,
2026-06-01T10:05:00+02:00,loan-7,bar-clamp,3,5.0,N·m,tightened,lost,Kim,
2026-06-01T10:06:00+02:00,loan-7,bar-clamp,3
";

#[test]
fn a_log_is_taken_whole_or_not_at_all() {
    let bench = shop();
    std::fs::write(bench.path("good.csv"), GOOD).unwrap();
    std::fs::write(bench.path("bad.csv"), format!("{GOOD}{BAD}")).unwrap();
    let said = bench.at(NOW, &["record", "--from", "bad.csv"]);
    assert_eq!(said.status, 1);
    for complaint in [
        "bad.csv:5: duplicate of reading",
        "bad.csv:6: 2026-07-01T10:00:00+02:00 lies in the future",
        "bad.csv:7: bar-clamp has no bolt 9",
        "bad.csv:8: loan-7 has no joint `no-such`",
        "bad.csv:9: no wrench is called `lost`",
        "bad.csv:10: the row has 4 fields",
    ] {
        let found = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(found.contains(complaint), "{complaint}: {}", said.out);
    }
    assert_eq!(readings(&bench), "0");
    let said = bench.at(NOW, &["record", "--from", "good.csv"]);
    assert!(said.status == 0 && said.out.starts_with("3 rows: 3 recorded"), "{}{}", said.out, said.err);
    let again = bench.at(NOW, &["record", "--from", "good.csv"]);
    assert!(again.status == 1 && again.out.contains("duplicate"), "the same file twice: {}", again.out);
    assert_eq!(readings(&bench), "3");
}

#[test]
fn the_first_twenty_bad_rows_are_named_and_the_rest_are_counted() {
    let bench = shop();
    let log = |rows: usize| format!("bike,joint,value,unit\n{}", "loan-7,no-such,5,N·m\n".repeat(rows));
    for (rows, rest) in [(20, None), (21, Some("and 1 more")), (25, Some("and 5 more"))] {
        std::fs::write(bench.path("bad.csv"), log(rows)).unwrap();
        let said = bench.at(NOW, &["record", "--from", "bad.csv"]);
        assert_eq!(said.out.matches("loan-7 has no joint `no-such`").count(), 20, "{rows}");
        assert_eq!(said.out.lines().find(|line| line.contains(" more")).map(str::trim), rest, "{rows}");
    }
}

/// The numbers of a file are its own: what was recorded before has other ones.
#[test]
fn a_correction_in_a_log_points_to_a_row_above_it_in_that_log() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/headset", "--finding", "fine"]);
    let log = "id,corrects,taken_at,bike,joint,bolt,value,unit
7,,2026-06-01,loan-7,bar-clamp,1,9,N·m
8,7,2026-06-01,loan-7,bar-clamp,1,5,N·m
9,1,2026-06-01,loan-7,bar-clamp,2,5,N·m
,,2026-06-01,loan-7,bar-clamp,0,5,N·m
";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let (status, said) = bench.json_at(NOW, &["record", "--from", "log.csv", "--keep-good"]);
    assert_eq!((status, &said["recorded"], &said["rejected"]), (1, &2.into(), &2.into()));
    let told = |index: usize| said["complaints"][index].as_str().unwrap();
    assert!(told(0).ends_with("it corrects reading 1, which stands nowhere above it in this file"), "{said}");
    assert!(told(1).ends_with("bar-clamp has no bolt 0; its bolts are 1 to 4"), "{said}");
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp", "--all"]);
    let rows = history["readings"].as_array().unwrap();
    let pairs: Vec<_> = rows.iter().map(|row| (&row["id"], &row["corrects"], &row["corrected_by"])).collect();
    let none = serde_json::Value::Null;
    assert_eq!(pairs, [(&2.into(), &none, &3.into()), (&3.into(), &2.into(), &none)]);
}

#[test]
fn good_rows_are_kept_on_request_and_the_others_stand_beside_the_file() {
    let bench = shop();
    std::fs::write(bench.path("log.csv"), format!("{GOOD}{BAD}")).unwrap();
    let said = bench.at(NOW, &["record", "--from", "log.csv", "--keep-good"]);
    assert!(said.status == 1 && said.out.starts_with("9 rows: 3 recorded, 6 rejected"), "{}", said.out);
    let rejects = std::fs::read_to_string(bench.path("log.rejected.csv")).unwrap();
    assert_eq!(rejects.lines().count(), 7);
    assert!(rejects.starts_with("taken_at,") && rejects.lines().nth(1).unwrap().contains("duplicate"));
    assert_eq!(readings(&bench), "3");
}

/// Rows rejected earlier are the user's only copy once they were corrected.
#[test]
fn rejected_rows_never_take_the_place_of_earlier_ones() {
    let bench = shop();
    let write = |name: &str, text: &str| std::fs::write(bench.path(name), text).unwrap();
    let read = |name: &str| std::fs::read_to_string(bench.path(name)).unwrap();
    let names = || {
        let entries = std::fs::read_dir(bench.path("")).unwrap();
        let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let mut names: Vec<String> = names.filter(|name| name.ends_with("csv")).collect();
        names.sort();
        names
    };
    write("log.rejected.csv", "earlier");
    write("log.csv", GOOD);
    let said = bench.at(NOW, &["record", "--from", "log.csv", "--keep-good"]);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    assert_eq!((read("log.rejected.csv").as_str(), names().len()), ("earlier", 2), "nothing was rejected");
    write("log.csv", &format!("{GOOD}{BAD}"));
    for (number, rejected) in [(2, 9), (3, 9)] {
        let said = bench.at(NOW, &["record", "--from", "log.csv", "--keep-good", "--format", "json"]);
        let said: serde_json::Value = serde_json::from_str(&said.out).unwrap();
        let name = format!("log.rejected-{number}.csv");
        assert_eq!((&said["rejected"], &said["rejects_file"]), (&rejected.into(), &name.as_str().into()));
        assert_eq!(read(&name).lines().count(), 10);
        assert_eq!(read("log.rejected.csv"), "earlier");
    }
    write("rejected.csv", "earlier");
    bench.piped(NOW, &["record", "--from", "-", "--keep-good"], &format!("{GOOD}{BAD}"));
    assert_eq!((read("rejected.csv").as_str(), read("rejected-2.csv").lines().count()), ("earlier", 10));
    assert_eq!(names().len(), 6, "{:?}", names());
}

#[test]
fn an_export_replaces_older_files_only_on_request() {
    let bench = shop();
    assert_eq!(bench.at(NOW, &["export", "all"]).status, 0);
    std::fs::remove_file(bench.path("all/bicycles.csv")).unwrap();
    std::fs::write(bench.path("all/joints.csv"), "mine").unwrap();
    let said = bench.at(NOW, &["export", "all"]);
    assert!(said.status == 2 && said.err.contains("joints.csv stands there already"), "{}", said.err);
    assert!(!bench.path("all/bicycles.csv").exists(), "all or nothing");
    assert_eq!(std::fs::read_to_string(bench.path("all/joints.csv")).unwrap(), "mine");
    assert_eq!(bench.at(NOW, &["export", "all", "--replace"]).status, 0);
    assert!(std::fs::read_to_string(bench.path("all/joints.csv")).unwrap().starts_with("bike,joint,"));
}

#[test]
fn a_log_may_come_from_standard_input_and_a_broken_one_is_named() {
    let bench = shop();
    let said = bench.piped(NOW, &["record", "--from", "-"], GOOD);
    assert_eq!(said.status, 0, "{}", said.err);
    for (text, wanted) in [
        ("bike,joint,value\nx,y,5\n", "column `unit` is missing"),
        ("bike,joint,value,unit,colour\n", "unknown column `colour`"),
        ("", "column `value` is missing"),
    ] {
        let said = bench.piped(NOW, &["record", "--from", "-"], text);
        assert!(said.status == 2 && said.err.contains(wanted), "{text}: {}", said.err);
    }
    assert_eq!(bench.at(NOW, &["record", "--from", "nowhere.csv"]).status, 2);
}

#[test]
fn export_and_import_give_the_same_verdicts() {
    let bench = shop();
    bench.at(NOW, &["bike", "add", "errand", "--kind", "city", "--owner", "the, club"]);
    bench.at(NOW, &["bike", "add", "gone", "--kind", "road"]);
    bench.at(NOW, &["bike", "retire", "gone"]);
    bench.piped(NOW, &["record", "--from", "-"], GOOD);
    bench.at(NOW, &["record", "loan-7/bar-clamp#3", "7 N·m", "--wrench", "small", "--who", "Kim"]);
    bench.at(NOW, &["record", "loan-7/bar-clamp#3", "5 N·m", "--wrench", "small", "--corrects", "4"]);
    bench.at(NOW, &["record", "loan-7/bar-clamp#4", "--kind", "moved", "3.5 N·m"]);
    bench.at(NOW, &["record", "errand/wheel-front", "--finding", "cracked", "--note", "say \"stop\""]);
    bench.at(NOW, &["record", "loan-7/pads-front", "2.2 mm"]);
    bench.at(NOW, &["ride", "loan-7", "3h", "--km", "40"]);
    bench.at(NOW, &["event", "errand", "crash"]);
    bench.at(NOW, &["wrench", "calibrated", "small", "--failed", "--on", "2026-06-09"]);
    let out = bench.at(NOW, &["export", "all"]);
    assert!(out.out.starts_with("3 bicycles and 8 readings"), "{}{}", out.out, out.err);
    let import = |folder: &str| bench.at(NOW, &["import", folder, "--db", "new.db"]);
    let said = import("all");
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    for bike in ["loan-7", "errand"] {
        for question in ["ready", "due"] {
            let here = bench.at(NOW, &[question, bike, "--format", "json"]);
            let there = bench.at(NOW, &[question, bike, "--format", "json", "--db", "new.db"]);
            assert_eq!((here.status, here.out), (there.status, there.out), "{question} {bike}");
        }
    }
    let again = bench.at(NOW, &["export", "again", "--db", "new.db"]);
    assert_eq!(again.status, 0);
    for file in std::fs::read_dir(bench.path("all")).unwrap().map(|file| file.unwrap().file_name()) {
        let read = |folder: &str| std::fs::read_to_string(bench.path(folder).join(&file)).unwrap();
        assert_eq!(read("all"), read("again"), "{file:?}");
    }
    let log = std::fs::read_to_string(bench.path("all/readings.csv")).unwrap();
    assert!(log.starts_with("taken_at,bike,joint,entry,bolt,value,unit,kind,wrench,who,note"), "{log}");
}

#[test]
fn an_empty_workshop_has_files_without_rows_and_comes_back() {
    let bench = Bench::new();
    assert_eq!(bench.at(NOW, &["export", "none"]).status, 0);
    for file in ["bicycles.csv", "joints.csv", "events.csv", "wrenches.csv"] {
        let text = std::fs::read_to_string(bench.path("none").join(file)).unwrap();
        assert!(text.ends_with('\n') && text.lines().count() == 1, "{file}: {text}");
    }
    let said = bench.at(NOW, &["import", "none"]);
    assert_eq!(said.status, 0, "{}", said.err);
    // A register of wrenches alone is a workshop too.
    let add = ["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m"];
    bench.at(NOW, &add);
    assert_eq!(bench.at(NOW, &["import", "none"]).out, "0 lines: 0 taken in, 0 here already\n");
    bench.without_journal("none");
    let said = bench.at(NOW, &["import", "none"]);
    assert!(said.status == 2 && said.err.contains("holds a workshop already"), "{}", said.err);
}

#[test]
fn an_import_with_a_fault_changes_nothing() {
    let bench = shop();
    bench.piped(NOW, &["record", "--from", "-"], GOOD);
    bench.at(NOW, &["export", "all"]);
    assert!(bench.at(NOW, &["import", "all"]).out.contains(": 0 taken in,"));
    let log = bench.path("all/readings.csv");
    let text = std::fs::read_to_string(&log).unwrap();
    std::fs::write(&log, text.replacen("N·m", "furlong", 1)).unwrap();
    let said = bench.at(NOW, &["import", "all", "--db", "new.db"]);
    assert!(
        said.status == 2 && said.err.contains("readings.csv is not what journal.csv gives"),
        "{}",
        said.err
    );
    bench.without_journal("all");
    assert!(bench.at(NOW, &["import", "all"]).err.contains("holds a workshop already"));
    let said = bench.at(NOW, &["import", "all", "--db", "new.db"]);
    assert!(said.status == 1 && said.out.contains("furlong"), "{}{}", said.out, said.err);
    let list = bench.at(NOW, &["bike", "list", "--db", "new.db", "--format", "json"]);
    assert_eq!(list.out.trim(), "[]");
    assert_eq!(bench.at(NOW, &["import", "nowhere", "--db", "new.db"]).status, 2);
}

/// An export in which every field of every file is filled in: it comes out as it went in, to the byte.
#[test]
fn every_field_of_every_file_survives_import_and_export() {
    const FILES: [(&str, &str); 5] = [
        (
            "bicycles.csv",
            "bike,kind,frame,owner,note,added_at,retired_at\n\
             loan-7,hardtail,F-12,\"the, club\",\"say \"\"stop\"\"\",2026-01-02T10:00:00+01:00,2026-06-03T11:30:00+00:00\n",
        ),
        (
            "joints.csv",
            "bike,joint,place,order,check,entry,bolts,critical,hand,marking_part,marking,second_marking_part,\
             second_marking,part_maker,bicycle_maker,shop,thread,grade,condition,photo,rounds\n\
             loan-7,bar-clamp,\"stem, front\",17,torque,stem-faceplate-four-bolt,4,false,left,stem,max 5 N·m,bar,\
             4 N·m,5 N·m,6 N·m,4.5 N·m,M5,8.8,greased,p.jpg,before after\n",
        ),
        (
            "events.csv",
            "bike,event,at,hours,km,hires,what,note\nloan-7,done,2026-03-04T12:00:00+02:00,1.5,20.0,3,chain,wet\n",
        ),
        (
            "wrenches.csv",
            "wrench,kind,unit,low_nm,high_nm,step_nm,usable_low_nm,usable_high_nm,class,percent,coverage,\
             anticlockwise,owner,lever_mm,adapters_mm,interval_months,interval_cycles,calibrations,added_on,\
             retired_on\n\
             small,beam,lbf·in,2.0,10.0,0.1,2.5,9.5,,1.5,2.0,true,club,180.0,40;55.5,6,2500,2026-03-01 passed;\
             2026-05-01 failed,2026-06-01,2026-07-02\n",
        ),
        (
            "readings.csv",
            "taken_at,bike,joint,entry,bolt,value,unit,kind,wrench,who,note,finding,action,id,corrects\n\
             2026-06-01T10:00:00+02:00,loan-7,bar-clamp,stem-faceplate-four-bolt,2,5.10,N·m,tightened,small,Kim,\
             first,creaks,re-locked,1,\n\
             2026-06-01T10:01:00+02:00,loan-7,bar-clamp,stem-faceplate-four-bolt,3,4.90,N·m,moved,small,Lou,\
             \"a, b\",worn,replaced,2,1\n",
        ),
    ];
    let bench = Bench::new();
    std::fs::create_dir(bench.path("all")).unwrap();
    for (name, text) in FILES {
        std::fs::write(bench.path("all").join(name), text).unwrap();
    }
    let said = bench.at(NOW, &["import", "all", "--db", "new.db"]);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    assert_eq!(bench.at(NOW, &["export", "again", "--db", "new.db"]).status, 0);
    for (name, text) in FILES {
        assert_eq!(std::fs::read_to_string(bench.path("again").join(name)).unwrap(), text, "{name}");
    }
    std::fs::write(bench.path("all/joints.csv"), FILES[1].1.replace("left", "up")).unwrap();
    let said = bench.at(NOW, &["import", "all", "--db", "third.db"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("joints.csv:2:"), "{}", said.err);
    assert!(said.err.contains("`up` is not a turning direction"), "{}", said.err);
}

/// What is taken in is kept, so nothing is kept in a unit that nobody stated; the audit keeps nothing and counts.
#[test]
fn a_log_with_values_without_a_unit_is_refused_unless_the_unit_is_stated() {
    let bench = shop();
    let log = "bike,joint,value,unit,bolt\nloan-7,bar-clamp,44,,1\nloan-7,bar-clamp,5 Nm,,2\nloan-7,bar-clamp,4.9,N·m,3\n";
    std::fs::write(bench.path("old.csv"), log).unwrap();
    let refused = bench.at(NOW, &["record", "--from", "old.csv"]);
    assert_eq!(refused.status, 1, "{}", refused.out);
    assert!(refused.out.contains("old.csv:2: unit is empty"), "{}", refused.out);
    assert!(refused.out.contains("3 rows: 0 recorded, 1 rejected"), "{}", refused.out);
    let taken = bench.at(NOW, &["record", "--from", "old.csv", "--bare-unit", "in-lb"]);
    assert_eq!(taken.status, 0, "{}{}", taken.out, taken.err);
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp"]);
    let values: Vec<&str> =
        history["readings"].as_array().unwrap().iter().map(|row| row["value"].as_str().unwrap()).collect();
    assert_eq!(values, ["44 lbf·in", "5 N·m", "4.9 N·m"]);
    let wrong = bench.at(NOW, &["record", "--from", "old.csv", "--bare-unit", "lb"]);
    assert_eq!(wrong.status, 2, "{}", wrong.err);
    let typed = bench.at(NOW, &["record", "loan-7/bar-clamp#1", "5", "--bare-unit", "in-lb"]);
    assert_eq!(typed.status, 2, "{}", typed.out);
    assert!(typed.err.contains("--bare-unit"), "{}", typed.err);
    std::fs::write(bench.path("audited.csv"), "entry,value,unit\ncrank-pinch-bolts,13,\n").unwrap();
    let (status, audit) = bench.json_at(NOW, &["audit", "audited.csv"]);
    let counts = ["rows", "no_unit", "inside"].map(|key| audit[key].as_u64());
    assert_eq!((status, counts), (0, [Some(1); 3]), "{audit}");
}
