//! The setting with the best chance of landing inside.
//!
//! With `u(s)² = (a·s)² + b²` (see `uncertainty`) the chance `Φ((H−s)/u) − Φ((L−s)/u)` of a setting `s`
//! rises while
//!
//! `(H−L)(H+L−2s) / (2u²) > ln((b² + a²Hs) / (b² + a²Ls))`
//!
//! and falls after it: below the middle the left side falls and the right side rises with `s`, above
//! the middle the left side is negative. So there is one best setting, a little below the middle, and on
//! a scale with steps the best one is next to it.

use super::chance::chances_outside;
use super::slack::{SLACK, at_least, more_than};
use super::uncertainty::Spread;
use super::{Instrument, Limits, Probability, chance_inside};
use crate::quantity::{Spec, Torque, in_newton_metres, newton_metres};

/// The settings that a wrench offers: marks from the lowest upwards in steps, or anything between
/// the ends where the step is unknown, within the part of the scale that is usable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SettingScale {
    lowest_mark: Torque,
    step: Option<Torque>,
    from: Torque,
    to: Torque,
}

/// The setting to aim at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The setting.
    pub setting: Torque,
    /// The chance that the true torque lies within the limits.
    pub chance_inside: Probability,
    /// The expanded uncertainty U at the setting: the true torque to expect is `setting` ± U.
    pub expanded: Torque,
}

/// Why a wrench has no setting to aim at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoAim {
    /// The usable scale begins above what is specified.
    #[error("the usable scale begins above the specified torque: take a wrench with a smaller span")]
    ScaleTooHigh,
    /// The usable scale ends below what is specified.
    #[error("the scale ends below the specified torque: take a wrench with a larger span")]
    ScaleTooLow,
    /// No setting of the scale lies within the limits and, for a ceiling or floor, U away from it.
    #[error("no setting of this scale is safe to aim at: take a wrench with finer steps or better accuracy")]
    NothingSafe,
}

impl SettingScale {
    /// A scale with marks from `lowest` to `highest`; none when it is upside down or its step is not
    /// above 0.
    #[must_use]
    pub fn new(lowest: Torque, highest: Torque, step: Option<Torque>) -> Option<SettingScale> {
        let zero = Torque::default();
        let sensible = lowest >= zero && highest >= lowest && highest.is_finite();
        let step_sensible = step.is_none_or(|step| step > zero && step.is_finite());
        (sensible && step_sensible).then_some(SettingScale {
            lowest_mark: lowest,
            step,
            from: lowest,
            to: highest,
        })
    }

    /// The same marks, but only those from `from` to `to`.
    #[must_use]
    pub fn within(self, from: Torque, to: Torque) -> SettingScale {
        SettingScale { from: self.from.max(from), to: self.to.min(to), ..self }
    }

    /// The same scale as seen through a lever that multiplies what the wrench reads.
    #[must_use]
    pub fn scaled(self, factor: f64) -> SettingScale {
        SettingScale {
            lowest_mark: self.lowest_mark * factor,
            step: self.step.map(|step| step * factor),
            from: self.from * factor,
            to: self.to * factor,
        }
    }

    /// Whether the scale offers this very setting.
    #[must_use]
    pub fn offers(&self, setting: Torque) -> bool {
        let nearest = [self.below(setting), self.above(setting)];
        nearest.into_iter().flatten().any(|mark| at_least(mark, setting) && at_least(setting, mark))
    }

    /// The highest setting that is not above `torque`.
    #[must_use]
    pub fn below(&self, torque: Torque) -> Option<Torque> {
        let limit = torque.min(self.to);
        let mark = match self.step {
            None => limit,
            Some(step) => {
                let steps = self.steps_to(limit, step);
                self.lowest_mark + step * (steps + SLACK * steps.abs().max(1.0)).floor()
            }
        };
        (at_least(mark, self.from) && at_least(limit, mark)).then_some(mark)
    }

    /// The lowest setting that is not below `torque`.
    #[must_use]
    pub fn above(&self, torque: Torque) -> Option<Torque> {
        let limit = torque.max(self.from);
        let mark = match self.step {
            None => limit,
            Some(step) => {
                let steps = self.steps_to(limit, step);
                self.lowest_mark + step * (steps - SLACK * steps.abs().max(1.0)).ceil()
            }
        };
        (at_least(self.to, mark) && at_least(mark, limit)).then_some(mark)
    }

    /// How many steps `torque` lies above the lowest mark.
    fn steps_to(&self, torque: Torque, step: Torque) -> f64 {
        in_newton_metres(torque - self.lowest_mark) / in_newton_metres(step)
    }
}

