//! One line of a log file (`specs/rules.md`, "Logs"): CSV with the header
//! `taken_at,bike,joint,entry,bolt,value,unit,kind,wrench,who,note`, columns by name in any order; the
//! log of this tool adds `finding`, `action`, `id` and `corrects`.

use std::collections::BTreeMap;

use jiff::tz::TimeZone;

use super::{Action, Finding, LocalInstant, Logged, Reading, Value};
use crate::conformity::Kind;
use crate::quantity::{self, Measure, MeasureUnit, Number, QuantityError, TorqueUnit};
use crate::sheet::Separator;
use crate::words::{listed, meant};

/// The columns of a log, in the order in which they are written.
pub const LOG_COLUMNS: [&str; 15] = [
    "taken_at", "bike", "joint", "entry", "bolt", "value", "unit", "kind", "wrench", "who", "note",
    "finding", "action", "id", "corrects",
];

/// A column that says nothing of a reading: why a row was not taken the last time.
pub const REASON: &str = "reason";

/// Where each column stands in a file, and what parts them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogColumns {
    places: BTreeMap<&'static str, usize>,
    separator: Separator,
}

impl LogColumns {
    /// Finds the columns in a header; says what is wrong when one is unknown or stands twice, or value and unit are
    /// missing.
    pub fn find<'a>(
        header: impl Iterator<Item = &'a str>,
        separator: Separator,
    ) -> Result<LogColumns, String> {
        let mut places = BTreeMap::new();
        for (index, name) in header.enumerate() {
            let name = name.trim_start_matches('\u{feff}').trim().to_lowercase();
            let known = LOG_COLUMNS.into_iter().chain([REASON]).find(|column| *column == name);
            let column = known
                .ok_or_else(|| format!("unknown column `{name}`; known are {}", LOG_COLUMNS.join(",")))?;
            if places.insert(column, index).is_some() {
                return Err(format!("column `{name}` stands twice; keep one of them"));
            }
        }
        if let Some(missing) = ["value", "unit"].into_iter().find(|column| !places.contains_key(column)) {
            return Err(format!("column `{missing}` is missing"));
        }
        Ok(LogColumns { places, separator })
    }

    /// The place of the column with the reasons of an earlier run.
    pub fn reason(&self) -> Option<usize> {
        self.places.get(REASON).copied()
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct LogLine {
    pub bike: String,
    pub joint: String,
    /// Whether it names its bolt; else it is the first one.
    pub bolt_named: bool,
    /// What was read; its number, and that of what it corrects, are those of the file, or 0.
    pub reading: Reading,
}

impl LogLine {
    /// Reads a line whose fields `field` gives by their place; a time without an offset is one of
    /// `zone`, a line without a time is of `now`, a number without a unit is in `bare`. Says what is wrong with a
    /// line that cannot be read.
    pub fn read<'a>(
        columns: &LogColumns,
        field: impl Fn(usize) -> Option<&'a str>,
        zone: &TimeZone,
        now: LocalInstant,
        bare: Option<TorqueUnit>,
    ) -> Result<LogLine, String> {
        let place = |column| columns.places.get(column);
        let stands = |column| place(column).and_then(|place| field(*place)).map_or("", str::trim);
        let value = columns.separator.with_decimal_point(stands("value"));
        let is_bare =
            stands("unit").is_empty() && Number::take(&value).is_ok_and(|(_, rest)| rest.is_empty());
        let bare = bare.filter(|_| is_bare).map(TorqueUnit::symbol);
        let text = |column| match (column, bare) {
            ("unit", Some(unit)) => unit,
            ("value", _) => &*value,
            _ => stands(column),
        };
        let needed = |column| match text(column) {
            "" => Err(format!("{column} is empty")),
            text => Ok(text.to_owned()),
        };
        if place("taken_at").is_some() {
            needed("taken_at").map_err(|empty| format!("{empty}; write when it was read"))?;
        }
        let mut reading = reading(text, zone, now)?;
        match reading.value {
            None => {
                let needs_value = || format!("a line of kind `{}` needs a value", reading.kind.text());
                reading.kind = reading.kind_without_value().ok_or_else(needs_value)?;
            }
            Some(_) if !reading.kind.has_value() => {
                let kind = reading.kind.text();
                return Err(format!("a line of kind `{kind}` has no value; leave it empty"));
            }
            Some(_) => {}
        }
        let id = |column| match text(column) {
            "" => Ok(None),
            text => text.parse().map(Some).map_err(|_| format!("`{text}` is not the number of a reading")),
        };
        let (bike, joint) = (needed("bike")?, needed("joint")?);
        let reading = Reading { id: id("id")?.unwrap_or(0), corrects: id("corrects")?, ..reading };
        Ok(LogLine { bike, joint, bolt_named: !text("bolt").is_empty(), reading })
    }
}

impl Reading {
    /// Its fields as the journal keeps them, with the keys of its wrench and of what it corrects.
    pub(crate) fn kept_fields(&self, wrench: &str, corrects: &str) -> [(&'static str, String); 11] {
        log_fields(self).map(|(column, text)| match column {
            "wrench" => (column, wrench.to_owned()),
            "corrects" => (column, corrects.to_owned()),
            _ => (column, text),
        })
    }

    /// A reading as the journal keeps it, by its columns; wrench and correction apart. Says what is wrong with one
    /// that cannot be read.
    pub(crate) fn of_kept_fields<'a>(text: impl Fn(&str) -> &'a str) -> Result<Reading, String> {
        reading(text, &TimeZone::UTC, LocalInstant::BLANK)
    }
}

