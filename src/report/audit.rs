//! What an audit found: the sum first, then entries, wrenches, what could not be read, the worst.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use super::{Band, Report, Style, columns, records, sheet, stretch_text, torque_text};
use crate::audit::{Counts, Fault, LeftOut, Rule, Summary, Worst, WrenchCounts};
use crate::book::TorqueInterval;
use crate::quantity::{Resolution, Torque, TorqueUnit, newton_metres};

/// The findings of an audit.
#[derive(Debug, Serialize)]
pub struct AuditReport<'a> {
    #[serde(flatten)]
    total: Counts,
    rule: Rule,
    faults: &'a BTreeMap<Fault, u64>,
    left_out: BTreeMap<LeftOut, u64>,
    entries: Vec<EntryRows<'a>>,
    wrenches: Vec<WrenchRows<'a>>,
    worst: &'a [Worst],
    #[serde(skip)]
    own_figures: bool,
    #[serde(skip)]
    unit: TorqueUnit,
}

#[derive(Debug, Serialize)]
struct EntryRows<'a> {
    entry: &'a str,
    #[serde(flatten)]
    band: Band,
    #[serde(flatten)]
    counts: Counts,
    wrenches: Vec<WrenchRows<'a>>,
    unreadable: Vec<UnreadableRows<'a>>,
}

/// A joint with a figure that cannot be read.
#[derive(Debug, Serialize)]
struct UnreadableRows<'a> {
    joint: &'a str,
    reason: &'a str,
    no_figure: u64,
}

#[derive(Debug, Serialize)]
struct WrenchRows<'a> {
    wrench: &'a str,
    #[serde(flatten)]
    counts: WrenchCounts,
}

