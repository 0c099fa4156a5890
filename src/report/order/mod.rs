//! The order of the bolts as steps a person can follow, with the joint drawn and what to expect.
//!
//! What the loss model predicts and what it cannot know stand apart: the spread of the loads through
//! the bolts' hold on each other is never added to that through friction.

mod explain;
mod parts;
mod text;

use serde::Serialize;
use serde_json::{Value, json};
use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::aim::ABOVE_VALUE;
use super::band::Band;
use super::figure::setting_text;
use super::words::{TooMuch, note_text};
use super::{Report, Style, sheet};
use crate::book::{Hand, JointKind, Page, Phase, Way};
use crate::conformity::SettingScale;
use crate::quantity::{Spec, Torque, TorqueUnit, in_newton_metres};
use crate::sequence::{
    BoltNumber, ClosedSide, Layout, Note, PictureText, Plan, SettingError, picture, settings,
};
use explain::ActionLine;
use parts::{ByHand, PassLine};

/// A joint as its bolts stand, and what is specified for them.
pub struct OrderedJoint {
    /// The page of its entry, where it is one of the book.
    pub page: Option<Page>,
    /// What is specified, where anything is.
    pub spec: Option<Spec>,
    /// What is specified as text in the unit shown.
    pub specified: Option<String>,
    /// On whose word.
    pub ground: String,
    pub bolts: Bolts,
}

/// The bolts of a joint: where they are, what they hold, how they are turned.
#[derive(Debug, Clone)]
pub struct Bolts {
    pub layout: Layout,
    pub kind: JointKind,
    /// The side that closes first, where one does.
    pub closed: ClosedSide,
    pub hand: Hand,
}

impl OrderedJoint {
    fn name(&self) -> &str {
        self.page.as_ref().map_or("Joint as given", |page| &page.entry.name)
    }

    /// What surrounds the tightening: what to do or to know in each of these phases.
    fn phases(&self, phases: &[Phase]) -> Vec<&str> {
        self.page.iter().flat_map(|page| phases.iter().flat_map(|phase| page.phase(*phase))).collect()
    }
}

/// Preparation, and what must be loose or set first.
const BEFORE: &[Phase] = &[Phase::Prepare, Phase::Before];

/// The passes of a joint on a wrench.
pub struct Passes {
    pub plan: Plan,
    /// The setting of full torque.
    pub target: Torque,
    /// Whether that is above the set value that is specified.
    pub above_value: bool,
    /// The settings that the wrench has, as torques at the bolt.
    pub scale: SettingScale,
    /// The step of the scale to which settings are shown.
    pub step: Torque,
    /// Torque at the bolt ÷ what the wrench shows: 1 unless an adapter lies between.
    pub lever: Ratio,
    /// The unit of the scale.
    pub unit: TorqueUnit,
    /// The predicted spread that was asked for, as a fraction of the target.
    pub within: f64,
}

/// A place in the list of steps: pass and step, both from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct StepAt {
    pub pass: usize,
    pub step: usize,
}

/// How the bolts of a joint are brought up, and the joint that must be set before it.
pub struct OrderReport {
    joint: OrderedJoint,
    /// The joint to be set first.
    pub first: Option<Box<OrderReport>>,
    from: Option<StepAt>,
    /// What comes before the first pass of the wrench.
    by_hand: Option<ByHand>,
    passes: Vec<PassLine>,
    /// What the passes are made for; none where there are none.
    goal: Option<Passes>,
    /// Why there are no passes, where there are none.
    missing: Option<String>,
    /// What else is to be said of the figure and the wrench: far from the book's, much for the bolt, in doubt.
    pub remarks: Vec<String>,
    /// That the figure is too much for the bolt.
    pub too_much: Option<TooMuch>,
    explain: Vec<ActionLine>,
}

impl OrderReport {
    /// Fails when the wrench has no settings for the passes.
    pub fn new(joint: OrderedJoint, goal: Passes) -> Result<OrderReport, SettingError> {
        let at_bolt = settings(goal.target, &goal.plan.levels(), &goal.scale)?;
        let on_scale = at_bolt.iter().map(|at_bolt| *at_bolt / goal.lever.value);
        let set: Vec<(Torque, String)> =
            on_scale.map(|setting| (setting, setting_text(setting, goal.step, goal.unit))).collect();
        let passes = parts::pass_lines(&goal.plan, &set, joint.bolts.kind.way);
        let by_hand = parts::by_hand(&goal.plan);
        Ok(OrderReport { by_hand, passes, goal: Some(goal), ..OrderReport::bare(joint) })
    }

