//! One entry on one screen: what to do with the part in hand first, the evidence after it.

mod evidence;
mod headline;
mod order;

use serde::Serialize;

use super::band::Band;
use super::condition::ConditionReport;
use super::{Report, ShownSetting, Style, columns, records, sheet};
use crate::book::{Hand, Page, Phase, Source};
use crate::quantity::{Spec, TorqueUnit};
use evidence::{EvidenceLine, evidence_line, sources};
use headline::{Headline, boxed, headline};
use order::{bolt_groups, order_text};

#[derive(Debug, Serialize)]
struct BackedBand {
    #[serde(flatten)]
    band: Band,
    issuers: usize,
}

/// All that the book says about an entry.
#[derive(Debug, Serialize)]
pub struct EntryReport {
    entry: String,
    name: String,
    family: String,
    hardware: String,
    state: &'static str,
    band: Option<Band>,
    form: Option<&'static str>,
    core: Option<Band>,
    stretches: Vec<BackedBand>,
    evidence: Vec<EvidenceLine>,
    thread: String,
    tool: String,
    bolts: usize,
    layout: String,
    hand: Hand,
    critical: bool,
    kind: String,
    needs: Option<String>,
    order: Vec<usize>,
    prepare: Vec<String>,
    before: Vec<String>,
    next: Vec<String>,
    during: Vec<String>,
    after: Vec<String>,
    cautions: Vec<String>,
    sources: Vec<Source>,
    wrench: Option<String>,
    aim: Option<ShownSetting>,
    condition: Option<ConditionReport>,
    #[serde(skip)]
    wrench_unit: TorqueUnit,
    #[serde(skip)]
    headline: Headline,
    #[serde(skip)]
    brief: bool,
    #[serde(skip)]
    order_text: String,
}

impl EntryReport {
    /// The report of a page, torques shown in `unit`; a `brief` text keeps to what is needed at the
    /// bench.
    pub fn new(page: &Page, unit: TorqueUnit, brief: bool) -> EntryReport {
        let consensus = page.consensus();
        let entry = page.entry.clone();
        let phase = |phase| page.phase(phase).into_iter().map(str::to_owned).collect();
        let groups = bolt_groups(page);
        EntryReport {
            order_text: order_text(page, &groups),
            headline: headline(page, &consensus, unit),
            wrench: None,
            aim: None,
            condition: None,
            wrench_unit: unit,
            brief,
            state: consensus.state.word(),
            band: consensus.band.map(Band::from),
            form: consensus.spec.map(Spec::form),
            core: consensus.core.map(Band::from),
            stretches: consensus
                .stretches
                .iter()
                .map(|stretch| BackedBand { band: Band::from(*stretch), issuers: stretch.issuers })
                .collect(),
            evidence: page.evidence.iter().map(|value| evidence_line(value, unit)).collect(),
            sources: sources(page),
            prepare: phase(Phase::Prepare),
            before: phase(Phase::Before),
            next: phase(Phase::Next),
            during: phase(Phase::During),
            after: phase(Phase::After),
            cautions: phase(Phase::Caution),
            order: groups.concat(),
            entry: entry.entry,
            name: entry.name,
            family: entry.family,
            hardware: entry.hardware,
            thread: entry.thread,
            tool: entry.tool,
            bolts: entry.layout.bolts(),
            layout: entry.layout.shape().to_string(),
            hand: entry.hand,
            critical: entry.critical,
            kind: entry.kind,
            needs: entry.needs,
        }
    }

    /// The same report with the setting of a wrench, shown in the unit of its scale.
    pub fn with_wrench(
        self,
        name: &str,
        setting: Option<ShownSetting>,
        unit: Option<TorqueUnit>,
    ) -> EntryReport {
        let wrench_unit = unit.unwrap_or(self.wrench_unit);
        let setting = setting.filter(|_| !self.is_of_another_condition());
        EntryReport { wrench: Some(name.to_owned()), aim: setting, wrench_unit, ..self }
    }

