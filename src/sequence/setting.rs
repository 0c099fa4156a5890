//! The settings of a wrench for the levels of a plan.
//!
//! A setting is a mark of the wrench's scale, rounded down, so that none is ever above the target;
//! it is never zero, and a higher level never has a lower setting.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::Ladder;
use crate::conformity::SettingScale;
use crate::quantity::tolerance::{TOLERANCE, at_least, more_than};
use crate::quantity::{Torque, in_newton_metres};

/// Settings that cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SettingError {
    /// A target that is not above 0.
    #[error("a target of {} N·m is not above 0", in_newton_metres(*.0))]
    Target(Torque),
    /// The scale has no setting above 0.
    #[error("the scale of the wrench has no setting")]
    NoSetting,
    /// Even the wrench's lowest setting is above the target.
    #[error("the wrench starts at {} N·m, above the target of {} N·m",
        in_newton_metres(*.lowest), in_newton_metres(*.target))]
    TooCoarse {
        /// The lowest setting that the wrench has.
        lowest: Torque,
        /// The torque that was asked for.
        target: Torque,
    },
    /// The wrench's highest setting is below the target.
    #[error("the wrench ends at {} N·m, below the target of {} N·m",
        in_newton_metres(*.highest), in_newton_metres(*.target))]
    TooSmall {
        /// Where the usable scale ends.
        highest: Torque,
        /// The torque that was asked for.
        target: Torque,
    },
    /// A level that is not above 0 and at most 1 of the target.
    #[error("a level of a plan is above 0 and at most 100 % of the target")]
    Levels,
}

impl SettingError {
    /// What to give instead.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            SettingError::Target(_) => "give the torque for the bolts, such as 5 N·m",
            SettingError::NoSetting => "give a scale with at least one setting above 0",
            SettingError::TooCoarse { .. } => "take a smaller wrench with a finer scale",
            SettingError::TooSmall { .. } => "take a larger wrench",
            SettingError::Levels => "give levels such as 30, 60 and 100 %",
        }
    }
}

/// The setting for each of `levels`, which are fractions of `target`; none is above `target`.
///
/// Two levels that are closer than the wrench can tell apart come out as the same setting. A level
/// below the wrench's lowest setting comes out as that setting.
///
/// ```
/// use evenclamp::conformity::SettingScale;
/// use evenclamp::quantity::{in_newton_metres, newton_metres as nm};
/// use evenclamp::sequence::settings;
/// use uom::si::{f64::Ratio, ratio::percent};
///
/// let wrench = SettingScale::new(nm(0.0), nm(10.0), Some(nm(0.5))).unwrap();
/// let levels = [30.0, 60.0, 100.0].map(Ratio::new::<percent>);
/// let set: Vec<f64> =
///     settings(nm(5.2), &levels, &wrench).unwrap().into_iter().map(in_newton_metres).collect();
/// assert_eq!(set, [1.5, 3.0, 5.0]);
/// ```
/// # Errors
/// [`SettingError`] unless the target is above 0 and on the scale, and every level above 0 and at most 1.
pub fn settings(target: Torque, levels: &[Ratio], scale: &SettingScale) -> Result<Vec<Torque>, SettingError> {
    let newton_metres = in_newton_metres(target);
    if !(newton_metres.is_finite() && newton_metres > 0.0) {
        return Err(SettingError::Target(target));
    }
    if !levels.iter().all(|level| level.get::<ratio>() > 0.0 && level.get::<ratio>() <= 1.0) {
        return Err(SettingError::Levels);
    }
    if more_than(target, scale.highest()) {
        return Err(SettingError::TooSmall { highest: scale.highest(), target });
    }
    let first = match scale.step() {
        // Any torque from where the scale begins, which zero itself is not.
        None => scale.lowest().max(target * TOLERANCE),
        Some(_) => scale.first().ok_or(SettingError::NoSetting)?,
    };
    if !at_least(target, first) {
        return Err(SettingError::TooCoarse { lowest: first, target });
    }
    // A mark may be above the torque that it stands for by its last binary digit.
    let setting = |level: Ratio| scale.below(target * level.get::<ratio>()).unwrap_or(first).max(first);
    Ok(levels.iter().map(|&level| setting(level).min(target)).collect())
}

/// Two passes whose settings differ by less than this share of the target bring a joint no further.
const LEAST_RISE: f64 = 0.1;

