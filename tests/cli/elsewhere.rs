//! Logs from elsewhere: rows are held to what `record` takes, in its words, and saved by any spreadsheet program.

use crate::bench::Bench;

const NOW: &str = "2026-06-10T10:00:00+02:00";

fn shop() -> Bench {
    let bench = Bench::new();
    for words in [
        &["bike", "add", "loan-7", "--kind", "hardtail"][..],
        &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "4-6 N·m"],
        &["bike", "joint", "edit", "loan-7", "axle-front", "--marking", "9 N·m"],
        &["bike", "add", "gone", "--kind", "hardtail"],
        &["bike", "retire", "gone"],
    ] {
        bench.done(NOW, words);
    }
    bench
}

/// The one complaint about a log with this header and row.
fn complaint(bench: &Bench, header: &str, row: &str) -> String {
    std::fs::write(bench.path("log.csv"), format!("{header}\n{row}\n")).unwrap();
    let (status, said) = bench.json_at(NOW, &["record", "--from", "log.csv"]);
    assert_eq!((status, said["recorded"].as_u64()), (1, Some(0)), "{row}: {said}");
    said["complaints"][0].as_str().unwrap().to_owned()
}

#[test]
fn a_row_is_refused_in_the_words_in_which_record_refuses_it() {
    let bench = shop();
    for (place, value, unit, reason) in [
        ("bar-clamp#1", "13", "mm", "bar-clamp is checked by torque: 13 mm says nothing of it"),
        ("pads-front#1", "3", "N·m", "pads-front is measured: no torque says anything of it"),
        ("pads-front#1", "3", "bar", "pads-front is measured in mm, not in bar"),
        ("pads-front#1", "60", "mm", "pads-front: 60 mm is not possible"),
        ("headset#1", "5", "N·m", "headset is checked by hand, eye and ear: no value says anything of it"),
        ("axle-front#1", "120", "N·m", "120 N·m is not plausible for axle-front: 9 N·m is specified"),
        ("axle-rear#1", "120", "N·m", "120 N·m is not plausible for axle-rear"),
        ("bar-clamp#1", "60", "N·m", "60 N·m would tear any bolt of M5"),
        ("bar-clamp#1", "0", "N·m", "0 N·m is no reading"),
    ] {
        let typed = bench.at(NOW, &["record", &format!("loan-7/{place}"), &format!("{value} {unit}")]);
        assert_eq!(typed.status, 2, "{place} {value} {unit}: {}", typed.out);
        let (joint, bolt) = place.split_once('#').unwrap();
        let row = format!("2026-06-01,loan-7,{joint},{bolt},{value},{unit}");
        let told = complaint(&bench, "taken_at,bike,joint,bolt,value,unit", &row);
        let told = told.strip_prefix("log.csv:2: ").unwrap();
        assert!(told.starts_with(reason), "{told}");
        let message = typed.err.lines().next().unwrap().strip_prefix("evenclamp: ").unwrap();
        assert!(told.starts_with(message), "{told} against {message}");
    }
    let retired = bench.at(NOW, &["record", "gone/bar-clamp#1", "5 N·m"]);
    let told = complaint(&bench, "taken_at,bike,joint,bolt,value,unit", "2026-06-01,gone,bar-clamp,1,5,N·m");
    assert!(told.contains("gone was retired on 2026-06-10") && retired.err.contains("gone was retired on"));
}

/// Of a bicycle that is known its own joints are named, nearest first, or the command that lists them.
#[test]
fn a_joint_that_a_bicycle_has_not_is_told_with_those_that_it_has() {
    let bench = shop();
    for (row, told) in [
        ("loan-7,bar-clmp,1,5,N·m", "loan-7 has no joint `bar-clmp`; nearest: bar-clamp"),
        ("LOAN-7,zzz,1,5,N·m", "loan-7 has no joint `zzz`; `evenclamp bike show loan-7` lists its joints"),
        ("loan-8,bar-clamp,1,5,N·m", "no joint `loan-8/bar-clamp`; `evenclamp bike list` names the bicycles"),
    ] {
        let said = complaint(&bench, "bike,joint,bolt,value,unit", row);
        assert!(said.contains(told), "{said}");
    }
}

