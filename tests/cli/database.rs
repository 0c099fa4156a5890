//! The database file: first use, several processes, files that are none, newer schemas.

use crate::bench::{Bench, said};

const NOW: &str = "2026-06-01T10:00:00+02:00";

#[test]
fn the_first_use_by_several_processes_at_once_loads_one_book() {
    let bench = Bench::new();
    let children: Vec<_> = (0..8)
        .map(|_| {
            let mut command = bench.command(&["find", "crank pinch"]);
            command.stdout(std::process::Stdio::piped()).stderr(std::process::Stdio::piped());
            command.spawn().unwrap()
        })
        .collect();
    for child in children {
        let answer = said(&child.wait_with_output().unwrap());
        assert_eq!(answer.status, 0, "{}", answer.err);
        assert!(answer.out.contains("crank-pinch-bolts"));
    }
}

#[test]
fn a_database_of_a_newer_version_is_refused_and_not_touched() {
    let bench = Bench::new();
    bench.run(&["find", "pedal"]);
    let connection = rusqlite::Connection::open(bench.database()).unwrap();
    connection.pragma_update(None, "user_version", 9999).unwrap();
    connection.close().unwrap();
    let before = std::fs::read(bench.database()).unwrap();
    let answer = bench.run(&["find", "pedal"]);
    assert_eq!(answer.status, 2);
    assert!(answer.err.contains("9999") && answer.err.contains("newer"), "{}", answer.err);
    assert_eq!(std::fs::read(bench.database()).unwrap(), before);
}

#[test]
fn a_file_that_is_no_database_is_refused_and_not_touched() {
    let bench = Bench::new();
    std::fs::write(bench.database(), "a letter to the club").unwrap();
    let answer = bench.run(&["find", "pedal"]);
    assert_eq!(answer.status, 2);
    assert!(answer.err.contains("no sound database"), "{}", answer.err);
    assert_eq!(std::fs::read_to_string(bench.database()).unwrap(), "a letter to the club");
}

#[test]
fn the_database_goes_where_it_is_told() {
    let bench = Bench::new();
    let other = bench.path("elsewhere/other.db");
    assert_eq!(bench.run(&["find", "pedal", "--db", other.to_str().unwrap()]).status, 0);
    assert!(other.exists() && !bench.database().exists());
}

#[test]
fn conversion_and_literal_checks_need_no_database() {
    let bench = Bench::new();
    bench.run(&["convert", "5 N·m"]);
    bench.run(&["check", "4-6 N·m", "5 N·m"]);
    assert!(!bench.database().exists());
}

/// A workshop whose own book was loaded by a version that knew fewer columns.
#[test]
fn a_book_that_an_earlier_version_loaded_is_loaded_anew() {
    let bench = Bench::new();
    bench.done(NOW, &["book", "export", "ours"]);
    let limits = bench.path("ours/limits.csv");
    let mut reader = csv::Reader::from_path(&limits).unwrap();
    let lacks = reader.headers().unwrap().iter().position(|column| column == "plausible").unwrap();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let header = reader.headers().unwrap().clone();
    for record in std::iter::once(header).chain(reader.records().map(Result::unwrap)) {
        writer
            .write_record(record.iter().enumerate().filter(|(at, _)| *at != lacks).map(|(_, field)| field))
            .unwrap();
    }
    std::fs::write(&limits, writer.into_inner().unwrap()).unwrap();
    bench.done(NOW, &["book", "load", "ours"]);
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let damage =
        |sql: &str| rusqlite::Connection::open(bench.database()).unwrap().execute_batch(sql).unwrap();
    let earlier = "ALTER TABLE book_limits DROP COLUMN plausible; DELETE FROM book_meta WHERE key = 'form'";
    damage(earlier);
    let said = bench.at(NOW, &["ready", "loan-7"]);
    assert!(said.status == 3 && said.err.contains("loaded anew"), "{}", said.err);
    // What says nothing of what is plausible refuses nothing.
    bench.done(NOW, &["record", "loan-7/rotor-front-thickness", "5 mm"]);
    damage(earlier);
    std::fs::remove_dir_all(bench.path("ours")).unwrap();
    let said = bench.at(NOW, &["ready", "loan-7"]);
    assert!(said.status != 2 && said.err.contains("the compiled-in book is used"), "{}", said.err);
}
