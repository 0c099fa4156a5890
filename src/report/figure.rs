//! Torques as text: one torque, a specified torque, a band.

use crate::book::{Consensus, TorqueInterval};
use crate::quantity::{Resolution, Rounding, Spec, Torque, TorqueUnit, newton_metres};

/// A reading or setting with its unit, rounded to nearest at its resolution.
pub fn torque_text(torque: Torque, resolution: Resolution, unit: TorqueUnit) -> String {
    format!("{} {unit}", resolution.text(torque, unit, Rounding::Nearest))
}

/// A torque in `unit`, without it, to so many significant digits.
pub fn significant_text(torque: Torque, unit: TorqueUnit, digits: i32) -> String {
    Resolution::significant(torque, unit, digits).text(torque, unit, Rounding::Nearest)
}

/// A number with so many significant digits, but with no more decimals than `most`.
pub fn number_text(value: f64, digits: i32, most: i32) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "the logarithm of an f64 fits easily")]
    let first = if value == 0.0 { 0 } else { value.abs().log10().floor() as i32 };
    let decimals =
        usize::try_from(digits.saturating_sub(1).saturating_sub(first).clamp(0, most)).unwrap_or(0);
    format!("{value:.decimals$}")
}

/// A number without zeros at the end of its decimals.
pub fn trimmed(text: &str) -> &str {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text }
}

/// The unit of the trade to be told beside `unit`.
pub fn other_unit(unit: TorqueUnit) -> TorqueUnit {
    if unit == TorqueUnit::NewtonMetre { TorqueUnit::PoundForceInch } else { TorqueUnit::NewtonMetre }
}

/// The step of a scale, to three significant digits without trailing zeros: it may be a whole one in
/// another unit only.
pub fn step_text(step: Torque, unit: TorqueUnit) -> String {
    let text = Resolution(step / 100.0).text(step, unit, Rounding::Nearest);
    format!("{} {unit}", trimmed(&text))
}

/// A setting of a wrench with its unit: all digits of its step, and never rounded up.
pub fn setting_text(setting: Torque, step: Torque, unit: TorqueUnit) -> String {
    let step = unit.value_of(step);
    let whole = |digits: i32| {
        let steps = step * 10f64.powi(digits);
        (steps - steps.round()).abs() < 1e-6 * steps.abs()
    };
    // A step of another unit has no last digit here; one digit more than its size shows it well.
    let digits = (0..=4).find(|&digits| whole(digits)).map_or(step / 10.0, |digits| 10f64.powi(-digits));
    format!("{} {unit}", Resolution(unit.of(digits)).text(setting, unit, Rounding::Down))
}

/// A specified torque in a unit, its limits rounded inward.
#[must_use]
pub fn spec_text(spec: Spec, resolution: Resolution, unit: TorqueUnit) -> String {
    match spec {
        Spec::Range { low, high } => {
            let (low, high) = resolution.range_text(low, high, unit);
            if low == high { format!("{low} {unit}") } else { format!("{low}–{high} {unit}") }
        }
        Spec::Set(value) => torque_text(value, resolution, unit),
        Spec::Ceiling(max) => format!("max {} {unit}", resolution.text(max, unit, Rounding::Down)),
        Spec::Floor(min) => format!("min {} {unit}", resolution.text(min, unit, Rounding::Up)),
    }
}

/// A stretch in a unit, its ends rounded inward.
pub fn stretch_text(stretch: TorqueInterval, resolution: Resolution, unit: TorqueUnit) -> String {
    match (stretch.low, stretch.high) {
        (Some(low), Some(high)) => spec_text(Spec::Range { low, high }, resolution, unit),
        (None, Some(max)) => spec_text(Spec::Ceiling(max), resolution, unit),
        (Some(min), None) => spec_text(Spec::Floor(min), resolution, unit),
        (None, None) => "any torque".to_owned(),
    }
}

/// The band of an entry, or a dash where there is none to act on.
pub fn band_text(consensus: &Consensus, unit: TorqueUnit) -> String {
    consensus.spec.map_or_else(|| "–".to_owned(), |spec| spec_text(spec, resolution_of(consensus), unit))
}

/// The digits an entry's figures come with; a tenth of a N·m where none were printed.
pub fn resolution_of(consensus: &Consensus) -> Resolution {
    let tenth = Resolution(newton_metres(0.1));
    let printed = consensus.resolution.unwrap_or(tenth);
    match consensus.spec {
        // The middle of where issuers meet is nobody's print, and one aims at it by the tenth.
        Some(Spec::Set(_)) if consensus.is_sliver() && tenth.0 < printed.0 * 10.0 => tenth,
        // A lone set value is shown with the digits it was printed with, not those of its allowance.
        Some(Spec::Set(_)) => Resolution(printed.0 * 10.0),
        _ => printed,
    }
}

#[cfg(test)]
#[path = "figure_tests.rs"]
mod tests;
