//! `bolt`: clamp force, limits, sweep and plot; and the bolt in `check` and `show`.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use serde_json::Value;

use crate::bench::Bench;

fn bolt(words: &[&str]) -> (i32, Value) {
    Bench::new().json(&[&["bolt"], words].concat())
}

#[test]
fn keys_are_those_of_the_contract() {
    let (status, answer) =
        bolt(&["--thread", "M5", "--grade", "8.8", "--torque", "5 N·m", "--friction", "0.10..0.16"]);
    assert_eq!((status, answer["plausibility"].as_str()), (0, Some("plausible")));
    assert_eq!((answer["thread"].as_str(), answer["grade"].as_str()), (Some("M5x0.8"), Some("8.8")));
    for key in ["clamp_load_n", "utilisation", "torque_limit_nm"] {
        let (low, high) = (answer[key]["low"].as_f64().unwrap(), answer[key]["high"].as_f64().unwrap());
        assert!(0.0 < low && low < high, "{key}");
    }
    // Bickford 4th ed. (2007): 14.183 mm².
    assert_abs_diff_eq!(answer["stress_area_mm2"].as_f64().unwrap(), 14.183, epsilon = 1e-3);
    // ISO 898-1 proof load of M5 8.8, optimas.com: 8230 N.
    assert_relative_eq!(answer["proof_load_n"].as_f64().unwrap(), 8230.0, max_relative = 0.007);
    assert_eq!(answer["torque_nm"], 5.0);
    assert_eq!(answer["friction"]["low"], 0.10);
}

#[test]
fn the_text_is_one_a_mechanic_can_read() {
    let said = Bench::new().run(&["bolt", "--thread", "M5", "--grade", "8.8", "--torque", "4 N·m"]);
    assert_eq!(said.status, 0, "{}", said.out);
    for words in [
        "plausible: 4 N·m",
        "the clamp force lies between 1.8 and 6.6 kN; at worst 79 % of yield",
        "condition of the thread not known",
        "reaches 90 % of yield lies between 4.5 and 11 N·m",
        "come before this one",
    ] {
        let plain = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(words), "{words}:\n{}", said.out);
    }
}

/// 44 lbf·in is 4.97 N·m (1 lbf·in = 0.112984829 N·m, NIST SP 811, App. B.8).
#[test]
fn forty_four_newton_metres_on_m5_are_impossible_and_were_pound_inches() {
    let bench = Bench::new();
    let words = ["bolt", "--thread", "M5", "--grade", "8.8", "--torque", "44 N·m"];
    let said = bench.run(&words);
    assert_eq!(said.status, 1);
    assert!(said.out.starts_with("impossible: 44 N·m"), "{}", said.out);
    assert!(said.out.contains("44 lbf·in would be 4.97 N·m"), "{}", said.out);
    let (status, answer) = bench.json(&words);
    assert_eq!((status, answer["plausibility"].as_str()), (1, Some("past-ultimate")));
    assert_eq!(answer["unit_slips"][0]["unit"], "lbf·in");
}

#[test]
fn past_yield_and_stripping_are_bad() {
    let (status, answer) = bolt(&["--thread", "M5", "--grade", "8.8", "--torque", "7 N·m"]);
    assert_eq!((status, answer["plausibility"].as_str()), (1, Some("past-yield")));
    let short = ["--thread", "M6", "--grade", "8.8", "--torque", "7 N·m", "--friction", "greased"];
    let (status, answer) = bolt(&[&short[..], &["--engagement", "2 mm", "--into", "aluminium"]].concat());
    assert_eq!((status, answer["stripping"]["weaker_side"].as_str()), (1, Some("tapped hole")));
    assert!(answer["stripping"]["margin"].as_f64().unwrap() < 1.0);
    let (status, answer) = bolt(&[&short[..], &["--engagement", "9mm", "--into", "7075"]].concat());
    assert_eq!((status, answer["stripping"]["bolt_breaks_first"].as_bool()), (0, Some(true)));
}