    /// The same report with what is said of the condition of the thread. A wrench that is added after
    /// it gets no setting from figures for another condition.
    pub fn with_condition(self, condition: ConditionReport) -> EntryReport {
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
        Some(match (&self.aim, self.band) {
            (Some(aim), _) => format!("{name}: {}", aim.text(self.wrench_unit)),
            (None, Some(_)) => {
                format!("{name} has no usable setting for this: `evenclamp wrench pick {}`", self.entry)
            }
            (None, None) => format!("{name}: no figure to set it to"),
        })
    }

    /// Thread, tool, bolts and turning direction in one line.
    fn bolt_text(&self) -> String {
        let mut parts = vec![match self.bolts {
            1 => "1 bolt".to_owned(),
            n => format!("{n} bolts in a {}", self.layout),
        }];
        parts.extend([&self.thread, &self.tool].into_iter().filter(|text| !text.is_empty()).cloned());
        parts.push(
            match self.hand {
                Hand::Right => "clockwise tightens",
                Hand::Left => "LEFT-HAND thread: anticlockwise tightens",
                Hand::Either => "one side has a LEFT-HAND thread: read the side first",
            }
            .to_owned(),
        );
        parts.push(if self.critical { "decides safety" } else { "does not decide safety" }.to_owned());
        parts.join(", ")
    }

    fn evidence_text(&self, style: &Style) -> String {
        if self.evidence.is_empty() {
            return "Evidence  none\n".to_owned();
        }
        let rows = self.evidence.iter().map(|line| {
            let mut said = vec![format!("{}, {}", line.source, line.locator)];
            let about = [&line.variant, &line.material, &line.condition];
            said.extend(about.into_iter().filter(|text| !text.is_empty()).cloned());
            if !line.counted {
                said.push(format!("not counted: {}", line.reason));
            }
            let printed = format!("{} {}", line.printed_value, line.printed_unit);
            vec![line.text.clone(), printed, line.grade.to_owned(), said.join("; ")]
        });
        columns(&records(&["evidence", "as printed", "grade", "where and of what"], rows), style)
    }
}

impl Report for EntryReport {
    fn text(&self, style: &Style) -> String {
        let mut text = format!("{}  ({})\n", style.strong(&self.name), self.entry);
        text += &style.wrapped("", &self.hardware);
        text += "\n";
        text += &boxed(&self.headline, style);
        text += "\n";
        text += &style
            .listed("First", &["The figure on the part and its maker's instructions come before this one."]);
        text += &style.listed("Wrench", self.wrench_text().as_slice());
        text += &style.listed("Bolt", &[self.bolt_text()]);
        text += &self.condition.as_ref().map(|condition| condition.text(style)).unwrap_or_default();
        if self.brief {
            text += &style.listed("Order", &[&self.order_text]);
            text += &style.listed("Caution", &self.cautions);
            return text;
        }
        text += &style.listed("Prepare", &self.prepare);
        text += &style.listed("Before", &self.before);
        text += &style.listed("Next", &self.next);
        text += &style.listed("Order", &[&self.order_text]);
        text += &style.listed("Watch", &self.during);
        text += &style.listed("After", &self.after);
        text += &style.listed("Caution", &self.cautions);
        text += "\n";
        text += &self.evidence_text(style);
        text += "\n";
        let sources = self.sources.iter().map(|source| {
            let year = if source.year.is_empty() { String::new() } else { format!(", {}", source.year) };
            vec![source.source.clone(), format!("{} ({}{year})", source.title, source.issuer)]
        });
        text += &columns(&records(&["source", "document"], sources), style);
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        sheet(
            self,
            "evidence",
            "entry,low_nm,high_nm,form,printed_value,printed_unit,variant,condition,material,source,\
             issuer,locator,grade,counted,reason",
        )
    }
}