/// Rows without a text may stand before the header, behind a byte order mark, and between the others; lines are counted
/// as the file has them.
#[test]
fn the_header_of_a_log_is_found_behind_empty_rows() {
    let bench = shop();
    for front in ["\u{feff}", "\u{feff}\r\n", "\u{feff}\n\n", ";;;;;\r\n", "\u{feff};;;;;\n\r\n", "\n", ""] {
        let rows = "bike;joint;bolt;value;unit;who\r\n;;;;;\r\nloan-7;bar-clamp;1;5,1;N·m;Kim\r\nloan-7;none;1;5;N·m;Kim\r\n";
        std::fs::write(bench.path("log.csv"), format!("{front}{rows}")).unwrap();
        let (_, said) = bench.json_at(NOW, &["record", "--from", "log.csv"]);
        assert_eq!((&said["rows"], &said["rejected"]), (&2.into(), &1.into()), "{front:?}: {said}");
        let place = format!("log.csv:{}: loan-7 has no joint `none`", 4 + front.matches('\n').count());
        assert!(said["complaints"][0].as_str().unwrap().starts_with(&place), "{front:?}: {said}");
        std::fs::write(bench.path("log.csv"), format!("{front}bike;joint;bolt;value;what\r\n")).unwrap();
        let wrong = bench.at(NOW, &["record", "--from", "log.csv"]).err;
        let place = format!("log.csv:{}: unknown column `what`", 1 + front.matches('\n').count());
        assert!(wrong.contains(&place), "{front:?}: {wrong}");
    }
}

#[test]
fn a_log_that_names_nobody_is_remarked_upon_once() {
    let bench = shop();
    for (log, remarks) in [
        ("bike,joint,bolt,value,unit\nloan-7,bar-clamp,1,5,N·m\nloan-7,bar-clamp,2,5,N·m\n", 1),
        ("bike,joint,bolt,value,unit,who\nloan-7,bar-clamp,3,5,N·m,\nloan-7,bar-clamp,4,5,N·m, \n", 1),
        ("bike,joint,bolt,value,unit,who\nloan-7,axle-front,1,9,N·m,\nloan-7,bar-clamp,4,5.1,N·m,Kim\n", 0),
        ("bike,joint,bolt,value,unit\nloan-7,none,1,5,N·m\n", 0),
    ] {
        std::fs::write(bench.path("log.csv"), log).unwrap();
        let said = bench.at(NOW, &["record", "--from", "log.csv"]);
        assert_eq!(
            said.err.matches("nobody is named who read").count(),
            remarks,
            "{log}: {}{}",
            said.out,
            said.err
        );
    }
}

#[test]
fn a_row_that_leaves_something_open_is_refused() {
    let bench = shop();
    for (row, reason) in [
        ("2026-06-01,loan-7,bar-clamp,1,13 in-lb,N·m", "`13 in-lb N·m` says two things"),
        ("2026-06-01,loan-7,pads-front,1,3 mm,bar", "`3 mm bar` says two things"),
        ("2026-06-01,loan-7,bar-clamp,,5,N·m", "bolt is empty; bar-clamp has 4"),
        (",loan-7,bar-clamp,1,5,N·m", "taken_at is empty"),
    ] {
        let told = complaint(&bench, "taken_at,bike,joint,bolt,value,unit", row);
        assert!(told.contains(reason), "{row}: {told}");
    }
    // Of a single bolt nothing is left open.
    std::fs::write(bench.path("log.csv"), "bike,joint,bolt,value,unit\nloan-7,axle-front,,9,N·m\n").unwrap();
    assert_eq!(bench.at(NOW, &["record", "--from", "log.csv"]).status, 0);
}

#[test]
fn somebody_may_be_sure_of_what_looks_implausible_and_never_of_what_tears_any_bolt() {
    let bench = shop();
    let log = "bike,joint,bolt,value,unit\nloan-7,axle-front,1,120,N·m\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    assert_eq!(bench.at(NOW, &["record", "--from", "log.csv"]).status, 1);
    let said = bench.at(NOW, &["record", "--from", "log.csv", "--yes"]);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    let torn = "bike,joint,bolt,value,unit\nloan-7,bar-clamp,1,60,N·m\n";
    std::fs::write(bench.path("torn.csv"), torn).unwrap();
    assert_eq!(bench.at(NOW, &["record", "--from", "torn.csv", "--yes"]).status, 1);
}

