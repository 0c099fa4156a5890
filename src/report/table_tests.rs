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

/// A table of many figures is set closer before anything leaves its line, and what leaves it stands beneath its row
/// under its name: no line is too wide, and no word is broken.
#[test]
fn what_does_not_fit_beside_a_row_stands_beneath_it() {
    let row = |cells: [&str; 3]| cells.map(str::to_owned).to_vec();
    let rows = [
        row(["joint", "bolts", "figure"]),
        row(["brake-lever-hydraulic-modern", "2", "4.0–6.0 N·m"]),
        row(["pedal", "1", "35 N·m"]),
    ];
    assert_eq!(
        columns(
            &records(&["not settled", "a b"], [row(["1", "2", ""])[..2].to_vec()]),
            &Style { width: 10, colour: false }
        ),
        "not      a\nsettled  b\n1        2\n"
    );
    let at = |width| columns(&rows, &Style { width, colour: false });
    assert_eq!(
        at(46),
        "joint                        bolts figure\n\
         brake-lever-hydraulic-modern 2     4.0–6.0 N·m\n\
         pedal                        1     35 N·m\n"
    );
    assert_eq!(
        at(40),
        "joint                         bolts\n\
         brake-lever-hydraulic-modern  2\n    4.0–6.0 N·m\n\
         pedal                         1\n    35 N·m\n"
    );
    let narrow = at(30);
    assert!(narrow.contains("\nbrake-lever-hydraulic-modern\n    bolts: 2; 4.0–6.0 N·m\n"), "{narrow}");
}

#[test]
fn a_word_that_the_last_column_has_no_room_for_is_not_broken() {
    let rows = records(&["a", "b"], [vec!["x".repeat(10), format!("needs {}", "y".repeat(30))]]);
    let text = columns(&rows, &Style { width: 40, colour: false });
    assert_eq!(text, format!("a\n{}\n    needs {}\n", "x".repeat(10), "y".repeat(30)));
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
fn the_last_column_is_wrapped_within_the_width_as_long_as_it_has_24_columns() {
    let rows = records(&["a", "b"], [vec!["x".repeat(8), "word ".repeat(12)]]);
    let widest = |width| {
        let text = columns(&rows, &Style { width, colour: false });
        text.lines().map(|line| line.trim_start().trim_start_matches('x').trim_start().len()).max()
    };
    // 50 − (8 + 2) = 40 columns hold eight words of four letters; 34 leave 24, which hold five; 33 leave too few, and
    // beneath there are 40 − 4, as no sentence is set narrower than 40.
    assert_eq!([50, 34, 33].map(widest), [Some(39), Some(24), Some(34)]);
}
