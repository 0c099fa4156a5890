//! The verdict on a reading: the word first, then what it rests on, then what to do.

use serde_json::{Value, json};

use super::aim::{ShownSetting, chance_text, small_torque_text};
use super::band::Band;
use super::condition::ConditionReport;
use super::figure::{step_text, torque_text};
use super::words::{
    HeldBack, TOO_MUCH, TooMuch, accuracy_text, allowed_by_set_value, lies_text, orientation_json,
    orientation_to_act, outcome_word, reasons, slip_text, term_source, what_now,
};
use super::{Report, Style, columns, records};
use crate::book::Orientation;
use crate::conformity::slip::Slip;
use crate::conformity::{Instrument, Label, Limits, Outcome, Probability, Side, Term, Verdict};
use crate::quantity::{Reading, Resolution, Torque, TorqueUnit, in_newton_metres};

/// What a check found.
pub struct CheckReport {
    /// What is specified, in the unit shown.
    pub specified: Option<String>,
    /// `range`, `set`, `max` or `min`.
    pub form: Option<&'static str>,
    /// On whose word it is specified.
    pub ground: String,
    /// What is commonly given where nothing is specified.
    pub orientation: Option<Orientation>,
    /// Whether the reading is of a tightening, so that it can be held against what is commonly given.
    pub is_tightening: bool,
    /// What keeps from tightening to it.
    pub held_back: Option<HeldBack>,
    pub limits: Option<Limits>,
    /// The reading, unless only the aim was asked for.
    pub reading: Option<Reading>,
    /// What is known of the wrench.
    pub instrument: Instrument,
    pub wrench: Option<String>,
    /// What the reading shows.
    pub result: Option<Outcome>,
    /// The torque at the bolt that the reading stands for; differs from it where an adapter is used.
    pub at_bolt: Option<Torque>,
    /// What else to know before acting.
    pub notes: Vec<String>,
    /// Slips of unit that would explain the reading.
    pub hints: Vec<Slip>,
    /// What speaks against the reading or the specified torque on the bolt.
    pub bolt: Vec<String>,
    /// The verdict, where one of them is too much for the bolt: it comes before what the limits say.
    pub too_much: Option<TooMuch>,
    pub condition: ConditionReport,
    /// The setting with the best chance.
    pub aim: Option<ShownSetting>,
    /// Why there is none, and what would serve.
    pub no_aim: Option<String>,
    /// The step on which it is set.
    pub scale_step: Torque,
    pub shown: TorqueUnit,
    /// Whether the uncertainty is shown term by term.
    pub explain: bool,
}

impl CheckReport {
    fn verdict(&self) -> Option<&Verdict> {
        match &self.result {
            Some(Outcome::Judged(verdict)) => Some(verdict),
            _ => None,
        }
    }

