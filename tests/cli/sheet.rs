//! Figures of whole bicycles as a table: written, filled in, taken over by all joints or none.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::bench::{Bench, Said};

const NOW: &str = "2026-06-01T10:00:00+02:00";

fn hire(bikes: &[&str]) -> Bench {
    let bench = Bench::new();
    for bike in bikes {
        bench.done(NOW, &["bike", "add", bike, "--kind", "trail"]);
    }
    bench
}

fn joints(bench: &Bench, bike: &str) -> Vec<Value> {
    bench.json_at(NOW, &["bike", "show", bike]).1["joints"].as_array().unwrap().clone()
}

fn joint(bench: &Bench, bike: &str, name: &str) -> Value {
    joints(bench, bike).into_iter().find(|joint| joint["joint"] == name).unwrap()
}

/// Every joint as the export has it.
fn exported(bench: &Bench) -> String {
    bench.done(NOW, &["export", "kept", "--replace"]);
    std::fs::read_to_string(bench.path("kept").join("joints.csv")).unwrap()
}

fn taken(bench: &Bench, bikes: &[&str], table: &str) -> Said {
    bench.piped(
        NOW,
        &[&["bike", "sheet"], bikes, &["--from", "-", "--why", "as written down"]].concat(),
        table,
    )
}

#[test]
fn a_table_has_a_row_for_each_joint_also_without_a_figure() {
    let bench = hire(&["hire-1", "hire-2"]);
    bench.done(NOW, &["bike", "joint", "edit", "hire-1", "bar-clamp", "--marking", "stem: max 6 N·m"]);
    let said = bench.at(NOW, &["bike", "sheet", "hire-1", "hire-2"]);
    assert_eq!(said.status, 0, "{}", said.err);
    let mut reader = csv::Reader::from_reader(said.out.as_bytes());
    let header: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), joints(&bench, "hire-1").len() + joints(&bench, "hire-2").len());
    assert!(rows.iter().any(|row| &row[0] == "hire-2" && &row[1] == "rotor-front"), "{}", said.out);
    assert!(said.out.contains(",yes,,stem,max 6 N·m,"), "{}", said.out);
    // Its columns are those of an export, and all of them are told in the help.
    assert_eq!(exported(&bench).lines().next().unwrap(), header.join(","));
    let help = bench.run(&["bike", "sheet", "--help"]).out;
    let words: BTreeSet<&str> = help.split(|c: char| !c.is_alphanumeric() && c != '_').collect();
    assert!(header.iter().all(|column| words.contains(column.as_str())), "{help}");
    // What has no value yet is named.
    assert!(said.err.contains("joints have no value: hire-1/"), "{}", said.err);
    let (_, json) = bench.json_at(NOW, &["bike", "sheet", "hire-1"]);
    let row = json.as_array().unwrap().iter().find(|row| row["joint"] == "bar-clamp").unwrap();
    assert_eq!((&row["marking"], &row["critical"]), (&"max 6 N·m".into(), &Value::Bool(true)));
    assert_eq!(
        bench.at(NOW, &["bike", "sheet", "hire-1", "--format", "csv"]).out.lines().count(),
        json.as_array().unwrap().len() + 1
    );
}

#[test]
fn a_table_that_was_written_and_read_back_changes_nothing() {
    let bench = hire(&["hire-1", "hire-2"]);
    for words in [
        "bar-clamp --marking stem:\u{a0}max\u{a0}6\u{a0}N·m --marking bar:\u{a0}44\u{a0}in-lb --photo a,\u{a0}\"b\";.jpg",
        "rotor-front --part-maker 4\u{a0}N·m --thread M5 --grade 10.9 --condition greased",
        "pedal-left --hand left --critical no --place cranks,\u{a0}left --why as\u{a0}is",
        "rotor-front-thickness --marking min\u{a0}1.5\u{a0}mm",
    ] {
        // A blank that parts no words is written as one that does not break.
        let words: Vec<String> = words.split(' ').map(|word| word.replace('\u{a0}', " ")).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        bench.done(NOW, &[&["bike", "joint", "edit", "hire-1"][..], &words].concat());
    }
    // What was damaged before stays as well.
    bench.done(NOW, &["bike", "joint", "edit", "hire-2", "bar-clamp", "--marking", "max 6 N·m"]);
    let damage = "UPDATE marking SET figure = 'max 6 Nn' WHERE figure = 'max 6 N·m' AND part = ''";
    assert_eq!(rusqlite::Connection::open(bench.database()).unwrap().execute(damage, []).unwrap(), 1);
    let before = exported(&bench);
    for options in [&[][..], &["--semicolons"], &["--replace"], &["--semicolons", "--replace"]] {
        let file = if options.contains(&"--semicolons") { "semicolons.csv" } else { "commas.csv" };
        let write = [&["bike", "sheet", "hire-1", "hire-2", "--to", file], options].concat();
        let said = bench.at(NOW, &write);
        assert_eq!(said.status, 0, "{}", said.err);
        let bytes = std::fs::read(bench.path(file)).unwrap();
        assert!(bytes.starts_with(b"\xef\xbb\xbfbike"), "spreadsheet programs know UTF-8 by this mark");
        let said = bench.at(NOW, &["bike", "sheet", "hire-1", "hire-2", "--from", file]);
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
        assert_eq!(said.out, "hire-1: nothing changed\nhire-2: nothing changed\n");
        assert_eq!(exported(&bench), before);
    }
    let said = bench.at(NOW, &["bike", "sheet", "hire-1", "--to", "commas.csv"]);
    assert!(said.status == 2 && said.err.contains("say --replace"), "{}", said.err);
}

