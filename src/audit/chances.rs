//! Chances of being inside, remembered by reading in the words in which they are told.
//!
//! Logs repeat their readings, and wrenches of one class share a gauge: in a generated log of 1.5 million
//! rows and twelve wrenches, 89 of 100 chances were found here. Working one out takes 450 instructions.

use super::text::Text;
use super::verdicts::Wording;
use crate::conformity::Gauge;
use crate::quantity::{Torque, in_newton_metres};

/// Places of the table, in which every reading has one: the next one of that place takes it. A power of two.
/// Twice as many made no difference that could be measured: they stay in the processor less well.
const PLACES: usize = 1 << 14;

/// Bytes of a chance in words that are remembered; with them a place takes 24 bytes.
const LONGEST: usize = 11;

/// The chances that were worked out of late.
pub(super) struct Chances {
    gauges: Vec<Gauge>,
    places: Vec<Known>,
    scratch: Vec<u8>,
}

#[derive(Debug, Clone, Copy)]
struct Known {
    torque: u64,
    gauge: u32,
    length: u8,
    text: [u8; LONGEST],
}

/// No gauge.
const NONE: u32 = u32::MAX;

impl Chances {
    pub(super) fn new() -> Chances {
        let nothing = Known { torque: 0, gauge: NONE, length: 0, text: [0; LONGEST] };
        Chances { gauges: Vec::new(), places: vec![nothing; PLACES], scratch: Vec::new() }
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

    /// Appends the chance for a reading, as its gauge of the given number gives it.
    #[inline]
    pub(super) fn append(
        &mut self,
        (gauge, number): (&Gauge, u32),
        torque: Torque,
        wording: &dyn Wording,
        text: &mut Text,
    ) {
        let bits = in_newton_metres(torque).to_bits();
        let mixed = (bits ^ u64::from(number) << 7).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let at = (mixed >> 40) as usize % PLACES;
        match self.places.get(at) {
            Some(known) if known.torque == bits && known.gauge == number => {
                text.append_short(&known.text, usize::from(known.length));
            }
            _ => self.work_out((gauge, number), torque, at, wording, text),
        }
    }

    #[inline(never)]
    fn work_out(
        &mut self,
        (gauge, number): (&Gauge, u32),
        torque: Torque,
        at: usize,
        wording: &dyn Wording,
        text: &mut Text,
    ) {
        let said = &mut self.scratch;
        said.clear();
        wording.chance(Some(gauge.chance_inside(torque)), said);
        text.append_slowly(said);
        let mut known = Known {
            torque: in_newton_metres(torque).to_bits(),
            gauge: number,
            length: 0,
            text: [0; LONGEST],
        };
        if let (Some(place), Some(room), Ok(length)) =
            (self.places.get_mut(at), known.text.get_mut(..said.len()), u8::try_from(said.len()))
            && number != NONE
        {
            room.copy_from_slice(said);
            *place = Known { length, ..known };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audit::Told;
    use crate::conformity::slip::Slip;
    use crate::conformity::{Accuracy, Deviation, Instrument, Limits, Probability};
    use crate::quantity::{Spec, newton_metres as nm};
    use proptest::prelude::*;

    /// Puts a chance into so many bytes as it has, few or more than are remembered.
    struct Plainly;

    impl Wording for Plainly {
        fn header(&self) -> &'static str {
            ""
        }

        fn verdict(&self, _: &Told<'_>, _: &mut Vec<u8>) {}

        fn limits(&self, _: Option<&Limits>, _: &mut Vec<u8>) {}

        fn chance(&self, chance: Option<Probability>, text: &mut Vec<u8>) {
            text.extend_from_slice(chance.map_or(0.0, Probability::value).to_string().as_bytes());
        }

        fn reason(&self, _: &Told<'_>) -> String {
            String::new()
        }

        fn slip(&self, _: Slip) -> String {
            String::new()
        }
    }

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
                let (mut told, mut expected) = (Text::default(), Vec::new());
                chances.append((&gauge, number), reading, &Plainly, &mut told);
                Plainly.chance(Some(gauge.chance_inside(reading)), &mut expected);
                prop_assert_eq!(told.as_slice(), &expected[..]);
            }
            prop_assert!(chances.gauges.len() <= 4);
        }
    }
}
