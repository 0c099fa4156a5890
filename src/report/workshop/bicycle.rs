//! A bicycle with its joints and the figure that counts for each; the list of bicycles.

use serde_json::{Value, json};

use crate::book::{Check, MeasuredItem, Orientation};
use crate::quantity::TorqueUnit;
use crate::report::words::{
    TooMuch, by_hand_text, governing_text, orientation_json, orientation_to_act, turning_warning,
};
use crate::report::{Band, Report, Style, columns, records};
use crate::words::counted;
use crate::workshop::{
    FigureBasis, Governing, Joint, JointVerdict, JudgedBicycle, Name, StoredBicycle, WorkshopSnapshot,
};

/// Joints as a sheet.
const JOINTS: (&str, &str) = (
    "joints",
    "bike,joint,place,check,entry,bolts,hand,critical,specified,limits.low_nm,limits.high_nm,limits.value_nm,ground,orientation=orientation.text,\
     thread,grade,condition,photo,verdict,bolt_limit_nm=too_much.bolt_limit_nm,notes",
);

/// A bicycle as the workshop knows it.
pub struct BicycleReport<'a> {
    pub judged: &'a JudgedBicycle,
    /// What the workshop knows of its parts.
    pub workshop: &'a WorkshopSnapshot,
    /// The unit shown; none for that in which each figure is stated.
    pub unit: Option<TorqueUnit>,
}

impl BicycleReport<'_> {
    fn joint_json(&self, (joint, verdict): &(Joint, JointVerdict)) -> Value {
        let governing = &verdict.governing;
        let (specified, ground) = specified(joint, governing, self.workshop, self.unit);
        let hardware = self.workshop.hardware.get(&joint.entry).map(|hardware| &hardware.name);
        let item = self.workshop.items.get(&joint.entry).map(|item| &item.name);
        json!({
            "joint": joint.name.text(),
            "place": joint.place,
            "check": joint.check.text(),
            "entry": joint.entry,
            "name": hardware.or(item).map_or("", String::as_str),
            "bolts": joint.bolts,
            "hand": joint.turning(self.workshop),
            "critical": joint.critical,
            "specified": specified,
            "limits": governing.limits.as_ref().map(Band::of_limits),
            "ground": ground,
            "orientation": given_json(joint, governing, self.unit),
            "thread": joint.thread,
            "grade": joint.grade,
            "condition": joint.condition,
            "photo": joint.photo,
            "verdict": verdict.state().text(),
            "notes": governing.notes,
            "too_much": TooMuch::of_joint(verdict, self.unit),
        })
    }

    /// A joint in a line: what is specified, on whose word, and its state.
    fn line(&self, judged: &(Joint, JointVerdict), style: &Style) -> String {
        let [specified, whose] = self.specified_and_whose(judged);
        let (joint, verdict) = judged;
        let path = format!("{}/{}: ", self.judged.stored.bicycle.name, joint.name);
        style.wrapped(&path, &format!("{specified} ({whose}); {}", verdict.state().text()))
    }

    /// What is specified for a joint, and on whose word, with what else is known of it.
    fn specified_and_whose(&self, (joint, verdict): &(Joint, JointVerdict)) -> [String; 2] {
        let (specified, ground) = specified(joint, &verdict.governing, self.workshop, self.unit);
        let class = if joint.grade.is_empty() { String::new() } else { format!("class {}", joint.grade) };
        let about = [&joint.thread, &class, &joint.condition, &joint.photo];
        let turning = turning_warning(joint.turning(self.workshop));
        let about = about.into_iter().filter(|text| !text.is_empty()).chain(&verdict.governing.notes);
        let too_much = TooMuch::of_joint(verdict, self.unit);
        let too_much = too_much.as_ref().map(TooMuch::whole);
        let given = given_text(joint, &verdict.governing, self.unit);
        let about = about.map(String::as_str).chain(turning).chain(too_much.as_deref());
        let about = given.as_deref().into_iter().chain(about);
        [specified, about.fold(ground, |ground, about| format!("{ground}; {about}"))]
    }
}

/// What is commonly given for a joint that is to be tightened by a torque nobody states.
fn given<'a>(joint: &Joint, governing: &'a Governing) -> Option<&'a Orientation> {
    governing.orientation.as_ref().filter(|_| joint.check == Check::Torque)
}

/// The same for programs.
pub(super) fn given_json(joint: &Joint, governing: &Governing, unit: Option<TorqueUnit>) -> Option<Value> {
    given(joint, governing).map(|given| orientation_json(given, unit.unwrap_or(governing.unit)))
}

/// The same for people, with what to do with it.
pub(super) fn given_text(joint: &Joint, governing: &Governing, unit: Option<TorqueUnit>) -> Option<String> {
    given(joint, governing).map(|given| orientation_to_act(given, unit.unwrap_or(governing.unit)))
}

