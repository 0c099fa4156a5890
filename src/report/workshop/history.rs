//! The history of a joint: every reading, with the limits and a plot in plain characters.

use serde::Serialize;

use super::record::value_text;
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::report::words::{governing_text, reason_text};
use crate::report::{Band, Report, Style, columns, records, sheet};
use crate::workshop::{Action, Finding, Joint, JointVerdict, Logged};

/// One reading of the history.
#[derive(Debug, Clone, Serialize)]
pub struct HistoryRow {
    /// Its number.
    pub id: i64,
    /// When.
    pub taken_at: String,
    /// Bolt.
    pub bolt: u16,
    /// Kind.
    pub kind: &'static str,
    /// The value as read.
    pub value: String,
    /// The torque in N·m.
    pub reading_nm: Option<f64>,
    wrench: Option<String>,
    finding: Option<&'static str>,
    action: Option<&'static str>,
    who: String,
    note: String,
    corrects: Option<i64>,
    /// The reading that corrects it.
    pub corrected_by: Option<i64>,
}

/// The history of a joint.
#[derive(Debug, Clone, Serialize)]
pub struct HistoryReport {
    /// Bicycle.
    pub bike: String,
    /// Joint.
    pub joint: String,
    /// What is specified, with its unit.
    pub specified: String,
    /// The limits.
    pub limits: Option<Band>,
    verdict: &'static str,
    reason: String,
    /// The readings, oldest first.
    pub readings: Vec<HistoryRow>,
}

impl HistoryReport {
    /// Columns of the plot.
    const WIDTH: usize = 40;

    /// The report of a joint's readings.
    pub fn new(
        bike: &str,
        joint: &Joint,
        verdict: &JointVerdict,
        mut log: Vec<Logged>,
        unit: Option<TorqueUnit>,
    ) -> HistoryReport {
        log.sort_by_key(|logged| (logged.reading.at, logged.reading.id));
        let rows = log.into_iter().map(|logged| HistoryRow {
            id: logged.reading.id,
            taken_at: logged.reading.at.to_string(),
            bolt: logged.reading.bolt,
            kind: logged.reading.kind.text(),
            value: value_text(&logged.reading),
            reading_nm: logged.reading.torque().map(in_newton_metres),
            wrench: logged.reading.wrench.clone(),
            finding: logged.reading.finding.map(Finding::text),
            action: logged.reading.action.map(Action::text),
            who: logged.who,
            note: logged.note,
            corrects: logged.corrects,
            corrected_by: logged.corrected_by,
        });
        HistoryReport {
            bike: bike.to_owned(),
            joint: joint.name.to_string(),
            specified: governing_text(&verdict.governing, unit),
            limits: verdict.governing.limits.as_ref().map(Band::of_limits),
            verdict: verdict.state().text(),
            reason: reason_text(joint, verdict, unit),
            readings: rows.collect(),
        }
    }

    /// Lowest and highest torque to be drawn, with the limits; none where there is nothing to draw.
    pub fn extent(&self) -> Option<(f64, f64)> {
        let ends = self.limits.iter().flat_map(|band| [band.low_nm, band.high_nm]).flatten();
        let all: Vec<f64> = self.readings.iter().filter_map(|row| row.reading_nm).chain(ends).collect();
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let room = ((high - low) * 0.1).max(0.1);
        (low <= high).then_some((low - room, high + room))
    }

    /// One line of the plot: the limits as `[` and `]`, the value as `o`, corrected as `x`.
    fn plotted(&self, row: &HistoryRow) -> String {
        let Some((low, high)) = self.extent() else { return String::new() };
        let mut line = vec![' '; HistoryReport::WIDTH];
        let mut put = |torque: Option<f64>, sign: char| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the width")]
            #[expect(clippy::cast_precision_loss, reason = "a few dozen columns")]
            let column =
                |nm: f64| ((nm - low) / (high - low) * (HistoryReport::WIDTH - 1) as f64).round() as usize;
            if let Some(cell) = torque.and_then(|nm| line.get_mut(column(nm))) {
                *cell = sign;
            }
        };
        put(self.limits.and_then(|band| band.low_nm), '[');
        put(self.limits.and_then(|band| band.high_nm), ']');
        put(row.reading_nm, if row.corrected_by.is_some() { 'x' } else { 'o' });
        line.into_iter().collect()
    }

    fn remarks(row: &HistoryRow) -> String {
        let mut said: Vec<String> = Vec::new();
        said.extend(row.finding.map(|word| format!("found {word}")));
        said.extend(row.action.map(str::to_owned));
        said.extend(row.wrench.as_ref().map(|name| format!("wrench {name}")));
        said.extend([&row.who, &row.note].into_iter().filter(|text| !text.is_empty()).cloned());
        said.extend(row.corrects.map(|id| format!("corrects {id}")));
        said.extend(row.corrected_by.map(|id| format!("corrected by {id}")));
        said.join(", ")
    }
}

impl Report for HistoryReport {
    fn text(&self, style: &Style) -> String {
        let mut text = format!(
            "{}: {} against {}\n",
            style.strong(&format!("{}/{}", self.bike, self.joint)),
            self.verdict,
            self.specified
        );
        text += &style.wrapped("", &self.reason);
        if self.readings.is_empty() {
            return text;
        }
        let rows = self.readings.iter().map(|row| {
            vec![
                row.id.to_string(),
                row.taken_at.get(..16).unwrap_or(&row.taken_at).replace('T', " "),
                row.bolt.to_string(),
                row.kind.to_owned(),
                row.value.clone(),
                HistoryReport::remarks(row),
            ]
        });
        text += "\n";
        text += &columns(&records(&["id", "taken at", "bolt", "kind", "value", "remarks"], rows), style);
        if self.extent().is_some() {
            text += "\nTorque, with the limits as [ and ], a corrected reading as x\n";
            for row in self.readings.iter().filter(|row| row.reading_nm.is_some()) {
                let line = format!("{:>6} |{}| {}", row.id, self.plotted(row), row.value);
                text += line.trim_end();
                text += "\n";
            }
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(
            self,
            "readings",
            "id,taken_at,bolt,kind,value,reading_nm,wrench,finding,action,who,note,corrects,corrected_by",
        )
    }
}
