//! Everything that rows of one requirement and one wrench share, and what it makes of a reading.

use jiff::civil::Date;

use super::super::counts::Counts;
use super::super::reference::{BoltLimit, KnownRequirement, KnownWrench, Requirement};
use super::super::summary::Histogram;
use super::judge::no_reading;
use super::zones::{ZONES, ZoneTable};
use crate::conformity::slip::MixUp;
use crate::conformity::{Doubt, Finding, Gauge, Kind, Label, Limits, finding};
use crate::quantity::{Reading, Torque, in_newton_metres, newton_metres};

/// What a row says and what came of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct JudgedRow {
    pub(super) group: u32,
    pub(super) kind: Kind,
    /// What was read; 0 for a kind without a torque.
    pub(super) reading: Reading,
    /// The day, where it counts: for a torque read with a registered wrench.
    pub(super) day: Date,
    /// The interval of equal worth in the life of a registered wrench.
    pub(super) interval: u32,
    /// Whether the wrench is in doubt that day whatever it reads.
    pub(super) lasting_doubt: bool,
    /// The zone of the reading; none where it lies at a breakpoint.
    pub(super) zone: Option<usize>,
    pub(super) label: Option<Label>,
    /// The units whose mixing up would explain it.
    pub(super) mix_up: Option<MixUp>,
}

impl JudgedRow {
    pub(super) fn new() -> JudgedRow {
        JudgedRow {
            group: 0,
            kind: Kind::Tightened,
            reading: no_reading(),
            day: Date::ZERO,
            interval: 0,
            lasting_doubt: false,
            zone: None,
            label: None,
            mix_up: None,
        }
    }
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

/// Everything that rows of one requirement and one wrench share.
pub(super) struct Group<'a> {
    table: ZoneTable,
    zones: [Zone; ZONES],
    pub(super) known: &'a KnownRequirement,
    pub(super) wrench: Option<&'a KnownWrench>,
    pub(super) gauge: Option<Gauge>,
    /// Above it no reading can be meant.
    pub(super) tears_above: Torque,
    /// See [`Gauge::sure`]; of no gauge, anything.
    pub(super) sure: [[f64; 2]; 2],
    pub(super) histogram: Option<Histogram>,
    /// The numbers of what is required and of the wrench's name.
    pub(super) requirement: u32,
    pub(super) name: u32,
    /// Everything that is not counted by zone.
    pub(super) counts: Counts,
}

impl<'a> Group<'a> {
    pub(super) fn new(
        (known, requirement): (&'a KnownRequirement, u32),
        (wrench, name): (Option<&'a KnownWrench>, u32),
        gauge: Option<Gauge>,
        histogram: Option<Histogram>,
    ) -> Group<'a> {
        let scale = wrench.map(|known| known.wrench.scale_breakpoints()).into_iter().flatten();
        let breakpoints = match gauge.as_ref().map(Gauge::breakpoints) {
            // Readings of the few joints with a known bolt are judged one by one.
            _ if known.requirement.bolt.is_some() => None,
            None => Some(scale.collect()),
            Some(of_label) => of_label.map(|of_label| of_label.chain(scale).collect()),
        };
        let table = ZoneTable::new(breakpoints);
        let limits = known.requirement.limits.as_ref();
        let zone = |reading: f64| {
            let reading = newton_metres(reading);
            let in_doubt = wrench.is_some_and(|known| known.wrench.scale_doubt(reading).is_some());
            let believed = gauge.as_ref().filter(|_| !in_doubt);
            Zone {
                labels: [believed.map_or(Label::NotSettled, |gauge| gauge.label(reading)), Label::NotSettled],
                counts: [0; 2],
                in_doubt,
                outside: limits.is_some_and(|limits| !limits.contain(reading)),
            }
        };
        let zones = table.samples().map(zone);
        let sure = gauge.as_ref().map_or([[0.0; 2]; 2], Gauge::sure);
        let (counts, nothing) = (Counts::default(), newton_metres(f64::INFINITY));
        let tears_above = known.requirement.tears_above.unwrap_or(nothing);
        Group { table, zones, known, wrench, gauge, tears_above, sure, histogram, requirement, name, counts }
    }

    pub(super) fn required(&self) -> &'a Requirement {
        &self.known.requirement
    }

    /// The smallest division of its wrench, where known.
    pub(super) fn division(&self) -> Option<Torque> {
        self.wrench.and_then(|known| known.wrench.parts().step)
    }

