//! `book add` and `book own`: figures of the workshop's own, in a layer that nothing else touches.

use rusqlite::Connection;
use serde_json::Value;

use crate::bench::{Bench, Said, edit};

const NOW: &str = "2026-06-01T10:00:00+02:00";
const ENTRY: &str = "crank-pinch-bolts";

/// Adds a figure read off a part of an invented maker.
fn add(bench: &Bench, entry: &str, value: &str, issuer: &str) -> Said {
    let said = ["--issuer", issuer, "--source", "arm 170", "--where", "beside the slot"];
    bench.at(NOW, &[&["book", "add", entry, value], &said[..]].concat())
}

fn added(bench: &Bench, entry: &str, value: &str, issuer: &str) {
    let said = add(bench, entry, value, issuer);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
}

fn show(bench: &Bench, entry: &str) -> Value {
    bench.json_at(NOW, &["show", entry]).1
}

/// Every entry with its state, band and issuers.
fn states(bench: &Bench) -> Value {
    bench.json_at(NOW, &["find"]).1
}

fn listed(bench: &Bench) -> Value {
    bench.json_at(NOW, &["book", "own"]).1
}

/// The files of a folder.
fn files(bench: &Bench, folder: &str) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<_> = std::fs::read_dir(bench.path(folder))
        .unwrap()
        .map(|file| file.unwrap().path())
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(&path).unwrap()))
        .collect();
    files.sort();
    files
}

/// Bytes of the book's export and of the whole list of entries.
fn book_bytes(bench: &Bench, folder: &str) -> (Vec<(String, Vec<u8>)>, String, String) {
    bench.done(NOW, &["book", "export", folder]);
    let said = |arguments: &[&str]| bench.at(NOW, &[arguments, &["--format", "json"]].concat()).out;
    (files(bench, folder), said(&["find"]), said(&["show", ENTRY]))
}

/// An entry that nobody's figure counts for.
fn entry_without_figures(bench: &Bench) -> String {
    let all = states(bench);
    let found = all.as_array().unwrap().iter().find(|entry| {
        let key = entry["entry"].as_str().unwrap();
        entry["issuers"] == 0 && add(bench, key, "5 N·m", "Probe").status == 0
    });
    bench.done(NOW, &["book", "own", "--remove", "1"]);
    found.unwrap()["entry"].as_str().unwrap().to_owned()
}

#[test]
fn a_figure_of_ones_own_stands_beside_the_others_and_is_marked() {
    let bench = Bench::new();
    let before = show(&bench, ENTRY);
    let issuers = before["stretches"][0]["issuers"].as_u64().unwrap();
    let words = ["book", "add", ENTRY, "13 N·m", "--issuer", "Nordwind", "--source", "arm 170"];
    let more = ["--where", "beside the slot", "--year", "2024", "--hardware", "two bolts M6"];
    let (status, said) = bench.json_at(NOW, &[&words[..], &more[..]].concat());
    assert_eq!((status, &said["done"], &said["own"]), (0, &"added".into(), &1.into()));
    assert_eq!(said["after"]["issuers"].as_u64(), said["before"]["issuers"].as_u64().map(|n| n + 1));
    assert_eq!((&said["after"]["own"], &said["before"]["own"]), (&1.into(), &0.into()));
    let after = show(&bench, ENTRY);
    assert_eq!(after["stretches"][0]["issuers"].as_u64(), Some(issuers + 1));
    let evidence = after["evidence"].as_array().unwrap();
    let own = evidence.last().unwrap();
    for (key, value) in [
        ("own", Value::from(1)),
        ("value_nm", 13.0.into()),
        ("printed_value", "13".into()),
        ("printed_unit", "N·m".into()),
        ("issuer", "Nordwind".into()),
        ("grade", "marking".into()),
        ("locator", "beside the slot".into()),
        ("variant", "two bolts M6".into()),
        ("counted", true.into()),
    ] {
        assert_eq!(own[key], value, "{key}");
    }
    assert!(evidence[..evidence.len() - 1].iter().all(|row| row["own"].is_null()));
    assert_eq!(after["own"], 1);
    let text = bench.at(NOW, &["show", ENTRY]).out;
    for words in ["marking, own", "own-1, beside the slot", "by the workshop's own figures", "arm 170"] {
        assert!(text.contains(words), "{words} is missing in\n{text}");
    }
    let csv = bench.at(NOW, &["show", ENTRY, "--format", "csv"]).out;
    assert!(
        csv.lines().next().unwrap().ends_with(",own") && csv.lines().last().unwrap().ends_with(",1"),
        "{csv}"
    );
    let found = bench.at(NOW, &["find", ENTRY]).out;
    assert!(found.contains("agreed, own"), "{found}");
    let (_, check) = bench.json_at(NOW, &["check", ENTRY, "13 N·m"]);
    assert!(check["ground"].as_str().unwrap().contains("1 by the workshop's own figures"), "{check}");
    assert_eq!(bench.json_at(NOW, &["book"]).1["own"], serde_json::json!({ "rows": 1, "counted": 1 }));
    let row = &listed(&bench)[0];
    assert_eq!(
        (&row["value"], &row["year"], &row["added_on"]),
        (&"13 N·m".into(), &"2024".into(), &"2026-06-01".into())
    );
}