    pub fn without_passes(joint: OrderedJoint, missing: String) -> OrderReport {
        OrderReport { missing: Some(missing), ..OrderReport::bare(joint) }
    }

    /// What is known of a joint before there are passes.
    fn bare(joint: OrderedJoint) -> OrderReport {
        OrderReport {
            joint,
            first: None,
            from: None,
            by_hand: None,
            passes: Vec::new(),
            goal: None,
            missing: None,
            remarks: Vec::new(),
            too_much: None,
            explain: Vec::new(),
        }
    }

    fn bolts(&self) -> usize {
        self.joint.bolts.layout.bolts()
    }

    /// What the passes are to reach, where several bolts hold each other.
    fn shared_goal(&self) -> Option<&Passes> {
        self.goal.as_ref().filter(|_| self.bolts() > 1)
    }

    fn closed_side(&self) -> Option<ClosedSide> {
        (self.joint.bolts.kind.way == Way::ClosedSideFirst).then_some(self.joint.bolts.closed)
    }

    /// Remarks on the plan. That bolts may stick stands apart, with its bounds.
    fn notes(&self) -> Vec<String> {
        let notes = self.goal.iter().flat_map(|goal| &goal.plan.notes);
        let notes = notes.filter(|note| !matches!(note, Note::WithinBreakAway(_))).map(note_text);
        self.above_value().into_iter().chain(notes).collect()
    }

    /// Those of them that say what to do, and not what to expect.
    fn notes_to_act(&self) -> Vec<String> {
        let notes = self.goal.iter().flat_map(|goal| &goal.plan.notes);
        let acts = notes.filter(|note| matches!(note, Note::GapMayOpen | Note::OneSetting(_))).map(note_text);
        self.above_value().into_iter().chain(acts).collect()
    }

    /// That the setting of full torque lies above the set value that is specified, where it does.
    fn above_value(&self) -> Option<String> {
        let goal = self.goal.as_ref().filter(|goal| goal.above_value)?;
        let set = setting_text(goal.target / goal.lever.value, goal.step, goal.unit);
        Some(format!("{set} is set; {ABOVE_VALUE}."))
    }

    /// Adds the load of every bolt after every action.
    pub fn explain(&mut self) {
        self.explain = self.goal.iter().flat_map(|goal| explain::action_lines(&goal.plan)).collect();
    }

    /// How many steps each pass has, from the first on.
    pub fn steps(&self) -> Vec<usize> {
        self.passes.iter().map(|pass| pass.steps.len()).collect()
    }

    /// What is left from a step on; `None` when there is no such step. The joint to be set first is
    /// taken as done.
    pub fn resumed(mut self, from: StepAt) -> Option<OrderReport> {
        let pass = self.passes.get(from.pass.checked_sub(1)?)?;
        if !(1..=pass.steps.len()).contains(&from.step) {
            return None;
        }
        let is_left = |pass: usize, step: usize| (pass, step) >= (from.pass, from.step);
        for pass in &mut self.passes {
            let number = pass.pass;
            pass.steps.retain(|step| is_left(number, step.step));
        }
        self.passes.retain(|pass| !pass.steps.is_empty());
        self.explain.retain(|action| is_left(action.pass, action.step));
        Some(OrderReport { from: Some(from), first: None, by_hand: None, ..self })
    }

    /// The picture of a pass; `None` where there is no such pass.
    pub fn picture(&self, pass: usize) -> Option<String> {
        let drawn = self.goal.as_ref()?.plan.passes.get(pass.checked_sub(1)?)?;
        let line = self.passes.iter().find(|line| line.pass == pass)?;
        let last = self.passes.last()?.pass;
        let set = if self.joint.bolts.kind.way == Way::UntilPlayGone { "Set at most" } else { "Set" };
        let title = format!("{}: pass {pass} of {last}", self.joint.name());
        let setting = format!("{set} {}", line.setting_text);
        let text = PictureText { title: &title, setting: &setting };
        Some(picture(&self.joint.bolts.layout, &drawn.order, text))
    }

