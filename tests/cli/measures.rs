//! What is measured with a gauge: kept, told and carried elsewhere as a measure, judged in its own unit.

use crate::bench::{Bench, edit, flat};

const NOW: &str = "2026-06-01T10:00:00+02:00";
const ROTOR: &str = "loan-7/rotor-front-thickness";

fn shop() -> Bench {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.done(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "4-6 N·m"]);
    bench.done(NOW, &["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m"]);
    bench
}

/// Kind and wrench of the newest reading, as they are stored.
fn stored(bench: &Bench, database: &str) -> (String, Option<i64>) {
    let connection = rusqlite::Connection::open(bench.path(database)).unwrap();
    let sql = "SELECT kind, wrench FROM reading ORDER BY id DESC LIMIT 1";
    connection.query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap()
}

#[test]
fn a_measure_is_kept_and_carried_as_one() {
    let bench = shop();
    let (status, answer) = bench.json_at(NOW, &["record", ROTOR, "1.9", "--wrench", "small"]);
    assert_eq!((status, answer["recorded"][0]["kind"].as_str()), (0, Some("measured")));
    assert_eq!(
        answer["hints"][0],
        "small is a torque wrench and measured nothing here: kept without a wrench"
    );
    assert_eq!(stored(&bench, "bench.db"), ("measured".to_owned(), None));
    bench.done(NOW, &["export", "all"]);
    for (file, said) in
        [("readings.csv", ",1.9,mm,measured,,"), ("journal.csv", "\"\"kind\"\":\"\"measured\"\"")]
    {
        let text = std::fs::read_to_string(bench.path("all").join(file)).unwrap();
        assert!(text.contains(said), "{file}: {text}");
    }
    bench.done(NOW, &["import", "all", "--db", "new.db"]);
    assert_eq!(stored(&bench, "new.db"), ("measured".to_owned(), None));
    let (_, history) = bench.json_at(NOW, &["history", ROTOR, "--db", "new.db"]);
    assert_eq!(history["readings"][0]["kind"], "measured");
    bench.without_journal("all");
    bench.done(NOW, &["import", "all", "--db", "sheets.db"]);
    assert_eq!(stored(&bench, "sheets.db"), ("measured".to_owned(), None));
}

/// An earlier version wrote `tightened` in the log that it exported, and had no column for what came later.
#[test]
fn a_folder_of_an_earlier_version_is_not_taken_for_an_edited_one() {
    let bench = shop();
    bench.done(NOW, &["record", ROTOR, "1.9"]);
    bench.done(NOW, &["export", "all"]);
    let log = bench.path("all").join("readings.csv");
    edit(&log, ",mm,measured,", ",mm,tightened,");
    let events = bench.path("all").join("events.csv");
    let text = std::fs::read_to_string(&events).unwrap();
    let fewer: Vec<&str> = text.lines().map(|line| line.rsplit_once(',').unwrap().0).collect();
    std::fs::write(&events, fewer.join("\n") + "\n").unwrap();
    let said = bench.at(NOW, &["import", "all", "--db", "new.db"]);
    assert_eq!(said.status, 0, "{}", said.err);
    assert_eq!(stored(&bench, "new.db").0, "measured");
    edit(&log, ",1.9,mm,", ",1.8,mm,");
    let said = bench.at(NOW, &["import", "all", "--db", "other.db"]);
    assert!(said.status == 2 && said.err.contains("one of them was edited"), "{}", said.err);
}

#[test]
fn what_a_wrench_does_is_not_done_to_a_measure() {
    let bench = shop();
    for (arguments, why) in [
        (&["record", ROTOR, "1.9", "--kind", "held"][..], "nothing was `held`"),
        (&["record", ROTOR], "such as 1.7 mm"),
        (&["record", ROTOR, "--kind", "measured"], "such as 1.7 mm"),
        (&["record", "loan-7/bar-clamp#1", "5 N·m", "--kind", "measured"], "checked by torque"),
        (&["record", "loan-7/bar-clamp#1", "--kind", "measured"], "nothing to record"),
        (&["check", "4-6 N·m", "5 N·m", "--kind", "measured"], "measured"),
    ] {
        let said = bench.at(NOW, arguments);
        assert!(said.status == 2 && said.err.contains(why), "{arguments:?}: {} {}", said.err, said.out);
    }
    let log = "bike,joint,value,unit,kind,wrench\n\
        loan-7,rotor-front-thickness,1.9,mm,,small\n\
        loan-7,rotor-front-thickness,60,mm,,\n\
        loan-7,bar-clamp,5,N·m,measured,\n\
        loan-7,rotor-front-thickness,1.8,mm,tightened,\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let said = bench.at(NOW, &["record", "--from", "log.csv", "--keep-good"]);
    for why in [
        "log.csv:2: rotor-front-thickness is measured: wrench small reads nothing of it",
        "log.csv:3: ",
        "log.csv:4: ",
    ] {
        assert!(
            flat(&said.out).contains(why.trim_end()) || said.err.contains(why),
            "{why}: {}{}",
            said.out,
            said.err
        );
    }
    assert_eq!(stored(&bench, "bench.db"), ("measured".to_owned(), None));
    let connection = rusqlite::Connection::open(bench.database()).unwrap();
    let count: i64 = connection.query_row("SELECT count(*) FROM reading", [], |row| row.get(0)).unwrap();
    assert_eq!(count, 1);
}