    fn word(&self) -> Option<&'static str> {
        self.too_much.as_ref().map(|_| TOO_MUCH).or_else(|| self.result.as_ref().map(outcome_word))
    }

    /// What to do now about a verdict that is not good.
    fn next(&self) -> Option<String> {
        if let Some(too_much) = &self.too_much {
            return Some(too_much.next.to_owned());
        }
        let specified = self.limits.as_ref().zip(self.specified.as_deref());
        what_now(self.result.as_ref()?, self.held_back, specified, self.aim.is_some())
    }

    /// The chance of being inside says nothing where the bolt does not bear it.
    fn chance(&self) -> Option<Probability> {
        self.verdict()?.chance_inside.filter(|_| self.too_much.is_none())
    }

    /// What is commonly given, and whether the reading lies in it: a remark beside a verdict that it does not touch.
    fn remark(&self) -> Option<String> {
        let given = self.orientation.as_ref()?;
        Some(match self.at_bolt.filter(|_| self.is_tightening) {
            Some(torque) => lies_text(given, torque, self.shown),
            None => orientation_to_act(given, self.shown),
        })
    }

    /// What would explain the reading, and what speaks against it.
    fn hints_json(&self) -> Vec<Value> {
        let hint = |kind: &str, text: &str| json!({ "kind": kind, "text": text });
        let kind = |slip: &Slip| if slip.units.scale.is_some() { "scale" } else { "unit" };
        let slips = self.hints.iter().map(|slip| hint(kind(slip), &slip_text(*slip, self.shown)));
        let bolt = self.bolt.iter().map(|doubt| hint("bolt", doubt));
        let remark = self.remark().map(|remark| hint("orientation", &remark));
        slips.chain(bolt).chain(remark).collect()
    }

    fn budget_json(&self) -> Vec<Value> {
        let term = |term: &Term| {
            json!({
                "term": term.kind.name(),
                "size_nm": in_newton_metres(term.size),
                "distribution": term.distribution.name(),
                "standard_nm": in_newton_metres(term.standard()),
                "source": term_source(term.kind),
            })
        };
        self.verdict().iter().flat_map(|verdict| verdict.budget.terms.as_slice()).map(term).collect()
    }

    /// Why the label, and what would settle what is not settled.
    fn reasons(&self) -> Vec<String> {
        self.result.as_ref().map_or_else(Vec::new, |result| reasons(result, &self.ground, self.shown))
    }

    fn small(&self, torque: Torque) -> String {
        small_torque_text(torque, self.shown)
    }

    fn budget_rows(&self) -> Vec<Vec<String>> {
        let terms = self.verdict().map(|verdict| verdict.budget.terms.as_slice()).unwrap_or_default();
        let shown = |torque| format!("{:.4}", self.shown.value_of(torque));
        let rows = terms.iter().map(|term| {
            vec![
                term.kind.name().to_owned(),
                shown(term.size),
                term.distribution.name().to_owned(),
                shown(term.standard()),
                term_source(term.kind),
            ]
        });
        let (size, u) = (format!("size {}", self.shown), format!("u {}", self.shown));
        records(&["term", &size, "distribution", &u, "source"], rows)
    }

    fn wrench_text(&self) -> String {
        let mut text = match &self.wrench {
            Some(name) => format!("{name}, accuracy "),
            None => "accuracy ".to_owned(),
        };
        text += &accuracy_text(self.instrument.accuracy());
        if let Some(step) = self.instrument.step() {
            text += &format!(", step {}", step_text(step, self.shown));
        }
        if let Some(scatter) = self.instrument.scatter() {
            text += &format!(", scatter {}", self.small(scatter));
        }
        text
    }

    fn head(&self, style: &Style) -> String {
        let specified = self.specified.clone().unwrap_or_else(|| "no figure".to_owned());
        let bad = self.too_much.as_ref().map(|_| style.bad(TOO_MUCH));
        let (Some(reading), Some(word), Some(result)) = (&self.reading, self.word(), &self.result) else {
            let bad = bad.map_or_else(String::new, |bad| format!("{bad}: "));
            return style.wrapped("", &format!("{bad}{specified} ({})", self.ground));
        };
        let not_judged =
            self.verdict().and_then(|verdict| verdict.not_judged.filter(|_| verdict.label == Label::Inside));
        let word = &match not_judged {
            Some(side) => format!("{word}, {} side not judged", side.text()),
            None => word.to_owned(),
        };
        let word = bad.unwrap_or_else(|| style.decided(result.decision(), word));
        let read = torque_text(reading.torque, reading.resolution(), self.shown);
        let at_bolt = match self.at_bolt {
            Some(at_bolt) if at_bolt != reading.torque => format!(" = {} at the bolt", self.fine(at_bolt)),
            _ => String::new(),
        };
        style.wrapped("", &format!("{word}: {read}{at_bolt} against {specified} ({})", self.ground))
    }

    /// A torque with one digit more than the step of the wrench.
    fn fine(&self, torque: Torque) -> String {
        torque_text(torque, Resolution(self.scale_step / 10.0), self.shown)
    }

    /// How sure the verdict is, or what the printed value allows.
    fn chance_line(&self, style: &Style) -> String {
        let Some(verdict) = self.verdict() else { return String::new() };
        if let Some(allowed) = allowed_by_set_value(verdict, self.shown) {
            return style.listed("Allowed", &[allowed]);
        }
        let Some(chance) = self.chance() else { return String::new() };
        let lean = match (verdict.label, verdict.lean) {
            (Label::Inside, _) | (_, None) => "",
            (_, Some(Side::Low)) => ", leans low",
            (_, Some(Side::High)) => ", leans high",
        };
        style.listed("Chance", &[format!("{} of being inside{lean}", chance_text(chance))])
    }

    fn aim_line(&self, style: &Style) -> String {
        let none = self.no_aim.as_ref().map(|why| format!("none: {why}"));
        let text = self.aim.as_ref().map(ShownSetting::text).or(none);
        style.listed("Aim", text.as_slice())
    }
}

