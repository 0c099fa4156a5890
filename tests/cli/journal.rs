//! The journal: what was corrected, struck, changed and taken off stays readable, and nothing is lost.

use crate::bench::Bench;
use serde_json::Value;

const NOW: &str = "2026-06-01T10:00:00+02:00";

fn shop() -> Bench {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail", "--who", "Kim"]);
    let wrench = ["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m", "--step", "0.1"];
    bench.done(NOW, &[&wrench[..], &["--calibrated", "2026-05-01"]].concat());
    bench.done(NOW, &["bike", "joint", "edit", "loan-7/bar-clamp", "--marking", "4-6 N·m", "--who", "Kim"]);
    bench
}

fn readings(bench: &Bench, joint: &str) -> Vec<Value> {
    bench.json_at(NOW, &["history", joint, "--all"]).1["readings"].as_array().unwrap().clone()
}

fn state(bench: &Bench, joint: &str) -> String {
    bench.json_at(NOW, &["history", joint]).1["verdict"].as_str().unwrap().to_owned()
}

#[test]
fn a_correction_takes_over_all_that_it_does_not_name() {
    let bench = shop();
    let values = ["record", "loan-7/bar-clamp", "44", "44", "44", "48", "in-lb", "--wrench", "small"];
    bench.done(NOW, &[&values[..], &["--who", "Kim", "--note", "cold"]].concat());
    // A bare number is in the unit that was corrected, the bolt is that of the reading.
    bench.done(NOW, &["record", "loan-7/bar-clamp", "45", "--corrects", "4"]);
    let all = readings(&bench, "loan-7/bar-clamp");
    let (old, new) = (&all[3], &all[4]);
    assert_eq!((&old["id"], &old["corrected_by"]), (&4.into(), &5.into()));
    for key in ["taken_at", "bolt", "kind", "wrench", "who", "note"] {
        assert_eq!(old[key], new[key], "{key}");
    }
    assert_eq!(new["value"], "45 lbf·in");
    // Only what is named changes: the value stays.
    bench.done(NOW, &["record", "loan-7/bar-clamp", "--corrects", "5", "--note", "", "--kind", "moved"]);
    let last = readings(&bench, "loan-7/bar-clamp").pop().unwrap();
    assert_eq!(
        (&last["value"], &last["kind"], &last["note"]),
        (&"45 lbf·in".into(), &"moved".into(), &"".into())
    );
    assert_eq!(last["wrench"], "small");
    bench.done(NOW, &["record", "loan-7/bar-clamp", "--corrects", "6", "--wrench", ""]);
    assert!(readings(&bench, "loan-7/bar-clamp").pop().unwrap()["wrench"].is_null());
    let said = bench.at(NOW, &["record", "loan-7/headset", "--finding", "fine", "--corrects", "1"]);
    assert!(said.status == 2 && said.err.contains("reading 1 is one of loan-7/bar-clamp"), "{}", said.err);
}

#[test]
fn a_finding_is_corrected_by_a_finding() {
    let bench = shop();
    bench.done(NOW, &["record", "loan-7/headset", "--finding", "loose", "--who", "Kim"]);
    bench.done(NOW, &["record", "loan-7/headset", "--finding", "fine", "--corrects", "1"]);
    let last = readings(&bench, "loan-7/headset").pop().unwrap();
    assert_eq!(
        (&last["finding"], &last["who"], &last["kind"]),
        (&"fine".into(), &"Kim".into(), &"finding".into())
    );
    assert_eq!(state(&bench, "loan-7/headset"), "sound");
}

