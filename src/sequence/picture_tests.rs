use super::*;
use crate::sequence::drawing::text_width;
use crate::sequence::order;
use proptest::prelude::*;

const TEXT: PictureText = PictureText { title: "Face plate: pass 2 of 5", setting: "Set 3.0 N·m" };

fn drawn(layout: &Layout, order: &[BoltNumber]) -> Drawing {
    Drawing::new(layout, order, &[(TEXT.title, 24.0, true)], &[(&sequence(order), 20.0, true)])
}

/// Every shape and number of bolts that a layout can have, and some free positions.
fn layouts() -> Vec<Layout> {
    let grids = (2..=16).flat_map(|rows| (2..=32 / rows).map(move |columns| (rows, columns)));
    let free = [[(0.0, 0.0), (31.0, 4.0), (52.0, 30.0), (11.0, 44.0), (25.0, 22.0)]];
    let free = free.map(|places| Layout::points(places.map(|(x, y)| Point { x, y }).to_vec()));
    let shapes = (2..=32).flat_map(|n| [Layout::ring(n), Layout::row(n)]);
    let shapes = shapes.chain(grids.map(|(rows, columns)| Layout::grid(rows, columns))).chain(free);
    shapes.map(Result::unwrap).chain([Layout::single(), Layout::pair()]).collect()
}

/// The first two that touch of the bolts, the ordinals, the lines of text and the picture's edge.
fn touching(drawing: &Drawing) -> Option<String> {
    let labels: Vec<&DrawnLabel> = drawing.ordinals.iter().chain(&drawing.lines).collect();
    for (k, label) in labels.iter().enumerate() {
        if let Some(other) = labels[k + 1..].iter().find(|other| label.frame.touches(other.frame, 0.0)) {
            return Some(format!("{} touches {}", label.text, other.text));
        }
        if let Some(bolt) = drawing.bolts.iter().position(|&bolt| label.frame.distance(bolt) < RADIUS + 2.0) {
            return Some(format!("{} touches bolt {}", label.text, BoltNumber::at(bolt)));
        }
        let Frame { left, top, width, height } = label.frame;
        if left < 0.0 || top < 0.0 || left + width > drawing.width || top + height > drawing.height {
            return Some(format!("{} leaves the picture", label.text));
        }
    }
    let picture = Frame { left: 0.0, top: 0.0, width: drawing.width, height: drawing.height };
    for at in drawing.arrows.iter().flat_map(|arrow| arrow.samples()) {
        if picture.distance(at) > 0.0 {
            return Some(format!("an arrow leaves the picture at {at:?}"));
        }
        if let Some(line) = drawing.lines.iter().find(|line| line.frame.distance(at) < 1.0) {
            return Some(format!("an arrow touches {}", line.text));
        }
    }
    let bolts = &drawing.bolts;
    (0..bolts.len())
        .flat_map(|i| (i + 1..bolts.len()).map(move |j| (i, j)))
        .find(|&(i, j)| bolts[i].distance(bolts[j]) < 2.0 * RADIUS + 4.0)
        .map(|(i, j)| format!("bolt {} touches bolt {}", BoltNumber::at(i), BoltNumber::at(j)))
}

#[test]
fn nothing_touches_in_any_layout() {
    for layout in layouts() {
        let drawing = drawn(&layout, &order(&layout));
        assert_eq!(touching(&drawing), None, "{} bolts, {}", layout.bolts(), layout.shape());
        assert_eq!(drawing.ordinals.len(), layout.bolts());
        assert_eq!(drawing.arrows.len(), layout.bolts() - 1);
    }
}

/// Numbers fit into their circles.
#[test]
fn numbers_fit_into_their_bolts() {
    assert!(text_width("32", NUMBER_SIZE * 1.1) < 2.0 * RADIUS - 6.0);
}

/// No text is smaller than 18 px, which are 13.5 points on paper.
#[test]
fn no_text_is_small() {
    let layout = Layout::ring(32).unwrap();
    let svg = picture(&layout, &order(&layout), TEXT);
    let document = roxmltree::Document::parse(&svg).unwrap();
    for size in document.descendants().filter_map(|node| node.attribute("font-size")) {
        assert!(size.parse::<f64>().unwrap() >= 18.0);
    }
}

