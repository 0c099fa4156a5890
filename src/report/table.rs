//! Tables for a terminal: no lines but blanks. What does not fit beside a row stands beneath it, so that no word is
//! broken and no line is wider than it may be.

use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::{Padding, Style as LineStyle, Width};
use textwrap::core::display_width;

use super::Style;
use super::style::{BINDING, filled, widest_word, wrapping};

/// Columns between two cells, and whether a header of several words may stand in several lines: the first that lets all
/// fit, but the last column is wrapped before cells are set that close.
const WAYS: [(usize, bool); 3] = [(2, false), (2, true), (1, true)];
/// The last column is wrapped where it has so much room, and else stands beneath its row.
const LEAST_ROOM: usize = 24;
/// What stands beneath a row begins so far in.
const BENEATH: &str = "    ";

/// Rows, the header first, as aligned columns.
pub fn columns(rows: &[Vec<String>], style: &Style) -> String {
    columns_over(rows, &[], style)
}

/// Rows as [`columns`] lays them out, each with a sentence beneath it where it has one, over the whole width.
pub fn columns_over(rows: &[Vec<String>], beneath: &[Option<String>], style: &Style) -> String {
    let Some(plan) = TablePlan::of(rows, style.width) else { return String::new() };
    let mut text = String::new();
    for (index, row) in rows.iter().enumerate() {
        let lines = plan.line(row);
        text += &if index == 0 { style.faint(lines.trim_end()) + "\n" } else { lines };
        let moved = if index == 0 { None } else { plan.moved_text(rows, row) };
        for said in moved.iter().chain(beneath.get(index).into_iter().flatten()) {
            text += &style.wrapped(BENEATH, said);
        }
    }
    text
}

/// How a table is laid out.
#[derive(Clone)]
struct TablePlan {
    /// How wide the cells of each column may be that stands in the line.
    widths: Vec<usize>,
    gap: usize,
}

impl TablePlan {
    /// None where there is no column.
    fn of(rows: &[Vec<String>], width: usize) -> Option<TablePlan> {
        let count = rows.iter().map(Vec::len).max().filter(|count| *count > 0)?;
        let fits = |plan: &TablePlan| plan.taken(count) <= width;
        let ways = WAYS.map(|(gap, wraps)| TablePlan { widths: widths(rows, count, wraps), gap });
        let [first, broken, _] = &ways;
        let wrapped = || [first, broken].into_iter().find_map(|plan| plan.with_last_wrapped(rows, width));
        let [roomy, close] = [&ways[..2], &ways[2..]].map(|ways| ways.iter().find(|plan| fits(plan)));
        roomy.cloned().or_else(wrapped).or_else(|| close.cloned()).or_else(|| {
            let kept = (1..count).rev().find(|kept| broken.taken(*kept) <= width).unwrap_or(1);
            let cells = broken.widths.iter().take(kept);
            Some(TablePlan { widths: cells.map(|cell| *cell.min(&width)).collect(), ..*broken })
        })
    }

    /// Columns that so many cells and the gaps between them take.
    fn taken(&self, cells: usize) -> usize {
        self.widths[..cells].iter().sum::<usize>() + self.gap * cells.saturating_sub(1)
    }

    /// The same with the last column in what room there is; none where that is too little, or less than a word needs that
    /// would have it beneath its row.
    fn with_last_wrapped(&self, rows: &[Vec<String>], width: usize) -> Option<TablePlan> {
        let last = self.widths.len() - 1;
        let room = width.saturating_sub(self.taken(last) + self.gap);
        let word = rows.iter().filter_map(|row| row.get(last)).map(|cell| widest_word(cell)).max()?;
        let mut plan = self.clone();
        plan.widths[last] = room;
        (room >= LEAST_ROOM && (word <= room || word > width.saturating_sub(BENEATH.len()))).then_some(plan)
    }

    /// The cells of a row that stand in its line, or in its lines where one of them is wrapped.
    fn line(&self, row: &[String]) -> String {
        let wrap = |(cell, width): (&String, &usize)| filled(cell, wrapping(*width));
        let cells: Vec<String> = row.iter().zip(&self.widths).map(wrap).collect();
        let count = cells.len();
        let mut table = Builder::from_iter([cells]).build();
        table.with(LineStyle::empty()).with(Padding::new(0, self.gap, 0, 0));
        for (column, width) in self.widths.iter().take(count).enumerate() {
            table.modify(Columns::one(column), Width::increase(*width));
        }
        let laid_out = table.to_string();
        let lines = laid_out.lines().map(|line| format!("{}\n", line.trim_end()));
        let text: String = lines.collect();
        if text.is_empty() { "\n".to_owned() } else { text }
    }

    /// The cells that found no place in the line, each under the name of its column; none where all did. The last column
    /// needs no name where it holds sentences.
    fn moved_text(&self, rows: &[Vec<String>], row: &[String]) -> Option<String> {
        let header = rows.first()?;
        let holds_sentences = |column: usize| {
            column + 1 == header.len()
                && rows[1..].iter().filter_map(|row| row.get(column)).any(|cell| cell.contains(' '))
        };
        let cells = row.iter().zip(header).enumerate().skip(self.widths.len());
        let moved = cells.filter(|(_, (cell, _))| !["", "–"].contains(&cell.trim()));
        let said = moved.map(|(column, (cell, name))| {
            if name.is_empty() || holds_sentences(column) {
                cell.clone()
            } else {
                format!("{name}:{BINDING}{cell}")
            }
        });
        let said: Vec<String> = said.collect();
        (!said.is_empty()).then(|| said.join("; "))
    }
}

/// How wide each column is, its header perhaps broken at its blanks.
fn widths(rows: &[Vec<String>], count: usize, header_wraps: bool) -> Vec<usize> {
    let width = |(index, cell): (usize, &String)| {
        if index == 0 && header_wraps { widest_word(cell) } else { display_width(cell) }
    };
    let widest = |column: usize| {
        let cells = rows.iter().enumerate().filter_map(|(index, row)| Some((index, row.get(column)?)));
        cells.map(width).max().unwrap_or(0)
    };
    (0..count).map(widest).collect()
}

/// A header and rows of texts, as a report's rows.
pub fn records(header: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> Vec<Vec<String>> {
    std::iter::once(header.iter().map(|&word| word.to_owned()).collect()).chain(rows).collect()
}

#[cfg(test)]
#[path = "table_tests.rs"]
mod tests;
