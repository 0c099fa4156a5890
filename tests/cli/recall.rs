//! Looking back over the log: by wrench, entry, person, bicycle, joint and period, and what a failed calibration casts
//! doubt on. The workshop is invented.

use serde_json::Value;

use crate::bench::Bench;

fn on(day: &str) -> String {
    format!("{day}T10:00:00+02:00")
}

const TODAY: &str = "2026-06-30T10:00:00+02:00";

/// Three bicycles, one of them retired; a joint that was taken off, one that was done again with another wrench, a
/// reading that was corrected and one that was struck. All but those of `big` were read with `small`.
fn shop() -> Bench {
    let bench = Bench::new();
    // A figure stands behind the words that are parted by blanks.
    let done = |words: &str, figure: &str| {
        bench.done(&on("2026-05-02"), &words.split(' ').chain([figure]).collect::<Vec<_>>());
    };
    for bike in ["hire-1", "hire-2", "gone"] {
        done(&format!("bike add {bike} --kind"), "hardtail");
        done(&format!("bike joint edit {bike} seat-collar --marking"), "4-6 N·m");
        done(&format!("bike joint add {bike} rack --entry general-m5 --critical no --marking"), "4-6 N·m");
    }
    done("bike joint add hire-1 plate --entry stem-bar-clamp-forged --bolts 4 --marking", "4-6 N·m");
    for (name, scale) in [("small", "2-10 N·m"), ("big", "4-20 N·m")] {
        done(&format!("wrench add {name} --type click --step 0.1 --calibrated 2026-05-01 --scale"), scale);
    }
    read(&bench);
    bench.done(&on("2026-06-11"), &["bike", "joint", "remove", "hire-2", "rack"]);
    bench.done(&on("2026-06-12"), &["bike", "retire", "gone"]);
    bench
}

fn read(bench: &Bench) {
    let record = |day: &str, words: &[&str]| bench.done(&on(day), &[&["record"], words].concat());
    let small = ["--wrench", "small"];
    record("2026-04-20", &[&["hire-1/rack", "5 N·m"][..], &small].concat());
    record("2026-06-01", &[&["hire-1/seat-collar", "5 N·m", "--who", "Kim"][..], &small].concat());
    record(
        "2026-06-02",
        &[&["hire-1/plate", "5", "5.1", "5.2", "5.3", "N·m", "--who", "Ada"][..], &small].concat(),
    );
    record("2026-06-03", &[&["hire-2/seat-collar", "5 N·m"][..], &small].concat());
    record("2026-06-04", &["hire-2/seat-collar", "5 N·m", "--wrench", "big"]);
    record("2026-06-05", &[&["hire-2/rack", "5 N·m"][..], &small].concat());
    record("2026-06-06", &[&["gone/seat-collar", "5 N·m"][..], &small].concat());
    record("2026-06-07", &[&["hire-1/rack", "5.5 N·m"][..], &small].concat());
    record("2026-06-08", &["hire-1/rack", "5.6 N·m", "--corrects", "11"]);
    record("2026-06-09", &[&["hire-1/rack", "9 N·m"][..], &small].concat());
    record("2026-06-10", &["--strike", "13", "--note", "was another bicycle"]);
}

/// Readings as bicycle/joint#bolt with their value and where they stand.
fn told(readings: &Value) -> Vec<String> {
    let row = |row: &Value| {
        let text = |key: &str| row[key].as_str().unwrap_or("–").to_owned();
        let mut said = format!("{}/{}#{} {}", text("bike"), text("joint"), row["bolt"], text("value"));
        said += &format!(", {}", text("verdict"));
        said += if row["taken_off"] == true { ", taken off" } else { "" };
        said += if row["bike_retired_at"].is_null() { "" } else { ", retired" };
        said
    };
    readings.as_array().unwrap().iter().map(row).collect()
}

/// What was read with `small` since its good calibration, whatever became of the joint.
const DOUBTED: [&str; 9] = [
    "gone/seat-collar#1 5 N·m, wrench in doubt, retired",
    "hire-1/seat-collar#1 5 N·m, wrench in doubt",
    "hire-1/rack#1 5.6 N·m, wrench in doubt",
    "hire-1/plate#1 5 N·m, wrench in doubt",
    "hire-1/plate#2 5.1 N·m, wrench in doubt",
    "hire-1/plate#3 5.2 N·m, wrench in doubt",
    "hire-1/plate#4 5.3 N·m, wrench in doubt",
    "hire-2/seat-collar#1 5 N·m, sound",
    "hire-2/rack#1 5 N·m, –, taken off",
];