#[test]
fn what_is_not_known_is_answered_with_the_nearest() {
    let bench = Bench::new();
    for (words, nearest) in [
        (&["--thread", "M5.5", "--grade", "8.8"][..], "M5x0.8"),
        (&["--thread", "M15", "--grade", "8.8"], "M15x1"),
        (&["--thread", "M5", "--grade", "8.9"], "8.8"),
        (&["--thread", "M5", "--grade", "8.8", "--friction", "gresed"], "greased"),
        (&["--thread", "M5", "--grade", "8.8", "--head", "round"], "socket"),
        (
            &["--thread", "M5", "--grade", "8.8", "--engagement", "8mm", "--into", "aluminum alloy"],
            "aluminium",
        ),
        (&["--thread", "1.37x24", "--grade", "8.8"], "follow the maker"),
    ] {
        let said = bench.run(&[&["bolt", "--torque", "5 N·m"], words].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{words:?}");
        assert!(said.err.contains(nearest), "{words:?}: {}", said.err);
    }
}

#[test]
fn sizes_that_cannot_be_are_refused_with_the_reason() {
    let bench = Bench::new();
    for (words, reason) in [
        (&["--torque", "0 N·m"][..], "above 0"),
        (&["--torque", "-5 N·m"], "negative"),
        (&["--torque", "inf N·m"], "is not one reading"),
        (&["--torque", "5 kg"], "not a unit of torque"),
        (&["--torque", "5 N·m", "--engagement", "0mm", "--into", "steel"], "above 0"),
        (&["--torque", "5 N·m", "--engagement", "-8mm", "--into", "steel"], "above 0"),
        (&["--torque", "5 N·m", "--friction", "0"], "above 0 and below 1"),
        (&["--torque", "5 N·m", "--friction", "0.2..0.1"], "low end above its high end"),
        (&["--torque", "5 N·m", "--friction", "inf"], "above 0 and below 1"),
        (&["--torque", "5 N·m", "--sweep", "--points", "1"], "2 to 1000 points"),
        (&["--torque", "5 N·m", "--engagement", "8mm"], "--into"),
        (&["--explain"], "--torque"),
    ] {
        let said = bench.run(&[&["bolt", "--thread", "M5", "--grade", "8.8"], words].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{words:?}: {}", said.out);
        assert!(said.err.contains(reason), "{words:?}: {}", said.err);
    }
}

#[test]
fn the_chain_of_formulas_ends_in_the_answer() {
    let (_, answer) = bolt(&["--thread", "M6", "--grade", "A2-70", "--torque", "5 N·m", "--explain"]);
    let steps = answer["steps"].as_array().unwrap();
    let loads: Vec<f64> = steps
        .iter()
        .filter(|step| step["symbol"] == "F")
        .map(|step| step["value"].as_f64().unwrap())
        .collect();
    let clamp = &answer["clamp_load_n"];
    assert_eq!(loads, [clamp["high"].as_f64().unwrap(), clamp["low"].as_f64().unwrap()]);
    assert!(steps.iter().all(|step| !step["source"].as_str().unwrap().is_empty()));
}

#[test]
fn a_sweep_rises_and_marks_what_is_too_much() {
    let bench = Bench::new();
    let words = ["bolt", "--thread", "M5", "--grade", "8.8", "--sweep"];
    let (status, answer) = bench.json(&[&words[..], &["--points", "40"]].concat());
    let points = answer["sweep"].as_array().unwrap();
    assert_eq!((status, points.len()), (0, 40));
    let torque = |point: &Value| point["torque_nm"].as_f64().unwrap();
    assert!(points.windows(2).all(|pair| torque(&pair[0]) < torque(&pair[1])));
    assert!(torque(&points[39]) > answer["torque_limit_nm"]["high"].as_f64().unwrap());
    let table = bench.run(&words).out;
    assert!(table.contains("past 90 % of yield if friction is low"), "{table}");
    assert!(table.contains("past 90 % of yield at any friction"), "{table}");
    let csv = bench.run(&[&words[..], &["--format", "csv"]].concat()).out;
    assert!(csv.starts_with("torque_nm,clamp_load_low_n,clamp_load_high_n,"), "{csv}");
}

#[test]
fn the_plot_is_whole_xml_with_axes_units_and_limits() {
    let bench = Bench::new();
    for (thread, unit) in [("M5", "N·m"), ("9/16-20", "lbf·ft"), ("M15x1.5", "N·m")] {
        let words = ["bolt", "--thread", thread, "--grade", "8.8", "--sweep", "--unit", unit];
        let said = bench.run(&[&words[..], &["--torque", "3 N·m", "--svg", "plot.svg"]].concat());
        assert_eq!(said.status, 0, "{}", said.err);
        let text = std::fs::read_to_string(bench.path("plot.svg")).unwrap();
        let plot = roxmltree::Document::parse(&text).unwrap();
        let texts: Vec<&str> = plot.descendants().filter_map(|node| node.text()).collect();
        let torque_axis = format!("Torque, {unit}");
        for words in
            [torque_axis.as_str(), "Clamp force, kN", "limit", "90 % of yield", "proof load", "tears"]
        {
            assert!(texts.iter().any(|text| text.contains(words)), "{words}: {texts:?}");
        }
        for tag in ["polygon", "polyline"] {
            assert!(plot.descendants().any(|node| node.has_tag_name(("http://www.w3.org/2000/svg", tag))));
        }
        let colours = ["#000000", "#ffffff", "none"];
        for node in plot.descendants() {
            for name in ["fill", "stroke"] {
                let colour = node.attribute(name).unwrap_or("none").to_lowercase();
                assert!(colours.contains(&colour.as_str()), "{colour}");
            }
        }
    }
}

#[test]
fn a_plot_that_cannot_be_written_is_told_and_leaves_nothing_half_done() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("folder")).unwrap();
    let said = bench.run(&["bolt", "--thread", "M5", "--grade", "8.8", "--sweep", "--svg", "folder"]);
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    assert!(said.err.contains("cannot write folder"), "{}", said.err);
    let left: Vec<_> =
        std::fs::read_dir(bench.path(".")).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert!(left.iter().all(|name| !name.to_string_lossy().ends_with(".part")), "{left:?}");
}

