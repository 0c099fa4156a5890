//! Registered wrenches: what they are and whether their readings stand.

use jiff::civil::Date;
use serde_json::{Value, json};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::figure::{spec_text, step_text};
use super::words::accuracy_text;
use super::{Report, Style, columns, records};
use crate::conformity::Uncalibrated;
use crate::quantity::{Resolution, Spec, Torque, TorqueUnit, in_newton_metres};
use crate::workshop::StruckCalibration;
use crate::wrench::{Calibration, DoubtPeriod, RegisteredWrench, Wrench, WrenchParts};

/// A calibration that counts, with its number and note.
type CountedCalibration = (i64, Calibration, String);

/// One wrench with its calibrations.
pub struct WrenchReport<'a> {
    registered: &'a RegisteredWrench,
    cycles: Option<u32>,
    /// The calibrations that count, each with its number and note.
    calibrations: Vec<CountedCalibration>,
    /// Those that were taken back.
    struck: Vec<StruckCalibration>,
    standing: Result<Date, Uncalibrated>,
    unit: TorqueUnit,
}

impl<'a> WrenchReport<'a> {
    /// The report of a wrench with its operations since the last good calibration, its calibrations, those
    /// that were taken back, its standing on `today`, torques in `unit` or in that of its scale.
    pub fn new(
        registered: &'a RegisteredWrench,
        (cycles, calibrations, struck): (Option<u32>, Vec<CountedCalibration>, Vec<StruckCalibration>),
        today: Date,
        unit: Option<TorqueUnit>,
    ) -> WrenchReport<'a> {
        let standing = registered.wrench.history().standing(today, None);
        WrenchReport {
            registered,
            cycles,
            calibrations,
            struck,
            standing,
            unit: unit.unwrap_or(registered.wrench.unit()),
        }
    }

    fn parts(&self) -> &WrenchParts {
        self.registered.wrench.parts()
    }

    /// A stretch of the scale, to the digits of its step.
    fn range_text(&self, (low, high): (Torque, Torque)) -> String {
        let resolution = Resolution(self.parts().step.unwrap_or(self.unit.of(0.1)));
        spec_text(Spec::Range { low, high }, resolution, self.unit)
    }

    fn scale_text(&self) -> String {
        self.range_text((self.parts().low, self.parts().high))
    }

    fn standing_word(&self, style: &Style) -> String {
        let standing = standing_text(self.standing);
        match (self.registered.retired_on, self.standing.is_ok()) {
            (Some(day), _) => format!("retired on {day}"),
            (None, true) => style.good(&standing),
            (None, false) => style.bad(&standing),
        }
    }

    fn lengths(&self) -> Vec<String> {
        let lever = self.parts().lever.map(|lever| format!("lever {} mm", millimetres(lever)));
        let adapters = self.parts().adapters.iter();
        lever
            .into_iter()
            .chain(adapters.map(|length| format!("adapter {} mm", millimetres(*length))))
            .collect()
    }
}

/// To a thousandth: a length converted from inches carries the noise of its last bits.
fn millimetres(length: Length) -> f64 {
    (length.get::<millimeter>() * 1e3).round() / 1e3
}

fn doubt_period_text(period: DoubtPeriod) -> String {
    match period.since {
        Some(since) => format!("readings from {since} to {} are in doubt", period.until),
        None => format!("all readings to {} are in doubt", period.until),
    }
}

/// How many operations the workshop book knows of, and how many there may be.
fn cycles_text(wrench: &Wrench, cycles: Option<u32>) -> String {
    let allowed = wrench.parts().interval.cycles;
    match (cycles, wrench.history().counted_from()) {
        (Some(cycles), Some(day)) => {
            let next = if cycles == allowed { "; the next reading will not stand" } else { "" };
            format!("{cycles} of {allowed} operations counted since {day}{next}")
        }
        _ => format!("no good calibration to count from, {allowed} operations allowed"),
    }
}

fn calibration_text((number, done, note): &CountedCalibration) -> String {
    let note = if note.is_empty() { String::new() } else { format!(", {note}") };
    format!("{} {} (number {number}{note})", done.on, done.result.word())
}

fn struck_text(struck: &StruckCalibration) -> String {
    let StruckCalibration { number, done, note, at, who, why } = struck;
    let who = if who.is_empty() { "nobody named" } else { who };
    format!("{}; struck: {who}, {}: {why}", calibration_text(&(*number, *done, note.clone())), at.short())
}

fn standing_text(standing: Result<Date, Uncalibrated>) -> String {
    match standing {
        Ok(until) => format!("calibrated, readings stand until {until}"),
        Err(Uncalibrated::Lapsed { stood_until }) => format!("lapsed, readings stood until {stood_until}"),
        Err(Uncalibrated::CyclesSpent { since, allowed }) => {
            format!("spent, more than the {allowed} operations allowed since {since}")
        }
        Err(Uncalibrated::Never) => "never calibrated".to_owned(),
        Err(Uncalibrated::FailedOn(day)) => format!("failed its calibration on {day}"),
    }
}