impl<'a> AuditReport<'a> {
    /// The findings of `summary` with at most `worst` readings furthest outside, torques in `unit`.
    pub fn new(summary: &'a Summary, worst: usize, unit: TorqueUnit) -> AuditReport<'a> {
        let rows = |(wrench, counts)| WrenchRows { wrench, counts };
        let entries = summary.entries.iter().map(|(entry, found)| EntryRows {
            entry,
            band: Band { low_nm: found.low_nm, high_nm: found.high_nm, value_nm: found.value_nm },
            counts: found.counts(),
            wrenches: found.wrenches.iter().map(|(name, counts)| rows((name, *counts))).collect(),
            unreadable: found
                .unreadable
                .iter()
                .map(|(joint, (reason, no_figure))| UnreadableRows { joint, reason, no_figure: *no_figure })
                .collect(),
        });
        AuditReport {
            total: summary.total(),
            rule: summary.rule,
            faults: &summary.faults,
            left_out: LeftOut::ALL
                .into_iter()
                .map(|why| (why, summary.left_out.get(&why).copied().unwrap_or(0)))
                .collect(),
            entries: entries.collect(),
            wrenches: summary.by_wrench().into_iter().map(rows).collect(),
            worst: summary.worst.get(..worst).unwrap_or(&summary.worst),
            own_figures: summary.own_figures,
            unit,
        }
    }

    fn band_text(&self, band: Band) -> String {
        if let Some(value) = band.value_nm.map(newton_metres) {
            return torque_text(value, resolution(value), self.unit);
        }
        if band.low_nm.or(band.high_nm).is_none() {
            return "–".to_owned();
        }
        let low = band.low_nm.map(newton_metres);
        let high = band.high_nm.map(newton_metres);
        let finest = low.or(high).map_or(newton_metres(0.1), |end| resolution(end).0);
        stretch_text(TorqueInterval { low, high, issuers: 0 }, Resolution(finest), self.unit)
    }

    fn head(&self, style: &Style) -> String {
        let total = &self.total;
        let mut text = format!("{} row{}", grouped(total.rows), if total.rows == 1 { "" } else { "s" });
        for (word, count) in HEADER.iter().zip(cells(total)).skip(1) {
            let word = match *word {
                "inside" => style.good(word),
                "too close" | "not settled" => style.open(word),
                _ => style.bad(word),
            };
            text += &format!("  {word} {count}");
        }
        text = style.wrapped("", &text);
        if self.rule == Rule::Plain {
            text +=
                &style.wrapped("", "Readings were taken as exact (--rule plain): no wrench was looked at.");
        }
        text
    }

    fn tables(&self, style: &Style) -> String {
        let mut text = String::new();
        if !self.entries.is_empty() {
            let rows = self.entries.iter().map(|found| {
                let (entry, band) = (found.entry.to_owned(), self.band_text(found.band));
                [entry].into_iter().chain(cells(&found.counts)).chain([band]).collect()
            });
            text += "\n";
            text += &columns(&records(&[&["entry"][..], &HEADER[..], &["torque"][..]].concat(), rows), style);
        }
        let named = self.wrenches.iter().any(|found| !found.wrench.is_empty());
        if named {
            let rows = self.wrenches.iter().map(|found| {
                let name = match (found.wrench, found.counts.registered) {
                    ("", _) => "none named".to_owned(),
                    (name, true) => name.to_owned(),
                    (name, false) => format!("{name} (not registered)"),
                };
                std::iter::once(name).chain(cells(&found.counts.counts)).collect()
            });
            text += "\n";
            text += &columns(&records(&[&["wrench"][..], &HEADER[..]].concat(), rows), style);
        }
        text
    }

    fn notes(&self, style: &Style) -> String {
        let total = &self.total;
        let unreadable = || self.entries.iter().flat_map(|entry| &entry.unreadable);
        let damaged = unreadable().map(|joint| joint.no_figure).sum();
        let open = counted(&[
            (total.in_doubt, "by a wrench that cannot be believed: calibration, scale or direction"),
            (damaged, "for joints with a figure that cannot be read"),
            (
                total.no_figure.saturating_sub(damaged),
                "for entries without an agreed figure: read the marking, ask the maker",
            ),
            (total.held, "re-checks held, set within the limits"),
            (
                total.held_low,
                "re-checks held below the lower limit, above the upper, or without one, or with a wrench in doubt",
            ),
            (total.moved, "re-checks moved: a finding; look for the cause, tighten anew and log that"),
            (total.noted, "loosening or back-to-mark torques, not compared with limits"),
            (total.no_torque, "by hand or skipped"),
        ]);
        let too_much = counted(&[(
            total.too_much,
            "readings high: too much for a bolt of a known class; slacken it now, renew it if it was tightened to that",
        )]);
        let faults: Vec<(u64, &str)> =
            self.faults.iter().map(|(fault, count)| (*count, fault.text())).collect();
        let left_out: Vec<(u64, &str)> =
            self.left_out.iter().map(|(why, count)| (*count, why.text())).collect();
        let slips = counted(&[(total.unit_slips, "readings make sense in another unit or on another scale")]);
        let mut text = String::new();
        let own = "the torques are bands of entries; joints of bicycles were judged by figures of their own, \
                   the marking on the part before all";
        let own: Vec<String> = self.own_figures.then(|| own.to_owned()).into_iter().collect();
        let unreadable = unreadable().map(|joint| format!("{}: {}", joint.joint, joint.reason)).collect();
        for (label, lines) in [
            ("Torque", own),
            ("Bolt", too_much),
            ("Open", open),
            ("Figure", unreadable),
            ("Rejected", counted(&faults)),
            ("Left out", counted(&left_out)),
            ("Unit?", slips),
        ] {
            if !lines.is_empty() {
                text += "\n";
                text += &style.listed(label, &lines);
            }
        }
        text
    }

    fn worst_table(&self, style: &Style) -> String {
        if self.worst.is_empty() {
            return String::new();
        }
        let rows = self.worst.iter().map(|worst| {
            let shown = |nm: f64| torque_text(newton_metres(nm), resolution(newton_metres(nm)), self.unit);
            vec![
                worst.row.to_string(),
                worst.verdict.clone(),
                shown(worst.reading_nm),
                shown(worst.limit_nm),
                worst.times.map_or_else(|| "–".to_owned(), |times| format!("{times:.2}")),
                worst.wrench.clone(),
                worst.entry.clone(),
            ]
        });
        let header = ["row", "verdict", "read", "limit", "times", "wrench", "entry"];
        format!("\n{}", columns(&records(&header, rows), style))
    }
}

/// A digit that shows a torque to a few parts in a hundred.
fn resolution(torque: Torque) -> Resolution {
    let step = if torque < newton_metres(2.0) { 0.01 } else { 0.1 };
    Resolution(newton_metres(step))
}

const HEADER: [&str; 7] = ["rows", "inside", "low", "high", "too close", "not settled", "rejected"];

fn cells(counts: &Counts) -> [String; HEADER.len()] {
    [
        counts.rows,
        counts.inside,
        counts.low,
        counts.high,
        counts.too_close,
        counts.not_settled,
        counts.rejected,
    ]
    .map(grouped)
}

/// What was counted at all.
fn counted(pairs: &[(u64, &str)]) -> Vec<String> {
    let met = pairs.iter().filter(|(count, _)| *count > 0);
    met.map(|(count, what)| format!("{} {what}", grouped(*count))).collect()
}

/// A count with its thousands apart.
fn grouped(count: u64) -> String {
    let digits = count.to_string();
    let mut text = String::with_capacity(2 * digits.len());
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push('\u{a0}');
        }
        text.push(digit);
    }
    text
}

impl Report for AuditReport<'_> {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        self.head(style) + &self.tables(style) + &self.notes(style) + &self.worst_table(style)
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let mut rows = sheet(
            &self.json(),
            "entries.wrenches",
            "entry,wrench,registered,low_nm,high_nm,value_nm,rows,inside,low,high,too_close,not_settled,rejected,too_much,unit_slips,\
             in_doubt,no_figure,held,held_low,moved,noted,no_torque,unreadable=unreadable.joint,unreadable_why=unreadable.reason",
        );
        for registered in rows.iter_mut().skip(1).filter_map(|row| row.get_mut(2)) {
            if registered == "true" { "yes" } else { "no" }.clone_into(registered);
        }
        rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_stand_apart() {
        assert_eq!([0, 999, 1000, 5_000_000].map(grouped), ["0", "999", "1\u{a0}000", "5\u{a0}000\u{a0}000"]);
    }
}
