//! Figures of a joint's own: one that cannot be read never gives way to another, in any command.

use rusqlite::Connection;

use crate::bench::{Bench, Said};

const NOW: &str = "2026-06-01T10:00:00+02:00";

/// A bicycle whose bar clamp has a reading and then, in the database, a marking that cannot be read.
fn bench_with_damage() -> Bench {
    let bench = Bench::new();
    let done = |arguments: &[&str]| {
        let said = bench.at(NOW, arguments);
        assert!(said.status != 2, "{arguments:?}: {}", said.err);
    };
    done(&["wrench", "add", "small", "--type", "click", "--scale", "2-14 N·m", "--step", "0.1"]);
    done(&["bike", "add", "loan-7", "--kind", "hardtail"]);
    done(&["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "max 5 N·m"]);
    done(&["record", "loan-7/bar-clamp", "4.5", "4.5", "4.5", "4.5", "N·m", "--wrench", "small"]);
    let changed = Connection::open(bench.database())
        .unwrap()
        .execute("UPDATE marking SET figure = 'max 5 Nn'", [])
        .unwrap();
    assert_eq!(changed, 1);
    bench
}

/// The answer names the figure as it stands there, and gives no other to act on.
fn assert_named(said: &Said, what: &str) {
    let all = format!("{}{}", said.out, said.err);
    assert!(all.contains("Nn"), "{what}: {all}");
}

#[test]
fn a_figure_that_cannot_be_read_leaves_its_joint_without_a_value_everywhere() {
    let bench = bench_with_damage();
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let joint = |list: &serde_json::Value| {
        let found = list.as_array().unwrap().iter().find(|line| line["joint"] == "bar-clamp");
        found.unwrap_or_else(|| panic!("no bar-clamp in {list}")).clone()
    };
    let line = joint(&ready["joints"]);
    assert_eq!(line["verdict"], "no value");
    assert_eq!(line["specified"], "–");
    assert!(line["reason"].as_str().unwrap().contains("max 5 Nn"), "{line}");
    let deciding = joint(&ready["deciding"]);
    assert!(deciding["next"].as_str().unwrap().contains("bike joint edit"), "{deciding}");

    let (_, shown) = bench.json_at(NOW, &["bike", "show", "loan-7"]);
    let line = joint(&shown["joints"]);
    assert_eq!((&line["verdict"], &line["limits"]), (&"no value".into(), &serde_json::Value::Null));

    for (arguments, status) in [
        (&["check", "loan-7/bar-clamp", "4.5 N·m"][..], 3),
        (&["wrench", "pick", "loan-7/bar-clamp"], 1),
        (&["record", "loan-7/bar-clamp", "4.5", "4.5", "4.5", "4.5", "N·m", "--wrench", "small"], 3),
        (&["history", "loan-7/bar-clamp"], 0),
        (&["card", "loan-7"], 0),
        (&["ready", "loan-7", "--whole"], 3),
    ] {
        let said = bench.at(NOW, arguments);
        assert_eq!(said.status, status, "{arguments:?}: {}{}", said.out, said.err);
        if arguments[0] != "card" && arguments[0] != "history" {
            assert_named(&said, &arguments.join(" "));
        }
        let others_speak = matches!(arguments[0], "ready" | "card");
        assert!(others_speak || !said.out.contains("tighten to"), "{arguments:?}: {}", said.out);
    }
}

#[test]
fn a_figure_that_cannot_be_read_decides_nothing_in_a_log_or_a_visit() {
    let bench = bench_with_damage();
    std::fs::write(bench.path("log.csv"), "bike,joint,bolt,value,unit\nloan-7,bar-clamp,1,4.5,N·m\n")
        .unwrap();
    let said = bench.at(NOW, &["audit", "log.csv", "--verdicts", "verdicts.csv"]);
    let verdicts = std::fs::read_to_string(bench.path("verdicts.csv")).unwrap();
    assert!(verdicts.contains("not settled") && verdicts.contains("Nn"), "{verdicts}{}", said.err);
    let skips = "\n".repeat(40);
    let said = bench.piped("2026-06-02T10:00:00+02:00", &["visit", "loan-7", "--who", "Kim"], &skips);
    let asked = said.err.lines().find(|line| line.contains("bar-clamp")).unwrap_or_default();
    assert!(asked.contains("no figure") && asked.contains("Nn"), "{asked}\n{}", said.err);
}

/// What damages one kind of check damages the others: the limit of a measured value too.
#[test]
fn a_limit_of_a_measured_value_that_cannot_be_read_judges_nothing() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let item = "rotor-front-thickness";
    let edit = ["bike", "joint", "edit", "loan-7", item, "--marking", "min 1.5 mm"];
    assert_eq!(bench.at(NOW, &edit).status, 0);
    assert_eq!(bench.at(NOW, &["record", &format!("loan-7/{item}"), "1.8 mm"]).status, 0);
    let connection = Connection::open(bench.database()).unwrap();
    connection.execute("UPDATE marking SET figure = 'min 1.5 parsec'", []).unwrap();
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let line = ready["joints"].as_array().unwrap().iter().find(|line| line["joint"] == item).unwrap();
    assert_eq!(line["verdict"], "no value", "{line}");
    assert!(line["reason"].as_str().unwrap().contains("parsec"), "{line}");
}

#[test]
fn a_figure_without_a_unit_or_of_the_other_kind_is_refused_where_it_is_typed() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let edit = |joint: &str, option: &str, figure: &str| {
        bench.at(NOW, &["bike", "joint", "edit", "loan-7", joint, option, figure])
    };
    for option in ["--marking", "--part-maker", "--bike-maker", "--shop"] {
        for (figure, word) in [("max 5", "no unit"), ("max 5 Nn", "Nn"), ("min 1.5 mm", "mm")] {
            let said = edit("bar-clamp", option, figure);
            assert!(said.status == 2 && said.err.contains(word), "{option} {figure}: {}", said.err);
        }
        assert_eq!(edit("bar-clamp", option, "4-5 N·m").status, 0, "{option}");
        assert_eq!(edit("bar-clamp", option, "").status, 0, "{option}");
    }
    let said = edit("rotor-front-thickness", "--marking", "5 N·m");
    assert_eq!(said.status, 2, "{}", said.out);
}

