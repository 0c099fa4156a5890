//! What was written down, and what it says at once.

use serde::Serialize;
use serde_json::json;

use super::bicycle::given_json;
use crate::book::MeasuredItem;
use crate::conformity::Kind;
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::report::words::{TooMuch, governing_text, next_text, reason_text, wear_json, wear_text};
use crate::report::{Report, Style, torque_text};
use crate::words::counted;
use crate::workshop::{Action, Finding, Joint, JointVerdict, Reading, Value};

/// Readings that were recorded, with the verdict on their joint.
pub struct RecordReport<'a> {
    pub bike: &'a str,
    pub joint: &'a Joint,
    pub verdict: &'a JointVerdict,
    pub recorded: &'a [Reading],
    /// Slips of unit that would explain a value.
    pub hints: Vec<String>,
    /// What is measured on the joint.
    pub item: Option<&'a MeasuredItem>,
    /// The unit shown; none for that in which each figure is stated.
    pub unit: Option<TorqueUnit>,
}

/// A value as it was read, with its unit.
pub(super) fn value_text(reading: &Reading) -> String {
    match reading.value {
        Some(Value::Torque(read)) => torque_text(read.torque, read.resolution(), read.unit),
        Some(Value::Measure(measure)) => measure.to_string(),
        None => "–".to_owned(),
    }
}

/// What a line is: how its value came about, or that it has none because it says what was found, what was done, or that
/// another one counts no longer.
pub(super) fn kind_text(reading: &Reading) -> &'static str {
    match (reading.kind, reading.finding, reading.action) {
        _ if reading.strikes().is_some() => "strike",
        (Kind::Skipped, Some(_), _) => "finding",
        (Kind::Skipped, None, Some(_)) => "action",
        (kind, ..) => kind.text(),
    }
}

/// A line in a few words: `tightened 5.0 N·m`, `found play, replaced`.
pub fn told(reading: &Reading) -> String {
    if let Some(struck) = reading.strikes() {
        return format!("reading {struck} struck: {}", reading.note);
    }
    let says_more = reading.finding.is_some() || (reading.kind == Kind::Skipped && reading.action.is_some());
    let kind = if reading.value.is_some() || !says_more { reading.kind.text() } else { "" };
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

impl RecordReport<'_> {
    fn reason(&self) -> String {
        reason_text(self.joint, self.verdict, self.unit)
    }

    fn next(&self) -> String {
        let path = format!("{}/{}", self.bike, self.joint.name);
        next_text(&path, self.joint, self.verdict, self.item, self.unit)
    }
}

impl Report for RecordReport<'_> {
    const SHEET: (&'static str, &'static str) = (
        "recorded",
        "id,bike,joint,bolt,taken_at,kind,value,reading_nm,finding,action,verdict,\
                       bolt_limit_nm=too_much.bolt_limit_nm,reason,next,hints,notes,wear_from=wear.from,wear_to=wear.to",
    );

    fn json(&self) -> serde_json::Value {
        let recorded = self.recorded.iter().map(|reading| {
            json!({
                "id": reading.id,
                "bolt": reading.bolt,
                "taken_at": reading.at.to_string(),
                "kind": kind_text(reading),
                "value": value_text(reading),
                "reading_nm": reading.torque().map(in_newton_metres),
                "finding": reading.finding.map(Finding::text),
                "action": reading.action.map(Action::text),
            })
        });
        json!({
            "bike": self.bike,
            "joint": self.joint.name.text(),
            "specified": governing_text(&self.verdict.governing, self.unit),
            "ground": self.verdict.governing.word,
            "orientation": given_json(self.joint, &self.verdict.governing, self.unit),
            "verdict": self.verdict.state().text(),
            "reason": self.reason(),
            "next": self.next(),
            "too_much": TooMuch::of_joint(self.verdict, self.unit),
            "recorded": recorded.collect::<Vec<_>>(),
            "hints": self.hints,
            "notes": self.verdict.governing.notes,
            "wear": wear_json(self.verdict.wear.as_ref()),
        })
    }

    fn text(&self, style: &Style) -> String {
        let values: Vec<String> =
            self.recorded.iter().map(|reading| format!("bolt {}: {}", reading.bolt, told(reading))).collect();
        let mut text = style.wrapped(
            &format!("recorded {} for {}/{}: ", self.recorded.len(), self.bike, self.joint.name),
            &values.join("; "),
        );
        let state = self.verdict.state();
        let word = style.decided(state.decision(), state.text());
        text += &style.wrapped(&format!("{word}: "), &self.reason());
        text += &style.listed("Wear", &self.verdict.wear.iter().map(wear_text).collect::<Vec<_>>());
        text += &style.listed("Hint", &self.hints);
        text += &style.listed("Note", &self.verdict.governing.notes);
        let next = self.next();
        if !next.is_empty() {
            text += &style.listed("Next", &[next]);
        }
        text
    }
}

/// What became of a log that was read from a file.
#[derive(Debug, Clone, Default, Serialize)]
pub struct ImportReport {
    /// Rows of the file.
    pub rows: usize,
    pub recorded: usize,
    pub rejected: usize,
    /// The first diagnostics.
    #[serde(rename = "complaints")]
    pub diagnostics: Vec<String>,
    /// Where the rejected rows stand, if any were left out.
    pub rejects_file: Option<String>,
    /// Whether any reading that was recorded says who read it.
    #[serde(skip)]
    pub names_somebody: bool,
}

impl ImportReport {
    /// Counts a row that was recorded.
    pub fn took(&mut self, names_somebody: bool) {
        self.recorded += 1;
        self.names_somebody |= names_somebody;
    }
}

impl Report for ImportReport {
    const SHEET: (&'static str, &'static str) = ("", "rows,recorded,rejected");

    fn json(&self) -> serde_json::Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = format!(
            "{}: {} recorded, {} rejected\n",
            counted(self.rows, "row"),
            self.recorded,
            self.rejected
        );
        text += &style.listed("Rejected", &self.diagnostics);
        if self.rejected > self.diagnostics.len() {
            text += &format!("{:<9} and {} more\n", "", self.rejected - self.diagnostics.len());
        }
        if let Some(file) = &self.rejects_file {
            text += &style.listed("See", &[file]);
        } else if self.rejected > 0 {
            let said = "Nothing was recorded; --keep-good records the good rows and writes the others beside the file.";
            text += &style.wrapped("", said);
        }
        text
    }
}
