//! What a judgement rests on besides the joint and its readings.

use std::collections::BTreeMap;

use super::{Hardware, LocalInstant, Usage};
use crate::book::{MeasuredItem, ServiceInterval};
use crate::wrench::Wrench;

/// The book, the wrenches and the present moment, for one bicycle.
#[derive(Debug, Clone, Copy)]
pub struct JudgingContext<'a> {
    /// The present moment. Readings and events after it do not count.
    pub now: LocalInstant,
    /// Kind of the bicycle.
    pub kind: &'a str,
    /// How the bicycle was used.
    pub usage: &'a Usage,
    /// Registered wrenches by name.
    pub wrenches: &'a BTreeMap<String, Wrench>,
    /// What comes round.
    pub intervals: &'a [ServiceInterval],
    /// The hardware that the book knows, by entry.
    pub hardware: &'a BTreeMap<String, Hardware>,
    /// Measured checks that the book knows, by item.
    pub items: &'a BTreeMap<String, MeasuredItem>,
}
