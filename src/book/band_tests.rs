//! The band rule (`specs/rules.md`, "Book"), case by case. Marzullo's published cases are in
//! `tests/published/consensus.rs`.

use super::*;
use std::sync::Arc;

use crate::book::{Grade, Speaker, word_of_band};
use crate::quantity::{in_newton_metres, newton_metres, parse_spec};

/// Invented evidence: issuer, grade, value.
fn evidence(rows: &[(&str, Grade, &str)]) -> Vec<Claim> {
    let claim = |&(issuer, grade, value): &(&str, Grade, &str)| Claim {
        speaker: Arc::new(Speaker {
            issuer: issuer.into(),
            source: format!("manual-{issuer}"),
            year: String::new(),
        }),
        variant: "clamp".into(),
        stated: parse_spec(value).unwrap(),
        grade,
        counted: grade.counts(),
        own: false,
        orients: !grade.counts(),
    };
    rows.iter().map(claim).collect()
}

fn result(rows: &[(&str, Grade, &str)]) -> (BandState, Option<(f64, f64)>) {
    let consensus = consensus(&evidence(rows));
    let nm = |end: Option<Torque>| end.map_or(f64::NAN, |t| (in_newton_metres(t) * 1e6).round() / 1e6);
    (consensus.state, consensus.band.map(|band| (nm(band.low), nm(band.high))))
}

use Grade::{CommonPractice, Marking, Memory, Published, Secondhand};

#[test]
fn two_issuers_that_meet_agree() {
    assert_eq!(
        result(&[("a", Published, "4-6 N·m"), ("b", Marking, "5-7 N·m")]),
        (BandState::Agreed, Some((5.0, 6.0)))
    );
}

#[test]
fn a_majority_of_three_is_wider_than_the_best_backed_sliver() {
    let rows =
        evidence(&[("a", Published, "4-6 N·m"), ("b", Published, "5-8 N·m"), ("c", Published, "5.9-8 N·m")]);
    let consensus = consensus(&rows);
    assert_eq!(consensus.state, BandState::Agreed);
    let (band, core) = (consensus.band.unwrap(), consensus.core.unwrap());
    assert_eq!((band.low, band.high, band.issuers), (Some(newton_metres(5.0)), Some(newton_metres(8.0)), 2));
    assert_eq!((core.low, core.high, core.issuers), (Some(newton_metres(5.9)), Some(newton_metres(6.0)), 3));
}

#[test]
fn one_issuer_is_thin_however_often_it_speaks() {
    assert_eq!(
        result(&[("a", Published, "4-5 N·m"), ("a", Published, "5-6 N·m"), ("a", Marking, "4.5 N·m")]),
        (BandState::Thin, Some((4.0, 6.0)))
    );
}

/// Two issuers that meet agree where one of them was read first-hand; hearsay alone is thin, however much of it meets.
#[test]
fn second_hand_figures_count_and_one_own_figure_makes_them_agreed() {
    assert_eq!(
        result(&[("a", Published, "4-6 N·m"), ("b", Secondhand, "5-7 N·m")]),
        (BandState::Agreed, Some((5.0, 6.0)))
    );
    assert_eq!(
        result(&[("a", Published, "4-6 N·m"), ("b", Secondhand, "5-7 N·m"), ("c", Secondhand, "5-8 N·m")]),
        (BandState::Agreed, Some((5.0, 7.0)))
    );
    assert_eq!(
        result(&[("a", Secondhand, "4-6 N·m"), ("b", Secondhand, "5-7 N·m")]),
        (BandState::Thin, Some((5.0, 6.0)))
    );
    assert_eq!(result(&[("a", Secondhand, "4-6 N·m")]), (BandState::Thin, Some((4.0, 6.0))));
    assert_eq!(
        result(&[("a", Secondhand, "4-5 N·m"), ("b", Secondhand, "8-9 N·m")]),
        (BandState::Disputed, None)
    );
}

#[test]
fn a_majority_that_no_published_figure_touches_is_disputed() {
    assert_eq!(
        result(&[("a", Published, "40-50 N·m"), ("b", Secondhand, "5-7 N·m"), ("c", Secondhand, "5-8 N·m")]),
        (BandState::Disputed, None)
    );
}

