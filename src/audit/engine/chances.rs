//! Chances of being inside, remembered by reading.

use super::super::outputs::RowWriter;
use crate::conformity::Gauge;
use crate::quantity::{Torque, in_newton_metres};

/// Places of the table, in which every reading has one: the next one of that place takes it. A power of two.
const PLACES: usize = 1 << 15;
/// Bytes of the chances that are remembered, as all are that a row has.
const LENGTH: usize = 6;

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
    text: [u8; LENGTH],
}

impl Chances<'_> {
    pub(super) fn new(writer: &dyn RowWriter) -> Chances<'_> {
        Chances {
            writer,
            places: vec![KnownChance { torque: 0, class: u64::MAX, text: [0; LENGTH] }; PLACES],
        }
    }

    /// Appends the chance of being inside for a reading of a class, as its gauge gives it.
    pub(super) fn append(&mut self, gauge: &Gauge, class: u64, torque: Torque, text: &mut Vec<u8>) {
        let bits = in_newton_metres(torque).to_bits();
        let mixed = (bits ^ class << 7).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let known = &mut self.places[(mixed >> 40) as usize % PLACES];
        if (known.torque, known.class) == (bits, class) {
            return text.extend_from_slice(&known.text);
        }
        let start = text.len();
        self.writer.chance(Some(gauge.chance_inside(torque)), text);
        if let Ok(written) = text[start..].try_into() {
            *known = KnownChance { torque: bits, class, text: written };
        }
    }
}
