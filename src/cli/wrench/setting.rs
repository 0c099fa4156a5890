//! `wrench setting`: what to set on the scale where an adapter changes the lever.

use clap::Args;
use uom::si::f64::{Angle, Length};

use super::super::tool::registered;
use super::super::{Answer, Context, Decision, Failure, FailureKind, OrFail as _, clock, geometry};
use crate::conformity::{Kind, Limits};
use crate::quantity::{Resolution, Spec, Torque, TorqueUnit, parse_spec};
use crate::report::{SettingReport, doubt_text, torque_text};
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
    let Some(name) = &args.wrench else {
        let adapter = Adapter::new(args.lever.unwrap_or_default(), args.adapter, angle);
        let adapter = adapter.or_fail(FailureKind::Adapter, hint)?;
        let exact = adapter.setting(at_bolt);
        let (step, factor) = (stated.resolution.0 / 100.0, adapter.factor());
        let unit = context.unit.unwrap_or(stated.unit);
        let report = SettingReport {
            at_bolt,
            exact,
            mark: exact,
            above_value: false,
            step,
            factor,
            scale_unit: unit,
            unit,
        };
        return Answer::of(&report, context, Decision::Good);
    };
    let found = registered(&context.store()?, name)?;
    let adapter = found.wrench.adapter(args.adapter, angle).or_fail(FailureKind::Adapter, hint)?;
    let (exact, unit) = (adapter.setting(at_bolt), context.unit.unwrap_or(found.wrench.unit()));
    let aim = found.wrench.aim(&Limits::new(Spec::Set(at_bolt)), Some(&adapter)).map_err(|why| {
        let exact = torque_text(exact, Resolution(found.wrench.unit().of(0.01)), found.wrench.unit());
        let message = format!("{exact} on the scale is not a setting of {}: {why}", found.wrench.name());
        Failure::new(FailureKind::Wrench, message, "`evenclamp wrench pick SPEC` names a wrench that serves")
    })?;
    let mark = aim.on_scale;
    warn_of_doubts(&found, mark, unit, context);
    let (step, factor) = (found.wrench.shown_step(), adapter.factor());
    let above_value = aim.aim.above_value;
    let report = SettingReport {
        at_bolt,
        exact,
        mark,
        above_value,
        step,
        factor,
        scale_unit: found.wrench.unit(),
        unit,
    };
    Answer::of(&report, context, Decision::Good)
}

/// Says why the wrench is not to be believed, if so.
fn warn_of_doubts(found: &RegisteredWrench, setting: Torque, unit: TorqueUnit, context: &Context) {
    let today = Use::on(clock::today());
    for doubt in found.wrench.doubts(setting, Kind::Tightened, &today) {
        context.say(doubt_text(doubt, unit));
    }
}