/// The document is well-formed and says what it should.
#[test]
fn the_picture_is_well_formed() {
    for layout in layouts() {
        let order = order(&layout);
        let svg = picture(&layout, &order, TEXT);
        let document = roxmltree::Document::parse(&svg).unwrap();
        let texts: Vec<&str> = document
            .descendants()
            .filter(|node| node.has_tag_name("text"))
            .map(|node| node.text().unwrap())
            .collect();
        for number in 1..=layout.bolts() {
            assert!(texts.contains(&number.to_string().as_str()));
        }
        assert!(texts.contains(&TEXT.title) && texts.contains(&TEXT.setting));
        assert_eq!(document.descendants().filter(|node| node.has_tag_name("circle")).count(), layout.bolts());
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}

/// Contrast of WCAG 2.2 between two colours written `#rrggbb`.
fn contrast(one: &str, other: &str) -> f64 {
    let luminance = |colour: &str| {
        let channel = |k: usize| {
            let value = f64::from(u8::from_str_radix(&colour[k..k + 2], 16).unwrap()) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    };
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn text_stands_out_from_its_ground() {
    let layout = Layout::ring(6).unwrap();
    let svg = picture(&layout, &order(&layout), TEXT);
    let document = roxmltree::Document::parse(&svg).unwrap();
    let ground = document.descendants().find(|node| node.has_tag_name("rect")).unwrap();
    let ground = ground.attribute("fill").unwrap();
    for text in document.descendants().filter(|node| node.has_tag_name("text")) {
        let fill = text.ancestors().find_map(|node| node.attribute("fill")).unwrap();
        assert!(contrast(fill, ground) >= 7.0, "{fill} on {ground}");
    }
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
}

#[test]
fn odd_orders_are_drawn() {
    let pair = Layout::pair();
    let twice = [0, 1, 0, 1].map(BoltNumber::at);
    let drawing = drawn(&pair, &twice);
    assert_eq!(drawing.ordinals[0].text, "1st 3rd");
    assert_eq!(drawing.arrows.len(), 3);
    assert_eq!(touching(&drawing), None);
    let strange = drawn(&pair, &[BoltNumber::at(7), BoltNumber::at(0), BoltNumber::at(0)]);
    assert_eq!((strange.arrows.len(), strange.ordinals.len()), (0, 1));
    assert_eq!(drawn(&pair, &[]).ordinals.len(), 0);
}

/// A bolt that is turned several times has a longer label, which still touches nothing.
#[test]
fn long_labels_touch_nothing() {
    for layout in
        [Layout::pair(), Layout::row(5).unwrap(), Layout::ring(6).unwrap(), Layout::grid(2, 3).unwrap()]
    {
        let drawing = drawn(&layout, &order(&layout).repeat(3));
        assert_eq!(touching(&drawing), None, "{} bolts, {}", layout.bolts(), layout.shape());
    }
}

/// An arrow never runs over a bolt of a ring or a row that is not one of its ends.
#[test]
fn arrows_go_round_other_bolts() {
    for layout in (2..=12).flat_map(|n| [Layout::ring(n), Layout::row(n)]).map(Result::unwrap) {
        let drawing = drawn(&layout, &order(&layout));
        for at in drawing.arrows.iter().flat_map(|arrow| arrow.samples()) {
            assert!(drawing.bolts.iter().all(|bolt| bolt.distance(at) > RADIUS), "{} bolts", layout.bolts());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_text_gives_well_formed_xml(title in any::<String>(), setting in "\\PC*") {
        let pair = Layout::pair();
        let svg = picture(&pair, &order(&pair), PictureText { title: &title, setting: &setting });
        prop_assert!(roxmltree::Document::parse(&svg).is_ok());
    }

    #[test]
    fn nothing_touches_at_free_positions(
        places in prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64), 1..=20),
    ) {
        let places = places.into_iter().map(|(x, y)| Point { x, y }).collect();
        if let Ok(layout) = Layout::points(places) {
            prop_assert_eq!(touching(&drawn(&layout, &order(&layout))), None);
        }
    }
}
