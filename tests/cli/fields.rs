//! Every field that can be typed is kept: set by one command, read back by another from the export.

use std::collections::BTreeMap;

use crate::bench::Bench;

const NOW: &str = "2026-06-20T10:00:00+02:00";

type Record = BTreeMap<String, String>;

/// The only record of a sheet that a command line gives, which is written anew each time.
fn kept(bench: &Bench, sheet: &str, key: (&str, &str)) -> Record {
    let folder = bench.path("out");
    let _ = std::fs::remove_dir_all(&folder);
    let said = bench.at(NOW, &["export", "out"]);
    assert_eq!(said.status, 0, "{}", said.err);
    let mut reader = csv::Reader::from_path(folder.join(sheet)).unwrap();
    let records: Vec<Record> = reader.deserialize().map(Result::unwrap).collect();
    let mut found: Vec<Record> = records.into_iter().filter(|record| record[key.0] == key.1).collect();
    assert_eq!(found.len(), 1, "{sheet} {key:?}: {found:?}");
    found.remove(0)
}

/// Asserts that a command changes these columns and no other.
fn assert_changes(bench: &Bench, sheet: &str, key: (&str, &str), words: &[&str], changes: &[(&str, &str)]) {
    let mut expected = kept(bench, sheet, key);
    let said = bench.at(NOW, words);
    assert_eq!(said.status, 0, "{words:?}: {}", said.err);
    for (column, value) in changes {
        let before = expected.insert((*column).to_owned(), (*value).to_owned());
        assert_ne!(before.as_deref(), Some(*value), "{column} changes");
    }
    let (column, name) = key;
    let renamed = changes.iter().find(|(changed, _)| *changed == column).map_or(name, |(_, name)| name);
    assert_eq!(kept(bench, sheet, (column, renamed)), expected, "{words:?}");
}

fn errand() -> Bench {
    let bench = Bench::new();
    assert_eq!(bench.at(NOW, &["bike", "add", "errand", "--kind", "city"]).status, 0);
    bench
}

#[test]
fn every_field_of_a_bicycle_is_kept() {
    let bench = errand();
    for (option, value, column) in [
        ("--frame", "F-17", "frame"),
        ("--owner", "the club", "owner"),
        ("--note", "blue, \"old\"", "note"),
        ("--name", "errand-2", "bike"),
    ] {
        let words = ["bike", "edit", "errand", option, value];
        assert_changes(&bench, "bicycles.csv", ("bike", "errand"), &words, &[(column, value)]);
    }
    let key = ("bike", "errand-2");
    let retire = ["bike", "retire", "errand-2"];
    assert_changes(&bench, "bicycles.csv", key, &retire, &[("retired_at", NOW)]);
    let back = ["bike", "edit", "errand-2", "--in-use"];
    assert_changes(&bench, "bicycles.csv", key, &back, &[("retired_at", "")]);

    let add = ["bike", "add", "new", "--kind", "road-rim", "--frame", "F", "--owner", "O", "--note", "N"];
    assert_eq!(bench.at(NOW, &add).status, 0);
    let new = kept(&bench, "bicycles.csv", ("bike", "new"));
    let columns = ["kind", "frame", "owner", "note", "added_at", "retired_at"];
    assert_eq!(columns.map(|column| new[column].as_str()), ["road-rim", "F", "O", "N", NOW, ""]);
}

/// Options with a value, and the columns that they fill with theirs.
type Kept = (&'static [&'static str], &'static [(&'static str, &'static str)]);

/// Options of a joint with a value and the columns that they fill.
const JOINT_FIELDS: &[Kept] = &[
    (&["--place", "rear triangle, left"], &[("place", "rear triangle, left")]),
    (&["--bolts", "3"], &[("bolts", "3")]),
    (&["--critical", "no", "--why", "of no use here"], &[("critical", "false")]),
    (&["--hand", "left"], &[("hand", "left")]),
    (&["--entry", "general-m6"], &[("entry", "general-m6")]),
    // Before the figures, which a check by hand does not take.
    (&["--check", "function"], &[("check", "function")]),
    (&["--check", "torque"], &[("check", "torque")]),
    (&["--marking", "stem: max 6 N·m"], &[("marking_part", "stem"), ("marking", "max 6 N·m")]),
    (
        &["--marking", "4-5 N·m", "--marking", "bar: max 5 N·m"],
        &[
            ("marking_part", ""),
            ("marking", "4-5 N·m"),
            ("second_marking_part", "bar"),
            ("second_marking", "max 5 N·m"),
        ],
    ),
    (&["--part-maker", "4 N·m"], &[("part_maker", "4 N·m")]),
    (&["--bike-maker", "4-5 N·m"], &[("bicycle_maker", "4-5 N·m")]),
    (&["--shop", "4.5 N·m"], &[("shop", "4.5 N·m")]),
    (&["--thread", "M6"], &[("thread", "M6")]),
    (&["--grade", "8.8"], &[("grade", "8.8")]),
    (&["--condition", "greased"], &[("condition", "greased")]),
    (&["--photo", "a b.jpg"], &[("photo", "a b.jpg")]),
    (&["--name", "clamp"], &[("joint", "clamp")]),
];

