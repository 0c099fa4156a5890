//! Is the bicycle fit to ride: the verdict first, then what decides it and what to do next.

use serde::Serialize;
use serde_json::{Value, json};

use super::bicycle::given_json;
use crate::book::{Check, Hand};
use crate::quantity::TorqueUnit;
use crate::report::words::{
    TooMuch, governing_text, less_text, next_text, oldest_json, reason_text, turning_warning, wear_json,
};
use crate::report::{Report, Style, sheet};
use crate::workshop::{Joint, JointVerdict, JudgedBicycle, OldestEvidence, WorkshopSnapshot};

#[derive(Debug, Clone, Serialize)]
pub(super) struct Deciding {
    pub(super) joint: String,
    pub(super) verdict: &'static str,
    pub(super) critical: bool,
    pub(super) reason: String,
    pub(super) next: String,
}

/// The verdict on one bicycle.
pub struct ReadyReport<'a> {
    pub(super) judged: &'a JudgedBicycle,
    pub(super) oldest: Option<OldestEvidence>,
    pub(super) deciding: Vec<Deciding>,
    pub(super) unit: Option<TorqueUnit>,
    whole: bool,
}

/// What decides over a bicycle, the worst first.
pub(super) fn deciding(
    judged: &JudgedBicycle,
    workshop: &WorkshopSnapshot,
    unit: Option<TorqueUnit>,
) -> impl Iterator<Item = Deciding> {
    let name = judged.stored.bicycle.name.text();
    let joints = judged.verdict.deciding.iter().filter_map(|&index| judged.joints.get(index));
    joints.map(move |(joint, verdict)| {
        let path = format!("{name}/{}", joint.name);
        Deciding {
            joint: joint.name.to_string(),
            verdict: verdict.state().text(),
            critical: joint.critical,
            reason: reason_text(joint, verdict, unit),
            next: turned_text(
                next_text(&path, joint, verdict, workshop.items.get(&joint.entry), unit),
                joint,
                workshop,
            ),
        }
    })
}

/// What is to be done, with the way to turn where a hand that tightens would get it wrong.
fn turned_text(next: String, joint: &Joint, workshop: &WorkshopSnapshot) -> String {
    let turning = joint.turning(workshop);
    let is_told = joint.check == Check::Torque && turning == Hand::Left && next.contains("tighten");
    match turning_warning(turning).filter(|_| is_told) {
        Some(warning) => format!("{next}; {warning}"),
        None => next,
    }
}

impl<'a> ReadyReport<'a> {
    /// The report of a judged bicycle; `whole` tells of every joint.
    pub fn new(
        judged: &'a JudgedBicycle,
        workshop: &WorkshopSnapshot,
        unit: Option<TorqueUnit>,
        whole: bool,
    ) -> ReadyReport<'a> {
        ReadyReport {
            judged,
            oldest: judged.oldest_evidence(workshop.now),
            deciding: deciding(judged, workshop, unit).collect(),
            unit,
            whole,
        }
    }

    fn joint_json(&self, (joint, verdict): &(Joint, JointVerdict)) -> Value {
        json!({
            "joint": joint.name.text(),
            "place": joint.place,
            "verdict": verdict.state().text(),
            "critical": joint.critical,
            "specified": governing_text(&verdict.governing, self.unit),
            "ground": verdict.governing.word,
            "orientation": given_json(joint, &verdict.governing, self.unit),
            "checked_at": verdict.worst.at.map(|at| at.to_string()),
            "reason": reason_text(joint, verdict, self.unit),
            "notes": verdict.governing.notes,
            "wear": wear_json(verdict.wear.as_ref()),
            "too_much": TooMuch::of_joint(verdict, self.unit),
        })
    }
}

/// What was not examined since the newest crash.
pub(super) fn unexamined(judged: &JudgedBicycle) -> Vec<&'static str> {
    judged.unexamined.as_ref().map(|open| open.parts.clone()).unwrap_or_default()
}

impl Report for ReadyReport<'_> {
    fn json(&self) -> Value {
        json!({
            "bike": self.judged.stored.bicycle.name.text(),
            "verdict": self.judged.verdict.fitness.text(),
            "retired_at": self.judged.stored.bicycle.retired.map(|at| at.to_string()),
            "oldest_evidence": oldest_json(self.oldest.as_ref()),
            "unexamined_after_crash": unexamined(self.judged),
            "lacking": self.judged.lacking,
            "waived": self.judged.waived,
            "wrench_not_known": self.judged.without_known_wrench(),
            "deciding": self.deciding,
            "joints": self.judged.joints.iter().map(|joint| self.joint_json(joint)).collect::<Vec<_>>(),
            "readings_in_future": self.judged.in_future,
            "taken_off": self.judged.taken_off.iter().map(|taken| json!({
                "joint": taken.joint,
                "how": less_text(taken.less),
                "at": taken.at.to_string(),
                "who": taken.who,
                "why": taken.why,
            })).collect::<Vec<_>>(),
        })
    }

    fn text(&self, style: &Style) -> String {
        if self.whole { self.whole_text(style) } else { self.short_text(style) }
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let line = |judged: &(Joint, JointVerdict)| {
            let mut line = self.joint_json(judged);
            let open = self.deciding.iter().find(|open| open.joint == judged.0.name.text());
            line["next"] = json!(open.map(|open| &open.next));
            line
        };
        let sheet_of = json!({
            "bike": self.judged.stored.bicycle.name.text(),
            "bike_verdict": self.judged.verdict.fitness.text(),
            "oldest_evidence": oldest_json(self.oldest.as_ref()),
            "unexamined": unexamined(self.judged).join(" "),
            "without": self.judged.lacking.join(" "),
            "unasked": self.judged.waived.join(" "),
            "joints": self.judged.joints.iter().map(line).collect::<Vec<_>>(),
        });
        let columns = "bike,bike_verdict,oldest_evidence_at=oldest_evidence.checked_at,oldest_evidence_days=oldest_evidence.days,\
                       unexamined_after_crash=unexamined,lacking=without,waived=unasked,joint,verdict,critical,specified,ground,orientation=orientation.text,checked_at,reason,next,\
                       bolt_limit_nm=too_much.bolt_limit_nm,notes,wear_from=wear.from,wear_to=wear.to";
        sheet(&sheet_of, "joints", columns)
    }
}
