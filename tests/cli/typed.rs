//! What people type and what they are told to type instead.

use super::bench::Bench;

const NOW: &str = "2026-06-10T10:00:00+02:00";

/// An error names the place and the mend.
#[test]
fn what_is_typed_wrongly_is_answered_with_what_was_meant() {
    let bench = Bench::new();
    let bolt = |more: &[&'static str]| [&["bolt", "--grade", "8.8", "--torque", "5 N·m"], more].concat();
    let cases: [(Vec<&str>, &str, &str); 9] = [
        (bolt(&["--thread", "5mm"]), "unknown thread `5mm`", "nearest known: M5x0.8"),
        (bolt(&["--thread", "5"]), "unknown thread `5`", "nearest known: M5x0.8"),
        (vec!["convert", "5 Nxm"], "unknown unit `Nxm`", "nearest known: N·m"),
        (
            bolt(&["--thread", "M5", "--engagement", "8mm", "--into", "carbon"]),
            "no bolt is screwed into `carbon`",
            "the metal of the insert",
        ),
        (
            vec!["check", "5 N·m", "5 N·m", "--accuracy", "-4%"],
            "`-4%` after --accuracy is negative",
            "above 0",
        ),
        (vec!["ride", "loan-1", "--km", "-5"], "`-5` after --km is negative", "above 0"),
        (
            vec!["wrench", "setting", "5 N·m", "--adapter", "-40mm", "--lever", "160mm"],
            "`-40mm` after --adapter is negative",
            "above 0",
        ),
        (vec!["check", "44 in/lb", "5 N·m"], "`in/lb` is not a unit of torque", "lbf·in"),
        (vec!["check", "5 N·m", "-5 N·m"], "`-5 N·m` is negative", "left-hand thread is a property"),
    ];
    for (line, message, hint) in cases {
        let said = bench.run(&line);
        assert_eq!(said.status, 2, "{line:?}");
        assert!(said.err.contains(message) && said.err.contains(hint), "{line:?}: {}", said.err);
    }
}

/// Riders' words for kinds of bicycles (common practice).
#[test]
fn a_kind_of_bicycle_is_found_by_what_riders_call_it() {
    let bench = Bench::new();
    for (name, word, kind) in [
        ("a", "mtb", "trail"),
        ("b", "DH", "downhill"),
        ("c", "mountain bike", "trail"),
        ("d", "racer", "road-disc"),
        ("f", "road with rim brakes", "road-rim"),
        ("g", "e-bike", "e-bike-city"),
        ("h", "eMTB", "e-bike-trail"),
        ("i", "longtail", "cargo"),
        ("j", "kids bike", "children"),
        ("k", "trekking", "touring"),
        ("l", "cross country", "cross-country"),
        ("m", "folding bike", "folding"),
    ] {
        let said = bench.run(&["bike", "add", name, "--kind", word]);
        assert_eq!(said.status, 0, "{word}: {}", said.err);
        assert!(said.out.contains(&format!("({kind})")), "{word}: {}", said.out);
        assert!(said.err.contains(&format!("`{word}` is taken in by the template `{kind}`")), "{}", said.err);
    }
    for kind in ["enduro", "gravel", "hardtail", "city"] {
        let said = bench.run(&["bike", "add", &format!("as-{kind}"), "--kind", kind]);
        assert!(said.status == 0 && !said.err.contains("taken in by"), "{kind}: {}", said.err);
    }
    assert_eq!(bench.run(&["bike", "add", "e", "--kind", "unicycle"]).status, 2);
}

/// Prints as they stand on stems (common practice); 35 and 53 lbf·in are 3.95 and 5.99 N·m, 44 are 4.97, by the
/// exact factor of 0.112984829 N·m (4.44822 N × 25.4 mm).
#[test]
fn the_prints_on_stems_are_read_as_what_they_are() {
    let bench = Bench::new();
    for (print, form, low, high) in [
        ("4-6Nm / 35-53 in lbs", "range", 4.0, 6.0),
        ("5Nm(44in-lbs)", "set", 4.7, 5.3),
        ("MAX. TORQUE 5 N.m", "max", f64::NAN, 5.0),
        ("MAX 5Nm", "max", f64::NAN, 5.0),
    ] {
        let (status, said) = bench.json(&["check", print, "5 N·m"]);
        assert_ne!(status, 2, "{print}");
        assert_eq!(said["form"], form, "{print}");
        for (key, expected) in [("low_nm", low), ("high_nm", high)] {
            let found = said["limits"][key].as_f64().unwrap_or(f64::NAN);
            assert!(
                (found - expected).abs() < 1e-9 || (found.is_nan() && expected.is_nan()),
                "{print}: {said}"
            );
        }
    }
    let said = bench.run(&["check", "5 Nm (53 in-lbs)", "5 N·m"]);
    assert!(said.status == 2 && said.err.contains("says two things"), "{}", said.err);
}

/// A turning direction that no source states is not made up, and a left-hand thread is named wherever the hand acts.
#[test]
fn a_turning_direction_comes_from_a_source_or_is_unknown() {
    let bench = Bench::new();
    for entry in [
        "suspension-pivot-bolt",
        "suspension-linkage-bolt-small",
        "suspension-main-pivot-axle",
        "hanger-bolt-large",
    ] {
        let (_, said) = bench.json(&["show", entry]);
        assert_eq!(said["hand"], "unknown", "{entry}");
        let text = bench.run(&["show", entry]).out;
        assert!(text.contains("no source says which way it turns") && !text.contains("LEFT-HAND"), "{text}");
        let (_, checked) = bench.json(&["check", entry, "5 N·m"]);
        assert!(checked["notes"].to_string().contains("no source says which way it turns"), "{checked}");
    }
    bench.run(&["bike", "add", "loan-1", "--kind", "trail"]);
    let (_, shown) = bench.json(&["bike", "show", "loan-1"]);
    let joints = shown["joints"].as_array().unwrap();
    let hand = |name: &str| joints.iter().find(|joint| joint["joint"] == name).unwrap()["hand"].clone();
    assert_eq!((hand("pedal-left"), hand("pedal-right")), ("left".into(), "right".into()));
    let line = bench.question("2026-06-01T10:00:00Z", &["visit", "loan-1"], "pedal-left");
    assert!(line.contains("LEFT-HAND thread: anticlockwise tightens"), "{line}");
    let csv = bench.run(&["bike", "show", "loan-1", "--format", "csv"]).out;
    assert!(csv.lines().any(|line| line.contains(",pedal-left,") && line.contains(",left,")), "{csv}");
}

/// What an entry without a band says of it, and who stands behind what does not meet.
#[test]
fn the_box_says_why_there_is_no_number() {
    let bench = Bench::new();
    for (state, entry, reason) in [
        ("UNCONFIRMED", "shifter-clamp", "no value for this hardware counts"),
        ("UNCONFIRMED", "grip-collar", "no published value was read"),
        ("NONE", "quick-release-lever", "no value for this hardware counts"),
    ] {
        let said = bench.run(&["show", entry]).out;
        assert!(said.contains(&format!("{state}: {reason}")), "{entry}: {said}");
        let (_, json) = bench.json(&["show", entry]);
        assert!(json["reason"].as_str().unwrap().starts_with(reason), "{entry}");
    }
    assert!(bench.run(&["show", "crank-preload-cap"]).out.contains("┃  by feel  ┃"));
    let (_, json) = bench.json(&["show", "chainring-bolt-steel"]);
    let said = bench.run(&["show", "chainring-bolt-steel"]).out.replace(char::is_whitespace, "");
    for stretch in json["stretches"].as_array().unwrap() {
        let by = stretch["by"].as_array().unwrap();
        assert_eq!(stretch["issuers"], by.len(), "{stretch}");
        for issuer in by {
            assert!(said.contains(&issuer.as_str().unwrap().replace(' ', "")), "{issuer}: {said}");
        }
    }
    assert!(json["reason"].is_null());
}

/// A note is a few words; a thousand characters are taken, more are refused wherever they are written.
#[test]
fn a_text_has_at_most_a_thousand_characters() {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-1", "--kind", "trail"]);
    let (most, more) = ("ä".repeat(1000), "ä".repeat(1001));
    bench.done(NOW, &["record", "loan-1/headset", "--finding", "fine", "--note", &most]);
    bench.done(NOW, &["event", "loan-1", "wash", &format!("--note={most}")]);
    for words in [
        &["record", "loan-1/headset", "--finding", "fine", "--note", &more][..],
        &["record", "loan-1/headset", "--finding", "fine", &format!("--who={more}")],
        &["ride", "loan-1", "1h", &format!("--note={more}")],
        &["bike", "edit", "loan-1", "--owner", &more],
        &["bike", "joint", "remove", "loan-1", "headset", "--why", &more],
    ] {
        let said = bench.at(NOW, words);
        let message = "has 1001 characters; 1000 are the most";
        assert!(said.status == 2 && said.err.contains(message), "{words:?}: {}", said.err);
    }
    let log = |note: &str| format!("bike,joint,bolt,value,unit,note\nloan-1,bar-clamp,1,5,N·m,{note}\n");
    for (note, rejected) in [(&most, 0), (&more, 1)] {
        let said = bench.piped(NOW, &["record", "--from", "-", "--format", "json"], &log(note));
        let said: serde_json::Value = serde_json::from_str(&said.out).unwrap();
        assert_eq!(said["rejected"], rejected, "{said}");
        assert_eq!(said.to_string().contains("a field has 1001 characters"), rejected == 1, "{said}");
    }
}
