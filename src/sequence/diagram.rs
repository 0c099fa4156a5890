//! A small picture of a layout in plain characters, for the terminal.

use super::{BoltNumber, Layout};
use crate::quantity::round_half_even;

/// Columns for the smallest spacing of two bolts, the roomiest first.
const SCALES: [f64; 3] = [6.0, 4.0, 2.0];
/// Lines that still leave room on a screen for the order beneath.
const LINES: usize = 20;
/// Columns of a usual terminal, less the longest label.
const COLUMNS: usize = 76;
/// A character cell is about twice as high as it is wide.
const CELL_HEIGHT: f64 = 2.0;

/// The bolts of `layout` where they are, each as its number in brackets: `(1)`.
///
/// Lines end without spaces or a last line break. Named shapes fit into 80 columns; free positions may not.
///
/// ```
/// use evenclamp::sequence::{Layout, diagram};
/// assert_eq!(diagram(&Layout::ring(4).unwrap()), "(1)   (2)\n\n\n(4)   (3)");
/// ```
#[must_use]
pub fn diagram(layout: &Layout) -> String {
    let fits =
        |&scale: &f64| placed(layout, scale).iter().all(|label| label.row < LINES && label.column < COLUMNS);
    let mut scale = SCALES.into_iter().find(fits).unwrap_or(SCALES[2]);
    let mut labels = placed(layout, scale);
    // Two bolts one spacing apart are clear of each other long before this scale.
    while overlap(&labels) && scale < 20.0 {
        scale += 1.0;
        labels = placed(layout, scale);
    }
    drawn(&labels)
}

struct DiagramLabel {
    text: String,
    row: usize,
    column: usize,
}

/// Every label at `scale` columns for the smallest spacing.
fn placed(layout: &Layout, scale: f64) -> Vec<DiagramLabel> {
    let spacing = layout.spacing().unwrap_or(1.0);
    let corner = layout.corner();
    let labels = layout.positions().iter().enumerate().map(|(k, place)| DiagramLabel {
        text: format!("({})", BoltNumber::at(k)),
        column: cell((place.x - corner.x) / spacing * scale),
        row: cell((corner.y - place.y) / spacing * scale / CELL_HEIGHT),
    });
    labels.collect()
}

fn cell(distance: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "never negative, and small")]
    let cell = round_half_even(distance) as usize;
    cell
}

fn overlap(labels: &[DiagramLabel]) -> bool {
    labels.iter().enumerate().any(|(k, here)| {
        labels[k + 1..].iter().any(|there| {
            let (first, second) = if here.column <= there.column { (here, there) } else { (there, here) };
            here.row == there.row && first.column + first.text.len() >= second.column
        })
    })
}

fn drawn(labels: &[DiagramLabel]) -> String {
    let rows = labels.iter().map(|label| label.row).max().map_or(0, |last| last + 1);
    let lines = (0..rows).map(|row| {
        let mut on_row: Vec<&DiagramLabel> = labels.iter().filter(|label| label.row == row).collect();
        on_row.sort_by_key(|label| label.column);
        on_row.iter().fold(String::new(), |mut line, label| {
            line.push_str(&" ".repeat(label.column.saturating_sub(line.len())));
            line.push_str(&label.text);
            line
        })
    });
    lines.collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sequence::Point;
    use proptest::prelude::*;

    /// Every number stands once, in brackets, and the text is plain ASCII.
    fn shows_every_bolt(layout: &Layout) {
        let text = diagram(layout);
        assert!(text.is_ascii());
        for number in 1..=layout.bolts() {
            assert_eq!(text.matches(&format!("({number})")).count(), 1, "{number} in\n{text}");
        }
        assert!(text.lines().all(|line| line == line.trim_end()));
    }

    #[test]
    fn named_shapes_are_drawn_within_a_terminal() {
        let shapes = (2..=32)
            .flat_map(|n| [Layout::ring(n), Layout::row(n)])
            .chain((2..=16).flat_map(|rows| (2..=32 / rows).map(move |columns| Layout::grid(rows, columns))));
        for layout in shapes.map(Result::unwrap).chain([Layout::pair(), Layout::single()]) {
            shows_every_bolt(&layout);
            let widest = diagram(&layout).lines().map(str::len).max().unwrap();
            assert!(widest <= 80, "{:?} is {widest} columns wide", layout.shape());
        }
    }

    #[test]
    fn bolts_stand_where_they_are() {
        assert_eq!(diagram(&Layout::single()), "(1)");
        assert_eq!(diagram(&Layout::pair()), "(1)\n\n\n(2)");
        assert_eq!(diagram(&Layout::grid(2, 3).unwrap()), "(1)   (2)   (3)\n\n\n(4)   (5)   (6)");
        assert_eq!(
            diagram(&Layout::ring(6).unwrap()),
            "     (1)\n\n(6)       (2)\n\n(5)       (3)\n\n     (4)"
        );
    }

    proptest! {
        #[test]
        fn free_positions_are_drawn(
            places in prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64), 1..=32),
        ) {
            let places = places.into_iter().map(|(x, y)| Point { x, y }).collect();
            if let Ok(layout) = Layout::points(places) {
                shows_every_bolt(&layout);
            }
        }
    }
}
