//! One entry on one screen: what to do with the part in hand first, the evidence after it.

mod evidence;
mod headline;
mod joint;
mod marked;
mod order;

use serde_json::{Value, json};

use super::band::Band;
use super::condition::ConditionReport;
use super::figure::{resolution_of, stretch_text};
use super::{Report, ShownSetting, Style, columns, records};
use crate::book::{BandState, Consensus, Page, Phase, TorqueInterval};
use crate::quantity::{Spec, TorqueUnit, in_newton_metres};
use crate::report::words::{backing_json, dissent_json, orientation_json, turning_text};
use crate::workshop::Marked;
use evidence::{evidence_json, evidence_text, sources};
use headline::boxed;
pub use joint::ShownJoint;
use marked::{marked_json, marked_text};
use order::{bolt_groups, order_text};

/// All that the book says about an entry.
pub struct EntryReport<'a> {
    page: &'a Page,
    consensus: Consensus,
    unit: TorqueUnit,
    brief: bool,
    wrench: Option<String>,
    aim: Option<ShownSetting>,
    condition: Option<ConditionReport>,
    marked: Marked,
    joint: Option<ShownJoint>,
    /// The unit asked for, else that of each marking.
    marked_unit: Option<TorqueUnit>,
}

impl EntryReport<'_> {
    /// The report of a page, torques shown in `unit`; a `brief` text keeps to what is needed at the
    /// bench.
    pub fn new(page: &Page, unit: TorqueUnit, brief: bool) -> EntryReport<'_> {
        EntryReport {
            page,
            consensus: page.consensus(),
            unit,
            brief,
            wrench: None,
            aim: None,
            condition: None,
            marked: Marked::default(),
            joint: None,
            marked_unit: None,
        }
    }

    /// The same report with what the bicycles of the workshop carry, each figure in `unit`, else in its own.
    pub fn with_marked(self, marked: Marked, unit: Option<TorqueUnit>) -> Self {
        EntryReport { marked, marked_unit: unit, ..self }
    }

    /// The same report for a joint of a bicycle, with what counts there.
    pub fn with_joint(self, joint: Option<ShownJoint>) -> Self {
        EntryReport { joint, ..self }
    }

    /// The same report with the setting of a wrench.
    pub fn with_wrench(self, name: &str, setting: Option<ShownSetting>) -> Self {
        let setting = setting.filter(|_| !self.is_of_another_condition());
        EntryReport { wrench: Some(name.to_owned()), aim: setting, ..self }
    }

    /// The same report with what is said of the condition of the thread. A wrench that is added after
    /// it gets no setting from figures for another condition.
    pub fn with_condition(self, condition: ConditionReport) -> Self {
        EntryReport { condition: Some(condition), ..self }
    }

    fn is_of_another_condition(&self) -> bool {
        self.condition.as_ref().is_some_and(ConditionReport::differs)
    }

    fn wrench_text(&self) -> Option<String> {
        let name = self.wrench.as_ref()?;
        if self.is_of_another_condition() {
            return Some(format!(
                "{name}: no setting, since the figures are for another condition of the thread"
            ));
        }
        Some(match (&self.aim, self.consensus.band) {
            (Some(aim), _) => format!("{name}: {}", aim.text()),
            (None, Some(_)) => {
                format!(
                    "{name} has no usable setting for this: `evenclamp wrench pick {}`",
                    self.page.entry.entry
                )
            }
            (None, None) => format!("{name}: no figure to set it to"),
        })
    }

    fn issuers_text(&self, stretch: TorqueInterval) -> String {
        let torque = stretch_text(stretch, resolution_of(&self.consensus), self.unit);
        format!("{torque}: {}", self.page.backers(stretch).join(", "))
    }

    /// Thread, tool, bolts and turning direction in one line.
    fn bolt_text(&self) -> String {
        let entry = &self.page.entry;
        let mut parts = vec![match entry.layout.bolts() {
            1 => "1 bolt".to_owned(),
            n => format!("{n} bolts in a {}", entry.layout.shape()),
        }];
        parts.extend([&entry.thread, &entry.tool].into_iter().filter(|text| !text.is_empty()).cloned());
        parts.push(turning_text(entry.hand).to_owned());
        parts.push(self.safety_text().to_owned());
        parts.join(", ")
    }

    /// The same of a part that no torque is for: it need not be a bolt, nor be turned.
    fn part_text(&self) -> String {
        let tool = Some(&*self.page.entry.tool).filter(|tool| !tool.is_empty());
        tool.into_iter().chain([self.safety_text()]).collect::<Vec<_>>().join(", ")
    }

    fn safety_text(&self) -> &'static str {
        if self.page.entry.critical { "decides safety" } else { "does not decide safety" }
    }

    /// The figures with their documents; nothing where no torque is for the part and none was read.
    fn evidence_and_sources(&self, style: &Style) -> String {
        let page = self.page;
        let sources = sources(page);
        if sources.is_empty() {
            return if page.has_no_torque() { String::new() } else { "\nEvidence  none\n".to_owned() };
        }
        let sources = sources.into_iter().map(|source| {
            let year = if source.year.is_empty() { String::new() } else { format!(", {}", source.year) };
            vec![source.source.clone(), format!("{} ({}{year})", source.title, source.issuer)]
        });
        let documents = columns(&records(&["source", "document"], sources), style);
        format!("\n{}\n{documents}", evidence_text(&page.evidence, self.unit, style))
    }
}

