//! Tables for a terminal: no lines but blanks, wide cells wrapped.

use tabled::builder::Builder;
use tabled::settings::Padding;

use super::Style;
use super::style::wrapping;

/// Rows, the header first, as aligned columns; the last column is wrapped so that lines fit.
pub fn columns(rows: &[Vec<String>], style: &Style) -> String {
    let Some(count) = rows.iter().map(Vec::len).max().filter(|count| *count > 0) else {
        return String::new();
    };
    let taken: usize = (0..count - 1)
        .map(|column| {
            let widest = rows.iter().filter_map(|row| row.get(column));
            widest.map(|cell| textwrap::core::display_width(cell)).max().unwrap_or(0) + 2
        })
        .sum();
    let room = style.width.saturating_sub(taken + 2).max(24);
    let mut builder = Builder::default();
    for row in rows {
        let cell = |(column, cell): (usize, &String)| {
            let is_last = column + 1 == count;
            if is_last { textwrap::fill(cell, wrapping(room).break_words(true)) } else { cell.clone() }
        };
        builder.push_record(row.iter().enumerate().map(cell));
    }
    let mut table = builder.build();
    table.with(tabled::settings::Style::empty()).with(Padding::new(0, 2, 0, 0));
    let padded = table.to_string();
    let mut text: String = padded.lines().flat_map(|line| [line.trim_end(), "\n"]).collect();
    if style.colour
        && let Some((header, body)) = text.split_once('\n')
    {
        text = format!("{}\n{body}", style.faint(header));
    }
    text
}

/// Rows as [`columns`] lays them out, each with a sentence beneath it where it has one, over the whole width.
pub fn columns_over(rows: &[Vec<String>], beneath: &[Option<String>], style: &Style) -> String {
    let plain = Style { colour: false, ..*style };
    let mut text = String::new();
    for (index, row) in padded(rows).into_iter().enumerate() {
        let lines = columns(&[row], &plain);
        text += &if index == 0 { style.faint(lines.trim_end()) + "\n" } else { lines };
        if let Some(Some(said)) = beneath.get(index) {
            text += &style.wrapped("    ", said);
        }
    }
    text
}

/// The rows with every cell but the last of each as wide as the widest of its column.
fn padded(rows: &[Vec<String>]) -> Vec<Vec<String>> {
    let width = |cell: &String| textwrap::core::display_width(cell);
    let widest = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(width).max().unwrap_or(0);
    let pad = |row: &Vec<String>| {
        let last = row.len().saturating_sub(1);
        let cell = |(column, cell): (usize, &String)| {
            let missing = if column < last { widest(column) - width(cell) } else { 0 };
            format!("{cell}{}", " ".repeat(missing))
        };
        row.iter().enumerate().map(cell).collect()
    };
    rows.iter().map(pad).collect()
}

/// A header and rows of texts, as a report's rows.
pub fn records(header: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> Vec<Vec<String>> {
    std::iter::once(header.iter().map(|&word| word.to_owned()).collect()).chain(rows).collect()
}

#[cfg(test)]
#[path = "table_tests.rs"]
mod tests;
