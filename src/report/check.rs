//! The verdict on a reading: the word first, then what it rests on, then what to do.

use serde::Serialize;
use serde::ser::SerializeMap as _;

use super::figure::torque_text;
use super::show::Band;
use super::{Report, Style, columns, records};
use crate::conformity::slip::Slip;
use crate::conformity::{Aim, Ground, Instrument, Label, Limits, Probability, Reason, Side, Verdict};
use crate::quantity::{Reading, Resolution, Torque, TorqueUnit, in_newton_metres};

/// What a check found.
#[derive(Debug)]
pub struct CheckReport {
    /// What is specified, in the unit shown.
    pub specified: Option<String>,
    /// `range`, `set`, `max` or `min`.
    pub form: Option<&'static str>,
    /// On whose word it is specified.
    pub ground: String,
    /// The limits.
    pub limits: Option<Limits>,
    /// The reading, unless only the aim was asked for.
    pub reading: Option<Reading>,
    /// What is known of the wrench.
    pub instrument: Instrument,
    /// The verdict on the reading.
    pub verdict: Option<Verdict>,
    /// Slips of unit that would explain the reading.
    pub hints: Vec<Slip>,
    /// The setting with the best chance.
    pub aim: Option<Aim>,
    /// The step on which it is set.
    pub scale_step: Torque,
    /// The unit shown.
    pub shown: TorqueUnit,
    /// Whether the uncertainty is shown term by term.
    pub explain: bool,
    /// The step of the last digit of what is specified.
    pub resolution: Resolution,
}

#[derive(Debug, Serialize)]
struct Hint {
    kind: &'static str,
    text: String,
}

#[derive(Debug, Serialize)]
struct AimKeys {
    setting_nm: f64,
    chance_inside: f64,
}

#[derive(Debug, Serialize)]
struct BudgetLine {
    term: &'static str,
    size_nm: f64,
    distribution: &'static str,
    standard_nm: f64,
    source: String,
}

impl CheckReport {
    fn band(&self) -> Option<Band> {
        self.limits.as_ref().map(|limits| Band {
            low_nm: limits.low().map(in_newton_metres),
            high_nm: limits.high().map(in_newton_metres),
        })
    }

    fn hint_keys(&self) -> Vec<Hint> {
        self.hints.iter().map(|slip| Hint { kind: slip.kind(), text: slip.text(self.shown) }).collect()
    }

    fn aim_keys(&self) -> Option<AimKeys> {
        self.aim.map(|aim| AimKeys {
            setting_nm: in_newton_metres(aim.setting),
            chance_inside: aim.chance_inside.value(),
        })
    }

    fn budget(&self) -> Vec<BudgetLine> {
        let terms = self.verdict.as_ref().map(|verdict| verdict.budget.terms()).unwrap_or_default();
        terms
            .iter()
            .map(|term| BudgetLine {
                term: term.kind.name(),
                size_nm: in_newton_metres(term.size),
                distribution: term.distribution.name(),
                standard_nm: in_newton_metres(term.standard()),
                source: term.kind.to_string(),
            })
            .collect()
    }

    /// Why the label, and what would settle what is not settled.
    fn reasons(&self) -> Vec<String> {
        let mut texts = Vec::new();
        let Some(verdict) = &self.verdict else { return texts };
        for reason in &verdict.reasons {
            texts.push(match reason {
                Reason::NoLimits => format!(
                    "{}: read the marking on the part, ask its maker, and check against that figure",
                    self.ground
                ),
                Reason::NarrowRange { width, needed } => format!(
                    "the range is {} wide, this wrench needs {} to tell inside from outside: a finer or better wrench settles it",
                    self.small(*width),
                    self.small(*needed)
                ),
                Reason::SetValue { allowed } => format!(
                    "a set value is an instruction to a conforming wrench: inside means within ±{} % of it",
                    allowed.in_percent()
                ),
                Reason::CoarserThanAllowed { wrench, allowed } => format!(
                    "this wrench may be off by {} %, the set value counts on {} %",
                    wrench.in_percent(),
                    allowed.in_percent()
                ),
                // Doubts come with registered wrenches.
                _ => String::new(),
            });
        }
        if let Some(side) = verdict.not_judged {
            texts.push(format!("{} side not judged: no limit is known there", side.text()));
        }
        texts.retain(|text| !text.is_empty());
        texts
    }

    /// A small torque, such as an uncertainty, with two significant digits.
    fn small(&self, torque: Torque) -> String {
        torque_text(torque, Resolution::significant(torque, self.shown, 2), self.shown)
    }

    fn wrench_text(&self) -> String {
        let accuracy = self.instrument.accuracy();
        let percent = accuracy.deviation().in_percent();
        let mut text = match accuracy.ground() {
            Ground::Assumed => format!("accuracy {percent} % assumed, no wrench given"),
            _ => format!("accuracy {percent} %"),
        };
        if let Some(step) = self.instrument.step() {
            text += &format!(", step {}", torque_text(step, Resolution(step), self.shown));
        }
        if let Some(scatter) = self.instrument.scatter() {
            text += &format!(", scatter {}", self.small(scatter));
        }
        text
    }

    /// A setting on the wrench's step.
    fn setting_text(&self, setting: Torque) -> String {
        torque_text(setting, Resolution(self.scale_step), self.shown)
    }