const FAILED: [&str; 6] = ["wrench", "calibrated", "small", "--on", "2026-06-20", "--failed"];

/// ISO 9001:2015, 7.1.5.2: when measuring equipment is found unfit, the validity of previous results is to be looked into.
#[test]
fn a_failed_calibration_lists_every_reading_that_it_casts_doubt_on() {
    let bench = shop();
    let (status, failed) = bench.json_at(TODAY, &FAILED);
    assert_eq!((status, told(&failed["doubted"])), (0, DOUBTED.map(str::to_owned).to_vec()));
    let used: Vec<&Value> = failed["used_for"].as_array().unwrap().iter().collect();
    assert_eq!(used.iter().map(|used| used["readings"].as_u64().unwrap()).sum::<u64>(), 10);
    assert_eq!(
        (&used[2]["joint"], &used[2]["readings"], &used[2]["in_doubt"]),
        (&"rack".into(), &2.into(), &1.into())
    );
}

/// What a bicycle was when it was retired is told of every one, be there several.
#[test]
fn the_joints_of_retired_bicycles_have_their_verdicts() {
    let bench = shop();
    bench.done(&on("2026-06-12"), &["bike", "retire", "hire-2"]);
    let (_, asked) = bench.json_at(TODAY, &["history", "--joint", "seat-collar"]);
    let told = told(&asked["readings"]);
    for bike in ["gone", "hire-2"] {
        let sound = format!("{bike}/seat-collar#1 5 N·m, sound, retired");
        assert!(told.contains(&sound), "{told:?}");
    }
}

#[test]
fn what_is_in_doubt_is_told_again_whenever_asked_and_in_every_format() {
    let bench = shop();
    bench.done(TODAY, &FAILED);
    let (_, shown) = bench.json_at(TODAY, &["wrench", "show", "small"]);
    assert_eq!(told(&shown["doubted"]), DOUBTED);
    let (_, asked) = bench.json_at(TODAY, &["history", "--wrench", "small", "--doubt"]);
    assert_eq!(
        (told(&asked["readings"]), &asked["in_doubt"]),
        (DOUBTED.map(str::to_owned).to_vec(), &9.into())
    );
    for words in [&["wrench", "show", "small"][..], &["history", "--wrench", "small", "--doubt"]] {
        let csv = bench.at(TODAY, &[words, &["--format", "csv"]].concat()).out;
        assert_eq!(
            csv.lines()
                .filter(|line| line.contains("failed its calibration on 2026-06-20, readings"))
                .count(),
            9,
            "{csv}"
        );
        let text = bench.at(TODAY, words).out;
        assert!(
            text.contains("gone/seat-collar: today wrench in doubt, its bicycle retired on 2026-06-12"),
            "{text}"
        );
        assert!(text.contains("hire-2/rack: taken off"), "{text}");
        assert_eq!(text.lines().filter(|line| line.contains("in doubt (1)")).count(), 9, "{text}");
    }
    let (_, big) = bench.json_at(TODAY, &["wrench", "show", "big"]);
    assert_eq!((told(&big["doubted"]).len(), &big["used_for"][0]["readings"]), (0, &1.into()));
}

/// The day of a calibration counts after it: what was read on the day of a failed one is in doubt by it, and of two each
/// tells its own.
#[test]
fn each_failed_calibration_lists_what_was_read_up_to_it_and_from_its_day_on() {
    let bench = shop();
    let third =
        ["wrench", "add", "third", "--type", "click", "--scale", "2-10 N·m", "--calibrated", "2026-05-01"];
    bench.done(TODAY, &third);
    for day in ["2026-06-09", "2026-06-10", "2026-06-12", "2026-06-16"] {
        bench.done(TODAY, &["record", "hire-1/seat-collar", "5 N·m", "--wrench", "third", "--at", &on(day)]);
    }
    let calibrated = |day: &str, result: &[&str]| {
        let words = [&["wrench", "calibrated", "third", "--on", day], result].concat();
        let (_, said) = bench.json_at(TODAY, &words);
        let days = said["doubted"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| row["taken_at"].as_str().unwrap()[..10].to_owned());
        days.collect::<Vec<_>>()
    };
    assert_eq!(
        calibrated("2026-06-10", &["--failed"]),
        ["2026-06-09", "2026-06-10", "2026-06-12", "2026-06-16"]
    );
    calibrated("2026-06-15", &[]);
    assert_eq!(calibrated("2026-06-20", &["--failed"]), ["2026-06-16"]);
    let (_, shown) = bench.json_at(TODAY, &["wrench", "show", "third"]);
    assert_eq!(shown["doubted"].as_array().unwrap().len(), 4);
}

