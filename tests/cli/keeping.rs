//! Keeping: the log is append-only, is backed up and restored, and every earlier schema is brought up to date.

use rusqlite::Connection;

use crate::bench::{Bench, said};

const NOW: &str = "2026-06-01T10:00:00+02:00";

pub fn shop() -> Bench {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let add = ["bike", "joint", "add", "loan-7", "plate", "--entry", "general-m5", "--bolts", "10"];
    assert_eq!(bench.at(NOW, &add).status, 0);
    bench
}

pub fn open(bench: &Bench) -> Connection {
    Connection::open(bench.database()).unwrap()
}

pub fn count(connection: &Connection, sql: &str) -> i64 {
    connection.query_row(sql, [], |row| row.get(0)).unwrap()
}

pub fn assert_sound(connection: &Connection) {
    let said: String = connection.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(said, "ok");
}

#[test]
fn readings_and_events_are_neither_changed_nor_deleted_nor_replaced() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/seat-collar", "12 N·m"]);
    bench.at(NOW, &["record", "loan-7/seat-collar", "11 N·m", "--corrects", "1"]);
    bench.at(NOW, &["ride", "loan-7", "2h"]);
    let connection = open(&bench);
    for change in [
        "UPDATE reading SET value = 5",
        "DELETE FROM reading WHERE id = 1",
        "DELETE FROM reading",
        "INSERT OR REPLACE INTO reading (id, joint, bolt, taken_at, kind, who, note, recorded_at)
           VALUES (1, 1, 1, '2026-06-01T10:00:00+02:00', 'skipped', '', '', '')",
        "INSERT OR REPLACE INTO reading (joint, bolt, taken_at, kind, who, note, corrects, recorded_at)
           VALUES (1, 1, '2026-06-01T10:00:00+02:00', 'skipped', '', '', 1, '')",
        "INSERT INTO reading (joint, bolt, taken_at, kind, who, note, recorded_at)
           VALUES (1, 1, 'yesterday', 'skipped', '', '', '')",
        "UPDATE event SET hours = 1",
        "DELETE FROM event",
    ] {
        assert!(connection.execute(change, []).is_err(), "{change}");
    }
    connection.pragma_update(None, "foreign_keys", true).unwrap();
    let nowhere = "INSERT INTO reading (joint, bolt, taken_at, kind, who, note, recorded_at)
                     VALUES (9999, 1, '2026-06-01T10:00:00+02:00', 'skipped', '', '', '')";
    assert!(connection.execute(nowhere, []).is_err());
    assert_eq!(count(&connection, "SELECT count(*) FROM reading"), 2);
}

#[test]
fn a_backup_comes_back_and_nothing_is_overwritten_unasked() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/plate", "5", "5", "5", "5", "5", "5", "5", "5", "5", "5", "N·m"]);
    let before = bench.at(NOW, &["ready", "loan-7"]).out;
    assert_eq!(bench.at(NOW, &["backup", "kept.db"]).out, "10 readings are in kept.db\n");
    assert!(!bench.path("kept.db-wal").exists(), "a backup is one file");
    let said = bench.at(NOW, &["backup", "kept.db"]);
    assert!(said.status == 2 && said.err.contains("is there already"), "{}", said.err);
    bench.at(NOW, &["record", "loan-7/plate#1", "9 N·m"]);
    let said = bench.at(NOW, &["restore", "kept.db"]);
    assert!(said.status == 2 && said.err.contains("--yes"), "{}", said.err);
    assert_eq!(bench.at(NOW, &["restore", "kept.db", "--yes"]).out, "10 readings came back from kept.db\n");
    assert_eq!(bench.at(NOW, &["ready", "loan-7"]).out, before);
    let said = bench.at(NOW, &["restore", "kept.db", "--db", "elsewhere.db"]);
    assert_eq!(said.status, 0, "{}", said.err);
    assert_eq!(bench.at(NOW, &["ready", "loan-7", "--db", "elsewhere.db"]).out, before);
}

