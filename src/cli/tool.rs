//! The wrench of a command: a registered one with its adapter, or what the command line says of it.

use clap::Args;
use jiff::civil::Date;
use uom::si::f64::{Angle, Length, Ratio};
use uom::si::ratio::ratio;

use super::instrument::InstrumentArgs;
use super::subject::Subject;
use super::{Context, Failure, FailureKind, OrFail as _, clock, geometry};
use crate::conformity::{Aim, Doubt, Instrument, Kind, Limits, NoAim, Outcome, SettingScale, assess};
use crate::quantity::{Torque, TorqueUnit};
use crate::report::{ShownSetting, doubt_text, need_text};
use crate::store::Store;
use crate::words::closest;
use crate::wrench::{Adapter, RegisteredWrench, Use, needs, rank};

/// Which wrench is in the hand.
#[derive(Debug, Clone, Args)]
pub(super) struct ToolArgs {
    #[command(flatten)]
    pub(super) instrument: InstrumentArgs,
    /// A registered wrench: its accuracy, step, scale, direction and calibration are used
    #[arg(long, value_name = "NAME", help_heading = "Wrench", conflicts_with_all = ["accuracy", "step", "scatter"])]
    pub(super) wrench: Option<String>,
    /// Length of an adapter from the drive to the bolt, such as 40mm
    #[arg(long, value_name = "LENGTH", help_heading = "Wrench", requires = "wrench", value_parser = geometry::length)]
    adapter: Option<Length>,
    /// Angle of the adapter: 0 in line with the wrench, 90 at right angles, 180 pointing back
    #[arg(long, value_name = "ANGLE", help_heading = "Wrench", requires = "adapter", value_parser = geometry::angle)]
    angle: Option<Angle>,
    /// Day of the reading, for the calibration [default: today]
    #[arg(long, value_name = "DAY", help_heading = "Wrench", requires = "wrench", value_parser = geometry::day)]
    on: Option<Date>,
}

/// The wrench in the hand, with all that judging and setting need.
pub(super) struct Tool {
    /// What its uncertainty depends on, taken at the bolt.
    pub instrument: Instrument,
    /// The settings, taken at the bolt.
    pub settings: SettingScale,
    /// The step on which a setting is shown, on the scale of the wrench.
    pub scale_step: Torque,
    pub registered: Option<RegisteredWrench>,
    adapter: Option<Adapter>,
    on: Date,
}

impl ToolArgs {
    /// The tool for torques up to `upper`, with bare numbers read in `unit`.
    pub(super) fn tool(&self, context: &Context, upper: Torque, unit: TorqueUnit) -> Result<Tool, Failure> {
        match &self.wrench {
            Some(name) => self.registered(registered(&context.store()?, name)?),
            None => self.described(upper, unit),
        }
    }

    /// The tool that a reading was taken with, and what is to be said of a name that is not registered: such a wrench
    /// is known no better than one that was not named. A name that looks like a registered one is a typing error.
    /// Without a reading it is one to be set, and has to be known.
    pub(super) fn reading_tool(
        &self,
        (context, has_reading): (&Context, bool),
        upper: Torque,
        unit: TorqueUnit,
    ) -> Result<(Tool, Option<String>), Failure> {
        if let Some(name) = &self.wrench
            && has_reading
            && self.adapter.is_none()
            && is_of_elsewhere(&context.store()?, name)?
        {
            let note = format!(
                "no wrench is called `{name}`: judged as if none was named (`evenclamp wrench list`)"
            );
            return Ok((self.described(upper, unit)?, Some(note)));
        }
        Ok((self.tool(context, upper, unit)?, None))
    }

