//! The condition of a thread against the one that a figure is stated for. A torque is never converted:
//! what is published about the change is told instead, with its spread and its sources.

use std::collections::BTreeSet;

use serde::Serialize;

use super::Style;
use crate::book::{Claim as _, Page};
use crate::joint::{
    Catalogue, Condition, ConditionAnswer, Disagreement, PublishedNutFactor, Ratio, Span, TorqueChange,
    in_ratio,
};

/// A condition that figures are stated for, and by whom.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StatedCondition {
    /// The name that tables know it by; none where they know none such.
    condition: Option<&'static str>,
    /// As stated.
    as_stated: String,
    /// Keys of the sources.
    sources: Vec<String>,
    #[serde(skip)]
    known: Option<Condition>,
}

#[derive(Debug, Clone, Serialize)]
struct Change {
    /// True when it is about going from the stated condition to the actual one.
    asked_direction: bool,
    from: &'static str,
    to: &'static str,
    what: String,
    low_percent: f64,
    high_percent: f64,
    source: String,
    grade: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct Factor {
    condition: &'static str,
    what: String,
    low: f64,
    high: f64,
    source: String,
    grade: &'static str,
}

#[derive(Debug, Clone, Copy, Serialize)]
struct Percent {
    low_percent: f64,
    high_percent: f64,
}

/// What is published about one stated condition that differs from the thread in hand.
#[derive(Debug, Clone, Serialize)]
struct Published {
    stated: &'static str,
    actual: &'static str,
    /// Published in the direction asked for; none where nothing is.
    change: Option<Percent>,
    changes: Vec<Change>,
    stated_nut_factors: Vec<Factor>,
    actual_nut_factors: Vec<Factor>,
}

/// What is to be said of the condition of the thread.
#[derive(Debug, Clone, Serialize)]
pub struct ConditionReport {
    /// The condition of the thread in hand; none when it was not given.
    actual: Option<&'static str>,
    stated: Vec<StatedCondition>,
    /// True when every condition that is stated and known differs from the one in hand.
    differs: bool,
    published: Vec<Published>,
    /// Always none: see the head of the file.
    converted_torque_nm: Option<f64>,
}

impl StatedCondition {
    /// A condition that the user says a figure is for.
    pub fn named(condition: Condition) -> StatedCondition {
        let name = condition.name();
        let known = Some(condition);
        StatedCondition { condition: Some(name), as_stated: name.to_owned(), sources: Vec::new(), known }
    }

    /// The conditions that the counted figures of a page are stated for, each once.
    pub fn of_page(page: &Page) -> Vec<StatedCondition> {
        let mut all: Vec<StatedCondition> = Vec::new();
        for value in page.evidence.iter().filter(|value| value.counted() && !value.condition.is_empty()) {
            let source = value.source.source.clone();
            if let Some(stated) = all.iter_mut().find(|stated| stated.as_stated == value.condition) {
                stated.sources.push(source);
                continue;
            }
            let known = Condition::stated_in(&value.condition);
            all.push(StatedCondition {
                condition: known.map(Condition::name),
                as_stated: value.condition.clone(),
                sources: vec![source],
                known,
            });
        }
        for stated in &mut all {
            stated.sources.dedup();
        }
        all
    }

    fn text(&self) -> String {
        match self.sources.as_slice() {
            [] => self.as_stated.clone(),
            sources => format!("{} ({})", self.as_stated, sources.join(", ")),
        }
    }
}

impl ConditionReport {
    /// What figures are stated for, where the condition of the thread in hand is not given.
    pub fn stated_only(stated: Vec<StatedCondition>) -> ConditionReport {
        ConditionReport {
            actual: None,
            stated,
            differs: false,
            published: Vec::new(),
            converted_torque_nm: None,
        }
    }

    /// The stated conditions against the `actual` one.
    pub fn new(catalogue: &Catalogue, stated: Vec<StatedCondition>, actual: Condition) -> ConditionReport {
        let known: Vec<Condition> = stated.iter().filter_map(|stated| stated.known).collect();
        let mut published: Vec<Published> = Vec::new();
        for condition in &known {
            let told = published.iter().any(|known| known.stated == condition.name());
            if let (ConditionAnswer::Different(found), false) =
                (catalogue.compare_conditions(*condition, actual), told)
            {
                published.push(Published::new(&found));
            }
        }
        let differs = !known.is_empty() && known.iter().all(|condition| *condition != actual);
        let actual = Some(actual.name());
        ConditionReport { actual, stated, differs, published, converted_torque_nm: None }
    }

    /// True when no figure is stated for the condition in hand, and some for another one.
    pub fn differs(&self) -> bool {
        self.differs
    }