#[test]
#[cfg(unix)]
fn a_backup_that_fails_leaves_nothing() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/plate#1", "5 N·m"]);
    std::fs::create_dir(bench.path("kept")).unwrap();
    let program = env!("CARGO_BIN_EXE_evenclamp");
    let script = format!("trap '' XFSZ; ulimit -f 1; exec '{program}' backup kept/b.db");
    let mut command = std::process::Command::new("sh");
    command.args(["-c", &script]).env("EVENCLAMP_DB", bench.database()).env("EVENCLAMP_NOW", NOW);
    let output = command.current_dir(bench.path("")).output().unwrap();
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    assert_eq!(std::fs::read_dir(bench.path("kept")).unwrap().count(), 0);
    let said = bench.at(NOW, &["backup", "no/such/folder/b.db"]);
    let clear = "cannot write no/such/folder/b.db: No such file or directory (os error 2)\n";
    assert!(said.status == 2 && said.err.contains(clear), "{}", said.err);
}

#[test]
fn what_is_no_backup_is_refused_and_changes_nothing() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/plate#1", "5 N·m"]);
    std::fs::write(bench.path("letter.db"), "a letter to the club".repeat(100)).unwrap();
    Connection::open(bench.path("other.db")).unwrap().execute_batch("CREATE TABLE t (x)").unwrap();
    bench.at(NOW, &["backup", "newer.db"]);
    let newer = Connection::open(bench.path("newer.db")).unwrap();
    newer.pragma_update(None, "user_version", 9999).unwrap();
    drop(newer);
    let mut cut = std::fs::read(bench.database()).unwrap();
    cut.truncate(cut.len() / 2);
    std::fs::write(bench.path("cut.db"), cut).unwrap();
    for file in ["letter.db", "other.db", "newer.db", "cut.db", "nowhere.db"] {
        let said = bench.at(NOW, &["restore", file, "--yes"]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{file}");
        assert!(said.err.lines().count() >= 2, "{file}: {}", said.err);
    }
    assert_eq!(bench.at(NOW, &["history", "loan-7/plate#1", "--format", "csv"]).out.lines().count(), 2);
}

#[test]
fn a_database_that_cannot_be_written_gets_a_clear_error_and_loses_nothing() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/plate#1", "5 N·m"]);
    // Locked by another program for longer than the program waits.
    let locker = open(&bench);
    locker.execute_batch("BEGIN IMMEDIATE").unwrap();
    let said = bench.at(NOW, &["record", "loan-7/plate#2", "5 N·m"]);
    assert!(said.status == 2 && said.err.contains("another program is writing"), "{}", said.err);
    locker.execute_batch("ROLLBACK").unwrap();
    drop(locker);
    let rows = bench.at(NOW, &["history", "loan-7/plate", "--format", "csv"]).out.lines().count();
    assert_eq!(rows, 2);
    // Damaged in the middle: refused, and the file is left as it is.
    let mut bytes = std::fs::read(bench.database()).unwrap();
    let middle = bytes.len() / 2;
    bytes[100..middle].fill(0x5a);
    let damaged = bench.path("damaged.db");
    std::fs::write(&damaged, &bytes).unwrap();
    let said = bench.at(NOW, &["record", "loan-7/plate#2", "5 N·m", "--db", damaged.to_str().unwrap()]);
    assert!(said.status == 2 && said.err.contains("no sound database"), "{}", said.err);
    assert_eq!(std::fs::read(&damaged).unwrap(), bytes);
}

#[test]
#[cfg(unix)]
fn a_full_disk_gets_a_clear_error_and_loses_nothing() {
    let bench = shop();
    bench.at(NOW, &["record", "loan-7/plate#1", "5 N·m"]);
    // A limit on the size of files stands for the end of the disk: the write-ahead log cannot grow.
    let program = env!("CARGO_BIN_EXE_evenclamp");
    let script = format!("trap '' XFSZ; ulimit -f 0; exec '{program}' record 'loan-7/plate#2' '5 N·m'");
    let mut command = std::process::Command::new("sh");
    command.args(["-c", &script]).env("EVENCLAMP_DB", bench.database()).env("EVENCLAMP_NOW", NOW);
    let full = said(&command.output().unwrap());
    assert!(full.status == 2 && full.out.is_empty(), "{} {}", full.status, full.out);
    assert!(full.err.contains("room"), "{}", full.err);
    assert_sound(&open(&bench));
    assert_eq!(bench.at(NOW, &["history", "loan-7/plate", "--format", "csv"]).out.lines().count(), 2);
    assert_eq!(bench.at(NOW, &["record", "loan-7/plate#2", "5 N·m"]).status, 3);
}

