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
        let report = SettingReport { at_bolt, exact, mark: exact, step, factor, scale_unit: unit, unit };
        return Answer::of(&report, context, Decision::Good);
    };
    let found = registered(&context.store()?, name)?;
    let adapter = found.wrench.adapter(args.adapter, angle).or_fail(FailureKind::Adapter, hint)?;
    let (exact, unit) = (adapter.setting(at_bolt), context.unit.unwrap_or(found.wrench.unit()));
    let mark = mark(&found, (at_bolt, exact), unit)?;
    warn_of_doubts(&found, mark, unit, context);
    let (step, factor) = (found.wrench.shown_step(), adapter.factor());
    let report = SettingReport { at_bolt, exact, mark, step, factor, scale_unit: found.wrench.unit(), unit };
    Answer::of(&report, context, Decision::Good)
}

/// The highest mark of the usable scale that is not above a setting, where it brings a torque that the value asked for
/// allows.
fn mark(
    found: &RegisteredWrench,
    (at_bolt, exact): (Torque, Torque),
    unit: TorqueUnit,
) -> Result<Torque, Failure> {
    let doubt = found.wrench.scale_doubt(exact);
    let allowed = Limits::new(Spec::Set(at_bolt));
    let near = |mark: &Torque| allowed.contain(at_bolt * (*mark / exact).value);
    let mark = found.wrench.settings(None).below(exact);
    let shown = |torque| torque_text(torque, Resolution(unit.of(0.01)), unit);
    let name = found.wrench.name();
    let (message, serves) = match mark.filter(|_| doubt.is_none()) {
        Some(mark) if near(&mark) => return Ok(mark),
        Some(far) => {
            let (asked, brought) = (shown(at_bolt), shown(at_bolt * (far / exact).value));
            let message =
                format!("the steps of {name} are too coarse for {asked}: the mark below brings {brought}");
            (message, "with finer steps")
        }
        None => {
            let why = doubt.map_or_else(String::new, |doubt| format!(": {}", doubt_text(doubt, unit)));
            let message = format!("{} on the scale is not a setting of {name}{why}", shown(exact));
            (message, "that reaches the torque without an adapter")
        }
    };
    let hint = format!("`evenclamp wrench pick` names a wrench {serves}");
    Err(Failure::new(FailureKind::Wrench, message, hint))
}

/// Says why the wrench is not to be believed, if so.
fn warn_of_doubts(found: &RegisteredWrench, setting: Torque, unit: TorqueUnit, context: &Context) {
    let today = Use::on(clock::today());
    for doubt in found.wrench.doubts(setting, Kind::Tightened, &today) {
        context.say(doubt_text(doubt, unit));
    }
}
