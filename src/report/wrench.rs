//! Registered wrenches: what they are and whether their readings stand.

use jiff::civil::Date;
use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::figure::{spec_text, step_text};
use super::words::accuracy_text;
use super::{Report, Style, columns, records, sheet};
use crate::conformity::Uncalibrated;
use crate::quantity::{Resolution, Spec, Torque, TorqueUnit, in_newton_metres};
use crate::wrench::{Calibration, CalibrationResult, DoubtPeriod, RegisteredWrench, Wrench};

/// One line for each wrench.
#[derive(Debug, Serialize)]
#[serde(transparent)]
pub struct WrenchList(Vec<WrenchReport>);

impl WrenchList {
    /// The wrenches with their operations since the last good calibration, their standing on `today`,
    /// torques in `unit` or in that of each scale.
    pub fn new(
        wrenches: &[(RegisteredWrench, Option<u32>)],
        today: Date,
        unit: Option<TorqueUnit>,
    ) -> WrenchList {
        let line = |(wrench, cycles): &(RegisteredWrench, _)| WrenchReport::new(wrench, *cycles, today, unit);
        WrenchList(wrenches.iter().map(line).collect())
    }
}

/// One wrench with its calibrations.
#[derive(Debug, Serialize)]
pub struct WrenchReport {
    name: String,
    #[serde(rename = "type")]
    kind: &'static str,
    unit: &'static str,
    low_nm: f64,
    high_nm: f64,
    step_nm: Option<f64>,
    usable_low_nm: f64,
    usable_high_nm: f64,
    accuracy_percent: f64,
    accuracy_ground: String,
    anticlockwise: bool,
    owner: Option<String>,
    lever_mm: Option<f64>,
    adapters_mm: Vec<f64>,
    stands: bool,
    standing: String,
    cycles: Option<u32>,
    cycles_allowed: u32,
    calibrations: Vec<CalibrationLine>,
    in_doubt: Vec<DoubtLine>,
    added_on: String,
    retired_on: Option<String>,
    #[serde(skip)]
    scale_text: String,
    #[serde(skip)]
    usable_text: String,
    #[serde(skip)]
    step_text: String,
    #[serde(skip)]
    cycles_text: String,
}

#[derive(Debug, Serialize)]
struct CalibrationLine {
    on: String,
    result: &'static str,
}

#[derive(Debug, Serialize)]
struct DoubtLine {
    since: Option<String>,
    until: String,
}

impl WrenchReport {
    /// The report of a wrench with its operations since the last good calibration, its standing on
    /// `today`, torques in `unit` or in that of its scale.
    pub fn new(
        registered: &RegisteredWrench,
        cycles: Option<u32>,
        today: Date,
        unit: Option<TorqueUnit>,
    ) -> WrenchReport {
        let wrench = &registered.wrench;
        let parts = wrench.parts();
        let unit = unit.unwrap_or(registered.unit);
        let resolution = Resolution(parts.step.unwrap_or(unit.of(0.1)));
        let range = |low: Torque, high: Torque| spec_text(Spec::Range { low, high }, resolution, unit);
        let (usable_low, usable_high) = wrench.usable();
        let standing = wrench.history().standing(today, None);
        WrenchReport {
            name: wrench.name().to_owned(),
            kind: parts.kind.text(),
            unit: registered.unit.symbol(),
            low_nm: in_newton_metres(parts.low),
            high_nm: in_newton_metres(parts.high),
            step_nm: parts.step.map(in_newton_metres),
            usable_low_nm: in_newton_metres(usable_low),
            usable_high_nm: in_newton_metres(usable_high),
            accuracy_percent: wrench.accuracy().deviation().in_percent(),
            accuracy_ground: accuracy_text(wrench.accuracy()),
            anticlockwise: parts.anticlockwise,
            owner: parts.owner.clone(),
            lever_mm: parts.lever.map(|lever| lever.get::<millimeter>()),
            adapters_mm: parts.adapters.iter().map(Length::get::<millimeter>).collect(),
            stands: standing.is_ok(),
            standing: standing_text(standing),
            cycles,
            cycles_allowed: parts.interval.cycles(),
            calibrations: calibrations(wrench),
            in_doubt: doubts(wrench),
            added_on: registered.added_on.to_string(),
            retired_on: registered.retired_on.map(|day| day.to_string()),
            scale_text: range(parts.low, parts.high),
            usable_text: range(usable_low, usable_high),
            step_text: parts.step.map_or_else(
                || "step not known".to_owned(),
                |step| format!("step {}", step_text(step, unit)),
            ),
            cycles_text: cycles_text(wrench, cycles),
        }
    }

