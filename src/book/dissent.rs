//! Issuers beside whose figures an agreed band lies: it is the majority's, not everybody's (`specs/rules.md`, "On whose word").

use super::{IssuerRange, TorqueInterval};
use crate::quantity::{Resolution, Rounding, TorqueUnit};

/// Those who allow nothing that the band holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Dissent {
    /// Who stays below the band, in the order of the sheet.
    pub less: Vec<IssuerRange>,
    /// Who asks for more than it holds.
    pub more: Vec<IssuerRange>,
}

impl Dissent {
    /// None where every issuer allows some of the band.
    pub(super) fn of(band: &TorqueInterval, ranges: &[IssuerRange]) -> Option<Dissent> {
        let is_less = |range: &&IssuerRange| range.high.zip(band.low).is_some_and(|(high, low)| high < low);
        let is_more = |range: &&IssuerRange| range.low.zip(band.high).is_some_and(|(low, high)| low > high);
        let less: Vec<IssuerRange> = ranges.iter().filter(is_less).cloned().collect();
        let more: Vec<IssuerRange> = ranges.iter().filter(is_more).cloned().collect();
        (!less.is_empty() || !more.is_empty()).then_some(Dissent { less, more })
    }

    /// Who prints what instead, in N·m, as one sentence without its full stop.
    #[must_use]
    pub fn text(&self) -> String {
        let told = |word: &str, ranges: &[IssuerRange]| {
            let each: Vec<String> = ranges.iter().map(printed).collect();
            (!each.is_empty()).then(|| format!("{word}: {}", each.join(", ")))
        };
        let sides = [told("others print less", &self.less), told("others print more", &self.more)];
        sides.into_iter().flatten().collect::<Vec<_>>().join("; ")
    }
}

/// An issuer with what it prints.
fn printed(range: &IssuerRange) -> String {
    let unit = TorqueUnit::NewtonMetre;
    let torque = match (range.set_value, range.low, range.high) {
        // The resolution of a set value is that of what it allows.
        (Some(value), ..) => Resolution(range.resolution.0 * 10.0).text(value, unit, Rounding::Nearest),
        (None, Some(low), Some(high)) => {
            let (low, high) = range.resolution.range_text(low, high, unit);
            format!("{low}–{high}")
        }
        (None, None, Some(high)) => format!("max {}", range.resolution.text(high, unit, Rounding::Down)),
        (None, Some(low), None) => format!("min {}", range.resolution.text(low, unit, Rounding::Up)),
        (None, None, None) => return range.issuer.clone(),
    };
    format!("{} {torque} {unit}", range.issuer)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Torque, newton_metres as nm};

    fn range(issuer: &str, low: Option<f64>, high: Option<f64>) -> IssuerRange {
        IssuerRange {
            issuer: issuer.to_owned(),
            low: low.map(nm),
            high: high.map(nm),
            first_kind: true,
            set_value: None,
            resolution: Resolution(nm(1.0)),
            own: false,
        }
    }

    #[test]
    fn who_allows_nothing_of_the_band_is_named_with_what_it_prints() {
        let band = TorqueInterval { low: Some(nm(6.0)), high: Some(nm(6.2)), issuers: 3 };
        let of = |ranges: &[IssuerRange]| Dissent::of(&band, ranges).map(|dissent| dissent.text());
        assert_eq!(of(&[range("a", Some(5.0), Some(6.0)), range("b", None, Some(9.0))]), None);
        let set = IssuerRange {
            set_value: Some(nm(4.0)),
            resolution: Resolution(nm(0.1)),
            ..range("c", Some(3.84), Some(4.16))
        };
        let ranges =
            [set, range("d", Some(2.0), Some(4.0)), range("e", None, Some(5.0)), range("f", Some(7.0), None)];
        let told = "others print less: c 4 N·m, d 2–4 N·m, e max 5 N·m; others print more: f min 7 N·m";
        assert_eq!(of(&ranges).as_deref(), Some(told));
        let open = TorqueInterval { low: None::<Torque>, ..band };
        assert_eq!(Dissent::of(&open, &ranges[..3]), None);
    }
}
