//! Which bolts are brought up together: all of them crosswise, or one side before the other.

use super::{BoltNumber, Layout, LayoutError, Shape, order};
use crate::words::words;

words! {
    /// A side of a face plate, seen from outside.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum ClosedSide: text {
        /// The upper pair of bolts.
        Top = "top",
        /// The lower pair of bolts.
        Bottom = "bottom",
    }
}

/// How the bolts of a joint are brought up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Pattern {
    /// All bolts together, in the order of [`order`]: gaps stay even.
    #[default]
    Crosswise,
    /// A face plate without a gap on one side: the pair of that side by turns until it is closed
    /// and at its torque, then the other pair by turns. The maker's marking says which side it is.
    ClosedSideFirst(ClosedSide),
}

impl Pattern {
    /// The groups of bolts that are brought up one after the other, each in its order.
    ///
    /// ```
    /// use evenclamp::sequence::{BoltNumber, Layout, Pattern, ClosedSide};
    /// let plate = Layout::ring(4).unwrap();
    /// let groups = Pattern::ClosedSideFirst(ClosedSide::Top).groups(&plate).unwrap();
    /// assert_eq!(groups, [[BoltNumber::at(0), BoltNumber::at(1)], [BoltNumber::at(2), BoltNumber::at(3)]]);
    /// ```
    /// # Errors
    /// [`LayoutError::NoPairs`] for a closed side of a layout that is not two bolts above two bolts.
    pub fn groups(self, layout: &Layout) -> Result<Vec<Vec<BoltNumber>>, LayoutError> {
        match self {
            Pattern::Crosswise => Ok(vec![order(layout)]),
            Pattern::ClosedSideFirst(side) => {
                let [top, bottom] = pairs(layout).ok_or(LayoutError::NoPairs)?;
                Ok(match side {
                    ClosedSide::Top => vec![top, bottom],
                    ClosedSide::Bottom => vec![bottom, top],
                })
            }
        }
    }
}

/// The upper and the lower pair of a joint of two bolts above two bolts, by number.
fn pairs(layout: &Layout) -> Option<[Vec<BoltNumber>; 2]> {
    let places = layout.positions();
    if places.len() != 4 || layout.shape() == Shape::Row {
        return None;
    }
    let mut bolts: Vec<BoltNumber> = (0..4).map(BoltNumber::at).collect();
    bolts.sort_by(|a, b| places[b.index()].y.total_cmp(&places[a.index()].y));
    let gap = places[bolts[1].index()].y - places[bolts[2].index()].y;
    // Bolts at nearly one height on either side of the gap would make the pairs a guess.
    if gap < layout.spacing()? / 2.0 {
        return None;
    }
    let mut bottom = bolts.split_off(2);
    bolts.sort_unstable();
    bottom.sort_unstable();
    Some([bolts, bottom])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sequence::Point;

    fn groups(layout: &Layout, side: ClosedSide) -> Option<Vec<Vec<usize>>> {
        let groups = Pattern::ClosedSideFirst(side).groups(layout).ok()?;
        Some(groups.into_iter().map(|group| group.into_iter().map(BoltNumber::number).collect()).collect())
    }

    #[test]
    fn the_closed_pair_comes_first() {
        for plate in [Layout::ring(4).unwrap(), Layout::grid(2, 2).unwrap()] {
            assert_eq!(groups(&plate, ClosedSide::Top), Some(vec![vec![1, 2], vec![3, 4]]));
            assert_eq!(groups(&plate, ClosedSide::Bottom), Some(vec![vec![3, 4], vec![1, 2]]));
        }
    }

    #[test]
    fn joints_without_two_pairs_have_no_closed_side() {
        let diamond = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)];
        let diamond = Layout::points(diamond.map(|(x, y)| Point { x, y }).to_vec()).unwrap();
        for layout in [Layout::row(4).unwrap(), Layout::ring(6).unwrap(), Layout::pair(), diamond] {
            assert_eq!(Pattern::ClosedSideFirst(ClosedSide::Top).groups(&layout), Err(LayoutError::NoPairs));
            assert_eq!(Pattern::Crosswise.groups(&layout), Ok(vec![order(&layout)]));
        }
    }
}