    fn registered(&self, registered: RegisteredWrench) -> Result<Tool, Failure> {
        let wrench = &registered.wrench;
        let adapter = self
            .adapter
            .map(|extension| wrench.adapter(extension, self.angle.unwrap_or_default()))
            .transpose()
            .or_fail(FailureKind::Adapter, "see `evenclamp wrench setting --help`")?;
        Ok(Tool {
            instrument: wrench.instrument(adapter.as_ref()),
            settings: wrench.settings(adapter.as_ref()),
            scale_step: wrench.shown_step(),
            adapter,
            on: self.on.unwrap_or_else(clock::today),
            registered: Some(registered),
        })
    }

    fn described(&self, upper: Torque, unit: TorqueUnit) -> Result<Tool, Failure> {
        let scale_step = self.instrument.step_or_usual(upper, unit)?;
        let settings =
            SettingScale::new(Torque::default(), upper * 2.0, Some(scale_step)).ok_or_else(|| {
                Failure::new(FailureKind::Value, "a wrench step of 0 cannot be set", "give it as --step 0.1")
            })?;
        Ok(Tool {
            instrument: self.instrument.instrument(upper, unit)?,
            settings,
            scale_step,
            registered: None,
            adapter: None,
            on: clock::today(),
        })
    }
}

impl Tool {
    /// Says what a reading shows. `on_scale` is the value as the wrench showed it.
    pub(super) fn assess(
        &self,
        kind: Kind,
        limits: Option<&Limits>,
        on_scale: Torque,
        left_hand: bool,
    ) -> Outcome {
        match &self.registered {
            Some(registered) => registered.wrench.assess(kind, limits, on_scale, &self.usage(left_hand)),
            None => assess(kind, limits, on_scale, &self.instrument, &[]),
        }
    }

    /// The smallest division of its scale, where known.
    pub(super) fn division(&self) -> Option<Torque> {
        match &self.registered {
            Some(registered) => registered.wrench.parts().step,
            None => self.instrument.step(),
        }
    }

    /// The torque at the bolt that a value on the scale stands for.
    pub(super) fn at_bolt(&self, on_scale: Torque) -> Torque {
        self.adapter.map_or(on_scale, |adapter| adapter.at_bolt(on_scale))
    }

    /// What to set on the scale for a torque at the bolt.
    pub(super) fn on_scale(&self, at_bolt: Torque) -> Torque {
        self.adapter.map_or(at_bolt, |adapter| adapter.setting(at_bolt))
    }

    pub(super) fn aim(&self, subject: &Subject) -> Option<Result<Aim, NoAim>> {
        subject.aim(&self.instrument, &self.settings)
    }

    /// The setting to aim at, as set on the scale and told in `unit`, with what casts doubt on the wrench there.
    pub(super) fn setting(
        &self,
        subject: &Subject,
        left_hand: bool,
        unit: TorqueUnit,
    ) -> Option<ShownSetting> {
        let aim = self.aim(subject)?.ok()?;
        let doubts = self.doubts(aim.setting, left_hand);
        Some(ShownSetting { aim, on_scale: self.on_scale(aim.setting), step: self.scale_step, unit, doubts })
    }

    /// What casts doubt on a registered wrench at a torque at the bolt.
    pub(super) fn doubts(&self, at_bolt: Torque, left_hand: bool) -> Vec<Doubt> {
        self.registered.as_ref().map_or_else(Vec::new, |registered| {
            registered.wrench.doubts(self.on_scale(at_bolt), Kind::Tightened, &self.usage(left_hand))
        })
    }

    /// Torque at the bolt ÷ what the wrench shows.
    pub(super) fn lever(&self) -> Ratio {
        self.adapter.map_or_else(|| Ratio::new::<ratio>(1.0), |adapter| adapter.factor())
    }

    fn usage(&self, left_hand_thread: bool) -> Use<'_> {
        Use { on: self.on, line: None, left_hand_thread, adapter: self.adapter.as_ref() }
    }

    pub(super) fn unit(&self) -> Option<TorqueUnit> {
        self.registered.as_ref().map(|registered| registered.wrench.unit())
    }
}

