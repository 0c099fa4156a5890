//! The picture of values over time, read back from its SVG.

use roxmltree::{Document, Node};

use super::*;

fn point(at: f64, value: f64, sign: Sign) -> PlottedValue {
    PlottedValue { at, value, uncertainty: 0.3, sign }
}

fn svg(title: &str, fields: Vec<BoltField>, limits: &[f64]) -> Result<String, ChartError> {
    let chart = TimeChart {
        title: title.into(),
        specified: "4–6 N·m".into(),
        unit: "N·m".into(),
        fields,
        bands: vec![(limits.first().copied(), limits.last().copied())],
        limits: limits.iter().rev().map(|limit| (*limit, format!("limit {limit}"))).collect(),
        day_text: &|day, _| format!("day {day}"),
    };
    chart.svg()
}

fn field(name: &str, points: Vec<PlottedValue>) -> BoltField {
    BoltField { name: name.into(), points }
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// Centres of what is drawn as a dot, but for the one of the legend, which stands left of every field.
fn dots(document: &Document<'_>) -> Vec<(f64, f64)> {
    let circles =
        document.descendants().filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "circle")));
    let centres = circles.map(|node| (number(node, "cx"), number(node, "cy")));
    centres.filter(|(x, _)| *x > f64::from(LEFT)).collect()
}

#[test]
fn places_go_with_time_and_value() {
    let points = [(0.0, 5.0), (1.0, 5.0), (11.0, 4.0), (12.0, 6.0)];
    let points = points.map(|(at, value)| point(at, value, Sign::Read)).to_vec();
    let svg = svg("a/b", vec![field("", points)], &[4.0, 6.0]).unwrap();
    let document = Document::parse(&svg).unwrap();
    let dots = dots(&document);
    let (day, ten) = (dots[1].0 - dots[0].0, dots[2].0 - dots[1].0);
    // A place is a whole pixel.
    assert!((ten - 10.0 * day).abs() <= 10.0 && day > 20.0, "{dots:?}");
    assert!(dots[2].1 > dots[0].1 && dots[3].1 < dots[0].1, "{dots:?}");
    // The bar reaches as far on both sides as it has to: 0.3 where 1.0 is from dot to dot.
    let (x, y) = dots[0];
    let bar = document
        .descendants()
        .filter_map(|node| node.attribute("points"))
        .map(|points| {
            points
                .split_whitespace()
                .filter_map(|pair| pair.split_once(','))
                .map(|(x, y)| (x.parse::<f64>().unwrap(), y.parse::<f64>().unwrap()))
                .collect::<Vec<_>>()
        })
        .find(|line| {
            line.len() == 2
                && line.iter().all(|place| (place.0 - x).abs() < 0.5)
                && (line[0].1 - y) * (line[1].1 - y) < 0.0
        })
        .unwrap();
    let one = dots[2].1 - y;
    assert!(bar.iter().all(|end| ((end.1 - y).abs() - 0.3 * one).abs() <= 1.5), "{bar:?} {one}");
}

#[test]
fn bolts_stand_apart_and_share_the_days() {
    let of =
        |bolt: &str, days: &[f64]| field(bolt, days.iter().map(|day| point(*day, 5.0, Sign::Read)).collect());
    let svg = svg("a/b", vec![of("bolt 1", &[0.0, 9.0]), of("bolt 2", &[9.0])], &[4.0, 6.0]).unwrap();
    let document = Document::parse(&svg).unwrap();
    let dots = dots(&document);
    assert!((dots[1].0 - dots[2].0).abs() < 0.5 && dots[2].1 - dots[1].1 > 150.0, "{dots:?}");
    let elements = document.descendants().filter(Node::is_element);
    let bolts = elements.filter_map(|node| node.text()).filter(|text| text.contains("bolt"));
    assert_eq!(bolts.count(), 2);
}

#[test]
fn every_kind_has_a_shape_of_its_own_in_the_legend_and_the_field() {
    let points: Vec<PlottedValue> =
        (0u32..).zip(Sign::ALL).map(|(day, sign)| point(f64::from(day), 5.0, sign)).collect();
    let whole = svg("a/b", vec![field("", points.clone())], &[4.0, 6.0]).unwrap();
    for sign in Sign::ALL {
        assert!(whole.contains(sign.word()), "{sign}");
        let others = points.iter().copied().filter(|point| point.sign != sign).collect();
        let without = svg("a/b", vec![field("", others)], &[4.0, 6.0]).unwrap();
        assert!(!without.contains(sign.word()), "{sign}");
    }
}

#[test]
fn what_would_break_the_picture_is_written_as_text() {
    let points = vec![point(0.0, 5.0, Sign::Read)];
    let svg = svg("<script>&\"\u{1}'\n", vec![field("<b>", points)], &[4.0, 6.0]).unwrap();
    let document = Document::parse(&svg).unwrap();
    assert!(document.descendants().all(|node| !node.has_tag_name("script") && !node.has_tag_name("b")));
    assert_eq!(document.root_element().attribute("role"), Some("img"));
    let title = document.root_element().children().find(Node::is_element).unwrap();
    assert!(
        title.has_tag_name(("http://www.w3.org/2000/svg", "title"))
            && title.text().unwrap().starts_with("<script>")
    );
}

/// The height of the text is the least distance at which two lines of it do not touch.
#[test]
fn figures_of_limits_that_lie_close_do_not_run_into_each_other() {
    let points = vec![point(0.0, 2.0, Sign::Read)];
    let svg = svg("a/b", vec![field("", points)], &[1.5, 1.55, 1.8]).unwrap();
    let document = Document::parse(&svg).unwrap();
    let limits = document
        .descendants()
        .filter(|node| node.is_element() && node.text().is_some_and(|text| text.contains("limit ")));
    let tops: Vec<f64> = limits.map(|node| number(node, "y")).collect();
    assert_eq!(tops.len(), 3);
    assert!(tops.windows(2).all(|pair| pair[1] - pair[0] >= f64::from(TEXT)), "{tops:?}");
}

#[test]
fn nothing_is_no_picture() {
    assert_eq!(svg("a/b", vec![], &[4.0]), Err(ChartError::Empty("a/b has no value".into())));
    let one = svg("a/b", vec![field("", vec![point(3.0, 5.0, Sign::Read)])], &[]).unwrap();
    assert_eq!(dots(&Document::parse(&one).unwrap()).len(), 1, "one value on one day has its place");
}
