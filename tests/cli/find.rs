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

/// What was read otherwise stands in the answer, in every format.
#[test]
fn typing_errors_are_forgiven_and_said_in_the_answer() {
    let bench = Bench::new();
    for (typed, read, entry) in [
        (&["rotro", "bolts"][..], "`rotro` read as `rotor`", "rotor-bolt-six"),
        (&["casette"], "`casette` read as `cassette`", "cassette-lockring"),
        (&["setpost", "clamp"], "`setpost` read as `seatpost`", "seat-collar-single-bolt"),
    ] {
        let words = [&["find"], typed].concat();
        let said = bench.run(&words);
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{typed:?}");
        assert!(said.out.starts_with(read) && said.out.contains(entry), "{typed:?}: {}", said.out);
        assert_eq!(bench.json(&words).1[0]["read_as"], read);
        let sheet = bench.run(&[&words[..], &["--format", "csv"]].concat()).out;
        assert!(sheet.contains(read), "{sheet}");
    }
    assert!(bench.json(&["find", "rotor"]).1[0]["read_as"].is_null());
}

/// What fits only in part is counted below the others, listed on request, and marked in JSON and CSV.
#[test]
fn what_fits_only_in_part_is_never_mixed_in() {
    let bench = Bench::new();
    let (_, found) = bench.json(&["find", "crank", "pinch"]);
    let matches: Vec<&str> =
        found.as_array().unwrap().iter().map(|entry| entry["match"].as_str().unwrap()).collect();
    let part = matches.iter().filter(|word| **word == "part").count();
    assert!(part > 0 && part < matches.len() && matches.is_sorted(), "{matches:?}");
    let said = bench.run(&["find", "crank", "pinch"]).out;
    assert!(said.ends_with(&format!("and {part} that match only in part: --all lists them\n")), "{said}");
    assert!(!said.contains("crank-bolt-square-taper"), "{said}");
    let all = bench.run(&["find", "crank", "pinch", "--all"]).out;
    assert!(all.contains("\nOnly in part:\n") && all.contains("crank-bolt-square-taper"), "{all}");
    let lacking = found.as_array().unwrap().iter().find(|one| one["entry"] == "crank-bolt-square-taper");
    assert_eq!(lacking.unwrap()["not_matched"], serde_json::json!(["pinch"]));
}

