//! What is due, why, and when the next is.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use crate::report::words::{due_text, wear_json};
use crate::report::{Report, Style, columns, one_sheet, records, sheet};
use crate::words::counted;
use crate::workshop::{Due, FigureBasis, JudgedBicycle, LocalInstant, WorkshopSnapshot, every_interval};

#[derive(Debug, Clone, Serialize)]
struct DueLine {
    interval: String,
    name: String,
    due: bool,
    decides: bool,
    joints: Vec<String>,
    reason: String,
    days_left: Option<f64>,
    hours_left: Option<f64>,
    km_left: Option<f64>,
    hires_left: Option<f64>,
    what: String,
    source: String,
    grade: &'static str,
}

/// What is due on one bicycle.
#[derive(Debug, Clone, Serialize)]
pub struct DueReport {
    bike: String,
    lines: Vec<DueLine>,
    never_checked: Vec<String>,
    /// Joints whose figures cannot be read.
    unreadable: Vec<Unreadable>,
    /// What reaches its limit by the trend of its measures.
    wearing: Vec<Value>,
}

#[derive(Debug, Clone, Serialize)]
struct Unreadable {
    joint: String,
    reason: String,
}

impl DueReport {
    /// In how many days the next comes due by the calendar, of what is not due yet; none where nothing does.
    pub(super) fn next_days(&self) -> Option<f64> {
        let left = self.lines.iter().filter(|line| !line.due).filter_map(|line| line.days_left);
        left.filter(|days| *days >= 0.0).min_by(f64::total_cmp)
    }

    pub fn new(judged: &JudgedBicycle, workshop: &WorkshopSnapshot) -> DueReport {
        let judging = workshop.judging(&judged.stored.bicycle.kind, &judged.usage);
        let taken_in = judged.stored.bicycle.added;
        let mut lines: BTreeMap<String, DueLine> = BTreeMap::new();
        let mut never_checked = Vec::new();
        let mut unreadable = Vec::new();
        for (joint, verdict) in &judged.joints {
            let governing = &verdict.governing;
            if governing.basis == FigureBasis::Unreadable {
                unreadable.push(Unreadable { joint: joint.name.to_string(), reason: governing.word.clone() });
            }
            let Some(since) = verdict.worst.at else {
                never_checked.push(joint.name.to_string());
                continue;
            };
            for due in every_interval(Some((joint, since)), taken_in, &judging) {
                let key = due.interval.interval.clone();
                let line = lines.entry(key).or_insert_with(|| DueLine::new(&due, Some(since)));
                line.take(&due, joint.name.text(), Some(since));
            }
        }
        for due in every_interval(None, taken_in, &judging) {
            lines.insert(due.interval.interval.clone(), DueLine::new(&due, None));
        }
        let mut lines: Vec<DueLine> = lines.into_values().filter(DueLine::says_something).collect();
        lines.sort_by_key(|line| (!line.due, !line.decides, line.interval.clone()));
        let wearing = judged.joints.iter().filter(|(_, verdict)| verdict.wear.is_some()).map(
            |(joint, verdict)| json!({ "joint": joint.name.text(), "wear": wear_json(verdict.wear.as_ref()) }),
        );
        DueReport {
            bike: judged.stored.bicycle.name.to_string(),
            lines,
            never_checked,
            unreadable,
            wearing: wearing.collect(),
        }
    }

    pub(super) fn bike(&self) -> &str {
        &self.bike
    }

    /// The intervals that are due and decide, and what nobody ever checked.
    pub(super) fn due_names(&self) -> Vec<String> {
        let due = self.lines.iter().filter(|line| line.due && line.decides).map(|line| line.interval.clone());
        let never = self.never_checked.len();
        due.chain((never > 0).then(|| format!("{} never checked", counted(never, "joint")))).collect()
    }

    /// Whether anything that decides is due.
    pub fn is_due(&self) -> bool {
        !self.never_checked.is_empty() || self.lines.iter().any(|line| line.due && line.decides)
    }
}

impl DueLine {
    fn new(due: &Due<'_>, since: Option<LocalInstant>) -> DueLine {
        DueLine {
            interval: due.interval.interval.clone(),
            name: due.interval.name.clone(),
            due: due.why.is_some(),
            decides: due.interval.decides,
            joints: Vec::new(),
            reason: due.why.as_ref().map(|why| due_text(why, since)).unwrap_or_default(),
            days_left: due.days_left,
            hours_left: due.hours_left,
            km_left: due.km_left,
            hires_left: due.hires_left,
            what: due.interval.text.clone(),
            source: due.interval.source.clone(),
            grade: due.interval.grade.word(),
        }
    }

