//! Which bicycles are fit to ride, the worst first, a line for each.

use std::cmp::Reverse;

use serde_json::{Value, json};

use super::due::DueReport;
use super::ready::{deciding, unexamined};
use crate::quantity::TorqueUnit;
use crate::report::words::{NextAct, lacking_text, oldest_json, unexamined_text, waived_text};
use crate::report::{Report, Style, columns, records, sheet};
use crate::workshop::{Fitness, JudgedBicycle, WorkshopSnapshot};

/// A fleet, the worst first.
pub struct FleetReady<'a> {
    bikes: Vec<&'a JudgedBicycle>,
    workshop: &'a WorkshopSnapshot,
    unit: Option<TorqueUnit>,
}

impl<'a> FleetReady<'a> {
    /// How many open points of a bicycle are told in full.
    const TOLD: usize = 3;

    pub fn new(
        judged: &'a [JudgedBicycle],
        workshop: &'a WorkshopSnapshot,
        unit: Option<TorqueUnit>,
    ) -> FleetReady<'a> {
        let mut bikes: Vec<&JudgedBicycle> = judged.iter().collect();
        bikes.sort_by_key(|bike| {
            (Reverse((bike.verdict.fitness, open_critical(bike))), bike.stored.bicycle.name.text())
        });
        FleetReady { bikes, workshop, unit }
    }

    pub fn worst(&self) -> Option<Fitness> {
        self.bikes.first().map(|bike| bike.verdict.fitness)
    }

    fn bike_json(&self, bike: &JudgedBicycle) -> Value {
        let critical = open_critical(bike);
        json!({
            "bike": bike.stored.bicycle.name.text(),
            "verdict": bike.verdict.fitness.text(),
            "oldest_evidence": oldest_json(bike.oldest_evidence(self.workshop.now).as_ref()),
            "unexamined_after_crash": unexamined(bike),
            "lacking": bike.lacking,
            "waived": bike.waived,
            "open_critical": critical,
            "open_other": bike.verdict.deciding.len() - critical,
            "deciding": deciding(bike, self.workshop, self.unit).take(FleetReady::TOLD).collect::<Vec<_>>(),
            "next_due_days": DueReport::new(bike, self.workshop).next_days(),
            "next_step": next_step(bike),
        })
    }

    /// A line of the board: what a glance is to tell.
    fn board(&self, bike: &JudgedBicycle) -> Vec<String> {
        let days = |days: f64| format!("{} d", days.floor());
        let oldest = bike.oldest_evidence(self.workshop.now).map(|oldest| format!("{} d", oldest.days));
        let due = DueReport::new(bike, self.workshop);
        let next = if due.is_due() { Some("now".to_owned()) } else { due.next_days().map(days) };
        let none = || "–".to_owned();
        vec![
            bike.stored.bicycle.name.to_string(),
            bike.verdict.fitness.text().to_owned(),
            oldest.unwrap_or_else(none),
            next.unwrap_or_else(none),
            format!("{} of {}", bike.verdict.deciding.len(), bike.joints.len()),
            next_step(bike).unwrap_or_else(none),
        ]
    }

    /// The bicycles under `header`, each with the first of what decides over it.
    fn lines(&self, header: &str) -> Vec<Vec<String>> {
        let line = |bike: &&JudgedBicycle| {
            let first = deciding(bike, self.workshop, self.unit).next();
            let mut line = self.bike_json(bike);
            line["unexamined"] = json!(unexamined(bike).join(" "));
            line["without"] = json!(bike.lacking.join(" "));
            line["unasked"] = json!(bike.waived.join(" "));
            let nobody_looked = || {
                let lacking = (!bike.lacking.is_empty()).then(|| lacking_text(bike));
                let waived = || (!bike.waived.is_empty()).then(|| waived_text(bike));
                bike.unexamined.as_ref().map(unexamined_text).or(lacking).or_else(waived)
            };
            let first = first.map(|open| format!("{}: {}: {}", open.joint, open.verdict, open.reason));
            line["deciding"] = json!(first.or_else(nobody_looked));
            line
        };
        sheet(&self.bikes.iter().map(line).collect(), "", header)
    }
}

/// How many of the joints that decide over a bicycle decide safety.
fn open_critical(bike: &JudgedBicycle) -> usize {
    let deciding = bike.verdict.deciding.iter().filter_map(|&index| bike.joints.get(index));
    deciding.filter(|(joint, _)| joint.critical).count()
}

/// What to do first on a bicycle, in a few words; none where nothing is open.
fn next_step(bike: &JudgedBicycle) -> Option<String> {
    let first = bike.verdict.deciding.first().and_then(|&index| bike.joints.get(index));
    let of_joint = first.map(|(joint, verdict)| match NextAct::of(joint, verdict) {
        NextAct::Alone => format!("{}: {}", joint.name, verdict.state().text()),
        act => format!("{}: {}", joint.name, act.title().to_lowercase()),
    });
    let looked = || bike.unexamined.as_ref().map(|_| "look it over after the crash".to_owned());
    let lacking = || bike.lacking.first().map(|check| format!("{check}: add the hand check"));
    let waived = || bike.waived.first().map(|check| format!("{check}: nobody looks there"));
    looked().or(of_joint).or_else(lacking).or_else(waived)
}

impl Report for FleetReady<'_> {
    fn json(&self) -> Value {
        json!({ "bikes": self.bikes.iter().map(|bike| self.bike_json(bike)).collect::<Vec<_>>() })
    }

    fn text(&self, style: &Style) -> String {
        let count = |fitness| self.bikes.iter().filter(|bike| bike.verdict.fitness == fitness).count();
        let header = ["bike", "verdict", "evidence", "due", "open", "next step"];
        let lines = self.bikes.iter().map(|bike| self.board(bike));
        format!(
            "{}\nBicycles: {}; {} unfit, {} unproven, {} fit with conditions, {} fit\n",
            columns(&records(&header, lines), style),
            self.bikes.len(),
            count(Fitness::Unfit),
            count(Fitness::Unproven),
            count(Fitness::FitWithConditions),
            count(Fitness::Fit)
        )
    }

    fn rows(&self) -> Vec<Vec<String>> {
        self.lines("bike,verdict,open_critical,open_other,oldest_evidence_days=oldest_evidence.days,unexamined_after_crash=unexamined,lacking=without,waived=unasked,deciding,next_due_days,next_step")
    }
}
