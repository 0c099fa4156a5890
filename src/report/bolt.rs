//! What a bolt stands at a torque: the clamp force first, then how near it is to yield, then the
//! torque that must not be passed.

use serde_json::Value;

use super::condition::ConditionReport;
use super::figure::{number_text, significant_text, torque_text};
use super::sweep::sweep_table;
use super::{Report, Style, columns, records, sheet};
use crate::joint::{
    Analysis, Basis, Bolt, Condition, Engagement, ExplainStep, Force, Friction, Plausibility, Ratio, Section,
    SourceGrade, Span, StrippingMargin, SweepPoint, UnitSlip, in_millimetres, in_newtons, in_ratio,
};
use crate::quantity::tolerance::whole_above;
use crate::quantity::{Resolution, Rounding, Torque, TorqueUnit};

/// What was asked of a bolt, and what came out.
pub struct BoltReport {
    pub bolt: Bolt,
    /// The friction of its thread and head.
    pub friction: Friction,
    /// The torque and what it does; none when only a sweep was asked for.
    pub at_torque: Option<(Torque, Analysis)>,
    /// On whose word that torque is asked about, where it was not typed.
    pub ground: Option<String>,
    /// The clamp force at the least torque that may reach 90 % of yield.
    pub at_limit: Span<Force>,
    /// How far the bolt is screwed in.
    pub engagement: Option<Engagement>,
    /// Units that would explain a torque past the limits.
    pub slips: Vec<UnitSlip>,
    /// The number that a slip is about, in the unit it was stated in.
    pub number: f64,
    /// The step of its last digit.
    pub resolution: Resolution,
    /// What is said of the condition of the thread.
    pub condition: Option<ConditionReport>,
    /// The chain of formulas, where asked for.
    pub steps: Vec<ExplainStep>,
    /// Clamp load against torque, where asked for.
    pub sweep: Vec<SweepPoint>,
    pub shown: TorqueUnit,
}

impl BoltReport {
    /// True when the torque leaves bolt and thread within their limits, or none was given.
    pub fn is_plausible(&self) -> bool {
        self.at_torque.as_ref().is_none_or(|(_, analysis)| {
            analysis.plausibility == Plausibility::Plausible
                && analysis.stripping.as_ref().is_none_or(|stripping| !strips(stripping))
        })
    }

    /// The torque of 90 % of yield, at low and at high friction.
    pub fn torque_limit(&self) -> Span<Torque> {
        self.bolt.torque_limits(self.friction.band)
    }

    /// The bolt in words, such as `M5x0.8 of class 8.8, socket head`.
    pub fn bolt_text(&self) -> String {
        let (thread, class) = (&self.bolt.thread.designation, &self.bolt.class.name);
        format!("{thread} of class {class}, {} head", self.bolt.head.kind.name())
    }

    /// The friction in words, such as `friction 0.08–0.16 (greased)`.
    pub fn friction_text(&self) -> String {
        let ground = match self.friction.condition {
            Some(Condition::Unknown) => "condition of the thread not known",
            Some(condition) => condition.name(),
            None => "as given",
        };
        format!("friction {} ({ground})", self.friction.band)
    }

    /// How the thread holds, and how far the bolt is screwed in, where that is known.
    pub(super) fn stripping(&self) -> Option<(&Engagement, &StrippingMargin)> {
        let (_, analysis) = self.at_torque.as_ref()?;
        Some((self.engagement.as_ref()?, analysis.stripping.as_ref()?))
    }

    pub(super) fn slip_text(&self, slip: &UnitSlip) -> String {
        let would_be = significant_text(slip.torque, self.shown, 3);
        format!("{} {} would be {would_be} {}", self.number, slip.unit, self.shown)
    }

    pub(super) fn given_text(&self, torque: Torque) -> String {
        torque_text(torque, self.resolution, self.shown)
    }

    /// A limit with two significant digits, never above the true one.
    pub(super) fn limit_text(&self, torque: Torque) -> String {
        Resolution::significant(torque, self.shown, 2).text(torque, self.shown, Rounding::Down)
    }

