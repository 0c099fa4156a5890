//! `wrench setting`: what to set on the scale where an adapter changes the lever.

use clap::Args;
use uom::si::f64::{Angle, Length};

use super::super::tool::registered;
use super::super::{Answer, Context, Decision, Failure, FailureKind, OrFail as _, clock, geometry};
use crate::conformity::Kind;
use crate::quantity::{Resolution, Spec, Torque, parse_spec};
use crate::report::{SettingReport, doubt_text};
use crate::wrench::{Adapter, RegisteredWrench, Use};

/// Say what to set on a wrench that carries an adapter
///
/// In line the adapter lengthens the lever and the setting is lower; at right angles it changes
/// nothing; pointing back it shortens the lever.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp wrench setting \"12 N·m\" --wrench big-click --adapter 40mm
  evenclamp wrench setting \"300 lbf·in\" --lever 10in --adapter 4in
  evenclamp wrench setting \"12 N·m\" --wrench big-click --adapter 40mm --angle 90deg")]
pub(in super::super) struct SettingArgs {
    /// The torque wanted at the bolt
    #[arg(value_name = "VALUE")]
    value: String,
    /// A registered wrench with its lever
    #[arg(long, value_name = "NAME", required_unless_present = "lever")]
    wrench: Option<String>,
    /// The lever, from the middle of the handle to the drive
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length, conflicts_with = "wrench")]
    lever: Option<Length>,
    /// The adapter, from the drive to the bolt
    #[arg(long, value_name = "LENGTH", value_parser = geometry::length)]
    adapter: Length,
    /// 0 in line, 90 at right angles, 180 pointing back
    #[arg(long, value_name = "ANGLE", value_parser = geometry::angle)]
    angle: Option<Angle>,
}

pub(in super::super) fn answer(args: &SettingArgs, context: &Context) -> Result<Answer, Failure> {
    let stated = parse_spec(&args.value)?;
    let Spec::Set(at_bolt) = stated.spec else {
        let message = format!("`{}` is not one torque", args.value);
        return Err(Failure::new(FailureKind::Value, message, "give the torque to aim at, such as 5 N·m"));
    };
    let angle = args.angle.unwrap_or_default();
    let hint = "lengths run from the middle of the handle to the drive, and from the drive to the bolt";
    let (adapter, step, unit) = match (&args.wrench, args.lever) {
        (Some(name), _) => {
            let found = registered(&context.store()?, name)?;
            let adapter = found.wrench.adapter(args.adapter, angle).or_fail(FailureKind::Adapter, hint)?;
            warn_of_scale(&found, adapter.setting(at_bolt), context);
            (adapter, found.wrench.parts().step, found.unit)
        }
        (None, lever) => {
            let adapter = Adapter::new(lever.unwrap_or_default(), args.adapter, angle);
            (adapter.or_fail(FailureKind::Adapter, hint)?, None, stated.unit)
        }
    };
    let shown = context.unit.unwrap_or(unit);
    let exact = adapter.setting(at_bolt);
    let resolution = step.map_or(Resolution(stated.resolution.0 / 100.0), Resolution);
    let factor = adapter.factor();
    let report = SettingReport { at_bolt, exact, step, factor, resolution, unit: shown };
    Answer::of(&report, context, Decision::Good)
}

/// Says when a setting is off the usable part of the wrench's scale.
fn warn_of_scale(found: &RegisteredWrench, setting: Torque, context: &Context) {
    let today = Use::on(clock::today());
    for doubt in found.wrench.doubts(setting, Kind::Tightened, &today) {
        context.say(doubt_text(doubt, context.unit.unwrap_or(found.unit)));
    }
}