#[test]
fn a_reading_is_struck_for_a_reason_and_stays_readable() {
    let bench = shop();
    bench.done(NOW, &["record", "loan-7/bar-clamp", "5", "5", "5", "5", "N·m", "--wrench", "small"]);
    assert_eq!(state(&bench, "loan-7/bar-clamp"), "sound");
    let said = bench.at(NOW, &["record", "--strike", "3"]);
    assert!(said.status == 2 && said.err.contains("--note"), "{}", said.err);
    let said = bench.at(NOW, &["record", "--strike", "3", "--note", "the other bicycle", "--who", "Kim"]);
    assert!(said.out.contains("reading 3 struck: the other bicycle"), "{}{}", said.out, said.err);
    assert_eq!(state(&bench, "loan-7/bar-clamp"), "never checked");
    let all = readings(&bench, "loan-7/bar-clamp");
    assert_eq!((&all[2]["value"], &all[2]["corrected_by"]), (&"5 N·m".into(), &5.into()));
    assert_eq!(
        (&all[4]["strikes"], &all[4]["note"], &all[4]["who"]),
        (&3.into(), &"the other bicycle".into(), &"Kim".into())
    );
    let text = bench.at(NOW, &["history", "loan-7/bar-clamp", "--all"]).out;
    assert!(text.contains("struck by 5") && text.contains("strikes 3"), "{text}");
    // Once is enough, and what is not there cannot be struck.
    for number in ["3", "99"] {
        let said = bench.at(NOW, &["record", "--strike", number, "--note", "again"]);
        assert!(said.status == 2 && said.err.contains(number), "{number}: {}", said.err);
    }
    assert_eq!(readings(&bench, "loan-7/bar-clamp").len(), 5);
}

/// Whoever corrects or strikes what counts no longer is told what stands in its place.
#[test]
fn what_stands_in_the_place_of_a_superseded_line_is_named() {
    let bench = shop();
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "5 N·m"]);
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "5.1 N·m", "--corrects", "1"]);
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "5.2 N·m", "--corrects", "2"]);
    let told = |words: &[&str], message: &str, hint: &str| {
        let said = bench.at(NOW, words);
        assert!(said.status == 2 && said.err.contains(message) && said.err.contains(hint), "{}", said.err);
    };
    let strike = |id| ["record", "--strike", id, "--note", "slip"];
    let correct = |joint, id| ["record", joint, "5 N·m", "--corrects", id];
    for id in ["1", "2"] {
        let message = format!("reading {id} was corrected already: reading 3 stands in its place");
        told(&strike(id), &message, "--strike 3");
        told(&correct("loan-7/bar-clamp#1", id), &message, "--corrects 3");
    }
    let other = "reading 3 is one of loan-7/bar-clamp, not of loan-7/axle-front";
    told(&correct("loan-7/axle-front", "3"), other, "evenclamp history loan-7/axle-front");
    told(&correct("loan-7/bar-clamp#1", "9"), "there is no reading 9", "evenclamp history");
    bench.done(NOW, &strike("3"));
    told(&strike("3"), "reading 3 counts no longer: line 4 struck it", "anew");
    told(&strike("1"), "reading 1 counts no longer: line 4 struck reading 3, which corrected it", "anew");
}

/// A line says what it is: a finding or what was done is no bolt that was passed over, nor is a strike.
#[test]
fn lines_without_a_value_are_called_what_they_are() {
    let bench = shop();
    bench.done(NOW, &["record", "loan-7/headset", "--finding", "loose"]);
    let said = bench.at(NOW, &["record", "loan-7/headset", "--action", "re-tightened"]);
    assert!(said.out.contains("bolt 1: re-tightened"), "{}", said.out);
    bench.done(NOW, &["record", "--strike", "1", "--note", "slip"]);
    bench.done(NOW, &["record", "loan-7/headset", "--kind", "by-hand"]);
    let kinds = ["finding", "action", "strike", "by-hand"];
    let told = readings(&bench, "loan-7/headset");
    assert_eq!(told.iter().map(|line| line["kind"].as_str().unwrap()).collect::<Vec<_>>(), kinds);
    let (_, recorded) = bench.json_at(NOW, &["record", "loan-7/headset", "--finding", "fine"]);
    assert_eq!(recorded["recorded"][0]["kind"], "finding");
    for words in [
        &["history", "loan-7/headset", "--all"][..],
        &["history", "loan-7/headset", "--all", "--format", "csv"],
        &["history", "--since", "2026-01-01", "--all"],
        &["history", "--since", "2026-01-01", "--all", "--format", "json"],
    ] {
        let said = bench.at(NOW, words).out;
        assert!(kinds.iter().all(|kind| said.contains(kind)) && !said.contains("skipped"), "{said}");
    }
}

