//! Figures of a joint's own: one that cannot be read never gives way to another, in any command.

use rusqlite::Connection;

use crate::bench::{Bench, Said};

const NOW: &str = "2026-06-01T10:00:00+02:00";

/// A bicycle whose bar clamp has a reading and then, in the database, a marking that cannot be read.
fn bench_with_damage() -> Bench {
    let bench = Bench::new();
    let done = |arguments: &[&str]| bench.done(NOW, arguments);
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
        (&["ready", "loan-7", "--all"], 3),
    ] {
        let said = bench.at(NOW, arguments);
        assert_eq!(said.status, status, "{arguments:?}: {}{}", said.out, said.err);
        assert_named(&said, &arguments.join(" "));
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
    let visit = ["visit", "loan-7", "--who", "Kim"];
    let asked = bench.question("2026-06-02T10:00:00+02:00", &visit, "bar-clamp");
    assert!(asked.contains("no figure") && asked.contains("Nn"), "{asked}");
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
    bench.without_journal("kept");
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

/// A bicycle with damaged figures of every sort: markings of a torque, of a measured value and of a joint that is
/// checked by hand, and two figures of a joint whose bolt moved.
fn bench_with_every_damage() -> Bench {
    let bench = Bench::new();
    let done = |arguments: &[&str]| bench.done(NOW, arguments);
    done(&["wrench", "add", "small", "--type", "click", "--scale", "2-14 N·m", "--step", "0.1"]);
    done(&["bike", "add", "loan-7", "--kind", "hardtail"]);
    done(&["bike", "joint", "add", "loan-7", "ring", "--entry", "chainring-bolt-steel"]);
    for (joint, figure) in [("bar-clamp", "max 5 N·m"), ("rotor-front-thickness", "min 1.5 mm")] {
        done(&["bike", "joint", "edit", "loan-7", joint, "--marking", figure]);
    }
    done(&["record", "loan-7/crank-left#1", "--kind", "moved", "4 N·m", "--wrench", "small"]);
    done(&["record", "loan-7/bar-clamp#1", "4 N·m", "--wrench", "small"]);
    let connection = Connection::open(bench.database()).unwrap();
    // Earlier versions took a marking for what is checked by hand.
    let of_headset = "INSERT INTO marking (joint, number, part, figure) SELECT id, 1, '', '5 N·m' FROM joint WHERE \
                      name = 'headset'";
    assert_eq!(connection.execute(of_headset, []).unwrap(), 1);
    connection.execute("UPDATE marking SET figure = 'banana'", []).unwrap();
    let of_crank = "UPDATE joint SET shop = 'wat N', part_maker = 'huh' WHERE name = 'crank-left'";
    assert_eq!(connection.execute(of_crank, []).unwrap(), 1);
    bench
}

const DAMAGED: [(&str, &str); 4] = [
    ("bar-clamp", "banana"),
    ("rotor-front-thickness", "banana"),
    ("headset", "banana"),
    ("crank-left", "wat N"),
];

/// Each joint with a damaged figure and the reason, in what one entry of a list says as one line.
fn assert_each_told(lines: &[String], joints: &[(&str, &str)], what: &str) {
    for (joint, figure) in joints {
        let told = lines.iter().any(|line| line.contains(joint) && line.contains(figure));
        assert!(told, "{what}: {joint}: {lines:#?}");
    }
}

/// The lines of an answer, those that a narrow page has cut put together again at `start` of an entry.
fn entries(text: &str, starts: impl Fn(&str) -> bool) -> Vec<String> {
    let mut entries: Vec<String> = Vec::new();
    for line in text.lines() {
        match entries.last_mut() {
            Some(last) if !starts(line) => *last += &format!(" {}", line.trim()),
            _ => entries.push(line.to_owned()),
        }
    }
    entries
}

fn lines(text: &str) -> Vec<String> {
    entries(text, |_| true)
}

#[test]
fn a_damaged_figure_is_told_in_due_in_every_format() {
    let bench = bench_with_every_damage();
    let text = bench.at(NOW, &["due", "loan-7"]).out;
    assert_each_told(&entries(&text, |line| line.contains(" - ")), &DAMAGED, "due");
    let (_, answer) = bench.json_at(NOW, &["due", "loan-7"]);
    let told: Vec<String> =
        answer["unreadable"].as_array().unwrap().iter().map(ToString::to_string).collect();
    assert_each_told(&told, &DAMAGED, "due as JSON");
    assert_eq!(told.len(), DAMAGED.len());
    let sheet = bench.at(NOW, &["due", "loan-7", "--format", "csv"]).out;
    let mut reader = csv::Reader::from_reader(sheet.as_bytes());
    let columns = ["joints", "reason"]
        .map(|name| reader.headers().unwrap().iter().position(|column| column == name).unwrap());
    let rows: Vec<[String; 2]> = reader
        .records()
        .map(|row| row.unwrap())
        .map(|row| columns.map(|column| row[column].to_owned()))
        .collect();
    for (joint, figure) in DAMAGED {
        assert!(
            rows.iter().any(|[joints, reason]| joints == joint && reason.contains(figure)),
            "{joint}: {sheet}"
        );
    }
}

#[test]
fn a_damaged_figure_is_told_on_the_card_in_every_format() {
    let bench = bench_with_every_damage();
    let text = bench.at(NOW, &["card", "loan-7"]).out;
    let joints = entries(&text, |line| !line.starts_with("    "));
    assert_each_told(&joints, &DAMAGED, "card");
    let (_, answer) = bench.json_at(NOW, &["card", "loan-7"]);
    for (joint, figure) in DAMAGED {
        let rows = answer["rows"].as_array().unwrap();
        let row = rows.iter().find(|row| row["joint"] == joint).unwrap();
        assert!(row["warning"].as_str().unwrap().contains(figure), "{row}");
    }
    assert_each_told(&lines(&bench.at(NOW, &["card", "loan-7", "--format", "csv"]).out), &DAMAGED, "CSV");
    assert_eq!(bench.at(NOW, &["card", "loan-7", "--html", "card.html"]).status, 0);
    let html = std::fs::read_to_string(bench.path("card.html")).unwrap();
    assert_each_told(&lines(&html), &DAMAGED, "card as HTML");
}

#[test]
fn the_sheet_of_wrenches_has_a_line_for_what_has_no_figure() {
    let bench = bench_with_every_damage();
    let of = |arguments: &[&str]| {
        lines(&bench.at(NOW, &[&["wrench", "pick", "--format", "csv"], arguments].concat()).out)
    };
    let by_torque = [DAMAGED[0], DAMAGED[3]];
    let all = of(&["--bike", "loan-7"]);
    assert_each_told(&all, &by_torque, "wrench pick --bike");
    assert_each_told(&all, &[("loan-7/ring", "do not meet")], "an entry without a band");
    assert_each_told(&of(&["loan-7/crank-left"]), &by_torque[1..], "wrench pick");
    // Shifter clamps: the published values speak of something else (`specs/evidence.csv`).
    assert_each_told(&of(&["shifter-clamp"]), &[("shifter-clamp,,false", "no value for this")], "an entry");
}

#[test]
fn a_visit_tells_damaged_figures_of_what_is_measured_or_checked_by_hand() {
    let bench = bench_with_every_damage();
    let asked: Vec<String> = bench.questions(NOW, &["visit", "loan-7"]);
    let asked: Vec<String> = asked.into_iter().filter(|asked| asked.contains("no figure")).collect();
    assert_each_told(&asked, &DAMAGED, "visit");
}

#[test]
fn an_audit_tells_which_joints_have_a_damaged_figure() {
    let bench = bench_with_every_damage();
    // `ring` has no figure of its own, and its entry no band.
    // A bolt that held is no tightening that could not be judged.
    let log = "bike,joint,value,unit,kind\nloan-7,bar-clamp,4.5,N·m,\nLoan-7,Bar-Clamp,4.5,N·m,\n\
               loan-7,crank-left,4.5,N·m,\nloan-7,ring,4.5,N·m,\nloan-7,bar-clamp,4.5,N·m,held\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let by_torque = [("loan-7/bar-clamp", "banana"), ("loan-7/crank-left", "wat N")];
    let text = bench.at(NOW, &["audit", "log.csv"]).out;
    for count in ["3 for joints with a figure that cannot be read", "1 for entries without an agreed figure"]
    {
        assert!(text.contains(count), "{text}");
    }
    assert_each_told(&entries(&text, |line| line.contains("- ")), &by_torque, "audit");
    assert!(!text.contains("judged by figures of their own"), "{text}");
    let (_, answer) = bench.json_at(NOW, &["audit", "log.csv"]);
    let all = answer["entries"].as_array().unwrap().iter().flat_map(|entry| {
        entry["unreadable"].as_array().unwrap().iter().map(ToString::to_string).collect::<Vec<_>>()
    });
    assert_each_told(&all.collect::<Vec<_>>(), &by_torque, "audit as JSON");
    let csv = bench.at(NOW, &["audit", "log.csv", "--format", "csv"]).out;
    assert_each_told(&lines(&csv), &by_torque, "CSV");
    // The pieces of a log add up to the same.
    for (piece, rows) in [("a", 0..2), ("b", 2..5)] {
        let rows: Vec<&str> = log.lines().skip(1).skip(rows.start).take(rows.len()).collect();
        std::fs::write(bench.path("piece.csv"), format!("bike,joint,value,unit,kind\n{}\n", rows.join("\n")))
            .unwrap();
        bench.at(NOW, &["audit", "piece.csv", "--partial", &format!("{piece}.json")]);
    }
    assert_eq!(bench.at(NOW, &["audit", "--merge", "a.json", "b.json"]).out, text);
}

#[test]
fn a_bolt_that_moved_hides_no_damaged_figure_and_is_not_tightened_to_nothing() {
    let bench = bench_with_every_damage();
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let open =
        ready["deciding"].as_array().unwrap().iter().find(|open| open["joint"] == "crank-left").unwrap();
    assert_eq!(open["verdict"], "moved");
    let (reason, next) = (open["reason"].as_str().unwrap(), open["next"].as_str().unwrap());
    assert!(
        reason.contains("it turned at 4") && reason.contains("wat N") && reason.contains("huh"),
        "{reason}"
    );
    assert!(next.contains("crack, then read the figure anew") && !next.contains('–'), "{next}");
    assert!(next.contains("bike joint edit loan-7 crank-left --part-maker … --shop …"), "{next}");
    for arguments in [
        &["history", "loan-7/crank-left"][..],
        &["record", "loan-7/crank-left#2", "--kind", "loosening", "3 N·m"],
    ] {
        assert!(bench.at(NOW, arguments).out.contains("wat N"), "{arguments:?}");
    }
}

/// A joint without any figure is not tightened to a dash either.
#[test]
fn a_bolt_that_moved_without_a_figure_sends_to_the_marking() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.done(NOW, &["bike", "joint", "add", "loan-7", "ring", "--entry", "chainring-bolt-steel"]);
    let said = bench.at(NOW, &["record", "loan-7/ring#1", "--kind", "moved", "4 N·m"]);
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("crack, then read the marking on the part") && !text.contains("to –"), "{text}");
}