/// What casts doubt on every reading with a wrench today, in words; none while its calibration stands.
pub(super) fn standing_doubt(registered: &RegisteredWrench) -> Option<String> {
    let doubts = registered.wrench.lasting_doubts(Kind::Tightened, &Use::on(clock::today()));
    let doubt = doubt_text(*doubts.first()?, registered.wrench.unit());
    Some(format!("the wrench {}: {doubt}", registered.wrench.name()))
}

/// Whether a name is that of no registered wrench, nor likely meant to be.
fn is_of_elsewhere(store: &Store, name: &str) -> Result<bool, Failure> {
    let names = names_in_use(store)?;
    let meant = closest(name, names.iter().map(String::as_str));
    Ok(meant.is_none() && store.wrench(name)?.is_none())
}

fn names_in_use(store: &Store) -> Result<Vec<String>, Failure> {
    let in_use = store.wrenches()?.into_iter().filter(|wrench| wrench.retired_on.is_none());
    Ok(in_use.map(|wrench| wrench.wrench.name().to_owned()).collect())
}

/// A registered wrench, retired or not.
pub(super) fn any_wrench(store: &Store, name: &str) -> Result<RegisteredWrench, Failure> {
    store.wrench(name)?.map_or_else(|| registered(store, name), Ok)
}

pub(super) fn registered(store: &Store, name: &str) -> Result<RegisteredWrench, Failure> {
    let names = || -> Result<String, Failure> {
        let names = names_in_use(store)?;
        if let Some(meant) = closest(name, names.iter().map(String::as_str)) {
            return Ok(format!("nearest: {meant}"));
        }
        Ok(match names.as_slice() {
            [] => "none is registered: `evenclamp wrench add --help` shows how".to_owned(),
            names => format!("registered: {}", names.join(", ")),
        })
    };
    match store.wrench(name)? {
        Some(RegisteredWrench { retired_on: Some(day), .. }) => {
            let message = format!("the wrench `{name}` was retired on {day}");
            Err(Failure::new(FailureKind::Wrench, message, names()?))
        }
        Some(found) => Ok(found),
        None => Err(Failure::new(FailureKind::Wrench, format!("no wrench is called `{name}`"), names()?)),
    }
}

/// Why the wrench has no setting for a subject, and which registered wrench serves, or what one would have to be.
pub(super) fn no_setting(
    why: NoAim,
    subject: &Subject,
    tool: &Tool,
    unit: TorqueUnit,
    context: &Context,
) -> String {
    match who_serves(subject, tool, unit, context).filter(|_| why != NoAim::TooMuch) {
        Some(serves) => format!("{why}; {serves}"),
        None => why.to_string(),
    }
}

/// The registered wrench that serves best, else the figures of one that would.
pub(super) fn who_serves(
    subject: &Subject,
    tool: &Tool,
    unit: TorqueUnit,
    context: &Context,
) -> Option<String> {
    let limits = subject.limits_on_bolt()?;
    let left_hand_thread = subject.is_left_hand();
    let usage = Use { left_hand_thread, ..Use::on(clock::today()) };
    // Without a workshop there is no wrench to name.
    let mut registered = context.store().ok().and_then(|store| store.wrenches().ok()).unwrap_or_default();
    let in_hand = tool.registered.as_ref().map(|registered| registered.wrench.name());
    registered.retain(|wrench| wrench.retired_on.is_none() && Some(wrench.wrench.name()) != in_hand);
    let candidates = rank(registered.iter().map(|registered| &registered.wrench), &limits, &usage);
    if let Some(best) = candidates.iter().find(|candidate| candidate.serves()) {
        return Some(format!("the registered wrench {} serves", best.wrench.name()));
    }
    let (to_buy, _) = needs(&[limits]);
    let need = to_buy.first()?;
    Some(format!("none that is registered serves; {} would", need_text(need, left_hand_thread, unit)))
}