/// What a wrench makes of a ladder.
pub(super) struct Settable {
    /// Its settings as fractions of the highest of them.
    pub(super) ladder: Ladder,
    /// The lower levels that fell away, because their settings hardly differ from the next one.
    pub(super) fallen: Vec<Ratio>,
    /// Whether its scale begins above the lowest level, so that the bolts are brought up by hand first.
    pub(super) by_hand_first: bool,
}

/// What a wrench makes of a ladder to `target` (`specs/rules.md`, "Passes").
pub(super) fn settable(
    ladder: &Ladder,
    target: Torque,
    scale: &SettingScale,
) -> Result<Settable, SettingError> {
    let set = settings(target, ladder.levels(), scale)?;
    let is_below_scale = |k: usize| more_than(set[k], target * ladder.levels()[k].get::<ratio>());
    let hardly_differs = |k: usize| {
        let rise = set.get(k + 1).map(|&next| next - set[k]);
        rise.is_some_and(|rise| more_than(target * LEAST_RISE, rise))
    };
    let mut found = Settable { ladder: Ladder::full(), fallen: Vec::new(), by_hand_first: false };
    let mut kept = Vec::new();
    for (k, &level) in ladder.levels().iter().enumerate() {
        if is_below_scale(k) {
            found.by_hand_first = true;
        } else if hardly_differs(k) {
            found.fallen.push(level);
        } else {
            // The last setting is what full torque is on this wrench.
            kept.push(set.last().map_or(level, |&full| set[k] / full));
        }
    }
    found.ladder = Ladder::rising(kept);
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{TorqueUnit, newton_metres};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::ratio::percent;

    fn stepped(step: Torque) -> SettingScale {
        SettingScale::new(Torque::default(), newton_metres(1000.0), Some(step)).unwrap()
    }

    fn levels(percents: &[f64]) -> Vec<Ratio> {
        percents.iter().map(|&level| Ratio::new::<percent>(level)).collect()
    }

    fn set(target: f64, step: f64, percents: &[f64]) -> Result<Vec<f64>, SettingError> {
        let scale = stepped(newton_metres(step));
        let set = settings(newton_metres(target), &levels(percents), &scale)?;
        Ok(set.into_iter().map(in_newton_metres).collect())
    }

    #[test]
    fn settings_are_rounded_down_to_the_step() {
        assert_eq!(set(5.2, 0.5, &[30.0, 60.0, 100.0]), Ok(vec![1.5, 3.0, 5.0]));
        assert_eq!(set(5.0, 1.0, &[30.0, 60.0, 100.0, 100.0]), Ok(vec![1.0, 3.0, 5.0, 5.0]));
        assert_eq!(set(0.3, 0.1, &[100.0]), Ok(vec![0.3]));
    }

    #[test]
    fn a_low_step_is_lifted_to_the_lowest_setting() {
        assert_eq!(set(2.0, 1.0, &[30.0, 60.0, 100.0]), Ok(vec![1.0, 1.0, 2.0]));
        let scale = stepped(newton_metres(0.5)).within(newton_metres(2.2), newton_metres(10.0));
        let set = settings(newton_metres(5.0), &levels(&[30.0, 100.0]), &scale).unwrap();
        assert_eq!(set, [newton_metres(2.5), newton_metres(5.0)]);
    }

    /// 44 lbf·in on a scale of 1 lbf·in is itself, whatever the binary fractions.
    #[test]
    fn whole_steps_of_another_unit_stay_whole() {
        let unit = TorqueUnit::PoundForceInch;
        for steps in 1..=250 {
            let target = unit.of(f64::from(steps));
            let set = settings(target, &[Ratio::new::<ratio>(1.0)], &stepped(unit.of(1.0))).unwrap();
            assert_relative_eq!(unit.value_of(set[0]), f64::from(steps), max_relative = 1e-12);
            assert!(set[0] <= target);
        }
    }

    #[test]
    fn what_cannot_be_set_is_refused() {
        assert!(matches!(set(0.0, 0.1, &[100.0]), Err(SettingError::Target(_))));
        assert!(matches!(set(f64::INFINITY, 0.1, &[100.0]), Err(SettingError::Target(_))));
        assert!(matches!(set(0.9, 1.0, &[100.0]), Err(SettingError::TooCoarse { .. })));
        assert_eq!(set(5.0, 0.1, &[f64::NAN]), Err(SettingError::Levels));
        assert_eq!(set(5.0, 0.1, &[0.0, 100.0]), Err(SettingError::Levels));
        assert_eq!(set(5.0, 0.1, &[100.1]), Err(SettingError::Levels));
        assert!(matches!(set(1000.5, 0.1, &[100.0]), Err(SettingError::TooSmall { .. })));
        let no_mark = stepped(newton_metres(1.0)).within(newton_metres(2.2), newton_metres(2.8));
        let refused = settings(newton_metres(2.5), &levels(&[100.0]), &no_mark);
        assert_eq!(refused, Err(SettingError::NoSetting));
    }

    /// A scale without steps gives every level as it is.
    #[test]
    fn a_scale_without_steps_is_met_exactly() {
        let scale = SettingScale::new(Torque::default(), newton_metres(20.0), None).unwrap();
        let set = settings(newton_metres(5.2), &levels(&[30.0, 100.0]), &scale).unwrap();
        assert_relative_eq!(in_newton_metres(set[0]), 1.56, max_relative = 1e-12);
        assert_eq!(set[1], newton_metres(5.2));
    }

    #[test]
    fn levels_that_hardly_differ_become_one_and_those_below_the_scale_are_done_by_hand() {
        let usual: Ladder = "30/60/100".parse().unwrap();
        let on = |scale: &SettingScale, target: f64, ladder: &Ladder| {
            let Settable { ladder, fallen, by_hand_first } =
                settable(ladder, newton_metres(target), scale).unwrap();
            (ladder.to_string(), fallen.len(), by_hand_first)
        };
        let made =
            |target: f64, step: f64, ladder: &Ladder| on(&stepped(newton_metres(step)), target, ladder);
        let said = |ladder: &str, fallen, by_hand| (ladder.to_owned(), fallen, by_hand);
        assert_eq!(made(5.0, 0.1, &usual), said("30/60/100", 0, false));
        assert_eq!(made(5.0, 1.0, &usual), said("20/60/100", 0, false));
        assert_eq!(made(2.0, 1.0, &usual), said("50/100", 0, true));
        assert_eq!(made(1.0, 1.0, &usual), said("100", 0, true));
        assert_eq!(made(1.0, 0.5, &Ladder::small_last()), said("50/100", 2, false));
        // A rise of a tenth of the target is worth a pass, less is not.
        assert_eq!(made(10.0, 0.1, &"30/80/90/100".parse().unwrap()), said("30/80/90/100", 0, false));
        assert_eq!(made(10.0, 0.1, &"30/80/91/100".parse().unwrap()), said("30/80/100", 1, false));
        // A rotor of at most 4 N·m on a wrench from 2 N·m: 30 % of 3.7 N·m lies below it.
        let from =
            |low, high, step| SettingScale::new(newton_metres(low), newton_metres(high), step).unwrap();
        let tenth = Some(newton_metres(0.1));
        assert_eq!(on(&from(2.0, 10.0, tenth), 3.7, &usual), said("59.459459/100", 0, true));
        assert_eq!(on(&from(5.0, 5.0, None), 5.0, &usual), said("100", 0, true));
    }

    proptest! {
        /// Over every wrench step from 0.05 to 1 N·m: never above the target, never zero, never
        /// falling, always whole steps, and the last as near below the target as the step allows.
        #[test]
        fn no_setting_is_above_the_target(
            target in 0.2..60.0f64,
            step in 0.05..=1.0f64,
            mut levels in prop::collection::vec(0.1..100.0f64, 0..6),
        ) {
            levels.push(100.0);
            levels.sort_by(f64::total_cmp);
            match set(target, step, &levels) {
                Err(error) => {
                    let too_coarse = matches!(error, SettingError::TooCoarse { .. });
                    prop_assert!(too_coarse && step > target);
                }
                Ok(set) => {
                    prop_assert!(set.iter().all(|&setting| setting <= target && setting > 0.0));
                    prop_assert!(set.windows(2).all(|next| next[0] <= next[1]));
                    for &setting in &set {
                        let steps = setting / step;
                        prop_assert!((steps - steps.round()).abs() < 1e-6, "{setting} of {step}");
                    }
                    prop_assert!(target - set[set.len() - 1] < step);
                }
            }
        }

        /// The steps that wrenches have, at targets that are whole numbers of them.
        #[test]
        fn targets_on_the_scale_are_reached(hundredths in 1u32..=20, steps in 1u32..=400) {
            let step = f64::from(hundredths) * 0.05;
            let target = step * f64::from(steps);
            let last = set(target, step, &[30.0, 60.0, 100.0]).unwrap()[2];
            prop_assert!(last <= target && (target - last) < 1e-9 * target);
        }
    }
}