#[test]
fn adding_and_removing_restores_every_byte() {
    let bench = Bench::new();
    let before = book_bytes(&bench, "before");
    added(&bench, ENTRY, "13 N·m", "Nordwind");
    added(&bench, ENTRY, "max 14 N·m", "Halm");
    let during = book_bytes(&bench, "during");
    assert_eq!(during.0, before.0, "the book itself is never touched");
    assert_ne!(during.2, before.2);
    for number in ["2", "1"] {
        assert_eq!(bench.json_at(NOW, &["book", "own", "--remove", number]).1["done"], "removed");
    }
    assert_eq!(book_bytes(&bench, "after"), before);
    assert_eq!(listed(&bench), serde_json::json!([]));
    let said = bench.at(NOW, &["book", "own", "--remove", "1"]);
    assert!(said.status == 2 && said.err.contains("there is no own figure 1"), "{}", said.err);
}

#[test]
fn an_issuer_that_speaks_already_is_not_a_second_one() {
    let bench = Bench::new();
    let before = show(&bench, ENTRY);
    let evidence = before["evidence"].as_array().unwrap();
    let speaks = evidence.iter().find(|row| row["counted"] == true).unwrap();
    let issuer = speaks["issuer"].as_str().unwrap();
    let value =
        format!("{} {}", speaks["printed_value"].as_str().unwrap(), speaks["printed_unit"].as_str().unwrap());
    let said = add(&bench, ENTRY, &value, &issuer.to_lowercase());
    assert!(said.out.contains("speaks of it already"), "{}{}", said.out, said.err);
    let after = show(&bench, ENTRY);
    assert_eq!(after["stretches"], before["stretches"]);
    assert_eq!((&after["band"], &after["state"]), (&before["band"], &before["state"]));
    assert_eq!(after["evidence"].as_array().unwrap().last().unwrap()["issuer"], issuer);
    assert_eq!(listed(&bench)[0]["voice"], issuer);
}

/// 13 lbf·in for 13 N·m, or the figure of another part.
#[test]
fn a_figure_far_from_the_others_is_told_of() {
    let bench = Bench::new();
    let said = |value: &str| add(&bench, ENTRY, value, "Nordwind").out;
    assert!(!said("13 N·m").contains("outside"));
    assert!(said("40 N·m").contains("it lies outside what counted before"));
    assert!(said("max 5 N·m").contains("it lies outside what counted before"));
}

