//! What was written down, and what it says at once.

use serde::Serialize;

use crate::book::MeasuredItem;
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::report::words::next_text;
use crate::report::words::{governing_text, reason_text};
use crate::report::{Report, Style, sheet, torque_text};
use crate::workshop::{Joint, JointVerdict, Reading, State, Value};

#[derive(Debug, Clone, Serialize)]
struct RecordedLine {
    id: i64,
    bolt: u16,
    taken_at: String,
    kind: &'static str,
    value: String,
    reading_nm: Option<f64>,
    finding: Option<&'static str>,
    action: Option<&'static str>,
    #[serde(skip)]
    told: String,
}

/// Readings that were recorded, with the verdict on their joint.
#[derive(Debug, Clone, Serialize)]
pub struct RecordReport {
    bike: String,
    joint: String,
    specified: String,
    ground: String,
    verdict: &'static str,
    reason: String,
    next: String,
    recorded: Vec<RecordedLine>,
    hints: Vec<String>,
    #[serde(skip)]
    state: State,
}

/// A value as it was read, with its unit.
pub(super) fn value_text(reading: &Reading) -> String {
    match reading.value {
        Some(Value::Torque(read)) => torque_text(read.torque, read.resolution(), read.unit),
        Some(Value::Measure(measure)) => measure.to_string(),
        None => "–".to_owned(),
    }
}

/// A line in a few words: `tightened 5.0 N·m`, `found play, replaced`.
pub fn told(reading: &Reading) -> String {
    let kind = if reading.value.is_some() || reading.finding.is_none() { reading.kind.text() } else { "" };
    let mut text = match (reading.value, reading.measure()) {
        (None, _) => kind.to_owned(),
        (_, Some(_)) => format!("measured {}", value_text(reading)),
        _ => format!("{kind} {}", value_text(reading)),
    };
    let rest = [
        reading.finding.map(|finding| format!("found {}", finding.text())),
        reading.action.map(|action| action.text().to_owned()),
    ];
    for word in rest.into_iter().flatten() {
        text += if text.is_empty() { "" } else { ", " };
        text += &word;
    }
    text
}

impl RecordReport {
    /// The report of recorded readings; `hints` are slips of unit that would explain a value.
    pub fn new(
        bike: &str,
        (joint, verdict): (&Joint, &JointVerdict),
        recorded: &[Reading],
        hints: Vec<String>,
        item: Option<&MeasuredItem>,
        unit: Option<TorqueUnit>,
    ) -> RecordReport {
        let lines = recorded.iter().map(|reading| RecordedLine {
            id: reading.id,
            bolt: reading.bolt,
            taken_at: reading.at.to_string(),
            kind: reading.kind.text(),
            value: value_text(reading),
            reading_nm: reading.torque().map(in_newton_metres),
            finding: reading.finding.map(crate::workshop::Finding::text),
            action: reading.action.map(crate::workshop::Action::text),
            told: told(reading),
        });
        RecordReport {
            bike: bike.to_owned(),
            joint: joint.name.to_string(),
            specified: governing_text(&verdict.governing, unit),
            ground: verdict.governing.word.clone(),
            verdict: verdict.state().text(),
            reason: reason_text(joint, verdict, unit),
            next: next_text(&format!("{bike}/{}", joint.name), joint, verdict, item, unit),
            recorded: lines.collect(),
            hints,
            state: verdict.state(),
        }
    }
}

impl Report for RecordReport {
    fn text(&self, style: &Style) -> String {
        let values: Vec<String> =
            self.recorded.iter().map(|line| format!("bolt {}: {}", line.bolt, line.told)).collect();
        let mut text = style.wrapped(
            &format!("recorded {} for {}/{}: ", self.recorded.len(), self.bike, self.joint),
            &values.join("; "),
        );
        let word = style.decided(self.state.decision(), self.verdict);
        text += &style.wrapped(&format!("{word}: "), &self.reason);
        text += &style.listed("Hint", &self.hints);
        if !self.next.is_empty() {
            text += &style.listed("Next", &[&self.next]);
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "recorded", "id,bike,joint,bolt,taken_at,kind,value,reading_nm,finding,action,verdict")
    }
}

/// What became of a log that was read from a file.
#[derive(Debug, Clone, Serialize)]
pub struct ImportReport {
    /// Rows of the file.
    pub rows: usize,
    /// Rows that were recorded.
    pub recorded: usize,
    /// Rows that were not.
    pub rejected: usize,
    /// The first diagnostics.
    #[serde(rename = "complaints")]
    pub diagnostics: Vec<String>,
    /// Where the rejected rows stand, if any were left out.
    pub rejects_file: Option<String>,
}

impl Report for ImportReport {
    fn text(&self, style: &Style) -> String {
        let mut text =
            format!("{} rows: {} recorded, {} rejected\n", self.rows, self.recorded, self.rejected);
        text += &style.listed("Rejected", &self.diagnostics);
        if self.rejected > self.diagnostics.len() {
            text += &format!("{:<9} and {} more\n", "", self.rejected - self.diagnostics.len());
        }
        if let Some(file) = &self.rejects_file {
            text += &style.listed("See", &[file]);
        } else if self.rejected > 0 {
            text += "Nothing was recorded; --keep-good records the good rows and writes the others beside the file.\n";
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "", "rows,recorded,rejected")
    }
}