#[test]
fn rides_events_and_calibrations_are_struck_too() {
    let bench = shop();
    let later = "2026-06-02T10:00:00+02:00";
    bench.done(later, &["ride", "loan-7", "400h", "--yes"]);
    let changes = bench.json_at(NOW, &["history", "loan-7", "--changes"]).1;
    let ride = changes["changes"].as_array().unwrap().last().unwrap();
    assert!(ride["what"] == "event 1" && ride["change"].as_str().unwrap().contains("hours 400"), "{ride}");
    let due = |bench: &Bench| bench.at(later, &["due", "loan-7", "--format", "csv"]).out;
    let ridden = due(&bench);
    assert_eq!(bench.at(NOW, &["event", "--strike", "1"]).status, 2);
    bench.done(later, &["event", "--strike", "1", "--why", "another bicycle"]);
    assert_ne!(due(&bench), ridden);
    let again = bench.at(NOW, &["event", "--strike", "1", "--why", "again"]);
    assert!(again.status == 2 && again.err.contains("no event 1 to be struck"), "{}", again.err);
    let text = bench.at(NOW, &["history", "loan-7", "--changes"]).out;
    assert!(text.contains("another bicycle"), "{text}");
    let changes = bench.json_at(NOW, &["history", "loan-7", "--changes"]).1;
    let strike = changes["changes"].as_array().unwrap().last().unwrap();
    assert_eq!(strike["change"], "event 1 struck: ride of 400 h, 2026-06-02 10:00", "{strike}");

    bench
        .done(NOW, &["wrench", "calibrated", "small", "--failed", "--on", "2026-05-20", "--note", "paper 7"]);
    let (_, wrench) = bench.json_at(NOW, &["wrench", "show", "small"]);
    assert_eq!(wrench["calibrations"][1]["note"], "paper 7");
    assert_eq!(wrench["stands"], false);
    assert_eq!(bench.at(NOW, &["wrench", "calibrated", "small", "--strike", "2"]).status, 2);
    bench.done(NOW, &["wrench", "calibrated", "small", "--strike", "2", "--why", "the other wrench"]);
    assert_eq!(bench.json_at(NOW, &["wrench", "show", "small"]).1["stands"], true);
    assert_eq!(bench.at(NOW, &["wrench", "calibrated", "small", "--strike", "2", "--why", "x"]).status, 2);
    assert_eq!(bench.json_at(NOW, &["verify"]).0, 0);
}

#[test]
fn who_changed_what_and_why_stands_in_the_changes() {
    let bench = shop();
    let later = "2026-06-01T10:30:00+02:00";
    let edit = ["bike", "joint", "edit", "loan-7/bar-clamp", "--marking", "max 5 N·m", "--who", "Lee"];
    bench.done(later, &[&edit[..], &["--why", "new bar"]].concat());
    bench.done(later, &["bike", "edit", "loan-7", "--owner", "the club"]);
    let (_, all) = bench.json_at(later, &["history", "loan-7/bar-clamp", "--changes"]);
    let last = all["changes"].as_array().unwrap().last().unwrap();
    assert_eq!(
        (&last["who"], &last["why"], &last["what"]),
        (&"Lee".into(), &"new bar".into(), &"bar-clamp".into())
    );
    assert_eq!(last["change"], "marking: 4-6 N·m → max 5 N·m");
    assert!(last["at"].as_str().unwrap().starts_with("2026-06-01T10:30"));
    let csv = bench.at(later, &["history", "loan-7/bar-clamp", "--changes", "--format", "csv"]).out;
    let line = csv.lines().last().unwrap();
    assert!(csv.starts_with("at,who,what,change,why,key\n"), "{csv}");
    assert!(line.contains(",Lee,bar-clamp,marking: 4-6 N·m → max 5 N·m,new bar,"), "{line}");
    let text = bench.at(later, &["history", "loan-7", "--changes"]).out;
    assert!(text.contains("owner: nothing → the club") && text.contains("nobody named"), "{text}");
}

