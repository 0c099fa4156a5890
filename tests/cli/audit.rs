//! `audit`: a whole log, its results, its pieces, and everything that can be wrong with a file.

use std::io::Write as _;
use std::path::Path;
use std::process::Stdio;

use serde_json::Value;

use crate::bench::{Bench, Said, flat, said};

const LOG: &str = "taken_at,bike,joint,entry,bolt,value,unit,kind,wrench,who,note\n\
    2026-05-01T09:00,b1,,crank-pinch-bolts,1,13.4,N·m,tightened,,a,\n\
    2026-05-01T09:05,b1,,crank-pinch-bolts,2,20,N·m,tightened,,a,\n\
    2026-05-01T09:06,b1,,crank-pinch-bolts,2,8,Nm,,,a,\"left, then right\"\n\
    2026-05-01T09:07,b1,,crank-pinch-bolts,2,\"12,2\",N·m,tightened,,a,\n\
    2026-05-01T09:08,b1,,chainring-bolt-steel,2,5,N·m,tightened,,a,\n\
    2026-05-01T09:09,b1,,crank-pinch-bolts,2,12,N·m,held,,a,\n\
    2026-05-01T09:10,b1,,crank-pinch-bolts,2,,,skipped,,a,\n\
    2026-05-01T09:11,b1,,no-such-entry,2,5,N·m,tightened,,a,\n\
    2026-05-01T09:12,b1,,crank-pinch-bolts,2,5,lb,tightened,,a,\n\
    2026-05-01T09:13,b1,,crank-pinch-bolts,2,115,N·m,tightened,,a,\n";

fn bench_with(log: impl AsRef<[u8]>) -> Bench {
    let bench = Bench::new();
    std::fs::write(bench.path("log.csv"), log).unwrap();
    bench
}

fn count(answer: &Value, key: &str) -> u64 {
    answer[key].as_u64().unwrap_or_else(|| panic!("{key} in {answer}"))
}

fn lines(path: &Path) -> Vec<String> {
    std::fs::read_to_string(path).unwrap().lines().map(str::to_owned).collect()
}

fn six(answer: &Value) -> [u64; 7] {
    ["rows", "inside", "low", "high", "too_close", "not_settled", "rejected"].map(|key| count(answer, key))
}

#[test]
fn a_log_is_summed_up_by_entry_wrench_and_verdict() {
    let bench = bench_with(LOG);
    let (status, answer) = bench.json(&["audit", "log.csv"]);
    assert_eq!((status, six(&answer)), (1, [10, 1, 1, 2, 1, 3, 2]));
    assert_eq!(["unit_slips", "no_figure", "held", "no_torque"].map(|key| count(&answer, key)), [2, 1, 1, 1]);
    let crank =
        answer["entries"].as_array().unwrap().iter().find(|entry| entry["low_nm"].is_number()).unwrap();
    assert_eq!(
        (crank["entry"].as_str(), count(crank, "rows"), crank["low_nm"].as_f64()),
        (Some("crank-pinch-bolts"), 8, Some(12.0))
    );
    assert_eq!(answer["faults"], serde_json::json!({"entry": 1, "value": 1}));
    let text = bench.run(&["audit", "log.csv", "--worst", "2"]);
    for words in ["10 rows", "not settled", "unknown entry", "read the marking", "another unit", "times"] {
        assert!(text.out.contains(words), "{words}: {}", text.out);
    }
    assert!(!text.out.contains("figures of their own"), "{}", text.out);
    let csv = bench.run(&["audit", "log.csv", "--format", "csv"]).out;
    assert!(csv.starts_with("entry,wrench,registered,low_nm") && csv.lines().count() == 3, "{csv}");
}