impl Report for CheckReport {
    const SHEET: (&'static str, &'static str) = (
        "",
        "verdict,reading_nm,limits.low_nm,limits.high_nm,limits.value_nm,form,ground,expanded_u_nm,chance_inside,\
             aim_nm=aim.setting_nm,hints=hints.text,next,reasons,\
             bolt_limit_nm=too_much.bolt_limit_nm,no_aim,notes,\
             wrench,accuracy,setting_text=aim.setting_text,aim_chance=aim.chance_inside,above_value=aim.above_value,aim_doubts=aim.doubts",
    );

    fn json(&self) -> Value {
        let verdict = self.verdict();
        let mut json = json!({
            "verdict": self.word(),
            "reading_nm": self.reading.map(|reading| in_newton_metres(reading.torque)),
            "at_bolt_nm": self.at_bolt.map(in_newton_metres),
            "wrench": self.wrench,
            "accuracy": accuracy_text(self.instrument.accuracy()),
            "step_nm": self.instrument.step().map(in_newton_metres),
            "limits": self.limits.as_ref().map(Band::of_limits),
            "form": self.form,
            "ground": self.ground,
            "orientation": self.orientation.as_ref().map(|given| orientation_json(given, self.shown)),
            "u_nm": verdict.map(|verdict| in_newton_metres(verdict.budget.standard)),
            "expanded_u_nm": verdict.map(|verdict| in_newton_metres(verdict.budget.expanded())),
            "chance_inside": self.chance().map(Probability::value),
            "lean": verdict.and_then(|verdict| verdict.lean).map(Side::text),
            "capability": verdict.and_then(|verdict| verdict.capability).map(|ratio| ratio.value),
            "reasons": self.reasons(),
            "too_much": self.too_much,
            "next": self.next(),
            "notes": self.notes,
            "hints": self.hints_json(),
            "condition": self.condition.json(),
            "aim": self.aim.as_ref().map(ShownSetting::json),
            "no_aim": self.no_aim,
        });
        if self.explain {
            json["budget"] = json!(self.budget_json());
        }
        json
    }

    fn text(&self, style: &Style) -> String {
        let mut text = self.head(style);
        text += &style.listed("Now", self.next().as_slice());
        text += &self.chance_line(style);
        let expanded =
            self.verdict().map(|verdict| format!("U = {}, ", self.small(verdict.budget.expanded())));
        text += &style.listed("Wrench", &[expanded.unwrap_or_default() + &self.wrench_text()]);
        let allowed = self.verdict().and_then(|verdict| allowed_by_set_value(verdict, self.shown));
        let mut notes = self.reasons();
        notes.retain(|note| Some(note) != allowed.as_ref());
        text += &style.listed("Note", &[notes, self.notes.clone()].concat());
        if self.limits.is_none() && self.reading.is_none() {
            text += &style.listed("Note", &["read the marking on the part or ask its maker"]);
        }
        text += &style.listed("Remark", self.remark().as_slice());
        text += &style.listed("Bolt", &self.bolt);
        let hints: Vec<String> = self.hints.iter().map(|slip| slip_text(*slip, self.shown)).collect();
        if !hints.is_empty() {
            text += &style.listed("Unit?", &hints);
            text += &style.listed("", &["Nothing was changed: look at the wrench and the log."]);
        }
        text += &self.condition.text(style);
        text += &self.aim_line(style);
        if self.form == Some("max") {
            text += &style
                .listed("Caution", &["A ceiling is not a target; slip is never cured with more torque."]);
        }
        if self.explain {
            text += "\n";
            text += &columns(&self.budget_rows(), style);
        }
        text
    }
}
