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

use super::band::Band;
use super::figure::setting_text;
use super::words::note_text;
use super::{Report, Style, records};
use crate::book::{Hand, JointKind, Way};
use crate::conformity::SettingScale;
use crate::quantity::{Spec, Torque, TorqueUnit, in_newton_metres};
use crate::sequence::{BoltNumber, ClosedSide, Layout, Note, Plan, SettingError, diagram, settings};
use explain::ActionLine;
use parts::{Apart, Assumed, Needed, PassLine};

/// What surrounds the tightening of a joint.
#[derive(Debug, Default, Serialize)]
pub struct Procedure {
    /// Preparation, and what must be loose or set first.
    pub before: Vec<String>,
    /// What follows once the joint that comes first is set.
    pub next: Vec<String>,
    /// What to watch.
    pub during: Vec<String>,
    /// Verification, and when to look again.
    pub after: Vec<String>,
    /// What can hurt.
    pub cautions: Vec<String>,
}

/// A joint as its bolts stand, and what is specified for them.
#[derive(Debug)]
pub struct OrderedJoint {
    /// Key of the entry, where it is one.
    pub entry: Option<String>,
    /// What the joint is.
    pub name: String,
    /// What is specified, where anything is.
    pub spec: Option<Spec>,
    /// What is specified as text in the unit shown.
    pub specified: Option<String>,
    /// On whose word.
    pub ground: String,
    /// Where the bolts are.
    pub layout: Layout,
    /// What kind of joint they hold.
    pub kind: JointKind,
    /// The side that closes first, where one does.
    pub closed: ClosedSide,
    /// Which way the bolts are turned.
    pub hand: Hand,
    /// What surrounds the tightening.
    pub procedure: Procedure,
}

/// The passes of a joint on a wrench.
#[derive(Debug)]
pub struct Passes {
    /// The passes.
    pub plan: Plan,
    /// The setting of full torque.
    pub target: Torque,
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
    /// The pass.
    pub pass: usize,
    /// The step within it.
    pub step: usize,
}

/// How the bolts of a joint are brought up, and the joint that must be set before it.
#[derive(Debug, Serialize)]
pub struct OrderReport {
    entry: Option<String>,
    name: String,
    specified: Option<String>,
    ground: String,
    torque: Option<Band>,
    target_nm: Option<f64>,
    bolts: usize,
    layout: String,
    numbering: &'static str,
    kind: String,
    pattern: Way,
    closed_side: Option<&'static str>,
    hand: Hand,
    /// The joint to be set first, with the same keys.
    first: Option<Box<OrderReport>>,
    sequence: Vec<usize>,
    from: Option<StepAt>,
    passes: Vec<PassLine>,
    confirm: bool,
    #[serde(flatten)]
    needed: Option<Needed>,
    assumed: Assumed,
    #[serde(flatten)]
    apart: Option<Apart>,
    notes: Vec<String>,
    /// Why there are no passes, where there are none.
    missing: Option<String>,
    #[serde(flatten)]
    procedure: Procedure,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    explain: Vec<ActionLine>,
    #[serde(skip)]
    diagram: String,
}

impl OrderReport {
    /// The report of a joint that is brought up in `passes`.
    ///
    /// # Errors
    /// [`SettingError`] when the wrench has no settings for the passes.
    pub fn new(joint: OrderedJoint, passes: &Passes) -> Result<OrderReport, SettingError> {
        let plan = &passes.plan;
        let set = settings(passes.target, &plan.levels(), &passes.scale)?;
        let on_scale = |at_bolt: &Torque| *at_bolt / passes.lever.value;
        let set: Vec<(Torque, String)> = set
            .iter()
            .map(on_scale)
            .map(|setting| (setting, setting_text(setting, passes.step, passes.unit)))
            .collect();
        let several = joint.layout.bolts() > 1;
        let bare = OrderReport::bare(joint);
        Ok(OrderReport {
            target_nm: Some(in_newton_metres(passes.target)),
            sequence: plan.passes.last().map(|pass| numbers(&pass.order)).unwrap_or_default(),
            passes: parts::pass_lines(plan, &set, bare.pattern),
            confirm: several,
            needed: several.then(|| Needed::new(passes.within, plan.full_passes)),
            apart: several.then(|| Apart::from(plan.unknowns)),
            // That bolts may stick stands apart, with its bounds.
            notes: plan
                .notes
                .iter()
                .filter(|note| !matches!(note, Note::WithinBreakAway { .. }))
                .map(note_text)
                .collect(),
            ..bare
        })
    }

