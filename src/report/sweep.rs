//! Clamp load against torque as a table.

use serde_json::{Value, json};

use super::bolt::{kilonewtons, percent_up};
use super::{Style, columns, records};
use crate::joint::{Bolt, PERMITTED_SHARE, Span, SweepPoint, in_newtons, in_ratio};
use crate::quantity::{Resolution, Rounding, TorqueUnit, in_newton_metres};

/// The two ends of something over a band of friction, for programs.
pub(super) fn ends<T>(band: Span<T>, number: impl Fn(T) -> f64) -> Value {
    json!({ "low": number(band.low), "high": number(band.high) })
}

pub(super) fn sweep_keys(points: &[SweepPoint]) -> Value {
    let keys = |point: &SweepPoint| {
        json!({
            "torque_nm": in_newton_metres(point.torque),
            "clamp_load_n": ends(point.clamp_load, in_newtons),
            "utilisation": ends(point.utilisation, in_ratio),
        })
    };
    points.iter().map(keys).collect()
}

pub(super) fn sweep_table(points: &[SweepPoint], bolt: &Bolt, unit: TorqueUnit, style: &Style) -> String {
    let finest = points.first().map(|point| Resolution::significant(point.torque, unit, 2));
    let rows = points.iter().map(|point| {
        let torque = finest.map(|step| step.text(point.torque, unit, Rounding::Nearest));
        vec![
            torque.unwrap_or_default(),
            kilonewtons(point.clamp_load.low),
            kilonewtons(point.clamp_load.high),
            format!("{:.0}", in_ratio(point.utilisation.low) * 100.0),
            percent_up(point.utilisation.high),
            remark(point, bolt).to_owned(),
        ]
    });
    let torque = format!("torque {unit}");
    let header = [&torque, "clamp kN from", "to", "% of yield from", "to", "note"];
    columns(&records(&header, rows), style)
}

fn remark(point: &SweepPoint, bolt: &Bolt) -> &'static str {
    if point.clamp_load.low > bolt.ultimate_load() {
        "tears the bolt"
    } else if in_ratio(point.utilisation.low) > PERMITTED_SHARE {
        "past 90 % of yield at any friction"
    } else if in_ratio(point.utilisation.high) > PERMITTED_SHARE {
        "past 90 % of yield if friction is low"
    } else {
        ""
    }
}