#[test]
fn a_question_about_an_earlier_day_is_answered_with_what_was_specified_then() {
    let bench = shop();
    bench.done(NOW, &["record", "loan-7/bar-clamp", "5.5", "5.5", "5.5", "5.5", "N·m", "--wrench", "small"]);
    let later = "2026-06-05T10:00:00+02:00";
    bench.done(later, &["bike", "joint", "edit", "loan-7/bar-clamp", "--marking", "max 5 N·m"]);
    bench.done(later, &["bike", "joint", "remove", "loan-7", "headset", "--why", "worn"]);
    let joint = |at: &str, name: &str| {
        let (_, ready) = bench.json_at(later, &["ready", "loan-7", "--at", at]);
        ready["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == name).cloned()
    };
    let bar = |at: &str| joint(at, "bar-clamp").unwrap();
    assert_eq!(bar("2026-06-02")["verdict"], "sound");
    assert_eq!(bar("2026-06-02")["specified"], "4–6 N·m");
    assert_eq!(bar("2026-06-06")["verdict"], "high");
    assert!(joint("2026-06-02", "headset").is_some() && joint("2026-06-06", "headset").is_none());
    // A reading that is written down late was not known before.
    bench.done(later, &["record", "loan-7/stem-steerer", "--kind", "by-hand", "--at", "2026-06-02"]);
    assert_eq!(joint("2026-06-03", "stem-steerer").unwrap()["checked_at"], Value::Null);
}

#[test]
fn what_decided_safety_is_taken_off_for_a_reason_and_stays_named() {
    let bench = shop();
    let remove = ["bike", "joint", "remove", "loan-7", "stem-steerer"];
    let said = bench.at(NOW, &remove);
    assert!(said.status == 2 && said.err.contains("--why"), "{}", said.err);
    bench.done(NOW, &[&remove[..], &["--why", "quill stem now", "--who", "Kim"]].concat());
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let taken = &ready["taken_off"][0];
    assert_eq!(
        (&taken["joint"], &taken["who"], &taken["why"]),
        (&"stem-steerer".into(), &"Kim".into(), &"quill stem now".into())
    );
    let text = bench.at(NOW, &["ready", "loan-7"]).out;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("stem-steerer was taken off: Kim, 2026-06-01 10:00: quill stem now"), "{text}");
    // One of its name is its follower.
    let add = ["bike", "joint", "add", "loan-7", "stem-steerer", "--entry", "stem-steerer-clamp-two-bolt"];
    bench.done(NOW, &[&add[..], &["--bolts", "2"]].concat());
    assert_eq!(bench.json_at(NOW, &["ready", "loan-7"]).1["taken_off"], serde_json::json!([]));
    // Fewer bolts, or to decide safety no more, is less as well.
    for change in [["--bolts", "2"], ["--critical", "no"]] {
        let edit = [&["bike", "joint", "edit", "loan-7/bar-clamp"][..], &change].concat();
        assert!(bench.at(NOW, &edit).err.contains("--why"), "{change:?}");
        bench.done(NOW, &[&edit[..], &["--why", "two-bolt stem"]].concat());
    }
}

#[test]
fn a_wrench_is_edited_and_what_is_not_named_stays() {
    let bench = shop();
    let show = |name: &str| bench.json_at(NOW, &["wrench", "show", name]).1;
    let before = show("small");
    bench.done(NOW, &["wrench", "edit", "small", "--step", "0.25", "--why", "read off the handle"]);
    let mut after = show("small");
    assert_eq!(after["step_nm"], 0.25);
    after["step_nm"] = before["step_nm"].clone();
    assert_eq!(after, before);
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "5 N·m", "--wrench", "small"]);
    bench.done(NOW, &["wrench", "retire", "small"]);
    let edit = [
        "wrench",
        "edit",
        "small",
        "--name",
        "tiny",
        "--in-use",
        "--anticlockwise",
        "yes",
        "--accuracy",
        "3%",
    ];
    bench.done(NOW, &edit);
    let tiny = show("tiny");
    assert!(tiny["retired_on"].is_null() && tiny["anticlockwise"] == true && tiny["accuracy_percent"] == 3.0);
    assert_eq!(tiny["calibrations"], before["calibrations"]);
    assert_eq!(readings(&bench, "loan-7/bar-clamp")[0]["wrench"], "tiny");
    // A scale without its unit is another wrench.
    for wrong in
        [&["--scale", "max 5 N·m"][..], &["--scale", "20-90"], &["--step", "0"], &["--months", "0"], &[]]
    {
        let said = bench.at(NOW, &[&["wrench", "edit", "tiny"][..], wrong].concat());
        assert_eq!(said.status, 2, "{wrong:?}: {}", said.out);
    }
    assert_eq!(show("tiny"), tiny);
    assert_eq!(bench.json_at(NOW, &["verify"]).0, 0);
}