/// Where nobody spoke, one marking makes a thin entry, and that of a part of another maker an agreed one.
#[test]
fn markings_off_parts_of_different_makers_are_different_issuers() {
    let bench = Bench::new();
    let entry = entry_without_figures(&bench);
    let state = |bench: &Bench| show(bench, &entry)["state"].clone();
    added(&bench, &entry, "5 N·m", "Nordwind");
    assert_eq!(state(&bench), "thin");
    assert!(bench.at(NOW, &["show", &entry]).out.contains("Nordwind"));
    added(&bench, &entry, "5 N·m", "NORDWIND Ltd.");
    assert_eq!(state(&bench), "thin", "one issuer, one voice");
    added(&bench, &entry, "4-6 N·m", "Halm");
    assert_eq!(state(&bench), "agreed");
    added(&bench, &entry, "9 N·m", "Quarz");
    added(&bench, &entry, "9 N·m", "Torf");
    assert_eq!(state(&bench), "disputed");
}

#[test]
fn what_cannot_be_meant_or_read_is_refused_and_nothing_is_kept() {
    let bench = Bench::new();
    for (entry, value, issuer, word) in [
        (ENTRY, "13", "Nordwind", "no unit"),
        (ENTRY, "thirteen N·m", "Nordwind", "value:"),
        (ENTRY, "13 lb", "Nordwind", "lbf"),
        ("general-m5", "90 N·m", "Nordwind", "tear"),
        (ENTRY, "13 N·m", "none", "no issuer"),
        (ENTRY, "13 N·m", " ", "`issuer` is empty"),
        ("no-such-entry", "13 N·m", "Nordwind", "no entry"),
    ] {
        let said = add(&bench, entry, value, issuer);
        assert!(said.status == 2 && said.err.contains(word), "{value} {issuer}: {}", said.err);
    }
    assert_eq!(listed(&bench), serde_json::json!([]));
    added(&bench, ENTRY, "13 N·m", "Nordwind");
    let said = add(&bench, ENTRY, "13 N·m", "Nordwind");
    assert!(said.status == 2 && said.err.contains("own figure 1 says the same"), "{}", said.err);
    let memory = [
        "book", "add", ENTRY, "13 N·m", "--issuer", "a", "--source", "b", "--where", "c", "--grade", "memory",
    ];
    assert_eq!(bench.at(NOW, &memory).status, 2);
}

fn three_figures() -> Bench {
    let bench = Bench::new();
    added(&bench, ENTRY, "13 N·m", "Nordwind");
    added(&bench, "cassette-lockring", "max 45 N·m", "Halm");
    added(&bench, "general-m5", "4-6 N·m", "Quarz");
    bench
}

#[test]
fn an_exported_layer_gives_the_same_states_in_a_fresh_database() {
    let bench = three_figures();
    bench.done(NOW, &["book", "own", "--export", "ours"]);
    assert_eq!(files(&bench, "ours").len(), 1);
    let check = bench.at(NOW, &["book", "check", "ours"]);
    assert_eq!((check.status, check.out.as_str()), (0, "sound: no complaint\n"));
    let fresh = ["--db", "fresh.db"];
    let said = bench.at(NOW, &[&["book", "load", "ours"][..], &fresh].concat());
    assert!(
        said.status == 0 && said.out.starts_with("loaded 3 own figures from"),
        "{}{}",
        said.out,
        said.err
    );
    let at = |words: &[&str]| bench.json_at(NOW, &[words, &fresh[..]].concat()).1;
    assert_eq!(at(&["find"]), states(&bench));
    assert_eq!(at(&["book", "own"]), listed(&bench));
    assert_eq!(at(&["book"])["origin"], "compiled in", "the book stays the compiled-in one");
    let again = at(&["book", "load", "ours"]);
    assert_eq!((&again["own_rows"], &again["known_rows"]), (&0.into(), &3.into()));
    bench.done(NOW, &[&["book", "own", "--export", "back"][..], &fresh].concat());
    assert_eq!(files(&bench, "back"), files(&bench, "ours"));
    let said = bench.at(NOW, &["book", "own", "--export", "ours"]);
    assert!(said.status == 2 && said.err.contains("--replace"), "{}", said.err);
    bench.done(NOW, &["book", "own", "--export", "ours", "--replace"]);
}

