//! `ride`, `event` and `due`.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

#[test]
fn intervals_by_riding_time_and_event_are_told_with_their_sources() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["record", "loan-7/headset", "--finding", "fine"]);
    let line = |now: &str, interval: &str| {
        let (_, due) = bench.json_at(now, &["due", "loan-7"]);
        due["lines"].as_array().unwrap().iter().find(|line| line["interval"] == interval).cloned()
    };
    let play = line(NOW, "play-check").unwrap();
    assert_eq!((play["due"].as_bool(), play["hours_left"].as_f64()), (Some(false), Some(20.0)));
    assert_eq!(play["source"], "felt-owners");
    bench.at(NOW, &["ride", "loan-7", "--km", "45", "--at", "2026-06-01T09:59+02:00"]);
    assert_eq!(
        line(NOW, "chain-lubrication").unwrap()["km_left"],
        160.0,
        "the ride was before it was taken in"
    );
    for (day, hours) in [("03", "8h"), ("05", "7h30"), ("07", "5h")] {
        let said = bench.at(NOW, &["ride", "loan-7", hours, "--at", &format!("2026-06-{day}T15:00+02:00")]);
        assert_eq!(said.status, 2, "the future");
        let then = format!("2026-06-{day}T15:00:00+02:00");
        assert_eq!(bench.at(&then, &["ride", "loan-7", hours, "--km", "60"]).status, 0);
    }
    let june = "2026-06-08T10:00:00+02:00";
    let play = line(june, "play-check").unwrap();
    assert_eq!((play["due"].as_bool(), play["joints"][0].as_str()), (Some(true), Some("headset")));
    assert_eq!(line(june, "chain-lubrication").unwrap()["due"], true);
    bench.at(june, &["event", "loan-7", "done", "--what", "chain-lubrication"]);
    assert_eq!(line(june, "chain-lubrication").unwrap()["due"], false);
    assert_eq!(bench.at(june, &["due", "loan-7"]).status, 1);
    let (_, all) = bench.json_at(june, &["due"]);
    assert_eq!(all.as_array().unwrap().len(), 1);
}

#[test]
fn the_first_check_after_building_is_due_after_its_hours() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["event", "loan-7", "rebuild"]);
    bench.at("2026-06-01T11:00:00+02:00", &["record", "loan-7/headset", "--finding", "fine"]);
    let verdict = |now: &str| {
        let (_, history) = bench.json_at(now, &["history", "loan-7/headset"]);
        (history["verdict"].as_str().unwrap().to_owned(), history["reason"].as_str().unwrap().to_owned())
    };
    bench.at("2026-06-02T18:00:00+02:00", &["ride", "loan-7", "5h"]);
    let (state, reason) = verdict("2026-06-02T19:00:00+02:00");
    assert!(state == "due" && reason.contains("first check after building"), "{reason}");
    bench.at("2026-06-02T20:00:00+02:00", &["record", "loan-7/headset", "--finding", "fine"]);
    assert_eq!(verdict("2026-06-02T21:00:00+02:00").0, "sound");
}

#[test]
fn wrong_requests_say_what_is_right() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    for arguments in [
        &["ride", "loan-7", "2"][..],
        &["ride", "loan-7"],
        &["ride", "nobody", "2h"],
        &["event", "loan-7", "explosion"],
        &["event", "loan-7", "done"],
        &["event", "loan-7", "done", "--what", "no-such"],
        &["event", "loan-7", "crash", "--at", "2027-01-01"],
        &["due", "nobody"],
    ] {
        let said = bench.at(NOW, arguments);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{arguments:?}");
        assert!(said.err.lines().count() >= 2, "{arguments:?}: {}", said.err);
    }
}
