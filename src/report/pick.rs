//! Which wrench serves a torque best, and what to buy where none does.

use serde_json::{Value, json};

use super::aim::{ABOVE_VALUE, chance_text};
use super::words::{TOO_MUCH, TooMuch, doubt_text, need_text};
use super::{Report, ShownSetting, Style, columns, records, sheet};
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::wrench::{Candidate, Need};

/// The wrenches for several torques.
pub struct PickReport<'a> {
    pub picked: Vec<PickedFor<'a>>,
    /// The wrenches that are missing.
    pub to_buy: Vec<Need>,
    /// Whether one of them is for a left-hand thread.
    pub anticlockwise: bool,
    /// Torques that no usual wrench can settle.
    pub beyond: usize,
    pub unit: TorqueUnit,
}

/// The wrenches for one torque.
pub struct PickedFor<'a> {
    /// The torque as it is asked for.
    pub spec: &'a str,
    /// What is specified, in the unit shown.
    pub specified: Option<String>,
    /// On whose word.
    pub ground: &'a str,
    /// The candidates, best first, each with the setting to aim at on it.
    pub wrenches: Vec<(Candidate<'a>, Option<ShownSetting>)>,
    /// What is to be said of the torque on its bolt.
    pub remarks: Vec<String>,
    /// What else must be known of the figure.
    pub notes: &'a [String],
    /// That it is too much for the bolt.
    pub too_much: Option<TooMuch>,
}

impl PickedFor<'_> {
    /// Whether a registered wrench settles the torque.
    pub fn is_served(&self) -> bool {
        self.wrenches.iter().any(|(candidate, _)| candidate.serves())
    }
}

/// Where a setting lies on the scale, in percent of the capacity.
fn percent_of_scale(candidate: &Candidate<'_>, setting: &ShownSetting) -> f64 {
    (setting.on_scale / candidate.wrench.capacity()).value * 100.0
}

impl PickReport<'_> {
    fn why_not(&self, candidate: &Candidate<'_>) -> Vec<String> {
        let doubts = candidate.doubts.iter();
        let mut why_not: Vec<String> = doubts.map(|doubt| doubt_text(*doubt, self.unit)).collect();
        if let Err(error) = &candidate.aim {
            why_not.push(error.to_string());
        } else if !candidate.serves() && why_not.is_empty() {
            why_not.push("its uncertainty is too large for this range".to_owned());
        }
        why_not
    }

    fn wrench_json(&self, (candidate, setting): &(Candidate<'_>, Option<ShownSetting>)) -> Value {
        let setting = setting.as_ref();
        json!({
            "wrench": candidate.wrench.name(),
            "serves": candidate.serves(),
            "setting_nm": setting.map(|setting| in_newton_metres(setting.on_scale)),
            "setting_text": setting.map(ShownSetting::setting_text),
            "chance_inside": setting.map(|setting| setting.aim.chance_inside.value()),
            "percent_of_scale": setting.map(|setting| percent_of_scale(candidate, setting)),
            "above_value": setting.map(|setting| setting.aim.above_value),
            "why_not": self.why_not(candidate),
        })
    }

    fn wrench_cells(&self, (candidate, setting): &(Candidate<'_>, Option<ShownSetting>)) -> Vec<String> {
        let setting = setting.as_ref();
        let place = setting.map(|setting| format!("{:.0} %", percent_of_scale(candidate, setting)));
        let above = setting.is_some_and(|setting| setting.aim.above_value);
        let serves = if above { format!("serves; {ABOVE_VALUE}") } else { "serves".to_owned() };
        vec![
            format!("  {}", candidate.wrench.name()),
            setting.map_or_else(|| "–".to_owned(), ShownSetting::setting_text),
            setting.map(|setting| chance_text(setting.aim.chance_inside)).unwrap_or_default(),
            place.unwrap_or_default(),
            if candidate.serves() { serves } else { self.why_not(candidate).join("; ") },
        ]
    }

    fn need_json(&self, need: &Need) -> Value {
        json!({
            "lowest_nm": in_newton_metres(need.lowest),
            "highest_nm": in_newton_metres(need.highest),
            "capacity_at_most_nm": in_newton_metres(need.capacity_at_most),
            "step_at_most_nm": in_newton_metres(need.step_at_most),
            "accuracy_percent_at_most": need.deviation_at_most.in_percent(),
            "anticlockwise": self.anticlockwise,
        })
    }
}

impl Report for PickReport<'_> {
    const SHEET: (&'static str, &'static str) = (
        "torques.wrenches",
        "spec,wrench,serves,setting_nm,chance_inside,why_not,setting_text,notes,above_value",
    );

    fn json(&self) -> Value {
        let picked = self.picked.iter().map(|picked| {
            json!({
                "spec": picked.spec,
                "specified": picked.specified,
                "ground": picked.ground,
                "notes": picked.remarks.iter().chain(picked.notes).collect::<Vec<_>>(),
                "too_much": picked.too_much,
                "wrenches": picked.wrenches.iter().map(|line| self.wrench_json(line)).collect::<Vec<_>>(),
            })
        });
        json!({
            "torques": picked.collect::<Vec<_>>(),
            "to_buy": self.to_buy.iter().map(|need| self.need_json(need)).collect::<Vec<_>>(),
            "too_narrow_for_any": self.beyond,
        })
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let mut report = self.json();
        for (index, picked) in self.picked.iter().enumerate() {
            let why_not = match &picked.too_much {
                Some(too_much) => Some(format!("{TOO_MUCH}: {}", too_much.text)),
                None => picked.specified.is_none().then(|| picked.ground.to_owned()),
            };
            if let Some(why_not) = why_not {
                report["torques"][index]["wrenches"] = json!({ "serves": false, "why_not": why_not });
            }
        }
        let (list, columns) = PickReport::SHEET;
        sheet(&report, list, columns)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = String::new();
        for picked in &self.picked {
            let specified = picked.specified.as_deref().unwrap_or("no figure");
            let spec = style.strong(picked.spec);
            text += &style.wrapped("", &format!("{spec}: {specified} ({})", picked.ground));
            if picked.specified.is_none() {
                text += "  read the marking on the part or ask its maker\n";
                continue;
            }
            text += &style.listed("  Bolt", &picked.remarks);
            text += &style.listed("  Note", picked.notes);
            if let Some(too_much) = &picked.too_much {
                text += &style.listed("  Now", &[format!("{TOO_MUCH}: {}", too_much.next)]);
                continue;
            }
            let rows = picked.wrenches.iter().map(|line| self.wrench_cells(line));
            let header = ["  wrench", "set to", "inside", "of its scale", "verdict"];
            text += &columns(&records(&header, rows), style);
            if picked.wrenches.is_empty() {
                text += "  no wrench is registered\n";
            }
        }
        let to_buy: Vec<String> =
            self.to_buy.iter().map(|need| need_text(need, self.anticlockwise, self.unit)).collect();
        text += &style.listed("Missing", &to_buy);
        if self.beyond > 0 {
            let said = "a range too narrow for any usual wrench: ask the maker how it is to be met";
            text += &style.listed("Beyond", &[said]);
        }
        text
    }
}