/// A wrench in doubt for another reason (ISO 6789-1: a calibration stands for 12 months) is found as well.
#[test]
fn a_lapsed_calibration_casts_doubt_on_what_was_read_after_it() {
    let bench = shop();
    bench.done("2027-05-03T10:00:00+02:00", &["record", "hire-2/seat-collar", "5 N·m", "--wrench", "big"]);
    let (_, asked) = bench.json_at("2027-05-03T11:00:00+02:00", &["history", "--doubt"]);
    assert_eq!(told(&asked["readings"]), ["hire-2/seat-collar#1 5 N·m, wrench in doubt"]);
    assert!(asked["readings"][0]["doubts"][0].as_str().unwrap().contains("lapsed after 2027-05-01"));
}

#[test]
fn what_is_asked_for_may_be_combined() {
    let bench = shop();
    bench.done(TODAY, &FAILED);
    let found = |words: &[&str]| {
        let (status, asked) = bench.json_at(TODAY, &[&["history"], words].concat());
        let numbers = asked["readings"].as_array().unwrap().iter().map(|row| row["id"].as_i64().unwrap());
        (status, numbers.collect::<Vec<_>>())
    };
    for (words, numbers) in [
        (&["--by", "ada"][..], &[3, 4, 5, 6][..]),
        (&["--person", "Kim"], &[2]),
        (&["--entry", "general-m5", "--since", "2026-06-05"], &[12, 9]),
        (&["--wrench", "small", "--until", "2026-06-01"], &[2, 1]),
        (&["--wrench", "small", "--since", "2026-06-01", "--until", "2026-06-01"], &[2]),
        (&["--bike", "gone"], &[10]),
        (&["gone"], &[10]),
        (&["--joint", "rack", "--wrench", "small"], &[1, 12, 9]),
        (&["hire-1/rack", "--doubt"], &[12]),
        (&["hire-1/plate#3", "--by", "Ada"], &[5]),
        (&["hire-2/rack"], &[9]),
        (&["gone/seat-collar"], &[10]),
        (&["--bike", "hire-2", "--joint", "seat-collar", "--wrench", "big"], &[8]),
    ] {
        assert_eq!(found(words), (0, numbers.to_vec()), "{words:?}");
    }
    assert_eq!(found(&["--by", "Kim", "--wrench", "big"]), (1, vec![]), "nothing is found");
}

