//! Chances of being inside, remembered by reading in the words in which they are told.
//!
//! Many readings lie so far inside or outside that their chance is told like 1 or 0: that takes two
//! comparisons. The others repeat, and wrenches of one class share a gauge: in a generated log of 2.5 million
//! rows and twelve wrenches, 97 of 100 of them were found here. Working one out takes 500 instructions.

use super::text::{Piece, Text};
use super::verdicts::Wording;
use crate::conformity::{Gauge, Probability};
use crate::quantity::{Torque, in_newton_metres};

/// Places of the table, in which every reading has one: the next one of that place takes it. A power of two.
/// With a quarter of them 86 of 100 were found, and the whole took longer.
const PLACES: usize = 1 << 15;

/// Bytes of the chances in words that are remembered, as all are that a row has; a place takes 16 bytes.
const LENGTH: usize = 6;

/// The number of a gauge: equal ones have the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct GaugeNumber(u32);

impl GaugeNumber {
    /// No gauge.
    pub(super) const NONE: GaugeNumber = GaugeNumber(u32::MAX);
}

/// The readings in N·m whose chances are told like those of 0 and 1; single precision suffices for what is
/// worked out where it does not.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sure {
    /// From where to where they are inside.
    inside: [f32; 2],
    /// Below and above which they are outside.
    outside: [f32; 2],
}

impl Sure {
    /// What is sure for a gauge with at least the given chance.
    fn of(gauge: &Gauge, chance: Probability) -> Option<Sure> {
        let [from, to] = gauge.surely_inside(chance)?;
        let [below, above] = gauge.surely_outside(chance)?;
        #[expect(clippy::cast_possible_truncation, reason = "the next number inward lies on the sure side")]
        let up = |number: f64| (number as f32).next_up();
        #[expect(clippy::cast_possible_truncation, reason = "the next number inward lies on the sure side")]
        let down = |number: f64| (number as f32).next_down();
        Some(Sure { inside: [up(from), down(to)], outside: [down(below), up(above)] })
    }

    /// Nothing.
    pub(super) const NOTHING: Sure =
        Sure { inside: [f32::INFINITY, f32::NEG_INFINITY], outside: [f32::NEG_INFINITY, f32::INFINITY] };

    /// Whether a reading is inside; none where it is not sure.
    #[inline]
    fn inside(self, torque: f64) -> Option<bool> {
        let [from, to] = self.inside.map(f64::from);
        let [below, above] = self.outside.map(f64::from);
        if from <= torque && torque <= to {
            Some(true)
        } else {
            (torque < below || above < torque).then_some(false)
        }
    }
}

/// The chances that were worked out of late.
pub(super) struct Chances<'a> {
    wording: &'a dyn Wording,
    gauges: Vec<Gauge>,
    places: Vec<Known>,
    scratch: Vec<u8>,
    /// The fields of the chances 0 and 1.
    impossible: Piece,
    certain: Piece,
}

/// The field of a chance, behind a comma.
pub(super) fn chance_field(wording: &dyn Wording, chance: Option<Probability>) -> Piece {
    let mut field = Vec::new();
    wording.chance(chance, &mut field);
    Piece::new(field)
}

#[derive(Debug, Clone, Copy)]
struct Known {
    torque: u64,
    /// The number of the gauge; those whose number is too large are worked out each time.
    gauge: u16,
    text: [u8; LENGTH],
}