/// What goes before the figure of an entry, and before what it says where no torque is for it.
const PART_FIRST: &str = "The figure on the part and its maker's instructions come before this one.";
const MAKER_FIRST: &str = "The instructions of its maker come before these.";

/// The ends of a stretch in N·m.
fn ends_nm(stretch: TorqueInterval) -> [Option<f64>; 2] {
    [stretch.low, stretch.high].map(|end| end.map(in_newton_metres))
}

impl Report for EntryReport<'_> {
    const SHEET: (&'static str, &'static str) = (
        "evidence",
        "entry,low_nm,high_nm,form,printed_value,printed_unit,variant,condition,material,source,\
             issuer,locator,grade,counted,orients,reason,own",
    );

    fn json(&self) -> Value {
        let (page, consensus, entry) = (self.page, &self.consensus, &self.page.entry);
        let backed = |stretch: &TorqueInterval| {
            let [low_nm, high_nm] = ends_nm(*stretch);
            json!({ "low_nm": low_nm, "high_nm": high_nm, "issuers": stretch.issuers, "by": page.backers(*stretch) })
        };
        json!({
            "entry": entry.entry,
            "name": entry.name,
            "family": entry.family,
            "hardware": entry.hardware,
            "state": consensus.state.word(),
            "reason": consensus.has_nothing().then(|| page.why_none()),
            "backing": consensus.backing.as_ref().map(backing_json),
            "dissent": consensus.dissent.as_ref().map(dissent_json),
            "orientation": consensus.orientation.as_ref().map(|given| orientation_json(given, self.unit)),
            "band": consensus.spec.map(Band::of),
            "form": consensus.spec.map(Spec::form),
            "core": consensus.core.map(ends_nm).map(|[low_nm, high_nm]| json!({ "low_nm": low_nm, "high_nm": high_nm })),
            "stretches": consensus.stretches.iter().map(backed).collect::<Vec<_>>(),
            "own": consensus.own,
            "own_faults": page.own_faults.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "evidence": page.evidence.iter().map(evidence_json).collect::<Vec<_>>(),
            "thread": entry.thread,
            "tool": entry.tool,
            "bolts": entry.layout.bolts(),
            "layout": entry.layout.shape().to_string(),
            "hand": entry.hand,
            "critical": entry.critical,
            "kind": entry.kind,
            "needs": entry.needs,
            "order": bolt_groups(page).concat(),
            "prepare": page.phase(Phase::Prepare),
            "before": page.phase(Phase::Before),
            "next": page.phase(Phase::Next),
            "during": page.phase(Phase::During),
            "after": page.phase(Phase::After),
            "cautions": page.phase(Phase::Caution),
            "sources": sources(page),
            "here": marked_json(&self.marked, self.marked_unit),
            "on": self.joint.as_ref().map(ShownJoint::json),
            "wrench": self.wrench,
            "aim": self.aim.as_ref().map(ShownSetting::json),
            "condition": self.condition.as_ref().map(ConditionReport::json),
        })
    }

    fn text(&self, style: &Style) -> String {
        let page = self.page;
        let name = style.strong(&page.entry.name);
        let mut text = style.wrapped("", &format!("{name}  ({})", page.entry.entry));
        text += &style.wrapped("", &page.entry.hardware);
        text += "\n";
        text += &self.joint.as_ref().map(|joint| joint.text(style) + "\n").unwrap_or_default();
        text += &boxed(page, &self.consensus, self.unit, style);
        text += "\n";
        if self.consensus.state == BandState::Disputed {
            let issuers = self.consensus.stretches.iter().map(|stretch| self.issuers_text(*stretch));
            text += &style.listed("Issuers", &issuers.collect::<Vec<_>>());
        }
        let faults: Vec<String> = page.own_faults.iter().map(ToString::to_string).collect();
        text += &style.listed("Damaged", &faults);
        text += &style.listed("First", &[if page.has_no_torque() { MAKER_FIRST } else { PART_FIRST }]);
        text += &style.listed("Here", marked_text(&self.marked, self.marked_unit).as_slice());
        text += &style.listed("Wrench", self.wrench_text().as_slice());
        if page.has_no_torque() {
            text += &style.listed("Part", &[self.part_text()]);
        } else {
            text += &style.listed("Bolt", &[self.bolt_text()]);
        }
        text += &self.condition.as_ref().map(|condition| condition.text(style)).unwrap_or_default();
        let order = style.listed("Order", order_text(page).as_slice());
        let cautions = style.listed("Caution", &page.phase(Phase::Caution));
        if self.brief {
            return text + &order + &cautions;
        }
        text += &style.listed("Prepare", &page.phase(Phase::Prepare));
        text += &style.listed("Before", &page.phase(Phase::Before));
        text += &style.listed("Next", &page.phase(Phase::Next));
        text += &order;
        text += &style.listed("Watch", &page.phase(Phase::During));
        text += &style.listed("After", &page.phase(Phase::After));
        text += &cautions;
        text + &self.evidence_and_sources(style)
    }
}