    /// What was estimated rather than looked up, and figures that nobody published.
    pub(super) fn estimates(&self) -> Vec<String> {
        let mut said = Vec::new();
        if let Basis::Estimated(rule) = &self.bolt.head.basis {
            said.push(format!("head friction diameter: {rule}"));
        }
        let stripping = self.at_torque.as_ref().and_then(|(_, analysis)| analysis.stripping.as_ref());
        if let Some(Basis::Estimated(rule)) = stripping.map(|found| &found.stripping.limits_basis) {
            said.push(format!("tolerance limits of the thread: {rule}"));
        }
        let thread = &self.bolt.thread;
        let mut rows = vec![("thread", &thread.provenance), ("class", &self.bolt.class.provenance)];
        if self.friction.is_widest {
            said.push(
                "friction: no row for this condition on these metals, so the widest range is taken"
                    .to_owned(),
            );
        }
        rows.extend(self.friction.provenance.as_ref().map(|provenance| ("friction", provenance)));
        rows.extend(self.engagement.as_ref().map(|found| ("material", &found.material.provenance)));
        let unpublished = rows.iter().filter(|(_, row)| row.grade != SourceGrade::Published);
        said.extend(unpublished.map(|(what, row)| format!("{what}: {} ({})", row.source, row.grade.name())));
        if thread.section == Section::Either {
            said.push("taken as solid; a bored axle of this thread stands less".to_owned());
        }
        said
    }

    /// The first line: the word, the torque, the bolt, the friction.
    fn headline(&self, style: &Style) -> String {
        let about = format!("{}, {}", self.bolt_text(), self.friction_text());
        let Some((torque, analysis)) = &self.at_torque else { return style.wrapped("", &about) };
        let word = match analysis.plausibility {
            Plausibility::PastUltimate => style.bad("impossible"),
            Plausibility::PastYield => style.bad("past 90 % of yield"),
            Plausibility::Plausible if !self.is_plausible() => style.bad("strips"),
            Plausibility::Plausible => style.good("plausible"),
        };
        let ground = self.ground.as_ref().map(|ground| format!(" ({ground})")).unwrap_or_default();
        style.wrapped("", &format!("{word}: {}{ground} on {about}", self.given_text(*torque)))
    }

    fn torque_lines(&self, analysis: &Analysis, style: &Style) -> String {
        let (least, most) = (kilonewtons(analysis.clamp_load.low), kilonewtons(analysis.clamp_load.high));
        let tears = kilonewtons(self.bolt.ultimate_load());
        let worst = percent_up(analysis.utilisation.high);
        let clamp = if analysis.plausibility == Plausibility::PastUltimate {
            format!("even at high friction the bolt would be pulled with {least} kN; it tears at {tears} kN")
        } else {
            format!("the clamp force lies between {least} and {most} kN; at worst {worst} % of yield")
        };
        let mut text = style.listed("Clamp", &[clamp]);
        if analysis.plausibility == Plausibility::PastYield {
            let low = self.friction.band.low();
            let consequence = if in_ratio(analysis.utilisation.high) > 1.0 {
                "stretches for good, and clamps less than computed"
            } else {
                "has too little in reserve for the load of riding"
            };
            text += &style.listed("Yield", &[format!("if friction is low ({low}) the bolt {consequence}")]);
        }
        text
    }

    /// What clamp force the bolt may have where no torque was asked about.
    fn bearing_lines(&self, style: &Style) -> String {
        let (least, most) = (kilonewtons(self.at_limit.low), kilonewtons(self.at_limit.high));
        let said = format!("at the least of the limits the clamp force lies between {least} and {most} kN");
        style.listed("Clamp", &[said])
    }

    fn limit_lines(&self, style: &Style) -> String {
        let limit = self.torque_limit();
        let (low, high) = (self.limit_text(limit.low), self.limit_text(limit.high));
        let said = if low == high {
            format!("the torque that reaches 90 % of yield is {low} {}", self.shown)
        } else {
            format!(
                "the torque that reaches 90 % of yield lies between {low} and {high} {}, by friction",
                self.shown
            )
        };
        let proof = format!(
            "{} kN; the bolt tears at {} kN or more",
            kilonewtons(self.bolt.proof_load()),
            kilonewtons(self.bolt.ultimate_load())
        );
        style.listed("Limit", &[said]) + &style.listed("Proof", &[proof])
    }