impl Report for WrenchReport<'_> {
    const SHEET: (&'static str, &'static str) = ("", COLUMNS);

    fn json(&self) -> Value {
        let (registered, parts, wrench) = (self.registered, self.parts(), &self.registered.wrench);
        let (usable_low, usable_high) = wrench.usable();
        let calibration = |(number, record, note): &CountedCalibration| json!({ "number": number, "on": record.on, "result": record.result.word(), "note": note });
        let struck = |struck: &StruckCalibration| json!({ "number": struck.number, "on": struck.done.on, "result": struck.done.result.word(), "note": struck.note, "struck_at": struck.at.to_string(), "who": struck.who, "why": struck.why });
        let doubt = |period: DoubtPeriod| json!({ "since": period.since, "until": period.until });
        json!({
            "name": wrench.name(),
            "type": parts.kind.text(),
            "unit": wrench.unit().symbol(),
            "low_nm": in_newton_metres(parts.low),
            "high_nm": in_newton_metres(parts.high),
            "step_nm": parts.step.map(in_newton_metres),
            "usable_low_nm": in_newton_metres(usable_low),
            "usable_high_nm": in_newton_metres(usable_high),
            "accuracy_percent": wrench.accuracy().deviation.in_percent(),
            "accuracy_ground": accuracy_text(wrench.accuracy()),
            "anticlockwise": parts.anticlockwise,
            "owner": parts.owner,
            "lever_mm": parts.lever.map(millimetres),
            "adapters_mm": parts.adapters.iter().copied().map(millimetres).collect::<Vec<_>>(),
            "stands": self.standing.is_ok(),
            "standing": standing_text(self.standing),
            "cycles": self.cycles,
            "cycles_allowed": parts.interval.cycles,
            "calibrations": self.calibrations.iter().map(calibration).collect::<Vec<_>>(),
            "struck_calibrations": self.struck.iter().map(struck).collect::<Vec<_>>(),
            "in_doubt": wrench.history().doubt_periods().into_iter().map(doubt).collect::<Vec<_>>(),
            "added_on": registered.added_on,
            "retired_on": registered.retired_on,
        })
    }

    fn text(&self, style: &Style) -> String {
        let (parts, wrench) = (self.parts(), &self.registered.wrench);
        let step = parts.step.map_or_else(
            || "step not known".to_owned(),
            |step| format!("step {}", step_text(step, self.unit)),
        );
        let scale = format!("{}, {step}, usable {}", self.scale_text(), self.range_text(wrench.usable()));
        let direction =
            if parts.anticlockwise { "both ways" } else { "clockwise only: not for left-hand threads" };
        let history = wrench.history();
        let calibrations: Vec<String> = self.calibrations.iter().map(calibration_text).collect();
        let doubts: Vec<String> = history.doubt_periods().into_iter().map(doubt_period_text).collect();
        let mut text = format!("{}  {}\n", style.strong(wrench.name()), parts.kind.text());
        text += &style.listed("Scale", &[scale]);
        text += &style.listed("Accuracy", &[accuracy_text(wrench.accuracy())]);
        text += &style.listed("Measures", &[direction]);
        text += &style.listed("Standing", &[self.standing_word(style)]);
        text += &style.listed("Cycles", &[cycles_text(wrench, self.cycles)]);
        text += &style.listed("History", &calibrations);
        text += &style.listed("Struck", &self.struck.iter().map(struck_text).collect::<Vec<_>>());
        text += &style.listed("Doubt", &doubts);
        let lengths = self.lengths();
        if !lengths.is_empty() {
            text += &style.listed("Lengths", &[lengths.join(", ")]);
        }
        text += &style.listed("Owner", parts.owner.as_slice());
        text
    }
}

impl Report for Vec<WrenchReport<'_>> {
    const SHEET: (&'static str, &'static str) = ("", COLUMNS);

    fn json(&self) -> Value {
        self.iter().map(WrenchReport::json).collect()
    }

    fn text(&self, style: &Style) -> String {
        if self.is_empty() {
            return String::new();
        }
        let rows = self.iter().map(|report| {
            let (parts, wrench) = (report.parts(), &report.registered.wrench);
            let allowed = parts.interval.cycles;
            vec![
                wrench.name().to_owned(),
                parts.kind.text().to_owned(),
                report.scale_text(),
                format!("{} %", wrench.accuracy().deviation.in_percent()),
                report.cycles.map_or_else(|| "–".to_owned(), |cycles| format!("{cycles} of {allowed}")),
                report.standing_word(style),
            ]
        });
        columns(&records(&["wrench", "type", "scale", "accuracy", "cycles", "standing"], rows), style)
    }
}

pub(super) const COLUMNS: &str = "name,type,unit,low_nm,high_nm,step_nm,accuracy_percent,anticlockwise,stands,standing,owner,\
     retired_on,cycles,cycles_allowed";