/// The sheet beside those of a whole book.
#[test]
fn a_layer_beside_the_sheets_of_a_book_is_taken_in_with_it() {
    let bench = three_figures();
    let folder = bench.exported_book();
    let name = folder.to_str().unwrap();
    bench.done(NOW, &["book", "own", "--export", name]);
    assert_eq!(bench.at(NOW, &["book", "check", name]).status, 0);
    let fresh = ["--db", "fresh.db"];
    let loaded = bench.json_at(NOW, &[&["book", "load", name][..], &fresh].concat()).1;
    assert_eq!(loaded["own_rows"], 3);
    assert_eq!(bench.json_at(NOW, &["find", "--db", "fresh.db"]).1, states(&bench));
    assert_eq!(bench.json_at(NOW, &["book", "own", "--db", "fresh.db"]).1, listed(&bench));
    // One fault in either, and nothing changes.
    edit(&folder.join("own.csv"), "13 N·m", "13");
    let (status, check) = bench.json_at(NOW, &["book", "check", name]);
    let complaints = check["complaints"].as_array().unwrap();
    let errors: Vec<_> = complaints.iter().filter(|complaint| complaint["severity"] == "error").collect();
    assert_eq!((status, errors.len(), &errors[0]["file"]), (1, 1, &"own.csv".into()));
    assert_eq!((&errors[0]["line"], &errors[0]["column"]), (&2.into(), &19.into()));
    let said = bench.at(NOW, &["book", "load", name, "--db", "third.db"]);
    assert!(said.status == 2 && said.err.contains("own.csv:2:19"), "{}", said.err);
    assert_eq!(bench.json_at(NOW, &["book", "--db", "third.db"]).1["origin"], "compiled in");
    edit(&folder.join("own.csv"), ",13,", ",13 N·m,");
    edit(&folder.join("own.csv"), "general-m5,4-6 N·m", "general-m5,90 N·m");
    let said = bench.at(NOW, &["book", "check", name]);
    assert!(said.status == 1 && said.out.contains("tear"), "{}", said.out);
}

#[test]
fn the_layer_outlives_every_book() {
    let bench = three_figures();
    let own = listed(&bench);
    let folder = bench.exported_book();
    let name = folder.to_str().unwrap();
    bench.done(NOW, &["book", "load", name]);
    edit(&folder.join("entries.csv"), "Crank pinch bolts", "Left arm pinch bolts");
    let said = bench.at(NOW, &["find", ENTRY]);
    assert!(said.err.contains("was loaded anew") && said.out.contains("own"), "{}{}", said.out, said.err);
    assert_eq!(listed(&bench)[0]["name"], "Left arm pinch bolts");
    // As after a new version of the program: what is loaded is not what it carries.
    bench.done(NOW, &["book", "load", "--compiled-in"]);
    let connection = Connection::open(bench.database()).unwrap();
    connection.execute("UPDATE book_meta SET value = 'older' WHERE key = 'content_hash'", []).unwrap();
    connection.execute("DELETE FROM book_evidence", []).unwrap();
    drop(connection);
    assert_eq!(listed(&bench), own);
    assert!(show(&bench, ENTRY)["evidence"].as_array().unwrap().len() > 1);
}