    fn stripping_lines(&self, style: &Style) -> String {
        let Some((engagement, found)) = self.stripping() else { return String::new() };
        let mut said = vec![format!(
            "{} mm in {}: strips at {} kN, the {} first; that is {:.1} times the greatest clamp force",
            in_millimetres(engagement.length),
            engagement.material.name,
            kilonewtons(found.stripping.load()),
            found.stripping.side().text(),
            (in_ratio(found.margin) * 10.0).floor() / 10.0
        )];
        if strips(found) {
            said.push("the thread strips before the torque is reached".to_owned());
        } else if !found.bolt_breaks_first {
            said.push("overtightened, the thread strips before the bolt breaks".to_owned());
        }
        style.listed("Stripping", &said)
    }
}

/// True when the thread gives way before the clamp force is reached.
fn strips(stripping: &StrippingMargin) -> bool {
    in_ratio(stripping.margin) < 1.0
}

/// A force in kN, one decimal, two below 1 kN.
pub(super) fn kilonewtons(force: Force) -> String {
    let kilo = in_newtons(force) / 1000.0;
    if kilo < 1.0 { format!("{kilo:.2}") } else { format!("{kilo:.1}") }
}

/// A share in whole percent, rounded up: on the safe side.
pub(super) fn percent_up(share: Ratio) -> String {
    format!("{:.0}", whole_above(in_ratio(share) * 100.0))
}

const COLUMNS: &str = "thread,grade,torque_nm,friction_low=friction.low,friction_high=friction.high,\
     clamp_load_low_n=clamp_load_n.low,clamp_load_high_n=clamp_load_n.high,\
     utilisation_low=utilisation.low,utilisation_high=utilisation.high,\
     torque_limit_low_nm=torque_limit_nm.low,torque_limit_high_nm=torque_limit_nm.high,proof_load_n,\
     ultimate_load_n,stripping_load_n=stripping.load_n,stripping_margin=stripping.margin,plausibility";
const SWEEP_COLUMNS: &str = "torque_nm,clamp_load_low_n=clamp_load_n.low,clamp_load_high_n=clamp_load_n.high,\
     utilisation_low=utilisation.low,utilisation_high=utilisation.high";

impl Report for BoltReport {
    fn json(&self) -> Value {
        self.keys()
    }

    fn text(&self, style: &Style) -> String {
        let mut text = self.headline(style);
        if let Some((_, analysis)) = &self.at_torque {
            text += &self.torque_lines(analysis, style);
        } else {
            text += &self.bearing_lines(style);
        }
        text += &self.limit_lines(style);
        text += &self.stripping_lines(style);
        let slips: Vec<String> = self.slips.iter().map(|slip| self.slip_text(slip)).collect();
        text += &style.listed("Unit?", &slips);
        text += &self.condition.as_ref().map(|condition| condition.text(style)).unwrap_or_default();
        text += &style.listed("Estimate", &self.estimates());
        let cautions = [
            "The figure on the part and its maker's instructions come before this one.",
            "This is what the bolt stands; what it clamps may stand less.",
        ];
        text += &style.listed("Caution", &cautions);
        if !self.sweep.is_empty() {
            text += "\n";
            text += &sweep_table(&self.sweep, &self.bolt, self.shown, style);
        }
        if !self.steps.is_empty() {
            text += "\n";
            text += &columns(&step_table(&self.steps), style);
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let (list, columns) = match (self.sweep.is_empty(), self.steps.is_empty()) {
            (false, _) => ("sweep", SWEEP_COLUMNS),
            (true, false) => ("steps", "symbol,value,unit,formula,meaning,source"),
            (true, true) => ("", COLUMNS),
        };
        sheet(&self.keys(), list, columns)
    }
}

fn step_table(steps: &[ExplainStep]) -> Vec<Vec<String>> {
    let rows = steps.iter().map(|step| {
        let value = format!("{} {}", number_text(step.value, 5, 9), step.unit);
        let said = format!("{} ({})", step.meaning, step.source);
        vec![step.symbol.to_owned(), value, step.formula.to_owned(), said]
    });
    records(&["symbol", "value", "formula", "what it is (source)"], rows)
}