#[test]
fn every_field_of_a_joint_is_kept_by_an_edit_which_changes_no_other() {
    let bench = errand();
    for (options, changes) in JOINT_FIELDS {
        let words = [&["bike", "joint", "edit", "errand", "bar-clamp"], *options].concat();
        // What is so already would prove nothing.
        let before = kept(&bench, "joints.csv", ("joint", "bar-clamp"));
        let changed: Vec<_> =
            changes.iter().copied().filter(|(column, value)| before[*column] != *value).collect();
        assert!(!changed.is_empty(), "{options:?}");
        assert_changes(&bench, "joints.csv", ("joint", "bar-clamp"), &words, &changed);
    }
    let removed = kept(&bench, "joints.csv", ("joint", "clamp"));
    for option in ["--marking", "--part-maker", "--bike-maker", "--shop"] {
        let words = ["bike", "joint", "edit", "errand", "clamp", option, ""];
        assert_eq!(bench.at(NOW, &words).status, 0, "{option}");
    }
    let bare = kept(&bench, "joints.csv", ("joint", "clamp"));
    for (column, value) in &removed {
        let emptied = column.contains("marking") || column.ends_with("_maker") || column == "shop";
        assert_eq!(&bare[column], if emptied { "" } else { value }, "{column}");
    }
}

#[test]
fn every_field_of_a_new_joint_is_kept() {
    for (options, changes) in JOINT_FIELDS {
        let bench = errand();
        let name = if options[0] == "--name" { options[1] } else { "new" };
        let entry: &[&str] = if options[0] == "--entry" { &[] } else { &["--entry", "general-m5"] };
        let words = [&["bike", "joint", "add", "errand", "new"], entry, *options].concat();
        let said = bench.at(NOW, &words);
        assert_eq!(said.status, 0, "{words:?}: {}", said.err);
        let new = kept(&bench, "joints.csv", ("joint", name));
        for (column, value) in *changes {
            assert_eq!(new[*column], *value, "{words:?}: {column}");
        }
    }
}

/// Options of a wrench with a value and the columns that they fill.
const WRENCH_FIELDS: &[Kept] = &[
    (&["--type", "beam"], &[("kind", "beam")]),
    (&["--scale", "4-20 N·m"], &[("low_nm", "4.0"), ("high_nm", "20.0"), ("unit", "N·m")]),
    (&["--step", "0.2"], &[("step_nm", "0.2")]),
    (&["--class", "IIB"], &[("class", "II B")]),
    (&["--accuracy", "3%"], &[("percent", "3.0"), ("coverage", "")]),
    (&["--certificate", "1.5%"], &[("percent", "1.5"), ("coverage", "2.0")]),
    (&["--certificate", "1.5%", "--coverage", "3"], &[("percent", "1.5"), ("coverage", "3.0")]),
    (&["--anticlockwise"], &[("anticlockwise", "true")]),
    (&["--usable", "3-9 N·m"], &[("usable_low_nm", "3.0"), ("usable_high_nm", "9.0")]),
    (&["--owner", "Ada"], &[("owner", "Ada")]),
    (&["--lever", "180mm"], &[("lever_mm", "180.0")]),
    (&["--adapter", "40mm", "--adapter", "65mm"], &[("adapters_mm", "40;65")]),
    (&["--calibrated", "2026-05-04"], &[("calibrations", "2026-05-04 passed")]),
    (&["--months", "6"], &[("interval_months", "6")]),
    (&["--cycles", "2000"], &[("interval_cycles", "2000")]),
];

