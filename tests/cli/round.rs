//! Rounds: what is asked, in which order and with which wrench, what one key does, and how a round ends.

use std::fmt::Write as _;

use crate::bench::Bench;

pub const NOW: &str = "2026-06-01T10:00:00+02:00";
const NEXT_DAY: &str = "2026-06-02T10:00:00+02:00";

/// A trail bicycle whose markings were noted, and two wrenches.
pub fn shop() -> Bench {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "pine", "--kind", "trail"]);
    for (joint, figure) in [
        ("axle-front", "12 N·m"),
        ("axle-rear", "12 N·m"),
        ("stem-steerer", "5-6 N·m"),
        ("bar-clamp", "4-5 N·m"),
        ("crank-left", "12-14 N·m"),
        ("seat-collar", "4-6 N·m"),
    ] {
        bench.at(NOW, &["bike", "joint", "edit", "pine", joint, "--marking", figure]);
    }
    for (name, scale, step) in [("small", "2-10 N·m", "0.1"), ("mid", "5-25 N·m", "0.5")] {
        let add = ["wrench", "add", name, "--type", "click", "--scale", scale, "--step", step];
        assert_eq!(bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat()).status, 0);
    }
    bench
}

/// What is asked, item by item.
fn asked(err: &str) -> Vec<String> {
    let items = err.lines().filter_map(|line| {
        let (number, rest) = line.trim_start().split_once(' ')?;
        let is_item = number.split_once('/')?.0.parse::<u16>().is_ok();
        is_item.then(|| rest.split(':').next().unwrap_or_default().to_owned())
    });
    items.collect()
}

pub fn readings(bench: &Bench, joint: &str) -> Vec<serde_json::Value> {
    let (_, history) = bench.json_at(NEXT_DAY, &["history", &format!("pine/{joint}"), "--all"]);
    history["readings"].as_array().unwrap().clone()
}

/// The acceptance of a round before a ride: two wrenches, an undo and a wrench switched, in at most 60 keys.
#[test]
fn a_round_before_a_ride_takes_few_keys_and_ends_in_ten_lines() {
    let bench = shop();
    // Seventeen items: Enter takes what is set, + is fine; a fork is looked at twice, the steerer done with the other one.
    let keys = "\n+\n+\n+\n+\nu\n+\n+\nw\n\n\n+\n\n+\n+\n\n\n+\n+\n+\n";
    let said = bench.piped(NOW, &["visit", "pine", "--round", "before", "--who", "Kim"], keys);
    assert!(keys.len() <= 60, "{} keys", keys.len());
    assert!(said.out.contains("before round: 17 of 17 answered"), "{}\n{}", said.out, said.err);
    assert!(said.out.lines().count() <= 10, "{}", said.out);
    assert!(said.out.starts_with("pine: UNPROVEN"), "{}", said.out);
    let verdicts = said.err.lines().filter(|line| line.contains("sound") || line.contains("fine")).count();
    assert!(verdicts >= 17, "{}", said.err);
    let taken_back = readings(&bench, "fork");
    assert!(taken_back.iter().any(|line| !line["corrected_by"].is_null()), "{taken_back:?}");
    let steerer = readings(&bench, "stem-steerer");
    assert_eq!(steerer.len(), 2);
    assert!(steerer.iter().all(|line| line["wrench"] == "small" && line["who"] == "Kim"), "{steerer:?}");
    assert!(readings(&bench, "crank-left").iter().all(|line| line["wrench"] == "mid"));
}

#[test]
fn a_round_asks_for_what_belongs_to_it_and_a_bicycle_may_have_its_own() {
    let bench = shop();
    let items = |round: &str| {
        let said = bench.piped(NOW, &["visit", "pine", "--round", round, "--anew"], &"-\n".repeat(60));
        asked(&said.err)
    };
    let (before, after) = (items("before"), items("after"));
    assert!((12..=18).contains(&before.len()) && (12..=18).contains(&after.len()), "{before:?}\n{after:?}");
    assert!(before.contains(&"braking-front".into()) && !before.contains(&"cassette".into()), "{before:?}");
    assert!(after.contains(&"main-pivot".into()) && !before.contains(&"main-pivot".into()), "{after:?}");
    assert_eq!((items("full").len(), items("open").len()), (50, 50));
    bench.at(NOW, &["bike", "joint", "edit", "pine", "cassette", "--rounds", "before after"]);
    bench.done(NOW, &["bike", "joint", "edit", "pine", "fork", "--rounds", "none"]);
    assert!(items("before").contains(&"cassette".into()) && !items("before").contains(&"fork".into()));
    bench.at(NOW, &["bike", "joint", "edit", "pine", "cassette", "--rounds", ""]);
    assert!(!items("after").contains(&"cassette".into()));
    // What somebody added is asked for where it decides safety.
    bench.at(NOW, &["bike", "joint", "add", "pine", "rack", "--check", "function"]);
    assert!(items("before").contains(&"rack".into()));
    let said = bench.piped(NOW, &["visit", "pine", "--round", "during"], "");
    assert!(said.status == 2 && said.err.contains("use one of before, after, full, open"), "{}", said.err);
    bench.piped(NOW, &["visit", "pine", "--round", "before", "--anew"], "-\n+\n-\n");
    assert!(!items("open").contains(&"wheel-front".into()), "what is sound is not open");
}