#[test]
fn the_log_comes_back_with_what_was_said() {
    let bench = bench_with(LOG);
    bench.run(&["audit", "log.csv", "--verdicts", "judged.csv", "--rejects", "rejects.csv"]);
    let judged = lines(&bench.path("judged.csv"));
    for (line, raw) in judged.iter().zip(LOG.lines()) {
        assert!(line.starts_with(raw), "{line}");
    }
    assert!(judged[0].ends_with("note,verdict,low_nm,high_nm,value_nm,chance_inside,reason"));
    assert!(judged[1].contains(",inside,12,") && judged[2].contains(",high,12,"), "{}", judged[1]);
    assert!(judged[6].contains(",held,") && judged[7].contains(",skipped,"), "{}", judged[6]);
    assert!(judged[10].contains("perhaps lbf·in was meant"), "{}", judged[10]);
    let mut reader = csv::Reader::from_path(bench.path("judged.csv")).unwrap();
    assert_eq!(reader.records().filter(|record| record.as_ref().unwrap().len() == 17).count(), 10);
    let rejects = lines(&bench.path("rejects.csv"));
    assert!(rejects[1].starts_with("8,the book has no entry `no-such-entry`,") && rejects.len() == 3);
    assert!(rejects[2].starts_with("9,") && rejects[2].contains("lbf·in or lbf·ft"), "{}", rejects[2]);
}

fn add_wrenches(bench: &Bench) {
    let small = ["small", "--scale", "2-10 N·m", "--step", "0.1", "--calibrated", "2026-01-10"];
    let lapsed = ["lapsed", "--scale", "5-25 N·m", "--calibrated", "2024-01-10"];
    for wrench in [&small[..], &lapsed] {
        let words = [&["wrench", "add", "--type", "click"], wrench].concat();
        assert_eq!(bench.run(&words).status, 0, "{words:?}");
    }
}

/// What `check` says behind a reason of what would settle it.
const MENDS: [&str; 5] = [
    ": see the marking",
    ": a finer one",
    ": one with a",
    ": calibrating the wrench",
    ": name a calibrated one",
];

/// Every row of a log gets the word, the chance and the slips that `check` gives its reading.
#[test]
fn rows_are_judged_as_check_judges_them() {
    let bench = Bench::new();
    add_wrenches(&bench);
    let mut log = "entry,value,unit,kind,wrench,taken_at\n".to_owned();
    let mut rows = Vec::new();
    for entry in [
        "crank-pinch-bolts",
        "stem-face-plate-four-bolt",
        "chainring-bolt-steel",
        "bottom-bracket-cup-carbon-frame",
    ] {
        for (value, unit) in
            [("5.5", "N·m"), ("13.1", "Nm"), ("44", "in-lb"), ("4,9", "N·m"), ("18", "N·m"), ("6.6", "N·m")]
        {
            for wrench in ["", "SMALL", "lapsed"] {
                log += &format!("{entry},\"{value}\",{unit},tightened,{wrench},2026-05-01\n");
                rows.push((entry, format!("{value} {unit}"), wrench));
            }
        }
    }
    std::fs::write(bench.path("log.csv"), log).unwrap();
    bench.run(&["audit", "log.csv", "--verdicts", "judged.csv"]);
    let mut judged = csv::Reader::from_path(bench.path("judged.csv")).unwrap();
    let judged: Vec<csv::StringRecord> = judged.records().map(Result::unwrap).collect();
    assert_eq!(judged.len(), rows.len());
    for (record, (entry, reading, wrench)) in judged.iter().zip(&rows) {
        let used = ["--wrench", *wrench, "--on", "2026-05-01"];
        let used = if wrench.is_empty() { &[][..] } else { &used };
        let (_, answer) = bench.json(&[&["check", *entry, reading, "--unit", "N·m"], used].concat());
        let place = format!("{entry} {reading} {wrench}: {answer}");
        assert_eq!(&record[6], answer["verdict"].as_str().unwrap(), "{place}");
        let chance = answer["chance_inside"].as_f64();
        let told = record[10].parse::<f64>().ok();
        assert_eq!(told.is_some(), chance.is_some(), "{place}");
        let cut = chance.map(|chance| ((chance * 1e3).floor() / 1e3).min(0.999));
        assert_eq!(told, cut, "{place}");
        let reasons =
            answer["reasons"].as_array().unwrap().iter().map(|reason| reason.as_str().unwrap().to_owned());
        // That a value is set is the same in every row; what would settle a doubt is said by `check`.
        let reasons = reasons.filter(|reason| !reason.starts_with("a set value"));
        let reasons = reasons.map(|reason| {
            let end = MENDS.iter().find_map(|mend| reason.find(mend));
            end.map_or(reason.clone(), |end| reason[..end].to_owned())
        });
        let reasons: Vec<String> = reasons.chain(mix_up(&answer)).collect();
        assert_eq!(&record[11], reasons.join("; "), "{place}");
    }
}