/// What a line says of a bolt, but for its number and what it corrects; a time without an offset is one of `zone`, a
/// line without a time is of `now`.
fn reading<'a>(
    text: impl Fn(&'static str) -> &'a str,
    zone: &TimeZone,
    now: LocalInstant,
) -> Result<Reading, String> {
    let value = value(text("value"), text("unit"))?;
    let kind = named("kind", text("kind"), Kind::WORDS)?.unwrap_or(Kind::Tightened);
    Ok(Reading {
        id: 0,
        bolt: match text("bolt") {
            "" => 1,
            text => text.parse().map_err(|_| format!("bolt `{text}` is not a number; count from 1"))?,
        },
        at: match text("taken_at") {
            "" => now,
            text => LocalInstant::parse(text, zone).map_err(|error| error.to_string())?,
        },
        // Before there was a kind for it, a measure was kept as a tightening.
        kind: if kind.has_value() && matches!(value, Some(Value::Measure(_))) {
            Kind::Measured
        } else {
            kind
        },
        value,
        wrench: Some(text("wrench")).filter(|name| !name.is_empty()).map(str::to_owned),
        finding: named("finding", text("finding"), Finding::WORDS)?,
        action: named("action", text("action"), Action::WORDS)?,
        who: text("who").to_owned(),
        note: text("note").to_owned(),
        corrects: None,
    })
}

/// The value that a word of a column stands for; none where the field is empty.
fn named<T: Copy>(column: &'static str, text: &str, words: &[(&str, T)]) -> Result<Option<T>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let unknown = || format!("unknown {column} `{text}`; use one of {}", listed(words));
    meant(words, text).map(Some).ok_or_else(unknown)
}

/// A value with its unit; none where both are empty.
fn value(number: &str, unit: &str) -> Result<Option<Value>, String> {
    let wrong = |error: QuantityError| error.to_string();
    if number.is_empty() {
        return Ok(None);
    }
    if unit.is_empty() {
        return with_own_unit(number).map(Some);
    }
    if let Some(unit) = MeasureUnit::spelt(unit) {
        let read = match Number::take(number).map_err(wrong)? {
            (number, "") => Measure { number, unit },
            _ => Measure::parse(number, None).map_err(|error| error.to_string())?,
        };
        if read.unit != unit {
            return Err(wrong(QuantityError::UnitsDisagree {
                text: format!("{number} {unit}"),
                second: format!("in {unit}"),
            }));
        }
        return Ok(Some(Value::Measure(read)));
    }
    TorqueUnit::parse(unit).map_err(|_| {
        format!("unknown unit `{unit}`; use N·m, in-lb, ft-lb, kgf·cm, or mm, in, %, bar, psi, N, h, d, ml")
    })?;
    quantity::parse_reading_in(number, unit).map(|read| Some(Value::Torque(read))).map_err(wrong)
}

/// A value that brings its unit, as a row without one must.
fn with_own_unit(text: &str) -> Result<Value, String> {
    let measure = Measure::parse(text, None).map(Value::Measure);
    let torque = quantity::parse_reading(text).ok().filter(|read| read.unit_given).map(Value::Torque);
    torque
        .or(measure.ok())
        .ok_or_else(|| "unit is empty: nothing is kept in a unit that nobody stated".to_owned())
}

impl Logged {
    /// Its fields in a log, in the order of [`LOG_COLUMNS`].
    pub(crate) fn fields(&self) -> [String; LOG_COLUMNS.len()] {
        let of_reading = log_fields(&self.reading);
        LOG_COLUMNS.map(|column| match column {
            "bike" => self.bicycle.clone(),
            "joint" => self.joint.clone(),
            "entry" => self.entry.clone(),
            "id" => self.reading.id.to_string(),
            column => of_reading
                .iter()
                .find(|(name, _)| *name == column)
                .map_or(String::new(), |(_, text)| text.clone()),
        })
    }
}

/// What a reading says in the columns of a log.
fn log_fields(reading: &Reading) -> [(&'static str, String); 11] {
    [
        ("taken_at", reading.at.to_string()),
        ("bolt", reading.bolt.to_string()),
        ("value", reading.value.map(|value| number_text(value.number())).unwrap_or_default()),
        ("unit", reading.value.map_or("", Value::symbol).to_owned()),
        ("kind", reading.kind.text().to_owned()),
        ("who", reading.who.clone()),
        ("wrench", reading.wrench.clone().unwrap_or_default()),
        ("note", reading.note.clone()),
        ("finding", reading.finding.map(Finding::text).unwrap_or_default().to_owned()),
        ("action", reading.action.map(Action::text).unwrap_or_default().to_owned()),
        ("corrects", reading.corrects.map(|id| id.to_string()).unwrap_or_default()),
    ]
}

fn number_text(number: Number) -> String {
    let decimals = usize::from(number.decimals);
    format!("{:.decimals$}", number.value)
}

#[cfg(test)]
#[path = "log_tests.rs"]
mod tests;
