use super::PassKind::{Confirm, Full, Step};
use super::*;
use crate::quantity::newton_metres;
use crate::sequence::{ClosedSide, InteractionError, LayoutError, LossBand, Point, order, settings};
use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use uom::si::ratio::percent;

fn part(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn usual() -> Ladder {
    "30/60/100".parse().unwrap()
}

/// A plan on a wrench that can be set to any torque.
fn plan(
    layout: &Layout,
    pattern: Pattern,
    parameters: &Parameters,
    within: Ratio,
) -> Result<Plan, PlanError> {
    let scale = SettingScale::new(newton_metres(0.0), newton_metres(10.0), None).unwrap();
    plan_on(layout, pattern, parameters, within, newton_metres(1.0), &scale)
}

fn assuming(low: f64, nominal: f64, high: f64) -> Parameters {
    let losses = LossBand::new(part(low), part(nominal), part(high)).unwrap();
    Parameters { losses, decay: part(0.4), ladder: usual() }
}

fn crosswise(layout: &Layout, parameters: &Parameters, within: f64) -> Plan {
    plan(layout, Pattern::Crosswise, parameters, part(within)).unwrap()
}

fn percents(plan: &Plan) -> Vec<f64> {
    plan.levels().into_iter().map(|level| (level.get::<percent>() * 1e6).round() / 1e6).collect()
}

#[test]
fn a_face_plate_takes_two_full_passes_and_a_confirming_one() {
    let plate = Layout::ring(4).unwrap();
    let plan = crosswise(&plate, &assuming(0.05, 0.15, 0.35), 0.05);
    assert_eq!(percents(&plan), [30.0, 60.0, 100.0, 100.0, 100.0]);
    assert_eq!(
        plan.passes.iter().map(|pass| pass.kind).collect::<Vec<_>>(),
        [Step, Step, Full, Full, Confirm]
    );
    for pass in &plan.passes {
        let spread = pass.spread;
        assert!(spread.low <= spread.nominal && spread.nominal <= spread.high);
        assert_eq!(pass.order, order(&plate));
    }
    assert_eq!(plan.notes, [Note::WithinBreakAway(part(0.10))]);
}

#[test]
fn one_bolt_has_at_most_one_lower_step() {
    let plan = crosswise(&Layout::single(), &assuming(0.05, 0.15, 0.35), 0.05);
    assert_eq!(percents(&plan), [60.0, 100.0]);
    let straight = Parameters { ladder: Ladder::full(), ..assuming(0.0, 0.0, 0.0) };
    assert_eq!(percents(&crosswise(&Layout::single(), &straight, 0.05)), [100.0]);
    assert_eq!((plan.full_passes.planned, plan.notes.len()), (1, 0));
    assert_abs_diff_eq!(plan.unknowns.friction_spread.get::<ratio>(), 0.0, epsilon = 1e-12);
}

/// Two bolts with a gain of 0.2 end at 1.07 after 30/60/100 % and at 1.02 after 50/75/90/100 %.
#[test]
fn a_gain_gets_small_last_steps_instead_of_repeats() {
    let plan = crosswise(&Layout::pair(), &assuming(-0.3, -0.2, 0.0), 0.05);
    assert_eq!(percents(&plan), [50.0, 75.0, 90.0, 100.0, 100.0]);
    assert_eq!((plan.full_passes.planned, plan.passes[4].kind), (1, Confirm));
    assert!(plan.notes.contains(&Note::RepeatingDoesNotHelp));
    assert_abs_diff_eq!(plan.passes[3].spread.nominal.get::<ratio>(), 0.02, epsilon = 0.005);
    let last: Vec<bool> =
        plan.actions().nominal.into_iter().rev().take(2).map(|action| action.moved).collect();
    assert_eq!(last, [false, false], "the confirming pass moves nothing");

    let mut loads = Loads::loose(2);
    let seesaw = Interaction::from_total(&Layout::pair(), part(-0.2), part(0.4)).unwrap();
    for turn in climb(&[vec![BoltNumber::at(0), BoltNumber::at(1)]], &usual()) {
        turn.apply(&mut loads, &seesaw);
    }
    assert_abs_diff_eq!(loads.of(BoltNumber::at(0)).get::<ratio>(), 1.07, epsilon = 0.005);
}

#[test]
fn a_gain_too_large_for_small_steps_is_said_to_be_so() {
    let plan = crosswise(&Layout::pair(), &assuming(-0.9, -0.9, -0.9), 0.05);
    assert!(plan.notes.iter().any(|note| matches!(note, Note::NotWithin { full_passes: 1, .. })));
    let perhaps = crosswise(&Layout::pair(), &assuming(-0.1, 0.1, 0.2), 0.05);
    assert!(perhaps.notes.contains(&Note::MayBeGain));
}

#[test]
fn a_closed_side_comes_up_first_and_is_checked_at_the_end() {
    let plate = Layout::ring(4).unwrap();
    let assumed = assuming(-0.3, -0.2, 0.05);
    let plan = plan(&plate, Pattern::ClosedSideFirst(ClosedSide::Top), &assumed, part(0.05)).unwrap();
    assert_eq!(percents(&plan), [50.0, 75.0, 90.0, 100.0, 50.0, 75.0, 90.0, 100.0, 100.0]);
    let numbers = |pass: &Pass| pass.order.iter().map(|bolt| bolt.number()).collect::<Vec<_>>();
    assert!(plan.passes[..4].iter().all(|pass| numbers(pass) == [1, 2]));
    assert!(plan.passes[4..8].iter().all(|pass| numbers(pass) == [3, 4]));
    assert_eq!(numbers(&plan.passes[8]), [1, 2, 3, 4]);
    assert!(plan.notes.contains(&Note::RepeatingDoesNotHelp));
}

/// A joint softer than any in the table gets smaller rises, and the softest a warning.
#[test]
fn soft_joints_get_finer_ladders() {
    let plate = Layout::ring(4).unwrap();
    for (high, ladder) in [(0.55, "30/60/100"), (0.65, "30/45/65/100"), (0.8, "30/40/50/65/80/100")] {
        let plan = crosswise(&plate, &assuming(0.1, 0.3, high), 0.05);
        let expected: Ladder = ladder.parse().unwrap();
        let steps = expected.levels().len();
        assert_eq!(plan.levels()[..steps], *expected.levels(), "at a loss of {high}");
        let said = plan.notes.contains(&Note::FinerLadder(expected.clone()));
        assert_eq!(said, expected != usual());
    }
    let softest = crosswise(&plate, &assuming(0.1, 0.3, 0.95), 0.05);
    assert!(softest.notes.contains(&Note::GapMayOpen));
}

fn stepped(step: f64) -> SettingScale {
    SettingScale::new(newton_metres(0.0), newton_metres(100.0), Some(newton_metres(step))).unwrap()
}

/// What a coarse scale makes of the steps decides how many passes there are: 5 N·m on a scale of
/// 2.5 N·m rises by half at last, and two bolts keep 12.4 % at a loss of 20 % then, more than after
/// 30/60/100 %.
#[test]
fn a_coarse_wrench_is_planned_for_as_it_is() {
    let pair = Layout::pair();
    let parameters = assuming(0.2, 0.2, 0.2);
    let target = newton_metres(5.0);
    let on =
        |step| plan_on(&pair, Pattern::Crosswise, &parameters, part(0.1), target, &stepped(step)).unwrap();
    let (fine, coarse) = (on(0.1), on(2.5));
    assert_eq!((percents(&fine), fine.full_passes.planned), (vec![30.0, 60.0, 100.0, 100.0], 1));
    assert_eq!((percents(&coarse), coarse.full_passes.planned), (vec![50.0, 100.0, 100.0, 100.0], 2));
    assert_abs_diff_eq!(coarse.passes[1].spread.nominal.get::<ratio>(), 0.124, epsilon = 5e-4);
    assert!(coarse.notes.contains(&Note::ByHandFirst), "30 % lies below its first mark");
    let none = plan_on(&pair, Pattern::Crosswise, &parameters, part(0.1), target, &stepped(7.0));
    assert!(matches!(none, Err(PlanError::Setting(_))));
}

#[test]
fn every_likely_loss_has_its_number_of_passes() {
    let needed = crosswise(&Layout::ring(6).unwrap(), &assuming(0.1, 0.2, 0.3), 0.05).full_passes;
    let expected = AtLosses { low: Some(1), nominal: Some(2), high: Some(2) };
    assert_eq!((needed.planned, needed.needed), (2, expected));
}

#[test]
fn passes_without_end_are_cut_off_and_said_to_be_so() {
    let plan = crosswise(&Layout::ring(6).unwrap(), &assuming(0.9, 0.95, 0.99), 0.001);
    assert_eq!(plan.full_passes.planned, MAX_FULL_PASSES);
    assert!(plan.notes.iter().any(|note| matches!(note, Note::NotWithin { .. })));
    let soft = crosswise(&Layout::ring(6).unwrap(), &assuming(0.1, 0.3, 0.5), 0.05);
    assert!(soft.notes.contains(&Note::HighLossNeeds(Some(3))));
}

#[test]
fn what_cannot_be_planned_is_refused() {
    let pair = Layout::pair();
    for within in [0.0, -0.05, f64::NAN, f64::INFINITY, 1.5] {
        let refused = plan(&pair, Pattern::Crosswise, &assuming(0.05, 0.15, 0.35), part(within)).unwrap_err();
        assert!(matches!(refused, PlanError::Within(_)) && !refused.hint().is_empty(), "{within}");
    }
    let closed =
        plan(&pair, Pattern::ClosedSideFirst(ClosedSide::Top), &assuming(0.05, 0.15, 0.35), part(0.05));
    assert_eq!(closed, Err(PlanError::Layout(LayoutError::NoPairs)));
    let parameters = Parameters { decay: part(2.0), ..assuming(0.05, 0.15, 0.35) };
    let decay = plan(&pair, Pattern::Crosswise, &parameters, part(0.05));
    assert!(matches!(decay, Err(PlanError::Interaction(InteractionError::Decay(_)))));
}

#[test]
fn actions_follow_the_passes() {
    let plan = crosswise(&Layout::ring(6).unwrap(), &assuming(0.02, 0.05, 0.15), 0.05);
    let actions = plan.actions().high;
    assert_eq!(actions.len(), 6 * plan.passes.len());
    for (k, pass) in plan.passes.iter().enumerate() {
        let turned: Vec<BoltNumber> =
            actions.iter().filter(|action| action.pass == k).map(|action| action.bolt).collect();
        assert_eq!(turned, pass.order);
    }
    let loads = &actions[actions.len() - 1].loads;
    let ends = loads.iter().fold((f64::MAX, f64::MIN), |(low, high), load| {
        (low.min(load.get::<ratio>()), high.max(load.get::<ratio>()))
    });
    let spread = plan.passes[plan.passes.len() - 1].spread.high.get::<ratio>();
    assert_abs_diff_eq!(ends.1 - ends.0, spread, epsilon = 1e-12);
}

fn any_layout() -> impl Strategy<Value = Layout> {
    let free = prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64), 1..=12)
        .prop_map(|places| places.into_iter().map(|(x, y)| Point { x, y }).collect());
    prop_oneof![
        (2usize..=32).prop_map(|n| Layout::ring(n).unwrap()),
        (2usize..=12).prop_map(|n| Layout::row(n).unwrap()),
        (2usize..=5, 2usize..=6).prop_map(|(rows, columns)| Layout::grid(rows, columns).unwrap()),
        free.prop_filter_map("two bolts at one place", |places| Layout::points(places).ok()),
    ]
}

