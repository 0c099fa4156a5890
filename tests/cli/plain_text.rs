//! What somebody typed or brought in does nothing to a terminal, a spreadsheet program or a shell.

use proptest::prelude::*;

use crate::bench::{Bench, Said};

const NOW: &str = "2026-06-10T10:00:00+02:00";

/// Escape, a C1 control, bell, carriage return, a turned direction, a width of nothing.
const HIDDEN: [char; 8] = ['\u{1b}', '\u{9b}', '\u{7}', '\r', '\u{202e}', '\u{2066}', '\u{200b}', '\u{feff}'];

fn shop() -> Bench {
    let bench = Bench::new();
    bench.done(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench
}

fn is_hidden(c: char) -> bool {
    c != '\n' && (c.is_control() || HIDDEN.contains(&c))
}

#[test]
fn what_is_typed_with_hidden_characters_is_refused_and_never_echoed() {
    let bench = shop();
    for c in HIDDEN {
        let text = format!("a{c}b");
        for words in [
            &["record", "loan-7/headset", "--finding", "fine", "--note", &text][..],
            &["record", "loan-7/headset", "--finding", "fine", "--who", &text],
            &["bike", "add", &text, "--kind", "hardtail"],
            &["bike", "edit", "loan-7", "--owner", &text, "--why", &text],
            &["wrench", "add", &text, "--type", "click", "--scale", "2-10 N·m"],
            &["audit", &text],
            &["find", &text],
            &["nonsense", &text],
            &["record", "--from", &text, "--format", "json"],
        ] {
            let said = bench.at(NOW, words);
            assert_eq!(said.status, 2, "{words:?}: {}", said.out);
            assert!(!(said.out + &said.err).contains(is_hidden), "{words:?}: {}", said.err.escape_debug());
        }
    }
    let (_, history) = bench.json_at(NOW, &["history", "loan-7/headset"]);
    assert_eq!(history["readings"], serde_json::json!([]));
}

#[test]
fn what_a_log_brings_in_is_refused_and_what_is_there_already_is_written_out() {
    let bench = shop();
    let log =
        "taken_at,bike,joint,value,unit,note\n2026-06-01,loan-7,axle-front,9,N·m,\u{1b}[2Jgone\u{202e}\n";
    std::fs::write(bench.path("log.csv"), log).unwrap();
    let said = bench.at(NOW, &["record", "--from", "log.csv"]);
    assert!(
        said.status == 1 && said.out.contains("(U+001B)") && !said.out.contains('\u{1b}'),
        "{}",
        said.out
    );
    // As an export of an earlier version has it.
    bench.done(NOW, &["record", "loan-7/axle-front", "9 N·m", "--note", "NOTE"]);
    bench.done(NOW, &["export", "all"]);
    bench.without_journal("all");
    let file = bench.path("all/readings.csv");
    let old = std::fs::read_to_string(&file).unwrap().replace("NOTE", "\"\u{1b}[2Jgone\u{202e}\u{9b}\"");
    std::fs::write(&file, old).unwrap();
    assert_eq!(bench.at(NOW, &["import", "all", "--db", "old.db"]).status, 0);
    for format in ["text", "json", "csv"] {
        let said = bench.at(NOW, &["history", "loan-7/axle-front", "--db", "old.db", "--format", format]);
        assert!(
            said.out.contains("gone") && !said.out.contains(is_hidden),
            "{format}: {}",
            said.out.escape_debug()
        );
    }
    bench.done(NOW, &["export", "once", "--db", "old.db"]);
    bench.done(NOW, &["import", "once", "--db", "new.db"]);
    bench.done(NOW, &["export", "twice", "--db", "new.db"]);
    for name in ["readings.csv", "journal.csv"] {
        let read = |folder: &str| std::fs::read_to_string(bench.path(folder).join(name)).unwrap();
        assert!(read("once") == read("twice") && !read("once").contains(is_hidden), "{name}");
    }
}

#[test]
fn names_and_notes_that_look_like_formulas_or_options_do_nothing() {
    let bench = shop();
    for words in [
        &["bike", "add", "--kind", "hardtail", "--", "--all"][..],
        &["bike", "edit", "loan-7", "--name=-x"],
        &["bike", "joint", "edit", "loan-7", "headset", "--name=-x"],
        &["wrench", "add", "--type", "click", "--scale", "2-10 N·m", "--", "=cmd"],
        &["wrench", "add", "--type", "click", "--scale", "2-10 N·m", "--", "--all"],
    ] {
        let said = bench.at(NOW, words);
        assert!(
            said.status == 2 && said.err.contains("looks like an option or a formula"),
            "{words:?}: {}",
            said.err
        );
    }
    for note in ["=cmd", "+1", "@x", "-1+2"] {
        bench.done(NOW, &["record", "loan-7/headset", "--finding", "fine", &format!("--note={note}")]);
    }
    let csv = bench.at(NOW, &["history", "loan-7/headset", "--format", "csv"]).out;
    bench.done(NOW, &["export", "once"]);
    let log = std::fs::read_to_string(bench.path("once/readings.csv")).unwrap();
    for sheet in [&csv, &log] {
        assert!(sheet.contains(",'=cmd,") && sheet.contains(",'@x,") && sheet.contains(",'-1+2,"), "{sheet}");
        assert!(!sheet.contains(",=") && !sheet.contains(",@"), "{sheet}");
    }
    bench.done(NOW, &["import", "once", "--db", "new.db"]);
    let (_, there) = bench.json_at(NOW, &["history", "loan-7/headset", "--db", "new.db"]);
    assert!(there.to_string().contains("\"=cmd\"") && !there.to_string().contains("'=cmd"), "{there}");
    bench.done(NOW, &["export", "twice", "--db", "new.db"]);
    for name in ["readings.csv", "journal.csv"] {
        let read = |folder: &str| std::fs::read(bench.path(folder).join(name)).unwrap();
        assert_eq!(read("once"), read("twice"), "{name}");
    }
    bench.done(NOW, &["wrench", "add", "Kim's; small", "--type", "click", "--scale", "2-10 N·m"]);
    let said =
        bench.at(NOW, &["wrench", "calibrated", "Kim's; small", "--strike", "9", "--why", "typed twice"]);
    assert!(said.err.contains(r"`evenclamp wrench show 'Kim'\''s; small'`"), "{}", said.err);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever somebody types as a name or note: refused or taken, nothing hidden comes out anywhere.
    #[test]
    fn nothing_hidden_comes_out(text in "[^\0]{0,12}|[a=@+'-]{0,3}[\x01-\x1f\u{7f}-\u{9f}\u{200b}-\u{206f}]{0,2}[a-z ]{0,4}") {
        let bench = shop();
        let note = format!("--note={text}");
        let owner = format!("--owner={text}");
        let (name, as_who) = (text.as_str(), format!("--who={text}"));
        for words in [
            &["record", "loan-7/axle-front", "9 N·m", &note, &as_who][..],
            &["bike", "edit", "loan-7", &owner],
            &["wrench", "add", "--type", "click", "--scale", "2-10 N·m", "--", name],
            &["history", "loan-7/axle-front"],
            &["history", "loan-7/axle-front", "--format", "csv"],
            &["history", "loan-7/axle-front", "--format", "json"],
            &["bike", "list"],
            &["bike", "list", "--format", "csv"],
            &["wrench", "list"],
            &["export", "all"],
        ] {
            let Said { out, err, .. } = bench.at(NOW, words);
            prop_assert!(!(out.clone() + &err).contains(is_hidden), "{:?}: {}{}", words, out.escape_debug(), err.escape_debug());
        }
        for file in std::fs::read_dir(bench.path("all")).unwrap() {
            let file = std::fs::read_to_string(file.unwrap().path()).unwrap();
            prop_assert!(!file.contains(is_hidden), "{}", file.escape_debug());
        }
    }
}