/// As programs of several countries save them (RFC 4180 names the comma; semicolons go with decimal commas).
#[test]
fn what_parts_the_fields_is_told_by_the_header_line() {
    let rows = |separator: &str, value: &str, end: &str| {
        let row = |fields: [&str; 6]| fields.join(separator) + end;
        row(["taken_at", "bike", "joint", "bolt", "value", "unit"])
            + &row(["2026-06-01", "loan-7", "bar-clamp", "1", value, "N·m"])
            + &row(["", "", "", "", "", ""])
    };
    for (name, text) in [
        ("semicolons", format!("\u{feff}{}", rows(";", "5,125", "\r\n"))),
        ("tabs", rows("\t", "5.125", "\n")),
        ("commas", rows(",", "5.125", "\r\n")),
        ("quoted", rows(",", "5.125", "\n").replace("5.125", "\"5,1250\"")),
    ] {
        let bench = shop();
        std::fs::write(bench.path("log.csv"), text).unwrap();
        let (status, said) = bench.json_at(NOW, &["record", "--from", "log.csv"]);
        assert_eq!((status, &said["rows"]), (0, &1.into()), "{name}: {said}");
        let (_, history) = bench.json_at(NOW, &["history", "loan-7/bar-clamp"]);
        assert!(
            (history["readings"][0]["reading_nm"].as_f64().unwrap() - 5.125).abs() < 1e-9,
            "{name}: {history}"
        );
    }
}

/// Rows that were refused are put right and read again; they stand as in the file that they come from.
#[test]
fn refused_rows_can_be_put_right_and_read_again() {
    let bench = shop();
    let log = "bike;joint;bolt;value;unit\nloan-7;bar-clamp;1;5,125;N·m\nloan-7;bar-clamp;9;5,125;N·m\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    assert_eq!(bench.at(NOW, &["record", "--from", "log.csv", "--keep-good"]).status, 1);
    let rejects = std::fs::read_to_string(bench.path("log.rejected.csv")).unwrap();
    assert!(
        rejects.starts_with("bike;joint;bolt;value;unit;reason\nloan-7;bar-clamp;9;5,125;N·m;"),
        "{rejects}"
    );
    let again = bench.at(NOW, &["record", "--from", "log.rejected.csv", "--keep-good"]);
    assert_eq!(again.status, 1, "{}", again.err);
    let second = std::fs::read_to_string(bench.path("log.rejected.rejected.csv")).unwrap();
    assert_eq!((second.matches("reason").count(), second.lines().count()), (1, 2), "{second}");
    std::fs::write(bench.path("log.rejected.csv"), rejects.replace(";9;", ";2;")).unwrap();
    let said = bench.at(NOW, &["record", "--from", "log.rejected.csv"]);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
}

/// A bolt that held needs no value where it is typed, so it needs none where it comes back.
#[test]
fn what_is_recorded_without_a_value_is_taken_in_again() {
    let bench = shop();
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "--kind", "held"]);
    bench.done(NOW, &["record", "loan-7/bar-clamp#2", "--finding", "loose"]);
    bench.done(NOW, &["export", "all"]);
    bench.without_journal("all");
    let said = bench.at(NOW, &["import", "all", "--db", "new.db"]);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    bench.done(NOW, &["export", "again", "--db", "new.db"]);
    let read = |name: &str| std::fs::read_to_string(bench.path(name)).unwrap();
    assert_eq!(read("all/readings.csv"), read("again/readings.csv"));
}

