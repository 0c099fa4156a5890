//! Every sentence of advice with its direction, written out: what is low is tightened, what is high is
//! slackened; too small a wrench needs a larger one. The kept answers alone would let a wrong sentence
//! be kept.
//!
//! The directions are common practice of the trade; the sentences are the program's own.

use serde_json::Value;

use crate::answers;

/// The JSON answer to a command line.
fn answer(line: &str) -> Value {
    let found = answers::json().into_iter().find(|(asked, _)| asked == line);
    found.unwrap_or_else(|| panic!("no case `{line}`")).1
}

/// The sentences of a list.
fn sentences(list: &Value) -> Vec<&str> {
    list.as_array().unwrap().iter().map(|sentence| sentence.as_str().unwrap()).collect()
}

/// Readings against limits: verdict, the side it leans to, and every reason with what would settle it.
const READINGS: &[(&str, &str, Option<&str>, &[&str])] = &[
    (r#"check "4-6 N·m" "3 N·m" --accuracy 6% --step 0.1"#, "low", Some("low"), &[]),
    (r#"check "4-6 N·m" "9 N·m" --accuracy 6% --step 0.1"#, "high", Some("high"), &[]),
    (r#"check "4-6 N·m" "5.9 N·m" --accuracy 6% --step 0.1"#, "too close", Some("high"), &[]),
    (r#"check "4-6 N·m" "4.1 N·m" --accuracy 6% --step 0.1"#, "too close", Some("low"), &[]),
    (
        r#"check "5-5.2 N·m" "5.1 N·m" --accuracy 6% --step 0.1"#,
        "not settled",
        None,
        &["the range spans 0.20 N·m but this wrench needs 0.72: a finer one settles it"],
    ),
    (
        r#"check "5 N·m" "5.1 N·m""#,
        "inside",
        Some("high"),
        &["a set value: 5 N·m allows 4.7–5.3 N·m, the ±6 % of a conforming wrench"],
    ),
    (
        r#"check "5 N·m" "4.2 N·m" --accuracy 10%"#,
        "low",
        Some("low"),
        &[
            "a set value: 5 N·m allows 4.7–5.3 N·m, the ±6 % of a conforming wrench",
            "this wrench may be off by 10 %, the set value counts on 6 %",
        ],
    ),
    (
        r#"check "max 5 N·m" "5.5 N·m""#,
        "high",
        Some("high"),
        &["low side not judged: no limit is known there"],
    ),
    (
        r#"check "min 12 N·m" "10 N·m" --scatter 0.2"#,
        "low",
        Some("low"),
        &["high side not judged: no limit is known there"],
    ),
    (
        r#"check chainring-bolt-steel "5 N·m""#,
        "not settled",
        None,
        &[
            "chainring-bolt-steel: the published figures do not meet: see the marking on the part or ask its maker",
        ],
    ),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench beam"#,
        "not settled",
        None,
        &["this wrench's scale is usable from 6.0 N·m on: one with a smaller span settles it"],
    ),
    (
        r#"check "14.5-15.5 N·m" "15 N·m" --wrench small"#,
        "not settled",
        None,
        &[
            "this wrench's scale ends at 10.0 N·m: one with a larger span settles it",
            "the range spans 1.0 N·m but this wrench needs 2.1: a finer one settles it",
        ],
    ),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench lapsed"#,
        "not settled",
        None,
        &["the calibration lapsed after 2026-04-30: calibrating the wrench settles it"],
    ),
    (r#"check "4-6 N·m" "5 N·m" --wrench never"#, "inside", None, &[]),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench dropped --on 2026-06-10"#,
        "not settled",
        None,
        &[
            "the wrench failed its calibration on 2026-06-15, readings since 2026-03-01 are in doubt: do the joint \
             again",
        ],
    ),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench broken --on 2026-06-01"#,
        "not settled",
        None,
        &[
            "the wrench failed its calibration on 2026-06-10, earlier readings are in doubt: do the joint again",
        ],
    ),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench dropped"#,
        "not settled",
        None,
        &["the wrench failed its calibration on 2026-06-15: a sound wrench settles it"],
    ),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench spent"#,
        "not settled",
        None,
        &["since 2026-06-10 the wrench has made more than the 3 operations that a calibration stands for: \
             calibrating it settles it"],
    ),
    (
        r#"check "4-6 N·m" "5 N·m" --wrench small --left-hand"#,
        "not settled",
        None,
        &["this wrench measures clockwise only: one that measures both ways settles it"],
    ),
    (
        r#"check "4-6 N·m" "4 N·m" --kind held --wrench small"#,
        "held",
        None,
        &["held: it is still at least that tight; whether it was over-tightened is not shown"],
    ),
    (
        r#"check "4-6 N·m" "3 N·m" --kind held --wrench small"#,
        "held",
        None,
        &["held, but the setting is below the lower limit: set the wrench to the lower limit"],
    ),
    (
        r#"check "4-6 N·m" "8 N·m" --kind held --wrench small"#,
        "held",
        None,
        &["held, but the setting is above the upper limit: a check is made at the lower limit, never above"],
    ),
    (
        r#"check "max 6 N·m" "4 N·m" --kind held"#,
        "held",
        None,
        &["held, but no lower limit is known to hold it against"],
    ),
    (r#"check "4-6 N·m" "4 N·m" --kind moved"#, "moved", None, &["moved: a finding"]),
    (
        r#"check "4-6 N·m" "9 N·m" --kind loosening --wrench beam"#,
        "loosening",
        None,
        &["noted, not compared with the limits: it is no tightening torque"],
    ),
    (
        r#"check "4-6 N·m" "4.8 N·m" --kind back-to-mark"#,
        "back-to-mark",
        None,
        &["noted, not compared with the limits: it is no tightening torque"],
    ),
];

