//! What the pictures have in common: drawn by plotters into SVG, black and grey on white, with a title for those who do
//! not see it. Lengths are in pixels.

mod time;

use plotters::coord::Shift;
use plotters::prelude::*;

pub(super) use time::{BoltField, PlottedValue, Sign, TimeChart};

use super::style::wrapping;
use crate::sequence::svg::{escaped, printable};

/// Width of a picture; shown 400 px wide, its text is still 11 px high.
pub(super) const WIDTH: u32 = 720;
/// Height of text.
pub(super) const TEXT: i32 = 20;
/// Height of a line of text.
pub(super) const LINE: i32 = 26;
/// Distance of text from the edge.
pub(super) const EDGE: i32 = 16;
/// Characters that fit into a line, and into one of bold text, which is wider.
const FITTING: usize = 62;
const FITTING_BOLD: usize = 52;
/// Characters that fit beside a sample of a line.
const FITTING_BESIDE: usize = 54;

/// What is drawn on.
pub(super) type Ground<'a> = DrawingArea<SVGBackend<'a>, Shift>;

/// A picture that could not be drawn.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChartError {
    /// Nothing is there to be drawn.
    #[error("there is nothing to draw: {0}")]
    Empty(String),
    /// The library refused.
    #[error("the picture cannot be drawn: {0}")]
    Refused(String),
}

impl<E: std::error::Error + Send + Sync> From<DrawingAreaErrorKind<E>> for ChartError {
    fn from(error: DrawingAreaErrorKind<E>) -> ChartError {
        ChartError::Refused(error.to_string())
    }
}

/// Lines of text at the head or foot of a picture; the first of a head is bold.
pub(super) struct Lines(Vec<(String, bool)>);

impl Lines {
    /// A title and what stands below it.
    pub(super) fn new(title: &str, others: &[String]) -> Lines {
        let others = others.iter().flat_map(|text| wrapped(text, FITTING, false));
        Lines(wrapped(title, FITTING_BOLD, true).into_iter().chain(others).collect())
    }

    /// What stands beside a sample.
    pub(super) fn beside(text: &str) -> Lines {
        Lines(wrapped(text, FITTING_BESIDE, false))
    }

    pub(super) fn height(&self) -> i32 {
        LINE * i32::try_from(self.0.len()).unwrap_or(i32::MAX)
    }

    /// Draws them with the upper left corner of the first at a place.
    pub(super) fn draw(&self, ground: &Ground<'_>, (x, top): (i32, i32)) -> Result<(), ChartError> {
        let mut y = top;
        for (line, bold) in &self.0 {
            draw_text(ground, line, (x, y), *bold)?;
            y += LINE;
        }
        Ok(())
    }
}

fn wrapped(text: &str, fitting: usize, bold: bool) -> Vec<(String, bool)> {
    let options = wrapping(fitting).break_words(true);
    textwrap::wrap(&printable(text), options).into_iter().map(|line| (line.into_owned(), bold)).collect()
}

/// A document of that height, with what `draw` draws; `title` is read to those who do not see it.
pub(super) fn drawn(
    height: i32,
    title: &str,
    draw: impl FnOnce(&Ground<'_>) -> Result<(), ChartError>,
) -> Result<String, ChartError> {
    let mut svg = String::new();
    let size = (WIDTH, u32::try_from(height).unwrap_or(WIDTH));
    let ground = SVGBackend::with_string(&mut svg, size).into_drawing_area();
    ground.fill(&WHITE)?;
    draw(&ground)?;
    ground.present()?;
    drop(ground);
    let (head, rest) = svg.split_once('>').unwrap_or((&svg, ""));
    Ok(format!("{head} role=\"img\">\n<title>{}</title>{rest}", escaped(title)))
}

/// Text with its upper left corner at a place.
pub(super) fn draw_text(
    ground: &Ground<'_>,
    text: &str,
    at: (i32, i32),
    bold: bool,
) -> Result<(), ChartError> {
    let weight = if bold { FontStyle::Bold } else { FontStyle::Normal };
    let font = ("sans-serif", TEXT, weight).into_font().color(&BLACK);
    Ok(ground.draw(&Text::new(printable(text), at, font))?)
}

/// The first `height` pixels of a ground, and the rest.
pub(super) fn split<'a>(ground: &Ground<'a>, height: i32) -> (Ground<'a>, Ground<'a>) {
    ground.split_vertically(height)
}

/// Decimals by which the marks of an axis of that length differ.
pub(super) fn decimals_of(length: f64) -> usize {
    let steps = [(5.0, 0), (0.5, 1), (0.05, 2)];
    steps.into_iter().find(|(least, _)| length > *least).map_or(3, |(_, decimals)| decimals)
}
