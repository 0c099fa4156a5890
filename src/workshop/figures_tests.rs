//! Which number counts, and what is said of those that do not.

use super::*;
use crate::book::{Check, Hand};
use crate::quantity::{in_newton_metres, newton_metres as nm};
use crate::sequence::Layout;
use crate::workshop::joint::tests::clamp;

pub(in crate::workshop) fn hardware(spec: Option<Spec>) -> Hardware {
    Hardware {
        name: "Test clamp".into(),
        thread: String::new(),
        metal: None,
        family: "cockpit".into(),
        layout: Layout::named("pair", 2).unwrap(),
        hand: Hand::Right,
        spec,
        expected: crate::joint::Expected::default(),
        core: None,
        resolution: Resolution(nm(0.1)),
        caveat: None,
        others_print_less: false,
        orientation: None,
        word: "band of test-clamp, 2 issuers".into(),
    }
}

fn marked(markings: &[(&str, &str)]) -> Joint {
    let marking =
        |(part, figure): &(&str, &str)| Marking { part: (*part).into(), figure: Figure::read(figure) };
    joint(Figures { markings: markings.iter().map(marking).collect(), ..Figures::default() })
}

fn joint(figures: Figures) -> Joint {
    Joint { figures, ..clamp(1, "") }
}

fn ends(found: &Governing) -> (Option<f64>, Option<f64>) {
    let limits = found.limits.as_ref().unwrap();
    let round = |torque: Torque| (in_newton_metres(torque) * 1e6).round() / 1e6;
    (limits.low().map(round), limits.high().map(round))
}

