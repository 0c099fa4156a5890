//! What happened to bicycles, as it was written down, and what is due on them since.

use serde_json::{Value, json};

use super::DueReport;
use crate::book::EventKind;
use crate::report::{Report, Style, one_sheet};
use crate::words::counted;
use crate::workshop::Event;

/// An event that was recorded or struck, and how its bicycles stand now.
pub struct EventReport<'a> {
    pub event: &'a Event,
    /// Why it counts no longer; none while it does.
    pub struck: Option<&'a str>,
    pub bikes: Vec<DueReport>,
}

impl EventReport<'_> {
    fn event_json(&self) -> Value {
        let Event { kind, at, hours, km, hires, what, note } = self.event;
        json!({
            "kind": kind.text(),
            "at": at.to_string(),
            "hours": hours,
            "km": km,
            "hires": hires,
            "what": what,
            "note": note,
            "struck": self.struck,
        })
    }
}

/// An event in words: `ride of 2 h 30 min, 48 km, 1 hire, 2026-05-31 17:00`.
pub(super) fn event_words(event: &Event) -> String {
    let mut how_much = Vec::new();
    how_much.extend(event.hours.map(hours_words));
    how_much.extend(event.km.map(|km| format!("{km} km")));
    how_much.extend(event.hires.map(|hires| counted(usize::try_from(hires).unwrap_or(usize::MAX), "hire")));
    let kind = event.kind.text();
    let what = match event.kind {
        EventKind::Done => format!("{} {kind}", event.what),
        _ if how_much.is_empty() => kind.to_owned(),
        _ => format!("{kind} of {}", how_much.join(", ")),
    };
    let note = if event.note.is_empty() { String::new() } else { format!(": {}", event.note) };
    format!("{what}, {}{note}", event.at.short())
}

fn hours_words(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    let (whole, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    match (whole > 0.0, rest > 0.0) {
        (true, true) => format!("{whole:.0} h {rest:.0} min"),
        (false, _) => format!("{rest:.0} min"),
        (true, false) => format!("{whole:.0} h"),
    }
}

impl Report for EventReport<'_> {
    fn json(&self) -> Value {
        let mut bikes: Vec<Value> = self.bikes.iter().map(|bike| json!(bike)).collect();
        for bike in &mut bikes {
            bike["event"] = self.event_json();
        }
        if bikes.len() == 1 { bikes.swap_remove(0) } else { json!(bikes) }
    }

    fn text(&self, style: &Style) -> String {
        let names: Vec<&str> = self.bikes.iter().map(DueReport::bike).collect();
        let struck = self.struck.map(|why| format!(", struck: {why}")).unwrap_or_default();
        let said = format!("{}{struck}", event_words(self.event));
        let mut text = style.wrapped(&format!("{}: ", names.join(", ")), &said);
        for bike in &self.bikes {
            let (name, due) = (bike.bike(), bike.due_names());
            let due = if due.is_empty() { "nothing that decides".to_owned() } else { due.join(", ") };
            text += &style.wrapped(&format!("  due on {name}: "), &format!("{due} (`evenclamp due {name}`)"));
        }
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        one_sheet(self.bikes.iter().map(Report::rows))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::KeptRecord as _;
    use crate::workshop::LocalInstant;

    #[test]
    fn an_event_is_repeated_in_words() {
        let at = LocalInstant::parse("2026-05-31T17:00+02:00", &jiff::tz::TimeZone::UTC).unwrap();
        let ride = |hours, km, hires| Event { at, hours, km, hires, ..Event::blank() };
        let words = |event: Event| event_words(&event).replace(", 2026-05-31 17:00", "");
        assert_eq!(words(ride(Some(2.5), Some(48.0), Some(1))), "ride of 2 h 30 min, 48 km, 1 hire");
        assert_eq!(words(ride(Some(0.75), None, None)), "ride of 45 min");
        assert_eq!(words(ride(Some(2.999), None, Some(2))), "ride of 3 h, 2 hires");
        let crash = Event { kind: EventKind::Crash, note: "slid".into(), ..ride(None, None, None) };
        assert_eq!(words(crash), "crash: slid");
        let done = Event { kind: EventKind::Done, what: "fork-service".into(), ..ride(None, None, None) };
        assert_eq!(words(done), "fork-service done");
    }
}
