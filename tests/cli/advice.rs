//! What to do now: `check`, `record` and `ready` say the same of the same bolt, up to what it is tightened to and what
//! is done with the figure.
//!
//! That an over-tight bolt is slackened before it is tightened anew, since a wrench of the clicking kind clicks at once
//! on one that stands higher, and that a bolt which turned is looked at, is common practice.

use serde_json::Value;

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

#[derive(Clone)]
struct Case {
    entry: &'static str,
    /// The marking, or nothing.
    marking: &'static str,
    /// The second marking or another option of the joint.
    more: &'static [&'static str],
    /// Reading, kind and wrench.
    read: [&'static str; 3],
    /// The verdict of `check` and the state of the joint.
    said: [&'static str; 2],
    /// What to do now, the torque it is tightened to being TO.
    now: &'static str,
    /// The torque that `record` names.
    to: &'static str,
}

const RANGE: Case = Case {
    entry: "stem-bar-clamp-forged",
    marking: "4-6 N·m",
    more: &[],
    read: ["5 N·m", "tightened", "fine"],
    said: ["inside", "sound"],
    now: "",
    to: "to well inside 4–6 N·m",
};
const SLACKEN: &str = "slacken it fully, then tighten it anew TO";
const SLACKEN_AND_LOOK: &str = "slacken it fully, look for marks, cracks, crushed or stretched parts (carbon: hand it over), then tighten it anew TO";
const CAUSE: &str = "look for missing locking, a stretched thread or a crack, then tighten it anew TO";
const BELIEVED: &str = "slacken it fully and do it again with a wrench to be believed (`evenclamp wrench pick BIKE/JOINT` names one): \
     tighten it TO";

fn kind(value: &'static str, kind: &'static str, said: [&'static str; 2], now: &'static str) -> Case {
    Case { read: [value, kind, "fine"], said, now, ..RANGE }
}

fn tightened(value: &'static str, said: [&'static str; 2], now: &'static str) -> Case {
    kind(value, "tightened", said, now)
}

fn by(wrench: &'static str, said: [&'static str; 2], now: &'static str) -> Case {
    Case { read: ["5 N·m", "tightened", wrench], said, now, ..RANGE }
}

fn of_a_range() -> Vec<Case> {
    vec![
        RANGE,
        tightened("3 N·m", ["low", "low"], "finish it: tighten on TO"),
        tightened("9 N·m", ["high", "high"], SLACKEN_AND_LOOK),
        tightened("4.1 N·m", ["too close", "too close"], "tighten on TO"),
        tightened("5.9 N·m", ["too close", "too close"], SLACKEN),
        by("lapsed", ["not settled", "wrench in doubt"], BELIEVED),
        by("big", ["not settled", "wrench in doubt"], BELIEVED),
        Case {
            read: ["5 N·m", "tightened", "one-way"],
            more: &["--hand", "left"],
            ..by("", RANGE.said, BELIEVED)
        }
        .saying(["not settled", "wrench in doubt"]),
        kind("4.5 N·m", "held", ["held", "sound"], ""),
        kind(
            "3 N·m",
            "held",
            ["held", "never checked"],
            "set the wrench to the lower limit of 4–6 N·m and check again",
        ),
        kind("7 N·m", "held", ["held", "too close"], SLACKEN),
        Case { read: ["4.5 N·m", "held", "lapsed"], ..RANGE }.saying(["held", "wrench in doubt"]).advising(
            "check it again with a wrench to be believed (`evenclamp wrench pick BIKE/JOINT` names one)",
        ),
        kind("4.5 N·m", "moved", ["moved", "moved"], CAUSE),
        kind("9 N·m", "loosening", ["loosening", "moved"], CAUSE),
    ]
}

fn of_other_forms() -> Vec<Case> {
    let marked = |marking, read, said, now, to| Case { marking, read, said, now, to, ..RANGE };
    let max = "from below until it holds, max 5 N·m,";
    vec![
        marked(
            "5.0-5.2 N·m",
            ["5.1 N·m", "tightened", "fine"],
            ["not settled", "too close"],
            "slacken it fully and do it again with a finer wrench (`evenclamp wrench pick BIKE/JOINT` names one): tighten it TO",
            "to well inside 5.0–5.2 N·m",
        ),
        marked("5 N·m", ["5.1 N·m", "tightened", "fine"], ["inside", "sound"], "", "to 5 N·m"),
        marked("5 N·m", ["5.4 N·m", "tightened", "fine"], ["too close", "too close"], SLACKEN, "to 5 N·m"),
        marked("5 N·m", ["8 N·m", "tightened", "fine"], ["high", "high"], SLACKEN_AND_LOOK, "to 5 N·m"),
        marked("max 5 N·m", ["4.9 N·m", "tightened", "fine"], ["too close", "too close"], SLACKEN, max),
        marked("max 5 N·m", ["8 N·m", "tightened", "fine"], ["high", "high"], SLACKEN_AND_LOOK, max),
        marked(
            "max 5 N·m",
            ["4 N·m", "held", "fine"],
            ["held", "never checked"],
            "that it holds shows nothing here: tighten it anew TO",
            max,
        ),
        marked("max 5 N·m", ["7 N·m", "held", "fine"], ["held", "too close"], SLACKEN, max),
        marked(
            "min 4 N·m",
            ["3 N·m", "tightened", "fine"],
            ["low", "low"],
            "finish it: tighten on TO",
            "to min 4 N·m or a little more",
        ),
    ]
}