/// From dry to lubricated −10 % (TM 9-6115-604-34) to −55 % (engineeringtoolbox.com d_1693) are
/// published.
#[test]
fn a_differing_condition_is_told_and_never_converted() {
    let bench = Bench::new();
    let words = ["bolt", "--thread", "M5", "--grade", "8.8", "--torque", "3 N·m"];
    let (_, answer) =
        bench.json(&[&words[..], &["--condition", "greased", "--stated-condition", "dry"]].concat());
    let condition = &answer["condition"];
    assert_eq!(condition["differs"], true);
    assert_eq!(condition["published"][0]["change"]["low_percent"], -55.0);
    assert_eq!(condition["published"][0]["change"]["high_percent"], -10.0);
    assert!(condition["converted_torque_nm"].is_null());
    let said = bench.run(&["show", "crank-pinch-bolts", "--condition", "dry"]);
    assert_eq!(said.status, 0);
    assert!(said.out.contains("no torque is converted"), "{}", said.out);
    let (status, answer) = bench.json(&["check", "crank-pinch-bolts", "13 N·m", "--condition", "dry"]);
    assert_eq!((status, answer["verdict"].as_str()), (0, Some("inside")));
    assert!(answer["aim"].is_null() && answer["condition"]["differs"] == true);
    let (_, answer) = bench.json(&["check", "crank-pinch-bolts", "13 N·m", "--condition", "greased"]);
    assert!(answer["aim"]["setting_nm"].is_f64() && answer["condition"]["differs"] == false);
    let (_, answer) = bench.json(&["check", "crank-pinch-bolts", "13 N·m"]);
    assert_eq!(answer["condition"]["stated"][0]["condition"], "greased");
    assert_eq!(bench.run(&["show", "crank-pinch-bolts", "--condition", "slimy"]).status, 2);
}