/// An entry under another name is another entry: what spoke of the old one is kept and told of, and counts again.
#[test]
fn an_entry_that_the_book_no_longer_has_is_told_and_its_figure_kept() {
    let bench = three_figures();
    let folder = bench.exported_book();
    for file in std::fs::read_dir(&folder).unwrap().map(|file| file.unwrap().path()) {
        let text = std::fs::read_to_string(&file).unwrap();
        std::fs::write(&file, text.replace(ENTRY, "crank-slot-bolts")).unwrap();
    }
    let said = bench.at(NOW, &["book", "load", folder.to_str().unwrap()]);
    let told = "own figure 1 is of `crank-pinch-bolts`, which the book does not have; it is kept";
    assert!(said.status == 0 && said.err.contains(told), "{}{}", said.out, said.err);
    let rows = listed(&bench);
    assert_eq!(rows.as_array().unwrap().len(), 3);
    assert_eq!(
        (&rows[0]["counted"], &rows[0]["name"], &rows[0]["reason"]),
        (&false.into(), &Value::Null, &told.into())
    );
    assert!(bench.at(NOW, &["book", "own"]).out.contains("not counted"));
    assert_eq!(bench.json_at(NOW, &["book"]).1["own"], serde_json::json!({ "rows": 3, "counted": 2 }));
    bench.done(NOW, &["book", "own", "--export", "ours"]);
    let check = bench.at(NOW, &["book", "check", "ours"]);
    assert!(check.status == 0 && check.out.contains("warning: unknown entry"), "{}", check.out);
    bench.done(NOW, &["book", "load", "--compiled-in"]);
    assert_eq!(listed(&bench)[0]["counted"], true);
}

#[test]
fn a_damaged_figure_is_told_of_and_counts_for_nothing() {
    let bench = three_figures();
    let connection = Connection::open(bench.database()).unwrap();
    assert!(connection.execute("UPDATE own_evidence SET grade = 'memory'", []).is_err());
    connection.execute("UPDATE own_evidence SET value = 'thirteen' WHERE id = 1", []).unwrap();
    drop(connection);
    for words in [&["find", "crank"][..], &["show", ENTRY], &["check", ENTRY, "13 N·m"], &["book", "own"]] {
        let said = bench.at(NOW, words);
        assert!(
            said.err.contains("own figure 1 of `crank-pinch-bolts` cannot be read"),
            "{words:?}: {}",
            said.err
        );
    }
    let shown = show(&bench, ENTRY);
    assert_eq!(shown["own"], 0);
    assert!(shown["own_faults"][0].as_str().unwrap().contains("thirteen"), "{shown}");
    assert!(bench.at(NOW, &["show", ENTRY, "--brief"]).out.contains("Damaged"));
    let rows = listed(&bench);
    assert_eq!((&rows[0]["value"], &rows[0]["counted"]), (&"thirteen".into(), &false.into()));
    bench.done(NOW, &["book", "own", "--export", "ours"]);
    let check = bench.at(NOW, &["book", "check", "ours"]);
    assert!(check.status == 1 && check.out.contains("own.csv:2:"), "{}", check.out);
    let said = bench.at(NOW, &["export", "all"]);
    assert!(said.err.contains("an import of the sheets alone refuses it"), "{}", said.err);
    bench.without_journal("all");
    let said = bench.at(NOW, &["import", "all", "--db", "new.db"]);
    assert!(said.status == 2 && said.err.contains("own.csv:2:"), "{}", said.err);
    bench.done(NOW, &["book", "own", "--remove", "1"]);
    assert_eq!(bench.at(NOW, &["find", "crank"]).err, "");
}

