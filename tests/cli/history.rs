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
    assert_eq!(picture.descendants().filter(|node| node.has_tag_name("circle")).count(), 5);
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
    let said = bench.at(NOW, &["history", "loan-7/pedal-left", "--svg", "plot.svg"]);
    assert_eq!(said.status, 0);
    assert!(roxmltree::Document::parse(&std::fs::read_to_string(bench.path("plot.svg")).unwrap()).is_ok());
}
