//! Chances of being inside, remembered by reading.

use super::super::outputs::{CHANCE_LENGTH, RowWriter};
use crate::conformity::Gauge;
use crate::quantity::{Torque, in_newton_metres};

/// Places of the table, in which every reading has one: the next one of that place takes it. A power of two.
const PLACES: usize = 1 << 15;
/// What stands for every torque of which the chance is sure; no torque has these bits, which are no number's.
const INSIDE: u64 = u64::MAX;
const OUTSIDE: u64 = u64::MAX - 1;

/// The chances that were worked out of late, as they are written: readings repeat, and working one out takes
/// 500 instructions.
pub(super) struct Chances<'a> {
    writer: &'a dyn RowWriter,
    places: Vec<KnownChance>,
}

#[derive(Debug, Clone, Copy)]
struct KnownChance {
    torque: u64,
    class: u64,
    text: [u8; CHANCE_LENGTH],
}

impl Chances<'_> {
    pub(super) fn new(writer: &dyn RowWriter) -> Chances<'_> {
        Chances {
            writer,
            places: vec![KnownChance { torque: 0, class: u64::MAX, text: [0; CHANCE_LENGTH] }; PLACES],
        }
    }

    /// The chance of being inside for a reading of a class, as its gauge gives it; `sure` is [`Gauge::sure`]. All that
    /// are sure to be inside are told alike, and so are all that are sure not to be.
    pub(super) fn of(
        &mut self,
        (gauge, sure): (&Gauge, &[[f64; 2]; 2]),
        class: u64,
        torque: Torque,
    ) -> &[u8; CHANCE_LENGTH] {
        let (reading, [inside, outside]) = (in_newton_metres(torque), sure);
        let (bits, class) = if inside[0] < reading && reading < inside[1] {
            (INSIDE, 0)
        } else if reading < outside[0] || outside[1] < reading {
            (OUTSIDE, 0)
        } else {
            (reading.to_bits(), class)
        };
        let mixed = (bits ^ class << 7).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let known = &mut self.places[(mixed >> 40) as usize % PLACES];
        if (known.torque, known.class) != (bits, class) {
            let text = self.writer.chance(gauge.chance_inside(torque));
            *known = KnownChance { torque: bits, class, text };
        }
        &known.text
    }
}