/// What `bike joint edit` makes of the same figures.
#[test]
fn a_table_changes_joints_as_edits_do() {
    let bench = hire(&["table", "edits"]);
    let table = "\u{feff}joint;marking_part;marking;second_marking_part;second_marking;part_maker;bicycle_maker;shop;\
                 thread;grade;condition;photo;bolts;critical;hand;place\r\n\
                 bar-clamp;stem;max 6,5 Nm;bar;4-6Nm / 35-53 in lbs;5 N·m;5 N·m;5 N·m;M5;10.9;greased;p.jpg;4;no;left;bar\r\n";
    let said = taken(&bench, &["table"], table);
    assert_eq!(said.status, 0, "{}", said.err);
    assert!(said.out.starts_with("table: 12 new, 2 changed\n"), "{}", said.out);
    let edit = ["bike", "joint", "edit", "edits", "bar-clamp", "--marking", "stem: max 6,5 Nm", "--marking"];
    let more =
        ["bar: 4-6Nm / 35-53 in lbs", "--part-maker", "5 N·m", "--bike-maker", "5 N·m", "--shop", "5 N·m"];
    let last =
        ["--thread", "M5", "--grade", "10.9", "--condition", "greased", "--photo", "p.jpg", "--bolts", "4"];
    let end = ["--critical", "no", "--hand", "left", "--place", "bar", "--why", "of no use here"];
    bench.done(NOW, &[&edit[..], &more, &last, &end].concat());
    assert_eq!(joint(&bench, "table", "bar-clamp"), joint(&bench, "edits", "bar-clamp"));
    // An empty field takes away, and the answer names what was there.
    let said = taken(&bench, &["table"], "joint,shop,part_maker\nbar-clamp,,4 N·m\n");
    assert!(said.out.starts_with("table: 1 changed, 1 taken away\n"), "{}", said.out);
    assert!(said.out.contains("table/bar-clamp: part_maker 5 N·m → 4 N·m\n"), "{}", said.out);
    assert!(said.out.contains("table/bar-clamp: shop 5 N·m → nothing\n"), "{}", said.out);
}

#[test]
fn one_table_is_for_several_bicycles() {
    let bench = hire(&["hire-1", "hire-2", "hire-3"]);
    let bikes = ["hire-1", "hire-2"];
    let before = joints(&bench, "hire-3");
    // A row that names no bicycle is for each that the command names, and for no other.
    let said = taken(&bench, &bikes, "joint,marking\nrotor-front,4 N·m\n");
    assert!(said.out.starts_with("hire-1: 1 new\nhire-2: 1 new\n"), "{}{}", said.out, said.err);
    let said = taken(&bench, &bikes, "bike,joint,marking\nHIRE-1,rotor-front,5 N·m\n,rotor-rear,6 N·m\n");
    assert_eq!(said.out.lines().next().unwrap(), "hire-1: 1 new, 1 changed", "{}", said.err);
    let read = |bike, name| joint(&bench, bike, name)["specified"].as_str().unwrap().to_owned();
    let all = ["hire-1", "hire-2"].map(|bike| [read(bike, "rotor-front"), read(bike, "rotor-rear")]);
    assert_eq!(all, [["5 N·m", "6 N·m"], ["4 N·m", "6 N·m"]]);
    assert_eq!(joints(&bench, "hire-3"), before);
    // The table of one is another's where it does not say whose it is.
    let table = bench.at(NOW, &["bike", "sheet", "hire-1"]).out;
    let said = taken(&bench, &["hire-3"], &table);
    assert!(said.status == 2 && said.err.contains("leave the column bike empty"), "{}", said.err);
    let said = taken(&bench, &["hire-3"], &table.replace("\nhire-1,", "\n,"));
    assert!(said.out.starts_with("hire-3: 2 new\n"), "{}{}", said.out, said.err);
    // Twice the same is once.
    let said = taken(&bench, &["hire-3", "hire-3"], "joint,marking\nrotor-front,5.5 N·m\n");
    assert_eq!(said.out.lines().next().unwrap(), "hire-3: 1 changed", "{}", said.err);
}

