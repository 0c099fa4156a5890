//! `find`.

use crate::bench::Bench;

fn entries(bench: &Bench, words: &[&str]) -> Vec<String> {
    let (_, found) = bench.json(&[&["find"], words].concat());
    found.as_array().unwrap().iter().map(|entry| entry["entry"].as_str().unwrap().to_owned()).collect()
}

/// The trade's words, US and UK (common practice).
#[test]
fn the_trades_words_lead_to_the_entry() {
    let bench = Bench::new();
    for (words, entry) in [
        (&["bar", "clamp"][..], "stem-face-plate-four-bolt"),
        (&["seat", "clamp"], "seat-collar-single-bolt"),
        (&["disc", "bolts"], "rotor-bolt-six"),
        (&["skewer"], "quick-release-lever"),
        (&["bottle", "boss"], "bottle-cage-bolt"),
        (&["headset", "cap"], "headset-top-cap"),
        (&["crank", "pinch"], "crank-pinch-bolts"),
        (&["pedal"], "pedal"),
    ] {
        assert!(entries(&bench, words).iter().take(5).any(|found| found == entry), "{words:?}");
    }
}

#[test]
fn an_entry_is_found_first_by_its_own_key_and_by_beginnings_of_words() {
    let bench = Bench::new();
    assert_eq!(entries(&bench, &["cassette-lockring"])[0], "cassette-lockring");
    assert!(entries(&bench, &["casset"]).contains(&"cassette-lockring".to_owned()));
    assert!(entries(&bench, &["M5"]).contains(&"rotor-bolt-six".to_owned()));
}

#[test]
fn typing_errors_are_forgiven_and_said() {
    let bench = Bench::new();
    for (typed, entry) in [("rotro", "rotor-bolt-six"), ("casette", "cassette-lockring"), ("pedle", "pedal")]
    {
        let said = bench.run(&["find", typed]);
        assert_eq!(said.status, 0, "{typed}");
        assert!(said.out.contains(entry), "{typed}: {}", said.out);
        assert!(said.err.contains(&format!("no entry has `{typed}`")), "{}", said.err);
    }
}

#[test]
fn nothing_found_names_the_nearest_words_and_is_bad() {
    let bench = Bench::new();
    let said = bench.run(&["find", "xylophone"]);
    assert_eq!((said.status, said.out.as_str()), (1, ""));
    assert!(said.err.contains("nearest words"), "{}", said.err);
    assert_eq!(bench.json(&["find", "xylophone"]), (1, serde_json::json!([])));
}

#[test]
fn without_words_every_entry_is_listed() {
    let bench = Bench::new();
    assert!(entries(&bench, &[]).len() >= 50);
}

#[test]
fn keys_are_those_of_the_contract() {
    let bench = Bench::new();
    let (_, found) = bench.json(&["find", "crank pinch"]);
    let first = &found[0];
    assert_eq!(first["entry"], "crank-pinch-bolts");
    assert_eq!(first["state"], "agreed");
    assert!(first["band"]["low_nm"].as_f64().unwrap() < first["band"]["high_nm"].as_f64().unwrap());
    assert!(first["issuers"].as_u64().unwrap() >= 2);
    let (_, disputed) = bench.json(&["find", "chainring-bolt-steel"]);
    assert!(disputed[0]["band"].is_null());
}
