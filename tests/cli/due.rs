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

#[test]
fn a_ride_of_several_bicycles_is_recorded_for_all_or_none() {
    let bench = Bench::new();
    for name in ["hire-1", "hire-2", "hire-3"] {
        bench.done(NOW, &["bike", "add", name, "--kind", "city"]);
    }
    let none = bench.at(NOW, &["ride", "hire-1,hire-9", "2h"]);
    assert!(none.status == 2 && none.err.contains("no bicycle is called `hire-9`"), "{}", none.err);
    let said = bench.at(NOW, &["ride", "hire-1, hire-2,hire-1", "2h30", "--km", "30", "--hires", "1"]);
    let first = said.out.lines().next().unwrap();
    assert_eq!(first, "hire-1, hire-2: ride of 2 h 30 min, 30 km, 1 hire, 2026-06-01 10:00");
    assert_eq!(said.out.lines().count(), 3, "a line for each bicycle: {}", said.out);
    let lines = |bike: &str| bench.at(NOW, &["history", bike, "--changes", "--format", "csv"]).out;
    let rides = |bike: &str| lines(bike).lines().filter(|line| line.contains("ride")).count();
    assert_eq!(["hire-1", "hire-2", "hire-3"].map(rides), [1, 1, 0]);
    let (_, told) = bench.json_at(NOW, &["event", "hire-2,hire-3", "wash"]);
    assert_eq!((&told[1]["bike"], &told[1]["event"]["kind"]), (&"hire-3".into(), &"wash".into()), "{told}");
}

/// The days and hires are our own choice: ten hires, and somebody pulls the brakes again.
#[test]
fn hand_checks_are_due_again_after_ten_hires() {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "hire-1", "--kind", "city"]);
    bench.done(NOW, &["record", "hire-1/braking-front", "--finding", "fine"]);
    let hire = |hour: u32, hires: &str| {
        let then = format!("2026-06-02T{hour}:00:00+02:00");
        let said = bench.at(&then, &["ride", "hire-1", "--hires", hires]);
        assert!(said.status == 0 && said.err.contains("counted at 3 h each"), "{}", said.err);
        let (_, history) = bench.json_at(&then, &["history", "hire-1/braking-front"]);
        (history["verdict"].as_str().unwrap().to_owned(), history["reason"].as_str().unwrap().to_owned())
    };
    // 18 h of riding: the play check of 20 h is not reached by it, nor are ten hires.
    assert_eq!(hire(10, "6").0, "sound");
    let (state, reason) = hire(11, "5");
    assert_eq!(state, "due", "{reason}");
    assert!(reason.contains("hired out 11 times, 10 are allowed"), "{reason}");
    for wrong in ["0", "-1", "1.5", "many"] {
        assert_eq!(bench.at(NOW, &["ride", "hire-1", "--hires", wrong]).status, 2, "{wrong}");
    }
}

/// More than anybody rides is asked about, of every bicycle that is named, and taken by whoever says so.
#[test]
fn a_ride_that_is_not_plausible_is_asked_about() {
    let bench = Bench::new();
    for bike in ["hire-1", "hire-2"] {
        bench.done("2026-06-01T08:00:00+02:00", &["bike", "add", bike, "--kind", "trail"]);
    }
    bench.done("2026-06-09T08:00:00+02:00", &["ride", "hire-2", "2h"]);
    let rides = |bike: &str| {
        let changes = bench.at(NOW, &["history", bike, "--changes"]).out;
        changes.lines().filter(|line| line.contains("event ride")).count()
    };
    for (bikes, amount, told) in [
        ("hire-1", &["500h"][..], "not plausible for hire-1: a ride has at most 100 h"),
        ("hire-1", &["--km", "2001"], "a ride has at most 2000 km"),
        (
            "hire-1,hire-2",
            &["49h"],
            "not plausible for hire-2: its last ride ended on 2026-06-09 08:00, at most 48 h before",
        ),
        ("hire-2", &["3h", "--km", "1001"], "nobody rides more than 1000 km"),
    ] {
        let said = bench.at("2026-06-10T10:00:00+02:00", &[&["ride", bikes], amount].concat());
        let words = said.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.status == 2 && words.contains(told), "{words}");
        assert!(words.contains("nothing was recorded") && words.contains("--yes"), "{words}");
        assert_eq!((rides("hire-1"), rides("hire-2")), (0, 1), "{amount:?}");
    }
    bench.done("2026-06-10T10:00:00+02:00", &["ride", "hire-1,hire-2", "500h", "--yes"]);
    bench.done("2026-06-10T10:00:00+02:00", &["ride", "hire-1", "24h"]);
    assert_eq!((rides("hire-1"), rides("hire-2")), (2, 2));
}
