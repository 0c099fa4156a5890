//! What is commonly given where nothing counts: one voice for each document, memory being one.

use std::sync::Arc;

use proptest::prelude::*;

use crate::book::{BandState, Claim, Grade, Speaker, consensus};
use crate::quantity::{Resolution, Spec, newton_metres as nm, parse_spec};

use Grade::{CommonPractice, Memory, Published};

/// Invented rows that do not count: document, grade, value.
fn claims(rows: &[(&str, Grade, &str)]) -> Vec<Claim> {
    let claim = |&(source, grade, value): &(&str, Grade, &str)| Claim {
        speaker: Arc::new(Speaker { issuer: "nobody".into(), source: source.into(), year: String::new() }),
        variant: String::new(),
        stated: parse_spec(value).unwrap(),
        grade,
        counted: false,
        orients: true,
        own: false,
    };
    rows.iter().map(claim).collect()
}

fn given(rows: &[(&str, Grade, &str)]) -> super::Orientation {
    let consensus = consensus(&claims(rows));
    assert_eq!((consensus.state, consensus.band, consensus.spec), (BandState::Unconfirmed, None, None));
    consensus.orientation.unwrap()
}

#[test]
fn what_most_documents_allow_is_commonly_given() {
    let given = given(&[
        ("a", CommonPractice, "8-15 N·m"),
        ("b", CommonPractice, "10-18 N·m"),
        ("c", CommonPractice, "10-15 N·m"),
        ("d", CommonPractice, "30-40 N·m"),
    ]);
    assert_eq!(given.stretches, [Spec::range_nm(10.0, 15.0)], "more than half");
    assert_eq!((given.backed, given.voices(), given.general, given.memory), (3, 4, true, false));
    assert_eq!(given.resolution, Resolution(nm(1.0)));
    assert!(given.has(nm(10.0)) && given.has(nm(15.0)) && !given.has(nm(9.9)) && !given.has(nm(35.0)));
}

/// The rows of one document are one voice, and so is all that is recalled, wherever the rows say it comes from.
#[test]
fn a_document_and_memory_are_one_voice_each() {
    let rows = [
        ("a", CommonPractice, "4-5 N·m"),
        ("a", CommonPractice, "5-8 N·m"),
        ("memory", Memory, "6-7 N·m"),
        ("practice", Memory, "6-9 N·m"),
    ];
    let given = given(&rows);
    assert_eq!(given.stretches, [Spec::range_nm(6.0, 8.0)]);
    assert_eq!((given.backed, given.voices(), given.memory), (2, 2, true));
    assert_eq!(given.sources, ["a"]);
}

#[test]
fn documents_that_do_not_meet_are_all_told() {
    let given = given(&[("a", CommonPractice, "4-5 N·m"), ("b", Published, "8-9 N·m")]);
    assert_eq!(given.stretches, [Spec::range_nm(4.0, 5.0), Spec::range_nm(8.0, 9.0)]);
    assert_eq!((given.backed, given.general), (1, false));
}

/// What more than half allow is wider than the sliver that all of them allow.
#[test]
fn a_majority_is_told_rather_than_a_sliver() {
    let rows = [
        ("a", CommonPractice, "9-13 N·m"),
        ("b", CommonPractice, "12-15 N·m"),
        ("c", CommonPractice, "8-15 N·m"),
    ];
    let given = given(&rows);
    assert_eq!((given.stretches, given.backed), (vec![Spec::range_nm(9.0, 15.0)], 2));
}

/// Where as many meet in two places, and all but one of them allow what lies between, it is one stretch.
#[test]
fn what_all_but_one_of_the_best_allow_between_them_is_one_stretch() {
    let given = given(&[
        ("a", CommonPractice, "12-18 N·m"),
        ("b", CommonPractice, "8-15 N·m"),
        ("c", CommonPractice, "12 N·m"),
        ("memory", Memory, "15 N·m"),
    ]);
    assert_eq!(given.stretches, [Spec::range_nm(12.0, 15.0)]);
    assert_eq!((given.backed, given.resolution), (3, Resolution(nm(1.0))));
}

#[test]
fn one_number_stays_that_number_and_an_open_end_stays_open() {
    assert_eq!(given(&[("memory", Memory, "17 N·m")]).stretches, [Spec::Set(nm(17.0))]);
    let rows = [("a", CommonPractice, "9-13 N·m"), ("practice", CommonPractice, "12 N·m")];
    assert_eq!(given(&rows).stretches, [Spec::Set(nm(12.0))]);
    assert_eq!(given(&[("memory", Memory, "min 15 N·m")]).stretches, [Spec::Floor(nm(15.0))]);
    assert_eq!(given(&[("a", CommonPractice, "max 1 N·m")]).stretches, [Spec::Ceiling(nm(1.0))]);
}

/// Where somebody counts, or nobody speaks of this hardware, nothing is commonly given.
#[test]
fn what_counts_leaves_no_orientation_and_other_hardware_gives_none() {
    let mut rows = claims(&[("a", CommonPractice, "4-5 N·m"), ("b", Published, "8-9 N·m")]);
    rows[1].counted = true;
    let found = consensus(&rows);
    assert_eq!((found.state, found.orientation), (BandState::Thin, None));
    for row in &mut rows {
        (row.counted, row.orients) = (false, false);
    }
    let found = consensus(&rows);
    assert_eq!((found.state, found.orientation), (BandState::None, None));
}

proptest! {
    /// Whatever is given, nothing comes of it to judge, aim at or set by; and what is told is what somebody gave.
    #[test]
    fn an_orientation_is_no_band(rows in prop::collection::vec((0..4_usize, 0..3_usize, 0.5..60.0_f64, 0.0..20.0_f64), 1..9)) {
        let grade = |number: usize| [CommonPractice, Memory, Published][number];
        let rows: Vec<(String, Grade, String)> = rows
            .iter()
            .map(|(source, number, low, width)| {
                let value = if *width < 2.0 { format!("{low:.1} N·m") } else { format!("{low:.1}-{:.1} N·m", low + width) };
                (format!("article-{source}"), grade(*number), value)
            })
            .collect();
        let rows: Vec<_> = rows.iter().map(|(source, grade, value)| (source.as_str(), *grade, value.as_str())).collect();
        let found = consensus(&claims(&rows));
        prop_assert_eq!((found.state, found.band, found.core, found.spec), (BandState::Unconfirmed, None, None, None));
        prop_assert!(found.stretches.is_empty() && found.backing.is_none());
        let given = found.orientation.unwrap();
        prop_assert!(given.backed >= 1 && given.backed <= given.voices());
        for (low, high) in given.stretches.iter().map(|stretch| stretch.limits()) {
            prop_assert!(given.has(low.unwrap()) && given.has(high.unwrap()));
        }
    }
}
