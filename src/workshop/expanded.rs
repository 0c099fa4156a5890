//! The expanded uncertainty of a reading, for a picture of it.

use super::{Reading, WorkshopSnapshot};
use crate::conformity::{Accuracy, Instrument, Limits};
use crate::quantity::{Measure, in_newton_metres};

/// A scale read in steps of d has a standard uncertainty of d/√12 (JCGM 100:2008, F.2.2.1).
pub(super) const STEP_SHARE: f64 = 0.288_675_134_594_812_9;

impl WorkshopSnapshot {
    /// U at k = 2: of a torque by its wrench, in N·m; of a measure by the last decimal that was read, in the unit in which
    /// it is compared. None for a line without a value.
    pub(crate) fn expanded(&self, reading: &Reading, limits: Option<&Limits>) -> Option<f64> {
        if let Some(measure) = reading.measure() {
            return Some(2.0 * STEP_SHARE * Measure::step(measure));
        }
        let torque = reading.torque()?;
        let wrench = reading.wrench.as_ref().and_then(|name| self.wrenches.get(name));
        let instrument = wrench.map_or_else(
            || Instrument::of_accuracy(Accuracy::assumed(limits.map_or(torque, Limits::largest))),
            |wrench| wrench.instrument(None),
        );
        Some(in_newton_metres(instrument.expanded(torque)))
    }
}
