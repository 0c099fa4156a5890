//! One entry on one screen: what to do with the part in hand first, the evidence after it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::figure::{band_text, resolution_of, spec_text, stretch_text};
use super::{Report, ShownSetting, Style, columns, records};
use crate::book::{Consensus, Evidence, Hand, Page, Phase, Source, State, Stretch};
use crate::quantity::{TorqueUnit, in_newton_metres};
use crate::sequence::{Bolt, order};

/// A stretch of torque in N·m; an absent end is limited by nobody.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Lowest torque.
    pub low_nm: Option<f64>,
    /// Highest torque.
    pub high_nm: Option<f64>,
}

impl From<Stretch> for Band {
    fn from(stretch: Stretch) -> Band {
        Band { low_nm: stretch.low.map(in_newton_metres), high_nm: stretch.high.map(in_newton_metres) }
    }
}

impl Band {
    /// Both ends as text for a spreadsheet, empty where nobody limits.
    #[must_use]
    pub fn texts(self) -> (String, String) {
        let text = |end: Option<f64>| end.map_or_else(String::new, |nm| nm.to_string());
        (text(self.low_nm), text(self.high_nm))
    }
}

#[derive(Debug, Serialize)]
struct BackedBand {
    #[serde(flatten)]
    band: Band,
    issuers: usize,
}

#[derive(Debug, Serialize)]
struct EvidenceLine {
    #[serde(flatten)]
    band: Band,
    form: &'static str,
    printed_value: String,
    printed_unit: String,
    variant: String,
    condition: String,
    material: String,
    source: String,
    issuer: String,
    locator: String,
    grade: &'static str,
    counted: bool,
    reason: String,
    #[serde(skip)]
    text: String,
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
    core: Option<Band>,
    stretches: Vec<BackedBand>,
    evidence: Vec<EvidenceLine>,
    thread: String,
    tool: String,
    bolts: usize,
    layout: String,
    hand: Hand,
    critical: bool,
    order: Vec<usize>,
    prepare: Vec<String>,
    before: Vec<String>,
    during: Vec<String>,
    after: Vec<String>,
    cautions: Vec<String>,
    sources: Vec<Source>,
    wrench: Option<String>,
    aim: Option<ShownSetting>,
    #[serde(skip)]
    wrench_unit: TorqueUnit,
    #[serde(skip)]
    headline: Headline,
    #[serde(skip)]
    brief: bool,
}

/// What stands in the box, ready for the eye.
#[derive(Debug)]
struct Headline {
    torque: String,
    beside: Vec<String>,
}

impl EntryReport {
    /// The report of a page, torques shown in `unit`; a `brief` text keeps to what is needed at the
    /// bench.
    #[must_use]
    pub fn new(page: &Page, unit: TorqueUnit, brief: bool) -> EntryReport {
        let consensus = page.consensus();
        let entry = page.entry.clone();
        let phase = |phase| page.phase(phase).into_iter().map(str::to_owned).collect();
        EntryReport {
            headline: headline(page, &consensus, unit),
            wrench: None,
            aim: None,
            wrench_unit: unit,
            brief,
            state: consensus.state.word(),
            band: consensus.band.map(Band::from),
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
            during: phase(Phase::During),
            after: phase(Phase::After),
            cautions: phase(Phase::Caution),
            order: order(&entry.layout).into_iter().map(Bolt::number).collect(),
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
        }
    }

    /// The same report with the setting of a wrench, shown in the unit of its scale.
    #[must_use]
    pub fn with_wrench(
        self,
        name: &str,
        setting: Option<ShownSetting>,
        unit: Option<TorqueUnit>,
    ) -> EntryReport {
        let wrench_unit = unit.unwrap_or(self.wrench_unit);
        EntryReport { wrench: Some(name.to_owned()), aim: setting, wrench_unit, ..self }
    }