fn bolt_hints(answer: &Value) -> Vec<String> {
    let hints = answer["hints"].as_array().unwrap().iter().filter(|hint| hint["kind"] == "bolt");
    hints.map(|hint| hint["text"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn check_holds_reading_and_literal_against_a_known_bolt() {
    let bench = Bench::new();
    let greased = ["check", "25-34 N·m", "30 N·m", "--thread", "M5", "--condition", "greased"];
    let (status, answer) = bench.json(&greased);
    assert_eq!((status, answer["verdict"].as_str()), (1, Some("too much for the bolt")));
    let hints = bolt_hints(&answer);
    assert!(hints.len() == 2 && hints[0].ends_with("30 lbf·in would be 3.39 N·m"), "{hints:?}");
    assert!(answer["aim"].is_null());
    // The thread of the entry is enough.
    let (status, answer) = bench.json(&["check", "saddle-clamp-two-bolt-4mm", "20 N·m"]);
    assert_eq!((status, bolt_hints(&answer).len()), (1, 1));
    assert_eq!(bench.run(&["check", "saddle-clamp-two-bolt-4mm", "50 N·m"]).status, 2);
    let (_, answer) = bench.json(&["check", "saddle-clamp-two-bolt-4mm", "6 N·m"]);
    assert!(bolt_hints(&answer).is_empty());
    // A weaker bolt than any the book allows for.
    let (status, answer) = bench.json(&["check", "saddle-clamp-two-bolt-4mm", "6 N·m", "--grade", "4.6"]);
    assert_eq!((status, answer["verdict"].as_str()), (1, Some("too much for the bolt")), "{answer}");
    assert!(bolt_hints(&answer)[0].contains("of class 4.6"), "{answer}");
}

/// The bolt gets what the wrench gives times the length gained by the adapter, and nothing of what
/// undoes it.
#[test]
fn the_torque_at_the_bolt_is_what_is_held_against_it() {
    let bench = Bench::new();
    let words = ["check", "4-6 N·m", "20 N·m", "--thread", "M5"];
    let (_, answer) = bench.json(&[&words[..], &["--kind", "loosening"]].concat());
    assert!(bolt_hints(&answer).is_empty(), "{answer}");
    let add = ["wrench", "add", "long", "--type", "click", "--scale", "5-50 N·m", "--lever", "300mm"];
    assert_eq!(bench.run(&add).status, 0);
    let said = bench.run(&[&words[..], &["--wrench", "long", "--adapter", "300mm"]].concat());
    assert!(said.status == 2 && said.err.contains("40 N·m would tear"), "{}", said.err);
}

#[test]
fn a_bolt_that_is_not_known_is_said_so() {
    let bench = Bench::new();
    let said = bench.run(&["check", "4-6 N·m", "5 N·m", "--grade", "8.8"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("--thread M5"), "{}", said.err);
    let said = bench.run(&["check", "35-50 N·m", "40 N·m", "--thread", "1.37x24"]);
    assert_eq!(said.status, 0);
    assert!(said.err.contains("hollow part"), "{}", said.err);
    let said = bench.run(&["check", "4-6 N·m", "5 N·m", "--thread", "M5.5"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("nearest known: M5x0.8"), "{}", said.err);
}

/// The bolt and the figure come from the joint; what is not noted is asked for, and what is typed wins.
#[test]
fn a_joint_brings_its_bolt_and_its_figure() {
    let bench = Bench::new();
    assert_eq!(bench.run(&["bike", "add", "loan-7", "--kind", "trail"]).status, 0);
    let edit = |what: &[&str]| {
        let said = bench.run(&[&["bike", "joint", "edit", "loan-7", "bar-clamp"], what].concat());
        assert_eq!(said.status, 0, "{}", said.err);
    };
    edit(&["--marking", "max 5 N·m", "--thread", "M5"]);
    let missing = bench.run(&["bolt", "loan-7/bar-clamp"]);
    assert_eq!((missing.status, missing.out.as_str()), (2, ""));
    for words in ["the class of the bolts is not noted", "bike joint edit loan-7 bar-clamp --grade"] {
        assert!(missing.err.contains(words), "{}", missing.err);
    }
    edit(&["--grade", "12.9", "--condition", "greased"]);
    let typed = ["--thread", "M5", "--grade", "12.9", "--torque", "5 N·m", "--condition", "greased"];
    let (_, typed) = bench.json(&[&["bolt"], &typed[..]].concat());
    let (status, of_joint) = bench.json(&["bolt", "loan-7/bar"]);
    assert_eq!((status, &of_joint["ground"]), (0, &"marking on the part".into()));
    for key in ["thread", "grade", "torque_nm", "friction", "clamp_load_n", "utilisation", "condition"] {
        assert_eq!(of_joint[key], typed[key], "{key}");
    }
    let (_, other) = bench.json(&["bolt", "loan-7/bar-clamp", "--grade", "8.8", "--torque", "6 N·m"]);
    assert_eq!((&other["grade"], &other["ground"]), (&"8.8".into(), &Value::Null));
    assert!((other["torque_nm"].as_f64().unwrap() - 6.0).abs() < 1e-9, "{other}");
    // An entry states the thread and the figure, and never a class.
    let said = bench.run(&["bolt", "rotor-bolt-six"]);
    assert!(said.status == 2 && said.err.contains("such as --grade"), "{}", said.err);
    let (_, entry) = bench.json(&["bolt", "crank-pinch-bolts", "--grade", "12.9", "--thread", "M6"]);
    let (_, band) = bench.json(&["show", "crank-pinch-bolts"]);
    assert_eq!((&entry["torque_nm"], &entry["thread"]), (&band["band"]["high_nm"], &"M6x1".into()));
    for words in [&["--grade", "8.8"][..], &["loan-7/frame"], &["no-such"]] {
        assert_eq!(bench.run(&[&["bolt"], words].concat()).status, 2, "{words:?}");
    }
}

/// Without a torque the limits are told, and the clamp force at the lower of them.
#[test]
fn without_a_torque_it_is_told_what_a_bolt_can_bear() {
    let bench = Bench::new();
    let bolt = ["bolt", "--thread", "M5", "--grade", "8.8"];
    let (status, alone) = bench.json(&bolt);
    assert_eq!((status, &alone["torque_nm"], &alone["clamp_load_n"]), (0, &().into(), &().into()));
    let least = alone["torque_limit_nm"]["low"].as_f64().unwrap();
    let (_, there) = bench.json(&[&bolt[..], &["--torque", &format!("{least:.9} N·m")]].concat());
    for key in ["torque_limit_nm", "proof_load_n", "clamp_load_at_limit_n"] {
        assert_eq!(alone[key], there[key], "{key}");
    }
    for end in ["low", "high"] {
        let [at_limit, at_torque] =
            [&alone["clamp_load_at_limit_n"], &there["clamp_load_n"]].map(|load| load[end].as_f64().unwrap());
        assert!((at_limit / at_torque - 1.0).abs() < 1e-8, "{at_limit} and {at_torque}");
    }
    assert!((there["utilisation"]["high"].as_f64().unwrap() - 0.9).abs() < 1e-8, "{there}");
    let text = bench.run(&bolt).out;
    assert!(text.contains("\nLimit ") && text.contains("\nClamp ") && text.contains("\nProof "), "{text}");
    let said = bench.run(&[&bolt[..], &["--explain"]].concat());
    assert!(said.status == 2 && said.err.contains("need a torque"), "{}", said.err);
}
