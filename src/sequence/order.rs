//! The order in which the bolts of a joint are turned.
//!
//! On a ring: quads for a number divisible by four, opposite pairs for another even number, and for
//! an odd number always the bolt that is farthest from those already tight. Any other layout is
//! taken as rings about its centre, nearest first. `tests/published/sequences.rs` holds the flange,
//! wheel and row orders that the rule reproduces, and the one usual chart that it does not.

use std::cmp::Reverse;
use std::f64::consts::TAU;

use super::layout::real;
use super::{BoltNumber, Layout, Point};

/// Bolts whose distances from the centre differ by less than this part of the smallest spacing are
/// on one ring: places measured with a ruler are no more exact. No grid has rings that close.
const SAME_RING: f64 = 0.05;

/// The order of one pass over every bolt of `layout`.
///
/// ```
/// use evenclamp::sequence::{Layout, order};
/// let numbers: Vec<usize> = order(&Layout::ring(6).unwrap()).iter().map(|bolt| bolt.number()).collect();
/// assert_eq!(numbers, [1, 4, 2, 5, 3, 6]);
/// ```
#[must_use]
pub fn order(layout: &Layout) -> Vec<BoltNumber> {
    rings(layout).into_iter().flat_map(|ring| star(ring.len()).into_iter().map(move |k| ring[k])).collect()
}

/// The bolts on rings about the centre, nearest ring first; each ring clockwise from its lowest number.
fn rings(layout: &Layout) -> Vec<Vec<BoltNumber>> {
    let places = layout.positions();
    let centre = centroid(places);
    let tolerance = SAME_RING * layout.spacing().unwrap_or(0.0);
    let mut by_distance: Vec<(f64, BoltNumber)> =
        places.iter().enumerate().map(|(k, place)| (place.distance(centre), BoltNumber::at(k))).collect();
    by_distance.sort_by(|a, b| a.0.total_cmp(&b.0));

    let mut rings: Vec<(f64, Vec<BoltNumber>)> = Vec::new();
    for (distance, bolt) in by_distance {
        match rings.last_mut() {
            Some((nearest, ring)) if distance - *nearest <= tolerance => ring.push(bolt),
            _ => rings.push((distance, vec![bolt])),
        }
    }
    rings.into_iter().map(|(_, ring)| clockwise(ring, places, centre)).collect()
}

fn centroid(places: &[Point]) -> Point {
    let count = real(places.len());
    Point {
        x: places.iter().map(|place| place.x).sum::<f64>() / count,
        y: places.iter().map(|place| place.y).sum::<f64>() / count,
    }
}

/// `ring` sorted clockwise about `centre`, starting at its lowest number.
fn clockwise(mut ring: Vec<BoltNumber>, places: &[Point], centre: Point) -> Vec<BoltNumber> {
    let angle = |bolt: BoltNumber| {
        let place = places[bolt.index()];
        (place.x - centre.x).atan2(place.y - centre.y)
    };
    let start = ring.iter().min().copied().map_or(0.0, angle);
    let turned = |bolt: BoltNumber| (angle(bolt) - start).rem_euclid(TAU);
    ring.sort_by(|&a, &b| turned(a).total_cmp(&turned(b)));
    ring
}

/// The order of `n` bolts evenly on a ring, as positions from 0.
fn star(n: usize) -> Vec<usize> {
    if n > 2 && n.is_multiple_of(4) {
        star(n / 4).into_iter().flat_map(|k| [k, k + n / 2, k + n / 4, k + 3 * n / 4]).collect()
    } else if n > 2 && n.is_multiple_of(2) {
        star(n / 2).into_iter().flat_map(|k| [k, k + n / 2]).collect()
    } else {
        farthest_next(n)
    }
}

/// Always the bolt whose nearest tightened bolt is farthest; among equals the one farthest from the
/// last, then from the one before it, and so on; then the lowest position.
fn farthest_next(n: usize) -> Vec<usize> {
    let apart = |a: usize, b: usize| {
        let straight = a.abs_diff(b);
        straight.min(n - straight)
    };
    let mut order: Vec<usize> = Vec::with_capacity(n);
    while order.len() < n {
        let next = (0..n).filter(|k| !order.contains(k)).max_by_key(|&k| {
            let from_latest: Vec<usize> = order.iter().rev().map(|&done| apart(k, done)).collect();
            (from_latest.iter().min().copied(), from_latest, Reverse(k))
        });
        order.extend(next);
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn numbers(layout: &Layout) -> Vec<usize> {
        order(layout).into_iter().map(BoltNumber::number).collect()
    }

    #[test]
    fn small_layouts_have_their_plain_order() {
        assert_eq!(numbers(&Layout::single()), [1]);
        assert_eq!(numbers(&Layout::pair()), [1, 2]);
        assert_eq!(numbers(&Layout::ring(2).unwrap()), [1, 2]);
    }

    /// The rule for free layouts must not differ from the rule for rings.
    #[test]
    fn rings_about_the_centre_give_the_star() {
        for n in 2..=32 {
            let ring = Layout::ring(n).unwrap();
            let star: Vec<usize> = star(n).into_iter().map(|k| k + 1).collect();
            assert_eq!(numbers(&ring), star, "{n} bolts");
            let free = Layout::points(ring.positions().to_vec()).unwrap();
            assert_eq!(numbers(&free), star, "{n} bolts at free positions");
        }
    }

    /// The tolerance for measured places must not join rings that differ by design.
    #[test]
    fn no_grid_has_rings_closer_than_the_tolerance() {
        for rows in 2..=16 {
            for columns in 2..=(32 / rows) {
                let grid = Layout::grid(rows, columns).unwrap();
                let centre = centroid(grid.positions());
                let mut distances: Vec<f64> =
                    grid.positions().iter().map(|place| place.distance(centre)).collect();
                distances.sort_by(f64::total_cmp);
                for next in distances.windows(2) {
                    let gap = next[1] - next[0];
                    assert!(!(1e-9..=SAME_RING).contains(&gap), "{rows} by {columns}: {gap}");
                }
            }
        }
    }

    /// A face plate of 50 by 40 mm, measured to half a millimetre, is still taken across.
    #[test]
    fn measured_places_are_taken_as_one_ring() {
        let places = [(-25.0, 20.0), (25.5, 20.0), (25.0, -20.5), (-25.0, -20.0)];
        let plate = Layout::points(places.map(|(x, y)| Point { x, y }).to_vec()).unwrap();
        assert_eq!(numbers(&plate), [1, 3, 2, 4]);
    }

    proptest! {
        /// Every pass turns each bolt once, wherever the bolts are.
        #[test]
        fn every_bolt_comes_once(places in prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64), 1..=32)) {
            let places = places.into_iter().map(|(x, y)| Point { x, y }).collect();
            if let Ok(layout) = Layout::points(places) {
                let mut seen = numbers(&layout);
                seen.sort_unstable();
                prop_assert_eq!(seen, (1..=layout.bolts()).collect::<Vec<_>>());
            }
        }

        /// On a ring with an even number of bolts the second is opposite the first.
        #[test]
        fn even_rings_go_across(half in 1usize..=16) {
            let order = order(&Layout::ring(2 * half).unwrap());
            for across in order.chunks(2) {
                prop_assert_eq!(across[0].number().abs_diff(across[1].number()), half);
            }
        }
    }
}