/// What stands on a scale without a unit is in the unit of the scale.
#[test]
fn a_usable_part_is_in_the_unit_of_the_scale() {
    let bench = Bench::new();
    let add = ["wrench", "add", "inch", "--type", "click", "--scale", "20-90 in-lb", "--usable", "30-90"];
    bench.done(NOW, &add);
    let usable = || bench.json_at(NOW, &["wrench", "show", "inch"]).1["usable_low_nm"].as_f64().unwrap();
    // 1 lbf·in = 0.112 984 829 027 616 7 N·m (NIST SP 811, appendix B.8).
    assert!((usable() - 30.0 * 0.112_984_829_027_616_7).abs() < 1e-12);
    bench.done(NOW, &["wrench", "edit", "inch", "--usable", "40-90"]);
    assert!((usable() - 40.0 * 0.112_984_829_027_616_7).abs() < 1e-12);
}

/// Two workshops from one export: what each goes on to write is gathered, and counts once.
#[test]
fn journals_of_two_workshops_are_gathered_in_one_database() {
    let bench = shop();
    bench.done(NOW, &["export", "first"]);
    bench.done(NOW, &["import", "first", "--db", "other.db"]);
    bench.done(NOW, &["record", "loan-7/headset", "--finding", "loose"]);
    let later = "2026-06-01T12:00:00+02:00";
    bench.done(later, &["record", "loan-7/headset", "--finding", "fine", "--db", "other.db"]);
    bench.done(later, &["bike", "add", "errand", "--kind", "city", "--db", "other.db"]);
    bench.done(later, &["export", "second", "--db", "other.db"]);
    bench.done(later, &["import", "second"]);
    let found = readings(&bench, "loan-7/headset");
    let found: Vec<&Value> = found.iter().map(|reading| &reading["finding"]).collect();
    assert_eq!(found, ["loose", "fine"]);
    assert_eq!(bench.json_at(later, &["bike", "list"]).1.as_array().unwrap().len(), 2);
    assert!(bench.at(later, &["import", "second"]).out.contains(": 0 taken in,"));
    assert_eq!(bench.json_at(later, &["verify"]).0, 0);
    // A name that both have given to different bicycles is refused.
    bench.done(later, &["bike", "add", "errand", "--kind", "road", "--db", "third.db"]);
    bench.done(later, &["export", "third", "--db", "third.db"]);
    let said = bench.at(later, &["import", "third"]);
    assert!(said.status == 2 && said.err.contains("bike edit errand --name"), "{}", said.err);
    // Renamed in one of them, both are there, and the journal gives the same tables.
    bench.done(later, &["bike", "edit", "errand", "--name", "errand-2"]);
    bench.done(later, &["import", "third"]);
    let (_, list) = bench.json_at(later, &["bike", "list"]);
    let names: Vec<&Value> = list.as_array().unwrap().iter().map(|bike| &bike["bike"]).collect();
    assert_eq!(names, ["errand", "errand-2", "loan-7"]);
    assert_eq!(bench.json_at(later, &["verify"]).0, 0);
}