/// What was tightened is held against its lower limit by the next round, and tightened where it turned.
#[test]
fn the_next_round_asks_whether_it_holds_and_what_moved_is_tightened_at_once() {
    let bench = shop();
    bench.piped(NOW, &["visit", "pine", "--round", "before", "--wrench", "mid"], "\n+\n+\n+\n+\n+\n\n");
    let lines = "\n+\n+\n+\n+\n+\nmoved\n\nq\n";
    let said = bench.piped(NEXT_DAY, &["visit", "pine", "--round", "before", "--anew"], lines);
    assert!(
        said.err.contains("axle-front: 12 N·m (marking on the part); does it hold? mid at 12.0 N·m"),
        "{}",
        said.err
    );
    assert!(
        said.err.contains("stem-steerer: 5–6 N·m (marking on the part); does it hold 1-2?"),
        "{}",
        said.err
    );
    assert!(said.err.contains("stem-steerer: 5–6 N·m (marking on the part); tighten 1-2:"), "{}", said.err);
    let kinds: Vec<String> =
        readings(&bench, "stem-steerer").iter().map(|line| line["kind"].as_str().unwrap().into()).collect();
    let count = |kind: &str| kinds.iter().filter(|found| *found == kind).count();
    assert_eq!((count("tightened"), count("moved"), count("held")), (4, 1, 0), "{kinds:?}");
    assert_eq!(readings(&bench, "axle-front").iter().filter(|line| line["kind"] == "held").count(), 1);
}