#[test]
fn figures_that_do_not_meet_are_disputed_and_all_shown() {
    let consensus = consensus(&evidence(&[("a", Published, "4-5 N·m"), ("b", Published, "8-9 N·m")]));
    assert_eq!((consensus.state, consensus.band, consensus.spec), (BandState::Disputed, None, None));
    assert_eq!(consensus.stretches.len(), 2);
}

#[test]
fn practice_and_memory_are_never_counted() {
    assert_eq!(
        result(&[("a", CommonPractice, "4-6 N·m"), ("b", Memory, "4-6 N·m")]),
        (BandState::Unconfirmed, None)
    );
    assert_eq!(result(&[]), (BandState::None, None));
    let mut rows = evidence(&[("a", Published, "4-6 N·m"), ("b", Published, "80 N·m")]);
    rows[1].counted = false;
    assert_eq!(consensus(&rows).issuers, 1);
}

#[test]
fn a_ceiling_limits_the_high_side_only() {
    let consensus = consensus(&evidence(&[("a", Published, "max 50 N·m"), ("b", Published, "35-60 N·m")]));
    let band = consensus.band.unwrap();
    assert_eq!((band.low, band.high), (Some(newton_metres(35.0)), Some(newton_metres(50.0))));
}

#[test]
fn a_lone_set_value_stays_a_set_value_and_a_lone_ceiling_a_ceiling() {
    let one = consensus(&evidence(&[("a", Published, "5 N·m")]));
    assert_eq!(one.spec, Some(Spec::Set(newton_metres(5.0))));
    let max = consensus(&evidence(&[("a", Published, "max 5 N·m")]));
    assert_eq!((max.state, max.spec), (BandState::Thin, Some(Spec::Ceiling(newton_metres(5.0)))));
}

#[test]
fn set_values_meet_within_what_wrenches_may_do() {
    assert_eq!(
        result(&[("a", Published, "6 N·m"), ("b", Published, "5-6 N·m")]),
        (BandState::Agreed, Some((5.64, 6.0)))
    );
    assert_eq!(result(&[("a", Published, "10 N·m"), ("b", Published, "12 N·m")]).0, BandState::Disputed);
}

/// Own figures that each touch the band but not each other agree with what is repeated between them.
#[test]
fn an_own_figure_agrees_with_whoever_meets_it_in_the_band() {
    let mut rows = vec![("a", Published, "4-5 N·m"), ("b", Published, "6-7 N·m")];
    rows.extend(["c", "d", "e"].map(|issuer| (issuer, Secondhand, "4-7 N·m")));
    assert_eq!(result(&rows), (BandState::Agreed, Some((4.0, 7.0))));
    let consensus = consensus(&evidence(&rows));
    assert_eq!((consensus.stretches.len(), consensus.core), (2, None), "backed alike at both ends");
    rows.remove(0);
    rows[0].2 = "8-9 N·m";
    assert_eq!(result(&rows), (BandState::Disputed, None));
}

/// An end that an issuer leaves open in one of its figures is open in its hull, in whatever order they come.
#[test]
fn an_open_end_stays_open_in_the_hull_of_an_issuer() {
    for (open, closed, low, high) in [
        ("max 50 N·m", "35-60 N·m", None, Some(60.0)),
        ("max 70 N·m", "35-60 N·m", None, Some(70.0)),
        ("min 40 N·m", "35-60 N·m", Some(35.0), None),
        ("min 30 N·m", "35-60 N·m", Some(30.0), None),
        ("max 50 N·m", "min 20 N·m", None, None),
    ] {
        for figures in [[open, closed], [closed, open]] {
            let ranges = issuer_ranges(&evidence(&figures.map(|figure| ("a", Published, figure))));
            assert_eq!(ranges.len(), 1);
            let ends = (ranges[0].low, ranges[0].high);
            assert_eq!(ends, (low.map(newton_metres), high.map(newton_metres)), "{figures:?}");
        }
    }
}

#[test]
fn a_half_is_no_majority() {
    let two_of_four = [
        ("a", Published, "4-5 N·m"),
        ("b", Published, "4-5 N·m"),
        ("c", Published, "8-9 N·m"),
        ("d", Published, "11-12 N·m"),
    ];
    assert_eq!(result(&two_of_four), (BandState::Disputed, None));
    assert_eq!(result(&two_of_four[..3]), (BandState::Agreed, Some((4.0, 5.0))));
}

