//! Everything that rows of one subject and one wrench share, and what it makes of a reading.

use super::counts::Counts;
use super::histogram::Histogram;
use super::ladder::{Ladder, ZONES};
use super::reference::{KnownSubject, KnownWrench, Subject};
use super::row::Said;
use crate::conformity::slip::{Slip, Watch};
use crate::conformity::{Doubt, Finding, Gauge, Kind, Label, Limits, finding};
use crate::quantity::{Torque, in_newton_metres, newton_metres};
use crate::wrench::Turn;

/// Where a row is counted and how far its wrench is believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Place {
    /// The slot.
    pub(super) slot: u32,
    /// The stretch of equal worth in the life of a registered wrench.
    pub(super) stretch: u32,
    /// A day in it, packed.
    pub(super) day: u32,
}

/// What is the same for all tightenings in a zone.
#[derive(Debug, Clone, Copy)]
struct Zone {
    /// The label, and how many tightenings got it: with the wrench believed but for its scale, and with
    /// lasting doubt.
    labels: [Label; 2],
    counts: [u64; 2],
    /// Whether the scale of the wrench does not reach there.
    in_doubt: bool,
    outside: bool,
}

/// Everything that rows of one subject and one wrench share.
///
/// What every row needs stands in front, on as few lines of the processor's cache as may be: there are a
/// thousand slots.
#[derive(Debug)]
#[repr(C, align(64))]
pub(super) struct Slot<'a> {
    ladder: Ladder,
    pub(super) wrench: Option<&'a KnownWrench>,
    pub(super) histogram: Option<Box<Histogram>>,
    watch: Option<&'a Watch>,
    /// The number of what is judged, and that of the wrench's name.
    pub(super) subject_place: u32,
    pub(super) name: u32,
    /// The direction in which its bolts are tightened.
    pub(super) tightens: Turn,
    zones: [Zone; ZONES],
    pub(super) gauge: Option<Gauge>,
    pub(super) subject: &'a Subject,
    pub(super) counts: Counts,
}

impl<'a> Slot<'a> {
    pub(super) fn new(
        (known, subject_place): (&'a KnownSubject, u32),
        (wrench, name): (Option<&'a KnownWrench>, u32),
        gauge: Option<Gauge>,
        histogram: Option<Histogram>,
    ) -> Slot<'a> {
        let subject = &known.subject;
        let scale = wrench.map(|known| known.wrench.scale_turns()).into_iter().flatten();
        let ladder = match gauge.as_ref().map(Gauge::turns) {
            None => Ladder::new(scale),
            Some(turns) => turns.and_then(|turns| Ladder::new(turns.chain(scale))),
        };
        let ladder = ladder.unwrap_or_else(Ladder::without_zones);
        let zone = |reading: f64| {
            let reading = newton_metres(reading);
            let in_doubt = wrench.is_some_and(|known| known.wrench.scale_doubt(reading).is_some());
            let believed = gauge.as_ref().filter(|_| !in_doubt);
            Zone {
                labels: [believed.map_or(Label::NotSettled, |gauge| gauge.label(reading)), Label::NotSettled],
                in_doubt,
                outside: subject.limits.as_ref().is_some_and(|limits| !limits.contain(reading)),
                counts: [0; 2],
            }
        };
        Slot {
            zones: ladder.samples().map(zone),
            ladder,
            counts: Counts::default(),
            wrench,
            tightens: Turn::of(subject.left_hand, Kind::Tightened),
            subject,
            gauge,
            watch: known.watch.as_ref(),
            histogram: histogram.map(Box::new),
            subject_place,
            name,
        }
    }

    /// What a reading that is not a tightening shows.
    #[inline]
    pub(super) fn finding(&self, kind: Kind, torque: Torque) -> Option<Finding> {
        let limits = self.subject.limits.as_ref();
        finding(kind, limits.and_then(Limits::low), limits.and_then(Limits::high), torque)
    }

    /// The doubts about the wrench: whether there is one that does not hang on what was read, and that of its
    /// scale.
    pub(super) fn doubts(&self, said: &Said) -> (bool, Option<Doubt>) {
        let Some(known) = self.wrench.filter(|_| said.kind.has_torque()) else { return (false, None) };
        let turn = Turn::of(self.subject.left_hand, said.kind);
        (known.is_doubted(said.place.stretch, turn), known.wrench.scale_doubt(said.reading.torque))
    }

    /// Whether the wrench cannot be believed at what was read.
    fn is_doubted(&self, said: &Said) -> bool {
        let (lasting, off_scale) = self.doubts(said);
        lasting || off_scale.is_some()
    }

    /// The zone of a reading.
    #[inline]
    fn zone(&self, torque: Torque) -> Option<usize> {
        self.ladder.zone(in_newton_metres(torque))
    }

    /// Counts a reading that is not a tightening.
    pub(super) fn note(&mut self, said: &mut Said) {
        let (kind, torque) = (said.kind, said.reading.torque);
        (said.label, said.mix_up, said.zone) = (None, None, self.zone(torque));
        let doubted = self.is_doubted(said);
        if let Some(found) = self.finding(kind, torque) {
            self.counts.add_finding(found, doubted);
        }
    }

    /// Labels and counts a tightening.
    #[inline]
    pub(super) fn label(&mut self, said: &mut Said) {
        if let Some(histogram) = &mut self.histogram {
            histogram.add(said.reading.torque);
        }
        said.zone = self.zone(said.reading.torque);
        let (label, outside) = match said.zone.and_then(|zone| self.zones.get_mut(zone)) {
            Some(zone) => {
                let lasting = usize::from(said.lasting_doubt);
                zone.counts[lasting] += 1;
                (zone.labels[lasting], zone.outside)
            }
            None => (self.label_at_turn(said), true),
        };
        (said.label, said.mix_up) = (Some(label), None);
        if outside && let Some(watch) = self.watch {
            said.mix_up = watch.likeliest(&said.reading, label).map(Slip::mix_up);
            self.counts.unit_slips += u64::from(said.mix_up.is_some());
        }
    }

    /// The label of a reading that lies at a turn, worked out for itself.
    fn label_at_turn(&mut self, said: &Said) -> Label {
        let doubted = self.is_doubted(said);
        let label = match &self.gauge {
            Some(gauge) if !doubted => gauge.label(said.reading.torque),
            _ => Label::NotSettled,
        };
        self.counts.no_figure += u64::from(self.gauge.is_none());
        self.counts.add_label(label, doubted, 1);
        label
    }

    /// Everything that was counted.
    pub(super) fn counts(&self) -> Counts {
        let mut counts = self.counts;
        for zone in &self.zones {
            let met =
                zone.labels.into_iter().zip(zone.counts).enumerate().filter(|(_, (_, times))| *times > 0);
            for (lasting, (label, times)) in met {
                counts.add_label(label, lasting == 1 || zone.in_doubt, times);
                counts.no_figure += if self.gauge.is_none() { times } else { 0 };
            }
        }
        counts
    }

    /// How many times over or under its limit a reading is, with the limit.
    pub(super) fn excess(&self, label: Label, torque: Torque) -> Option<(f64, Torque)> {
        let gauge = self.gauge.as_ref()?;
        match label {
            Label::High => gauge.high().map(|high| (in_newton_metres(torque) / in_newton_metres(high), high)),
            Label::Low => gauge.low().map(|low| (in_newton_metres(low) / in_newton_metres(torque), low)),
            _ => None,
        }
    }
}
