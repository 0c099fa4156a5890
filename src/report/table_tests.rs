//! Columns under each other, the last one wrapped.

use super::*;

#[test]
fn columns_stand_under_each_other_without_blanks_at_the_end() {
    let rows = records(
        &["a", "b"],
        [vec!["long one".to_owned(), "x".to_owned()], vec!["é".to_owned(), String::new()]],
    );
    let style = Style { width: 80, colour: false };
    assert_eq!(columns(&rows, &style), "a         b\nlong one  x\né\n");
    assert_eq!(columns(&[], &style), "");
}

#[test]
fn a_sentence_stands_beneath_its_row_and_leaves_the_columns_where_they_are() {
    let row = |a: &str, b: &str| vec![a.to_owned(), b.to_owned()];
    let rows = records(&["a", "b"], [row("long one", "x"), row("é", "y")]);
    let beneath = [None, Some("said of it".to_owned()), None];
    let style = Style { width: 80, colour: false };
    assert_eq!(
        columns_over(&rows, &beneath, &style),
        "a         b\nlong one  x\n    said of it\né         y\n"
    );
}

#[test]
fn the_last_column_is_wrapped_within_the_width_but_keeps_24_columns() {
    let rows = records(&["a", "b"], [vec!["x".repeat(8), "word ".repeat(12)]]);
    let widest = |width| {
        let text = columns(&rows, &Style { width, colour: false });
        text.lines().map(|line| line.trim_start().trim_start_matches('x').trim_start().len()).max()
    };
    // 50 − (8 + 2) − 2 = 38 columns hold seven words of four letters; 24 hold five.
    assert_eq!([50, 20].map(widest), [Some(34), Some(24)]);
}
