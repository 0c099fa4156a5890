//! The history of a joint as a picture.

use std::collections::BTreeMap;

use super::history::{HistoryReport, PlottedUnit};
use crate::conformity::Kind;
use crate::quantity::{MeasureLimit, Resolution, Rounding, newton_metres};
use crate::report::chart::{BoltField, ChartError, PlottedValue, Sign, TimeChart};
use crate::workshop::{LocalInstant, Logged};

/// On an axis of fewer days the hours are told, too.
const HOURS_BELOW_DAYS: f64 = 3.0;
/// In a day, ms.
const DAY_MS: f64 = 86_400_000.0;

/// The picture of a history, as SVG; [`ChartError::Empty`] where there is no value.
pub fn history_svg(history: &HistoryReport<'_>) -> Result<String, ChartError> {
    let unit = history.plotted_unit();
    let shown = |value: f64| match unit {
        PlottedUnit::Torque(unit) => unit.value_of(newton_metres(value)),
        PlottedUnit::Measure(_) => value,
    };
    let unit_text = match unit {
        PlottedUnit::Torque(unit) => unit.to_string(),
        PlottedUnit::Measure(unit) => unit.map(|unit| unit.to_string()).unwrap_or_default(),
    };
    let first = history.drawn().next().map(|(row, _)| row.reading.at);
    let point = |(row, value): (&Logged, f64)| {
        let at = first.map_or(0.0, |first| row.reading.at.days_since(first));
        let uncertainty = shown(history.uncertainty(row).unwrap_or_default());
        (row.reading.bolt, PlottedValue { at, value: shown(value), uncertainty, sign: sign(row) })
    };
    let mut bolts: BTreeMap<u16, Vec<PlottedValue>> = BTreeMap::new();
    for (bolt, point) in history.drawn().map(point) {
        bolts.entry(bolt).or_default().push(point);
    }
    let name = |bolt| if history.joint.bolts > 1 { format!("bolt {bolt}") } else { String::new() };
    let fields = bolts.into_iter().map(|(bolt, points)| BoltField { name: name(bolt), points }).collect();
    let chart = TimeChart {
        title: format!("{}/{}", history.bike, history.joint.name),
        specified: history.specified(),
        unit: unit_text,
        fields,
        bands: history.bands().into_iter().map(|(low, high)| (low.map(shown), high.map(shown))).collect(),
        limits: limits(history, &shown),
        day_text: &|day, span| day_text(first, day, span),
    };
    chart.svg()
}

fn sign(row: &Logged) -> Sign {
    match (row.corrected_by, row.reading.kind) {
        (Some(_), _) => Sign::TakenBack,
        (None, Kind::Tightened | Kind::Measured) => Sign::Read,
        (None, Kind::Held) => Sign::Held,
        (None, _) => Sign::ReChecked,
    }
}

/// Every limit with its figure, the highest first; those of torques rounded inward.
fn limits(history: &HistoryReport<'_>, shown: &dyn Fn(f64) -> f64) -> Vec<(f64, String)> {
    let mut limits: Vec<(f64, String)> = match history.plotted_unit() {
        PlottedUnit::Measure(_) => history.allowed.iter().flat_map(measure_ends).collect(),
        PlottedUnit::Torque(unit) => {
            let figure =
                |nm: f64, inward| Resolution(newton_metres(0.1)).text(newton_metres(nm), unit, inward);
            let ends = history.bands().into_iter();
            let ends =
                ends.flat_map(|(low, high)| [(low, Rounding::Up, "min"), (high, Rounding::Down, "max")]);
            let text = |nm, inward, word| (shown(nm), format!("{word} {} {unit}", figure(nm, inward)));
            ends.filter_map(|(end, inward, word)| Some(text(end?, inward, word))).collect()
        }
    };
    limits.sort_by(|a, b| b.0.total_cmp(&a.0));
    limits.dedup();
    limits
}

/// The ends of a limit as they are stated, each with its value as it is compared.
fn measure_ends(limit: &MeasureLimit) -> impl Iterator<Item = (f64, String)> + use<> {
    let least = if limit.low_excluded { "over" } else { "min" };
    let ends = [(limit.low, least), (limit.high, "max")];
    ends.into_iter().filter_map(|(end, word)| Some((end?.compared(), format!("{word} {}", end?))))
}

fn day_text(first: Option<LocalInstant>, day: f64, span: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "an axis of some years, in milliseconds")]
    let at = first.map(|first| first.later_by_ms((day * DAY_MS) as i64));
    match at {
        Some(at) if span < HOURS_BELOW_DAYS => at.short().get(5..).unwrap_or_default().to_owned(),
        Some(at) => at.date().to_string(),
        None => String::new(),
    }
}
