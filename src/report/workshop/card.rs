//! The job card: one line for each joint with a box for each bolt, in plain text; its data for HTML.

use serde::Serialize;
use serde_json::{Value, json};

use super::JointSetting;
use super::bicycle::{given_json, given_text, specified};
use crate::book::{Check, Hand};
use crate::conformity::NoAim;
use crate::quantity::TorqueUnit;
use crate::report::figure::other_unit;
use crate::report::words::{
    TooMuch, by_hand_text, governing_text, oldest_json, oldest_text, turning_warning,
};
use crate::report::{Report, Style, sheet};
use crate::sequence::{BoltNumber, Layout, PictureText, order, picture};
use crate::workshop::{FigureBasis, Governing, Joint, JointVerdict, JudgedBicycle, WorkshopSnapshot};
use crate::wrench::RegisteredWrench;

/// One joint of the card.
#[derive(Debug, Clone, Serialize)]
pub struct CardRow {
    pub joint: String,
    pub place: String,
    pub check: &'static str,
    /// How many boxes it needs.
    pub bolts: u16,
    /// Whether it decides safety.
    pub critical: bool,
    /// What is specified, with its unit.
    pub specified: String,
    /// The same in the other unit of the trade.
    pub also: Option<String>,
    /// On whose word.
    pub ground: String,
    /// What is commonly given where nothing is specified: told, never set.
    pub orientation: Option<Value>,
    /// What to set on the wrench that was named.
    pub setting: Option<String>,
    /// The order of its bolts, for more than one.
    pub order: Vec<usize>,
    /// What the hand must know before it acts.
    pub warning: Option<String>,
    /// Whether the warning is too long for one line.
    #[serde(skip)]
    pub long_warning: bool,
    /// Why what is specified is too much for its bolt, where it is.
    pub too_much: Option<TooMuch>,
    /// What is said of it now.
    pub verdict: &'static str,
    /// When its newest evidence is from.
    pub checked_at: Option<String>,
}

/// A job card for one bicycle.
#[derive(Debug, Clone, Serialize)]
pub struct CardReport {
    pub bike: String,
    pub kind: String,
    /// Frame number and owner, where known.
    pub about: String,
    /// The verdict at the time of printing.
    pub verdict: &'static str,
    pub made_at: String,
    /// The oldest evidence; null where nothing was checked.
    pub oldest_evidence: Value,
    /// The same in words.
    #[serde(skip)]
    pub oldest_text: Option<String>,
    /// The wrench that settings are for.
    pub wrench: Option<String>,
    /// Why its readings are in doubt, where they are.
    pub wrench_doubt: Option<String>,
    /// The joints in the order in which one walks round.
    pub rows: Vec<CardRow>,
    /// Pictures of the orders of more than two bolts, each once, as SVG with the joints it is for.
    #[serde(skip)]
    pub pictures: Vec<(String, String)>,
    /// What can hurt.
    pub cautions: Vec<&'static str>,
}

/// What a card must say to the hand that holds the wrench (practice of the trade).
const CAUTIONS: [&str; 5] = [
    "The figure on the part and its maker's instructions come before this card. No figure: ask the maker.",
    "A ceiling (max) is not a target. What slips at its ceiling needs cleaning, paste or a new part, not more torque.",
    "Carbon that crackles, a crack, a stripped or seized bolt: stop, do not ride, hand it to a qualified mechanic.",
    "A bolt that turned on checking is a finding: write \"moved\" and look for the cause before tightening.",
    "This card is no certificate of roadworthiness. Local rules apply.",
];

