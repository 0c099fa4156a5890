//! A wrench with what it was used for, and what of that is in doubt.

use serde_json::{Value, json};

use super::workshop::{recalled_json, recalled_text};
use super::wrench::COLUMNS;
use super::{Report, Style, WrenchReport, sheet};
use crate::words::counted;
use crate::workshop::{LocalInstant, Recalled, State};

/// So many readings in doubt are told beside a wrench; a failed calibration tells all.
const TOLD: usize = 20;

/// A wrench and the readings that it was named for.
pub struct ShownWrench<'a> {
    wrench: WrenchReport<'a>,
    name: &'a str,
    used_for: Vec<UsedFor<'a>>,
    /// Those in doubt, joint by joint.
    doubted: Vec<Recalled>,
    /// Whether all that is in doubt is told to people, too.
    whole: bool,
}

/// A joint that a wrench was used for.
struct UsedFor<'a> {
    of: &'a Recalled,
    readings: usize,
    in_doubt: usize,
    newest: LocalInstant,
}

impl<'a> UsedFor<'a> {
    fn of(readings: &'a [Recalled]) -> Option<UsedFor<'a>> {
        Some(UsedFor {
            of: readings.first()?,
            readings: readings.len(),
            in_doubt: readings.iter().filter(|one| !one.doubts.is_empty()).count(),
            newest: readings.iter().map(|one| one.logged.reading.at).max()?,
        })
    }

    fn json(&self) -> Value {
        json!({
            "bike": self.of.logged.bicycle,
            "joint": self.of.logged.joint,
            "entry": self.of.logged.entry,
            "readings": self.readings,
            "in_doubt": self.in_doubt,
            "newest_at": self.newest.to_string(),
            "verdict": self.of.now.map(State::text),
            "taken_off": self.of.logged.removed,
            "bike_retired_at": self.of.retired.map(|at| at.to_string()),
        })
    }
}

impl<'a> ShownWrench<'a> {
    /// A wrench of that name with the readings that count, joint by joint, and those of them that are in doubt.
    pub fn new(
        wrench: WrenchReport<'a>,
        name: &'a str,
        read: &'a [Recalled],
        (doubted, whole): (Vec<Recalled>, bool),
    ) -> ShownWrench<'a> {
        let of_joints = read.chunk_by(|a, b| a.joint == b.joint);
        ShownWrench { wrench, name, used_for: of_joints.filter_map(UsedFor::of).collect(), doubted, whole }
    }

    /// How often it was used, on how much, and when last; nothing where it never was.
    fn used_text(&self) -> Option<String> {
        let newest = self.used_for.iter().map(|used| used.newest).max()?;
        let readings: usize = self.used_for.iter().map(|used| used.readings).sum();
        let mut bicycles: Vec<&str> =
            self.used_for.iter().map(|used| used.of.logged.bicycle.as_str()).collect();
        bicycles.dedup();
        Some(format!(
            "{} of {} on {}, the newest of {}",
            counted(readings, "reading"),
            counted(self.used_for.len(), "joint"),
            counted(bicycles.len(), "bicycle"),
            newest.short()
        ))
    }

    fn doubted_text(&self, style: &Style) -> String {
        if self.doubted.is_empty() {
            return String::new();
        }
        let told = if self.whole { self.doubted.len() } else { TOLD.min(self.doubted.len()) };
        let mut text = format!("\nIn doubt: {}\n", counted(self.doubted.len(), "reading"));
        text += &recalled_text(self.doubted.get(..told).unwrap_or_default(), false, style);
        if told < self.doubted.len() {
            let all = format!("evenclamp history --wrench {} --doubt", self.name);
            text += &style.wrapped("", &format!("and {} more: `{all}`", self.doubted.len() - told));
        }
        text
    }
}

impl Report for ShownWrench<'_> {
    fn json(&self) -> Value {
        let mut wrench = self.wrench.json();
        wrench["used_for"] = self.used_for.iter().map(UsedFor::json).collect();
        wrench["doubted"] = self.doubted.iter().map(recalled_json).collect();
        wrench
    }

    fn text(&self, style: &Style) -> String {
        let used: Vec<String> = self.used_text().into_iter().collect();
        self.wrench.text(style) + &style.listed("Used", &used) + &self.doubted_text(style)
    }

    /// A row for each reading in doubt; the wrench alone where there is none.
    fn rows(&self) -> Vec<Vec<String>> {
        let columns = format!(
            "{COLUMNS},bike,joint,bolt,reading=id,taken_at,kind,value,reading_nm,verdict,taken_off,bike_retired_at,doubts"
        );
        sheet(&self.json(), if self.doubted.is_empty() { "" } else { "doubted" }, &columns)
    }
}