    /// The lines of a card for the bench; `done` is left for a tick.
    fn card(&self) -> Vec<Value> {
        let note = self.remarks.iter().cloned().chain(self.above_value()).collect::<Vec<_>>().join("; ");
        let joint = &self.joint;
        // What all lines share stands in each: a spreadsheet cuts them apart.
        let line = |own: Value| {
            let mut line = json!({
                "joint": joint.name(),
                "hand": joint.bolts.hand,
                "note": note,
                "specified": joint.specified,
                "ground": joint.ground,
            });
            if let (Value::Object(line), Value::Object(own)) = (&mut line, own) {
                line.extend(own);
            }
            line
        };
        let mut lines = self.first.as_ref().map(|first| first.card()).unwrap_or_default();
        lines.extend(
            self.missing
                .as_ref()
                .map(|missing| line(json!({ "setting": missing, "too_much": self.too_much }))),
        );
        if let Some(by_hand) = &self.by_hand {
            let bolts = by_hand.sequence.iter();
            lines.extend(bolts.map(|bolt| line(json!({ "pass": 0, "bolt": bolt, "setting": by_hand.text }))));
        }
        for pass in &self.passes {
            lines.extend(pass.steps.iter().map(|step| {
                line(json!({
                    "pass": pass.pass,
                    "step": step.step,
                    "bolt": step.bolt,
                    "percent": format!("{:.0}", pass.percent),
                    "setting_nm": step.setting_nm,
                    "setting": step.setting_text,
                    "watch": pass.watch,
                }))
            }));
        }
        lines
    }
}

impl Report for OrderReport {
    fn json(&self) -> Value {
        let (joint, layout) = (&self.joint, &self.joint.bolts.layout);
        let last_pass = self.goal.as_ref().and_then(|goal| goal.plan.passes.last());
        let mut json = json!({
            "entry": joint.page.as_ref().map(|page| &page.entry.entry),
            "name": joint.name(),
            "specified": joint.specified,
            "ground": joint.ground,
            "torque": joint.spec.map(Band::of),
            "target_nm": self.goal.as_ref().map(|goal| in_newton_metres(goal.target)),
            "above_value": self.goal.as_ref().map(|goal| goal.above_value),
            "bolts": layout.bolts(),
            "layout": layout.shape().to_string(),
            "numbering": layout.numbering(),
            "kind": joint.bolts.kind.kind,
            "pattern": joint.bolts.kind.way,
            "closed_side": self.closed_side().map(ClosedSide::text),
            "hand": joint.bolts.hand,
            "first": self.first.as_ref().map(|first| first.json()),
            "sequence": last_pass.map(|pass| numbers(&pass.order)).unwrap_or_default(),
            "from": self.from,
            "by_hand": self.by_hand,
            "passes": self.passes,
            "confirm": self.shared_goal().is_some(),
        });
        let mut add = |keys: Value| {
            if let (Value::Object(json), Value::Object(keys)) = (&mut json, keys) {
                json.extend(keys);
            }
        };
        add(self.shared_goal().map(Passes::needed_json).unwrap_or_default());
        add(json!({ "assumed": parts::assumed_json(&joint.bolts.kind) }));
        add(self.shared_goal().map(Passes::apart_json).unwrap_or_default());
        add(json!({
            "notes": self.remarks.iter().cloned().chain(self.notes()).collect::<Vec<_>>(),
            "missing": self.missing,
            "too_much": self.too_much,
        }));
        add(json!({
            "before": joint.phases(BEFORE),
            "next": joint.phases(&[Phase::Next]),
            "during": joint.phases(&[Phase::During]),
            "after": joint.phases(&[Phase::After]),
            "cautions": joint.phases(&[Phase::Caution]),
        }));
        if !self.explain.is_empty() {
            add(json!({ "explain": self.explain }));
        }
        json
    }

    fn text(&self, style: &Style) -> String {
        text::text(self, style)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(
            &self.card().into(),
            "",
            "joint,pass,step,bolt,percent,setting_nm,setting,watch,note,bolt_limit_nm=too_much.bolt_limit_nm,hand,specified,ground,done",
        )
    }
}

fn numbers(bolts: &[BoltNumber]) -> Vec<usize> {
    bolts.iter().map(|bolt| bolt.number()).collect()
}

fn fraction(part: Ratio) -> f64 {
    part.get::<ratio>()
}