    fn verdict_lines(&self, style: &Style) -> String {
        let mut text = String::new();
        let specified = self.specified.clone().unwrap_or_else(|| "no figure".to_owned());
        if let (Some(verdict), Some(reading)) = (&self.verdict, &self.reading) {
            let word = verdict.label.text();
            let word = match verdict.label {
                Label::Inside => style.good(word),
                Label::Low | Label::High => style.bad(word),
                Label::TooClose | Label::NotSettled => style.open(word),
            };
            let read = torque_text(reading.torque, reading.resolution(), self.shown);
            text += &format!("{word}: {read} against {specified} ({})\n", self.ground);
            if let Some(chance) = verdict.chance_inside {
                let lean = match (verdict.label, verdict.lean) {
                    (Label::Inside, _) | (_, None) => "",
                    (_, Some(Side::Low)) => ", leans low",
                    (_, Some(Side::High)) => ", leans high",
                };
                text += &style
                    .listed("Chance", &[format!("{} of being inside{lean}", percent_text(chance.value()))]);
            }
            let expanded = self.small(verdict.expanded());
            text += &style.listed("Wrench", &[format!("U = {expanded} ({})", self.wrench_text())]);
            text += &style.listed("Note", &self.reasons());
        } else {
            text += &format!("{specified} ({})\n", self.ground);
            text += &style.listed("Wrench", &[self.wrench_text()]);
            if self.limits.is_none() {
                text += &style.listed("Note", &["read the marking on the part or ask its maker"]);
            }
        }
        text
    }
}

/// A chance in words that never claims certainty.
fn percent_text(chance: f64) -> String {
    match chance * 100.0 {
        p if p > 99.9 => "over 99.9 %".to_owned(),
        p if p < 0.1 => "under 0.1 %".to_owned(),
        p => format!("{p:.1} %"),
    }
}

impl Report for CheckReport {
    fn text(&self, style: &Style) -> String {
        let mut text = self.verdict_lines(style);
        let hints: Vec<String> = self.hint_keys().into_iter().map(|hint| hint.text).collect();
        if !hints.is_empty() {
            text += &style.listed("Unit?", &hints);
            text += &style.listed("", &["Nothing was changed: look at the wrench and the log."]);
        }
        if let Some(aim) = self.aim {
            let about = format!(
                "set {}: true torque {} ± {}, {} inside",
                self.setting_text(aim.setting),
                self.setting_text(aim.setting),
                self.small(aim.expanded),
                percent_text(aim.chance_inside.value())
            );
            text += &style.listed("Aim", &[about]);
        }
        if self.form == Some("max") {
            text += &style
                .listed("Caution", &["A ceiling is not a target; slip is never cured with more torque."]);
        }
        if self.explain {
            text += "\n";
            text += &columns(&budget_rows(&self.budget()), style);
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let (low, high) = self.band().map_or_else(Default::default, Band::texts);
        let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
        let verdict = self.verdict.as_ref();
        let hints: Vec<String> = self.hint_keys().into_iter().map(|hint| hint.text).collect();
        let row = vec![
            verdict.map_or_else(String::new, |verdict| verdict.label.text().to_owned()),
            number(self.reading.map(|reading| in_newton_metres(reading.torque))),
            low,
            high,
            self.form.unwrap_or_default().to_owned(),
            self.ground.clone(),
            number(verdict.map(|verdict| in_newton_metres(verdict.expanded()))),
            number(verdict.and_then(|verdict| verdict.chance_inside).map(Probability::value)),
            number(self.aim.map(|aim| in_newton_metres(aim.setting))),
            hints.join("; "),
        ];
        let header = [
            "verdict",
            "reading_nm",
            "low_nm",
            "high_nm",
            "form",
            "ground",
            "expanded_u_nm",
            "chance_inside",
            "aim_nm",
            "hints",
        ];
        records(&header, [row])
    }
}

fn budget_rows(budget: &[BudgetLine]) -> Vec<Vec<String>> {
    let rows = budget.iter().map(|line| {
        vec![
            line.term.to_owned(),
            format!("{:.4}", line.size_nm),
            line.distribution.to_owned(),
            format!("{:.4}", line.standard_nm),
            line.source.clone(),
        ]
    });
    records(&["term", "size N·m", "distribution", "u N·m", "source"], rows)
}

impl Serialize for CheckReport {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let verdict = self.verdict.as_ref();
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("verdict", &verdict.map(|verdict| verdict.label.text()))?;
        map.serialize_entry("reading_nm", &self.reading.map(|reading| in_newton_metres(reading.torque)))?;
        map.serialize_entry("limits", &self.band())?;
        map.serialize_entry("form", &self.form)?;
        map.serialize_entry("ground", &self.ground)?;
        map.serialize_entry("u_nm", &verdict.map(|verdict| in_newton_metres(verdict.standard())))?;
        map.serialize_entry("expanded_u_nm", &verdict.map(|verdict| in_newton_metres(verdict.expanded())))?;
        let chance = verdict.and_then(|verdict| verdict.chance_inside).map(Probability::value);
        map.serialize_entry("chance_inside", &chance)?;
        map.serialize_entry("lean", &verdict.and_then(|verdict| verdict.lean).map(Side::text))?;
        map.serialize_entry(
            "capability",
            &verdict.and_then(|verdict| verdict.capability).map(|ratio| ratio.value),
        )?;
        map.serialize_entry("reasons", &self.reasons())?;
        map.serialize_entry("hints", &self.hint_keys())?;
        map.serialize_entry("aim", &self.aim_keys())?;
        if self.explain {
            map.serialize_entry("budget", &self.budget())?;
        }
        map.end()
    }
}