#[test]
fn every_reason_of_a_verdict_says_which_side_and_what_settles_it() {
    for (line, verdict, lean, reasons) in READINGS {
        let answer = answer(line);
        assert_eq!(answer["verdict"], *verdict, "{line}");
        assert_eq!(answer["lean"].as_str(), *lean, "{line}");
        let mut told = sentences(&answer["reasons"]);
        let not_known = told.contains(&NOT_KNOWN);
        told.retain(|reason| *reason != NOT_KNOWN);
        assert_eq!(told, *reasons, "{line}");
        let known = line.contains("--wrench never") || !line.contains("--wrench");
        let is_judged = !answer["u_nm"].is_null() && !line.contains("chainring-bolt-steel");
        assert_eq!(not_known, known && is_judged && !line.contains("--accuracy"), "{line}");
    }
}

/// What is noted of every reading that is judged with a wrench of which too little is known.
const NOT_KNOWN: &str = "wrench not known: name a calibrated one, and its own accuracy counts";

const CHECK_BY_HAND: &str = "check it by hand, eye and ear, and record --finding fine or what you find";
const DO_IT_AGAIN: &str = "slacken it fully and do it again with a wrench to be believed (`evenclamp wrench pick BIKE/JOINT` names \
     one): tighten it to well inside 4–6 N·m and record it";