/// A screen has 24 lines; what all words fit and it has no room for is counted, and hidden in text alone.
#[test]
fn what_all_words_fit_is_cut_to_a_screen_and_counted() {
    let bench = Bench::new();
    for words in [&["M5"][..], &["stem"], &["crank", "arm"]] {
        let question = [&["find"], words].concat();
        let found = bench.json(&question).1;
        let of = |kind: &str| {
            let hits = found.as_array().unwrap().iter().filter(|one| one["match"] == kind);
            hits.map(|one| one["entry"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
        };
        let (whole, part) = (of("all"), of("part"));
        let said = bench.run(&question).out;
        assert!(said.lines().count() <= 23, "{said}");
        let is_listed =
            |text: &str, entry: &String| text.lines().any(|line| line.split(' ').next() == Some(entry));
        let listed = whole.iter().take_while(|entry| is_listed(&said, entry)).count();
        let more = whole.len() - listed;
        assert!(listed > 0 && more > 1, "{words:?}: {listed} of {}", whole.len());
        assert!(whole[listed..].iter().chain(&part).all(|entry| !is_listed(&said, entry)), "{said}");
        assert!(said.contains(&format!("\nand {more} more that all words fit")), "{said}");
        assert!(said.trim_end().ends_with(": --all lists them"), "{said}");
        let all = bench.run(&[&question[..], &["--all"]].concat()).out;
        assert!(whole.iter().chain(&part).all(|entry| is_listed(&all, entry)), "{all}");
        assert!(!all.contains(" more "), "{all}");
        let sheet = bench.run(&[&question[..], &["--format", "csv"]].concat()).out;
        assert!(whole.iter().chain(&part).all(|entry| sheet.contains(&format!("{entry},"))), "{sheet}");
    }
}

/// What people type and the part that it must lead to: `tests/search/words.csv`, all of it common practice. In `wanted`
/// keys of which the first hit must be one, `*` standing for any ending and `none` for no answer, which must be bad.
/// `no-torque`: a part that no torque is for; no answer, or its own entry without one. `measure`: an item of `limits.csv`.
#[test]
fn everyday_words_lead_to_their_part_and_never_to_another_parts_number() {
    let bench = Bench::new();
    assert!(
        !bench.json(&["find"]).1.as_array().unwrap().is_empty(),
        "the book is loaded before all ask at once"
    );
    let questions: Vec<&str> = include_str!("../search/words.csv").lines().skip(1).collect();
    let traps = questions.iter().filter(|line| line.split(',').nth(1) != Some("entry")).count();
    // Several ask at a time, for each starts the program.
    let (wrong, misleading): (Vec<String>, Vec<bool>) = std::thread::scope(|scope| {
        let asking: Vec<_> = questions
            .chunks(questions.len().div_ceil(4))
            .map(|part| {
                scope.spawn(|| part.iter().filter_map(|line| misled(&bench, line)).collect::<Vec<_>>())
            })
            .collect();
        asking.into_iter().flat_map(|asking| asking.join().unwrap()).unzip()
    });
    let asked = questions.len();
    assert!(asked >= 150 && traps >= 30, "{asked} asked, {traps} of them traps");
    assert!(!misleading.contains(&true), "another part's number comes first: {wrong:?} {misleading:?}");
    assert!(wrong.len() * 20 <= asked, "{} of {asked} are wrong: {wrong:?}", wrong.len());
}

/// Where a row of the table is answered otherwise, what comes first, and whether that has a number.
fn misled(bench: &Bench, line: &str) -> Option<(String, bool)> {
    let [question, answer, wanted] = line.split(',').collect::<Vec<_>>()[..] else { panic!("{line}") };
    let (status, found) = bench.json(&["find", question]);
    let first = &found[0];
    let is_wanted = wanted.split(' ').any(|key| is_called(first["entry"].as_str(), key));
    let is_right = match answer {
        "none" => first.is_null() && status == 1,
        "no-torque" => {
            let takes_none = first["takes_torque"] == false && first["state"] == "none";
            first.is_null() || is_wanted && takes_none && first["band"].is_null()
        }
        "measure" => is_wanted && first["state"] == "measured" && first["band"].is_null(),
        _ => is_wanted,
    };
    (!is_right).then(|| (format!("{question}: {}", first["entry"]), !first["band"].is_null()))
}

fn is_called(entry: Option<&str>, wanted: &str) -> bool {
    match (entry, wanted.strip_suffix('*')) {
        (None, _) => wanted == "none",
        (Some(entry), Some(beginning)) => entry.starts_with(beginning),
        (Some(entry), None) => entry == wanted,
    }
}

/// What is measured is told with its limits, where no entry is called so, and is never a torque.
#[test]
fn what_is_measured_leads_to_its_limits() {
    let bench = Bench::new();
    let asked = bench.run(&["find", "rotor", "thickness"]);
    assert_eq!((asked.status, asked.err.as_str()), (0, ""));
    for said in [
        "no torque",
        "measured",
        "over 1.5 mm",
        "min 1.8 mm",
        "the figure on the part comes",
        "record BIKE/JOINT VALUE",
    ] {
        assert!(asked.out.contains(said), "{said}: {}", asked.out);
    }
    let (status, found) = bench.json(&["find", "rotor", "thickness"]);
    let item = &found[0];
    assert_eq!((status, &item["entry"], &item["state"]), (0, &"rotor-thickness".into(), &"measured".into()));
    assert!(item["band"].is_null() && item["takes_torque"] == false, "{item}");
    assert!(item["set_by"].as_str().unwrap().contains("min 1.8 mm"), "{item}");
    let sheet = bench.run(&["find", "rotor thickness", "--format", "csv"]).out;
    assert!(sheet.contains("rotor-thickness,Disc rotor thickness,measured,"), "{sheet}");
    let (_, slip) = bench.json(&["find", "rotor", "thicknes"]);
    assert_eq!(slip[0]["entry"], "rotor-thickness");
    // The bolts of the same part are no measure, and neither is the part alone.
    for words in [&["rotor", "bolts"][..], &["rotor"], &["chain"]] {
        let (_, found) = bench.json(&[&["find"], words].concat());
        assert!(found.as_array().unwrap().iter().all(|one| one["state"] != "measured"), "{found}");
    }
    let shown = bench.run(&["show", "rotor-thickness"]);
    assert!(
        shown.status == 2 && shown.err.contains("it is measured: `evenclamp find rotor-thickness`"),
        "{}",
        shown.err
    );
}

/// A part that no torque is for says so in the list, and by what it is set, instead of a dash.
#[test]
fn a_part_without_a_torque_says_what_it_is_set_by() {
    let bench = Bench::new();
    let said = bench.run(&["find", "spokes"]).out;
    let line = said.lines().find(|line| line.starts_with("spoke-nipple")).unwrap();
    assert!(line.contains("no torque") && !line.contains("none"), "{line}");
    assert!(said.contains("Set by the tension of the spokes"), "{said}");
    let (_, found) = bench.json(&["find", "spokes"]);
    assert!(found[0]["takes_torque"] == false && found[0]["set_by"].as_str().unwrap().contains("tension"));
    // A part for which nothing was read is not said to take none.
    let (_, bell) = bench.json(&["find", "bell"]);
    assert!(bell[0]["takes_torque"] == true && bell[0]["set_by"].is_null(), "{bell}");
}

/// What turns the other way is said before anyone puts a wrench to it.
#[test]
fn a_left_hand_thread_is_said_beneath_and_in_keys() {
    let bench = Bench::new();
    let said = bench.run(&["find", "left", "pedal"]).out;
    assert!(said.contains("one side has a LEFT-HAND thread: read the side first; others print"), "{said}");
    let (_, found) = bench.json(&["find", "left", "pedal"]);
    assert_eq!((&found[0]["hand"], &found[0]["ridden"]), (&"either".into(), &"most".into()));
    assert_eq!(found[0]["turning"], "one side has a LEFT-HAND thread: read the side first");
    let sheet = bench.run(&["find", "left pedal", "--format", "csv"]).out;
    assert!(sheet.contains(",either,one side has a LEFT-HAND thread: read the side first,most,"), "{sheet}");
    assert!(!bench.run(&["find", "stem", "bolt"]).out.contains("LEFT-HAND"));
    assert!(bench.run(&["find", "chainring lockring motor"]).out.contains("LEFT-HAND thread: anticlockwise"));
}

/// Whoever asks for a bolt is shown no lockring; who asks for the part sees both.
#[test]
fn a_bolt_that_is_asked_for_is_told_from_what_is_none() {
    let bench = Bench::new();
    let whole = |words: &[&str]| -> Vec<String> {
        let (_, found) = bench.json(&[&["find"], words].concat());
        let hits = found.as_array().unwrap().iter().filter(|one| one["match"] == "all");
        hits.map(|one| one["entry"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(whole(&["rotor", "bolts"]), ["rotor-bolt-six"]);
    assert_eq!(whole(&["rotor"]), ["rotor-bolt-six", "rotor-lockring"]);
}

/// A short name stands for the one entry that has it, and offers the choice where several do.
#[test]
fn a_short_name_stands_for_an_entry() {
    let bench = Bench::new();
    assert_eq!(bench.json(&["show", "rotor-bolt"]).1["entry"], "rotor-bolt-six");
    assert_eq!(bench.json(&["show", "grip-col"]).1["entry"], "grip-collar");
    assert_eq!(bench.run(&["order", "rotor-bolt"]).out, bench.run(&["order", "rotor-bolt-six"]).out);
    let short = bench.run(&["check", "rotor-bolt", "5 N·m"]);
    let full = bench.run(&["check", "rotor-bolt-six", "5 N·m"]);
    assert_eq!((short.status, short.out), (full.status, full.out));
    assert!(short.err.contains("`rotor-bolt` is rotor-bolt-six"), "{}", short.err);
    for command in [&["show", "rotor"][..], &["order", "rotor"], &["check", "rotor", "5 N·m"]] {
        let said = bench.run(command);
        let unknown = bench.run(&["show", "xyzzyqu"]);
        assert_eq!((said.status, said.out.as_str()), (unknown.status, ""), "{command:?}");
        assert!(said.err.contains("it may be rotor-bolt-six, rotor-lockring"), "{}", said.err);
    }
}

#[test]
fn nothing_found_names_the_nearest_words_and_is_bad() {
    let bench = Bench::new();
    let said = bench.run(&["find", "xylophone"]);
    assert_eq!((said.status, said.out.as_str()), (1, ""));
    assert!(said.err.contains("nearest: "), "{}", said.err);
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
