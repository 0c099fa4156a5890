//! Which number counts, and what is said of those that do not.

use super::*;
use crate::book::{Hand, State};
use crate::quantity::{in_newton_metres, newton_metres as nm};
use crate::sequence::Layout;

fn hardware(spec: Option<Spec>) -> Hardware {
    Hardware {
        entry: "test-clamp".into(),
        name: "Test clamp".into(),
        family: "cockpit".into(),
        layout: Layout::named("pair", 2).unwrap(),
        hand: Hand::Right,
        state: if spec.is_some() { State::Agreed } else { State::None },
        spec,
        resolution: Resolution(nm(0.1)),
        word: "band of test-clamp, 2 issuers".into(),
        cautions: vec![],
    }
}

fn marked(markings: &[(&str, &str)]) -> Figures {
    let marking = |(part, figure): &(&str, &str)| Marking { part: (*part).into(), figure: (*figure).into() };
    Figures { markings: markings.iter().map(marking).collect(), ..Figures::default() }
}

fn ends(found: &Governing) -> (Option<f64>, Option<f64>) {
    let limits = found.limits.as_ref().unwrap();
    let round = |torque: Torque| (in_newton_metres(torque) * 1e6).round() / 1e6;
    (limits.low().map(round), limits.high().map(round))
}

#[test]
fn the_order_of_authority_is_that_of_the_contract() {
    let band = hardware(Some(Spec::range_nm(4.0, 6.0)));
    let mut figures = Figures {
        markings: vec![Marking { part: "stem".into(), figure: "5 N·m".into() }],
        part_maker: "5.5 N·m".into(),
        bicycle_maker: "6 N·m".into(),
        shop: "4.5 N·m".into(),
    };
    let bases: Vec<FigureBasis> = (0..5)
        .map(|step| {
            match step {
                1 => figures.markings.clear(),
                2 => figures.part_maker.clear(),
                3 => figures.bicycle_maker.clear(),
                4 => figures.shop.clear(),
                _ => {}
            }
            governing(&figures, Some(&band)).basis
        })
        .collect();
    let all = [
        FigureBasis::Marking,
        FigureBasis::PartMaker,
        FigureBasis::BicycleMaker,
        FigureBasis::Shop,
        FigureBasis::Band,
    ];
    assert_eq!(bases, all);
    assert_eq!(governing(&figures, Some(&hardware(None))).basis, FigureBasis::Nobody);
    assert!(governing(&figures, None).limits.is_none());
}

#[test]
fn of_two_parts_the_lower_ceiling_governs_and_is_named() {
    for (first, second, low, high, part) in [
        ("max 5 N·m", "max 6 N·m", None, 5.0, "stem"),
        ("max 6 N·m", "max 5 N·m", None, 5.0, "bar"),
        ("4-6 N·m", "max 5 N·m", Some(4.0), 5.0, "bar"),
        ("max 5 N·m", "4-6 N·m", Some(4.0), 5.0, "stem"),
        ("5-6 N·m", "4-8 N·m", Some(5.0), 6.0, "stem"),
        ("min 3 N·m", "max 5 N·m", Some(3.0), 5.0, "bar"),
    ] {
        let found = governing(&marked(&[("stem", first), ("bar", second)]), None);
        assert_eq!(ends(&found), (low, Some(high)), "{first} with {second}");
        assert!(found.word.starts_with(&format!("marking on the {part}")), "{}", found.word);
        assert!(found.notes.is_empty());
    }
}

#[test]
fn parts_that_contradict_each_other_are_told() {
    let found = governing(&marked(&[("stem", "8-9 N·m"), ("bar", "max 5 N·m")]), None);
    assert_eq!(ends(&found), (None, Some(5.0)));
    assert!(found.notes[0].contains("do not belong together"), "{:?}", found.notes);
}

#[test]
fn a_ceiling_takes_its_low_side_from_the_band_where_that_leaves_room() {
    let band = hardware(Some(Spec::range_nm(4.0, 6.0)));
    let found = governing(&marked(&[("stem", "max 5 N·m")]), Some(&band));
    assert_eq!(ends(&found), (Some(4.0), Some(5.0)));
    assert!(found.word.contains("low side from the band"));
    let found = governing(&marked(&[("stem", "max 3 N·m")]), Some(&band));
    assert_eq!(ends(&found), (None, Some(3.0)));
    assert!(found.notes[0].contains("without a value in common"), "{:?}", found.notes);
}