#[test]
fn the_help_names_every_column_and_every_kind() {
    let bench = Bench::new();
    bench.done(NOW, &["export", "none"]);
    let log = std::fs::read_to_string(bench.path("none/readings.csv")).unwrap();
    let of_audit = bench.run(&["audit", "--help"]).out;
    for word in
        ["entry", "bike", "joint", "value", "unit", "kind", "wrench", "taken_at", "finding", "corrects"]
    {
        assert!(
            log.contains(word) && of_audit.contains(&format!("\n  {word}")) || of_audit.contains(word),
            "{word}"
        );
    }
    let kinds = ["tightened", "held", "moved", "loosening", "back-to-mark", "by-hand", "measured", "skipped"];
    let help = bench.run(&["record", "--help"]).out;
    for kind in kinds {
        assert!(of_audit.contains(kind), "{kind}: {of_audit}");
    }
    let words: Vec<&str> = help.split([' ', ',', '\n', '(']).collect();
    for word in log.trim().split(',').chain(kinds) {
        assert!(words.contains(&word), "{word}: {help}");
    }
}

/// A workshop whose export has a corrected reading, a struck one, a measure, a hand check, a finding and a bolt that held
/// at an unknown setting.
fn exported() -> Bench {
    let bench = shop();
    for words in [
        &["record", "loan-7/bar-clamp", "5", "5", "7", "5", "N·m"][..],
        &["record", "loan-7/bar-clamp#3", "5 N·m", "--corrects", "3"],
        &["record", "--strike", "1", "--note", "read on the other bicycle"],
        &["record", "loan-7/pads-front", "3.2 mm"],
        &["record", "loan-7/headset", "--finding", "fine"],
        &["record", "loan-7/bar-clamp#1", "--finding", "creaks"],
        &["record", "loan-7/bar-clamp#1", "--kind", "held"],
        &["export", "all"],
    ] {
        bench.done(NOW, words);
    }
    bench
}

/// Three torques stand: of bolts 2 and 4, and the corrected one of bolt 3.
#[test]
fn an_audit_counts_apart_what_was_taken_back_and_what_is_no_torque() {
    let bench = exported();
    let (_, audit) = bench.json_at(NOW, &["audit", "all/readings.csv", "--verdicts", "judged.csv"]);
    assert_eq!((&audit["rows"], &audit["rejected"]), (&3.into(), &0.into()), "{audit}");
    assert_eq!(
        audit["left_out"],
        serde_json::json!({"corrected": 3, "measure": 1, "hand_check": 1, "finding": 2}),
        "{audit}"
    );
    assert_eq!(audit["high"], 0, "the reading of 7 N·m was corrected: {audit}");
    let text = bench.at(NOW, &["audit", "all/readings.csv"]).out;
    for told in ["3 rows", "Left out", "3 corrected or struck", "1 measured values", "1 checks by hand"] {
        assert!(text.contains(told), "{told}: {text}");
    }
    let judged = std::fs::read_to_string(bench.path("judged.csv")).unwrap();
    assert_eq!((judged.lines().count(), judged.matches(",left out,").count()), (11, 7), "{judged}");
    // The same of a pipe, which comes only once, and in a database that knows none of the bicycles.
    let log = std::fs::read_to_string(bench.path("all/readings.csv")).unwrap();
    let piped = bench.piped(NOW, &["audit", "-", "--format", "json"], &log);
    assert_eq!(serde_json::from_str::<serde_json::Value>(&piped.out).unwrap(), audit);
    let (_, elsewhere) = bench.json_at(NOW, &["audit", "all/readings.csv", "--db", "other.db"]);
    assert_eq!(
        (&elsewhere["rejected"], &elsewhere["left_out"]["measure"]),
        (&0.into(), &1.into()),
        "{elsewhere}"
    );
}

