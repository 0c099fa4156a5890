//! Is the bicycle fit to ride: the verdict first, then what decides it and what to do next.

use serde::Serialize;
use serde_json::{Value, json};

use super::bicycle::given_json;
use crate::quantity::TorqueUnit;
use crate::report::words::{
    TooMuch, fitness_text, governing_text, lacking_text, less_text, next_text, oldest_json, oldest_text,
    reason_text, taken_off_text, unexamined_text, wear_json, wear_text, without_wrench_text,
};
use crate::report::{Report, Style, columns, records, sheet};
use crate::workshop::{
    Governing, Joint, JointVerdict, JudgedBicycle, OldestEvidence, State, WorkshopSnapshot,
};

#[derive(Debug, Clone, Serialize)]
pub(super) struct Deciding {
    pub(super) joint: String,
    pub(super) verdict: &'static str,
    critical: bool,
    pub(super) reason: String,
    next: String,
}

/// The verdict on one bicycle.
pub struct ReadyReport<'a> {
    judged: &'a JudgedBicycle,
    oldest: Option<OldestEvidence>,
    deciding: Vec<Deciding>,
    unit: Option<TorqueUnit>,
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
            next: next_text(&path, joint, verdict, workshop.items.get(&joint.entry), unit),
        }
    })
}

impl<'a> ReadyReport<'a> {
    /// The report of a judged bicycle; `whole` lists the sound joints as well.
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

    fn unexamined(&self, style: &Style) -> String {
        let Some(open) = &self.judged.unexamined else { return String::new() };
        let bike = self.judged.stored.bicycle.name.text();
        let next = format!(
            "look each over for cracks, dents and bends, then `evenclamp record {bike}/PART --finding fine`; one that \
             is no check of the bicycle yet is added with `evenclamp bike joint add {bike} PART --check function`"
        );
        let text = format!("\n{}", style.wrapped("", &unexamined_text(open)));
        text + &style.wrapped("    next: ", &next)
    }

    /// The hand checks of its kind that the bicycle lacks, and what adds them.
    fn lacking(&self, style: &Style) -> String {
        if self.judged.lacking.is_empty() {
            return String::new();
        }
        let bike = self.judged.stored.bicycle.name.text();
        let next = format!(
            "`evenclamp bike joint add {bike} --missing` adds them, then look at each; what this bicycle has not is taken \
             off again with `evenclamp bike joint remove {bike} CHECK --why …`"
        );
        let text = format!("\n{}", style.wrapped("", &lacking_text(self.judged)));
        text + &style.wrapped("    next: ", &next)
    }

    fn open(&self, style: &Style, critical: bool, title: &str) -> String {
        let open: Vec<&Deciding> = self.deciding.iter().filter(|open| open.critical == critical).collect();
        if open.is_empty() {
            return String::new();
        }
        let mut text = format!("\n{title}\n");
        for open in open {
            let word = style.bad(open.verdict);
            text += &style.wrapped(&format!("  {}: {word}: ", open.joint), &open.reason);
            text += &style.wrapped("    next: ", &open.next);
        }
        text
    }
}

/// What was not examined since the newest crash.
pub(super) fn unexamined(judged: &JudgedBicycle) -> Vec<&'static str> {
    judged.unexamined.as_ref().map(|open| open.parts.clone()).unwrap_or_default()
}

/// When parts reach their limits, each with its joint.
fn wear_lines(joints: &[(Joint, JointVerdict)]) -> Vec<String> {
    let worn = joints.iter().filter_map(|(joint, verdict)| Some((&joint.name, verdict.wear.as_ref()?)));
    worn.map(|(name, wear)| format!("{name}: {}", wear_text(wear))).collect()
}

impl Report for ReadyReport<'_> {
    fn json(&self) -> Value {
        json!({
            "bike": self.judged.stored.bicycle.name.text(),
            "verdict": self.judged.verdict.fitness.text(),
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
        let (joints, fitness) = (&self.judged.joints, self.judged.verdict.fitness);
        let mut text = format!(
            "{}: {} ({})\n",
            style.strong(self.judged.stored.bicycle.name.text()),
            style.decided(fitness.decision(), fitness.text()),
            fitness_text(fitness, self.judged)
        );
        if joints.is_empty() {
            text += "\nNo joint is registered, so nothing is proven.\n";
        }
        text += &self.unexamined(style);
        text += &self.lacking(style);
        text += &self.open(style, true, "Decides safety");
        text += &self.open(style, false, "Does not decide safety");
        let sound: Vec<_> = joints.iter().filter(|(_, verdict)| verdict.state() == State::Sound).collect();
        if self.whole && !sound.is_empty() {
            let rows = sound.iter().map(|(joint, verdict)| {
                let specified = governing_text(&verdict.governing, self.unit);
                vec![joint.name.to_string(), specified, reason_text(joint, verdict, self.unit)]
            });
            text += &format!("\n{}", columns(&records(&["sound", "specified", "evidence"], rows), style));
        } else if !sound.is_empty() {
            text += &format!("\nSound: {} of {} joints\n", sound.len(), joints.len());
        }
        text += &style.listed("Wear", &wear_lines(joints));
        if let Some(oldest) = &self.oldest {
            text += &style.wrapped("Oldest evidence: ", &oldest_text(oldest));
        }
        let unknown = self.judged.without_known_wrench().len();
        if unknown > 0 {
            text += &style.listed("Note", &[without_wrench_text(unknown)]);
        }
        let notes = joints.iter().flat_map(|(joint, verdict)| {
            let Governing { word, notes, .. } = &verdict.governing;
            notes.iter().map(move |note| format!("{} ({word}): {note}", joint.name))
        });
        text += &style.listed("Note", &notes.collect::<Vec<_>>());
        let taken_off: Vec<String> = self.judged.taken_off.iter().map(taken_off_text).collect();
        text += &style.listed("Less asked", &taken_off);
        if self.judged.in_future > 0 {
            let said = format!("{} readings dated after now do not count", self.judged.in_future);
            text += &style.listed("Note", &[said]);
        }
        text += &style.listed(
            "Caution",
            &["This record is no certificate of roadworthiness. Any doubt goes to a qualified mechanic."],
        );
        text
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
