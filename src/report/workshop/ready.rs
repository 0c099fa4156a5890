//! Is the bicycle fit to ride: the verdict first, then what decides it and what to do next.

use std::cmp::Reverse;

use serde::Serialize;
use serde_json::{Value, json};

use super::bicycle::given_json;
use crate::quantity::TorqueUnit;
use crate::report::words::{TooMuch, governing_text, next_text, reason_text, wear_json, wear_text};
use crate::report::{Report, Style, columns, records, sheet};
use crate::words::counted;
use crate::workshop::{
    Fitness, Governing, Joint, JointVerdict, JudgedBicycle, Less, OldestEvidence, State, TakenOff,
    Unexamined, WorkshopSnapshot,
};

#[derive(Debug, Clone, Serialize)]
struct Deciding {
    joint: String,
    verdict: &'static str,
    critical: bool,
    reason: String,
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

fn deciding(
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

    fn unexamined_text(&self, style: &Style) -> String {
        let Some(open) = &self.judged.unexamined else { return String::new() };
        let bike = self.judged.stored.bicycle.name.text();
        let next = format!(
            "look each over for cracks, dents and bends, then `evenclamp record {bike}/PART --finding fine`; one that \
             is no check of the bicycle yet is added with `evenclamp bike joint add {bike} PART --check function`"
        );
        let text = format!("\n{}", style.wrapped("", &unexamined_words(open)));
        text + &style.wrapped("    next: ", &next)
    }

    /// The hand checks of its kind that the bicycle lacks, and what adds them.
    fn lacking_text(&self, style: &Style) -> String {
        if self.judged.lacking.is_empty() {
            return String::new();
        }
        let bike = self.judged.stored.bicycle.name.text();
        let next = format!(
            "`evenclamp bike joint add {bike} --missing` adds them, then look at each; what this bicycle has not is taken \
             off again with `evenclamp bike joint remove {bike} CHECK --why …`"
        );
        let text = format!("\n{}", style.wrapped("", &lacking_words(self.judged)));
        text + &style.wrapped("    next: ", &next)
    }

    fn open_text(&self, style: &Style, critical: bool, title: &str) -> String {
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

fn unexamined_words(open: &Unexamined) -> String {
    let parts: Vec<&str> = open
        .parts
        .iter()
        .map(|part| if *part == "cockpit" { "cockpit (bar and stem)" } else { part })
        .collect();
    format!("not examined since the crash of {}: {}", open.crash.date(), parts.join(", "))
}

fn lacking_words(judged: &JudgedBicycle) -> String {
    format!(
        "nobody is asked for, on a bicycle of the kind {}: {}",
        judged.stored.bicycle.kind,
        judged.lacking.join(", ")
    )
}

/// What was not examined since the newest crash.
fn unexamined(judged: &JudgedBicycle) -> Vec<&'static str> {
    judged.unexamined.as_ref().map(|open| open.parts.clone()).unwrap_or_default()
}

/// The oldest evidence; null where nothing was checked.
pub(super) fn oldest_json(oldest: Option<&OldestEvidence>) -> Value {
    json!(oldest.map(|oldest| json!({
        "joint": oldest.joint.text(),
        "checked_at": oldest.at.to_string(),
        "days": oldest.days,
    })))
}

/// When parts reach their limits, each with its joint.
fn wear_lines(joints: &[(Joint, JointVerdict)]) -> Vec<String> {
    let worn = joints.iter().filter_map(|(joint, verdict)| Some((&joint.name, verdict.wear.as_ref()?)));
    worn.map(|(name, wear)| format!("{name}: {}", wear_text(wear))).collect()
}

pub(super) fn oldest_text(oldest: &OldestEvidence) -> String {
    let age = match oldest.days {
        0 => "less than a day old".to_owned(),
        days => format!("{} old", counted(usize::try_from(days).unwrap_or(usize::MAX), "day")),
    };
    format!("{age} ({}, {})", oldest.joint, oldest.at.date())
}

/// A remark where torques were taken on trust.
fn not_known_text(joints: usize) -> String {
    let joints = counted(joints, "sound joint");
    format!("{joints} judged without a known wrench: its accuracy is assumed; name it with --wrench")
}

/// A joint that is there no more, with who took it off and why.
fn taken_off_text(taken: &TakenOff) -> String {
    let who = if taken.who.is_empty() { "nobody named" } else { &taken.who };
    let why = if taken.why.is_empty() { "no reason given" } else { &taken.why };
    format!("{} {}: {who}, {}: {why}", taken.joint, less_text(taken.less), taken.at.short())
}

/// How less is asked of a joint that decided safety.
fn less_text(less: Less) -> String {
    match less {
        Less::TakenOff => "was taken off".to_owned(),
        Less::DecidesNoMore => "decides safety no more".to_owned(),
        Less::FewerBolts { from, to } => format!("has {} instead of {from}", counted(to, "bolt")),
    }
}

/// What the verdict means for the next hour.
fn meaning(fitness: Fitness, judged: &JudgedBicycle) -> String {
    let meaning = match fitness {
        Fitness::Fit => "every joint is checked and sound",
        Fitness::FitWithConditions if !judged.waived.is_empty() => return waived_words(judged),
        Fitness::FitWithConditions => "only joints that do not decide safety are open",
        Fitness::Unproven => "do not ride yet: joints that decide safety have no current evidence",
        Fitness::Unfit => "do not ride: a joint that decides safety is bad",
    };
    meaning.to_owned()
}

/// The hand checks of its kind that nobody is asked for any more.
fn waived_words(judged: &JudgedBicycle) -> String {
    format!("nobody looks there any more: {}", judged.waived.join(", "))
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
            meaning(fitness, self.judged)
        );
        if joints.is_empty() {
            text += "\nNo joint is registered, so nothing is proven.\n";
        }
        text += &self.unexamined_text(style);
        text += &self.lacking_text(style);
        text += &self.open_text(style, true, "Decides safety");
        text += &self.open_text(style, false, "Does not decide safety");
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
            text += &style.listed("Note", &[not_known_text(unknown)]);
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
        })
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
                let lacking = (!bike.lacking.is_empty()).then(|| lacking_words(bike));
                let waived = || (!bike.waived.is_empty()).then(|| waived_words(bike));
                bike.unexamined.as_ref().map(unexamined_words).or(lacking).or_else(waived)
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

impl Report for FleetReady<'_> {
    fn json(&self) -> Value {
        json!({ "bikes": self.bikes.iter().map(|bike| self.bike_json(bike)).collect::<Vec<_>>() })
    }

    fn text(&self, style: &Style) -> String {
        let count = |fitness| self.bikes.iter().filter(|bike| bike.verdict.fitness == fitness).count();
        let lines = self.lines(
            "bike,verdict,critical open=open_critical,other open=open_other,oldest in days=oldest_evidence.days,first of what decides=deciding",
        );
        format!(
            "{}\nBicycles: {}; {} unfit, {} unproven, {} fit with conditions, {} fit\n",
            columns(&lines, style),
            self.bikes.len(),
            count(Fitness::Unfit),
            count(Fitness::Unproven),
            count(Fitness::FitWithConditions),
            count(Fitness::Fit)
        )
    }

    fn rows(&self) -> Vec<Vec<String>> {
        self.lines("bike,verdict,open_critical,open_other,oldest_evidence_days=oldest_evidence.days,unexamined_after_crash=unexamined,lacking=without,waived=unasked,deciding")
    }
}