/// A joint checked in another way has no use for figures of the old kind.
#[test]
fn changing_how_a_joint_is_checked_asks_for_figures_of_that_kind() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "max 5 N·m"]);
    let edit =
        ["bike", "joint", "edit", "loan-7", "bar-clamp", "--check", "measure", "--entry", "rotor-thickness"];
    let said = bench.at(NOW, &edit);
    assert_eq!(said.status, 2, "{}{}", said.out, said.err);
}

#[test]
fn an_import_refuses_a_figure_that_cannot_be_read_and_names_its_place() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "max 5 N·m"]);
    assert_eq!(bench.at(NOW, &["export", "kept"]).status, 0);
    let file = bench.path("kept").join("joints.csv");
    let good = std::fs::read_to_string(&file).unwrap();
    let line = good.lines().position(|line| line.contains("max 5 N·m")).unwrap() + 1;
    for bad in ["max 5", "max 5 Nn", "min 1.5 mm"] {
        std::fs::write(&file, good.replace("max 5 N·m", bad)).unwrap();
        let said = bench.at(NOW, &["import", "kept", "--db", "new.db"]);
        assert_eq!(said.status, 2, "{bad}: {}", said.out);
        assert!(said.err.contains(&format!("joints.csv:{line}:")), "{bad}: {}", said.err);
        let (_, bikes) = bench.json_at(NOW, &["bike", "list", "--db", "new.db"]);
        assert!(!bikes.to_string().contains("loan-7"), "{bikes}");
    }
    std::fs::write(&file, good).unwrap();
    assert_eq!(bench.at(NOW, &["import", "kept", "--db", "new.db"]).status, 0);
}