    pub(super) fn turns_anticlockwise(&self, kind: Kind) -> bool {
        kind.turns_anticlockwise(self.known.requirement.left_hand)
    }

    pub(super) fn judge(&mut self, row: &mut JudgedRow) {
        self.counts.no_unit += u64::from(!row.reading.unit_given);
        row.zone = self.table.zone(in_newton_metres(row.reading.torque));
        (row.label, row.mix_up) = (None, None);
        if row.kind == Kind::Tightened {
            self.label(row);
        } else if self.too_much(row).is_some() {
            row.label = Some(self.count_too_much());
        } else if let Some(found) = self.finding(row) {
            self.counts.add_finding(found, self.is_doubted(row));
        }
    }

    fn label(&mut self, row: &mut JudgedRow) {
        if let Some(histogram) = &mut self.histogram {
            histogram.add(row.reading.torque);
        }
        let (label, outside) = match row.zone.and_then(|zone| self.zones.get_mut(zone)) {
            Some(zone) => {
                let lasting = usize::from(row.lasting_doubt);
                zone.counts[lasting] += 1;
                (zone.labels[lasting], zone.outside)
            }
            None => (self.label_at_breakpoint(row), true),
        };
        row.label = Some(label);
        if outside && let Some(watch) = &self.known.watch {
            row.mix_up = watch.likeliest(&row.reading, label).map(|slip| slip.units);
            self.counts.unit_slips += u64::from(row.mix_up.is_some());
        }
    }

    /// Why a torque is too much for the bolt. What comes loose at a torque was not tightened to it.
    pub(super) fn too_much(&self, row: &JudgedRow) -> Option<&'a BoltLimit> {
        let bolt = self.required().bolt.as_ref()?;
        (row.kind != Kind::Loosening && row.reading.torque > bolt.above).then_some(bolt)
    }

    fn count_too_much(&mut self) -> Label {
        self.counts.too_much += 1;
        self.counts.add_label(Label::High, false, 1);
        Label::High
    }

    fn label_at_breakpoint(&mut self, row: &JudgedRow) -> Label {
        if self.too_much(row).is_some() {
            return self.count_too_much();
        }
        let doubted = self.is_doubted(row);
        let label = match &self.gauge {
            Some(gauge) if !doubted => gauge.label(row.reading.torque),
            _ => Label::NotSettled,
        };
        self.count_label(label, doubted, 1);
        label
    }

    fn count_label(&mut self, label: Label, doubted: bool, times: u64) {
        self.counts.add_label(label, doubted, times);
        self.counts.no_figure += if self.gauge.is_none() { times } else { 0 };
    }

    pub(super) fn finding(&self, row: &JudgedRow) -> Option<Finding> {
        let limits = self.required().limits.as_ref();
        let (low, high) = (limits.and_then(Limits::low), limits.and_then(Limits::high));
        finding(row.kind, low, high, row.reading.torque)
    }

    pub(super) fn scale_doubt(&self, row: &JudgedRow) -> Option<Doubt> {
        let known = self.wrench.filter(|_| row.kind.has_torque())?;
        known.wrench.scale_doubt(row.reading.torque)
    }

    pub(super) fn is_doubted(&self, row: &JudgedRow) -> bool {
        row.lasting_doubt || self.scale_doubt(row).is_some()
    }

    pub(super) fn into_counts(mut self) -> (Counts, Option<Histogram>) {
        for zone in self.zones {
            // A zone that was not met may have a label that no reading gets.
            for (lasting, (label, times)) in zone.labels.into_iter().zip(zone.counts).enumerate() {
                self.count_label(label, lasting == 1 || zone.in_doubt, times);
            }
        }
        (self.counts, self.histogram)
    }

    /// How many times over or under its limit a reading is, with the limit.
    pub(super) fn excess(&self, label: Label, torque: Torque) -> Option<(f64, Torque)> {
        let bolt = self.required().bolt.as_ref().filter(|bolt| torque > bolt.above);
        if let Some(BoltLimit { above, .. }) = bolt {
            return Some((in_newton_metres(torque) / in_newton_metres(*above), *above));
        }
        let gauge = self.gauge.as_ref()?;
        match label {
            Label::High => gauge.high.map(|high| (in_newton_metres(torque) / in_newton_metres(high), high)),
            Label::Low => gauge.low.map(|low| (in_newton_metres(low) / in_newton_metres(torque), low)),
            _ => None,
        }
    }
}