impl CardRow {
    fn new(
        (joint, verdict, layout): (&Joint, &JointVerdict, Option<&Layout>),
        workshop: &WorkshopSnapshot,
        wrench: Option<&RegisteredWrench>,
        unit: Option<TorqueUnit>,
    ) -> CardRow {
        let governing = &verdict.governing;
        // A joint that is checked by hand or measured may have a torque in the book; it has no box for it.
        let limits = governing.limits.as_ref().filter(|_| joint.check == Check::Torque);
        let on = wrench.filter(|_| limits.is_some());
        let (setting, of_setting) = set_on(on, governing, joint.turning(workshop));
        let in_other_unit = |_| governing_text(governing, Some(other_unit(governing.unit)));
        CardRow {
            joint: joint.name.to_string(),
            place: joint.place.clone(),
            check: joint.check.text(),
            bolts: joint.bolts,
            critical: joint.critical,
            specified: specified_on_card(joint, specified(joint, governing, workshop, unit).0),
            also: limits.filter(|_| unit.is_none()).map(in_other_unit),
            ground: governing.word.clone(),
            orientation: given_json(joint, governing, unit),
            setting,
            order: layout
                .map(|layout| order(layout).into_iter().map(BoltNumber::number).collect())
                .unwrap_or_default(),
            warning: warning(joint, (governing, unit), &of_setting, workshop),
            long_warning: !of_setting.is_empty() || is_long(governing),
            too_much: TooMuch::of_figure(governing, unit),
            verdict: verdict.state().text(),
            checked_at: verdict.worst.at.map(|at| at.to_string()),
        }
    }

    /// The order of its bolts: `1-3-2-4`.
    pub fn order_text(&self) -> String {
        self.order.iter().map(ToString::to_string).collect::<Vec<_>>().join("-")
    }
}

impl CardReport {
    /// The card of a judged bicycle, settings for `wrench` where one was named, with what casts doubt on that.
    pub fn new(
        judged: &JudgedBicycle,
        workshop: &WorkshopSnapshot,
        (wrench, wrench_doubt): (Option<&RegisteredWrench>, Option<String>),
        unit: Option<TorqueUnit>,
    ) -> CardReport {
        let mut pictures: Vec<(Layout, Vec<String>)> = Vec::new();
        let rows = judged.joints.iter().map(|(joint, verdict)| {
            let layout = layout_of(joint, workshop);
            if let Some(layout) = layout.clone().filter(|layout| layout.bolts() > 2) {
                match pictures.iter_mut().find(|(known, _)| *known == layout) {
                    Some((_, joints)) => joints.push(joint.name.to_string()),
                    None => pictures.push((layout, vec![joint.name.to_string()])),
                }
            }
            CardRow::new((joint, verdict, layout.as_ref()), workshop, wrench, unit)
        });
        let rows = rows.collect();
        let oldest = judged.oldest_evidence(workshop.now);
        let bicycle = &judged.stored.bicycle;
        let about = [&bicycle.frame, &bicycle.owner].into_iter().filter(|text| !text.is_empty());
        CardReport {
            bike: bicycle.name.to_string(),
            kind: bicycle.kind.clone(),
            about: about.cloned().collect::<Vec<_>>().join(", "),
            verdict: judged.verdict.fitness.text(),
            made_at: workshop.now.short(),
            oldest_evidence: oldest_json(oldest.as_ref()),
            oldest_text: oldest.as_ref().map(oldest_text),
            wrench: wrench.map(|wrench| wrench.wrench.name().to_owned()),
            wrench_doubt,
            rows,
            pictures: pictures.into_iter().map(|(layout, joints)| drawn(&layout, &joints)).collect(),
            cautions: CAUTIONS.to_vec(),
        }
    }
}

/// The layout of a joint with several bolts that are turned by turns.
fn layout_of(joint: &Joint, workshop: &WorkshopSnapshot) -> Option<Layout> {
    joint.layout(&workshop.hardware.get(&joint.entry)?.layout)
}

/// What to set on a wrench for a figure, where something is safe to set, with what must be known of it or why not.
fn set_on(on: Option<&RegisteredWrench>, governing: &Governing, hand: Hand) -> (Option<String>, Vec<String>) {
    match on.and_then(|on| JointSetting::new(governing, on, hand)) {
        Some(Ok(JointSetting { text, notes })) => (Some(text), notes),
        // What the bolt does not bear is said for every wrench.
        Some(Err(why)) if why != NoAim::TooMuch => (None, vec![format!("no setting: {why}")]),
        _ => (None, Vec::new()),
    }
}

/// What is specified for a joint, as the hand that holds the wrench is to read it.
fn specified_on_card(joint: &Joint, specified: String) -> String {
    match (joint.check, specified.as_str()) {
        (Check::Function, _) => by_hand_text(joint.name.text()).to_owned(),
        (_, "–") => "read the part".to_owned(),
        (_, "makers differ") => "makers differ: read the part".to_owned(),
        _ => specified,
    }
}