    fn wrench_text(&self) -> Option<String> {
        let name = self.wrench.as_ref()?;
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

    fn order_text(&self) -> String {
        if self.bolts == 1 {
            return "in one go, the last part slowly".to_owned();
        }
        let order: Vec<String> = self.order.iter().map(ToString::to_string).collect();
        format!(
            "{} in small steps, then once more until no bolt moves (`evenclamp order {}`)",
            order.join("-"),
            self.entry
        )
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

/// The box and what stands beside it. A disputed entry or one without a value shows no number.
fn headline(page: &Page, consensus: &Consensus, unit: TorqueUnit) -> Headline {
    let other =
        if unit == TorqueUnit::NewtonMetre { TorqueUnit::PoundForceInch } else { TorqueUnit::NewtonMetre };
    let resolution = resolution_of(consensus);
    let mut beside = Vec::new();
    let torque = match (consensus.state, consensus.band) {
        (State::Agreed | State::Thin, Some(band)) => {
            beside.push(backing(page, consensus, band));
            beside.push(format!("also {}", band_text(consensus, other)));
            if let Some(core) = consensus.core.filter(|core| core.issuers > band.issuers) {
                let aim = stretch_text(core, resolution, unit);
                beside.push(format!("best backed: {aim} by {} issuers", core.issuers));
            }
            band_text(consensus, unit)
        }
        (State::Disputed, _) => {
            beside.push("DISPUTED: the published figures do not meet".to_owned());
            for stretch in &consensus.stretches {
                let text = stretch_text(*stretch, resolution, unit);
                beside.push(format!("{} of {} issuers: {text}", stretch.issuers, consensus.issuers));
            }
            "read the part".to_owned()
        }
        _ => {
            beside.push("NONE: no published value was read for this hardware".to_owned());
            "ask the maker".to_owned()
        }
    };
    Headline { torque, beside }
}

/// Who stands behind a band.
fn backing(page: &Page, consensus: &Consensus, band: Stretch) -> String {
    match consensus.state {
        State::Agreed => format!("AGREED: {} of {} issuers allow it", band.issuers, consensus.issuers),
        _ => format!("THIN: on the word of {} alone", page.lone_issuer()),
    }
}

fn evidence_line(value: &Evidence, unit: TorqueUnit) -> EvidenceLine {
    let (low, high) = match value.stated.spec {
        crate::quantity::Spec::Set(v) => (Some(v), Some(v)),
        spec => spec.limits(),
    };
    EvidenceLine {
        band: Band { low_nm: low.map(in_newton_metres), high_nm: high.map(in_newton_metres) },
        form: value.stated.spec.form(),
        printed_value: value.printed_value.clone(),
        printed_unit: value.printed_unit.clone(),
        variant: value.variant.clone(),
        condition: value.condition.clone(),
        material: value.material.clone(),
        source: value.source.source.clone(),
        issuer: value.source.issuer.clone(),
        locator: value.locator.clone(),
        grade: value.grade.word(),
        counted: value.counted(),
        reason: value.reason(),
        text: spec_text(value.stated.spec, value.stated.resolution, unit),
    }
}

/// The documents cited, once each.
fn sources(page: &Page) -> Vec<Source> {
    let cited: BTreeMap<&str, &Source> =
        page.evidence.iter().map(|value| (value.source.source.as_str(), &value.source)).collect();
    cited.into_values().cloned().collect()
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
        if self.brief {
            text += &style.listed("Order", &[self.order_text()]);
            text += &style.listed("Caution", &self.cautions);
            return text;
        }
        text += &style.listed("Prepare", &self.prepare);
        text += &style.listed("Before", &self.before);
        text += &style.listed("Order", &[self.order_text()]);
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
        let header = [
            "entry",
            "low_nm",
            "high_nm",
            "form",
            "printed_value",
            "printed_unit",
            "variant",
            "condition",
            "material",
            "source",
            "issuer",
            "locator",
            "grade",
            "counted",
            "reason",
        ];
        let rows = self.evidence.iter().map(|line| {
            let (low, high) = line.band.texts();
            vec![
                self.entry.clone(),
                low,
                high,
                line.form.to_owned(),
                line.printed_value.clone(),
                line.printed_unit.clone(),
                line.variant.clone(),
                line.condition.clone(),
                line.material.clone(),
                line.source.clone(),
                line.issuer.clone(),
                line.locator.clone(),
                line.grade.to_owned(),
                line.counted.to_string(),
                line.reason.clone(),
            ]
        });
        records(&header, rows)
    }
}

/// The torque in a box, its backing beside it.
fn boxed(headline: &Headline, style: &Style) -> String {
    let width = textwrap::core::display_width(&headline.torque) + 4;
    let mut lines = vec![
        format!("  ┏{}┓", "━".repeat(width)),
        format!("  ┃  {}  ┃", style.strong(&headline.torque)),
        format!("  ┗{}┛", "━".repeat(width)),
    ];
    for (index, beside) in headline.beside.iter().enumerate() {
        match lines.get_mut(index) {
            Some(line) => *line += &format!("  {beside}"),
            None => lines.push(format!("{}{beside}", " ".repeat(width + 6))),
        }
    }
    lines.join("\n") + "\n"
}