/// Answers are taken back one by one, a marking as well; what is left out writes nothing.
#[test]
fn answers_are_taken_back_in_turn() {
    let bench = shop();
    let lines = "\n-\n+\nu\nu\nu\nu\n";
    let said = bench.piped(NOW, &["visit", "pine", "--round", "before"], lines);
    assert!(said.err.contains("nothing was answered in this sitting"), "{}", said.err);
    for joint in ["axle-front", "tyre-front"] {
        let lines = readings(&bench, joint);
        assert!(
            lines.iter().all(|line| !line["corrected_by"].is_null() || line["kind"] == "strike"),
            "{lines:?}"
        );
    }
    let said = bench.piped(
        NOW,
        &["visit", "pine", "--round", "full", "--anew"],
        &("-\n".repeat(12) + "m max 4 N·m\nu\nq\n"),
    );
    assert!(said.err.contains("max 4 N·m (marking on the part)"), "{}", said.err);
    assert!(said.err.contains("taken back: the marking of brake-lever-left"), "{}", said.err);
    let (_, shown) = bench.json_at(NOW, &["bike", "show", "pine"]);
    let lever = shown["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == "brake-lever-left");
    assert_eq!(lever.unwrap()["specified"], "–", "{lever:?}");
}

/// Another round ends one that was left; what was said stays.
#[test]
fn another_round_begins_anew() {
    let bench = shop();
    bench.piped(NOW, &["visit", "pine", "--round", "before"], "\n+\n");
    let said = bench.piped(NOW, &["visit", "pine", "--round", "after"], "q\n");
    assert!(said.err.contains("after round") && !said.err.contains("going on"), "{}", said.err);
    assert_eq!(readings(&bench, "wheel-front").len(), 1);
    let said = bench.piped(NOW, &["visit", "pine"], "q\n");
    assert!(said.err.contains("going on with the after round"), "{}", said.err);
}

/// What another person did is not asked for again, and not written over.
#[test]
fn two_people_share_a_round() {
    use std::io::{BufRead as _, BufReader, Read as _};
    use std::process::Stdio;
    let bench = shop();
    let mut kim = bench.command(&["visit", "pine", "--round", "before", "--who", "Kim"]);
    let kim =
        kim.env("EVENCLAMP_NOW", NOW).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut kim = kim.spawn().unwrap();
    let mut to_kim = kim.stdin.take().unwrap();
    let mut from_kim = BufReader::new(kim.stderr.take().unwrap());
    let mut said = String::new();
    while !said.contains("axle-front:") {
        from_kim.read_line(&mut said).unwrap();
    }
    let sam = bench.piped(NOW, &["visit", "pine", "--who", "Sam"], "12\n+\nq\n");
    assert!(sam.err.contains("going on with the before round"), "{}", sam.err);
    std::io::Write::write_all(&mut to_kim, b"\n+\nq\n").unwrap();
    drop(to_kim);
    from_kim.read_to_string(&mut said).unwrap();
    kim.wait().unwrap();
    assert!(said.contains("Sam recorded tightened 12 N·m meanwhile: yours was not kept"), "{said}");
    assert_eq!(readings(&bench, "axle-front").len(), 1, "{said}");
    assert_eq!(
        (readings(&bench, "wheel-front").len(), readings(&bench, "tyre-front").len()),
        (1, 1),
        "{said}"
    );
    assert_eq!(readings(&bench, "tyre-front")[0]["who"], "Kim");
}

/// A finding is one of the whole joint; a torque is one of its bolt, and the joint is answered when each has its own.
#[test]
fn a_joint_is_answered_when_every_bolt_is() {
    let bench = shop();
    let to_steerer = "\n+\n+\n+\n+\n+\n";
    let args = ["visit", "pine", "--round", "before", "--anew"];
    let said = bench.piped(NOW, &args, &format!("{to_steerer}5.5\nq\n"));
    assert!(said.out.contains("before round: 6 of 17 answered, 11 left out or not reached"), "{}", said.out);
    assert_eq!(readings(&bench, "stem-steerer").len(), 1);
    assert!(said.err.contains("stem-steerer: 5–6 N·m (marking on the part); tighten 2: "), "{}", said.err);
    let said = bench.piped(NEXT_DAY, &args, &format!("{to_steerer}f play\nq\n"));
    assert!(said.out.contains("before round: 7 of 17 answered"), "{}{}", said.out, said.err);
    let lines = readings(&bench, "stem-steerer");
    let found = lines.iter().filter(|line| line["finding"] == "play").map(|line| &line["bolt"]);
    assert_eq!(found.collect::<Vec<_>>(), [&1, &2], "{lines:?}");
}

/// What was sound after its answer is still one of the items of the round that asked for it.
#[test]
fn what_was_answered_stays_an_item_of_its_round() {
    let bench = shop();
    let ended = "open round: 2 of 50 answered, 48 left out";
    for (args, answers) in [
        (&["visit", "pine", "--round", "open", "--wrench", "small"][..], "-\n+\n+\nq\n"),
        (&["visit", "pine"], "q\n"),
    ] {
        let said = bench.piped(NOW, args, answers);
        assert!(said.out.contains(ended), "{}{}", said.out, said.err);
    }
    // Nothing is set where there is no figure: the torque was read on the wrench in the hand.
    let answers = "-\n".repeat(12) + "4 N·m\nq\n";
    bench.piped(NEXT_DAY, &["visit", "pine", "--round", "full", "--anew", "--wrench", "small"], &answers);
    assert_eq!(readings(&bench, "brake-lever-left")[0]["wrench"], "small");
}

/// JSON of a round is that of `ready`, with what was answered.
#[test]
fn the_end_of_a_round_in_json_is_that_of_ready() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "pine", "--round", "before", "--format", "json"], "\n+\nq\n");
    let mut ended: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(ended["round"], serde_json::json!({ "round": "before", "items": 17, "answered": 2 }));
    ended.as_object_mut().unwrap().remove("round");
    assert_eq!(ended, bench.json_at(NOW, &["ready", "pine"]).1);
    let mut lines = String::new();
    let mut most = 0;
    for width in (60..=100).step_by(5) {
        let mut visit = bench.command(&["visit", "pine", "--round", "full", "--anew"]);
        let visit = visit.env("EVENCLAMP_NOW", NOW).env("COLUMNS", width.to_string());
        let visit = visit.stdin(std::process::Stdio::null()).output().unwrap();
        write!(lines, "{}", String::from_utf8_lossy(&visit.stdout)).unwrap();
        let widest = lines.lines().map(|line| line.chars().count()).max().unwrap();
        assert!(widest <= width && lines.lines().count() <= 10, "{width}: {lines}");
        most = most.max(lines.lines().count());
        lines.clear();
    }
    assert_eq!(most, 10, "what fits is told");
}

/// A fault is newer evidence than what somebody else found fine meanwhile.
#[test]
fn a_fault_never_yields_to_what_another_found_fine() {
    use std::io::{BufRead as _, BufReader, Read as _};
    use std::process::Stdio;
    let bench = shop();
    let mut ben = bench.command(&["visit", "pine", "--round", "before", "--who", "Ben"]);
    let ben =
        ben.env("EVENCLAMP_NOW", NOW).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut ben = ben.spawn().unwrap();
    let mut to_ben = ben.stdin.take().unwrap();
    let mut from_ben = BufReader::new(ben.stderr.take().unwrap());
    let mut said = String::new();
    std::io::Write::write_all(&mut to_ben, b"-\n").unwrap();
    while !said.contains("wheel-front:") {
        from_ben.read_line(&mut said).unwrap();
    }
    bench.piped(NOW, &["visit", "pine", "--who", "Ana"], "-\n+\nq\n");
    std::io::Write::write_all(&mut to_ben, b"f broken spoke\nq\n").unwrap();
    drop(to_ben);
    from_ben.read_to_string(&mut said).unwrap();
    ben.wait().unwrap();
    assert!(said.contains("fault: found broken"), "{said}");
    assert_eq!(
        (readings(&bench, "wheel-front").len(), readings(&bench, "tyre-front").len()),
        (2, 0),
        "{said}"
    );
}
