//! Lists and lines at the edges of a terminal.

use super::*;

const PLAIN: Style = Style { width: 40, colour: false };

#[test]
fn several_items_get_a_dash_each_and_the_label_once() {
    assert_eq!(PLAIN.listed("Note", &["one", "two"]), "Note      - one\n          - two\n");
    assert_eq!(PLAIN.listed("Note", &["one"]), "Note      one\n");
    assert_eq!(PLAIN.listed("Note", &[] as &[&str]), "");
}

#[test]
fn lines_are_broken_at_blanks_and_set_under_their_beginning() {
    let text = PLAIN.wrapped("  next: ", "tighten to 5 N·m and re-check-it-tomorrow");
    assert_eq!(text, "  next: tighten to 5 N·m and\n        re-check-it-tomorrow\n");
}

#[test]
fn a_line_is_never_narrower_than_40_nor_wider_than_100_columns() {
    let widest = |width| {
        let text = Style { width, colour: false }.wrapped("", &"word ".repeat(60));
        text.lines().map(str::len).max()
    };
    assert_eq!([10, 40, 100, 300].map(widest), [Some(39), Some(39), Some(99), Some(99)]);
}

#[test]
fn only_colour_paints() {
    assert_eq!(PLAIN.decided(Decision::Bad, "low"), "low");
    let painted = Style { colour: true, ..PLAIN };
    assert_eq!(painted.decided(Decision::Bad, "low"), painted.bad("low"));
    assert_eq!(painted.decided(Decision::Undecided, "low"), painted.open("low"));
    assert_ne!(painted.bad("low"), painted.good("low"));
    assert!(painted.bad("low").contains("low") && painted.bad("low") != "low");
}
