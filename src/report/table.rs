//! Tables for a terminal: no lines but blanks, wide cells wrapped.

use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::{Padding, Width};

use super::Style;

/// Rows, the header first, as aligned columns; the last column is wrapped so that lines fit.
#[must_use]
pub fn columns(rows: &[Vec<String>], style: &Style) -> String {
    let Some(count) = rows.iter().map(Vec::len).max().filter(|count| *count > 0) else {
        return String::new();
    };
    let mut builder = Builder::default();
    for row in rows {
        builder.push_record(row);
    }
    let mut table = builder.build();
    table.with(tabled::settings::Style::empty()).with(Padding::new(0, 2, 0, 0));
    let taken: usize = (0..count - 1)
        .map(|column| {
            let widest = rows.iter().filter_map(|row| row.get(column));
            widest.map(|cell| textwrap::core::display_width(cell)).max().unwrap_or(0) + 2
        })
        .sum();
    let room = style.width.saturating_sub(taken + 2).max(24);
    table.modify(Columns::one(count - 1), Width::wrap(room).keep_words(true));
    let mut text: String = table.to_string().lines().map(|line| line.trim_end().to_owned() + "\n").collect();
    if style.colour
        && let Some((header, body)) = text.split_once('\n')
    {
        text = format!("{}\n{body}", style.faint(header));
    }
    text
}

/// A header and rows of texts, as a report's rows.
#[must_use]
pub fn records(header: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> Vec<Vec<String>> {
    std::iter::once(header.iter().map(|&word| word.to_owned()).collect()).chain(rows).collect()
}