#[test]
fn every_complaint_is_told_by_line_and_column_and_nothing_is_taken() {
    let bench = hire(&["hire-1", "hire-2"]);
    bench.done(NOW, &["bike", "joint", "edit", "hire-1", "seat-collar", "--thread", "M5"]);
    let before = exported(&bench);
    let table = "bike;joint;marking_part;marking;bolts;critical;entry;grade\n\
                 hire-1;rotor-front;;60 N·m;6;yes;rotor-bolt-six;\n\
                 hire-1;seat-collar;;5;1;perhaps;seat-collar-single-bolt;\n\
                 hire-1;rotor-frnt;;4 N·m;6;yes;rotor-bolt-six;\n\
                 hire-9;rotor-front;;4 N·m;6;yes;rotor-bolt-six;\n\
                 hire-2;rotor-front;;4 N·m;6;yes;rotor-bolt-six;8.9\n\
                 hire-2;rotor-rear;rotor;;40;yes;nope;\n\
                 hire-2;bar-clamp;;0.2 N·m;4;yes;stem-face-plate-four-bolt;\n\
                 hire-2;BAR-CLAMP;;5 N·m;4;yes;stem-face-plate-four-bolt;\n\
                 hire-2;rotor-front-thickness;;4 N·m;1;no;rotor-thickness;\n";
    std::fs::write(bench.path("bad.csv"), table).unwrap();
    let said = bench.at(NOW, &["bike", "sheet", "hire-1", "hire-2", "--from", "bad.csv"]);
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    assert!(
        said.err.starts_with("evenclamp: bad.csv:2:21: the table has 12 complaints; nothing was changed\n"),
        "{}",
        said.err
    );
    let told: Vec<&str> = said.err.lines().skip(1).collect();
    let expected = [
        "bad.csv:2:21: hire-1/rotor-front, marking: 60 N·m would tear any bolt",
        "bad.csv:3:21: hire-1/seat-collar, marking: the figure `5` has no unit; write it as it stands",
        "bad.csv:3:25: critical: `perhaps` is not true or false; say yes or no",
        "bad.csv:4:8: hire-1 has no joint `rotor-frnt`; nearest: rotor-front",
        "bad.csv:5:1: the bicycle `hire-9` is none of those named",
        "bad.csv:6:48: hire-2/rotor-front, grade: ",
        "bad.csv:7:19: marking_part: the rotor has no figure",
        "bad.csv:7:26: hire-2/rotor-rear, bolts: 40 bolts are not possible; give 1 to 32",
        "bad.csv:7:33: hire-2/rotor-rear, entry: the book has no entry `nope`",
        "bad.csv:8:19: hire-2/bar-clamp, marking: ",
        "bad.csv:9:8: hire-2/bar-clamp stands in another row; keep one of them",
        "bad.csv:10:31: hire-2/rotor-front-thickness, marking: ",
    ];
    for (told, expected) in told.iter().zip(expected) {
        assert!(told.starts_with(expected), "{expected}\n{}", said.err);
    }
    assert_eq!(told.len(), expected.len(), "{}", said.err);
    assert_eq!(exported(&bench), before);
}

#[test]
fn a_table_that_is_none_is_refused_with_what_to_do() {
    let bench = hire(&["hire-1"]);
    let before = exported(&bench);
    for (table, says) in [
        ("joint,marking,torque\nrotor-front,4 N·m,4\n", "standard input:1:15: unknown column `torque`"),
        ("marking\n4 N·m\n", "standard input:1:1: column `joint` is missing"),
        ("", "standard input:1:1: the file is empty"),
        ("joint,marking\nrotor-front,4 N·m\nrotor-rear,\"4 N·m\n", "standard input:3:12: a double quote"),
        (
            "joint,entry\nrotor-front,nope\n",
            "standard input:2:13: hire-1/rotor-front, entry: the book has no entry",
        ),
    ] {
        let said = taken(&bench, &["hire-1"], table);
        assert!(said.status == 2 && said.err.contains(says), "{table}: {}", said.err);
    }
    let said = bench.at(NOW, &["bike", "sheet", "hire-1", "--from", "none.csv"]);
    assert!(said.status == 2 && said.err.contains("nothing was changed"), "{}", said.err);
    assert_eq!(exported(&bench), before);
}