#[test]
fn an_edit_checks_the_figures_that_it_states_and_the_advice_can_be_followed() {
    let bench = bench_with_every_damage();
    let edit = |change: &[&str]| {
        bench.at(NOW, &[&["bike", "joint", "edit", "loan-7", "crank-left"], change].concat())
    };
    for change in [
        &["--marking", "12-14 N·m"][..],
        &["--bolts", "2"],
        &["--place", "bottom bracket"],
        &["--critical", "yes"],
        &["--name", "crank-left"],
    ] {
        let said = edit(change);
        assert_eq!(said.status, 0, "{change:?}: {}", said.err);
        // What stays damaged is remarked on, with the way out.
        for (whose, option) in [("maker of the part", "--part-maker"), ("the shop's own book", "--shop")] {
            let line = said.err.lines().find(|line| line.contains(whose)).unwrap_or_default();
            assert!(line.contains("crank-left") && line.contains(option), "{change:?}: {}", said.err);
        }
    }
    for (change, option) in [
        (["--shop", "wat N"], "--shop"),
        (["--shop", "5"], "--shop"),
        (["--part-maker", "huh"], "--part-maker"),
    ] {
        let said = edit(&change);
        assert_eq!(said.status, 2, "{change:?}: {}", said.out);
        assert!(said.err.contains("crank-left") && said.err.contains(option), "{change:?}: {}", said.err);
    }
    let of_bicycle = "UPDATE joint SET bicycle_maker = 'uff' WHERE name = 'crank-left'";
    Connection::open(bench.database()).unwrap().execute(of_bicycle, []).unwrap();
    let said = edit(&["--bike-maker", "uff"]);
    assert!(said.status == 2 && said.err.contains("--bike-maker"), "{}", said.err);
    assert_eq!(edit(&["--bike-maker", "13 N·m"]).status, 0);
    let said = edit(&["--shop", ""]);
    assert!(said.status == 0 && !said.err.contains("wat N"), "{}", said.err);
    let said = edit(&["--part-maker", "12-14 N·m"]);
    assert!(said.status == 0 && !said.err.contains("cannot be read"), "{}", said.err);
    let (_, ready) = bench.json_at(NOW, &["ready", "loan-7"]);
    let line = ready["joints"].as_array().unwrap().iter().find(|line| line["joint"] == "crank-left").unwrap();
    assert_eq!(line["specified"], "12–14 N·m");
    assert_eq!(bench.at(NOW, &["bike", "joint", "edit", "loan-7", "headset", "--marking", ""]).status, 0);
}