/// What was taken off is known all the same, with its own figure; elsewhere its hand checks are no torque of anything.
#[test]
fn an_audit_reads_the_log_of_joints_that_were_taken_off() {
    let bench = shop();
    for words in [
        &["record", "loan-7/tyre-front", "--finding", "fine"][..],
        &["record", "loan-7/headset", "--finding", "fine"],
        &["record", "loan-7/pads-front", "3.2 mm"],
        &["record", "loan-7/axle-front", "9 N·m"],
        &["bike", "joint", "remove", "loan-7", "tyre-front", "--why", "sold"],
        &["bike", "joint", "remove", "loan-7", "headset", "--why", "sold"],
        &["bike", "joint", "remove", "loan-7", "pads-front", "--why", "sold"],
        &["bike", "joint", "remove", "loan-7", "axle-front", "--why", "sold"],
        &["export", "all"],
    ] {
        bench.done(NOW, words);
    }
    let (_, here) = bench.json_at(NOW, &["audit", "all/removed.csv", "--verdicts", "judged.csv"]);
    assert_eq!(
        (&here["rows"], &here["inside"], &here["rejected"]),
        (&1.into(), &1.into(), &0.into()),
        "{here}"
    );
    assert_eq!(
        (&here["left_out"]["hand_check"], &here["left_out"]["measure"]),
        (&2.into(), &1.into()),
        "{here}"
    );
    let (_, there) = bench.json_at(NOW, &["audit", "all/removed.csv", "--db", "other.db"]);
    assert_eq!((&there["no_figure"], &there["rejected"]), (&1.into(), &0.into()), "{there}");
}

/// A spreadsheet program writes an empty row as its separators, and people leave days that nobody can read.
#[test]
fn an_audit_passes_over_empty_rows_and_rejects_days_that_cannot_be_read() {
    let bench = shop();
    for separator in [",", ";"] {
        let rows = [
            "taken_at,entry,value,unit",
            ",,,",
            "2026-05-01,crank-pinch-bolts,13,N·m",
            ",,,",
            "soon,crank-pinch-bolts,13,N·m",
        ];
        std::fs::write(bench.path("log.csv"), rows.join("\n").replace(',', separator)).unwrap();
        let (_, audit) = bench.json_at(NOW, &["audit", "log.csv", "--rejects", "rejects.csv"]);
        assert_eq!((&audit["rows"], &audit["rejected"]), (&2.into(), &1.into()), "{audit}");
        let rejects = std::fs::read_to_string(bench.path("rejects.csv")).unwrap();
        assert!(rejects.contains("`soon` begins with no day"), "{rejects}");
    }
}

/// A torque of what is checked by hand or measured is a fault of the log, as where it is typed.
#[test]
fn an_audit_rejects_a_torque_of_what_no_torque_decides() {
    let bench = shop();
    let log =
        "bike,joint,value,unit\nloan-7,headset,5,N·m\nloan-7,pads-front,5,N·m\nloan-7,pads-front,3,mm\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let (_, audit) = bench.json_at(NOW, &["audit", "log.csv"]);
    assert_eq!((&audit["rejected"], &audit["left_out"]["measure"]), (&2.into(), &1.into()), "{audit}");
}

/// Rows that are left out keep their numbers where pieces are added up.
#[test]
fn pieces_of_an_exported_log_add_up() {
    let bench = exported();
    for piece in ["one", "two"] {
        bench.done(NOW, &["audit", "all/readings.csv", "--partial", piece]);
    }
    let (_, sum) = bench.json_at(NOW, &["audit", "--merge", "one", "two"]);
    assert_eq!((&sum["rows"], &sum["left_out"]["corrected"]), (&6.into(), &6.into()), "{sum}");
}

#[test]
fn an_audit_reads_what_spreadsheet_programs_save() {
    let bench = shop();
    let log = |separator: &str, value: &str, end: &str| {
        ["entry", "value", "unit"].join(separator)
            + end
            + &["crank-pinch-bolts", value, "N·m"].join(separator)
            + end
    };
    for (name, text, high) in [
        ("semicolons", format!("\u{feff}{}", log(";", "13,125", "\r\n")), "14,913998"),
        ("tabs", log("\t", "13.125", "\n"), "14.913998"),
        ("commas", log(",", "13.125", "\r\n"), "14.913998"),
    ] {
        std::fs::write(bench.path("log.csv"), &text).unwrap();
        let (_, audit) = bench.json_at(NOW, &["audit", "log.csv", "--verdicts", "judged.csv"]);
        assert_eq!((&audit["rows"], &audit["rejected"]), (&1.into(), &0.into()), "{name}: {audit}");
        let judged = std::fs::read_to_string(bench.path("judged.csv")).unwrap();
        let separator = if name == "semicolons" {
            ';'
        } else if name == "tabs" {
            '\t'
        } else {
            ','
        };
        let fields: Vec<&str> = judged.lines().nth(1).unwrap().split(separator).collect();
        assert_eq!((fields.len() >= 9, fields[5]), (true, high), "{name}: {judged}");
        assert_eq!(fields[7].contains(','), name == "semicolons", "{name}: {judged}");
    }
}

