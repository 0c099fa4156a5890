//! What a joint takes: torques where it is checked by torque, measures where it is measured, findings where it is
//! examined (`specs/rules.md`, "No reading"); figures where something is measured or tightened.

use super::{Finding, Joint, Reading, Value};
use crate::book::{Check, MeasuredItem};
use crate::conformity::Kind;
use crate::quantity::MeasureUnit;

/// Why a joint does not take a line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum NotTaken {
    #[error("{0} is checked by hand, eye and ear: no value says anything of it")]
    ValueOnHandCheck(String),
    #[error("{0} is measured: no torque says anything of it")]
    TorqueOnMeasure(String),
    #[error("{name} is checked by torque: {value} says nothing of it")]
    MeasureOnTorque { name: String, value: String },
    #[error("{name} is measured: nothing was `{}`", kind.text())]
    KindOnMeasure { name: String, kind: Kind },
    #[error("{name} is measured: wrench {wrench} reads nothing of it")]
    WrenchOnMeasure { name: String, wrench: String },
    #[error("{0} is checked by torque: `measured` is for what is not tightened")]
    MeasuredTorque(String),
    #[error("{0} is checked by torque: `fine` says nothing of it")]
    FineOnTorque(String),
    #[error("{0} is measured: `fine` says nothing of it")]
    FineOnMeasure(String),
    #[error("{name} is measured in {usual}, not in {unit}")]
    OtherUnit { name: String, usual: MeasureUnit, unit: MeasureUnit },
    #[error("{name}: {value} is not possible, such a part measures {range}")]
    Impossible { name: String, value: String, range: String },
    #[error("{0} is checked by hand, eye and ear: no figure decides it")]
    FigureOnHandCheck(String),
}

impl NotTaken {
    /// What to record instead.
    pub(crate) fn hint(&self) -> String {
        let said = match self {
            NotTaken::OtherUnit { usual, .. } => return format!("give the value in {usual}"),
            NotTaken::ValueOnHandCheck(_) => {
                "record --finding fine or what you find: loose, drags, creaks, seized, cracked, play, worn, \
                 bent, broken, cut, leaks, rubs"
            }
            NotTaken::TorqueOnMeasure(_) | NotTaken::FineOnMeasure(_) => {
                "record what was measured, with its unit, or what is wrong: worn, cracked, drags"
            }
            NotTaken::MeasureOnTorque { .. } => "give the torque as read, with its unit, such as 5.1 N·m",
            NotTaken::KindOnMeasure { .. } => "leave the kind out, or say `measured`",
            NotTaken::WrenchOnMeasure { .. } => "leave the wrench out; the gauge may stand in the note",
            NotTaken::MeasuredTorque(_) => "leave the kind out, or say how the torque was read: held, moved",
            NotTaken::FineOnTorque(_) => {
                "give the torque as read, `--kind held` with what it held, or what is wrong: loose, drags, creaks, \
                 seized, cracked, play, worn, \
                 bent, broken, cut, leaks, rubs"
            }
            NotTaken::Impossible { .. } => "measure again, and look at the decimal point and the unit",
            NotTaken::FigureOnHandCheck(_) => {
                "leave the figure out; a bolt that has one is a joint of its own: `evenclamp bike joint add BIKE NAME \
                 --entry ENTRY --marking FIGURE`"
            }
        };
        said.to_owned()
    }
}

impl Joint {
    /// Why it does not take a line; none where it does.
    pub(crate) fn refuses(&self, line: &Reading) -> Option<NotTaken> {
        let name = self.name.to_string();
        let is_fine = line.finding == Some(Finding::Fine);
        match (self.check, line.value) {
            (Check::Function, Some(_)) => Some(NotTaken::ValueOnHandCheck(name)),
            (Check::Measure, Some(Value::Torque(_))) => Some(NotTaken::TorqueOnMeasure(name)),
            (Check::Torque, Some(Value::Measure(measure))) => {
                Some(NotTaken::MeasureOnTorque { name, value: measure.to_string() })
            }
            (Check::Measure, Some(_)) if line.kind != Kind::Measured => {
                Some(NotTaken::KindOnMeasure { name, kind: line.kind })
            }
            (Check::Measure, Some(_)) => {
                line.wrench.clone().map(|wrench| NotTaken::WrenchOnMeasure { name, wrench })
            }
            (Check::Torque, Some(Value::Torque(_))) if line.kind == Kind::Measured => {
                Some(NotTaken::MeasuredTorque(name))
            }
            (Check::Torque, _) if is_fine => Some(NotTaken::FineOnTorque(name)),
            (Check::Measure, None) if is_fine => Some(NotTaken::FineOnMeasure(name)),
            _ => None,
        }
    }

    /// Why it does not take a measured value: it is in a unit of something else, or no such part measures that
    /// (`specs/limits.csv`, `plausible`).
    pub(crate) fn refuses_measure(&self, line: &Reading, item: Option<&MeasuredItem>) -> Option<NotTaken> {
        let (value, item, name) = (line.measure()?, item?, self.name.to_string());
        if let Some(usual) = item.unit().filter(|usual| !usual.compares_with(value.unit)) {
            return Some(NotTaken::OtherUnit { name, usual, unit: value.unit });
        }
        let range = item.implausible(value)?;
        Some(NotTaken::Impossible { name, value: value.to_string(), range: range.to_string() })
    }

    /// The column of a figure that it has and does not take, with the reason; none where it takes what it has.
    pub(crate) fn refuses_figure(&self) -> Option<(&'static str, NotTaken)> {
        let (column, ..) = self.figures.all().next().filter(|_| self.check == Check::Function)?;
        Some((column, NotTaken::FigureOnHandCheck(self.name.to_string())))
    }
}
