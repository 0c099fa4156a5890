//! The database file: first use, several processes, files that are none, newer schemas.

use crate::bench::{Bench, said};

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
