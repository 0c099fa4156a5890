//! `history`: the table, the plot and the picture.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

#[test]
fn readings_are_shown_with_their_limits() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.at(NOW, &["bike", "joint", "edit", "loan-7", "seat-collar", "--marking", "post: 4-6 N·m"]);
    for (day, kind, value) in [
        ("02", "tightened", "5.0 N·m"),
        ("03", "back-to-mark", "5.0 N·m"),
        ("04", "back-to-mark", "4.7 N·m"),
        ("05", "back-to-mark", "4.4 N·m"),
        ("06", "back-to-mark", "4.1 N·m"),
    ] {
        let now = format!("2026-06-{day}T10:00:00+02:00");
        bench.at(&now, &["record", "loan-7/seat-collar", value, "--kind", kind]);
    }
    let now = "2026-06-07T10:00:00+02:00";
    let said = bench.at(now, &["history", "loan-7/seat-collar", "--svg", "plot.svg"]);
    assert!(
        said.out.starts_with("loan-7/seat-collar: losing against 4–6 N·m\n4 re-checks fell"),
        "{}",
        said.out
    );
    assert_eq!(
        said.out
            .lines()
            .filter(|line| line.contains('[') && line.contains(']') && line.contains('o'))
            .count(),
        5 + 1
    );
    let svg = std::fs::read_to_string(bench.path("plot.svg")).unwrap();
    let picture = roxmltree::Document::parse(&svg).unwrap();
    let texts: Vec<&str> = picture.descendants().filter_map(|node| node.text()).map(str::trim).collect();
    for text in ["N·m", "min 4.0 N·m", "max 6.0 N·m", "tightened or measured", "other re-check"] {
        assert!(texts.contains(&text), "{text}: {texts:?}");
    }
    assert!(texts.iter().any(|text| text.starts_with("2026-06-0") || text.starts_with("06-0")), "{texts:?}");
    let (_, json) = bench.json_at(now, &["history", "loan-7/seat-collar"]);
    assert_eq!(
        (json["limits"]["low_nm"].as_f64(), json["readings"][4]["reading_nm"].as_f64()),
        (Some(4.0), Some(4.1))
    );
    assert_eq!(bench.at(now, &["history", "loan-7/seat-collar", "--format", "csv"]).out.lines().count(), 6);
}

#[test]
fn a_joint_without_readings_has_a_history_too() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    assert_eq!(bench.at(NOW, &["history", "loan-7/pedal-left"]).status, 0);
    let said = bench.at(NOW, &["history", "loan-7/pedal-left", "--svg", "plot.svg"]);
    assert!(said.status == 2 && said.err.contains("loan-7/pedal-left has no value"), "{}", said.err);
    assert!(said.err.contains("record something first") && !bench.path("plot.svg").exists(), "{}", said.err);
}

/// What is measured is drawn in its own unit against every limit, torques in the unit that is asked for, bolts apart.
#[test]
fn a_picture_is_in_the_unit_of_what_was_read() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    let texts = |arguments: &[&str]| -> Vec<String> {
        bench.done(NOW, &[&["history"], arguments, &["--svg", "plot.svg"]].concat());
        let svg = std::fs::read_to_string(bench.path("plot.svg")).unwrap();
        let picture = roxmltree::Document::parse(&svg).unwrap();
        picture.descendants().filter_map(|node| node.text()).map(|text| text.trim().to_owned()).collect()
    };
    bench.done(NOW, &["record", "loan-7/rotor-front-thickness", "1.9", "--at", "2026-01-05"]);
    bench.done(NOW, &["record", "loan-7/rotor-front-thickness", "0.073 in", "--at", "2026-03-05"]);
    let rotor = texts(&["loan-7/rotor-front-thickness"]);
    for text in ["mm", "min 1.8 mm", "min 1.55 mm", "over 1.5 mm"] {
        assert!(rotor.iter().any(|known| known == text), "{text}: {rotor:?}");
    }
    assert!(!rotor.iter().any(|text| text.contains("N·m")), "{rotor:?}");
    let plain = bench.at(NOW, &["history", "loan-7/rotor-front-thickness"]).out;
    assert!(
        plain.contains("against min 1.8 mm") && plain.contains("Measured in mm, with the limits"),
        "{plain}"
    );
    bench.done(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "4-6 N·m"]);
    bench.done(NOW, &["record", "loan-7/bar-clamp", "5", "5.1", "-", "5", "N·m"]);
    let clamp = texts(&["loan-7/bar-clamp", "--unit", "lbf·in"]);
    for text in ["lbf·in", "max 53.1 lbf·in", "bolt 1", "bolt 2", "bolt 4"] {
        assert!(clamp.iter().any(|known| known == text), "{text}: {clamp:?}");
    }
    assert!(!clamp.iter().any(|text| text == "bolt 3"), "{clamp:?}");
    let (_, json) = bench.json_at(NOW, &["history", "loan-7/bar-clamp"]);
    // 6 % of 5 N·m, of which no wrench is known, at k = 2: 2 · 0.3 / √3.
    let expanded = json["readings"][0]["expanded_u_nm"].as_f64().unwrap();
    assert!((expanded - 0.6 / 3f64.sqrt()).abs() < 1e-9, "{expanded}");
}