#[test]
fn a_journal_that_was_edited_is_refused_by_line() {
    let bench = shop();
    bench.done(NOW, &["export", "out"]);
    let file = bench.path("out/journal.csv");
    let good = std::fs::read_to_string(&file).unwrap();
    let lines: Vec<&str> = good.lines().collect();
    let without = |index: usize| {
        let mut rest = lines.clone();
        rest.remove(index);
        rest.join("\n") + "\n"
    };
    for (bad, line) in [
        (good.replace("4-6 N·m", "4-7 N·m"), lines.len()),
        (without(5), 6),
        (good.replacen(",Kim,", ",Lee,", 1), 2),
        (good.replacen(",added,", ",built,", 1), 2),
    ] {
        std::fs::write(&file, &bad).unwrap();
        let said = bench.at(NOW, &["import", "out", "--db", "new.db"]);
        assert!(
            said.status == 2 && said.err.contains(&format!("journal.csv:{line}: ")),
            "{line}: {}",
            said.err
        );
        assert_eq!(bench.json_at(NOW, &["bike", "list", "--db", "new.db"]).1, serde_json::json!([]));
    }
    std::fs::write(&file, good).unwrap();
    bench.done(NOW, &["import", "out", "--db", "new.db"]);
}

#[test]
fn a_calibration_that_was_taken_back_stays_readable_with_its_reason() {
    let bench = shop();
    bench
        .done(NOW, &["wrench", "calibrated", "small", "--on", "2026-05-20", "--failed", "--note", "dropped"]);
    let number =
        |show: &Value| show["calibrations"].as_array().unwrap().last().unwrap()["number"].to_string();
    let failed = number(&bench.json_at(NOW, &["wrench", "show", "small"]).1);
    let later = "2026-06-02T09:00:00+02:00";
    let strike =
        ["wrench", "calibrated", "small", "--strike", &failed, "--who", "Lee", "--why", "the other wrench"];
    bench.done(later, &strike);
    let (_, show) = bench.json_at(later, &["wrench", "show", "small"]);
    let counts = show["calibrations"].as_array().unwrap();
    assert!(counts.iter().all(|one| one["result"] != "failed"), "{show}");
    let struck = &show["struck_calibrations"][0];
    let said = ["on", "result", "note", "who", "why"].map(|key| struck[key].as_str().unwrap());
    assert_eq!(said, ["2026-05-20", "failed", "dropped", "Lee", "the other wrench"]);
    assert_eq!(struck["number"].to_string(), failed);
    let text = bench.at(later, &["wrench", "show", "small"]).out;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let line = format!(
        "2026-05-20 failed (number {failed}, dropped); struck: Lee, 2026-06-02 09:00: the other wrench"
    );
    assert!(text.contains(&line), "{text}");
    bench.done(later, &["wrench", "edit", "small", "--name", "little", "--why", "so it says"]);
    let (_, all) = bench.json_at(later, &["history", "--wrench", "little", "--changes"]);
    assert_eq!(all["of"], "little");
    let changes: Vec<String> = all["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|change| format!("{}: {}", change["what"].as_str().unwrap(), change["change"].as_str().unwrap()))
        .collect();
    assert!(changes[0].starts_with("wrench: added: kind click, unit N·m"), "{changes:?}");
    assert!(changes.iter().any(|change| change.contains("result failed, note dropped")), "{changes:?}");
    let [struck, renamed] = [&changes[changes.len() - 2], &changes[changes.len() - 1]];
    assert!(struck.contains(&format!("calibration {failed} struck: added: done_on")), "{changes:?}");
    assert_eq!(renamed, "wrench: wrench: small → little");
    let csv = bench.at(later, &["history", "--wrench", "little", "--changes", "--format", "csv"]).out;
    assert!(csv.starts_with("at,who,what,change,why,key\n") && csv.contains(",Lee,"), "{csv}");
    let text = bench.at(later, &["history", "--wrench", "little", "--changes"]).out;
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.starts_with("little\n") && flat.contains("(why: the other wrench)"), "{text}");
    for wrong in [
        &["history", "--changes"][..],
        &["history", "loan-7", "--wrench", "little", "--changes"],
        &["history", "--wrench", "little", "--by", "Kim", "--changes"],
    ] {
        assert_eq!(bench.at(later, wrong).status, 2, "{wrong:?}");
    }
}