/// What stands in a database but for the spec book, as it was made. One dump was written by hand: blanks say nothing.
fn shape(connection: &Connection) -> Vec<String> {
    let sql = "SELECT type || ' ' || name || ' ' || coalesce(sql, '') FROM sqlite_schema
        WHERE name NOT LIKE 'book\\_%' ESCAPE '\\' ORDER BY 1";
    let mut query = connection.prepare(sql).unwrap();
    let packed = |text: String| text.split_whitespace().collect::<String>();
    query.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).map(packed).collect()
}

/// What was measured in any unit, in a database of which no line of a journal speaks yet.
fn measure_in_every_unit(connection: &Connection) {
    for unit in ["mm", "in", "%", "bar", "psi", "N", "h", "d", "ml"] {
        let sql = "INSERT INTO reading (joint, bolt, taken_at, kind, value, decimals, unit, who, note, recorded_at)
            VALUES (9, 1, '2026-05-01T10:00:00+02:00', 'tightened', 1.5, 1, ?1, '', '', '2026-05-01T10:00:00+02:00')";
        connection.execute(sql, [unit]).unwrap();
    }
}

/// Every earlier schema, as it was dumped when it was the newest.
#[test]
fn every_earlier_schema_is_brought_up_to_date() {
    let fresh = shop();
    let newest = count(&open(&fresh), "PRAGMA user_version");
    for version in 1..newest {
        let file = format!("{}/tests/schemas/{version}.sql", env!("CARGO_MANIFEST_DIR"));
        let dump = std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{file}: {error}"));
        let bench = Bench::new();
        open(&bench).execute_batch(&dump).unwrap();
        if (3..7).contains(&version) {
            measure_in_every_unit(&open(&bench));
        }
        let said = bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
        assert_eq!(said.status, 0, "schema {version}: {}", said.err);
        let connection = open(&bench);
        assert_eq!(count(&connection, "PRAGMA user_version"), newest);
        assert_eq!(shape(&connection), shape(&open(&fresh)), "schema {version}");
        // What was written before there was a journal is in it, and the journal carries all of it elsewhere.
        let (status, found) = bench.json_at(NOW, &["verify"]);
        assert!(status == 0 && found["lines"].as_u64() > Some(10), "schema {version}: {found}");
        bench.done(NOW, &["export", "all"]);
        bench.done(NOW, &["import", "all", "--db", "new.db"]);
        bench.done(NOW, &["export", "again", "--db", "new.db"]);
        for file in std::fs::read_dir(bench.path("all")).unwrap().map(|file| file.unwrap().file_name()) {
            let read = |folder: &str| std::fs::read_to_string(bench.path(folder).join(&file)).unwrap();
            assert_eq!(read("all"), read("again"), "schema {version}: {file:?}");
        }
        if version >= 2 {
            let (_, list) = bench.json_at(NOW, &["wrench", "list"]);
            assert_eq!(list.as_array().map(Vec::len), Some(1), "schema {version} keeps its wrench: {list}");
        }
        if version >= 3 {
            assert_eq!(count(&connection, "SELECT count(*) FROM reading WHERE unit = 'N·m'"), 4);
        }
        if (3..7).contains(&version) {
            let sql = "SELECT count(*) FROM reading WHERE kind = 'measured'";
            assert_eq!(count(&connection, sql), 9, "schema {version}");
        }
        if version >= 9 {
            // What was measured was kept as a tightening; its line of the journal still says so.
            let sql = "SELECT count(*) FROM reading WHERE kind = 'measured' AND unit = 'mm'";
            assert_eq!(count(&connection, sql), 1);
            let sql = "SELECT count(*) FROM journal WHERE content LIKE '%\"mm\"%\"tightened\"%'";
            assert_eq!(count(&connection, sql), 1);
        }
        if version >= 3 {
            // Its four readings were not counted then; three operations are allowed.
            let (_, list) = bench.json_at("2026-06-06T12:00:00+02:00", &["wrench", "list"]);
            assert_eq!((&list[0]["cycles"], &list[0]["stands"]), (&4.into(), &false.into()), "{list}");
        }
    }
}