#[test]
fn ends_that_touch_meet_in_one_value() {
    assert_eq!(
        result(&[("a", Published, "4-5 N·m"), ("b", Published, "5-6 N·m")]),
        (BandState::Agreed, Some((5.0, 5.0)))
    );
}

#[test]
fn the_finest_digit_printed_is_the_step_of_the_band() {
    let step = |rows: &[(&str, Grade, &str)]| {
        let step = consensus(&evidence(rows)).resolution.unwrap().0;
        format!("{:.3}", in_newton_metres(step))
    };
    assert_eq!(step(&[("a", Published, "4-6 N·m"), ("b", Published, "4.5-6.0 N·m")]), "0.100");
    assert_eq!(step(&[("b", Published, "4.5-6.0 N·m"), ("a", Published, "4-6 N·m")]), "0.100");
    assert_eq!(
        step(&[("a", Published, "4-6 N·m"), ("a", Published, "4.5-6.0 N·m")]),
        "0.100",
        "of one issuer"
    );
    assert_eq!(step(&[("a", Published, "5 N·m")]), "0.100", "a set value stands for a range around it");
}

#[test]
fn a_set_value_that_an_issuer_varies_is_a_range() {
    let spec =
        |figures: [&str; 2]| consensus(&evidence(&figures.map(|figure| ("a", Published, figure)))).spec;
    assert_eq!(spec(["5 N·m", "5 N·m"]), Some(Spec::Set(newton_metres(5.0))));
    assert!(matches!(spec(["5 N·m", "6 N·m"]), Some(Spec::Range { .. })));
    assert!(matches!(spec(["5 N·m", "4-6 N·m"]), Some(Spec::Range { .. })));
}

/// Who stands behind a thin band is who counts, not who is merely shown; with the year and the hardware.
#[test]
fn a_thin_band_names_who_counts_when_and_of_what() {
    let mut rows =
        evidence(&[("shown", Published, "40 N·m"), ("own", Published, "5 N·m"), ("own", Marking, "6 N·m")]);
    rows[0].counted = false;
    let of = |rows: &[Claim]| word_of_band("bolt", rows, &consensus(rows));
    assert_eq!(of(&rows), "bolt, thin: on the word of own alone, year not stated, for: clamp");
    Arc::make_mut(&mut rows[1].speaker).year = "2004".into();
    Arc::make_mut(&mut rows[2].speaker).year = "1999".into();
    rows[2].variant = "clamp of a downhill frame".into();
    assert_eq!(
        of(&rows),
        "bolt, thin: on the word of own alone, 1999 and 2004, for: clamp; clamp of a downhill frame"
    );
    let mut more = rows.clone();
    more.extend(
        rows.iter().map(|claim| Claim { variant: format!("another {}", claim.variant), ..claim.clone() }),
    );
    assert!(of(&more).ends_with("for: clamp; clamp of a downhill frame and 2 more"), "{}", of(&more));
    more.pop();
    assert!(of(&more).ends_with("for: clamp; clamp of a downhill frame and 1 more"), "{}", of(&more));
    let hearsay = evidence(&[("a", Secondhand, "5 N·m"), ("b", Secondhand, "5 N·m")]);
    assert_eq!(
        of(&hearsay),
        "bolt, thin: on the word of a and b, year not stated, at second hand, for: clamp"
    );
}

/// The deviation that a set value allows, ISO 6789-1: 6 % up to 10 N·m, 4 % above; 8 N·m ± 6 % are 0.96 N·m wide.
#[test]
fn a_band_that_no_wrench_could_hold_is_one_value_at_its_middle() {
    let of = |a, b| consensus(&evidence(&[("a", Published, a), ("b", Published, b)]));
    let sliver = of("6-8 N·m", "7.9-9 N·m");
    assert_eq!((sliver.spec, sliver.is_sliver()), (Some(Spec::Set(newton_metres(7.95))), true));
    assert!(word_of_band("x", &evidence(&[]), &sliver).ends_with("taken for one value"));
    // 7.6 N·m allows 0.912 N·m in all.
    assert!(of("6-8 N·m", "7.2-9 N·m").is_sliver());
    let held = of("6-8 N·m", "7-9 N·m");
    assert_eq!((held.spec, held.is_sliver()), (Some(Spec::range_nm(7.0, 8.0)), false));
    let set = consensus(&evidence(&[("a", Published, "8 N·m")]));
    assert_eq!((set.spec, set.is_sliver()), (Some(Spec::Set(newton_metres(8.0))), false));
}
