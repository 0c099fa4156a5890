//! The settings of a wrench for the passes of a plan.
//!
//! A setting is a whole number of the wrench's steps, rounded down, so that none is ever above the
//! target; it is never zero, and a higher level never has a lower setting.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use crate::quantity::{Torque, in_newton_metres};

/// Part of a step by which a quotient may miss a whole number through binary fractions alone.
const SLACK: f64 = 1e-9;

/// The settings that a wrench offers: whole steps, from its lowest one up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    step: Torque,
    lowest: Torque,
}

/// Settings that cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SettingError {
    /// A step of a wrench that is not above 0.
    #[error("a wrench step of {} N·m is not above 0", in_newton_metres(*.0))]
    Step(Torque),
    /// A lowest setting that is below 0 or not finite.
    #[error("a lowest setting of {} N·m is not 0 or above", in_newton_metres(*.0))]
    Lowest(Torque),
    /// A target that is not above 0.
    #[error("a target of {} N·m is not above 0", in_newton_metres(*.0))]
    Target(Torque),
    /// Even the wrench's lowest setting is above the target.
    #[error("the wrench starts at {} N·m, above the target of {} N·m",
        in_newton_metres(*.lowest), in_newton_metres(*.target))]
    TooCoarse {
        /// The lowest setting that the wrench has.
        lowest: Torque,
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
            SettingError::Step(_) => "give the smallest change on the wrench's scale, such as 0.1 N·m",
            SettingError::Lowest(_) => "give the lowest mark of the wrench's scale, such as 2 N·m",
            SettingError::Target(_) => "give the torque for the bolts, such as 5 N·m",
            SettingError::TooCoarse { .. } => "take a smaller wrench with a finer scale",
            SettingError::Levels => "give levels such as 30, 60 and 100 %",
        }
    }
}

impl Scale {
    /// A scale of whole `step`s.
    ///
    /// # Errors
    /// [`SettingError::Step`] unless the step is finite and above 0.
    pub fn stepped(step: Torque) -> Result<Scale, SettingError> {
        if in_newton_metres(step).is_finite() && in_newton_metres(step) > 0.0 {
            Ok(Scale { step, lowest: step })
        } else {
            Err(SettingError::Step(step))
        }
    }

    /// The same scale without the settings below `lowest`, where the wrench is not to be used.
    ///
    /// # Errors
    /// [`SettingError::Lowest`] unless `lowest` is finite and not below 0.
    pub fn starting_at(self, lowest: Torque) -> Result<Scale, SettingError> {
        if !(in_newton_metres(lowest).is_finite() && in_newton_metres(lowest) >= 0.0) {
            return Err(SettingError::Lowest(lowest));
        }
        let steps = (self.quotient(lowest) - SLACK).ceil().max(1.0);
        Ok(Scale { lowest: self.step * steps, ..self })
    }

    /// The step between two settings.
    #[must_use]
    pub fn step(self) -> Torque {
        self.step
    }

    /// The largest setting that is not above `torque` but for its last binary digits, or the lowest
    /// one of the scale.
    fn at_most(self, torque: Torque) -> Torque {
        (self.step * (self.quotient(torque) + SLACK).floor()).max(self.lowest)
    }

    /// How many steps `torque` is, unrounded.
    fn quotient(self, torque: Torque) -> f64 {
        (torque / self.step).get::<ratio>()
    }
}

