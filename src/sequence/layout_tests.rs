use super::*;
use approx::assert_abs_diff_eq;
use proptest::prelude::*;

fn place(layout: &Layout, bolt: usize) -> (f64, f64) {
    let Point { x, y } = layout.positions()[bolt - 1];
    (x, y)
}

fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

#[test]
fn rings_start_at_the_top_and_go_clockwise() {
    let ring = Layout::ring(12).unwrap();
    for (bolt, (x, y)) in [(1, (0.0, 1.0)), (4, (1.0, 0.0)), (7, (0.0, -1.0)), (10, (-1.0, 0.0))] {
        assert_abs_diff_eq!(place(&ring, bolt).0, x, epsilon = 1e-12);
        assert_abs_diff_eq!(place(&ring, bolt).1, y, epsilon = 1e-12);
    }
}

#[test]
fn a_ring_of_four_is_a_face_plate() {
    let plate = Layout::ring(4).unwrap();
    let side = 0.5f64.sqrt();
    for (bolt, (x, y)) in [(1, (-side, side)), (2, (side, side)), (3, (side, -side)), (4, (-side, -side))] {
        assert_abs_diff_eq!(place(&plate, bolt).0, x, epsilon = 1e-12);
        assert_abs_diff_eq!(place(&plate, bolt).1, y, epsilon = 1e-12);
    }
}

#[test]
fn grids_are_numbered_as_one_reads_and_rows_from_the_top() {
    let grid = Layout::grid(2, 3).unwrap();
    assert_eq!(place(&grid, 3), (2.0, 0.0));
    assert_eq!(place(&grid, 4), (0.0, -1.0));
    let row = Layout::row(4).unwrap();
    assert!(row.positions().windows(2).all(|next| next[0].y > next[1].y));
}

#[test]
fn layouts_that_cannot_be_are_refused() {
    use LayoutError::*;
    assert_eq!(Layout::ring(0), Err(NoBolts));
    assert_eq!(Layout::row(0), Err(NoBolts));
    assert_eq!(Layout::points(vec![]), Err(NoBolts));
    assert_eq!(Layout::grid(0, 3), Err(NoBolts));
    assert_eq!(Layout::row(1), Err(OneBolt("row")));
    assert_eq!(Layout::ring(1), Err(OneBolt("ring")));
    assert_eq!(Layout::ring(33), Err(TooMany(33)));
    assert_eq!(Layout::grid(usize::MAX, 2), Err(TooMany(usize::MAX)));
    assert_eq!(Layout::grid(1, 4), Err(SmallGrid { rows: 1, columns: 4 }));
    assert_eq!(Layout::named("points", 3), Err(UnknownName("points".into())));
    assert_eq!(Layout::named("grid 1x4", 4), Err(SmallGrid { rows: 1, columns: 4 }));
    assert_eq!(Layout::named("Grid 2×3", 6), Layout::grid(2, 3));
    assert_eq!(Layout::named("grid", 34), Err(TooMany(34)));
    assert_eq!(Layout::named("grid", 33), Err(TooMany(33)));
    assert_eq!(Layout::named("pair", 3), Err(OtherCount { layout: "pair".into(), has: 2, given: 3 }));
    assert_eq!(Layout::named("single", 0), Err(NoBolts));
    assert_eq!(Layout::named("grid", 5), Err(UnevenGrid(5)));
    assert_eq!(Layout::named("hexagon", 6), Err(UnknownName("hexagon".into())));
}

#[test]
fn free_positions_are_checked() {
    use LayoutError::*;
    let same = vec![point(0.0, 0.0), point(40.0, 0.0), point(0.0, 0.0)];
    assert_eq!(Layout::points(same), Err(SamePlace(BoltNumber::at(0), BoltNumber::at(2))));
    assert_eq!(
        Layout::points(vec![point(3.0, 3.0); 2]),
        Err(SamePlace(BoltNumber::at(0), BoltNumber::at(1)))
    );
    assert_eq!(Layout::points(vec![point(0.0, f64::NAN)]), Err(NoPlace(BoltNumber::at(0))));
    assert!(Layout::points(vec![point(0.0, 0.0), point(50.0, 0.0), point(0.0, 40.0)]).is_ok());
}

/// Every refusal says what would be right.
#[test]
fn refusals_name_a_way_out() {
    for (name, bolts) in [("row", 1), ("ring", 0), ("ring", 40), ("pair", 3), ("grid", 7), ("grid 1x4", 4)] {
        let refusal = Layout::named(name, bolts).unwrap_err();
        assert!(!refusal.hint().is_empty() && !refusal.to_string().is_empty());
    }
}

#[test]
fn names_read_back() {
    for (name, bolts) in [("ring", 6), ("grid 2x3", 6), ("pair", 2), ("row", 6), ("single", 1)] {
        assert_eq!(Layout::named(name, bolts).unwrap().shape().to_string(), name);
    }
    assert_eq!(Layout::named(" Grid 3×2", 6), Layout::grid(3, 2));
    for wrong in ["", "grid x", "grid 2x", "grid -2x3", "points", "2x3"] {
        assert_eq!(Layout::named(wrong, 6), Err(LayoutError::UnknownName(wrong.into())));
    }
    assert_eq!(Layout::named("grid", 4).unwrap().shape(), Shape::Grid { rows: 2, columns: 2 });
}

proptest! {
    #[test]
    fn no_name_panics(name in "\\PC*", bolts in 0usize..100) {
        let _ = Layout::named(&name, bolts);
    }

    #[test]
    fn a_layout_has_the_bolts_it_was_asked_for(bolts in 2usize..=32) {
        prop_assert_eq!(Layout::named("ring", bolts).unwrap().bolts(), bolts);
        prop_assert_eq!(Layout::named("row", bolts).unwrap().bolts(), bolts);
    }
}