/// Open joints: the command, the joint, its verdict, how its reason goes on after the number of the bolt,
/// and what to do next.
const OPEN_JOINTS: &[(&str, &str, &str, &str, &str)] = &[
    (
        "ready courier",
        "rotor-front",
        "low",
        "bolt 3: 3 N·m against 4–6 N·m (marking on the part)",
        "finish it: tighten on to well inside 4–6 N·m and record it",
    ),
    (
        "ready courier",
        "contradicting",
        "high",
        "13 N·m against 5–6 N·m (marking on the part)",
        "slacken it fully, look for marks, cracks, crushed or stretched parts (carbon: hand it over), then tighten it \
         anew to well inside 5–6 N·m and record it",
    ),
    (
        "ready courier",
        "bar-clamp",
        "high",
        "bolt 3: 9.0 N·m against max 5 N·m (marking on the bar: the lower ceiling",
        "slacken it fully, look for marks, cracks, crushed or stretched parts (carbon: hand it over), then tighten it \
         anew from below until it holds, max 5 N·m, and record it",
    ),
    (
        "record tandem/floor 8 N·m --wrench large",
        "floor",
        "low",
        "8 N·m against min 12 N·m (marking on the part)",
        "finish it: tighten on to min 12 N·m or a little more and record it",
    ),
    (
        "ready tandem",
        "clamp-high",
        "too close",
        "5.9 N·m against 4–6 N·m (marking on the part), 2026-06-10 12:00; 69 % chance of being inside, leans high",
        "slacken it fully, then tighten it anew to well inside 4–6 N·m and record it",
    ),
    (
        "ready tandem",
        "clamp-low",
        "too close",
        "4.1 N·m against 4–6 N·m (marking on the part), 2026-06-10 12:00; 75 % chance of being inside, leans low",
        "tighten on to well inside 4–6 N·m and record it",
    ),
    (
        "ready tandem",
        "clamp-narrow",
        "too close",
        "5.1 N·m against 5.0–5.2 N·m (marking on the part), 2026-06-10 12:00; the range is narrower than this \
         wrench can settle",
        "slacken it fully and do it again with a finer wrench (`evenclamp wrench pick BIKE/JOINT` names one): tighten it to well \
         inside 5.0–5.2 N·m and record it",
    ),
    (
        "ready tandem",
        "held-high",
        "too close",
        "held at 8.00 N·m, above the upper limit of 4–6 N·m",
        "slacken it fully, then tighten it anew to well inside 4–6 N·m and record it",
    ),
    (
        "ready tandem",
        "held-low",
        "never checked",
        "held at 3.00 N·m, which does not reach the lower limit of 4–6 N·m",
        "set the wrench to the lower limit of 4–6 N·m and check again",
    ),
    (
        "ready courier",
        "stem-steerer",
        "moved",
        "bolt 2: it turned at 4.20 N·m when it was checked",
        "look for missing locking, a stretched thread or a crack, then tighten it anew to well inside 5–6 N·m and \
         record it",
    ),
    (
        "record errand/crank-left --kind moved",
        "crank-left",
        "moved",
        "bolt 1: it turned when it was checked",
        "look for missing locking, a stretched thread or a crack, then tighten it anew to well inside 12.0–14.9 N·m \
         and record it",
    ),
    (
        "ready courier",
        "cassette",
        "moved",
        "loosened and not tightened since",
        "look for missing locking, a stretched thread or a crack, then tighten it anew to well inside 35–45 N·m and \
         record it",
    ),
    (
        "ready courier",
        "crank-left",
        "losing",
        "bolt 1: 4 re-checks fell from 12.0 N·m to 6.00 N·m (chance of that by luck 4 %)",
        "it loses torque: look for cracks, clean, lock anew or renew, tighten, record --action re-locked",
    ),
    (
        "ready courier",
        "frame",
        "fault",
        "found cracked",
        "do not ride; hand it to a qualified mechanic; record the new part with --action replaced",
    ),
    (
        "record errand/headset --finding seized",
        "headset",
        "fault",
        "found seized",
        "do not ride; hand it to a qualified mechanic; record the new part with --action replaced",
    ),
    (
        "record errand/headset --finding worn",
        "headset",
        "fault",
        "found worn",
        "replace it and record that with --action replaced",
    ),
    (
        "ready courier",
        "loose",
        "fault",
        "found loose",
        "find the cause, put it right, tighten it anew and record that",
    ),
    (
        "ready courier",
        "pads-front",
        "low",
        "2.1 mm against min 2.5 mm (Magura MT, magura-mt)",
        "put it right or replace it, and measure again",
    ),
    (
        "record errand/chain 0.9",
        "chain",
        "high",
        "0.9 % against max 0.8 % (SRAM flat-top chain, 12 speeds, with the maker's own gauge, citycyclingtips-chain)",
        "put it right or replace it, and measure again",
    ),
    (
        "ready tandem",
        "pads",
        "no value",
        "2.7 mm, 2026-06-10 12:00; makers differ: min 2.5 mm (Magura MT, magura-mt), min 3.0 mm (SRAM, bikeco-wear)",
        "ask for the part's own figure and note it with `evenclamp bike joint edit tandem pads --marking …`",
    ),
    (
        "ready tandem",
        "unnamed",
        "no value",
        "general-m7: no value for this hardware counts",
        "read the marking on the part or ask its maker, and note it with `evenclamp bike joint edit tandem unnamed \
         --marking …`; given 18.1–20.3 N·m (1 source, no maker's figure for just this hardware): expect about that on \
         the part, do not set it",
    ),
    (
        "ready tandem",
        "by-hand",
        "never checked",
        "tightened by hand, no torque was read",
        "tighten to 4.0–6.0 N·m and record it; thin: on the word of Wayscral (Norauto group) alone, year not stated, \
         for: any other M5 screw or nut of the bicycle",
    ),
    (
        "ready tandem",
        "apart",
        "never checked",
        "nothing is recorded",
        "fit parts that belong together, or ask their makers which figure counts",
    ),
    ("ready tandem", "wheels", "never checked", "nothing is recorded for bolt 2", CHECK_BY_HAND),
    ("ready bare", "wheel", "never checked", "nothing is recorded", CHECK_BY_HAND),
    (
        "ready bare",
        "leaf",
        "never checked",
        "nothing is recorded",
        "tighten to min 12 N·m or a little more and record it; thin: on the word of Spot Bikes alone, year not stated, \
         for: nine T30 screws of a leaf-spring flexure, lower limit",
    ),
    (
        "ready bare",
        "pads",
        "never checked",
        "nothing is recorded",
        "measure friction layer and carrier together and record it",
    ),
    ("ready tandem", "lapsed", "wrench in doubt", "5 N·m against 4–6 N·m", DO_IT_AGAIN),
    (
        "visit errand --anew --wrench small < answers2.txt",
        "bar-clamp",
        "wrench in doubt",
        "44 N·m against 17.0–20.3 N·m",
        "slacken it fully and do it again with a wrench to be believed (`evenclamp wrench pick BIKE/JOINT` names one): tighten it \
         to well inside 17.0–20.3 N·m and record it; \
         thin: on the word of Trek Bicycle Corporation alone, year not stated, for: old forged stem with one large bolt",
    ),
    ("ready tandem", "scale-low", "wrench in doubt", "5 N·m against 4–6 N·m", DO_IT_AGAIN),
    (
        "record tandem/apart --kind held 4.5 N·m --wrench lapsed",
        "apart",
        "wrench in doubt",
        "held at 4.5 N·m, 2026-06-20 10:00; the calibration lapsed after 2026-04-30: calibrating the wrench settles \
         it",
        "check it again with a wrench to be believed (`evenclamp wrench pick BIKE/JOINT` names one)",
    ),
    (
        "ready aged",
        "bar-clamp",
        "due",
        "778 days, 180 are allowed (last checked 2024-05-03 09:00)",
        "check that it holds at the lower limit of 17.0–20.3 N·m, or tighten to 17.0–20.3 N·m and record it; \
         thin: on the word of Trek Bicycle Corporation alone, year not stated, for: old forged stem with one large bolt",
    ),
    (
        "ready rain",
        "headset",
        "due",
        "crash on 2026-06-15 18:00 since (last checked 2026-06-10 10:00)",
        "check it again and record it",
    ),
    (
        "ready errand",
        "headset",
        "due",
        "built or rebuilt 2026-06-11 12:00 since (last checked 2026-06-10 10:00)",
        "check it again and record it",
    ),
    (
        "ready errand",
        "headset",
        "due",
        "the first check after building on 2026-06-05 12:00 is due (last checked 2026-06-10 10:00)",
        "check it again and record it",
    ),
    (
        "ready bare",
        "leaf",
        "due",
        "101 h ridden, 100 are allowed (last checked 2026-06-19 10:00)",
        "check that it holds at the lower limit of min 12 N·m, or tighten to min 12 N·m or a little more and record \
         it; thin: on the word of Spot Bikes alone, year not stated, for: nine T30 screws of a leaf-spring flexure, \
         lower limit",
    ),
];

