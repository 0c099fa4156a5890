//! A bicycle with its joints and the figure that counts for each; the list of bicycles.

use serde::Serialize;

use crate::book::{Check, MeasuredItem};
use crate::quantity::TorqueUnit;
use crate::report::words::governing_text;
use crate::report::{Band, Report, Style, columns, records, sheet};
use crate::workshop::{Governing, Joint, JudgedBicycle, StoredBicycle, WorkshopSnapshot};

#[derive(Debug, Clone, Serialize)]
struct JointLine {
    joint: String,
    place: String,
    check: &'static str,
    entry: String,
    name: String,
    bolts: u16,
    critical: bool,
    specified: String,
    limits: Option<Band>,
    ground: String,
    thread: String,
    condition: String,
    photo: String,
    verdict: &'static str,
    notes: Vec<String>,
}

/// A bicycle as the workshop knows it.
#[derive(Debug, Clone, Serialize)]
pub struct BicycleReport {
    bike: String,
    kind: String,
    frame: String,
    owner: String,
    note: String,
    added_at: String,
    retired_at: Option<String>,
    verdict: &'static str,
    joints: Vec<JointLine>,
}

impl BicycleReport {
    /// The report of a judged bicycle.
    pub fn new(
        judged: &JudgedBicycle,
        workshop: &WorkshopSnapshot,
        unit: Option<TorqueUnit>,
    ) -> BicycleReport {
        let joints = judged.joints.iter().map(|(joint, verdict)| {
            let governing = &verdict.governing;
            let item = workshop.items.get(&joint.entry);
            let (specified, ground) = specified(joint, governing, item, unit);
            JointLine {
                joint: joint.name.to_string(),
                place: joint.place.clone(),
                check: joint.check.text(),
                entry: joint.entry.clone(),
                name: workshop.hardware.get(&joint.entry).map_or_else(
                    || item.map(|item| item.name.clone()).unwrap_or_default(),
                    |hardware| hardware.name.clone(),
                ),
                bolts: joint.bolts,
                critical: joint.critical,
                specified,
                limits: governing.limits.as_ref().map(Band::of_limits),
                ground,
                thread: joint.thread.clone(),
                condition: joint.condition.clone(),
                photo: joint.photo.clone(),
                verdict: verdict.state().text(),
                notes: governing.notes.clone(),
            }
        });
        let bicycle = &judged.stored.bicycle;
        BicycleReport {
            bike: bicycle.name.to_string(),
            kind: bicycle.kind.clone(),
            frame: bicycle.frame.clone(),
            owner: bicycle.owner.clone(),
            note: bicycle.note.clone(),
            added_at: bicycle.added.to_string(),
            retired_at: bicycle.retired.map(|at| at.to_string()),
            verdict: judged.verdict.fitness.text(),
            joints: joints.collect(),
        }
    }
}

/// What is specified for a joint, and on whose word.
fn specified(
    joint: &Joint,
    governing: &Governing,
    item: Option<&MeasuredItem>,
    unit: Option<TorqueUnit>,
) -> (String, String) {
    match joint.check {
        Check::Torque => (governing_text(governing, unit), governing.word.clone()),
        _ if joint.figures.damaged(joint.check).is_some() => ("–".to_owned(), governing.word.clone()),
        Check::Function => ("by hand".to_owned(), "no play, turns freely, quiet, sits tight".to_owned()),
        Check::Measure => {
            let marked = joint.figures.markings.first();
            let own = marked.map(|mark| (mark.figure.text().to_owned(), "figure on the part".to_owned()));
            own.or_else(|| item.map(known_limits)).unwrap_or_default()
        }
    }
}

/// The limit of a measured check where all sources agree, and what is measured, or whose limits differ.
fn known_limits(item: &MeasuredItem) -> (String, String) {
    match item.limits.as_slice() {
        [one] => (one.limit.to_string(), format!("{}; {}", item.measured(), one.variant)),
        limits => {
            let each = limits.iter().map(|known| format!("{} ({})", known.limit, known.variant));
            (
                "makers differ".to_owned(),
                format!("{}: {}", item.measured(), each.collect::<Vec<_>>().join(", ")),
            )
        }
    }
}

impl Report for BicycleReport {
    fn text(&self, style: &Style) -> String {
        let mut text = format!("{}  ({}): {}\n", style.strong(&self.bike), self.kind, self.verdict);
        for (label, value) in [("Frame", &self.frame), ("Owner", &self.owner), ("Note", &self.note)] {
            if !value.is_empty() {
                text += &style.listed(label, &[value]);
            }
        }
        if let Some(at) = &self.retired_at {
            text += &style.listed("Retired", &[at]);
        }
        let rows = self.joints.iter().map(|line| {
            let mut ground = line.ground.clone();
            for about in
                [&line.thread, &line.condition, &line.photo].into_iter().filter(|text| !text.is_empty())
            {
                ground += &format!("; {about}");
            }
            for note in &line.notes {
                ground += &format!("; {note}");
            }
            vec![
                line.joint.clone(),
                line.bolts.to_string(),
                if line.critical { "yes" } else { "no" }.to_owned(),
                line.verdict.to_owned(),
                line.specified.clone(),
                ground,
            ]
        });
        let header = ["joint", "bolts", "decides", "verdict", "specified", "on whose word"];
        text += "\n";
        text += &columns(&records(&header, rows), style);
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(
            self,
            "joints",
            "bike,joint,place,check,entry,bolts,critical,specified,limits.low_nm,limits.high_nm,ground,\
             thread,condition,photo,verdict",
        )
    }
}

#[derive(Debug, Clone, Serialize)]
struct ListedBicycle {
    bike: String,
    kind: String,
    owner: String,
    added_at: String,
    retired_at: Option<String>,
}

/// The bicycles of the workshop.
#[derive(Debug, Clone, Serialize)]
#[serde(transparent)]
pub struct FleetList {
    bikes: Vec<ListedBicycle>,
}

impl FleetList {
    /// The list of stored bicycles.
    pub fn new(bicycles: &[StoredBicycle]) -> FleetList {
        let listed = bicycles.iter().map(|stored| ListedBicycle {
            bike: stored.bicycle.name.to_string(),
            kind: stored.bicycle.kind.clone(),
            owner: stored.bicycle.owner.clone(),
            added_at: stored.bicycle.added.to_string(),
            retired_at: stored.bicycle.retired.map(|at| at.to_string()),
        });
        FleetList { bikes: listed.collect() }
    }
}

impl Report for FleetList {
    fn text(&self, style: &Style) -> String {
        columns(&self.rows(), style)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(self, "", "bike,kind,owner,added_at,retired_at")
    }
}