/// What is specified for a joint, and on whose word.
pub(super) fn specified(
    joint: &Joint,
    governing: &Governing,
    workshop: &WorkshopSnapshot,
    unit: Option<TorqueUnit>,
) -> (String, String) {
    match joint.check {
        Check::Torque => (governing_text(governing, unit), governing.word.clone()),
        _ if governing.basis == FigureBasis::Unreadable => ("–".to_owned(), governing.word.clone()),
        Check::Function => ("by hand".to_owned(), by_hand_text(joint.name.text()).to_owned()),
        Check::Measure => {
            let marked = joint.figures.markings.first();
            let own = marked.map(|mark| (mark.figure.text().to_owned(), "figure on the part".to_owned()));
            own.or_else(|| workshop.items.get(&joint.entry).map(known_limits)).unwrap_or_default()
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

impl Report for BicycleReport<'_> {
    const SHEET: (&'static str, &'static str) = JOINTS;

    fn json(&self) -> Value {
        let bicycle = &self.judged.stored.bicycle;
        json!({
            "bike": bicycle.name.text(),
            "kind": bicycle.kind,
            "frame": bicycle.frame,
            "owner": bicycle.owner,
            "note": bicycle.note,
            "added_at": bicycle.added.to_string(),
            "retired_at": bicycle.retired.map(|at| at.to_string()),
            "verdict": self.judged.verdict.fitness.text(),
            "joints": self.judged.joints.iter().map(|joint| self.joint_json(joint)).collect::<Vec<_>>(),
        })
    }

    fn text(&self, style: &Style) -> String {
        let bicycle = &self.judged.stored.bicycle;
        let (name, fitness) = (style.strong(bicycle.name.text()), self.judged.verdict.fitness);
        let mut text = format!("{name}  ({}): {}\n", bicycle.kind, fitness.text());
        for (label, value) in [("Frame", &bicycle.frame), ("Owner", &bicycle.owner), ("Note", &bicycle.note)]
        {
            if !value.is_empty() {
                text += &style.listed(label, &[value]);
            }
        }
        if let Some(at) = bicycle.retired {
            text += &style.listed("Retired", &[at.to_string()]);
        }
        let rows = self.judged.joints.iter().map(|judged| {
            let (joint, verdict) = judged;
            let [specified, whose] = self.specified_and_whose(judged);
            vec![
                joint.name.to_string(),
                joint.bolts.to_string(),
                if joint.critical { "yes" } else { "no" }.to_owned(),
                verdict.state().text().to_owned(),
                specified,
                whose,
            ]
        });
        let header = ["joint", "bolts", "decides", "verdict", "specified", "on whose word"];
        text += "\n";
        text += &columns(&records(&header, rows), style);
        text
    }
}

/// A bicycle of which joints were added or taken off: for programs the whole of it, for people what was done.
pub struct AlteredBicycle<'a> {
    pub bicycle: BicycleReport<'a>,
    /// The joints that were added.
    pub added: &'a [Name],
    /// The joint that was taken off.
    pub taken_off: Option<&'a Name>,
}

impl Report for AlteredBicycle<'_> {
    const SHEET: (&'static str, &'static str) = JOINTS;

    fn json(&self) -> Value {
        self.bicycle.json()
    }

    fn text(&self, style: &Style) -> String {
        let judged = self.bicycle.judged;
        let name = judged.stored.bicycle.name.text();
        let added = judged.joints.iter().filter(|(joint, _)| self.added.contains(&joint.name));
        let mut text: String = added.map(|joint| self.bicycle.line(joint, style)).collect();
        if let Some(joint) = self.taken_off {
            text += &format!("{name}/{joint} was taken off; its readings stay in the log\n");
        }
        let joints = counted(judged.joints.len(), "joint");
        let fitness = judged.verdict.fitness.text();
        text + &style
            .wrapped("", &format!("{name}: {joints}, {fitness}; `evenclamp bike show {name}` lists them"))
    }
}

/// Joints that were changed, each on a line of its own.
pub struct ChangedJoints<'a> {
    /// Their bicycles with no other joints, and what they are judged by.
    pub judged: &'a [(WorkshopSnapshot, JudgedBicycle)],
    pub unit: Option<TorqueUnit>,
}

impl ChangedJoints<'_> {
    fn bicycles(&self) -> impl Iterator<Item = BicycleReport<'_>> {
        self.judged.iter().map(|(workshop, judged)| BicycleReport { judged, workshop, unit: self.unit })
    }

    /// The names of their bicycles.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.judged.iter().map(|(_, judged)| judged.stored.bicycle.name.text())
    }

    /// A line for each joint of which that is to be told.
    pub(super) fn lines(&self, style: &Style, is_told: impl Fn(&JointVerdict) -> bool) -> String {
        let mut text = String::new();
        for report in self.bicycles() {
            for judged in report.judged.joints.iter().filter(|(_, verdict)| is_told(verdict)) {
                text += &report.line(judged, style);
            }
        }
        text
    }
}

impl Report for ChangedJoints<'_> {
    const SHEET: (&'static str, &'static str) = JOINTS;

    fn json(&self) -> Value {
        let of_bicycle = |report: BicycleReport<'_>| {
            let with_bike = |joint| {
                let mut json = report.joint_json(joint);
                json["bike"] = report.judged.stored.bicycle.name.text().into();
                json
            };
            report.judged.joints.iter().map(with_bike).collect::<Vec<_>>()
        };
        json!({ "joints": self.bicycles().flat_map(of_bicycle).collect::<Vec<_>>() })
    }

    fn text(&self, style: &Style) -> String {
        self.lines(style, |_| true)
    }
}

/// The bicycles of the workshop.
pub struct FleetList<'a>(pub &'a [StoredBicycle]);

impl Report for FleetList<'_> {
    const SHEET: (&'static str, &'static str) = ("", "bike,kind,owner,added_at,retired_at");

    fn json(&self) -> Value {
        let listed = |stored: &StoredBicycle| {
            json!({
                "bike": stored.bicycle.name.text(),
                "kind": stored.bicycle.kind,
                "owner": stored.bicycle.owner,
                "added_at": stored.bicycle.added.to_string(),
                "retired_at": stored.bicycle.retired.map(|at| at.to_string()),
            })
        };
        self.0.iter().map(listed).collect()
    }

    fn text(&self, style: &Style) -> String {
        columns(&self.rows(), style)
    }
}
