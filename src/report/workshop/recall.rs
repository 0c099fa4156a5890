//! What was read with a wrench, of an entry, by a person: joint by joint, where it stands now and what is in doubt.

use serde_json::{Value, json};

use super::record::{kind_text, value_text};
use crate::quantity::in_newton_metres;
use crate::report::{Report, Style, columns, doubt_text, records};
use crate::words::counted;
use crate::workshop::{Action, Finding, NotShown, Recalled, State};

/// Readings that were looked up.
pub struct RecallReport<'a> {
    /// What was asked for, each as the option that asks for it and its value.
    pub asked: Vec<(&'static str, String)>,
    /// Joint by joint, those of a bolt oldest first.
    pub readings: &'a [Recalled],
    pub not_shown: NotShown,
}

/// The columns of one reading in a sheet.
const RECALLED: &str = "bike,joint,bolt,entry,id,taken_at,kind,value,reading_nm,wrench,finding,\
     action,who,note,corrects,strikes,corrected_by,verdict,taken_off,bike_retired_at,in_doubt,doubts";

/// One reading, for programs.
pub(in crate::report) fn recalled_json(one: &Recalled) -> Value {
    let (logged, reading) = (&one.logged, &one.logged.reading);
    json!({
        "bike": logged.bicycle,
        "joint": logged.joint,
        "bolt": reading.bolt,
        "entry": logged.entry,
        "id": reading.id,
        "taken_at": reading.at.to_string(),
        "kind": kind_text(reading),
        "value": value_text(reading),
        "reading_nm": reading.torque().map(in_newton_metres),
        "wrench": reading.wrench,
        "finding": reading.finding.map(Finding::text),
        "action": reading.action.map(Action::text),
        "who": reading.who,
        "note": reading.note,
        "corrects": reading.corrects,
        "strikes": reading.strikes(),
        "corrected_by": logged.corrected_by,
        "verdict": one.now.map(State::text),
        "taken_off": logged.removed,
        "bike_retired_at": one.retired.map(|at| at.to_string()),
        "in_doubt": !one.doubts.is_empty(),
        "doubts": doubts(one),
    })
}

fn doubts(one: &Recalled) -> Vec<String> {
    one.doubts.iter().map(|doubt| doubt_text(*doubt, one.unit)).collect()
}

/// Readings joint by joint, each joint with where it stands now, and beneath them why some are in doubt; `wrench` where
/// not all are of one that was named.
pub(in crate::report) fn recalled_text(readings: &[Recalled], wrench: bool, style: &Style) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut text = String::new();
    for of_joint in readings.chunk_by(|a, b| a.joint == b.joint) {
        let Some(first) = of_joint.first() else { continue };
        text += &format!("\n{}\n", joint_text(first, style));
        let rows: Vec<Vec<String>> = of_joint.iter().map(|one| row(one, wrench, &mut said)).collect();
        text += &columns(&records(&["id", "taken at", "bolt", "kind", "value", "remarks"], rows), style);
    }
    let numbered = said.iter().enumerate().map(|(index, doubt)| format!("({}) {doubt}", index + 1));
    let numbered: Vec<String> = numbered.collect();
    if !numbered.is_empty() {
        text += "\n";
        text += &style.listed("In doubt", &numbered);
    }
    text
}

/// A joint and where it stands now.
fn joint_text(one: &Recalled, style: &Style) -> String {
    let joint = style.strong(&format!("{}/{}", one.logged.bicycle, one.logged.joint));
    let now = match one.now {
        Some(state) => format!("today {}", style.decided(state.decision(), state.text())),
        None => "taken off".to_owned(),
    };
    let retired = one.retired.map(|at| format!(", its bicycle retired on {}", at.date())).unwrap_or_default();
    format!("{joint}: {now}{retired}")
}

fn row(one: &Recalled, wrench: bool, said: &mut Vec<String>) -> Vec<String> {
    let reading = &one.logged.reading;
    let mut remarks: Vec<String> = Vec::new();
    if !one.doubts.is_empty() {
        let numbers: Vec<String> = doubts(one).into_iter().map(|doubt| number_of(doubt, said)).collect();
        remarks.push(format!("in doubt ({})", numbers.join(", ")));
    }
    remarks.extend(reading.finding.map(|finding| format!("found {}", finding.text())));
    remarks.extend(reading.action.map(|action| action.text().to_owned()));
    remarks.extend(reading.wrench.as_ref().filter(|_| wrench).map(|name| format!("wrench {name}")));
    remarks.extend([&reading.who, &reading.note].into_iter().filter(|text| !text.is_empty()).cloned());
    match reading.strikes() {
        Some(struck) => remarks.push(format!("strikes {struck}")),
        None => remarks.extend(reading.corrects.map(|id| format!("corrects {id}"))),
    }
    let taken_back = if one.struck { "struck" } else { "corrected" };
    remarks.extend(one.logged.corrected_by.map(|id| format!("{taken_back} by {id}")));
    vec![
        reading.id.to_string(),
        reading.at.short(),
        reading.bolt.to_string(),
        kind_text(reading).to_owned(),
        value_text(reading),
        remarks.join(", "),
    ]
}

/// The number under which a doubt is told.
fn number_of(doubt: String, said: &mut Vec<String>) -> String {
    let known = said.iter().position(|known| *known == doubt);
    let index = known.unwrap_or_else(|| {
        said.push(doubt);
        said.len() - 1
    });
    (index + 1).to_string()
}

/// What is not shown, and how to see it; empty where all is.
pub(super) fn not_shown_text(NotShown { older, taken_back }: NotShown, style: &Style) -> String {
    let mut parts = Vec::new();
    if older > 0 {
        parts.push(counted(older, "older reading"));
    }
    if taken_back > 0 {
        parts.push(counted(taken_back, "line") + " corrected or struck");
    }
    if parts.is_empty() {
        return String::new();
    }
    format!("\n{}", style.wrapped("Not shown: ", &format!("{}; --all shows them", parts.join(" and "))))
}

pub(super) fn not_shown_json(NotShown { older, taken_back }: NotShown) -> Value {
    json!({ "older": older, "taken_back": taken_back })
}

impl RecallReport<'_> {
    fn in_doubt(&self) -> usize {
        self.readings.iter().filter(|one| !one.doubts.is_empty()).count()
    }

    fn asked_text(&self) -> String {
        let asked = self.asked.iter().map(|(option, value)| format!("{option} {value}"));
        asked.collect::<Vec<_>>().join(", ")
    }
}

impl Report for RecallReport<'_> {
    const SHEET: (&'static str, &'static str) = ("readings", RECALLED);

    fn json(&self) -> Value {
        let asked: serde_json::Map<String, Value> =
            self.asked.iter().map(|(option, value)| ((*option).to_owned(), json!(value))).collect();
        json!({
            "asked": asked,
            "in_doubt": self.in_doubt(),
            "not_shown": not_shown_json(self.not_shown),
            "readings": self.readings.iter().map(recalled_json).collect::<Vec<_>>(),
        })
    }

    fn text(&self, style: &Style) -> String {
        let count = counted(self.readings.len(), "reading");
        let mut text =
            style.wrapped("", &format!("{}: {count}, {} in doubt", self.asked_text(), self.in_doubt()));
        let one_wrench = self.asked.iter().any(|(option, _)| *option == "wrench");
        text += &recalled_text(self.readings, !one_wrench, style);
        text + &not_shown_text(self.not_shown, style)
    }
}