    /// The report of a joint for which there are no passes, and why.
    pub fn without_passes(joint: OrderedJoint, missing: String) -> OrderReport {
        OrderReport { missing: Some(missing), ..OrderReport::bare(joint) }
    }

    /// What is known of a joint before there are passes.
    fn bare(joint: OrderedJoint) -> OrderReport {
        let closed = match (joint.kind.way, joint.closed) {
            (Way::ClosedSideFirst, ClosedSide::Top) => Some("top"),
            (Way::ClosedSideFirst, ClosedSide::Bottom) => Some("bottom"),
            _ => None,
        };
        OrderReport {
            entry: joint.entry,
            name: joint.name,
            specified: joint.specified,
            ground: joint.ground,
            torque: joint.spec.map(Band::from),
            target_nm: None,
            bolts: joint.layout.bolts(),
            layout: joint.layout.shape().to_string(),
            numbering: joint.layout.numbering(),
            kind: joint.kind.kind.clone(),
            pattern: joint.kind.way,
            closed_side: closed,
            hand: joint.hand,
            first: None,
            sequence: Vec::new(),
            from: None,
            passes: Vec::new(),
            confirm: false,
            needed: None,
            assumed: Assumed::from(&joint.kind),
            apart: None,
            notes: Vec::new(),
            missing: None,
            procedure: joint.procedure,
            explain: Vec::new(),
            diagram: diagram(&joint.layout),
        }
    }

    /// The same with the joint that must be set before it.
    pub fn after(self, first: Option<OrderReport>) -> OrderReport {
        OrderReport { first: first.map(Box::new), ..self }
    }

    /// The same with the load of every bolt after every action.
    pub fn explained(self, plan: &Plan) -> OrderReport {
        OrderReport { explain: explain::action_lines(plan), ..self }
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
        Some(OrderReport { from: Some(from), first: None, ..self })
    }

    /// The title and the setting for the picture of a pass, and its bolts; `None` where there is no
    /// such pass.
    pub fn picture_words(&self, pass: usize) -> Option<(String, String)> {
        let line = self.passes.iter().find(|line| line.pass == pass)?;
        let last = self.passes.last()?.pass;
        let set = if self.pattern == Way::UntilPlayGone { "Set at most" } else { "Set" };
        Some((format!("{}: pass {pass} of {last}", self.name), format!("{set} {}", line.setting_text)))
    }

    fn card(&self) -> Vec<Vec<String>> {
        let mut rows = self.first.as_ref().map(|first| first.card()).unwrap_or_default();
        if let Some(missing) = &self.missing {
            let mut row = vec![String::new(); CARD.len()];
            row[0].clone_from(&self.name);
            row[6].clone_from(missing);
            rows.push(row);
        }
        for pass in &self.passes {
            rows.extend(pass.steps.iter().map(|step| {
                vec![
                    self.name.clone(),
                    pass.pass.to_string(),
                    step.step.to_string(),
                    step.bolt.to_string(),
                    format!("{:.0}", pass.percent),
                    step.setting_nm.to_string(),
                    step.setting_text.clone(),
                    pass.watch.to_owned(),
                    String::new(),
                ]
            }));
        }
        rows
    }
}

/// The columns of a card for the bench; the last is left for a tick.
const CARD: [&str; 9] =
    ["joint", "pass", "step", "bolt", "percent", "setting_nm", "setting", "watch", "done"];

impl Report for OrderReport {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        text::text(self, style)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        records(&CARD, self.card())
    }
}

/// The numbers of bolts.
fn numbers(bolts: &[BoltNumber]) -> Vec<usize> {
    bolts.iter().map(|bolt| bolt.number()).collect()
}

/// A ratio as a fraction.
fn fraction(part: Ratio) -> f64 {
    part.get::<ratio>()
}
