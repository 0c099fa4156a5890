//! `card`: a box for each bolt, nothing from elsewhere, text that cannot break the page.

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";

#[test]
fn every_bolt_has_a_box_on_paper_and_in_text() {
    let bench = Bench::new();
    for kind in ["trail", "downhill", "gravel", "road-rim", "city", "e-bike-city"] {
        let (_, bike) = bench.json_at(NOW, &["bike", "add", kind, "--kind", kind]);
        let bolts: u64 =
            bike["joints"].as_array().unwrap().iter().map(|joint| joint["bolts"].as_u64().unwrap()).sum();
        let file = format!("{kind}.html");
        assert_eq!(bench.at(NOW, &["card", kind, "--html", &file]).status, 0);
        let html = std::fs::read_to_string(bench.path(&file)).unwrap();
        assert_eq!(html.matches("class=\"box\"").count() as u64, bolts, "{kind}");
        for joint in bike["joints"].as_array().unwrap() {
            assert!(html.contains(joint["joint"].as_str().unwrap()));
        }
        assert!(html.contains("class=\"qr\"") && html.contains("The figure on the part"), "{kind}");
        for elsewhere in ["src=", "url(", "<script", "http://", "https://"] {
            let found = html.replace("http://www.w3.org/2000/svg", "").replace("url(#head)", "");
            assert!(!found.contains(elsewhere), "{kind}: {elsewhere}");
        }
        let said = bench.at(NOW, &["card", kind]);
        assert_eq!(said.out.matches("[______]").count() as u64, bolts, "{kind}");
    }
}

#[test]
fn left_hand_threads_and_settings_stand_where_the_hand_acts() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail", "--owner", "R & B <club>"]);
    let add = ["wrench", "add", "mid", "--type", "click", "--scale", "2-20 N·m", "--step", "0.1"];
    bench.at(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat());
    let (_, card) = bench.json_at(NOW, &["card", "loan-7", "--wrench", "mid"]);
    let row = |name: &str| card["rows"].as_array().unwrap().iter().find(|row| row["joint"] == name).unwrap();
    let warning = |name: &str| row(name)["warning"].as_str().unwrap().to_owned();
    assert!(warning("pedal-left").starts_with("LEFT-HAND thread: anticlockwise tightens; others print less"));
    assert!(warning("pedal-right").starts_with("others print less"));
    assert_eq!(row("caliper-front")["setting"], "7.0 N·m");
    assert_eq!(row("rotor-front")["order"], serde_json::json!([1, 4, 2, 5, 3, 6]));
    bench.at(NOW, &["card", "loan-7", "--html", "card.html"]);
    let html = std::fs::read_to_string(bench.path("card.html")).unwrap();
    assert!(html.contains("R &amp; B &lt;club&gt;") && !html.contains("<club>"));
}

#[test]
fn a_card_asks_for_no_torque_where_none_is_checked() {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "errand", "--kind", "city"]);
    let (_, card) = bench.json_at(NOW, &["card", "errand"]);
    for row in card["rows"].as_array().unwrap() {
        assert!(row["check"] == "torque" || row["also"].is_null(), "{row}");
    }
    let quill = card["rows"].as_array().unwrap().iter().find(|row| row["joint"] == "quill").unwrap();
    assert!(quill["also"].as_str().unwrap().ends_with("lbf·in"), "{quill}");
}

#[test]
fn a_card_says_why_a_wrench_has_no_setting_for_a_joint() {
    let bench = Bench::new();
    bench.at(NOW, &["wrench", "add", "big", "--type", "click", "--scale", "20-100 N·m", "--step", "1"]);
    bench.at(NOW, &["bike", "add", "loan-7", "--kind", "hardtail"]);
    bench.done(NOW, &["bike", "joint", "edit", "loan-7", "bar-clamp", "--marking", "5 N·m"]);
    let why = "no setting: the usable scale begins above the specified torque";
    let asked = ["card", "loan-7", "--wrench", "big"];
    let (_, card) = bench.json_at(NOW, &asked);
    let row = card["rows"].as_array().unwrap().iter().find(|row| row["joint"] == "bar-clamp").unwrap();
    assert!(row["setting"].is_null() && row["warning"].as_str().unwrap().contains(why), "{row}");
    let text = bench.at(NOW, &asked).out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(why), "{text}");
    let csv = bench.at(NOW, &[&asked[..], &["--format", "csv"]].concat()).out;
    assert!(csv.contains(why), "{csv}");
    assert_eq!(bench.at(NOW, &[&asked[..], &["--html", "card.html"]].concat()).status, 0);
    assert!(std::fs::read_to_string(bench.path("card.html")).unwrap().contains(why));
}
