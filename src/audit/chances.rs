//! Chances of being inside, remembered by reading.
//!
//! Logs repeat their readings, and wrenches of one class share a gauge: in a generated log of 1.5 million
//! rows and twelve wrenches, 89 of 100 chances were found here. Working one out takes 450 instructions.

use crate::conformity::{Gauge, Probability};
use crate::quantity::{Torque, in_newton_metres};

/// Places of the table, in which every reading has one: the next one of that place takes it. A power of two.
/// Twice as many made no difference that could be measured: they stay in the processor less well.
const PLACES: usize = 1 << 14;

/// The chances that were worked out of late.
pub(super) struct Chances {
    gauges: Vec<Gauge>,
    places: Vec<Known>,
}

#[derive(Debug, Clone, Copy)]
struct Known {
    torque: u64,
    chance: Probability,
    gauge: u32,
}

/// No gauge.
const NONE: u32 = u32::MAX;

impl Chances {
    pub(super) fn new() -> Chances {
        let nothing = Known { torque: 0, chance: Probability::clamped(0.0), gauge: NONE };
        Chances { gauges: Vec::new(), places: vec![nothing; PLACES] }
    }

    /// The number of a gauge: equal ones have the same.
    pub(super) fn number(&mut self, gauge: Option<&Gauge>) -> u32 {
        let Some(gauge) = gauge else { return NONE };
        let known = self.gauges.iter().position(|known| known == gauge);
        let number = known.unwrap_or_else(|| {
            self.gauges.push(*gauge);
            self.gauges.len() - 1
        });
        u32::try_from(number).unwrap_or(NONE)
    }

    /// The chance for a reading, as its gauge of the given number gives it.
    #[inline]
    pub(super) fn of(&mut self, gauge: &Gauge, number: u32, torque: Torque) -> Probability {
        let bits = in_newton_metres(torque).to_bits();
        let mixed = (bits ^ u64::from(number) << 7).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let at = (mixed >> 40) as usize % PLACES;
        match self.places.get(at) {
            Some(known) if known.torque == bits && known.gauge == number => known.chance,
            _ => self.work_out(gauge, number, torque, at),
        }
    }

    #[inline(never)]
    fn work_out(&mut self, gauge: &Gauge, number: u32, torque: Torque, at: usize) -> Probability {
        let chance = gauge.chance_inside(torque);
        if let Some(known) = self.places.get_mut(at).filter(|_| number != NONE) {
            *known = Known { torque: in_newton_metres(torque).to_bits(), chance, gauge: number };
        }
        chance
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Accuracy, Deviation, Instrument, Limits};
    use crate::quantity::{Spec, newton_metres as nm};
    use proptest::prelude::*;

    proptest! {
        /// However often and with whatever gauge it is asked, the chance is that of the gauge.
        #[test]
        fn what_is_remembered_is_what_was_worked_out(
            asked in proptest::collection::vec((0..4_u8, 0..300_u16), 1..2000),
        ) {
            let mut chances = Chances::new();
            for (which, tenths) in asked {
                let limits = Limits::new(Spec::range_nm(4.0 + f64::from(which % 2), 8.0), "marking");
                let percent = Deviation::percent(f64::from(4 + which / 2)).unwrap();
                let gauge = Gauge::new(&limits, &Instrument::of_accuracy(Accuracy::given(percent)));
                let number = chances.number(Some(&gauge));
                let reading = nm(f64::from(tenths) / 10.0);
                prop_assert_eq!(chances.of(&gauge, number, reading), gauge.chance_inside(reading));
            }
            prop_assert!(chances.gauges.len() <= 4);
        }
    }
}