/// The setting for each of `levels`, which are fractions of `target`; none is above `target`.
///
/// Two levels that are closer than the wrench can tell apart come out as the same setting. A level
/// below the wrench's lowest setting comes out as that setting.
///
/// ```
/// use evenclamp::quantity::{in_newton_metres, newton_metres};
/// use evenclamp::sequence::{Scale, settings};
/// use uom::si::{f64::Ratio, ratio::percent};
///
/// let wrench = Scale::stepped(newton_metres(0.5)).unwrap();
/// let levels = [30.0, 60.0, 100.0].map(Ratio::new::<percent>);
/// let set: Vec<f64> =
///     settings(newton_metres(5.2), &levels, wrench).unwrap().into_iter().map(in_newton_metres).collect();
/// assert_eq!(set, [1.5, 3.0, 5.0]);
/// ```
/// # Errors
/// [`SettingError`] when the target is not above 0 or is below the wrench's lowest setting, or when
/// a level is not above 0 and at most 1.
pub fn settings(target: Torque, levels: &[Ratio], scale: Scale) -> Result<Vec<Torque>, SettingError> {
    let newton_metres = in_newton_metres(target);
    if !(newton_metres.is_finite() && newton_metres > 0.0) {
        return Err(SettingError::Target(target));
    }
    if !levels.iter().all(|level| level.get::<ratio>() > 0.0 && level.get::<ratio>() <= 1.0) {
        return Err(SettingError::Levels);
    }
    if scale.quotient(scale.lowest) > scale.quotient(target) + SLACK {
        return Err(SettingError::TooCoarse { lowest: scale.lowest, target });
    }
    // A whole number of steps may be above the target that it stands for by its last binary digit.
    Ok(levels.iter().map(|&level| scale.at_most(target * level.get::<ratio>()).min(target)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{TorqueUnit, newton_metres};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::ratio::percent;

    fn set(target: f64, step: f64, levels: &[f64]) -> Result<Vec<f64>, SettingError> {
        let levels: Vec<Ratio> = levels.iter().map(|&level| Ratio::new::<percent>(level)).collect();
        let scale = Scale::stepped(newton_metres(step))?;
        Ok(settings(newton_metres(target), &levels, scale)?.into_iter().map(in_newton_metres).collect())
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
        let scale = Scale::stepped(newton_metres(0.5)).unwrap().starting_at(newton_metres(2.2)).unwrap();
        let levels = [Ratio::new::<percent>(30.0), Ratio::new::<percent>(100.0)];
        let set = settings(newton_metres(5.0), &levels, scale).unwrap();
        assert_eq!(set, [newton_metres(2.5), newton_metres(5.0)]);
    }

    /// 44 lbf·in on a scale of 1 lbf·in is itself, whatever the binary fractions.
    #[test]
    fn whole_steps_of_another_unit_stay_whole() {
        let unit = TorqueUnit::PoundForceInch;
        for steps in 1..=250 {
            let target = unit.of(f64::from(steps));
            let scale = Scale::stepped(unit.of(1.0)).unwrap();
            let set = settings(target, &[Ratio::new::<ratio>(1.0)], scale).unwrap();
            assert_relative_eq!(unit.value_of(set[0]), f64::from(steps), max_relative = 1e-12);
            assert!(set[0] <= target);
        }
    }

    #[test]
    fn what_cannot_be_set_is_refused() {
        assert!(matches!(set(5.0, 0.0, &[100.0]), Err(SettingError::Step(_))));
        assert!(matches!(set(5.0, f64::NAN, &[100.0]), Err(SettingError::Step(_))));
        assert!(matches!(set(0.0, 0.1, &[100.0]), Err(SettingError::Target(_))));
        assert!(matches!(set(f64::INFINITY, 0.1, &[100.0]), Err(SettingError::Target(_))));
        assert!(matches!(set(0.9, 1.0, &[100.0]), Err(SettingError::TooCoarse { .. })));
        assert_eq!(set(5.0, 0.1, &[f64::NAN]), Err(SettingError::Levels));
        assert_eq!(set(5.0, 0.1, &[0.0, 100.0]), Err(SettingError::Levels));
        assert_eq!(set(5.0, 0.1, &[100.1]), Err(SettingError::Levels));
        let scale = Scale::stepped(newton_metres(1.0)).unwrap();
        assert!(scale.starting_at(newton_metres(-1.0)).is_err());
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