#[test]
fn the_order_of_authority_is_that_of_the_contract() {
    let band = hardware(Some(Spec::range_nm(4.0, 6.0)));
    let mut joint = joint(Figures {
        markings: vec![Marking { part: "stem".into(), figure: Figure::read("5 N·m") }],
        part_maker: Some(Figure::read("5.5 N·m")),
        bicycle_maker: Some(Figure::read("6 N·m")),
        shop: Some(Figure::read("4.5 N·m")),
    });
    let bases: Vec<FigureBasis> = (0..5)
        .map(|step| {
            match step {
                1 => joint.figures.markings.clear(),
                2 => joint.figures.part_maker = None,
                3 => joint.figures.bicycle_maker = None,
                4 => joint.figures.shop = None,
                _ => {}
            }
            governing(&joint, Some(&band)).basis
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
    assert_eq!(governing(&joint, Some(&hardware(None))).basis, FigureBasis::Nobody);
    assert!(governing(&joint, None).limits.is_none());
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

/// A figure that cannot be read may be the lowest: nothing else stands in for it, not even the band.
#[test]
fn a_figure_that_cannot_be_read_leaves_nothing_to_act_on() {
    let band = hardware(Some(Spec::range_nm(4.0, 6.0)));
    let unreadable = || Some(Figure::read("5 Nx"));
    let good = vec![Marking { part: "stem".into(), figure: Figure::read("5 N·m") }];
    let figures = |change: fn(&mut Figures, Option<Figure>)| {
        let mut figures = Figures { markings: good.clone(), ..Figures::default() };
        change(&mut figures, unreadable());
        figures
    };
    for (figures, whose) in [
        (figures(|figures, bad| figures.part_maker = bad), "maker of the part"),
        (figures(|figures, bad| figures.bicycle_maker = bad), "maker of the bicycle"),
        (figures(|figures, bad| figures.shop = bad), "the shop's own book"),
        (
            figures(|figures, bad| {
                figures.markings.extend(bad.map(|figure| Marking { part: "bar".into(), figure }));
            }),
            "marking on the bar",
        ),
    ] {
        let found = governing(&joint(figures), Some(&band));
        assert_eq!((found.limits, found.basis), (None, FigureBasis::Unreadable), "{whose}");
        assert!(found.word.starts_with(whose) && found.word.contains("5 Nx"), "{}", found.word);
    }
    // A limit of a measured value is none of a torque, and a torque none of a measured value.
    let measure = marked(&[("rotor", "min 1.5 mm")]);
    assert_eq!(governing(&measure, Some(&band)).limits, None);
    let measured = Joint { check: Check::Measure, ..measure };
    assert_eq!(measured.damage(), "");
    let of_torque = Joint { check: Check::Measure, ..marked(&[("rotor", "5 N·m")]) };
    assert_eq!(of_torque.damaged().map(|figure| figure.column).collect::<Vec<_>>(), ["marking"]);
}

#[test]
fn every_damaged_figure_is_named() {
    let damaged = || Some(Figure::read("5 Nx"));
    let mut joint = marked(&[("stem", "5 N·m"), ("bar", "5 Nx")]);
    (joint.figures.part_maker, joint.figures.bicycle_maker, joint.figures.shop) =
        (damaged(), Some(Figure::read("6 N·m")), damaged());
    let columns: Vec<&str> = joint.damaged().map(|figure| figure.column).collect();
    assert_eq!(columns, ["second_marking", "part_maker", "shop"]);
    let word = governing(&joint, None).word;
    for whose in ["marking on the bar: `5 Nx`", "maker of the part: `5 Nx`", "the shop's own book: `5 Nx`"] {
        assert!(word.contains(whose), "{whose}: {word}");
    }
    // A fault that shows the text is not told twice.
    let word = governing(&marked(&[("stem", "banana")]), None).word;
    assert_eq!(
        word,
        "marking on the stem: `banana` cannot be read as a number; no other figure stands in for it"
    );
}

/// Parts of one ceiling are as the first says, and the higher of their low sides counts.
#[test]
fn two_parts_of_one_ceiling_and_two_that_meet_in_one_torque() {
    let of = |first, second| governing(&marked(&[("stem", first), ("bar", second)]), None);
    let alike = of("4-6 N·m", "5-6 N·m");
    assert_eq!(ends(&alike), (Some(5.0), Some(6.0)));
    assert!(
        alike.word.starts_with("marking on the stem")
            && alike.word.ends_with("its low side is the marking on the bar")
    );
    let touching = of("6-8 N·m", "max 6 N·m");
    assert_eq!(ends(&touching), (Some(6.0), Some(6.0)), "6 N·m serves both");
    assert!(touching.notes[0].contains("less room than a wrench can hold"), "{:?}", touching.notes);
    // A conforming wrench holds 6 N·m to 6 %, so it needs 0.72 N·m.
    assert_eq!(of("5.2-8 N·m", "max 6 N·m").notes, [""; 0]);
    assert_eq!(of("5.3-8 N·m", "max 6 N·m").notes.len(), 1);
}

#[test]
fn a_floor_takes_its_high_side_from_the_band_and_other_figures_stay_as_they_are() {
    let band = hardware(Some(Spec::range_nm(4.0, 6.0)));
    let of = |figure| governing(&marked(&[("stem", figure)]), Some(&band));
    assert_eq!(ends(&of("min 5 N·m")), (Some(5.0), Some(6.0)));
    assert!(of("min 5 N·m").word.ends_with("; high side from the band"));
    assert_eq!(ends(&of("5-8 N·m")), (Some(5.0), Some(8.0)));
    // Figures that meet in one torque contradict each other in nothing.
    for figure in ["6-8 N·m", "2-4 N·m"] {
        assert!(of(figure).notes.is_empty(), "{figure}");
    }
    for figure in ["6.1-8 N·m", "2-3.9 N·m"] {
        assert!(of(figure).notes[0].starts_with("the band of the entry says otherwise"), "{figure}");
    }
}

#[test]
fn a_marking_is_held_against_what_else_is_stated_and_nothing_else_is() {
    let figures = |marking: &[&str]| Figures {
        markings: marking
            .iter()
            .map(|text| Marking { part: String::new(), figure: Figure::read(text) })
            .collect(),
        part_maker: Some(Figure::read("4-5 N·m")),
        shop: Some(Figure::read("9 N·m")),
        ..Figures::default()
    };
    let found = governing(&joint(figures(&["7 N·m"])), None);
    assert_eq!(found.word, "marking on the part");
    assert_eq!(found.notes, ["maker of the part says otherwise, without a value in common"]);
    assert!(governing(&joint(figures(&["4.5 N·m"])), None).notes.is_empty());
    assert!(governing(&joint(figures(&[])), None).notes.is_empty());
}

/// The low side of the other part is named where it is the higher one, and not where both are the same.
#[test]
fn the_low_side_of_the_other_part_counts_where_it_is_higher() {
    for (bar, low, named) in [("5-6 N·m", 5.0, true), ("4-6 N·m", 4.0, false), ("3-6 N·m", 4.0, false)] {
        let found = governing(&marked(&[("stem", "4-5 N·m"), ("bar", bar)]), None);
        assert_eq!(ends(&found), (Some(low), Some(5.0)), "{bar}");
        assert_eq!(found.word.contains("its low side is the"), named, "{bar}: {}", found.word);
    }
}

#[test]
fn a_marking_takes_the_place_of_that_on_the_same_part_or_stands_beside_another() {
    let marked = |texts: &[&str]| {
        let mut figures = Figures::default();
        let last = texts.iter().map(|text| figures.mark(Marking::typed(text))).last().unwrap();
        let texts: Vec<String> =
            figures.markings.iter().map(|it| format!("{}:{}", it.part, it.figure.text())).collect();
        (texts.join(" "), last.is_ok())
    };
    for (typed, kept, is_taken) in [
        (&["max 5 N·m"][..], ":max 5 N·m", true),
        (&["5 N·m", "6 N·m"], ":6 N·m", true),
        (&["stem: 6 N·m", "Bar : 5 N·m"], "stem:6 N·m Bar:5 N·m", true),
        (&["stem: 6 N·m", "bar: 5 N·m", "STEM: 4 N·m"], "STEM:4 N·m bar:5 N·m", true),
        (&["6 N·m", "bar: 5 N·m"], ":6 N·m bar:5 N·m", true),
        (&["stem: 6 N·m", "5 N·m"], "stem:6 N·m", false),
        (&["stem: 6 N·m", "bar: 5 N·m", "post: 4 N·m"], "stem:6 N·m bar:5 N·m", false),
    ] {
        assert_eq!(marked(typed), (kept.to_owned(), is_taken), "{typed:?}");
    }
}