/// A correction may change nothing but the wrench or the note, and the same may have been read twice in one minute: neither
/// is a row that is there already.
#[test]
fn a_correction_of_the_wrench_alone_is_no_duplicate() {
    let bench = shop();
    for wrench in ["big", "small"] {
        bench.done(NOW, &["wrench", "add", wrench, "--type", "click", "--scale", "2-10 N·m"]);
    }
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "5 N·m", "--wrench", "big"]);
    bench.done(NOW, &["record", "loan-7/bar-clamp#1", "--corrects", "1", "--wrench", "small"]);
    bench.done(NOW, &["record", "loan-7/bar-clamp#2", "5 N·m"]);
    bench.done(NOW, &["export", "once"]);
    let log = |folder: &str| std::fs::read_to_string(bench.path(folder).join("readings.csv")).unwrap();
    bench.without_journal("once");
    let said = bench.at(NOW, &["import", "once", "--db", "sheets.db"]);
    assert_eq!(said.status, 0, "{}", said.out);
    bench.done(NOW, &["export", "again", "--db", "sheets.db"]);
    assert_eq!(log("once"), log("again"));
    // The same log from elsewhere, into a book that has the bicycle and none of its readings.
    let elsewhere = shop();
    for wrench in ["big", "small"] {
        elsewhere.done(NOW, &["wrench", "add", wrench, "--type", "click", "--scale", "2-10 N·m"]);
    }
    std::fs::write(elsewhere.path("log.csv"), log("once")).unwrap();
    let from_log = |recorded: u64, rejected: u64| {
        let (_, said) = elsewhere.json_at(NOW, &["record", "--from", "log.csv", "--keep-good"]);
        assert_eq!((&said["recorded"], &said["rejected"]), (&recorded.into(), &rejected.into()), "{said}");
    };
    from_log(3, 0);
    from_log(0, 3);
    // A row that stands twice in a sheet has one number.
    let twice = log("once");
    let last = twice.lines().last().unwrap().to_owned();
    std::fs::write(bench.path("once/readings.csv"), twice + &last + "\n").unwrap();
    let said = bench.at(NOW, &["import", "once", "--db", "twice.db"]);
    assert!(said.status == 1 && said.out.contains("reading 3 stands twice"), "{}", said.out);
}

/// A row that was cut off says less than it did: a joint without its marking would be judged by wider limits, an event
/// without its time would lie long ago.
#[test]
fn a_sheet_whose_last_row_was_cut_off_is_not_imported() {
    let bench = shop();
    bench.done(NOW, &["event", "loan-7", "crash"]);
    for (sheet, fields) in [("joints.csv", 9), ("events.csv", 2)] {
        bench.done(NOW, &["export", sheet]);
        bench.without_journal(sheet);
        let path = bench.path(sheet).join(sheet);
        let text = std::fs::read_to_string(&path).unwrap();
        let (kept, last) = text.trim_end().rsplit_once('\n').unwrap();
        let cut: Vec<&str> = last.split(',').take(fields).collect();
        std::fs::write(&path, format!("{kept}\n{}\n", cut.join(","))).unwrap();
        let said = bench.at(NOW, &["import", sheet, "--db", "new.db"]);
        let told = format!("the row has {fields} fields");
        assert!(said.status == 2 && said.err.contains(&told), "{sheet}: {}{}", said.out, said.err);
    }
}

#[test]
fn lines_that_end_in_two_characters_are_counted_as_an_editor_counts_them() {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let log = "taken_at,bike,joint,value,unit\n2026-05-01T10:00+02:00,loan-7,none,5,N·m\n";
    for (name, text) in [("lf", log.to_owned()), ("crlf", log.replace('\n', "\r\n"))] {
        std::fs::write(bench.path(name), text).unwrap();
        let said = bench.at(NOW, &["record", "--from", name]);
        let all = said.out + &said.err;
        assert!(all.contains(&format!("{name}:2:")), "{all}");
    }
}