    /// The condition in words for a screen.
    pub fn text(&self, style: &Style) -> String {
        let stated: Vec<String> = self.stated.iter().map(StatedCondition::text).collect();
        let mut said = Vec::new();
        match (self.actual, stated.as_slice()) {
            (None, []) => {}
            (None, _) => said.push(format!("stated for: {}", stated.join("; "))),
            (Some(actual), []) => said.push(format!(
                "your thread: {actual}; no figure that counts says which condition it is for, so nothing can be compared"
            )),
            (Some(actual), _) => {
                said.push(format!("your thread: {actual}; figures are stated for: {}", stated.join("; ")));
                if self.published.is_empty() && self.stated.iter().all(|stated| stated.known.is_none()) {
                    said.push("nothing published can be held against that".to_owned());
                }
            }
        }
        for published in &self.published {
            said.extend(published.texts());
        }
        style.listed("Thread", &said)
    }
}

impl Published {
    fn new(found: &Disagreement) -> Published {
        let factors = |factors: &[PublishedNutFactor]| factors.iter().map(factor).collect::<Vec<_>>();
        Published {
            stated: found.stated.name(),
            actual: found.actual.name(),
            change: found.range.map(percent),
            changes: found.changes.iter().map(|change| Change::new(change, found)).collect(),
            stated_nut_factors: factors(&found.stated_factors),
            actual_nut_factors: factors(&found.actual_factors),
        }
    }

    fn texts(&self) -> Vec<String> {
        let (stated, actual) = (self.stated, self.actual);
        let mut said = Vec::new();
        let (there, back): (Vec<&Change>, Vec<&Change>) =
            self.changes.iter().partition(|change| change.asked_direction);
        said.push(match self.change {
            Some(range) => format!(
                "published changes of the torque from {stated} to {actual}: {}, by {}",
                range.text(),
                sources(&there)
            ),
            None => format!("nothing is published on going from {stated} to {actual}"),
        });
        let other_way = back.iter().map(|change| Percent::of(change)).reduce(Percent::hull);
        if let Some(range) = other_way {
            let by = sources(&back);
            said.push(format!("for the other way, from {actual} to {stated}: {}, by {by}", range.text()));
        }
        said.extend(factors_text(stated, &self.stated_nut_factors));
        said.extend(factors_text(actual, &self.actual_nut_factors));
        said.push(
            "no torque is converted: treat the thread as the source says, or ask the maker for a figure for yours"
                .to_owned(),
        );
        said
    }
}

/// The spread of the published nut factors of a condition or of those like it.
fn factors_text(condition: &str, factors: &[Factor]) -> Option<String> {
    let ends = factors.iter().map(|factor| (factor.low, factor.high));
    let (low, high) = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    let by = once_each(factors.iter().map(|factor| factor.source.as_str()));
    let spread = if low < high { format!("{low:.2} to {high:.2}") } else { format!("{low:.2}") };
    Some(format!("published nut factors, {condition} or the like: {spread}, by {by}"))
}

impl Change {
    fn new(found: &TorqueChange, between: &Disagreement) -> Change {
        let Percent { low_percent, high_percent } = percent(found.change);
        Change {
            asked_direction: found.leads(between.stated, between.actual),
            from: found.from.name(),
            to: found.to.name(),
            what: found.what.clone(),
            low_percent,
            high_percent,
            source: found.provenance.source.clone(),
            grade: found.provenance.grade.name(),
        }
    }
}

impl Percent {
    fn of(change: &Change) -> Percent {
        Percent { low_percent: change.low_percent, high_percent: change.high_percent }
    }

    fn hull(self, other: Percent) -> Percent {
        Percent {
            low_percent: self.low_percent.min(other.low_percent),
            high_percent: self.high_percent.max(other.high_percent),
        }
    }

    fn text(self) -> String {
        let (low, high) = (self.low_percent, self.high_percent);
        if (low - high).abs() < 0.05 { format!("{low:+.0} %") } else { format!("{low:+.0} to {high:+.0} %") }
    }
}

fn percent(band: Span<Ratio>) -> Percent {
    // Percent as the table has them; the ratio must not show in the last digits.
    let percent = |ratio: Ratio| (in_ratio(ratio) * 1e8).round() / 1e6;
    Percent { low_percent: percent(band.low), high_percent: percent(band.high) }
}

fn factor(found: &PublishedNutFactor) -> Factor {
    Factor {
        condition: found.condition.name(),
        what: found.what.clone(),
        low: in_ratio(found.factor.low),
        high: in_ratio(found.factor.high),
        source: found.provenance.source.clone(),
        grade: found.provenance.grade.name(),
    }
}

fn sources(changes: &[&Change]) -> String {
    once_each(changes.iter().map(|change| change.source.as_str()))
}

fn once_each<'a>(texts: impl Iterator<Item = &'a str>) -> String {
    texts.collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join("; ")
}
