//! `wrench edit`: change what is known of a wrench.

use clap::Args;
use uom::si::f64::Length;

use super::super::instrument::{percent, torque_in};
use super::super::tool::registered;
use super::super::{Answer, Context, Failure, FailureKind, OrFail as _, clock, geometry, words};
use super::add::{NOTHING_STORED, ends, stated_accuracy};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::parse_spec;
use crate::wrench::{Interval, RegisteredWrench, Wrench, WrenchRecord};

/// Change what is known of a wrench; what is not named stays. Its readings are judged by what is known of it now
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench edit small-click --step 0.2 --why \"read off the handle\"
  evenclamp wrench edit small-click --name small
  evenclamp wrench edit old-beam --in-use")]
pub(in super::super) struct EditWrenchArgs {
    /// Its name
    wrench: String,
    /// What it is called from now on
    #[arg(long = "name", value_name = "NAME")]
    name: Option<String>,
    /// Its scale, both ends, such as "2-10 N·m"; one value for a preset wrench
    #[arg(long, value_name = "RANGE")]
    scale: Option<String>,
    /// What one mark of the scale is worth, in the unit of the scale unless it names one
    #[arg(long, value_name = "TORQUE")]
    step: Option<String>,
    /// Class of ISO 6789-1, such as IIA
    #[arg(long, value_name = "CLASS", conflicts_with_all = ["accuracy", "certificate"])]
    class: Option<ToolClass>,
    /// What it may be off, in percent of the reading
    #[arg(long, value_name = "PERCENT", value_parser = percent, conflicts_with = "certificate")]
    accuracy: Option<Deviation>,
    /// Expanded uncertainty W of its certificate, in percent of the reading
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    certificate: Option<Deviation>,
    /// The largest deviation that the certificate found, in percent of the reading; W is added to it
    #[arg(long, value_name = "PERCENT", value_parser = percent, requires = "certificate")]
    found_off: Option<Deviation>,
    /// Coverage factor of the certificate
    #[arg(long, value_name = "K", default_value_t = 2.0, requires = "certificate")]
    coverage: f64,
    /// Whether it measures anticlockwise as well
    #[arg(long, value_name = "YES|NO", value_parser = words::yes_no)]
    anticlockwise: Option<bool>,
    /// Usable part of the scale
    #[arg(long, value_name = "RANGE")]
    usable: Option<String>,
    /// Who owns it; empty takes it away
    #[arg(long, value_name = "NAME")]
    owner: Option<String>,
    /// From the middle of the handle to the drive, for adapters, such as 180mm
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    lever: Option<Length>,
    /// Length of an adapter at hand, instead of those known; may be repeated
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    adapter: Vec<Length>,
    /// Months for which a calibration stands
    #[arg(long, value_name = "MONTHS")]
    months: Option<u16>,
    /// Operations for which a calibration stands
    #[arg(long, value_name = "CYCLES")]
    cycles: Option<u32>,
    /// It is in use again after it was retired
    #[arg(long)]
    in_use: bool,
}

pub(super) fn answer(args: &EditWrenchArgs, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store()?;
    let before = match store.wrench(&args.wrench)? {
        Some(found) => found,
        None => registered(&store, &args.wrench)?,
    };
    let changed = changed(args, &before)?;
    let name = changed.wrench.name().to_owned();
    if WrenchRecord::of(&changed) == WrenchRecord::of(&before) {
        let hint = "name what is to be changed, such as --step 0.2; `--help` lists it all";
        return Err(Failure::new(FailureKind::Wrench, "nothing is to be changed", hint));
    }
    store.change_wrench(before.wrench.name(), &changed)?;
    super::shown(&name, context)
}

fn changed(args: &EditWrenchArgs, before: &RegisteredWrench) -> Result<RegisteredWrench, Failure> {
    let mut parts = before.wrench.parts().clone();
    if let Some(name) = &args.name {
        name.trim().clone_into(&mut parts.name);
    }
    if let Some(scale) = &args.scale {
        let scale = parse_spec(scale)?;
        (parts.low, parts.high) = ends(&scale, "scale")?;
        parts.unit = if scale.unit_given { scale.unit } else { parts.unit };
    }
    if let Some(step) = &args.step {
        parts.step = Some(torque_in(step, parts.unit)?);
    }
    if let Some(usable) = &args.usable {
        parts.usable = Some(ends(&parse_spec(usable)?, "usable")?);
    }
    let certificate = args.certificate.map(|expanded| (expanded, args.found_off, args.coverage));
    if let Some(accuracy) = stated_accuracy(args.class, args.accuracy, certificate)? {
        parts.accuracy = accuracy;
    }
    parts.anticlockwise = args.anticlockwise.unwrap_or(parts.anticlockwise);
    if let Some(owner) = &args.owner {
        parts.owner = Some(owner.trim().to_owned()).filter(|owner| !owner.is_empty());
    }
    parts.lever = args.lever.or(parts.lever);
    if !args.adapter.is_empty() {
        parts.adapters.clone_from(&args.adapter);
    }
    let Interval { months, cycles } = parts.interval;
    parts.interval = Interval::new(args.months.unwrap_or(months), args.cycles.unwrap_or(cycles))
        .or_fail(FailureKind::Wrench, NOTHING_STORED)?;
    let wrench = Wrench::new(parts, clock::today()).or_fail(FailureKind::Wrench, NOTHING_STORED)?;
    let retired_on = before.retired_on.filter(|_| !args.in_use);
    Ok(RegisteredWrench { wrench, retired_on, ..before.clone() })
}