    fn standing_word(&self, style: &Style) -> String {
        match (&self.retired_on, self.stands) {
            (Some(day), _) => format!("retired on {day}"),
            (None, true) => style.good(&self.standing),
            (None, false) => style.bad(&self.standing),
        }
    }
}

fn calibrations(wrench: &Wrench) -> Vec<CalibrationLine> {
    let line = |record: &Calibration| CalibrationLine {
        on: record.on.to_string(),
        result: match record.result {
            CalibrationResult::Passed => "passed",
            CalibrationResult::Failed => "failed",
        },
    };
    wrench.history().records().iter().map(line).collect()
}

fn doubts(wrench: &Wrench) -> Vec<DoubtLine> {
    let line = |period: DoubtPeriod| DoubtLine {
        since: period.since.map(|day| day.to_string()),
        until: period.until.to_string(),
    };
    wrench.history().doubt_periods().into_iter().map(line).collect()
}

/// How many operations the workshop book knows of, and how many there may be.
fn cycles_text(wrench: &Wrench, cycles: Option<u32>) -> String {
    let allowed = wrench.parts().interval.cycles();
    match (cycles, wrench.history().counted_from()) {
        (Some(cycles), Some(day)) => {
            let next = if cycles == allowed { "; the next reading will not stand" } else { "" };
            format!("{cycles} of {allowed} operations counted since {day}{next}")
        }
        _ => format!("no good calibration to count from, {allowed} operations allowed"),
    }
}

/// What a calibration is worth, in words.
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

impl Report for WrenchReport {
    fn text(&self, style: &Style) -> String {
        let mut text = format!("{}  {}\n", style.strong(&self.name), self.kind);
        text += &style.listed(
            "Scale",
            &[format!("{}, {}, usable {}", self.scale_text, self.step_text, self.usable_text)],
        );
        text += &style.listed("Accuracy", &[&self.accuracy_ground]);
        let direction =
            if self.anticlockwise { "both ways" } else { "clockwise only: not for left-hand threads" };
        text += &style.listed("Measures", &[direction]);
        text += &style.listed("Standing", &[self.standing_word(style)]);
        text += &style.listed("Cycles", &[&self.cycles_text]);
        let calibrations: Vec<String> =
            self.calibrations.iter().map(|line| format!("{} {}", line.on, line.result)).collect();
        text += &style.listed("History", &calibrations);
        let doubts: Vec<String> = self
            .in_doubt
            .iter()
            .map(|period| match &period.since {
                Some(since) => format!("readings from {since} to {} are in doubt", period.until),
                None => format!("all readings to {} are in doubt", period.until),
            })
            .collect();
        text += &style.listed("Doubt", &doubts);
        let lever = self.lever_mm.map(|mm| format!("lever {mm} mm"));
        let adapters = self.adapters_mm.iter().map(|mm| format!("adapter {mm} mm"));
        let lengths: Vec<String> = lever.into_iter().chain(adapters).collect();
        if !lengths.is_empty() {
            text += &style.listed("Lengths", &[lengths.join(", ")]);
        }
        if let Some(owner) = &self.owner {
            text += &style.listed("Owner", &[owner]);
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "", COLUMNS)
    }
}

impl Report for WrenchList {
    fn text(&self, style: &Style) -> String {
        if self.0.is_empty() {
            return String::new();
        }
        let rows = self.0.iter().map(|wrench| {
            vec![
                wrench.name.clone(),
                wrench.kind.to_owned(),
                wrench.scale_text.clone(),
                format!("{} %", wrench.accuracy_percent),
                wrench.cycles.map_or_else(
                    || "–".to_owned(),
                    |cycles| format!("{cycles} of {}", wrench.cycles_allowed),
                ),
                wrench.standing_word(style),
            ]
        });
        columns(&records(&["wrench", "type", "scale", "accuracy", "cycles", "standing"], rows), style)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "", COLUMNS)
    }
}

/// The columns of a wrench.
const COLUMNS: &str = "name,type,unit,low_nm,high_nm,step_nm,accuracy_percent,anticlockwise,stands,standing,owner,\
     retired_on,cycles,cycles_allowed";