#[test]
fn a_name_that_is_not_known_is_answered_with_the_nearest() {
    let bench = shop();
    for (words, near) in [
        (["--wrench", "smal"], "nearest: small"),
        (["--by", "Adda"], "nearest: Ada"),
        (["--entry", "genral-m5"], "nearest: general-m5"),
        (["--bike", "hire-3"], "nearest: hire-1, hire-2"),
        (["--bike", "hire"], "it may be hire-1, hire-2"),
        (["--joint", "seatcollar"], "nearest: seat-collar"),
        (["--since", "June"], "2026-05-31"),
    ] {
        let said = bench.at(TODAY, &["history", words[0], words[1]]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{words:?}");
        assert!(said.err.contains(near), "{words:?}: {}", said.err);
    }
    assert_eq!(bench.at(TODAY, &["history"]).status, 2);
    assert_eq!(bench.at(TODAY, &["history", "hire-1/plate", "--by", "Ada", "--svg", "x.svg"]).status, 2);
}

#[test]
fn what_was_corrected_or_struck_is_shown_only_where_all_is_asked_for_and_marked() {
    let bench = shop();
    let said = bench.at(TODAY, &["history", "hire-1/rack"]).out;
    assert!(said.contains("Not shown: 3 lines corrected or struck; --all shows them"), "{said}");
    let numbers = |words: &[&str]| {
        let (_, asked) = bench.json_at(TODAY, words);
        let rows = asked["readings"].as_array().unwrap().clone();
        (
            rows.iter().map(|row| row["id"].as_i64().unwrap()).collect::<Vec<_>>(),
            asked["not_shown"]["taken_back"].clone(),
        )
    };
    assert_eq!(numbers(&["history", "hire-1/rack"]), (vec![1, 12], 3.into()));
    assert_eq!(numbers(&["history", "hire-1/rack", "--all"]), (vec![1, 11, 12, 13, 14], 0.into()));
    assert_eq!(numbers(&["history", "--wrench", "small", "--joint", "rack"]), (vec![1, 12, 9], 2.into()));
    let said = bench.at(TODAY, &["history", "--joint", "rack", "--all"]).out;
    for marked in ["corrected by 12", "corrects 11", "struck by 14", "strikes 13"] {
        assert!(said.contains(marked), "{marked}: {said}");
    }
}

#[test]
fn the_newest_twenty_readings_of_each_bolt_are_shown_and_all_the_rest_where_asked_for() {
    let bench = shop();
    let mut log = "taken_at,bike,joint,bolt,value,unit,kind,wrench\n".to_owned();
    for hour in 0..24 {
        for bolt in 1..3 {
            log += &format!(
                "2026-06-15T{hour:02}:00:00+02:00,hire-1,plate,{bolt},5.{},N·m,back-to-mark,big\n",
                hour % 10
            );
        }
    }
    std::fs::write(bench.path("log.csv"), log).unwrap();
    bench.done(TODAY, &["record", "--from", "log.csv"]);
    for words in [&["history", "hire-1/plate"][..], &["history", "--bike", "hire-1", "--joint", "plate"]] {
        let (_, some) = bench.json_at(TODAY, words);
        let rows = some["readings"].as_array().unwrap();
        let of = |bolt: u64| rows.iter().filter(|row| row["bolt"] == bolt).count();
        assert_eq!([1, 2, 3, 4].map(of), [20, 20, 1, 1], "{words:?}");
        assert_eq!(some["not_shown"]["older"], 10, "{words:?}");
        assert!(rows.iter().all(|row| row["taken_at"].as_str() > Some("2026-06-15T04") || row["bolt"] != 1));
        assert!(bench.at(TODAY, words).out.contains("Not shown: 10 older readings; --all shows them"));
        let (_, all) = bench.json_at(TODAY, &[words, &["--all"]].concat());
        assert_eq!((all["readings"].as_array().unwrap().len(), &all["not_shown"]["older"]), (52, &0.into()));
    }
    // What is in doubt is told whole, beside a wrench as far as a screen goes.
    bench.done(TODAY, &["wrench", "calibrated", "big", "--on", "2026-06-25", "--failed"]);
    let (_, doubted) = bench.json_at(TODAY, &["history", "--wrench", "big", "--doubt"]);
    assert_eq!(doubted["readings"].as_array().unwrap().len(), 49);
    let shown = bench.at(TODAY, &["wrench", "show", "big"]).out;
    assert!(shown.contains("and 29 more: `evenclamp history --wrench big --doubt`"), "{shown}");
}

/// What was read of a joint before it was taken off is no evidence of one that is called the same today.
#[test]
fn a_joint_that_was_taken_off_stands_nowhere_though_another_has_its_name() {
    let bench = shop();
    let add = ["bike", "joint", "add", "hire-2", "rack", "--entry", "general-m5", "--marking", "4-6 N·m"];
    bench.done(&on("2026-06-12"), &add);
    bench.done(&on("2026-06-13"), &["record", "hire-2/rack", "5.1 N·m", "--wrench", "big"]);
    let (_, found) = bench.json_at(TODAY, &["history", "--bike", "hire-2", "--joint", "rack"]);
    let told = told(&found["readings"]);
    assert_eq!(told, ["hire-2/rack#1 5 N·m, –, taken off", "hire-2/rack#1 5.1 N·m, sound"]);
}

#[test]
fn a_failed_calibration_lists_what_it_casts_doubt_on_and_not_what_an_earlier_one_does() {
    let bench = shop();
    bench.done(TODAY, &FAILED);
    bench.done("2026-06-21T10:00:00+02:00", &["wrench", "calibrated", "small"]);
    bench.done("2026-06-22T10:00:00+02:00", &["record", "hire-1/rack", "5.2 N·m", "--wrench", "small"]);
    let then = "2026-06-25T10:00:00+02:00";
    let (_, failed) = bench.json_at(then, &["wrench", "calibrated", "small", "--failed"]);
    assert_eq!(told(&failed["doubted"]), ["hire-1/rack#1 5.2 N·m, wrench in doubt"]);
    let (_, shown) = bench.json_at(then, &["wrench", "show", "small"]);
    assert_eq!(told(&shown["doubted"]).len(), DOUBTED.len() + 1);
}

#[test]
fn a_period_that_ends_before_it_begins_is_refused() {
    let asked = shop().at(TODAY, &["history", "--since", "2026-06-09", "--until", "2026-06-01"]);
    assert!(asked.status == 2 && asked.err.contains("--since 2026-06-09 is after --until"), "{}", asked.err);
}