/// What the log says of the first mix-up of units that `check` names. What the bolt could bear is a question
/// for one reading at a time; the audit leaves it out.
fn mix_up(answer: &Value) -> Option<String> {
    let hints = answer["hints"].as_array().unwrap();
    let first = hints.iter().find(|hint| hint["kind"] != "bolt")?;
    let words: Vec<&str> = first["text"].as_str().unwrap().split(' ').collect();
    match words.as_slice() {
        [_, unit, "would", ..] => Some(format!("perhaps {unit} was meant")),
        [_, "meant", "in", meant, "but", "set", "on", "a", scale, ..] => {
            Some(format!("perhaps {meant} was meant but set on a {scale} scale"))
        }
        _ => panic!("{first}"),
    }
}

/// A joint of a bicycle is judged by the figure that counts for it, as `check BIKE/JOINT` does.
#[test]
fn joints_are_judged_by_the_figures_of_their_bicycle() {
    let bench = Bench::new();
    bench.run(&["bike", "add", "loan-7", "--kind", "hardtail"]);
    let marked = ["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "bar: max 4.5 N·m"];
    assert_eq!(bench.run(&marked).status, 0);
    let readings = ["3.9", "4.4", "5.5", "2", "30"];
    let mut log = "bike,joint,value,unit\n".to_owned();
    for reading in readings {
        log += &format!("Loan-7,BAR-clamp,{reading},N·m\n");
    }
    log += "loan-7,no-such,5,N·m\n,,5,N·m\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let text = bench.run(&["audit", "log.csv", "--verdicts", "judged.csv"]).out;
    assert!(flat(&text).contains("judged by figures of their own"), "{text}");
    let mut judged = csv::Reader::from_path(bench.path("judged.csv")).unwrap();
    let judged: Vec<csv::StringRecord> = judged.records().map(Result::unwrap).collect();
    for (record, reading) in judged.iter().zip(readings) {
        let (_, answer) = bench.json(&["check", "loan-7/bar-clamp", &format!("{reading} N·m")]);
        assert_eq!(&record[4], answer["verdict"].as_str().unwrap(), "{reading}: {answer}");
        assert_eq!(record[6].parse::<f64>().ok(), answer["limits"]["high_nm"].as_f64(), "{reading}");
    }
    assert!(record_says(&judged[5], "`no-such`") && record_says(&judged[6], "neither an entry"));
    let (_, sum) = bench.json(&["audit", "log.csv"]);
    assert_eq!(sum["faults"], serde_json::json!({"joint": 1, "no_entry": 1}));
    assert_eq!((sum["entries"].as_array().unwrap().len(), count(&sum["entries"][0], "rows")), (1, 5));
}

fn record_says(record: &csv::StringRecord, words: &str) -> bool {
    &record[4] == "rejected" && record[9].contains(words)
}

#[test]
fn packed_logs_and_standard_input_are_read_as_they_are() {
    let bench = bench_with(LOG);
    let plain = bench.json(&["audit", "log.csv"]);
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(&LOG.as_bytes()[..300]).unwrap();
    let mut gzip = packer.finish().unwrap();
    let mut packer = flate2::write::GzEncoder::new(&mut gzip, flate2::Compression::fast());
    packer.write_all(&LOG.as_bytes()[300..]).unwrap();
    packer.finish().unwrap();
    let zstd = zstd::encode_all(LOG.as_bytes(), 3).unwrap();
    let marked = ["\u{feff}", &LOG.replace('\n', "\r\n")].concat();
    for (name, bytes) in [("log.gz", &gzip[..]), ("log.zst", &zstd), ("crlf.csv", marked.as_bytes())] {
        std::fs::write(bench.path(name), bytes).unwrap();
        assert_eq!(bench.json(&["audit", name]), plain, "{name}");
        let mut child = bench
            .command(&["audit", "-", "--format", "json"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(bytes).unwrap();
        let answer = said(&child.wait_with_output().unwrap());
        assert_eq!((answer.status, serde_json::from_str(&answer.out).unwrap()), plain, "{name}");
    }
    let cut = |bytes: &[u8]| bytes[..bytes.len() - 20].to_vec();
    for (name, bytes) in [("cut.gz", cut(&gzip)), ("cut.zst", cut(&zstd))] {
        std::fs::write(bench.path(name), bytes).unwrap();
        let answer = bench.run(&["audit", name, "--verdicts", "out.csv"]);
        refused(&bench, &answer, "cut off");
    }
    gzip[40] ^= 0xff;
    std::fs::write(bench.path("bad.gz"), gzip).unwrap();
    refused(&bench, &bench.run(&["audit", "bad.gz", "--verdicts", "out.csv"]), "damaged");
}

/// Exit status 2, a reason, and nothing left behind.
fn refused(bench: &Bench, answer: &Said, words: &str) {
    assert_eq!((answer.status, answer.out.as_str()), (2, ""), "{words}: {}", answer.err);
    assert!(answer.err.contains(words) && answer.err.lines().count() >= 2, "{words}: {}", answer.err);
    let left: Vec<String> = std::fs::read_dir(bench.path(""))
        .unwrap()
        .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert!(!left.iter().any(|name| name.starts_with("out") || name.starts_with(".evenclamp")), "{left:?}");
}

#[test]
fn what_is_no_log_is_refused_and_leaves_nothing() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("folder")).unwrap();
    for (name, bytes) in [
        ("empty.csv", ""),
        ("slashes.csv", "entry/value/unit\n"),
        ("short.csv", "entry,value\nx,1\n"),
        ("twice.csv", "entry,value,unit,unit\n"),
    ] {
        std::fs::write(bench.path(name), bytes).unwrap();
    }
    std::fs::write(bench.path("long.csv"), ["entry,value,unit\n", &"x".repeat(3_000_000)].concat()).unwrap();
    std::fs::write(bench.path("wide.csv"), b"\xff\xfee\0n\0t\0r\0y\0").unwrap();
    for (name, words) in [
        ("missing.csv", "no such file"),
        ("folder", "a folder"),
        ("empty.csv", "empty"),
        ("slashes.csv", "no column"),
        ("short.csv", "no column unit"),
        ("twice.csv", "twice"),
        ("long.csv", "longer than"),
        ("wide.csv", "UTF-16"),
    ] {
        refused(
            &bench,
            &bench.run(&["audit", name, "--verdicts", "out.csv", "--partial", "out.json"]),
            words,
        );
    }
    refused(&bench, &bench.run(&["audit"]), "FILE");
}

#[test]
fn strict_ends_at_the_first_row_that_cannot_be_read() {
    let bench = bench_with(LOG);
    let answer =
        bench.run(&["audit", "log.csv", "--strict", "--verdicts", "out.csv", "--rejects", "out2.csv"]);
    refused(&bench, &answer, "row 8 cannot be judged: the book has no entry `no-such-entry`");
}

#[test]
fn an_older_result_stays_when_the_new_one_fails() {
    let bench = bench_with(LOG);
    std::fs::write(bench.path("kept.csv"), "kept").unwrap();
    assert_eq!(bench.run(&["audit", "log.csv", "--strict", "--verdicts", "kept.csv"]).status, 2);
    assert_eq!(std::fs::read_to_string(bench.path("kept.csv")).unwrap(), "kept");
    assert_eq!(bench.run(&["audit", "log.csv", "--verdicts", "kept.csv"]).status, 1);
    assert!(lines(&bench.path("kept.csv")).len() == 11);
}

/// A disk that fills: the shell limits the size of files, and a device that is always full.
#[test]
#[cfg(target_os = "linux")]
fn a_disk_that_fills_is_told_and_leaves_nothing() {
    let row = LOG.lines().nth(1).unwrap();
    let log = [LOG, &format!("{row}\n").repeat(20_000)].concat();
    let bench = bench_with(log);
    bench.run(&["find"]);
    for option in ["--verdicts", "--rejects"] {
        refused(&bench, &bench.run(&["audit", "log.csv", option, "/dev/full"]), "No space left");
    }
    let script = format!(
        "trap '' XFSZ; ulimit -f 200; exec {} audit log.csv --verdicts out.csv",
        env!("CARGO_BIN_EXE_evenclamp")
    );
    let output = std::process::Command::new("sh")
        .args(["-c", &script])
        .env("EVENCLAMP_DB", bench.database())
        .current_dir(bench.path(""))
        .output()
        .unwrap();
    refused(&bench, &said(&output), "cannot write the verdicts");
    let nowhere = bench.run(&["audit", "log.csv", "--verdicts", "no/such/folder/out.csv"]);
    refused(&bench, &nowhere, "cannot write it");
}

#[test]
fn pieces_add_up_to_the_whole_to_the_bit() {
    let bench = Bench::new();
    let rows: Vec<&str> = LOG.lines().skip(1).cycle().take(5000).collect();
    let header = LOG.lines().next().unwrap();
    let write = |name: &str, rows: &[&str]| {
        std::fs::write(bench.path(name), [header, "\n", &rows.join("\n"), "\n"].concat()).unwrap();
    };
    write("log.csv", &rows);
    let words = |text: &'static str| text.split(' ').collect::<Vec<_>>();
    let whole = "audit log.csv --partial whole.json --plot whole.svg --worst 7 --format json";
    let whole = bench.run(&words(whole));
    let mut names = Vec::new();
    for (number, piece) in rows.chunks(1234).enumerate() {
        write("piece.csv", piece);
        let name = format!("{number}.json");
        bench.run(&["audit", "piece.csv", "--partial", &name]);
        names.push(name);
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let merge = words("audit --worst 7 --format json --partial sum.json --plot sum.svg --merge");
    let merged = bench.run(&[merge, names].concat());
    assert_eq!((merged.status, merged.out), (whole.status, whole.out));
    for (sum, whole) in [("sum.json", "whole.json"), ("sum.svg", "whole.svg")] {
        assert_eq!(std::fs::read(bench.path(sum)).unwrap(), std::fs::read(bench.path(whole)).unwrap());
    }
    bench.run(&["audit", "piece.csv", "--rule", "plain", "--partial", "plain.json"]);
    refused(&bench, &bench.run(&["audit", "--merge", "0.json", "plain.json"]), "different rules");
    refused(&bench, &bench.run(&["audit", "--merge", "log.csv"]), "no summary of a piece");
    refused(&bench, &bench.run(&["audit", "--worst", "101", "--merge", "0.json"]), "100 worst");
}

/// The spread run that the manual shows, with tools that every Unix has.
#[test]
#[cfg(unix)]
fn a_shell_spreads_a_log_over_processes() {
    let bench = bench_with(
        LOG.lines().next().unwrap().to_owned() + "\n" + &LOG[LOG.find('\n').unwrap() + 1..].repeat(300),
    );
    let whole = bench.run(&["audit", "log.csv"]);
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tools/audit_in_pieces.sh");
    let output = std::process::Command::new("sh")
        .args([script, "log.csv", "4"])
        .env("EVENCLAMP", env!("CARGO_BIN_EXE_evenclamp"))
        .env("EVENCLAMP_DB", bench.database())
        .current_dir(bench.path(""))
        .output()
        .unwrap();
    let merged = said(&output);
    assert_eq!((merged.status, merged.out, merged.err.as_str()), (whole.status, whole.out, ""));
}

#[test]
fn a_picture_of_nothing_is_refused() {
    let bench = bench_with("entry,value,unit\nno-such-entry,5,N·m\n");
    let said = bench.run(&["audit", "log.csv", "--plot", "spread.svg"]);
    assert!(said.status == 2 && said.err.contains("there is nothing to draw"), "{}", said.err);
    assert!(!bench.path("spread.svg").exists());
}

#[test]
fn the_picture_shows_every_entry_with_limits() {
    let bench = bench_with(LOG);
    bench.run(&["audit", "log.csv", "--plot", "spread.svg"]);
    let svg = std::fs::read_to_string(bench.path("spread.svg")).unwrap();
    roxmltree::Document::parse(&svg).unwrap();
    assert!(svg.contains("crank-pinch-bolts") && !svg.contains("chainring-bolt-steel"));
}

#[test]
fn what_was_assumed_is_said() {
    let bench = bench_with("entry,value,unit,wrench\ncrank-pinch-bolts,13,,borrowed\n");
    let answer = bench.run(&["audit", "log.csv"]);
    assert!(
        answer.err.contains("no unit") && answer.err.contains("not registered: borrowed"),
        "{}",
        answer.err
    );
    bench.run(&[
        "wrench",
        "add",
        "Borrowed",
        "--type",
        "click",
        "--scale",
        "5-25 N·m",
        "--calibrated",
        "2026-01-10",
    ]);
    let answer = bench.run(&["audit", "log.csv"]);
    assert!(answer.err.contains("have no day") && !answer.err.contains("registered"), "{}", answer.err);
}

/// M5 of class 12.9 holds 17.3 kN (ISO 898-1) and M4 10.7 kN: at μ = 0.35 that is 39 N·m and some 19 N·m.
#[test]
fn what_would_tear_any_bolt_is_rejected_as_check_refuses_it() {
    let bench = bench_with(
        "bike,joint,entry,value,unit,kind\n\
         ,,stem-face-plate-four-bolt,60,N·m,\n\
         ,,stem-face-plate-four-bolt,60,N·m,held\n\
         ,,stem-face-plate-four-bolt,38,N·m,\n\
         ,,stem-face-plate-four-bolt,60,in-lb,\n\
         ,,seat-collar-single-bolt,60,N·m,\n\
         b1,small,,25,N·m,\n",
    );
    assert_eq!(bench.run(&["bike", "add", "b1", "--kind", "hardtail"]).status, 0);
    let small =
        ["bike", "joint", "add", "b1", "small", "--entry", "seat-collar-single-bolt", "--thread", "M4"];
    assert_eq!(bench.run(&small).status, 0);
    let said = bench.run(&["audit", "log.csv", "--verdicts", "told.csv", "--rejects", "bad.csv"]);
    assert!(said.status == 1 && said.out.contains("3 would tear any bolt of that thread"), "{}", said.out);
    let told = lines(&bench.path("told.csv"));
    let verdicts: Vec<_> = told.iter().skip(1).filter_map(|row| row.split(',').nth(6)).collect();
    assert_eq!(
        verdicts,
        ["rejected", "rejected", "high", "too close", "not settled", "rejected"],
        "{told:#?}"
    );
    assert!(told[1].contains("`60` would tear any bolt of that thread, even of class 12.9"), "{}", told[1]);
    assert_eq!(lines(&bench.path("bad.csv")).len(), 4);
    for (subject, value, status) in [
        ("stem-face-plate-four-bolt", "60 N·m", 2),
        ("stem-face-plate-four-bolt", "38 N·m", 1),
        ("b1/small", "25 N·m", 2),
        ("seat-collar-single-bolt", "60 N·m", 3),
    ] {
        assert_eq!(bench.run(&["check", subject, value]).status, status, "{subject} {value}");
    }
}

/// By simple acceptance a reading is what the limits beside it say: 15 and 20 ft-lb are 20.337269 and 27.116359 N·m.
#[test]
fn the_limits_beside_a_verdict_are_those_it_was_judged_by() {
    let rows = ["20.3372", "20.3373", "27.1163", "27.1164"]
        .map(|value| format!("axle-nut-front-solid,{value},N·m\n"));
    let bench = bench_with(format!("entry,value,unit\n{}", rows.concat()));
    bench.run(&["audit", "log.csv", "--rule", "plain", "--verdicts", "told.csv"]);
    let told = lines(&bench.path("told.csv"));
    let of = |place: usize| told.iter().skip(1).map(move |row| row.split(',').nth(place).unwrap());
    assert_eq!(of(3).collect::<Vec<_>>(), ["low", "inside", "inside", "high"], "{told:?}");
    let number = |text: &str| text.parse::<f64>().unwrap();
    for ((value, verdict), (low, high)) in of(1).zip(of(3)).zip(of(4).zip(of(5))) {
        let is_inside = (number(low)..=number(high)).contains(&number(value));
        assert_eq!(is_inside, verdict == "inside", "{told:?}");
    }
}

#[test]
fn a_dash_makes_no_file_of_that_name() {
    let bench = bench_with(LOG);
    for option in ["--verdicts", "--rejects", "--plot"] {
        let said = bench.run(&["audit", "log.csv", option, "-"]);
        assert!(said.status == 2 && said.err.contains("/dev/stdout"), "{option}: {}", said.err);
        assert!(!bench.path("-").exists());
    }
}
