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
use super::uncertainty::Spread;
use super::{Gauge, Instrument, Label, Limits, Probability, SettingScale, chance_inside};
use crate::quantity::tolerance::{at_least, more_than};
use crate::quantity::{Spec, Torque, in_newton_metres, newton_metres};

/// The setting to aim at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The setting.
    pub setting: Torque,
    /// The chance that the true torque lies within the limits.
    pub chance_inside: Probability,
    /// The expanded uncertainty U at the setting: the true torque to expect is `setting` ± U.
    pub expanded: Torque,
    /// True where a set value is passed, because the mark below it lies outside what it allows.
    pub above_value: bool,
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
    /// The bolt does not bear what is specified.
    #[error("what is specified is too much for the bolt")]
    TooMuch,
    /// The usable scale begins at a ceiling, or less than U below it.
    #[error(
        "the usable scale begins at the ceiling, or so close below it that its lowest setting may exceed it: take a \
         wrench with a smaller span"
    )]
    ScaleBeginsAtCeiling,
    /// No mark lies within what a set value allows.
    #[error("no setting of this scale lies within what the value allows: take a wrench with finer steps")]
    NoMarkAllowed,
    /// No setting of the scale lies within the limits and, for a ceiling or floor, U away from it.
    #[error("no setting of this scale is safe to aim at: take a wrench with finer steps or better accuracy")]
    NothingSafe,
}

/// The setting of `scale` with the best chance of landing inside.
///
/// * Range: the best chance of all settings; one from 0 is a ceiling.
/// * Set value: the highest mark that is not above it and lies within the deviation that it allows, else the lowest
///   mark above it within that (`specs/rules.md`, "Aim").
/// * Ceiling: the highest setting that stays U below it, or, where the low side is known, the best
///   chance among those that do. Floor: the mirror image.
///
/// ```
/// use evenclamp::conformity::{Accuracy, Deviation, Instrument, Limits, SettingScale, aim};
/// use evenclamp::quantity::{Spec, newton_metres as nm};
/// let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::SIX_PERCENT));
/// let scale = SettingScale::new(nm(2.0), nm(10.0), Some(nm(0.5))).unwrap();
/// let range = Limits::new(Spec::range_nm(4.0, 6.0));
/// assert_eq!(aim(&range, &wrench, &scale).unwrap().setting, nm(5.0));
/// let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
/// assert_eq!(aim(&ceiling, &wrench, &scale).unwrap().setting, nm(4.5));
/// ```
/// # Errors
/// [`NoAim`] when no setting of the scale is safe to aim at.
pub fn aim(limits: &Limits, instrument: &Instrument, scale: &SettingScale) -> Result<Aim, NoAim> {
    if limits.high().is_some_and(|high| more_than(scale.lowest(), high)) {
        return Err(NoAim::ScaleTooHigh);
    }
    if limits.low().is_some_and(|low| more_than(low, scale.highest())) {
        return Err(NoAim::ScaleTooLow);
    }
    let search = Search { limits, instrument };
    let setting = match limits.spec() {
        Spec::Range { high, .. } => match search.best() {
            Some(best) => search.next_to(best, scale),
            None => search.below_ceiling(high, scale),
        },
        Spec::Set(value) => allowed_mark(value, scale),
        Spec::Ceiling(max) => search.below_ceiling(max, scale),
        Spec::Floor(min) => search.above_floor(min, scale),
    };
    // The mark at zero is no setting.
    let is_setting = |setting: &Torque| *setting > Torque::default() && limits.contain(*setting);
    let setting = setting.filter(is_setting).filter(|setting| search.is_held(*setting));
    let setting = setting.ok_or_else(|| search.why_nothing(scale))?;
    let standard = instrument.standard(setting);
    Ok(Aim {
        setting,
        chance_inside: chance_inside(limits.low(), limits.high(), setting, standard),
        expanded: instrument.expanded(setting),
        above_value: matches!(limits.spec(), Spec::Set(value) if more_than(setting, value)),
    })
}

/// The setting to aim at within the stretch that most issuers back, where there is one on the scale, else within the
/// limits, with nothing above what the bolt `bears`, where that is known; the chance given is that of landing within
/// the limits.
///
/// # Errors
/// As [`aim`]; [`NoAim::TooMuch`] where the bolt does not bear the least that is asked for.
pub(crate) fn aim_on_bolt(
    core: Option<Spec>,
    limits: &Limits,
    bears: Option<Torque>,
    instrument: &Instrument,
    scale: &SettingScale,
) -> Result<Aim, NoAim> {
    let is_borne = |torque: Torque| bears.is_none_or(|bears| at_least(bears, torque));
    let borne = bears.map_or(Some(*limits), |bears| limits.up_to(bears)).ok_or(NoAim::TooMuch)?;
    let core = core.filter(|core| is_borne(core.largest())).map(Limits::new);
    let in_core = core.and_then(|core| aim(&core, instrument, scale).ok());
    let found = in_core.map_or_else(|| aim(&borne, instrument, scale), Ok)?;
    if !is_borne(found.setting) {
        return Err(NoAim::TooMuch);
    }
    let standard = instrument.standard(found.setting);
    Ok(Aim { chance_inside: chance_inside(limits.low(), limits.high(), found.setting, standard), ..found })
}

