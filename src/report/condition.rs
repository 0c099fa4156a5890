//! The condition of a thread against the one that a figure is stated for. A torque is never converted:
//! what is published about the change is told instead, with its spread and its sources.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::Style;
use crate::book::Page;
use crate::joint::{
    Catalogue, Condition, Disagreement, PublishedNutFactor, Ratio, Span, TorqueChange, in_ratio,
};

/// A condition that figures are stated for, and by whom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StatedCondition {
    as_stated: String,
    sources: Vec<String>,
    /// The one that tables know; none where they know none such.
    known: Option<Condition>,
}

/// What is to be said of the condition of the thread.
#[derive(Debug, Clone)]
pub struct ConditionReport {
    /// The condition of the thread in hand; none when it was not given.
    actual: Option<Condition>,
    stated: Vec<StatedCondition>,
    /// True when every condition that is stated and known differs from the one in hand.
    differs: bool,
    /// What is published about each stated condition that differs from the one in hand.
    published: Vec<Disagreement>,
}

impl StatedCondition {
    /// A condition that the user says a figure is for.
    pub fn named(condition: Condition) -> StatedCondition {
        let as_stated = condition.name().to_owned();
        StatedCondition { as_stated, sources: Vec::new(), known: Some(condition) }
    }

    /// The conditions that the counted figures of a page are stated for, each once.
    pub fn of_page(page: &Page) -> Vec<StatedCondition> {
        let mut all: Vec<StatedCondition> = Vec::new();
        for value in page.evidence.iter().filter(|value| value.claim.counted && !value.condition.is_empty()) {
            let source = value.source.source.clone();
            if let Some(stated) = all.iter_mut().find(|stated| stated.as_stated == value.condition) {
                stated.sources.push(source);
                continue;
            }
            all.push(StatedCondition {
                as_stated: value.condition.clone(),
                sources: vec![source],
                known: Condition::stated_in(&value.condition),
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

    fn json(&self) -> Value {
        json!({
            "condition": self.known.map(Condition::name),
            "as_stated": self.as_stated,
            "sources": self.sources,
        })
    }
}

impl ConditionReport {
    /// What figures are stated for, where the condition of the thread in hand is not given.
    pub fn stated_only(stated: Vec<StatedCondition>) -> ConditionReport {
        ConditionReport { actual: None, stated, differs: false, published: Vec::new() }
    }

    /// The stated conditions against the `actual` one.
    pub fn new(catalogue: &Catalogue, stated: Vec<StatedCondition>, actual: Condition) -> ConditionReport {
        let known: Vec<Condition> = stated.iter().filter_map(|stated| stated.known).collect();
        let mut published: Vec<Disagreement> = Vec::new();
        for condition in &known {
            let told = published.iter().any(|known| known.stated == *condition);
            let found = catalogue.compare_conditions(*condition, actual);
            published.extend(found.filter(|_| !told));
        }
        let differs = !known.is_empty() && known.iter().all(|condition| *condition != actual);
        ConditionReport { actual: Some(actual), stated, differs, published }
    }

    /// True when no figure is stated for the condition in hand, and some for another one.
    pub fn differs(&self) -> bool {
        self.differs
    }

    pub fn text(&self, style: &Style) -> String {
        let stated: Vec<String> = self.stated.iter().map(StatedCondition::text).collect();
        let mut said = Vec::new();
        match (self.actual.map(Condition::name), stated.as_slice()) {
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
            said.extend(published_texts(published));
        }
        style.listed("Thread", &said)
    }

    pub fn json(&self) -> Value {
        json!({
            "actual": self.actual.map(Condition::name),
            "stated": self.stated.iter().map(StatedCondition::json).collect::<Vec<_>>(),
            "differs": self.differs,
            "published": self.published.iter().map(published_json).collect::<Vec<_>>(),
            // Always none: see the head of the file.
            "converted_torque_nm": null,
        })
    }
}

fn published_json(found: &Disagreement) -> Value {
    let change = |change: &TorqueChange| {
        let (low, high) = percent(change.change);
        json!({
            "asked_direction": change.leads(found.stated, found.actual),
            "from": change.from.name(),
            "to": change.to.name(),
            "what": change.what,
            "low_percent": low,
            "high_percent": high,
            "source": change.provenance.source,
            "grade": change.provenance.grade.name(),
        })
    };
    let factor = |found: &PublishedNutFactor| {
        json!({
            "condition": found.condition.name(),
            "what": found.what,
            "low": in_ratio(found.factor.low),
            "high": in_ratio(found.factor.high),
            "source": found.provenance.source,
            "grade": found.provenance.grade.name(),
        })
    };
    let range = found.range.map(percent);
    json!({
        "stated": found.stated.name(),
        "actual": found.actual.name(),
        // Published in the direction asked for; none where nothing is.
        "change": range.map(|(low, high)| json!({ "low_percent": low, "high_percent": high })),
        "changes": found.changes.iter().map(change).collect::<Vec<_>>(),
        "stated_nut_factors": found.stated_factors.iter().map(factor).collect::<Vec<_>>(),
        "actual_nut_factors": found.actual_factors.iter().map(factor).collect::<Vec<_>>(),
    })
}

fn published_texts(found: &Disagreement) -> Vec<String> {
    let (stated, actual) = (found.stated.name(), found.actual.name());
    let (there, back): (Vec<&TorqueChange>, Vec<&TorqueChange>) =
        found.changes.iter().partition(|change| change.leads(found.stated, found.actual));
    let sources =
        |changes: &[&TorqueChange]| once_each(changes.iter().map(|change| &change.provenance.source));
    let mut said = vec![match found.range.map(percent) {
        Some(range) => format!(
            "published changes of the torque from {stated} to {actual}: {}, by {}",
            percent_text(range),
            sources(&there)
        ),
        None => format!("nothing is published on going from {stated} to {actual}"),
    }];
    if let Some(range) = hull(back.iter().map(|change| percent(change.change))) {
        let (range, by) = (percent_text(range), sources(&back));
        said.push(format!("for the other way, from {actual} to {stated}: {range}, by {by}"));
    }
    said.extend(factors_text(stated, &found.stated_factors));
    said.extend(factors_text(actual, &found.actual_factors));
    said.push(
        "no torque is converted: treat the thread as the source says, or ask the maker for a figure for yours"
            .to_owned(),
    );
    said
}

/// The spread of the published nut factors of a condition or of those like it.
fn factors_text(condition: &str, factors: &[PublishedNutFactor]) -> Option<String> {
    let bands = factors.iter().map(|found| (in_ratio(found.factor.low), in_ratio(found.factor.high)));
    let (low, high) = hull(bands)?;
    let by = once_each(factors.iter().map(|found| &found.provenance.source));
    let spread = if low < high { format!("{low:.2} to {high:.2}") } else { format!("{low:.2}") };
    Some(format!("published nut factors, {condition} or the like: {spread}, by {by}"))
}

/// From the least low end to the greatest high end.
fn hull(bands: impl Iterator<Item = (f64, f64)>) -> Option<(f64, f64)> {
    bands.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// Both ends in percent as the table has them; the ratio must not show in the last digits.
fn percent(band: Span<Ratio>) -> (f64, f64) {
    let percent = |ratio: Ratio| (in_ratio(ratio) * 1e8).round() / 1e6;
    (percent(band.low), percent(band.high))
}

fn percent_text((low, high): (f64, f64)) -> String {
    if (low - high).abs() < 0.05 { format!("{low:+.0} %") } else { format!("{low:+.0} to {high:+.0} %") }
}

fn once_each<'a>(texts: impl Iterator<Item = &'a String>) -> String {
    texts.map(String::as_str).collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Book, compiled_in};
    use crate::store::{BookOrigin, Store};

    #[test]
    fn a_source_of_several_figures_is_named_once() {
        let mut store = Store::in_memory().unwrap();
        store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
        let mut page = store.page("crank-pinch-bolts").unwrap().unwrap();
        let once = StatedCondition::of_page(&page);
        assert!(once.iter().any(|stated| !stated.sources.is_empty()));
        page.evidence = page.evidence.iter().flat_map(|value| [value.clone(), value.clone()]).collect();
        assert_eq!(StatedCondition::of_page(&page), once);
    }

    #[test]
    fn several_bands_are_told_from_their_least_to_their_greatest_end() {
        assert_eq!(hull([(-20.0, -15.0), (-25.0, -10.0), (-22.0, -12.0)].into_iter()), Some((-25.0, -10.0)));
        assert_eq!(hull([(-20.0, -10.0), (-25.0, -15.0)].into_iter()), Some((-25.0, -10.0)));
        assert_eq!(hull(std::iter::empty()), None);
    }

    #[test]
    fn a_change_keeps_its_sign_and_is_one_number_where_its_ends_are_alike() {
        assert_eq!(percent_text((-25.0, -15.0)), "-25 to -15 %");
        assert_eq!(percent_text((-5.0, 10.0)), "-5 to +10 %");
        assert_eq!(percent_text((20.0, 20.01)), "+20 %");
    }

    #[test]
    fn a_source_is_named_once() {
        let sources = ["b".to_owned(), "a".to_owned(), "b".to_owned()];
        assert_eq!(once_each(sources.iter()), "a; b");
    }
}
