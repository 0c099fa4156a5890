//! The history of a joint: every reading, with the limits and a plot in plain characters.

use std::collections::{HashMap, HashSet};

use serde_json::{Value, json};

use super::recall::{not_shown_json, not_shown_text};
use super::record::{kind_text, value_text};
use crate::book::Check;
use crate::quantity::{Measure, MeasureLimit, MeasureUnit, TorqueUnit, in_newton_metres};
use crate::report::words::{governing_text, reason_text, wear_json, wear_text};
use crate::report::{Band, Report, Style, columns, records};
use crate::workshop::{Action, Finding, Joint, JointVerdict, Logged, NotShown, Reading, WorkshopSnapshot};

/// What the values of a plot are in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlottedUnit {
    Torque(TorqueUnit),
    Measure(Option<MeasureUnit>),
}

/// The history of a joint.
pub struct HistoryReport<'a> {
    pub bike: &'a str,
    pub joint: &'a Joint,
    verdict: &'a JointVerdict,
    /// The readings, oldest first.
    pub readings: Vec<Logged>,
    not_shown: NotShown,
    unit: Option<TorqueUnit>,
    /// What counts for what is measured, each source apart.
    pub(super) allowed: Vec<MeasureLimit>,
    /// Expanded uncertainty of each reading, in the unit of the plot, in their order.
    uncertainties: HashMap<i64, f64>,
    /// The numbers of the lines that strike others.
    strikes: HashSet<i64>,
}

impl<'a> HistoryReport<'a> {
    const WIDTH: usize = 40;

    pub fn new(
        bike: &'a str,
        joint: &'a Joint,
        verdict: &'a JointVerdict,
        (mut readings, not_shown): (Vec<Logged>, NotShown),
        unit: Option<TorqueUnit>,
    ) -> HistoryReport<'a> {
        readings.sort_by_key(|logged| (logged.reading.at, logged.reading.id));
        let strikes = readings.iter().filter(|row| row.reading.strikes().is_some());
        let strikes = strikes.map(|row| row.reading.id).collect();
        let (allowed, uncertainties) = (Vec::new(), HashMap::new());
        HistoryReport { bike, joint, verdict, readings, not_shown, unit, allowed, uncertainties, strikes }
    }

    /// The same with what else is known in the workshop: the limits of what is measured, and how good the wrenches are.
    #[must_use]
    pub fn in_workshop(self, workshop: &WorkshopSnapshot) -> HistoryReport<'a> {
        let allowed = match self.joint.check {
            Check::Measure => self.joint.measure_limits(workshop.items.get(&self.joint.entry)),
            _ => Vec::new(),
        };
        let limits = self.verdict.governing.limits.as_ref();
        let of = |row: &Logged| Some((row.reading.id, workshop.expanded(&row.reading, limits)?));
        let uncertainties = self.readings.iter().filter_map(of).collect();
        HistoryReport { allowed, uncertainties, ..self }
    }

    /// Expanded uncertainty of a reading, in N·m or in the unit in which measures are compared, where it is known.
    pub(super) fn uncertainty(&self, row: &Logged) -> Option<f64> {
        self.uncertainties.get(&row.reading.id).copied()
    }

    /// What is specified, with its unit.
    pub fn specified(&self) -> String {
        if self.allowed.is_empty() {
            return governing_text(&self.verdict.governing, self.unit);
        }
        let mut each: Vec<String> = self.allowed.iter().map(MeasureLimit::to_string).collect();
        each.dedup();
        each.join(", ")
    }

    /// The unit of the plot: that of the torques, or that in which measures are compared.
    pub(super) fn plotted_unit(&self) -> PlottedUnit {
        match self.joint.check {
            Check::Measure => PlottedUnit::Measure(
                self.allowed.first().and_then(MeasureLimit::unit).map(MeasureUnit::compared_in),
            ),
            _ => PlottedUnit::Torque(self.unit.unwrap_or(self.verdict.governing.unit)),
        }
    }

    /// Each thing that is specified apart: lowest and highest value, in N·m or in the unit in which measures are compared.
    pub(super) fn bands(&self) -> Vec<(Option<f64>, Option<f64>)> {
        let of_torques = self.limits().map(|band| (band.low_nm, band.high_nm));
        let ends = |limit: &MeasureLimit| [limit.low, limit.high].map(|end| end.map(Measure::compared));
        let of_measures = self.allowed.iter().map(ends).map(|[low, high]| (low, high));
        of_torques.into_iter().chain(of_measures).collect()
    }

    pub fn limits(&self) -> Option<Band> {
        self.verdict.governing.limits.as_ref().map(Band::of_limits)
    }

    /// The readings that can be drawn, with their torques in N·m, or what was measured.
    pub fn drawn(&self) -> impl Iterator<Item = (&Logged, f64)> {
        let measures = self.joint.check == Check::Measure;
        let value = move |reading: &Reading| {
            if measures {
                reading.measure().map(Measure::compared)
            } else {
                reading.torque().map(in_newton_metres)
            }
        };
        self.readings.iter().filter_map(move |row| Some((row, value(&row.reading)?)))
    }

    /// Lowest and highest torque to be drawn, with the limits; none where there is nothing to draw.
    pub fn extent(&self) -> Option<(f64, f64)> {
        let ends = self.bands().into_iter().flat_map(|(low, high)| [low, high]).flatten();
        let all: Vec<f64> = self.drawn().map(|(_, nm)| nm).chain(ends).collect();
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = if self.joint.check == Check::Measure { high.abs() * 0.01 } else { 0.1 };
        let room = ((high - low) * 0.1).max(least);
        (low <= high).then_some((low - room, high + room))
    }

    /// One line of the plot over that extent: the limits as `[` and `]`, the value as `o`, corrected as `x`.
    fn plotted(&self, (low, high): (f64, f64), row: &Logged, nm: f64) -> String {
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
        for (low, high) in self.bands() {
            put(low, '[');
            put(high, ']');
        }
        put(Some(nm), if row.corrected_by.is_some() { 'x' } else { 'o' });
        line.into_iter().collect()
    }

    /// What became of a reading that the line of that number corrects.
    fn taken_back(&self, by: i64) -> &'static str {
        if self.strikes.contains(&by) { "struck" } else { "corrected" }
    }

    fn remarks(&self, row: &Logged) -> String {
        let reading = &row.reading;
        let mut said: Vec<String> = Vec::new();
        said.extend(reading.finding.map(|finding| format!("found {}", finding.text())));
        said.extend(reading.action.map(|action| action.text().to_owned()));
        said.extend(reading.wrench.as_ref().map(|name| format!("wrench {name}")));
        said.extend([&reading.who, &reading.note].into_iter().filter(|text| !text.is_empty()).cloned());
        let strikes = reading.strikes();
        said.extend(strikes.map(|id| format!("strikes {id}")));
        said.extend(reading.corrects.filter(|_| strikes.is_none()).map(|id| format!("corrects {id}")));
        said.extend(row.corrected_by.map(|id| format!("{} by {id}", self.taken_back(id))));
        said.join(", ")
    }
}