#[test]
fn export_and_import_of_the_workshop_carry_the_layer() {
    let bench = three_figures();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "city"]);
    bench.done(NOW, &["export", "all"]);
    bench.done(NOW, &["import", "all", "--db", "new.db"]);
    assert_eq!(bench.json_at(NOW, &["book", "own", "--db", "new.db"]).1, listed(&bench));
    bench.done(NOW, &["export", "again", "--db", "new.db"]);
    assert_eq!(files(&bench, "again"), files(&bench, "all"));
    // Figures of one's own are a workshop, too: an import does not write over them.
    bench.done(NOW, &["bike", "list", "--db", "figures.db"]);
    bench.done(NOW, &["book", "own", "--export", "ours"]);
    bench.done(NOW, &["book", "load", "ours", "--db", "figures.db"]);
    bench.without_journal("all");
    let said = bench.at(NOW, &["import", "all", "--db", "figures.db"]);
    assert!(said.status == 2 && said.err.contains("holds a workshop already"), "{}", said.err);
    // A folder of a version that knew none has none.
    std::fs::remove_file(bench.path("all/own.csv")).unwrap();
    bench.done(NOW, &["import", "all", "--db", "earlier.db"]);
    assert_eq!(bench.json_at(NOW, &["book", "own", "--db", "earlier.db"]).1, serde_json::json!([]));
    // A backup is the whole database.
    bench.done(NOW, &["backup", "kept.db"]);
    bench.done(NOW, &["book", "own", "--remove", "3"]);
    bench.done(NOW, &["restore", "kept.db", "--yes"]);
    assert_eq!(listed(&bench).as_array().unwrap().len(), 3);
}

/// A sheet by the names of its columns.
fn by_column(sheet: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    csv::Reader::from_reader(sheet.as_bytes()).deserialize().map(Result::unwrap).collect()
}

/// Every text of the figure differs from the others, so that no two columns can be taken for each other.
#[test]
fn every_column_of_the_answer_holds_what_its_name_says() {
    let bench = Bench::new();
    let figure =
        ["book", "add", "grip-collar", "max 3 N·m", "--issuer", "SHIMANO", "--source", "lock-on grip"];
    let more = ["--where", "on the collar", "--grade", "secondhand", "--format", "csv"];
    let said = bench.at(NOW, &[&figure[..], &more[..]].concat());
    assert_eq!(said.status, 0, "{}", said.err);
    let header = "done,own,entry,name,value,grade,issuer,voice,source,locator,state_before,state,notes";
    assert_eq!(said.out.lines().next(), Some(header));
    let rows = by_column(&said.out);
    let wanted = [
        ("done", "added"),
        ("own", "1"),
        ("entry", "grip-collar"),
        ("name", "Lock-on grip collar"),
        ("value", "max 3 N·m"),
        ("grade", "secondhand"),
        ("issuer", "SHIMANO"),
        ("voice", "Shimano Inc."),
        ("source", "lock-on grip"),
        ("locator", "on the collar"),
        ("state_before", "unconfirmed"),
        ("state", "thin"),
        ("notes", rows[0]["notes"].as_str()),
    ];
    let wanted = wanted.map(|(column, text)| (column.to_owned(), text.to_owned())).into();
    assert_eq!(rows, [wanted]);
    assert!(rows[0]["notes"].contains("`evenclamp book own --remove 1`"), "{}", said.out);
}

/// What takes no torque is given none, and a figure that is the first to count says for what it will count.
#[test]
fn an_own_figure_of_what_takes_no_torque_is_refused_and_the_first_of_an_entry_says_what_it_does() {
    let bench = Bench::new();
    let add = |entry: &str| {
        let from = ["--issuer", "Q", "--source", "lever", "--where", "on it"];
        bench.run(&[&["book", "add", entry, "5 N·m"][..], &from].concat())
    };
    for entry in ["bar-tape", "spoke-nipple"] {
        let said = add(entry);
        assert!(
            said.status == 2 && said.err.contains("no torque is for"),
            "{entry}: {}{}",
            said.out,
            said.err
        );
    }
    let (_, list) = bench.json(&["book", "own"]);
    assert_eq!(list.as_array().map(Vec::len), Some(0), "{list}");
    let flat = |said: String| said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(add("shifter-clamp").out).contains("counts for every bicycle that has it"));
    assert!(!flat(add("crank-pinch-bolts").out).contains("counts for every bicycle"));
}
