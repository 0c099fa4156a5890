//! Judging with a registered wrench: its doubts, its uncertainty, its settings.

use jiff::civil::Date;

use super::{Adapter, Line, Wrench};
use crate::conformity::{Aim, Doubt, Kind, Limits, NoAim, Outcome, Uncalibrated, aim, assess};
use crate::quantity::tolerance::{at_least, more_than};
use crate::quantity::{Torque, in_newton_metres};

/// How a wrench is used for a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use<'a> {
    pub(crate) on: Date,
    /// The line of the reading in the workshop book; without one it is taken for the last of its day.
    pub line: Option<Line>,
    pub(crate) left_hand_thread: bool,
    pub(crate) adapter: Option<&'a Adapter>,
}

impl Use<'_> {
    /// A plain use on a day: right-hand thread, no adapter, no line in the workshop book.
    pub(crate) fn on(day: Date) -> Use<'static> {
        Use { on: day, line: None, left_hand_thread: false, adapter: None }
    }
}

/// The setting to aim at, as torque at the bolt and on the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleAim {
    pub(crate) aim: Aim,
    /// What to set on the scale; differs from the torque at the bolt where an adapter is used.
    pub on_scale: Torque,
}

impl Wrench {
    /// What casts doubt on a reading, given as it stands on the scale: the usable part of the scale,
    /// the calibration by that day and after it, the direction.
    pub(crate) fn doubts(&self, on_scale: Torque, kind: Kind, usage: &Use<'_>) -> Vec<Doubt> {
        self.scale_doubt(on_scale).into_iter().chain(self.lasting_doubts(kind, usage)).collect()
    }

    /// The doubt about a reading that does not lie on the usable part of the scale.
    pub fn scale_doubt(&self, on_scale: Torque) -> Option<Doubt> {
        let (lowest, highest) = self.usable();
        if more_than(lowest, on_scale) {
            Some(Doubt::BelowUsableScale { lowest })
        } else {
            (!at_least(highest, on_scale)).then_some(Doubt::AboveUsableScale { highest })
        }
    }

    /// The readings at which [`Wrench::scale_doubt`] may change, each as a period in N·m that holds it with
    /// far more room than the tolerance of comparisons needs.
    pub(crate) fn scale_breakpoints(&self) -> [[f64; 2]; 2] {
        let (lowest, highest) = self.usable();
        [lowest, highest].map(in_newton_metres).map(|end| [end * (1.0 - 1e-6), end * (1.0 + 1e-6)])
    }

    /// The doubts that do not depend on the reading: a calibration that no longer stands, and the direction. One of
    /// which nothing is known casts none: naming a wrench never earns less than naming none.
    pub(crate) fn lasting_doubts(&self, kind: Kind, usage: &Use<'_>) -> Vec<Doubt> {
        let history = self.history();
        let wrong_way = self.is_turned_wrong_way(kind, usage.left_hand_thread);
        [
            history.standing(usage.on, usage.line).err().and_then(|lack| match lack {
                Uncalibrated::Never => None,
                ended => Some(Doubt::Uncalibrated(ended)),
            }),
            history.failed_later(usage.on),
            wrong_way.then_some(Doubt::WrongDirection),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// Whether it is turned the way in which it does not measure.
    pub(crate) fn is_turned_wrong_way(&self, kind: Kind, left_hand_thread: bool) -> bool {
        kind.turns_anticlockwise(left_hand_thread) && !self.parts().anticlockwise
    }

    /// What a reading of this wrench shows: `on_scale` as the wrench showed it, limits and outcome at the bolt.
    pub(crate) fn assess(
        &self,
        kind: Kind,
        limits: Option<&Limits>,
        on_scale: Torque,
        usage: &Use<'_>,
    ) -> Outcome {
        let at_bolt = usage.adapter.map_or(on_scale, |adapter| adapter.at_bolt(on_scale));
        let doubts = self.doubts(on_scale, kind, usage);
        assess(kind, limits, at_bolt, &self.instrument(usage.adapter), &doubts)
    }

    /// The setting of this wrench with the best chance of landing inside.
    ///
    /// # Errors
    /// [`NoAim`] when no usable setting of the wrench is safe to aim at.
    pub fn aim(&self, limits: &Limits, adapter: Option<&Adapter>) -> Result<ScaleAim, NoAim> {
        let aim = aim(limits, &self.instrument(adapter), &self.settings(adapter))?;
        let on_scale = adapter.map_or(aim.setting, |adapter| adapter.setting(aim.setting));
        Ok(ScaleAim { aim, on_scale })
    }
}

#[cfg(test)]
#[path = "judging_tests.rs"]
mod tests;
