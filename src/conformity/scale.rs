//! The settings that a wrench offers.

use crate::quantity::tolerance::{at_least, whole_above, whole_below};
use crate::quantity::{Torque, in_newton_metres};

/// The settings that a wrench offers: marks from the lowest upwards in steps, or anything between
/// the ends where the step is unknown, within the part of the scale that is usable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SettingScale {
    lowest_mark: Torque,
    step: Option<Torque>,
    from: Torque,
    to: Torque,
    /// Whether the marks are round figures on a scale whose own are not known.
    is_round: bool,
}

impl SettingScale {
    /// A scale with marks from `lowest` to `highest`; none when upside down or with a step not above 0.
    #[must_use]
    pub fn new(lowest: Torque, highest: Torque, step: Option<Torque>) -> Option<SettingScale> {
        let zero = Torque::default();
        let sensible = lowest >= zero && highest >= lowest && highest.is_finite();
        let step_sensible = step.is_none_or(|step| step > zero && step.is_finite());
        (sensible && step_sensible).then_some(SettingScale {
            lowest_mark: lowest,
            step,
            from: lowest,
            to: highest,
            is_round: false,
        })
    }

    /// The same marks, but only those from `from` to `to`.
    #[must_use]
    pub fn within(self, from: Torque, to: Torque) -> SettingScale {
        SettingScale { from: self.from.max(from), to: self.to.min(to), ..self }
    }

    /// The same marks as round figures that stand for a scale whose own marks are not known: what lies between is
    /// rounded down to them.
    pub(crate) fn of_round_figures(self) -> SettingScale {
        SettingScale { is_round: true, ..self }
    }

    /// Whether a setting between two marks is rounded down.
    pub(crate) fn rounds_down(&self) -> bool {
        self.is_round
    }

    /// The same scale as seen through a lever that multiplies what the wrench reads.
    pub(crate) fn scaled(self, factor: f64) -> SettingScale {
        SettingScale {
            lowest_mark: self.lowest_mark * factor,
            step: self.step.map(|step| step * factor),
            from: self.from * factor,
            to: self.to * factor,
            is_round: self.is_round,
        }
    }

    /// Where the usable part of the scale begins.
    pub(crate) fn lowest(&self) -> Torque {
        self.from
    }

    /// Where the usable part of the scale ends.
    pub(crate) fn highest(&self) -> Torque {
        self.to
    }

    /// The step between two settings, where it is known.
    #[must_use]
    pub fn step(&self) -> Option<Torque> {
        self.step
    }

    /// The lowest setting that is a torque at all: the mark at zero is none. There is none where the
    /// usable part of the scale has no mark, or no end to its fineness at zero.
    #[must_use]
    pub fn first(&self) -> Option<Torque> {
        let half_a_step = self.step.map_or(Torque::default(), |step| step / 2.0);
        self.above(half_a_step).filter(|mark| *mark > Torque::default())
    }

    /// The highest setting that is not above `torque`.
    pub fn below(&self, torque: Torque) -> Option<Torque> {
        let limit = torque.min(self.to);
        let mark = self.mark(limit, whole_below);
        (at_least(mark, self.from) && at_least(limit, mark)).then_some(mark)
    }

    /// The lowest setting that is not below `torque`.
    pub(crate) fn above(&self, torque: Torque) -> Option<Torque> {
        let limit = torque.max(self.from);
        let mark = self.mark(limit, whole_above);
        (at_least(self.to, mark) && at_least(mark, limit)).then_some(mark)
    }

    /// The mark beside `torque`, its steps from the lowest mark made whole; itself where the step is unknown.
    fn mark(&self, torque: Torque, whole: fn(f64) -> f64) -> Torque {
        self.step.map_or(torque, |step| {
            let steps = in_newton_metres(torque - self.lowest_mark) / in_newton_metres(step);
            self.lowest_mark + step * whole(steps)
        })
    }
}