/// Whether what the hand must know takes more than a line.
fn is_long(governing: &Governing) -> bool {
    !governing.notes.is_empty()
        || governing.caveat.is_some()
        || governing.orientation.is_some()
        || governing.basis == FigureBasis::Unreadable
        || governing.on_bolt.too_much.is_some()
}

fn warning(
    joint: &Joint,
    (governing, unit): (&Governing, Option<TorqueUnit>),
    of_setting: &[String],
    workshop: &WorkshopSnapshot,
) -> Option<String> {
    let hand = turning_warning(joint.turning(workshop));
    let damage = (governing.basis == FigureBasis::Unreadable).then_some(governing.word.as_str());
    let too_much = TooMuch::of_figure(governing, unit);
    let too_much = too_much.as_ref().map(TooMuch::whole);
    let notes = of_setting.iter().chain(&governing.notes).map(String::as_str);
    let by_torque = |_: &&String| joint.check == Check::Torque;
    let caveat = governing.caveat.as_ref().filter(by_torque);
    let given = given_text(joint, governing, unit);
    let warnings: Vec<&str> = hand
        .into_iter()
        .chain(damage)
        .chain(too_much.as_deref())
        .chain(caveat.map(String::as_str))
        .chain(given.as_deref())
        .chain(notes)
        .collect();
    (!warnings.is_empty()).then(|| warnings.join("; "))
}

fn drawn(layout: &Layout, joints: &[String]) -> (String, String) {
    let title = format!("{} bolts", layout.bolts());
    let text = PictureText { title: &title, setting: "in small steps, then until none moves" };
    (joints.join(", "), picture(layout, &order(layout), text))
}

impl Report for CardReport {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = format!("JOB CARD  {}  ({})  {}\n", self.bike, self.kind, self.about);
        text += &format!("made {}, verdict then: {}\n", self.made_at, self.verdict);
        if let Some(oldest) = &self.oldest_text {
            text += &format!("oldest evidence: {oldest}\n");
        }
        text += &style
            .pieces("Mechanic ____________________  Date and time ________________  Reason ___________");
        let wrench = self.wrench.as_deref().unwrap_or("____________________");
        text += &style.pieces(&format!("Wrench {wrench}  Calibrated ____________  (*) decides safety"));
        if let Some(doubt) = &self.wrench_doubt {
            text += &style.listed("In doubt", &[doubt]);
        }
        let mut place = "";
        for row in &self.rows {
            if row.place != place {
                place = &row.place;
                text += &format!("\n{}\n", place.to_uppercase());
            }
            let star = if row.critical { "*" } else { " " };
            let setting = row.setting.as_ref().map(|set| format!(", set {set}")).unwrap_or_default();
            let also = row.also.as_ref().map(|also| format!(" ({also})")).unwrap_or_default();
            let about = format!("{}{also}{setting}", row.specified);
            text += &style.wrapped(&format!("{star} {:<24} ", row.joint), &about);
            let boxes: Vec<String> = (1..=row.bolts).map(|bolt| format!("{bolt} [______]")).collect();
            text += &style.wrapped("    ", &boxes.join("  "));
            if row.order.len() > 1 {
                text += &style.wrapped("    ", &format!("order {}, then until none moves", row.order_text()));
            }
            if let Some(warning) = &row.warning {
                text += &style.wrapped("    ", warning);
            }
        }
        text += "\n";
        text += &style.listed("Caution", &self.cautions);
        let ends =
            "Verdict  [ ] ride  [ ] ride with conditions  [ ] do not ride  Signed ____________________";
        text += &format!("\n{}", style.pieces(ends));
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let mut json = self.json();
        for (index, row) in self.rows.iter().enumerate() {
            json["rows"][index]["order"] = json!(row.order_text());
        }
        sheet(
            &json,
            "rows",
            "bike,joint,place,check,bolts,critical,specified,ground,orientation=orientation.text,verdict,checked_at,setting,order,warning,\
               bolt_limit_nm=too_much.bolt_limit_nm,wrench_doubt",
        )
    }
}

#[cfg(test)]
#[path = "card_tests.rs"]
mod tests;