proptest! {
    /// Whatever the joint: every pass turns each bolt once, no level is above the target, no
    /// setting above the torque asked for, and the last pass confirms.
    #[test]
    fn no_plan_asks_for_more_than_the_target(
        layout in any_layout(),
        losses in (-0.9..0.95f64, 0.0..0.05f64, 0.0..0.05f64),
        within in 0.001..0.3f64,
        target in 1.0..40.0f64,
        step in 0.05..=1.0f64,
    ) {
        let (low, rise, more) = losses;
        let parameters = assuming(low, (low + rise).min(0.99), (low + rise + more).min(0.99));
        let plan = crosswise(&layout, &parameters, within);
        for pass in &plan.passes {
            let mut seen = pass.order.clone();
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..layout.bolts()).map(BoltNumber::at).collect::<Vec<_>>());
        }
        let target = newton_metres(target);
        let scale = stepped(step);
        let set = settings(target, &plan.levels(), &scale).unwrap();
        prop_assert!(set.iter().all(|&setting| setting <= target));
        prop_assert!(set.windows(2).all(|next| next[0] <= next[1]));
        let on_wrench =
            plan_on(&layout, Pattern::Crosswise, &parameters, part(within), target, &scale).unwrap();
        let set = settings(target, &on_wrench.levels(), &scale).unwrap();
        let lower = on_wrench.passes.iter().filter(|pass| pass.kind == Step).count();
        prop_assert!(set[..=lower].windows(2).all(|next| next[0] < next[1]), "{:?}", set);
        let confirms = plan.passes[plan.passes.len() - 1].kind == Confirm;
        prop_assert_eq!(confirms, layout.bolts() > 1);
    }

    /// The plan keeps its promise: within what was asked, or it says that it is not.
    #[test]
    fn the_spread_is_within_or_it_is_said(layout in any_layout(), loss in -0.9..0.95f64, within in 0.001..0.3f64) {
        let plan = crosswise(&layout, &assuming(loss, loss, loss), within);
        let last_full = plan.passes.iter().rfind(|pass| pass.kind == Full).unwrap();
        let reached = last_full.spread.nominal.get::<ratio>() <= within + 1e-9;
        let said = plan.notes.iter().any(|note| matches!(note, Note::NotWithin { .. }));
        prop_assert!(reached != said);
    }
}
