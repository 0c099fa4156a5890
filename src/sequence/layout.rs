//! Where the bolts of a joint are, and how they are numbered.
//!
//! Bolts are seen from outside, where the wrench is. A ring is numbered clockwise from the top; a
//! ring of four is drawn as a face plate (1 top left, 2 top right, 3 bottom right, 4 bottom left);
//! a grid is numbered as one reads, a row and a pair from top to bottom. Places are in any one unit
//! of length, since only their proportions count.

use std::f64::consts::{FRAC_PI_4, TAU};
use std::fmt;

use super::LayoutError;

/// The most bolts that a layout can have.
pub const MAX_BOLTS: usize = 32;

/// Bolts nearer to each other than this part of the layout's extent are at the same place.
const NEAREST: f64 = 0.02;

/// A bolt by its number in the layout, counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoltNumber(usize);

impl BoltNumber {
    /// The bolt at `index` in a list of bolts, counted from 0.
    #[must_use]
    pub const fn at(index: usize) -> BoltNumber {
        BoltNumber(index + 1)
    }

    /// The bolt's number, from 1.
    #[must_use]
    pub const fn number(self) -> usize {
        self.0
    }

    /// The bolt's index in a list of bolts, from 0.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 - 1
    }
}

impl fmt::Display for BoltNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// The place of a bolt, in any one unit of length, seen from outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

impl Point {
    /// The distance to `other`, in the unit of the two places.
    pub(crate) fn distance(self, other: Point) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// The shape that a layout is named after.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Shape {
    /// Evenly spaced on a circle.
    Ring,
    /// Rows and columns at one spacing.
    Grid {
        /// Number of rows, at least 2.
        rows: usize,
        /// Number of columns, at least 2.
        columns: usize,
    },
    /// Two bolts of one clamp.
    Pair,
    /// Evenly spaced on a line.
    Row,
    /// One bolt.
    Single,
    /// Free positions.
    Points,
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Shape::Ring => f.write_str("ring"),
            Shape::Grid { rows, columns } => write!(f, "grid {rows}x{columns}"),
            Shape::Pair => f.write_str("pair"),
            Shape::Row => f.write_str("row"),
            Shape::Single => f.write_str("single"),
            Shape::Points => f.write_str("points"),
        }
    }
}

/// The rows and columns of `grid 2x3` or `grid 2×3`.
fn grid_from(name: &str) -> Option<(usize, usize)> {
    let (rows, columns) = name.strip_prefix("grid")?.split_once(['x', '×'])?;
    Some((rows.trim().parse().ok()?, columns.trim().parse().ok()?))
}

/// The bolts of one joint, each at its place; never empty, no two at the same place.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    shape: Shape,
    positions: Vec<Point>,
}

impl Layout {
    /// `bolts` bolts in the shape `ring`, `row`, `pair`, `single`, `grid 2x3` (rows x columns), or `grid` (two rows).
    ///
    /// ```
    /// use evenclamp::sequence::{Layout, Shape};
    /// assert_eq!(Layout::named("grid", 6).unwrap().shape(), Shape::Grid { rows: 2, columns: 3 });
    /// assert!(Layout::named("row", 1).is_err());
    /// ```
    /// # Errors
    /// [`LayoutError`] when the name is unknown or such a joint cannot be.
    pub fn named(name: &str, bolts: usize) -> Result<Layout, LayoutError> {
        let layout = match name.trim().to_lowercase().as_str() {
            "ring" => return Layout::ring(bolts),
            "row" => return Layout::row(bolts),
            "grid" if bolts >= 4 && bolts.is_multiple_of(2) => return Layout::grid(2, bolts / 2),
            "grid" => return counted(bolts).and(Err(LayoutError::UnevenGrid(bolts))),
            "pair" => Layout::pair(),
            "single" => Layout::single(),
            other => {
                let size =
                    grid_from(other).ok_or_else(|| LayoutError::UnknownName(name.trim().to_owned()))?;
                Layout::grid(size.0, size.1)?
            }
        };
        if layout.bolts() == bolts {
            return Ok(layout);
        }
        counted(bolts)?;
        let (has, shape) = (layout.bolts(), layout.shape());
        Err(LayoutError::OtherCount { layout: shape.to_string(), has, given: bolts })
    }

    /// Bolts evenly on a circle, numbered clockwise from the top; four bolts as a face plate.
    ///
    /// # Errors
    /// [`LayoutError`] unless there are 2 to [`MAX_BOLTS`] bolts.
    pub fn ring(bolts: usize) -> Result<Layout, LayoutError> {
        several(bolts, "ring")?;
        let first = if bolts == 4 { -FRAC_PI_4 } else { 0.0 };
        let positions = (0..bolts)
            .map(|k| {
                let clockwise = first + TAU * real(k) / real(bolts);
                Point { x: clockwise.sin(), y: clockwise.cos() }
            })
            .collect();
        Ok(Layout { shape: Shape::Ring, positions })
    }

