//! `book`: strict, whole or not at all.

use crate::bench::{Bench, edit};

#[test]
fn the_exported_book_is_the_carried_one_to_the_byte() {
    let bench = Bench::new();
    let folder = bench.exported_book();
    let exported: Vec<_> =
        std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert!(exported.len() >= 10, "{exported:?}");
    for name in exported.iter().map(|name| name.to_str().unwrap()) {
        let ours = std::fs::read(format!("{}/specs/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap();
        assert_eq!(std::fs::read(folder.join(name)).unwrap(), ours, "{name}");
    }
    let said = bench.run(&["book", "export", folder.to_str().unwrap()]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("--replace"), "{}", said.err);
}

#[test]
fn a_faulty_book_is_complained_of_and_changes_nothing() {
    let bench = Bench::new();
    let folder = bench.exported_book();
    let name = folder.to_str().unwrap();
    assert_eq!(bench.run(&["book", "check", name]).status, 0);
    let before = bench.run(&["find"]).out;
    edit(&folder.join("entries.csv"), ",wheel,", ",kitchen,");
    edit(&folder.join("evidence.csv"), ",published,", ",rumour,");
    let (status, check) = bench.json(&["book", "check", name]);
    assert_eq!((status, check["sound"].as_bool()), (1, Some(false)));
    let complaints = check["complaints"].as_array().unwrap();
    assert_eq!(complaints.len(), 2);
    assert_eq!(complaints[0]["file"], "entries.csv");
    assert!(complaints[0]["line"].as_u64().unwrap() > 1 && complaints[0]["column"].as_u64().unwrap() > 1);
    let load = bench.run(&["book", "load", name]);
    assert_eq!(load.status, 2);
    assert!(load.err.contains("entries.csv:") && load.err.contains("evidence.csv:"), "{}", load.err);
    assert_eq!(bench.run(&["find"]).out, before);
}

#[test]
fn a_loaded_folder_is_loaded_anew_when_it_changes_and_kept_when_it_breaks() {
    let bench = Bench::new();
    let folder = bench.exported_book();
    assert_eq!(bench.run(&["book", "load", folder.to_str().unwrap()]).status, 0);
    edit(&folder.join("entries.csv"), "Crank pinch bolts", "Left arm pinch bolts");
    let said = bench.run(&["find", "crank-pinch-bolts"]);
    assert!(said.out.contains("Left arm pinch bolts"), "{}", said.out);
    assert!(said.err.contains("was loaded anew"), "{}", said.err);
    edit(&folder.join("entries.csv"), ",wheel,", ",kitchen,");
    let said = bench.run(&["find", "crank-pinch-bolts"]);
    assert!(said.out.contains("Left arm pinch bolts"), "{}", said.out);
    assert!(said.err.contains("the book loaded before is used"), "{}", said.err);
    std::fs::remove_dir_all(&folder).unwrap();
    assert_eq!(bench.run(&["show", "crank-pinch-bolts"]).status, 0);
    assert_eq!(bench.run(&["book", "load", "--compiled-in"]).status, 0);
    assert!(bench.run(&["find", "crank-pinch-bolts"]).out.contains("Crank pinch bolts"));
}

#[test]
fn a_folder_that_is_none_is_refused() {
    let bench = Bench::new();
    let said = bench.run(&["book", "load", "no-such-folder"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("is no folder"), "{}", said.err);
    std::fs::create_dir(bench.path("empty")).unwrap();
    let said = bench.run(&["book", "check", "empty"]);
    assert_eq!(said.status, 1);
    assert!(said.out.contains("entries.csv:1:1: the file is missing"), "{}", said.out);
}

#[test]
fn the_status_counts_entries_by_state() {
    let (_, status) = Bench::new().json(&["book"]);
    assert_eq!(status["origin"], "compiled in");
    let counted: u64 = status["states"].as_object().unwrap().values().map(|n| n.as_u64().unwrap()).sum();
    assert_eq!(counted, status["rows"]["entries"].as_u64().unwrap());
}

/// 43 N·m for a screw of 4.3 N·m: the decimal point was lost.
#[test]
fn evidence_that_would_tear_the_bolt_is_refused() {
    let bench = Bench::new();
    let folder = bench.exported_book();
    let name = folder.to_str().unwrap();
    edit(&folder.join("evidence.csv"), "set,4.300,4.300,4.3,Nm", "set,43.000,43.000,43,Nm");
    let said = bench.run(&["book", "load", name]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("evidence.csv:") && said.err.contains("43 N·m would tear"), "{}", said.err);
    assert!(said.err.contains("43 lbf·in would be"), "{}", said.err);
}

#[test]
fn warnings_are_listed_and_do_not_stop_the_load() {
    let bench = Bench::new();
    let folder = bench.exported_book();
    let name = folder.to_str().unwrap();
    edit(&folder.join("evidence.csv"), "set,4.300,4.300,4.3,Nm", "set,6.300,6.300,6.3,Nm");
    let (status, check) = bench.json(&["book", "check", name]);
    assert_eq!((status, check["sound"].as_bool()), (0, Some(true)));
    let warned = |complaint: &&serde_json::Value| {
        complaint["severity"] == "warning"
            && complaint["message"].as_str().unwrap().starts_with("6.3 N·m takes")
    };
    assert_eq!(check["complaints"].as_array().unwrap().iter().filter(warned).count(), 1);
    let said = bench.run(&["book", "load", name]);
    assert_eq!(said.status, 0);
    assert!(said.err.contains("warning: 6.3 N·m takes"), "{}", said.err);
}

#[test]
fn the_bolts_of_a_loaded_book_are_the_ones_computed_with() {
    let bench = Bench::new();
    let folder = bench.exported_book();
    let words = ["bolt", "--thread", "M5", "--grade", "12.9", "--torque", "5 N·m"];
    let (_, before) = bench.json(&words);
    edit(
        &folder.join("grades.csv"),
        "12.9,,steel,ISO 898-1,,39,1220,1100",
        "12.9,,steel,ISO 898-1,,39,1220,1000",
    );
    assert_eq!(bench.run(&["book", "load", folder.to_str().unwrap()]).status, 0);
    let (_, after) = bench.json(&words);
    let limit = |answer: &serde_json::Value| answer["torque_limit_nm"]["low"].as_f64().unwrap();
    approx::assert_relative_eq!(limit(&after), limit(&before) * 1000.0 / 1100.0, max_relative = 1e-9);
}
