use super::*;
use crate::sequence::order;
use approx::assert_abs_diff_eq;
use proptest::prelude::*;

fn part(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// Coefficients of `neighbour` for the nearest bolts of a ring.
fn ring(bolts: usize, neighbour: f64) -> Interaction {
    let mut ring = Interaction::from_total(&Layout::ring(bolts).unwrap(), part(0.5), part(0.4)).unwrap();
    let factor = neighbour / ring.loss(0, 1);
    ring.coefficients.iter_mut().for_each(|coefficient| *coefficient *= factor);
    ring
}

/// One pass after another over `order` at each of `levels`.
fn tightened(interaction: &Interaction, order: &[BoltNumber], levels: &[f64]) -> Loads {
    let mut loads = Loads::loose(interaction.bolts());
    for &level in levels {
        for &bolt in order {
            loads.tighten(bolt, part(level), interaction);
        }
    }
    loads
}

fn spread(interaction: &Interaction, order: &[BoltNumber], levels: &[f64]) -> f64 {
    tightened(interaction, order, levels).spread().get::<ratio>()
}

/// c = R for two bolts, R/2.4 for a ring of four and R/2.96 for a ring of six at a decay of 0.4.
#[test]
fn total_and_neighbour_loss_follow_from_each_other() {
    for (bolts, weight) in [(2, 1.0), (4, 2.4), (6, 2.96)] {
        let layout = Layout::ring(bolts).unwrap();
        let from_total = Interaction::from_total(&layout, part(0.3), part(0.4)).unwrap();
        assert_abs_diff_eq!(from_total.loss(0, 1), 0.3 / weight, epsilon = 1e-12);
        assert_abs_diff_eq!(ring(bolts, 0.1).total().get::<ratio>(), 0.1 * weight, epsilon = 1e-12);
    }
}

/// Two bolts of one clamp with a gain of 0.2: the first ends at 1.2, and a second pass moves nothing.
#[test]
fn a_gain_is_not_taken_out_by_repeating() {
    let seesaw = Interaction::from_total(&Layout::pair(), part(-0.2), part(0.4)).unwrap();
    let both = [BoltNumber::at(0), BoltNumber::at(1)];
    let once = tightened(&seesaw, &both, &[1.0]);
    assert_abs_diff_eq!(once.of(both[0]).get::<ratio>(), 1.2, epsilon = 1e-12);
    assert_eq!(tightened(&seesaw, &both, &[1.0, 1.0]), once);
}

#[test]
fn loose_bolts_carry_nothing_and_are_not_counted() {
    let six = ring(6, 0.1);
    let mut loads = Loads::loose(6);
    assert!(loads.tighten(BoltNumber::at(0), part(0.5), &six));
    assert_eq!(loads.all(), [0.5, 0.0, 0.0, 0.0, 0.0, 0.0].map(part));
    assert_eq!(loads.spread(), part(0.0));
    assert!(!loads.tighten(BoltNumber::at(0), part(0.5), &six), "a bolt at its level does not move");
    assert!(!loads.tighten(BoltNumber::at(6), part(0.5), &six), "there is no seventh bolt");
    assert!(!loads.tighten(BoltNumber::at(1), part(f64::NAN), &six));
}

#[test]
fn a_lost_load_opens_the_gap() {
    let soft = Interaction::from_total(&Layout::pair(), part(0.9), part(0.4)).unwrap();
    let mut loads = Loads::loose(2);
    assert!(!loads.gap_open());
    loads.tighten(BoltNumber::at(0), part(0.3), &soft);
    loads.tighten(BoltNumber::at(1), part(0.3), &soft);
    assert!(!loads.gap_open());
    loads.tighten(BoltNumber::at(0), part(1.0), &soft);
    assert!(loads.gap_open());
}

#[test]
fn coefficients_that_never_settle_are_refused() {
    let pair = Layout::pair();
    for total in [1.0, 1.5, -1.0, f64::NAN, f64::INFINITY] {
        let refused = Interaction::from_total(&pair, part(total), part(0.4));
        assert!(matches!(refused, Err(InteractionError::Total(_))), "{total}");
    }
    for decay in [-0.1, 1.1, f64::NAN] {
        let refused = Interaction::from_total(&pair, part(0.1), part(decay));
        assert!(matches!(refused, Err(InteractionError::Decay(_))), "{decay}");
    }
}

/// A decay of nothing leaves the nearest bolts only, also where distances are not exact.
#[test]
fn no_decay_left_means_neighbours_only() {
    let grid = Interaction::from_total(&Layout::grid(2, 3).unwrap(), part(0.3), part(0.0)).unwrap();
    assert_abs_diff_eq!(grid.loss(0, 1), 0.1, epsilon = 1e-12);
    let alone = Interaction::from_total(&Layout::single(), part(0.3), part(0.4)).unwrap();
    assert_eq!(alone.total(), part(0.0));
}

/// A matrix of positive coefficients with row sums below 1, with an order to tighten in.
fn random_joint() -> impl Strategy<Value = (Interaction, Vec<BoltNumber>)> {
    (2usize..=7).prop_flat_map(|n| {
        let rows = prop::collection::vec((prop::collection::vec(0.0..1.0f64, n), 0.01..0.99f64), n);
        let bolts: Vec<BoltNumber> = (0..n).map(BoltNumber::at).collect();
        (rows, Just(bolts).prop_shuffle()).prop_map(move |(rows, order)| {
            let scaled = rows.into_iter().enumerate().flat_map(|(i, (mut row, total))| {
                row[i] = 0.0;
                let sum: f64 = row.iter().sum::<f64>().max(1e-9);
                row.into_iter().map(move |share| share / sum * total)
            });
            (Interaction { bolts: n, coefficients: scaled.collect() }, order)
        })
    })
}

proptest! {
    /// Two bolts and p passes at full torque leave c^(2p-1).
    #[test]
    fn two_bolts_have_their_closed_form(c in 0.0..0.99f64, passes in 1i32..8) {
        let order = [BoltNumber::at(0), BoltNumber::at(1)];
        let levels = vec![1.0; usize::try_from(passes).unwrap()];
        prop_assert!((spread(&ring(2, c), &order, &levels) - c.powi(2 * passes - 1)).abs() < 1e-12);
    }

    /// Two bolts at 50 and then 100 % leave 0.5 c (1 + c + c²).
    #[test]
    fn two_bolts_with_a_half_step_have_their_closed_form(c in 0.0..0.5f64) {
        let left = spread(&ring(2, c), &[BoltNumber::at(0), BoltNumber::at(1)], &[0.5, 1.0]);
        prop_assert!((left - 0.5 * c * (1.0 + c + c * c)).abs() < 1e-12);
    }

    /// Equal row sums leave exactly the total loss after one pass, in any order.
    #[test]
    fn one_pass_leaves_the_total_loss_in_any_order(
        (order, total) in (2usize..=12).prop_flat_map(|n| {
            let bolts: Vec<BoltNumber> = (0..n).map(BoltNumber::at).collect();
            (Just(bolts).prop_shuffle(), 0.0..0.99f64)
        }),
        decay in 0.0..1.0f64,
    ) {
        let layout = Layout::ring(order.len()).unwrap();
        let ring = Interaction::from_total(&layout, part(total), part(decay)).unwrap();
        prop_assert!((spread(&ring, &order, &[1.0]) - total).abs() < 1e-12);
    }

    #[test]
    fn a_repeated_full_pass_never_raises_the_spread((joint, order) in random_joint(), repeats in 1usize..5) {
        let mut levels = vec![1.0; repeats];
        let before = spread(&joint, &order, &levels);
        levels.push(1.0);
        prop_assert!(spread(&joint, &order, &levels) <= before + 1e-12);
    }

    #[test]
    fn the_last_bolt_is_exactly_at_its_level(
        (joint, order) in random_joint(),
        levels in prop::collection::vec(0.01..1.0f64, 1..5),
    ) {
        let mut levels = levels;
        levels.sort_by(f64::total_cmp);
        let last = order[order.len() - 1];
        prop_assert_eq!(tightened(&joint, &order, &levels).of(last), part(levels[levels.len() - 1]));
    }

    /// No load is ever above the highest level where every coefficient is a loss.
    #[test]
    fn losses_never_raise_a_load((joint, order) in random_joint(), level in 0.01..1.0f64) {
        let loads = tightened(&joint, &order, &[level, 1.0]);
        prop_assert!(loads.all().into_iter().all(|load| (0.0..=1.0).contains(&load.get::<ratio>())));
    }

    /// With G the product of the steps of one pass, an error e after a pass at level L becomes
    /// G e - (rise in level) G 1 after the next.
    #[test]
    fn errors_follow_the_recursion((joint, order) in random_joint(), first in 0.5..1.0f64) {
        let loads = tightened(&joint, &order, &[first]);
        let mut error: Vec<f64> =
            loads.all().into_iter().map(|load| load.get::<ratio>() - first).collect();
        for e in &mut error {
            *e -= 1.0 - first;
        }
        for bolt in &order {
            let j = bolt.index();
            let step = error[j];
            for (i, e) in error.iter_mut().enumerate() {
                *e += joint.loss(i, j) * step;
            }
            error[j] = 0.0;
        }
        let loads = tightened(&joint, &order, &[first, 1.0]);
        // The recursion knows no loss of contact; where one happens the model stops at nothing.
        if !lost_contact(&joint, &order, &[first, 1.0]) {
            for (load, e) in loads.all().into_iter().zip(error) {
                prop_assert!((load.get::<ratio>() - 1.0 - e).abs() < 1e-12);
            }
        }
    }
}

/// Whether a tightened bolt is without load at any time.
fn lost_contact(joint: &Interaction, order: &[BoltNumber], levels: &[f64]) -> bool {
    let mut loads = Loads::loose(joint.bolts());
    levels.iter().any(|&level| {
        order.iter().any(|&bolt| {
            loads.tighten(bolt, part(level), joint);
            loads.gap_open()
        })
    })
}

/// All 720 orders of six bolts leave the same spread after one pass.
#[test]
fn the_order_does_not_change_the_first_spread() {
    let six = ring(6, 0.1);
    let star = order(&Layout::ring(6).unwrap());
    let mut bolts: Vec<BoltNumber> = (0..6).map(BoltNumber::at).collect();
    let mut orders = 0;
    permute(&mut bolts, 0, &mut |bolts| {
        orders += 1;
        assert_abs_diff_eq!(spread(&six, bolts, &[1.0]), spread(&six, &star, &[1.0]), epsilon = 1e-12);
    });
    assert_eq!(orders, 720);
}

fn permute(bolts: &mut [BoltNumber], fixed: usize, check: &mut impl FnMut(&[BoltNumber])) {
    if fixed == bolts.len() {
        check(bolts);
    }
    for k in fixed..bolts.len() {
        bolts.swap(fixed, k);
        permute(bolts, fixed + 1, check);
        bolts.swap(fixed, k);
    }
}

fn band(low: f64, nominal: f64, high: f64) -> Result<LossBand, InteractionError> {
    LossBand::new(part(low), part(nominal), part(high))
}

#[test]
fn bounds_are_checked() {
    assert!(band(0.05, 0.15, 0.35).is_ok_and(|band| !band.is_gain()));
    assert!(band(-0.3, -0.2, 0.0).is_ok_and(LossBand::is_gain));
    assert!(matches!(band(0.2, 0.15, 0.35), Err(InteractionError::Order(_))));
    assert!(matches!(band(0.1, 0.4, 0.35), Err(InteractionError::Order(_))));
    for wrong in [1.0, -1.0, 2.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(band(wrong, wrong, wrong), Err(InteractionError::Total(_))), "{wrong}");
        assert!(LossBand::exactly(part(wrong)).is_err(), "{wrong}");
    }
}