/// The highest mark not above a set value within what it allows, else the lowest one above it within that.
fn allowed_mark(value: Torque, scale: &SettingScale) -> Option<Torque> {
    let (low, high) = Spec::Set(value).limits();
    let below = scale.below(value).filter(|mark| low.is_some_and(|low| at_least(*mark, low)));
    below.or_else(|| scale.above(value).filter(|mark| high.is_some_and(|high| at_least(high, *mark))))
}

struct Search<'a> {
    limits: &'a Limits,
    instrument: &'a Instrument,
}

impl Search<'_> {
    /// Why there is no setting at all.
    fn why_nothing(&self, scale: &SettingScale) -> NoAim {
        let lowest = scale.lowest();
        let exceeds = |max: Torque| more_than(lowest + self.instrument.expanded(lowest), max);
        match self.limits.spec() {
            Spec::Ceiling(high) | Spec::Range { high, .. } if lowest > Torque::default() && exceeds(high) => {
                NoAim::ScaleBeginsAtCeiling
            }
            Spec::Set(_) => NoAim::NoMarkAllowed,
            _ => NoAim::NothingSafe,
        }
    }

    /// Whether a setting for a range that this wrench can hold would be called inside there: else half of the bolts set
    /// to a mark at a limit would lie beyond it.
    fn is_held(&self, setting: Torque) -> bool {
        let gauge = Gauge::new(self.limits, self.instrument);
        let is_range = matches!(self.limits.spec(), Spec::Range { .. });
        !is_range || gauge.narrow.is_some() || gauge.label(setting) == Label::Inside
    }

    /// The setting with the best chance on a scale without steps; none where a limit is missing, or the lower one is 0
    /// and so no limit: the smaller a setting, the better its chance.
    fn best(&self) -> Option<Torque> {
        let (low, high) = (in_newton_metres(self.limits.low()?), in_newton_metres(self.limits.high()?));
        if low <= 0.0 {
            return None;
        }
        let Spread { slope, constant } = self.instrument.spread();
        let (a2, b2) = (slope * slope, in_newton_metres(constant).powi(2));
        let chance_rises_at = |s: f64| {
            let u2 = a2 * s * s + b2;
            let left = (high - low) * (high + low - 2.0 * s) / (2.0 * u2);
            left > ((b2 + a2 * high * s) / (b2 + a2 * low * s)).ln()
        };
        Some(newton_metres(last_where(0.0, f64::midpoint(low, high), chance_rises_at)))
    }

    /// The highest setting that stays U below a ceiling; with a known low side, the best chance among such.
    fn below_ceiling(&self, max: Torque, scale: &SettingScale) -> Option<Torque> {
        // s + U(s) rises with s, so the safe settings are those up to one point.
        let safe = |s: f64| at_least(max, newton_metres(s) + self.instrument.expanded(newton_metres(s)));
        let highest = newton_metres(last_where(0.0, in_newton_metres(max), safe));
        let safe_scale = scale.within(Torque::default(), highest);
        self.best().map_or_else(|| safe_scale.below(highest), |best| self.next_to(best, &safe_scale))
    }

    /// The lowest setting that stays U above a floor; with a known high side, the best chance among such.
    fn above_floor(&self, min: Torque, scale: &SettingScale) -> Option<Torque> {
        // s − U(s) rises with s as well, because U is less than the whole reading by far.
        let unsafe_at =
            |s: f64| more_than(min, newton_metres(s) - self.instrument.expanded(newton_metres(s)));
        let top = in_newton_metres(scale.highest());
        if unsafe_at(top) {
            return None;
        }
        let lowest = newton_metres(last_where(0.0, top, unsafe_at));
        let safe_scale = scale.within(lowest, scale.highest());
        self.best().map_or_else(|| safe_scale.above(lowest), |best| self.next_to(best, &safe_scale))
    }

    /// Of the settings next to `torque`, the one with the better chance.
    fn next_to(&self, torque: Torque, scale: &SettingScale) -> Option<Torque> {
        match (scale.below(torque), scale.above(torque)) {
            (Some(below), Some(_)) if scale.rounds_down() => Some(below),
            (Some(below), Some(above)) => {
                Some(if self.risk(below) <= self.risk(above) { below } else { above })
            }
            (below, above) => below.or(above),
        }
    }

    /// The chance of landing outside; keeps its digits where the chance of landing inside is close to 1.
    fn risk(&self, setting: Torque) -> f64 {
        let standard = self.instrument.standard(setting);
        let (below, above) = chances_outside(self.limits.low(), self.limits.high(), setting, standard);
        below.value() + above.value()
    }
}

/// The last point from `from` to `to` where `holds`, which does so up to one point only; `from` if nowhere.
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
