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
fn a_number_is_not_parted_from_its_unit() {
    let broken =
        PLAIN.wrapped("", "it is tightened until the wrench says 12–14 N·m, then left to stand 24 h.");
    assert_eq!(broken, "it is tightened until the wrench says\n12–14 N·m, then left to stand 24 h.\n");
    // A number that no unit follows, and a blank that was typed, stay as they are.
    let plain = PLAIN.wrapped("", "what is printed on each of those parts 5\u{a0}x and 12 times");
    assert_eq!(plain, "what is printed on each of those parts\n5\u{a0}x and 12 times\n");
}

#[test]
fn pieces_stay_whole() {
    let text = PLAIN.pieces("[ ] ride  [ ] ride with conditions  [ ] do not ride");
    assert_eq!(text, "[ ] ride  [ ] ride with conditions\n[ ] do not ride\n");
}

#[test]
fn a_word_is_broken_only_where_no_line_could_hold_it() {
    let text = PLAIN.wrapped("", &format!("see brake-lever-hydraulic-modern-long-key {}", "z".repeat(50)));
    assert_eq!(
        text,
        format!("see\nbrake-lever-hydraulic-modern-long-key\n{}\n{}\n", "z".repeat(40), "z".repeat(10))
    );
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