/// What nobody is told to tighten to.
fn of_what_is_held_back() -> Vec<Case> {
    vec![
        Case { entry: "chainring-bolt-steel", marking: "", ..tightened("5 N·m", ["not settled", "no value"], "") }
            .advising("read the marking on the part or ask its maker, and "),
        Case { entry: "rotor-bolt-six", marking: "", ..tightened("4 N·m", ["low", "low"], "") }
            .advising("do not tighten on before you have read the part: others print less"),
        Case {
            marking: "stem: 5-6 N·m",
            more: &["--marking", "bar: max 5 N·m"],
            ..tightened("8 N·m", ["high", "high"], "")
        }
        .advising(
            "slacken it fully, look for marks, cracks, crushed or stretched parts (carbon: hand it over), then fit parts \
             that belong together, or ask their makers which figure counts",
        ),
        Case { marking: "4-6 N·m", more: &["--thread", "M5", "--grade", "A2-50"], ..RANGE }
            .saying(["too much for the bolt"; 2])
            .advising(
                "slacken it now; renew the bolt if it was tightened to that; read the figure and its unit again, or ask \
                 the maker",
            ),
    ]
}

impl Case {
    fn saying(self, said: [&'static str; 2]) -> Case {
        Case { said, ..self }
    }

    fn advising(self, now: &'static str) -> Case {
        Case { now, ..self }
    }
}

fn shop() -> Bench {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    for (name, scale, calibrated, more) in [
        ("fine", "1-10 N·m", "2026-05-01", &["--anticlockwise"][..]),
        ("one-way", "1-10 N·m", "2026-05-01", &[]),
        ("lapsed", "1-10 N·m", "2024-05-01", &["--anticlockwise"][..]),
        ("big", "20-100 N·m", "2026-05-01", &["--anticlockwise"][..]),
    ] {
        let add = ["wrench", "add", name, "--type", "click", "--scale", scale, "--calibrated", calibrated];
        bench.done(NOW, &[&add[..], &["--step", "0.1"], more].concat());
    }
    bench
}

/// The sentence without what is a matter of the command: the torque is TO, and what is recorded is not said.
fn told(answer: &Value, to: &str) -> String {
    let said = answer["next"].as_str().unwrap_or_default();
    let said = said.replace("to the aim", "TO").replace(&format!("{to} and record it"), "TO");
    let said = said.replace(to.trim_end_matches(','), "TO");
    let cut = |said: &str, at: &str| said.find(at).map_or(said.len(), |start| start + at.len());
    said[..cut(&said, "ask its maker, and ").min(cut(&said, "others print less"))].to_owned()
}

#[test]
fn check_and_record_say_the_same_of_the_same_bolt() {
    let bench = shop();
    let cases = [of_a_range(), of_other_forms(), of_what_is_held_back()].concat();
    for (number, case) in cases.iter().enumerate() {
        let (name, path) = (format!("clamp-{number}"), format!("loan-7/clamp-{number}"));
        let add = ["bike", "joint", "add", "loan-7", &name, "--entry", case.entry, "--bolts", "1"];
        let marking = ["--marking", case.marking];
        let marking = if case.marking.is_empty() { &[][..] } else { &marking };
        bench.done(NOW, &[&add[..], marking, case.more].concat());
        let [value, kind, wrench] = case.read;
        let path = path.as_str();
        let read = |command| [command, path, value, "--kind", kind, "--wrench", wrench];
        let (_, check) = bench.json_at(NOW, &read("check"));
        let (_, record) = bench.json_at(NOW, &[&read("record")[..], &["--yes"]].concat());
        let said =
            [&check["verdict"], &record["verdict"]].map(|verdict| verdict.as_str().unwrap_or_default());
        assert_eq!(said, case.said, "{path}: {check} {record}");
        assert_eq!(told(&check, case.to), case.now, "{path}: {check}");
        assert_eq!(told(&record, case.to), case.now, "{path}: {record}");
        let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
        let open = ready["deciding"].as_array().unwrap().iter().find(|open| open["joint"] == *name);
        assert_eq!(
            // Which way to turn stands behind it where a hand would get it wrong.
            open.and_then(|open| open["next"].as_str())
                .map(|next| next.split("; LEFT-HAND").next().unwrap_or(next)),
            record["next"].as_str().filter(|_| !case.now.is_empty()),
            "{path}"
        );
    }
}