#[test]
fn an_export_remarks_on_figures_that_an_import_refuses() {
    let bench = bench_with_every_damage();
    let said = bench.at(NOW, &["export", "kept"]);
    assert_eq!(said.status, 0);
    assert_each_told(&lines(&said.err), &DAMAGED, "export");
    for column in ["part_maker", "shop"] {
        let named =
            |line: &str| line.contains("loan-7/crank-left") && line.contains(&format!("column {column}"));
        assert!(said.err.lines().any(named), "{column}: {}", said.err);
    }
    bench.without_journal("kept");
    let said = bench.at(NOW, &["import", "kept", "--db", "new.db"]);
    assert!(said.status == 2 && said.err.contains("rotor-front-thickness, marking"), "{}", said.err);
}

#[test]
fn every_exported_file_has_a_header_and_an_import_refuses_one_without() {
    let bench = Bench::new();
    assert_eq!(bench.at(NOW, &["export", "empty"]).status, 0);
    let files = ["bicycles", "joints", "events", "wrenches", "readings"];
    for file in files {
        let text = std::fs::read_to_string(bench.path("empty").join(format!("{file}.csv"))).unwrap();
        assert!(text.lines().count() == 1 && text.contains(','), "{file}: {text}");
    }
    assert_eq!(bench.at(NOW, &["import", "empty", "--db", "new.db"]).status, 0);
    for (number, file) in files.iter().enumerate() {
        let path = bench.path("empty").join(format!("{file}.csv"));
        let good = std::fs::read(&path).unwrap();
        std::fs::write(&path, "").unwrap();
        let said = bench.at(NOW, &["import", "empty", "--db", &format!("{number}.db")]);
        assert!(
            said.status == 2 && said.err.contains(&format!("{file}.csv")),
            "{file}: {}{}",
            said.out,
            said.err
        );
        std::fs::write(&path, good).unwrap();
    }
}
