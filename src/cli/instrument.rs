//! The wrench as far as a command line tells of it: accuracy, step, scatter.

use clap::Args;

use super::{Failure, FailureKind, OrFail as _};
use crate::conformity::{Accuracy, Deviation, Instrument};
use crate::quantity::{QuantityError, Torque, TorqueUnit, parse_reading};

/// Reference torque machines are good to a tenth of a percent or so (common practice).
const FINEST_PERCENT: f64 = 0.1;

/// A step is fine enough when it is at most this part of the torque to set.
const FINE_ENOUGH: f64 = 0.025;

/// What is known of the wrench.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Wrench")]
pub(super) struct InstrumentArgs {
    /// What the wrench may be off, in percent of the reading [default: 6 % where the upper limit is
    /// at most 10 N·m, 4 % above]
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    accuracy: Option<Deviation>,
    /// Step of its scale, in the unit of the reading unless it names one
    #[arg(long, value_name = "TORQUE")]
    step: Option<String>,
    /// Standard deviation of repeated readings, in the unit of the reading unless it names one
    #[arg(long, value_name = "TORQUE")]
    scatter: Option<String>,
}

impl InstrumentArgs {
    /// The instrument, for limits up to `upper`, with bare numbers read in `unit`.
    pub(super) fn instrument(&self, upper: Torque, unit: TorqueUnit) -> Result<Instrument, Failure> {
        let accuracy = self.accuracy.map_or_else(|| Accuracy::assumed(upper), Accuracy::given);
        let step = self.step(unit)?;
        let scatter = self.scatter.as_deref().map(|text| torque_in(text, unit)).transpose()?;
        Instrument::new(accuracy, step, scatter)
            .or_fail(FailureKind::Value, "leave it out where it is not known")
    }

    /// The step of the scale as given, else the largest power of ten in `unit` that is fine enough
    /// for `torque`: settings are then shown with sensible digits.
    pub(super) fn step_or_usual(&self, torque: Torque, unit: TorqueUnit) -> Result<Torque, Failure> {
        let fine_enough = unit.value_of(torque) * FINE_ENOUGH;
        Ok(self.step(unit)?.unwrap_or_else(|| unit.of(10f64.powf(fine_enough.log10().floor()))))
    }

    /// The step of the scale, where given.
    fn step(&self, unit: TorqueUnit) -> Result<Option<Torque>, Failure> {
        Ok(self.step.as_deref().map(|text| torque_in(text, unit)).transpose()?)
    }
}

/// A torque whose unit may be left out.
pub(super) fn torque_in(text: &str, unit: TorqueUnit) -> Result<Torque, QuantityError> {
    let reading = parse_reading(text)?;
    Ok(if reading.unit_given { reading.torque } else { unit.of(reading.number.value) })
}

pub(super) fn percent(text: &str) -> Result<Deviation, String> {
    let number = text.trim().trim_end_matches('%').trim().replace(',', ".");
    let percent = number.parse().map_err(|_| format!("`{text}` is not a percentage; write it as 4%"))?;
    if percent > 0.0 && percent < FINEST_PERCENT {
        return Err(format!(
            "{percent} % is finer than any torque wrench; write percent, such as 4% rather than 0.04"
        ));
    }
    Deviation::percent(percent).map_err(|error| error.to_string())
}