impl Report for HistoryReport<'_> {
    const SHEET: (&'static str, &'static str) = (
        "readings",
        "id,taken_at,bolt,kind,value,reading_nm,wrench,finding,action,who,note,corrects,strikes,corrected_by,\
         wear_from=wear.from,wear_to=wear.to",
    );

    fn json(&self) -> Value {
        let row = |row: &Logged| {
            let reading = &row.reading;
            let uncertainty = self.uncertainty(row);
            json!({
                "id": reading.id,
                "taken_at": reading.at.to_string(),
                "bolt": reading.bolt,
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
                "corrected_by": row.corrected_by,
                "expanded_u_nm": reading.torque().and(uncertainty),
            })
        };
        json!({
            "bike": self.bike,
            "joint": self.joint.name.text(),
            "specified": self.specified(),
            "limits": self.limits(),
            "verdict": self.verdict.state().text(),
            "reason": reason_text(self.joint, self.verdict, self.unit),
            "wear": wear_json(self.verdict.wear.as_ref()),
            "not_shown": not_shown_json(self.not_shown),
            "readings": self.readings.iter().map(row).collect::<Vec<_>>(),
        })
    }

    fn text(&self, style: &Style) -> String {
        let mut text = format!(
            "{}: {} against {}\n",
            style.strong(&format!("{}/{}", self.bike, self.joint.name)),
            self.verdict.state().text(),
            self.specified()
        );
        text += &style.wrapped("", &reason_text(self.joint, self.verdict, self.unit));
        text +=
            &self.verdict.wear.as_ref().map_or_else(String::new, |wear| style.wrapped("", &wear_text(wear)));
        if self.readings.is_empty() {
            return text + &not_shown_text(self.not_shown, style);
        }
        let rows = self.readings.iter().map(|row| {
            let reading = &row.reading;
            vec![
                reading.id.to_string(),
                reading.at.short(),
                reading.bolt.to_string(),
                kind_text(reading).to_owned(),
                value_text(reading),
                self.remarks(row),
            ]
        });
        text += "\n";
        text += &columns(&records(&["id", "taken at", "bolt", "kind", "value", "remarks"], rows), style);
        if let Some(extent) = self.extent() {
            let what = match self.plotted_unit() {
                PlottedUnit::Torque(_) => "Torque".to_owned(),
                PlottedUnit::Measure(unit) => {
                    unit.map_or_else(|| "Measured".to_owned(), |unit| format!("Measured in {unit}"))
                }
            };
            let said = format!("{what}, with the limits as [ and ], a corrected reading as x");
            text += &format!("\n{}", style.wrapped("", &said));
            for (row, nm) in self.drawn() {
                let (id, value) = (row.reading.id, value_text(&row.reading));
                text += format!("{id:>6} |{}| {value}", self.plotted(extent, row, nm)).trim_end();
                text += "\n";
            }
        }
        text + &not_shown_text(self.not_shown, style)
    }
}

#[cfg(test)]
#[path = "history_tests.rs"]
mod tests;