    /// Adds a joint: the ones that are due are named, the soonest says when the next is.
    fn take(&mut self, due: &Due<'_>, joint: &str, since: Option<LocalInstant>) {
        if let Some(why) = &due.why {
            if !self.due || self.reason.is_empty() {
                self.reason = due_text(why, since);
            }
            self.due = true;
            self.joints.push(joint.to_owned());
        }
        let soonest = |mine: &mut Option<f64>, other: Option<f64>| {
            if let Some(other) = other {
                *mine = Some(mine.map_or(other, |mine| mine.min(other)));
            }
        };
        soonest(&mut self.days_left, due.days_left);
        soonest(&mut self.hours_left, due.hours_left);
        soonest(&mut self.km_left, due.km_left);
        soonest(&mut self.hires_left, due.hires_left);
    }

    /// An event that has not happened has nothing to say.
    fn says_something(&self) -> bool {
        let left = [self.days_left, self.hours_left, self.km_left, self.hires_left];
        self.due || left.iter().any(Option::is_some)
    }

    /// When the next is, whichever comes first.
    fn next(&self) -> String {
        let mut left = Vec::new();
        left.extend(self.hours_left.map(|hours| format!("{:.0} h of riding", hours.max(0.0))));
        left.extend(self.km_left.map(|km| format!("{:.0} km", km.max(0.0))));
        left.extend(self.hires_left.map(|hires| format!("{:.0} hires", hires.max(0.0))));
        left.extend(self.days_left.map(|days| format!("{:.0} days", days.max(0.0))));
        if left.is_empty() { String::new() } else { format!("in {}", left.join(" or ")) }
    }

    fn joints_text(&self) -> String {
        match self.joints.len() {
            0 => String::new(),
            1..=6 => format!(" ({})", self.joints.join(", ")),
            many => format!(" ({many} joints)"),
        }
    }
}

impl Report for DueReport {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = format!("{}\n", style.strong(&self.bike));
        if !self.never_checked.is_empty() {
            text += &style.listed("Never", &[format!("never checked: {}", self.never_checked.join(", "))]);
        }
        let unreadable = self.unreadable.iter().map(|open| format!("{}: {}", open.joint, open.reason));
        text += &style.listed("Figure", &unreadable.collect::<Vec<_>>());
        let worn = self.wearing.iter().map(|worn| {
            let said = |text: &Value| text.as_str().unwrap_or_default().to_owned();
            format!("{}: {}", said(&worn["joint"]), said(&worn["wear"]["text"]))
        });
        text += &style.listed("Wear", &worn.collect::<Vec<_>>());
        let rows = self.lines.iter().map(|line| {
            let state = match (line.due, line.decides) {
                (true, true) => "due",
                (true, false) => "advised",
                (false, _) => "",
            };
            let when = if line.due { line.reason.clone() } else { line.next() };
            vec![
                state.to_owned(),
                line.name.clone(),
                format!("{when}{}; {} [{}, {}]", line.joints_text(), line.what, line.source, line.grade),
            ]
        });
        text += &columns(&records(&["", "interval", "why or when, and what to do"], rows), style);
        text
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let number = |left: Option<f64>| left.map(|left| format!("{left:.1}"));
        let line = |line: &DueLine| {
            let mut cells = json!(line);
            cells["joints"] = json!(line.joints.join(" "));
            cells["days_left"] = json!(number(line.days_left));
            cells["hours_left"] = json!(number(line.hours_left));
            cells["km_left"] = json!(number(line.km_left));
            cells["hires_left"] = json!(number(line.hires_left));
            cells
        };
        let unreadable =
            self.unreadable.iter().map(|open| json!({ "joints": open.joint, "reason": open.reason }));
        let worn = self.wearing.iter().map(|worn| {
            let wear = &worn["wear"];
            json!({ "joints": worn["joint"], "reason": wear["text"], "wear_from": wear["from"], "wear_to": wear["to"] })
        });
        let lines: Vec<Value> = self.lines.iter().map(line).chain(unreadable).chain(worn).collect();
        let columns = "bike,interval,due,decides,joints,reason,days_left,hours_left,km_left,hires_left,source,grade,wear_from,wear_to";
        sheet(&json!({ "bike": self.bike, "lines": lines }), "lines", columns)
    }
}

impl Report for Vec<DueReport> {
    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        self.iter().map(|bike| bike.text(style)).collect::<Vec<_>>().join("\n")
    }

    fn rows(&self) -> Vec<Vec<String>> {
        one_sheet(self.iter().map(Report::rows))
    }
}

#[cfg(test)]
#[path = "due_tests.rs"]
mod tests;