#[test]
fn every_open_joint_says_why_and_what_to_do_next() {
    let answers = answers::json();
    for (line, joint, verdict, reason, next) in OPEN_JOINTS {
        // One command line may stand in several cases, after different events.
        let of_line = answers.iter().filter(|(asked, _)| asked == line).map(|(_, answer)| answer);
        let said: Vec<[&str; 3]> = of_line.flat_map(|answer| said_of(answer, joint)).collect();
        let fits =
            |[state, why, then]: &[&str; 3]| state == verdict && why.starts_with(reason) && then == next;
        assert!(said.iter().any(fits), "{line}: {joint}: {verdict}: {reason}: {next}\n{said:#?}");
    }
}

/// Verdict, reason and next step of an open joint, in an answer of `ready` or `record`.
fn said_of<'a>(answer: &'a Value, joint: &str) -> Vec<[&'a str; 3]> {
    let deciding = answer["deciding"].as_array().map_or(std::slice::from_ref(answer), Vec::as_slice);
    let of_joint = deciding.iter().filter(|open| open["joint"] == joint);
    of_joint.map(|open| ["verdict", "reason", "next"].map(|key| open[key].as_str().unwrap())).collect()
}

/// Every joint that decides has advice, and no sound one has any.
#[test]
fn a_sound_joint_needs_nothing_and_an_open_one_something() {
    for (line, answer) in answers::json() {
        for open in answer["deciding"].as_array().into_iter().flatten() {
            assert_ne!(open["next"], "", "{line}: {open}");
        }
        if line.starts_with("record ") && answer["recorded"].is_array() {
            assert_eq!(answer["verdict"] == "sound", answer["next"] == "", "{line}: {answer}");
        }
    }
}
