//! When a part that wears reaches its limit, in words and for programs.

use serde_json::{Value, json};

use crate::words::counted;
use crate::workshop::Wear;

/// In one sentence; the days are those of an interval, since no trend knows one day.
pub fn wear_text(wear: &Wear) -> String {
    let (from, to) = wear.days;
    let limit = wear.limit;
    let anew = |day| format!(" since {day}, when it measured like a new part,");
    let measures = counted(wear.count, "measure") + &wear.anew.map_or_else(String::new, anew);
    if to <= wear.today {
        return format!("by the trend of {measures} it has reached {limit} since {to}: measure it now");
    }
    if from <= wear.today {
        return format!(
            "by the trend of {measures} it reaches {limit} by {to} at the latest, and may have done so: measure it now"
        );
    }
    let km = wear.km.map(|(low, high)| format!("{low:.0} to {high:.0} km"));
    let hours = wear.hours.map(|(low, high)| format!("{low:.0} to {high:.0} h"));
    let riding = km.or(hours).map_or_else(String::new, |riding| format!(", after {riding} more of riding"));
    format!("by the trend of {measures} it reaches {limit} between {from} and {to}{riding}")
}

/// For programs; null where nothing is foreseen.
pub fn wear_json(wear: Option<&Wear>) -> Value {
    let ends = |span: Option<(f64, f64)>| span.map(|(low, high)| json!({ "low": low, "high": high }));
    json!(wear.map(|wear| json!({
        "bolt": wear.bolt,
        "limit": wear.limit.to_string(),
        "measures": wear.count,
        "new_since": wear.anew.map(|day| day.to_string()),
        "from": wear.days.0.to_string(),
        "to": wear.days.1.to_string(),
        "hours_left": ends(wear.hours),
        "km_left": ends(wear.km),
        "text": wear_text(wear),
    })))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Measure;
    use jiff::civil::{Date, date};

    fn said(from: Date, to: Date, km: Option<(f64, f64)>) -> String {
        let limit = Measure::parse("1.0 mm", None).unwrap();
        let (days, today) = ((from, to), date(2026, 6, 10));
        wear_text(&Wear { bolt: 1, limit, count: 5, anew: None, days, today, hours: Some((1.2, 4.0)), km })
    }

    #[test]
    fn the_days_are_told_as_seen_from_today() {
        let (early, late) = (date(2026, 6, 12), date(2026, 7, 20));
        let trend = "by the trend of 5 measures it";
        assert_eq!(
            said(early, late, Some((39.6, 900.0))),
            format!(
                "{trend} reaches 1.0 mm between 2026-06-12 and 2026-07-20, after 40 to 900 km more of riding"
            )
        );
        assert!(said(early, late, None).ends_with("after 1 to 4 h more of riding"));
        assert_eq!(
            said(date(2026, 6, 10), late, None),
            format!(
                "{trend} reaches 1.0 mm by 2026-07-20 at the latest, and may have done so: measure it now"
            )
        );
        assert_eq!(
            said(date(2026, 6, 1), date(2026, 6, 10), None),
            format!("{trend} has reached 1.0 mm since 2026-06-10: measure it now")
        );
    }

    #[test]
    fn a_trend_that_began_with_a_part_that_nobody_recorded_says_so() {
        let limit = Measure::parse("1.0 mm", None).unwrap();
        let (days, today) = ((date(2026, 6, 12), date(2026, 7, 20)), date(2026, 6, 10));
        let anew = Some(date(2026, 5, 1));
        let wear = Wear { bolt: 1, limit, count: 4, anew, days, today, hours: None, km: None };
        let told = "by the trend of 4 measures since 2026-05-01, when it measured like a new part, it reaches 1.0 mm";
        assert!(wear_text(&wear).starts_with(told), "{}", wear_text(&wear));
        assert_eq!(wear_json(Some(&wear))["new_since"], "2026-05-01");
    }
}