    /// Bolts in rows and columns at one spacing, numbered as one reads.
    ///
    /// # Errors
    /// [`LayoutError`] when there are fewer than 2 rows or columns or more than [`MAX_BOLTS`] bolts.
    pub fn grid(rows: usize, columns: usize) -> Result<Layout, LayoutError> {
        counted(rows.saturating_mul(columns))?;
        if rows < 2 || columns < 2 {
            return Err(LayoutError::SmallGrid { rows, columns });
        }
        let positions = (0..rows)
            .flat_map(|row| (0..columns).map(move |column| Point { x: real(column), y: -real(row) }))
            .collect();
        Ok(Layout { shape: Shape::Grid { rows, columns }, positions })
    }

    /// Two bolts of one clamp, 1 above 2.
    #[must_use]
    pub fn pair() -> Layout {
        Layout { shape: Shape::Pair, positions: line(2) }
    }

    /// Bolts evenly on a line, numbered from top to bottom.
    ///
    /// # Errors
    /// [`LayoutError`] unless there are 2 to [`MAX_BOLTS`] bolts.
    pub fn row(bolts: usize) -> Result<Layout, LayoutError> {
        several(bolts, "row")?;
        Ok(Layout { shape: Shape::Row, positions: line(bolts) })
    }

    pub(crate) fn single() -> Layout {
        Layout { shape: Shape::Single, positions: line(1) }
    }

    /// Bolts at free positions, numbered in the order given.
    ///
    /// # Errors
    /// [`LayoutError`] when there are none or more than [`MAX_BOLTS`], when a place is not finite,
    /// or when two bolts are nearer to each other than a fiftieth of the layout's extent.
    pub fn points(positions: Vec<Point>) -> Result<Layout, LayoutError> {
        counted(positions.len())?;
        if let Some(k) = positions.iter().position(|p| !(p.x.is_finite() && p.y.is_finite())) {
            return Err(LayoutError::NoPlace(BoltNumber::at(k)));
        }
        let distances: Vec<(f64, usize, usize)> = pairs(&positions).collect();
        let extent = distances.iter().fold(0.0, |widest: f64, &(distance, ..)| widest.max(distance));
        match distances.iter().find(|&&(distance, ..)| distance <= NEAREST * extent) {
            Some(&(_, i, j)) => Err(LayoutError::SamePlace(BoltNumber::at(i), BoltNumber::at(j))),
            None => Ok(Layout { shape: Shape::Points, positions }),
        }
    }

    /// The shape that the layout is named after.
    #[must_use]
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// How many bolts there are: 1 to [`MAX_BOLTS`].
    #[must_use]
    pub fn bolts(&self) -> usize {
        self.positions.len()
    }

    /// The place of every bolt, by bolt number.
    pub(crate) fn positions(&self) -> &[Point] {
        &self.positions
    }

    /// The smallest distance between two bolts, in the unit of the places; `None` for one bolt.
    pub(crate) fn spacing(&self) -> Option<f64> {
        pairs(&self.positions).map(|(distance, ..)| distance).reduce(f64::min)
    }

    /// The upper left corner of all places.
    pub(super) fn corner(&self) -> Point {
        let left = self.positions.iter().map(|place| place.x).fold(f64::INFINITY, f64::min);
        let top = self.positions.iter().map(|place| place.y).fold(f64::NEG_INFINITY, f64::max);
        Point { x: left, y: top }
    }

    /// How the bolts are numbered, in words for the person at the joint.
    pub(crate) fn numbering(&self) -> &'static str {
        match self.shape {
            Shape::Ring if self.bolts() == 4 => "clockwise from the top left, seen from outside",
            Shape::Ring => "clockwise from the top, seen from outside",
            Shape::Grid { .. } => "left to right, top row first, seen from outside",
            Shape::Pair | Shape::Row => "from top to bottom, seen from outside",
            Shape::Single => "one bolt",
            Shape::Points => "in the order their places were given, seen from outside",
        }
    }
}

/// A number of bolts that a layout can have.
fn counted(bolts: usize) -> Result<(), LayoutError> {
    match bolts {
        0 => Err(LayoutError::NoBolts),
        1..=MAX_BOLTS => Ok(()),
        _ => Err(LayoutError::TooMany(bolts)),
    }
}

/// A number of bolts that a layout of several can have.
fn several(bolts: usize, name: &'static str) -> Result<(), LayoutError> {
    if bolts == 1 { Err(LayoutError::OneBolt(name)) } else { counted(bolts) }
}

/// Bolts one spacing apart from top to bottom.
fn line(bolts: usize) -> Vec<Point> {
    (0..bolts).map(|k| Point { x: 0.0, y: -real(k) }).collect()
}

/// The distance of every two places, with their indices.
fn pairs(positions: &[Point]) -> impl Iterator<Item = (f64, usize, usize)> {
    positions.iter().enumerate().flat_map(|(i, &here)| {
        positions[i + 1..].iter().enumerate().map(move |(k, &there)| (here.distance(there), i, i + 1 + k))
    })
}

pub(super) fn real(count: usize) -> f64 {
    // Counts of bolts are small; a larger one would only place bolts too far apart to be built.
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

#[cfg(test)]
#[path = "layout_tests.rs"]
mod tests;
