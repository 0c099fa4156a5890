//! Rounds: which wrench is in the hand, and whose hand it is.

use crate::round::{NOW, readings, shop};

/// A wrench stays in the hand as long as it serves; the one that was named last goes on, and so does the name.
#[test]
fn a_visit_goes_on_with_the_wrench_and_the_name_it_was_left_with() {
    let bench = shop();
    let args = ["visit", "pine", "--round", "before"];
    bench.piped(NOW, &[&args[..], &["--who", "Kim"]].concat(), "\n+\n+\n+\n+\n+\nw small\n\nq\n");
    let said = bench.piped(NOW, &["visit", "pine"], "\n+\n\nq\n");
    assert!(said.err.contains("going on with the before round"), "{}", said.err);
    let bar = readings(&bench, "bar-clamp");
    assert!(
        bar.len() == 4 && bar.iter().all(|line| line["wrench"] == "small" && line["who"] == "Kim"),
        "{bar:?}"
    );
    assert!(readings(&bench, "crank-left").iter().all(|line| line["wrench"] == "mid"));
    // Another name is that of who says it.
    bench.piped(NOW, &["visit", "pine", "--who", "Sam"], "+\nq\n");
    assert_eq!(readings(&bench, "pedals")[0]["who"], "Sam");
}

#[test]
fn a_wrench_that_cannot_be_set_to_it_is_not_taken() {
    let bench = shop();
    for (typed, why) in [
        ("w", "no other registered wrench can be set to it; these can: mid"),
        ("w small", "`small` is no registered wrench that can be set to it"),
        ("w nobody", "`nobody` is no registered wrench"),
    ] {
        let said = bench.piped(NOW, &["visit", "pine", "--round", "before", "--anew"], &format!("{typed}\n"));
        assert!(said.status == 2 && said.err.contains(why), "{typed}: {}", said.err);
    }
    let said = bench.piped(NOW, &["visit", "pine", "--anew", "--wrench", "small"], "-\n+\nq\n");
    assert!(said.err.contains("none of the wrenches at hand can be set to it"), "{}", said.err);
}

/// What is in the hand is used as long as it serves, from place to place, in one sitting as in two.
#[test]
fn the_wrench_of_an_answer_stays_in_the_hand() {
    let shop = || {
        let bench = shop();
        for (joint, place, figure) in [("clip", "rack", "4-5 N·m"), ("strut", "tail", "5-6 N·m")] {
            let add = ["bike", "joint", "add", "pine", joint, "--entry", "general-m5", "--rounds", "before"];
            bench.at(NOW, &[&add[..], &["--place", place, "--marking", figure]].concat());
        }
        bench
    };
    let bench = shop();
    let to_clip = "-\n".repeat(17);
    let args = ["visit", "pine", "--round", "before"];
    let strut = |wrench: &str| format!("strut: 5–6 N·m (marking on the part); tighten: {wrench} at 5.5 N·m");
    // What was left out was done with no wrench, and the best one is proposed.
    let said = bench.piped(NOW, &args, &format!("{to_clip}-\nq\n"));
    assert!(said.err.contains(&strut("mid")), "{}", said.err);
    let bench = shop();
    let said = bench.piped(NOW, &args, &format!("{to_clip}\nq\n"));
    assert!(said.err.contains(&strut("small")), "{}", said.err);
    let said = bench.piped(NOW, &["visit", "pine"], &format!("{to_clip}q\n"));
    assert!(said.err.contains(&strut("small")), "{}", said.err);
}

/// A wrench that is calibrated is proposed; one whose calibration has lapsed is taken, with that said alone, by whoever asks for it, and by nobody where
/// it is retired.
#[test]
fn a_wrench_that_was_asked_for_is_taken_though_it_settles_nothing() {
    let bench = shop();
    let spare = ["wrench", "add", "spare", "--type", "click", "--scale", "5-25 N·m", "--step", "0.5"];
    bench.at(NOW, &[&spare[..], &["--calibrated", "2024-01-01"]].concat());
    let asked = || bench.piped(NOW, &["visit", "pine", "--round", "before", "--anew"], "w spare\nq\n").err;
    let said = asked();
    assert!(said.contains("tighten: mid at 12") && said.contains("tighten: spare at 12"), "{said}");
    assert!(said.contains("spare: ") && !said.contains("no reading of spare settles it"), "{said}");
    bench.done(NOW, &["wrench", "retire", "spare"]);
    let said = asked();
    assert!(said.contains("`spare` is no registered wrench that can be set to it"), "{said}");
}

/// Of two who answered, the one who did so last goes on.
#[test]
fn a_visit_goes_on_under_the_name_that_was_used_last() {
    let bench = shop();
    let visit = ["visit", "pine", "--round", "before"];
    bench.piped(NOW, &[&visit[..], &["--who", "Kim"]].concat(), "\nq\n");
    bench.piped(NOW, &["visit", "pine", "--who", "Sam"], "+\nq\n");
    bench.piped(NOW, &["visit", "pine"], "+\nq\n");
    assert_eq!(readings(&bench, "tyre-front")[0]["who"], "Sam");
}

/// `w` alone goes through the wrenches that can be set to it, one after the other and round again.
#[test]
fn another_wrench_is_the_next_one_until_each_had_its_turn() {
    let bench = shop();
    let third = ["wrench", "add", "third", "--type", "click", "--scale", "2-20 N·m", "--step", "0.2"];
    bench.done(NOW, &[&third[..], &["--calibrated", "2026-05-01"]].concat());
    let said = bench.piped(NOW, &["visit", "pine", "--round", "before"], "-\n-\n-\n-\n-\n-\nw\nw\nw\nq\n");
    let asked = said.err.lines().filter(|line| line.contains("stem-steerer:"));
    let wrenches: Vec<&str> = asked
        .map(|line| {
            ["mid", "small", "third"]
                .into_iter()
                .find(|name| line.contains(&format!(": {name} at ")))
                .unwrap()
        })
        .collect();
    assert_eq!(wrenches.len(), 4, "{}", said.err);
    let mut each = wrenches[..3].to_vec();
    each.sort_unstable();
    assert_eq!((each, wrenches[3]), (vec!["mid", "small", "third"], wrenches[0]), "{}", said.err);
}

/// What was found is not written over what somebody else found meanwhile.
#[test]
fn a_finding_is_shown_before_another_is_kept() {
    use std::io::{BufRead as _, BufReader, Read as _, Write as _};
    use std::process::Stdio;
    let bench = shop();
    let mut kim = bench.command(&["visit", "pine", "--round", "before", "--who", "Kim"]);
    let kim =
        kim.env("EVENCLAMP_NOW", NOW).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut kim = kim.spawn().unwrap();
    let mut to_kim = kim.stdin.take().unwrap();
    let mut from_kim = BufReader::new(kim.stderr.take().unwrap());
    to_kim.write_all(b"\n").unwrap();
    let mut said = String::new();
    while !said.contains("wheel-front:") {
        assert!(from_kim.read_line(&mut said).unwrap() > 0, "{said}");
    }
    bench.at(NOW, &["record", "pine/wheel-front", "--finding", "loose", "--who", "Sam"]);
    to_kim.write_all(b"+\nq\n").unwrap();
    drop(to_kim);
    from_kim.read_to_string(&mut said).unwrap();
    kim.wait().unwrap();
    assert!(said.contains("Sam recorded found loose meanwhile"), "{said}");
    let lines = readings(&bench, "wheel-front");
    assert!(lines.len() == 1 && lines[0]["finding"] == "loose", "{lines:?}");
}