/// A figure that is too much for its bolt is kept as it stands, as by an edit, and the answer is bad.
#[test]
fn a_figure_of_a_table_that_is_too_much_for_its_bolt_is_told() {
    let bench = hire(&["hire-1"]);
    let said = taken(&bench, &["hire-1"], "joint,marking,thread,grade\nseat-collar,10 N·m,M5,8.8\n");
    assert_eq!(said.status, 1, "{}{}", said.out, said.err);
    assert!(said.out.contains("Look again\nhire-1/seat-collar: 10 N·m"), "{}", said.out);
    let flat = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("too much for the bolt: 10 N·m"), "{}", said.out);
    assert_eq!(joint(&bench, "hire-1", "seat-collar")["verdict"], "too much for the bolt");
}

/// Figures typed once, in the rows that have no value, are there on every bicycle of the build.
#[test]
fn a_bicycle_like_one_whose_figures_were_typed_once_lacks_none_that_is_marked() {
    let bench = hire(&["hire-1"]);
    let no_value = |bike: &str| -> Vec<String> {
        let without = joints(&bench, bike).into_iter().filter(|joint| joint["verdict"] == "no value");
        without.map(|joint| joint["joint"].as_str().unwrap().to_owned()).collect()
    };
    let open = no_value("hire-1");
    assert!(open.len() >= 5, "{open:?}");
    // Every other one carries a figure.
    let marked: Vec<&String> = open.iter().step_by(2).collect();
    let table =
        marked.iter().fold("joint,marking\n".to_owned(), |table, joint| table + joint + ",max 5 Nm\n");
    let said = taken(&bench, &["hire-1"], &table);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    for bike in ["hire-2", "hire-3"] {
        let said = bench.at(NOW, &["bike", "add", bike, "--like", "hire-1"]);
        assert_eq!(said.status, 0, "{}", said.err);
        let left: Vec<&String> = open.iter().skip(1).step_by(2).collect();
        assert_eq!(no_value(bike).iter().collect::<Vec<_>>(), left, "those that carry none");
    }
}

/// By the names of its columns: which joint changed, in what, from what to what.
#[test]
fn every_column_of_the_answer_holds_what_its_name_says() {
    let bench = hire(&["hire-1"]);
    bench.done(NOW, &["bike", "joint", "edit", "hire-1", "bar-clamp", "--shop", "5 N·m"]);
    let table = "bike,joint,shop,condition\nhire-1,bar-clamp,6 N·m,greased\n";
    let said = bench.piped(NOW, &["bike", "sheet", "hire-1", "--from", "-", "--format", "csv"], table);
    assert_eq!(said.out.lines().next(), Some("bike,joint,column,from,to"));
    let rows: Vec<BTreeMap<String, String>> =
        csv::Reader::from_reader(said.out.as_bytes()).deserialize().map(Result::unwrap).collect();
    let row = |column: &str, from: &str, to: &str| -> BTreeMap<String, String> {
        [("bike", "hire-1"), ("joint", "bar-clamp"), ("column", column), ("from", from), ("to", to)]
            .map(|(name, text)| (name.to_owned(), text.to_owned()))
            .into()
    };
    let mut sorted = rows.clone();
    sorted.sort_by(|one, other| one["column"].cmp(&other["column"]));
    assert_eq!(sorted, [row("condition", "", "greased"), row("shop", "5 N·m", "6 N·m")], "{}", said.err);
}

/// A spreadsheet program takes what begins like a formula for one; the table guards it, and reads the text again.
#[test]
fn what_looks_like_a_formula_is_a_text_in_the_table_and_comes_back() {
    let bench = hire(&["hire-1"]);
    let edit = ["bike", "joint", "edit", "hire-1", "bar-clamp", "--place", "@bar", "--condition", "+grease"];
    bench.done(NOW, &[&edit[..], &["--photo", "=cmd()"]].concat());
    let before = exported(&bench);
    let shown = bench.at(NOW, &["bike", "sheet", "hire-1"]).out;
    bench.done(NOW, &["bike", "sheet", "hire-1", "--to", "one.csv", "--semicolons"]);
    let kept = std::fs::read_to_string(bench.path("one.csv")).unwrap();
    for (table, separator) in [(&shown, ","), (&kept, ";")] {
        for guarded in ["'@bar", "'+grease", "'=cmd()"] {
            assert!(table.contains(&format!("{separator}{guarded}")), "{guarded}: {table}");
        }
    }
    let said = bench.at(NOW, &["bike", "sheet", "hire-1", "--from", "one.csv"]);
    assert!(said.out.contains("hire-1: nothing changed"), "{}{}", said.out, said.err);
    assert_eq!(exported(&bench), before);
}