#[test]
fn a_visit_measures_without_its_wrench() {
    let bench = shop();
    let (_, card) = bench.json_at(NOW, &["ready", "loan-7"]);
    let joints: Vec<&str> =
        card["joints"].as_array().unwrap().iter().map(|joint| joint["joint"].as_str().unwrap()).collect();
    let answers: String = joints
        .iter()
        .map(|joint| if *joint == "rotor-front-thickness" { "1.9 mm\n" } else { "-\n" })
        .collect();
    let impossible = answers.replace("1.9", "60");
    let said = bench.piped(NOW, &["visit", "loan-7", "--wrench", "small"], &impossible);
    assert!(said.status == 2 && said.err.contains("60 mm is not possible"), "{}", said.err);
    let said = bench.piped(NOW, &["visit", "loan-7", "--wrench", "small"], &answers);
    assert!(said.err.contains("recorded: measured 1.9 mm"), "{}", said.err);
    assert_eq!(stored(&bench, "bench.db"), ("measured".to_owned(), None));
}

/// A pressure may be found and set in one go; a correction of a measure is one.
#[test]
fn a_measure_found_set_and_corrected_stays_one() {
    let bench = shop();
    let entry = ["--check", "measure", "--entry", "tyre-pressure-mountain"];
    bench.done(NOW, &[&["bike", "joint", "add", "loan-7", "pressure"], &entry[..]].concat());
    bench.done(NOW, &["record", "loan-7/pressure", "3.5 bar", "--found", "2.1 bar"]);
    bench.done(NOW, &["record", "loan-7/pressure", "--finding", "worn"]);
    bench.done(NOW, &["record", "loan-7/pressure", "52", "psi", "--corrects", "2"]);
    bench.done(NOW, &["record", "loan-7/pressure", "3", "--corrects", "3"]);
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/pressure", "--all"]);
    let lines: Vec<(&str, &str)> = history["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| (line["kind"].as_str().unwrap(), line["value"].as_str().unwrap()))
        .collect();
    for line in
        [("measured", "2.1 bar"), ("measured", "3.5 bar"), ("measured", "52 psi"), ("measured", "3 bar")]
    {
        assert!(lines.contains(&line), "{line:?} in {lines:?}");
    }
}

/// The pads of `tests/published/trend_line.csv`, which reach 2.0 mm between the 193rd and the 223rd day.
#[test]
fn the_days_between_which_a_limit_is_reached_are_told_everywhere() {
    let bench = shop();
    bench.done(NOW, &["bike", "joint", "edit", "loan-7", "pads-front", "--marking", "min 2.0 mm"]);
    let measured = [
        ("2026-01-01", "4.0"),
        ("2026-02-01", "3.7"),
        ("2026-02-28", "3.5"),
        ("2026-04-06", "3.1"),
        ("2026-05-01", "2.9"),
        ("2026-05-31", "2.5"),
    ];
    let record = |(day, value): (&str, &str)| {
        let at = format!("{day}T00:00:00Z");
        bench.json_at(NOW, &["record", "loan-7/pads-front", value, "--at", &at]).1
    };
    let told = measured.map(record);
    assert!(told[2]["wear"].is_null(), "three show nothing: {}", told[2]);
    let wear = &told[5]["wear"];
    assert_eq!((wear["from"].as_str(), wear["to"].as_str()), (Some("2026-07-13"), Some("2026-08-12")));
    let sentence = "by the trend of 6 measures it reaches 2.0 mm between 2026-07-13 and 2026-08-12";
    assert_eq!(wear["text"], sentence);
    let plain =
        |arguments: &[&str]| bench.at(NOW, arguments).out.split_whitespace().collect::<Vec<_>>().join(" ");
    for (arguments, before) in [
        (&["history", "loan-7/pads-front"][..], ""),
        (&["ready", "loan-7"], "pads-front: "),
        (&["due", "loan-7"], "pads-front: "),
    ] {
        let text = plain(arguments);
        assert!(text.contains(&format!("{before}{sentence}")), "{text}");
        let sheet = bench.at(NOW, &[arguments, &["--format", "csv"]].concat()).out;
        assert!(sheet.contains("wear_from,wear_to") && sheet.contains("2026-07-13,2026-08-12"), "{sheet}");
    }
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/pads-front"]);
    assert_eq!(&history["wear"], wear);
    let (_, due) = bench.json_at(NOW, &["due", "loan-7"]);
    assert_eq!((due["wearing"][0]["joint"].as_str(), &due["wearing"][0]["wear"]), (Some("pads-front"), wear));
    let (_, ready) = bench.json_at("2026-08-20T10:00:00+02:00", &["ready", "loan-7"]);
    let pads =
        ready["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == "pads-front").unwrap();
    let late = "by the trend of 6 measures it has reached 2.0 mm since 2026-08-12: measure it now";
    assert_eq!(pads["wear"]["text"], late);
}
