//! What is said of a wrench when it is registered, and may be changed afterwards.

use clap::Args;
use uom::si::f64::Length;

use super::super::instrument::{percent, torque_in};
use super::super::{Failure, FailureKind, OrFail as _, geometry};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::{Spec, Stated, Torque, TorqueUnit, parse_spec};
use crate::wrench::{StatedAccuracy, WrenchParts};

/// What is said of a wrench that cannot be.
pub(super) const NOTHING_STORED: &str = "nothing was stored";

/// Facts of a wrench that may stay unsaid.
#[derive(Debug, Args)]
pub(super) struct WrenchFacts {
    /// What one mark of the scale is worth, in the unit of the scale unless it names one
    #[arg(long, value_name = "TORQUE")]
    step: Option<String>,
    /// Class of ISO 6789-1, such as IIA; without one the usual class of its type is assumed, and said so
    #[arg(long, value_name = "CLASS", conflicts_with_all = ["accuracy", "certificate"])]
    class: Option<ToolClass>,
    /// What it may be off, in percent of the reading
    #[arg(long, value_name = "PERCENT", value_parser = percent, conflicts_with = "certificate")]
    accuracy: Option<Deviation>,
    /// Expanded uncertainty W of its certificate, in percent of the reading. It says nothing of how far off the wrench
    /// was found to be: give that with --found-off, else what its class allows is taken where that is more
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    certificate: Option<Deviation>,
    /// The largest deviation that the certificate found, in percent of the reading; W is added to it (the interval W′ of
    /// ISO 6789-2:2017, clause 8)
    #[arg(long, value_name = "PERCENT", value_parser = percent, requires = "certificate")]
    found_off: Option<Deviation>,
    /// Coverage factor of the certificate
    #[arg(long, value_name = "K", default_value_t = 2.0, requires = "certificate")]
    coverage: f64,
    /// Usable part of the scale, where its maker states one, in the unit of the scale unless it names one; else it is 20
    /// to 100 % of its capacity
    #[arg(long, value_name = "RANGE")]
    usable: Option<String>,
    /// Who owns it; empty for nobody
    #[arg(long, value_name = "NAME")]
    owner: Option<String>,
    /// From the middle of the handle to the drive, for adapters, such as 180mm
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    lever: Option<Length>,
    /// Length of an adapter at hand; may be repeated, and takes the place of those known
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    adapter: Vec<Length>,
}

impl WrenchFacts {
    /// Puts what is said in its place; the rest stays.
    pub(super) fn put(&self, parts: &mut WrenchParts) -> Result<(), Failure> {
        if let Some(step) = &self.step {
            parts.step = Some(torque_in(step, parts.unit)?);
        }
        if let Some(usable) = &self.usable {
            let stated = parse_spec(usable)?;
            let in_unit = || parse_spec(&format!("{usable} {}", parts.unit));
            parts.usable = Some(ends(&if stated.unit_given { stated } else { in_unit()? }, "usable")?);
        }
        parts.accuracy = self.stated_accuracy()?.unwrap_or(parts.accuracy);
        if let Some(owner) = &self.owner {
            parts.owner = Some(owner.trim().to_owned()).filter(|owner| !owner.is_empty());
        }
        parts.lever = self.lever.or(parts.lever);
        if !self.adapter.is_empty() {
            parts.adapters.clone_from(&self.adapter);
        }
        Ok(())
    }

    fn stated_accuracy(&self) -> Result<Option<StatedAccuracy>, Failure> {
        Ok(match (self.class, self.accuracy, self.certificate) {
            (Some(class), _, _) => Some(StatedAccuracy::Class(class)),
            (_, Some(deviation), _) => Some(StatedAccuracy::Percent(deviation)),
            (_, _, Some(expanded)) => Some(match self.found_off {
                Some(found) => StatedAccuracy::Percent(
                    Deviation::percent(found.in_percent() + expanded.in_percent())
                        .or_fail(FailureKind::Wrench, NOTHING_STORED)?,
                ),
                None => StatedAccuracy::Certificate { expanded, coverage: self.coverage },
            }),
            _ => None,
        })
    }
}

/// Both ends of a scale and its unit, which has to be named: the same numbers in another unit are another wrench.
pub(super) fn scale(given: &str) -> Result<((Torque, Torque), TorqueUnit), Failure> {
    let stated = parse_spec(given)?;
    if !stated.unit_given {
        let hint =
            format!("write it with the unit on the wrench, such as \"{given} N·m\" or \"{given} lbf·in\"");
        return Err(Failure::new(FailureKind::Value, format!("the scale `{given}` has no unit"), hint));
    }
    Ok((ends(&stated, "scale")?, stated.unit))
}

fn ends(stated: &Stated, option: &str) -> Result<(Torque, Torque), Failure> {
    match stated.spec {
        Spec::Range { low, high } => Ok((low, high)),
        Spec::Set(value) => Ok((value, value)),
        Spec::Ceiling(_) | Spec::Floor(_) => Err(Failure::new(
            FailureKind::Value,
            format!("--{option} needs both ends"),
            "write it as \"2-10 N·m\"",
        )),
    }
}