#[test]
fn every_field_of_a_wrench_is_kept() {
    let bench = Bench::new();
    for (index, (options, columns)) in WRENCH_FIELDS.iter().enumerate() {
        let name = format!("w{index}");
        let usual = [("--type", "click"), ("--scale", "2-10 N·m")];
        let usual = usual.iter().filter(|(option, _)| *option != options[0]);
        let usual: Vec<&str> = usual.flat_map(|(option, value)| [*option, *value]).collect();
        let said = bench.at(NOW, &[&["wrench", "add", &name], &usual[..], *options].concat());
        assert_eq!(said.status, 0, "{options:?}: {}", said.err);
        let wrench = kept(&bench, "wrenches.csv", ("wrench", &name));
        for (column, value) in *columns {
            assert_eq!(wrench[*column], *value, "{options:?}: {column}");
        }
        // The other options of this table leave no trace.
        for (others, columns) in WRENCH_FIELDS.iter().filter(|(others, _)| others[0] != options[0]) {
            let given = |column: &str| {
                WRENCH_FIELDS[index].1.iter().any(|(of_this, _)| *of_this == column) || column == "unit"
            };
            for (column, value) in
                columns.iter().filter(|(column, value)| !given(column) && !value.is_empty())
            {
                assert_ne!(wrench[*column], *value, "{options:?} and not {others:?}: {column}");
            }
        }
    }
    let key = ("wrench", "w0");
    for (words, column, value) in [
        (&["wrench", "calibrated", "w0", "--on", "2026-06-01"][..], "calibrations", "2026-06-01 passed"),
        (&["wrench", "calibrated", "w0", "--failed"], "calibrations", "2026-06-01 passed;2026-06-20 failed"),
        (&["wrench", "retire", "w0"], "retired_on", "2026-06-20"),
    ] {
        assert_changes(&bench, "wrenches.csv", key, words, &[(column, value)]);
    }
}

#[test]
fn every_field_of_a_reading_is_kept() {
    let bench = errand();
    let add = ["wrench", "add", "large", "--type", "click", "--scale", "5-25 N·m"];
    bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-04"]].concat());
    let at = "2026-06-19T09:30:00+02:00";
    let words = ["record", "errand/bar-clamp", "18.5 N·m", "--wrench", "large", "--who", "Kim", "--at", at];
    let more = ["--note", "greased, \"twice\"", "--finding", "creaks", "--action", "re-locked"];
    bench.at(NOW, &[&words[..], &more, &["--kind", "back-to-mark"]].concat());
    let read = |id| kept(&bench, "readings.csv", ("id", id));
    let columns = [
        ("taken_at", at),
        ("bike", "errand"),
        ("joint", "bar-clamp"),
        ("bolt", "1"),
        ("value", "18.5"),
        ("unit", "N·m"),
        ("kind", "back-to-mark"),
        ("wrench", "large"),
        ("who", "Kim"),
        ("note", "greased, \"twice\""),
        ("finding", "creaks"),
        ("action", "re-locked"),
        ("corrects", ""),
    ];
    let reading = read("1");
    for (column, value) in columns {
        assert_eq!(reading[column], value, "{column}");
    }
    // A correction stands beside what it corrects; a found value before what was set, on its bolt.
    bench.at(NOW, &["record", "errand/bar-clamp", "17.5 N·m", "--corrects", "1"]);
    assert_eq!([&read("2")["corrects"], &read("2")["value"], &read("1")["value"]], ["1", "17.5", "18.5"]);
    let found = ["--found=- 9 N·m", "--found-kind", "loosening"];
    bench.at(NOW, &[&["record", "errand/rack-front", "4", "4.1", "N·m"], &found[..]].concat());
    let three = ["3", "4", "5"].map(|id| {
        let reading = read(id);
        ["bolt", "value", "kind"].map(|column| reading[column].clone())
    });
    assert_eq!(three, [["2", "9", "loosening"], ["1", "4", "tightened"], ["2", "4.1", "tightened"]]);
}

#[test]
fn every_field_of_an_event_is_kept() {
    let bench = errand();
    let at = "2026-06-19T09:30:00+02:00";
    for (index, (words, event, hours, km, what)) in [
        (&["ride", "errand", "2h30", "--km", "48"][..], "ride", "2.5", "48.0", ""),
        (&["ride", "errand", "--km", "60"], "ride", "", "60.0", ""),
        (&["event", "errand", "crash"], "crash", "", "", ""),
        (&["event", "errand", "wash"], "wash", "", "", ""),
        (&["event", "errand", "transport"], "transport", "", "", ""),
        (&["event", "errand", "rebuild"], "rebuild", "", "", ""),
        (&["event", "errand", "done", "--what", "chain-lubrication"], "done", "", "", "chain-lubrication"),
    ]
    .into_iter()
    .enumerate()
    {
        let note = format!("note {index}");
        let said = bench.at(NOW, &[words, &["--at", at, "--note", &note]].concat());
        assert!(said.status < 2, "{words:?}: {}", said.err);
        let kept = kept(&bench, "events.csv", ("note", &note));
        let columns = ["bike", "event", "at", "hours", "km", "what"];
        assert_eq!(columns.map(|column| kept[column].as_str()), ["errand", event, at, hours, km, what]);
    }
}