impl Chances<'_> {
    pub(super) fn new(wording: &dyn Wording) -> Chances<'_> {
        let nothing = Known { torque: 0, gauge: u16::MAX, text: [0; LENGTH] };
        Chances {
            wording,
            gauges: Vec::new(),
            places: vec![nothing; PLACES],
            scratch: Vec::new(),
            impossible: chance_field(wording, Probability::new(0.0)),
            certain: chance_field(wording, Probability::new(1.0)),
        }
    }

    /// What is sure for a gauge.
    pub(super) fn sure(&self, gauge: &Gauge) -> Sure {
        self.wording.certain().and_then(|chance| Sure::of(gauge, chance)).unwrap_or(Sure::NOTHING)
    }

    /// The number of a gauge.
    pub(super) fn number(&mut self, gauge: Gauge) -> GaugeNumber {
        let known = self.gauges.iter().position(|known| *known == gauge);
        let number = known.unwrap_or_else(|| {
            self.gauges.push(gauge);
            self.gauges.len() - 1
        });
        u32::try_from(number).map_or(GaugeNumber::NONE, GaugeNumber)
    }

    /// Appends the chance for a reading, as its gauge gives it.
    #[inline]
    pub(super) fn append(&mut self, gauge: GaugeNumber, sure: Sure, torque: Torque, text: &mut Text) {
        match sure.inside(in_newton_metres(torque)) {
            Some(true) => self.certain.append_to(text),
            Some(false) => self.impossible.append_to(text),
            None => self.append_unsure(gauge, torque, text),
        }
    }

    #[inline]
    fn append_unsure(&mut self, gauge: GaugeNumber, torque: Torque, text: &mut Text) {
        let bits = in_newton_metres(torque).to_bits();
        let mixed = (bits ^ u64::from(gauge.0) << 7).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let at = (mixed >> 40) as usize % PLACES;
        match self.places.get(at) {
            Some(known) if known.torque == bits && u32::from(known.gauge) == gauge.0 => {
                text.append_short(&known.text, LENGTH);
            }
            _ => self.work_out(gauge, torque, at, text),
        }
    }

    #[inline(never)]
    fn work_out(&mut self, gauge: GaugeNumber, torque: Torque, at: usize, text: &mut Text) {
        let said = &mut self.scratch;
        said.clear();
        let chance = self.gauges.get(gauge.0 as usize).map(|gauge| gauge.chance_inside(torque));
        self.wording.chance(chance, said);
        text.append_slowly(said);
        if let (Ok(said), Ok(gauge), Some(place)) =
            (said.as_slice().try_into(), u16::try_from(gauge.0), self.places.get_mut(at))
            && gauge != u16::MAX
        {
            *place = Known { torque: in_newton_metres(torque).to_bits(), gauge, text: said };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audit::Told;
    use crate::conformity::slip::MixUp;
    use crate::conformity::{Accuracy, Deviation, Instrument, Limits, Probability};
    use crate::quantity::{Spec, newton_metres as nm};
    use proptest::prelude::*;

    /// Puts a chance into so many bytes as it has, few or more than are remembered, or cuts it.
    struct Plainly {
        cut: bool,
    }

    impl Wording for Plainly {
        fn header(&self) -> &'static str {
            ""
        }

        fn verdict(&self, _: &Told<'_>, _: &mut Vec<u8>) {}

        fn limits(&self, _: Option<&Limits>, _: &mut Vec<u8>) {}

        fn chance(&self, chance: Option<Probability>, text: &mut Vec<u8>) {
            let chance = chance.map_or(0.0, Probability::value);
            let said = if self.cut {
                format!(",{:.3}", (chance * 1e3).floor().min(999.0) / 1e3)
            } else {
                chance.to_string()
            };
            text.extend_from_slice(said.as_bytes());
        }

        fn reason(&self, _: &Told<'_>) -> String {
            String::new()
        }

        fn mix_up(&self, _: MixUp) -> String {
            String::new()
        }

        fn certain(&self) -> Option<Probability> {
            self.cut.then(|| Probability::new(0.999)).flatten()
        }
    }

    proptest! {
        /// However often and with whatever gauge it is asked, the chance is that of the gauge.
        #[test]
        fn what_is_remembered_is_what_was_worked_out(
            asked in proptest::collection::vec((0..6_u8, 0..600_u16), 1..2000), cut in any::<bool>(),
        ) {
            let wording = Plainly { cut };
            let mut chances = Chances::new(&wording);
            for (which, parts) in asked {
                let spec = match which % 3 {
                    0 => Spec::range_nm(4.0, 8.0),
                    1 => Spec::Ceiling(nm(8.0)),
                    _ => Spec::Floor(nm(4.0)),
                };
                let percent = Deviation::percent(f64::from(4 + which / 3)).unwrap();
                let accuracy = Accuracy::given(percent);
                let gauge = Gauge::new(&Limits::new(spec), &Instrument::of_accuracy(accuracy));
                let number = chances.number(gauge);
                let reading = nm(f64::from(parts) / 50.0);
                let (mut told, mut expected) = (Text::default(), Vec::new());
                chances.append(number, chances.sure(&gauge), reading, &mut told);
                wording.chance(Some(gauge.chance_inside(reading)), &mut expected);
                prop_assert_eq!(told.as_slice(), &expected[..]);
            }
            prop_assert!(chances.gauges.len() <= 6);
        }
    }
}