/// The setting of `scale` with the best chance of landing inside.
///
/// * Range: the best chance of all settings.
/// * Set value: the setting nearest to it; of two equally near ones the one with the better chance.
/// * Ceiling: the highest setting that stays U below it, or, where the low side is known, the best
///   chance among those that do. Floor: the mirror image.
///
/// ```
/// use evenclamp::conformity::{Accuracy, Deviation, Instrument, Limits, SettingScale, aim};
/// use evenclamp::quantity::{Spec, newton_metres as nm};
/// let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
/// let scale = SettingScale::new(nm(2.0), nm(10.0), Some(nm(0.5))).unwrap();
/// let range = Limits::new(Spec::range_nm(4.0, 6.0), "marking");
/// assert_eq!(aim(&range, &wrench, &scale).unwrap().setting, nm(5.0));
/// let ceiling = Limits::new(Spec::Ceiling(nm(5.0)), "marking");
/// assert_eq!(aim(&ceiling, &wrench, &scale).unwrap().setting, nm(4.5));
/// ```
/// # Errors
/// [`NoAim`] when no setting of the scale is safe to aim at.
pub fn aim(limits: &Limits, instrument: &Instrument, scale: &SettingScale) -> Result<Aim, NoAim> {
    if limits.high().is_some_and(|high| more_than(scale.from, high)) {
        return Err(NoAim::ScaleTooHigh);
    }
    if limits.low().is_some_and(|low| more_than(low, scale.to)) {
        return Err(NoAim::ScaleTooLow);
    }
    let setting = match limits.spec() {
        Spec::Range { .. } => best_of(limits, instrument, scale, best_setting(limits, instrument)),
        Spec::Set(value) => nearest(limits, instrument, scale, value),
        Spec::Ceiling(max) => below_ceiling(limits, instrument, scale, max),
        Spec::Floor(min) => above_floor(limits, instrument, scale, min),
    };
    let setting = setting.filter(|setting| limits.contain(*setting)).ok_or(NoAim::NothingSafe)?;
    let standard = instrument.standard(setting);
    Ok(Aim {
        setting,
        chance_inside: chance_inside(limits.low(), limits.high(), setting, standard),
        expanded: instrument.expanded(setting),
    })
}

/// The setting with the best chance on a scale without steps; none where a limit is missing.
fn best_setting(limits: &Limits, instrument: &Instrument) -> Option<Torque> {
    let (low, high) = (in_newton_metres(limits.low()?), in_newton_metres(limits.high()?));
    let Spread { slope, constant } = instrument.spread();
    let (a2, b2) = (slope * slope, in_newton_metres(constant).powi(2));
    let chance_rises_at = |s: f64| {
        let u2 = a2 * s * s + b2;
        let left = (high - low) * (high + low - 2.0 * s) / (2.0 * u2);
        left > ((b2 + a2 * high * s) / (b2 + a2 * low * s)).ln()
    };
    Some(newton_metres(last_where(0.0, f64::midpoint(low, high), chance_rises_at)))
}

/// The highest setting that stays U below a ceiling; where the low side is known, the one of those
/// with the best chance.
fn below_ceiling(
    limits: &Limits,
    instrument: &Instrument,
    scale: &SettingScale,
    max: Torque,
) -> Option<Torque> {
    // s + U(s) rises with s, so the safe settings are those up to one point.
    let safe = |s: f64| at_least(max, newton_metres(s) + instrument.expanded(newton_metres(s)));
    let highest = newton_metres(last_where(0.0, in_newton_metres(max), safe));
    let safe_scale = scale.within(Torque::default(), highest);
    match best_setting(limits, instrument) {
        None => safe_scale.below(highest),
        best => best_of(limits, instrument, &safe_scale, best),
    }
}

/// The lowest setting that stays U above a floor; where the high side is known, the one of those with
/// the best chance.
fn above_floor(
    limits: &Limits,
    instrument: &Instrument,
    scale: &SettingScale,
    min: Torque,
) -> Option<Torque> {
    // s − U(s) rises with s as well, because U is less than the whole reading by far.
    let unsafe_at = |s: f64| more_than(min, newton_metres(s) - instrument.expanded(newton_metres(s)));
    let top = in_newton_metres(scale.to);
    if unsafe_at(top) {
        return None;
    }
    let lowest = newton_metres(last_where(0.0, top, unsafe_at));
    let safe_scale = scale.within(lowest, scale.to);
    match best_setting(limits, instrument) {
        None => safe_scale.above(lowest),
        best => best_of(limits, instrument, &safe_scale, best),
    }
}

/// Of the settings next to `best`, the one with the better chance.
fn best_of(
    limits: &Limits,
    instrument: &Instrument,
    scale: &SettingScale,
    best: Option<Torque>,
) -> Option<Torque> {
    let best = best?;
    match (scale.below(best), scale.above(best)) {
        (Some(below), Some(above)) => {
            let first = risk(limits, instrument, below) <= risk(limits, instrument, above);
            Some(if first { below } else { above })
        }
        (below, above) => below.or(above),
    }
}

/// The setting nearest to `value`; of two equally near ones the one with the better chance.
fn nearest(limits: &Limits, instrument: &Instrument, scale: &SettingScale, value: Torque) -> Option<Torque> {
    match (scale.below(value), scale.above(value)) {
        (Some(below), Some(above)) => {
            let (down, up) = (value - below, above - value);
            if (down - up).abs() <= value * SLACK {
                best_of(limits, instrument, scale, Some(value))
            } else {
                Some(if down < up { below } else { above })
            }
        }
        (below, above) => below.or(above),
    }
}

/// The chance of landing outside; keeps its digits where the chance of landing inside is close to 1.
fn risk(limits: &Limits, instrument: &Instrument, setting: Torque) -> f64 {
    let standard = instrument.standard(setting);
    let (below, above) = chances_outside(limits.low(), limits.high(), setting, standard);
    below.value() + above.value()
}

/// The last point from `from` to `to` for which `holds`, given that it holds up to one point and not
/// beyond; `from` where it holds nowhere.
fn last_where(from: f64, to: f64, holds: impl Fn(f64) -> bool) -> f64 {
    if holds(to) {
        return to;
    }
    let (mut good, mut bad) = (from, to);
    // Halving 64 times uses up every digit of an f64.
    for _ in 0..64 {
        let middle = f64::midpoint(good, bad);
        if holds(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

#[cfg(test)]
#[path = "aim_tests.rs"]
mod tests;
